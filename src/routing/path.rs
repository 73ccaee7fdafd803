//! The ways that water takes between stores: over a crest, through a grate, along a pipe.
//!
//! All are quasi-steady: the flow of a moment follows from the levels of that moment. Drowned ways work in both
//! directions.
#![expect(clippy::inline_always, reason = "so that what is not asked for is not worked out: measured")]

use super::RoutingError;
use crate::collection::Grate;
use crate::collection::GrateKernel;
use crate::numeric::lesser;
use crate::quantity::factor::GRAVITY;
use crate::quantity::{Flow, Length, Level};

/// The coefficient of a broad crest, Q = C L h^1.5, in metres and seconds: 2.6 in feet, the low end of the handbooks'
/// range for grass and roadways (from memory), so that the water over it is not told too shallow.
pub const BROAD_CREST: f64 = 1.435;
/// What is lost where water enters a square-edged pipe, as a share of the velocity head: common handbook value, from
/// memory.
pub const PIPE_ENTRY_LOSS: f64 = 0.5;

/// A gravity pipe as the router sees it: Q = K √ΔH when it runs full.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FullPipe {
    /// Flow per root of head, m³/s per √m.
    conductance: f64,
    /// Lowest point of its upper end, m.
    up_m: f64,
    /// Lowest point of its lower end, m.
    down_m: f64,
    /// Inside diameter, m.
    bore_m: f64,
}

impl FullPipe {
    /// A round pipe from its bore, length and Manning's n, between two inverts: entry, friction and exit losses,
    /// ΔH = (1 + [`PIPE_ENTRY_LOSS`] + 2 g n² L / R^(4/3)) v²/2g.
    ///
    /// # Errors
    /// A number that is not above zero (levels: not a number).
    pub fn new(
        bore: Length,
        length: Length,
        manning_n: f64,
        up_invert: Level,
        down_invert: Level,
    ) -> Result<Self, RoutingError> {
        let good = |value: f64| value.is_finite() && value > 0.0;
        let levels = up_invert.is_finite() && down_invert.is_finite();
        if !(good(bore.m()) && good(length.m()) && good(manning_n) && levels) {
            return Err(RoutingError::BadPath);
        }
        let radius_m = bore.m() / 4.0;
        let friction = 2.0 * GRAVITY * manning_n * manning_n * length.m() / (radius_m * libm::cbrt(radius_m));
        let conductance = bore.circle().m2() * (2.0 * GRAVITY / (1.0 + PIPE_ENTRY_LOSS + friction)).sqrt();
        Ok(Self { conductance, up_m: up_invert.m(), down_m: down_invert.m(), bore_m: bore.m() })
    }
    /// A pipe that carries so many times as much.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        Self { conductance: self.conductance * factor, ..self }
    }
    /// Lowest point of its upper end, m.
    pub(super) fn up_m(&self) -> f64 {
        self.up_m
    }
    /// What comes through, full, between a level above and one below; back where the lower one is higher.
    #[inline(always)]
    fn full(&self, upper_m: f64, lower_m: f64) -> Law {
        // a free end runs full to its crown
        let (end_m, follows) = higher(lower_m, self.down_m + self.bore_m);
        let (root, slope) = smooth_root(upper_m - end_m);
        Law { q: self.conductance * root, up: self.conductance * slope, down: -self.conductance * slope * follows }
    }
    /// The same from a box whose water may stand lower than the pipe's crown, and back into it.
    ///
    /// Part-full it carries x^1.5 (5 - 3x)/2 of its full flow, x the depth at its upper end over the bore, of the
    /// higher of both waters: this project's own way from nothing to full, smooth at both ends; the boxes are so small
    /// that it hardly matters. Water runs back only over the invert there, and falls free into a box that is lower.
    #[inline(always)]
    fn out_of_box(&self, upper_m: f64, lower_m: f64) -> Law {
        let back = lower_m > upper_m;
        let depth_m = if back { lower_m } else { upper_m } - self.up_m;
        if depth_m <= 0.0 {
            return Law::NONE;
        }
        let (inside_m, inside) = if upper_m > self.up_m { (upper_m, 1.0) } else { (self.up_m, 0.0) };
        if depth_m >= self.bore_m {
            let law = self.full(inside_m, lower_m);
            return Law { up: law.up * inside, ..law };
        }
        let (end_m, follows) = higher(lower_m, self.down_m + depth_m);
        let (root, slope) = smooth_root(inside_m - end_m);
        let x = depth_m / self.bore_m;
        let half = x.sqrt();
        let (fill, fill_slope) = (x * half * (2.5 - 1.5 * x), 3.75 * half * (1.0 - x) / self.bore_m);
        let (q, slope) = (self.conductance * root * fill, self.conductance * slope * fill);
        let by_depth = self.conductance * root * fill_slope - slope * (1.0 - follows);
        let (up, down) = (slope * inside, -slope * follows);
        if back { Law { q, up, down: down + by_depth } } else { Law { q, up: up + by_depth, down } }
    }
}

