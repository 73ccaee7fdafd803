mod backed_up;
mod figures;

use super::section::{angle, area_ratio, share};
use super::*;
use crate::quantity::Velocity;
use crate::quantity::factor::GRAVITY;
use approx::assert_relative_eq;
use proptest::prelude::*;
use std::f64::consts::TAU;

fn pipe(length_ft: f64, bore_in: f64, manning_n: f64, fall_ft: f64) -> GravityPipe {
    GravityPipe {
        length: Length::from_ft(length_ft),
        bore: Length::from_inch(bore_in),
        manning_n,
        up_invert: Level::from_ft(100.0 + fall_ft),
        down_invert: Level::from_ft(100.0),
    }
}

prop_compose! {
    /// A yard pipe: flat, rising or falling.
    fn any_pipe()(length in 1.0..300.0_f64, bore in 3.0..12.0_f64, n in 0.008..0.025_f64, slope in -0.02..0.06_f64) -> GravityPipe {
        pipe(length, bore, n, slope * length)
    }
}

/// A flow over what a pipe of that bore would carry full at 1 %.
fn scaled(pipe: &GravityPipe, share: f64) -> Flow {
    full_flow(pipe.manning_n, pipe.bore, Slope::from_ratio(0.01)) * share
}

/// The tailwater at a share of the bore over the lower invert.
fn tail(pipe: &GravityPipe, share: f64) -> Level {
    pipe.down_invert + pipe.bore * share
}

#[test]
fn identity_the_greatest_share_is_the_greatest() {
    let flows = (1..100_000).map(|step| TAU * f64::from(step) / 100_000.0).map(|angle| (share(angle), angle));
    let (most, at) = flows.reduce(|best, next| if next.0 > best.0 { next } else { best }).unwrap();
    assert_relative_eq!(most, GREATEST_SHARE, max_relative = 1e-9);
    assert_relative_eq!((1.0 - libm::cos(at / 2.0)) / 2.0, GREATEST_SHARE_DEPTH, max_relative = 1e-4);
    assert_relative_eq!(share(angle(GREATEST_SHARE_DEPTH)), GREATEST_SHARE, max_relative = 1e-13);
}

#[test]
fn identity_above_the_greatest_share_there_is_no_depth() {
    let (n, bore, slope) = (0.013, Length::from_inch(6.0), Slope::from_percent(1.0));
    let full = full_flow(n, bore, slope);
    assert_relative_eq!(
        normal_depth(n, bore, slope, full * GREATEST_SHARE).unwrap() / bore,
        GREATEST_SHARE_DEPTH,
        epsilon = 1e-6
    );
    assert_eq!(normal_depth(n, bore, slope, full * (GREATEST_SHARE + 1e-9)), None);
    assert_eq!(normal_depth(n, bore, Slope::from_ratio(0.0), full), None);
    assert_eq!(normal_depth(n, bore, slope, Flow::from_m3s(f64::NAN)), None);
    assert_eq!(normal_depth(n, bore, slope, Flow::ZERO), Some(Length::ZERO));
}

#[test]
fn identity_thin_segments_keep_their_figures() {
    // 2/3 of width times depth, width 2√(Dy): a segment is as good as a parabola there
    for ratio in [1e-4, 1e-8, 1e-12] {
        assert_relative_eq!(
            area_ratio(angle(ratio)),
            4.0 / 3.0 * ratio * f64::sqrt(ratio),
            max_relative = 1e-3_f64.min(ratio + 1e-12)
        );
    }
}

#[test]
fn identity_a_full_pipe_under_tailwater_loses_its_friction_and_one_and_a_half_velocity_heads() {
    let pipe = pipe(100.0, 4.0, 0.012, 0.1);
    let flow = Flow::from_gpm(100.0);
    let found = pipe.backed_up(flow, Level::from_ft(102.0));
    let friction = friction_slope(pipe.manning_n, pipe.bore, flow) * pipe.length;
    let velocity = flow / pipe.bore.circle();
    let head = Length::from_m(velocity.ms() * velocity.ms() / (2.0 * GRAVITY));
    assert_relative_eq!(found.upper.m(), (Level::from_ft(102.0) + friction).m(), max_relative = 1e-12);
    assert_relative_eq!((found.pool - found.upper).m(), (head * 1.5).m(), max_relative = 1e-9);
    assert_eq!((found.depth, found.full_length), (pipe.bore, pipe.length));
    assert_eq!(found.lower, Level::from_ft(102.0));
}

