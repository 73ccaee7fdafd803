//! Why a course could not be shown.

use super::intervals::{LONGEST_ASKED, MOST_ROWS};
use crate::design::NotFollowed;
use crate::hydrology::RainError;
use crate::quantity::{Amount, Duration, ReturnPeriod, UnitSystem};
use crate::routing::RoutingError;
use thiserror::Error;

/// Why a course could not be shown.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum StormError {
    /// The file has no rain of this return period.
    #[error("the file has no {} rain{}", show(*asked), known_words(known))]
    NoSuchPeriod {
        /// What was asked.
        asked: ReturnPeriod,
        /// What the file has; empty where its rain names no period.
        known: Vec<ReturnPeriod>,
    },
    /// The rain of this return period does not reach a duration that a surface needs.
    #[error("the rain of this return period does not reach a duration that a surface needs; `size` says which")]
    LeftOut,
    /// One intensity was entered and a storm asked for that needs to know how long it rains.
    #[error("the file has one rain intensity, which does not say how long it rains")]
    OneIntensity,
    /// The site cannot be followed.
    #[error("the storm cannot be followed: {0}")]
    NotFollowed(NotFollowed),
    /// The rain is not known for the storm asked for.
    #[error("{0}")]
    Rain(RainError),
    /// A time that is none.
    #[error("{what} must be {}, not {}", if *or_zero { "zero or more" } else { "more than zero" }, Amount::of(*given).show(UnitSystem::Us))]
    BadTime {
        /// What it is for, in words.
        what: &'static str,
        /// What was given.
        given: Duration,
        /// Whether zero would do.
        or_zero: bool,
    },
    /// A time that lies too far off.
    #[error("{what} is {}: nothing is followed beyond {}", Amount::of(*given).show(UnitSystem::Us), Amount::of(LONGEST_ASKED).show(UnitSystem::Us))]
    TooLong {
        /// What it is for, in words.
        what: &'static str,
        /// What was given.
        given: Duration,
    },
    /// The last time to show does not come after the first, or the first lies beyond the end.
    #[error("nothing lies between {} and {}: the storm was followed for {}", hours(*from), hours(*until), hours(*followed))]
    EmptyWindow {
        /// The first time.
        from: Duration,
        /// The last.
        until: Duration,
        /// How long the storm was followed.
        followed: Duration,
    },
    /// The power goes only when the storm is over and the yard at rest.
    #[error("the power would go at {}, when all is over: the yard is at rest after {}", hours(*at), hours(*followed))]
    PowerOffTooLate {
        /// When it was said to go.
        at: Duration,
        /// When the yard is at rest.
        followed: Duration,
    },
    /// More rows than anybody reads.
    #[error("{rows:.0} rows are too many: at most {MOST_ROWS} are shown")]
    TooManyRows {
        /// How many it would be.
        rows: f64,
        /// The shortest usual interval that would do.
        at_least: Duration,
    },
}

fn show(period: ReturnPeriod) -> String {
    Amount::of(period).show(UnitSystem::Us)
}

fn hours(time: Duration) -> String {
    format!("{:.2} h", time.h())
}

fn known_words(known: &[ReturnPeriod]) -> String {
    if known.is_empty() {
        return ": its rain names no return period".to_owned();
    }
    let known: Vec<String> = known.iter().map(|period| show(*period)).collect();
    format!("; it has {}", known.join(", "))
}

impl From<NotFollowed> for StormError {
    fn from(error: NotFollowed) -> Self {
        Self::NotFollowed(error)
    }
}
impl From<RainError> for StormError {
    fn from(error: RainError) -> Self {
        Self::Rain(error)
    }
}
impl From<RoutingError> for StormError {
    fn from(error: RoutingError) -> Self {
        Self::NotFollowed(NotFollowed::Routing(error))
    }
}
