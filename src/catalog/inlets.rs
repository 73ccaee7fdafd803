//! Sizes of yard grates.

use super::text::{COMMON_PRACTICE, Record, Row, load};
use crate::quantity::{Area, Length};
use std::f64::consts::PI;
use std::sync::OnceLock;

/// A size of yard grate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GrateEntry {
    /// What it is called, `12 in square`.
    pub label: &'static str,
    /// Whether it is sold in millimetres.
    pub metric: bool,
    /// Whether it is round.
    pub round: bool,
    /// Width of the face, its diameter where it is round.
    pub width: Length,
    /// Length of the face, its diameter where it is round.
    pub length: Length,
    /// The area of the openings.
    pub open_area: Area,
    /// The whole way around the face.
    pub perimeter: Length,
    /// How far it is to be trusted.
    pub status: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

/// The sizes of grate, by increasing open area.
pub fn grate_sizes() -> &'static [GrateEntry] {
    static ALL: OnceLock<Vec<GrateEntry>> = OnceLock::new();
    ALL.get_or_init(|| {
        let mut all = load(TABLE, read);
        all.sort_by(|one, other| one.open_area.m2().total_cmp(&other.open_area.m2()));
        all
    })
}

/// The share of a grate's face that is open, as a ratio, where nothing is known of the grate: that of all in the
/// table.
pub fn usual_open_share() -> Row<f64> {
    static SHARE: OnceLock<Option<Row<f64>>> = OnceLock::new();
    SHARE
        .get_or_init(|| load(TABLE, |record| record.row(open_share(record)?)).first().copied())
        // The table has its rows, which its test holds it to.
        .unwrap_or(Row { value: f64::NAN, status: COMMON_PRACTICE, source: "" })
}

const TABLE: &str = include_str!("data/grates.csv");

fn open_share(record: &Record<'_>) -> Option<f64> {
    record.number("open share (%)").map(|percent| percent / 100.0)
}

fn read(record: &Record<'_>) -> Option<GrateEntry> {
    let number = record.number("width")?;
    let (metric, width) = match record.text("unit")? {
        "in" => (false, Length::from_inch(number)),
        "mm" => (true, Length::from_mm(number)),
        _ => return None,
    };
    let (round, face, perimeter) = match record.text("shape")? {
        "round" => (true, width.circle(), width * PI),
        "square" => (false, width * width, width * 4.0),
        _ => return None,
    };
    Some(GrateEntry {
        label: record.text("grate")?,
        metric,
        round,
        width,
        length: width,
        open_area: face * open_share(record)?,
        perimeter,
        status: record.status()?,
        source: record.source()?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn every_size_is_read_and_ordered() {
        assert_eq!(grate_sizes().len(), 19);
        assert!(grate_sizes().is_sorted_by(|one, other| one.open_area < other.open_area));
        assert_eq!(grate_sizes().iter().filter(|grate| grate.metric).count(), 4);
        assert_eq!(grate_sizes().iter().filter(|grate| grate.round).count(), 9);
        for grate in grate_sizes() {
            let number = if grate.metric { grate.width.mm() } else { grate.width.inch() };
            let (unit, shape) = (if grate.metric { "mm" } else { "in" }, if grate.round { "round" } else { "square" });
            assert_eq!(grate.label, format!("{} {unit} {shape}", number.round()));
        }
    }

    #[test]
    fn geometry_gives_area_and_perimeter() {
        let of = |label| grate_sizes().iter().find(|grate| grate.label == label).unwrap();
        // 144 in² of face, 40 % of it open.
        assert_relative_eq!(of("12 in square").open_area.in2(), 57.6, max_relative = 1e-12);
        assert_relative_eq!(of("12 in square").perimeter.ft(), 4.0, max_relative = 1e-12);
        // π/4 x 81 in² and π x 9 in.
        assert_relative_eq!(of("9 in round").open_area.in2(), 25.447, epsilon = 5e-4);
        assert_relative_eq!(of("9 in round").perimeter.inch(), 28.274, epsilon = 5e-4);
        assert_relative_eq!(of("300 mm square").open_area.m2(), 0.036, max_relative = 1e-12);
    }

    #[test]
    fn one_share_is_open() {
        assert_relative_eq!(usual_open_share().value, 0.40);
        assert_eq!(usual_open_share().status, COMMON_PRACTICE);
        for grate in grate_sizes() {
            let face = if grate.round { grate.width.circle() } else { grate.width * grate.length };
            assert_relative_eq!(grate.open_area / face, usual_open_share().value, max_relative = 1e-12);
            assert_eq!(grate.source, usual_open_share().source);
        }
    }
}
