//! The rules that turn results into findings.

mod basin;
mod duty;
mod line;
mod velocity;
mod water;
mod way_in;

pub(super) use basin::reserve_above_alarm;
pub(super) use duty::finer;
pub(super) use water::PEAKS_DIFFER;

use super::bench::Bench;
use super::finding::Finding;
use super::pump::PumpResult;
use super::runoff::StormResult;
use crate::site::Site;

/// Findings about one pump on this site.
pub(super) fn pump(bench: &Bench<'_>, result: &PumpResult, storm: &StormResult) -> Vec<Finding> {
    let mut findings = duty::findings(bench, result, storm);
    findings.extend(velocity::findings(bench, result));
    findings.extend(line::with_pump(bench, result));
    findings.extend(basin::with_pump(bench, result));
    findings
}

/// Findings that hold whichever pump is used.
pub(super) fn site(site: &Site, storm: &StormResult) -> Vec<Finding> {
    let mut findings = water::findings(site, storm);
    findings.extend(way_in::findings(site));
    findings.extend(line::findings(site));
    findings.extend(basin::findings(site));
    findings
}
