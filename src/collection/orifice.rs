//! The flow through a hole: of the pump's riser as of a grate or a perforated pipe.

use crate::quantity::factor::GRAVITY;
use crate::quantity::{Area, Flow, Head, Real};

/// The flow through an orifice under a head: Cd A √(2 g h). None under no head.
///
/// Cd 0.6 for a hole in a thin wall; up to 0.8 for a drilled hole about as deep as it is wide.
pub fn orifice_flow<N: Real>(discharge_coefficient: N, area: Area<N>, head: Head<N>) -> Flow<N> {
    let driving = head.m().greatest(N::from(0.0));
    Flow::from_m3s(discharge_coefficient * area.m2() * (driving * (2.0 * GRAVITY)).sqrt())
}