#[test]
fn identity_a_drowned_outlet_of_a_steep_pipe_fills_it_up_to_where_the_grade_line_meets_the_crown() {
    let pipe = pipe(100.0, 6.0, 0.010, 2.0);
    let flow = Flow::from_gpm(100.0);
    let found = pipe.backed_up(flow, Level::from_ft(101.0));
    let gain = pipe.slope().ratio() - friction_slope(pipe.manning_n, pipe.bore, flow).ratio();
    assert_relative_eq!(found.full_length.ft(), 0.5 / gain, max_relative = 1e-9);
    // the tailwater does not reach the upper end: what gets in governs
    let alone = pipe.backed_up(flow, Level::from_ft(90.0));
    assert_eq!(found.pool, alone.pool);
    assert_eq!(alone.full_length, Length::ZERO);
    assert_relative_eq!(alone.lower.ft(), 100.0 + alone.depth.ft(), max_relative = 1e-12);
    assert!(alone.depth < critical_depth(pipe.bore, flow));
}

#[test]
fn identity_a_free_full_pipe_has_the_grade_line_of_the_manuals() {
    // a long pipe with more flow than it carries: the grade line of its full part, drawn on to the outlet, comes out
    // between critical depth and the crown, where the manuals set it half-way
    let pipe = pipe(300.0, 6.0, 0.012, 1.5);
    let flow = pipe.full_flow().unwrap() * 1.4;
    let found = pipe.backed_up(flow, Level::from_ft(0.0));
    let drawn_on = found.upper - friction_slope(pipe.manning_n, pipe.bore, flow) * pipe.length - pipe.down_invert;
    let critical = critical_depth(pipe.bore, flow);
    assert!(
        drawn_on > critical && drawn_on < pipe.bore,
        "{} {} {}",
        critical.inch(),
        drawn_on.inch(),
        pipe.bore.inch()
    );
    assert!(found.full_length < pipe.length && found.full_length > pipe.length * 0.5);
}

/// The depth at the upper end by fine steps of the differential equation dy/dx = (Sf - S)/(1 - Fr²) upstream, in
/// midpoint steps, from a depth at the lower end that is not critical.
fn integrated(pipe: &GravityPipe, flow: Flow, start: Length, steps: u32) -> Length {
    let (bore, q) = (pipe.bore.m(), flow.m3s());
    let rate = |depth: f64| {
        let theta = 2.0 * libm::acos(1.0 - 2.0 * depth / bore);
        let area = bore * bore / 8.0 * (theta - libm::sin(theta));
        let radius = area / (bore * theta / 2.0);
        let root = q * pipe.manning_n / (area * libm::pow(radius, 2.0 / 3.0));
        let froude = q * q * bore * libm::sin(theta / 2.0) / (GRAVITY * area * area * area);
        (root * root - pipe.slope().ratio()) / (1.0 - froude)
    };
    let dx = pipe.length.m() / f64::from(steps);
    let mut depth = start.m();
    for _ in 0..steps {
        depth += dx * rate(depth + 0.5 * dx * rate(depth));
    }
    Length::from_m(depth)
}

#[test]
fn identity_the_profile_is_the_differential_equation_s() {
    // backwater and drawdown in a mild pipe, backwater in a steep, a flat and a rising one
    let cases = [
        (pipe(60.0, 6.0, 0.015, 0.18), 0.4, 0.9),
        (pipe(60.0, 6.0, 0.015, 0.18), 0.4, 0.56),
        (pipe(10.0, 6.0, 0.009, 0.1), 0.5, 0.95),
        (pipe(40.0, 8.0, 0.012, 0.0), 0.3, 0.6),
        (pipe(20.0, 8.0, 0.012, -0.1), 0.2, 0.5),
        (pipe(150.0, 12.0, 0.024, 0.9), 0.7, 0.93),
    ];
    for (pipe, share, start) in cases {
        let (flow, start) = (scaled(&pipe, share), pipe.bore * start);
        assert!(start > critical_depth(pipe.bore, flow), "{} {}", start.inch(), critical_depth(pipe.bore, flow).inch());
        let found = pipe.backed_up(flow, pipe.down_invert + start).upper - pipe.up_invert;
        let fine = integrated(&pipe, flow, start, 20_000);
        assert!(fine > critical_depth(pipe.bore, flow) && fine < pipe.bore);
        eprintln!("{} in, {} in", found.inch(), fine.inch());
        assert!((found / pipe.bore - fine / pipe.bore).abs() < 1e-3, "{} in, {} in", found.inch(), fine.inch());
    }
}

