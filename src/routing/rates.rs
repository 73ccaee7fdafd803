//! The flows of a moment and how they change with what is stored: the right-hand side that is integrated.
#![expect(clippy::inline_always, reason = "so that what is not asked for is not worked out: measured")]
#![expect(clippy::indexing_slicing, reason = "indices come from a system that was checked, never from input")]

use super::path::Way;
use super::system::System;

/// What comes in from outside over a stretch of time, straight in time.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Forcing {
    /// For each store: flow at the start of the stretch, m³/s, and its growth, m³/s².
    pub inflow: Vec<(f64, f64)>,
    /// For each seep: the groundwater's level at the start, m, and its rise, m/s.
    pub table: Vec<(f64, f64)>,
}

impl Forcing {
    /// Nothing comes, for a system.
    pub fn none(system: &System) -> Self {
        Self { inflow: vec![(0.0, 0.0); system.stores.len()], table: vec![(f64::MIN, 0.0); system.seeps.len()] }
    }
    /// Whether it stays as it is.
    pub fn is_steady(&self) -> bool {
        self.inflow.iter().chain(&self.table).all(|(_, slope)| *slope == 0.0)
    }
    /// The same some time later.
    pub fn advance(&mut self, time_s: f64) {
        for (value, slope) in self.inflow.iter_mut().chain(&mut self.table) {
            *value += *slope * time_s;
        }
    }
}

/// What comes in from outside, as the kernel takes it: a parabola in time for each store, from a moment on.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Coming {
    /// For each store: flow, m³/s, its growth, m³/s², and half the growth of that, m³/s³.
    pub(super) inflow: Vec<(f64, f64, f64)>,
    /// For each seep: the groundwater's level, m, and its rise, m/s.
    pub(super) table: Vec<(f64, f64)>,
}

impl Coming {
    /// Takes over a forcing.
    pub(super) fn take(&mut self, forcing: &Forcing) {
        self.inflow.clear();
        self.inflow.extend(forcing.inflow.iter().map(|(flow, growth)| (*flow, *growth, 0.0)));
        self.table.clear();
        self.table.extend_from_slice(&forcing.table);
    }
}

/// For a number of stores that is only known when it runs.
pub(super) const ANY: usize = 0;

/// Which pumps run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Running {
    /// The first.
    pub lead: bool,
    /// The second.
    pub lag: bool,
}

impl Running {
    /// Whether any does.
    pub fn any(self) -> bool {
        self.lead || self.lag
    }
}

/// Flows at one moment: of each path, of each seep, of the pumps, in that order; and what they do to the stores.
#[derive(Clone, Debug)]
pub(super) struct Rates {
    /// Of each store, and of what is outside.
    pub(super) held: Vec<Held>,
    /// Each flow, m³/s.
    pub(super) flows: Vec<f64>,
    /// Of each flow: its change with the volume of the store it leaves and of that it enters, 1/s.
    pub(super) slopes: Vec<(f64, f64)>,
    /// Of each flow: its own change in time, m³/s².
    pub(super) drifts: Vec<f64>,
    /// Whether any flow has one.
    pub(super) drift: bool,
    /// The piece of its curve that each store is on: within a step it goes on beyond its end, so that the step is smooth.
    pub(super) pieces: Vec<usize>,
}

/// A store at one moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Held {
    /// Where its water stands, m.
    pub(super) level_m: f64,
    /// Its surface there.
    pub(super) area_m2: f64,
    /// How what it holds changes, m³/s.
    pub(super) change: f64,
}

/// A system made ready for the kernel.
#[derive(Clone, Debug)]
pub(super) struct Kernel {
    pub(super) system: System,
    ways: Vec<Way>,
    pub(super) ends: Vec<Ends>,
    /// The index of what is pumped among the flows.
    pub(super) pumps: usize,
    /// Whether a step ends where a store's curve bends. Where the flows hardly feel the level, the error of a step that
    /// goes on over a bend is looked after like any other.
    pub(super) stops_at_bends: bool,
}

impl Kernel {
    pub(super) fn new(system: System) -> Self {
        let ways = system.paths.iter().map(super::path::Path::way).collect();
        let (ends, pumps) = (ends(&system), system.paths.len() + system.seeps.len());
        Self { system, ways, ends, pumps, stops_at_bends: true }
    }
}

/// From where and to where each flow goes; what is outside has the index after the last store.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ends {
    pub(super) from: usize,
    pub(super) to: usize,
}

fn ends(system: &System) -> Vec<Ends> {
    let outside = system.stores.len();
    let paths = system.paths.iter().map(|path| Ends { from: path.from, to: path.to.unwrap_or(outside) });
    let seeps = system.seeps.iter().map(|seep| Ends { from: outside, to: seep.store });
    let pumps = system.station.iter().map(|station| Ends { from: station.store, to: outside });
    paths.chain(seeps).chain(pumps).collect()
}

/// What comes from outside into a store.
#[inline(always)]
pub(super) fn come((inflow, growth, bend): (f64, f64, f64), after_s: f64) -> f64 {
    inflow + (growth + bend * after_s) * after_s
}

