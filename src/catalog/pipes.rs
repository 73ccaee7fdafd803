//! Pipes by material and size.

use super::derating::{pe_derating, pvc_derating};
use super::names::{self, Names, key, nearest};
use super::size::same_size;
use super::text::{Record, load, load_of};
use crate::hydraulics::{Pipe, PipeUse};
use crate::quantity::{Length, Pressure, Temperature};
use std::sync::OnceLock;

/// A pipe of the table.
#[derive(Clone, Debug, PartialEq)]
pub struct PipeEntry {
    /// The pipe. Its bore is the one with the least wall that the standard allows.
    pub pipe: Pipe,
    /// The standard it is made to.
    pub standard: &'static str,
    /// How far its dimensions and rating are to be trusted.
    pub status: &'static str,
    /// Where its dimensions and rating come from.
    pub source: &'static str,
    /// How far its friction coefficients and its modulus of elasticity are to be trusted.
    pub friction_status: &'static str,
    /// Where its Hazen-Williams C, its roughness and its modulus of elasticity come from.
    pub friction_source: &'static str,
    /// Where its Manning n comes from.
    pub manning_source: &'static str,
}

/// Why a pipe is not in the table.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PipeLookup {
    /// No material has this name.
    #[error("no such pipe material in the table{}", .nearest.map(|name| format!("; perhaps `{name}`")).unwrap_or_default())]
    UnknownMaterial {
        /// The name most like it, where one is like enough.
        nearest: Option<&'static str>,
    },
    /// The material is there, but not in this size.
    #[error("no such size of {material} in the table; it has {}", .sizes.join(", "))]
    SizeNotMade {
        /// The name of the material in the table.
        material: &'static str,
        /// The sizes of it that the table has, by increasing bore.
        sizes: Vec<&'static str>,
    },
}

/// The pipe of a material and a size.
///
/// The material may be called by a trade name (`schedule 40 PVC`, `Sch. 40 PVC`, `SDR 35`); the size is its label,
/// `1-1/2 in` or `63 mm`.
///
/// # Errors
///
/// [`PipeLookup::UnknownMaterial`] with the name most like it, or [`PipeLookup::SizeNotMade`] with the sizes of it.
pub fn pipe(material: &str, size: &str) -> Result<&'static PipeEntry, PipeLookup> {
    let material = known_material(material)?;
    made_of(material).find(|entry| same_size(&entry.pipe.size, size)).ok_or_else(|| PipeLookup::SizeNotMade {
        material: material.names.name,
        sizes: made_of(material).map(|entry| entry.pipe.size.as_str()).collect(),
    })
}

/// The names of the materials: pressure pipe, then drain pipe, then hose.
pub fn pipe_materials() -> Vec<&'static str> {
    materials().iter().map(|material| material.names.name).collect()
}

/// The materials that the tables have in a size.
pub fn materials_made_in(size: &str) -> Vec<&'static str> {
    let made = |material: &&'static Material| made_of(material).any(|entry| same_size(&entry.pipe.size, size));
    materials().iter().filter(made).map(|material| material.names.name).collect()
}

/// The sizes that the table has of a material, by increasing bore; empty for a material that it has not.
pub fn pipe_sizes(material: &str) -> Vec<&'static str> {
    known_material(material)
        .map(|material| made_of(material).map(|entry| entry.pipe.size.as_str()).collect())
        .unwrap_or_default()
}

/// The next smaller pipe of the same material, by bore.
pub fn next_smaller(pipe: &Pipe) -> Option<&'static PipeEntry> {
    let mut entries = made_of(known_material(&pipe.material).ok()?);
    entries.rfind(|entry| entry.pipe.bore < pipe.bore && !same_size(&entry.pipe.size, &pipe.size))
}

/// The next larger pipe of the same material, by bore.
pub fn next_larger(pipe: &Pipe) -> Option<&'static PipeEntry> {
    let mut entries = made_of(known_material(&pipe.material).ok()?);
    entries.find(|entry| entry.pipe.bore > pipe.bore && !same_size(&entry.pipe.size, &pipe.size))
}

/// What the pipes of one material have in common.
#[derive(Debug)]
struct Material {
    names: Names,
    standard: &'static str,
    made_for: PipeUse,
    hazen_williams_c: f64,
    roughness: Length,
    manning_n: f64,
    elastic_modulus: Option<Pressure>,
    against_pressure: Option<&'static str>,
    derating: Option<Derating>,
    status: &'static str,
    source: &'static str,
    manning_source: &'static str,
    /// Its pipes, by increasing bore.
    entries: OnceLock<Vec<PipeEntry>>,
}

impl Material {
    fn read(record: &Record<'_>, conduits: &[Conduit]) -> Option<Self> {
        let conduit = record.text("Manning conduit")?;
        let conduit = conduits.iter().find(|known| known.name == conduit)?;
        Some(Self {
            names: Names::of(record, "material")?,
            standard: record.text("standard")?,
            made_for: made_for(record)?,
            hazen_williams_c: record.number("Hazen-Williams C")?,
            roughness: Length::from_mm(record.number("roughness (mm)")?),
            manning_n: conduit.n,
            elastic_modulus: record.optional_number("elastic modulus (MPa)").ok()?.map(from_mpa),
            against_pressure: record.text("against pressure"),
            derating: derating(record)?,
            status: record.status()?,
            source: record.source()?,
            manning_source: conduit.source,
            entries: OnceLock::new(),
        })
    }
}

