//! How long a run a pump does its job through: for each pump and each size of pipe, or for lifts around the site's own.
//!
//! The job is looked at from the run as drawn outward, or from next to no run where that fails, up to the first length at
//! which it is no longer done. All lengths tried are whole feet (or fifths of a metre), so that what is printed is what
//! was tried.

mod asked;
mod error;
mod extent;
mod found;
mod lifts;
mod quick;
mod search;
mod trying;
mod words;

#[cfg(test)]
mod tests;

pub use asked::{Job, JobAsked, PipesAsked, ReachAsked, TakenFrom};
pub use error::ReachError;
pub use extent::{Extent, Margin};
pub use found::{Case, Reach, reach};
pub use quick::{QUICK_PUMP, Quick, QuickError, quick_site};
pub(crate) use words::{LIFT_COUNTED, assumed_words, extent_words, flow_words, job_words, line_words, margin_words};
pub use words::{drawn_words, run_words, sentences};
