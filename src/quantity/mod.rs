//! Unit-safe quantities: reading them as people write, doing arithmetic with them, printing them.
//!
//! Every quantity holds one private number in SI and is a type of its own, so that adding feet to gallons, or a
//! head to a level, does not compile. Only products that mean something exist. The number may be a plain `f64`
//! or a [`Traced`](crate::working::Traced) one that remembers the formula it came from.

mod amount;
pub mod factor;
mod real;
mod types;

pub use amount::{Amount, Style, UnitSystem};
pub use real::Real;
pub use types::{
    Area, Density, Dimension, Duration, Flow, Head, Intensity, Length, Level, Measure, Power, Pressure, RainDepth,
    ReturnPeriod, Slope, Temperature, Velocity, Viscosity, Volume, Weight,
};
