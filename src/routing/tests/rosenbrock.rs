//! One step by itself: against a closed solution, and that it does not matter in which order the stores stand.

use crate::quantity::{Area, Flow, Length, Level, Volume};
use crate::routing::dense::Dense;
use crate::routing::rates::{Coming, Kernel, Rates, Running};
use crate::routing::rosenbrock::{Start, Stepper};
use crate::routing::{Floats, Path, PathKind, Rating, Seep, StageStorage, Station, System};
use approx::assert_relative_eq;

const LEAD: Running = Running { lead: true, lag: false };

fn prism(area: f64) -> StageStorage {
    StageStorage::prism(Level::from_m(0.0), Area::from_m2(area)).unwrap()
}

fn crest(from: usize, to: Option<usize>, level: f64) -> Path {
    let kind = PathKind::Crest { level: Level::from_m(level), width: Length::from_m(0.04), coefficient: 0.5 };
    Path { from, to, kind }
}

/// A pump that brings so much for each metre of water, up to 2 m.
fn station(store: usize, per_metre: f64) -> Station {
    let flows = [0.0, 2.0 * per_metre].map(Flow::from_m3s);
    let rating = Rating::new(Level::from_m(0.0), Level::from_m(2.0), &flows).unwrap();
    Station {
        store,
        lead: Floats { on: Level::from_m(1.0), off: Level::from_m(0.4) },
        lag: None,
        first: rating.clone(),
        second: rating.clone(),
        both: rating,
        drain_back: Volume::ZERO,
    }
}

struct Taken {
    kernel: Kernel,
    rates: Rates,
    stepper: Stepper,
    dense: Dense,
}

/// Takes one step.
fn take(system: System, coming: &Coming, volumes: &[f64], after_s: f64, step_s: f64) -> Taken {
    let kernel = Kernel::new(system);
    let (mut rates, mut stepper, mut dense) = (Rates::new(&kernel), Stepper::new(&kernel), Dense::new(volumes.len()));
    rates.find_pieces(&kernel, volumes);
    rates.at(&kernel, coming, LEAD, volumes, after_s);
    stepper.step(Start { kernel: &kernel, coming, running: LEAD, volumes, after_s, rates: &rates }, step_s);
    stepper.inside(volumes, &mut dense);
    Taken { kernel, rates, stepper, dense }
}

/// How many times smaller the errors of half a step are, as a power of two.
fn orders(errors: &[f64]) -> Vec<f64> {
    errors.windows(2).map(|pair| libm::log2(pair[0] / pair[1])).collect()
}

