//! Groundwater in numbers: what seeps in as a range, what a trench has room for, what the pump does for it in a day.

use crate::given::{MEADOW, design_with};
use approx::assert_relative_eq;
use std::f64::consts::PI;
use sumpwright::catalog;
use sumpwright::design::{Design, FrenchResult, Seep};
use sumpwright::hydraulics::Pipe;
use sumpwright::quantity::{Flow, Length};

/// Feet, feet and seconds are what is reckoned with by hand here.
const FT3_M3: f64 = 0.3048 * 0.3048 * 0.3048;

const MEASURED: (&str, &str) =
    ("rise = \"5 in\"\nover = \"12 min\"\npit_diameter = \"36 in\"\nwith_drain = true\n", "");
/// A reach that is known, so that it is the same at both ends of the range.
const REACH: (&str, &str) = ("drawdown = \"18 in\"", "drawdown = \"18 in\"\nreach = \"30 ft\"");
const REACH_FT: f64 = 30.0;

fn french(design: &Design) -> &FrenchResult {
    design.way_in.french.iter().find(|french| french.name == "back drain").unwrap()
}

fn seep(design: &Design) -> &Seep {
    french(design).seep.as_ref().unwrap()
}

fn perforated_pipe() -> Pipe {
    catalog::pipe("PVC SDR 35 perforated", "4 in").unwrap().pipe.clone()
}

/// Conductivity of the ground, taken, least and most, ft/s.
fn conductivity(design: &Design) -> (f64, f64, f64) {
    let ground = design.storm.groundwater.ground.as_ref().unwrap();
    (ground.conductivity.ms() / 0.3048, ground.conductivity_low.ms() / 0.3048, ground.conductivity_high.ms() / 0.3048)
}

fn ft3s(flow: Flow) -> f64 {
    flow.m3s() / FT3_M3
}

/// The meadow with groundwater at a level and the pump on at a height, and no lowering asked for.
fn room_ft3(high: f64, on: f64) -> f64 {
    let (high, on) = (format!("seasonal_high = \"{high} ft\""), format!("on = \"{on} in\""));
    let design = design_with(
        MEADOW,
        &[
            ("seasonal_high = \"48.3 ft\"", high.as_str()),
            ("on = \"26 in\"", on.as_str()),
            ("alarm = \"34 in\"", "alarm = \"60 in\""),
            ("above_floor = \"44 in\"", "above_floor = \"64 in\""),
            ("drawdown = \"18 in\"\n", ""),
        ],
    );
    french(&design).room.unwrap().m3() / FT3_M3
}

#[test]
fn identity_a_trench_has_room_only_above_what_stands_in_it() {
    let (stone_ft2, long_ft, top_ft) = (0.38 * 14.0 / 12.0, 70.0, 48.8);
    // groundwater at 48.30 ft, above the pipe all along
    assert_relative_eq!(room_ft3(48.3, 26.0), stone_ft2 * (top_ft - 48.3) * long_ft, max_relative = 1e-9);
    // groundwater below the drain, but the water in the basin at 44.00 ft and 40 in, above the pipe all along
    assert_relative_eq!(room_ft3(45.5, 40.0), stone_ft2 * (top_ft - 44.0 - 40.0 / 12.0) * long_ft, max_relative = 1e-9);
    // both below the pipe: all of the pipe, and the stone above the pipe's invert beside it
    let pipe = perforated_pipe();
    let (radius, wall) = (pipe.outside_diameter.ft() / 2.0, (pipe.outside_diameter - pipe.bore).ft() / 2.0);
    let below_invert = radius * radius * libm::acos((radius - wall) / radius)
        - (radius - wall) * (2.0 * radius * wall - wall * wall).sqrt();
    let stone = 14.0 / 12.0 * (top_ft - 46.7) - (PI * radius * radius - below_invert);
    let bore = PI * pipe.bore.ft() * pipe.bore.ft() / 4.0;
    assert_relative_eq!(room_ft3(45.5, 26.0), (0.38 * stone + bore) * long_ft, max_relative = 1e-6);
}

