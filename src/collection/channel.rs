//! Open channels of trapezoidal section: the swale below the outlet. A bottom width of nothing makes a triangle.
//!
//! Manning's formula Q = (1/n) A R^(2/3) S^(1/2) with constant n. In standing grass a few inches of water run at n of
//! 0.05 to 0.10 and more, not at the 0.03 of deep channels.

use crate::numeric::bracketed_root;
use crate::quantity::factor::GRAVITY;
use crate::quantity::{Area, Flow, Length, Slope, Velocity};

/// A channel with a level bottom and two sides of one slope.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Channel {
    /// Width of the bottom, zero or more.
    pub bottom_width: Length,
    /// Horizontal per vertical, each side, zero or more.
    pub side_slope: f64,
    /// Manning's n, 0.01 to 0.4.
    pub manning_n: f64,
    /// Fall of the bottom, above zero.
    pub slope: Slope,
}

impl Channel {
    /// Area of the water: (b + z y) y. Nothing below a depth of zero.
    pub fn area(&self, depth: Length) -> Area {
        let depth = depth.max(Length::ZERO);
        (self.bottom_width + depth * self.side_slope) * depth
    }
    /// What the water wets of the section: b + 2 y √(1 + z²).
    pub fn wetted_perimeter(&self, depth: Length) -> Length {
        let side = (1.0 + self.side_slope * self.side_slope).sqrt();
        self.bottom_width + depth.max(Length::ZERO) * (2.0 * side)
    }
    /// Width of the water's surface: b + 2 z y.
    pub fn top_width(&self, depth: Length) -> Length {
        self.bottom_width + depth.max(Length::ZERO) * (2.0 * self.side_slope)
    }
    /// Whether water can run in it: a section that opens upwards, n above zero.
    fn is_section(&self) -> bool {
        let (width_m, side) = (self.bottom_width.m(), self.side_slope);
        width_m >= 0.0 && side >= 0.0 && width_m + side > 0.0 && width_m.is_finite() && side.is_finite()
    }
    /// Whether it carries water by its own fall.
    fn falls(&self) -> bool {
        let usable = |value: f64| value > 0.0 && value.is_finite();
        self.is_section() && usable(self.manning_n) && usable(self.slope.ratio())
    }
    /// What it carries at a uniform depth, by Manning.
    ///
    /// Nothing at no depth, and nothing where the channel does not fall or is none.
    pub fn flow(&self, depth: Length) -> Flow {
        if !self.falls() || depth <= Length::ZERO {
            return Flow::ZERO;
        }
        let area = self.area(depth);
        let radius_m = (area / self.wetted_perimeter(depth)).m();
        Flow::from_m3s(area.m2() * libm::pow(radius_m, 2.0 / 3.0) * self.slope.ratio().sqrt() / self.manning_n)
    }
    /// The uniform depth at which it carries a flow; nothing for none.
    ///
    /// None where the channel does not fall or is none, or the flow is not a number.
    pub fn normal_depth(&self, flow: Flow) -> Option<Length> {
        if self.falls() { depth_where(flow, |depth| self.flow(depth)) } else { None }
    }
    /// The flow that is critical at a depth: Q = √(g A³/T).
    pub fn critical_flow(&self, depth: Length) -> Flow {
        if !self.is_section() || depth <= Length::ZERO {
            return Flow::ZERO;
        }
        let area_m2 = self.area(depth).m2();
        Flow::from_m3s(area_m2 * (GRAVITY * area_m2 / self.top_width(depth).m()).sqrt())
    }
    /// The depth at which a flow has the least energy: Q² T/(g A³) = 1; nothing for no flow.
    ///
    /// None where the section is none, or the flow is not a number.
    pub fn critical_depth(&self, flow: Flow) -> Option<Length> {
        if self.is_section() { depth_where(flow, |depth| self.critical_flow(depth)) } else { None }
    }
    /// The mean velocity of a flow at its uniform depth; nothing for no flow. None as [`Channel::normal_depth`].
    pub fn velocity(&self, flow: Flow) -> Option<Velocity> {
        let depth = self.normal_depth(flow)?;
        Some(if depth > Length::ZERO { flow / self.area(depth) } else { Velocity::ZERO })
    }
    /// The energy of a flow over the bottom: y + Q²/(2 g A²). Without end at no depth.
    pub fn specific_energy(&self, flow: Flow, depth: Length) -> Length {
        if flow <= Flow::ZERO {
            return depth.max(Length::ZERO);
        }
        let velocity_ms = flow.m3s() / self.area(depth).m2().max(0.0);
        depth + Length::from_m(velocity_ms * velocity_ms / (2.0 * GRAVITY))
    }
}

