//! The line at rest, whichever pump drives it: how deep it lies, where water stays, what freezes, where air is caught.

use crate::hydraulics::{Cover, Pocket, Summit};
use crate::quantity::{Duration, Head, Length, Volume};
use crate::site::{Frost, Site};

/// The line between two runs of the pump.
#[derive(Clone, Debug, PartialEq)]
pub struct LineAtRest {
    /// The frost and the plan against it, as entered.
    pub frost: Option<Frost>,
    /// The cover over each point of the profile, where ground was entered.
    pub covers: Vec<Option<Cover>>,
    /// Where the line falls from, on both sides or from its start on.
    pub summits: Vec<Summit>,
    /// Whether a check valve keeps the water in the line, with no hole above it that drains it.
    pub held: bool,
    /// Where water stays.
    pub stays: Vec<Pocket>,
    /// The parts of it that the frost reaches; none where no frost was entered or no ground is known.
    pub freezes: Vec<Pocket>,
    /// How long the line takes to drain back through a hole above the valve.
    pub drain_time: Option<Duration>,
    /// The lift from the off level to the highest point.
    pub lift: Option<Head>,
    /// The lift from the off level if every fall that no vent ends is full of air.
    pub air_locked_lift: Option<Head>,
}

impl LineAtRest {
    /// The water that stays.
    pub fn volume_that_stays(&self) -> Volume {
        self.stays.iter().map(|pocket| pocket.volume).sum()
    }
    /// The water that freezes.
    pub fn volume_that_freezes(&self) -> Volume {
        self.freezes.iter().map(|pocket| pocket.volume).sum()
    }
}

pub(super) fn at_rest(site: &Site) -> LineAtRest {
    let line = &site.discharge;
    let held = line.check_valve.is_some() && !drains(site);
    let stays = line.standing_water(held);
    let off = site.basin.level(site.basin.off);
    let freezes = site.frost.map_or_else(Vec::new, |frost| line.within_depth(&stays, frost.depth));
    let drain_time = line.drain_hole.filter(|_| line.check_valve.is_some() && !held).and_then(|hole| {
        let level = hole.above_floor.map_or(off, |height| site.basin.level(height)).max(off);
        line.drain_time(&hole, level)
    });
    let highest = line
        .profile
        .iter()
        .map(|point| point.invert + line.pipe_at(point.at).bore)
        .chain(std::iter::once(line.outlet.working_level()))
        .reduce(crate::quantity::Level::max);
    LineAtRest {
        frost: site.frost,
        covers: line.covers(),
        summits: line.summits(),
        held,
        freezes,
        stays,
        drain_time,
        lift: highest.filter(|_| !line.profile.is_empty()).map(|highest| Head::from(highest - off)),
        air_locked_lift: line.air_locked_lift(off),
    }
}

/// Whether there is a drain hole that can empty the line: above the valve, inside the basin, not above where the line
/// leaves. Where a height is not entered it is taken as right.
pub(super) fn drains(site: &Site) -> bool {
    let line = &site.discharge;
    let Some(hole) = line.drain_hole else { return false };
    let Some(height) = hole.above_floor else { return true };
    let valve = line.check_valve.as_ref().and_then(|valve| valve.above_floor);
    let leaves = line.profile.first().map(|point| point.invert + line.pipe_at(Length::ZERO).bore);
    valve.is_none_or(|valve| height > valve)
        && site.basin.level(height) < site.basin.rim
        && leaves.is_none_or(|leaves| site.basin.level(height) <= leaves)
}

/// How much deeper the line must lie at a point for the frost not to reach it; none where it does not.
pub(super) fn short_of_frost(cover: &Cover, depth: Length) -> Option<Length> {
    (cover.cover < depth).then(|| depth - cover.cover)
}