#[test]
fn identity_each_end_of_the_range_is_its_formula_from_one_side_or_both() {
    for sides in [1_u32, 2] {
        let fabric = format!("fabric = true\nsides = {sides}");
        let design = design_with(MEADOW, &[REACH, ("fabric = true", fabric.as_str())]);
        let seep = seep(&design);
        // groundwater at 48.30 ft, the middle of the drain at 46.70 ft
        let (head, depth, sides) = (1.6, seep.equivalent_depth.ft(), f64::from(sides));
        assert_relative_eq!(seep.head.ft(), head, max_relative = 1e-9);
        let (taken, low, high) = conductivity(&design);
        let dupuit = |k: f64| k * ((depth + head) * (depth + head) - depth * depth) / (2.0 * REACH_FT) * 70.0 * sides;
        assert_relative_eq!(ft3s(seep.flow.taken), dupuit(taken), max_relative = 1e-9);
        assert_relative_eq!(ft3s(seep.flow.low), dupuit(low), max_relative = 1e-9);
        // Hooghoudt's is that of both sides
        let fed = (8.0 * high * depth * head + 4.0 * high * head * head) / (2.0 * REACH_FT) * 70.0 * sides / 2.0;
        assert_relative_eq!(ft3s(seep.flow.high), fed, max_relative = 1e-9);
        assert!(seep.flow.low < seep.flow.taken && seep.flow.taken < seep.flow.high);
    }
}

#[test]
fn identity_of_a_sloping_drain_only_what_lies_in_groundwater_counts() {
    // it falls from 46.90 ft to 46.50 ft, and groundwater stands at its middle
    let half = design_with(MEADOW, &[("seasonal_high = \"48.3 ft\"", "seasonal_high = \"46.7 ft\"")]);
    let seep = seep(&half);
    assert_relative_eq!(seep.wet_length.ft(), 35.0, max_relative = 1e-9);
    assert_relative_eq!(seep.held.ft(), 46.6, max_relative = 1e-9);
    assert_relative_eq!(seep.head.ft(), 0.1, max_relative = 1e-6);
}

#[test]
fn identity_a_tight_layer_above_the_drain_holds_groundwater_up() {
    let design = design_with(MEADOW, &[REACH, ("tight_layer = \"41.0 ft\"", "tight_layer = \"47.5 ft\"")]);
    let seep = seep(&design);
    assert_relative_eq!(seep.held.ft(), 47.5, max_relative = 1e-9);
    assert_relative_eq!(seep.head.ft(), 0.8, max_relative = 1e-9);
    assert_eq!(seep.tight_layer_below.taken, Length::ZERO);
    // all of it comes in above that layer
    let (taken, ..) = conductivity(&design);
    assert_relative_eq!(ft3s(seep.flow.taken), taken * 0.8 * 0.8 / (2.0 * REACH_FT) * 70.0 * 2.0, max_relative = 1e-9);
}

/// Hooghoudt's equivalent depth with the sum of Van der Molen and Wesseling (1991) taken term by term.
fn equivalent_depth_ft(spacing: f64, below: f64, radius: f64) -> f64 {
    let x = 2.0 * PI * below / spacing;
    let sum: f64 = (0..20_000_u32)
        .map(|step| {
            let n = 2.0 * f64::from(step) + 1.0;
            let left = libm::exp(-2.0 * n * x);
            4.0 * left / (n * (1.0 - left))
        })
        .sum();
    PI * spacing / 8.0 / (libm::log(spacing / (PI * radius)) + sum)
}

#[test]
fn identity_water_comes_in_over_the_bottom_and_sides_of_a_trench_up_to_the_top_of_its_pipe() {
    let trench = "trench = { width = \"14 in\", bottom = \"4 in below pipe\", top = \"48.8 ft\", porosity = 0.38, cover = \"sod\" }";
    let outside = perforated_pipe().outside_diameter.ft();
    let edge = 14.0 / 12.0 + 2.0 * (4.0 / 12.0 + outside);
    let with = |to: &str| seep(&design_with(MEADOW, &[REACH, (trench, to)])).equivalent_depth.ft();
    // 46.70 ft over a tight layer at 41.00 ft
    let depth = |edge: f64| equivalent_depth_ft(2.0 * REACH_FT, 5.7, edge / PI);
    assert_relative_eq!(with(trench), depth(edge), max_relative = 1e-9);
    // without a trench the pipe's round, and an edge that is entered as it is
    assert_relative_eq!(with(""), depth(PI * outside), max_relative = 1e-9);
    assert_relative_eq!(with("perimeter = \"3 ft\""), depth(3.0), max_relative = 1e-9);
}

