//! The basin's depth, shared out, and the heights to build to.

use super::storage::lowest_inlet;
use crate::quantity::{Length, Level, UnitSystem};
use crate::site::{Drain, Inlet, Site};

/// The basin's depth, shared out.
#[derive(Clone, Debug, PartialEq)]
pub struct DepthBudget {
    /// Rim to the lowest pipe that comes in; none when no inlet was entered.
    pub inlet_depth: Option<Length>,
    /// On level to off level.
    pub pump_down: Length,
    /// Off level to floor.
    pub dead_water: Length,
    /// Rim to floor.
    pub depth: Length,
    /// What is left over; less than nothing when it is short; none when no inlet was entered.
    pub spare: Option<Length>,
    /// The way down from the grate whose water arrives lowest; none where no pipe leads from a grate to the basin.
    pub from_grate: Option<FromGrate>,
}

/// The way of the water from a grate down to the basin.
#[derive(Clone, Debug, PartialEq)]
pub struct FromGrate {
    /// The grate.
    pub name: String,
    /// From its rim down to its outlet.
    pub to_outlet: Length,
    /// Depth of its silt trap below that.
    pub silt_trap: Length,
    /// How far the pipes fall from there to the basin.
    pub fall: Length,
    /// The level at which the water arrives.
    pub arrives: Level,
}

/// A height in the basin that somebody sets or cuts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BasinMark {
    /// What it is.
    pub name: &'static str,
    /// Height above the floor.
    pub above_floor: Length,
    /// Depth below the rim.
    pub below_rim: Length,
    /// The level.
    pub level: Level,
}

/// A depth of one inch, or of a centimetre in a metric report.
pub(super) fn unit_depth(units: UnitSystem) -> Length {
    match units {
        UnitSystem::Us => Length::from_inch(1.0),
        UnitSystem::Metric => Length::from_cm(1.0),
    }
}

/// Everything in the basin that has a height, from the top down.
pub(super) fn basin_marks(site: &Site) -> Vec<BasinMark> {
    let (basin, line) = (&site.basin, &site.discharge);
    let at = |level: Level| Some(level - basin.floor);
    let heights = [
        ("rim", Some(basin.depth())),
        ("discharge line leaves", line.profile.first().and_then(|point| at(point.invert))),
        ("check valve", line.check_valve.as_ref().and_then(|valve| valve.above_floor)),
        ("alarm float", basin.alarm),
        ("lowest inlet", lowest_inlet(site).and_then(|(level, _)| at(level))),
        ("on float", Some(basin.on)),
        ("relief hole", line.relief_hole.and_then(|hole| hole.above_floor)),
        ("drain hole", line.drain_hole.and_then(|hole| hole.above_floor)),
        ("second on float", site.pumping.lag_on),
        ("second off float", site.pumping.lag_off),
        ("off float", Some(basin.off)),
        ("floor", Some(Length::ZERO)),
    ];
    let mut marks: Vec<BasinMark> = heights
        .into_iter()
        .filter_map(|(name, height)| {
            let above_floor = height?;
            Some(BasinMark {
                name,
                above_floor,
                below_rim: basin.depth() - above_floor,
                level: basin.level(above_floor),
            })
        })
        .collect();
    marks.sort_by(|a, b| b.above_floor.m().total_cmp(&a.above_floor.m()));
    marks
}

/// The grate whose water arrives lowest, with the way down; of several that share the last pipe the one with the lowest
/// outlet, which is the last on the way.
fn from_grate(site: &Site) -> Option<FromGrate> {
    // of two pipes that leave a grate the lower; what the file lists first decides nothing
    let leaving = |name: &str| -> Option<&Drain> {
        let drains = site.drains.iter().filter(|drain| drain.from.as_deref() == Some(name));
        let rank = |drain: &Drain| (drain.up_invert.is_none(), drain.up_invert);
        drains.reduce(|low, next| {
            let lower = rank(next) < rank(low) || rank(next) == rank(low) && next.name < low.name;
            if lower { next } else { low }
        })
    };
    let one = |inlet: &Inlet| {
        let mut drain = leaving(&inlet.name)?;
        let outlet = inlet.outlet_invert.or(drain.up_invert)?;
        // no longer than there are drains: the reader has refused circles
        for _ in 0..site.drains.len() {
            if drain.ends_at_basin() {
                break;
            }
            drain = site.drains.iter().find(|next| next.name == drain.to).or_else(|| leaving(&drain.to))?;
        }
        let arrives = drain.down_invert.filter(|_| drain.ends_at_basin())?;
        Some(FromGrate {
            name: inlet.name.clone(),
            to_outlet: inlet.rim - outlet,
            silt_trap: inlet.silt_trap,
            fall: outlet - arrives,
            arrives,
        })
    };
    let rank = |grate: &FromGrate| (grate.arrives, grate.arrives + grate.fall);
    site.inlets.iter().filter_map(one).reduce(|low, next| {
        let lower = rank(&next) < rank(&low) || rank(&next) == rank(&low) && next.name < low.name;
        if lower { next } else { low }
    })
}

/// The depth budget.
pub(super) fn depth_budget(site: &Site) -> DepthBudget {
    let basin = &site.basin;
    let inlet_depth = lowest_inlet(site).map(|(inlet, _)| basin.rim - inlet);
    let pump_down = basin.on - basin.off;
    DepthBudget {
        inlet_depth,
        pump_down,
        dead_water: basin.off,
        depth: basin.depth(),
        spare: inlet_depth.map(|inlet| basin.depth() - inlet - pump_down - basin.off),
        from_grate: from_grate(site),
    }
}
