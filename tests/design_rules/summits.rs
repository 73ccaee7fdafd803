//! High and low points, vents, the end that falls, the siphon.

use crate::given::{BANK, MAIN, cures, design_with, finding, message, number, over, says};
use approx::assert_relative_eq;
use sumpwright::design::Severity;
use sumpwright::quantity::{Head, Length};

const VENT: &str = "vent = [{ at = \"90 ft\" }]\n";

#[test]
fn identity_the_part_past_the_summit_is_no_load() {
    let design = design_with(BANK, &[]);
    let slack = design.pump().unwrap().slack[0];
    assert_relative_eq!(slack.from.ft(), 90.0);
    assert_relative_eq!(slack.to.ft(), 180.0);
    // the same line cut off at the summit delivers the same
    let cut = [
        (
            "  { at = \"130 ft\", invert = \"75.20 ft\", ground = \"76.40 ft\" },\n  { at = \"180 ft\", invert = \"71.00 ft\", ground = \"71.60 ft\" },\n",
            "",
        ),
        ("length = \"180 ft\"", "length = \"90 ft\""),
        (
            "\"elbow 45\" = 3, \"coupling\" = 9",
            "\"elbow 45\" = { count = 3, k = 0.152 }, \"coupling\" = { count = 9, k = 0.03 }",
        ),
        ("level = \"71.00 ft\"", "level = \"78.40 ft\""),
    ];
    let flow = |design: &sumpwright::design::Design| {
        design.pump().unwrap().point(sumpwright::design::WaterLevel::Mean).unwrap().line_flow.gpm()
    };
    assert_relative_eq!(flow(&design), flow(&design_with(BANK, &cut)), max_relative = 1e-6);
}

#[test]
fn identity_a_high_point_without_a_vent_may_stand_under_vacuum() {
    let design = design_with(BANK, &[(VENT, "")]);
    assert_eq!(finding(&design, "high-point").severity, Severity::Caution);
    let vacuum = Head::from_m(number(&design, "vacuum-beyond-high-point", "vacuum"));
    // if it ran full to the outlet: 7.4 ft of fall and the bore less what friction and velocity take on the way
    assert!(vacuum.ft() > 1.0 && vacuum.ft() < 7.6, "{vacuum:?}");
    assert!(!says(&design_with(BANK, &[]), "vacuum-beyond-high-point"));
    assert_eq!(finding(&design_with(BANK, &[]), "high-point").severity, Severity::Note);
    // with a limit of its own it is a caution
    let site = BANK.replace(VENT, "") + "\n[limits]\ngreatest_vacuum = \"1 ft\"\n";
    assert_eq!(finding(&design_with(&site, &[]), "vacuum-beyond-high-point").severity, Severity::Caution);
}

#[test]
fn identity_two_summits_can_lock_the_line_and_a_vent_unlocks_it() {
    // up to 84, down to 72, up to 85: 84 - 66 and 13 more
    let hills = [
        (VENT, ""),
        ("invert = \"73.60 ft\", ground = \"74.90 ft\"", "invert = \"84.00 ft\", ground = \"85.30 ft\""),
        ("invert = \"78.40 ft\", ground = \"79.60 ft\"", "invert = \"72.00 ft\", ground = \"73.30 ft\""),
        ("invert = \"75.20 ft\", ground = \"76.40 ft\"", "invert = \"85.00 ft\", ground = \"86.30 ft\""),
    ];
    let design = design_with(BANK, &hills);
    let rest = &design.rest;
    let bore = 2.067 / 12.0;
    assert_relative_eq!(rest.air_locked_lift.unwrap().ft(), 84.0 + bore - 65.95 + 13.0, epsilon = 1e-6);
    let note = finding(&design, "air-lock-between-summits");
    assert_eq!(note.severity, Severity::Note);
    // a pump that could lift to the summit but not the sum
    let mut weak = hills.to_vec();
    weak.push(("[[\"0 gpm\", \"38 ft\"], [\"20 gpm\", \"34 ft\"]", "[[\"0 gpm\", \"30 ft\"], [\"20 gpm\", \"28 ft\"]"));
    assert_eq!(finding(&design_with(BANK, &weak), "air-lock-between-summits").severity, Severity::Caution);
    let cure = &cures(&design, "air-lock-between-summits")[0];
    assert_eq!(cure, "an air valve at 40 ft");
    let mut vented = weak.clone();
    vented[0] = (VENT, "vent = [{ at = \"40 ft\" }]\n");
    assert!(!says(&design_with(BANK, &vented), "air-lock-between-summits"));
}

