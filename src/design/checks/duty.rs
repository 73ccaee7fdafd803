//! Can the pump get the water away, and how well does its curve fit the line.

use crate::design::bench::Bench;
use crate::design::finding::{Finding, Severity};
use crate::design::phrase::{Phrase, percent, phrase};
use crate::design::pump::{LongestRun, PumpResult, WaterLevel};
use crate::design::runoff::{StormResult, steady_up_to};
use crate::hydraulics::friction::pipe_velocity;
use crate::hydraulics::{DischargeLine, FrictionMethod};
use crate::pump_selection::{Duty, head_factor_for};
use crate::quantity::{Amount, Flow, Head, Length, Level, UnitSystem};

pub(super) fn findings(bench: &Bench<'_>, result: &PumpResult, storm: &StormResult) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(meets(bench, result));
    findings.extend(design_flow(bench, result));
    findings.extend(methods(bench, result));
    findings.extend(worn(bench, result, storm));
    findings
}

/// What comes of the pump on the line, where it is not a duty point within the curve.
fn meets(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    // the off level asks most of the head, the on level most of the flow
    let off = result.duty(WaterLevel::Off)?;
    let half_way = result.duty(WaterLevel::Mean)?;
    let on = result.duty(WaterLevel::On)?;
    let highest = bench.pump.curve.highest().1;
    let opening = bench.site.discharge.outlet.opening_head.unwrap_or(Head::ZERO);
    match (off.duty, on.duty) {
        (Duty::CannotLift { .. }, _) if off.static_head + opening >= highest => Some(
            Finding::stop(
                "lift-above-shut-off",
                phrase!(
                    "the water must be lifted {} from the off level, but the pump's highest head is {}: it is {} short and moves nothing",
                    off.static_head,
                    highest,
                    off.static_head + opening - highest
                ),
            )
            .number("static_head", Amount::of(off.static_head))
            .number("highest_head", Amount::of(highest))
            .cure(phrase!(
                "a pump whose shut-off head is at least {}",
                off.static_head * (1.0 + bench.site.limits.shut_off_margin.value)
            )),
        ),
        (Duty::CannotLift { short }, _) => Some(
            Finding::stop(
                "pump-cannot-lift",
                phrase!("at the off level the line asks for {} more head than the pump ever gives", short),
            )
            .number("head_short", Amount::of(short))
            .cure(phrase!("a pump with a higher head, or a smaller relief hole if its leak takes the pump's whole flow")),
        ),
        (Duty::LeakTakesAll, _) => Some(
            Finding::stop(
                "leak-takes-all",
                phrase!("at the off level all that the pump moves leaks back through the relief hole"),
            )
            .cure(phrase!("a smaller relief hole, or a pump with more head"))
        ),
        (Duty::BeforeFirstPoint { first }, _) => Some(
            Finding::stop(
                "duty-before-curve",
                phrase!(
                    "at the off level (lift {}) the line asks for more than the {} of the first point entered, at {}: the duty lies before it, and nothing is known there",
                    off.static_head,
                    bench.pump.curve.points().next().map_or(Head::ZERO, |(_, head)| head),
                    first
                ),
            )
            .number("first_flow", Amount::of(first))
            .number("static_head", Amount::of(off.static_head))
            .cure(phrase!("enter the curve from the shut-off head (flow 0) on"))
            .cure(phrase!("a pump with more head")),
        ),
        (Duty::BeyondLastPoint { last, surplus, .. }, _) => {
            Some(beyond(Severity::Stop, "even at the off level", last, surplus))
        }
        (_, Duty::BeyondLastPoint { last, surplus, .. }) => {
            // run, starts and leak are judged half-way: beyond the curve there, none of them is known
            let severity = if half_way.duty.point().is_some() { Severity::Caution } else { Severity::Stop };
            Some(beyond(severity, "at the on level", last, surplus))
        }
        _ => None,
    }
}

