//! Rain records as people have them, all invented: what is read, what is left out and where, what stops the reading.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::float_cmp,
    clippy::format_push_string,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a test fails by panicking; its numbers are small"
)]

mod bad_rows;
mod cells;
mod clocks;
mod columns;
mod learned;
mod limits;
mod lines;
mod moments;
mod names;
mod placing;
mod stamps;
mod stops;
mod times;
mod totals;

use super::{RainRecord, RecordError, RecordNotes, RecordOptions, Span, SpanRain};
use crate::quantity::{Duration, RainDepth};
use approx::assert_relative_eq;

/// All spans and the notes. What must hold of every record is looked at here.
fn read_with(text: &str, options: &RecordOptions) -> Result<(Vec<Span>, RecordNotes), RecordError> {
    let mut record = RainRecord::new(text.as_bytes(), options)?;
    let mut spans: Vec<Span> = Vec::new();
    loop {
        match record.next_span() {
            Ok(Some(span)) => spans.push(span),
            Ok(None) => break,
            Err(error) => {
                assert!(matches!(record.next_span(), Ok(None)), "nothing follows an error");
                return Err(error);
            }
        }
    }
    assert_eq!(record.bytes_read(), text.len() as u64, "{text}");
    let mut depth = RainDepth::ZERO;
    let mut missing = Duration::ZERO;
    for (index, span) in spans.iter().enumerate() {
        assert!(span.start < span.end, "{text}");
        if let Some(next) = spans.get(index + 1) {
            assert_eq!(span.end, next.start, "{text}");
            assert_ne!(span.rain, next.rain, "{text}");
        }
        depth += span.depth();
        if span.rain == SpanRain::Missing {
            missing += span.duration();
        }
    }
    let notes = record.notes();
    assert_relative_eq!(notes.total_depth.m(), depth.m(), max_relative = 1e-9);
    assert_eq!(notes.missing_time, missing, "{text}");
    Ok((spans, notes.clone()))
}

fn read(text: &str) -> (Vec<Span>, RecordNotes) {
    read_with(text, &RecordOptions::default()).unwrap_or_else(|error| panic!("{error}\n{text}"))
}

fn error_with(text: &str, options: &RecordOptions) -> RecordError {
    match read_with(text, options) {
        Ok((_, notes)) => panic!("read without an error: {notes:?}\n{text}"),
        Err(error) => error,
    }
}

fn error(text: &str) -> RecordError {
    error_with(text, &RecordOptions::default())
}

/// A record of 3 June 2014 out of rows like `10:05,0.1`, parted by spaces.
fn day(rain: &str, rows: &str) -> String {
    let rows: Vec<String> = rows.split_whitespace().map(|row| format!("2014-06-03 {row}\n")).collect();
    format!("time,{rain}\n{}", rows.concat())
}

/// Spans as `10:00-10:05 1.2`, rain in inches an hour to four decimals, times without the date of that day.
fn shown(spans: &[Span]) -> String {
    let time = |moment: super::Moment| {
        let text = moment.to_string();
        text.strip_prefix("2014-06-03 ").unwrap_or(&text).to_owned()
    };
    let span = |span: &Span| {
        let rain = match span.rain {
            SpanRain::Missing => "missing".to_owned(),
            SpanRain::Fell(rain) => ((rain.inh() * 1e4).round() / 1e4).to_string(),
        };
        format!("{}-{} {rain}", time(span.start), time(span.end))
    };
    spans.iter().map(span).collect::<Vec<_>>().join("; ")
}

/// What was left out and what was remarked, as `TimeBack 1 [7] 0.2` (the depth lost in inches) and `Joined 1 [3]`.
fn told(notes: &RecordNotes) -> String {
    let skipped = notes.skipped.iter().map(|skipped| {
        let depth = (skipped.depth.inch() * 1e6).round() / 1e6;
        format!("{:?} {} {:?} {depth}", skipped.why, skipped.count, skipped.first_lines)
    });
    let remarks =
        notes.remarks.iter().map(|remark| format!("{:?} {} {:?}", remark.kind, remark.count, remark.first_lines));
    skipped.chain(remarks).collect::<Vec<_>>().join("; ")
}

/// Rows, rows used, wet rows, gaps.
fn counts(notes: &RecordNotes) -> (u64, u64, u64, u64) {
    (notes.rows, notes.used, notes.wet_rows, notes.gaps)
}

/// A record of a day, read, against its spans and what is told of it.
#[track_caller]
fn check(rain: &str, rows: &str, options: &RecordOptions, spans: &str, says: &str) -> RecordNotes {
    let text = day(rain, rows);
    let (found, notes) = read_with(&text, options).unwrap_or_else(|error| panic!("{error}\n{text}"));
    assert_eq!(shown(&found), spans, "{text}");
    assert_eq!(told(&notes), says, "{text}");
    notes
}
