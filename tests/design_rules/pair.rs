//! Two pumps.

use crate::given::{TWO, cures, design_with, finding, message, number, says};
use approx::assert_relative_eq;
use sumpwright::design::Severity;
use sumpwright::pump_selection::Together;
use sumpwright::quantity::{Amount, Duration, Flow, Volume};

#[test]
fn identity_fewer_valves_than_pumps_is_a_stop() {
    let valve = "check_valve = { kind = \"swing\", above_floor = \"50 in\"";
    let one = format!("{valve}, count = 1");
    let design = design_with(TWO, &[(valve, one.as_str())]);
    assert_eq!(finding(&design, "valves-fewer-than-pumps").severity, Severity::Stop);
    assert!(message(&design, "valves-fewer-than-pumps").contains("one check valve"));
    let none = ("check_valve = { kind = \"swing\", above_floor = \"50 in\" }\n", "");
    let design = design_with(TWO, &[none]);
    assert!(message(&design, "valves-fewer-than-pumps").contains("no check valve"));
    // said once
    assert!(!says(&design, "check-valve-missing"));
    assert!(!says(&design_with(TWO, &[]), "valves-fewer-than-pumps"));
}

#[test]
fn identity_the_common_line_costs_what_is_said() {
    let design = design_with(TWO, &[]);
    let pair = design.pump().unwrap().pair.clone().unwrap();
    let half_way = &pair.levels[1];
    let (alone, both) = (half_way.alone.unwrap(), half_way.together.line_flow().unwrap());
    assert!(both > alone && both < alone * 2.0);
    assert_relative_eq!(number(&design, "common-line", "cost"), (alone * 2.0 - both).m3s(), max_relative = 1e-9);
    // each branch lies on the pump's curve, and together they are the flow out of the line
    let Together::Meets { branches, line_flow, residual, .. } = &half_way.together else { panic!("{half_way:?}") };
    assert!(residual.m().abs() < 1e-8);
    let sum: Flow = branches.iter().map(|branch| branch.line_flow).sum();
    assert_relative_eq!(sum.m3s(), line_flow.m3s(), max_relative = 1e-12);
    assert!(message(&design, "common-line").contains(&Amount::of(both).show(sumpwright::quantity::UnitSystem::Us)));
}

#[test]
fn identity_a_narrow_common_line_is_a_caution_and_the_size_offered_is_one() {
    let narrow = [
        (
            "[[discharge.run]]\nmaterial = \"PVC schedule 40\"\nsize = \"2 in\"\nlength = \"75 ft\"",
            "[[discharge.run]]\nmaterial = \"PVC schedule 40\"\nsize = \"1-1/4 in\"\nlength = \"75 ft\"",
        ),
        ("outlet_size = \"1-1/2 in\"\n", ""),
    ];
    let design = design_with(TWO, &narrow);
    assert_eq!(finding(&design, "common-line").severity, Severity::Caution);
    let cure = &cures(&design, "common-line")[0];
    let size = cure.split(" pipe").next().unwrap();
    let to = format!("[[discharge.run]]\nmaterial = \"PVC schedule 40\"\nsize = \"{size}\"\nlength = \"75 ft\"");
    let cured = design_with(TWO, &[(narrow[0].0, to.as_str()), narrow[1]]);
    assert_eq!(finding(&cured, "common-line").severity, Severity::Note, "{cure}");
}

/// A second kind of pump behind the first.
fn with_second(curve: &str) -> String {
    let second = format!(
        "\n[[pump]]\nname = \"old pump\"\ncurve = {curve}\nstarts_per_hour = 15\nlowest_level = \"5 in\"\nheight = \"13 in\"\n"
    );
    TWO.replace("count = 2", "count = 2\nuse = \"court pump\"\nlag = \"old pump\"") + &second
}

#[test]
fn identity_a_weak_pump_is_held_shut_by_a_strong_one() {
    let weak = with_second("[[\"0 gpm\", \"8.2 ft\"], [\"15 gpm\", \"7 ft\"], [\"30 gpm\", \"4.5 ft\"]]");
    let design = design_with(&weak, &[]);
    assert_eq!(finding(&design, "pump-shut-out").about.as_deref(), Some("old pump"));
    let pair = design.pump().unwrap().pair.clone().unwrap();
    assert!(!pair.alike);
    // then both deliver what the strong one does alone
    assert_relative_eq!(
        pair.levels[1].together.line_flow().unwrap().gpm(),
        pair.levels[1].alone.unwrap().gpm(),
        max_relative = 1e-6
    );
    let strong = with_second(
        "[[\"0 gpm\", \"26 ft\"], [\"20 gpm\", \"23 ft\"], [\"45 gpm\", \"12 ft\"], [\"55 gpm\", \"6 ft\"]]",
    );
    assert!(!says(&design_with(&strong, &[]), "pump-shut-out"));
}

