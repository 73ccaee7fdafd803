//! Levels that are none: from another benchmark, rod readings, depths.

use crate::quantity::{Length, Level};
use crate::site::keys::Kind;
use crate::site::problem::{Problem, ProblemKind, Severity};
use crate::site::tree::{Node, Place, Value};
use crate::site::walk::{Reader, joined};
use std::collections::HashSet;

/// Levels of one yard that differ by more come from two benchmarks.
const YARD_HEIGHT: Length = Length::from_ft(50.0);
/// A level of the ground or its water lies no deeper below the basin's floor: common practice, no source.
const BELOW_FLOOR: Length = Length::from_ft(15.0);
/// The tight layer lies no deeper below the basin's floor to matter: common practice, no source.
const TIGHT_BELOW_FLOOR: Length = Length::from_ft(30.0);
/// The deepest that is written as a depth, and the longest rod.
const DEPTH: Length = Length::from_ft(30.0);
/// Of very many odd levels these are named.
const MOST_NAMED: usize = 8;

/// Of a file with so many problems nothing is taken back.
const MANY: usize = 500;

/// A level with its place, and the path of its key.
struct Found {
    level: Level,
    place: Place,
    path: String,
}

/// Says which levels are far from all others, in place of all that they made wrong elsewhere.
pub(in crate::site) fn odd_levels(reader: &mut Reader<'_>, root: &Node) {
    let mut found = Vec::new();
    collect(root, &mut found);
    let mut sorted: Vec<f64> = found.iter().map(|one| one.level.m()).collect();
    sorted.sort_by(f64::total_cmp);
    let Some(middle) = sorted.get(sorted.len() / 2).copied().map(Level::from_m) else { return };
    let floor = root.node("basin").and_then(|basin| basin.quantity::<Level>("floor"));
    let far =
        |one: &&Found| (one.level - middle).abs() > YARD_HEIGHT || floor.is_some_and(|floor| deep(one, floor, middle));
    let mut odd: Vec<&Found> = found.iter().filter(far).collect();
    if odd.is_empty() || odd.len() * 3 > found.len() {
        return;
    }
    odd.truncate(MOST_NAMED);
    let places: HashSet<(usize, usize)> = odd.iter().map(|one| (one.place.start, one.place.end)).collect();
    let wrong = made_wrong(reader, &places);
    let ground = root.node("basin").and_then(|basin| basin.quantity("ground").or_else(|| basin.quantity("rim")));
    for one in odd {
        let message =
            format!("`{}` is {}, while most levels are near {}", one.path, reader.show(one.level), reader.show(middle));
        let mut problem = Problem::warning(ProblemKind::OddLevel, one.place.clone(), message)
            .label("far from the others")
            .help(help(reader, one, ground));
        if wrong.contains(&(one.place.start, one.place.end)) {
            problem.severity = Severity::Error;
        }
        reader.say(problem);
    }
}

/// Takes back that a value is odd where something graver is said of the same value.
pub(in crate::site) fn once_a_place(reader: &mut Reader<'_>) {
    let graver: HashSet<(usize, usize)> = reader
        .problems
        .iter()
        .filter(|problem| problem.kind != ProblemKind::OddValue)
        .filter_map(|problem| problem.span.as_ref().map(|place| (place.start, place.end)))
        .collect();
    let kept = |problem: &Problem| {
        let place = problem.span.as_ref().map(|place| (place.start, place.end));
        problem.kind != ProblemKind::OddValue || place.is_none_or(|place| !graver.contains(&place))
    };
    reader.problems.retain(kept);
}

/// Whether a level of the ground lies so deep below the basin that a depth was most likely meant.
fn deep(one: &Found, floor: Level, middle: Level) -> bool {
    let name = one.path.rsplit('.').next().unwrap_or_default();
    let most = match name {
        "seasonal_high" | "storm_high" | "water_outside" | "ground_between" | "up_ground" | "down_ground" | "top" => {
            BELOW_FLOOR
        }
        "tight_layer" => TIGHT_BELOW_FLOOR,
        _ => return false,
    };
    // a floor that is itself the odd one says nothing of the others
    (floor - middle).abs() < YARD_HEIGHT && floor - one.level > most
}

/// What to write instead, by what the number looks like.
fn help(reader: &Reader<'_>, one: &Found, ground: Option<Level>) -> String {
    let height = one.level - Level::from_m(0.0);
    if let Some(ground) = ground.filter(|ground| {
        Length::ZERO <= height && height <= DEPTH && *ground - one.level > BELOW_FLOOR && !one.path.ends_with("surface")
    }) {
        return format!(
            "a level is wanted, from the same benchmark as the others: a depth of {0} below ground at {1} is the level `\"{2}\"`; a rod reading is written `{{ rod = \"{0}\" }}`",
            reader.show(height),
            reader.show(ground),
            reader.show(ground - height)
        );
    }
    "is it from another benchmark, or a rod reading (write `{ rod = \"6.31 ft\" }`), or is a digit wrong?".to_owned()
}

/// Takes back what was said of levels against the odd ones. The odd ones against which there were errors.
fn made_wrong(reader: &mut Reader<'_>, odd: &HashSet<(usize, usize)>) -> HashSet<(usize, usize)> {
    let mut wrong = HashSet::new();
    if reader.problems.len() > MANY {
        // nothing may be taken back where what would be said in its place may not be kept
        return wrong;
    }
    reader.problems.retain(|problem| {
        let of_levels =
            matches!(problem.kind, ProblemKind::LevelOrder | ProblemKind::OutletBelowOff | ProblemKind::Conflict);
        let places = problem.span.iter().chain(problem.also.iter().map(|(place, _)| place));
        let named: Vec<(usize, usize)> =
            places.map(|place| (place.start, place.end)).filter(|place| odd.contains(place)).collect();
        if !of_levels || named.is_empty() {
            return true;
        }
        if problem.is_error() {
            wrong.extend(named);
        }
        false
    });
    wrong
}

fn collect(node: &Node, found: &mut Vec<Found>) {
    for entry in &node.entries {
        let path = || joined(&node.path, entry.key.name);
        match (&entry.value, entry.key.kind) {
            (Some(Value::Si(level)), Kind::Level) => {
                found.push(Found { level: Level::from_m(*level), place: entry.place.clone(), path: path() });
            }
            (Some(Value::Pairs(pairs)), Kind::Surface) => {
                let found_in = |(level, _, place): &(f64, f64, Place)| Found {
                    level: Level::from_m(*level),
                    place: place.clone(),
                    path: path(),
                };
                found.extend(pairs.iter().map(found_in));
            }
            (Some(Value::Table(inner)), _) => collect(inner, found),
            (Some(Value::Tables(inner)), _) => inner.iter().for_each(|node| collect(node, found)),
            _ => {}
        }
    }
}
