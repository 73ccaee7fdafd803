//! Friction in a full pipe: Hazen-Williams, the design method, and Darcy-Weisbach beside it.
//!
//! Hazen-Williams has one form of its constants throughout: h = 10.67 L Q^1.852 / (C^1.852 D^4.8704) in metres and
//! seconds. It knows no temperature and no roughness other than C, and is meant for turbulent water near 60 F in
//! pipes of about 2 in and more; in smaller pipe and colder water C = 150 reads up to a tenth low.

use crate::numeric::bracketed_root;
use crate::quantity::factor::GRAVITY;
use crate::quantity::{Flow, Head, Length, Real, Velocity, Viscosity};
use std::f64::consts::PI;

/// Which friction formula.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FrictionMethod {
    /// Hazen-Williams: the design method.
    HazenWilliams,
    /// Darcy-Weisbach with Colebrook's friction factor.
    DarcyWeisbach,
}

/// Where the Hazen-Williams form is from.
pub const HAZEN_WILLIAMS_SOURCE: &str = "Hazen-Williams, SI form 10.67, 1.852, 4.8704 (Brater and King, from memory)";
/// Where the Darcy form is from.
pub const DARCY_SOURCE: &str = "Darcy-Weisbach with Colebrook 1939; laminar below Re 2000";

/// The flow exponent of Hazen-Williams.
pub const HAZEN_WILLIAMS_EXPONENT: f64 = 1.852;
/// The diameter exponent of Hazen-Williams.
const HAZEN_WILLIAMS_BORE_EXPONENT: f64 = 4.8704;
/// The constant of Hazen-Williams in metres and seconds.
const HAZEN_WILLIAMS_CONSTANT: f64 = 10.67;

/// What a metre of pipe costs at a flow of one cubic metre per second: r in h = r L Q^1.852 (SI).
pub fn hazen_williams_resistance<N: Real>(c: N, bore: Length<N>) -> N {
    N::from(HAZEN_WILLIAMS_CONSTANT) / (c.powf(HAZEN_WILLIAMS_EXPONENT) * bore.m().powf(HAZEN_WILLIAMS_BORE_EXPONENT))
}

/// The head lost to friction by Hazen-Williams, for flow in the pipe's direction.
///
/// C is 60 to 160; the flow zero or more. Not for laminar flow. Source: see [`HAZEN_WILLIAMS_SOURCE`].
pub fn hazen_williams_loss<N: Real>(length: Length<N>, flow: Flow<N>, c: N, bore: Length<N>) -> Head<N> {
    resisted_loss(hazen_williams_resistance(c, bore), length, flow)
}

/// The head lost by a resistance r: h = r L Q^1.852.
pub fn resisted_loss<N: Real>(resistance: N, length: Length<N>, flow: Flow<N>) -> Head<N> {
    Head::from_m(resistance * length.m() * flow.m3s().powf(HAZEN_WILLIAMS_EXPONENT))
}

/// The mean velocity of a flow in a full round pipe.
pub fn pipe_velocity<N: Real>(flow: Flow<N>, bore: Length<N>) -> Velocity<N> {
    Velocity::from_ms(flow.m3s() * 4.0 / (bore.m() * bore.m() * PI))
}

/// The Reynolds number of a flow in a full pipe.
pub fn reynolds_number<N: Real>(velocity: Velocity<N>, bore: Length<N>, viscosity: Viscosity<N>) -> N {
    velocity.ms() * bore.m() / viscosity.m2s()
}

/// The head lost to friction by Darcy-Weisbach with a given friction factor: h = f L/D V²/2g.
pub fn darcy_loss<N: Real>(friction_factor: N, length: Length<N>, bore: Length<N>, velocity: Velocity<N>) -> Head<N> {
    Head::from_m(friction_factor * length.m() / bore.m() * velocity.ms() * velocity.ms() / (2.0 * GRAVITY))
}

/// Reynolds number below which flow is laminar.
pub const LAMINAR: f64 = 2_000.0;
/// Reynolds number above which flow is turbulent.
pub const TURBULENT: f64 = 4_000.0;

