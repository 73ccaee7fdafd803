//! One pump on the site's line, and on lines and curves that differ a little: what cures are solved with.

use super::changes::{self, stretched};
use super::line::LineAtRest;
use super::storage::live_volume;
use crate::catalog::{self, PipeEntry};
use crate::hydraulics::{DischargeLine, FrictionMethod, Pipe, SystemCurve, Water, drain_back};
use crate::numeric::bracketed_root;
use crate::pump_selection::{Duty, Pump, PumpCurve, Together, duty_point, together_near};
use crate::quantity::{Flow, Head, Length, Level, Volume};
use crate::site::Site;

/// A pump set up on the site.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bench<'a> {
    /// The site.
    pub(super) site: &'a Site,
    /// The pump.
    pub(super) pump: &'a Pump,
    /// The pump that runs with it at need, where two are installed.
    pub(super) second: Option<&'a Pump>,
    /// The line at rest.
    pub(super) rest: &'a LineAtRest,
    /// The water.
    pub(super) water: Water,
}

/// The least and greatest factor by which a run is shortened or stretched in search of its longest.
const SHORTEST_FACTOR: f64 = 1e-3;
const LONGEST_FACTOR: f64 = 100.0;
/// How many larger sizes are tried.
const MOST_SIZES: usize = 5;

/// Two pumps ready to be solved at any level.
#[derive(Debug)]
pub(super) struct Both<'c> {
    curves: (&'c PumpCurve, &'c PumpCurve),
    own: SystemCurve,
    other: SystemCurve,
    lag_on: Option<Level>,
}

impl Both<'_> {
    /// At work together with the water at a level; `near` is about the head where their risers meet, where it is known.
    pub(super) fn at(&self, level: Level, near: Option<Head>) -> Together {
        // the second starts where it joins, and runs on as the water falls
        let start = self.lag_on.map_or(level, |lag_on| lag_on.max(level));
        together_near(&[(self.curves.0, &self.own), (self.curves.1, &self.other)], (level, start), near)
    }
}

impl<'a> Bench<'a> {
    /// Sets a pump up.
    pub(super) fn new(site: &'a Site, pump: &'a Pump, rest: &'a LineAtRest) -> Self {
        let named = site.pumping.lag.as_ref().and_then(|name| site.pumps.iter().find(|pump| &pump.name == name));
        let second = (site.pumping.count > 1).then(|| named.unwrap_or(pump));
        Self { site, pump, second, rest, water: Water::at(site.water_temperature) }
    }

    /// The highest head of the pumps installed.
    pub(super) fn highest_head(&self) -> Head {
        let second = self.second.map_or(Head::ZERO, |pump| pump.curve.highest().1);
        self.pump.curve.highest().1.max(second)
    }

    /// Whether the second pump joins the first at a level of its own. Without one it is a standby.
    pub(super) fn joins(&self) -> bool {
        self.second.is_some() && self.site.pumping.lag_on.is_some()
    }

