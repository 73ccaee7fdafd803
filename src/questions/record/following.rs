//! Following the water of a record, stretch by stretch.

use super::events::{Events, RecordEvent};
use super::longest_run::LongestRun;
use super::reached::Reached;
use super::result::{Deepest, MonthResult};
use super::runoff::Runoff;
use super::tally::RecordTally;
use super::yard::RecordYard;
use super::{RecordRunError, RecordSettings};
use crate::hydrology::{Moment, Span, SpanRain};
use crate::quantity::{Duration, Intensity, Length, RainDepth, Volume};
use crate::routing::{Forcing, Router, RoutingError};

/// Once the pause after an event is over and water still stands, it is looked for so often, and ever more seldom.
const LOOK_S: f64 = 1800.0;

/// The router's sums at a moment.
#[derive(Clone, Debug, Default)]
struct Sums {
    came_m3: f64,
    pumped_m3: f64,
    spilled_m3: f64,
    starts: u64,
    runs_s: f64,
    above_s: Vec<f64>,
}

/// An event under way.
#[derive(Clone, Debug)]
struct Open {
    event: RecordEvent,
    wet_until_s: f64,
    /// When it is looked next whether it is over.
    look_s: f64,
    every_s: f64,
    /// Time above the film by hollow.
    above_s: Vec<f64>,
    /// Whether water reached each protected place.
    reached: Vec<bool>,
}

/// A yard on its way through a record.
#[derive(Debug)]
pub(super) struct Following<'y> {
    pub(super) yard: &'y RecordYard<'y>,
    pub(super) router: Router<'y>,
    pub(super) runoff: Runoff,
    pub(super) forcing: Forcing,
    pub(super) base_m3s: Vec<f64>,
    pub(super) pause_s: f64,
    pub(super) origin: Moment,
    pub(super) now_s: f64,
    pub(super) longest_run: LongestRun,
    sums: Sums,
    /// What came by runoff since the sums were taken, and in all.
    pub(super) runoff_m3: f64,
    pub(super) all_runoff_m3: f64,
    pub(super) month: MonthResult,
    pub(super) month_ends_s: f64,
    pub(super) months: Vec<MonthResult>,
    open: Option<Open>,
    pub(super) events: Events,
    /// When it last rained, or the record's start.
    pub(super) wet_until_s: f64,
    pub(super) rained: bool,
    pub(super) longest_dry: (f64, f64),
    pub(super) deepest: Option<Deepest>,
    /// Of each protected place.
    pub(super) reached: Vec<Reached>,
}

impl<'y> Following<'y> {
    pub(super) fn new(
        yard: &'y RecordYard<'y>,
        origin: Moment,
        settings: &RecordSettings,
    ) -> Result<Self, RecordRunError> {
        let router = Router::new(yard.system, &yard.network.start, &yard.marks, settings.tolerance)
            .map_err(|error| RecordRunError::NotFollowed(error.into()))?;
        let mut made = Self {
            sums: Sums { above_s: vec![0.0; yard.hollows], ..Sums::default() },
            router,
            runoff: yard.runoff.clone(),
            forcing: yard.base.clone(),
            base_m3s: yard.base.inflow.iter().map(|(flow, _)| *flow).collect(),
            pause_s: settings.pause.s(),
            origin,
            now_s: 0.0,
            longest_run: LongestRun::default(),
            runoff_m3: 0.0,
            all_runoff_m3: 0.0,
            month: MonthResult { year: 0, month: 0, tally: RecordTally::none(yard.power.is_some()) },
            month_ends_s: 0.0,
            months: Vec::new(),
            open: None,
            events: Events::new(settings.events, &yard.site.goal),
            wet_until_s: 0.0,
            rained: false,
            longest_dry: (0.0, 0.0),
            deepest: None,
            reached: yard.protected.iter().map(|marks| Reached::new(marks)).collect(),
            yard,
        };
        made.begin_month();
        Ok(made)
    }
    /// Steps of the router so far.
    #[cfg(test)]
    pub(super) fn steps(&self) -> u64 {
        self.router.steps()
    }
    /// The time in the record.
    pub(super) fn reached(&self) -> Moment {
        self.moment(self.now_s)
    }
    pub(super) fn moment(&self, at_s: f64) -> Moment {
        #[expect(clippy::cast_possible_truncation, reason = "a record's seconds are far below 2^53")]
        Moment::from_seconds(self.origin.seconds().saturating_add(libm::round(at_s) as i64))
    }
    fn seconds(&self, moment: Moment) -> f64 {
        (moment - self.origin).s()
    }
    fn stuck(&self, source: RoutingError) -> RecordRunError {
        RecordRunError::Stuck { at: self.reached(), source }
    }

