//! The end of the line: where it may go, what a full ditch does, what comes back.

use crate::catalog;
use crate::design::bench::Bench;
use crate::design::finding::{Finding, Severity};
use crate::design::phrase::{percent, phrase};
use crate::design::pump::PumpResult;
use crate::quantity::{Amount, Flow, Length, Level};
use crate::site::Site;

/// What is to be said of the outlet whichever pump drives the line.
pub(super) fn findings(site: &Site) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(outlet_kind(site));
    findings.extend(ditch_runs_back(site));
    findings.extend(ditch_unknown(site));
    findings.extend(return_flow(site));
    findings
}

/// What is to be said of it with one pump on the line.
pub(super) fn with_pump(bench: &Bench<'_>, result: &PumpResult) -> Vec<Finding> {
    outlet_drowned(bench, result).into_iter().collect()
}

fn outlet_kind(site: &Site) -> Option<Finding> {
    let kind = &site.discharge.outlet.kind;
    let entry = catalog::outlet(kind);
    let words = kind.to_lowercase();
    let sewer = ["sewer", "sanitary", "septic"].iter().any(|word| words.contains(word)) && !words.contains("storm");
    let forbidden = entry.map_or(sewer, |entry| !entry.allowed);
    if forbidden {
        return Some(
            Finding::stop(
                "outlet-not-allowed",
                phrase!("the outlet is a {}: yard water does not belong there, and most towns forbid it", kind),
            )
            .cure(phrase!("an outlet to a swale, ditch, curb or storm drain that the town allows in writing")),
        );
    }
    entry.is_none().then(|| {
        Finding::note(
            "outlet-unknown",
            phrase!("`{}` is no kind of outlet in the tables: whether water may go there is not judged", kind),
        )
        .cure(phrase!("ask the town before anything is dug"))
    })
}

/// How deep the outlet lies under a full ditch, and its level.
fn drowned(site: &Site) -> Option<(Length, Level)> {
    let outlet = &site.discharge.outlet;
    let full = outlet.ditch_full.filter(|full| *full > outlet.level)?;
    Some((full - outlet.level, full))
}

/// With no valve a full ditch runs back.
fn ditch_runs_back(site: &Site) -> Option<Finding> {
    let (depth, full) = drowned(site)?;
    site.discharge.check_valve.is_none().then(|| {
        Finding::stop(
            "ditch-runs-back",
            phrase!(
                "when the ditch is full the outlet lies {} under water, and there is no check valve: at each stop the ditch runs back through the line into the basin, without end",
                Amount::small(depth)
            ),
        )
        .number("depth", Amount::small(depth))
        .cure(phrase!("an outlet at {} or higher", full))
        .cure(phrase!("a check valve that holds"))
    })
}

/// With a valve it costs lift, and so flow.
fn outlet_drowned(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let site = bench.site;
    let (depth, full) = drowned(site)?;
    site.discharge.check_valve.as_ref()?;
    let flow = |id: &str| {
        let row = result.conditions.iter().find(|row| row.id == id)?;
        row.half_way.point().map(|point| point.line_flow)
    };
    let costs = match (flow("as_designed"), flow("ditch_empty")) {
        (Some(with), Some(without)) => {
            phrase!(", which costs {} of {}", (without - with).max(Flow::ZERO), without).say(site.units)
        }
        _ => String::new(),
    };
    let hole = if site.discharge.drain_hole.is_some() {
        ", and through the drain hole above the valve the ditch runs back all the same"
    } else {
        ""
    };
    Some(
        Finding::caution(
            "outlet-drowned",
            phrase!(
                "when the ditch is full the outlet lies {} under water; the lift is reckoned to the full ditch, at {}{}, and only the check valve keeps the ditch out of the basin{}",
                Amount::small(depth),
                full,
                costs,
                hole
            ),
        )
        .number("depth", Amount::small(depth))
        .cure(phrase!("an outlet at {} or higher", full)),
    )
}

/// Where the outlet lies in a ditch that fills, its level when full matters.
fn ditch_unknown(site: &Site) -> Option<Finding> {
    let outlet = &site.discharge.outlet;
    let fills = catalog::outlet(&outlet.kind).is_some_and(|entry| matches!(entry.kind, "swale" | "storm drain"));
    (fills && outlet.ditch_full.is_none()).then(|| {
        Finding::note(
            "ditch-level-unknown",
            phrase!(
                "how high the water stands in the {} when it is full was not entered: whether the outlet then lies under water is not judged",
                outlet.kind.as_str()
            ),
        )
        .cure(phrase!("`ditch_full` of the outlet: the mark that high water left, or its top"))
    })
}

fn return_flow(site: &Site) -> Option<Finding> {
    let share = site.discharge.outlet.returned_share;
    (share > 0.0).then(|| {
        let severity = if share >= 0.5 { Severity::Stop } else { Severity::Caution };
        Finding::new(
            severity,
            "return-flow",
            phrase!("{} of the pumped water runs back to the low spot: it is pumped over and over", percent(share)),
        )
        .number("returned_share", Amount::of(share))
        .cure(phrase!("an outlet from which the ground falls away from the yard: the levels decide, not the distance"))
    })
}
