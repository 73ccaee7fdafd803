//! What stores hold and pumps bring, worked by hand.

use crate::quantity::{Area, Flow, Length, Level, Volume};
use crate::routing::{Rating, RoutingError, StageStorage};
use approx::assert_relative_eq;

fn surface(entries: &[(f64, f64)]) -> Vec<(Level, Area)> {
    entries.iter().map(|(level, area)| (Level::from_m(*level), Area::from_m2(*area))).collect()
}

fn store(entries: &[(f64, f64)]) -> StageStorage {
    StageStorage::new(&surface(entries), Area::from_m2(0.01)).unwrap()
}

/// 1 to 3 m² over the first metre, a step to 5 m² for two, down to 3 m² over the last: 0, 2, 2, 12, 16 m³.
fn stepped() -> StageStorage {
    store(&[(0.0, 1.0), (1.0, 3.0), (1.0, 5.0), (3.0, 5.0), (4.0, 3.0)])
}

/// Half-way up a slope from a to b: (3 a + b) / 8 of a metre.
#[test]
fn identity_levels_surfaces_and_volumes_by_hand() {
    let store = stepped();
    for (level, area, volume) in [
        (-1.0, 1.0, 0.0),
        (0.0, 1.0, 0.0),
        (0.5, 2.0, 0.75),
        (1.0, 5.0, 2.0),
        (2.0, 5.0, 7.0),
        (3.0, 5.0, 12.0),
        (3.5, 4.0, 14.25),
        (4.0, 3.0, 16.0),
        (6.0, 3.0, 22.0),
    ] {
        assert_relative_eq!(store.area_at(Level::from_m(level)).m2(), area, max_relative = 1e-12);
        assert_relative_eq!(store.volume_at(Level::from_m(level)).m3(), volume, max_relative = 1e-12);
        assert_relative_eq!(store.volume_m3(level), volume, max_relative = 1e-12);
        if level >= 0.0 {
            assert_relative_eq!(store.level_at(Volume::from_m3(volume)).m(), level, max_relative = 1e-12);
            let (known, surface) = store.level_and_area(volume);
            assert_relative_eq!(known, level, max_relative = 1e-12);
            assert_relative_eq!(surface, area, max_relative = 1e-12);
        }
    }
    assert_eq!(store.lowest(), Level::from_m(0.0));
    assert_eq!(store.level_at(Volume::from_m3(-1.0)), Level::from_m(0.0));
    // a kernel's step may take out more than there is: the lowest area goes on
    assert_eq!(store.level_and_area(-2.0), (-2.0, 1.0));
    assert_relative_eq!(store.depth_over(Volume::from_m3(14.25), Level::from_m(3.0)).m(), 0.5, max_relative = 1e-12);
    assert_eq!(store.depth_over(Volume::from_m3(0.75), Level::from_m(1.0)), Length::ZERO);
}

#[test]
fn identity_pieces_of_a_curve() {
    let store = stepped();
    for (volume, piece) in
        [(-1.0, 0), (0.0, 0), (1.99, 0), (2.0, 2), (11.9, 2), (12.0, 3), (15.9, 3), (16.0, 4), (99.0, 4)]
    {
        assert_eq!(store.piece_of(volume), piece, "{volume}");
    }
    let endless = f64::INFINITY;
    for (piece, between) in
        [(0, (-endless, 2.0)), (1, (2.0, 2.0)), (2, (2.0, 12.0)), (3, (12.0, 16.0)), (4, (16.0, endless))]
    {
        assert_eq!(store.piece_between(piece), between);
    }
    // past the step, and no further than the ends
    for (from, up, to) in [
        (0, true, 2),
        (2, true, 3),
        (3, true, 4),
        (4, true, 4),
        (4, false, 3),
        (3, false, 2),
        (2, false, 0),
        (0, false, 0),
    ] {
        assert_eq!(store.next_piece(from, up), to, "{from} {up}");
    }
    let prism = StageStorage::prism(Level::from_m(2.0), Area::from_m2(4.0)).unwrap();
    assert_eq!((prism.next_piece(0, true), prism.next_piece(0, false)), (0, 0));
    assert_eq!(prism.piece_between(0), (-endless, endless));
}

