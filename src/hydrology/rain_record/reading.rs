//! What becomes of each row.

use super::RainRecord;
use super::cell::{RainCell, shown};
use super::clock_back::Place;
use super::error::RecordError;
use super::moment::Moment;
use super::notes::{RemarkKind, SkipReason};
use super::options::{RainKind, StampConvention};
use super::placer::Held;
use super::stamp_reader::Told;
use super::total::Reading;
use crate::quantity::RainDepth;
use std::io::Read;

/// Rows between two looks at whether the record can be trusted.
const ROWS_BETWEEN_CHECKS: u64 = 16_384;
/// So many refused rows of one kind are too many, if they are also more than a tenth of all: at the end. On the way,
/// more than half.
const MANY: u64 = 10;
/// So many gaps are too many for a record with a usual step, if they also come before more than a tenth of all rows.
const MANY_GAPS: u64 = 100;

/// A row that waits until the time of the next one is known.
#[derive(Clone, Copy, Debug)]
pub(super) struct Waiting {
    seconds: i64,
    figure: Option<f64>,
    line: u64,
    /// Whether the row below it went first.
    passed: bool,
}

/// A row that is not plainly good.
#[derive(Clone, Copy, Debug)]
pub(super) struct Other {
    pub(super) line: u64,
    pub(super) unended: bool,
    pub(super) whole: bool,
    pub(super) too_long: bool,
    /// Whether the rain is a running total.
    pub(super) running: bool,
    pub(super) rain_empty: bool,
    pub(super) blank: bool,
    pub(super) rain: RainCell,
    pub(super) told: Option<Told>,
}

/// Whether a line has nothing but delimiters: what a table program leaves below its rows.
pub(super) fn is_blank(line: &[u8]) -> bool {
    line.iter().all(|byte| byte.is_ascii_whitespace() || matches!(byte, b',' | b';' | b'"'))
}

impl Other {
    /// Why it cannot be used, if so.
    fn trouble(&self) -> Option<SkipReason> {
        let found = match (self.told, self.rain) {
            _ if !self.whole => SkipReason::TooFewCells,
            _ if self.too_long => SkipReason::TooManyCells,
            (None, _) => SkipReason::TimeUnreadable,
            (_, RainCell::Missing) => SkipReason::RainMissing,
            // a total is never a trace
            (_, RainCell::Trace) if self.running => SkipReason::RainUnreadable,
            (_, RainCell::Unreadable) => SkipReason::RainUnreadable,
            (_, RainCell::Number(figure)) if figure < 0.0 => SkipReason::NegativeRain,
            _ => return None,
        };
        // a last line without end whose rain is marked as missing may be whole
        let marked = found == SkipReason::RainMissing && !self.rain_empty;
        Some(if self.unended && !marked { SkipReason::CutOff } else { found })
    }
}

impl<R: Read> RainRecord<R> {
    /// A row that is not plainly good, and its text while none was refused.
    pub(super) fn take_other(&mut self, other: &Other, text: String) -> Result<(), RecordError> {
        if other.blank {
            return Ok(());
        }
        let line = other.line;
        let figure = match other.rain {
            RainCell::Number(figure) => Some(figure * self.size),
            RainCell::Trace => Some(0.0),
            RainCell::Missing | RainCell::Unreadable => None,
        };
        let Some(why) = other.trouble() else {
            if other.rain == RainCell::Trace {
                self.notes.remark(RemarkKind::Trace, line);
            }
            if other.unended {
                self.notes.remark(RemarkKind::LastLineOpen, line);
            }
            return match other.told {
                Some(told) => self.take(told, figure, line),
                None => Ok(()),
            };
        };
        let lost = figure.filter(|figure| *figure > 0.0);
        self.skip(why, line, lost.map_or(RainDepth::ZERO, |figure| self.depth(figure)));
        if self.first_refused.is_none() {
            self.first_refused = Some((line, why, text));
        }
        match other.told {
            Some(told) => self.take(told, None, line),
            None => self.count_row(line),
        }
    }

    fn skip(&mut self, why: SkipReason, line: u64, depth: RainDepth) {
        self.notes.skip(why, line, depth);
    }

    /// The depth of a figure, as far as it is one.
    fn depth(&self, figure: f64) -> RainDepth {
        match self.notes.kind {
            RainKind::Depth => RainDepth::from_m(figure),
            RainKind::Intensity => RainDepth::from_m(figure * self.notes.usual_step.s()),
            RainKind::Cumulative => RainDepth::ZERO,
        }
    }

