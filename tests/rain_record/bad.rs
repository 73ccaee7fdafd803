//! Bad rows and bad records, each with its line.

use crate::{error, error_with, read, read_with};
use approx::assert_relative_eq;
use std::io::Read;
use sumpwright::hydrology::{
    DateOrder, Moment, RainKind, RainRecord, RainUnit, RecordError, RecordOptions, RemarkKind, SkipReason,
};
use sumpwright::quantity::{Duration, Intensity};

/// A record of every minute with some rows put in after its header and three dry rows.
fn with(rows: &str) -> String {
    let mut text = String::from("time,rain_in\n");
    for minute in 0..3 {
        text += &format!("2014-06-03 09:{:02},0\n", 57 + minute);
    }
    text + rows
}

fn lines(text: &str, why: SkipReason) -> (u64, Vec<u64>, f64) {
    let (_, notes) = read(text);
    let skipped = notes.skipped.iter().find(|skipped| skipped.why == why);
    let skipped = skipped.unwrap_or_else(|| panic!("not skipped: {notes:?}"));
    (skipped.count, skipped.first_lines.clone(), skipped.depth.inch())
}

#[test]
fn regress_each_bad_row_is_counted_with_its_line() {
    let good = "2014-06-03 10:00,0\n2014-06-03 10:01,0.1\n2014-06-03 10:02,0\n";
    for (row, why, depth) in [
        ("2014-06-03 05:00,0.2\n", SkipReason::TimeBack, 0.2),
        ("2014-06-03 10:02,0\n", SkipReason::TimeDoubled, 0.0),
        ("2014-06-03 10:02,0.2\n", SkipReason::TimeDoubledOtherRain, 0.2),
        ("2014-06-31 10:02,0.2\n", SkipReason::TimeUnreadable, 0.2),
        ("soon,0.2\n", SkipReason::TimeUnreadable, 0.2),
        ("2014-06-03 10:03,\n", SkipReason::RainMissing, 0.0),
        ("2014-06-03 10:03,NA\n", SkipReason::RainMissing, 0.0),
        ("2014-06-03 10:03,NaN\n", SkipReason::RainMissing, 0.0),
        ("2014-06-03 10:03,M\n", SkipReason::RainMissing, 0.0),
        ("2014-06-03 10:03,-9999\n", SkipReason::RainMissing, 0.0),
        ("2014-06-03 10:03,-999.00\n", SkipReason::RainMissing, 0.0),
        ("2014-06-03 10:03,wet\n", SkipReason::RainUnreadable, 0.0),
        ("2014-06-03 10:03,inf\n", SkipReason::RainUnreadable, 0.0),
        ("2014-06-03 10:03,0.1.2\n", SkipReason::RainUnreadable, 0.0),
        ("2014-06-03 10:03,-0.01\n", SkipReason::NegativeRain, 0.0),
        ("2014-06-03 10:03\n", SkipReason::TooFewCells, 0.0),
        ("2014-06-03 10:03,0,25\n", SkipReason::TooManyCells, 0.0),
        ("2014-06-03 10:0", SkipReason::CutOff, 0.0),
        ("2014-06-03 10:03,", SkipReason::CutOff, 0.0),
        ("2014", SkipReason::CutOff, 0.0),
    ] {
        let text = with(&format!("{good}{row}"));
        let (count, first, lost) = lines(&text, why);
        assert_eq!((count, first), (1, vec![8]), "{text}");
        assert_relative_eq!(lost, depth, max_relative = 1e-12);
        let (_, notes) = read(&text);
        assert_eq!((notes.rows, notes.used), (7, 6), "{text}");
        assert_relative_eq!(notes.total_depth.inch(), 0.1, max_relative = 1e-12);
        // comments and blank lines count as lines
        let text = text.replace("2014-06-03 10:00", "# a comment\n\n2014-06-03 10:00");
        assert_eq!(lines(&text, why).1, [10], "{text}");
    }
}

