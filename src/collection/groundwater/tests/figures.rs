//! Groundwater by hand, and what is asked of ground that is none.

use super::super::*;
use super::{m, per_day};
use crate::quantity::Duration;
use approx::assert_relative_eq;
use std::f64::consts::{E, PI};

fn ms(value: f64) -> Velocity {
    Velocity::from_ms(value)
}

#[test]
fn level_flow_by_hand() {
    // K (h1² - h2²)/(2 L) x length = 1e-4 x (9 - 1)/(2 x 10) x 20 = 8e-4 m3/s
    let inflow = dupuit_inflow(ms(1e-4), m(3.0), m(1.0), m(10.0), m(20.0));
    assert_relative_eq!(inflow.m3s(), 8e-4, max_relative = 1e-13);
    // the other way round it leaves the drain
    let outflow = dupuit_inflow(ms(1e-4), m(1.0), m(3.0), m(10.0), m(20.0));
    assert_relative_eq!(outflow.m3s(), -8e-4, max_relative = 1e-13);
    // and half of 1e-6 m/s on 10 m x 20 m
    let rain = Intensity::from_ms(1e-6);
    let inflow = dupuit_inflow_with_recharge(ms(1e-4), m(3.0), m(1.0), m(10.0), rain, m(20.0));
    assert_relative_eq!(inflow.m3s(), 9e-4, max_relative = 1e-13);
}

#[test]
fn flow_from_both_sides_by_hand() {
    // 8 K d h = 8e-5 and 4 K h² = 1e-5 m3/s; over 20 m of spacing along 30 m: 1.35e-4 m3/s
    let inflow = hooghoudt_inflow(ms(1e-5), m(2.0), m(0.5), m(20.0), m(30.0));
    assert_relative_eq!(inflow.m3s(), 1.35e-4, max_relative = 1e-13);
    assert_relative_eq!(
        conductivity_from_drain(inflow, m(2.0), m(0.5), m(20.0), m(30.0)).ms(),
        1e-5,
        max_relative = 1e-13
    );
    // twice the conductivity above the drain: 4 Ka h² = 2e-5
    let layered = hooghoudt_inflow_layered(ms(2e-5), ms(1e-5), m(2.0), m(0.5), m(20.0), m(30.0));
    assert_relative_eq!(layered.m3s(), 1.5e-4, max_relative = 1e-13);
    // √((8e-5 + 1e-5)/1e-7) = 30 m
    let spacing = hooghoudt_spacing_at_depth(ms(1e-5), ms(1e-5), m(2.0), m(0.5), Intensity::from_ms(1e-7));
    assert_relative_eq!(spacing.m(), 30.0, max_relative = 1e-13);
}

#[test]
fn a_pit_by_hand() {
    // a reach of e times the radius has a logarithm of one: π x 1e-4 x (9 - 1) = 2.513274e-3 m3/s
    let inflow = |reach: f64, radius: f64| well_inflow(ms(1e-4), m(3.0), m(1.0), m(reach), m(radius));
    assert_relative_eq!(inflow(2.0 * E, 2.0).unwrap().m3s(), 2.513_274_123e-3, max_relative = 1e-9);
    // e² halves it
    assert_relative_eq!(inflow(2.0 * E * E, 2.0).unwrap().m3s(), 2.513_274_123e-3 / 2.0, max_relative = 1e-9);
    // no reach beyond the wall, no number
    for (reach, radius) in
        [(2.0, 2.0), (1.9, 2.0), (-3.0, 2.0), (0.0, 2.0), (f64::NAN, 2.0), (f64::INFINITY, f64::INFINITY)]
    {
        assert_eq!(inflow(reach, radius), None, "{reach} {radius}");
    }
    assert_eq!(well_inflow(ms(f64::NAN), m(3.0), m(1.0), m(20.0), m(2.0)), None);
    assert_eq!(well_inflow(ms(1e-4), m(f64::INFINITY), m(1.0), m(20.0), m(2.0)), None);
    // water that stands higher in the pit leaves it
    assert!(well_inflow(ms(1e-4), m(1.0), m(3.0), m(20.0), m(2.0)).unwrap() < Flow::ZERO);
}

#[test]
fn influence_radius_by_hand() {
    // 3000 x 2 x √1e-4 = 60 m
    assert_relative_eq!(influence_radius(m(2.0), ms(1e-4)).m(), 60.0, max_relative = 1e-13);
    for (drawdown, conductivity) in [(0.0, 1e-4), (-2.0, 1e-4), (2.0, 0.0), (2.0, -1e-4)] {
        assert_eq!(influence_radius(m(drawdown), ms(conductivity)), Length::ZERO, "{drawdown} {conductivity}");
    }
}

