//! What comes in from outside in time: straight pieces, with their bends and steps in order.

use super::rates::Forcing;
use super::router::{Router, Watch};
use super::{RoutingError, System};

/// A change of what comes in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Change {
    /// The inflow of a store begins to grow faster by so much, m³/s².
    Ramp {
        /// The store.
        store: usize,
        /// By how much.
        by: f64,
    },
    /// The inflow of a store jumps by so much, m³/s.
    Step {
        /// The store.
        store: usize,
        /// By how much.
        by: f64,
    },
    /// The groundwater of a seep begins to rise faster by so much, m/s.
    Rise {
        /// The seep.
        seep: usize,
        /// By how much.
        by: f64,
    },
}

/// What comes in over a time.
#[derive(Clone, Debug, PartialEq)]
pub struct Timeline {
    start: Forcing,
    changes: Vec<(f64, Change)>,
    /// When the last ramp of each store is over.
    last_ramp_s: Vec<f64>,
    /// What each store gets at the start beside its ramps.
    base: Vec<f64>,
}

/// A slope that is a smaller share of the steepest is what rounding left over of it.
const ROUNDING: f64 = 1e-9;
/// Changes closer together than this happen at once.
pub(crate) const AT_ONCE_S: f64 = 1e-6;

impl Timeline {
    /// A timeline from what comes at its start, and its changes in any order.
    pub fn new(start: Forcing, mut changes: Vec<(f64, Change)>) -> Self {
        changes.retain(|(at_s, _)| at_s.is_finite());
        changes.sort_by(|one, other| one.0.total_cmp(&other.0));
        let mut last_ramp_s = vec![f64::MIN; start.inflow.len()];
        for (at_s, change) in &changes {
            if let Change::Ramp { store, .. } = change
                && let Some(last) = last_ramp_s.get_mut(*store)
            {
                *last = *at_s;
            }
        }
        let base = start.inflow.iter().map(|(flow, _)| *flow).collect();
        Self { start, changes, last_ramp_s, base }
    }
    /// The same from a time on, as if that were its start.
    #[must_use]
    pub fn after(&self, time_s: f64) -> Self {
        let (mut start, mut base) = (self.start.clone(), self.base.clone());
        let mut now_s = 0.0;
        let mut changes = Vec::new();
        for (at_s, change) in &self.changes {
            if *at_s >= time_s {
                changes.push((*at_s - time_s, *change));
                continue;
            }
            start.advance(at_s - now_s);
            now_s = *at_s;
            match *change {
                Change::Ramp { store, by } => start.inflow.get_mut(store).into_iter().for_each(|inflow| inflow.1 += by),
                Change::Step { store, by } => {
                    start.inflow.get_mut(store).into_iter().for_each(|inflow| inflow.0 += by);
                    base.get_mut(store).into_iter().for_each(|base| *base += by);
                }
                Change::Rise { seep, by } => start.table.get_mut(seep).into_iter().for_each(|table| table.1 += by),
            }
        }
        start.advance((time_s - now_s).max(0.0));
        Self { base, ..Self::new(start, changes) }
    }
    /// What comes at its start.
    pub fn start(&self) -> &Forcing {
        &self.start
    }
    /// When the last runoff is in.
    pub fn last_ramp_s(&self) -> f64 {
        self.last_ramp_s.iter().copied().fold(0.0, f64::max)
    }
    /// What has come into all stores together from outside by each of some times in order, m³; groundwater is not in it.
    pub fn brought_m3(&self, times_s: &[f64]) -> Vec<f64> {
        let sums =
            |values: &[(f64, f64)]| values.iter().fold((0.0, 0.0), |sum, value| (sum.0 + value.0, sum.1 + value.1));
        let (mut flow, mut growth) = sums(&self.start.inflow);
        let (mut now_s, mut brought) = (0.0, 0.0);
        let mut changes = self.changes.iter().peekable();
        let mut found = Vec::with_capacity(times_s.len());
        for at_s in times_s {
            while let Some((change_s, change)) = changes.next_if(|(change_s, _)| change_s <= at_s) {
                let time_s = change_s - now_s;
                brought += (flow + 0.5 * growth * time_s) * time_s;
                flow += growth * time_s;
                now_s = *change_s;
                match change {
                    Change::Ramp { by, .. } => growth += by,
                    Change::Step { by, .. } => flow += by,
                    Change::Rise { .. } => {}
                }
            }
            let time_s = at_s - now_s;
            found.push(brought + (flow + 0.5 * growth * time_s) * time_s);
        }
        found
    }
    /// From when on nothing that comes into any store grows, and no groundwater rises; infinite where something does for
    /// ever.
    pub fn only_falls_from_s(&self) -> f64 {
        let slopes = |values: &[(f64, f64)]| values.iter().map(|(_, slope)| (*slope, *slope)).collect();
        // of each store and seep: its slope, and the steepest that it had, by which rounding is told from growth
        let mut inflow: Vec<(f64, f64)> = slopes(&self.start.inflow);
        let mut table: Vec<(f64, f64)> = slopes(&self.start.table);
        let grows = |(slope, steepest): &(f64, f64)| *slope > steepest.abs() * ROUNDING;
        let mut last_s = 0.0;
        for (at_s, change) in &self.changes {
            let (of, by) = match *change {
                Change::Ramp { store, by } => (inflow.get_mut(store), by),
                Change::Rise { seep, by } => (table.get_mut(seep), by),
                Change::Step { by, .. } => {
                    if by > 0.0 {
                        last_s = *at_s;
                    }
                    continue;
                }
            };
            let Some(of) = of else { continue };
            if grows(of) {
                last_s = *at_s;
            }
            of.0 += by;
            of.1 = of.1.abs().max(of.0.abs()).max(by.abs());
        }
        if inflow.iter().chain(&table).any(grows) { f64::INFINITY } else { last_s }
    }
}

