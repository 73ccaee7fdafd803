use super::*;
use crate::working::Silent;
use approx::assert_relative_eq;

/// Litres a second and metres, so that the figures below can be worked by hand.
fn points(points: &[(f64, f64)]) -> Vec<(Flow, Head)> {
    points.iter().map(|(q, h)| (Flow::from_m3s(q / 1000.0), Head::from_m(*h))).collect()
}

fn curve(of: &[(f64, f64)], interpolation: Interpolation) -> PumpCurve {
    PumpCurve::new(&points(of), interpolation).unwrap()
}

fn head_m(curve: &PumpCurve, q: f64) -> Option<f64> {
    let flow = Flow::from_m3s(q / 1000.0);
    let plain = curve.head(flow).map(Head::m);
    let worked = curve.head_worked(&mut Silent, flow).map(Head::m);
    assert_eq!(plain.is_some(), worked.is_some());
    if let (Some(plain), Some(worked)) = (plain, worked) {
        assert_relative_eq!(plain, worked, max_relative = 1e-12);
    }
    plain
}

const FALLING: [(f64, f64); 4] = [(0.0, 30.0), (10.0, 28.0), (20.0, 24.0), (40.0, 10.0)];

/// The differences are -0.2, -0.4, -0.7. Slopes: at the ends ((2 x 10 + 10) x -0.2 - 10 x -0.4) / 20 = -0.1 and
/// ((2 x 20 + 10) x -0.7 - 20 x -0.4) / 30 = -0.9; inside 60 / (30 / -0.2 + 30 / -0.4) = -0.266667 and
/// 90 / (50 / -0.4 + 40 / -0.7) = -0.494118.
#[test]
fn identity_the_cubic_by_hand() {
    let curve = curve(&FALLING, Interpolation::Monotone);
    for (q, head) in [
        (0.0, 30.0),
        (10.0, 28.0),
        (20.0, 24.0),
        (40.0, 10.0),
        // halfway: the mean of the heads and an eighth of the difference of the rises
        (5.0, 29.0 + (-1.0 + 2.666_667) / 8.0),
        (30.0, 17.0 + (-9.882_353 + 18.0) / 8.0),
        // a quarter of the way: 24 x 0.84375 + 10 x 0.15625 - 9.882353 x 0.140625 + 18 x 0.046875
        (25.0, 21.266_544),
    ] {
        assert_relative_eq!(head_m(&curve, q).unwrap(), head, epsilon = 1e-6);
    }
    for outside in [-0.001, 40.001, f64::NAN] {
        assert_eq!(head_m(&curve, outside), None);
    }
}

#[test]
fn identity_straight_lines_by_hand() {
    let curve = curve(&FALLING, Interpolation::Straight);
    for (q, head) in [(0.0, 30.0), (2.5, 29.5), (10.0, 28.0), (25.0, 20.5), (40.0, 10.0)] {
        assert_relative_eq!(head_m(&curve, q).unwrap(), head, max_relative = 1e-12);
    }
    assert_eq!(curve.interpolation(), Interpolation::Straight);
    assert_eq!(head_m(&curve, 40.001), None);
    let two = self::curve(&[(0.0, 30.0), (10.0, 20.0)], Interpolation::Monotone);
    assert_relative_eq!(head_m(&two, 2.5).unwrap(), 27.5, max_relative = 1e-12);
}

/// At a turn the curve is level; at the ends the slope is held to three differences (0.9 to 0.6 here) and never turns
/// against its stretch ((3 x -0.1 + 0.9) / 2 is above zero: level).
#[test]
fn identity_slopes_at_turns_and_ends_by_hand() {
    let droops = curve(&[(0.0, 20.0), (10.0, 22.0), (20.0, 10.0)], Interpolation::Monotone);
    assert_relative_eq!(head_m(&droops, 5.0).unwrap(), 21.0 + 6.0 / 8.0, epsilon = 1e-9);
    assert_relative_eq!(head_m(&droops, 15.0).unwrap(), 16.0 + 19.0 / 8.0, epsilon = 1e-9);
    let level = curve(&[(0.0, 20.0), (10.0, 19.0), (20.0, 10.0)], Interpolation::Monotone);
    assert_relative_eq!(head_m(&level, 5.0).unwrap(), 19.5 + 1.8 / 8.0, epsilon = 1e-9);
    // between a mild turn and its three differences: (3 x 0.2 + 0.1) / 2 = 0.35 stands
    let mild = curve(&[(0.0, 20.0), (10.0, 22.0), (20.0, 21.0)], Interpolation::Monotone);
    assert_relative_eq!(head_m(&mild, 5.0).unwrap(), 21.0 + 3.5 / 8.0, epsilon = 1e-9);
    // a stretch without fall: level at both its ends
    let flat = curve(&[(0.0, 20.0), (10.0, 20.0), (20.0, 10.0)], Interpolation::Monotone);
    assert_relative_eq!(head_m(&flat, 5.0).unwrap(), 20.0, epsilon = 1e-12);
    assert_relative_eq!(head_m(&flat, 15.0).unwrap(), 15.0 + 15.0 / 8.0, epsilon = 1e-9);
}

