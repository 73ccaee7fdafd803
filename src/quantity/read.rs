//! Reading quantities as people write them.
//!
//! | form | example |
//! |---|---|
//! | number and unit, with or without a space or hyphen | `150 ft`, `150ft`, `10-yr`, `1,000 ft2`, `1e3 ft` |
//! | fraction or mixed number | `3/4 in`, `1-1/2 in`, `1 1/2"`, `1½ in` |
//! | two units, the larger a whole number | `3 ft 6 in`, `12'-6"`, `12 ft 6-1/2 in`, `1 h 30 min` |
//! | a unit made of two | `gal/min`, `gallons per minute`, `m³/h`, `1/4 in per ft` |
//! | a slope as a ratio, fall first, or a fall over a distance | `1:100`, `2 in per 10 ft` |
//!
//! Units are matched whatever their case, except that `M` is not `m`. Anything that could be meant in two ways is
//! refused with what to write instead. `tests/quantity_reading.rs` lists what is read and what is not.

use super::print::{plain, significant};
use super::read_error::ReadError;
use super::scan::{Number, Part, Scanned, echo, scan};
use super::types::{Dimension, Length, Measure};
use super::units::{self, Asked, COMPOUNDS, SIZE, Unit};

/// Reads a text as the SI number of a dimension (temperature in °C, slope as a ratio, return period in years).
///
/// # Errors
/// Says what is wrong with the text. Whether the value makes sense is not judged here.
pub fn read_si(text: &str, dimension: Dimension) -> Result<f64, ReadError> {
    read_asked(text, &units::asked(dimension))
}

/// Reads a text as a quantity: `read::<Length>("150 ft")`.
///
/// # Errors
/// As [`read_si`].
pub fn read<Q: Measure<f64>>(text: &str) -> Result<Q, ReadError> {
    read_si(text, Q::DIMENSION).map(Q::from_si)
}

/// Reads two lengths, `12 in x 12 in`; a unit after the second alone counts for both.
///
/// # Errors
/// As [`read_si`], and when there are not two lengths.
pub fn read_pair(text: &str) -> Result<(Length, Length), ReadError> {
    let asked = units::asked(Dimension::Length);
    if text.trim().is_empty() {
        return Err(ReadError::Empty { wanted: "a pair of lengths", example: "12 in x 12 in", at: 0..text.len() });
    }
    let whole = || ReadError::NotAPair { at: 0..text.len() };
    let crosses = text
        .char_indices()
        .filter(|(_, letter)| matches!(letter, 'x' | 'X' | '×' | '*'))
        .map(|(at, letter)| at..at + letter.len_utf8());
    let words = text.match_indices(" by ").map(|(at, word)| at..at + word.len());
    let mut cuts = crosses.chain(words);
    let (Some(cut), None) = (cuts.next(), cuts.next()) else { return Err(whole()) };
    let (Some(left), Some(right)) = (text.get(..cut.start), text.get(cut.end..)) else { return Err(whole()) };
    let second = read_asked(right, &asked).map_err(|error| error.shifted(cut.end))?;
    let first = match bare(left, &asked).zip(scan(right, &asked).ok()) {
        Some((value, Scanned { parts, .. })) if parts.len() == 1 => {
            let unit = parts.first().and_then(|part| units::find(&units::normal(&part.unit)));
            unit.map(|unit| unit.to_si(value, Dimension::Length)).filter(|si| si.is_finite())
        }
        _ => None,
    };
    let first = first.map_or_else(|| read_asked(left, &asked), Ok)?;
    Ok((Length::from_m(first), Length::from_m(second)))
}

/// The value of a text that is a number and nothing else.
fn bare(text: &str, asked: &Asked) -> Option<f64> {
    let Scanned { sign, parts, .. } = scan(text, asked).ok()?;
    match parts.as_slice() {
        [part] if part.unit.is_empty() => Some(sign * part.number.value),
        _ => None,
    }
}

/// Reads a pipe size, which is a label and not a length, in its usual form: `1-1/2 in`, `3/4 in`, `63 mm`.
///
/// # Errors
/// As [`read_si`], and for a number that no pipe size has.
pub fn read_size(text: &str) -> Result<String, ReadError> {
    let scanned = scan(text, &SIZE)?;
    let [part] = scanned.parts.as_slice() else {
        read_parts(&scanned, &SIZE)?;
        return Err(ReadError::NotASize { text: echo(text), at: scanned.at });
    };
    let unit = resolve(part, scanned.sign, &SIZE)?;
    let value = scanned.sign * part.number.value;
    if !(value > 0.0 && value < LARGEST_SIZE) {
        return Err(ReadError::NotASize { text: echo(text), at: scanned.at });
    }
    let number = if unit.symbol == "in" { sixteenths(value) } else { None };
    Ok(format!("{} {}", number.unwrap_or_else(|| plain(value)), unit.symbol))
}

