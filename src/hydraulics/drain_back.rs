//! What runs back into the basin when the pump stops.

use super::line::{DischargeLine, ReliefHole};
use super::loss::pipe_volume;
use crate::quantity::factor::GRAVITY;
use crate::quantity::{Duration, Length, Level, Volume};

/// The water that the line holds and what becomes of it at a stop.
#[derive(Clone, Debug, PartialEq)]
pub struct DrainBack {
    /// Water in riser and runs when full.
    pub line_volume: Volume,
    /// What runs back with nothing to hold it: the riser above the water, and the runs from the basin up to the
    /// line's highest point, less what sags hold.
    pub without_valve: Volume,
    /// What runs back past a check valve that closes: the riser between the water and the valve, through the relief
    /// hole or the pump.
    pub with_valve: Volume,
    /// What stays in sags between the basin and the highest point.
    pub held_in_sags: Volume,
    /// Where the line is highest: distance along the runs.
    pub highest_at: Length,
}

/// Works out what runs back, for a water level in the basin at the stop.
///
/// No credit for a siphon: beyond the highest point the water runs to the outlet or stays. A sag keeps its water up
/// to its lower lip. Without a profile the runs are taken to rise all the way to the outlet.
pub fn drain_back(line: &DischargeLine, floor: Level, stop_level: Level) -> DrainBack {
    let riser_top = line.profile.first().map(|point| point.invert);
    let stop_height = stop_level - floor;
    let riser_volume = pipe_volume(line.riser.pipe.bore, line.riser.length);
    // the riser's foot stands in the water; only what is above the water can fall
    let riser_above = riser_top.map_or(line.riser.length, |top| (top - stop_level).max(Length::ZERO));
    let riser_falls = pipe_volume(line.riser.pipe.bore, riser_above.min(line.riser.length));
    let runs_volume: Volume = line.runs.iter().map(|run| pipe_volume(run.pipe.bore, run.length)).sum();
    let highest_at = line.highest_at();
    let sags = line.standing_water(false);
    let held: Volume =
        sags.iter().map(|sag| stretch_volume(line, sag.from.min(highest_at), sag.to.min(highest_at))).sum();
    let runs_fall = stretch_volume(line, Length::ZERO, highest_at) - held;
    let to_valve = line.check_valve.as_ref().and_then(|valve| valve.above_floor).map_or(riser_falls, |height| {
        pipe_volume(line.riser.pipe.bore, (height - stop_height).max(Length::ZERO).min(line.riser.length))
    });
    DrainBack {
        line_volume: riser_volume + runs_volume,
        without_valve: riser_falls + runs_fall,
        with_valve: to_valve.min(riser_falls + runs_fall),
        held_in_sags: held,
        highest_at,
    }
}

impl DischargeLine {
    /// The station of the first of the line's highest points; its end where no profile was entered.
    pub fn highest_at(&self) -> Length {
        let end = self.end_point().map(|last| (last.at, last.invert.max(self.outlet.level)));
        let inner = self.points_on_the_way().iter().map(|point| (point.at, point.invert));
        let best = inner.chain(end).reduce(|best, next| if next.1 > best.1 { next } else { best });
        best.map_or(self.length(), |(at, _)| at.min(self.length()))
    }

    /// How long the runs take to drain back through a hole above each check valve, down to where it stands: each
    /// stretch that rises empties under the height of its own water over the hole,
    /// 2 V / (Cd A √(2 g) (√h1 + √h2)).
    ///
    /// The air that follows is taken to find its way in from the outlet.
    pub fn drain_time(&self, hole: &ReliefHole, hole_level: Level) -> Option<Duration> {
        let area = hole.diameter.circle().m2() * hole.discharge_coefficient * f64::from(self.risers);
        if area <= 0.0 || self.profile.len() < 2 {
            return None;
        }
        let (highest, sags) = (self.highest_at(), self.standing_water(false));
        let mut seconds = 0.0;
        for pair in self.profile.windows(2) {
            let [near, far] = pair else { continue };
            if far.at > highest * (1.0 + 1e-9) || far.invert <= near.invert {
                continue;
            }
            let stays: Volume =
                sags.iter().map(|sag| stretch_volume(self, sag.from.max(near.at), sag.to.min(far.at))).sum();
            let volume = (stretch_volume(self, near.at, far.at) - stays).max(Volume::ZERO);
            let root = |level: Level| (level - hole_level).max(Length::ZERO).m().sqrt();
            let roots = root(near.invert) + root(far.invert);
            if roots > 0.0 {
                seconds += 2.0 * volume.m3() / (area * (2.0 * GRAVITY).sqrt() * roots);
            }
        }
        Some(Duration::from_s(seconds))
    }
}

/// The water in the runs between two stations.
pub fn stretch_volume(line: &DischargeLine, from: Length, to: Length) -> Volume {
    let mut start = Length::ZERO;
    let mut volume = Volume::ZERO;
    for run in &line.runs {
        let end = start + run.length;
        let inside = (to.min(end) - from.max(start)).max(Length::ZERO);
        volume += pipe_volume(run.pipe.bore, inside);
        start = end;
    }
    volume
}
