//! The units against their definitions, and properties of reading and printing that hold for any text and value.
//!
//! Factors are checked against NIST Special Publication 811 (2008), appendix B, where named.

use proptest::prelude::*;
use sumpwright::quantity::{
    Amount, Area, Dimension, Duration, Flow, Head, Intensity, Length, Level, Measure, Pressure, ReadError, Slope,
    Style, UnitSystem, Velocity, Volume, Weight, accepted, described, read, read_pair, read_si, read_size,
};

const DIMENSIONS: [Dimension; 19] = [
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

const INCH: f64 = 0.0254;
const FOOT: f64 = 0.3048;

fn same(left: f64, right: f64) -> bool {
    (left - right).abs() <= 1e-12 * left.abs().max(right.abs())
}

#[test]
fn every_dimension_is_described_and_its_units_are_read() {
    for dimension in DIMENSIONS {
        assert!(described(dimension).starts_with('a'), "{dimension:?}");
        assert!(!accepted(dimension).is_empty(), "{dimension:?}");
        for unit in accepted(dimension) {
            assert!(read_si(&format!("1 {unit}"), dimension).is_ok(), "1 {unit} as {dimension:?}");
            assert!(
                read_si(&format!("1{}", unit.to_uppercase()), dimension).is_ok() || unit.starts_with('m'),
                "{unit}"
            );
        }
    }
    assert_eq!(described(Dimension::Length), "a length");
    assert_eq!(described(Dimension::Flow), "a flow");
    assert_eq!(described(Dimension::Intensity), "a rainfall intensity");
    assert_eq!(accepted(Dimension::Length).get(..4), Some(["ft", "in", "m", "mm"].as_slice()));
}

fn one<Q: Measure<f64>>(unit: &str) -> Q {
    read_si(&format!("1 {unit}"), Q::DIMENSION).map_or(Q::from_si(f64::NAN), Q::from_si)
}

#[test]
fn derived_units_are_made_of_their_parts() {
    let agree = |left: f64, right: f64| assert!(same(left, right), "{left} {right}");
    let volume = |flow: &str, time: &str| (one::<Flow>(flow) * one::<Duration>(time)).m3();
    for (flow, time, made) in [
        ("gpm", "min", "gal"),
        ("gph", "h", "gal"),
        ("gpd", "day", "gal"),
        ("L/s", "s", "L"),
        ("L/min", "min", "L"),
        ("L/h", "h", "L"),
        ("m3/h", "h", "m3"),
        ("m3/s", "s", "m3"),
        ("m3/day", "day", "m3"),
        ("ft3/s", "s", "ft3"),
        ("ft3/min", "min", "ft3"),
    ] {
        agree(volume(flow, time), one::<Volume>(made).m3());
    }
    for (speed, time, way) in [
        ("ft/s", "s", "ft"),
        ("m/s", "s", "m"),
        ("ft/min", "min", "ft"),
        ("cm/s", "s", "cm"),
        ("mm/s", "s", "mm"),
        ("ft/day", "day", "ft"),
        ("m/day", "day", "m"),
        ("in/h", "h", "in"),
        ("mm/h", "h", "mm"),
        ("cm/h", "h", "cm"),
        ("in/day", "day", "in"),
        ("mm/day", "day", "mm"),
        ("cm/day", "day", "cm"),
    ] {
        agree((one::<Velocity>(speed) * one::<Duration>(time)).m(), one::<Length>(way).m());
    }
    // as soil surveys print it, with either of the two signs for micro
    for spelling in ["um/s", "µm/s", "μm/s", "micrometers per second"] {
        agree(one::<Velocity>(spelling).ms(), 1e-6);
        agree(one::<Intensity>(spelling).mmh(), 3.6);
    }
    for (rain, time, depth) in [
        ("in/h", "h", "in"),
        ("mm/h", "h", "mm"),
        ("cm/h", "h", "cm"),
        ("in/day", "day", "in"),
        ("mm/day", "day", "mm"),
        ("cm/day", "day", "cm"),
    ] {
        agree(
            (one::<Intensity>(rain) * one::<Duration>(time)).m(),
            read_si(&format!("1 {depth}"), Dimension::RainDepth).expect("depth"),
        );
    }
    for (length, area, volume) in [("ft", "ft2", "ft3"), ("in", "in2", "in3"), ("m", "m2", "m3"), ("yd", "yd2", "yd3")]
    {
        let side = one::<Length>(length);
        agree((side * side).m2(), one::<Area>(area).m2());
        agree((side * side * side.m()).m2(), one::<Volume>(volume).m3());
    }
    for (fall, run, slope) in [("in", "ft", "in/ft"), ("ft", "ft", "ft/ft"), ("mm", "m", "mm/m"), ("cm", "m", "cm/m")] {
        agree(one::<Length>(fall) / one::<Length>(run), one::<Slope>(slope).ratio());
    }
    agree(one::<Weight>("lb").n() / one::<Area>("in2").m2(), one::<Pressure>("psi").pa());
    agree(one::<Volume>("gal").m3(), 231.0 * one::<Volume>("in3").m3());
    agree(one::<Area>("acre").m2(), 43_560.0 * one::<Area>("ft2").m2());
    agree(one::<Head>("psi").m(), one::<Pressure>("psi").head().m());
    agree(one::<Pressure>("ft of water").head().m(), one::<Head>("ft").m());
    // an inch an hour on an acre is 43 560 / (12 × 3600) ft3/s, 1.008333…
    let runoff = one::<Intensity>("in/h") * one::<Area>("acre");
    agree(runoff.ft3s(), 121.0 / 120.0);
    // 7.480 519 48 gal in a cubic foot (1728 / 231), so 448.831 169 gpm in a cubic foot a second
    agree(one::<Flow>("ft3/s").gpm(), 1728.0 / 231.0 * 60.0);
    assert!((one::<Flow>("cfs").gpm() - 448.831_169).abs() < 1e-6);
    // NIST SP 811 (2008), appendix B.8, as printed there: seven figures and a power of ten
    for (text, dimension, figures, power) in [
        ("1 ft3", Dimension::Volume, 2.831_685, 1e-2),
        ("1 gal", Dimension::Volume, 3.785_412, 1e-3),
        ("1 gpm", Dimension::Flow, 6.309_020, 1e-5),
        ("1 ft3/s", Dimension::Flow, 2.831_685, 1e-2),
        ("1 psi", Dimension::Pressure, 6.894_757, 1e3),
        ("1 hp", Dimension::Power, 7.456_999, 1e2),
        ("1 lbf", Dimension::Weight, 4.448_222, 1.0),
        ("1 lb/ft3", Dimension::Density, 1.601_846, 1e1),
        ("1 ft2/s", Dimension::Viscosity, 9.290_304, 1e-2),
    ] {
        let read = read_si(text, dimension).expect(text) / power;
        assert!((read - figures).abs() <= 0.5e-6, "{text}: {read} {figures}");
    }
    assert!(same(one::<Level>("ft").m(), FOOT));
}

/// Checks that nothing about the answer is broken, whatever the text.
fn answered(text: &str) -> Result<(), TestCaseError> {
    let fine = |error: &ReadError| -> Result<(), TestCaseError> {
        let span = error.span().unwrap_or(0..0);
        prop_assert!(text.get(span.clone()).is_some(), "{:?} of {:?}", span, text);
        prop_assert!(!error.to_string().is_empty() && error.hint().is_some_and(|hint| !hint.is_empty()));
        prop_assert!(!error.to_string().contains('\n'));
        Ok(())
    };
    for dimension in DIMENSIONS {
        match read_si(text, dimension) {
            Ok(si) => prop_assert!(si.is_finite(), "{:?} as {:?}", text, dimension),
            Err(error) => fine(&error)?,
        }
    }
    if let Err(error) = read_pair(text) {
        fine(&error)?;
    }
    match read_size(text) {
        Ok(label) => prop_assert_eq!(read_size(&label), Ok(label.clone())),
        Err(error) => fine(&error)?,
    }
    Ok(())
}

const FRAGMENTS: &[&str] = &[
    "1", "12", "1,000", "1.5", "0", "1/2", "½", "⅞", "-", "\u{2212}", "–", "+", " ", "\u{a0}", "'", "\"", "’", "”",
    "ft", "in", "m", "M", "mm", "gal", "gpm", "/", " per ", ":", "%", "°", "F", "e", "e3", "e999", ".", ",", "x", "×",
    " by ", "min", "h", "yr", "H2O", "²", "^2", "ft2", "imp", "İ", "ß", "inf", "NaN", "\u{feff}", "🌧", "2", "3",
];

fn dimension_and_unit() -> impl Strategy<Value = (Dimension, &'static str)> {
    proptest::sample::select(DIMENSIONS.as_slice())
        .prop_flat_map(|dimension| (Just(dimension), proptest::sample::select(accepted(dimension))))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_answered(text in any::<String>()) {
        answered(&text)?;
    }

    #[test]
    fn any_text_of_fragments_is_answered(pieces in proptest::collection::vec(proptest::sample::select(FRAGMENTS), 0..9)) {
        answered(&pieces.concat())?;
    }

    #[test]
    fn a_value_comes_back_in_its_unit((dimension, unit) in dimension_and_unit(), value in -1e6..1e6_f64) {
        let si = |text: String| read_si(&text, dimension).map_err(|error| TestCaseError::fail(format!("{text}: {error}")));
        let (zero, ten) = (si(format!("0 {unit}"))?, si(format!("10 {unit}"))?);
        let back = (si(format!("{value} {unit}"))? - zero) / (ten - zero) * 10.0;
        // a temperature loses digits next to its offset of 32
        let room = if dimension == Dimension::Temperature { 1e-9 } else { 0.0 };
        prop_assert!((back - value).abs() <= 1e-12 * value.abs() + room, "{} {}: {}", value, unit, back);
    }

    #[test]
    fn feet_and_inches_are_their_sum(feet in 0_u32..5000, sixteenths in 0_u32..192, form in 0_usize..4) {
        let (whole, over) = (sixteenths / 16, sixteenths % 16);
        let inches = if over == 0 { whole.to_string() } else if whole == 0 { format!("{over}/16") } else { format!("{whole}-{over}/16") };
        let text = match form {
            0 => format!("{feet} ft {inches} in"),
            1 => format!("{feet}'-{inches}\""),
            2 => format!("{feet}\u{2032} {inches}\u{2033}"),
            _ => format!("{feet}ft {inches}in"),
        };
        let length: Length = read(&text).map_err(|error| TestCaseError::fail(format!("{text}: {error}")))?;
        let expected = f64::from(feet) * FOOT + f64::from(sixteenths) / 16.0 * INCH;
        prop_assert!((length.m() - expected).abs() <= 1e-12 * expected, "{}", text);
    }

    #[test]
    fn what_is_printed_is_read_again(dimension in proptest::sample::select(DIMENSIONS.as_slice()), mantissa in -9.99..9.99_f64,
                                     power in -8..9_i32, metric in any::<bool>(), style in 0_usize..3) {
        let style = [Style::Ordinary, Style::Small, Style::Bore][style];
        let system = if metric { UnitSystem::Metric } else { UnitSystem::Us };
        let si: f64 = format!("{mantissa}e{power}").parse().expect("a number");
        let amount = Amount { dimension, si, style };
        let (raw, unit) = amount.parts(system);
        let exact = read_si(format!("{raw:e} {unit}").trim(), dimension).map_err(|error| TestCaseError::fail(format!("{raw:e} {unit}: {error}")))?;
        let room = if dimension == Dimension::Temperature { 1e-9 } else { 0.0 };
        prop_assert!((exact - si).abs() <= 1e-12 * si.abs() + room, "{} {}: {} {}", raw, unit, exact, si);
        let shown = amount.show(system);
        prop_assert!(shown.ends_with(unit));
        prop_assert!(read_si(&shown, dimension).is_ok(), "{}", shown);
    }
}
