//! Whether a pipe by gravity could take the water to the outlet without any pump.

use super::gravity::usual;
use super::storage::lowest_inlet;
use crate::catalog::{self, PipeEntry};
use crate::collection::gravity_pipe::full_flow;
use crate::quantity::{Flow, Length, Level, Slope};
use crate::site::Site;

/// A way by gravity from the lowest pipe that comes in to the outlet.
#[derive(Clone, Debug, PartialEq)]
pub struct GravityWay {
    /// Where it would begin: the lowest pipe that comes in, or the lowest outlet of a catch basin.
    pub from: Level,
    /// How far it falls to the outlet.
    pub fall: Length,
    /// How long it is: as long as the line is now.
    pub length: Length,
    /// Its slope.
    pub slope: Slope,
    /// The smallest usual pipe that carries the peak, where one does.
    pub pipe: Option<(&'static PipeEntry, Flow)>,
    /// Whether the slope is as much as drains of that size are asked for.
    pub steep_enough: bool,
    /// The deepest that it would lie under the ground along the line, where the ground is known.
    pub deepest: Option<Length>,
}

/// A fall below this is no fall: common practice, no source (half a percent).
const LEAST_GRAVITY_FALL: Slope = Slope::from_percent(0.5);

/// The way by gravity, where the levels allow one.
pub(super) fn gravity_way(site: &Site, peak: Flow) -> Option<GravityWay> {
    let outlet = site.discharge.outlet.working_level();
    // a grate's outlet counts where no pipe to the basin is known
    let from = lowest_inlet(site)
        .map(|(level, _)| level)
        .or_else(|| site.inlets.iter().filter_map(|inlet| inlet.outlet_invert).reduce(Level::min))?;
    let (fall, length) = (from - outlet, site.discharge.length());
    let slope = Slope::of(fall, length);
    if slope.ratio() < LEAST_GRAVITY_FALL.ratio() {
        return None;
    }
    let pipe = usual(site.units)
        .iter()
        .filter_map(|(material, size)| catalog::pipe(material, size).ok())
        .map(|entry| (entry, full_flow(entry.pipe.manning_n, entry.pipe.bore, slope)))
        .find(|(_, capacity)| *capacity >= peak);
    let bore = pipe.map_or(Length::from_inch(6.0), |(entry, _)| entry.pipe.bore);
    let cut = |at: Length, ground: Level| ground - (from - slope * at);
    let cuts: Option<Vec<Length>> =
        site.discharge.profile.iter().map(|point| point.ground.map(|ground| cut(point.at, ground))).collect();
    Some(GravityWay {
        from,
        fall,
        length,
        slope,
        pipe,
        steep_enough: slope.ratio() >= catalog::least_fall(bore).value.ratio(),
        deepest: cuts.and_then(|cuts| cuts.into_iter().reduce(Length::max)),
    })
}
