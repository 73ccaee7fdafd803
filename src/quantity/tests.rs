//! What the tables of `tests/quantity_reading.rs` do not reach: units by themselves, bounds of what is printed, products.
#![allow(clippy::unwrap_used, clippy::panic, clippy::float_cmp, reason = "a test fails by panicking")]

use super::units::{self, UNITS, capital_matters, find, imperial, metric, nearest, normal, printed};
use super::{
    Amount, Area, Dimension, Duration, Flow, Head, Intensity, Length, Level, Measure, Power, Pressure, ReadError, Real,
    Slope, Temperature, UnitSystem, Velocity, Viscosity, Volume, read, read_pair, read_si, read_size,
};
use approx::assert_relative_eq;

#[test]
fn identity_a_unit_as_printed_is_read_as_itself() {
    for unit in UNITS {
        let found = find(&normal(unit.symbol)).map(|found| found.symbol);
        assert_eq!(found, Some(unit.symbol));
        assert_eq!(printed(unit.symbol).map(|found| found.symbol), found);
        assert!(!imperial(&normal(unit.symbol)) && !capital_matters(unit.symbol), "{}", unit.symbol);
    }
}

/// Each amount as printed, in US and in metric units.
#[track_caller]
fn prints(rows: &[(Amount, &str, &str)]) {
    for (amount, us, metric) in rows {
        assert_eq!(amount.show(UnitSystem::Us), *us, "{amount:?}");
        assert_eq!(amount.show(UnitSystem::Metric), *metric, "{amount:?}");
    }
}

#[test]
fn identity_amounts_are_printed_in_the_unit_of_their_use() {
    let inch = Length::from_inch;
    let square_inch = |count: f64| inch(count) * inch(1.0);
    let a_day = |metres: f64| Velocity::from_si(metres / 86_400.0);
    prints(&[
        // 0.12192 m is 0.4 ft; 62 in² are 400.0 cm²; 5.5 ft³ are 0.15574 m³; 3/16 in are 4.7625 mm
        (Amount::seepage(a_day(0.121_92)), "0.4 ft/day", "0.12 m/day"),
        (Amount::seepage(a_day(30.48)), "100 ft/day", "30 m/day"),
        (Amount::opening(square_inch(62.0)), "62 in2", "400 cm2"),
        (Amount::opening(square_inch(12_345.0)), "12300 in2", "79600 cm2"),
        (Amount::solid(Volume::from_si(0.155_74)), "5.5 ft3", "0.16 m3"),
        (Amount::drill(inch(0.1875)), "3/16 in", "4.8 mm"),
        (Amount::bore(inch(0.1875)), "0.188 in", "4.8 mm"),
        // what seeps is slower than 1e-4 m/s, 8.64 m a day; what is faster than 100 m/s is a wave
        (Amount::of(Velocity::from_si(1e-4)), "0.00 ft/s", "0.00 m/s"),
        (Amount::of(Velocity::from_si(0.99e-4)), "28 ft/day", "8.6 m/day"),
        (Amount::of(Velocity::from_si(-0.5e-4)), "-14 ft/day", "-4.3 m/day"),
        (Amount::of(Velocity::ZERO), "0.00 ft/s", "0.00 m/s"),
        (Amount::of(Velocity::from_si(100.0)), "328 ft/s", "100 m/s"),
        (Amount::of(Velocity::from_si(99.99)), "328.1 ft/s", "99.99 m/s"),
        (Amount::of(Velocity::from_si(1_200.0)), "3937 ft/s", "1200 m/s"),
        // 100 in are 2.54 m: beyond, nobody says inches
        (Amount::small(inch(100.0)), "100 in", "2540 mm"),
        (Amount::small(Length::from_m(2.56)), "8.4 ft", "2.6 m"),
        (Amount::small(Length::from_m(-2.56)), "-8.4 ft", "-2.6 m"),
        (Amount::of(Volume::from_si(0.999)), "264 gal", "999 L"),
        (Amount::of(Volume::from_si(1.0)), "264 gal", "1 m3"),
        (Amount::of(Power::from_w(9_999.4)), "9999 W", "9999 W"),
        (Amount::of(Power::from_w(10_000.0)), "10 kW", "10 kW"),
        (Amount::of(Viscosity::from_m2s(0.0)), "0 m2/s", "0 m2/s"),
        (Amount::of(Viscosity::from_m2s(-9.999e-7)), "-1.00e-6 m2/s", "-1.00e-6 m2/s"),
    ]);
    for (seconds, text) in [
        (0.0, "0 s"),
        (0.94, "0.94 s"),
        (0.949, "0.95 s"),
        (0.95, "1 s"),
        (1.04, "1 s"),
        (9.94, "9.9 s"),
        (9.95, "10 s"),
        (89.99, "90 s"),
        (90.0, "1.5 min"),
        (5_399.0, "90 min"),
        (5_400.0, "1.5 h"),
        (172_799.0, "48 h"),
        (172_800.0, "2 days"),
    ] {
        prints(&[(Amount::of(Duration::from_s(seconds)), text, text)]);
    }
}

