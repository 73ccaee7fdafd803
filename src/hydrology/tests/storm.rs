use super::super::{
    Distribution, Rain, RainBlock, RainError, StormShape, block_storm, distribution_storm, durations_to_try,
    split_blocks, split_for_losses,
};
use super::{HOSTILE, champaign_rain, close, table};
use crate::quantity::{Duration, Intensity, RainDepth};

fn minutes(durations: &[Duration]) -> Vec<f64> {
    durations.iter().map(|duration| duration.minutes()).collect()
}

#[test]
fn identity_a_block_is_the_mean_intensity() {
    let rain = champaign_rain(10.0);
    let blocks = block_storm(&rain, Duration::from_min(60.0)).unwrap();
    let [block] = blocks.as_slice() else { panic!("{blocks:?}") };
    // NOAA Atlas 14 volume 2, Champaign: 2.17 in in 60 min of the 10-year rain
    close(block.intensity.inh(), 2.17, 1e-9);
    close(block.depth().inch(), 2.17, 1e-9);
    assert!(block_storm(&rain, Duration::from_min(1.0)).is_err());
    assert!(block_storm(&Rain::Constant(Intensity::from_inh(1.0)), Duration::ZERO).is_err());
}

#[test]
fn durations_of_a_table_and_between() {
    let rain = table(&[(5.0, 0.5), (20.0, 1.0), (80.0, 1.5)]);
    let tried =
        |from: f64, to: f64| minutes(&durations_to_try(&rain, Duration::from_min(from), Duration::from_min(to)));
    let near = |found: Vec<f64>, wanted: &[f64]| {
        assert_eq!(found.len(), wanted.len(), "{found:?}");
        found.iter().zip(wanted).for_each(|(found, wanted)| close(*found, *wanted, 1e-9));
    };
    near(tried(5.0, 80.0), &[5.0, 10.0, 20.0, 40.0, 80.0]);
    // ends between the table's durations are ends all the same
    near(tried(8.0, 45.0), &[8.0, 160.0_f64.sqrt(), 20.0, 30.0, 45.0]);
    // the rain is not known beyond the table
    near(tried(1.0, 1000.0), &[5.0, 10.0, 20.0, 40.0, 80.0]);
    near(tried(20.0, 20.0), &[20.0]);
    near(tried(100.0, 200.0), &[]);
    near(tried(40.0, 10.0), &[]);
}

#[test]
fn durations_of_a_formula_climb_by_half() {
    let rain = Rain::formula(Intensity::from_inh(49.7), Duration::from_min(7.2), 0.743).unwrap();
    let found = durations_to_try(&rain, Duration::from_min(5.0), Duration::from_h(24.0));
    close(found.first().unwrap().minutes(), 5.0, 1e-12);
    close(found.last().unwrap().h(), 24.0, 1e-12);
    for pair in found.windows(2) {
        assert!((1.4..=1.5 + 1e-9).contains(&(pair[1] / pair[0])), "{found:?}");
    }
    // a formula that holds up to 14 min only
    let short = Rain::formula(Intensity::from_inh(49.7), Duration::from_min(7.0), 1.5).unwrap();
    close(
        durations_to_try(&short, Duration::from_min(5.0), Duration::from_h(24.0)).last().unwrap().minutes(),
        14.0,
        1e-9,
    );
}

#[test]
fn one_intensity_is_worst_when_it_lasts() {
    let rain = Rain::Constant(Intensity::from_inh(2.0));
    assert_eq!(minutes(&durations_to_try(&rain, Duration::from_min(5.0), Duration::from_min(60.0))), [60.0]);
}

#[test]
fn hostile_durations_give_no_list() {
    let rains = [
        champaign_rain(10.0),
        Rain::Constant(Intensity::from_inh(2.0)),
        Rain::formula(Intensity::from_inh(49.7), Duration::from_min(7.2), 0.743).unwrap(),
    ];
    for rain in rains {
        for from in HOSTILE.map(Duration::from_s) {
            for to in HOSTILE.map(Duration::from_s) {
                let tried = durations_to_try(&rain, from, to);
                assert!(tried.len() < 100);
                assert!(tried.iter().all(|at| at.is_finite() && *at > Duration::ZERO), "{from:?} {to:?} {tried:?}");
                assert!(tried.windows(2).all(|pair| pair[0] < pair[1]), "{from:?} {to:?} {tried:?}");
            }
        }
    }
}

