//! Loss coefficients of fittings, check valves and outlets.

use super::names::{Names, key};
use super::size::same_size;
use super::text::{Record, load};
use crate::hydraulics::Pipe;
use crate::quantity::Length;
use std::sync::OnceLock;

/// The loss of a fitting or valve in a pipe.
#[derive(Clone, Debug, PartialEq)]
pub struct FittingEntry {
    /// Its name in the table.
    pub name: &'static str,
    /// The loss coefficient K, on the velocity head in the pipe's own bore; of a valve, fully open.
    pub k: f64,
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
    find(fittings(), name)?.in_pipe(pipe)
}

/// The names of the fittings.
pub fn fitting_names() -> Vec<&'static str> {
    fittings().iter().map(|loss| loss.names.name).collect()
}

/// The loss of a check valve, fully open, by its kind (`swing`, `spring`) in a pipe; nothing for a kind not in the
/// table.
pub fn check_valve(kind: &str, pipe: &Pipe) -> Option<FittingEntry> {
    find(check_valves(), kind)?.in_pipe(pipe)
}

/// The kinds of check valve.
pub fn check_valve_kinds() -> Vec<&'static str> {
    check_valves().iter().map(|loss| loss.names.name).collect()
}

/// A kind of outlet; nothing for a kind not in the table. The sewer and the septic tank are in the table as
/// forbidden.
pub fn outlet(kind: &str) -> Option<OutletEntry> {
    let key = key(kind);
    outlets().iter().find(|(names, _)| names.has(&key)).map(|(_, outlet)| *outlet)
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

    fn in_pipe(&self, pipe: &Pipe) -> Option<FittingEntry> {
        let (k, source) = match self.coefficient {
            Coefficient::Fixed(k) => (k, self.source.to_owned()),
            Coefficient::Multiple(multiple) => {
                let (friction, how) = rough_friction(pipe)?;
                let (f_t, size) = (friction.f_t, friction.size);
                (multiple * f_t, format!("{multiple} x fT {f_t} of {size}{how}; {}", self.source))
            }
        };
        Some(FittingEntry { name: self.names.name, k, status: self.status, source })
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

fn find(losses: &'static [Loss], name: &str) -> Option<&'static Loss> {
    let key = key(name);
    losses.iter().find(|loss| loss.names.has(&key))
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

fn fittings() -> &'static [Loss] {
    static ALL: OnceLock<Vec<Loss>> = OnceLock::new();
    ALL.get_or_init(|| load(include_str!("data/fittings.csv"), |record| Loss::read(record, "fitting")))
}

fn check_valves() -> &'static [Loss] {
    static ALL: OnceLock<Vec<Loss>> = OnceLock::new();
    ALL.get_or_init(|| load(include_str!("data/check-valves.csv"), |record| Loss::read(record, "kind")))
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
