//! Which columns are found, by their names, by what the user says, by numbers.

use super::{error, error_with, read, read_with, shown, told};
use crate::hydrology::rain_record::{RainUnit, RecordError, RecordOptions, SkipReason, StampConvention};
use crate::quantity::Duration;

/// The columns found, as `time | rain`.
fn found(text: &str, options: &RecordOptions) -> String {
    let (_, notes) = read_with(text, options).unwrap_or_else(|error| panic!("{error}\n{text}"));
    format!("{} | {}", notes.time_column, notes.rain_column)
}

/// Two rows of the same cells below a header; the time, where a cell is `t`, is that of the row.
fn two_rows(header: &str, cells: &str) -> String {
    let row =
        |hour: &str| cells.split(',').map(|cell| if cell == "t" { hour } else { cell }).collect::<Vec<_>>().join(",");
    format!("{header}\n{}\n{}\n", row("2014-06-03 10:00"), row("2014-06-03 11:00"))
}

#[test]
fn identity_columns_are_found_by_their_names() {
    for (header, cells, want) in [
        ("time,rain_in", "t,0", "time | rain_in"),
        ("rain_in,time", "0,t", "time | rain_in"),
        ("Date Time,Station name,Precip (in)", "t,x,0", "Date Time | Precip (in)"),
        ("valid,p01i,precip_in", "t,0,0", "valid | precip_in"),
        // what speaks of time but is none, what speaks of rain but is none
        ("time,time zone,rain_in,rain flag,snow precip (in)", "t,x,0,x,5", "time | rain_in"),
        ("time,rain time,rain_in", "t,5,0", "several"),
        ("timestamp,rainfall (in),rain quality,precipitation type", "t,0,1,2", "timestamp | rainfall (in)"),
        // depth where nothing else is rain, but not that of water
        ("time,depth (in),water depth (in)", "t,0,5", "time | depth (in)"),
        ("time,intensity (in/h)", "t,0", "time | intensity (in/h)"),
        ("time,rain (in),depth (in)", "t,0,5", "time | rain (in)"),
        // of two columns of time the one with date and time
        ("date,datetime,rain_in", "2014-06-03,t,0", "datetime | rain_in"),
        ("datetime,time,rain_in", "t,10:00,0", "datetime | rain_in"),
        ("time,rain_in", "t,\"0\"", "time | rain_in"),
    ] {
        let text = two_rows(header, cells);
        if want == "several" {
            assert!(matches!(error(&text), RecordError::SeveralRainColumns { .. }), "{header}");
        } else {
            assert_eq!(found(&text, &RecordOptions::default()), want, "{header}");
        }
    }
}

#[test]
fn identity_columns_of_date_and_time_are_joined() {
    let want = "09:00-10:00 0; 10:00-11:00 0.5";
    for (text, columns) in [
        ("date,time,rain_in\n2014-06-03,10:00,0\n2014-06-03,11:00,0.5\n", "date + time"),
        ("time,date,rain_in\n10:00,2014-06-03,0\n11:00,2014-06-03,0.5\n", "date + time"),
        ("date,time,rain_in\n2014-06-03 00:00:00,10:00,0\n2014-06-03 00:00:00,11:00,0.5\n", "date + time"),
        ("date,hour,rain_in\n2014-06-03,10,0\n2014-06-03,11,0.5\n", "date + hour"),
        ("date,hr,min,rain_in\n2014-06-03,10,0,0\n2014-06-03,11,0,0.5\n", "date + hr + min"),
        ("year,month,day,hour,rain_in\n2014,6,3,10,0\n2014,6,3,11,0.5\n", "year + month + day + hour"),
        ("yr,mo,dy,hr,mi,ss,rain_in\n2014,6,3,10,0,0,0\n2014,6,3,11,0,0,0.5\n", "yr + mo + dy + hr + mi + ss"),
        // seconds without minutes are none, minutes without hours neither
        ("year,month,day,hour,sec,rain_in\n2014,6,3,10,7,0\n2014,6,3,11,7,0.5\n", "year + month + day + hour"),
        // an hour beside a whole stamp is not needed
        ("time,hour,rain_in\n2014-06-03 10:00,10,0\n2014-06-03 11:00,11,0.5\n", "time"),
        // a column of hours that stands twice is not known
        ("time,hour,hour,rain_in\n2014-06-03 10:00,10,9,0\n2014-06-03 11:00,11,10,0.5\n", "time"),
    ] {
        let (spans, notes) = read(text);
        assert_eq!((shown(&spans).as_str(), notes.time_column.as_str()), (want, columns), "{text}");
    }
    // days without an hour
    for text in [
        "year,month,day,rain_in\n2014,6,3,2.4\n2014,6,4,0\n",
        "year,month,day,minute,rain_in\n2014,6,3,5,2.4\n2014,6,4,5,0\n",
        "date,rain_in\n2014-06-03,2.4\n2014-06-04,0\n",
        "date,rain_in\n20140603,2.4\n20140604,0\n",
    ] {
        let (spans, notes) = read(text);
        assert_eq!(shown(&spans), "00:00-2014-06-04 00:00 0.1; 2014-06-04 00:00-2014-06-05 00:00 0", "{text}");
        assert_eq!(notes.convention, StampConvention::IntervalStarts, "{text}");
    }
}

