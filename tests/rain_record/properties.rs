//! What must hold for any record, and for any text.

use crate::read_with;
use approx::relative_eq;
use proptest::prelude::*;
use sumpwright::hydrology::{
    DateOrder, Moment, RainKind, RainUnit, RecordNotes, RecordOptions, Span, SpanRain, StampConvention,
};
use sumpwright::quantity::{Duration, Intensity, RainDepth};

/// What must hold of all spans together.
fn check(spans: &[Span], notes: &RecordNotes) -> Result<(), TestCaseError> {
    for span in spans {
        prop_assert!(span.start < span.end, "{:?}", span);
        if let SpanRain::Fell(rain) = span.rain {
            prop_assert!(rain.is_finite() && rain >= Intensity::ZERO, "{:?}", span);
        }
    }
    for pair in spans.windows(2) {
        prop_assert_eq!(pair[0].end, pair[1].start);
        prop_assert!(pair[0].rain != pair[1].rain, "{:?}", pair);
    }
    let total: RainDepth = spans.iter().map(Span::depth).sum();
    prop_assert!(
        relative_eq!(total.m(), notes.total_depth.m(), max_relative = 1e-9, epsilon = 1e-15),
        "{} of spans, {} in the notes",
        total.m(),
        notes.total_depth.m()
    );
    let missing: Duration = spans.iter().filter(|span| span.rain == SpanRain::Missing).map(Span::duration).sum();
    prop_assert_eq!(missing, notes.missing_time);
    let skipped: u64 = notes.skipped.iter().map(|skipped| skipped.count).sum();
    prop_assert_eq!(notes.used + skipped, notes.rows, "each row is used or counted: {:?}", notes);
    Ok(())
}

fn options() -> impl Strategy<Value = RecordOptions> {
    let kind = prop::option::of(prop::sample::select(vec![RainKind::Depth, RainKind::Intensity, RainKind::Cumulative]));
    let convention =
        prop::option::of(prop::sample::select(vec![StampConvention::IntervalEnds, StampConvention::IntervalStarts]));
    let step = prop::option::of((1_u32..20_000).prop_map(|seconds| Duration::from_s(f64::from(seconds))));
    (kind, convention, step.clone(), step, prop::option::of(any::<bool>()), any::<bool>(), any::<bool>()).prop_map(
        |(kind, convention, step, longest_gap, wet_rows_only, numbered, believing)| RecordOptions {
            time_column: numbered.then(|| "1".into()),
            rain_column: numbered.then(|| "2".into()),
            kind,
            unit: Some(RainUnit::Millimetre),
            step,
            longest_gap,
            convention,
            date_order: Some(DateOrder::MonthFirst),
            station: None,
            wet_rows_only,
            highest_intensity: believing.then(|| Intensity::from_mmh(5_000.0)),
        },
    )
}

/// Rows some seconds apart, in hundredths of a millimetre; now and then one without rain told.
fn rows() -> impl Strategy<Value = Vec<(i64, Option<u32>)>> {
    let apart = prop_oneof![8 => Just(300_i64), 1 => 0..900_i64, 1 => -9_000..200_000_i64];
    let rain = prop_oneof![5 => Just(Some(0)), 4 => (0..300_u32).prop_map(Some), 1 => Just(None)];
    prop::collection::vec((apart, rain), 2..60)
}

fn text(rows: &[(i64, Option<u32>)]) -> String {
    let mut text = String::from("time,rain_mm\n");
    let mut at = Moment::from_civil(2014, 6, 3, 0, 0, 0).unwrap().seconds();
    for (apart, rain) in rows {
        at += apart;
        let cell = rain.map_or("NA".to_owned(), |rain| format!("{}.{:02}", rain / 100, rain % 100));
        text += &format!("{},{cell}\n", Moment::from_seconds(at));
    }
    text
}

proptest! {
    #[test]
    fn identity_all_rain_is_in_a_span_or_counted(rows in rows(), options in options()) {
        let text = text(&rows);
        if let Ok((spans, notes)) = read_with(text.as_bytes(), &options) {
            check(&spans, &notes)?;
            prop_assert_eq!(notes.rows, rows.len() as u64);
            if notes.kind == RainKind::Depth {
                let refused: RainDepth = notes.skipped.iter().map(|skipped| skipped.depth).sum();
                let all: f64 = rows.iter().filter_map(|row| row.1).map(|rain| f64::from(rain) / 100.0).sum();
                prop_assert!(
                    relative_eq!(notes.total_depth.mm() + refused.mm(), all, max_relative = 1e-9, epsilon = 1e-12),
                    "{} + {} of {all} mm", notes.total_depth.mm(), refused.mm()
                );
            }
        }
    }

    #[test]
    fn identity_a_rising_total_keeps_its_rise(rises in prop::collection::vec((prop_oneof![9 => Just(300_i64), 1 => 1..100_000_i64], 0..500_u32), 2..60)) {
        let mut total = 0;
        let rows: Vec<(i64, Option<u32>)> = rises.iter().map(|(apart, rise)| { total += rise; (*apart, Some(total)) }).collect();
        let options = RecordOptions { kind: Some(RainKind::Cumulative), ..RecordOptions::default() };
        if let Ok((spans, notes)) = read_with(text(&rows).as_bytes(), &options) {
            check(&spans, &notes)?;
            if notes.skipped.is_empty() {
                let rise = f64::from(total - rises[0].1) / 100.0;
                prop_assert!(relative_eq!(notes.total_depth.mm(), rise, max_relative = 1e-9, epsilon = 1e-9));
            }
        }
    }

    #[test]
    fn identity_any_bytes_are_read_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..400), options in options()) {
        if let Ok((spans, notes)) = read_with(&bytes, &options) {
            check(&spans, &notes)?;
        }
    }

    #[test]
    fn identity_any_text_of_its_letters_is_read_or_refused(
        text in "(time|date|hour|rain|rain_mm|,|;|\t){0,6}\n([0-9]{1,4}|[-/:., T\"#+AMPZ\n]|2014-06-0[1-9] 0[0-9]:[0-5]0,[0-9]\n){0,60}",
        options in options(),
    ) {
        if let Ok((spans, notes)) = read_with(text.as_bytes(), &options) {
            check(&spans, &notes)?;
        }
    }

    #[test]
    fn identity_a_damaged_record_is_read_or_refused(
        rows in rows(),
        damage in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>(), 0..4_u8), 1..8),
        options in options(),
    ) {
        let mut bytes = text(&rows).into_bytes();
        for (place, byte, how) in damage {
            if bytes.is_empty() { break; }
            let at = place.index(bytes.len());
            match how {
                0 => bytes[at] = byte,
                1 => bytes.insert(at, byte),
                2 => { bytes.remove(at); }
                _ => bytes.truncate(at),
            }
        }
        if let Ok((spans, notes)) = read_with(&bytes, &options) {
            check(&spans, &notes)?;
        }
    }
}
