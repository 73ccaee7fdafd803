use super::*;
use crate::hydraulics::{Outlet, PipeUse, ProfilePoint, Run, Vent};
use approx::assert_relative_eq;

/// A line of 2 in bore through some points (ft along, ft level, ft of ground), its outlet at the last.
fn line(points: &[(f64, f64)]) -> DischargeLine {
    let pipe = Pipe {
        material: "invented".to_owned(),
        size: "2 in".to_owned(),
        outside_diameter: Length::from_inch(2.4),
        bore: Length::from_inch(2.0),
        average_bore: None,
        rating: None,
        hazen_williams_c: 150.0,
        roughness: Length::ZERO,
        manning_n: 0.01,
        made_for: PipeUse::Pressure,
        against_pressure: None,
        elastic_modulus: None,
    };
    let end = points[points.len() - 1];
    let run =
        |length: f64| Run { pipe: pipe.clone(), length: Length::from_ft(length), fittings: Vec::new(), allowance: 0.0 };
    DischargeLine {
        riser: run(3.0),
        risers: 1,
        check_valve: None,
        relief_hole: None,
        drain_hole: None,
        runs: vec![run(end.0)],
        profile: points
            .iter()
            .map(|(at, level)| ProfilePoint {
                at: Length::from_ft(*at),
                invert: Level::from_ft(*level),
                ground: Some(Level::from_ft(level + 2.0)),
                under: None,
            })
            .collect(),
        vents: Vec::new(),
        outlet: Outlet {
            kind: "open end".to_owned(),
            level: Level::from_ft(end.1),
            ditch_full: None,
            k: 0.0,
            opening_head: None,
            returned_share: 0.0,
        },
    }
}

/// Up to 10, down to 6, up to 12, down to 9, up to 11, down to 8 ft.
fn hills() -> DischargeLine {
    line(&[(0.0, 2.0), (20.0, 10.0), (40.0, 6.0), (60.0, 12.0), (80.0, 9.0), (100.0, 11.0), (120.0, 8.0)])
}

#[test]
fn identity_water_stays_below_the_lower_lip() {
    let pockets = hills().standing_water(false);
    // between 20 and 60 ft up to level 10: from the lip at 20 to two thirds of the rise from 40 to 60
    let ends: Vec<(f64, f64, f64)> =
        pockets.iter().map(|pocket| (pocket.from.ft(), pocket.to.ft(), pocket.lowest_at.ft())).collect();
    assert_eq!(ends.len(), 2, "{ends:?}");
    assert_relative_eq!(ends[0].0, 20.0, epsilon = 1e-9);
    assert_relative_eq!(ends[0].1, 40.0 + 20.0 * 4.0 / 6.0, epsilon = 1e-9);
    assert_relative_eq!(ends[0].2, 40.0);
    // beyond the highest point, up to level 11
    assert_relative_eq!(ends[1].0, 60.0 + 20.0 / 3.0, epsilon = 1e-9);
    assert_relative_eq!(ends[1].1, 100.0, epsilon = 1e-9);
    // 1 ft of 2 in bore holds 0.1632 gal
    assert_relative_eq!(pockets[0].volume.gal(), 33.3333 * 0.163_2, max_relative = 1e-3);
}

#[test]
fn identity_a_valve_keeps_all_up_to_the_highest_point() {
    let pockets = hills().standing_water(true);
    assert_eq!(pockets.len(), 2);
    assert_relative_eq!(pockets[0].from.ft(), 0.0);
    assert_relative_eq!(pockets[0].to.ft(), 60.0, epsilon = 1e-9);
    assert_relative_eq!(pockets[1].to.ft(), 100.0, epsilon = 1e-9);
}

#[test]
fn identity_an_outlet_above_the_pipes_end_keeps_it_full() {
    let mut line = line(&[(0.0, 5.0), (50.0, 4.0)]);
    assert!(line.standing_water(false).is_empty());
    line.outlet.level = Level::from_ft(4.5);
    let pockets = line.standing_water(false);
    assert_relative_eq!(pockets[0].from.ft(), 25.0, epsilon = 1e-9);
    assert_relative_eq!(pockets[0].to.ft(), 50.0, epsilon = 1e-9);
}