#[test]
fn identity_columns_that_the_user_names() {
    let text = "a,b,c,B,rain_in,rain_mm\nx,2014-06-03 10:00,5,2014-06-03 10:00,0,0\nx,2014-06-03 11:00,6,2014-06-03 11:00,0,0\n";
    let of = |time: &str, rain: &str| RecordOptions {
        time_column: Some(time.into()),
        rain_column: Some(rain.into()),
        ..RecordOptions::default()
    };
    for (time, rain, want) in [
        ("b", "rain_in", "b | rain_in"),
        (" b ", " rain_in ", "b | rain_in"),
        ("B", "RAIN_MM", "B | rain_mm"),
        ("2", "5", "b | rain_in"),
        ("4", "6", "B | rain_mm"),
    ] {
        assert_eq!(found(text, &of(time, rain)), want, "{time} {rain}");
    }
    // a bare hour among times of day is not read; nor is an hour behind a date that has its time already
    for rows in [
        "2014-06-03,10:00,0\n2014-06-03,11,9\n2014-06-03,12:00,0\n",
        "2014-06-03,10,0\n2014-06-03 05:00,11,9\n2014-06-03,12,0\n",
    ] {
        let (_, notes) = read_with(&format!("a,b,rain_in\n{rows}"), &of("a+b", "rain_in")).unwrap();
        assert_eq!(told(&notes), "TimeUnreadable 1 [3] 9", "{rows}");
        assert_eq!(notes.used, 2, "{rows}");
    }
    for (time, rain, asked) in [
        ("d", "rain_in", "d"),
        ("b", "rain", "rain"),
        ("b", "0", "0"),
        ("b", "7", "7"),
        ("7", "rain_in", "7"),
        ("b + d", "rain_in", "d"),
    ] {
        let failure = error_with(text, &of(time, rain));
        let RecordError::NoSuchColumn { column, columns } = failure else { panic!("{failure}") };
        assert_eq!(column, asked);
        assert_eq!(columns, ["a", "b", "c", "B", "rain_in", "rain_mm"]);
    }
    // the same name twice, but for its letters' size or not
    let twice = text.replace("a,b,c,B", "a,time,TIME,Time");
    let RecordError::ColumnTwice { column } = error_with(&twice, &of("tiMe", "rain_in")) else { panic!("{twice}") };
    assert_eq!(column, "tiMe");
    assert_eq!(found(&twice, &of("time", "rain_in")), "time | rain_in");
    let twice = text.replace("rain_mm", "rain_in");
    assert!(matches!(error_with(&twice, &of("b", "rain_in")), RecordError::ColumnTwice { .. }));
    assert_eq!(found(&twice, &of("b", "6")), "b | rain_in");
}

