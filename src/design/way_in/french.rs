//! French drains: what trench and pipe hold, and whether ground, holes or pipe set the limit.

use super::groundwater::{GroundwaterResult, Ranged, Seep};
use super::tree::Tree;
use crate::catalog;
use crate::collection::gravity_pipe::full_flow;
use crate::collection::trench::perforation_entry;
use crate::quantity::{Flow, Length, Level, Volume};
use crate::site::{Site, TrenchCover};

/// Holes that are still open when the pipe is judged; a head of water over its middle. Common practice, no source.
const OPEN_SHARE: f64 = 0.1;
const HEAD_OVER_PIPE: Length = Length::from_inch(1.0);

/// One French drain.
#[derive(Clone, Debug, PartialEq)]
pub struct FrenchResult {
    /// Its name.
    pub name: String,
    /// Its length.
    pub length: Length,
    /// What lies over its stone, where the trench was entered.
    pub cover: Option<TrenchCover>,
    /// What trench and pipe hold, filled from empty.
    pub holds: Option<Volume>,
    /// What of that is room in a wet season: above groundwater, the pipe's invert and the water in the basin.
    pub room: Option<Volume>,
    /// The bottom of the trench.
    pub bottom: Option<Level>,
    /// Groundwater into it.
    pub seep: Option<Seep>,
    /// What the design counts of it.
    pub counted: Flow,
    /// What of a likely most of groundwater it would have to carry.
    pub most: Option<Flow>,
    /// What its pipe carries just full.
    pub carries: Option<Flow>,
    /// What gets in through its holes, nine tenths of them clogged, an inch of water over the pipe.
    pub lets_in: Flow,
    /// The surfaces whose runoff the file leads to it.
    pub runoff_from: Vec<String>,
}

pub(super) fn french(site: &Site, tree: &Tree, ground: &GroundwaterResult) -> Vec<FrenchResult> {
    let (by_drain, _) = ground.by_drain(site);
    let on = site.basin.level(site.basin.on);
    site.drains
        .iter()
        .enumerate()
        .filter_map(|(index, drain)| {
            let french = drain.french.as_ref()?;
            let trench = french.trench.as_ref();
            let stone = trench.and_then(|trench| trench.stone);
            let lowest = drain.down_invert.or(drain.up_invert);
            let room = stone.zip(trench.and_then(|trench| trench.top)).zip(drain.middle_invert()).map(
                |((stone, top), middle)| {
                    let table = site.groundwater.seasonal_high.unwrap_or(middle);
                    let from = middle.max(table).max(on);
                    stone.holds_per_depth() * (top - from).max(Length::ZERO)
                },
            );
            let seep = ground.seeps.get(index).cloned().flatten();
            let area = catalog::default_limits().perforation_area.value;
            let runoff_from = site
                .catchments
                .iter()
                .enumerate()
                .filter(|(at, _)| tree.drains.get(index).is_some_and(|load| load.has(*at)))
                .map(|(_, catchment)| catchment.name.clone())
                .collect();
            Some(FrenchResult {
                name: drain.name.clone(),
                length: drain.length,
                cover: trench.map(|trench| trench.cover),
                holds: stone.map(|stone| stone.holds()),
                room,
                bottom: lowest.zip(trench).map(|(invert, trench)| invert - trench.below_pipe),
                most: seep.as_ref().map(|Seep { flow: Ranged { high, .. }, .. }| *high),
                seep,
                counted: by_drain.get(index).copied().unwrap_or(Flow::ZERO),
                carries: drain
                    .pipe
                    .as_ref()
                    .zip(drain.slope.filter(|slope| slope.ratio() > 0.0))
                    .map(|(pipe, slope)| full_flow(pipe.manning_n, pipe.bore, slope)),
                lets_in: perforation_entry(area, drain.length, HEAD_OVER_PIPE, OPEN_SHARE),
                runoff_from,
            })
        })
        .collect()
}
