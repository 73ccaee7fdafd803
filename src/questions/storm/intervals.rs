//! At which times a course is shown: finely around the burst, coarsely where little happens.

use super::{StormAsked, StormError};
use crate::hydrology::Hydrograph;
use crate::quantity::{Duration, Flow};

/// More rows than this are not shown.
pub const MOST_ROWS: usize = 20_000;
/// Rows within what is drawn, at the most: more than a drawing has places across.
const MOST_DRAWN: f64 = 1000.0;
/// The longest time that may be asked for: longer than any storm is followed.
pub const LONGEST_ASKED: Duration = Duration::from_day(30.0);

/// Intervals that people count in, seconds.
const USUAL_S: [f64; 18] = [
    1.0, 2.0, 5.0, 10.0, 20.0, 30.0, 60.0, 120.0, 300.0, 600.0, 900.0, 1800.0, 3600.0, 7200.0, 10800.0, 21600.0,
    43200.0, 86400.0,
];
/// Rows around the burst, at the most.
const FINE_ROWS: f64 = 36.0;
/// Rows of the rest of the rain, about.
const QUIET_ROWS: f64 = 14.0;
/// Rows after it, about.
const AFTER_ROWS: f64 = 6.0;
/// The burst is where more than this share of the peak runs off.
const BURST_SHARE: f64 = 0.25;
/// Room on both sides of the burst, as a share of it.
const ROOM: f64 = 0.125;
/// Water that stands is shown finely for so many times the burst's length, and coarsely from then on.
const STANDING_SHOWN: f64 = 2.0;
/// A storm that is no longer than so many times its burst is shown finely all through.
const SHORT: f64 = 2.5;
/// What rounding makes of times.
const SAME: f64 = 1e-9;

/// Which times are shown.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Times {
    /// The interval within the window.
    pub(super) every: Duration,
    /// The intervals outside it, where anything is: while it rains, and from the end of the rain on.
    pub(super) quiet: Option<(Duration, Duration)>,
    /// From when to when it is shown finely.
    pub(super) window: (Duration, Duration),
    /// From when to when it is drawn.
    pub(super) drawn: (Duration, Duration),
    /// The times of the rows, in order.
    pub(super) rows: Vec<Duration>,
}

/// The shortest usual interval that is no shorter than a time.
fn usual(at_least: Duration) -> Duration {
    let found = USUAL_S.iter().find(|seconds| **seconds >= at_least.s() * (1.0 - SAME));
    Duration::from_s(found.copied().unwrap_or(86400.0))
}

/// What a course is looked at for.
pub(super) struct Looked<'a> {
    pub(super) runoff: &'a Hydrograph,
    /// How long it rains.
    pub(super) lasts: Duration,
    /// From when until when water stands.
    pub(super) stands: Option<(Duration, Duration)>,
    /// When the deepest water stands, where any does.
    pub(super) deepest_at: Option<Duration>,
    /// How long it was followed.
    pub(super) followed: Duration,
}

impl Looked<'_> {
    /// The time around the burst.
    fn burst(&self) -> (Duration, Duration) {
        let (_, peak) = self.runoff.peak();
        let least = peak * BURST_SHARE;
        let mut inside = (None, None);
        let mut before: Option<(Duration, Flow)> = None;
        for (at, flow) in self.runoff.points() {
            if let Some((earlier, less)) = before
                && (flow >= least) != (less >= least)
            {
                let crossing = earlier + (at - earlier) * ((least - less) / (flow - less));
                if flow >= least {
                    inside.0 = inside.0.or(Some(crossing));
                } else {
                    inside.1 = Some(crossing);
                }
            }
            before = Some((at, flow));
        }
        let (mut from, mut until) = match inside {
            (Some(from), Some(until)) => (from, until),
            _ => (Duration::ZERO, self.lasts),
        };
        let long = until - from;
        if let Some((stands, gone)) = self.stands {
            from = from.min(stands.max(from - long * STANDING_SHOWN));
            until = until.max(gone.min(until + long * STANDING_SHOWN));
        }
        let room = (until - from) * ROOM;
        ((from - room).max(Duration::ZERO), (until + room).min(self.followed))
    }
}

/// The times to show.
///
/// # Errors
/// Nothing lies in the window, or the rows are too many.
pub(super) fn times(asked: &StormAsked, looked: &Looked<'_>) -> Result<Times, StormError> {
    let end = looked.followed;
    let from = asked.from.unwrap_or(Duration::ZERO);
    let until = asked.until.unwrap_or(end).min(end);
    if from >= until {
        return Err(StormError::EmptyWindow { from, until: asked.until.unwrap_or(end), followed: end });
    }
    let windowed = asked.from.is_some() || asked.until.is_some();
    let burst = looked.burst();
    let short = (burst.1 - burst.0) * SHORT >= end;
    let mut window = if windowed {
        (from, until)
    } else if short {
        (Duration::ZERO, end)
    } else {
        burst
    };
    let every = asked.every.unwrap_or_else(|| usual((window.1 - window.0) / FINE_ROWS));
    if !windowed {
        window.0 = every * libm::floor(window.0 / every + SAME);
        window.1 = (every * libm::ceil(window.1 / every - SAME)).min(end);
    }
    // after the rain less happens than before
    let rained = looked.lasts.max(window.1).min(until);
    let raining = (window.0 - from) + (rained - window.1);
    let outside = raining + (until - rained);
    let quiet = (outside > every * SAME).then(|| {
        let quiet = usual((raining / QUIET_ROWS).max(every));
        (quiet, usual(((until - rained) / AFTER_ROWS).max(quiet)))
    });
    let outside = looked.deepest_at.is_some_and(|at| at < window.0 || at > window.1);
    let drawn = if outside && !windowed {
        (Duration::ZERO, (looked.lasts.max(looked.deepest_at.unwrap_or(looked.lasts)) * (1.0 + ROOM)).min(end))
    } else {
        window
    };
    let finely = asked.every_drawn.map(|finely| finely.max((drawn.1 - drawn.0) / MOST_DRAWN).min(every));
    let spans = match (quiet, finely) {
        (quiet, Some(finely)) if asked.every.is_none() => {
            let coarse = quiet.map_or(every, |(quiet, _)| quiet);
            vec![(from, drawn.0, coarse), (drawn.0, drawn.1, finely), (drawn.1, until, coarse)]
        }
        (Some((quiet, after)), None) if asked.every.is_none() => {
            vec![
                (from, window.0, quiet),
                (window.0, window.1, every),
                (window.1, rained, quiet),
                (rained, until, after),
            ]
        }
        _ => vec![(from, until, every)],
    };
    let count: f64 = spans.iter().map(|(from, until, step)| (*until - *from) / *step).sum();
    if count > MOST_ROWS as f64 {
        return Err(StormError::TooManyRows { rows: count, at_least: usual((until - from) / MOST_ROWS as f64) });
    }
    let mut rows = vec![from];
    for (from, until, step) in spans {
        let mut number = libm::floor(from / step + SAME) + 1.0;
        while step * number < until - step * SAME {
            rows.push(step * number);
            number += 1.0;
        }
        if until > from {
            rows.push(until);
        }
    }
    rows.dedup_by(|after, before| *after - *before < every * SAME);
    Ok(Times { every, quiet, window, drawn, rows })
}
