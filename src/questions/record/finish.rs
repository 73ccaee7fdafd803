//! The end of a record: sums, balance, what is told.

use super::following::Following;
use super::result::{PlaceReached, RecordResult, WaterBalance, YearResult};
use super::tally::RecordTally;
use super::{COARSE, COARSE_TIMES};
use crate::hydrology::RecordNotes;
use crate::quantity::{Duration, Level, Volume};

/// Sums of water are true to this share of all that came.
const ROUNDING: f64 = 1e-9;

impl Following<'_> {
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
            deepest: self.deepest.clone(),
            protected: self.protected(),
            gathers_in: self.yard.gathers_in,
            bursts_averaged: notes.usual_step > COARSE || notes.usual_step > self.yard.gathers_in * COARSE_TIMES,
            largest: events.largest,
            goal: events.goal,
            balance,
            assumed: self.yard.assumed.clone(),
            months: self.months,
            notes,
        }
    }

    fn protected(&self) -> Vec<PlaceReached> {
        let places = self.yard.site.protected.iter().zip(&self.reached);
        places
            .map(|(place, reached)| PlaceReached {
                name: place.name.clone(),
                level: place.level,
                events: reached.events,
                first: reached.first_s(&self.router).map(|at_s| self.moment(at_s)),
                highest: reached.highest.map(|(level, at_s)| (level, self.moment(at_s))),
                under: Duration::from_s(reached.above_s(&self.router)),
            })
            .collect()
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
        // what rounding leaves of sums is no water
        let residue = ROUNDING * (came + shed);
        let volume = |m3: f64| Volume::from_m3(if m3.abs() <= residue { 0.0 } else { m3 });
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
