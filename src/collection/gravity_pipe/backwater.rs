//! How far water backs up in a pipe: gradually varied flow, worked back from its lower end.
//!
//! With the specific energy E = y + V²/2g, the depth follows dE/dx = Sf - S going upstream, Sf by Manning. The depth at
//! the lower end is the tailwater's, or critical depth where that is higher (a free outfall); where the water closes
//! over, the grade line goes on above the crown at the friction slope of the full pipe. So there is no need of the rule
//! for a full pipe with a free outfall, a grade line at (dc + D)/2, of the highway manuals (HEC-22, from memory): the
//! curve from critical depth up to the crown takes its place. Where the backwater falls to critical depth within a
//! steep pipe, it does not reach the upper end, and the inlet governs.

use super::GravityPipe;
use super::section::{angle, area_ratio, critical_depth, flow_area, friction_slope, normal_depth, ratio_of, share};
use crate::numeric::bracketed_root;
use crate::quantity::factor::GRAVITY;
use crate::quantity::{Flow, Length, Level, Velocity};
use std::f64::consts::TAU;

/// Where the way water stands in a gravity pipe is from.
pub const BACKWATER_SOURCE: &str = "gradually varied flow with Manning's friction; entrance loss and the greater of inlet and outlet control as in HDS-5 (from memory)";

/// Loss at the entrance, in velocity heads: a square edge flush with the wall (HDS-5, from memory).
const ENTRANCE_LOSS: f64 = 0.5;
/// Flow coefficient of a submerged entrance that the pipe does not drown: a sharp-edged orifice.
const ENTRANCE_ORIFICE: f64 = 0.6;
/// Depths between critical depth and the crown at which friction is worked out.
const NODES: u32 = 24;
/// A pipe is taken to be at least as long as this, so that one of no length is a step.
const LEAST_LENGTH_M: f64 = 1e-6;

/// How the water stands in a pipe at a flow, worked back from a water level at its lower end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BackedUp {
    /// The grade line at the lower end: the tailwater, or the critical or (in a steep pipe) the uniform depth above it.
    pub lower: Level,
    /// The grade line at the upper end, inside the pipe: the water's surface, or where it would stand in a riser.
    pub upper: Level,
    /// The water in the box at its upper end, which stands higher by the velocity head and the loss at the entrance.
    pub pool: Level,
    /// The uniform depth; the bore where it runs full all the way; the depth at the upper end where it has no uniform
    /// depth and runs full in part or not at all.
    pub depth: Length,
    /// The mean velocity at that depth.
    pub velocity: Velocity,
    /// How much of it runs full.
    pub full_length: Length,
}

/// A point of the curve that a flow's surface follows.
#[derive(Clone, Copy)]
struct Node {
    depth_m: f64,
    /// Specific energy.
    energy_m: f64,
    /// What energy gains on the way upstream: friction slope less the pipe's.
    gain: f64,
}

/// A flow in a pipe.
struct Running {
    bore_m: f64,
    q_m3s: f64,
    slope: f64,
    /// Friction slope of the full pipe.
    full_friction: f64,
    critical_m: f64,
    normal_m: Option<f64>,
}

