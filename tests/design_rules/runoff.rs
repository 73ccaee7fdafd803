//! What share of a storm runs off, and where that is taken from.

use crate::given::{CLAY, design_with, finding, says, site_with};
use approx::assert_relative_eq;
use sumpwright::design::{CatchmentResult, StormResult, surface_loss};
use sumpwright::hydrology::{
    Hydrograph, Loss, Rain, RainBlock, SurfaceLoss, excess_blocks, nested_storm, runoff_depth, split_for_losses,
};
use sumpwright::quantity::{Duration, RainDepth};
use sumpwright::site::{RunoffFrom, Site};

const BY_CURVE_NUMBER: (&str, &str) = ("coefficient_from = \"infiltration\"", "coefficient_from = \"curve number\"");

fn lawn(storm: &StormResult) -> &CatchmentResult {
    storm.catchments.iter().find(|result| result.name == "lawn").unwrap()
}

fn rain(site: &Site) -> &Rain {
    &site.rain.storms[site.rain.design].1
}

/// A good lawn on group D has curve number 80, TR-55 (1986) Table 2-2a.
#[test]
fn identity_a_curve_number_sheds_its_share_of_the_burst() {
    let (site, design) = (site_with(CLAY, &[BY_CURVE_NUMBER]), design_with(CLAY, &[BY_CURVE_NUMBER]));
    let lawn = lawn(&design.storm);
    assert_eq!(lawn.runoff_from, RunoffFrom::CurveNumber);
    let curve_number = lawn.by_curve_number.as_ref().unwrap().curve_number.value;
    assert_relative_eq!(curve_number, 80.0);
    // by hand: half of what the day brings beyond the burst falls before it
    let (burst, day) =
        (rain(&site).depth(lawn.time.time).unwrap().inch(), rain(&site).depth(Duration::from_h(24.0)).unwrap().inch());
    let retention = 1000.0 / curve_number - 10.0;
    let over = |rain: f64| (rain - 0.2 * retention).max(0.0);
    let runoff = |rain: f64| over(rain) * over(rain) / (rain + 0.8 * retention);
    let before = (day - burst) / 2.0;
    assert_relative_eq!(lawn.coefficient, (runoff(before + burst) - runoff(before)) / burst, max_relative = 1e-9);
    // at the height of the rain more runs off than of the day as a whole
    assert!(lawn.coefficient > lawn.by_curve_number.as_ref().unwrap().share());
    assert!(assumes(&site, "curve number of `lawn`"));
}

fn assumes(site: &Site, what: &str) -> bool {
    site.assumptions.iter().any(|assumption| assumption.what == what)
}

#[test]
fn identity_an_entered_curve_number_is_used() {
    let entered = [(BY_CURVE_NUMBER.0, "coefficient_from = \"curve number\"\ncurve_number = 100")];
    let design = design_with(CLAY, &entered);
    assert_relative_eq!(lawn(&design.storm).coefficient, 1.0, max_relative = 1e-9);
    assert!(!assumes(&site_with(CLAY, &entered), "curve number of `lawn`"));
}

#[test]
fn identity_the_frequency_factor_is_for_a_table_alone() {
    let factor = ("origin = \"invented table\"", "origin = \"invented table\"\nfrequency_factor = 1.2");
    let coefficients = |from: (&str, &str), changes: &[(&str, &str)]| {
        let design = design_with(CLAY, &[&[from], changes].concat());
        design.storm.catchments.iter().map(|result| (result.name.clone(), result.coefficient)).collect::<Vec<_>>()
    };
    for from in [BY_CURVE_NUMBER, (BY_CURVE_NUMBER.0, BY_CURVE_NUMBER.0)] {
        for ((name, plain), (_, raised)) in coefficients(from, &[]).into_iter().zip(coefficients(from, &[factor])) {
            let wanted = if name == "lawn" { plain } else { (plain * 1.2).min(1.0) };
            assert_relative_eq!(raised, wanted, max_relative = 1e-12);
        }
    }
}