#[test]
fn identity_a_vent_stands_at_a_high_point_and_above_the_pressure_line() {
    let astray = (VENT, "vent = [{ at = \"40 ft\" }]\n");
    assert!(message(&design_with(BANK, &[astray]), "vent-at-no-high-point").contains("40 ft"));
    let open = |top: &str| {
        let to = format!("vent = [{{ at = \"40 ft\", open_top = \"{top}\" }}]\n");
        design_with(BANK, &[(VENT, to.as_str())])
    };
    // lower than the summit beyond, all of it comes out
    assert_eq!(finding(&open("75.0 ft"), "vent-takes-all").severity, Severity::Stop);
    let design = open("79.5 ft");
    assert!(says(&design, "vent-spills"));
    let cure = &cures(&design, "vent-spills")[0];
    let top = cure.trim_start_matches("its top at ").split(" or").next().unwrap();
    assert!(!says(&open(top), "vent-spills"), "{cure}");
}

#[test]
fn identity_a_break_to_gravity_is_offered_where_the_way_falls() {
    let design = design_with(BANK, &[]);
    let option = design.pump().unwrap().gravity.clone().unwrap();
    assert_relative_eq!(option.fall.ft(), 7.4, epsilon = 1e-9);
    // 3.2 ft in 40 ft is the flatter of the two stretches
    assert_relative_eq!(option.slope.ratio(), 3.2 / 40.0, epsilon = 1e-9);
    assert!(option.capacity >= option.then);
    // Manning, 3.110 in of bore, n as the table has it: 1.4859/n A R^(2/3) S^(1/2)
    let (d, n) = (3.110 / 12.0_f64, option.pipe.pipe.manning_n);
    let area = std::f64::consts::FRAC_PI_4 * d * d;
    let cfs = 1.485_92 / n * area * sumpwright::quantity::Real::powf(d / 4.0, 2.0 / 3.0) * (3.2_f64 / 40.0).sqrt();
    assert_relative_eq!(option.capacity.gpm(), cfs * 448.831, max_relative = 1e-3);
    // nearly level at first and steep at last: on the whole it falls as much, but a drain there would stand full
    let late = ("invert = \"75.20 ft\", ground = \"76.40 ft\"", "invert = \"78.20 ft\", ground = \"79.40 ft\"");
    assert!(design_with(BANK, &[late]).pump().unwrap().gravity.is_none());
    // a long flat far side whose friction governs: there the break brings more water
    let flat = [
        ("length = \"180 ft\"", "length = \"590 ft\""),
        (
            "{ at = \"130 ft\", invert = \"75.20 ft\", ground = \"76.40 ft\" },\n  { at = \"180 ft\"",
            "{ at = \"590 ft\"",
        ),
    ];
    let design = design_with(BANK, &flat);
    let option = design.pump().unwrap().gravity.clone().unwrap();
    assert!(option.then > option.now * 1.05, "{option:?}");
    assert!(message(&design, "gravity-past-high-point").contains("instead of"));
}

#[test]
fn identity_an_outlet_below_the_off_level_siphons_unless_the_top_is_vented() {
    // the brook runs deep: outlet at 64 ft, the off level at 65.95
    let low = [
        (VENT, ""),
        ("kind = \"open end\", level = \"71.00 ft\"", "kind = \"open end\", level = \"64.00 ft\""),
        ("invert = \"71.00 ft\", ground = \"71.60 ft\"", "invert = \"64.00 ft\", ground = \"64.60 ft\""),
    ];
    let design = design_with(BANK, &low);
    assert_eq!(finding(&design, "siphon-empties-basin").severity, Severity::Stop);
    assert_relative_eq!(
        Length::from_m(number(&design, "siphon-empties-basin", "below_off")).ft(),
        1.95,
        epsilon = 1e-6
    );
    let mut vented = low.to_vec();
    vented.remove(0);
    let design = design_with(BANK, &vented);
    assert!(!says(&design, "siphon-empties-basin") && says(&design, "siphon-broken"));
    // between off and on it only draws the basin down
    let mut between = low.to_vec();
    between[1].1 = "kind = \"open end\", level = \"67.00 ft\"";
    between[2].1 = "invert = \"67.00 ft\", ground = \"67.60 ft\"";
    assert_eq!(finding(&design_with(BANK, &between), "siphons-part-way").severity, Severity::Note);
    assert!(!says(&design_with(MAIN, &[]), "siphons-part-way"));
}

