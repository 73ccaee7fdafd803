//! The first start: what is filled in and timed, beside what the design expects of it.

use crate::basin::{displaced_between, stored_between, usual_pump_volume};
use crate::design::{Band, Design};
use crate::quantity::{Duration, Length, UnitSystem, Volume};
use crate::site::Site;

/// What the first start needs beside [`crate::design::StartUp`].
#[derive(Clone, Debug, PartialEq)]
pub struct FirstStart {
    /// The water from the floor up to the on level, about: what a hose has to bring.
    pub to_fill: Volume,
    /// The bucket that is held under the outlet.
    pub bucket: Volume,
    /// In what time it fills; none where the design expects nothing.
    pub bucket_fills_in: Option<Band<Duration>>,
    /// Whether that is too quick to be timed by hand.
    pub too_quick: bool,
    /// The floats and what they do, from the lowest up.
    pub floats: Vec<(&'static str, Length)>,
    /// Whether a valve keeps the line full between runs.
    pub line_stays_full: bool,
    /// How far the alarm stands above the on level.
    pub alarm_above_on: Option<Length>,
}

/// Less than this is timed badly by hand: common practice, no source.
const TOO_QUICK: f64 = 10.0;

pub(super) fn first_start(site: &Site, design: &Design) -> FirstStart {
    let basin = &site.basin;
    let bodies: Volume = design.pump().and_then(|used| site.pumps.iter().find(|pump| pump.name == used.name)).map_or(
        Volume::ZERO,
        |pump| {
            let height = pump.height.unwrap_or(Length::ZERO);
            let volume = pump.displaced.unwrap_or_else(|| usual_pump_volume(height));
            displaced_between(volume, height, Length::ZERO, basin.on) * f64::from(site.pumping.count)
        },
    );
    let bucket = match site.units {
        UnitSystem::Us => Volume::from_gal(5.0),
        UnitSystem::Metric => Volume::from_litre(20.0),
    };
    let fills = design.start_up.as_ref().map(|start_up| start_up.flow.fills(bucket));
    let mut floats = vec![("off: the pump stops", basin.off), ("on: the pump starts", basin.on)];
    floats.extend(site.pumping.lag_off.map(|height| ("second off: the second pump stops", height)));
    floats.extend(site.pumping.lag_on.map(|height| ("second on: the second pump joins", height)));
    floats.extend(basin.alarm.map(|height| ("alarm", height)));
    floats.sort_by(|one, other| one.1.m().total_cmp(&other.1.m()));
    FirstStart {
        to_fill: stored_between(basin.plan.area(), Length::ZERO, basin.on, bodies),
        bucket,
        bucket_fills_in: fills,
        too_quick: fills.is_some_and(|fills| fills.value.s() < TOO_QUICK),
        floats,
        line_stays_full: design.rest.held,
        alarm_above_on: basin.alarm.map(|alarm| alarm - basin.on),
    }
}
