//! What is learnt from the first rows: step, order of day and month, kind, unit, whether dry rows are written.

use super::{check, day, error, error_with, read, read_with};
use crate::hydrology::rain_record::{
    DateOrder, Moment, RainKind, RainUnit, RecordError, RecordNotes, RecordOptions, RemarkKind, SpanRain,
    StampConvention,
};
use crate::quantity::{Duration, Intensity};

/// A record whose rows come so many seconds after each other, with dry rows or with none.
fn paced(seconds: &[i64], dry: bool) -> String {
    let mut at = Moment::from_civil(2014, 6, 3, 0, 0, 0).unwrap().seconds();
    let mut text = format!("time,rain_in\n{},0.01\n", Moment::from_seconds(at));
    for (row, step) in seconds.iter().enumerate() {
        at += step;
        text += &format!("{},{}\n", Moment::from_seconds(at), if dry && row == 0 { "0" } else { "0.01" });
    }
    text
}

fn step_of(notes: &RecordNotes) -> (f64, bool) {
    (notes.usual_step.s(), notes.wet_rows_only)
}

#[test]
fn identity_the_step_is_the_most_frequent_time_between_rows() {
    for (seconds, dry, step, wet_rows_only) in [
        ([300, 300, 300, 300, 300].as_slice(), true, 300.0, false),
        (&[300, 300, 300, 600, 900], true, 300.0, false),
        // of equals the shortest
        (&[600, 600, 300, 300], true, 300.0, false),
        (&[600, 600, 900, 900], true, 600.0, false),
        // half of all, give or take a tenth, make a usual step: 270 s to 330 s count as 300 s
        (&[300, 300, 600, 900], true, 300.0, false),
        (&[300, 300, 330, 270, 900, 600, 1_200, 1_500], true, 300.0, false),
        (&[300, 300, 331, 270, 900, 600, 1_200, 1_500], true, 300.0, true),
        (&[300, 300, 330, 269, 900, 600, 1_200, 1_500], true, 300.0, true),
        // else only wet rows are written, and the step is what divides all if that is five minutes or more
        (&[300, 300, 600, 900, 1_200], true, 300.0, true),
        (&[600, 600, 1_200, 1_800, 2_400], true, 600.0, true),
        (&[598, 598, 299, 897, 1_196], true, 300.0, true),
        (&[3_600, 3_600, 7_200, 10_800, 36_000], false, 3_600.0, true),
        (&[70, 141, 215, 3_600], false, 300.0, true),
        // rows that are all wet and do not come at one pace
        (&[300, 300, 300, 900], false, 300.0, true),
        (&[300, 300, 300, 300], false, 300.0, false),
        (&[60, 60, 60, 600], false, 60.0, true),
        // half of all are a usual step here as well, whatever divides all
        (&[600, 600, 1_200, 900], false, 600.0, true),
        // tips of a bucket in a downpour: their rain is spread over a minute at least
        (&[59, 59, 59, 600], false, 60.0, true),
        (&[59, 59, 59, 600], true, 59.0, false),
        // a time that does not rise is no step
        (&[300, 0, 0, 0, 300, 600], true, 300.0, false),
    ] {
        let (_, notes) = read(&paced(seconds, dry));
        assert_eq!(step_of(&notes), (step, wet_rows_only), "{seconds:?} {dry}");
        assert_eq!(notes.remarked(RemarkKind::WetRowsOnly), u64::from(wet_rows_only));
        let gap = (!wet_rows_only).then_some(Duration::from_s((step * 1.5).floor()));
        assert_eq!(notes.longest_gap, gap, "{seconds:?} {dry}");
    }
    // the times between the rows, not those of the day, are divided: 10 to 40 minutes from 10:01 on
    let (_, notes) = read(&day("rain_in", "10:01,0.1 10:11,0.1 10:21,0.1 10:41,0.1 11:11,0.1 11:51,0.1"));
    assert_eq!(step_of(&notes), (600.0, true));
    // the first 5 000 rows tell
    let long: Vec<i64> = (0..12_000).map(|row| if row < 4_990 { 60 } else { 300 }).collect();
    let (_, notes) = read_with(
        &paced(&long, true),
        &RecordOptions { longest_gap: Some(Duration::from_h(1.0)), ..RecordOptions::default() },
    )
    .unwrap();
    assert_eq!(step_of(&notes), (60.0, false));
}

