//! Gravity pipes by hand and by tables: uniform and critical flow, standing water, what gets in at the upper end.

use super::super::section::area_ratio;
use super::super::*;
use approx::assert_relative_eq;
use std::f64::consts::{FRAC_PI_4, FRAC_PI_8, PI};

fn m(value: f64) -> Length {
    Length::from_m(value)
}

/// A metre of bore and n of 0.01 over a length that falls so much, its lower invert at 0.
fn metre_pipe(length_m: f64, fall_m: f64) -> GravityPipe {
    GravityPipe {
        length: m(length_m),
        bore: m(1.0),
        manning_n: 0.01,
        up_invert: Level::from_m(fall_m),
        down_invert: Level::ZERO,
    }
}

#[test]
fn full_flow_by_hand() {
    // 4 m of bore have a hydraulic radius of 1 m and an area of 4π m2: Q = 4π x 1 x √0.0001/0.01 = 4π m3/s
    let (n, bore, slope, flow) = (0.01, m(4.0), Slope::from_ratio(1e-4), Flow::from_m3s(4.0 * PI));
    assert_relative_eq!(full_flow(n, bore, slope).m3s(), 4.0 * PI, max_relative = 1e-13);
    assert_relative_eq!(friction_slope(n, bore, flow).ratio(), 1e-4, max_relative = 1e-13);
    assert_relative_eq!(bore_for(n, slope, flow).m(), 4.0, max_relative = 1e-13);
    // of a pipe that lies: 10 m that fall 1 mm
    let lies = |fall_m: f64, bore: Length, n: f64| GravityPipe { bore, manning_n: n, ..metre_pipe(10.0, fall_m) };
    assert_relative_eq!(lies(1e-3, bore, n).full_flow().unwrap().m3s(), 4.0 * PI, max_relative = 1e-12);
    for none in [
        lies(0.0, bore, n),
        lies(-1.0, bore, n),
        lies(1e-3, m(0.0), n),
        lies(1e-3, m(-1.0), n),
        lies(1e-3, bore, 0.0),
        lies(1e-3, bore, f64::INFINITY),
    ] {
        assert_eq!(none.full_flow(), None, "{none:?}");
    }
}

#[test]
fn bore_for_odd_numbers() {
    let (slope, flow) = (Slope::from_ratio(1e-4), Flow::from_m3s(1.0));
    assert_eq!(bore_for(0.01, slope, Flow::ZERO), Length::ZERO);
    assert_eq!(bore_for(0.01, slope, Flow::from_m3s(-1.0)), Length::ZERO);
    assert_eq!(bore_for(0.0, slope, flow), Length::ZERO);
    for level in [0.0, -0.01] {
        assert!(bore_for(0.01, Slope::from_ratio(level), flow).m().is_infinite());
    }
    let nan = f64::NAN;
    assert!(bore_for(nan, slope, flow).m().is_nan());
    assert!(bore_for(0.01, Slope::from_ratio(nan), flow).m().is_nan());
    assert!(bore_for(0.01, slope, Flow::from_m3s(nan)).m().is_nan());
}

#[test]
fn published_part_full_pipe() {
    // hydraulic elements of the circle as every table of sewers has them, figures worked out apart: depth, area, hydraulic
    // radius over the bore, flow over that of the full pipe
    let (bore, slope) = (m(2.0), Slope::from_ratio(0.01));
    let full = full_flow(0.01, bore, slope);
    for (ratio, area, radius, flow) in [
        (0.1, 0.040_875_277_2, 0.063_520_134_8, 0.020_877_817_5),
        (0.25, 0.153_546_212_3, 0.146_625_832_1, 0.136_981_803_7),
        (0.5, FRAC_PI_8, 0.25, 0.5),
        (0.75, 0.631_851_951_1, 0.301_687_083_9, 0.911_877_686_1),
        (0.9, 0.744_522_886_2, 0.298_036_670_3, 1.065_797_344_0),
        (1.0, FRAC_PI_4, 0.25, 1.0),
    ] {
        let depth = bore * ratio;
        assert_relative_eq!(flow_area(bore, depth).m2(), 4.0 * area, max_relative = 1e-9);
        assert_relative_eq!(part_full_flow(0.01, bore, slope, depth) / full, flow, max_relative = 5e-9);
        // V = (1/n) R^(2/3) √S
        let velocity = part_full_flow(0.01, bore, slope, depth) / flow_area(bore, depth);
        assert_relative_eq!(velocity.ms(), libm::pow(2.0 * radius, 2.0 / 3.0) * 0.1 / 0.01, max_relative = 1e-9);
    }
    // from the crown up it is full, below the invert empty
    assert_eq!(part_full_flow(0.01, bore, slope, bore * 1.5), part_full_flow(0.01, bore, slope, bore));
    assert_eq!(flow_area(bore, bore * 1.5), flow_area(bore, bore));
    for below in [0.0, -1.0] {
        assert_eq!((part_full_flow(0.01, bore, slope, m(below)), flow_area(bore, m(below))), (Flow::ZERO, Area::ZERO));
    }
    assert_eq!((flow_area(m(0.0), m(1.0)), flow_area(m(-1.0), m(-0.5))), (Area::ZERO, Area::ZERO));
}