#[test]
fn identity_a_decimal_comma_between_commas_is_not_taken_for_two_cells() {
    let mut text = with("");
    for minute in 0..40 {
        text += &format!("2014-06-03 10:{minute:02},{}\n", if minute % 3 == 0 { "0,25" } else { "0" });
    }
    assert!(error(&text).contains("Are there decimal commas"), "{}", error(&text));
    // trailing commas and further columns do not matter
    let (_, notes) = read(&with("2014-06-03 10:00,0.1,,\n"));
    assert_eq!(notes.skipped, []);
}

#[test]
fn regress_a_step_that_changes_stops_the_reading() {
    let mut text = String::from("time,rain_in\n");
    let start = Moment::from_civil(2014, 6, 3, 0, 0, 0).unwrap().seconds();
    for row in 0..600 {
        let at = start + 300 * if row < 400 { row } else { 400 + 3 * (row - 400) };
        text += &format!("{},0\n", Moment::from_seconds(at));
    }
    assert!(error(&text).starts_with("199 of 600 rows come more than 7.5 min after the row above"), "{}", error(&text));
    let options = RecordOptions { longest_gap: Some(Duration::from_min(15.0)), ..RecordOptions::default() };
    let (spans, notes) = read_with(text.as_bytes(), &options).unwrap();
    assert_eq!((spans.len(), notes.gaps), (1, 0));
}

#[test]
fn identity_a_clock_that_wavers_keeps_a_usual_step() {
    let mut text = String::from("time,rain_in\n");
    let start = Moment::from_civil(2014, 6, 3, 0, 0, 0).unwrap().seconds();
    for row in 0..60 {
        text += &format!(
            "{},{}\n",
            Moment::from_seconds(start + 300 * row + row * row % 7),
            if row == 9 { "0.1" } else { "0" }
        );
    }
    let (_, notes) = read(&text);
    assert!(!notes.wet_rows_only);
    assert_eq!(notes.gaps, 0);
    assert_relative_eq!(notes.usual_step.s(), 300.0, epsilon = 6.0);
}

#[test]
fn identity_a_trace_is_no_rain() {
    let (_, notes) = read(&with("2014-06-03 10:00,T\n2014-06-03 10:01,0\n"));
    assert_eq!((notes.used, notes.wet_rows, notes.remarked(RemarkKind::Trace)), (5, 0, 1));
    // but a running total that is a trace is no total, and did not begin again
    let total = "time,cumulative rain (in)\n2014-06-03 10:00,1\n2014-06-03 10:01,T\n2014-06-03 10:02,1.1\n";
    let (_, notes) = read(total);
    assert_eq!(notes.skipped_for(SkipReason::RainUnreadable), 1);
    assert_relative_eq!(notes.total_depth.inch(), 0.1, max_relative = 1e-9);
}

#[test]
fn identity_the_second_of_two_rows_counts_where_the_first_had_no_rain() {
    let (_, notes) = read(&with("2014-06-03 10:00,NA\n2014-06-03 10:00,0.1\n"));
    assert_relative_eq!(notes.total_depth.inch(), 0.1, max_relative = 1e-12);
    assert_eq!(notes.skipped_for(SkipReason::RainMissing), 1);
}

#[test]
fn regress_no_more_than_five_lines_are_kept() {
    let mut text = with("");
    for minute in 0..50 {
        text += &format!("2014-06-03 10:{minute:02},{}\n", if minute % 7 == 0 { "M" } else { "0" });
    }
    assert_eq!(lines(&text, SkipReason::RainMissing), (8, vec![5, 12, 19, 26, 33], 0.0));
}

