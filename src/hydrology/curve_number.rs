//! Runoff depth by the NRCS curve number. It has no clock: use it on the rain fallen since the storm began.

use crate::quantity::factor::INCH;
use crate::quantity::{Area, Measure, RainDepth, Real};
use crate::working::{Silent, Working};

/// Whether a curve number means anything.
fn is_curve_number(curve_number: f64) -> bool {
    curve_number > 0.0 && curve_number <= 100.0
}

/// The most that the ground can keep once runoff has begun: `1000/CN - 10` inches.
///
/// Not a number unless `0 < CN <= 100`. Source: TR-55 (1986) eq. 2-4.
pub fn potential_retention<N: Real>(curve_number: N) -> RainDepth<N> {
    if !is_curve_number(curve_number.value()) {
        return RainDepth::from_si(N::from(f64::NAN));
    }
    RainDepth::from_si((N::from(1000.0) / curve_number - 10.0) * INCH)
}

/// Rain that falls before any runs off: a fifth of the potential retention, the ratio that the published curve
/// numbers belong to.
///
/// Source: TR-55 (1986) eq. 2-2.
pub fn initial_abstraction<N: Real>(retention: RainDepth<N>) -> RainDepth<N> {
    retention * N::from(0.2)
}

/// Depth of runoff from a depth of rain: `(P - 0.2 S)² / (P + 0.8 S)`, nothing up to `0.2 S`.
///
/// Not a number unless `0 < CN <= 100` and the rain is a number. Source: TR-55 (1986) eq. 2-3.
pub fn runoff_depth<N: Real>(rain: RainDepth<N>, curve_number: N) -> RainDepth<N> {
    runoff_over(rain, potential_retention(curve_number))
}

/// [`runoff_depth`] by the potential retention.
fn runoff_over<N: Real>(rain: RainDepth<N>, retention: RainDepth<N>) -> RainDepth<N> {
    let excess = rain - initial_abstraction(retention);
    let known = excess.m().value();
    if known.is_nan() {
        return excess;
    }
    if known <= 0.0 {
        return RainDepth::from_si(N::from(0.0));
    }
    excess * (excess / (excess + retention))
}

/// The share of a burst of rain that runs off by curve number, after the rain before it: `(Q(Pb + Pt) - Q(Pb)) / Pt`.
///
/// A curve number has no clock, so the rain before stands for the time of the storm. Nothing where the burst brings no
/// rain; not a number unless `0 < CN <= 100` and both depths are numbers. Source: TR-55 (1986) eq. 2-3 on cumulative rain.
pub fn coefficient_from_curve_number(curve_number: f64, before: RainDepth, burst: RainDepth) -> f64 {
    coefficient_from_curve_number_worked(&mut Silent, 1, curve_number, before, burst)
}

/// [`coefficient_from_curve_number`] of a surface by its number, showing how it was found.
pub fn coefficient_from_curve_number_worked<W: Working>(
    w: &mut W,
    number: usize,
    curve_number: f64,
    before: RainDepth,
    burst: RainDepth,
) -> W::N {
    if before.m().is_nan() || burst.m().is_nan() || !is_curve_number(curve_number) {
        return W::N::from(f64::NAN);
    }
    if burst <= RainDepth::ZERO {
        return W::N::from(0.0);
    }
    let curve_number = w.given(("CN", number), curve_number);
    let before = w.given(("Pb", number), before);
    let burst = w.given(("Pt", number), burst);
    let retention = potential_retention(curve_number);
    let retention = w.step(("Sr", number), "potential retention", "TR-55 (1986) eq. 2-4", retention);
    let earlier = runoff_over(before, retention);
    let earlier = w.step(("Qb", number), "runoff of the rain before the burst", "TR-55 (1986) eq. 2-3", earlier);
    let through = runoff_over(before + burst, retention);
    let through = w.step(("Qt", number), "runoff up to the end of the burst", "TR-55 (1986) eq. 2-3", through);
    w.step(
        ("C", number),
        "runoff coefficient by curve number",
        "share of the burst that runs off, the burst in the middle of a nested day's rain",
        (through - earlier) / burst,
    )
}

/// The curve number of several surfaces together, weighted by area and not rounded. (TR-55 rounds it to a whole
/// number before use.)
///
/// None without area, or where a value is negative, not a number or above 100.
pub fn composite_curve_number(parts: &[(f64, Area)]) -> Option<f64> {
    let valid = parts
        .iter()
        .all(|&(curve_number, area)| is_curve_number(curve_number) && area.is_finite() && area >= Area::ZERO);
    let total: Area = parts.iter().map(|part| part.1).sum();
    if !valid || total <= Area::ZERO {
        return None;
    }
    let weighted: Area = parts.iter().map(|&(curve_number, area)| area * curve_number).sum();
    Some(weighted / total)
}

/// The curve number of a surface of which a share (0 to 1) is paved and drains straight to the outlet:
/// `CNp + share (98 - CNp)`.
///
/// Source: NEH 630 chapter 9 (2004) eq. 9-1.
pub fn connected_impervious_curve_number(pervious: f64, paved_share: f64) -> f64 {
    pervious + paved_share * (98.0 - pervious)
}

/// The same where a share of the paving (`unconnected`, 0 to 1) drains over the pervious part first; for paved
/// shares below 0.3.
///
/// Source: NEH 630 chapter 9 (2004) eq. 9-2.
pub fn unconnected_impervious_curve_number(pervious: f64, paved_share: f64, unconnected: f64) -> f64 {
    pervious + paved_share * (98.0 - pervious) * (1.0 - 0.5 * unconnected)
}