#[test]
fn identity_what_is_given_is_not_learnt() {
    let options = RecordOptions {
        step: Some(Duration::from_s(120.4)),
        longest_gap: Some(Duration::from_s(299.5)),
        wet_rows_only: Some(true),
        ..RecordOptions::default()
    };
    let (_, notes) = read_with(&paced(&[300, 300, 300], true), &options).unwrap();
    // in whole seconds
    assert_eq!(step_of(&notes), (120.0, true));
    assert_eq!(notes.longest_gap, Some(Duration::from_s(300.0)));
    let options = RecordOptions { wet_rows_only: Some(false), ..RecordOptions::default() };
    let (_, notes) = read_with(&paced(&[300, 600, 900, 1_200], false), &options).unwrap();
    assert_eq!(step_of(&notes), (300.0, false));
    // a step is a second at least, and a century (100 × 365.25 days) at most
    let text = paced(&[300, 300, 300], true);
    for (seconds, fits) in [
        (0.49, false),
        (0.5, true),
        (0.0, false),
        (-60.0, false),
        (f64::NAN, false),
        (3_155_760_000.0, true),
        (3_155_760_001.0, false),
        (f64::INFINITY, false),
    ] {
        let given = Some(Duration::from_s(seconds));
        let wide = Some(Duration::from_day(1.0));
        for options in [
            RecordOptions { step: given, longest_gap: wide, ..RecordOptions::default() },
            RecordOptions { step: wide, longest_gap: given, ..RecordOptions::default() },
        ] {
            match read_with(&text, &options) {
                Ok(_) => assert!(fits, "{seconds}"),
                Err(RecordError::BadDuration { given }) => {
                    assert!(!fits && given.s().to_bits() == seconds.to_bits(), "{seconds}");
                }
                Err(other) => panic!("{seconds}: {other}"),
            }
        }
    }
    for (inh, fits) in [(0.0, false), (-1.0, false), (f64::NAN, false), (f64::INFINITY, false), (1e-3, true)] {
        let options = RecordOptions { highest_intensity: Some(Intensity::from_inh(inh)), ..RecordOptions::default() };
        match read_with(&text, &options) {
            Ok(_) => assert!(fits, "{inh}"),
            Err(found) => assert!(!fits && matches!(found, RecordError::BadIntensity), "{inh}: {found}"),
        }
    }
}

#[test]
fn identity_too_few_rows_for_a_step() {
    assert!(matches!(error(&day("rain_in", "10:00,0.1")), RecordError::StepUnknown));
    assert!(matches!(error(&day("rain_in", "10:00,0.1 10:00,0.1")), RecordError::StepUnknown));
    // dates alone are of days
    let (spans, notes) = read("date,rain_in\n2014-06-03,2.4\n");
    assert_eq!(super::shown(&spans), "00:00-2014-06-04 00:00 0.1");
    assert_eq!((step_of(&notes), notes.convention), ((86_400.0, false), StampConvention::IntervalStarts));
    // a date with its time is none
    assert!(matches!(error("date,rain_in\n2014-06-03 00:00,2.4\n"), RecordError::StepUnknown));
}

#[test]
fn identity_dates_begin_their_day_and_times_end_their_interval() {
    let dates = "date,rain_in\n2014-06-03,2.4\n2014-06-04,0\n2014-06-05,0\n";
    let (spans, notes) = read(dates);
    assert_eq!(super::shown(&spans), "00:00-2014-06-04 00:00 0.1; 2014-06-04 00:00-2014-06-06 00:00 0");
    assert_eq!(notes.convention, StampConvention::IntervalStarts);
    let ends = RecordOptions { convention: Some(StampConvention::IntervalEnds), ..RecordOptions::default() };
    let (spans, notes) = read_with(dates, &ends).unwrap();
    assert_eq!(super::shown(&spans), "2014-06-02 00:00-00:00 0.1; 00:00-2014-06-05 00:00 0");
    assert_eq!(notes.convention, StampConvention::IntervalEnds);
    // one time of day among them, and none is a bare date
    let mixed = dates.replace("2014-06-05", "2014-06-05 00:00");
    assert_eq!(read(&mixed).1.convention, StampConvention::IntervalEnds);
    // a running total of days
    let (spans, notes) = read(&dates.replace("rain_in", "cumulative rain (in)").replace(",0\n", ",4.8\n"));
    assert_eq!(super::shown(&spans), "00:00-2014-06-04 00:00 0.1; 2014-06-04 00:00-2014-06-05 00:00 0");
    assert_eq!(notes.convention, StampConvention::IntervalEnds);
}

