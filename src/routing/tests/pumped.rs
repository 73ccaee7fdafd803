//! A store of 1 m² with pumps on floats: all is straight in time, so that every moment is worked by hand.

use crate::quantity::{Area, Flow, Length, Level, Volume};
use crate::routing::{
    Floats, Forcing, Mark, Moments, Rating, Recording, Router, RoutingError, Running, Seep, StageStorage, Station,
    Stretch, Switch, System, Unwatched, Watch,
};
use approx::assert_relative_eq;

fn floats(on: f64, off: f64) -> Floats {
    Floats { on: Level::from_m(on), off: Level::from_m(off) }
}

fn flow(m3s: f64) -> Rating {
    Rating::constant(Flow::from_m3s(m3s))
}

/// The first pump 5, the second 4, both 9 L/s; the first between 0.4 and 1 m; 50 L run back.
fn tank(lag: Option<Floats>) -> System {
    System {
        stores: vec![StageStorage::prism(Level::from_m(0.0), Area::from_m2(1.0)).unwrap()],
        paths: Vec::new(),
        station: Some(Station {
            store: 0,
            lead: floats(1.0, 0.4),
            lag,
            first: flow(0.005),
            second: flow(0.004),
            both: flow(0.009),
            drain_back: Volume::from_m3(0.05),
        }),
        seeps: Vec::new(),
    }
}

fn steady(m3s: f64) -> Forcing {
    Forcing { inflow: vec![(m3s, 0.0)], table: Vec::new() }
}

fn router<'s>(system: &'s System, level: f64, marks: &[Mark]) -> Router<'s> {
    Router::new(system, &[Level::from_m(level)], marks, Length::from_m(1e-7)).unwrap()
}

fn close(found: f64, by_hand: f64) {
    assert_relative_eq!(found, by_hand, epsilon = 2e-6);
}

/// Writes down what it sees, and looks at the water every 10 s, at 3, 13, 23 ...
#[derive(Debug, Default, PartialEq)]
struct Notes {
    switches: Vec<Switch>,
    repeated: Vec<[f64; 3]>,
    /// Time, volume, inflow, pumped.
    seen: Vec<[f64; 4]>,
    rises_s: Vec<f64>,
    until_s: f64,
}

impl Watch for Notes {
    fn stretch(&mut self, stretch: &Stretch<'_>) {
        assert!(stretch.from_s >= self.until_s - 1e-9 && stretch.until_s >= stretch.from_s);
        // stores that are not there
        let none = stretch.at(stretch.from_s).volumes_m3.len();
        assert!([none, 7].iter().all(|store| stretch.volume_m3(*store, stretch.from_s) == 0.0));
        let mut at_s = 3.0 + ((stretch.from_s - 3.0) / 10.0).ceil() * 10.0;
        while at_s < stretch.until_s {
            let moment = stretch.at(at_s);
            assert_relative_eq!(stretch.volume_m3(0, at_s), moment.volumes_m3[0], max_relative = 1e-12);
            self.seen.push([at_s, moment.volumes_m3[0], moment.inflow_m3s[0], moment.pumped_m3s]);
            at_s += 10.0;
        }
        self.rises_s.extend(
            stretch
                .crosses_s(0, Volume::from_m3(0.7), true, stretch.from_s)
                .filter(|at_s| !stretch.running.any() && *at_s > stretch.from_s),
        );
        for store in [none, 7] {
            assert_eq!(stretch.crosses_s(store, Volume::from_m3(0.7), true, stretch.from_s), None);
        }
        self.until_s = stretch.until_s;
    }
    fn switched(&mut self, switch: Switch) {
        self.switches.push(switch);
    }
    fn repeated(&mut self, cycles: f64, each_s: f64, until_s: f64) {
        self.repeated.push([cycles, each_s, until_s]);
        self.until_s = until_s;
    }
}

