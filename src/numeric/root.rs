//! A root inside a bracket: never leaves it, always ends.

use thiserror::Error;

/// The most evaluations; bisection alone reaches the last digit of any bracket in about 1 100.
const MOST_EVALUATIONS: u32 = 200;
/// The bracket is closed when it is this share of the root's size.
const RELATIVE_TOLERANCE: f64 = 4.0 * f64::EPSILON;

/// A root found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Root {
    /// Where the function vanishes.
    pub x: f64,
    /// What is left of the function there.
    pub residual: f64,
    /// Evaluations of the function.
    pub evaluations: u32,
}

/// Why no root was found.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum RootError {
    /// The function has one sign at both ends.
    #[error("no crossing between {low} (value {at_low}) and {high} (value {at_high})")]
    NoCrossing {
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
        /// Value at the lower end.
        at_low: f64,
        /// Value at the upper end.
        at_high: f64,
    },
    /// The function is not a number somewhere in the bracket.
    #[error("not a number at {at}")]
    NotANumber {
        /// Where.
        at: f64,
    },
    /// The bracket did not close in the evaluations allowed.
    #[error("not converged between {low} and {high} after {evaluations} evaluations")]
    NotConverged {
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
        /// Evaluations spent.
        evaluations: u32,
    },
}

/// The root of `f` between `low` and `high`, where it has opposite signs, to within `tolerance` in x.
///
/// Chandrupatla's method (Adv. Eng. Software 28, 1997): inverse quadratic interpolation where it is safe, bisection
/// where it is not, so that a steep or flat function costs no more than bisection.
///
/// # Errors
/// No change of sign, a value that is not a number, or no convergence.
pub fn bracketed_root(low: f64, high: f64, tolerance: f64, mut f: impl FnMut(f64) -> f64) -> Result<Root, RootError> {
    let mut evaluations = 0_u32;
    let mut value = |x: f64| -> Result<f64, RootError> {
        evaluations += 1;
        let y = f(x);
        if y.is_nan() { Err(RootError::NotANumber { at: x }) } else { Ok(y) }
    };
    let (mut newest, mut opposite) = (high, low);
    let (mut at_newest, mut at_opposite) = (value(newest)?, value(opposite)?);
    for (x, y) in [(newest, at_newest), (opposite, at_opposite)] {
        if y == 0.0 {
            return Ok(Root { x, residual: 0.0, evaluations: 2 });
        }
    }
    if (at_newest > 0.0) == (at_opposite > 0.0) {
        return Err(RootError::NoCrossing { low, high, at_low: at_opposite, at_high: at_newest });
    }
    let mut part = 0.5;
    for _ in 0..MOST_EVALUATIONS {
        let x = newest + part * (opposite - newest);
        let y = value(x)?;
        let (third, at_third);
        if (y > 0.0) == (at_newest > 0.0) {
            (third, at_third) = (newest, at_newest);
        } else {
            (third, at_third) = (opposite, at_opposite);
            (opposite, at_opposite) = (newest, at_newest);
        }
        (newest, at_newest) = (x, y);

        let (best, at_best) =
            if at_newest.abs() < at_opposite.abs() { (newest, at_newest) } else { (opposite, at_opposite) };
        let closest = 2.0 * RELATIVE_TOLERANCE * best.abs() + tolerance;
        let width = (opposite - newest).abs();
        if at_best == 0.0 || width <= closest {
            return Ok(Root { x: best, residual: at_best, evaluations });
        }
        let least = (0.5 * closest / width).min(0.5);
        let xi = (newest - opposite) / (third - opposite);
        let phi = (at_newest - at_opposite) / (at_third - at_opposite);
        let inverse_quadratic = phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi;
        part = if inverse_quadratic {
            at_newest / (at_opposite - at_newest) * at_third / (at_opposite - at_third)
                + (third - newest) / (opposite - newest) * at_newest / (at_third - at_newest) * at_opposite
                    / (at_third - at_opposite)
        } else {
            0.5
        };
        part = if part.is_nan() { 0.5 } else { part.clamp(least, 1.0 - least) };
    }
    Err(RootError::NotConverged { low, high, evaluations })
}
