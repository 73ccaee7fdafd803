//! Stores, ways and groundwater with closed solutions.

use crate::collection::Grate;
use crate::quantity::{Area, Flow, Length, Level, Volume};
use crate::routing::{
    Change, Floats, Follower, Forcing, FullPipe, Mark, Moments, Path, PathKind, Rating, Router, RoutingError, Seep,
    StageStorage, Station, Stretch, System, Timeline, Unwatched, Watch,
};
use approx::assert_relative_eq;

fn prism(floor: f64, area: f64) -> StageStorage {
    StageStorage::prism(Level::from_m(floor), Area::from_m2(area)).unwrap()
}

/// Over a crest at a level, 0.02 h^1.5 m³/s.
fn crest(from: usize, to: Option<usize>, level: f64) -> Path {
    let kind = PathKind::Crest { level: Level::from_m(level), width: Length::from_m(0.04), coefficient: 0.5 };
    Path { from, to, kind }
}

fn system(stores: Vec<StageStorage>, paths: Vec<Path>) -> System {
    System { stores, paths, station: None, seeps: Vec::new() }
}

fn router<'s>(system: &'s System, levels: &[f64], marks: &[Mark]) -> Router<'s> {
    let levels: Vec<Level> = levels.iter().map(|level| Level::from_m(*level)).collect();
    Router::new(system, &levels, marks, Length::from_m(1e-8)).unwrap()
}

fn close(found: f64, by_hand: f64) {
    assert_relative_eq!(found, by_hand, epsilon = 1e-6);
}

/// Out of 1 m² over a crest at 1 m into 2 m² far below: h = (h0^-1/2 + 0.01 t)^-2; 0.25 m become 1/9 m in 100 s.
#[test]
fn identity_a_store_empties_over_a_crest() {
    let system = system(vec![prism(0.0, 1.0), prism(-9.0, 2.0)], vec![crest(0, Some(1), 1.0)]);
    let marks = [1.16, 1.000_005].map(|level| Mark { store: 0, level: Level::from_m(level) });
    let mut router = router(&system, &[1.25, -9.0], &marks);
    router.run(100.0, &Forcing::none(&system), &mut Unwatched).unwrap();
    close(router.level(0).m(), 1.0 + 1.0 / 9.0);
    close(router.totals().paths_m3[0], 0.25 - 1.0 / 9.0);
    close(router.level(1).m(), -9.0 + 0.5 * (0.25 - 1.0 / 9.0));
    close(router.imbalance_m3(), 0.0);
    // 0.16 m after (2.5 - 2) / 0.01 s
    assert_relative_eq!(router.seen(0).above_s, 50.0, epsilon = 1e-5);
    assert_eq!((router.seen(0).times, router.seen(0).first_s), (1, Some(0.0)));
    let (highest, at_s) = router.highest_level(0);
    assert_eq!((highest.m(), at_s), (1.25, 0.0));
    assert!(!router.is_at_rest());
    // the last film of a hundredth of a millimetre runs off at once when a stretch begins: h = 1e-5 after 31423 s
    for _ in 0..6 {
        router.run(7_000.0, &Forcing::none(&system), &mut Unwatched).unwrap();
    }
    assert!(router.is_at_rest());
    assert_eq!(router.level(0), Level::from_m(1.0));
    // with it the water falls under a level within the film, when the last stretch begins
    close(router.seen(1).above_s, 35_100.0);
    assert_eq!(router.seen(1).since_s, None);
    close(router.totals().paths_m3[0], 0.25);
    close(router.level(1).m(), -8.875);
    close(router.imbalance_m3(), 0.0);
}

/// A box is at rest down to the invert of its pipe, 0.5.
#[test]
fn identity_a_box_rests_at_its_pipe() {
    let pipe = FullPipe::new(Length::from_m(0.1), Length::from_m(10.0), 0.011, Level::from_m(0.5), Level::from_m(0.0));
    let kind = PathKind::Pipe(pipe.unwrap());
    let system = system(vec![prism(0.0, 1.0)], vec![Path { from: 0, to: None, kind }]);
    for (level, rests) in [(0.4, true), (0.5, true), (0.51, false), (0.9, false)] {
        assert_eq!(router(&system, &[level], &[]).is_at_rest(), rests, "{level}");
    }
}

/// While as much comes as goes the water stays: 0.16 m over the crest let out 0.02 x 0.064 m³/s.
#[test]
fn identity_what_comes_in_goes_out() {
    let system = system(vec![prism(0.0, 3.0)], vec![crest(0, None, 1.0)]);
    let mut router = router(&system, &[1.16], &[]);
    let forcing = Forcing { inflow: vec![(0.02 * 0.064, 0.0)], table: Vec::new() };
    router.run(5_000.0, &forcing, &mut Unwatched).unwrap();
    close(router.level(0).m(), 1.16);
    close(router.totals().paths_m3[0], 6.4);
    close(router.totals().inflow_m3[0], 6.4);
    close(router.imbalance_m3(), 0.0);
    assert!(!router.is_at_rest());
}

