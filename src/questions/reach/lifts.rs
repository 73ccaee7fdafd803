//! The site with its outlet higher or lower.

use crate::quantity::{Length, UnitSystem};
use crate::site::Site;

/// Lifts on either side of the site's own.
const ON_EITHER_SIDE: i32 = 4;
/// From one lift to the next: common practice, no source.
const STEP_FT: f64 = 2.0;
const STEP_M: f64 = 0.5;

/// By how much the outlet is raised, from the lowest; those at which it still stands above the water are kept.
pub(super) fn raises(site: &Site) -> Vec<Length> {
    let step = match site.units {
        UnitSystem::Us => Length::from_ft(STEP_FT),
        UnitSystem::Metric => Length::from_m(STEP_M),
    };
    let off = site.basin.level(site.basin.off);
    (-ON_EITHER_SIDE..=ON_EITHER_SIDE)
        .map(|number| step * f64::from(number))
        .filter(|raise| *raise == Length::ZERO || site.discharge.outlet.level + *raise > off)
        .collect()
}

/// The site with its outlet, and the ditch there, so much higher; the line and the ground over it in proportion to the
/// way from the basin.
pub(super) fn raised(site: &Site, raise: Length) -> Site {
    let mut site = site.clone();
    let total = site.discharge.length();
    let share = |at: Length| if total > Length::ZERO { (at / total).clamp(0.0, 1.0) } else { 1.0 };
    let line = &mut site.discharge;
    line.outlet.level = line.outlet.level + raise;
    line.outlet.ditch_full = line.outlet.ditch_full.map(|full| full + raise);
    for point in &mut line.profile {
        let here = raise * share(point.at);
        point.invert = point.invert + here;
        point.ground = point.ground.map(|ground| ground + here);
    }
    for vent in &mut line.vents {
        vent.open_top = vent.open_top.map(|top| top + raise * share(vent.at));
    }
    if let Some(gap) = site.frost.as_mut().and_then(|frost| frost.gap.as_mut()) {
        gap.level = gap.level + raise * share(gap.at);
    }
    site
}
