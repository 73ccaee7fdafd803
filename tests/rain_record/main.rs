//! Rain records: what is read, what is refused and where, and what must hold for any text. All records are invented.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::float_cmp,
    clippy::format_push_string,
    reason = "a test fails by panicking"
)]

mod bad;
mod properties;
mod times;

use approx::assert_relative_eq;
use sumpwright::hydrology::{
    RainKind, RainRecord, RainUnit, RecordError, RecordNotes, RecordOptions, RemarkKind, Span, SpanRain,
    StampConvention,
};
use sumpwright::quantity::{Duration, Intensity};

/// All spans and the notes.
fn read_with(text: &[u8], options: &RecordOptions) -> Result<(Vec<Span>, RecordNotes), RecordError> {
    let mut record = RainRecord::new(text, options)?;
    let mut spans = Vec::new();
    while let Some(span) = record.next_span()? {
        spans.push(span);
    }
    assert_eq!(record.bytes_read(), text.len() as u64);
    Ok((spans, record.notes().clone()))
}

fn read(text: &str) -> (Vec<Span>, RecordNotes) {
    read_with(text.as_bytes(), &RecordOptions::default()).unwrap_or_else(|error| panic!("{error}\n{text}"))
}

fn error(text: &str) -> String {
    error_with(text, &RecordOptions::default())
}

fn error_with(text: &str, options: &RecordOptions) -> String {
    match read_with(text.as_bytes(), options) {
        Ok((_, notes)) => panic!("read without an error: {notes:?}\n{text}"),
        Err(error) => error.to_string(),
    }
}

/// Spans as `start end rain`, rain in inches an hour.
fn shown(spans: &[Span]) -> Vec<String> {
    spans
        .iter()
        .map(|span| match span.rain {
            SpanRain::Missing => format!("{} - {} missing", span.start, span.end),
            SpanRain::Fell(rain) => format!("{} - {} {:.4}", span.start, span.end, rain.inh()),
        })
        .collect()
}

#[test]
fn identity_a_depth_falls_in_the_interval_before_its_stamp() {
    let (spans, notes) =
        read("time,rain_in\n2014-06-03 14:05,0\n2014-06-03 14:10,0.10\n2014-06-03 14:15,0.00\n2014-06-03 14:20,0.0\n");
    // 0.10 in in 5 min is 1.2 in/h
    assert_eq!(
        shown(&spans),
        [
            "2014-06-03 14:00 - 2014-06-03 14:05 0.0000",
            "2014-06-03 14:05 - 2014-06-03 14:10 1.2000",
            "2014-06-03 14:10 - 2014-06-03 14:20 0.0000"
        ]
    );
    assert_eq!((notes.rows, notes.used, notes.wet_rows, notes.gaps), (4, 4, 1, 0));
    assert_eq!(notes.usual_step, Duration::from_min(5.0));
    assert_eq!(notes.convention, StampConvention::IntervalEnds);
    assert_eq!(
        (notes.first.to_string(), notes.last.to_string()),
        ("2014-06-03 14:05".into(), "2014-06-03 14:20".into())
    );
    assert_relative_eq!(notes.total_depth.inch(), 0.1, max_relative = 1e-12);
}

#[test]
fn identity_a_depth_falls_in_the_interval_after_its_stamp_where_told() {
    let options = RecordOptions { convention: Some(StampConvention::IntervalStarts), ..RecordOptions::default() };
    let text = "time,rain_in\n2014-06-03 14:05,0\n2014-06-03 14:10,0.10\n2014-06-03 14:15,0.00\n2014-06-03 14:45,0.2\n";
    let (spans, notes) = read_with(text.as_bytes(), &options).unwrap();
    assert_eq!(
        shown(&spans),
        [
            "2014-06-03 14:05 - 2014-06-03 14:10 0.0000",
            "2014-06-03 14:10 - 2014-06-03 14:15 1.2000",
            "2014-06-03 14:15 - 2014-06-03 14:20 0.0000",
            "2014-06-03 14:20 - 2014-06-03 14:45 missing",
            "2014-06-03 14:45 - 2014-06-03 14:50 2.4000"
        ]
    );
    assert_eq!((notes.gaps, notes.missing_time.minutes()), (1, 25.0));
}

