//! High and low points on the way: what air, vacuum and grit do there.

use crate::catalog;
use crate::design::bench::Bench;
use crate::design::finding::{Finding, Severity};
use crate::design::gravity::least_fall;
use crate::design::phrase::{Phrase, phrase};
use crate::design::pump::{PumpResult, grade_at};
use crate::hydraulics::{Pocket, RestVacuum};
use crate::quantity::{Amount, Head, Length, Level, UnitSystem, Volume};
use crate::site::{FrostPlan, Site};

/// What is to be said of the profile whichever pump drives the line.
pub(super) fn findings(site: &Site) -> Vec<Finding> {
    siphon(site).into_iter().chain(sags(site)).chain(vent_off_the_summit(site)).collect()
}

/// What is to be said of the profile with one pump on the line.
pub(super) fn with_pump(bench: &Bench<'_>, result: &PumpResult) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(high_point(bench, result));
    findings.extend(air_lock(bench));
    findings.extend(slack(bench, result));
    findings.extend(vacuum(bench, result));
    findings.extend(vent_takes_all(bench, result));
    findings.extend(vent_spills(bench, result));
    findings.extend(gravity(bench.site, result));
    findings
}

/// Stations in words: `40 ft and 90 ft`.
fn stations(at: &[Length], units: UnitSystem) -> String {
    let words: Vec<String> = at.iter().map(|at| Amount::of(*at).show(units)).collect();
    match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => words.concat(),
    }
}

/// Pockets in words: `2.1 gal about 60 ft`.
pub(super) fn pockets(pockets: &[Pocket], units: UnitSystem) -> String {
    let words: Vec<String> = pockets
        .iter()
        .map(|pocket| {
            format!(
                "{} from {} to {}, lowest at {}",
                Amount::of(pocket.volume).show(units),
                Amount::of(pocket.from).show(units),
                Amount::of(pocket.to).show(units),
                Amount::of(pocket.lowest_at).show(units)
            )
        })
        .collect();
    words.join("; ")
}

fn high_point(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let line = &bench.site.discharge;
    let outlet = line.outlet.working_level();
    let highest = crate::design::gravity::highest_inner(line)?;
    // without a duty nothing flows, and the levels alone decide
    let governs = result.losses.as_ref().is_none_or(|losses| !losses.governed_by_outlet);
    let elsewhere = result
        .losses
        .as_ref()
        .filter(|losses| governs && (losses.governing_at - highest.at).abs() > Length::from_mm(1.0))
        .map(|losses| losses.governing_at);
    let message = if let Some(at) = elsewhere {
        phrase!(
            "the pipe is highest at {}, {} above the outlet, but with the losses on the way the point at {} governs; no credit is taken for the fall beyond",
            highest.at,
            highest.invert - outlet,
            at
        )
    } else if governs {
        phrase!(
            "the pipe's high point at {} governs: it stands {} above the outlet, and the pump must lift to it; no credit is taken for the fall beyond",
            highest.at,
            highest.invert - outlet
        )
    } else {
        phrase!(
            "the pipe is highest at {}, {} above the outlet; the losses beyond govern all the same",
            highest.at,
            highest.invert - outlet
        )
    };
    let vented = line.vented_at(highest.at);
    let severity = if governs && !vented { Severity::Caution } else { Severity::Note };
    let finding = Finding::new(severity, "high-point", message)
        .number("station", Amount::of(highest.at))
        .number("above_outlet", Amount::of(highest.invert - outlet));
    let drains_out = bench.site.frost.is_some_and(|frost| frost.plan == Some(FrostPlan::DrainsOut));
    Some(if vented {
        finding
    } else if drains_out {
        finding.cure(phrase!("an air valve there that lets air in, so that the line runs out at its end"))
    } else {
        finding.cure(phrase!("an air valve there that lets air out and in (an open vent spills while the pump runs, unless it stands high enough), or a line that rises all the way"))
    })
}