/// 2 L/s: 0.6 m fill in 300 s and are pumped down in 200; what runs back leaves 0.55 m to fill in 275. So it starts at 300,
/// 775, 1250, 1725, 2200 and stops at 500, 975, ... 2400 s.
#[test]
fn identity_cycles_by_hand() {
    let (system, marks) = (tank(None), [0.7, 0.42].map(|level| Mark { store: 0, level: Level::from_m(level) }));
    for apart in [true, false] {
        let mut router = router(&system, 0.4, &marks);
        if !apart {
            router.never_apart();
        }
        assert_eq!(router.steps(), 0);
        let mut notes = Notes::default();
        router.run(2500.0, &steady(0.002), &mut notes).unwrap();
        // each of the pump's two runs that were followed took a step of its own, and the filling between
        assert!((4..200).contains(&router.steps()), "{}", router.steps());
        close(router.now_s(), 2500.0);
        close(router.level(0).m(), 0.65);
        close(router.volume(0).m3(), 0.65);
        let totals = router.totals();
        assert_eq!((totals.lead_starts, totals.lag_starts, totals.starts()), (5, 0, 5));
        close(totals.lead_s, 1000.0);
        close(totals.lag_s, 0.0);
        close(totals.pumped_m3, 5.0);
        close(totals.ran_back_m3, 0.25);
        close(totals.left_by_pump_m3(), 4.75);
        close(totals.inflow_m3[0], 5.0);
        close(router.imbalance_m3(), 0.0);
        assert_eq!(router.running(), Running::default());
        // above 0.7 from 150 to 400 s, and 250 s in each cycle
        let seen = router.seen(0);
        close(seen.first_s.unwrap(), 150.0);
        assert_eq!((seen.times, seen.since_s), (5, None));
        close(seen.longest_s, 250.0);
        close(seen.above_s, 1250.0);
        // above 0.42 from 10 to 493.333 s, and from each stop, when the line runs back, until 6.667 s before the next
        let low = router.seen(1);
        assert_eq!(low.times, 6);
        close(low.since_s.unwrap(), 2400.0);
        close(low.longest_until(2500.0), 483.333_333);
        close(low.above_until(2500.0), 483.333_333 + 4.0 * 468.333_333 + 100.0);
        let (highest, at_s) = router.highest_level(0);
        close(highest.m(), 1.0);
        // each time the pump starts it stands as high, but for the last digit
        assert!([300.0, 775.0].iter().any(|start_s| (at_s - start_s).abs() < 1e-6), "{at_s}");
        close(router.highest(0).volume_m3, 1.0);
        // the first two cycles are followed, the third equal stop lets three be counted
        for (switch, (at_s, on)) in
            notes.switches.iter().zip([(300.0, true), (500.0, false), (775.0, true), (975.0, false)])
        {
            close(switch.at_s, at_s);
            assert_eq!((switch.pump, switch.on), (1, on));
        }
        assert_eq!(notes.switches.len(), 4);
        assert_eq!(notes.repeated.len(), 1);
        for (found, by_hand) in notes.repeated[0].into_iter().zip([3.0, 475.0, 2400.0]) {
            close(found, by_hand);
        }
        assert_eq!(notes.rises_s.len(), 2);
        for (found, by_hand) in notes.rises_s.iter().zip([150.0, 625.0]) {
            close(*found, by_hand);
        }
        // every 10 s of what was followed: to 975 and from 2400 s
        assert_eq!(notes.seen.len(), 98 + 10);
        for [at_s, volume, inflow, pumped] in notes.seen {
            let (by_hand, runs) = match at_s {
                at_s if at_s < 300.0 => (0.4 + 0.002 * at_s, false),
                at_s if at_s < 500.0 => (1.0 - 0.003 * (at_s - 300.0), true),
                at_s if at_s < 775.0 => (0.45 + 0.002 * (at_s - 500.0), false),
                at_s if at_s < 975.0 => (1.0 - 0.003 * (at_s - 775.0), true),
                at_s => (0.45 + 0.002 * (at_s - 2400.0), false),
            };
            close(volume, by_hand);
            close(inflow, 0.002);
            close(pumped, if runs { 0.005 } else { 0.0 });
        }
    }
}

/// What was recorded shows the same again, of another system nothing.
#[test]
fn identity_a_recording_shows_all_again() {
    let system = tank(Some(floats(1.2, 0.8)));
    let mut router = router(&system, 0.4, &[]);
    let (mut notes, mut again, mut recording) = (Notes::default(), Notes::default(), Recording::default());
    // counted cycles, both pumps, and a power cut
    for (time_s, m3s) in [(2500.0, 0.002), (1000.0, 0.008), (700.0, 0.0)] {
        router.run(time_s, &steady(m3s), &mut (&mut notes, &mut recording)).unwrap();
    }
    router.power(false, &mut (&mut notes, &mut recording));
    assert!(!notes.switches.is_empty() && !notes.repeated.is_empty() && !notes.seen.is_empty());
    recording.again(&system, &mut again);
    assert_eq!(again, notes);
    let two = System { stores: vec![system.stores[0].clone(); 2], ..system.clone() };
    let mut nothing = Notes::default();
    recording.again(&two, &mut nothing);
    assert!(nothing.seen.is_empty());
}

