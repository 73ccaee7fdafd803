//! Clocks that are set back and forth.

use crate::{read, read_with};
use approx::assert_relative_eq;
use std::io::Read;
use sumpwright::hydrology::{Moment, RainRecord, RecordOptions, RemarkKind, SkipReason, SpanRain, StampConvention};

/// Rows of every five minutes, rain in each, over some hours from a moment; the stamp as a function of the seconds.
fn record(hours: i64, rain: f64, stamp: impl Fn(i64) -> String) -> String {
    let mut text = String::from("time,rain_in\n");
    for row in 0..hours * 12 {
        text += &format!("{},{}\n", stamp(row * 300), if row == 0 { 0.0 } else { rain });
    }
    text
}

#[test]
fn identity_no_rain_is_lost_when_the_clock_is_set_back() {
    // 2 November 2014 and 8 March 2015: 2:00 becomes 1:00, 2:00 becomes 3:00 (US Energy Policy Act of 2005, section 110)
    let start = Moment::from_civil(2014, 11, 2, 0, 0, 0).unwrap().seconds();
    let back = Moment::from_civil(2014, 11, 2, 2, 0, 0).unwrap().seconds();
    let forth = Moment::from_civil(2015, 3, 8, 3, 0, 0).unwrap().seconds();
    let hours = 24 * 130;
    let local = |elapsed: i64| {
        let summer = start + elapsed;
        let shown = if summer < back || summer >= forth { summer } else { summer - 3_600 };
        Moment::from_seconds(shown).to_string()
    };
    let text = record(hours, 0.001, local);
    let (spans, notes) = read(&text);
    assert_eq!(notes.skipped, []);
    assert_eq!((notes.gaps, notes.remarked(RemarkKind::ClockSetBack)), (0, 1));
    assert_eq!(notes.remarks[0].first_lines, [2 + 24]);
    assert_relative_eq!(notes.total_depth.inch(), 0.001 * (hours as f64 * 12.0 - 1.0), max_relative = 1e-9);
    // one dry step, then steady rain to the end, on the clock of the first row
    assert_eq!(spans.len(), 2);
    assert_eq!(spans[1].end.seconds(), start + hours * 3_600 - 300);

    // the same with offsets written
    let offset = |elapsed: i64| {
        let summer = start + elapsed;
        let zone = if summer < back || summer >= forth { "-04:00" } else { "-05:00" };
        format!("{}{zone}", local(elapsed))
    };
    let (with_offsets, notes) = read(&record(hours, 0.001, offset));
    assert_eq!(with_offsets, spans);
    assert!(notes.remarked(RemarkKind::OtherOffset) > 0);
    assert_eq!(notes.remarked(RemarkKind::ClockSetBack), 0);
}

#[test]
fn identity_in_spring_alone_an_hour_is_missing() {
    let start = Moment::from_civil(2015, 3, 8, 0, 0, 0).unwrap().seconds();
    let local =
        |elapsed: i64| Moment::from_seconds(start + elapsed + if elapsed >= 7_200 { 3_600 } else { 0 }).to_string();
    let (spans, notes) = read(&record(6, 0.001, local));
    assert_eq!((notes.gaps, notes.missing_time.h()), (1, 1.0));
    assert!(
        spans.iter().any(|span| span.rain == SpanRain::Missing && span.start.hour() == 1 || span.start.hour() == 2)
    );
}

#[test]
fn identity_rows_out_of_order_by_minutes_keep_their_rain() {
    let minutes = [0, 5, 10, 20, 15, 25, 30, 35, 40];
    for convention in [StampConvention::IntervalEnds, StampConvention::IntervalStarts] {
        let mut text = String::from("time,rain_in\n");
        for minute in minutes {
            text += &format!("2014-06-03 10:{minute:02},{}\n", if minute == 0 { "0" } else { "0.01" });
        }
        let options = RecordOptions { convention: Some(convention), ..RecordOptions::default() };
        let (_, notes) = read_with(text.as_bytes(), &options).unwrap();
        assert_eq!(notes.skipped, []);
        assert_relative_eq!(notes.total_depth.inch(), 0.08, max_relative = 1e-12);
    }
}

