//! Peak flow by the rational method, `Q = C i A`.
//!
//! The quantities are in SI, so the product carries its exact factor by itself: 1/360 for m³/s from mm/h and hectares,
//! 1.00833 for ft³/s from in/h and acres. Published US examples usually take that factor as 1 and read 0.83 % less.

use super::rainfall::{Rain, RainError};
use crate::quantity::{Area, Duration, Flow, Intensity, Measure, Real, ReturnPeriod};
use crate::working::Working;

/// How much more another duration must bring before it counts as more than rounding.
const CLEARLY_MORE: f64 = 1.0 + 1e-12;

/// The runoff coefficient of several surfaces together, weighted by area.
///
/// None without area, or where a value is negative or not a number.
pub fn composite_coefficient(parts: &[(f64, Area)]) -> Option<f64> {
    let usable = |value: f64| value.is_finite() && value >= 0.0;
    let total: Area = parts.iter().map(|part| part.1).sum();
    if !parts.iter().all(|&(coefficient, area)| usable(coefficient) && usable(area.m2())) || total <= Area::ZERO {
        return None;
    }
    let contributing: Area = parts.iter().map(|&(coefficient, area)| area * coefficient).sum();
    Some(contributing / total)
}

/// The factor on a runoff coefficient for a rare storm, from a table of return period and factor.
///
/// 1 below the first row, straight in the logarithm of the period between rows, the last row's factor above it (the
/// published table, Dhakal et al. (2013) table 3, gives nothing between its rows or beyond 100 years). An empty table
/// gives 1. Not a number where the period is not.
///
/// Not for a coefficient that was tabulated for the return period already.
pub fn frequency_factor(table: &[(ReturnPeriod, f64)], period: ReturnPeriod) -> f64 {
    let years = period.years();
    if years.is_nan() {
        return f64::NAN;
    }
    let below = table.iter().filter(|row| row.0.years() <= years).max_by(|a, b| a.0.years().total_cmp(&b.0.years()));
    let above = table.iter().filter(|row| row.0.years() > years).min_by(|a, b| a.0.years().total_cmp(&b.0.years()));
    match (below, above) {
        (None, _) => 1.0,
        (Some(&(_, factor)), None) => factor,
        (Some(&(before, low)), Some(&(after, high))) => {
            let share = libm::log(years / before.years()) / libm::log(after.years() / before.years());
            low + (high - low) * share
        }
    }
}

/// A runoff coefficient times its frequency factor, never above 1. Not a number where an input is not.
pub fn adjusted_coefficient(coefficient: f64, factor: f64) -> f64 {
    let product = coefficient * factor;
    if product > 1.0 { 1.0 } else { product }
}

/// A surface that sends runoff.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Contribution {
    /// Runoff coefficient for the storm in question, 0 to 1: frequency factor and cap are in it already.
    pub coefficient: f64,
    /// Its area.
    pub area: Area,
    /// Its own time of concentration.
    pub time: Duration,
}

/// The peak flow of several surfaces, and which rain brings it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PeakFlow {
    /// The peak flow.
    pub flow: Flow,
    /// The duration of the rain that brings it.
    pub duration: Duration,
    /// The intensity of that rain.
    pub intensity: Intensity,
    /// The area, weighted by coefficient, that sends its runoff within that duration: `Σ C A min(1, t/tc)`.
    pub contributing: Area,
    /// The longest time of concentration.
    pub whole_area_time: Duration,
    /// The flow with everything contributing, at the longest time of concentration.
    pub whole_area_flow: Flow,
    /// Whether a shorter rain on the early part of the area brings more than the longest one on all of it.
    pub early_part_governs: bool,
}

impl PeakFlow {
    /// No rain, or nothing that sends any.
    pub fn none() -> Self {
        Self {
            flow: Flow::ZERO,
            duration: Duration::ZERO,
            intensity: Intensity::ZERO,
            contributing: Area::ZERO,
            whole_area_time: Duration::ZERO,
            whole_area_flow: Flow::ZERO,
            early_part_governs: false,
        }
    }
}

/// The share of a surface that contributes within `duration`, as weighted area.
fn contributing(parts: &[Contribution], duration: Duration) -> Area {
    parts.iter().map(|part| part.area * part.coefficient * (duration / part.time).min(1.0)).sum()
}

/// The surfaces that send any runoff.
///
/// # Errors
///
/// A coefficient or area that is negative or not a number, a time that is not above zero.
fn sending(parts: &[Contribution]) -> Result<Vec<Contribution>, RainError> {
    let usable = |value: f64| value.is_finite() && value >= 0.0;
    let mut sending = Vec::with_capacity(parts.len());
    for (index, part) in parts.iter().enumerate() {
        if !(usable(part.coefficient) && usable(part.area.m2()) && usable((part.area * part.coefficient).m2())) {
            return Err(RainError::Contribution { part: index + 1 });
        }
        if part.coefficient > 0.0 && part.area > Area::ZERO {
            if !(part.time.is_finite() && part.time > Duration::ZERO) {
                return Err(RainError::Contribution { part: index + 1 });
            }
            sending.push(*part);
        }
    }
    Ok(sending)
}