#[test]
fn identity_the_second_pump_starts_as_often_as_its_floats_let_it() {
    let design = design_with(TWO, &[]);
    let pair = design.pump().unwrap().pair.clone().unwrap();
    // V = t Q / 4 with Q what the second one adds: USACE EI 11C201 (1997)
    let cycle = pair.live * 4.0 / pair.adds.unwrap();
    assert_relative_eq!(pair.worst_starts.unwrap(), Duration::from_h(1.0) / cycle, max_relative = 1e-9);
    // 20 in of a 36 in basin: 4.406 gal an inch, less nothing of the pumps, which are 13 in high
    assert_relative_eq!(pair.live.gal(), 20.0 * 4.406_39, max_relative = 1e-4);
    let close = [("lag_on = \"38 in\"", "lag_on = \"29 in\""), ("lag_off = \"18 in\"", "lag_off = \"27 in\"")];
    let design = design_with(TWO, &close);
    assert!(says(&design, "second-pump-starts-often"));
    let cure = &cures(&design, "second-pump-starts-often")[0];
    let on = cure.trim_start_matches("`lag_on` at ").split(" above").next().unwrap();
    let on = format!("lag_on = \"{on}\"");
    assert!(!says(&design_with(TWO, &[(close[0].0, on.as_str()), close[1]]), "second-pump-starts-often"), "{cure}");
    let missing = [("lag_on = \"38 in\"\n", ""), ("lag_off = \"18 in\"\n", "")];
    assert!(says(&design_with(TWO, &missing), "lag-level-missing"));
}

#[test]
fn identity_taking_turns_halves_the_starts_of_each() {
    let turns = design_with(TWO, &[]).pump().unwrap().cycle.clone().unwrap();
    let none = design_with(TWO, &[("alternate = true", "alternate = false")]);
    let cycle = none.pump().unwrap().cycle.clone().unwrap();
    assert_relative_eq!(turns.worst_starts, cycle.worst_starts, max_relative = 1e-12);
    assert_relative_eq!(turns.worst_starts_each() * 2.0, cycle.worst_starts_each(), max_relative = 1e-12);
    assert!(says(&none, "second-pump-idle"));
    // both bodies take their room between the floats: 3 in of two 13 in pumps of 7 in
    let body = std::f64::consts::FRAC_PI_4 * 7.0 * 7.0 * 3.0 / 231.0;
    assert_relative_eq!(turns.live.gal(), 18.0 * 4.406_39 - 2.0 * body, max_relative = 1e-4);
    assert!(turns.live > Volume::ZERO);
}

#[test]
fn identity_both_pumps_answer_for_the_flow_asked_for() {
    let asked = |flow: &str| {
        let to = format!("return_period = \"10 yr\"\nflow = \"{flow}\"");
        design_with(TWO, &[("return_period = \"10 yr\"", to.as_str())])
    };
    assert!(!says(&asked("60 gpm"), "delivers-less-than-asked"));
    let design = asked("80 gpm");
    assert!(says(&design, "delivers-less-than-asked"));
    // the longest run is that of both
    let longest = asked("60 gpm").pump().unwrap().longest_run.unwrap();
    let run = |feet: f64| {
        let scale = feet / 75.0;
        let (a, b) = (
            format!("{{ at = \"{} ft\", invert = \"46.40 ft\"", 18.0 * scale),
            format!("{{ at = \"{} ft\", invert = \"47.60 ft\"", 36.0 * scale),
        );
        let (c, length) = (format!("{{ at = \"{feet} ft\", invert = \"50.00 ft\""), format!("length = \"{feet} ft\""));
        design_with(
            TWO,
            &[
                ("return_period = \"10 yr\"", "return_period = \"10 yr\"\nflow = \"60 gpm\""),
                ("{ at = \"18 ft\", invert = \"46.40 ft\"", a.as_str()),
                ("{ at = \"36 ft\", invert = \"47.60 ft\"", b.as_str()),
                ("{ at = \"75 ft\", invert = \"50.00 ft\"", c.as_str()),
                ("length = \"75 ft\"", length.as_str()),
            ],
        )
    };
    assert!(!says(&run(longest.new.ft().floor()), "delivers-less-than-asked"));
    assert!(says(&run(longest.new.ft().floor() + 2.0), "delivers-less-than-asked"));
}