/// Air caught in the falls between summits.
fn air_lock(bench: &Bench<'_>) -> Option<Finding> {
    let (site, rest) = (bench.site, bench.rest);
    let (lift, locked) = (rest.lift?, rest.air_locked_lift?);
    let caught: Vec<Length> =
        rest.summits.iter().filter(|summit| summit.rises_again && !summit.vented).map(|summit| summit.at).collect();
    if caught.is_empty() || locked <= lift + SMALL_RISE {
        return None;
    }
    let highest = bench.pump.curve.highest().1;
    let places = stations(&caught, site.units);
    let outlet = &site.discharge.outlet;
    let counted = if outlet.working_level() > outlet.level { " (the full ditch counts as a rise)" } else { "" };
    let (severity, message) = if locked >= highest {
        (
            Severity::Caution,
            phrase!(
                "the line falls and rises again beyond {}{}: with air caught in each fall the pump must give {} before any water moves (the sum of the rises; {} without air), more than its {}: the line can lock for good",
                places.as_str(),
                counted,
                locked,
                lift,
                highest
            ),
        )
    } else {
        (
            Severity::Note,
            phrase!(
                "the line falls and rises again beyond {}{}: with air caught in each fall the pump must give {} before any water moves (the sum of the rises; {} without air). It can, up to {}, but starts with less flow until the air is swept out",
                places.as_str(),
                counted,
                locked,
                lift,
                highest
            ),
        )
    };
    Some(
        Finding::new(severity, "air-lock-between-summits", message)
            .number("air_locked_lift", Amount::of(locked))
            .number("lift", Amount::of(lift))
            .number("highest_head", Amount::of(highest))
            .cure(phrase!("an air valve at {}", places))
            .cure(phrase!("pipe laid to one high point, without a fall before it")),
    )
}

/// Rises that differ by less are one: common practice, no source.
const SMALL_RISE: Head = Head::from_ft(0.25);

/// The parts past high points that run part full.
fn slack(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let (first, last) = (result.slack.first()?, result.slack.last()?);
    let parts: Vec<String> = result
        .slack
        .iter()
        .map(|part| {
            let show = |at: Length| Amount::of(at).show(bench.site.units);
            format!("{} to {}", show(part.from), show(part.to))
        })
        .collect();
    let length: Length = result.slack.iter().map(|part| part.to - part.from).fold(Length::ZERO, |sum, part| sum + part);
    Some(
        Finding::note(
            "last-part-runs-part-full",
            phrase!(
                "from {} the line falls more steeply than its friction: there it runs part full when air gets in, and these {} of length are no load for the pump",
                parts.join(" and "),
                length
            ),
        )
        .number("from", Amount::of(first.from))
        .number("to", Amount::of(last.to))
        .number("length", Amount::of(length)),
    )
}

/// The point with the deepest vacuum where no air gets in: any that pulls beyond the limit, else the top of a part that
/// runs part full. Where the losses beyond keep the line full while it runs, a little is not worth a word.
fn most_pulled(bench: &Bench<'_>, result: &PumpResult) -> Option<RestVacuum> {
    let limit = bench.site.limits.greatest_vacuum.value;
    let at_a_part = |at: Length| result.slack.iter().any(|part| (part.from - at).abs() < Length::from_mm(1.0));
    bench
        .site
        .discharge
        .vacuum_at_rest()
        .into_iter()
        .filter(|pull| pull.vacuum > limit || at_a_part(pull.at))
        .reduce(|worst, pull| if pull.vacuum > worst.vacuum { pull } else { worst })
}

/// What pulls at a high point where no air gets in.
fn vacuum(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let site = bench.site;
    let RestVacuum { at: from, to, vacuum: most } = most_pulled(bench, result)?;
    let limit = &site.limits.greatest_vacuum;
    let ceiling = bench.water.atmospheric_head(Level::from_m(site.above_sea.m())) - bench.water.vapour_head();
    let (severity, message) = if most > ceiling {
        (
            Severity::Caution,
            phrase!(
                "past the high point at {} the fall would pull a vacuum of {}, more than the air can hold up here ({}): the column breaks with every run",
                from,
                most,
                ceiling
            ),
        )
    } else if most > limit.value {
        (
            Severity::Caution,
            phrase!(
                "from {} to {} the line may stand under a vacuum of up to {}, deepest at the top (the air could hold {} here): joints draw in air and soil, thin pipe is pressed flat",
                from,
                to,
                most,
                ceiling
            ),
        )
    } else {
        (
            Severity::Note,
            phrase!(
                "from {} to {} the line may stand under a vacuum of up to {} as the water comes to rest, deepest at the top: no credit is taken for it (the air could hold {} here)",
                from,
                to,
                most,
                ceiling
            ),
        )
    };
    Some(
        Finding::new(severity, "vacuum-beyond-high-point", message)
            .number("vacuum", Amount::of(most))
            .number("station", Amount::of(from))
            .limit(Amount::of(limit.value), &limit.source)
            .cure(phrase!("an air valve at {} that lets air in", from)),
    )
}

