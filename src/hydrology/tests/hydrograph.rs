use super::super::{Hydrograph, Rain, RainBlock, RainError, SurfaceLoss, excess_blocks, nested_storm, split_blocks};
use super::{HOSTILE, champaign_rain, close, table};
use crate::quantity::{Area, Duration, Flow, Intensity, Volume};
use proptest::prelude::*;

fn block(minutes: f64, inh: f64) -> RainBlock {
    RainBlock { duration: Duration::from_min(minutes), intensity: Intensity::from_inh(inh) }
}

fn of(excess: &[RainBlock], ft2: f64, tc: f64) -> Hydrograph {
    Hydrograph::of_surface(excess, Area::from_ft2(ft2), Duration::from_min(tc)).unwrap()
}

fn volume_of(excess: &[RainBlock], ft2: f64) -> Volume {
    let depth_m: f64 = excess.iter().map(|block| block.depth().m()).sum();
    Volume::from_m3(depth_m * Area::from_ft2(ft2).m2())
}

/// The modified rational method: shapes of Dhakal et al. (2014), section 2, eq. 2 and figure 1; coefficient 0.9,
/// 4 in/h on half an acre, time of concentration 10 min.
#[test]
fn published_trapezoids() {
    let half_an_acre = Area::from_acre(0.5);
    let full = Intensity::from_inh(0.9 * 4.0) * half_an_acre;
    for (minutes, rises, falls, last, share) in
        [(20.0, 10.0, 20.0, 30.0, 1.0), (10.0, 10.0, 10.0, 20.0, 1.0), (5.0, 5.0, 10.0, 15.0, 0.5)]
    {
        let excess = excess_blocks(&SurfaceLoss::Coefficient(0.9), &[block(minutes, 4.0)]);
        let hydrograph = Hydrograph::of_surface(&excess, half_an_acre, Duration::from_min(10.0)).unwrap();
        let (when, peak) = hydrograph.peak();
        close(when.minutes(), rises, 1e-9);
        close(peak / full, share, 1e-12);
        close(hydrograph.at(Duration::from_min(falls)) / full, share, 1e-12);
        close(hydrograph.at(Duration::from_min(rises / 2.0)) / full, share / 2.0, 1e-12);
        close(hydrograph.last().minutes(), last, 1e-9);
        // 1.00833 is what US examples leave out
        close(hydrograph.volume().ft3() / (43560.0 / 12.0 / 3600.0), 0.9 * 4.0 * 0.5 * minutes * 60.0, 1e-6);
    }
}

#[test]
fn slope_changes_are_the_whole_hydrograph() {
    let hydrograph = of(&[block(20.0, 2.0), block(10.0, 0.0), block(5.0, 3.0)], 4000.0, 12.0);
    let changes = hydrograph.slope_changes();
    assert!(changes.windows(2).all(|pair| pair[0].0 < pair[1].0));
    for (at, flow) in hydrograph.points() {
        let from_slopes: f64 = changes.iter().map(|&(t_s, change)| (at.s() - t_s).max(0.0) * change).sum();
        close(from_slopes, flow.m3s(), 1e-15);
    }
    close(changes.iter().map(|change| change.1).sum(), 0.0, 1e-18);
}

#[test]
fn what_is_no_surface_is_refused() {
    let rain = [block(10.0, 1.0)];
    for bad in HOSTILE {
        let tc = Hydrograph::of_surface(&rain, Area::from_ft2(1000.0), Duration::from_s(bad));
        assert_eq!(matches!(tc, Err(RainError::BadDuration { .. })), !(bad.is_finite() && bad > 0.0), "{bad}");
        let area = Hydrograph::of_surface(&rain, Area::from_m2(bad), Duration::from_min(5.0));
        assert_eq!(area == Err(RainError::BadRunoff), !(bad.is_finite() && bad >= 0.0), "{bad}");
        let excess = [RainBlock { duration: Duration::from_min(5.0), intensity: Intensity::from_ms(bad) }];
        let excess = Hydrograph::of_surface(&excess, Area::from_m2(10.0), Duration::from_min(5.0));
        assert_eq!(excess == Err(RainError::BadRunoff), !(bad.is_finite() && bad >= 0.0), "{bad}");
    }
}

#[test]
fn one_odd_block_among_good_ones_is_refused() {
    let good = block(10.0, 5.0);
    let area = Area::from_m2(10.0);
    for odd in [-1.0, f64::NAN, f64::INFINITY] {
        for bad in [block(odd, 1.0), block(5.0, odd)] {
            let excess = [good, bad];
            let found = Hydrograph::of_surface(&excess, area, Duration::from_min(5.0));
            assert_eq!(found, Err(RainError::BadRunoff), "{bad:?}");
        }
    }
    // a flow beyond all numbers: 10 m of excess on 1e308 m2, and on 1e306 m2 within a thousandth of a second
    let flood = [RainBlock { duration: Duration::from_s(10.0), intensity: Intensity::from_ms(1.0) }];
    for (m2, tc_s) in [(1e308, 1.0), (1e306, 1e-3)] {
        let found = Hydrograph::of_surface(&flood, Area::from_m2(m2), Duration::from_s(tc_s));
        assert_eq!(found, Err(RainError::BadRunoff), "{m2} {tc_s}");
    }
    assert!(Hydrograph::of_surface(&flood, Area::from_m2(1e300), Duration::from_s(1.0)).is_ok());
}