#[test]
fn identity_a_full_ditch_hides_no_siphon() {
    let low = [
        (VENT, ""),
        (
            "kind = \"open end\", level = \"71.00 ft\"",
            "kind = \"swale\", level = \"64.00 ft\", ditch_full = \"69.0 ft\"",
        ),
        ("invert = \"71.00 ft\", ground = \"71.60 ft\"", "invert = \"64.00 ft\", ground = \"64.60 ft\""),
    ];
    let design = design_with(BANK, &low);
    assert_eq!(finding(&design, "siphon-empties-basin").severity, Severity::Stop);
    // once full, the line siphons the ditch back over the bank: it has no valve
    assert_eq!(finding(&design, "ditch-runs-back").severity, Severity::Stop);
    assert!(cures(&design, "ditch-runs-back").iter().any(|cure| cure.contains("air valve at the high point")));
    assert!(!says(&design, "outlet-drowned"));
    // with air let in at the high point the bank keeps it out
    let vented = design_with(BANK, &low[1..]);
    assert!(message(&vented, "outlet-drowned").contains("the high point at 90 ft keeps the ditch out"));
    assert!(!says(&vented, "ditch-runs-back"));
}

#[test]
fn identity_the_point_that_governs_is_the_one_that_is_named() {
    // highest at 20 ft by a little, but the losses up to 90 ft make that one govern
    let two = [
        (VENT, ""),
        (
            "{ at = \"40 ft\", invert = \"73.60 ft\", ground = \"74.90 ft\" }",
            "{ at = \"20 ft\", invert = \"78.60 ft\", ground = \"79.90 ft\" },\n  { at = \"40 ft\", invert = \"70.60 ft\", ground = \"71.90 ft\" }",
        ),
    ];
    let design = design_with(BANK, &two);
    assert!(message(&design, "high-point").contains("the point at 90 ft governs"));
    let named: Vec<f64> = design
        .stations
        .iter()
        .filter(|station| station.remarks.contains(&"governs"))
        .map(|station| station.at.ft())
        .collect();
    assert_eq!(named.len(), 1);
    assert_relative_eq!(named[0], 90.0, epsilon = 1e-9);
}

#[test]
fn identity_two_falls_are_two_parts() {
    // a second summit, lower than the first by more than the friction between them
    let two = [
        (VENT, ""),
        (
            "{ at = \"130 ft\", invert = \"75.20 ft\", ground = \"76.40 ft\" }",
            "{ at = \"120 ft\", invert = \"71.00 ft\", ground = \"76.40 ft\" },\n  { at = \"150 ft\", invert = \"73.50 ft\", ground = \"76.40 ft\" }",
        ),
    ];
    let design = design_with(BANK, &two);
    let parts = design.pump().unwrap().slack.clone();
    assert_eq!(parts.len(), 2, "{parts:?}");
    // the pocket between them stays full from the height of the second one's crown on
    assert_relative_eq!(parts[0].from.ft(), 90.0, epsilon = 1e-9);
    assert!(parts[0].to.ft() > 90.0 && parts[0].to.ft() < 120.0);
    assert_relative_eq!(parts[1].from.ft(), 150.0, epsilon = 1e-9);
    assert!(message(&design, "last-part-runs-part-full").contains(" and "));
    // a vent at the first leaves the second to be judged
    let vented = design_with(BANK, &two[1..]);
    let station = number(&vented, "vacuum-beyond-high-point", "station");
    assert!(Length::from_m(station).ft() >= 150.0 - 1e-6);
}

