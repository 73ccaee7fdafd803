//! Following a system through time.
#![expect(clippy::indexing_slicing, reason = "indices come from a system that was checked, never from input")]

mod engine;
mod parts;
mod switching;
mod watch;

pub use watch::{Moments, Recording, Stretch, Switch, Unwatched, Watch};

use super::RoutingError;
use super::path::PathKind;
use super::rates::{Coming, Forcing, Running};
use super::system::{Floats, System};
use super::totals::{Highest, Mark, Seen, Totals};
use crate::quantity::{Length, Level, Volume};
use engine::Engine;
use parts::Parts;
use switching::{Stop, Thresholds};

/// More switches than that within one stretch of inflow are given up.
const MOST_SWITCHES: u32 = 200_000;
/// A film of so much water that runs in at once when nothing more comes, so that a hollow is dry some day.
const LAST_FILM_M: f64 = 1e-5;
/// More steps than that in one stretch are given up: nothing in a yard takes so many.
const MOST_STEPS: u64 = 1_000_000;

/// A stretch of time that is followed.
#[derive(Clone, Debug)]
struct Course {
    coming: Coming,
    begin_s: f64,
    time_s: f64,
    steady: bool,
    switches: u32,
    most_steps: u64,
}

impl Course {
    /// Counts a switch; too many are an error.
    fn switched(&mut self) -> Result<(), ()> {
        self.switches += 1;
        if self.switches > MOST_SWITCHES { Err(()) } else { Ok(()) }
    }
}

/// A step that was tried: from when on in its course, how long, and up to which share and when it counts.
#[derive(Clone, Copy, Debug)]
struct Step {
    from_s: f64,
    length_s: f64,
    until_s: f64,
    share: f64,
}

/// Where what went along the ways in a step is known.
#[derive(Clone, Copy, Debug)]
enum Moved<'a> {
    /// In the whole.
    Together,
    /// In its parts: between which shares of the step above; whether the pumped store only filled.
    Apart { parts: &'a Parts, between: (f64, f64), filling: bool },
}

/// A system on its way through time.
#[derive(Clone, Debug)]
pub struct Router<'s> {
    system: &'s System,
    /// All stores together; what they hold always stands here.
    whole: Engine,
    /// The pumped store and the others, to be followed apart where that may be.
    parts: Option<Box<Parts>>,
    coming: Coming,
    tolerance_m: f64,
    start_m3: Vec<f64>,
    running: Running,
    power: bool,
    now_s: f64,
    totals: Totals,
    highest: Vec<Highest>,
    marks: Vec<(usize, f64, Seen)>,
    /// Volume at which each store lets out no more, with the way that empties it last.
    rest: Vec<Option<(f64, usize)>>,
    thresholds: Option<Thresholds>,
    last_stop: Option<Stop>,
    steps: u64,
}

impl<'s> Router<'s> {
    /// Sets a system up with its stores filled to levels (none: empty), the pumps at rest and powered.
    ///
    /// `tolerance` is the error of a level allowed in one step: a hundredth of a millimetre is plenty for a report.
    ///
    /// # Errors
    /// The system does not hang together.
    pub fn new(system: &'s System, levels: &[Level], marks: &[Mark], tolerance: Length) -> Result<Self, RoutingError> {
        system.check()?;
        if marks.iter().any(|mark| mark.store >= system.stores.len() || !mark.level.is_finite()) {
            return Err(RoutingError::BadStore);
        }
        let tolerance_m = tolerance.m().max(1e-12);
        let volumes: Vec<f64> = system
            .stores
            .iter()
            .enumerate()
            .map(|(index, store)| levels.get(index).map_or(0.0, |level| store.volume_at(*level).m3()))
            .collect();
        let thresholds = system.station.as_ref().map(|station| {
            let store = &system.stores[station.store];
            let pair = |floats: &Floats| (store.volume_m3(floats.on.m()), store.volume_m3(floats.off.m()));
            Thresholds {
                store: station.store,
                lead: pair(&station.lead),
                lag: station.lag.as_ref().map(pair),
                drain_back_m3: station.drain_back.m3(),
            }
        });
        let marks: Vec<(usize, f64, Seen)> = marks
            .iter()
            .map(|mark| {
                let volume = system.stores[mark.store].volume_m3(mark.level.m());
                let mut seen = Seen::default();
                if volumes[mark.store] > volume {
                    seen.rises(0.0);
                }
                (mark.store, volume, seen)
            })
            .collect();
        let highest = volumes.iter().map(|volume| Highest { volume_m3: *volume, at_s: 0.0 }).collect();
        let totals = Totals::none(system.stores.len(), system.paths.len(), system.seeps.len());
        Ok(Self {
            rest: rest(system),
            start_m3: volumes.clone(),
            whole: Engine::new(system.clone(), volumes, tolerance_m),
            parts: Parts::new(system, tolerance_m).map(Box::new),
            coming: Coming::default(),
            tolerance_m,
            system,
            running: Running::default(),
            power: true,
            now_s: 0.0,
            totals,
            highest,
            marks,
            thresholds,
            last_stop: None,
            steps: 0,
        })
    }

