//! Frost and cover.

use crate::given::{BANK, MAIN, cures, design_with, finding, message, number, over, says};
use approx::assert_relative_eq;
use sumpwright::design::Severity;
use sumpwright::quantity::{Length, Volume};

const FROST: &str = "frost = { plan = \"drains back\", depth = \"42 in\" }";
const DRAIN_HOLE: &str = "drain_hole = { diameter = \"3/16 in\", above_floor = \"54 in\" }\n";

#[test]
fn identity_a_line_that_drains_both_ways_freezes_nowhere() {
    let design = design_with(BANK, &[]);
    assert!(design.rest.freezes.is_empty() && !design.rest.held);
    for id in ["valve-holds-line-in-frost", "water-stays-in-frost", "frost-without-plan"] {
        assert!(!says(&design, id), "{id}");
    }
    // all of the near side runs back, and counts in the cycle: 90 ft of 2 in hold 15.69 gal, and the riser's share
    let cycle = design.pump().unwrap().cycle.clone().unwrap();
    let riser = (69.90 - 65.95) / 100.0 * 17.43;
    assert_relative_eq!(cycle.runs_back.gal(), 0.9 * 17.43 + riser, epsilon = 0.02);
}

#[test]
fn identity_a_valve_defeats_a_plan_to_drain_back() {
    let design = design_with(BANK, &[(DRAIN_HOLE, "")]);
    assert_eq!(finding(&design, "valve-holds-line-in-frost").severity, Severity::Stop);
    // the near side stays full, 90 ft of it, all within 42 in
    assert_relative_eq!(
        Volume::from_m3(number(&design, "valve-holds-line-in-frost", "freezes")).gal(),
        0.9 * 17.43,
        epsilon = 0.01
    );
    // both cures: the hole above, and no valve
    assert!(!says(&design_with(BANK, &[]), "valve-holds-line-in-frost"));
    let none = [(DRAIN_HOLE, ""), ("check_valve = { kind = \"swing\", above_floor = \"50 in\" }\n", "")];
    let design = design_with(BANK, &none);
    assert!(!says(&design, "valve-holds-line-in-frost"));
    // and then the missing valve is what the plan wants
    assert_eq!(finding(&design, "check-valve-missing").severity, Severity::Note);
}

#[test]
fn identity_a_sag_is_found_with_its_gallons_and_raised_out_of_the_frost() {
    let sag = (
        "{ at = \"40 ft\", invert = \"73.60 ft\", ground = \"74.90 ft\" }",
        "{ at = \"40 ft\", invert = \"69.40 ft\", ground = \"70.90 ft\" }",
    );
    let design = design_with(BANK, &[sag]);
    // from the basin down 0.5 ft in 40 ft, and up again to 69.90 within 50 x 0.5/9 ft
    let said = message(&design, "water-stays-in-frost");
    assert!(said.contains("lowest at 40 ft"), "{said}");
    let stretch = 40.0 + 50.0 * 0.5 / 9.0;
    assert_relative_eq!(
        Volume::from_m3(number(&design, "water-stays-in-frost", "freezes")).gal(),
        stretch / 100.0 * 17.43,
        epsilon = 0.01
    );
    let cure = cures(&design, "water-stays-in-frost");
    assert!(cure[0].contains("6 in at 40 ft"), "{cure:?}");
    // half a foot higher it is level, and holds nothing
    let raised = (sag.0, "{ at = \"40 ft\", invert = \"69.90 ft\", ground = \"71.40 ft\" }");
    assert!(!says(&design_with(BANK, &[raised]), "water-stays-in-frost"));
}

#[test]
fn identity_frost_without_a_plan_is_a_caution_where_it_reaches_water() {
    let none = ("frost = { plan = \"below frost\", depth = \"8 in\" }", "frost = { depth = \"15 in\" }");
    let design = design_with(MAIN, &[none]);
    assert_eq!(finding(&design, "frost-without-plan").severity, Severity::Caution);
    let shallow = (none.0, "frost = { depth = \"8 in\" }");
    assert!(!says(&design_with(MAIN, &[shallow]), "frost-without-plan"));
}