/// A store that widens from 1 to 3 m² at 1 m: 2 m³ at 1 L/s stand at 1 m after 1000 s and at 1.5 m after 2500 s.
#[test]
fn identity_a_curve_bends_on_the_way() {
    let surface = [(0.0, 1.0), (1.0, 1.0), (1.0, 3.0), (2.0, 3.0)].map(|(h, a)| (Level::from_m(h), Area::from_m2(a)));
    let system = system(vec![StageStorage::new(&surface, Area::from_m2(0.1)).unwrap()], Vec::new());
    let mut router = router(&system, &[0.0], &[Mark { store: 0, level: Level::from_m(1.2) }]);
    let forcing = Forcing { inflow: vec![(0.001, 0.0)], table: Vec::new() };
    for (until_s, level) in [(500.0, 0.5), (1_300.0, 1.1), (2_500.0, 1.5)] {
        router.run(until_s - router.now_s(), &forcing, &mut Unwatched).unwrap();
        close(router.level(0).m(), level);
    }
    close(router.seen(0).first_s.unwrap(), 1_600.0);
    // nothing lets it out, so that it is at rest whatever it holds
    assert!(router.is_at_rest());
}

/// 1 mm²/s for each metre from the groundwater at 2 m, into 1 m² from 0.5 m on: 1.5 L/s until it stands there after 1000/3 s;
/// then 2 - 1.5 e^(-t/1000).
#[test]
fn identity_groundwater_seeps_in() {
    let mut system = system(vec![prism(0.0, 1.0)], Vec::new());
    system.seeps = vec![Seep { store: 0, per_metre: 1e-3, from: Level::from_m(0.5) }];
    let mut router = router(&system, &[0.0], &[]);
    let table = |level: f64, rise: f64| Forcing { inflow: vec![(0.0, 0.0)], table: vec![(level, rise)] };
    router.run(200.0, &table(2.0, 0.0), &mut Unwatched).unwrap();
    close(router.level(0).m(), 0.3);
    router.run(1_000.0 / 3.0 + 800.0, &table(2.0, 0.0), &mut Unwatched).unwrap();
    close(router.level(0).m(), 2.0 - 1.5 / std::f64::consts::E);
    close(router.totals().seeps_m3[0], 2.0 - 1.5 / std::f64::consts::E);
    close(router.imbalance_m3(), 0.0);
    // groundwater lower than the water draws nothing out
    router.run(500.0, &table(1.0, 0.0), &mut Unwatched).unwrap();
    close(router.level(0).m(), 2.0 - 1.5 / std::f64::consts::E);
    // and falling groundwater that stays under where it comes in brings nothing
    let mut dry = self::router(&system, &[0.0], &[]);
    dry.run(500.0, &table(0.4, -1e-4), &mut Unwatched).unwrap();
    close(dry.totals().seeps_m3[0], 0.0);
    // 0.5 m above where it comes in and rising 1 mm/s: 1e-3 (0.5 t + 0.0005 t²)
    let mut rising = self::router(&system, &[0.0], &[]);
    rising.run(400.0, &table(1.0, 1e-3), &mut Unwatched).unwrap();
    close(rising.totals().seeps_m3[0], 0.28);
    assert!(!table(1.0, 1e-3).is_steady());
    let mut later = table(1.0, 1e-3);
    later.advance(400.0);
    close(later.table[0].0, 1.4);
}

fn floats(on: f64, off: f64) -> Floats {
    Floats { on: Level::from_m(on), off: Level::from_m(off) }
}

/// A hollow of 1 m² over a crest at 1 m into a basin of 0.5 m² far below, pumped by 10 L/s between -8 and -8.5 m.
fn yard() -> System {
    let rating = Rating::constant(Flow::from_m3s(0.01));
    let mut system = system(vec![prism(-9.0, 0.5), prism(0.0, 1.0)], vec![crest(1, Some(0), 1.0)]);
    system.station = Some(Station {
        store: 0,
        lead: floats(-8.0, -8.5),
        lag: None,
        first: rating.clone(),
        second: rating.clone(),
        both: rating,
        drain_back: Volume::ZERO,
    });
    system
}