fn beyond(severity: Severity, when: &'static str, last: Flow, surplus: Head) -> Finding {
    Finding::new(
        severity,
        "duty-beyond-curve",
        phrase!(
            "{} the pump runs past the last point entered of its curve ({}): flow, power and noise there are unknown",
            when,
            last
        ),
    )
    .number("last_flow", Amount::of(last))
    .number("surplus_head", Amount::of(surplus))
    .cure(phrase!("enter more of the data sheet's curve, if it goes on"))
    .cure(phrase!("a smaller pump, or a valve or smaller pipe that takes {} more at {}", surplus, last))
}

/// The flow asked for in the goal, at the off level.
fn design_flow(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let asked = bench.site.goal.flow?;
    let off = result.duty(WaterLevel::Off)?;
    let delivered = match off.duty {
        Duty::Meets(point) => match &result.pair {
            Some(_) => bench.all_on(&bench.site.discharge, off.water_level)?,
            None => point.line_flow,
        },
        // what the line then delivers is not known, and a stop of its own says so
        Duty::BeyondLastPoint { .. } | Duty::BeforeFirstPoint { .. } => return None,
        Duty::CannotLift { .. } | Duty::LeakTakesAll => Flow::ZERO,
    };
    if delivered >= asked {
        return None;
    }
    let drawn = bench.site.discharge.length();
    let too_long = result.longest_run.filter(|longest| longest.new < drawn);
    let (has, wants) = told_apart(delivered, asked, bench.site.units);
    let message = match too_long {
        Some(longest) => phrase!(
            "at the off level the line delivers {}, less than the {} asked for: the run of {} is {} too long for this pump and pipe",
            has,
            wants,
            drawn,
            Amount::length_at_least(drawn - longest.new)
        ),
        None => {
            match result.longest_run.is_none().then(|| no_run_is_short_enough(bench, off.water_level, asked)).flatten()
            {
                Some(why) => phrase!(
                    "at the off level the line delivers {}, less than the {} asked for, and no run is short enough for this pump: {}",
                    has,
                    wants,
                    why.say(bench.site.units)
                ),
                None => phrase!("at the off level the line delivers {}, less than the {} asked for", has, wants),
            }
        }
    };
    let larger = larger_pipe(bench, asked);
    let stronger = stronger_pump(bench, off.water_level, asked).filter(|_| !bench.joins());
    let shorter = too_long.map(|longest| longest_words(&longest, bench));
    let none = larger.is_none() && stronger.is_none() && shorter.is_none();
    let line_asks = bench.system(&bench.site.discharge, FrictionMethod::HazenWilliams).at(asked, off.water_level).head;
    Some(
        Finding::stop("delivers-less-than-asked", message)
            .number("delivered", Amount::of(delivered))
            .number("asked", Amount::of(asked))
            .limit(Amount::of(asked), "entered in [goal]")
            .cure_if(larger)
            .cure_if(stronger)
            .cure_if(shorter)
            .cure_if(none.then(|| {
                phrase!("pump and pipe made for {} together: this line would ask for {} there", asked, line_asks)
            })),
    )
}

/// Why even next to no run would not do: what the pump gives at that flow goes into the lift, or into lift, riser and
/// fittings.
fn no_run_is_short_enough(bench: &Bench<'_>, level: Level, asked: Flow) -> Option<Phrase> {
    // two pumps on one line share the flow; before the first point of the curve nothing is known
    if bench.joins() || asked < bench.pump.curve.first_flow() {
        return None;
    }
    let system = bench.system(&bench.next_to_no_run(), FrictionMethod::HazenWilliams);
    let through_the_pump = asked + system.at(asked, level).leak;
    let lift = system.static_head(level);
    let given = bench.pump.curve.head(through_the_pump)?;
    Some(if given <= lift {
        phrase!("the lift alone takes {}, and at the {} that it must move it gives {}", lift, through_the_pump, given)
    } else {
        phrase!(
            "at the {} that it must move it gives {}, of which the lift takes {} and riser and fittings more than the rest",
            through_the_pump,
            given,
            lift
        )
    })
}

/// The longest run with what friction method and wear make of it.
fn longest_words(longest: &LongestRun, bench: &Bench<'_>) -> Phrase {
    let units = bench.site.units;
    let show = |run: Option<Length>| {
        run.map_or_else(|| "no run is short enough".to_owned(), |run| Amount::at_most(run).show(units))
    };
    let alike = if bench.site.discharge.runs.len() > 1 { ", all runs shortened alike" } else { "" };
    phrase!(
        "a run of at most {}{} ({} by Darcy-Weisbach, {} when the pump is worn)",
        Amount::at_most(longest.new),
        alike,
        show(longest.darcy),
        show(longest.worn)
    )
}