/// A way between two stores, or out of one.
#[derive(Clone, Debug, PartialEq)]
pub struct Path {
    /// The store it leaves, by index.
    pub from: usize,
    /// The store it leads to; none where the water leaves for good.
    pub to: Option<usize>,
    /// What it is.
    pub kind: PathKind,
}

/// What a way is.
#[derive(Clone, Debug, PartialEq)]
pub enum PathKind {
    /// Over a broad crest of a width: Q = C L h^1.5, less where the water below stands over the crest too.
    Crest {
        /// The crest.
        level: Level,
        /// Its width.
        width: Length,
        /// C in metres and seconds, see [`BROAD_CREST`].
        coefficient: f64,
    },
    /// Through a grate and along the pipes of its catch basin: the lesser of what the grate and what the pipes let
    /// through, rounded off where they meet; back along the pipes where the store below stands higher.
    Grate {
        /// The rim of the grate.
        rim: Level,
        /// The grate.
        grate: Grate,
        /// The pipes; none where it is a lid over the store below.
        pipes: Vec<FullPipe>,
    },
    /// Out of a box along a pipe.
    Pipe(FullPipe),
}

/// A flow and how it changes with the levels at both ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Law {
    /// m³/s.
    pub(super) q: f64,
    /// Per metre of the upper level.
    pub(super) up: f64,
    /// Per metre of the lower one.
    pub(super) down: f64,
}

impl Law {
    const NONE: Self = Self { q: 0.0, up: 0.0, down: 0.0 };
}

/// The root of a difference of levels with its sign, and its slope.
///
/// Within [`ROUNDED_M`] it is √w u (195 - 117 u² + 65 u⁴ - 15 u⁶)/128, u the difference over w: straight through
/// nothing, and smooth to the third derivative where it becomes the root itself.
#[inline(always)]
fn smooth_root(head_m: f64) -> (f64, f64) {
    let size_m = head_m.abs();
    if size_m >= ROUNDED_M {
        let root = size_m.sqrt();
        return (root.copysign(head_m), 0.5 / root);
    }
    let u = head_m * (1.0 / ROUNDED_M);
    let square = u * u;
    let root = u * (195.0 - square * (117.0 - square * (65.0 - 15.0 * square))) * (ROOT_OF_ROUNDED / 128.0);
    let slope = 195.0 - square * (351.0 - square * (325.0 - 105.0 * square));
    (root, slope * (ROOT_OF_ROUNDED / ROUNDED_M / 128.0))
}

/// The higher of two levels and the root of their difference are rounded off where they are no further apart.
const ROUNDED_M: f64 = 2.5e-3;
/// The root of that.
const ROOT_OF_ROUNDED: f64 = 0.05;
/// One over 16w³ of that.
const SCALE: f64 = 1.0 / (16.0 * ROUNDED_M * ROUNDED_M * ROUNDED_M);

