//! What follows from a design for the work: quantities, prices, stations, the first start, the supply. Renders nothing.

mod electrical;
mod hole;
mod start_up;
mod stations;
pub mod takeoff;

pub use electrical::{COVER_SOURCE, Electrical, Motor, WireCover, WireDrop};
pub use hole::{CatchBasin, Hole, Mark, PouredCollar};
pub use start_up::FirstStart;
pub use stations::{Lies, Rods, Stations, Trench, TrenchStation};

use crate::design::Design;
use crate::site::Site;

/// All that the papers of a job show beside the design.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// The trenches by stations, and the basin's hole.
    pub stations: Stations,
    /// The first start.
    pub first_start: FirstStart,
    /// The electric supply.
    pub electrical: Electrical,
    /// Quantities, hours, what it costs.
    pub takeoff: takeoff::Takeoff,
}

/// Works a job out.
pub fn job(site: &Site, design: &Design) -> Job {
    Job {
        stations: stations::stations(site, design),
        first_start: start_up::first_start(site, design),
        electrical: electrical::electrical(site, design),
        takeoff: takeoff::takeoff(site, design),
    }
}
