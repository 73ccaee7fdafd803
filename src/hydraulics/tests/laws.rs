//! Water, friction and losses by their formulas: what a few powers and roots come to, worked with Python.

use crate::hydraulics::Water;
use crate::hydraulics::friction::*;
use crate::hydraulics::loss::*;
use crate::quantity::{Area, Flow, Head, Length, Level, Temperature, Velocity, Viscosity};
use approx::assert_relative_eq;

fn water(celsius: f64) -> Water {
    Water::at(Temperature::from_celsius(celsius))
}

/// Pa under a column of water: ρ g h.
fn pascals(water: Water, head: Head) -> f64 {
    water.density().kgm3() * 9.806_65 * head.m()
}

/// Density by Kell 1975 and viscosity by IAPWS SR6-08, term by term in Python.
#[test]
fn crosscheck_density_and_viscosity_term_by_term() {
    for (celsius, density, viscosity) in [
        (0.0, 999.839_52, 1.792_070_021e-6),
        (10.0, 999.699_63, 1.306_294_094e-6),
        (25.0, 997.044_90, 8.926_346_023e-7),
        (40.0, 992.215_77, 6.578_543_657e-7),
    ] {
        assert_relative_eq!(water(celsius).density().kgm3(), density, epsilon = 6e-6);
        assert_relative_eq!(water(celsius).viscosity().m2s(), viscosity, max_relative = 1e-9);
    }
}

/// Steam tables, Pa, from memory; a ten-thousandth, and two where the table has three figures less.
#[test]
fn published_pressure_at_which_water_boils() {
    for (celsius, pressure) in [(0.01, 611.657), (10.0, 1_228.2), (20.0, 2_339.3), (30.0, 4_247.0), (40.0, 7_384.9)] {
        assert_relative_eq!(pascals(water(celsius), water(celsius).vapour_head()), pressure, max_relative = 1e-4);
    }
}

/// The US standard atmosphere of 1976, Pa, from memory.
#[test]
fn published_pressure_of_the_air() {
    for (metres, pressure) in
        [(0.0, 101_325.0), (1_000.0, 89_875.0), (2_000.0, 79_495.0), (3_000.0, 70_109.0), (-100.0, 102_532.0)]
    {
        let head = water(10.0).atmospheric_head(Level::from_m(metres));
        assert_relative_eq!(pascals(water(10.0), head), pressure, max_relative = 1e-5);
    }
    // 101325 / (999.69963 x 9.80665)
    assert_relative_eq!(water(10.0).atmospheric_head(Level::ZERO).m(), 10.335_379, epsilon = 1e-6);
    // above all air there is none
    assert_eq!(water(10.0).atmospheric_head(Level::from_m(60_000.0)), Head::ZERO);
}

#[test]
fn temperatures_are_held_to_the_range_of_the_correlations() {
    for (asked, held) in [
        (-0.1, 0.0),
        (f64::NEG_INFINITY, 0.0),
        (0.0, 0.0),
        (21.5, 21.5),
        (40.0, 40.0),
        (40.1, 40.0),
        (f64::INFINITY, 40.0),
        (f64::NAN, 10.0),
    ] {
        assert_relative_eq!(water(asked).temperature().celsius(), held);
    }
}

/// 10.67 x 100 x 0.003^1.852 / (150^1.852 x 0.05^4.8704) = 4.594185 m.
#[test]
fn identity_hazen_williams_by_hand() {
    let (length, bore, flow) = (Length::from_m(100.0), Length::from_m(0.05), Flow::from_m3s(0.003));
    let loss = hazen_williams_loss(length, flow, 150.0, bore);
    assert_relative_eq!(loss.m(), 4.594_184_818, max_relative = 1e-9);
    assert_relative_eq!(resisted_loss(hazen_williams_resistance(150.0, bore), length, flow).m(), loss.m());
    assert_relative_eq!(hazen_williams_bore(loss, length, flow, 150.0).m(), 0.05, max_relative = 1e-12);
    // a bore below and one above a metre
    let wide = hazen_williams_loss(length, Flow::from_m3s(9.0), 150.0, Length::from_m(2.5));
    assert_relative_eq!(hazen_williams_bore(wide, length, Flow::from_m3s(9.0), 150.0).m(), 2.5, max_relative = 1e-12);
}

/// The form of handbooks in gpm and inches, h = 10.44 L Q^1.852 / (C^1.852 d^4.8704) ft, from memory.
#[test]
fn published_hazen_williams_in_inches() {
    let loss = hazen_williams_loss(Length::from_ft(100.0), Flow::from_gpm(40.0), 150.0, Length::from_inch(2.067));
    assert_relative_eq!(loss.ft(), 2.628_817, max_relative = 5e-4);
}