/// 1 m² pumped by 10 L/s for each metre, with 2 L/s of groundwater for each metre that it stands higher: V' = f - 0.012 V, where
/// f(t) = q + 0.002 T + (g + 0.002 r) t + b t². Then V = p + (V0 - p0) e^(-0.012 t) with p the parabola that solves it:
/// p2 = b / 0.012, p1 = (f1 - 2 p2) / 0.012, p0 = (f0 - p1) / 0.012. A dry crest beside it lets nothing run.
#[test]
fn identity_a_step_of_a_linear_store() {
    let (pumped, seeped) = (0.01, 0.002);
    let (q, g, b, table, rise) = (0.003, 1e-4, 1e-6, 1.5, 1e-3);
    let coming = Coming { inflow: vec![(q, g, b)], table: vec![(table, rise)] };
    let (rate, f0, f1) = (pumped + seeped, q + seeped * table, g + seeped * rise);
    let p2 = b / rate;
    let p1 = (f1 - 2.0 * p2) / rate;
    let p0 = (f0 - p1) / rate;
    let parabola = |t: f64| p0 + (p1 + p2 * t) * t;
    let (after_s, start) = (30.0, 1.0);
    let held = |t: f64| parabola(after_s + t) + (start - parabola(after_s)) * libm::exp(-rate * t);
    // the integrals of p and of what comes, from 30 s on
    let integral = |[one, two, three]: [f64; 3], t: f64| {
        let power = |t: f64| (one + (two / 2.0 + three / 3.0 * t) * t) * t;
        power(after_s + t) - power(after_s)
    };
    let held_time = |t: f64| integral([p0, p1, p2], t) + (start - parabola(after_s)) * -libm::expm1(-rate * t) / rate;
    let mut errors: [Vec<f64>; 4] = Default::default();
    for step_s in [8.0, 4.0, 2.0] {
        let system = System {
            stores: vec![prism(1.0)],
            paths: vec![crest(0, None, 1.9)],
            station: Some(station(0, pumped)),
            seeps: vec![Seep { store: 0, per_metre: seeped, from: Level::from_m(0.5) }],
        };
        let Taken { kernel, rates, stepper, dense } = take(system, &coming, &[start], after_s, step_s);
        let found: Vec<(f64, f64)> = stepper.errors_and_areas().collect();
        assert_eq!((found.len(), found[0].1), (1, 1.0));
        errors[0].push((dense.at(0, 1.0) - held(step_s)).abs());
        errors[1].push(found[0].0.abs());
        let shares = [0.2, 0.4, 0.7, 0.9];
        let worst = |error: &dyn Fn(f64) -> f64| shares.iter().map(|share| error(*share)).fold(0.0, f64::max);
        errors[2].push(worst(&|share| (dense.at(0, share) - held(share * step_s)).abs()));
        let by_pump = |t: f64| pumped * held_time(t);
        let by_seep = |t: f64| seeped * (integral([table, rise, 0.0], t) - held_time(t));
        let moved = |flow: usize, share: f64| stepper.moved(&kernel, &rates, flow, share);
        errors[3].push(worst(&|share| {
            let t = share * step_s;
            (moved(1, share) - by_seep(t)).abs().max((moved(2, share) - by_pump(t)).abs())
        }));
        // nothing is lost on the way, and one form says what the other does
        let came = integral([q, g, b], step_s);
        assert_relative_eq!(came + moved(1, 1.0) - moved(2, 1.0), dense.at(0, 1.0) - start, max_relative = 1e-12);
        for (flow, share) in [(0, 0.3), (1, 0.3), (2, 0.3), (0, 1.0), (1, 1.0), (2, 1.0)] {
            let cubic = stepper.cubic_along(&kernel, &rates, flow);
            assert_relative_eq!(cubic.at(share), moved(flow, share), max_relative = 1e-12);
            assert_eq!(moved(flow, share) == 0.0, flow == 0);
        }
        assert_relative_eq!(moved(2, 1.0), by_pump(step_s), max_relative = 1e-7);
        assert_relative_eq!(moved(1, 1.0), by_seep(step_s), max_relative = 1e-7);
    }
    // of fourth order, its error and the inside of the step of third: the error of one step shrinks by a power more
    for (errors, (least, most)) in errors.iter().zip([(4.7, 5.5), (3.7, 4.5), (3.7, 4.5), (3.7, 4.5)]) {
        assert!(orders(errors).iter().all(|order| (least..most).contains(order)), "{errors:?} {:?}", orders(errors));
    }
    assert!(errors[0][2] < 1e-9 && errors[1][2] < 1e-6, "{errors:?}");
}

const AREAS: [f64; 4] = [1.0, 2.0, 1.5, 0.7];
const LEVELS: [f64; 4] = [1.0, 0.9, 0.7, 0.55];

