//! The method itself: its order, what it keeps, and that nobody who looks on changes it.

use crate::collection::Grate;
use crate::quantity::{Area, Flow, Length, Level, Volume};
use crate::routing::dense::Dense;
use crate::routing::rates::{Coming, Kernel, Rates, Running};
use crate::routing::rosenbrock::{Start, Stepper};
use crate::routing::*;
use approx::assert_relative_eq;
use proptest::prelude::*;

/// A hollow over a grate, a pipe, and a basin with a pump.
pub(super) fn yard() -> System {
    let surface = [(10.0, 0.0), (10.08, 40.0), (10.15, 120.0)].map(|(h, a)| (Level::from_m(h), Area::from_m2(a)));
    let pipe =
        FullPipe::new(Length::from_inch(4.0), Length::from_m(7.0), 0.011, Level::from_m(9.5), Level::from_m(9.4))
            .unwrap();
    let grate = Grate { perimeter: Length::from_inch(48.0), open_area: Area::from_in2(62.0), clogged: 0.5 };
    let rating =
        Rating::new(Level::from_m(8.8), Level::from_m(10.5), &[2.9, 3.1, 3.25, 3.4].map(Flow::from_ls)).unwrap();
    System {
        stores: vec![
            StageStorage::new(&surface, Area::from_m2(0.1)).unwrap(),
            StageStorage::prism(Level::from_m(8.6), Area::from_m2(0.45)).unwrap(),
        ],
        paths: vec![
            Path { from: 0, to: Some(1), kind: PathKind::Grate { rim: Level::from_m(10.0), grate, pipes: vec![pipe] } },
            Path {
                from: 0,
                to: None,
                kind: PathKind::Crest {
                    level: Level::from_m(10.14),
                    width: Length::from_m(2.0),
                    coefficient: BROAD_CREST,
                },
            },
        ],
        station: Some(Station {
            store: 1,
            lead: Floats { on: Level::from_m(9.26), off: Level::from_m(8.8) },
            lag: None,
            first: rating.clone(),
            second: rating.clone(),
            both: rating,
            drain_back: Volume::from_litre(2.0),
        }),
        seeps: vec![Seep { store: 1, per_metre: 1e-4, from: Level::from_m(9.3) }],
    }
}

fn storm(peak_ls: f64) -> Vec<(f64, Forcing)> {
    let peak = Flow::from_ls(peak_ls).m3s();
    let rows = [
        (600.0, 0.0, peak / 3.0),
        (300.0, peak / 3.0, peak),
        (300.0, peak, peak),
        (900.0, peak, peak / 4.0),
        (3600.0, peak / 4.0, 0.0),
        (7200.0, 0.0, 0.0),
    ];
    rows.map(|(time, from, to)| {
        (time, Forcing { inflow: vec![(from, (to - from) / time), (0.0, 0.0)], table: vec![(9.35, 0.0)] })
    })
    .to_vec()
}

#[test]
fn identity_the_method_is_of_fourth_order() {
    // ponded and drowned, so that all of the system is stiff and none of it linear
    let system = yard();
    let kernel = Kernel::new(system);
    let coming = Coming { inflow: vec![(0.003, 2e-6, 1e-8), (0.0, 0.0, 0.0)], table: vec![(9.9, 1e-6)] };
    // no bend of a table is crossed
    let start = [0.9, 0.63];
    let run = |steps: u32| {
        let mut stepper = Stepper::new(&kernel);
        let mut dense = Dense::new(2);
        let mut volumes = start.to_vec();
        let step_s = 200.0 / f64::from(steps);
        let mut rates = Rates::new(&kernel);
        for step in 0..steps {
            let after_s = f64::from(step) * step_s;
            let running = Running { lead: true, lag: false };
            rates.find_pieces(&kernel, &volumes);
            rates.at(&kernel, &coming, running, &volumes, after_s);
            stepper.step(
                Start { kernel: &kernel, coming: &coming, running, volumes: &volumes, after_s, rates: &rates },
                step_s,
            );
            stepper.inside(&volumes, &mut dense);
            for (store, volume) in volumes.iter_mut().enumerate() {
                *volume = dense.end(store);
            }
        }
        volumes
    };
    let exact = run(8192);
    let error =
        |steps: u32| run(steps).iter().zip(&exact).map(|(found, exact)| (found - exact).abs()).fold(0.0_f64, f64::max);
    // finer steps meet the last digit
    let orders: Vec<f64> = [32, 64, 128].iter().map(|steps| libm::log2(error(*steps) / error(steps * 2))).collect();
    assert!(orders.iter().all(|order| *order > 3.5), "orders {orders:?}");
}

struct Every(f64, Vec<f64>);
impl Watch for Every {
    fn stretch(&mut self, stretch: &Stretch<'_>) {
        let mut at = (stretch.from_s / self.0).ceil() * self.0;
        while at < stretch.until_s {
            self.1.push(stretch.at(at).volumes_m3[0]);
            at += self.0;
        }
    }
}