#[test]
fn identity_one_row_that_jumps_ahead_is_left_out() {
    let (spans, notes) = read(&with("2041-06-03 10:00,0.1\n2014-06-03 10:01,0.2\n2014-06-03 10:02,0\n"));
    assert_eq!(notes.skipped[0].why, SkipReason::TimeBack);
    assert_eq!(notes.skipped[0].first_lines, [5]);
    assert_eq!(spans.last().unwrap().end.to_string(), "2014-06-03 10:02");
    assert_relative_eq!(notes.total_depth.inch(), 0.2, max_relative = 1e-12);
}

#[test]
fn identity_a_running_total_keeps_the_rain_of_a_row_that_jumps_ahead() {
    let (spans, notes) = read(
        "time,cumulative rain (in)\n2014-06-03 10:00,1\n2014-06-03 10:01,1\n2014-06-03 10:02,1\n2041-06-03 10:03,1.1\n2014-06-03 10:04,1.3\n2014-06-03 10:05,1.3\n",
    );
    assert_eq!(notes.skipped_for(SkipReason::TimeBack), 1);
    assert_eq!(spans.last().unwrap().end.to_string(), "2014-06-03 10:05");
    assert_relative_eq!(notes.total_depth.inch(), 0.3, max_relative = 1e-9);
}

#[test]
fn regress_records_that_cannot_be_read() {
    let rows = "2014-06-03 10:00,0,0\n2014-06-03 10:01,0.1,0\n2014-06-03 10:02,0,0\n";
    for (text, says) in [
        (String::new(), "the record is empty"),
        ("# nothing\n\n".into(), "the record is empty"),
        ("time,rain_in\n".into(), "the record has a header but no rows"),
        ("time,rain_in\n\n\n".into(), "the record has a header but no rows"),
        (format!("when,rain_in,x\n{rows}"), "no column of time was found: name one of: when, rain_in, x"),
        (format!("time,a,b\n{rows}"), "no column of rain was found: name one of: time, a, b"),
        (format!("time,rain_in,rain_mm\n{rows}"), "several columns may be the rain (rain_in, rain_mm): name one"),
        (
            "time utc,time local,rain_in\n2014-06-03 10:00,2014-06-03 05:00,0\n".into(),
            "several columns may be the time (time utc, time local): name one",
        ),
        (
            format!("time,rain,x\n{rows}"),
            "the unit of column `rain` is not known: give it (in, mm, 0.01 in or 0.1 mm; of an intensity, per hour). \
             The first values above zero: 0.1",
        ),
        (
            format!("time,total rain (in),x\n{rows}"),
            "column `total rain (in)` may hold the rain of each row or a running total: say which. \
             The first values above zero: 0.1",
        ),
        (rows.into(), "line 1: the record has no header: give the columns of time and rain by number"),
        (
            "time,rain_in\nnever,0\nsoon,0\n".into(),
            "every row was refused. The first, line 2: time unreadable: `never,0`",
        ),
        (
            "time,rain_in\n2014-06-03 10:00,M\n2014-06-03 10:05,M\n".into(),
            "every row was refused. The first, line 2: rain missing: `2014-06-03 10:00,M`",
        ),
        (
            "time,rain_in\n6/3/2014 10:00,0\n6/3/2014 10:05,0\n".into(),
            "`6/3/2014 10:00`: day and month cannot be told apart: say whether the month or the day comes first",
        ),
        (
            "time,rain_in\n6/13/2014 10:00,0\n13/6/2014 10:05,0\n".into(),
            "line 3: `13/6/2014 10:05` has its day and month in another order than the dates above it",
        ),
        (
            "time,rain_in\n2014-06-03 10:00,0.1\n".into(),
            "the usual time between rows is not known from so few rows: give it",
        ),
        ("time,rain_in\n2014\0".into(), "line 2: this is not text: save the record as plain text (CSV, UTF-8)"),
    ] {
        assert_eq!(error(&text), says, "{text}");
    }
    let missing = RecordOptions { rain_column: Some("gauge 2".into()), ..RecordOptions::default() };
    assert_eq!(error_with(&with(""), &missing), "there is no column `gauge 2`: there are: time, rain_in");
    let step = RecordOptions { step: Some(Duration::from_s(f64::NAN)), ..RecordOptions::default() };
    assert!(error_with(&with(""), &step).starts_with("the step and the longest gap must be"));
}