#[test]
fn identity_caught_air_asks_for_the_sum_of_the_rises() {
    let mut line = hills();
    let water = Level::from_ft(0.0);
    // 2 + 8 + 6 + 2 and the bore
    assert_relative_eq!(line.air_locked_lift(water).unwrap().ft(), 18.0 + 2.0 / 12.0, epsilon = 1e-9);
    let summits = line.summits();
    let at: Vec<f64> = summits.iter().map(|summit| summit.at.ft()).collect();
    assert_eq!(at, [20.0, 60.0, 100.0]);
    assert_eq!(summits.iter().map(|summit| summit.rises_again).collect::<Vec<_>>(), [true, true, false]);
    // vents at the first two let the falls fill: only the highest point counts
    line.vents = [20.0, 60.0].map(|at| Vent { at: Length::from_ft(at), open_top: None }).to_vec();
    assert_relative_eq!(line.air_locked_lift(water).unwrap().ft(), 12.0 + 2.0 / 12.0, epsilon = 1e-9);
}

#[test]
fn identity_a_dip_within_the_bore_catches_no_air() {
    let line = line(&[(0.0, 2.0), (20.0, 10.0), (40.0, 9.9), (60.0, 12.0)]);
    assert!(line.summits().is_empty());
    assert_relative_eq!(line.air_locked_lift(Level::ZERO).unwrap().ft(), 12.0 + 2.0 / 12.0, epsilon = 1e-9);
    // but it holds water
    assert_eq!(line.standing_water(false).len(), 1);
}

#[test]
fn identity_a_line_that_falls_from_the_start_has_its_summit_there() {
    let line = line(&[(0.0, 5.0), (60.0, 2.0)]);
    let summits = line.summits();
    assert_eq!(summits.len(), 1);
    assert_relative_eq!(summits[0].at.ft(), 0.0);
    assert!(!summits[0].rises_again);
    assert_relative_eq!(line.highest_at().ft(), 0.0);
}

#[test]
fn identity_frost_reaches_the_part_with_less_cover() {
    // cover from 2 ft less 2.2 in at the start to 1 ft less at the end
    let mut line = line(&[(0.0, 2.0), (100.0, 10.0)]);
    line.profile[1].ground = Some(Level::from_ft(11.0));
    let pockets = line.standing_water(true);
    let top = 2.2 / 12.0;
    let depth = Length::from_ft(1.5 - top);
    let parts = line.within_depth(&pockets, depth);
    assert_eq!(parts.len(), 1);
    assert_relative_eq!(parts[0].from.ft(), 50.0, epsilon = 1e-6);
    assert_relative_eq!(parts[0].to.ft(), 100.0, epsilon = 1e-6);
    assert!(line.within_depth(&pockets, Length::from_inch(6.0)).is_empty());
}

#[test]
fn crosscheck_drain_time_against_small_steps() {
    // 100 ft that rise 10 ft above the hole, emptied in slices from the top
    let line = line(&[(0.0, 1.0), (100.0, 11.0)]);
    let hole = crate::hydraulics::ReliefHole {
        diameter: Length::from_inch(0.25),
        above_floor: None,
        discharge_coefficient: 0.6,
    };
    let time = line.drain_time(&hole, Level::ZERO).unwrap();
    let steps = 100_000_u32;
    let slice = stretch_volume(&line, Length::ZERO, Length::from_ft(100.0)).m3() / f64::from(steps);
    let seconds: f64 = (0..steps)
        .map(|step| {
            let height_m = (1.0 + 10.0 * (f64::from(step) + 0.5) / f64::from(steps)) * 0.3048;
            slice / (0.6 * hole.diameter.circle().m2() * (2.0 * GRAVITY_HERE * height_m).sqrt())
        })
        .sum();
    assert_relative_eq!(time.s(), seconds, max_relative = 1e-6);
}

const GRAVITY_HERE: f64 = crate::quantity::factor::GRAVITY;

