//! Ways by their formulas, the figures by Python; how a flow changes with the levels by its difference there.

use crate::collection::Grate;
use crate::quantity::{Area, Flow, Length, Level};
use crate::routing::{FullPipe, Path, PathKind, RoutingError, crest_depth};
use approx::assert_relative_eq;

/// 100 mm, 10 m, n 0.011 from 1.0 down to 0.5: K = A √(2 g / (1.5 + 2 g n² L / R^(4/3))) = 0.01596534 m³/s per √m.
fn pipe() -> FullPipe {
    FullPipe::new(Length::from_m(0.1), Length::from_m(10.0), 0.011, Level::from_m(1.0), Level::from_m(0.5)).unwrap()
}

fn check(kind: &PathKind, rows: &[(f64, f64, f64, f64, f64)]) {
    let way = Path { from: 0, to: Some(1), kind: kind.clone() }.way();
    for (upper, lower, flow, up, down) in rows {
        let law = way.law(*upper, *lower);
        assert_relative_eq!(law.q, *flow, max_relative = 1e-9, epsilon = 1e-15);
        assert_relative_eq!(law.up, *up, max_relative = 1e-6, epsilon = 1e-12);
        assert_relative_eq!(law.down, *down, max_relative = 1e-6, epsilon = 1e-12);
        assert_relative_eq!(way.flow(*upper, *lower), law.q);
    }
}

/// 2 (h - 1)^1.5 over a crest at 1; drowned 2 (h - 1) √ of the difference.
#[test]
fn crosscheck_a_crest() {
    let crest = PathKind::Crest { level: Level::from_m(1.0), width: Length::from_m(4.0), coefficient: 0.5 };
    check(
        &crest,
        &[
            (1.25, 0.5, 0.25, 1.5, 0.0),
            (1.25, 1.0, 0.25, 1.5, 0.0),
            (1.25, 1.2, 0.111_803_398_875, 1.565_247_58, -1.118_033_99),
            (1.1, 1.3, -0.268_328_157_3, 0.670_820_393, -1.565_247_58),
            (0.9, 1.3, -0.328_633_534_503, 0.0, -1.643_167_672),
            (0.9, 0.95, 0.0, 0.0, 0.0),
            (1.0, 1.0, 0.0, 0.0, 0.0),
        ],
    );
    let way = Path { from: 0, to: None, kind: crest }.way();
    assert_relative_eq!(way.free_up_to_m(), 1.0);
    assert_relative_eq!(way.dry_up_to_m(), 1.0);
}

/// Free, drowned, part-full, backwards, dry.
#[test]
fn crosscheck_a_pipe_out_of_a_box() {
    check(
        &PathKind::Pipe(pipe()),
        &[
            (1.05, -9.0, 0.006_984_837_691_52, 0.149_675_093, 0.0),
            (1.05, 0.9, 0.003_825_753_164_16, 0.094_732_935_5, -0.012_752_510_5),
            (1.05, 1.02, 0.001_710_928_828_04, 0.065_178_241_1, -0.028_515_480_5),
            (1.2, 0.9, 0.008_744_578_660_94, 0.014_574_297_8, -0.014_574_297_8),
            (1.2, 1.15, 0.003_569_959_289_15, 0.035_699_592_9, -0.035_699_592_9),
            // within 2.5 mm: √w (195 u - 117 u³ + 65 u⁵ - 15 u⁷)/128 with u 0.4
            (1.2, 1.199, 0.000_443_743_146_34, 0.366_030_241, -0.366_030_241),
            (1.02, 1.06, -0.002_374_406_733_99, 0.029_680_084_2, -0.066_780_189_4),
            (0.5, 1.06, -0.002_908_042_470_05, 0.0, -0.069_671_850_8),
            // a box filled just to the invert is as dry as one that is lower
            (1.0, 1.06, -0.002_908_042_470_05, 0.0, -0.069_671_850_8),
            (0.5, 1.3, -0.008_744_578_660_94, 0.0, -0.014_574_297_8),
            (1.15, 1.3, -0.006_183_350_869_77, 0.020_611_169_6, -0.020_611_169_6),
            (1.0, 0.9, 0.0, 0.0, 0.0),
            (0.7, 1.0, 0.0, 0.0, 0.0),
        ],
    );
    let way = Path { from: 0, to: None, kind: PathKind::Pipe(pipe()) }.way();
    // rounded off 2.5 mm under its lower end
    assert_relative_eq!(way.free_up_to_m(), 0.4975);
    assert_relative_eq!(way.dry_up_to_m(), 1.0);
    assert_relative_eq!(pipe().times(2.0).up_m(), 1.0);
    // between two other inverts: what lies above is its own
    let low = FullPipe::new(Length::from_m(0.1), Length::from_m(10.0), 0.011, Level::from_m(0.25), Level::from_m(0.0));
    assert_relative_eq!(low.unwrap().up_m(), 0.25);
    let twice = Path { from: 0, to: None, kind: PathKind::Pipe(pipe().times(2.0)) }.way();
    assert_relative_eq!(twice.flow(1.2, 0.9), 0.017_489_157_321_9, max_relative = 1e-9);
}

