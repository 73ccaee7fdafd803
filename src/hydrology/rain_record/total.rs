//! A running total, and the rain between two of its readings.

use super::limit::Limit;

/// A total that falls below this share of itself has begun again.
const RESTART_SHARE: f64 = 0.5;
/// A total above this that falls to nearly nothing and is back in the next row did not begin again: that was a slip.
const SLIP_M: f64 = 0.02;

/// What a reading tells.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Reading {
    /// The first: rain before it is not known.
    First,
    /// So much fell since the reading before, in metres.
    Fell(f64),
    /// The total began again, and so much fell since.
    Restarted(f64),
    /// The total stays lower, or higher by an impossible step, and so much fell since that step.
    Moved(f64),
    /// Lower than before.
    Negative,
    /// Higher than can be: so much would have fallen.
    Impossible(f64),
}

/// Compares readings in metres.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct RunningTotal {
    base: Option<f64>,
    /// A refused reading, which the next may confirm.
    suspect: Option<f64>,
    /// The total before it began again in the row above.
    older: Option<f64>,
}

impl RunningTotal {
    /// The next reading, some seconds after the one before.
    pub(super) fn read(&mut self, reading: f64, seconds: f64, limit: &Limit) -> Reading {
        let Some(base) = self.base else {
            self.base = Some(reading);
            return Reading::First;
        };
        let fits = |from: f64| reading >= from && limit.believes(reading - from, seconds);
        let older = self.older.take();
        let suspect = self.suspect.take();
        let base = older.filter(|older| *older > SLIP_M && fits(*older)).unwrap_or(base);
        if fits(base) {
            self.base = Some(reading);
            return Reading::Fell(reading - base);
        }
        if let Some(suspect) = suspect.filter(|suspect| fits(*suspect)) {
            self.base = Some(reading);
            return Reading::Moved(reading - suspect);
        }
        if reading >= 0.0 && reading < RESTART_SHARE * base && limit.believes(reading, seconds) {
            self.base = Some(reading);
            self.older = Some(base);
            return Reading::Restarted(reading);
        }
        self.base = Some(base);
        self.suspect = Some(reading);
        if reading < base { Reading::Negative } else { Reading::Impossible(reading - base) }
    }
}
