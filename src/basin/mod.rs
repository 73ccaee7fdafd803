//! The basin: what it holds at each level, how often the pump starts, how long it lasts without a pump.

pub mod cycle;
pub mod flotation;

use crate::quantity::{Area, Length, Level, Real, Volume, Weight};

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
    /// Thickness of its wall, for flotation.
    pub wall: Length,
    /// Thickness of its floor, for flotation.
    pub base: Length,
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
    /// The plan to the outside of its wall.
    pub fn outside_plan(&self) -> Plan {
        let walls = self.wall * 2.0;
        match self.plan {
            Plan::Round(inside) => Plan::Round(inside + walls),
            Plan::Rectangular(length, width) => Plan::Rectangular(length + walls, width + walls),
        }
    }
    /// The underside of its floor.
    pub fn underside(&self) -> Level {
        self.floor - self.base
    }
    /// Across the outside; of a circle of the same area where it is not round.
    pub fn outside_across(&self) -> Length {
        match self.outside_plan() {
            Plan::Round(diameter) => diameter,
            plan @ Plan::Rectangular(..) => plan.area().diameter(),
        }
    }
    /// Floor to rim.
    pub fn depth(&self) -> Length {
        self.rim - self.floor
    }
}

/// The water between two heights above the floor, less what the pump takes the place of.
///
/// The pump's body is taken as of one section over its height, standing on the floor.
pub fn stored_between<N: Real>(plan: Area<N>, from: Length<N>, to: Length<N>, displaced: Volume<N>) -> Volume<N> {
    plan * (to - from) - displaced
}

/// The part of a pump's own volume that stands between two heights above the floor.
pub fn displaced_between(displaced: Volume, pump_height: Length, from: Length, to: Length) -> Volume {
    if pump_height <= Length::ZERO {
        return Volume::ZERO;
    }
    let inside = (to.min(pump_height) - from.min(pump_height)).max(Length::ZERO);
    displaced * (inside / pump_height)
}

/// The height above `from` at which a volume is stored, the pump's body counted. The inverse of
/// [`stored_between`] with [`displaced_between`].
pub fn height_for_volume(plan: Area, from: Length, volume: Volume, displaced: Volume, pump_height: Length) -> Length {
    let body = if pump_height > Length::ZERO { displaced / pump_height } else { Area::ZERO };
    let beside = Area::from_m2((plan - body).m2().max(f64::MIN_POSITIVE));
    let up_to_top = (pump_height - from).max(Length::ZERO);
    let beside_body = beside * up_to_top;
    if volume <= beside_body { volume / beside } else { up_to_top + (volume - beside_body) / plan }
}

/// The wall of a basin whose outside was not entered: common practice, no source.
pub const USUAL_WALL: Length = Length::from_inch(0.5);

/// Across the cylinder that a small submersible takes the place of: common practice, no source.
pub const USUAL_PUMP_DIAMETER: Length = Length::from_inch(7.0);

/// The volume that a pump takes the place of where it is not entered: a cylinder of the pump's height.
pub fn usual_pump_volume(height: Length) -> Volume {
    USUAL_PUMP_DIAMETER.circle() * height
}

#[cfg(test)]
mod tests;