/// The hollow over the crest knows nothing of the pump: 0.36 m become (1/0.6 + 0.01 t)^-2. What ran off into the basin, 0.25 m³
/// to the float and 0.5 m² x 0.5 m for each run, says when the pump starts.
#[test]
fn identity_a_hollow_over_a_pumped_basin() {
    let system = yard();
    let after = |t: f64| libm::pow(1.0 / 0.6 + 0.01 * t, -2.0);
    for apart in [true, false] {
        let mut router = router(&system, &[-8.5, 1.36], &[]);
        if !apart {
            router.never_apart();
        }
        for t in [30.0, 60.0, 200.0] {
            router.run(t - router.now_s(), &Forcing::none(&system), &mut Unwatched).unwrap();
            close(router.level(1).m(), 1.0 + after(t));
            close(router.totals().paths_m3[0], 0.36 - after(t));
            let held = 0.5 * (router.level(0).m() + 8.5);
            close(held, 0.36 - after(t) - router.totals().pumped_m3);
            close(router.imbalance_m3(), 0.0);
        }
        // 0.25 m³ have run off when (1/0.6 + 0.01 t)^-2 is 0.11: at 134.84 s
        assert_eq!(router.totals().lead_starts, 1);
        close(router.totals().pumped_m3, 0.01 * router.totals().lead_s);
        let started = 100.0 * (f64::sqrt(1.0 / 0.11) - 1.0 / 0.6);
        // the pump takes out 0.25 m³ and what comes meanwhile
        let stopped = started + router.totals().lead_s;
        close(0.01 * router.totals().lead_s, 0.25 + after(started) - after(stopped));
    }
}

/// 0.1 m³ run back into the basin when its pump stops: what is seen of the hollow, which holds more than the basin, stays.
/// The hollow is at 1.16 m after 100 (2.5 - 1/0.6) s.
#[test]
fn identity_what_runs_back_is_seen_in_its_own_store() {
    let mut system = yard();
    system.station.as_mut().unwrap().drain_back = Volume::from_m3(0.1);
    let mark = |store: usize, level: f64| Mark { store, level: Level::from_m(level) };
    let mut router = router(&system, &[-8.0, 1.36], &[mark(1, 1.16), mark(0, -8.4), mark(0, -8.2)]);
    router.run(50.0, &Forcing::none(&system), &mut Unwatched).unwrap();
    assert_eq!((router.totals().lead_starts, router.running().any()), (1, false));
    // the basin at -8.5 m comes to -8.3
    let seen = [0, 1, 2].map(|mark| router.seen(mark));
    assert_eq!((seen[0].times, seen[0].since_s), (1, Some(0.0)));
    assert_eq!((seen[1].times, seen[1].since_s), (2, Some(router.totals().lead_s)));
    assert_eq!(seen[2].since_s.is_some(), router.level(0).m() > -8.2);
    router.run(50.0, &Forcing::none(&system), &mut Unwatched).unwrap();
    assert_relative_eq!(router.seen(0).above_s, 100.0 * (2.5 - 1.0 / 0.6), epsilon = 1e-5);
}

#[test]
fn systems_that_do_not_hang_together_are_refused() {
    let check = |change: &dyn Fn(&mut System)| {
        let mut system = yard();
        system.seeps = vec![Seep { store: 0, per_metre: 1e-3, from: Level::from_m(-8.0) }];
        change(&mut system);
        system.check()
    };
    assert_eq!(check(&|_| ()), Ok(()));
    let path = Err(RoutingError::BadPath);
    assert_eq!(check(&|system| system.paths[0].from = 2), path);
    assert_eq!(check(&|system| system.paths[0].to = Some(2)), path);
    assert_eq!(check(&|system| system.paths[0].to = Some(1)), path);
    assert_eq!(check(&|system| system.paths[0].to = None), Ok(()));
    let crest = |level: f64, width: f64, coefficient: f64| {
        check(&move |system: &mut System| {
            let (level, width) = (Level::from_m(level), Length::from_m(width));
            system.paths[0].kind = PathKind::Crest { level, width, coefficient };
        })
    };
    for bad in [f64::NAN, f64::INFINITY] {
        assert_eq!([crest(bad, 1.0, 1.0), crest(1.0, bad, 1.0), crest(1.0, 1.0, bad)], [path, path, path]);
    }
    assert_eq!([crest(1.0, -1.0, 1.0), crest(1.0, 1.0, -1.0)], [path, path]);
    assert_eq!([crest(1.0, 0.0, 1.0), crest(1.0, 0.0, 0.0), crest(1.0, -1.0, -1.0)], [Ok(()); 3]);
    let station = Err(RoutingError::BadStation);
    let pumped = |change: &dyn Fn(&mut Station)| check(&|system| change(system.station.as_mut().unwrap()));
    assert_eq!(pumped(&|pumps| pumps.store = 2), station);
    for (on, off) in [(1.0, 1.0), (1.0, 2.0), (f64::INFINITY, 1.0), (1.0, f64::NEG_INFINITY), (f64::NAN, 1.0)] {
        assert_eq!(pumped(&|pumps| pumps.lead = floats(on, off)), station);
        assert_eq!(pumped(&|pumps| pumps.lag = Some(floats(on, off))), station);
    }
    assert_eq!(pumped(&|pumps| pumps.lag = Some(floats(2.0, 1.0))), Ok(()));
    for back in [-1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(pumped(&|pumps| pumps.drain_back = Volume::from_m3(back)), station);
    }
    let seep = |store: usize, per_metre: f64, from: f64| {
        check(&move |system: &mut System| system.seeps[0] = Seep { store, per_metre, from: Level::from_m(from) })
    };
    assert_eq!([seep(2, 1.0, 1.0), seep(0, -1.0, 1.0), seep(0, f64::INFINITY, 1.0)], [path, path, path]);
    assert_eq!([seep(0, 1.0, f64::NAN), seep(1, 0.0, 1.0)], [path, Ok(())]);
    assert!(matches!(
        Router::new(&System { stores: Vec::new(), ..yard() }, &[], &[], Length::from_m(1e-5)),
        Err(RoutingError::BadPath)
    ));
}

