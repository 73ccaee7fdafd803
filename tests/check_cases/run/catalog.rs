//! The built-in tables.

use super::{Entry, amount, known};
use crate::given::{Given, quantity};
use sumpwright::catalog::{
    CoefficientEntry, GrateEntry, GroundEntry, SoilEntry, SwaleCover, check_valve, curve_number, equivalent_length,
    fitting, frequency_factors, grate_sizes, ground, least_fall, least_french_fall, pipe, pvc_derating,
    runoff_coefficient, shallow_coefficient, sheet_roughness, soil, swale_cover, wire,
};
use sumpwright::hydraulics::Pipe;
use sumpwright::hydraulics::friction::hazen_williams_loss;
use sumpwright::hydraulics::surge::wave_speed;
use sumpwright::hydrology::frequency_factor;
use sumpwright::quantity::{Density, Flow, Intensity, Length, Pressure, Velocity};

pub(super) const TABLE: &[Entry] = &[
    ("pipe_bore", |g| amount(catalog_pipe(g)?.bore)),
    ("pipe_average_bore", |g| known(catalog_pipe(g)?.average_bore)),
    ("pipe_rating", |g| amount(rating(g)?)),
    ("rating_by_wall", |g| {
        let pipe = catalog_pipe(g)?;
        let wall = (pipe.outside_diameter - pipe.bore) / 2.0;
        amount(g.get::<Pressure>("stress")? * (wall * 2.0 / (pipe.outside_diameter - wall)))
    }),
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
    ("ground_conductivity_low", |g| amount(as_printed(texture_of_ground(g)?.conductivity_low))),
    ("ground_conductivity_high", |g| amount(as_printed(texture_of_ground(g)?.conductivity_high))),
    ("ground_drainable_low", |g| amount(texture_of_ground(g)?.drainable_low)),
    ("ground_drainable_high", |g| amount(texture_of_ground(g)?.drainable_high)),
    ("tabled_curve_number", |g| {
        let group = g.text("group")?.chars().next().ok_or("no group")?;
        known(curve_number(g.text("surface")?, group).map(|row| row.value))
    }),
    ("swale_manning_n", |g| amount(cover(g)?.manning_n)),
    ("permissible_velocity", |g| known(cover(g)?.permissible_at(g.get("slope")?, g.flag("easily_eroded")?))),
    ("least_fall", |g| amount(least_fall(g.get("bore")?).value)),
    ("least_french_fall", |_| amount(least_french_fall().value)),
    ("grate_open_area", |g| amount(grate(g)?.open_area)),
    ("grate_perimeter", |g| amount(grate(g)?.perimeter)),
];

/// A conductivity in the unit that its source prints, which is one of intensity.
fn as_printed(conductivity: Velocity) -> Intensity {
    Intensity::from_ms(conductivity.ms())
}

fn texture_of_ground(g: &Given<'_>) -> Result<&'static GroundEntry, String> {
    ground(g.text("texture")?).ok_or_else(|| "no such texture".to_owned())
}

fn cover(g: &Given<'_>) -> Result<&'static SwaleCover, String> {
    swale_cover(g.text("cover")?).ok_or_else(|| "no such cover".to_owned())
}

fn grate(g: &Given<'_>) -> Result<&'static GrateEntry, String> {
    let label = g.text("grate")?;
    grate_sizes().iter().find(|grate| grate.label == label).ok_or_else(|| "no such grate".to_owned())
}

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