#[test]
fn identity_only_what_rises_to_the_summit_drains_back() {
    let hole = crate::hydraulics::ReliefHole {
        diameter: Length::from_inch(0.25),
        above_floor: None,
        discharge_coefficient: 0.6,
    };
    let time = |points: &[(f64, f64)]| line(points).drain_time(&hole, Level::ZERO).unwrap().s();
    let rise = time(&[(0.0, 1.0), (100.0, 11.0)]);
    // what lies beyond the highest point runs the other way
    assert_relative_eq!(time(&[(0.0, 1.0), (100.0, 11.0), (200.0, 5.0)]), rise, max_relative = 1e-12);
    // a sag in between keeps its water: from 1 ft down to 0 and up again to 1 ft nothing of it comes
    let sagging = time(&[(0.0, 1.0), (20.0, 0.0), (40.0, 1.0), (140.0, 11.0)]);
    assert_relative_eq!(sagging, rise, max_relative = 1e-12);
    // in two pieces it takes as long as in one
    assert_relative_eq!(time(&[(0.0, 1.0), (40.0, 5.0), (100.0, 11.0)]), rise, max_relative = 1e-9);
    let none = crate::hydraulics::ReliefHole { diameter: Length::ZERO, ..hole };
    assert_eq!(line(&[(0.0, 1.0), (100.0, 11.0)]).drain_time(&none, Level::ZERO), None);
    let mut bare = line(&[(0.0, 1.0), (100.0, 11.0)]);
    bare.profile.truncate(1);
    assert_eq!(bare.drain_time(&hole, Level::ZERO), None);
}

#[test]
fn identity_of_equal_high_points_the_first_counts() {
    assert_relative_eq!(line(&[(0.0, 2.0), (20.0, 9.0), (60.0, 9.0), (80.0, 5.0)]).highest_at().ft(), 20.0);
    // an outlet that stands higher than the pipe's end is the highest point
    let mut bubbling = line(&[(0.0, 2.0), (20.0, 9.0), (60.0, 8.5)]);
    bubbling.outlet.level = Level::from_ft(9.5);
    assert_relative_eq!(bubbling.highest_at().ft(), 60.0);
}

#[test]
fn identity_levels_between_points_lie_on_the_straight_line() {
    let line = line(&[(0.0, 2.0), (20.0, 10.0), (60.0, 6.0)]);
    assert_relative_eq!(line.invert_at(Length::from_ft(5.0)).unwrap().ft(), 4.0, epsilon = 1e-9);
    assert_relative_eq!(line.invert_at(Length::from_ft(40.0)).unwrap().ft(), 8.0, epsilon = 1e-9);
    assert_relative_eq!(line.ground_at(Length::from_ft(40.0)).unwrap().ft(), 10.0, epsilon = 1e-9);
    assert_eq!(line.invert_at(Length::from_ft(60.1)), None);
    let mut half = line.clone();
    half.profile[2].ground = None;
    assert_eq!(half.ground_at(Length::from_ft(40.0)), None);
    assert_relative_eq!(line.highest_beyond(Length::from_ft(5.0)).ft(), 10.0 + 2.0 / 12.0, epsilon = 1e-9);
    assert_relative_eq!(line.highest_beyond(Length::from_ft(20.0)).ft(), 6.0, epsilon = 1e-9);
}

#[test]
fn identity_each_point_stands_for_the_way_half_way_to_the_next() {
    let mut line = line(&[(0.0, 2.0), (20.0, 3.0), (50.0, 4.0), (60.0, 5.0)]);
    line.profile[1].under = Some(Surface::Drive);
    line.profile[3].under = Some(Surface::Walk);
    let lengths: Vec<(Option<Surface>, f64)> =
        line.lengths_under().into_iter().map(|(under, along)| (under, along.ft())).collect();
    assert_eq!(lengths.len(), 3);
    for (under, along) in [(None, 10.0 + 15.0 + 5.0), (Some(Surface::Drive), 25.0), (Some(Surface::Walk), 5.0)] {
        let found = lengths.iter().find(|(known, _)| *known == under).unwrap();
        assert_relative_eq!(found.1, along, epsilon = 1e-9);
    }
    assert_eq!(line.under_at(Length::from_ft(11.0)), Some(Surface::Drive));
    assert_eq!(line.under_at(Length::from_ft(34.0)), Some(Surface::Drive));
    assert_eq!(line.under_at(Length::from_ft(36.0)), None);
    line.profile.clear();
    assert_eq!(line.under_at(Length::ZERO), None);
    assert!(line.lengths_under().is_empty());
}
