//! Choosing the pump: its curve, where it meets the system curve, and which candidate serves best.

mod curve;
mod duty;
mod parallel;
pub mod power;
#[cfg(test)]
mod tests;

pub use curve::{CurveError, Interpolation, PumpCurve};
pub use duty::{Duty, DutyPoint, duty_point, duty_point_near, head_factor_for};
pub use parallel::{Branch, OnItsRiser, Together, together, together_near};

use crate::quantity::{Duration, Length, Power, Volume};

/// A pump as its data sheet describes it.
#[derive(Clone, Debug, PartialEq)]
pub struct Pump {
    /// Its name in the site file.
    pub name: String,
    /// Head against flow.
    pub curve: PumpCurve,
    /// The most starts in an hour that the maker allows.
    pub starts_per_hour: Option<f64>,
    /// The shortest run that the maker allows.
    pub minimum_run: Option<Duration>,
    /// The least depth of water that it needs, above the basin's floor.
    pub lowest_level: Option<Length>,
    /// Its height.
    pub height: Option<Length>,
    /// The water it takes the place of.
    pub displaced: Option<Volume>,
    /// The largest solid that passes.
    pub passes: Option<Length>,
    /// The label of its outlet's size.
    pub outlet_size: Option<String>,
    /// Electrical power drawn.
    pub power: Option<Power>,
    /// Rated voltage.
    pub volts: Option<f64>,
    /// Running current, amperes.
    pub running_amps: Option<f64>,
    /// Current at the start, amperes.
    pub starting_amps: Option<f64>,
    /// Efficiency of pump and motor together, from wire to water.
    pub efficiency: Option<f64>,
    /// Efficiency of the motor alone.
    pub motor_efficiency: Option<f64>,
    /// Price, in the user's money.
    pub price: Option<f64>,
}
