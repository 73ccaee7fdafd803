//! How water backs up, by hand: what gets in at the upper end, still water, curves integrated apart.

use super::super::section::{angle, ratio_of};
use super::super::*;
use crate::quantity::Velocity;
use approx::assert_relative_eq;
use std::f64::consts::{FRAC_PI_8, PI};

/// A metre of bore whose lower invert is at 10 m.
fn pipe(length_m: f64, manning_n: f64, slope: f64) -> GravityPipe {
    GravityPipe {
        length: Length::from_m(length_m),
        bore: Length::from_m(1.0),
        manning_n,
        up_invert: Level::from_m(10.0 + slope * length_m),
        down_invert: Level::from_m(10.0),
    }
}

fn flow(m3s: f64) -> Flow {
    Flow::from_m3s(m3s)
}

fn level(m: f64) -> Level {
    Level::from_m(m)
}

/// The flow that is critical half full: √(g (π/8)³/1) with g = 9.80665.
const CRITICAL_HALF_FULL: f64 = 0.770_637_549_582_1;

#[test]
fn a_steep_pipe_takes_what_gets_in_by_hand() {
    // critical half full, the head there A/(2T) = π/16: the pool stands 0.5 + 1.5 π/16 = 0.794524 m over the upper invert
    let steep = pipe(50.0, 0.01, 0.02);
    let found = steep.backed_up(flow(CRITICAL_HALF_FULL), level(0.0));
    assert_relative_eq!((found.pool - steep.up_invert).m(), 0.5 + 1.5 * PI / 16.0, max_relative = 1e-9);
    assert_relative_eq!((found.upper - steep.up_invert).m(), 0.5, max_relative = 1e-9);
    // it carries 4.407898 m3/s full; 0.174831 of that runs 0.282998 m deep, found apart by halving
    assert_relative_eq!(found.depth.m(), 0.282_998_017_7, max_relative = 1e-8);
    assert_eq!((found.lower, found.full_length), (steep.down_invert + found.depth, Length::ZERO));
    let velocity = flow(CRITICAL_HALF_FULL) / flow_area(steep.bore, found.depth);
    assert_eq!(found.velocity, velocity);
    assert_relative_eq!(steep.most_flow(found.pool, level(0.0)).m3s(), CRITICAL_HALF_FULL, max_relative = 1e-8);
}

#[test]
fn an_entrance_that_drowns_is_an_orifice_by_hand() {
    // 2.5 m3/s through 0.6 of π/4 m2: 5.305165 m/s, whose head of 1.434984 m stands over the middle: 1.934984 m
    let steep = pipe(50.0, 0.01, 0.02);
    let found = steep.backed_up(flow(2.5), level(0.0));
    assert_relative_eq!((found.pool - steep.up_invert).m(), 1.934_984, max_relative = 1e-6);
    assert_relative_eq!(steep.most_flow(found.pool, level(0.0)).m3s(), 2.5, max_relative = 1e-8);
    // a pool just over the crown by that formula is 0.5 m over the middle: 0.6 π/4 √(19.6133 x 0.5) = 1.475758 m3/s; the flow
    // needs more than that to get in at its critical depth
    let at_crown = steep.backed_up(flow(1.475_758), level(0.0));
    assert!((at_crown.pool - steep.up_invert).m() > 1.0);
}

#[test]
fn still_water_stands_level() {
    let sloping = pipe(12.0, 0.01, 1.0 / 12.0);
    for (tail, lower, upper, full) in [
        // nothing at the end: it just reaches over the upper invert
        (9.0, 10.0, 11.0, 0.0),
        (10.5, 10.5, 11.0, 0.0),
        // half a metre over the lower crown fills half of its length
        (11.5, 11.5, 11.5, 6.0),
        (14.0, 14.0, 14.0, 12.0),
    ] {
        for none in [0.0, -1.0] {
            let found = sloping.backed_up(flow(none), level(tail));
            assert_relative_eq!(found.lower.m(), lower, max_relative = 1e-13);
            assert_relative_eq!(found.upper.m(), upper, max_relative = 1e-13);
            assert_eq!(found.pool, found.upper);
            assert_eq!((found.depth, found.velocity), (Length::ZERO, Velocity::ZERO));
            assert_relative_eq!(found.full_length.m(), full, epsilon = 1e-12);
        }
    }
    // a pipe that rises holds it back at its lower end
    let rising = pipe(12.0, 0.01, -1.0 / 12.0);
    let found = rising.backed_up(Flow::ZERO, level(9.0));
    assert_eq!((found.lower, found.upper), (level(10.0), level(10.0)));
}

