//! The yard in a storm: the goal, what cures a miss, power, batteries, pulses, groundwater that rises.

use crate::given::{
    CLAY, MAIN, MEADOW, TWO, cures, design_with, finding, message, number, number_after, says, site_with,
};
use approx::assert_relative_eq;
use sumpwright::design::{Cure, Design, Severity, StormOutcome, StormsResult};
use sumpwright::quantity::{Duration, Length, UnitSystem, Volume};
use sumpwright::site::RunoffFrom;

fn storms(design: &Design) -> &StormsResult {
    design.in_storms.as_ref().unwrap()
}

fn nested(design: &Design) -> &StormOutcome {
    &storms(design).design().unwrap().nested
}

/// The small pump alone, and the water that may stand.
fn small(most: &'static str) -> Vec<(&'static str, &'static str)> {
    vec![("standing_water = \"3.5 in\"", most), ("count = 1\n", "count = 1\nuse = \"small\"\n")]
}

#[test]
fn identity_a_goal_is_met_or_missed_at_the_depth_itself() {
    let depth = nested(&design_with(MAIN, &small("standing_water = \"20 in\""))).depth().inch();
    let above: &'static str = format!("standing_water = \"{:.4} in\"", depth * 1.001).leak();
    let below: &'static str = format!("standing_water = \"{:.4} in\"", depth * 0.999).leak();
    let met = design_with(MAIN, &small(above));
    assert!(met.holds() && met.verdict.goal_met == Some(true) && !says(&met, "goal-missed"));
    let missed = design_with(MAIN, &small(below));
    assert!(!missed.holds() && missed.verdict.goal_met == Some(false));
    assert_relative_eq!(number(&missed, "goal-missed", "depth"), nested(&missed).depth().m());
    // nothing asked, nothing judged
    let silent = design_with(MAIN, &[("standing_water = \"3.5 in\"\nclear_within = \"6 h\"\n", "")]);
    assert!(silent.verdict.goal_met.is_none() && silent.holds());
}

#[test]
fn identity_the_room_asked_for_meets_the_goal() {
    let missed = design_with(MAIN, &small("standing_water = \"3 in\""));
    let room = storms(&missed).goal.as_ref().unwrap().cures.iter().find_map(|cure| match cure {
        Cure::Storage(room) => Some(*room),
        Cure::PumpFlow(_) => None,
    });
    let room = room.unwrap();
    assert!(cures(&missed, "goal-missed").iter().any(|cure| cure.contains("more room between the on level")));
    // the same room as a wider basin, which is wider below its on level too
    let site = site_with(MAIN, &small("standing_water = \"3 in\""));
    let height = site.inlets[0].rim - site.basin.level(site.basin.on);
    let wider = |share: f64| {
        let plan = site.basin.plan.area() + room * share / height;
        let across: &'static str = format!("inside_diameter = \"{:.4} in\"", plan.diameter().inch()).leak();
        let outside: &'static str = format!("outside_diameter = \"{:.4} in\"", plan.diameter().inch() + 1.5).leak();
        let mut changes = small("standing_water = \"3 in\"");
        changes.extend([("inside_diameter = \"30 in\"", across), ("outside_diameter = \"31.5 in\"", outside)]);
        design_with(MAIN, &changes)
    };
    assert!(!says(&wider(1.0), "goal-missed"), "{:?}", message(&wider(1.0), "goal-missed"));
    // and a good deal less does not
    assert!(says(&wider(0.25), "goal-missed"));
}

#[test]
fn identity_the_pump_flow_asked_for_meets_the_goal() {
    let missed = design_with(MAIN, &small("standing_water = \"3 in\""));
    let flow = storms(&missed).goal.as_ref().unwrap().cures.iter().find_map(|cure| match cure {
        Cure::PumpFlow(flow) => Some(*flow),
        Cure::Storage(_) => None,
    });
    let flow = flow.unwrap().gpm();
    // a pump that brings much the same at any head
    let with = |flow: f64| {
        let curve: &'static str = format!(
            "curve = [[\"0 gpm\", \"200 ft\"], [\"{flow:.3} gpm\", \"100 ft\"], [\"{:.3} gpm\", \"0 ft\"]]",
            flow * 1.02
        )
        .leak();
        let mut changes = small("standing_water = \"3 in\"");
        let old = "curve = [[\"0 gpm\", \"19 ft\"], [\"15 gpm\", \"15.5 ft\"], [\"30 gpm\", \"10 ft\"], [\"40 gpm\", \"5 ft\"]]";
        changes.push((old, curve));
        // nothing leaks, so that the curve's flow is what leaves
        changes.push(("relief_hole = { diameter = \"3/16 in\", above_floor = \"18 in\" }\n", ""));
        design_with(MAIN, &changes)
    };
    assert!(!says(&with(flow), "goal-missed"));
    assert!(says(&with(flow * 0.9), "goal-missed"));
}

#[test]
fn identity_a_higher_film_and_a_lower_one() {
    let stands = |film: &str| {
        let table: &'static str = format!("[limits]\nfilm = \"{film}\"\n\n[pumping]").leak();
        nested(&design_with(MAIN, &[("[pumping]", table)])).stands()
    };
    assert!(stands("1 in") < stands("0.5 in") && stands("0.5 in") < stands("0.1 in"));
    assert_eq!(stands("6 in"), Duration::ZERO);
}