#[test]
fn identity_columns_that_the_user_joins() {
    let of = |time: &str| RecordOptions { time_column: Some(time.into()), ..RecordOptions::default() };
    let want = "09:00-10:00 0; 10:00-11:00 0.5";
    for (text, time, columns) in [
        ("d,t,rain_in\n2014-06-03,10:00,0\n2014-06-03,11:00,0.5\n", "d+t", "d + t"),
        ("d,t,rain_in\n2014-06-03,10:00,0\n2014-06-03,11:00,0.5\n", "1 + 2", "d + t"),
        ("d,h,rain_in\n2014-06-03,10,0\n2014-06-03,11,0.5\n", "d + h", "d + h"),
        ("d,h,m,rain_in\n2014-06-03,10,0,0\n2014-06-03,11,0,0.5\n", "d + h + m", "d + h + m"),
        ("y,m,d,h,rain_in\n2014,6,3,10,0\n2014,6,3,11,0.5\n", "y+m+d+h", "y + m + d + h"),
        ("y,m,d,h,i,s,rain_in\n2014,6,3,10,0,0,0\n2014,6,3,11,0,0,0.5\n", "y+m+d+h+i+s", "y + m + d + h + i + s"),
        // a plus sign in a name is part of it, where there is such a name
        ("d+t,rain_in\n2014-06-03 10:00,0\n2014-06-03 11:00,0.5\n", "d+t", "d+t"),
    ] {
        let (spans, notes) = read_with(text, &of(time)).unwrap_or_else(|error| panic!("{error}\n{text}"));
        assert_eq!((shown(&spans).as_str(), notes.time_column.as_str()), (want, columns), "{text}");
    }
}

#[test]
fn identity_columns_that_are_not_clear_are_asked_about() {
    let rows = "2014-06-03 10:00,0,0\n2014-06-03 11:00,0.1,0\n";
    let of = |header: &str| error(&format!("{header}\n{rows}"));
    let RecordError::NoTimeColumn { columns } = of("when,rain_in,x") else { panic!() };
    assert_eq!(columns, ["when", "rain_in", "x"]);
    let RecordError::NoRainColumn { columns } = of("time,a,b") else { panic!() };
    assert_eq!(columns, ["time", "a", "b"]);
    let RecordError::SeveralRainColumns { candidates } = of("time,rain_in,rain_mm") else { panic!() };
    assert_eq!(candidates, ["rain_in", "rain_mm"]);
    // columns that may be the time, by their names and cells
    for (text, want) in [
        ("time utc,time local,rain_in\n2014-06-03 10:00,2014-06-03 05:00,0\n", ["time utc", "time local"]),
        ("date,valid date,rain_in\n2014-06-03,2014-06-04,0\n", ["date", "valid date"]),
        ("date,time,rain_in\nx,y,0\n", ["date", "time"]),
    ] {
        let failure = error(text);
        let RecordError::SeveralTimeColumns { candidates } = failure else { panic!("{text}: {failure}") };
        assert_eq!(candidates, want);
    }
    let three = "date,start time,end time,rain_in\n2014-06-03,10:00,11:00,0\n";
    let RecordError::SeveralTimeColumns { candidates } = error(three) else { panic!() };
    assert_eq!(candidates, ["date", "start time", "end time"]);
    // a lone column of times that cannot be read is taken: its rows say so
    let failure = error("time,rain_in\nnever,0\nsoon,0\n");
    assert!(matches!(failure, RecordError::AllRefused { why: SkipReason::TimeUnreadable, .. }), "{failure}");
    // the cells of the first twenty rows tell, not those below
    let deep = |rows: usize| {
        let unread = "x,y,0\n".repeat(rows);
        error(&format!("date,time,rain_in\n{unread}2014-06-03,10:00,0\n2014-06-03,11:00,0\n"))
    };
    assert!(matches!(deep(19), RecordError::SeveralTimeColumns { .. } | RecordError::TooManyRefused { .. }));
    assert!(matches!(deep(20), RecordError::SeveralTimeColumns { .. }));
}

