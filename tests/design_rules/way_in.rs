//! Grates and gravity drains.

use crate::given::{
    CLAY, MAIN, MEADOW, about, cure_about, cure_with, cures, design_with, finding, first_number, message, number,
    number_after, says,
};
use approx::assert_relative_eq;
use sumpwright::design::{Design, Severity};
use sumpwright::quantity::{Length, UnitSystem};

/// The grate of the meadow, alone in its hollow.
const GRATE: &str = "grate = \"12 in x 12 in\"\nclogged = \"50 %\"";

fn meadow_grate(size: &str) -> Design {
    let grate = format!("grate = \"{size}\"\nclogged = \"50 %\"");
    design_with(MEADOW, &[(GRATE, &grate)])
}

/// The size of a grate as the file writes it, from its label.
fn as_entered(label: &str) -> String {
    let inches = first_number(label);
    if label.contains("square") { format!("{inches} in x {inches} in") } else { format!("{inches} in") }
}

#[test]
fn identity_a_grate_without_a_size_is_not_judged() {
    let design = design_with(MEADOW, &[(GRATE, "")]);
    let found = finding(&design, "grate-not-judged");
    assert_eq!((found.severity, found.about.as_deref()), (Severity::Note, Some("path grate")));
    assert!(cures(&design, "grate-not-judged")[0].contains("grate = \"12 in x 12 in\""));
    for sized in ["grate = \"12 in x 12 in\"", "open_area = \"60 in2\"\nperimeter = \"40 in\""] {
        assert!(!says(&design_with(MEADOW, &[(GRATE, sized)]), "grate-not-judged"), "{sized}");
    }
}

#[test]
fn identity_a_grate_blocked_whole_is_a_stop_and_no_more_is_said_of_it() {
    let blocked = |share: &str| {
        let to = format!("clogged = \"{share}\"");
        design_with(MEADOW, &[("clogged = \"50 %\"", to.as_str())])
    };
    let design = blocked("100 %");
    assert_eq!(finding(&design, "grate-shut").severity, Severity::Stop);
    assert!(!design.holds() && !says(&design, "grate-too-small") && !says(&design, "grate-not-judged"));
    // its cure
    assert!(cures(&design, "grate-shut")[0].contains("50 %"));
    assert!(!says(&blocked("50 %"), "grate-shut"));
    assert!(!says(&blocked("99 %"), "grate-shut"));
}

#[test]
fn identity_the_larger_grate_offered_is_the_least_that_does() {
    let design = meadow_grate("4 in");
    let found = finding(&design, "grate-too-small");
    assert_eq!(found.severity, Severity::Caution);
    assert!(number(&design, "grate-too-small", "depth") > Length::from_inch(2.0).m());
    let label = cure_with(&design, "grate-too-small", "a grate of ");
    let size = as_entered(&label);
    assert!(!says(&meadow_grate(&size), "grate-too-small"), "{label}");
    // of the usual ones those that are smaller do not
    let inches = first_number(&label);
    let smaller: Vec<f64> = [4.0, 6.0, 8.0, 9.0, 10.0, 12.0].into_iter().filter(|other| *other < inches).collect();
    assert!(!smaller.is_empty());
    for other in smaller {
        assert!(says(&meadow_grate(&format!("{other} in")), "grate-too-small"), "{other}");
    }
}

#[test]
fn identity_the_number_of_grates_offered_is_enough_and_one_less_is_not() {
    let with = |count: usize| {
        let one = GRATE.replace("12 in x 12 in", "4 in");
        let more: String = (1..count)
            .map(|number| {
                format!(
                    "\n[[inlet]]\nname = \"more {number}\"\nlow_spot = \"path hollow\"\nrim = \"49.50 ft\"\n{one}\n"
                )
            })
            .collect();
        let basin = format!("{more}\n[basin]");
        design_with(MEADOW, &[(GRATE, &one), ("\n[basin]", basin.as_str())])
    };
    let design = with(1);
    let cure = cure_with(&design, "grate-too-small", "like it");
    let count = if cure.starts_with("a second") { 2 } else { first_number(&cure) as usize };
    assert!(count > 2, "{cure}");
    assert!(!says(&with(count), "grate-too-small"));
    assert!(says(&with(count - 1), "grate-too-small"));
    // where two do
    let six = design_with(MEADOW, &[(GRATE, "grate = \"6 in\"\nclogged = \"50 %\"")]);
    let cure = cure_with(&six, "grate-too-small", "like it");
    assert!(cure.starts_with("a second grate like it"), "{cure}");
    let second = "\n[[inlet]]\nname = \"second\"\nlow_spot = \"path hollow\"\nrim = \"49.50 ft\"\ngrate = \"6 in\"\nclogged = \"50 %\"\n\n[basin]";
    let cured = design_with(MEADOW, &[(GRATE, "grate = \"6 in\"\nclogged = \"50 %\""), ("\n[basin]", second)]);
    assert!(!says(&cured, "grate-too-small"));
}