/// A piece goes on beyond its ends: of the first the area of 1 + 2 h, A² = 1 + 4 V; of the one that shrinks A² = 25 - 4 (V - 12),
/// held at a hundredth of 5 m².
#[test]
fn identity_a_piece_beyond_its_ends_by_hand() {
    let store = stepped();
    for (piece, volume, level, area) in [
        (0, 6.0, 2.0, 5.0),
        (0, 2.0, 1.0, 3.0),
        (0, -0.5, -0.5, 1.0),
        (2, 0.0, 0.6, 5.0),
        (3, 11.0, 3.0 - 2.0 / (5.0 + f64::sqrt(29.0)), f64::sqrt(29.0)),
        (3, 14.25, 3.5, 4.0),
        (3, 99.0, 3.0 + 174.0 / 5.05, 0.05),
        (4, 15.0, 4.0 - 1.0 / 3.0, 3.0),
    ] {
        let (known, surface) = store.level_and_area_in(piece, volume);
        assert_relative_eq!(known, level, max_relative = 1e-12);
        assert_relative_eq!(surface, area, max_relative = 1e-12);
    }
}

/// 1 m² for a metre, then 1 to 3 m² over the next, which below its start is A² = 1 + 4 (V - 1), held at a hundredth of
/// 1 m²; the level falls by the volume over the mean of both ends.
#[test]
fn identity_a_growing_piece_below_its_start_by_hand() {
    let store = store(&[(0.0, 1.0), (1.0, 1.0), (2.0, 3.0)]);
    for (volume, level, area) in [
        (1.75, 1.5, 2.0),
        (0.8125, 1.0 - 0.1875 / 0.75, 0.5),
        (0.5, 1.0 - 0.5 / 0.505, 0.01),
        (0.0, 1.0 - 1.0 / 0.505, 0.01),
    ] {
        let (known, surface) = store.level_and_area_in(1, volume);
        assert_relative_eq!(known, level, max_relative = 1e-12);
        assert_relative_eq!(surface, area, max_relative = 1e-12);
    }
}

#[test]
fn stores_that_make_no_sense_are_refused() {
    let new = |entries: &[(f64, f64)], least: f64| StageStorage::new(&surface(entries), Area::from_m2(least));
    let bad = Err(RoutingError::BadStore);
    assert_eq!(new(&[], 1.0), bad);
    assert_eq!(new(&[(1.0, 1.0), (0.0, 1.0)], 1.0), bad);
    for value in [f64::NAN, f64::INFINITY] {
        assert_eq!(new(&[(value, 1.0)], 1.0), bad);
        assert_eq!(new(&[(0.0, value)], 1.0), bad);
        assert_eq!(new(&[(0.0, 1.0)], value), bad);
    }
    for (area, least) in [(-1.0, 1.0), (1.0, 0.0), (1.0, -1.0)] {
        assert_eq!(new(&[(0.0, area)], least), bad);
    }
    // no surface at all counts as the least
    let dry = new(&[(0.0, 0.0), (1.0, 0.0)], 0.5).unwrap();
    assert_relative_eq!(dry.volume_at(Level::from_m(2.0)).m3(), 1.0, max_relative = 1e-12);
    assert_eq!(StageStorage::prism(Level::from_m(0.0), Area::ZERO), bad);
}

/// A prism of 2 m² with 3 m² more from 1 to 2 m; a slope of 1 to 5 m² over 2 m with 10 m² more from 0.5 to 1.5 m.
#[test]
fn identity_a_store_is_widened_by_hand() {
    let level = Level::from_m;
    let more = Area::from_m2(3.0);
    let prism = StageStorage::prism(level(0.0), Area::from_m2(2.0)).unwrap();
    let wide = prism.widened(level(1.0), level(2.0), more).unwrap();
    for (at, area, volume) in [(0.5, 2.0, 1.0), (1.0, 5.0, 2.0), (1.5, 5.0, 4.5), (2.0, 2.0, 7.0), (3.0, 2.0, 9.0)] {
        assert_relative_eq!(wide.area_at(level(at)).m2(), area, max_relative = 1e-12);
        assert_relative_eq!(wide.volume_at(level(at)).m3(), volume, max_relative = 1e-12);
    }
    for floor in [0.0, 1.0, -3.0] {
        let slope = store(&[(floor, 1.0), (floor + 2.0, 5.0)]);
        let slope = slope.widened(level(floor + 0.5), level(floor + 1.5), Area::from_m2(10.0)).unwrap();
        for (at, area, volume) in
            [(0.25, 1.5, 0.3125), (1.0, 13.0, 7.0), (1.75, 4.5, 14.8125), (2.0, 5.0, 16.0), (3.0, 5.0, 21.0)]
        {
            assert_relative_eq!(slope.area_at(level(floor + at)).m2(), area, max_relative = 1e-12);
            assert_relative_eq!(slope.volume_at(level(floor + at)).m3(), volume, max_relative = 1e-12);
        }
    }
    // at the floor already, and by nothing
    let floor = prism.widened(level(0.0), level(1.0), more).unwrap();
    assert_relative_eq!(floor.volume_at(level(2.0)).m3(), 7.0, max_relative = 1e-12);
    let same = prism.widened(level(1.0), level(2.0), Area::ZERO).unwrap();
    assert_relative_eq!(same.volume_at(level(3.0)).m3(), 6.0, max_relative = 1e-12);
    for (low, high, by) in
        [(1.0, 1.0, 3.0), (2.0, 1.0, 3.0), (1.0, 2.0, -0.1), (1.0, 2.0, f64::NAN), (1.0, 2.0, f64::INFINITY)]
    {
        let found = prism.widened(level(low), level(high), Area::from_m2(by));
        assert_eq!(found, Err(RoutingError::BadStore), "{low} {high} {by}");
    }
}

