//! The crew sheet.

use crate::read_back::check_crew;
use crate::{Made, SETUPS, changed};
use approx::assert_relative_eq;
use sumpwright::report::papers::Paper;
use sumpwright::site::{self, NoFiles};

#[test]
fn identity_depths_by_hand() {
    let made = Made::example("cut-bank");
    let trench = &made.job.stations.trenches[0];
    // 25 ft: invert 95.10 + 25/40 x 2.30 = 96.5375, ground 96.40 + 25/40 x 2.60 = 98.025; the wall of 2 in schedule 40 is
    // 0.154 in: 17.850 in + 0.154 in = 18.004 in to dig, 1' 6"; cover 17.850 - 2.067 - 0.154 = 15.629 in, 1' 3-5/8"
    let station = trench.stations.iter().find(|station| (station.at.ft() - 25.0).abs() < 1e-9).unwrap();
    assert!(!station.entered && station.ground_between);
    assert_relative_eq!(station.dig.unwrap().inch(), 18.004, epsilon = 1e-3);
    assert_relative_eq!(station.cover.unwrap().inch(), 15.629, epsilon = 1e-3);
    // since 0 ft: 1.4375 ft = 17.25 in
    assert_relative_eq!(station.since.unwrap().inch(), 17.25, epsilon = 1e-9);
    // the hole: 96.40 - 91.40 ft are 60 in, a floor of 3/4 in as the wall is (31.5 - 30)/2, and 6 in of stone
    assert_relative_eq!(made.job.stations.hole.depth.inch(), 66.75, epsilon = 1e-6);
    assert!(made.job.stations.protected && made.job.stations.ladder);
    // 100.00 + 3.27 - 95.10 = 8.17 on the invert at the basin, 8.17 ft and 0.154 in on the bottom
    let lane = Made::with("cut-bank", &[SETUPS]);
    let rods = lane.job.stations.trenches[0].stations[0].rods[0];
    assert_relative_eq!(rods.invert.unwrap().ft(), 8.17, epsilon = 1e-9);
    assert_relative_eq!(rods.bottom.unwrap().ft(), 8.17 + 0.154 / 12.0, epsilon = 1e-6);
    assert!(lane.paper(Paper::Crew).contains("8.170 = 8' 2-1/16\""));
}

#[test]
fn identity_stations_stand_at_the_spacing_and_at_every_point() {
    let at = |made: &Made| -> Vec<f64> {
        made.job.stations.trenches[0].stations.iter().map(|station| (station.at.ft() * 100.0).round() / 100.0).collect()
    };
    let usual = Made::example("cut-bank");
    assert_eq!(at(&usual), [0.0, 25.0, 40.0, 50.0, 75.0, 90.0, 100.0, 125.0, 135.0]);
    let wide = Made::with("cut-bank", &[("[crew]\n", "[crew]\nstation_spacing = \"88 ft\"\n")]);
    // 88 ft lies within a tenth of the spacing from the point at 90 ft
    assert_eq!(at(&wide), [0.0, 40.0, 90.0, 135.0]);
    let metric: Vec<f64> = Made::example("courtyard-metric").job.stations.trenches[0]
        .stations
        .iter()
        .map(|station| station.at.m().round())
        .collect();
    assert_eq!(metric, [0.0, 5.0, 10.0, 14.0, 15.0, 20.0, 25.0, 30.0, 31.0]);
}

#[test]
fn identity_where_no_ground_is_known_there_is_a_blank() {
    // the ground ends at 40 ft
    let short = [(", ground = \"100.70 ft\" }", " }"), (", ground = \"100.90 ft\" }", " }")];
    let made = Made::with("cut-bank", &short);
    let stations = &made.job.stations.trenches[0].stations;
    for station in stations {
        let known = station.at.ft() < 40.5;
        assert_eq!(station.ground.is_some(), known, "{:?}", station.at);
        assert_eq!(station.dig.is_some(), known);
        assert_eq!(station.cover.is_some(), known);
        assert!(station.bottom.is_some(), "the levels are known all the same");
    }
    assert!(check_crew(&made) > 50);
    // a drain's ground is known at its ends alone
    let bank = made.job.stations.trenches.iter().find(|trench| trench.name.as_deref() == Some("bank drain")).unwrap();
    let known: Vec<bool> = bank.stations.iter().map(|station| station.dig.is_some()).collect();
    assert_eq!(known, [true, false, false, true]);
    // stations out of their order are refused before
    let reading = site::read(&changed("cut-bank", &[("at = \"40 ft\"", "at = \"95 ft\"")]), &NoFiles);
    assert!(reading.site.is_none());
    assert!(reading.problems.iter().any(|problem| problem.message.contains("goes back")));
}