#[test]
fn identity_a_days_rain_is_of_that_day() {
    let (spans, notes) = read("date,prcp (mm)\n2014-06-03,0\n2014-06-04,24\n2014-06-05,0\n");
    assert_eq!(notes.convention, StampConvention::IntervalStarts);
    assert_eq!(spans[1].start.to_string(), "2014-06-04 00:00");
    assert_eq!(spans[1].end.to_string(), "2014-06-05 00:00");
    let SpanRain::Fell(rain) = spans[1].rain else { panic!("{spans:?}") };
    assert_relative_eq!(rain.mmh(), 1.0, max_relative = 1e-12);
}

#[test]
fn identity_the_same_rain_in_each_kind_and_unit() {
    let depth =
        read("time,rain_in\n2014-06-03 00:00,0\n2014-06-03 01:00,0.5\n2014-06-03 02:00,0.25\n2014-06-03 03:00,0\n").0;
    for text in [
        "time,rain (mm)\n2014-06-03 00:00,0\n2014-06-03 01:00,12.7\n2014-06-03 02:00,6.35\n2014-06-03 03:00,0\n",
        "time;rain (mm)\n2014-06-03 00:00;0\n2014-06-03 01:00;12,7\n2014-06-03 02:00;6,35\n2014-06-03 03:00;0\n",
        "time\train (mm)\n2014-06-03 00:00\t0\n2014-06-03 01:00\t12.7\n2014-06-03 02:00\t6.35\n2014-06-03 03:00\t0\n",
        "time,rain (0.01 in)\n2014-06-03 00:00,0\n2014-06-03 01:00,50\n2014-06-03 02:00,25\n2014-06-03 03:00,0\n",
        "time,rain (0.1 mm)\n2014-06-03 00:00,0\n2014-06-03 01:00,127\n2014-06-03 02:00,63.5\n2014-06-03 03:00,0\n",
        "time,intensity_mm_h\n2014-06-03 00:00,0\n2014-06-03 01:00,12.7\n2014-06-03 02:00,6.35\n2014-06-03 03:00,0\n",
        "date,hour,precip (in)\n2014-06-03,0,0\n2014-06-03,1,0.5\n2014-06-03,2,0.25\n2014-06-03,3,0\n",
        "date,time,precip (in)\n2014-06-03,00:00,0\n2014-06-03,01:00,0.5\n2014-06-03,02:00,0.25\n2014-06-03,03:00,0\n",
        "date,hour,time zone,precip (in)\n2014-06-03 00:00:00,0,x,0\n2014-06-03 00:00:00,1,x,0.5\n2014-06-03 00:00:00,2,x,0.25\n2014-06-03 00:00:00,3,x,0\n",
        "date,time,precip (in)\n2014-06-03 00:00:00,0000,0\n2014-06-03 00:00:00,0100,0.5\n2014-06-03 00:00:00,0200,0.25\n2014-06-03 00:00:00,0300,0\n",
        "datetime,hour,precip (in)\n2014-06-03 00:00:00,0,0\n2014-06-03 01:00:00,1,0.5\n2014-06-03 02:00:00,2,0.25\n2014-06-03 03:00:00,3,0\n",
        "year,month,day,hour,minute,precip (in)\n2014,6,3,0,0,0\n2014,6,3,1,0,0.5\n2014,6,3,2,0,0.25\n2014,6,3,3,0,0\n",
        "\"rain_in\",\"time\",\"note\"\n\"0\",\"2014-06-03 00:00\",\"a, b\"\n0.5,2014-06-03 01:00,\n0.25,2014-06-03 02:00,\n0,2014-06-03 03:00,\n",
        "\u{feff}# made up\r\n\r\ntime,rain_in\r\n# more\r\n2014-06-03 00:00,0\r\n2014-06-03 01:00,0.5\r\n\r\n2014-06-03 02:00,0.25\r\n2014-06-03 03:00,0\r\n,\r\n\r\n\r\n",
        "time,rain_in\r2014-06-03 00:00,0\r2014-06-03 01:00,0.5\r2014-06-03 02:00,0.25\r2014-06-03 03:00,0\r",
    ] {
        let (spans, notes) = read(text);
        assert_eq!(spans.len(), depth.len(), "{text}");
        for (span, want) in spans.iter().zip(&depth) {
            assert_eq!((span.start, span.end), (want.start, want.end), "{text}");
            assert_relative_eq!(span.depth().inch(), want.depth().inch(), max_relative = 1e-12);
        }
        assert_eq!(notes.skipped, [], "{text}");
    }
    // a running total does not know what fell before its first reading
    let (spans, notes) = read(
        "time,cumulative rain (in)\n2014-06-03 00:00,7\n2014-06-03 01:00,7.5\n2014-06-03 02:00,7.75\n2014-06-03 03:00,7.75\n",
    );
    assert_eq!(notes.kind, RainKind::Cumulative);
    assert_eq!(shown(&spans), shown(&depth[1..]));
}