impl Running {
    fn velocity_head_m(&self, angle: f64) -> f64 {
        let velocity_ms = self.q_m3s / (area_ratio(angle) * self.bore_m * self.bore_m);
        velocity_ms * velocity_ms / (2.0 * GRAVITY)
    }
    fn node(&self, angle: f64) -> Node {
        let (depth_m, share) = (self.bore_m * ratio_of(angle), share(angle));
        let gain = self.full_friction / (share * share) - self.slope;
        Node { depth_m, energy_m: depth_m + self.velocity_head_m(angle), gain }
    }
    /// The nodes from critical depth to the crown, with the uniform depth among them.
    fn nodes(&self) -> Vec<Node> {
        let lowest = angle(self.critical_m / self.bore_m);
        let mut nodes: Vec<Node> = (0..=NODES)
            .map(|step| {
                // close together at critical depth, where the energy hardly changes with the depth
                let part = f64::from(step) / f64::from(NODES);
                self.node(lowest + (TAU - lowest) * part * part)
            })
            .collect();
        if let Some(normal_m) = self.normal_m.filter(|normal_m| *normal_m > self.critical_m) {
            let at = nodes.partition_point(|node| node.depth_m < normal_m);
            nodes.insert(at, Node { gain: 0.0, ..self.node(angle(normal_m / self.bore_m)) });
        }
        nodes
    }
    /// The depth of an energy between two depths.
    fn depth_of(&self, energy_m: f64, low: Node, high: Node) -> f64 {
        let miss = |depth_m: f64| depth_m + self.velocity_head_m(angle(depth_m / self.bore_m)) - energy_m;
        let nearest = if energy_m >= high.energy_m { high.depth_m } else { low.depth_m };
        bracketed_root(low.depth_m, high.depth_m, self.bore_m * 1e-12, miss).map_or(nearest, |root| root.x)
    }
    /// Up a length from a depth at its lower end: the depth at the upper end, above the bore where the grade line is
    /// above the crown, and the length that runs full.
    fn up(&self, start_m: f64, length_m: f64) -> (f64, f64) {
        let full_gain = self.full_friction - self.slope;
        let (mut left_m, mut full_m, mut depth_m) = (length_m, 0.0, start_m);
        if depth_m >= self.bore_m {
            let until_m = if full_gain < 0.0 { (depth_m - self.bore_m) / -full_gain } else { f64::INFINITY };
            if until_m >= length_m {
                return (depth_m + full_gain * length_m, length_m);
            }
            (left_m, full_m, depth_m) = (length_m - until_m, until_m, self.bore_m);
        }
        let nodes = self.nodes();
        let Some((low, high)) = cell(&nodes, depth_m) else { return (depth_m, full_m) };
        let start = between(low, high, depth_m + self.velocity_head_m(angle(depth_m / self.bore_m)), depth_m);
        let mut from = start;
        if start.gain > 0.0 {
            for to in nodes.iter().filter(|node| node.depth_m > depth_m) {
                match along(from, *to, &mut left_m) {
                    Some(energy_m) => return (self.depth_of(energy_m, from, *to), full_m),
                    None => from = *to,
                }
            }
            return (self.bore_m + full_gain * left_m, left_m);
        }
        if start.gain < 0.0 {
            for to in nodes.iter().rev().filter(|node| node.depth_m < depth_m) {
                match along(from, *to, &mut left_m) {
                    Some(energy_m) => return (self.depth_of(energy_m, *to, from), full_m),
                    None => from = *to,
                }
            }
            return (self.critical_m, full_m);
        }
        (depth_m, full_m)
    }
}

/// The nodes on either side of a depth.
fn cell(nodes: &[Node], depth_m: f64) -> Option<(Node, Node)> {
    let above = nodes.iter().position(|node| node.depth_m > depth_m).unwrap_or(nodes.len() - 1).max(1);
    Some((*nodes.get(above - 1)?, *nodes.get(above)?))
}

/// A point between two nodes: the gain follows the energy in a straight line.
fn between(low: Node, high: Node, energy_m: f64, depth_m: f64) -> Node {
    let width = high.energy_m - low.energy_m;
    let part = if width > 0.0 { ((energy_m - low.energy_m) / width).clamp(0.0, 1.0) } else { 0.0 };
    Node { depth_m, energy_m, gain: low.gain + (high.gain - low.gain) * part }
}

/// Along the curve from one point to the next, while there is length left: the energy at its end where it ends before
/// the next point, with the gain in a straight line between the two, which makes the energy an exponential of the way.
fn along(from: Node, to: Node, left_m: &mut f64) -> Option<f64> {
    let rise_m = to.energy_m - from.energy_m;
    // the next point is where the curve tends to, or lies beyond that: never reached
    let change = (to.gain - from.gain) / from.gain;
    let takes_m = if change > -1.0 {
        let stretched = if change.abs() > 1e-9 { libm::log1p(change) / change } else { 1.0 };
        (rise_m / from.gain * stretched).max(0.0)
    } else {
        f64::INFINITY
    };
    if takes_m < *left_m {
        *left_m -= takes_m;
        return None;
    }
    let rate = if rise_m == 0.0 { 0.0 } else { (to.gain - from.gain) / rise_m * *left_m };
    let stretched = if rate.abs() > 1e-9 { libm::expm1(rate) / rate } else { 1.0 };
    Some(from.energy_m + from.gain * *left_m * stretched)
}

