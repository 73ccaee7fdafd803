//! Rain records of months to decades, row by row: from a stream of text with a column of time and one of rain to spans
//! of steady rain that follow on each other.
//!
//! # What a row's rain is
//!
//! A depth is spread evenly over the time from the row before to its stamp, unless told otherwise: a logger writes a
//! sum once it is complete, and a stamp read at the wrong end moves all rain by one step without changing any
//! intensity or pause between storms. Dates without a time of day begin their interval: the rain of a day is dated by
//! that day. Where the time between two rows is longer than the longest gap, the time between is missing and the depth
//! falls within one usual step beside its stamp, which makes it sharper, never blunter.
//!
//! # Records of wet rows only
//!
//! Time without rows is dry, and gaps cannot be seen, where a record is recognised as one of wet rows (or bucket
//! tips): the most frequent time between its first rows, give or take a tenth, is less than half of all, or none of
//! its first rows is dry and the times between them differ. A row's rain fell since the row before, but within one
//! usual step at most: the most frequent time if it is half of all, else the greatest that divides all, if that is
//! five minutes or more, else five minutes. Rows of the same time add up.
//!
//! # Times that do not rise
//!
//! A row with the time of the row above is left out and counted, whether its rain is the same or not; only where the
//! row above had none does it take its place. In an hourly record on a local clock the doubled hour of autumn is such
//! a row. Rows whose time goes back by up to two hours, as on a local clock in autumn, follow on the row above: their
//! rain is kept, and the hour is given back where the clock is set forward again; where it was not set back before,
//! that hour is missing. One that goes back further is left out and counted; if it is the row *above* that jumped
//! ahead, that one. Two rows that were swapped, within two and a half steps, are put in order. One row alone that goes
//! back, where the row below it goes on from the row above it, is left out and counted. Rows that all run backwards,
//! the newest first, are refused.
//!
//! # What stops the reading
//!
//! More rain than was ever measured in the time, in one of the first hundred wet rows or in three rows of the whole
//! record, or in all. Gaps before a tenth of all rows, at least a hundred, where the longest gap was not given. One
//! kind of trouble (other than missing rain) in ten or more rows that are over a tenth of all. No row of use.

mod cell;
mod clock_back;
mod columns;
mod error;
mod head;
mod limit;
mod lines;
mod moment;
mod notes;
mod options;
mod placer;
mod reading;
mod rows;
mod stamp;
mod stamp_reader;
mod total;
mod words;

#[cfg(test)]
mod tests;

pub use error::RecordError;
pub use moment::Moment;
pub use notes::{RecordNotes, Remark, RemarkKind, SkipReason, Skipped};
pub use options::{DateOrder, RainKind, RainUnit, RecordOptions, StampConvention};

use crate::quantity::{Duration, Intensity, RainDepth};
use cell::{RainCell, RainReader, shown};
use clock_back::ClockBack;
use limit::Limit;
use lines::Lines;
use placer::{Held, Placer};
use reading::{Other, Waiting, is_blank};
use rows::Picker;
use stamp_reader::StampReader;
use std::io::Read;
use total::RunningTotal;

/// Rows looked at before the first is given out.
const ROWS_AHEAD: usize = 50_000;

/// A stretch of time with steady rain, with none, or without knowledge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// Its beginning.
    pub start: Moment,
    /// Its end, after its beginning.
    pub end: Moment,
    /// What fell.
    pub rain: SpanRain,
}

impl Span {
    /// How long it is.
    pub fn duration(&self) -> Duration {
        self.end - self.start
    }
    /// The depth that fell; none where it is missing.
    pub fn depth(&self) -> RainDepth {
        match self.rain {
            SpanRain::Fell(intensity) => intensity * self.duration(),
            SpanRain::Missing => RainDepth::ZERO,
        }
    }
}

/// What fell in a span.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SpanRain {
    /// Steady rain; zero where it is dry.
    Fell(Intensity),
    /// Nobody knows.
    Missing,
}

/// A rain record that is being read.
pub struct RainRecord<R> {
    lines: Lines<R>,
    picker: Picker,
    station: Option<Vec<u8>>,
    stamps: StampReader,
    rain: RainReader,
    clock: ClockBack,
    total: RunningTotal,
    placer: Placer,
    /// Metres, or metres per second, that one of the column's unit is.
    size: f64,
    /// The row that is taken once the time of the next one is known.
    waiting: Option<Waiting>,
    /// Time of the last row that was placed.
    before: Option<i64>,
    /// The row that is placed once the next one is known.
    held: Option<Held>,
    /// Rain of a running total whose row had no time, in metres.
    carried: f64,
    last_figure: Option<f64>,
    notes: RecordNotes,
    /// Whether many gaps stop the reading.
    gaps_judged: bool,
    first_refused: Option<(u64, SkipReason, String)>,
    done: bool,
}

impl<R> std::fmt::Debug for RainRecord<R> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("RainRecord").field("notes", &self.notes).finish_non_exhaustive()
    }
}