#[test]
fn identity_below_frost_says_where_and_how_much_deeper() {
    let deeper = |depth: &str| {
        let to = format!("frost = {{ plan = \"below frost\", depth = \"{depth}\" }}");
        design_with(MAIN, &[("frost = { plan = \"below frost\", depth = \"8 in\" }", to.as_str())])
    };
    assert!(!says(&deeper("8 in"), "cover-less-than-frost"));
    let design = deeper("15 in");
    // top of the pipe at 0 ft: 95.10 ft + 2.067 in + 0.154 in; ground 96.40
    let short = 15.0 - ((96.40 - 95.10) * 12.0 - 2.221);
    let said = message(&design, "cover-less-than-frost");
    let up = f64::ceil(short * 10.0) / 10.0;
    assert!(said.contains(&format!("{up:.1} in at 0 ft")), "{said}");
    // the worst is at the end: 15 - (10.8 - 2.221)
    assert_relative_eq!(
        Length::from_m(number(&design, "cover-less-than-frost", "short")).inch(),
        15.0 - (0.9 * 12.0 - 2.221),
        epsilon = 1e-6
    );
}

#[test]
fn identity_a_line_that_drains_out_must_fall_from_the_basin() {
    let out = ("plan = \"below frost\", depth = \"8 in\"", "plan = \"drains out\", depth = \"30 in\"");
    let design = design_with(MAIN, &[out]);
    assert!(message(&design, "water-stays-in-frost").contains("it rises from the basin"));
    // a line that falls from its start to the end keeps nothing
    let falls = [
        out,
        (
            "length = \"3 ft\", fittings = { \"elbow 90\" = 1, \"union\" = 1 }",
            "length = \"8 ft\", fittings = { \"elbow 90\" = 1, \"union\" = 1 }",
        ),
        ("invert = \"95.10 ft\", ground = \"96.40 ft\"", "invert = \"101.2 ft\", ground = \"102.40 ft\""),
        ("invert = \"97.40 ft\", ground = \"99.00 ft\"", "invert = \"100.9 ft\", ground = \"102.00 ft\""),
        ("invert = \"99.10 ft\", ground = \"100.70 ft\"", "invert = \"100.6 ft\", ground = \"101.70 ft\""),
        ("invert = \"100.00 ft\", ground = \"100.90 ft\"", "invert = \"100.4 ft\", ground = \"101.0 ft\""),
    ];
    let design = design_with(MAIN, &falls);
    assert!(!says(&design, "water-stays-in-frost"));
    assert!(design.rest.stays.is_empty(), "{:?}", design.rest.stays);
    // and not while a full ditch stands over its end
    let mut drowned = falls.to_vec();
    drowned.push(("ditch_full = \"100.10 ft\"", "ditch_full = \"100.80 ft\""));
    assert!(says(&design_with(MAIN, &drowned), "end-under-water-in-frost"));
}

#[test]
fn identity_a_spill_gap_must_stand_above_the_pressure_line() {
    let gap = |level: &str| {
        let to = format!("plan = \"spill gap\", depth = \"30 in\", gap = {{ at = \"4 ft\", level = \"{level}\" }}");
        design_with(
            MAIN,
            &[("plan = \"below frost\", depth = \"8 in\"", to.as_str()), ("count = 1", "count = 1\nuse = \"medium\"")],
        )
    };
    // below the outlet all of it comes out there
    let design = gap("97.20 ft");
    assert_eq!(finding(&design, "spill-gap-takes-all").severity, Severity::Stop);
    // above the outlet, but below what the losses beyond ask for, some of it
    let design = gap("103.0 ft");
    assert_eq!(finding(&design, "spill-gap-spills-always").severity, Severity::Caution);
    let cure = &cures(&design, "spill-gap-spills-always")[0];
    let level = cure.trim_start_matches("a gap that spills at ").split(" or higher").next().unwrap();
    assert!(!says(&gap(level), "spill-gap-spills-always"), "{cure}");
    assert!(says(&gap(level), "spill-gap-in-frost"));
    assert!(cure.contains("above the ground there"), "{cure}");
    assert_eq!(finding(&gap("130 ft"), "spill-gap-too-high").severity, Severity::Stop);
    let missing = ("plan = \"below frost\", depth = \"8 in\"", "plan = \"spill gap\", depth = \"30 in\"");
    // a plan that is named and not there is none: what freezes stops the design
    let frozen = design_with(MAIN, &[missing]);
    assert_eq!(finding(&frozen, "spill-gap-missing").severity, Severity::Stop);
    assert!(message(&frozen, "spill-gap-missing").contains("that stay in the line freeze"));
    let shallow = ("plan = \"below frost\", depth = \"8 in\"", "plan = \"spill gap\", depth = \"1 in\"");
    assert_eq!(finding(&design_with(MAIN, &[shallow]), "spill-gap-missing").severity, Severity::Caution);
}

