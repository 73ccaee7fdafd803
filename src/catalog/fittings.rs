//! Loss coefficients of fittings, check valves and outlets.

use super::names::{self, Names};
use super::pipes::made_for;
use super::size::same_size;
use super::text::{Record, Row, load};
use crate::hydraulics::{Pipe, PipeUse};
use crate::quantity::Length;
use std::sync::OnceLock;

/// The loss of a fitting in a pipe.
#[derive(Clone, Debug, PartialEq)]
pub struct FittingEntry {
    /// Its name in the table.
    pub name: &'static str,
    /// What it is made for: pressure, or drains.
    pub made_for: PipeUse,
    /// The loss coefficient K, on the velocity head in the pipe's own bore; of a valve, fully open.
    pub k: f64,
    /// How far K is to be trusted.
    pub status: &'static str,
    /// How K is made up and where it comes from.
    pub source: String,
}

/// The loss of a check valve in a pipe, fully open, and what holds it open.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckValveEntry {
    /// Its kind in the table.
    pub name: &'static str,
    /// The loss coefficient K, fully open, on the velocity head in the pipe's own bore.
    pub k: f64,
    /// N in V = N √(1/ρ), the least velocity that holds it fully open, in m/s with ρ in kg/m³. Nothing where none is
    /// published.
    pub opening_constant: Option<f64>,
    /// Where the opening constant comes from.
    pub opening_source: Option<&'static str>,
    /// How far K is to be trusted.
    pub status: &'static str,
    /// How K is made up and where it comes from.
    pub source: String,
}

/// The loss of a kind of outlet, and whether it may be used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutletEntry {
    /// Its name in the table.
    pub kind: &'static str,
    /// The loss coefficient of its grate or cover, beyond the velocity head that is lost in any case.
    pub k: f64,
    /// Whether yard water may go there at all. The town's rules are another matter.
    pub allowed: bool,
    /// How far it is to be trusted.
    pub status: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

/// The loss of a fitting by its name (`elbow 90`, `90 ell`, `union`) in a pipe; nothing for a name not in the table.
///
/// K = n·fT for fittings whose loss falls with size (Technical Paper 410, 2009), where fT is the friction factor of
/// fully rough flow in the steel pipe that the fitting is made for, not the pipe's own. A pipe of another standard
/// takes fT of the inch size with the nearest bore.
pub fn fitting(name: &str, pipe: &Pipe) -> Option<FittingEntry> {
    let (made_for, loss) = names::find(fittings().iter(), |(_, loss)| &loss.names, name)?;
    let (k, source) = loss.in_pipe(pipe)?;
    Some(FittingEntry { name: loss.names.name, made_for: *made_for, k, status: loss.status, source })
}

/// The names of the fittings.
pub fn fitting_names() -> Vec<&'static str> {
    fittings().iter().map(|(_, loss)| loss.names.name).collect()
}

/// The loss of a check valve, fully open, by its kind (`swing`, `spring`) in a pipe, with the constant of the velocity
/// that opens it; nothing for a kind not in the table. K as in [`fitting`].
pub fn check_valve(kind: &str, pipe: &Pipe) -> Option<CheckValveEntry> {
    let loss = names::find(check_valves().iter(), |loss| &loss.names, kind)?;
    let name = loss.names.name;
    let opening = opening_constants().iter().find(|(kind, _)| *kind == name).map(|(_, constant)| constant);
    let (k, source) = loss.in_pipe(pipe)?;
    Some(CheckValveEntry {
        name,
        k,
        opening_constant: opening.map(|constant| constant.value),
        opening_source: opening.map(|constant| constant.source),
        status: loss.status,
        source,
    })
}

/// The kinds of check valve.
pub fn check_valve_kinds() -> Vec<&'static str> {
    check_valves().iter().map(|loss| loss.names.name).collect()
}

/// A kind of outlet; nothing for a kind not in the table. The sewer and the septic tank are in the table as
/// forbidden.
pub fn outlet(kind: &str) -> Option<OutletEntry> {
    names::find(outlets().iter(), |(names, _)| names, kind).map(|(_, outlet)| *outlet)
}

/// The kinds of outlet that may be used.
pub fn outlet_kinds() -> Vec<&'static str> {
    outlets().iter().filter(|(_, outlet)| outlet.allowed).map(|(_, outlet)| outlet.kind).collect()
}

/// How K is found.
#[derive(Clone, Copy, Debug)]
enum Coefficient {
    /// A multiple of fT.
    Multiple(f64),
    /// The same in every size.
    Fixed(f64),
}

#[derive(Debug)]
struct Loss {
    names: Names,
    coefficient: Coefficient,
    status: &'static str,
    source: &'static str,
}