/// The higher of a level that moves and one that stays, rounded off within [`ROUNDED_M`]; how it follows the first.
///
/// Between, h = (x + w)³ (3w - x) / 16w³ over the one that stays, x how far apart they are: smooth to the second
/// derivative at both ends, and nothing at all beyond.
#[inline(always)]
fn higher(moves_m: f64, stays_m: f64) -> (f64, f64) {
    let apart = moves_m - stays_m;
    if apart <= -ROUNDED_M {
        return (stays_m, 0.0);
    }
    if apart >= ROUNDED_M {
        return (moves_m, 1.0);
    }
    let near = apart + ROUNDED_M;
    let square = near * near * SCALE;
    (stays_m + square * near * (3.0 * ROUNDED_M - apart), 4.0 * square * (2.0 * ROUNDED_M - apart))
}

/// The lesser of two flows, rounded off where they are near.
#[inline(always)]
fn lesser_law(one: Law, other: Law) -> Law {
    let (q, by_one, by_other) = lesser(one.q, other.q);
    Law { q, up: one.up * by_one + other.up * by_other, down: one.down * by_one + other.down * by_other }
}

impl Path {
    /// As the kernel takes it.
    pub(super) fn way(&self) -> Way {
        let law = match &self.kind {
            PathKind::Crest { level, width, coefficient } => {
                WayLaw::Crest { level_m: level.m(), conductance: width.m() * coefficient }
            }
            PathKind::Grate { rim, grate, pipes } => match pipes.as_slice() {
                [] => WayLaw::Lid { rim_m: rim.m(), grate: grate.kernel() },
                pipes => WayLaw::Grate { rim_m: rim.m(), grate: grate.kernel(), pipes: pipes.to_vec() },
            },
            PathKind::Pipe(pipe) => WayLaw::Pipe(*pipe),
        };
        Way { law }
    }
}

/// A path in the kernel's numbers.
#[derive(Clone, Debug)]
pub(super) struct Way {
    law: WayLaw,
}

#[derive(Clone, Debug)]
enum WayLaw {
    Crest { level_m: f64, conductance: f64 },
    Lid { rim_m: f64, grate: GrateKernel },
    Grate { rim_m: f64, grate: GrateKernel, pipes: Vec<FullPipe> },
    Pipe(FullPipe),
}

impl Way {
    /// The flow between two levels alone.
    #[inline(always)]
    pub(super) fn flow(&self, upper_m: f64, lower_m: f64) -> f64 {
        self.work_out(upper_m, lower_m).q
    }
    /// The flow between two levels; a lower level of nothing is a free fall.
    pub(super) fn law(&self, upper_m: f64, lower_m: f64) -> Law {
        self.work_out(upper_m, lower_m)
    }
    /// The level of the lower water, m, up to which it does not matter to the flow.
    pub(super) fn free_up_to_m(&self) -> f64 {
        let crown = |pipe: &FullPipe| pipe.down_m + pipe.bore_m - ROUNDED_M;
        match &self.law {
            WayLaw::Crest { level_m, .. } => *level_m,
            WayLaw::Lid { rim_m, .. } => *rim_m,
            WayLaw::Grate { rim_m, pipes, .. } => pipes.iter().map(crown).fold(*rim_m, f64::min),
            WayLaw::Pipe(pipe) => pipe.up_m.min(pipe.down_m - ROUNDED_M),
        }
    }
    /// The level of the upper water, m, up to which nothing flows out of it.
    pub(super) fn dry_up_to_m(&self) -> f64 {
        match &self.law {
            WayLaw::Crest { level_m, .. } => *level_m,
            WayLaw::Lid { rim_m, .. } | WayLaw::Grate { rim_m, .. } => *rim_m,
            WayLaw::Pipe(pipe) => pipe.up_m,
        }
    }
    #[inline(always)]
    fn work_out(&self, upper_m: f64, lower_m: f64) -> Law {
        match &self.law {
            WayLaw::Crest { level_m, conductance } => crest(upper_m, lower_m, *level_m, *conductance),
            WayLaw::Lid { rim_m, grate } => lid(upper_m, lower_m, *rim_m, *grate),
            WayLaw::Grate { rim_m, grate, pipes } => through_grate(upper_m, lower_m, *rim_m, *grate, pipes),
            WayLaw::Pipe(pipe) => pipe.out_of_box(upper_m, lower_m),
        }
    }
}

