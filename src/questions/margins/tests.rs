//! Each margin holds a little before and fails a little beyond.

use super::*;
use crate::design::{Brought, LongRain, Severity, design, trial, trial_of};
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

fn in_nested_storm(site: &crate::site::Site) -> crate::design::Trial {
    trial_of(site, &Brought::to(site).unwrap(), LongRain::LeftOut).unwrap()
}

/// The grate lets a long steady rain stand nearly as long as it is allowed here, the burst far shorter.
#[test]
fn identity_a_long_rain_that_comes_first_ends_the_margin() {
    let site =
        read(&EXAMPLES[0].replace("clear_within = \"6 h\"", "clear_within = \"1.83 h\""), &NoFiles).site.unwrap();
    let found = margins(&site, None).unwrap();
    let rain = found.margins.iter().find(|margin| margin.assumption == Assumption::Rain).unwrap();
    assert_eq!(rain.stop.as_ref().unwrap().id, "goal-missed");
    let at = |share: f64| changed(&site, Assumption::Rain, rain.reached.change * share).unwrap();
    assert!(trial(&at(0.99)).unwrap().holds());
    assert!(trial(&at(1.01)).unwrap().stopped_by("goal-missed"));
    // the burst alone would bear more
    assert!(in_nested_storm(&at(1.01)).holds());
    assert!(in_nested_storm(&at(4.0)).holds());
}

/// None of the coefficients goes above 1, so that together they rise by no more than 1/C - 1.
#[test]
fn identity_the_slack_of_coefficients_ends_where_they_reach_one() {
    let text = EXAMPLES[0].replace("3.5 in", "20 in");
    let site = read(&text, &NoFiles).site.unwrap();
    let found = margins(&site, None).unwrap();
    let of = |assumption| found.margins.iter().find(|margin| margin.assumption == assumption).unwrap();
    let margin = of(Assumption::RunoffCoefficient);
    let (now, reached) = (margin.now.si, margin.reached.value.si);
    assert!(reached <= 1.0 + 1e-9 && margin.reached.slack <= 1.0 / now - 1.0 + 1e-9, "{margin:?}");
    assert!(found.holds && (margin.reached.slack - (reached / now - 1.0)).abs() < 1e-9, "{margin:?}");
    // a lawn's own coefficient may rise much further than all of them together
    assert!(margin.reached.change > margin.reached.slack * 1.5, "{margin:?}");
    // of the others slack is the change itself
    let rain = of(Assumption::Rain);
    assert!((rain.reached.slack - rain.reached.change.abs()).abs() < 1e-12);
}

/// A run of 64 m is too long, and one that is next to none starts the pump too often: the cure lies between.
#[test]
fn regress_a_cure_that_ends_again_is_found() {
    let site = read(LOADING_DIP, &NoFiles).site.unwrap();
    let found = margins(&site, None).unwrap();
    assert!(!found.holds && found.stops.iter().all(|stop| stop.id == "goal-missed"), "{:?}", found.stops);
    let run = found.margins.iter().find(|margin| margin.assumption == Assumption::RunLength).unwrap();
    assert!(run.stop.is_some(), "{run:?}");
    let at = |change: f64| trial(&changed(&site, Assumption::RunLength, change).unwrap()).unwrap();
    assert!(!at(run.reached.change * 0.99).holds() && at(run.reached.change * 1.01).holds());
    assert!(at(-0.95).stopped_by("too-many-starts"));
}

/// A goal that is met by the room in the stone alone is told to hang on it; one that is met without is not.
#[test]
fn identity_margins_say_where_they_hang_on_stone() {
    let with = |depth: &str| {
        let text = EXAMPLES[0].replace("3.5 in", depth).replace("count = 1\n", "count = 1\nuse = \"medium\"\n");
        margins(&read(&text, &NoFiles).site.unwrap(), None).unwrap()
    };
    let site = read(&EXAMPLES[0].replace("count = 1\n", "count = 1\nuse = \"medium\"\n"), &NoFiles).site.unwrap();
    let design = design(&site).unwrap();
    let storms = design.in_storms.as_ref().unwrap();
    let (free, full) = (storms.design().unwrap().nested.depth(), storms.stone_full.as_ref().unwrap().depth());
    let between = format!("{:.4} in", f64::midpoint(free.inch(), full.inch()));
    let hangs = with(&between);
    assert!(hangs.holds && hangs.hangs_on_stone);
    assert!(
        hangs.remarks().concat().contains("With the stone of the French drain full of water or silt it does not hold")
    );
    let above = with(&format!("{:.4} in", full.inch() * 1.01));
    assert!(
        above.holds && !above.hangs_on_stone && !above.remarks().concat().contains("stone of the French drain full")
    );
}

const LOADING_DIP: &str = include_str!("../../../tests/data/loading-dip.toml");
