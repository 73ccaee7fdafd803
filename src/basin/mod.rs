//! The basin: what it holds at each level, how often the pump starts, how long it lasts without a pump.

use crate::quantity::{Area, Length, Level, Weight};

/// The basin's plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Plan {
    /// Round, by inside diameter.
    Round(Length),
    /// Rectangular, by inside length and width.
    Rectangular(Length, Length),
}

impl Plan {
    /// The inside area.
    pub fn area(self) -> Area {
        match self {
            Self::Round(diameter) => diameter.circle(),
            Self::Rectangular(length, width) => length * width,
        }
    }
}

/// A basin with its floats. Float heights are above the floor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Basin {
    /// The plan.
    pub plan: Plan,
    /// Outside diameter, for flotation.
    pub outside_diameter: Option<Length>,
    /// The top edge.
    pub rim: Level,
    /// The floor inside.
    pub floor: Level,
    /// The ground beside it, where it is not the rim.
    pub ground: Option<Level>,
    /// The lowest invert of the pipes that come in.
    pub inlet_invert: Option<Level>,
    /// The pump stops when the water falls to this height.
    pub off: Length,
    /// The pump starts when the water rises to this height.
    pub on: Length,
    /// The alarm sounds at this height.
    pub alarm: Option<Length>,
    /// Weight of basin and lid, empty.
    pub weight: Option<Weight>,
}

impl Basin {
    /// The water level at a height above the floor.
    pub fn level(&self, above_floor: Length) -> Level {
        self.floor + above_floor
    }
    /// Floor to rim.
    pub fn depth(&self) -> Length {
        self.rim - self.floor
    }
}
