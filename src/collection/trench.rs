//! The stone round a French drain: what it holds, and how the water gets into the pipe.

use super::gravity_pipe::flow_area;
use super::orifice::orifice_flow;
use crate::quantity::{Area, Flow, Head, Length, Real, Volume};

/// A trench filled with stone round a pipe.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trench {
    /// Along the drain.
    pub length: Length,
    /// Across.
    pub width: Length,
    /// From the bottom of the stone to its top.
    pub stone_depth: Length,
    /// Hollow between the stones, 0 to 1: 0.40 for clean stone, 0.30 to 0.40 for washed gravel (common practice, no
    /// source).
    pub porosity: f64,
    /// The pipe's inside diameter.
    pub pipe_bore: Length,
    /// The pipe's outside diameter.
    pub pipe_outside: Length,
}

impl Trench {
    /// What the pipe holds when full.
    pub fn in_pipe(&self) -> Volume {
        self.pipe_bore.circle() * self.length
    }
    /// What the hollows between the stones hold: n (w d - A) along the drain, A the pipe's outside section.
    pub fn in_stone(&self) -> Volume {
        let stone = self.width * self.stone_depth - self.pipe_outside.circle();
        stone.max(Area::ZERO) * self.length * self.porosity
    }
    /// What trench and pipe hold together, filled from empty to the top of the stone.
    ///
    /// Room only above the level to which the basin really draws the trench down, and only where no groundwater stands
    /// in it.
    pub fn holds(&self) -> Volume {
        self.in_pipe() + self.in_stone()
    }
    /// What they hold above a height over the bottom of the stone, the pipe lying with its underside `pipe_above_bottom`
    /// over that bottom.
    ///
    /// The pipe lies on the bottom or higher: one said to lie below it is taken to lie on it, or what its wall displaces
    /// would be counted as room. Nothing above the top. Not a number where an input is not.
    pub fn holds_above(&self, height: Length, pipe_above_bottom: Length) -> Volume {
        let stone = self.width * (self.stone_depth - height.max(Length::ZERO)).max(Length::ZERO);
        let pipe_above_bottom = pipe_above_bottom.max(Length::ZERO);
        let wall = (self.pipe_outside - self.pipe_bore) / 2.0;
        let above = |across: Length, underside: Length| across.circle() - flow_area(across, height - underside);
        let outside = above(self.pipe_outside, pipe_above_bottom);
        let inside = above(self.pipe_bore, pipe_above_bottom + wall);
        let section = (stone - outside).max(Area::ZERO) * self.porosity + inside;
        if height < self.stone_depth { section * self.length } else { Volume::ZERO }
    }
    /// What they hold for each height, spread evenly over the depth of the stone. Nothing where there is no depth.
    pub fn holds_per_depth(&self) -> Area {
        if self.stone_depth > Length::ZERO { self.holds() / self.stone_depth } else { Area::ZERO }
    }
}

/// The discharge coefficient of a pipe's holes and slots: that of a sharp-edged orifice.
pub const PERFORATION_COEFFICIENT: f64 = 0.6;
/// The least area of the holes of a corrugated pipe of 4 to 10 in, 20 cm² in a metre, as an area per length.
///
/// AASHTO M252, class 2 perforations, from a second hand.
pub const LEAST_OPEN_AREA_PER_LENGTH: Length = Length::from_mm(2.0);