/// 0.01 m³/s in 100 mm: 0.04 / (0.01 π) = 1.273240 m/s, Re = 0.127324 / 1e-6; f L/D V²/2g = 0.02 x 1000 x 4 / 19.6133.
#[test]
fn identity_velocity_reynolds_number_and_darcy_by_hand() {
    let bore = Length::from_m(0.1);
    let velocity = pipe_velocity(Flow::from_m3s(0.01), bore);
    assert_relative_eq!(velocity.ms(), 1.273_239_545, max_relative = 1e-9);
    assert_relative_eq!(reynolds_number(velocity, bore, Viscosity::from_m2s(1e-6)), 127_323.954_5, max_relative = 1e-9);
    let loss = darcy_loss(0.02, Length::from_m(100.0), bore, Velocity::from_ms(2.0));
    assert_relative_eq!(loss.m(), 80.0 / 19.6133, max_relative = 1e-9);
}

/// Colebrook's equation solved by repeated substitution in Python.
#[test]
fn crosscheck_colebrook_by_substitution() {
    for (reynolds, rough, factor) in [
        (4e3, 0.0, 0.039_907_014_055_6),
        (4e3, 1e-3, 0.040_910_389_862_8),
        (1e4, 0.0, 0.030_882_950_353_5),
        (1e5, 0.0, 0.017_989_773_084_3),
        (1e5, 1e-3, 0.022_174_535_944_5),
        (1e6, 1e-4, 0.013_441_437_692_5),
        (1e7, 0.05, 0.071_552_981_840_9),
    ] {
        assert_relative_eq!(colebrook(reynolds, rough), factor, max_relative = 1e-11);
        assert_relative_eq!(friction_factor(reynolds, rough), factor, max_relative = 1e-11);
        // Haaland's start is right to 2 %, and each step squares what is left: 2e-2, 1e-4, 1e-8, 1e-16, and one to see it
        let (_, steps) = colebrook_with_steps(reynolds, rough);
        assert!((1..=5).contains(&steps), "{steps} at Re {reynolds}, {rough}");
    }
    // 1/√0.02 + 2 log10(2.51 / √0.02 / 1e5), and 1/√0.03 + 2 log10(0.001/3.7 + 2.51 / √0.03 / 1e5)
    assert_relative_eq!(colebrook_residual(0.02, 1e5, 0.0), -0.430_614_740_8, epsilon = 1e-9);
    assert_relative_eq!(colebrook_residual(0.03, 1e5, 1e-3), -0.990_013_605_7, epsilon = 1e-9);
}

/// Laminar to Re 2000, Colebrook from Re 4000, a straight line between.
#[test]
fn identity_the_friction_factor_at_its_limits() {
    let turbulent = 0.040_910_389_862_8;
    for (reynolds, factor) in [
        (100.0, 0.64),
        (1_999.0, 64.0 / 1_999.0),
        (2_000.0, 0.032),
        (2_500.0, 0.032 + 0.25 * (turbulent - 0.032)),
        (3_000.0, 0.5 * (turbulent + 0.032)),
        (3_999.999_999, turbulent),
        (4_000.0, turbulent),
    ] {
        assert_relative_eq!(friction_factor(reynolds, 1e-3), factor, max_relative = 1e-9);
    }
    assert!(friction_factor(0.0, 1e-3) > 1e300);
    assert_relative_eq!(laminar_factor(1_000.0), 0.064);
    assert_relative_eq!(transition_factor(3_500.0, 0.04), 0.032 + 0.75 * 0.008, max_relative = 1e-12);
}

/// The explicit formulas as Python works them; Churchill's is laminar below and near Colebrook above.
#[test]
fn crosscheck_explicit_friction_factors() {
    for (reynolds, rough, factor) in
        [(1e4, 0.0, 0.030_972_096_53), (1e5, 1e-3, 0.022_342_412_16), (1e7, 0.01, 0.037_917_353_54)]
    {
        assert_relative_eq!(swamee_jain(reynolds, rough), factor, max_relative = 1e-9);
    }
    for (reynolds, rough, factor) in [
        (100.0, 0.01, 0.64),
        (1e3, 0.0, 0.064),
        (3e3, 1e-3, 0.043_691_540_57),
        (1e4, 0.0, 0.031_002_130_65),
        (1e5, 1e-3, 0.022_343_235_51),
        (1e7, 0.01, 0.037_896_586_84),
    ] {
        assert_relative_eq!(churchill(reynolds, rough), factor, max_relative = 1e-9);
    }
}

