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

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn an_orifice_by_hand() {
        let flow = |head_m: f64| orifice_flow(0.6, Area::from_m2(0.01), Head::from_m(head_m)).m3s();
        // under 1/(2 x 9.80665) = 0.0509858 m water falls to a metre a second: 0.6 x 0.01 m2 x 1 m/s
        assert_relative_eq!(flow(0.050_985_810_65), 6e-3, max_relative = 1e-9);
        // four times the head, twice the flow
        assert_relative_eq!(flow(0.203_943_242_6), 12e-3, max_relative = 1e-9);
        assert_eq!((flow(0.0), flow(-1.0)), (0.0, 0.0));
    }
}