/// Levels and flows at 30, 90 and 150 s.
#[derive(Debug, Default, PartialEq)]
struct Looks(Vec<Moments>);

impl Watch for Looks {
    fn stretch(&mut self, stretch: &Stretch<'_>) {
        let within = |at_s: &f64| stretch.from_s < *at_s && *at_s <= stretch.until_s;
        self.0.extend([30.0, 90.0, 150.0].iter().filter(|at_s| within(at_s)).map(|at_s| stretch.at(*at_s)));
    }
}

/// 2 L/s and 0.01 more each second fill 0.9 to 1 m³ in 100 (√6 - 2) = 44.948974 s, when the pump starts; beside it a store of
/// 2 m² takes 0.1 L/s, and 1 L/s for each metre from groundwater at 1 m that rises 0.1 mm/s, over 0.5 m. After 100 s come
/// 1 L/s, nothing beside it, and groundwater stands at 1.2 m.
#[test]
fn identity_a_recording_keeps_what_came_by_hand() {
    let mut system = tank(None);
    system.stores.push(StageStorage::prism(Level::from_m(0.0), Area::from_m2(2.0)).unwrap());
    system.seeps.push(Seep { store: 1, per_metre: 1e-3, from: Level::from_m(0.5) });
    let start = [0.9, 0.0].map(Level::from_m);
    let mut router = Router::new(&system, &start, &[], Length::from_m(1e-7)).unwrap();
    let (mut looks, mut again, mut recording) = (Looks::default(), Looks::default(), Recording::default());
    for (inflow, table) in [([(0.002, 1e-5), (1e-4, 0.0)], (1.0, 1e-4)), ([(0.001, 0.0), (0.0, 0.0)], (1.2, 0.0))] {
        let forcing = Forcing { inflow: inflow.to_vec(), table: vec![table] };
        router.run(100.0, &forcing, &mut (&mut looks, &mut recording)).unwrap();
    }
    recording.again(&system, &mut again);
    assert_eq!(again, looks);
    // volumes, inflows, seeping, pumped
    let by_hand = [
        // 0.9 + 0.06 + 0.0045; 0.018 + 0.000045
        ([0.9645, 0.018_045], [0.0023, 1e-4], 5.03e-4, 0.0),
        // 0.9 + 0.18 + 0.0405 - 0.005 x 45.051026; 0.054 + 0.000405
        ([0.895_244_87, 0.054_405], [0.0029, 1e-4], 5.09e-4, 0.005),
        // 0.9 + 0.2 + 0.05 - 0.005 x 55.051026 - 50 x 0.004; 0.0605 + 50 x 0.0007
        ([0.674_744_87, 0.0955], [0.001, 0.0], 7e-4, 0.005),
    ];
    assert_eq!(again.0.len(), by_hand.len());
    for (found, (volumes, inflows, seeping, pumped)) in again.0.iter().zip(by_hand) {
        for (found, by_hand) in found.volumes_m3.iter().zip(volumes) {
            close(*found, by_hand);
        }
        assert_relative_eq!(found.inflow_m3s[..], inflows[..], max_relative = 1e-9);
        assert_relative_eq!(found.seeps_m3s[0], seeping, max_relative = 1e-9);
        assert_relative_eq!(found.pumped_m3s, pumped, max_relative = 1e-9);
        assert!(found.paths_m3s.is_empty());
    }
    // of a system without groundwater it is not
    let mut nothing = Looks::default();
    system.seeps.clear();
    recording.again(&system, &mut nothing);
    assert!(nothing.0.is_empty());
}

/// The same cycles until just the next stop: those that are wholly left are counted. The second stop is at 975 s.
#[test]
fn identity_only_whole_cycles_are_counted() {
    for (until_s, starts, level, cycles) in
        [(1100.0, 2, 0.7, None), (2400.0, 5, 0.45, Some(2.0)), (1500.0, 3, 0.55, Some(1.0))]
    {
        let system = tank(None);
        let mut router = router(&system, 0.4, &[]);
        let mut notes = Notes::default();
        router.run(until_s, &steady(0.002), &mut notes).unwrap();
        assert_eq!(notes.repeated.first().map(|repeated| repeated[0]), cycles);
        // the pump may stop just behind the end
        router.run(1e-3, &steady(0.002), &mut notes).unwrap();
        close(router.now_s(), until_s + 1e-3);
        assert_eq!(router.totals().lead_starts, starts);
        assert_relative_eq!(router.level(0).m(), level, epsilon = 1e-5);
    }
}

