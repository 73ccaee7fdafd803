use super::*;
use approx::assert_relative_eq;

/// A basin in inches and feet, so that every figure below can be checked by hand.
fn basin(plan: Plan) -> Basin {
    Basin {
        plan,
        wall: Length::from_inch(3.0),
        base: Length::from_inch(4.0),
        rim: Level::from_ft(50.0),
        floor: Level::from_ft(45.5),
        ground: None,
        inlet_invert: None,
        off: Length::from_inch(8.0),
        on: Length::from_inch(24.0),
        alarm: None,
        weight: None,
    }
}

#[test]
fn identity_levels_of_a_basin_by_hand() {
    let basin = basin(Plan::Round(Length::from_inch(24.0)));
    assert_relative_eq!(basin.level(Length::from_inch(24.0)).ft(), 47.5, epsilon = 1e-12);
    assert_relative_eq!(basin.underside().ft(), 45.5 - 4.0 / 12.0, epsilon = 1e-12);
    assert_relative_eq!(basin.depth().ft(), 4.5, epsilon = 1e-12);
}

#[test]
fn identity_a_wall_stands_on_both_sides() {
    let Plan::Round(across) = basin(Plan::Round(Length::from_inch(24.0))).outside_plan() else { panic!("round") };
    assert_relative_eq!(across.inch(), 30.0, epsilon = 1e-12);
    let sides = Plan::Rectangular(Length::from_inch(24.0), Length::from_inch(36.0));
    let Plan::Rectangular(length, width) = basin(sides).outside_plan() else { panic!("rectangular") };
    assert_relative_eq!(length.inch(), 30.0, epsilon = 1e-12);
    assert_relative_eq!(width.inch(), 42.0, epsilon = 1e-12);
    assert_relative_eq!(basin(Plan::Round(Length::from_inch(24.0))).outside_across().inch(), 30.0, epsilon = 1e-12);
    // the circle of 30 in x 42 in: sqrt(4 x 1260 / pi)
    assert_relative_eq!(basin(sides).outside_across().inch(), 40.053_5, epsilon = 1e-4);
}

/// 3 ft2 of plan; a pump of half a cubic foot and 6 in high, of 1 ft2 of section.
#[test]
fn identity_what_a_pump_takes_the_place_of_by_hand() {
    let plan = Area::from_ft2(3.0);
    let (body, high) = (Volume::from_ft3(0.5), Length::from_ft(0.5));
    let ft = Length::from_ft;
    assert_relative_eq!(stored_between(plan, ft(0.25), ft(2.25), Volume::from_ft3(0.5)).ft3(), 5.5, epsilon = 1e-12);
    // all of it, its upper half, none of it above it, none where it has no height
    for (from, to, share) in [(0.0, 2.0, 1.0), (0.25, 2.0, 0.5), (0.25, 0.375, 0.25), (0.5, 2.0, 0.0), (1.0, 2.0, 0.0)]
    {
        let found = displaced_between(body, high, ft(from), ft(to)).ft3();
        assert_relative_eq!(found, 0.5 * share, epsilon = 1e-12);
    }
    assert_eq!(displaced_between(body, Length::ZERO, ft(0.0), ft(2.0)), Volume::ZERO);
    assert_eq!(displaced_between(body, high, ft(2.0), ft(0.0)), Volume::ZERO);
    // beside the pump 2 ft2 are left: 0.4 ft3 rise 0.2 ft; 1 ft3 just covers it; beyond it the whole plan takes it
    for (from, volume, rise) in
        [(0.0, 0.4, 0.2), (0.0, 1.0, 0.5), (0.0, 4.0, 1.5), (0.25, 2.0, 0.75), (0.5, 3.0, 1.0), (1.0, 3.0, 1.0)]
    {
        let found = height_for_volume(plan, ft(from), Volume::from_ft3(volume), body, high);
        assert_relative_eq!(found.ft(), rise, epsilon = 1e-12);
        let stored =
            stored_between(plan, ft(from), ft(from) + found, displaced_between(body, high, ft(from), ft(from) + found));
        assert_relative_eq!(stored.ft3(), volume, epsilon = 1e-12);
    }
    let without = height_for_volume(plan, ft(0.25), Volume::from_ft3(1.5), body, Length::ZERO);
    assert_relative_eq!(without.ft(), 0.5, epsilon = 1e-12);
}

#[test]
fn identity_the_usual_pump_is_a_cylinder_of_7_in() {
    // pi / 4 x 7^2 x 12 in3 = 461.81 in3
    assert_relative_eq!(usual_pump_volume(Length::from_inch(12.0)).ft3() * 1728.0, 461.814, epsilon = 1e-3);
}
