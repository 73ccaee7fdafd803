//! What basin and ground hold at each level.

use crate::basin::displaced_between;
use crate::catalog;
use crate::design::way_in::room_below;
use crate::quantity::{Area, Length, Level, Volume};
use crate::site::{Drain, Site};
use std::cell::LazyCell;

/// How high a dish is known.
pub(super) const DISH_DEPTH: Length = Length::from_ft(2.0);
/// Steps of a curve that is none of straight lines.
const STEPS: u32 = 12;

/// A round dish about a rim, its ground rising on every side.
pub(super) fn dish(rim: Level, inner: Area) -> Vec<(Level, Area)> {
    let slope = catalog::default_limits().dish_slope.value.max(1e-3);
    let inside = inner.diameter() / 2.0;
    (0..=STEPS)
        .map(|step| {
            // finer near the rim, where it is shallow
            let share = f64::from(step) / f64::from(STEPS);
            let depth = DISH_DEPTH * (share * share);
            (rim + depth, ((inside + depth / slope) * 2.0).circle())
        })
        .collect()
}

/// A basin with the dish about its rim. Where pipes or trenches still fill above the rim, both hold water there.
pub(super) fn under_dish(mut basin: Vec<(Level, Area)>, rim: Level, plan: Area) -> Vec<(Level, Area)> {
    let dish = dish(rim, plan);
    if basin.last().is_none_or(|(level, _)| *level <= rim) {
        basin.extend(dish);
        return basin;
    }
    // the dish's own surface counts the plan too
    let round = |level: Level| (straight_between(&dish, level) - plan).max(Area::ZERO);
    let mut levels: Vec<Level> = basin.iter().chain(&dish).map(|(level, _)| *level).collect();
    levels.sort_by(|one, other| one.m().total_cmp(&other.m()));
    levels.dedup_by(|one, other| (*one - *other).abs() < Length::from_mm(0.01));
    let mut surface = Vec::with_capacity(2 * levels.len());
    for pair in levels.windows(2) {
        let [low, high] = pair else { continue };
        let middle = *low + (*high - *low) * 0.5;
        // the basin's surface goes in steps: the one that this part lies on
        let inside = basin.iter().rev().find(|(level, _)| *level <= middle).map_or(plan, |(_, area)| *area);
        let about = |level: Level| if middle >= rim { round(level) } else { Area::ZERO };
        surface.push((*low, inside + about(*low)));
        surface.push((*high, inside + about(*high)));
    }
    surface
}

/// The area at a level, straight between entries; at the ends that of the first and the last.
fn straight_between(surface: &[(Level, Area)], level: Level) -> Area {
    let above = surface.iter().position(|(known, _)| *known > level);
    let at = |index: usize| surface.get(index).copied();
    match above {
        Some(0) => at(0).map_or(Area::ZERO, |(_, area)| area),
        None => surface.last().map_or(Area::ZERO, |(_, area)| *area),
        Some(index) => match (at(index - 1), at(index)) {
            (Some((low, small)), Some((high, large))) => small + (large - small) * ((level - low) / (high - low)),
            _ => Area::ZERO,
        },
    }
}

/// What the pipes that slope into the basin and the stone of its trenches hold up to each of the levels at which they
/// matter, from the lowest: the same whatever stands in the basin.
pub(super) fn beside_basin(site: &Site) -> Vec<(Level, Volume)> {
    let basin = &site.basin;
    let mut levels = vec![basin.floor, basin.rim];
    let mut between = |low: Level, high: Level| {
        levels.extend((0..=STEPS).map(|step| low + (high - low) * (f64::from(step) / f64::from(STEPS))));
    };
    for drain in at_basin(site, false) {
        let Some(pipe) = drain.as_pipe() else { continue };
        between(pipe.down_invert.min(pipe.up_invert), pipe.up_invert.max(pipe.down_invert) + pipe.bore);
    }
    for drain in at_basin(site, true) {
        let low = drain.down_invert.or(drain.up_invert);
        let top = drain.french.as_ref().and_then(|french| french.trench.as_ref()).and_then(|trench| trench.top);
        if let Some(low) = low {
            let high = drain.up_invert.map_or(low, |up| up.max(low));
            between(low, top.unwrap_or(high + Length::from_ft(1.5)).max(high + Length::from_inch(1.0)));
        }
    }
    levels.retain(|level| level.is_finite() && *level >= basin.floor);
    levels.sort_by(|one, other| one.m().total_cmp(&other.m()));
    levels.dedup();
    let held = held_beside(site);
    levels.into_iter().map(|level| (level, held(level))).collect()
}

/// The drains that lead to the basin: the French ones, or the others.
fn at_basin(site: &Site, french: bool) -> impl Iterator<Item = &Drain> {
    site.drains.iter().filter(move |drain| drain.ends_at_basin() && drain.french.is_some() == french)
}

fn held_beside(site: &Site) -> impl Fn(Level) -> Volume {
    let pipes: Vec<_> = at_basin(site, false).filter_map(Drain::as_pipe).collect();
    let rooms: Vec<_> = at_basin(site, true).map(|drain| room_below(site, drain)).collect();
    move |level| {
        let in_pipes: Volume = pipes.iter().map(|pipe| pipe.standing(level).1).sum();
        let in_stone: Volume = rooms.iter().map(|below| below(level)).sum();
        in_pipes + in_stone
    }
}

/// The basin from its floor to its rim: its plan less the pumps, and what lies beside it. Steps of equal water surface, so
/// that what it holds is right at each level listed.
pub(super) fn basin(
    site: &Site,
    (bodies, tallest): (Volume, Length),
    beside: &[(Level, Volume)],
) -> Vec<(Level, Area)> {
    let basin = &site.basin;
    let plan = basin.plan.area();
    let known = |level: Level| {
        let at = beside.binary_search_by(|(known, _)| known.m().total_cmp(&level.m())).ok()?;
        beside.get(at).map(|(_, held)| *held)
    };
    let unknown = LazyCell::new(|| held_beside(site));
    let held = |level: Level| -> Volume {
        let up = level - basin.floor;
        let own = plan * up - displaced_between(bodies, tallest, Length::ZERO, up);
        own + known(level).unwrap_or_else(|| unknown(level))
    };
    let mut levels: Vec<Level> = beside.iter().map(|(level, _)| *level).collect();
    levels.push(basin.floor + tallest.max(Length::ZERO));
    levels.retain(|level| level.is_finite());
    levels.sort_by(|one, other| one.m().total_cmp(&other.m()));
    levels.dedup_by(|one, other| (*one - *other).abs() < Length::from_mm(0.5));
    let mut surface = Vec::with_capacity(2 * levels.len());
    let held: Vec<(Level, Volume)> = levels.iter().map(|level| (*level, held(*level))).collect();
    for pair in held.windows(2) {
        let [(low, less), (high, more)] = pair else { continue };
        let area = (*more - *less) / (*high - *low);
        surface.push((*low, area));
        surface.push((*high, area));
    }
    surface.push((levels.last().copied().unwrap_or(basin.rim), plan));
    surface
}
