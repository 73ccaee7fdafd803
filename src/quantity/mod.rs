//! Unit-safe quantities: reading them as people write, doing arithmetic with them, printing them.
//!
//! Every quantity holds one private number in SI and is a type of its own, so that adding feet to gallons, or a
//! head to a level, does not compile. Only products that mean something exist. The number may be a plain `f64`
//! or a [`Traced`](crate::working::Traced) one that remembers the formula it came from.

mod amount;
pub mod factor;
mod number;
mod print;
mod read;
mod read_error;
mod real;
mod scan;
mod types;
mod units;

#[cfg(test)]
mod tests;

pub use amount::{Amount, Style, UnitSystem};
pub use read::{accepted, described, read, read_pair, read_si, read_size};
pub use read_error::ReadError;
pub(crate) use read_error::metric_twin;
pub use real::Real;
pub use types::{
    Area, Density, Dimension, Duration, Flow, Head, Intensity, Length, Level, Measure, Power, Pressure, RainDepth,
    ReturnPeriod, Slope, Temperature, Velocity, Viscosity, Volume, Weight,
};
