//! What people write in place of the words and units of a site file, and what they mean by it.

use super::keys::{self, Key};
use crate::quantity::{Dimension, ReadError, read_si};

const LAWN: &[&str] = &["grass", "turf", "sod", "yard", "green"];
const PAVED: &[&str] =
    &["paving", "paved", "patio", "pavers", "path", "sidewalk", "walkway", "terrace", "courtyard", "court", "flags"];
const WHEELS: &[&str] = &["driveway", "drive way", "road", "street", "parking", "carport", "lane"];
const SOIL: &[&str] =
    &["bed", "beds", "soil", "earth", "dirt", "ground", "bare ground", "garden", "flower bed", "mulch"];

/// What people call the words of a choice: its key, their words, and the word that is meant.
const WORDS: &[(&str, &[&str], &str)] = &[
    ("cover", &["gravel", "stones", "rock", "rocks", "crushed stone", "pebbles", "open", "none", "nothing"], "stone"),
    ("cover", &["grass", "turf", "lawn", "soil", "topsoil", "top soil", "earth", "dirt", "ground"], "sod"),
    ("under", LAWN, "lawn"),
    ("around", LAWN, "lawn"),
    ("surface", LAWN, "lawn"),
    ("under", PAVED, "walk"),
    ("around", PAVED, "walk"),
    ("surface", PAVED, "walk"),
    ("under", WHEELS, "drive"),
    ("around", WHEELS, "drive"),
    ("surface", WHEELS, "drive"),
    ("under", SOIL, "bare"),
    ("around", SOIL, "bare"),
    ("surface", SOIL, "bare"),
    ("kind", &["pvc", "pipe", "tight", "plain", "unperforated", "closed"], "solid"),
    ("kind", &["perforated", "french drain", "stone", "gravel", "slotted", "trench"], "french"),
];

/// The word of a choice that is meant by another, where that is certain.
pub(super) fn choice(key: &Key, text: &str, words: &[&'static str]) -> Option<&'static str> {
    // `group C`
    let text = text.rsplit_once("group ").or(text.rsplit_once("Group ")).map_or(text, |(_, letter)| letter.trim());
    let same = words.iter().find(|word| word.eq_ignore_ascii_case(text)).copied();
    same.or_else(|| {
        let plain = text.to_lowercase();
        let found = |(name, called, _): &&(&str, &[&str], &str)| *name == key.name && called.contains(&plain.as_str());
        WORDS.iter().find(found).map(|(.., word)| *word).filter(|word| words.contains(word))
    })
}

/// What to write in place of a choice that is none, where more than the list of words helps.
pub(super) fn choice_help(key: &Key, text: &str) -> Option<String> {
    if key.name == "hydrologic_group"
        && let Some((drained, undrained)) = text.split_once('/')
    {
        let (drained, undrained) = (drained.trim().to_uppercase(), undrained.trim().to_uppercase());
        if ["A", "B", "C"].contains(&drained.as_str()) && undrained == "D" {
            return Some(format!(
                "a dual group is `{drained}` where the ground is drained and `D` where it is not: write `D`, the careful one, unless the ground is drained already"
            ));
        }
    }
    if key.name == "plan" && text.to_lowercase().contains("hole") {
        return Some(
            "write `plan = \"drains back\"` here, and in `[discharge]` the hole through which it does: \
             `drain_hole = { diameter = \"1/4 in\" }`"
                .to_owned(),
        );
    }
    (key.name == "cover").then(|| {
        "write `sod` where grass or soil lies over the stone, `stone` where the stone comes up to the surface"
            .to_owned()
    })
}

/// An amount of money with its sign before or after it, as a bare number: `$36`, `1,200.50 USD`.
pub(super) fn money(text: &str) -> Option<String> {
    let digits = |letter: char| letter.is_ascii_digit() || matches!(letter, '.' | ',' | '-');
    let (start, end) = (text.find(digits)?, text.rfind(digits)?);
    let amount = text.get(start..=end)?;
    let around = text.get(..start)?.trim().chars().chain(text.get(end + 1..)?.trim().chars());
    let (whole, parts) = amount.split_once('.').unwrap_or((amount, "0"));
    // a comma is one of thousands, or it is not clear what is meant
    let mut groups = whole.split(',');
    let first = groups.next()?;
    let clear = first.len() <= 3 || !whole.contains(',');
    let plain = groups.all(|group| group.len() == 3) && clear && parts.bytes().all(|byte| byte.is_ascii_digit());
    let number = amount.replace(',', "");
    let short = around.count() <= 4 && number.len() <= 10;
    let fine = !first.is_empty() && first.bytes().all(|byte| byte.is_ascii_digit()) && !parts.is_empty();
    // TOML knows no number that begins with a zero
    let leads = number.strip_prefix('0').is_some_and(|rest| !rest.is_empty() && !rest.starts_with('.'));
    (plain && short && fine && !leads).then_some(number)
}

/// The units that a bare number of volts or amperes may carry, as people write them; none for other keys.
pub(super) fn own_unit(key: &Key) -> Option<&'static [&'static str]> {
    match key.name {
        name if name.ends_with("volts") => {
            Some(&["V", "v", "volt", "volts", "Volt", "Volts", "VAC", "VDC", "V AC", "V DC"])
        }
        name if name.ends_with("amps") => Some(&["A", "a", "amp", "amps", "Amp", "Amps", "ampere", "amperes"]),
        name if name.ends_with("amp_hours") => Some(&["Ah", "AH", "ah", "amp-hours", "amp hours"]),
        _ => None,
    }
}

/// The number in a text with the unit that its key means in any case: `115 V` for volts.
pub(super) fn number_with_own_unit(key: &Key, text: &str) -> Option<f64> {
    let text = text.trim();
    let end = text.find(|letter: char| !(letter.is_ascii_digit() || letter == '.')).unwrap_or(text.len());
    let (number, unit) = text.split_at_checked(end)?;
    let plain = number.starts_with(|letter: char| letter.is_ascii_digit()) && !number.ends_with('.');
    own_unit(key)?.contains(&unit.trim()).then(|| number.parse().ok()).flatten().filter(|_| plain)
}

/// The elbow that is meant by its angle alone: `45`, `90 deg`.
pub(super) fn elbow(name: &str) -> Option<&'static str> {
    let plain: String = name.chars().filter(|letter| !letter.is_whitespace() && *letter != '°').collect();
    match plain.to_lowercase().trim_end_matches("degrees").trim_end_matches("degree").trim_end_matches("deg") {
        "45" | "45s" => Some("elbow 45"),
        "90" | "90s" => Some("elbow 90"),
        _ => None,
    }
}

