//! One pump, one pipe, one lift: the site with runs of other lengths, and whether the job is done there.

use super::Extent;
use super::asked::Job;
use super::search::{first_so, last_done};
use crate::design::{
    Delivered, FittingsStay, Phrase, Trial, WaterLevel, on_the_line, trial, trial_in_nested_storm, trial_of_goal,
    trial_of_goal_in_nested_storm, with_run_length,
};
use crate::quantity::{Flow, Length, UnitSystem, Volume};
use crate::site::Site;

/// The steps in which lengths are tried.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Grid {
    pub(super) units: UnitSystem,
    /// The last step tried.
    pub(super) bound: u32,
}

/// Runs are tried up to so many feet or metres, or so many times the run as drawn: common practice, no source.
const BOUND_FT: f64 = 1000.0;
const BOUND_M: f64 = 300.0;
const TIMES_DRAWN: f64 = 3.0;
/// Steps in a metre.
const STEPS_IN_M: f64 = 5.0;

impl Grid {
    pub(super) fn new(units: UnitSystem, drawn: Length) -> Self {
        let least = match units {
            UnitSystem::Us => BOUND_FT,
            UnitSystem::Metric => BOUND_M * STEPS_IN_M,
        };
        let mut grid = Self { units, bound: 1 };
        grid.bound = whole(libm::ceil(grid.steps(drawn) * TIMES_DRAWN).max(least));
        grid
    }
    /// The length of so many steps.
    pub(super) fn length(self, steps: u32) -> Length {
        match self.units {
            UnitSystem::Us => Length::from_ft(f64::from(steps)),
            UnitSystem::Metric => Length::from_m(f64::from(steps) / STEPS_IN_M),
        }
    }
    fn steps(self, length: Length) -> f64 {
        match self.units {
            UnitSystem::Us => length.ft(),
            UnitSystem::Metric => length.m() * STEPS_IN_M,
        }
    }
    /// The whole steps in a length, and whether that is all of it.
    pub(super) fn within(self, length: Length) -> (u32, bool) {
        let steps = self.steps(length);
        let near = libm::round(steps);
        if (steps - near).abs() < 1e-6 { (whole(near), true) } else { (whole(libm::floor(steps)), false) }
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held between 0 and a million")]
fn whole(steps: f64) -> u32 {
    steps.clamp(0.0, 1e6) as u32
}

/// How many lengths are tried in search of one that does, where a longer run may cure what stands against a short one.
const LENGTHS_LOOKED_AT: u32 = 10;

/// A gap before the longest run is looked for in so many strides of it, and no more of them.
const GAP_STRIDES: u32 = 40;
const MOST_STRIDES: u32 = 8;
/// A time of standing is near the one allowed from this share of it on: common practice, no source.
const NEARLY: f64 = 0.9;

/// One pump on one line.
#[derive(Debug)]
pub(super) struct Trying {
    /// With this pump and this pipe, at any length.
    pub(super) site: Site,
    pub(super) pump: String,
    pub(super) job: Job,
    pub(super) fittings: FittingsStay,
    pub(super) grid: Grid,
}

impl Trying {
    fn with(&self, length: Length) -> Site {
        with_run_length(&self.site, length, self.fittings)
    }
    /// What comes out at a length of the run.
    pub(super) fn delivered(&self, length: Length, at: WaterLevel) -> Delivered {
        on_the_line(&self.with(length), &self.pump, at).map_or(Delivered::NotKnown, |found| found.delivered)
    }
    /// Whether the job is done at a length.
    pub(super) fn done_at(&self, length: Length) -> bool {
        let site = self.with(length);
        match self.job {
            Job::Flow(asked) => {
                on_the_line(&site, &self.pump, WaterLevel::Off).is_some_and(|found| found.delivered.at_least() >= asked)
            }
            Job::Scour => on_the_line(&site, &self.pump, WaterLevel::Off)
                .is_some_and(|found| found.slowest >= site.limits.least_velocity.value),
            Job::Goal => trial_of_goal(&site).is_ok_and(|tried| goal_kept(&tried)),
            Job::Everything => trial(&site).is_ok_and(|tried| tried.holds()),
        }
    }
    fn does(&self, steps: u32) -> bool {
        self.done_at(self.grid.length(steps))
    }
    /// Whether the job is one that storms are followed for.
    fn in_storms(&self) -> bool {
        matches!(self.job, Job::Goal | Job::Everything)
    }
    /// Whether the job is done, the long steady rains left out.
    fn does_in_nested_storm(&self, steps: u32) -> bool {
        let site = || self.with(self.grid.length(steps));
        match self.job {
            Job::Goal => trial_of_goal_in_nested_storm(&site()).is_ok_and(|tried| goal_kept(&tried)),
            Job::Everything => trial_in_nested_storm(&site()).is_ok_and(|tried| tried.holds()),
            Job::Flow(_) | Job::Scour => self.does(steps),
        }
    }
    /// How far the job is done, and whether it is done as drawn.
    ///
    /// `flow_at_end`: what the pump brings half-way where the job just ends, as far as that is known from another line.
    pub(super) fn extent(&self, drawn: Option<Length>, flow_at_end: Option<Flow>) -> (Extent, Option<bool>) {
        let bound = self.grid.bound;
        let as_drawn = drawn.map(|length| self.done_at(length));
        let expected = flow_at_end.map(|flow| {
            let less = |steps: u32| self.delivered(self.grid.length(steps), WaterLevel::Mean).at_least() < flow;
            first_so(bound, less).map_or(bound, |first| first.saturating_sub(1).max(1))
        });
        let start = match (drawn, as_drawn) {
            (Some(length), Some(true)) => {
                let (steps, exactly) = self.grid.within(length);
                if steps < 1 || (!exactly && !self.does(steps)) {
                    return (Extent::UpTo { from: None, longest: length }, as_drawn);
                }
                Some(steps)
            }
            _ => self.first_done(),
        };
        let Some(start) = start else { return (Extent::Never { why: self.why_never() }, as_drawn) };
        // where it is done as drawn, nobody asks about shorter ones
        let from = (start > 1 && as_drawn != Some(true)).then(|| self.grid.length(start));
        // the long rains are dear and seldom end it first: they are asked once, where all else is still done
        let mut last = last_done(start, bound, expected, |steps| self.does_in_nested_storm(steps));
        if self.in_storms() && !self.does(last.unwrap_or(bound)) {
            last = last_done(start, bound, last, |steps| self.does(steps));
        }
        let extent = match last {
            Some(last) => Extent::UpTo { from, longest: self.grid.length(self.before_any_gap(start, last)) },
            None => Extent::AnyLength { from, tried: self.grid.length(bound) },
        };
        (extent, as_drawn)
    }
    /// The last step before the first gap: where the goal is only just met, the depth hangs on where the pump stands in its
    /// cycle when the burst comes, and a shorter run may fail where a longer one holds. Looked for in small strides downwards
    /// from the end, as far as the floats alone could make it fail.
    fn before_any_gap(&self, start: u32, last: u32) -> u32 {
        if !self.in_storms() {
            return last;
        }
        let stride = (last / GAP_STRIDES).max(1);
        let (mut gap, mut steps) = (None, last);
        for _ in 0..MOST_STRIDES {
            let next = steps.saturating_sub(stride);
            if next <= start {
                break;
            }
            steps = next;
            match self.just_done(steps) {
                None => gap = Some(steps),
                Some(true) => {}
                Some(false) => break,
            }
        }
        let Some(mut not) = gap else { return last };
        let mut done = not.saturating_sub(stride).max(start);
        while not - done > 1 {
            let middle = done + (not - done) / 2;
            if self.does(middle) { done = middle } else { not = middle }
        }
        done
    }
    /// Whether the job is done at a step so narrowly that the floats alone could undo it; none where it is not done.
    fn just_done(&self, steps: u32) -> Option<bool> {
        // where the floats stand matters in the burst, not in rains that last for hours
        let site = self.with(self.grid.length(steps));
        let (tried, done) = if self.job == Job::Everything {
            let tried = trial_in_nested_storm(&site).ok()?;
            let holds = tried.holds();
            (tried, holds)
        } else {
            let tried = trial_of_goal_in_nested_storm(&site).ok()?;
            let kept = goal_kept(&tried);
            (tried, kept)
        };
        if !done {
            return None;
        }
        let Ok(outcome) = &tried.in_storm else { return Some(false) };
        let live = tried.pump.cycle.as_ref().map_or(Volume::ZERO, |cycle| cycle.live);
        let deep = site.goal.standing_water.zip(outcome.deepest()).is_some_and(|(allowed, hollow)| {
            // so much deeper with all that lies between the floats on top, and as much again
            let more =
                if hollow.volume > Volume::ZERO { hollow.deepest * (live / hollow.volume) } else { Length::ZERO };
            hollow.deepest + more >= allowed
        });
        let long = site.goal.clear_within.is_some_and(|allowed| outcome.stands() >= allowed * NEARLY);
        Some(deep || long)
    }
    /// The first length at which the job is done.
    fn first_done(&self) -> Option<u32> {
        let bound = self.grid.bound;
        match self.job {
            Job::Flow(_) | Job::Scour => self.does(1).then_some(1),
            // the pump past the end of its curve brings at least what it needs, but nothing more is known
            Job::Goal => {
                let known =
                    |steps| !matches!(self.delivered(self.grid.length(steps), WaterLevel::Mean), Delivered::AtLeast(_));
                first_so(bound, known).filter(|first| self.does(*first))
            }
            Job::Everything => {
                let share = |index: u32| libm::pow(f64::from(bound), f64::from(index) / f64::from(LENGTHS_LOOKED_AT));
                let lengths = (0..=LENGTHS_LOOKED_AT).map(|index| whole(share(index)).max(1));
                let mut not = 0;
                for steps in lengths {
                    if self.does(steps) {
                        // back to the first between the two
                        return first_so(steps - not, |more| self.does(not + more)).map(|more| not + more);
                    }
                    not = steps;
                }
                None
            }
        }
    }
    /// Why not even next to no run does.
    fn why_never(&self) -> Phrase {
        let site = self.with(self.grid.length(1));
        let units = self.grid.units;
        let on_line = on_the_line(&site, &self.pump, WaterLevel::Off);
        match (self.job, on_line) {
            (_, Some(found)) if matches!(found.delivered, Delivered::Nothing { .. }) => {
                let Delivered::Nothing { short } = found.delivered else { return Phrase::default() };
                Phrase::new(
                    "it cannot lift the water {}: {} of head are missing even with next to no run",
                    vec![found.lift.into(), short.into()],
                )
            }
            (Job::Flow(_) | Job::Scour, Some(found)) if matches!(found.delivered, Delivered::AtLeast(_)) => {
                Phrase::new(
                    "its curve ends where {} come out of the line, and whether it gives more is not known",
                    vec![found.delivered.at_least().into()],
                )
            }
            (Job::Flow(asked), Some(found)) => {
                if found.delivered == Delivered::NotKnown {
                    return Phrase::new(
                        "even with next to no run its duty lies before the first point entered of its curve",
                        Vec::new(),
                    );
                }
                let has = found.delivered.at_least();
                Phrase::new(
                    "even with next to no run it delivers {} at the off level, {} less than asked",
                    vec![has.into(), (asked - has).into()],
                )
            }
            (Job::Scour, Some(found)) => Phrase::new(
                "even with next to no run the water moves at {} at the off level, below {}",
                vec![found.slowest.into(), site.limits.least_velocity.value.into()],
            ),
            (Job::Goal | Job::Everything, _) | (_, None) => {
                let tried = trial(&site).ok();
                let stop = tried.as_ref().and_then(|tried| {
                    let of_goal = tried.stops.iter().find(|stop| GOAL_STOPS.contains(&stop.id));
                    // that next to no run is too short for the height is no news
                    let other = tried.stops.iter().find(|stop| stop.id != "line-too-short");
                    of_goal.filter(|_| self.job == Job::Goal).or(other).or(tried.first_stop())
                });
                let message = stop.map_or_else(String::new, |stop| stop.message.say(units));
                Phrase::new("even with next to no run: {}", vec![message.into()])
            }
        }
    }
    /// The flow half-way where the job ends.
    pub(super) fn flow_at(&self, extent: &Extent) -> Option<Flow> {
        let Extent::UpTo { longest, .. } = extent else { return None };
        match self.delivered(*longest, WaterLevel::Mean) {
            Delivered::Flow(flow) => Some(flow),
            _ => None,
        }
    }
}

/// The stops that say that a goal is not kept.
const GOAL_STOPS: [&str; 2] = ["goal-missed", "water-reaches-protected"];

/// Whether the storm was followed and the goal kept.
pub(super) fn goal_kept(tried: &Trial) -> bool {
    tried.in_storm.is_ok() && !GOAL_STOPS.iter().any(|stop| tried.stopped_by(stop))
}
