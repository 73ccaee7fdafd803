//! Grates in a sag: a weir along the rim while the water is shallow, an orifice once it stands over the bars.
//!
//! Both laws are those of the highway manuals (Texas Department of Transportation, Hydraulic Design Manual, grate
//! inlets in sag; HEC-12 equations 17 and 18, the same in HEC-22). The capacity is the lesser of the two. Below half
//! an inch the weir law is optimistic: the grass around the grate and surface tension govern there.

use super::orifice::orifice_flow;
use crate::numeric::{bracketed_root, lesser};
use crate::quantity::factor::FOOT;
use crate::quantity::{Area, Flow, Head, Length, Level, Real};

/// Where the two laws of a grate are from.
pub const GRATE_SOURCE: &str = "Texas DOT Hydraulic Design Manual, grate inlets in sag; HEC-12 equations 17 and 18";

/// The weir coefficient in feet and seconds.
const WEIR_COEFFICIENT_FT: f64 = 3.0;
/// The orifice coefficient.
const ORIFICE_COEFFICIENT: f64 = 0.67;
/// The least share of both laws that is left where they meet and are rounded off.
const LEAST_SHARE: f64 = 0.9375;

/// What crosses the rim of a grate as over a weir: Q = Cw P d^1.5 with Cw 3.0 in feet, 1.66 in metres.
///
/// The perimeter leaves out a side against a wall. Depth of the water over the grate, zero or more. Source: see
/// [`GRATE_SOURCE`].
pub fn weir_flow<N: Real>(perimeter: Length<N>, depth: Length<N>) -> Flow<N> {
    Flow::from_m3s(perimeter.m() * depth.m().powf(1.5) * (WEIR_COEFFICIENT_FT * FOOT.sqrt()))
}

/// What goes through the openings of a grate as through an orifice: Q = Co A √(2 g d) with Co 0.67.
///
/// Depth of the water over the grate, zero or more. Source: see [`GRATE_SOURCE`].
pub fn openings_flow<N: Real>(open_area: Area<N>, depth: Length<N>) -> Flow<N> {
    orifice_flow(N::from(ORIFICE_COEFFICIENT), open_area, Head::from(depth))
}

/// A grate in a sag, as the water sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grate {
    /// The rim over which water comes in; a side against a wall does not count.
    pub perimeter: Length,
    /// The clear openings together.
    pub open_area: Area,
    /// The share that leaves block, 0 to 1; it acts on both. The manuals take a half.
    pub clogged: f64,
}

/// A grate in plain SI numbers: what weir and orifice take at a depth of one metre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct GrateKernel {
    weir: f64,
    orifice: f64,
}

impl GrateKernel {
    /// Whether both are numbers.
    pub(crate) fn is_finite(self) -> bool {
        self.weir.is_finite() && self.orifice.is_finite()
    }
    /// [`Grate::flow`] at a depth in metres, with how it changes with that depth.
    #[inline]
    pub(crate) fn flow_and_slope(self, depth_m: f64) -> (f64, f64) {
        if depth_m <= 0.0 || self.weir <= 0.0 || self.orifice <= 0.0 {
            return (0.0, 0.0);
        }
        let root = depth_m.sqrt();
        // both go with the root: what is left of them is a straight line and a constant
        let (share, by_weir, by_orifice) = lesser(self.weir * depth_m, self.orifice);
        let slope = 1.5 * self.weir * root * by_weir + 0.5 * self.orifice / root * by_orifice;
        (share * root, slope)
    }
}

/// Which law governs a grate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GrateRegime {
    /// A weir along the rim.
    Weir,
    /// Neither for certain.
    Between,
    /// An orifice.
    Orifice,
}

impl GrateRegime {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Weir => "weir",
            Self::Between => "between weir and orifice",
            Self::Orifice => "orifice",
        }
    }
}

