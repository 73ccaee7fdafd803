use super::{A40, A50, line, points, vents};
use crate::hydraulics::{DischargeLine, Outlet, Pocket, Surface};
use crate::quantity::{Length, Level};
use approx::assert_relative_eq;

fn m(length: f64) -> Length {
    Length::from_m(length)
}

/// A line of 50 mm all the way, through some points over ground that lies so much higher, out at its last point.
fn over_ground(through: &[(f64, f64, f64)]) -> DischargeLine {
    let inverts: Vec<_> = through.iter().map(|(at, level, _)| (*at, *level)).collect();
    let mut line = line(&inverts);
    for (point, (_, level, ground)) in line.profile.iter_mut().zip(through) {
        point.ground = Some(Level::from_m(level + ground));
    }
    let last = through[through.len() - 1];
    line.runs = vec![super::run(0.05, last.0, 0.0)];
    line.outlet.level = Level::from_m(last.1);
    line
}

/// From, to and lowest in metres, and the litres in it.
fn figures(pockets: &[Pocket]) -> Vec<[f64; 4]> {
    let round = |x: f64| (x * 1e6).round() / 1e6;
    pockets
        .iter()
        .map(|pocket| [pocket.from.m(), pocket.to.m(), pocket.lowest_at.m(), pocket.volume.m3() * 1000.0].map(round))
        .collect()
}

fn litres(metres: f64) -> f64 {
    (metres * A50 * 1e9).round() / 1e6
}

#[test]
fn identity_the_pipe_at_a_station() {
    let mut line = line(&[]);
    for (at, bore) in [(-1.0, 0.05), (0.0, 0.05), (40.0, 0.05), (40.001, 0.04), (70.0, 0.04), (99.0, 0.04)] {
        assert_relative_eq!(line.pipe_at(m(at)).bore.m(), bore);
    }
    line.runs.clear();
    line.riser = super::run(0.06, 2.0, 0.0);
    assert_relative_eq!(line.pipe_at(m(1.0)).bore.m(), 0.06);
}

/// Down from 4 to 1, up to 3: full to the lip at 3, from a third of the fall on. The lowest point is at 30 m.
#[test]
fn identity_a_sag_through_two_stretches_is_one_pocket() {
    let sag = over_ground(&[(0.0, 4.0, 1.0), (15.0, 2.5, 1.0), (30.0, 1.0, 1.0), (40.0, 2.0, 1.0), (50.0, 3.0, 1.0)]);
    assert_eq!(figures(&sag.standing_water(false)), [[10.0, 50.0, 30.0, litres(40.0)]]);
    // a valve holds nothing more in a line that falls from its highest point at the start
    assert_eq!(figures(&sag.standing_water(true)), [[10.0, 50.0, 30.0, litres(40.0)]]);
    // two lows in one pocket: the lower counts, of two alike the first
    for (second, lowest) in [(1.5, 10.0), (0.5, 30.0), (1.0, 10.0)] {
        let two =
            over_ground(&[(0.0, 4.0, 1.0), (10.0, 1.0, 1.0), (20.0, 2.0, 1.0), (30.0, second, 1.0), (40.0, 4.0, 1.0)]);
        assert_eq!(figures(&two.standing_water(false)), [[0.0, 40.0, lowest, litres(40.0)]]);
    }
    // a rise without a valve keeps nothing, with one all
    let rise = over_ground(&[(0.0, 1.0, 1.0), (50.0, 3.0, 1.0)]);
    assert!(rise.standing_water(false).is_empty());
    assert_eq!(figures(&rise.standing_water(true)), [[0.0, 50.0, 0.0, litres(50.0)]]);
}

/// Without a profile the line is taken to rise; a profile that stops on the way goes on to the outlet.
#[test]
fn identity_standing_water_with_part_of_a_profile() {
    let bare = line(&[]);
    assert!(bare.standing_water(false).is_empty());
    let whole = bare.standing_water(true);
    assert_eq!(figures(&whole)[0][..3], [0.0, 70.0, 0.0]);
    assert_relative_eq!(whole[0].volume.m3(), 40.0 * A50 + 30.0 * A40, max_relative = 1e-12);
    // from 3 down to 2 at 30 m and up to the outlet at 3.8 at 70 m: full from 0 to 30 + 40 / 1.8
    let part = line(&[(0.0, 3.0), (30.0, 2.0)]);
    let found = figures(&part.standing_water(false));
    assert_eq!(found[0][..3], [0.0, 52.222_222, 30.0]);
    // the end under the outlet: the pipe stands full up to the level of the water outside
    let drowned = line(&[(0.0, 5.0), (70.0, 3.1)]);
    assert_eq!(figures(&drowned.standing_water(false))[0][..3], [44.210_526, 70.0, 70.0]);
    // a full ditch is another matter: pockets are those of an empty one
    let outlet = Outlet { ditch_full: Some(Level::from_m(4.5)), ..drowned.outlet.clone() };
    let ditch = DischargeLine { outlet, ..drowned };
    assert_eq!(figures(&ditch.standing_water(false))[0][..3], [44.210_526, 70.0, 70.0]);
}

