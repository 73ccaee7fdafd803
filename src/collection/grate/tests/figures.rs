//! Grates by hand, in feet and seconds: what each law gives, and what is asked of a grate that is none.

use super::super::*;
use approx::assert_relative_eq;

/// A rim of 4 ft round openings of 1 ft².
const GRATE: Grate = Grate { perimeter: Length::from_ft(4.0), open_area: Area::from_ft2(1.0), clogged: 0.0 };

fn ft(value: f64) -> Length {
    Length::from_ft(value)
}

#[test]
fn each_law_by_hand() {
    // 3.0 x 4 ft x 0.25^1.5 = 1.5 ft3/s exactly
    assert_relative_eq!(weir_flow(ft(4.0), ft(0.25)).ft3s(), 1.5, max_relative = 1e-13);
    // g = 9.80665/0.3048 = 32.17405 ft/s2; 0.67 x 1 ft2 x √(2 x 32.17405 x 0.25) = 0.67 x 4.010863 = 2.687278 ft3/s
    assert_relative_eq!(openings_flow(GRATE.open_area, ft(0.25)).ft3s(), 2.687_278_40, max_relative = 1e-8);
    // metres: 3.0 √0.3048 = 1.65627, over 1 m under 0.1 m 0.0523756 m3/s
    assert_relative_eq!(
        weir_flow(Length::from_m(1.0), Length::from_m(0.1)).m3s(),
        0.052_375_566_8,
        max_relative = 1e-9
    );
    // they meet where 12 d^1.5 = 0.67 √(64.3481 d): d = 0.67 x 8.021726/12 = 0.447880 ft
    assert_relative_eq!(GRATE.meeting_depth().unwrap().ft(), 0.447_879_733, max_relative = 1e-8);
}

#[test]
fn both_laws_together_by_hand() {
    // at 0.25 ft the lesser of 1.5 and 2.687278, at 0.75 ft of 7.794229 and 4.654503; between, by the formula with mpmath:
    // at 0.4 ft of 3.035787 and 3.399168, at 0.5 ft of 4.242641 and 3.800386
    for (depth, by_hand) in [(0.25, 1.5), (0.4, 2.969_548_606), (0.5, 3.714_587_768), (0.75, 4.654_502_723)] {
        let flow = GRATE.flow(ft(depth));
        assert_relative_eq!(flow.ft3s(), by_hand, max_relative = 1e-9);
        assert_relative_eq!(GRATE.depth_for(flow).unwrap().ft(), depth, max_relative = 1e-12);
        // half of it blocked takes half; blocked more than whole is whole, less than not at all is not at all
        let with = |clogged: f64| Grate { clogged, ..GRATE }.flow(ft(depth));
        assert_relative_eq!(with(0.5).ft3s(), by_hand / 2.0, max_relative = 1e-9);
        assert_relative_eq!(with(-3.0).ft3s(), by_hand, max_relative = 1e-9);
        assert_eq!(with(1.5), Flow::ZERO);
    }
    // how fast it grows, by differences of the same formula with mpmath: ft3/s in a foot of depth
    for (depth, slope) in
        [(0.2, 8.049_844_7), (0.4, 9.226_555_5), (0.45, 7.448_743_7), (0.6, 3.628_961_0), (1.0, 2.687_278_4)]
    {
        let (flow_m3s, slope_m2s) = GRATE.kernel().flow_and_slope(ft(depth).m());
        assert_relative_eq!(flow_m3s, GRATE.flow(ft(depth)).m3s(), max_relative = 1e-12);
        assert_relative_eq!(slope_m2s, slope * FOOT * FOOT, max_relative = 1e-7);
    }
}

#[test]
fn either_law_alone_governs_far_from_where_they_meet() {
    // a thousandth and a thousand times the depth at which they are equal: nothing is rounded off there
    for depth in [0.000_447_88, 447.88] {
        let depth = ft(depth);
        let lesser = weir_flow(GRATE.perimeter, depth).min(openings_flow(GRATE.open_area, depth));
        assert_relative_eq!(GRATE.flow(depth).m3s(), lesser.m3s(), max_relative = 1e-15);
        assert_relative_eq!(GRATE.kernel().flow_and_slope(depth.m()).0, lesser.m3s(), max_relative = 1e-15);
        assert_relative_eq!(GRATE.depth_for(lesser).unwrap().m(), depth.m(), max_relative = 1e-12);
    }
    // 1.5 Q/d over the rim, 0.5 Q/d through the openings
    for (depth, power) in [(0.000_447_88, 1.5), (447.88, 0.5)] {
        let (flow, slope) = GRATE.kernel().flow_and_slope(depth);
        assert_relative_eq!(slope, power * flow / depth, max_relative = 1e-13);
    }
}

#[test]
fn the_zone_between_the_laws_has_its_ends() {
    let meeting = GRATE.meeting_depth().unwrap();
    let hair = 1.0 + 1e-12;
    for (depth, regime) in [
        (meeting * 0.5 / hair, GrateRegime::Weir),
        (meeting * 0.5, GrateRegime::Between),
        (meeting * 2.0, GrateRegime::Between),
        (meeting * 2.0 * hair, GrateRegime::Orifice),
        (Length::ZERO, GrateRegime::Weir),
    ] {
        assert_eq!(GRATE.regime(depth), regime, "{} ft", depth.ft());
    }
    for none in [Grate { perimeter: Length::ZERO, ..GRATE }, Grate { open_area: Area::ZERO, ..GRATE }] {
        assert_eq!((none.meeting_depth(), none.regime(ft(9.0))), (None, GrateRegime::Weir));
    }
    let words = [GrateRegime::Weir, GrateRegime::Between, GrateRegime::Orifice].map(GrateRegime::words);
    assert_eq!(words, ["weir", "between weir and orifice", "orifice"]);
}

