//! Losses of fittings as lengths of pipe, by several published tables side by side.
//!
//! The tables differ by as much as a factor of six for the same fitting. None of them is the right one.

use super::fittings::{canonical, schedule_40_bore};
use super::names::{self, Names};
use super::size::same_size;
use super::text::load;
use crate::hydraulics::Pipe;
use crate::hydraulics::friction::HAZEN_WILLIAMS_EXPONENT;
use crate::quantity::Length;
use std::sync::OnceLock;

/// The length of pipe that loses as much as a fitting, by one of the tables.
#[derive(Clone, Debug, PartialEq)]
pub struct EquivalentLength {
    /// The table it is from.
    pub table: &'static str,
    /// The fitting's name in the table of fittings, or the check valve's kind.
    pub fitting: &'static str,
    /// The length of the pipe asked for.
    pub length: Length,
    /// How far it is to be trusted.
    pub status: &'static str,
    /// The table, the size, what was corrected, and the publication.
    pub source: String,
}

/// The length of a pipe that loses as much as a fitting (`elbow 90`) or check valve (`swing`), by a table of
/// [`equivalent_length_tables`]. Names are understood as [`fitting`](super::fitting) and
/// [`check_valve`](super::check_valve) understand them.
///
/// A table that states the C of its pipe is corrected to the C of this one: L (C/C table)^1.852, by which the length
/// grows where the pipe is smoother, since the fitting loses the same. Lengths of the others are as printed. A pipe
/// whose size the table has not takes the size with the nearest bore.
///
/// Nothing for a name that is not known, for a cell that the table leaves empty, and for a pipe whose bore is more than
/// 15 % away from every size of the table: such lengths go with the bore.
pub fn equivalent_length(table: &str, fitting: &str, pipe: &Pipe) -> Option<EquivalentLength> {
    let table = known_table(table)?;
    let fitting = canonical(fitting)?;
    let (size, how) = size_in(table, pipe)?;
    let cell = cells_of(table).find(|cell| cell.fitting == fitting && cell.size == size)?;
    let (factor, correction) = match table.c {
        None => (1.0, String::new()),
        Some(c) => {
            let factor = libm::pow(pipe.hazen_williams_c / c, HAZEN_WILLIAMS_EXPONENT);
            (factor, format!(", times {factor:.3} from C {c} to C {}", pipe.hazen_williams_c))
        }
    };
    let length = Some(cell.length * factor).filter(|length| length.is_finite() && *length > Length::ZERO)?;
    let name = table.names.name;
    let feet = cell.length.ft();
    Some(EquivalentLength {
        table: name,
        fitting,
        length,
        status: cell.status,
        source: format!("table `{name}`, {feet} ft in {size}{how}{correction}; {}", cell.source),
    })
}

/// The names of the tables of equivalent lengths.
pub fn equivalent_length_tables() -> Vec<&'static str> {
    lengths_tables().iter().map(|table| table.names.name).collect()
}

/// How far a bore may lie from that of a table's size, as a ratio. Between the sizes of the tables it never does.
const FARTHEST: f64 = 1.15;

/// The size of a table that a pipe takes, and a remark where it is not the pipe's own.
fn size_in(table: &LengthsTable, pipe: &Pipe) -> Option<(&'static str, &'static str)> {
    if let Some(own) = cells_of(table).find(|cell| same_size(cell.size, &pipe.size)) {
        return Some((own.size, ""));
    }
    if !(pipe.bore.is_finite() && pipe.bore > Length::ZERO) {
        return None;
    }
    let apart = |cell: &Cell| libm::log(cell.bore / pipe.bore).abs();
    cells_of(table)
        .min_by(|one, other| apart(one).total_cmp(&apart(other)))
        .filter(|cell| apart(cell) <= libm::log(FARTHEST))
        .map(|cell| (cell.size, ", the nearest bore"))
}

fn known_table(name: &str) -> Option<&'static LengthsTable> {
    names::find(lengths_tables().iter(), |table| &table.names, name)
}

/// One of the published tables.
#[derive(Debug)]
struct LengthsTable {
    names: Names,
    /// The Hazen-Williams C of its pipe, where it states one.
    c: Option<f64>,
}

fn lengths_tables() -> &'static [LengthsTable] {
    static ALL: OnceLock<Vec<LengthsTable>> = OnceLock::new();
    ALL.get_or_init(|| {
        load(include_str!("data/equivalent-length-tables.csv"), |record| {
            Some(LengthsTable { names: Names::of(record, "table")?, c: record.optional_number("C").ok()? })
        })
    })
}

/// One fitting in one size by one table.
#[derive(Debug)]
struct Cell {
    table: &'static str,
    fitting: &'static str,
    size: &'static str,
    bore: Length,
    length: Length,
    status: &'static str,
    source: &'static str,
}

fn cells_of(table: &LengthsTable) -> impl Iterator<Item = &'static Cell> {
    let name = table.names.name;
    cells().iter().filter(move |cell| cell.table == name)
}

fn cells() -> &'static [Cell] {
    static ALL: OnceLock<Vec<Cell>> = OnceLock::new();
    ALL.get_or_init(|| {
        load(include_str!("data/equivalent-lengths.csv"), |record| {
            let size = record.text("size")?;
            Some(Cell {
                table: known_table(record.text("table")?)?.names.name,
                fitting: canonical(record.text("fitting")?)?,
                size,
                bore: schedule_40_bore(size)?,
                length: Length::from_ft(record.number("length (ft)")?),
                status: record.status()?,
                source: record.source()?,
            })
        })
    })
}

#[cfg(test)]
mod tests;
