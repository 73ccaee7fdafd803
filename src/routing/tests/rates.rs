//! The flows of a moment and how they change, by hand.

use crate::quantity::{Area, Flow, Length, Level, Volume};
use crate::routing::rates::{Coming, Kernel, Rates};
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
        assert_relative_eq!(rates.change[0], 0.02 - 0.111_803_398_875, max_relative = 1e-9);
        assert_relative_eq!(rates.change[1], 0.02 + 0.111_803_398_875 + seeped - pumped, max_relative = 1e-9);
    }
}
