use super::{line, points, vents};
use crate::hydraulics::{
    DischargeLine, FrictionMethod, GradePoint, Outlet, SlackPart, SystemCurve, Water, slack_parts,
};
use crate::quantity::{Flow, Head, Length, Level, Temperature};
use approx::assert_relative_eq;

/// Station, crown, level backed up to, level if all ran full, whether beyond what governs.
type Row = (f64, f64, f64, f64, bool);

fn grade(rows: &[Row]) -> Vec<GradePoint> {
    let level = Level::from_m;
    rows.iter()
        .map(|(station, crown, backed_up, if_full, beyond)| GradePoint {
            station: Length::from_m(*station),
            crown: level(*crown),
            grade: level(backed_up.max(*crown)),
            backed_up: level(*backed_up),
            if_full: level(*if_full),
            beyond: *beyond,
        })
        .collect()
}

/// From, to, vacuum, where it is deepest.
fn parts(rows: &[Row]) -> Vec<[f64; 4]> {
    let figures = |part: SlackPart| {
        [part.from.m(), part.to.m(), part.vacuum.m(), part.deepest_at.m()].map(|x| (x * 1e6).round() / 1e6)
    };
    slack_parts(&grade(rows)).into_iter().map(figures).collect()
}

#[test]
fn identity_heads_on_the_top_of_the_pipe() {
    let point = grade(&[(10.0, 5.0, 5.75, 3.5, true)])[0];
    assert_relative_eq!(point.head().m(), 0.75);
    assert_relative_eq!(point.head_if_full().m(), -1.5);
}

/// From the summit at 10 m the water stands 2 m, then 1 m under the crown, then 2 m over it: full from a third of the way
/// between 20 and 30 m.
const BEYOND_A_SUMMIT: [Row; 5] = [
    (0.0, 0.0, 5.0, 5.0, false),
    (10.0, 5.0, 3.0, 3.5, false),
    (20.0, 4.0, 3.0, 2.0, true),
    (30.0, 1.0, 3.0, 2.0, true),
    (40.0, 1.0, 1.0, 1.0, true),
];

#[test]
fn identity_a_slack_part_by_hand() {
    assert_eq!(parts(&BEYOND_A_SUMMIT), [[10.0, 23.333_333, 2.0, 20.0]]);
    // nothing beyond what governs, or nothing before it
    let mut rows = BEYOND_A_SUMMIT;
    for row in &mut rows {
        row.4 = false;
    }
    assert!(parts(&rows).is_empty());
    assert!(parts(&BEYOND_A_SUMMIT[2..]).is_empty());
    assert!(parts(&[]).is_empty());
    // what lies before the point that governs is not looked at
    let mut rows = BEYOND_A_SUMMIT;
    rows[0].2 = -3.0;
    assert_eq!(parts(&rows), [[10.0, 23.333_333, 2.0, 20.0]]);
}

/// Full again at a crown just touched; a hair under it is the arithmetic.
#[test]
fn identity_a_slack_part_ends_where_the_pipe_is_full() {
    for (level, to) in [(1.0, 30.0), (1.0 - 5e-7, 30.0)] {
        let mut rows = BEYOND_A_SUMMIT;
        rows[3].2 = level;
        let found = parts(&rows);
        assert_eq!(found.len(), 1);
        assert_relative_eq!(found[0][1], to, epsilon = 1e-5);
    }
    let mut rows = BEYOND_A_SUMMIT;
    rows[1].2 = 5.0 - 5e-7;
    // begins at 20 m only
    assert_eq!(parts(&rows), [[20.0, 23.333_333, 2.0, 20.0]]);
}

