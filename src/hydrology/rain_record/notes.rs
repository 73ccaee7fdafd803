//! What was made of a record: what was taken, what was left out and why.

use super::moment::Moment;
use super::options::{RainKind, RainUnit, StampConvention};
use crate::quantity::{Duration, RainDepth};
use std::fmt;

/// How many line numbers are kept of each kind of skipped row.
const LINES_KEPT: usize = 5;

/// Why a row was left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SkipReason {
    /// Its time is further before the row above than a clock is set back in autumn.
    TimeBack,
    /// Its time is that of the row above, and so is its rain.
    TimeDoubled,
    /// Its time is that of the row above, its rain is not: the row above counts.
    TimeDoubledOtherRain,
    /// Its time could not be read, or there is no such time.
    TimeUnreadable,
    /// Its rain is empty or marked as missing.
    RainMissing,
    /// Its rain is no number.
    RainUnreadable,
    /// Its rain is below zero; of a running total, it fell a little.
    NegativeRain,
    /// More rain than was ever measured in such a time, or more than the user believes.
    ImpossibleRate,
    /// The last line breaks off.
    CutOff,
    /// It has too few cells.
    TooFewCells,
    /// It has more cells than the first line, parted by commas: one of these may be a decimal comma.
    TooManyCells,
}

impl fmt::Display for SkipReason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::TimeBack => "time goes back",
            Self::TimeDoubled => "time doubled, with the same rain",
            Self::TimeDoubledOtherRain => "time doubled, with other rain",
            Self::TimeUnreadable => "time unreadable",
            Self::RainMissing => "rain missing",
            Self::RainUnreadable => "rain unreadable",
            Self::NegativeRain => "negative rain",
            Self::ImpossibleRate => "impossible rate of rain",
            Self::CutOff => "line cut off",
            Self::TooFewCells => "too few cells",
            Self::TooManyCells => "too many cells",
        })
    }
}

/// Rows left out for one reason.
#[derive(Clone, Debug, PartialEq)]
pub struct Skipped {
    /// The reason.
    pub why: SkipReason,
    /// How many rows.
    pub count: u64,
    /// Lines of the first few, from 1.
    pub first_lines: Vec<u64>,
    /// The rain they held, as far as it could be read: it is in no span.
    pub depth: RainDepth,
}

/// Something about a record that is worth a sentence, but kept no row out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum RemarkKind {
    /// Trace amounts, taken as none.
    Trace,
    /// The clock was set back by up to two hours, as in autumn: the rows follow on the one before, their rain is kept.
    ClockSetBack,
    /// A row that belongs before the row above it was put there.
    Swapped,
    /// Time stamps with another offset from universal time than the first row's, converted to that.
    OtherOffset,
    /// A running total began again from nothing: its new reading is the rain since.
    TotalRestarted,
    /// A running total fell, or rose impossibly, and stayed there: it goes on from there, without rain for the move.
    TotalMoved,
    /// Rain of a running total that fell in a gap and is too much for one usual step: spread over the whole gap.
    SpreadOverGap,
    /// Rows of the same time in a record of wet rows: their rain was added up.
    Joined,
    /// The last line has no end, so that its last figure may be cut off. It was used.
    LastLineOpen,
    /// The header names another unit or kind than the user: the user was followed.
    AgainstHeader,
    /// Only wet rows are written: time without rows counts as dry, and gaps cannot be seen.
    WetRowsOnly,
}

impl fmt::Display for RemarkKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Trace => "trace amounts, taken as none",
            Self::ClockSetBack => "the clock was set back: rows follow on the one before, their rain is kept",
            Self::Swapped => "a row belongs before the row above it, and was put there",
            Self::OtherOffset => "another offset from universal time, converted to that of the first row",
            Self::TotalRestarted => "the running total began again: its new reading is the rain since",
            Self::TotalMoved => "the running total moved and stayed: it goes on from there, without rain for the move",
            Self::SpreadOverGap => "rain of a gap, spread over the whole gap",
            Self::Joined => "wet rows of the same time, added up",
            Self::LastLineOpen => "the last line has no end, its last figure may be cut off; it was used",
            Self::AgainstHeader => "the header says otherwise than the given unit or kind, which was followed",
            Self::WetRowsOnly => "only wet rows are written: time without rows counts as dry",
        })
    }
}