/// How deep water stands over a broad crest that a flow runs over freely: `h = (Q / C L)^(2/3)`, with the `C` and the source
/// of [`BROAD_CREST`].
///
/// Nothing for no flow or less; without end over no width.
pub fn crest_depth(flow: Flow, width: Length) -> Length {
    let per_m = flow.m3s().max(0.0) / (BROAD_CREST * width.m());
    Length::from_m(libm::cbrt(per_m * per_m))
}

#[inline(always)]
fn crest(upper_m: f64, lower_m: f64, crest_m: f64, conductance: f64) -> Law {
    if lower_m > upper_m {
        let back = crest_down(lower_m, upper_m, crest_m, conductance);
        return Law { q: -back.q, up: -back.down, down: -back.up };
    }
    crest_down(upper_m, lower_m, crest_m, conductance)
}

#[inline(always)]
fn crest_down(upper_m: f64, lower_m: f64, crest_m: f64, conductance: f64) -> Law {
    let over_m = upper_m - crest_m;
    if over_m <= 0.0 {
        return Law::NONE;
    }
    if lower_m <= crest_m {
        let root = over_m.sqrt();
        return Law { q: conductance * over_m * root, up: 1.5 * conductance * root, down: 0.0 };
    }
    let (root, slope) = smooth_root(upper_m - lower_m);
    Law {
        q: conductance * over_m * root,
        up: conductance * (root + over_m * slope),
        down: -conductance * over_m * slope,
    }
}

#[inline(always)]
fn through_grate(upper_m: f64, lower_m: f64, rim_m: f64, grate: GrateKernel, pipes: &[FullPipe]) -> Law {
    // dry above and free below: nothing moves
    if upper_m <= rim_m && lower_m <= rim_m {
        return Law::NONE;
    }
    // what comes up comes out at the rim, however low the water in the hollow stands
    let (outside_m, follows) = if upper_m > rim_m { (upper_m, 1.0) } else { (rim_m, 0.0) };
    let mut along = Law::NONE;
    for pipe in pipes {
        let one = pipe.full(outside_m, lower_m);
        along = Law { q: along.q + one.q, up: along.up + one.up * follows, down: along.down + one.down };
    }
    if along.q <= 0.0 {
        return along;
    }
    let (q, up) = grate.flow_and_slope(upper_m - rim_m);
    lesser_law(Law { q, up, down: 0.0 }, along)
}

