//! Two pumps: what they do together, what the common line costs them, how often the second one starts.

use super::bench::Bench;
use super::storage::{all_bodies, bodies_between, highest_on};
use crate::basin::cycle::{live_volume_for_increment, second_volume_for, shortest_joint_cycle};
use crate::basin::{height_for_volume, stored_between};
use crate::hydraulics::FrictionMethod;
use crate::numeric::bracketed_root;
use crate::pump_selection::{Pump, Together};
use crate::quantity::{Amount, Area, Duration, Flow, Length, Level, Volume};
use crate::working::Working;

/// Both pumps at one water level.
#[derive(Clone, Debug, PartialEq)]
pub struct TogetherAt {
    /// Which level, in words.
    pub at: &'static str,
    /// The level.
    pub water_level: Level,
    /// The first pump alone; none where it has no duty point.
    pub alone: Option<Flow>,
    /// The second pump alone.
    pub other_alone: Option<Flow>,
    /// Both.
    pub together: Together,
}

/// Two pumps in one basin.
#[derive(Clone, Debug, PartialEq)]
pub struct PairResult {
    /// The second pump's name; the first one's where they are alike.
    pub second: String,
    /// Whether they are of one kind.
    pub alike: bool,
    /// Both at the second's stop, half-way, and at its start, from the lowest.
    pub levels: Vec<TogetherAt>,
    /// The height above the floor at which the second starts.
    pub lag_on: Length,
    /// Whether that was entered.
    pub lag_entered: bool,
    /// The height at which it stops.
    pub lag_off: Length,
    /// Water between its floats.
    pub live: Volume,
    /// What it adds half-way between its floats.
    pub adds: Option<Flow>,
    /// Whether it stops where the first does: then both rest until the basin has filled again, and each starts once in
    /// every cycle.
    pub both_stop: bool,
    /// Its starts in an hour at the worst inflow: a quarter of what it adds over the water between its floats; where
    /// both stop together, those of each.
    pub worst_starts: Option<f64>,
    /// The most allowed, and where that comes from; where both stop together, the lower of the two.
    pub starts_limit: (f64, String),
    /// The height at which it would start no more often than allowed.
    pub enough_lag_on: Option<Length>,
    /// How high it may start: below the alarm, or where it starts now.
    pub highest_on: Length,
    /// The plan area with which it would do so when started as high as it may; none where no plan is known to do.
    pub enough_plan: Option<Area>,
}

impl PairResult {
    /// Both together between the second's floats, where it joins and that is known.
    pub fn half_way(&self) -> Option<Flow> {
        self.joined(self.levels.get(1))
    }
    /// Both together at the highest level, likewise.
    pub fn most(&self) -> Option<Flow> {
        self.joined(self.levels.last())
    }
    /// Both together at the lowest level, likewise.
    pub fn least(&self) -> Option<Flow> {
        self.joined(self.levels.first())
    }
    fn joined(&self, level: Option<&TogetherAt>) -> Option<Flow> {
        level.filter(|_| self.lag_entered).and_then(|level| level.together.line_flow())
    }
    /// The most that either gives alone.
    pub fn most_alone(&self) -> Option<Flow> {
        let level = self.levels.last()?;
        match (level.alone, level.other_alone) {
            (Some(one), Some(other)) => Some(one.max(other)),
            (one, other) => one.or(other),
        }
    }
}

/// A volume is asked for with this much to spare, so that the figure printed, rounded, still does.
const SPARE: f64 = 1.01;
/// So many rounds settle it.
const ROUNDS: u32 = 6;
/// No basin is wider than so many times the area of this one.
const MOST_WIDER: f64 = 100.0;

