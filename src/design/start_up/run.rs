//! A run followed down the basin: the duty changes with the level.

use crate::basin::stored_between;
use crate::design::bench::Bench;
use crate::design::storage::bodies_between;
use crate::hydraulics::{FrictionMethod, SystemCurve};
use crate::pump_selection::{Duty, Pump, duty_point};
use crate::quantity::{Duration, Flow, Length, Volume};

/// The fall is followed in so many slices, each at the duty of its middle: with a duty that is nearly straight between
/// the floats the error is below a ten-thousandth of the time.
const SLICES: u32 = 16;

/// What is pumped at a level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Pumped {
    /// So much leaves the line.
    Flows(Flow),
    /// The duty lies beyond the last point of the curve: so much or more.
    AtLeast(Flow),
    /// Nothing.
    Nothing,
    /// The duty lies before the first point of the curve.
    Unknown,
}

/// What came of following a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Run {
    /// It takes so long.
    Takes(Duration),
    /// It takes so long at the most: somewhere the pump runs off its curve.
    AtMost(Duration),
    /// The water does not get down.
    Never,
    /// Nothing is known.
    Unknown,
}

/// What a pump moves out of the line with the water at a height above the floor.
pub(super) fn pumped(bench: &Bench<'_>, (pump, height): (&Pump, Option<Length>), at: Length) -> Pumped {
    let basin = &bench.site.basin;
    let line = &bench.site.discharge;
    let system = SystemCurve::new(line, basin.floor, height, bench.water, FrictionMethod::HazenWilliams);
    match duty_point(&pump.curve, &system, basin.level(at)) {
        Duty::Meets(point) if point.line_flow > Flow::ZERO => Pumped::Flows(point.line_flow),
        Duty::BeyondLastPoint { at_least, .. } => Pumped::AtLeast(at_least),
        Duty::BeforeFirstPoint { .. } => Pumped::Unknown,
        Duty::Meets(_) | Duty::CannotLift { .. } | Duty::LeakTakesAll => Pumped::Nothing,
    }
}

/// How long a pump takes over a fall down to the off level while so much runs in.
pub(super) fn run(bench: &Bench<'_>, pump: (&Pump, Option<Length>), fall: Length, inflow: Flow) -> Run {
    let basin = &bench.site.basin;
    if fall <= Length::ZERO {
        return Run::Unknown;
    }
    let (mut time, mut off_the_curve) = (Duration::ZERO, false);
    for slice in 0..SLICES {
        let at = |part: f64| basin.off + fall * ((f64::from(slice) + part) / f64::from(SLICES));
        let (low, middle, high) = (at(0.0), at(0.5), at(1.0));
        let flow = match pumped(bench, pump, middle) {
            Pumped::Flows(flow) => flow,
            Pumped::AtLeast(flow) => {
                off_the_curve = true;
                flow
            }
            Pumped::Nothing => return Run::Never,
            Pumped::Unknown => return Run::Unknown,
        };
        let water = stored_between(basin.plan.area(), low, high, bodies_between(bench, low, high));
        if flow <= inflow {
            return if off_the_curve { Run::Unknown } else { Run::Never };
        }
        time += water.max(Volume::ZERO) / (flow - inflow);
    }
    if off_the_curve { Run::AtMost(time) } else { Run::Takes(time) }
}