#[test]
fn identity_the_stronger_of_two_decides_riser_and_wire() {
    let strong = with_second("[[\"0 gpm\", \"34 ft\"], [\"20 gpm\", \"31 ft\"], [\"40 gpm\", \"26 ft\"], [\"60 gpm\", \"17 ft\"], [\"70 gpm\", \"11 ft\"]]\nvolts = 115\nrunning_amps = 15")
        .replace("distance = \"70 ft\"", "distance = \"150 ft\"");
    let design = design_with(&strong, &[]);
    let pump = design.pump().unwrap();
    assert_eq!(pump.name, "court pump");
    let alone = pump.pair.clone().unwrap().levels.last().unwrap().other_alone.unwrap();
    let riser = &pump.surge.clone().unwrap().pipes[0];
    // 1-1/2 in schedule 40: 0.4085 gpm/d^2
    assert_relative_eq!(riser.velocity.fts(), 0.408_5 * alone.gpm() / (1.61 * 1.61), max_relative = 1e-3);
    assert!(message(&design, "velocity-above-limit").contains("riser"));
    let drop = pump.power.clone().unwrap().drop.unwrap();
    assert_eq!(drop.pump, "old pump");
    assert!(message(&design, "voltage-drop").contains("`old pump`"));
    let wire = format!("wire = \"{}\"", drop.enough.unwrap().name);
    assert!(!says(&design_with(&strong, &[("wire = \"12 AWG\"", wire.as_str())]), "voltage-drop"));
    // it is no candidate that was turned down
    let standing = design.pumps.iter().zip(&design.standings).find(|(pump, _)| pump.name == "old pump").unwrap().1;
    assert!(standing.reason.say(sumpwright::quantity::UnitSystem::Us).contains("second pump"));
}

#[test]
fn identity_without_a_level_to_join_at_the_second_is_a_standby() {
    let missing = [("lag_on = \"38 in\"\n", ""), ("lag_off = \"18 in\"\n", "")];
    let design = design_with(TWO, &missing);
    let pump = design.pump().unwrap();
    // nothing counts on both
    assert_eq!(pump.all_pumped(), Some(pump.point(sumpwright::design::WaterLevel::Mean).unwrap().line_flow));
    assert!(pump.pair.as_ref().unwrap().levels[1].together.line_flow().unwrap() > pump.all_pumped().unwrap());
    assert!(message(&design, "lag-level-missing").contains("standby"));
}

#[test]
fn identity_two_that_run_down_to_the_off_level_stop() {
    // more than one takes at its off level, less than both do
    let inflow = "\n[[inflow]]\nname = \"spring\"\nflow = \"44 gpm\"\ndrains_to = \"basin\"\n";
    let together = TWO.replace("lag_off = \"18 in\"", "lag_off = \"10 in\"") + inflow;
    assert!(!says(&design_with(&together, &[]), "never-stops"));
    let higher = TWO.to_owned() + inflow;
    let design = design_with(&higher, &[]);
    assert!(says(&design, "never-stops") || says(&design, "pump-below-steady-inflow"));
}

