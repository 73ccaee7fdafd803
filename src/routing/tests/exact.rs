//! Float-switched pumps and hollows with closed solutions: each leg is a parabola or an exponential in time. The
//! figures are arithmetic, solved event by event and confirmed by stepping at a thousandth of a minute; that arithmetic
//! is a check case of this project's reference and not this program's own output.

use crate::quantity::{Area, Flow, Length, Level, Volume};
use crate::routing::{
    Floats, Forcing, Mark, Rating, Router, RoutingError, StageStorage, Station, Switch, System, Watch,
};
use approx::assert_abs_diff_eq;

const MINUTE: f64 = 60.0;
const INCH: f64 = 0.0254;

fn gpm(value: f64) -> f64 {
    Flow::from_gpm(value).m3s()
}

/// Inflow in gal/min straight between minutes.
fn follow(router: &mut Router<'_>, inflow: &[(f64, f64)], until: f64, watch: &mut impl Watch) {
    let end = inflow.last().copied().unwrap_or((0.0, 0.0));
    let mut points = inflow.to_vec();
    points.push((until, end.1));
    for pair in points.windows(2) {
        let length = (pair[1].0 - pair[0].0) * MINUTE;
        if length > 0.0 {
            let slope = (gpm(pair[1].1) - gpm(pair[0].1)) / length;
            let forcing = Forcing { inflow: vec![(gpm(pair[0].1), slope)], table: Vec::new() };
            router.run(length, &forcing, watch).unwrap();
        }
    }
}

#[derive(Default)]
struct Switches(Vec<Switch>);
impl Watch for Switches {
    fn switched(&mut self, switch: Switch) {
        self.0.push(switch);
    }
}

fn at(inch: f64) -> Level {
    Level::from_m(inch * INCH)
}

fn station(lead: (f64, f64), lag: Option<(f64, f64)>, first: Rating, both: Rating) -> Station {
    let floats = |(on, off): (f64, f64)| Floats { on: at(on), off: at(off) };
    Station {
        store: 0,
        lead: floats(lead),
        lag: lag.map(floats),
        second: first.clone(),
        first,
        both,
        drain_back: Volume::ZERO,
    }
}

fn one_pump(store: StageStorage, first: Rating) -> System {
    System {
        stores: vec![store],
        paths: Vec::new(),
        station: Some(station((21.0, 9.0), None, first.clone(), first)),
        seeps: Vec::new(),
    }
}

fn constant(flow: f64) -> Rating {
    Rating::constant(Flow::from_gpm(flow))
}

fn round(diameter: f64) -> StageStorage {
    StageStorage::prism(at(0.0), Length::from_inch(diameter).circle()).unwrap()
}

fn fine() -> Length {
    Length::from_m(1e-8)
}

#[test]
fn identity_float_switched_pump_under_a_triangle_of_inflow() {
    let system = one_pump(round(24.0), constant(40.0));
    let mut router = Router::new(&system, &[at(9.0)], &[], fine()).unwrap();
    let mut seen = Switches::default();
    follow(&mut router, &[(0.0, 0.0), (10.0, 30.0), (40.0, 0.0)], 60.0, &mut seen);
    let minutes: Vec<f64> = seen.0.iter().map(|switch| switch.at_s / MINUTE).collect();
    for (found, wanted) in minutes.iter().zip([3.9582, 4.8347, 6.2483, 7.4571, 8.4425, 10.4199, 11.2253, 13.1533]) {
        assert_abs_diff_eq!(*found, wanted, epsilon = 1e-4);
    }
    assert_eq!(router.totals().lead_starts, 12);
    assert_abs_diff_eq!(*minutes.last().unwrap(), 33.7882, epsilon = 1e-4);
    assert_abs_diff_eq!(router.totals().lead_s / MINUTE, 14.5177, epsilon = 1e-4);
    assert_abs_diff_eq!(Volume::from_m3(router.totals().pumped_m3).gal(), 580.707, epsilon = 1e-3);
    assert_abs_diff_eq!(router.level(0).m() / INCH, 18.851, epsilon = 1e-3);
    assert!(router.imbalance_m3().abs() < 1e-13);
}

