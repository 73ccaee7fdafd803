//! What runs back into the basin when the pump stops.

use super::line::{DischargeLine, ProfilePoint};
use super::loss::pipe_volume;
use crate::quantity::{Length, Level, Volume};

/// The water that the line holds and what becomes of it at a stop.
#[derive(Clone, Copy, Debug, PartialEq)]
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
/// to its lower lip on the basin's side. Without a profile the runs are taken to rise all the way to the outlet.
pub fn drain_back(line: &DischargeLine, floor: Level, stop_level: Level) -> DrainBack {
    let riser_top = line.profile.first().map(|point| point.invert);
    let stop_height = stop_level - floor;
    let riser_volume = pipe_volume(line.riser.pipe.bore, line.riser.length);
    // the riser's foot stands in the water; only what is above the water can fall
    let riser_above = riser_top.map_or(line.riser.length, |top| (top - stop_level).max(Length::ZERO));
    let riser_falls = pipe_volume(line.riser.pipe.bore, riser_above.min(line.riser.length));
    let runs_volume: Volume = line.runs.iter().map(|run| pipe_volume(run.pipe.bore, run.length)).sum();
    let (runs_fall, held, highest_at) = runs_drain(line);
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

/// What falls back out of the runs, what sags hold, and the station of the highest point.
fn runs_drain(line: &DischargeLine) -> (Volume, Volume, Length) {
    let total = line.length();
    let (Some(_), Some(highest)) = (line.profile.first(), highest_point(&line.profile)) else {
        let all = line.runs.iter().map(|run| pipe_volume(run.pipe.bore, run.length)).sum();
        return (all, Volume::ZERO, total);
    };
    let (mut falls, mut held) = (Volume::ZERO, Volume::ZERO);
    let mut lip = f64::MIN;
    for pair in line.profile.windows(2) {
        let [near, far] = pair else { continue };
        if near.at >= highest.at {
            break;
        }
        lip = lip.max(near.invert.m());
        // the part of this stretch that stands above every lip on its way to the basin runs back
        let above = share_above(near.invert.m(), far.invert.m(), lip);
        let (volume, length) = (stretch_volume(line, near.at, far.at), far.at - near.at);
        if length > Length::ZERO {
            falls += volume * above;
            held += volume * (1.0 - above);
        }
    }
    (falls, held, highest.at)
}

/// The first of the highest points.
fn highest_point(profile: &[ProfilePoint]) -> Option<&ProfilePoint> {
    profile.iter().reduce(|best, point| if point.invert > best.invert { point } else { best })
}

/// The share of a straight stretch from one level to another that lies at or above a level and rises.
fn share_above(near: f64, far: f64, lip: f64) -> f64 {
    if far <= lip {
        // falls away from the basin, or stays under the lip: it holds its water
        return if near >= lip && far >= near { 1.0 } else { 0.0 };
    }
    let rise = far - near;
    if rise <= 0.0 { 0.0 } else { ((far - lip) / rise).clamp(0.0, 1.0) }
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