#[test]
fn regress_a_grate_of_no_number_is_refused() {
    let check = |rim: f64, perimeter: f64, open_area: f64, clogged: f64| {
        let grate = Grate { perimeter: Length::from_m(perimeter), open_area: Area::from_m2(open_area), clogged };
        let mut system = yard();
        system.paths[0].kind = PathKind::Grate { rim: Level::from_m(rim), grate, pipes: Vec::new() };
        system.check()
    };
    assert_eq!(check(1.0, 1.0, 0.1, 0.5), Ok(()));
    for bad in [f64::NAN, f64::INFINITY] {
        let found = [check(bad, 1.0, 0.1, 0.5), check(1.0, bad, 0.1, 0.5), check(1.0, 1.0, bad, 0.5)];
        assert_eq!(found, [Err(RoutingError::BadPath); 3]);
    }
    assert_eq!(check(1.0, 1.0, 0.1, f64::NAN), Err(RoutingError::BadPath));
}

/// 1 L/s all the time, 2 more from 150 s on; runoff that grows to 1 L/s from 100 to 200 s and is gone at 300 s.
fn storm() -> Timeline {
    let changes = vec![
        (300.0, Change::Ramp { store: 0, by: 1e-5 }),
        (100.0, Change::Ramp { store: 0, by: 1e-5 }),
        (150.0, Change::Step { store: 0, by: 0.002 }),
        (200.0, Change::Ramp { store: 0, by: -2e-5 }),
        (250.0, Change::Rise { seep: 0, by: 0.002 }),
        (f64::NAN, Change::Step { store: 0, by: 9.0 }),
        // of stores that are not there
        (50.0, Change::Step { store: 5, by: 9.0 }),
        (50.0, Change::Ramp { store: 5, by: 9.0 }),
        (50.0, Change::Rise { seep: 5, by: 9.0 }),
    ];
    Timeline::new(Forcing { inflow: vec![(0.001, 0.0)], table: vec![(-5.0, 0.0)] }, changes)
}

fn pond() -> System {
    let mut system = system(vec![prism(0.0, 10.0)], vec![crest(0, None, 5.0)]);
    system.seeps = vec![Seep { store: 0, per_metre: 0.0, from: Level::from_m(0.0) }];
    system
}

/// Up to 400 s: 0.4 + 0.5 + 0.1 m³.
#[test]
fn identity_a_timeline_by_hand() {
    let (system, storm) = (pond(), storm());
    close(storm.last_ramp_s(), 300.0);
    assert_eq!(storm.start().inflow, [(0.001, 0.0)]);
    let mut follower = Follower::new(router(&system, &[0.0], &[]), &storm);
    for (until_s, came, flow, growth, table) in [
        (100.0, 0.1, 0.001, 0.0, -5.0),
        (150.0, 0.1625, 0.0015, 1e-5, -5.0),
        (180.0, 0.272, 0.0038, 1e-5, -5.0),
        (200.0, 0.35, 0.004, 1e-5, -5.0),
        (260.0, 0.572, 0.0034, -1e-5, -4.98),
        (400.0, 1.0, 0.003, 0.0, -4.7),
    ] {
        follower.until(until_s, &mut Unwatched).unwrap();
        close(follower.router.totals().inflow_m3[0], came);
        close(follower.router.now_s(), until_s);
        // 10 m² under its crest
        close(follower.router.level(0).m(), came / 10.0);
        // changes at this very time are taken with what follows
        if [180.0, 260.0, 400.0].contains(&until_s) {
            close(follower.forcing().inflow[0].0 * 1e3, flow * 1e3);
            close(follower.forcing().inflow[0].1 * 1e5, growth * 1e5);
            close(follower.forcing().table[0].0, table);
        }
    }
    // what comes is known from the start of each stretch on, so that none takes many steps
    assert!(follower.router.steps() < 14, "{}", follower.router.steps());
    // what was is over
    follower.until(100.0, &mut Unwatched).unwrap();
    close(follower.router.now_s(), 400.0);
    assert_eq!(follower.forcing().inflow[0], (0.003, 0.0));
}