    /// Follows a span, which begins where the one before ended.
    pub(super) fn span(&mut self, span: &Span) -> Result<(), RecordRunError> {
        let (start_s, end_s) = (self.now_s, self.seconds(span.end));
        if end_s <= start_s {
            return Ok(());
        }
        let (rain, missing) = match span.rain {
            SpanRain::Fell(rain) => (rain.max(Intensity::ZERO), false),
            SpanRain::Missing => (Intensity::ZERO, true),
        };
        let wet = rain > Intensity::ZERO;
        if wet {
            self.rains(start_s, end_s, rain);
        }
        self.runoff.rain((start_s, end_s), rain.ms());
        while self.now_s < end_s {
            let look_s = self.open.as_ref().map_or(f64::INFINITY, |open| open.look_s);
            let (was_s, until_s) = (self.now_s, end_s.min(self.month_ends_s).min(look_s));
            self.advance(until_s)?;
            let time = Duration::from_s(until_s - was_s);
            self.month.tally.time += time;
            if missing {
                self.month.tally.missing += time;
            }
            self.month.tally.rain += rain * time;
            if let Some(open) = &mut self.open {
                open.event.rain += rain * time;
            }
            if until_s >= self.month_ends_s {
                self.settle();
                self.end_month();
            }
            if until_s >= look_s {
                self.look();
            }
        }
        Ok(())
    }

    /// A wet span begins: a new event, or more of the one under way.
    fn rains(&mut self, start_s: f64, end_s: f64, rain: Intensity) {
        let dry_s = start_s - self.wet_until_s;
        if dry_s > self.longest_dry.0 {
            self.longest_dry = (dry_s, self.wet_until_s);
        }
        self.wet_until_s = end_s;
        self.rained = true;
        // an event that only waits for its water to be gone ends here
        if self.open.as_ref().is_some_and(|open| start_s - open.wet_until_s >= self.pause_s) {
            self.close(false);
        }
        if self.open.is_none() {
            self.settle();
            self.month.tally.events += 1;
            self.open = Some(Open {
                event: RecordEvent {
                    start: self.moment(start_s),
                    lasts: Duration::ZERO,
                    rain: RainDepth::ZERO,
                    peak: Intensity::ZERO,
                    runoff: Volume::ZERO,
                    deepest: Length::ZERO,
                    deepest_in: None,
                    stood: Duration::ZERO,
                    stands: Duration::ZERO,
                    starts: 0,
                    spilled: Volume::ZERO,
                    cut_off: false,
                },
                wet_until_s: end_s,
                look_s: 0.0,
                every_s: LOOK_S,
                above_s: vec![0.0; self.yard.hollows],
                reached: vec![false; self.reached.len()],
            });
        }
        let (begin, pause_s) = (self.origin, self.pause_s);
        if let Some(open) = &mut self.open {
            open.wet_until_s = end_s;
            open.look_s = end_s + pause_s;
            open.every_s = LOOK_S;
            open.event.peak = open.event.peak.max(rain);
            open.event.lasts = Duration::from_s(end_s) - (open.event.start - begin);
        }
    }

    /// Follows the water up to a time, from bend to bend of what comes in.
    fn advance(&mut self, until_s: f64) -> Result<(), RecordRunError> {
        while self.now_s < until_s {
            let next_s = self.runoff.next_s().min(until_s);
            let time_s = next_s - self.now_s;
            self.runoff.fill(&self.base_m3s, &mut self.forcing);
            self.router.run(time_s, &self.forcing, &mut self.longest_run).map_err(|source| self.stuck(source))?;
            self.runoff_m3 += self.runoff.advance(time_s, next_s);
            self.now_s = next_s;
        }
        Ok(())
    }

