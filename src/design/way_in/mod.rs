//! The way of the water to the basin: grates, gravity drains, French drains, groundwater.

mod drains;
mod french;
mod groundwater;
mod inlets;
mod tree;

pub use drains::DrainResult;
pub use french::FrenchResult;
pub use groundwater::{Felt, GroundwaterResult, InflowBasis, Ranged, Seep};
pub use inlets::InletResult;

pub(super) use drains::least_fall;
pub(super) use french::room_below;
pub(super) use groundwater::groundwater;

use super::runoff::StormResult;
use crate::hydrology::Contribution;
use crate::quantity::{Area, Flow};
use crate::site::Site;
use crate::working::{Silent, Working};

/// The way in at the peak of the design storm.
#[derive(Clone, Debug, PartialEq)]
pub struct WayIn {
    /// The grates, in the file's order.
    pub inlets: Vec<InletResult>,
    /// The gravity drains, in the file's order.
    pub drains: Vec<DrainResult>,
    /// The French drains among them.
    pub french: Vec<FrenchResult>,
    /// Low spots that water runs to and no grate stands in, with the flow of the peak.
    pub no_way_in: Vec<(String, Flow)>,
    /// Area times coefficient that reaches the basin by whatever way: that of all surfaces.
    pub to_basin: Area,
    /// Steady water that reaches the basin, groundwater included.
    pub steady: Flow,
    /// What soaks away through the lawn from a low spot that is full: its name, the water surface, the flow.
    pub soaks_away: Vec<(String, Area, Flow)>,
}

impl WayIn {
    /// The drains and grates that hold up what should get to the basin at the peak.
    pub fn held_up_at(&self) -> Vec<&str> {
        let drains = self.drains.iter().filter(|drain| drain.too_small).map(|drain| drain.name.as_str());
        let holes = self.french.iter().filter(|french| french.holes_limit).map(|french| french.name.as_str());
        let over = |inlet: &&InletResult| inlet.depth.zip(inlet.allowed).is_some_and(|(depth, most)| depth > most);
        let mut names: Vec<&str> = drains.collect();
        for name in holes.chain(self.inlets.iter().filter(over).map(|inlet| inlet.name.as_str())) {
            if !names.contains(&name) {
                names.push(name);
            }
        }
        names
    }
}

/// Works the way in out.
pub(super) fn way_in<W: Working>(site: &Site, storm: &StormResult, w: &mut W) -> WayIn {
    worked_out(site, storm, (drains::Depth::InFull, w))
}

/// The way in as far as anything of it may stand against a site: that a pipe is too small or backs up is at most a
/// caution.
pub(super) fn for_stops(site: &Site, storm: &StormResult) -> WayIn {
    worked_out(site, storm, (drains::Depth::AsLaid, &mut Silent))
}

fn worked_out<W: Working>(site: &Site, storm: &StormResult, (depth, w): (drains::Depth, &mut W)) -> WayIn {
    let ground = &storm.groundwater;
    let (seeps, rest) = ground.by_drain(site);
    let parts: Vec<Contribution> = storm
        .catchments
        .iter()
        .map(|result| Contribution { coefficient: result.coefficient, area: result.area, time: result.time.time })
        .collect();
    let rain = site.rain.storms.get(site.rain.design).map(|(_, rain)| rain);
    let tree = tree::Tree::of(site, &parts, rain, &seeps, rest);
    WayIn {
        inlets: inlets::inlets(site, &tree, &parts, rain, w),
        drains: drains::drains(site, &tree, (&parts, rain), (depth, w)),
        french: french::french(site, &tree, storm),
        no_way_in: tree
            .stranded
            .iter()
            .filter_map(|(index, load)| {
                let spot = site.low_spots.get(*index)?;
                Some((spot.name.clone(), load.peak(&parts, rain)))
            })
            .filter(|(_, flow)| *flow > Flow::ZERO)
            .collect(),
        to_basin: tree.basin.weighted_area(&parts),
        steady: tree.basin.steady,
        soaks_away: soaks_away(site),
    }
}

/// What soaks away through the lawn from each low spot that stands full, where the soil is known.
fn soaks_away(site: &Site) -> Vec<(String, Area, Flow)> {
    let Some(loss) = site.soil.as_ref().and_then(crate::site::Soil::loss) else { return Vec::new() };
    site.low_spots
        .iter()
        .filter_map(|spot| {
            let (lowest, _) = spot.surface.first()?;
            // into ground that is full nothing soaks
            if super::checks::leaves_no_room(site, *lowest) {
                return None;
            }
            let full = spot.spills_at.or(spot.surface.last().map(|(level, _)| *level))?;
            let area = super::measured::surface_at(spot, full - *lowest);
            Some((spot.name.clone(), area, loss.settled() * area))
        })
        .collect()
}
