//! Grates in a sag: a weir along the rim while the water is shallow, an orifice once it stands over the bars.
//!
//! Both laws are those of the highway manuals (Texas Department of Transportation, Hydraulic Design Manual, grate
//! inlets in sag; HEC-12 equations 17 and 18, the same in HEC-22). The capacity is the lesser of the two. Below half
//! an inch the weir law is optimistic: the grass around the grate and surface tension govern there.

use super::orifice::orifice_flow;
use crate::numeric::{bracketed_root, inverse_twelfth_root};
use crate::quantity::factor::FOOT;
use crate::quantity::{Area, Flow, Head, Length, Level, Real};

/// Where the two laws of a grate are from.
pub const GRATE_SOURCE: &str = "Texas DOT Hydraulic Design Manual, grate inlets in sag; HEC-12 equations 17 and 18";

/// The weir coefficient in feet and seconds.
const WEIR_COEFFICIENT_FT: f64 = 3.0;
/// The orifice coefficient.
const ORIFICE_COEFFICIENT: f64 = 0.67;
/// How sharply the flow turns from the one law to the other.
const BLEND: f64 = 12.0;

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
        let weir = (self.weir * depth_m * root, 1.5 * self.weir * root);
        let orifice = (self.orifice * root, 0.5 * self.orifice / root);
        let (lesser, greater) = if weir.0 < orifice.0 { (weir, orifice) } else { (orifice, weir) };
        let ratio = lesser.0 / greater.0;
        let square = ratio * ratio;
        let fourth = square * square;
        let twelfth = fourth * fourth * fourth;
        if twelfth < f64::EPSILON {
            return lesser;
        }
        let whole = 1.0 + twelfth;
        let share = inverse_twelfth_root(whole);
        let by_lesser = share / whole;
        (lesser.0 * share, lesser.1 * by_lesser + greater.1 * by_lesser * twelfth * ratio)
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
    /// The lesser of [`weir_flow`] and [`orifice_flow`], rounded off where they meet: (Qw⁻¹² + Qo⁻¹²)^(-1/12), never
    /// above either law, 5.6 % below both where they are equal and less than 0.4 % below the lesser beyond 1.3 times
    /// that depth. The manuals leave the zone between open; the rounding is this project's own. Nothing without depth
    /// or when it is clogged whole; not a number where an input is none.
    pub fn flow(&self, depth: Length) -> Flow {
        if self.is_nan() || depth.m().is_nan() {
            return Flow::from_m3s(f64::NAN);
        }
        let (open, depth) = (self.open(), depth.max(Length::ZERO));
        let (weir, orifice) = (weir_flow(open.perimeter, depth), openings_flow(open.open_area, depth));
        let (lesser, greater) = (weir.min(orifice), weir.max(orifice));
        if lesser <= Flow::ZERO || !lesser.is_finite() {
            return lesser;
        }
        lesser * libm::pow(1.0 + libm::pow(lesser / greater, BLEND), -1.0 / BLEND)
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
        let (low, high) = (depth_m(flow), depth_m(flow * (libm::pow(2.0, 1.0 / BLEND) * (1.0 + 1e-9))));
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
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    #[test]
    fn identity_the_kernel_says_what_the_quantities_say() {
        let grate = grate(48.0, 62.0, 0.5);
        for step in 1..200_u32 {
            let depth_m = 0.002 * f64::from(step);
            let (flow, slope) = grate.kernel().flow_and_slope(depth_m);
            assert_relative_eq!(flow, grate.flow(Length::from_m(depth_m)).m3s(), max_relative = 1e-13);
            let beside = |by: f64| grate.kernel().flow_and_slope(depth_m + by).0;
            assert_relative_eq!(slope, (beside(1e-7) - beside(-1e-7)) / 2e-7, max_relative = 1e-5);
        }
        assert_eq!(grate.kernel().flow_and_slope(-0.1), (0.0, 0.0));
    }

    fn grate(perimeter_in: f64, open_in2: f64, clogged: f64) -> Grate {
        Grate { perimeter: Length::from_inch(perimeter_in), open_area: Area::from_in2(open_in2), clogged }
    }

    #[test]
    fn identity_where_the_laws_meet_they_are_equal() {
        let grate = grate(48.0, 62.0, 0.0);
        let depth = grate.meeting_depth().unwrap();
        let (weir, orifice) = (weir_flow(grate.perimeter, depth), openings_flow(grate.open_area, depth));
        assert_relative_eq!(weir.gpm(), orifice.gpm(), max_relative = 1e-12);
        assert_relative_eq!(grate.flow(depth) / weir, 0.943_874, max_relative = 1e-6);
        assert!(1.0 - grate.flow(depth * 1.3) / openings_flow(grate.open_area, depth * 1.3) < 0.004);
        assert_eq!(grate.regime(depth * 0.49), GrateRegime::Weir);
        assert_eq!(grate.regime(depth), GrateRegime::Between);
        assert_eq!(grate.regime(depth * 2.01), GrateRegime::Orifice);
        assert_eq!(GrateRegime::Between.words(), "between weir and orifice");
    }

    #[test]
    fn identity_a_grate_clogged_whole_takes_nothing() {
        let (clogged, open) = (grate(48.0, 62.0, 1.0), grate(48.0, 62.0, 0.0));
        let (flow, depth) = (Flow::from_gpm(10.0), Length::from_inch(3.0));
        assert_eq!((clogged.flow(depth), clogged.depth_for(flow)), (Flow::ZERO, None));
        assert_eq!(clogged.size_factor_for(flow, depth), None);
        assert_eq!(common_level(&[(Level::ZERO, clogged)], flow), None);
        assert_eq!(common_level(&[], flow), None);
        assert_eq!(open.depth_for(Flow::ZERO), Some(Length::ZERO));
        assert_eq!(open.depth_for(Flow::from_gpm(f64::NAN)), None);
        assert_eq!(open.flow(Length::ZERO), Flow::ZERO);
        // the level of no flow is that of the lowest open rim
        let rims = [(Level::from_ft(1.0), clogged), (Level::from_ft(3.0), open), (Level::from_ft(2.0), open)];
        assert_eq!(common_level(&rims, Flow::ZERO), Some(Level::from_ft(2.0)));
    }

    #[test]
    fn identity_nothing_odd_comes_of_odd_numbers() {
        let odd = [-1e9, -2.0, -1e-12, 0.0, 1e-12, 0.5, 3.0, 1e9];
        for (a, b) in odd.iter().flat_map(|a| odd.iter().map(move |b| (*a, *b))) {
            for (c, d) in odd.iter().flat_map(|c| odd.iter().map(move |d| (*c, *d))) {
                let grate = Grate { perimeter: Length::from_m(a), open_area: Area::from_m2(b), clogged: c };
                let flow = grate.flow(Length::from_m(d));
                assert!(flow >= Flow::ZERO, "{grate:?} {d}");
                if let Some(depth) = grate.depth_for(Flow::from_m3s(d)) {
                    assert!(depth >= Length::ZERO, "{grate:?} {d}");
                }
                let level = common_level(&[(Level::from_m(a), grate), (Level::from_m(b), grate)], Flow::from_m3s(d));
                assert!(level.is_none_or(|level| !level.m().is_nan()), "{grate:?} {d}");
                assert!(grate.meeting_depth().is_none_or(|depth| depth > Length::ZERO));
                assert!(grate.size_factor_for(flow, Length::from_m(c)).is_none_or(|factor| factor >= 0.0));
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn identity_never_above_either_law(perimeter in 6.0..200.0_f64, open in 2.0..600.0_f64, clogged in 0.0..0.99_f64, depth in 0.01..30.0_f64) {
            let (grate, depth) = (grate(perimeter, open, clogged), Length::from_inch(depth));
            let share = 1.0 - clogged;
            let lesser = weir_flow(grate.perimeter * share, depth).min(openings_flow(grate.open_area * share, depth));
            let flow = grate.flow(depth);
            prop_assert!(flow <= lesser && flow >= lesser * 0.9438);
            prop_assert!(grate.flow(depth * 1.01) > flow);
            assert_relative_eq!(grate.depth_for(flow).unwrap().m(), depth.m(), max_relative = 1e-9);
        }

        #[test]
        fn identity_more_clogging_never_makes_less_depth(perimeter in 6.0..200.0_f64, open in 2.0..600.0_f64, clogged in 0.0..0.9_f64, more in 0.0..0.09_f64, flow in 0.1..1000.0_f64) {
            let flow = Flow::from_gpm(flow);
            let (less, more) = (grate(perimeter, open, clogged), grate(perimeter, open, clogged + more));
            prop_assert!(more.depth_for(flow).unwrap() >= less.depth_for(flow).unwrap() * (1.0 - 1e-12));
        }

        #[test]
        fn identity_a_grate_larger_by_the_factor_takes_the_flow(perimeter in 6.0..200.0_f64, open in 2.0..600.0_f64, depth in 0.1..12.0_f64, flow in 1.0..1000.0_f64) {
            let (flow, depth) = (Flow::from_gpm(flow), Length::from_inch(depth));
            let factor = grate(perimeter, open, 0.5).size_factor_for(flow, depth).unwrap();
            let larger = grate(perimeter * factor, open * factor, 0.5);
            assert_relative_eq!(larger.flow(depth).gpm(), flow.gpm(), max_relative = 1e-12);
        }

        #[test]
        fn identity_what_grates_take_together_is_the_flow(rims in prop::collection::vec((0.0..2.0_f64, 6.0..200.0_f64, 2.0..600.0_f64, 0.0..0.9_f64), 1..5), flow in 0.1..2000.0_f64) {
            let grates: Vec<(Level, Grate)> = rims
                .into_iter()
                .map(|(rim, perimeter, open, clogged)| (Level::from_ft(rim), grate(perimeter, open, clogged)))
                .collect();
            let flow = Flow::from_gpm(flow);
            let level = common_level(&grates, flow).unwrap();
            assert_relative_eq!(common_flow(&grates, level).gpm(), flow.gpm(), max_relative = 1e-6);
        }
    }
}