impl Rates {
    pub(super) fn new(kernel: &Kernel) -> Self {
        let (stores, flows) = (kernel.system.stores.len(), kernel.ends.len());
        Self {
            // all that is outside lies below everything
            held: std::iter::repeat_n(0.0, stores)
                .chain([f64::MIN])
                .map(|level_m| Held { level_m, area_m2: 1.0, change: 0.0 })
                .collect(),
            flows: vec![0.0; flows],
            slopes: vec![(0.0, 0.0); flows],
            drifts: vec![0.0; flows],
            drift: false,
            pieces: vec![0; stores],
        }
    }

    /// Finds the piece of its curve for each store anew.
    pub(super) fn find_pieces(&mut self, kernel: &Kernel, volumes: &[f64]) {
        for ((store, volume), piece) in kernel.system.stores.iter().zip(volumes).zip(&mut self.pieces) {
            *piece = store.piece_of(*volume);
        }
    }

    /// Works out the flows for volumes, some time after the start of what comes, and how they change.
    pub(super) fn at(&mut self, kernel: &Kernel, coming: &Coming, running: Running, volumes: &[f64], after_s: f64) {
        self.work_out::<true, ANY>(kernel, coming, running, volumes, after_s);
    }

    /// The same without how they change: the slopes and drifts stay what they were.
    #[inline(never)]
    pub(super) fn flows_at<const STORES: usize>(
        &mut self,
        kernel: &Kernel,
        coming: &Coming,
        running: Running,
        volumes: &[f64],
        after_s: f64,
    ) {
        self.work_out::<false, STORES>(kernel, coming, running, volumes, after_s);
    }

    #[inline(always)]
    fn work_out<const SLOPES: bool, const STORES: usize>(
        &mut self,
        kernel: &Kernel,
        coming: &Coming,
        running: Running,
        volumes: &[f64],
        after_s: f64,
    ) {
        let system = &kernel.system;
        if !kernel.stops_at_bends {
            self.find_pieces(kernel, volumes);
        }
        let n = if STORES == ANY { volumes.len() } else { STORES };
        let held = &mut self.held[..=n];
        let on = system.stores[..n].iter().zip(&volumes[..n]).zip(&self.pieces[..n]);
        for ((((store, volume), piece), inflow), held) in on.zip(&coming.inflow[..n]).zip(&mut held[..n]) {
            let (level_m, area_m2) = store.level_and_area_in(*piece, *volume);
            *held = Held { level_m, area_m2, change: come(*inflow, after_s) };
        }
        for (index, ((way, ends), q)) in kernel.ways.iter().zip(&kernel.ends).zip(&mut self.flows).enumerate() {
            let (upper_m, lower_m) = (held[ends.from].level_m, held[ends.to].level_m);
            if SLOPES {
                let law = way.law(upper_m, lower_m);
                *q = law.q;
                self.slopes[index] = (law.up / held[ends.from].area_m2, law.down / held[ends.to].area_m2);
            } else {
                *q = way.flow(upper_m, lower_m);
            }
            held[ends.from].change -= *q;
            held[ends.to].change += *q;
        }
        if let Some(station) = &system.station {
            let Held { level_m, area_m2, .. } = held[station.store];
            let (q, slope) = match (running.lead, running.lag) {
                (false, false) => (0.0, 0.0),
                (true, false) => station.first.at(level_m),
                (false, true) => station.second.at(level_m),
                (true, true) => station.both.at(level_m),
            };
            self.flows[kernel.pumps] = q;
            held[station.store].change -= q;
            if SLOPES {
                self.slopes[kernel.pumps] = (slope / area_m2, 0.0);
            }
        }
        self.seep::<SLOPES>(kernel, coming, after_s);
    }

    /// The same with something else coming, for levels and pumps that did not change since [`Rates::at`].
    pub(super) fn forced(&mut self, kernel: &Kernel, coming: &Coming, after_s: f64) {
        for (held, inflow) in self.held.iter_mut().zip(&coming.inflow) {
            held.change = come(*inflow, after_s);
        }
        let (paths, pumps) = (kernel.ways.len(), kernel.pumps);
        for (index, (flow, ends)) in self.flows.iter().zip(&kernel.ends).enumerate() {
            if index < paths || index == pumps {
                self.held[ends.from].change -= flow;
                self.held[ends.to].change += flow;
            }
        }
        self.seep::<true>(kernel, coming, after_s);
    }

    /// What seeps in.
    #[inline(always)]
    fn seep<const SLOPES: bool>(&mut self, kernel: &Kernel, coming: &Coming, after_s: f64) {
        let system = &kernel.system;
        if SLOPES {
            self.drift = false;
        }
        if system.seeps.is_empty() {
            return;
        }
        let seeps = (system.paths.len()..).zip(system.seeps.iter().zip(&coming.table));
        for (index, (seep, (table_m, rise))) in seeps {
            let Held { level_m, area_m2, .. } = self.held[seep.store];
            let drowned = level_m > seep.from.m();
            let head_m = table_m + rise * after_s - if drowned { level_m } else { seep.from.m() };
            let flows = head_m > 0.0;
            self.flows[index] = if flows { seep.per_metre * head_m } else { 0.0 };
            self.held[seep.store].change += self.flows[index];
            if SLOPES {
                self.slopes[index] = (0.0, if flows && drowned { -seep.per_metre / area_m2 } else { 0.0 });
                self.drifts[index] = if flows { seep.per_metre * rise } else { 0.0 };
                self.drift |= self.drifts[index] != 0.0;
            }
        }
    }
}