#[test]
fn identity_one_date_above_twelve_tells_the_order() {
    let text = |dates: &[&str]| {
        let rows: Vec<String> = dates.iter().map(|date| format!("{date}/2014,0\n")).collect();
        format!("date,rain_in\n{}", rows.concat())
    };
    let first = |dates: &[&str]| read(&text(dates)).1.first.to_string();
    assert_eq!(first(&["6/12", "6/13"]), "2014-06-12 00:00");
    assert_eq!(first(&["12/6", "13/6"]), "2014-06-12 00:00");
    assert_eq!(first(&["12/31"]), "2014-12-31 00:00");
    assert_eq!(first(&["31/12"]), "2014-12-31 00:00");
    assert_eq!(first(&["1/13", "1/14", "x/1", "1/15"]), "2014-01-13 00:00");
    for dates in [["6/12", "6/12"].as_slice(), &["12/12", "12/12"], &["13/13", "14/14"], &["0/6", "1/6"]] {
        let found = error(&text(dates));
        let RecordError::DateOrderUnclear { cell } = found else { panic!("{dates:?}: {found}") };
        assert_eq!(cell, format!("{}/2014", dates[0]));
    }
    let found = error(&text(&["6/12", "6/13", "13/6", "6/14"]));
    let RecordError::DateOrderMixed { line, cell } = found else { panic!("{found}") };
    assert_eq!((line, cell.as_str()), (4, "13/6/2014"));
    // told, the rows are not asked
    for (order, want) in [(DateOrder::MonthFirst, "2014-03-04 00:00"), (DateOrder::DayFirst, "2014-04-03 00:00")] {
        let options = RecordOptions { date_order: Some(order), ..RecordOptions::default() };
        assert_eq!(read_with(&text(&["3/4"]), &options).unwrap().1.first.to_string(), want);
    }
}

#[test]
fn identity_kind_and_unit_are_asked_for_where_they_are_not_said() {
    let rows = "10:00,0 10:05,0.1 10:10,0 10:15,0.2 10:20,-1 10:25,3 10:30,4 10:35,5 10:40,6";
    let first_five = ["0.1", "0.2", "3", "4", "5"];
    let found = error(&day("rain", rows));
    let RecordError::UnitUnknown { column, values } = found else { panic!("{found}") };
    assert_eq!((column.as_str(), values), ("rain", first_five.map(str::to_owned).to_vec()));
    let found = error(&day("total rain (in)", rows));
    let RecordError::KindUnclear { column, values } = found else { panic!("{found}") };
    assert_eq!((column.as_str(), values), ("total rain (in)", first_five.map(str::to_owned).to_vec()));
    // a trace is no figure above zero
    let found = error(&day("rain", "10:00,T 10:05,M 10:10,x 10:15,0.2"));
    let RecordError::UnitUnknown { values, .. } = found else { panic!("{found}") };
    assert_eq!(values, ["0.2"]);
    // given: 100 hundredths of an inch in 5 min are 12 in/h
    let unit = |unit| RecordOptions { unit: Some(unit), ..RecordOptions::default() };
    for (given, shown) in [
        (RainUnit::Inch, "09:55-10:00 0; 10:00-10:05 12; 10:05-10:10 0"),
        (RainUnit::HundredthInch, "09:55-10:00 0; 10:00-10:05 0.12; 10:05-10:10 0"),
        // 1 mm is 1/25.4 in = 0.03937 in; a tenth of it in 5 min 0.0472 in/h
        (RainUnit::Millimetre, "09:55-10:00 0; 10:00-10:05 0.4724; 10:05-10:10 0"),
        (RainUnit::TenthMillimetre, "09:55-10:00 0; 10:00-10:05 0.0472; 10:05-10:10 0"),
    ] {
        let notes = check("rain", "10:00,0 10:05,1 10:10,0", &unit(given), shown, "");
        assert_eq!((notes.unit, notes.kind), (given, RainKind::Depth));
    }
}

#[test]
fn identity_the_user_is_followed_against_the_header() {
    let rows = "10:00,0 10:05,1 10:10,0";
    let given = |kind, unit| RecordOptions { kind, unit, ..RecordOptions::default() };
    let against = "AgainstHeader 1 [1]";
    for (name, options, spans, says) in [
        ("rain (in)", given(None, Some(RainUnit::Inch)), "09:55-10:00 0; 10:00-10:05 12; 10:05-10:10 0", ""),
        ("rain (mm)", given(None, Some(RainUnit::Inch)), "09:55-10:00 0; 10:00-10:05 12; 10:05-10:10 0", against),
        ("rain (in)", given(Some(RainKind::Intensity), None), "09:55-10:00 0; 10:00-10:05 1; 10:05-10:10 0", ""),
        ("rain (in/h)", given(Some(RainKind::Intensity), None), "09:55-10:00 0; 10:00-10:05 1; 10:05-10:10 0", ""),
        ("rain (in/h)", given(Some(RainKind::Depth), None), "09:55-10:00 0; 10:00-10:05 12; 10:05-10:10 0", against),
        (
            "rain (mm/h)",
            given(Some(RainKind::Depth), Some(RainUnit::Inch)),
            "09:55-10:00 0; 10:00-10:05 12; 10:05-10:10 0",
            against,
        ),
        ("rain (in/h)", given(None, None), "09:55-10:00 0; 10:00-10:05 1; 10:05-10:10 0", ""),
    ] {
        let notes = check(name, rows, &options, spans, says);
        assert_eq!(notes.rain_column, name);
    }
}