#[test]
fn thin_segments_to_their_last_figure() {
    // (θ - sin θ)/8 worked out apart with forty digits; the difference itself is used from 0.02 up, where it has twelve
    for (angle, area, room) in [
        (4e-4, 1.333_333_322_666_667e-12, 1e-14),
        (0.019, 1.428_932_540_857_11e-7, 1e-14),
        (0.0199, 1.641_758_950_348_075e-7, 1e-14),
        (0.0201, 1.691_757_700_286_967e-7, 1e-11),
    ] {
        assert_relative_eq!(area_ratio(angle), area, epsilon = 0.0, max_relative = room);
    }
}

#[test]
fn identity_what_does_not_fall_carries_nothing() {
    let (n, bore, slope, depth) = (0.01, m(1.0), Slope::from_ratio(0.01), m(0.5));
    for odd in [0.0, -1.0, f64::INFINITY, f64::NAN] {
        let carried = [
            part_full_flow(odd, bore, slope, depth),
            part_full_flow(n, m(odd), slope, depth),
            part_full_flow(n, bore, Slope::from_ratio(odd), depth),
        ];
        assert_eq!(carried, [Flow::ZERO; 3], "{odd}");
        let flow = Flow::from_m3s(0.1);
        let depths = [
            normal_depth(odd, bore, slope, flow),
            normal_depth(n, m(odd), slope, flow),
            normal_depth(n, bore, Slope::from_ratio(odd), flow),
        ];
        assert_eq!(depths, [None; 3], "{odd}");
    }
    assert_eq!(part_full_flow(n, bore, slope, m(f64::NAN)), Flow::ZERO);
    assert_eq!(normal_depth(n, bore, slope, Flow::from_m3s(-1.0)), Some(Length::ZERO));
    assert_eq!(normal_depth(n, bore, slope, Flow::from_m3s(f64::INFINITY)), None);
    assert_eq!(metre_pipe(10.0, 0.0).normal_depth(Flow::from_m3s(0.1)), None);
}

#[test]
fn normal_depth_by_hand() {
    // a pipe half full carries half
    let pipe = metre_pipe(100.0, 1.0);
    let full = pipe.full_flow().unwrap();
    assert_relative_eq!(pipe.normal_depth(full * 0.5).unwrap().m(), 0.5, max_relative = 1e-12);
    // what it carries full runs at 0.82 of the bore already
    assert_relative_eq!(pipe.normal_depth(full).unwrap().m(), 0.82, epsilon = 5e-4);
    // where it carries most, the flow hardly changes with the depth
    assert_relative_eq!(pipe.normal_depth(full * GREATEST_SHARE).unwrap().m(), GREATEST_SHARE_DEPTH, epsilon = 1e-7);
    assert_eq!(pipe.normal_depth(full * (GREATEST_SHARE * (1.0 + 1e-12))), None);
    // whichever way the last digit of that flow is rounded
    for fall_mm in 1..2000 {
        let pipe = metre_pipe(100.0, f64::from(fall_mm) * 1e-3);
        let depth = pipe.normal_depth(pipe.full_flow().unwrap() * (GREATEST_SHARE * (1.0 - 2e-16)));
        assert_relative_eq!(depth.unwrap().m(), GREATEST_SHARE_DEPTH, epsilon = 1e-6);
    }
}

#[test]
fn critical_depth_by_hand() {
    // Q = √(g A³/T) for a metre of bore: half full A = π/8, T = 1: 0.770638 m3/s
    for (ratio, flow) in [
        (0.1, 0.033_409_946_4),
        (0.25, 0.202_466_736_9),
        (0.5, 0.770_637_549_6),
        (0.75, 1.690_121_857_3),
        (0.9, 2.597_178_451_8),
    ] {
        assert_relative_eq!(critical_depth(m(1.0), Flow::from_m3s(flow)).m(), ratio, max_relative = 1e-8);
        // flows of like pipes are as the bore to 5/2
        let larger = critical_depth(m(4.0), Flow::from_m3s(flow * 32.0));
        assert_relative_eq!(larger.m(), 4.0 * ratio, max_relative = 1e-8);
    }
    // a flow that no open surface carries fills the bore; none, or no pipe, has no depth
    assert_relative_eq!(critical_depth(m(1.0), Flow::from_m3s(1e6)).m(), 1.0, max_relative = 1e-9);
    for (bore, flow) in [(0.0, 1.0), (-1.0, 1.0), (1.0, 0.0), (1.0, -1.0)] {
        assert_eq!(critical_depth(m(bore), Flow::from_m3s(flow)), Length::ZERO, "{bore} {flow}");
    }
    assert!(critical_depth(m(f64::NAN), Flow::from_m3s(1.0)).m().is_nan());
    assert!(critical_depth(m(1.0), Flow::from_m3s(f64::NAN)).m().is_nan());
}

