//! Float-switched pumps with closed solutions, beside those in `tests/cases/routing.toml`. The figures are arithmetic,
//! none is this program's own output.

use crate::quantity::{Flow, Length, Level, Volume};
use crate::routing::{Floats, Forcing, Mark, Rating, Router, RoutingError, StageStorage, Station, System, Unwatched};
use approx::assert_abs_diff_eq;

const MINUTE: f64 = 60.0;
const INCH: f64 = 0.0254;

fn gpm(value: f64) -> f64 {
    Flow::from_gpm(value).m3s()
}

/// Inflow in gal/min straight between minutes.
fn follow(router: &mut Router<'_>, inflow: &[(f64, f64)], until: f64) {
    let end = inflow.last().copied().unwrap_or((0.0, 0.0));
    let mut points = inflow.to_vec();
    points.push((until, end.1));
    for pair in points.windows(2) {
        let length = (pair[1].0 - pair[0].0) * MINUTE;
        if length > 0.0 {
            let slope = (gpm(pair[1].1) - gpm(pair[0].1)) / length;
            let forcing = Forcing { inflow: vec![(gpm(pair[0].1), slope)], table: Vec::new() };
            router.run(length, &forcing, &mut Unwatched).unwrap();
        }
    }
}

fn at(inch: f64) -> Level {
    Level::from_m(inch * INCH)
}

/// A 24 in basin with a pump of 40 gal/min.
fn one_pump(on: f64, off: f64) -> System {
    let rating = Rating::constant(Flow::from_gpm(40.0));
    System {
        stores: vec![StageStorage::prism(at(0.0), Length::from_inch(24.0).circle()).unwrap()],
        paths: Vec::new(),
        station: Some(Station {
            store: 0,
            lead: Floats { on: at(on), off: at(off) },
            lag: None,
            first: rating.clone(),
            second: rating.clone(),
            both: rating,
            drain_back: Volume::ZERO,
        }),
        seeps: Vec::new(),
    }
}

fn fine() -> Length {
    Length::from_m(1e-8)
}

#[test]
fn identity_a_year_of_equal_cycles_is_counted_and_not_followed() {
    let system = one_pump(21.0, 9.0);
    let mut router = Router::new(&system, &[at(9.0)], &[], fine()).unwrap();
    follow(&mut router, &[(0.0, 15.0)], 525_600.0);
    assert!(router.steps() < 200, "{} steps", router.steps());
    assert!(router.imbalance_m3().abs() < 1e-9 * router.totals().pumped_m3);
}

#[test]
fn identity_a_power_cut_fills_the_room_while_the_storm_builds() {
    // 27 in of a 24 in basin, inflow 3 gal/min per minute: t = √(2V/k)
    let system = one_pump(21.0, 9.0);
    let marks = [Mark { store: 0, level: at(48.0) }];
    let mut router = Router::new(&system, &[at(21.0)], &marks, fine()).unwrap();
    router.power(false, &mut Unwatched);
    follow(&mut router, &[(0.0, 0.0), (10.0, 30.0)], 10.0);
    assert_abs_diff_eq!(router.seen(0).first_s.unwrap() / MINUTE, 5.9373, epsilon = 1e-4);
}

#[test]
fn identity_what_does_not_fit_is_refused() {
    let system = one_pump(21.0, 9.0);
    let mut router = Router::new(&system, &[at(9.0)], &[], fine()).unwrap();
    let bad = Forcing { inflow: vec![(f64::NAN, 0.0)], table: Vec::new() };
    assert_eq!(router.run(1.0, &bad, &mut Unwatched), Err(RoutingError::BadForcing));
    assert_eq!(router.run(1.0, &Forcing::default(), &mut Unwatched), Err(RoutingError::BadForcing));
    assert!(matches!(Router::new(&one_pump(9.0, 21.0), &[], &[], fine()), Err(RoutingError::BadStation)));
}