/// A remark, how often it applies and where first.
#[derive(Clone, Debug, PartialEq)]
pub struct Remark {
    /// What it is.
    pub kind: RemarkKind,
    /// How often.
    pub count: u64,
    /// Lines of the first few, from 1.
    pub first_lines: Vec<u64>,
}

/// What was made of a record. It grows with the reading: a row counts once its rain was placed, which is two rows late.
#[derive(Clone, Debug, PartialEq)]
pub struct RecordNotes {
    /// Rows read, without header, comments, blank lines and rows of other stations.
    pub rows: u64,
    /// Rows whose rain, or dryness, is in a span.
    pub used: u64,
    /// Of those, rows with rain.
    pub wet_rows: u64,
    /// Rows of other stations than the one asked for.
    pub other_stations: u64,
    /// Rows left out, by reason.
    pub skipped: Vec<Skipped>,
    /// Remarks.
    pub remarks: Vec<Remark>,
    /// Time stamp of the first row used.
    pub first: Moment,
    /// Time stamp of the last row used.
    pub last: Moment,
    /// The usual time between rows; where only wet rows are written, the time in which a row's rain falls at most.
    pub usual_step: Duration,
    /// The longest time between rows that is no gap. Nothing where only wet rows are written.
    pub longest_gap: Option<Duration>,
    /// Time that is missing.
    pub missing_time: Duration,
    /// Times between rows that were too long.
    pub gaps: u64,
    /// All rain of the spans.
    pub total_depth: RainDepth,
    /// What the numbers are.
    pub kind: RainKind,
    /// Their unit.
    pub unit: RainUnit,
    /// The column, or columns, of time.
    pub time_column: String,
    /// The column of rain.
    pub rain_column: String,
    /// Where a row's stamp stands in its interval.
    pub convention: StampConvention,
    /// Whether only wet rows are written.
    pub wet_rows_only: bool,
}

impl RecordNotes {
    /// How many rows were left out for a reason.
    pub fn skipped_for(&self, why: SkipReason) -> u64 {
        self.skipped.iter().find(|skipped| skipped.why == why).map_or(0, |skipped| skipped.count)
    }
    /// How often a remark applies.
    pub fn remarked(&self, kind: RemarkKind) -> u64 {
        self.remarks.iter().find(|remark| remark.kind == kind).map_or(0, |remark| remark.count)
    }

    pub(super) fn skip(&mut self, why: SkipReason, line: u64, depth: RainDepth) {
        let at = self.skipped.iter().position(|skipped| skipped.why == why).unwrap_or_else(|| {
            self.skipped.push(Skipped { why, count: 0, first_lines: Vec::new(), depth: RainDepth::ZERO });
            self.skipped.len() - 1
        });
        if let Some(skipped) = self.skipped.get_mut(at) {
            skipped.count += 1;
            skipped.depth += depth;
            keep(&mut skipped.first_lines, line);
        }
    }
    pub(super) fn remark(&mut self, kind: RemarkKind, line: u64) {
        let at = self.remarks.iter().position(|remark| remark.kind == kind).unwrap_or_else(|| {
            self.remarks.push(Remark { kind, count: 0, first_lines: Vec::new() });
            self.remarks.len() - 1
        });
        if let Some(remark) = self.remarks.get_mut(at) {
            remark.count += 1;
            keep(&mut remark.first_lines, line);
        }
    }
}

fn keep(lines: &mut Vec<u64>, line: u64) {
    if lines.len() < LINES_KEPT {
        lines.push(line);
    }
}
