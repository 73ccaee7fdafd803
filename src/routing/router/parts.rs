//! The pumped store apart from what runs into it, as long as it stands so low that it holds nothing back.
//!
//! The hollows then know nothing of the floats: their step goes over many pump cycles, and what they let out is a
//! parabola in time for the store with the pumps. That one alone begins anew at each float; while no pump runs, what it
//! holds is that parabola's integral and needs no step at all.
#![expect(clippy::indexing_slicing, reason = "indices come from a system that was checked, never from input")]

use super::engine::Engine;
use super::{Course, Moved, Router, Step, Watch};
use crate::routing::RoutingError;
use crate::routing::dense::Cubic;
use crate::routing::path::Path;
use crate::routing::rates::{Coming, Running};
use crate::routing::system::{Seep, Station, System};

/// The stores are taken together again only when the water is so far below where it matters, so that it does not go to
/// and fro.
const WELL_BELOW_M: f64 = 2e-3;

/// A system in two parts.
#[derive(Clone, Debug)]
pub(super) struct Parts {
    /// All stores but the pumped one, with all ways between them and out of them.
    above: Engine,
    /// The pumped store with its seeps.
    pumped: Engine,
    /// Of each store above, its index in the whole; likewise of each of its flows.
    stores: Vec<usize>,
    flows: Vec<usize>,
    /// The seeps of either part.
    seeps_above: Vec<usize>,
    seeps_below: Vec<usize>,
    /// The pumped store in the whole.
    basin: usize,
    /// Which flows above run into it.
    into: Vec<usize>,
    /// What it may hold before it matters to what runs in, and to be well below that, m³.
    matters_m3: f64,
    well_below_m3: f64,
    /// Whether they are followed apart.
    pub(super) apart: bool,
    coming_above: Coming,
    coming_below: Coming,
    /// What went along each flow above within the step: a cubic in its share.
    moved: Vec<Cubic>,
}

impl Parts {
    /// The parts of a system, where it has any.
    pub(super) fn new(system: &System, tolerance_m: f64) -> Option<Self> {
        let station = system.station.as_ref()?;
        let basin = station.store;
        let mut free_m = f64::INFINITY;
        for path in &system.paths {
            let way = path.way();
            if path.from == basin {
                // what runs out of it elsewhere is followed with the whole
                if path.to.is_some() {
                    return None;
                }
                free_m = free_m.min(way.dry_up_to_m());
            } else if path.to == Some(basin) {
                free_m = free_m.min(way.free_up_to_m());
            }
        }
        let store = &system.stores[basin];
        let stores: Vec<usize> = (0..system.stores.len()).filter(|store| *store != basin).collect();
        let inside = |store: usize| stores.iter().position(|known| *known == store);
        let (mut paths, mut flows, mut into) = (Vec::new(), Vec::new(), Vec::new());
        for (index, path) in system.paths.iter().enumerate() {
            let Some(from) = inside(path.from) else { continue };
            if path.to == Some(basin) {
                into.push(paths.len());
            }
            paths.push(Path { from, to: path.to.and_then(inside), kind: path.kind.clone() });
            flows.push(index);
        }
        let of = |below: bool| -> Vec<usize> {
            (0..system.seeps.len()).filter(|seep| (system.seeps[*seep].store == basin) == below).collect()
        };
        let (seeps_above, seeps_below) = (of(false), of(true));
        flows.extend(seeps_above.iter().map(|seep| system.paths.len() + seep));
        let above = System {
            stores: stores.iter().map(|store| system.stores[*store].clone()).collect(),
            paths,
            station: None,
            seeps: seeps_above
                .iter()
                .map(|seep| system.seeps[*seep])
                .map(|seep| Seep { store: inside(seep.store).unwrap_or(0), ..seep })
                .collect(),
        };
        let pumped = System {
            stores: vec![store.clone()],
            paths: Vec::new(),
            station: Some(Station { store: 0, ..station.clone() }),
            seeps: seeps_below.iter().map(|seep| Seep { store: 0, ..system.seeps[*seep] }).collect(),
        };
        let mut below = Engine::new(pumped, vec![0.0], tolerance_m);
        below.kernel.stops_at_bends = false;
        let matters = |below_m: f64| if free_m.is_finite() { store.volume_m3(free_m - below_m) } else { f64::INFINITY };
        Some(Self {
            moved: vec![Cubic::default(); flows.len()],
            above: Engine::new(above, vec![0.0; stores.len()], tolerance_m),
            pumped: below,
            stores,
            flows,
            seeps_above,
            seeps_below,
            basin,
            into,
            matters_m3: matters(0.0),
            well_below_m3: matters(WELL_BELOW_M),
            apart: false,
            coming_above: Coming::default(),
            coming_below: Coming::default(),
        })
    }

