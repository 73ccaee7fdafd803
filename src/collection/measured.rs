//! What can be found out on the site: with a watch and a rule in a pit, in a test hole, beside a puddle.

use crate::quantity::{Area, Duration, Flow, Length, RainDepth, Real, Velocity, Volume};

/// The inflow from the rise of the water in a pit with no pump running: area x rise / time. The time must be above zero.
pub fn inflow_from_rise<N: Real>(plan: Area<N>, rise: Length<N>, over: Duration<N>) -> Flow<N> {
    plan * rise / over
}

/// A pump's flow from the fall of the water while it runs: area x drop / time, with the inflow that it pumped as well.
/// The time must be above zero.
pub fn pump_rate_from_pump_down<N: Real>(
    plan: Area<N>,
    drop: Length<N>,
    over: Duration<N>,
    inflow: Flow<N>,
) -> Flow<N> {
    plan * drop / over + inflow
}

/// The inflow from the time that a pump rests between a stop and the next start: the volume between the floats, less
/// what runs back, over that time. The time must be above zero.
pub fn inflow_from_pump_times<N: Real>(volume_between_floats: Volume<N>, rest: Duration<N>) -> Flow<N> {
    volume_between_floats / rest
}

/// Where [`inverse_auger_hole`] is from.
pub const INVERSE_AUGER_HOLE_SOURCE: &str = "inverse auger-hole (Porchet) method, from memory";

/// The conductivity of the ground above the water table, from the fall of the water in a test hole that was kept full
/// until the ground was wet: K = (r/2) ln((h0 + r/2)/(h1 + r/2))/t.
///
/// Water leaves through the bottom and the wetted wall under a gradient of one; depths are above the bottom of the hole.
/// All above zero but the depths, which may be zero. Nothing where the water stays, less than nothing where it rises.
/// Source: Porchet's method, from memory; with log10 it is written with 1.15 r for r/2.
pub fn inverse_auger_hole<N: Real>(
    radius: Length<N>,
    start_depth: Length<N>,
    end_depth: Length<N>,
    over: Duration<N>,
) -> Velocity<N> {
    let half = radius.m() / 2.0;
    let fall = ((start_depth.m() + half) / (end_depth.m() + half)).ln();
    Velocity::from_ms(half * fall / over.s())
}

/// The share of a rain that ran into a puddle: its volume over what fell on the ground that drains to it.
///
/// A lower bound of the runoff coefficient where the puddle lost water before it was measured. The rain and the area
/// must be above zero.
pub fn runoff_share<N: Real>(puddle: Volume<N>, rain: RainDepth<N>, area: Area<N>) -> N {
    puddle / (area * Length::from(rain))
}
