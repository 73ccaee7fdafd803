//! Check cases: what the library computes against values printed by publications, or worked out from stated inputs
//! by independent arithmetic.
//!
//! The cases are data, in `tests/cases/*.toml`; `docs/validation.md` is made from the same run. After a change of
//! data run `SUMPWRIGHT_BLESS=1 cargo test --test check_cases` to write the page anew.

#![allow(clippy::expect_used, clippy::panic, reason = "a test that cannot read its data has failed")]

mod check;
mod data;
mod given;
mod run;
mod validation;

use check::Checked;
use std::collections::BTreeSet;
use std::fmt::Write as _;

/// The least number of cases that a run must hold.
const LEAST_CASES: usize = 60;
/// The least number of single values.
const LEAST_CHECKS: usize = 200;

#[test]
fn every_check_agrees() {
    let topics = data::load();
    let mut failures = String::new();
    let mut count = 0;
    let checks = topics
        .iter()
        .flat_map(|topic| &topic.cases)
        .flat_map(|case| case.checks.iter().map(move |check| (case, check)));
    for (case, check) in checks {
        count += 1;
        match check::checked(case, check) {
            Ok(Checked { agrees: true, .. }) => {}
            Ok(Checked { got, difference, tolerance, .. }) => {
                let _ = writeln!(
                    failures,
                    "{} {}: {}\n    expected {} {}, got {got}, difference {difference}, tolerance {tolerance}\n    {}",
                    case.id,
                    case.title,
                    check.label(case),
                    check.expected,
                    check.unit,
                    case.source,
                );
            }
            Err(problem) => {
                let _ = writeln!(
                    failures,
                    "{} {}: {}\n    {problem}\n    {}",
                    case.id,
                    case.title,
                    check.label(case),
                    case.source
                );
            }
        }
    }
    assert!(failures.is_empty(), "checks that do not agree:\n{failures}");
    assert!(count >= LEAST_CHECKS, "only {count} checks ran");
}

#[test]
fn the_data_are_complete() {
    let topics = data::load();
    let cases: Vec<_> = topics.iter().flat_map(|topic| &topic.cases).collect();
    let checks: usize = cases.iter().map(|case| case.checks.len()).sum();
    assert!(cases.len() >= LEAST_CASES, "only {} cases", cases.len());
    assert!(checks >= LEAST_CHECKS, "only {checks} checks");

    let mut problems: Vec<String> = cases.iter().flat_map(|case| case.problems()).collect();
    let mut seen = BTreeSet::new();
    problems
        .extend(cases.iter().filter(|case| !seen.insert(&case.id)).map(|case| format!("{}: stands twice", case.id)));

    let asked: BTreeSet<&str> =
        cases.iter().flat_map(|case| case.checks.iter().map(|check| check.function(case))).collect();
    let known: BTreeSet<&str> = run::names().collect();
    problems.extend(asked.difference(&known).map(|name| format!("`{name}` is not a function that can be checked")));
    problems.extend(known.difference(&asked).map(|name| format!("`{name}` can be checked but no case does")));
    assert!(problems.is_empty(), "the case files have problems:\n{}", problems.join("\n"));
}

#[test]
fn the_validation_page_is_current() {
    let page = validation::page(&data::load());
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/validation.md");
    if std::env::var_os("SUMPWRIGHT_BLESS").is_some() {
        std::fs::create_dir_all(concat!(env!("CARGO_MANIFEST_DIR"), "/docs")).expect("docs is a folder");
        std::fs::write(path, &page).expect("the page can be written");
        return;
    }
    let written = std::fs::read_to_string(path).unwrap_or_default().replace("\r\n", "\n");
    let first = written.lines().zip(page.lines()).position(|(old, new)| old != new).map(|line| line + 1);
    assert!(
        written == page,
        "docs/validation.md is stale from line {}: run SUMPWRIGHT_BLESS=1 cargo test --test check_cases",
        first.unwrap_or(written.lines().count().min(page.lines().count()) + 1)
    );
}
