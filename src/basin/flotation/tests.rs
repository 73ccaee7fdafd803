use super::*;
use approx::assert_relative_eq;
use proptest::prelude::*;

fn pcf(value: f64) -> Density {
    Density::from_kgm3(value * POUND / (FOOT * FOOT * FOOT))
}

fn basin() -> Flotation {
    let across = Length::from_inch(24.0);
    Flotation {
        outside: across.circle(),
        outside_diameter: across,
        depth: Length::from_inch(48.0),
        water: Length::from_inch(48.0),
        basin_weight: Weight::from_lb(90.0),
        flange: Some(Length::from_inch(30.0)),
        collar: None,
        soil_saturated: pcf(120.0),
        concrete: pcf(150.0),
    }
}

/// 24 in across and 48 in deep in ground full of water: uplift π/4 x 2² x 4 x 62.4 = 784.142 lb; the flange of 30 in
/// carries π/4 (2.5² - 2²) x 4 ft3 of soil of 120 - 62.4 lb/ft3, 407.150 lb.
#[test]
fn identity_weights_by_hand() {
    let judged = basin().judge(1.25);
    assert_relative_eq!(judged.uplift.lb(), 784.142, epsilon = 1e-3);
    assert_relative_eq!(judged.soil.lb(), 407.150, epsilon = 1e-3);
    assert_relative_eq!(judged.safety, 497.150 / 784.142, epsilon = 1e-5);
    assert_relative_eq!(judged.missing.lb(), 1.25 * 784.142 - 497.150, epsilon = 2e-3);
    assert_relative_eq!(judged.concrete.ft3(), 483.027 / 87.6, epsilon = 1e-4);
    assert_relative_eq!(judged.concrete_in_soil.ft3(), 483.027 / 30.0, epsilon = 1e-4);
    assert_relative_eq!(judged.lifts_at.unwrap().ft(), 497.150 / 784.142 * 4.0, epsilon = 1e-4);
}

/// A ring 6 in wide and 6 in thick on the same basin: 1.963 ft3 of concrete of 87.6 lb/ft3 under water, and above it
/// 3.5 ft of soil of 57.6 lb/ft3 on the 3.927 ft2 that reach beyond the flange's.
#[test]
fn identity_a_ring_by_hand() {
    let inch = Length::from_inch;
    let collar = Collar::ring(inch(24.0), inch(6.0), inch(6.0), pcf(150.0));
    assert_relative_eq!(collar.volume.ft3(), 1.963_495, epsilon = 1e-6);
    let judged = Flotation { collar: Some(collar), ..basin() }.judge(1.25);
    assert_relative_eq!(judged.collar.lb(), 172.002, epsilon = 1e-3);
    assert_relative_eq!(judged.soil.lb(), 791.681, epsilon = 1e-3);
    assert_relative_eq!(judged.safety, 1_053.683 / 784.142, epsilon = 1e-5);
    // a ring narrower than the flange takes the place of soil that counts: the soil over the flange, less the ring
    let narrow = Collar::ring(inch(24.0), inch(1.0), inch(6.0), pcf(150.0));
    let judged = Flotation { collar: Some(narrow), ..basin() }.judge(1.25);
    assert_relative_eq!(judged.soil.lb(), 407.150 - narrow.volume.ft3() * 57.6, epsilon = 1e-3);
    // a ring that stands higher than the ground has no soil above it
    let tall = Collar::ring(inch(24.0), inch(6.0), inch(60.0), pcf(150.0));
    let judged = Flotation { collar: Some(tall), flange: None, ..basin() }.judge(1.25);
    assert_relative_eq!(judged.soil.lb(), 0.0, epsilon = 1e-6);
    // a narrow flange and a narrow basin: what does not reach beyond the wall carries nothing
    let inside = Flotation { flange: Some(inch(20.0)), ..basin() }.judge(1.25);
    assert_relative_eq!(inside.soil.lb(), 0.0, epsilon = 1e-9);
}

/// Without a flange 980.177 - 90 lb are missing; a ring 6 in thick holds 0.5 x 87.6 + 3.5 x 57.6 lb/ft2: 3.628 ft2, so
/// 2.936 ft across. What stands there already does not count.
#[test]
fn identity_the_ring_wanted_by_hand() {
    let inch = Length::from_inch;
    let bare = Flotation { flange: None, ..basin() };
    assert_relative_eq!(bare.collar_for(1.25, inch(6.0)).unwrap().inch(), 5.614_488, epsilon = 1e-3);
    let there = Collar::ring(inch(24.0), inch(3.0), inch(4.0), pcf(150.0));
    let ringed = Flotation { collar: Some(there), ..bare };
    assert_relative_eq!(ringed.collar_for(1.25, inch(6.0)).unwrap().inch(), 5.614_488, epsilon = 1e-3);
    // as thick as the basin is deep: no soil above it
    assert!(bare.collar_for(1.25, inch(48.0)).is_some());
}

