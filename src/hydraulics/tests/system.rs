//! The head that a line asks for, worked with Python from the formulas of friction, fittings and holes.

use super::{hole, line, points, run, valve};
use crate::hydraulics::{DischargeLine, FittingCount, FrictionMethod, Outlet, SystemCurve, Water, riser_below_hole};
use crate::quantity::{Flow, Head, Length, Level, Temperature};
use approx::assert_relative_eq;

/// A riser of 2 m with K 1, an equivalent length of 0.5 m and a valve (K 2, 0.25 m); 40 m of 50 mm with K 2; 30 m of 40 mm
/// with K 1.5, a narrowing (0.18) and a tenth more of its length; an outlet with K 0.7 that takes 0.1 m to open.
pub(crate) fn hills(second: f64) -> DischargeLine {
    let mut line = line(&[(0.0, 1.0), (20.0, second), (55.0, 3.0), (70.0, 3.5)]);
    line.riser.fittings.push(FittingCount {
        equivalent: Length::from_m(0.5),
        ..FittingCount::of_k("by its length", 1, 0.0, "invented")
    });
    line.check_valve = Some(valve(None));
    line.runs[1].allowance = 0.1;
    line.outlet.opening_head = Some(Head::from_m(0.1));
    line
}

fn with_holes() -> DischargeLine {
    DischargeLine {
        risers: 2,
        relief_hole: Some(hole(0.005, Some(0.6), 0.65)),
        drain_hole: Some(hole(0.004, Some(1.9), 0.6)),
        ..hills(2.0)
    }
}

pub(crate) fn curve(line: &DischargeLine, method: FrictionMethod) -> SystemCurve {
    let water = Water::at(Temperature::from_celsius(20.0));
    SystemCurve::new(line, Level::ZERO, Some(Length::from_m(0.3)), water, method)
}

const Q: Flow = Flow::from_ls(1.5);

/// At 1.5 L/s, water at 0.2: the runs lose 0.568562 and 1.367149 m, the riser 0.124265 m; velocity heads 0.029756 and
/// 0.072647 m. The points ask for 0.879756, 2.164037, 4.164783 and 5.759209 m.
#[test]
fn identity_the_head_asked_for_by_hand() {
    let system = curve(&hills(2.0), FrictionMethod::HazenWilliams);
    let point = system.at(Q, Level::from_m(0.2));
    assert_relative_eq!(system.junction_head(Q, Level::from_m(0.2)).m(), 5.759_209_193, max_relative = 1e-9);
    assert_relative_eq!(point.head.m(), 5.883_473_907, max_relative = 1e-9);
    assert_relative_eq!(point.head_at_hole.m(), 5.883_473_907, max_relative = 1e-9);
    assert_eq!((point.governing, point.line_flow), (3, Q));
    assert_eq!((point.leak, point.drained), (Flow::ZERO, Flow::ZERO));
    // with the second point at 6 that one asks for 6.164037, with the third at 5 that one
    let summit = curve(&hills(6.0), FrictionMethod::HazenWilliams).at(Q, Level::from_m(0.2));
    assert_eq!(summit.governing, 1);
    assert_relative_eq!(summit.head.m(), 6.164_036_929 + 0.124_264_714, max_relative = 1e-9);
    let mut third = hills(2.0);
    third.profile[2].invert = Level::from_m(5.0);
    let third = curve(&third, FrictionMethod::HazenWilliams).at(Q, Level::from_m(0.2));
    assert_eq!(third.governing, 2);
    assert_relative_eq!(third.head.m(), 6.164_782_606 + 0.124_264_714, max_relative = 1e-9);
    // and with the first at 9 that one
    let mut first = hills(2.0);
    first.profile[0].invert = Level::from_m(9.0);
    let first = curve(&first, FrictionMethod::HazenWilliams).at(Q, Level::from_m(0.2));
    assert_eq!(first.governing, 0);
    assert_relative_eq!(first.head.m(), 8.879_755_830 + 0.124_264_714, max_relative = 1e-9);
}