impl Loss {
    fn read(record: &Record<'_>, heading: &str) -> Option<Self> {
        let coefficient = match (record.optional_number("multiple of fT").ok()?, record.optional_number("K").ok()?) {
            (Some(multiple), None) => Coefficient::Multiple(multiple),
            (None, Some(k)) => Coefficient::Fixed(k),
            _ => return None,
        };
        let names = Names::of(record, heading)?;
        Some(Self { names, coefficient, status: record.status()?, source: record.source()? })
    }

    /// K in a pipe, and how it is made up.
    fn in_pipe(&self, pipe: &Pipe) -> Option<(f64, String)> {
        match self.coefficient {
            Coefficient::Fixed(k) => Some((k, self.source.to_owned())),
            Coefficient::Multiple(multiple) => {
                let (friction, how) = rough_friction(pipe)?;
                let (f_t, size) = (friction.f_t, friction.size);
                Some((multiple * f_t, format!("{multiple} x fT {f_t} of {size}{how}; {}", self.source)))
            }
        }
    }
}

/// The friction factor of fully rough flow in steel pipe of a size.
#[derive(Debug)]
struct RoughFriction {
    size: &'static str,
    bore: Length,
    f_t: f64,
}

/// The size whose fT a pipe takes, and a remark where it is not the pipe's own. A pipe whose bore is no positive
/// number has none.
fn rough_friction(pipe: &Pipe) -> Option<(&'static RoughFriction, &'static str)> {
    if let Some(own) = rough_frictions().iter().find(|friction| same_size(friction.size, &pipe.size)) {
        return Some((own, ""));
    }
    let apart = |friction: &RoughFriction| libm::log(friction.bore / pipe.bore).abs();
    if !(pipe.bore.is_finite() && pipe.bore > Length::ZERO) {
        return None;
    }
    rough_frictions()
        .iter()
        .min_by(|one, other| apart(one).total_cmp(&apart(other)))
        .map(|friction| (friction, ", the nearest bore"))
}

/// The name in the tables of a fitting, or else the kind of a check valve, by any of its names.
pub(super) fn canonical(name: &str) -> Option<&'static str> {
    let all = fittings().iter().map(|(_, loss)| loss).chain(check_valves());
    names::find(all, |loss| &loss.names, name).map(|loss| loss.names.name)
}

/// The bore of schedule 40 pipe of a size, which the tables of fittings go by.
pub(super) fn schedule_40_bore(size: &str) -> Option<Length> {
    rough_frictions().iter().find(|friction| same_size(friction.size, size)).map(|friction| friction.bore)
}

fn rough_frictions() -> &'static [RoughFriction] {
    static ALL: OnceLock<Vec<RoughFriction>> = OnceLock::new();
    ALL.get_or_init(|| {
        load(include_str!("data/fitting-friction.csv"), |record| {
            Some(RoughFriction {
                size: record.text("size")?,
                bore: Length::from_inch(record.number("schedule 40 bore (in)")?),
                f_t: record.number("fT")?,
            })
        })
    })
}

/// Reads the tables that most lines ask for.
pub(super) fn read_ahead() {
    let _ = fittings();
    let _ = check_valves();
    let _ = opening_constants();
    let _ = outlets();
    let _ = rough_frictions();
}

/// The fittings, with what each is made for.
fn fittings() -> &'static [(PipeUse, Loss)] {
    static ALL: OnceLock<Vec<(PipeUse, Loss)>> = OnceLock::new();
    ALL.get_or_init(|| {
        load(include_str!("data/fittings.csv"), |record| Some((made_for(record)?, Loss::read(record, "fitting")?)))
    })
}

fn check_valves() -> &'static [Loss] {
    static ALL: OnceLock<Vec<Loss>> = OnceLock::new();
    ALL.get_or_init(|| load(include_str!("data/check-valves.csv"), |record| Loss::read(record, "kind")))
}

/// The opening constants of kinds of check valve.
fn opening_constants() -> &'static [(&'static str, Row<f64>)] {
    static ALL: OnceLock<Vec<(&'static str, Row<f64>)>> = OnceLock::new();
    ALL.get_or_init(|| {
        load(include_str!("data/check-valve-opening.csv"), |record| {
            Some((record.text("kind")?, record.row(record.number("opening constant")?)?))
        })
    })
}

fn outlets() -> &'static [(Names, OutletEntry)] {
    static ALL: OnceLock<Vec<(Names, OutletEntry)>> = OnceLock::new();
    ALL.get_or_init(|| {
        load(include_str!("data/outlets.csv"), |record| {
            let names = Names::of(record, "kind")?;
            let outlet = OutletEntry {
                kind: names.name,
                k: record.number("K of the cover")?,
                allowed: yes(record.text("allowed")?)?,
                status: record.status()?,
                source: record.source()?,
            };
            Some((names, outlet))
        })
    })
}

/// `yes` or `no`.
pub(super) fn yes(word: &str) -> Option<bool> {
    match word {
        "yes" => Some(true),
        "no" => Some(false),
        _ => None,
    }
}

#[cfg(test)]
mod tests;
