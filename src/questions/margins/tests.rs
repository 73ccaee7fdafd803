//! Each margin holds a little before and fails a little beyond.

use super::*;
use crate::design::{Severity, design};
use crate::site::{NoFiles, read};

const EXAMPLES: [&str; 2] =
    [include_str!("../../../examples/cut-bank.toml"), include_str!("../../../examples/long-run.toml")];

#[test]
fn identity_each_margin_turns_the_whole_design_where_it_says() {
    for text in EXAMPLES {
        let site = read(text, &NoFiles).site.unwrap();
        let found = margins(&site, None).unwrap();
        let mut turning = 0;
        for margin in &found.margins {
            let Some(stop) = &margin.stop else { continue };
            turning += 1;
            let at = |share: f64| {
                design(&changed(&site, margin.assumption, margin.reached.change * share).unwrap()).unwrap()
            };
            let (near, beyond) = (at(0.99), at(1.01));
            assert_eq!(near.holds(), found.holds, "{:?}", margin.assumption);
            assert_eq!(beyond.holds(), !found.holds, "{:?}", margin.assumption);
            let fails = if found.holds { beyond } else { near };
            let stopped =
                |finding: &&crate::design::Finding| finding.severity == Severity::Stop && finding.id == stop.id;
            assert!(fails.findings.iter().any(|finding| stopped(&finding)), "{:?} {}", margin.assumption, stop.id);
        }
        assert!(turning >= 3, "{turning}");
    }
}
