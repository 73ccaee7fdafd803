//! Rows that are not plainly good, each with its line.

use super::{check, counts, day, error, read, told};
use crate::hydrology::rain_record::{RecordError, RecordOptions, RemarkKind, SkipReason};
use approx::assert_relative_eq;

#[test]
fn identity_each_bad_row_is_told_with_its_line_and_its_rain() {
    let good = "time,rain_in,note\n2014-06-03 10:00,0,\n2014-06-03 10:05,0.1,\n2014-06-03 10:10,0,\n";
    for (row, says) in [
        ("2014-06-31 10:15,0.2,\n", "TimeUnreadable 1 [5] 0.2"),
        ("soon,0.2,\n", "TimeUnreadable 1 [5] 0.2"),
        (",0.2,\n", "TimeUnreadable 1 [5] 0.2"),
        ("2014-06-03 10:15,,\n", "RainMissing 1 [5] 0"),
        ("2014-06-03 10:15,-999,\n", "RainMissing 1 [5] 0"),
        ("2014-06-03 10:15,wet,\n", "RainUnreadable 1 [5] 0"),
        ("2014-06-03 10:15,-0.01,\n", "NegativeRain 1 [5] 0"),
        ("2014-06-03 10:15\n", "TooFewCells 1 [5] 0"),
        ("2014-06-03 10:15,0,25,x\n", "TooManyCells 1 [5] 0"),
        ("2014-06-03 10:15,0.2,,x\n", "TooManyCells 1 [5] 0.2"),
        // a last line without its end may be cut off anywhere
        ("2014-06-03 10:1", "CutOff 1 [5] 0"),
        ("2014-06-03 10:15,", "CutOff 1 [5] 0"),
        ("2014-06-03 10:15,-", "RainMissing 1 [5] 0"),
        ("2014-06-03 10:15,M", "RainMissing 1 [5] 0"),
        ("2014-06-03 10:15,-0.2", "CutOff 1 [5] 0"),
        ("2014-06-03 10:15,0.2,,x", "CutOff 1 [5] 0.2"),
        ("soon,0.2", "CutOff 1 [5] 0.2"),
        // these are good, as far as they can be
        ("2014-06-03 10:15,0.2", "LastLineOpen 1 [5]"),
        ("2014-06-03 10:15,0", "LastLineOpen 1 [5]"),
        ("2014-06-03 10:15,T", "Trace 1 [5]; LastLineOpen 1 [5]"),
        ("2014-06-03 10:15,trace,\n", "Trace 1 [5]"),
        ("2014-06-03 10:15,0.2,,,\n", ""),
        // nothing but delimiters is no row
        (",,\n", ""),
        (" ; \",\" \n", ""),
        (",", ""),
    ] {
        let (_, notes) = read(&format!("{good}{row}"));
        assert_eq!(told(&notes), says, "{row}");
        let taken = says.is_empty() || says.contains("Trace") || says.contains("LastLineOpen");
        let is_row = !says.is_empty() || row.contains("0.2");
        assert_eq!(notes.rows, 3 + u64::from(is_row), "{row}");
        assert_eq!(notes.used, 3 + u64::from(taken && is_row), "{row}");
        let rain = if taken && row.contains("0.2") { 0.3 } else { 0.1 };
        assert_relative_eq!(notes.total_depth.inch(), rain, max_relative = 1e-12);
    }
}

#[test]
fn identity_a_bad_row_with_its_time_leaves_its_interval_missing() {
    let plain = RecordOptions::default();
    for bad in ["10:15,wet", "10:15,-0.1", "10:15,NA", "10:15"] {
        let text = day("rain_in", &format!("10:00,0 10:05,0 10:10,0 {bad} 10:20,0.1"));
        let (spans, notes) = read(&text);
        assert_eq!(super::shown(&spans), "09:55-10:10 0; 10:10-10:15 missing; 10:15-10:20 1.2", "{text}");
        assert_eq!(counts(&notes), (5, 4, 1, 0), "{text}");
    }
    // of a row without its time nothing is known: there is a gap
    check(
        "rain_in",
        "10:00,0 10:05,0 10:10,0 10:75,0.3 10:20,0.1",
        &plain,
        "09:55-10:10 0; 10:10-10:15 missing; 10:15-10:20 1.2",
        "TimeUnreadable 1 [5] 0.3",
    );
    // a trace is dry, a zero below zero is a zero
    check(
        "rain_in",
        "10:00,0 10:05,T 10:10,-0.0 10:15,trace 10:20,0.1",
        &plain,
        "09:55-10:15 0; 10:15-10:20 1.2",
        "Trace 2 [3, 5]",
    );
}