#[test]
fn identity_without_a_header_columns_are_numbered() {
    let of = |time: Option<&str>, rain: Option<&str>| RecordOptions {
        time_column: time.map(str::to_owned),
        rain_column: rain.map(str::to_owned),
        unit: Some(RainUnit::Inch),
        ..RecordOptions::default()
    };
    let want = "09:00-10:00 0; 10:00-11:00 0.5";
    for (text, time, rain) in [
        ("2014-06-03 10:00,0\n2014-06-03 11:00,0.5\n", "1", "2"),
        ("x,2014-06-03 10:00,0\nx,2014-06-03 11:00,0.5\n", "2", "3"),
        ("201406031000,0\n201406031100,0.5\n", "1", "2"),
        ("x,10:00,2014-06-03,0\nx,11:00,2014-06-03,0.5\n", "3+2", "4"),
        ("2014,6,3,10,0\n2014,6,3,11,0.5\n", "1+2+3+4", "5"),
    ] {
        let (spans, notes) = read_with(text, &of(Some(time), Some(rain))).unwrap();
        assert_eq!(shown(&spans), want, "{text}");
        assert_eq!(notes.rain_column, rain);
        assert_eq!(notes.rows, 2);
        for (time, rain) in [(None, None), (Some(time), None), (None, Some(rain)), (Some("time"), Some(rain))] {
            let failure = error_with(text, &of(time, rain));
            assert!(matches!(failure, RecordError::NoHeader { line: 1 }), "{text}: {failure}");
        }
    }
    let late = "# made up\n\n2014-06-03 10:00,0\n";
    assert!(matches!(error(late), RecordError::NoHeader { line: 3 }));
    // one row alone
    let hour = RecordOptions { step: Some(Duration::from_h(1.0)), ..of(Some("1"), Some("2")) };
    assert_eq!(shown(&read_with("2014-06-03 10:00,0.5\n", &hour).unwrap().0), "09:00-10:00 0.5");
    // its date tells that the three columns of time are not year, month and day
    let joined = RecordOptions { step: Some(Duration::from_h(1.0)), ..of(Some("1+2+3"), Some("4")) };
    assert_eq!(shown(&read_with("2014-06-03,10,30,0.5\n", &joined).unwrap().0), "09:30-10:30 0.5");
    // figures are no names, though none is a time
    assert!(matches!(error("0.25,1.5\n0.5,1.5\n"), RecordError::NoHeader { line: 1 }));
}

#[test]
fn identity_the_delimiter_cuts_two_lines_into_as_many_cells() {
    let want = "09:00-10:00 0; 10:00-11:00 0.5";
    for text in [
        "time,rain_in\n2014-06-03 10:00,0\n2014-06-03 11:00,0.5\n",
        "time;rain_in\n2014-06-03 10:00;0\n2014-06-03 11:00;0,5\n",
        "time\train_in\n2014-06-03 10:00\t0\n2014-06-03 11:00\t0,5\n",
        // commas in the header are no delimiters where the rows have none
        "time;rain, gauge 1 (in)\n2014-06-03 10:00;0\n2014-06-03 11:00;0,5\n",
        "time,note; all,rain_in\n2014-06-03 10:00,x,0\n2014-06-03 11:00,x,0.5\n",
        // no two lines alike: the first tells
        "time;rain_in\n2014-06-03 10:00;0;\n2014-06-03 11:00;0,5;\n",
        "time,rain_in\n2014-06-03 10:00,0,\n2014-06-03 11:00,0.5,\n",
        // a semicolon's cells may have commas beyond the width of the first line
        "time;rain_in;note\n2014-06-03 10:00;0;a;b\n2014-06-03 11:00;0,5;a;b;c\n",
    ] {
        let (spans, notes) = read(text);
        assert_eq!(shown(&spans), want, "{text}");
        assert_eq!(notes.skipped, [], "{text}");
    }
    let RecordError::NoTimeColumn { columns } = error("one\ntwo\n") else { panic!() };
    assert_eq!(columns, ["one"]);
}