/// Beyond any pipe made, in inches or millimetres.
const LARGEST_SIZE: f64 = 10_000.0;

/// A number of whole sixteenths as a mixed number: `1-1/2`, `3/4`, `2`.
fn sixteenths(value: f64) -> Option<String> {
    let parts = value * 16.0;
    let rounded = parts.round();
    if (parts - rounded).abs() > 1e-9 || rounded < 1.0 {
        return None;
    }
    let whole = libm::floor(rounded / 16.0);
    let (mut over, mut under) = (rounded - 16.0 * whole, 16.0);
    while over > 0.0 && over % 2.0 == 0.0 {
        over /= 2.0;
        under /= 2.0;
    }
    Some(match (whole > 0.0, over > 0.0) {
        (true, true) => format!("{whole}-{over}/{under}"),
        (false, _) => format!("{over}/{under}"),
        (true, false) => format!("{whole}"),
    })
}

/// The units that a dimension is written in, best first.
pub fn accepted(dimension: Dimension) -> &'static [&'static str] {
    units::asked(dimension).accepted
}

/// The plain name of a dimension with its article: `a length`, `a rainfall intensity`.
pub fn described(dimension: Dimension) -> &'static str {
    units::asked(dimension).described
}

fn read_asked(text: &str, asked: &Asked) -> Result<f64, ReadError> {
    as_printed(text, asked).map_or_else(|| read_any_form(text, asked), Ok)
}

/// The value of a text in the form that most have, which is the one that a quantity is shown in: digits, perhaps a
/// point and more digits, a space, a unit as the table has it. Nothing for any other text, good or bad.
fn as_printed(text: &str, asked: &Asked) -> Option<f64> {
    let (number, symbol) = text.split_at_checked(text.bytes().position(|letter| letter == b' ')?)?;
    let symbol = symbol.strip_prefix(' ')?;
    let (whole, decimals) = match number.bytes().position(|letter| letter == b'.') {
        Some(point) => (number.get(..point)?, number.get(point + 1..)?),
        None => (number, "0"),
    };
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|letter| letter.is_ascii_digit());
    if !digits(whole) || !digits(decimals) || !asked.accepted.contains(&symbol) {
        return None;
    }
    let value = units::printed(symbol)?.to_si(number.parse().ok()?, asked.dimension);
    value.is_finite().then_some(value)
}

fn read_any_form(text: &str, asked: &Asked) -> Result<f64, ReadError> {
    let scanned = scan(text, asked)?;
    let value = read_parts(&scanned, asked)?;
    if value.is_finite() {
        return Ok(value);
    }
    Err(ReadError::NotFinite { number: echo(text), example: asked.example, at: scanned.at })
}

fn read_parts(scanned: &Scanned, asked: &Asked) -> Result<f64, ReadError> {
    let sign = scanned.sign;
    match scanned.parts.as_slice() {
        [part] if asked.dimension == Dimension::Number && part.unit.is_empty() => Ok(sign * part.number.value),
        [part] => Ok(resolve(part, sign, asked)?.to_si(sign * part.number.value, asked.dimension)),
        [first, second] => two_parts(first, second, scanned, asked),
        _ => Err(several(scanned, None, asked)),
    }
}

fn several(scanned: &Scanned, instead: Option<String>, asked: &Asked) -> ReadError {
    ReadError::TwoNumbers { text: scanned.text.clone(), instead, example: asked.example, at: scanned.at.clone() }
}

