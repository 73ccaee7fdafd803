//! Running totals, reading by reading.

use super::{check, counts, day, error};
use crate::hydrology::rain_record::limit::Limit;
use crate::hydrology::rain_record::options::{RainUnit, RecordOptions, StampConvention};
use crate::hydrology::rain_record::total::{Reading, RunningTotal};
use crate::hydrology::rain_record::{RainKind, RecordError};
use crate::quantity::{Duration, Intensity};
use approx::assert_relative_eq;

/// Readings in millimetres with the minutes since the one before, where 1 mm in a minute is the most believed.
#[track_caller]
fn readings(rows: &[(f64, f64, Reading)]) {
    let limit = Limit::new(Some(Intensity::from_mmh(60.0)), RainUnit::Millimetre, Duration::from_min(1.0));
    let mut total = RunningTotal::default();
    for (mm, minutes, want) in rows {
        let got = total.read(mm / 1_000.0, minutes * 60.0, &limit);
        let millimetres = |reading: Reading| match reading {
            Reading::First => ("first", 0.0),
            Reading::Fell(rain) => ("fell", rain * 1_000.0),
            Reading::Restarted(rain) => ("restarted", rain * 1_000.0),
            Reading::Moved(rain) => ("moved", rain * 1_000.0),
            Reading::Negative => ("negative", 0.0),
            Reading::Impossible(rain) => ("impossible", rain * 1_000.0),
        };
        let ((kind, rain), (want_kind, want_rain)) = (millimetres(got), millimetres(*want));
        assert_eq!(kind, want_kind, "{mm} mm of {rows:?}");
        assert!((rain - want_rain / 1_000.0).abs() < 1e-9, "{rain} mm at {mm} of {rows:?}");
    }
}

#[test]
fn identity_what_a_reading_of_a_total_tells() {
    use Reading::{Fell, First, Impossible, Moved, Negative, Restarted};
    // rain in millimetres
    readings(&[(10.0, 0.0, First), (10.0, 1.0, Fell(0.0)), (11.0, 1.0, Fell(1.0)), (13.0, 2.0, Fell(2.0))]);
    // more than can be, then confirmed or not
    readings(&[(10.0, 0.0, First), (12.0, 1.0, Impossible(2.0)), (12.5, 1.0, Moved(0.5)), (13.0, 1.0, Fell(0.5))]);
    readings(&[(10.0, 0.0, First), (12.0, 1.0, Impossible(2.0)), (10.5, 1.0, Fell(0.5)), (12.0, 1.0, Impossible(1.5))]);
    readings(&[
        (10.0, 0.0, First),
        (12.0, 1.0, Impossible(2.0)),
        (14.0, 1.0, Impossible(4.0)),
        (14.0, 1.0, Moved(0.0)),
    ]);
    // a little lower, then confirmed or not; a suspect is asked once
    readings(&[(10.0, 0.0, First), (9.5, 1.0, Negative), (9.6, 1.0, Moved(0.1)), (10.0, 1.0, Fell(0.4))]);
    readings(&[(10.0, 0.0, First), (9.5, 1.0, Negative), (10.1, 1.0, Fell(0.1)), (9.6, 1.0, Negative)]);
    readings(&[(10.0, 0.0, First), (9.5, 1.0, Negative), (9.4, 1.0, Negative), (9.4, 1.0, Moved(0.0))]);
    // below half of itself it began again, at half it did not
    readings(&[(10.0, 0.0, First), (4.9, 5.0, Restarted(4.9)), (5.0, 1.0, Fell(0.1))]);
    readings(&[(10.0, 0.0, First), (5.0, 5.0, Negative)]);
    // but not where the new reading is more than can have fallen since
    readings(&[(10.0, 0.0, First), (4.9, 4.0, Negative)]);
    readings(&[(10.0, 0.0, First), (0.0, 1.0, Restarted(0.0)), (0.5, 1.0, Fell(0.5))]);
    readings(&[(10.0, 0.0, First), (-0.5, 1.0, Negative)]);
    // a total above 20 mm that is back in the next row slipped; one of 20 mm began again
    readings(&[(21.0, 0.0, First), (0.0, 1.0, Restarted(0.0)), (21.5, 25.0, Fell(0.5)), (22.0, 1.0, Fell(0.5))]);
    readings(&[(20.0, 0.0, First), (0.0, 1.0, Restarted(0.0)), (20.5, 25.0, Fell(20.5))]);
    readings(&[(21.0, 0.0, First), (0.0, 1.0, Restarted(0.0)), (20.9, 25.0, Fell(20.9))]);
    // and only in the next row
    readings(&[
        (21.0, 0.0, First),
        (0.0, 1.0, Restarted(0.0)),
        (0.5, 1.0, Fell(0.5)),
        (21.5, 25.0, Fell(21.0)),
        (22.0, 1.0, Fell(0.5)),
    ]);
}