#[test]
fn identity_nothing_odd_comes_of_odd_numbers() {
    let odd = [-1e9, -3.0, -1e-9, 0.0, 1e-12, 0.3, 2.0, 1e9];
    for (a, b) in odd.iter().flat_map(|a| odd.iter().map(move |b| (*a, *b))) {
        for (c, d) in odd.iter().flat_map(|c| odd.iter().map(move |d| (*c, *d))) {
            let pipe = GravityPipe {
                length: Length::from_m(a),
                bore: Length::from_m(b),
                manning_n: c * 0.01,
                up_invert: Level::from_m(d),
                down_invert: Level::from_m(0.0),
            };
            let flow = Flow::from_m3s(d * c);
            let found = pipe.backed_up(flow, Level::from_m(c));
            let numbers = [
                found.lower.m(),
                found.upper.m(),
                found.pool.m(),
                found.depth.m(),
                found.velocity.ms(),
                found.full_length.m(),
            ];
            assert!(numbers.iter().all(|number| !number.is_nan()), "{pipe:?} {found:?}");
            assert!(!pipe.most_flow(Level::from_m(d), Level::from_m(c)).m3s().is_nan());
            let (wet, water) = pipe.standing(Level::from_m(c));
            assert!(wet >= Length::ZERO && water >= Volume::ZERO);
            assert!(!bore_for(a, Slope::from_ratio(b), flow).m().is_nan());
            assert!(!part_full_flow(a, pipe.bore, Slope::from_ratio(c), Length::from_m(d)).m3s().is_nan());
            assert!(
                !critical_depth(pipe.bore, flow).m().is_nan() && !flow_area(pipe.bore, Length::from_m(c)).m2().is_nan()
            );
            assert!(normal_depth(a, pipe.bore, Slope::from_ratio(c), flow).is_none_or(|depth| !depth.m().is_nan()));
        }
    }
    let lost = pipe(10.0, 4.0, 0.01, 0.1).backed_up(Flow::from_m3s(f64::NAN), Level::from_m(0.0));
    assert!(lost.pool.m().is_nan());
}