#[test]
fn identity_cleaning_is_offered_where_it_is_enough() {
    let with = |clogged: &str| {
        let grate = format!("grate = \"6 in\"\nclogged = \"{clogged}\"");
        design_with(MEADOW, &[(GRATE, &grate)])
    };
    let design = with("50 %");
    let cure = cure_with(&design, "grate-too-small", "kept clean");
    let clean = with("0 %");
    assert!(!says(&clean, "grate-too-small"));
    // with the depth that it promises
    assert_relative_eq!(clean.way_in.inlets[0].depth.unwrap().inch(), number_after(&cure, "with "), epsilon = 0.05);
    // nothing to clean, or too small clean: not offered
    let small = design_with(MEADOW, &[(GRATE, "grate = \"4 in\"\nclogged = \"50 %\"")]);
    assert!(says(&small, "grate-too-small"));
    assert!(!cures(&small, "grate-too-small").iter().any(|cure| cure.contains("clean")));
    let small = design_with(MEADOW, &[(GRATE, "grate = \"4 in\"\nclogged = \"0 %\"")]);
    assert!(says(&small, "grate-too-small"));
    assert!(!cures(&small, "grate-too-small").iter().any(|cure| cure.contains("clean")));
}

/// Two grates in one hollow, far too small for it.
fn two_in_a_hollow(first: &str, second: &str) -> Design {
    let (first, second) = (format!("grate = \"{first}\""), format!("grate = \"{second}\""));
    design_with(CLAY, &[("grate = \"18 in x 18 in\"", &first), ("grate = \"12 in x 12 in\"", &second)])
}

#[test]
fn identity_a_grate_that_shares_a_low_spot_is_cured_with_the_others_in_place() {
    let (small, corner) = ("9 in", "8 in");
    let design = two_in_a_hollow(small, corner);
    for (grate, other) in [("hollow grate", "corner grate"), ("corner grate", "hollow grate")] {
        let found = about(&design, "grate-too-small", grate).unwrap();
        let cures: Vec<String> = found.cures.iter().map(|cure| cure.say(UnitSystem::Us)).collect();
        let label = cures.iter().find(|cure| cure.starts_with("a grate of")).unwrap();
        let size = as_entered(label);
        let cured =
            if grate == "hollow grate" { two_in_a_hollow(&size, corner) } else { two_in_a_hollow(small, &size) };
        assert!(about(&cured, "grate-too-small", grate).is_none(), "{grate}: {label}");
        assert!(about(&design, "grate-too-small", other).is_some());
    }
    // cleaning one of them
    let cleaned = |clogged: &str| {
        let to = format!("grate = \"10 in x 10 in\"\nclogged = \"{clogged}\"");
        let from = "grate = \"18 in x 18 in\"\nclogged = \"50 %\"";
        design_with(CLAY, &[(from, &to), ("grate = \"12 in x 12 in\"", "grate = \"6 in\"")])
    };
    let design = cleaned("50 %");
    let found = about(&design, "grate-too-small", "hollow grate").unwrap();
    let cure =
        found.cures.iter().map(|cure| cure.say(UnitSystem::Us)).find(|cure| cure.contains("kept clean")).unwrap();
    let clean = cleaned("0 %");
    assert!(about(&clean, "grate-too-small", "hollow grate").is_none());
    assert_relative_eq!(clean.way_in.inlets[0].depth.unwrap().inch(), number_after(&cure, "with "), epsilon = 0.05);
}