/// Two flows in words, with more figures where they would print alike.
pub(super) fn told_apart(one: Flow, other: Flow, units: UnitSystem) -> (String, String) {
    let (a, b) = (Amount::of(one).show(units), Amount::of(other).show(units));
    if a == b { finer(one, other, units) } else { (a, b) }
}

/// Two flows in words with one figure more than a report usually gives, so that their difference can be seen.
pub(in crate::design) fn finer(one: Flow, other: Flow, units: UnitSystem) -> (String, String) {
    let say = |flow: Flow| {
        let (value, unit) = Amount::of(flow).parts(units);
        let decimals = if units == UnitSystem::Us { 1 } else { 2 };
        format!("{value:.decimals$} {unit}")
    };
    let (a, b) = (say(one), say(other));
    if a != b {
        return (a, b);
    }
    let finest = |flow: Flow| {
        let (value, unit) = Amount::of(flow).parts(units);
        format!("{value:.3} {unit}")
    };
    (finest(one), finest(other))
}

/// The first larger size of pipe with which the same pump delivers a flow at the off level and still carries grit.
pub(super) fn larger_pipe(bench: &Bench<'_>, asked: Flow) -> Option<Phrase> {
    let level = bench.site.basin.level(bench.site.basin.off);
    bench.larger().find_map(|entry| {
        let line = bench.widened(entry);
        let flow = bench.all_on(&line, level)?;
        let carries =
            line.runs.iter().all(|run| pipe_velocity(flow, run.pipe.bore) >= bench.site.limits.least_velocity.value);
        (flow >= asked && carries).then(|| {
            phrase!(
                "{} pipe for the run, the riser as it is: the same {} then {} {} at the off level",
                entry.pipe.size.as_str(),
                if bench.joins() { "two pumps" } else { "pump" },
                if bench.joins() { "deliver" } else { "delivers" },
                flow
            )
        })
    })
}

/// Head asked of another pump beyond what the line needs, so that rounded figures still do: common practice, no source.
const PUMP_MARGIN: f64 = 1.05;

pub(super) fn stronger_pump(bench: &Bench<'_>, level: crate::quantity::Level, asked: Flow) -> Option<Phrase> {
    let line = &bench.site.discharge;
    let system = bench.system(line, FrictionMethod::HazenWilliams);
    let point = system.at(asked, level);
    let factor = head_factor_for(&bench.pump.curve, &system, level, asked);
    // a flow that this pipe should not carry, or only at a price in head: pipe and pump together
    if !calm(bench, line, asked) || factor.is_none_or(|factor| factor > DEAR) {
        let together = bench.larger().find_map(|entry| {
            let wider = bench.widened(entry);
            let point = bench.system(&wider, FrictionMethod::HazenWilliams).at(asked, level);
            let given = bench.pump.curve.head(asked + point.leak);
            // where this pump would do in that pipe, another cure says so
            (calm(bench, &wider, asked) && given.is_none_or(|given| given < point.head)).then(|| {
                phrase!(
                    "{} pipe for the run and a pump that gives {} or more at {}",
                    entry.pipe.size.as_str(),
                    point.head * PUMP_MARGIN,
                    asked + point.leak
                )
            })
        });
        if together.is_some() || !calm(bench, line, asked) {
            return together;
        }
    }
    let wanted = point.head * PUMP_MARGIN;
    match factor {
        Some(factor) if factor > 1.0 => Some(phrase!(
            "a pump that gives {} or more at {} ({} more head than this one there)",
            wanted,
            asked + point.leak,
            percent(factor * PUMP_MARGIN - 1.0)
        )),
        None => Some(phrase!("a pump that gives {} or more at {}", wanted, asked + point.leak)),
        Some(_) => None,
    }
}

/// A pump with so much more head is dearer than the next pipe: common practice, no source.
const DEAR: f64 = 1.5;

