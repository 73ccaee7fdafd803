//! A clock that is set back: which rows are kept, and where they go.

/// The most that a clock is set back in autumn, and by people.
const MOST_BACK: i64 = 7_200;
const HOUR: i64 = 3_600;

/// Where a row goes in time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Place {
    /// After the row before.
    After(i64),
    /// At the same time.
    Same,
    /// After the row before, because the clock was set back.
    SetBack(i64),
    /// Too far back.
    Back,
}

/// Seconds added to the record's stamps, so that time goes on.
#[derive(Clone, Copy, Debug)]
pub(super) struct ClockBack {
    step: i64,
    /// Times between rows above this are more than one interval.
    longest: i64,
    shift: i64,
}

impl ClockBack {
    pub(super) fn new(step: i64, longest_gap: Option<i64>) -> Self {
        Self { step, longest: longest_gap.unwrap_or(step).max(step), shift: 0 }
    }

    /// A stamp with what was added to the stamps before.
    pub(super) fn at(&self, stamp: i64) -> i64 {
        stamp + self.shift
    }
    /// Whether a time between rows is more than one interval.
    pub(super) fn is_jump(&self, seconds: i64) -> bool {
        seconds > self.longest
    }
    /// Whether a time is two intervals at the most, give or take half of one.
    pub(super) fn is_two_steps(&self, seconds: i64) -> bool {
        seconds <= 2 * self.step + self.step / 2
    }

    /// Places a stamp after that of the row before.
    #[inline]
    pub(super) fn place(&mut self, stamp: i64, before: i64) -> Place {
        let at = stamp + self.shift;
        if self.shift == 0 && at > before {
            return Place::After(at);
        }
        self.place_shifted(stamp, at, before)
    }

    fn place_shifted(&mut self, stamp: i64, at: i64, before: i64) -> Place {
        if at > before {
            // the clock was set forward again, in spring: only as much stays as keeps the rows in order
            let least = stamp.max(before + self.step);
            if at - before > self.longest {
                self.shift = least - stamp;
                return Place::After(least);
            }
            return Place::After(at);
        }
        if at == before {
            return Place::Same;
        }
        // one hour as in autumn where that fits, else whatever makes the row the next one
        let by_hour = at + HOUR;
        let hour_fits = by_hour > before && by_hour - before <= self.longest;
        let placed = if hour_fits { by_hour } else { before + self.step.min(HOUR) };
        if placed - stamp > MOST_BACK + self.step.min(HOUR) {
            return Place::Back;
        }
        self.shift = placed - stamp;
        Place::SetBack(placed)
    }
}
