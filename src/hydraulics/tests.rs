//! A line in whole metres, so that the figures of the tests can be worked by hand.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a test fails by panicking")]

use super::*;
use crate::quantity::{Area, Length, Level};

mod drain_back;
mod grade;
mod laws;
mod line;
mod profile;
mod surge;
pub(crate) mod system;

/// A pipe of a bore in metres, its wall 5 mm, C 150.
pub(crate) fn pipe(bore: f64) -> Pipe {
    Pipe {
        material: "invented".to_owned(),
        size: format!("{} mm", 1000.0 * bore),
        outside_diameter: Length::from_m(bore + 0.01),
        bore: Length::from_m(bore),
        average_bore: None,
        rating: None,
        hazen_williams_c: 150.0,
        roughness: Length::from_mm(0.1),
        manning_n: 0.01,
        made_for: PipeUse::Pressure,
        against_pressure: None,
        elastic_modulus: None,
    }
}

/// A length of pipe in metres with one fitting.
pub(crate) fn run(bore: f64, length: f64, k: f64) -> Run {
    let fittings = vec![FittingCount::of_k("any", 1, k, "invented")];
    Run { pipe: pipe(bore), length: Length::from_m(length), fittings, allowance: 0.0 }
}

/// Points of a profile, metres along and metres of level, without ground.
pub(crate) fn points(points: &[(f64, f64)]) -> Vec<ProfilePoint> {
    let point = |(at, invert): &(f64, f64)| ProfilePoint {
        at: Length::from_m(*at),
        invert: Level::from_m(*invert),
        ground: None,
        under: None,
    };
    points.iter().map(point).collect()
}

/// A riser of 2 m, 40 m of 50 mm and 30 m of 40 mm bore through some points, its outlet at level 3.8 with a cover.
pub(crate) fn line(through: &[(f64, f64)]) -> DischargeLine {
    DischargeLine {
        riser: run(0.05, 2.0, 1.0),
        risers: 1,
        check_valve: None,
        relief_hole: None,
        drain_hole: None,
        runs: vec![run(0.05, 40.0, 2.0), run(0.04, 30.0, 1.5)],
        profile: points(through),
        vents: Vec::new(),
        outlet: Outlet {
            kind: "any".to_owned(),
            level: Level::from_m(3.8),
            ditch_full: None,
            k: 0.7,
            opening_head: None,
            returned_share: 0.0,
        },
    }
}

/// A check valve with K 2 and a quarter of a metre of pipe beside.
fn valve(above_floor: Option<f64>) -> CheckValve {
    CheckValve {
        kind: "swing".to_owned(),
        k: 2.0,
        equivalent: Length::from_m(0.25),
        source: "invented".to_owned(),
        above_floor: above_floor.map(Length::from_m),
        count: 1,
        opening_constant: None,
        closes_in: None,
    }
}

/// A hole of a diameter in metres at a height over the floor.
pub(crate) fn hole(diameter: f64, above_floor: Option<f64>, discharge_coefficient: f64) -> ReliefHole {
    ReliefHole {
        diameter: Length::from_m(diameter),
        above_floor: above_floor.map(Length::from_m),
        discharge_coefficient,
    }
}

fn vents(at: &[f64]) -> Vec<Vent> {
    at.iter().map(|at| Vent { at: Length::from_m(*at), open_top: None }).collect()
}

/// The area of the bore of 50 mm, and of 40 mm.
const A50: f64 = std::f64::consts::PI * 0.05 * 0.05 / 4.0;
const A40: f64 = std::f64::consts::PI * 0.04 * 0.04 / 4.0;

#[test]
fn identity_bore_and_wall_of_a_pipe() {
    let mut pipe = pipe(0.05);
    assert_eq!(pipe.area(), Area::from_m2(A50));
    assert!((pipe.wall().mm() - 5.0).abs() < 1e-9);
    // a table that gives a bore wider than the pipe leaves no wall
    pipe.outside_diameter = Length::from_m(0.04);
    assert_eq!(pipe.wall(), Length::ZERO);
}
