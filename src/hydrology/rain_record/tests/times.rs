//! Times that do not rise: doubled, swapped, jumped, set back.

use super::{check, counts};
use crate::hydrology::rain_record::{RecordOptions, StampConvention};
use crate::quantity::Duration;

fn starts() -> RecordOptions {
    RecordOptions { convention: Some(StampConvention::IntervalStarts), ..RecordOptions::default() }
}

#[test]
fn identity_a_row_with_the_time_of_the_row_above_is_left_out() {
    let plain = RecordOptions::default();
    let notes = check(
        "rain_in",
        "10:00,0 10:05,0.1 10:05,0.1 10:05,0.2 10:05,0.1 10:10,0",
        &plain,
        "09:55-10:00 0; 10:00-10:05 1.2; 10:05-10:10 0",
        "TimeDoubled 2 [4, 6] 0.2; TimeDoubledOtherRain 1 [5] 0.2",
    );
    assert_eq!(counts(&notes), (6, 3, 1, 0));
    // intensities: 1.2 in/h in one usual step are 0.1 in
    check(
        "rain (in/h)",
        "10:00,0 10:05,1.2 10:05,1.2 10:10,0",
        &plain,
        "09:55-10:00 0; 10:00-10:05 1.2; 10:05-10:10 0",
        "TimeDoubled 1 [4] 0.1",
    );
    // it takes the place of a row without rain, and then it is the row above
    let notes = check(
        "rain_in",
        "10:00,0 10:05,M 10:05,0.1 10:05,0.1 10:05,M 10:10,0",
        &plain,
        "09:55-10:00 0; 10:00-10:05 1.2; 10:05-10:10 0",
        "RainMissing 2 [3, 6] 0; TimeDoubled 1 [5] 0.1",
    );
    assert_eq!(counts(&notes), (6, 3, 1, 0));
    // and it is that row's line that is told: 0.1 in is more than 0.6 in/h
    let limit = Some(crate::quantity::Intensity::from_inh(0.6));
    check(
        "rain_in",
        "10:00,0 10:05,M 10:05,0.1 10:10,0",
        &RecordOptions { highest_intensity: limit, ..RecordOptions::default() },
        "09:55-10:00 0; 10:00-10:05 missing; 10:05-10:10 0",
        "RainMissing 1 [3] 0; ImpossibleRate 1 [4] 0.1",
    );
    // the doubled hour of autumn in an hourly record
    check(
        "rain_in",
        "00:00,0 01:00,0.1 01:00,0.2 02:00,0 03:00,0.3",
        &plain,
        "2014-06-02 23:00-00:00 0; 00:00-01:00 0.1; 01:00-02:00 0; 02:00-03:00 0.3",
        "TimeDoubledOtherRain 1 [4] 0.2",
    );
}

#[test]
fn identity_two_rows_that_were_swapped_are_put_in_order() {
    let five =
        RecordOptions { step: Some(Duration::from_min(5.0)), wet_rows_only: Some(false), ..RecordOptions::default() };
    let ordered = "09:55-10:00 0; 10:00-10:05 1.2; 10:05-10:10 2.4; 10:10-10:15 3.6; 10:15-10:20 4.8; 10:20-10:25 0";
    let notes =
        check("rain_in", "10:00,0 10:05,0.1 10:10,0.2 10:20,0.4 10:15,0.3 10:25,0", &five, ordered, "Swapped 1 [6]");
    assert_eq!(counts(&notes), (6, 6, 4, 0));
    check("rain_in", "10:00,0 10:10,0.2 10:05,0.1 10:20,0.4 10:15,0.3 10:25,0", &five, ordered, "Swapped 2 [4, 6]");
    check("rain_in", "10:00,0 10:05,0.1 10:10,0.2 10:15,0.3 10:25,0 10:20,0.4", &five, ordered, "Swapped 1 [7]");
    // within two and a half steps: 10:22:30 is 12.5 min after 10:10; 0.15 in in 7.5 min are 1.2 in/h
    check(
        "rain_in",
        "10:00,0 10:05,0 10:10,0 10:22:30,0.15 10:15,0.2 10:27:30,0",
        &five,
        "09:55-10:10 0; 10:10-10:15 2.4; 10:15-10:22:30 1.2; 10:22:30-10:27:30 0",
        "Swapped 1 [6]",
    );
    // a second further on it is the row that goes back that is wrong
    check(
        "rain_in",
        "10:00,0 10:05,0 10:10,0 10:22:31,0.15 10:15,0.2 10:27:31,0",
        &five,
        "09:55-10:10 0; 10:10-10:17:31 missing; 10:17:31-10:22:31 1.8; 10:22:31-10:27:31 0",
        "TimeBack 1 [6] 0.2",
    );
    // the row above goes no further down than one row
    check(
        "rain_in",
        "10:00,0 10:05,0 10:10,0 10:20,0.4 10:15,0.3 10:17,0.1 10:25,0",
        &five,
        "09:55-10:10 0; 10:10-10:15 3.6; 10:15-10:20 4.8; 10:20-10:25 0",
        "TimeBack 1 [7] 0.1; Swapped 1 [6]",
    );
    // above the first row nothing is known
    check("rain_in", "10:05,0 10:00,0.1 10:10,0 10:15,0 10:20,0", &five, "10:00-10:20 0", "TimeBack 1 [3] 0.1");
    // a row before the last one that was taken is no neighbour
    check("rain_in", "10:00,0 10:05,0 10:10,0 10:15,0 10:08,0.1 10:20,0", &five, "09:55-10:20 0", "TimeBack 1 [6] 0.1");
    check("rain_in", "10:00,0 10:05,0 10:10,0 10:15,0 10:10,0.1 10:20,0", &five, "09:55-10:20 0", "TimeBack 1 [6] 0.1");
}

