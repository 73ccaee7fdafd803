//! The number that a formula is written over: a plain `f64`, or one that remembers how it was made.

use std::fmt::Debug;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// What a formula needs of a number.
///
/// Formulas that a report may have to show are written over this trait. With `f64` they cost nothing extra;
/// with [`crate::working::Traced`] the same code yields its own text.
pub trait Real:
    Copy
    + Debug
    + PartialOrd
    + From<f64>
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
    + Add<f64, Output = Self>
    + Sub<f64, Output = Self>
    + Mul<f64, Output = Self>
    + Div<f64, Output = Self>
{
    /// The plain number.
    fn value(self) -> f64;
    /// `self` raised to a constant power.
    #[must_use]
    fn powf(self, exponent: f64) -> Self;
    /// Square root.
    #[must_use]
    fn sqrt(self) -> Self;
    /// Natural logarithm.
    #[must_use]
    fn ln(self) -> Self;
    /// Logarithm to base 10.
    #[must_use]
    fn log10(self) -> Self;
    /// Exponential.
    #[must_use]
    fn exp(self) -> Self;
    /// The smaller of two.
    #[must_use]
    fn least(self, other: Self) -> Self;
    /// The larger of two.
    #[must_use]
    fn greatest(self, other: Self) -> Self;
}

impl Real for f64 {
    fn value(self) -> f64 {
        self
    }
    fn powf(self, exponent: f64) -> f64 {
        libm::pow(self, exponent)
    }
    fn sqrt(self) -> f64 {
        f64::sqrt(self)
    }
    fn ln(self) -> f64 {
        libm::log(self)
    }
    fn log10(self) -> f64 {
        libm::log10(self)
    }
    fn exp(self) -> f64 {
        libm::exp(self)
    }
    fn least(self, other: f64) -> f64 {
        self.min(other)
    }
    fn greatest(self, other: f64) -> f64 {
        self.max(other)
    }
}
