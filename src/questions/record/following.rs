//! Following the water of a record, stretch by stretch.

use super::events::{Events, RecordEvent};
use super::result::{Assumed, MonthResult, RecordResult, WaterBalance, YearResult};
use super::runoff::Runoff;
use super::tally::RecordTally;
use super::{RecordRunError, RecordSettings};
use crate::design::storm::{LEAST_DEPTH, Network, TOLERANCE};
use crate::design::{Design, NotFollowed};
use crate::hydrology::{Moment, RecordNotes, Span, SpanRain};
use crate::quantity::{Duration, Flow, Intensity, Length, Level, Power, RainDepth, Volume};
use crate::routing::{Forcing, Mark, Router, RoutingError, Switch, System, Watch};
use crate::site::{RunoffFrom, Site};

/// Once the pause after an event is over and water still stands, it is looked for so often, and ever more seldom.
const LOOK_S: f64 = 1800.0;

/// A yard made ready for a record.
#[derive(Clone, Debug)]
pub(super) struct RecordYard<'s> {
    site: &'s Site,
    design: &'s Design,
    network: &'s Network,
    system: &'s System,
    runoff: Runoff,
    /// What comes without rain.
    base: Forcing,
    marks: Vec<Mark>,
    power: Option<Power>,
    assumed: Assumed,
}

impl<'s> RecordYard<'s> {
    pub(super) fn new(
        site: &'s Site,
        design: &'s Design,
        network: &'s Network,
        system: &'s System,
    ) -> Result<Self, NotFollowed> {
        let runoff = Runoff::new(site, design, network)?;
        let mut base = Forcing::none(system);
        let mut add = |store: usize, flow: Flow| {
            if let Some(inflow) = base.inflow.get_mut(store) {
                inflow.0 += flow.m3s();
            }
        };
        for (store, flow) in &network.steady {
            add(*store, *flow);
        }
        let mut pulses = None;
        for (inflow, store) in site.inflows.iter().zip(&network.inflow_stores) {
            let mean = inflow.pulses.map(|(runs, rests)| inflow.flow * (runs / (runs + rests)));
            if let Some(mean) = mean {
                pulses = Some(pulses.unwrap_or(Flow::ZERO) + mean);
            }
            add(*store, mean.unwrap_or(inflow.flow));
        }
        if let Some(table) = network.table {
            for value in &mut base.table {
                *value = (table.m(), 0.0);
            }
        }
        let film = site.limits.film.value;
        let marks = network.hollows().map(|(store, hollow)| Mark { store, level: hollow.rim + film }).collect();
        let by = |from: RunoffFrom| design.storm.catchments.iter().any(|result| result.runoff_from == from);
        let steady: Flow = network.steady.iter().map(|(_, flow)| *flow).sum();
        let assumed = Assumed {
            by_infiltration: by(RunoffFrom::Infiltration),
            by_curve_number: by(RunoffFrom::CurveNumber),
            pulses,
            groundwater_at: network.table.filter(|_| !system.seeps.is_empty()),
            groundwater_steady: (steady > Flow::ZERO).then_some(steady),
            rise_left_out: site.groundwater.storm_high.is_some(),
            frequency_factor: design.storm.frequency_factor,
            yard: network.assumptions.clone(),
        };
        let power = design.pump().and_then(|pump| pump.power.as_ref()).and_then(|power| power.electrical);
        Ok(Self { site, design, network, system, runoff, base, marks, power, assumed })
    }
    /// The deepest water over a rim since it was last forgotten: how deep, in which hollow.
    fn deepest(&self, router: &Router<'_>) -> (Length, Option<&str>) {
        let depths = self.network.hollows().map(|(store, hollow)| {
            ((router.highest_level(store).0 - hollow.rim).max(Length::ZERO), hollow.name.as_str())
        });
        let deepest = depths.reduce(|best, next| if next.0 > best.0 { next } else { best });
        match deepest {
            Some((depth, name)) if depth >= LEAST_DEPTH => (depth, Some(name)),
            _ => (Length::ZERO, None),
        }
    }
}

/// The longest unbroken run of any pump.
#[derive(Clone, Copy, Debug, Default)]
struct LongestRun {
    first: bool,
    second: bool,
    since_s: Option<f64>,
    longest: Option<(f64, f64)>,
}

impl LongestRun {
    fn ends(&mut self, at_s: f64) {
        if let Some(since_s) = self.since_s.take()
            && self.longest.is_none_or(|(longest_s, _)| at_s - since_s > longest_s)
        {
            self.longest = Some((at_s - since_s, since_s));
        }
    }
}

impl Watch for LongestRun {
    fn switched(&mut self, switch: Switch) {
        *(if switch.pump == 1 { &mut self.first } else { &mut self.second }) = switch.on;
        if self.first || self.second {
            self.since_s = self.since_s.or(Some(switch.at_s));
        } else {
            self.ends(switch.at_s);
        }
    }
}

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
}

/// A yard on its way through a record.
#[derive(Debug)]
pub(super) struct Following<'y> {
    yard: &'y RecordYard<'y>,
    router: Router<'y>,
    runoff: Runoff,
    forcing: Forcing,
    base_m3s: Vec<f64>,
    pause_s: f64,
    origin: Moment,
    now_s: f64,
    longest_run: LongestRun,
    sums: Sums,
    /// What came by runoff since the sums were taken, and in all.
    runoff_m3: f64,
    all_runoff_m3: f64,
    month: MonthResult,
    month_ends_s: f64,
    months: Vec<MonthResult>,
    open: Option<Open>,
    events: Events,
    /// When it last rained, or the record's start.
    wet_until_s: f64,
    rained: bool,
    longest_dry: (f64, f64),
}