/// Beside it a pond of 100 m² that fills slowly. At the second stop three cycles of 475 s are left of 2500 s, then two, then one.
/// With errors of 1 mm allowed in a step a millionth of that may change in all of them, 1e-7 m³: 5e-11 m³/s bring 0.7e-7 in
/// three, 1e-10 bring 0.95e-7 in two, and 3e-10 bring 1.4e-7 in one.
#[test]
fn identity_cycles_are_counted_only_if_they_are_alike() {
    let mut system = tank(None);
    system.stores.push(StageStorage::prism(Level::from_m(0.0), Area::from_m2(100.0)).unwrap());
    for (pond_m3s, cycles) in [(5e-11, Some(3.0)), (1e-10, Some(2.0)), (3e-10, None)] {
        for apart in [true, false] {
            let mut router = Router::new(&system, &[Level::from_m(0.4)], &[], Length::from_m(1e-3)).unwrap();
            if !apart {
                router.never_apart();
            }
            let mut notes = Notes::default();
            let forcing = Forcing { inflow: vec![(0.002, 0.0), (pond_m3s, 0.0)], table: Vec::new() };
            router.run(2500.0, &forcing, &mut notes).unwrap();
            assert_eq!(notes.repeated.first().map(|repeated| repeated[0]), cycles);
            assert_eq!(router.totals().lead_starts, 5);
            close(router.level(0).m(), 0.65);
        }
    }
}

/// While no pump runs the store needs no step beside that of what is above it, which here is nothing.
#[test]
fn identity_what_only_fills_takes_no_steps() {
    let system = tank(None);
    let mut router = router(&system, 0.4, &[]);
    router.run(250.0, &steady(0.002), &mut Unwatched).unwrap();
    close(router.level(0).m(), 0.9);
    assert!(router.steps() <= 1, "{}", router.steps());
}

/// The same in stretches of 70 s, which count no cycles: nothing of it changes.
#[test]
fn identity_stretches_are_one_time() {
    let (system, marks) = (tank(None), [Mark { store: 0, level: Level::from_m(0.7) }]);
    let mut router = router(&system, 0.4, &marks);
    let mut notes = Notes::default();
    for _ in 0..35 {
        router.run(70.0, &steady(0.002), &mut notes).unwrap();
    }
    router.run(50.0, &steady(0.002), &mut notes).unwrap();
    // no time, and time backwards, is none
    for none in [0.0, -5.0] {
        router.run(none, &steady(0.002), &mut notes).unwrap();
    }
    close(router.now_s(), 2500.0);
    close(router.level(0).m(), 0.65);
    assert_eq!((router.totals().lead_starts, notes.switches.len()), (5, 10));
    assert!(notes.repeated.is_empty());
    let seen = router.seen(0);
    assert_eq!(seen.times, 5);
    close(seen.above_s, 1250.0);
    close(seen.longest_s, 250.0);
}

/// 8 L/s: the first starts at 75 s, the second at 1.2 m and 141.667 s; at -1 L/s it takes 400 s down to its 0.8 m, and the
/// first alone 133.333 s up again. Then nothing more comes: 0.075 m by both, 0.4 m by the first.
#[test]
fn identity_two_pumps_by_hand() {
    let system = tank(Some(floats(1.2, 0.8)));
    let mut router = router(&system, 0.4, &[]);
    let mut notes = Notes::default();
    router.run(1000.0, &steady(0.008), &mut notes).unwrap();
    close(router.level(0).m(), 0.875);
    close(router.totals().lead_s, 925.0);
    close(router.totals().lag_s, 725.0);
    close(router.totals().pumped_m3, 7.525);
    assert_eq!(router.running(), Running { lead: true, lag: true });
    assert!(!router.is_at_rest());
    let (highest, at_s) = router.highest_level(0);
    close(highest.m(), 1.2);
    close(at_s, 141.666_667);
    router.run(500.0, &steady(0.0), &mut notes).unwrap();
    let switches: Vec<(f64, u8, bool)> = notes.switches.iter().map(|s| (s.at_s, s.pump, s.on)).collect();
    let by_hand = [
        (75.0, 1, true),
        (141.666_667, 2, true),
        (541.666_667, 2, false),
        (675.0, 2, true),
        (1_008.333_333, 2, false),
        (1_088.333_333, 1, false),
    ];
    assert_eq!(switches.len(), by_hand.len(), "{switches:?}");
    for (found, by_hand) in switches.iter().zip(by_hand) {
        close(found.0, by_hand.0);
        assert_eq!((found.1, found.2), (by_hand.1, by_hand.2));
    }
    assert_eq!((router.totals().lead_starts, router.totals().lag_starts), (1, 2));
    // only when the last one stops does the line run back
    close(router.totals().ran_back_m3, 0.05);
    close(router.level(0).m(), 0.45);
    assert!(router.is_at_rest());
}