#[test]
fn identity_several_stations_are_asked_about() {
    let text = |column: &str, stations: &[&str]| {
        let rows: Vec<String> = stations
            .iter()
            .enumerate()
            .map(|(hour, station)| format!("{station},2014-06-03 {hour:02}:00,0\n"))
            .collect();
        format!("{column},time,rain_in\n{}", rows.concat())
    };
    for name in ["station", "Station ID", "gauge", "gage", "site", "STN", "stationid"] {
        let failure = error(&text(name, &["A", "B", "A"]));
        let RecordError::SeveralStations { column, stations } = failure else { panic!("{name}: {failure}") };
        assert_eq!((column.as_str(), stations.as_slice()), (name, ["A".to_owned(), "B".to_owned()].as_slice()));
        assert!(read_with(&text(name, &["A", "A", "", "A"]), &RecordOptions::default()).is_ok(), "{name}");
        let one = RecordOptions { station: Some((name.into(), " B ".into())), ..RecordOptions::default() };
        let (spans, notes) = read_with(&text(name, &["A", "B", "B", "A", "B"]), &one).unwrap();
        assert_eq!(shown(&spans), "00:00-02:00 0; 02:00-03:00 missing; 03:00-04:00 0");
        assert_eq!((notes.rows, notes.other_stations), (3, 2));
    }
    // the first five are named
    let failure = error(&text("site", &["A", "B", "C", "D", "E", "F"]));
    let RecordError::SeveralStations { stations, .. } = failure else { panic!("{failure}") };
    assert_eq!(stations, ["A", "B", "C", "D", "E"]);
    // other columns are not asked about, nor one that speaks of rain
    assert!(read_with(&text("note", &["A", "B"]), &RecordOptions::default()).is_ok());
    let gauge = "time,rain gauge (in)\n2014-06-03 10:00,0\n2014-06-03 11:00,0.5\n";
    assert_eq!(shown(&read(gauge).0), "09:00-10:00 0; 10:00-11:00 0.5");
    // a column that is not there
    let none = RecordOptions { station: Some(("town".into(), "B".into())), ..RecordOptions::default() };
    assert!(matches!(error_with(&text("site", &["A"]), &none), RecordError::NoSuchColumn { .. }));
}

#[test]
fn identity_columns_stand_in_any_order_and_beyond_them_anything_may() {
    let want = "09:00-10:00 0; 10:00-11:00 0.5";
    let station = RecordOptions { station: Some(("site".into(), "A".into())), ..RecordOptions::default() };
    for text in [
        "site,time,rain_in\nA,2014-06-03 10:00,0\nB,2014-06-03 10:30,9\nA,2014-06-03 11:00,0.5\n",
        "rain_in,site,time\n0,A,2014-06-03 10:00\n9,B,2014-06-03 10:30\n0.5,A,2014-06-03 11:00\n",
        "time,rain_in,site\n2014-06-03 10:00,0,A\n2014-06-03 10:30,9,B\n2014-06-03 11:00,0.5,A\n",
        "rain_in,time,date,site\n0,10:00,2014-06-03,A\n9,10:30,2014-06-03,B\n0.5,11:00,2014-06-03,A\n",
        "time,rain_in,site,x\n2014-06-03 10:00,0,A\n2014-06-03 10:30,9,B,\n2014-06-03 11:00,0.5,A,x,,\n",
    ] {
        let (spans, notes) = read_with(text, &station).unwrap();
        assert_eq!(shown(&spans), want, "{text}");
        assert_eq!((notes.rows, notes.other_stations, notes.skipped.len()), (2, 1, 0), "{text}");
    }
    // time and rain out of one column: it is a time, and no rain can be read in it
    let one =
        RecordOptions { rain_column: Some("time".into()), unit: Some(RainUnit::Inch), ..RecordOptions::default() };
    let failure = error_with("time,rain_in\n2014-06-03 10:00,0\n2014-06-03 11:00,0.5\n", &one);
    assert!(matches!(failure, RecordError::AllRefused { why: SkipReason::RainUnreadable, .. }), "{failure}");
}
