//! French drains: cover, table, pipe, fabric, lowering.

use crate::given::{
    MAIN, MEADOW, cure_with, cures, design_with, finding, first_number, message, number, number_after, says,
};
use approx::assert_relative_eq;
use sumpwright::design::{Design, Severity};
use sumpwright::quantity::Flow;

const INVERTS: &str = "up_invert = \"46.90 ft\"\ndown_invert = \"46.50 ft\"";
const TRENCH: &str =
    "trench = { width = \"14 in\", bottom = \"4 in below pipe\", top = \"48.8 ft\", porosity = 0.38, cover = \"sod\" }";

/// The meadow with its French drain so much deeper.
fn deeper(feet: f64, more: &[(&str, &str)]) -> Design {
    let inverts = format!("up_invert = \"{:.4} ft\"\ndown_invert = \"{:.4} ft\"", 46.9 - feet, 46.5 - feet);
    let mut changes = vec![(INVERTS, inverts.as_str())];
    changes.extend(more);
    design_with(MEADOW, &changes)
}

#[test]
fn identity_runoff_does_not_get_through_sod() {
    let to_drain = (
        "slope = \"1 %\"\ndrains_to = \"path grate\"\nflow_path",
        "slope = \"1 %\"\ndrains_to = \"back drain\"\nflow_path",
    );
    let design = design_with(MEADOW, &[to_drain]);
    let found = finding(&design, "runoff-to-covered-french-drain");
    assert_eq!(found.severity, Severity::Stop);
    let grass = design.storm.catchments.iter().find(|result| result.name == "grass").unwrap();
    let runoff = number(&design, "runoff-to-covered-french-drain", "runoff");
    assert_relative_eq!(runoff, grass.own_peak.m3s(), max_relative = 1e-12);
    // both cures
    assert_eq!(found.cures.len(), 2);
    assert!(!says(&design_with(MEADOW, &[]), "runoff-to-covered-french-drain"));
    let stone = design_with(MEADOW, &[to_drain, ("cover = \"sod\"", "cover = \"stone\"")]);
    assert!(!says(&stone, "runoff-to-covered-french-drain"));
    // a trench of which nothing is known is most likely under sod
    let bare = design_with(MEADOW, &[to_drain, (TRENCH, "")]);
    assert_eq!(finding(&bare, "runoff-to-covered-french-drain").severity, Severity::Caution);
}

#[test]
fn identity_caught_water_is_not_let_out_again() {
    // the grate's line as a French drain
    let kind = (
        "from = \"path grate\"\nto = \"basin\"\nmaterial = \"PVC SDR 35\"",
        "from = \"path grate\"\nto = \"basin\"\nkind = \"french\"\nmaterial = \"PVC SDR 35 perforated\"",
    );
    let design = design_with(MEADOW, &[kind]);
    assert_eq!(finding(&design, "water-into-perforated-pipe").severity, Severity::Caution);
    assert!(message(&design, "water-into-perforated-pipe").contains("what `path grate` catches"));
    assert!(cures(&design, "water-into-perforated-pipe")[0].starts_with("a solid pipe"));
    // groundwater at 48.30 ft stands above the line's lower end, at 47.70 ft: nothing seeps out there
    let house = "beside the house";
    assert!(!message(&design, "water-into-perforated-pipe").contains(house));
    let low = ("seasonal_high = \"48.3 ft\"", "seasonal_high = \"47.6 ft\"");
    assert!(message(&design_with(MEADOW, &[kind, low]), "water-into-perforated-pipe").contains(house));
    assert!(!says(&design_with(MEADOW, &[]), "water-into-perforated-pipe"));
}

#[test]
fn identity_a_roof_in_a_french_drain_is_spoken_of_once() {
    let roof = ("surface = \"roof\"\ndrains_to = \"path grate\"", "surface = \"roof\"\ndrains_to = \"back drain\"");
    let sod = design_with(MEADOW, &[roof]);
    assert!(says(&sod, "runoff-to-covered-french-drain") && !says(&sod, "water-into-perforated-pipe"));
    cure_with(&sod, "runoff-to-covered-french-drain", "from the downspouts");
    let stone = design_with(MEADOW, &[roof, ("cover = \"sod\"", "cover = \"stone\"")]);
    assert!(!says(&stone, "runoff-to-covered-french-drain"));
    assert!(message(&stone, "water-into-perforated-pipe").contains("`roof, back half`"));
}

