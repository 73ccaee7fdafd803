//! Water, basin, duty, valve and hole.

use crate::given::{LONG, MAIN, design_with, finding, says, site_with};
use sumpwright::design::{Design, Enough, Severity, WaterLevel};
use sumpwright::quantity::{Length, UnitSystem};

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
    let Some((_, Enough::Wider { on, plan })) = cycle.enough else { panic!("{:?}", cycle.enough) };
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
    let Some((_, Enough::OnAt(on))) = cycle.enough else { panic!("{:?}", cycle.enough) };
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
    let design = design_with(MAIN, &[("conductivity = \"15 ft/day\"", between.as_str()), USE_MEDIUM]);
    assert_eq!(finding(&design, "never-stops").severity, Severity::Stop);
    let above = format!("inflow = \"{:.3} gpm\"", flow(WaterLevel::On) + 1.0);
    let design = design_with(MAIN, &[("conductivity = \"15 ft/day\"", above.as_str()), USE_MEDIUM]);
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
    for text in [MAIN, LONG, include_str!("../../examples/courtyard-metric.toml")] {
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
    let leaves = caution.numbers.iter().find(|(name, _)| *name == "pumped").unwrap().1;
    let flow = leaves;
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

/// The parts of each pump's losses add up to the head the pump makes at that flow.
fn losses_add_up(design: &Design) -> usize {
    let mut seen = 0;
    for pump in &design.pumps {
        let (Some(losses), Some(point)) = (&pump.losses, pump.point(WaterLevel::Mean)) else { continue };
        approx::assert_relative_eq!(losses.total.m(), point.head.m(), max_relative = 1e-8);
        let parts = losses.lift + losses.friction() + losses.minor() + losses.opening;
        approx::assert_relative_eq!(losses.total.m(), parts.m(), max_relative = 1e-12);
        seen += 1;
    }
    seen
}

#[test]
fn identity_losses_add_up_at_a_high_point_and_at_the_riser_top() {
    let high = (
        "{ at = \"90 ft\", invert = \"99.10 ft\", ground = \"100.70 ft\" }",
        "{ at = \"90 ft\", invert = \"105.00 ft\", ground = \"107.00 ft\" }",
    );
    let design = design_with(MAIN, &[high]);
    assert!(losses_add_up(&design) > 0);
    assert!(design.pumps.iter().filter_map(|pump| pump.losses.as_ref()).any(|losses| !losses.governed_by_outlet));

    let cover = ("outlet = { kind = \"grate\"", "outlet = { opening_head = \"1 ft\", kind = \"grate\"");
    let design = design_with(MAIN, &[cover]);
    assert!(losses_add_up(&design) > 0);
    approx::assert_relative_eq!(design.pump().unwrap().losses.clone().unwrap().opening.ft(), 1.0, max_relative = 1e-12);

    // the line falls all the way from its first station: only the riser's losses lie before the point that governs
    let falling = [
        (
            "outlet = { kind = \"open end\", level = \"58.2 ft\" }",
            "outlet = { kind = \"open end\", level = \"52 ft\" }\nprofile = [{ at = \"0 ft\", invert = \"60 ft\" }, { at = \"260 ft\", invert = \"52 ft\" }]",
        ),
        ("size = \"1-1/2 in\"\nlength = \"260 ft\"", "size = \"3 in\"\nlength = \"260 ft\""),
    ];
    let design = design_with(LONG, &falling);
    assert!(losses_add_up(&design) > 0);
    let losses = design.pump().unwrap().losses.clone().unwrap();
    assert_eq!(losses.governing_at, Length::ZERO);
    assert!(
        losses
            .stretches
            .iter()
            .filter(|stretch| stretch.name.starts_with("run"))
            .all(|stretch| stretch.friction == sumpwright::quantity::Head::ZERO
                && stretch.fittings == sumpwright::quantity::Head::ZERO),
        "{:?}",
        losses.stretches
    );
}

#[test]
fn identity_the_lift_is_to_the_top_of_the_bore_where_the_line_ends_above_its_outlet() {
    let higher = ("{ at = \"135 ft\", invert = \"100.00 ft\"", "{ at = \"135 ft\", invert = \"101.00 ft\"");
    let design = design_with(MAIN, &[higher]);
    let duty = design.pump().unwrap().duties.iter().find(|duty| duty.at == WaterLevel::Off).unwrap();
    let lift = 101.0 + 2.067 / 12.0 - (91.4 + 8.0 / 12.0);
    approx::assert_relative_eq!(duty.static_head.ft(), lift, max_relative = 1e-9);
}

#[test]
fn identity_a_curve_too_short_for_the_goal_promises_no_run() {
    let starts_late = ("curve = [[\"0 gpm\", \"29 ft\"], [\"10 gpm\", \"27 ft\"], [\"20 gpm\"", "curve = [[\"20 gpm\"");
    let design = design_with(LONG, &[starts_late, ("flow = \"30 gpm\"", "flow = \"10 gpm\"")]);
    assert_eq!(design.pump().unwrap().longest_run, None);
}

#[test]
fn identity_pressure_is_held_against_the_rating_at_the_waters_temperature() {
    // 500 ft is 217 psi; 1-1/2 in schedule 40 PVC is rated 330 psi at 73 F (ASTM D1785), half of it or so at 104 F
    let high_head = ("[\"0 gpm\", \"29 ft\"]", "[\"0 gpm\", \"500 ft\"]");
    let at = |temperature: &str| {
        let water = format!("[water]\ntemperature = \"{temperature}\"\n\n[basin]");
        design_with(LONG, &[high_head, ("[basin]", water.as_str())])
    };
    assert_eq!(finding(&at("104 F"), "pressure-above-rating").severity, Severity::Stop);
    assert!(!says(&at("50 F"), "pressure-above-rating"));
}

#[test]
fn identity_what_returns_shortens_the_time_the_basin_holds_out() {
    let design = design_with(MAIN, &[("level = \"100.40 ft\"", "returns = 0.2, level = \"100.40 ft\"")]);
    let pump = design.pump().unwrap();
    let point = pump.point(WaterLevel::Mean).unwrap();
    let peak = design.storms.iter().map(|storm| storm.peak_inflow.m3s()).collect::<Vec<_>>();
    let room = sumpwright::design::room_above_on(&site_with(MAIN, &[])).m3();
    let lasts = pump.surplus_lasts.unwrap().s();
    let by_hand = |peak: f64| room / (peak - 0.8 * point.line_flow.m3s());
    assert!(
        peak.iter().any(|peak| approx::relative_eq!(by_hand(*peak), lasts, max_relative = 1e-9)),
        "{lasts} s; {peak:?}"
    );
}

#[test]
fn identity_price_decides_only_between_equals() {
    // two pumps alike but for the price: the cheaper is used
    let twin = |price: &str, power: &str| {
        format!(
            "[[pump]]\nname = \"twin {price}\"\ncurve = [[\"0 gpm\", \"48 ft\"], [\"30 gpm\", \"43 ft\"], [\"60 gpm\", \"34 ft\"], [\"90 gpm\", \"18 ft\"], [\"100 gpm\", \"10 ft\"]]\nstarts_per_hour = 12\nlowest_level = \"7 in\"\nheight = \"16 in\"\npasses = \"3/4 in\"\noutlet_size = \"2 in\"\n{power}price = {price}\n\n"
        )
    };
    let protect = "[[protect]]";
    let pair = format!("{}{}{protect}", twin("900", ""), twin("800", ""));
    let design = design_with(MAIN, &[(protect, pair.as_str())]);
    let rank = |name: &str| design.pumps.iter().position(|pump| pump.name == name).unwrap();
    assert!(rank("twin 800") < rank("twin 900"));
    // one whose outlet does not suit is not used for being cheap
    let unfit = twin("1", "").replace("[\"0 gpm\", \"48 ft\"], [\"30 gpm\", \"43 ft\"], [\"60 gpm\", \"34 ft\"], [\"90 gpm\", \"18 ft\"], [\"100 gpm\", \"10 ft\"]", "[\"0 gpm\", \"6 ft\"], [\"90 gpm\", \"1 ft\"]");
    let both = format!("{unfit}{protect}");
    let design = design_with(MAIN, &[(protect, both.as_str())]);
    assert_eq!(design.pumps.last().unwrap().name, "twin 1");
    assert_ne!(design.pump().unwrap().name, "twin 1");
}

#[test]
fn identity_a_storm_the_table_does_not_reach_is_left_out_by_name() {
    // the water takes longer to gather than the longest duration of this row
    let short = (
        "\"5 min\" = \"0.63 in\"\n\"10 min\" = \"0.97 in\"\n\"15 min\" = \"1.20 in\"\n\"30 min\" = \"1.67 in\"\n\"60 min\" = \"2.22 in\"\n\"24 h\" = \"5.15 in\"",
        "\"3 min\" = \"0.45 in\"\n\"5 min\" = \"0.63 in\"",
    );
    let flat = ("{ sheet = \"40 ft\", slope = \"3 %\"", "{ sheet = \"40 ft\", slope = \"0.5 %\"");
    let before = design_with(MAIN, &[flat]);
    let design = design_with(MAIN, &[flat, short]);
    let left_out = finding(&design, "storm-left-out");
    assert!(left_out.message.say(UnitSystem::Us).contains("25 yr"), "{}", left_out.message.say(UnitSystem::Us));
    assert_eq!(design.storms.len() + 1, before.storms.len());
}

#[test]
fn identity_the_riser_from_water_to_valve_runs_back() {
    // from the off level, 8 in above the floor, to the valve: a cylinder of the 2.067 in bore, 231 in3 to the gallon
    let by_hand = |valve: f64| (valve - 8.0) * std::f64::consts::FRAC_PI_4 * 2.067 * 2.067 / 231.0;
    for valve in [30.0, 38.0] {
        let higher = format!("above_floor = \"{valve} in\" }}\nrelief_hole");
        let design = design_with(MAIN, &[("above_floor = \"38 in\" }\nrelief_hole", higher.as_str())]);
        let back = design.pump().unwrap().cycle.clone().unwrap().drain_back;
        approx::assert_relative_eq!(back.with_valve.gal(), by_hand(valve), max_relative = 1e-9);
    }
}

#[test]
fn identity_the_stronger_pump_offered_as_a_cure_is_one() {
    let curve = "curve = [[\"0 gpm\", \"29 ft\"], [\"10 gpm\", \"27 ft\"], [\"20 gpm\", \"24.5 ft\"], [\"30 gpm\", \"21 ft\"], [\"40 gpm\", \"16.5 ft\"], [\"50 gpm\", \"11 ft\"]]";
    let design = design_with(LONG, &[]);
    let cures = &finding(&design, "delivers-less-than-asked").cures;
    assert!(cures.iter().any(|cure| cure.say(UnitSystem::Us).contains("44 % more head")), "{cures:?}");
    let times = |factor: f64| {
        let points = [(0, 29.0), (10, 27.0), (20, 24.5), (30, 21.0), (40, 16.5), (50, 11.0)]
            .map(|(flow, head)| format!("[\"{flow} gpm\", \"{} ft\"]", head * factor))
            .join(", ");
        let stronger = format!("curve = [{points}]");
        design_with(LONG, &[(curve, stronger.as_str())])
    };
    assert!(!says(&times(1.44), "delivers-less-than-asked"));
    // the cure holds 5 % in hand, not much more
    assert!(says(&times(1.44 / 1.06), "delivers-less-than-asked"));
}
