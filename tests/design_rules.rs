//! What the design says about itself: each rule fires where it should, and each solved cure cures when it is applied.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use sumpwright::design::{Design, Enough, Finding, Severity, WaterLevel, design};
use sumpwright::quantity::{Amount, Length, UnitSystem};
use sumpwright::site::{self, NoFiles, Site};

const MAIN: &str = include_str!("../examples/cut-bank.toml");
const LONG: &str = include_str!("../examples/long-run.toml");

/// An example with some of its text changed. Every change must apply.
fn site_with(text: &str, changes: &[(&str, &str)]) -> Site {
    let mut text = text.to_owned();
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    let reading = site::read(&text, &NoFiles);
    reading.site.unwrap_or_else(|| panic!("{:#?}", reading.problems))
}

fn design_with(text: &str, changes: &[(&str, &str)]) -> Design {
    design(&site_with(text, changes)).unwrap()
}

fn finding<'a>(design: &'a Design, id: &str) -> &'a Finding {
    design.findings.iter().find(|finding| finding.id == id).unwrap_or_else(|| {
        panic!("{id} among {:?}", design.findings.iter().map(|finding| finding.id).collect::<Vec<_>>())
    })
}

fn says(design: &Design, id: &str) -> bool {
    design.findings.iter().any(|finding| finding.id == id)
}

/// The valve and hole of the main example, with the lines that hold them.
const VALVE: &str = "check_valve = { kind = \"swing\", above_floor = \"38 in\" }\n";
const USE_MEDIUM: (&str, &str) = ("count = 1", "count = 1\nuse = \"medium\"");

#[test]
fn identity_a_full_ditch_without_a_valve_is_a_stop() {
    let drowned = ("ditch_full = \"100.10 ft\"", "ditch_full = \"101.5 ft\"");
    assert_eq!(finding(&design_with(MAIN, &[drowned]), "outlet-drowned").severity, Severity::Caution);
    let design = design_with(MAIN, &[drowned, (VALVE, "")]);
    assert_eq!(finding(&design, "ditch-runs-back").severity, Severity::Stop);
    assert!(!design.holds());
}

#[test]
fn identity_the_cure_of_a_restarting_pump_cures_it() {
    // 700 ft of 2 in hold some 122 gal, more than the floats' span
    let long = [
        (VALVE, ""),
        USE_MEDIUM,
        ("length = \"135 ft\"", "length = \"700 ft\""),
        ("{ at = \"40 ft\"", "{ at = \"200 ft\""),
        ("{ at = \"90 ft\"", "{ at = \"450 ft\""),
        ("{ at = \"135 ft\"", "{ at = \"700 ft\""),
    ];
    let design = design_with(MAIN, &long);
    assert!(says(&design, "drain-back-restarts-pump"));
    let cycle = design.pump().unwrap().cycle.clone().unwrap();
    let Enough::Wider { on, plan } = cycle.enough else { panic!("{:?}", cycle.enough) };
    let wide = format!("inside_diameter = \"{:.3} in\"", plan.diameter().inch());
    let wide_outside = format!("outside_diameter = \"{:.3} in\"", plan.diameter().inch() + 2.0);
    let on = format!("on = \"{:.3} in\"", on.inch());
    let mut cured = long.to_vec();
    cured.extend([
        ("inside_diameter = \"30 in\"", wide.as_str()),
        ("outside_diameter = \"31.5 in\"", wide_outside.as_str()),
        ("on = \"26 in\"", on.as_str()),
    ]);
    let design = design_with(MAIN, &cured);
    for id in ["drain-back-restarts-pump", "drain-back-large", "too-many-starts", "run-too-short"] {
        assert!(!says(&design, id), "{id}");
    }
}

#[test]
fn identity_the_float_setting_that_is_enough_is_enough() {
    let strong = ("count = 1", "count = 1\nuse = \"strong\"");
    let higher = ("inlet_invert = \"94.10 ft\"", "inlet_invert = \"95.90 ft\"");
    let alarm = ("alarm = \"30 in\"", "alarm = \"52 in\"");
    let drains = [("down_invert = \"94.10 ft\"", "down_invert = \"94.39 ft\"")];
    let starts = ("starts_per_hour = 12", "starts_per_hour = 18");
    let all = [strong, higher, alarm, drains[0], starts];
    let design = design_with(MAIN, &all);
    assert!(says(&design, "too-many-starts"));
    let cycle = design.pump().unwrap().cycle.clone().unwrap();
    let Enough::OnAt(on) = cycle.enough else { panic!("{:?}", cycle.enough) };
    let on = format!("on = \"{:.3} in\"", on.inch());
    let mut cured = all.to_vec();
    cured.push(("on = \"26 in\"", on.as_str()));
    assert!(!says(&design_with(MAIN, &cured), "too-many-starts"));
}

