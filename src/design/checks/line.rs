//! The discharge line as a whole: its length, its losses, its size.

use crate::catalog::{self, PipeEntry};
use crate::design::bench::Bench;
use crate::design::finding::{Finding, Severity};
use crate::design::phrase::{Phrase, percent, phrase, share};
use crate::design::pump::{PumpResult, WaterLevel};
use crate::hydraulics::FrictionMethod;
use crate::pump_selection::{Duty, Pump};
use crate::quantity::{Amount, Head, Length};
use crate::site::Site;

/// What is to be said of the line whichever pump drives it.
pub(super) fn findings(site: &Site) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(no_profile(site));
    findings.extend(line_leaves_high(site));
    findings.extend(too_short(site));
    findings.extend(fittings_not_counted(site));
    findings
}

/// What is to be said of the line with one pump on it.
pub(super) fn with_pump(bench: &Bench<'_>, result: &PumpResult) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(losses_large(bench, result));
    findings.extend(narrower_than_pump(bench));
    findings
}

fn no_profile(site: &Site) -> Option<Finding> {
    site.discharge.profile.is_empty().then(|| {
        Finding::note(
            "no-profile",
            phrase!("no profile of the line was entered: the lift is taken to the outlet, and a high point on the way is not seen"),
        )
        .cure(phrase!("enter `profile` with the levels of the pipe along the run"))
    })
}

/// Ground at the basin and its rim lie within so much: common practice, no source.
const BESIDE: Length = Length::from_ft(3.0);

/// A line that leaves above the basin, or from ground far from its rim, was most likely typed backwards.
fn line_leaves_high(site: &Site) -> Option<Finding> {
    let first = site.discharge.profile.first()?;
    let rim = site.basin.rim;
    let message = if first.invert > rim {
        phrase!("the line leaves {} above the basin's rim", Amount::small(first.invert - rim))
    } else {
        let ground = first.ground.filter(|ground| (*ground - rim).abs() > BESIDE)?;
        phrase!("the ground at the basin is entered {} from its rim", Amount::small((ground - rim).abs()))
    };
    Some(
        Finding::caution(
            "line-leaves-oddly",
            phrase!(
                "{}: is the profile listed from the outlet to the basin, or from another benchmark?",
                message.say(site.units)
            ),
        )
        .cure(phrase!("list the points from the basin (`at = \"0 ft\"`) to the outlet, all levels from one benchmark")),
    )
}

/// Pipe that cannot reach: shorter than the straight way up.
fn too_short(site: &Site) -> Option<Finding> {
    let line = &site.discharge;
    let pipe = line.length() + line.riser.length;
    let highest = site.pumps.iter().filter_map(|pump| pump.height).fold(Length::ZERO, Length::max);
    let up = line.outlet.level - site.basin.level(highest);
    (pipe < up).then(|| {
        Finding::stop(
            "line-too-short",
            phrase!(
                "riser and runs are {} together, but the outlet lies {} above the pump: a length or a level is wrong",
                pipe,
                up
            ),
        )
        .number("pipe", Amount::of(pipe))
        .number("height", Amount::of(up))
        .cure(phrase!("measure the run again, and compare outlet and basin from one benchmark"))
    })
}

/// A run of this length has fittings: common practice, no source.
const HAS_FITTINGS: Length = Length::from_ft(20.0);

/// A run for which nobody counted any.
fn fittings_not_counted(site: &Site) -> Option<Finding> {
    let bare: Length = site
        .discharge
        .runs
        .iter()
        .filter(|run| run.fittings.iter().all(|fitting| fitting.count == 0) && run.allowance <= 0.0)
        .map(|run| run.length)
        .filter(|length| *length >= HAS_FITTINGS)
        .sum();
    let allowance = &catalog::default_limits().fittings_allowance;
    (bare > Length::ZERO).then(|| {
        Finding::note(
            "fittings-not-counted",
            phrase!("no fittings are entered for {} of run: none are reckoned with", bare),
        )
        .cure(phrase!(
            "count elbows and couplings; or, as long as they are not known, `fittings_allowance = {}` ({})",
            allowance.value,
            allowance.source
        ))
    })
}

