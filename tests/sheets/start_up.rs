//! The start-up sheet, and what was measured at the first start.

use crate::{EXAMPLES, Made, changed};
use approx::assert_relative_eq;
use std::cmp::Ordering;
use sumpwright::design::{Found, Severity, WaterLevel};
use sumpwright::quantity::{Duration, Volume};
use sumpwright::report::papers::Paper;
use sumpwright::report::text::sizing_report;
use sumpwright::site::{self, NoFiles};

#[test]
fn identity_a_run_by_hand() {
    let made = Made::example("cut-bank");
    let expected = made.design.start_up.as_ref().unwrap();
    let pump = made.design.pump().unwrap();
    // 30 in across, 18 in: 706.858 in2 x 18 in = 12723 in3 = 55.08 gal; a pump of 7 in across stands in its lowest 6 in:
    // 230.9 in3 = 1.00 gal; 54.08 gal
    assert_relative_eq!(expected.run.volume.gal(), 54.08, epsilon = 0.01);
    // as long as at the flow half-way, within a part in two hundred; between those at the flows at both ends
    let at = |level: WaterLevel| expected.run.volume / pump.point(level).unwrap().line_flow;
    let time = expected.run.time.value;
    assert_relative_eq!(time.s(), pump.cycle.as_ref().unwrap().shortest_run.s(), max_relative = 5e-3);
    assert!(at(WaterLevel::On) < time && time < at(WaterLevel::Off));
    // Simpson's rule over 1/Q at the three levels, the small part beside the pump left out: 54.08 gal
    let inverse = |level: WaterLevel| 1.0 / pump.point(level).unwrap().line_flow.m3s();
    let simpson = (inverse(WaterLevel::On) + 4.0 * inverse(WaterLevel::Mean) + inverse(WaterLevel::Off)) / 6.0;
    assert_relative_eq!(time.s(), expected.run.volume.m3() * simpson, max_relative = 1e-3);
    // a bucket of 5 gal at 50 gpm: 6 s
    let fills = made.job.first_start.bucket_fills_in.unwrap();
    assert_relative_eq!(fills.value.s(), 60.0 * 5.0 / expected.flow.value.gpm(), max_relative = 1e-9);
    // what the valve keeps from running back is what the design says
    assert_relative_eq!(expected.rise.value.m(), pump.cycle.as_ref().unwrap().rise.m(), max_relative = 1e-9);
    // wet-season water makes it longer: V / (Q - q)
    let (steady, longer) = expected.steady.unwrap();
    let by_hand = expected.run.volume / (expected.flow.value - steady);
    assert_relative_eq!(longer.unwrap().s(), by_hand.s(), max_relative = 5e-3);
}

#[test]
fn identity_each_band_holds_its_figure_and_is_made_of_its_parts() {
    for name in EXAMPLES {
        let made = Made::example(name);
        let Some(expected) = &made.design.start_up else { panic!("{name} has a first start") };
        let run = &expected.run;
        let (low, high) = (run.time.low.unwrap(), run.time.high.unwrap());
        assert!(low < run.time.value && run.time.value < high, "{name}");
        let side = |pick: fn(f64, f64) -> f64| -> f64 {
            let squares: f64 = run
                .parts
                .iter()
                .map(|part| pick(pick(part.changes.0.unwrap(), part.changes.1.unwrap()), 0.0))
                .map(|change| change * change)
                .sum();
            squares.sqrt()
        };
        assert_relative_eq!((run.time.value - low).s(), side(f64::min), max_relative = 1e-9);
        assert_relative_eq!((high - run.time.value).s(), side(f64::max), max_relative = 1e-9);
        assert!(expected.flow.low.unwrap() < expected.flow.value && expected.flow.value < expected.flow.high.unwrap());
        assert!(expected.rise.low.unwrap() <= expected.rise.value && expected.rise.value < expected.rise.high.unwrap());
        assert!(run.parts.iter().chain(&expected.flow_parts).all(|part| !part.source.is_empty()));
        let fills = made.job.first_start.bucket_fills_in.unwrap();
        assert!(fills.low.unwrap() < fills.value && fills.value < fills.high.unwrap());
    }
}