#[test]
fn a_hydrograph_by_hand() {
    // 1000 m2, 36 mm/h for 100 s, 100 s of none, 18 mm/h for 100 s; over 100 s of concentration: up to 0.01 m3/s at 100 s,
    // down to nothing at 200 s, up to 0.005 at 300 s and away at 400 s
    let second = |duration: f64, mmh: f64| RainBlock {
        duration: Duration::from_s(duration),
        intensity: Intensity::from_mmh(mmh),
    };
    let excess = [second(100.0, 36.0), second(100.0, 0.0), second(100.0, 18.0)];
    let found = Hydrograph::of_surface(&excess, Area::from_m2(1000.0), Duration::from_s(100.0)).unwrap();
    let points: Vec<(f64, f64)> = found.points().map(|(at, flow)| (at.s(), flow.m3s())).collect();
    assert_eq!(points.len(), 5, "{points:?}");
    for (found, wanted) in points.iter().zip([(0.0, 0.0), (100.0, 0.01), (200.0, 0.0), (300.0, 0.005), (400.0, 0.0)]) {
        close(found.0, wanted.0, 1e-9);
        close(found.1, wanted.1, 1e-15);
    }
    let at = |t_s: f64| found.at(Duration::from_s(t_s)).m3s();
    for (t_s, flow) in [
        (-1.0, 0.0),
        (50.0, 0.005),
        (100.0, 0.01),
        (150.0, 0.005),
        (250.0, 0.0025),
        (399.0, 5e-5),
        (400.0, 0.0),
        (500.0, 0.0),
    ] {
        close(at(t_s), flow, 1e-15);
    }
    // (0.01 + 0.005) x 200/2 m3
    close(found.volume().m3(), 1.5, 1e-12);
    close(found.peak().0.s(), 100.0, 1e-9);
    close(found.peak().1.m3s(), 0.01, 1e-15);
    close(found.last().s(), 400.0, 1e-9);
    // up by 1e-4 m3/s², down by 2e-4, up by 1.5e-4, down by 1e-4, up by 0.5e-4
    let changes = found.slope_changes();
    let wanted = [(0.0, 1e-4), (100.0, -2e-4), (200.0, 1.5e-4), (300.0, -1e-4), (400.0, 0.5e-4)];
    assert_eq!(changes.len(), 5, "{changes:?}");
    for (found, wanted) in changes.iter().zip(wanted) {
        close(found.0, wanted.0, 1e-9);
        close(found.1, wanted.1, 1e-16);
    }
}

#[test]
fn without_rain_nothing_comes() {
    for hydrograph in [of(&[], 1000.0, 5.0), of(&[block(0.0, 5.0)], 1000.0, 5.0), Hydrograph::sum(&[])] {
        assert_eq!(hydrograph, Hydrograph::default());
        assert_eq!(hydrograph.peak(), (Duration::ZERO, Flow::ZERO));
        assert_eq!((hydrograph.volume(), hydrograph.last()), (Volume::ZERO, Duration::ZERO));
        assert_eq!(hydrograph.at(Duration::from_min(3.0)), Flow::ZERO);
        assert!(hydrograph.slope_changes().is_empty());
    }
    assert!(of(&[block(5.0, 5.0)], 1000.0, 5.0).at(Duration::from_s(f64::NAN)).m3s().is_nan());
    // dry blocks
    assert_eq!(of(&[block(10.0, 0.0)], 1000.0, 5.0).peak(), (Duration::ZERO, Flow::ZERO));
}

#[test]
fn identity_surfaces_of_one_time_share_their_points() {
    let storm = nested_storm(&champaign_rain(10.0), Duration::from_min(5.0), Duration::from_h(24.0)).unwrap();
    let parts = [of(&storm, 1000.0, 7.0), of(&storm, 2000.0, 7.0), of(&storm, 500.0, 7.0)];
    assert_eq!(Hydrograph::sum(&parts).points().count(), parts[0].points().count());
    close(Hydrograph::sum(&parts).peak().1 / of(&storm, 3500.0, 7.0).peak().1, 1.0, 1e-12);
}

