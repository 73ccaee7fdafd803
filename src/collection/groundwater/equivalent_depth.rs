//! Hooghoudt's equivalent depth.

use crate::quantity::Length;
use std::f64::consts::PI;

/// Below this the sum is taken in its form for a shallow tight layer; both hold to the last digits here.
const SHALLOW: f64 = 1.5;

/// The depth of a tight layer below ditches that would take as much water as drains of a radius above a tight layer
/// that lies `depth_to_floor` below them.
///
/// d = (π L/8)/(ln(L/(π r)) + F(x)) with x = 2π D/L and F(x) = Σ 4 exp(-2nx)/(n (1 - exp(-2nx))) over odd n. Never
/// above `depth_to_floor`, which may be infinite; that is also the result where the radius is so large against spacing
/// or depth that the formula says more. Nothing where the depth is not above zero; not a number where the spacing or
/// the radius is not above zero. Source: W. H. van der Molen and J. Wesseling, Agric. Water Manage. 20 (1991).
pub fn equivalent_depth(spacing: Length, depth_to_floor: Length, radius: Length) -> Length {
    let (l_m, d_m, r_m) = (spacing.m(), depth_to_floor.m(), radius.m());
    if l_m.is_nan() || l_m <= 0.0 || r_m.is_nan() || r_m <= 0.0 || d_m.is_nan() {
        return Length::from_m(f64::NAN);
    }
    if d_m <= 0.0 {
        return Length::ZERO;
    }
    let resistance = libm::log(l_m / (PI * r_m)) + floor_term(2.0 * PI * d_m / l_m);
    let depth = PI * l_m / 8.0 / resistance;
    if resistance > 0.0 && depth <= d_m { Length::from_m(depth) } else { depth_to_floor }
}

/// F(x) for x above zero.
///
/// Expanding 1/(1 - exp(-2nx)) and summing over n first gives F = -2 ln θ, θ = Π (1 - q^k)/(1 + q^k) with q = exp(-2x).
/// That product is Jacobi's theta function 1 - 2q + 2q⁴ - 2q⁹ + …, whose imaginary transformation gives the form for
/// small x: F = π²/4x + ln(x/2π) - 2 ln(1 + u + u³ + u⁶ + …) with u = exp(-π²/x). A few terms of either are exact.
fn floor_term(x: f64) -> f64 {
    if x > SHALLOW {
        let q = libm::exp(-2.0 * x);
        let q4 = q * q * q * q;
        -2.0 * libm::log1p(-2.0 * q + 2.0 * q4 - 2.0 * q4 * q4 * q)
    } else {
        let u = libm::exp(-PI * PI / x);
        let u3 = u * u * u;
        PI * PI / (4.0 * x) + libm::log(x / (2.0 * PI)) - 2.0 * libm::log1p(u + u3 + u3 * u3)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    /// The published sum, term by term.
    fn summed(x: f64) -> f64 {
        let term = |n: f64| 4.0 * libm::exp(-2.0 * n * x) / (n * -libm::expm1(-2.0 * n * x));
        (0..200_000).map(|step| term(2.0 * f64::from(step) + 1.0)).take_while(|term| *term > 1e-18).sum()
    }

    #[test]
    fn identity_both_forms_are_the_published_sum() {
        for x in [0.002, 0.01, 0.05, 0.1, 0.3, 0.5, 0.9, 1.2, 1.499, 1.501, 2.0, 3.0, 5.0, 9.0] {
            assert_relative_eq!(floor_term(x), summed(x), max_relative = 1e-11, epsilon = 1e-15);
        }
    }

    #[test]
    fn identity_ends() {
        let (l, r) = (Length::from_m(10.0), Length::from_m(0.1));
        let deep = equivalent_depth(l, Length::from_m(f64::INFINITY), r);
        assert_relative_eq!(deep.m(), PI * 10.0 / 8.0 / libm::log(10.0 / (PI * 0.1)), max_relative = 1e-14);
        assert_eq!(equivalent_depth(l, Length::ZERO, r), Length::ZERO);
        // a drain as large as the spacing is a ditch
        assert_eq!(equivalent_depth(l, Length::from_m(2.0), Length::from_m(5.0)), Length::from_m(2.0));
        assert!(equivalent_depth(Length::ZERO, l, r).m().is_nan());
        assert!(equivalent_depth(l, l, Length::ZERO).m().is_nan());
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn identity_between_nothing_and_the_floor(l in 1e-3..1e5_f64, d in 0.0..1e4_f64, r in 1e-3..10.0_f64) {
            let depth = |l: f64, d: f64| equivalent_depth(Length::from_m(l), Length::from_m(d), Length::from_m(r)).m();
            prop_assert!(depth(l, d) >= 0.0 && depth(l, d) <= d);
            // a deeper floor never makes it less
            prop_assert!(depth(l, d * 1.1) >= depth(l, d) * (1.0 - 1e-12));
            // far apart, flow towards the drain is level
            prop_assert!((depth(1e9 * (d + 1.0), d) - d).abs() <= 1e-6 * d);
        }
    }
}
