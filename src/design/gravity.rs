//! An option past a high point: break to a larger pipe that runs by gravity.

use super::bench::Bench;
use crate::catalog::{self, PipeEntry};
use crate::collection::gravity_pipe::full_flow;
use crate::hydraulics::{DischargeLine, ProfilePoint};
use crate::quantity::{Flow, Length, Level, Slope, UnitSystem};

/// What a break to gravity at the high point would be.
#[derive(Clone, Debug, PartialEq)]
pub struct GravityOption {
    /// Where the pumped line would end.
    pub from: Length,
    /// How far it is from there to the outlet.
    pub length: Length,
    /// How much the way falls.
    pub fall: Length,
    /// The slope of its flattest stretch.
    pub slope: Slope,
    /// The smallest usual gravity pipe that carries it.
    pub pipe: &'static PipeEntry,
    /// What that pipe carries running just full.
    pub capacity: Flow,
    /// What all pumps deliver now, at their highest level.
    pub now: Flow,
    /// What they would deliver then.
    pub then: Flow,
}

/// The least fall of the usual pipes, 3 to 6 in, with where that is from.
pub(super) fn least_fall() -> catalog::Row<Slope> {
    catalog::least_fall(Length::from_inch(4.0))
}
/// A way shorter than this is not worth the break: common practice, no source.
const WORTH_IT: Length = Length::from_ft(15.0);

/// The usual gravity pipes, smallest first.
pub(super) fn usual(units: UnitSystem) -> &'static [(&'static str, &'static str)] {
    match units {
        UnitSystem::Us => &[("PVC D2729", "3 in"), ("PVC SDR 35", "4 in"), ("PVC SDR 35", "6 in")],
        UnitSystem::Metric => &[("PVC-U sewer", "110 mm"), ("PVC-U sewer", "160 mm"), ("PVC-U sewer", "200 mm")],
    }
}

pub(super) fn option(bench: &Bench<'_>, now: Flow, level: Level) -> Option<GravityOption> {
    let line = &bench.site.discharge;
    let top = highest_inner(line)?;
    let length = line.length() - top.at;
    let fall = top.invert - line.outlet.working_level();
    // a pipe by gravity carries what its flattest stretch does
    let slope = flattest(line, top.at)?;
    if length < WORTH_IT || slope.ratio() < least_fall().value.ratio() {
        return None;
    }
    let then = bench.all_on(&cut_at(line, top), level)?;
    let (pipe, capacity) = usual(bench.site.units)
        .iter()
        .filter_map(|(material, size)| catalog::pipe(material, size).ok())
        .map(|entry| (entry, full_flow(entry.pipe.manning_n, entry.pipe.bore, slope)))
        .find(|(_, capacity)| *capacity >= then.max(now))?;
    Some(GravityOption { from: top.at, length, fall, slope, pipe, capacity, now, then })
}

/// The least slope of the stretches from a station to the outlet; less than nothing where one rises.
fn flattest(line: &DischargeLine, from: Length) -> Option<Slope> {
    let length = line.length();
    let outlet = line.outlet.working_level();
    let mut after: Vec<(Length, Level)> = line
        .points_on_the_way()
        .iter()
        .filter(|point| point.at >= from)
        .map(|point| (point.at, point.invert))
        .collect();
    after.push((length, line.end_point().map_or(outlet, |end| end.invert.max(outlet))));
    after
        .windows(2)
        .filter_map(|pair| match pair {
            [near, far] if far.0 > near.0 => Some(Slope::of(near.1 - far.1, far.0 - near.0)),
            _ => None,
        })
        .reduce(|least, slope| if slope.ratio() < least.ratio() { slope } else { least })
}

/// The highest point on the way, where it is higher than the outlet.
pub(super) fn highest_inner(line: &DischargeLine) -> Option<&ProfilePoint> {
    line.points_on_the_way()
        .iter()
        .reduce(|best, point| if point.invert > best.invert { point } else { best })
        .filter(|point| point.invert > line.outlet.working_level())
        .filter(|point| line.end_point().is_none_or(|end| end.invert < point.invert))
}

/// The line up to a point, open there.
pub(super) fn cut_at(line: &DischargeLine, top: &ProfilePoint) -> DischargeLine {
    let mut cut = line.clone();
    let mut left = top.at;
    cut.runs.clear();
    for run in &line.runs {
        if left <= Length::ZERO && !cut.runs.is_empty() {
            break;
        }
        let mut run = run.clone();
        let length = run.length.min(left.max(Length::ZERO));
        let share = if run.length > Length::ZERO { length / run.length } else { 1.0 };
        for fitting in &mut run.fittings {
            fitting.k *= share;
            fitting.equivalent = fitting.equivalent * share;
        }
        left = left - run.length;
        run.length = length;
        cut.runs.push(run);
    }
    cut.profile.retain(|point| point.at <= top.at);
    cut.vents.retain(|vent| vent.at <= top.at);
    cut.outlet = crate::hydraulics::Outlet {
        kind: "open end".to_owned(),
        level: top.invert,
        ditch_full: None,
        k: 0.0,
        opening_head: None,
        returned_share: line.outlet.returned_share,
    };
    cut
}