    /// Takes over what comes to the stores above.
    pub(super) fn take(&mut self, coming: &Coming) {
        self.coming_above.inflow.clear();
        self.coming_above.inflow.extend(self.stores.iter().map(|store| coming.inflow[*store]));
        self.coming_above.table.clear();
        self.coming_above.table.extend(self.seeps_above.iter().map(|seep| coming.table[*seep]));
    }

    /// What comes to the pumped store from the start of a step above on: from outside, and as a parabola from above.
    fn pour(&mut self, coming: &Coming, after_s: f64, step_s: f64) {
        let (flow, growth, _) = coming.inflow[self.basin];
        let mut poured = (flow + growth * after_s, growth, 0.0);
        let per_s = 1.0 / step_s;
        for flow in &self.into {
            let [first, second, third] = self.moved[*flow].powers();
            poured.0 += first * per_s;
            poured.1 += 2.0 * second * per_s * per_s;
            poured.2 += 3.0 * third * per_s * per_s * per_s;
        }
        self.coming_below.inflow.clear();
        self.coming_below.inflow.push(poured);
        self.coming_below.table.clear();
        let at_start = |seep: &usize| {
            let (table_m, rise) = coming.table[*seep];
            (table_m + rise * after_s, rise)
        };
        self.coming_below.table.extend(self.seeps_below.iter().map(at_start));
    }

    /// Whether nothing leaves the pumped store or seeps into it whatever its level.
    fn only_fills(&self, running: Running) -> bool {
        !running.any() && self.seeps_below.is_empty()
    }

    /// A step of the pumped store that only fills: the integral of what comes.
    fn fill(&mut self, from_s: f64, step_s: f64) {
        let (flow, growth, bend) = self.coming_below.inflow[0];
        let (flow, growth) = (flow + (growth + bend * from_s) * from_s, growth + 2.0 * bend * from_s);
        let powers = [flow * step_s, 0.5 * growth * step_s * step_s, bend / 3.0 * step_s * step_s * step_s];
        self.pumped.dense.cubics_mut()[0] = Cubic::of_powers(self.pumped.volumes[0], powers);
    }

    /// The volume that went along a flow above within a part of the step.
    fn moved_above(&self, flow: usize, from: f64, until: f64) -> f64 {
        self.moved[flow].at(until) - self.moved[flow].at(from)
    }
}

