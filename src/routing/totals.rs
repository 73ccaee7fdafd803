//! What is counted on the way: volumes that went along each way, run times, starts, how high and how long.

use crate::quantity::Level;

/// A level of a store that is watched.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mark {
    /// The store, by index.
    pub store: usize,
    /// The level.
    pub level: Level,
}

/// What was seen of a watched level. Times in seconds from the start.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Seen {
    /// When the water first stood above it.
    pub first_s: Option<f64>,
    /// Since when it stands above it now.
    pub since_s: Option<f64>,
    /// The longest unbroken time above it, the present one included once it has ended.
    pub longest_s: f64,
    /// All the time above it that has ended.
    pub above_s: f64,
    /// How often it rose above it.
    pub times: u64,
}

impl Seen {
    pub(super) fn rises(&mut self, at_s: f64) {
        self.first_s = self.first_s.or(Some(at_s));
        self.since_s = Some(at_s);
        self.times += 1;
    }
    pub(super) fn falls(&mut self, at_s: f64) {
        if let Some(since_s) = self.since_s.take() {
            self.longest_s = self.longest_s.max(at_s - since_s);
            self.above_s += at_s - since_s;
        }
    }
    /// The longest unbroken time above it up to now.
    pub fn longest_until(&self, now_s: f64) -> f64 {
        self.since_s.map_or(self.longest_s, |since_s| self.longest_s.max(now_s - since_s))
    }
    /// All the time above it up to now.
    pub fn above_until(&self, now_s: f64) -> f64 {
        self.above_s + self.since_s.map_or(0.0, |since_s| now_s - since_s)
    }
}

/// The most that a store held.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Highest {
    /// How much, m³.
    pub volume_m3: f64,
    /// When, seconds from the start.
    pub at_s: f64,
}

/// Sums since the start.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Totals {
    /// What came in from outside to each store, m³.
    pub inflow_m3: Vec<f64>,
    /// What went along each path, m³.
    pub paths_m3: Vec<f64>,
    /// What seeped in at each seep, m³.
    pub seeps_m3: Vec<f64>,
    /// What the pumps took out, m³.
    pub pumped_m3: f64,
    /// What of that ran back out of the line, m³.
    pub ran_back_m3: f64,
    /// How long the first pump ran, s.
    pub lead_s: f64,
    /// How long the second did, s.
    pub lag_s: f64,
    /// How often the first started.
    pub lead_starts: u64,
    /// How often the second did.
    pub lag_starts: u64,
}

impl Totals {
    pub(super) fn none(stores: usize, paths: usize, seeps: usize) -> Self {
        Self { inflow_m3: vec![0.0; stores], paths_m3: vec![0.0; paths], seeps_m3: vec![0.0; seeps], ..Self::default() }
    }
    /// What the pumps took away for good.
    pub fn left_by_pump_m3(&self) -> f64 {
        self.pumped_m3 - self.ran_back_m3
    }
    /// Starts of both pumps.
    pub fn starts(&self) -> u64 {
        self.lead_starts + self.lag_starts
    }
    /// Adds what was counted since an earlier moment so many times over.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a whole number of cycles below 2^53")]
    pub(super) fn repeat(&mut self, since: &Self, times: f64) {
        let again = |now: &mut f64, then: f64| *now += times * (*now - then);
        let vectors = [
            (&mut self.inflow_m3, &since.inflow_m3),
            (&mut self.paths_m3, &since.paths_m3),
            (&mut self.seeps_m3, &since.seeps_m3),
        ];
        for (now, then) in vectors {
            for (now, then) in now.iter_mut().zip(then) {
                again(now, *then);
            }
        }
        again(&mut self.pumped_m3, since.pumped_m3);
        again(&mut self.ran_back_m3, since.ran_back_m3);
        again(&mut self.lead_s, since.lead_s);
        again(&mut self.lag_s, since.lag_s);
        self.lead_starts += (self.lead_starts - since.lead_starts) * times as u64;
        self.lag_starts += (self.lag_starts - since.lag_starts) * times as u64;
    }
}
