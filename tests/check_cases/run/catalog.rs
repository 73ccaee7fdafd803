//! The built-in tables.

use super::{Entry, amount, known};
use crate::given::{Given, quantity};
use sumpwright::catalog::{
    CoefficientEntry, SoilEntry, check_valve, equivalent_length, fitting, frequency_factors, pipe, pvc_derating,
    runoff_coefficient, shallow_coefficient, sheet_roughness, soil, wire,
};
use sumpwright::hydraulics::Pipe;
use sumpwright::hydraulics::friction::hazen_williams_loss;
use sumpwright::hydraulics::surge::wave_speed;
use sumpwright::hydrology::frequency_factor;
use sumpwright::quantity::{Density, Flow, Length, Pressure, Velocity};

pub(super) const TABLE: &[Entry] = &[
    ("pipe_bore", |g| amount(catalog_pipe(g)?.bore)),
    ("pipe_average_bore", |g| known(catalog_pipe(g)?.average_bore)),
    ("pipe_rating", |g| amount(rating(g)?)),
    ("pvc_derating", |g| amount(derating(g)?)),
    ("derated_rating", |g| amount(rating(g)? * derating(g)?)),
    ("average_bore_friction_ratio", |g| {
        let pipe = catalog_pipe(g)?;
        let average = pipe.average_bore.ok_or("no average bore")?;
        let loss =
            |bore| hazen_williams_loss(Length::from_ft(100.0), Flow::from_gpm(40.0), pipe.hazen_williams_c, bore);
        amount(loss(average) / loss(pipe.bore))
    }),
    ("fitting_k", |g| known(fitting(g.text("fitting")?, catalog_pipe(g)?).map(|entry| entry.k))),
    ("check_valve_k", |g| known(check_valve(g.text("kind")?, catalog_pipe(g)?).map(|entry| entry.k))),
    ("tabled_equivalent_length", |g| {
        let (table, name) = (g.text("table")?, g.text("fitting")?);
        known(equivalent_length(table, name, catalog_pipe(g)?).map(|entry| entry.length))
    }),
    ("check_valve_opening_constant", |g| {
        known(check_valve(g.text("kind")?, catalog_pipe(g)?).and_then(|entry| entry.opening_constant))
    }),
    ("wave_speed_in", |g| {
        // the handbook's speed of sound says which density goes with its bulk modulus
        let pipe = catalog_pipe(g)?;
        let (bulk, sound): (Pressure, Velocity) = (g.get("bulk_modulus")?, g.get("sound_speed")?);
        let density = Density::from_kgm3(bulk.pa() / (sound.ms() * sound.ms()));
        let modulus = pipe.elastic_modulus.ok_or("no modulus")?;
        amount(wave_speed(bulk, density, modulus, pipe.bore, pipe.wall()))
    }),
    ("wire_area", |g| known(wire(g.text("wire")?).map(|entry| entry.area))),
    ("texture_conductivity", |g| amount(texture(g)?.conductivity)),
    ("texture_suction", |g| amount(texture(g)?.suction)),
    ("catalog_frequency_factor", |g| amount(frequency_factor(frequency_factors(), g.get("period")?))),
    ("coefficient_low", |g| amount(coefficient(g)?.low)),
    ("coefficient_high", |g| amount(coefficient(g)?.high)),
    ("sheet_roughness", |g| known(sheet_roughness(g.text("surface")?).map(|row| row.value))),
    ("shallow_coefficient", |g| known(shallow_coefficient(g.text("surface")?).map(|row| row.value))),
];

fn catalog_pipe(g: &Given<'_>) -> Result<&'static Pipe, String> {
    let found = pipe(g.text("material")?, g.text("size")?);
    found.map(|entry| &entry.pipe).map_err(|error| error.to_string())
}

fn rating(g: &Given<'_>) -> Result<Pressure, String> {
    catalog_pipe(g)?.rating.ok_or_else(|| "no rating".to_owned())
}

fn derating(g: &Given<'_>) -> Result<f64, String> {
    pvc_derating(g.get("temperature")?).map(|row| row.value).ok_or_else(|| "no factor".to_owned())
}

fn texture(g: &Given<'_>) -> Result<&'static SoilEntry, String> {
    soil(g.text("texture")?).ok_or_else(|| "no such texture".to_owned())
}

fn coefficient(g: &Given<'_>) -> Result<CoefficientEntry, String> {
    let slope = g.maybe("slope").map(quantity).transpose()?;
    let sandy = g.maybe("sandy").map(|_| g.flag("sandy")).transpose()?;
    runoff_coefficient(g.text("surface")?, sandy, slope).ok_or_else(|| "no such surface".to_owned())
}
