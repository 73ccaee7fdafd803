//! What the town allows, as the user entered it.

use crate::quantity::Length;

/// Where the water ends, in the words of a town's rules.
pub const ENDS: &[&str] = &["swale", "ditch", "curb", "street", "storm drain", "lawn", "dry well", "stream"];

/// How far the outlet is from what rules keep it away from.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OutletPlace {
    /// Where the water ends: one of [`ENDS`].
    pub ends_in: Option<String>,
    /// To the lot line.
    pub to_lot_line: Option<Length>,
    /// To the nearest house.
    pub to_house: Option<Length>,
    /// To the nearest walk.
    pub to_walk: Option<Length>,
}

/// The town's rules as the user read them. None is built in.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LocalRules {
    /// Least distance from outlet to lot line.
    pub lot_line_distance: Option<Length>,
    /// Least distance from outlet to a house.
    pub house_distance: Option<Length>,
    /// Least distance from outlet to a walk.
    pub walk_distance: Option<Length>,
    /// The ends that are allowed, each one of [`ENDS`]; empty where nothing was entered.
    pub allowed_outlets: Vec<String>,
    /// What permit is needed.
    pub permit: Option<String>,
    /// What it says of discharge in winter.
    pub winter: Option<String>,
    /// Where the rules were read, and when.
    pub read_in: Option<String>,
    /// Whom to ask.
    pub office: Option<String>,
}
