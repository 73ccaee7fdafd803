//! One pump, one pipe, one lift: the site with runs of other lengths, and whether the job is done there.

use super::Extent;
use super::asked::Job;
use super::search::{Judged, first_so, last_done};
use crate::design::{
    Brought, Delivered, FittingsStay, LongRain, Phrase, STORM_STOPS, Trial, WaterLevel, could_miss, kept_anywhere,
    on_the_line, trial_of, trial_of_goal_of, with_run_length,
};
use crate::quantity::{Flow, Length, UnitSystem};
use crate::site::Site;
use std::sync::{Mutex, PoisonError};

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

/// A gap before the longest run is looked for in so many strides of a fortieth of it, and some more that are longer each
/// time: down to half of it in all.
const GAP_STRIDES: f64 = 40.0;
const EVEN_STRIDES: u32 = 4;
const LONGER_STRIDE: f64 = 1.6;
const MOST_STRIDES: u32 = EVEN_STRIDES + 4;
/// From where on a goal hangs on the pump's cycle is told to this part of the length.
const HANGS_WITHIN: u32 = 40;
/// So many steps are looked at between two strides at the most.
const MOST_LOOKS: u32 = 6;
/// A time of standing is near the one allowed from this share of it on: common practice, no source.
const NEARLY: f64 = 0.9;

/// One pump on one line.
#[derive(Debug)]
pub(super) struct Trying<'b> {
    /// With this pump and this pipe, at any length.
    pub(super) site: Site,
    pub(super) pump: String,
    pub(super) job: Job,
    pub(super) fittings: FittingsStay,
    pub(super) grid: Grid,
    /// What rain and groundwater bring, where the job is one that storms are followed for.
    pub(super) brought: Option<&'b Brought>,
    /// What stands against lengths at which the job is not done, where that is not the goal itself.
    pub(super) against: Mutex<Vec<(u32, Phrase)>>,
    /// What was seen of lengths at which it is.
    pub(super) seen: Mutex<Vec<(u32, Looked)>>,
}

/// How far a job is done, but for gaps before its end.
#[derive(Clone, Debug)]
pub(super) struct Sought {
    end: End,
    /// Whether it is done as drawn.
    as_drawn: Option<bool>,
}

/// What is seen of a step where a gap may be.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Looked {
    done: bool,
    /// So narrowly that the floats alone could undo it.
    just: bool,
    /// How often the pump starts.
    starts: u64,
    /// What there is to spare.
    spare: Option<f64>,
}

impl Looked {
    /// By how much less there is to spare for each step on to a longer one, where the pump starts as often there.
    fn rate(self, longer: Self, steps: u32) -> Option<f64> {
        let lost = self.spare.zip(longer.spare).map(|(here, there)| here - there);
        lost.filter(|lost| self.starts == longer.starts && *lost > 0.0).map(|lost| lost / f64::from(steps.max(1)))
    }
}

/// The end of it.
#[derive(Clone, Debug)]
enum End {
    Known(Extent),
    /// The last step, as far as there is no gap between it and the first.
    UpTo {
        from: Option<Length>,
        start: u32,
        last: u32,
    },
}