impl GravityPipe {
    /// How the water stands in it at a steady flow, worked back from a water level at its lower end.
    ///
    /// Gradually varied flow by Manning (see [`BACKWATER_SOURCE`]): the pipe may lie flat or rise. The water in the box
    /// at its upper end stands 1.5 velocity heads above the grade line, with the velocity at that end. It never stands
    /// lower than what gets the flow in at all: critical depth and 1.5 of its velocity heads, or, where that drowns the
    /// crown, the head on an orifice of the bore with a coefficient of 0.6 over its centre.
    ///
    /// No flow or less is still water. A flow into a pipe without a bore, or one beyond all numbers, raises the pool
    /// without end. Not a number where an input is none. A length that is not above zero is a step.
    pub fn backed_up(&self, flow: Flow, tailwater: Level) -> BackedUp {
        let inputs = [self.length.m(), self.bore.m(), self.manning_n, self.up_invert.m(), self.down_invert.m()];
        if inputs.iter().any(|input| input.is_nan()) || flow.m3s().is_nan() || tailwater.m().is_nan() {
            let none = Level::from_m(f64::NAN);
            let (depth, velocity) = (Length::from_m(f64::NAN), Velocity::from_ms(f64::NAN));
            return BackedUp { lower: none, upper: none, pool: none, depth, velocity, full_length: depth };
        }
        if flow <= Flow::ZERO {
            return self.still(tailwater);
        }
        let length_m = self.length.m().max(LEAST_LENGTH_M);
        let critical = critical_depth(self.bore, flow);
        let normal = normal_depth(self.manning_n, self.bore, self.slope(), flow);
        let running = Running {
            bore_m: self.bore.m(),
            q_m3s: flow.m3s(),
            slope: (self.up_invert - self.down_invert).m() / length_m,
            full_friction: friction_slope(self.manning_n.max(0.0), self.bore, flow).ratio(),
            critical_m: critical.m(),
            normal_m: normal.map(Length::m),
        };
        let entrance = self.entrance(flow, critical);
        // without a bore or a critical depth there is no area for the flow, and the entrance is without end
        if !(entrance.is_finite() && running.full_friction.is_finite() && running.slope.is_finite()) {
            let without_end = Level::from_m(f64::INFINITY);
            return BackedUp { upper: without_end, pool: without_end, ..self.still(tailwater) };
        }
        let at_end = tailwater - self.down_invert;
        let (upper_m, full_m) = running.up(at_end.max(critical).m(), length_m);
        let head = Length::from_m(running.velocity_head_m(angle(upper_m / running.bore_m)));
        let upper = self.up_invert + Length::from_m(upper_m);
        let depth = match normal {
            _ if full_m >= length_m => self.bore,
            Some(normal) => normal,
            None => self.bore.min(Length::from_m(upper_m)),
        };
        BackedUp {
            lower: self.down_invert + at_end.max(critical.min(normal.unwrap_or(critical))),
            upper,
            pool: (upper + head * (1.0 + ENTRANCE_LOSS)).max(self.up_invert + entrance),
            depth,
            velocity: flow / flow_area(self.bore, depth),
            full_length: Length::from_m(full_m).min(self.length.max(Length::ZERO)),
        }
    }
    /// The depth of the pool over the upper invert that gets a flow into the pipe.
    fn entrance(&self, flow: Flow, critical: Length) -> Length {
        let head = |velocity: Velocity| Length::from_m(velocity.ms() * velocity.ms() / (2.0 * GRAVITY));
        let open = critical + head(flow / flow_area(self.bore, critical)) * (1.0 + ENTRANCE_LOSS);
        let drowned = self.bore * 0.5 + head(flow / self.bore.circle() / ENTRANCE_ORIFICE);
        if drowned > self.bore { open.max(drowned) } else { open }
    }
    /// Still water: it stands at the tailwater, or just reaches over the higher end.
    fn still(&self, tailwater: Level) -> BackedUp {
        let upper = tailwater.max(self.up_invert).max(self.down_invert);
        BackedUp {
            lower: tailwater.max(self.down_invert),
            upper,
            pool: upper,
            depth: Length::ZERO,
            velocity: Velocity::ZERO,
            full_length: self.standing(tailwater - self.bore).0,
        }
    }
    /// The largest flow at which the pool at its head stays at or below a level. Nothing where there is none.
    ///
    /// Solved over [`GravityPipe::backed_up`], whose pool rises with the flow. It rises in one leap where a steep pipe
    /// fills: just above [`GREATEST_SHARE`](super::GREATEST_SHARE) of its full flow, or a little before. A pool within
    /// that leap gets the flow below it.
    pub fn most_flow(&self, pool: Level, tailwater: Level) -> Flow {
        let over = pool - self.still(tailwater).pool;
        if !(over > Length::ZERO && over.is_finite() && self.bore > Length::ZERO && self.bore.is_finite()) {
            return Flow::ZERO;
        }
        // with all of the pool over the invert as velocity head it stands higher than that
        let velocity_ms = ((pool - self.up_invert).m() * (2.0 * GRAVITY)).sqrt();
        let most_m3s = (Velocity::from_ms(velocity_ms) * self.bore.circle()).m3s();
        let miss = |q_m3s: f64| (self.backed_up(Flow::from_m3s(q_m3s), tailwater).pool - pool).m().min(1e9);
        let Ok(root) = bracketed_root(0.0, most_m3s, most_m3s * 1e-11, miss) else { return Flow::ZERO };
        Flow::from_m3s(if root.residual > 0.0 { root.x * (1.0 - 1e-9) } else { root.x })
    }
}
