//! Groundwater: whether it is counted, what it makes the pump do, how far it is lowered.

use crate::given::{
    MAIN, MEADOW, cure_with, cures, design_with, finding, first_number, message, number, number_after, says,
};
use approx::assert_relative_eq;
use sumpwright::design::{Design, Severity};
use sumpwright::quantity::Flow;

const MEASURED: (&str, &str) =
    ("rise = \"5 in\"\nover = \"12 min\"\npit_diameter = \"36 in\"\nwith_drain = true\n", "");
const HOLE: (&str, &str) =
    ("test_hole = { diameter = \"8 in\", from = \"14 in\", to = \"8 in\", over = \"20 min\" }\n", "");

#[test]
fn identity_groundwater_that_nobody_counts_is_asked_for() {
    let bare = [MEASURED, HOLE, ("texture = \"sandy loam\"", "infiltration = \"0.4 in/h\"")];
    let with = |more: (&'static str, &'static str)| {
        let mut changes = bare.to_vec();
        changes.push(more);
        design_with(MEADOW, &changes)
    };
    let design = design_with(MEADOW, &bare);
    assert_eq!(finding(&design, "groundwater-not-counted").severity, Severity::Caution);
    assert!(message(&design, "groundwater-not-counted").contains("the French drain `back drain`"));
    assert_eq!(cures(&design, "groundwater-not-counted").len(), 2);
    // both cures, and the number itself
    for more in [
        ("drawdown = \"18 in\"", "drawdown = \"18 in\"\nconductivity = \"2 ft/day\""),
        ("[measured]", "[measured]\nrise = \"5 in\"\nover = \"12 min\""),
        ("drawdown = \"18 in\"", "drawdown = \"18 in\"\ninflow = \"2 gpm\""),
        ("infiltration = \"0.4 in/h\"", "texture = \"sandy loam\""),
    ] {
        assert!(!says(&with(more), "groundwater-not-counted"), "{more:?}");
    }
    // it says nothing where no groundwater gets in
    assert!(!says(&with(("seasonal_high = \"48.3 ft\"", "seasonal_high = \"45 ft\"")), "groundwater-not-counted"));
    // a basin with holes takes it in by itself
    let holes = with(("floor = \"44.00 ft\"", "floor = \"44.00 ft\"\nperforated = true"));
    assert!(says(&holes, "groundwater-not-counted"));
}

#[test]
fn identity_an_inflow_entered_is_held_against_the_ground() {
    let with = |flow: &str| {
        let inflow = format!("drawdown = \"18 in\"\ninflow = \"{flow}\"");
        design_with(MEADOW, &[MEASURED, ("drawdown = \"18 in\"", inflow.as_str())])
    };
    let much = with("60 gpm");
    assert_eq!(finding(&much, "inflow-unlike-ground").severity, Severity::Note);
    let said = message(&much, "inflow-unlike-ground");
    assert!(said.contains("more than"), "{said}");
    let little = with("0.01 gpm");
    assert!(message(&little, "inflow-unlike-ground").contains("less than"));
    // within the range that is printed nothing is said
    let range = much.storm.groundwater.calculated.unwrap();
    for flow in [range.low, range.taken, range.high] {
        let gpm = flow.gpm();
        let inside = if flow == range.high { gpm * 0.999 } else { gpm * 1.001 };
        assert!(!says(&with(&format!("{inside} gpm")), "inflow-unlike-ground"), "{inside}");
    }
    // its cure is to measure
    assert!(cures(&much, "inflow-unlike-ground")[0].contains("`rise` and `over`"));
    assert!(!says(&design_with(MEADOW, &[]), "inflow-unlike-ground"));
}

/// The meadow with a basin that has holes, without its French drain, its floats at these heights.
fn perforated(off: f64, on: f64, more: &[(&str, &str)]) -> Design {
    let (off, on) = (format!("off = \"{off:.3} in\""), format!("on = \"{on:.3} in\""));
    let start = MEADOW.find("[[drain]]\nname = \"back drain\"").unwrap();
    let end = start + MEADOW[start..].find("cover = \"sod\" }\n").unwrap() + "cover = \"sod\" }\n".len();
    let mut changes = vec![
        (&MEADOW[start..end], ""),
        ("floor = \"44.00 ft\"", "floor = \"44.00 ft\"\nperforated = true"),
        ("off = \"8 in\"", off.as_str()),
        ("on = \"26 in\"", on.as_str()),
        ("alarm = \"34 in\"", "alarm = \"62 in\""),
        ("above_floor = \"44 in\"", "above_floor = \"66 in\""),
    ];
    changes.extend(more);
    design_with(MEADOW, &changes)
}