/// Runoff that grows by 0.3 L/s each second from 10 to 20 s and shrinks by 0.1 until 50 s: the binary sum of 3e-4, -4e-4 and
/// 1e-4 is not quite nothing, and what it leaves ends with the runoff, also where that ends in two ramps with a step between.
#[test]
fn identity_no_rounding_outlasts_the_runoff() {
    let ramp = |at_s: f64, by: f64| (at_s, Change::Ramp { store: 0, by });
    assert!([3e-4, -4e-4, 1e-4].iter().sum::<f64>() != 0.0);
    let ends = [
        (vec![ramp(50.0, 1e-4)], 0.001),
        (vec![ramp(50.0, 4e-5), (50.0, Change::Step { store: 0, by: 0.002 }), ramp(50.0, 6e-5)], 0.003),
    ];
    for (end, flow) in ends {
        let mut changes = vec![ramp(10.0, 3e-4), ramp(20.0, -4e-4)];
        changes.extend(end);
        let (system, timeline) =
            (pond(), Timeline::new(Forcing { inflow: vec![(0.001, 0.0)], table: vec![(-5.0, 0.0)] }, changes));
        let mut follower = Follower::new(router(&system, &[0.0], &[]), &timeline);
        follower.until(49.0, &mut Unwatched).unwrap();
        // 1 L/s and the last 0.1 of the runoff's 3
        close(follower.forcing().inflow[0].0 * 1e3, 1.1);
        follower.until(60.0, &mut Unwatched).unwrap();
        assert_eq!(follower.forcing().inflow[0], (flow, 0.0));
    }
}

/// From 180 s on as if that were the start: 3.8 L/s that grow for 20 s and shrink for 100.
#[test]
fn identity_the_rest_of_a_timeline() {
    let (system, rest) = (pond(), storm().after(180.0));
    close(rest.start().inflow[0].0 * 1e3, 3.8);
    close(rest.start().inflow[0].1 * 1e5, 1.0);
    close(rest.last_ramp_s(), 120.0);
    let mut follower = Follower::new(router(&system, &[0.0], &[]), &rest);
    follower.until(220.0, &mut Unwatched).unwrap();
    close(follower.router.totals().inflow_m3[0], 1.0 - 0.272);
    assert_eq!(follower.forcing().inflow[0], (0.003, 0.0));
    close(follower.forcing().table[0].0, -4.7);
    // after all of it, and at one of its changes
    let last = storm().after(350.0);
    close(last.start().inflow[0].0 * 1e3, 3.0);
    close(last.start().table[0].0, -4.8);
    close(last.last_ramp_s(), 0.0);
    assert_eq!(storm().after(0.0), storm());
    close(storm().after(150.0).start().inflow[0].0 * 1e3, 1.5);
    assert_eq!(Timeline::steady(&system).start(), &Forcing::none(&system));
    assert_eq!(Forcing::none(&system).inflow, [(0.0, 0.0)]);
}

/// 0.36 m over the crest come to the last film after 31456 s; a store that is dry is at rest at once.
#[test]
fn identity_followed_until_it_rests() {
    let system = system(vec![prism(0.0, 1.0)], vec![crest(0, None, 1.0)]);
    let quiet = Timeline::steady(&system);
    let mut wet = Follower::new(router(&system, &[1.36], &[]), &quiet);
    assert_eq!(wet.until_rest(20_000.0, 60.0, &mut Unwatched), Ok(false));
    close(wet.router.now_s(), 20_000.0);
    assert_eq!(wet.until_rest(90_000.0, 60.0, &mut Unwatched), Ok(true));
    let rested_s = wet.router.now_s();
    assert!(rested_s > 31_456.0 && rested_s < 36_000.0, "{rested_s}");
    let mut dry = Follower::new(router(&system, &[0.9], &[]), &quiet);
    assert_eq!(dry.until_rest(90_000.0, 60.0, &mut Unwatched), Ok(true));
    close(dry.router.now_s(), 0.0);
    // but not before the last runoff is in
    let later = Timeline::new(Forcing::none(&system), vec![(500.0, Change::Ramp { store: 0, by: 0.0 })]);
    let mut dry = Follower::new(router(&system, &[0.9], &[]), &later);
    assert_eq!(dry.until_rest(90_000.0, 60.0, &mut Unwatched), Ok(true));
    close(dry.router.now_s(), 500.0);
}

/// Looks at the start and in the middle of whatever is followed.
#[derive(Default)]
struct Looks(Vec<(f64, Moments)>);

