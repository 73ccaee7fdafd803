//! Gravity drains.

use crate::given::{
    CLAY, MAIN, MEADOW, about, count_of, cure_about, cure_with, cures, design_with, finding, first_number, message,
    number, number_after, says,
};
use approx::assert_relative_eq;
use sumpwright::design::{Design, Severity};
use sumpwright::quantity::{Length, UnitSystem};

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
    let wide = ("area = \"3800 ft2\"", "area = \"6000 ft2\"");
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
    for (area, says_so) in [("10200 ft2", "a second pipe like it"), ("19700 ft2", "3 pipes like it in all")] {
        let lawn = format!("area = \"{area}\"");
        let wide = [
            ("area = \"3800 ft2\"", lawn.as_str()),
            ("size = \"4 in\"\nlength = \"36 ft\"", "size = \"6 in\"\nlength = \"36 ft\""),
        ];
        let with = |count: usize| {
            let more = (1..count)
                .map(|number| {
                    format!("\n[[drain]]\nname = \"main {number}\"\nfrom = \"hollow grate\"\nto = \"basin\"\nsize = \"6 in\"\nlength = \"16 ft\"\ndown_invert = \"85.95 ft\"\n")
                })
                .collect::<Vec<String>>().concat();
            let basin = format!("{more}\n[basin]");
            design_with(CLAY, &[wide[0], wide[1], ("\n[basin]", basin.as_str())])
        };
        let cure = cure_about(&with(1), "drain-too-small", "main", "like it");
        assert!(cure.starts_with(says_so), "{area}: {cure}");
        let count = count_of(&cure);
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

#[test]
fn identity_a_drain_above_one_of_which_too_little_is_known_is_not_judged() {
    let of =
        |design: &Design, name: &str| design.way_in.drains.iter().find(|drain| drain.name == name).unwrap().clone();
    let known = design_with(CLAY, &[]);
    assert!(of(&known, "corner line").backed.is_some());
    for lost in [
        "length = \"16 ft\"\ndown_invert = \"85.95 ft\"",
        "size = \"6 in\"\nlength = \"16 ft\"\ndown_invert = \"85.95 ft\"",
    ] {
        let design = design_with(CLAY, &[(lost, "length = \"16 ft\"")]);
        for name in ["main", "corner line", "shed line"] {
            assert!(of(&design, name).backed.is_none() && of(&design, name).most.is_none(), "{name}: {lost}");
        }
    }
}

#[test]
fn identity_a_shallow_upper_end_is_laid_deeper_with_the_lower_one() {
    let with = |ground: f64, lower: f64| {
        let line = format!("outlet_invert = \"{} ft\"\nsilt_trap", 47.90 - lower);
        let ground = format!("up_ground = \"{ground} ft\"\nlength = \"18 ft\"\nslope = \"1.1 %\"");
        design_with(
            MEADOW,
            &[
                ("outlet_invert = \"47.90 ft\"\nsilt_trap", line.as_str()),
                ("length = \"18 ft\"\nslope = \"1.1 %\"", ground.as_str()),
            ],
        )
    };
    for (ground, id) in [(48.1, "drain-out-of-ground"), (48.4, "drain-shallow")] {
        let cure = cure_with(&with(ground, 0.0), id, "both ends");
        let deeper = with(ground, number_after(&cure, "both ends ") / 12.0);
        assert!(!says(&deeper, "drain-out-of-ground") && !says(&deeper, "drain-shallow"), "{cure}");
        // it keeps its fall
        assert!(!says(&deeper, "drain-flat"));
    }
}
