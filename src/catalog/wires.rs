//! Sizes of copper wire.

use super::text::load;
use crate::quantity::{Area, read};
use std::sync::OnceLock;

/// A size of copper wire.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WireEntry {
    /// Its name: `12 AWG`, `2.5 mm2`.
    pub name: &'static str,
    /// The family of sizes it belongs to: `AWG` or `metric`.
    pub family: &'static str,
    /// The area of the copper.
    pub area: Area,
    /// How far the area is to be trusted.
    pub status: &'static str,
    /// Where the area comes from.
    pub source: &'static str,
}

/// The family of the American wire gauge.
const AWG: &str = "AWG";
/// The family of sizes in square millimetres.
const METRIC: &str = "metric";

/// The wire of a size: `12 AWG`, `AWG 12`, `#12`, `12 ga`, `12 gauge`, or `2.5 mm2`, `2.5 mm²`, `2.5 sq mm`; nothing
/// for a size not in the table, and for a bare number, which could be either.
pub fn wire(name: &str) -> Option<&'static WireEntry> {
    if let Some(number) = gauge(name) {
        return wires().iter().find(|wire| wire.family == AWG && gauge(wire.name) == Some(number));
    }
    let area: Area = read(name).ok()?;
    wires().iter().find(|wire| wire.family == METRIC && (wire.area / area - 1.0).abs() < 1e-6)
}

/// The wires of the table: each family by itself, thinnest first.
pub fn wires() -> &'static [WireEntry] {
    static ALL: OnceLock<Vec<WireEntry>> = OnceLock::new();
    ALL.get_or_init(|| {
        load(include_str!("data/wires.csv"), |record| {
            Some(WireEntry {
                name: record.text("wire")?,
                family: [AWG, METRIC].into_iter().find(|family| record.text("family") == Some(family))?,
                area: Area::from_m2(record.number("area (mm2)")? * 1e-6),
                status: record.status()?,
                source: record.source()?,
            })
        })
    })
}

/// The number of a gauge, where a text names one.
fn gauge(text: &str) -> Option<u32> {
    let text = text.trim().to_lowercase();
    let mut rest = text.as_str();
    for before in ["awg", "no.", "#"] {
        rest = rest.strip_prefix(before).unwrap_or(rest).trim_start();
    }
    for after in ["awg", "gauge", "ga.", "ga"] {
        rest = rest.strip_suffix(after).unwrap_or(rest).trim_end();
    }
    // A bare number names no gauge.
    let number = Some(rest.trim_matches(['-', ' '])).filter(|number| number.len() < text.len())?;
    number.chars().all(|c| c.is_ascii_digit()).then(|| number.parse().ok())?
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn no_row_is_left_out() {
        let names: Vec<_> = wires().iter().map(|wire| wire.name).collect();
        assert_eq!(
            names,
            ["14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG", "1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2", "10 mm2"]
        );
        for entry in wires() {
            assert_eq!(wire(entry.name), Some(entry), "{}", entry.name);
        }
    }

    #[test]
    fn each_family_begins_with_the_thinnest() {
        assert!(wires().is_sorted_by_key(|wire| wire.family));
        for family in [AWG, METRIC] {
            let areas: Vec<_> =
                wires().iter().filter(|wire| wire.family == family).map(|wire| wire.area.m2()).collect();
            assert!(areas.len() > 4 && areas.windows(2).all(|pair| pair[0] < pair[1]), "{family}");
        }
    }

    #[test]
    fn gauges_have_the_area_of_their_definition() {
        // d = 0.005 in x 92^((36 - AWG)/39).
        for entry in wires().iter().filter(|wire| wire.family == AWG) {
            let number = f64::from(gauge(entry.name).unwrap());
            let diameter = 0.005 * libm::pow(92.0, (36.0 - number) / 39.0);
            assert_relative_eq!(
                entry.area.in2(),
                std::f64::consts::FRAC_PI_4 * diameter * diameter,
                max_relative = 3e-4
            );
        }
        // The gauge's table, from memory, in mm².
        for (name, area) in
            [("14 AWG", 2.081), ("12 AWG", 3.309), ("10 AWG", 5.261), ("8 AWG", 8.366), ("6 AWG", 13.30)]
        {
            assert_relative_eq!(wire(name).unwrap().area.m2() * 1e6, area, max_relative = 1e-9);
        }
    }

    #[test]
    fn metric_wires_have_the_area_of_their_name() {
        for (name, area) in [("1.5 mm2", 1.5), ("2.5 mm2", 2.5), ("4 mm2", 4.0), ("6 mm2", 6.0), ("10 mm2", 10.0)] {
            assert_relative_eq!(wire(name).unwrap().area.m2() * 1e6, area, max_relative = 1e-12);
        }
    }

    #[test]
    fn a_size_may_be_written_in_many_ways() {
        for name in
            ["12 AWG", "AWG 12", "awg12", "#12", "# 12 AWG", "no. 12", "12 ga", "12ga.", "12-gauge", " 12 Gauge "]
        {
            assert_eq!(wire(name).map(|wire| wire.name), Some("12 AWG"), "{name}");
        }
        for name in ["2.5 mm2", "2.5 mm²", "2.5 sq mm", "2.5mm2", "2.5 square millimetres"] {
            assert_eq!(wire(name).map(|wire| wire.name), Some("2.5 mm2"), "{name}");
        }
    }

    #[test]
    fn what_is_not_in_the_table_gives_nothing() {
        for name in [
            "",
            "12",
            "2.5",
            "#",
            "AWG",
            "13 AWG",
            "4/0 AWG",
            "12/2 AWG",
            "5.2 mm2",
            "3.309 mm2",
            "0 mm2",
            "12 ft",
            "-2.5 mm2",
        ] {
            assert_eq!(wire(name).map(|wire| wire.name), None, "{name}");
        }
        assert_eq!(wire(&format!("#{}", "9".repeat(100_000))), None);
        assert_eq!(wire(&"x".repeat(100_000)), None);
    }
}