#[test]
fn pipes_that_make_no_sense_are_refused() {
    let new = |bore: f64, length: f64, n: f64, up: f64, down: f64| {
        FullPipe::new(Length::from_m(bore), Length::from_m(length), n, Level::from_m(up), Level::from_m(down))
    };
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        for found in [new(bad, 10.0, 0.011, 1.0, 0.5), new(0.1, bad, 0.011, 1.0, 0.5), new(0.1, 10.0, bad, 1.0, 0.5)] {
            assert_eq!(found, Err(RoutingError::BadPath));
        }
    }
    for bad in [f64::NAN, f64::INFINITY] {
        assert_eq!(new(0.1, 10.0, 0.011, bad, 0.5), Err(RoutingError::BadPath));
        assert_eq!(new(0.1, 10.0, 0.011, 1.0, bad), Err(RoutingError::BadPath));
    }
    // a pipe may rise
    assert!(new(0.1, 10.0, 0.011, 0.5, 1.0).is_ok());
}

/// Weir and openings of a grate of 1.2 m and 0.04 m², half clogged: by [`Grate::flow`], which is checked on its own.
fn grate() -> Grate {
    Grate { perimeter: Length::from_m(1.2), open_area: Area::from_m2(0.04), clogged: 0.5 }
}

fn alone(depth: f64) -> (f64, f64) {
    let q = |depth: f64| grate().flow(Length::from_m(depth)).m3s();
    (q(depth), (q(depth + 1e-6) - q(depth - 1e-6)) / 2e-6)
}

/// A lid at level 2 over a store: a free fall, driven by the difference either way, up only over the rim.
#[test]
fn identity_a_grate_as_a_lid() {
    let lid = PathKind::Grate { rim: Level::from_m(2.0), grate: grate(), pipes: Vec::new() };
    let (q20, s20) = alone(0.2);
    let (q05, s05) = alone(0.05);
    check(
        &lid,
        &[
            (2.2, 0.0, q20, s20, 0.0),
            (2.2, 2.0, q20, s20, 0.0),
            (2.2, 2.15, q05, s05, -s05),
            (2.15, 2.2, -q05, s05, -s05),
            (1.5, 2.2, -q20, 0.0, -s20),
            (2.0, 2.2, -q20, 0.0, -s20),
            (1.9, 1.0, 0.0, 0.0, 0.0),
        ],
    );
    let way = Path { from: 0, to: None, kind: lid }.way();
    assert_relative_eq!(way.free_up_to_m(), 2.0);
    assert_relative_eq!(way.dry_up_to_m(), 2.0);
}