/// From 1.5 m both start at once; the first stops at 0.6 m after 100 s, the second alone takes 75 s to its 0.3 m.
#[test]
fn identity_the_second_pump_alone() {
    let mut system = tank(Some(floats(1.2, 0.3)));
    system.station.as_mut().unwrap().lead = floats(1.0, 0.6);
    let mut router = router(&system, 1.5, &[]);
    router.run(1000.0, &steady(0.0), &mut Unwatched).unwrap();
    let totals = router.totals();
    close(totals.lead_s, 100.0);
    close(totals.lag_s, 175.0);
    close(totals.pumped_m3, 1.2);
    close(totals.ran_back_m3, 0.05);
    close(router.level(0).m(), 0.35);
    assert_eq!((totals.lead_starts, totals.lag_starts), (1, 1));
}

/// 2 L/s from 0.4 m: the second starts at 0.8 m and 200 s, just before the first would at 0.82, and draws the water down by
/// 2 L/s to its 0.6 m in 100 s; from 0.65, as 50 L run back, up again in 75 s.
#[test]
fn identity_the_lower_float_comes_first() {
    let mut system = tank(Some(floats(0.8, 0.6)));
    system.station.as_mut().unwrap().lead = floats(0.82, 0.4);
    for apart in [true, false] {
        let mut router = router(&system, 0.4, &[]);
        if !apart {
            router.never_apart();
        }
        let mut notes = Notes::default();
        router.run(390.0, &steady(0.002), &mut notes).unwrap();
        let by_hand = [(200.0, true), (300.0, false), (375.0, true)];
        assert_eq!(notes.switches.len(), by_hand.len(), "{:?}", notes.switches);
        for (switch, (at_s, on)) in notes.switches.iter().zip(by_hand) {
            close(switch.at_s, at_s);
            assert_eq!((switch.pump, switch.on), (2, on));
        }
        close(router.level(0).m(), 0.77);
    }
}

/// Of two floats at one level the first pump's is heard first, up and down: at 300 s, and after 0.6 m³ by 9 L/s.
#[test]
fn identity_of_floats_alike_the_first_is_heard_first() {
    let system = tank(Some(floats(1.0, 0.4)));
    for apart in [true, false] {
        let mut router = router(&system, 0.4, &[]);
        if !apart {
            router.never_apart();
        }
        let mut notes = Notes::default();
        router.run(320.0, &steady(0.002), &mut notes).unwrap();
        router.run(80.0, &steady(0.0), &mut notes).unwrap();
        let switches: Vec<(u8, bool)> = notes.switches.iter().map(|switch| (switch.pump, switch.on)).collect();
        assert_eq!(switches, [(1, true), (2, true), (1, false), (2, false)]);
        for (pair, at_s) in notes.switches.chunks(2).zip([300.0, 320.0 + (0.6 - 20.0 * 0.007) / 0.009]) {
            for switch in pair {
                close(switch.at_s, at_s);
            }
        }
    }
}

/// A stretch ends a hair before the water is down at the float: when the next begins it counts as there, even if the water
/// then rises. 0.6 m³ by 5 L/s take 120 s.
#[test]
fn identity_water_that_lacks_a_hair_of_a_float_is_at_it() {
    let system = tank(None);
    let mut router = router(&system, 1.0, &[]);
    let mut notes = Notes::default();
    router.run(120.0 - 2e-11, &steady(0.0), &mut notes).unwrap();
    assert!(router.running().lead && router.volume(0).m3() > 0.4);
    router.run(10.0, &steady(0.008), &mut notes).unwrap();
    assert!(!router.running().any());
    close(router.level(0).m(), 0.4 + 0.05 + 0.08);
    close(notes.switches[1].at_s, 120.0);
}

