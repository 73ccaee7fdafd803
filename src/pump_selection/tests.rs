//! Pumps on the line of the tests of hydraulics, whose head is worked by hand there: it asks for 5.759209 m where its runs
//! begin at 1.5 L/s, and for 3.7 m at none.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use super::{Interpolation, PumpCurve};
use crate::hydraulics::tests::hole;
use crate::hydraulics::tests::system::{curve, hills};
use crate::hydraulics::{DischargeLine, FrictionMethod, SystemCurve};
use crate::quantity::{Flow, Head, Level};

mod duty;
mod parallel;

/// Straight lines through points of L/s and m.
fn pump(points: &[(f64, f64)]) -> PumpCurve {
    let points: Vec<_> = points.iter().map(|(q, h)| (Flow::from_ls(*q), Head::from_m(*h))).collect();
    PumpCurve::new(&points, Interpolation::Straight).unwrap()
}

/// A pump that falls 2 m in 3 L/s and gives a head at a flow.
fn through(flow_ls: f64, head_m: f64) -> PumpCurve {
    pump(&[(0.0, head_m + flow_ls / 1.5), (3.0, head_m - (3.0 - flow_ls) / 1.5)])
}

fn bare() -> SystemCurve {
    curve(&hills(2.0), FrictionMethod::HazenWilliams)
}

/// With a drain hole of 4 mm at 1.9 over the valve of each of so many risers.
fn draining(risers: u32) -> SystemCurve {
    let line = DischargeLine { risers, drain_hole: Some(hole(0.004, Some(1.9), 0.6)), ..hills(2.0) };
    curve(&line, FrictionMethod::HazenWilliams)
}

/// With a relief hole of a diameter at 0.6 in the riser, which begins at 0.3.
fn leaking(diameter: f64) -> SystemCurve {
    let line = DischargeLine { relief_hole: Some(hole(diameter, Some(0.6), 0.65)), ..hills(2.0) };
    curve(&line, FrictionMethod::HazenWilliams)
}

fn water() -> Level {
    Level::from_m(0.2)
}

/// What the line asks for where its runs begin at 1.5 L/s.
const JUNCTION_M: f64 = 5.759_209_193;
/// With the riser: its 0.124265 m.
const HEAD_M: f64 = 5.883_473_907;
