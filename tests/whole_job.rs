//! The whole job on examples with their figures changed at random: it never panics, never prints what is no number,
//! and the findings never contradict the verdict.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

#[path = "support/figures.rs"]
mod figures;

use figures::{numbers, with_figures};
use proptest::prelude::*;
use sumpwright::design::{Finding, Severity, design_worked, trial};
use sumpwright::quantity::UnitSystem;
use sumpwright::report::{json, text, working};
use sumpwright::site::{self, NoFiles};
use sumpwright::working::{Recorder, Tape};

const EXAMPLES: [&str; 5] = [
    include_str!("../examples/cut-bank.toml"),
    include_str!("../examples/long-run.toml"),
    include_str!("../examples/courtyard-metric.toml"),
    include_str!("../examples/two-pumps.toml"),
    include_str!("../examples/over-the-bank.toml"),
];

fn run(text: &str) -> Result<bool, TestCaseError> {
    let Some(mut site) = site::read(text, &NoFiles).site else { return Ok(false) };
    for units in [UnitSystem::Us, UnitSystem::Metric] {
        site.units = units;
        let tape = Tape::default();
        let mut recorder = Recorder::new(&tape);
        let Ok(design) = design_worked(&site, &mut recorder) else { return Ok(false) };
        let steps = recorder.into_steps();
        let said = [text::sizing_report(&design), working::working(&steps, units), json::json(&design, Some(&steps))];
        for report in &said {
            for bad in ["NaN", "\u{2014}", " inf ", ": null,\n      \"unit\""] {
                prop_assert!(!report.contains(bad), "{bad:?} in\n{report}\nof\n{text}");
            }
        }
        let stops = design.findings.iter().any(|finding| finding.severity == Severity::Stop);
        prop_assert_eq!(stops, !design.holds());
        prop_assert_eq!(design.holds(), design.verdict.holds);
        let opening = design.verdict.sentences[0].say(units);
        prop_assert_eq!(stops, opening.starts_with("Does not hold"));
        // what its storm does is said of a design whatever else stops it; a goal that is missed says it in its own words
        if design.in_storms.as_ref().is_ok_and(|storms| storms.design().is_some()) {
            let first = design.findings.iter().find(|finding| finding.severity == Severity::Stop);
            let told = design.verdict.sentences.iter().any(|said| said.say(units).contains("followed in time, "));
            prop_assert_eq!(told, first.is_none_or(|stop| stop.id != "goal-missed"), "{}", text);
        }
        let tried = trial(&site).unwrap();
        prop_assert_eq!(tried.pump.name.as_str(), design.pump().unwrap().name.as_str());
        let named = |findings: &[Finding]| -> Vec<(&str, Option<String>)> {
            let stops = findings.iter().filter(|finding| finding.severity == Severity::Stop);
            stops.map(|finding| (finding.id, finding.about.clone())).collect()
        };
        prop_assert_eq!(named(&tried.stops), named(&design.findings), "{}", text);
        for line in said[0].lines() {
            prop_assert!(line.chars().count() <= 80 || !line.trim().contains(' '), "{line}");
        }
    }
    Ok(true)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 192, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn identity_no_change_of_figures_breaks_the_job(
        example in 0_usize..5,
        changes in prop::collection::vec((any::<usize>(), prop_oneof![0.0..3.0_f64, 0.5..1.6_f64, 0.9..1.1_f64]), 1..6),
    ) {
        run(&with_figures(EXAMPLES[example], &changes, true))?;
    }
}

#[test]
fn identity_small_changes_leave_the_files_usable() {
    // the property above would hold of files that are all refused
    let mut usable = 0;
    for example in EXAMPLES {
        let count = numbers(example, true).len();
        assert!(count > 30, "{count} numbers");
        for index in 0..count {
            usable += usize::from(run(&with_figures(example, &[(index, 1.02)], true)).unwrap());
        }
    }
    assert!(usable > 100, "{usable}");
}
