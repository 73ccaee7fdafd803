//! What the words of a column's name say.

use super::options::{RainKind, RainUnit};

/// The words of a name, in lower case.
pub(super) fn words(name: &str) -> Vec<String> {
    name.to_lowercase()
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

fn has(words: &[String], known: &[&str]) -> bool {
    words.iter().any(|word| known.contains(&word.as_str()))
}

/// Whether a column can hold no rain, whatever else its name says.
fn is_other(words: &[String]) -> bool {
    has(
        words,
        &[
            "flag",
            "flags",
            "quality",
            "qc",
            "code",
            "type",
            "probability",
            "prob",
            "chance",
            "snow",
            "snowfall",
            "units",
            "unit",
            "attributes",
            "measurement",
            "status",
        ],
    )
}

/// Whether a name speaks of rain.
pub(super) fn is_rain(words: &[String]) -> bool {
    let known = ["prcp", "hpcp", "qpcp", "precipmm", "precipin", "rainmm", "rainin"];
    words.iter().any(|word| {
        known.contains(&word.as_str())
            || word.starts_with("precip")
            || matches!(word.as_str(), "rain" | "rainfall" | "rains")
    }) && !is_other(words)
}

/// Whether a name may speak of rain where no other does.
pub(super) fn may_be_rain(words: &[String]) -> bool {
    has(words, &["depth", "intensity"]) && !is_other(words) && !has(words, &["water", "soil", "flow", "stage"])
}

/// What a name says of kind and unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Said {
    pub(super) kind: Option<RainKind>,
    /// Whether it may be a running total.
    pub(super) total: bool,
    pub(super) unit: Option<RainUnit>,
}

/// Reads kind and unit from a column's name. What contradicts itself or is not understood says nothing.
pub(super) fn said(name: &str) -> Said {
    let all = words(name);
    let bracketed = name.find(['(', '[']).and_then(|open| {
        let rest = name.get(open + 1..)?;
        rest.get(..rest.find([')', ']']).unwrap_or(rest.len()))
    });
    let (unit, rate) = match bracketed.map(|text| (text, unit_of(text, true))) {
        Some((_, Some(found))) => (Some(found.0), found.1),
        // `rain_mm (gauge 2)`
        Some((text, None)) if !speaks_of_unit(text) => split(unit_of(&name.replace(text, " "), false)),
        Some(_) => (None, false),
        None => split(unit_of(name, false)),
    };
    let running = has(&all, &["cumulative", "accumulated", "cum", "cumul", "running"]);
    let rate = rate || has(&all, &["intensity", "rate"]);
    let kind = match (rate, running) {
        (true, false) => Some(RainKind::Intensity),
        (false, true) => Some(RainKind::Cumulative),
        _ => None,
    };
    let total = kind.is_none() && (running || has(&all, &["total", "accumulation", "accum", "sum"]));
    Said { kind, total, unit }
}

fn split(found: Option<(RainUnit, bool)>) -> (Option<RainUnit>, bool) {
    found.map_or((None, false), |(unit, rate)| (Some(unit), rate))
}

fn speaks_of_unit(text: &str) -> bool {
    let plain = text.to_lowercase();
    ["in", "mm", "cm", "inch", "hundredth", "tenth", "m"]
        .iter()
        .any(|unit| words(&plain).iter().any(|word| word == unit))
        || ["0.", "1/", "/1", "/h"].iter().any(|part| plain.contains(part))
}

/// The unit in a text, and whether it is per hour. `alone` where the text is nothing else.
fn unit_of(text: &str, alone: bool) -> Option<(RainUnit, bool)> {
    let lower = text.to_lowercase();
    let words = words(&lower);
    let names_inch = has(&words, &["inch", "inches"]);
    let names_mm = has(&words, &["mm", "millimetre", "millimetres", "millimeter", "millimeters"]);
    let parts = |known: &[&str]| known.iter().any(|part| lower.contains(part));
    // `mm/100` is no `mm/10`
    let fraction = |known: &[&str]| {
        known
            .iter()
            .any(|part| lower.split(part).skip(1).any(|rest| !rest.starts_with(|next: char| next.is_ascii_digit())))
    };
    if has(&words, &["cm", "centimetre", "centimetres", "centimeter", "centimeters", "m", "feet", "ft"]) {
        return None;
    }
    if fraction(&["0.01 in", "0.01in", "0.01\"", "1/100 in", "1/100in", "in/100", "hundredth", "100ths"]) {
        return (!names_mm).then_some((RainUnit::HundredthInch, rated(&words)));
    }
    if fraction(&["0.1 mm", "0.1mm", "1/10 mm", "1/10mm", "mm/10"]) || (has(&words, &["tenth", "tenths"]) && names_mm) {
        return (!names_inch).then_some((RainUnit::TenthMillimetre, rated(&words)));
    }
    // another fraction of a unit
    if has(&words, &["tenth", "tenths", "thousandth", "thousandths"]) || parts(&["0.", "1/1", "/10"]) {
        return None;
    }
    for (word, unit) in [
        ("mmh", RainUnit::Millimetre),
        ("mmhr", RainUnit::Millimetre),
        ("inh", RainUnit::Inch),
        ("inhr", RainUnit::Inch),
        ("iph", RainUnit::Inch),
    ] {
        if has(&words, &[word]) {
            return Some((unit, true));
        }
    }
    for (word, unit) in [
        ("precipmm", RainUnit::Millimetre),
        ("rainmm", RainUnit::Millimetre),
        ("precipin", RainUnit::Inch),
        ("rainin", RainUnit::Inch),
    ] {
        if has(&words, &[word]) {
            return Some((unit, false));
        }
    }
    let at = words.iter().position(|word| {
        matches!(word.as_str(), "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" | "inch" | "inches")
    });
    // `in` is also a preposition: it is a unit where nothing follows but `per hour`
    let at = at.or_else(|| {
        let at = words.iter().rposition(|word| word == "in")?;
        let behind = words.get(at + 1..)?;
        (behind.is_empty() || alone || rate_behind(behind) == Some(true)).then_some(at)
    })?;
    // `(in, mm)` is both, `(in mm)` is not
    if names_mm && (names_inch || (alone && has(&words, &["in"]) && !lower.contains("in m"))) {
        return None;
    }
    let unit = if names_mm { RainUnit::Millimetre } else { RainUnit::Inch };
    // per day or per minute is no unit known here
    Some((unit, rate_behind(words.get(at + 1..)?)?))
}

fn rated(words: &[String]) -> bool {
    has(words, &["h", "hr", "hour"])
}

/// Whether the words behind a unit make it per hour; nothing where they make it per something else.
fn rate_behind(behind: &[String]) -> Option<bool> {
    let mut behind = behind.iter().map(String::as_str).filter(|word| *word != "per");
    match behind.next() {
        Some("h" | "hr" | "hour" | "hrs") => Some(true),
        Some("d" | "day" | "min" | "minute" | "s" | "sec" | "second" | "month" | "year") => None,
        Some(other) if other.starts_with(|first: char| first.is_ascii_digit()) && other.len() > 1 => None,
        _ => Some(false),
    }
}
