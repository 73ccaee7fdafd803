//! Groundwater that seeps into a drain: how much, from how far, and how fast the water table falls.
//!
//! Steady flow is taken as level flow over a tight layer (Dupuit), with Hooghoudt's equivalent depth where the drain
//! lies above that layer. Unsteady flow is taken with one saturated depth throughout, so that the fall of the table
//! follows the diffusion equation with a = K D / S. The conductivity of a soil is seldom known better than to a factor
//! of two or three, and neither are these flows.

mod equivalent_depth;
mod falling;

use crate::numeric::bracketed_root;
use crate::quantity::{Flow, Intensity, Length, Real, Velocity};

pub use equivalent_depth::equivalent_depth;
pub use falling::{
    DRAWDOWN_SOURCE, FALLING_TABLE_SOURCE, drainable_share_left, drawdown_left, mid_height_first_term, mid_height_left,
    reach_after, spacing_for_fall, time_to_mid_height,
};

/// Where [`dupuit_inflow`] is from.
pub const DUPUIT_SOURCE: &str = "Dupuit: K (h1² - h2²)/(2 L) on each side";
/// Where [`hooghoudt_inflow`] is from.
pub const HOOGHOUDT_SOURCE: &str =
    "Hooghoudt: (8 K d h + 4 K h²)/L, equivalent depth of Van der Molen and Wesseling 1991";
/// Where [`influence_radius`] is from.
pub const INFLUENCE_RADIUS_SOURCE: &str = "Sichardt: 3000 s √K in metres and seconds, from memory";

/// The flow into one side of a drain, between a water level `far` above the tight layer at a distance `reach`, and
/// `near` above it at the drain: K (h1² - h2²)/(2 L) for each length of drain.
///
/// The drain is taken to reach the tight layer, or the flow below it to be level. Conductivity, levels and length zero
/// or above, the reach above zero. Less than nothing, which is water leaving the drain, where `near` is above `far`.
/// Source: Dupuit's assumption of level flow, as in any groundwater text.
pub fn dupuit_inflow<N: Real>(
    conductivity: Velocity<N>,
    far: Length<N>,
    near: Length<N>,
    reach: Length<N>,
    length: Length<N>,
) -> Flow<N> {
    let squares = far.m() * far.m() - near.m() * near.m();
    Flow::from_m3s(conductivity.ms() * squares / (reach.m() * 2.0) * length.m())
}

/// The same where rain soaks in steadily between the two levels: R L/2 + K (h1² - h2²)/(2 L) for each length of drain.
///
/// Half of the recharge flows the other way, past the level `far`. Source: Dupuit with recharge, in W. Viessman et al.,
/// Introduction to Hydrology, chapter on groundwater.
pub fn dupuit_inflow_with_recharge<N: Real>(
    conductivity: Velocity<N>,
    far: Length<N>,
    near: Length<N>,
    reach: Length<N>,
    recharge: Intensity<N>,
    length: Length<N>,
) -> Flow<N> {
    let strip = reach * length;
    Flow::from_m3s(recharge.ms() * strip.m2() / 2.0) + dupuit_inflow(conductivity, far, near, reach, length)
}

/// The flow into a drain from both sides, one of several at a spacing and fed by rain on the strip between:
/// (8 K d h + 4 K h²)/L for each length of drain.
///
/// `head` is the height of the table above the drain midway to the next one; `equivalent_depth` stands for the depth to
/// the tight layer, see [`equivalent_depth()`]. Conductivity, depth, head and length zero or above, the spacing above
/// zero. Source: S. B. Hooghoudt (1940).
pub fn hooghoudt_inflow<N: Real>(
    conductivity: Velocity<N>,
    equivalent_depth: Length<N>,
    head: Length<N>,
    spacing: Length<N>,
    length: Length<N>,
) -> Flow<N> {
    hooghoudt_inflow_layered(conductivity, conductivity, equivalent_depth, head, spacing, length)
}

/// The same with one conductivity above the drain and another below it: (8 Kb d h + 4 Ka h²)/L.
pub fn hooghoudt_inflow_layered<N: Real>(
    above: Velocity<N>,
    below: Velocity<N>,
    equivalent_depth: Length<N>,
    head: Length<N>,
    spacing: Length<N>,
    length: Length<N>,
) -> Flow<N> {
    let under = below.ms() * equivalent_depth.m() * head.m() * 8.0;
    let over = above.ms() * head.m() * head.m() * 4.0;
    Flow::from_m3s((under + over) / spacing.m() * length.m())
}