impl Grate {
    /// The part that leaves do not block.
    fn open(&self) -> Self {
        let share = 1.0 - self.clogged.clamp(0.0, 1.0);
        Self {
            perimeter: self.perimeter.max(Length::ZERO) * share,
            open_area: self.open_area.max(Area::ZERO) * share,
            clogged: 0.0,
        }
    }
    /// Whether one of its numbers is none.
    fn is_nan(&self) -> bool {
        self.perimeter.m().is_nan() || self.open_area.m2().is_nan() || self.clogged.is_nan()
    }
    /// What it takes with water standing that deep over it.
    ///
    /// The lesser of [`weir_flow`] and [`orifice_flow`], rounded off where they meet: never above either law, 6.25 %
    /// below both where they are equal, and the lesser itself from two thirds of that depth down and from one and a
    /// half times it up. The manuals leave the zone between open; the rounding is this project's own. Nothing without
    /// depth or when it is clogged whole; not a number where an input is none.
    pub fn flow(&self, depth: Length) -> Flow {
        if self.is_nan() || depth.m().is_nan() {
            return Flow::from_m3s(f64::NAN);
        }
        let (open, depth) = (self.open(), depth.max(Length::ZERO));
        let (weir, orifice) = (weir_flow(open.perimeter, depth), openings_flow(open.open_area, depth));
        Flow::from_m3s(lesser(weir.m3s(), orifice.m3s()).0)
    }
    /// The grate as the two numbers that its flow follows from.
    pub(crate) fn kernel(&self) -> GrateKernel {
        let open = self.open();
        GrateKernel { weir: weir_flow(open.perimeter, UNIT).m3s(), orifice: openings_flow(open.open_area, UNIT).m3s() }
    }
    /// How deep the water stands over it when it takes a flow.
    ///
    /// Nothing for no flow. None when no depth will do (clogged whole, or no rim or openings), or an input is not a
    /// number.
    pub fn depth_for(&self, flow: Flow) -> Option<Length> {
        if self.is_nan() || !flow.is_finite() {
            return None;
        }
        let open = self.open();
        let (weir, orifice) = (weir_flow(open.perimeter, UNIT), openings_flow(open.open_area, UNIT));
        if !(weir > Flow::ZERO && orifice > Flow::ZERO && weir.is_finite() && orifice.is_finite()) {
            return None;
        }
        if flow <= Flow::ZERO {
            return Some(Length::ZERO);
        }
        // the greater of the depths that each law alone would need; what rounding off takes away bounds it above
        let depth_m = |flow: Flow| {
            let (over, through) = (flow / weir, flow / orifice);
            libm::pow(over, 2.0 / 3.0).max(through * through)
        };
        let (low, high) = (depth_m(flow), depth_m(flow * ((1.0 + 1e-9) / LEAST_SHARE)));
        let miss = |depth_m: f64| (self.flow(Length::from_m(depth_m)) - flow) / flow;
        // far on one side the rounding is nothing, and the last bit may hide the change of sign
        Some(Length::from_m(bracketed_root(low * (1.0 - 1e-9), high, 0.0, miss).map_or(low, |root| root.x)))
    }
    /// The depth at which both laws give the same: Co A √(2g) / (Cw P). None without rim or openings.
    pub fn meeting_depth(&self) -> Option<Length> {
        let (weir, orifice) = (weir_flow(self.perimeter, UNIT), openings_flow(self.open_area, UNIT));
        let depth = Length::from_m(orifice / weir);
        (weir > Flow::ZERO && orifice > Flow::ZERO && depth.is_finite()).then_some(depth)
    }
    /// Which law governs at a depth. Within a factor of two of the depth at which they meet neither is certain (common
    /// practice, no source).
    pub fn regime(&self, depth: Length) -> GrateRegime {
        match self.meeting_depth() {
            Some(meeting) if depth > meeting * 2.0 => GrateRegime::Orifice,
            Some(meeting) if depth >= meeting * 0.5 => GrateRegime::Between,
            _ => GrateRegime::Weir,
        }
    }
    /// By which factor rim and openings both would have to grow to take a flow at a depth; below 1 where the grate is
    /// larger than needed. None where it takes nothing at that depth.
    pub fn size_factor_for(&self, flow: Flow, depth: Length) -> Option<f64> {
        let takes = self.flow(depth);
        (takes > Flow::ZERO && takes.is_finite() && flow.is_finite()).then(|| flow.max(Flow::ZERO) / takes)
    }
}

/// A depth of one metre, at which a law gives its coefficient.
const UNIT: Length = Length::from_cm(100.0);

/// What several grates take under one water level.
pub fn common_flow(grates: &[(Level, Grate)], level: Level) -> Flow {
    grates.iter().map(|(rim, grate)| grate.flow(level - *rim)).sum()
}

/// The water level at which several grates, each with the level of its rim, take a flow together.
///
/// With no flow the lowest rim that is open. None where nothing can take it, or an input is not a number.
pub fn common_level(grates: &[(Level, Grate)], flow: Flow) -> Option<Level> {
    // no grate needs more than the level at which it takes all by itself
    let alone = |(rim, grate): &(Level, Grate)| Some((*rim, *rim + grate.depth_for(flow)?));
    let open: Vec<(Level, Level)> = grates.iter().filter_map(alone).collect();
    if grates.iter().any(|(rim, grate)| !rim.is_finite() || grate.is_nan()) {
        return None;
    }
    let lowest = open.iter().map(|(rim, _)| *rim).reduce(Level::min)?;
    let highest = open.iter().map(|(_, level)| *level).reduce(Level::min)?;
    if flow <= Flow::ZERO {
        return Some(lowest);
    }
    let rise_m = (highest - lowest).m();
    let miss = |rise_m: f64| (common_flow(grates, lowest + Length::from_m(rise_m)) - flow) / flow;
    let found = bracketed_root(0.0, rise_m, rise_m * 1e-12, miss);
    // one grate alone takes the flow at the upper end, give or take the last bit
    Some(found.map_or(highest, |root| lowest + Length::from_m(root.x)))
}

#[cfg(test)]
mod tests;