#[test]
fn uniform_flow_stays_uniform() {
    // half full all the way: 0.5 of (π/4) 0.25^(2/3) √0.001/0.012 = 0.821363 m3/s
    let mild = pipe(80.0, 0.012, 0.001);
    let half = flow(0.821_363_326_25 / 2.0);
    let found = mild.backed_up(half, level(10.5));
    assert_relative_eq!(found.lower.m(), 10.5, max_relative = 1e-12);
    assert_relative_eq!(found.upper.m(), 10.58, max_relative = 1e-7);
    assert_relative_eq!(found.depth.m(), 0.5, max_relative = 1e-9);
    assert_eq!(found.full_length, Length::ZERO);
    // V = Q/(π/8), the pool 1.5 V²/2g above
    let velocity_ms = half.m3s() / FRAC_PI_8;
    assert_relative_eq!(found.velocity.ms(), velocity_ms, max_relative = 1e-9);
    let head_m = velocity_ms * velocity_ms / (2.0 * 9.80665);
    assert_relative_eq!((found.pool - found.upper).m(), 1.5 * head_m, max_relative = 1e-5);
}

#[test]
fn crosscheck_curves_integrated_apart() {
    // x = ∫ dE/(Sf - S) in 4000 steps, close together at both ends, by a program apart: n, slope, length, flow, depth at the
    // lower end (none for a free outfall), depth at the upper end
    for (n, slope, length, q, tail, depth) in [
        // drawdown to a free outfall in a level pipe and in one that rises
        (0.012, 0.0, 30.0, 0.5, None, 0.526_063_85),
        (0.012, 0.0, 5.0, 0.5, None, 0.454_271_06),
        (0.012, 0.0, 60.0, 0.8, None, 0.724_665_83),
        (0.012, -0.002, 20.0, 0.5, None, 0.555_467_94),
        // a mild pipe with more than it carries fills on the way up
        (0.012, 0.001, 100.0, 1.0, Some(0.95), 0.982_760_68),
        (0.012, 0.001, 40.0, 1.0, Some(0.7), 0.758_858_80),
        // backwater in a mild pipe that falls towards its uniform depth of 0.704 m
        (0.012, 0.003, 100.0, 1.2, Some(1.0), 0.868_602_44),
        (0.012, 0.003, 30.0, 1.2, Some(1.0), 0.965_805_02),
        // and half of the way that it reaches up a steep one
        (0.01, 0.02, 4.489_493_156, CRITICAL_HALF_FULL, Some(0.8), 0.689_577_03),
    ] {
        let pipe = pipe(length, n, slope);
        let found = pipe.backed_up(flow(q), level(tail.map_or(0.0, |tail| 10.0 + tail)));
        let over = (found.upper - pipe.up_invert).m();
        assert!((over - depth).abs() < 5e-4, "{over} is not {depth}: {pipe:?} {q}");
        // without a uniform depth it is the depth at the upper end that is told
        if slope <= 0.0 {
            assert_relative_eq!(found.depth.m(), over, max_relative = 1e-12);
        }
    }
}

#[test]
fn a_drowned_mild_pipe_is_full_up_to_where_the_grade_line_meets_the_crown() {
    // the full pipe loses 0.00213448 of the 0.003: half a metre over the crown is gone after 0.5/0.00086552 = 577.687 m, and
    // 100 m further up the water is 0.868602 m deep
    let mild = pipe(677.686_702_177, 0.012, 0.003);
    let found = mild.backed_up(flow(1.2), level(11.5));
    assert_relative_eq!(found.full_length.m(), 577.686_702_2, max_relative = 1e-8);
    assert!(((found.upper - mild.up_invert).m() - 0.868_602_44).abs() < 5e-4);
    // 0.704019 m of uniform depth are told
    assert_relative_eq!(found.depth.m(), 0.704_018_679_4, max_relative = 1e-8);
    // full all the way where it is shorter
    let short = pipe(577.0, 0.012, 0.003);
    let found = short.backed_up(flow(1.2), level(11.5));
    assert_eq!((found.full_length, found.depth), (short.length, short.bore));
    assert_relative_eq!((found.upper - short.up_invert).m(), 1.5 - 577.0 * 0.000_865_521_048, max_relative = 1e-6);
}

#[test]
fn a_free_outfall_of_a_pipe_too_small_fills_it() {
    // 1.2 times the full flow of 0.821363 m3/s is critical at 0.568753 m and reaches the crown 689.814 m up the pipe,
    // integrated apart; above that the full pipe loses 1.44 times its fall
    let q = 1.2 * 0.821_363_326_25;
    let mild = pipe(889.814, 0.012, 0.001);
    let found = mild.backed_up(flow(q), level(0.0));
    // less than 1 % of the way is lost between the points at which friction is worked out
    assert!((found.full_length.m() - 200.0).abs() < 6.9, "{}", found.full_length.m());
    let over = (found.upper - mild.up_invert).m();
    assert_relative_eq!(over, 1.0 + 0.000_44 * found.full_length.m(), max_relative = 1e-9);
    assert_relative_eq!((found.lower - mild.down_invert).m(), 0.568_753_383, max_relative = 1e-8);
    assert_eq!(found.depth, mild.bore);
}

#[test]
fn backwater_that_ends_in_a_steep_pipe() {
    // 0.8 m at its end falls to the critical half metre within 8.979 m: a longer pipe knows nothing of it
    let (short, long) = (pipe(8.9, 0.01, 0.02), pipe(9.1, 0.01, 0.02));
    let tail = level(10.8);
    let depth = |pipe: &GravityPipe| (pipe.backed_up(flow(CRITICAL_HALF_FULL), tail).upper - pipe.up_invert).m();
    assert!(depth(&short) > 0.51 && depth(&short) < 0.56, "{}", depth(&short));
    assert_relative_eq!(depth(&long), 0.5, max_relative = 1e-9);
    assert_eq!(long.backed_up(flow(CRITICAL_HALF_FULL), tail).lower, tail);
}