#[test]
fn identity_where_no_usual_grate_is_large_enough_its_opening_is_told() {
    let large = ("area = \"2600 ft2\"", "area = \"160000 ft2\"");
    let with = |grate: &str| design_with(MEADOW, &[large, (GRATE, grate)]);
    let design = with("open_area = \"200 in2\"\nperimeter = \"60 in\"\nclogged = \"50 %\"");
    let cure = cure_with(&design, "grate-too-small", "times its edge");
    assert!(!cures(&design, "grate-too-small").iter().any(|cure| cure.starts_with("a grate of")));
    let factor = first_number(&cure);
    let sized = |factor: f64| {
        let (area, edge) = (200.0 * factor, 60.0 * factor);
        with(&format!("open_area = \"{area} in2\"\nperimeter = \"{edge} in\"\nclogged = \"50 %\""))
    };
    assert!(!says(&sized(factor), "grate-too-small"), "{cure}");
    assert!(says(&sized(factor - 0.11), "grate-too-small"));
}

#[test]
fn identity_a_goal_of_no_water_at_all_is_answered() {
    let none = ("standing_water = \"2 in\"", "standing_water = \"0 in\"");
    let design = design_with(MEADOW, &[none]);
    let cure = cure_with(&design, "grate-too-small", "a goal that lets");
    let goal = |inches: f64| {
        let to = format!("standing_water = \"{inches} in\"");
        design_with(MEADOW, &[(none.0, to.as_str())])
    };
    assert!(!says(&goal(first_number(&cure)), "grate-too-small"));
    assert!(says(&goal(first_number(&cure) - 0.11), "grate-too-small"));
}

#[test]
fn identity_the_smaller_grate_named_does_and_all_of_them_do_together() {
    let design = design_with(CLAY, &[]);
    assert_eq!(finding(&design, "grate-larger-than-needed").severity, Severity::Note);
    let said = message(&design, "grate-larger-than-needed");
    let named =
        |grate: &str| as_entered(said.split_once(&format!("`{grate}` (")).unwrap().1.split(')').next().unwrap());
    let all = [
        ("grate = \"18 in x 18 in\"", format!("grate = \"{}\"", named("hollow grate"))),
        (
            "grate = \"12 in x 12 in\"\noutlet_invert = \"86.60 ft\"",
            format!("grate = \"{}\"\noutlet_invert = \"86.60 ft\"", named("corner grate")),
        ),
        ("grate = \"9 in x 9 in\"", format!("grate = \"{}\"", named("shed grate"))),
    ];
    for (from, to) in &all {
        let cured = design_with(CLAY, &[(from, to.as_str())]);
        assert!(!says(&cured, "grate-too-small"), "{to}");
    }
    let together: Vec<(&str, &str)> = all.iter().map(|(from, to)| (*from, to.as_str())).collect();
    let cured = design_with(CLAY, &together);
    assert!(!says(&cured, "grate-too-small") && !says(&cured, "grate-larger-than-needed"), "{said}");
}

#[test]
fn identity_a_grate_that_stands_proud_is_set_lower() {
    let rim = |feet: f64| {
        let to = format!("rim = \"{feet} ft\"\ngrate");
        design_with(MEADOW, &[("rim = \"49.50 ft\"\ngrate", to.as_str())])
    };
    let design = rim(49.75);
    assert_eq!(finding(&design, "grate-above-low-spot").severity, Severity::Caution);
    let lower = first_number(&cures(&design, "grate-above-low-spot")[0]);
    assert_relative_eq!(lower, 3.0, epsilon = 0.05);
    assert!(!says(&rim(49.75 - lower / 12.0), "grate-above-low-spot"));
    assert!(says(&rim(49.75 - (lower - 0.6) / 12.0), "grate-above-low-spot"));
    // a second grate that stands higher than the first is no fault
    assert!(!says(&design_with(CLAY, &[]), "grate-above-low-spot"));
}

// --- drains ---

const LINE: &str = "size = \"4 in\"\nlength = \"18 ft\"\nslope = \"1.1 %\"";

fn meadow_line(line: &str) -> Design {
    design_with(MEADOW, &[(LINE, line)])
}

