use super::{line, run, valve};
use crate::hydraulics::*;
use crate::quantity::{Flow, Length, Level};
use approx::assert_relative_eq;

#[test]
fn identity_fittings_add_up() {
    let mut run = run(0.05, 30.0, 1.5);
    run.fittings.push(FittingCount { count: 3, ..FittingCount::of_k("elbow", 1, 0.4, "invented") });
    let by_length =
        FittingCount { count: 2, equivalent: Length::from_m(1.2), ..FittingCount::of_k("tee", 1, 0.0, "invented") };
    run.fittings.push(by_length);
    // 1.5 + 3 x 0.4
    assert_relative_eq!(run.sum_k(), 2.7, max_relative = 1e-12);
    assert_relative_eq!(run.equivalent_length().m(), 2.4, max_relative = 1e-12);
    // a tenth of 30 m more
    run.allowance = 0.1;
    assert_relative_eq!(run.equivalent_length().m(), 5.4, max_relative = 1e-12);
}

#[test]
fn a_check_valve_is_a_fitting_of_the_riser() {
    let fitting = valve(None).as_fitting();
    assert_eq!((fitting.name.as_str(), fitting.count, fitting.source.as_str()), ("swing check valve", 1, "invented"));
    assert_relative_eq!(fitting.k, 2.0);
    assert_eq!(fitting.equivalent, Length::from_m(0.25));
    assert_eq!(fitting.made_for, PipeUse::Pressure);
}

#[test]
fn walks_and_drives_are_paved() {
    let paved = [Surface::Lawn, Surface::Walk, Surface::Drive, Surface::Bare].map(Surface::paved);
    assert_eq!(paved, [false, true, true, false]);
}

#[test]
fn identity_what_the_outlet_holds_against_the_pump() {
    let mut outlet = line(&[]).outlet;
    assert_eq!(outlet.working_level(), Level::from_m(3.8));
    for (ditch, works_against) in [(3.0, 3.8), (4.5, 4.5)] {
        outlet.ditch_full = Some(Level::from_m(ditch));
        assert_eq!(outlet.working_level(), Level::from_m(works_against));
    }
    // a quarter comes back
    outlet.returned_share = 0.25;
    assert_relative_eq!(outlet.leaves(Flow::from_m3s(0.004)).m3s(), 0.003, max_relative = 1e-12);
}

/// 50 mm to 40 mm: A2/A1 = 0.64, 0.5 x 0.36. 40 mm to 50 mm: (1 - 0.64)² = 0.1296.
#[test]
fn identity_changes_of_bore_by_hand() {
    let mut line = line(&[]);
    let narrowing = line.narrowing_before(1).unwrap();
    assert_relative_eq!(narrowing.k, 0.18, max_relative = 1e-12);
    assert_eq!(narrowing.name, "narrowing from 50 mm to 40 mm");
    assert_eq!(line.narrowing_before(0), None);
    assert_eq!((line.widening_after(None), line.widening_after(Some(0))), (None, None));
    assert_eq!(line.widening_after(Some(1)), None);
    line.riser = run(0.04, 2.0, 1.0);
    let widening = line.widening_after(None).unwrap();
    assert_relative_eq!(widening.k, 0.1296, max_relative = 1e-12);
    assert_eq!(widening.name, "widening from 40 mm to 50 mm");
    assert_eq!(line.narrowing_before(0), None);
    // the other way about: out of a narrow run into a wide one, out of a wide riser into a narrow run
    line.runs.reverse();
    line.riser = run(0.05, 2.0, 1.0);
    assert_relative_eq!(line.narrowing_before(0).unwrap().k, 0.18, max_relative = 1e-12);
    assert_relative_eq!(line.widening_after(Some(0)).unwrap().k, 0.1296, max_relative = 1e-12);
    assert_eq!(line.narrowing_before(1), None);
    let at = |run: usize| line.changes_at(run).map(|change| change.k).collect::<Vec<_>>();
    assert_eq!((at(0).len(), at(1).len()), (2, 0));
    assert_relative_eq!(at(0)[0] + at(0)[1], 0.3096, max_relative = 1e-12);
    // sizes that are called alike are told apart by their material
    for run in &mut line.runs {
        run.pipe.size = "2 in".to_owned();
    }
    line.runs[1].pipe.material = "other".to_owned();
    assert_eq!(line.widening_after(Some(0)).unwrap().name, "widening from invented to other");
}

/// Areas that differ by two hundredths are a change, by less they are not: bores of 1 to √0.98 and to √1.02.
#[test]
fn identity_bores_nearly_alike_are_one() {
    for (areas, changes) in [(0.9801, false), (0.9799, true), (1.0199, false), (1.0201, true), (1.0, false)] {
        let mut line = line(&[]);
        line.runs[1].pipe.bore = Length::from_m(0.05 / f64::sqrt(areas));
        let found = line.widening_after(Some(0)).is_some() || line.narrowing_before(1).is_some();
        assert_eq!(found, changes, "{areas}");
    }
}

/// The last point is the end where it is within a hundredth of 70 m: from 69.3 m on.
#[test]
fn identity_the_profiles_end() {
    for (last, ends) in [(69.29, false), (69.31, true), (70.0, true), (72.0, true)] {
        let line = line(&[(0.0, 1.0), (30.0, 2.0), (last, 3.0)]);
        assert_relative_eq!(line.length().m(), 70.0);
        assert_eq!(line.end_point().map(|point| point.at.m()), ends.then_some(last));
        assert_eq!(line.points_on_the_way().len(), if ends { 2 } else { 3 });
    }
    assert_eq!(line(&[]).end_point(), None);
    assert!(line(&[]).points_on_the_way().is_empty());
    // 1 % of 200 m is 198 m exactly
    let mut line = line(&[(0.0, 1.0), (198.0, 2.0)]);
    line.runs = vec![run(0.05, 200.0, 0.0)];
    assert!(line.end_point().is_some());
}
