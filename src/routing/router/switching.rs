//! Floats and power: what switches the pumps, and whole cycles counted at once.
#![expect(clippy::indexing_slicing, reason = "indices come from a system that was checked, never from input")]

use super::{Router, Switch, Watch};
use crate::routing::dense::Dense;
use crate::routing::totals::{Highest, Totals};

/// Two stops at a float are one state if all cycles counted together change it by no more than so much of the tolerance.
const SAME_STOP: f64 = 1e-6;

/// The floats as volumes of their store.
#[derive(Clone, Copy, Debug)]
pub(super) struct Thresholds {
    pub(super) store: usize,
    pub(super) lead: (f64, f64),
    pub(super) lag: Option<(f64, f64)>,
    pub(super) drain_back_m3: f64,
}

/// The state when all pumps last stood still within one steady stretch.
#[derive(Clone, Debug)]
pub(super) struct Stop {
    pub(super) at_s: f64,
    pub(super) volumes: Vec<f64>,
    pub(super) totals: Totals,
    pub(super) marks: Vec<(f64, u64)>,
}

/// A float that can switch.
#[derive(Clone, Copy, Debug)]
pub(super) struct Float {
    pub(super) store: usize,
    pub(super) volume: f64,
    pub(super) on: bool,
    pub(super) lead: bool,
}

impl Router<'_> {
    /// Switches the power of the pumps.
    pub fn power(&mut self, on: bool, watch: &mut impl Watch) {
        self.power = on;
        self.last_stop = None;
        if !on {
            self.switch(false, true, watch);
            self.switch(false, false, watch);
        }
    }

    /// The floats that can switch now.
    pub(super) fn floats(&self) -> [Option<Float>; 2] {
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
    pub(super) fn due(&self) -> Option<(bool, bool)> {
        self.floats().into_iter().flatten().find_map(|float| {
            let now = self.whole.volumes[float.store];
            let slack = 1e-12 * float.volume.abs();
            let reached = if float.on { now >= float.volume - slack } else { now <= float.volume + slack };
            reached.then_some((float.lead, float.on))
        })
    }

    /// The first float that the pumped store reaches in the step just tried: at which share of it.
    pub(super) fn first_switch(&self, dense: &Dense, store: usize) -> Option<(f64, Float)> {
        let mut first: Option<(f64, Float)> = None;
        for float in self.floats().into_iter().flatten() {
            let crossing = dense.crosses(store, float.volume, float.on, (0.0, 1.0));
            let Some(share) = crossing else { continue };
            if first.as_ref().is_none_or(|(before, _)| share < *before) {
                first = Some((share, float));
            }
        }
        first
    }

    /// Switches a pump, and lets the line run back when the last one stops.
    pub(super) fn switch(&mut self, on: bool, lead: bool, watch: &mut impl Watch) {
        let before = self.running;
        let slot = if lead { &mut self.running.lead } else { &mut self.running.lag };
        if *slot == on {
            return;
        }
        *slot = on;
        self.whole.fresh = false;
        if on {
            let starts = if lead { &mut self.totals.lead_starts } else { &mut self.totals.lag_starts };
            *starts += 1;
        }
        watch.switched(Switch { at_s: self.now_s, pump: if lead { 1 } else { 2 }, on });
        if before.any()
            && !self.running.any()
            && let Some(thresholds) = self.thresholds
        {
            self.whole.volumes[thresholds.store] += thresholds.drain_back_m3;
            self.totals.ran_back_m3 += thresholds.drain_back_m3;
            self.jumped(thresholds.store);
        }
    }

    /// Looks at highest and marks after water was added at once.
    pub(super) fn jumped(&mut self, store: usize) {
        let volume = self.whole.volumes[store];
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

    /// Counts whole cycles where two stops of the pumps in a row found everything the same; gives the time they take.
    pub(super) fn count_cycles(&mut self, left_s: f64, watch: &mut impl Watch) -> f64 {
        let now: Vec<(f64, u64)> = self.marks.iter().map(|mark| (mark.2.above_s, mark.2.times)).collect();
        let mut skipped_s = 0.0;
        if let Some(stop) = &self.last_stop {
            let cycle_s = self.now_s - stop.at_s;
            let cycles = (left_s / cycle_s - 1e-9).floor();
            // what is left of a change once all cycles have passed must be nothing beside the error of a step
            let held = self.whole.volumes.iter().zip(&stop.volumes).zip(&self.system.stores);
            let same = held.into_iter().all(|((now, then), store)| {
                let area_m2 = store.level_and_area(*now).1;
                (now - then).abs() * cycles.max(1.0) <= SAME_STOP * self.tolerance_m * area_m2
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
            volumes: self.whole.volumes.clone(),
            totals: self.totals.clone(),
            marks: now,
        });
        skipped_s
    }
}