#[test]
fn identity_one_row_alone_that_goes_back_is_left_out() {
    let plain = RecordOptions::default();
    // the row below goes on from the row above, by no more than 7.5 min
    check(
        "rain_in",
        "10:00,0 10:05,0 10:10,0 09:30,0.1 10:17:30,0 10:22:30,0",
        &plain,
        "09:55-10:22:30 0",
        "TimeBack 1 [5] 0.1",
    );
    // it does not: the clock was set back by 45 min, and forward again as far as the rows stay in order
    check(
        "rain_in",
        "10:00,0 10:05,0 10:10,0 09:30,0.1 10:17:31,0.2 10:22:31,0",
        &plain,
        "09:55-10:10 0; 10:10-10:15 1.2; 10:15-10:20 2.4; 10:20-10:25 0",
        "ClockSetBack 1 [5]",
    );
    // without rain there is nothing to lose
    check("rain_in", "10:00,0 10:05,0 10:10,0 09:30,M 10:15,0 10:20,0", &plain, "09:55-10:20 0", "RainMissing 1 [5] 0");
    // the last row has none below: it is put after the row above
    check(
        "rain_in",
        "10:00,0 10:05,0 10:10,0 09:30,0.1",
        &plain,
        "09:55-10:10 0; 10:10-10:15 1.2",
        "ClockSetBack 1 [5]",
    );
    // where the row below has the time of the row above, it is no sign of that either
    check(
        "rain_in",
        "10:00,0 10:05,0 10:10,0 09:30,0.1 10:10,0.2 10:20,0",
        &plain,
        "09:55-10:10 0; 10:10-10:15 1.2; 10:15-10:20 2.4; 10:20-10:25 0",
        "ClockSetBack 1 [5]",
    );
}

#[test]
fn identity_rain_is_kept_when_the_clock_is_set_back() {
    let plain = RecordOptions::default();
    // 1:55 becomes 1:00; 3:00 on the record's clock is 2:00 on the wall
    let notes = check(
        "rain_in",
        "01:45,0 01:50,0.1 01:55,0.2 01:00,0.3 01:05,0.4 01:10,0",
        &plain,
        "01:40-01:45 0; 01:45-01:50 1.2; 01:50-01:55 2.4; 01:55-02:00 3.6; 02:00-02:05 4.8; 02:05-02:10 0",
        "ClockSetBack 1 [5]",
    );
    assert_eq!(notes.last.to_string(), "2014-06-03 02:10");
    // and forward again from 1:10 to 2:15
    check(
        "rain_in",
        "01:45,0 01:50,0.1 01:55,0.2 01:00,0.3 01:05,0.4 01:10,0 02:15,0.1 02:20,0",
        &plain,
        "01:40-01:45 0; 01:45-01:50 1.2; 01:50-01:55 2.4; 01:55-02:00 3.6; 02:00-02:05 4.8; 02:05-02:10 0; \
         02:10-02:15 1.2; 02:15-02:20 0",
        "ClockSetBack 1 [5]",
    );
    // never set back: the hour is missing
    let notes = check(
        "rain_in",
        "01:45,0 01:50,0 01:55,0 03:00,0.1 03:05,0",
        &plain,
        "01:40-01:55 0; 01:55-02:55 missing; 02:55-03:00 1.2; 03:00-03:05 0",
        "",
    );
    assert_eq!((notes.gaps, notes.missing_time), (1, Duration::from_h(1.0)));
}

#[test]
fn identity_far_back_one_of_the_two_rows_is_wrong() {
    let plain = RecordOptions::default();
    // the row above jumped ahead
    check(
        "rain_in",
        "10:00,0 10:05,0 10:10,0 13:00,0.2 10:15,0.1 10:20,0",
        &plain,
        "09:55-10:10 0; 10:10-10:15 1.2; 10:15-10:20 0",
        "TimeBack 1 [5] 0.2",
    );
    // without rain nothing is lost with it
    check(
        "rain_in",
        "10:00,0 10:05,0 10:10,0 13:00,M 10:15,0.1 10:20,0",
        &plain,
        "09:55-10:10 0; 10:10-10:15 1.2; 10:15-10:20 0",
        "RainMissing 1 [5] 0",
    );
    // a row with the time of the one before the jump is no row after it: what follows is far back too
    let notes = check(
        "rain_in",
        "10:00,0 10:05,0 10:10,0 13:00,0.2 10:10,0.1 10:05,0 13:05,0",
        &plain,
        "09:55-10:10 0; 10:10-12:55 missing; 12:55-13:00 2.4; 13:00-13:05 0",
        "TimeBack 2 [6, 7] 0.1",
    );
    assert_eq!(counts(&notes), (7, 5, 1, 1));
    // where a stamp begins its interval the row above was placed by then
    check(
        "rain_in",
        "10:00,0 10:05,0 10:10,0 13:00,0.2 10:15,0.1 10:10,0 13:05,0",
        &starts(),
        "10:00-10:15 0; 10:15-13:00 missing; 13:00-13:05 2.4; 13:05-13:10 0",
        "TimeBack 2 [6, 7] 0.1",
    );
    // the row above came one interval after the row before it: it did not jump
    check(
        "rain_in",
        "00:00,0 04:00,0 08:00,0 12:00,0.4 09:30,0.15 09:45,0.2 11:00,0.1 16:00,0",
        &plain,
        "2014-06-02 20:00-08:00 0; 08:00-09:30 0.1; 09:30-12:00 0.16; 12:00-16:00 0",
        "TimeBack 2 [7, 8] 0.3; Swapped 1 [6]",
    );
}
