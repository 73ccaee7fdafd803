//! Frost: the plan named against profile, cover, valve, drain hole and sags.

use super::outlet::{ditch_presses_back, higher_outlet};
use super::summits::pockets;
use crate::catalog;
use crate::design::bench::Bench;
use crate::design::finding::{Finding, Severity};
use crate::design::line::{LineAtRest, short_of_frost};
use crate::design::phrase::{Phrase, phrase};
use crate::design::pump::{PumpResult, grade_at};
use crate::hydraulics::{Pocket, stretch_volume};
use crate::quantity::{Amount, Head, Length, Level, Volume};
use crate::site::{Frost, FrostPlan, Site};

/// What is to be said of frost whichever pump drives the line.
pub(super) fn findings(site: &Site, rest: &LineAtRest) -> Vec<Finding> {
    let Some(frost) = site.frost else { return Vec::new() };
    let mut findings = Vec::new();
    findings.extend(ground_unknown(site, rest));
    match frost.plan {
        None => findings.extend(no_plan(site, rest, &frost)),
        Some(plan @ FrostPlan::BelowFrost) => {
            let short = too_shallow(site, rest, &frost);
            let ends_in_frost = short.is_some();
            findings.extend(short);
            findings.extend(end_under_water(site, plan).filter(|_| ends_in_frost));
        }
        Some(plan @ FrostPlan::DrainsBack) => {
            findings.extend(valve_holds(site, rest, &frost));
            findings.extend(still_freezes(site, rest, &frost, plan));
            findings.extend(end_under_water(site, plan));
        }
        Some(plan @ FrostPlan::DrainsOut) => {
            findings.extend(still_freezes(site, rest, &frost, plan));
            findings.extend(end_under_water(site, plan));
        }
        Some(FrostPlan::SpillGap) => {
            findings.extend(gap_missing(rest, &frost));
            findings.extend(gap_behind_ice(site, rest, &frost));
        }
    }
    findings.extend(outlet_freezes(site, &frost));
    findings.extend(vent_freezes(site, &frost));
    findings
}

/// What is to be said of it with one pump on the line.
pub(super) fn with_pump(bench: &Bench<'_>, result: &PumpResult) -> Vec<Finding> {
    gap_spills(bench, result).into_iter().chain(gap_when_frozen(bench)).collect()
}

/// Lids and boxes at the end hold water of their own.
fn outlet_freezes(site: &Site, frost: &Frost) -> Option<Finding> {
    let kind = catalog::outlet(&site.discharge.outlet.kind)?.kind;
    (frost.depth > Length::ZERO && matches!(kind, "pop-up" | "bubbler box")).then(|| {
        Finding::note(
            "outlet-freezes",
            phrase!("a {} keeps water at its foot and freezes shut, whatever the line does", kind),
        )
        .cure(phrase!("an open end in winter, or a hole in its foot over a bed of stone"))
    })
}

/// A vent stands where the line is highest, and often shallow.
fn vent_freezes(site: &Site, frost: &Frost) -> Option<Finding> {
    let vent = site.discharge.vents.first()?;
    (frost.depth > Length::ZERO).then(|| {
        Finding::note(
            "vent-in-frost",
            phrase!("the vent at {} stands in the frost: water left in it freezes, and then no air gets in or out", vent.at),
        )
        .cure(phrase!("a box of stone and a lid with insulation, from which it drains back into the line (common practice, no source)"))
    })
}

fn ground_unknown(site: &Site, rest: &LineAtRest) -> Option<Finding> {
    let unknown = rest.covers.is_empty() || rest.covers.iter().any(Option::is_none);
    (unknown && site.frost.is_some()).then(|| {
        Finding::note(
            "cover-unknown",
            phrase!("the ground over the line is not entered all along: what frost reaches is not judged where it is missing"),
        )
        .cure(phrase!("`ground` at each point of the profile"))
    })
}

/// The four plans, in the order that costs least.
fn plans() -> Phrase {
    phrase!("name one of four plans in [discharge.frost]: `drains back`, `drains out`, `below frost`, `spill gap`")
}

fn no_plan(site: &Site, rest: &LineAtRest, frost: &Frost) -> Option<Finding> {
    let volume = rest.volume_that_freezes();
    (volume > Volume::ZERO).then(|| {
        Finding::caution(
            "frost-without-plan",
            phrase!(
                "frost goes {} deep and reaches {} that stays in the line ({}), and no plan against it is named",
                Amount::small(frost.depth),
                volume,
                pockets(&rest.freezes, site.units)
            ),
        )
        .number("freezes", Amount::of(volume))
        .limit(Amount::small(frost.depth), "entered in [discharge.frost]")
        .cure(plans())
    })
}

