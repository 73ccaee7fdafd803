//! Cures that stand in the site file, applied to it.

use crate::yard::{Yard, design_of, yards};
use proptest::prelude::*;
use proptest::test_runner::{RngAlgorithm, TestRng, TestRunner};
use sumpwright::design::Design;
use sumpwright::quantity::UnitSystem;

/// The text with a key of one named block given another value.
fn with_key(text: &str, name: &str, key: &str, value: &str) -> String {
    let start = text.find(&format!("name = \"{name}\"")).unwrap();
    let at = start + text[start..].find(&format!("\n{key} = ")).unwrap() + 1;
    let end = at + text[at..].find('\n').unwrap();
    format!("{}{key} = {value}{}", &text[..at], &text[end..])
}

fn first_number(text: &str) -> f64 {
    let start = text.find(|letter: char| letter.is_ascii_digit()).unwrap();
    let digits = text[start..].split(|letter: char| !letter.is_ascii_digit() && letter != '.').next().unwrap();
    digits.trim_end_matches('.').parse().unwrap()
}

/// How many of a thing a cure names.
fn count_of(cure: &str) -> usize {
    if cure.starts_with("a second ") { 2 } else { cure.split(' ').next().unwrap().parse().unwrap() }
}

fn number_after(text: &str, words: &str) -> f64 {
    first_number(text.split_once(words).unwrap().1)
}

fn says_of(design: &Design, id: &str, name: &str) -> bool {
    design.findings.iter().any(|finding| finding.id == id && finding.about.as_deref() == Some(name))
}

/// The site file with a cure of a finding applied, where it is one that stands in the file.
fn cured(yard: &Yard, text: &str, id: &str, name: &str, cure: &str) -> Option<String> {
    let index = || -> usize { name.split_once(' ').unwrap().1.parse().unwrap() };
    match id {
        "grate-too-small" if cure.starts_with("a grate of ") => {
            let inches = first_number(cure);
            let size = if cure.contains("square") {
                format!("\"{inches} in x {inches} in\"")
            } else {
                format!("\"{inches} in\"")
            };
            Some(with_key(text, name, "grate", &size))
        }
        "grate-too-small" if cure.contains("in its place") => {
            let size = first_number(cure.split_once("grates of ").unwrap().1);
            let text = with_key(text, name, "grate", &format!("\"{size} in x {size} in\""));
            let block = yard.block_of_named(name);
            let block = with_key(&block, name, "grate", &format!("\"{size} in x {size} in\""));
            let count = count_of(cure);
            let inlets = (1..count)
                .map(|more| block.replace(name, &format!("{name} more {more}")))
                .collect::<Vec<String>>()
                .concat();
            yard.spot_of_named(name).map(|_| text.replace("[[inflow]]", &format!("{inlets}[[inflow]]")))
        }
        "grate-too-small" if cure.contains("kept clean") => Some(with_key(text, name, "clogged", "0")),
        "grate-too-small" if cure.contains("like it") => {
            let count = count_of(cure);
            let block = yard.block_of_named(name);
            let inlets = (1..count)
                .map(|more| block.replace(name, &format!("{name} more {more}")))
                .collect::<Vec<String>>()
                .concat();
            yard.spot_of_named(name).map(|_| text.replace("[[inflow]]", &format!("{inlets}[[inflow]]")))
        }
        "drain-too-small" if cure.contains("of the same kind") => {
            Some(with_key(text, name, "size", &format!("\"{} in\"", first_number(cure))))
        }
        "drain-too-small" | "drain-flat"
            if cure.contains("lower end") && name.starts_with("line") && yard.to(index()) == "basin" =>
        {
            let now = 92.95 - yard.grated[index()].steeper_ft;
            let down = if id == "drain-flat" {
                number_after(cure, "lower end at ")
            } else {
                now - number_after(cure, "lower end ") / 12.0
            };
            (down > 88.0).then(|| with_key(text, name, "down_invert", &format!("\"{down} ft\"")))
        }
        "drain-flat" if cure.contains("upper end") => {
            let up = first_number(cure);
            let inlet = format!("inlet {}", index());
            Some(with_key(text, &inlet, "outlet_invert", &format!("\"{up} ft\"")))
        }
        "on-level-backs-up-drain" if cure.contains("the on level") => {
            Some(text.replace(&format!("on = \"{} in\"", yard.on_in), &format!("on = \"{} in\"", first_number(cure))))
        }
        _ => None,
    }
}

/// The cures that the yards of the test must have asked for, each at least once: the finding and words of the cure.
const KINDS: [(&str, &str); 9] = [
    ("grate-too-small", "a grate of "),
    ("grate-too-small", "in its place"),
    ("grate-too-small", "kept clean"),
    ("grate-too-small", "like it"),
    ("drain-too-small", "of the same kind"),
    ("drain-too-small", "lower end"),
    ("drain-flat", "lower end"),
    ("drain-flat", "upper end"),
    ("on-level-backs-up-drain", "the on level"),
];

#[test]
fn identity_a_cure_that_stands_in_the_file_cures() {
    let config = ProptestConfig { cases: 120, failure_persistence: None, ..ProptestConfig::default() };
    // the same yards in every run, so that each kind of cure is among them
    let seed = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let tally = std::cell::RefCell::new([0_u32; KINDS.len()]);
    TestRunner::new_with_rng(config, seed)
        .run(&yards(), |yard| {
            let text = yard.text(false, "us");
            let design = design_of(&text);
            for finding in &design.findings {
                let Some(name) = finding.about.as_deref() else { continue };
                for cure in &finding.cures {
                    let cure = cure.say(UnitSystem::Us);
                    let Some(text) = cured(&yard, &text, finding.id, name, &cure) else { continue };
                    let better = design_of(&text);
                    prop_assert!(
                        !says_of(&better, finding.id, name),
                        "{}: {cure}",
                        finding.message.say(UnitSystem::Us)
                    );
                    for (count, (id, words)) in tally.borrow_mut().iter_mut().zip(KINDS) {
                        *count += u32::from(id == finding.id && cure.contains(words));
                    }
                }
            }
            Ok(())
        })
        .unwrap_or_else(|failure| panic!("{failure}"));
    let tally = tally.into_inner();
    assert!(tally.iter().all(|count| *count > 0), "{:?}", KINDS.iter().zip(tally).collect::<Vec<_>>());
}