#[test]
fn identity_the_pool_leaps_where_critical_depth_of_the_full_flow_is_below_four_fifths_of_the_bore() {
    let pipe = GravityPipe {
        length: Length::from_m(29.692_483_268_035_49),
        bore: Length::from_m(0.141_090_038_820_225_08),
        manning_n: 0.022_272_328_547_451_276,
        up_invert: Level::from_m(31.492_487_634_599_414),
        down_invert: Level::from_m(30.48),
    };
    let tail = tail(&pipe, 0.980_003_710_420_791_4);
    let pool = pipe.backed_up(Flow::ZERO, tail).pool + Length::from_ft(0.729_291_116_591_566_4);
    let most = pipe.most_flow(pool, tail);
    let full = pipe.full_flow().unwrap();
    assert_relative_eq!(critical_depth(pipe.bore, full) / pipe.bore, 0.786, epsilon = 1e-3);
    assert_relative_eq!(most / full, 1.0566, epsilon = 1e-4);
    let (below, above) = (pipe.backed_up(most, tail).pool, pipe.backed_up(most * (1.0 + 1e-8), tail).pool);
    assert!(below < pool && above > pool);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn identity_more_slope_or_bore_never_carries_less(n in 0.008..0.03_f64, bore in 1.0..24.0_f64, slope in 1e-4..0.2_f64, more in 1.0..3.0_f64, ratio in 0.0..1.2_f64) {
        let (bore, steep) = (Length::from_inch(bore), Slope::from_ratio(slope * more));
        let slope = Slope::from_ratio(slope);
        let depth = bore * ratio;
        prop_assert!(full_flow(n, bore, steep) >= full_flow(n, bore, slope));
        prop_assert!(part_full_flow(n, bore, steep, depth) >= part_full_flow(n, bore, slope, depth));
        prop_assert!(full_flow(n, bore * more, slope) >= full_flow(n, bore, slope));
        let full = full_flow(n, bore, slope);
        assert_relative_eq!(friction_slope(n, bore, full).ratio(), slope.ratio(), max_relative = 1e-12);
        assert_relative_eq!(bore_for(n, slope, full).m(), bore.m(), max_relative = 1e-12);
    }

    #[test]
    fn identity_normal_depth_undoes_the_flow_on_the_lower_branch(n in 0.008..0.03_f64, bore in 1.0..24.0_f64, slope in 1e-4..0.2_f64, ratio in 1e-6..0.938_f64) {
        let (bore, slope) = (Length::from_inch(bore), Slope::from_ratio(slope));
        let flow = part_full_flow(n, bore, slope, bore * ratio);
        // the flow hardly changes with the depth near its greatest
        let room = if ratio > 0.93 { 1e-4 } else { 1e-9 };
        assert_relative_eq!(normal_depth(n, bore, slope, flow).unwrap() / bore, ratio, max_relative = room);
    }

    #[test]
    fn identity_critical_depth_has_the_least_energy(bore in 1.0..24.0_f64, share in 1e-4..2.0_f64, off in 0.5..1.5_f64) {
        let bore = Length::from_inch(bore);
        let flow = Velocity::from_ms((GRAVITY * bore.m()).sqrt() * share) * bore.circle();
        let energy = |depth: Length| {
            let velocity = flow / flow_area(bore, depth);
            depth.m() + velocity.ms() * velocity.ms() / (2.0 * GRAVITY)
        };
        let critical = critical_depth(bore, flow);
        prop_assert!(critical > Length::ZERO && critical <= bore);
        prop_assert!(energy((critical * off).min(bore)) >= energy(critical) * (1.0 - 1e-12));
    }

    #[test]
    fn identity_more_flow_never_makes_a_lower_pool(pipe in any_pipe(), share in 0.0..3.0_f64, more in 1.0..1.5_f64, water in -1.0..6.0_f64) {
        let tail = tail(&pipe, water);
        let (less, more) = (pipe.backed_up(scaled(&pipe, share), tail), pipe.backed_up(scaled(&pipe, share * more), tail));
        prop_assert!((more.pool - less.pool).m() >= -1e-6, "{less:?} {more:?}");
        prop_assert!(less.pool >= tail && less.pool >= less.upper && less.upper >= pipe.up_invert);
        prop_assert!(less.full_length >= Length::ZERO && less.full_length <= pipe.length);
    }

    #[test]
    fn identity_a_higher_tailwater_never_makes_a_lower_pool(pipe in any_pipe(), share in 0.0..3.0_f64, water in -1.0..6.0_f64, rise in 0.0..1.0_f64) {
        let flow = scaled(&pipe, share);
        let (low, high) = (pipe.backed_up(flow, tail(&pipe, water)), pipe.backed_up(flow, tail(&pipe, water + rise)));
        prop_assert!((high.pool - low.pool).m() >= -1e-9, "{low:?} {high:?}");
    }

    #[test]
    fn identity_the_pool_of_the_most_flow_is_the_pool(pipe in any_pipe(), over in 0.01..3.0_f64, water in -1.0..6.0_f64) {
        let tail = tail(&pipe, water);
        let pool = pipe.backed_up(Flow::ZERO, tail).pool + Length::from_ft(over);
        let most = pipe.most_flow(pool, tail);
        prop_assert!(most > Flow::ZERO);
        let found = pipe.backed_up(most, tail).pool;
        prop_assert!((found - pool).m() < 1e-8);
        // a steep pipe that fills makes a leap: hardly any more flow lifts the pool past the level asked for
        let lifted = pipe.backed_up(most * (1.0 + 1e-8), tail).pool;
        if (lifted - found).m() > 1e-6 {
            prop_assert!(lifted >= pool && pipe.slope() > Slope::from_ratio(0.0), "{found:?} {lifted:?}");
        } else {
            assert_relative_eq!(found.m(), pool.m(), epsilon = 1e-6);
        }
        prop_assert_eq!(pipe.most_flow(pipe.backed_up(Flow::ZERO, tail).pool, tail), Flow::ZERO);
    }

    #[test]
    fn identity_standing_water_is_what_slices_add_up_to(pipe in any_pipe(), level in -1.0..8.0_f64) {
        let level = pipe.down_invert.min(pipe.up_invert) + pipe.bore * level;
        let (wet, water) = pipe.standing(level);
        let content = pipe.bore.circle() * pipe.length;
        prop_assert!(wet >= Length::ZERO && wet <= pipe.length && water >= Volume::ZERO && water <= content);
        if level >= pipe.up_invert.max(pipe.down_invert) + pipe.bore {
            assert_relative_eq!(water.m3(), content.m3(), max_relative = 1e-12);
        }
        let slices = 4000;
        let sum: f64 = (0..slices).map(|slice| {
            let part = (f64::from(slice) + 0.5) / f64::from(slices);
            let invert = pipe.down_invert + (pipe.up_invert - pipe.down_invert) * part;
            let ratio = ((level - invert) / pipe.bore).clamp(0.0, 1.0);
            let theta = 2.0 * libm::acos(1.0 - 2.0 * ratio);
            (theta - libm::sin(theta)) / TAU
        }).sum();
        assert_relative_eq!(water / content, sum / f64::from(slices), epsilon = 2e-5);
        prop_assert!(sum > 0.0 || wet < pipe.length * (1.0 / f64::from(slices)));
    }
}