    /// Two curves on a line, each from the height of its own pump.
    pub(super) fn both<'c>(
        &self,
        line: &DischargeLine,
        curves: (&'c PumpCurve, &'c PumpCurve),
        method: FrictionMethod,
    ) -> Both<'c> {
        // each has its own drain hole, and no riser is idle
        let line = &DischargeLine { risers: 1, ..line.clone() };
        let height = self.second.and_then(|pump| pump.height);
        Both {
            curves,
            own: self.system(line, method),
            other: SystemCurve::new(line, self.site.basin.floor, height, self.water, method),
            lag_on: self.site.pumping.lag_on.map(|on| self.site.basin.level(on)),
        }
    }

    /// The same at work together with the water at a level.
    pub(super) fn both_on(
        &self,
        line: &DischargeLine,
        curves: (&PumpCurve, &PumpCurve),
        method: FrictionMethod,
        level: Level,
    ) -> Together {
        self.both(line, curves, method).at(level, None)
    }

    /// What all pumps installed deliver together on a line, where it is known.
    pub(super) fn all_on(&self, line: &DischargeLine, level: Level) -> Option<Flow> {
        let Some(second) = self.second.filter(|_| self.joins()) else { return self.flow_on(line, level) };
        self.both_on(line, (&self.pump.curve, &second.curve), FrictionMethod::HazenWilliams, level).line_flow()
    }

    /// The height of the pump's outlet above the floor: its top.
    pub(super) fn pump_outlet(&self) -> Option<Length> {
        self.pump.height
    }

    /// The system curve of a line.
    pub(super) fn system(&self, line: &DischargeLine, method: FrictionMethod) -> SystemCurve {
        SystemCurve::new(line, self.site.basin.floor, self.pump_outlet(), self.water, method)
    }

    /// The duty on a line with a curve.
    pub(super) fn duty_on(&self, line: &DischargeLine, curve: &PumpCurve, level: Level) -> Duty {
        duty_point(curve, &self.system(line, FrictionMethod::HazenWilliams), level)
    }

    /// What the second pump delivers alone, from its own height.
    pub(super) fn second_alone(&self, line: &DischargeLine, level: Level) -> Option<Flow> {
        let second = self.second?;
        let system =
            SystemCurve::new(line, self.site.basin.floor, second.height, self.water, FrictionMethod::HazenWilliams);
        duty_point(&second.curve, &system, level).point().map(|point| point.line_flow)
    }

    /// The flow out of a line, where there is a duty point.
    pub(super) fn flow_on(&self, line: &DischargeLine, level: Level) -> Option<Flow> {
        self.duty_on(line, &self.pump.curve, level).point().map(|point| point.line_flow)
    }

    /// The longest run, everything else as drawn, with which the line still carries a flow.
    ///
    /// Fittings stay as they are, the profile stretches with the run. `None` when even the shortest run carries less
    /// (or is not known to carry it), or any run carries it.
    pub(super) fn longest_run(
        &self,
        target: Flow,
        level: Level,
        curve: &PumpCurve,
        method: FrictionMethod,
    ) -> Option<Length> {
        // before the first point of the curve nothing is known
        if target < curve.first_flow() {
            return None;
        }
        let line = &self.site.discharge;
        let total = line.length();
        let miss = |factor: f64| {
            let stretched = stretched(line, factor);
            if let Some(second) = self.second.filter(|_| self.joins()) {
                return match self.both_on(&stretched, (curve, &second.curve), method, level) {
                    Together::Meets { line_flow, .. } => (line_flow - target).m3s(),
                    Together::BeyondLastPoint { at_least, .. } => (at_least - target).m3s(),
                    Together::CannotLift | Together::BeforeFirstPoint { .. } => -target.m3s(),
                };
            }
            match duty_point(curve, &self.system(&stretched, method), level) {
                Duty::Meets(point) => (point.line_flow - target).m3s(),
                Duty::BeyondLastPoint { at_least, .. } => (at_least - target).m3s(),
                Duty::CannotLift { .. } | Duty::LeakTakesAll | Duty::BeforeFirstPoint { .. } => -target.m3s(),
            }
        };
        bracketed_root(SHORTEST_FACTOR, LONGEST_FACTOR, 1e-5, miss).ok().map(|root| total * root.x)
    }

    /// The line with runs as short as the longest run is looked for.
    pub(super) fn next_to_no_run(&self) -> DischargeLine {
        stretched(&self.site.discharge, SHORTEST_FACTOR)
    }

    /// The line with every run that is narrower than a pipe in that pipe instead.
    pub(super) fn widened(&self, entry: &PipeEntry) -> DischargeLine {
        let mut line = self.site.discharge.clone();
        for run in line.runs.iter_mut().filter(|run| run.pipe.bore < entry.pipe.bore) {
            changes::resize(run, entry, self.site.equivalent_lengths.as_deref());
        }
        line
    }

    /// The line with one run in another pipe.
    pub(super) fn with_run(&self, index: usize, entry: &PipeEntry) -> DischargeLine {
        let mut line = self.site.discharge.clone();
        if let Some(run) = line.runs.get_mut(index) {
            changes::resize(run, entry, self.site.equivalent_lengths.as_deref());
        }
        line
    }

    /// The pipes larger than the narrowest run, of its material, by size: such as do not let so much run back that the pump
    /// starts itself again.
    pub(super) fn larger(&self) -> impl Iterator<Item = &'static PipeEntry> {
        self.all_larger().filter(|entry| !self.starts_itself(entry)).take(MOST_SIZES)
    }

    /// Such as do.
    pub(super) fn larger_that_start_it(&self) -> impl Iterator<Item = &'static PipeEntry> {
        self.all_larger().filter(|entry| self.starts_itself(entry)).take(MOST_SIZES)
    }

    fn all_larger(&self) -> impl Iterator<Item = &'static PipeEntry> {
        std::iter::successors(self.narrowest().and_then(catalog::next_larger), |entry| {
            catalog::next_larger(&entry.pipe)
        })
    }

    /// Whether so much runs back out of the line in a pipe that the pump starts itself again.
    fn starts_itself(&self, entry: &PipeEntry) -> bool {
        self.runs_back(&self.widened(entry)) >= live_volume(self)
    }

    /// What runs back out of a line at a stop.
    pub(super) fn runs_back(&self, line: &DischargeLine) -> Volume {
        let basin = &self.site.basin;
        let back = drain_back(line, basin.floor, basin.level(basin.off));
        if self.rest.held { back.with_valve } else { back.without_valve }
    }

    /// The pipe of the run with the smallest bore.
    fn narrowest(&self) -> Option<&Pipe> {
        self.site
            .discharge
            .runs
            .iter()
            .map(|run| &run.pipe)
            .reduce(|best, pipe| if pipe.bore < best.bore { pipe } else { best })
    }

    /// The largest relief hole, in whole sixty-fourths of an inch, that leaks no more than a share of what the pump
    /// moves. None when even a sixty-fourth leaks more.
    pub(super) fn largest_hole(&self, share: f64, level: Level) -> Option<Length> {
        Self::largest_drill(self.site.discharge.relief_hole?.diameter, |diameter| {
            let mut line = self.site.discharge.clone();
            line.relief_hole.as_mut()?.diameter = diameter;
            let point = *self.duty_on(&line, &self.pump.curve, level).point()?;
            Some(point.leak / point.pump_flow <= share)
        })
    }

    /// The largest drain hole likewise.
    pub(super) fn largest_drain_hole(&self, share: f64, level: Level) -> Option<Length> {
        Self::largest_drill(self.site.discharge.drain_hole?.diameter, |diameter| {
            let mut line = self.site.discharge.clone();
            line.drain_hole.as_mut()?.diameter = diameter;
            let point = *self.duty_on(&line, &self.pump.curve, level).point()?;
            Some(point.drained / point.pump_flow <= share)
        })
    }

    /// The largest drill, in whole sixty-fourths of an inch up to a diameter, that is small enough.
    fn largest_drill(most: Length, small_enough: impl Fn(Length) -> Option<bool>) -> Option<Length> {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held between 0 and 1024")]
        let most = (most.inch() * 64.0).clamp(0.0, 1024.0) as u32;
        (1..=most)
            .rev()
            .map(|size| Length::from_inch(f64::from(size) / 64.0))
            .find(|size| small_enough(*size) == Some(true))
    }

    /// The same line without its relief hole.
    pub(super) fn without_hole(&self) -> DischargeLine {
        DischargeLine { relief_hole: None, ..self.site.discharge.clone() }
    }
}
