//! Soils by texture, depression storage, frequency factors.

use super::names::key;
use super::text::{Record, Row, load};
use crate::quantity::{Intensity, Length, RainDepth, ReturnPeriod};
use std::sync::OnceLock;

/// What a soil texture says about infiltration.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SoilEntry {
    /// The texture class.
    pub texture: &'static str,
    /// Conductivity for the Green-Ampt method: about half of the saturated conductivity of soil surveys.
    pub conductivity: Intensity,
    /// Suction head at the wetting front.
    pub suction: Length,
    /// Porosity less the water that stays, as a ratio.
    pub effective_porosity: f64,
    /// Porosity, as a ratio.
    pub porosity: f64,
    /// Hydrologic soil group by texture, A to D.
    pub hydrologic_group: char,
    /// Whether the tables of runoff coefficients count it as sandy (group A) and not as heavy.
    pub sandy: bool,
    /// How far it is to be trusted.
    pub status: &'static str,
    /// The publication.
    pub source: &'static str,
}

/// The soil of a texture class (`silty clay loam`); nothing for a class not in the table.
pub fn soil(texture: &str) -> Option<&'static SoilEntry> {
    let key = key(texture);
    soils().iter().find(|soil| soil.key == key).map(|soil| &soil.entry)
}

/// The texture classes, from coarse to fine.
pub fn textures() -> Vec<&'static str> {
    soils().iter().map(|soil| soil.entry.texture).collect()
}

/// The factors on the runoff coefficient for storms rarer than 10 years, by increasing return period. The product
/// of the two is held to 1. Coefficients given by return period already contain it.
pub fn frequency_factors() -> &'static [(ReturnPeriod, f64)] {
    &frequency().0
}

/// Where the frequency factors come from.
pub fn frequency_factor_source() -> &'static str {
    frequency().1
}

/// The depth of rain held in hollows before any runs off: of lawn and bare ground when `pervious`, else of paving.
/// It is the low end of the usual range, so that more runs off.
pub fn depression_storage(pervious: bool) -> Row<RainDepth> {
    static ALL: OnceLock<Vec<(&'static str, Row<RainDepth>)>> = OnceLock::new();
    let surface = if pervious { "pervious" } else { "paved" };
    ALL.get_or_init(|| {
        load(include_str!("data/depression-storage.csv"), |record| {
            Some((record.text("surface")?, record.row(RainDepth::from_inch(record.number("taken (in)")?))?))
        })
    })
    .iter()
    .find(|(known, _)| *known == surface)
    // The table has both rows, which its test holds it to; none held back would be the careful answer.
    .map_or(Row { value: RainDepth::ZERO, status: "", source: "" }, |(_, row)| *row)
}

#[derive(Debug)]
struct Soil {
    key: String,
    entry: SoilEntry,
}

fn soils() -> &'static [Soil] {
    static ALL: OnceLock<Vec<Soil>> = OnceLock::new();
    ALL.get_or_init(|| load(include_str!("data/soils.csv"), read))
}

fn read(record: &Record<'_>) -> Option<Soil> {
    let texture = record.text("texture")?;
    let mut group = record.text("hydrologic group")?.chars();
    let (Some(hydrologic_group), None) = (group.next(), group.next()) else { return None };
    let entry = SoilEntry {
        texture,
        conductivity: Intensity::from_mmh(record.number("conductivity (cm/h)")? * 10.0),
        suction: Length::from_cm(record.number("suction (cm)")?),
        effective_porosity: record.number("effective porosity")?,
        porosity: record.number("porosity")?,
        hydrologic_group,
        sandy: match record.text("class")? {
            "sandy" => true,
            "heavy" => false,
            _ => return None,
        },
        status: record.status()?,
        source: record.source()?,
    };
    Some(Soil { key: key(texture), entry })
}

fn frequency() -> &'static (Vec<(ReturnPeriod, f64)>, &'static str) {
    static ALL: OnceLock<(Vec<(ReturnPeriod, f64)>, &'static str)> = OnceLock::new();
    ALL.get_or_init(|| {
        let rows = load(include_str!("data/frequency-factors.csv"), |record| {
            let period = ReturnPeriod::from_years(record.number("return period (years)")?);
            record.row((period, record.number("Cf")?))
        });
        let source = rows.first().map_or("", |row| row.source);
        (rows.into_iter().map(|row| row.value).collect(), source)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn every_texture_is_read() {
        assert_eq!(textures().len(), 11);
        for texture in textures() {
            let soil = soil(texture).unwrap();
            assert!(soil.effective_porosity < soil.porosity && soil.porosity < 0.55, "{texture}");
            assert_eq!(soil.sandy, soil.hydrologic_group == 'A', "{texture}");
        }
        assert_eq!(soil("granite"), None);
        assert_eq!(soil(""), None);
    }

    #[test]
    fn silty_clay_loam_has_the_published_values() {
        // Rawls, Brakensiek & Miller (1983): 0.10 cm/h, 27.30 cm, 0.432. TR-55 (1986) Appendix A: group D.
        let soil = soil("Silty-clay LOAM").unwrap();
        assert_relative_eq!(soil.conductivity.mmh(), 1.0, max_relative = 1e-12);
        assert_relative_eq!(soil.suction.cm(), 27.30, max_relative = 1e-12);
        assert_relative_eq!(soil.effective_porosity, 0.432);
        assert_eq!(soil.hydrologic_group, 'D');
    }

    #[test]
    fn conductivities_add_up_to_the_published_ones() {
        // Rawls, Brakensiek & Miller (1983): the sum of the eleven printed conductivities and suctions.
        let conductivity: f64 = soils().iter().map(|soil| soil.entry.conductivity.mmh() / 10.0).sum();
        let suction: f64 = soils().iter().map(|soil| soil.entry.suction.cm()).sum();
        assert_relative_eq!(conductivity, 17.34, epsilon = 1e-9);
        assert_relative_eq!(suction, 202.44, epsilon = 1e-9);
    }

    #[test]
    fn frequency_factors_are_the_published_ones() {
        // Dhakal et al. (2013), Table 3.
        let published = [(2.0, 1.0), (5.0, 1.0), (10.0, 1.0), (25.0, 1.1), (50.0, 1.2), (100.0, 1.25)];
        let read: Vec<_> = frequency_factors().iter().map(|(period, factor)| (period.years(), *factor)).collect();
        assert_eq!(read, published);
        assert!(frequency_factor_source().contains("Dhakal"));
    }

    #[test]
    fn depression_storage_is_the_low_end_of_the_handbooks() {
        // From memory of hydrology handbooks: lawn 0.1 to 0.2 in, paving 0.05 to 0.1 in.
        assert_relative_eq!(depression_storage(true).value.inch(), 0.10);
        assert_relative_eq!(depression_storage(false).value.inch(), 0.05);
        assert_eq!(depression_storage(true).status, "from memory");
    }
}
