//! A pipe as its standard makes it.

use crate::quantity::{Area, Length, Pressure};

/// What a pipe is made for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PipeUse {
    /// Made and rated for pressure.
    Pressure,
    /// Made for drains that run by gravity.
    Drain,
}

/// A pipe of one kind and size.
#[derive(Clone, Debug, PartialEq)]
pub struct Pipe {
    /// The trade name of the kind: `PVC schedule 40`.
    pub material: String,
    /// The label of the size: `2 in`, `63 mm`.
    pub size: String,
    /// Outside diameter by the standard.
    pub outside_diameter: Length,
    /// Inside diameter with the least wall that the standard allows: what published friction tables use.
    pub bore: Length,
    /// Inside diameter with the average wall, where the standard gives one.
    pub average_bore: Option<Length>,
    /// Rated pressure at 73 F, where it has one.
    pub rating: Option<Pressure>,
    /// Hazen-Williams coefficient C.
    pub hazen_williams_c: f64,
    /// Roughness height for Darcy-Weisbach.
    pub roughness: Length,
    /// Manning's n.
    pub manning_n: f64,
    /// What it is made for.
    pub made_for: PipeUse,
}

impl Pipe {
    /// The area of the bore.
    pub fn area(&self) -> Area {
        self.bore.circle()
    }
}
