//! Surge and the check valve.

use crate::given::{LONG, MAIN, TWO, cures, design_with, finding, message, number, says};
use approx::assert_relative_eq;
use sumpwright::design::Severity;
use sumpwright::quantity::{Pressure, Velocity};

/// A thin-walled pipe in hot water with a strong pump.
const HOT: (&str, &str) = ("temperature = \"50 F\"", "temperature = \"120 F\"");
const STRONG: (&str, &str) = ("count = 1", "count = 1\nuse = \"strong\"");

#[test]
fn crosscheck_surge_of_the_main_example_by_hand() {
    let surge = design_with(MAIN, &[]).pump().unwrap().surge.clone().unwrap();
    let run = surge.pipes.last().unwrap();
    // a = sqrt(K/rho / (1 + K D/(E t))) in ft and lb: 300000 psi, 62.41 lb/ft3 at 50 F, 2.067/0.154, E 400000 psi
    let sound: f64 = 300_000.0 * 144.0 / (62.41 / 32.174);
    let wave = (sound / (1.0 + 0.75 * 2.067 / 0.154)).sqrt();
    assert_relative_eq!(run.wave_speed.unwrap().fts(), wave, max_relative = 1e-3);
    let psi = 62.41 / 32.174 * wave * run.velocity.fts() / 144.0;
    assert_relative_eq!(run.surge.unwrap().psi(), psi, max_relative = 1e-3);
    // shut-off head of 31 ft: 13.4 psi
    assert_relative_eq!(run.most.unwrap().psi(), psi + 31.0 * 0.4331, max_relative = 1e-3);
    assert_relative_eq!(surge.critical.unwrap().s(), 2.0 * (135.0 + 3.0) / wave, max_relative = 1e-3);
    assert_relative_eq!(run.rating.unwrap().psi(), 280.0, max_relative = 1e-9);
}

#[test]
fn identity_surge_above_the_rating_is_a_stop_and_its_cures_cure() {
    let thin = "[[discharge.run]]\nmaterial = \"PVC schedule 40\"\nsize = \"2 in\"";
    let sdr = (thin, "[[discharge.run]]\nmaterial = \"PVC SDR 26\"\nsize = \"2 in\"");
    let design = design_with(MAIN, &[HOT, STRONG, sdr]);
    assert_eq!(finding(&design, "surge-above-rating").severity, Severity::Stop);
    // 160 psi at 120 F are 64 psi
    let (limit, _) = finding(&design, "surge-above-rating").limit.clone().unwrap();
    assert_relative_eq!(Pressure::from_pa(limit.si).psi(), 64.0, max_relative = 1e-9);
    // the velocity allowed, times what a ft/s surges, and the shut-off pressure are the rating
    let surge = design.pump().unwrap().surge.clone().unwrap();
    let run = surge.pipes.last().unwrap();
    let said = &cures(&design, "surge-above-rating")[0];
    let allowed: f64 = said.trim_start_matches("no more than ").split(' ').next().unwrap().parse().unwrap();
    let rise = run.surge.unwrap() * (Velocity::from_fts(allowed) / run.velocity);
    assert_relative_eq!((surge.shut_off + rise).psi(), 64.0, max_relative = 0.02);
    assert_relative_eq!(
        number(&design, "surge-above-rating", "pressure"),
        run.most.unwrap().pa(),
        max_relative = 1e-12
    );
    // so hot the riser does not hold either, and no other run alone would mend it
    let all = cures(&design, "surge-above-rating");
    assert!(!all.iter().any(|cure| cure.contains("in its place")), "{all:?}");
    // less hot, a stronger pipe does
    let warm = ("temperature = \"50 F\"", "temperature = \"100 F\"");
    let at_100 = cures(&design_with(MAIN, &[warm, STRONG, sdr]), "surge-above-rating");
    let stronger = at_100.iter().find(|cure| cure.contains("in its place")).expect("a stronger pipe");
    let material = stronger.trim_start_matches("2 in ").split(" in its place").next().unwrap();
    let to = format!("[[discharge.run]]\nmaterial = \"{material}\"\nsize = \"2 in\"");
    assert!(!says(&design_with(MAIN, &[warm, STRONG, (thin, to.as_str())]), "surge-above-rating"), "{stronger}");
    // as cold as usual it holds
    assert!(!says(&design_with(MAIN, &[STRONG]), "surge-above-rating"));
}

#[test]
fn identity_a_valve_that_closes_slowly_surges_less() {
    let valve = "check_valve = { kind = \"swing\", above_floor = \"38 in\"";
    let at_once = design_with(MAIN, &[]).pump().unwrap().surge.clone().unwrap();
    let slow = format!("{valve}, closes_in = \"2 s\"");
    let slow = design_with(MAIN, &[(valve, slow.as_str())]).pump().unwrap().surge.clone().unwrap();
    let (run, slow_run) = (at_once.pipes.last().unwrap(), slow.pipes.last().unwrap());
    assert_relative_eq!(
        slow_run.surge.unwrap() / run.surge.unwrap(),
        at_once.critical.unwrap().s() / 2.0,
        max_relative = 1e-9
    );
    let quick = format!("{valve}, closes_in = \"0.05 s\"");
    let quick = design_with(MAIN, &[(valve, quick.as_str())]).pump().unwrap().surge.clone().unwrap();
    assert_eq!(quick.pipes.last().unwrap().surge, run.surge);
}

