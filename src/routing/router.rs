//! Following a system through time.
#![expect(clippy::indexing_slicing, reason = "indices come from a system that was checked, never from input")]

use super::RoutingError;
use super::dense::Dense;
use super::rates::{Forcing, Kernel, Rates, Running};
use super::rosenbrock::{Start, Stepper};
use super::system::{Floats, System};
use super::totals::{Highest, Mark, Seen, Totals};
use crate::quantity::{Length, Level, Volume};

/// What a float or the power did.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Switch {
    /// When, seconds from the start.
    pub at_s: f64,
    /// Which pump: 1 or 2.
    pub pump: u8,
    /// Whether it started.
    pub on: bool,
}

/// A piece of time that was followed, for who wants to see inside it.
#[derive(Clone, Copy, Debug)]
pub struct Stretch<'a> {
    /// When it began, seconds from the start.
    pub from_s: f64,
    /// When it ended.
    pub until_s: f64,
    /// Which pumps ran.
    pub running: Running,
    kernel: &'a Kernel<'a>,
    forcing: &'a Forcing,
    after_s: f64,
    /// The length of the step that it is the beginning of.
    step_s: f64,
    dense: &'a Dense,
}

/// Levels and flows of one moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Moments {
    /// What each store holds, m³.
    pub volumes_m3: Vec<f64>,
    /// What comes into each store from outside, m³/s.
    pub inflow_m3s: Vec<f64>,
    /// What goes along each path, m³/s.
    pub paths_m3s: Vec<f64>,
    /// What seeps in at each seep, m³/s.
    pub seeps_m3s: Vec<f64>,
    /// What the pumps take out, m³/s.
    pub pumped_m3s: f64,
}

impl Stretch<'_> {
    fn share(&self, time_s: f64) -> f64 {
        let inside_s = time_s.clamp(self.from_s, self.until_s) - self.from_s;
        if self.step_s > 0.0 { (inside_s / self.step_s).min(1.0) } else { 1.0 }
    }
    /// What a store holds at a time within it, m³; nothing for a store that is not there.
    pub fn volume_m3(&self, store: usize, time_s: f64) -> f64 {
        if store < self.kernel.system.stores.len() { self.dense.at(store, self.share(time_s)) } else { 0.0 }
    }
    /// When a store is first above a volume (`up`) or below it, from a time within it on.
    pub fn crosses_s(&self, store: usize, volume: Volume, up: bool, from_s: f64) -> Option<f64> {
        if store >= self.kernel.system.stores.len() {
            return None;
        }
        // a crossing that was just found must not be found again by its last digit
        let from = if from_s > self.from_s { self.share(from_s) + 1e-9 } else { 0.0 };
        let within = (from, self.share(self.until_s));
        self.dense.crosses(store, volume.m3(), up, within).map(|share| self.from_s + share * self.step_s)
    }
    /// Levels and flows at a time within it.
    pub fn at(&self, time_s: f64) -> Moments {
        let inside_s = time_s.clamp(self.from_s, self.until_s) - self.from_s;
        let share = self.share(time_s);
        let system = self.kernel.system;
        let stores = system.stores.len();
        let volumes: Vec<f64> = (0..stores).map(|store| self.dense.at(store, share)).collect();
        let mut rates = Rates::new(self.kernel);
        rates.find_pieces(self.kernel, &volumes);
        let after_s = self.after_s + inside_s;
        rates.at(self.kernel, self.forcing, self.running, &volumes, after_s);
        let paths = system.paths.len();
        let seeps = system.seeps.len();
        Moments {
            volumes_m3: volumes,
            inflow_m3s: self.forcing.inflow.iter().map(|(q, slope)| q + slope * after_s).collect(),
            paths_m3s: rates.flows[..paths].to_vec(),
            seeps_m3s: rates.flows[paths..paths + seeps].to_vec(),
            pumped_m3s: rates.flows.get(paths + seeps).copied().unwrap_or(0.0),
        }
    }
}