/// A check valve, no kind of it said.
pub(super) fn is_check_valve(name: &str) -> bool {
    let plain = name.trim().to_lowercase().replace(['-', '_'], " ");
    matches!(
        plain.as_str(),
        "check"
            | "check valve"
            | "checkvalve"
            | "non return"
            | "non return valve"
            | "nonreturn valve"
            | "one way valve"
    )
}

/// `true` or `false` in other words.
pub(super) fn flag(text: &str) -> Option<&'static str> {
    match text.trim().to_lowercase().as_str() {
        "true" | "yes" | "y" | "on" => Some("true"),
        "false" | "no" | "n" | "off" | "none" => Some("false"),
        _ => None,
    }
}

/// What to write in place of a text that is no quantity, where more can be said than the text by itself tells.
pub(super) fn hint(path: &str, example: &str, dimension: Dimension, text: &str, error: &ReadError) -> Option<String> {
    const NONE: [&str; 5] = ["none", "no", "n/a", "na", "-"];
    const NOT_KNOWN: [&str; 6] = ["unknown", "not known", "tbd", "don't know", "to be measured", "??"];
    let optional = keys::at_path(path.split('.')).is_some_and(|key| !key.required);
    let word = text.trim().to_lowercase();
    if NOT_KNOWN.contains(&word.as_str()) {
        return Some("write `\"?\"` for what is still to be measured: `check` lists all of that".to_owned());
    }
    if optional && NONE.contains(&word.as_str()) {
        return Some(format!(
            "leave the line out where there is none, write `\"?\"` where it is still to be measured; else write it like `{example}`"
        ));
    }
    if is_conductivity(path, dimension) && !matches!(error, ReadError::NoNumber { .. }) {
        return conductivity(text, error);
    }
    let plain = text.to_lowercase();
    let down = ["below", "beneath", "deep", "down", "under"].iter().any(|word| plain.contains(word));
    match error {
        ReadError::UnknownUnit { .. } if down && dimension == Dimension::Level => Some(
            "a level is wanted, from the same benchmark as the others: 2 ft below ground at 96.4 ft is the level `94.4 ft`"
                .to_owned(),
        ),
        ReadError::UnknownUnit { .. } if down && path.starts_with("measured.test_hole") => Some(
            "the depth of the water is wanted, from the hole's bottom up: take the distance down to the water from the depth of the hole"
                .to_owned(),
        ),
        ReadError::NoNumber { .. } => Some(format!("write it like `{example}`")),
        _ => None,
    }
}

