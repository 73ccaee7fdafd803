//! What stops the reading of a whole record.

use super::{error, error_with, read, read_with};
use crate::hydrology::rain_record::{
    Moment, RainKind, RainUnit, RecordError, RecordOptions, SkipReason, StampConvention,
};
use crate::quantity::{Duration, RainDepth};

/// Rows of each minute; the rain, or the whole row, as a function of its number.
fn minutes(rows: i64, row: impl Fn(i64, Moment) -> String) -> String {
    let start = Moment::from_civil(2014, 6, 3, 0, 0, 0).unwrap().seconds();
    let rows: Vec<String> = (0..rows).map(|number| row(number, Moment::from_seconds(start + number * 60))).collect();
    format!("time,rain_in\n{}\n", rows.join("\n"))
}

#[test]
fn identity_many_rows_of_one_trouble_stop_at_the_end() {
    // ten or more that are over a tenth of all rows
    for (bad, rows, stops) in [(9, 20, false), (10, 99, true), (10, 100, false), (11, 109, true), (12, 120, false)] {
        let text = minutes(rows, |number, at| format!("{at},{}", if number < bad { "wet" } else { "0" }));
        match (read_with(&text, &RecordOptions::default()), stops) {
            (Ok((_, notes)), false) => assert_eq!(notes.skipped_for(SkipReason::RainUnreadable), bad as u64),
            (Err(RecordError::TooManyRefused { why, count, rows: all, line }), true) => {
                assert_eq!((why, count, all, line), (SkipReason::RainUnreadable, bad as u64, rows as u64, 2));
            }
            (found, _) => panic!("{bad} of {rows}: {found:?}"),
        }
    }
    // each kind by itself
    let text = minutes(100, |number, at| match number {
        5..14 => format!("{at},wet"),
        20..29 => format!("{at},-1"),
        40..49 => format!("x{at},0"),
        _ => format!("{at},0"),
    });
    let (_, notes) = read(&text);
    assert_eq!((notes.rows, notes.used), (100, 73));
    // missing rain may be a winter's
    let text = minutes(100, |number, at| format!("{at},{}", if number > 20 { "M" } else { "0" }));
    assert_eq!(read(&text).1.skipped_for(SkipReason::RainMissing), 79);
    // impossible rates have a rule of their own, where the user set the limit none
    let limit = Some(crate::quantity::Intensity::from_inh(1.0));
    let text = minutes(100, |number, at| format!("{at},{}", if number > 20 { "1" } else { "0" }));
    let (_, notes) = read_with(&text, &RecordOptions { highest_intensity: limit, ..RecordOptions::default() }).unwrap();
    assert_eq!(notes.skipped_for(SkipReason::ImpossibleRate), 79);
}

#[test]
fn identity_on_the_way_more_than_half_stop_the_reading() {
    // every 16 384 rows: 8 193 of them stop there, 8 192 go on to the end, where a tenth is too many
    let text = |bad: i64| minutes(20_000, move |number, at| format!("{at},{}", if number < bad { "wet" } else { "0" }));
    for (bad, rows, line) in [(8_193, 16_384, 2), (8_192, 20_000, 2)] {
        let found = error(&text(bad));
        let RecordError::TooManyRefused { count, rows: all, line: first, .. } = found else { panic!("{found}") };
        assert_eq!((count, all, first), (bad as u64, rows, line), "{bad}");
    }
    let (_, notes) = read(&text(2_000));
    assert_eq!((notes.rows, notes.used), (20_000, 18_000));
}

#[test]
fn identity_many_gaps_stop_the_reading() {
    // a hundred or more gaps before over a tenth of all rows
    let text = |gaps: i64, rows: i64| {
        let start = Moment::from_civil(2014, 6, 3, 0, 0, 0).unwrap().seconds();
        // each of the last rows comes three minutes after the row above
        let at = |row: i64| start + 60 * (row + 2 * (row - (rows - 1 - gaps)).max(0));
        let rows: Vec<String> = (0..rows).map(|row| format!("{},0", Moment::from_seconds(at(row)))).collect();
        format!("time,rain_in\n{}\n", rows.join("\n"))
    };
    for (gaps, rows, stops) in [(99, 300, false), (100, 300, true), (100, 999, true), (100, 1_000, false)] {
        match (read_with(&text(gaps, rows), &RecordOptions::default()), stops) {
            (Ok((_, notes)), false) => assert_eq!(notes.gaps, gaps as u64),
            (Err(RecordError::ManyGaps { gaps: found, rows: all, longest_gap }), true) => {
                assert_eq!((found, all, longest_gap), (gaps as u64, rows as u64, Duration::from_s(90.0)));
            }
            (found, _) => panic!("{gaps} of {rows}: {found:?}"),
        }
    }
    // not where the longest gap was given, whatever it is
    let given = RecordOptions { longest_gap: Some(Duration::from_s(100.0)), ..RecordOptions::default() };
    let (_, notes) = read_with(&text(100, 300), &given).unwrap();
    assert_eq!((notes.gaps, notes.missing_time), (100, Duration::from_min(200.0)));
}