#[test]
fn identity_lost_rain_is_the_sum_of_rows_and_five_lines_are_kept() {
    let mut rows = String::new();
    for minute in 0..60 {
        rows += &if minute % 9 == 5 { format!("x10:{minute:02},0.25 ") } else { format!("10:{minute:02},0 ") };
    }
    // rows 5, 14, 23, 32, 41, 50 and 59, each two lines further down
    let (_, notes) = read(&day("rain_in", &rows));
    assert_eq!(told(&notes), "TimeUnreadable 7 [7, 16, 25, 34, 43] 1.75");
    assert_eq!(notes.skipped_for(SkipReason::TimeUnreadable), 7);
    assert_eq!((notes.skipped_for(SkipReason::TimeBack), notes.remarked(RemarkKind::Joined)), (0, 0));
    let (_, notes) = read(&day("rain_in", &rows.replace("x1", "1").replace("0.25", "T")));
    assert_eq!(told(&notes), "Trace 7 [7, 16, 25, 34, 43]");
    assert_eq!((notes.remarked(RemarkKind::Trace), notes.used), (7, 60));
}

#[test]
fn identity_a_row_that_all_fail_is_told_first() {
    // the first refused one, with its text
    let found = error("time,rain_in\nnever,0\nsoon,0\n");
    let RecordError::AllRefused { line, why, text } = found else { panic!("{found}") };
    assert_eq!((line, why, text.as_str()), (2, SkipReason::TimeUnreadable, "never,0"));
    let found = error("time,rain_in\n,\n2014-06-03 10:00,wet\n2014-06-03 10:05,M\n");
    let RecordError::AllRefused { line, why, text } = found else { panic!("{found}") };
    assert_eq!((line, why, text.as_str()), (3, SkipReason::RainUnreadable, "2014-06-03 10:00,wet"));
}

#[test]
fn identity_stamps_with_another_offset_are_converted_and_remarked() {
    // ISO 8601: 09:05 at −05:00 is 10:05 at −04:00
    let (spans, notes) = read(
        "time,rain_in\n2014-06-03 10:00-04:00,0\n2014-06-03 09:05-05:00,0.1\n2014-06-03 10:10-04:00,0\n\
         2014-06-03 10:15,0.3\n2014-06-03 10:20-04:00,0\n",
    );
    assert_eq!(
        super::shown(&spans),
        "09:55-10:00 0; 10:00-10:05 1.2; 10:05-10:10 0; 10:10-10:15 missing; 10:15-10:20 0"
    );
    assert_eq!(told(&notes), "TimeUnreadable 1 [5] 0.3; OtherOffset 1 [3]");
}

#[test]
fn regress_words_for_what_was_left_out_and_remarked() {
    use RemarkKind as R;
    use SkipReason as S;
    let reasons = [
        (S::TimeBack, "back"),
        (S::TimeDoubled, "same rain"),
        (S::TimeDoubledOtherRain, "other rain"),
        (S::TimeUnreadable, "time unreadable"),
        (S::RainMissing, "missing"),
        (S::RainUnreadable, "rain unreadable"),
        (S::NegativeRain, "negative"),
        (S::ImpossibleRate, "impossible"),
        (S::CutOff, "cut off"),
        (S::TooFewCells, "few"),
        (S::TooManyCells, "many"),
    ];
    for (reason, word) in reasons {
        assert!(reason.to_string().contains(word), "{reason}");
    }
    let remarks = [
        (R::Trace, "trace"),
        (R::ClockSetBack, "set back"),
        (R::Swapped, "before the row above"),
        (R::OtherOffset, "offset"),
        (R::TotalRestarted, "began again"),
        (R::TotalMoved, "moved"),
        (R::SpreadOverGap, "gap"),
        (R::Joined, "added up"),
        (R::LastLineOpen, "last line"),
        (R::AgainstHeader, "header"),
        (R::WetRowsOnly, "wet rows"),
    ];
    for (remark, word) in remarks {
        assert!(remark.to_string().contains(word), "{remark}");
    }
}
