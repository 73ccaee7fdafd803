//! Margins of examples with their figures changed at random: each holds a little before and fails a little beyond, by
//! the whole design, and of some by the site file itself.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

#[path = "support/figures.rs"]
mod figures;

use figures::with_figures;
use proptest::prelude::*;
use sumpwright::design::{Design, Severity, design};
use sumpwright::questions::margins::{Assumption, Margins, Sample, changed, margins};
use sumpwright::report::{json, margins_table, text};
use sumpwright::site::{self, NoFiles, Site};

const EXAMPLES: [&str; 7] = [
    include_str!("../examples/cut-bank.toml"),
    include_str!("../examples/long-run.toml"),
    include_str!("../examples/courtyard-metric.toml"),
    include_str!("../examples/two-pumps.toml"),
    include_str!("../examples/over-the-bank.toml"),
    include_str!("../examples/wet-meadow.toml"),
    include_str!("../examples/heavy-clay.toml"),
];

fn read(text: &str) -> Option<Site> {
    site::read(text, &NoFiles).site
}

fn stopped_by(design: &Design, id: &str) -> bool {
    design.findings.iter().any(|finding| finding.severity == Severity::Stop && finding.id == id)
}

/// Every margin against the whole design; how many there are.
fn each_turns(site: &Site, found: &Margins) -> Result<usize, TestCaseError> {
    let mut turning = 0;
    for margin in &found.margins {
        let at = |share: f64| {
            let other = changed(site, margin.assumption, margin.reached.change * share).unwrap();
            design(&other).unwrap()
        };
        let Some(stop) = &margin.stop else {
            prop_assert_eq!(at(1.0).holds(), found.holds, "{:?} at the end of its range", margin.assumption);
            continue;
        };
        turning += 1;
        let (near, beyond) = (at(0.99), at(1.01));
        prop_assert_eq!(near.holds(), found.holds, "{:?} {:?}", margin.assumption, margin.reached);
        prop_assert_eq!(beyond.holds(), !found.holds, "{:?} {:?}", margin.assumption, margin.reached);
        let fails = if found.holds { beyond } else { near };
        prop_assert!(!found.holds || stopped_by(&fails, stop.id), "{:?} {}", margin.assumption, stop.id);
    }
    Ok(turning)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn identity_margins_hold_before_and_fail_beyond(
        example in 0_usize..EXAMPLES.len(),
        changes in prop::collection::vec((any::<usize>(), prop_oneof![0.5..1.6_f64, 0.9..1.1_f64]), 0..4),
    ) {
        let Some(site) = read(&with_figures(EXAMPLES[example], &changes, false)) else { return Ok(()) };
        let Ok(found) = margins(&site, Some(Sample { runs: 100, seed: 3 })) else { return Ok(()) };
        prop_assert_eq!(found.holds, design(&site).unwrap().holds());
        each_turns(&site, &found)?;
        for said in [text::margins_report(&found), json::margins_json(&found), margins_table::margins_csv(&found)] {
            for bad in ["NaN", "\u{2014}", " inf "] {
                prop_assert!(!said.contains(bad), "{}", said);
            }
        }
        for line in text::margins_report(&found).lines() {
            prop_assert!(line.chars().count() <= 80 || !line.trim().contains(' '), "{}", line);
        }
    }
}

#[test]
fn identity_the_margins_of_all_examples_turn_the_whole_design() {
    let mut turning = 0;
    for text in EXAMPLES {
        let site = read(text).unwrap();
        turning += each_turns(&site, &margins(&site, None).unwrap()).unwrap();
    }
    assert!(turning > 40, "{turning}");
}