#[test]
fn identity_a_flap_in_slow_water_does_not_stand_open() {
    // 3.8 ft/s against the 4.67 ft/s that a swing check with an angled seat wants
    let design = design_with(LONG, &[]);
    let said = message(&design, "valve-not-held-open");
    assert!(said.contains("4.7 ft/s"), "{said}");
    // no velocity is published for a spring check
    let spring = ("kind = \"swing\"", "kind = \"spring\"");
    assert!(!says(&design_with(LONG, &[spring]), "valve-not-held-open"));
}

#[test]
fn identity_a_slow_valve_acts_on_the_whole_line() {
    // two bores: the surge at the valve is 2 rho sum(L V) / t, the same in every pipe, and none sees more than the
    // stiffest at once
    let mixed = [
        (
            "check_valve = { kind = \"swing\", above_floor = \"38 in\" }",
            "check_valve = { kind = \"swing\", above_floor = \"38 in\", closes_in = \"0.5 s\" }",
        ),
        (
            "[[discharge.run]]\nmaterial = \"PVC schedule 40\"\nsize = \"2 in\"\nlength = \"135 ft\"",
            "[[discharge.run]]\nmaterial = \"PVC SDR 26\"\nsize = \"3 in\"\nlength = \"20 ft\"\n\n[[discharge.run]]\nmaterial = \"PVC schedule 40\"\nsize = \"1-1/2 in\"\nlength = \"115 ft\"",
        ),
        ("count = 1", "count = 1\nuse = \"medium\""),
    ];
    let design = design_with(MAIN, &mixed);
    let surge = design.pump().unwrap().surge.clone().unwrap();
    let lengths = [3.0, 20.0, 115.0];
    let momentum: f64 = surge.pipes.iter().zip(lengths).map(|(pipe, length)| length * pipe.velocity.fts()).sum();
    let psi = 2.0 * 62.41 / 32.174 * momentum / 0.5 / 144.0;
    for pipe in &surge.pipes {
        assert_relative_eq!(pipe.surge.unwrap().psi(), psi, max_relative = 1e-3);
    }
    assert!(surge.critical.unwrap().s() < 0.5 && !surge.closes_late);
}

#[test]
fn identity_a_valve_slower_than_the_water_slams() {
    let late = (
        "check_valve = { kind = \"swing\", above_floor = \"38 in\" }",
        "check_valve = { kind = \"swing\", above_floor = \"38 in\", closes_in = \"5 s\" }",
    );
    let design = design_with(MAIN, &[late]);
    assert!(says(&design, "valve-closes-late"));
    let surge =
        |design: &sumpwright::design::Design| design.pump().unwrap().surge.clone().unwrap().pipes.last().unwrap().surge;
    assert_eq!(surge(&design), surge(&design_with(MAIN, &[])));
}

#[test]
fn identity_each_pipe_offered_stands_its_own_surge() {
    let warm = ("[supply]", "[water]\ntemperature = \"90 F\"\n\n[supply]");
    let run = |kind: &str, size: &str| {
        let to = format!("[[discharge.run]]\nmaterial = \"{kind}\"\nsize = \"{size}\"");
        design_with(TWO, &[warm, ("[[discharge.run]]\nmaterial = \"PVC schedule 40\"\nsize = \"2 in\"", to.as_str())])
    };
    let all = cures(&run("PVC SDR 26", "1-1/2 in"), "surge-above-rating");
    let holds = |design: &sumpwright::design::Design| {
        let pipes = &design.pump().unwrap().surge.as_ref().unwrap().pipes;
        pipes.iter().all(|pipe| pipe.most.unwrap() <= pipe.rating.unwrap())
    };
    let larger = all.iter().find(|cure| cure.contains("pipe for the run")).expect("a larger pipe");
    assert!(holds(&run("PVC SDR 26", larger.split(" pipe").next().unwrap())), "{larger}");
    let stronger = all.iter().find(|cure| cure.contains("in its place")).expect("a stronger pipe");
    let kind = stronger.trim_start_matches("1-1/2 in ").split(" in its place").next().unwrap();
    assert!(holds(&run(kind, "1-1/2 in")), "{stronger}");
}

#[test]
fn identity_polyethylene_keeps_less_of_its_rating_when_warm() {
    let run = |water: &str| {
        let temperature = format!("temperature = \"{water}\"");
        let pe = "[[discharge.run]]\nmaterial = \"polyethylene\"\nsize = \"2 in\"";
        let thin = "[[discharge.run]]\nmaterial = \"PVC schedule 40\"\nsize = \"2 in\"";
        design_with(MAIN, &[("temperature = \"50 F\"", temperature.as_str()), (thin, pe)])
    };
    let rating = |design: &sumpwright::design::Design| {
        design.pump().unwrap().surge.clone().unwrap().pipes.last().unwrap().rating
    };
    let (cold, warm) = (rating(&run("50 F")).unwrap(), rating(&run("86 F")).unwrap());
    assert_relative_eq!(warm / cold, 0.87, max_relative = 1e-9);
    // beyond the table nothing is known, and that is said
    let hot = run("120 F");
    assert!(rating(&hot).is_none());
    assert!(says(&hot, "rating-unknown-when-warm") && !says(&run("86 F"), "rating-unknown-when-warm"));
}