/// The rational method's peak, found again from the whole storm.
#[test]
fn identity_a_nested_storm_peaks_at_the_rational_peak() {
    let formula = Rain::formula(Intensity::from_inh(49.7), Duration::from_min(7.2), 0.743).unwrap();
    for rain in [champaign_rain(10.0), champaign_rain(100.0), formula] {
        let storm = nested_storm(&rain, Duration::from_min(5.0), Duration::from_h(24.0)).unwrap();
        let excess = excess_blocks(&SurfaceLoss::Coefficient(0.35), &storm);
        let share = |tc: f64| {
            let rational = rain.intensity(Duration::from_min(tc)).unwrap() * Area::from_ft2(6000.0) * 0.35;
            of(&excess, 6000.0, tc).peak().1 / rational
        };
        // the durations of the storm
        let sides = storm.iter().skip(storm.len() / 2 + 1);
        let mut duration = Duration::from_min(5.0);
        close(share(5.0), 1.0, 1e-9);
        for side in sides {
            duration += side.duration * 2.0;
            close(share(duration.minutes()), 1.0, 1e-9);
        }
        // and any other
        for step in 0..400 {
            let tc = 5.0 * libm::pow(288.0, f64::from(step) / 400.0);
            let share = share(tc);
            assert!((0.99..=1.0 + 1e-9).contains(&share), "{tc} min: {share}");
        }
        // a burst shorter than any of the storm is not in it
        let hardest = rain.intensity(Duration::from_min(5.0)).unwrap() * Area::from_ft2(6000.0) * 0.35;
        close(of(&excess, 6000.0, 3.0).peak().1 / hardest, 1.0, 1e-9);
    }
}

/// A table whose depth stands still and then grows again is no more than its durations in the middle.
#[test]
fn a_table_that_bends_upwards_may_bring_more_beside_the_middle() {
    let rain = table(&[(5.0, 0.5), (10.0, 0.5), (20.0, 0.9), (60.0, 1.2)]);
    let storm = nested_storm(&rain, Duration::from_min(5.0), Duration::from_min(60.0)).unwrap();
    let rational = rain.intensity(Duration::from_min(10.0)).unwrap() * Area::from_ft2(6000.0);
    assert!(of(&storm, 6000.0, 10.0).peak().1 > rational * 1.01);
}

fn rain_blocks() -> impl Strategy<Value = Vec<RainBlock>> {
    prop::collection::vec((0.0..90.0, prop_oneof![Just(0.0), 0.0..9.0]), 1..12)
        .prop_map(|blocks| blocks.into_iter().map(|(minutes, inh)| block(minutes, inh)).collect())
}

proptest! {
    #[test]
    fn identity_no_water_is_lost_or_negative(excess in rain_blocks(), ft2 in 1.0..50_000.0, tc in 0.1..200.0) {
        let hydrograph = of(&excess, ft2, tc);
        let whole = volume_of(&excess, ft2);
        prop_assert!((hydrograph.volume() - whole).abs() <= whole * 1e-9);
        prop_assert!(hydrograph.points().all(|(_, flow)| flow >= Flow::ZERO));
        prop_assert!(hydrograph.points().last().is_none_or(|last| last.1 == Flow::ZERO));
        let hardest = excess.iter().map(|block| block.intensity.ms()).fold(0.0, f64::max);
        prop_assert!(hydrograph.peak().1.m3s() <= hardest * Area::from_ft2(ft2).m2() * (1.0 + 1e-9));
    }

    #[test]
    fn identity_a_sum_is_the_sum_at_any_time(
        one in rain_blocks(), other in rain_blocks(), tcs in (0.1..200.0, 0.1..200.0), at in 0.0..1500.0,
    ) {
        let parts = [of(&one, 3000.0, tcs.0), of(&other, 900.0, tcs.1), of(&one, 500.0, tcs.0)];
        let sum = Hydrograph::sum(&parts);
        let at = Duration::from_min(at);
        let wanted: f64 = parts.iter().map(|part| part.at(at).m3s()).sum();
        prop_assert!((sum.at(at).m3s() - wanted).abs() <= 1e-12);
        let volume: Volume = parts.iter().map(Hydrograph::volume).sum();
        prop_assert!((sum.volume() - volume).abs() <= volume * 1e-9);
    }

    #[test]
    fn identity_cutting_steady_rain_changes_nothing(
        excess in rain_blocks(), tc in 0.1..200.0, longest in 0.5..60.0, at in 0.0..1200.0,
    ) {
        let (whole, cut) = (of(&excess, 3000.0, tc), of(&split_blocks(&excess, Duration::from_min(longest)), 3000.0, tc));
        let at = Duration::from_min(at);
        prop_assert!((whole.at(at) - cut.at(at)).abs() <= whole.peak().1 * 1e-9 + Flow::from_m3s(1e-15));
        prop_assert!((whole.peak().1 - cut.peak().1).abs() <= whole.peak().1 * 1e-9);
    }
}
