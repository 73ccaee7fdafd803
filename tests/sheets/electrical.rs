//! The electrical page.

use crate::Made;
use approx::assert_relative_eq;
use sumpwright::quantity::Length;
use sumpwright::report::papers::Paper;

#[test]
fn identity_voltage_drop_by_hand_and_as_the_design() {
    let supply = ("[water]\n", "[supply]\ndistance = \"90 ft\"\nwire = \"12 AWG\"\ncircuit_amps = 20\n\n[water]\n");
    let made = Made::with("cut-bank", &[supply]);
    let page = &made.job.electrical;
    let motor = &page.motors[0];
    // 12 AWG: 1.93 ohm in 1000 ft at 75 C, from memory; 180 ft there and back: 0.347 ohm; 6.4 A: 2.2 V, 1.9 % of 115 V
    let wire = motor.drops.iter().find(|drop| drop.wire.name == "12 AWG").unwrap();
    assert_relative_eq!(wire.both_ways_ohm, 0.347, epsilon = 2e-3);
    assert_relative_eq!(wire.running_volts, 2.22, epsilon = 0.02);
    assert_relative_eq!(wire.running_share, 0.0193, epsilon = 2e-4);
    // six times 6.4 A is a resistance of 2.995 ohm: 115 x 0.347 / 3.342 = 11.9 V
    assert_eq!(motor.starting_amps.map(|(least, most)| (least.round(), most.round())), Some((26.0, 38.0)));
    assert_relative_eq!(wire.starting_volts, 11.95, epsilon = 0.06);
    // the same as the design has it
    let drop = made.design.pump().unwrap().power.as_ref().unwrap().drop.as_ref().unwrap();
    assert_relative_eq!(wire.running_volts, drop.running, max_relative = 1e-9);
    assert_relative_eq!(wire.starting_volts, drop.starting, max_relative = 1e-9);
    // the thinner, the more; what keeps to both limits goes on keeping
    assert!(motor.drops.windows(2).all(|pair| pair[0].running_volts > pair[1].running_volts));
    assert!(motor.drops.windows(2).all(|pair| !pair[0].keeps || pair[1].keeps));
    assert!(page.covers.iter().all(|cover| cover.length == Some(Length::from_ft(90.0))));
    let text = made.paper(Paper::Electrical);
    assert!(!text.contains("How far is it one way") && text.contains("12 AWG"));
}

#[test]
fn identity_what_is_not_known_is_asked() {
    let page = Made::example("cut-bank").paper(Paper::Electrical);
    for question in ["How far is it one way", "Starting current", "A circuit of its own", "What size and kind of wire"]
    {
        assert!(page.contains(question), "{question}");
    }
    assert!(page.contains("over 100 ft one way, for want of the distance"));
    assert!(page.contains("4 to 6 times the running current, from"));
    // neither voltage nor current
    let bare = Made::with("cut-bank", &[("volts = 115\nrunning_amps = 6.4\n", "")]);
    assert!(bare.job.electrical.motors[0].drops.is_empty());
    assert!(bare.paper(Paper::Electrical).contains("Voltage and running current by the nameplate?"));
    // a starting current that was entered is not guessed at
    let told = Made::with("cut-bank", &[("running_amps = 6.4\n", "running_amps = 6.4\nstarting_amps = 30\n")]);
    assert_eq!(told.job.electrical.motors[0].starting_amps, Some((30.0, 30.0)));
    assert!(told.paper(Paper::Electrical).contains("30.0 A, as entered"));
    // metric sizes for a metric file
    let metric =
        Made::with("courtyard-metric", &[("passes = \"10 mm\"", "passes = \"10 mm\"\nvolts = 230\nrunning_amps = 3")]);
    assert!(metric.job.electrical.motors[0].drops.iter().all(|drop| drop.wire.family == "metric"));
    assert_eq!(metric.job.electrical.shown_for, Length::from_m(30.0));
}