/// A riser below the hole of 0.3 m; the drain hole of 4 mm at 1.9, twice, the relief hole of 5 mm at 0.6.
#[test]
fn identity_holes_take_their_share_by_hand() {
    let system = curve(&with_holes(), FrictionMethod::HazenWilliams);
    let point = system.at(Q, Level::from_m(0.2));
    assert_relative_eq!(point.drained.m3s(), 1.345_510_72e-4, max_relative = 1e-8);
    assert_relative_eq!(point.leak.m3s(), 1.325_774_41e-4, max_relative = 1e-8);
    assert_relative_eq!(point.head_at_hole.m(), 5.901_765_775, max_relative = 1e-9);
    assert_relative_eq!(point.head.m(), 5.906_937_575, max_relative = 1e-9);
    // put in at the pump, it comes out of the line again
    let (division, junction) = system.branch(Q + point.leak + point.drained, point.head, Level::from_m(0.2));
    assert_relative_eq!(division.line.m3s(), 0.0015, max_relative = 1e-9);
    assert_relative_eq!(division.drained.m3s(), point.drained.m3s(), max_relative = 1e-9);
    assert_relative_eq!(division.leak.m3s(), point.leak.m3s(), max_relative = 1e-9);
    assert_relative_eq!(junction.m(), 5.759_209_193, max_relative = 1e-9);
    let left = system.surplus_m(Q + point.leak + point.drained, point.head, Level::from_m(0.2));
    assert_relative_eq!(left, 0.0, epsilon = 1e-9);
    // water above both holes: the whole head drives them
    let deep = system.at(Q, Level::from_m(2.5));
    assert_relative_eq!(deep.drained.m3s(), 1.242_095_130e-4, max_relative = 1e-8);
    assert_relative_eq!(deep.leak.m3s(), 1.072_432_398e-4, max_relative = 1e-8);
    // 2 x 0.6 A √(2 g (5 - 1.7))
    assert_relative_eq!(
        system.drained(Head::from_m(5.0), Level::from_m(0.2)).m3s(),
        1.213_174_898e-4,
        max_relative = 1e-8
    );
    assert_eq!(system.drained(Head::from_m(1.7), Level::from_m(0.2)), Flow::ZERO);
}

/// 2.2 L/s at 9 m: 8.773229 m are left where the runs begin, 2.001728 m more than 1.856706 L/s ask for.
#[test]
fn identity_what_a_pump_leaves_over_by_hand() {
    let system = curve(&with_holes(), FrictionMethod::HazenWilliams);
    let (pump, head, water) = (Flow::from_m3s(0.0022), Head::from_m(9.0), Level::from_m(0.2));
    let (division, junction) = system.branch(pump, head, water);
    assert_eq!(division, system.divide(pump, head, water));
    assert_relative_eq!(division.leak.m3s(), 1.656_806_46e-4, max_relative = 1e-8);
    assert_relative_eq!(division.drained.m3s(), 1.776_132_28e-4, max_relative = 1e-8);
    assert_relative_eq!(division.line.m3s(), 1.856_706_126e-3, max_relative = 1e-8);
    assert_relative_eq!(junction.m(), 8.773_229_099, max_relative = 1e-9);
    assert_relative_eq!(system.surplus_m(pump, head, water), 2.001_727_651, max_relative = 1e-8);
}

/// By Darcy with water of 1.003369e-6 m²/s and a roughness of 0.1 mm: turbulent at 1.5 L/s, laminar at 0.05 L/s (Re 1269
/// and 1586).
#[test]
fn identity_the_head_asked_for_by_darcy() {
    let system = curve(&hills(2.0), FrictionMethod::DarcyWeisbach);
    for (flow, head) in [(0.0015, 6.449_650_659), (0.00005, 3.704_550_685)] {
        let asked = system.at(Flow::from_m3s(flow), Level::from_m(0.2));
        assert_relative_eq!(asked.head.m(), head, max_relative = 1e-9);
    }
}

/// What runs backwards through the line loses as much the other way: the lift from 0 to 3.9 less what is lost.
#[test]
fn identity_a_flow_backwards_loses_backwards() {
    for method in [FrictionMethod::HazenWilliams, FrictionMethod::DarcyWeisbach] {
        let system = curve(&hills(2.0), method);
        let head = |flow: f64| system.at(Flow::from_m3s(flow), Level::ZERO).head.m();
        assert_relative_eq!(head(0.0), 3.9, max_relative = 1e-12);
        // the outlet governs both ways where little is lost
        let back = system.at(Flow::from_m3s(-0.0001), Level::ZERO);
        assert_eq!((system.at(Flow::from_m3s(0.0001), Level::ZERO).governing, back.governing), (3, 3));
        assert!(head(0.0001) > 3.9);
        assert_relative_eq!(back.head.m(), 3.9 - (head(0.0001) - 3.9), max_relative = 1e-12);
    }
}

