//! Which name in a case file is which function of the library.

mod catalog;
mod collection;
mod ground;
mod hydraulics;
mod hydrology;
mod pressure;
mod routing;
mod station;
mod storms;
mod units;

use crate::given::Given;
use sumpwright::quantity::{Amount, Measure};

/// What a function gives, or why it gives nothing.
type Outcome = Result<Amount, String>;
/// A name and the function behind it.
type Entry = (&'static str, fn(&Given<'_>) -> Outcome);

const TABLES: [&[Entry]; 10] = [
    catalog::TABLE,
    units::TABLE,
    hydrology::TABLE,
    collection::TABLE,
    hydraulics::TABLE,
    pressure::TABLE,
    station::TABLE,
    storms::TABLE,
    ground::TABLE,
    routing::TABLE,
];

/// Every name.
pub(crate) fn names() -> impl Iterator<Item = &'static str> {
    TABLES.into_iter().flatten().map(|entry| entry.0)
}

/// Runs the function of a name.
pub(crate) fn run(computes: &str, given: &Given<'_>) -> Outcome {
    let entry = TABLES.into_iter().flatten().find(|entry| entry.0 == computes);
    let (_, function) = entry.ok_or_else(|| format!("`{computes}` is not a function that can be checked"))?;
    let amount = function(given)?;
    if amount.si.is_finite() { Ok(amount) } else { Err(format!("the result is {}", amount.si)) }
}

/// A result of any quantity. Always there, but every entry of a table must be of one type.
#[allow(clippy::unnecessary_wraps)]
fn amount<Q: Measure<f64>>(quantity: Q) -> Outcome {
    Ok(Amount::of(quantity))
}

/// A result that may be missing.
fn known<Q: Measure<f64>>(quantity: Option<Q>) -> Outcome {
    quantity.map(Amount::of).ok_or_else(|| "no result".to_owned())
}