    /// The time, seconds from the start.
    pub fn now_s(&self) -> f64 {
        self.now_s
    }
    /// What was counted so far.
    pub fn totals(&self) -> &Totals {
        &self.totals
    }
    /// Which pumps run.
    pub fn running(&self) -> Running {
        self.running
    }
    /// What a store holds.
    pub fn volume(&self, store: usize) -> Volume {
        Volume::from_m3(self.whole.volumes.get(store).copied().unwrap_or(0.0))
    }
    /// The level of a store.
    pub fn level(&self, store: usize) -> Level {
        self.system.stores.get(store).map_or(Level::from_m(0.0), |known| known.level_at(self.volume(store)))
    }
    /// The most that a store held so far.
    pub fn highest(&self, store: usize) -> Highest {
        self.highest.get(store).copied().unwrap_or_default()
    }
    /// The highest level of a store so far, and when.
    pub fn highest_level(&self, store: usize) -> (Level, f64) {
        let highest = self.highest(store);
        let level = self
            .system
            .stores
            .get(store)
            .map_or(Level::from_m(0.0), |known| known.level_at(Volume::from_m3(highest.volume_m3)));
        (level, highest.at_s)
    }
    /// Forgets how high the stores stood, so that the highest of what follows is told.
    pub fn forget_highest(&mut self) {
        for (highest, volume) in self.highest.iter_mut().zip(&self.whole.volumes) {
            *highest = Highest { volume_m3: *volume, at_s: self.now_s };
        }
    }
    /// Forgets how long water stood above the watched levels, so that the longest of what follows is told. A time above
    /// one that is under way stays whole.
    pub fn forget_longest(&mut self) {
        for (_, _, seen) in &mut self.marks {
            seen.longest_s = 0.0;
        }
    }
    /// What was seen of a watched level, in the order given.
    pub fn seen(&self, mark: usize) -> Seen {
        self.marks.get(mark).map_or_else(Seen::default, |mark| mark.2)
    }
    /// Steps taken so far.
    pub fn steps(&self) -> u64 {
        self.steps
    }
    /// What the sums leave over: start + in - out - held, m³. Nothing but rounding.
    pub fn imbalance_m3(&self) -> f64 {
        let totals = &self.totals;
        let out: f64 = self
            .system
            .paths
            .iter()
            .zip(&totals.paths_m3)
            .filter(|(path, _)| path.to.is_none())
            .map(|(_, volume)| volume)
            .sum();
        let came: f64 = totals.inflow_m3.iter().chain(&totals.seeps_m3).sum();
        let held: f64 = self.whole.volumes.iter().zip(&self.start_m3).map(|(now, start)| now - start).sum();
        came - out - totals.left_by_pump_m3() - held
    }
    /// Whether no pump runs and every hollow and box that lets water out is down to where it lets out no more.
    pub fn is_at_rest(&self) -> bool {
        !self.running.any() && self.hollows_at_rest()
    }
    fn hollows_at_rest(&self) -> bool {
        self.rest.iter().zip(&self.whole.volumes).all(|(rest, volume)| rest.is_none_or(|(rest, _)| *volume <= rest))
    }

