//! What ground surfaces do with rain: runoff coefficients, roughness of sheet flow, shallow flow.

use super::fittings::yes;
use super::names::{self, Names};
use super::text::{Record, Row, load};
use crate::quantity::{Slope, Velocity};
use std::sync::OnceLock;

/// A runoff coefficient of the rational method, for storms of 2 to 10 years.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoefficientEntry {
    /// The row of the published table, in its words.
    pub row: &'static str,
    /// Lowest of the published range.
    pub low: f64,
    /// Highest of the published range.
    pub high: f64,
    /// The plain mean of the two: not published, but what is taken.
    pub mid: f64,
    /// Whether rain soaks into the surface.
    pub pervious: bool,
    /// What was taken for granted to choose the row, because it was not given.
    pub assumed: Option<&'static str>,
    /// How far it is to be trusted.
    pub status: &'static str,
    /// The publication.
    pub source: &'static str,
}

/// The runoff coefficient of a surface; nothing for a surface not in the table.
///
/// A lawn's depends on whether its soil is sandy (see [`SoilEntry::sandy`](super::SoilEntry::sandy)) and on its
/// slope: under 2 %, to 7 %, over 7 %. Soil not known is taken as heavy, a slope not known as 2 to 7 %, and
/// [`CoefficientEntry::assumed`] says so. Other surfaces need neither.
pub fn runoff_coefficient(surface: &str, sandy_soil: Option<bool>, slope: Option<Slope>) -> Option<CoefficientEntry> {
    let name = names::find(coefficients().iter(), |coefficient| &coefficient.names, surface)?.names.name;
    let slope = slope.filter(|slope| slope.is_finite());
    let soil = if sandy_soil.unwrap_or(false) { Soil::Sandy } else { Soil::Heavy };
    let steepness = slope.map_or(Steepness::Average, Steepness::of);
    let found = coefficients()
        .iter()
        .filter(|coefficient| coefficient.names.name == name)
        .find(|coefficient| coefficient.chosen_by.is_none_or(|chosen_by| chosen_by == (soil, steepness)))?;
    let assumed = match (found.chosen_by, sandy_soil, slope) {
        (None, _, _) | (Some(_), Some(_), Some(_)) => None,
        (Some(_), None, None) => Some("heavy soil and a slope of 2 to 7 %"),
        (Some(_), None, Some(_)) => Some("heavy soil"),
        (Some(_), Some(_), None) => Some("a slope of 2 to 7 %"),
    };
    Some(CoefficientEntry { assumed, ..found.entry })
}

/// The surfaces that have a runoff coefficient.
pub fn surfaces() -> Vec<&'static str> {
    let mut names: Vec<_> = coefficients().iter().map(|coefficient| coefficient.names.name).collect();
    names.dedup();
    names
}

/// What people name that the tables of surfaces have no row for, with the surfaces that come nearest: common practice, no
/// source. None of them is taken unasked.
const ALIKE: &[(&[&str], &[&str])] = &[
    (
        &["gravel", "pea gravel", "gravel drive", "crushed stone", "chippings"],
        &["drive", "unimproved", "unpaved", "bare soil"],
    ),
    (
        &["sett", "stone sett", "granite sett", "cobble", "cobblestone", "paver", "block paving"],
        &["brick", "drive", "paved", "smooth"],
    ),
    (&["paving", "flagstone", "flag", "slab", "terrace", "deck"], &["walk", "concrete", "paved", "smooth"]),
    (&["bed", "flower bed", "border", "planting", "mulch", "shrub", "meadow"], &["lawn", "unimproved", "dense grass"]),
    (&["soil", "bare soil", "bare ground", "dirt", "earth"], &["unimproved", "bare soil", "fallow"]),
    (&["wood", "woodland", "forest", "trees"], &["park", "unimproved", "woods light", "woodland"]),
];

/// Of the surfaces of a table those that come nearest to one that is in none; empty where nothing is known of it.
pub fn surfaces_alike<'t>(surface: &str, table: &[&'t str]) -> Vec<&'t str> {
    let key = names::key(surface);
    let named = |names: &[&str]| names.iter().any(|name| names::key(name) == key);
    let near = ALIKE.iter().find(|(names, _)| named(names)).map_or(&[][..], |(_, near)| near);
    near.iter().filter_map(|near| table.iter().copied().find(|known| known == near)).collect()
}