/// Darcy's friction factor: 64/Re below Re 2000, Colebrook above Re 4000, a straight line between (where nothing
/// better is known). The Reynolds number must be above zero; the relative roughness 0 to 0.05.
///
/// Source: C. F. Colebrook, J. Inst. Civ. Eng. 11 (1939), 1/√f = -2 log10(ε/3.7D + 2.51/(Re√f)), solved by Newton
/// steps from Haaland's explicit form to the last digit.
pub fn friction_factor(reynolds: f64, relative_roughness: f64) -> f64 {
    if reynolds <= LAMINAR {
        laminar_factor(reynolds.max(f64::MIN_POSITIVE))
    } else if reynolds < TURBULENT {
        transition_factor(reynolds, colebrook(TURBULENT, relative_roughness))
    } else {
        colebrook(reynolds, relative_roughness)
    }
}

/// 64/Re: laminar flow, Re above zero.
pub fn laminar_factor<N: Real>(reynolds: N) -> N {
    N::from(64.0) / reynolds
}

/// A straight line from laminar flow at Re 2000 to a turbulent factor at Re 4000.
pub fn transition_factor<N: Real>(reynolds: N, turbulent: N) -> N {
    let laminar = 64.0 / LAMINAR;
    (turbulent - laminar) * (reynolds - LAMINAR) / (TURBULENT - LAMINAR) + laminar
}

/// Colebrook's friction factor, without the laminar and the transition range.
pub fn colebrook(reynolds: f64, relative_roughness: f64) -> f64 {
    colebrook_with_steps(reynolds, relative_roughness).0
}

/// Colebrook's friction factor and the Newton steps that it took.
pub fn colebrook_with_steps(reynolds: f64, relative_roughness: f64) -> (f64, u32) {
    let rough = relative_roughness / 3.7;
    let smooth = 2.51 / reynolds;
    // x = 1/√f; Haaland 1983 to start with
    let mut x = -1.8 * libm::log10(libm::pow(rough, 1.11) + 6.9 / reynolds);
    let mut steps = 0;
    for _ in 0..8 {
        steps += 1;
        let inside = rough + smooth * x;
        let miss = x + 2.0 * libm::log10(inside);
        let slope = 1.0 + 2.0 * smooth / (inside * std::f64::consts::LN_10);
        let step = miss / slope;
        x -= step;
        // what is left goes with the square of the step: less than the last digit
        if step.abs() <= 1e-8 * x.abs() {
            break;
        }
    }
    (1.0 / (x * x), steps)
}

/// How far a friction factor is from satisfying Colebrook's equation, in 1/√f.
pub fn colebrook_residual(friction_factor: f64, reynolds: f64, relative_roughness: f64) -> f64 {
    let x = 1.0 / friction_factor.sqrt();
    x + 2.0 * libm::log10(relative_roughness / 3.7 + 2.51 * x / reynolds)
}

/// Swamee and Jain's explicit friction factor (1976), for 5 000 < Re < 1e8 and 1e-6 < ε/D < 0.05; within 2 % of
/// Colebrook there. Kept as a second opinion for the tests and for users of the library.
pub fn swamee_jain<N: Real>(reynolds: N, relative_roughness: N) -> N {
    let inside = (relative_roughness / 3.7 + N::from(5.74) / reynolds.powf(0.9)).log10();
    N::from(0.25) / (inside * inside)
}

/// Churchill's friction factor (1977) over all Reynolds numbers; a guess between 2000 and 4000. A second opinion.
pub fn churchill<N: Real>(reynolds: N, relative_roughness: N) -> N {
    let a = (-(((N::from(7.0) / reynolds).powf(0.9) + relative_roughness * 0.27).ln()) * 2.457).powf(16.0);
    let b = (N::from(37_530.0) / reynolds).powf(16.0);
    ((N::from(8.0) / reynolds).powf(12.0) + N::from(1.0) / (a + b).powf(1.5)).powf(1.0 / 12.0) * 8.0
}

