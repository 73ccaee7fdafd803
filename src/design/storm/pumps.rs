//! What the pumps bring out of the basin at each level, solved once before any water is followed.

use super::network::Pumps;
use crate::design::bench::Bench;
use crate::hydraulics::FrictionMethod;
use crate::pump_selection::{Duty, Together, duty_point_near};
use crate::quantity::{Flow, Head, Length, Level};
use crate::routing::{Rating, RoutingError};

/// Levels at which one pump's duty is solved.
const LEVELS: u32 = 33;
/// Levels at which that of two together is.
const LEVELS_TOGETHER: u32 = 17;
/// How far above the ground the water is followed.
const ABOVE_GROUND: Length = Length::from_ft(2.0);

/// The pumps of a bench as ratings of what leaves for good.
///
/// Where the duty lies beyond the last point of a curve, the least that is known to come; where the pump cannot lift the
/// water, nothing.
///
/// # Errors
/// Floats that are the wrong way round.
pub(in crate::design) fn pumps(bench: &Bench<'_>) -> Result<Pumps, RoutingError> {
    let site = bench.site;
    let line = &site.discharge;
    let method = FrictionMethod::HazenWilliams;
    let leaves = |flow: Flow| site.discharge.outlet.leaves(flow).max(Flow::ZERO);
    // well below where any stops, so that the end of the table is never met
    let lowest = site.basin.floor;
    let highest = highest(bench);
    let alone = |system: &crate::hydraulics::SystemCurve, curve| {
        let mut before = Before::default();
        rating(lowest, highest, LEVELS, |level| {
            let duty = duty_point_near(curve, system, level, before.next());
            before.take(duty.point().map(|point| point.pump_flow));
            leaves(match duty {
                Duty::Meets(point) => point.line_flow,
                Duty::BeyondLastPoint { at_least, .. } => at_least,
                Duty::CannotLift { .. } | Duty::LeakTakesAll | Duty::BeforeFirstPoint { .. } => Flow::ZERO,
            })
        })
    };
    let system = bench.system(line, method);
    let first = alone(&system, &bench.pump.curve)?;
    let Some(second) = bench.second.filter(|_| bench.joins()) else {
        return Ok(Pumps { second: first.clone(), both: first.clone(), first, joins: false });
    };
    let own = crate::hydraulics::SystemCurve::new(line, site.basin.floor, second.height, bench.water, method);
    let alike = second.curve == bench.pump.curve && own == system;
    let other = if alike { first.clone() } else { alone(&own, &second.curve)? };
    let pair = bench.both(line, (&bench.pump.curve, &second.curve), method);
    let mut before = (None, None);
    let both = rating(lowest, highest, LEVELS_TOGETHER, |level| {
        let least = first.flow(level);
        // on from the last two levels
        let near = before.1.zip(before.0).map(|(last, older): (Head, Head)| last + (last - older));
        let found = pair.at(level, near);
        before = (before.1, found.junction());
        match found {
            Together::Meets { line_flow, .. } => leaves(line_flow),
            Together::BeyondLastPoint { at_least, .. } => leaves(at_least),
            Together::CannotLift | Together::BeforeFirstPoint { .. } => least,
        }
    })?;
    Ok(Pumps { first, second: other, both, joins: true })
}

/// The flows at the last three levels, the latest first.
#[derive(Default)]
struct Before([Option<Flow>; 3]);

impl Before {
    fn take(&mut self, flow: Option<Flow>) {
        let [last, before, _] = self.0;
        self.0 = [flow, last, before];
    }
    /// About the flow at the next, on from these by a parabola; and how far it may be off, by how far that leaves the
    /// straight line.
    fn next(&self) -> Option<(Flow, Flow)> {
        let [Some(last), Some(before), Some(first)] = self.0 else { return None };
        let bend = (last - before) - (before - first);
        let about = last + (last - before) + bend;
        Some((about, bend.abs()))
    }
}

fn rating(
    lowest: Level,
    highest: Level,
    count: u32,
    mut flow: impl FnMut(Level) -> Flow,
) -> Result<Rating, RoutingError> {
    let at = |step: u32| lowest + (highest - lowest) * (f64::from(step) / f64::from(count - 1));
    let flows: Vec<Flow> = (0..count).map(|step| flow(at(step))).collect();
    Rating::new(lowest, highest, &flows)
}

/// The highest level at which pumps are asked for anything.
fn highest(bench: &Bench<'_>) -> Level {
    let site = bench.site;
    let rims = site.inlets.iter().map(|inlet| inlet.rim);
    let spots = site.low_spots.iter().filter_map(|spot| spot.surface.last().map(|(level, _)| *level));
    rims.chain(spots).fold(site.basin.rim, Level::max) + ABOVE_GROUND
}
