//! The end of the line: where it may go, what a full ditch does, what comes back.

use crate::catalog;
use crate::collection::orifice::orifice_flow;
use crate::design::bench::Bench;
use crate::design::finding::{Finding, Severity};
use crate::design::phrase::{Phrase, percent, phrase};
use crate::design::pump::PumpResult;
use crate::hydraulics::ProfilePoint;
use crate::quantity::{Amount, Flow, Head, Length, Level};
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

/// The highest vented point that stands above a full ditch and so keeps it out. Without a vent a full line siphons over
/// any.
fn kept_out_by(site: &Site, full: Level) -> Option<&ProfilePoint> {
    let line = &site.discharge;
    let keeps = line.points_on_the_way().iter().filter(|point| point.invert > full && line.vented_at(point.at));
    keeps.reduce(|best, point| if point.invert > best.invert { point } else { best })
}

/// With no valve, or past one through a drain hole, a full ditch runs back.
fn ditch_runs_back(site: &Site) -> Option<Finding> {
    let (depth, full) = drowned(site)?;
    let line = &site.discharge;
    if kept_out_by(site, full).is_some() || full <= site.basin.level(site.basin.off) {
        return None;
    }
    let over = line.points_on_the_way().iter().any(|point| point.invert > full);
    let vent = over.then(|| phrase!("an air valve at the high point, over which a full line siphons"));
    let (way, cure) = match (&line.check_valve, line.drain_hole) {
        (None, _) => (
            "there is no check valve: at each stop the ditch runs back through the line into the basin, without end"
                .to_owned(),
            phrase!("a check valve that holds"),
        ),
        (Some(_), Some(hole)) => {
            let level = hole.above_floor.map_or(site.basin.level(site.basin.on), |height| site.basin.level(height));
            let head = Head::from((full - level).max(Length::ZERO));
            let flow = orifice_flow(hole.discharge_coefficient, hole.diameter.circle(), head) * f64::from(line.risers);
            (
                format!(
                    "{} it run back into the basin, up to {}, without end",
                    if line.risers > 1 {
                        "the drain holes above the valves let"
                    } else {
                        "the drain hole above the valve lets"
                    },
                    Amount::of(flow).show(site.units)
                ),
                phrase!("no drain hole, and the line below the frost"),
            )
        }
        (Some(_), None) => return None,
    };
    Some(
        Finding::stop(
            "ditch-runs-back",
            phrase!("when the ditch is full the outlet lies {} under water, and {}", Amount::small(depth), way),
        )
        .number("depth", Amount::small(depth))
        .cure(higher_outlet(site, full))
        .cure(cure)
        .cure_if(vent),
    )
}

/// Whether a full ditch would run back into the basin if no valve held it.
pub(super) fn ditch_presses_back(site: &Site) -> bool {
    drowned(site).is_some_and(|(_, full)| kept_out_by(site, full).is_none() && full > site.basin.level(site.basin.off))
}

/// An outlet above a full ditch; where that is higher than the pipe on the way, the line must not fall before it.
pub(super) fn higher_outlet(site: &Site, full: Level) -> Phrase {
    let line = &site.discharge;
    let after = line.points_on_the_way().iter().filter(|point| point.at >= line.highest_at());
    let falls =
        after.clone().any(|point| point.invert > line.outlet.level) && after.clone().any(|point| point.invert < full);
    phrase!(
        "an outlet at {} or higher{}",
        Amount::at_least(full),
        if falls { ", and the line not falling on the way to it" } else { "" }
    )
}

/// A flow that is nearly the whole has cost nothing worth a word.
const NO_COST: f64 = 0.99;

/// With a valve it costs lift, and so flow.
fn outlet_drowned(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let site = bench.site;
    let (depth, full) = drowned(site)?;
    if ditch_runs_back(site).is_some() {
        return None;
    }
    let flow = |id: &str| {
        let row = result.conditions.iter().find(|row| row.id == id)?;
        row.half_way.point().map(|point| point.line_flow)
    };
    let costs = match (flow("as_designed"), flow("ditch_empty")) {
        (Some(with), Some(without)) if with < without * NO_COST => {
            phrase!(", which costs {} of {}", (without - with).max(Flow::ZERO), without).say(site.units)
        }
        _ => String::new(),
    };
    let kept_out = match kept_out_by(site, full) {
        Some(point) => phrase!("the high point at {} keeps the ditch out of the basin", point.at),
        None if site.discharge.check_valve.is_some() => {
            phrase!("only the check valve keeps the ditch out of the basin")
        }
        None => {
            phrase!("it runs back only while the basin stands lower than the ditch, which is never above the off level")
        }
    };
    Some(
        Finding::caution(
            "outlet-drowned",
            phrase!(
                "when the ditch is full the outlet lies {} under water; the lift is reckoned to the full ditch, at {}{}, and {}",
                Amount::small(depth),
                full,
                costs,
                kept_out.say(site.units)
            ),
        )
        .number("depth", Amount::small(depth))
        .cure(higher_outlet(site, full)),
    )
}

/// Where the outlet lies in a ditch that fills, its level when full matters.
fn ditch_unknown(site: &Site) -> Option<Finding> {
    let outlet = &site.discharge.outlet;
    let by_kind = catalog::outlet(&outlet.kind).map(|entry| entry.kind);
    let place = site.outlet_place.ends_in.as_deref().or(by_kind)?;
    let fills = |place: &str| matches!(place, "swale" | "ditch" | "storm drain" | "stream" | "curb" | "street");
    let fills = fills(place) || by_kind.is_some_and(fills);
    let line = &site.discharge;
    // without a valve, or past one through a hole, what stands over the end comes back without end
    let lets_back = line.check_valve.is_none() || line.drain_hole.is_some();
    (fills && outlet.ditch_full.is_none()).then(|| {
        Finding::new(
            if lets_back { Severity::Caution } else { Severity::Note },
            "ditch-level-unknown",
            phrase!(
                "how high the water stands in the {} when it is full was not entered: whether the outlet then lies under water{} is not judged",
                place,
                if lets_back { ", and what stands over it runs back into the basin without end," } else { "" }
            ),
        )
        .cure(phrase!("`ditch_full` of the outlet: the mark that high water left, or the top of the ditch or curb"))
    })
}

fn return_flow(site: &Site) -> Option<Finding> {
    let share = site.discharge.outlet.returned_share;
    (share > 0.0).then(|| {
        let severity = if share >= 0.5 { Severity::Stop } else { Severity::Caution };
        Finding::new(
            severity,
            "return-flow",
            phrase!(
                "{} of the pumped water runs back to the low spot: it is pumped over and over{}",
                percent(share),
                if share < 1.0 {
                    format!(
                        ", all that leaves for good {:.1} times; of every {} that is pumped {} leaves",
                        1.0 / (1.0 - share),
                        Amount::of(Flow::from_gpm(10.0)).show(site.units),
                        Amount::of(Flow::from_gpm(10.0) * (1.0 - share)).show(site.units)
                    )
                } else {
                    ": none of it ever leaves, and the pump runs for ever".to_owned()
                }
            ),
        )
        .number("returned_share", Amount::of(share))
        .cure(phrase!("an outlet from which the ground falls away from the yard: the levels decide, not the distance"))
    })
}
