//! Water that comes out of the basin's own lid, a soil that nobody knows, and what a number of starts stops.

use crate::given::{MAIN, TWO, cures, design_with, finding, message, number, number_after, says, site_with};
use approx::assert_relative_eq;
use sumpwright::design::{Design, Severity, StormsResult, design};
use sumpwright::quantity::{Length, Level};
use sumpwright::report::text::sizing_report;
use sumpwright::site::{NoFiles, read};

const ID: &str = "basin-rim-below-grates";
const RIM: &str = "rim = \"96.40 ft\"";

fn storms(design: &Design) -> &StormsResult {
    design.in_storms.as_ref().unwrap()
}

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn identity_a_rim_below_the_grates_is_said_and_what_wells_out_counts() {
    let low = design_with(MAIN, &[(RIM, "rim = \"95.50 ft\"")]);
    // lower than the only low spot that was entered, which cannot be
    assert_eq!(finding(&low, ID).severity, Severity::Stop);
    assert!(!low.holds() && message(&low, ID).contains("the levels contradict one another"));
    assert_relative_eq!(number(&low, ID, "rim"), Level::from_ft(95.5).m());
    assert_relative_eq!(number(&low, ID, "lowest_grate"), Level::from_ft(96.0).m());
    assert!(message(&low, ID).contains("lies 6 in below the lowest grate, `corner grate`, at 96.00 ft"));
    // without power it comes out of the lid, half a foot below the grate
    let lid = storms(&low).power_cut.wells_out().unwrap();
    assert!(lid.rim == Level::from_ft(95.5) && lid.deepest > Length::ZERO && lid.assumed);
    let printed = flat(&sizing_report(&low));
    assert!(printed.contains("of the basin's own lid, at 95.50 ft, and stands up to"), "{printed}");
    // what stands there is what stands: no other place is deeper than the deepest
    let outcome = &storms(&low).design().unwrap().nested;
    assert!(outcome.hollows.iter().any(|hollow| hollow.name == "basin"));
    assert!(outcome.imbalance.abs() < 1e-9);
    // the cure cures, and a rim above the grate is no matter
    for rim in ["rim = \"96.00 ft\"", RIM] {
        let mended = design_with(MAIN, &[(RIM, rim)]);
        assert!(!says(&mended, ID) && storms(&mended).power_cut.wells_out().is_none(), "{rim}");
        assert!(storms(&mended).design().unwrap().nested.hollows.iter().all(|hollow| hollow.name != "basin"));
    }
}

/// The ground of the low spot lies lower still: there the water stands, and the basin is in it.
#[test]
fn identity_a_rim_below_the_grates_in_a_low_spot_is_no_contradiction() {
    let ground = ("surface = [[\"96.00 ft\", \"0 ft2\"]", "surface = [[\"95.40 ft\", \"0 ft2\"]");
    let low = design_with(MAIN, &[(RIM, "rim = \"95.50 ft\""), ground]);
    assert_eq!(finding(&low, ID).severity, Severity::Caution);
    assert!(!message(&low, ID).contains("contradict"));
}

#[test]
fn identity_a_rim_below_the_ground_of_a_low_spot_is_said_though_the_grate_lies_lower() {
    let pit = design_with(MAIN, &[(RIM, "rim = \"95.80 ft\""), ("rim = \"96.00 ft\"", "rim = \"95.60 ft\"")]);
    assert!(
        message(&pit, ID).contains("2.4 in below the lowest ground of `corner` at 96.00 ft"),
        "{}",
        message(&pit, ID)
    );
}

