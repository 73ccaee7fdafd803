//! Where in its cycle the pump is when the burst comes: the storm followed from other levels in the basin.

use super::against;
use super::inflow::Coming;
use super::outcome::{StormOutcome, Yard};
use super::verdict::Ready;
use crate::quantity::{Area, Length, Level, Volume};
use crate::routing::{RoutingError, StageStorage, Unwatched};
use crate::site::Site;

/// So many levels are tried, evenly spaced from the off level up to, but not, the on level, which a storm begins with.
const LEVELS: u32 = 8;
/// No water is smaller than this where a depth is made of a volume.
const LEAST_SURFACE: Area = Area::from_ft2(1.0);

/// The levels from which the design storm is to be followed beside that with which it begins: none where its goal is missed,
/// or could not be missed with all the water between the floats on top of the deepest.
pub(super) fn levels(site: &Site, nested: &StormOutcome) -> Vec<Level> {
    let (depth, clear) = against(&site.goal, nested);
    let spare = site.goal.standing_water.map(|most| most - nested.depth());
    if depth != Some(true) || clear == Some(false) || at_most(site, nested) <= spare {
        return Vec::new();
    }
    let basin = &site.basin;
    (0..LEVELS)
        .map(|step| basin.level(basin.off + (basin.on - basin.off) * (f64::from(step) / f64::from(LEVELS))))
        .collect()
}

/// How much deeper the water between the floats could make the deepest; none where that stands in no known hollow.
fn at_most(site: &Site, nested: &StormOutcome) -> Option<Length> {
    let hollow = nested.deepest().filter(|hollow| hollow.deepest > site.limits.film.value)?;
    let surface = &site.low_spots.iter().find(|spot| spot.name == hollow.name)?.surface;
    let store = StageStorage::new(surface, LEAST_SURFACE).ok()?;
    let held = site.basin.plan.area() * (site.basin.on - site.basin.off);
    Some(held / store.area_at(hollow.rim + hollow.deepest))
}

/// Whether so much more water on top of what stands in the deepest hollow, or in any that the basin's water comes up to,
/// could make it deeper than the goal allows.
///
/// Of a hollow whose surface is not known it is taken that it widens upwards.
pub(crate) fn could_miss(site: &Site, nested: &StormOutcome, more: Volume) -> bool {
    let Some(allowed) = site.goal.standing_water else { return false };
    let film = site.limits.film.value;
    let reached = nested.hollows.iter().filter(|hollow| hollow.rim <= nested.highest_in_basin);
    reached.chain(nested.deepest()).filter(|hollow| hollow.deepest > film).any(|hollow| {
        let surface = site.low_spots.iter().find(|spot| spot.name == hollow.name).map(|spot| &spot.surface);
        let store = surface.and_then(|surface| StageStorage::new(surface, LEAST_SURFACE).ok());
        let room = match store {
            Some(store) => store.volume_at(hollow.rim + allowed) - store.volume_at(hollow.rim + hollow.deepest),
            None => hollow.volume * (allowed / hollow.deepest - 1.0),
        };
        room < more
    })
}

/// The deepest water of a storm that begins with the basin at a level.
///
/// # Errors
/// The water could not be followed.
pub(super) fn deepest_from(yard: &Yard<'_>, level: Level, coming: &Coming) -> Result<Length, RoutingError> {
    let mut levels = yard.network.start.clone();
    if let Some(basin) = levels.get_mut(yard.network.basin) {
        *basin = level;
    }
    let follower = yard.start_at(&levels, &coming.timeline)?;
    Ok(yard.on_while_it_matters(follower, coming, &mut Unwatched)?.depth())
}

/// The deepest that the design storm may make the water, from the deepest that was found: between two of the levels tried it
/// may be deeper by what lies between them.
pub(super) fn deepest(site: &Site, nested: &StormOutcome, found: Length) -> Option<Length> {
    at_most(site, nested).map(|more| found.max(nested.depth()) + more / f64::from(LEVELS))
}

/// Whether the goal, kept in the nested storm, is kept wherever in its cycle the pump is when the burst comes.
///
/// # Errors
/// The water could not be followed.
pub(in crate::design) fn kept_anywhere(
    site: &Site,
    Ready { network, station }: Ready,
    coming: &Coming,
    nested: &StormOutcome,
) -> Result<bool, RoutingError> {
    let Some(allowed) = site.goal.standing_water else { return Ok(true) };
    let yard = Yard::new(site, &network, Some(station));
    for level in levels(site, nested) {
        let found = deepest_from(&yard, level, coming)?;
        if deepest(site, nested, found).is_some_and(|deepest| deepest > allowed) {
            return Ok(false);
        }
    }
    Ok(true)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests {
    use super::*;
    use crate::site::{self, NoFiles};

    /// A surface of 420 ft2 at 0.25 ft over the grate and 1300 ft2 at 0.5 ft: what fits between two depths is the mean of
    /// the two surfaces there times their distance.
    #[test]
    fn identity_so_much_more_water_is_too_deep() {
        let text =
            include_str!("../../../examples/cut-bank.toml").replace("count = 1\n", "count = 1\nuse = \"medium\"\n");
        let mut site = site::read(&text, &NoFiles).site.unwrap();
        let nested = crate::design::trial(&site).unwrap().in_storm.unwrap();
        let (depth, allowed) = (nested.depth(), nested.depth() + Length::from_ft(0.02));
        let area = |depth: Length| 420.0 + (depth.ft() - 0.25) * (1300.0 - 420.0) / 0.25;
        assert!(depth.ft() > 0.25 && allowed.ft() < 0.5, "{}", depth.ft());
        let room = Volume::from_ft3(0.02 * (area(depth) + area(allowed)) / 2.0);
        site.goal.standing_water = Some(allowed);
        assert!(could_miss(&site, &nested, room * 1.001) && !could_miss(&site, &nested, room * 0.999));
        // where the hollow is not known it is taken as upright
        let shown = nested.deepest().unwrap().volume;
        site.low_spots.clear();
        let room = shown * (allowed / depth - 1.0);
        assert!(could_miss(&site, &nested, room * 1.001) && !could_miss(&site, &nested, room * 0.999));
        site.goal.standing_water = None;
        assert!(!could_miss(&site, &nested, Volume::from_ft3(1e9)));
    }
}