/// Ground less invert, bore 0.05 and wall 0.005.
#[test]
fn identity_cover_by_hand() {
    let mut line = over_ground(&[(0.0, 1.0, 0.555), (30.0, 2.0, 0.03), (50.0, 3.0, 1.0)]);
    line.profile[2].ground = None;
    line.profile[0].under = Some(Surface::Drive);
    let covers = line.covers();
    assert_relative_eq!(covers[0].unwrap().cover.m(), 0.5, epsilon = 1e-12);
    assert_relative_eq!(covers[1].unwrap().cover.m(), -0.025, epsilon = 1e-12);
    assert_eq!((covers[0].unwrap().under, covers[1].unwrap().under), (Some(Surface::Drive), None));
    assert_relative_eq!(covers[1].unwrap().at.m(), 30.0);
    assert_eq!(covers[2], None);
}

/// Cover of 1 m, 0.2 m at 20 and 40 m, 1 m again: less than 0.6 m from 10 to 50 m.
fn shallow_in_the_middle() -> DischargeLine {
    let through = [(0.0, 1.0, 1.055), (20.0, 2.0, 0.255), (40.0, 2.5, 0.255), (60.0, 3.0, 1.055), (80.0, 3.5, 1.055)];
    over_ground(&through)
}

/// The line rises, so that what freezes is lowest where it begins, however many points of the profile it runs over.
#[test]
fn regress_the_lowest_place_of_what_frost_reaches() {
    let line = shallow_in_the_middle();
    let reached = line.within_depth(&line.standing_water(true), m(0.6));
    assert_eq!(figures(&reached), [[10.0, 50.0, 10.0, litres(40.0)]]);
}

#[test]
fn identity_what_frost_reaches_by_hand() {
    let line = shallow_in_the_middle();
    let whole = line.standing_water(true);
    assert_eq!(figures(&whole), [[0.0, 80.0, 0.0, litres(80.0)]]);
    let pocket =
        |from: f64, to: f64, lowest: f64| Pocket { from: m(from), to: m(to), lowest_at: m(lowest), ..whole[0] };
    for (pockets, reached) in [
        // two pockets, each cut to what is shallow; what lies deep is left out
        (
            vec![pocket(5.0, 15.0, 12.0), pocket(45.0, 58.0, 58.0), pocket(60.0, 70.0, 65.0)],
            vec![[10.0, 15.0, 12.0, litres(5.0)], [45.0, 50.0, 50.0, litres(5.0)]],
        ),
        // over the joints of the profile it is one part, and the lowest place of the pocket counts where it lies in it
        (vec![pocket(15.0, 45.0, 30.0)], vec![[15.0, 45.0, 30.0, litres(30.0)]]),
        (vec![pocket(15.0, 45.0, 42.0)], vec![[15.0, 45.0, 42.0, litres(30.0)]]),
        // a millimetre is no part
        (vec![pocket(5.0, 10.000_9, 7.0)], vec![]),
    ] {
        assert_eq!(figures(&line.within_depth(&pockets, m(0.6))), reached);
    }
    assert!(line.within_depth(&whole, m(0.2)).is_empty());
    // where no ground was entered nothing is known
    let mut half = line.clone();
    half.profile[2].ground = None;
    assert_eq!(figures(&half.within_depth(&whole, m(0.6))), [[10.0, 20.0, 10.0, litres(10.0)]]);
}

