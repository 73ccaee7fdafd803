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

const LOADING_DIP: &str = r#"
format = 1
title = "Loading dip (invented)"
units = "metric"

[goal]
return_period = "10 yr"
standing_water = "50 mm"
clear_within = "2 h"
flow = "1.5 l/s"

[rain]
origin = "invented table"
[rain.depth."10 yr"]
"5 min" = "10 mm"
"15 min" = "18 mm"
"60 min" = "30 mm"
"24 h" = "68 mm"

[[catchment]]
name = "dip"
area = "60 m2"
surface = "concrete"
drains_to = "dip"

[[catchment]]
name = "roof"
area = "70 m2"
surface = "roof"
drains_to = "dip"

[[catchment]]
name = "gravel yard"
area = "108 m2"
runoff_coefficient = 0.6
drains_to = "dip"

[[low_spot]]
name = "dip"
surface = [["10.000 m", "0 m2"], ["10.050 m", "20 m2"], ["10.120 m", "60 m2"]]
spills_at = "10.120 m"
spills_to = "ditch"

[[inlet]]
name = "dip grate"
low_spot = "dip"
rim = "10.000 m"
grate = "300 mm x 300 mm"

[[drain]]
name = "grate pipe"
from = "dip grate"
to = "basin"
material = "PVC-U sewer"
size = "110 mm"
length = "1.5 m"
up_invert = "9.55 m"
down_invert = "9.50 m"

[[protect]]
name = "sill of the store"
level = "10.130 m"

[basin]
inside_diameter = "600 mm"
rim = "10.000 m"
floor = "8.800 m"
off = "250 mm"
on = "650 mm"

[discharge]
riser = { material = "PE100 SDR 17", size = "50 mm", length = "1.0 m" }
check_valve = { kind = "swing" }
outlet = { kind = "open end", level = "11.950 m" }
profile = [
  { at = "0 m", invert = "9.5 m" },
  { at = "40 m", invert = "12.35 m" },
  { at = "64 m", invert = "11.95 m" },
]

[[discharge.run]]
material = "PE 100 PN 10"
size = "50 mm"
length = "64 m"
fittings = { "elbow 90" = 3 }

[[pump]]
name = "M"
curve = [["0 l/s", "8 m"], ["1 l/s", "7.3 m"], ["2 l/s", "5.8 m"], ["3 l/s", "3.2 m"]]

[[pump]]
name = "N"
curve = [["0 l/s", "12 m"], ["1.5 l/s", "10.4 m"], ["3 l/s", "7 m"], ["4.2 l/s", "3.9 m"]]
"#;
