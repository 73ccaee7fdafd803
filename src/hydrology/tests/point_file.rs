use super::super::{
    Kind, PointFileProblem, PointFileUnits, PointFileWarning, Rain, RainError, Series, point_file_text, read_point_file,
};
use super::{CHAMPAIGN, champaign, close};
use crate::quantity::{Duration, ReturnPeriod};
use proptest::prelude::*;

const RESAVED: &str = include_str!("../../../tests/data/atlas14-west-lafayette-in-resaved.csv");
const INCHES_PER_HOUR: &str = include_str!("../../../tests/data/atlas14-39n-105w-inches-per-hour.csv");
const MM_PER_HOUR: &str = include_str!("../../../tests/data/atlas14-39n-105w-mm-per-hour.csv");

fn problem(text: &str) -> (usize, PointFileProblem) {
    let error = read_point_file(text).unwrap_err();
    (error.line, error.problem)
}

fn intensity(text: &str, years: f64, duration: Duration) -> f64 {
    let file = read_point_file(text).unwrap();
    let rain = Rain::Table(file.column(ReturnPeriod::from_years(years)).unwrap().clone());
    rain.intensity(duration).unwrap().inh()
}

#[test]
fn published_point_file_as_served() {
    // NOAA Atlas 14 volume 2 version 3, 40.0962 N 88.2574 W
    let file = champaign();
    assert_eq!((file.series, file.kind, file.units), (Series::PartialDuration, Kind::Depth, PointFileUnits::Inches));
    let periods: Vec<f64> = file.columns.iter().map(|column| column.0.years()).collect();
    assert_eq!(periods, [1.0, 2.0, 5.0, 10.0, 25.0, 50.0, 100.0, 200.0, 500.0, 1000.0]);
    assert!(file.columns.iter().all(|column| column.1.points().len() == 19));
    let depth = |years, duration| {
        Rain::Table(file.column(ReturnPeriod::from_years(years)).unwrap().clone()).depth(duration).unwrap().inch()
    };
    close(depth(100.0, Duration::from_h(24.0)), 6.88, 1e-12);
    close(depth(10.0, Duration::from_min(5.0)), 0.647, 1e-12);
    assert_eq!(file.location.as_deref(), Some("Champaign, Illinois, USA"));
    assert_eq!(file.publication.as_deref(), Some("NOAA Atlas 14 Volume 2 Version 3"));
    assert_eq!((file.latitude, file.longitude), (Some(40.0962), Some(-88.2574)));
    assert_eq!(file.warnings, []);
}

#[test]
fn published_point_file_saved_again_by_a_spreadsheet() {
    // NOAA Atlas 14 volume 2, West Lafayette: 7.55 in/h in 5 min of 10 years, 0.256 in/h in 24 h of 100 years
    close(intensity(RESAVED, 10.0, Duration::from_min(5.0)), 7.55, 1e-12);
    close(intensity(RESAVED, 100.0, Duration::from_h(24.0)), 0.256, 1e-12);
    let file = read_point_file(RESAVED).unwrap();
    assert_eq!((file.columns.len(), file.kind), (10, Kind::Intensity));
    assert_eq!((file.latitude, file.longitude), (Some(40.4167), Some(-86.9167)));
    assert_eq!(file.location.as_deref(), Some("West Lafayette, Indiana, USA"));
}

#[test]
fn published_metric_intensities() {
    // one point of NOAA Atlas 14 volume 8 in both units; the server rounds to whole mm/h
    for (years, duration, printed) in [
        (1.0, Duration::from_min(5.0), 73.0),
        (100.0, Duration::from_min(60.0), 55.0),
        (2.0, Duration::from_h(24.0), 2.0),
    ] {
        close(intensity(MM_PER_HOUR, years, duration) * 25.4, printed, 1e-9);
        close(intensity(INCHES_PER_HOUR, years, duration) * 25.4, printed, 0.5);
    }
    let file = read_point_file(MM_PER_HOUR).unwrap();
    assert!(file.warnings.contains(&PointFileWarning::CoarseIntensity));
    // the 1-yr column prints 0 from 7 days on
    let left_out =
        PointFileWarning::ZerosLeftOut { period: ReturnPeriod::from_years(1.0), from: Duration::from_day(7.0) };
    assert!(file.warnings.contains(&left_out), "{:?}", file.warnings);
    assert_eq!(file.columns[0].1.longest(), Duration::from_day(4.0));
    // 8 mm/h over 3 h after 10 over 2 h are depths that rise; 1 mm/h over 3 days after 1 over 2 days too
    assert!(file.columns.iter().all(|column| column.1.points().len() >= 13));
}