/// A router on its way along a timeline. A copy of it goes its own way from there on.
#[derive(Clone, Debug)]
pub struct Follower<'s> {
    /// The router.
    pub router: Router<'s>,
    timeline: &'s Timeline,
    next: usize,
    forcing: Forcing,
    /// What each store gets beside its ramps.
    base: Vec<f64>,
}

impl<'s> Follower<'s> {
    /// At the start of a timeline.
    pub fn new(router: Router<'s>, timeline: &'s Timeline) -> Self {
        Self { router, timeline, next: 0, forcing: timeline.start.clone(), base: timeline.base.clone() }
    }
    /// What comes in now.
    pub fn forcing(&self) -> &Forcing {
        &self.forcing
    }
    /// Follows on up to a time, seconds from the start.
    ///
    /// # Errors
    /// The timeline does not fit the system, or the water could not be followed.
    pub fn until(&mut self, until_s: f64, watch: &mut impl Watch) -> Result<(), RoutingError> {
        while self.until_change(until_s, watch)? {}
        Ok(())
    }
    /// Follows on to the next change of what comes in, at the latest to a time, by the steps that [`Follower::until`]
    /// takes. Gives whether there was anything left to follow.
    ///
    /// # Errors
    /// As [`Follower::until`].
    pub fn until_change(&mut self, latest_s: f64, watch: &mut impl Watch) -> Result<bool, RoutingError> {
        self.take_changes();
        let now_s = self.router.now_s();
        if now_s >= latest_s {
            return Ok(false);
        }
        let next_s = self.timeline.changes.get(self.next).map_or(latest_s, |(at_s, _)| at_s.min(latest_s));
        let piece_s = next_s - now_s;
        self.router.run(piece_s, &self.forcing, watch)?;
        self.forcing.advance(piece_s);
        Ok(true)
    }
    /// Follows on until nothing more runs in but what is steady, the hollows are dry and no pump runs; at the latest to
    /// a time. Looks every so often. Gives whether it came to rest.
    ///
    /// # Errors
    /// As [`Follower::until`].
    pub fn until_rest(&mut self, latest_s: f64, every_s: f64, watch: &mut impl Watch) -> Result<bool, RoutingError> {
        self.until(self.timeline.last_ramp_s().min(latest_s), watch)?;
        let mut every_s = every_s;
        while self.router.now_s() < latest_s {
            if self.router.is_at_rest() {
                return Ok(true);
            }
            self.until((self.router.now_s() + every_s).min(latest_s), watch)?;
            // what stands for hours need not be looked at every minute
            every_s *= 1.1;
        }
        Ok(self.router.is_at_rest())
    }
    fn take_changes(&mut self) {
        let now_s = self.router.now_s() + AT_ONCE_S;
        while let Some((at_s, change)) = self.timeline.changes.get(self.next).filter(|(at_s, _)| *at_s <= now_s) {
            self.next += 1;
            match *change {
                Change::Ramp { store, by } => {
                    let over = self.timeline.last_ramp_s.get(store).is_some_and(|last| at_s >= last)
                        && !self
                            .timeline
                            .changes
                            .iter()
                            .skip(self.next)
                            .take_while(|(later, _)| later <= at_s)
                            .any(|(_, later)| matches!(later, Change::Ramp { store: other, .. } if *other == store));
                    let base = self.base.get(store).copied().unwrap_or(0.0);
                    if let Some(inflow) = self.forcing.inflow.get_mut(store) {
                        inflow.1 += by;
                        // what rounding left over of the runoff ends with it
                        if over {
                            *inflow = (base, 0.0);
                        }
                    }
                }
                Change::Step { store, by } => {
                    if let (Some(inflow), Some(base)) = (self.forcing.inflow.get_mut(store), self.base.get_mut(store)) {
                        inflow.0 += by;
                        *base += by;
                    }
                }
                Change::Rise { seep, by } => {
                    if let Some(table) = self.forcing.table.get_mut(seep) {
                        table.1 += by;
                    }
                }
            }
        }
    }
}

