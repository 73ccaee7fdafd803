//! What was measured against what is worked out.

use crate::given::{CLAY, MEADOW, cure_with, design_with, finding, first_number, message, number, number_after, says};
use approx::assert_relative_eq;
use sumpwright::design::{Design, InflowBasis, Severity, WaterLevel};

const RISE: &str = "rise = \"5 in\"\nover = \"12 min\"\npit_diameter = \"36 in\"\nwith_drain = true\n";

fn rise(over: &str, more: &str) -> Design {
    let to = format!("rise = \"5 in\"\nover = \"{over}\"\npit_diameter = \"36 in\"\nwith_drain = true\n{more}");
    design_with(MEADOW, &[(RISE, &to)])
}

#[test]
fn identity_a_measured_inflow_outside_the_range_is_named() {
    let much = rise("10 s", "");
    assert_eq!(finding(&much, "measured-inflow-unlike-ground").severity, Severity::Caution);
    assert!(cure_with(&much, "measured-inflow-unlike-ground", "measure again").contains("wettest"));
    // at the ends of the range that is worked out: 5 in over a circle of 36 in
    let calculated = much.storm.groundwater.calculated.unwrap();
    let volume_m3 = std::f64::consts::PI / 4.0 * 0.9144 * 0.9144 * 0.127;
    for (flow, outside, inside) in [(calculated.high, 0.99, 1.01), (calculated.low, 1.01, 0.99)] {
        let seconds = volume_m3 / flow.m3s();
        let at = |share: f64| rise(&format!("{} s", seconds * share), "");
        assert!(says(&at(outside), "measured-inflow-unlike-ground"));
        assert!(!says(&at(inside), "measured-inflow-unlike-ground"));
    }
    // it is the measured one that is counted
    assert_relative_eq!(much.storm.groundwater.flow.m3s(), volume_m3 / 10.0, max_relative = 1e-9);
    assert_relative_eq!(
        number(&much, "measured-inflow-unlike-ground", "measured"),
        volume_m3 / 10.0,
        max_relative = 1e-9
    );
}

#[test]
fn identity_a_measured_pump_rate_is_held_against_the_duty() {
    // 5 in over a circle of 36 in are 22 gal: at 49 gpm gone in some 28 s
    let slow = rise("12 min", "pump_down = \"60 s\"\n");
    assert_eq!(finding(&slow, "measured-pump-rate-unlike-duty").severity, Severity::Caution);
    let duty = slow.pump().unwrap().point(WaterLevel::Mean).unwrap().line_flow;
    assert_relative_eq!(
        number(&slow, "measured-pump-rate-unlike-duty", "calculated"),
        duty.m3s(),
        max_relative = 1e-12
    );
    cure_with(&slow, "measured-pump-rate-unlike-duty", "timing several runs");
    let volume_m3 = std::f64::consts::PI / 4.0 * 0.9144 * 0.9144 * 0.127;
    // what it moves is the volume over the time, and what ran in meanwhile
    let at = |share: f64| {
        let seconds = volume_m3 / (duty.m3s() * share - volume_m3 / 720.0);
        rise("12 min", &format!("pump_down = \"{seconds} s\"\n"))
    };
    for (share, far) in [(1.0, false), (1.49, false), (1.51, true), (0.67, false), (0.66, true)] {
        assert_eq!(says(&at(share), "measured-pump-rate-unlike-duty"), far, "{share}");
    }
}

