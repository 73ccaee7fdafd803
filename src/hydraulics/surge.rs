//! Surge: what the line sees when the water in it is stopped.
//!
//! A stop within the time in which the wave runs to the end and back (2 L / a) counts as instant, whatever closes;
//! a slower one is taken in proportion. In lines of yards that time is a fraction of a second.

use crate::quantity::factor::GRAVITY;
use crate::quantity::{Density, Duration, Head, Length, Pressure, Real, Velocity};

/// Where the formulas of surge are from.
pub const SURGE_SOURCE: &str = "Joukowsky 1898; wave speed in an elastic pipe by Korteweg 1878, bore over least wall";

/// Bulk modulus of water, 300 000 psi: what handbooks of PVC pipe take (from memory).
pub const BULK_MODULUS: Pressure = Pressure::from_psi(300_000.0);

/// The speed of a pressure wave: a = √(K/ρ) / √(1 + K D / (E t)), for a round pipe of bore D and wall t.
///
/// All above zero. A pipe with E without limit is rigid, and the wave runs at the speed of sound in the water.
pub fn wave_speed<N: Real>(
    bulk_modulus: Pressure<N>,
    density: Density<N>,
    elastic_modulus: Pressure<N>,
    bore: Length<N>,
    wall: Length<N>,
) -> Velocity<N> {
    let stiffness = bulk_modulus.pa() * bore.m() / (elastic_modulus.pa() * wall.m());
    Velocity::from_ms((bulk_modulus.pa() / density.kgm3() / (stiffness + 1.0)).sqrt())
}

/// The pressure of a sudden change of velocity: ρ a ΔV (Joukowsky).
pub fn joukowsky<N: Real>(density: Density<N>, wave_speed: Velocity<N>, change: Velocity<N>) -> Pressure<N> {
    Pressure::from_pa(density.kgm3() * wave_speed.ms() * change.ms())
}

/// The time in which the wave runs to the far end and back: 2 L / a.
pub fn critical_time<N: Real>(length: Length<N>, wave_speed: Velocity<N>) -> Duration<N> {
    Duration::from_s(length.m() * 2.0 / wave_speed.ms())
}

/// The surge of a stop that takes some time: that of an instant stop, times critical time over stopping time where
/// the stop is slower.
pub fn surge_of_stop<N: Real>(instant: Pressure<N>, critical: Duration<N>, stops_in: Duration<N>) -> Pressure<N> {
    Pressure::from_pa(instant.pa() * (critical.s() / stops_in.s()).least(N::from(1.0)))
}

/// The surge of a stop that is slower than the critical time, in a line of several pipes: what it takes to stop all of
/// the water evenly and as much again, 2 ρ Σ(L V) / t (Michaud 1878). In one pipe it is [`surge_of_stop`]. It acts at the
/// valve, and in none of the pipes more than that.
pub fn surge_of_slow_stop<N: Real>(
    density: Density<N>,
    length_times_velocity_m2s: N,
    stops_in: Duration<N>,
) -> Pressure<N> {
    Pressure::from_pa(density.kgm3() * length_times_velocity_m2s * 2.0 / stops_in.s())
}

/// How long the water in a line runs on after the pump has stopped: the column is slowed by the lift and by its own
/// friction, which falls with the square of the velocity. `loss` is the loss at the velocity before the stop.
///
/// From ∫ du / (g h/L + (loss/V²) g u²/L) over 0 to V: (L V / g h) atan(√r)/√r with r = loss / lift. `None` without lift
/// or without flow: then nothing but friction stops it.
///
/// Source: rigid column, as in Massey and Ward-Smith, Mechanics of Fluids, Example 12.1.
pub fn run_on_time(length: Length, velocity: Velocity, lift: Head, loss: Head) -> Option<Duration> {
    if lift <= Head::ZERO || velocity <= Velocity::ZERO {
        return None;
    }
    let root = (loss.max(Head::ZERO) / lift).sqrt();
    let slowed = if root > 1e-6 { libm::atan(root) / root } else { 1.0 };
    Some(Duration::from_s(length.m() * velocity.ms() / (GRAVITY * lift.m()) * slowed))
}

/// The velocity that holds the flap of a check valve open: N √(1/ρ), with N by the kind of valve (m/s, kg/m³).
///
/// Source: Technical Paper 410, Flow of Fluids (2009): N 45 for a swing check with an angled seat, 75 for a straight
/// one, 50 for a lift check.
pub fn opening_velocity<N: Real>(constant: N, density: Density<N>) -> Velocity<N> {
    Velocity::from_ms(constant * (N::from(1.0) / density.kgm3()).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn identity_a_slow_stop_never_surges_more() {
        let instant = Pressure::from_psi(90.0);
        let critical = Duration::from_s(0.2);
        for seconds in [0.001, 0.1, 0.2] {
            assert_eq!(surge_of_stop(instant, critical, Duration::from_s(seconds)), instant);
        }
        assert_relative_eq!(surge_of_stop(instant, critical, Duration::from_s(0.4)).psi(), 45.0, max_relative = 1e-12);
    }

    #[test]
    fn identity_in_one_pipe_both_slow_stops_are_one() {
        let (density, wave) = (Density::from_kgm3(999.0), Velocity::from_ms(430.0));
        let (length, velocity, stops_in) = (Length::from_m(41.0), Velocity::from_ms(1.5), Duration::from_s(0.7));
        let instant = joukowsky(density, wave, velocity);
        assert_relative_eq!(
            surge_of_slow_stop(density, length.m() * velocity.ms(), stops_in).pa(),
            surge_of_stop(instant, critical_time(length, wave), stops_in).pa(),
            max_relative = 1e-12
        );
    }

    #[test]
    fn crosscheck_run_on_time_against_small_steps() {
        // the integral of Massey's example by the midpoint rule
        let (length, velocity, lift, loss) = (90.0, 2.829, 8.0, 6.854);
        let steps = 20_000_u32;
        let du = velocity / f64::from(steps);
        let time: f64 = (0..steps)
            .map(|step| {
                let u = (f64::from(step) + 0.5) * du;
                du / (GRAVITY * (lift + loss * u * u / (velocity * velocity)) / length)
            })
            .sum();
        let exact =
            run_on_time(Length::from_m(length), Velocity::from_ms(velocity), Head::from_m(lift), Head::from_m(loss));
        assert_relative_eq!(exact.unwrap().s(), time, max_relative = 1e-6);
        let frictionless =
            run_on_time(Length::from_m(length), Velocity::from_ms(velocity), Head::from_m(lift), Head::ZERO);
        assert_relative_eq!(frictionless.unwrap().s(), length * velocity / GRAVITY / lift, max_relative = 1e-12);
        assert_eq!(
            run_on_time(Length::from_m(length), Velocity::from_ms(velocity), Head::ZERO, Head::from_m(loss)),
            None
        );
    }

    #[test]
    fn identity_a_rigid_pipe_carries_sound_at_the_waters_speed() {
        let rigid = wave_speed(
            Pressure::from_pa(2.22e9),
            Density::from_kgm3(998.0),
            Pressure::from_pa(1e30),
            Length::from_m(0.05),
            Length::from_m(0.004),
        );
        assert_relative_eq!(rigid.ms(), (2.22e9_f64 / 998.0).sqrt(), max_relative = 1e-12);
    }
}