#[test]
fn identity_a_wider_range_makes_a_wider_band() {
    let usual = Made::example("cut-bank");
    let wide = Made::with("cut-bank", &[("[pumping]\n", "[margins]\nlift = \"3 ft\"\n\n[pumping]\n")]);
    let spread = |made: &Made| {
        let band = &made.design.start_up.as_ref().unwrap().run.time;
        band.high.unwrap() - band.low.unwrap()
    };
    assert!(spread(&wide) > spread(&usual));
    // a lift that no pump reaches at one end: the band is open there, and says so
    let open = Made::with("cut-bank", &[("[pumping]\n", "[margins]\nlift = \"29 ft\"\n\n[pumping]\n")]);
    assert_eq!(open.design.start_up.as_ref().unwrap().run.time.high, None);
    assert!(open.paper(Paper::StartUp).contains("not known"));
}

/// The lawn below the bank with something measured at its first start.
fn measured(lines: &str) -> Made {
    Made::with("cut-bank", &[("[[catchment]]\n", &format!("[measured.start_up]\n{lines}\n[[catchment]]\n"))])
}

fn seconds(time: Duration) -> String {
    format!("\"{} s\"", time.s())
}

#[test]
fn identity_a_run_is_as_designed_slower_or_faster_at_the_ends_of_its_band() {
    let made = Made::example("cut-bank");
    let time = made.design.start_up.as_ref().unwrap().run.time;
    for (took, place, id) in [
        (time.value, Ordering::Equal, "start-up-as-designed"),
        (time.low.unwrap() * 1.001, Ordering::Equal, "start-up-as-designed"),
        (time.low.unwrap() * 0.999, Ordering::Less, "start-up-faster"),
        (time.high.unwrap() * 0.999, Ordering::Equal, "start-up-as-designed"),
        (time.high.unwrap() * 1.001, Ordering::Greater, "start-up-slower"),
    ] {
        let made = measured(&format!("empties_in = {}\n", seconds(took)));
        assert!(made.says(id), "{id} at {took:?}");
        let compared = &made.design.start_up.as_ref().unwrap().compared[0];
        assert_eq!(compared.place, place);
        // the flow that the time implies: what stands between the floats over the time
        let Found::Run { expected, .. } = &compared.found else { panic!("a run") };
        let flow = compared.found.flow().unwrap();
        assert_relative_eq!((flow * took).gal(), expected.volume.gal(), max_relative = 1e-9);
        let finding = made.design.findings.iter().find(|finding| finding.id == id).unwrap();
        let wanted = if place == Ordering::Equal { Severity::Note } else { Severity::Caution };
        assert_eq!(finding.severity, wanted);
        assert_eq!(finding.cures.is_empty(), place == Ordering::Equal);
        // the report says it, and has it among what was measured
        let report = sizing_report(&made.design);
        assert!(report.contains(id) && report.contains("first start: empties in"));
        assert!(made.paper(Paper::StartUp).contains("The run took"));
    }
}

#[test]
fn identity_a_worn_pump_is_found_out() {
    // the same yard with a pump that has lost three tenths of its head: its points by hand
    let worn = Made::with(
        "cut-bank",
        &[
            (
                "[[\"0 gpm\", \"31 ft\"], [\"20 gpm\", \"27 ft\"], [\"40 gpm\", \"20.5 ft\"], [\"50 gpm\", \"16 ft\"], [\"60 gpm\", \"10 ft\"]]",
                "[[\"0 gpm\", \"21.7 ft\"], [\"20 gpm\", \"18.9 ft\"], [\"40 gpm\", \"14.35 ft\"], [\"50 gpm\", \"11.2 ft\"], [\"60 gpm\", \"7 ft\"]]",
            ),
            ("count = 1", "count = 1\nuse = \"medium\""),
        ],
    );
    let took = worn.design.start_up.as_ref().unwrap().run.time.value;
    let found = measured(&format!("empties_in = {}\n", seconds(took)));
    let compared = &found.design.start_up.as_ref().unwrap().compared[0];
    let Found::Run { as_if_worn, .. } = compared.found else { panic!("a run") };
    assert_eq!(compared.place, Ordering::Greater);
    assert_relative_eq!(as_if_worn.unwrap(), 0.3, epsilon = 2e-3);
    assert!(found.cures("start-up-slower").contains("lost 30 % of its head"));
}

