//! The flows of a moment and how they change, by hand.

use crate::quantity::{Area, Flow, Length, Level, Volume};
use crate::routing::rates::{ANY, Coming, Kernel, Rates};
use crate::routing::{Floats, Forcing, Path, PathKind, Rating, Running, Seep, StageStorage, Station, System};
use approx::assert_relative_eq;

/// Stores of 2 and 4 m² over a drowned crest at 1 m, 2 (h - 1) √ of the difference; the second pumped by 4 L/s and 2 more for
/// each metre, with groundwater at 3 m that rises 1 mm/s.
fn system() -> System {
    let prism = |area: f64| StageStorage::prism(Level::from_m(0.0), Area::from_m2(area)).unwrap();
    let kind = PathKind::Crest { level: Level::from_m(1.0), width: Length::from_m(4.0), coefficient: 0.5 };
    let flows = [0.004, 0.006, 0.008].map(Flow::from_m3s);
    let rating = Rating::new(Level::from_m(0.0), Level::from_m(2.0), &flows).unwrap();
    System {
        stores: vec![prism(2.0), prism(4.0)],
        paths: vec![Path { from: 0, to: Some(1), kind }],
        station: Some(Station {
            store: 1,
            lead: Floats { on: Level::from_m(1.0), off: Level::from_m(0.4) },
            lag: None,
            first: rating.clone(),
            second: rating.clone(),
            both: rating,
            drain_back: Volume::ZERO,
        }),
        seeps: vec![Seep { store: 1, per_metre: 1e-3, from: Level::from_m(0.5) }],
    }
}

/// At 1.25 and 1.2 m the crest lets 0.111803399 m³/s through, 1.565248 more for each metre above and 1.118034 less below.
#[test]
fn identity_flows_and_slopes_of_a_moment() {
    let kernel = Kernel::new(system());
    let (mut rates, mut coming) = (Rates::new(&kernel), Coming::default());
    let volumes = [2.5, 4.8];
    for (rise, running) in [(1e-3, true), (0.0, true), (0.0, false)] {
        coming.take(&Forcing { inflow: vec![(0.01, 1e-4), (0.02, 0.0)], table: vec![(3.0, rise)] });
        rates.find_pieces(&kernel, &volumes);
        rates.at(&kernel, &coming, Running { lead: running, lag: false }, &volumes, 100.0);
        let seeped = 1e-3 * (3.0 + 100.0 * rise - 1.2);
        let pumped = if running { 0.0064 } else { 0.0 };
        for (found, by_hand) in rates.flows.iter().zip([0.111_803_398_875, seeped, pumped]) {
            assert_relative_eq!(*found, by_hand, max_relative = 1e-9);
        }
        let slopes = [
            (1.565_247_58 / 2.0, -1.118_033_99 / 4.0),
            (0.0, -1e-3 / 4.0),
            (if running { 0.002 / 4.0 } else { 0.0 }, 0.0),
        ];
        for (found, by_hand) in rates.slopes.iter().zip(slopes) {
            assert_relative_eq!(found.0, by_hand.0, max_relative = 1e-6);
            assert_relative_eq!(found.1, by_hand.1, max_relative = 1e-6);
        }
        assert_eq!(rates.drift, rise > 0.0);
        assert_relative_eq!(rates.drifts[1], 1e-3 * rise);
        // 0.01 and 1e-4 more each second
        assert_relative_eq!(rates.held[0].change, 0.02 - 0.111_803_398_875, max_relative = 1e-9);
        assert_relative_eq!(rates.held[1].change, 0.02 + 0.111_803_398_875 + seeped - pumped, max_relative = 1e-9);
    }
}

/// The level of the second store is 1.2 m: the first pump brings 4 + 1.2 × 2 L/s.
#[test]
fn identity_each_pump_brings_its_own_by_hand() {
    let mut system = system();
    let station = system.station.as_mut().unwrap();
    station.second = Rating::constant(Flow::from_m3s(0.003));
    station.both = Rating::constant(Flow::from_m3s(0.0085));
    let kernel = Kernel::new(system);
    let (mut rates, mut coming) = (Rates::new(&kernel), Coming::default());
    coming.take(&Forcing::none(&kernel.system));
    let volumes = [0.0, 4.8];
    rates.find_pieces(&kernel, &volumes);
    for (lead, lag, pumped, slope) in [
        (false, false, 0.0, 0.0),
        (true, false, 0.0064, 0.002 / 4.0),
        (false, true, 0.003, 0.0),
        (true, true, 0.0085, 0.0),
    ] {
        let running = Running { lead, lag };
        assert_eq!(running.any(), lead || lag);
        rates.at(&kernel, &coming, running, &volumes, 0.0);
        assert_relative_eq!(rates.flows[2], pumped, max_relative = 1e-12);
        assert_relative_eq!(rates.slopes[2].0, slope, epsilon = 1e-15, max_relative = 1e-12);
        // over the crest back into the dry store, free: 2 x 0.2 √0.2
        let back = 0.4 * f64::sqrt(0.2);
        assert_relative_eq!(rates.held[0].change, back, max_relative = 1e-12);
        assert_relative_eq!(rates.held[1].change, -back - pumped, max_relative = 1e-12);
        // no groundwater stands anywhere
        assert_eq!((rates.flows[1], rates.drift), (0.0, false));
    }
}

