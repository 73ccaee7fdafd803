//! How far a job is done, and how far that is from the run as drawn.

use crate::design::Phrase;
use crate::quantity::Length;

/// How far a job is done.
#[derive(Clone, Debug, PartialEq)]
pub enum Extent {
    /// Not even through next to no run.
    Never {
        /// Why.
        why: Phrase,
    },
    /// Up to a length.
    UpTo {
        /// The shortest run that it is known to be done through, where that is not next to none.
        from: Option<Length>,
        /// The longest.
        longest: Length,
    },
    /// Through every run that was tried.
    AnyLength {
        /// The shortest, as above.
        from: Option<Length>,
        /// The longest that was tried.
        tried: Length,
    },
}

impl Extent {
    /// The longest run that the job is known to be done through.
    pub fn longest(&self) -> Option<Length> {
        match self {
            Self::Never { .. } => None,
            Self::UpTo { longest, .. } => Some(*longest),
            Self::AnyLength { tried, .. } => Some(*tried),
        }
    }
    /// The shortest that it is known to be done through, where that is not next to none.
    pub fn from(&self) -> Option<Length> {
        match self {
            Self::Never { .. } => None,
            Self::UpTo { from, .. } | Self::AnyLength { from, .. } => *from,
        }
    }
}

/// The run as drawn beside the longest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Margin {
    /// It is so much shorter.
    Spare(Length),
    /// It is at least so much shorter: longer runs than were tried would do.
    AtLeast(Length),
    /// It is so much too long.
    Short(Length),
    /// No run is short enough.
    Never,
    /// It is shorter than the runs for which anything is known, or something else stands against it that a longer run
    /// cures.
    TooShort,
}
