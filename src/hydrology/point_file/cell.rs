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