#[test]
fn identity_cover_is_judged_by_what_lies_over_the_line() {
    let drive = |more: &str| {
        let to = format!("invert = \"97.40 ft\", ground = \"99.00 ft\", under = \"{more}\"");
        design_with(MAIN, &[("invert = \"97.40 ft\", ground = \"99.00 ft\"", to.as_str())])
    };
    // 19.2 in less the pipe's 2.221: 17.0 in, enough for a walk and not for a drive
    assert!(!says(&drive("walk"), "cover-too-thin"));
    let design = drive("drive");
    // half-way to the basin, where 15.6 in are over the invert: (15.6 + 19.2)/2 - 2.221
    assert_relative_eq!(Length::from_m(number(&design, "cover-too-thin", "least")).inch(), 15.179, epsilon = 1e-3);
    assert!(
        message(&design, "cover-too-thin").contains("15.2 in at 20 ft, 17 in at 40 ft, 17 in at 65 ft"),
        "{}",
        message(&design, "cover-too-thin")
    );
    assert!(cures(&design, "cover-too-thin").concat().contains("if a drive ends sooner, a point of the profile there"));
    // 20.4 in at the drive, and a point on either side that marks its edge
    let before = (
        "{ at = \"40 ft\", invert = \"97.40 ft\"",
        "{ at = \"36 ft\", invert = \"97.05 ft\", ground = \"98.75 ft\" },\n  { at = \"40 ft\", invert = \"97.30 ft\"",
    );
    let beyond = (
        "ground = \"99.00 ft\" }",
        "ground = \"99.00 ft\", under = \"drive\" },\n  { at = \"44 ft\", invert = \"97.44 ft\", ground = \"99.14 ft\" }",
    );
    assert!(!says(&design_with(MAIN, &[before, beyond]), "cover-too-thin"));
    let out = ("invert = \"97.40 ft\", ground = \"99.00 ft\"", "invert = \"97.40 ft\", ground = \"97.50 ft\"");
    let site = design_with(MAIN, &[out]);
    assert!(says(&site, "line-above-ground"));
    // far deeper than needed, and no frost asks for it
    let deep = [
        ("frost = { plan = \"below frost\", depth = \"8 in\" }\n", ""),
        ("invert = \"95.10 ft\"", "invert = \"94.60 ft\""),
        ("ground = \"99.00 ft\"", "ground = \"100.00 ft\""),
        ("ground = \"100.70 ft\"", "ground = \"102.00 ft\""),
    ];
    assert!(says(&design_with(MAIN, &deep), "deeper-than-needed"));
    // not where one point lies as shallow as it may
    assert!(!says(&design_with(MAIN, &[deep[0], deep[2], deep[3]]), "deeper-than-needed"));
    assert!(!says(&design_with(MAIN, &[]), "deeper-than-needed"));
}

#[test]
fn identity_a_drain_hole_sits_above_the_valve_and_leaks_little() {
    let place = |height: &str| {
        let to = format!("drain_hole = {{ diameter = \"3/16 in\", above_floor = \"{height}\" }}\n");
        design_with(BANK, &[(DRAIN_HOLE, to.as_str())])
    };
    assert_eq!(finding(&place("40 in"), "drain-hole-below-valve").severity, Severity::Stop);
    assert_eq!(finding(&place("80 in"), "drain-hole-outside").severity, Severity::Stop);
    let large = (DRAIN_HOLE, "drain_hole = { diameter = \"1/2 in\", above_floor = \"54 in\" }\n");
    let design = design_with(BANK, &[large]);
    assert!(says(&design, "drain-hole-leak"));
    let cure = &cures(&design, "drain-hole-leak")[0];
    let size = cure.trim_start_matches("a hole of at most ").split(';').next().unwrap().to_owned();
    let cured = format!("drain_hole = {{ diameter = \"{size}\", above_floor = \"54 in\" }}\n");
    assert!(!says(&design_with(BANK, &[(DRAIN_HOLE, cured.as_str())]), "drain-hole-leak"), "{cure}");
    // the plan is what the frost example names
    assert!(BANK.contains(FROST));
}

#[test]
fn identity_a_hole_that_cannot_drain_leaves_the_line_full() {
    for height in ["40 in", "60 in"] {
        let to = format!("drain_hole = {{ diameter = \"3/16 in\", above_floor = \"{height}\" }}\n");
        let design = design_with(BANK, &[(DRAIN_HOLE, to.as_str())]);
        assert!(design.rest.held && design.rest.drain_time.is_none(), "{height}");
        assert!(says(&design, "valve-holds-line-in-frost"), "{height}");
    }
    let above = (DRAIN_HOLE, "drain_hole = { diameter = \"3/16 in\", above_floor = \"60 in\" }\n");
    assert_eq!(finding(&design_with(BANK, &[above]), "drain-hole-above-line").severity, Severity::Stop);
}

