//! What the user may say about a record, and the words for it.

use crate::quantity::{Duration, Intensity, RainDepth};
use std::fmt;

/// What the numbers of the rain column are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RainKind {
    /// Depth that fell since the row before, or until the next one.
    Depth,
    /// Average intensity over that time.
    Intensity,
    /// A running total.
    Cumulative,
}

impl fmt::Display for RainKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Depth => "depth",
            Self::Intensity => "intensity",
            Self::Cumulative => "running total",
        })
    }
}

/// The unit of the rain column; of intensities it is the same per hour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RainUnit {
    /// Inches.
    Inch,
    /// Millimetres.
    Millimetre,
    /// Hundredths of an inch.
    HundredthInch,
    /// Tenths of a millimetre.
    TenthMillimetre,
}

impl RainUnit {
    /// One of it as a depth.
    pub const fn size(self) -> RainDepth {
        match self {
            Self::Inch => RainDepth::from_inch(1.0),
            Self::Millimetre => RainDepth::from_mm(1.0),
            Self::HundredthInch => RainDepth::from_inch(0.01),
            Self::TenthMillimetre => RainDepth::from_mm(0.1),
        }
    }
}

impl fmt::Display for RainUnit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Inch => "in",
            Self::Millimetre => "mm",
            Self::HundredthInch => "0.01 in",
            Self::TenthMillimetre => "0.1 mm",
        })
    }
}

/// Where a row's time stamp stands in the interval that its rain fell in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StampConvention {
    /// The rain fell from the row before to the stamp.
    IntervalEnds,
    /// The rain fell from the stamp to the next row.
    IntervalStarts,
}

impl fmt::Display for StampConvention {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::IntervalEnds => "a row's interval ends at its time",
            Self::IntervalStarts => "a row's interval starts at its time",
        })
    }
}

/// The order of day and month in dates like `6/3/2014`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DateOrder {
    /// Month, day, year.
    MonthFirst,
    /// Day, month, year.
    DayFirst,
}

/// What the user says about a record. What is left out is taken from the record, or asked for by an error.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RecordOptions {
    /// The column of time: its name, or its number from 1. Two columns, of date and of time of day, are joined with
    /// `+`; so are the columns of year, month, day and, if there, hour, minute and second.
    pub time_column: Option<String>,
    /// The column of rain: its name, or its number from 1.
    pub rain_column: Option<String>,
    /// What the numbers are. Else from the header's words; without any, depths.
    pub kind: Option<RainKind>,
    /// Their unit. Else from the header's words.
    pub unit: Option<RainUnit>,
    /// The usual time between rows. Else the most frequent one of the first rows.
    pub step: Option<Duration>,
    /// The longest time between rows that is no gap. Else one and a half steps; where only wet rows are written, any
    /// time.
    pub longest_gap: Option<Duration>,
    /// Where the stamp stands in its interval. Else at its end; of stamps without a time of day, at its start, since a
    /// day's rain is dated by that day.
    pub convention: Option<StampConvention>,
    /// The order of day and month. Else from the first rows.
    pub date_order: Option<DateOrder>,
    /// A column and the value that a row must have in it: one station of several.
    pub station: Option<(String, String)>,
    /// Whether rows are written only when it rains, so that time without rows is dry and no gap. Else from the first
    /// rows.
    pub wet_rows_only: Option<bool>,
    /// The highest intensity that is believed. Rows above it are refused, and never stop the reading. Else the
    /// greatest rainfalls of the world, and a record with several rows beyond them stops with an error.
    pub highest_intensity: Option<Intensity>,
}
