//! The water that comes: surfaces, times, rain.

use crate::design::finding::{Finding, Severity};
use crate::design::phrase::phrase;
use crate::design::runoff::{A_DAY, CatchmentResult, StormResult};
use crate::hydrology::{Contribution, Rain, TimeWarning, adjusted_coefficient, peak_flow};
use crate::quantity::{Amount, Duration, Length};
use crate::site::{RunoffFrom, Site};

/// A coefficient by infiltration that differs from the table's by this factor is worth a word: common practice, no source.
const COEFFICIENTS_DIFFER: f64 = 1.25;
/// A peak by infiltration that is larger than the table's by this factor is a caution.
pub(in crate::design) const PEAKS_DIFFER: f64 = 1.5;

pub(super) fn findings(site: &Site, storm: &StormResult) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(nothing_comes(site, storm));
    findings.extend(constant_rain(site));
    findings.extend(coefficients_differ(storm, Elsewhere::Nothing));
    findings.extend(storm.catchments.iter().flat_map(paths));
    findings.extend(early_part(storm));
    findings.extend(long_minimum(site));
    findings.extend(short_rain(site, storm));
    findings.extend(less_than_the_table(site, storm));
    findings
}

/// A curve number is used, and the table would bring clearly more.
fn less_than_the_table(site: &Site, storm: &StormResult) -> Option<Finding> {
    let by_table = |result: &CatchmentResult| adjusted_coefficient(result.tabled, storm.frequency_factor);
    let less: Vec<String> = storm
        .catchments
        .iter()
        .filter(|result| result.runoff_from == RunoffFrom::CurveNumber && result.coefficient < by_table(result))
        .map(|result| format!("`{}` {} against {}", result.name, two(result.coefficient), two(by_table(result))))
        .collect();
    let parts: Vec<Contribution> = storm
        .catchments
        .iter()
        .map(|result| {
            let by_number = result.runoff_from == RunoffFrom::CurveNumber;
            let coefficient = if by_number { result.coefficient.max(by_table(result)) } else { result.coefficient };
            Contribution { coefficient, area: result.area, time: result.time.time }
        })
        .collect();
    let (_, rain) = site.rain.storms.get(site.rain.design)?;
    let peak = peak_flow(&parts, rain).ok()?.flow;
    (peak > storm.peak.flow * COEFFICIENTS_DIFFER).then(|| {
        Finding::caution(
            "curve-number-below-table",
            phrase!(
                "the curve number lets less run off than the coefficient by table or as entered: {}. With those the peak runoff would be {} instead of {}; a curve number is made for the rain of a day and has no clock",
                less.join("; "),
                peak,
                storm.peak.flow
            ),
        )
        .number("peak_runoff", Amount::of(storm.peak.flow))
        .number("peak_runoff_by_table", Amount::of(peak))
        .cure(phrase!("`coefficient_from = \"table\"` for these surfaces, to be on the safe side"))
    })
}

/// A curve number is used, but the rain that is known ends before the day does.
fn short_rain(site: &Site, storm: &StormResult) -> Option<Finding> {
    let (_, rain) = site.rain.storms.get(site.rain.design)?;
    let longest = rain.longest().filter(|longest| *longest < A_DAY * NEARLY)?;
    storm.catchments.iter().any(|result| result.runoff_from == RunoffFrom::CurveNumber).then(|| {
        Finding::caution(
            "curve-number-of-short-rain",
            phrase!(
                "the coefficient by curve number counts the rain before the burst only as far as the rain is known, {}: the ground is wetter by then, and more runs off",
                longest
            ),
        )
        .number("longest_rain", Amount::of(longest))
        .limit(Amount::of(A_DAY), "curve numbers belong to the rain of a day, TR-55 (1986)")
        .cure(phrase!("enter the rain's depths up to {}", A_DAY))
    })
}

/// Room for rounding.
const NEARLY: f64 = 0.999;

fn nothing_comes(site: &Site, storm: &StormResult) -> Option<Finding> {
    (storm.peak.flow.m3s() <= 0.0).then(|| {
        let what = if site.catchments.is_empty() { "no surface" } else { "no rain" };
        let besides = if storm.steady.m3s() > 0.0 { " beside the steady inflow" } else { "" };
        Finding::note(
            "no-storm-entered",
            phrase!("{} was entered{}: only pump, line and basin are judged", what, besides),
        )
        .cure(phrase!("enter each roof, drive, lawn and the neighbour's share as a [[catchment]]"))
    })
}

fn constant_rain(site: &Site) -> Option<Finding> {
    let (_, rain) = site.rain.storms.get(site.rain.design)?;
    let Rain::Constant(intensity) = rain else { return None };
    (!site.catchments.is_empty()).then(|| {
        Finding::caution(
            "rain-without-duration",
            phrase!("one intensity of {} is used for every duration: if it is an hour's mean, the peak from a small yard can be two to four times as much", *intensity),
        )
        .cure(phrase!("enter the depth-duration table for the address"))
    })
}

/// What is said elsewhere of the storm if the soil takes less.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::design) enum Elsewhere {
    /// Nothing.
    Nothing,
    /// What comes then and how deep it stands.
    Followed,
    /// That too, and that the goal is missed then.
    GoalMissed,
}

