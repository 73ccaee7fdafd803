//! A quantity whose dimension is known at run time only, with the way it wants to be printed.

use super::real::Real;
use super::types::{Dimension, Measure};

/// The units a report prints in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum UnitSystem {
    /// Feet, inches, gallons.
    #[default]
    Us,
    /// Metres, millimetres, litres.
    Metric,
}

/// How an amount of a dimension is printed, where one dimension has several usual units.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Style {
    /// The dimension's ordinary unit: `135 ft`, `41.1 m`; `40 gpm`, `2.5 L/s`.
    Ordinary,
    /// A small length: `24 in`, `610 mm`.
    Small,
    /// A drilled hole, by the drill's label where it is a whole number of sixty-fourths: `3/16 in`, `4.8 mm`.
    Drill,
    /// A length that must not be exceeded: rounded down, to a foot or a tenth of a metre; a level in its last place.
    AtMost,
    /// A level that must be reached: rounded up in its last place.
    AtLeast,
    /// A small length that must be reached: rounded up, to a tenth of an inch or a millimetre.
    SmallAtLeast,
    /// A small length that must not be exceeded: rounded down likewise.
    SmallAtMost,
    /// A bore, to the thousandth of an inch or tenth of a millimetre: `2.067 in`, `52.5 mm`.
    Bore,
    /// A conductivity of the ground: `0.4 ft/day`, `0.12 m/day`.
    Seepage,
    /// The open area of a grate: `62 in2`, `400 cm2`.
    Opening,
    /// A volume that is no water: `5.5 ft3`, `0.16 m3`.
    Solid,
}

/// A number with its dimension and the way it wants to be printed: what findings and reports are made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Amount {
    /// What it measures.
    pub dimension: Dimension,
    /// The SI number.
    pub si: f64,
    /// How it is printed.
    pub style: Style,
}

impl Amount {
    /// The amount of a quantity, printed in its ordinary unit.
    pub fn of<N: Real, Q: Measure<N>>(quantity: Q) -> Self {
        Self { dimension: Q::DIMENSION, si: quantity.si().value(), style: Style::Ordinary }
    }
    /// A small length, in inches or millimetres.
    pub fn small(quantity: super::Length) -> Self {
        Self { style: Style::Small, ..Self::of(quantity) }
    }
    /// A length that must not be exceeded.
    pub fn at_most(quantity: super::Length) -> Self {
        Self { style: Style::AtMost, ..Self::of(quantity) }
    }
    /// A level that must not be exceeded.
    pub fn level_at_most(quantity: super::Level) -> Self {
        Self { style: Style::AtMost, ..Self::of(quantity) }
    }
    /// A level that must be reached.
    pub fn at_least(quantity: super::Level) -> Self {
        Self { style: Style::AtLeast, ..Self::of(quantity) }
    }
    /// A length that must be reached.
    pub fn length_at_least(quantity: super::Length) -> Self {
        Self { style: Style::AtLeast, ..Self::of(quantity) }
    }
    /// A small length that must be reached.
    pub fn small_at_least(quantity: super::Length) -> Self {
        Self { style: Style::SmallAtLeast, ..Self::of(quantity) }
    }
    /// A small length that must not be exceeded.
    pub fn small_at_most(quantity: super::Length) -> Self {
        Self { style: Style::SmallAtMost, ..Self::of(quantity) }
    }
    /// A drilled hole.
    pub fn drill(quantity: super::Length) -> Self {
        Self { style: Style::Drill, ..Self::of(quantity) }
    }
    /// A conductivity of the ground.
    pub fn seepage(quantity: super::Velocity) -> Self {
        Self { style: Style::Seepage, ..Self::of(quantity) }
    }
    /// The open area of a grate.
    pub fn opening(quantity: super::Area) -> Self {
        Self { style: Style::Opening, ..Self::of(quantity) }
    }
    /// A volume of concrete, stone or soil.
    pub fn solid(quantity: super::Volume) -> Self {
        Self { style: Style::Solid, ..Self::of(quantity) }
    }
    /// A bore.
    pub fn bore(quantity: super::Length) -> Self {
        Self { style: Style::Bore, ..Self::of(quantity) }
    }
}
