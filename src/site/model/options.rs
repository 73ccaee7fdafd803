//! What may be chosen between, and what it costs.

use crate::quantity::{Length, RainDepth};

/// What may be chosen between, as entered.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ToChooseFrom {
    /// Sizes of the discharge runs, as their labels; empty where none were entered.
    pub pipes: Vec<String>,
    /// Inside diameters of the basin; empty where none were entered.
    pub basins: Vec<Length>,
    /// Heights above the floor at which the pump stops; empty where none were entered.
    pub off: Vec<Length>,
    /// Heights above the floor at which it starts; empty where none were entered.
    pub on: Vec<Length>,
    /// What it costs.
    pub prices: Prices,
}

/// Prices, in the owner's money.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Prices {
    /// A metre of the runs' pipe with its fittings, by the label of its size.
    pub pipe_per_m: Vec<(String, f64)>,
    /// A basin with its lid, by inside diameter.
    pub basin: Vec<(Length, f64)>,
    /// A kilowatt-hour.
    pub energy_per_kwh: Option<f64>,
    /// The rain of a year.
    pub rain_per_year: Option<RainDepth>,
    /// The months of a year in which groundwater seeps in; none where not entered.
    pub wet_months: Option<f64>,
}
