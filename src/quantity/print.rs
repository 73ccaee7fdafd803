//! Printing amounts with the figures they deserve.

use super::amount::{Amount, Style, UnitSystem};
use super::types::Dimension;
use super::units;

/// How many figures a number is printed with.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Figures {
    /// So many decimals, zeros kept: `96.30`.
    Decimals(u8),
    /// So many decimals at most.
    UpToDecimals(u8),
    /// So many significant figures at most; whole digits may become zeros.
    UpTo(u8),
    /// Three significant figures at most, but every whole digit up to this size.
    Whole(f64),
    /// Two significant figures, zeros kept, and three from 100 on.
    TwoOrThree,
    /// The first number of decimals while the rounded number is below the limit, and the second from there on.
    Below(f64, u8, u8),
    /// As `Below`, without trailing zeros.
    BelowTrimmed(f64, u8, u8),
    /// Three figures and a power of ten.
    Scientific,
}

/// Printed for a number that is not finite.
const NO_NUMBER: &str = "—";

/// A number of inches below two as a fraction of sixty-fourths in lowest terms, where it is one.
fn drill_label(inches: f64) -> Option<String> {
    let sixty_fourths = libm::round(inches * 64.0);
    if !(1.0..128.0).contains(&sixty_fourths) || (inches * 64.0 - sixty_fourths).abs() > 1e-6 {
        return None;
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "from 1 to 127")]
    let mut top = sixty_fourths as u32;
    let mut bottom = 64;
    // below 128, so odd after six halvings at most
    while top.is_multiple_of(2) {
        top /= 2;
        bottom /= 2;
    }
    Some(match (top / bottom, top % bottom) {
        (whole, 0) => whole.to_string(),
        (0, part) => format!("{part}/{bottom}"),
        (whole, part) => format!("{whole}-{part}/{bottom}"),
    })
}

/// Longer than this, a length is not said in inches or millimetres.
const LONG_FOR_INCHES_M: f64 = 2.54;

/// Up to a whole part of the last place.
fn rounded_up(value: f64, parts: f64) -> f64 {
    // 42.000000001 is 42 that gained a digit on the way
    libm::ceil(value * parts - 1e-6) / parts
}

/// Parts of a small unit that are printed.
fn small_parts(unit: &str) -> f64 {
    if unit == "in" { 10.0 } else { 1.0 }
}

/// No water in a pipe moves so fast: what does is a wave, and wants no decimals.
const FAST_MS: f64 = 100.0;

/// Water slower than this seeps through the ground.
const SLOW_MS: f64 = 1e-4;

impl Amount {
    /// The amount as a report prints it: rounded, with its unit.
    pub fn show(&self, system: UnitSystem) -> String {
        let (value, unit, figures) = self.chosen(system);
        if !value.is_finite() {
            return NO_NUMBER.to_owned();
        }
        if self.style == Style::Drill
            && unit == "in"
            && let Some(label) = drill_label(value)
        {
            return format!("{label} {unit}");
        }
        let value = match self.style {
            Style::AtMost => self.rounded_down(value, unit),
            Style::AtLeast => rounded_up(value, self.whole_parts(unit)),
            Style::SmallAtLeast => rounded_up(value, small_parts(unit)),
            // down is up from the other side
            Style::SmallAtMost => -rounded_up(-value, small_parts(unit)),
            _ => value,
        };
        let number = figures.print(value);
        if unit.is_empty() { number } else { format!("{number} {unit}") }
    }

    /// The unrounded number in the unit that [`Amount::show`] prints, and the symbol of that unit.
    pub fn parts(&self, system: UnitSystem) -> (f64, &'static str) {
        let (value, unit, _) = self.chosen(system);
        (value, unit)
    }

    /// Parts of a unit that a bound is rounded to: a whole foot or a tenth of a metre, a level in its last place.
    fn whole_parts(&self, unit: &str) -> f64 {
        match self.dimension {
            Dimension::Level => 100.0,
            Dimension::Length if unit == "m" => 10.0,
            _ => 1.0,
        }
    }

    fn rounded_down(&self, value: f64, unit: &str) -> f64 {
        let parts = self.whole_parts(unit);
        // 41.999999999 is 42 that lost a digit on the way
        libm::floor(value * parts + 1e-6) / parts
    }

