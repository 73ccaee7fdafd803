//! Can the pump get the water away, and how well does its curve fit the line.

use crate::design::bench::Bench;
use crate::design::finding::{Finding, Severity};
use crate::design::phrase::{Phrase, percent, phrase, share};
use crate::design::pump::{PumpResult, WaterLevel};
use crate::design::runoff::StormResult;
use crate::hydraulics::FrictionMethod;
use crate::pump_selection::{Duty, head_factor_for};
use crate::quantity::{Amount, Flow, Head};

pub(super) fn findings(bench: &Bench<'_>, result: &PumpResult, storm: &StormResult) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(meets(bench, result));
    findings.extend(curve_shape(bench, result));
    findings.extend(shut_off_margin(bench, result));
    findings.extend(design_flow(bench, result));
    findings.extend(steady_inflow(bench, result, storm));
    findings.extend(peak_inflow(bench, result, storm));
    findings.extend(methods(bench, result));
    findings.extend(worn(bench, result, storm));
    findings
}

/// What comes of the pump on the line, where it is not a duty point within the curve.
fn meets(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    // the off level asks most of the head, the on level most of the flow
    let off = result.duty(WaterLevel::Off)?;
    let on = result.duty(WaterLevel::On)?;
    let highest = bench.pump.curve.highest().1;
    match (off.duty, on.duty) {
        (Duty::CannotLift { .. }, _) if off.static_head >= highest => Some(
            Finding::stop(
                "lift-above-shut-off",
                phrase!(
                    "the water must be lifted {} from the off level, but the pump's highest head is {}: it is {} short and moves nothing",
                    off.static_head,
                    highest,
                    off.static_head - highest
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
        (Duty::BeforeFirstPoint { first }, _) => Some(
            Finding::stop(
                "duty-before-curve",
                phrase!("the duty lies before the first point entered of the pump's curve ({}), and nothing is known there", first),
            )
            .number("first_flow", Amount::of(first))
            .cure(phrase!("enter the curve from the shut-off head (flow 0) on")),
        ),
        (Duty::BeyondLastPoint { last, surplus, .. }, _) => {
            Some(beyond(Severity::Stop, "even at the off level", last, surplus))
        }
        (_, Duty::BeyondLastPoint { last, surplus, .. }) => Some(beyond(Severity::Caution, "at the on level", last, surplus)),
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

fn curve_shape(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let curve = &bench.pump.curve;
    let shut_off = curve.shut_off_head()?;
    let (at, highest) = curve.highest();
    let off = result.duty(WaterLevel::Off)?;
    if !curve.droops() {
        return None;
    }
    let between = off.static_head > shut_off && off.static_head < highest;
    let message = if between {
        phrase!(
            "the pump's head first rises, from {} at shut-off to {} at {}, and the lift of {} lies between: the pump may settle at a small flow instead of the one reckoned here",
            shut_off,
            highest,
            at,
            off.static_head
        )
    } else {
        phrase!(
            "the pump's head first rises, from {} at shut-off to {} at {}; the crossing at the larger flow is taken",
            shut_off,
            highest,
            at
        )
    };
    let severity = if between { Severity::Caution } else { Severity::Note };
    let finding = Finding::new(severity, "curve-droops", message)
        .number("shut_off_head", Amount::of(shut_off))
        .number("highest_head", Amount::of(highest));
    Some(if between { finding.cure(phrase!("a pump with a shut-off head above {}", off.static_head)) } else { finding })
}

fn shut_off_margin(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let off = result.duty(WaterLevel::Off)?;
    off.duty.point()?;
    let limit = &bench.site.limits.shut_off_margin;
    let shut_off = bench.pump.curve.shut_off_head()?;
    let asked = off.static_head * (1.0 + limit.value);
    (off.static_head > Head::ZERO && shut_off < asked).then(|| {
        Finding::caution(
            "small-shut-off-margin",
            phrase!(
                "the shut-off head of {} is only {} above the lift of {}: a little wear or low voltage and no water moves",
                shut_off,
                percent(shut_off / off.static_head - 1.0),
                off.static_head
            ),
        )
        .number("shut_off_head", Amount::of(shut_off))
        .number("static_head", Amount::of(off.static_head))
        .limit(share(limit.value), &limit.source)
        .cure(phrase!("a pump with a shut-off head of at least {}", asked))
    })
}

/// The flow asked for in the goal, at the off level.
fn design_flow(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let asked = bench.site.goal.flow?;
    let off = result.duty(WaterLevel::Off)?;
    let delivered = match off.duty {
        Duty::Meets(point) => point.line_flow,
        Duty::BeyondLastPoint { .. } => return None,
        Duty::CannotLift { .. } | Duty::BeforeFirstPoint { .. } => Flow::ZERO,
    };
    if delivered >= asked {
        return None;
    }
    let drawn = bench.site.discharge.length();
    let finding = Finding::stop(
        "delivers-less-than-asked",
        phrase!(
            "at the off level the line delivers {}, {} less than the {} asked for",
            delivered,
            asked - delivered,
            asked
        ),
    )
    .number("delivered", Amount::of(delivered))
    .number("asked", Amount::of(asked))
    .limit(Amount::of(asked), "entered in [goal]");
    let finding = match result.longest_run {
        Some(longest) if longest < drawn => finding.cure(phrase!(
            "a run of at most {} with this pump and pipe: the {} drawn is {} too long",
            longest,
            drawn,
            drawn - longest
        )),
        _ => finding.cure(phrase!("no run is short enough for this pump and pipe")),
    };
    Some(finding.cure_if(larger_pipe(bench)).cure_if(stronger_pump(bench, off.water_level, asked)))
}

/// What the next size of pipe would carry at the off level.
pub(super) fn larger_pipe(bench: &Bench<'_>) -> Option<Phrase> {
    let (_, larger) = bench.neighbours();
    let larger = larger?;
    let level = bench.site.basin.level(bench.site.basin.off);
    let duty = bench.duty_on(&bench.with_size(larger), &bench.pump.curve, level);
    match duty {
        Duty::Meets(point) => {
            Some(phrase!("{} pipe: the same pump then delivers {}", larger.pipe.size.as_str(), point.line_flow))
        }
        Duty::BeyondLastPoint { at_least, .. } => {
            Some(phrase!("{} pipe: the same pump then delivers more than {}", larger.pipe.size.as_str(), at_least))
        }
        _ => None,
    }
}

fn stronger_pump(bench: &Bench<'_>, level: crate::quantity::Level, asked: Flow) -> Option<Phrase> {
    let system = bench.system(&bench.site.discharge, FrictionMethod::HazenWilliams);
    let point = system.at(asked, level);
    let factor = head_factor_for(&bench.pump.curve, &system, level, asked);
    match factor {
        Some(factor) if factor > 1.0 => Some(phrase!(
            "a pump that gives {} at {} on this line ({} more head than this one there)",
            point.head,
            asked + point.leak,
            percent(factor - 1.0)
        )),
        None => Some(phrase!("a pump that gives {} at {} on this line", point.head, asked + point.leak)),
        Some(_) => None,
    }
}

/// A pump below the steady inflow never catches up.
fn steady_inflow(bench: &Bench<'_>, result: &PumpResult, storm: &StormResult) -> Option<Finding> {
    let point = result.point(WaterLevel::On)?;
    let leaves = point.line_flow * (1.0 - bench.site.discharge.outlet.returned_share);
    (leaves <= storm.steady).then(|| {
        Finding::stop(
            "pump-below-steady-inflow",
            phrase!(
                "{} runs in all the time and at most {} leaves for good: the pump never catches up",
                storm.steady,
                leaves
            ),
        )
        .number("steady_inflow", Amount::of(storm.steady))
        .number("delivered", Amount::of(leaves))
        .cure_if(larger_pipe(bench))
        .cure_if(stronger_pump(bench, bench.site.basin.level(bench.site.basin.off), storm.steady))
    })
}

/// A pump below the peak of the burst: usual, and no proof of anything.
fn peak_inflow(bench: &Bench<'_>, result: &PumpResult, storm: &StormResult) -> Option<Finding> {
    let lasts = result.surplus_lasts?;
    let point = result.point(WaterLevel::Mean)?;
    let (_, where_it_shows) = crate::design::pump::surfaces_at(bench.site);
    let period = storm.period.map_or_else(
        || "the storm".to_owned(),
        |period| format!("the {} storm", Amount::of(period).show(bench.site.units)),
    );
    Some(
        Finding::caution(
            "pump-below-peak-inflow",
            phrase!(
                "at the peak of {} {} runs in and {} is pumped: the room in the basin lasts {}, then water rises to {}. That is no proof that the yard floods: the peak is short, and what the low spot and trenches hold is not counted; how deep and how long water stands is not judged here",
                period,
                storm.peak_inflow,
                point.line_flow,
                lasts,
                where_it_shows
            ),
        )
        .number("peak_inflow", Amount::of(storm.peak_inflow))
        .number("pumped", Amount::of(point.line_flow))
        .number("room_lasts", Amount::of(lasts)),
    )
}

/// Whether a limit would be judged otherwise by the other friction method.
fn methods(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let off = result.duty(WaterLevel::Off)?;
    let (by_design, by_darcy) = (off.duty.point(), off.darcy.point());
    let limits = &bench.site.limits;
    let hangs_on = match (by_design, by_darcy) {
        (Some(design), Some(darcy)) => {
            let crosses = |limit: Flow| (design.line_flow >= limit) != (darcy.line_flow >= limit);
            let scour = bench
                .site
                .discharge
                .runs
                .iter()
                .any(|run| crosses(run.pipe.area().mul_velocity(limits.least_velocity.value)));
            if bench.site.goal.flow.is_some_and(crosses) {
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
    let show = |point: Option<&crate::pump_selection::DutyPoint>| {
        point.map_or_else(|| "nothing known".to_owned(), |point| Amount::of(point.line_flow).show(bench.site.units))
    };
    Some(
        Finding::caution(
            "friction-method-decides",
            phrase!(
                "{} hangs on the friction formula: {} by Hazen-Williams, {} by Darcy-Weisbach with water at {}",
                hangs_on,
                show(by_design),
                show(by_darcy),
                bench.site.water_temperature
            ),
        )
        .cure(phrase!("leave more margin, or enter C = 140 for small pipe and cold water")),
    )
}

/// What a worn pump still does.
fn worn(bench: &Bench<'_>, result: &PumpResult, storm: &StormResult) -> Option<Finding> {
    let new = result.point(WaterLevel::Mean)?;
    let lost = percent(result.wear);
    let needed = bench.site.goal.flow.unwrap_or(Flow::ZERO).max(storm.steady);
    match result.worn {
        Duty::CannotLift { .. } => Some(
            Finding::caution("worn-pump-fails", phrase!("with {} of its head worn away the pump moves nothing", lost))
                .cure(phrase!("a pump with more head to spare")),
        ),
        Duty::Meets(point) if point.line_flow < needed && new.line_flow >= needed => Some(
            Finding::caution(
                "worn-pump-falls-short",
                phrase!(
                    "with {} of its head worn away the pump delivers {}, less than the {} needed",
                    lost,
                    point.line_flow,
                    needed
                ),
            )
            .number("worn_flow", Amount::of(point.line_flow)),
        ),
        _ => None,
    }
}

/// The flow that has a velocity in an area.
trait FlowAt {
    fn mul_velocity(self, velocity: crate::quantity::Velocity) -> Flow;
}
impl FlowAt for crate::quantity::Area {
    fn mul_velocity(self, velocity: crate::quantity::Velocity) -> Flow {
        velocity * self
    }
}