    #[inline]
    fn count_row(&mut self, line: u64) -> Result<(), RecordError> {
        self.notes.rows += 1;
        if self.notes.rows.is_multiple_of(ROWS_BETWEEN_CHECKS) {
            return self.check(line, 2);
        }
        Ok(())
    }

    /// A row with its time, and its rain in metres, or metres per second, unless that is missing and counted.
    #[inline]
    pub(super) fn take(&mut self, told: Told, figure: Option<f64>, line: u64) -> Result<(), RecordError> {
        self.count_row(line)?;
        if told.converted {
            self.notes.remark(RemarkKind::OtherOffset, line);
        }
        let row = Waiting { seconds: told.seconds, figure, line, passed: false };
        let Some(waiting) = self.waiting.replace(row) else { return Ok(()) };
        if row.seconds < waiting.seconds && !waiting.passed && self.is_swapped(row.seconds, waiting.seconds) {
            self.notes.remark(RemarkKind::Swapped, line);
            self.waiting = Some(Waiting { passed: true, ..waiting });
            return self.take_next(&row, None);
        }
        self.take_next(&waiting, Some(row.seconds))
    }

    /// The time of the last row that was taken.
    fn last_at(&self) -> Option<i64> {
        self.held.map(|held| held.at).or(self.before)
    }

    /// Whether a row belongs just before the one above it.
    fn is_swapped(&self, seconds: i64, above: i64) -> bool {
        let (at, above) = (self.clock.at(seconds), self.clock.at(above));
        self.last_at().is_some_and(|last| last < at && self.clock.is_two_steps(above - last))
    }

    /// A row, and the time of the row below where that is known.
    #[inline]
    fn take_next(&mut self, row: &Waiting, below: Option<i64>) -> Result<(), RecordError> {
        let Waiting { seconds, figure, line, .. } = *row;
        let Some(last) = self.last_at() else {
            self.notes.first = Moment::from_seconds(seconds);
            return self.follow(seconds, figure, line, None);
        };
        // the row below goes on from the row above: this one alone is wrong
        if self.clock.at(seconds) < last
            && let Some(below) = below.map(|below| self.clock.at(below))
            && below > last
            && !self.clock.is_jump(below - last)
        {
            if let Some(figure) = figure {
                self.skip(SkipReason::TimeBack, line, self.depth(figure));
            }
            return Ok(());
        }
        match self.clock.place(seconds, last) {
            Place::After(at) => self.follow(at, figure, line, Some(last)),
            Place::SetBack(at) => {
                self.notes.remark(RemarkKind::ClockSetBack, line);
                self.follow(at, figure, line, Some(last))
            }
            Place::Same => {
                self.double(figure, line);
                Ok(())
            }
            Place::Back => self.far_back(seconds, figure, line),
        }
    }

    /// A row after all before it.
    #[inline]
    fn follow(&mut self, at: i64, figure: Option<f64>, line: u64, last: Option<i64>) -> Result<(), RecordError> {
        let rain = match (self.notes.kind, figure) {
            (RainKind::Cumulative, Some(reading)) => match self.risen(reading, at, line, last)? {
                Some(rain) => Some(rain),
                None => return Ok(()),
            },
            // the next reading tells what fell
            (RainKind::Cumulative, None) => return Ok(()),
            (_, figure) => figure,
        };
        self.last_figure = figure;
        if let Some(held) = self.held {
            self.placer.place(held, self.before, Some(at), &mut self.notes)?;
            self.before = Some(held.at);
        }
        self.held = Some(Held { at, rain, line });
        self.notes.last = Moment::from_seconds(at);
        Ok(())
    }

