//! Examples with some of their text changed, and what is said of them.

use sumpwright::design::{Design, Finding, design};
use sumpwright::quantity::UnitSystem;
use sumpwright::site::{self, NoFiles, Site};

pub(crate) const MAIN: &str = include_str!("../../examples/cut-bank.toml");
pub(crate) const LONG: &str = include_str!("../../examples/long-run.toml");

/// An example with some of its text changed. Every change must apply.
pub(crate) fn site_with(text: &str, changes: &[(&str, &str)]) -> Site {
    let mut text = text.to_owned();
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    let reading = site::read(&text, &NoFiles);
    reading.site.unwrap_or_else(|| panic!("{:#?}", reading.problems))
}

pub(crate) fn design_with(text: &str, changes: &[(&str, &str)]) -> Design {
    design(&site_with(text, changes)).unwrap()
}

pub(crate) fn finding<'a>(design: &'a Design, id: &str) -> &'a Finding {
    design.findings.iter().find(|finding| finding.id == id).unwrap_or_else(|| {
        panic!("{id} among {:?}", design.findings.iter().map(|finding| finding.id).collect::<Vec<_>>())
    })
}

pub(crate) fn says(design: &Design, id: &str) -> bool {
    design.findings.iter().any(|finding| finding.id == id)
}
pub(crate) const TWO: &str = include_str!("../../examples/two-pumps.toml");
pub(crate) const BANK: &str = include_str!("../../examples/over-the-bank.toml");

/// The cures of a finding in words.
pub(crate) fn cures(design: &Design, id: &str) -> Vec<String> {
    finding(design, id).cures.iter().map(|cure| cure.say(UnitSystem::Us)).collect()
}

/// The sentence of a finding.
pub(crate) fn message(design: &Design, id: &str) -> String {
    finding(design, id).message.say(UnitSystem::Us)
}

/// The value of a number of a finding, in SI.
pub(crate) fn number(design: &Design, id: &str, name: &str) -> f64 {
    let finding = finding(design, id);
    finding.numbers.iter().find(|(known, _)| *known == name).unwrap_or_else(|| panic!("{name} of {id}")).1.si
}

/// The example over a bank with another profile: stations and inverts in feet, the ground 1.2 ft above them, vents and
/// the outlet's level.
pub(crate) fn over(profile: &[(f64, f64)], vents: &[f64], outlet: &str) -> String {
    let start = BANK.find("profile = [").unwrap();
    let end = start + BANK[start..].find("\n]\n").unwrap() + 3;
    let points: Vec<String> = profile
        .iter()
        .map(|(at, invert)| {
            let ground = invert + 1.2;
            format!("  {{ at = \"{at} ft\", invert = \"{invert} ft\", ground = \"{ground} ft\" }},\n")
        })
        .collect();
    let points = points.concat();
    let vents: Vec<String> = vents.iter().map(|at| format!("{{ at = \"{at} ft\" }}")).collect();
    let length = profile.last().map_or(0.0, |last| last.0);
    BANK.replace(&BANK[start..end], &format!("profile = [\n{points}]\n"))
        .replace("vent = [{ at = \"90 ft\" }]", &format!("vent = [{}]", vents.join(", ")))
        .replace("outlet = { kind = \"open end\", level = \"71.00 ft\" }", &format!("outlet = {{ kind = \"swale\", {outlet} }}"))
        .replace("length = \"180 ft\"", &format!("length = \"{length} ft\""))
        // ten feet more head, for the higher banks
        .replace("\"38 ft\"], [\"20 gpm\", \"34 ft\"], [\"40 gpm\", \"27.5 ft\"], [\"60 gpm\", \"17.5 ft\"], [\"70 gpm\", \"10 ft\"]", "\"48 ft\"], [\"20 gpm\", \"44 ft\"], [\"40 gpm\", \"37.5 ft\"], [\"60 gpm\", \"27.5 ft\"], [\"70 gpm\", \"20 ft\"]")
}
pub(crate) const MEADOW: &str = include_str!("../../examples/wet-meadow.toml");
pub(crate) const CLAY: &str = include_str!("../../examples/heavy-clay.toml");

/// The finding of one thing among several with the same finding.
pub(crate) fn about<'a>(design: &'a Design, id: &str, what: &str) -> Option<&'a Finding> {
    design.findings.iter().find(|finding| finding.id == id && finding.about.as_deref() == Some(what))
}

/// The one cure that has some words in it.
pub(crate) fn cure_with(design: &Design, id: &str, words: &str) -> String {
    let cures = cures(design, id);
    cures.iter().find(|cure| cure.contains(words)).unwrap_or_else(|| panic!("{words} among {cures:?}")).clone()
}

/// The first number in a text.
pub(crate) fn first_number(text: &str) -> f64 {
    let start = text.find(|letter: char| letter.is_ascii_digit()).unwrap_or_else(|| panic!("a number in {text}"));
    let rest = &text[start..];
    let end = rest.find(|letter: char| !letter.is_ascii_digit() && letter != '.').unwrap_or(rest.len());
    rest[..end].trim_end_matches('.').parse().unwrap_or_else(|_| panic!("a number in {text}"))
}

/// The number after some words.
pub(crate) fn number_after(text: &str, words: &str) -> f64 {
    first_number(text.split_once(words).unwrap_or_else(|| panic!("{words} in {text}")).1)
}

/// The one cure of a finding about one thing that has some words in it.
pub(crate) fn cure_about(design: &Design, id: &str, what: &str, words: &str) -> String {
    let found = about(design, id, what).unwrap_or_else(|| panic!("{id} of {what}"));
    let cures: Vec<String> = found.cures.iter().map(|cure| cure.say(UnitSystem::Us)).collect();
    cures.iter().find(|cure| cure.contains(words)).unwrap_or_else(|| panic!("{words} among {cures:?}")).clone()
}

/// How many of a thing a cure names: `3 grates`, `a second pipe`.
pub(crate) fn count_of(cure: &str) -> usize {
    let first = cure.split(' ').next().unwrap_or_default();
    if cure.starts_with("a second ") { 2 } else { first.parse().unwrap_or_else(|_| panic!("a count in {cure}")) }
}