#[test]
fn identity_a_record_without_header_is_read_by_column_numbers() {
    let options = RecordOptions {
        time_column: Some("1".into()),
        rain_column: Some("3".into()),
        unit: Some(RainUnit::Inch),
        ..RecordOptions::default()
    };
    let (spans, notes) = read_with(b"201406030005,x,0\n201406030010,x,0.1\n201406030015,x,0", &options).unwrap();
    assert_eq!(spans.len(), 3);
    assert_eq!(notes.rows, 3);
    assert_eq!(notes.remarked(RemarkKind::LastLineOpen), 1);
}

#[test]
fn identity_one_station_of_several() {
    let text = "station,time,rain_in\nA,2014-06-03 01:00,0\nB,2014-06-03 01:00,0.3\nA,2014-06-03 02:00,0.1\nB,2014-06-03 02:00,0.3\n";
    assert_eq!(error(text), "the column `station` holds several stations (A, B): say which one to read");
    let options = RecordOptions { station: Some(("station".into(), "A".into())), ..RecordOptions::default() };
    let (_, notes) = read_with(text.as_bytes(), &options).unwrap();
    assert_eq!((notes.rows, notes.other_stations), (2, 2));
    assert_relative_eq!(notes.total_depth.inch(), 0.1, max_relative = 1e-12);
    let none = RecordOptions {
        station: Some(("station".into(), "C".into())),
        step: Some(Duration::from_h(1.0)),
        ..RecordOptions::default()
    };
    assert_eq!(error_with(text, &none), "no row has `C` in the station's column");
}

#[test]
fn identity_a_gap_is_missing_and_the_depth_after_it_falls_in_one_step() {
    let (spans, notes) = read(
        "time,rain_in\n2014-06-03 00:05,0\n2014-06-03 00:10,0\n2014-06-03 00:15,0\n2014-06-03 02:15,0.1\n2014-06-03 02:20,0\n",
    );
    assert_eq!(
        shown(&spans),
        [
            "2014-06-03 00:00 - 2014-06-03 00:15 0.0000",
            "2014-06-03 00:15 - 2014-06-03 02:10 missing",
            "2014-06-03 02:10 - 2014-06-03 02:15 1.2000",
            "2014-06-03 02:15 - 2014-06-03 02:20 0.0000"
        ]
    );
    assert_eq!((notes.gaps, notes.missing_time), (1, Duration::from_min(115.0)));
}

#[test]
fn identity_between_bucket_tips_it_is_dry() {
    let (spans, notes) = read(
        "time,rain_in\n2014-06-03 10:00:00,0.01\n2014-06-03 10:01:10,0.01\n2014-06-03 10:01:10,0.01\n2014-06-03 10:03:31,0.01\n2014-06-05 08:00:00,0.01\n",
    );
    assert!(notes.wet_rows_only);
    assert_eq!(notes.remarked(RemarkKind::Joined), 1);
    assert_eq!(notes.remarked(RemarkKind::WetRowsOnly), 1);
    assert_eq!(notes.usual_step, Duration::from_min(5.0));
    assert_eq!((notes.gaps, notes.longest_gap), (0, None));
    assert_relative_eq!(notes.total_depth.inch(), 0.05, max_relative = 1e-12);
    // 0.02 in in 70 s is 1.0286 in/h
    assert_eq!(
        shown(&spans),
        [
            "2014-06-03 09:55 - 2014-06-03 10:00 0.1200",
            "2014-06-03 10:00 - 2014-06-03 10:01:10 1.0286",
            "2014-06-03 10:01:10 - 2014-06-03 10:03:31 0.2553",
            "2014-06-03 10:03:31 - 2014-06-05 07:55 0.0000",
            "2014-06-05 07:55 - 2014-06-05 08:00 0.1200"
        ]
    );
}