impl Watch for Looks {
    fn stretch(&mut self, stretch: &Stretch<'_>) {
        for at_s in [stretch.from_s, f64::midpoint(stretch.from_s, stretch.until_s)] {
            self.0.push((at_s, stretch.at(at_s)));
        }
    }
}

/// Groundwater that rises 1 mm/s from half a metre over where it comes into the basin: 1e-3 (0.5 t + 0.0005 t²) m³ beside what
/// the hollow lets run off; 0.1 L/s and 0.01 more each second from outside.
#[test]
fn identity_groundwater_into_a_pumped_basin() {
    let mut system = yard();
    system.seeps = vec![Seep { store: 0, per_metre: 1e-3, from: Level::from_m(-5.0) }];
    let after = |t: f64| libm::pow(1.0 / 0.6 + 0.01 * t, -2.0);
    for apart in [true, false] {
        let mut router = router(&system, &[-8.5, 1.36], &[]);
        if !apart {
            router.never_apart();
        }
        let mut looks = Looks::default();
        for t in [20.0, 60.0] {
            let elapsed = router.now_s();
            let table = (-4.5 + 1e-3 * elapsed, 1e-3);
            let forcing = Forcing { inflow: vec![(1e-4 + 1e-5 * elapsed, 1e-5), (0.0, 0.0)], table: vec![table] };
            router.run(t - elapsed, &forcing, &mut looks).unwrap();
            let seeped = 1e-3 * (0.5 * t + 0.0005 * t * t);
            close(router.totals().seeps_m3[0], seeped);
            close(0.5 * (router.level(0).m() + 8.5), 0.36 - after(t) + seeped + 1e-4 * t + 5e-6 * t * t);
        }
        assert!(looks.0.len() >= 4);
        for (t, moments) in looks.0 {
            close(moments.paths_m3s[0], 0.02 * libm::pow(after(t), 1.5));
            close(moments.seeps_m3s[0], 1e-3 * (0.5 + 1e-3 * t));
            assert_eq!((moments.paths_m3s.len(), moments.seeps_m3s.len()), (1, 1));
            close(moments.inflow_m3s[0], 1e-4 + 1e-5 * t);
            assert_eq!((moments.inflow_m3s[1], moments.pumped_m3s), (0.0, 0.0));
        }
        assert_eq!(router.totals().lead_starts, 0);
    }
}

/// 5 L/s and a little more into the basin itself: it is pumped every 100 s, while the hollow runs off slower and slower as if
/// there were no pump. Apart its steps go over the floats, together each of them ends one.
#[test]
fn identity_apart_takes_fewer_steps() {
    let system = yard();
    let [apart, together] = [true, false].map(|apart| {
        let levels = [-8.5, 1.36].map(Level::from_m);
        let mut router = Router::new(&system, &levels, &[], Length::from_m(1e-5)).unwrap();
        if !apart {
            router.never_apart();
        }
        let forcing = Forcing { inflow: vec![(0.005, 1e-9), (0.0, 0.0)], table: Vec::new() };
        router.run(10_000.0, &forcing, &mut Unwatched).unwrap();
        let left = libm::pow(1.0 / 0.6 + 100.0, -2.0);
        assert_relative_eq!(router.level(1).m(), 1.0 + left, epsilon = 1e-4);
        assert!((98..105).contains(&router.totals().lead_starts), "{}", router.totals().lead_starts);
        router.steps()
    });
    assert!(apart + 50 < together, "{apart} {together}");
}

/// 4.8 m³ that run back when the power fails lift the basin from below to over the crest, where it stands higher than the
/// hollow: water runs back over it at once, apart as together.
#[test]
fn crosscheck_what_runs_back_may_hold_the_hollow_back() {
    let mut system = yard();
    system.station.as_mut().unwrap().drain_back = Volume::from_m3(4.8);
    let [apart, together] = [true, false].map(|apart| {
        let mut router = router(&system, &[-8.0, 1.36], &[]);
        if !apart {
            router.never_apart();
        }
        router.run(5.0, &Forcing::none(&system), &mut Unwatched).unwrap();
        let before_m3 = router.totals().paths_m3[0];
        router.power(false, &mut Unwatched);
        let lifted_m = router.level(0).m();
        assert!(lifted_m > 1.36 && before_m3 > 0.0, "{lifted_m}");
        let mut back_m3 = Vec::new();
        for time_s in [0.5, 4.5, 2_000.0] {
            router.run(time_s, &Forcing::none(&system), &mut Unwatched).unwrap();
            back_m3.push(before_m3 - router.totals().paths_m3[0]);
        }
        close(router.highest_level(0).0.m(), lifted_m);
        // in the end they stand alike
        close(router.level(0).m(), router.level(1).m());
        close(router.imbalance_m3(), 0.0);
        back_m3
    });
    assert!(apart[0] > 0.0 && apart[1] > apart[0], "{apart:?}");
    for (one, other) in apart.iter().zip(together) {
        close(*one, other);
    }
}

