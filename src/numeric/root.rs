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
    let (at_low, at_high) = (f(low), f(high));
    root_between((low, at_low), (high, at_high), tolerance, f)
}

/// [`bracketed_root`] where the values at the ends are known already; they are not counted as evaluations.
///
/// # Errors
/// As [`bracketed_root`].
pub fn root_between(
    (low, at_low): (f64, f64),
    (high, at_high): (f64, f64),
    tolerance: f64,
    mut f: impl FnMut(f64) -> f64,
) -> Result<Root, RootError> {
    let mut evaluations = 0_u32;
    let number = |x: f64, y: f64| if y.is_nan() { Err(RootError::NotANumber { at: x }) } else { Ok(y) };
    let mut value = |x: f64| -> Result<f64, RootError> {
        evaluations += 1;
        number(x, f(x))
    };
    let (mut newest, mut opposite) = (high, low);
    let (mut at_newest, mut at_opposite) = (number(high, at_high)?, number(low, at_low)?);
    for (x, y) in [(newest, at_newest), (opposite, at_opposite)] {
        if y == 0.0 {
            return Ok(Root { x, residual: 0.0, evaluations: 0 });
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

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    #[test]
    fn identity_known_roots() {
        let root = bracketed_root(0.0, 2.0, 0.0, |x| x * x - 2.0).unwrap();
        assert_relative_eq!(root.x, std::f64::consts::SQRT_2, max_relative = 1e-15);
        let root = bracketed_root(0.0, 1.0, 0.0, |x| libm::cos(x) - x).unwrap();
        assert_relative_eq!(root.x, 0.739_085_133_215_160_6, max_relative = 1e-14);
        assert_relative_eq!(bracketed_root(-1.0, 1.0, 0.0, |x| x).unwrap().x, 0.0);
    }

    #[test]
    fn identity_errors_say_what_is_wrong() {
        assert!(matches!(bracketed_root(0.0, 1.0, 0.0, |x| x + 1.0), Err(RootError::NoCrossing { .. })));
        assert!(matches!(bracketed_root(0.0, 1.0, 0.0, |_| f64::NAN), Err(RootError::NotANumber { .. })));
        let nan_inside = |x: f64| if x > 0.1 && x < 0.9 { f64::NAN } else { x - 0.5 };
        assert!(matches!(bracketed_root(0.0, 1.0, 0.0, nan_inside), Err(RootError::NotANumber { .. })));
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn identity_never_leaves_the_bracket_and_ends(root in -5.0..5.0_f64, steep in 0.01..200.0_f64, power in 1.0..9.0_f64) {
            // flat at the root, steep away from it
            let f = |x: f64| libm::pow((x - root).abs(), power).copysign(x - root) * steep;
            let mut outside = false;
            let found = bracketed_root(-6.0, 7.0, 1e-9, |x| {
                outside |= !(-6.0..=7.0).contains(&x);
                f(x)
            }).unwrap();
            prop_assert!(!outside);
            prop_assert!((found.x - root).abs() < 1e-6_f64.max(libm::pow(1e-300 / steep, 1.0 / power)), "{found:?}");
            prop_assert!(found.evaluations <= 200);
        }
    }
}