#[test]
fn identity_a_drain_hole_lets_a_full_ditch_back_in() {
    let rising = [
        ("vent = [{ at = \"90 ft\" }]\n", ""),
        ("level = \"71.00 ft\"", "level = \"79.00 ft\", ditch_full = \"80.0 ft\""),
        ("invert = \"75.20 ft\", ground = \"76.40 ft\"", "invert = \"78.60 ft\", ground = \"79.90 ft\""),
        ("invert = \"71.00 ft\", ground = \"71.60 ft\"", "invert = \"78.80 ft\", ground = \"79.80 ft\""),
    ];
    let design = design_with(BANK, &rising);
    let said = message(&design, "ditch-runs-back");
    // 0.6 of a 3/16 in hole under 80.0 - (65.2 + 54/12) ft: 11.78 d^2 sqrt(h)
    let gpm = 11.78 * 0.1875 * 0.1875 * 10.3_f64.sqrt();
    assert!(said.contains(&format!("up to {gpm:.1} gpm")), "{said}: {gpm}");
    let mut without = rising.to_vec();
    without.push((DRAIN_HOLE, ""));
    assert!(says(&design_with(BANK, &without), "outlet-drowned"));
}

#[test]
fn identity_a_slow_return_counts_only_what_comes_in_time() {
    // 16.4 gal come back in 22 min; a rest lasts 2 V / Q at the worst inflow
    let cycle = design_with(BANK, &[]).pump().unwrap().cycle.clone().unwrap();
    let all =
        design_with(BANK, &[(DRAIN_HOLE, ""), ("check_valve = { kind = \"swing\", above_floor = \"50 in\" }\n", "")]);
    let at_once = all.pump().unwrap().cycle.clone().unwrap();
    assert!(cycle.worst_starts < at_once.worst_starts);
    assert!((cycle.runs_back.gal() - at_once.runs_back.gal()).abs() < 0.01);
}

#[test]
fn identity_a_gap_behind_water_that_freezes_is_no_gap() {
    let gap = |at: &str| {
        let to = format!("plan = \"spill gap\", depth = \"30 in\", gap = {{ at = \"{at}\", level = \"104 ft\" }}");
        design_with(MAIN, &[("plan = \"below frost\", depth = \"8 in\"", to.as_str())])
    };
    assert!(!says(&gap("4 ft"), "gap-behind-ice"));
    let design = gap("40 ft");
    assert_eq!(finding(&design, "gap-behind-ice").severity, Severity::Stop);
    // 40 ft of 2 in, all held by the valve and within the frost
    let freezes = Volume::from_m3(number(&design, "gap-behind-ice", "freezes")).gal();
    assert_relative_eq!(freezes, 0.4 * 17.43, max_relative = 1e-3);
}

#[test]
fn identity_a_gap_below_the_outlet_takes_all_without_a_profile_too() {
    let start = MAIN.find("profile = [").unwrap();
    let end = start + MAIN[start..].find("\n]\n").unwrap() + 3;
    let text = MAIN.replace(&MAIN[start..end], "");
    let to = "plan = \"spill gap\", depth = \"30 in\", gap = { at = \"4 ft\", level = \"97.20 ft\" }";
    let design = design_with(&text, &[("plan = \"below frost\", depth = \"8 in\"", to)]);
    assert_eq!(finding(&design, "spill-gap-takes-all").severity, Severity::Stop);
}

#[test]
fn identity_every_dip_of_a_sag_is_raised() {
    let sag = (
        "{ at = \"40 ft\", invert = \"73.60 ft\", ground = \"74.90 ft\" }",
        "{ at = \"20 ft\", invert = \"69.40 ft\", ground = \"70.90 ft\" },\n  { at = \"30 ft\", invert = \"69.70 ft\", ground = \"70.90 ft\" },\n  { at = \"40 ft\", invert = \"69.20 ft\", ground = \"70.90 ft\" }",
    );
    let cure = &cures(&design_with(BANK, &[sag]), "water-stays-in-frost")[0];
    for dip in ["at 20 ft", "at 30 ft", "at 40 ft"] {
        assert!(cure.contains(dip), "{cure}");
    }
    // once each, though the frost reaches its water in two parts
    let two = [(0.0, 69.9), (20.0, 76.0), (30.0, 70.0), (50.0, 75.5), (60.0, 74.0), (80.0, 78.0), (200.0, 70.0)];
    let text = over(&two, &[80.0], "level = \"70 ft\"").replace(
        "invert = \"70 ft\", ground = \"71.2 ft\" },\n  { at = \"50 ft\"",
        "invert = \"70 ft\", ground = \"76.5 ft\" },\n  { at = \"50 ft\"",
    );
    let cure = &cures(&design_with(&text, &[]), "water-stays-in-frost")[0];
    assert_eq!(cure.matches("at 30 ft").count(), 1, "{cure}");
    assert_eq!(cure.matches("at 60 ft").count(), 1, "{cure}");
}

