//! Full flow of a gravity pipe.

use crate::quantity::{Flow, Length, Real, Slope};
use std::f64::consts::PI;

/// The flow of a round pipe that runs just full at a slope: Q = (1/n) A (D/4)^(2/3) S^(1/2).
///
/// Manning's formula in SI units, with a full round pipe's hydraulic radius of D/4. Bore and slope above zero, n 0.008 to 0.03. A part-full pipe can carry up to 7.6 % more; nothing is counted on that.
pub fn full_flow<N: Real>(manning_n: N, bore: Length<N>, slope: Slope<N>) -> Flow<N> {
    let radius = bore.m() / 4.0;
    Flow::from_m3s(bore.m() * bore.m() * (PI / 4.0) * radius.powf(2.0 / 3.0) * slope.ratio().sqrt() / manning_n)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn published_full_pipe_of_a_textbook() {
        // Gupta, Hydrology and Hydraulic Systems, problem 14.20 (answer list): 36 in, n 0.015, slope 0.001: 18.33 ft3/s
        // with 1.49 for the 1.4859 ft^(1/3) of the SI form
        let flow = full_flow(0.015, Length::from_inch(36.0), Slope::from_ratio(0.001));
        assert_relative_eq!(flow.ft3s() * 1.49 / 1.485_92, 18.33, epsilon = 0.01);
    }
}
