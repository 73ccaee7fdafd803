//! How the water table falls beside a drain and between drains, by diffusion with a = K D / S.

use crate::numeric::bracketed_root;
use crate::quantity::{Duration, Length, Real, Velocity};
use std::f64::consts::PI;

/// Where [`drawdown_left`] and [`reach_after`] are from.
pub const DRAWDOWN_SOURCE: &str =
    "line drain: s = s0 erfc(x/√(4 a t)), McWhorter and Sunada 1977; reach √(π a t) derived from it";
/// Where the falling table between drains is from.
pub const FALLING_TABLE_SOURCE: &str = "Glover and Dumm, US Bureau of Reclamation: series for drains opened at once";

/// Below this scaled time the sums are taken in their form for early times; both hold to twelve digits here.
const EARLY: f64 = 0.01;

/// a = K D / S, m²/s.
fn diffusivity_m2s(conductivity: Velocity, saturated_depth: Length, drainable_porosity: f64) -> f64 {
    conductivity.ms() * saturated_depth.m() / drainable_porosity
}

/// The distance out to which a drain has lowered the table after a time, as the distance of a steady flow that brings as
/// much water: √(π a t), a = K D / S.
///
/// A long drain that holds the table down by s0 lowers it by s = s0 erfc(x/√(4 a t)) at a distance x. At the drain that
/// falls off as s0/√(π a t), so that K D s0/√(π a t) flows in on each side, as it would in a steady flow over that
/// distance. Before rain or another drain sets a limit, the reach goes on growing. Conductivity, depth and time zero or
/// above, the drainable porosity above zero and at most 1; not a number where it is zero with no conductivity or depth,
/// or an input is negative. Source: see [`DRAWDOWN_SOURCE`].
pub fn reach_after(
    conductivity: Velocity,
    saturated_depth: Length,
    drainable_porosity: f64,
    after: Duration,
) -> Length {
    let a_m2s = diffusivity_m2s(conductivity, saturated_depth, drainable_porosity);
    Length::from_m((PI * a_m2s * after.s()).sqrt())
}

/// How much of the drain's own drawdown is felt at a distance from it after a time: erfc(x/√(4 a t)), 1 at the drain.
///
/// Ranges as for [`reach_after`]; 1 for a distance that is not above zero. Source: see [`DRAWDOWN_SOURCE`].
pub fn drawdown_left(
    distance: Length,
    conductivity: Velocity,
    saturated_depth: Length,
    drainable_porosity: f64,
    after: Duration,
) -> f64 {
    if distance <= Length::ZERO {
        return 1.0;
    }
    let a_m2s = diffusivity_m2s(conductivity, saturated_depth, drainable_porosity);
    libm::erfc(distance.m() / (4.0 * a_m2s * after.s()).sqrt())
}

/// The share of the drainable water that is still there between parallel drains, at the scaled time τ = a t/L² with L
/// the spacing, after the table stood level and the drains were opened at once:
/// 8/π² Σ exp(-n²π²τ)/n² over odd n.
///
/// 1 at a time of zero or below. Source: R. E. Glover, US Bureau of Reclamation.
pub fn drainable_share_left(tau: f64) -> f64 {
    if tau <= 0.0 {
        return 1.0;
    }
    if tau < EARLY {
        // each drain still drains as if it were alone
        return 1.0 - 4.0 * (tau / PI).sqrt();
    }
    odd_terms(tau, |n, _| 1.0 / (n * n)) * 8.0 / (PI * PI)
}

/// The height of the table midway between parallel drains, as a share of what it was, at the scaled time τ = a t/L²:
/// 4/π Σ ±exp(-n²π²τ)/n over odd n.
///
/// 1 at a time of zero or below. Source: Glover and Dumm, US Bureau of Reclamation, from memory; the solution of the
/// diffusion equation for a level start.
pub fn mid_height_left(tau: f64) -> f64 {
    if tau <= 0.0 {
        return 1.0;
    }
    if tau < EARLY {
        // the first of each drain's effect, with no other between
        return 1.0 - 2.0 * libm::erfc(0.25 / tau.sqrt());
    }
    odd_terms(tau, |n, sign| sign / n) * 4.0 / PI
}

/// Σ weight(n, ±1) exp(-n²π²τ) over odd n, for a scaled time that is not early.
fn odd_terms(tau: f64, weight: impl Fn(f64, f64) -> f64) -> f64 {
    let term = |step: u32| {
        let n = 2.0 * f64::from(step) + 1.0;
        weight(n, if step.is_multiple_of(2) { 1.0 } else { -1.0 }) * libm::exp(-n * n * PI * PI * tau)
    };
    // at the earliest time the tenth term is e^-35
    (0..10).map(term).sum()
}

/// The first term of the height midway between drains: factor x exp(-π²τ), good from τ = 0.1 on.
///
/// The factor is 4/π for a table that starts level, 1.16 for one that starts as a parabola of the fourth degree (L. D.
/// Dumm, from memory).
pub fn mid_height_first_term<N: Real>(factor: N, tau: N) -> N {
    factor * (-tau * (PI * PI)).exp()
}

/// The time in which the table midway between parallel drains falls to a share of its height above them: the inverse of
/// [`mid_height_left`].
///
/// None where the share is not above 0 and at most 1, or another input is not above zero.
pub fn time_to_mid_height(
    share: f64,
    conductivity: Velocity,
    saturated_depth: Length,
    drainable_porosity: f64,
    spacing: Length,
) -> Option<Duration> {
    let a_m2s = diffusivity_m2s(conductivity, saturated_depth, drainable_porosity);
    let positive = [conductivity.ms(), saturated_depth.m(), drainable_porosity, spacing.m(), a_m2s, share];
    if !positive.iter().all(|value| value.is_finite() && *value > 0.0) || share > 1.0 {
        return None;
    }
    // the terms alternate and shrink, so that the first alone says a little too late
    let late = libm::log(4.0 / (PI * share)) / (PI * PI) * (1.0 + 1e-9);
    let tau = bracketed_root(0.0, late, 0.0, |tau| mid_height_left(tau) - share).ok()?.x;
    let time = Duration::from_s(tau * spacing.m() * spacing.m() / a_m2s);
    time.is_finite().then_some(time)
}

/// The spacing of drains that lets the table midway fall from one height above them to another in a time:
/// √(9 K t d/(f (ln(m0 (m + 2d)) - ln(m (m0 + 2d))))), d the equivalent depth, f the drainable porosity.
///
/// Half of it is the reach of one drain to one side. None where the table does not fall, or an input is not above zero.
/// Source: J. van Schilfgaarde (1963), as used by NRCS and for setbacks from wetlands.
pub fn spacing_for_fall(
    conductivity: Velocity,
    equivalent_depth: Length,
    drainable_porosity: f64,
    from: Length,
    to: Length,
    within: Duration,
) -> Option<Length> {
    let (k_ms, d_m, from_m, to_m) = (conductivity.ms(), equivalent_depth.m(), from.m(), to.m());
    let positive = [k_ms, d_m, drainable_porosity, from_m, to_m, within.s()];
    if !positive.iter().all(|value| value.is_finite() && *value > 0.0) || from_m <= to_m {
        return None;
    }
    let fall = libm::log(from_m / to_m) + libm::log((to_m + 2.0 * d_m) / (from_m + 2.0 * d_m));
    let square = 9.0 * k_ms * within.s() * d_m / (drainable_porosity * fall);
    (square.is_finite() && square > 0.0).then(|| Length::from_m(square.sqrt()))
}