/// In a glass of 1 cm², 0.1 mm below its float: at 1e-10 m³/s the pump starts after 100 s and not before.
#[test]
fn identity_a_float_in_a_small_store() {
    let mut system = tank(None);
    system.stores = vec![StageStorage::prism(Level::from_m(0.0), Area::from_m2(1e-4)).unwrap()];
    system.station.as_mut().unwrap().lead = floats(0.2, 0.1);
    let mut router = router(&system, 0.1999, &[]);
    let mut notes = Notes::default();
    router.run(99.0, &steady(1e-10), &mut notes).unwrap();
    assert!(notes.switches.is_empty());
    router.run(2.0, &steady(1e-10), &mut notes).unwrap();
    close(notes.switches[0].at_s, 100.0);
}

/// 4 L/s and 2 more for each metre: the time from 1 to 0.4 m is ln(6 / 4.8) / 0.002 = 111.5718 s.
#[test]
fn identity_a_pump_that_brings_less_at_lower_water() {
    let mut system = tank(None);
    let flows = [0.004, 0.006, 0.008].map(Flow::from_m3s);
    system.station.as_mut().unwrap().first = Rating::new(Level::from_m(0.0), Level::from_m(2.0), &flows).unwrap();
    for apart in [true, false] {
        let mut router = router(&system, 1.0, &[]);
        if !apart {
            router.never_apart();
        }
        router.run(60.0, &steady(0.0), &mut Unwatched).unwrap();
        // -2 + 3 e^(-0.12)
        close(router.level(0).m(), -2.0 + 3.0 * libm::exp(-0.12));
        router.run(60.0, &steady(0.0), &mut Unwatched).unwrap();
        close(router.totals().lead_s, 111.571_775_7);
        close(router.totals().pumped_m3, 0.6);
    }
}

/// Without power nothing runs: 0.002 a second from 0.9 on. With it again, at 1.5 m, the pump starts at once.
#[test]
fn identity_a_power_cut_by_hand() {
    let system = tank(None);
    let mut router = router(&system, 0.9, &[]);
    let mut notes = Notes::default();
    router.run(80.0, &steady(0.002), &mut notes).unwrap();
    // started at 50 s; 0.91 m; what is in the line runs back
    router.power(false, &mut notes);
    close(router.level(0).m(), 0.96);
    close(router.totals().lead_s, 30.0);
    router.run(270.0, &steady(0.002), &mut notes).unwrap();
    close(router.level(0).m(), 1.5);
    router.power(true, &mut notes);
    router.run(100.0, &steady(0.002), &mut notes).unwrap();
    close(router.level(0).m(), 1.2);
    let switches: Vec<(f64, bool)> = notes.switches.iter().map(|s| ((s.at_s * 1e6).round() / 1e6, s.on)).collect();
    assert_eq!(switches, [(50.0, true), (80.0, false), (350.0, true)]);
    // how high it stood before is forgotten
    close(router.highest_level(0).0.m(), 1.5);
    close(router.highest_level(0).1, 350.0);
    router.forget_highest();
    close(router.highest(0).volume_m3, 1.2);
    close(router.highest(0).at_s, 450.0);
}

/// A mark at 0.93, above which the water that runs back lifts it at once, and at 0.42.
#[test]
fn identity_marks_see_what_runs_back() {
    let system = tank(None);
    let marks = [0.42, 0.93, 0.3].map(|level| Mark { store: 0, level: Level::from_m(level) });
    let mut router = router(&system, 0.9, &marks);
    router.run(80.0, &steady(0.002), &mut Unwatched).unwrap();
    // 0.93 at 15 s, 1 at 50 s, 0.93 again after 0.07 / 0.003 s, 0.91 at 80 s
    close(router.seen(1).first_s.unwrap(), 15.0);
    close(router.seen(1).longest_s, 58.333_333);
    router.power(false, &mut Unwatched);
    assert_eq!(router.seen(1).times, 2);
    close(router.seen(1).since_s.unwrap(), 80.0);
    // those it stood over from the start on
    assert_eq!((router.seen(0).first_s, router.seen(0).times), (Some(0.0), 1));
    close(router.seen(0).longest_until(80.0), 80.0);
    router.forget_longest();
    close(router.seen(1).longest_s, 0.0);
    close(router.seen(1).above_s, 58.333_333);
    assert_eq!(router.seen(9).times, 0);
}

