//! Stamps as they are written, and stamps read one after the other.

use super::moments::posix;
use crate::hydrology::rain_record::options::DateOrder;
use crate::hydrology::rain_record::stamp::Layout;
use crate::hydrology::rain_record::stamp_reader::StampReader;
use proptest::prelude::*;

pub(super) fn seconds(text: &str, order: Option<DateOrder>) -> Option<i64> {
    StampReader::new(Layout::Stamp, order).read(&[text.as_bytes()]).map(|told| told.seconds)
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
fn published_names_of_zones() {
    // RFC 5322, section 4.3, and ISO 8601 for the numbers: the same moment, told on a clock of universal time
    for (zone, ahead_min) in [
        ("Z", 0),
        ("z", 0),
        ("UTC", 0),
        (" gmt", 0),
        ("EST", -5 * 60),
        ("EDT", -4 * 60),
        ("CST", -6 * 60),
        ("CDT", -5 * 60),
        ("MST", -7 * 60),
        ("MDT", -6 * 60),
        ("PST", -8 * 60),
        (" PDT", -7 * 60),
        ("+00:00", 0),
        ("+05:30", 330),
        ("+0530", 330),
        (" -03:30", -210),
        ("-0330", -210),
        ("+01", 60),
        ("-11", -11 * 60),
        ("+13:59", 13 * 60 + 59),
        ("+14:00", 840),
        ("-1400", -840),
    ] {
        let mut reader = StampReader::new(Layout::Stamp, None);
        reader.read(&[b"2014-06-03 00:00Z"]).unwrap();
        let text = format!("2014-06-03 14:05{zone}");
        let told = reader.read(&[text.as_bytes()]).unwrap_or_else(|| panic!("{text}"));
        assert_eq!(told.seconds, posix(2014, 153, 14, 5, 0) - ahead_min * 60, "{text}");
        assert_eq!(told.converted, ahead_min != 0, "{text}");
    }
    for zone in [
        "+14:01",
        "+1401",
        "+15",
        "+13:60",
        "+1360",
        "+5",
        "+530",
        "+05:3",
        "+05:300",
        "+05:",
        "+05:30x",
        "+0530 x",
        "+",
        "-",
        "05",
        "*05",
        "EST5",
        "E",
        "AM EST AM",
    ] {
        let text = format!("2014-06-03 11:05{zone}");
        assert_eq!(seconds(&text, None), None, "{text}");
    }
}

#[test]
fn identity_hours_of_a_twelve_hour_clock() {
    let day = posix(2014, 153, 0, 0, 0);
    for (text, hour, minute) in [
        ("12:00 AM", 0, 0),
        ("12:59 am", 0, 59),
        ("1:00 AM", 1, 0),
        ("11:59AM", 11, 59),
        ("12:00 PM", 12, 0),
        ("12:30 p.m.", 12, 30),
        ("1:00 P.M.", 13, 0),
        ("11:59 pm", 23, 59),
        ("12:30 a.m.", 0, 30),
        ("02:05:00.5 PM", 14, 5),
        ("2:05 PM UTC", 14, 5),
    ] {
        let text = format!("2014-06-03 {text}");
        assert_eq!(seconds(&text, None), Some(day + hour * 3_600 + minute * 60), "{text}");
    }
    for text in ["13:00 PM", "13:00 AM", "0:30 AM", "0:30 PM", "12:30 XM", "12:30 AMP", "12:30 A"] {
        assert_eq!(seconds(&format!("2014-06-03 {text}"), None), None, "{text}");
    }
}

#[test]
fn identity_odd_forms_of_date_and_time() {
    let order = Some(DateOrder::DayFirst);
    let at = |hour: i64, minute: i64, second: i64| Some(posix(2014, 153, hour, minute, second));
    for (text, want) in [
        ("2014-06-03t14:05", at(14, 5, 0)),
        ("2014-06-03,14:05", at(14, 5, 0)),
        ("2014-06-03, 14:05", at(14, 5, 0)),
        ("2014.6.03 14:05", at(14, 5, 0)),
        ("2014-06-03 1405", at(14, 5, 0)),
        ("2014-06-03 140559", at(14, 5, 59)),
        ("20140603 140559", at(14, 5, 59)),
        ("20140603T140559", at(14, 5, 59)),
        ("201406031405Z", at(14, 5, 0)),
        // parts of a second are cut off
        ("2014-06-03 14:05:07.999", at(14, 5, 7)),
        ("2014-06-03 14:05:07,9", at(14, 5, 7)),
        ("2014-06-03 14:05:60", at(14, 6, 0)),
        ("3/6/2014", at(0, 0, 0)),
        ("3-6-2014 7:05", at(7, 5, 0)),
        ("2014-06-03 14:05:07.", None),
        ("2014-06-03 14:05:7", None),
        ("2014-06-03 14:05:070", None),
        ("2014-06-03 14:", None),
        ("2014-06-03 14:005", None),
        ("2014-06-03 014:05", None),
        ("2014-06-03 705", None),
        ("2014-06-03 70500", None),
        ("2014-06-03 1460", None),
        ("2014-06-03 2500", None),
        ("2014-06-03 140561", None),
        ("2014-06-03 1405007", None),
        ("2014-06-03 ", None),
        ("2014-06-03T", None),
        ("2014-06-03-14:05", None),
        ("20140603-14:05", None),
        // eight digits are a date, twelve or fourteen a date with its time
        ("201406031", None),
        ("2014060314", None),
        ("20140603140", None),
        ("2014060314055", None),
        ("201406031405070", None),
        ("20141303", None),
        ("20140631", None),
        ("2014060", None),
        ("2014_06_03", None),
        ("2014-06.03", None),
        ("2014-006-03", None),
        ("2014-06-003", None),
        ("2014-06-", None),
        ("2014--03", None),
        ("003/06/2014", None),
        ("3/006/2014", None),
        ("3/6/014", None),
        ("3/6/20014", None),
        ("31/6/2014", None),
        ("3/13/2014", None),
    ] {
        assert_eq!(seconds(text, order), want, "{text}");
    }
}

#[test]
fn regress_rows_one_after_the_other_are_read_as_if_alone() {
    for rows in [
        ["2014-06-03 14:05", "2014-06-03 00:00", "2014-06-03 23:59", "2014-06-03 09:10"],
        ["2014-06-03 14:05", "2014-06-03 24:00", "2014-06-03 24:05", "2014-06-03 14:10"],
        ["2014-06-03 14:05", "2014-06-03 14:60", "2014-06-03 14:59", "2014-06-03 1a:05"],
        ["2014-06-03 14:05", "2014-06-03 14:0/", "2014-06-03 14::5", "2014-06-03 /4:05"],
        ["2014-06-03 14:05", "2014-06-03 14.10", "2014-06-03 14:5", "2014-06-03 4:05"],
        ["2014-06-03 14:05:30", "2014-06-03 14:06:30", "2014-06-03 14:06:31", "2014-06-03 14:07"],
        ["2014-06-03T14:05:30", "2014-06-03T15:06:30", "2014-06-03T14:06:30.5", "2014-06-03t14:07:30"],
        ["2014-06-03,14:05", "2014-06-03,14:10", "2014-06-03, 14:15", "2014-06-03, 14:20"],
        ["2014-06-03 11:55 AM", "2014-06-03 12:05 AM", "2014-06-03 12:05 PM", "2014-06-03 01:05 PM"],
        ["2014-06-03 24:00", "2014-06-03 00:05", "2014-06-03 24:00", "2014-06-03 23:55"],
        // a leap second is the first of the next minute, in each of two rows
        ["2014-06-03 14:05:60", "2014-06-03 14:07:60", "2014-06-03 23:59:60", "2014-06-03 12:00:60"],
        ["20140603 1405 -05:00", "20140603 1410 -05:00", "20140603 1415 -05:00", "20140603 14:20 -05:00"],
        ["2014-06-03 14:05-05:00", "2014-06-03 14:10-05:00", "2014-06-04 14:15-05:00", "2014-06-04 14:15 -05"],
        ["2014-06-03", "2014-06-04", "2014-06-05 00:05", "2014-06-05 00:10"],
    ] {
        let mut reader = StampReader::new(Layout::Stamp, None);
        for row in rows {
            assert_eq!(
                reader.read(&[row.as_bytes()]).map(|told| told.seconds),
                seconds(row, None),
                "{row} of {rows:?}"
            );
        }
    }
    // the offset of the first row is the record's own, and is kept when the quick way is taken
    let mut reader = StampReader::new(Layout::Stamp, None);
    let own = reader.read(&[b"2014-06-03 14:05+02:00"]).unwrap();
    assert_eq!((own.seconds, own.converted), (posix(2014, 153, 14, 5, 0), false));
    let other = reader.read(&[b"2014-06-03 14:05:30Z"]).unwrap();
    assert_eq!((other.seconds, other.converted), (posix(2014, 153, 16, 5, 30), true));
    let like_it = reader.read(&[b"2014-06-03 14:06:30Z"]).unwrap();
    assert_eq!(like_it.seconds, posix(2014, 153, 16, 6, 30));
    // a clock that was said is never mixed with one that was not
    assert_eq!(reader.read(&[b"2014-06-03 14:05"]), None);
    let mut unsaid = StampReader::new(Layout::Stamp, None);
    assert!(unsaid.read(&[b"2014-06-03 14:05"]).is_some());
    assert_eq!(unsaid.read(&[b"2014-06-03 14:06Z"]), None);
}

#[test]
fn identity_columns_of_time_at_their_bounds() {
    let read = |layout, cells: &[&str]| {
        let cells: Vec<&[u8]> = cells.iter().map(|cell| cell.as_bytes()).collect();
        StampReader::new(layout, Some(DateOrder::MonthFirst)).read(&cells).map(|told| told.seconds)
    };
    let at = |hour: i64, minute: i64, second: i64| Some(posix(2014, 153, hour, minute, second));
    for (layout, cells, want) in [
        (Layout::Stamp, ["2014-06-03 14:05", "x"].as_slice(), at(14, 5, 0)),
        (Layout::DateAndClock, &["6/3/2014", "14:05:07"], at(14, 5, 7)),
        (Layout::DateAndClock, &["2014-06-03", "24:00"], at(24, 0, 0)),
        (Layout::DateAndClock, &["2014-06-03 00:00", "14:05"], at(14, 5, 0)),
        (Layout::DateAndClock, &["2014-06-03 00:05", "14:05"], None),
        (Layout::DateAndClock, &["2014-06-03 00:00Z", "14:05"], None),
        (Layout::DateAndClock, &["2014-06-03", ""], None),
        (Layout::DateAndClock, &["2014-06-03"], None),
        (Layout::DateAndHour, &["2014-06-03", "0"], at(0, 0, 0)),
        (Layout::DateAndHour, &["2014-06-03", "24"], at(24, 0, 0)),
        // 25 is no hour, so that it is 00:25, as 100 is 01:00
        (Layout::DateAndHour, &["2014-06-03", "25"], at(0, 25, 0)),
        (Layout::DateAndHour, &["2014-06-03", "100"], at(1, 0, 0)),
        (Layout::DateAndHour, &["2014-06-03", "2359"], at(23, 59, 0)),
        (Layout::DateAndHour, &["2014-06-03", "2400"], at(24, 0, 0)),
        (Layout::DateAndHour, &["2014-06-03", "7:30"], at(7, 30, 0)),
        (Layout::DateAndHour, &["2014-06-03", "260"], None),
        (Layout::DateAndHour, &["2014-06-03", "2401"], None),
        (Layout::DateAndHour, &["2014-06-03", "7x"], None),
        (Layout::DateAndHour, &["2014-06-03", "7", "30"], at(7, 30, 0)),
        (Layout::DateAndHour, &["2014-06-03", "7", "60"], None),
        (Layout::DateAndHour, &["2014-06-03", "7:30", "30"], None),
        (Layout::Parts, &["2014", "6", "3"], at(0, 0, 0)),
        (Layout::Parts, &["2014", "06", "03", "14"], at(14, 0, 0)),
        (Layout::Parts, &["2014", "6", "3", "14", "5", "7"], at(14, 5, 7)),
        (Layout::Parts, &["2014", "6", "3", "14", "x"], None),
        (Layout::Parts, &["2014", "6", "3", "14", "5", "x"], None),
        (Layout::Parts, &["2014", "6", "3x"], None),
        (Layout::Parts, &["2014", "6", "31"], None),
        (Layout::Parts, &["2014", "6"], None),
    ] {
        assert_eq!(read(layout, cells), want, "{cells:?}");
    }
    // a column of time says nothing of its offset, one of date and time may
    let mut reader = StampReader::new(Layout::DateAndClock, None);
    assert!(reader.read(&[b"2014-06-03", b"14:05 EST"]).is_some());
    assert_eq!(reader.read(&[b"2014-06-03", b"14:10"]), None);
}

proptest! {
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
