//! The riser: check valve, relief hole, drain hole, union, each in its place.

use super::outlet::ditch_presses_back;
use crate::catalog;
use crate::design::bench::Bench;
use crate::design::finding::{Finding, Severity};
use crate::design::line::{DrainsNot, drains_not};
use crate::design::phrase::{Phrase, percent, phrase, share};
use crate::design::pump::{PumpResult, WaterLevel};
use crate::hydraulics::ReliefHole;
use crate::quantity::{Amount, Flow, Length};
use crate::site::{FrostPlan, Site};

/// What is to be said of the riser whichever pump stands under it.
pub(super) fn findings(site: &Site) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(valve_missing(site));
    findings.extend(hole_missing(site));
    findings.extend(hole_misplaced(site));
    findings.extend(drain_hole_alone(site));
    findings.extend(above_the_line(site));
    findings.extend(spare_valves(site));
    findings.extend(valve_out_of_reach(site));
    findings.extend(no_union(site));
    findings
}

/// What is to be said of it with one pump.
pub(super) fn with_pump(bench: &Bench<'_>, result: &PumpResult) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(leak_large(bench, result));
    findings.extend(drain_hole_leak(bench, result));
    findings.extend(drain_hole_misplaced(bench));
    findings.extend(off_the_riser(bench));
    findings
}

fn valve_missing(site: &Site) -> Option<Finding> {
    if site.discharge.check_valve.is_some() {
        return None;
    }
    let frost = match site.frost.and_then(|frost| frost.plan) {
        Some(FrostPlan::DrainsBack) => ", as the frost plan wants it: the basin must be large enough",
        _ => "",
    };
    // what a full ditch sends back has a stop of its own
    let wanted = !frost.is_empty() && !ditch_presses_back(site);
    let back = crate::hydraulics::drain_back(&site.discharge, site.basin.floor, site.basin.level(site.basin.off));
    let severity = if wanted { Severity::Note } else { Severity::Caution };
    let finding = Finding::new(
        severity,
        "check-valve-missing",
        phrase!("no check valve is entered: {} runs back into the basin at each stop{}", back.without_valve, frost),
    )
    .number("drain_back", Amount::of(back.without_valve));
    Some(if wanted {
        finding
    } else {
        finding.cure(phrase!("a full-flow check valve in the riser, within reach, with a union above it"))
    })
}

fn hole_missing(site: &Site) -> Option<Finding> {
    let line = &site.discharge;
    (line.check_valve.is_some() && line.relief_hole.is_none()).then(|| {
        Finding::caution(
            "relief-hole-missing",
            phrase!("there is a check valve but no relief hole: air caught under the valve can keep the pump from priming (air lock)"),
        )
        .cure(phrase!("drill {} between pump and check valve, inside the basin, pointing down, unless the pump's maker provides one", Amount::drill(ReliefHole::USUAL_DIAMETER)))
    })
}

fn hole_misplaced(site: &Site) -> Option<Finding> {
    let line = &site.discharge;
    let height = line.relief_hole?.above_floor?;
    if site.basin.level(height) >= site.basin.rim {
        return Some(
            Finding::stop(
                "relief-hole-outside",
                phrase!(
                    "the relief hole stands {} above the floor, outside the basin: it sprays into the ground",
                    Amount::small(height)
                ),
            )
            .cure(phrase!("drill it inside the basin, below the check valve")),
        );
    }
    let valve = line.check_valve.as_ref()?.above_floor?;
    (height >= valve).then(|| {
        Finding::stop(
            "relief-hole-above-valve",
            phrase!(
                "the relief hole, {} above the floor, is not below the check valve at {}: it cannot vent the pump, and the line drains through it",
                Amount::small(height),
                Amount::small(valve)
            ),
        )
        .cure(phrase!("drill it below the valve, at least {} lower", Amount::small(Length::from_inch(2.0))))
    })
}

/// A drain hole is for a line that a valve holds full.
fn drain_hole_alone(site: &Site) -> Option<Finding> {
    (site.discharge.drain_hole.is_some() && site.discharge.check_valve.is_none()).then(|| {
        Finding::note(
            "drain-hole-without-valve",
            phrase!("without a check valve the line runs back through the pump: the drain hole only leaks"),
        )
        .cure(phrase!("leave it out"))
    })
}