#[test]
fn identity_bounds_are_rounded_to_the_safe_side() {
    let inch = Length::from_inch;
    prints(&[
        // 121.75 ft are 37.1094 m; 419.354 mm are 16.51 in
        (Amount::length_at_least(Length::from_ft(121.75)), "122 ft", "37.2 m"),
        (Amount::length_at_least(Length::from_ft(122.0)), "122 ft", "37.2 m"),
        (Amount::at_most(Length::from_ft(121.75)), "121 ft", "37.1 m"),
        (Amount::at_most(Length::from_ft(-0.5)), "-1 ft", "-0.2 m"),
        (Amount::small_at_least(inch(16.51)), "16.6 in", "420 mm"),
        (Amount::small_at_least(inch(16.5)), "16.5 in", "420 mm"),
        (Amount::small_at_most(inch(16.51)), "16.5 in", "419 mm"),
        (Amount::small_at_least(inch(150.01)), "150.1 in", "3811 mm"),
        // a level in its last place: 96.301 ft are 29.3525 m, 96.309 ft 29.3550 m
        (Amount::at_least(Level::from_ft(96.301)), "96.31 ft", "29.36 m"),
        (Amount::at_least(Level::from_ft(96.3)), "96.30 ft", "29.36 m"),
        (Amount::level_at_most(Level::from_ft(96.309)), "96.30 ft", "29.35 m"),
        (Amount::level_at_most(Level::from_ft(-96.301)), "-96.31 ft", "-29.36 m"),
    ]);
    // a digit gained or lost on the way is none: a millionth of the last place
    for (ft, up, down) in [
        (42.000_000_5, "42 ft", "42 ft"),
        (42.000_005, "43 ft", "42 ft"),
        (41.999_999_5, "42 ft", "42 ft"),
        (41.999_995, "42 ft", "41 ft"),
    ] {
        assert_eq!(Amount::length_at_least(Length::from_ft(ft)).show(UnitSystem::Us), up, "{ft}");
        assert_eq!(Amount::at_most(Length::from_ft(ft)).show(UnitSystem::Us), down, "{ft}");
    }
}

#[test]
fn identity_drills_are_whole_sixty_fourths_below_two_inches() {
    for (inches, label) in [
        (1.0 / 64.0, "1/64 in"),
        (63.0 / 64.0, "63/64 in"),
        (65.0 / 64.0, "1-1/64 in"),
        (127.0 / 64.0, "1-63/64 in"),
        (2.0, "2.000 in"),
        (0.5 / 64.0, "0.008 in"),
        (0.187_5 + 1e-9, "3/16 in"),
        (0.187_6, "0.188 in"),
        (-0.187_5, "-0.188 in"),
    ] {
        assert_eq!(Amount::drill(Length::from_inch(inches)).show(UnitSystem::Us), label, "{inches}");
    }
}