/// An outlet below the water in the basin: once the line is full the water runs out by itself.
fn siphon(site: &Site) -> Option<Finding> {
    let (line, basin) = (&site.discharge, &site.basin);
    // the ditch is mostly empty
    let outlet = line.outlet.level;
    let (off, on) = (basin.level(basin.off), basin.level(basin.on));
    if outlet >= on {
        return None;
    }
    let way = line.points_on_the_way();
    let top = way.iter().reduce(|best, point| if point.invert > best.invert { point } else { best })?;
    let vented = way.iter().find(|point| point.invert > on && line.vented_at(point.at));
    let below = |level: Level| Amount::small(level - outlet);
    let breaks = phrase!(
        "an air valve at the high point at {} that lets air in when the pump stops (one that only lets air out does not break a siphon)",
        top.at
    );
    if let Some(vented) = vented {
        return Some(Finding::note(
            "siphon-broken",
            phrase!(
                "the outlet lies {} below the on level: only the vent at {} keeps the line from siphoning on when the pump stops. It must let air in, and be looked after",
                below(on),
                vented.at
            ),
        ));
    }
    if outlet < off {
        return Some(
            Finding::stop(
                "siphon-empties-basin",
                phrase!(
                    "the outlet lies {} below the off level: once full, the line siphons on when the pump stops, past the off level and down to the pump's inlet, which draws air and starts again and again. A check valve does not hold it, since the water runs the valve's way",
                    below(off)
                ),
            )
            .number("below_off", below(off))
            .cure(breaks)
            .cure(phrase!("an outlet at {} or higher", Amount::at_least(on)))
            .cure_if(relief_hole_breaks(site)),
        );
    }
    Some(
        Finding::note(
            "siphons-part-way",
            phrase!(
                "the outlet lies {} below the on level: once full, the line siphons the basin down to {} without the pump",
                below(on),
                outlet
            ),
        )
        .cure(breaks),
    )
}

/// A relief hole above the off level lets air in when the water has fallen to it.
fn relief_hole_breaks(site: &Site) -> Option<Phrase> {
    let hole = site.discharge.relief_hole?;
    let height = hole.above_floor.filter(|height| *height > site.basin.off)?;
    Some(phrase!(
        "the relief hole at {} above the floor lets air in once the water has fallen to it, which may break the siphon; a hole of {} is small for it, so do not rely on that",
        Amount::small(height),
        Amount::drill(hole.diameter)
    ))
}

/// Water that stays in low parts of the line between stops.
fn sags(site: &Site) -> Option<Finding> {
    let limit = &catalog::default_limits().least_sag;
    // where a valve keeps the line full, its low parts are those that stay full without it
    let own = site.discharge.standing_water(false);
    let held: Volume = own.iter().map(|pocket| pocket.volume).sum();
    (held > limit.value).then(|| {
        Finding::note(
            "sag-holds-water",
            phrase!(
                "low parts of the line keep {} when the rest is empty ({}): grit settles there, and frost finds it",
                held,
                pockets(&own, site.units)
            ),
        )
        .number("held", Amount::of(held))
        .cure(phrase!("a pipe that rises all the way from the basin to its highest point, and falls all the way after"))
    })
}

/// An open vent that ends below what the water must pass beyond it lets nothing past, whichever pump drives the line.
fn vent_takes_all(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let line = &bench.site.discharge;
    let (vent, top) = line
        .vents
        .iter()
        .filter_map(|vent| Some((vent, vent.open_top?)))
        .find(|(vent, top)| *top <= line.highest_beyond(vent.at))?;
    let beyond = line.highest_beyond(vent.at);
    let enough = grade_at(&result.grade, vent.at).map_or(beyond, |grade| grade.max(beyond));
    Some(
        Finding::stop(
            "vent-takes-all",
            phrase!(
                "the open vent at {} ends at {}, below what the water must pass beyond it, at {}: all of it comes out of the vent, and none reaches the outlet",
                vent.at,
                top,
                beyond
            ),
        )
        .cure(phrase!("its top at {} or higher", Amount::at_least(enough + Length::from_inch(2.0))))
        .cure(phrase!("an air valve in its place")),
    )
}