/// A vent counts within 3 ft, and within a fiftieth of the line: 1.4 m of 70 m.
#[test]
fn identity_how_near_a_vent_stands() {
    let mut line = line(&[(0.0, 1.0), (70.0, 3.0)]);
    line.vents = vents(&[20.0]);
    for (at, near) in [(18.5, false), (18.61, true), (20.0, true), (21.39, true), (21.41, false)] {
        assert_eq!(line.vented_at(m(at)), near, "{at}");
    }
    line.runs.truncate(1);
    line.vents = vents(&[0.0]);
    for (at, near) in [(0.914, true), (0.915, false)] {
        assert_eq!(line.vented_at(m(at)), near, "{at}");
    }
}

/// Up to 4, down to 2, up to 5, down to 3: the summits at 20 and 50 m. Full of air in both falls the line asks for the
/// rises 1 + 3 + 3 and the bore.
#[test]
fn identity_summits_and_caught_air() {
    let mut hills =
        over_ground(&[(0.0, 1.0, 1.0), (20.0, 4.0, 1.0), (30.0, 2.0, 1.0), (50.0, 5.0, 1.0), (70.0, 3.0, 1.0)]);
    let seen = |line: &DischargeLine| -> Vec<(f64, f64, bool, bool)> {
        let summits = line.summits();
        summits.iter().map(|s| (s.at.m(), s.invert.m(), s.rises_again, s.vented)).collect()
    };
    assert_eq!(seen(&hills), [(20.0, 4.0, true, false), (50.0, 5.0, false, false)]);
    let lift = |line: &DischargeLine| line.air_locked_lift(Level::from_m(0.4)).unwrap().m();
    assert_relative_eq!(lift(&hills), 1.05 - 0.4 + 3.0 + 3.0, epsilon = 1e-9);
    hills.vents = vents(&[20.0]);
    assert_eq!(seen(&hills), [(20.0, 4.0, true, true), (50.0, 5.0, false, false)]);
    assert_relative_eq!(lift(&hills), 5.05 - 0.4, epsilon = 1e-9);
    // a vent at a low point ends no fall
    hills.vents = vents(&[30.0]);
    assert_relative_eq!(lift(&hills), 1.05 - 0.4 + 3.0 + 3.0, epsilon = 1e-9);
    // a line that only falls is asked for where it begins
    let falls = over_ground(&[(0.0, 3.0, 1.0), (70.0, 1.0, 1.0)]);
    assert_relative_eq!(lift(&falls), 3.05 - 0.4, epsilon = 1e-9);
    assert_eq!(line(&[]).air_locked_lift(Level::ZERO), None);
    assert!(line(&[]).summits().is_empty());
}

/// Air gets past a turn of no more than the bore of 50 mm.
#[test]
fn identity_turns_within_the_bore_are_none() {
    for (dip, summits) in [(3.951, 0), (3.949, 1)] {
        let wiggly = over_ground(&[(0.0, 1.0, 1.0), (20.0, 4.0, 1.0), (40.0, dip, 1.0), (60.0, 6.0, 1.0)]);
        assert_eq!(wiggly.summits().len(), summits, "{dip}");
    }
    for (bump, summits) in [(3.049, 1), (3.051, 2)] {
        // down from the start, a bump on the way, down again
        let wiggly = over_ground(&[(0.0, 4.0, 1.0), (20.0, 3.0, 1.0), (40.0, bump, 1.0), (60.0, 1.0, 1.0)]);
        assert_eq!(wiggly.summits().len(), summits, "{bump}");
    }
    // a line within its own bore all the way has no summit; the rise, if any, is all that it asks for
    for (end, lift) in [(1.03, 1.08), (0.97, 1.02), (1.0, 1.05)] {
        let level = over_ground(&[(0.0, 1.0, 1.0), (60.0, end, 1.0)]);
        assert!(level.summits().is_empty());
        // where the end lies lower, by no more than the bore, it counts from there
        assert_relative_eq!(level.air_locked_lift(Level::ZERO).unwrap().m(), lift, epsilon = 1e-9);
    }
    // the end by its full ditch: a fall to 3 that stands under 5 is none
    let mut line = over_ground(&[(0.0, 1.0, 1.0), (40.0, 4.0, 1.0), (60.0, 3.0, 1.0)]);
    assert_eq!(line.summits().len(), 1);
    line.outlet.ditch_full = Some(Level::from_m(3.98));
    assert_eq!(line.summits().len(), 1);
}

