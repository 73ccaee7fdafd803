//! The wire types of the sets tried.

use super::Quantity;
use serde::Serialize;

/// The sets tried, and those worth choosing between.
#[derive(Clone, Debug, Serialize)]
pub struct OptionsOut {
    /// The version of this form.
    pub format: u32,
    /// What it is: `options`.
    pub kind: &'static str,
    /// The program that wrote it.
    pub program: &'static str,
    /// Its version.
    pub version: &'static str,
    /// The site's title.
    pub title: String,
    /// `us` or `metric`.
    pub units: &'static str,
    /// How many sets were asked for.
    pub tried: usize,
    /// How many of them hold.
    pub holding: usize,
    /// The years whose energy is counted.
    pub years: u32,
    /// What was tried with one another.
    pub lists: ListsOut,
    /// The set as drawn, whether it was asked for or not.
    pub drawn: Option<SetOut>,
    /// Those worth choosing between, best first.
    pub choices: Vec<SetOut>,
    /// Where none holds, what comes nearest.
    pub nearest: Option<SetOut>,
    /// What stands against sets that do not hold.
    pub reasons: Vec<ReasonOut>,
    /// What stands against every set that can be built, beside how the goal is missed: put right before anything is chosen.
    pub in_every_set: Vec<&'static str>,
    /// Every set that holds, in the order of the lists.
    pub sets_that_hold: Vec<SetOut>,
    /// How it is reckoned, in sentences.
    pub reckoned: Vec<String>,
}

/// What was tried with one another.
#[derive(Clone, Debug, Serialize)]
pub struct ListsOut {
    /// The pumps.
    pub pumps: Vec<PricedOut>,
    /// The sizes of the runs.
    pub pipes: Vec<PricedOut>,
    /// The basins.
    pub basins: Vec<PricedOut>,
    /// The float settings.
    pub floats: Vec<FloatsOut>,
}

/// Something with its price.
#[derive(Clone, Debug, Serialize)]
pub struct PricedOut {
    /// What it is called.
    pub name: String,
    /// What all of it that is needed costs.
    pub price: Option<f64>,
}

/// A float setting, above the floor.
#[derive(Clone, Debug, Serialize)]
pub struct FloatsOut {
    /// Where the pump stops.
    pub off: Quantity,
    /// Where it starts.
    pub on: Quantity,
}

/// A set.
#[derive(Clone, Debug, Serialize)]
pub struct SetOut {
    /// Its number among those worth choosing between.
    pub choice: Option<usize>,
    /// Whether it is the set as drawn.
    pub as_drawn: bool,
    /// Whether nothing stands against it.
    pub holds: bool,
    /// The pump.
    pub pump: String,
    /// The size of the runs.
    pub runs: String,
    /// The basin, by its inside.
    pub basin: String,
    /// Where the pump stops, above the floor.
    pub off: Quantity,
    /// Where it starts.
    pub on: Quantity,
    /// What its materials that differ cost.
    pub materials: Option<f64>,
    /// What its energy costs over the years.
    pub energy: Option<f64>,
    /// Both.
    pub cost: Option<f64>,
    /// What it has to spare, a share.
    pub to_spare: Option<f64>,
    /// Of what: `depth allowed`, `time allowed`, `flow asked for`.
    pub to_spare_of: Option<&'static str>,
    /// The share of the peak inflow that the pumps bring, at most 1.
    pub share_of_peak: Option<f64>,
    /// How often each pump starts in an hour at the worst inflow.
    pub starts_per_hour: Option<f64>,
    /// The deepest water in the design storm.
    pub deepest: Option<Quantity>,
    /// How long it stands.
    pub stands: Option<Quantity>,
    /// Whether it still stands at the end.
    pub still_stands: bool,
    /// Why it cannot be built.
    pub cannot_be_built: Option<String>,
    /// The stops of its design, and that codes forbid its pipe.
    pub stops: Vec<StopOut>,
}

/// A stop.
#[derive(Clone, Debug, Serialize)]
pub struct StopOut {
    /// Its stable name.
    pub id: &'static str,
    /// The sentence.
    pub message: String,
}

/// What stands against so many sets.
#[derive(Clone, Debug, Serialize)]
pub struct ReasonOut {
    /// The name of the stop; `cannot-be-built` for what `check` refuses.
    pub id: &'static str,
    /// Against how many.
    pub sets: usize,
    /// What it says of the first of them.
    pub example: String,
}
