//! Runoff curve numbers of surfaces.

use super::names::{self, Names};
use super::text::{Record, Row, load};
use std::sync::OnceLock;

/// The curve numbers of a surface, for the average runoff condition and an initial abstraction of 0.2 S.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurveNumberEntry {
    /// The surface.
    pub surface: &'static str,
    /// The row of the published table, in its words.
    pub row: &'static str,
    /// The curve numbers of the hydrologic soil groups A to D.
    pub by_group: [f64; 4],
    /// How far it is to be trusted.
    pub status: &'static str,
    /// The publication.
    pub source: &'static str,
}

impl CurveNumberEntry {
    /// The curve number of a hydrologic soil group, `A` to `D`; nothing for another letter.
    pub fn of_group(&self, group: char) -> Option<Row<f64>> {
        let at = ['A', 'B', 'C', 'D'].iter().position(|known| known.eq_ignore_ascii_case(&group))?;
        self.by_group.get(at).map(|number| Row { value: *number, status: self.status, source: self.source })
    }
}

/// The curve number of a surface on soil of a hydrologic group, `A` to `D`; nothing for a surface not in the table
/// and for another letter. Every surface that has a runoff coefficient has one, by the same names.
///
/// Source: TR-55 (1986) Table 2-2; NEH 630 ch. 9 (2004).
pub fn curve_number(surface: &str, group: char) -> Option<Row<f64>> {
    curve_number_entry(surface)?.of_group(group)
}

/// The curve numbers of a surface; nothing for a surface not in the table.
pub fn curve_number_entry(surface: &str) -> Option<&'static CurveNumberEntry> {
    names::find(all().iter(), |(names, _)| names, surface).map(|(_, entry)| entry)
}

/// The surfaces that have curve numbers.
pub fn curve_number_surfaces() -> Vec<&'static str> {
    all().iter().map(|(_, entry)| entry.surface).collect()
}

fn all() -> &'static [(Names, CurveNumberEntry)] {
    static ALL: OnceLock<Vec<(Names, CurveNumberEntry)>> = OnceLock::new();
    ALL.get_or_init(|| load(include_str!("data/curve-numbers.csv"), read))
}

fn read(record: &Record<'_>) -> Option<(Names, CurveNumberEntry)> {
    let entry = CurveNumberEntry {
        surface: record.text("surface")?,
        row: record.text("row of the table")?,
        by_group: [record.number("A")?, record.number("B")?, record.number("C")?, record.number("D")?],
        status: record.status()?,
        source: record.source()?,
    };
    Some((Names::of(record, "surface")?, entry))
}

#[cfg(test)]
mod tests {
    use super::super::tables;
    use super::*;

    #[test]
    fn every_surface_is_read() {
        assert_eq!(curve_number_surfaces().len(), 19);
        for surface in curve_number_surfaces() {
            let entry = curve_number_entry(surface).unwrap();
            assert_eq!(entry.surface, surface);
            assert!(entry.by_group.is_sorted(), "{surface}");
            assert!(entry.by_group.iter().all(|number| (30.0..=98.0).contains(number)), "{surface}");
        }
        assert_eq!(curve_number("lava", 'A'), None);
        assert_eq!(curve_number("", 'A'), None);
    }

    #[test]
    fn a_group_is_a_letter_from_a_to_d() {
        assert_eq!(curve_number("lawn", 'd'), curve_number("Turf", 'D'));
        for other in ['E', ' ', '0', 'á'] {
            assert_eq!(curve_number("lawn", other), None);
        }
    }

    #[test]
    fn every_surface_with_a_runoff_coefficient_has_a_curve_number() {
        let tables = tables();
        let coefficients = tables.iter().find(|table| table.name == "runoff-coefficients").unwrap();
        for row in &coefficients.rows {
            let named = curve_number_entry(row[0]).unwrap();
            for other in row[1].split('|').filter(|other| !other.trim().is_empty()) {
                assert_eq!(curve_number_entry(other), Some(named), "{other}");
            }
        }
    }

    #[test]
    fn no_name_means_two_surfaces() {
        let tables = tables();
        let table = tables.iter().find(|table| table.name == "curve-numbers").unwrap();
        for row in &table.rows {
            for name in std::iter::once(row[0]).chain(row[1].split('|')).filter(|name| !name.trim().is_empty()) {
                assert_eq!(curve_number_entry(name).unwrap().surface, row[0], "{name}");
            }
        }
    }
}
