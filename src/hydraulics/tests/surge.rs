use crate::hydraulics::surge::*;
use crate::quantity::{Density, Duration, Head, Length, Pressure, Velocity};
use approx::assert_relative_eq;
use std::f64::consts::FRAC_PI_4;

/// K D / (E t) = 2.2e9 x 0.05 / (3e9 x 0.004) = 9.166667; √(2.2e6 / 10.166667) = 465.1811 m/s.
#[test]
fn identity_wave_speed_and_surge_by_hand() {
    let density = Density::from_kgm3(1000.0);
    let wave = wave_speed(
        Pressure::from_pa(2.2e9),
        density,
        Pressure::from_pa(3e9),
        Length::from_m(0.05),
        Length::from_m(0.004),
    );
    assert_relative_eq!(wave.ms(), 465.181_085_8, max_relative = 1e-9);
    // 1000 x 465.1811 x 2
    assert_relative_eq!(joukowsky(density, wave, Velocity::from_ms(2.0)).pa(), 930_362.171_7, max_relative = 1e-9);
    assert_relative_eq!(critical_time(Length::from_m(100.0), Velocity::from_ms(400.0)).s(), 0.5);
    // 2 x 1000 x (60 x 1.5 + 40 x 2) / 4
    let slow = surge_of_slow_stop(density, 60.0 * 1.5 + 40.0 * 2.0, Duration::from_s(4.0));
    assert_relative_eq!(slow.pa(), 85_000.0, max_relative = 1e-12);
}

/// Steel and water by the textbooks: about 1200 to 1400 m/s in thin steel pipe; PVC of ratio 26 about 1 100 ft/s in the
/// handbooks of PVC pipe (a = 4660 / √(1 + 300000 x 24 / 400000) = 1069 ft/s): from memory.
#[test]
fn published_wave_speed_in_pvc() {
    let wave = wave_speed(
        BULK_MODULUS,
        Density::from_kgm3(999.0),
        Pressure::from_psi(400_000.0),
        Length::from_inch(24.0),
        Length::from_inch(1.0),
    );
    assert_relative_eq!(wave.ms() / 0.3048, 1_069.0, max_relative = 0.02);
}

/// Slower than the critical time in proportion, never more than at once.
#[test]
fn identity_slow_stops_by_hand() {
    let instant = Pressure::from_pa(8e5);
    for (stops_in, surge) in [(0.1, 8e5), (0.5, 8e5), (1.0, 4e5), (5.0, 8e4)] {
        let found = surge_of_stop(instant, Duration::from_s(0.5), Duration::from_s(stops_in));
        assert_relative_eq!(found.pa(), surge, max_relative = 1e-12);
    }
}

/// L V / (g h) times atan(√r)/√r. r = 1: π/4; r = 1/4: atan(1/2) x 2 = 0.9272952. 10 m at 2 m/s under 4 m: 20 / 39.2266.
#[test]
fn identity_running_on_by_hand() {
    let time = |velocity: f64, lift: f64, loss: f64| {
        run_on_time(Length::from_m(10.0), Velocity::from_ms(velocity), Head::from_m(lift), Head::from_m(loss))
            .map(Duration::s)
    };
    let free = 20.0 / 39.2266;
    assert_relative_eq!(time(2.0, 4.0, 4.0).unwrap(), free * FRAC_PI_4, max_relative = 1e-9);
    assert_relative_eq!(time(2.0, 4.0, 1.0).unwrap(), free * 0.927_295_218, max_relative = 1e-8);
    // what gains head instead of losing it does not slow the water
    assert_relative_eq!(time(2.0, 4.0, -1.0).unwrap(), free, max_relative = 1e-9);
    // just as much friction as makes no difference, and just more
    for loss in [3.9e-12, 4.1e-12] {
        assert_relative_eq!(time(2.0, 4.0, loss).unwrap(), free, max_relative = 1e-9);
    }
    for none in [time(2.0, 0.0, 1.0), time(2.0, -1.0, 1.0), time(0.0, 4.0, 1.0), time(-1.0, 4.0, 1.0)] {
        assert_eq!(none, None);
    }
}

/// 75 / √1000 = 2.371708 m/s; in feet and pounds the paper's 60 √v: 60 / √62.4 = 7.6 ft/s, of which this is a form.
#[test]
fn published_velocity_that_opens_a_swing_check() {
    let opening = opening_velocity(75.0, Density::from_kgm3(1000.0));
    assert_relative_eq!(opening.ms(), 2.371_708_2, max_relative = 1e-7);
    assert_relative_eq!(opening.ms() / 0.3048, 60.0 / f64::sqrt(62.4), max_relative = 0.05);
}
