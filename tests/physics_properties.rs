//! What must hold for any line and any pump: nothing that makes the way harder ever brings more water.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use proptest::prelude::*;
use sumpwright::hydraulics::friction::{pipe_velocity, reynolds_number};
use sumpwright::hydraulics::loss::pipe_volume;
use sumpwright::hydraulics::{
    CheckValve, DischargeLine, FittingCount, FrictionMethod, Outlet, Pipe, PipeUse, ProfilePoint, ReliefHole, Run,
    SystemCurve, Vent, Water, drain_back,
};
use sumpwright::pump_selection::{Duty, Interpolation, PumpCurve, Together, duty_point, together};
use sumpwright::quantity::{Flow, Head, Length, Level, Temperature, Volume};

#[derive(Clone, Debug)]
struct Case {
    bore_in: f64,
    c: f64,
    roughness_mm: f64,
    length_ft: f64,
    lift_ft: f64,
    high_point_ft: f64,
    hole_in: f64,
    k: f64,
    shut_off_ft: f64,
    drops: [f64; 4],
    flow_step_gpm: f64,
    opening_ft: f64,
}

fn cases() -> impl Strategy<Value = Case> {
    (
        (1.0..4.0_f64, 80.0..150.0_f64, 0.0015..0.3_f64, 5.0..600.0_f64, 0.5..25.0_f64, -3.0..3.0_f64),
        (
            0.05..0.4_f64,
            0.0..20.0_f64,
            8.0..60.0_f64,
            prop::array::uniform4(0.02..1.0_f64),
            3.0..30.0_f64,
            0.0..1.0_f64,
        ),
    )
        .prop_map(|(a, b)| Case {
            bore_in: a.0,
            c: a.1,
            roughness_mm: a.2,
            length_ft: a.3,
            lift_ft: a.4,
            high_point_ft: a.5,
            hole_in: b.0,
            k: b.1,
            shut_off_ft: b.2,
            drops: b.3,
            flow_step_gpm: b.4,
            opening_ft: b.5,
        })
}

impl Case {
    fn pipe(&self) -> Pipe {
        Pipe {
            material: "invented".into(),
            size: "2 in".into(),
            outside_diameter: Length::from_inch(self.bore_in + 0.3),
            bore: Length::from_inch(self.bore_in),
            average_bore: None,
            rating: None,
            hazen_williams_c: self.c,
            roughness: Length::from_mm(self.roughness_mm),
            manning_n: 0.01,
            made_for: PipeUse::Pressure,
            against_pressure: None,
            elastic_modulus: None,
        }
    }
    fn run(&self, length: f64, k: f64) -> Run {
        Run {
            pipe: self.pipe(),
            length: Length::from_ft(length),
            fittings: vec![FittingCount::of_k("any", 1, k, "invented")],
            allowance: 0.0,
        }
    }
    fn line(&self) -> DischargeLine {
        let length = Length::from_ft(self.length_ft);
        let outlet = self.lift_ft;
        let point = |part: f64, level: f64| ProfilePoint {
            at: length * part,
            invert: Level::from_ft(level - self.bore_in / 12.0),
            ground: None,
            under: None,
        };
        DischargeLine {
            riser: self.run(3.0, 0.0),
            risers: 1,
            check_valve: Some(CheckValve {
                kind: "swing".into(),
                k: 1.9,
                source: "invented".into(),
                above_floor: Some(Length::from_ft(2.0)),
                count: 1,
                equivalent: Length::ZERO,
                opening_constant: None,
                closes_in: None,
            }),
            drain_hole: None,
            vents: Vec::new(),
            relief_hole: Some(ReliefHole {
                diameter: Length::from_inch(self.hole_in),
                above_floor: Some(Length::from_ft(1.5)),
                discharge_coefficient: 0.6,
            }),
            runs: vec![self.run(self.length_ft, self.k)],
            profile: vec![point(0.0, 0.2), point(0.6, outlet + self.high_point_ft), point(1.0, outlet)],
            outlet: Outlet {
                kind: "open end".into(),
                level: Level::from_ft(outlet),
                ditch_full: None,
                k: 0.0,
                opening_head: Some(Head::from_ft(self.opening_ft)),
                returned_share: 0.0,
            },
        }
    }
    fn curve(&self) -> PumpCurve {
        let total: f64 = self.drops.iter().sum::<f64>() + 0.2;
        let mut head = self.shut_off_ft;
        let mut points = vec![(Flow::ZERO, Head::from_ft(head))];
        for (index, drop) in self.drops.iter().enumerate() {
            head -= self.shut_off_ft * drop / total;
            points.push((Flow::from_gpm(self.flow_step_gpm * (index as f64 + 1.0)), Head::from_ft(head)));
        }
        PumpCurve::new(&points, Interpolation::Monotone).unwrap()
    }
    fn delivered(&self, method: FrictionMethod) -> Delivered {
        delivered(&self.line(), &self.curve(), method)
    }
}