#[test]
fn identity_a_drain_is_judged_once_size_and_fall_are_known() {
    let design = meadow_line("length = \"18 ft\"\nslope = \"1.1 %\"");
    assert_eq!(finding(&design, "drain-not-judged").severity, Severity::Note);
    assert!(cures(&design, "drain-not-judged")[0].contains("size"));
    let design = meadow_line("size = \"4 in\"\nlength = \"18 ft\"");
    let cure = &cures(&design, "drain-not-judged")[0];
    assert!(cure.contains("down_invert") && cure.contains("slope"), "{cure}");
    assert!(!says(&meadow_line(LINE), "drain-not-judged"));
    assert!(!says(&meadow_line("size = \"4 in\"\nlength = \"18 ft\"\ndown_invert = \"47.70 ft\""), "drain-not-judged"));
}

/// The main of the clay hilltop in another size, with another fall.
fn main_drain(size: &str, down: f64, length: f64) -> Design {
    let to = format!("size = \"{size}\"\nlength = \"{length} ft\"\ndown_invert = \"{down} ft\"");
    design_with(CLAY, &[("size = \"6 in\"\nlength = \"16 ft\"\ndown_invert = \"85.95 ft\"", to.as_str())])
}

#[test]
fn identity_a_drain_too_small_is_cured_by_size_or_by_fall() {
    let design = main_drain("4 in", 85.8, 40.0);
    let found = about(&design, "drain-too-small", "main").unwrap();
    assert_eq!(found.severity, Severity::Caution);
    assert!(about(&design, "drain-runs-full", "main").is_none());
    let brings = number(&design, "drain-too-small", "brings");
    assert!(brings < number(&design, "drain-too-small", "flow"));
    let size = cure_about(&design, "drain-too-small", "main", "pipe of the same kind");
    assert!(size.starts_with("6 in"), "{size}");
    assert!(about(&main_drain("6 in", 85.8, 40.0), "drain-too-small", "main").is_none());
    // by its fall
    let design = main_drain("6 in", 86.0, 60.0);
    let wide = ("area = \"3800 ft2\"", "area = \"7600 ft2\"");
    let with = |down: f64| {
        let to = format!("size = \"6 in\"\nlength = \"60 ft\"\ndown_invert = \"{down} ft\"");
        design_with(CLAY, &[wide, ("size = \"6 in\"\nlength = \"16 ft\"\ndown_invert = \"85.95 ft\"", to.as_str())])
    };
    assert!(about(&design, "drain-too-small", "main").is_none());
    let design = with(86.0);
    let cure = cure_about(&design, "drain-too-small", "main", "a fall of");
    let lower = number_after(&cure, "lower end ");
    assert!(about(&with(86.0 - lower / 12.0), "drain-too-small", "main").is_none(), "{cure}");
    assert!(about(&with(86.0 - lower / 12.0 * 0.85), "drain-too-small", "main").is_some(), "{cure}");
    assert_relative_eq!(first_number(&cure), (86.2 - 86.0 + lower / 12.0) / 60.0 * 100.0, epsilon = 0.06);
}

#[test]
fn identity_a_drain_held_up_by_the_floats_is_cured_by_them() {
    // the pump starts half a foot below the grate of the hollow
    let high =
        ["on = \"36 in\"", "alarm = \"42 in\"", "above_floor = \"52 in\"", "size = \"6 in\"\nlength = \"16 ft\""];
    let with = |on: f64| {
        let on = format!("on = \"{on} in\"");
        design_with(
            CLAY,
            &[
                (high[0], on.as_str()),
                (high[1], "alarm = \"65 in\""),
                (high[2], "above_floor = \"68 in\""),
                (high[3], "size = \"6 in\"\nlength = \"60 ft\""),
            ],
        )
    };
    let design = with(62.0);
    assert!(about(&design, "drain-too-small", "main").is_some());
    let cure = cure_about(&design, "drain-too-small", "main", "the on level at");
    let on = first_number(&cure);
    assert!(about(&with(on), "drain-too-small", "main").is_none(), "{cure}");
    assert!(about(&with(on + 0.2), "drain-too-small", "main").is_some(), "{cure}");
}

