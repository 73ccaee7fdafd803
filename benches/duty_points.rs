//! How long a million duty points take: curve, envelope of eight profile points, relief hole.
//!
//! `cargo bench` runs it. It prints medians over several rounds and judges nothing.

#![allow(clippy::expect_used, clippy::indexing_slicing, reason = "a benchmark may fail by panicking")]
use std::hint::black_box;
use sumpwright::hydraulics::{
    DischargeLine, FittingCount, FrictionMethod, Outlet, Pipe, PipeUse, ProfilePoint, ReliefHole, Run, SystemCurve,
    Water,
};
use sumpwright::pump_selection::{Duty, Interpolation, PumpCurve, duty_point};
use sumpwright::quantity::{Flow, Head, Length, Level, Temperature};

const POINTS: u32 = 1_000_000;
const ROUNDS: usize = 5;

fn main() {
    let line = line();
    let curve = PumpCurve::new(
        &[(0.0, 31.0), (20.0, 27.0), (40.0, 20.5), (60.0, 10.0)]
            .map(|(flow, head)| (Flow::from_gpm(flow), Head::from_ft(head))),
        Interpolation::Monotone,
    )
    .expect("a falling curve");
    for method in [FrictionMethod::HazenWilliams, FrictionMethod::DarcyWeisbach] {
        let water = Water::at(Temperature::from_fahrenheit(50.0));
        let system = SystemCurve::new(&line, Level::from_ft(91.3), Some(Length::from_inch(14.0)), water, method);
        let mut seconds: Vec<f64> = (0..ROUNDS).map(|_| round(&curve, &system)).collect();
        seconds.sort_by(f64::total_cmp);
        println!("{method:?}: {POINTS} duty points in {:.2} s (median of {ROUNDS} rounds)", seconds[ROUNDS / 2]);
    }
}

#[expect(clippy::disallowed_methods, reason = "a benchmark reads the clock")]
fn round(curve: &PumpCurve, system: &SystemCurve) -> f64 {
    let start = std::time::Instant::now();
    let mut sum = 0.0;
    for index in 0..POINTS {
        let level = Level::from_ft(92.0 + 1.5 * f64::from(index) / f64::from(POINTS));
        if let Duty::Meets(point) = duty_point(black_box(curve), black_box(system), level) {
            sum += point.line_flow.m3s();
        }
    }
    black_box(sum);
    start.elapsed().as_secs_f64()
}

fn line() -> DischargeLine {
    let pipe = |bore: f64| Pipe {
        material: "PVC schedule 40".into(),
        size: "2 in".into(),
        outside_diameter: Length::from_inch(2.375),
        bore: Length::from_inch(bore),
        average_bore: None,
        rating: None,
        hazen_williams_c: 150.0,
        roughness: Length::from_mm(0.0015),
        manning_n: 0.01,
        made_for: PipeUse::Pressure,
        against_pressure: None,
        elastic_modulus: None,
    };
    let levels = [95.6, 97.0, 98.2, 99.0, 99.4, 99.8, 100.0, 100.2];
    DischargeLine {
        riser: Run { pipe: pipe(1.61), length: Length::from_ft(3.0), fittings: Vec::new(), allowance: 0.0 },
        risers: 1,
        check_valve: None,
        drain_hole: None,
        vents: Vec::new(),
        relief_hole: Some(ReliefHole {
            diameter: Length::from_inch(0.1875),
            above_floor: Some(Length::from_inch(16.0)),
            discharge_coefficient: 0.6,
        }),
        runs: vec![Run {
            pipe: pipe(2.067),
            length: Length::from_ft(140.0),
            fittings: vec![FittingCount::of_k("elbow 90", 4, 0.57, "n fT")],
            allowance: 0.0,
        }],
        profile: levels
            .iter()
            .enumerate()
            .map(|(index, level)| ProfilePoint {
                at: Length::from_ft(20.0 * index as f64),
                invert: Level::from_ft(*level),
                ground: None,
                under: None,
            })
            .collect(),
        outlet: Outlet {
            kind: "grate".into(),
            level: Level::from_ft(100.4),
            ditch_full: None,
            k: 0.5,
            opening_head: None,
            returned_share: 0.0,
        },
    }
}
