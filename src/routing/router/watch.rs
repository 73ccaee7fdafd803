//! Looking on while a system is followed.
#![expect(clippy::indexing_slicing, reason = "indices come from a system that was checked, never from input")]

use crate::quantity::Volume;
use crate::routing::dense::Dense;
use crate::routing::rates::{Coming, Kernel, Rates, Running};

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
    pub(super) kernel: &'a Kernel,
    pub(super) coming: &'a Coming,
    pub(super) after_s: f64,
    /// The length of the step that it is the beginning of.
    pub(super) step_s: f64,
    pub(super) dense: &'a Dense,
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
        let system = &self.kernel.system;
        let stores = system.stores.len();
        let volumes: Vec<f64> = (0..stores).map(|store| self.dense.at(store, share)).collect();
        let mut rates = Rates::new(self.kernel);
        rates.find_pieces(self.kernel, &volumes);
        let after_s = self.after_s + inside_s;
        rates.at(self.kernel, self.coming, self.running, &volumes, after_s);
        let paths = system.paths.len();
        let seeps = system.seeps.len();
        Moments {
            volumes_m3: volumes,
            inflow_m3s: self
                .coming
                .inflow
                .iter()
                .map(|(q, growth, bend)| q + (growth + bend * after_s) * after_s)
                .collect(),
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