/// What to write in place of a small slope without its unit: most likely a ratio, not a percentage.
pub(super) fn bare_ratio(number: &str) -> String {
    format!(
        "write `\"{number} ft/ft\"`, or the same in percent, in quotes, with the unit that it is in: `%`, `in/ft`, `ft/ft` or `m/m`"
    )
}

/// Whether a key holds a conductivity: a velocity, or an intensity, that nobody thinks of as one.
pub(super) fn is_conductivity(path: &str, dimension: Dimension) -> bool {
    path.ends_with(".conductivity") && matches!(dimension, Dimension::Velocity | Dimension::Intensity)
}

/// The units that conductivities are printed in.
const CONDUCTIVITY_UNITS: &str = "`ft/day`, `in/h`, `cm/h`, `m/day`, `cm/s`, `m/s` or `um/s`";

/// What to write in place of a conductivity without its unit.
pub(super) fn bare_conductivity(number: &str) -> String {
    format!(
        "write it with the unit that it is printed with, such as `{number} ft/day` or `{number} in/h`; read are {CONDUCTIVITY_UNITS}"
    )
}

/// What to write in place of a conductivity in a unit that is none.
pub(super) fn conductivity(text: &str, error: &ReadError) -> Option<String> {
    let number: String =
        text.trim().chars().take_while(|letter| letter.is_ascii_digit() || ".,e-+".contains(*letter)).collect();
    let number = number.trim_end_matches(['e', '-', '+']);
    match error {
        ReadError::NoUnit { number, .. } => Some(bare_conductivity(number)),
        ReadError::UnknownUnit { instead: None, .. }
        | ReadError::WrongUnit { .. }
        | ReadError::UnusualUnit { .. }
        | ReadError::UnknownUnit { .. }
            if gallons_per_area(text) =>
        {
            let gallons: f64 = number.replace(',', "").parse().ok()?;
            // a US gallon is 231 of the 1728 cubic inches of a cubic foot
            let feet = gallons * 231.0 / 1728.0;
            let shown = format!("{feet:.3}");
            Some(format!(
                "1 gpd/ft2 is 0.134 ft/day: write `{} ft/day`",
                shown.trim_end_matches('0').trim_end_matches('.')
            ))
        }
        ReadError::WrongUnit { unit, .. } if read_si(&format!("1 {unit}"), Dimension::Length).is_ok() => Some(format!(
            "a conductivity is a length in a time: `{number} {unit}/day`, or in what other time? Read are {CONDUCTIVITY_UNITS}"
        )),
        ReadError::WrongUnit { .. } | ReadError::UnusualUnit { .. } | ReadError::UnknownUnit { instead: None, .. } => {
            Some(format!("a conductivity is a length in a time; read are {CONDUCTIVITY_UNITS}"))
        }
        _ => None,
    }
}

/// Gallons a day through a square foot: the unit of older wells and surveys.
fn gallons_per_area(text: &str) -> bool {
    let plain = text.to_lowercase();
    let flow = plain.contains("gpd") || plain.contains("gal") && (plain.contains("day") || plain.contains("/d"));
    let area = ["ft2", "ft^2", "ft²", "sq ft", "sqft", "sf", "square foot", "square feet"];
    flow && area.iter().any(|word| plain.contains(word))
}

/// A number that is written as a word.
const COUNTED: [&str; 13] =
    ["half", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];

/// A text that begins with a number in letters, with digits in its place: `6 inches`.
pub(super) fn in_digits(text: &str) -> Option<String> {
    let (first, rest) = text.trim().split_once(' ')?;
    let count = COUNTED.iter().position(|word| word.eq_ignore_ascii_case(first))?;
    let number = if count == 0 { "1/2".to_owned() } else { count.to_string() };
    let rest = rest.trim().strip_prefix("an ").or(rest.trim().strip_prefix("a ")).unwrap_or(rest.trim());
    Some(format!("{number} {rest}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gallons_through_a_square_foot_become_feet_a_day() {
        for text in ["2 gpd/ft2", "2 gallons per day per square foot", "2 gal/d/ft²"] {
            let Err(error) = read_si(text, Dimension::Velocity) else { panic!("`{text}` is not read") };
            let help = conductivity(text, &error).expect(text);
            assert_eq!(help, "1 gpd/ft2 is 0.134 ft/day: write `0.267 ft/day`", "{text}");
        }
    }

    #[test]
    fn numbers_in_letters_become_digits() {
        assert_eq!(in_digits("six inches below pipe").as_deref(), Some("6 inches below pipe"));
        assert_eq!(in_digits("Half an inch").as_deref(), Some("1/2 inch"));
        assert_eq!(in_digits("many inches"), None);
        assert_eq!(in_digits("six"), None);
    }
}