fn rating(lowest: f64, highest: f64, flows: &[f64]) -> Result<Rating, RoutingError> {
    let flows: Vec<Flow> = flows.iter().map(|flow| Flow::from_m3s(*flow)).collect();
    Rating::new(Level::from_m(lowest), Level::from_m(highest), &flows)
}

/// Flows 0, 10, 10, 30, 31 every half metre from 2 on. Changes of a step: 10, 0, 20, 1; slopes 10, 0, 0, 40/21 and 1. Half-way
/// the mean and an eighth of the difference of the slopes, and there the slope is 1.5 times the rise less a quarter of
/// their sum, twice in a metre; a quarter of the way the first piece is 10 (x + x² - x³).
#[test]
fn identity_a_rating_by_hand() {
    let rating = rating(2.0, 4.0, &[0.0, 10.0, 10.0, 30.0, 31.0]).unwrap();
    let inner = 40.0 / 21.0;
    for (level, flow, slope) in [
        (1.0, 0.0, 0.0),
        (2.0, 0.0, 0.0),
        (2.125, 10.0 * (0.25 + 0.0625 - 0.015_625), 20.0 * (1.0 + 0.5 - 0.1875)),
        (2.25, 5.0 + 1.25, 2.0 * (15.0 - 2.5)),
        (2.5, 10.0, 0.0),
        (2.75, 10.0, 0.0),
        (3.25, 20.0 - inner / 8.0, 2.0 * (30.0 - inner / 4.0)),
        (3.5, 30.0, 2.0 * inner),
        (3.75, 30.5 + (inner - 1.0) / 8.0, 2.0 * (1.5 - (inner + 1.0) / 4.0)),
        (4.0, 31.0, 0.0),
        (9.0, 31.0, 0.0),
    ] {
        let (found, grows) = rating.at(level);
        assert_relative_eq!(found, flow, epsilon = 1e-12, max_relative = 1e-12);
        assert_relative_eq!(grows, slope, epsilon = 1e-12, max_relative = 1e-12);
        assert_relative_eq!(rating.flow(Level::from_m(level)).m3s(), flow, epsilon = 1e-12, max_relative = 1e-12);
        let (half, half_slope) = rating.times(0.5).at(level);
        assert_relative_eq!(half, 0.5 * flow, epsilon = 1e-12, max_relative = 1e-12);
        assert_relative_eq!(half_slope, 0.5 * slope, epsilon = 1e-12, max_relative = 1e-12);
    }
    for level in [-5.0, 0.0, 0.5, 1.0, 7.0] {
        assert_eq!(Rating::constant(Flow::from_m3s(0.003)).at(level), (0.003, 0.0));
        assert_eq!(self::rating(2.0, 2.0, &[0.003]).unwrap().at(level), (0.003, 0.0));
    }
}

#[test]
fn ratings_that_make_no_sense_are_refused() {
    let bad = Err(RoutingError::BadRating);
    assert_eq!(rating(0.0, 1.0, &[]), bad);
    assert_eq!(rating(1.0, 1.0, &[1.0, 2.0]), bad);
    assert_eq!(rating(2.0, 1.0, &[1.0, 2.0]), bad);
    for flow in [-1e-9, f64::NAN, f64::INFINITY] {
        assert_eq!(rating(0.0, 1.0, &[1.0, flow]), bad);
    }
}