#[test]
fn identity_a_vent_takes_all_whether_or_not_the_pump_lifts_the_water() {
    let low = (VENT, "vent = [{ at = \"40 ft\", open_top = \"75.0 ft\" }]\n");
    let weak = (
        "[\"0 gpm\", \"38 ft\"], [\"20 gpm\", \"34 ft\"], [\"40 gpm\", \"27.5 ft\"], [\"60 gpm\", \"17.5 ft\"], [\"70 gpm\", \"10 ft\"]",
        "[\"0 gpm\", \"9 ft\"], [\"20 gpm\", \"5 ft\"]",
    );
    let design = design_with(BANK, &[low, weak]);
    assert!(design.pump().unwrap().grade.is_empty());
    assert_eq!(finding(&design, "vent-takes-all").severity, Severity::Stop);
    assert!(!says(&design, "vent-spills"));
}

/// Two summits, the first one higher.
const TWO_SUMMITS: [(f64, f64); 6] =
    [(0.0, 69.9), (60.0, 82.0), (90.0, 77.0), (110.0, 77.0), (140.0, 80.5), (200.0, 66.0)];

#[test]
fn identity_the_vacuum_is_that_of_the_column_that_hangs_at_rest() {
    let of = |vents: &[f64]| design_with(&over(&TWO_SUMMITS, vents, "level = \"66 ft\""), &[]);
    // 82 over 66, and the higher one pulls most although the losses keep it full: beyond 15 ft
    let design = of(&[]);
    let at = |design: &sumpwright::design::Design, name: &str| {
        Length::from_m(number(design, "vacuum-beyond-high-point", name)).ft()
    };
    assert_eq!(finding(&design, "vacuum-beyond-high-point").severity, Severity::Caution);
    assert_relative_eq!(at(&design, "station"), 60.0, epsilon = 1e-9);
    assert_relative_eq!(at(&design, "vacuum"), 16.0, epsilon = 1e-9);
    // air at the second summit: 82 over 80.5 is not worth a word
    assert!(!says(&of(&[140.0]), "vacuum-beyond-high-point"));
    // air at the first: the second one hangs on the outlet
    let design = of(&[60.0]);
    assert_eq!(finding(&design, "vacuum-beyond-high-point").severity, Severity::Note);
    assert_relative_eq!(at(&design, "vacuum"), 14.5, epsilon = 1e-9);
    // a first one so high that it runs part full pulls down to the vented second one
    let mut higher = TWO_SUMMITS;
    (higher[1].1, higher[2].1, higher[3].1, higher[4].1) = (90.0, 76.0, 76.0, 80.0);
    let design = design_with(&over(&higher, &[140.0], "level = \"66 ft\""), &[]);
    assert_eq!(finding(&design, "vacuum-beyond-high-point").severity, Severity::Note);
    assert_relative_eq!(at(&design, "vacuum"), 10.0, epsilon = 1e-9);
}

#[test]
fn identity_air_from_a_vent_goes_down_with_the_pipe() {
    // nearly level past the vent: air runs along to where it falls
    let flat = [(0.0, 69.9), (90.0, 78.4), (130.0, 78.3), (180.0, 71.0)];
    assert!(!says(&design_with(&over(&flat, &[90.0], "level = \"71 ft\""), &[]), "vacuum-beyond-high-point"));
}

#[test]
fn identity_a_vent_at_any_summit_breaks_a_siphon() {
    let two = [(0.0, 69.9), (60.0, 86.0), (90.0, 80.0), (110.0, 80.0), (140.0, 84.0), (200.0, 72.0)];
    let ditch = "level = \"72 ft\", ditch_full = \"73 ft\"";
    let design = design_with(&over(&two, &[140.0], ditch), &[]);
    assert!(!says(&design, "ditch-runs-back"));
    assert!(message(&design, "outlet-drowned").contains("the high point at 140 ft keeps the ditch out"));
    assert!(says(&design_with(&over(&two, &[], ditch), &[]), "ditch-runs-back"));
    let mut low = two;
    low[5].1 = 62.0;
    let siphon = |vents: &[f64]| design_with(&over(&low, vents, "level = \"62 ft\""), &[]);
    assert!(says(&siphon(&[140.0]), "siphon-broken") && !says(&siphon(&[140.0]), "siphon-empties-basin"));
    assert_eq!(finding(&siphon(&[]), "siphon-empties-basin").severity, Severity::Stop);
}