/// The first so many of four stores with drowned crests between each two of them, a pump in the second
/// if there is one, groundwater in the first; in another order, and with dry stores that nothing belongs to where the order says so.
fn joined(stores: usize, order: &[Option<usize>]) -> (System, Coming, Vec<f64>) {
    let place = |store: usize| order.iter().position(|known| *known == Some(store)).unwrap();
    let mut paths = Vec::new();
    for one in 0..stores {
        for other in one + 1..stores {
            paths.push(crest(place(one), Some(place(other)), 0.1 * (one + other) as f64));
        }
    }
    paths.push(crest(place(0), None, 0.2));
    let system = System {
        stores: order.iter().map(|store| prism(store.map_or(1.0, |store| AREAS[store]))).collect(),
        paths,
        station: Some(station(place(1.min(stores - 1)), 0.01)),
        seeps: vec![Seep { store: place(0), per_metre: 0.004, from: Level::from_m(0.5) }],
    };
    let inflow = order.iter().map(|store| store.map_or((0.0, 0.0, 0.0), |store| (1e-3 * store as f64, 1e-5, 0.0)));
    let coming = Coming { inflow: inflow.collect(), table: vec![(1.5, 1e-3)] };
    let volumes = order.iter().map(|store| store.map_or(0.0, |store| AREAS[store] * LEVELS[store])).collect();
    (system, coming, volumes)
}

/// All orders of some things.
fn permutations(things: &[Option<usize>]) -> Vec<Vec<Option<usize>>> {
    if things.is_empty() {
        return vec![Vec::new()];
    }
    let mut all = Vec::new();
    for (index, thing) in things.iter().enumerate() {
        let rest: Vec<Option<usize>> =
            things.iter().enumerate().filter(|(other, _)| *other != index).map(|(_, thing)| *thing).collect();
        all.extend(permutations(&rest).into_iter().map(|tail| [vec![*thing], tail].concat()));
    }
    all
}

#[test]
fn identity_the_order_of_the_stores_does_not_matter() {
    for stores in 1..=4 {
        let known: Vec<Option<usize>> = (0..stores).map(Some).collect();
        let step = |order: &[Option<usize>]| {
            let (system, coming, volumes) = joined(stores, order);
            let taken = take(system, &coming, &volumes, 5.0, 6.0);
            let errors: Vec<f64> = taken.stepper.errors_and_areas().map(|(error, _)| error).collect();
            let place = |store: usize| order.iter().position(|known| *known == Some(store)).unwrap();
            let of_store = (0..stores).map(|store| (taken.dense.at(place(store), 1.0), errors[place(store)]));
            let flows = (0..taken.kernel.ends.len())
                .map(|flow| taken.stepper.moved(&taken.kernel, &taken.rates, flow, 1.0))
                .collect::<Vec<f64>>();
            (of_store.collect::<Vec<(f64, f64)>>(), flows)
        };
        let (held, flows) = step(&known);
        for idle in 0..=2 {
            let with_idle = [known.clone(), vec![None; idle]].concat();
            for order in permutations(&with_idle) {
                let (other_held, other_flows) = step(&order);
                for (one, other) in held.iter().zip(other_held) {
                    assert_relative_eq!(one.0, other.0, max_relative = 1e-12);
                    assert_relative_eq!(one.1, other.1, max_relative = 1e-6);
                }
                for (one, other) in flows.iter().zip(other_flows) {
                    assert_relative_eq!(*one, other, max_relative = 1e-10);
                }
            }
        }
    }
}

/// Of fourth order also with so many stores, each in touch with each, before two levels come near each other.
#[test]
fn identity_joined_stores_are_followed_in_fourth_order() {
    for stores in 2..=4 {
        let order: Vec<Option<usize>> = (0..stores).map(Some).collect();
        let run = |steps: u32| {
            let (system, coming, mut volumes) = joined(stores, &order);
            let step_s = 3.0 / f64::from(steps);
            for step in 0..steps {
                let taken = take(system.clone(), &coming, &volumes, f64::from(step) * step_s, step_s);
                for (store, volume) in volumes.iter_mut().enumerate() {
                    *volume = taken.dense.end(store);
                }
            }
            volumes
        };
        let exact = run(512);
        let errors: Vec<f64> = [4, 8, 16]
            .map(|steps| run(steps).iter().zip(&exact).map(|(one, other)| (one - other).abs()).fold(0.0, f64::max))
            .to_vec();
        assert!(orders(&errors).iter().all(|order| *order > 3.5), "{errors:?} {:?}", orders(&errors));
    }
}
