//! What is asked: which storm, with or without power, and how closely it is looked at.

use crate::quantity::{Duration, ReturnPeriod};

/// How the rain of the storm lies in time.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum ShapeAsked {
    /// Nested: the rain of every duration around one middle.
    #[default]
    Nested,
    /// Steady rain of a duration.
    Steady(Duration),
    /// The steady rain with the deepest water, where none stands the one that fills the basin highest.
    WorstSteady,
    /// A published 24-hour storm, by its name in the built-in table.
    Distribution(&'static str),
}

/// When the pumps have power.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum PowerCase {
    /// All the time.
    #[default]
    Always,
    /// Until a time from the start of the rain, and none from then on.
    OffFrom(Duration),
    /// Never.
    Never,
}

/// One storm to be followed.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct StormAsked {
    /// Its return period; none for the design's.
    pub period: Option<ReturnPeriod>,
    /// How its rain lies in time.
    pub shape: ShapeAsked,
    /// When there is power.
    pub power: PowerCase,
    /// The time from row to row; none to choose it: fine around the burst, coarse where little happens.
    pub every: Option<Duration>,
    /// The time from row to row within what is drawn, where that is to be finer than what is chosen.
    pub every_drawn: Option<Duration>,
    /// The first time to show; none for the start of the rain.
    pub from: Option<Duration>,
    /// The last time to show; none for the end.
    pub until: Option<Duration>,
}