#[test]
fn identity_without_power_it_is_worse_and_a_battery_bridges_it() {
    let design = design_with(MAIN, &[]);
    let cut = &storms(&design).power_cut;
    assert!(cut.all_storm.depth() > nested(&design).depth());
    assert!(cut.all_storm.starts == 0 && cut.all_storm.pumped == Volume::ZERO);
    // all that came stands, ran over, or filled basin and pipes
    assert!(cut.all_storm.spilled > Volume::ZERO && cut.leaves_by().unwrap().1 == Some("street"));
    let with = |hours: &str| {
        let table: &'static str =
            format!("[backup]\nbattery_volts = 12\nbattery_amp_hours = {hours}\nusable_share = 0.5\ninverter_efficiency = 0.85\n\n[pumping]").leak();
        design_with(MAIN, &[("[pumping]", table)])
    };
    let battery = |design: &Design| storms(design).power_cut.battery.clone().unwrap();
    // the figures of a worked example: 12 V, 100 Ah, half usable, 0.85, 620 W is 0.8226 h without stopping (arithmetic)
    let short = with("100");
    assert_relative_eq!(battery(&short).without_stopping.h(), 510.0 / 620.0, max_relative = 1e-6);
    assert!(battery(&short).flat_at.unwrap() > battery(&short).without_stopping);
    assert!(battery(&short).outcome.runs <= battery(&short).without_stopping * (1.0 + 1e-6));
    assert_relative_eq!(battery(&short).outcome.runs.s(), battery(&short).without_stopping.s(), max_relative = 1e-6);
    let long = with("2000");
    assert!(battery(&long).flat_at.is_none() && !says(&long, "battery-goes-flat"));
    assert_relative_eq!(battery(&long).outcome.depth().m(), nested(&long).depth().m(), max_relative = 1e-9);
    assert!(battery(&with("20")).outcome.depth() > nested(&long).depth());
}

#[test]
fn identity_a_place_that_water_reaches_is_a_stop_and_one_that_it_reaches_without_power_a_caution() {
    let place = |level: &str| {
        let text: &'static str = format!("name = \"crawl-space vent\"\nlevel = \"{level}\"").leak();
        design_with(MAIN, &[("name = \"crawl-space vent\"\nlevel = \"97.10 ft\"", text)])
    };
    let dry = place("97.10 ft");
    assert!(!says(&dry, "water-reaches-protected") && !says(&dry, "power-cut-reaches-protected"));
    let without = place("96.45 ft");
    assert!(without.holds() && finding(&without, "power-cut-reaches-protected").cures.len() == 2);
    let reached = storms(&without).power_cut.protected[0].2.unwrap();
    assert!(reached > Duration::ZERO && reached < Duration::from_h(14.0));
    let wet = place("96.10 ft");
    assert!(!wet.holds() && says(&wet, "water-reaches-protected") && !says(&wet, "power-cut-reaches-protected"));
}

/// A level between the deepest water of the design storm and that of a rarer one, or of soil that takes less.
#[test]
fn identity_a_place_that_only_a_harder_storm_reaches_is_a_caution() {
    let design = design_with(MAIN, &[]);
    let found = storms(&design);
    let rim = nested(&design).hollows[0].rim;
    let at = |depth: Length| {
        let level = format!("name = \"crawl-space vent\"\nlevel = \"{:.4} ft\"", (rim + depth).ft());
        design_with(MAIN, &[("name = \"crawl-space vent\"\nlevel = \"97.10 ft\"", level.leak())])
    };
    let rarest = found.periods.last().unwrap();
    assert!(rarest.period > found.design().unwrap().period);
    let less = &found.soil_takes_less[0].outcome;
    let (low, high) = (less.depth().min(rarest.nested.depth()), less.depth().max(rarest.nested.depth()));
    assert!(low > nested(&design).depth() && high > low);
    // both reach it
    let both = at((nested(&design).depth() + low) / 2.0);
    let said = message(&both, "harder-storm-reaches-protected");
    assert!(said.contains("if the soil takes less and in the"), "{said}");
    assert_eq!(finding(&both, "harder-storm-reaches-protected").severity, Severity::Caution);
    assert!(both.verdict.sentences.iter().any(|sentence| {
        sentence.say(UnitSystem::Us).starts_with("Although the pump runs, water reaches `crawl-space vent` in the")
    }));
    // only one of them does
    let one = message(&at((low + high) / 2.0), "harder-storm-reaches-protected");
    assert_eq!(one.contains("if the soil takes less"), less.depth() > rarest.nested.depth(), "{one}");
    // the design storm itself, or none of them
    for (depth, reached) in [(nested(&design).depth() * 0.9, true), (high * 1.1, false)] {
        let other = at(depth);
        assert_eq!(says(&other, "water-reaches-protected"), reached);
        assert!(!says(&other, "harder-storm-reaches-protected"));
    }
}

/// A goal that the burst keeps and a steady rain misses is told with the steady rain's time, and where it is met the
/// verdict says how long water stands then.
#[test]
fn identity_the_time_told_is_the_one_that_the_goal_is_held_against() {
    let medium = ("count = 1\n", "count = 1\nuse = \"medium\"\n");
    let design = design_with(MAIN, &[medium]);
    let steady = &storms(&design).design().unwrap().block_stands;
    assert!(steady.stands() > nested(&design).stands() * 1.5);
    let told = format!("In a steady rain of {} it stands longest, {}.", shown(steady.lasts), shown(steady.stands()));
    assert!(design.verdict.sentences.iter().any(|sentence| sentence.say(UnitSystem::Us) == told), "{told}");
    let between = (steady.stands() + nested(&design).stands()) / 2.0;
    let goal = "standing_water = \"3.5 in\"\nclear_within = \"6 h\"\n";
    let missed = design_with(MAIN, &[medium, (goal, format!("clear_within = \"{:.3} s\"\n", between.s()).leak())]);
    assert!(says(&missed, "goal-missed"));
    let said = missed.verdict.goal.as_ref().unwrap().say(UnitSystem::Us);
    assert!(said.contains(&format!("is missed: in a steady rain of {} water stands", shown(steady.lasts))), "{said}");
    assert!(said.ends_with(&format!("for {}.", shown(steady.stands()))), "{said}");
}

fn shown(time: Duration) -> String {
    sumpwright::quantity::Amount::of(time).show(UnitSystem::Us)
}