#[test]
fn identity_a_total_tells_the_rain_between_its_readings() {
    let plain = RecordOptions::default();
    // what fell before the first reading is not known; 0.1 in in 5 min is 1.2 in/h
    let notes = check(
        "cumulative rain (in)",
        "10:00,7 10:05,7.1 10:10,7.1 10:15,7.15",
        &plain,
        "10:00-10:05 1.2; 10:05-10:10 0; 10:10-10:15 0.6",
        "",
    );
    assert_eq!((counts(&notes), notes.kind), ((4, 4, 2, 0), RainKind::Cumulative));
    assert_eq!(
        (notes.first.to_string(), notes.last.to_string()),
        ("2014-06-03 10:00".into(), "2014-06-03 10:15".into())
    );
    // a reading's rain lies between the two, whatever was said of stamps
    let starts = RecordOptions { convention: Some(StampConvention::IntervalStarts), ..RecordOptions::default() };
    let notes =
        check("cumulative rain (in)", "10:00,7 10:05,7.1 10:10,7.1", &starts, "10:00-10:05 1.2; 10:05-10:10 0", "");
    assert_eq!(notes.convention, StampConvention::IntervalEnds);
    // where a reading is missing the next one tells: its rain falls in one step
    check(
        "cumulative rain (in)",
        "10:00,7 10:05,7 10:10,M 10:15,7.1 10:20,7.1",
        &plain,
        "10:00-10:05 0; 10:05-10:10 missing; 10:10-10:15 1.2; 10:15-10:20 0",
        "RainMissing 1 [4] 0",
    );
    // a trace is no total
    check(
        "cumulative rain (in)",
        "10:00,7 10:05,7 10:10,T 10:15,7.1 10:20,7.1",
        &plain,
        "10:00-10:05 0; 10:05-10:10 missing; 10:10-10:15 1.2; 10:15-10:20 0",
        "RainUnreadable 1 [4] 0",
    );
    // 7.05 is lower by a little and not confirmed
    check(
        "cumulative rain (in)",
        "10:00,7 10:05,7.1 10:10,7.05 10:15,7.2 10:20,7.2",
        &plain,
        "10:00-10:05 1.2; 10:05-10:10 missing; 10:10-10:15 1.2; 10:15-10:20 0",
        "NegativeRain 1 [4] 0",
    );
    // confirmed: 0.1 since the move
    check(
        "cumulative rain (in)",
        "10:00,7 10:05,7.1 10:10,6.9 10:15,7 10:20,7",
        &plain,
        "10:00-10:05 1.2; 10:05-10:10 missing; 10:10-10:15 1.2; 10:15-10:20 0",
        "NegativeRain 1 [4] 0; TotalMoved 1 [5]",
    );
    check(
        "cumulative rain (in)",
        "10:00,7 10:05,7.1 10:10,0.2 10:15,0.5 10:20,0.5",
        &plain,
        "10:00-10:05 1.2; 10:05-10:10 2.4; 10:10-10:15 3.6; 10:15-10:20 0",
        "TotalRestarted 1 [4]",
    );
    // the time of the row above again: the first reading holds
    check(
        "cumulative rain (in)",
        "10:00,7 10:00,7 10:00,7.1 10:05,7.1 10:05,7.1 10:05,7.2 10:10,7.3 10:15,7.3",
        &plain,
        "10:00-10:05 1.2; 10:05-10:10 2.4; 10:10-10:15 0",
        "TimeDoubled 2 [3, 6] 0; TimeDoubledOtherRain 2 [4, 7] 0",
    );
}

#[test]
fn identity_an_impossible_step_of_a_total_is_left_out() {
    // 12 in/h, that is 1 in in 5 min, is the most believed
    let options = RecordOptions { highest_intensity: Some(Intensity::from_inh(12.0)), ..RecordOptions::default() };
    check(
        "cumulative rain (in)",
        "10:00,7 10:05,8 10:10,10 10:15,8.1 10:20,8.1",
        &options,
        "10:00-10:05 12; 10:05-10:10 missing; 10:10-10:15 1.2; 10:15-10:20 0",
        "ImpossibleRate 1 [4] 2",
    );
    // without the user's word one such step among the first rows stops the reading
    let text = day("cumulative rain (in)", "10:00,7 10:05,8 10:10,100 10:15,100 10:20,100");
    let found = error(&text);
    let RecordError::UnitDoubtful { line, depth, interval, unit } = found else { panic!("{found}") };
    assert_eq!((line, interval, unit), (4, Duration::from_min(5.0), RainUnit::Inch));
    assert_relative_eq!(depth.inch(), 92.0, max_relative = 1e-12);
}

#[test]
fn identity_rain_of_a_gap_in_a_total_falls_in_one_step_or_in_all_of_it() {
    // in 5 min no more than 16.6 × (1/12)^0.475 = 5.1 in is believed: 5 in fall in one step, 6 in in the 55 min since
    let plain = RecordOptions::default();
    let notes = check(
        "cumulative rain (in)",
        "10:00,7 10:05,7 10:10,7 11:05,12",
        &plain,
        "10:00-10:10 0; 10:10-11:00 missing; 11:00-11:05 60",
        "",
    );
    assert_eq!(counts(&notes), (4, 4, 1, 1));
    let notes = check(
        "cumulative rain (in)",
        "10:00,7 10:05,7 10:10,7 11:05,13",
        &plain,
        // 6 in in 55 min
        "10:00-10:10 0; 10:10-11:05 6.5455",
        "SpreadOverGap 1 [5]",
    );
    assert_eq!(counts(&notes), (4, 4, 1, 0));
    // a depth is of one step always
    let options = RecordOptions { highest_intensity: Some(Intensity::from_inh(12.0)), ..RecordOptions::default() };
    check(
        "rain_in",
        "10:00,0 10:05,0 10:10,0 11:05,2",
        &options,
        "09:55-10:10 0; 10:10-11:05 missing",
        "ImpossibleRate 1 [5] 2",
    );
}

#[test]
fn identity_a_total_keeps_the_rain_of_a_row_that_jumps_ahead() {
    // 0.1 in until the row of 13:00, which is no time of this record, and 0.2 in until the row below it
    check(
        "cumulative rain (in)",
        "10:00,7 10:05,7 10:10,7 13:00,7.1 10:15,7.3 10:20,7.3",
        &RecordOptions::default(),
        "10:00-10:10 0; 10:10-10:15 3.6; 10:15-10:20 0",
        "TimeBack 1 [5] 0",
    );
}