fn losses_large(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let losses = result.losses.as_ref()?;
    let limit = &bench.site.limits.greatest_loss_share;
    let lost: Head = losses.friction() + losses.minor();
    if losses.total <= Head::ZERO || lost / losses.total <= limit.value {
        return None;
    }
    let level = result.duty(WaterLevel::Mean)?.water_level;
    let does = |entry: &PipeEntry| {
        let line = bench.widened(entry);
        let Duty::Meets(point) = bench.duty_on(&line, &bench.pump.curve, level) else { return None };
        let governing = bench.system(&line, FrictionMethod::HazenWilliams).points().get(point.governing).copied()?;
        let lift = Head::from(governing.level - level);
        let cover = line.outlet.opening_head.unwrap_or(Head::ZERO);
        let left = (point.head - lift - cover) / point.head;
        (left <= limit.value).then_some((point.line_flow, left))
    };
    let larger = bench.larger().find_map(|entry| {
        let (flow, left) = does(entry)?;
        Some(phrase!(
            "{} pipe for the run: the same pump then delivers {} at the middle water level between the floats, and losses take {}",
            entry.pipe.size.as_str(),
            flow,
            percent(left)
        ))
    });
    // the pipe alone would start the pump again
    let held = || {
        bench.larger_that_start_it().find_map(|entry| {
            let (flow, left) = does(entry)?;
            Some(phrase!(
                "{} pipe for the run, with a check valve that holds the water in it, or with more between the floats than the {} that would else run back and start the pump again: the same pump then delivers {}, and losses take {}",
                entry.pipe.size.as_str(),
                bench.runs_back(&bench.widened(entry)),
                flow,
                percent(left)
            ))
        })
    };
    Some(
        Finding::new(
            if bench.system(&bench.site.discharge, FrictionMethod::HazenWilliams).static_head(level) < LOW_LIFT { Severity::Note } else { Severity::Caution },
            "losses-dominate",
            phrase!(
                "friction and fittings take {} of the pump's {}, {}: the pipe is small for this run",
                lost,
                losses.total,
                if lost > losses.total {
                    "more than all of its head, with the help of the fall".to_owned()
                } else {
                    format!("{} of its head", percent(lost / losses.total))
                }
            ),
        )
        .number("losses", Amount::of(lost))
        .number("head", Amount::of(losses.total))
        .limit(share(limit.value), &limit.source)
        .cure(larger.or_else(held).unwrap_or_else(|| phrase!("no size of this pipe in the tables brings that about alone: a shorter run, or a pump made for more head and less flow"))),
    )
}

/// Where the lift is lower than this, a share of the head says little: common practice, no source.
const LOW_LIFT: Head = Head::from_ft(5.0);

/// The name of the finding that a pipe is smaller than the pump's outlet.
pub(crate) const NARROWER_THAN_OUTLET: &str = "pipe-smaller-than-pump-outlet";

/// What is to be said of a line with a pipe smaller than the pump's outlet; none where there is no such pipe.
pub(crate) fn narrower_than_outlet(site: &Site, pump: &Pump) -> Option<Phrase> {
    let outlet = pump.outlet_size.as_deref()?;
    let wanted = catalog::nominal_as_length(outlet)?;
    let line = &site.discharge;
    let narrow = std::iter::once(&line.riser)
        .chain(&line.runs)
        .find(|run| catalog::nominal_as_length(&run.pipe.size).is_some_and(|size| size < wanted * 0.99))?;
    Some(phrase!(
        "the {} pipe is smaller than the pump's {} outlet, which plumbing codes forbid",
        narrow.pipe.size.as_str(),
        outlet
    ))
}

fn narrower_than_pump(bench: &Bench<'_>) -> Option<Finding> {
    let said = narrower_than_outlet(bench.site, bench.pump)?;
    let outlet = bench.pump.outlet_size.as_deref()?;
    Some(Finding::caution(NARROWER_THAN_OUTLET, said).cure(phrase!("pipe of {} or more all the way", outlet)))
}
