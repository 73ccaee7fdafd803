use super::{HEAD_M, bare, leaking, pump, through, water};
use crate::hydraulics::tests::hole;
use crate::hydraulics::tests::system::{curve, hills};
use crate::hydraulics::{DischargeLine, FrictionMethod};
use crate::pump_selection::{Duty, DutyPoint, duty_point, duty_point_near, head_factor_for};
use crate::quantity::{Flow, Level};
use approx::assert_relative_eq;

fn meets(duty: Duty) -> DutyPoint {
    match duty {
        Duty::Meets(point) => point,
        other => panic!("{other:?}"),
    }
}

#[test]
fn identity_the_duty_point_where_it_was_put() {
    let point = meets(duty_point(&through(1.5, HEAD_M), &bare(), water()));
    assert_relative_eq!(point.pump_flow.ls(), 1.5, max_relative = 1e-6);
    assert_relative_eq!(point.line_flow.ls(), 1.5, max_relative = 1e-6);
    assert_eq!((point.leak, point.drained, point.governing), (Flow::ZERO, Flow::ZERO, 3));
    assert_relative_eq!(point.head.m(), HEAD_M, max_relative = 1e-6);
    assert!(point.residual.m().abs() < 1e-6);
    assert!((1..60).contains(&point.evaluations), "{}", point.evaluations);
    assert_eq!(duty_point(&through(1.5, HEAD_M), &bare(), water()).point(), Some(&point));
    // a point of the curve right on the line's is found too
    let on_a_point = pump(&[(0.0, 8.0), (1.5, HEAD_M + 1e-12), (3.0, 1.0)]);
    assert_relative_eq!(meets(duty_point(&on_a_point, &bare(), water())).line_flow.ls(), 1.5, max_relative = 1e-6);
}

/// The holes of the line take 0.134551 and 0.132577 L/s of 1.767129 (worked with the system curve), at 5.906938 m.
#[test]
fn identity_the_duty_point_with_holes() {
    let line = DischargeLine {
        risers: 2,
        relief_hole: Some(hole(0.005, Some(0.6), 0.65)),
        drain_hole: Some(hole(0.004, Some(1.9), 0.6)),
        ..hills(2.0)
    };
    let system = curve(&line, FrictionMethod::HazenWilliams);
    let point = meets(duty_point(&through(1.767_128_513, 5.906_937_575), &system, water()));
    assert_relative_eq!(point.pump_flow.ls(), 1.767_128_513, max_relative = 1e-6);
    assert_relative_eq!(point.line_flow.ls(), 1.5, max_relative = 1e-6);
    assert_relative_eq!(point.leak.ls(), 0.132_577_441, max_relative = 1e-6);
    assert_relative_eq!(point.drained.ls(), 0.134_551_072, max_relative = 1e-6);
    // by what factor a pump that falls from 10 m to 2 m at 4 L/s would have to be stronger: 5.906938 / 6.465743
    let weak = pump(&[(0.0, 10.0), (4.0, 2.0)]);
    let factor = head_factor_for(&weak, &system, water(), Flow::from_ls(1.5)).unwrap();
    assert_relative_eq!(factor, 0.913_574_449, max_relative = 1e-7);
    // that flow with its leaks is more than its curve tells of
    assert_eq!(head_factor_for(&weak, &system, water(), Flow::from_ls(3.9)), None);
    // and no factor raises no head
    assert_eq!(head_factor_for(&pump(&[(0.0, 10.0), (1.5, 0.0)]), &bare(), water(), Flow::from_ls(1.5)), None);
}

/// Of two crossings the one of the larger flow: 3.5 m at none is less than the lift, the hump more than is asked.
#[test]
fn identity_of_two_duty_points_the_larger() {
    let droops = pump(&[(0.0, 3.5), (1.0, HEAD_M + 0.5), (2.0, HEAD_M - 0.5)]);
    assert_relative_eq!(meets(duty_point(&droops, &bare(), water())).line_flow.ls(), 1.5, max_relative = 1e-6);
    // a summit that governs is told
    let summit = curve(&hills(6.0), FrictionMethod::HazenWilliams);
    let point = meets(duty_point(&through(1.5, 6.288_301_643), &summit, water()));
    assert_relative_eq!(point.line_flow.ls(), 1.5, max_relative = 1e-6);
    assert_eq!(point.governing, 1);
}

