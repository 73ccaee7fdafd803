//! Following a system through time.
#![expect(clippy::indexing_slicing, reason = "indices come from a system that was checked, never from input")]

mod steps;
mod switching;
mod watch;

pub use watch::{Moments, Stretch, Switch, Unwatched, Watch};

use super::RoutingError;
use super::dense::Dense;
use super::path::PathKind;
use super::rates::{Forcing, Kernel, Rates, Running};
use super::rosenbrock::Stepper;
use super::system::{Floats, System};
use super::totals::{Highest, Mark, Seen, Totals};
use crate::quantity::{Length, Level, Volume};
use switching::{Stop, Thresholds};

/// More switches than that within one stretch of inflow are given up.
const MOST_SWITCHES: u32 = 200_000;
/// A film of so much water that runs in at once when nothing more comes, so that a hollow is dry some day.
const LAST_FILM_M: f64 = 1e-5;
/// More steps than that in one stretch are given up: nothing in a yard takes so many.
const MOST_STEPS: u64 = 1_000_000;

/// A system on its way through time.
#[derive(Clone, Debug)]
pub struct Router<'s> {
    system: &'s System,
    kernel: Kernel<'s>,
    stepper: Stepper,
    dense: Dense,
    rates: Rates,
    /// Whether the rates are those of the volumes and pumps as they are.
    fresh: bool,
    tolerance_m: f64,
    volumes: Vec<f64>,
    start_m3: Vec<f64>,
    running: Running,
    power: bool,
    now_s: f64,
    step_s: f64,
    /// Length and error of the last step that was taken.
    before: Option<(f64, f64)>,
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
        let kernel = Kernel::new(system);
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
            stepper: Stepper::new(&kernel),
            dense: Dense::new(system.stores.len()),
            rates: Rates::new(&kernel),
            fresh: false,
            tolerance_m: tolerance.m().max(1e-12),
            rest: rest(system),
            start_m3: volumes.clone(),
            system,
            kernel,
            volumes,
            running: Running::default(),
            power: true,
            now_s: 0.0,
            step_s: 0.0,
            before: None,
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
        Volume::from_m3(self.volumes.get(store).copied().unwrap_or(0.0))
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
        for (highest, volume) in self.highest.iter_mut().zip(&self.volumes) {
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
        let held: f64 = self.volumes.iter().zip(&self.start_m3).map(|(now, start)| now - start).sum();
        came - out - totals.left_by_pump_m3() - held
    }
    /// Whether no pump runs and every hollow and box that lets water out is down to where it lets out no more.
    pub fn is_at_rest(&self) -> bool {
        !self.running.any() && self.hollows_at_rest()
    }
    fn hollows_at_rest(&self) -> bool {
        self.rest.iter().zip(&self.volumes).all(|(rest, volume)| rest.is_none_or(|(rest, _)| *volume <= rest))
    }

    /// Follows the system for a time, what comes in running straight; `forcing` is as at its start.
    ///
    /// # Errors
    /// The inflow does not fit, or the water could not be followed.
    pub fn run(&mut self, time_s: f64, forcing: &Forcing, watch: &mut impl Watch) -> Result<(), RoutingError> {
        let fits = forcing.inflow.len() == self.volumes.len() && forcing.table.len() == self.system.seeps.len();
        let good =
            forcing.inflow.iter().chain(&forcing.table).all(|(value, slope)| value.is_finite() && slope.is_finite());
        if !fits || !good || !time_s.is_finite() {
            return Err(RoutingError::BadForcing);
        }
        if time_s <= 0.0 {
            return Ok(());
        }
        let steady = forcing.is_steady();
        self.last_stop = None;
        let (begin_s, mut after_s) = (self.now_s, 0.0);
        let mut switches = 0_u32;
        let most_steps = self.steps + MOST_STEPS;
        self.last_films(forcing);
        while let Some(start) = self.due() {
            self.switch(start.1, start.0, watch);
        }
        if self.fresh {
            self.rates.forced(&self.kernel, forcing);
        } else {
            self.rates.find_pieces(&self.kernel, &self.volumes);
            self.rates.at(&self.kernel, forcing, self.running, &self.volumes, after_s);
        }
        if self.step_s <= 0.0 {
            self.step_s = time_s;
        }
        while after_s < time_s {
            if self.steps > most_steps {
                return Err(RoutingError::Stuck { at_s: self.now_s });
            }
            let left_s = time_s - after_s;
            let mut step_s = self.step_s.min(self.likely_s()).min(left_s);
            if left_s < step_s * 1.2 {
                step_s = left_s;
            }
            let taken = self.controlled(forcing, after_s, step_s)?;
            let switch = self.first_switch();
            let bend = self.first_bend(switch.map_or(1.0, |(share, _)| share));
            let switch = switch.filter(|_| bend.is_none());
            let share = bend.map(|(share, ..)| share).or(switch.map(|(share, _)| share)).unwrap_or(1.0);
            let end_s = if share >= 1.0 && taken >= left_s { time_s } else { after_s + share * taken };
            self.accept(forcing, (begin_s, after_s, taken, end_s), share, watch);
            after_s = end_s;
            self.now_s = begin_s + after_s;
            if let Some((_, float)) = switch {
                switches += 1;
                if switches > MOST_SWITCHES {
                    return Err(RoutingError::TooManySwitches { at_s: self.now_s });
                }
                self.switch(float.on, float.lead, watch);
                while let Some(next) = self.due() {
                    self.switch(next.1, next.0, watch);
                }
                if steady && !self.running.any() {
                    after_s += self.count_cycles(time_s - after_s, watch);
                    self.now_s = begin_s + after_s;
                }
            }
            if let Some((_, store, up)) = bend {
                let piece = self.system.stores[store].next_piece(self.rates.pieces[store], up);
                self.rates.pieces[store] = piece;
            }
            self.rates.at(&self.kernel, forcing, self.running, &self.volumes, after_s);
            self.fresh = true;
        }
        self.totals_of_inflow(forcing, time_s);
        self.now_s = begin_s + time_s;
        Ok(())
    }

    fn totals_of_inflow(&mut self, forcing: &Forcing, time_s: f64) {
        for (total, (inflow, slope)) in self.totals.inflow_m3.iter_mut().zip(&forcing.inflow) {
            *total += (inflow + 0.5 * slope * time_s) * time_s;
        }
    }

    /// Makes the step just tried the state, and counts what happened in it.
    fn accept(
        &mut self,
        forcing: &Forcing,
        (begin_s, from_s, step_s, until_s): (f64, f64, f64, f64),
        share: f64,
        watch: &mut impl Watch,
    ) {
        let dense = &self.dense;
        let (start_s, end_s) = (begin_s + from_s, begin_s + until_s);
        for (store, highest) in self.highest.iter_mut().enumerate() {
            let end = dense.at(store, share);
            if end > highest.volume_m3 {
                *highest = Highest { volume_m3: end, at_s: end_s };
            }
            if let Some(top_at) = dense.summit(store, share) {
                let top = dense.at(store, top_at);
                if top > highest.volume_m3 {
                    *highest = Highest { volume_m3: top, at_s: start_s + top_at * step_s };
                }
            }
        }
        for (store, volume, seen) in &mut self.marks {
            let mut from = 0.0;
            // up and down and up again is the most that a cubic can do
            for _ in 0..4 {
                let above = seen.since_s.is_some();
                let Some(crossing) = dense.crosses(*store, *volume, !above, (from, share)) else { break };
                let at_s = start_s + crossing * step_s;
                if above {
                    seen.falls(at_s);
                } else {
                    seen.rises(at_s);
                }
                from = crossing;
            }
        }
        let moved = |flow: usize| self.stepper.moved(&self.kernel, &self.rates, flow, share);
        let paths = self.system.paths.len();
        for (path, total) in self.totals.paths_m3.iter_mut().enumerate() {
            *total += moved(path);
        }
        for (seep, total) in self.totals.seeps_m3.iter_mut().enumerate() {
            *total += moved(paths + seep);
        }
        if self.thresholds.is_some() {
            self.totals.pumped_m3 += moved(paths + self.system.seeps.len());
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
            step_s,
            running: self.running,
            kernel: &self.kernel,
            forcing,
            after_s: from_s,
            dense,
        });
        for (store, volume) in self.volumes.iter_mut().enumerate() {
            *volume = self.dense.at(store, share);
        }
    }

    /// Lets the last film of hollows that get no more run off at once.
    fn last_films(&mut self, forcing: &Forcing) {
        for store in 0..self.volumes.len() {
            let Some((rest, path)) = self.rest[store] else { continue };
            let over = self.volumes[store] - rest;
            if over <= 0.0 || forcing.inflow[store] != (0.0, 0.0) {
                continue;
            }
            let (level_m, _) = self.system.stores[store].level_and_area(self.volumes[store]);
            let (rest_m, _) = self.system.stores[store].level_and_area(rest);
            if level_m - rest_m >= LAST_FILM_M || self.rates.change[store] > 0.0 {
                continue;
            }
            self.volumes[store] = rest;
            self.fresh = false;
            self.totals.paths_m3[path] += over;
            if let Some(to) = self.system.paths[path].to {
                self.volumes[to] += over;
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