/// Peat of 50 lb/ft3 would float itself: it holds nothing, and takes nothing off.
#[test]
fn identity_soil_lighter_than_water_holds_nothing() {
    let peat = Flotation { soil_saturated: pcf(50.0), ..basin() }.judge(1.25);
    assert_relative_eq!(peat.soil.lb(), 0.0, epsilon = 1e-9);
    assert_relative_eq!(peat.safety, 90.0 / 784.142, epsilon = 1e-5);
    assert_relative_eq!(peat.concrete.m3(), peat.concrete_in_soil.m3(), max_relative = 1e-12);
}

#[test]
fn identity_soil_full_of_water_by_hand() {
    // 100 (1 - 1 / 2.65) + 62.4 lb/ft3
    assert_relative_eq!(saturated_from_dry(pcf(100.0), 2.65).kgm3(), pcf(124.664_151).kgm3(), max_relative = 1e-8);
    assert_relative_eq!(water_density().kgm3(), 999.552, epsilon = 1e-3);
}

#[test]
fn identity_nothing_missing_needs_no_concrete() {
    let heavy = Flotation { basin_weight: Weight::from_lb(2_000.0), ..basin() };
    let judged = heavy.judge(1.25);
    assert_eq!((judged.missing, judged.concrete, judged.concrete_in_soil), (Weight::ZERO, Volume::ZERO, Volume::ZERO));
    assert_eq!(judged.lifts_at, None);
    assert_eq!(heavy.collar_for(1.25, Length::from_inch(6.0)), Some(Length::ZERO));
}

#[test]
fn identity_nothing_lifts_in_dry_ground() {
    let dry = Flotation { water: Length::ZERO, ..basin() }.judge(1.5);
    assert!(dry.safety.is_infinite() && dry.safety > 0.0);
    assert_eq!(dry.missing, Weight::ZERO);
    let nothing = Flotation { basin_weight: Weight::ZERO, flange: None, water: Length::ZERO, ..basin() }.judge(1.5);
    assert!(nothing.safety.is_infinite() && nothing.safety > 0.0);
    // water above the ground runs into the basin instead
    let flooded = Flotation { water: Length::from_inch(60.0), ..basin() };
    assert_eq!(flooded.judge(1.25), basin().judge(1.25));
}

#[test]
fn identity_concrete_no_heavier_than_soil_never_helps_in_it() {
    let soaked = Flotation { soil_saturated: pcf(150.0), concrete: pcf(140.0), ..basin() }.judge(3.0);
    assert!(soaked.concrete.is_finite() && soaked.concrete_in_soil.m3().is_infinite());
    let foam = Flotation { concrete: pcf(60.0), ..basin() }.judge(1.25);
    assert!(foam.concrete.m3().is_infinite());
    // nor does a ring of it as thick as the basin is deep
    for no_help in [60.0, 62.4] {
        assert_eq!(Flotation { concrete: pcf(no_help), ..basin() }.collar_for(1.25, basin().depth), None);
    }
}

#[test]
fn identity_no_ring_thicker_than_the_basin_is_deep() {
    for thickness in [0.0, -1.0, 49.0, f64::NAN] {
        assert_eq!(basin().collar_for(1.25, Length::from_inch(thickness)), None);
    }
}

#[test]
fn identity_a_collar_of_known_weight() {
    let volume = Volume::from_ft3(2.0);
    let known = Collar { volume, ring: None, density: Density::ZERO, weight_in_air: Some(Weight::from_lb(300.0)) };
    assert_relative_eq!(known.submerged_weight().lb(), 300.0 - 2.0 * 62.4, max_relative = 1e-12);
    let alike = Collar { volume, ring: None, density: pcf(150.0), weight_in_air: None };
    assert_relative_eq!(known.submerged_weight().n(), alike.submerged_weight().n(), max_relative = 1e-12);
}

