mod figures;

use super::*;
use approx::assert_relative_eq;
use proptest::prelude::*;

#[test]
fn identity_the_kernel_says_what_the_quantities_say() {
    let grate = grate(48.0, 62.0, 0.5);
    for step in 1..200_u32 {
        let depth_m = 0.002 * f64::from(step);
        let (flow, slope) = grate.kernel().flow_and_slope(depth_m);
        assert_relative_eq!(flow, grate.flow(Length::from_m(depth_m)).m3s(), max_relative = 1e-13);
        let beside = |by: f64| grate.kernel().flow_and_slope(depth_m + by).0;
        assert_relative_eq!(slope, (beside(1e-7) - beside(-1e-7)) / 2e-7, max_relative = 1e-5);
    }
    assert_eq!(grate.kernel().flow_and_slope(-0.1), (0.0, 0.0));
}

fn grate(perimeter_in: f64, open_in2: f64, clogged: f64) -> Grate {
    Grate { perimeter: Length::from_inch(perimeter_in), open_area: Area::from_in2(open_in2), clogged }
}

#[test]
fn identity_where_the_laws_meet_they_are_equal() {
    let grate = grate(48.0, 62.0, 0.0);
    let depth = grate.meeting_depth().unwrap();
    let (weir, orifice) = (weir_flow(grate.perimeter, depth), openings_flow(grate.open_area, depth));
    assert_relative_eq!(weir.gpm(), orifice.gpm(), max_relative = 1e-12);
    // 1 - 0.2 × 5/16
    assert_relative_eq!(grate.flow(depth) / weir, 0.9375, max_relative = 1e-12);
    // most is rounded off there, so that the upper end of the search is just the depth
    assert_relative_eq!(grate.depth_for(grate.flow(depth)).unwrap().m(), depth.m(), max_relative = 1e-9);
    assert_eq!(grate.flow(depth * 1.51), openings_flow(grate.open_area, depth * 1.51));
    assert_eq!(grate.flow(depth * 0.66), weir_flow(grate.perimeter, depth * 0.66));
    assert_eq!(grate.regime(depth * 0.49), GrateRegime::Weir);
    assert_eq!(grate.regime(depth), GrateRegime::Between);
    assert_eq!(grate.regime(depth * 2.01), GrateRegime::Orifice);
    assert_eq!(GrateRegime::Between.words(), "between weir and orifice");
}

#[test]
fn identity_a_grate_clogged_whole_takes_nothing() {
    let (clogged, open) = (grate(48.0, 62.0, 1.0), grate(48.0, 62.0, 0.0));
    let (flow, depth) = (Flow::from_gpm(10.0), Length::from_inch(3.0));
    assert_eq!((clogged.flow(depth), clogged.depth_for(flow)), (Flow::ZERO, None));
    assert_eq!(clogged.size_factor_for(flow, depth), None);
    assert_eq!(common_level(&[(Level::ZERO, clogged)], flow), None);
    assert_eq!(common_level(&[], flow), None);
    assert_eq!(open.depth_for(Flow::ZERO), Some(Length::ZERO));
    assert_eq!(open.depth_for(Flow::from_gpm(f64::NAN)), None);
    assert_eq!(open.flow(Length::ZERO), Flow::ZERO);
    // the level of no flow is that of the lowest open rim
    let rims = [(Level::from_ft(1.0), clogged), (Level::from_ft(3.0), open), (Level::from_ft(2.0), open)];
    assert_eq!(common_level(&rims, Flow::ZERO), Some(Level::from_ft(2.0)));
}

#[test]
fn identity_nothing_odd_comes_of_odd_numbers() {
    let odd = [-1e9, -2.0, -1e-12, 0.0, 1e-12, 0.5, 3.0, 1e9];
    for (a, b) in odd.iter().flat_map(|a| odd.iter().map(move |b| (*a, *b))) {
        for (c, d) in odd.iter().flat_map(|c| odd.iter().map(move |d| (*c, *d))) {
            let grate = Grate { perimeter: Length::from_m(a), open_area: Area::from_m2(b), clogged: c };
            let flow = grate.flow(Length::from_m(d));
            assert!(flow >= Flow::ZERO, "{grate:?} {d}");
            if let Some(depth) = grate.depth_for(Flow::from_m3s(d)) {
                assert!(depth >= Length::ZERO, "{grate:?} {d}");
            }
            let level = common_level(&[(Level::from_m(a), grate), (Level::from_m(b), grate)], Flow::from_m3s(d));
            assert!(level.is_none_or(|level| !level.m().is_nan()), "{grate:?} {d}");
            assert!(grate.meeting_depth().is_none_or(|depth| depth > Length::ZERO));
            assert!(grate.size_factor_for(flow, Length::from_m(c)).is_none_or(|factor| factor >= 0.0));
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn identity_never_above_either_law(perimeter in 6.0..200.0_f64, open in 2.0..600.0_f64, clogged in 0.0..0.99_f64, depth in 0.01..30.0_f64) {
        let (grate, depth) = (grate(perimeter, open, clogged), Length::from_inch(depth));
        let share = 1.0 - clogged;
        let lesser = weir_flow(grate.perimeter * share, depth).min(openings_flow(grate.open_area * share, depth));
        let flow = grate.flow(depth);
        prop_assert!(flow <= lesser && flow >= lesser * 0.9374);
        prop_assert!(grate.flow(depth * 1.01) > flow);
        assert_relative_eq!(grate.depth_for(flow).unwrap().m(), depth.m(), max_relative = 1e-9);
    }

    #[test]
    fn identity_more_clogging_never_makes_less_depth(perimeter in 6.0..200.0_f64, open in 2.0..600.0_f64, clogged in 0.0..0.9_f64, more in 0.0..0.09_f64, flow in 0.1..1000.0_f64) {
        let flow = Flow::from_gpm(flow);
        let (less, more) = (grate(perimeter, open, clogged), grate(perimeter, open, clogged + more));
        prop_assert!(more.depth_for(flow).unwrap() >= less.depth_for(flow).unwrap() * (1.0 - 1e-12));
    }

    #[test]
    fn identity_a_grate_larger_by_the_factor_takes_the_flow(perimeter in 6.0..200.0_f64, open in 2.0..600.0_f64, depth in 0.1..12.0_f64, flow in 1.0..1000.0_f64) {
        let (flow, depth) = (Flow::from_gpm(flow), Length::from_inch(depth));
        let factor = grate(perimeter, open, 0.5).size_factor_for(flow, depth).unwrap();
        let larger = grate(perimeter * factor, open * factor, 0.5);
        assert_relative_eq!(larger.flow(depth).gpm(), flow.gpm(), max_relative = 1e-12);
    }

    #[test]
    fn identity_what_grates_take_together_is_the_flow(rims in prop::collection::vec((0.0..2.0_f64, 6.0..200.0_f64, 2.0..600.0_f64, 0.0..0.9_f64), 1..5), flow in 0.1..2000.0_f64) {
        let grates: Vec<(Level, Grate)> = rims
            .into_iter()
            .map(|(rim, perimeter, open, clogged)| (Level::from_ft(rim), grate(perimeter, open, clogged)))
            .collect();
        let flow = Flow::from_gpm(flow);
        let level = common_level(&grates, flow).unwrap();
        assert_relative_eq!(common_flow(&grates, level).gpm(), flow.gpm(), max_relative = 1e-6);
    }
}