#[test]
fn what_is_no_ground_has_no_spacing() {
    let good = [1e-5, 1e-5, 4.0, 0.05, 0.5, 1e-7];
    let spacing = |[above, below, floor, radius, head, recharge]: [f64; 6]| {
        hooghoudt_spacing(ms(above), ms(below), m(floor), m(radius), m(head), Intensity::from_ms(recharge))
    };
    assert!(spacing(good).is_some());
    for place in 0..6 {
        for odd in [-1.0, f64::NAN, f64::INFINITY, 0.0] {
            let mut with = good;
            with[place] = odd;
            // the floor may be infinitely deep or as high as the drain, and one of the two conductivities nothing
            let may_be = matches!((place, odd), (2, f64::INFINITY | 0.0) | (0 | 1, 0.0));
            assert_eq!(spacing(with).is_some(), may_be, "{with:?}");
        }
    }
}

#[test]
fn spacing_from_above_the_drain_alone() {
    // no conductivity below: √(4 Ka h²/q) = √(4 x 1 x 0.25/5e-3) = 14.142136 m, whatever the floor
    let q = Intensity::from_ms(5e-3 / 86_400.0);
    for floor in [0.0, 3.0, f64::INFINITY] {
        let found = hooghoudt_spacing(per_day(1.0), Velocity::ZERO, m(floor), m(0.05), m(0.5), q).unwrap();
        assert_relative_eq!(found.m(), 14.142_135_624, max_relative = 1e-9);
    }
    // drains that touch are no spacing: 14.14 m against a radius of 3.5 or 3.6 m
    let at = |radius: f64| hooghoudt_spacing(per_day(1.0), Velocity::ZERO, Length::ZERO, m(radius), m(0.5), q);
    assert!(at(3.5).is_some());
    assert_eq!(at(3.6), None);
    // nor are such as would overlap: 100 m a day of recharge on drains of 0.1 m across, fed from below alone
    let flooded = Intensity::from_ms(100.0 / 86_400.0);
    assert_eq!(hooghoudt_spacing(Velocity::ZERO, per_day(1.0), m(4.0), m(0.05), m(0.5), flooded), None);
}

#[test]
fn spread_of_a_drawdown_by_hand() {
    // a = 1e-4 x 2/0.2 = 1e-3 m2/s; after 250 s √(4 a t) is 1 m and √(π a t) is √(π/4)
    let left = |x: f64| drawdown_left(m(x), ms(1e-4), m(2.0), 0.2, Duration::from_s(250.0));
    // tables of the error function: erfc(0.5) = 0.4795001222
    assert_relative_eq!(left(0.5), 0.479_500_122_2, max_relative = 1e-9);
    assert_relative_eq!(left(0.0), 1.0);
    assert_relative_eq!(left(-3.0), 1.0);
    let reach = reach_after(ms(1e-4), m(2.0), 0.2, Duration::from_s(250.0));
    assert_relative_eq!(reach.m(), 0.886_226_925_5, max_relative = 1e-9);
}

#[test]
fn the_falling_table_term_by_term() {
    // both series summed apart with sixty terms in double precision
    for (tau, share, middle) in [
        (0.004, 0.857_270_070_708, 0.999_999_954_630_5),
        (0.02, 0.680_846_261_217_5, 0.975_161_338_697),
        (0.1, 0.302_118_093_773_3, 0.474_487_460_379_7),
        (0.2, 0.112_597_125_183_5, 0.176_867_139_747_6),
    ] {
        assert_relative_eq!(drainable_share_left(tau), share, max_relative = 1e-11);
        assert_relative_eq!(mid_height_left(tau), middle, max_relative = 1e-11);
    }
    assert_eq!((drainable_share_left(0.0), mid_height_left(0.0), mid_height_left(-1.0)), (1.0, 1.0, 1.0));
    // 1.16 x exp(-0.986960) = 1.16 x 0.372708
    assert_relative_eq!(mid_height_first_term(1.16, 0.1), 0.432_341_093_1, max_relative = 1e-9);
}