#[test]
fn identity_the_pipe_of_a_french_drain_may_set_the_limit() {
    let gravel = ("drawdown = \"18 in\"", "drawdown = \"18 in\"\nconductivity = \"40 ft/day\"\nreach = \"15 ft\"");
    let measured = ("rise = \"5 in\"\nover = \"12 min\"\npit_diameter = \"36 in\"\nwith_drain = true\n", "");
    let with = |size: &str, down: f64| {
        let line =
            format!("size = \"{size}\"\nlength = \"70 ft\"\nup_invert = \"46.90 ft\"\ndown_invert = \"{down} ft\"");
        design_with(
            MEADOW,
            &[
                gravel,
                measured,
                (
                    "size = \"4 in\"\nlength = \"70 ft\"\nup_invert = \"46.90 ft\"\ndown_invert = \"46.50 ft\"",
                    line.as_str(),
                ),
            ],
        )
    };
    let design = with("4 in", 46.5);
    assert_eq!(finding(&design, "french-pipe-limits").severity, Severity::Note);
    assert!(!says(&design, "drain-too-small"));
    let most = number(&design, "french-pipe-limits", "most");
    assert!(most > design.way_in.french[0].carries.unwrap().m3s());
    let size = cure_with(&design, "french-pipe-limits", "pipe of the same kind");
    assert!(size.starts_with("6 in"), "{size}");
    assert!(!says(&with("6 in", 46.5), "french-pipe-limits"));
    // the fall printed carries the flow that is printed
    let fall = first_number(&cure_with(&design, "french-pipe-limits", "a fall of"));
    let carries = |percent: f64| with("4 in", 46.9 - percent * 0.7).way_in.french[0].carries.unwrap();
    assert!(carries(fall) >= Flow::from_m3s(most) && carries(fall - 0.11) < Flow::from_m3s(most));
}

#[test]
fn identity_runoff_through_stone_must_get_in_through_the_holes() {
    let stone = ("cover = \"sod\"", "cover = \"stone\"");
    let roof = ("surface = \"roof\"\ndrains_to = \"path grate\"", "surface = \"roof\"\ndrains_to = \"back drain\"");
    let with = |feet: f64, to: Option<(&str, &str)>| {
        let length = format!("length = \"{feet} ft\"\nup_invert");
        let mut changes = vec![stone, ("length = \"70 ft\"\nup_invert", length.as_str())];
        changes.extend(to);
        design_with(MEADOW, &changes)
    };
    let design = with(40.0, Some(roof));
    assert_eq!(finding(&design, "french-holes-limit").severity, Severity::Caution);
    let long = first_number(&cure_with(&design, "french-holes-limit", "a trench"));
    assert!(long > 40.0);
    assert!(!says(&with(long, Some(roof)), "french-holes-limit"), "{long}");
    assert!(says(&with(long - 1.5, Some(roof)), "french-holes-limit"), "{long}");
    // groundwater alone comes in through the ground, which lets less through
    assert!(!says(&with(40.0, None), "french-holes-limit"));
    // under sod no runoff comes at all
    let sod = [roof, ("length = \"70 ft\"\nup_invert", "length = \"40 ft\"\nup_invert")];
    assert!(!says(&design_with(MEADOW, &sod), "french-holes-limit"));
}

#[test]
fn identity_a_french_drain_above_groundwater_is_dry() {
    let table = |feet: f64| {
        let high = format!("seasonal_high = \"{feet} ft\"");
        design_with(MEADOW, &[("seasonal_high = \"48.3 ft\"", high.as_str()), ("drawdown = \"18 in\"\n", "")])
    };
    // the bottom of the trench lies 4 in below 46.50 ft
    let design = table(45.5);
    assert_eq!(finding(&design, "french-drain-dry").severity, Severity::Caution);
    let lower = first_number(&cures(&design, "french-drain-dry")[0]);
    assert_relative_eq!(lower, 8.0, epsilon = 0.051);
    let floats = [("seasonal_high = \"48.3 ft\"", "seasonal_high = \"45.5 ft\""), ("drawdown = \"18 in\"\n", "")];
    assert!(!says(&deeper((lower + 0.1) / 12.0, &floats), "french-drain-dry"));
    assert!(says(&deeper((lower - 0.1) / 12.0, &floats), "french-drain-dry"));
    // stone to the surface takes runoff, dry or not
    let stone = [floats[0], floats[1], ("cover = \"sod\"", "cover = \"stone\"")];
    assert!(!says(&design_with(MEADOW, &stone), "french-drain-dry"));
    assert!(!says(&table(48.3), "french-drain-dry"));
}

#[test]
fn identity_fabric_is_asked_for_where_there_is_none() {
    let design = design_with(MEADOW, &[("fabric = true", "fabric = false")]);
    assert_eq!(finding(&design, "french-drain-without-fabric").severity, Severity::Note);
    assert!(cures(&design, "french-drain-without-fabric")[0].starts_with("fabric round the stone"));
    assert!(!says(&design_with(MEADOW, &[]), "french-drain-without-fabric"));
    // nothing is said of what was not entered
    assert!(!says(&design_with(MEADOW, &[("fabric = true\n", "")]), "french-drain-without-fabric"));
}

