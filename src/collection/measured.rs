//! What can be found out on the site: with a watch and a rule in a pit, in a test hole, beside a puddle.

use crate::quantity::{Area, Duration, Flow, Length, RainDepth, Real, Velocity, Volume};

/// The inflow from the rise of the water in a pit with no pump running: area x rise / time. The time must be above zero.
pub fn inflow_from_rise<N: Real>(plan: Area<N>, rise: Length<N>, over: Duration<N>) -> Flow<N> {
    plan * rise / over
}

/// A pump's flow from the fall of the water while it runs: area x drop / time, with the inflow that it pumped as well.
/// The time must be above zero.
pub fn pump_rate_from_pump_down<N: Real>(
    plan: Area<N>,
    drop: Length<N>,
    over: Duration<N>,
    inflow: Flow<N>,
) -> Flow<N> {
    plan * drop / over + inflow
}

/// The inflow from the time that a pump rests between a stop and the next start: the volume between the floats, less
/// what runs back, over that time. The time must be above zero.
pub fn inflow_from_pump_times<N: Real>(volume_between_floats: Volume<N>, rest: Duration<N>) -> Flow<N> {
    volume_between_floats / rest
}

/// Where [`inverse_auger_hole`] is from.
pub const INVERSE_AUGER_HOLE_SOURCE: &str = "inverse auger-hole (Porchet) method, from memory";

/// The conductivity of the ground above the water table, from the fall of the water in a test hole that was kept full
/// until the ground was wet: K = (r/2) ln((h0 + r/2)/(h1 + r/2))/t.
///
/// Water leaves through the bottom and the wetted wall under a gradient of one; depths are above the bottom of the hole.
/// All above zero but the depths, which may be zero. Nothing where the water stays, less than nothing where it rises.
/// Source: Porchet's method, from memory; with log10 it is written with 1.15 r for r/2.
pub fn inverse_auger_hole<N: Real>(
    radius: Length<N>,
    start_depth: Length<N>,
    end_depth: Length<N>,
    over: Duration<N>,
) -> Velocity<N> {
    let half = radius.m() / 2.0;
    let fall = ((start_depth.m() + half) / (end_depth.m() + half)).ln();
    Velocity::from_ms(half * fall / over.s())
}

/// The share of a rain that ran into a puddle: its volume over what fell on the ground that drains to it.
///
/// A lower bound of the runoff coefficient where the puddle lost water before it was measured. The rain and the area
/// must be above zero.
pub fn runoff_share<N: Real>(puddle: Volume<N>, rain: RainDepth<N>, area: Area<N>) -> N {
    puddle / (area * Length::from(rain))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    #[test]
    fn each_measurement_by_hand() {
        let (plan, rise) = (Area::from_m2(0.5), Length::from_m(0.1));
        // 0.5 m2 x 0.1 m in 100 s
        assert_relative_eq!(inflow_from_rise(plan, rise, Duration::from_s(100.0)).m3s(), 5e-4, max_relative = 1e-13);
        // the same drop, and 2e-4 m3/s that came in meanwhile
        let pump = pump_rate_from_pump_down(plan, rise, Duration::from_s(100.0), Flow::from_m3s(2e-4));
        assert_relative_eq!(pump.m3s(), 7e-4, max_relative = 1e-13);
        // 0.05 m3 in 250 s
        let rest = inflow_from_pump_times(Volume::from_m3(0.05), Duration::from_s(250.0));
        assert_relative_eq!(rest.m3s(), 2e-4, max_relative = 1e-13);
        // r 0.1 m, from 0.45 to 0.2 m in 1000 s: 0.05 x ln(0.5/0.25)/1000 = 3.465736e-5 m/s
        let m = Length::from_m;
        let k = inverse_auger_hole(m(0.1), m(0.45), m(0.2), Duration::from_s(1000.0));
        assert_relative_eq!(k.ms(), 3.465_735_903e-5, max_relative = 1e-9);
        // 1 m3 of the 20 mm that fell on 100 m2
        let share = runoff_share(Volume::from_m3(1.0), RainDepth::from_mm(20.0), Area::from_m2(100.0));
        assert_relative_eq!(share, 0.5, max_relative = 1e-13);
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn identity_a_pump_run_and_a_rest_balance(plan in 0.05..3.0_f64, inflow in 0.1..50.0_f64, beyond in 0.1..50.0_f64, drop in 0.05..2.0_f64) {
            // the water falls by what the pump takes beyond the inflow
            let (plan, drop) = (Area::from_m2(plan), Length::from_m(drop));
            let (inflow, pump) = (Flow::from_gpm(inflow), Flow::from_gpm(inflow + beyond));
            let (run, rest) = (plan * drop / (pump - inflow), plan * drop / inflow);
            assert_relative_eq!(pump_rate_from_pump_down(plan, drop, run, inflow).gpm(), pump.gpm(), max_relative = 1e-9);
            assert_relative_eq!(inflow_from_rise(plan, drop, rest).gpm(), inflow.gpm(), max_relative = 1e-9);
            assert_relative_eq!(inflow_from_pump_times(plan * drop, rest).gpm(), inflow.gpm(), max_relative = 1e-9);
        }

        #[test]
        fn identity_the_auger_hole_has_no_scale(radius in 0.02..0.2_f64, start in 0.0..2.0_f64, share in 0.0..1.0_f64, minutes in 1.0..500.0_f64, scale in 0.1..10.0_f64) {
            let hole = |scale: f64, share: f64| {
                let m = |value: f64| Length::from_m(value * scale);
                inverse_auger_hole(m(radius), m(start), m(start * share), Duration::from_min(minutes * scale)).ms()
            };
            prop_assert!(hole(1.0, share).is_finite() && hole(1.0, share) >= 0.0);
            // all lengths and the time alike: the same ground
            assert_relative_eq!(hole(scale, share), hole(1.0, share), max_relative = 1e-9, epsilon = 1e-18);
            // the further it falls, the more the ground takes
            prop_assert!(hole(1.0, share * 0.9) >= hole(1.0, share));
            prop_assert!(hole(1.0, 1.0).abs() < 1e-18);
        }

        #[test]
        fn identity_a_puddle_of_all_the_rain_is_all_of_it(rain in 0.1..10.0_f64, area in 1.0..1e5_f64, share in 0.0..1.0_f64) {
            let (rain, area) = (RainDepth::from_inch(rain), Area::from_ft2(area));
            assert_relative_eq!(runoff_share(area * Length::from(rain) * share, rain, area), share, max_relative = 1e-12);
        }
    }
}
