//! The trenches by stations and the hole of the basin: what the crew digs and lays to.

use super::hole::{Hole, hole};
use crate::design::{Design, LADDER_DEPTH, PROTECTED_DEPTH};
use crate::hydraulics::{Pipe, Surface};
use crate::quantity::{Length, Level};
use crate::site::{Drain, Setup, Site};

/// All that is dug.
#[derive(Clone, Debug, PartialEq)]
pub struct Stations {
    /// The setups that rod readings are given for, in the order of every list of them.
    pub setups: Vec<Setup>,
    /// The trench of the discharge line, then those of the gravity drains in their order.
    pub trenches: Vec<Trench>,
    /// The hole of the basin.
    pub hole: Hole,
    /// The deepest of what is known to be dug.
    pub deepest: Length,
    /// Whether some of it is as deep as [`Self::protected_from`].
    pub protected: bool,
    /// From this depth on a trench or hole is shored, sloped or boxed.
    pub protected_from: Length,
    /// Whether some of it is as deep as [`Self::ladder_from`].
    pub ladder: bool,
    /// From this depth on a ladder stands in it.
    pub ladder_from: Length,
}

/// Tape and drawing never agree to the inch: what is so near to a limit counts as at it.
const AS_GOOD_AS: f64 = 0.98;

/// What lies in a trench.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lies {
    /// The discharge line, under pressure.
    Discharge,
    /// A solid drain.
    Solid,
    /// A perforated pipe in stone.
    French,
}

/// A trench.
#[derive(Clone, Debug, PartialEq)]
pub struct Trench {
    /// The drain's name; none for the discharge line.
    pub name: Option<String>,
    /// What lies in it.
    pub lies: Lies,
    /// Where it leads.
    pub to: String,
    /// Its length.
    pub length: Length,
    /// The pipes in it, each once, in their order; none where no size was entered.
    pub pipes: Vec<String>,
    /// What is laid under the pipe.
    pub bedding: Length,
    /// The width that was entered for it.
    pub width: Option<Length>,
    /// From the basin to the outlet; in a drain from its upper end.
    pub stations: Vec<TrenchStation>,
}

impl Trench {
    /// The deepest that is known to be dug in it.
    pub fn deepest(&self) -> Option<Length> {
        self.stations.iter().filter_map(|station| station.dig).reduce(Length::max)
    }
    /// Whether the ground is known at none of its stations.
    pub fn without_ground(&self) -> bool {
        self.stations.iter().all(|station| station.ground.is_none())
    }
}

/// A place along a trench.
#[derive(Clone, Debug, PartialEq)]
pub struct TrenchStation {
    /// Along the trench.
    pub at: Length,
    /// The ground.
    pub ground: Option<Level>,
    /// Whether that was taken straight between two places that were entered.
    pub ground_between: bool,
    /// The lowest point inside the pipe.
    pub invert: Option<Level>,
    /// The bottom of the trench: below the pipe's wall and the bedding.
    pub bottom: Option<Level>,
    /// The top of the pipe, its wall included.
    pub top: Option<Level>,
    /// From the ground down to the bottom of the trench.
    pub dig: Option<Length>,
    /// From the ground down to the top of the pipe.
    pub cover: Option<Length>,
    /// How much higher the pipe lies than at the station before.
    pub since: Option<Length>,
    /// What lies over it, where that was said.
    pub under: Option<Surface>,
    /// Whether it is an entered place, not one between.
    pub entered: bool,
    /// Rod readings, one for each setup.
    pub rods: Vec<Rods>,
}

/// Rod readings on the three levels of a station.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rods {
    /// On the bottom of the trench.
    pub bottom: Option<Length>,
    /// On the invert.
    pub invert: Option<Length>,
    /// On the top of the pipe.
    pub top: Option<Length>,
}

/// A station between is left out within this share of the spacing from an entered place.
const NEAR: f64 = 0.1;
/// More stations than this nobody walks.
const MOST: usize = 2000;

pub(super) fn stations(site: &Site, design: &Design) -> Stations {
    let setups: Vec<Setup> = site
        .setups
        .iter()
        .filter(|setup| site.crew.setup.as_ref().is_none_or(|name| name == &setup.name))
        .cloned()
        .collect();
    let trenches: Vec<Trench> = std::iter::once(discharge(site, &setups))
        .chain(site.drains.iter().map(|drain| of_drain(site, drain, &setups)))
        .collect();
    let hole = hole(site, design, &setups);
    let deepest = trenches.iter().filter_map(Trench::deepest).fold(hole.depth, Length::max);
    Stations {
        setups,
        trenches,
        hole,
        deepest,
        protected: deepest >= PROTECTED_DEPTH * AS_GOOD_AS,
        protected_from: PROTECTED_DEPTH,
        ladder: deepest >= LADDER_DEPTH * AS_GOOD_AS,
        ladder_from: LADDER_DEPTH,
    }
}

