use super::{A40, A50, hole, line, run, valve};
use crate::hydraulics::{DischargeLine, stretch_volume};
use crate::hydraulics::{DrainBack, drain_back};
use crate::quantity::{Length, Level};
use approx::assert_relative_eq;

/// Up from 1 to 3, down to 2, up to 4 (the highest, at 40 m), down to 3, up to 3.5; the water comes out at 3.8.
fn hills() -> DischargeLine {
    line(&[(0.0, 1.0), (20.0, 3.0), (30.0, 2.0), (40.0, 4.0), (55.0, 3.0), (70.0, 3.5)])
}

fn back(line: &DischargeLine, stop: f64) -> DrainBack {
    drain_back(line, Level::from_m(0.2), Level::from_m(stop))
}

/// Of the 40 m up to the highest point the sag keeps 15 m: from the lip at 20 m to level 3 on the rise from 2 to 4, at
/// 35 m. Of the riser 0.7 m stand above the water at 0.3.
#[test]
fn identity_what_runs_back_by_hand() {
    let back = back(&hills(), 0.3);
    assert_relative_eq!(back.line_volume.m3(), 42.0 * A50 + 30.0 * A40, max_relative = 1e-12);
    assert_relative_eq!(back.held_in_sags.m3(), 15.0 * A50, max_relative = 1e-9);
    assert_relative_eq!(back.without_valve.m3(), (0.7 + 25.0) * A50, max_relative = 1e-9);
    // with no valve, or one of no known height, the riser alone runs back
    assert_relative_eq!(back.with_valve.m3(), 0.7 * A50, max_relative = 1e-9);
    assert_relative_eq!(back.highest_at.m(), 40.0);
}

/// The floor at 0.2: water at 0.3 stands 0.1 above it.
#[test]
fn identity_a_valve_holds_what_is_above_it() {
    for (height, runs_back) in [(Some(0.8), 0.7), (Some(0.4), 0.3), (Some(0.05), 0.0), (None, 0.7)] {
        let line = DischargeLine { check_valve: Some(valve(height)), ..hills() };
        assert_relative_eq!(back(&line, 0.3).with_valve.m3(), runs_back * A50, epsilon = 1e-12);
    }
    // never more of the riser than there is, and never more than would run back without the valve
    let high = DischargeLine { check_valve: Some(valve(Some(9.0))), ..hills() };
    assert_relative_eq!(back(&high, 0.3).with_valve.m3(), 2.0 * A50, max_relative = 1e-9);
    let falling = DischargeLine { profile: super::points(&[(0.0, 1.0), (70.0, 0.0)]), ..high };
    let falling =
        DischargeLine { outlet: crate::hydraulics::Outlet { level: Level::ZERO, ..falling.outlet.clone() }, ..falling };
    assert_relative_eq!(back(&falling, 0.3).with_valve.m3(), 0.7 * A50, max_relative = 1e-9);
}

#[test]
fn identity_the_riser_falls_as_far_as_it_stands_above_the_water() {
    for (stop, falls) in [(0.3, 0.7), (1.0, 0.0), (1.5, 0.0), (-0.5, 1.5), (-3.0, 2.0)] {
        assert_relative_eq!(back(&hills(), stop).without_valve.m3(), (falls + 25.0) * A50, max_relative = 1e-9);
    }
    // without a profile all of it runs back
    let back = back(&line(&[]), 0.3);
    assert_relative_eq!(back.without_valve.m3(), 42.0 * A50 + 30.0 * A40, max_relative = 1e-12);
    assert_relative_eq!(back.highest_at.m(), 70.0);
    assert_relative_eq!(back.held_in_sags.m3(), 0.0);
}

#[test]
fn identity_where_a_line_is_highest() {
    for (through, at) in [
        (vec![(0.0, 1.0), (40.0, 4.0), (70.0, 3.0)], 40.0),
        // the outlet at 3.8 stands higher than all
        (vec![(0.0, 1.0), (40.0, 3.7), (70.0, 3.0)], 70.0),
        // of two alike the first, the end among them
        (vec![(0.0, 1.0), (40.0, 3.8), (70.0, 3.0)], 40.0),
        // a tape that measures longer than the pipe does not lead beyond it
        (vec![(0.0, 1.0), (70.5, 5.0)], 70.0),
        // a profile that ends on the way says nothing of the outlet
        (vec![(0.0, 1.0), (30.0, 2.0), (50.0, 1.5)], 30.0),
    ] {
        assert_relative_eq!(line(&through).highest_at().m(), at);
    }
}