#[test]
fn identity_what_comes_through_the_wall_is_the_flow_to_a_round_pit() {
    let holes = ("floor = \"44.00 ft\"", "floor = \"44.00 ft\"\nperforated = true");
    let design = design_with(MEADOW, &[REACH, holes]);
    let wall = design.storm.groundwater.through_wall.unwrap();
    // over a tight layer at 41.00 ft: groundwater at 48.30 ft, half-way between the floats 17 in over 44.00 ft; the reach
    // is counted from the wall
    let (far, near) = (48.3 - 41.0, 44.0 + 17.0 / 12.0 - 41.0);
    let pit = |k: f64| PI * k * (far * far - near * near) / libm::log((REACH_FT + 15.5 / 12.0) / (15.5 / 12.0));
    let (taken, low, high) = conductivity(&design);
    assert_relative_eq!(ft3s(wall.taken), pit(taken), max_relative = 1e-9);
    assert_relative_eq!(ft3s(wall.low), pit(low), max_relative = 1e-9);
    assert_relative_eq!(ft3s(wall.high), pit(high), max_relative = 1e-9);
    assert!(low < taken && taken < high);
    // above a tight layer only the ground over it gives water, into an empty pit there
    let tight = ("tight_layer = \"41.0 ft\"", "tight_layer = \"47.5 ft\"");
    let shallow = design_with(MEADOW, &[REACH, holes, tight]).storm.groundwater.through_wall.unwrap();
    let over = PI * taken * 0.8 * 0.8 / libm::log((REACH_FT + 15.5 / 12.0) / (15.5 / 12.0));
    assert_relative_eq!(ft3s(shallow.taken), over, max_relative = 1e-9);
    // a wide pit takes in water however short the reach
    let wide = [("inside_diameter = \"30 in\"\noutside_diameter = \"31 in\"", "inside_diameter = \"98 in\""), holes];
    let near = |feet: &str| {
        let reach = format!("tight_layer = \"41.0 ft\"\nreach = \"{feet} ft\"");
        let changes = [wide[0], wide[1], ("tight_layer = \"41.0 ft\"", reach.as_str())];
        design_with(MEADOW, &changes).storm.groundwater.through_wall.unwrap().taken
    };
    assert!(near("4") > near("4.5") && near("4.5") > near("8"));
}

#[test]
fn identity_what_a_pump_moves_in_its_runs_came_in_over_runs_and_rests() {
    let times = "pump_flow = \"20 gpm\"\npump_down = \"30 s\"\nover = \"90 s\"\nwith_drain = true\n";
    let design = design_with(MEADOW, &[(MEASURED.0, times)]);
    // 20 gpm for 30 s of each 120 s
    assert_relative_eq!(design.storm.groundwater.measured.unwrap().gpm(), 5.0, max_relative = 1e-9);
    assert_relative_eq!(design.storm.groundwater.flow.gpm(), 5.0, max_relative = 1e-9);
}

#[test]
fn identity_starts_and_electricity_of_a_day() {
    let inflow = ("drawdown = \"18 in\"", "drawdown = \"18 in\"\ninflow = \"3 gpm\"");
    let design = design_with(MEADOW, &[inflow]);
    let run = design.groundwater_run.unwrap();
    let cycle = design.pump().unwrap().cycle.as_ref().unwrap();
    let (live, back, out) = (cycle.live.gal(), cycle.runs_back.gal(), cycle.leaves.gpm());
    // minutes at rest and of a run at 3 gpm
    let (rest, runs) = ((live - back) / 3.0, live / (out - 3.0));
    assert!(rest > 0.0 && runs > 0.0);
    assert_relative_eq!(run.starts_a_day, 1440.0 / (rest + runs), max_relative = 1e-9);
    // the pump takes 560 W while it runs
    assert_relative_eq!(run.kwh_a_day.unwrap(), 0.56 * 24.0 * 3.0 / out, max_relative = 1e-9);
    assert_relative_eq!(run.runs_a_day.s(), 86400.0 * 3.0 / out, max_relative = 1e-9);
}

#[test]
fn identity_a_full_low_spot_soaks_away_over_the_water_it_stands_with() {
    // 0.4 in/h over 1100 ft2 at 50.00 ft, 350 ft2 at 49.75 ft, half-way between at 49.875 ft
    let with = |spills: &str| {
        let texture = ("texture = \"sandy loam\"", "infiltration = \"0.4 in/h\"");
        let design = design_with(MEADOW, &[texture, ("spills_at = \"50.00 ft\"\n", spills)]);
        let (name, area, flow) = design.way_in.soaks_away.first().unwrap().clone();
        assert_eq!(name, "path hollow");
        (area.ft2(), ft3s(flow) * 3600.0)
    };
    for (spills, area) in [
        ("spills_at = \"50.00 ft\"\n", 1100.0),
        ("spills_at = \"49.875 ft\"\n", 725.0),
        ("spills_at = \"49.75 ft\"\n", 350.0),
        // where it spills is not known: the highest that is
        ("", 1100.0),
    ] {
        let (wet, away) = with(spills);
        assert_relative_eq!(wet, area, max_relative = 1e-9);
        assert_relative_eq!(away, area * 0.4 / 12.0, max_relative = 1e-9);
    }
}