/// The table and the soil say different things of the lawns.
pub(in crate::design) fn coefficients_differ(storm: &StormResult, elsewhere: Elsewhere) -> Option<Finding> {
    let differ = |result: &&CatchmentResult| {
        let tabled = result.tabled.max(1e-6);
        result
            .by_infiltration
            .is_some_and(|by_soil| by_soil > tabled * COEFFICIENTS_DIFFER || tabled > by_soil * COEFFICIENTS_DIFFER)
    };
    let said: Vec<String> = storm
        .catchments
        .iter()
        .filter(differ)
        .filter_map(|result| {
            let by_soil = result.by_infiltration?;
            let (tabled, used) = match result.runoff_from {
                RunoffFrom::Table => (result.coefficient, String::new()),
                RunoffFrom::Infiltration => (result.tabled, " (the soil's is used)".to_owned()),
                RunoffFrom::CurveNumber => {
                    (result.tabled, format!(" ({} by curve number is used)", two(result.coefficient)))
                }
            };
            Some(format!("`{}` {} against {}{used}", result.name, two(tabled), two(by_soil)))
        })
        .collect();
    if said.is_empty() {
        return None;
    }
    let said = format!(
        "runoff coefficients as entered or by table against those by the soil's infiltration at the height of a long rain, an upper bound: {}",
        said.join("; ")
    );
    let Some(peak) = storm.peak_by_infiltration else {
        return Some(Finding::note("coefficients-differ", phrase!("{}", said)));
    };
    let grave = peak > storm.peak.flow * PEAKS_DIFFER && elsewhere != Elsewhere::GoalMissed;
    let severity = if grave { Severity::Caution } else { Severity::Note };
    let message = match elsewhere {
        Elsewhere::Nothing => {
            phrase!("{}. With the soil's the peak runoff would be up to {} instead of {}", said, peak, storm.peak.flow)
        }
        Elsewhere::Followed | Elsewhere::GoalMissed => phrase!("{}", said),
    };
    let cure = (elsewhere != Elsewhere::GoalMissed)
        .then(|| phrase!("`coefficient_from = \"infiltration\"` for these surfaces, to be on the safe side"));
    Some(
        Finding::new(severity, "coefficients-differ", message)
            .number("peak_runoff", Amount::of(storm.peak.flow))
            .number("peak_runoff_by_infiltration", Amount::of(peak))
            .cure_if(cure),
    )
}

/// A coefficient as its tables print it.
fn two(coefficient: f64) -> String {
    format!("{coefficient:.2}")
}

/// What the time of concentration says of its own path.
fn paths(result: &CatchmentResult) -> Vec<Finding> {
    let name = result.name.as_str();
    let too_long = |length: Length, limit: Length, source: &str| {
        Finding::caution(
            "sheet-flow-too-long",
            phrase!(
                "`{}`: water does not run as a sheet for {}; past about {} it gathers and runs faster, so the time may be too long and the peak too small",
                name,
                length,
                limit
            ),
        )
        .about(name)
        .number("length", Amount::of(length))
        .limit(Amount::of(limit), source)
        .cure(phrase!("split the path: sheet up to {}, the rest as `shallow`", limit))
    };
    let beyond = result.time.warnings.iter().any(|warning| matches!(warning, TimeWarning::SheetBeyondLimit { .. }));
    result
        .time
        .warnings
        .iter()
        .filter_map(|warning| match *warning {
            TimeWarning::SheetBeyondLimit { length, limit, .. } => {
                Some(too_long(length, limit, "McCuen and Spiess, NRCS NEH 630 chapter 15 (2010)"))
            }
            // the narrower limit says it already
            TimeWarning::SheetBeyondPractice { .. } if beyond => None,
            TimeWarning::SheetBeyondPractice { length, limit } => {
                Some(too_long(length, limit, "NRCS NEH 630 chapter 15 (2010), practice"))
            }
            TimeWarning::SheetAfterGathering { .. } => Some(
                Finding::caution(
                    "sheet-after-gathering",
                    phrase!("`{}`: once water has gathered it does not spread to a sheet again, so the time may be too long", name),
                )
                .about(name)
                .cure(phrase!("sheet flow first, then `shallow`, `channel` or `pipe`")),
            ),
        })
        .collect()
}

/// The longest minimum time that design manuals use for small inlets: from memory.
const USUAL_MINIMUM: Duration = Duration::from_min(10.0);

fn long_minimum(site: &Site) -> Option<Finding> {
    let minimum = site.rain.minimum_time;
    (!site.catchments.is_empty() && minimum > USUAL_MINIMUM).then(|| {
        Finding::caution(
            "minimum-time-long",
            phrase!(
                "no burst shorter than {} is looked at, but a roof or patio sheds its peak in about five minutes",
                minimum
            ),
        )
        .limit(Amount::of(USUAL_MINIMUM), "from memory: 5 to 10 min for small inlets")
        .cure(phrase!("a shorter `minimum_time`, and rain for short durations"))
    })
}

fn early_part(storm: &StormResult) -> Option<Finding> {
    storm.peak.early_part_governs.then(|| {
        Finding::note(
            "early-part-governs",
            phrase!(
                "the surfaces that are quick to run off make the peak: {} after {}, against {} when everything runs after {}",
                storm.peak.flow,
                storm.peak.duration,
                storm.peak.whole_area_flow,
                storm.peak.whole_area_time
            ),
        )
        .number("early_peak", Amount::of(storm.peak.flow))
        .number("whole_area", Amount::of(storm.peak.whole_area_flow))
    })
}