fn after(system: &System, peak_ls: f64, watch: &mut impl Watch) -> (f64, f64, u64, f64) {
    let levels = [Level::from_m(10.0), Level::from_m(9.259_999)];
    let mut router =
        Router::new(system, &levels, &[Mark { store: 0, level: Level::from_m(10.0127) }], Length::from_m(1e-7))
            .unwrap();
    for (time, forcing) in storm(peak_ls) {
        router.run(time, &forcing, watch).unwrap();
    }
    assert!(router.imbalance_m3().abs() < 1e-12 * (1.0 + router.totals().pumped_m3), "{}", router.imbalance_m3());
    (router.highest_level(0).0.m(), router.seen(0).longest_s, router.totals().lead_starts, router.totals().pumped_m3)
}

#[test]
fn identity_looking_on_changes_nothing() {
    let alone = after(&yard(), 14.0, &mut Unwatched);
    for every in [7.0, 60.0, 911.0] {
        assert_eq!(after(&yard(), 14.0, &mut Every(every, Vec::new())), alone);
    }
}

#[test]
fn identity_stretches_cut_in_two_give_the_same() {
    let system = yard();
    let run = |cuts: u32| {
        let mut router =
            Router::new(&system, &[Level::from_m(10.0), Level::from_m(9.25)], &[], Length::from_m(1e-9)).unwrap();
        for (time, forcing) in storm(14.0) {
            let mut piece = forcing;
            for _ in 0..cuts {
                router.run(time / f64::from(cuts), &piece, &mut Unwatched).unwrap();
                piece.advance(time / f64::from(cuts));
            }
        }
        (router.highest_level(0).0.m(), router.totals().pumped_m3, router.totals().starts())
    };
    let (whole, cut) = (run(1), run(7));
    assert_relative_eq!(whole.0, cut.0, epsilon = 1e-7);
    assert_relative_eq!(whole.1, cut.1, epsilon = 1e-6);
    assert_eq!(whole.2, cut.2);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 60, ..ProptestConfig::default() })]

    #[test]
    fn identity_a_finer_tolerance_agrees(peak in 0.5..30.0_f64) {
        let system = yard();
        let run = |tolerance: f64| {
            let mut router = Router::new(&system, &[Level::from_m(10.0), Level::from_m(9.25)], &[], Length::from_m(tolerance)).unwrap();
            for (time, forcing) in storm(peak) {
                router.run(time, &forcing, &mut Unwatched).unwrap();
            }
            // while little seeps in a hair of the level is seconds of a start: a run under way is let end, and none begin
            router.run(300.0, &Forcing::none(&system), &mut Unwatched).unwrap();
            assert!(!router.running().any());
            (router.highest_level(0).0.m(), router.totals().pumped_m3, router.steps())
        };
        let (coarse, fine) = (run(1e-5), run(1e-9));
        prop_assert!((coarse.0 - fine.0).abs() < 3e-4, "{coarse:?} {fine:?}");
        prop_assert!((coarse.1 - fine.1).abs() < 1e-3 * fine.1.max(0.5), "{coarse:?} {fine:?}");
        prop_assert!(coarse.2 < fine.2);
    }

    #[test]
    fn identity_apart_and_together_are_the_same(peak in 0.3..30.0_f64, seep in 0.0..3e-4_f64) {
        let mut system = yard();
        system.seeps[0].per_metre = seep;
        let marks = [Mark { store: 0, level: Level::from_m(10.0127) }, Mark { store: 1, level: Level::from_m(9.3) }];
        let run = |apart: bool| {
            let start = [Level::from_m(10.0), Level::from_m(9.25)];
            let mut router = Router::new(&system, &start, &marks, Length::from_m(1e-9)).unwrap();
            if !apart {
                router.never_apart();
            }
            for (time, forcing) in storm(peak) {
                router.run(time, &forcing, &mut Unwatched).unwrap();
            }
            assert!(router.imbalance_m3().abs() < 1e-12 * (1.0 + router.totals().pumped_m3), "{}", router.imbalance_m3());
            let held = [0, 1].map(|store| router.highest_level(store).0.m());
            (held, router.totals().starts(), router.totals().lead_s, router.totals().pumped_m3, router.seen(0).above_s)
        };
        let (apart, together) = (run(true), run(false));
        for (one, other) in apart.0.iter().zip(together.0) {
            prop_assert!((one - other).abs() < 1e-6, "{apart:?} {together:?}");
        }
        prop_assert_eq!(apart.1, together.1);
        assert_relative_eq!(apart.2, together.2, epsilon = 1e-2);
        assert_relative_eq!(apart.3, together.3, epsilon = 1e-5);
        assert_relative_eq!(apart.4, together.4, epsilon = 1e-2);
    }

    #[test]
    fn identity_more_water_never_stands_less_deep(peak in 0.5..25.0_f64, more in 1.0..2.0_f64) {
        // the floats may have the basin up to its live volume emptier when the peak comes
        let (less, more) = (after(&yard(), peak, &mut Unwatched), after(&yard(), peak * more, &mut Unwatched));
        let system = yard();
        let live = Volume::from_m3(0.45 * 0.46);
        let held = system.stores[0].volume_at(Level::from_m(more.0)) + live;
        prop_assert!(system.stores[0].volume_at(Level::from_m(less.0)) <= held * (1.0 + 1e-9));
    }

    #[test]
    fn identity_a_bigger_pump_never_leaves_deeper_water(peak in 2.0..25.0_f64, more in 1.0..3.0_f64) {
        let stronger = |factor: f64| {
            let mut system = yard();
            if let Some(station) = &mut system.station {
                (station.first, station.second, station.both) =
                    (station.first.times(factor), station.second.times(factor), station.both.times(factor));
            }
            system
        };
        let (weak, strong) = (after(&stronger(1.0), peak, &mut Unwatched), after(&stronger(more), peak, &mut Unwatched));
        // floats may have the basin up to its live volume fuller when the peak comes
        let hollow = &yard().stores[0];
        let held = hollow.volume_at(Level::from_m(weak.0)) + Volume::from_m3(0.45 * 0.46);
        prop_assert!(hollow.volume_at(Level::from_m(strong.0)) <= held * (1.0 + 1e-9));
    }

    #[test]
    fn identity_no_system_makes_or_loses_water(
        hollows in prop::collection::vec((0.0..30.0_f64, 5.0..120.0_f64, 0.02..0.12_f64, 0.5..20.0_f64), 1..5),
        pump in 0.5..6.0_f64,
        back in 0.0..30.0_f64,
        seep in 0.0..3e-4_f64,
    ) {
        let basin = hollows.len() + 1;
        let mut system = yard();
        let (template, basin_store) = (system.paths[0].clone(), system.stores[1].clone());
        system.stores.clear();
        system.paths.clear();
        // each hollow over its grate and pipe into one box, over its edge into the next; the box runs to the basin
        let joint = hollows.len();
        for (index, (small, large, high, _)) in hollows.iter().enumerate() {
            let surface = [(10.0, *small), (10.0 + high, small + large)].map(|(h, a)| (Level::from_m(h), Area::from_m2(a)));
            system.stores.push(StageStorage::new(&surface, Area::from_m2(0.1)).unwrap());
            system.paths.push(Path { from: index, to: Some(joint), ..template.clone() });
            let to = (index + 1 < hollows.len()).then_some(index + 1);
            let level = Level::from_m(10.0 + high);
            system.paths.push(Path { from: index, to, kind: PathKind::Crest { level, width: Length::from_m(1.0), coefficient: BROAD_CREST } });
        }
        let pipe = FullPipe::new(Length::from_inch(6.0), Length::from_m(5.0), 0.011, Level::from_m(9.3), Level::from_m(9.25)).unwrap();
        system.stores.push(StageStorage::prism(Level::from_m(9.2), Area::from_m2(0.12)).unwrap());
        system.stores.push(basin_store);
        system.paths.push(Path { from: joint, to: Some(basin), kind: PathKind::Pipe(pipe) });
        let rating = Rating::constant(Flow::from_ls(pump));
        if let Some(station) = &mut system.station {
            station.store = basin;
            (station.first, station.second, station.both) = (rating.clone(), rating.clone(), rating);
            station.drain_back = Volume::from_litre(back);
        }
        system.seeps = vec![Seep { store: basin, per_metre: seep, from: Level::from_m(9.0) }];
        let mut router = Router::new(&system, &[Level::from_m(10.0)], &[], Length::from_m(5e-5)).unwrap();
        let mut came = 0.0;
        for (time, begin, end) in [(900.0, 0.0, 1.0), (600.0, 1.0, 1.0 / 3.0), (3600.0, 1.0 / 3.0, 0.0)] {
            let mut forcing = Forcing::none(&system);
            forcing.table[0] = (9.6, 0.0);
            for (inflow, (.., peak)) in forcing.inflow.iter_mut().zip(&hollows) {
                let (from, to) = (peak * begin, peak * end);
                *inflow = (from * 1e-3, (to - from) * 1e-3 / time);
                came += f64::midpoint(from, to) * 1e-3 * time;
            }
            router.run(time, &forcing, &mut Unwatched).unwrap();
        }
        let counted: f64 = router.totals().inflow_m3.iter().sum();
        assert_relative_eq!(counted, came, max_relative = 1e-12);
        prop_assert!(router.imbalance_m3().abs() <= 1e-9 * came.max(0.1), "{}", router.imbalance_m3());
    }
}
