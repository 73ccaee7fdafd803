//! What may be chosen between, and what it costs.

use super::Good;
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
    /// A metre of the runs' pipe, by the label of its size; with its fittings unless `fittings` has some.
    pub pipe_per_m: Vec<(String, f64)>,
    /// A basin with its lid, by inside diameter.
    pub basin: Vec<(Length, f64)>,
    /// A kilowatt-hour.
    pub energy_per_kwh: Option<f64>,
    /// The rain of a year.
    pub rain_per_year: Option<RainDepth>,
    /// The months of a year in which groundwater seeps in; none where not entered.
    pub wet_months: Option<f64>,
    /// Fittings by name, perhaps with their size before it.
    pub fittings: Vec<(String, f64)>,
    /// A metre of solid drain pipe, by the label of its size.
    pub drain_pipe_per_m: Vec<(String, f64)>,
    /// A metre of French-drain pipe, likewise.
    pub french_pipe_per_m: Vec<(String, f64)>,
    /// Pumps by name.
    pub pumps: Vec<(String, f64)>,
    /// What has one price whatever its size, by SI units.
    pub goods: Vec<(Good, f64)>,
    /// Other costs in one sum each.
    pub lump_sums: Vec<(String, f64)>,
    /// How the money is called.
    pub currency: Option<String>,
}

impl Prices {
    /// The price of an SI unit of something, where it was entered.
    pub fn of(&self, good: Good) -> Option<f64> {
        self.goods.iter().find(|(known, _)| *known == good).map(|(_, price)| *price)
    }
}
