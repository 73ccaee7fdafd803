mod figures;

use super::*;
use crate::quantity::Duration;
use approx::assert_relative_eq;
use proptest::prelude::*;

fn m(value: f64) -> Length {
    Length::from_m(value)
}

fn per_day(value: f64) -> Velocity {
    Velocity::from_ms(value / 86_400.0)
}

#[test]
fn identity_an_ellipse_is_a_ditch_of_hooghoudt() {
    // with the floor at the ditch's own depth a, L² = 4 K (b² - a²)/q: both halves of the strip by Dupuit with recharge
    let (k, a, b, q) = (per_day(2.0), m(3.0), m(3.7), Intensity::from_ms(5e-3 / 86_400.0));
    let spacing = hooghoudt_spacing_at_depth(k, k, a, b - a, q);
    let inflow = hooghoudt_inflow(k, a, b - a, spacing, m(10.0));
    assert_relative_eq!(inflow.m3s(), (q * (spacing * m(10.0))).m3s(), max_relative = 1e-12);
    let half = dupuit_inflow_with_recharge(k, b, a, spacing / 2.0, q, m(10.0));
    // midway no water passes, so that the half's own recharge is all that the levels drive
    assert_relative_eq!(half.m3s() * 2.0, inflow.m3s(), max_relative = 1e-12);
}

#[test]
fn identity_no_spacing_without_recharge_or_ground() {
    let (k, q) = (per_day(1.0), Intensity::from_mmh(0.2));
    let spacing = |k, q, head| hooghoudt_spacing(k, k, m(4.0), m(0.05), head, q);
    assert!(spacing(k, q, m(0.5)).is_some());
    assert_eq!(spacing(k, Intensity::ZERO, m(0.5)), None);
    assert_eq!(spacing(k, q, Length::ZERO), None);
    assert_eq!(spacing(Velocity::ZERO, q, m(0.5)), None);
    assert_eq!(spacing(Velocity::from_ms(f64::NAN), q, m(0.5)), None);
}

#[test]
fn identity_a_drain_on_the_tight_layer_is_fed_from_above() {
    let (k, q) = (per_day(1.0), Intensity::from_ms(5e-3 / 86_400.0));
    let spacing = hooghoudt_spacing(k, k, Length::ZERO, m(0.05), m(0.5), q).unwrap();
    assert_relative_eq!(spacing.m(), (4.0 * 0.25 / 5e-3_f64).sqrt(), max_relative = 1e-12);
}

#[test]
fn identity_reach_follows_from_the_drawdown() {
    // the slope of the drawdown at the drain is that of a steady one over the reach
    let (k, depth, porosity, after) = (per_day(3.0), m(2.4), 0.2, Duration::from_day(10.0));
    let near = m(1e-4);
    let slope = (1.0 - drawdown_left(near, k, depth, porosity, after)) / near.m();
    assert_relative_eq!(1.0 / slope, reach_after(k, depth, porosity, after).m(), max_relative = 1e-6);
}

#[test]
fn identity_early_and_late_sums_meet() {
    for tau in [0.01 - 1e-12, 0.01 + 1e-12] {
        assert_relative_eq!(drainable_share_left(tau), 0.774_324_2, epsilon = 1e-7);
        assert_relative_eq!(mid_height_left(tau), 0.999_186, epsilon = 1e-6);
    }
    let step = |f: fn(f64) -> f64| (f(0.01 - 1e-15) - f(0.01 + 1e-15)).abs();
    assert!(step(drainable_share_left) < 1e-11 && step(mid_height_left) < 1e-11);
}