    /// Takes what happened since it was last taken into the month, and into the event under way.
    fn settle(&mut self) {
        let totals = self.router.totals();
        let paths = self.yard.system.paths.iter().zip(&totals.paths_m3);
        let now = Sums {
            came_m3: totals.inflow_m3.iter().chain(&totals.seeps_m3).sum(),
            pumped_m3: totals.left_by_pump_m3(),
            spilled_m3: paths.filter(|(path, _)| path.to.is_none()).map(|(_, moved)| moved).sum(),
            starts: totals.starts(),
            runs_s: totals.lead_s + totals.lag_s,
            above_s: (0..self.yard.hollows)
                .map(|mark| self.router.seen(mark).above_until(self.router.now_s()))
                .collect(),
        };
        let before = std::mem::replace(&mut self.sums, now);
        let now = &self.sums;
        let runoff = Volume::from_m3(std::mem::take(&mut self.runoff_m3));
        self.all_runoff_m3 += runoff.m3();
        let spilled = Volume::from_m3(now.spilled_m3 - before.spilled_m3);
        let starts = now.starts - before.starts;
        let runs_s = now.runs_s - before.runs_s;
        let above_s = |mark: usize| {
            let at = |sums: &Sums| sums.above_s.get(mark).copied().unwrap_or(0.0);
            at(now) - at(&before)
        };
        let marks = self.yard.hollows;
        let (deepest, deepest_in) = self.yard.deepest(&self.router);
        if let Some((over, at_s)) = deepest_in
            && self.deepest.as_ref().is_none_or(|known| deepest > known.depth)
        {
            self.deepest = Some(Deepest { depth: deepest, over: over.to_owned(), at: self.moment(at_s) });
        }
        for (index, place) in self.reached.iter_mut().enumerate() {
            let seen = place.look(&self.router, &self.yard.marks);
            if let Some(known) = self.open.as_mut().and_then(|open| open.reached.get_mut(index)) {
                *known |= seen;
            }
        }
        let tally = &mut self.month.tally;
        tally.runoff += runoff;
        tally.came += Volume::from_m3(now.came_m3 - before.came_m3);
        tally.pumped += Volume::from_m3(now.pumped_m3 - before.pumped_m3);
        tally.spilled += spilled;
        tally.starts += starts;
        tally.runs += Duration::from_s(runs_s);
        tally.energy_j = tally.energy_j.zip(self.yard.power).map(|(energy, power)| energy + power.w() * runs_s);
        tally.stood += Duration::from_s((0..marks).map(above_s).fold(0.0, f64::max));
        tally.deepest = tally.deepest.max(deepest);
        if let Some(open) = &mut self.open {
            let event = &mut open.event;
            event.runoff += runoff;
            event.spilled += spilled;
            event.starts += starts;
            if deepest > event.deepest {
                event.deepest = deepest;
                event.deepest_in = deepest_in.map(|(name, _)| name.to_owned());
            }
            for (mark, total) in open.above_s.iter_mut().enumerate() {
                *total += above_s(mark);
            }
            let longest = (0..marks).map(|mark| self.router.seen(mark).longest_until(self.router.now_s()));
            event.stands = longest.map(Duration::from_s).fold(event.stands, Duration::max);
        }
        self.router.forget_highest();
        self.router.forget_longest();
    }

    /// Looks whether the event under way is over.
    fn look(&mut self) {
        if (0..self.yard.hollows).any(|mark| self.router.seen(mark).since_s.is_some()) {
            if let Some(open) = &mut self.open {
                open.look_s += open.every_s;
                open.every_s *= 1.1;
            }
        } else {
            self.close(false);
        }
    }
    pub(super) fn close(&mut self, cut_off: bool) {
        self.settle();
        let Some(open) = self.open.take() else { return };
        let ended = self.moment(open.wet_until_s);
        let stood = Duration::from_s(open.above_s.iter().copied().fold(0.0, f64::max));
        let event = RecordEvent { stood, cut_off, ..open.event };
        if stood > Duration::ZERO {
            self.stood_in_month_of(event.start);
        }
        for (place, reached) in self.reached.iter_mut().zip(&open.reached) {
            place.events += u64::from(*reached);
        }
        self.events.take(event, ended);
    }
    /// Counts an event with standing water in the month that it began in.
    fn stood_in_month_of(&mut self, start: Moment) {
        let is_of = |month: &&mut MonthResult| (month.year, month.month) == (start.year(), start.month());
        let known = self.months.iter_mut().rev().find(is_of);
        known.unwrap_or(&mut self.month).tally.events_stood += 1;
    }

    fn begin_month(&mut self) {
        let now = self.moment(self.now_s);
        let (year, month) = (now.year(), now.month());
        let next = if month < 12 { (year, month + 1) } else { (year + 1, 1) };
        self.month = MonthResult { year, month, tally: RecordTally::none(self.yard.power.is_some()) };
        self.month_ends_s =
            Moment::from_civil(next.0, next.1, 1, 0, 0, 0).map_or(f64::INFINITY, |ends| self.seconds(ends));
    }
    pub(super) fn end_month(&mut self) {
        let tally = RecordTally::none(false);
        self.months.push(std::mem::replace(&mut self.month, MonthResult { year: 0, month: 0, tally }));
        self.begin_month();
    }
}