#[test]
fn published_products_of_quantities() {
    // an inch of rain an hour on an acre is 1.0083 cubic feet a second (43 560 / 43 200)
    let runoff = Intensity::from_inh(1.0) * Area::from_acre(1.0);
    assert_relative_eq!(runoff.si(), 43_560.0 / 43_200.0 * 0.3048 * 0.3048 * 0.3048, max_relative = 1e-12);
    let foot = Length::from_ft(1.0);
    assert_relative_eq!((foot * Length::from_inch(6.0)).si(), 0.5 * 0.3048 * 0.3048, max_relative = 1e-12);
    assert_relative_eq!((Area::from_ft2(6.0) / Length::from_ft(2.0)).ft(), 3.0, max_relative = 1e-12);
    assert_relative_eq!((Slope::from_percent(2.0) * Length::from_ft(50.0)).ft(), 1.0, max_relative = 1e-12);
    assert_relative_eq!((Level::from_ft(101.0) - Level::from_ft(98.5)).ft(), 2.5, max_relative = 1e-12);
    assert_relative_eq!((Level::from_ft(101.0) + foot).ft(), 102.0, max_relative = 1e-12);
    assert_relative_eq!((Level::from_ft(101.0) - foot).ft(), 100.0, max_relative = 1e-12);
    assert_eq!(Head::from(foot).ft(), 1.0);
    assert_eq!(Length::from(Head::from_ft(3.0)).ft(), 3.0);
    assert_eq!(Length::from(super::RainDepth::from_inch(2.0)).inch(), 2.0);
    // a circle of 2 m across has π m²
    assert_relative_eq!(Length::from_m(2.0).circle().si(), std::f64::consts::PI, max_relative = 1e-12);
    assert_relative_eq!(Area::from_m2(std::f64::consts::PI).diameter().m(), 2.0, max_relative = 1e-12);
    // 60 F is 15.556 C; 62.367 lb/ft³ of water make 0.43310 psi a foot, 2.3089 ft a psi
    assert_relative_eq!(Temperature::from_fahrenheit(60.0).celsius(), 15.555_555_6, max_relative = 1e-8);
    assert_relative_eq!(Temperature::from_celsius_const(100.0).fahrenheit(), 212.0, max_relative = 1e-12);
    assert_relative_eq!(Pressure::of_head(Head::from(foot)).psi(), 0.433_10, max_relative = 2e-5);
    assert_relative_eq!(Pressure::from_psi(1.0).head().ft(), 2.308_9, max_relative = 2e-5);
    assert_relative_eq!(Slope::of(Length::from_m(1.0), Length::from_m(50.0)).percent(), 2.0, max_relative = 1e-12);
    for run in [0.0, -1.0] {
        assert_eq!(Slope::of(Length::from_m(1.0), Length::from_m(run)).ratio(), 0.0);
    }
    assert_relative_eq!((Flow::from_gpm(3.0) * Duration::from_min(2.0)).gal(), 6.0, max_relative = 1e-12);
}

#[test]
fn regress_a_comma_in_a_metric_number_is_asked_about() {
    for symbol in [
        "m",
        "mm",
        "cm",
        "m2",
        "cm2",
        "mm2",
        "L",
        "m3",
        "L/s",
        "L/min",
        "L/h",
        "m3/h",
        "m3/s",
        "m3/day",
        "m/s",
        "cm/s",
        "mm/s",
        "um/s",
        "m/day",
        "mm/h",
        "cm/h",
        "mm/day",
        "cm/day",
        "m of water",
        "mm of water",
        "kPa",
        "bar",
        "Pa",
        "mm/m",
        "cm/m",
        "m/m",
        "kg",
        "N",
        "kN",
        "W",
        "kW",
        "kg/m3",
        "m2/s",
        "mm2/s",
    ] {
        assert!(metric(symbol), "{symbol}");
    }
    for symbol in [
        "ft",
        "in",
        "yd",
        "ft2",
        "acre",
        "in2",
        "yd2",
        "gal",
        "ft3",
        "yd3",
        "in3",
        "gpm",
        "ft3/s",
        "ft3/min",
        "gph",
        "gpd",
        "ft/s",
        "ft/min",
        "ft/day",
        "in/h",
        "in/day",
        "ft of water",
        "in of water",
        "psi",
        "s",
        "min",
        "h",
        "day",
        "yr",
        "F",
        "%",
        "in/ft",
        "ft/ft",
        "in/in",
        "lb",
        "hp",
        "lb/ft3",
        "ft2/s",
    ] {
        assert!(!metric(symbol), "{symbol}");
    }
    let refused = read_si("1,250 L", Dimension::Volume);
    let Err(ReadError::CommaInMetric { number, thousands, decimal, at }) = &refused else { panic!("{refused:?}") };
    assert_eq!((number.as_str(), thousands.as_str(), decimal.as_str()), ("1,250", "1250 L", "1.250 L"));
    assert_eq!(at, &(0..5));
    let error = refused.unwrap_err();
    assert_eq!(error.hint().unwrap(), "write `1250 L`, or `1.250 L`");
    assert_eq!(error.span(), Some(0..5));
    assert!(matches!(read_si("1,250 L/min", Dimension::Flow), Err(ReadError::CommaInMetric { .. })));
    // two commas part thousands only
    assert_relative_eq!(read::<Volume>("1,250,000 L").unwrap().si(), 1_250.0, max_relative = 1e-12);
    assert_relative_eq!(read::<Flow>("1,440 gpd").unwrap().gpm(), 1.0, max_relative = 1e-12);
}