#[test]
fn identity_the_lowering_asked_for_is_had_by_the_depth_printed() {
    let wanted = ("drawdown = \"18 in\"", "drawdown = \"24 in\"");
    let design = design_with(MEADOW, &[wanted]);
    assert_eq!(finding(&design, "drawdown-not-reached").severity, Severity::Caution);
    // groundwater at 48.30 ft, the middle of the drain at 46.70 ft
    assert_relative_eq!(number(&design, "drawdown-not-reached", "drawdown"), 1.6 * 0.3048, max_relative = 1e-9);
    let short = number_after(&cures(&design, "drawdown-not-reached")[0], "the drain ");
    assert_relative_eq!(short, 4.8, epsilon = 0.051);
    assert!(!says(&deeper(short / 12.0, &[wanted]), "drawdown-not-reached"));
    // it lets half an inch pass
    assert!(says(&deeper((short - 0.6) / 12.0, &[wanted]), "drawdown-not-reached"));
    assert!(!says(&design_with(MEADOW, &[]), "drawdown-not-reached"));
}

#[test]
fn identity_a_drain_above_groundwater_is_told_how_deep_it_must_go() {
    // the middle of the drain half a foot above groundwater, and a foot and a half asked for
    let table = ("seasonal_high = \"48.3 ft\"", "seasonal_high = \"46.2 ft\"");
    let floats = [
        table,
        ("off = \"8 in\"", "off = \"4 in\""),
        ("on = \"26 in\"", "on = \"8 in\""),
        ("lowest_level = \"5 in\"", "lowest_level = \"2 in\""),
    ];
    let design = design_with(MEADOW, &floats);
    let short = number_after(&cures(&design, "drawdown-not-reached")[0], "the drain ");
    assert_relative_eq!(short, 24.0, epsilon = 0.051);
    assert!(!says(&deeper(short / 12.0, &floats), "drawdown-not-reached"));
    assert!(says(&deeper((short - 0.6) / 12.0, &floats), "drawdown-not-reached"));
}

#[test]
fn identity_where_the_floats_hold_the_water_they_are_set_lower() {
    // half-way between the floats at 47.5 ft, above the drain's 46.70 ft
    let with = |inches: f64| {
        let (off, on) = (format!("off = \"{} in\"", 34.0 - inches), format!("on = \"{} in\"", 50.0 - inches));
        design_with(
            MEADOW,
            &[
                ("off = \"8 in\"", off.as_str()),
                ("on = \"26 in\"", on.as_str()),
                ("alarm = \"34 in\"", "alarm = \"60 in\""),
                ("above_floor = \"44 in\"", "above_floor = \"64 in\""),
            ],
        )
    };
    let design = with(0.0);
    let cure = &cures(&design, "drawdown-not-reached")[0];
    assert!(cure.starts_with("the floats lower"), "{cure}");
    let short = number_after(cure, "must lie ");
    assert!(!says(&with(short), "drawdown-not-reached"), "{cure}");
    assert!(says(&with(short - 0.6), "drawdown-not-reached"));
}

#[test]
fn identity_the_drain_of_the_cut_bank_stands_above_its_floats() {
    // what is measured there goes before what is worked out, and both are far above nothing
    let design = design_with(MAIN, &[]);
    assert!(!says(&design, "french-drain-dry") && !says(&design, "french-pipe-limits"));
    assert!(design.way_in.french[0].seep.as_ref().unwrap().head.ft() > 0.0);
}

#[test]
fn identity_what_stands_in_the_way_of_the_lowering_is_named() {
    // a tight layer above the level that is wanted, 46.80 ft
    let tight = [("tight_layer = \"41.0 ft\"", "tight_layer = \"47.5 ft\"")];
    let design = design_with(MEADOW, &tight);
    let inches = number_after(&cures(&design, "drawdown-not-reached")[0], "no more than ");
    let asked = format!("drawdown = \"{inches} in\"");
    let cured = design_with(MEADOW, &[tight[0], ("drawdown = \"18 in\"", asked.as_str())]);
    assert!(!says(&cured, "drawdown-not-reached"));
    assert_relative_eq!(inches, 0.8 * 12.0, epsilon = 0.11);
    // the water of the catch basin that it leads to, 47.90 ft
    let into = ("name = \"back drain\"\nto = \"basin\"", "name = \"back drain\"\nto = \"path grate\"");
    let seep = |design: &Design| {
        let back = design.way_in.french.iter().find(|french| french.name == "back drain").unwrap();
        back.seep.clone().unwrap()
    };
    let design = design_with(MEADOW, &[into]);
    assert_relative_eq!(seep(&design).held.ft(), 47.9, epsilon = 1e-9);
    assert!(says(&design, "drawdown-not-reached"));
    // an on level that groundwater does not reach is spoken of elsewhere
    let on = [
        ("on = \"26 in\"", "on = \"54 in\""),
        ("alarm = \"34 in\"", "alarm = \"58 in\""),
        ("above_floor = \"44 in\"", "above_floor = \"66 in\""),
    ];
    let high = design_with(MEADOW, &on);
    assert!(says(&high, "on-level-above-groundwater") && !says(&high, "drawdown-not-reached"));
    // nor is a measurement held against a flow that the floats keep out
    assert!(!says(&high, "measured-inflow-unlike-ground"));
}