#[test]
fn identity_levels_along_the_line() {
    let mut line = over_ground(&[(10.0, 1.0, 1.0), (30.0, 2.0, 0.5), (30.0, 3.0, 0.5), (70.0, 1.0, 1.5)]);
    for (at, level) in [(10.0, Some(1.0)), (25.0, Some(1.75)), (30.0, Some(2.0)), (40.0, Some(2.5)), (70.0, Some(1.0))]
    {
        assert_eq!(line.invert_at(m(at)).map(|level| (level.m() * 1e9).round() / 1e9), level);
    }
    assert_eq!((line.invert_at(m(9.99)), line.invert_at(m(70.01))), (None, None));
    assert_relative_eq!(line.ground_at(m(20.0)).unwrap().m(), 2.25, epsilon = 1e-9);
    // the highest that the water passes beyond a station: crowns on the way, the outlet at 1
    for (at, level) in [(0.0, 3.05), (10.0, 3.05), (29.0, 3.05), (30.0, 1.0)] {
        assert_relative_eq!(line.highest_beyond(m(at)).m(), level, epsilon = 1e-9);
    }
    line.outlet.ditch_full = Some(Level::from_m(4.0));
    assert_relative_eq!(line.highest_beyond(m(0.0)).m(), 4.0);
    let in_the_second = DischargeLine { profile: points(&[(0.0, 1.0), (60.0, 7.0), (70.0, 1.0)]), ..super::line(&[]) };
    assert_relative_eq!(in_the_second.highest_beyond(m(5.0)).m(), 7.04, epsilon = 1e-9);
}

/// What does not fall by more than the bore of 62.5 mm (exact in binary) is no summit, nor is a rise of just that much a rise.
#[test]
fn identity_a_turn_of_just_the_bore_is_none() {
    for (dip, summits) in [(3.9375, 0), (3.9374, 1)] {
        let mut wiggly = over_ground(&[(0.0, 1.0, 1.0), (20.0, 4.0, 1.0), (40.0, dip, 1.0), (60.0, 6.0, 1.0)]);
        wiggly.runs = vec![super::run(0.0625, 60.0, 0.0)];
        assert_eq!(wiggly.summits().len(), summits, "{dip}");
    }
    for (bump, summits) in [(3.0625, 1), (3.0626, 2)] {
        let mut wiggly = over_ground(&[(0.0, 4.0, 1.0), (20.0, 3.0, 1.0), (40.0, bump, 1.0), (60.0, 1.0, 1.0)]);
        wiggly.runs = vec![super::run(0.0625, 60.0, 0.0)];
        assert_eq!(wiggly.summits().len(), summits, "{bump}");
    }
}

/// A level top counts where it begins, and holds no water.
#[test]
fn identity_a_level_top() {
    let top = over_ground(&[(0.0, 1.0, 1.0), (20.0, 3.0, 1.0), (30.0, 3.0, 1.0), (50.0, 1.0, 1.0)]);
    assert_eq!(top.summits().iter().map(|summit| summit.at.m()).collect::<Vec<_>>(), [20.0]);
    assert!(top.standing_water(false).is_empty());
    assert_eq!(figures(&top.standing_water(true)), [[0.0, 30.0, 0.0, litres(30.0)]]);
    // of a low that is level the lift counts from its beginning, in the bore there
    let low = line(&[(0.0, 1.0), (45.0, 1.0), (70.0, 3.0)]);
    assert_relative_eq!(low.air_locked_lift(Level::ZERO).unwrap().m(), 1.05 + 2.8, epsilon = 1e-9);
}

/// Water that falls free from the pipe's end to the outlet makes no summit of it.
#[test]
fn identity_an_end_above_the_outlet_is_no_summit() {
    let mut rise = over_ground(&[(0.0, 1.0, 1.0), (50.0, 5.0, 1.0)]);
    rise.outlet.level = Level::from_m(2.0);
    assert!(rise.summits().is_empty());
    assert_relative_eq!(rise.air_locked_lift(Level::ZERO).unwrap().m(), 5.05, epsilon = 1e-9);
}

#[test]
fn identity_bounds_count() {
    // a fiftieth of 100 m on either side of a vent
    let mut line = over_ground(&[(0.0, 1.0, 1.0), (100.0, 3.0, 1.0)]);
    line.vents = vents(&[20.0]);
    assert!(line.vented_at(m(22.0)) && line.vented_at(m(18.0)));
    // two points at one station: the pipe drops there, and what follows counts
    let drop = over_ground(&[(10.0, 1.0, 1.0), (10.0, 2.0, 1.0), (30.0, 3.0, 1.0)]);
    assert_eq!(drop.invert_at(m(10.0)), Some(Level::from_m(2.0)));
}