#[test]
fn identity_the_off_level_that_spares_the_neighbourhood_does() {
    for drawdown in [("drawdown = \"18 in\"", "drawdown = \"18 in\""), ("drawdown = \"18 in\"\n", "")] {
        let design = perforated(8.0, 18.0, &[drawdown]);
        assert_eq!(finding(&design, "drains-the-neighbourhood").severity, Severity::Caution);
        let cure = cure_with(&design, "drains-the-neighbourhood", "the off level at");
        // groundwater at 48.30 ft less a foot and a half, over a floor at 44.00 ft
        let (off, on) = (first_number(&cure), number_after(&cure, "the on level at "));
        assert_relative_eq!(off, (48.3 - 1.5 - 44.0) * 12.0, epsilon = 0.051);
        assert_relative_eq!(on - off, 10.0, epsilon = 0.11);
        assert!(!says(&perforated(off, on, &[drawdown]), "drains-the-neighbourhood"), "{cure}");
        assert!(says(&perforated(off - 0.2, on, &[drawdown]), "drains-the-neighbourhood"), "{cure}");
    }
    // a tight wall
    assert!(!says(&design_with(MEADOW, &[]), "drains-the-neighbourhood"));
}

#[test]
fn identity_no_floats_are_offered_above_pipe_alarm_or_groundwater() {
    let offered = |on: f64, more: &[(&str, &str)]| {
        let design = perforated(8.0, on, more);
        cures(&design, "drains-the-neighbourhood").iter().any(|cure| cure.starts_with("the off level"))
    };
    // off would go up to 33.6 in, and on to 43.6 in, at 47.63 ft; the grate's line comes in at 47.70 ft
    assert!(offered(18.0, &[]));
    assert!(!offered(19.0, &[]));
    let high = ("outlet_invert = \"47.90 ft\"", "outlet_invert = \"48.90 ft\"");
    assert!(offered(19.0, &[high]));
    // at 51.5 in, groundwater
    assert!(offered(25.0, &[high]) && !offered(26.1, &[high]));
    // the alarm above it
    let alarm = |inches: &'static str| offered(18.0, &[("alarm = \"62 in\"", inches)]);
    assert!(alarm("alarm = \"44 in\"") && !alarm("alarm = \"43 in\""));
}

/// Ground that yields so much that the pump runs all day.
fn yielding(conductivity: f64, raised_in: f64, more: &[(&str, &str)]) -> Design {
    let ground = format!("conductivity = \"{conductivity} ft/day\"\nreach = \"15 ft\"");
    let up = raised_in / 12.0;
    let inverts = format!("up_invert = \"{:.4} ft\"\ndown_invert = \"{:.4} ft\"", 46.9 + up, 46.5 + up);
    let (off, on) = (format!("off = \"{:.3} in\"", 8.0 + raised_in), format!("on = \"{:.3} in\"", 26.0 + raised_in));
    let mut changes = vec![
        MEASURED,
        ("drawdown = \"18 in\"", ground.as_str()),
        ("up_invert = \"46.90 ft\"\ndown_invert = \"46.50 ft\"", inverts.as_str()),
        ("off = \"8 in\"", off.as_str()),
        ("on = \"26 in\"", on.as_str()),
        ("alarm = \"34 in\"", "alarm = \"62 in\""),
        ("above_floor = \"44 in\"", "above_floor = \"66 in\""),
        ("above_floor = \"18 in\"", "above_floor = \"30 in\""),
    ];
    changes.extend(more);
    design_with(MEADOW, &changes)
}