/// Entered places and those between at a spacing, with whether each was entered.
fn places(entered: &[Length], length: Length, spacing: Length) -> Vec<(Length, bool)> {
    let mut all: Vec<(Length, bool)> = entered.iter().map(|at| (*at, true)).collect();
    if spacing > Length::ZERO {
        let mut steps = 1_u32;
        while (steps as usize) < MOST {
            let at = spacing * f64::from(steps);
            if at >= length {
                break;
            }
            if entered.iter().all(|place| (*place - at).abs() >= spacing * NEAR) {
                all.push((at, false));
            }
            steps += 1;
        }
    }
    all.sort_by(|one, other| one.0.m().total_cmp(&other.0.m()));
    all
}

/// What is known of a place before anything is worked out.
struct Known<'p> {
    at: Length,
    entered: bool,
    ground: Option<Level>,
    invert: Option<Level>,
    pipe: Option<&'p Pipe>,
    under: Option<Surface>,
}

fn station(known: &Known<'_>, before: Option<Level>, bedding: Length, setups: &[Setup]) -> TrenchStation {
    let bottom = known.invert.zip(known.pipe).map(|(invert, pipe)| invert - pipe.wall() - bedding);
    let top = known.invert.zip(known.pipe).map(|(invert, pipe)| invert + pipe.bore + pipe.wall());
    let below = |level: Option<Level>| Some(known.ground? - level?);
    TrenchStation {
        at: known.at,
        ground: known.ground,
        ground_between: !known.entered && known.ground.is_some(),
        invert: known.invert,
        bottom,
        top,
        dig: below(bottom),
        cover: below(top),
        since: known.invert.zip(before).map(|(invert, before)| invert - before),
        under: known.under,
        entered: known.entered,
        rods: setups
            .iter()
            .map(|setup| {
                let rod = |level: Option<Level>| level.map(|level| setup.rod_on(level));
                Rods { bottom: rod(bottom), invert: rod(known.invert), top: rod(top) }
            })
            .collect(),
    }
}

fn all_stations(known: &[Known<'_>], bedding: Length, setups: &[Setup]) -> Vec<TrenchStation> {
    let before = std::iter::once(None).chain(known.iter().map(|known| known.invert));
    known.iter().zip(before).map(|(known, before)| station(known, before, bedding, setups)).collect()
}

fn discharge(site: &Site, setups: &[Setup]) -> Trench {
    let line = &site.discharge;
    let length = line.length();
    let entered: Vec<Length> = if line.profile.is_empty() {
        vec![Length::ZERO, length]
    } else {
        line.profile.iter().map(|point| point.at).collect()
    };
    let end = entered.last().copied().unwrap_or(length);
    let known: Vec<Known<'_>> = places(&entered, end, site.crew.spacing(site.units))
        .into_iter()
        .map(|(at, is_entered)| {
            let own = line.profile.iter().find(|point| is_entered && point.at == at);
            Known {
                at,
                entered: is_entered,
                ground: own.map_or_else(|| line.ground_at(at), |point| point.ground),
                invert: own.map_or_else(|| line.invert_at(at), |point| Some(point.invert)),
                pipe: Some(line.pipe_at(at)),
                under: line.under_at(at).or(site.crew.surface),
            }
        })
        .collect();
    let mut pipes: Vec<String> = Vec::new();
    for run in &line.runs {
        let name = format!("{} {}", run.pipe.size, run.pipe.material);
        if pipes.last() != Some(&name) {
            pipes.push(name);
        }
    }
    Trench {
        name: None,
        lies: Lies::Discharge,
        to: line.outlet.kind.clone(),
        length,
        pipes,
        bedding: site.crew.bedding,
        width: None,
        stations: all_stations(&known, site.crew.bedding, setups),
    }
}

fn of_drain(site: &Site, drain: &Drain, setups: &[Setup]) -> Trench {
    let own = drain.french.as_ref().and_then(|french| french.trench.as_ref());
    let bedding = own.map_or(site.crew.bedding, |trench| trench.below_pipe);
    let invert_at = |at: Length| {
        let (up, down) = (drain.up_invert?, drain.down_invert?);
        Some(up - (up - down) * (at / drain.length))
    };
    let known: Vec<Known<'_>> = places(&[Length::ZERO, drain.length], drain.length, site.crew.spacing(site.units))
        .into_iter()
        .map(|(at, entered)| {
            let upper = entered && at <= Length::ZERO;
            let (ground, invert) = match (entered, upper) {
                (true, true) => (drain.up_ground, drain.up_invert),
                (true, false) => (drain.down_ground, drain.down_invert),
                // nobody entered the ground over a drain but at its ends
                (false, _) => (None, invert_at(at)),
            };
            Known { at, entered, ground, invert, pipe: drain.pipe.as_ref(), under: drain.under }
        })
        .collect();
    Trench {
        name: Some(drain.name.clone()),
        lies: if drain.french.is_some() { Lies::French } else { Lies::Solid },
        to: drain.to.clone(),
        length: drain.length,
        pipes: drain.pipe.iter().map(|pipe| format!("{} {}", pipe.size, pipe.material)).collect(),
        bedding,
        width: own.map(|trench| trench.width),
        stations: all_stations(&known, bedding, setups),
    }
}