#[test]
fn regress_a_column_that_only_rises_is_asked_about() {
    let mut text = String::from("time,rain_in\n");
    for minute in 0..40 {
        text += &format!("2014-06-03 10:{minute:02},{}\n", f64::from(minute) * 0.01);
    }
    assert!(error(&text).starts_with("column `rain_in` may hold the rain of each row or a running total"));
    let options = RecordOptions { kind: Some(RainKind::Cumulative), ..RecordOptions::default() };
    let (_, notes) = read_with(text.as_bytes(), &options).unwrap();
    assert_relative_eq!(notes.total_depth.inch(), 0.39, max_relative = 1e-9);
}

#[test]
fn regress_dates_tell_their_order() {
    for (rows, want) in [
        (["6/3/2014 00:00,0", "6/3/2014 12:00,0", "6/13/2014 00:00,0"], "2014-06-03 00:00"),
        (["6/3/2014 00:00,0", "6/3/2014 12:00,0", "13/3/2014 00:00,0"], "2014-03-06 00:00"),
    ] {
        let (_, notes) = read(&format!("time,rain_in\n{}\n", rows.join("\n")));
        assert_eq!(notes.first.to_string(), want);
    }
    let options = RecordOptions { date_order: Some(DateOrder::DayFirst), ..RecordOptions::default() };
    let (_, notes) = read_with(b"time,rain_in\n6/3/2014 10:00,0\n6/3/2014 10:05,0\n", &options).unwrap();
    assert_eq!(notes.first.to_string(), "2014-03-06 10:00");
}

#[test]
fn identity_a_wrong_unit_stops_the_reading() {
    // ten metres in an hour
    let text = "time,rain_in\n2014-06-03 10:00,0\n2014-06-03 11:00,394\n2014-06-03 12:00,0\n";
    assert_eq!(
        error(text),
        "line 3: 394 in of rain in 60 min is more than was ever measured: is the unit (in) right, or does the \
         figure stand for a missing value?"
    );
    // the file's own unit
    let metric = "time,rain_mm\n2014-06-03 10:00,0\n2014-06-03 11:00,9000\n2014-06-03 12:00,0\n";
    assert!(error(metric).starts_with("line 3: 9000 mm of rain in 60 min"), "{}", error(metric));
    // late in a record one such row is a fault of the gauge, three are none
    let mut rows = String::new();
    for row in 0..400 {
        let rain = if row > 200 && row % 50 == 0 {
            "99.99"
        } else if row % 2 == 0 {
            "0.01"
        } else {
            "0"
        };
        rows += &format!("2014-06-{:02} {:02}:00,{rain}\n", 1 + row / 24, row % 24);
    }
    let three = format!("time,rain_in\n{rows}");
    assert!(error(&three).starts_with("line 352: "), "{}", error(&three));
    let one = three.replace(":00,99.99", ":00,0").replacen("2014-06-15 11:00,0", "2014-06-15 11:00,99.99", 1);
    let (_, notes) = read(&one);
    assert_eq!(notes.skipped_for(SkipReason::ImpossibleRate), 1);
    // told what to believe, the reader goes on
    let options = RecordOptions { highest_intensity: Some(Intensity::from_inh(20.0)), ..RecordOptions::default() };
    let (_, notes) = read_with(three.as_bytes(), &options).unwrap();
    assert_eq!(notes.skipped_for(SkipReason::ImpossibleRate), 3);
}