#[test]
fn identity_a_test_hole_unlike_its_texture_is_named() {
    let design = design_with(MEADOW, &[]);
    assert_eq!(finding(&design, "test-hole-unlike-texture").severity, Severity::Caution);
    // the measured one is taken
    let taken = design.storm.groundwater.ground.as_ref().unwrap().conductivity;
    assert_relative_eq!(number(&design, "test-hole-unlike-texture", "measured"), taken.ms(), max_relative = 1e-12);
    cure_with(&design, "test-hole-unlike-texture", "more holes");
    let entered = design_with(MEADOW, &[("drawdown = \"18 in\"", "drawdown = \"18 in\"\nconductivity = \"3 ft/day\"")]);
    assert!(!says(&entered, "test-hole-unlike-texture"));
    // one that falls as slowly as the texture says is not
    let slow = design_with(MEADOW, &[("over = \"20 min\"", "over = \"92 min\"")]);
    assert!(!says(&slow, "test-hole-unlike-texture"));
    // nor one where no texture is known
    let bare = design_with(MEADOW, &[("texture = \"sandy loam\"", "infiltration = \"0.4 in/h\"")]);
    assert!(!says(&bare, "test-hole-unlike-texture"));
}

const PUDDLE: &str = "puddle = { low_spot = \"hollow\", area = \"560 ft2\", depth = \"3 in\", rain = \"0.5 in\" }";

fn puddle(area: f64, rain: f64, more: &[(&str, &str)]) -> Design {
    let to =
        format!("puddle = {{ low_spot = \"hollow\", area = \"{area} ft2\", depth = \"3 in\", rain = \"{rain} in\" }}");
    let mut changes = vec![(PUDDLE, to.as_str())];
    changes.extend(more);
    design_with(CLAY, &changes)
}

#[test]
fn identity_a_puddle_that_is_not_the_low_spots_is_named_with_what_would_fit() {
    // 3 in in a hollow of 700 ft2 at 0.3 ft: 583 ft2
    let design = puddle(1400.0, 5.0, &[]);
    assert_eq!(finding(&design, "puddle-unlike-low-spot").severity, Severity::Caution);
    assert_relative_eq!(
        number(&design, "puddle-unlike-low-spot", "calculated"),
        700.0 * 0.25 / 0.3 * 0.3048 * 0.3048,
        max_relative = 1e-9
    );
    let cure = cure_with(&design, "puddle-unlike-low-spot", "`surface`");
    let (area, level) = (number_after(&cure, "right, "), number_after(&cure, "ft2 at "));
    let surface = format!("[\"88.00 ft\", \"0 ft2\"], [\"{level} ft\", \"{area} ft2\"], ");
    let cured = puddle(1400.0, 5.0, &[("[\"88.00 ft\", \"0 ft2\"], [\"88.30 ft\", \"700 ft2\"], ", surface.as_str())]);
    assert!(!says(&cured, "puddle-unlike-low-spot"), "{cure}");
    for (area, far) in [(583.3 * 1.49, false), (583.3 * 1.51, true), (583.3 / 1.49, false), (583.3 / 1.51, true)] {
        assert_eq!(says(&puddle(area, 5.0, &[]), "puddle-unlike-low-spot"), far, "{area}");
    }
}

#[test]
fn identity_a_puddle_larger_than_the_runoff_says_how_much_surface_is_missing() {
    let design = puddle(560.0, 0.15, &[]);
    assert_eq!(finding(&design, "puddle-unlike-runoff").severity, Severity::Caution);
    assert!(message(&design, "puddle-unlike-runoff").contains("comes from beyond"));
    let missing = first_number(&cure_with(&design, "puddle-unlike-runoff", "look uphill"));
    let composite = design.storm.composite.unwrap();
    let with = |area: f64| {
        let more = format!(
            "[[catchment]]\nname = \"uphill\"\narea = \"{area} ft2\"\nrunoff_coefficient = {composite}\ndrains_to = \"hollow\"\n\n[[low_spot]]"
        );
        puddle(560.0, 0.15, &[("[[low_spot]]", more.as_str())])
    };
    assert!(!says(&with(missing * 1.01), "puddle-unlike-runoff"), "{missing}");
    assert!(says(&with(missing * 0.97), "puddle-unlike-runoff"), "{missing}");
    assert!(!says(&design_with(CLAY, &[]), "puddle-unlike-runoff"));
}

