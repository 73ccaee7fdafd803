//! Moments and the calendar behind them.

use super::stamps::seconds;
use crate::hydrology::rain_record::moment::Moment;
use proptest::prelude::*;

/// POSIX.1-2017, Base Definitions, 4.16 "Seconds Since the Epoch", for a year, a day of the year from 0, and a time of
/// day: the formula as printed there.
pub(super) fn posix(year: i64, day_of_year: i64, hour: i64, minute: i64, second: i64) -> i64 {
    let since_1900 = year - 1900;
    second
        + minute * 60
        + hour * 3_600
        + day_of_year * 86_400
        + (since_1900 - 70) * 31_536_000
        + ((since_1900 - 69) / 4) * 86_400
        - ((since_1900 - 1) / 100) * 86_400
        + ((since_1900 + 299) / 400) * 86_400
}

#[test]
fn published_epoch_seconds() {
    // POSIX.1-2017, 4.16; 3 June is day 153 from 0 of a common year, 1 March day 60 of a leap year
    assert_eq!(Moment::from_civil(1970, 1, 1, 0, 0, 0).unwrap().seconds(), 0);
    assert_eq!(Moment::from_civil(2000, 3, 1, 0, 0, 0).unwrap().seconds(), 951_868_800);
    assert_eq!(posix(2000, 60, 0, 0, 0), 951_868_800);
    assert_eq!(Moment::from_civil(2014, 6, 3, 14, 5, 0).unwrap().seconds(), posix(2014, 153, 14, 5, 0));
    // 2^31 seconds are over on 2038-01-19 at 03:14:08: the well-known end of 32-bit time
    assert_eq!(Moment::from_civil(2038, 1, 19, 3, 14, 8).unwrap().seconds(), 1 << 31);
    assert_eq!(Moment::from_seconds(951_868_800 - 60).to_string(), "2000-02-29 23:59");
    assert_eq!(Moment::from_seconds(-1).to_string(), "1969-12-31 23:59:59");
}

#[test]
fn identity_every_day_of_four_centuries_follows_the_one_before() {
    let mut next = Moment::from_civil(1800, 1, 1, 0, 0, 0).unwrap().seconds();
    let last = Moment::from_civil(2200, 12, 31, 0, 0, 0).unwrap().seconds();
    let mut days = 0;
    while next <= last {
        let day = Moment::from_seconds(next);
        let back = Moment::from_civil(day.year(), day.month(), day.day(), 0, 0, 0).unwrap();
        assert_eq!(back.seconds(), next, "{day}");
        if day.year() >= 1970 && day.month() == 1 && day.day() == 1 {
            assert_eq!(next, posix(day.year(), 0, 0, 0, 0), "{day}");
        }
        next += 86_400;
        days += 1;
    }
    // 400 years of the Gregorian calendar have 146 097 days (ISO 8601); 2200 is a year more
    assert_eq!(days, 146_097 + 365);
}

#[test]
fn identity_dates_and_times_at_their_bounds() {
    // the Gregorian calendar: 1900, 2100 and 2200 have no 29 February, 2000 has one
    let lengths = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    for year in [1800, 1900, 1999, 2000, 2004, 2100, 2200] {
        for (month, length) in (1..).zip(lengths) {
            let last = if month == 2 && matches!(year, 2000 | 2004) { 29 } else { length };
            assert!(Moment::from_civil(year, month, last, 0, 0, 0).is_some(), "{year}-{month}");
            assert!(Moment::from_civil(year, month, last + 1, 0, 0, 0).is_none(), "{year}-{month}");
            assert!(Moment::from_civil(year, month, 1, 0, 0, 0).is_some(), "{year}-{month}");
            assert!(Moment::from_civil(year, month, 0, 0, 0, 0).is_none(), "{year}-{month}");
        }
        assert!(Moment::from_civil(year, 0, 1, 0, 0, 0).is_none());
        assert!(Moment::from_civil(year, 13, 1, 0, 0, 0).is_none());
    }
    assert!(Moment::from_civil(1799, 12, 31, 0, 0, 0).is_none());
    assert!(Moment::from_civil(2201, 1, 1, 0, 0, 0).is_none());
    let day = posix(2014, 153, 0, 0, 0);
    for (hour, minute, second, want) in [
        (0, 0, 0, Some(0)),
        (0, 0, 59, Some(59)),
        (0, 59, 0, Some(59 * 60)),
        (23, 59, 59, Some(86_399)),
        // a leap second is the next minute's first
        (14, 5, 60, Some(14 * 3_600 + 6 * 60)),
        (23, 59, 60, Some(86_400)),
        (24, 0, 0, Some(86_400)),
        (24, 0, 1, None),
        (24, 1, 0, None),
        (25, 0, 0, None),
        (14, 60, 0, None),
        (14, 5, 61, None),
        (-1, 0, 0, None),
        (1, -1, 0, None),
        (1, 0, -1, None),
    ] {
        let got = Moment::from_civil(2014, 6, 3, hour, minute, second).map(|moment| moment.seconds() - day);
        assert_eq!(got, want, "{hour}:{minute}:{second}");
    }
}

#[test]
fn identity_parts_of_a_moment_and_the_time_between_two() {
    let late = Moment::from_civil(2014, 6, 3, 14, 5, 30).unwrap();
    assert_eq!((late.year(), late.month(), late.day(), late.hour(), late.minute()), (2014, 6, 3, 14, 5));
    let last_of_1969 = Moment::from_seconds(-1);
    assert_eq!((last_of_1969.year(), last_of_1969.hour(), last_of_1969.minute()), (1969, 23, 59));
    let early = Moment::from_civil(2014, 6, 2, 23, 5, 0).unwrap();
    // 15 h and 30 s
    assert_eq!((late - early).s(), 54_030.0);
    assert_eq!((early - late).s(), -54_030.0);
    assert_eq!(late.to_string(), "2014-06-03 14:05:30");
}

proptest! {
    #[test]
    fn identity_a_printed_moment_is_read_back(at in -5_000_000_000_i64..7_000_000_000) {
        prop_assert_eq!(seconds(&Moment::from_seconds(at).to_string(), None), Some(at));
    }
}

#[test]
fn regress_an_hour_of_twenty_digits_is_no_time() {
    for (hour, minute, second) in [(i64::MAX, 59, 60), (0, i64::MAX, 0), (0, 0, i64::MAX), (i64::MIN, 0, 0)] {
        assert_eq!(Moment::from_civil(2023, 11, 4, hour, minute, second), None);
    }
}
