//! What the yard looks like in a storm: the design's own answer to how deep water stands, and for how long.

mod curves;
mod cycle_phase;
mod goal;
mod incoming;
mod inflow;
mod long_rain;
mod network;
mod outcome;
mod places;
mod power_cut;
mod pumps;
mod soil;
mod verdict;

pub use goal::{Cure, GoalOutcome};
pub use outcome::{HollowOutcome, StormOutcome};
pub use power_cut::{BatteryOutcome, PowerCut};
pub use soil::{ShedsMore, SoilTakesLess};
pub use verdict::{ComesNear, NotFollowed, OtherPumps, PeriodOutcome, ReachedOtherwise, StormsResult};

pub(crate) use cycle_phase::could_miss;
pub(in crate::design) use cycle_phase::kept_anywhere;
pub(crate) use goal::{ROUNDING, against};
pub(crate) use incoming::Incoming;
pub(crate) use inflow::{Coming, coming, longest, shortest};
pub(in crate::design) use long_rain::longest_missed;
pub(crate) use network::Network;
#[cfg(test)]
pub(crate) use outcome::TOLERANCE;
pub(crate) use outcome::{LEAST_DEPTH, Yard};
pub(in crate::design) use soil::listed;
pub(crate) use verdict::{Ready, Run, Until, goes_in, reached_in, ready_for, without_stone};
pub(in crate::design) use verdict::{design_storm, ready, storms};