/// Other water coming does not change what flows between the stores; without slopes the flows are the same.
#[test]
fn identity_flows_of_a_moment_with_something_else_coming() {
    let kernel = Kernel::new(system());
    let (volumes, lead) = ([2.5, 4.8], Running { lead: true, lag: false });
    let coming =
        |inflow: [(f64, f64, f64); 2], table: (f64, f64)| Coming { inflow: inflow.to_vec(), table: vec![table] };
    let (first, second) = (
        coming([(0.01, 1e-4, 0.0), (0.02, 0.0, 0.0)], (3.0, 0.0)),
        coming([(0.03, 2e-4, 1e-6), (0.0, 0.0, -1e-5)], (2.0, 1e-3)),
    );
    let mut rates = Rates::new(&kernel);
    rates.find_pieces(&kernel, &volumes);
    rates.at(&kernel, &first, lead, &volumes, 0.0);
    assert!(!rates.drift);
    rates.forced(&kernel, &second, 10.0);
    let (crest, seeped, pumped) = (0.111_803_398_875, 1e-3 * (2.0 + 0.01 - 1.2), 0.0064);
    // 0.03 + 2e-4 x 10 + 1e-6 x 100, and -1e-5 x 100
    assert_relative_eq!(rates.held[0].change, 0.0321 - crest, max_relative = 1e-9);
    assert_relative_eq!(rates.held[1].change, -0.001 + crest + seeped - pumped, max_relative = 1e-9);
    assert_relative_eq!(rates.flows[1], seeped, max_relative = 1e-12);
    assert!(rates.drift);
    assert_relative_eq!(rates.drifts[1], 1e-6, max_relative = 1e-12);
    let whole = rates.clone();
    let mut flows = Rates::new(&kernel);
    flows.find_pieces(&kernel, &volumes);
    flows.flows_at::<ANY>(&kernel, &second, lead, &volumes, 10.0);
    assert_eq!((&flows.flows, &flows.held[..2]), (&whole.flows, &whole.held[..2]));
    // nobody asked how they change
    assert_eq!((flows.drift, flows.slopes[0], flows.drifts[1]), (false, (0.0, 0.0), 0.0));
}

/// Groundwater comes in at 0.5 m: by its height over that while the store's water is lower, over the water once that is higher.
#[test]
fn identity_groundwater_seeps_in_by_hand() {
    let kernel = Kernel::new(system());
    let mut rates = Rates::new(&kernel);
    for (level, table, flow, slope, drift) in [
        (0.3, 0.9, 4e-4, 0.0, 2e-6),
        (0.5, 0.9, 4e-4, 0.0, 2e-6),
        (0.7, 0.9, 2e-4, -1e-3 / 4.0, 2e-6),
        (0.95, 0.9, 0.0, 0.0, 0.0),
        (0.3, 0.4, 0.0, 0.0, 0.0),
    ] {
        let volumes = [0.0, 4.0 * level];
        let coming = Coming { inflow: vec![(0.0, 0.0, 0.0); 2], table: vec![(table, 2e-3)] };
        rates.find_pieces(&kernel, &volumes);
        rates.at(&kernel, &coming, Running::default(), &volumes, 0.0);
        assert_relative_eq!(rates.flows[1], flow, epsilon = 1e-15, max_relative = 1e-9);
        assert_relative_eq!(rates.held[1].change, flow, epsilon = 1e-15, max_relative = 1e-9);
        assert_relative_eq!(rates.slopes[1].0, 0.0);
        assert_relative_eq!(rates.slopes[1].1, slope, epsilon = 1e-15, max_relative = 1e-12);
        assert_relative_eq!(rates.drifts[1], drift, epsilon = 1e-18, max_relative = 1e-12);
        assert_eq!(rates.drift, drift > 0.0);
    }
}

/// 1 to 3 m² over the first metre and 5 m² above: 2.75 m³ stand 1.15 m deep. By the first piece, A² = 1 + 4 V.
#[test]
fn identity_a_kernel_that_does_not_stop_at_bends_finds_its_pieces() {
    let surface = [(0.0, 1.0), (1.0, 3.0), (1.0, 5.0)].map(|(level, area)| (Level::from_m(level), Area::from_m2(area)));
    let store = StageStorage::new(&surface, Area::from_m2(0.01)).unwrap();
    let mut kernel = Kernel::new(System { stores: vec![store], paths: vec![], station: None, seeps: vec![] });
    let mut rates = Rates::new(&kernel);
    let coming = Coming { inflow: vec![(0.0, 0.0, 0.0)], table: vec![] };
    rates.at(&kernel, &coming, Running::default(), &[2.75], 0.0);
    let area = f64::sqrt(12.0);
    assert_relative_eq!(rates.held[0].level_m, (area - 1.0) / 2.0, max_relative = 1e-12);
    assert_relative_eq!(rates.held[0].area_m2, area, max_relative = 1e-12);
    kernel.stops_at_bends = false;
    rates.at(&kernel, &coming, Running::default(), &[2.75], 0.0);
    assert_relative_eq!(rates.held[0].level_m, 1.15, max_relative = 1e-12);
    assert_relative_eq!(rates.held[0].area_m2, 5.0, max_relative = 1e-12);
    assert_eq!(rates.pieces, [2]);
}

#[test]
fn identity_what_comes_from_outside_by_hand() {
    let forcing =
        |growth: f64, rise: f64| Forcing { inflow: vec![(0.5, 0.0), (0.25, growth)], table: vec![(3.0, rise)] };
    assert!(forcing(0.0, 0.0).is_steady() && Forcing::none(&system()).is_steady());
    assert!(!forcing(-1e-9, 0.0).is_steady() && !forcing(0.0, 1e-9).is_steady());
    let mut later = forcing(0.125, -0.5);
    later.advance(4.0);
    assert_eq!(later, Forcing { inflow: vec![(0.5, 0.0), (0.75, 0.125)], table: vec![(1.0, -0.5)] });
    let none = Forcing::none(&system());
    assert_eq!((none.inflow, none.table), (vec![(0.0, 0.0); 2], vec![(f64::MIN, 0.0)]));
}
