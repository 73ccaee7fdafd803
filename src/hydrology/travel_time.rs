//! How long water takes over a piece of its way: as a sheet, gathered in rills, in a channel.

use crate::quantity::factor::{FOOT, HOUR, INCH};
use crate::quantity::{Duration, Intensity, Length, Measure, RainDepth, Real, Slope, Velocity};

/// Time of sheet flow by the kinematic wave: `(n L / √S)^0.6 / i^0.4` in SI base units.
///
/// `roughness` is the overland one (0.24 for lawn), not a pipe's. `intensity` is that of the rain over the time of
/// concentration of the whole path. In minutes, metres and mm/h the constant of this exact form is 6.99, in
/// minutes, feet and in/h 0.94.
///
/// Source: kinematic wave over a plane with Manning's equation; FHWA HDS-2 (2002) eq. 2.5 prints 6.9 and 0.93. Not a
/// number, or infinite, where slope or intensity is zero or a value is negative.
pub fn sheet_flow_kinematic<N: Real>(
    roughness: N,
    length: Length<N>,
    slope: Slope<N>,
    intensity: Intensity<N>,
) -> Duration<N> {
    Duration::from_si((roughness * length.m() / slope.ratio().sqrt()).powf(0.6) / intensity.ms().powf(0.4))
}

/// Time of sheet flow by the NRCS form: `0.007 (n L)^0.8 / (P2^0.5 S^0.4)` in hours, feet and inches.
///
/// `two_year_24_hour` is the depth of the 2-year 24-hour rain. No iteration. Infinite where slope or depth is zero.
///
/// Source: TR-55 (1986) eq. 3-3, with its US constant.
pub fn sheet_flow_nrcs<N: Real>(
    roughness: N,
    length: Length<N>,
    slope: Slope<N>,
    two_year_24_hour: RainDepth<N>,
) -> Duration<N> {
    let length_ft = length.m() / FOOT;
    let depth_in = two_year_24_hour.m() / INCH;
    let time_h = N::from(0.007) * (roughness * length_ft).powf(0.8) / (depth_in.sqrt() * slope.ratio().powf(0.4));
    Duration::from_si(time_h * HOUR)
}

/// The longest way that water goes as a sheet: `100 √S / n` feet.
///
/// Source: `McCuen` and Spiess, as NEH 630 chapter 15 (2010) eq. 15-9, which also keeps sheet flow below about 100 ft.
pub fn sheet_flow_limit(roughness: f64, slope: Slope) -> Length {
    Length::from_ft(100.0 * slope.ratio().sqrt() / roughness)
}

/// Velocity of shallow concentrated flow: `c √S`.
///
/// `coefficient` belongs to the surface: 16.1345 ft/s unpaved and 20.3282 ft/s paved in TR-55 (1986) appendix F.
pub fn shallow_velocity<N: Real>(coefficient: Velocity<N>, slope: Slope<N>) -> Velocity<N> {
    coefficient * slope.ratio().sqrt()
}

/// Mean velocity by Manning's equation: `R^(2/3) √S / n`, in SI.
pub fn manning_velocity<N: Real>(roughness: N, hydraulic_radius: Length<N>, slope: Slope<N>) -> Velocity<N> {
    Velocity::from_si(hydraulic_radius.m().powf(2.0 / 3.0) * slope.ratio().sqrt() / roughness)
}

/// Time to go a length at a velocity. Infinite at a standstill.
pub fn travel_time<N: Real>(length: Length<N>, velocity: Velocity<N>) -> Duration<N> {
    length / velocity
}