/// A goal that is missed where the pump stands elsewhere in its cycle when the burst comes hangs on it.
#[test]
fn identity_a_goal_that_hangs_on_the_pumps_cycle_is_told() {
    let id = "goal-hangs-on-cycle";
    let medium = ("count = 1\n", "count = 1\nuse = \"medium\"\n");
    let depth = nested(&design_with(MAIN, &[medium])).depth();
    let at = |most: Length| {
        let to = format!("standing_water = \"{:.5} in\"", most.inch());
        design_with(MAIN, &[medium, ("standing_water = \"3.5 in\"", to.leak())])
    };
    let near = at(depth * 1.001);
    assert!(near.holds() && finding(&near, id).severity == Severity::Caution);
    let more = Length::from_m(number(&near, id, "more"));
    // 30 in across, 18 in between the floats; a surface of 420 ft2 at 0.25 ft and 1300 ft2 at 0.5 ft
    let held = std::f64::consts::PI / 4.0 * 2.5 * 2.5 * 1.5;
    let surface = 420.0 + (depth.ft() - 0.25) * (1300.0 - 420.0) / 0.25;
    assert!((0.25..0.5).contains(&depth.ft()), "{}", depth.ft());
    let at_most = Length::from_ft(held / surface);
    assert!(more >= at_most / 8.0 * (1.0 - 1e-9) && more <= at_most * 1.125, "{} {}", more.inch(), at_most.inch());
    // a trickle more moves the cycle and hardly anything else: none is deeper than told, the deepest nearly so
    let deepest = (1..40)
        .map(|step| {
            let trickle = format!("{TRICKLE}\"{:.4} gpm\"\n\n[basin]\n", 0.004 * f64::from(step));
            nested(&design_with(MAIN, &[medium, ("[basin]\n", trickle.leak())])).depth()
        })
        .fold(Length::ZERO, Length::max);
    let told = depth + more;
    assert!(deepest <= told, "{} {}", deepest.inch(), told.inch());
    assert!(deepest >= told - at_most / 4.0, "{} {}", deepest.inch(), told.inch());
    assert!(says(&at(told * 0.999), id) && !says(&at(told * 1.001), id));
    assert!(!says(&at(depth * 0.9), id) && says(&at(depth * 0.9), "goal-missed"));
}

/// Where the grate alone holds the water back, the water in the basin has no part in it.
#[test]
fn regress_water_that_the_grate_holds_back_hangs_on_no_cycle() {
    let strong = ("count = 1\n", "count = 1\nuse = \"strong\"\n");
    let shut = ("clogged = \"50 %\"", "clogged = \"80 %\"");
    let design = design_with(MAIN, &[strong, shut]);
    let outcome = nested(&design);
    assert!(outcome.highest_in_basin < site_with(MAIN, &[]).basin.rim, "{:?}", outcome.highest_in_basin);
    // all between the floats, 7.4 ft3, over no more than 1300 ft2
    let within = outcome.depth() + Length::from_ft(7.4 / 1300.0 / 2.0);
    let goal = format!("standing_water = \"{:.5} in\"\n", within.inch());
    let asked = "standing_water = \"3.5 in\"\nclear_within = \"6 h\"\n";
    let near = design_with(MAIN, &[strong, shut, (asked, goal.leak())]);
    let said: Vec<&str> = near.findings.iter().map(|finding| finding.id).collect();
    assert!(
        !said.iter().any(|id| ["goal-missed", "goal-hangs-on-cycle"].contains(id)),
        "{said:?} {}",
        outcome.depth().inch()
    );
}

/// Of water that a grate holds back over a basin with room left it is not said that it waits for the pump.
#[test]
fn regress_what_the_grate_holds_back_does_not_wait_for_the_pump() {
    let id = "pump-below-peak-inflow";
    let medium = ("count = 1\n", "count = 1\nuse = \"medium\"\n");
    let held = design_with(MAIN, &[medium, ("clogged = \"50 %\"", "clogged = \"95 %\"")]);
    assert!(nested(&held).highest_in_basin < site_with(MAIN, &[]).inlets[0].rim);
    assert!(
        message(&held, id).contains("does not fill. What stands is held up by grate and pipe"),
        "{}",
        message(&held, id)
    );
    let waits = design_with(MAIN, &[medium]);
    assert!(nested(&waits).highest_in_basin > site_with(MAIN, &[]).inlets[0].rim);
    assert!(message(&waits, id).contains("leaves; the rest waits: "), "{}", message(&waits, id));
}

/// The verdict says what it leaves open where a level was not measured.
#[test]
fn regress_a_verdict_says_what_was_not_measured() {
    let medium = ("count = 1\n", "count = 1\nuse = \"medium\"\n");
    let said = |changes: &[(&str, &str)]| {
        let design = design_with(MAIN, &[&[medium], changes].concat());
        assert!(design.holds());
        design.verdict.sentences.iter().map(|sentence| sentence.say(UnitSystem::Us)).collect::<Vec<_>>().join("\n")
    };
    let open = said(&[("level = \"97.10 ft\"", "level = \"?\"")]);
    assert!(open.contains("What hangs on `protect.level` is not judged: it is still to be measured. So whether water gets into the house is not known."), "{open}");
    assert!(!said(&[]).contains("What hangs on"));
}

const TRICKLE: &str = "[[inflow]]\nname = \"trickle\"\ndrains_to = \"basin\"\nflow = ";

