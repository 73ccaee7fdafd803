//! Why the question could not be answered.

use super::lists::MOST_SETS;
use crate::design::DesignError;
use thiserror::Error;

/// Why sets could not be tried, or one of them not be saved.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum OptionsError {
    /// The text is no site file that can be used.
    #[error("the site file has errors: `sumpwright check` lists them")]
    NoSite,
    /// Nothing says what a set has to do.
    #[error("nothing says what a set has to do: the file has no goal")]
    NoGoal,
    /// A size of pipe that is not made.
    #[error("no {material} of {size} is in the table; it has {}", sizes.join(", "))]
    SizeNotMade {
        /// The material of the runs.
        material: String,
        /// The size asked for.
        size: String,
        /// The sizes made.
        sizes: Vec<String>,
    },
    /// Diameters were entered for a basin that has none.
    #[error("the basin is rectangular, and `options.basins` lists diameters of a round one")]
    Rectangular,
    /// More sets than anybody waits for.
    #[error(
        "{} sets would have to be tried, {pumps} pumps x {pipes} pipes x {basins} basins x {floats} float settings: at most {MOST_SETS} are",
        pumps.saturating_mul(*pipes).saturating_mul(*basins).saturating_mul(*floats)
    )]
    TooMany {
        /// Pumps.
        pumps: usize,
        /// Sizes of pipe.
        pipes: usize,
        /// Basins.
        basins: usize,
        /// Float settings.
        floats: usize,
    },
    /// The site as drawn cannot be worked out.
    #[error("{0}")]
    Design(#[from] DesignError),
    /// There is no choice of this number.
    #[error("there is no choice {asked}: {}", match choices { 0 => "no set holds".to_owned(), 1 => "there is one".to_owned(), more => format!("they go from 1 to {more}") })]
    NoSuchChoice {
        /// What was asked.
        asked: usize,
        /// How many there are.
        choices: usize,
    },
    /// The file cannot be rewritten.
    #[error("the site file can be read, but not be written anew with the set in it: {0}")]
    NotRewritten(String),
}