/// A closed valve keeps the line full, whatever the plan says.
fn valve_holds(site: &Site, rest: &LineAtRest, frost: &Frost) -> Option<Finding> {
    let volume = rest.volume_that_freezes();
    if !rest.held || (volume <= Volume::ZERO && !rest.covers.iter().all(Option::is_none)) {
        return None;
    }
    let hole = site
        .discharge
        .relief_hole
        .map_or("", |_| " (the relief hole below the valve does not empty what stands above it)");
    let back = crate::hydraulics::drain_back(&site.discharge, site.basin.floor, site.basin.level(site.basin.off));
    let message = if volume > Volume::ZERO {
        phrase!(
            "the line is to drain back, but the check valve keeps it full{}: {} stay where frost of {} reaches ({})",
            hole,
            volume,
            Amount::small(frost.depth),
            pockets(&rest.freezes, site.units)
        )
    } else {
        phrase!("the line is to drain back, but the check valve keeps it full{}: {}", hole, rest.volume_that_stays())
    };
    // where a full ditch would come back with it, the valve is needed
    let back = (!ditch_presses_back(site)).then_some(back.without_valve);
    Some(
        Finding::stop("valve-holds-line-in-frost", message)
            .number("freezes", Amount::of(volume))
            .cure_if(back.map(|back| {
                phrase!(
                    "a drain hole above the valve{}, inside the basin (`drain_hole`): then {} run back after each stop",
                    if site.pumping.count > 1 { ", one in each riser" } else { "" },
                    back
                )
            }))
            .cure_if(
                back.filter(|_| site.pumping.count == 1)
                    .map(|back| phrase!("no check valve, with floats far enough apart for the {} that run back", back)),
            )
            .cure(phrase!("another plan: below the frost, or a gap to spill at")),
    )
}

/// What stays within the frost although the line drains.
fn still_freezes(site: &Site, rest: &LineAtRest, frost: &Frost, plan: FrostPlan) -> Option<Finding> {
    // the valve's own stop says it
    if plan == FrostPlan::DrainsBack && rest.held {
        return None;
    }
    let volume = rest.volume_that_freezes();
    if volume <= Volume::ZERO {
        return None;
    }
    let raise: Vec<String> = rest
        .stays
        .iter()
        .filter(|stay| rest.freezes.iter().any(|part| stay.from <= part.from && part.to <= stay.to))
        .filter(|pocket| !(rest.held && pocket.from <= Length::ZERO))
        .filter_map(|pocket| Some((pocket, lip(site, pocket.from, pocket.to)?)))
        .flat_map(|(pocket, lip)| {
            // every dip of it, not the deepest alone
            let inside = move |at: Length| pocket.from < at && at < pocket.to;
            let dips = site.discharge.profile.iter().filter(move |point| inside(point.at) && point.invert < lip);
            dips.map(move |point| {
                let lift = Amount::small_at_least(lip - point.invert).show(site.units);
                format!("{lift} at {}", Amount::of(point.at).show(site.units))
            })
        })
        .collect();
    let message = if plan == FrostPlan::DrainsOut
        && rest.held
        && rest.stays.first().is_some_and(|stay| stay.from <= Length::ZERO)
    {
        phrase!(
            "the line is to drain out at its end, but it rises from the basin: {} stay between valve and high point or in sags, where frost of {} reaches ({})",
            volume,
            Amount::small(frost.depth),
            pockets(&rest.freezes, site.units)
        )
    } else {
        phrase!(
            "the line {}, but {} stay in its low parts, where frost of {} reaches ({})",
            plan.words(),
            volume,
            Amount::small(frost.depth),
            pockets(&rest.freezes, site.units)
        )
    };
    let finding = Finding::stop("water-stays-in-frost", message)
        .number("freezes", Amount::of(volume))
        .limit(Amount::small(frost.depth), "entered in [discharge.frost]");
    let finding =
        if raise.is_empty() { finding } else { finding.cure(phrase!("the pipe raised by {}", raise.join(", "))) };
    Some(finding.cure(match plan {
        FrostPlan::DrainsOut => phrase!("a high point at the basin, and a fall from there to the outlet all the way"),
        _ => phrase!("a fall back to the basin all the way"),
    }))
}

/// The level to which a pocket stands: the lower of its two ends.
fn lip(site: &Site, from: Length, to: Length) -> Option<Level> {
    let (near, far) = (site.discharge.invert_at(from)?, site.discharge.invert_at(to)?);
    Some(near.min(far))
}