/// Where the goal is met by the room in the stone of the French drain, that is said: a wet week or silt takes it away.
#[test]
fn identity_room_in_stone_is_not_leaned_on_unsaid() {
    let id = "goal-hangs-on-stone";
    let medium = ("count = 1\n", "count = 1\nuse = \"medium\"\n");
    let design = design_with(MAIN, &[medium]);
    let full = storms(&design).stone_full.clone().unwrap();
    assert!(full.depth() > nested(&design).depth() && full.came > Volume::ZERO);
    let goal = "standing_water = \"3.5 in\"\nclear_within = \"6 h\"\n";
    let at = |depth: Length| {
        design_with(MAIN, &[medium, (goal, format!("standing_water = \"{:.5} in\"\n", depth.inch()).leak())])
    };
    let between = at((full.depth() + nested(&design).depth()) / 2.0);
    assert!(between.holds() && finding(&between, id).severity == Severity::Caution);
    assert_relative_eq!(number(&between, id, "depth"), full.depth().m());
    let said = between.verdict.goal.as_ref().unwrap().say(UnitSystem::Us);
    assert!(said.contains("but not") && said.contains("with the French drain's stone full or silted"), "{said}");
    // the example's drain has its fabric: without it, that is advised
    let advised = |design: &Design| cures(design, id).iter().any(|cure| cure.contains("fabric round the stone"));
    assert!(!advised(&between) && cures(&between, id)[1].starts_with("a clean-out"));
    let depth = (full.depth() + nested(&design).depth()) / 2.0;
    let goal_between: &'static str = format!("standing_water = \"{:.5} in\"\n", depth.inch()).leak();
    assert!(advised(&design_with(MAIN, &[medium, (goal, goal_between), ("fabric = true\n", "")])));
    assert!(!says(&at(full.depth() * 1.001), id));
    // missed anyway
    let missed = at(nested(&design).depth() * 0.9);
    assert!(says(&missed, "goal-missed") && !says(&missed, id));
    // in time alone
    let within =
        |time: Duration| design_with(MAIN, &[medium, (goal, format!("clear_within = \"{:.3} s\"\n", time.s()).leak())]);
    let steady = storms(&design).design().unwrap().block_stands.stands();
    assert_eq!(says(&within(steady * 1.01), id), full.stands() > steady * 1.01);
    // no French drain, no stone
    assert!(storms(&design_with(TWO, &[])).stone_full.is_none());
}

/// A nameplate of volts and amps says the most that the battery has to give: 115 V x 9 A = 1035 W.
#[test]
fn identity_a_battery_goes_by_volts_times_amps_where_the_power_is_not_entered() {
    let battery = "[backup]\nbattery_volts = 12\nbattery_amp_hours = 100\nusable_share = 0.5\ninverter_efficiency = 0.85\n\n[pumping]";
    let with = |plate: &str| {
        let mut text = MAIN.replacen("[pumping]", battery, 1);
        for line in MAIN.lines().filter(|line| {
            ["power =", "volts =", "running_amps =", "starting_amps =", "efficiency ="]
                .iter()
                .any(|key| line.starts_with(key))
        }) {
            text = text.replace(&format!("{line}\n"), "");
        }
        let text = text.replace("[[pump]]\n", &format!("[[pump]]\n{plate}"));
        sumpwright::design::design(&sumpwright::site::read(&text, &sumpwright::site::NoFiles).site.unwrap()).unwrap()
    };
    let plate = with("volts = 115\nrunning_amps = 9\n");
    let found = storms(&plate).power_cut.battery.clone().unwrap();
    assert_relative_eq!(found.without_stopping.h(), 12.0 * 100.0 * 0.5 * 0.85 / 1035.0, max_relative = 1e-9);
    let taken = plate.assumptions.iter().find(|taken| taken.what.starts_with("power of")).unwrap();
    assert_relative_eq!(taken.value.si, 1035.0);
    assert!(!says(&plate, "battery-not-judged"));
    let nothing = with("");
    assert!(storms(&nothing).power_cut.battery.is_none() && says(&nothing, "battery-not-judged"));
    assert!(!says(&design_with(MAIN, &[]), "battery-not-judged"));
}

/// Rounded alike a reason would read as none: 3.003 in against 3 in; of a wide miss a tenth of an inch is enough.
#[test]
fn identity_a_goal_just_missed_is_told_more_finely() {
    let missed = |allowed: &str| {
        let goal = format!("standing_water = \"{allowed}\"");
        let design = design_with(MAIN, &[("standing_water = \"3.5 in\"", &goal)]);
        let medium = design.pumps.iter().find(|pump| pump.name == "medium").unwrap();
        let finding = medium.findings.iter().find(|finding| finding.id == "goal-missed").unwrap();
        finding.message.say(UnitSystem::Us)
    };
    assert!(missed("3 in").contains("3.003 in deep over `corner`, 3 in allowed"), "{}", missed("3 in"));
    assert!(missed("2 in").contains("3 in deep over `corner`, 2 in allowed"), "{}", missed("2 in"));
    // 76.1 mm are 2.996 in
    let metric = missed("76.1 mm");
    assert!(metric.contains("3.003 in deep over `corner`, 2.996 in allowed"), "{metric}");
}

#[test]
fn identity_a_second_pump_stands_in_and_one_of_two_is_missed() {
    let design = design_with(MAIN, &[]);
    let other = storms(&design).other_pumps.as_ref().unwrap();
    assert!(other.count == 2 && other.outcome.depth() < nested(&design).depth());
    let two = design_with(TWO, &[]);
    let one = storms(&two).other_pumps.as_ref().unwrap();
    assert!(one.count == 1 && one.outcome.depth() >= nested(&two).depth());
    assert!(nested(&two).second_runs > Duration::ZERO && one.outcome.second_runs == Duration::ZERO);
}