/// The rational peak of a surface against that of its whole storm in time: the peak by curve number is the mean of the
/// burst, and a burst a little later may bring a little more; by infiltration the coefficient is an upper bound.
#[test]
fn identity_the_storm_in_time_peaks_at_the_rational_peak() {
    let table = (BY_CURVE_NUMBER.0, "coefficient_from = \"table\"");
    let infiltration = (BY_CURVE_NUMBER.0, BY_CURVE_NUMBER.0);
    for (from, low, high) in [(table, 1.0, 1.0), (BY_CURVE_NUMBER, 1.0, 1.005), (infiltration, 0.9, 1.0)] {
        let (site, design) = (site_with(CLAY, &[from]), design_with(CLAY, &[from]));
        for (index, result) in design.storm.catchments.iter().enumerate() {
            let loss = surface_loss(&site, &design.storm, index).unwrap();
            let storm = nested_storm(rain(&site), result.time.time, Duration::from_h(24.0)).unwrap();
            let excess = excess_blocks(&loss, &split_for_losses(&storm));
            let peak = Hydrograph::of_surface(&excess, result.area, result.time.time).unwrap().peak().1;
            let share = peak / result.own_peak;
            let (low, high) = if result.name == "lawn" { (low, high) } else { (1.0, 1.0) };
            assert!(
                (low - 1e-9..=high + 1e-9).contains(&share),
                "{} from {}: {share}",
                result.name,
                result.runoff_from.name()
            );
        }
    }
}

#[test]
fn identity_a_surface_keeps_what_its_coefficient_comes_from() {
    let loss = |from: (&str, &str), index: usize| {
        let (site, design) = (site_with(CLAY, &[from]), design_with(CLAY, &[from]));
        (surface_loss(&site, &design.storm, index), site)
    };
    let (roof, _) = loss(BY_CURVE_NUMBER, 0);
    assert!(matches!(roof, Some(SurfaceLoss::Coefficient(share)) if share > 0.7 && share <= 1.0), "{roof:?}");
    let (by_number, site) = loss(BY_CURVE_NUMBER, 2);
    let number = site.catchments[2].curve_number.as_ref().unwrap().value;
    assert_eq!(by_number, Some(SurfaceLoss::CurveNumber(number)));
    let (by_ground, site) = loss((BY_CURVE_NUMBER.0, BY_CURVE_NUMBER.0), 2);
    let Some(SurfaceLoss::Infiltration { loss: Loss::GreenAmpt(_), depression_storage }) = by_ground else {
        panic!("{by_ground:?}")
    };
    assert_eq!(depression_storage, site.catchments[2].depression_storage);
    assert_eq!(loss(BY_CURVE_NUMBER, 3).0, None);
    // the whole day's runoff by curve number, in blocks
    let storm = nested_storm(rain(&site), Duration::from_min(5.0), Duration::from_h(24.0)).unwrap();
    let excess = excess_blocks(&SurfaceLoss::CurveNumber(number), &storm);
    let sum: RainDepth = excess.iter().map(RainBlock::depth).sum();
    let day = rain(&site).depth(Duration::from_h(24.0)).unwrap();
    assert_relative_eq!(sum.m(), runoff_depth(day, number).m(), max_relative = 1e-9);
}

#[test]
fn identity_a_curve_number_wants_a_whole_day() {
    let short = [BY_CURVE_NUMBER, ("\"24 h\" = \"2.70 in\"\n", ""), ("\"24 h\" = \"3.90 in\"\n", "")];
    let design = design_with(CLAY, &short);
    let found = finding(&design, "curve-number-of-short-rain");
    assert_relative_eq!(found.numbers[0].1.si, 3600.0);
    assert!(lawn(&design.storm).coefficient < lawn(&design_with(CLAY, &[BY_CURVE_NUMBER]).storm).coefficient);
    assert!(!says(&design_with(CLAY, &[BY_CURVE_NUMBER]), "curve-number-of-short-rain"));
    assert!(!says(&design_with(CLAY, &short[1..]), "curve-number-of-short-rain"));
}

#[test]
fn identity_a_curve_number_far_below_the_table_is_told() {
    let of = |number: u32| {
        let entered = format!("coefficient_from = \"curve number\"\ncurve_number = {number}");
        design_with(CLAY, &[(BY_CURVE_NUMBER.0, &entered)])
    };
    let design = of(45);
    let found = finding(&design, "curve-number-below-table");
    let by_table = design_with(CLAY, &[(BY_CURVE_NUMBER.0, "coefficient_from = \"table\"")]);
    let told = found.numbers.iter().find(|(name, _)| *name == "peak_runoff_by_table").unwrap().1.si;
    assert_relative_eq!(told, by_table.storm.peak.flow.m3s(), max_relative = 1e-9);
    assert!(told > design.storm.peak.flow.m3s() * 1.25);
    assert!(!says(&of(80), "curve-number-below-table"));
    assert!(!says(&by_table, "curve-number-below-table"));
    // a share of the rain, and the more the higher the number
    let shares = [1, 10, 30, 45, 60, 75, 90, 98, 100].map(|number| lawn(&of(number).storm).coefficient);
    assert!(shares.is_sorted() && shares.iter().all(|share| (0.0..=1.0).contains(share)), "{shares:?}");
}
