//! The rules that turn results into findings.

mod basin;
mod conditions;
mod cover;
mod curve;
mod duty;
mod frost;
mod inflow;
mod line;
mod outlet;
mod pair;
mod pressure;
mod riser;
mod summits;
mod supply;
mod velocity;
mod water;
mod way_in;

pub(super) use basin::reserve_above_alarm;
pub(super) use duty::finer;
pub(super) use water::PEAKS_DIFFER;

use super::bench::Bench;
use super::finding::Finding;
use super::line::LineAtRest;
use super::pump::PumpResult;
use super::runoff::StormResult;
use crate::site::Site;

/// Findings about one pump on this site.
pub(super) fn pump(bench: &Bench<'_>, result: &PumpResult, storm: &StormResult) -> Vec<Finding> {
    let mut findings = duty::findings(bench, result);
    findings.extend(curve::findings(bench, result));
    findings.extend(inflow::findings(bench, result, storm));
    findings.extend(velocity::findings(bench, result));
    findings.extend(line::with_pump(bench, result));
    findings.extend(riser::with_pump(bench, result));
    findings.extend(outlet::with_pump(bench, result));
    findings.extend(pressure::with_pump(bench, result));
    findings.extend(summits::with_pump(bench, result));
    findings.extend(frost::with_pump(bench, result));
    findings.extend(pair::with_pump(bench, result));
    findings.extend(supply::findings(bench, result));
    findings.extend(conditions::findings(bench, result));
    findings.extend(basin::with_pump(bench, result));
    findings
}

/// Findings that hold whichever pump is used.
pub(super) fn site(site: &Site, storm: &StormResult, rest: &LineAtRest) -> Vec<Finding> {
    let mut findings = water::findings(site, storm);
    findings.extend(way_in::findings(site));
    findings.extend(line::findings(site));
    findings.extend(riser::findings(site));
    findings.extend(outlet::findings(site));
    findings.extend(pressure::findings(site));
    findings.extend(summits::findings(site));
    findings.extend(frost::findings(site, rest));
    findings.extend(cover::findings(site, rest));
    findings.extend(pair::findings(site));
    findings.extend(basin::findings(site));
    findings
}