#[test]
fn rounding_is_evened_out_and_said() {
    // whole mm/h: 8 over 2 h is 16 mm, 5 over 3 h is 15 mm; 5.3 over 3 h would be within its rounding
    let file = |last: &str| {
        format!(
            "Point precipitation frequency estimates (millimeters/hour)\nData type: Precipitation intensity\n\
             by duration for ARI (years):, 2\n60-min:, 12\n2-hr:, 8\n3-hr:, {last}\n"
        )
    };
    let read = read_point_file(&file("5")).unwrap();
    let period = ReturnPeriod::from_years(2.0);
    let moved = PointFileWarning::MovedWithinRounding { period, duration: Duration::from_h(3.0) };
    assert_eq!(read.warnings, [PointFileWarning::CoarseIntensity, PointFileWarning::SeriesFromHeader, moved]);
    let depths: Vec<f64> = read.columns[0].1.points().iter().map(|point| point.1.mm()).collect();
    for (found, expected) in depths.iter().zip([12.0, 16.0, 16.0]) {
        close(*found, expected, 1e-9);
    }
    // in whole millimetres 1 in 5 min and 3 in 10 min: 1.5 in 5 min is within the rounding, and the rate no longer rises
    let dry = "Point precipitation frequency estimates (millimeters)\nData type: Precipitation depth\n\
               Time series type: Partial duration\nby duration for ARI (years):, 2\n5-min:, 1\n10-min:, 3\n15-min:, 4\n";
    let read = read_point_file(dry).unwrap();
    let moved = PointFileWarning::MovedWithinRounding { period, duration: Duration::from_min(5.0) };
    assert_eq!(read.warnings, [moved]);
    close(read.columns[0].1.points()[0].1.mm(), 1.5, 1e-9);
    let error = read_point_file(&dry.replace("10-min:, 3", "10-min:, 4").replace("5-min:, 1", "5-min:, 0.5"));
    assert!(error.unwrap_err().to_string().contains("the average intensity over 10 min is higher than over 5 min"));
    // 3 over 3 h is 9 mm, which no rounding explains
    let error = read_point_file(&file("3")).unwrap_err();
    assert_eq!(error.line, 6);
    assert!(error.to_string().contains("column 2 years: less rain falls in 3 h than in 2 h"), "{error}");
}

#[test]
fn a_figure_is_moved_as_far_as_its_own_and_its_neighbours_rounding() {
    let read = |rows: &str| {
        read_point_file(&format!(
            "Point precipitation frequency estimates (millimeters)\nData type: Precipitation depth\n\
             Time series type: Partial duration\nby duration for ARI (years):, 2\n{rows}"
        ))
    };
    let minutes = Duration::from_min;
    let period = ReturnPeriod::from_years(2.0);
    let moved = |at: f64| vec![PointFileWarning::MovedWithinRounding { period, duration: minutes(at) }];
    for (rows, wanted) in [
        // whole millimetres may both be off by half of one
        ("5-min:, 10\n10-min:, 9\n", Some(moved(10.0))),
        ("5-min:, 10\n10-min:, 8\n", None),
        // 0.5 of the first and 0.05 of the second
        ("5-min:, 10\n10-min:, 9.5\n", Some(moved(10.0))),
        ("5-min:, 10\n10-min:, 9.4\n", None),
        // 3 mm in 10 min need 1.5 in 5: 0.05 of the first and 0.5 of the second; 1.4 would be too far
        ("5-min:, 1.0\n10-min:, 3\n", Some(moved(5.0))),
        ("5-min:, 0.9\n10-min:, 3\n", None),
        // what does not fall is not moved
        ("5-min:, 3\n10-min:, 3\n", Some(vec![])),
    ] {
        assert_eq!(read(rows).ok().map(|file| file.warnings), wanted, "{rows}");
    }
    let refusal = |rows: &str| {
        let error = read(rows).unwrap_err();
        (error.line, error.problem)
    };
    // which way it is wrong, and between which durations
    let falls = RainError::DepthFalls { shorter: minutes(5.0), longer: minutes(10.0) };
    let rises = RainError::IntensityRises { shorter: minutes(10.0), longer: minutes(15.0) };
    assert_eq!(refusal("5-min:, 10\n10-min:, 8\n"), (6, PointFileProblem::Column { period, error: falls }));
    assert_eq!(refusal("5-min:, 3\n10-min:, 3\n15-min:, 9\n"), (6, PointFileProblem::Column { period, error: rises }));
}