/// Whether a flow stays below the greatest velocity in riser and runs.
fn calm(bench: &Bench<'_>, line: &DischargeLine, flow: Flow) -> bool {
    let limit = bench.site.limits.greatest_velocity.value;
    std::iter::once(&line.riser).chain(&line.runs).all(|run| pipe_velocity(flow, run.pipe.bore) <= limit)
}

/// Whether a limit would be judged otherwise by the other friction method.
fn methods(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let off = result.duty(WaterLevel::Off)?;
    let (by_design, by_darcy) = (off.duty.point(), off.darcy.as_ref()?.point());
    let limits = &bench.site.limits;
    let hangs_on = match (by_design, by_darcy) {
        (Some(design), Some(darcy)) => {
            let crosses = |limit: Flow| (design.line_flow >= limit) != (darcy.line_flow >= limit);
            let scour =
                bench.site.discharge.runs.iter().any(|run| crosses(limits.least_velocity.value * run.pipe.area()));
            // of two that join the flow asked for is that of both
            if bench.site.goal.flow.filter(|_| !bench.joins()).is_some_and(crosses) {
                Some("whether it delivers the flow asked for")
            } else if scour {
                Some("whether grit is carried along")
            } else {
                None
            }
        }
        (Some(_), None) | (None, Some(_)) => Some("whether there is a duty point within the curve"),
        (None, None) => None,
    }?;
    let unknown = || ("nothing known".to_owned(), "nothing known".to_owned());
    let show = |one: Option<Flow>, other: Option<Flow>| match (one, other) {
        (Some(one), Some(other)) => told_apart(one, other, bench.site.units),
        (Some(one), None) => (Amount::of(one).show(bench.site.units), unknown().1),
        (None, Some(other)) => (unknown().0, Amount::of(other).show(bench.site.units)),
        (None, None) => unknown(),
    };
    let (hazen_williams, darcy) = show(by_design.map(|point| point.line_flow), by_darcy.map(|point| point.line_flow));
    Some(
        Finding::caution(
            "friction-method-decides",
            phrase!(
                "{} hangs on the friction formula: {} by Hazen-Williams, {} by Darcy-Weisbach with water at {}",
                hangs_on,
                hazen_williams,
                darcy,
                bench.site.water_temperature
            ),
        )
        .cure(phrase!("more margin: a larger pipe or a pump with more head")),
    )
}

/// What a worn pump still does at the off level, where it is hardest for it.
fn worn(bench: &Bench<'_>, result: &PumpResult, storm: &StormResult) -> Option<Finding> {
    let off = result.duty(WaterLevel::Off)?;
    let new = off.duty.point()?;
    let lost = percent(result.wear);
    let steady = steady_up_to(bench.site, storm.groundwater.flow, bench.site.basin.level(bench.site.basin.off));
    // of two that join the flow asked for is that of both
    let asked = bench.site.goal.flow.filter(|_| !bench.joins());
    let needed = asked.unwrap_or(Flow::ZERO).max(steady);
    match result.worn_off? {
        // before the first point of its curve nothing is known
        Duty::CannotLift { .. } | Duty::LeakTakesAll => Some(
            Finding::caution(
                "worn-pump-never-stops",
                phrase!(
                    "with {} of its head worn away the pump no longer draws down to its off level: it runs without stopping until it burns",
                    lost
                ),
            )
            .cure(phrase!(
                "a pump with a shut-off head well above {}",
                off.static_head / (1.0 - result.wear).max(0.01)
            )),
        ),
        Duty::Meets(point) if point.line_flow < needed && new.line_flow >= needed => Some(
            Finding::caution(
                "worn-pump-falls-short",
                {
                    let (has, wants) = told_apart(point.line_flow, needed, bench.site.units);
                    phrase!(
                        "with {} of its head worn away the pump delivers {} at the off level, less than the {} needed",
                        lost,
                        has,
                        wants
                    )
                },
            )
            .number("worn_flow", Amount::of(point.line_flow))
            .cure_if(stronger_pump(bench, off.water_level, needed / (1.0 - result.wear).max(0.1).sqrt())),
        ),
        _ => None,
    }
}