/// What the cell `made for` says.
pub(super) fn made_for(record: &Record<'_>) -> Option<PipeUse> {
    match record.text("made for")? {
        "pressure" => Some(PipeUse::Pressure),
        "drain" => Some(PipeUse::Drain),
        "hose" => Some(PipeUse::Hose),
        _ => None,
    }
}

/// What the cell `derating` says.
#[allow(clippy::option_option)]
fn derating(record: &Record<'_>) -> Option<Option<Derating>> {
    match record.text("derating") {
        Some("PVC") => Some(Some(Derating::Pvc)),
        Some("PE") => Some(Some(Derating::Pe)),
        Some(_) => None,
        None => Some(None),
    }
}

/// The share of its rating that a pipe keeps at a temperature: none where no table says so, as for polyethylene above
/// 104 F; nothing at all for PVC above 140 F, where it must not be used. Where its material has no table, all of it. Sources: those of
/// [`pvc_derating`] and [`pe_derating`], of the material by its name in the table of pipes.
pub fn rating_share(pipe: &Pipe, temperature: Temperature) -> Option<f64> {
    let family = known_material(&pipe.material).ok().and_then(|material| material.derating);
    match family {
        Some(Derating::Pvc) => Some(pvc_derating(temperature).map_or(0.0, |row| row.value)),
        Some(Derating::Pe) => pe_derating(temperature).map(|row| row.value),
        None => Some(1.0),
    }
}

/// Whether a pipe is of polyethylene, which comes in coils and is not glued; by its material's derating table.
pub fn is_polyethylene(pipe: &Pipe) -> bool {
    known_material(&pipe.material).is_ok_and(|material| material.derating == Some(Derating::Pe))
}

fn from_mpa(megapascals: f64) -> Pressure {
    Pressure::from_kpa(megapascals * 1e3)
}

/// By which table a material loses strength with warmth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Derating {
    Pvc,
    Pe,
}

#[derive(Debug)]
struct Conduit {
    name: &'static str,
    n: f64,
    source: &'static str,
}

fn materials() -> &'static [Material] {
    static MATERIALS: OnceLock<Vec<Material>> = OnceLock::new();
    MATERIALS.get_or_init(|| {
        let conduits = load(include_str!("data/manning-n.csv"), |record| {
            Some(Conduit { name: record.text("conduit")?, n: record.number("taken")?, source: record.source()? })
        });
        load(include_str!("data/pipe-materials.csv"), |record| Material::read(record, &conduits))
    })
}

fn known_material(name: &str) -> Result<&'static Material, PipeLookup> {
    let found = names::find(materials().iter(), |material| &material.names, name);
    found.ok_or_else(|| PipeLookup::UnknownMaterial {
        nearest: nearest(&key(name), materials().iter().map(|material| &material.names)),
    })
}

/// The pipes of a material, by increasing bore as the table has them.
fn made_of(material: &'static Material) -> impl DoubleEndedIterator<Item = &'static PipeEntry> {
    let entries = material.entries.get_or_init(|| {
        // a job asks for a few materials: the others' rows need not be read
        let begins = format!("{},", material.names.name);
        let us = load_of(include_str!("data/pipes.csv"), &begins, |record| entry(record, material, &US));
        let metric = load_of(include_str!("data/pipes-metric.csv"), &begins, |record| entry(record, material, &METRIC));
        us.into_iter().chain(metric).collect()
    });
    entries.iter()
}

/// The headings and units of one of the two tables of pipes.
struct Units {
    outside_diameter: &'static str,
    bore: &'static str,
    average_bore: &'static str,
    length: fn(f64) -> Length,
    rating: &'static str,
    pressure: fn(f64) -> Pressure,
}

const US: Units = Units {
    outside_diameter: "outside diameter (in)",
    bore: "bore (in)",
    average_bore: "average bore (in)",
    length: Length::from_inch,
    rating: "rating at 73 F (psi)",
    pressure: Pressure::from_psi,
};

/// The metric standards rate at 20 C, which is 68 F; the little that 73 F takes off is less than the rounding of
/// ratings.
const METRIC: Units = Units {
    outside_diameter: "outside diameter (mm)",
    bore: "bore (mm)",
    average_bore: "average bore (mm)",
    length: Length::from_mm,
    rating: "rating at 20 C (bar)",
    pressure: Pressure::from_bar,
};

fn entry(record: &Record<'_>, material: &Material, units: &Units) -> Option<PipeEntry> {
    Some(PipeEntry {
        pipe: Pipe {
            material: record.text("material")?.to_owned(),
            size: record.text("size")?.to_owned(),
            outside_diameter: (units.length)(record.number(units.outside_diameter)?),
            bore: (units.length)(record.number(units.bore)?),
            average_bore: record.optional_number(units.average_bore).ok()?.map(units.length),
            rating: record.optional_number(units.rating).ok()?.map(units.pressure),
            hazen_williams_c: material.hazen_williams_c,
            roughness: material.roughness,
            manning_n: material.manning_n,
            made_for: material.made_for,
            against_pressure: material.against_pressure,
            elastic_modulus: material.elastic_modulus,
        },
        standard: material.standard,
        status: record.status()?,
        source: record.source()?,
        friction_status: material.status,
        friction_source: material.source,
        manning_source: material.manning_source,
    })
}

#[cfg(test)]
mod tests;
