//! What follows from a design for the work: quantities, prices, stations, the first start, the supply. Renders nothing.

use crate::design::Design;
use crate::site::Site;

/// All that the papers of a job show beside the design.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Job {}

/// Works a job out.
pub fn job(_site: &Site, _design: &Design) -> Job {
    Job {}
}
