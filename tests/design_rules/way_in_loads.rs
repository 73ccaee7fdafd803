//! What comes to grates and drains, and how far it backs up.

use crate::given::{CLAY, MEADOW, design_with};
use approx::assert_relative_eq;
use sumpwright::catalog;
use sumpwright::design::{Design, DrainResult, InletResult};
use sumpwright::hydraulics::Pipe;
use sumpwright::quantity::{Flow, Length};

fn drain<'a>(design: &'a Design, name: &str) -> &'a DrainResult {
    design.way_in.drains.iter().find(|drain| drain.name == name).unwrap()
}

fn inlet<'a>(design: &'a Design, name: &str) -> &'a InletResult {
    design.way_in.inlets.iter().find(|inlet| inlet.name == name).unwrap()
}

fn pipe(kind: &str, size: &str) -> Pipe {
    catalog::pipe(kind, size).unwrap().pipe.clone()
}

/// Area times coefficient of every surface.
fn of_all_surfaces(design: &Design) -> f64 {
    design.storm.catchments.iter().map(|surface| surface.area.m2() * surface.coefficient).sum()
}

#[test]
fn identity_grates_that_share_a_low_spot_share_its_steady_water_whole() {
    let spring = "[[inflow]]\nname = \"spring\"\nflow = \"6 gpm\"\ndrains_to = \"hollow\"\n\n[[low_spot]]";
    let design = design_with(CLAY, &[("[[low_spot]]", spring)]);
    let six = Flow::from_gpm(6.0).m3s();
    // the corner's line brings its part to the hollow's grate, and the main takes all
    let part = drain(&design, "corner line").steady.m3s();
    assert!(part > 0.1 * six && part < 0.9 * six, "{part}");
    assert_relative_eq!(drain(&design, "main").steady.m3s(), six, max_relative = 1e-9);
    assert_eq!(drain(&design, "shed line").steady, Flow::ZERO);
    // the steady water is shared as the runoff is
    let runoff = |name: &str| drain(&design, name).weighted_area.m2();
    let shares = runoff("corner line") / (runoff("main") - runoff("shed line"));
    assert_relative_eq!(part / six, shares, max_relative = 1e-9);
}

#[test]
fn identity_a_grate_without_a_drain_is_the_basins_own() {
    let line = "[[drain]]\nname = \"grate line\"\nfrom = \"path grate\"\nto = \"basin\"\nmaterial = \"PVC SDR 35\"\nsize = \"4 in\"\nlength = \"18 ft\"\nslope = \"1.1 %\"\n";
    let design = design_with(MEADOW, &[(line, "")]);
    assert!(!design.way_in.drains.iter().any(|drain| drain.name == "grate line"));
    // roof, path and grass all run to that grate
    assert!(of_all_surfaces(&design) > 0.0);
    assert_relative_eq!(design.way_in.to_basin.m2(), of_all_surfaces(&design), max_relative = 1e-9);
}

#[test]
fn identity_water_stands_no_deeper_over_a_grate_than_the_goal_and_the_spill_allow() {
    let spill = |feet: f64| {
        let to = format!("spills_at = \"{feet} ft\"");
        let design = design_with(MEADOW, &[("spills_at = \"50.00 ft\"", to.as_str())]);
        let grate = inlet(&design, "path grate");
        (grate.allowed.unwrap().inch(), grate.allowed_by_spill)
    };
    // the rim at 49.50 ft and a goal of 2 in: the spill sets it up to 49.667 ft
    for (feet, inches, by_spill) in [(49.6, 1.2, true), (49.66, 1.92, true), (49.68, 2.0, false), (50.0, 2.0, false)] {
        let (allowed, by) = spill(feet);
        assert_relative_eq!(allowed, inches, epsilon = 1e-9);
        assert_eq!(by, by_spill, "{feet}");
    }
    // without a goal the spill alone
    let design = design_with(MEADOW, &[("standing_water = \"2 in\"\n", "")]);
    let grate = inlet(&design, "path grate");
    assert!(grate.allowed_by_spill);
    assert_relative_eq!(grate.allowed.unwrap().inch(), 6.0, epsilon = 1e-9);
}