/// Valve and hole sit in the riser, below where the line leaves the basin.
fn above_the_line(site: &Site) -> Option<Finding> {
    let line = &site.discharge;
    let leaves = line.profile.first()?.invert - site.basin.floor;
    let valve = line.check_valve.as_ref().and_then(|valve| valve.above_floor).map(|height| ("check valve", height));
    let hole = line.relief_hole.and_then(|hole| hole.above_floor).map(|height| ("relief hole", height));
    let (what, height) = valve.into_iter().chain(hole).find(|(_, height)| *height > leaves + SMALL)?;
    Some(
        Finding::caution(
            "above-the-line",
            phrase!(
                "the {} is entered at {} above the floor, but the line leaves the basin at {}: it cannot sit in the riser",
                what,
                Amount::small(height),
                Amount::small(leaves)
            ),
        )
        .cure(phrase!("a height on the riser, or the first level of the profile entered anew")),
    )
}

/// Heights that differ by less are one: common practice, no source.
const SMALL: Length = Length::from_inch(2.0);

/// A second valve in line is not reckoned with.
fn spare_valves(site: &Site) -> Option<Finding> {
    let valves = site.discharge.check_valve.as_ref()?.count;
    (valves > site.pumping.count).then(|| {
        Finding::note(
            "more-valves-than-pumps",
            phrase!("{} check valves are entered: one for each pump is reckoned with, the others neither hold nor cost anything here", valves),
        )
        .cure(phrase!("where two stand one behind the other, enter `k` of both together"))
    })
}

/// A valve that can be reached, where the line leaves room for it below where it goes out of the basin.
fn higher_valve(site: &Site, least: Length) -> Phrase {
    let lifts_out = "a riser that lifts out whole by a union near the rim";
    let leaves = site.discharge.profile.first().map(|start| start.invert - site.basin.floor);
    // a drain hole has its place between the valve and the line
    let room = leaves
        .is_none_or(|leaves| least + if site.discharge.drain_hole.is_some() { SMALL } else { Length::ZERO } < leaves);
    if room {
        phrase!("the valve at {} above the floor or higher, or {}", Amount::small_at_least(least), lifts_out)
    } else {
        phrase!("{}: the line leaves the basin too low for the valve to stand higher", lifts_out)
    }
}

fn valve_out_of_reach(site: &Site) -> Option<Finding> {
    let height = site.discharge.check_valve.as_ref()?.above_floor?;
    let valve = site.basin.level(height);
    let reach = &catalog::default_limits().valve_reach;
    // a hair beyond is the arithmetic of levels
    if site.basin.rim - valve > reach.value * (1.0 + 1e-6) {
        return Some(
            Finding::note(
                "check-valve-deep",
                phrase!(
                    "the check valve sits {} below the rim: hard to reach when it sticks",
                    Amount::small(site.basin.rim - valve)
                ),
            )
            .limit(Amount::small(reach.value), reach.source)
            .cure(higher_valve(site, site.basin.depth() - reach.value)),
        );
    }
    (valve >= site.basin.rim).then(|| {
        Finding::note(
            "check-valve-outside",
            phrase!(
                "the check valve stands {} above the basin's rim: buried outside the basin it cannot be serviced",
                Amount::small(valve - site.basin.rim)
            ),
        )
        .cure(phrase!("a valve inside the basin, or in a box with a lid"))
    })
}

/// Without a joint that opens, valve and pump come out with a saw.
fn no_union(site: &Site) -> Option<Finding> {
    let riser = &site.discharge.riser;
    let union = catalog::fitting("union", &riser.pipe)?.name;
    let listed = |name: &str| catalog::fitting(name, &riser.pipe).is_some_and(|entry| entry.name == union);
    (site.discharge.check_valve.is_some() && !riser.fittings.iter().any(|fitting| listed(&fitting.name))).then(|| {
        Finding::note(
            "no-union",
            phrase!("no union is entered in the riser: valve and pump then come out only with a saw"),
        )
        .cure(phrase!("a union just above the check valve"))
    })
}