    /// The rain since the last reading of a running total, if this one is to be used for that.
    fn risen(&mut self, reading: f64, at: i64, line: u64, last: Option<i64>) -> Result<Option<f64>, RecordError> {
        let seconds = last.map_or(0, |last| at - last) as f64;
        let rain = match self.total.read(reading, seconds, &self.placer.limit) {
            Reading::First => {
                self.before = Some(at);
                self.last_figure = Some(reading);
                self.notes.last = Moment::from_seconds(at);
                self.notes.used += 1;
                return Ok(None);
            }
            Reading::Fell(rain) => rain,
            Reading::Restarted(rain) => {
                self.notes.remark(RemarkKind::TotalRestarted, line);
                rain
            }
            Reading::Moved(rain) => {
                self.notes.remark(RemarkKind::TotalMoved, line);
                rain
            }
            Reading::Negative => {
                self.skip(SkipReason::NegativeRain, line, RainDepth::ZERO);
                return Ok(None);
            }
            Reading::Impossible(rain) => {
                self.skip(SkipReason::ImpossibleRate, line, RainDepth::from_m(rain));
                self.placer.limit.refuse(line, rain, seconds, self.notes.wet_rows)?;
                return Ok(None);
            }
        };
        Ok(Some(rain + std::mem::take(&mut self.carried)))
    }

    /// A row with the time of the one before.
    fn double(&mut self, figure: Option<f64>, line: u64) {
        let Some(figure) = figure else { return };
        let running = self.notes.kind == RainKind::Cumulative;
        match &mut self.held {
            Some(held) if !running && held.rain.is_none() => {
                held.rain = Some(figure);
                held.line = line;
                self.last_figure = Some(figure);
            }
            Some(Held { rain: Some(rain), .. }) if self.notes.wet_rows_only && self.notes.kind == RainKind::Depth => {
                *rain += figure;
                self.notes.used += 1;
                self.notes.remark(RemarkKind::Joined, line);
            }
            _ => {
                let same = self.last_figure == Some(figure);
                let why = if same { SkipReason::TimeDoubled } else { SkipReason::TimeDoubledOtherRain };
                self.skip(why, line, self.depth(figure));
            }
        }
    }

    /// A row far before the one above: one of the two has a wrong time.
    fn far_back(&mut self, seconds: i64, figure: Option<f64>, line: u64) -> Result<(), RecordError> {
        let at = self.clock.at(seconds);
        if let (Some(held), Some(before)) = (self.held, self.before)
            && at > before
            && self.notes.convention == StampConvention::IntervalEnds
            && self.clock.is_jump(held.at - before)
        {
            // the row above jumped ahead
            self.held = None;
            if let Some(rain) = held.rain {
                self.skip(SkipReason::TimeBack, held.line, self.depth(rain));
                if self.notes.kind == RainKind::Cumulative {
                    self.carried += rain;
                }
            }
            return self.follow(at, figure, line, Some(before));
        }
        if let Some(figure) = figure {
            self.skip(SkipReason::TimeBack, line, self.depth(figure));
        }
        Ok(())
    }

    /// The end of the stream.
    pub(super) fn finish(&mut self) -> Result<(), RecordError> {
        self.done = true;
        if let Some(waiting) = self.waiting.take() {
            self.take_next(&waiting, None)?;
        }
        if let Some(held) = self.held.take() {
            self.placer.place(held, self.before, None, &mut self.notes)?;
        }
        self.placer.finish();
        self.check(self.lines.number(), 10)?;
        if self.notes.used > 0 {
            return Ok(());
        }
        match (self.first_refused.take(), &self.station) {
            (Some((line, why, text)), _) => Err(RecordError::AllRefused { line, why, text }),
            (None, Some(station)) => Err(RecordError::NoSuchStation { station: shown(station) }),
            (None, None) => Err(RecordError::HeaderOnly),
        }
    }

    /// Whether the record can be trusted so far: of no kind of trouble is more than one row in `share` refused.
    fn check(&self, line: u64, share: u64) -> Result<(), RecordError> {
        let rows = self.notes.rows;
        for skipped in &self.notes.skipped {
            // missing rain may be a winter's; impossible rates have a rule of their own
            let told = matches!(skipped.why, SkipReason::RainMissing | SkipReason::ImpossibleRate);
            if !told && skipped.count >= MANY && skipped.count.saturating_mul(share) > rows {
                return Err(RecordError::TooManyRefused {
                    why: skipped.why,
                    count: skipped.count,
                    rows,
                    line: skipped.first_lines.first().copied().unwrap_or(line),
                });
            }
        }
        if let (Some(longest_gap), true) = (self.notes.longest_gap, self.gaps_judged)
            && self.notes.gaps >= MANY_GAPS
            && self.notes.gaps.saturating_mul(share) > rows
        {
            return Err(RecordError::ManyGaps { gaps: self.notes.gaps, rows, longest_gap });
        }
        self.placer.limit.check_total(line, self.notes.total_depth, self.notes.last - self.notes.first)
    }
}
