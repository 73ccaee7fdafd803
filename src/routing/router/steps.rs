//! How long a step may be.
#![expect(clippy::indexing_slicing, reason = "indices come from a system that was checked, never from input")]

use super::Router;
use crate::routing::RoutingError;
use crate::routing::rates::Forcing;
use crate::routing::rosenbrock::Start;

/// A step is not shortened to a smaller share of a second.
const SHORTEST_STEP_S: f64 = 1e-9;

/// A step is so much shorter than its error would allow.
const SAFETY: f64 = 0.9;

/// A smaller error, as a share of what is allowed, counts as this.
const LEAST_ERROR: f64 = 1e-4;

/// How much longer a step is than it likely takes to a float.
const BEYOND: f64 = 1.1;

/// A piece of a curve goes on so much of the tolerance beyond its ends.
const PIECE_BEYOND: f64 = 1e-2;

fn fourth_root(value: f64) -> f64 {
    value.sqrt().sqrt()
}

impl Router<'_> {
    /// Takes a step small enough and says how long it is; sets the length of the next.
    ///
    /// The next step is foreseen from the errors of the last two (Gustafsson, as Hairer and Wanner give it in section
    /// IV.8): while the errors grow, as in a hollow that begins to pond, it is no longer than that allows.
    pub(super) fn controlled(&mut self, forcing: &Forcing, after_s: f64, mut step_s: f64) -> Result<f64, RoutingError> {
        let mut wanted_s = self.step_s;
        let mut rejected = false;
        loop {
            self.try_step(forcing, after_s, step_s);
            self.steps += 1;
            let mut worst = 0.0_f64;
            for (store, ((error, end), (_, begins_m2))) in
                self.stepper.errors_and_ends().zip(&self.rates.levels).enumerate()
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

    pub(super) fn try_step(&mut self, forcing: &Forcing, after_s: f64, step_s: f64) {
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
    pub(super) fn likely_s(&self) -> f64 {
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

    /// The first store that comes to the end of its piece of curve in the first share of the step just tried: at which
    /// share, which store, and whether upwards.
    pub(super) fn first_bend(&self, within: f64) -> Option<(f64, usize, bool)> {
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
}