#[test]
fn spaces_commas_line_ends_marks_and_quotes_do_not_matter() {
    let expected = champaign();
    let variants = [
        format!("\u{feff}{CHAMPAIGN}"),
        CHAMPAIGN.replace('\n', "\r\n"),
        CHAMPAIGN.replace('\n', ",,,\r\n"),
        CHAMPAIGN.replace(", ", ","),
        CHAMPAIGN.replace(',', " , "),
        CHAMPAIGN.replace('\n', "\r"),
        CHAMPAIGN.replace(
            "Location name (ESRI Maps): Champaign, Illinois, USA",
            "\"Location name (ESRI Maps): Champaign, Illinois, USA\"",
        ),
        CHAMPAIGN.replace("\n\nDate", "\nDate"),
        CHAMPAIGN.lines().filter(|line| !line.trim().is_empty()).collect::<Vec<_>>().join("\n"),
    ];
    for variant in variants {
        let file = read_point_file(&variant).unwrap();
        assert_eq!(file.columns, expected.columns, "{variant}");
        assert_eq!(file.latitude, expected.latitude);
    }
    // a degree sign in an old encoding is not UTF-8
    let bytes =
        RESAVED.replace('°', "@").bytes().map(|byte| if byte == b'@' { 0xb0 } else { byte }).collect::<Vec<_>>();
    assert_eq!(read_point_file(&point_file_text(&bytes)).unwrap().latitude, Some(40.4167));
}

#[test]
fn confidence_bounds_are_not_read_as_estimates() {
    let table: String = CHAMPAIGN.lines().skip(13).take(20).fold(String::new(), |text, line| text + line + "\n");
    let bound = format!(
        "PRECIPITATION FREQUENCY ESTIMATES AT UPPER BOUND OF 90% CONFIDENCE INTERVAL\n{}",
        table.replace("0.409", "0.444")
    );
    let estimates: String = CHAMPAIGN.lines().take(33).fold(String::new(), |text, line| text + line + "\n");
    for between in ["\n", ""] {
        let file = read_point_file(&format!("{estimates}{between}{bound}")).unwrap();
        assert_eq!(file.columns, champaign().columns);
    }
    // the bound before the estimates
    let top: String = CHAMPAIGN.lines().take(12).fold(String::new(), |text, line| text + line + "\n");
    let title = "PRECIPITATION FREQUENCY ESTIMATES\n";
    assert_eq!(read_point_file(&format!("{top}{bound}\n{title}{table}")).unwrap().columns, champaign().columns);
    assert_eq!(problem(&format!("{top}{bound}")), (14, PointFileProblem::OnlyBounds));
}

#[test]
fn columns_go_by_their_value() {
    let swapped = CHAMPAIGN
        .replace(" 1,2,5,10,25,50,100,200,500,1000", " 1000,2,5,10,25,50,100,200,500,1")
        .lines()
        .map(|line| match line.split_once(":, ") {
            Some((label, values)) if label.ends_with("min") || label.ends_with("hr") || label.ends_with("day") => {
                let mut values: Vec<&str> = values.split(',').collect();
                values.swap(0, 9);
                format!("{label}:, {}\n", values.join(","))
            }
            _ => format!("{line}\n"),
        })
        .collect::<String>();
    assert_eq!(read_point_file(&swapped).unwrap().columns, champaign().columns);
}

#[test]
fn annual_maximum_file() {
    let annual = CHAMPAIGN
        .replace("Partial duration", "Annual maximum")
        .replace("by duration for ARI (years):, 1,2,5", "by duration for AEP:, 1/1.58,1/2,1/5")
        .replace("10,25,50,100,200,500,1000", "1/10,1/25,1/50,1/100,1/200,1/500,1/1000");
    let file = read_point_file(&annual).unwrap();
    assert_eq!((file.series, file.warnings), (Series::AnnualMaximum, vec![]));
    let column = |years| file.columns.iter().find(|column| column.0 == ReturnPeriod::from_years(years)).unwrap();
    assert_eq!(column(25.0).1, champaign().columns[4].1);
    // the header labels the numbers
    let file = read_point_file(&annual.replace("Annual maximum", "Partial duration")).unwrap();
    assert_eq!((file.series, file.warnings), (Series::AnnualMaximum, vec![PointFileWarning::SeriesAgainstHeader]));
    // what a spreadsheet makes of 1/2
    let error = read_point_file(&annual.replace("1/2,", "2-Jan,")).unwrap_err();
    assert_eq!(error.line, 14);
    assert!(error.to_string().contains("did a spreadsheet turn `1/2` into a date?"), "{error}");
}