    /// Follows the system for a time, what comes in running straight; `forcing` is as at its start.
    ///
    /// # Errors
    /// The inflow does not fit, or the water could not be followed.
    pub fn run(&mut self, time_s: f64, forcing: &Forcing, watch: &mut impl Watch) -> Result<(), RoutingError> {
        let fits = forcing.inflow.len() == self.system.stores.len() && forcing.table.len() == self.system.seeps.len();
        let good =
            forcing.inflow.iter().chain(&forcing.table).all(|(value, slope)| value.is_finite() && slope.is_finite());
        if !fits || !good || !time_s.is_finite() {
            return Err(RoutingError::BadForcing);
        }
        if time_s <= 0.0 {
            return Ok(());
        }
        self.last_stop = None;
        self.last_films(forcing);
        while let Some(start) = self.due() {
            self.switch(start.1, start.0, watch);
        }
        let mut course = Course {
            coming: std::mem::take(&mut self.coming),
            begin_s: self.now_s,
            time_s,
            steady: forcing.is_steady(),
            switches: 0,
            most_steps: self.steps + MOST_STEPS,
        };
        course.coming.take(forcing);
        if let Some(parts) = &mut self.parts {
            parts.take(&course.coming);
        }
        let followed = self.follow(&mut course, watch);
        self.coming = course.coming;
        followed?;
        self.totals_of_inflow(forcing, time_s);
        self.now_s = course.begin_s + time_s;
        Ok(())
    }

    fn follow(&mut self, course: &mut Course, watch: &mut impl Watch) -> Result<(), RoutingError> {
        let mut after_s = 0.0;
        let mut together = false;
        while after_s < course.time_s {
            if self.steps > course.most_steps {
                return Err(RoutingError::Stuck { at_s: self.now_s });
            }
            self.choose_parts();
            if let Some(mut parts) = self.parts.take_if(|parts| parts.apart) {
                together = false;
                let stepped = self.step_apart(&mut parts, course, after_s, watch);
                self.parts = Some(parts);
                after_s = stepped?;
                continue;
            }
            if !together || !self.whole.fresh {
                self.whole.begin(&course.coming, self.running, after_s);
                together = true;
            }
            after_s = self.step_together(course, after_s, watch)?;
        }
        Ok(())
    }

    /// A step of all stores together; gives the time after it.
    fn step_together(
        &mut self,
        course: &mut Course,
        after_s: f64,
        watch: &mut impl Watch,
    ) -> Result<f64, RoutingError> {
        let left_s = course.time_s - after_s;
        let floats = self.floats().into_iter().flatten().map(|float| self.whole.likely_s(float.store, float.volume));
        let likely_s = floats.fold(self.whole.likely_bend_s(), f64::min);
        let step_s = self.whole.next_step_s(likely_s, left_s);
        let taken_s = self
            .whole
            .controlled(&course.coming, self.running, (after_s, step_s), &mut self.steps)
            .map_err(|_| RoutingError::Stuck { at_s: self.now_s })?;
        let pumped = self.thresholds.map_or(0, |thresholds| thresholds.store);
        let switch = self.first_switch(&self.whole.dense, pumped);
        let bend = self.whole.first_bend(switch.map_or(1.0, |(share, _)| share));
        let switch = switch.filter(|_| bend.is_none());
        let share = bend.map(|(share, ..)| share).or(switch.map(|(share, _)| share)).unwrap_or(1.0);
        let end_s = if share >= 1.0 && taken_s >= left_s { course.time_s } else { after_s + share * taken_s };
        let step = Step { from_s: after_s, length_s: taken_s, until_s: end_s, share };
        self.accept(course, &step, &Moved::Together, watch);
        self.now_s = course.begin_s + end_s;
        let mut after_s = end_s;
        if let Some((_, float)) = switch {
            course.switched().map_err(|()| RoutingError::TooManySwitches { at_s: self.now_s })?;
            self.switch(float.on, float.lead, watch);
            while let Some(next) = self.due() {
                self.switch(next.1, next.0, watch);
            }
            if course.steady && !self.running.any() {
                after_s += self.count_cycles(course.time_s - after_s, watch);
                self.now_s = course.begin_s + after_s;
            }
            self.whole.rates.find_pieces(&self.whole.kernel, &self.whole.volumes);
        }
        if let Some((_, store, up)) = bend {
            self.whole.bend(store, up);
        }
        self.whole.go_on(&course.coming, self.running, after_s);
        Ok(after_s)
    }

    fn totals_of_inflow(&mut self, forcing: &Forcing, time_s: f64) {
        for (total, (inflow, slope)) in self.totals.inflow_m3.iter_mut().zip(&forcing.inflow) {
            *total += (inflow + 0.5 * slope * time_s) * time_s;
        }
    }