/// The spacing at which drains hold the table to a height above them under a steady recharge, with the equivalent depth
/// known: √((8 Kb d h + 4 Ka h²)/q).
///
/// Where the drains are ditches down to the tight layer the equivalent depth is their water's own, and this is the
/// ellipse L² = 4 K (b² - a²)/q with a = d, b = d + h. The recharge must be above zero.
pub fn hooghoudt_spacing_at_depth<N: Real>(
    above: Velocity<N>,
    below: Velocity<N>,
    equivalent_depth: Length<N>,
    head: Length<N>,
    recharge: Intensity<N>,
) -> Length<N> {
    let one = Length::from_m(N::from(1.0));
    let inflow = hooghoudt_inflow_layered(above, below, equivalent_depth, head, one, one);
    Length::from_m((inflow.m3s() / recharge.ms()).sqrt())
}

/// The spacing at which drains of a radius hold the table to a height above them under a steady recharge; the
/// equivalent depth follows from the spacing, so the two are solved together.
///
/// None where the recharge, the head or the radius is not above zero, a conductivity or the depth to the tight layer
/// is negative, or no spacing fits. The tight layer may be infinitely deep.
pub fn hooghoudt_spacing(
    above: Velocity,
    below: Velocity,
    depth_to_floor: Length,
    radius: Length,
    head: Length,
    recharge: Intensity,
) -> Option<Length> {
    let positive = [radius.m(), head.m(), recharge.ms()].iter().all(|value| value.is_finite() && *value > 0.0);
    let usable = above >= Velocity::ZERO && below >= Velocity::ZERO && depth_to_floor >= Length::ZERO;
    if !(positive && usable && above.is_finite() && below.is_finite()) {
        return None;
    }
    let fits = |spacing: f64| {
        let depth = equivalent_depth(Length::from_m(spacing), depth_to_floor, radius);
        hooghoudt_spacing_at_depth(above, below, depth, head, recharge).m() - spacing
    };
    // Drains that touch need no flow from below; from there outwards until the wanted spacing is passed.
    let low = (radius * 4.0).max(hooghoudt_spacing_at_depth(above, below, Length::ZERO, head, recharge)).m();
    if fits(low) <= 0.0 {
        return (low > radius.m() * 4.0).then(|| Length::from_m(low));
    }
    let mut high = low * 2.0;
    while high.is_finite() && fits(high) > 0.0 {
        high *= 2.0;
    }
    bracketed_root(low, high, low * 1e-12, fits).ok().map(|root| Length::from_m(root.x))
}

/// The conductivity of the ground from the flow of a working drain: the inverse of [`hooghoudt_inflow`],
/// K = Q L/((8 d h + 4 h²) x length).
///
/// The head and the drain's length must be above zero.
pub fn conductivity_from_drain<N: Real>(
    flow: Flow<N>,
    equivalent_depth: Length<N>,
    head: Length<N>,
    spacing: Length<N>,
    length: Length<N>,
) -> Velocity<N> {
    let depths = equivalent_depth.m() * head.m() * 8.0 + head.m() * head.m() * 4.0;
    Velocity::from_ms(flow.m3s() * spacing.m() / (depths * length.m()))
}

/// The flow into a round pit down to the tight layer, between a water level `far` above that layer at a distance `reach`
/// from its middle and `near` above it in the pit: π K (h1² - h2²)/ln(R/r).
///
/// Water that comes in through the floor of a pit that ends above the tight layer is taken in by counting the depth below
/// it, which is on the high side. None where the reach is not beyond the pit's wall or an input is not a number. Source:
/// Dupuit and Thiem, as in any groundwater text, from memory.
pub fn well_inflow(conductivity: Velocity, far: Length, near: Length, reach: Length, radius: Length) -> Option<Flow> {
    let spread = libm::log(reach / radius);
    let squares = far.m() * far.m() - near.m() * near.m();
    let flow = Flow::from_m3s(std::f64::consts::PI * conductivity.ms() * squares / spread);
    (spread > 0.0 && flow.is_finite()).then_some(flow)
}

/// How far from a drain or pit that is pumped the table is lowered once nothing changes any more: 3000 s √K in metres
/// and seconds.
///
/// A rule of thumb for pumping from wells in sand, without a derivation: it knows neither time nor rain nor the depth
/// of the ground. An inflow worked out with it grows with √K only. Prefer [`reach_after`] where a time is known.
/// Nothing for a drawdown or a conductivity that is not above zero. Source: W. Sichardt (1928), from memory.
pub fn influence_radius(drawdown: Length, conductivity: Velocity) -> Length {
    if drawdown <= Length::ZERO || conductivity <= Velocity::ZERO {
        return Length::ZERO;
    }
    drawdown * (3_000.0 * conductivity.ms().sqrt())
}

#[cfg(test)]
mod tests;