/// An open vent spills when the water rises above it.
fn vent_spills(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let line = &bench.site.discharge;
    let (vent, top, grade) = line
        .vents
        .iter()
        .filter_map(|vent| Some((vent, vent.open_top?, grade_at(&result.grade, vent.at)?)))
        .find(|(vent, top, grade)| grade > top && *top > line.highest_beyond(vent.at))?;
    Some(
        Finding::caution(
            "vent-spills",
            phrase!(
                "the open vent at {} ends at {}, but while {} the water rises {} higher there: it spills {}",
                vent.at,
                top,
                if bench.joins() { "both pumps run" } else { "the pump runs" },
                Amount::small(grade - top),
                if bench.joins() { "then" } else { "at every run" }
            ),
        )
        .number("short", Amount::small(grade - top))
        .cure(phrase!("its top at {} or higher", Amount::at_least(grade + Length::from_inch(2.0))))
        .cure(phrase!("an air valve in its place")),
    )
}

/// A vent that stands at no high point.
fn vent_off_the_summit(site: &Site) -> Option<Finding> {
    let line = &site.discharge;
    if line.profile.is_empty() {
        let vent = line.vents.first()?;
        return Some(
            Finding::note(
                "vent-without-profile",
                phrase!("the vent at {} changes nothing here: without a profile no high point is known", vent.at),
            )
            .cure(phrase!("enter `profile` with the levels of the pipe along the run")),
        );
    }
    let summits = line.summits();
    let near = |at: Length| {
        let alone = crate::hydraulics::DischargeLine {
            vents: vec![crate::hydraulics::Vent { at, open_top: None }],
            ..line.clone()
        };
        summits.iter().any(|summit| alone.vented_at(summit.at))
    };
    let stray = line.vents.iter().find(|vent| !near(vent.at))?;
    let places: Vec<Length> = summits.iter().map(|summit| summit.at).collect();
    let where_they_are = if places.is_empty() {
        "it has none that needs one".to_owned()
    } else {
        format!("high points are at {}", stations(&places, site.units))
    };
    Some(Finding::note(
        "vent-at-no-high-point",
        phrase!("the vent at {} stands at no high point of the line ({})", stray.at, where_they_are),
    ))
}

/// Past the high point a larger pipe could run by gravity.
fn gravity(site: &Site, result: &PumpResult) -> Option<Finding> {
    let free = site.discharge.outlet.working_level() <= site.discharge.outlet.level;
    let option = result.gravity.as_ref()?;
    let gains = option.then > option.now * GAIN;
    let message = if gains {
        phrase!(
            "from the high point at {} on the way falls {} over {} ({} or more): {} {} would carry it from there by gravity, up to {}, and {} instead of {} would be pumped",
            option.from,
            option.fall,
            option.length,
            Amount::of(option.slope),
            option.pipe.pipe.size.as_str(),
            option.pipe.pipe.material.as_str(),
            option.capacity,
            option.then,
            option.now
        )
    } else {
        phrase!(
            "from the high point at {} on the way falls {} over {} ({} or more): {} {} would carry it from there by gravity, up to {}{}; the pump delivers the same",
            option.from,
            option.fall,
            option.length,
            Amount::of(option.slope),
            option.pipe.pipe.size.as_str(),
            option.pipe.pipe.material.as_str(),
            option.capacity,
            if free { ", always empty after a run" } else { "" }
        )
    };
    Some(
        Finding::note("gravity-past-high-point", message)
            .number("from", Amount::of(option.from))
            .number("capacity", Amount::of(option.capacity))
            .number("delivered_then", Amount::of(option.then))
            .limit(Amount::of(least_fall().value), least_fall().source),
    )
}

/// More flow by this factor is worth a word: common practice, no source.
const GAIN: f64 = 1.05;
