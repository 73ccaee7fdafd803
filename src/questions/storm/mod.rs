//! The course of one storm through the yard: what comes, what stands, what the pumps do, moment by moment.
//!
//! The storm is followed twice, by the same steps: once to see what happens and when, and once to look at the moments
//! that the first pass showed to be worth looking at. Looking on changes nothing, so no result depends on how often it
//! is looked.

mod asked;
mod chart;
mod course;
mod error;
mod events;
mod intervals;
mod runs;
mod watching;

#[cfg(test)]
mod tests;

pub use asked::{PowerCase, ShapeAsked, StormAsked};
pub use chart::{Chart, Column};
pub use course::{Balance, BasinLevels, Course, Row, course};
pub use error::StormError;
pub use events::{Event, Happens, Span, Spanned};
pub use intervals::{LONGEST_ASKED, MOST_ROWS};
pub use runs::Switched;