    /// Makes the step just tried the state, and counts what happened in it.
    fn accept(&mut self, course: &Course, step: &Step, moved: &Moved<'_>, watch: &mut impl Watch) {
        let (dense, share) = (&self.whole.dense, step.share);
        let (start_s, end_s) = (course.begin_s + step.from_s, course.begin_s + step.until_s);
        for (store, highest) in self.highest.iter_mut().enumerate() {
            let end = dense.at(store, share);
            if end > highest.volume_m3 {
                *highest = Highest { volume_m3: end, at_s: end_s };
            }
            if let Some(top_at) = dense.summit(store, share) {
                let top = dense.at(store, top_at);
                if top > highest.volume_m3 {
                    *highest = Highest { volume_m3: top, at_s: start_s + top_at * step.length_s };
                }
            }
        }
        for (store, volume, seen) in &mut self.marks {
            let mut from = 0.0;
            // up and down and up again is the most that a cubic can do
            for _ in 0..4 {
                let above = seen.since_s.is_some();
                let Some(crossing) = dense.crosses(*store, *volume, !above, (from, share)) else { break };
                let at_s = start_s + crossing * step.length_s;
                if above {
                    seen.falls(at_s);
                } else {
                    seen.rises(at_s);
                }
                from = crossing;
            }
        }
        let (paths, pumps) = (self.system.paths.len(), self.whole.kernel.pumps);
        let totals = &mut self.totals;
        let count = |flow: usize, volume: f64| {
            if flow < paths {
                totals.paths_m3[flow] += volume;
            } else if flow < pumps {
                totals.seeps_m3[flow - paths] += volume;
            } else {
                totals.pumped_m3 += volume;
            }
        };
        match moved {
            Moved::Together => {
                let (whole, mut count) = (&self.whole, count);
                for flow in 0..whole.kernel.ends.len() {
                    count(flow, whole.stepper.moved(&whole.kernel, &whole.rates, flow, share));
                }
            }
            Moved::Apart { parts, between, filling } => parts.count(*between, (share, *filling), count, paths, pumps),
        }
        if self.running.lead {
            self.totals.lead_s += end_s - start_s;
        }
        if self.running.lag {
            self.totals.lag_s += end_s - start_s;
        }
        watch.stretch(&Stretch {
            from_s: start_s,
            until_s: end_s,
            step_s: step.length_s,
            running: self.running,
            kernel: &self.whole.kernel,
            coming: &course.coming,
            after_s: step.from_s,
            dense,
        });
        for (store, volume) in self.whole.volumes.iter_mut().enumerate() {
            *volume = self.whole.dense.at(store, share);
        }
    }

    /// Lets the last film of hollows that get no more run off at once.
    fn last_films(&mut self, forcing: &Forcing) {
        for store in 0..self.whole.volumes.len() {
            let Some((rest, path)) = self.rest[store] else { continue };
            let over = self.whole.volumes[store] - rest;
            if over <= 0.0 || forcing.inflow[store] != (0.0, 0.0) {
                continue;
            }
            let (level_m, _) = self.system.stores[store].level_and_area(self.whole.volumes[store]);
            let (rest_m, _) = self.system.stores[store].level_and_area(rest);
            if level_m - rest_m >= LAST_FILM_M
                || self.change_apart(store).unwrap_or(self.whole.rates.held[store].change) > 0.0
            {
                continue;
            }
            self.whole.volumes[store] = rest;
            self.whole.fresh = false;
            if let Some(parts) = &mut self.parts {
                parts.jumped();
            }
            self.totals.paths_m3[path] += over;
            if let Some(to) = self.system.paths[path].to {
                self.whole.volumes[to] += over;
                self.jumped(to);
            }
            self.jumped(store);
        }
    }
}

/// Where each store comes to rest: the lowest level at which it still lets water out, and by which way.
fn rest(system: &System) -> Vec<Option<(f64, usize)>> {
    let pumped = system.station.as_ref().map(|station| station.store);
    (0..system.stores.len())
        .map(|store| {
            if pumped == Some(store) {
                return None;
            }
            let mut lowest: Option<(f64, usize)> = None;
            for (index, path) in system.paths.iter().enumerate().filter(|(_, path)| path.from == store) {
                let level_m = match &path.kind {
                    PathKind::Crest { level, .. } => level.m(),
                    PathKind::Grate { rim, .. } => rim.m(),
                    PathKind::Pipe(pipe) => pipe.up_m(),
                };
                if lowest.is_none_or(|(known, _)| level_m < known) {
                    lowest = Some((level_m, index));
                }
            }
            lowest.map(|(level_m, index)| (system.stores[store].volume_m3(level_m), index))
        })
        .collect()
}