impl Trying<'_> {
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
            Job::Goal | Job::Everything => self.tried(&site, LongRain::LookedAt).is_some_and(|(_, done)| done),
        }
    }
    /// Whether the pump works within its curve at a length.
    pub(super) fn within_curve(&self, length: Length) -> bool {
        matches!(self.delivered(length, WaterLevel::Mean), Delivered::Flow(_))
    }
    /// A trial in storms, and whether the job is done there.
    fn tried(&self, site: &Site, long_rain: LongRain) -> Option<(Trial, bool)> {
        let brought = self.brought?;
        if self.job == Job::Everything {
            let tried = trial_of(site, brought, long_rain).ok()?;
            let holds = tried.holds();
            Some((tried, holds))
        } else {
            let tried = trial_of_goal_of(site, brought, long_rain).ok()?;
            let kept = goal_kept(&tried);
            Some((tried, kept))
        }
    }
    fn does(&self, steps: u32) -> bool {
        self.judged(steps, LongRain::LookedAt).done
    }
    fn judged(&self, steps: u32, long_rain: LongRain) -> Judged {
        if !self.in_storms() {
            return Judged { done: self.done_at(self.grid.length(steps)), spare: None };
        }
        let Some((tried, done)) = self.tried(&self.with(self.grid.length(steps)), long_rain) else {
            return Judged { done: false, spare: None };
        };
        if !done {
            let why = match &tried.in_storm {
                Err(why) => Some(Phrase::new("{}", vec![why.to_string().into()])),
                Ok(_) if self.job == Job::Everything => {
                    let stop = tried.first_stop().filter(|stop| !STORM_STOPS.contains(&stop.id));
                    stop.map(|stop| stop.message.clone())
                }
                Ok(_) => None,
            };
            let mut against = self.against.lock().unwrap_or_else(PoisonError::into_inner);
            against.extend(why.map(|why| (steps, why)));
        }
        if done {
            let mut seen = self.seen.lock().unwrap_or_else(PoisonError::into_inner);
            seen.push((steps, self.seen_in(&tried, done)));
        }
        Judged { done, spare: self.spare(&tried).filter(|spare| (*spare > 0.0) == done) }
    }
    /// How much less deep or long water stands than is allowed, as a share of that, the lesser of the two.
    fn spare(&self, tried: &Trial) -> Option<f64> {
        let outcome = tried.in_storm.as_ref().ok()?;
        let goal = &self.site.goal;
        let depth = goal.standing_water.map(|most| 1.0 - outcome.depth() / most);
        let stands = goal.clear_within.map(|within| 1.0 - outcome.stands() / within);
        depth.into_iter().chain(stands).filter(|spare| spare.is_finite()).reduce(f64::min)
    }
    /// What ends it, where that is not the goal itself.
    pub(super) fn ended_by(&self, extent: &Extent) -> Option<Phrase> {
        let Extent::UpTo { longest, .. } = extent else { return None };
        let beyond = self.grid.within(*longest).0 + 1;
        let against = self.against.lock().unwrap_or_else(PoisonError::into_inner);
        against.iter().find(|(steps, _)| *steps == beyond).map(|(_, why)| why.clone())
    }
    /// Whether the job is one that storms are followed for.
    fn in_storms(&self) -> bool {
        matches!(self.job, Job::Goal | Job::Everything)
    }
    /// How far the job is done, and whether it is done as drawn.
    ///
    /// `flow_at_end`: what the pump brings half-way where the job just ends, as far as that is known from another line.
    /// `may_do`: whether it may be done as drawn at all; it is not where the pump as new does not.
    pub(super) fn extent(
        &self,
        drawn: Option<Length>,
        flow_at_end: Option<Flow>,
        may_do: impl Fn() -> bool,
    ) -> (Extent, Option<bool>) {
        self.settled(self.sought(drawn, flow_at_end, may_do))
    }
    /// The same, but for gaps before the end.
    pub(super) fn sought(&self, drawn: Option<Length>, flow_at_end: Option<Flow>, may_do: impl Fn() -> bool) -> Sought {
        let bound = self.grid.bound;
        let as_drawn = drawn.map(|length| self.done_at(length) && may_do());
        let known = |extent| Sought { end: End::Known(extent), as_drawn };
        let expected = flow_at_end.map(|flow| {
            let less = |steps: u32| self.delivered(self.grid.length(steps), WaterLevel::Mean).at_least() < flow;
            first_so(bound, less).map_or(bound, |first| first.saturating_sub(1).max(1))
        });
        let start = match (drawn, as_drawn) {
            (Some(length), Some(true)) => {
                let (steps, exactly) = self.grid.within(length);
                // of a run shorter than a step the first step is looked at
                let first = steps.max(1);
                if (steps < 1 || !exactly) && !self.does(first) {
                    return known(Extent::UpTo { from: None, longest: length });
                }
                Some(first)
            }
            _ => self.first_done(),
        };
        let Some(start) = start else { return known(Extent::Never { why: self.why_never() }) };
        // where it is done as drawn, nobody asks about shorter ones
        let shorter = drawn.is_some_and(|length| length < self.grid.length(start));
        let from = ((start > 1 || shorter) && as_drawn != Some(true)).then(|| self.grid.length(start));
        // the run as drawn fails: beyond it there is nothing to look for, even where a longer one does again
        let below = drawn.filter(|_| as_drawn == Some(false)).map(|length| match self.grid.within(length) {
            (steps, true) => steps.saturating_sub(1),
            (steps, false) => steps,
        });
        let below = below.filter(|steps| *steps >= start);
        let top = below.unwrap_or(bound);
        // the long rains are dear and seldom end it first: they are asked once, where all else is still done
        let mut last = last_done(start, top, expected, |steps| self.judged(steps, LongRain::LeftOut));
        if self.in_storms() && !self.does(last.unwrap_or(top)) {
            last = last_done(start, top, last, |steps| self.judged(steps, LongRain::LookedAt));
        }
        match last.or(below) {
            Some(last) => Sought { end: End::UpTo { from, start, last }, as_drawn },
            None => known(Extent::AnyLength { from, tried: self.grid.length(bound) }),
        }
    }
    /// What was sought, with the gaps before its end looked for.
    pub(super) fn settled(&self, sought: Sought) -> (Extent, Option<bool>) {
        let extent = match sought.end {
            End::Known(extent) => extent,
            End::UpTo { from, start, last } => {
                Extent::UpTo { from, longest: self.grid.length(self.before_any_gap(start, last)) }
            }
        };
        (extent, sought.as_drawn)
    }
    /// The last step before the first gap: where the goal is only just met, the depth hangs on where the pump stands in its
    /// cycle when the burst comes, and a shorter run may fail where a longer one holds. Looked for in small strides downwards
    /// from the end, as far as the floats alone could make it fail, and wherever the pump starts once more or once less: there
    /// its place in the cycle jumps, and the water is deepest on one side of that.
    fn before_any_gap(&self, start: u32, last: u32) -> u32 {
        if !self.in_storms() {
            return last;
        }
        let mut length = f64::from(last) / GAP_STRIDES;
        let (mut gap, mut steps, mut stride) = (None, last, 1);
        let (mut longer, mut rate) = (self.looked_at(last), None);
        for number in 0..MOST_STRIDES {
            if number >= EVEN_STRIDES {
                length *= LONGER_STRIDE;
            }
            stride = whole(length).max(1);
            let next = steps.saturating_sub(stride);
            if next <= start {
                break;
            }
            let here = self.looked_at(next);
            rate = here.rate(longer, steps - next).or(rate);
            if let Some(not) = self.not_done_between((next, here), (steps, longer), rate) {
                gap = Some(not);
            }
            (steps, longer) = (next, here);
            match here {
                Looked { done: false, .. } => gap = Some(steps),
                Looked { just: true, .. } => {}
                Looked { .. } => break,
            }
        }
        let Some(mut not) = gap else { return last };
        let mut done = not.saturating_sub(stride).max(start);
        while done > start && !self.does(done) {
            not = done;
            done = done.saturating_sub(stride).max(start);
        }
        while not - done > 1 {
            let middle = done + (not - done) / 2;
            if self.does(middle) { done = middle } else { not = middle }
        }
        done
    }
    /// A step between two, at both of which it is done, at which it is not.
    ///
    /// As long as the pump starts as often what there is to spare shrinks evenly with the length, and it jumps up where that
    /// number changes: so it is met first where the line from the shorter of the two comes to nothing, or nowhere if the
    /// jump comes before.
    fn not_done_between(&self, shorter: (u32, Looked), longer: (u32, Looked), rate: Option<f64>) -> Option<u32> {
        let ((mut low, mut at_low), (high, at_high)) = (shorter, longer);
        if !(at_low.done && at_high.done) || at_low.starts == at_high.starts {
            return None;
        }
        let starts = at_low.starts;
        let mut rate = rate.filter(|rate| *rate > 0.0);
        for _ in 0..MOST_LOOKS {
            let ahead =
                rate.zip(at_low.spare).map_or(1, |(rate, spare)| whole(libm::floor(spare / rate)).saturating_add(1));
            let next = low.saturating_add(ahead);
            if next >= high {
                return None;
            }
            let here = self.looked_at(next);
            if !here.done {
                return Some(next);
            }
            if here.starts != starts {
                return None;
            }
            rate = at_low.rate(here, ahead).or(rate);
            (low, at_low) = (next, here);
        }
        None
    }
    /// The shortest length tried from which on the goal, kept up to a length, hangs on where in its cycle the pump is when
    /// the burst comes; none where it does not hang on it.
    pub(super) fn hangs_from(&self, drawn: Option<Length>, longest: Length) -> Option<Length> {
        let brought = self.brought.filter(|_| self.job == Job::Goal)?;
        // where it is not kept at all, that is said elsewhere
        let hangs = |steps: u32| kept_anywhere(&self.with(self.grid.length(steps)), brought) == Some(false);
        let last = self.grid.within(longest).0;
        let first = drawn.map_or(1, |length| self.grid.within(length).0.clamp(1, last.max(1)));
        if !hangs(last) {
            return None;
        }
        if hangs(first) {
            return Some(self.grid.length(first));
        }
        let (mut not, mut so) = (first, last);
        while so - not > (last / HANGS_WITHIN).max(1) {
            let middle = not + (so - not) / 2;
            if hangs(middle) { so = middle } else { not = middle }
        }
        Some(self.grid.length(so))
    }
    /// What is seen of a step where a gap may be.
    fn looked_at(&self, steps: u32) -> Looked {
        let known =
            || self.seen.lock().unwrap_or_else(PoisonError::into_inner).iter().find(|seen| seen.0 == steps).copied();
        if let Some((_, looked)) = known() {
            return looked;
        }
        // where the floats stand matters in the burst, not in rains that last for hours
        let site = self.with(self.grid.length(steps));
        let tried = self.tried(&site, LongRain::LeftOut);
        tried.map_or_else(Looked::default, |(tried, done)| self.seen_in(&tried, done))
    }
    fn seen_in(&self, tried: &Trial, done: bool) -> Looked {
        let Ok(outcome) = &tried.in_storm else { return Looked { done, ..Looked::default() } };
        let deep = could_miss(&self.site, outcome, tried.pump.between_floats());
        let long = self.site.goal.clear_within.is_some_and(|allowed| outcome.stands() >= allowed * NEARLY);
        Looked { done, just: deep || long, starts: outcome.starts, spare: self.spare(tried) }
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
                let tried = self.brought.and_then(|brought| trial_of(&site, brought, LongRain::LookedAt).ok());
                let stop = tried.as_ref().and_then(|tried| {
                    let of_goal = tried.stops.iter().find(|stop| STORM_STOPS.contains(&stop.id));
                    // that next to no run is too short for the height is no news
                    let other = tried.stops.iter().find(|stop| stop.id != "line-too-short");
                    of_goal.filter(|_| self.job == Job::Goal).or(other).or(tried.first_stop())
                });
                let message = stop.map_or_else(String::new, |stop| stop.message.say(units));
                Phrase::new("even with next to no run: {}", vec![message.into()])
            }
        }
    }
    /// The flow half-way near where the job ends.
    pub(super) fn flow_at_end(&self, sought: &Sought) -> Option<Flow> {
        let end = match &sought.end {
            End::UpTo { last, .. } => self.grid.length(*last),
            End::Known(Extent::UpTo { longest, .. }) => *longest,
            End::Known(_) => return None,
        };
        match self.delivered(end, WaterLevel::Mean) {
            Delivered::Flow(flow) => Some(flow),
            _ => None,
        }
    }
}

/// Whether the storm was followed and the goal kept.
pub(super) fn goal_kept(tried: &Trial) -> bool {
    tried.in_storm.is_ok() && !STORM_STOPS.iter().any(|stop| tried.stopped_by(stop))
}