#[test]
fn identity_a_full_ditch_keeps_the_far_side_full_in_frost() {
    let to = "level = \"71.00 ft\", ditch_full = \"75.0 ft\"";
    let design = design_with(BANK, &[("level = \"71.00 ft\"", to)]);
    assert!(message(&design, "end-under-water-in-frost").contains("past its high point"));
    assert!(!says(&design_with(BANK, &[]), "end-under-water-in-frost"));
}

#[test]
fn identity_a_line_that_restarts_its_pump_is_not_told_to_add_what_it_has() {
    let low = ("on = \"34 in\"", "on = \"12 in\"");
    let design = design_with(BANK, &[low]);
    assert!(message(&design, "drain-back-restarts-pump").contains("within"));
    let all = cures(&design, "drain-back-restarts-pump");
    assert!(all.len() == 1 && all[0].contains("the on level at"), "{all:?}");
    // without valve and hole it runs back at once; a valve alone would defeat the plan to drain back
    let bare = [low, (DRAIN_HOLE, ""), ("check_valve = { kind = \"swing\", above_floor = \"50 in\" }\n", "")];
    let design = design_with(BANK, &bare);
    assert!(message(&design, "drain-back-restarts-pump").contains("at once"));
    assert!(!cures(&design, "drain-back-restarts-pump").iter().any(|cure| cure.contains("check valve")));
    // without that plan it would do
    let summer = [bare[0], bare[1], bare[2], (FROST_LINE, "")];
    let design = design_with(BANK, &summer);
    assert!(cures(&design, "drain-back-restarts-pump")[0].contains("a check valve"));
}

const FROST_LINE: &str = "frost = { plan = \"drains back\", depth = \"42 in\" }\n";

#[test]
fn identity_a_full_ditch_is_said_with_every_plan_that_leaves_the_end_empty() {
    let ditch = ("level = \"71.00 ft\"", "level = \"71.00 ft\", ditch_full = \"73.0 ft\"");
    let below = ("plan = \"drains back\", depth = \"42 in\"", "plan = \"below frost\", depth = \"12 in\"");
    let design = design_with(BANK, &[ditch, below]);
    assert!(says(&design, "end-under-water-in-frost"));
    assert!(message(&design, "cover-less-than-frost").contains("as long as the ditch is not full"));
    assert!(!message(&design, "gravity-past-high-point").contains("always empty"));
    assert!(message(&design_with(BANK, &[]), "gravity-past-high-point").contains("always empty"));
    // an outlet above the bank wants a line that does not fall to it
    let high = ("level = \"71.00 ft\"", "level = \"71.00 ft\", ditch_full = \"79.0 ft\"");
    assert!(cures(&design_with(BANK, &[high]), "ditch-runs-back")[0].contains("not falling on the way"));
    assert!(!message(&design, "outlet-drowned").contains("which costs"));
}

/// Where the heights of hole and valve are not entered nothing says how high the water stands below the hole.
#[test]
fn identity_water_below_a_hole_without_its_height_is_not_judged() {
    let said = |changes: &[(&str, &str)]| {
        let report = sumpwright::report::text::sizing_report(&design_with(BANK, changes));
        report.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let hole =
        ("drain_hole = { diameter = \"3/16 in\", above_floor = \"54 in\" }", "drain_hole = { diameter = \"3/16 in\" }");
    let valve = ("kind = \"swing\", above_floor = \"50 in\"", "kind = \"swing\"");
    let not_judged = "The water that stays in the riser below the drain hole is not judged: enter `above_floor` of ";
    assert!(!said(&[]).contains(not_judged));
    assert!(said(&[hole]).contains(&format!("{not_judged}`drain_hole`.")));
    assert!(said(&[valve]).contains(&format!("{not_judged}`check_valve`.")));
    assert!(said(&[hole, valve]).contains(&format!("{not_judged}`drain_hole` and of `check_valve`.")));
}