/// 5 L/s come and 5 are pumped, so that the water stays at 1 m until the power fails at 60 s. What runs back then lifts it at
/// once: the highest water is that of the start if nothing runs back; a mark just reached is not passed.
#[test]
fn identity_the_highest_water_may_be_what_runs_back() {
    for (back_m3, highest_m, highest_s, over_s) in [(0.0, 1.0, 0.0, None), (0.25, 1.25, 60.0, Some(60.0))] {
        let mut system = tank(None);
        system.station.as_mut().unwrap().drain_back = Volume::from_m3(back_m3);
        let marks = [1.25, 1.2, 0.5].map(|level| Mark { store: 0, level: Level::from_m(level) });
        let mut router = router(&system, 1.0, &marks);
        router.run(60.0, &steady(0.005), &mut Unwatched).unwrap();
        router.power(false, &mut Unwatched);
        let (highest, at_s) = router.highest_level(0);
        assert_eq!((highest.m(), at_s), (highest_m, highest_s));
        assert_eq!([0, 1, 2].map(|mark| router.seen(mark).since_s), [None, over_s, Some(0.0)]);
    }
}

/// Inflow that grows by 0.01 L/s each second: 0.4 + 5e-6 t² is 1 m at √120000 = 346.41 s.
#[test]
fn identity_inflow_that_grows() {
    let system = tank(None);
    let mut router = router(&system, 0.4, &[]);
    let mut notes = Notes::default();
    let growing = Forcing { inflow: vec![(0.0, 1e-5)], table: Vec::new() };
    assert!(!growing.is_steady() && steady(0.1).is_steady());
    router.run(400.0, &growing, &mut notes).unwrap();
    close(notes.switches[0].at_s, f64::sqrt(120_000.0));
    close(router.totals().inflow_m3[0], 0.8);
    close(router.totals().pumped_m3, 0.005 * (400.0 - f64::sqrt(120_000.0)));
    for [at_s, _, inflow, _] in notes.seen {
        close(inflow, 1e-5 * at_s);
    }
    let mut later = growing;
    later.advance(100.0);
    assert_eq!(later.inflow, [(0.001, 1e-5)]);
}

#[test]
fn what_cannot_be_followed_is_refused() {
    let system = tank(None);
    let fine = Length::from_m(1e-7);
    for mark in [Mark { store: 1, level: Level::from_m(0.7) }, Mark { store: 0, level: Level::from_m(f64::NAN) }] {
        assert!(matches!(Router::new(&system, &[], &[mark], fine), Err(RoutingError::BadStore)));
    }
    let mut router = router(&system, 0.4, &[]);
    for (time_s, forcing) in [
        (f64::NAN, steady(0.002)),
        (f64::INFINITY, steady(0.002)),
        (1.0, steady(f64::INFINITY)),
        (1.0, Forcing { inflow: vec![(0.0, f64::NAN)], table: Vec::new() }),
        (1.0, Forcing { inflow: vec![(0.0, 0.0)], table: vec![(0.0, 0.0)] }),
        (1.0, Forcing { inflow: vec![(0.0, 0.0); 2], table: Vec::new() }),
    ] {
        assert_eq!(router.run(time_s, &forcing, &mut Unwatched), Err(RoutingError::BadForcing));
    }
    // a store that is not there
    assert_eq!(
        (router.volume(3), router.level(3), router.highest(3).volume_m3),
        (Volume::ZERO, Level::from_m(0.0), 0.0)
    );
    assert_eq!(router.highest_level(3).0, Level::from_m(0.0));
    // an empty start
    close(Router::new(&system, &[], &[], fine).unwrap().level(0).m(), 0.0);
}