#[test]
fn identity_a_house_pump_in_pulses_brings_its_mean() {
    let inflow = |more: &str| {
        let text: &'static str =
            format!("[[inflow]]\nname = \"house pump\"\nflow = \"12 gpm\"\n{more}\n[[pump]]\nname = \"medium\"").leak();
        design_with(MAIN, &[("[[pump]]\nname = \"medium\"", text)])
    };
    let none = design_with(MAIN, &[]);
    let steady = inflow("");
    let pulses = inflow("runs = \"1 min\"\nrests = \"5 min\"\n");
    let came = |design: &Design| nested(design).came.gal();
    let hours = |design: &Design| nested(design).followed.minutes();
    let extra = |design: &Design| came(design) - came(&none);
    assert_relative_eq!(extra(&steady), 12.0 * hours(&steady), max_relative = 0.02);
    assert_relative_eq!(extra(&pulses), 2.0 * hours(&pulses), max_relative = 0.05);
    assert!(nested(&pulses).starts < nested(&steady).starts && nested(&pulses).starts > nested(&none).starts);
    assert!(nested(&pulses).imbalance.abs() < 1e-9);
}

#[test]
fn identity_groundwater_that_rises_brings_more() {
    let high = "seasonal_high = ";
    let line = MEADOW.lines().find(|line| line.trim_start().starts_with(high)).unwrap();
    let level: f64 = line.split('"').nth(1).unwrap().trim_end_matches(" ft").parse().unwrap();
    let with: &'static str = format!("{line}\nstorm_high = \"{:.2} ft\"\nrises_over = \"6 h\"", level + 0.5).leak();
    let (still, rising) = (design_with(MEADOW, &[]), design_with(MEADOW, &[(line, with)]));
    assert!(nested(&rising).came > nested(&still).came * 1.02);
    // the level that it rises to, and more than the steady inflow before it rose
    let (high, flow) = nested(&rising).groundwater_risen.unwrap();
    assert_relative_eq!(high.ft(), level + 0.5, max_relative = 1e-9);
    assert!(flow > rising.storm.groundwater.flow && nested(&still).groundwater_risen.is_none());
    let report = sumpwright::report::text::sizing_report(&rising);
    let flat = report.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("groundwater that in the storm rises to"));
    assert!(nested(&rising).imbalance.abs() < 1e-9 && nested(&still).imbalance.abs() < 1e-9);
}

#[test]
fn identity_what_spills_into_another_hollow_is_told() {
    // no outlet for the corner but over its edge, into a hollow beside it
    let low = "spills_to = \"street\"";
    let other = "spills_to = \"side yard\"\n\n[[low_spot]]\nname = \"side yard\"\nsurface = [[\"95.0 ft\", \"0 ft2\"], [\"96.0 ft\", \"4000 ft2\"]]";
    let design = design_with(MAIN, &[(low, other), ("clogged = \"50 %\"", "clogged = \"100 %\"")]);
    let outcome = nested(&design);
    let corner = outcome.hollows.iter().find(|hollow| hollow.name == "corner").unwrap();
    let side = outcome.hollows.iter().find(|hollow| hollow.name == "side yard").unwrap();
    assert!(corner.spilled > Volume::from_gal(500.0));
    assert_relative_eq!(side.volume.gal(), corner.spilled.gal(), max_relative = 1e-6);
    assert!(side.still_stands && outcome.still_stands() && says(&design, "low-spot-runs-over"));
    assert!(!says(&design, "goal-missed") || side.deepest > Length::ZERO);
}

#[test]
fn identity_every_return_period_is_deeper_than_the_one_before() {
    for text in [MAIN, MEADOW] {
        let design = design_with(text, &[]);
        let periods = &storms(&design).periods;
        assert!(periods.len() > 1);
        for pair in periods.windows(2) {
            assert!(pair[1].nested.depth() > pair[0].nested.depth());
            assert!(pair[1].block_depth.1 > pair[0].block_depth.1);
        }
        for period in periods {
            // the nested storm holds the block
            assert!(period.nested.depth() >= period.block_depth.1);
            assert!(period.nested.imbalance.abs() < 1e-9, "{}", period.nested.imbalance);
            assert!(period.nested.at_rest);
        }
    }
}

#[test]
fn identity_one_intensity_is_not_followed_and_says_so() {
    let start = MAIN.find("[rain.depth.\"2 yr\"]").unwrap();
    let end = MAIN.find("# The soil decides").unwrap();
    let text =
        format!("{}{}", &MAIN[..start], &MAIN[end..]).replace("origin = \"invented table\"", "intensity = \"6 in/h\"");
    let design = design_with(&text, &[]);
    assert!(design.in_storms.is_err() && says(&design, "storm-not-followed"));
    assert!(message(&design, "storm-not-followed").contains("enter depths for several durations"));
}

#[test]
fn identity_the_storm_that_the_town_asks_for_stands_beside() {
    let design = design_with(
        MAIN,
        &[("origin = \"invented table\"", "origin = \"invented table\"\ndistribution = \"type II\"")],
    );
    let period = storms(&design).design().unwrap();
    let asked = period.asked.as_ref().unwrap();
    // half hours flatten the burst: less deep than the nested storm of the same day's depth
    assert_relative_eq!(asked.rain.inch(), 4.30, max_relative = 1e-6);
    assert!(asked.depth() < period.nested.depth() && asked.peak_inflow < period.nested.peak_inflow);
}

#[test]
fn identity_a_goal_missed_only_in_the_storm_that_the_town_asks_for_is_a_caution() {
    // type II lets more water fall before its burst, and stands deeper in this hollow than the nested storm: found by
    // following both
    let with = |goal: &'static str| {
        design_with(CLAY, &[("[rain]\n", "[rain]\ndistribution = \"type II\"\n"), ("standing_water = \"6 in\"", goal)])
    };
    let kept = with("standing_water = \"6 in\"");
    let period = storms(&kept).design().unwrap();
    let (asked, nested) = (period.asked.as_ref().unwrap().depth(), period.nested.depth());
    assert!(asked > nested && period.asked.as_ref().unwrap().deeper_than(&period.nested));
    assert!(!says(&kept, "goal-missed-in-asked-storm"));
    let between: &'static str =
        format!("standing_water = \"{:.3} in\"", f64::midpoint(asked.inch(), nested.inch())).leak();
    let missed = with(between);
    assert!(missed.verdict.goal_met == Some(true));
    assert_eq!(finding(&missed, "goal-missed-in-asked-storm").severity, Severity::Caution);
    assert_relative_eq!(number(&missed, "goal-missed-in-asked-storm", "depth"), asked.m());
    assert!(missed.verdict.goal.unwrap().say(sumpwright::quantity::UnitSystem::Us).contains("but not"));
    // a goal missed in both is a stop, and said once
    assert!(!says(&with("standing_water = \"5 in\""), "goal-missed-in-asked-storm"));
}

