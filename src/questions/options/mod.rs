//! The cheapest set that works: pumps, pipe sizes, basins and float settings tried with one another.
//!
//! A set changes the site as editing its file would: the text is edited, and what is tried is what was read from it.
//! Whether a set holds, [`crate::design::trial`] says; none is turned down by anything else.

mod cost;
mod edit;
mod error;
mod lists;
mod result;
mod save;
mod sites;
mod spare;
mod words;
mod worth;

pub use cost::{Costing, Energy, Priced};
pub use error::OptionsError;
pub use lists::{Floats, Lists, MOST_SETS, UnusedPrice};
pub use result::{InEverySet, Options, Reason, Tried, options};
pub use save::saved;
pub use spare::{Spare, SpareOf};
pub use words::{across, floats_words, said, set_words};
pub use worth::{MOST_SHOWN, as_printed, better_or_as_good};
