//! Where a row's rain falls: intervals, gaps, records of wet rows.

use super::{check, counts};
use crate::hydrology::rain_record::{RainKind, RecordOptions, StampConvention};
use crate::quantity::Duration;

fn starts() -> RecordOptions {
    RecordOptions { convention: Some(StampConvention::IntervalStarts), ..RecordOptions::default() }
}

fn wet_rows(longest_gap: Option<Duration>) -> RecordOptions {
    RecordOptions {
        wet_rows_only: Some(true),
        step: Some(Duration::from_min(5.0)),
        longest_gap,
        ..RecordOptions::default()
    }
}

#[test]
fn identity_a_depth_is_spread_from_the_row_before_or_to_the_row_after() {
    let plain = RecordOptions::default();
    let rows = "10:00,0 10:05,0.1 10:10,0.1 10:15,0.05 10:20,0 10:25,0";
    // 0.1 in in 5 min is 1.2 in/h; the first row has the usual step
    let notes = check("rain_in", rows, &plain, "09:55-10:00 0; 10:00-10:10 1.2; 10:10-10:15 0.6; 10:15-10:25 0", "");
    assert_eq!(counts(&notes), (6, 6, 3, 0));
    assert_eq!(notes.usual_step, Duration::from_min(5.0));
    assert_eq!(notes.longest_gap, Some(Duration::from_min(7.5)));
    assert_eq!(
        (notes.first.to_string(), notes.last.to_string()),
        ("2014-06-03 10:00".into(), "2014-06-03 10:25".into())
    );
    // the last row has the usual step
    check("rain_in", rows, &starts(), "10:00-10:05 0; 10:05-10:15 1.2; 10:15-10:20 0.6; 10:20-10:30 0", "");
    // of intensities the figure is the rate itself, whatever the interval: 10:10 to 10:17 are 7 min of 1.2 in/h
    let notes = check(
        "rain (in/h)",
        "10:00,0 10:05,0 10:10,0 10:17,1.2 10:22,0",
        &plain,
        "09:55-10:10 0; 10:10-10:17 1.2; 10:17-10:22 0",
        "",
    );
    assert_eq!(notes.kind, RainKind::Intensity);
    assert!((notes.total_depth.inch() - 0.14).abs() < 1e-12);
    // of depths the rate is less: 0.07 in in 7 min are 0.6 in/h
    check(
        "rain_in",
        "10:00,0 10:05,0 10:10,0 10:17,0.07 10:22,0",
        &plain,
        "09:55-10:10 0; 10:10-10:17 0.6; 10:17-10:22 0",
        "",
    );
}

#[test]
fn identity_a_time_longer_than_the_longest_gap_is_missing() {
    let plain = RecordOptions::default();
    // one and a half steps are no gap: 0.15 in in 7.5 min are 1.2 in/h; a second more is one, and the rain falls in 5 min
    let notes = check(
        "rain_in",
        "10:00,0 10:05,0 10:12:30,0.15 10:17:30,0",
        &plain,
        "09:55-10:05 0; 10:05-10:12:30 1.2; 10:12:30-10:17:30 0",
        "",
    );
    assert_eq!(counts(&notes), (4, 4, 1, 0));
    let notes = check(
        "rain_in",
        "10:00,0 10:05,0 10:12:31,0.15 10:17:31,0",
        &plain,
        "09:55-10:05 0; 10:05-10:07:31 missing; 10:07:31-10:12:31 1.8; 10:12:31-10:17:31 0",
        "",
    );
    assert_eq!(counts(&notes), (4, 4, 1, 1));
    // the other way round: what follows on the row is missing
    let notes = check(
        "rain_in",
        "10:00,0 10:05,0.15 10:12:31,0 10:17:31,0",
        &starts(),
        "10:00-10:05 0; 10:05-10:10 1.8; 10:10-10:12:31 missing; 10:12:31-10:22:31 0",
        "",
    );
    assert_eq!(counts(&notes), (4, 4, 1, 1));
    // a gap before a row without rain
    let notes = check(
        "rain_in",
        "10:00,0 10:05,0 10:10,0 10:40,M 10:45,0",
        &plain,
        "09:55-10:10 0; 10:10-10:40 missing; 10:40-10:45 0",
        "RainMissing 1 [5] 0",
    );
    assert_eq!(counts(&notes), (5, 4, 0, 1));
    // the user's longest gap, at it and beyond it; 0.2 in in 20 min are 0.6 in/h, in 5 min 2.4 in/h
    let twenty = RecordOptions { longest_gap: Some(Duration::from_min(20.0)), ..RecordOptions::default() };
    let notes = check(
        "rain_in",
        "10:00,0 10:05,0 10:10,0 10:30,0.2 10:51,0.2 10:56,0",
        &twenty,
        "09:55-10:10 0; 10:10-10:30 0.6; 10:30-10:46 missing; 10:46-10:51 2.4; 10:51-10:56 0",
        "",
    );
    assert_eq!(counts(&notes), (6, 6, 2, 1));
    // shorter than the step: only what is beyond a step is missing
    let minute = RecordOptions { longest_gap: Some(Duration::from_min(1.0)), ..RecordOptions::default() };
    let notes = check(
        "rain_in",
        "10:00,0 10:05,0 10:10,0.1 10:14,0.04 10:20,0.1",
        &minute,
        "09:55-10:05 0; 10:05-10:10 1.2; 10:10-10:14 0.6; 10:14-10:15 missing; 10:15-10:20 1.2",
        "",
    );
    assert_eq!(counts(&notes), (5, 5, 3, 1));
}

