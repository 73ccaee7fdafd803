//! What follows from a design for the work: quantities, prices, stations, the first start, the supply. Renders nothing.

pub mod takeoff;

use crate::design::Design;
use crate::site::Site;

/// All that the papers of a job show beside the design.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Job {
    /// Quantities, hours, what it costs.
    pub takeoff: takeoff::Takeoff,
}

/// Works a job out.
pub fn job(site: &Site, design: &Design) -> Job {
    Job { takeoff: takeoff::takeoff(site, design) }
}