#[test]
fn identity_two_rows_that_were_swapped_are_read_as_if_in_order() {
    let row = |minute: i64| format!("2014-06-03 10:{minute:02},0.{:02}\n", minute % 7);
    let text = |minutes: &[i64]| minutes.iter().fold("time,rain_in\n".to_owned(), |text, minute| text + &row(*minute));
    for convention in [StampConvention::IntervalEnds, StampConvention::IntervalStarts] {
        let options = RecordOptions { convention: Some(convention), ..RecordOptions::default() };
        let (ordered, _) = read_with(text(&[0, 5, 10, 15, 20, 25, 30, 35, 40]).as_bytes(), &options).unwrap();
        for swapped in
            [[0, 5, 10, 20, 15, 25, 30, 35, 40], [0, 5, 10, 20, 15, 30, 25, 35, 40], [0, 5, 10, 15, 20, 25, 30, 40, 35]]
        {
            let (spans, notes) = read_with(text(&swapped).as_bytes(), &options).unwrap();
            assert_eq!(spans, ordered, "{swapped:?}");
            assert_eq!((notes.skipped.len(), notes.gaps, notes.remarked(RemarkKind::ClockSetBack)), (0, 0, 0));
            assert!(notes.remarked(RemarkKind::Swapped) > 0);
        }
    }
}

#[test]
fn identity_one_row_alone_that_goes_back_is_left_out_and_moves_no_other() {
    let row = |minute: i64| format!("2014-06-03 10:{minute:02},0.01\n");
    let text = |minutes: &[i64]| minutes.iter().fold("time,rain_in\n".to_owned(), |text, minute| text + &row(*minute));
    let (ordered, _) = read(&text(&[0, 5, 10, 15, 20, 25, 30]));
    let (spans, notes) = read(&text(&[0, 5, 10, 15, 20, 2, 25, 30]));
    assert_eq!(spans, ordered);
    assert_eq!(notes.skipped.len(), 1);
    assert_eq!((notes.skipped[0].why, notes.skipped[0].first_lines.as_slice()), (SkipReason::TimeBack, [7].as_slice()));
    assert_eq!(notes.remarked(RemarkKind::ClockSetBack), 0);
}

/// Gives a few bytes at a time, now and then interrupted.
struct Drip<'a>(&'a [u8], usize);

impl Read for Drip<'_> {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        self.1 += 1;
        if self.1.is_multiple_of(100) {
            return Err(std::io::ErrorKind::Interrupted.into());
        }
        let most = buffer.len().min(1 + self.1 * 7 % 1_999);
        self.0.read(&mut buffer[..most])
    }
}

#[test]
fn identity_however_the_bytes_come_the_spans_are_the_same() {
    let start = Moment::from_civil(2014, 1, 1, 0, 5, 0).unwrap().seconds();
    let mut text = String::from("time,rain_in\n");
    // three mebibytes: more than the reader looks at first
    for row in 0..140_000 {
        let rain = if row % 97 < 3 { 0.01 * (row % 5) as f64 } else { 0.0 };
        text += &format!("{},{rain:.2}\n", Moment::from_seconds(start + row * 300));
    }
    let (spans, notes) = read(&text);
    let mut record = RainRecord::new(Drip(text.as_bytes(), 0), &RecordOptions::default()).unwrap();
    for span in spans {
        assert_eq!(record.next_span().unwrap(), Some(span));
    }
    assert_eq!(record.next_span().unwrap(), None);
    assert_eq!(record.notes(), &notes);
    assert_eq!(record.bytes_read(), text.len() as u64);
}

#[test]
fn identity_a_year_of_rows_merges_to_its_storms() {
    let start = Moment::from_civil(2014, 1, 1, 0, 5, 0).unwrap().seconds();
    let mut text = String::from("time,rain_in\n");
    for row in 0..105_120 {
        let rain = if row % 10_000 == 5_000 { "0.10" } else { "0.00" };
        text += &format!("{},{rain}\n", Moment::from_seconds(start + row * 300));
    }
    let (spans, notes) = read(&text);
    assert_eq!(notes.wet_rows, 11);
    // each wet row between two dry spans
    assert_eq!(spans.len(), 2 * 11 + 1);
    assert_eq!(spans[0].start.to_string(), "2014-01-01 00:00");
    assert_eq!(spans.last().unwrap().end.to_string(), "2015-01-01 00:00");
}