#[test]
fn identity_pumps_that_stop_together_share_their_starts() {
    // the second runs down to the off level with the first
    let same = ("lag_off = \"18 in\"\n", "");
    let design = design_with(TWO, &[same]);
    let pair = design.pump().unwrap().pair.clone().unwrap();
    assert!(pair.both_stop);
    let level = &pair.levels[1];
    let (alone, both) = (level.alone.unwrap(), level.together.line_flow().unwrap());
    // filled up to 28 in with both at rest, to 38 in with one running, and drawn down from there by both
    let body = std::f64::consts::FRAC_PI_4 * 7.0 * 7.0 * 3.0 / 231.0;
    let (first, second) = (18.0 * 4.406_39 - 2.0 * body, 10.0 * 4.406_39);
    let cycle =
        |inflow: f64| first / inflow + second / (inflow - alone.gpm()) + (first + second) / (both.gpm() - inflow);
    let shortest = (1..2000)
        .map(|step| alone.gpm() + (both.gpm() - alone.gpm()) * f64::from(step) / 2000.0)
        .map(cycle)
        .fold(f64::INFINITY, f64::min);
    assert_relative_eq!(pair.worst_starts.unwrap(), 60.0 / shortest, max_relative = 1e-4);
    // and that is what the few numbers say of each
    assert_relative_eq!(
        design.pump().unwrap().worst_starts_each().unwrap(),
        pair.worst_starts.unwrap().max(design.pump().unwrap().cycle.clone().unwrap().worst_starts_each())
    );
    // with a float of its own it starts by itself
    assert!(!design_with(TWO, &[]).pump().unwrap().pair.clone().unwrap().both_stop);
    // close together both start too often, and the higher start that is offered is enough
    let close = [same, ("lag_on = \"38 in\"", "lag_on = \"15 in\""), ("\non = \"28 in\"", "\non = \"14 in\"")];
    let design = design_with(TWO, &close);
    assert_eq!(finding(&design, "second-pump-starts-often").severity, Severity::Stop);
    assert!(message(&design, "second-pump-starts-often").contains("both pumps start"));
    let cure = &cures(&design, "second-pump-starts-often")[0];
    let on = cure.trim_start_matches("`lag_on` at ").split(" above").next().unwrap();
    let on = format!("lag_on = \"{on}\"");
    let cured = design_with(TWO, &[close[0], ("lag_on = \"38 in\"", on.as_str()), close[2]]);
    assert!(!says(&cured, "second-pump-starts-often"), "{cure}");
}

#[test]
fn identity_a_pump_that_droops_cannot_join_one_that_stands_above_its_shut_off() {
    // running it could hold its own; it starts from 5 ft, and the first one alone puts more on its valve
    let droops = with_second(
        "[[\"0 gpm\", \"5 ft\"], [\"15 gpm\", \"22 ft\"], [\"30 gpm\", \"19 ft\"], [\"55 gpm\", \"6 ft\"]]",
    );
    let design = design_with(&droops, &[]);
    let level = design.pump().unwrap().pair.clone().unwrap().levels[1].clone();
    let Together::Meets { branches, line_flow, junction, .. } = &level.together else { panic!("{level:?}") };
    assert!(junction.ft() > 6.5 && junction.ft() < 22.0);
    assert!(branches[1].line_flow <= Flow::ZERO);
    assert_relative_eq!(line_flow.gpm(), level.alone.unwrap().gpm(), max_relative = 1e-6);
    assert!(message(&design, "pump-shut-out").contains("gives 5.0 ft at shut-off, from which it has to start"));
    // from higher than that it joins
    let starts = with_second(
        "[[\"0 gpm\", \"21 ft\"], [\"15 gpm\", \"22 ft\"], [\"30 gpm\", \"19 ft\"], [\"55 gpm\", \"6 ft\"]]",
    );
    assert!(!says(&design_with(&starts, &[]), "pump-shut-out"));
}

#[test]
fn identity_each_pump_stands_at_its_own_height() {
    // the relief hole and riser's foot of the second follow its own height: alike in all else, it delivers another flow
    let curve = "[[\"0 gpm\", \"26 ft\"], [\"15 gpm\", \"23.5 ft\"], [\"30 gpm\", \"19 ft\"], [\"45 gpm\", \"12.5 ft\"], [\"55 gpm\", \"6.5 ft\"]]";
    let taller = with_second(curve)
        .replace("lowest_level = \"5 in\"\nheight = \"13 in\"\n", "lowest_level = \"5 in\"\nheight = \"20 in\"\n");
    let design = design_with(&taller, &[]);
    let level = design.pump().unwrap().pair.clone().unwrap().levels[1].clone();
    let swapped =
        taller.replace("use = \"court pump\"\nlag = \"old pump\"", "use = \"old pump\"\nlag = \"court pump\"");
    let other = design_with(&swapped, &[]).pump().unwrap().pair.clone().unwrap().levels[1].clone();
    assert_relative_eq!(level.other_alone.unwrap().gpm(), other.alone.unwrap().gpm(), max_relative = 1e-9);
    assert_relative_eq!(level.alone.unwrap().gpm(), other.other_alone.unwrap().gpm(), max_relative = 1e-9);
}

