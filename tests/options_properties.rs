//! What must hold of the sets tried: each is judged as its own file would be, and nothing worth choosing is left out.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use sumpwright::catalog;
use sumpwright::design::{Design, Severity, design, trial, with_pipe, with_pump};
use sumpwright::questions::options::{Options, Tried, better_or_as_good, options, said, saved};
use sumpwright::site::{NoFiles, Site, read};

fn example(name: &str) -> String {
    std::fs::read_to_string(format!("{}/examples/{name}.toml", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

fn site(text: &str) -> Site {
    let reading = read(text, &NoFiles);
    reading.site.unwrap_or_else(|| panic!("{:?}", reading.problems))
}

fn tried(text: &str) -> Options {
    options(text, &NoFiles, None, 10).unwrap_or_else(|error| panic!("{error}"))
}

const NARROW: &str = "pipe-smaller-than-pump-outlet";

fn stops(design: &Design) -> Vec<&'static str> {
    design.findings.iter().filter(|finding| finding.severity == Severity::Stop).map(|finding| finding.id).collect()
}

fn stops_of(set: &Tried) -> Vec<&'static str> {
    set.stops.iter().map(|(id, _)| *id).collect()
}

/// The examples that have a goal, and the main one without prices and with lists, as it might come.
fn texts() -> Vec<(&'static str, String)> {
    let main = example("cut-bank");
    let bare = main.split("[prices]").next().unwrap().to_owned();
    let lists = format!(
        "{bare}\n[options]\npipes = [\"1-1/2 in\", \"2 in\"]\nbasins = [\"24 in\", \"36 in\"]\noff = [\"6 in\", \"8 in\"]\non = [\"7 in\", \"20 in\", \"26 in\", \"31 in\"]\n"
    );
    let returns = lists.replace('\n', "\r\n");
    let mut texts = vec![("main", main), ("bare", bare), ("lists", lists), ("returns", returns)];
    for name in ["courtyard-metric", "wet-meadow", "heavy-clay", "over-the-bank", "two-pumps", "long-run"] {
        let mut text = example(name);
        if !["standing_water", "clear_within", "\nflow ="].iter().any(|goal| text.contains(goal)) {
            text = match text.find("[goal]") {
                Some(_) => text.replacen("[goal]", "[goal]\nstanding_water = \"150 mm\"", 1),
                None => format!("{text}\n[goal]\nstanding_water = \"150 mm\"\n"),
            };
        }
        texts.push((name, text));
    }
    texts
}

#[test]
fn identity_each_set_is_judged_as_its_own_file() {
    for (name, text) in texts() {
        let found = tried(&text);
        let drawn = design(&site(&text)).unwrap();
        let buildable: Vec<&Tried> = found.tried.iter().filter(|set| set.listed && set.cannot.is_none()).collect();
        assert!(!buildable.is_empty(), "{name}");
        let every = (buildable.len() / 12).max(1);
        for set in buildable.iter().step_by(every) {
            let own = found.text_of(&text, &NoFiles, set).unwrap_or_else(|error| panic!("{name} {set:?}: {error}"));
            let own = site(&own);
            assert_eq!(own.pumping.chosen.as_deref(), Some(set.pump.as_str()));
            let whole = design(&own).unwrap();
            let (mut mine, mut its) = (stops_of(set), stops(&whole));
            mine.sort_unstable();
            its.sort_unstable();
            assert_eq!(mine, its, "{name}: {set:?}");
            // what only cautions a design is no proposal where codes forbid it, unless it was drawn so
            let narrow = |design: &Design| design.findings.iter().any(|finding| finding.id == NARROW);
            let forbidden = narrow(&whole) && !narrow(&drawn);
            assert_eq!(set.narrow.is_some(), forbidden, "{name}: {set:?}");
            assert_eq!(set.holds(), whole.holds() && !forbidden, "{name}");
            let judged = trial(&own).unwrap();
            if let Ok(storm) = &judged.in_storm {
                assert_eq!(set.depth, Some(storm.depth()), "{name}: the same water to the last digit");
                assert_eq!(set.stands, Some(storm.stands()), "{name}");
            }
        }
    }
}

#[test]
fn identity_pump_and_pipe_alone_are_the_changes_of_the_design() {
    let text = example("cut-bank");
    let drawn = site(&text);
    let found = tried(&text);
    let alone = |set: &&Tried| set.basin == drawn.basin.plan && set.off == drawn.basin.off && set.on == drawn.basin.on;
    let mut seen = 0;
    for set in found.tried.iter().filter(alone) {
        let entry = catalog::pipe(&drawn.discharge.runs[0].pipe.material, &set.pipe).unwrap();
        let other = with_pump(&with_pipe(&drawn, entry), &set.pump).unwrap();
        let ids: Vec<&str> = trial(&other).unwrap().stops.iter().map(|stop| stop.id).collect();
        assert_eq!(ids, stops_of(set), "{set:?}");
        seen += 1;
    }
    assert_eq!(seen, 12, "three pumps in four sizes");
}

#[test]
fn identity_the_choices_are_all_that_no_other_is_better_than() {
    for (name, text) in texts() {
        let found = tried(&text);
        let holding: Vec<&Tried> = found.tried.iter().filter(|set| set.listed && set.holds()).collect();
        assert_eq!(holding.len(), found.holding, "{name}");
        let choices: Vec<&Tried> = found.choices.iter().map(|index| &found.tried[*index]).collect();
        let better =
            |one: &Tried, other: &Tried| better_or_as_good(&one.judged, &other.judged) && one.judged != other.judged;
        for (number, choice) in choices.iter().enumerate() {
            assert!(choice.holds() && choice.choice == Some(number + 1));
            assert!(!holding.iter().any(|other| better(other, choice)), "{name}: {choice:?} is dominated");
        }
        for set in &holding {
            let dominated = holding.iter().any(|other| better(other, set));
            let alike = choices.iter().filter(|choice| choice.judged == set.judged).count();
            assert_eq!(alike, usize::from(!dominated), "{name}: {set:?}");
        }
        // cost, where there is one, goes first; without any, the share to spare, and of those alike the share of the peak
        let spare = |set: &Tried| set.judged.last().map(|last| -last);
        for two in choices.windows(2) {
            if found.costing.counts_money() {
                assert!(two[0].cost().unwrap() <= two[1].cost().unwrap() + 1.0, "{name}");
            } else {
                assert!(spare(two[0]) >= spare(two[1]), "{name}");
            }
        }
        assert_eq!(found.tried.iter().filter(|set| set.drawn).count(), 1, "{name}");
        assert!(found.shown.len() <= 8 && found.shown.first() == found.choices.first());
        assert_eq!(found.shown.last(), found.choices.last(), "{name}");
        assert_eq!(found.nearest.is_some(), holding.is_empty(), "{name}");
    }
}

/// What a set is and what came of it, whatever its place.
fn plain(found: &Options) -> Vec<String> {
    let mut all: Vec<String> = found
        .tried
        .iter()
        .map(|set| {
            format!(
                "{} {} {:?} {:?} {:?} {:?} {:?} {:?}",
                set.pump,
                set.pipe,
                set.basin,
                set.off,
                set.on,
                stops_of(set),
                set.cost(),
                set.choice
            )
        })
        .collect();
    all.sort();
    all
}

#[test]
fn identity_a_price_of_nothing_tried_is_named() {
    assert_eq!(tried(&example("cut-bank")).unused_prices, []);
    let text = example("cut-bank").replacen("pipe_per_ft = { ", "pipe_per_ft = { \"7 in\" = 9.0, ", 1).replacen(
        "[prices]\n",
        "[options]\nbasins = [\"30 in\"]\n\n[prices]\n",
        1,
    );
    let found = tried(&text);
    let named: Vec<(&str, bool)> =
        found.unused_prices.iter().map(|price| (price.size.as_str(), price.of_pipe)).collect();
    assert_eq!(named, [("7 in", true), ("24 in", false), ("36 in", false)]);
    let words = said(&found).join(" ");
    assert!(words.contains("Prices of pipe that are not used: `7 in`."), "{words}");
    assert!(words.contains("Prices of basins that are not used: `24 in`, `36 in`."), "{words}");
}

#[test]
fn identity_the_order_of_pumps_and_lists_does_not_matter() {
    let main = example("cut-bank");
    let bare = main.split("[prices]").next().unwrap();
    let (head, rest) = bare.split_once("[[pump]]").unwrap();
    let (pumps, tail) = rest.split_once("# A place that must stay dry").unwrap();
    let pumps: Vec<&str> = pumps.split("[[pump]]").collect();
    let file = |order: [usize; 3], lists: &str| {
        let pumps: Vec<String> = order.iter().map(|index| format!("[[pump]]{}\n", pumps[*index])).collect();
        let pumps = pumps.concat();
        format!("{head}{pumps}# A place that must stay dry{tail}\n{lists}\n")
    };
    let one = file(
        [0, 1, 2],
        "[options]\npipes = [\"2 in\", \"1-1/2 in\", \"3 in\"]\nbasins = [\"24 in\", \"30 in\"]\non = [\"20 in\", \"26 in\"]",
    );
    let other = file(
        [2, 0, 1],
        "[options]\npipes = [\"3 in\", \"2 in\", \"1-1/2 in\", \"2 in\"]\nbasins = [\"30 in\", \"24 in\"]\non = [\"26 in\", \"20 in\"]",
    );
    assert_eq!(plain(&tried(&one)), plain(&tried(&other)));
}

#[test]
fn identity_energy_and_materials_are_what_the_prices_make_of_them() {
    let text = example("cut-bank");
    let drawn = site(&text);
    let found = tried(&text);
    let feet = drawn.discharge.length().ft();
    for set in &found.tried {
        let pump = drawn.pumps.iter().find(|pump| pump.name == set.pump).unwrap().price.unwrap();
        let pipe = match set.pipe.as_str() {
            "1-1/2 in" => 2.20,
            "2 in" => 2.80,
            "2-1/2 in" => 4.60,
            "3 in" => 5.80,
            other => panic!("{other}"),
        };
        let basin = match set.basin {
            sumpwright::basin::Plan::Round(across) if across.inch() < 25.0 => 310.0,
            sumpwright::basin::Plan::Round(across) if across.inch() < 31.0 => 440.0,
            _ => 690.0,
        };
        let sum = pump + pipe * feet + basin;
        assert!((set.materials.unwrap() - sum).abs() < 1e-6, "{set:?}");
        // twice the years, twice the energy
        if set.holds() {
            assert!(set.energy.unwrap() > 0.0);
        }
    }
    let twice = options(&text, &NoFiles, None, 20).unwrap();
    let none = options(&text, &NoFiles, None, 0).unwrap();
    for ((one, two), zero) in found.tried.iter().zip(&twice.tried).zip(&none.tried) {
        let (one, two) = (one.energy.unwrap_or(0.0), two.energy.unwrap_or(0.0));
        assert!((two - 2.0 * one).abs() < 1e-9 && zero.energy.is_none());
    }
}

#[test]
fn identity_a_set_saved_is_then_the_drawn_one() {
    let text = example("cut-bank");
    let found = tried(&text);
    for (number, index) in (1..).zip(&found.choices).take(3) {
        let set = &found.tried[*index];
        let again = tried(&saved(&text, &NoFiles, &found, number).unwrap());
        let drawn = &again.tried[again.drawn];
        assert!(drawn.holds() && drawn.listed || set.off != drawn.off, "{drawn:?}");
        assert_eq!((&drawn.pump, &drawn.pipe, drawn.basin), (&set.pump, &set.pipe, set.basin));
        assert_eq!(drawn.depth, set.depth);
    }
}
