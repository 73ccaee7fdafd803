//! What a store holds at each level: its water surface straight between the entries.

use super::RoutingError;
use crate::quantity::{Area, Length, Level, Volume};

/// A place where the curve bends.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Knot {
    level_m: f64,
    area_m2: f64,
    volume_m3: f64,
    /// One over the area.
    per_m2: f64,
    /// The area's square.
    square_m4: f64,
    /// How the area grows with the level above it.
    growth_m: f64,
    /// One over that growth, where it is enough to tell the level by the area.
    per_growth: Option<f64>,
}

/// Level against volume of one store, strictly rising.
///
/// The water surface runs straight from entry to entry, so the volume is its integral: a parabola piece by piece. Two
/// entries at one level are a step of the area. Above the highest entry the area stays as it is there; below the lowest
/// there is no water.
#[derive(Clone, Debug, PartialEq)]
pub struct StageStorage {
    knots: Vec<Knot>,
}

impl StageStorage {
    /// A store from its levels, rising, each with its water surface; no surface counts as less than `least`.
    ///
    /// # Errors
    /// No entries, a value that is not a number, levels that fall, or a least area that is not above zero.
    pub fn new(surface: &[(Level, Area)], least: Area) -> Result<Self, RoutingError> {
        let usable = |(level, area): &(Level, Area)| level.is_finite() && area.is_finite() && *area >= Area::ZERO;
        if surface.is_empty() || !surface.iter().all(usable) || !(least > Area::ZERO && least.is_finite()) {
            return Err(RoutingError::BadStore);
        }
        let mut knots: Vec<Knot> = Vec::with_capacity(surface.len());
        for (level, area) in surface {
            let area_m2 = area.max(least).m2();
            let mut knot = Knot {
                level_m: level.m(),
                area_m2,
                volume_m3: 0.0,
                per_m2: 1.0 / area_m2,
                square_m4: area_m2 * area_m2,
                growth_m: 0.0,
                per_growth: None,
            };
            if let Some(last) = knots.last_mut() {
                let rise_m = knot.level_m - last.level_m;
                if rise_m < 0.0 {
                    return Err(RoutingError::BadStore);
                }
                if rise_m > 0.0 {
                    last.growth_m = (knot.area_m2 - last.area_m2) / rise_m;
                    last.per_growth = (last.growth_m > LEAST_GROWTH * last.area_m2).then(|| 1.0 / last.growth_m);
                }
                knot.volume_m3 = last.volume_m3 + f64::midpoint(last.area_m2, knot.area_m2) * rise_m;
            }
            knots.push(knot);
        }
        Ok(Self { knots })
    }
    /// A store of one area.
    ///
    /// # Errors
    /// A value that is not a number, or an area that is not above zero.
    pub fn prism(floor: Level, area: Area) -> Result<Self, RoutingError> {
        Self::new(&[(floor, area)], area)
    }
    /// The same with so much more area between two levels.
    ///
    /// # Errors
    /// Levels that do not rise, or an area that is negative or not a number.
    pub fn widened(&self, low: Level, high: Level, more: Area) -> Result<Self, RoutingError> {
        if high <= low || !(more >= Area::ZERO && more.is_finite()) {
            return Err(RoutingError::BadStore);
        }
        let mut levels: Vec<f64> = self.knots.iter().map(|knot| knot.level_m).chain([low.m(), high.m()]).collect();
        levels.sort_by(f64::total_cmp);
        levels.dedup();
        let mut surface: Vec<(Level, Area)> = Vec::with_capacity(2 * levels.len());
        for (from_m, to_m) in levels.iter().zip(levels.iter().skip(1)) {
            let inside = *from_m >= low.m() && *to_m <= high.m();
            let more = if inside { more } else { Area::ZERO };
            // just above the lower end, and just below the upper one: an area may step there
            let (from, to) = (Level::from_m(*from_m), Level::from_m(*to_m));
            let knot = self.below_level(*from_m).0;
            surface.push((from, Area::from_m2(knot.area_m2 + knot.growth_m * (from_m - knot.level_m)) + more));
            surface.push((to, Area::from_m2(knot.area_m2 + knot.growth_m * (to_m - knot.level_m)) + more));
        }
        if let (Some(last), Some(top)) = (levels.last(), self.knots.last()) {
            surface.push((Level::from_m(*last), Area::from_m2(top.area_m2)));
        }
        Self::new(&surface, Area::from_m2(f64::MIN_POSITIVE))
    }
    /// The level at which it is empty.
    pub fn lowest(&self) -> Level {
        Level::from_m(self.knots.first().map_or(0.0, |knot| knot.level_m))
    }
    /// The water surface at a level.
    pub fn area_at(&self, level: Level) -> Area {
        let (knot, rise_m) = self.below_level(level.m());
        Area::from_m2(knot.area_m2 + knot.growth_m * rise_m.max(0.0))
    }
    /// What it holds up to a level.
    pub fn volume_at(&self, level: Level) -> Volume {
        let (knot, rise_m) = self.below_level(level.m());
        Volume::from_m3(knot.volume_m3 + (knot.area_m2 + 0.5 * knot.growth_m * rise_m) * rise_m.max(0.0))
    }
    /// The level at which it holds a volume.
    pub fn level_at(&self, volume: Volume) -> Level {
        Level::from_m(self.level_and_area(volume.m3().max(0.0)).0)
    }
    /// The depth of water over a level, nothing below it.
    pub fn depth_over(&self, volume: Volume, level: Level) -> Length {
        (self.level_at(volume) - level).max(Length::ZERO)
    }
    /// The entry below a level, and how far the level lies above it.
    fn below_level(&self, level_m: f64) -> (Knot, f64) {
        let above = self.knots.partition_point(|knot| knot.level_m <= level_m);
        let knot = self.knots.get(above.saturating_sub(1)).copied().unwrap_or(EMPTY);
        (knot, level_m - knot.level_m)
    }
    /// Level and water surface at a volume; below nothing the lowest area goes on.
    pub(super) fn level_and_area(&self, volume_m3: f64) -> (f64, f64) {
        self.level_and_area_in(self.piece_of(volume_m3), volume_m3)
    }
    /// The piece of the curve that a volume lies on.
    pub(super) fn piece_of(&self, volume_m3: f64) -> usize {
        self.knots.partition_point(|knot| knot.volume_m3 <= volume_m3).saturating_sub(1)
    }
    /// Between which volumes a piece of the curve holds; the first goes on downwards, the last upwards.
    pub(super) fn piece_between(&self, piece: usize) -> (f64, f64) {
        let from = if piece == 0 {
            f64::NEG_INFINITY
        } else {
            self.knots.get(piece).map_or(f64::NEG_INFINITY, |knot| knot.volume_m3)
        };
        (from, self.knots.get(piece + 1).map_or(f64::INFINITY, |knot| knot.volume_m3))
    }
    /// The next piece above or below one, past steps of the area.
    pub(super) fn next_piece(&self, mut piece: usize, up: bool) -> usize {
        loop {
            piece = if up { piece + 1 } else { piece.saturating_sub(1) };
            let (from, to) = self.piece_between(piece);
            if piece == 0 || piece + 1 >= self.knots.len() || to > from {
                return piece.min(self.knots.len().saturating_sub(1));
            }
        }
    }
    /// Level and water surface by one piece of the curve, also beyond its ends.
    pub(super) fn level_and_area_in(&self, piece: usize, volume_m3: f64) -> (f64, f64) {
        let knot = self.knots.get(piece).unwrap_or(&EMPTY);
        let more_m3 = volume_m3 - knot.volume_m3;
        if knot.growth_m == 0.0 || (more_m3 <= 0.0 && piece == 0) {
            return (knot.level_m + more_m3 * knot.per_m2, knot.area_m2);
        }
        // the root that stays exact where the area hardly grows
        let square = knot.square_m4 + 2.0 * knot.growth_m * more_m3;
        let least = LEAST_SQUARE * knot.square_m4;
        let area_m2 = if square > least { square } else { least }.sqrt();
        if let Some(per_growth) = knot.per_growth
            && more_m3 >= 0.0
        {
            return (knot.level_m + (area_m2 - knot.area_m2) * per_growth, area_m2);
        }
        (knot.level_m + 2.0 * more_m3 / (knot.area_m2 + area_m2), area_m2)
    }
    /// The volume at a level, in the kernel's numbers.
    pub(super) fn volume_m3(&self, level_m: f64) -> f64 {
        self.volume_at(Level::from_m(level_m)).m3()
    }
}