#[test]
fn identity_what_is_no_grate_takes_nothing() {
    let (depth, flow) = (ft(0.5), Flow::from_ft3s(1.0));
    for none in [
        Grate { perimeter: Length::ZERO, ..GRATE },
        Grate { perimeter: ft(-1.0), ..GRATE },
        Grate { open_area: Area::ZERO, ..GRATE },
        Grate { open_area: Area::from_ft2(-1.0), ..GRATE },
        Grate { clogged: 1.0, ..GRATE },
    ] {
        assert_eq!((none.flow(depth), none.kernel().flow_and_slope(depth.m())), (Flow::ZERO, (0.0, 0.0)), "{none:?}");
        assert_eq!((none.depth_for(flow), none.size_factor_for(flow, depth)), (None, None), "{none:?}");
        // not even nothing
        assert_eq!(none.depth_for(Flow::ZERO), None);
        assert!(none.kernel().is_finite());
    }
    assert_eq!((GRATE.flow(ft(-1.0)), GRATE.flow(Length::ZERO)), (Flow::ZERO, Flow::ZERO));
    assert_eq!(GRATE.kernel().flow_and_slope(0.0), (0.0, 0.0));
    assert_eq!(GRATE.depth_for(Flow::from_ft3s(-1.0)), Some(Length::ZERO));
    // without a rim that ends, the openings alone decide, and the other way round
    for endless in [
        Grate { perimeter: Length::from_m(f64::INFINITY), ..GRATE },
        Grate { open_area: Area::from_m2(f64::INFINITY), ..GRATE },
    ] {
        assert!(!endless.kernel().is_finite());
        assert_eq!(endless.depth_for(flow), None);
    }
}

#[test]
fn identity_what_is_no_number_stays_none() {
    let (nan, depth, flow) = (f64::NAN, ft(0.5), Flow::from_ft3s(1.0));
    for odd in [
        Grate { perimeter: Length::from_m(nan), ..GRATE },
        Grate { open_area: Area::from_m2(nan), ..GRATE },
        Grate { clogged: nan, ..GRATE },
    ] {
        assert!(odd.flow(depth).m3s().is_nan(), "{odd:?}");
        assert_eq!((odd.depth_for(flow), odd.size_factor_for(flow, depth)), (None, None), "{odd:?}");
        // one such grate, and the level of all is unknown
        assert_eq!(common_level(&[(Level::ZERO, GRATE), (Level::ZERO, odd)], flow), None);
    }
    assert!(GRATE.flow(Length::from_m(nan)).m3s().is_nan());
    assert_eq!(GRATE.depth_for(Flow::from_m3s(nan)), None);
    assert_eq!(GRATE.depth_for(Flow::from_m3s(f64::INFINITY)), None);
    assert_eq!(GRATE.size_factor_for(Flow::from_m3s(nan), depth), None);
    assert_eq!(common_level(&[(Level::ZERO, GRATE)], Flow::from_m3s(nan)), None);
    for rim in [nan, f64::INFINITY] {
        assert_eq!(common_level(&[(Level::ZERO, GRATE), (Level::from_m(rim), GRATE)], flow), None);
    }
}

#[test]
fn how_much_larger_a_grate_must_be_by_hand() {
    // 3.714588 ft3/s at 0.5 ft: twice as much needs twice the grate, none needs none, and at no depth nothing helps
    let factor = |cfs: f64, depth: f64| GRATE.size_factor_for(Flow::from_ft3s(cfs), ft(depth));
    assert_relative_eq!(factor(7.429_175_536, 0.5).unwrap(), 2.0, max_relative = 1e-8);
    assert_relative_eq!(factor(1.857_293_884, 0.5).unwrap(), 0.5, max_relative = 1e-8);
    assert_eq!((factor(0.0, 0.5), factor(-1.0, 0.5), factor(1.0, 0.0)), (Some(0.0), Some(0.0), None));
}

#[test]
fn several_grates_under_one_water_level_by_hand() {
    // rims at 100 and 100.5 ft under water at 100.75 ft: 4.654503 + 1.5 = 6.154503 ft3/s
    let rims = [(Level::from_ft(100.0), GRATE), (Level::from_ft(100.5), GRATE)];
    assert_relative_eq!(common_flow(&rims, Level::from_ft(100.75)).ft3s(), 6.154_502_723, max_relative = 1e-9);
    let level = |cfs: f64| common_level(&rims, Flow::from_ft3s(cfs)).unwrap().ft() - 100.0;
    assert_relative_eq!(level(6.154_502_723), 0.75, max_relative = 1e-8);
    // while the water is below the upper rim the lower grate is alone: 1.5 ft3/s at 0.25 ft
    assert_relative_eq!(level(1.5), 0.25, max_relative = 1e-8);
    assert_eq!((level(0.0), level(-1.0)), (0.0, 0.0));
    // two alike at one rim share the flow
    let alike = [rims[0], rims[0]];
    let found = common_level(&alike, Flow::from_ft3s(2.0 * 3.714_587_768)).unwrap();
    assert_relative_eq!(found.ft() - 100.0, 0.5, max_relative = 1e-8);
    // one by itself takes it all
    let found = common_level(&rims[..1], Flow::from_ft3s(4.654_502_723)).unwrap();
    assert_relative_eq!(found.ft() - 100.0, 0.75, max_relative = 1e-8);
}
