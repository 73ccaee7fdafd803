//! One check: run it, bring it to the unit of the source, compare.

use crate::data::{Case, Check};
use crate::given::Given;
use crate::run;
use std::collections::BTreeSet;
use sumpwright::quantity::factor::{FOOT, POUND_FORCE};
use sumpwright::quantity::{Amount, Dimension, read_si};

/// What came of a check, printed with two digits more than the source prints.
pub(crate) struct Checked {
    pub(crate) agrees: bool,
    /// The library's value, through the ratio.
    pub(crate) got: String,
    pub(crate) difference: String,
    pub(crate) tolerance: String,
    /// The difference over the tolerance.
    pub(crate) share: f64,
    /// The difference over the value, where that is not nothing.
    pub(crate) relative: Option<f64>,
}

/// Runs a check.
///
/// An input of its own that the function does not ask for is a mistake in the data.
pub(crate) fn checked(case: &Case, check: &Check) -> Result<Checked, String> {
    let given = Given::new(&check.given, &case.given);
    let amount = run::run(check.function(case), &given)?;
    let read = given.keys_read();
    if let Some(unread) = check.given.keys().find(|key| !read.contains(*key)) {
        return Err(format!("the input `{unread}` is not used"));
    }
    let got = in_unit(amount, &check.unit)? * check.ratio(case);
    let (expected, tolerance) = (check.expected_value()?, check.tolerance_value()?);
    let difference = got - expected;
    // room for the last bit of a value that lies on the edge of its rounding, such as a printed 0.5 ± 0.5
    let agrees = difference.abs() <= tolerance * (1.0 + 1e-9) + 1e-15 * expected.abs();
    Ok(Checked {
        agrees,
        got: printed(check, got),
        difference: signed(&printed(check, difference)),
        tolerance: check.tolerance.clone(),
        share: difference.abs() / tolerance,
        relative: (expected != 0.0).then(|| difference.abs() / expected.abs()),
    })
}

/// The keys that a check asks for, right or wrong.
pub(crate) fn keys_read(case: &Case, check: &Check) -> BTreeSet<String> {
    let given = Given::new(&check.given, &case.given);
    let _ = run::run(check.function(case), &given);
    given.keys_read()
}

/// The number of an amount in a unit, by the project's own table of units.
fn in_unit(amount: Amount, unit: &str) -> Result<f64, String> {
    let one = match (amount.dimension, unit) {
        // the project has no type for starts in an hour, nor for dynamic viscosity
        (Dimension::Number, "1" | "1/h" | "Pa s" | "money" | "kWh" | "ohm" | "V") => 1.0,
        (Dimension::Number, "lbf s/ft2") => POUND_FORCE / (FOOT * FOOT),
        (Dimension::Number, other) => return Err(format!("a plain number cannot be read in {other}")),
        (dimension, unit) => {
            read_si(&format!("1 {unit}"), dimension).map_err(|error| format!("unit {unit}: {error}"))?
        }
    };
    Ok(amount.si / one)
}

fn printed(check: &Check, value: f64) -> String {
    let (digits, exponent) = check.printed();
    if exponent == 0 {
        format!("{value:.*}", digits + 2)
    } else {
        let scaled = value / libm::pow(10.0, f64::from(exponent));
        format!("{scaled:.*}e{exponent}", digits + 2)
    }
}

/// With a sign, unless it is nothing.
fn signed(text: &str) -> String {
    let nothing =
        text.split('e').next().is_some_and(|number| number.chars().all(|letter| matches!(letter, '-' | '0' | '.')));
    match (nothing, text.strip_prefix('-')) {
        (true, _) => "0".to_owned(),
        (false, Some(number)) => format!("−{number}"),
        (false, None) => format!("+{text}"),
    }
}
