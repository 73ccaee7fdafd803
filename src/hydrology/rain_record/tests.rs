use super::moment::Moment;
use super::options::{DateOrder, RainKind, RainUnit};
use super::stamp::Layout;
use super::stamp_reader::StampReader;
use super::words::said;
use proptest::prelude::*;

fn seconds(text: &str, order: Option<DateOrder>) -> Option<i64> {
    StampReader::new(Layout::Stamp, order).read(&[text.as_bytes()]).map(|told| told.seconds)
}

/// POSIX.1-2017, Base Definitions, 4.16 "Seconds Since the Epoch", for a year, a day of the year from 0, and a time of
/// day: the formula as printed there.
fn posix(year: i64, day_of_year: i64, hour: i64, minute: i64, second: i64) -> i64 {
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
fn identity_each_form_of_a_stamp_is_the_same_moment() {
    let want = posix(2014, 153, 14, 5, 0);
    for text in [
        "2014-06-03 14:05",
        "2014-06-03T14:05",
        "2014-06-03T14:05:00",
        "2014-06-03T14:05:00.000",
        "2014-6-3 14:05",
        "2014/06/03 14:05:00",
        "201406031405",
        "20140603140500",
        "20140603T1405",
        "20140603 14:05",
        "2014-06-03 2:05 PM",
        "2014-06-03 02:05:00 p.m.",
        // the record's own clock is that of its first row
        "2014-06-03T14:05Z",
        "2014-06-03T14:05:00+01:00",
        "2014-06-03 14:05 -0500",
        "2014-06-03 14:05-05",
        "20140603T1405+01:00",
        "2014-06-03 14:05 UTC",
        "2014-06-03 14:05 EST",
    ] {
        assert_eq!(seconds(text, None), Some(want), "{text}");
    }
    for text in ["6/3/2014 14:05", "06/03/2014 2:05 PM", "6-3-2014 14:05:00"] {
        assert_eq!(seconds(text, Some(DateOrder::MonthFirst)), Some(want), "{text}");
        assert_eq!(seconds(text, None), None, "{text}");
    }
    for text in ["3/6/2014 14:05", "03.06.2014 14:05"] {
        assert_eq!(seconds(text, Some(DateOrder::DayFirst)), Some(want), "{text}");
    }
    let midnight = posix(2014, 153, 0, 0, 0);
    for text in ["2014-06-03", "20140603", "2014-06-03 00:00", "2014-06-02 24:00", "2014-06-03 12:00 AM"] {
        assert_eq!(seconds(text, None), Some(midnight), "{text}");
    }
}

#[test]
fn regress_what_is_no_stamp() {
    for text in [
        "",
        "-",
        "2014",
        "2014-06",
        "2014-06-31 00:00",
        "2014-02-29",
        "2014-13-01",
        "2014-06-03 25:00",
        "2014-06-03 24:05",
        "2014-06-03 14:60",
        "2014-06-03 14",
        "2014-06-03 14:5",
        "2014-06-03 13:05 PM",
        "2014-06-03 0:05 AM",
        "2014-06-03 14:05 XYZ",
        "2014-06-03 14:05+15:00",
        "6/3/14 14:05",
        "2014-06/03",
        "99999999999999999999",
        "20140603140",
        "1401800000",
        "2014-06-03x14:05",
        "２０１４-06-03",
    ] {
        assert_eq!(seconds(text, Some(DateOrder::MonthFirst)), None, "{text}");
    }
}

#[test]
fn identity_a_row_like_the_one_before_is_read_as_if_alone() {
    for rows in [
        ["2014-06-03 14:05", "2014-06-03 14:10", "2014-06-03 24:00", "2014-06-04 00:05"],
        ["2014-06-03T14:05:30Z", "2014-06-03T14:06:30Z", "2014-06-03T14:07:31Z", "2014-06-03T14:08:31Z"],
        ["20140603T1405+01:00", "20140603T1410+01:00", "20140603T1415+01:00", "20140603T1420+01:00"],
        ["2014-06-03 11:55 AM", "2014-06-03 12:00 PM", "2014-06-03 12:05 PM", "2014-06-03 01:00 PM"],
        ["2014-06-03 9:55", "2014-06-03 10:00", "2014-06-03 10:05", "2014-06-03 9:05"],
    ] {
        let mut reader = StampReader::new(Layout::Stamp, None);
        for row in rows {
            assert_eq!(reader.read(&[row.as_bytes()]).map(|told| told.seconds), seconds(row, None), "{row}");
        }
    }
    // ISO 8601: 01:00−05:00 is 02:00−04:00, told on the clock of the first row
    let mut reader = StampReader::new(Layout::Stamp, None);
    let first = reader.read(&[b"2014-11-02T01:55-04:00"]).unwrap();
    let second = reader.read(&[b"2014-11-02T01:00-05:00"]).unwrap();
    assert_eq!((second.seconds - first.seconds, second.converted), (300, true));
    assert_eq!(reader.read(&[b"2014-11-02T01:05"]), None);
}

#[test]
fn identity_columns_of_time_are_put_together() {
    let read = |layout, cells: &[&str]| {
        let cells: Vec<&[u8]> = cells.iter().map(|cell| cell.as_bytes()).collect();
        StampReader::new(layout, None).read(&cells).map(|told| told.seconds)
    };
    let want = Some(posix(2014, 153, 14, 5, 0));
    assert_eq!(read(Layout::DateAndClock, &["2014-06-03", "14:05"]), want);
    assert_eq!(read(Layout::DateAndClock, &["2014-06-03 00:00:00", "2:05 PM"]), want);
    assert_eq!(read(Layout::DateAndHour, &["2014-06-03", "14", "5"]), want);
    assert_eq!(read(Layout::Parts, &["2014", "6", "3", "14", "5"]), want);
    assert_eq!(read(Layout::DateAndHour, &["2014-06-03", "1405"]), want);
    assert_eq!(read(Layout::DateAndHour, &["20140602", "24"]), Some(posix(2014, 153, 0, 0, 0)));
    assert_eq!(read(Layout::DateAndHour, &["20140603", "700"]), Some(posix(2014, 153, 7, 0, 0)));
    assert_eq!(read(Layout::DateAndClock, &["2014-06-03", "5"]), None);
}

#[test]
fn regress_what_a_column_name_says() {
    use RainKind::{Cumulative, Intensity};
    use RainUnit::{HundredthInch, Inch, Millimetre, TenthMillimetre};
    for (name, kind, unit) in [
        ("rain", None, None),
        ("depth_in", None, Some(Inch)),
        ("rain_mm", None, Some(Millimetre)),
        ("precip (in)", None, Some(Inch)),
        ("Precipitation [mm]", None, Some(Millimetre)),
        ("Rainfall, inches", None, Some(Inch)),
        ("rain in mm", None, Some(Millimetre)),
        ("rain in last hour", None, None),
        ("rain (in/h)", Some(Intensity), Some(Inch)),
        ("rain [mm/h]", Some(Intensity), Some(Millimetre)),
        ("rain (mm h-1)", Some(Intensity), Some(Millimetre)),
        ("intensity_mm_h", Some(Intensity), Some(Millimetre)),
        ("precip rate in/hr", Some(Intensity), Some(Inch)),
        ("rain (mm/day)", None, None),
        ("rain (in/min)", None, None),
        ("rain (cm)", None, None),
        ("rain (0.01 in)", None, Some(HundredthInch)),
        ("precip, hundredths of an inch", None, Some(HundredthInch)),
        ("prcp (0.1 mm)", None, Some(TenthMillimetre)),
        ("prcp tenths of mm", None, Some(TenthMillimetre)),
        ("rain (0.25 mm)", None, None),
        ("rain in inches and mm", None, None),
        ("cumulative rain (in)", Some(Cumulative), Some(Inch)),
        ("rain_mm (gauge 2)", None, Some(Millimetre)),
    ] {
        let said = said(name);
        assert_eq!((said.kind, said.unit), (kind, unit), "{name}");
    }
    assert!(said("total rain (mm)").total);
    assert!(!said("rain (mm)").total);
}

proptest! {
    #[test]
    fn identity_a_printed_moment_is_read_back(at in -5_000_000_000_i64..7_000_000_000) {
        prop_assert_eq!(seconds(&Moment::from_seconds(at).to_string(), None), Some(at));
    }

    #[test]
    fn regress_any_cell_is_read_or_not(cells in prop::collection::vec(prop::collection::vec(any::<u8>(), 0..30), 1..6)) {
        let cells: Vec<&[u8]> = cells.iter().map(Vec::as_slice).collect();
        for layout in [Layout::Stamp, Layout::DateAndClock, Layout::DateAndHour, Layout::Parts] {
            let mut reader = StampReader::new(layout, Some(DateOrder::DayFirst));
            reader.read(&cells);
            prop_assert_eq!(reader.read(&cells), StampReader::new(layout, Some(DateOrder::DayFirst)).read(&cells));
        }
    }
}
