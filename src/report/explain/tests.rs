//! The entries against the findings that the code raises, the terms that they name and the keys of the site file.

use super::*;
use crate::site::ProblemKind;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

fn words_of(sort: Sort) -> BTreeSet<String> {
    entries().into_iter().filter(|(_, of, _)| *of == sort).map(|(word, ..)| word).collect()
}

/// Texts of the design with hyphens that name no finding: questions about a bid, kinds of outlet, keys of limits.
const NO_FINDINGS: [&str; 14] = [
    "beyond-the-outlet",
    "check-valve",
    "ends-in",
    "full-ditch",
    "half-way",
    "lot-line",
    "outlet-allowed",
    "outlet-grate",
    "pop-up",
    "power-cut",
    "pump-curve",
    "pump-today",
    "relief-hole",
    "way-in",
];

/// The names of all findings in the sources: every text of small letters and hyphens that is not known as something else.
fn raised(folder: &Path, found: &mut BTreeSet<String>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            raised(&path, found);
        } else if path.extension().is_some_and(|end| end == "rs") {
            let text = fs::read_to_string(&path).unwrap();
            let code = text.split("#[cfg(test)]").next().unwrap();
            let is_name = |text: &&str| {
                text.contains('-')
                    && text
                        .split('-')
                        .all(|part| !part.is_empty() && part.bytes().all(|letter| letter.is_ascii_lowercase()))
            };
            let lines = code.lines().filter(|line| !line.trim_start().starts_with("//"));
            let names = lines.flat_map(|line| line.split('"').filter(is_name));
            found.extend(names.filter(|name| !NO_FINDINGS.contains(name)).map(str::to_owned));
        }
    }
}

#[test]
fn identity_every_finding_has_its_entry_and_every_entry_its_finding() {
    let mut found = BTreeSet::new();
    raised(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src/design"), &mut found);
    assert!(found.len() > 210, "{}", found.len());
    assert_eq!(words_of(Sort::Finding), found);
}

#[test]
fn identity_every_problem_has_its_entry() {
    let known: BTreeSet<String> = ProblemKind::ALL.iter().map(|kind| kind.id().to_owned()).collect();
    assert_eq!(words_of(Sort::Problem), known);
}

#[test]
fn identity_each_file_is_read_whole_and_each_word_once() {
    let mut seen = BTreeSet::new();
    for (sort, text) in FILES {
        let file: BTreeMap<String, Entry> = toml::from_str(text).unwrap();
        assert!(file.len() > 5);
        for (word, entry) in file {
            for name in std::iter::once(&word).chain(&entry.also) {
                assert!(seen.insert((sort, plain(name))), "{name} twice");
            }
        }
    }
}

#[test]
fn identity_an_entry_is_short_and_says_something() {
    for (word, _, entry) in entries() {
        let parts = [Some(&entry.says), Some(&entry.matters), Some(&entry.changes), entry.formula.as_ref()];
        let length: usize = parts.iter().flatten().map(|part| part.split_whitespace().count()).sum();
        assert!((20..=140).contains(&length), "{word}: {length} words");
        for part in parts.into_iter().flatten().chain(&entry.source) {
            assert!(!part.trim().is_empty() && !part.contains('\n') && part.trim() == part, "{word}: {part}");
        }
        for part in [&entry.says, &entry.matters, &entry.changes] {
            assert!(part.ends_with(['.', ')', '`']), "{word}: {part}");
        }
    }
}

#[test]
fn identity_what_is_named_beside_is_explained() {
    let known: BTreeSet<String> = entries().into_iter().map(|(word, ..)| word).collect();
    for (word, _, entry) in entries() {
        for other in &entry.see {
            assert!(known.contains(other) && *other != word, "{word} names {other}");
        }
    }
}

/// Keys of the site file in back-ticks are keys: a name that nobody can enter helps nobody.
#[test]
fn identity_keys_that_are_named_exist() {
    let keys: BTreeSet<&str> = key_entries().iter().map(|key| key.name).collect();
    let mut looked_at = 0;
    for (word, _, entry) in entries() {
        for quoted in entry.changes.split('`').skip(1).step_by(2) {
            let name = quoted.split([' ', '=']).next().unwrap_or("");
            // a key has an underscore; other words in back-ticks may be values and commands
            if name.contains('_') && name.chars().all(|letter| letter.is_ascii_lowercase() || letter == '_') {
                looked_at += 1;
                // of a fitting entered with its own figure
                assert!(keys.contains(name) || name == "equivalent_length", "{word}: there is no key {name}");
            }
        }
    }
    assert!(looked_at > 60, "{looked_at}");
}

#[test]
fn identity_a_word_is_found_as_people_type_it() {
    let first = |word: &str| match look_up(word) {
        Found::These(found, keys) => {
            found.first().map(|(word, ..)| word.clone()).or(keys.first().map(|key| key.path.clone()))
        }
        Found::Perhaps(_) => None,
    };
    assert_eq!(first("duty point").as_deref(), Some("duty-point"));
    assert_eq!(first(" Duty_Points ").as_deref(), Some("duty-point"));
    assert_eq!(first("velocity-below-scour:").as_deref(), Some("velocity-below-scour"));
    assert_eq!(first("clear_within").as_deref(), Some("[goal] clear_within"));
    assert_eq!(first("goal.clear_within").as_deref(), Some("[goal] clear_within"));
    let Found::Perhaps(near) = look_up("velocity-below-scuor") else { panic!("found") };
    assert_eq!(near.first().map(String::as_str), Some("velocity-below-scour"));
    let Found::Perhaps(near) = look_up("velocity-below") else { panic!("found") };
    assert!(near.len() >= 2 && near.iter().all(|word| word.contains("velocity")), "{near:?}");
    assert_eq!(look_up("zzzzzzzzzzzz"), Found::Perhaps(Vec::new()));
    // both a term and a key: both are told
    let Found::These(found, keys) = look_up("goal") else { panic!("not found") };
    assert!(!found.is_empty() && !keys.is_empty());
    assert_eq!(look_up("[goal]"), look_up("goal"));
    // a column of the report whose name is also a key
    let Found::These(found, keys) = look_up("C") else { panic!("not found") };
    assert!(found.len() == 1 && keys.len() >= 2);
}

/// Words of the report that a first reader looked up.
#[test]
fn identity_words_of_the_report_are_told() {
    let asked = [
        "velocity",
        "weir",
        "orifice",
        "Manning",
        "Darcy",
        "leaks",
        "hollow",
        "K",
        "composite C",
        "most starts",
        "one run",
        "union",
        "coupling",
        "gpm",
        "psi",
        "schedule 40",
        "SDR 35",
        "C",
        "pumped",
        "notch",
        "dead water",
        "ballast",
        "deepest",
        "burst",
        "vent",
    ];
    for word in asked {
        let Found::These(found, _) = look_up(word) else { panic!("{word} is not told") };
        assert!(found.iter().any(|(_, sort, _)| *sort == Sort::Term), "{word}");
    }
}

#[test]
fn identity_no_line_is_wider_than_the_page() {
    for (word, sort, entry) in entries() {
        let text = page(&[(word.clone(), sort, entry)], &[]);
        for line in text.lines() {
            assert!(line.chars().count() <= 80, "{word}: {line}");
        }
        assert!(text.contains("why it matters"), "{word}");
    }
    for key in key_entries() {
        assert!(page(&[], std::slice::from_ref(&key)).starts_with(&key.path));
    }
    assert!(list().lines().all(|line| line.chars().count() <= 80));
}