#[test]
fn a_mass_curve_rises_from_nothing_to_the_whole() {
    let curve = |points: &[(f64, f64)]| {
        Distribution::new(points.iter().map(|&(h, share)| (Duration::from_h(h), share)).collect())
    };
    let good = curve(&[(0.0, 0.0), (12.0, 0.25), (18.0, 0.25), (24.0, 1.0)]).unwrap();
    close(good.share(Duration::from_h(6.0)), 0.125, 1e-12);
    close(good.share(Duration::from_h(15.0)), 0.25, 1e-12);
    close(good.share(Duration::from_h(30.0)), 1.0, 0.0);
    close(good.share(Duration::from_h(-1.0)), 0.0, 0.0);
    assert!(good.share(Duration::from_h(f64::NAN)).is_nan());
    for bad in [
        &[(0.0, 0.0)][..],
        &[],
        &[(0.0, 0.1), (24.0, 1.0)],
        &[(1.0, 0.0), (24.0, 1.0)],
        &[(0.0, 0.0), (24.0, 0.9)],
        &[(0.0, 0.0), (6.0, 0.6), (12.0, 0.5), (24.0, 1.0)],
        &[(0.0, 0.0), (6.0, 0.5), (6.0, 0.6), (24.0, 1.0)],
        &[(0.0, 0.0), (6.0, f64::NAN), (24.0, 1.0)],
        &[(0.0, 0.0), (f64::INFINITY, 1.0)],
    ] {
        assert_eq!(curve(bad), Err(RainError::BadDistribution), "{bad:?}");
    }
}

#[test]
fn identity_a_distributed_storm_brings_the_depth() {
    let points = [(0.0, 0.0), (12.0, 0.25), (18.0, 0.25), (24.0, 1.0)];
    let curve = Distribution::new(points.map(|(h, share)| (Duration::from_h(h), share)).to_vec()).unwrap();
    let storm = distribution_storm(RainDepth::from_inch(4.0), &curve).unwrap();
    let intensities: Vec<f64> = storm.iter().map(|block| block.intensity.inh()).collect();
    [1.0 / 12.0, 0.0, 0.5].iter().zip(&intensities).for_each(|(wanted, found)| close(*found, *wanted, 1e-12));
    let depth: RainDepth = storm.iter().map(RainBlock::depth).sum();
    close(depth.inch(), 4.0, 1e-12);
    for depth in [f64::NAN, f64::INFINITY, -1.0, 0.0].map(RainDepth::from_inch) {
        assert!(matches!(distribution_storm(depth, &curve), Err(RainError::NotPositive { .. })));
    }
}

#[test]
fn identity_cutting_a_block_changes_no_rain() {
    let block = |minutes, inh| RainBlock { duration: Duration::from_min(minutes), intensity: Intensity::from_inh(inh) };
    let cut = split_blocks(&[block(25.0, 1.0), block(10.0, 2.0), block(0.0, 3.0)], Duration::from_min(10.0));
    assert_eq!(cut.len(), 5);
    close(cut[0].duration.minutes(), 25.0 / 3.0, 1e-12);
    assert_eq!(cut[3], block(10.0, 2.0));
    for longest in [f64::NAN, -1.0, 0.0, f64::INFINITY].map(Duration::from_s) {
        let whole = [block(25.0, 1.0)];
        // nothing is so short that a block of it could be cut without end
        let cut = split_blocks(&whole, longest);
        assert!(cut == whole || cut.len() == 10_000, "{longest:?}");
    }
}

