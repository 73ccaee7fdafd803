//! The holes for basin and catch basins, the stone under the basin, concrete round it.

use super::reckoning::Reckoning;
use super::{Basis, Cost, Count, Part};
use crate::basin::Plan;
use crate::hydraulics::Surface;
use crate::job::hole::{self, PouredCollar, widened};
use crate::quantity::{Area, Length};
use crate::site::{By, Good, Inlet, Task};

/// All holes.
pub(super) fn holes(r: &mut Reckoning<'_>) {
    basin(r);
    for inlet in &r.site.inlets {
        catch_basin(r, inlet);
    }
}

fn shown(r: &Reckoning<'_>, plan: Plan) -> String {
    match plan {
        Plan::Round(across) => format!("{} across", r.small(across)),
        Plan::Rectangular(length, width) => format!("{} x {}", r.small(length), r.small(width)),
    }
}

/// A hole dug and kept, with the surface round it.
fn dig(
    r: &mut Reckoning<'_>,
    name: String,
    how: String,
    basis: Basis,
    (hole, stays, depth): (Plan, Plan, Length),
    around: Option<Surface>,
) {
    let volume = hole.area() * depth;
    let spoilt = |plan: Plan| (plan.area() - stays.area()).max(Area::ZERO);
    let as_lawn = spoilt(widened(hole, r.site.takeoff.spoilt_beside.value));
    r.spoilt.add(format!("the {name}"), around, as_lawn, spoilt(hole));
    r.dug += volume;
    r.deepest = r.deepest.max(depth);
    r.works(Task::Dig, volume.m3());
    let count = Count::of(By::Volume, volume.m3(), r.site);
    r.item(Part::Ground, name, count, how, basis, Cost::Within("in the hours"));
}

fn basin(r: &mut Reckoning<'_>) {
    let (site, terms) = (r.site, &r.site.takeoff);
    let basin = &site.basin;
    let collar = hole::collar(site, r.design);
    let room = hole::room(site, r.design);
    let outside = basin.outside_plan();
    let hole = widened(outside, room);
    let ground = basin.ground.unwrap_or(basin.rim);
    let standing = (ground - basin.underside()).max(Length::ZERO);
    let bed = site.crew.basin_bedding.value;
    let depth = standing + bed;
    let how = format!(
        "{}: {} outside with {} of room all round; {} deep with {} of bed; walls upright",
        shown(r, hole),
        shown(r, outside),
        r.small(room),
        r.small(depth),
        r.small(bed)
    );
    let basis = Basis::entered().with("room", &r.small(terms.hole_room.value), &terms.hole_room).with(
        "bed",
        &r.small(bed),
        &site.crew.basin_bedding,
    );
    dig(r, "hole of the basin".to_owned(), how, basis, (hole, outside, depth), site.crew.round_basin);
    if bed > Length::ZERO {
        let lost = &terms.stone_waste;
        let stone = hole.area() * bed;
        let how = format!(
            "{} x {} = {}, with {} lost",
            shown(r, hole),
            r.small(bed),
            r.solid(stone),
            super::reckoning::percent(lost.value)
        );
        let basis = Basis::entered().with("bed", &r.small(bed), &site.crew.basin_bedding).with(
            "lost",
            &super::reckoning::percent(lost.value),
            lost,
        );
        r.good(Part::Station, Good::Stone, "stone under the basin", stone.m3() * (1.0 + lost.value), how, basis);
        r.works(Task::PlaceStone, stone.m3());
        r.displaced += stone;
    }
    r.displaced += outside.area() * standing;
    concrete(r, collar);
}

fn concrete(r: &mut Reckoning<'_>, collar: Option<PouredCollar>) {
    let flotation = &r.design.flotation;
    let (volume, how, basis) = match collar {
        Some(collar) if collar.needed => {
            (collar.volume, "the collar that the empty basin needs so as not to float".to_owned(), Basis::design())
        }
        Some(collar) => (collar.volume, "the collar of the site file".to_owned(), Basis::entered()),
        None => {
            if !flotation.judged && !flotation.lets_water_in {
                r.not_measured(
                    "concrete against flotation",
                    "the basin's `weight` is not entered, so whether it would float is not judged",
                );
            } else if flotation.judged && flotation.result.missing > crate::quantity::Weight::ZERO {
                r.not_measured(
                    "concrete against flotation",
                    "the empty basin would float, and no collar was found that holds it",
                );
            }
            return;
        }
    };
    let lost = &r.site.takeoff.stone_waste;
    let share = super::reckoning::percent(lost.value);
    let how = format!("{how}: {}, with {share} lost", r.solid(volume));
    let basis = basis.with("lost", &share, lost);
    r.good(Part::Station, Good::Concrete, "concrete collar", volume.m3() * (1.0 + lost.value), how, basis);
    r.works(Task::Pour, volume.m3());
    r.displaced += volume;
}

fn catch_basin(r: &mut Reckoning<'_>, inlet: &Inlet) {
    let (site, terms) = (r.site, &r.site.takeoff);
    let name = format!("hole of `{}`", inlet.name);
    let Some(outlet) = hole::box_outlet(site, inlet) else {
        r.not_dug(name, "neither the inlet's `outlet_invert` nor its drain's `up_invert` is entered");
        return;
    };
    let entered = inlet.plan.map(|plan| Length::from_m(libm::sqrt(plan.m2())));
    let edge = inlet.grate.map(|grate| grate.perimeter / 4.0);
    let Some(side) = entered.or(edge) else {
        r.not_dug(name, "neither the inlet's `box` nor its `grate` is entered");
        return;
    };
    let depth = (inlet.rim - outlet + inlet.silt_trap).max(Length::ZERO);
    let room = terms.hole_room.value;
    let stays = Plan::Rectangular(side, side);
    let hole = widened(stays, room);
    let how = format!(
        "{}: {} with {} of room all round; {} deep, from the rim to the floor of the silt trap; walls upright",
        shown(r, hole),
        shown(r, stays),
        r.small(room),
        r.small(depth)
    );
    let mut basis = Basis::entered().with("room", &r.small(room), &terms.hole_room);
    if entered.is_none() {
        basis = basis.taking("a square box with the edge of its grate");
    }
    dig(r, name, how, basis, (hole, stays, depth), inlet.around);
    r.displaced += stays.area() * depth;
}
