//! Runoff in time of rain that comes without end: nothing is kept but the last time of concentration.

use super::keeping::{Keeping, on_grid};
use crate::design::storm::Network;
use crate::design::{Design, NotFollowed, surface_loss};
use crate::routing::Forcing;
use crate::site::Site;
use std::collections::VecDeque;

/// Runoff that gathers at one store in one time of concentration.
///
/// `Q' = (e(t) - e(t - tc))/tc`, with `e` the excess over the area: the same as [`crate::hydrology::Hydrograph::of_surface`].
#[derive(Clone, Debug)]
pub(super) struct Gathering {
    store: usize,
    time_s: f64,
    /// Excess over the area, m³/s: now, and a time of concentration ago.
    now: f64,
    then: f64,
    flow: f64,
    /// When what falls now will have come in whole, m³/s.
    later: VecDeque<(f64, f64)>,
}

impl Gathering {
    fn new(store: usize, time_s: f64) -> Self {
        Self { store, time_s, now: 0.0, then: 0.0, flow: 0.0, later: VecDeque::new() }
    }
    fn set(&mut self, at_s: f64, excess: f64) {
        if excess.to_bits() != self.now.to_bits() {
            self.now = excess;
            self.later.push_back((at_s + self.time_s, excess));
        }
    }
    fn slope(&self) -> f64 {
        if self.later.is_empty() { 0.0 } else { (self.now - self.then) / self.time_s }
    }
    fn next_s(&self) -> f64 {
        self.later.front().map_or(f64::INFINITY, |next| next.0)
    }
    /// Goes on, at most to the next change; gives the volume.
    fn advance(&mut self, time_s: f64, to_s: f64) -> f64 {
        let change = self.slope() * time_s;
        let volume = (self.flow + 0.5 * change) * time_s;
        self.flow += change;
        while let Some((_, excess)) = self.later.front().copied().filter(|(at_s, _)| *at_s <= to_s) {
            self.then = excess;
            self.later.pop_front();
        }
        // what rounding left over ends where the flow is steady again
        if self.later.is_empty() {
            self.flow = self.now;
        }
        volume
    }
    /// What is still on its way when the rain stops now.
    fn on_its_way(&self, now_s: f64) -> f64 {
        let mut rest = self.clone();
        rest.set(now_s, 0.0);
        let (mut at_s, mut volume) = (now_s, 0.0);
        while let Some((next_s, _)) = rest.later.front().copied() {
            volume += rest.advance(next_s - at_s, next_s);
            at_s = next_s;
        }
        volume
    }
}

/// A surface whose loss is no plain share.
#[derive(Clone, Debug)]
struct Surface {
    gathering: usize,
    area_m2: f64,
    keeping: Keeping,
    excess_ms: f64,
}

/// The runoff of all surfaces.
#[derive(Clone, Debug)]
pub(super) struct Runoff {
    gatherings: Vec<Gathering>,
    /// Of each gathering: coefficient times area of the surfaces that have a coefficient.
    shares_m2: Vec<f64>,
    surfaces: Vec<Surface>,
    /// Changes within the present stretch of rain: when, which surface, its excess; time rising.
    pending: VecDeque<(f64, usize, f64)>,
    /// The rain now.
    rain_ms: f64,
    /// All that ran off.
    shed_m3: f64,
}

impl Runoff {
    /// The surfaces of a site, by the losses of its design storm.
    pub(super) fn new(site: &Site, design: &Design, network: &Network) -> Result<Self, NotFollowed> {
        if site.catchments.is_empty() {
            return Err(NotFollowed::NoRain);
        }
        let mut made = Self::of(&[]);
        for (index, store) in network.catchment_stores.iter().enumerate() {
            let (Some(loss), Some(result)) =
                (surface_loss(site, &design.storm, index), design.storm.catchments.get(index))
            else {
                return Err(NotFollowed::NoRain);
            };
            made.add(*store, result.time.time.s(), result.area.m2(), Keeping::new(&loss));
        }
        Ok(made)
    }
    /// From stores, times of concentration, areas and losses.
    pub(super) fn of(surfaces: &[(usize, f64, f64, Keeping)]) -> Self {
        let mut made = Self {
            gatherings: Vec::new(),
            shares_m2: Vec::new(),
            surfaces: Vec::new(),
            pending: VecDeque::new(),
            rain_ms: 0.0,
            shed_m3: 0.0,
        };
        for (store, time_s, area_m2, keeping) in surfaces {
            made.add(*store, *time_s, *area_m2, *keeping);
        }
        made
    }
    fn add(&mut self, store: usize, time_s: f64, area_m2: f64, keeping: Keeping) {
        let time_s = on_grid(time_s).max(1.0);
        let same = |known: &Gathering| known.store == store && known.time_s.to_bits() == time_s.to_bits();
        let gathering = self.gatherings.iter().position(same).unwrap_or_else(|| {
            self.gatherings.push(Gathering::new(store, time_s));
            self.shares_m2.push(0.0);
            self.gatherings.len() - 1
        });
        match keeping {
            Keeping::Share(share) => {
                if let Some(sum) = self.shares_m2.get_mut(gathering) {
                    *sum += share * area_m2;
                }
            }
            Keeping::CurveNumber { .. } | Keeping::Ground { .. } => {
                self.surfaces.push(Surface { gathering, area_m2, keeping, excess_ms: 0.0 });
            }
        }
    }

