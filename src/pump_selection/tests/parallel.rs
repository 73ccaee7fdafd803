use super::{HEAD_M, JUNCTION_M, bare, draining, leaking, pump, through, water};
use crate::pump_selection::{Branch, OnItsRiser, Together, duty_point, together, together_near};
use crate::quantity::{Flow, Head, Level};
use approx::assert_relative_eq;

/// What the riser costs at 0.5, 0.75 and 1 L/s.
const RISER_M: [f64; 3] = [0.014_493_757, 0.032_011_387, 0.056_190_733];

fn solve(pumps: &[OnItsRiser<'_>]) -> Together {
    together(pumps, water(), water())
}

/// Flow out of the line in L/s, the head where the risers meet, and the branches.
fn meets(found: Together) -> (f64, f64, Vec<Branch>) {
    match found {
        Together::Meets { line_flow, junction, branches, residual, evaluations } => {
            assert!(residual.m().abs() < 1e-5, "{residual:?}");
            assert!((1..80).contains(&evaluations), "{evaluations}");
            (line_flow.ls(), junction.m(), branches)
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn identity_two_pumps_share_as_they_were_put() {
    let line = bare();
    // two alike bring half each
    let alike = through(0.75, JUNCTION_M + RISER_M[1]);
    let (flow, junction, branches) = meets(solve(&[(&alike, &line), (&alike, &line)]));
    assert_relative_eq!(flow, 1.5, max_relative = 1e-6);
    assert_relative_eq!(junction, JUNCTION_M, max_relative = 1e-6);
    for branch in &branches {
        assert_relative_eq!(branch.line_flow.ls(), 0.75, max_relative = 1e-6);
        assert_relative_eq!(branch.pump_flow.ls(), 0.75, max_relative = 1e-6);
        assert_relative_eq!(branch.head.m(), JUNCTION_M + RISER_M[1], max_relative = 1e-6);
        assert_eq!(branch.leak, Flow::ZERO);
    }
    // a strong one two thirds, a weak one the rest, whichever comes first
    let (strong, weak) = (through(1.0, JUNCTION_M + RISER_M[2]), through(0.5, JUNCTION_M + RISER_M[0]));
    for (pair, shares) in [([&strong, &weak], [1.0, 0.5]), ([&weak, &strong], [0.5, 1.0])] {
        let (flow, junction, branches) = meets(solve(&pair.map(|pump| (pump, &line))));
        assert_relative_eq!(flow, 1.5, max_relative = 1e-6);
        assert_relative_eq!(junction, JUNCTION_M, max_relative = 1e-6);
        for (branch, share) in branches.iter().zip(shares) {
            assert_relative_eq!(branch.line_flow.ls(), share, max_relative = 1e-5);
        }
    }
    // three: a half each
    let third = through(0.5, JUNCTION_M + RISER_M[0]);
    let three = solve(&[(&third, &line), (&third, &line), (&third, &line)]);
    assert_relative_eq!(three.line_flow().unwrap().ls(), 1.5, max_relative = 1e-6);
    // and one alone has its duty point
    let alone = through(1.5, HEAD_M);
    assert_relative_eq!(solve(&[(&alone, &line)]).line_flow().unwrap().ls(), 1.5, max_relative = 1e-6);
}

/// Wherever it is looked for first, the same is found, and from near by in fewer evaluations.
#[test]
fn identity_what_is_known_of_the_junction_changes_nothing() {
    let line = bare();
    let (strong, weak) = (through(1.0, JUNCTION_M + RISER_M[2]), through(0.5, JUNCTION_M + RISER_M[0]));
    let pumps = [(&strong, &line), (&weak, &line)];
    let far = solve(&pumps);
    for (off_m, is_near) in [(0.0, true), (0.008, true), (-0.008, true), (0.012, false), (-4.0, false), (90.0, false)] {
        let near = together_near(&pumps, (water(), water()), Some(Head::from_m(JUNCTION_M + off_m)));
        assert_relative_eq!(near.junction().unwrap().m(), far.junction().unwrap().m(), epsilon = 1e-8);
        assert_relative_eq!(near.line_flow().unwrap().ls(), far.line_flow().unwrap().ls(), max_relative = 1e-7);
        let evaluations = |found: &Together| match found {
            Together::Meets { evaluations, .. } => *evaluations,
            _ => 0,
        };
        assert_eq!(evaluations(&near) < evaluations(&far), is_near, "{off_m}");
    }
    // a guess changes nothing where there is nothing to find either
    let feeble = pump(&[(0.0, 1.0), (3.0, 0.5)]);
    let none = [(&feeble, &line), (&feeble, &line)];
    assert_eq!(together_near(&none, (water(), water()), Some(Head::from_m(0.5))), solve(&none));
}

/// 5 m at no flow do not open a valve that 5.76 m hold.
#[test]
fn identity_a_weak_pump_is_held_shut() {
    let (strong, weak) = (through(1.5, HEAD_M), pump(&[(0.0, 5.0), (1.0, 1.0)]));
    let line = bare();
    let (flow, _, branches) = meets(solve(&[(&strong, &line), (&weak, &line)]));
    assert_relative_eq!(flow, 1.5, max_relative = 1e-6);
    assert_eq!((branches[1].line_flow, branches[1].pump_flow), (Flow::ZERO, Flow::ZERO));
    assert_eq!(branches[1].head, Head::from_m(5.0));
    // nor does it matter which of them is named first
    let (flow, _, branches) = meets(solve(&[(&weak, &line), (&strong, &line)]));
    assert_relative_eq!(flow, 1.5, max_relative = 1e-6);
    assert_eq!(branches[0].line_flow, Flow::ZERO);
}

/// The valve of the pump that is shut holds, but the drain hole over it runs back: 0.067276 L/s at each riser, so that the
/// other brings 1.567276 of its 1.634551, at 5.906242 m. The same as one pump on a line of two risers.
#[test]
fn identity_what_runs_back_past_a_shut_valve() {
    let strong = through(1.634_551_072, 5.906_242_034);
    let weak = pump(&[(0.0, 5.0), (1.0, 1.0)]);
    let line = draining(1);
    let (flow, junction, branches) = meets(solve(&[(&strong, &line), (&weak, &line)]));
    assert_relative_eq!(flow, 1.5, max_relative = 1e-6);
    assert_relative_eq!(junction, JUNCTION_M, max_relative = 1e-6);
    assert_relative_eq!(branches[0].pump_flow.ls(), 1.634_551_072, max_relative = 1e-6);
    assert_relative_eq!(branches[0].line_flow.ls(), 1.567_275_536, max_relative = 1e-6);
    assert_relative_eq!(branches[1].line_flow.ls(), -0.067_275_536, max_relative = 1e-6);
    let alone = duty_point(&strong, &draining(2), water()).point().copied().unwrap();
    assert_relative_eq!(alone.line_flow.ls(), 1.5, max_relative = 1e-6);
}

#[test]
fn identity_pumps_that_do_not_lift_the_water() {
    let line = bare();
    let low = pump(&[(0.0, 3.6), (1.0, 1.0)]);
    assert_eq!(solve(&[(&low, &line), (&low, &line)]), Together::CannotLift);
    assert_eq!(solve(&[]), Together::CannotLift);
    assert_eq!(Together::CannotLift.line_flow(), None);
    // 3.7 m are asked for at no flow
    let just = pump(&[(0.0, 3.75), (1.0, 1.0)]);
    assert!(solve(&[(&just, &line), (&just, &line)]).line_flow().unwrap() > Flow::ZERO);
}

/// The weak one, cut off at 0.5 L/s and 9 m, runs past its last point; the line carries 0.5 and the 1 L/s of the other.
#[test]
fn identity_a_pump_past_its_last_point() {
    let line = bare();
    let (strong, cut_off) = (through(1.0, JUNCTION_M + RISER_M[2]), pump(&[(0.0, 9.5), (0.5, 9.0)]));
    for (pair, which) in [([&strong, &cut_off], 1), ([&cut_off, &strong], 0)] {
        let found = solve(&pair.map(|pump| (pump, &line)));
        let Together::BeyondLastPoint { pump, at_least } = found else { panic!("{found:?}") };
        assert_eq!(pump, which);
        assert_relative_eq!(at_least.ls(), 1.5, max_relative = 1e-6);
    }
}

/// A curve that begins at 1 L/s says nothing of less: whether its head there is too low for the others, or just so that the
/// line would ask for more with it and for less without.
#[test]
fn identity_a_pump_before_its_first_point() {
    let (line, strong) = (bare(), through(1.5, HEAD_M));
    for begins in [pump(&[(1.0, 5.0), (2.0, 2.0)]), pump(&[(1.0, 5.9), (2.0, 3.0)])] {
        assert_eq!(solve(&[(&strong, &line), (&begins, &line)]), Together::BeforeFirstPoint { pump: 1 });
        assert_eq!(solve(&[(&begins, &line), (&strong, &line)]), Together::BeforeFirstPoint { pump: 0 });
    }
}

/// The same where what misses is less with the pump than without: at 5.835 m where the risers meet the strong one brings
/// 1.4345 L/s, for which the line asks 5.59 m, and 5.85 m for the 0.1 L/s more that the other begins with.
#[test]
fn identity_a_pump_that_begins_with_a_trickle() {
    let line = bare();
    let strong = pump(&[(0.0, HEAD_M + 1.5), (3.0, HEAD_M - 1.5)]);
    let begins = pump(&[(0.1, 5.8358), (2.0, 3.0)]);
    assert_eq!(solve(&[(&strong, &line), (&begins, &line)]), Together::BeforeFirstPoint { pump: 1 });
}

/// A strong pump of 3 m in 3 L/s through the line's point, and one whose head rises from 5.5 to 8 m before it falls. By
/// bisection in Python: together 1.808223 L/s, 0.730214 and 1.078009, at 6.622878 m where the risers meet.
#[test]
fn crosscheck_a_pump_that_droops_starts_or_does_not() {
    let line = bare();
    let strong = pump(&[(0.0, HEAD_M + 1.5), (3.0, HEAD_M - 1.5)]);
    let droops = pump(&[(0.0, 5.5), (0.75, 8.0), (1.5, 5.0)]);
    // at this level the strong one holds 5.76 m against its 5.5: it stays shut
    let (flow, _, branches) = meets(solve(&[(&strong, &line), (&droops, &line)]));
    assert_relative_eq!(flow, 1.5, max_relative = 1e-6);
    assert_eq!(branches[1].line_flow, Flow::ZERO);
    // started at a level where the line asks for 4.48 m with the strong one alone, it runs on
    let both = together(&[(&strong, &line), (&droops, &line)], water(), Level::from_m(5.0));
    let (flow, junction, branches) = meets(both);
    assert_relative_eq!(flow, 1.808_223_097, max_relative = 1e-6);
    assert_relative_eq!(junction, 6.622_878_302, max_relative = 1e-6);
    assert_relative_eq!(branches[0].line_flow.ls(), 0.730_214_473, max_relative = 1e-5);
    assert_relative_eq!(branches[1].line_flow.ls(), 1.078_008_624, max_relative = 1e-5);
    // as it does with half a metre more at no flow
    let more = pump(&[(0.0, 6.0), (0.75, 8.0), (1.5, 5.0)]);
    let (flow, ..) = meets(solve(&[(&strong, &line), (&more, &line)]));
    assert_relative_eq!(flow, 1.808_223_097, max_relative = 1e-6);
    // started first it runs, and the strong one, which does not droop, comes to it
    let (flow, ..) = meets(solve(&[(&droops, &line), (&strong, &line)]));
    assert_relative_eq!(flow, 1.808_223_097, max_relative = 1e-6);
    // what is not known of the first is taken at the least that it brings: cut off at 1.4 L/s and 9 m it holds about 5.4 m
    let cut_off = pump(&[(0.0, 10.0), (1.4, 9.0)]);
    let past = solve(&[(&cut_off, &line), (&droops, &line)]);
    assert!(matches!(past, Together::BeyondLastPoint { pump: 0, .. }), "{past:?}");
}

/// A pump that is held shut moves nothing, though its curve could give more against the same head over its hump.
#[test]
fn regress_a_pump_that_is_held_shut_moves_nothing() {
    let line = bare();
    let strong = pump(&[(0.0, HEAD_M + 1.5), (3.0, HEAD_M - 1.5)]);
    let droops = pump(&[(0.0, 5.5), (0.75, 8.0), (1.5, 5.0)]);
    let (_, _, branches) = meets(solve(&[(&strong, &line), (&droops, &line)]));
    let shut = Branch { pump_flow: Flow::ZERO, line_flow: Flow::ZERO, leak: Flow::ZERO, head: Head::from_m(5.5) };
    assert_eq!(branches[1], shut);
}

/// Through a relief hole of 10 mm the pump that droops moves 0.598 L/s before its valve opens, where its curve stands at
/// 6.99 m and not at the 5 m of no flow: it opens against 5.76 m.
#[test]
fn identity_a_leak_helps_a_pump_that_droops_to_start() {
    let (line, hole) = (bare(), leaking(0.01));
    let strong = pump(&[(0.0, HEAD_M + 1.5), (3.0, HEAD_M - 1.5)]);
    let droops = pump(&[(0.0, 5.0), (0.75, 8.0), (1.5, 4.9)]);
    let (_, _, branches) = meets(solve(&[(&strong, &line), (&droops, &line)]));
    assert_eq!(branches[1].line_flow, Flow::ZERO);
    let (_, _, branches) = meets(solve(&[(&strong, &hole), (&droops, &hole)]));
    assert!(branches[1].line_flow > Flow::from_ls(0.2), "{branches:?}");
    assert!(branches[1].leak > Flow::from_ls(0.5));
}

/// Started while the line asks for less, a pump with its hump at 5.9 m is pushed back over it when the water has fallen: with
/// its 1 L/s and more the line asks for over 8 m, without it for 5.76.
#[test]
fn identity_a_pump_is_pushed_back_over_its_hump() {
    let line = bare();
    let strong = pump(&[(0.0, HEAD_M + 1.5), (3.0, HEAD_M - 1.5)]);
    let hump = pump(&[(0.0, 4.5), (1.0, 5.9), (2.0, 3.0)]);
    let (flow, junction, branches) = meets(together(&[(&strong, &line), (&hump, &line)], water(), Level::from_m(5.0)));
    assert_relative_eq!(flow, 1.5, max_relative = 1e-6);
    assert_relative_eq!(junction, JUNCTION_M, max_relative = 1e-6);
    assert_eq!(branches[1].line_flow, Flow::ZERO);
    // of two with humps the lower gives way
    let higher = pump(&[(0.0, 4.6), (1.0, 6.5), (2.0, 5.0)]);
    for pair in [[&hump, &higher], [&higher, &hump]] {
        let (_, _, branches) = meets(together(&pair.map(|pump| (pump, &line)), water(), Level::from_m(5.0)));
        let given: Vec<bool> = branches.iter().map(|branch| branch.line_flow > Flow::ZERO).collect();
        let lower_first = std::ptr::eq(pair[0], &raw const hump);
        assert_eq!(given, if lower_first { [false, true] } else { [true, false] });
    }
}

/// Only a pump over its hump is pushed back: a weak one without a hump, held shut as long as the other runs (6.107 m at no
/// flow against the hump's 6.2), has its share of 1.5 L/s when the hump is shut. With the hump's 2 L/s the line would ask
/// for more than 6.2 m, which it asks for at 1.665 L/s.
#[test]
fn identity_a_weak_pump_comes_in_when_the_hump_is_pushed_back() {
    let line = bare();
    let (strong, weak) = (through(1.0, JUNCTION_M + RISER_M[2]), through(0.5, JUNCTION_M + RISER_M[0]));
    let hump = pump(&[(0.0, 5.0), (2.0, 6.2), (3.0, 3.0)]);
    let pumps = [(&strong, &line), (&hump, &line), (&weak, &line)];
    let (flow, junction, branches) = meets(together(&pumps, water(), Level::from_m(5.0)));
    assert_relative_eq!(flow, 1.5, max_relative = 1e-6);
    assert_relative_eq!(junction, JUNCTION_M, max_relative = 1e-6);
    for (branch, share) in branches.iter().zip([1.0, 0.0, 0.5]) {
        assert_relative_eq!(branch.line_flow.ls(), share, max_relative = 1e-5);
    }
}