    fn chosen(&self, system: UnitSystem) -> (f64, &'static str, Figures) {
        let (unit, figures) = self.unit_and_figures(system == UnitSystem::Us);
        let value = units::printed(unit)
            .or_else(|| units::find(&units::normal(unit)))
            .map_or(self.si, |unit| unit.of_si(self.si));
        (value, unit, figures)
    }

    fn unit_and_figures(&self, us: bool) -> (&'static str, Figures) {
        use Figures::{Below, BelowTrimmed, Decimals, Scientific, TwoOrThree, UpTo, UpToDecimals, Whole};
        let size = self.si.abs();
        match (self.dimension, self.style) {
            (Dimension::Number, _) => ("", UpTo(3)),
            (Dimension::Length, Style::Small) if size > LONG_FOR_INCHES_M => (if us { "ft" } else { "m" }, Decimals(1)),
            (Dimension::Length, Style::Small | Style::SmallAtLeast | Style::SmallAtMost) if us => {
                ("in", UpToDecimals(1))
            }
            (Dimension::Length, Style::Small | Style::SmallAtLeast | Style::SmallAtMost) => ("mm", Decimals(0)),
            (Dimension::Length, Style::Bore | Style::Drill) if us => ("in", Decimals(3)),
            (Dimension::Length, Style::Bore | Style::Drill) => ("mm", Decimals(1)),
            (Dimension::Length, _) => (if us { "ft" } else { "m" }, Whole(f64::INFINITY)),
            (Dimension::Level, _) => (if us { "ft" } else { "m" }, Decimals(2)),
            (Dimension::Area, Style::Opening) => (if us { "in2" } else { "cm2" }, Whole(1e4)),
            (Dimension::Volume, Style::Solid) => (if us { "ft3" } else { "m3" }, UpTo(2)),
            // nothing in a pipe is so slow: what is seeps
            (Dimension::Velocity, _) if size > 0.0 && size < SLOW_MS => (if us { "ft/day" } else { "m/day" }, UpTo(2)),
            (Dimension::Velocity, Style::Seepage) => (if us { "ft/day" } else { "m/day" }, UpTo(2)),
            (Dimension::Area, _) => (if us { "ft2" } else { "m2" }, Whole(1e4)),
            (Dimension::Volume, _) if us => ("gal", UpTo(3)),
            (Dimension::Volume, _) => (if size < 1.0 { "L" } else { "m3" }, UpTo(3)),
            (Dimension::Flow, _) => (if us { "gpm" } else { "L/s" }, TwoOrThree),
            (Dimension::Velocity, _) if size >= FAST_MS => (if us { "ft/s" } else { "m/s" }, Decimals(0)),
            (Dimension::Velocity, _) if us => ("ft/s", Below(1.0, 2, 1)),
            (Dimension::Velocity, _) => ("m/s", Decimals(2)),
            (Dimension::Intensity, _) if us => ("in/h", Below(0.1, 3, 2)),
            (Dimension::Intensity, _) => ("mm/h", UpTo(3)),
            (Dimension::RainDepth, _) if us => ("in", Decimals(2)),
            (Dimension::RainDepth, _) => ("mm", BelowTrimmed(10.0, 1, 0)),
            (Dimension::Head, _) if us => ("ft", Decimals(1)),
            (Dimension::Head, _) => ("m", Decimals(2)),
            (Dimension::Pressure, _) if us => ("psi", Below(10.0, 1, 0)),
            (Dimension::Pressure, _) => ("kPa", Decimals(0)),
            (Dimension::Duration, _) if size < 0.95 => ("s", BelowTrimmed(1.0, 2, 1)),
            (Dimension::Duration, _) => {
                let unit = match size {
                    _ if size < 90.0 => "s",
                    _ if size < 90.0 * 60.0 => "min",
                    _ if size < 48.0 * 3600.0 => "h",
                    _ => "days",
                };
                (unit, BelowTrimmed(10.0, 1, 0))
            }
            (Dimension::ReturnPeriod, _) => ("yr", UpTo(3)),
            (Dimension::Temperature, _) => {
                if us {
                    ("F", Decimals(0))
                } else {
                    ("C", UpToDecimals(1))
                }
            }
            (Dimension::Slope, _) => ("%", Below(2.0, 2, 1)),
            (Dimension::Weight, _) => (if us { "lb" } else { "kg" }, Decimals(0)),
            (Dimension::Power, _) => {
                if size < 1e4 {
                    ("W", Whole(1e4))
                } else {
                    ("kW", UpTo(3))
                }
            }
            (Dimension::Density, _) if us => ("lb/ft3", UpTo(3)),
            (Dimension::Density, _) => ("kg/m3", UpTo(4)),
            (Dimension::Viscosity, _) => ("m2/s", Scientific),
        }
    }
}

