//! The rules that turn results into findings.

mod basin;
mod conditions;
mod cover;
mod curve;
mod drains;
mod duty;
mod edge;
mod flotation;
mod french;
mod frost;
mod groundwater;
mod inflow;
mod inlets;
pub(super) mod line;
mod measured;
mod outlet;
mod pair;
mod pressure;
mod riser;
pub(super) mod storm;
mod summits;
mod supply;
mod validity;
mod velocity;
mod water;
mod way_in;
mod way_off;

pub(super) use basin::reserve_above_alarm;
pub(super) use duty::finer;
pub(super) use groundwater::leaves_no_room;
pub(super) use water::{Elsewhere, PEAKS_DIFFER, coefficients_differ};

use super::bench::Bench;
use super::finding::Finding;
use super::flotation::FlotationOutcome;
use super::gravity_way::GravityWay;
use super::groundwater_run::GroundwaterRun;
use super::line::LineAtRest;
use super::measured::MeasuredResult;
use super::pump::PumpResult;
use super::runoff::StormResult;
use super::way_in::WayIn;
use super::way_off::WayOffResult;
use crate::site::Site;

/// Findings about one pump on this site.
pub(super) fn pump(bench: &Bench<'_>, result: &PumpResult, storm: &StormResult) -> Vec<Finding> {
    let mut findings = duty::findings(bench, result, storm);
    findings.extend(curve::findings(bench, result));
    findings.extend(inflow::findings(bench, result, storm));
    findings.extend(velocity::findings(bench, result));
    findings.extend(validity::with_pump(bench, result));
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

/// What of the site was worked out beside the storm and the line.
#[derive(Clone, Copy, Debug)]
pub(super) struct Found<'a> {
    /// The way in.
    pub(super) way_in: &'a WayIn,
    /// Flotation.
    pub(super) flotation: &'a FlotationOutcome,
    /// A way by gravity.
    pub(super) gravity_way: Option<&'a GravityWay>,
}

/// What follows from the pump that is used.
#[derive(Clone, Copy, Debug)]
pub(super) struct Beyond<'a> {
    /// Beyond the outlet.
    pub(super) way_off: Option<&'a WayOffResult>,
    /// The pump on groundwater alone.
    pub(super) groundwater_run: Option<&'a GroundwaterRun>,
    /// What was measured.
    pub(super) measured: &'a [MeasuredResult],
}

/// Findings about the whole with the pump that is used.
pub(super) fn chosen(site: &Site, pump: &PumpResult, storm: &StormResult, beyond: &Beyond<'_>) -> Vec<Finding> {
    let mut findings = groundwater::with_pump(site, pump, storm, beyond.groundwater_run);
    findings.extend(beyond.way_off.into_iter().flat_map(|way_off| way_off::findings(site, way_off)));
    findings.extend(measured::findings(beyond.measured));
    findings
}

/// Findings that hold whichever pump is used.
pub(super) fn site(site: &Site, storm: &StormResult, rest: &LineAtRest, found: &Found<'_>) -> Vec<Finding> {
    let mut findings = water::findings(site, storm);
    findings.extend(validity::findings(site, storm, found.way_in));
    findings.extend(way_in::findings(site, storm, found.gravity_way));
    findings.extend(inlets::findings(storm, found.way_in));
    findings.extend(drains::findings(site, found.way_in));
    findings.extend(french::findings(site, storm, found.way_in));
    findings.extend(groundwater::findings(site, storm, found.way_in));
    findings.extend(flotation::findings(site, found.flotation));
    findings.extend(line::findings(site));
    findings.extend(riser::findings(site));
    findings.extend(outlet::findings(site));
    findings.extend(pressure::findings(site));
    findings.extend(summits::findings(site));
    findings.extend(frost::findings(site, rest));
    findings.extend(cover::findings(site, rest));
    findings.extend(pair::findings(site));
    findings.extend(basin::findings(site, storm, found.way_in));
    findings
}