impl Router<'_> {
    /// Follows all stores together always: for tests.
    #[cfg(test)]
    pub(in crate::routing) fn never_apart(&mut self) {
        self.parts = None;
    }
    /// Looks whether the pumped store may be followed apart, or has to be followed with the others.
    pub(super) fn choose_parts(&mut self) {
        let Some(parts) = &mut self.parts else { return };
        let held = self.whole.volumes[parts.basin];
        if parts.apart && held > parts.matters_m3 {
            parts.apart = false;
            self.whole.fresh = false;
            self.whole.step_s = parts.above.step_s;
        } else if !parts.apart && held < parts.well_below_m3 {
            parts.apart = true;
            parts.above.fresh = false;
            parts.above.step_s = self.whole.step_s;
        }
    }

    /// How a store changes now, where it is followed apart; none where it is not.
    pub(super) fn change_apart(&self, store: usize) -> Option<f64> {
        let parts = self.parts.as_ref().filter(|parts| parts.apart)?;
        let index = parts.stores.iter().position(|known| *known == store)?;
        Some(parts.above.rates.held[index].change)
    }

    /// A step of the stores above, and the pumped store through it; gives the time after it.
    pub(super) fn step_apart(
        &mut self,
        parts: &mut Parts,
        course: &mut Course,
        after_s: f64,
        watch: &mut impl Watch,
    ) -> Result<f64, RoutingError> {
        let stuck = |_| RoutingError::Stuck { at_s: course.begin_s + after_s };
        let left_s = course.time_s - after_s;
        let idle = Running::default();
        if !parts.above.fresh {
            parts.keep_above(&self.whole.volumes);
        }
        parts.pumped.volumes[0] = self.whole.volumes[parts.basin];
        let above = &mut parts.above;
        if !parts.into.is_empty() {
            above.runs_into_m2 = parts.pumped.rates.held[0].area_m2;
        }
        above.begin(&parts.coming_above, idle, after_s);
        let likely_s = above.likely_bend_s();
        let step_s = above.next_step_s(likely_s, left_s);
        let taken_s = above.controlled(&parts.coming_above, idle, (after_s, step_s), &mut self.steps).map_err(stuck)?;
        let bend = above.first_bend(1.0);
        let share = bend.map_or(1.0, |(share, ..)| share);
        for (flow, moved) in parts.moved.iter_mut().enumerate() {
            *moved = above.stepper.cubic_along(&above.kernel, &above.rates, flow);
        }
        parts.pour(&course.coming, after_s, taken_s);
        parts.pumped.fresh = false;
        let (mut inside_s, until_s) = (0.0, share * taken_s);
        while inside_s < until_s {
            if self.steps > course.most_steps {
                return Err(RoutingError::Stuck { at_s: self.now_s });
            }
            let filling = parts.only_fills(self.running);
            let rest_s = until_s - inside_s;
            let pumped = &mut parts.pumped;
            let step_s = if filling {
                rest_s
            } else {
                pumped.begin(&parts.coming_below, self.running, inside_s);
                let floats = self.floats().into_iter().flatten().map(|float| pumped.likely_s(0, float.volume));
                let likely_s = floats.fold(f64::INFINITY, f64::min);
                let step_s = pumped.next_step_s(likely_s, rest_s);
                pumped
                    .controlled(&parts.coming_below, self.running, (inside_s, step_s), &mut self.steps)
                    .map_err(|_| RoutingError::Stuck { at_s: self.now_s })?
            };
            if filling {
                parts.fill(inside_s, step_s);
            }
            // what comes first: a float, or that it begins to matter above
            let pumped = &parts.pumped;
            let mut share = 1.0;
            let mut switch = self.first_switch(&pumped.dense, 0);
            if let Some((at, _)) = switch {
                share = at;
            }
            let matters = pumped.dense.crosses(0, parts.matters_m3, true, (0.0, share));
            if let Some(at) = matters {
                (share, switch) = (at, None);
            }
            let end_s = if share >= 1.0 && step_s >= rest_s { until_s } else { inside_s + share * step_s };
            let (from, width) = (inside_s / taken_s, step_s / taken_s);
            let cubics = self.whole.dense.cubics_mut();
            for (index, store) in parts.stores.iter().enumerate() {
                cubics[*store] = parts.above.dense.cubic(index).part(self.whole.volumes[*store], from, width);
            }
            cubics[parts.basin] = pumped.dense.cubic(0);
            let last = end_s >= until_s && bend.is_none() && taken_s >= left_s;
            let ends_s = if last { course.time_s } else { after_s + end_s };
            let step = Step { from_s: after_s + inside_s, length_s: step_s, until_s: ends_s, share };
            self.accept(course, &step, &Moved::Apart { parts, between: (from, end_s / taken_s), filling }, watch);
            parts.pumped.volumes[0] = self.whole.volumes[parts.basin];
            parts.pumped.fresh = false;
            inside_s = end_s;
            self.now_s = course.begin_s + ends_s;
            if let Some((_, float)) = switch {
                course.switched().map_err(|()| RoutingError::TooManySwitches { at_s: self.now_s })?;
                self.switch(float.on, float.lead, watch);
                while let Some(next) = self.due() {
                    self.switch(next.1, next.0, watch);
                }
                parts.pumped.volumes[0] = self.whole.volumes[parts.basin];
                if course.steady && !self.running.any() {
                    let skipped_s = self.count_cycles(course.time_s - ends_s, watch);
                    if skipped_s > 0.0 {
                        parts.keep_above(&self.whole.volumes);
                        self.now_s += skipped_s;
                        return Ok(ends_s + skipped_s);
                    }
                }
            }
            if matters.is_some() || self.whole.volumes[parts.basin] > parts.matters_m3 {
                parts.apart = false;
                self.whole.fresh = false;
                self.whole.step_s = parts.above.step_s;
                return Ok(ends_s);
            }
        }
        let ends_s = if share >= 1.0 && taken_s >= left_s { course.time_s } else { after_s + until_s };
        parts.keep_above(&self.whole.volumes);
        if let Some((_, store, up)) = bend {
            parts.above.bend(store, up);
        }
        parts.above.go_on(&parts.coming_above, idle, ends_s);
        Ok(ends_s)
    }
}

impl Parts {
    /// What the stores above hold was changed at once, beside all steps.
    pub(super) fn jumped(&mut self) {
        self.above.fresh = false;
    }
    /// Leaves the step above where the whole stands.
    fn keep_above(&mut self, volumes: &[f64]) {
        for (volume, store) in self.above.volumes.iter_mut().zip(&self.stores) {
            *volume = volumes[*store];
        }
        self.above.fresh = false;
    }
    /// What went along each flow of the whole in a part of a step: those above, the seeps below, and the pumps last.
    pub(super) fn count(
        &self,
        (from, until): (f64, f64),
        (share, filling): (f64, bool),
        mut count: impl FnMut(usize, f64),
        paths: usize,
        pumps: usize,
    ) {
        for (index, flow) in self.flows.iter().enumerate() {
            count(*flow, self.moved_above(index, from, until));
        }
        if filling {
            return;
        }
        let below = &self.pumped;
        let moved = |flow: usize| below.stepper.moved(&below.kernel, &below.rates, flow, share);
        for (index, seep) in self.seeps_below.iter().enumerate() {
            count(paths + seep, moved(index));
        }
        count(pumps, moved(self.seeps_below.len()));
    }
}