/// Manning's n of a surface in sheet flow, for the time of concentration; nothing for a surface not in the table.
/// It is no roughness of channels or pipes.
pub fn sheet_roughness(surface: &str) -> Option<Row<f64>> {
    find(sheets(), surface)
}

/// The surfaces that have a roughness in sheet flow.
pub fn sheet_surfaces() -> Vec<&'static str> {
    names(sheets())
}

/// The coefficient c of shallow concentrated flow, V = c·√S with the slope S as a ratio; nothing for a surface not
/// in the table. The coefficients are those of the NRCS, not the slightly different ones of FHWA HDS-2.
pub fn shallow_coefficient(surface: &str) -> Option<Row<Velocity>> {
    find(shallow(), surface)
}

/// The surfaces that have a coefficient of shallow concentrated flow.
pub fn shallow_surfaces() -> Vec<&'static str> {
    names(shallow())
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Soil {
    Sandy,
    Heavy,
}

impl Soil {
    fn read(word: &str) -> Option<Self> {
        match word {
            "sandy" => Some(Self::Sandy),
            "heavy" => Some(Self::Heavy),
            _ => None,
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Steepness {
    Flat,
    Average,
    Steep,
}

impl Steepness {
    fn read(word: &str) -> Option<Self> {
        match word {
            "flat" => Some(Self::Flat),
            "average" => Some(Self::Average),
            "steep" => Some(Self::Steep),
            _ => None,
        }
    }

    /// The class of a slope, up or down, by the bounds that the published table prints.
    fn of(slope: Slope) -> Self {
        match slope.abs().percent() {
            percent if percent < 2.0 => Self::Flat,
            // A ratio entered as 7 % may come back a hair above it.
            percent if percent <= 7.0 + 1e-9 => Self::Average,
            _ => Self::Steep,
        }
    }
}

#[derive(Debug)]
struct Coefficient {
    names: Names,
    /// The soil and the slope it holds for; none where it holds for all.
    chosen_by: Option<(Soil, Steepness)>,
    entry: CoefficientEntry,
}

impl Coefficient {
    fn read(record: &Record<'_>) -> Option<Self> {
        let chosen_by = match (record.cell("soil")?, record.cell("slope")?) {
            ("", "") => None,
            (soil, slope) => Some((Soil::read(soil)?, Steepness::read(slope)?)),
        };
        let (low, high) = (record.number("low")?, record.number("high")?);
        Some(Self {
            names: Names::of(record, "surface")?,
            chosen_by,
            entry: CoefficientEntry {
                row: record.text("row of the table")?,
                low,
                high,
                mid: f64::midpoint(low, high),
                pervious: yes(record.text("pervious")?)?,
                assumed: None,
                status: record.status()?,
                source: record.source()?,
            },
        })
    }
}

fn coefficients() -> &'static [Coefficient] {
    static ALL: OnceLock<Vec<Coefficient>> = OnceLock::new();
    ALL.get_or_init(|| load(include_str!("data/runoff-coefficients.csv"), Coefficient::read))
}

fn sheets() -> &'static [(Names, Row<f64>)] {
    static ALL: OnceLock<Vec<(Names, Row<f64>)>> = OnceLock::new();
    ALL.get_or_init(|| {
        load(include_str!("data/sheet-roughness.csv"), |record| {
            Some((Names::of(record, "surface")?, record.row(record.number("n")?)?))
        })
    })
}

fn shallow() -> &'static [(Names, Row<Velocity>)] {
    static ALL: OnceLock<Vec<(Names, Row<Velocity>)>> = OnceLock::new();
    ALL.get_or_init(|| {
        load(include_str!("data/shallow-flow.csv"), |record| {
            let coefficient = Velocity::from_fts(record.number("V at slope 1 (ft/s)")?);
            Some((Names::of(record, "surface")?, record.row(coefficient)?))
        })
    })
}

fn find<T: Copy>(all: &[(Names, Row<T>)], name: &str) -> Option<Row<T>> {
    names::find(all.iter(), |(names, _)| names, name).map(|(_, row)| *row)
}

fn names<T>(all: &[(Names, Row<T>)]) -> Vec<&'static str> {
    all.iter().map(|(names, _)| names.name).collect()
}

#[cfg(test)]
mod tests;