/// A line that runs out at its end, or does so past its highest point, needs an end that is free.
fn end_under_water(site: &Site, plan: FrostPlan) -> Option<Finding> {
    let line = &site.discharge;
    let outlet = &line.outlet;
    let what = match plan {
        FrostPlan::DrainsOut => "the line is to drain out",
        FrostPlan::BelowFrost => "where it lies in the frost the line is to stand empty",
        _ if line.highest_at() < line.length() * (1.0 - 1e-9) => "the line past its high point is to drain out",
        _ => return None,
    };
    let full = outlet.ditch_full.filter(|full| *full > outlet.level)?;
    Some(
        Finding::caution(
            "end-under-water-in-frost",
            phrase!(
                "{} at its end, but a full ditch stands {} above the outlet: then it keeps its water, and ice closes it",
                what,
                Amount::small(full - outlet.level)
            ),
        )
        .number("depth", Amount::small(full - outlet.level))
        .cure(higher_outlet(site, full)),
    )
}

/// Below the frost all the way.
fn too_shallow(site: &Site, rest: &LineAtRest, frost: &Frost) -> Option<Finding> {
    let short: Vec<(Length, Length)> = rest
        .covers
        .iter()
        .flatten()
        .filter_map(|cover| Some((cover.at, short_of_frost(cover, frost.depth)?)))
        .collect();
    let worst = short.iter().map(|(_, short)| *short).reduce(Length::max)?;
    let places: Vec<String> = short
        .iter()
        .map(|(at, short)| {
            format!("{} at {}", Amount::small_at_least(*short).show(site.units), Amount::of(*at).show(site.units))
        })
        .collect();
    let volume = rest.volume_that_freezes();
    let keeps = if volume > Volume::ZERO {
        phrase!("; {} that stay there freeze", volume)
    } else {
        phrase!(
            "; the line stands empty there between runs{}",
            if site.discharge.outlet.working_level() > site.discharge.outlet.level {
                ", as long as the ditch is not full"
            } else {
                ""
            }
        )
    };
    // the last piece comes up to the outlet whatever one does
    let end = site.discharge.length() * (1.0 - LAST_PIECE);
    let severity = match &rest.freezes[..] {
        [] => Severity::Note,
        parts if parts.iter().all(|part| part.from >= end) => Severity::Caution,
        _ => Severity::Stop,
    };
    Some(
        Finding::new(
            severity,
            "cover-less-than-frost",
            phrase!(
                "the line is to lie below the frost, {} deep, but lies too shallow by {}{}",
                Amount::small(frost.depth),
                places.join(", "),
                keeps.say(site.units)
            ),
        )
        .number("short", Amount::small(worst))
        .number("freezes", Amount::of(volume))
        .limit(Amount::small(frost.depth), "entered in [discharge.frost]")
        .cure(phrase!("the trench deeper by as much; where it comes up to the outlet, an end whose foot drains into stone (a work of its own, not in the file), or a gap to spill at (the plan `spill gap`); or a line that runs empty after each run of the pump (`drains back`, beside a check valve through a `drain_hole`)")),
    )
}

/// The share of the line that comes up to the outlet: common practice, no source.
const LAST_PIECE: f64 = 0.1;

/// A plan that is named and not there is none: where water freezes it stops the design, as any other that fails.
fn gap_missing(rest: &LineAtRest, frost: &Frost) -> Option<Finding> {
    let volume = rest.volume_that_freezes();
    frost.gap.is_none().then(|| {
        if volume > Volume::ZERO {
            Finding::stop(
                "spill-gap-missing",
                phrase!(
                    "the plan is to spill at a gap when the line is frozen, but no gap is entered, and {} that stay in the line freeze",
                    volume
                ),
            )
        } else {
            Finding::caution(
                "spill-gap-missing",
                phrase!("the plan is to spill at a gap when the line is frozen, but no gap is entered: where the water then goes is not judged"),
            )
        }
        .cure(phrase!("`gap = { at = \"4 ft\", level = \"97.2 ft\" }` with its own figures"))
    })
}

/// A gap this near the basin is at it: common practice, no source.
const AT_THE_BASIN: Length = Length::from_ft(5.0);