#[test]
fn identity_one_setup_is_named_or_each_has_its_own() {
    let both = Made::with("cut-bank", &[SETUPS]);
    let text = both.paper(Paper::Crew);
    assert!(text.contains("setup `door`:") && text.contains("setup `lane`:"));
    for trench in &both.job.stations.trenches {
        for station in &trench.stations {
            let [door, lane] = station.rods.as_slice() else { panic!("two readings") };
            assert_relative_eq!((lane.invert.unwrap() - door.invert.unwrap()).ft(), 2.0, epsilon = 1e-9);
        }
    }
    let one = Made::with("cut-bank", &[SETUPS, ("[crew]\n", "[crew]\nsetup = \"lane\"\n")]);
    let text = one.paper(Paper::Crew);
    assert!(!text.contains("setup `door`:") && text.contains("setup `lane`:"));
    // from an instrument that stands lower than the pipe nothing is read
    let low = Made::with("cut-bank", &[SETUPS, ("\"3.27 ft\"", "\"-1 ft\"")]);
    assert!(low.paper(Paper::Crew).contains("above the instrument"));
    let unknown = site::read(&changed("cut-bank", &[SETUPS, ("[crew]\n", "[crew]\nsetup = \"dor\"\n")]), &NoFiles);
    assert!(unknown.site.is_none() && unknown.problems[0].help.as_deref().unwrap_or("").contains("door"));
}

#[test]
fn identity_the_cautions_stand_where_they_belong() {
    let text = Made::example("cut-bank").paper(Paper::Crew);
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "Call 811",
        "ladder",
        "29 CFR 1926.651 and .652, from memory",
        "covered or fenced",
        "Nobody enters an unshored trench",
        "licensed electrician",
        "Fumes of primer",
        "before groundwater rises",
        "fill the basin with water",
        "not onto a neighbour",
        "Local codes",
        "Lift with two people",
        "it may lie shallow",
    ] {
        assert!(flat.contains(words), "{words}");
    }
    let shallow = Made::example("cut-bank");
    assert!(shallow.job.stations.deepest >= shallow.job.stations.hole.depth);
}

/// Nothing is set at a height above that is not above: what nobody entered is to be decided first.
#[test]
fn identity_heights_that_nobody_entered_are_listed() {
    let words = |made: &Made| made.paper(Paper::Crew).split_whitespace().collect::<Vec<_>>().join(" ");
    let whole = words(&Made::example("cut-bank"));
    assert!(!whole.contains("not entered") && !whole.contains("To be decided"), "{whole}");
    assert!(whole.contains("relief hole, check valve (arrow up) and union at the heights above; tie the floats"));
    let bare = [(", above_floor = \"38 in\"", ""), (", above_floor = \"18 in\"", "")];
    let made = Made::with("cut-bank", &bare);
    assert_eq!(made.job.stations.hole.open, ["check valve", "relief hole"]);
    let text = words(&made);
    for name in ["check valve", "relief hole"] {
        let after = text.split(&format!("height of the {name} ")).nth(1).unwrap();
        assert!(after.starts_with("____") && after.contains("above the floor: not entered"), "{text}");
    }
    assert!(text.contains("check valve and relief hole where it was decided, not before"), "{text}");
    // the valve's height is known, and the hole that it asks for is not in the file
    assert_eq!(Made::example("bid-orchard-wall").job.stations.hole.open, ["relief hole"]);
    // without a valve neither is spoken of
    let courtyard = words(&Made::example("courtyard-metric"));
    assert!(
        courtyard.contains("Set pump, riser and union at the heights above; tie")
            && !courtyard.contains("To be decided"),
        "{courtyard}"
    );
}
