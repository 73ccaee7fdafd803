//! Looking on while a system is followed.
#![expect(clippy::indexing_slicing, reason = "indices come from a system that was checked, never from input")]

use crate::quantity::Volume;
use crate::routing::dense::{Cubic, Dense};
use crate::routing::rates::{Coming, Kernel, Rates, Running, come};
use crate::routing::system::System;

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
            inflow_m3s: self.coming.inflow.iter().map(|inflow| come(*inflow, after_s)).collect(),
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

impl<A: Watch, B: Watch> Watch for (A, B) {
    fn stretch(&mut self, stretch: &Stretch<'_>) {
        self.0.stretch(stretch);
        self.1.stretch(stretch);
    }
    fn switched(&mut self, switch: Switch) {
        self.0.switched(switch);
        self.1.switched(switch);
    }
    fn repeated(&mut self, cycles: f64, each_s: f64, until_s: f64) {
        self.0.repeated(cycles, each_s, until_s);
        self.1.repeated(cycles, each_s, until_s);
    }
}

impl<W: Watch> Watch for &mut W {
    fn stretch(&mut self, stretch: &Stretch<'_>) {
        (**self).stretch(stretch);
    }
    fn switched(&mut self, switch: Switch) {
        (**self).switched(switch);
    }
    fn repeated(&mut self, cycles: f64, each_s: f64, until_s: f64) {
        (**self).repeated(cycles, each_s, until_s);
    }
}

/// All that was to be seen while a system was followed, to be looked at again without following it.
#[derive(Clone, Debug, Default)]
pub struct Recording {
    happened: Vec<Happened>,
    comings: Vec<Coming>,
    /// Those of each stretch, one after the other.
    cubics: Vec<Cubic>,
}

/// Stretches that room is made for: more than most storms have.
const STRETCHES: usize = 512;

#[derive(Clone, Copy, Debug)]
enum Happened {
    /// With the place of what came.
    Stretch {
        from_s: f64,
        until_s: f64,
        running: Running,
        coming: usize,
        after_s: f64,
        step_s: f64,
    },
    Switched(Switch),
    Repeated {
        cycles: f64,
        each_s: f64,
        until_s: f64,
    },
}

impl Watch for Recording {
    fn stretch(&mut self, stretch: &Stretch<'_>) {
        if self.happened.is_empty() {
            // to move what has been kept, again and again, takes longer than to make room for most storms
            self.happened.reserve(STRETCHES);
            self.cubics.reserve(STRETCHES * stretch.dense.cubics().len());
        }
        if self.comings.last() != Some(stretch.coming) {
            self.comings.push(stretch.coming.clone());
        }
        self.cubics.extend_from_slice(stretch.dense.cubics());
        let Stretch { from_s, until_s, running, after_s, step_s, .. } = *stretch;
        let coming = self.comings.len() - 1;
        self.happened.push(Happened::Stretch { from_s, until_s, running, coming, after_s, step_s });
    }
    fn switched(&mut self, switch: Switch) {
        self.happened.push(Happened::Switched(switch));
    }
    fn repeated(&mut self, cycles: f64, each_s: f64, until_s: f64) {
        self.happened.push(Happened::Repeated { cycles, each_s, until_s });
    }
}

impl Recording {
    /// Shows all again, in order, as it was seen: of the system that it was made with, nothing of another.
    pub fn again(&self, system: &System, watch: &mut impl Watch) {
        let kernel = Kernel::new(system.clone());
        let stores = system.stores.len();
        let mut dense = Dense::new(stores);
        let mut cubics = self.cubics.chunks_exact(stores.max(1));
        for happened in &self.happened {
            match *happened {
                Happened::Stretch { from_s, until_s, running, coming, after_s, step_s } => {
                    let (Some(cubics), coming) = (cubics.next(), &self.comings[coming]) else { return };
                    if coming.inflow.len() != stores || coming.table.len() != system.seeps.len() {
                        return;
                    }
                    dense.cubics_mut().copy_from_slice(cubics);
                    let (kernel, dense) = (&kernel, &dense);
                    watch.stretch(&Stretch { from_s, until_s, running, kernel, coming, after_s, step_s, dense });
                }
                Happened::Switched(switch) => watch.switched(switch),
                Happened::Repeated { cycles, each_s, until_s } => watch.repeated(cycles, each_s, until_s),
            }
        }
    }
}

/// Nobody looks on.
#[derive(Clone, Copy, Debug, Default)]
pub struct Unwatched;
impl Watch for Unwatched {}