/// The way to the gap must not freeze itself.
fn gap_behind_ice(site: &Site, rest: &LineAtRest, frost: &Frost) -> Option<Finding> {
    let gap = frost.gap.filter(|gap| gap.at > AT_THE_BASIN)?;
    let before: Vec<Pocket> = rest
        .freezes
        .iter()
        .filter(|part| part.from < gap.at)
        .map(|part| {
            let to = part.to.min(gap.at);
            Pocket {
                to,
                volume: stretch_volume(&site.discharge, part.from, to),
                lowest_at: part.lowest_at.min(to),
                ..*part
            }
        })
        .collect();
    let volume: Volume = before.iter().map(|part| part.volume).sum();
    (volume > Volume::ZERO).then(|| {
        Finding::stop(
            "gap-behind-ice",
            phrase!(
                "{} stay on the way to the gap, where frost of {} reaches ({}): the ice stands before the gap, and nothing comes out of it",
                volume,
                Amount::small(frost.depth),
                pockets(&before, site.units)
            ),
        )
        .number("freezes", Amount::of(volume))
        .cure(phrase!("the gap within {} of the basin", AT_THE_BASIN))
        .cure(phrase!("the line up to the gap below the frost, or draining back into the basin"))
    })
}

/// A gap to which the water rises spills at every run, frost or not; one below what lies beyond lets nothing past,
/// whichever pump drives the line.
fn gap_spills(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let gap = bench.site.frost?.gap?;
    let beyond = bench.site.discharge.highest_beyond(gap.at);
    let grade = grade_at(&result.grade, gap.at);
    let takes_all = gap.level <= beyond;
    let enough = grade.map_or(beyond, |grade| grade.max(beyond)) + Length::from_inch(1.0);
    let cure = phrase!(
        "a gap that spills at {} or higher{}",
        Amount::at_least(enough),
        above_ground(bench.site, gap.at, enough)
    );
    if takes_all {
        return Some(
            Finding::stop(
                "spill-gap-takes-all",
                phrase!(
                    "the gap at {} spills at {}, below what the water must pass beyond it, at {}: all of it comes out of the gap, and none reaches the outlet",
                    gap.at,
                    gap.level,
                    beyond
                ),
            )
            .cure(cure)
            .cure(phrase!("a gap farther along, past the high point, if the way to it does not freeze")),
        );
    }
    let short = grade.map(|grade| grade - gap.level).filter(|short| *short > Length::ZERO)?;
    Some(
        Finding::caution(
            "spill-gap-spills-always",
            phrase!(
                "the gap at {} spills at {}, but with the line free the water rises {} higher there: some of it comes out {}, frost or not",
                gap.at,
                gap.level,
                Amount::small(short),
                if bench.joins() { "whenever both pumps run" } else { "at every run" }
            ),
        )
        .number("short", Amount::small(short))
        .cure(cure)
        .cure(phrase!("less loss beyond it: a larger pipe from the gap on, which then runs by gravity")),
    )
}

/// How high a level stands above the ground at a station, in words; nothing where the ground is not known.
fn above_ground(site: &Site, at: Length, level: Level) -> String {
    let ground = site.discharge.ground_at(at);
    match ground {
        Some(ground) if level >= ground => {
            format!(", {} above the ground there", Amount::small(level - ground).show(site.units))
        }
        Some(ground) => format!(", {} below the ground there", Amount::small(ground - level).show(site.units)),
        None => String::new(),
    }
}

/// What happens at the gap when the line is frozen.
fn gap_when_frozen(bench: &Bench<'_>) -> Option<Finding> {
    let gap = bench.site.frost?.gap?;
    let site = bench.site;
    let off = site.basin.level(site.basin.off);
    let lift = Head::from(gap.level - off);
    let highest = bench.pump.curve.highest().1;
    if lift >= highest {
        return Some(
            Finding::stop(
                "spill-gap-too-high",
                phrase!(
                    "when the line is frozen the pump must lift {} to the gap, more than its {}: nothing comes out, and the basin fills",
                    lift,
                    highest
                ),
            )
            .number("lift", Amount::of(lift))
            .cure(phrase!("a gap that spills below {}", off + Length::from(highest * 0.9))),
        );
    }
    let (shows, place) = crate::design::surfaces_at(site);
    let back = gap.level > shows;
    Some(Finding::note(
        "spill-gap-in-frost",
        phrase!(
            "when the line is frozen the pump lifts {} and spills at {}{}, {}{}",
            lift,
            gap.level,
            above_ground(site, gap.at, gap.level),
            Amount::of(gap.at),
            if back {
                format!(
                    " from the basin, which is above {place}: see that the water runs away from it and from the house, or it comes back"
                )
            } else {
                format!(" from the basin, not above {place}: the water stands there")
            }
        ),
    ))
}