impl Figures {
    fn print(self, value: f64) -> String {
        let whole = value.abs() >= 100.0;
        match self {
            Self::Decimals(decimals) => rounded(value, decimals.into()),
            Self::UpToDecimals(decimals) => trimmed(&rounded(value, decimals.into())).to_owned(),
            Self::UpTo(figures) => significant(value, figures),
            Self::Whole(limit) if whole && value.abs() < limit => rounded(value, 0),
            Self::Whole(_) => significant(value, 3),
            Self::TwoOrThree => {
                let two = significant_kept(value, 2);
                if whole { significant(value, 3) } else { two }
            }
            Self::Below(limit, fine, coarse) => {
                let text = rounded(value, fine.into());
                let below = text.parse::<f64>().is_ok_and(|number| number.abs() < limit);
                if below { text } else { rounded(value, coarse.into()) }
            }
            Self::BelowTrimmed(limit, fine, coarse) => {
                trimmed(&Self::Below(limit, fine, coarse).print(value)).to_owned()
            }
            Self::Scientific => scientific(value, 3),
        }
    }
}

/// Digits that a number is taken to have: enough for any result, few enough to hide what binary arithmetic adds.
const TRUE_DIGITS: usize = 12;
/// From here on, and below its inverse, numbers are printed with a power of ten.
const LONGEST_WHOLE: f64 = 1e12;

/// The decimal digits of a finite number, and the power of ten of the first.
fn digits(value: f64) -> (Vec<u8>, i32) {
    let text = format!("{:.*e}", TRUE_DIGITS - 1, value.abs());
    let (mantissa, exponent) = text.split_once('e').unwrap_or((&text, "0"));
    let digits = mantissa.bytes().filter(u8::is_ascii_digit).map(|digit| digit - b'0').collect();
    (digits, exponent.parse().unwrap_or(0))
}

/// The digits down to the one worth `10^-decimals`, half rounded away from zero; the power of the first goes up
/// when a carry runs through. No digits are left of a number that rounds to nothing.
fn round_half_away(digits: &[u8], power: i32, decimals: i32) -> (Vec<u8>, i32) {
    let Ok(keep) = usize::try_from(i64::from(power) + 1 + i64::from(decimals)) else { return (Vec::new(), 0) };
    let mut kept: Vec<u8> = digits.iter().copied().chain(std::iter::repeat(0)).take(keep.min(TRUE_DIGITS)).collect();
    if digits.get(keep).is_none_or(|next| *next < 5) {
        return (kept, power);
    }
    for digit in kept.iter_mut().rev() {
        if *digit < 9 {
            *digit += 1;
            return (kept, power);
        }
        *digit = 0;
    }
    kept.insert(0, 1);
    (kept, power + 1)
}

/// A finite number rounded to so many decimals, half away from zero, of its decimal value: 2.675 gives 2.68.
///
/// Zeros are kept, `-0` never stands, and from a million million on the number has a power of ten.
pub(super) fn rounded(value: f64, decimals: i32) -> String {
    if value.abs() >= LONGEST_WHOLE {
        return scientific(value, 3);
    }
    let (all, power) = digits(value);
    let (kept, power) = round_half_away(&all, power, decimals);
    let places = usize::try_from(decimals).unwrap_or(0);
    let mut text = String::new();
    if value < 0.0 && !kept.is_empty() {
        text.push('-');
    }
    let lowest = -i32::try_from(places).unwrap_or(0);
    for place in (lowest..=power.max(0)).rev() {
        if place == -1 {
            text.push('.');
        }
        let digit = usize::try_from(power - place).ok().and_then(|index| kept.get(index)).copied().unwrap_or(0);
        text.push(char::from(b'0' + digit));
    }
    text
}

/// The decimals that leave so many significant figures, after rounding.
fn decimals_for(value: f64, figures: u8) -> i32 {
    let (all, power) = digits(value);
    let (_, rounded_power) = round_half_away(&all, power, i32::from(figures) - 1 - power);
    i32::from(figures) - 1 - rounded_power
}