/// The flow that a head drives, put back: friction and fittings at that flow cost the head again. From a dribble to a main,
/// and none without head.
#[test]
fn identity_darcy_flow_with_fittings_costs_its_head() {
    let (length, rough, nu) = (Length::from_m(60.0), Length::from_mm(0.1), Viscosity::from_m2s(1.2e-6));
    for (bore, flow, sum_k) in
        [(0.05, 2e-8, 0.0), (0.05, 1e-5, 3.0), (0.05, 0.003, 3.0), (0.04, 0.01, 12.0), (1.5, 20.0, 4.0)]
    {
        let bore = Length::from_m(bore);
        let velocity = pipe_velocity(Flow::from_m3s(flow), bore);
        let f = friction_factor(reynolds_number(velocity, bore, nu), rough / bore);
        let head = darcy_loss(f, length, bore, velocity) + minor_loss(sum_k, velocity);
        let found = darcy_flow(head, length, bore, rough, sum_k, nu).unwrap();
        assert_relative_eq!(found.m3s(), flow, max_relative = 1e-9);
    }
    for head in [0.0, -1.0, f64::NAN] {
        assert_eq!(darcy_flow(Head::from_m(head), length, Length::from_m(0.05), rough, 3.0, nu), None);
    }
}

#[test]
fn a_bore_out_of_all_measure_is_not_found() {
    let (length, rough, nu) = (Length::from_m(60.0), Length::from_mm(0.1), Viscosity::from_m2s(1.2e-6));
    let bore = |head: f64, flow: f64| darcy_bore(Head::from_m(head), length, Flow::from_m3s(flow), rough, nu);
    // a river through a straw's head, and a drop under a mountain of it
    assert_eq!(bore(1e-9, 5_000.0), None);
    assert_eq!(bore(1e9, 1e-6), None);
    assert!(bore(2.0, 0.003).is_some());
}

/// 2 m/s: 4 / 19.6133 m.
#[test]
fn identity_losses_at_fittings_by_hand() {
    let two = Velocity::from_ms(2.0);
    assert_relative_eq!(velocity_head(two).m(), 0.203_943_243, max_relative = 1e-8);
    assert_relative_eq!(minor_loss(3.0, two).m(), 0.611_829_728, max_relative = 1e-8);
    let widening = sudden_enlargement_loss(Velocity::from_ms(3.5), Velocity::from_ms(1.5));
    assert_relative_eq!(widening.m(), 0.203_943_243, max_relative = 1e-8);
    // 0.9 x 0.05 / 0.02
    assert_relative_eq!(equivalent_length(0.9, Length::from_m(0.05), 0.02).m(), 2.25, max_relative = 1e-12);
    // 40 mm over 10 m: 0.0004 π x 10
    let volume = pipe_volume(Length::from_m(0.04), Length::from_m(10.0));
    assert_relative_eq!(volume.m3(), 0.012_566_371, max_relative = 1e-7);
}

/// fT of clean steel pipe by size: Technical Paper 410 (2009), from memory. Bores of schedule 40.
#[test]
fn published_fully_rough_factors() {
    for (inches, factor) in
        [(0.622, 0.026), (1.049, 0.022), (2.067, 0.019), (4.026, 0.016), (7.981, 0.014), (11.938, 0.013)]
    {
        assert_relative_eq!(fully_rough_friction_factor(Length::from_inch(inches)), factor, epsilon = 5e-4);
    }
    // 0.25 / log10(0.0018 / 3.7 / 2.067)²
    assert_relative_eq!(fully_rough_friction_factor(Length::from_inch(2.067)), 0.018_990_696, max_relative = 1e-7);
}

/// K = 890.4 d⁴ / Cv² with d in inches (Technical Paper 410: Cv = 29.84 d² / √K, from memory), in water of 62.4 lb/ft³.
/// Kv 10 in 50 mm: 10 / 3600 / 0.001963495 = 1.414711 m/s, 100 / (0.5 x 1.414711²) = 99.92974.
#[test]
fn published_k_of_a_flow_coefficient() {
    assert_relative_eq!(k_of_flow_coefficient(100.0, Length::from_inch(2.0)), 890.4 * 16.0 / 1e4, max_relative = 2e-3);
    assert_relative_eq!(k_of_metric_flow_coefficient(10.0, Length::from_m(0.05)), 99.929_744_56, max_relative = 1e-8);
    // Kv is 0.865 Cv
    assert_relative_eq!(
        k_of_flow_coefficient(40.0, Length::from_m(0.05)),
        k_of_metric_flow_coefficient(34.6, Length::from_m(0.05)),
        max_relative = 2e-3
    );
}

/// Under 2 m √(2 g h) = √39.2266 = 6.263114 m/s. A tank of 2 m² empties 1 m through 0.01 m² in 2 A √(h/2g) / (Cd a) =
/// 4 x 0.2258004 / 0.006 s.
#[test]
fn identity_holes_by_hand() {
    let area = orifice_area(0.6, Flow::from_m3s(0.01), Head::from_m(2.0));
    assert_relative_eq!(area.m2(), 0.01 / (0.6 * 6.263_114_2), max_relative = 1e-7);
    let time = emptying_time(Area::from_m2(2.0), Length::from_m(1.0), 0.6, Area::from_m2(0.01));
    assert_relative_eq!(time.s(), 150.533_585, max_relative = 1e-6);
}
