//! French drains: what trench and pipe hold, and whether ground, holes or pipe set the limit.

use super::drains::larger;
use super::groundwater::{Ranged, Seep, carries};
use super::tree::Tree;
use crate::catalog::{self, PipeEntry};
use crate::collection::Trench;
use crate::collection::gravity_pipe::{friction_slope, full_flow};
use crate::collection::trench::perforation_entry;
use crate::design::runoff::StormResult;
use crate::quantity::{Flow, Length, Level, Slope, Volume};
use crate::site::{Drain, FrenchTrench, Site, TrenchCover};

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
    /// The most of groundwater that it may have to carry.
    pub most: Flow,
    /// The runoff that the file leads straight to it, at the peak.
    pub own_runoff: Flow,
    /// Whether runoff comes through its stone that the clogged holes do not let in.
    pub holes_limit: bool,
    /// What its pipe carries just full.
    pub carries: Option<Flow>,
    /// The smallest larger size of its kind that would carry what the ground may bring, where its own does not.
    pub larger: Option<&'static PipeEntry>,
    /// The fall with which its own would.
    pub least_slope: Option<Slope>,
    /// What gets in through its holes, nine tenths of them clogged, an inch of water over the pipe.
    pub lets_in: Flow,
    /// The surfaces whose runoff the file leads to it.
    pub runoff_from: Vec<String>,
}

/// In how many pieces a trench is taken along its fall.
const PIECES: u32 = 16;

/// What stone and pipe hold above the pipe's invert and above a level that is full already.
fn room(drain: &Drain, stone: &Trench, trench: &FrenchTrench, full: Level) -> Option<Volume> {
    let underside = trench.below_pipe - (stone.pipe_outside - stone.pipe_bore) / 2.0;
    let piece = |invert: Level| {
        let bottom = invert - trench.below_pipe;
        // without a level of its top the stone follows the pipe
        let stone_depth = trench.top.map_or(stone.stone_depth, |top| top - bottom);
        let here = Trench { length: stone.length / f64::from(PIECES), stone_depth, ..*stone };
        here.holds_above(invert.max(full) - bottom, underside)
    };
    let inverts = drain.inverts_along(PIECES);
    (!inverts.is_empty()).then(|| inverts.into_iter().map(piece).sum())
}

/// The room of a French drain's stone and pipe that is filled up to a level: above its invert and above groundwater. None
/// where the trench was not entered.
pub(in crate::design) fn room_below<'s>(site: &Site, drain: &'s Drain) -> impl Fn(Level) -> Volume + use<'s> {
    let seasonal_high = site.groundwater.seasonal_high;
    let known = || {
        let trench = drain.french.as_ref()?.trench.as_ref()?;
        let (stone, low) = (trench.stone?, drain.down_invert.or(drain.up_invert)?);
        let full = seasonal_high.map_or(low, |high| high.max(low));
        Some((trench, stone, full, room(drain, &stone, trench, full)?))
    };
    let known = known();
    move |level| {
        known
            .and_then(|(trench, stone, full, all)| Some(all - room(drain, &stone, trench, level.max(full))?))
            .unwrap_or(Volume::ZERO)
    }
}

pub(super) fn french(site: &Site, tree: &Tree, storm: &StormResult) -> Vec<FrenchResult> {
    let ground = &storm.groundwater;
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
            let floor = site.groundwater.seasonal_high.map_or(on, |high| high.max(on));
            let room = stone.zip(trench).and_then(|(stone, trench)| room(drain, &stone, trench, floor));
            let seep = ground.seeps.get(index).cloned().flatten();
            let area = catalog::default_limits().perforation_area.value;
            let runoff_from = site
                .catchments
                .iter()
                .enumerate()
                .filter(|(at, _)| tree.drains.get(index).is_some_and(|load| load.has(*at)))
                .map(|(_, catchment)| catchment.name.clone())
                .collect();
            let counted = by_drain.get(index).copied().unwrap_or(Flow::ZERO);
            // what was entered or measured may be above the range of the calculation
            let most = seep.as_ref().map_or(counted, |Seep { flow: Ranged { high, .. }, .. }| high.max(counted));
            let falls = drain.pipe.as_ref().zip(drain.slope.filter(|slope| slope.ratio() > 0.0));
            let carries = carries(drain);
            let short = falls.filter(|_| carries.is_some_and(|carries| most > carries));
            let lets_in = perforation_entry(area, drain.length, HEAD_OVER_PIPE, OPEN_SHARE);
            let own = site.catchments.iter().zip(&storm.catchments);
            let own_runoff: Flow = own
                .filter(|(catchment, _)| catchment.drains_to.as_deref() == Some(drain.name.as_str()))
                .map(|(_, result)| result.own_peak)
                .sum();
            let stone_up = trench.is_some_and(|trench| trench.cover == TrenchCover::Stone);
            Some(FrenchResult {
                name: drain.name.clone(),
                length: drain.length,
                cover: trench.map(|trench| trench.cover),
                holds: stone.map(|stone| stone.holds()),
                room,
                bottom: lowest.zip(trench).map(|(invert, trench)| invert - trench.below_pipe),
                most,
                own_runoff,
                holes_limit: stone_up && own_runoff > Flow::ZERO && own_runoff + counted > lets_in,
                seep,
                counted,
                carries,
                larger: short.and_then(|(pipe, slope)| {
                    larger(pipe, |other| full_flow(other.manning_n, other.bore, slope) >= most)
                }),
                least_slope: short.map(|(pipe, _)| friction_slope(pipe.manning_n, pipe.bore, most)),
                lets_in,
                runoff_from,
            })
        })
        .collect()
}