const METHODS: [FrictionMethod; 2] = [FrictionMethod::HazenWilliams, FrictionMethod::DarcyWeisbach];

fn system(line: &DischargeLine, method: FrictionMethod) -> SystemCurve {
    SystemCurve::new(
        line,
        Level::from_ft(-2.0),
        Some(Length::from_ft(1.2)),
        Water::at(Temperature::from_fahrenheit(50.0)),
        method,
    )
}

/// What is known of the flow that reaches the outlet, gpm.
#[derive(Clone, Copy, Debug)]
struct Delivered {
    at_least: f64,
    at_most: f64,
}

fn delivered(line: &DischargeLine, curve: &PumpCurve, method: FrictionMethod) -> Delivered {
    let (at_least, at_most) = match duty_point(curve, &system(line, method), Level::ZERO) {
        Duty::Meets(point) => (point.line_flow.gpm(), point.line_flow.gpm()),
        Duty::BeyondLastPoint { at_least, .. } => (at_least.gpm(), f64::INFINITY),
        Duty::CannotLift { .. } | Duty::LeakTakesAll | Duty::BeforeFirstPoint { .. } => (0.0, 0.0),
    };
    Delivered { at_least, at_most }
}

/// Room for the solver's own tolerance, gpm.
const ROOM: f64 = 1e-5;

fn never_more(harder: Delivered, easier: Delivered) -> Result<(), TestCaseError> {
    prop_assert!(
        harder.at_least <= easier.at_most + ROOM,
        "{harder:?} gpm on the harder way, {easier:?} on the easier"
    );
    Ok(())
}

