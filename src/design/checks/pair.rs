//! Two pumps: a valve for each, what the second adds, how often it starts.

use super::basin::size_words;
use crate::design::bench::Bench;
use crate::design::finding::{Finding, Severity};
use crate::design::pair::PairResult;
use crate::design::phrase::{Phrase, percent, phrase, share};
use crate::design::pump::PumpResult;
use crate::hydraulics::FrictionMethod;
use crate::hydraulics::friction::pipe_velocity;
use crate::pump_selection::Together;
use crate::quantity::{Amount, Flow};
use crate::site::{FrostPlan, Site};

/// What is to be said whichever pumps they are.
pub(super) fn findings(site: &Site) -> Vec<Finding> {
    fewer_valves(site).into_iter().chain(stands_idle(site)).collect()
}

/// What is to be said of the two together.
pub(super) fn with_pump(bench: &Bench<'_>, result: &PumpResult) -> Vec<Finding> {
    let Some(pair) = &result.pair else { return Vec::new() };
    let mut findings = Vec::new();
    findings.extend(unknown_together(bench, pair));
    let shut_out = shut_out(bench, pair);
    let never = shut_out.is_some();
    findings.extend(shut_out);
    if !never {
        findings.extend(adds_little(bench, pair));
    }
    findings.extend(lag_level(pair));
    findings.extend(unlike_turns(bench.site, pair));
    findings.extend(lag_starts(bench.site, pair));
    findings
}

fn fewer_valves(site: &Site) -> Option<Finding> {
    let (pumps, valves) = (site.pumping.count, site.discharge.check_valve.as_ref().map_or(0, |valve| valve.count));
    (pumps > 1 && valves < pumps).then(|| {
        Finding::stop(
            "valves-fewer-than-pumps",
            phrase!(
                "{} pumps have {} between them: what one pumps runs back through the other at rest, round and round, and turns it backwards",
                pumps,
                match valves {
                    0 => "no check valve".to_owned(),
                    1 => "one check valve".to_owned(),
                    more => format!("{more} check valves"),
                }
            ),
        )
        .number("pumps", Amount::of(f64::from(pumps)))
        .number("valves", Amount::of(f64::from(valves)))
        .cure(match site.frost.and_then(|frost| frost.plan) {
            Some(FrostPlan::DrainsBack) => phrase!(
                "a check valve in each riser, below the place where they meet, with a drain hole above each (`drain_hole`), so that the line still drains back"
            ),
            _ => phrase!("a check valve in each riser, below the place where they meet"),
        })
    })
}

/// Pumps of two kinds that take turns.
fn unlike_turns(site: &Site, pair: &PairResult) -> Option<Finding> {
    (site.pumping.alternate && !pair.alike).then(|| {
        Finding::note(
            "unlike-pumps-take-turns",
            phrase!(
                "two pumps of different kinds take turns: starts, runs and flow are those with the first one leading"
            ),
        )
        .cure(phrase!("swap `use` and `lag` to see the other turn"))
    })
}

fn stands_idle(site: &Site) -> Option<Finding> {
    (site.pumping.count > 1 && !site.pumping.alternate).then(|| {
        Finding::note(
            "second-pump-idle",
            phrase!("the pumps do not take turns: the second may stand idle for years and seize"),
        )
        .cure(phrase!("a control that lets them take turns (`alternate = true`), or a test run by hand each season"))
    })
}

/// Beyond what the curves say.
fn unknown_together(bench: &Bench<'_>, pair: &PairResult) -> Option<Finding> {
    let found = pair.levels.iter().find_map(|level| match &level.together {
        Together::BeyondLastPoint { pump, at_least } => Some((level, *pump, Some(*at_least))),
        Together::BeforeFirstPoint { pump } => Some((level, *pump, None)),
        _ => None,
    })?;
    let (level, pump, at_least) = found;
    let name = if pump == 0 { bench.pump.name.as_str() } else { pair.second.as_str() };
    let (side, point) = match at_least {
        Some(at_least) => (phrase!("past the last point entered; the line carries {} at least", at_least), "more"),
        None => (phrase!("before the first point entered"), "the beginning"),
    };
    Some(
        Finding::caution(
            "together-off-the-curve",
            phrase!(
                "with both running ({}), `{}` runs {}: what they deliver together is not known",
                level.at,
                name,
                side.say(bench.site.units)
            ),
        )
        .about(name)
        .cure(phrase!("enter {} of its curve", point)),
    )
}

/// One that the other holds shut.
fn shut_out(bench: &Bench<'_>, pair: &PairResult) -> Option<Finding> {
    let (level, index) = pair.levels.iter().find_map(|level| match &level.together {
        Together::Meets { branches, .. } => {
            branches.iter().position(|branch| branch.line_flow <= Flow::ZERO).map(|index| (level, index))
        }
        _ => None,
    })?;
    let (weak, strong) =
        if index == 0 { (bench.pump, pair.second.as_str()) } else { (bench.second?, bench.pump.name.as_str()) };
    let Together::Meets { junction, .. } = &level.together else { return None };
    let highest = weak.curve.highest().1;
    let at_shut_off = weak.curve.head(weak.curve.first_flow()).unwrap_or(highest);
    Some(
        Finding::caution(
            "pump-shut-out",
            phrase!(
                "while `{}` runs, {} stand on the other's check valve, and `{}` {}: it delivers nothing and heats its own water",
                strong,
                *junction,
                weak.name.as_str(),
                if highest > *junction {
                    phrase!("gives {} at shut-off, from which it has to start", at_shut_off)
                } else {
                    phrase!("never gives more than {}", highest)
                }
                .say(bench.site.units)
            ),
        )
        .about(&weak.name)
        .number("junction", Amount::of(*junction))
        .cure(phrase!("two pumps of one kind"))
        .cure(phrase!("a line of its own for it, or the stronger one alone"))
        .cure_if(wider(bench, pair, 0.25)),
    )
}

