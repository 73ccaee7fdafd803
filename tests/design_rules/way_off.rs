//! Beyond the outlet, and whether a pump is needed at all.

use crate::given::{
    BANK, CLAY, MEADOW, cure_with, cures, design_with, finding, first_number, message, number, number_after, says,
};
use approx::assert_relative_eq;
use sumpwright::design::{Design, Severity};
use sumpwright::quantity::{Length, UnitSystem};

const SWALE: &str = "swale = { bottom_width = \"1 ft\", side_slope = 4, slope = \"1.5 %\", depth = \"8 in\", cover = \"standing grass\" }";

fn swale(width: f64, slope: f64, depth: f64, more: &str) -> Design {
    let to = format!(
        "swale = {{ bottom_width = \"{width} in\", side_slope = 4, slope = \"{slope} %\", depth = \"{depth} in\", {more} }}"
    );
    design_with(MEADOW, &[(SWALE, &to)])
}

const STANDING: &str = "cover = \"standing grass\"";

/// The meadow's outlet with a grate of a size.
fn outlet_grate(grate: &str, more: &str) -> Design {
    let to = format!("{more}\n{grate}\nswale");
    design_with(MEADOW, &[("ditch_full = \"51.40 ft\"\ngrate = \"12 in\"\nswale", &to)])
}

#[test]
fn identity_an_outlet_blocked_whole_is_a_stop() {
    let with = |share: &str| {
        let to = format!("grate = \"12 in\"\nclogged = \"{share}\"\nswale");
        design_with(MEADOW, &[("grate = \"12 in\"\nswale", to.as_str())])
    };
    let design = with("100 %");
    assert_eq!(finding(&design, "outlet-grate-shut").severity, Severity::Stop);
    assert!(!says(&design, "outlet-grate-small"));
    assert!(cures(&design, "outlet-grate-shut")[0].contains("below 100 %"));
    assert!(!says(&with("99 %"), "outlet-grate-shut"));
}

#[test]
fn identity_a_small_outlet_grate_is_cured_by_its_opening_or_by_counting_the_water() {
    // 3 in of water over a grate
    let sized = |area: f64, edge: f64, more: &str| {
        outlet_grate(&format!("open_area = \"{area} in2\"\nperimeter = \"{edge} in\"\nclogged = \"50 %\""), more)
    };
    let design = sized(10.0, 6.0, "");
    assert_eq!(finding(&design, "outlet-grate-small").severity, Severity::Caution);
    let cure = cure_with(&design, "outlet-grate-small", "times the edge");
    let factor = number_after(&cure, "a grate of ");
    assert!(!says(&sized(10.0 * factor, 6.0 * factor, ""), "outlet-grate-small"), "{cure}");
    assert!(says(&sized(10.0 * (factor - 0.11), 6.0 * (factor - 0.11), ""), "outlet-grate-small"), "{cure}");
    assert_relative_eq!(number_after(&cure, "opening, "), 10.0 * factor, epsilon = 0.5);
    // counted as water that stands over the outlet
    let cure = cure_with(&design, "outlet-grate-small", "`ditch_full`");
    let level = first_number(&cure);
    let counted = |level: f64| sized(10.0, 6.0, &format!("ditch_full = \"{level} ft\""));
    assert!(!says(&counted(level), "outlet-grate-small"), "{cure}");
    assert!(says(&counted(level - 0.1), "outlet-grate-small"), "{cure}");
    // a foot of water over it is no outlet
    assert_eq!(finding(&sized(1.0, 2.0, ""), "outlet-grate-small").severity, Severity::Stop);
    // the lift counts it, and once
    let lift = |design: &Design| design.pump().unwrap().duties[0].static_head.ft();
    assert_relative_eq!(lift(&counted(level)) - lift(&design), level - 51.6, epsilon = 1e-6);
    assert!(counted(level).way_off.unwrap().water.ft() <= level + 1e-9);
}

#[test]
fn identity_a_swale_too_shallow_is_dug_to_the_depth_printed() {
    let design = swale(12.0, 1.5, 1.0, STANDING);
    assert_eq!(finding(&design, "swale-overtops").severity, Severity::Stop);
    assert!(!says(&design, "swale-freeboard-small"));
    let depth = number_after(&cures(&design, "swale-overtops")[0], "a swale ");
    for id in ["swale-overtops", "swale-freeboard-small"] {
        assert!(!says(&swale(12.0, 1.5, depth, STANDING), id), "{id}: {depth}");
    }
    // two inches stay free
    let shallow = swale(12.0, 1.5, depth - 0.2, STANDING);
    assert_eq!(finding(&shallow, "swale-freeboard-small").severity, Severity::Caution);
    assert_relative_eq!(number_after(&cures(&shallow, "swale-freeboard-small")[0], "a swale "), depth, epsilon = 1e-9);
    assert!(!says(&swale(12.0, 1.5, depth - 1.9, STANDING), "swale-overtops"));
    assert!(says(&swale(12.0, 1.5, depth - 2.1, STANDING), "swale-overtops"));
}