#[test]
fn identity_the_goal_named_for_a_place_that_water_reaches_lies_below_it() {
    let wet: &[(&str, &str)] =
        &[("name = \"crawl-space vent\"\nlevel = \"97.10 ft\"", "name = \"crawl-space vent\"\nlevel = \"96.15 ft\"")];
    let reached = design_with(MAIN, wet);
    let said = cures(&reached, "water-reaches-protected");
    assert_eq!(said.len(), 3, "{said:?}");
    // 96.15 ft less the grate at 96.00 ft: 1.8 in, a tenth of an inch less
    assert!(said[0].starts_with("`standing_water = \"1.7 in\"`"), "{said:?}");
    let solved = design_with(MAIN, &[wet, &[("standing_water = \"3.5 in\"", "standing_water = \"1.7 in\"")]].concat());
    assert!(!cures(&solved, "goal-missed").is_empty());
    // with what it then takes the place stays dry: here a stronger pump is put first
    assert!(!says(&solved, "water-reaches-protected"));
    let words = |design: &Design| -> String {
        let sentences = design.verdict.sentences.iter();
        sentences.map(|sentence| sentence.say(sumpwright::quantity::UnitSystem::Us)).collect::<Vec<_>>().join(" ")
    };
    assert!(words(&reached).contains("water reaches `crawl-space vent`"));
    // in the power cut only
    let dark = design_with(MAIN, &[("level = \"97.10 ft\"", "level = \"96.45 ft\"")]);
    assert!(words(&dark).contains("If the power goes at the worst moment, water reaches `crawl-space vent` after"));
    // and at neither
    assert!(!words(&design_with(MAIN, &[])).contains("crawl-space vent"));
}

#[test]
fn identity_no_caution_says_less_than_the_deepest_water_found() {
    let design = design_with(MAIN, &[("level = \"97.10 ft\"", "level = \"96.45 ft\"")]);
    let dark = &storms(&design).power_cut.all_storm;
    let (_, level) = dark.highest().unwrap();
    // the crest over the edge at 96.60 ft needs some water over it
    assert!(level.ft() > 96.60);
    assert!(number(&design, "protected-place-in-reach", "stands_up_to") >= level.m() - 1e-9);
    assert!(message(&design, "protected-place-in-reach").contains("with no power it stands up to"));
}

/// What stands higher than the edge is told in either system of units, however much wider the notch makes that thinner.
#[test]
fn identity_the_deepest_water_is_told_in_either_units() {
    let mut told = 0;
    for width in ["2 ft", "8 ft", "20 ft", "60 ft"] {
        let width: &'static str = format!("spill_width = \"{width}\"").leak();
        let [us, metric] = ["us", "metric"].map(|units| {
            let units: &'static str = format!("units = \"{units}\"").leak();
            let low = ("level = \"97.10 ft\"", "level = \"96.45 ft\"");
            let design = design_with(MAIN, &[low, ("units = \"us\"", units), ("spill_width = \"8 ft\"", width)]);
            message(&design, "protected-place-in-reach").contains("with no power it stands up to")
        });
        assert_eq!(us, metric, "{width}");
        told += usize::from(us);
    }
    assert!(told > 0);
}

/// An edge just below an opening floods it by what stands over the edge: the cure names a level that does not.
#[test]
fn identity_the_edge_named_for_a_place_keeps_it_dry() {
    let id = "power-cut-reaches-protected";
    let at = |edge: &str, width: &str| {
        let edge: &'static str = format!("spills_at = \"{edge}\"").leak();
        let width: &'static str = width.to_owned().leak();
        let low = ("level = \"97.10 ft\"", "level = \"96.45 ft\"");
        design_with(MAIN, &[low, ("spills_at = \"96.60 ft\"", edge), ("spill_width = \"8 ft\"\n", width)])
    };
    for (width, taken) in [("spill_width = \"8 ft\"\n", false), ("", true)] {
        let above = at("96.60 ft", width);
        let said = cures(&above, "protected-place-in-reach")[0].clone();
        assert_eq!(cures(&above, id)[0], said);
        assert_eq!(said.contains("4 ft, taken"), taken, "{said}");
        assert!(!said.contains("too high"), "{said}");
        let level = number_after(&said, "over an edge at ");
        assert!(level < 96.44, "{said}");
        // just below the opening: reached all the same
        let below = at("96.44 ft", width);
        assert!(
            cures(&below, id)[0].contains("the edge of `corner` at 96.44 ft lies too high"),
            "{:?}",
            cures(&below, id)
        );
        // where it is named: dry
        assert!(!says(&at(&format!("{level} ft"), width), id));
    }
}

const NO_SOIL: (&str, &str) = (
    "[soil]\ntexture = \"silty clay loam\"\ninfiltration = \"0.30 in/h\"        # of this lawn, from a ring test\n",
    "",
);
/// Of the soil nothing but its group, so that only the curve number speaks.
const GROUP: (&str, &str) = (NO_SOIL.0, "[soil]\nhydrologic_group = \"D\"\n");

/// The same site with its lawns by something else than the table.
fn lawns_by(from: &'static str, changes: &[(&'static str, &'static str)]) -> Design {
    let with: &'static str = format!("surface = \"lawn\"\ncoefficient_from = \"{from}\"\nslope").leak();
    design_with(MAIN, &[changes, &[("surface = \"lawn\"\nslope", with)]].concat())
}

