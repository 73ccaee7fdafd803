//! A pipe as its standard makes it.

use crate::quantity::{Area, Length, Pressure};

/// What a pipe is made for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PipeUse {
    /// Made and rated for pressure.
    Pressure,
    /// Made for drains that run by gravity.
    Drain,
    /// A hose: bears the pressure of a small pump for a while, and is no buried line.
    Hose,
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
    /// Why it should not be the line of a pump, where it is not made for pressure: a clause.
    pub against_pressure: Option<&'static str>,
    /// Short-term modulus of elasticity of its material, where it is known: what the speed of a surge depends on.
    pub elastic_modulus: Option<Pressure>,
}

impl Pipe {
    /// The area of the bore.
    pub fn area(&self) -> Area {
        self.bore.circle()
    }
    /// The wall that bore and outside diameter leave.
    pub fn wall(&self) -> Length {
        ((self.outside_diameter - self.bore) / 2.0).max(Length::ZERO)
    }
}