#[test]
fn identity_a_swale_that_washes_out_is_widened_as_printed() {
    let bare = "cover = \"bare earth\"";
    let design = swale(2.0, 6.0, 12.0, bare);
    assert_eq!(finding(&design, "swale-erodes").severity, Severity::Caution);
    let width = number_after(&cure_with(&design, "swale-erodes", "a bed"), "a bed ");
    assert!(!says(&swale(width, 6.0, 12.0, bare), "swale-erodes"), "{width}");
    assert!(says(&swale(width - 0.5, 6.0, 12.0, bare), "swale-erodes"), "{width}");
    assert!(!says(&design_with(MEADOW, &[]), "swale-erodes"));
}

#[test]
fn identity_a_fall_without_a_published_velocity_says_up_to_which_there_is_one() {
    for (cover, at) in [("standing grass", 10.0), ("red fescue", 5.0)] {
        let more = format!("cover = \"{cover}\"");
        let design = swale(12.0, 12.0, 12.0, &more);
        assert_eq!(finding(&design, "swale-velocity-not-judged").severity, Severity::Note);
        assert!(!says(&design, "swale-erodes"));
        let fall = number_after(&cure_with(&design, "swale-velocity-not-judged", "or less"), "a fall of ");
        assert_relative_eq!(fall, at, epsilon = 1e-9);
        assert!(!says(&swale(12.0, fall, 12.0, &more), "swale-velocity-not-judged"), "{cover}");
        assert!(says(&swale(12.0, fall + 0.5, 12.0, &more), "swale-velocity-not-judged"), "{cover}");
    }
}

#[test]
fn identity_the_bank_printed_keeps_the_water_from_running_back() {
    let between = |level: f64| {
        let to = format!("kind = \"grate\"\nground_between = \"{level} ft\"");
        design_with(MEADOW, &[("kind = \"grate\"", &to)])
    };
    let design = between(50.2);
    assert_eq!(finding(&design, "outlet-can-run-back").severity, Severity::Caution);
    let bank = number_after(&cure_with(&design, "outlet-can-run-back", "a bank"), "higher than ");
    assert!(!says(&between(bank + 0.01), "outlet-can-run-back"), "{bank}");
    assert!(says(&between(bank - 0.011), "outlet-can-run-back"), "{bank}");
    // water that stands lower than the lowest grate does not run there
    assert!(!says(&between(bank + 0.01), "way-back-not-judged"));
    // what comes back is entered once, and not asked for again
    assert!(cures(&design, "outlet-can-run-back").iter().any(|cure| cure.contains("`returns`")));
    let returns =
        design_with(MEADOW, &[("kind = \"grate\"", "kind = \"grate\"\nground_between = \"50.2 ft\"\nreturns = 0.2")]);
    assert!(says(&returns, "return-flow"));
    assert!(!cures(&returns, "outlet-can-run-back").iter().any(|cure| cure.contains("`returns`")));
}

#[test]
fn identity_the_way_back_is_judged_once_the_ground_is_known() {
    let unknown = [(", ground = \"51.00 ft\" }", " }")];
    let design = design_with(MEADOW, &unknown);
    assert_eq!(finding(&design, "way-back-not-judged").severity, Severity::Note);
    assert!(!says(&design, "outlet-can-run-back"));
    let entered = [unknown[0], ("kind = \"grate\"", "kind = \"grate\"\nground_between = \"53 ft\"")];
    assert!(!says(&design_with(MEADOW, &entered), "way-back-not-judged"));
    assert!(!says(&design_with(MEADOW, &[]), "way-back-not-judged"));
}

#[test]
fn identity_what_returns_is_pumped_again_until_it_settles_or_for_ever() {
    let returns = |share: &str| {
        let to = format!("kind = \"grate\"\nreturns = \"{share}\"");
        design_with(MEADOW, &[("kind = \"grate\"", &to)])
    };
    assert!(!says(&returns("0 %"), "return-flow"));
    let some = returns("20 %");
    assert_eq!(finding(&some, "return-flow").severity, Severity::Caution);
    // each gallon that leaves is pumped 1/(1 - 0.2) times
    assert!(message(&some, "return-flow").contains("1.2 times"), "{}", message(&some, "return-flow"));
    let all = returns("100 %");
    assert_eq!(finding(&all, "return-flow").severity, Severity::Stop);
    assert!(message(&all, "return-flow").contains("for ever"));
    assert!(!all.holds());
}

/// The clay hilltop with the outlet so far down.
fn falls_to(level: f64, more: &[(&str, &str)]) -> Design {
    let outlet = format!("level = \"{level} ft\"\ngrate");
    let profile = [
        ("invert = \"87.30 ft\", ground = \"88.70 ft\"", "invert = \"85.60 ft\", ground = \"88.70 ft\""),
        ("invert = \"89.40 ft\", ground = \"90.40 ft\"", "invert = \"85.10 ft\", ground = \"87.00 ft\""),
        ("invert = \"90.20 ft\", ground = \"91.20 ft\"", "invert = \"84.60 ft\", ground = \"85.80 ft\""),
    ];
    let mut changes = vec![("level = \"90.70 ft\"\ngrate", outlet.as_str()), profile[0], profile[1], profile[2]];
    changes.extend(more);
    design_with(CLAY, &changes)
}