#[test]
fn identity_points_and_static_head() {
    let line = hills(2.0);
    let seen = curve(&line, FrictionMethod::HazenWilliams).points();
    let levels: Vec<_> = seen.iter().map(|point| (point.station.m(), point.level.m(), point.outlet)).collect();
    // to the top of the bore; the end to the outlet
    for (found, hand) in
        levels.iter().zip([(0.0, 1.05, false), (20.0, 2.05, false), (55.0, 3.04, false), (70.0, 3.8, true)])
    {
        assert_relative_eq!(found.0, hand.0, epsilon = 1e-9);
        assert_relative_eq!(found.1, hand.1, epsilon = 1e-9);
        assert_eq!(found.2, hand.2);
    }
    assert_eq!(levels.len(), 4);
    let lift = |line: &DischargeLine| curve(line, FrictionMethod::HazenWilliams).static_head(Level::from_m(0.5)).m();
    assert_relative_eq!(lift(&line), 3.3, epsilon = 1e-9);
    assert_relative_eq!(lift(&hills(6.0)), 5.55, epsilon = 1e-9);
    // the pipe's end above the outlet: to the top of its bore; without a profile to the outlet
    let outlet = Outlet { level: Level::from_m(3.0), ..line.outlet.clone() };
    assert_relative_eq!(lift(&DischargeLine { outlet: outlet.clone(), ..line.clone() }), 3.04, epsilon = 1e-9);
    let bare = DischargeLine { profile: Vec::new(), outlet, ..line.clone() };
    assert_relative_eq!(lift(&bare), 2.5, epsilon = 1e-9);
    assert_eq!(curve(&bare, FrictionMethod::HazenWilliams).points().len(), 1);
    // a full ditch
    let ditch = Outlet { ditch_full: Some(Level::from_m(4.4)), ..line.outlet.clone() };
    assert_relative_eq!(lift(&DischargeLine { outlet: ditch, ..line }), 3.9, epsilon = 1e-9);
}

/// A point at the change of bore lies in the pipe before it; one beyond the pipe's end at that end.
#[test]
fn identity_in_which_pipe_a_point_lies() {
    let line = line(&[(39.999, 9.0), (40.0, 9.0), (40.001, 9.0), (71.0, 9.0), (72.0, 3.0)]);
    let seen = curve(&line, FrictionMethod::HazenWilliams).points();
    for (point, level) in seen.iter().zip([9.05, 9.05, 9.04, 9.04, 3.8]) {
        assert_relative_eq!(point.level.m(), level, epsilon = 1e-9);
    }
    // a run of no length costs its fittings before the point at its end: K 2 on 0.029756 m more
    let mut short = super::line(&[(0.0, 9.0), (30.0, 3.0)]);
    short.runs = vec![run(0.05, 0.0, 2.0), run(0.05, 30.0, 0.0)];
    let asked = curve(&short, FrictionMethod::HazenWilliams).junction_head(Q, Level::ZERO);
    assert_relative_eq!(asked.m(), 9.05 + 3.0 * 0.029_755_83, max_relative = 1e-8);
}

#[test]
fn identity_the_riser_below_the_hole() {
    let below = |hole_at: Option<f64>, outlet: Option<f64>| {
        let line = DischargeLine { relief_hole: Some(hole(0.005, hole_at, 0.6)), ..line(&[]) };
        riser_below_hole(&line, outlet.map(Length::from_m)).m()
    };
    for (hole_at, outlet, length) in [
        (Some(0.6), Some(0.25), 0.35),
        (Some(0.2), Some(0.25), 0.0),
        // no more than the riser is long
        (Some(3.0), Some(0.25), 2.0),
        (None, Some(0.25), 0.0),
        (Some(0.6), None, 0.0),
    ] {
        assert_relative_eq!(below(hole_at, outlet), length, epsilon = 1e-12);
    }
    let without = DischargeLine { profile: points(&[]), ..line(&[]) };
    assert_eq!(riser_below_hole(&without, Some(Length::ZERO)), Length::ZERO);
}

/// A hole of no known height stands under the whole head: Cd A √(2 g 4) = 0.65 x 1.963495e-5 x 8.857381.
#[test]
fn identity_a_hole_of_no_known_height_bears_the_whole_head() {
    let line = DischargeLine { drain_hole: Some(hole(0.005, None, 0.65)), ..line(&[]) };
    let system = curve(&line, FrictionMethod::HazenWilliams);
    for water in [0.0, 3.0] {
        let drained = system.drained(Head::from_m(4.0), Level::from_m(water));
        assert_relative_eq!(drained.m3s(), 1.130_442_763e-4, max_relative = 1e-8);
    }
}
