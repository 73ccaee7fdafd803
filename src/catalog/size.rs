//! Pipe sizes, which are labels, as lengths.

use crate::quantity::Length;

/// The length that the label of a pipe size speaks of: 1.5 in for `1-1/2 in`, 63 mm for `63 mm`.
///
/// It is no bore. It serves to compare a pipe with a pump's outlet and sizes with each other. In inches it is near
/// the bore, in millimetres it is the outside diameter. Whole numbers, decimals, fractions and a whole number with
/// a fraction are read, in `in` or `mm`; anything else, zero and less give nothing.
pub fn nominal_as_length(size: &str) -> Option<Length> {
    let size = size.trim();
    let (number, unit): (&str, fn(f64) -> Length) = match (unit(size, "in"), unit(size, "mm")) {
        (Some(number), _) => (number, Length::from_inch),
        (None, Some(number)) => (number, Length::from_mm),
        (None, None) => return None,
    };
    let value = match number.split_once(['-', ' ']) {
        Some((whole, part)) => plain(whole)? + fraction(part.trim())?,
        None if number.contains('/') => fraction(number)?,
        None => plain(number)?,
    };
    Some(unit(value)).filter(|length| length.is_finite() && *length > Length::ZERO)
}

/// What stands before a unit.
fn unit<'size>(size: &'size str, unit: &str) -> Option<&'size str> {
    let at = size.len().checked_sub(unit.len())?;
    let (number, end) = size.split_at_checked(at)?;
    end.eq_ignore_ascii_case(unit).then(|| number.trim_end())
}

fn plain(number: &str) -> Option<f64> {
    // Digits and a point alone: `parse` would also take signs, exponents and the names of infinity.
    number.chars().all(|c| c.is_ascii_digit() || c == '.').then(|| number.parse().ok())?
}

fn fraction(text: &str) -> Option<f64> {
    let (over, under) = text.split_once('/')?;
    Some(plain(over.trim())? / plain(under.trim())?).filter(|value| value.is_finite())
}

/// Whether two labels mean the same size: `2 in` and `2.0 IN`, but not `2 in` and `50.8 mm`.
pub(super) fn same_size(one: &str, other: &str) -> bool {
    let (one, other) = (one.trim(), other.trim());
    if one.eq_ignore_ascii_case(other) {
        return true;
    }
    let metric = |size| unit(size, "mm").is_some();
    metric(one) == metric(other)
        && nominal_as_length(one)
            .zip(nominal_as_length(other))
            .is_some_and(|(one, other)| (one - other).abs() < Length::from_mm(1e-3))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn labels_are_read_as_lengths() {
        for (label, inches) in [
            ("1-1/2 in", 1.5),
            ("1 1/4 in", 1.25),
            ("2 in", 2.0),
            ("3/4 in", 0.75),
            ("2.5 IN", 2.5),
            ("63 mm", 63.0 / 25.4),
            (" 110mm ", 110.0 / 25.4),
        ] {
            assert_relative_eq!(nominal_as_length(label).unwrap().inch(), inches, max_relative = 1e-12);
        }
    }

    #[test]
    fn what_is_no_size_gives_nothing() {
        for label in ["", "in", "2", "two in", "-2 in", "0 in", "1/0 in", "0/0 in", "1-1/0 in", "1e3 in", "inf in", "é"]
        {
            assert_eq!(nominal_as_length(label), None, "{label}");
        }
    }

    #[test]
    fn sizes_are_the_same_in_one_unit_only() {
        assert!(same_size("1-1/2 in", "1.5 in"));
        assert!(same_size("63 MM", "63 mm"));
        assert!(!same_size("2 in", "50.8 mm"));
        assert!(!same_size("x", "y"));
    }
}