#[test]
fn identity_rows_without_rain_are_missing() {
    let plain = RecordOptions::default();
    let notes = check(
        "rain_in",
        "10:00,M 10:05,0 10:10,M 10:15,NA 10:20,0.1 10:25,",
        &plain,
        "09:55-10:00 missing; 10:00-10:05 0; 10:05-10:15 missing; 10:15-10:20 1.2; 10:20-10:25 missing",
        "RainMissing 4 [2, 4, 5, 7] 0",
    );
    assert_eq!(counts(&notes), (6, 2, 1, 0));
    assert_eq!(notes.missing_time, Duration::from_min(20.0));
    check(
        "rain_in",
        "10:00,M 10:05,0 10:10,M 10:15,NA 10:20,0.1 10:25,",
        &starts(),
        "10:00-10:05 missing; 10:05-10:10 0; 10:10-10:20 missing; 10:20-10:25 1.2; 10:25-10:30 missing",
        "RainMissing 4 [2, 4, 5, 7] 0",
    );
}

#[test]
fn identity_between_wet_rows_it_is_dry() {
    let ends = wet_rows(None);
    // since the row before, but within 5 min at most: 0.02 in in 2 min are 0.6 in/h
    let notes = check(
        "rain_in",
        "10:00,0.1 10:02,0.02 11:00,0.05 11:05,0.05",
        &ends,
        "09:55-10:00 1.2; 10:00-10:02 0.6; 10:02-10:55 0; 10:55-11:05 0.6",
        "WetRowsOnly 1 [2]",
    );
    assert_eq!(counts(&notes), (4, 4, 4, 0));
    assert_eq!((notes.wet_rows_only, notes.longest_gap), (true, None));
    let forth = RecordOptions { convention: Some(StampConvention::IntervalStarts), ..ends.clone() };
    check(
        "rain_in",
        "10:00,0.02 10:02,0.1 11:00,0.05 11:05,0.05",
        &forth,
        "10:00-10:02 0.6; 10:02-10:07 1.2; 10:07-11:00 0; 11:00-11:10 0.6",
        "WetRowsOnly 1 [2]",
    );
    // where the rain of a row is missing, nobody knows how long it fell
    let notes = check(
        "rain_in",
        "10:00,0.1 11:00,M 12:00,0.1",
        &ends,
        "09:55-10:00 1.2; 10:00-11:00 missing; 11:00-11:55 0; 11:55-12:00 1.2",
        "RainMissing 1 [3] 0; WetRowsOnly 1 [2]",
    );
    assert_eq!(counts(&notes), (3, 2, 2, 0));
    // times above a longest gap are missing all the same
    let two_hours = wet_rows(Some(Duration::from_h(2.0)));
    let notes = check(
        "rain_in",
        "10:00,0.1 12:00,0.1 14:00:01,0.1",
        &two_hours,
        "09:55-10:00 1.2; 10:00-11:55 0; 11:55-12:00 1.2; 12:00-13:55:01 missing; 13:55:01-14:00:01 1.2",
        "WetRowsOnly 1 [2]",
    );
    assert_eq!(counts(&notes), (3, 3, 3, 1));
    assert_eq!(notes.longest_gap, Some(Duration::from_h(2.0)));
}

#[test]
fn identity_wet_rows_of_the_same_time_add_up() {
    let ends = wet_rows(None);
    let notes = check(
        "rain_in",
        "10:00,0.05 10:05,0.02 10:05,0.03 10:05,0.05 10:10,0.05",
        &ends,
        "09:55-10:00 0.6; 10:00-10:05 1.2; 10:05-10:10 0.6",
        "WetRowsOnly 1 [2]; Joined 2 [4, 5]",
    );
    assert_eq!((notes.rows, notes.used, notes.wet_rows), (5, 5, 3));
    // intensities do not; nor where dry rows are written
    check(
        "rain (in/h)",
        "10:00,1.2 10:05,0.6 10:05,0.3 10:10,0.6",
        &ends,
        "09:55-10:00 1.2; 10:00-10:10 0.6",
        "TimeDoubledOtherRain 1 [4] 0.025; WetRowsOnly 1 [2]",
    );
    // a running total of wet rows: 0.1 and 0.05 in, the last of it within 5 min
    check(
        "cumulative rain (in)",
        "10:00,1 10:05,1.1 10:05,1.2 11:00,1.15",
        &ends,
        "10:00-10:05 1.2; 10:05-10:55 0; 10:55-11:00 0.6",
        "TimeDoubledOtherRain 1 [4] 0; WetRowsOnly 1 [2]",
    );
}