/// Judges the second pump with the first.
pub(super) fn pair<W: Working>(bench: &Bench<'_>, w: &mut W) -> Option<PairResult> {
    let second = bench.second?;
    let (site, basin) = (bench.site, &bench.site.basin);
    let lag_on = site.pumping.lag_on.unwrap_or(basin.on);
    let lag_off = site.pumping.lag_off.unwrap_or(basin.off);
    let at = |words, height: Length| {
        let water_level = basin.level(height);
        TogetherAt {
            at: words,
            water_level,
            alone: bench.flow_on(&site.discharge, water_level),
            other_alone: bench.second_alone(&site.discharge, water_level),
            together: bench.both_on(
                &site.discharge,
                (&bench.pump.curve, &second.curve),
                FrictionMethod::HazenWilliams,
                water_level,
            ),
        }
    };
    let levels =
        vec![at("second stops", lag_off), at("between them", (lag_off + lag_on) / 2.0), at("second starts", lag_on)];
    if let Some(between) = levels.get(1) {
        show_working(between, w);
    }
    let displaced = bodies_between(bench, lag_off, lag_on);
    let live = stored_between(basin.plan.area(), lag_off, lag_on, displaced);
    let half_way = levels.get(1);
    let adds =
        half_way.and_then(|level| Some(level.together.line_flow()? - level.alone?)).map(|adds| adds.max(Flow::ZERO));
    let both_stop = lag_off <= basin.off;
    let starts_limit = starts_limit(bench, second, both_stop);
    let alone = half_way.and_then(|level| level.alone);
    let below_first = stored_between(
        basin.plan.area(),
        basin.off,
        basin.on.min(lag_on),
        bodies_between(bench, basin.off, basin.on.min(lag_on)),
    );
    let shortest = |adds: Flow| {
        if both_stop {
            let alone = alone?;
            shortest_joint_cycle(below_first, live - below_first, alone, alone + adds)
        } else {
            (live > Volume::ZERO).then(|| live * 4.0 / adds)
        }
    };
    let worst_starts =
        adds.filter(|adds| *adds > Flow::ZERO).and_then(shortest).map(|cycle| Duration::from_h(1.0) / cycle);
    let highest = highest_on(site).max(lag_on);
    let enough = adds.filter(|_| starts_limit.0 > 0.0).map(|adds| {
        let cycle = Duration::from_h(1.0 / starts_limit.0);
        let (both, height) = all_bodies(bench);
        // so much between the floats, above the first one's start where both stop together
        let wanted = |adds: Flow, below_first: Volume| {
            let joint = alone.filter(|_| both_stop);
            let joint = joint.and_then(|alone| second_volume_for(cycle, below_first, alone, alone + adds));
            joint.unwrap_or_else(|| live_volume_for_increment(cycle, adds)) * SPARE
        };
        let from = if both_stop { basin.on } else { lag_off };
        let (mut adds, mut on) = (adds, lag_on);
        // a higher float raises what the second one adds a little, and that the volume
        for _ in 0..ROUNDS {
            on = from + height_for_volume(basin.plan.area(), from, wanted(adds, below_first), both, height);
            let level = at("", (lag_off + on) / 2.0);
            adds = level.together.line_flow().zip(level.alone).map_or(adds, |(both, alone)| both - alone);
        }
        // with the float as high as it may go, a wider plan
        let between =
            |plan: Area, low: Length, high: Length| stored_between(plan, low, high, bodies_between(bench, low, high));
        let short = |plan: f64| {
            let plan = Area::from_m2(plan);
            (between(plan, from, highest) - wanted(adds, between(plan, basin.off, basin.on))).m3()
        };
        let now = basin.plan.area().m2();
        let plan = bracketed_root(now, now * MOST_WIDER, now * 1e-6, short).ok().map(|root| Area::from_m2(root.x));
        (on, plan.filter(|_| highest > from))
    });
    Some(PairResult {
        second: second.name.clone(),
        alike: second.name == bench.pump.name,
        levels,
        lag_on,
        lag_entered: site.pumping.lag_on.is_some(),
        lag_off,
        live,
        adds,
        both_stop,
        worst_starts,
        starts_limit,
        enough_lag_on: enough.map(|(on, _)| on),
        highest_on: highest,
        enough_plan: enough.and_then(|(_, plan)| plan),
    })
}

/// The most starts of the second; of both where each starts once in every cycle.
fn starts_limit(bench: &Bench<'_>, second: &Pump, both_stop: bool) -> (f64, String) {
    let of = |pump: &Pump| {
        pump.starts_per_hour.map_or_else(
            || {
                let usual = &bench.site.limits.most_starts_per_hour;
                (usual.value, usual.source.clone())
            },
            |starts| (starts, format!("entered for `{}`", pump.name)),
        )
    };
    let (first, second) = (of(bench.pump), of(second));
    if both_stop && first.0 < second.0 { first } else { second }
}

const TOGETHER_SOURCE: &str = "flow at which the pump's head, less its riser, is the head where the risers meet";

/// What each brings into the line and what that comes to.
fn show_working<W: Working>(level: &TogetherAt, w: &mut W) {
    let Together::Meets { branches, residual, evaluations, junction, .. } = &level.together else { return };
    let [first, second] = &branches[..] else { return };
    w.heading("Both pumps together, water between the second one's floats");
    w.solved(
        "Hj",
        "head where the risers meet",
        "head that the runs ask for at the flow of both",
        *junction,
        Amount::of(*residual),
        *evaluations,
    );
    let miss = Amount::of(*residual);
    let one = w.solved("Q1", "what the first brings", TOGETHER_SOURCE, first.line_flow, miss, *evaluations);
    let other = w.solved("Q2", "what the second brings", TOGETHER_SOURCE, second.line_flow, miss, *evaluations);
    w.step("Q", "flow out of the line", "sum", one + other);
}