/// The most that gets into a pipe through its holes under a head: B Cd A0 L √(2 g h), with Cd =
/// [`PERFORATION_COEFFICIENT`].
///
/// `open_area_per_length` is the area of all holes for each length (m²/m), `head` the water above the middle of the
/// pipe, `open_share` what is not clogged, 0 to 1. The soil or the fabric limits the flow, seldom the holes. Source:
/// orifice formula, as in the low-impact development guide of Ontario, page on flow through perforated pipe.
pub fn perforation_entry<N: Real>(
    open_area_per_length: Length<N>,
    length: Length<N>,
    head: Length<N>,
    open_share: N,
) -> Flow<N> {
    let open = open_area_per_length * length * open_share;
    orifice_flow(N::from(PERFORATION_COEFFICIENT), open, Head::from(head))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    fn trench(stone: f64, porosity: f64) -> Trench {
        Trench {
            length: Length::from_ft(48.0),
            width: Length::from_inch(12.0),
            stone_depth: Length::from_inch(stone),
            porosity,
            pipe_bore: Length::from_inch(4.0),
            pipe_outside: Length::from_inch(4.6),
        }
    }

    #[test]
    fn a_trench_by_hand() {
        // 10 m long, 0.4 m wide, 0.5 m of stone with 0.4 of hollows, round a pipe of 0.1 m inside and 0.12 m outside
        let m = Length::from_m;
        let trench = Trench {
            length: m(10.0),
            width: m(0.4),
            stone_depth: m(0.5),
            porosity: 0.4,
            pipe_bore: m(0.1),
            pipe_outside: m(0.12),
        };
        // π/4 x 0.1² x 10 = 0.0785398; (0.2 - π/4 x 0.12²) x 10 x 0.4 = 0.7547611 m3
        assert_relative_eq!(trench.in_pipe().m3(), 0.078_539_816_34, max_relative = 1e-9);
        assert_relative_eq!(trench.in_stone().m3(), 0.754_761_065_79, max_relative = 1e-9);
        assert_relative_eq!(trench.holds().m3(), 0.833_300_882_13, max_relative = 1e-9);
        assert_relative_eq!(trench.holds_per_depth().m2(), 1.666_601_764_26, max_relative = 1e-9);
        // the pipe lies 0.1 m over the bottom; above its crown there is stone alone, 0.4 x 0.2 x 0.4 x 10 = 0.32 m3
        let above = |height: f64, underside: f64| trench.holds_above(m(height), m(underside)).m3();
        assert_relative_eq!(above(0.3, 0.1), 0.32, max_relative = 1e-9);
        // below its underside all of it, and 0.45 m of stone
        assert_relative_eq!(above(0.05, 0.1), 0.753_300_882_13, max_relative = 1e-9);
        // at its middle half of it: (0.4 x 0.34 - half of the outside) x 0.4 and half of the inside
        assert_relative_eq!(above(0.16, 0.1), 0.560_650_441_06, max_relative = 1e-9);
        // said to lie below the bottom it lies on it
        assert_relative_eq!(above(0.06, -0.1), 0.720_650_441_06, max_relative = 1e-9);
        // below the bottom there is no more, above the top nothing
        assert_relative_eq!(above(-1.0, 0.1), 0.833_300_882_13, max_relative = 1e-9);
        assert_eq!((above(0.5, 0.1), above(0.5, 0.45), above(0.7, 0.1)), (0.0, 0.0, 0.0));
        // a pipe that reaches out of the stone keeps its own room
        assert_relative_eq!(above(0.45, 0.45), (0.02 - 0.011_309_733_55) * 4.0 + 0.078_539_816_34, max_relative = 1e-9);
    }

    #[test]
    fn entry_by_hand() {
        // 2 mm of holes along 10 m, half of them clogged, under 0.2 m: 0.6 x 0.01 m2 x √(2 x 9.80665 x 0.2)
        let entry = perforation_entry(LEAST_OPEN_AREA_PER_LENGTH, Length::from_m(10.0), Length::from_m(0.2), 0.5);
        assert_relative_eq!(entry.m3s(), 0.011_883_423_75, max_relative = 1e-9);
    }

    #[test]
    fn identity_a_pipe_too_large_for_its_trench_leaves_no_stone() {
        assert_eq!(trench(1.0, 0.4).in_stone(), Volume::ZERO);
        assert_eq!(trench(0.0, 0.4).holds_per_depth(), Area::ZERO);
    }

    #[test]
    fn identity_no_head_no_entry() {
        let entry = |head, open| perforation_entry(LEAST_OPEN_AREA_PER_LENGTH, Length::from_ft(48.0), head, open);
        assert_eq!(entry(Length::ZERO, 1.0), Flow::ZERO);
        assert_eq!(entry(Length::from_ft(-1.0), 1.0), Flow::ZERO);
        assert_eq!(entry(Length::from_ft(1.0), 0.0), Flow::ZERO);
    }

    #[test]
    fn identity_half_of_a_pipe_lies_above_its_middle() {
        let trench = trench(20.0, 0.4);
        let below = Length::from_inch(4.0);
        let middle = below + trench.pipe_outside / 2.0;
        // 20 in of stone less 6.3 in, without half of the pipe's outside, and half of its inside
        let section = (12.0 * (20.0 - 6.3) - 4.6 * 4.6 * std::f64::consts::PI / 8.0) * 0.4
            + 4.0 * 4.0 * std::f64::consts::PI / 8.0;
        let volume = Area::from_in2(section) * Length::from_ft(48.0);
        assert_relative_eq!(trench.holds_above(middle, below).gal(), volume.gal(), max_relative = 1e-9);
        assert_eq!(trench.holds_above(Length::from_inch(20.0), below), Volume::ZERO);
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn identity_above_the_bottom_is_all_of_it(stone in 12.0..60.0_f64, porosity in 0.0..1.0_f64, lower in 0.0..1.0_f64, higher in 0.0..1.0_f64) {
            let trench = trench(stone, porosity);
            let pipe = Length::from_inch(4.0);
            assert_relative_eq!(trench.holds_above(Length::ZERO, pipe).gal(), trench.holds().gal(), max_relative = 1e-9);
            let at = |share: f64| trench.holds_above(trench.stone_depth * share, pipe);
            prop_assert!(at(lower.max(higher)) <= at(lower.min(higher)) * (1.0 + 1e-12));
        }

        #[test]
        fn identity_room_is_never_more_than_all_of_it(stone in 12.0..60.0_f64, porosity in 0.0..1.0_f64, height in 0.0..1.0_f64, underside in -1.0..6.0_f64) {
            let trench = trench(stone, porosity);
            let above = trench.holds_above(trench.stone_depth * height, Length::from_inch(underside));
            prop_assert!(above <= trench.holds() * (1.0 + 1e-9));
        }

        #[test]
        fn identity_holds_what_its_parts_hold(stone in 2.0..60.0_f64, porosity in 0.0..1.0_f64, more in 1.0..2.0_f64) {
            let first = trench(stone, porosity);
            let whole = first.length * (first.width * first.stone_depth).m2();
            prop_assert!(first.holds().m3() <= whole.m() * (1.0 + 1e-12));
            assert_relative_eq!((first.holds_per_depth() * first.stone_depth).m3(), first.holds().m3(), max_relative = 1e-12);
            prop_assert!(trench(stone * more, porosity).holds() >= first.holds());
            prop_assert!(trench(stone, (porosity * more).min(1.0)).holds() >= first.holds());
        }
    }
}