#[test]
fn identity_a_pump_that_runs_for_groundwater_is_spared_by_the_height_printed() {
    let design = yielding(40.0, 0.0, &[]);
    let run = design.groundwater_run.unwrap();
    assert!(run.runs_a_day.s() > 6.0 * 3600.0 && run.runs_a_day.s() < 24.0 * 3600.0, "{run:?}");
    assert_eq!(finding(&design, "runs-for-groundwater").severity, Severity::Caution);
    let cure = cure_with(&design, "runs-for-groundwater", "higher");
    let by = first_number(&cure);
    // a lower lift brings a little more, so that it is never too little
    assert!(!says(&yielding(40.0, by, &[]), "runs-for-groundwater"), "{cure}");
    assert!(says(&yielding(40.0, by * 0.9, &[]), "runs-for-groundwater"), "{cure}");
    // the hours are the share of a day that the flow takes
    let leaves = design.pump().unwrap().cycle.as_ref().unwrap().leaves;
    assert_relative_eq!(run.runs_a_day.s(), 86400.0 * (run.flow / leaves), max_relative = 1e-9);
    // where so much lowering was asked for, the height is not offered
    let asked =
        yielding(40.0, 0.0, &[("tight_layer = \"41.0 ft\"", "tight_layer = \"41.0 ft\"\ndrawdown = \"18 in\"")]);
    assert!(says(&asked, "runs-for-groundwater"));
    assert!(!cures(&asked, "runs-for-groundwater").iter().any(|cure| cure.contains("floats")));
    assert!(!says(&design_with(MEADOW, &[]), "runs-for-groundwater"));
}

#[test]
fn identity_more_groundwater_than_the_pump_takes_is_spoken_of() {
    let with = |conductivity: f64, feet: f64| {
        // a pipe that carries all of it
        let length = format!("size = \"6 in\"\nlength = \"{feet} ft\"\nup_invert");
        yielding(conductivity, 0.0, &[("size = \"4 in\"\nlength = \"70 ft\"\nup_invert", length.as_str())])
    };
    let design = with(40.0, 70.0);
    assert_eq!(finding(&design, "groundwater-may-be-too-much").severity, Severity::Caution);
    assert!(design.storm.groundwater.high > design.pump().unwrap().all_pumped().unwrap());
    let cure = cure_with(&design, "groundwater-may-be-too-much", "long");
    let feet = number_after(&cure, "at most ");
    assert!(!says(&with(40.0, feet), "groundwater-may-be-too-much"), "{cure}");
    assert!(says(&with(40.0, feet + 1.5), "groundwater-may-be-too-much"), "{cure}");
    // measured, it is known
    let rise = [("drawdown = \"18 in\"", "conductivity = \"40 ft/day\"")];
    assert!(!says(&design_with(MEADOW, &rise), "groundwater-may-be-too-much"));
    // that it is too much by itself is said by the rule of the steady inflow
    let much = with(150.0, 70.0);
    assert!(!says(&much, "groundwater-may-be-too-much"));
    assert!(says(&much, "never-stops") || says(&much, "pump-below-steady-inflow"));
}

#[test]
fn identity_starts_and_hours_a_day_follow_the_flow() {
    let with = |gpm: f64| {
        let inflow = format!("seasonal_high = \"94.8 ft\"\ninflow = \"{gpm} gpm\"");
        design_with(MAIN, &[("seasonal_high = \"94.8 ft\"", inflow.as_str())]).groundwater_run.unwrap()
    };
    let (one, two) = (with(1.0), with(2.0));
    assert_relative_eq!(two.runs_a_day.s(), one.runs_a_day.s() * 2.0, max_relative = 1e-9);
    assert!(two.starts_a_day > one.starts_a_day * 1.8 && two.starts_a_day < one.starts_a_day * 2.0);
    assert!(two.kwh_a_day.unwrap() > one.kwh_a_day.unwrap());
    let much = ("seasonal_high = \"94.8 ft\"", "seasonal_high = \"94.8 ft\"\ninflow = \"30 gpm\"");
    let said = number(&design_with(MAIN, &[much]), "runs-for-groundwater", "runs_a_day");
    assert_relative_eq!(said, with(30.0).runs_a_day.s(), max_relative = 1e-12);
}