/// The file with every number after one of some keys, within a part of it, times a factor.
fn scaled(text: &str, from: &str, to: &str, keys: &[&str], factor: f64) -> String {
    let start = text.find(from).unwrap();
    let end = text[start..].find(to).unwrap() + start;
    let part: Vec<String> = text[start..end]
        .lines()
        .map(|line| {
            if !keys.iter().any(|key| line.trim_start().starts_with(key)) {
                return line.to_owned();
            }
            let after = line.find('=').unwrap();
            let mut quoted = line[after..].splitn(3, '"');
            let (before, value, rest) = (quoted.next().unwrap(), quoted.next().unwrap(), quoted.next().unwrap());
            let (number, unit) = value.split_once(' ').unwrap();
            let number = number.parse::<f64>().unwrap() * factor;
            format!("{}{before}\"{number:.9} {unit}\"{rest}", &line[..after])
        })
        .collect();
    format!("{}{}\n{}", &text[..start], part.join("\n"), &text[end..])
}

#[test]
fn identity_margins_hold_for_the_file_as_it_is_typed() {
    // the design takes the best of three pumps; the margins keep the one that it takes now
    let example = EXAMPLES[0].replace("[pumping]\n", "[pumping]\nuse = \"medium\"\n");
    let site = read(&example).unwrap();
    let found = margins(&site, None).unwrap();
    let typed = |assumption: Assumption, factor: f64| match assumption {
        Assumption::Rain => scaled(&example, "[rain.depth.\"10 yr\"]", "[rain.depth.\"25 yr\"]", &["\""], factor),
        Assumption::CatchmentArea => scaled(&example, "[[catchment]]", "[[low_spot]]", &["area"], factor),
        Assumption::BasinWidth => scaled(&example, "[basin]", "outside_diameter", &["inside_diameter"], factor),
        Assumption::FloatOff => scaled(&example, "[basin]", "[pumping]", &["off"], factor),
        other => panic!("{other:?}"),
    };
    for assumption in [Assumption::Rain, Assumption::CatchmentArea, Assumption::BasinWidth, Assumption::FloatOff] {
        let margin = found.margins.iter().find(|margin| margin.assumption == assumption).unwrap();
        let at = |share: f64| {
            let text = typed(assumption, 1.0 + margin.reached.change * share);
            design(&read(&text).unwrap_or_else(|| panic!("{text}"))).unwrap()
        };
        assert!(at(0.99).holds(), "{assumption:?}");
        assert!(stopped_by(&at(1.01), margin.stop.as_ref().unwrap().id), "{assumption:?}");
    }
}

#[test]
fn identity_the_least_slack_comes_first_and_worse_is_never_better() {
    for text in EXAMPLES {
        let site = read(text).unwrap();
        let found = margins(&site, None).unwrap();
        let turning: Vec<f64> =
            found.margins.iter().filter(|margin| margin.stop.is_some()).map(|margin| margin.reached.slack).collect();
        // those alike to a hundredth of a percent stand in their own order
        assert!(turning.windows(2).all(|pair| pair[0] <= pair[1] + 1e-4), "{turning:?}");
        for margin in &found.margins {
            let sign = if found.holds { 1.0 } else { -1.0 };
            assert!(margin.reached.change * margin.assumption.worse() * sign > 0.0, "{margin:?}");
        }
    }
}

#[test]
fn identity_the_sample_is_that_of_its_seed_and_ranges_of_nothing_hold_as_the_site_does() {
    let site = read(EXAMPLES[6]).unwrap();
    let of = |site: &Site, seed: u64| margins(site, Some(Sample { runs: 200, seed })).unwrap().sampling.unwrap();
    let (one, again, other) = (of(&site, 5), of(&site, 5), of(&site, 6));
    assert_eq!(one, again);
    assert_ne!((one.holds, one.inputs), (other.holds, other.inputs));
    // nothing off by anything: each run is the site itself
    let none: Vec<String> = Assumption::ALL
        .iter()
        .map(|assumption| {
            let length = matches!(assumption, Assumption::Lift | Assumption::GroundwaterLevel);
            format!("{} = \"{}\"", assumption.id(), if length { "0 in" } else { "0 %" })
        })
        .collect();
    let none = none.join("\n");
    for (text, wanted) in [(EXAMPLES[6], 200), (EXAMPLES[1], 0)] {
        let site = read(&format!("{text}\n[margins]\n{none}")).unwrap();
        assert_eq!(of(&site, 1).holds, wanted);
    }
}