#[test]
fn refusals_name_the_line() {
    let change = |from: &str, to: &str| problem(&CHAMPAIGN.replace(from, to));
    assert_eq!(problem(""), (1, PointFileProblem::NoHeader));
    assert_eq!(problem("ErrorMsg = 'Error 3.0: no data'"), (1, PointFileProblem::ServerMessage));
    assert_eq!(change("(inches)", "(furlongs)"), (1, PointFileProblem::UnknownUnit));
    assert_eq!(change("(inches)", ""), (1, PointFileProblem::NoUnit));
    assert_eq!(change("(inches)", "(inches/hour)"), (3, PointFileProblem::UnitAgainstKind));
    assert_eq!(change("Data type:", "Data:"), (1, PointFileProblem::NoKind));
    assert_eq!(change("Precipitation depth", "Snow"), (3, PointFileProblem::UnknownKind));
    assert_eq!(change("Partial duration", "Seasonal"), (4, PointFileProblem::UnknownSeries));
    assert_eq!(change(" 1,2,5", " 1,two,5"), (14, PointFileProblem::BadPeriod { cell: "two".to_owned() }));
    assert_eq!(change(" 1,2,5", " 1,2,2"), (14, PointFileProblem::PeriodTwice { cell: "2".to_owned() }));
    assert_eq!(change("5-min:, 0.409,", "5-min:, "), (15, PointFileProblem::ValueCount { found: 9, expected: 10 }));
    assert_eq!(change("0.409", "NA"), (15, PointFileProblem::BadValue { cell: "NA".to_owned() }));
    assert_eq!(change("0.409", "-0.409"), (15, PointFileProblem::BadValue { cell: "-0.409".to_owned() }));
    assert_eq!(change("0.409", "0"), (15, PointFileProblem::BadValue { cell: "0".to_owned() }));
    assert_eq!(change("10-min:", "5-min:"), (16, PointFileProblem::DurationTwice));
    assert_eq!(change("2-hr:", "2-moons:"), (20, PointFileProblem::BadDuration { cell: "2-moons:".to_owned() }));
    assert!(matches!(change("0.757", "0.600"), (16, PointFileProblem::FallsWithPeriod { .. })));
    // the 10-year depth of 15 min below that of 10 min
    let (line, found) = change("0.779,0.926,1.10,1.23", "0.779,0.926,0.95,0.95");
    assert!(line == 17 && matches!(found, PointFileProblem::Column { .. }), "{line} {found}");
    let error = read_point_file(&CHAMPAIGN.replace("0.409", "NA")).unwrap_err();
    assert!(error.to_string().starts_with("line 15: `NA` is not a number above zero\n  5-min:, NA,0.485"), "{error}");
    // header without rows
    let top: String = CHAMPAIGN.lines().take(14).fold(String::new(), |text, line| text + line + "\n");
    assert!(matches!(problem(&top), (14, PointFileProblem::Column { .. })));
}

#[test]
fn a_line_is_shown_as_far_as_it_helps() {
    // a hundred letters are shown whole, more are cut there
    let shown = |extra: usize| {
        let row = format!("5-moons:,{}", "1".repeat(91 + extra));
        let text = CHAMPAIGN.lines().take(14).fold(String::new(), |text, line| text + line + "\n");
        let error = read_point_file(&format!("{text}{row}   \n")).unwrap_err();
        assert_eq!(error.line, 15);
        (row, error.text)
    };
    let (row, text) = shown(0);
    assert_eq!(text, row);
    let (row, text) = shown(1);
    assert_eq!(text, format!("{}…", &row[..100]));
    // only what looks like a date has been made one by a spreadsheet
    let refusal =
        |cell: &str| read_point_file(&CHAMPAIGN.replace(" 1,2,5", &format!(" 1,{cell},5"))).unwrap_err().to_string();
    for (cell, dated) in [("2-Jan", true), ("two", false), ("1/2", false)] {
        assert_eq!(refusal(cell).contains("spreadsheet"), dated, "{cell}");
    }
}

#[test]
fn a_column_is_found_by_its_period() {
    let file = champaign();
    let found = |years: f64| file.column(ReturnPeriod::from_years(years)).is_some();
    for (years, there) in [
        (1000.0, true),
        (1000.0 * (1.0 + 5e-10), true),
        (1000.0 * (1.0 + 2e-9), false),
        (1.0, true),
        (1.0 + 5e-9, false),
        (3.0, false),
    ] {
        assert_eq!(found(years), there, "{years}");
    }
    assert!(!found(f64::NAN));
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn reading_is_total(text in ".{0,400}", at in 0usize..1500, cut in 0usize..1700) {
        let _ = read_point_file(&text);
        let kept: String = CHAMPAIGN.chars().take(cut).collect();
        let _ = read_point_file(&kept);
        let (head, tail) = CHAMPAIGN.split_at(at);
        // whatever is pushed into the file, what comes back is rain
        if let Ok(file) = read_point_file(&format!("{head}{text}{tail}")) {
            for (_, column) in &file.columns {
                prop_assert!(column.points().iter().all(|point| point.1.is_finite() && point.1.m() > 0.0));
            }
        }
    }
}
