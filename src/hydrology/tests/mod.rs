//! Published figures, identities and hostile input for the hydrology.

mod curve_number;
mod excess;
mod hydrograph;
mod infiltration;
mod point_file;
mod rainfall;
mod rational;
mod storm;
mod surface_loss;
mod times;
mod working;

use super::{DepthDuration, PointFile, Rain, read_point_file};
use crate::quantity::{Duration, RainDepth, ReturnPeriod};

pub(super) const CHAMPAIGN: &str = include_str!("../../../tests/data/atlas14-champaign-il.csv");

/// NOAA Atlas 14 volume 2 for 40.0962 N 88.2574 W.
fn champaign() -> PointFile {
    read_point_file(CHAMPAIGN).unwrap()
}

fn champaign_rain(years: f64) -> Rain {
    Rain::Table(champaign().column(ReturnPeriod::from_years(years)).unwrap().clone())
}

/// A table of minutes and inches.
fn table(points: &[(f64, f64)]) -> Rain {
    let points = points.iter().map(|&(t, p)| (Duration::from_min(t), RainDepth::from_inch(p))).collect();
    Rain::Table(DepthDuration::new(points).unwrap())
}

/// Fails unless the two are as close as the tolerance of the printed figure.
#[track_caller]
fn close(found: f64, printed: f64, tolerance: f64) {
    assert!((found - printed).abs() <= tolerance, "{found} is not {printed} within {tolerance}");
}

/// Numbers that no field should survive on.
const HOSTILE: [f64; 8] = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0, 0.0, 1e-300, 1.0, 1e300];