/// A point of a profile, ft, a yard of ground over it.
fn point(at: f64, invert: f64) -> ProfilePoint {
    ProfilePoint {
        at: Length::from_ft(at),
        invert: Level::from_ft(invert),
        ground: Some(Level::from_ft(invert.min(2.0) + 3.0)),
        under: None,
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn identity_longer_thinner_rougher_higher_never_more(case in cases(), factor in 1.01..3.0_f64) {
        for method in METHODS {
            let now = case.delivered(method);
            never_more(Case { length_ft: case.length_ft * factor, ..case.clone() }.delivered(method), now)?;
            never_more(Case { bore_in: case.bore_in / factor, ..case.clone() }.delivered(method), now)?;
            never_more(Case { c: case.c / factor, roughness_mm: case.roughness_mm * factor, ..case.clone() }.delivered(method), now)?;
            never_more(Case { lift_ft: case.lift_ft * factor, ..case.clone() }.delivered(method), now)?;
            never_more(Case { high_point_ft: case.high_point_ft + factor, ..case.clone() }.delivered(method), now)?;
            never_more(Case { k: case.k * factor, ..case.clone() }.delivered(method), now)?;
            never_more(Case { opening_ft: case.opening_ft + factor, ..case.clone() }.delivered(method), now)?;
        }
    }

    #[test]
    fn identity_a_larger_relief_hole_never_delivers_more(case in cases(), factor in 1.01..2.0_f64) {
        for method in METHODS {
            let now = case.delivered(method);
            never_more(Case { hole_in: case.hole_in * factor, ..case.clone() }.delivered(method), now)?;
            let sealed = DischargeLine { relief_hole: None, ..case.line() };
            never_more(now, delivered(&sealed, &case.curve(), method))?;
        }
    }

    #[test]
    fn identity_a_worn_pump_never_delivers_more(case in cases(), wear in 0.01..0.6_f64) {
        for method in METHODS {
            never_more(delivered(&case.line(), &case.curve().worn(wear), method), case.delivered(method))?;
        }
    }

    #[test]
    fn identity_a_second_pump_never_less_and_never_more_than_twice(case in cases(), second in cases()) {
        let (line, curve) = (case.line(), case.curve());
        for method in METHODS {
            let system = system(&line, method);
            let alone = delivered(&line, &curve, method);
            let other = delivered(&line, &second.curve(), method);
            // two of one kind, and one with a stranger
            for (pumps, most) in [([&curve, &curve], 2.0 * alone.at_most), ([&curve, &second.curve()], alone.at_most + other.at_most)] {
                match together(&pumps.map(|curve| (curve, &system)), Level::ZERO, Level::ZERO) {
                    Together::Meets { line_flow, branches, junction, residual, .. } => {
                        prop_assert!(residual.m().abs() < 1e-6, "{residual:?}");
                        let flow = line_flow.gpm();
                        prop_assert!(flow >= alone.at_least.max(if pumps[1] == &curve { 0.0 } else { other.at_least }) - ROOM, "{flow} gpm together, {alone:?} alone");
                        prop_assert!(flow <= most + ROOM, "{flow} gpm together, {most} at the most");
                        prop_assert!((system.junction_head(line_flow, Level::ZERO) - junction).m().abs() < 1e-6);
                        for (branch, pump) in branches.iter().zip(pumps) {
                            prop_assert!((pump.head(branch.pump_flow).unwrap() - branch.head).m().abs() < 1e-12);
                        }
                    }
                    Together::CannotLift => prop_assert!(alone.at_least <= ROOM),
                    Together::BeyondLastPoint { at_least, .. } => prop_assert!(at_least.gpm() <= most + ROOM),
                    Together::BeforeFirstPoint { .. } => prop_assert!(false, "every curve begins at no flow"),
                }
            }
        }
    }

    #[test]
    fn identity_a_higher_summit_in_mid_run_never_delivers_more(case in cases(), at in 0.05..0.95_f64, height in -5.0..20.0_f64, more in 0.01..5.0_f64) {
        let with = |level: f64| {
            let mut line = case.line();
            line.profile = vec![
                point(0.0, -1.0),
                point(case.length_ft * at, level),
                point(case.length_ft, case.lift_ft - case.bore_in / 12.0),
            ];
            line
        };
        for method in METHODS {
            never_more(delivered(&with(height + more), &case.curve(), method), delivered(&with(height), &case.curve(), method))?;
        }
    }

    #[test]
    fn identity_a_sag_never_holds_less_for_being_deeper(case in cases(), levels in prop::collection::vec(-4.0..12.0_f64, 3..8), deeper in 0.01..6.0_f64) {
        let line_of = |levels: &[f64]| {
            let mut line = case.line();
            let step = case.length_ft / (levels.len() - 1) as f64;
            line.profile = levels.iter().enumerate().map(|(index, level)| point(step * index as f64, *level)).collect();
            line.outlet.level = Level::from_ft(levels[levels.len() - 1]);
            line
        };
        let held = |levels: &[f64]| -> f64 { line_of(levels).standing_water(false).iter().map(|pocket| pocket.volume.gal()).sum() };
        // only a point that is no lip of another: the lowest inner one
        let inner = 1..levels.len() - 1;
        let lowest = inner.clone().min_by(|a, b| levels[*a].total_cmp(&levels[*b])).unwrap();
        let mut sunk = levels.clone();
        sunk[lowest] -= deeper;
        prop_assert!(held(&sunk) >= held(&levels) - 1e-9, "{} after {}", held(&sunk), held(&levels));
        // and what a valve holds back is never less than what sags hold
        let line = line_of(&levels);
        let back: f64 = line.standing_water(true).iter().map(|pocket| pocket.volume.gal()).sum();
        prop_assert!(back >= held(&levels) - 1e-9);
        // nothing is counted twice
        let whole: f64 = line.runs.iter().map(|run| pipe_volume(run.pipe.bore, run.length).gal()).sum();
        prop_assert!(back <= whole * (1.0 + 1e-9));
        // frost takes no more than there is
        for depth in [0.0, 0.5, 1.0, 3.0, 100.0] {
            let parts = line.within_depth(&line.standing_water(true), Length::from_ft(depth));
            let sum: f64 = parts.iter().map(|part| part.volume.gal()).sum();
            prop_assert!(sum <= back * (1.0 + 1e-9) + 1e-9);
        }
    }

    #[test]
    fn identity_colder_water_never_delivers_more_by_darcy(case in cases(), warm in 33.0..100.0_f64, colder in 0.5..60.0_f64) {
        let at = |fahrenheit: f64| {
            let water = Water::at(Temperature::from_fahrenheit(fahrenheit));
            let system = SystemCurve::new(&case.line(), Level::from_ft(-2.0), Some(Length::from_ft(1.2)), water, FrictionMethod::DarcyWeisbach);
            match duty_point(&case.curve(), &system, Level::ZERO) {
                Duty::Meets(point) => (point.line_flow.gpm(), point.line_flow.gpm()),
                Duty::BeyondLastPoint { at_least, .. } => (at_least.gpm(), f64::INFINITY),
                _ => (0.0, 0.0),
            }
        };
        let (warm_f, cold_f) = (warm, (warm - colder).max(32.0));
        let (warm_flow, cold_flow) = (at(warm_f), at(cold_f));
        // between laminar and turbulent flow friction rises with the Reynolds number, and so with warmth: there, and
        // across it, the rule does not hold
        let reynolds = |gpm: f64, fahrenheit: f64| {
            let bore = Length::from_inch(case.bore_in);
            let nu = Water::at(Temperature::from_fahrenheit(fahrenheit)).viscosity();
            reynolds_number(pipe_velocity(Flow::from_gpm(gpm), bore), bore, nu)
        };
        let turbulent = reynolds(cold_flow.0, cold_f) > 4000.0;
        let laminar = reynolds(warm_flow.0, warm_f) < 2000.0;
        if turbulent || laminar {
            prop_assert!(cold_flow.0 <= warm_flow.1 + ROOM, "{cold_flow:?} cold, {warm_flow:?} warm");
        }
    }

    #[test]
    fn identity_vents_never_add_to_what_caught_air_asks_for(case in cases(), levels in prop::collection::vec(-4.0..12.0_f64, 3..8), vent in 0.0..1.0_f64) {
        let mut line = case.line();
        let step = case.length_ft / (levels.len() - 1) as f64;
        line.profile = levels.iter().enumerate().map(|(index, level)| point(step * index as f64, *level)).collect();
        line.outlet.level = Level::from_ft(levels[levels.len() - 1]);
        let locked = line.air_locked_lift(Level::ZERO).unwrap();
        let highest = levels.iter().copied().fold(f64::MIN, f64::max);
        // never less than the lift to the highest point, but for wiggles within the bore
        prop_assert!(locked.ft() >= highest - 1e-9, "{locked:?} under {highest} ft");
        line.vents = vec![Vent { at: Length::from_ft(case.length_ft * vent), open_top: None }];
        prop_assert!(line.air_locked_lift(Level::ZERO).unwrap() <= locked + Head::from_m(1e-12));
    }

    #[test]
    fn identity_the_duty_lies_on_both_curves(case in cases()) {
        let (line, curve) = (case.line(), case.curve());
        for method in METHODS {
            let system = system(&line, method);
            if let Duty::Meets(point) = duty_point(&curve, &system, Level::ZERO) {
                let asked = system.at(point.line_flow, Level::ZERO);
                prop_assert!((asked.head - point.head).m().abs() < 1e-6, "{} m apart", (asked.head - point.head).m());
                prop_assert!((point.line_flow + point.leak - point.pump_flow).m3s().abs() < 1e-12);
                prop_assert!((asked.leak - point.leak).m3s().abs() < 1e-9);
                prop_assert!((curve.head(point.pump_flow).unwrap() - point.head).m().abs() < 1e-12);
            }
        }
    }

    #[test]
    fn identity_the_curve_stays_between_its_points(case in cases(), part in 0.0..1.0_f64) {
        let curve = case.curve();
        let points: Vec<_> = curve.points().collect();
        for pair in points.windows(2) {
            let flow = pair[0].0 + (pair[1].0 - pair[0].0) * part;
            let head = curve.head(flow).unwrap();
            prop_assert!(head <= pair[0].1 + Head::from_m(1e-12) && head >= pair[1].1 - Head::from_m(1e-12));
        }
        prop_assert_eq!(curve.head(curve.last_flow() * 1.000_001), None);
    }

    #[test]
    fn identity_drain_back_is_never_more_than_the_line_holds(case in cases()) {
        let line = case.line();
        let back = drain_back(&line, Level::from_ft(-2.0), Level::from_ft(-1.5));
        prop_assert!(back.with_valve <= back.without_valve);
        prop_assert!(back.without_valve + back.held_in_sags <= back.line_volume + Volume::from_litre(1e-9));
    }
}

#[test]
fn identity_a_sag_keeps_its_water_up_to_its_lip() {
    // 40 ft up to a lip at 1 ft, 40 ft down into a sag at 0 ft, 40 ft up to the outlet at 2 ft: of the last stretch
    // the upper half stands above the lip and runs back, the sag keeps the middle stretch and the lower half
    let case = Case {
        bore_in: 2.067,
        c: 150.0,
        roughness_mm: 0.0015,
        length_ft: 120.0,
        lift_ft: 2.0,
        high_point_ft: 0.0,
        hole_in: 0.1,
        k: 0.0,
        shut_off_ft: 20.0,
        drops: [0.5; 4],
        flow_step_gpm: 20.0,
        opening_ft: 0.0,
    };
    let mut line = case.line();
    let point = |at: f64, level: f64| ProfilePoint {
        at: Length::from_ft(at),
        invert: Level::from_ft(level),
        ground: None,
        under: None,
    };
    line.profile = vec![point(0.0, 0.0), point(40.0, 1.0), point(80.0, 0.0), point(120.0, 2.0)];
    line.check_valve = None;
    let back = drain_back(&line, Level::from_ft(-2.0), Level::from_ft(-1.0));
    let per_foot = 0.174_32; // gallons in a foot of 2.067 in bore: 0.0408 d^2
    approx::assert_relative_eq!(back.held_in_sags.gal(), 60.0 * per_foot, max_relative = 1e-3);
    // 60 ft of run, and one foot of riser between the water and where the run begins
    approx::assert_relative_eq!(back.without_valve.gal(), 61.0 * per_foot, max_relative = 1e-3);
}