#[test]
fn identity_what_is_no_number_shows() {
    let nan = f64::NAN;
    let unknown = [
        Flotation { water: Length::from_m(nan), ..basin() },
        Flotation { depth: Length::from_m(nan), ..basin() },
        Flotation { basin_weight: Weight::from_n(nan), ..basin() },
        Flotation { flange: Some(Length::from_m(nan)), ..basin() },
        Flotation { soil_saturated: Density::from_kgm3(nan), ..basin() },
        Flotation { outside: Area::from_m2(nan), ..basin() },
    ];
    for unknown in unknown {
        let judged = unknown.judge(1.25);
        assert!(judged.safety.is_nan() && judged.missing.n().is_nan(), "{unknown:?}");
        assert_eq!(unknown.collar_for(1.25, Length::from_inch(6.0)), None, "{unknown:?}");
        // where it lifts does not depend on where the water is
        assert!(judged.lifts_at.is_none() || unknown.water.m().is_nan(), "{unknown:?}");
    }
}

fn any_basin() -> impl Strategy<Value = Flotation> {
    let (size, ground) = ((12.0..72.0_f64, 12.0..120.0_f64), (63.0..140.0_f64, 100.0..160.0_f64));
    (size, ground, 0.0..1.0_f64, 5.0..2_000.0_f64, proptest::option::of(0.0..24.0_f64)).prop_map(
        |((across, depth), (soil, concrete), water, weight, flange)| Flotation {
            outside: Length::from_inch(across).circle(),
            outside_diameter: Length::from_inch(across),
            depth: Length::from_inch(depth),
            water: Length::from_inch(depth * water),
            basin_weight: Weight::from_lb(weight),
            flange: flange.map(|wider| Length::from_inch(across + wider)),
            collar: None,
            soil_saturated: pcf(soil),
            concrete: pcf(concrete),
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn identity_the_concrete_found_gives_the_factor(basin in any_basin(), wanted in 0.5..3.0_f64) {
        let judged = basin.judge(wanted);
        let collar = Collar { volume: judged.concrete, ring: None, density: basin.concrete, weight_in_air: None };
        let after = Flotation { collar: Some(collar), ..basin }.judge(wanted);
        if judged.missing > Weight::ZERO {
            assert_relative_eq!(after.safety, wanted, max_relative = 1e-9);
        } else {
            prop_assert_eq!(judged.concrete, Volume::ZERO);
            prop_assert!(judged.safety >= wanted);
        }
        prop_assert!(judged.concrete_in_soil >= judged.concrete);
    }

    #[test]
    fn identity_the_ring_found_gives_the_factor(basin in any_basin(), wanted in 0.5..3.0_f64, share in 0.01..1.0_f64) {
        let thickness = basin.depth * share;
        let width = basin.collar_for(wanted, thickness).unwrap();
        let ring = |width| {
            let collar = Collar::ring(basin.outside_diameter, width, thickness, basin.concrete);
            Flotation { collar: Some(collar), ..basin }.judge(wanted)
        };
        if width > Length::ZERO {
            assert_relative_eq!(ring(width).safety, wanted, max_relative = 1e-9);
            prop_assert!(basin.judge(wanted).safety < wanted);
        } else {
            prop_assert!(basin.judge(wanted).safety >= wanted);
        }
        // a ring beyond the flange holds the more the wider it is
        let beyond = basin.flange.map_or(Length::ZERO, |flange| flange - basin.outside_diameter);
        let (narrow, wide) = (ring(beyond + width), ring((beyond + width) * 1.1 + Length::from_inch(1.0)));
        prop_assert!(wide.safety >= narrow.safety);
    }

    #[test]
    fn identity_more_weight_is_safer_and_more_water_is_not(basin in any_basin(), more in 1.0..2.0_f64) {
        let first = basin.judge(1.25);
        prop_assert!(first.safety >= 0.0 && first.missing >= Weight::ZERO);
        let heavier = Flotation { basin_weight: basin.basin_weight * more, ..basin }.judge(1.25);
        let wetter = Flotation { water: basin.water * more, ..basin }.judge(1.25);
        let bare = Flotation { flange: None, ..basin }.judge(1.25);
        prop_assert!(heavier.safety >= first.safety && wetter.safety <= first.safety && bare.safety <= first.safety);
    }

    #[test]
    fn identity_it_lifts_where_the_safety_is_one(basin in any_basin()) {
        if let Some(water) = basin.judge(1.25).lifts_at {
            assert_relative_eq!(Flotation { water, ..basin }.judge(1.25).safety, 1.0, max_relative = 1e-9);
        } else {
            let full = Flotation { water: basin.depth, ..basin }.judge(1.25);
            prop_assert!(full.safety >= 1.0);
        }
    }
}