#[test]
fn identity_what_two_measurements_say_together() {
    let slow = "empties_in = \"95 s\"\n";
    let bucket = |fills: &str| format!("bucket = \"5 gal\"\nbucket_fills_in = \"{fills}\"\n");
    // slow, and little comes out: the pump or the line
    let line = measured(&format!("{slow}{}", bucket("9 s")));
    assert!(line.cures("start-up-slower").contains("clogged"));
    assert!(line.says("start-up-outlet-less"));
    // slow, and the outlet gives its due: water runs in or back
    let back = measured(&format!("{slow}{}", bucket("6 s")));
    assert!(back.cures("start-up-slower").contains("runs in or back"));
    assert!(back.says("start-up-outlet-as-designed"));
    // fast, and little comes out: it is lost on the way
    let lost = measured(&format!("empties_in = \"50 s\"\n{}", bucket("9 s")));
    assert!(lost.cures("start-up-faster").contains("leak"));
    // a basin that is narrower than it was entered
    let narrow = measured(&format!("empties_in = \"50 s\"\n{}", bucket("6 s")));
    assert!(narrow.cures("start-up-faster").contains("narrower"));
    // more than the whole goes out
    assert!(measured(&bucket("4 s")).says("start-up-outlet-more"));
}

#[test]
fn identity_a_fall_and_an_inflow_that_were_measured_are_reckoned_with() {
    let whole = Made::example("cut-bank").design.start_up.unwrap().run.time;
    // half of the fall takes about half of the time, and the floats no longer matter
    let half = measured("empties_in = \"33 s\"\nfell = \"9 in\"\n");
    let Found::Run { expected, .. } = &half.design.start_up.as_ref().unwrap().compared[0].found else {
        panic!("a run")
    };
    assert_relative_eq!(expected.time.value.s(), whole.value.s() / 2.0, max_relative = 0.05);
    let share = |band: &sumpwright::design::Band<Duration>| (band.high.unwrap() - band.low.unwrap()) / band.value;
    assert!(share(&expected.time) < share(&whole));
    assert!(!expected.parts.iter().any(|part| part.what.contains("float")));
    // 10 gpm of 50 running in: it takes 50/40 of the time, and the flow implied counts them
    let wet = measured("empties_in = \"81 s\"\ninflow = \"10 gpm\"\n");
    assert!(wet.says("start-up-as-designed"));
    let compared = &wet.design.start_up.as_ref().unwrap().compared[0];
    assert_relative_eq!(compared.found.flow().unwrap().gpm(), 54.08 / 81.0 * 60.0 + 10.0, epsilon = 0.01);
    assert!(measured("empties_in = \"81 s\"\n").says("start-up-slower"));
}

#[test]
fn identity_a_rise_after_the_stop_tells_of_the_valve() {
    for (rise, id) in [
        ("0.2 in", "start-up-rise-as-designed"),
        ("0.3 in", "start-up-rise-as-designed"),
        ("3 in", "start-up-rise-more"),
    ] {
        assert!(measured(&format!("rises_after_stop = \"{rise}\"\n")).says(id), "{rise}");
    }
    let leaks = measured("rises_after_stop = \"3 in\"\n");
    assert!(leaks.cures("start-up-rise-more").contains("check valve leaks back"));
    // without a valve 107 mm are as designed, and a few are too few
    let yard = |rise: &str| {
        Made::with(
            "courtyard-metric",
            &[("[discharge]\n", &format!("[measured.start_up]\nrises_after_stop = \"{rise}\"\n\n[discharge]\n"))],
        )
    };
    assert!(yard("107 mm").says("start-up-rise-as-designed"));
    assert!(yard("140 mm").says("start-up-rise-more"));
    let held = yard("20 mm");
    let finding = held.design.findings.iter().find(|finding| finding.id == "start-up-rise-less").unwrap();
    assert_eq!(finding.severity, Severity::Note);
}

#[test]
fn identity_without_a_duty_nothing_is_expected_and_that_is_said() {
    // a curve that ends before the line asks for what it gives
    let curve = "[[\"0 gpm\", \"31 ft\"], [\"20 gpm\", \"27 ft\"], [\"40 gpm\", \"20.5 ft\"], [\"50 gpm\", \"16 ft\"], [\"60 gpm\", \"10 ft\"]]";
    let to = "[[\"0 gpm\", \"31 ft\"], [\"20 gpm\", \"27 ft\"], [\"40 gpm\", \"20.5 ft\"]]";
    let one = ("count = 1", "count = 1\nuse = \"medium\"");
    let start = ("[[catchment]]\n", "[measured.start_up]\nempties_in = \"60 s\"\n\n[[catchment]]\n");
    let made = Made::with("cut-bank", &[(curve, to), one, start]);
    assert!(made.design.start_up.is_none());
    assert!(made.says("start-up-not-compared"));
    assert!(made.paper(Paper::StartUp).contains("What to expect is not known"));
}