/// Who looks on while a system is followed. What it sees does not change with who looks.
pub trait Watch {
    /// A stretch of time was followed.
    fn stretch(&mut self, _stretch: &Stretch<'_>) {}
    /// A pump was switched.
    fn switched(&mut self, _switch: Switch) {}
    /// So many equal cycles, each so long, were counted without being followed, up to a time.
    fn repeated(&mut self, _cycles: f64, _each_s: f64, _until_s: f64) {}
}

/// Nobody looks on.
#[derive(Clone, Copy, Debug, Default)]
pub struct Unwatched;
impl Watch for Unwatched {}

/// More switches than that within one stretch of inflow are given up.
const MOST_SWITCHES: u32 = 200_000;
/// A step is not shortened to a smaller share of a second.
const SHORTEST_STEP_S: f64 = 1e-9;
/// A film of so much water that runs in at once when nothing more comes, so that a hollow is dry some day.
const LAST_FILM_M: f64 = 1e-5;
/// A step is so much shorter than its error would allow.
const SAFETY: f64 = 0.9;
/// A smaller error, as a share of what is allowed, counts as this.
const LEAST_ERROR: f64 = 1e-4;
/// How much longer a step is than it likely takes to a float.
const BEYOND: f64 = 1.1;
/// A piece of a curve goes on so much of the tolerance beyond its ends.
const PIECE_BEYOND: f64 = 1e-2;
/// More steps than that in one stretch are given up: nothing in a yard takes so many.
const MOST_STEPS: u64 = 1_000_000;
/// Two stops at a float are one state if all cycles counted together change it by no more than so much of the tolerance.
const SAME_STOP: f64 = 1e-6;

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

/// The floats as volumes of their store.
#[derive(Clone, Copy, Debug)]
struct Thresholds {
    store: usize,
    lead: (f64, f64),
    lag: Option<(f64, f64)>,
    drain_back_m3: f64,
}

/// The state when all pumps last stood still within one steady stretch.
#[derive(Clone, Debug)]
struct Stop {
    at_s: f64,
    volumes: Vec<f64>,
    totals: Totals,
    marks: Vec<(f64, u64)>,
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