/// What the relief hole takes while the pump runs.
fn leak_large(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let limit = bench.site.limits.greatest_leak.value;
    let duty = result.duty(WaterLevel::Mean)?;
    let point = duty.duty.point()?;
    let (moved, part) = (point.pump_flow, percent(point.leak / point.pump_flow));
    let said = phrase!("the relief hole leaks {} of the {} pumped, {}", point.leak, moved, part);
    leaks(bench, ("relief-hole-leak", "leak"), (point.leak, moved), said, || {
        bench.largest_hole(limit, duty.water_level).map(|hole| phrase!("a hole of at most {}", Amount::drill(hole)))
    })
}

/// What runs back through the drain hole while the pump runs.
fn drain_hole_leak(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let limit = bench.site.limits.greatest_leak.value;
    let duty = result.duty(WaterLevel::Mean)?;
    let point = duty.duty.point()?;
    let (moved, part) = (point.pump_flow, percent(point.drained / point.pump_flow));
    let said = phrase!(
        "the drain hole runs back {} of the {} pumped, {}, as long as the pump runs",
        point.drained,
        moved,
        part
    );
    leaks(bench, ("drain-hole-leak", "drained"), (point.drained, moved), said, || {
        let hole = bench.largest_drain_hole(limit, duty.water_level)?;
        Some(phrase!("a hole of at most {}; the line then drains the more slowly", Amount::drill(hole)))
    })
}

/// A hole that takes more than its share of what the pump moves.
fn leaks(
    bench: &Bench<'_>,
    (id, name): (&'static str, &'static str),
    (leak, moved): (Flow, Flow),
    said: Phrase,
    smaller: impl FnOnce() -> Option<Phrase>,
) -> Option<Finding> {
    let limit = &bench.site.limits.greatest_leak;
    (leak / moved > limit.value).then(|| {
        Finding::caution(id, said)
            .number(name, Amount::of(leak))
            .limit(share(limit.value), &limit.source)
            .cure_if(smaller())
    })
}

/// A drain hole belongs above the valve and inside the basin.
fn drain_hole_misplaced(bench: &Bench<'_>) -> Option<Finding> {
    let site = bench.site;
    let height = site.discharge.drain_hole?.above_floor?;
    let small = Amount::small;
    Some(match drains_not(site)? {
        DrainsNot::Outside => Finding::stop(
            "drain-hole-outside",
            phrase!(
                "the drain hole stands {} above the floor, outside the basin: it sprays into the ground",
                small(height)
            ),
        )
        .cure(phrase!("drill it inside the basin, above the check valve")),
        DrainsNot::AboveTheLine { leaves } => Finding::stop(
            "drain-hole-above-line",
            phrase!(
                "the drain hole, {} above the floor, stands {} above where the line leaves: what lies lower stays full",
                small(height),
                small(site.basin.level(height) - leaves)
            ),
        )
        .cure(phrase!(
            "drill it below {} above the floor, and the valve lower still",
            small(leaves - site.basin.floor)
        )),
        DrainsNot::BelowTheValve { valve } => Finding::stop(
            "drain-hole-below-valve",
            phrase!(
                "the drain hole, {} above the floor, is not above the check valve at {}: it cannot empty the line",
                small(height),
                small(valve)
            ),
        )
        .cure(phrase!("drill it above the valve, at least {} higher", small(Length::from_inch(2.0)))),
    })
}

/// Valve or hole where the riser is not: below the pump's top, or past the riser's end.
fn off_the_riser(bench: &Bench<'_>) -> Option<Finding> {
    // said of the line already
    if above_the_line(bench.site).is_some() {
        return None;
    }
    let line = &bench.site.discharge;
    let top = bench.pump.height?;
    let valve = line.check_valve.as_ref().and_then(|valve| valve.above_floor).map(|height| ("check valve", height));
    let hole = line.relief_hole.and_then(|hole| hole.above_floor).map(|height| ("relief hole", height));
    let end = top + line.riser.length;
    let (what, height) = valve.into_iter().chain(hole).find(|(_, height)| *height < top || *height > end)?;
    Some(
        Finding::caution(
            "not-on-the-riser",
            phrase!(
                "the {} is entered at {} above the floor, but the riser goes from the pump's top at {} to {}",
                what,
                Amount::small(height),
                Amount::small(top),
                Amount::small(end)
            ),
        )
        .cure(phrase!("heights on the riser, or riser length and pump height entered anew")),
    )
}