/// The unit of a part, if the dimension asked for is written in it.
fn resolve(part: &Part, sign: f64, asked: &Asked) -> Result<&'static Unit, ReadError> {
    let at = part.unit_at.clone();
    let wanted = asked.described;
    let accepted = asked.accepted;
    let number = if sign < 0.0 { format!("-{}", part.number.text) } else { part.number.text.clone() };
    if part.unit.is_empty() {
        return Err(ReadError::NoUnit {
            number,
            wanted,
            propose: asked.propose,
            accepted: asked.accepted,
            at: part.number.at.clone(),
        });
    }
    let unit = part.unit.clone();
    let normal = units::normal(&unit);
    if units::imperial(&normal) {
        return Err(ReadError::Imperial { unit, at });
    }
    let time = matches!(asked.dimension, Dimension::Duration | Dimension::ReturnPeriod);
    let metres_for_time = || {
        let time = if asked.dimension == Dimension::Duration { "min" } else { "yr" };
        format!("{number} {time}")
    };
    let Some(found) = units::find(&normal) else {
        if asked.dimension == Dimension::Number {
            return Err(ReadError::UnitOfNumber { unit, number, at });
        }
        let instead = units::nearest(&normal, accepted).map(|symbol| format!("{number} {symbol}"));
        return Err(ReadError::UnknownUnit { unit, wanted, instead, accepted, at });
    };
    if units::capital_matters(&unit) {
        let instead = if time { metres_for_time() } else { format!("{number} {}", found.symbol) };
        return Err(ReadError::Capital { unit, instead, at });
    }
    if accepted.contains(&found.symbol) {
        if units::metric(found.symbol) && part.number.text.matches(',').count() == 1 {
            let text = &part.number.text;
            return Err(ReadError::CommaInMetric {
                number: text.clone(),
                thousands: format!("{} {}", text.replace(',', ""), found.symbol),
                decimal: format!("{} {}", text.replace(',', "."), found.symbol),
                at: part.number.at.clone(),
            });
        }
        return Ok(found);
    }
    Err(match (found.home, asked.dimension) {
        (_, Dimension::Number) => ReadError::UnitOfNumber { unit, number, at },
        (Dimension::Length, Dimension::Duration | Dimension::ReturnPeriod) if found.symbol == "m" => {
            ReadError::MetresForTime { unit, wanted, instead: metres_for_time(), at }
        }
        (Dimension::Length, Dimension::Slope) => {
            let symbol = found.symbol;
            let instead = match symbol {
                "in" => format!("write `{number} in per ft`"),
                "mm" | "cm" => format!("write `{number} {symbol} per m`"),
                // over one foot or metre it would be a wall
                _ => {
                    format!(
                        "say over what distance it falls so much: {number} {symbol} in 100 {symbol} is `{number} %`"
                    )
                }
            };
            ReadError::FallWithoutRun { unit, instead, at }
        }
        (Dimension::Pressure, Dimension::Length | Dimension::Level) => {
            let us = found.symbol == "psi";
            let column = |value: f64| {
                let metres = found.to_si(value, Dimension::Head);
                if us {
                    format!("{} ft", significant(Length::from_m(metres).ft(), 3))
                } else {
                    format!("{} m", significant(metres, 3))
                }
            };
            let instead = column(sign * part.number.value);
            ReadError::PressureForHeight { unit: found.symbol.to_owned(), wanted, one: column(1.0), instead, at }
        }
        (home, dimension)
            if home == dimension
                || matches!(home, Dimension::Length)
                    && matches!(dimension, Dimension::Level | Dimension::Head | Dimension::RainDepth)
                || matches!(home, Dimension::Velocity) && matches!(dimension, Dimension::Intensity) =>
        {
            ReadError::UnusualUnit { unit, wanted, accepted, at }
        }
        (home, _) => {
            let name = units::asked(home).described;
            let found = name.split_once(' ').map_or(name, |(_, noun)| noun);
            ReadError::WrongUnit { unit, found, wanted, accepted, at }
        }
    })
}