/// A second pump that adds less than this share of what it delivers alone is a caution: common practice, no source.
const ADDS_LITTLE: f64 = 0.25;

/// What the common line costs.
fn adds_little(bench: &Bench<'_>, pair: &PairResult) -> Option<Finding> {
    let level = pair.levels.get(1)?;
    let (together, alone, other) = (level.together.line_flow()?, level.alone?, level.other_alone?);
    let adds = (together - alone).max(Flow::ZERO);
    let costs = (alone + other - together).max(Flow::ZERO);
    let little = adds < other * ADDS_LITTLE;
    let finding = Finding::new(
        if little { Severity::Caution } else { Severity::Note },
        "common-line",
        phrase!(
            "one pump delivers {}, both together {}, not {}: the second adds {} ({} of what it delivers alone), the common line costs {}",
            alone,
            together,
            alone + other,
            adds,
            percent(adds / other.max(Flow::from_gpm(0.01))),
            costs
        ),
    )
    .number("alone", Amount::of(alone))
    .number("together", Amount::of(together))
    .number("cost", Amount::of(costs));
    Some(if little {
        finding
            .limit(share(ADDS_LITTLE), "common practice, no source")
            .cure_if(wider(bench, pair, 0.5))
            .cure(phrase!("a line of its own for the second pump"))
    } else {
        finding.cure_if(wider(bench, pair, (adds / other.max(Flow::from_gpm(0.01)) * 1.1).min(0.95)))
    })
}

/// The first larger size of the common line with which the second pump adds a share of its own flow.
fn wider(bench: &Bench<'_>, pair: &PairResult, wanted: f64) -> Option<Phrase> {
    let level = pair.levels.get(1)?.water_level;
    let second = bench.second?;
    bench.larger().find_map(|entry| {
        let line = bench.widened(entry);
        let curves = (&bench.pump.curve, &second.curve);
        let both = bench.both_on(&line, curves, FrictionMethod::HazenWilliams, level).line_flow()?;
        let alone = bench.flow_on(&line, level)?;
        let other = bench.second_alone(&line, level)?;
        // grit must still move with one pump on
        let carries =
            line.runs.iter().all(|run| pipe_velocity(alone, run.pipe.bore) >= bench.site.limits.least_velocity.value);
        (carries && both - alone >= other * wanted).then(|| {
            phrase!("{} pipe for the common run: {} together, {} alone", entry.pipe.size.as_str(), both, alone)
        })
    })
}

fn lag_level(pair: &PairResult) -> Option<Finding> {
    (!pair.lag_entered).then(|| {
        Finding::note(
            "lag-level-missing",
            phrase!("no level is entered at which the second pump joins the first: it is taken as a standby that runs in its stead, and nothing counts on both"),
        )
        .cure(match pair.enough_lag_on.filter(|enough| *enough > pair.lag_on) {
            Some(enough) => phrase!(
                "`lag_on` at {} above the floor or higher, so that it does not start too often",
                Amount::small_at_least(enough)
            ),
            None => phrase!("`lag_on` above the on level of {} and below the alarm", Amount::small(pair.lag_on)),
        })
    })
}

fn lag_starts(site: &Site, pair: &PairResult) -> Option<Finding> {
    let worst = pair.worst_starts?;
    let (limit, source) = &pair.starts_limit;
    if !pair.lag_entered || worst <= *limit {
        return None;
    }
    let adds = pair.adds.unwrap_or(Flow::ZERO);
    let message = if pair.both_stop {
        phrase!(
            "when a little more runs in than the first pump takes, both pumps start {} times an hour: the second stops where the first does, so they empty the basin together and rest until it has filled again",
            format!("{worst:.0}")
        )
    } else {
        phrase!(
            "when a little more runs in than the first pump takes, the second starts {} times an hour: {} between its floats for the {} that it adds",
            format!("{worst:.0}"),
            pair.live,
            adds
        )
    };
    let severity = if source.starts_with("entered for") { Severity::Stop } else { Severity::Caution };
    let higher = pair.enough_lag_on.filter(|on| *on <= pair.highest_on);
    let wider = pair.enough_plan.filter(|_| higher.is_none());
    Some(
        Finding::new(severity, "second-pump-starts-often", message)
            .number("starts_per_hour", Amount::of(worst))
            .limit(Amount::of(*limit), source)
            .cure_if(higher.map(|on| phrase!("`lag_on` at {} above the floor or higher", Amount::small_at_least(on))))
            .cure_if(wider.map(|plan| {
                phrase!(
                    "a wider basin: {} with `lag_on` at {} above the floor, as high as inlet and alarm let it go",
                    size_words(site, plan).say(site.units),
                    Amount::small(pair.highest_on)
                )
            })),
    )
}
