//! Grates.

use crate::given::{
    CLAY, MEADOW, about, count_of, cure_with, cures, design_with, finding, first_number, message, number, number_after,
    says,
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
        let more = (1..count)
            .map(|number| {
                format!(
                    "\n[[inlet]]\nname = \"more {number}\"\nlow_spot = \"path hollow\"\nrim = \"49.50 ft\"\n{one}\n"
                )
            })
            .collect::<Vec<String>>()
            .concat();
        let basin = format!("{more}\n[basin]");
        design_with(MEADOW, &[(GRATE, &one), ("\n[basin]", basin.as_str())])
    };
    let design = with(1);
    let cure = cure_with(&design, "grate-too-small", "like it");
    let count = count_of(&cure);
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
    // the second before the first, which may be given the second's old size
    let shallow = ("standing_water = \"6 in\"", "standing_water = \"3 in\"");
    design_with(CLAY, &[shallow, ("grate = \"12 in x 12 in\"", &second), ("grate = \"18 in x 18 in\"", &first)])
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
        let shallow = ("standing_water = \"6 in\"", "standing_water = \"3 in\"");
        design_with(CLAY, &[shallow, (from, &to), ("grate = \"12 in x 12 in\"", "grate = \"6 in\"")])
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
fn identity_where_no_usual_grate_is_large_enough_several_are_told() {
    let large = ("area = \"2600 ft2\"", "area = \"160000 ft2\"");
    let with = |count: usize, size: &str| {
        let grate = format!("grate = \"{size}\"\nclogged = \"50 %\"");
        let more = (1..count)
            .map(|number| {
                format!(
                    "\n[[inlet]]\nname = \"more {number}\"\nlow_spot = \"path hollow\"\nrim = \"49.50 ft\"\n{grate}\n"
                )
            })
            .collect::<Vec<String>>()
            .concat();
        let basin = format!("{more}\n[basin]");
        design_with(MEADOW, &[large, (GRATE, &grate), ("\n[basin]", basin.as_str())])
    };
    let design = with(1, "12 in x 12 in");
    let cure = cure_with(&design, "grate-too-small", "in its place");
    assert!(!cures(&design, "grate-too-small").iter().any(|cure| cure.starts_with("a grate of")));
    let (count, size) = (count_of(&cure), as_entered(cure.split_once("grates of ").unwrap().1));
    assert!(!says(&with(count, &size), "grate-too-small"), "{cure}");
    assert!(says(&with(count - 1, &size), "grate-too-small"), "{cure}");
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
    // not where the soil may shed far more than the tables say
    let meadow = |from: &str| {
        design_with(
            MEADOW,
            &[("grate = \"12 in x 12 in\"", "grate = \"18 in x 18 in\""), ("texture = \"sandy loam\"", from)],
        )
    };
    assert!(says(&meadow("conductivity = \"2 ft/day\""), "grate-larger-than-needed"));
    assert!(!says(&meadow("texture = \"sandy loam\""), "grate-larger-than-needed"));
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

#[test]
fn identity_water_of_a_low_spot_without_a_grate_stays_there() {
    let lost =
        [("low_spot = \"path hollow\"\nrim", "rim"), ("drains_to = \"path grate\"", "drains_to = \"path hollow\"")];
    let design = design_with(MEADOW, &lost);
    assert_eq!(finding(&design, "low-spot-without-grate").severity, Severity::Stop);
    let flow = number(&design, "low-spot-without-grate", "flow");
    assert_relative_eq!(flow, design.storm.peak.flow.m3s(), max_relative = 1e-9);
    let verdict: Vec<String> = design.verdict.sentences.iter().map(|sentence| sentence.say(design.units)).collect();
    assert!(!design.holds() && !verdict.concat().contains("bring that peak"), "{verdict:?}");
    // its first cure
    cure_with(&design, "low-spot-without-grate", "`low_spot = \"path hollow\"` in the [[inlet]]");
    assert!(!says(&design_with(MEADOW, &lost[1..]), "low-spot-without-grate"));
    // a hollow that nothing runs to
    assert!(!says(&design_with(MEADOW, &lost[..1]), "low-spot-without-grate"));
}