#[test]
fn identity_what_a_curve_says_of_itself() {
    let falling = curve(&FALLING, Interpolation::default());
    assert_eq!(falling.shut_off_head(), Some(Head::from_m(30.0)));
    assert!(!falling.droops());
    assert_eq!(falling.highest(), (Flow::ZERO, Head::from_m(30.0)));
    assert_eq!((falling.first_flow(), falling.last_flow()), (Flow::ZERO, Flow::from_m3s(0.04)));
    assert_eq!(falling.interpolation(), Interpolation::Monotone);
    assert_eq!(falling.points().collect::<Vec<_>>(), points(&FALLING));
    let droops = curve(&[(5.0, 20.0), (10.0, 22.0), (20.0, 10.0)], Interpolation::Monotone);
    assert_eq!(droops.shut_off_head(), None);
    assert!(droops.droops());
    assert_eq!(droops.highest(), (Flow::from_m3s(0.01), Head::from_m(22.0)));
    assert_eq!(droops.first_flow(), Flow::from_m3s(0.005));
    // the reverse order is turned round
    let reversed: Vec<_> = FALLING.iter().rev().copied().collect();
    assert_eq!(curve(&reversed, Interpolation::Monotone), falling);
}

#[test]
fn identity_a_worn_pump_is_lower_everywhere() {
    let new = curve(&FALLING, Interpolation::Monotone);
    for q in [0.0, 3.0, 10.0, 25.0, 39.0] {
        let head = head_m(&new, q).unwrap();
        assert_relative_eq!(head_m(&new.worn(0.2), q).unwrap(), head * 0.8, max_relative = 1e-12);
        assert_relative_eq!(head_m(&new.scaled(1.5), q).unwrap(), head * 1.5, max_relative = 1e-12);
        assert_relative_eq!(head_m(&new.worn(1.5), q).unwrap(), 0.0);
        assert_relative_eq!(head_m(&new.worn(-0.5), q).unwrap(), head, max_relative = 1e-12);
        assert_relative_eq!(head_m(&new.scaled(-1.0), q).unwrap(), 0.0);
    }
}

#[test]
fn points_that_make_no_curve() {
    let error = |of: &[(f64, f64)]| PumpCurve::new(&points(of), Interpolation::Monotone).unwrap_err();
    assert_eq!(error(&[]), CurveError::TooFewPoints);
    assert_eq!(error(&[(0.0, 30.0)]), CurveError::TooFewPoints);
    for bad in [(-1.0, 20.0), (10.0, -1.0), (f64::NAN, 20.0), (10.0, f64::INFINITY)] {
        assert_eq!(error(&[(0.0, 30.0), bad]), CurveError::NotANumber(1));
    }
    assert_eq!(error(&[(0.0, 30.0), (10.0, 20.0), (10.0, 15.0)]), CurveError::SameFlow(2));
    assert_eq!(error(&[(0.0, 30.0), (0.0, 20.0)]), CurveError::SameFlow(1));
    assert_eq!(error(&[(0.0, 30.0), (20.0, 20.0), (10.0, 15.0)]), CurveError::SameFlow(2));
    assert_eq!(error(&[(0.0, 30.0), (10.0, 20.0), (20.0, 25.0)]), CurveError::Rises(2));
    assert_eq!(error(&[(0.0, 20.0), (10.0, 22.0), (20.0, 21.0), (30.0, 23.0)]), CurveError::Rises(3));
    assert_eq!(error(&[(0.0, 20.0), (10.0, 22.0)]), CurveError::Rises(1));
    assert_eq!(error(&[(0.0, 20.0), (10.0, 22.0), (20.0, 24.0)]), CurveError::Rises(2));
    // no flow and no head are a point too
    assert!(PumpCurve::new(&points(&[(0.0, 20.0), (10.0, 0.0)]), Interpolation::Monotone).is_ok());
}