/// The share of the rain that a puddle in the hollow of the hilltop shows.
fn share_seen(area: f64, depth: f64, rain: f64) -> f64 {
    let to = format!(
        "puddle = {{ low_spot = \"hollow\", area = \"{area} ft2\", depth = \"{depth} in\", rain = \"{rain} in\" }}"
    );
    let design = design_with(CLAY, &[(PUDDLE, to.as_str())]);
    design.measured.iter().find(|result| result.id == "runoff_share").unwrap().measured.si
}

#[test]
fn identity_a_puddle_holds_what_its_low_spot_holds_up_to_there() {
    // nothing at 88.00 ft, 700 ft2 at 88.30 ft, 1900 ft2 at 88.60 ft; 620, 1500 and 3800 ft2 shed water
    let sheds = 620.0 + 1500.0 + 3800.0;
    let rain = 2.0;
    let share = |volume: f64| volume / (rain / 12.0 * sheds);
    // within the first part: 583 ft2 at 3 in
    assert_relative_eq!(
        share_seen(700.0 * 0.25 / 0.3, 3.0, rain),
        share(700.0 * 0.25 / 0.3 * 0.25 / 2.0),
        max_relative = 1e-9
    );
    // within the second, half-way up it
    let upper = 105.0 + f64::midpoint(700.0, 1300.0) * 0.15;
    assert_relative_eq!(share_seen(1300.0, 5.4, rain), share(upper), max_relative = 1e-9);
    // beyond the curve, with upright sides
    let curve = 105.0 + 1300.0 * 0.3;
    assert_relative_eq!(share_seen(1900.0, 9.0, rain), share(curve + 1900.0 * 0.15), max_relative = 1e-9);
    // one of another area at that depth holds more or less in proportion
    for part in [0.7, 1.4] {
        assert_relative_eq!(share_seen(1300.0 * part, 5.4, rain), share(upper * part), max_relative = 1e-9);
    }
}

#[test]
fn identity_a_pit_without_the_drain_does_not_hide_what_the_ground_gives() {
    let with = |minutes: f64, drain: bool| {
        let to = format!("rise = \"5 in\"\nover = \"{minutes} min\"\npit_diameter = \"36 in\"\nwith_drain = {drain}\n");
        design_with(MEADOW, &[(RISE, &to)])
    };
    let calculated = with(12.0, false).storm.groundwater.calculated.unwrap();
    // a slow pit: 22 gal in as many minutes as make half of what is worked out
    let volume_m3 = std::f64::consts::PI / 4.0 * 0.9144 * 0.9144 * 0.127;
    let minutes = |share: f64| volume_m3 / (calculated.taken.m3s() * share) / 60.0;
    let (slow, open) = (with(minutes(0.5), false), with(minutes(0.5), true));
    assert_eq!(slow.storm.groundwater.basis, InflowBasis::Calculated);
    assert_relative_eq!(slow.storm.groundwater.flow.m3s(), calculated.taken.m3s(), max_relative = 1e-12);
    assert_eq!(open.storm.groundwater.basis, InflowBasis::Measured);
    assert_relative_eq!(open.storm.groundwater.flow.m3s(), calculated.taken.m3s() * 0.5, max_relative = 1e-9);
    // a pit that fills faster is counted either way
    for drain in [false, true] {
        let fast = with(minutes(2.0), drain);
        assert_eq!(fast.storm.groundwater.basis, InflowBasis::Measured);
    }
    // far below, it is said which of the two is counted
    let (far, far_open) = (with(minutes(0.01), false), with(minutes(0.01), true));
    assert!(message(&far, "measured-inflow-unlike-ground").contains("the calculation is counted"));
    cure_with(&far, "measured-inflow-unlike-ground", "`with_drain = true`");
    assert!(message(&far_open, "measured-inflow-unlike-ground").contains("the measured one is counted"));
}