/// 1e-7 m fill in 5e-5 s and are pumped down in 3.333e-5: 200 000 switches take 8.333 s. A flood without measure has no step
/// short enough.
#[test]
fn what_has_no_end_is_given_up() {
    let mut system = tank(None);
    let station = system.station.as_mut().unwrap();
    (station.lead, station.drain_back) = (floats(0.4 + 1e-7, 0.4), Volume::ZERO);
    let growing = Forcing { inflow: vec![(0.002, 1e-12)], table: Vec::new() };
    let mut switching = router(&system, 0.4, &[]);
    let Err(RoutingError::TooManySwitches { at_s }) = switching.run(100.0, &growing, &mut Unwatched) else {
        panic!("followed to {}", switching.now_s())
    };
    assert_relative_eq!(at_s, 25.0 / 3.0, max_relative = 1e-3);
    // what came in a stretch that was given up is not counted, so that the balance lacks it
    assert_relative_eq!(switching.imbalance_m3(), -0.002 * at_s, max_relative = 1e-3);
    for apart in [true, false] {
        let mut flooded = router(&system, 1.0, &[]);
        if !apart {
            flooded.never_apart();
        }
        let Err(RoutingError::Stuck { at_s }) = flooded.run(10.0, &steady(1e300), &mut Unwatched) else {
            panic!("followed to {}", flooded.now_s())
        };
        assert!((0.0..10.0).contains(&at_s));
    }
}

/// 6 L/s that shrink by 0.01 each second, against the pump's 5: the water stands highest, 1.05 m, after 100 s.
#[test]
fn identity_the_highest_water_in_the_middle_of_a_step() {
    let system = tank(None);
    for apart in [true, false] {
        let mut router = router(&system, 1.0, &[]);
        if !apart {
            router.never_apart();
        }
        let shrinking = Forcing { inflow: vec![(0.006, -1e-5)], table: Vec::new() };
        router.run(250.0, &shrinking, &mut Unwatched).unwrap();
        close(router.level(0).m(), 1.0 + 0.25 - 0.3125);
        let (highest, at_s) = router.highest_level(0);
        close(highest.m(), 1.05);
        assert_relative_eq!(at_s, 100.0, epsilon = 1e-3);
    }
}

/// When the water comes to be above a volume and below it again, each looked for from the one before on.
struct Crossings {
    volume: Volume,
    above: bool,
    at_s: Vec<f64>,
}

impl Watch for Crossings {
    fn stretch(&mut self, stretch: &Stretch<'_>) {
        let mut from_s = stretch.from_s;
        while let Some(at_s) = stretch.crosses_s(0, self.volume, !self.above, from_s) {
            self.at_s.push(at_s);
            assert!(self.at_s.len() < 9, "{:?}", self.at_s);
            self.above = !self.above;
            from_s = at_s;
        }
        // what is above or below it from the start on is so at the start itself, to the last digit
        let start_m3 = stretch.volume_m3(0, stretch.from_s);
        for (volume_m3, up) in [(start_m3 - 0.01, true), (start_m3 + 0.01, false)] {
            let at_s = stretch.crosses_s(0, Volume::from_m3(volume_m3), up, stretch.from_s);
            assert_eq!(at_s, Some(stretch.from_s));
        }
    }
}

/// The same water, 1 + 0.001 t - 5e-6 t², is so much over 1 m after 100 -+ sqrt(100² - 2e5 of it) s.
#[test]
fn identity_water_is_seen_to_rise_and_fall_within_a_step() {
    let system = tank(None);
    for over_m3 in [0.001, 0.007, 0.013, 0.02, 0.029, 0.034, 0.041, 0.0499] {
        let mut watch = Crossings { volume: Volume::from_m3(1.0 + over_m3), above: false, at_s: Vec::new() };
        let shrinking = Forcing { inflow: vec![(0.006, -1e-5)], table: Vec::new() };
        router(&system, 1.0, &[]).run(250.0, &shrinking, &mut watch).unwrap();
        let apart = f64::sqrt(1e4 - 2e5 * over_m3);
        assert_eq!(watch.at_s.len(), 2, "{:?}", watch.at_s);
        for (found, by_hand) in watch.at_s.iter().zip([100.0 - apart, 100.0 + apart]) {
            assert_relative_eq!(*found, by_hand, epsilon = 1e-4);
        }
    }
}

/// A step that is cut short by a float goes on beyond it, but nobody sees water there: it turns at 1 m.
#[test]
fn identity_no_water_is_seen_beyond_a_float() {
    let system = tank(None);
    for (over_m3, times) in [(1e-6, 0), (-1e-3, 4)] {
        let mut watch = Crossings { volume: Volume::from_m3(1.0 + over_m3), above: false, at_s: Vec::new() };
        router(&system, 0.4, &[]).run(900.0, &steady(0.002), &mut watch).unwrap();
        assert_eq!(watch.at_s.len(), times, "{:?}", watch.at_s);
    }
}
