//! What a design rests on, how far each part of it is likely to be otherwise, and the site in which it is.

mod assumption;
mod change;

pub use assumption::{Assumption, Counted, Spread};
pub(crate) use change::otherwise;

use crate::site::{Catchment, RunoffFrom};

/// Whether a surface goes by a runoff coefficient.
pub(crate) fn is_table(catchment: &Catchment) -> bool {
    catchment.runoff_from == RunoffFrom::Table
}
/// Whether it goes by a curve number.
pub(crate) fn is_curve_number(catchment: &Catchment) -> bool {
    catchment.runoff_from == RunoffFrom::CurveNumber && catchment.curve_number.is_some()
}