#[test]
fn identity_a_pump_that_is_too_small_leaves_water_standing() {
    // a low spot over the rim, its surface straight in the level
    let pool = [(0.0, 0.0), (3.0, 420.0), (6.0, 1300.0)];
    let mut surface = vec![(at(0.0), Length::from_inch(24.0).circle()), (at(48.0), Length::from_inch(24.0).circle())];
    surface.extend(pool.map(|(inch, ft2)| (at(48.0 + inch), Area::from_ft2(ft2))));
    let store = StageStorage::new(&surface, Area::from_m2(1e-9)).unwrap();
    let system = one_pump(store, constant(40.0));
    let marks = [Mark { store: 0, level: at(48.0) }];
    let mut router = Router::new(&system, &[at(9.0)], &marks, fine()).unwrap();
    let mut seen = Switches::default();
    follow(&mut router, &[(0.0, 0.0), (10.0, 90.0), (40.0, 0.0)], 90.0, &mut seen);
    assert_eq!(router.totals().lead_starts, 1);
    assert_abs_diff_eq!(seen.0[0].at_s / MINUTE, 2.2853, epsilon = 1e-4);
    let highest = router.highest(0);
    assert_abs_diff_eq!(highest.at_s / MINUTE, 26.6667, epsilon = 1e-3);
    assert_abs_diff_eq!(Volume::from_m3(highest.volume_m3).gal(), 575.702, epsilon = 1e-2);
    assert_abs_diff_eq!(router.highest_level(0).0.m() / INCH - 48.0, 3.3069, epsilon = 1e-4);
    let stood = router.seen(0);
    assert_abs_diff_eq!(stood.first_s.unwrap() / MINUTE, 8.496, epsilon = 1e-3);
    assert_abs_diff_eq!(stood.longest_s / MINUTE, 45.376 - 8.496, epsilon = 2e-3);
    assert_abs_diff_eq!(Volume::from_m3(router.totals().pumped_m3).gal(), 1800.0, epsilon = 1e-2);
}

#[test]
fn identity_a_pump_whose_rate_falls_with_the_level_runs_by_a_logarithm() {
    let falling = Rating::new(at(9.0), at(21.0), &[Flow::from_gpm(38.0), Flow::from_gpm(42.0)]).unwrap();
    for (inflow, run) in [(20.0, 1.178_98), (37.5, 12.91)] {
        let system = one_pump(round(24.0), falling.clone());
        let mut router = Router::new(&system, &[at(20.999_999_99)], &[], fine()).unwrap();
        let mut seen = Switches::default();
        follow(&mut router, &[(0.0, inflow)], 14.0, &mut seen);
        let [on, off] = [seen.0[0].at_s, seen.0[1].at_s];
        assert_abs_diff_eq!((off - on) / MINUTE, run, epsilon = if inflow > 30.0 { 5e-3 } else { 1e-5 });
    }
}

#[test]
fn identity_starts_in_an_hour_of_steady_inflow() {
    let system = one_pump(round(24.0), constant(40.0));
    let mut router = Router::new(&system, &[at(9.0)], &[], fine()).unwrap();
    follow(&mut router, &[(0.0, 15.0)], 60.0, &mut Switches::default());
    assert_eq!(router.totals().lead_starts, 24);
    // a year of it is counted, not followed
    let before = router.steps();
    let mut years = router.clone();
    follow(&mut years, &[(0.0, 15.0)], 525_600.0, &mut Switches::default());
    assert!(years.steps() - before < 200, "{} steps", years.steps() - before);
    let starts = years.totals().lead_starts - 24;
    assert_abs_diff_eq!(starts as f64, 525_600.0 / 2.506_75, epsilon = 2.0);
    assert_abs_diff_eq!(years.totals().lead_s / 60.0 / 525_660.0, 0.375, epsilon = 1e-5);
    assert!(years.imbalance_m3().abs() < 1e-9 * years.totals().pumped_m3);
}

#[test]
fn identity_lead_and_lag_pumps_on_one_line() {
    let system = System {
        stores: vec![round(36.0)],
        paths: Vec::new(),
        station: Some(station((18.0, 8.0), Some((24.0, 12.0)), constant(38.0), constant(58.0))),
        seeps: Vec::new(),
    };
    let mut router = Router::new(&system, &[at(8.0)], &[], fine()).unwrap();
    let mut seen = Switches::default();
    follow(&mut router, &[(0.0, 0.0), (10.0, 64.0), (45.0, 0.0)], 75.0, &mut seen);
    let wanted = [
        (3.7108, 1, true),
        (9.5735, 2, true),
        (21.6933, 2, false),
        (29.2839, 1, false),
        (30.9003, 1, true),
        (33.854, 1, false),
        (36.28, 1, true),
        (38.1353, 1, false),
    ];
    assert_eq!(seen.0.len(), wanted.len());
    for (found, (minute, pump, on)) in seen.0.iter().zip(wanted) {
        assert_abs_diff_eq!(found.at_s / MINUTE, minute, epsilon = 1e-3);
        assert_eq!((found.pump, found.on), (pump, on));
    }
    let (top, when) = router.highest_level(0);
    assert_abs_diff_eq!(top.m() / INCH, 26.6826, epsilon = 1e-3);
    assert_abs_diff_eq!(when / MINUTE, 13.2812, epsilon = 1e-3);
    assert_abs_diff_eq!(router.totals().lead_s / MINUTE, 30.382, epsilon = 1e-3);
    assert_abs_diff_eq!(router.totals().lag_s / MINUTE, 12.1199, epsilon = 1e-3);
    assert_abs_diff_eq!(Volume::from_m3(router.totals().pumped_m3).gal(), 1396.915, epsilon = 1e-2);
    assert_abs_diff_eq!(router.level(0).m() / INCH, 17.778, epsilon = 1e-3);
}

