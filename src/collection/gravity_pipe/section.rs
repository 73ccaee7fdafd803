//! A round pipe's section, and what uniform and critical flow in it are.

use crate::numeric::bracketed_root;
use crate::quantity::factor::GRAVITY;
use crate::quantity::{Area, Flow, Length, Real, Slope};
use std::f64::consts::{PI, TAU};

/// Where the formulas of a round gravity pipe are from.
pub const GRAVITY_PIPE_SOURCE: &str = "Manning's formula with n constant over the depth; geometry of the circle";

/// The greatest flow of a part-full round pipe over that of the full pipe.
///
/// With θ the angle that the water's surface cuts off, Q is as (θ - sin θ)^(5/3) θ^(-2/3), which is greatest where
/// 3θ - 5θ cos θ + 2 sin θ = 0: θ = 5.2781, at 0.9382 of the bore.
pub const GREATEST_SHARE: f64 = 1.075_706_129_400_464_8;
/// The depth of that greatest flow, over the bore: (1 - cos(θ/2))/2.
pub const GREATEST_SHARE_DEPTH: f64 = 0.938_181_216_160_607_1;
/// The angle of that greatest flow.
const GREATEST_SHARE_ANGLE: f64 = 5.278_107_133_795_537;

/// The flow of a round pipe that runs just full at a slope: Q = (1/n) A (D/4)^(2/3) S^(1/2).
///
/// Manning's formula in SI units, with a full round pipe's hydraulic radius of D/4. Bore and slope above zero, n 0.008
/// to 0.03. A part-full pipe can carry up to 7.6 % more ([`GREATEST_SHARE`]); nothing is counted on that.
pub fn full_flow<N: Real>(manning_n: N, bore: Length<N>, slope: Slope<N>) -> Flow<N> {
    let radius = bore.m() / 4.0;
    Flow::from_m3s(bore.m() * bore.m() * (PI / 4.0) * radius.powf(2.0 / 3.0) * slope.ratio().sqrt() / manning_n)
}

/// The slope that friction takes in a full round pipe: S = (Q n / (A (D/4)^(2/3)))², by Manning.
///
/// It is also the least slope at which the pipe carries the flow when it runs just full. Bore above zero, n 0.008 to
/// 0.03, flow zero or more.
pub fn friction_slope<N: Real>(manning_n: N, bore: Length<N>, flow: Flow<N>) -> Slope<N> {
    let radius = bore.m() / 4.0;
    let root = flow.m3s() * manning_n / (bore.m() * bore.m() * (PI / 4.0) * radius.powf(2.0 / 3.0));
    Slope::from_ratio(root * root)
}

/// The bore that carries a flow just full: D = (4^(5/3) Q n / (π √S))^(3/8), by Manning.
///
/// Nothing for no flow; without end where the slope is zero or less; not a number where an input is none.
pub fn bore_for(manning_n: f64, slope: Slope, flow: Flow) -> Length {
    let (n, s, q_m3s) = (manning_n, slope.ratio(), flow.m3s());
    if n.is_nan() || s.is_nan() || q_m3s.is_nan() {
        return Length::from_m(f64::NAN);
    }
    if q_m3s <= 0.0 || n <= 0.0 {
        return Length::ZERO;
    }
    Length::from_m(libm::pow(libm::pow(4.0, 5.0 / 3.0) * q_m3s * n / (PI * s.max(0.0).sqrt()), 3.0 / 8.0))
}

/// The angle that the water's surface cuts off, 0 to 2π, for a depth over the bore.
pub(super) fn angle(ratio: f64) -> f64 {
    let ratio = ratio.clamp(0.0, 1.0);
    // half-angle form: exact at either end, where the arc cosine of 1 - 2y/D is not
    4.0 * libm::atan2(ratio.sqrt(), (1.0 - ratio).sqrt())
}

/// The depth over the bore of such an angle.
pub(super) fn ratio_of(angle: f64) -> f64 {
    let sine = libm::sin(angle / 4.0);
    sine * sine
}

/// Area over the square of the bore.
pub(super) fn area_ratio(angle: f64) -> f64 {
    // θ - sin θ without loss of figures near zero
    let square = angle * angle;
    let excess = if angle < 0.02 {
        angle * square / 6.0 * (1.0 - square / 20.0 * (1.0 - square / 42.0))
    } else {
        angle - libm::sin(angle)
    };
    excess / 8.0
}

