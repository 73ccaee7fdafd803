//! How much rain is believed.

use super::{check, read_with};
use crate::hydrology::rain_record::limit::Limit;
use crate::hydrology::rain_record::options::RainUnit;
use crate::hydrology::rain_record::{RecordError, RecordOptions, SkipReason};
use crate::quantity::{Duration, Intensity, RainDepth};
use approx::assert_relative_eq;

#[test]
fn published_the_greatest_rainfalls_are_believed() {
    // the world's records (World Meteorological Organization, World Weather and Climate Extremes Archive; the 42 min of
    // 1947 from Jennings 1950; all from memory): depth in millimetres, time in minutes
    for usual_min in [1.0, 60.0, 1_440.0] {
        let limit = Limit::new(None, RainUnit::Millimetre, Duration::from_min(usual_min));
        for (mm, minutes) in
            [(31.2, 1.0), (305.0, 42.0), (401.0, 60.0), (1_825.0, 1_440.0), (3_930.0, 4_320.0), (4_936.0, 5_760.0)]
        {
            assert!(limit.believes(mm / 1_000.0, minutes * 60.0), "{mm} mm in {minutes} min");
            assert!(!limit.believes(3.0 * mm / 1_000.0, minutes * 60.0), "three times {mm} mm in {minutes} min");
        }
    }
}

#[test]
fn identity_the_envelope_at_its_bounds() {
    // 16.6 in × h^0.475: an hour 16.6 in; 24 h 16.6 × 4.52481 = 75.1118 in; 48 h 16.6 × 6.28912
    // = 104.399 in, and a second more 1.4 times that; 5 min 16.6 × 0.307177 = 5.09914 in; a
    // second, and whatever is shorter, 16.6 × 0.020453 = 0.339519 in
    let inch = |inch: f64| RainDepth::from_inch(inch).m();
    for usual_s in [1.0, 300.0, 3_600.0, 86_400.0] {
        let limit = Limit::new(None, RainUnit::Inch, Duration::from_s(usual_s));
        for (seconds, most) in [
            (0.1, 0.339_519_2),
            (1.0, 0.339_519_2),
            (300.0, 5.099_141),
            (3_600.0, 16.6),
            (86_400.0, 75.111_84),
            (172_800.0, 104.399_3),
            (172_801.0, 146.159_5),
        ] {
            assert!(limit.believes(inch(most * 0.999_99), seconds), "{most} in {seconds} s");
            assert!(!limit.believes(inch(most * 1.000_01), seconds), "{most} in {seconds} s");
        }
    }
    // the user's limit: a figure at it passes, whatever its rounding
    for usual_s in [60.0, 3_600.0, 7_200.0] {
        let limit = Limit::new(Some(Intensity::from_inh(2.0)), RainUnit::Inch, Duration::from_s(usual_s));
        for (seconds, most) in [(60.0, 2.0 / 60.0), (3_600.0, 2.0), (7_200.0, 4.0)] {
            assert!(limit.believes(inch(most * (1.0 + 5e-10)), seconds), "{most} in {seconds} s");
            assert!(!limit.believes(inch(most * (1.0 + 2e-9)), seconds), "{most} in {seconds} s");
        }
    }
}

#[test]
fn identity_early_or_often_is_no_accident() {
    let refuse = |limit: &mut Limit, wet_rows| limit.refuse(7, 1.0, 300.0, wet_rows);
    let of = |highest| Limit::new(highest, RainUnit::Millimetre, Duration::from_min(5.0));
    // among the first hundred wet rows the first one stops, later the third
    for wet_rows in [0, 99] {
        let Err(RecordError::UnitDoubtful { line, depth, interval, unit }) = refuse(&mut of(None), wet_rows) else {
            panic!("{wet_rows}")
        };
        assert_eq!((line, unit, interval), (7, RainUnit::Millimetre, Duration::from_min(5.0)));
        assert_relative_eq!(depth.m(), 1.0);
    }
    let mut late = of(None);
    assert!(refuse(&mut late, 100).is_ok());
    assert!(refuse(&mut late, 100).is_ok());
    assert!(refuse(&mut late, 100).is_err());
    let mut told = of(Some(Intensity::from_mmh(1.0)));
    for _ in 0..5 {
        assert!(refuse(&mut told, 0).is_ok());
    }
}

