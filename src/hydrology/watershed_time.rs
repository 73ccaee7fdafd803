//! Published times of concentration of whole watersheds. They stand here for comparison: made for fields, airfields
//! and farm basins, they are not what a yard is sized with unless someone asks for one.

use super::curve_number::potential_retention;
use crate::quantity::{Duration, Length, Slope};

/// Kirpich: `0.0078 L^0.77 S^-0.385` minutes, with the length in feet.
///
/// Made on steep, channelled farm basins of 1 to 112 acres. NEH 630 chapter 15 (2010) eq. 15A-1 prints 0.007, which
/// gives 10 % less. Infinite where the slope is zero.
///
/// Source: constant 0.0078 from Chow, Maidment and Mays (1988) table 15.1.2 (from memory).
pub fn kirpich(length: Length, slope: Slope) -> Duration {
    Duration::from_min(0.0078 * libm::pow(length.ft(), 0.77) * libm::pow(slope.ratio(), -0.385))
}

/// The airfield equation: `1.8 (1.1 - C) L^(1/2) / S^(1/3)` minutes, length in feet, slope in percent.
///
/// Infinite where the slope is zero.
///
/// Source: FAA advisory circular on airport drainage, in Chow, Maidment and Mays (1988) table 15.1.2 (from memory).
pub fn faa(coefficient: f64, length: Length, slope: Slope) -> Duration {
    Duration::from_min(1.8 * (1.1 - coefficient) * length.ft().sqrt() / libm::cbrt(slope.percent()))
}

/// Time of concentration by the NRCS lag equation: `L^0.8 (S + 1)^0.7 / (1140 Y^0.5)` hours, with the length in feet,
/// the potential retention `S` in inches and the mean slope of the land `Y` (not of the path) in percent.
///
/// None outside curve numbers 50 to 95, for which it was not made.
///
/// Source: NEH 630 chapter 15 (2010) eq. 15-4b.
pub fn nrcs_lag_time_of_concentration(length: Length, curve_number: f64, land_slope: Slope) -> Option<Duration> {
    if !(50.0..=95.0).contains(&curve_number) {
        return None;
    }
    let retention_in = potential_retention(curve_number).inch();
    let hours =
        libm::pow(length.ft(), 0.8) * libm::pow(retention_in + 1.0, 0.7) / (1140.0 * land_slope.percent().sqrt());
    Some(Duration::from_h(hours))
}

/// The NRCS lag, from the middle of the rain to the peak: 0.6 of [`nrcs_lag_time_of_concentration`].
///
/// Source: NEH 630 chapter 15 (2010) eq. 15-3.
pub fn nrcs_lag(length: Length, curve_number: f64, land_slope: Slope) -> Option<Duration> {
    nrcs_lag_time_of_concentration(length, curve_number, land_slope).map(|time| time * 0.6)
}