#[test]
fn identity_units_are_found_however_they_are_written() {
    for (text, plain) in [
        ("FT.", "ft"),
        ("ft²", "ft2"),
        ("m³", "m3"),
        ("ft^2", "ft2"),
        ("gal  per\u{a0}min", "gal/min"),
        ("in. / hr.", "in/hr"),
        ("''", "\""),
        ("ºF", "°f"),
        (" sq.  ft. ", "sq ft"),
    ] {
        assert_eq!(normal(text), plain, "{text}");
    }
    for (text, symbol) in [
        ("feet", Some("ft")),
        ("lin ft", Some("ft")),
        ("°f", Some("F")),
        ("degrees celsius", Some("C")),
        ("degree f", Some("F")),
        ("deg c", Some("C")),
        ("degc", Some("C")),
        ("degrees ft", None),
        ("°", None),
        ("gallons/minute", Some("gpm")),
        ("litres/hour", Some("L/h")),
        ("gallons/foot", None),
        ("miles/hour", None),
        ("feet of water", Some("ft of water")),
        ("m h2o", Some("m of water")),
        ("inches of h2o", Some("in of water")),
        ("ft head", Some("ft of water")),
        ("mm of head", Some("mm of water")),
        ("in wc", Some("in of water")),
        ("gpm of water", None),
        ("furlong", None),
    ] {
        assert_eq!(find(text).map(|unit| unit.symbol), symbol, "{text}");
    }
    for (text, matters) in [
        ("M", true),
        ("M3/h", true),
        ("Mm", true),
        ("Mm2", true),
        ("MM", false),
        ("Mmm", false),
        ("Minutes", false),
        ("m", false),
        ("", false),
        ("GPM", false),
    ] {
        assert_eq!(capital_matters(text), matters, "{text}");
    }
    for (text, yes) in [
        ("imp gal", true),
        ("imperial gallons", true),
        ("uk gal", true),
        ("igpm", true),
        ("igph", true),
        ("impgal/min", true),
        ("gal", false),
        ("impeller", false),
        ("uke", false),
    ] {
        assert_eq!(imperial(text), yes, "{text}");
    }
}

#[test]
fn identity_a_misspelt_unit_is_guessed_where_one_is_near() {
    let lengths = units::asked(Dimension::Length).accepted;
    let flows = units::asked(Dimension::Flow).accepted;
    for (text, accepted, guess) in [
        // one letter of up to four, two of more
        ("gpn", flows, Some("gpm")),
        ("gxn", flows, None),
        ("feat", lengths, Some("ft")),
        ("foat", lengths, Some("ft")),
        ("fxxt", lengths, None),
        ("inchs", lengths, Some("in")),
        ("ynchs", lengths, None),
        ("metrse", lengths, Some("m")),
        ("mxxrse", lengths, None),
        // the first letter is right
        ("xpm", flows, None),
        // the unit with something after it
        ("ft deep", lengths, Some("ft")),
        ("gpm or so", flows, Some("gpm")),
        ("gpm or so", lengths, None),
        // two letters are near too many, and of known parts a guess would mislead
        ("fr", lengths, None),
        ("gpm/ft", flows, None),
        ("gal/mim", flows, Some("gpm")),
    ] {
        assert_eq!(nearest(text, accepted), guess, "{text}");
    }
}

#[test]
fn identity_numbers_that_cannot_be_worked_with() {
    let digits = "9".repeat(400);
    for text in [format!("{digits} ft"), format!("1/{digits}{digits} ft"), format!("{digits} 1/2 ft")] {
        let read = read_si(&text, Dimension::Length);
        match read {
            Err(ReadError::NotFinite { .. }) => {}
            // a fraction of next to nothing
            Ok(si) => assert_eq!(si, 0.0, "{text}"),
            Err(other) => panic!("{text}: {other}"),
        }
    }
    let Err(ReadError::NotFinite { at, .. }) = read_si(&format!("{digits} ft"), Dimension::Length) else { panic!() };
    assert_eq!(at, 0..400);
}