impl<R: Read> RainRecord<R> {
    /// Begins to read: finds the columns, and learns from the first rows (50 000, of at most a mebibyte) what the options do not
    /// say.
    ///
    /// # Errors
    ///
    /// [`RecordError`], where a column, the unit, the order of day and month or the step is missing or unclear, where
    /// the stream is empty or no text, or where reading it fails.
    pub fn new(reader: R, options: &RecordOptions) -> Result<Self, RecordError> {
        let mut lines = Lines::new(reader)?;
        let ahead: Vec<(u64, &[u8])> = lines.ahead().take(ROWS_AHEAD).collect();
        let delimiter = columns::delimiter(&ahead);
        let columns = columns::find(&ahead, delimiter, options)?;
        let rows = ahead.get(usize::from(columns.has_header)..).unwrap_or_default();
        if rows.is_empty() {
            return Err(RecordError::HeaderOnly);
        }
        columns::one_station(rows, delimiter, &columns)?;
        let learned = head::learn(rows, &columns, delimiter, options)?;
        if columns.has_header {
            lines.next_line()?;
        }
        let per = match learned.kind {
            RainKind::Intensity => Duration::from_h(1.0).s(),
            RainKind::Depth | RainKind::Cumulative => 1.0,
        };
        let step = Duration::from_s(learned.step as f64);
        let first = Moment::from_seconds(learned.first);
        let mut notes = RecordNotes {
            rows: 0,
            used: 0,
            wet_rows: 0,
            other_stations: 0,
            skipped: Vec::new(),
            remarks: Vec::new(),
            first,
            last: first,
            usual_step: step,
            longest_gap: learned.longest_gap.map(|gap| Duration::from_s(gap as f64)),
            missing_time: Duration::ZERO,
            gaps: 0,
            total_depth: RainDepth::ZERO,
            kind: learned.kind,
            unit: learned.unit,
            time_column: columns.time_name(),
            rain_column: columns.name(columns.rain),
            convention: learned.convention,
            wet_rows_only: learned.wet_rows_only,
        };
        if learned.against_header {
            notes.remark(RemarkKind::AgainstHeader, lines.number());
        }
        if learned.wet_rows_only {
            notes.remark(RemarkKind::WetRowsOnly, lines.number() + 1);
        }
        let limit = Limit::new(options.highest_intensity, learned.unit, step);
        Ok(Self {
            picker: Picker::new(&columns, delimiter),
            station: columns.station.map(|(_, wanted)| wanted),
            stamps: StampReader::new(columns.layout, learned.order),
            rain: RainReader::new(delimiter),
            clock: ClockBack::new(learned.step, learned.longest_gap),
            total: RunningTotal::default(),
            placer: Placer::new(&learned, limit),
            size: learned.unit.size().m() / per,
            waiting: None,
            before: None,
            held: None,
            carried: 0.0,
            last_figure: None,
            notes,
            gaps_judged: options.longest_gap.is_none(),
            first_refused: None,
            done: false,
            lines,
        })
    }

    /// The next span, or nothing after the last. Each begins where the one before ends.
    ///
    /// # Errors
    ///
    /// [`RecordError`], where reading fails or the record cannot be trusted. Nothing follows after an error.
    pub fn next_span(&mut self) -> Result<Option<Span>, RecordError> {
        loop {
            if let Some(span) = self.placer.next() {
                return Ok(Some(span));
            }
            if self.done {
                return Ok(None);
            }
            if let Err(error) = self.read_row() {
                self.done = true;
                self.placer.drop_all();
                return Err(error);
            }
        }
    }

    /// What was made of the record so far.
    pub fn notes(&self) -> &RecordNotes {
        &self.notes
    }

    /// Bytes of the stream whose rows were read.
    pub fn bytes_read(&self) -> u64 {
        self.lines.consumed()
    }

    fn read_row(&mut self) -> Result<(), RecordError> {
        let Some(line) = self.lines.next_line()? else { return self.finish() };
        let row = self.picker.pick(line.text);
        if self.station.as_ref().is_some_and(|wanted| row.station != wanted.as_slice()) {
            self.notes.other_stations += 1;
            return Ok(());
        }
        let rain = self.rain.read(row.rain);
        let told = self.stamps.read(row.time());
        // the plain case
        if let (Some(told), RainCell::Number(figure), true) = (told, rain, row.whole && !row.too_long)
            && figure >= 0.0
            && !line.unended
        {
            let number = line.number;
            return self.take(told, Some(figure * self.size), number);
        }
        let other = Other {
            line: line.number,
            unended: line.unended,
            whole: row.whole,
            too_long: row.too_long,
            running: self.notes.kind == RainKind::Cumulative,
            rain_empty: row.rain.is_empty(),
            blank: is_blank(line.text),
            rain,
            told,
        };
        let text = if self.first_refused.is_none() { shown(line.text) } else { String::new() };
        self.take_other(&other, text)
    }
}