#[test]
fn identity_the_longest_run_carries_the_flow_and_a_longer_one_does_not() {
    let design = design_with(LONG, &[]);
    let runs = design.pump().unwrap().longest_run.unwrap();
    let longest = runs.new;
    assert!(longest < Length::from_ft(260.0));
    // friction of real smooth pipe and wear both shorten it
    assert!(runs.darcy.unwrap() < longest && runs.worn.unwrap() < runs.darcy.unwrap());
    let run = |feet: f64| {
        let length = format!("length = \"{feet} ft\"");
        design_with(LONG, &[("length = \"260 ft\"", length.as_str())])
    };
    assert!(!says(&run(longest.ft().floor()), "delivers-less-than-asked"));
    assert!(says(&run(longest.ft().floor() + 1.0), "delivers-less-than-asked"));
}

#[test]
fn identity_no_run_is_promised_beyond_the_curve() {
    // the curve ends at 50 gpm: whether the pump can deliver 60 is not known, however short the run
    let design = design_with(
        LONG,
        &[("flow = \"30 gpm\"", "flow = \"60 gpm\""), ("level = \"58.2 ft\"", "level = \"50.5 ft\"")],
    );
    assert_eq!(design.pump().unwrap().longest_run, None);
    assert!(!design.holds());
}

#[test]
fn identity_a_larger_pipe_offered_as_a_cure_is_one() {
    let design = design_with(LONG, &[]);
    let cures: Vec<String> =
        finding(&design, "delivers-less-than-asked").cures.iter().map(|cure| cure.say(UnitSystem::Us)).collect();
    assert!(cures.iter().any(|cure| cure.starts_with("2 in pipe for the run")), "{cures:?}");
    let run = "[[discharge.run]]\nmaterial = \"PVC schedule 40\"\nsize = \"1-1/2 in\"";
    let cured = design_with(LONG, &[(run, "[[discharge.run]]\nmaterial = \"PVC schedule 40\"\nsize = \"2 in\"")]);
    assert!(!says(&cured, "delivers-less-than-asked"));
}

#[test]
fn identity_the_relief_hole_offered_as_a_cure_is_one() {
    for hole in ["3/16 in", "1/4 in", "3/8 in"] {
        let large = format!("diameter = \"{hole}\"");
        let design = design_with(LONG, &[("diameter = \"3/16 in\"", large.as_str())]);
        let cure = finding(&design, "relief-hole-leak").cures[0].say(UnitSystem::Us);
        let label = cure.rsplit_once("at most ").unwrap().1.to_owned();
        let small = format!("diameter = \"{label}\"");
        assert!(
            !says(&design_with(LONG, &[("diameter = \"3/16 in\"", small.as_str())]), "relief-hole-leak"),
            "{label}"
        );
    }
}

#[test]
fn identity_a_pump_that_wears_below_the_lift_is_named() {
    // the lift from the off level is 8.33 ft; a tenth off a shut-off head of 9.1 ft leaves 8.19
    let weak = "curve = [[\"0 gpm\", \"9.1 ft\"], [\"20 gpm\", \"6 ft\"], [\"40 gpm\", \"1 ft\"]]";
    let medium = "curve = [[\"0 gpm\", \"31 ft\"], [\"20 gpm\", \"27 ft\"], [\"40 gpm\", \"20.5 ft\"], [\"50 gpm\", \"16 ft\"], [\"60 gpm\", \"10 ft\"]]";
    let design = design_with(MAIN, &[(medium, weak), USE_MEDIUM]);
    assert!(says(&design, "worn-pump-never-stops"));
}

#[test]
fn identity_a_steady_inflow_between_two_duties_never_stops_the_pump() {
    let design = design_with(MAIN, &[]);
    let flow = |at| design.pump().unwrap().point(at).unwrap().line_flow.gpm();
    let between = format!("inflow = \"{:.3} gpm\"", f64::midpoint(flow(WaterLevel::Off), flow(WaterLevel::On)));
    let design = design_with(MAIN, &[("inflow = \"1.5 gpm\"", between.as_str()), USE_MEDIUM]);
    assert_eq!(finding(&design, "never-stops").severity, Severity::Stop);
    let above = format!("inflow = \"{:.3} gpm\"", flow(WaterLevel::On) + 1.0);
    let design = design_with(MAIN, &[("inflow = \"1.5 gpm\"", above.as_str()), USE_MEDIUM]);
    assert_eq!(finding(&design, "pump-below-steady-inflow").severity, Severity::Stop);
}