#[test]
fn identity_what_makes_no_sense_gives_nothing() {
    let (k, one, day) = (per_day(1.0), m(1.0), Duration::from_day(1.0));
    for share in [0.0, -1.0, 1.1, f64::NAN] {
        assert_eq!(time_to_mid_height(share, k, one, 0.1, one), None);
    }
    assert_eq!(time_to_mid_height(0.5, k, one, 0.0, one), None);
    assert_eq!(time_to_mid_height(1.0, k, one, 0.1, one), Some(Duration::ZERO));
    assert_eq!(spacing_for_fall(k, one, 0.1, one, one, day), None);
    assert_eq!(spacing_for_fall(k, one, 0.1, one, Length::ZERO, day), None);
    assert_relative_eq!(drawdown_left(Length::ZERO, k, one, 0.1, Duration::ZERO), 1.0);
    assert_relative_eq!(drawdown_left(one, k, one, 0.1, Duration::ZERO), 0.0);
    assert_relative_eq!(drainable_share_left(-1.0), 1.0);
    assert!(mid_height_left(f64::NAN).is_nan() && drainable_share_left(f64::NAN).is_nan());
    assert!(reach_after(k, one, 0.1, Duration::from_s(-1.0)).m().is_nan());
    assert_eq!(influence_radius(-one, k), Length::ZERO);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn identity_inflow_follows_table_ground_and_reach(k in 1e-3..100.0_f64, far in 0.1..10.0_f64, near in 0.0..1.0_f64, reach in 0.1..100.0_f64, more in 1.0..3.0_f64) {
        let near = far * near;
        let inflow = |k: f64, far: f64, reach: f64| dupuit_inflow(per_day(k), m(far), m(near), m(reach), m(12.0)).m3s();
        let first = inflow(k, far, reach);
        prop_assert!(first >= 0.0 && first.is_finite());
        // a table that lies lower never brings more, nor does a longer reach
        prop_assert!(inflow(k, far / more, reach) <= first);
        prop_assert!(inflow(k, far, reach * more) <= first);
        prop_assert!(inflow(k * more, far, reach) >= first);
    }

    #[test]
    fn identity_hooghoudt_inflow_follows_ground_and_head(k in 1e-3..100.0_f64, floor in 0.0..20.0_f64, head in 0.0..3.0_f64, spacing in 2.0..200.0_f64, radius in 0.02..0.3_f64, more in 1.0..3.0_f64) {
        let inflow = |k: f64, head: f64, floor: f64| {
            let depth = equivalent_depth(m(spacing), m(floor), m(radius));
            hooghoudt_inflow(per_day(k), depth, m(head), m(spacing), m(12.0))
        };
        let first = inflow(k, head, floor);
        prop_assert!(first >= Flow::ZERO && first.is_finite());
        prop_assert!(inflow(k * more, head, floor) >= first);
        prop_assert!(inflow(k, head / more, floor) <= first);
        prop_assert!(inflow(k, head, floor * more) >= first * (1.0 - 1e-12));
        if head > 1e-3 {
            let depth = equivalent_depth(m(spacing), m(floor), m(radius));
            let back = conductivity_from_drain(first, depth, m(head), m(spacing), m(12.0));
            assert_relative_eq!(back.ms(), per_day(k).ms(), max_relative = 1e-9);
        }
    }

    #[test]
    fn identity_hooghoudt_spacing_balances(above in 0.0..50.0_f64, below in 0.01..50.0_f64, floor in 0.01..30.0_f64, radius in 0.02..0.2_f64, head in 0.05..2.0_f64, rain in 0.1..50.0_f64, deep: bool) {
        let floor = if deep { m(f64::INFINITY) } else { m(floor) };
        let (above, below, head) = (per_day(above), per_day(below), m(head));
        let recharge = Intensity::from_ms(rain * 1e-3 / 86_400.0);
        if let Some(spacing) = hooghoudt_spacing(above, below, floor, m(radius), head, recharge) {
            let depth = equivalent_depth(spacing, floor, m(radius));
            let inflow = hooghoudt_inflow_layered(above, below, depth, head, spacing, m(1.0));
            assert_relative_eq!(inflow.m3s(), (recharge * (spacing * m(1.0))).m3s(), max_relative = 1e-6);
        } else {
            // only where drains would nearly touch
            let depth = equivalent_depth(m(radius * 4.0), floor, m(radius));
            prop_assert!(hooghoudt_spacing_at_depth(above, below, depth, head, recharge).m() <= radius * 4.0);
        }
    }

    #[test]
    fn identity_the_falling_table_only_falls(tau in 0.0..3.0_f64, more in 0.0..1.0_f64) {
        prop_assert!(drainable_share_left(tau + more) <= drainable_share_left(tau));
        prop_assert!(mid_height_left(tau + more) <= mid_height_left(tau));
        // midway it is highest
        prop_assert!((0.0..=1.0).contains(&drainable_share_left(tau)));
        prop_assert!(mid_height_left(tau) >= drainable_share_left(tau) && mid_height_left(tau) <= 1.0);
        prop_assert!(tau < 0.1 || (mid_height_first_term(4.0 / std::f64::consts::PI, tau) - mid_height_left(tau)).abs() < 1e-4);
    }

    #[test]
    fn identity_time_undoes_the_fall(share in 1e-6..0.999_f64, k in 1e-3..100.0_f64, depth in 0.1..10.0_f64, porosity in 0.01..0.4_f64, spacing in 1.0..100.0_f64) {
        let time = time_to_mid_height(share, per_day(k), m(depth), porosity, m(spacing)).unwrap();
        let tau = per_day(k).ms() * depth / porosity * time.s() / (spacing * spacing);
        assert_relative_eq!(mid_height_left(tau), share, max_relative = 1e-9);
    }

    #[test]
    fn identity_drawdown_spreads(x in 0.0..200.0_f64, k in 1e-3..100.0_f64, porosity in 0.01..0.4_f64, days in 0.01..1_000.0_f64, more in 1.0..3.0_f64) {
        let left = |x: f64, days: f64| drawdown_left(m(x), per_day(k), m(3.0), porosity, Duration::from_day(days));
        prop_assert!((0.0..=1.0).contains(&left(x, days)));
        prop_assert!(left(x * more, days) <= left(x, days));
        prop_assert!(left(x, days * more) >= left(x, days));
        let reach = |days: f64| reach_after(per_day(k), m(3.0), porosity, Duration::from_day(days));
        prop_assert!(reach(days * more) >= reach(days));
        // at its reach the drain is still felt by a fifth
        assert_relative_eq!(left(reach(days).m(), days), libm::erfc(std::f64::consts::PI.sqrt() / 2.0), max_relative = 1e-9);
    }

    #[test]
    fn identity_spacing_for_fall_grows_with_time(k in 0.01..50.0_f64, depth in 0.05..10.0_f64, porosity in 0.01..0.4_f64, from in 0.1..3.0_f64, share in 0.05..0.99_f64, days in 0.1..30.0_f64) {
        let spacing = |days: f64, share: f64| {
            spacing_for_fall(per_day(k), m(depth), porosity, m(from), m(from * share), Duration::from_day(days)).unwrap()
        };
        prop_assert!(spacing(days, share).is_finite());
        assert_relative_eq!(spacing(days * 4.0, share) / spacing(days, share), 2.0, max_relative = 1e-9);
        prop_assert!(spacing(days, share * 0.9) < spacing(days, share));
    }
}
