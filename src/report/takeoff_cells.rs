//! How counts and money are written in the papers of a takeoff.

use crate::job::takeoff::{Count, Takeoff};

/// So much of something.
pub(crate) fn count(count: &Count) -> String {
    let number = match count.value {
        value if count.whole || value >= 100.0 => format!("{value:.0}"),
        value if value >= 1.0 => format!("{value:.1}"),
        value => format!("{value:.2}"),
    };
    format!("{number} {}", count.unit).trim_end().to_owned()
}

/// An amount without the name of the money.
pub(crate) fn bare(amount: f64) -> String {
    format!("{amount:.2}")
}

/// An amount with the name of the money before it; signs stand close, letters apart.
pub(crate) fn money(takeoff: &Takeoff, amount: f64) -> String {
    let currency = &takeoff.currency;
    let apart = if currency.chars().next_back().is_some_and(char::is_alphanumeric) { " " } else { "" };
    format!("{currency}{apart}{}", bare(amount))
}

/// What somebody has to be told about a total that is not all.
pub(crate) fn lacks(takeoff: &Takeoff) -> String {
    let of = |count: usize, one: &str, more: &str| format!("{count} {}", if count == 1 { one } else { more });
    let parts = [
        (takeoff.missing.len(), "price or rate is missing", "prices and rates are missing"),
        (takeoff.not_measured.len(), "thing is not measured", "things are not measured"),
    ];
    let said: Vec<String> =
        parts.into_iter().filter(|(count, ..)| *count > 0).map(|(count, one, more)| of(count, one, more)).collect();
    said.join(" and ")
}
