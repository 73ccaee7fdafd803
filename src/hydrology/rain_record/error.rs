//! Why a record cannot be read.

use super::notes::SkipReason;
use super::options::RainUnit;
use crate::quantity::{Duration, RainDepth};

/// Why a rain record cannot be read, in words that say what to do about it.
#[derive(Debug, thiserror::Error)]
pub enum RecordError {
    /// Reading failed.
    #[error("line {line}: reading failed: {source}")]
    Io {
        /// The line reached.
        line: u64,
        /// What the reader said.
        source: std::io::Error,
    },
    /// Not lines of text in ASCII or UTF-8.
    #[error("line {line}: this is not text: save the record as plain text (CSV, UTF-8)")]
    NotText {
        /// The line.
        line: u64,
    },
    /// No line but blank ones and comments.
    #[error("the record is empty")]
    Empty,
    /// No row below the header.
    #[error("the record has a header but no rows")]
    HeaderOnly,
    /// No header, and the columns were not given by number.
    #[error("line {line}: the record has no header: give the columns of time and rain by number")]
    NoHeader {
        /// The first line.
        line: u64,
    },
    /// No column of time.
    #[error("no column of time was found: name one of: {}", columns.join(", "))]
    NoTimeColumn {
        /// The columns there are.
        columns: Vec<String>,
    },
    /// Several columns of time.
    #[error("several columns may be the time ({}): name one", candidates.join(", "))]
    SeveralTimeColumns {
        /// Those columns.
        candidates: Vec<String>,
    },
    /// No column of rain.
    #[error("no column of rain was found: name one of: {}", columns.join(", "))]
    NoRainColumn {
        /// The columns there are.
        columns: Vec<String>,
    },
    /// Several columns of rain.
    #[error("several columns may be the rain ({}): name one", candidates.join(", "))]
    SeveralRainColumns {
        /// Those columns.
        candidates: Vec<String>,
    },
    /// A column that the user named is not there.
    #[error("there is no column `{column}`: there are: {}", columns.join(", "))]
    NoSuchColumn {
        /// What was asked for.
        column: String,
        /// The columns there are.
        columns: Vec<String>,
    },
    /// A named column stands twice.
    #[error("the column `{column}` stands twice: give it by number")]
    ColumnTwice {
        /// The column.
        column: String,
    },
    /// Several stations in one file.
    #[error("the column `{column}` holds several stations ({}): say which one to read", stations.join(", "))]
    SeveralStations {
        /// The column.
        column: String,
        /// The first stations.
        stations: Vec<String>,
    },
    /// No row of the station asked for.
    #[error("no row has `{station}` in the station's column")]
    NoSuchStation {
        /// What was asked for.
        station: String,
    },
    /// The unit stands nowhere.
    #[error(
        "the unit of column `{column}` is not known: give it (in, mm, 0.01 in or 0.1 mm; of an intensity, per hour). The first values above zero: {}",
        values.join(", ")
    )]
    UnitUnknown {
        /// The column.
        column: String,
        /// The first values.
        values: Vec<String>,
    },
    /// The numbers may be depths or a running total.
    #[error(
        "column `{column}` may hold the rain of each row or a running total: say which. The first values above zero: {}",
        values.join(", ")
    )]
    KindUnclear {
        /// The column.
        column: String,
        /// The first values.
        values: Vec<String>,
    },
    /// Day and month cannot be told apart.
    #[error("`{cell}`: day and month cannot be told apart: say whether the month or the day comes first")]
    DateOrderUnclear {
        /// The first time stamp.
        cell: String,
    },
    /// Dates of both orders.
    #[error("line {line}: `{cell}` has its day and month in another order than the dates above it")]
    DateOrderMixed {
        /// The line.
        line: u64,
        /// Its time stamp.
        cell: String,
    },
    /// The time between rows is not known.
    #[error("the usual time between rows is not known from so few rows: give it")]
    StepUnknown,
    /// Newest first.
    #[error(
        "the rows run backwards in time, the newest first: put the oldest first (sort the rows by time) and run again"
    )]
    Backwards,
    /// Many rows come after a gap.
    #[error(
        "{gaps} of {rows} rows come more than {} min after the row above: does the step change, or are only wet rows written? Say so, or give the longest gap",
        rounded(longest_gap.minutes())
    )]
    ManyGaps {
        /// How many.
        gaps: u64,
        /// Of how many.
        rows: u64,
        /// The longest time that is no gap.
        longest_gap: Duration,
    },
    /// A step or gap that is no time.
    #[error("the step and the longest gap must be at least a second and at most a hundred years, not {} s", given.s())]
    BadDuration {
        /// What was given.
        given: Duration,
    },
    /// A highest intensity that is no intensity.
    #[error("the highest intensity must be above zero")]
    BadIntensity,
    /// No row could be used.
    #[error("every row was refused. The first, line {line}: {why}: `{text}`")]
    AllRefused {
        /// The first row's line.
        line: u64,
        /// Why it was refused.
        why: SkipReason,
        /// The row.
        text: String,
    },
    /// Too many rows were refused to trust the rest.
    #[error("{count} of {rows} rows were refused, first at line {line}: {why}{}", hint(*why))]
    TooManyRefused {
        /// Why.
        why: SkipReason,
        /// How many.
        count: u64,
        /// Of how many.
        rows: u64,
        /// The first one's line.
        line: u64,
    },
    /// Rain that cannot be, early or often.
    #[error(
        "line {line}: {} of rain in {} min is more than was ever measured: is the unit ({unit}) right, or does the figure stand for a missing value?",
        shown(*depth, *unit),
        rounded(interval.minutes())
    )]
    UnitDoubtful {
        /// The line.
        line: u64,
        /// Its rain.
        depth: RainDepth,
        /// The time it fell in.
        interval: Duration,
        /// The unit used.
        unit: RainUnit,
    },
    /// More rain in all than falls anywhere.
    #[error(
        "up to line {line}, {} of rain fell in {} days, more than was ever measured: is the unit ({unit}) right, or are the figures a running total?",
        shown(*depth, *unit),
        rounded(time.day())
    )]
    TotalDoubtful {
        /// The line reached.
        line: u64,
        /// All rain.
        depth: RainDepth,
        /// The time it fell in.
        time: Duration,
        /// The unit used.
        unit: RainUnit,
    },
}

/// A figure for a sentence.
fn rounded(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

/// Rain in inches or millimetres, as the file has it.
fn shown(depth: RainDepth, unit: RainUnit) -> String {
    match unit {
        RainUnit::Inch | RainUnit::HundredthInch => format!("{} in", rounded(depth.inch())),
        RainUnit::Millimetre | RainUnit::TenthMillimetre => format!("{} mm", rounded(depth.mm())),
    }
}

fn hint(why: SkipReason) -> &'static str {
    match why {
        SkipReason::TimeBack | SkipReason::TimeDoubled | SkipReason::TimeDoubledOtherRain => {
            ". Are there several stations in the file, or is it not in order of time?"
        }
        SkipReason::TimeUnreadable => ". Is the column of time, or the order of day and month, the right one?",
        SkipReason::RainUnreadable => ". Is the column of rain the right one?",
        SkipReason::NegativeRain => ". Is it a column of rain?",
        SkipReason::TooManyCells => ". Are there decimal commas? Then the cells must be parted by semicolons",
        _ => "",
    }
}