#[test]
fn identity_basin_and_stone_trench_share_one_level() {
    let basin = Length::from_inch(24.0).circle();
    let trench = Area::from_ft2(48.0) * 0.40;
    let surface = [(at(0.0), basin), (at(26.0), basin), (at(26.0), basin + trench)];
    let with = StageStorage::new(&surface, basin).unwrap();
    for (peak, volume, minute, alone_in, with_in, starts) in
        [(55.0, 108.698, 18.1818, 55.503, 30.149, 5), (60.0, 164.879, 20.0, 84.191, 34.183, 4)]
    {
        for (store, level) in [(round(24.0), alone_in), (with.clone(), with_in)] {
            let system = one_pump(store, constant(40.0));
            let mut router = Router::new(&system, &[at(9.0)], &[], fine()).unwrap();
            follow(&mut router, &[(0.0, 0.0), (10.0, peak), (40.0, 0.0)], 60.0, &mut Switches::default());
            let highest = router.highest(0);
            assert_abs_diff_eq!(Volume::from_m3(highest.volume_m3).gal(), volume, epsilon = 2e-2);
            assert_abs_diff_eq!(highest.at_s / MINUTE, minute, epsilon = 2e-3);
            assert_abs_diff_eq!(router.highest_level(0).0.m() / INCH, level, epsilon = 1e-2);
            assert_eq!(router.totals().lead_starts, starts);
        }
    }
}

#[test]
fn identity_drain_back_shortens_the_cycle() {
    // floats 12 in apart in a 24 in basin, 40 gal/min, 4.4 gal run back at each stop, 20 gal/min come
    let mut system = one_pump(round(24.0), constant(40.0));
    if let Some(station) = &mut system.station {
        station.drain_back = Volume::from_gal(4.4);
    }
    let mut router = Router::new(&system, &[at(9.0)], &[], fine()).unwrap();
    let mut seen = Switches::default();
    // not quite steady, so that every cycle is followed
    follow(&mut router, &[(0.0, 20.0), (8.0, 20.000_000_1)], 8.0, &mut seen);
    let starts: Vec<f64> = seen.0.iter().filter(|switch| switch.on).map(|switch| switch.at_s / MINUTE).collect();
    assert_abs_diff_eq!(starts[2] - starts[1], 2.1301, epsilon = 1e-4);
    assert!(router.imbalance_m3().abs() < 1e-13);
}

#[test]
fn identity_a_power_cut_fills_the_room_while_the_storm_builds() {
    // 27 in of a 24 in basin, inflow 3 gal/min per minute: t = √(2V/k)
    let system = one_pump(round(24.0), constant(40.0));
    let marks = [Mark { store: 0, level: at(48.0) }];
    let mut router = Router::new(&system, &[at(21.0)], &marks, fine()).unwrap();
    router.power(false, &mut Switches::default());
    follow(&mut router, &[(0.0, 0.0), (10.0, 30.0)], 10.0, &mut Switches::default());
    assert_abs_diff_eq!(router.seen(0).first_s.unwrap() / MINUTE, 5.9373, epsilon = 1e-4);
}

#[test]
fn identity_what_does_not_fit_is_refused() {
    let system = one_pump(round(24.0), constant(40.0));
    let mut router = Router::new(&system, &[at(9.0)], &[], fine()).unwrap();
    let bad = Forcing { inflow: vec![(f64::NAN, 0.0)], table: Vec::new() };
    assert_eq!(router.run(1.0, &bad, &mut Switches::default()), Err(RoutingError::BadForcing));
    assert_eq!(router.run(1.0, &Forcing::default(), &mut Switches::default()), Err(RoutingError::BadForcing));
    let mut wrong = system.clone();
    wrong.station = Some(station((9.0, 21.0), None, constant(1.0), constant(1.0)));
    assert!(matches!(Router::new(&wrong, &[], &[], fine()), Err(RoutingError::BadStation)));
}