#[test]
fn identity_pairs_and_sizes_at_their_bounds() {
    // a unit of something else after the second alone counts for neither
    for (text, message) in [
        ("12 x 12 gpm", "`gpm` is a unit of flow"),
        ("12 ft 6 in x 3", "`3` has no unit"),
        ("12 gpm x 12 in", "`gpm` is a unit of flow"),
        ("3 4 x 12 in", "more than one number"),
        ("x 12 in", "a length is missing"),
    ] {
        let error = read_pair(text).unwrap_err();
        assert!(error.to_string().contains(message), "{text}: {error}");
    }
    let (first, second) = read_pair("-3 x 4 ft").unwrap();
    assert_relative_eq!(first.ft(), -3.0, max_relative = 1e-12);
    assert_relative_eq!(second.ft(), 4.0, max_relative = 1e-12);
    for (text, label) in [
        ("1/16 in", "1/16 in"),
        ("15/16 in", "15/16 in"),
        ("1/32 in", "0.03125 in"),
        ("9999 mm", "9999 mm"),
        ("9,999.5 in", "9999-1/2 in"),
    ] {
        assert_eq!(read_size(text).as_deref(), Ok(label), "{text}");
    }
    for text in ["10000 mm", "10000 in", "0 mm", "-1 in"] {
        assert!(matches!(read_size(text), Err(ReadError::NotASize { .. })), "{text}");
    }
}

/// Every dimension.
pub(super) const DIMENSIONS: [Dimension; 19] = [
    Dimension::Number,
    Dimension::Length,
    Dimension::Level,
    Dimension::Area,
    Dimension::Volume,
    Dimension::Flow,
    Dimension::Velocity,
    Dimension::Intensity,
    Dimension::RainDepth,
    Dimension::Head,
    Dimension::Pressure,
    Dimension::Duration,
    Dimension::ReturnPeriod,
    Dimension::Temperature,
    Dimension::Slope,
    Dimension::Weight,
    Dimension::Power,
    Dimension::Density,
    Dimension::Viscosity,
];

#[test]
fn identity_what_is_written_in_the_larger_of_two_units_is_written_in_the_smaller() {
    for dimension in DIMENSIONS {
        let accepted = units::asked(dimension).accepted;
        for (larger, smaller, _) in units::COMPOUNDS {
            assert!(!accepted.contains(larger) || accepted.contains(smaller), "{dimension:?} {larger}");
        }
    }
    // and a speed is written in all units of rain, slow as it is
    let (rain, speed) = (units::asked(Dimension::Intensity).accepted, units::asked(Dimension::Velocity).accepted);
    for unit in rain.iter().filter(|unit| find(&normal(unit)).unwrap().home == Dimension::Intensity) {
        assert!(speed.contains(unit), "{unit}");
    }
}

/// Against the constants of Rust's standard library.
#[test]
fn crosscheck_functions_of_a_plain_number() {
    use std::f64::consts::{E, LN_10, LOG10_2, SQRT_2};
    assert_relative_eq!(Real::value(-2.5), -2.5);
    assert_relative_eq!(Real::powf(10.0, LOG10_2), 2.0, max_relative = 1e-14);
    assert_relative_eq!(Real::sqrt(2.0), SQRT_2, max_relative = 1e-14);
    assert_relative_eq!(Real::ln(10.0), LN_10, max_relative = 1e-14);
    assert_relative_eq!(Real::log10(2.0), LOG10_2, max_relative = 1e-14);
    assert_relative_eq!(Real::exp(1.0), E, max_relative = 1e-14);
    assert_relative_eq!(Real::least(3.0, -4.0), -4.0);
    assert_relative_eq!(Real::greatest(3.0, -4.0), 3.0);
}

#[test]
fn identity_a_message_repeats_forty_characters() {
    for (count, ending) in [(39, ""), (40, ""), (41, "..."), (42, "...")] {
        let error = read_si(&"ü".repeat(count), Dimension::Length).unwrap_err();
        let shown = "ü".repeat(count.min(40));
        assert_eq!(error.to_string(), format!("there is no number in `{shown}{ending}`"), "{count}");
    }
}