#[test]
fn what_is_no_number_stays_none() {
    let (good, nan) = (pipe(20.0, 0.01, 0.01), f64::NAN);
    for odd in [
        GravityPipe { length: Length::from_m(nan), ..good },
        GravityPipe { bore: Length::from_m(nan), ..good },
        GravityPipe { manning_n: nan, ..good },
        GravityPipe { up_invert: level(nan), ..good },
        GravityPipe { down_invert: level(nan), ..good },
    ] {
        assert_no_number(odd.backed_up(flow(0.5), level(10.0)));
    }
    assert_no_number(good.backed_up(flow(nan), level(10.0)));
    assert_no_number(good.backed_up(flow(0.5), level(nan)));
}

#[track_caller]
fn assert_no_number(found: BackedUp) {
    let lengths = [found.depth.m(), found.full_length.m(), found.velocity.ms()];
    let levels = [found.lower.m(), found.upper.m(), found.pool.m()];
    assert!(lengths.iter().chain(&levels).all(|number| number.is_nan()), "{found:?}");
}

#[test]
fn what_no_pipe_takes_raises_the_pool_without_end() {
    let good = pipe(20.0, 0.01, 0.01);
    for (pipe, q) in [
        (GravityPipe { bore: Length::ZERO, ..good }, 0.5),
        (GravityPipe { bore: Length::from_m(-1.0), ..good }, 0.5),
        (good, f64::INFINITY),
        (good, 1e200),
        (GravityPipe { manning_n: f64::INFINITY, ..good }, 0.5),
        (GravityPipe { up_invert: level(f64::INFINITY), ..good }, 0.5),
    ] {
        let found = pipe.backed_up(flow(q), level(10.0));
        assert!(found.pool.m().is_infinite() && found.upper.m().is_infinite(), "{pipe:?} {found:?}");
        assert_eq!(found.lower, level(10.0));
    }
    // no friction is no hindrance
    let smooth = GravityPipe { manning_n: -1.0, ..good }.backed_up(flow(0.5), level(12.0));
    assert_relative_eq!(smooth.upper.m(), 12.0, max_relative = 1e-12);
}

#[test]
fn a_pipe_of_no_length_is_a_step() {
    for length in [0.0, -5.0] {
        let step = GravityPipe { length: Length::from_m(length), ..pipe(1.0, 0.01, 0.0) };
        let found = step.backed_up(flow(CRITICAL_HALF_FULL), level(12.0));
        assert_relative_eq!(found.upper.m(), 12.0, max_relative = 1e-9);
        assert_eq!(found.full_length, Length::ZERO);
    }
}

#[test]
fn no_flow_where_the_pool_is_not_above_what_stands() {
    let sloping = pipe(12.0, 0.01, 1.0 / 12.0);
    // the upper invert is at 11 m
    for (pool, tail) in [(11.0, 9.0), (10.5, 9.0), (12.0, 12.0), (11.9, 12.0), (f64::NAN, 9.0), (f64::INFINITY, 9.0)] {
        assert_eq!(sloping.most_flow(level(pool), level(tail)), Flow::ZERO, "{pool} {tail}");
    }
    assert!(sloping.most_flow(level(11.01), level(9.0)) > Flow::ZERO);
    for bore in [0.0, -1.0, f64::INFINITY] {
        let none = GravityPipe { bore: Length::from_m(bore), ..sloping };
        assert_eq!(none.most_flow(level(13.0), level(9.0)), Flow::ZERO, "{bore}");
    }
    // through a full level pipe of no friction 1.5 V²/2g is what the pool stands over the tailwater: 0.5 m drive
    // √(2 g 0.5/1.5) = 2.556906 m/s through π/4 m2
    let smooth = GravityPipe { manning_n: 0.0, ..pipe(12.0, 0.01, 0.0) };
    let most = smooth.most_flow(level(15.5), level(15.0));
    assert_relative_eq!(most.m3s(), 2.008_189, max_relative = 1e-6);
}

#[test]
fn identity_any_flow_at_its_uniform_depth_stays_there() {
    // the lower invert at 0, so that no digit of the depth is lost
    let mild = GravityPipe { down_invert: Level::ZERO, up_invert: level(0.08), ..pipe(80.0, 0.012, 0.001) };
    for step in 1..100 {
        let q = mild.full_flow().unwrap() * (f64::from(step) / 100.0);
        let depth = mild.normal_depth(q).unwrap();
        assert!(depth > critical_depth(mild.bore, q));
        // as deep as the point of the curve that stands for the uniform depth, to the last digit
        let depth = mild.bore * ratio_of(angle(depth / mild.bore));
        let found = mild.backed_up(q, Level::ZERO + depth);
        assert_relative_eq!((found.upper - mild.up_invert).m(), depth.m(), max_relative = 1e-6);
    }
}