#[test]
fn identity_levels_are_held_against_where_water_shows() {
    let low = [
        ("rim = \"96.00 ft\"", "rim = \"93.50 ft\""),
        ("outlet_invert = \"94.40 ft\"", "outlet_invert = \"92.80 ft\""),
        ("inlet_invert = \"94.10 ft\"", "inlet_invert = \"92.40 ft\""),
        ("down_invert = \"94.10 ft\"", "down_invert = \"92.40 ft\""),
        ("up_invert = \"94.40 ft\"", "up_invert = \"92.80 ft\""),
    ];
    let design = design_with(MAIN, &low);
    assert_eq!(finding(&design, "on-level-above-grate").severity, Severity::Stop);
    assert_eq!(finding(&design, "alarm-too-high").severity, Severity::Stop);
    let vent = ("level = \"97.10 ft\"", "level = \"96.40 ft\"");
    assert_eq!(finding(&design_with(MAIN, &[vent]), "protected-place-in-reach").severity, Severity::Caution);
    let vent = ("level = \"97.10 ft\"", "level = \"95.40 ft\"");
    assert_eq!(finding(&design_with(MAIN, &[vent]), "protected-place-too-low").severity, Severity::Stop);
}

#[test]
fn identity_sewers_are_refused_by_any_name() {
    for kind in ["sanitary sewer", "septic tank", "municipal sewer main"] {
        let outlet = format!("kind = \"{kind}\", k = 0");
        let design = design_with(MAIN, &[("kind = \"grate\"", outlet.as_str())]);
        assert!(says(&design, "outlet-not-allowed"), "{kind}");
    }
    let design = design_with(MAIN, &[("kind = \"grate\"", "kind = \"hole in the hedge\", k = 0")]);
    assert_eq!(finding(&design, "outlet-unknown").severity, Severity::Note);
}

#[test]
fn identity_a_narrow_riser_is_too_fast() {
    let riser = "riser = { material = \"PVC schedule 40\", size = \"2 in\"";
    let narrow = "riser = { material = \"PVC schedule 40\", size = \"1-1/4 in\"";
    let design = design_with(MAIN, &[(riser, narrow), USE_MEDIUM]);
    assert!(finding(&design, "velocity-above-limit").message.say(UnitSystem::Us).contains("1-1/4 in riser"));
}

#[test]
fn identity_drain_pipe_is_refused_under_pressure() {
    let run = "[[discharge.run]]\nmaterial = \"PVC schedule 40\"\nsize = \"2 in\"";
    let drain = "[[discharge.run]]\nmaterial = \"PVC D2729\"\nsize = \"3 in\"";
    assert!(says(&design_with(MAIN, &[(run, drain)]), "drain-pipe-under-pressure"));
}

#[test]
fn identity_lift_above_shut_off_says_by_how_much() {
    let design = design_with(LONG, &[("level = \"58.2 ft\"", "level = \"80 ft\"")]);
    let stop = finding(&design, "lift-above-shut-off");
    // 80 ft less the off level of 46.583 ft is 33.4 ft, 4.4 ft above the shut-off head of 29 ft
    assert!(stop.message.say(UnitSystem::Us).contains("33.4 ft"), "{}", stop.message.say(UnitSystem::Us));
    assert!(stop.message.say(UnitSystem::Us).contains("4.4 ft short"));
}

#[test]
fn identity_a_high_point_on_the_way_governs() {
    let high = (
        "{ at = \"90 ft\", invert = \"99.10 ft\", ground = \"100.70 ft\" }",
        "{ at = \"90 ft\", invert = \"106 ft\", ground = \"107 ft\" }",
    );
    let design = design_with(MAIN, &[high, USE_MEDIUM]);
    let caution = finding(&design, "high-point");
    assert_eq!(caution.severity, Severity::Caution);
    let losses = design.pump().unwrap().losses.clone().unwrap();
    assert!(!losses.governed_by_outlet);
    approx::assert_relative_eq!(losses.governing_at.ft(), 90.0, max_relative = 1e-12);
    // to the top of the 2.067 in bore
    let lift = 106.0 + 2.067 / 12.0 - (91.4 + f64::midpoint(8.0, 26.0) / 12.0);
    approx::assert_relative_eq!(losses.lift.ft(), lift, max_relative = 1e-9);
}

#[test]
fn identity_the_last_station_may_miss_the_end_by_a_hand() {
    let design = design_with(MAIN, &[("{ at = \"135 ft\"", "{ at = \"134 ft\"")]);
    assert!(!says(&design, "high-point"));
    assert!(design.pump().unwrap().losses.clone().unwrap().governed_by_outlet);
}

