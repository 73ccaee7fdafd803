//! When each pump ran.

use crate::quantity::Duration;

/// A pump that was switched.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Switched {
    /// When, from the start of the rain.
    pub at: Duration,
    /// Which pump: 1 or 2.
    pub pump: u8,
    /// Whether it started.
    pub on: bool,
}

/// The times at which one pump ran.
#[derive(Clone, Debug, Default)]
pub(super) struct Runs {
    /// When each run began and ended, in order, and how long it had run before, seconds.
    runs: Vec<(f64, f64, f64)>,
}

impl Runs {
    /// Of one pump, a run that goes on at the end cut off there.
    pub(super) fn of(pump: u8, switches: &[Switched], end: Duration) -> Self {
        let mut runs = Vec::new();
        let (mut since_s, mut before_s) = (None, 0.0);
        let off_at_end = Switched { at: end, pump, on: false };
        for switch in switches.iter().chain([&off_at_end]).filter(|switch| switch.pump == pump) {
            let at_s = switch.at.s();
            match (switch.on, since_s) {
                (true, None) => since_s = Some(at_s),
                (false, Some(from_s)) => {
                    runs.push((from_s, at_s, before_s));
                    before_s += at_s - from_s;
                    since_s = None;
                }
                _ => {}
            }
        }
        Self { runs }
    }
    /// How long it had run by a time, seconds.
    fn until_s(&self, at_s: f64) -> f64 {
        let begun = self.runs.partition_point(|(from_s, ..)| *from_s <= at_s);
        let last = begun.checked_sub(1).and_then(|last| self.runs.get(last));
        last.map_or(0.0, |(from_s, end_s, before_s)| before_s + end_s.min(at_s) - from_s)
    }
    /// How long it ran between two times.
    pub(super) fn between(&self, from: Duration, until: Duration) -> Duration {
        Duration::from_s((self.until_s(until.s()) - self.until_s(from.s())).max(0.0))
    }
    /// How often it started after one time and up to another; a start with the rain counts as after it.
    pub(super) fn starts_between(&self, from: Duration, until: Duration) -> usize {
        if until <= from {
            return 0;
        }
        let from_s = if from > Duration::ZERO { from.s() } else { -1.0 };
        let by = |at_s: f64| self.runs.partition_point(|(start_s, ..)| *start_s <= at_s);
        by(until.s()).saturating_sub(by(from_s))
    }
}
