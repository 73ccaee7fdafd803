//! The report of each example, as a snapshot, in text and JSON; and what must hold between the two.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use std::fs;
use std::path::Path;
use sumpwright::design::{Design, design};
use sumpwright::quantity::UnitSystem;
use sumpwright::report::{json, text};
use sumpwright::site::{self, NoFiles, Site};

const EXAMPLES: [&str; 8] = [
    "cut-bank",
    "long-run",
    "courtyard-metric",
    "two-pumps",
    "over-the-bank",
    "wet-meadow",
    "heavy-clay",
    "bid-orchard-wall",
];

fn site_of(name: &str) -> Site {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("examples/{name}.toml"));
    let reading = site::read(&fs::read_to_string(path).unwrap(), &NoFiles);
    assert!(reading.problems.is_empty(), "{name}: {:#?}", reading.problems);
    reading.site.unwrap()
}

fn design_of(name: &str) -> Design {
    design(&site_of(name)).unwrap()
}

#[test]
fn regress_reports_of_the_examples() {
    for name in EXAMPLES {
        let design = design_of(name);
        insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
            insta::assert_snapshot!(format!("report/{name}"), text::sizing_report(&design));
            insta::assert_snapshot!(format!("report/{name}-json"), json::json(&design, None));
        });
    }
}

#[test]
fn identity_every_example_file_is_tested() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .map(|path| path.file_stem().unwrap().to_string_lossy().into_owned())
        .collect();
    names.sort();
    let mut tested = EXAMPLES.map(str::to_owned);
    tested.sort();
    assert_eq!(names, tested);
}

#[test]
fn identity_verdicts_of_the_examples() {
    assert!(design_of("cut-bank").holds());
    assert!(design_of("courtyard-metric").holds());
    assert!(design_of("two-pumps").holds());
    assert!(design_of("over-the-bank").holds());
    assert!(design_of("wet-meadow").holds());
    assert!(design_of("heavy-clay").holds());
    let long = design_of("long-run");
    assert!(!long.holds());
    assert_eq!(long.findings[0].id, "delivers-less-than-asked");
}

#[test]
fn identity_text_fits_eighty_columns() {
    for name in EXAMPLES {
        for units in [UnitSystem::Us, UnitSystem::Metric] {
            let mut site = site_of(name);
            site.units = units;
            for line in text::sizing_report(&design(&site).unwrap()).lines() {
                assert!(line.chars().count() <= 80, "{name}: {line}");
            }
        }
    }
}

#[test]
fn identity_units_change_the_words_and_nothing_else() {
    for name in EXAMPLES {
        let mut site = site_of(name);
        site.units = UnitSystem::Us;
        let us = design(&site).unwrap();
        site.units = UnitSystem::Metric;
        let metric = design(&site).unwrap();
        let ids = |design: &Design| design.findings.iter().map(|finding| finding.id).collect::<Vec<_>>();
        assert_eq!(ids(&us), ids(&metric));
        // a longest run is rounded down in the units of the report
        let alike = |design: &Design| {
            design.pumps.iter().map(|pump| (pump.duties.clone(), pump.cycle.clone())).collect::<Vec<_>>()
        };
        assert_eq!(alike(&us), alike(&metric));
        assert_eq!(us.storms, metric.storms);
    }
}

#[test]
fn identity_json_carries_a_unit_with_every_value() {
    fn walk(value: &serde_json::Value, path: &str) {
        match value {
            serde_json::Value::Object(map) => {
                if map.contains_key("value") {
                    assert!(
                        map.get("unit").is_some_and(serde_json::Value::is_string),
                        "{path} has a value without unit"
                    );
                    assert!(map["value"].is_number(), "{path} is not a number");
                }
                for (key, inner) in map {
                    walk(inner, &format!("{path}.{key}"));
                }
            }
            serde_json::Value::Array(list) => {
                for (index, inner) in list.iter().enumerate() {
                    walk(inner, &format!("{path}[{index}]"));
                }
            }
            _ => {}
        }
    }
    for name in EXAMPLES {
        let text = json::json(&design_of(name), None);
        let value: serde_json::Value = serde_json::from_str(&text).unwrap();
        assert_eq!(value["format"], 1);
        walk(&value, name);
    }
}

#[test]
fn identity_order_of_pumps_and_catchments_changes_nothing() {
    let mut site = site_of("cut-bank");
    let straight = design(&site).unwrap();
    site.pumps.reverse();
    site.catchments.reverse();
    let turned = design(&site).unwrap();
    assert_eq!(straight.pump().unwrap().name, turned.pump().unwrap().name);
    let order = |design: &Design| design.pumps.iter().map(|pump| pump.name.clone()).collect::<Vec<_>>();
    assert_eq!(order(&straight), order(&turned));
    approx::assert_relative_eq!(straight.storm.peak.flow.m3s(), turned.storm.peak.flow.m3s(), max_relative = 1e-12);
}

#[test]
fn identity_the_least_file_of_the_reference_page_works() {
    let page = site::reference();
    let start = page.find("```toml\n").unwrap() + 8;
    let text = &page[start..start + page[start..].find("```").unwrap()];
    let reading = site::read(text, &NoFiles);
    assert!(reading.problems.is_empty(), "{:#?}", reading.problems);
    assert!(design(&reading.site.unwrap()).unwrap().holds());
    let asked = text.replace("format = 1", "format = 1\n[goal]\nflow = \"30 gpm\"");
    let design = design(&site::read(&asked, &NoFiles).site.unwrap()).unwrap();
    assert!(design.pump().unwrap().longest_run.is_some());
}