/// The pump draws the basin down by its 0.25 m³ and what comes, and the 4.8 m³ that then run back lift it over the crest, so that
/// it starts at once again: from there on less comes over the crest, apart as together.
#[test]
fn crosscheck_what_runs_back_at_a_float_may_hold_the_hollow_back() {
    let mut system = yard();
    system.station.as_mut().unwrap().drain_back = Volume::from_m3(4.8);
    let [apart, together] = [true, false].map(|apart| {
        let mut router = router(&system, &[-8.0, 1.36], &[]);
        if !apart {
            router.never_apart();
        }
        let mut crossed_m3 = Vec::new();
        for time_s in [20.0, 20.0, 10.0, 10.0] {
            router.run(time_s, &Forcing::none(&system), &mut Unwatched).unwrap();
            crossed_m3.push(router.totals().paths_m3[0]);
        }
        assert_eq!(router.totals().lead_starts, 2);
        assert!(router.highest_level(0).0.m() > 1.0);
        crossed_m3
    });
    for (one, other) in apart.iter().zip(together) {
        close(*one, other);
    }
}

/// A dry hollow just begins to get water from one above it, 0.02 x 0.36^1.5 m³/s over a crest: 4.32e-6 m³ in a millisecond. That
/// is no last film, and stays where it is when the next stretch begins.
#[test]
fn identity_a_film_that_grows_is_not_the_last() {
    let mut system = yard();
    system.stores.push(prism(0.0, 1.0));
    system.paths = vec![crest(1, Some(2), 1.0), crest(2, Some(0), 0.5)];
    for apart in [true, false] {
        let mut router = router(&system, &[-8.5, 1.36, 0.5], &[]);
        if !apart {
            router.never_apart();
        }
        router.run(1e-3, &Forcing::none(&system), &mut Unwatched).unwrap();
        assert_relative_eq!(router.volume(2).m3(), 0.5 + 4.32e-6, epsilon = 1e-9);
        router.run(1e-6, &Forcing::none(&system), &mut Unwatched).unwrap();
        assert_relative_eq!(router.volume(2).m3(), 0.5 + 4.324e-6, epsilon = 1e-9);
        assert!(router.totals().paths_m3[1] < 1e-9);
    }
}

/// A hollow that gets more and more without measure, beside the pumped basin: given up in the middle of the second stretch.
#[test]
fn what_cannot_be_followed_above_is_given_up_then() {
    let mut system = yard();
    system.paths = vec![crest(1, None, 1.0)];
    for apart in [true, false] {
        let mut router = router(&system, &[-8.5, 1.36], &[]);
        if !apart {
            router.never_apart();
        }
        router.run(5.0, &Forcing::none(&system), &mut Unwatched).unwrap();
        let flood = Forcing { inflow: vec![(0.0, 0.0), (0.0, 1e20)], table: Vec::new() };
        let Err(RoutingError::Stuck { at_s }) = router.run(10.0, &flood, &mut Unwatched) else {
            panic!("followed to {}", router.now_s())
        };
        assert!(at_s > 5.0 && at_s < 6.0, "{at_s}");
        assert!(router.steps() < 1_000_100, "{}", router.steps());
    }
}

/// What runs off 100 m² into a basin of half a square metre is a level there too, so it takes shorter steps than what runs
/// away. Without power the basin only fills, which takes none.
#[test]
fn identity_what_runs_into_a_small_basin_is_followed_closely() {
    let steps = |to: Option<usize>| {
        let mut system = yard();
        system.stores[1] = prism(0.0, 100.0);
        system.paths = vec![crest(1, to, 1.0)];
        let mut router = router(&system, &[-8.5, 1.36], &[]);
        router.power(false, &mut Unwatched);
        router.run(500.0, &Forcing::none(&system), &mut Unwatched).unwrap();
        // (1/0.6 + 0.0001 t)^-2 as a store of 100 m²
        close(router.level(1).m(), 1.0 + libm::pow(1.0 / 0.6 + 0.05, -2.0));
        router.steps()
    };
    let (into, away) = (steps(Some(0)), steps(None));
    assert!(into > away, "{into} {away}");
}

/// Seen at the end of each step: time and what the store holds.
#[derive(Default)]
struct Ends(Vec<(f64, Volume)>);

impl Watch for Ends {
    fn stretch(&mut self, stretch: &Stretch<'_>) {
        self.0.push((stretch.until_s, Volume::from_m3(stretch.volume_m3(0, stretch.until_s))));
    }
}