#[test]
fn identity_more_pipes_are_offered_where_no_larger_one_is_made() {
    // several times the lawn
    for (area, says_so) in [("13000 ft2", "a second pipe like it"), ("25000 ft2", "3 pipes like it in all")] {
        let lawn = format!("area = \"{area}\"");
        let wide = [
            ("area = \"3800 ft2\"", lawn.as_str()),
            ("size = \"4 in\"\nlength = \"36 ft\"", "size = \"6 in\"\nlength = \"36 ft\""),
        ];
        let with = |count: usize| {
            let more: String = (1..count)
                .map(|number| {
                    format!("\n[[drain]]\nname = \"main {number}\"\nfrom = \"hollow grate\"\nto = \"basin\"\nsize = \"6 in\"\nlength = \"16 ft\"\ndown_invert = \"85.95 ft\"\n")
                })
                .collect();
            let basin = format!("{more}\n[basin]");
            design_with(CLAY, &[wide[0], wide[1], ("\n[basin]", basin.as_str())])
        };
        let cure = cure_about(&with(1), "drain-too-small", "main", "like it");
        assert!(cure.starts_with(says_so), "{area}: {cure}");
        let count = if cure.starts_with("a second") { 2 } else { first_number(&cure) as usize };
        assert!(about(&with(count), "drain-too-small", "main").is_none(), "{area}: {cure}");
        assert!(about(&with(count - 1), "drain-too-small", "main").is_some(), "{area}: {cure}");
    }
}

#[test]
fn identity_what_lies_above_a_pipe_that_is_too_small_is_not_blamed_for_it() {
    // the sheds' line brings what it always did; the water in the hollow's catch basin stands at its grate and no higher
    let design = main_drain("4 in", 86.1, 60.0);
    assert!(about(&design, "drain-too-small", "main").is_some());
    assert!(about(&design, "drain-too-small", "shed line").is_none());
    assert!(about(&design, "drain-too-small", "corner line").is_none());
    let backed = |name: &str| design.way_in.drains.iter().find(|drain| drain.name == name).unwrap().backed.unwrap();
    assert!(backed("main").pool.ft() > 88.0);
    assert_relative_eq!(backed("shed line").lower.ft(), 88.0, epsilon = 1e-9);
}

#[test]
fn identity_a_drain_that_runs_full_under_head_says_how_far_below_the_grate() {
    let design = design_with(MAIN, &[]);
    let found = about(&design, "drain-runs-full", "corner line").unwrap();
    assert_eq!(found.severity, Severity::Note);
    assert!(number(&design, "drain-runs-full", "flow") > number(&design, "drain-runs-full", "capacity"));
    let below = number_after(&message(&design, "drain-runs-full"), "up to ");
    let pool = Length::from_m(number(&design, "drain-runs-full", "pool"));
    assert_relative_eq!(96.0 - pool.ft(), below / 12.0, epsilon = 0.005);
    // a pipe with fall enough does not
    let steep = (
        "up_invert = \"94.40 ft\"\ndown_invert = \"94.10 ft\"",
        "up_invert = \"94.80 ft\"\ndown_invert = \"94.10 ft\"",
    );
    let outlet = ("outlet_invert = \"94.40 ft\"", "outlet_invert = \"94.80 ft\"");
    assert!(!says(&design_with(MAIN, &[steep, outlet]), "drain-runs-full"));
}

#[test]
fn identity_a_flat_drain_is_cured_by_the_level_printed() {
    let with = |down: f64| meadow_line(&format!("size = \"4 in\"\nlength = \"18 ft\"\ndown_invert = \"{down:.3} ft\""));
    let design = with(47.80);
    assert_eq!(finding(&design, "drain-flat").severity, Severity::Caution);
    let cure = cure_with(&design, "drain-flat", "its lower end at");
    let level = first_number(&cure);
    assert!(!says(&with(level), "drain-flat"), "{cure}");
    assert!(says(&with(level + 0.02), "drain-flat"), "{cure}");
    // a short pipe, of which a hundredth of a foot is much
    let short =
        |down: f64| meadow_line(&format!("size = \"4 in\"\nlength = \"2.7 ft\"\ndown_invert = \"{down:.3} ft\""));
    let cure = cure_with(&short(47.89), "drain-flat", "its lower end at");
    assert!(!says(&short(first_number(&cure)), "drain-flat"), "{cure}");
    // by its slope alone
    let sloping = |percent: f64| {
        design_with(
            MEADOW,
            &[
                ("outlet_invert = \"47.90 ft\"\n", ""),
                (LINE, &format!("size = \"4 in\"\nlength = \"18 ft\"\nslope = \"{percent} %\"")),
            ],
        )
    };
    let design = sloping(0.4);
    let cure = cure_with(&design, "drain-flat", "a fall of");
    assert!(!says(&sloping(first_number(&cure)), "drain-flat"), "{cure}");
    assert!(says(&sloping(first_number(&cure) - 0.1), "drain-flat"), "{cure}");
    // where it must lie deeper than the floats
    let deep = design_with(
        MEADOW,
        &[(
            "up_invert = \"46.90 ft\"\ndown_invert = \"46.50 ft\"",
            "up_invert = \"46.30 ft\"\ndown_invert = \"46.20 ft\"",
        )],
    );
    assert!(cure_with(&deep, "drain-flat", "its lower end").contains("and the floats in the basin lower with it"));
}