impl Timeline {
    /// Nothing but what a system gets anyway.
    pub fn steady(system: &System) -> Self {
        Self::new(Forcing::none(system), Vec::new())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    fn from_s(start: Forcing, changes: &[(f64, Change)]) -> f64 {
        Timeline::new(start, changes.to_vec()).only_falls_from_s()
    }

    /// 1 m³/s to 10 s, up by 0.3 m³/s² to 20 s: 4 m³/s, a jump to 6 at 30 s.
    #[test]
    fn identity_what_has_come_is_the_area_under_the_flow() {
        let start = Forcing { inflow: vec![(0.75, 0.0), (0.25, 0.0)], table: Vec::new() };
        let changes = [
            (30.0, Change::Step { store: 1, by: 2.0 }),
            (10.0, Change::Ramp { store: 0, by: 0.3 }),
            (20.0, Change::Ramp { store: 0, by: -0.3 }),
        ];
        let come = Timeline::new(start, changes.to_vec()).brought_m3(&[0.0, 10.0, 15.0, 20.0, 30.0, 31.0]);
        for (found, by_hand) in come.iter().zip([0.0, 10.0, 10.0 + 8.75, 10.0 + 25.0, 75.0, 81.0]) {
            assert_abs_diff_eq!(*found, by_hand, epsilon = 1e-9);
        }
    }

    #[test]
    fn identity_what_comes_only_falls_from_its_last_rise_on() {
        let two = || Forcing { inflow: vec![(1.0, 0.0), (0.0, 0.0)], table: vec![(5.0, 0.0)] };
        let ramp = |at_s, store, by| (at_s, Change::Ramp { store, by });
        assert_abs_diff_eq!(from_s(two(), &[]), 0.0);
        // up from 10 s to 20 s, level to 30 s, down to 40 s
        let hill = [ramp(10.0, 0, 0.3), ramp(20.0, 0, -0.3), ramp(30.0, 0, -0.3), ramp(40.0, 0, 0.3)];
        assert_abs_diff_eq!(from_s(two(), &hill), 20.0);
        // while one falls the other still grows, more slowly from 32 s on, to 35 s
        let other = [ramp(5.0, 1, 0.2), ramp(32.0, 1, -0.1), ramp(35.0, 1, -0.1)];
        assert_abs_diff_eq!(from_s(two(), &[&hill[..], &other].concat()), 35.0);
        // a step down is no rise, a step up is
        assert_abs_diff_eq!(from_s(two(), &[(7.0, Change::Step { store: 1, by: -0.1 })]), 0.0);
        assert_abs_diff_eq!(from_s(two(), &[(7.0, Change::Step { store: 1, by: 0.1 })]), 7.0);
        // so does groundwater
        let rise = |at_s, by| (at_s, Change::Rise { seep: 0, by });
        assert_abs_diff_eq!(from_s(two(), &[rise(3.0, 1e-4), rise(50.0, -1e-4), rise(60.0, -1e-5)]), 50.0);
        // what grows for ever, from the start or from later on
        assert!(from_s(two(), &[ramp(10.0, 0, 0.3)]).is_infinite());
        let growing = Forcing { inflow: vec![(1.0, 0.1), (0.0, 0.0)], table: Vec::new() };
        assert!(from_s(growing.clone(), &[]).is_infinite());
        assert_abs_diff_eq!(from_s(growing, &[ramp(12.0, 0, -0.1)]), 12.0);
        // what rounding leaves over is no growth
        let left = [ramp(1.0, 0, 0.1), ramp(2.0, 0, 0.2), ramp(3.0, 0, -0.3)];
        assert_abs_diff_eq!(from_s(two(), &left), 3.0);
        let later = [&left[..], &[ramp(9.0, 0, -0.1), ramp(19.0, 0, 0.1)]].concat();
        assert_abs_diff_eq!(from_s(two(), &later), 3.0);
    }
}