/// The depth at which a flow that grows with it reaches a value.
fn depth_where(flow: Flow, at: impl Fn(Length) -> Flow) -> Option<Length> {
    if !flow.is_finite() {
        return None;
    }
    if flow <= Flow::ZERO {
        return Some(Length::ZERO);
    }
    // a metre either way until the depth lies between
    let (mut low_m, mut high_m) = (0.0, 1.0);
    while at(Length::from_m(high_m)) < flow && high_m < 1e100 {
        (low_m, high_m) = (high_m, high_m * 2.0);
    }
    while low_m == 0.0 && high_m > 1e-100 && at(Length::from_m(high_m / 2.0)) >= flow {
        high_m /= 2.0;
    }
    low_m = low_m.max(high_m / 2.0);
    let root = bracketed_root(low_m, high_m, 0.0, |depth_m| (at(Length::from_m(depth_m)) - flow) / flow).ok()?;
    Some(Length::from_m(root.x))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    fn channel(width_ft: f64, side_slope: f64, manning_n: f64, slope: f64) -> Channel {
        Channel { bottom_width: Length::from_ft(width_ft), side_slope, manning_n, slope: Slope::from_ratio(slope) }
    }

    fn metric(width_m: f64, side_slope: f64) -> Channel {
        let slope = Slope::from_ratio(0.01);
        Channel { bottom_width: Length::from_m(width_m), side_slope, manning_n: 0.05, slope }
    }

    #[test]
    fn a_section_by_hand() {
        // b 0.5 m, z 3, y 0.25 m: A = (0.5 + 3 x 0.25) x 0.25 = 0.3125 m2, P = 0.5 + 2 x 0.25 √10 = 2.081139 m,
        // T = 0.5 + 2 x 3 x 0.25 = 2 m
        let swale = metric(0.5, 3.0);
        let depth = Length::from_m(0.25);
        assert_relative_eq!(swale.area(depth).m2(), 0.3125, max_relative = 1e-14);
        assert_relative_eq!(swale.wetted_perimeter(depth).m(), 2.081_138_830_08, max_relative = 1e-11);
        assert_relative_eq!(swale.top_width(depth).m(), 2.0, max_relative = 1e-14);
        // R = 0.150158 m, Q = 0.3125 x 0.150158^(2/3) x √0.01/0.05 = 0.176568 m3/s
        assert_relative_eq!(swale.flow(depth).m3s(), 0.176_568_270_68, max_relative = 1e-9);
        // and its mean velocity 0.176568/0.3125
        assert_relative_eq!(swale.velocity(swale.flow(depth)).unwrap().ms(), 0.565_018_466, max_relative = 1e-8);
        // Qc = A √(g A/T) = 0.3125 √(9.80665 x 0.3125/2) = 0.386830 m3/s
        assert_relative_eq!(swale.critical_flow(depth).m3s(), 0.386_830_200_17, max_relative = 1e-10);
        // 0.2 m3/s run at 0.64 m/s, whose head is 0.4096/19.6133 = 0.020884 m
        assert_relative_eq!(
            swale.specific_energy(Flow::from_m3s(0.2), depth).m(),
            0.270_883_788_04,
            max_relative = 1e-9
        );
        // nothing below the bottom but the bottom itself
        let below = Length::from_m(-0.25);
        assert_eq!((swale.area(below), swale.flow(below)), (Area::ZERO, Flow::ZERO));
        assert_eq!((swale.wetted_perimeter(below), swale.top_width(below)), (swale.bottom_width, swale.bottom_width));
        assert_eq!((swale.critical_flow(below), swale.critical_flow(Length::ZERO)), (Flow::ZERO, Flow::ZERO));
        assert_eq!(swale.flow(Length::ZERO), Flow::ZERO);
    }

    #[test]
    fn published_critical_depths_in_closed_form() {
        // any text on open channels: a rectangle's critical depth is (q²/g)^(1/3) with q the flow for each width, and the
        // energy there 3/2 of it; a triangle's (2 Q²/(g z²))^(1/5), the energy 5/4 of it
        let rectangle = metric(2.0, 0.0);
        let flow = Flow::from_m3s(0.8);
        let depth = rectangle.critical_depth(flow).unwrap();
        // (0.4²/9.80665)^(1/3)
        assert_relative_eq!(depth.m(), 0.253_629_502, max_relative = 1e-8);
        assert_relative_eq!(rectangle.specific_energy(flow, depth).m(), 1.5 * 0.253_629_502, max_relative = 1e-8);
        let triangle = metric(0.0, 3.0);
        let flow = Flow::from_m3s(0.1);
        let depth = triangle.critical_depth(flow).unwrap();
        // (2 x 0.1²/(9.80665 x 9))^(1/5)
        assert_relative_eq!(depth.m(), 0.186_660_902_86, max_relative = 1e-10);
        assert_relative_eq!(triangle.specific_energy(flow, depth).m(), 1.25 * 0.186_660_902_86, max_relative = 1e-10);
    }

    #[test]
    fn identity_depths_are_found_whatever_their_size() {
        // the search begins at a metre, and doubles or halves from there
        let swale = metric(1.0, 2.0);
        for depth_m in [1e-6, 0.01, 0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 4.0, 64.0, 1e4] {
            let depth = Length::from_m(depth_m);
            assert_relative_eq!(swale.normal_depth(swale.flow(depth)).unwrap().m(), depth_m, max_relative = 1e-10);
            let critical = swale.critical_depth(swale.critical_flow(depth)).unwrap();
            assert_relative_eq!(critical.m(), depth_m, max_relative = 1e-10);
        }
    }

    #[test]
    fn identity_what_is_no_channel_carries_nothing() {
        let depth = Length::from_m(0.25);
        let flow = Flow::from_m3s(0.1);
        // no section at all
        let infinite = f64::INFINITY;
        for (width, side) in [(0.0, 0.0), (-1.0, 3.0), (3.0, -1.0), (infinite, 2.0), (1.0, infinite), (f64::NAN, 1.0)] {
            let none = metric(width, side);
            assert_eq!((none.flow(depth), none.critical_flow(depth)), (Flow::ZERO, Flow::ZERO), "{none:?}");
            assert_eq!((none.normal_depth(flow), none.critical_depth(flow), none.velocity(flow)), (None, None, None));
        }
        // a section, but no way down: its critical depth is there all the same
        let swale = metric(0.5, 2.0);
        for odd in [0.0, -0.01, infinite, f64::NAN] {
            for still in [Channel { manning_n: odd, ..swale }, Channel { slope: Slope::from_ratio(odd), ..swale }] {
                assert_eq!((still.flow(depth), still.normal_depth(flow)), (Flow::ZERO, None), "{still:?}");
                assert!(still.critical_flow(depth) > Flow::ZERO && still.critical_depth(flow).is_some());
            }
        }
        // one side only is missing: a rectangle, a triangle
        assert!(metric(0.5, 0.0).flow(depth) > Flow::ZERO && metric(0.0, 2.0).flow(depth) > Flow::ZERO);
        // no flow stands at no depth, and has no head
        assert_eq!(swale.normal_depth(Flow::from_m3s(-1.0)), Some(Length::ZERO));
        assert_eq!(swale.critical_depth(Flow::ZERO), Some(Length::ZERO));
        assert_eq!(swale.critical_depth(Flow::from_m3s(infinite)), None);
        assert_eq!(swale.specific_energy(Flow::ZERO, depth), depth);
        assert_eq!(swale.specific_energy(Flow::from_m3s(-1.0), depth), depth);
        assert_eq!(swale.specific_energy(Flow::ZERO, -depth), Length::ZERO);
    }

    #[test]
    fn identity_no_channel_no_depth() {
        let flow = Flow::from_gpm(40.0);
        for none in [channel(0.0, 0.0, 0.05, 0.01), channel(-1.0, 4.0, 0.05, 0.01), channel(1.0, 4.0, 0.05, f64::NAN)] {
            assert_eq!(none.normal_depth(flow), None);
        }
        let flat = channel(1.0, 4.0, 0.05, 0.0);
        assert_eq!((flat.normal_depth(flow), flat.velocity(flow)), (None, None));
        assert!(flat.critical_depth(flow).is_some());
        let swale = channel(1.0, 4.0, 0.05, 0.01);
        assert_eq!(swale.normal_depth(Flow::from_m3s(f64::NAN)), None);
        assert_eq!(
            (swale.normal_depth(Flow::ZERO), swale.velocity(Flow::ZERO)),
            (Some(Length::ZERO), Some(Velocity::ZERO))
        );
        assert!(swale.specific_energy(flow, Length::ZERO).m().is_infinite());
    }

    #[test]
    fn identity_nothing_odd_comes_of_odd_numbers() {
        let odd = [-1e9, -2.0, -1e-12, 0.0, 1e-12, 0.5, 3.0, 1e9];
        for (a, b) in odd.iter().flat_map(|a| odd.iter().map(move |b| (*a, *b))) {
            for (c, d) in odd.iter().flat_map(|c| odd.iter().map(move |d| (*c, *d))) {
                let channel = channel(a, b, c, d);
                for flow in odd.map(Flow::from_m3s) {
                    let depths = [channel.normal_depth(flow), channel.critical_depth(flow)];
                    assert!(depths.iter().flatten().all(|depth| *depth >= Length::ZERO), "{channel:?} {flow:?}");
                    assert!(channel.velocity(flow).is_none_or(|velocity| velocity >= Velocity::ZERO));
                    assert!(!channel.specific_energy(flow, Length::from_m(d)).m().is_nan());
                }
                assert!(channel.flow(Length::from_m(d)) >= Flow::ZERO);
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn identity_depths_undo_flows(width in 0.0..10.0_f64, side in 0.1..10.0_f64, n in 0.01..0.4_f64, slope in 1e-4..0.3_f64, depth in 1e-3..10.0_f64, more in 1.0..2.0_f64) {
            let (swale, depth) = (channel(width, side, n, slope), Length::from_ft(depth));
            let flow = swale.flow(depth);
            assert_relative_eq!(swale.normal_depth(flow).unwrap().m(), depth.m(), max_relative = 1e-12);
            assert_relative_eq!((swale.velocity(flow).unwrap() * swale.area(depth)).m3s(), flow.m3s(), max_relative = 1e-12);
            assert_relative_eq!(swale.critical_depth(swale.critical_flow(depth)).unwrap().m(), depth.m(), max_relative = 1e-12);
            // steeper never carries less
            prop_assert!(channel(width, side, n, slope * more).flow(depth) >= flow);
        }

        #[test]
        fn identity_critical_depth_has_the_least_energy(width in 0.0..10.0_f64, side in 0.1..10.0_f64, flow in 1.0..1e4_f64, off in 0.5..1.5_f64) {
            let (swale, flow) = (channel(width, side, 0.05, 0.01), Flow::from_gpm(flow));
            let critical = swale.critical_depth(flow).unwrap();
            let least = swale.specific_energy(flow, critical);
            prop_assert!(swale.specific_energy(flow, critical * off) >= least * (1.0 - 1e-12));
        }
    }
}
