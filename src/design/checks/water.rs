//! The water that comes: surfaces, times, rain.

use crate::design::finding::Finding;
use crate::design::phrase::{Phrase, phrase};
use crate::design::runoff::{CatchmentResult, StormResult};
use crate::hydrology::Rain;
use crate::quantity::{Amount, Duration};
use crate::site::Site;

/// A coefficient by infiltration that differs from the table's by this factor is worth a word.
const COEFFICIENTS_DIFFER: f64 = 1.25;

pub(super) fn findings(site: &Site, storm: &StormResult) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(nothing_comes(site, storm));
    findings.extend(constant_rain(site));
    findings.extend(storm.catchments.iter().filter_map(|result| infiltration(site, result)));
    findings.extend(storm.catchments.iter().filter_map(sheet_flow));
    findings.extend(early_part(storm));
    findings
}

fn nothing_comes(site: &Site, storm: &StormResult) -> Option<Finding> {
    (site.catchments.is_empty() && storm.steady.gpm() == 0.0).then(|| {
        Finding::note(
            "no-inflow-entered",
            phrase!("no surface and no inflow was entered: only pump and line are judged"),
        )
        .cure(phrase!("enter each roof, drive, lawn and the neighbour's share as a [[catchment]]"))
    })
}

fn constant_rain(site: &Site) -> Option<Finding> {
    let (_, rain) = site.rain.storms.get(site.rain.design)?;
    let Rain::Constant(intensity) = rain else { return None };
    (!site.catchments.is_empty()).then(|| {
        Finding::note(
            "rain-without-duration",
            phrase!("one intensity of {} is used for every duration: if it is an hour's mean, the peak from a small yard can be two to four times as much", *intensity),
        )
        .cure(phrase!("enter the depth-duration table for the address"))
    })
}

/// The table and the soil say different things of a lawn.
fn infiltration(site: &Site, result: &CatchmentResult) -> Option<Finding> {
    let by_soil = result.by_infiltration?;
    let entered = site
        .catchments
        .iter()
        .any(|catchment| catchment.name == result.name && catchment.basis == crate::site::CoefficientBasis::Entered);
    let tabled = result.tabled.max(1e-6);
    let differ = by_soil > tabled * COEFFICIENTS_DIFFER || tabled > by_soil * COEFFICIENTS_DIFFER;
    if !differ {
        return None;
    }
    let origin = if entered { "the entry" } else { "the table" };
    let message: Phrase = if result.used_infiltration {
        phrase!(
            "`{}`: {} by infiltration is used, an upper bound; {} says {}",
            result.name.as_str(),
            two(by_soil),
            origin,
            two(result.tabled)
        )
    } else {
        phrase!(
            "`{}`: {} says {}; the soil's infiltration in this burst allows up to {}, an upper bound",
            result.name.as_str(),
            origin,
            two(result.tabled),
            two(by_soil)
        )
    };
    let finding = Finding::note("coefficients-differ", message)
        .about(&result.name)
        .number("by_table", Amount::of(result.tabled))
        .number("by_infiltration", Amount::of(by_soil));
    Some(if result.used_infiltration {
        finding
    } else {
        finding.cure(phrase!("`coefficient_from = \"infiltration\"` to be on the safe side"))
    })
}

/// A coefficient as its tables print it.
fn two(coefficient: f64) -> String {
    format!("{coefficient:.2}")
}

fn sheet_flow(result: &CatchmentResult) -> Option<Finding> {
    let (length, limit) = result.sheet_too_long?;
    Some(
        Finding::caution(
            "sheet-flow-too-long",
            phrase!(
                "`{}`: water does not run as a sheet for {}; past about {} it gathers and runs faster, so the time may be too long and the peak too small",
                result.name.as_str(),
                length,
                limit
            ),
        )
        .about(&result.name)
        .number("length", Amount::of(length))
        .limit(Amount::of(limit), "McCuen and Spiess, NRCS NEH 630 chapter 15 (2010)")
        .cure(phrase!("split the path: sheet up to {}, the rest as `shallow`", limit)),
    )
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
                longest(storm)
            ),
        )
        .number("early_peak", Amount::of(storm.peak.flow))
        .number("whole_area", Amount::of(storm.peak.whole_area_flow))
    })
}

fn longest(storm: &StormResult) -> Duration {
    storm.peak.whole_area_time
}