/// The flow that a head drives through a pipe with minor losses, by Darcy-Weisbach. `None` when the head is not
/// above zero or nothing is found.
pub fn darcy_flow(
    head: Head,
    length: Length,
    bore: Length,
    roughness: Length,
    sum_k: f64,
    viscosity: Viscosity,
) -> Option<Flow> {
    let miss = |q: f64| {
        let velocity = pipe_velocity(Flow::from_m3s(q), bore);
        let f = friction_factor(reynolds_number(velocity, bore, viscosity), roughness / bore);
        let v2g = velocity.ms() * velocity.ms() / (2.0 * GRAVITY);
        f * (length / bore) * v2g + sum_k * v2g - head.m()
    };
    let mut high = 1e-6;
    while miss(high) < 0.0 && high < 1e6 {
        high *= 4.0;
    }
    bracketed_root(0.0, high, 0.0, |q| if q == 0.0 { -head.m() } else { miss(q) })
        .ok()
        .filter(|root| root.x > 0.0)
        .map(|root| Flow::from_m3s(root.x))
}

/// The bore that carries a flow with a given friction loss, by Darcy-Weisbach. `None` when nothing is found between
/// a millimetre and ten metres.
pub fn darcy_bore(head: Head, length: Length, flow: Flow, roughness: Length, viscosity: Viscosity) -> Option<Length> {
    bracketed_root(1e-3, 10.0, 0.0, |d| {
        let bore = Length::from_m(d);
        let velocity = pipe_velocity(flow, bore);
        let f = friction_factor(reynolds_number(velocity, bore, viscosity), roughness.m() / d);
        darcy_loss(f, length, bore, velocity).m().min(1e30) - head.m()
    })
    .ok()
    .map(|root| Length::from_m(root.x))
}

/// The bore that carries a flow with a given friction loss, by Hazen-Williams.
pub fn hazen_williams_bore(head: Head, length: Length, flow: Flow, c: f64) -> Length {
    let unit = hazen_williams_loss(length, flow, c, Length::from_m(1.0));
    Length::from_m(libm::pow(unit / head, 1.0 / HAZEN_WILLIAMS_BORE_EXPONENT))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn identity_colebrook_satisfies_its_equation() {
        for reynolds in [4e3, 1e4, 5e4, 1e5, 1e6, 1e8] {
            for rough in [0.0, 1e-6, 3e-5, 1e-3, 0.05] {
                let f = colebrook(reynolds, rough);
                assert!(colebrook_residual(f, reynolds, rough).abs() < 1e-12, "Re {reynolds}, {rough}");
            }
        }
    }

    #[test]
    fn identity_friction_never_falls_with_flow() {
        // head per length goes with f Re²; it must rise all the way through the transition
        let mut before = 0.0;
        for step in 0..20_000_u32 {
            let reynolds = 100.0 + f64::from(step);
            let loss = friction_factor(reynolds, 3e-5) * reynolds * reynolds;
            assert!(loss > before, "at Re {reynolds}");
            before = loss;
        }
    }

    #[test]
    fn crosscheck_swamee_jain_within_two_percent() {
        for reynolds in [5e3, 2e4, 1e5, 1e6] {
            for rough in [1e-6, 3e-5, 1e-3, 1e-2] {
                assert_relative_eq!(swamee_jain(reynolds, rough), colebrook(reynolds, rough), max_relative = 0.03);
            }
        }
    }

    #[test]
    fn identity_darcy_flow_and_bore_undo_the_loss() {
        let (bore, rough, nu) = (Length::from_inch(2.067), Length::from_mm(0.0015), Viscosity::from_m2s(1.3e-6));
        let flow = Flow::from_gpm(40.0);
        let velocity = pipe_velocity(flow, bore);
        let f = friction_factor(reynolds_number(velocity, bore, nu), rough / bore);
        let head = darcy_loss(f, Length::from_ft(135.0), bore, velocity);
        let again = darcy_flow(head, Length::from_ft(135.0), bore, rough, 0.0, nu).unwrap();
        assert_relative_eq!(again.gpm(), 40.0, max_relative = 1e-9);
        let again = darcy_bore(head, Length::from_ft(135.0), flow, rough, nu).unwrap();
        assert_relative_eq!(again.inch(), 2.067, max_relative = 1e-9);
        let head = hazen_williams_loss(Length::from_ft(135.0), flow, 150.0, bore);
        assert_relative_eq!(
            hazen_williams_bore(head, Length::from_ft(135.0), flow, 150.0).inch(),
            2.067,
            max_relative = 1e-12
        );
    }
}