impl<'y> Following<'y> {
    pub(super) fn new(
        yard: &'y RecordYard<'y>,
        origin: Moment,
        settings: &RecordSettings,
    ) -> Result<Self, RecordRunError> {
        let router = Router::new(yard.system, &yard.network.start, &yard.marks, TOLERANCE)
            .map_err(|error| RecordRunError::NotFollowed(error.into()))?;
        let mut made = Self {
            sums: Sums { above_s: vec![0.0; yard.marks.len()], ..Sums::default() },
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
    fn moment(&self, at_s: f64) -> Moment {
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
                above_s: vec![0.0; self.yard.marks.len()],
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
            above_s: (0..self.yard.marks.len())
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
        let marks = self.yard.marks.len();
        let (deepest, deepest_in) = self.yard.deepest(&self.router);
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
                event.deepest_in = deepest_in.map(str::to_owned);
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
        if (0..self.yard.marks.len()).any(|mark| self.router.seen(mark).since_s.is_some()) {
            if let Some(open) = &mut self.open {
                open.look_s += open.every_s;
                open.every_s *= 1.1;
            }
        } else {
            self.close(false);
        }
    }
    fn close(&mut self, cut_off: bool) {
        self.settle();
        let Some(open) = self.open.take() else { return };
        let ended = self.moment(open.wet_until_s);
        let stood = Duration::from_s(open.above_s.iter().copied().fold(0.0, f64::max));
        let event = RecordEvent { stood, cut_off, ..open.event };
        if stood > Duration::ZERO {
            self.stood_in_month_of(event.start);
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
    fn end_month(&mut self) {
        let tally = RecordTally::none(false);
        self.months.push(std::mem::replace(&mut self.month, MonthResult { year: 0, month: 0, tally }));
        self.begin_month();
    }

    /// The record is over.
    pub(super) fn finish(mut self, notes: RecordNotes) -> RecordResult {
        self.close(true);
        if self.month.tally.time > Duration::ZERO {
            self.end_month();
        }
        self.longest_run.ends(self.now_s);
        let dry_s = self.now_s - self.wet_until_s;
        if dry_s > self.longest_dry.0 {
            self.longest_dry = (dry_s, self.wet_until_s);
        }
        let mut whole = RecordTally::none(self.yard.power.is_some());
        let mut years: Vec<YearResult> = Vec::new();
        for month in &self.months {
            match years.last_mut().filter(|year| year.year == month.year) {
                Some(year) => year.tally.add(&month.tally),
                None => years.push(YearResult { year: month.year, tally: month.tally }),
            }
        }
        for year in &years {
            whole.add(&year.tally);
        }
        let balance = self.balance(&whole, &notes);
        let events = self.events.clone();
        let between_stood = events
            .stood_first
            .zip(events.stood_last)
            .filter(|_| events.stood > 1)
            .map(|(first, last)| (last - first) / (events.stood - 1) as f64);
        let design = self.yard.design;
        RecordResult {
            title: design.title.clone(),
            units: self.yard.site.units,
            pump: design.pump().map(|pump| pump.name.clone()).unwrap_or_default(),
            pumps: 1 + u32::from(self.yard.system.station.as_ref().is_some_and(|station| station.lag.is_some())),
            from: self.origin,
            until: self.reached(),
            pause: Duration::from_s(self.pause_s),
            film: self.yard.site.limits.film.value,
            whole,
            years,
            longest_run: self
                .longest_run
                .longest
                .map(|(longest_s, since_s)| (Duration::from_s(longest_s), self.moment(since_s))),
            longest_dry: (Duration::from_s(self.longest_dry.0), self.moment(self.longest_dry.1)),
            since_rain: self.rained.then_some(Duration::from_s(dry_s)),
            last_stood: events.stood_last,
            between_stood,
            largest: events.largest,
            goal: events.goal,
            balance,
            assumed: self.yard.assumed.clone(),
            months: self.months,
            notes,
        }
    }

    fn balance(&self, whole: &RecordTally, notes: &RecordNotes) -> WaterBalance {
        let totals = self.router.totals();
        let (shed, on_its_way) = (self.runoff.shed_m3(), self.runoff.on_its_way_m3(self.now_s));
        let came: f64 = totals.inflow_m3.iter().chain(&totals.seeps_m3).sum();
        let seeped: f64 = totals.seeps_m3.iter().sum();
        let inflow: f64 = totals.inflow_m3.iter().sum();
        let share = |part: f64, of: f64| if of > 0.0 { part / of } else { 0.0 };
        let held: f64 = (0..self.yard.system.stores.len()).map(|store| self.router.volume(store).m3()).sum();
        let start: f64 = self
            .yard
            .system
            .stores
            .iter()
            .enumerate()
            .map(|(index, store)| {
                let level = self.yard.network.start.get(index).copied();
                store.volume_at(level.unwrap_or(Level::from_m(f64::MIN))).m3()
            })
            .sum();
        let rain = notes.total_depth.m();
        let volume = Volume::from_m3;
        WaterBalance {
            shed: volume(shed),
            runoff: volume(self.all_runoff_m3),
            on_its_way: volume(on_its_way),
            steady: volume(inflow - self.all_runoff_m3),
            seeped: volume(seeped),
            pumped: volume(totals.left_by_pump_m3()),
            spilled: whole.spilled,
            held: volume(held - start),
            left_over: share(self.router.imbalance_m3(), came),
            runoff_left_over: share(shed - on_its_way - self.all_runoff_m3, shed),
            rain_left_over: share(whole.rain.m() - rain, rain),
        }
    }
}
