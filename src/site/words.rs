//! Small helpers of reading: names, quotes, places, numbers.

use super::problem::{Problem, ProblemKind};
use super::suggest::{echo, listed, nearest};
use super::tree::Place;
use crate::quantity::{Dimension, accepted};
use toml::de::DeValue;

/// A name that nothing has, with the nearest of those there are.
pub(super) fn unknown_name(thing: &str, name: &str, place: Place, names: &[&str]) -> Problem {
    let problem =
        Problem::error(ProblemKind::UnknownName, place, format!("there is no {thing} called `{}`", echo(name)))
            .label("no such name");
    match nearest(name, names.iter().copied()) {
        Some(near) => problem.help(format!("did you mean `{}`?", echo(near))).replacement(quoted(near)),
        None if names.is_empty() => problem.help(format!("the file has no {thing} at all")),
        None => problem.help(format!("there are {}", listed(names.iter().copied().take(20), "and"))),
    }
}

/// A text as TOML writes it.
pub(super) fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for letter in text.chars() {
        if matches!(letter, '"' | '\\') {
            quoted.push('\\');
        }
        quoted.push(letter);
    }
    quoted.push('"');
    quoted
}

/// A place, cut at the end of its first line.
pub(super) fn first_line(text: &str, place: Place) -> Place {
    let end = text.get(place.clone()).and_then(|part| part.find('\n')).map_or(place.end, |at| place.start + at);
    place.start..end
}

pub(super) fn as_number(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Integer(integer) => i64::from_str_radix(integer.as_str(), integer.radix())
            .ok()
            .map(|number| number as f64)
            .or(Some(f64::INFINITY)),
        DeValue::Float(float) => float.as_str().parse().ok(),
        _ => None,
    }
}

/// The unit of an example, or the first that the dimension accepts.
pub(super) fn unit_of(example: &str, dimension: Dimension) -> &str {
    let unit = example
        .trim_matches('"')
        .trim_start_matches(|letter: char| letter.is_ascii_digit() || matches!(letter, '.' | '-' | '/' | ' '));
    let good = !unit.is_empty() && unit.len() < 8 && !unit.contains(['[', '{', '"']);
    if good { unit } else { accepted(dimension).first().copied().unwrap_or("ft") }
}