/// A yard without a grate: all runs straight into the basin. Invented.
const NO_GRATE: &str = r#"
format = 1
[goal]
return_period = "10 yr"
standing_water = "1 in"
[rain.depth."10 yr"]
"5 min" = "0.50 in"
"60 min" = "1.75 in"
"24 h" = "4.1 in"
[[catchment]]
name = "roof"
area = "3000 ft2"
surface = "roof"
[basin]
inside_diameter = "30 in"
rim = "50.0 ft"
floor = "46.0 ft"
off = "7 in"
on = "27 in"
[discharge]
riser = { material = "PVC schedule 40", size = "2 in", length = "4 ft" }
check_valve = { kind = "swing" }
outlet = { kind = "open end", level = "53.0 ft" }
[[discharge.run]]
material = "PVC schedule 40"
size = "2 in"
length = "60 ft"
[[pump]]
name = "small"
curve = [["0 gpm", "20 ft"], ["20 gpm", "15 ft"], ["40 gpm", "6 ft"]]
"#;

#[test]
fn identity_without_a_grate_what_stands_round_the_basin_is_held_against_the_goal() {
    let of = |text: &str| design(&read(text, &NoFiles).site.unwrap()).unwrap();
    let small = of(NO_GRATE);
    let outcome = &storms(&small).design().unwrap().nested;
    // 3000 ft2 of roof shed over 100 gpm in 6 in/h of rain, the pump brings some 30
    assert!(outcome.peak_inflow.gpm() > 100.0 && outcome.depth() > Length::from_inch(1.0));
    assert!(outcome.deepest().unwrap().name == "basin" && outcome.imbalance.abs() < 1e-9);
    assert!(says(&small, "goal-missed") && small.verdict.goal_met == Some(false));
    // what stands above the rim is what went into the dish and was not pumped
    assert!(outcome.highest_in_basin > Level::from_ft(50.0));
    // a pump that takes all of it keeps the ground dry
    let strong = NO_GRATE.replace(
        "[\"0 gpm\", \"20 ft\"], [\"20 gpm\", \"15 ft\"], [\"40 gpm\", \"6 ft\"]",
        "[\"0 gpm\", \"40 ft\"], [\"200 gpm\", \"30 ft\"], [\"400 gpm\", \"4 ft\"]",
    );
    let strong = of(&strong.replace("size = \"2 in\"", "size = \"4 in\""));
    assert!(storms(&strong).design().unwrap().nested.depth() == Length::ZERO && !says(&strong, "goal-missed"));
    assert!(!says(&small, ID), "said of grates alone");
}

#[test]
fn identity_where_no_edge_is_entered_nobody_says_that_the_water_stays() {
    let edge = "spills_at = \"96.60 ft\"\nspill_width = \"8 ft\"\nspills_to = \"street\"\n";
    let printed = flat(&sizing_report(&design_with(MAIN, &[(edge, "")])));
    assert!(printed.contains("not known: no edge is entered (`spills_at`)"), "{printed}");
    assert!(flat(&sizing_report(&design_with(MAIN, &[]))).contains("over the edge of `corner` to street"));
}

const SOIL: &str =
    "[soil]\ntexture = \"silty clay loam\"\ninfiltration = \"0.30 in/h\"        # of this lawn, from a ring test\n";

#[test]
fn identity_of_a_soil_that_is_not_known_it_is_said_that_it_cannot_be_told() {
    let unknown = design_with(MAIN, &[(SOIL, "")]);
    assert_eq!(storms(&unknown).soil_not_known, ["lawn", "run-on from next door"]);
    let printed = flat(&sizing_report(&unknown));
    let said = "What comes if the soil of `lawn` and `run-on from next door` takes less than the runoff coefficient says cannot be told";
    assert_eq!(printed.matches(said).count(), 2, "in the verdict and with the storms: {printed}");
    let json: serde_json::Value = serde_json::from_str(&sumpwright::report::json::json(&unknown, None)).unwrap();
    assert_eq!(json["in_storms"]["followed"]["soil_not_known"][0], "lawn");
    // the group alone is enough to follow it
    for soil in [SOIL, "[soil]\nhydrologic_group = \"D\"\n"] {
        let known = design_with(MAIN, &[(SOIL, soil)]);
        assert!(storms(&known).soil_not_known.is_empty(), "{soil}");
        assert!(!flat(&sizing_report(&known)).contains("cannot be told"));
    }
}