/// A second fall to the end: from 40 m, 1 m under the crown, to the end that is backed up 0.5 m, free, or 0.3 m under.
#[test]
fn identity_a_second_slack_part_and_the_end() {
    for (at_end, to) in [(1.5, 46.666_667), (1.0, 50.0), (0.7, 50.0), (-0.5, 50.0)] {
        let mut rows = BEYOND_A_SUMMIT.to_vec();
        rows[4] = (40.0, 4.0, 3.0, 3.8, true);
        rows.push((50.0, 1.0, at_end, 1.0, true));
        assert_eq!(parts(&rows), [[10.0, 23.333_333, 2.0, 20.0], [40.0, to, 0.2, 40.0]], "{at_end}");
    }
    // full again before the last stretch: from 0.5 m under to 2 m over the crown, a fifth of the way
    let rows = [
        BEYOND_A_SUMMIT[0],
        BEYOND_A_SUMMIT[1],
        BEYOND_A_SUMMIT[2],
        (30.0, 3.5, 3.0, 2.0, true),
        (40.0, 1.0, 3.0, 2.0, true),
        (50.0, 1.0, 1.0, 1.0, true),
    ];
    assert_eq!(parts(&rows), [[10.0, 32.0, 2.0, 20.0]]);
    // slack all the way to a free end, in one part
    let rows = [
        (0.0, 5.0, 4.0, 4.5, false),
        (10.0, 4.0, 3.0, 2.5, true),
        (20.0, 3.0, 2.0, 2.0, true),
        (30.0, 1.0, 1.0, 1.0, true),
    ];
    assert_eq!(parts(&rows), [[0.0, 30.0, 1.5, 10.0]]);
}

/// Highest crowns of 5.04 at 50 m and 3.54 at 60 m over an end at 3.04, which the outlet backs up to 3.2.
fn falling() -> DischargeLine {
    let line = line(&[(0.0, 1.0), (20.0, 3.0), (30.0, 2.0), (50.0, 5.0), (60.0, 3.5), (70.0, 3.0)]);
    DischargeLine { outlet: Outlet { level: Level::from_m(3.2), ..line.outlet.clone() }, ..line }
}

fn pulls(line: &DischargeLine) -> Vec<[f64; 3]> {
    let figures = |x: f64| (x * 1e6).round() / 1e6;
    line.vacuum_at_rest().iter().map(|pull| [pull.at.m(), pull.to.m(), pull.vacuum.m()].map(figures)).collect()
}

#[test]
fn identity_vacuum_at_rest_by_hand() {
    let with = |at: &[f64]| pulls(&DischargeLine { vents: vents(at), ..falling() });
    assert_eq!(with(&[]), [[50.0, 70.0, 1.84], [60.0, 70.0, 0.34]]);
    // a vent beyond, above the end: the column ends there
    assert_eq!(with(&[60.0]), [[50.0, 60.0, 1.5]]);
    // air from the summit runs down with the pipe
    assert!(with(&[50.0]).is_empty());
    // but not over the rise before it, and a vent lower than the end does not hold the column
    assert_eq!(with(&[20.0]), [[50.0, 70.0, 1.84], [60.0, 70.0, 0.34]]);
    assert_eq!(with(&[30.0]), [[50.0, 70.0, 1.84], [60.0, 70.0, 0.34]]);
    // level pipe lets it past too
    let mut level = DischargeLine { vents: vents(&[50.0]), ..falling() };
    level.profile[4].invert = Level::from_m(5.0);
    assert!(pulls(&level).is_empty());
    // the pipe's end above the outlet counts by its crown, a profile that stops on the way by the outlet
    let mut low = falling();
    low.outlet.level = Level::from_m(1.0);
    assert_eq!(pulls(&low), [[20.0, 70.0, 0.01], [50.0, 70.0, 2.0], [60.0, 70.0, 0.5]]);
    low.profile = points(&[(0.0, 1.0), (50.0, 5.0), (60.0, 0.5)]);
    assert_eq!(pulls(&low), [[0.0, 70.0, 0.05], [50.0, 70.0, 4.04]]);
    // a crown as high as the end hangs on nothing
    low.outlet.level = Level::from_m(1.05);
    low.profile.truncate(1);
    assert!(pulls(&low).is_empty());
}

