//! The duty point: where the pump's curve meets the system curve, with the relief hole's leak.

use super::curve::PumpCurve;
use crate::hydraulics::{Division, SystemCurve, SystemPoint};
use crate::numeric::root_between;
use crate::quantity::{Flow, Head, Level};

/// The flow to which a duty point is found: a millionth of a gallon per minute.
const FLOW_TOLERANCE_M3S: f64 = 6e-11;

/// Where pump and line meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DutyPoint {
    /// The flow through the pump.
    pub pump_flow: Flow,
    /// The flow out of the line.
    pub line_flow: Flow,
    /// The flow through the relief hole.
    pub leak: Flow,
    /// The flow that runs back through the drain hole above the valve.
    pub drained: Flow,
    /// The pump's head.
    pub head: Head,
    /// Pump head less head asked for: what the solution leaves over.
    pub residual: Head,
    /// Evaluations spent.
    pub evaluations: u32,
    /// Which point of the system curve governs.
    pub governing: usize,
}

/// What comes of a pump on a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Duty {
    /// They meet within the points of the curve.
    Meets(DutyPoint),
    /// The pump cannot lift the water: the line asks for more than its highest head, by so much.
    CannotLift {
        /// Head missing at the pump's best.
        short: Head,
    },
    /// The pump could lift the water, but all that it moves leaks back through the relief hole.
    LeakTakesAll,
    /// The line asks for more than the pump gives at the first point of its curve, which is not at zero flow: the
    /// duty lies before it, and nothing is known there.
    BeforeFirstPoint {
        /// The flow of the first point.
        first: Flow,
    },
    /// At the last point of the curve the pump still gives more than the line asks for: the duty lies beyond it, and
    /// nothing is known there.
    BeyondLastPoint {
        /// The flow of the last point.
        last: Flow,
        /// The flow out of the line when the pump delivers that: the line carries at least this.
        at_least: Flow,
        /// Head to be throttled away to bring the duty back to the last point.
        surplus: Head,
    },
}

impl Duty {
    /// The duty point, where there is one.
    pub fn point(&self) -> Option<&DutyPoint> {
        match self {
            Self::Meets(point) => Some(point),
            _ => None,
        }
    }
}

/// [`duty_point`] in fewer evaluations where it is known about how much flows through the pump, and to how much of it, as
/// from other water levels near by.
pub fn duty_point_near(
    curve: &PumpCurve,
    system: &SystemCurve,
    water_level: Level,
    near: Option<(Flow, Flow)>,
) -> Duty {
    let between = near.map(|(about, off)| (about - off, about + off));
    // where the head falls to the end of the curve there is no other beyond it
    let between = between.filter(|(low, high)| *low >= curve.highest().0 && *high <= curve.last_flow());
    let met = between.and_then(|(low, high)| {
        let [left, right] = [low, high].map(|flow| (flow, surplus_m(curve, system, water_level, flow)));
        (left.1 > 0.0 && right.1 <= 0.0).then(|| meet(curve, system, water_level, left, right))
    });
    met.unwrap_or_else(|| duty_point(curve, system, water_level))
}

/// Finds the duty point for a water level in the basin; where there are several, the one of the largest flow.
pub fn duty_point(curve: &PumpCurve, system: &SystemCurve, water_level: Level) -> Duty {
    let last = curve.last_flow();
    let at_last = surplus_m(curve, system, water_level, last);
    if at_last > 0.0 {
        let head = curve.head(last).unwrap_or(Head::ZERO);
        let at_least = system.divide(last, head, water_level).line;
        if at_least <= Flow::ZERO {
            return Duty::LeakTakesAll;
        }
        return Duty::BeyondLastPoint { last, at_least, surplus: Head::from_m(at_last) };
    }
    // from the far end back to the first point where the pump gives more than is asked for
    let mut right = (last, at_last);
    let mut best = at_last;
    for (left, head) in curve.points().rev().skip(1) {
        let here = system.surplus_m(left, head, water_level);
        if here > 0.0 {
            return meet(curve, system, water_level, (left, here), right);
        }
        best = best.max(here);
        right = (left, here);
    }
    let first = curve.first_flow();
    // a leak larger than the pump's whole flow also ends here: nothing reaches the line
    if first > Flow::ZERO {
        return Duty::BeforeFirstPoint { first };
    }
    Duty::CannotLift { short: Head::from_m(-best) }
}

/// By how much the pump's head exceeds what the line asks for; not a number outside the curve.
fn surplus_m(curve: &PumpCurve, system: &SystemCurve, water_level: Level, flow: Flow) -> f64 {
    curve.head(flow).map_or(f64::NAN, |head| system.surplus_m(flow, head, water_level))
}

fn meet(
    curve: &PumpCurve,
    system: &SystemCurve,
    water_level: Level,
    (left, at_left): (Flow, f64),
    (right, at_right): (Flow, f64),
) -> Duty {
    let surplus = |q| surplus_m(curve, system, water_level, Flow::from_m3s(q));
    let ends = ((left.m3s(), at_left), (right.m3s(), at_right));
    let Ok(root) = root_between(ends.0, ends.1, FLOW_TOLERANCE_M3S, surplus) else {
        // the ends of the bracket were seen to have opposite signs
        return Duty::LeakTakesAll;
    };
    let pump_flow = Flow::from_m3s(root.x);
    let head = curve.head(pump_flow).unwrap_or(Head::ZERO);
    let Division { line: line_flow, leak, drained } = system.divide(pump_flow, head, water_level);
    if line_flow <= Flow::ZERO {
        return Duty::LeakTakesAll;
    }
    let asked: SystemPoint = system.at(line_flow, water_level);
    Duty::Meets(DutyPoint {
        pump_flow,
        line_flow,
        leak,
        drained,
        head,
        residual: Head::from_m(root.residual),
        evaluations: root.evaluations,
        governing: asked.governing,
    })
}

/// The shut-off head a pump would need, as a factor on its own curve, for the line to carry a flow: the curve keeps
/// its shape and is raised or lowered. `None` outside the curve's flows.
pub fn head_factor_for(curve: &PumpCurve, system: &SystemCurve, water_level: Level, line_flow: Flow) -> Option<f64> {
    let asked = system.at(line_flow, water_level);
    let given = curve.head(line_flow + asked.leak + asked.drained)?;
    (given > Head::ZERO).then(|| asked.head / given)
}