#[test]
fn identity_hourly_rows_written_only_when_it_rains() {
    let (spans, notes) = read(
        "time,rain_in\n2014-06-03 10:00,0.2\n2014-06-03 11:00,0.1\n2014-06-03 14:00,0.1\n2014-06-09 02:00,0.3\n2014-06-09 07:00,0.3\n",
    );
    assert!(notes.wet_rows_only);
    assert_eq!(notes.usual_step, Duration::from_h(1.0));
    assert_eq!(shown(&spans)[2], "2014-06-03 11:00 - 2014-06-03 13:00 0.0000");
    assert_eq!(spans.len(), 8);
}

#[test]
fn identity_a_running_total_that_begins_again_moves_or_slips() {
    let mut text = String::from("time,cumulative rain (mm)\n");
    for (minute, total) in [3.0, 4.0, 0.5, 0.7, 0.6, 0.8, 0.7, 0.7, 0.7, 50.0, 60.0, 0.0, 61.0, 61.0].iter().enumerate()
    {
        text += &format!("2014-06-03 10:{minute:02},{total}\n");
    }
    let options = RecordOptions { highest_intensity: Some(Intensity::from_mmh(1_000.0)), ..RecordOptions::default() };
    let (_, notes) = read_with(text.as_bytes(), &options).unwrap();
    // 1.0 rise, 0.5 since the restart, 0.2; 0.6 is refused; 0.1; 0.7 is refused and then confirmed, without rain;
    // 50 is refused, since 49.3 mm in a minute is above 1000 mm/h; 60 confirms it, with 10; the fall to 0 counts as a
    // restart; 61 is back above 60, so that it was a slip: 1
    assert_relative_eq!(notes.total_depth.mm(), 1.0 + 0.5 + 0.2 + 0.1 + 10.0 + 1.0, max_relative = 1e-9);
    assert_eq!(notes.remarked(RemarkKind::TotalRestarted), 2);
    assert_eq!(notes.remarked(RemarkKind::TotalMoved), 2);
}

#[test]
fn identity_rain_of_a_gap_in_a_running_total_is_kept() {
    let row = |time: &str, total: f64| format!("2014-06-{time},{total}\n");
    let head = "time,cumulative rain (mm)\n".to_owned()
        + &row("03 10:00", 0.0)
        + &row("03 10:01", 0.0)
        + &row("03 10:02", 0.0);
    let (spans, notes) = read(&(head.clone() + &row("03 12:00", 10.0)));
    assert_eq!(shown(&spans)[1], "2014-06-03 10:02 - 2014-06-03 11:59 missing");
    assert_relative_eq!(notes.total_depth.mm(), 10.0, max_relative = 1e-12);
    // 200 mm in a minute is more than was ever measured (31 mm, Unionville 1956), in two hours it is not
    let (spans, notes) = read(&(head + &row("03 12:00", 200.0)));
    assert_eq!(spans.len(), 2);
    assert_relative_eq!(notes.total_depth.mm(), 200.0, max_relative = 1e-12);
    assert_eq!(notes.remarked(RemarkKind::SpreadOverGap), 1);
}

#[test]
fn crosscheck_cells_against_the_csv_crate() {
    let mut text = String::from("id,\"time\",  other ,rain_in\n");
    for minute in 0..60 {
        let rain = if minute % 7 == 0 { 0.01 * f64::from(minute) } else { 0.0 };
        text += &format!("{minute},\"2014-06-03 10:{minute:02}\",\"x, y\", {rain:.2}\n");
    }
    let mut sum = 0.0;
    for row in csv::Reader::from_reader(text.as_bytes()).records() {
        sum += row.unwrap()[3].trim().parse::<f64>().unwrap();
    }
    let (_, notes) = read(&text);
    assert_eq!(notes.rows, 60);
    assert_relative_eq!(notes.total_depth.inch(), sum, max_relative = 1e-12);
}
