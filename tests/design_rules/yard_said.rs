//! What is said of the yard as a whole: how high water can stand, how deep anybody digs, whether all sizes are known.

use crate::given::{MEADOW, design_with, first_number, message, number_after, says};
use approx::assert_relative_eq;
use sumpwright::design::Design;
use sumpwright::quantity::UnitSystem;

const GRATE: &str = "grate = \"12 in x 12 in\"\nclogged = \"50 %\"";

fn verdict(design: &Design) -> String {
    design.verdict.sentences.iter().map(|sentence| sentence.say(UnitSystem::Us)).collect::<Vec<_>>().join(" ")
}

#[test]
fn identity_pipes_and_grates_are_promised_only_where_their_sizes_are_known() {
    let (promised, unknown) = ("bring that peak to the basin at its on level", "is judged only where their sizes");
    let all = verdict(&design_with(MEADOW, &[]));
    assert!(all.contains(promised) && !all.contains(unknown), "{all}");
    for missing in [
        // the size of the line, its fall, the grate
        ("size = \"4 in\"\nlength = \"18 ft\"", "length = \"18 ft\""),
        ("length = \"18 ft\"\nslope = \"1.1 %\"", "length = \"18 ft\""),
        (GRATE, ""),
    ] {
        let design = design_with(MEADOW, &[missing]);
        assert!(design.holds());
        let said = verdict(&design);
        assert!(said.contains(unknown) && !said.contains(promised), "{missing:?}: {said}");
    }
}

#[test]
fn identity_water_over_a_grate_stands_no_higher_than_the_spill() {
    // an inch of grate would need many feet of water, but the hollow spills at 50.00 ft
    let with = |sill: f64, spills: &str| {
        let sill = format!("level = \"{sill} ft\"");
        let grate = (GRATE, "grate = \"1 in x 1 in\"\nclogged = \"50 %\"");
        design_with(MEADOW, &[grate, ("level = \"50.70 ft\"", sill.as_str()), ("spills_at = \"50.00 ft\"\n", spills)])
    };
    let spills = "spills_at = \"50.00 ft\"\n";
    let design = with(50.7, spills);
    assert!(design.way_in.inlets[0].depth.unwrap().ft() > 2.0);
    assert!(!says(&design, "protected-place-in-reach"));
    assert!(!says(&with(50.01, spills), "protected-place-in-reach"));
    let said = message(&with(49.9, spills), "protected-place-in-reach");
    assert_relative_eq!(number_after(&said, "up to "), 50.0, epsilon = 0.005);
    // with no spill known it rises over the sill
    assert!(says(&with(50.7, ""), "protected-place-in-reach"));
}

/// How deep the digging is said to go, ft.
fn digging(design: &Design) -> f64 {
    let said: Vec<String> = design.advice.iter().map(|advice| advice.sentence.say(UnitSystem::Us)).collect();
    let said = said.iter().find(|said| said.starts_with("Digging goes")).unwrap();
    first_number(said)
}

#[test]
fn identity_the_deepest_dig_is_that_of_basin_drain_or_catch_basin() {
    // the basin from 50.00 ft down to 44.00 ft, a floor of half an inch, and 6 in of stone under it
    assert_relative_eq!(digging(&design_with(MEADOW, &[])), 6.0 + 0.5 / 12.0 + 0.5, epsilon = 0.006);
    // the French drain's trench goes 4 in below 46.90 ft
    let up = ("up_ground = \"49.90 ft\"", "up_ground = \"55.00 ft\"");
    assert_relative_eq!(digging(&design_with(MEADOW, &[up])), 55.0 - 46.9 + 4.0 / 12.0, epsilon = 0.06);
    // and 4 in below 46.50 ft at its lower end
    let down = ("up_ground = \"49.90 ft\"", "up_ground = \"49.90 ft\"\ndown_ground = \"54.00 ft\"");
    assert_relative_eq!(digging(&design_with(MEADOW, &[down])), 54.0 - 46.5 + 4.0 / 12.0, epsilon = 0.06);
    // the catch basin from its rim at 49.50 ft to its trap below 47.90 ft
    let trap = ("silt_trap = \"6 in\"", "silt_trap = \"60 in\"");
    assert_relative_eq!(digging(&design_with(MEADOW, &[trap])), 49.5 - 47.9 + 5.0, epsilon = 0.06);
}