#[test]
fn identity_losses_add_up_to_the_pumps_head() {
    for text in [MAIN, LONG, include_str!("../examples/courtyard-metric.toml")] {
        let design = design_with(text, &[]);
        for pump in &design.pumps {
            let (Some(losses), Some(point)) = (&pump.losses, pump.point(WaterLevel::Mean)) else { continue };
            approx::assert_relative_eq!(losses.total.m(), point.head.m(), max_relative = 1e-8);
            let parts = losses.lift + losses.friction() + losses.minor() + losses.opening;
            approx::assert_relative_eq!(losses.total.m(), parts.m(), max_relative = 1e-12);
        }
    }
}

#[test]
fn identity_groundwater_below_the_on_level_does_not_start_the_pump() {
    let low = ("seasonal_high = \"94.8 ft\"", "seasonal_high = \"92.6 ft\"");
    let design = design_with(MAIN, &[low]);
    assert_eq!(design.pump().unwrap().cycle.clone().unwrap().at_steady, sumpwright::basin::cycle::Cycle::Idle);
    assert_eq!(design.time_without_pump_steady, None);
}

#[test]
fn identity_all_that_returns_is_pumped_for_ever() {
    let design = design_with(MAIN, &[("level = \"100.40 ft\"", "returns = 1.0, level = \"100.40 ft\"")]);
    assert_eq!(finding(&design, "return-flow").severity, Severity::Stop);
    assert!(!says(&design, "no-live-volume"));
}

#[test]
fn identity_numbers_of_findings_are_finite() {
    for (text, changes) in [
        (MAIN, vec![]),
        (MAIN, vec![(VALVE, "")]),
        (LONG, vec![("flow = \"30 gpm\"", "flow = \"500 gpm\"")]),
        (LONG, vec![("length = \"260 ft\"", "length = \"5000 ft\"")]),
    ] {
        for finding in design_with(text, &changes).findings {
            for (name, amount) in &finding.numbers {
                assert!(amount.si.is_finite(), "{} {name}", finding.id);
            }
            for system in [UnitSystem::Us, UnitSystem::Metric] {
                let said: Vec<String> =
                    std::iter::once(&finding.message).chain(&finding.cures).map(|phrase| phrase.say(system)).collect();
                assert!(
                    said.iter()
                        .all(|text| !text.contains('\u{2014}') && !text.contains("NaN") && !text.contains("inf ")),
                    "{said:?}"
                );
            }
        }
    }
}

#[test]
fn identity_amounts_in_a_sentence_follow_the_units() {
    let design = design_with(MAIN, &[]);
    let caution = finding(&design, "pump-below-peak-inflow");
    let flow = Amount::of(design.storm.peak_inflow);
    for system in [UnitSystem::Us, UnitSystem::Metric] {
        assert!(caution.message.say(system).contains(&flow.show(system)));
    }
}

#[test]
fn identity_an_outlet_no_higher_than_the_on_level_is_doubted() {
    // 58 ft typed as 48
    let design = design_with(LONG, &[("level = \"58.2 ft\"", "level = \"48.0 ft\"")]);
    assert_eq!(finding(&design, "outlet-below-on-level").severity, Severity::Caution);
    // between the on level and the inlet a gravity pipe may do
    let low =
        [("level = \"58.2 ft\"", "level = \"48.26 ft\""), ("inlet_invert = \"48.4 ft\"", "inlet_invert = \"49.9 ft\"")];
    assert!(says(&design_with(LONG, &low), "gravity-may-do"));
}

#[test]
fn identity_a_pipe_cure_carries_grit_too() {
    // 23 gpm run in all the time; the 1-1/2 in line delivers 24 to 26
    let steady = ("[goal]\nflow = \"30 gpm\"", "[groundwater]\ninflow = \"25 gpm\"\n\n[goal]");
    let design = design_with(LONG, &[steady]);
    let cures: Vec<String> =
        finding(&design, "never-stops").cures.iter().map(|cure| cure.say(UnitSystem::Us)).collect();
    assert!(cures[0].starts_with("2 in pipe"), "{cures:?}");
    let run = "[[discharge.run]]\nmaterial = \"PVC schedule 40\"\nsize = \"1-1/2 in\"";
    let cured =
        design_with(LONG, &[steady, (run, "[[discharge.run]]\nmaterial = \"PVC schedule 40\"\nsize = \"2 in\"")]);
    assert!(!says(&cured, "never-stops") && !says(&cured, "velocity-below-scour"));
}

#[test]
fn identity_a_valve_at_its_own_cure_is_not_called_deep() {
    // 24 in below a rim 48 in above the floor
    assert!(!says(&design_with(LONG, &[]), "check-valve-deep"));
    let design = design_with(LONG, &[("above_floor = \"24 in\"", "above_floor = \"22 in\"")]);
    assert!(says(&design, "check-valve-deep"));
}