/// A finite number to so many significant figures, zeros kept.
fn significant_kept(value: f64, figures: u8) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    if value.abs() < 1e-4 || value.abs() >= LONGEST_WHOLE {
        return scientific(value, figures);
    }
    rounded(value, decimals_for(value, figures))
}

/// A finite number to so many significant figures at most.
pub(super) fn significant(value: f64, figures: u8) -> String {
    trimmed(&significant_kept(value, figures)).to_owned()
}

/// A finite number with all its figures up to nine.
pub(super) fn plain(value: f64) -> String {
    significant(value, 9)
}

/// A finite number with so many figures and a power of ten.
fn scientific(value: f64, figures: u8) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let (all, power) = digits(value);
    let (kept, power) = round_half_away(&all, power, i32::from(figures) - 1 - power);
    let mut text = String::from(if value < 0.0 { "-" } else { "" });
    for (index, digit) in kept.iter().take(figures.into()).enumerate() {
        if index == 1 {
            text.push('.');
        }
        text.push(char::from(b'0' + digit));
    }
    format!("{text}e{power}")
}

fn trimmed(number: &str) -> &str {
    if number.contains('.') && !number.contains('e') {
        number.trim_end_matches('0').trim_end_matches('.')
    } else {
        number
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{
        Area, Density, Duration, Flow, Head, Intensity, Length, Level, Measure, Power, Pressure, RainDepth,
        ReturnPeriod, Slope, Temperature, Velocity, Viscosity, Volume, Weight,
    };
    use proptest::prelude::*;

    #[test]
    fn halves_go_away_from_zero_on_the_decimal_value() {
        for (value, decimals, text) in [
            (2.675, 2, "2.68"), // 2.67499999999999982… in binary
            (1.005, 2, "1.01"),
            (0.125, 2, "0.13"),
            (-0.125, 2, "-0.13"),
            (2.5, 0, "3"),
            (-2.5, 0, "-3"),
            (0.5, 0, "1"),
            (0.49, 0, "0"),
            (-0.49, 0, "0"),
            (-0.004, 2, "0.00"),
            (0.0, 2, "0.00"),
            (-0.0, 1, "0.0"),
            (16.499_999_999_999_996, 0, "17"), // what binary arithmetic makes of 16.5
            (9.996, 2, "10.00"),
            (99.95, 1, "100.0"),
            (999_999.5, 0, "1000000"),
            (1234.0, -1, "1230"),
            (1235.0, -1, "1240"),
            (6.0, -1, "10"),
            (4.0, -1, "0"),
            (4.0, -5, "0"),
            (96.3, 2, "96.30"),
            (1e-300, 3, "0.000"),
            (123_456_789_012.0, 0, "123456789012"),
            (1e12, 0, "1.00e12"),
            (-1.797e308, 2, "-1.80e308"),
        ] {
            assert_eq!(rounded(value, decimals), text, "{value} to {decimals}");
        }
    }

    #[test]
    fn significant_figures() {
        for (value, figures, text) in [
            (0.0, 3, "0"),
            (1234.0, 3, "1230"),
            (1235.0, 3, "1240"),
            (9.996, 3, "10"),
            (0.9996, 3, "1"),
            (2.309, 3, "2.31"),
            (-0.102_04, 3, "-0.102"),
            (0.000_123_4, 3, "0.000123"),
            (0.000_1, 3, "0.0001"),
            (0.000_012_34, 3, "1.23e-5"),
            (9.999e-5, 3, "1.00e-4"),
        ] {
            assert_eq!(significant(value, figures), text, "{value} to {figures}");
        }
        assert_eq!(significant_kept(3.96, 2), "4.0");
        assert_eq!(significant_kept(9.96, 2), "10");
    }

    /// The amount with its text in US and in metric units.
    fn table() -> Vec<(Amount, &'static str, &'static str)> {
        let of = |quantity: Amount, us, metric| (quantity, us, metric);
        vec![
            of(Amount::of(0.123_45), "0.123", "0.123"),
            of(Amount::of(40.0), "40", "40"),
            of(Amount::of(123_456.0), "123000", "123000"),
            of(Amount::of(Length::from_ft(135.0)), "135 ft", "41.1 m"),
            of(Amount::of(Length::from_ft(3.5)), "3.5 ft", "1.07 m"),
            of(Amount::of(Length::from_ft(1234.4)), "1234 ft", "376 m"),
            of(Amount::of(Length::from_ft(99.96)), "100 ft", "30.5 m"),
            of(Amount::of(Length::ZERO), "0 ft", "0 m"),
            of(Amount::small(Length::from_inch(24.0)), "24 in", "610 mm"),
            of(Amount::small(Length::from_inch(16.5)), "16.5 in", "419 mm"),
            of(Amount::bore(Length::from_inch(2.067)), "2.067 in", "52.5 mm"),
            of(Amount::bore(Length::from_inch(2.0)), "2.000 in", "50.8 mm"),
            of(Amount::of(Level::from_ft(96.3)), "96.30 ft", "29.35 m"),
            of(Amount::of(Level::from_ft(-0.001)), "0.00 ft", "0.00 m"),
            of(Amount::of(Level::from_ft(-2.5)), "-2.50 ft", "-0.76 m"),
            of(Amount::of(Area::from_ft2(5200.0)), "5200 ft2", "483 m2"),
            of(Amount::of(Area::from_ft2(9876.0)), "9876 ft2", "918 m2"),
            of(Amount::of(Area::from_acre(1.0)), "43600 ft2", "4047 m2"),
            of(Amount::of(Area::from_ft2(12.34)), "12.3 ft2", "1.15 m2"),
            of(Amount::of(Volume::from_gal(123.4)), "123 gal", "467 L"),
            of(Amount::of(Volume::from_gal(1234.0)), "1230 gal", "4.67 m3"),
            of(Amount::of(Flow::from_gpm(40.0)), "40 gpm", "2.5 L/s"),
            of(Amount::of(Flow::from_gpm(4.6)), "4.6 gpm", "0.29 L/s"),
            of(Amount::of(Flow::from_gpm(0.85)), "0.85 gpm", "0.054 L/s"),
            of(Amount::of(Flow::from_gpm(123.4)), "123 gpm", "7.8 L/s"),
            of(Amount::of(Flow::from_gpm(1.9)), "1.9 gpm", "0.12 L/s"),
            of(Amount::of(Flow::ZERO), "0 gpm", "0 L/s"),
            of(Amount::of(Velocity::from_fts(5.04)), "5.0 ft/s", "1.54 m/s"),
            of(Amount::of(Velocity::from_fts(0.756)), "0.76 ft/s", "0.23 m/s"),
            of(Amount::of(Velocity::from_fts(0.996)), "1.0 ft/s", "0.30 m/s"),
            of(Amount::of(Intensity::from_inh(4.5)), "4.50 in/h", "114 mm/h"),
            of(Amount::of(Intensity::from_inh(0.06)), "0.060 in/h", "1.52 mm/h"),
            of(Amount::of(RainDepth::from_inch(1.87)), "1.87 in", "47 mm"),
            of(Amount::of(RainDepth::from_mm(8.25)), "0.32 in", "8.3 mm"),
            of(Amount::of(Head::from_ft(18.04)), "18.0 ft", "5.50 m"),
            of(Amount::of(Pressure::from_psi(12.3)), "12 psi", "85 kPa"),
            of(Amount::of(Pressure::from_psi(8.25)), "8.3 psi", "57 kPa"),
            of(Amount::of(Duration::from_s(0.123)), "0.12 s", "0.12 s"),
            of(Amount::of(Duration::from_s(4.25)), "4.3 s", "4.3 s"),
            of(Amount::of(Duration::from_s(5.0)), "5 s", "5 s"),
            of(Amount::of(Duration::from_s(89.4)), "89 s", "89 s"),
            of(Amount::of(Duration::from_s(90.0)), "1.5 min", "1.5 min"),
            of(Amount::of(Duration::from_min(20.2)), "20 min", "20 min"),
            of(Amount::of(Duration::from_min(90.0)), "1.5 h", "1.5 h"),
            of(Amount::of(Duration::from_h(24.0)), "24 h", "24 h"),
            of(Amount::of(Duration::from_h(48.0)), "2 days", "2 days"),
            of(Amount::of(Duration::from_day(30.4)), "30 days", "30 days"),
            of(Amount::of(ReturnPeriod::from_years(10.0)), "10 yr", "10 yr"),
            of(Amount::of(Temperature::from_fahrenheit(60.0)), "60 F", "15.6 C"),
            of(Amount::of(Temperature::from_celsius(20.0)), "68 F", "20 C"),
            of(Amount::of(Slope::from_percent(2.0)), "2.0 %", "2.0 %"),
            of(Amount::of(Slope::from_percent(0.5)), "0.50 %", "0.50 %"),
            of(Amount::of(Weight::from_lb(59.6)), "60 lb", "27 kg"),
            of(Amount::of(Power::from_w(620.0)), "620 W", "620 W"),
            of(Amount::of(Power::from_w(1118.6)), "1119 W", "1119 W"),
            of(Amount::of(Power::from_kw(12.34)), "12.3 kW", "12.3 kW"),
            of(Amount::of(Density::from_kgm3(999.02)), "62.4 lb/ft3", "999 kg/m3"),
            of(Amount::of(Viscosity::from_m2s(1.1234e-6)), "1.12e-6 m2/s", "1.12e-6 m2/s"),
        ]
    }

    #[test]
    fn what_is_printed() {
        for (amount, us, metric) in table() {
            assert_eq!(amount.show(UnitSystem::Us), us, "{amount:?}");
            assert_eq!(amount.show(UnitSystem::Metric), metric, "{amount:?}");
        }
    }

    #[test]
    fn parts_are_not_rounded() {
        let (value, unit) = Amount::of(Flow::from_gpm(40.123_456)).parts(UnitSystem::Us);
        assert!((value - 40.123_456).abs() < 1e-12 && unit == "gpm");
        let (value, unit) = Amount::of(Duration::from_h(2.625)).parts(UnitSystem::Metric);
        assert!((value - 2.625).abs() < 1e-12 && unit == "h");
    }

    #[test]
    fn what_is_not_a_number_has_a_dash() {
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(Amount::of(Head::from_si(value)).show(UnitSystem::Us), "—");
        }
    }

    #[test]
    fn identity_what_must_not_be_exceeded_is_rounded_down() {
        let length = crate::quantity::Length::from_ft(121.9);
        assert_eq!(Amount::at_most(length).show(UnitSystem::Us), "121 ft");
        assert_eq!(Amount::at_most(length).show(UnitSystem::Metric), "37.1 m");
        // what is cut away and what stays add up: 260 = 121 + 139 and not 138
        let cut = Length::from_ft(260.0) - length;
        assert_eq!(Amount::length_at_least(cut).show(UnitSystem::Us), "139 ft");
        for (inches, printed) in [(30.0, "30 in"), (30.08, "30 in"), (30.19, "30.1 in")] {
            assert_eq!(Amount::small_at_most(Length::from_inch(inches)).show(UnitSystem::Us), printed);
        }
        assert_eq!(Amount::small_at_most(Length::from_mm(849.9)).show(UnitSystem::Metric), "849 mm");
    }

    #[test]
    fn identity_drills_by_their_label() {
        for (inches, label) in [
            (0.1875, "3/16 in"),
            (0.125, "1/8 in"),
            (0.25, "1/4 in"),
            (1.0, "1 in"),
            (1.5, "1-1/2 in"),
            (0.2, "0.200 in"),
            (0.0, "0.000 in"),
        ] {
            assert_eq!(Amount::drill(crate::quantity::Length::from_inch(inches)).show(UnitSystem::Us), label);
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn no_amount_breaks_printing(pick in 0_usize..1000, si in any::<f64>(), style in 0_usize..3) {
            let table = table();
            let dimension = table[pick % table.len()].0.dimension;
            let amount = Amount { dimension, si, style: [Style::Ordinary, Style::Small, Style::Bore][style] };
            for system in [UnitSystem::Us, UnitSystem::Metric] {
                let text = amount.show(system);
                let number = text.split(' ').next().unwrap_or_default();
                if amount.parts(system).0.is_finite() {
                    let value: f64 = number.parse().map_err(|_| TestCaseError::fail(text.clone()))?;
                    prop_assert!(value != 0.0 || !number.starts_with('-'), "{}", text);
                    prop_assert!(text.len() < 40, "{}", text);
                } else {
                    prop_assert_eq!(&text, "—");
                }
            }
        }

        #[test]
        fn rounding_is_off_by_half_a_step_at_most(value in -1e6..1e6_f64, decimals in -3..6_i32) {
            let back: f64 = rounded(value, decimals).parse().map_err(|_| TestCaseError::fail("no number"))?;
            let step = libm::pow(10.0, f64::from(-decimals));
            // and by half a unit of the twelfth figure, which is all that a number is taken to have
            prop_assert!((back - value).abs() <= step * 0.5 + 5.01e-12 * value.abs(), "{} {}", value, back);
        }
    }
}