#[test]
fn identity_a_flat_drain_into_a_deep_catch_basin_is_raised() {
    // the corner's line ends a hundredth above the outlet of the hollow's catch basin
    let with = |up: f64| {
        let up = format!("outlet_invert = \"{up} ft\"");
        design_with(
            CLAY,
            &[
                ("outlet_invert = \"86.60 ft\"", up.as_str()),
                ("down_invert = \"86.35 ft\"", "down_invert = \"86.21 ft\""),
            ],
        )
    };
    let design = with(86.3);
    let found = about(&design, "drain-flat", "corner line").unwrap();
    let cure = found.cures[0].say(UnitSystem::Us);
    assert!(cure.contains("its upper end at") && cure.contains("`hollow grate`"), "{cure}");
    assert!(about(&with(first_number(&cure)), "drain-flat", "corner line").is_none(), "{cure}");
    assert!(about(&with(first_number(&cure) - 0.02), "drain-flat", "corner line").is_some(), "{cure}");
}

#[test]
fn identity_a_slow_drain_is_cured_by_the_fall_printed() {
    // an old rough pipe: steep enough by the code, and slow
    let with = |percent: f64| {
        let line = format!("size = \"4 in\"\nlength = \"18 ft\"\nroughness = 0.016\nslope = \"{percent} %\"");
        meadow_line(&line)
    };
    let design = with(1.05);
    assert_eq!(finding(&design, "drain-slow").severity, Severity::Note);
    let cure = cure_with(&design, "drain-slow", "a fall of");
    assert!(!says(&with(first_number(&cure)), "drain-slow"), "{cure}");
    assert!(says(&with(first_number(&cure) - 0.1), "drain-slow"), "{cure}");
    assert!(!says(&design, "drain-flat"));
}

#[test]
fn identity_a_flat_drain_is_not_called_slow_too_where_one_fall_cures_both() {
    let line = |down: f64| format!("size = \"4 in\"\nlength = \"18 ft\"\ndown_invert = \"{down} ft\"");
    let design = meadow_line(&line(47.85));
    assert!(says(&design, "drain-flat") && !says(&design, "drain-slow"));
    assert!(design.way_in.drains[0].full_velocity.unwrap().fts() < 2.0);
    let level = first_number(&cure_with(&design, "drain-flat", "its lower end"));
    let cured = meadow_line(&line(level));
    assert!(!says(&cured, "drain-flat") && !says(&cured, "drain-slow"));
}

#[test]
fn identity_a_drain_must_lie_in_the_ground_and_deep_enough() {
    let with = |ground: f64| {
        let line = format!("{LINE}\ndown_ground = \"{ground} ft\"");
        meadow_line(&line)
    };
    let out = with(47.9);
    assert_eq!(finding(&out, "drain-out-of-ground").severity, Severity::Stop);
    assert!(!says(&out, "drain-shallow"));
    // the lower end lies under so much, so lowering it is as good as ground so much higher
    let lower = number_after(&cures(&out, "drain-out-of-ground")[0], "lower end ");
    let cured = with(47.9 + lower / 12.0);
    assert!(!says(&cured, "drain-out-of-ground") && !says(&cured, "drain-shallow"));
    let shallow = with(48.3);
    assert_eq!(finding(&shallow, "drain-shallow").severity, Severity::Caution);
    let lower = number_after(&cures(&shallow, "drain-shallow")[0], "lower end ");
    assert!(!says(&with(48.3 + lower / 12.0), "drain-shallow"));
    assert!(says(&with(48.3 + (lower - 0.15) / 12.0), "drain-shallow"));
}