/// An area that grows by more than so much of itself in a metre tells the level to 1e-12 m.
const LEAST_GROWTH: f64 = 1e-3;
/// Beyond the end of its piece an area that shrinks stays above this share of itself, squared.
const LEAST_SQUARE: f64 = 1e-4;
const EMPTY: Knot =
    Knot { level_m: 0.0, area_m2: 1.0, volume_m3: 0.0, per_m2: 1.0, square_m4: 1.0, growth_m: 0.0, per_growth: None };

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    #[test]
    fn identity_a_step_of_the_area_is_a_bend_of_the_volume() {
        let surface =
            [(0.0, 1.0), (1.0, 1.0), (1.0, 3.0), (2.0, 3.0)].map(|(h, a)| (Level::from_m(h), Area::from_m2(a)));
        let store = StageStorage::new(&surface, Area::from_m2(0.1)).unwrap();
        assert_relative_eq!(store.volume_at(Level::from_m(3.0)).m3(), 7.0);
        assert_relative_eq!(store.level_at(Volume::from_m3(2.5)).m(), 1.5);
        assert_relative_eq!(store.area_at(Level::from_m(0.5)).m2(), 1.0);
        assert_relative_eq!(store.area_at(Level::from_m(1.0)).m2(), 3.0);
        let falling = [(1.0, 1.0), (0.0, 1.0)].map(|(h, a)| (Level::from_m(h), Area::from_m2(a)));
        assert!(StageStorage::new(&falling, Area::from_m2(0.1)).is_err());
        assert!(StageStorage::new(&[], Area::from_m2(0.1)).is_err());
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn identity_level_and_volume_undo_each_other(steps in prop::collection::vec((0.0..1.0_f64, 0.0..50.0_f64), 1..6), at in 0.0..8.0_f64) {
            let mut level = 10.0;
            let surface: Vec<(Level, Area)> = steps
                .iter()
                .map(|(rise, area)| {
                    level += rise;
                    (Level::from_m(level), Area::from_m2(*area))
                })
                .collect();
            let store = StageStorage::new(&surface, Area::from_m2(0.05)).unwrap();
            let at = store.lowest() + Length::from_m(at);
            let volume = store.volume_at(at);
            assert_relative_eq!(store.level_at(volume).m(), at.m(), max_relative = 1e-12);
            // the area is what the volume grows by
            let step = Length::from_m(1e-6);
            let grows = (store.volume_at(at + step) - store.volume_at(at)).m3() / 1e-6;
            let (low, high) = (store.area_at(at).m2(), store.area_at(at + step).m2());
            prop_assert!(grows >= low.min(high) * (1.0 - 1e-6) - 1e-8 && grows <= low.max(high) * (1.0 + 1e-6) + 1e-8);
        }
    }
}