#[test]
fn rungs_of_a_ladder_by_hand() {
    let near = |found: Vec<Duration>, wanted: &[f64]| {
        assert_eq!(found.len(), wanted.len(), "{found:?}");
        found.iter().zip(wanted).for_each(|(found, wanted)| close(found.minutes(), *wanted, 1e-9));
    };
    let tried =
        |rain: &Rain, from: f64, to: f64| durations_to_try(rain, Duration::from_min(from), Duration::from_min(to));
    let formula = Rain::formula(Intensity::from_inh(60.0), Duration::from_min(5.0), 0.5).unwrap();
    // 2.25 is 1.5², two steps; a little more takes three, and any ratio at least one
    near(tried(&formula, 4.0, 9.0), &[4.0, 6.0, 9.0]);
    near(tried(&formula, 8.0, 27.0), &[8.0, 12.0, 18.0, 27.0]);
    assert_eq!(tried(&formula, 4.0, 9.01).len(), 4);
    near(tried(&formula, 4.0, 4.4), &[4.0, 4.4]);
    near(tried(&formula, 4.0, 4.0), &[4.0]);
    // ln 1.2e10/ln 1.5 = 57.2, 58 steps from a second to four hundred years; there are sixty and no more
    assert_eq!(tried(&formula, 1.0 / 60.0, 2e8).len(), 59);
    assert_eq!(tried(&formula, 1e-6, 1e9).len(), 61);
    // of a table no more than double, and one between at least
    let table = table(&[(5.0, 0.5), (40.0, 1.0), (50.0, 1.0)]);
    near(tried(&table, 5.0, 50.0), &[5.0, 10.0, 20.0, 40.0, 2000.0_f64.sqrt(), 50.0]);
    near(tried(&table, 5.0, 41.0), &[5.0, 10.0, 20.0, 40.0, 1640.0_f64.sqrt(), 41.0]);
    near(tried(&table, 5.0, 5.0), &[5.0]);
    near(tried(&Rain::Constant(Intensity::from_inh(1.0)), 10.0, 5.0), &[]);
}

#[test]
fn cut_for_losses_by_hand() {
    let block = |minutes, inh| RainBlock { duration: Duration::from_min(minutes), intensity: Intensity::from_inh(inh) };
    let count = |blocks: &[RainBlock]| split_for_losses(blocks).len();
    // half of the rain in each half hour: a hundred pieces each, and the dry 25 min in three
    assert_eq!(count(&[block(30.0, 1.0), block(25.0, 0.0), block(30.0, 1.0)]), 203);
    // one part in a thousand of the rain in 20 min: two pieces by time; 999 of the thousand in 199.8, so 200 pieces
    assert_eq!(count(&[block(20.0, 0.003), block(20.0, 2.997)]), 202);
    // dry all the way: by time alone
    assert_eq!(count(&[block(20.0, 0.0), block(10.0, 0.0), block(5.0, 0.0)]), 4);
    let cut = split_for_losses(&[block(30.0, 1.0), block(30.0, 1.0)]);
    assert!(
        cut.iter()
            .all(|piece| piece.intensity == Intensity::from_inh(1.0) && (piece.duration.minutes() - 0.3).abs() < 1e-12)
    );
    // by time: 10 min in two of five, and in one of ten; never more than ten thousand
    let by_time = |longest_min: f64| split_blocks(&[block(10.0, 1.0)], Duration::from_min(longest_min)).len();
    assert_eq!((by_time(5.0), by_time(4.9), by_time(10.0), by_time(9.9), by_time(1e-4)), (2, 3, 1, 2, 10_000));
}

#[test]
fn a_mass_curve_may_be_off_by_rounding() {
    let curve = |first: f64, last: f64| {
        let points = [(0.0, first), (12.0, 0.4), (24.0, last)];
        Distribution::new(points.map(|(h, share)| (Duration::from_h(h), share)).to_vec())
    };
    let good = curve(1e-9, 1.0 - 1e-9).unwrap();
    assert_eq!(good.points().len(), 3);
    assert_eq!(good.duration(), Duration::from_h(24.0));
    assert!(curve(-1e-9, 1.0).is_ok());
    for (first, last) in [(2e-9, 1.0), (-2e-9, 1.0), (0.0, 1.0 + 2e-9), (0.0, 1.0 - 2e-9)] {
        assert_eq!(curve(first, last), Err(RainError::BadDistribution), "{first} {last}");
    }
    // on a point it is the point's own share
    close(good.share(Duration::from_h(12.0)), 0.4, 0.0);
    close(good.share(Duration::from_h(18.0)), 0.7, 1e-8);
}

#[test]
fn shapes_have_names() {
    assert_eq!(StormShape::Nested.name(), "nested storm");
    assert_eq!(StormShape::Block(Duration::from_h(1.0)).name(), "steady rain");
    assert_eq!(StormShape::Distribution("type II").name(), "type II");
}