/// At 1.5 L/s (see the figures of the system curve, here without the valve and allowances): 0.568562 m lost in the first run
/// and 1.253957 m in the second, velocity heads 0.029756 and 0.072647 m. The end stands at 3.8 + 1.7 x 0.072647 + 0.1.
#[test]
fn identity_the_pressure_along_the_line_by_hand() {
    let mut line = line(&[(0.0, 1.0), (20.0, 2.0), (55.0, 3.0), (70.0, 3.5)]);
    line.outlet.opening_head = Some(Head::from_m(0.1));
    let water = Water::at(Temperature::from_celsius(20.0));
    let system = SystemCurve::new(&line, Level::ZERO, None, water, FrictionMethod::HazenWilliams);
    let grade = system.grade_line(Flow::from_ls(1.5), Level::from_m(0.2));
    let (v50, v40) = (0.029_755_83, 0.072_646_069);
    let end = 3.9 + 1.7 * v40;
    let (first, second) = (0.568_562_199, 1.253_957_469);
    for (point, level) in grade.iter().zip([
        end + first + second - v50,
        end + 0.5 * first + second - v50,
        end + 0.5 * second - v40,
        end - v40,
    ]) {
        assert_relative_eq!(point.grade.m(), level, epsilon = 2e-6);
        assert_relative_eq!(point.if_full.m(), level, epsilon = 2e-6);
        assert!(!point.beyond);
    }
    // what the points beyond ask for is the end's asking, less what is lost up to here
    assert_relative_eq!(grade[0].backed_up.m(), end + first + second - v50, epsilon = 2e-6);
    assert_relative_eq!(grade[3].backed_up.m(), end - v40, epsilon = 2e-6);
}

/// A summit at 9.05 in the first run: beyond it the water stands where the end backs it up, or in the pipe.
#[test]
fn identity_beyond_a_summit_air_stands_over_the_water() {
    let line = line(&[(0.0, 1.0), (20.0, 9.0), (30.0, 6.0), (55.0, 3.0), (70.0, 3.5)]);
    let water = Water::at(Temperature::from_celsius(20.0));
    let system = SystemCurve::new(&line, Level::ZERO, None, water, FrictionMethod::HazenWilliams);
    let grade = system.grade_line(Flow::from_ls(1.5), Level::from_m(0.2));
    let (v50, v40) = (0.029_755_83, 0.072_646_069);
    let (first, second) = (0.568_562_199, 1.253_957_469);
    let end = 3.8 + 1.7 * v40;
    let beyond: Vec<_> = grade.iter().map(|point| point.beyond).collect();
    assert_eq!(beyond, [false, false, true, true, true]);
    // before the summit: its crown and what is lost on the way up
    assert_relative_eq!(grade[0].grade.m(), 9.05 + 0.5 * first, epsilon = 2e-6);
    assert_relative_eq!(grade[1].grade.m(), 9.05, epsilon = 2e-6);
    // at 30 m the end backs it up to less than the crown: the water stands in the pipe
    assert_relative_eq!(grade[2].backed_up.m(), end + 0.25 * first + second - v50, epsilon = 2e-6);
    assert_relative_eq!(grade[2].grade.m(), 6.05, epsilon = 2e-6);
    assert_relative_eq!(grade[3].grade.m(), end + 0.5 * second - v40, epsilon = 2e-6);
    assert_relative_eq!(grade[4].grade.m(), end - v40, epsilon = 2e-6);
    // the summit hangs over the rest if that ran full
    assert_relative_eq!(grade[1].if_full.m(), end + 0.5 * first + second - v50, epsilon = 2e-6);
    // what the summit is asked by those beyond it: the crown at 30 m and half the way there
    assert_relative_eq!(grade[1].backed_up.m(), 6.05 + 0.25 * first, epsilon = 2e-6);
}