/// A guess saves evaluations where it holds, and changes nothing where it does not.
#[test]
fn identity_from_a_flow_near_by_the_same_duty_point() {
    let ls = Flow::from_ls;
    let near = |curve, about, off| duty_point_near(curve, &bare(), water(), Some((ls(about), ls(off))));
    let curve = pump(&[(0.0, HEAD_M + 2.0), (0.7, HEAD_M + 1.6), (2.7, HEAD_M - 2.4), (3.0, 0.0)]);
    let far = meets(duty_point(&curve, &bare(), water()));
    assert_eq!(meets(duty_point_near(&curve, &bare(), water(), None)), far);
    for (about, off) in [(1.501, 0.01), (1.499, 0.002), (1.5, 1e-5)] {
        let found = meets(near(&curve, about, off));
        assert_relative_eq!(found.pump_flow.ls(), far.pump_flow.ls(), max_relative = 1e-7);
        assert_relative_eq!(found.line_flow.ls(), far.line_flow.ls(), max_relative = 1e-7);
        assert!(found.evaluations < far.evaluations, "{} {}", found.evaluations, far.evaluations);
    }
    // beside it, on neither side of it, and beyond the curve's ends
    for (about, off) in [(1.4, 0.01), (1.6, 0.01), (1.5, 0.0), (2.9, 0.5), (0.1, 0.5), (1.5, 9.0), (1.5, -0.1)] {
        assert_eq!(meets(near(&curve, about, off)), far, "{about} {off}");
    }
    // of two crossings the larger, though the guess lies at the smaller
    let droops = pump(&[(0.0, 3.5), (1.0, HEAD_M + 0.5), (2.0, HEAD_M - 0.5)]);
    for about in [0.1, 0.2, 0.3, 0.9] {
        assert_eq!(near(&droops, about, 0.1), duty_point(&droops, &bare(), water()));
    }
    // 3.75 m at none are more than 3.7, 3.9 at 0.5 L/s less than 3.978: the line is met there too, below the hump
    let twice = pump(&[(0.0, 3.75), (0.5, 3.9), (1.0, HEAD_M + 0.5), (2.0, HEAD_M - 0.5)]);
    assert_eq!(near(&twice, 0.25, 0.24), duty_point(&twice, &bare(), water()));
    assert_relative_eq!(meets(near(&twice, 0.25, 0.24)).line_flow.ls(), 1.5, max_relative = 1e-6);
    let weak = pump(&[(0.0, 3.0), (1.0, 2.0)]);
    assert_eq!(near(&weak, 0.5, 0.1), duty_point(&weak, &bare(), water()));
}

/// 3.7 m at none; 3.977707 m at 0.5 L/s.
#[test]
fn identity_how_much_a_pump_falls_short() {
    let short = |points: &[(f64, f64)]| match duty_point(&pump(points), &bare(), water()) {
        Duty::CannotLift { short } => short.m(),
        other => panic!("{other:?}"),
    };
    assert_relative_eq!(short(&[(0.0, 3.0), (1.0, 2.0)]), 0.7, max_relative = 1e-9);
    // at its best: over the hump
    assert_relative_eq!(short(&[(0.0, 2.5), (0.5, 3.2), (1.0, 2.0)]), 0.777_707_307, max_relative = 1e-8);
    // at the very end
    assert_relative_eq!(short(&[(0.0, 2.0), (0.5, 3.2), (0.500_001, 3.199)]), 0.777_707_307, max_relative = 1e-8);
    assert_eq!(duty_point(&pump(&[(0.0, 3.0), (1.0, 2.0)]), &bare(), water()).point(), None);
}

/// A duty outside the points is not made up. At 1.4 L/s and 9 m there are 3.381956 m too many.
#[test]
fn identity_a_duty_outside_the_points() {
    let beyond = duty_point(&pump(&[(0.0, 12.0), (1.4, 9.0)]), &bare(), water());
    let Duty::BeyondLastPoint { last, at_least, surplus } = beyond else { panic!("{beyond:?}") };
    assert_eq!(last, Flow::from_ls(1.4));
    assert_relative_eq!(at_least.ls(), 1.4, max_relative = 1e-9);
    assert_relative_eq!(surplus.m(), 3.381_955_830, max_relative = 1e-8);
    let before = duty_point(&pump(&[(1.0, 3.0), (2.0, 1.0)]), &bare(), water());
    assert_eq!(before, Duty::BeforeFirstPoint { first: Flow::from_ls(1.0) });
    // which begins before the line asks for more than it gives
    let point = meets(duty_point(&pump(&[(1.0, HEAD_M + 1.0), (2.0, HEAD_M - 1.0)]), &bare(), water()));
    assert_relative_eq!(point.line_flow.ls(), 1.5, max_relative = 1e-6);
}

/// A hole as wide as the riser: a trickle of a pump that could lift the water comes out there.
#[test]
fn identity_a_leak_that_takes_all() {
    let system = leaking(0.05);
    // at its last point it still gives more than the line asks for
    assert_eq!(duty_point(&pump(&[(0.0, 9.5), (0.1, 9.0)]), &system, water()), Duty::LeakTakesAll);
    // or somewhere on the way
    assert_eq!(duty_point(&pump(&[(0.0, 9.0), (0.1, 0.0)]), &system, water()), Duty::LeakTakesAll);
    // without the hole it lifts
    assert!(duty_point(&pump(&[(0.0, 9.0), (0.1, 0.0)]), &bare(), water()).point().is_some());
}

/// Water higher in the basin: by a metre less lift.
#[test]
fn identity_higher_water_is_less_lift() {
    let point = meets(duty_point(&through(1.5, HEAD_M - 1.0), &bare(), Level::from_m(1.2)));
    assert_relative_eq!(point.line_flow.ls(), 1.5, max_relative = 1e-6);
    assert_relative_eq!(point.head.m(), HEAD_M - 1.0, max_relative = 1e-6);
}