/// A wide grate at level 2 over two of the pipes: their flow; a narrow one: its own; alike, 6.25 % under both.
#[test]
fn identity_a_grate_with_its_pipes() {
    let wide = Grate { perimeter: Length::from_m(90.0), open_area: Area::from_m2(90.0), clogged: 0.0 };
    let with = |grate: Grate, pipes: Vec<FullPipe>| PathKind::Grate { rim: Level::from_m(2.0), grate, pipes };
    // K √(2.2 - 1.0), twice; and backwards, out over the rim
    let k = 0.015_965_343_294_9;
    let (root, slope) = (f64::sqrt, |h: f64| 0.5 / h.sqrt());
    check(
        &with(wide, vec![pipe(), pipe()]),
        &[
            (2.2, 1.0, 2.0 * k * root(1.2), 2.0 * k * slope(1.2), -2.0 * k * slope(1.2)),
            (2.2, 0.1, 2.0 * k * root(1.6), 2.0 * k * slope(1.6), 0.0),
            (2.2, 2.5, -2.0 * k * root(0.3), 2.0 * k * slope(0.3), -2.0 * k * slope(0.3)),
            (1.2, 2.5, -2.0 * k * root(0.5), 0.0, -2.0 * k * slope(0.5)),
            (2.0, 2.5, -2.0 * k * root(0.5), 0.0, -2.0 * k * slope(0.5)),
            (1.9, 1.5, 0.0, 0.0, 0.0),
            (2.0, 2.0, 0.0, 0.0, 0.0),
        ],
    );
    // the water at the lower end rises over the crown at 0.6: rounded off within 2.5 mm, (x + w)³ (3 w - x) / 16 w³ over it
    let rows = [
        (-0.0026, 0.0, 0.0),
        (-0.002, 4.75e-6, 0.028),
        (0.0, 4.6875e-4, 0.5),
        (0.001, 1.114_75e-3, 0.784),
        (0.0026, 0.0026, 1.0),
    ];
    for (over, end, follows) in rows {
        let driving = 2.2 - 0.6 - end;
        let row = (2.2, 0.6 + over, k * root(driving), k * slope(driving), -k * slope(driving) * follows);
        check(&with(wide, vec![pipe()]), &[row]);
    }
    // 0.01 m over half of 0.012 m of rim is nothing beside what the pipe carries
    let narrow = Grate { perimeter: Length::from_m(0.012), ..grate() };
    let by_rim = narrow.flow(Length::from_m(0.01)).m3s();
    let way = Path { from: 0, to: Some(1), kind: with(narrow, vec![pipe()]) }.way();
    assert_relative_eq!(way.flow(2.01, 0.0), by_rim, max_relative = 1e-9);
    // where both are alike: 1 - 0.2 × 5/16 of it
    let carried = k * root(1.4);
    let depth = grate().depth_for(crate::quantity::Flow::from_m3s(carried)).unwrap().m();
    let free_end = with(
        grate(),
        vec![
            FullPipe::new(
                Length::from_m(0.1),
                Length::from_m(10.0),
                0.011,
                Level::from_m(1.0),
                Level::from_m(0.5 + depth),
            )
            .unwrap(),
        ],
    );
    let way = Path { from: 0, to: Some(1), kind: free_end }.way();
    assert_relative_eq!(way.flow(2.0 + depth, 0.0), carried * 0.9375, max_relative = 1e-6);
    // and it follows each by half of that; where the lower water stands over the crown at 0.6, it too is followed
    let half = 0.5 * 0.9375;
    let (grows, follows) = (alone(depth).1, k * slope(1.4));
    let row = (2.0 + depth, 0.6 + depth, carried * 0.9375, half * (grows + follows), -half * follows);
    check(&with(grate(), vec![pipe()]), &[row]);
    // free up to the lower crown, less the rounding, or to the rim where that is lower
    assert_relative_eq!(way.free_up_to_m(), f64::min(2.0, 0.6 + depth - 2.5e-3));
    assert_relative_eq!(way.dry_up_to_m(), 2.0);
    let low = FullPipe::new(Length::from_m(0.1), Length::from_m(10.0), 0.011, Level::from_m(3.0), Level::from_m(2.5))
        .unwrap();
    assert_relative_eq!(Path { from: 0, to: None, kind: with(wide, vec![low]) }.way().free_up_to_m(), 2.0);
}

#[test]
fn published_depth_over_a_broad_crest() {
    // handbooks' Q = C L h^1.5 with C 2.6 in feet (from memory): 2.6 x 4 ft x (0.25 ft)^1.5 = 2.6 x 4 x 0.125 = 1.3 ft3/s
    let depth = crest_depth(Flow::from_ft3s(1.3), Length::from_ft(4.0));
    assert_relative_eq!(depth.ft(), 0.25, max_relative = 1e-3);
    assert_eq!(crest_depth(Flow::ZERO, Length::from_ft(4.0)), Length::ZERO);
}