#[test]
fn identity_the_on_level_says_what_it_backs_up() {
    // on at 46.17 ft; the grate's line comes in at 47.70 ft, the French drain at 46.50 ft
    let with = |on: f64| {
        let on = format!("on = \"{on} in\"");
        design_with(
            MEADOW,
            &[
                ("on = \"26 in\"", on.as_str()),
                ("alarm = \"34 in\"", "alarm = \"56 in\""),
                ("above_floor = \"44 in\"", "above_floor = \"60 in\""),
            ],
        )
    };
    assert!(!says(&with(26.0), "on-level-backs-up-drain"));
    let design = with(46.0);
    // 47.83 ft: the line has water in it for (47.83 - 47.70) over its fall of 0.198 ft
    let line = about(&design, "on-level-backs-up-drain", "grate line").unwrap();
    assert_eq!(line.severity, Severity::Note);
    let length = line.numbers.iter().find(|(name, _)| *name == "length").unwrap().1.si;
    assert_relative_eq!(Length::from_m(length).ft(), (44.0 + 46.0 / 12.0 - 47.702) / 0.011, max_relative = 1e-6);
    // the depth budget has the cure for the lowest, this one for the other
    let french = about(&design, "on-level-backs-up-drain", "back drain").unwrap();
    assert!(french.cures.is_empty() && says(&design, "inlet-below-on-level"));
    let cure = line.cures[0].say(UnitSystem::Us);
    let on = first_number(&cure);
    assert!(about(&with(on), "on-level-backs-up-drain", "grate line").is_none(), "{cure}");
    assert!(about(&with(on + 0.15), "on-level-backs-up-drain", "grate line").is_some(), "{cure}");
}

#[test]
fn identity_the_on_level_reaches_through_one_drain_into_the_next() {
    let with = |on: &str| {
        design_with(
            CLAY,
            &[
                ("on = \"36 in\"", on),
                ("alarm = \"42 in\"", "alarm = \"58 in\""),
                ("above_floor = \"52 in\"", "above_floor = \"62 in\""),
            ],
        )
    };
    // 82.60 ft and 46 in: 86.43 ft, above the main's head at 86.20 ft and the corner line's end at 86.35 ft
    let design = with("on = \"46 in\"");
    assert!(about(&design, "on-level-backs-up-drain", "main").is_some());
    let corner = about(&design, "on-level-backs-up-drain", "corner line").unwrap();
    let length = corner.numbers.iter().find(|(name, _)| *name == "length").unwrap().1.si;
    assert_relative_eq!(Length::from_m(length).ft(), (82.6 + 46.0 / 12.0 - 86.35) / (0.25 / 22.0), max_relative = 1e-6);
    assert!(about(&design, "on-level-backs-up-drain", "shed line").is_none());
    // 86.10 ft: not past the main's head
    let design = with("on = \"42 in\"");
    assert!(about(&design, "on-level-backs-up-drain", "main").is_some());
    assert!(about(&design, "on-level-backs-up-drain", "corner line").is_none());
}

#[test]
fn identity_a_drain_that_does_not_fall_is_a_stop_and_its_cure_leaves_no_flat_one() {
    let with = |down: f64| meadow_line(&format!("size = \"4 in\"\nlength = \"18 ft\"\ndown_invert = \"{down:.3} ft\""));
    let design = with(47.95);
    assert_eq!(finding(&design, "drain-uphill").severity, Severity::Stop);
    // the reader's doubt is not said again
    assert!(!says(&design, "doubt-about-the-file") && !says(&design, "drain-flat"));
    let cure = &cures(&design, "drain-uphill")[0];
    let cured = with(first_number(cure));
    assert!(!says(&cured, "drain-uphill") && !says(&cured, "drain-flat"), "{cure}");
    assert!(says(&with(first_number(cure) + 0.02), "drain-flat"));
    // level is not falling either
    assert!(says(&with(47.90), "drain-uphill"));
    // nor is a slope of nothing where no invert is known
    let sloping = |slope: &str| {
        let line = format!("size = \"4 in\"\nlength = \"18 ft\"\nslope = \"{slope}\"");
        design_with(MEADOW, &[("outlet_invert = \"47.90 ft\"\n", ""), (LINE, &line)])
    };
    let design = sloping("0 %");
    assert_eq!(finding(&design, "drain-uphill").severity, Severity::Stop);
    let fall = first_number(&cures(&design, "drain-uphill")[0]);
    let cured = sloping(&format!("{fall} %"));
    assert!(!says(&cured, "drain-uphill") && !says(&cured, "drain-flat"));
}
