//! Stores that are stepped through time together.
#![expect(clippy::indexing_slicing, reason = "indices come from a system that was checked, never from input")]

use crate::routing::dense::Dense;
use crate::routing::rates::{Coming, Kernel, Rates, Running};
use crate::routing::rosenbrock::{Start, Stepper};
use crate::routing::system::System;

/// A step is not shortened to a smaller share of a second.
pub(super) const SHORTEST_STEP_S: f64 = 1e-9;

/// A step is so much shorter than its error would allow.
const SAFETY: f64 = 0.9;

/// A smaller error, as a share of what is allowed, counts as this.
const LEAST_ERROR: f64 = 1e-4;

/// How much longer a step is than it likely takes to a float or a bend.
const BEYOND: f64 = 1.1;

/// A piece of a curve goes on so much of the tolerance beyond its ends.
const PIECE_BEYOND: f64 = 1e-2;

fn fourth_root(value: f64) -> f64 {
    value.sqrt().sqrt()
}

/// A step that could not be made short enough.
#[derive(Clone, Copy, Debug)]
pub(super) struct TooShort;

/// Stores with the ways between them, what they hold, and the step that was last tried.
#[derive(Clone, Debug)]
pub(super) struct Engine {
    pub(super) kernel: Kernel,
    pub(super) stepper: Stepper,
    /// What happens inside the step.
    pub(super) dense: Dense,
    /// The rates at its start.
    pub(super) rates: Rates,
    /// Whether they are those of the volumes and pumps as they are.
    pub(super) fresh: bool,
    pub(super) volumes: Vec<f64>,
    /// How long the next step should be; nothing where that is not known.
    pub(super) step_s: f64,
    /// Length and fourth root of the error of the last step that was taken.
    before: Option<(f64, f64)>,
    tolerance_m: f64,
    /// The surface of what these stores run into, whose level errs by their volumes too; boundless where there is none.
    pub(super) runs_into_m2: f64,
}

impl Engine {
    pub(super) fn new(system: System, volumes: Vec<f64>, tolerance_m: f64) -> Self {
        let kernel = Kernel::new(system);
        Self {
            stepper: Stepper::new(&kernel),
            dense: Dense::new(volumes.len()),
            rates: Rates::new(&kernel),
            fresh: false,
            volumes,
            step_s: 0.0,
            before: None,
            tolerance_m,
            runs_into_m2: f64::INFINITY,
            kernel,
        }
    }

    /// Makes the rates those of something else that comes, or of volumes that jumped.
    pub(super) fn begin(&mut self, coming: &Coming, running: Running, after_s: f64) {
        if self.fresh {
            self.rates.forced(&self.kernel, coming, after_s);
        } else {
            self.rates.find_pieces(&self.kernel, &self.volumes);
            self.go_on(coming, running, after_s);
        }
    }

    /// Makes the rates those of the volumes at the end of a step, on the pieces of curve as they are.
    pub(super) fn go_on(&mut self, coming: &Coming, running: Running, after_s: f64) {
        self.rates.at(&self.kernel, coming, running, &self.volumes, after_s);
        self.fresh = true;
    }

    /// Takes a step small enough and says how long it is; sets the length of the next.
    ///
    /// The next step is foreseen from the errors of the last two (Gustafsson, as Hairer and Wanner give it in section
    /// IV.8): while the errors grow, as in a hollow that begins to pond, it is no longer than that allows.
    pub(super) fn controlled(
        &mut self,
        coming: &Coming,
        running: Running,
        (after_s, mut step_s): (f64, f64),
        steps: &mut u64,
    ) -> Result<f64, TooShort> {
        let mut wanted_s = self.step_s;
        let mut rejected = false;
        loop {
            let start =
                Start { kernel: &self.kernel, coming, running, volumes: &self.volumes, after_s, rates: &self.rates };
            self.stepper.step(start, step_s);
            *steps += 1;
            let mut worst = 0.0_f64;
            for ((error, ends_m2), begins) in self.stepper.errors_and_areas().zip(&self.rates.held) {
                // a hollow that runs empty has less surface at the end, and the same volume is more of a level there
                let least_m2 = begins.area_m2.min(ends_m2).min(self.runs_into_m2);
                worst = worst.max((error / (self.tolerance_m * least_m2)).abs());
            }
            if worst <= 1.0 {
                let root = fourth_root(worst.max(LEAST_ERROR));
                let mut grow = SAFETY / root;
                if let Some((before_s, before)) = self.before {
                    grow *= (step_s * before / (before_s * root)).min(1.0);
                }
                let grow = grow.clamp(0.2, if rejected { 1.0 } else { 6.0 });
                self.before = Some((step_s, root));
                // a step cut short by the end of the stretch says nothing against a longer one
                let next_s = if step_s < wanted_s { wanted_s.max(step_s * grow) } else { step_s * grow };
                self.step_s = next_s.min(step_s * 1e6);
                self.stepper.inside(&self.volumes, &mut self.dense);
                return Ok(step_s);
            }
            if step_s <= SHORTEST_STEP_S {
                return Err(TooShort);
            }
            let shrink = if worst.is_finite() { (SAFETY / fourth_root(worst)).clamp(0.1, 0.8) } else { 0.1 };
            step_s = (step_s * shrink).max(SHORTEST_STEP_S);
            wanted_s = step_s;
            rejected = true;
        }
    }