/// A hollow whose surface shrinks from 72 m² to next to nothing as it runs empty over the crest at its bottom, so that the same
/// error of its volume is more and more of a level. With a surface of a + g h, t = (2 a (h^-1/2 - h0^-1/2) + 2 g (h0^1/2 -
/// h^1/2)) / 0.02. The error is that of a step, in not many more steps than are taken today.
#[test]
fn identity_a_hollow_that_runs_empty_keeps_its_tolerance() {
    let (a, g, start) = (0.001, 200.0, 0.36_f64);
    let surface = [(1.0, a), (1.5, a + 0.5 * g)].map(|(h, area)| (Level::from_m(h), Area::from_m2(area)));
    let hollow = StageStorage::new(&surface, Area::from_m2(1e-9)).unwrap();
    let system = system(vec![hollow.clone()], vec![crest(0, None, 1.0)]);
    let time = |h: f64| (2.0 * a * (1.0 / h.sqrt() - 1.0 / start.sqrt()) + 2.0 * g * (start.sqrt() - h.sqrt())) / 0.02;
    let exact = |t: f64| {
        let (mut low, mut high) = (1e-12_f64, start);
        for _ in 0..100 {
            let middle = (low * high).sqrt();
            (low, high) = if time(middle) > t { (middle, high) } else { (low, middle) };
        }
        high
    };
    for (tolerance, most) in [(1e-3, 25), (1e-4, 35)] {
        let mut router = Router::new(&system, &[Level::from_m(1.0 + start)], &[], Length::from_m(tolerance)).unwrap();
        let mut ends = Ends::default();
        router.run(100_000.0, &Forcing::none(&system), &mut ends).unwrap();
        for (time_s, volume) in &ends.0 {
            let found = hollow.level_at(*volume).m() - 1.0;
            assert_relative_eq!(found, exact(*time_s), epsilon = 1.5 * tolerance);
        }
        assert!(ends.0.len() > 8 && router.steps() < most, "{} {}", ends.0.len(), router.steps());
    }
}

/// A hollow is at rest down to the lowest of its ways, in whichever order they stand.
#[test]
fn identity_a_hollow_rests_at_its_lowest_way() {
    for levels in [[1.0, 0.5], [0.5, 1.0]] {
        let system = system(vec![prism(0.0, 1.0)], levels.map(|level| crest(0, None, level)).to_vec());
        assert!(!router(&system, &[0.7], &[]).is_at_rest());
        assert!(router(&system, &[0.5], &[]).is_at_rest());
    }
}

/// A film of five thousandths of a millimetre that is there from the start runs off at once; what stands lower stays as it is.
#[test]
fn identity_a_film_at_the_start_is_the_last() {
    let system = system(vec![prism(0.0, 1.0)], vec![crest(0, None, 1.0)]);
    for (start, end) in [(1.000_005, 1.0), (0.6, 0.6), (1.0, 1.0)] {
        let mut router = router(&system, &[start], &[]);
        router.run(1e-6, &Forcing::none(&system), &mut Unwatched).unwrap();
        assert_relative_eq!(router.level(0).m(), end, epsilon = 1e-12);
        assert_relative_eq!(router.totals().paths_m3[0], start - end, epsilon = 1e-12);
    }
}

/// 2e-5 m over the crest of a hollow above the pumped basin are less than a film after 12 000 s, and run off when the next
/// stretch begins: once, and no more.
#[test]
fn identity_a_last_film_runs_into_the_pumped_basin_once() {
    let system = yard();
    for apart in [true, false] {
        let mut router = router(&system, &[-8.5, 1.000_02], &[]);
        if !apart {
            router.never_apart();
        }
        for time_s in [12_000.0, 1.0, 10_000.0] {
            router.run(time_s, &Forcing::none(&system), &mut Unwatched).unwrap();
        }
        assert_relative_eq!(router.totals().paths_m3[0], 2e-5, epsilon = 1e-10);
        assert_relative_eq!(router.level(1).m(), 1.0, epsilon = 1e-10);
        assert_relative_eq!(router.volume(0).m3(), 0.25 + 2e-5, epsilon = 1e-10);
    }
}

/// Of three seeps the last two are the basin's: 1e-3 and 2e-3 m²/s by half a metre.
#[test]
fn identity_each_seep_is_counted_by_itself() {
    let mut system = yard();
    system.paths.clear();
    system.seeps = [(1, 0.0), (0, 1e-3), (0, 2e-3)]
        .map(|(store, per_metre)| Seep { store, per_metre, from: Level::from_m(-5.0) })
        .to_vec();
    for apart in [true, false] {
        let mut router = router(&system, &[-8.5, 0.0], &[]);
        if !apart {
            router.never_apart();
        }
        let forcing = Forcing { inflow: vec![(0.0, 0.0); 2], table: vec![(-4.5, 0.0); 3] };
        router.run(20.0, &forcing, &mut Unwatched).unwrap();
        for (found, by_hand) in router.totals().seeps_m3.iter().zip([0.0, 0.01, 0.02]) {
            close(*found, by_hand);
        }
    }
}