#[test]
fn identity_more_rain_than_falls_anywhere_stops_the_reading() {
    // 100 mm every day, taken as inches: no day is beyond the record of a day (1825 mm, 1966; World Meteorological
    // Organization, World Weather and Climate Extremes Archive), the year is beyond that of twelve months (26.5 m)
    let mut text = String::from("date,rain\n");
    for month in 1..=12 {
        for day in 1..=28 {
            text += &format!("2014-{month:02}-{day:02},{}\n", if day == 3 { 0 } else { 4 });
        }
    }
    let of = |unit| RecordOptions { unit: Some(unit), ..RecordOptions::default() };
    assert!(read_with(text.as_bytes(), &of(RainUnit::Millimetre)).is_ok());
    assert!(error_with(&text, &of(RainUnit::Inch)).contains("is the unit (in) right"));
}

#[test]
fn regress_too_many_bad_rows_stop_the_reading() {
    let mut text = with("");
    for minute in 0..50 {
        text += &format!("2014-06-03 10:{minute:02},{}\n", if minute % 5 == 0 { "-1" } else { "0" });
    }
    assert_eq!(error(&text), "10 of 53 rows were refused, first at line 5: negative rain. Is it a column of rain?");
    let mut text = String::from("time,rain_in\n");
    for day in [9, 4] {
        for minute in 0..30 {
            text += &format!("2014-06-{day:02} 10:{minute:02},0\n");
        }
    }
    assert!(error(&text).contains("Are there several stations in the file"), "{}", error(&text));
}

/// Fails once so many bytes were read.
struct Broken<'a>(&'a [u8]);

impl Read for Broken<'_> {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        match self.0.read(buffer)? {
            0 => Err(std::io::Error::other("the disk is gone")),
            count => Ok(count),
        }
    }
}

#[test]
fn identity_a_failing_reader_is_told_with_its_line() {
    let text = with("2014-06-03 10:00,0.1\n2014-06-03 10:01,0");
    let mut record = RainRecord::new(Broken(text.as_bytes()), &RecordOptions::default()).unwrap();
    let failure = loop {
        match record.next_span() {
            Ok(Some(_)) => {}
            Ok(None) => panic!("the failure was not told"),
            Err(failure) => break failure,
        }
    };
    assert!(matches!(failure, RecordError::Io { line: 6, .. }), "{failure}");
    assert!(matches!(record.next_span(), Ok(None)));
    assert!(matches!(RainRecord::new(Broken(b""), &RecordOptions::default()), Err(RecordError::Io { line: 1, .. })));
}

#[test]
fn identity_a_line_without_end_stops_the_reading() {
    let text = with("") + "2014-06-03 10:00,\"" + &"x".repeat(3 << 20);
    assert!(error(&text).starts_with("line 5: this is not text"));
    // a stray quote mark does not swallow the rows below
    let (_, notes) = read(&with("2014-06-03 10:00,\"0.1\n2014-06-03 10:01,0.2\n2014-06-03 10:02,0\n"));
    assert_relative_eq!(notes.total_depth.inch(), 0.3, max_relative = 1e-12);
}

#[test]
fn identity_rows_newest_first_are_said_to_run_backwards() {
    let minutes = |count: usize| -> Vec<String> {
        (0..count).map(|minute| format!("2014-06-03 {:02}:{:02},0.01\n", minute / 60, minute % 60)).collect()
    };
    for count in [2, 3, 200] {
        let mut rows = minutes(count);
        let forwards = format!("time,rain_in\n{}", rows.concat());
        let (_, notes) = read(&forwards);
        assert_eq!(notes.used, count as u64);
        rows.reverse();
        let backwards = format!("time,rain_in\n{}", rows.concat());
        assert!(error(&backwards).starts_with("the rows run backwards in time"), "{}", error(&backwards));
        // whatever step is given
        let options = RecordOptions { step: Some(Duration::from_min(1.0)), ..RecordOptions::default() };
        assert!(error_with(&backwards, &options).starts_with("the rows run backwards in time"));
    }
}
