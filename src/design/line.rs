//! The line at rest, whichever pump drives it: how deep it lies, where water stays, what freezes, where air is caught.

use crate::hydraulics::{Cover, Pocket, Summit};
use crate::quantity::{Duration, Head, Length, Level, Volume};
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
    /// The heights of drain hole and check valve that are not entered, where the line drains through the hole: without
    /// them nothing says how high the water stands that stays in the riser.
    pub heights_missing: Vec<&'static str>,
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
    let heights_missing = match (line.check_valve.as_ref(), line.drain_hole) {
        (Some(valve), Some(hole)) if !held => [("drain_hole", hole.above_floor), ("check_valve", valve.above_floor)]
            .into_iter()
            .filter(|(_, height)| height.is_none())
            .map(|(name, _)| name)
            .collect(),
        _ => Vec::new(),
    };
    let highest = line
        .profile
        .iter()
        .map(|point| point.invert + line.pipe_at(point.at).bore)
        .chain(std::iter::once(line.outlet.working_level()))
        .reduce(Level::max);
    LineAtRest {
        frost: site.frost,
        covers: line.covers(),
        summits: line.summits(),
        held,
        freezes,
        stays,
        heights_missing,
        drain_time,
        lift: highest.filter(|_| !line.profile.is_empty()).map(|highest| Head::from(highest - off)),
        air_locked_lift: line.air_locked_lift(off),
    }
}

/// Whether there is a drain hole that can empty the line.
pub(super) fn drains(site: &Site) -> bool {
    site.discharge.drain_hole.is_some() && drains_not(site).is_none()
}

/// Why a drain hole cannot empty the line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum DrainsNot {
    /// It stands outside the basin.
    Outside,
    /// It stands above where the line leaves.
    AboveTheLine {
        /// The lowest point inside the pipe there.
        leaves: Level,
    },
    /// It is not above the check valve.
    BelowTheValve {
        /// The valve's height above the floor.
        valve: Length,
    },
}

/// Why the drain hole cannot empty the line, where there is one and it cannot. Where a height is not entered it is
/// taken as right.
pub(super) fn drains_not(site: &Site) -> Option<DrainsNot> {
    let line = &site.discharge;
    let height = line.drain_hole?.above_floor?;
    let level = site.basin.level(height);
    if level >= site.basin.rim {
        return Some(DrainsNot::Outside);
    }
    if let Some(first) = line.profile.first()
        && level > first.invert + line.pipe_at(Length::ZERO).bore
    {
        return Some(DrainsNot::AboveTheLine { leaves: first.invert });
    }
    let valve = line.check_valve.as_ref()?.above_floor?;
    (height <= valve).then_some(DrainsNot::BelowTheValve { valve })
}

/// How much deeper the line must lie at a point for the frost not to reach it; none where it does not.
pub(super) fn short_of_frost(cover: &Cover, depth: Length) -> Option<Length> {
    (cover.cover < depth).then(|| depth - cover.cover)
}