/// The durations among which the governing one is.
///
/// With `A(t) = Σ C A min(1, t/tc)`, between two neighbouring times of concentration `A(t) = p + q t` with `p`, `q`
/// at least 0. Below the shortest one `p = 0` and `Q` follows the depth, which never falls; above the longest one
/// `q = 0` and `Q` follows the intensity, which never rises. In between:
///
/// - table: between neighbouring durations `i = k t^-m` with `m` from 0 to 1, and `dQ/dt` has the sign of
///   `(1 - m) q t - m p`, which changes at most once and from falling to rising: no maximum inside;
/// - formula: `dQ/dt` has the sign of `q b - c p + q t (1 - c)`. With `c <= 1` it too changes from falling to rising;
///   with `c > 1` from rising to falling, and the maximum is at `t = (q b - c p) / (q (c - 1))`;
/// - constant: `Q` never falls.
///
/// So the maximum is at a time of concentration, at a duration of the table, or at that stationary point.
fn candidates(parts: &[Contribution], rain: &Rain, shortest: Duration, longest: Duration) -> Vec<Duration> {
    let mut times: Vec<Duration> = parts.iter().map(|part| part.time).collect();
    times.sort_by(|one, other| one.s().total_cmp(&other.s()));
    times.dedup();
    match rain {
        Rain::Table(table) => {
            let inside = |duration: &Duration| *duration > shortest && *duration < longest;
            times.extend(table.points().iter().map(|point| point.0).filter(inside));
        }
        Rain::Formula { b, c, .. } if *c > 1.0 => {
            let stationary: Vec<Duration> = times
                .iter()
                .zip(times.iter().skip(1))
                .filter_map(|(&from, &to)| {
                    let steady: f64 = parts
                        .iter()
                        .filter(|part| part.time <= from)
                        .map(|part| (part.area * part.coefficient).m2())
                        .sum();
                    let growing: f64 = parts
                        .iter()
                        .filter(|part| part.time > from)
                        .map(|part| (part.area * part.coefficient).m2() / part.time.s())
                        .sum();
                    let at = Duration::from_s((growing * b.s() - c * steady) / (growing * (c - 1.0)));
                    (at > from && at < to).then_some(at)
                })
                .collect();
            times.extend(stationary);
        }
        Rain::Formula { .. } | Rain::Constant(_) => {}
    }
    times
}

/// The largest flow that any duration of the rain brings: `Q = max over t of i(t) Σ C A min(1, t/tc)`.
///
/// Each surface contributes in proportion to the time it has had, up to its own time of concentration. Without a
/// surface that sends runoff the flow is nothing.
///
/// # Errors
///
/// [`RainError::Contribution`] for a surface that is not described by numbers, [`RainError::OutsideTable`] where the
/// rain is not known for one of the times of concentration.
pub fn peak_flow(parts: &[Contribution], rain: &Rain) -> Result<PeakFlow, RainError> {
    let parts = sending(parts)?;
    let time = |pick: fn(Duration, Duration) -> Duration| parts.iter().map(|part| part.time).reduce(pick);
    let (Some(shortest), Some(longest)) = (time(Duration::min), time(Duration::max)) else {
        return Ok(PeakFlow::none());
    };
    let intensity = rain.intensity(longest)?;
    let area = contributing(&parts, longest);
    let whole = PeakFlow {
        flow: intensity * area,
        duration: longest,
        intensity,
        contributing: area,
        whole_area_time: longest,
        whole_area_flow: intensity * area,
        early_part_governs: false,
    };
    let mut peak = whole;
    for duration in candidates(&parts, rain, shortest, longest) {
        let intensity = rain.intensity(duration)?;
        let contributing = contributing(&parts, duration);
        let flow = intensity * contributing;
        if flow > peak.flow * CLEARLY_MORE {
            peak = PeakFlow { flow, duration, intensity, contributing, early_part_governs: true, ..whole };
        }
    }
    Ok(peak)
}

/// [`peak_flow`], showing the flow at the governing duration `t`: the intensity `i`, each surface's `CA` and their
/// sum, and `Q = i CA`. Surfaces are numbered from 1 in the order given.
///
/// # Errors
///
/// As [`peak_flow`].
pub fn peak_flow_worked<W: Working>(
    working: &mut W,
    parts: &[Contribution],
    rain: &Rain,
) -> Result<(PeakFlow, Flow<W::N>), RainError> {
    let peak = peak_flow(parts, rain)?;
    if peak.duration <= Duration::ZERO {
        return Ok((peak, Flow::from_si(W::N::from(0.0))));
    }
    let duration = working.given("t", peak.duration);
    let intensity = rain.intensity_of_named(working, duration)?;
    let mut total: Option<Area<W::N>> = None;
    for (index, part) in (1..).zip(parts) {
        if part.coefficient <= 0.0 || part.area <= Area::ZERO {
            continue;
        }
        let coefficient = working.given(("C", index), part.coefficient);
        let area = working.given(("A", index), part.area);
        let time = working.given(("tc", index), part.time);
        let share = (duration / time).least(W::N::from(1.0));
        let area = working.step(
            ("CA", index),
            "area that contributes within t, weighted by its runoff coefficient",
            "rational method; share of the area in proportion to time",
            area * coefficient * share,
        );
        total = Some(total.map_or(area, |total| total + area));
    }
    let total = total.unwrap_or(Area::from_si(W::N::from(0.0)));
    let total = working.step("CA", "sum of the weighted areas", "rational method", total);
    let flow = working.step("Q", "peak flow", "rational method, Q = C i A, exact in SI", intensity * total);
    Ok((peak, flow))
}