#[test]
fn identity_a_record_without_a_row_of_use() {
    let station = |name: &str| RecordOptions {
        station: Some(("gauge".into(), name.into())),
        step: Some(Duration::from_h(1.0)),
        ..RecordOptions::default()
    };
    let text = "gauge,time,rain_in\nA,2014-06-03 01:00,0\nB,2014-06-03 01:00,0.3\nA,2014-06-03 02:00,0.1\n";
    let found = error_with(text, &station("C"));
    let RecordError::NoSuchStation { station: asked } = found else { panic!("{found}") };
    assert_eq!(asked, "C");
    let (spans, notes) = read_with(text, &station("A")).unwrap();
    assert_eq!(super::shown(&spans), "00:00-01:00 0; 01:00-02:00 0.1");
    assert_eq!((notes.rows, notes.used, notes.other_stations), (2, 2, 1));
    for text in ["time,rain_in\n", "time,rain_in\n\n# x\n", "time,rain_in\n,\n,\n"] {
        assert!(matches!(error(text), RecordError::HeaderOnly), "{text}");
    }
    for text in ["", "\n\n", "# time,rain_in\n"] {
        assert!(matches!(error(text), RecordError::Empty), "{text}");
    }
    // one reading of a running total is of use, though no rain is known from it
    let hour = RecordOptions { step: Some(Duration::from_h(1.0)), ..RecordOptions::default() };
    let (spans, notes) = read_with("time,cumulative rain (in)\n2014-06-03 01:00,7\n", &hour).unwrap();
    assert_eq!((spans.len(), notes.rows, notes.used), (0, 1, 1));
}

#[test]
fn regress_words_of_an_error_say_what_to_do() {
    let refused = |why| RecordError::TooManyRefused { why, count: 12, rows: 100, line: 7 }.to_string();
    for (why, hint) in [
        (SkipReason::TimeBack, "several stations"),
        (SkipReason::TimeDoubled, "several stations"),
        (SkipReason::TimeDoubledOtherRain, "several stations"),
        (SkipReason::TimeUnreadable, "the order of day and month, the right one?"),
        (SkipReason::RainUnreadable, "Is the column of rain the right one?"),
        (SkipReason::NegativeRain, "Is it a column of rain?"),
        (SkipReason::TooManyCells, "decimal commas"),
    ] {
        let text = refused(why);
        assert!(text.starts_with(&format!("12 of 100 rows were refused, first at line 7: {why}. ")), "{text}");
        assert!(text.contains(hint), "{text}");
    }
    assert!(refused(SkipReason::CutOff).ends_with("line cut off"));
    // figures to one decimal, in the unit of the file: 1 in is 25.4 mm, 90 s are 1.5 min
    let doubtful = |unit| RecordError::UnitDoubtful {
        line: 3,
        depth: RainDepth::from_inch(99.99),
        interval: Duration::from_s(90.0),
        unit,
    };
    for (unit, figure, name) in [
        (RainUnit::Inch, "100 in", "(in)"),
        (RainUnit::HundredthInch, "100 in", "(0.01 in)"),
        (RainUnit::Millimetre, "2539.7 mm", "(mm)"),
        (RainUnit::TenthMillimetre, "2539.7 mm", "(0.1 mm)"),
    ] {
        let text = doubtful(unit).to_string();
        assert!(text.starts_with(&format!("line 3: {figure} of rain in 1.5 min is more")), "{text}");
        assert!(text.contains(name), "{text}");
    }
    let gaps = RecordError::ManyGaps { gaps: 120, rows: 400, longest_gap: Duration::from_min(7.25) }.to_string();
    assert!(gaps.starts_with("120 of 400 rows come more than 7.3 min after the row above"), "{gaps}");
}

#[test]
fn regress_words_for_kind_unit_and_convention() {
    assert_eq!(
        [RainKind::Depth, RainKind::Intensity, RainKind::Cumulative].map(|kind| kind.to_string()),
        ["depth", "intensity", "running total"]
    );
    assert_eq!(StampConvention::IntervalEnds.to_string(), "a row's interval ends at its time");
    assert_eq!(StampConvention::IntervalStarts.to_string(), "a row's interval starts at its time");
    // 1 in is 25.4 mm (exact, 1959)
    for (unit, mm) in [
        (RainUnit::Inch, 25.4),
        (RainUnit::Millimetre, 1.0),
        (RainUnit::HundredthInch, 0.254),
        (RainUnit::TenthMillimetre, 0.1),
    ] {
        assert!((unit.size().mm() - mm).abs() < 1e-12, "{unit}");
    }
}