#[test]
fn identity_a_grate_that_stands_higher_has_less_water_over_it_than_the_goal() {
    // 3 in over the lowest grate of the hollow, at 88.00 ft, do not reach a rim at 88.30 ft
    let small = ("grate = \"18 in x 18 in\"", "grate = \"6 in\"");
    let corner = |feet: f64| {
        let to = format!("rim = \"{feet} ft\"\ngrate = \"24 in x 24 in\"");
        design_with(CLAY, &[small, ("rim = \"88.05 ft\"\ngrate = \"12 in x 12 in\"", to.as_str())])
    };
    let high = corner(88.3);
    let grate = inlet(&high, "corner grate");
    assert!(grate.flow > Flow::ZERO && grate.depth.unwrap() < Length::from_inch(3.0));
    assert!(!grate.roomy && grate.smaller.is_none());
    // level with the other it has room and to spare
    let level = corner(88.0);
    let grate = inlet(&level, "corner grate");
    assert!(grate.roomy && grate.smaller.is_some());
}

#[test]
fn identity_a_drain_without_a_grate_backs_up_no_higher_than_its_crown() {
    // the grate's line comes in steep at the head of the French drain, which has no grate and more than it carries
    let joined = [
        ("from = \"path grate\"\nto = \"basin\"", "from = \"path grate\"\nto = \"back drain\""),
        ("length = \"18 ft\"\nslope = \"1.1 %\"", "length = \"18 ft\"\ndown_invert = \"46.90 ft\""),
        ("area = \"2600 ft2\"", "area = \"26000 ft2\""),
    ];
    let design = design_with(MEADOW, &joined);
    let back = drain(&design, "back drain");
    assert!(back.flow > back.capacity.unwrap());
    let bore = pipe("PVC SDR 35 perforated", "4 in").bore;
    let crown_ft = 46.9 + bore.ft();
    assert!(back.backed.unwrap().pool.ft() > crown_ft + 1.0);
    assert_relative_eq!(drain(&design, "grate line").backed.unwrap().lower.ft(), crown_ft, epsilon = 1e-9);
}

#[test]
fn identity_still_water_fills_a_pipe_as_far_as_it_stands_over_the_crown() {
    // nothing runs in it; the on level is 26 in over a floor at 44.00 ft
    let spare = |down: f64| {
        let block = format!(
            "[[drain]]\nname = \"spare\"\nto = \"basin\"\nmaterial = \"PVC SDR 35\"\nsize = \"4 in\"\nlength = \"50 ft\"\nup_invert = \"46.50 ft\"\ndown_invert = \"{down} ft\"\n\n# It lies below"
        );
        design_with(MEADOW, &[("# It lies below", block.as_str())])
    };
    let bore_ft = pipe("PVC SDR 35", "4 in").bore.ft();
    let on_ft = 44.0 + 26.0 / 12.0;
    let design = spare(45.0);
    let pipe = drain(&design, "spare");
    assert_eq!(pipe.flow, Flow::ZERO);
    let backed = pipe.backed.unwrap();
    assert_relative_eq!(backed.full_length.ft(), (on_ft - bore_ft - 45.0) / 1.5 * 50.0, max_relative = 1e-9);
    assert_relative_eq!(backed.lower.ft(), on_ft, epsilon = 1e-9);
    // the water wets more of it than it fills
    assert_relative_eq!(pipe.standing_at_on.unwrap().0.ft(), (on_ft - 45.0) / 1.5 * 50.0, max_relative = 1e-9);
    // half-way up its lower end it fills none
    let design = spare(46.0);
    assert_eq!(drain(&design, "spare").backed.unwrap().full_length, Length::ZERO);
    assert!(drain(&design, "spare").standing_at_on.unwrap().0 > Length::ZERO);
}

#[test]
fn identity_cover_is_measured_from_the_top_of_the_pipes_wall() {
    let design = design_with(MEADOW, &[]);
    let pipe = pipe("PVC SDR 35 perforated", "4 in");
    let wall = (pipe.outside_diameter - pipe.bore) / 2.0;
    assert!(wall > Length::from_inch(0.05));
    // ground at 49.90 ft, invert at 46.90 ft
    let (up, down) = drain(&design, "back drain").covers;
    assert_relative_eq!(up.unwrap().ft(), 3.0 - pipe.bore.ft() - wall.ft(), epsilon = 1e-9);
    // at the basin the ground is the basin's
    assert_relative_eq!(down.unwrap().ft(), 3.4 - pipe.bore.ft() - wall.ft(), epsilon = 1e-9);
    let ground = ("up_ground = \"49.90 ft\"", "up_ground = \"49.90 ft\"\ndown_ground = \"49.70 ft\"");
    let (_, down) = drain(&design_with(MEADOW, &[ground]), "back drain").covers;
    assert_relative_eq!(down.unwrap().ft(), 3.2 - pipe.bore.ft() - wall.ft(), epsilon = 1e-9);
}