#[test]
fn time_of_a_fall_by_hand() {
    // at τ = 0.1 a share of 0.474487 is left: t = 0.1 x 20²/a with a = 1e-3 m2/s: 40 000 s
    let time = |share: f64| time_to_mid_height(share, ms(1e-4), m(2.0), 0.2, m(20.0));
    assert_relative_eq!(time(0.474_487_460_379_7).unwrap().s(), 40_000.0, max_relative = 1e-9);
    // early: 0.975161 at τ = 0.02, 8 000 s
    assert_relative_eq!(time(0.975_161_338_697).unwrap().s(), 8_000.0, max_relative = 1e-9);
    assert!(time(1.0).is_some() && time(1.0 + 1e-9).is_none() && time(0.0).is_none());
    for odd in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        let with = |k: f64, depth: f64, porosity: f64, spacing: f64| {
            time_to_mid_height(0.5, ms(k), m(depth), porosity, m(spacing))
        };
        let found = [
            with(odd, 2.0, 0.2, 20.0),
            with(1e-4, odd, 0.2, 20.0),
            with(1e-4, 2.0, odd, 20.0),
            with(1e-4, 2.0, 0.2, odd),
        ];
        assert_eq!(found, [None; 4], "{odd}");
    }
    // two conductivities below nothing make no good one
    assert_eq!(time_to_mid_height(0.5, ms(-1e-4), m(-2.0), 0.2, m(20.0)), None);
}

#[test]
fn spacing_for_a_fall_by_hand() {
    // K 1e-5 m/s, d 2 m, f 0.1, from 1 m to 0.5 m in a day: ln(1 x 4.5) - ln(0.5 x 5) = ln 1.8 = 0.587787;
    // √(9 x 1e-5 x 86400 x 2/(0.1 x 0.587787)) = √264.5850 = 16.26609 m
    let spacing = |k: f64, depth: f64, porosity: f64, from: f64, to: f64, seconds: f64| {
        spacing_for_fall(ms(k), m(depth), porosity, m(from), m(to), Duration::from_s(seconds))
    };
    let found = spacing(1e-5, 2.0, 0.1, 1.0, 0.5, 86_400.0).unwrap();
    assert_relative_eq!(found.m(), 16.266_093_309_6, max_relative = 1e-10);
    for odd in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        let found = [
            spacing(odd, 2.0, 0.1, 1.0, 0.5, 86_400.0),
            spacing(1e-5, odd, 0.1, 1.0, 0.5, 86_400.0),
            spacing(1e-5, 2.0, odd, 1.0, 0.5, 86_400.0),
            spacing(1e-5, 2.0, 0.1, odd, 0.5, 86_400.0),
            spacing(1e-5, 2.0, 0.1, 1.0, odd, 86_400.0),
            spacing(1e-5, 2.0, 0.1, 1.0, 0.5, odd),
        ];
        assert_eq!(found, [None; 6], "{odd}");
    }
    // a table that stays or rises
    assert_eq!(spacing(1e-5, 2.0, 0.1, 0.5, 0.5, 86_400.0), None);
    assert_eq!(spacing(1e-5, 2.0, 0.1, 0.4, 0.5, 86_400.0), None);
}

#[test]
fn equivalent_depth_by_hand() {
    // a floor infinitely deep below drains 10 m apart with a radius of 0.1 m: (π 10/8)/ln(10/(0.1 π)) = 3.926991/3.460440
    let at = |spacing: f64, floor: f64, radius: f64| equivalent_depth(m(spacing), m(floor), m(radius)).m();
    assert_relative_eq!(at(10.0, f64::INFINITY, 0.1), 1.134_824_0, max_relative = 1e-6);
    // the published series of Van der Molen and Wesseling (1991) summed apart
    for (spacing, floor, depth) in [
        (10.0, 1.0, 0.772_293_011_651),
        (10.0, 5.0, 1.132_375_090_821),
        (20.0, 2.0, 1.359_292_364_223),
        (30.0, 5.0, 2.299_477_322_233),
    ] {
        assert_relative_eq!(at(spacing, floor, 0.1), depth, max_relative = 1e-10);
    }
    // near the drains the floor itself is the depth
    assert_relative_eq!(at(1e6, 0.01, 0.01), 0.01, max_relative = 1e-4);
    for (spacing, floor, radius) in [
        (0.0, 1.0, 0.1),
        (-1.0, 1.0, 0.1),
        (10.0, 1.0, 0.0),
        (10.0, 1.0, -0.1),
        (f64::NAN, 1.0, 0.1),
        (10.0, f64::NAN, 0.1),
        (10.0, 1.0, f64::NAN),
    ] {
        assert!(at(spacing, floor, radius).is_nan(), "{spacing} {floor} {radius}");
    }
    assert_eq!((at(10.0, 0.0, 0.1), at(10.0, -1.0, 0.1)), (0.0, 0.0));
    // drains so near that they touch: the floor
    assert_eq!(equivalent_depth(m(PI * 0.1), m(2.0), m(0.1)), m(2.0));
}
