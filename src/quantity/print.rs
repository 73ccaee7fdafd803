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

impl Amount {
    /// The amount as a report prints it: rounded, with its unit.
    pub fn show(&self, system: UnitSystem) -> String {
        let (value, unit, figures) = self.chosen(system);
        if !value.is_finite() {
            return NO_NUMBER.to_owned();
        }
        let number = figures.print(value);
        if unit.is_empty() { number } else { format!("{number} {unit}") }
    }

    /// The unrounded number in the unit that [`Amount::show`] prints, and the symbol of that unit.
    pub fn parts(&self, system: UnitSystem) -> (f64, &'static str) {
        let (value, unit, _) = self.chosen(system);
        (value, unit)
    }

    fn chosen(&self, system: UnitSystem) -> (f64, &'static str, Figures) {
        let (unit, figures) = self.unit_and_figures(system == UnitSystem::Us);
        let value = units::find(&units::normal(unit)).map_or(self.si, |unit| unit.of_si(self.si));
        (value, unit, figures)
    }

    fn unit_and_figures(&self, us: bool) -> (&'static str, Figures) {
        use Figures::{Below, BelowTrimmed, Decimals, Scientific, TwoOrThree, UpTo, UpToDecimals, Whole};
        let size = self.si.abs();
        match (self.dimension, self.style) {
            (Dimension::Number, _) => ("", UpTo(3)),
            (Dimension::Length, Style::Ordinary) => (if us { "ft" } else { "m" }, Whole(f64::INFINITY)),
            (Dimension::Length, Style::Small) if us => ("in", UpToDecimals(1)),
            (Dimension::Length, Style::Small) => ("mm", Decimals(0)),
            (Dimension::Length, Style::Bore) if us => ("in", Decimals(3)),
            (Dimension::Length, Style::Bore) => ("mm", Decimals(1)),
            (Dimension::Level, _) => (if us { "ft" } else { "m" }, Decimals(2)),
            (Dimension::Area, _) => (if us { "ft2" } else { "m2" }, Whole(1e4)),
            (Dimension::Volume, _) if us => ("gal", UpTo(3)),
            (Dimension::Volume, _) => (if size < 1.0 { "L" } else { "m3" }, UpTo(3)),
            (Dimension::Flow, _) => (if us { "gpm" } else { "L/s" }, TwoOrThree),
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
            (Dimension::Slope, _) => ("%", Below(1.0, 2, 1)),
            (Dimension::Weight, _) => (if us { "lb" } else { "kg" }, Decimals(0)),
            (Dimension::Power, _) => {
                if size < 1e4 {
                    ("W", Whole(1e4))
                } else {
                    ("kW", UpTo(3))
                }
            }
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
    if value < 0.0 && kept.iter().any(|digit| *digit > 0) {
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
