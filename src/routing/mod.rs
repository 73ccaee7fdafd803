//! Water moving through low spots, boxes, trenches and the basin in time, with pumps that start and stop.
//!
//! A [`System`] of level pools and quasi-steady ways is followed by a [`Router`] through stretches of time in which
//! what comes in is straight ([`Forcing`]). What each store holds is integrated by an L-stable method with error
//! control; floats are found where they switch, not at the next step; whole pump cycles under a constant inflow are
//! counted, not followed.
//!
//! Limits: level pools, no waves, no air; pumps start and stop at once; seconds of filling and stopping are left out.

mod dense;
mod path;
mod rates;
mod rating;
mod rosenbrock;
mod router;
mod storage;
mod system;
#[cfg(test)]
mod tests;
mod timeline;
mod totals;

pub use path::{BROAD_CREST, FullPipe, PIPE_ENTRY_LOSS, Path, PathKind, crest_depth};
pub use rates::{Forcing, Running};
pub use rating::Rating;
pub use router::{Moments, Recording, Router, Stretch, Switch, Unwatched, Watch};
pub use storage::StageStorage;
pub use system::{Floats, Seep, Station, System};
pub(crate) use timeline::AT_ONCE_S;
pub use timeline::{Change, Follower, Timeline};
pub use totals::{Highest, Mark, Seen, Totals};

use thiserror::Error;

/// Why nothing could be routed.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum RoutingError {
    /// A store without levels, with levels that fall or a number that is none.
    #[error("a store needs rising levels, each with a water surface")]
    BadStore,
    /// A way that leads nowhere, or a number that is none.
    #[error("a way needs two stores that exist, and numbers above zero")]
    BadPath,
    /// Pumps with floats the wrong way round, or a number that is none.
    #[error("pumps need a store that exists and an on level above the off level")]
    BadStation,
    /// Flows that are negative or not a number, or levels that do not rise.
    #[error("a pump's rating needs rising levels, and flows of zero or more")]
    BadRating,
    /// The inflow does not belong to the system, or is not a number.
    #[error("the inflow does not fit the stores")]
    BadForcing,
    /// The steps became too small: the system cannot be followed.
    #[error("the water could not be followed beyond {at_s} s")]
    Stuck {
        /// Up to when it could.
        at_s: f64,
    },
    /// More switching than anybody would want to read.
    #[error("the pumps switch without end at {at_s} s")]
    TooManySwitches {
        /// When it was given up.
        at_s: f64,
    },
}
