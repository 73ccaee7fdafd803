//! Puts the rain of each row into the time in which it fell.

use super::error::RecordError;
use super::head::Learned;
use super::limit::Limit;
use super::moment::Moment;
use super::notes::{RecordNotes, RemarkKind, SkipReason};
use super::options::{RainKind, StampConvention};
use super::{Span, SpanRain};
use crate::quantity::{Duration, Intensity, RainDepth};
use std::collections::VecDeque;

/// A row whose interval is not known before the next one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Held {
    pub(super) at: i64,
    /// Metres, or metres per second; nothing where it is missing.
    pub(super) rain: Option<f64>,
    pub(super) line: u64,
}

pub(super) struct Placer {
    step: i64,
    /// Intervals longer than this are not a row's own.
    longest: i64,
    gap: Option<i64>,
    wet_rows_only: bool,
    kind: RainKind,
    starts: bool,
    pub(super) limit: Limit,
    pending: Option<Span>,
    ready: VecDeque<Span>,
}

impl Placer {
    pub(super) fn new(learned: &Learned, limit: Limit) -> Self {
        let longest = match learned.longest_gap {
            Some(gap) if !learned.wet_rows_only => gap,
            _ => learned.step,
        };
        Self {
            step: learned.step,
            longest,
            gap: learned.longest_gap,
            wet_rows_only: learned.wet_rows_only,
            kind: learned.kind,
            starts: learned.convention == StampConvention::IntervalStarts,
            limit,
            pending: None,
            ready: VecDeque::with_capacity(4),
        }
    }

    /// Places a row, given the stamps of the rows before and after it.
    #[inline]
    pub(super) fn place(
        &mut self,
        row: Held,
        before: Option<i64>,
        after: Option<i64>,
        notes: &mut RecordNotes,
    ) -> Result<(), RecordError> {
        let far = if self.starts { after } else { before };
        // the first row's interval, or the last one's, has no other end
        let time = far.map_or(self.step, |far| (far - row.at).abs());
        if time > self.longest {
            return self.place_after_gap(row, time, notes);
        }
        self.fall(row, time, notes)
    }

    /// A row's rain in its interval of some seconds, on the side of its stamp that the convention says.
    #[inline]
    fn fall(&mut self, row: Held, seconds: i64, notes: &mut RecordNotes) -> Result<(), RecordError> {
        let (start, end) = if self.starts { (row.at, row.at + seconds) } else { (row.at - seconds, row.at) };
        match row.rain {
            // a dry row
            Some(0.0) => {
                notes.used += 1;
                self.put(start, end, SpanRain::Fell(Intensity::ZERO), notes);
            }
            Some(rain) => self.fall_wet(row, rain, start, end, notes)?,
            None => self.put(start, end, SpanRain::Missing, notes),
        }
        Ok(())
    }

    fn fall_wet(
        &mut self,
        row: Held,
        rain: f64,
        start: i64,
        end: i64,
        notes: &mut RecordNotes,
    ) -> Result<(), RecordError> {
        let seconds = (end - start) as f64;
        let (depth_m, rate) = match self.kind {
            RainKind::Intensity => (rain * seconds, rain),
            RainKind::Depth | RainKind::Cumulative => (rain, rain / seconds),
        };
        if !self.limit.believes(depth_m, seconds) {
            notes.skip(SkipReason::ImpossibleRate, row.line, RainDepth::from_m(depth_m));
            self.put(start, end, SpanRain::Missing, notes);
            return self.limit.refuse(row.line, depth_m, seconds, notes.wet_rows);
        }
        notes.used += 1;
        notes.wet_rows += 1;
        notes.total_depth += RainDepth::from_m(depth_m);
        self.put(start, end, SpanRain::Fell(Intensity::from_ms(rate)), notes);
        Ok(())
    }

    /// A row that comes a longer time after the row before (or before the one after) than its rain fell in.
    fn place_after_gap(&mut self, row: Held, time: i64, notes: &mut RecordNotes) -> Result<(), RecordError> {
        let rest = time - self.step.min(time);
        let is_gap = rest > 0 && self.gap.is_some_and(|gap| time > gap);
        if self.kind == RainKind::Cumulative
            && row.rain.is_some_and(|rain| !self.limit.believes(rain, self.step.min(time) as f64))
        {
            notes.remark(RemarkKind::SpreadOverGap, row.line);
            return self.fall(row, time, notes);
        }
        if is_gap {
            notes.gaps += 1;
        }
        let between = match row.rain {
            Some(_) if self.wet_rows_only && !is_gap => SpanRain::Fell(Intensity::ZERO),
            _ => SpanRain::Missing,
        };
        if self.starts {
            self.fall(row, time - rest, notes)?;
            self.put(row.at + time - rest, row.at + time, between, notes);
        } else {
            self.put(row.at - time, row.at - time + rest, between, notes);
            self.fall(row, time - rest, notes)?;
        }
        Ok(())
    }

    #[inline]
    fn put(&mut self, start: i64, end: i64, rain: SpanRain, notes: &mut RecordNotes) {
        if start >= end {
            return;
        }
        if rain == SpanRain::Missing {
            notes.missing_time += Duration::from_s((end - start) as f64);
        }
        let (start, end) = (Moment::from_seconds(start), Moment::from_seconds(end));
        match &mut self.pending {
            Some(pending) if pending.rain == rain => pending.end = end,
            pending => self.ready.extend(pending.replace(Span { start, end, rain })),
        }
    }

    /// The next finished span.
    #[inline]
    pub(super) fn next(&mut self) -> Option<Span> {
        self.ready.pop_front()
    }
    /// No row follows.
    pub(super) fn finish(&mut self) {
        self.ready.extend(self.pending.take());
    }
    /// Whatever is left is not given out.
    pub(super) fn drop_all(&mut self) {
        self.pending = None;
        self.ready.clear();
    }
}