#[test]
fn identity_the_water_between_two_stations() {
    let line = line(&[]);
    let volume = |from: f64, to: f64| stretch_volume(&line, Length::from_m(from), Length::from_m(to)).m3();
    for (from, to, of_50, of_40) in
        [(0.0, 70.0, 40.0, 30.0), (30.0, 50.0, 10.0, 10.0), (5.0, 15.0, 10.0, 0.0), (45.0, 60.0, 0.0, 15.0)]
    {
        assert_relative_eq!(volume(from, to), of_50 * A50 + of_40 * A40, max_relative = 1e-12);
    }
    for (from, to) in [(70.0, 90.0), (20.0, 20.0), (30.0, 20.0), (-5.0, 0.0)] {
        assert_relative_eq!(volume(from, to), 0.0);
    }
}

/// 40 m of 50 mm that rise 4 m from the hole on: 2 V / (Cd A √2g (0 + √4)), with V = 0.07853982 m³ and Cd A = 0.6 x
/// 7.853982e-5 m²: 0.15707963 / (4.712389e-5 x 4.428690 x 2) = 376.33396 s.
#[test]
fn identity_draining_through_a_hole_by_hand() {
    let rising = line(&[(0.0, 1.0), (40.0, 5.0), (70.0, 4.0)]);
    let hole = hole(0.01, None, 0.6);
    let time = |line: &DischargeLine, level: f64| {
        line.drain_time(&hole, Level::from_m(level)).map(crate::quantity::Duration::s)
    };
    assert_relative_eq!(time(&rising, 1.0).unwrap(), 376.333_963, max_relative = 1e-6);
    // 1 m lower: √1 + √5 for √4
    assert_relative_eq!(time(&rising, 0.0).unwrap(), 376.333_963 * 2.0 / (1.0 + f64::sqrt(5.0)), max_relative = 1e-6);
    // what rises again beyond the highest point drains the other way
    let again = line(&[(0.0, 1.0), (40.0, 5.0), (55.0, 3.0), (70.0, 4.0)]);
    assert_relative_eq!(time(&again, 1.0).unwrap(), 376.333_963, max_relative = 1e-6);
    // two risers have a hole each
    let twice = DischargeLine { risers: 2, ..rising.clone() };
    assert_relative_eq!(time(&twice, 1.0).unwrap(), 188.166_982, max_relative = 1e-6);
    // nothing comes through a hole above it all
    assert_relative_eq!(time(&rising, 5.0).unwrap(), 0.0);
    // a sag keeps 15 m of the 20 m between 20 and 40 m: 5 m under √2 and √3, with 20 m under √0 and √2 before it
    let sagging = line(&[(0.0, 1.0), (20.0, 3.0), (30.0, 2.0), (40.0, 4.0), (70.0, 3.5)]);
    let area = 0.6 * std::f64::consts::PI * 0.01 * 0.01 / 4.0 * f64::sqrt(2.0 * 9.806_65);
    let by_hand = 2.0 * 20.0 * A50 / (area * f64::sqrt(2.0)) + 2.0 * 5.0 * A50 / (area * (1.0 + f64::sqrt(3.0)));
    assert_relative_eq!(time(&sagging, 1.0).unwrap(), by_hand, max_relative = 1e-9);
    // level pipe does not drain by its rise, and two points are a profile
    let level = line(&[(0.0, 5.0), (70.0, 5.0)]);
    assert_relative_eq!(time(&level, 1.0).unwrap(), 0.0);
    let mut bare = rising;
    bare.runs = vec![run(0.05, 40.0, 0.0)];
    bare.profile.truncate(2);
    assert_relative_eq!(time(&bare, 1.0).unwrap(), 376.333_963, max_relative = 1e-6);
    bare.profile.truncate(1);
    assert_eq!(time(&bare, 1.0), None);
}
