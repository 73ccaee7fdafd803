//! Losses at fittings, and orifices.

use crate::quantity::factor::{GRAVITY, INCH, PSI};
use crate::quantity::{Area, Duration, Flow, Head, Length, Real, Velocity, Volume};

/// The velocity head V²/2g.
pub fn velocity_head<N: Real>(velocity: Velocity<N>) -> Head<N> {
    Head::from_m(velocity.ms() * velocity.ms() / (2.0 * GRAVITY))
}

/// The head lost at fittings: ΣK V²/2g. K belongs to the bore in which V is the velocity.
pub fn minor_loss<N: Real>(sum_k: N, velocity: Velocity<N>) -> Head<N> {
    velocity_head(velocity) * sum_k
}

/// The head lost where a pipe widens at once: (V1 - V2)²/2g (Borda and Carnot).
pub fn sudden_enlargement_loss<N: Real>(before: Velocity<N>, after: Velocity<N>) -> Head<N> {
    let slowed = before.ms() - after.ms();
    Head::from_m(slowed * slowed / (2.0 * GRAVITY))
}

/// The friction factor in the fully rough zone of a pipe of commercial steel (roughness 0.0018 in): what the n fT
/// method of fitting losses multiplies. Source: the fT table of a trade's technical paper of 2009, whose values this
/// formula (Nikuradse) rounds to.
pub fn fully_rough_friction_factor<N: Real>(bore: Length<N>) -> N {
    let inside = (N::from(0.0018 * INCH / 3.7) / bore.m()).log10();
    N::from(0.25) / (inside * inside)
}

/// K of a valve from its flow coefficient Cv (gpm at 1 psi) in a pipe of a bore: the pressure of 1 psi over the
/// velocity head that Cv gpm makes in the bore, at water of 1000 kg/m³ (62.43 lb/ft³).
pub fn k_of_flow_coefficient(cv: f64, bore: Length) -> f64 {
    let velocity = Flow::from_gpm(cv) / bore.circle();
    (PSI / 1000.0) / (0.5 * velocity.ms() * velocity.ms())
}

/// K of a valve from its metric flow coefficient Kv (m³/h at 1 bar).
pub fn k_of_metric_flow_coefficient(kv: f64, bore: Length) -> f64 {
    let velocity = Flow::from_m3h(kv) / bore.circle();
    (1e5 / 1000.0) / (0.5 * velocity.ms() * velocity.ms())
}

/// The length of the same pipe that loses as much as a fitting: K D / f.
pub fn equivalent_length<N: Real>(k: N, bore: Length<N>, friction_factor: N) -> Length<N> {
    Length::from_m(k * bore.m() / friction_factor)
}

/// The area of an orifice that passes a flow under a head.
pub fn orifice_area(discharge_coefficient: f64, flow: Flow, head: Head) -> Area {
    Area::from_m2(flow.m3s() / (discharge_coefficient * (2.0 * GRAVITY * head.m()).sqrt()))
}

/// The time in which a vessel of one plan area empties through a hole in its bottom.
pub fn emptying_time(plan: Area, depth: Length, discharge_coefficient: f64, hole: Area) -> Duration {
    Duration::from_s(2.0 * plan.m2() * (depth.m() / (2.0 * GRAVITY)).sqrt() / (discharge_coefficient * hole.m2()))
}

/// The water in a length of full pipe.
pub fn pipe_volume<N: Real>(bore: Length<N>, length: Length<N>) -> Volume<N> {
    bore.circle() * length
}
