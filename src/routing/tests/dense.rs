//! A cubic inside a step, and the sums that are kept: by hand.

use crate::routing::dense::{Cubic, Dense};
use crate::routing::totals::{Seen, Totals};
use approx::assert_relative_eq;

/// 1 + 2.25 s - 6 s² + 4 s³: its slope 12 (s - 1/4) (s - 3/4), so that it rises to 1.25, falls to 1 and rises to 1.25.
fn wave() -> Cubic {
    Cubic::of_powers(1.0, [2.25, -6.0, 4.0])
}

fn powers(cubic: Cubic) {
    for (power, by_hand) in cubic.powers().into_iter().zip([2.25, -6.0, 4.0]) {
        assert_relative_eq!(power, by_hand, max_relative = 1e-12);
    }
}

fn dense(cubic: Cubic) -> Dense {
    let mut dense = Dense::new(2);
    dense.cubics_mut()[1] = cubic;
    dense
}

#[test]
fn identity_a_cubic_by_its_powers() {
    let wave = wave();
    powers(wave);
    for (share, value) in [(0.0, 1.0), (0.25, 1.25), (0.5, 1.125), (0.75, 1.0), (0.9, 1.081), (1.0, 1.25), (1.2, 1.25)]
    {
        assert_relative_eq!(wave.at(share), value, max_relative = 1e-12);
        assert_relative_eq!(dense(wave).at(1, share), value, max_relative = 1e-12);
    }
    assert_relative_eq!(dense(wave).end(1), 1.25, max_relative = 1e-12);
    assert_relative_eq!(dense(wave).cubic(1).at(0.5), 1.125, max_relative = 1e-12);
    assert_relative_eq!(dense(wave).at(0, 0.5), 0.0);
    // by its ends and bends: y = start (1-s) + s (end + (1-s) (bend + s twist)), with bend 2 and twist -4
    let same = Cubic::new(1.0, 1.25, 2.0, -4.0);
    powers(same);
}

/// Its part from 0.2 on over half of the step.
#[test]
fn identity_a_part_of_a_cubic_is_a_cubic() {
    let (whole, part) = (wave(), wave().part(wave().at(0.2), 0.2, 0.5));
    for share in [0.0, 0.1, 0.4, 0.75, 1.0] {
        assert_relative_eq!(part.at(share), whole.at(0.2 + 0.5 * share), max_relative = 1e-12);
    }
    // the powers by hand: slope at 0.2 is 12 x 0.05 x 0.55 = 0.33, half the bend there -6 + 12 x 0.2 = -3.6
    for (power, by_hand) in part.powers().into_iter().zip([0.165, -0.9, 0.5]) {
        assert_relative_eq!(power, by_hand, max_relative = 1e-9);
    }
}

#[test]
fn identity_where_a_cubic_turns_from_rising_to_falling() {
    let of = |cubic: Cubic, share: f64| dense(cubic).summit(1, share);
    assert_relative_eq!(of(wave(), 0.5).unwrap(), 0.25, max_relative = 1e-12);
    assert_relative_eq!(of(wave(), 0.26).unwrap(), 0.25, max_relative = 1e-12);
    // it still rises at 0.24, and again at the end
    for share in [0.24, 0.9, 1.0] {
        assert_eq!(of(wave(), share), None);
    }
    // upside down it falls first
    assert_eq!(of(Cubic::of_powers(1.0, [-2.25, 6.0, -4.0]), 0.5), None);
    // and then rises and falls: 3/4 of the way
    assert_eq!(of(Cubic::of_powers(1.0, [-2.25, 6.0, -4.0]), 1.0), None);
    // a parabola 2 s - 2 s² with its top half-way; a straight line has none
    assert_relative_eq!(of(Cubic::of_powers(0.0, [2.0, -2.0, 0.0]), 1.0).unwrap(), 0.5, max_relative = 1e-12);
    assert_eq!(of(Cubic::of_powers(0.0, [2.0, 0.0, 0.0]), 1.0), None);
    // s - s³: √(1/3)
    assert_relative_eq!(
        of(Cubic::of_powers(0.0, [1.0, 0.0, -1.0]), 1.0).unwrap(),
        f64::sqrt(1.0 / 3.0),
        max_relative = 1e-12
    );
}

