//! Reading single cells.

use crate::quantity::{Duration, ReturnPeriod};

/// A line or cell without what surrounds its text: spaces, trailing commas, quotes.
pub(super) fn clean(text: &str) -> &str {
    text.trim().trim_end_matches([',', ' ', '\t']).trim_matches('"').trim()
}

/// A cell as messages have it: enough to find it by, and no more of a file that may be another one.
pub(super) fn shown(cell: &str) -> String {
    const SHOWN: usize = 24;
    let rest = if cell.chars().nth(SHOWN).is_some() { "…" } else { "" };
    cell.chars().take(SHOWN).map(|letter| if letter.is_control() { ' ' } else { letter }).chain(rest.chars()).collect()
}

/// The cells of a line, trailing empty ones left out.
pub(super) fn cells(line: &str) -> Vec<&str> {
    let mut cells: Vec<&str> = line.split(',').map(clean).collect();
    while cells.last().is_some_and(|cell| cell.is_empty()) {
        cells.pop();
    }
    cells
}

/// An ordinary number.
pub(super) fn number(cell: &str) -> Option<f64> {
    let plain = cell.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | '-' | '+' | 'e' | 'E'));
    cell.parse().ok().filter(|number: &f64| plain && number.is_finite())
}

/// The number that a text begins with: `40.0962 Degree`, `40.4167°`.
pub(super) fn leading_number(text: &str) -> Option<f64> {
    let end = text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+'))).unwrap_or(text.len());
    number(text.get(..end)?)
}

/// `5-min:`, `24-hr:`, `10-day:`.
pub(super) fn duration(cell: &str) -> Option<Duration> {
    let cell = cell.trim_end_matches(':').trim().to_lowercase();
    let (count, unit) = cell.split_once(['-', ' '])?;
    let count = number(count.trim()).filter(|count| *count > 0.0)?;
    let duration = match unit.trim() {
        "min" | "mins" | "minute" | "minutes" => Duration::from_min(count),
        "hr" | "hrs" | "hour" | "hours" => Duration::from_h(count),
        "day" | "days" => Duration::from_day(count),
        _ => return None,
    };
    duration.s().is_finite().then_some(duration)
}

/// A column's recurrence interval in years: `25`.
pub(super) fn interval(cell: &str) -> Option<ReturnPeriod> {
    number(cell).filter(|years| *years > 0.0).map(ReturnPeriod::from_years)
}

/// The period of a column's yearly probability: `1/25`, or `0.04`.
pub(super) fn probability(cell: &str) -> Option<ReturnPeriod> {
    let years = match cell.split_once('/') {
        Some((one, years)) if number(one.trim()) == Some(1.0) => number(years.trim())?,
        Some(_) => return None,
        None => 1.0 / number(cell).filter(|share| *share > 0.0)?,
    };
    (years.is_finite() && years > 1.0).then(|| ReturnPeriod::from_years(years))
}

/// Decimals that a number is printed with.
pub(super) fn decimals(cell: &str) -> i32 {
    cell.split_once('.').map_or(0, |(_, decimals)| i32::try_from(decimals.len()).unwrap_or(i32::MAX))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_surrounds_a_cell_is_left_out() {
        for (text, wanted) in [("  a b ,, ", "a b"), ("\"a, b\",,", "a, b"), (" \" a \" ", "a"), (",,,", ""), ("", "")]
        {
            assert_eq!(clean(text), wanted, "{text}");
        }
        assert_eq!(cells("a:, 1 ,2,,"), ["a:", "1", "2"]);
        assert_eq!(cells("a,,b"), ["a", "", "b"]);
        assert!(cells(" , ,").is_empty());
    }

    #[test]
    fn long_cells_are_cut() {
        let letters = "abcdefghijklmnopqrstuvwx";
        assert_eq!(shown(letters), letters);
        assert_eq!(shown(&format!("{letters}y")), format!("{letters}…"));
        assert_eq!(shown("a\tb\u{1b}c"), "a b c");
    }

    #[test]
    fn numbers_are_ordinary() {
        for (cell, wanted) in [("12.5", Some(12.5)), ("-3", Some(-3.0)), ("1e2", Some(100.0)), ("1E+2", Some(100.0))] {
            assert_eq!(number(cell), wanted, "{cell}");
        }
        for cell in ["", "NaN", "inf", "1e999", "12 in", "0x1", "-"] {
            assert_eq!(number(cell), None, "{cell}");
        }
        assert_eq!(leading_number("40.0962 Degree"), Some(40.0962));
        assert_eq!(leading_number("-88.2574"), Some(-88.2574));
        assert_eq!((leading_number("north 3"), leading_number("")), (None, None));
    }

    #[test]
    fn durations_periods_and_decimals() {
        for (cell, minutes) in [
            ("5-min:", 5.0),
            ("1 mins", 1.0),
            ("1-minute", 1.0),
            ("90-Minutes:", 90.0),
            ("2-hr:", 120.0),
            ("3-hrs", 180.0),
            ("1-hour", 60.0),
            ("24-hours:", 1440.0),
            ("1-day:", 1440.0),
            ("2 days", 2880.0),
        ] {
            assert_eq!(duration(cell), Some(Duration::from_min(minutes)), "{cell}");
        }
        for cell in ["", "5", "min", "0-min:", "-5-min:", "5-moons:", "1e308-day:"] {
            assert_eq!(duration(cell), None, "{cell}");
        }
        let years = |period: Option<ReturnPeriod>| period.map(ReturnPeriod::years);
        assert_eq!((years(interval("25")), years(interval("0")), years(interval("-1"))), (Some(25.0), None, None));
        for (cell, wanted) in [("1/25", Some(25.0)), (" 1 / 2 ", Some(2.0)), ("0.04", Some(25.0)), ("0.5", Some(2.0))] {
            assert_eq!(years(probability(cell)), wanted, "{cell}");
        }
        // a year's storm of every year has no period, and neither has one of none
        for cell in ["1", "1/1", "2/25", "0", "-0.04", "1/x", "x", "1/0.5", "1/-3"] {
            assert_eq!(years(probability(cell)), None, "{cell}");
        }
        assert_eq!((decimals("12"), decimals("12."), decimals("1.25")), (0, 0, 2));
    }
}