#[test]
fn identity_a_pump_that_groundwater_never_starts_lowers_nothing() {
    // the on level stands 26 in above 44.00 ft
    let table = |feet: f64| {
        let high = format!("seasonal_high = \"{feet} ft\"");
        design_with(
            MEADOW,
            &[
                ("seasonal_high = \"48.3 ft\"", high.as_str()),
                ("on = \"26 in\"", "on = \"36 in\""),
                ("alarm = \"34 in\"", "alarm = \"44 in\""),
            ],
        )
    };
    let on = 47.0;
    let below = table(on - 0.05);
    assert_eq!(finding(&below, "on-level-above-groundwater").severity, Severity::Caution);
    assert!(!says(&table(on + 0.05), "on-level-above-groundwater"));
    // nothing comes by calculation then, and more than nothing once it rises above the on level
    assert!(below.storm.groundwater.calculated.unwrap().high <= Flow::ZERO);
    assert!(table(on + 0.05).storm.groundwater.calculated.unwrap().taken > Flow::ZERO);
    // the cure, at the drain's lower end of 46.50 ft
    let inches = number_after(&cures(&below, "on-level-above-groundwater")[0], "lower end, ");
    assert_relative_eq!(inches, 30.0, epsilon = 0.06);
    let on = format!("on = \"{inches} in\"");
    let cured = design_with(
        MEADOW,
        &[("seasonal_high = \"48.3 ft\"", "seasonal_high = \"46.95 ft\""), ("on = \"26 in\"", on.as_str())],
    );
    assert!(!says(&cured, "on-level-above-groundwater"));
    assert!(cured.storm.groundwater.calculated.unwrap().taken > Flow::ZERO);
    // a drain that lies above groundwater is spoken of otherwise
    assert!(!says(&table(46.0), "on-level-above-groundwater"));
}

#[test]
fn identity_ground_that_is_full_takes_no_rain() {
    let table = |feet: f64| {
        let high = format!("seasonal_high = \"{feet} ft\"");
        design_with(MEADOW, &[("seasonal_high = \"48.3 ft\"", high.as_str())])
    };
    // the hollow's lowest point lies at 49.50 ft
    assert_eq!(finding(&table(48.51), "ground-full").severity, Severity::Caution);
    assert!(table(48.51).way_in.soaks_away.is_empty());
    assert!(!says(&table(48.49), "ground-full") && !table(48.49).way_in.soaks_away.is_empty());
    // roofs and walks do not mind
    let lawn = ("surface = \"lawn\"\nslope = \"1 %\"", "surface = \"walk\"\nslope = \"1 %\"");
    let high = ("seasonal_high = \"48.3 ft\"", "seasonal_high = \"49.0 ft\"");
    assert!(
        says(&design_with(MEADOW, &[high]), "ground-full") && !says(&design_with(MEADOW, &[high, lawn]), "ground-full")
    );
}

#[test]
fn identity_no_inflow_at_all_is_held_against_the_ground() {
    let none = |inflow: &str| {
        let inflow = format!("drawdown = \"18 in\"\ninflow = \"{inflow}\"");
        design_with(MEADOW, &[MEASURED, ("drawdown = \"18 in\"", inflow.as_str())])
    };
    assert!(message(&none("0 gpm"), "inflow-unlike-ground").contains("less than"));
}

/// A table that stands between the off level and the lowest drain, at 94.10 ft, stands higher than water in the basin: none
/// comes because the drains lie above it.
#[test]
fn identity_why_no_groundwater_comes() {
    let said = |high: &str| {
        let high: &'static str = format!("seasonal_high = \"{high}\"").leak();
        let report =
            sumpwright::report::text::sizing_report(&design_with(MAIN, &[("seasonal_high = \"94.8 ft\"", high)]));
        report.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let above = "nothing: the pipes of the drains lie above it, and the basin's wall lets none in";
    let no_higher = "nothing: it stands no higher than the water in drains and basin";
    let between = said("93.9 ft");
    assert!(between.contains(above) && !between.contains(no_higher), "{between}");
    // below the off level, and where it comes
    let low = said("80 ft");
    assert!(low.contains(no_higher) && !low.contains(above), "{low}");
    assert!(!said("94.8 ft").contains("comes by calculation nothing"));
}