/// Figures, a row of each minute.
fn figures(values: &[f64]) -> String {
    let rows: Vec<String> =
        values.iter().enumerate().map(|(row, value)| format!("{:02}:{:02},{value}", row / 60, row % 60)).collect();
    day("rain_in", &rows.join(" "))
}

#[test]
fn identity_a_column_that_mostly_rises_may_be_a_total() {
    let rising = |count: usize| (0..count).map(|row| 0.01 * row as f64);
    // twenty rises are asked about, nineteen are not
    let is_asked = |values: &[f64]| match read_with(&figures(values), &RecordOptions::default()) {
        Err(RecordError::KindUnclear { .. }) => true,
        Ok((_, notes)) => {
            assert_eq!(notes.kind, RainKind::Depth);
            false
        }
        Err(other) => panic!("{other}"),
    };
    assert!(is_asked(&rising(21).collect::<Vec<_>>()));
    assert!(!is_asked(&rising(20).collect::<Vec<_>>()));
    // rows that stay are neither; falls of a tenth of the rises are asked about, of more they are not
    let with_falls = |rises: usize, falls: usize| -> Vec<f64> {
        let mut values: Vec<f64> = rising(rises + 1).collect();
        let last = 0.01 * rises as f64;
        values.extend([last; 30]);
        values.extend((1..=falls).map(|fall| last - 0.01 * fall as f64));
        values
    };
    assert!(is_asked(&with_falls(20, 2)));
    assert!(!is_asked(&with_falls(20, 3)));
    assert!(!is_asked(&with_falls(29, 3)));
    assert!(is_asked(&with_falls(30, 3)));
    // asked, and answered
    let options = RecordOptions { kind: Some(RainKind::Cumulative), ..RecordOptions::default() };
    let (spans, _) = read_with(&figures(&rising(21).collect::<Vec<_>>()), &options).unwrap();
    let depth: f64 = spans.iter().map(|span| span.depth().inch()).sum();
    assert!((depth - 0.2).abs() < 1e-12);
    assert!(spans.iter().all(|span| span.rain != SpanRain::Missing));
}

#[test]
fn identity_a_total_of_wet_rows_rises_with_each() {
    let rows = |last: f64| format!("10:00,1 10:05,1.1 10:10,1.2 10:15,1.3 11:00,{last}");
    let (_, notes) = read(&day("cumulative rain (in)", &rows(1.4)));
    assert_eq!(step_of(&notes), (300.0, true));
    // a reading like the one before is a dry row
    let (_, notes) = read(&day("cumulative rain (in)", &rows(1.3)));
    assert_eq!(step_of(&notes), (300.0, false));
}

#[test]
fn identity_newest_first_is_refused() {
    // ten falls for each rise, or more
    let text = |falls: usize, rises: usize| {
        let last = 600 - falls + rises;
        let rows: Vec<String> = (0..=falls)
            .map(|row| 600 - row)
            .chain((0..rises).map(|row| 601 - falls + row))
            .map(|minute| format!("{:02}:{:02},0", minute / 60, minute % 60))
            .collect();
        assert!(last < 700);
        day("rain_in", &rows.join(" "))
    };
    for (falls, rises, backwards) in [(1, 0, true), (10, 1, true), (9, 1, false), (20, 2, true), (19, 2, false)] {
        let options = RecordOptions { step: Some(Duration::from_min(1.0)), ..RecordOptions::default() };
        let found = read_with(&text(falls, rises), &options);
        assert_eq!(matches!(found, Err(RecordError::Backwards)), backwards, "{falls} {rises}");
    }
    let one = RecordOptions { step: Some(Duration::from_min(1.0)), ..RecordOptions::default() };
    assert!(read_with(&day("rain_in", "10:00,0 10:00,0"), &one).is_ok());
    // a time that stays is neither
    let stays = day("rain_in", "10:06,0 10:05,0 10:05,0 10:05,0 10:04,0 10:03,0");
    assert!(matches!(error_with(&stays, &one), RecordError::Backwards));
    assert!(matches!(error_with(&text(3, 0), &RecordOptions::default()), RecordError::Backwards));
}