    /// Switches the power of the pumps.
    pub fn power(&mut self, on: bool, watch: &mut impl Watch) {
        self.power = on;
        self.last_stop = None;
        if !on {
            self.switch(false, true, watch);
            self.switch(false, false, watch);
        }
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

    /// Takes a step small enough and says how long it is; sets the length of the next.
    ///
    /// The next step is foreseen from the errors of the last two (Gustafsson, as Hairer and Wanner give it in section
    /// IV.8): while the errors grow, as in a hollow that begins to pond, it is no longer than that allows.
    fn controlled(&mut self, forcing: &Forcing, after_s: f64, mut step_s: f64) -> Result<f64, RoutingError> {
        let mut wanted_s = self.step_s;
        let mut rejected = false;
        loop {
            self.try_step(forcing, after_s, step_s);
            self.steps += 1;
            let mut worst = 0.0_f64;
            for (store, ((error, end), (_, begins_m2))) in
                self.stepper.error.iter().zip(self.stepper.ends()).zip(&self.rates.levels).enumerate()
            {
                // a hollow that runs empty has less surface at the end, and the same volume is more of a level there
                let ends_m2 =
                    self.system.stores[store].level_and_area_in(self.rates.pieces[store], self.volumes[store] + end).1;
                worst = worst.max((error / (self.tolerance_m * begins_m2.min(ends_m2))).abs());
            }
            if worst <= 1.0 {
                let worst = worst.max(LEAST_ERROR);
                let mut grow = SAFETY / fourth_root(worst);
                if let Some((before_s, before)) = self.before {
                    grow = grow.min(SAFETY * step_s / before_s * fourth_root(before / (worst * worst)));
                }
                let grow = grow.clamp(0.2, if rejected { 1.0 } else { 6.0 });
                self.before = Some((step_s, worst));
                // a step cut short by the end of the stretch says nothing against a longer one
                let next_s = if step_s < wanted_s { wanted_s.max(step_s * grow) } else { step_s * grow };
                self.step_s = next_s.min(step_s * 1e6);
                self.stepper.inside(&self.volumes, &mut self.dense);
                return Ok(step_s);
            }
            if step_s <= SHORTEST_STEP_S {
                return Err(RoutingError::Stuck { at_s: self.now_s });
            }
            let shrink = if worst.is_finite() { (SAFETY / fourth_root(worst)).clamp(0.1, 0.8) } else { 0.1 };
            step_s = (step_s * shrink).max(SHORTEST_STEP_S);
            wanted_s = step_s;
            rejected = true;
        }
    }

    fn try_step(&mut self, forcing: &Forcing, after_s: f64, step_s: f64) {
        let start = Start {
            kernel: &self.kernel,
            forcing,
            running: self.running,
            volumes: &self.volumes,
            after_s,
            rates: &self.rates,
        };
        self.stepper.step(start, step_s);
    }

    /// A little more than the time until a float switches or a curve bends, if all goes on as it does now: a longer step
    /// would be cut short, and what lies beyond would spoil it.
    fn likely_s(&self) -> f64 {
        let until = |store: usize, volume: f64| {
            let time_s = (volume - self.volumes[store]) / self.rates.change[store];
            if time_s > 0.0 { time_s * BEYOND } else { f64::INFINITY }
        };
        let floats = self.floats().into_iter().flatten().map(|float| until(float.store, float.volume));
        let bends = self.rates.pieces.iter().enumerate().flat_map(|(store, piece)| {
            let (from, to) = self.system.stores[store].piece_between(*piece);
            [until(store, from), until(store, to)]
        });
        floats.chain(bends).fold(f64::INFINITY, f64::min).max(SHORTEST_STEP_S)
    }

    /// The floats that can switch now.
    fn floats(&self) -> [Option<Float>; 2] {
        let Some(thresholds) = self.thresholds.filter(|_| self.power) else { return [None, None] };
        let float = |(on, off): (f64, f64), runs: bool, lead: bool| Float {
            store: thresholds.store,
            volume: if runs { off } else { on },
            on: !runs,
            lead,
        };
        [
            Some(float(thresholds.lead, self.running.lead, true)),
            thresholds.lag.map(|lag| float(lag, self.running.lag, false)),
        ]
    }

    /// A pump that should switch where the water stands: (whether it is the first, whether it starts).
    fn due(&self) -> Option<(bool, bool)> {
        self.floats().into_iter().flatten().find_map(|float| {
            let now = self.volumes[float.store];
            let slack = 1e-12 * float.volume.abs();
            let reached = if float.on { now >= float.volume - slack } else { now <= float.volume + slack };
            reached.then_some((float.lead, float.on))
        })
    }

    /// The first float that the step just tried reaches: at which share of it.
    fn first_switch(&self) -> Option<(f64, Float)> {
        let mut first: Option<(f64, Float)> = None;
        for float in self.floats().into_iter().flatten() {
            let crossing = self.dense.crosses(float.store, float.volume, float.on, (0.0, 1.0));
            let Some(share) = crossing else { continue };
            if first.as_ref().is_none_or(|(before, _)| share < *before) {
                first = Some((share, float));
            }
        }
        first
    }

    /// The first store that comes to the end of its piece of curve in the first share of the step just tried: at which
    /// share, which store, and whether upwards.
    fn first_bend(&self, within: f64) -> Option<(f64, usize, bool)> {
        let dense = &self.dense;
        let mut first: Option<(f64, usize, bool)> = None;
        for (store, piece) in self.rates.pieces.iter().enumerate() {
            let (from, to) = self.system.stores[store].piece_between(*piece);
            // a little beyond its ends, so that water that stands at a bend does not go to and fro between two pieces
            let beyond = PIECE_BEYOND * self.tolerance_m * self.rates.levels[store].1;
            for (bound, up) in [(from - beyond, false), (to + beyond, true)] {
                let Some(share) = dense.crosses(store, bound, up, (0.0, within)) else { continue };
                if first.is_none_or(|(before, ..)| share < before) {
                    first = Some((share, store, up));
                }
            }
        }
        first
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
        let moved = |flow: usize| self.stepper.moved(flow, share);
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

    /// Switches a pump, and lets the line run back when the last one stops.
    fn switch(&mut self, on: bool, lead: bool, watch: &mut impl Watch) {
        let before = self.running;
        let slot = if lead { &mut self.running.lead } else { &mut self.running.lag };
        if *slot == on {
            return;
        }
        *slot = on;
        self.fresh = false;
        if on {
            let starts = if lead { &mut self.totals.lead_starts } else { &mut self.totals.lag_starts };
            *starts += 1;
        }
        watch.switched(Switch { at_s: self.now_s, pump: if lead { 1 } else { 2 }, on });
        if before.any()
            && !self.running.any()
            && let Some(thresholds) = self.thresholds
        {
            self.volumes[thresholds.store] += thresholds.drain_back_m3;
            self.totals.ran_back_m3 += thresholds.drain_back_m3;
            self.jumped(thresholds.store);
            self.rates.find_pieces(&self.kernel, &self.volumes);
        }
    }

    /// Looks at highest and marks after water was added at once.
    fn jumped(&mut self, store: usize) {
        let volume = self.volumes[store];
        if volume > self.highest[store].volume_m3 {
            self.highest[store] = Highest { volume_m3: volume, at_s: self.now_s };
        }
        for (marked, mark, seen) in &mut self.marks {
            if *marked == store && seen.since_s.is_none() && volume > *mark {
                seen.rises(self.now_s);
            } else if *marked == store && seen.since_s.is_some() && volume <= *mark {
                seen.falls(self.now_s);
            }
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

    /// Counts whole cycles where two stops of the pumps in a row found everything the same; gives the time they take.
    fn count_cycles(&mut self, left_s: f64, watch: &mut impl Watch) -> f64 {
        let now: Vec<(f64, u64)> = self.marks.iter().map(|mark| (mark.2.above_s, mark.2.times)).collect();
        let mut skipped_s = 0.0;
        if let Some(stop) = &self.last_stop {
            let cycle_s = self.now_s - stop.at_s;
            let cycles = (left_s / cycle_s - 1e-9).floor();
            // what is left of a change once all cycles have passed must be nothing beside the error of a step
            let same = self.volumes.iter().zip(&stop.volumes).enumerate().all(|(store, (now, then))| {
                (now - then).abs() * cycles.max(1.0) <= SAME_STOP * self.tolerance_m * self.rates.levels[store].1
            });
            if cycle_s > 0.0 && cycles >= 1.0 && same {
                skipped_s = cycles * cycle_s;
                self.totals.repeat(&stop.totals, cycles);
                for ((_, _, seen), (above_s, times)) in self.marks.iter_mut().zip(&stop.marks) {
                    seen.above_s += cycles * (seen.above_s - above_s);
                    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "below 2^53")]
                    let more = (seen.times - times) * cycles as u64;
                    seen.times += more;
                    if let Some(since_s) = seen.since_s.as_mut().filter(|since_s| **since_s > stop.at_s) {
                        *since_s += skipped_s;
                    }
                }
                watch.repeated(cycles, cycle_s, self.now_s + skipped_s);
            }
        }
        self.last_stop = (skipped_s == 0.0).then(|| Stop {
            at_s: self.now_s,
            volumes: self.volumes.clone(),
            totals: self.totals.clone(),
            marks: now,
        });
        skipped_s
    }
}

/// A float that can switch.
#[derive(Clone, Copy, Debug)]
struct Float {
    store: usize,
    volume: f64,
    on: bool,
    lead: bool,
}

fn fourth_root(value: f64) -> f64 {
    value.sqrt().sqrt()
}

/// Where each store comes to rest: the lowest level at which it still lets water out, and by which way.
fn rest(system: &System) -> Vec<Option<(f64, usize)>> {
    use super::path::PathKind;
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