/// A grate right over the store below: a free fall, or what the difference drives through its openings either way.
#[inline(always)]
fn lid(upper_m: f64, lower_m: f64, rim_m: f64, grate: GrateKernel) -> Law {
    if lower_m <= rim_m {
        let (q, up) = grate.flow_and_slope(upper_m - rim_m);
        return Law { q, up, down: 0.0 };
    }
    let (high_m, low_m) = (upper_m.max(lower_m), upper_m.min(lower_m).max(rim_m));
    let (q, slope) = grate.flow_and_slope(high_m - low_m);
    if upper_m >= lower_m {
        Law { q, up: slope, down: -slope }
    } else {
        let follows = if upper_m > rim_m { slope } else { 0.0 };
        Law { q: -q, up: follows, down: -slope }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Area;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    fn pipe() -> FullPipe {
        FullPipe::new(Length::from_inch(4.0), Length::from_ft(24.0), 0.011, Level::from_m(9.5), Level::from_m(9.4))
            .unwrap()
    }

    fn kinds() -> Vec<PathKind> {
        let grate = Grate { perimeter: Length::from_inch(48.0), open_area: Area::from_in2(62.0), clogged: 0.5 };
        let rim = Level::from_m(10.0);
        vec![
            PathKind::Crest { level: rim, width: Length::from_ft(8.0), coefficient: BROAD_CREST },
            PathKind::Grate { rim, grate, pipes: vec![pipe()] },
            PathKind::Grate {
                rim,
                grate: Grate { perimeter: Length::from_m(9.0), open_area: Area::from_m2(9.0), clogged: 0.0 },
                pipes: vec![pipe(), pipe()],
            },
            PathKind::Grate { rim, grate, pipes: Vec::new() },
            PathKind::Pipe(pipe()),
        ]
    }

    #[test]
    fn identity_a_full_pipe_loses_entry_friction_and_velocity_head() {
        // by hand: v = Q/A, Manning's slope n² v² / R^(4/3)
        let pipe =
            FullPipe::new(Length::from_m(0.1), Length::from_m(10.0), 0.011, Level::from_m(1.0), Level::from_m(0.0))
                .unwrap();
        let q = pipe.full(3.0, 2.0).q;
        let v = q / Length::from_m(0.1).circle().m2();
        let slope = 0.011 * 0.011 * v * v / libm::pow(0.025, 4.0 / 3.0);
        assert_relative_eq!(1.5 * v * v / (2.0 * GRAVITY) + slope * 10.0, 1.0, max_relative = 1e-5);
    }

    #[test]
    fn identity_a_crest_that_is_not_drowned_is_a_weir() {
        let law = crest(1.25, -5.0, 1.0, 2.0);
        assert_relative_eq!(law.q, 2.0 * 0.125, max_relative = 1e-12);
        // just drowned it is the same, level on both sides it is nothing
        assert_relative_eq!(crest(1.25, 1.0 + 1e-9, 1.0, 2.0).q, law.q, max_relative = 1e-4);
        assert_relative_eq!(crest(1.25, 1.25, 1.0, 2.0).q, 0.0);
    }

    #[test]
    fn identity_no_water_runs_back_over_the_invert_of_a_pipe_or_jumps() {
        // upper invert 9.5, crown of the lower end 9.5016: a box nearly dry, the water below not up to the pipe
        let pipe = pipe();
        assert_relative_eq!(pipe.out_of_box(9.3, 9.45).q, 0.0);
        assert_relative_eq!(pipe.out_of_box(9.3, 9.5).q, 0.0);
        assert!(pipe.out_of_box(9.3, 9.51).q < 0.0);
        // a pipe of little fall, its lower crown higher than the water on both sides
        let flat =
            FullPipe::new(Length::from_m(0.1), Length::from_m(5.0), 0.011, Level::from_m(9.4), Level::from_m(9.37))
                .unwrap();
        let around = |by: f64| flat.out_of_box(9.44, 9.44 + by).q;
        assert!(around(0.0).abs() < 1e-5, "{}", around(0.0));
        assert_relative_eq!(around(1e-9), around(-1e-9), epsilon = 1e-9);
        // full the flow does not jump either
        let full = |by: f64| flat.out_of_box(9.35, 9.5 + by).q;
        assert_relative_eq!(full(1e-9), full(-1e-9), max_relative = 1e-6);
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, cases: 400, ..ProptestConfig::default() })]

        #[test]
        fn identity_slopes_are_those_of_the_flow(upper in 9.0..10.6_f64, lower in 9.0..10.6_f64, which in 0..5_usize) {
            let path = Path { from: 0, to: Some(1), kind: kinds().swap_remove(which) };
            // levels that the flow bends at are left out
            prop_assume!(((upper - lower).abs() > 1e-4) && ((upper - 10.0).abs() > 1e-3) && ((lower - 10.0).abs() > 1e-3));
            prop_assume!((upper - 9.5).abs() > 1e-3 && (upper - 9.6016).abs() > 1e-3);
            let law = path.way().law(upper, lower);
            let step = 1e-7;
            let up = (path.way().law(upper + step, lower).q - path.way().law(upper - step, lower).q) / (2.0 * step);
            let down = (path.way().law(upper, lower + step).q - path.way().law(upper, lower - step).q) / (2.0 * step);
            assert_relative_eq!(law.up, up, max_relative = 1e-4, epsilon = 1e-6);
            assert_relative_eq!(law.down, down, max_relative = 1e-4, epsilon = 1e-6);
            // higher above, more comes; higher below, less
            prop_assert!(law.up >= 0.0 && law.down <= 0.0);
        }
    }
}