#[test]
fn identity_more_than_falls_anywhere() {
    // 26.5 m in a year or less, 13 m in each further one (365.25 days)
    let limit = Limit::new(None, RainUnit::Inch, Duration::from_h(1.0));
    for (metres, days) in [(26.5, 0.0), (26.5, 10.0), (26.5, 365.25), (33.0, 547.875), (39.5, 730.5)] {
        let total = |share: f64| limit.check_total(3, RainDepth::from_m(metres * share), Duration::from_day(days));
        assert!(total(0.999_999).is_ok(), "{metres} m in {days} days");
        let Err(RecordError::TotalDoubtful { line, depth, time, unit }) = total(1.000_001) else {
            panic!("{metres} m in {days} days")
        };
        assert_eq!((line, time, unit), (3, Duration::from_day(days), RainUnit::Inch));
        assert_relative_eq!(depth.m(), metres, max_relative = 1e-5);
    }
    let told = Limit::new(Some(Intensity::from_mmh(1.0)), RainUnit::Inch, Duration::from_h(1.0));
    assert!(told.check_total(3, RainDepth::from_m(1e6), Duration::from_day(1.0)).is_ok());
}

#[test]
fn identity_rows_above_the_users_limit_are_missing() {
    // 1.2 in/h is 0.1 in in 5 min
    let options = RecordOptions { highest_intensity: Some(Intensity::from_inh(1.2)), ..RecordOptions::default() };
    let notes = check(
        "rain_in",
        "10:00,0 10:05,0.1 10:10,0.11 10:15,0.05 10:20,99 10:25,99 10:30,0",
        &options,
        "09:55-10:00 0; 10:00-10:05 1.2; 10:05-10:10 missing; 10:10-10:15 0.6; 10:15-10:25 missing; 10:25-10:30 0",
        "ImpossibleRate 3 [4, 6, 7] 198.11",
    );
    assert_eq!((notes.rows, notes.used, notes.wet_rows), (7, 4, 2));
    // intensities likewise: the depth lost is 1.21 in/h × 5 min = 0.100833 in
    check(
        "rain (in/h)",
        "10:00,0 10:05,1.2 10:10,1.21 10:15,0",
        &options,
        "09:55-10:00 0; 10:00-10:05 1.2; 10:05-10:10 missing; 10:10-10:15 0",
        "ImpossibleRate 1 [4] 0.100833",
    );
}

/// Rows of each minute, wet and dry by turns; these figures in these rows.
fn minutes(rows: usize, odd: &[(usize, f64)]) -> String {
    let mut text = String::from("time,rain_in\n");
    for row in 0..rows {
        let rain =
            odd.iter().find(|(at, _)| *at == row).map_or(if row % 2 == 1 { 0.01 } else { 0.0 }, |(_, rain)| *rain);
        text += &format!("2014-06-03 {:02}:{:02},{rain}\n", row / 60, row % 60);
    }
    text
}

#[test]
fn identity_impossible_rain_is_a_slip_when_late_and_rare() {
    let plain = RecordOptions::default();
    // in a minute no more than 16.6 × (1/60)^0.475 = 2.37 in; rows 1, 3 … 199 are the first hundred wet rows
    for (odd, stops) in [
        (vec![(199, 3.0)], Some(201)),
        (vec![(200, 3.0)], None),
        (vec![(200, 3.0), (300, 3.0)], None),
        (vec![(200, 3.0), (300, 3.0), (310, 2.3)], None),
        (vec![(200, 3.0), (300, 3.0), (310, 2.4)], Some(312)),
    ] {
        let text = minutes(400, &odd);
        match (read_with(&text, &plain), stops) {
            (Ok((_, notes)), None) => {
                let refused = odd.iter().filter(|(_, rain)| *rain > 2.37).count();
                assert_eq!(notes.skipped_for(SkipReason::ImpossibleRate), refused as u64, "{odd:?}");
            }
            (Err(RecordError::UnitDoubtful { line, .. }), Some(stop)) => assert_eq!(line, stop, "{odd:?}"),
            (found, _) => panic!("{odd:?}: {found:?}"),
        }
    }
}

#[test]
fn identity_a_total_beyond_all_places_stops_the_reading() {
    // 14 in in each of 80 hours: no hour above 16.6 in, together 28.1 m in 79 h
    let mut text = String::from("time,rain_in\n");
    for hour in 0..80 {
        text += &format!("2014-06-{:02} {:02}:00,{}\n", 3 + hour / 24, hour % 24, if hour == 5 { 0 } else { 14 });
    }
    let found = read_with(&text, &RecordOptions::default());
    let Err(RecordError::TotalDoubtful { line, depth, time, unit }) = found else { panic!("{found:?}") };
    assert_eq!((line, time, unit), (81, Duration::from_h(79.0), RainUnit::Inch));
    assert_relative_eq!(depth.inch(), 14.0 * 79.0, max_relative = 1e-9);
    // hundredths of an inch are believed
    let text = text.replace("rain_in", "rain (0.01 in)");
    assert!(read_with(&text, &RecordOptions::default()).is_ok());
}