/// The wave is at 1.125 where (s - 1/2) (4 s² - 4 s + 1/4) is nothing: at 1/2 and (1 ± √(3/4)) / 2.
#[test]
fn identity_where_a_cubic_crosses_a_level() {
    let wave = dense(wave());
    let near = (1.0 - f64::sqrt(0.75)) / 2.0;
    for (volume, up, from, until, share) in [
        (1.125, true, 0.0, 1.0, Some(near)),
        (1.125, true, 0.0, 0.06, None),
        (1.125, false, near + 1e-6, 1.0, Some(0.5)),
        (1.125, false, near + 1e-6, 0.49, None),
        (1.125, true, 0.5 + 1e-6, 1.0, Some(1.0 - near)),
        (1.125, true, 0.5 + 1e-6, 0.93, None),
        // above already, below already
        (1.125, true, 0.2, 1.0, Some(0.2)),
        (1.125, false, 0.6, 1.0, Some(0.6)),
        // above already, on the way down
        (1.125, true, 0.3, 1.0, Some(0.3)),
        // just at the level it is not yet past it
        (1.0, false, 0.0, 0.5, None),
        // never
        (1.3, true, 0.0, 1.0, None),
        (0.9, false, 0.0, 1.0, None),
        (1.25, true, 0.0, 1.0, None),
        // as low as 1 only at its bottom: not below
        (1.0, false, 0.1, 1.0, None),
    ] {
        let found = wave.crosses(1, volume, up, (from, until));
        assert_eq!(found.is_some(), share.is_some(), "{volume} {up} {from} {until} {found:?}");
        if let (Some(found), Some(share)) = (found, share) {
            assert_relative_eq!(found, share, epsilon = 1e-9);
        }
    }
    // a straight line
    let line = dense(Cubic::of_powers(1.0, [4.0, 0.0, 0.0]));
    assert_relative_eq!(line.crosses(1, 2.0, true, (0.0, 1.0)).unwrap(), 0.25, max_relative = 1e-12);
    assert_eq!(line.crosses(1, 2.0, true, (0.0, 0.2)), None);
    assert_eq!(line.crosses(1, 5.0, true, (0.0, 1.0)), None);
}

#[test]
fn identity_a_level_is_seen_by_hand() {
    let mut seen = Seen::default();
    assert_eq!((seen.longest_until(50.0), seen.above_until(50.0)), (0.0, 0.0));
    seen.rises(100.0);
    assert_eq!((seen.first_s, seen.since_s, seen.times), (Some(100.0), Some(100.0), 1));
    assert_eq!((seen.longest_until(130.0), seen.above_until(130.0)), (30.0, 30.0));
    seen.falls(140.0);
    assert_eq!((seen.longest_s, seen.above_s, seen.since_s), (40.0, 40.0, None));
    // what fell already does not fall again
    seen.falls(150.0);
    assert_eq!((seen.longest_s, seen.above_s), (40.0, 40.0));
    seen.rises(200.0);
    assert_eq!((seen.longest_until(210.0), seen.above_until(210.0)), (40.0, 50.0));
    assert_eq!((seen.longest_until(290.0), seen.above_until(290.0)), (90.0, 130.0));
    seen.falls(225.0);
    assert_eq!((seen.first_s, seen.longest_s, seen.above_s, seen.times), (Some(100.0), 40.0, 65.0, 2));
}

/// What one cycle added comes four times more.
#[test]
fn identity_cycles_are_added_up() {
    let mut then = Totals::none(2, 1, 1);
    then.pumped_m3 = 1.0;
    then.lead_starts = 3;
    then.lag_starts = 1;
    then.lead_s = 10.0;
    then.inflow_m3[1] = 5.0;
    let mut now = then.clone();
    now.inflow_m3[1] = 7.0;
    now.paths_m3[0] = 0.5;
    now.seeps_m3[0] = 0.25;
    now.pumped_m3 = 4.0;
    now.ran_back_m3 = 0.75;
    now.lead_s = 40.0;
    now.lag_s = 6.0;
    now.lead_starts = 4;
    now.lag_starts = 3;
    assert_eq!((now.starts(), now.left_by_pump_m3()), (7, 3.25));
    now.repeat(&then, 4.0);
    assert_eq!((now.inflow_m3, now.paths_m3, now.seeps_m3), (vec![0.0, 15.0], vec![2.5], vec![1.25]));
    assert_eq!((now.pumped_m3, now.ran_back_m3, now.lead_s, now.lag_s), (16.0, 3.75, 160.0, 30.0));
    assert_eq!((now.lead_starts, now.lag_starts), (8, 11));
}
