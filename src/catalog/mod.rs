//! Built-in tables: pipes, fittings, surfaces, soils, storms, grates, swales, limits, wires.
//!
//! Each table is a file in `data/`, embedded in the program, with one unit a column. Its last two columns say
//! how far a row is to be trusted (`status`) and the publication it comes from (`source`, a key of
//! `data/sources.csv` or plain text). A table is read once, when something of it is first asked for.
//!
//! The status of a row is one of [`FOUND`], [`FROM_MEMORY`], [`DERIVED`] and [`COMMON_PRACTICE`]. Where the parts
//! of a row differ, it is the least of them, and the source says more.
//!
//! Names are looked up leniently: case, punctuation, the order of words and a plural do not matter, and a few
//! trade names stand beside each name of the tables.

mod curve_numbers;
mod derating;
mod equivalent;
mod fittings;
mod ground;
mod inlets;
mod least_falls;
mod limits;
mod names;
mod pipes;
mod size;
mod soils;
mod storms;
mod surfaces;
mod swales;
mod tables;
mod text;
mod wires;

pub use curve_numbers::{CurveNumberEntry, curve_number, curve_number_entry, curve_number_surfaces};
pub use derating::{pe_derating, pvc_derating};
pub use equivalent::{EquivalentLength, equivalent_length, equivalent_length_tables};
pub use fittings::{
    CheckValveEntry, FittingEntry, OutletEntry, check_valve, check_valve_kinds, fitting, fitting_names, outlet,
    outlet_kinds,
};
pub use ground::{GroundEntry, ground, ground_textures};
pub use inlets::{GrateEntry, grate_sizes, usual_open_share};
pub use least_falls::{least_fall, least_french_fall};
pub use limits::{BasinSize, DefaultLimits, basin_sizes, default_limits};
pub use pipes::{
    PipeEntry, PipeLookup, is_polyethylene, materials_made_in, next_larger, next_smaller, pipe, pipe_materials,
    pipe_sizes, rating_share,
};
pub use size::nominal_as_length;
pub use soils::{SoilEntry, depression_storage, frequency_factor_source, frequency_factors, soil, textures};
pub use storms::{StormDistribution, storm_distribution, storm_distributions};
pub use surfaces::{
    CoefficientEntry, runoff_coefficient, shallow_coefficient, shallow_surfaces, sheet_roughness, sheet_surfaces,
    surfaces, surfaces_alike,
};
pub use swales::{SwaleCover, swale_cover, swale_covers};
pub use tables::{Table, tables};
pub use text::{COMMON_PRACTICE, DERIVED, FOUND, FROM_MEMORY, Row};
pub use wires::{WireEntry, wire, wires};

/// Reads the tables that most sites ask for, in the order in which they do. A table is read once however it is come by:
/// on a thread of its own this saves the wait.
pub fn read_ahead() {
    let _ = frequency_factors();
    let _ = surfaces();
    let _ = curve_number_surfaces();
    let _ = depression_storage(true);
    let _ = sheet_surfaces();
    let _ = shallow_surfaces();
    let _ = default_limits();
    let _ = grate_sizes();
    let _ = usual_open_share();
    // the pipe that most lines are of
    let _ = pipe("PVC schedule 40", "2 in");
    let _ = ground_textures();
    fittings::read_ahead();
    let _ = basin_sizes();
}
