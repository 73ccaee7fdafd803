//! The crew sheet, the start-up sheet and the electrical page: their figures by hand, against the design, and read back
//! from what is printed.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

mod any_yard;
mod crew;
mod electrical;
mod read_back;
mod start_up;

#[path = "../support/figures.rs"]
mod figures;

use std::fs;
use std::path::Path;
use sumpwright::design::{Design, design};
use sumpwright::job::{Job, job};
use sumpwright::report::papers::{self, Paper, Sources};
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

fn text_of(name: &str) -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("examples/{name}.toml"))).unwrap()
}

struct Made {
    site: Site,
    design: Design,
    job: Job,
}

impl Made {
    fn of(text: &str) -> Self {
        let reading = site::read(text, &NoFiles);
        assert!(!reading.problems.iter().any(site::Problem::is_error), "{:#?}", reading.problems);
        let site = reading.site.unwrap();
        let design = design(&site).unwrap();
        let job = job(&site, &design);
        Self { site, design, job }
    }
    fn example(name: &str) -> Self {
        Self::of(&text_of(name))
    }
    /// An example with some of its text replaced.
    fn with(name: &str, changes: &[(&str, &str)]) -> Self {
        Self::of(&changed(name, changes))
    }
    fn paper(&self, paper: Paper) -> String {
        papers::text(&paper.document(Sources { site: &self.site, design: &self.design, job: &self.job }))
    }
    fn says(&self, id: &str) -> bool {
        self.design.findings.iter().any(|finding| finding.id == id)
    }
    fn cures(&self, id: &str) -> String {
        let finding = self.design.findings.iter().find(|finding| finding.id == id).expect(id);
        finding.cures.iter().map(|cure| cure.say(self.site.units)).collect::<Vec<_>>().join("; ")
    }
}

fn changed(name: &str, changes: &[(&str, &str)]) -> String {
    changes.iter().fold(text_of(name), |text, (from, to)| {
        assert!(text.contains(from), "`{from}` is not in {name}");
        text.replacen(from, to, 1)
    })
}

/// The lawn below the bank with two setups of the instrument, one of them 2 ft higher than the other.
const SETUPS: (&str, &str) = (
    "[rain]\n",
    "[levels]\nsetups = [{ name = \"door\", benchmark = \"100 ft\", rod_on_benchmark = \"3.27 ft\" }, { name = \"lane\", benchmark = \"100 ft\", rod_on_benchmark = \"5.27 ft\" }]\n\n[rain]\n",
);

#[test]
fn regress_the_sheets_of_two_examples() {
    for name in ["cut-bank", "courtyard-metric"] {
        let made = Made::example(name);
        for paper in [Paper::Crew, Paper::StartUp, Paper::Electrical] {
            insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
                insta::assert_snapshot!(format!("sheet/{name}-{}", paper.name()), made.paper(paper));
            });
        }
    }
}

#[test]
fn identity_the_sheets_fit_eighty_columns() {
    let lane = Made::with("cut-bank", &[SETUPS]);
    for made in EXAMPLES.map(Made::example).iter().chain([&lane]) {
        for paper in [Paper::Crew, Paper::StartUp, Paper::Electrical] {
            for line in made.paper(paper).lines() {
                assert!(line.chars().count() <= 80, "{}: {line}", made.site.title);
            }
        }
    }
}