#[test]
fn identity_a_soil_that_takes_less_does_what_the_design_made_for_it_does() {
    let design = design_with(MAIN, &[]);
    let [run] = storms(&design).soil_takes_less.as_slice() else { panic!() };
    let names: Vec<&str> = run.surfaces.iter().map(|surface| surface.name.as_str()).collect();
    assert_eq!(names, ["lawn", "run-on from next door"]);
    assert!(run.surfaces.iter().all(|surface| surface.by == RunoffFrom::Infiltration));
    assert_eq!(run.outcome, *nested(&lawns_by("infiltration", &[])));
    // more runs off of the day as a whole by curve number, and yet the water stands less deep: both were followed
    let by_number = lawns_by("curve number", &[]);
    assert!(nested(&by_number).runoff > run.outcome.runoff && nested(&by_number).depth() < run.outcome.depth());
    assert!(nested(&by_number).stands() < run.outcome.stands());
    // where nothing but the group is known
    let design = design_with(MAIN, &[GROUP]);
    let [run] = storms(&design).soil_takes_less.as_slice() else { panic!() };
    assert!(
        run.surfaces.iter().all(|surface| surface.by == RunoffFrom::CurveNumber && surface.share > surface.counted)
    );
    assert_eq!(run.outcome, *nested(&lawns_by("curve number", &[GROUP])));
}

#[test]
fn identity_of_a_soil_that_is_not_known_or_takes_more_nothing_is_told() {
    for changes in [vec![NO_SOIL], vec![(NO_SOIL.0, "[soil]\ninfiltration = \"20 in/h\"\n")]] {
        let design = design_with(MAIN, &changes);
        assert!(storms(&design).soil_takes_less.is_empty() && !says(&design, "goal-missed-if-soil-takes-less"));
        assert!(!sumpwright::report::text::sizing_report(&design).contains("If the soil takes less"));
    }
    // a design that is made for it already
    assert!(storms(&lawns_by("infiltration", &[])).soil_takes_less.is_empty());
    assert!(storms(&design_with(CLAY, &[])).soil_takes_less.is_empty());
}

#[test]
fn identity_the_higher_a_curve_number_the_deeper_and_never_shallower_than_what_is_counted() {
    let mut last = Length::ZERO;
    let mut told = 0;
    for number in [30, 50, 60, 65, 70, 75, 80, 90, 98] {
        let with: &'static str = format!("surface = \"lawn\"\ncurve_number = {number}\nslope").leak();
        let design = design_with(MAIN, &[NO_SOIL, ("surface = \"lawn\"\nslope", with)]);
        let counted = nested(&design);
        for run in &storms(&design).soil_takes_less {
            told += 1;
            assert!(run.outcome.depth() >= counted.depth() && run.outcome.depth() >= last, "{number}");
            assert!(run.outcome.peak_inflow > counted.peak_inflow || run.outcome.runoff > counted.runoff);
            assert!(run.outcome.imbalance.abs() < 1e-9);
            last = run.outcome.depth();
        }
    }
    assert!((4..9).contains(&told), "{told}");
}

#[test]
fn identity_a_goal_that_only_the_coefficients_meet_is_a_caution() {
    let id = "goal-missed-if-soil-takes-less";
    // one pump, since another goal may ask for another
    let medium = ("count = 1\n", "count = 1\nuse = \"medium\"\n");
    let design = design_with(MAIN, &[medium]);
    let run = &storms(&design).soil_takes_less[0];
    assert!(design.holds() && design.verdict.goal_met == Some(true) && run.goal_met == Some(false));
    assert_eq!(finding(&design, id).severity, Severity::Caution);
    assert_relative_eq!(number(&design, id, "depth"), run.outcome.depth().m());
    assert!(cures(&design, id)[0].contains("`coefficient_from = \"infiltration\"` for `lawn` and"));
    // told once: the coefficients stand beside it without a warning of their own
    assert!(finding(&design, "coefficients-differ").severity == Severity::Note);
    assert!(cures(&design, "coefficients-differ").is_empty());
    let goal = "standing_water = \"3.5 in\"\nclear_within = \"6 h\"\n";
    let at =
        |inches: f64| design_with(MAIN, &[medium, (goal, format!("standing_water = \"{inches:.4} in\"\n").leak())]);
    let depth = run.outcome.depth().inch();
    assert!(says(&at(depth * 0.999), id));
    let met = at(depth * 1.001);
    assert!(!says(&met, id) && storms(&met).soil_takes_less[0].goal_met == Some(true));
    assert!(finding(&met, "coefficients-differ").severity == Severity::Caution);
    // missed anyway, or nothing asked
    let missed = at(1.0);
    assert!(says(&missed, "goal-missed") && !says(&missed, id) && !missed.holds());
    let silent = design_with(MAIN, &[medium, (goal, "")]);
    assert!(!says(&silent, id) && storms(&silent).soil_takes_less[0].goal_met.is_none());
    // in time alone
    let hours = run.outcome.stands().h();
    let within = |hours: f64| design_with(MAIN, &[medium, (goal, format!("clear_within = \"{hours:.4} h\"\n").leak())]);
    assert!(!says(&within(hours * 1.001), id));
    let steady = storms(&design).design().unwrap().block_stands.stands().h();
    assert!(steady < hours && says(&within(f64::midpoint(steady, hours)), id));
}