#[test]
fn standing_water_by_hand() {
    // a metre of bore, 12 m long, falling 0.5 m: water just up to the upper invert is a cylindrical wedge half a bore deep,
    // 2/3 r² L = 2 m3 (Archimedes)
    let wedge = metre_pipe(12.0, 0.5).standing(Level::from_m(0.5));
    assert_relative_eq!(wedge.0.m(), 12.0, max_relative = 1e-13);
    assert_relative_eq!(wedge.1.m3(), 2.0, max_relative = 1e-12);
    // falling 1 m instead, water at half that wets half of the length
    let wedge = metre_pipe(12.0, 1.0).standing(Level::from_m(0.5));
    assert_relative_eq!(wedge.0.m(), 6.0, max_relative = 1e-13);
    assert_relative_eq!(wedge.1.m3(), 1.0, max_relative = 1e-12);
    // from one end dry to the other just full: by symmetry half of the pipe, π/8 x 12 m3; the same where it rises
    for fall in [1.0, -1.0] {
        let found = metre_pipe(12.0, fall).standing(Level::from_m(fall.max(0.0)));
        assert_relative_eq!(found.1.m3(), FRAC_PI_8 * 12.0, max_relative = 1e-12);
        assert_eq!(found.0, m(12.0));
    }
    // a bore and a half deep at one end and half a bore at the other: over the middle half of the bore's depths the mean area
    // is the symmetric wedge's less the hoof's, π/8 - 1/12, over the drowned half metre π/8: (π/4 - 1/12) x 12 m3
    let found = metre_pipe(12.0, 1.0).standing(Level::from_m(1.5));
    assert_relative_eq!(found.1.m3(), (FRAC_PI_4 - 1.0 / 12.0) * 12.0, max_relative = 1e-12);
    // level: half full, full, over-full; nearly level is nearly the same
    for (fall, level, share) in
        [(0.0, 0.5, 0.5), (0.0, 1.0, 1.0), (0.0, 7.0, 1.0), (9e-5, 0.5 + 4.5e-5, 0.5), (1.1e-4, 0.5 + 5.5e-5, 0.5)]
    {
        let (wet, water) = metre_pipe(12.0, fall).standing(Level::from_m(level));
        assert_eq!(wet, m(12.0));
        assert_relative_eq!(water.m3(), share * FRAC_PI_4 * 12.0, max_relative = 1e-12);
    }
    // nearly level, a quarter full with a fall of 9e-5 about it: the mean of the segment's areas is that of its middle but for
    // the curvature, d²a/dy² h²/24 with d²a/dy² = (1 - 2y)/√(y (1 - y)) = 1.1547
    let (_, water) = metre_pipe(12.0, 9e-5).standing(Level::from_m(0.25 + 4.5e-5));
    assert_relative_eq!(
        water.m3(),
        12.0 * (0.153_546_212_326_094_67 + 1.154_700_538 * 8.1e-9 / 24.0),
        max_relative = 1e-13
    );
    // the just drowned crown of the upper end
    let (wet, water) = metre_pipe(12.0, 1.0).standing(Level::from_m(2.0));
    assert_eq!((wet, water), (m(12.0), m(1.0).circle() * m(12.0)));
}

#[test]
fn nothing_stands_in_no_pipe() {
    let none = (Length::ZERO, Volume::ZERO);
    let pipe = metre_pipe(12.0, 0.5);
    assert_eq!(pipe.standing(Level::ZERO), none);
    assert_eq!(pipe.standing(Level::from_m(-1.0)), none);
    for odd in [0.0, -1.0, f64::NAN] {
        let (short, narrow) = (GravityPipe { length: m(odd), ..pipe }, GravityPipe { bore: m(odd), ..pipe });
        assert_eq!((short.standing(Level::from_m(0.5)), narrow.standing(Level::from_m(0.5))), (none, none), "{odd}");
    }
    let nan = Level::from_m(f64::NAN);
    assert_eq!(pipe.standing(nan), none);
    assert_eq!(GravityPipe { up_invert: nan, ..pipe }.standing(Level::from_m(0.5)), none);
    assert_eq!(GravityPipe { down_invert: nan, ..pipe }.standing(Level::from_m(0.5)), none);
}