#[test]
fn what_was_measured_is_refused_where_it_tells_nothing() {
    for (lines, words) in [
        ("bucket = \"5 gal\"", "`bucket_fills_in`"),
        ("bucket_fills_in = \"9 s\"", "`bucket`"),
        ("fell = \"9 in\"", "`empties_in`"),
        ("inflow = \"1 gpm\"", "`empties_in`"),
        ("empties_in = \"60 s\"\nfell = \"6 ft\"", "in a basin 5 ft deep"),
        ("rises_after_stop = \"6 ft\"", "in a basin 5 ft deep"),
        ("empties_in = 60", "unit"),
        ("empties_in = \"60 ft\"", "time"),
        ("empties_in = \"0 s\"", "1 s"),
    ] {
        let text =
            changed("cut-bank", &[("[[catchment]]\n", &format!("[measured.start_up]\n{lines}\n\n[[catchment]]\n"))]);
        let reading = site::read(&text, &NoFiles);
        assert!(reading.site.is_none(), "{lines}");
        let said = format!("{:?}", reading.problems);
        assert!(said.contains(words), "{lines}: {said}");
    }
}

#[test]
fn identity_what_ran_in_is_no_leak_of_the_valve() {
    // a basin of 30 in has 706.9 in2, 3.06 gal an inch: 3 gpm lift it 0.98 in in a minute
    let measured = |rise: &str, inflow: &str| {
        format!("\n[measured.start_up]\nempties_in = \"69 s\"\ninflow = \"{inflow}\"\nrises_after_stop = \"{rise}\"\n")
    };
    let ids = |extra: &str| -> Vec<&'static str> {
        let made = Made::with("cut-bank", &[("[[catchment]]\n", &format!("{extra}\n[[catchment]]\n"))]);
        made.design.findings.iter().map(|finding| finding.id).filter(|id| id.starts_with("start-up")).collect()
    };
    assert!(ids(&measured("1.1 in", "3 gpm")).contains(&"start-up-rise-as-designed"));
    assert!(ids(&measured("1.1 in", "0 gpm")).contains(&"start-up-rise-more"));
    assert!(ids(&measured("2.5 in", "3 gpm")).contains(&"start-up-rise-more"));
    // more than the pump moves cannot have run in
    assert!(ids(&measured("1.1 in", "80 gpm")).contains(&"start-up-inflow-too-large"));
}

#[test]
fn identity_a_line_that_runs_back_slowly_is_waited_for() {
    let made = Made::example("over-the-bank");
    let expected = made.design.start_up.as_ref().unwrap();
    // 22 min through the drain hole, a quarter more, in whole fives
    let takes = made.design.rest.drain_time.unwrap();
    assert!((20.0..24.0).contains(&takes.minutes()), "{}", takes.minutes());
    assert_relative_eq!(expected.rise_read_after.minutes(), 30.0);
    assert_relative_eq!(Made::example("cut-bank").design.start_up.unwrap().rise_read_after.minutes(), 1.0);
    let sheet = made.paper(Paper::StartUp).split_whitespace().collect::<Vec<_>>().join(" ");
    for said in ["again after 30 min", "at rest for 30 min", "Do it twice, 30 min apart"] {
        assert!(sheet.contains(said), "{sheet}");
    }
    assert!(made.paper(Paper::Owner).contains("again after 30 min"));
    let crew = made.paper(Paper::Crew);
    assert!(crew.contains("steady fall") && !crew.contains("needs no fall"), "{crew}");
    // what runs in is counted for as long as it is waited: 0.1 gpm for 30 min are 3 gal
    let with = |rise: f64| {
        let measured = format!(
            "[measured.start_up]\nempties_in = \"2 min\"\ninflow = \"0.1 gpm\"\nrises_after_stop = \"{rise} in\"\n\n[discharge]\n"
        );
        let made = Made::with("over-the-bank", &[("[discharge]\n", &measured)]);
        let compared = made.design.start_up.unwrap().compared;
        compared.into_iter().find_map(|one| match one.found {
            Found::Rise { ran_in, .. } => Some((ran_in, one.place)),
            _ => None,
        })
    };
    let area = made.site.basin.plan.area();
    let (ran_in, place) = with(expected.rise.value.inch() + 3.0 * 231.0 / area.in2()).unwrap();
    assert_relative_eq!(ran_in.m() * area.m2(), Volume::from_gal(3.0).m3(), max_relative = 1e-9);
    assert_eq!(place, Ordering::Equal);
}