    /// A little more than the time until a store holds a volume, if all goes on as it does now: a longer step would be
    /// cut short, and what lies beyond would spoil it.
    pub(super) fn likely_s(&self, store: usize, volume: f64) -> f64 {
        let time_s = (volume - self.volumes[store]) / self.rates.held[store].change;
        if time_s > 0.0 { time_s * BEYOND } else { f64::INFINITY }
    }

    /// The same until a curve bends.
    pub(super) fn likely_bend_s(&self) -> f64 {
        let bends = self.rates.pieces.iter().enumerate().map(|(store, piece)| {
            let (from, to) = self.kernel.system.stores[store].piece_between(*piece);
            self.likely_s(store, if self.rates.held[store].change < 0.0 { from } else { to })
        });
        bends.fold(f64::INFINITY, f64::min)
    }

    /// The first store that comes to the end of its piece of curve in the first share of the step just tried: at which
    /// share, which store, and whether upwards.
    pub(super) fn first_bend(&self, within: f64) -> Option<(f64, usize, bool)> {
        let dense = &self.dense;
        let mut first: Option<(f64, usize, bool)> = None;
        for (store, piece) in self.rates.pieces.iter().enumerate() {
            let (from, to) = self.kernel.system.stores[store].piece_between(*piece);
            // a little beyond its ends, so that water that stands at a bend does not go to and fro between two pieces
            let beyond = PIECE_BEYOND * self.tolerance_m * self.rates.held[store].area_m2;
            for (bound, up) in [(from - beyond, false), (to + beyond, true)] {
                let Some(share) = dense.crosses(store, bound, up, (0.0, within)) else { continue };
                if first.is_none_or(|(before, ..)| share < before) {
                    first = Some((share, store, up));
                }
            }
        }
        first
    }

    /// Goes on to the next piece of a store's curve.
    pub(super) fn bend(&mut self, store: usize, up: bool) {
        self.rates.pieces[store] = self.kernel.system.stores[store].next_piece(self.rates.pieces[store], up);
    }

    /// The next step's length, no longer than what is left; a little more than it is taken at once.
    pub(super) fn next_step_s(&mut self, likely_s: f64, left_s: f64) -> f64 {
        if self.step_s <= 0.0 {
            self.step_s = left_s;
        }
        let step_s = self.step_s.min(likely_s.max(SHORTEST_STEP_S)).min(left_s);
        if left_s < step_s * 1.2 { left_s } else { step_s }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Area, Length, Level};
    use crate::routing::StageStorage;
    use approx::assert_abs_diff_eq;

    /// Two stores of 1 m² that widen at 1 m: half a cubic metre a second comes to it in 2 s, two fifths in 2.5 s.
    #[test]
    fn identity_of_two_bends_in_one_step_the_first_is_found() {
        let surface = [(0.0, 1.0), (1.0, 1.0), (1.0, 2.0), (9.0, 2.0)];
        let surface = surface.map(|(level, area)| (Level::from_m(level), Area::from_m2(area)));
        let store = StageStorage::new(&surface, Area::from_m2(0.1)).unwrap();
        for (flows, first) in [([0.5, 0.4], 0), ([0.4, 0.5], 1)] {
            let system = System { stores: vec![store.clone(); 2], paths: Vec::new(), station: None, seeps: Vec::new() };
            let coming = Coming { inflow: flows.map(|flow| (flow, 0.0, 0.0)).to_vec(), table: Vec::new() };
            let mut engine = Engine::new(system, vec![0.0; 2], Length::from_m(1e-9).m());
            engine.begin(&coming, Running::default(), 0.0);
            let taken_s = engine.controlled(&coming, Running::default(), (0.0, 3.0), &mut 0).unwrap();
            assert_abs_diff_eq!(taken_s, 3.0);
            let (share, index, up) = engine.first_bend(1.0).unwrap();
            assert_abs_diff_eq!(share, 2.0 / 3.0, epsilon = 1e-9);
            assert_eq!((index, up), (first, true));
            assert!(engine.first_bend(0.6).is_none());
        }
    }
}
