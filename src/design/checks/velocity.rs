//! How fast the water moves: slow enough for the joints, fast enough for the grit.

use crate::catalog;
use crate::design::bench::Bench;
use crate::design::finding::Finding;
use crate::design::phrase::{Phrase, phrase};
use crate::design::pump::{PumpResult, WaterLevel};
use crate::hydraulics::Run;
use crate::hydraulics::friction::pipe_velocity;
use crate::quantity::{Amount, Velocity};

/// What is to be said of the velocities with one pump on the line.
pub(super) fn findings(bench: &Bench<'_>, result: &PumpResult) -> Vec<Finding> {
    too_slow(bench, result).into_iter().chain(too_fast(bench, result)).collect()
}

/// A stretch of the line with its velocity; `index` is none for the riser.
struct Moving<'a> {
    run: &'a Run,
    index: Option<usize>,
    velocity: Velocity,
}

impl Moving<'_> {
    /// The pipe in words.
    fn words(&self) -> String {
        format!("{} {}", self.run.pipe.size, if self.index.is_none() { "riser" } else { "pipe" })
    }
}

/// The riser and the runs with their velocities at a level.
fn moving<'a>(bench: &Bench<'a>, result: &PumpResult, at: WaterLevel) -> Vec<Moving<'a>> {
    let line = &bench.site.discharge;
    let Some(point) = result.point(at) else { return Vec::new() };
    // the most goes through the runs with all pumps on, the least with one
    let through_runs =
        if at == WaterLevel::On { result.most_pumped().unwrap_or(point.line_flow) } else { point.line_flow };
    let runs = line.runs.iter().enumerate().map(|(index, run)| Moving {
        run,
        index: Some(index),
        velocity: pipe_velocity(through_runs, run.pipe.bore),
    });
    // the runs first: where riser and run are alike, the run is named
    let through_riser =
        if at == WaterLevel::On { result.most_in_a_riser().unwrap_or(point.line_flow) } else { point.line_flow };
    let in_riser = pipe_velocity(through_riser, line.riser.pipe.bore);
    runs.chain(std::iter::once(Moving { run: &line.riser, index: None, velocity: in_riser })).collect()
}

fn too_slow(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let limit = &bench.site.limits.least_velocity;
    let slowest = moving(bench, result, WaterLevel::Off)
        .into_iter()
        .reduce(|best, next| if next.velocity < best.velocity { next } else { best })
        .filter(|slowest| slowest.velocity < limit.value)?;
    Some(
        Finding::caution(
            "velocity-below-scour",
            phrase!(
                "at the off level water moves at {} in the {}, below the {} that carries grit: it settles and narrows the pipe",
                slowest.velocity,
                slowest.words(),
                limit.value
            ),
        )
        .number("velocity", Amount::of(slowest.velocity))
        .limit(Amount::of(limit.value), &limit.source)
        .cure_if(smaller_run(bench, &slowest))
        .cure(phrase!("a pump that delivers at least {} here", limit.value * slowest.run.pipe.area())),
    )
}

/// The next smaller size for a slow run, where the water then moves as it should and enough of it.
fn smaller_run(bench: &Bench<'_>, slow: &Moving<'_>) -> Option<Phrase> {
    let limits = &bench.site.limits;
    let entry = catalog::next_smaller(&slow.run.pipe)?;
    let outlet = bench.pump.outlet_size.as_deref().and_then(catalog::nominal_as_length);
    let wide_enough = outlet
        .is_none_or(|outlet| catalog::nominal_as_length(&entry.pipe.size).is_some_and(|size| size >= outlet * 0.99));
    let level = bench.site.basin.level(bench.site.basin.off);
    let flow = bench.flow_on(&bench.with_run(slow.index?, entry), level)?;
    let velocity = pipe_velocity(flow, entry.pipe.bore);
    let enough = bench.site.goal.flow.is_none_or(|asked| flow >= asked);
    (wide_enough && enough && velocity >= limits.least_velocity.value && velocity <= limits.greatest_velocity.value)
        .then(|| phrase!("{} pipe in its place: {} at {}", entry.pipe.size.as_str(), velocity, flow))
}

fn too_fast(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let limit = &bench.site.limits.greatest_velocity;
    let fastest = moving(bench, result, WaterLevel::On)
        .into_iter()
        .reduce(|best, next| if next.velocity > best.velocity { next } else { best })
        .filter(|fastest| fastest.velocity > limit.value)?;
    let level = bench.site.basin.level(result.pair.as_ref().map_or(bench.site.basin.on, |pair| pair.lag_on));
    let larger = bench.larger().find_map(|entry| {
        let line = bench.widened(entry);
        let flow = bench.all_on(&line, level)?;
        let alone = bench.flow_on(&line, level)?;
        let calm = pipe_velocity(alone, line.riser.pipe.bore) <= limit.value
            && line.runs.iter().all(|run| pipe_velocity(flow, run.pipe.bore) <= limit.value);
        calm.then(|| phrase!("{} pipe: {} at {}", entry.pipe.size.as_str(), pipe_velocity(flow, entry.pipe.bore), flow))
    });
    let slower = || phrase!("a pump of less flow: no more than {} here", limit.value * fastest.run.pipe.area());
    let cure = if fastest.index.is_none() {
        Some(phrase!("a wider riser, or no more than {} through it", limit.value * fastest.run.pipe.area()))
    } else {
        Some(larger.unwrap_or_else(slower))
    };
    Some(
        Finding::caution(
            "velocity-above-limit",
            phrase!(
                "{} water moves at {} in the {}, above {}: hard on joints when it stops{}",
                if result.pair.is_some() && fastest.index.is_some() { "with both pumps on" } else { "at the on level" },
                fastest.velocity,
                fastest.words(),
                limit.value,
                surges(bench, result, &fastest)
            ),
        )
        .number("velocity", Amount::of(fastest.velocity))
        .limit(Amount::of(limit.value), &limit.source)
        .cure_if(cure),
    )
}

/// What a stretch surges when it stops, in words; nothing where that is not known.
fn surges(bench: &Bench<'_>, result: &PumpResult, moving: &Moving<'_>) -> String {
    let place = moving.index.map_or(0, |index| index + 1);
    let surge = result.surge.as_ref().and_then(|surge| surge.pipes.get(place)).and_then(|pipe| pipe.surge);
    surge.map_or_else(String::new, |surge| format!(", with {} of surge", Amount::of(surge).show(bench.site.units)))
}
