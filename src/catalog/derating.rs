//! The derating of PVC and polyethylene pipe with warmth.

use super::text::{Row, load};
use crate::quantity::Temperature;
use std::sync::OnceLock;

/// The share of its rating that PVC pipe keeps at a temperature, 1 at 73 F and below, in straight lines between the
/// entries of the table; nothing above 140 F, where it must not be used, and for what is no number.
///
/// Source: Machinery's Handbook, 31st ed. (2020), p. 2770, Table 14.
pub fn pvc_derating(temperature: Temperature) -> Option<Row<f64>> {
    static ALL: OnceLock<Vec<(f64, Row<f64>)>> = OnceLock::new();
    let all = ALL.get_or_init(|| {
        load(include_str!("data/pvc-derating.csv"), |record| {
            Some((record.number("temperature (F)")?, record.row(record.number("factor")?)?))
        })
    });
    // Told apart before the unit is changed: 140 F must not fall out of the table by a rounding.
    between(all, temperature.fahrenheit())
}

/// The same of polyethylene pipe, 1 at 20 C and below; nothing above 40 C, where the table ends.
///
/// Source: the pressure reduction factors of ISO 4427 and ISO 13761, from memory.
pub fn pe_derating(temperature: Temperature) -> Option<Row<f64>> {
    static ALL: OnceLock<Vec<(f64, Row<f64>)>> = OnceLock::new();
    let all = ALL.get_or_init(|| {
        load(include_str!("data/pe-derating.csv"), |record| {
            Some((record.number("temperature (C)")?, record.row(record.number("factor")?)?))
        })
    });
    between(all, temperature.celsius())
}

/// In straight lines between the entries; the first below them, nothing above.
fn between(all: &[(f64, Row<f64>)], at: f64) -> Option<Row<f64>> {
    let (first, first_row) = all.first()?;
    if at <= *first {
        return Some(*first_row);
    }
    let (last, last_row) = all.last()?;
    if (at - last).abs() < 1e-9 {
        return Some(*last_row);
    }
    all.iter().zip(all.iter().skip(1)).find(|((low, _), (high, _))| (*low..=*high).contains(&at)).map(
        |((low, below), (high, above))| {
            let along = (at - low) / (high - low);
            Row { value: below.value + along * (above.value - below.value), ..*below }
        },
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn pvc_is_derated_as_published() {
        // Machinery's Handbook, 31st ed., p. 2770, Table 14.
        for (fahrenheit, factor) in [
            (40.0, 1.0),
            (73.0, 1.0),
            (80.0, 0.88),
            (90.0, 0.75),
            (100.0, 0.62),
            (110.0, 0.50),
            (120.0, 0.40),
            (130.0, 0.30),
            (140.0, 0.22),
        ] {
            let at = Temperature::from_fahrenheit(fahrenheit);
            assert_relative_eq!(pvc_derating(at).unwrap().value, factor, epsilon = 1e-9);
        }
        // 1-1/2 in schedule 40, 330 psi, at 95 F in a straight line between 90 and 100 F: 226.05 psi.
        let at = pvc_derating(Temperature::from_fahrenheit(95.0)).unwrap();
        assert_relative_eq!(330.0 * at.value, 226.05, epsilon = 0.05);
        assert_eq!(pvc_derating(Temperature::from_fahrenheit(141.0)), None);
        assert_eq!(pvc_derating(Temperature::from_celsius(f64::NAN)), None);
        assert_eq!(pvc_derating(Temperature::from_celsius(f64::INFINITY)), None);
    }

    #[test]
    fn polyethylene_is_derated_as_remembered() {
        // ISO 13761 by way of ISO 4427, from memory: 1 at 20 C, 0.87 at 30 C, 0.74 at 40 C.
        for (celsius, factor) in [(5.0, 1.0), (20.0, 1.0), (25.0, 0.935), (30.0, 0.87), (40.0, 0.74)] {
            let at = Temperature::from_celsius(celsius);
            assert_relative_eq!(pe_derating(at).unwrap().value, factor, epsilon = 1e-9);
        }
        assert_eq!(pe_derating(Temperature::from_celsius(40.1)), None);
        let pipe = |material, size| super::super::pipe(material, size).unwrap().pipe.clone();
        let warm = Temperature::from_celsius(30.0);
        assert_relative_eq!(super::super::rating_share(&pipe("PE100 SDR 17", "63 mm"), warm).unwrap(), 0.87);
        assert_eq!(super::super::rating_share(&pipe("polyethylene", "2 in"), Temperature::from_celsius(50.0)), None);
        assert_relative_eq!(super::super::rating_share(&pipe("garden hose", "3/4 in"), warm).unwrap(), 1.0);
        assert_relative_eq!(
            super::super::rating_share(&pipe("PVC schedule 40", "2 in"), Temperature::from_fahrenheit(150.0)).unwrap(),
            0.0
        );
    }
}
