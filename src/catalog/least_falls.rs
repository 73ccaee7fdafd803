//! The least fall of drains that run by gravity.

use super::text::{Record, Row, load};
use crate::quantity::{Length, Slope};
use std::sync::OnceLock;

/// The least fall of a solid drain of a bore: 1/4 in/ft to a nominal 2-1/2 in, 1/8 in/ft from 3 to 6 in, 1/16 in/ft
/// from 8 in. A bore between those sizes goes with the nearer; one that is no number gets the steepest.
///
/// Source: Chicago plumbing code, Table 18-29-704.1, for sanitary drains.
pub fn least_fall(bore: Length) -> Row<Slope> {
    all()
        .iter()
        .filter(|fall| fall.drain != FRENCH)
        // Not `bore <= most`, so that what is no number stops at the first.
        .find(|fall| fall.most.is_none_or(|most| bore.partial_cmp(&most).is_none_or(std::cmp::Ordering::is_le)))
        .map_or(MISSING, |fall| fall.row)
}

/// The least fall of perforated pipe in a trench of stone.
///
/// Source: NC State University, page on underdrains of bioretention.
pub fn least_french_fall() -> Row<Slope> {
    all().iter().find(|fall| fall.drain == FRENCH).map_or(MISSING, |fall| fall.row)
}

const FRENCH: &str = "perforated pipe in stone";
/// Never met: the tests hold the table to its rows.
const MISSING: Row<Slope> = Row { value: Slope::from_in_per_ft(f64::NAN), status: "", source: "" };

struct Fall {
    drain: &'static str,
    /// The largest bore it is for; none where there is no end.
    most: Option<Length>,
    row: Row<Slope>,
}

fn all() -> &'static [Fall] {
    static ALL: OnceLock<Vec<Fall>> = OnceLock::new();
    ALL.get_or_init(|| load(include_str!("data/least-falls.csv"), read))
}

fn read(record: &Record<'_>) -> Option<Fall> {
    Some(Fall {
        drain: record.text("drain")?,
        most: record.optional_number("bore at most (in)").ok()?.map(Length::from_inch),
        row: record.row(Slope::from_in_per_ft(record.number("least fall (in/ft)")?))?,
    })
}

#[cfg(test)]
mod tests {
    use super::super::pipe;
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn the_fall_goes_by_the_size() {
        // Chicago plumbing code, Table 18-29-704.1.
        for (inches, fall) in [
            (0.0, 0.25),
            (1.61, 0.25),
            (2.5, 0.25),
            (3.0, 0.125),
            (4.0, 0.125),
            (6.0, 0.125),
            (8.0, 0.0625),
            (24.0, 0.0625),
            (f64::NAN, 0.25),
            (-1.0, 0.25),
        ] {
            let row = least_fall(Length::from_inch(inches));
            assert_relative_eq!(row.value.in_per_ft(), fall, max_relative = 1e-12);
            assert_eq!(row.status, "found");
        }
    }

    #[test]
    fn the_fall_of_a_nominal_size_is_that_of_its_bore() {
        for (material, size, fall) in [
            ("PVC schedule 80", "2-1/2 in", 0.25),
            ("PVC schedule 40", "2-1/2 in", 0.25),
            ("PVC schedule 80", "3 in", 0.125),
            ("PVC D2729", "3 in", 0.125),
            ("PVC D2729", "6 in", 0.125),
            ("corrugated HDPE", "6 in", 0.125),
            ("PVC-U sewer", "110 mm", 0.125),
        ] {
            let bore = pipe(material, size).unwrap().pipe.bore;
            assert_relative_eq!(least_fall(bore).value.in_per_ft(), fall, max_relative = 1e-12);
        }
    }

    #[test]
    fn perforated_pipe_falls_half_a_percent() {
        assert_relative_eq!(least_french_fall().value.percent(), 0.5, max_relative = 1e-12);
        assert_eq!(least_french_fall().status, "found");
        assert_eq!(all().len(), 4);
    }
}