    /// A stretch of steady rain, or of none, begins.
    pub(super) fn rain(&mut self, (start_s, end_s): (f64, f64), rain_ms: f64) {
        self.rain_ms = rain_ms;
        let lasts_s = end_s - start_s;
        self.shed_m3 += self.shares_m2.iter().map(|share| share * rain_ms * lasts_s).sum::<f64>();
        let (pending, shed_m3) = (&mut self.pending, &mut self.shed_m3);
        for (index, surface) in self.surfaces.iter_mut().enumerate() {
            let mut last: Option<(f64, f64)> = None;
            surface.keeping.shed((start_s, end_s), rain_ms, |at_s, excess_ms| {
                if let Some((since_s, before_ms)) = last {
                    *shed_m3 += before_ms * surface.area_m2 * (at_s - since_s);
                }
                last = Some((at_s, excess_ms));
                pending.push_back((at_s, index, excess_ms));
            });
            if let Some((since_s, before_ms)) = last {
                *shed_m3 += before_ms * surface.area_m2 * (end_s - since_s);
            }
        }
        // by surface they come, by time they are needed
        if self.surfaces.len() > 1 {
            self.pending.make_contiguous().sort_by(|one, other| one.0.total_cmp(&other.0));
        }
        self.take(start_s);
    }
    /// Takes the changes of excess up to a time.
    fn take(&mut self, now_s: f64) {
        while let Some((_, index, excess_ms)) = self.pending.front().copied().filter(|(at_s, ..)| *at_s <= now_s) {
            self.pending.pop_front();
            if let Some(surface) = self.surfaces.get_mut(index) {
                surface.excess_ms = excess_ms;
            }
        }
        for (index, (gathering, share)) in self.gatherings.iter_mut().zip(&self.shares_m2).enumerate() {
            let here = self.surfaces.iter().filter(|surface| surface.gathering == index);
            let others: f64 = here.map(|surface| surface.excess_ms * surface.area_m2).sum();
            gathering.set(now_s, share * self.rain_ms + others);
        }
    }
    /// When the inflow changes its slope next.
    pub(super) fn next_s(&self) -> f64 {
        let pending = self.pending.front().map_or(f64::INFINITY, |next| next.0);
        self.gatherings.iter().map(Gathering::next_s).fold(pending, f64::min)
    }
    /// Puts what comes now, over what comes anyway, into a forcing.
    pub(super) fn fill(&self, base_m3s: &[f64], forcing: &mut Forcing) {
        for (inflow, base) in forcing.inflow.iter_mut().zip(base_m3s) {
            *inflow = (*base, 0.0);
        }
        for gathering in &self.gatherings {
            if let Some(inflow) = forcing.inflow.get_mut(gathering.store) {
                inflow.0 += gathering.flow;
                inflow.1 += gathering.slope();
            }
        }
    }
    /// Goes on, at most to the next change; gives the volume that came.
    pub(super) fn advance(&mut self, time_s: f64, to_s: f64) -> f64 {
        let volume = self.gatherings.iter_mut().map(|gathering| gathering.advance(time_s, to_s)).sum();
        if self.pending.front().is_some_and(|next| next.0 <= to_s) {
            self.take(to_s);
        }
        volume
    }
    /// All that ran off so far.
    pub(super) fn shed_m3(&self) -> f64 {
        self.shed_m3
    }
    /// What of it has not come in yet.
    pub(super) fn on_its_way_m3(&self, now_s: f64) -> f64 {
        self.gatherings.iter().map(|gathering| gathering.on_its_way(now_s)).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hydrology::{Hydrograph, RainBlock};
    use crate::quantity::{Area, Duration, Intensity};
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    /// Flow of a store at each bend, and the volume.
    fn flows(runoff: &mut Runoff, blocks: &[RainBlock], until_s: f64) -> (Vec<(f64, f64)>, f64) {
        let system = crate::routing::System { stores: Vec::new(), paths: Vec::new(), station: None, seeps: Vec::new() };
        let mut forcing = Forcing { inflow: vec![(0.0, 0.0)], ..Forcing::none(&system) };
        let (mut now_s, mut volume, mut points) = (0.0, 0.0, Vec::new());
        let rest = RainBlock { duration: Duration::from_s(until_s), intensity: Intensity::ZERO };
        for block in blocks.iter().chain([&rest]) {
            let end_s = (now_s + block.duration.s()).min(until_s);
            runoff.rain((now_s, end_s), block.intensity.ms());
            while now_s < end_s {
                runoff.fill(&[0.0], &mut forcing);
                points.push((now_s, forcing.inflow[0].0));
                let next_s = runoff.next_s().min(end_s);
                volume += runoff.advance(next_s - now_s, next_s);
                now_s = next_s;
            }
        }
        (points, volume)
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, cases: 200, ..ProptestConfig::default() })]

        #[test]
        fn identity_runoff_of_a_stream_is_that_of_the_whole_storm(
            rain in prop::collection::vec((1..40_u32, 0.0..4.0_f64), 1..30),
            surfaces in prop::collection::vec((300..3000_u32, 10.0..900.0_f64, 0.1..1.0_f64), 1..4),
        ) {
            let blocks: Vec<RainBlock> = rain
                .iter()
                .map(|(minutes, rain)| RainBlock {
                    duration: Duration::from_min(f64::from(*minutes)),
                    intensity: Intensity::from_inh(if *rain < 1.0 { 0.0 } else { *rain - 1.0 }),
                })
                .collect();
            let one = |(time_s, area, share): &(u32, f64, f64)| {
                let excess: Vec<RainBlock> = blocks
                    .iter()
                    .map(|block| RainBlock { intensity: block.intensity * *share, ..*block })
                    .collect();
                Hydrograph::of_surface(&excess, Area::from_m2(*area), Duration::from_s(f64::from(*time_s))).unwrap()
            };
            let whole = Hydrograph::sum(&surfaces.iter().map(one).collect::<Vec<_>>());
            let parts: Vec<_> = surfaces
                .iter()
                .map(|(time_s, area, share)| (0, f64::from(*time_s), *area, Keeping::Share(*share)))
                .collect();
            let mut runoff = Runoff::of(&parts);
            let (points, volume) = flows(&mut runoff, &blocks, 400_000.0);
            let most = whole.peak().1.m3s();
            for (at_s, flow) in &points {
                assert_relative_eq!(*flow, whole.at(Duration::from_s(*at_s)).m3s(), epsilon = 1e-12 + 1e-10 * most);
            }
            assert_relative_eq!(volume, whole.volume().m3(), epsilon = 1e-9, max_relative = 1e-10);
            assert_relative_eq!(volume, runoff.shed_m3(), epsilon = 1e-9, max_relative = 1e-10);
            prop_assert!(runoff.on_its_way_m3(400_000.0).abs() < 1e-12);
            // all has come: exactly nothing is left
            prop_assert!(points.last().unwrap().1 == 0.0);
            // and every point of the whole was a bend of the stream
            for (at, _) in whole.points().filter(|(_, flow)| flow.m3s() > 0.0) {
                let mut nearest = f64::INFINITY;
                for (point, _) in &points {
                    nearest = nearest.min((point - at.s()).abs());
                }
                let bends = whole.slope_changes().iter().any(|change| (change.0 - at.s()).abs() < 1e-6 && change.1.abs() > 1e-12);
                prop_assert!(!bends || nearest < 1e-6);
            }
        }
    }

    #[test]
    fn identity_what_is_on_its_way_comes_later() {
        let mut runoff = Runoff::of(&[(0, 700.0, 100.0, Keeping::Share(0.5)), (0, 1300.25, 80.0, Keeping::Share(1.0))]);
        let rain = RainBlock { duration: Duration::from_min(20.0), intensity: Intensity::from_inh(1.0) };
        let (_, came) = flows(&mut runoff, &[rain], 1000.0);
        let coming = runoff.on_its_way_m3(1000.0);
        // the rain was cut off at 1000 s
        assert_relative_eq!(came + coming, runoff.shed_m3(), max_relative = 1e-12);
        assert!(coming > 0.1 * came);
    }
}