#[test]
fn identity_gravity_is_named_first_where_the_levels_let_it() {
    // the main comes in at 85.95 ft, 90 ft of line
    for level in [84.6, 84.8] {
        let design = falls_to(level, &[]);
        assert_eq!(finding(&design, "gravity-may-do").severity, Severity::Note);
        let fall = Length::from_m(number(&design, "gravity-may-do", "fall")).ft();
        assert_relative_eq!(fall, 85.95 - level, epsilon = 1e-9);
        assert_relative_eq!(number(&design, "gravity-may-do", "slope"), fall / 90.0, max_relative = 1e-9);
        assert!(message(&design, "gravity-may-do").contains("6 in"));
        let way = design.gravity_way.as_ref().unwrap();
        let (pipe, carries) = way.pipe.unwrap();
        assert!(carries >= design.storm.peak_inflow);
        // first of all sentences, with fall, pipe and slope
        let first = design.verdict.sentences[0].say(UnitSystem::Us);
        assert!(first.starts_with("First of all: by the levels no pump is needed."), "{first}");
        assert!(first.contains(&pipe.pipe.size), "{first}");
    }
}

#[test]
fn identity_gravity_is_named_where_the_outlet_lies_below_the_floats_too() {
    // on at 85.60 ft: water passes the idle pump by itself, which is one more reason
    let design = falls_to(84.6, &[]);
    assert!(design.pump().is_some());
    assert!(says(&design, "gravity-may-do"));
    // over a hill the pipe would have to be dug deep, and it says how deep
    let hill = falls_to(
        84.6,
        &[("invert = \"85.10 ft\", ground = \"87.00 ft\"", "invert = \"85.10 ft\", ground = \"95.00 ft\"")],
    );
    let deep = number_after(&message(&hill, "gravity-may-do"), "up to ");
    assert_relative_eq!(deep, 95.0 - (85.95 - 1.35 * 50.0 / 90.0), epsilon = 0.06);
}

#[test]
fn identity_a_fall_too_flat_or_a_peak_too_large_is_no_promise() {
    // 0.6 % over 90 ft
    let flat = falls_to(85.41, &[]);
    assert!(message(&flat, "gravity-may-do").contains("flatter than drains of that size are laid"));
    assert!(!flat.verdict.sentences[0].say(UnitSystem::Us).starts_with("First of all"));
    // half a percent is no fall
    assert!(!says(&falls_to(85.51, &[]), "gravity-may-do"));
    assert!(says(&falls_to(85.49, &[]), "gravity-may-do"));
    let large = falls_to(84.6, &[("area = \"3800 ft2\"", "area = \"30000 ft2\"")]);
    assert!(message(&large, "gravity-may-do").contains("no usual pipe carries"));
    assert!(!large.verdict.sentences[0].say(UnitSystem::Us).starts_with("First of all"));
    assert!(!says(&design_with(CLAY, &[]), "gravity-may-do"));
}

#[test]
fn identity_water_does_not_run_up_to_a_grate() {
    // the outlet at 84.60 ft, three feet below the lowest grate, and the ground between lower than either
    let between = ("kind = \"bubbler box\"", "kind = \"bubbler box\"\nground_between = \"84.00 ft\"");
    let design = falls_to(84.6, &[between]);
    let way_off = design.way_off.as_ref().unwrap();
    assert!(way_off.water.ft() > 84.0 && way_off.water.ft() < 88.0);
    assert_eq!(way_off.can_return(), Some(false));
    assert!(!says(&design, "outlet-can-run-back"));
}

#[test]
fn identity_the_higher_of_the_ditch_and_the_water_over_the_outlet_stands_there() {
    let full = |level: &str| {
        let to = format!("ditch_full = \"{level} ft\"");
        design_with(MEADOW, &[("ditch_full = \"51.40 ft\"", to.as_str())]).way_off.unwrap()
    };
    // the outlet at 51.60 ft
    let low = full("51.40");
    let over = low.over_grate.unwrap().max(low.swale.unwrap().depth).ft();
    assert!(over > 0.05);
    assert_relative_eq!(low.water.ft(), 51.6 + over, epsilon = 1e-9);
    assert_relative_eq!(full("53.00").water.ft(), 53.0, epsilon = 1e-9);
}

#[test]
fn regress_levels_that_contradict_one_another_promise_no_gravity() {
    // the outlet far below the end of the profile: one of the two is wrong
    let wrong = design_with(BANK, &[("level = \"71.00 ft\"", "level = \"66.46 ft\"")]);
    assert!(says(&wrong, "end-above-outlet") && says(&wrong, "gravity-may-do") && !wrong.holds());
    let sentences: Vec<String> = wrong.verdict.sentences.iter().map(|said| said.say(UnitSystem::Us)).collect();
    assert!(sentences[0].starts_with("Does not hold"), "{sentences:?}");
    assert!(!sentences.iter().any(|said| said.contains("no pump is needed")), "{sentences:?}");
}