#[test]
fn identity_of_two_wires_the_one_nearer_to_its_limit_is_told() {
    let curve = "[[\"0 gpm\", \"26 ft\"], [\"30 gpm\", \"19 ft\"], [\"55 gpm\", \"6.5 ft\"]]";
    let with = |amps: &str| {
        let second = with_second(curve);
        let head = second.rfind("name = \"old pump\"").unwrap();
        let (before, after) = second.split_at(head);
        format!(
            "{before}{}",
            after.replace("name = \"old pump\"", &format!("name = \"old pump\"\nvolts = 115\n{amps}"))
        )
    };
    let of = |amps: &str| design_with(&with(amps), &[]).pump().unwrap().power.clone().unwrap().drop.unwrap().pump;
    // starts hard, runs lightly; and the other way round, far beyond the limit of running
    assert_eq!(of("running_amps = 2\nstarting_amps = 60"), "old pump");
    assert_eq!(of("running_amps = 30\nstarting_amps = 31"), "old pump");
    assert_eq!(of("running_amps = 2\nstarting_amps = 5"), "court pump");
}

#[test]
fn identity_each_drain_hole_takes_its_share() {
    // one above each valve: they empty the line twice as fast as one, and both leak while both run
    let hole = ("relief_hole =", "drain_hole = { diameter = \"1/4 in\", above_floor = \"54 in\" }\nrelief_hole =");
    let design = design_with(TWO, &[hole]);
    let one = design_with(
        TWO,
        &[hole, ("count = 2\nlag_on = \"38 in\"\nlag_off = \"18 in\"\nalternate = true", "count = 1")],
    );
    let (two, one) = (design.rest.drain_time.unwrap(), one.rest.drain_time.unwrap());
    assert_relative_eq!(one / two, 2.0, max_relative = 1e-9);
    let level = design.pump().unwrap().pair.clone().unwrap().levels[1].clone();
    let Together::Meets { branches, line_flow, .. } = &level.together else { panic!("{level:?}") };
    // what goes through the pumps, less both kinds of leak, is what leaves
    let moved: Flow = branches.iter().map(|branch| branch.pump_flow - branch.leak).sum();
    assert!(moved > *line_flow);
    let without = design_with(TWO, &[]).pump().unwrap().pair.clone().unwrap().levels[1].together.line_flow().unwrap();
    assert!(*line_flow < without);
}

#[test]
fn identity_a_second_curve_that_begins_late_is_not_guessed_at() {
    // the first one pushes it back before its first point
    let late = with_second("[[\"40 gpm\", \"9 ft\"], [\"55 gpm\", \"6 ft\"]]");
    let design = design_with(&late, &[]);
    let level = design.pump().unwrap().pair.clone().unwrap().levels[1].clone();
    assert!(matches!(level.together, Together::BeforeFirstPoint { pump: 1 }), "{level:?}");
    assert_eq!(finding(&design, "together-off-the-curve").about.as_deref(), Some("old pump"));
}

#[test]
fn identity_a_pump_that_droops_starts_at_its_own_level_and_runs_on() {
    // at 38 in the valve opens against 8.2 ft and a leak's worth more; lower down it would not, but it runs by then
    let droops = with_second(
        "[[\"0 gpm\", \"8.5 ft\"], [\"15 gpm\", \"22 ft\"], [\"30 gpm\", \"19 ft\"], [\"55 gpm\", \"6 ft\"]]",
    );
    let design = design_with(&droops, &[]);
    assert!(!says(&design, "pump-shut-out"));
    for level in &design.pump().unwrap().pair.clone().unwrap().levels {
        let Together::Meets { branches, .. } = &level.together else { panic!("{level:?}") };
        assert!(branches.iter().all(|branch| branch.line_flow > Flow::ZERO), "{level:?}");
    }
    // a first pump past the end of its curve brings at least so much, and holds a weak one shut all the same
    let weak = with_second(
        "[[\"0 gpm\", \"5 ft\"], [\"15 gpm\", \"22 ft\"], [\"30 gpm\", \"19 ft\"], [\"55 gpm\", \"6 ft\"]]",
    );
    let cut = ("[\"45 gpm\", \"12.5 ft\"], [\"55 gpm\", \"6.5 ft\"]]", "[\"42 gpm\", \"14 ft\"]]");
    let level = design_with(&weak, &[cut]).pump().unwrap().pair.clone().unwrap().levels[1].clone();
    assert!(matches!(level.together, Together::BeyondLastPoint { pump: 0, .. }), "{level:?}");
}