#[test]
fn identity_it_is_said_how_many_starts_stop_a_design() {
    // nothing from the maker, and 10 in of [limits] as the built-in limit: 30 stop
    let no_maker = ("starts_per_hour = 15\n", "");
    let medium = ("count = 1\n", "count = 1\nuse = \"medium\"\n");
    let at = |on: &'static str| design_with(MAIN, &[no_maker, medium, ("on = \"26 in\"", on)]);
    let many = at("on = \"18 in\"");
    assert!(finding(&many, "too-many-starts").severity == Severity::Caution);
    assert!(message(&many, "too-many-starts").ends_with("(what stops a design is 3 times that limit, 30)"));
    let far = at("on = \"11 in\"");
    assert!(finding(&far, "too-many-starts").severity == Severity::Stop);
    assert!(number(&far, "too-many-starts", "starts_per_hour") > 30.0);
    // cut off anywhere it does not read as if 10 stopped it
    assert!(message(&far, "too-many-starts").contains("more than 3 times the 10 usual where its maker says nothing"));
    // of what the maker says nothing is let pass
    let maker = design_with(MAIN, &[medium, ("on = \"26 in\"", "on = \"11 in\"")]);
    assert!(!message(&maker, "too-many-starts").contains("what stops a design"));
}

#[test]
fn identity_the_on_level_that_is_asked_for_leaves_room_for_the_alarm_that_is_missing() {
    let medium = ("count = 1\n", "count = 1\nuse = \"medium\"\n");
    let narrow = [
        medium,
        ("alarm = \"30 in\"\n", ""),
        ("inside_diameter = \"30 in\"", "inside_diameter = \"18 in\""),
        ("outside_diameter = \"31.5 in\"", "outside_diameter = \"19.5 in\""),
    ];
    let design = design_with(MAIN, &narrow);
    let cures = cures(&design, "too-many-starts");
    assert!(says(&design, "no-alarm"));
    // the inlet at 94.10 ft stands 32.4 in above the floor at 91.40 ft, the alarm 2 in above the on level
    let on = number_after(&cures[0], "with the on level at ");
    assert_relative_eq!(on, 30.4, epsilon = 0.05);
    assert!(cures[0].ends_with("(room for an alarm float is left above it)"), "{cures:?}");
    let site = site_with(MAIN, &narrow);
    let inlet = site.basin.inlet_invert.unwrap() - site.basin.floor;
    assert!(Length::from_inch(on + 2.0) <= inlet + Length::from_inch(0.05));
}

#[test]
fn identity_what_the_wire_costs_is_not_judged_of_a_second_pump_whose_current_is_missing() {
    assert!(!says(&design_with(TWO, &[]), "voltage-drop-unknown"));
    let text = TWO.to_owned();
    let first = text.find("running_amps").unwrap();
    let line = text[first..].lines().next().unwrap();
    let second = format!(
        "\n[[pump]]\nname = \"other\"\ncurve = [[\"0 gpm\", \"31 ft\"], [\"20 gpm\", \"27 ft\"], [\"40 gpm\", \"20.5 ft\"], [\"60 gpm\", \"10 ft\"]]\nvolts = 115\n{line}\n"
    );
    let with = |second: &str| {
        let text = text.replacen("[pumping]\n", "[pumping]\nuse = \"court pump\"\nlag = \"other\"\n", 1) + second;
        design(&read(&text, &NoFiles).site.unwrap()).unwrap()
    };
    assert!(!says(&with(&second), "voltage-drop-unknown"));
    let missing = with(&second.replace(line, ""));
    assert!(message(&missing, "voltage-drop-unknown").contains("`running_amps` of the pump `other` not entered"));
}
