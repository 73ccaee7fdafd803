//! A pump's head against its flow, between the points read off its data sheet and nowhere else.

use crate::quantity::{Flow, Head, Real};
use crate::working::Working;
use thiserror::Error;

/// How the curve runs between its points.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Interpolation {
    /// Piecewise cubic that never overshoots its points.
    #[default]
    Monotone,
    /// Straight lines.
    Straight,
}

/// Why points do not make a pump curve.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum CurveError {
    /// One point or none.
    #[error("a pump curve needs at least two points of flow and head")]
    TooFewPoints,
    /// A number that is negative or not a number.
    #[error("point {} of the curve is not a flow and a head of zero or more", .0 + 1)]
    NotANumber(usize),
    /// Two points with one flow, or a flow that goes back.
    #[error("the flow does not grow from point {} to point {} of the curve", .0, .0 + 1)]
    SameFlow(usize),
    /// The head rises with the flow after it has fallen, or rises all the way.
    #[error("the head rises from point {} to point {} of the curve", .0, .0 + 1)]
    Rises(usize),
}

/// Head against flow, by increasing flow.
///
/// Between points the head follows the piecewise cubic of Fritsch and Carlson (SIAM J. Numer. Anal. 17, 1980) with
/// the weighted harmonic slopes of Fritsch and Butland (1984) and three-point slopes at the ends, or straight lines.
/// Outside the points nothing is known: [`PumpCurve::head`] gives `None`.
#[derive(Clone, Debug, PartialEq)]
pub struct PumpCurve {
    knots: Vec<Knot>,
    interpolation: Interpolation,
    hump: usize,
}

/// One point and the slope of the curve there, SI.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Knot {
    q_m3s: f64,
    h_m: f64,
    slope: f64,
}

impl PumpCurve {
    /// A curve through points in order of flow (the reverse order is turned round).
    ///
    /// A rise next to shut-off (a droop) is accepted, since real curves have it.
    ///
    /// # Errors
    /// Fewer than two points, values that are not zero or more, two points of one flow, or a head that rises with
    /// the flow anywhere but next to shut-off. Indices count from 0 in order of flow; those of [`CurveError::NotANumber`]
    /// in the order given.
    pub fn new(points: &[(Flow, Head)], interpolation: Interpolation) -> Result<Self, CurveError> {
        if points.len() < 2 {
            return Err(CurveError::TooFewPoints);
        }
        let mut knots: Vec<Knot> =
            points.iter().map(|(flow, head)| Knot { q_m3s: flow.m3s(), h_m: head.m(), slope: 0.0 }).collect();
        for (index, knot) in knots.iter().enumerate() {
            let good = |x: f64| x.is_finite() && x >= 0.0;
            if !good(knot.q_m3s) || !good(knot.h_m) {
                return Err(CurveError::NotANumber(index));
            }
        }
        if let (Some(first), Some(last)) = (knots.first(), knots.last())
            && first.q_m3s > last.q_m3s
        {
            knots.reverse();
        }
        let mut hump = 0;
        let mut falling = false;
        for (index, pair) in knots.windows(2).enumerate() {
            let [left, right] = pair else { continue };
            if right.q_m3s <= left.q_m3s {
                return Err(CurveError::SameFlow(index + 1));
            }
            if right.h_m > left.h_m {
                if falling {
                    return Err(CurveError::Rises(index + 1));
                }
                hump = index + 1;
            } else {
                falling = true;
            }
        }
        if hump + 1 == knots.len() {
            return Err(CurveError::Rises(hump));
        }
        set_slopes(&mut knots);
        Ok(Self { knots, interpolation, hump })
    }