/// `3 ft 6 in`, `1:100`, `2 in per 10 ft`; all else with two numbers is refused.
fn two_parts(first: &Part, second: &Part, scanned: &Scanned, asked: &Asked) -> Result<f64, ReadError> {
    let at = scanned.at.clone();
    if first.unit == ":" {
        return ratio(&first.number, second, scanned, asked);
    }
    let normal = units::normal(&first.unit);
    if asked.dimension == Dimension::Slope
        && let Some(fall) = normal.strip_suffix(" per").or_else(|| normal.strip_suffix('/'))
        && let Some(fall) = length_unit(fall)
        && let Some(run) = length_unit(&units::normal(&second.unit))
    {
        let run = run.to_si(second.number.value, Dimension::Length);
        if run == 0.0 {
            return Err(ReadError::ZeroDenominator { number: scanned.text.clone(), at });
        }
        return Ok(scanned.sign * fall.to_si(first.number.value, Dimension::Length) / run);
    }
    if asked.dimension == Dimension::Slope && normal == "in" && second.unit.is_empty() {
        // `1 in 100`: a ratio, or an inch in so many of something
        let instead = format!("{}:{}", first.number.text, second.number.text);
        return Err(several(scanned, Some(instead), asked));
    }
    if first.unit.is_empty() {
        // `1 000 ft`
        let digits = |part: &Part| part.number.text.chars().all(|letter| letter.is_ascii_digit());
        let group = second.number.text.len() == 3 && digits(first) && digits(second) && !second.unit.is_empty();
        let instead = group.then(|| format!("{}{} {}", first.number.text, second.number.text, second.unit));
        return Err(several(scanned, instead, asked));
    }
    let Some(larger) = units::find(&normal) else { return Err(several(scanned, None, asked)) };
    if !asked.accepted.contains(&larger.symbol) {
        resolve(first, scanned.sign, asked)?;
    }
    let compound = |larger: &str, smaller: Option<&str>| {
        COMPOUNDS.iter().find(|(large, small, _)| *large == larger && smaller.is_none_or(|smaller| *small == smaller))
    };
    if second.unit.is_empty() {
        let Some((_, small, _)) = compound(larger.symbol, None) else { return Err(several(scanned, None, asked)) };
        let number = second.number.text.clone();
        let instead = format!("{} {} {number} {small}", first.number.text, larger.symbol);
        return Err(ReadError::SecondUnit {
            text: scanned.text.clone(),
            number,
            instead,
            at: second.number.at.clone(),
        });
    }
    let Some(smaller) = units::find(&units::normal(&second.unit)) else {
        return Err(several(scanned, None, asked));
    };
    if compound(smaller.symbol, Some(larger.symbol)).is_some() {
        let (large, small) = (&second.number.text, &first.number.text);
        let instead = format!("{large} {} {small} {}", smaller.symbol, larger.symbol);
        return Err(ReadError::WrongOrder { text: scanned.text.clone(), instead, at });
    }
    let Some((unit, small, limit)) = compound(larger.symbol, Some(smaller.symbol)) else {
        return Err(several(scanned, None, asked));
    };
    let (whole, part) = (first.number.value, second.number.value);
    if libm::trunc(whole) < whole {
        let instead = format!("{} {unit}", plain(scanned.sign * (whole + part / limit)));
        return Err(ReadError::NotWhole { text: scanned.text.clone(), unit, instead, at: first.number.at.clone() });
    }
    if part >= *limit {
        let carried = libm::floor(part / limit);
        let rest = part - carried * limit;
        let mut instead = format!("{} {unit}", plain(scanned.sign * (whole + carried)));
        if rest > 0.0 {
            instead = format!("{instead} {} {small}", plain(rest));
        }
        let at = second.number.at.start..second.unit_at.end;
        return Err(ReadError::TooMany {
            text: scanned.text.clone(),
            unit: small,
            larger: unit,
            limit: *limit,
            instead,
            at,
        });
    }
    let value = larger.to_si(whole, asked.dimension) + smaller.to_si(part, asked.dimension);
    Ok(scanned.sign * value)
}

fn length_unit(normal: &str) -> Option<&'static Unit> {
    units::find(normal.trim()).filter(|unit| unit.home == Dimension::Length)
}

fn ratio(fall: &Number, run: &Part, scanned: &Scanned, asked: &Asked) -> Result<f64, ReadError> {
    let at = scanned.at.clone();
    let text = scanned.text.clone();
    match asked.dimension {
        Dimension::Slope if run.unit.is_empty() => {
            if run.number.value == 0.0 {
                return Err(ReadError::ZeroDenominator { number: text, at });
            }
            if fall.value > run.number.value {
                let instead = format!("{}:{}", run.number.text, fall.text);
                return Err(ReadError::SteepRatio { text, instead, at });
            }
            Ok(scanned.sign * fall.value / run.number.value)
        }
        Dimension::Duration => Err(ReadError::Clock { text, number: plain(fall.value * 60.0 + run.number.value), at }),
        _ => Err(several(scanned, None, asked)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::tests::DIMENSIONS;

    #[test]
    fn identity_the_usual_form_is_read_like_any_other() {
        for dimension in DIMENSIONS {
            let asked = units::asked(dimension);
            for unit in asked.accepted {
                for number in ["0", "7", "007", "1.5", "0.125", "12.000", "123456789.987654321"] {
                    let text = format!("{number} {unit}");
                    let any = read_any_form(&text, &asked).unwrap().to_bits();
                    assert_eq!(as_printed(&text, &asked).map(f64::to_bits), Some(any), "{text}");
                }
            }
        }
    }

    #[test]
    fn no_other_form_is_taken_for_the_usual_one() {
        let asked = units::asked(Dimension::Length);
        let huge = format!("{} ft", "9".repeat(400));
        for text in [
            "",
            " ",
            "ft",
            " ft",
            "1",
            "1ft",
            "1  ft",
            "1 ft ",
            " 1 ft",
            "-1 ft",
            "+1 ft",
            "1. ft",
            ".5 ft",
            "1.5.2 ft",
            "1,5 ft",
            "1e3 ft",
            "1/2 ft",
            "½ ft",
            "1\u{a0}ft",
            "1 FT",
            "1 foot",
            "1 gpm",
            "1 ft 6 in",
            "inf ft",
            &huge,
        ] {
            assert_eq!(as_printed(text, &asked), None, "{text}");
        }
    }
}
