//! What covers a swale: its roughness, and the velocity that it bears.

use super::names::{self, Names};
use super::text::{Malformed, Record, load};
use crate::quantity::{Slope, Velocity};
use std::sync::OnceLock;

/// A cover of swales.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SwaleCover {
    /// The cover.
    pub cover: &'static str,
    /// Manning's n for flow of a few inches.
    pub manning_n: f64,
    /// Lowest n of the range, for flow that is deep over the cover.
    pub manning_low: f64,
    /// Highest n of the range.
    pub manning_high: f64,
    /// What cover or flow the n is for, in words.
    pub manning_for: &'static str,
    /// Permissible velocity over soil that resists erosion, on beds of 0 to 5, of 5 to 10 and over 10 %; none where
    /// the cover is not to be used.
    pub permissible: [Option<Velocity>; 3],
    /// The same over soil that is easily eroded.
    pub permissible_easily_eroded: [Option<Velocity>; 3],
    /// How far it is to be trusted.
    pub status: &'static str,
    /// The publications.
    pub source: &'static str,
}

impl SwaleCover {
    /// The velocity that the cover bears on a bed of a slope, up or down, by the soil below it; nothing where the
    /// cover is not to be used on such a slope, and for a slope that is no number.
    ///
    /// Source: SCS-TP-61, whose bands of slope are 0 to 5, 5 to 10 and over 10 %.
    pub fn permissible_at(&self, slope: Slope, easily_eroded: bool) -> Option<Velocity> {
        // A ratio entered as 5 % may come back a hair above it.
        let band = match slope.abs().percent() {
            percent if percent <= 5.0 + 1e-9 => 0,
            percent if percent <= 10.0 + 1e-9 => 1,
            percent if percent.is_finite() => 2,
            _ => return None,
        };
        let by_band = if easily_eroded { &self.permissible_easily_eroded } else { &self.permissible };
        by_band.get(band).copied().flatten()
    }
}

/// The cover of a name (`mown grass`); nothing for a cover not in the table.
pub fn swale_cover(name: &str) -> Option<&'static SwaleCover> {
    names::find(all().iter(), |(names, _)| names, name).map(|(_, cover)| cover)
}

/// The covers of swales.
pub fn swale_covers() -> Vec<&'static str> {
    all().iter().map(|(_, cover)| cover.cover).collect()
}

fn all() -> &'static [(Names, SwaleCover)] {
    static ALL: OnceLock<Vec<(Names, SwaleCover)>> = OnceLock::new();
    ALL.get_or_init(|| load(include_str!("data/swale-covers.csv"), |record| read(record).ok().flatten()))
}

fn read(record: &Record<'_>) -> Result<Option<(Names, SwaleCover)>, Malformed> {
    let velocity = |heading| Ok(record.optional_number(heading)?.map(Velocity::from_fts));
    let permissible = [velocity("0 to 5 % (ft/s)")?, velocity("5 to 10 % (ft/s)")?, velocity("over 10 % (ft/s)")?];
    let permissible_easily_eroded = [
        velocity("easily eroded, 0 to 5 % (ft/s)")?,
        velocity("easily eroded, 5 to 10 % (ft/s)")?,
        velocity("easily eroded, over 10 % (ft/s)")?,
    ];
    let cover = || {
        Some(SwaleCover {
            cover: record.text("cover")?,
            manning_n: record.number("n taken")?,
            manning_low: record.number("n low")?,
            manning_high: record.number("n high")?,
            manning_for: record.text("n holds for")?,
            permissible,
            permissible_easily_eroded,
            status: record.status()?,
            source: record.source()?,
        })
    };
    Ok(Names::of(record, "cover").zip(cover()))
}

#[cfg(test)]
mod tests {
    use super::super::tables;
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn every_cover_is_read() {
        assert_eq!(swale_covers().len(), 9);
        for name in swale_covers() {
            let cover = swale_cover(name).unwrap();
            assert!((cover.manning_low..=cover.manning_high).contains(&cover.manning_n), "{name}");
            for (resistant, eroded) in cover.permissible.iter().zip(&cover.permissible_easily_eroded) {
                assert!(eroded <= resistant && eroded.is_some() == resistant.is_some(), "{name}");
            }
            for by_band in [cover.permissible, cover.permissible_easily_eroded] {
                assert!(by_band[0].is_some() && by_band.is_sorted_by(|flatter, steeper| flatter >= steeper), "{name}");
            }
        }
        assert_eq!(swale_cover("moss"), None);
        assert_eq!(swale_cover(""), None);
    }

    #[test]
    fn no_name_means_two_covers() {
        let tables = tables();
        let table = tables.iter().find(|table| table.name == "swale-covers").unwrap();
        for row in &table.rows {
            for name in std::iter::once(row[0]).chain(row[1].split('|')).filter(|name| !name.trim().is_empty()) {
                assert_eq!(swale_cover(name).unwrap().cover, row[0], "{name}");
            }
        }
    }

    #[test]
    fn the_velocity_goes_by_the_band_of_slope() {
        // SCS-TP-61: Kentucky bluegrass 7, 6, 5 ft/s; 5, 4, 3 where the soil erodes easily.
        let bluegrass = swale_cover("Kentucky bluegrass").unwrap();
        let at = |percent, eroded| bluegrass.permissible_at(Slope::from_percent(percent), eroded).unwrap().fts();
        for (percent, resistant, eroded) in
            [(0.0, 7.0, 5.0), (5.0, 7.0, 5.0), (5.1, 6.0, 4.0), (10.0, 6.0, 4.0), (10.1, 5.0, 3.0), (-7.0, 6.0, 4.0)]
        {
            assert_relative_eq!(at(percent, false), resistant, max_relative = 1e-12);
            assert_relative_eq!(at(percent, true), eroded, max_relative = 1e-12);
        }
        for none in [f64::NAN, f64::INFINITY] {
            assert_eq!(bluegrass.permissible_at(Slope::from_percent(none), false), None);
        }
        // Grass mixtures are not for slopes over 10 %.
        let mixture = swale_cover("grass mixture").unwrap();
        assert_eq!(mixture.permissible_at(Slope::from_percent(12.0), false), None);
    }

    #[test]
    fn a_name_that_leaves_the_cover_open_is_taken_with_care() {
        assert_eq!(swale_cover("grass").unwrap().cover, "standing grass");
        assert_eq!(swale_cover("fescue").unwrap().cover, "red fescue");
        assert_eq!(swale_cover("lawn").unwrap().cover, "mown grass");
    }
}