    /// The points, by increasing flow.
    pub fn points(&self) -> impl DoubleEndedIterator<Item = (Flow, Head)> + '_ {
        self.knots.iter().map(|knot| (Flow::from_m3s(knot.q_m3s), Head::from_m(knot.h_m)))
    }
    /// The flow of the first point.
    pub fn first_flow(&self) -> Flow {
        Flow::from_m3s(self.knots.first().map_or(0.0, |knot| knot.q_m3s))
    }
    /// The flow of the last point.
    pub fn last_flow(&self) -> Flow {
        Flow::from_m3s(self.knots.last().map_or(0.0, |knot| knot.q_m3s))
    }
    /// The head at no flow, where the curve begins there.
    pub fn shut_off_head(&self) -> Option<Head> {
        self.knots.first().filter(|knot| knot.q_m3s == 0.0).map(|knot| Head::from_m(knot.h_m))
    }
    /// The highest head of all and its flow.
    pub fn highest(&self) -> (Flow, Head) {
        self.knots
            .get(self.hump)
            .map_or((Flow::ZERO, Head::ZERO), |knot| (Flow::from_m3s(knot.q_m3s), Head::from_m(knot.h_m)))
    }
    /// Whether the head first rises with the flow.
    pub fn droops(&self) -> bool {
        self.hump > 0
    }
    /// How it runs between points.
    pub fn interpolation(&self) -> Interpolation {
        self.interpolation
    }

    /// The same pump with all heads lowered by a share, 0 to 1: worn, or starved of voltage.
    #[must_use]
    pub fn worn(&self, share: f64) -> Self {
        self.scaled((1.0 - share).clamp(0.0, 1.0))
    }

    /// The same pump with all heads so many times as high, from 0 on: better or worse than its data sheet.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        let left = factor.max(0.0);
        let knots = self
            .knots
            .iter()
            .map(|knot| Knot { q_m3s: knot.q_m3s, h_m: knot.h_m * left, slope: knot.slope * left })
            .collect();
        Self { knots, interpolation: self.interpolation, hump: self.hump }
    }

    /// The head at a flow, `None` outside the points.
    pub fn head(&self, flow: Flow) -> Option<Head> {
        let q = flow.m3s();
        let (left, right) = self.segment(q)?;
        Some(Head::from_m(between(self.interpolation, left, right, q)))
    }

    /// The head at a flow with its working, `None` outside the points.
    pub fn head_worked<W: Working>(&self, w: &mut W, flow: Flow<W::N>) -> Option<Head<W::N>> {
        let (left, right) = self.segment(flow.m3s().value())?;
        let q1 = w.given("Qa", Flow::from_m3s(left.q_m3s));
        let q2 = w.given("Qb", Flow::from_m3s(right.q_m3s));
        let h1 = w.given("Ha", Head::from_m(left.h_m));
        let h2 = w.given("Hb", Head::from_m(right.h_m));
        let part = w.step(
            "x",
            "how far between two points of the pump curve",
            "linear",
            (flow.m3s() - q1.m3s()) / (q2.m3s() - q1.m3s()),
        );
        let head = match self.interpolation {
            Interpolation::Straight => h1.m() * (-part + 1.0) + h2.m() * part,
            Interpolation::Monotone => {
                let rise = |slope: f64| slope * (right.q_m3s - left.q_m3s);
                let m1 = w.given("ma", Head::from_m(rise(left.slope)));
                let m2 = w.given("mb", Head::from_m(rise(right.slope)));
                hermite(h1.m(), h2.m(), m1.m(), m2.m(), part)
            }
        };
        Some(w.step("Hp", "head that the pump gives at this flow", CURVE_SOURCE, Head::from_m(head)))
    }

    /// The stretch of curve that holds a flow.
    fn segment(&self, q_m3s: f64) -> Option<(Knot, Knot)> {
        let at = self.knots.partition_point(|knot| knot.q_m3s <= q_m3s);
        let right = at.clamp(1, self.knots.len() - 1);
        let (left, right) = (*self.knots.get(right - 1)?, *self.knots.get(right)?);
        (left.q_m3s <= q_m3s && q_m3s <= right.q_m3s).then_some((left, right))
    }
}

const CURVE_SOURCE: &str =
    "monotone cubic between the points entered, Fritsch and Carlson 1980, Fritsch and Butland 1984";

fn between(interpolation: Interpolation, left: Knot, right: Knot, q_m3s: f64) -> f64 {
    let width = right.q_m3s - left.q_m3s;
    let part = (q_m3s - left.q_m3s) / width;
    match interpolation {
        Interpolation::Straight => left.h_m * (1.0 - part) + right.h_m * part,
        Interpolation::Monotone => hermite(left.h_m, right.h_m, left.slope * width, right.slope * width, part),
    }
}

/// Cubic through two heads with two slopes (given as rise over the whole stretch).
fn hermite<N: Real>(h1: N, h2: N, m1: N, m2: N, x: N) -> N {
    let y = -x + 1.0;
    h1 * (x * 2.0 + 1.0) * y * y + m1 * x * y * y + h2 * x * x * (-(x * 2.0) + 3.0) - m2 * x * x * y
}

/// Fritsch and Butland's slopes: weighted harmonic mean inside, none at a turn, three points at the ends.
fn set_slopes(knots: &mut [Knot]) {
    let stretches: Vec<(f64, f64)> = knots
        .windows(2)
        .filter_map(|pair| match pair {
            [left, right] => {
                let width = right.q_m3s - left.q_m3s;
                Some((width, (right.h_m - left.h_m) / width))
            }
            _ => None,
        })
        .collect();
    let inside = stretches.windows(2).map(|pair| match pair {
        [(w1, d1), (w2, d2)] if d1 * d2 > 0.0 => {
            let (a, b) = (2.0 * w2 + w1, w2 + 2.0 * w1);
            (a + b) / (a / d1 + b / d2)
        }
        _ => 0.0,
    });
    let end = |near: Option<&(f64, f64)>, far: Option<&(f64, f64)>| match (near, far) {
        (Some(&(w1, d1)), Some(&(w2, d2))) => {
            let slope = ((2.0 * w1 + w2) * d1 - w1 * d2) / (w1 + w2);
            if slope * d1 <= 0.0 {
                0.0
            } else if d1 * d2 <= 0.0 && slope.abs() > 3.0 * d1.abs() {
                3.0 * d1
            } else {
                slope
            }
        }
        (Some(&(_, d1)), None) => d1,
        _ => 0.0,
    };
    let first = end(stretches.first(), stretches.get(1));
    let last = end(stretches.last(), stretches.len().checked_sub(2).and_then(|at| stretches.get(at)));
    let slopes: Vec<f64> = std::iter::once(first).chain(inside).chain(std::iter::once(last)).collect();
    for (knot, slope) in knots.iter_mut().zip(slopes) {
        knot.slope = slope;
    }
}

#[cfg(test)]
mod tests;