/// Flow over that of the full pipe.
pub(super) fn share(angle: f64) -> f64 {
    if angle <= 0.0 {
        return 0.0;
    }
    let area = area_ratio(angle) * 4.0 / PI;
    let radius = area * TAU / angle;
    area * libm::cbrt(radius * radius)
}

/// Whether a pipe of this description carries water by its own fall.
fn carries(manning_n: f64, bore: Length, slope: Slope) -> bool {
    [manning_n, bore.m(), slope.ratio()].iter().all(|value| *value > 0.0 && value.is_finite())
}

/// What a round pipe carries at a uniform depth, by Manning with n constant over the depth.
///
/// From the bore up it is the full flow. Nothing at no depth, and nothing where n, bore or slope is not above zero.
/// Source: see [`GRAVITY_PIPE_SOURCE`]. (With n that changes with the depth, after Camp, a half-full pipe runs at 0.8
/// of the full velocity instead of the same; from memory.)
pub fn part_full_flow(manning_n: f64, bore: Length, slope: Slope, depth: Length) -> Flow {
    if !carries(manning_n, bore, slope) || depth.m().is_nan() {
        return Flow::ZERO;
    }
    full_flow(manning_n, bore, slope) * share(angle(depth / bore))
}

/// The uniform depth at which a round pipe carries a flow, the lower of the two where there are two.
///
/// Nothing for no flow. None above [`GREATEST_SHARE`] of the full flow, which no free surface carries; where n, bore or
/// slope is not above zero; and where the flow is not a number.
pub fn normal_depth(manning_n: f64, bore: Length, slope: Slope, flow: Flow) -> Option<Length> {
    if !carries(manning_n, bore, slope) || !flow.is_finite() {
        return None;
    }
    if flow <= Flow::ZERO {
        return Some(Length::ZERO);
    }
    let wanted = flow / full_flow(manning_n, bore, slope);
    let greatest = share(GREATEST_SHARE_ANGLE);
    if wanted.is_nan() || wanted > greatest.max(GREATEST_SHARE) {
        return None;
    }
    if wanted >= greatest {
        return Some(bore * GREATEST_SHARE_DEPTH);
    }
    let found = bracketed_root(0.0, GREATEST_SHARE_ANGLE, 0.0, |angle| share(angle) - wanted).ok()?;
    Some(bore * ratio_of(found.x))
}

/// The depth at which a flow in a round pipe has the least energy: Q² T/(g A³) = 1.
///
/// At most the bore; nothing for no flow or no bore. Not a number where an input is none. Source: geometry and energy.
pub fn critical_depth(bore: Length, flow: Flow) -> Length {
    if bore.m().is_nan() || flow.m3s().is_nan() {
        return Length::from_m(f64::NAN);
    }
    if bore <= Length::ZERO || flow <= Flow::ZERO {
        return Length::ZERO;
    }
    let bore_m = bore.m();
    let per_square = flow.m3s() / (bore_m * bore_m);
    let wanted = per_square * per_square / (GRAVITY * bore_m);
    // a³ = t Q²/(g D⁵), with area and surface over the bore. Up to half full a <= θ³/48 and t >= θ/π, so that the
    // angle at which those would be critical lies below
    let low = libm::pow(wanted * 110_592.0 / PI, 1.0 / 8.0).min(PI);
    let miss = |angle: f64| {
        let area = area_ratio(angle);
        area * area * area - libm::sin(angle / 2.0).max(0.0) * wanted
    };
    // with more than that the surface is as good as closed
    bracketed_root(low, TAU, 0.0, miss).map_or(bore, |root| bore * ratio_of(root.x))
}

/// The area of the water in a round pipe: a segment of the circle, D²/8 (θ - sin θ) with θ = 2 acos(1 - 2y/D).
///
/// The whole circle from the bore up, nothing below a depth of zero or without a bore.
pub fn flow_area(bore: Length, depth: Length) -> Area {
    if bore <= Length::ZERO {
        return Area::ZERO;
    }
    bore * bore * area_ratio(angle(depth / bore))
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