#[test]
fn identity_json_says_of_a_soil_that_takes_less_what_the_text_says() {
    for text in [MAIN, MEADOW] {
        let design = design_with(text, &[]);
        let value: serde_json::Value = serde_json::from_str(&sumpwright::report::json::json(&design, None)).unwrap();
        let all = value["in_storms"]["followed"]["soil_takes_less"].as_array().unwrap();
        assert!(all.len() == 1 && all[0]["goal_met"] == false);
        let run = &all[0]["storm"];
        let printed = sumpwright::report::text::sizing_report(&design).replace('\n', " ");
        let line = printed.split("If the soil takes less in the 10 yr storm (").nth(1).unwrap();
        let amount = |name: &str| run[name]["value"].as_f64().unwrap();
        for surface in all[0]["surfaces"].as_array().unwrap() {
            assert!(line.contains(&format!("`{}`", surface["name"].as_str().unwrap())));
            assert!(surface["share"].as_f64().unwrap() > surface["share_counted"].as_f64().unwrap());
        }
        assert!(run["deepest"]["unit"] == "in" && run["peak_inflow"]["unit"] == "gpm");
        assert!(line.contains(&format!(": up to {:.1} in deep, for ", amount("deepest"))), "{line}");
        assert!(line.contains(&format!(
            "; followed peak {:.0} gpm, {} starts, ",
            amount("peak_inflow"),
            run["starts"]
        )));
    }
}

#[test]
fn identity_what_stays_under_a_grate_counts_as_standing_water() {
    let high = design_with(MAIN, &[("rim = \"96.00 ft\"", "rim = \"96.25 ft\"")]);
    let outcome = nested(&high);
    let hollow = outcome.deepest().unwrap();
    assert_relative_eq!(hollow.stays.inch(), 3.0, max_relative = 1e-9);
    assert!(hollow.deepest > hollow.stays && hollow.still_stands);
    assert!(!high.holds() && high.verdict.goal_met == Some(false) && says(&high, "grate-above-low-spot"));
    assert!(
        cures(&high, "goal-missed").iter().any(|cure| cure.contains("lower by 3 in")),
        "{:?}",
        cures(&high, "goal-missed")
    );
    // level with the lowest point nothing stays
    assert_eq!(nested(&design_with(MAIN, &[])).deepest().unwrap().stays, Length::ZERO);
}

#[test]
fn identity_a_basin_lower_than_its_pipes_and_grates_can_be_followed() {
    // the lid below the grate, and the crowns of drains above it
    for rim in ["rim = \"95.9 ft\"", "rim = \"95.5 ft\""] {
        let low = design_with(MAIN, &[("rim = \"96.40 ft\"", rim)]);
        let outcome = nested(&low);
        assert!(outcome.imbalance.abs() < 1e-9 && outcome.depth() > Length::ZERO, "{rim}");
    }
}

/// Water that stays less than an inch below a place is told of, and the notch that nobody measured; grates are then not too
/// large.
#[test]
fn regress_a_place_that_stays_dry_by_little_is_told() {
    let id = "protected-place-by-little";
    let strong = ("count = 1\n", "count = 1\nuse = \"strong\"\n");
    let dark = |design: &Design| design.in_storms.as_ref().unwrap().power_cut.all_storm.highest().unwrap().1;
    let water = dark(&design_with(MAIN, &[strong]));
    let at = |above: Length, notch: (&'static str, &'static str)| {
        let level = format!("level = \"{:.4} ft\"", (water + above).ft());
        design_with(MAIN, &[strong, ("level = \"97.10 ft\"", level.leak()), notch])
    };
    let entered = ("spill_width = \"8 ft\"", "spill_width = \"8 ft\"");
    let near = at(Length::from_inch(0.5), entered);
    let said = message(&near, id);
    assert!(said.contains("without power water stays only 0.5 in below `crawl-space vent`"), "{said}");
    assert!(!cures(&near, id).iter().any(|cure| cure.contains("spill_width")));
    let verdict: Vec<String> = near.verdict.sentences.iter().map(|part| part.say(UnitSystem::Us)).collect();
    assert!(
        verdict.iter().any(|part| part.starts_with("Water stays only 0.5 in below `crawl-space vent`")),
        "{verdict:?}"
    );
    assert!(!says(&at(Length::from_inch(1.1), entered), id));
    // where water gets there that is said instead
    let reached = at(Length::from_inch(-0.5), entered);
    assert!(!says(&reached, id) && says(&reached, "power-cut-reaches-protected"));
    // over a notch of 4 ft, taken, the water stands higher than over 8 ft
    let water = dark(&design_with(MAIN, &[strong, ("spill_width = \"8 ft\"\n", "")]));
    let level = format!("level = \"{:.4} ft\"", (water + Length::from_inch(0.5)).ft());
    let taken = design_with(MAIN, &[strong, ("level = \"97.10 ft\"", level.leak()), ("spill_width = \"8 ft\"\n", "")]);
    assert!(cures(&taken, id)[0].contains("measure the notch that `corner` runs over, `spill_width`: 4 ft is taken"));
    assert!(message(&taken, id).contains("0.5 in"));
}

/// Where a harder case floods with the pump that is used, the stronger of those that would do is named; not where the owner
/// chose, and not where it would not do.
#[test]
fn regress_a_stronger_candidate_is_named_where_a_harder_case_floods() {
    let id = "stronger-candidate";
    let strong = ("[\"100 gpm\", \"10 ft\"]]\nstarts_per_hour = 12", "[\"100 gpm\", \"10 ft\"]]\nstarts_per_hour = 24");
    let design = design_with(MAIN, &[strong]);
    assert_eq!(design.pump().unwrap().name, "medium");
    assert!(says(&design, "goal-missed-if-soil-takes-less"));
    let said = message(&design, id);
    assert!(said.starts_with("`strong` would do too and brings 77 gpm against 50 gpm"), "{said}");
    assert!(cures(&design, id)[0].contains("use = \"strong\""));
    assert!(!says(&design_with(MAIN, &[]), id));
    let medium = ("count = 1\n", "count = 1\nuse = \"medium\"\n");
    assert!(!says(&design_with(MAIN, &[strong, medium]), id));
}