#[test]
fn identity_the_higher_float_offered_is_just_enough() {
    let with = |lag_on: &str, starts: &str| {
        let (on, starts) = (format!("lag_on = \"{lag_on}\""), format!("starts_per_hour = {starts}"));
        let same = ("lag_off = \"18 in\"\n", "");
        design_with(TWO, &[same, ("lag_on = \"38 in\"", on.as_str()), ("starts_per_hour = 15", starts.as_str())])
    };
    let offered = |lag_on: &str, starts: &str| -> f64 {
        let cure = cures(&with(lag_on, starts), "second-pump-starts-often")[0].clone();
        cure.trim_start_matches("`lag_on` at ")
            .split(" in")
            .next()
            .unwrap()
            .parse()
            .unwrap_or_else(|_| panic!("{cure}"))
    };
    for (lag_on, starts) in [("29 in", "8"), ("30 in", "5"), ("38 in", "4")] {
        let on = offered(lag_on, starts);
        assert!(!says(&with(&format!("{on} in"), starts), "second-pump-starts-often"), "{on}");
        // an inch and a half lower is not
        assert!(
            on - 1.5 < 28.0 || says(&with(&format!("{} in", on - 1.5), starts), "second-pump-starts-often"),
            "{on}"
        );
    }
    // where no float is high enough, a wider basin with the float where the cure puts it
    let design = with("38 in", "2");
    let cure = &cures(&design, "second-pump-starts-often")[0];
    assert!(cure.starts_with("a wider basin: an inside diameter of "), "{cure}");
    let diameter = cure
        .trim_start_matches("a wider basin: an inside diameter of ")
        .split(" (")
        .next()
        .unwrap()
        .split(" with")
        .next()
        .unwrap();
    let on = cure.split("`lag_on` at ").nth(1).unwrap().split(" above").next().unwrap();
    let (diameter, on) = (format!("inside_diameter = \"{diameter}\""), format!("lag_on = \"{on}\""));
    let cured = design_with(
        TWO,
        &[
            ("lag_off = \"18 in\"\n", ""),
            ("lag_on = \"38 in\"", on.as_str()),
            ("starts_per_hour = 15", "starts_per_hour = 2"),
            ("inside_diameter = \"36 in\"", diameter.as_str()),
        ],
    );
    assert!(!says(&cured, "second-pump-starts-often"), "{cure}");
}

#[test]
fn identity_a_second_pump_that_takes_its_turn_must_stand_alone() {
    let curve = "[[\"0 gpm\", \"24 ft\"], [\"15 gpm\", \"21 ft\"], [\"30 gpm\", \"17 ft\"], [\"45 gpm\", \"10 ft\"]]";
    let both = with_second(curve);
    let last = both.rfind("lowest_level = \"5 in\"").unwrap();
    let thirsty = format!("{}{}", &both[..last], both[last..].replace("\"5 in\"", "\"16 in\""));
    // the off level stands at 10 in, its own at 18 in
    assert!(thirsty.contains("lowest_level = \"16 in\"") && thirsty.contains("lowest_level = \"5 in\""));
    let design = design_with(&thirsty, &[]);
    let stop = finding(&design, "second-pump-fails-alone");
    assert_eq!((stop.severity, stop.about.as_deref()), (Severity::Stop, Some("old pump")));
    assert!(message(&design, "second-pump-fails-alone").contains("in its turn"));
    // one that only joins stops at 18 in, and that is enough
    let joins = design_with(&thirsty, &[("alternate = true", "alternate = false")]);
    assert!(!says(&joins, "second-pump-fails-alone") && !says(&joins, "second-off-level-too-low"));
    let lower = [("alternate = true", "alternate = false"), ("lag_off = \"18 in\"", "lag_off = \"12 in\"")];
    let design = design_with(&thirsty, &lower);
    assert_eq!(finding(&design, "second-off-level-too-low").severity, Severity::Stop);
    assert!(cures(&design, "second-off-level-too-low")[0].contains("16 in"));
    // a standby that cannot lift the water is none
    let weak = with_second("[[\"0 gpm\", \"6 ft\"], [\"15 gpm\", \"5 ft\"], [\"30 gpm\", \"3 ft\"]]");
    let standby =
        [("lag_on = \"38 in\"\n", ""), ("lag_off = \"18 in\"\n", ""), ("alternate = true", "alternate = false")];
    let design = design_with(&weak, &standby);
    assert!(message(&design, "second-pump-fails-alone").contains("in the first one's stead"));
    assert!(design.verdict.sentences.iter().all(|sentence| !format!("{sentence:?}").contains("not known")));
    // two of a kind are judged once
    assert!(!says(&design_with(TWO, &[]), "second-pump-fails-alone"));
}
