//! The drain tree: which share of each surface's runoff, and how much steady water, reaches each grate and pipe.

use crate::collection::{Grate, common_flow, common_level};
use crate::hydrology::{Contribution, Rain, peak_flow};
use crate::quantity::{Area, Flow, Level};
use crate::site::{BASIN, Inlet, Site};
use std::cell::OnceCell;
use std::collections::HashMap;

/// What reaches a place.
#[derive(Clone, Debug)]
pub(in crate::design) struct Load {
    /// The share of each catchment, in their order.
    shares: Vec<f64>,
    /// Steady water, groundwater included.
    pub(in crate::design) steady: Flow,
    /// The peak of the runoff, once it has been asked for.
    runoff: OnceCell<Flow>,
}

impl Load {
    fn none(catchments: usize) -> Self {
        Self { shares: vec![0.0; catchments], steady: Flow::ZERO, runoff: OnceCell::new() }
    }
    fn add(&mut self, other: &Self, share: f64) {
        self.runoff.take();
        for (mine, its) in self.shares.iter_mut().zip(&other.shares) {
            *mine += its * share;
        }
        self.steady += other.steady * share;
    }
    /// Whether any of a catchment comes here.
    pub(in crate::design) fn has(&self, catchment: usize) -> bool {
        self.shares.get(catchment).is_some_and(|share| *share > 0.0)
    }
    /// The surfaces as they count here.
    fn parts(&self, all: &[Contribution]) -> Vec<Contribution> {
        self.shares
            .iter()
            .zip(all)
            .filter(|(share, _)| **share > 0.0)
            .map(|(share, part)| Contribution { area: part.area * *share, ..*part })
            .collect()
    }
    /// The area times coefficient that comes here.
    pub(in crate::design) fn weighted_area(&self, all: &[Contribution]) -> Area {
        self.parts(all).iter().map(|part| part.area * part.coefficient).sum()
    }
    /// Its peak in a rain, each surface with its own time of concentration, with the steady water.
    ///
    /// A duration that the rain is not known for has stopped the design before. The runoff is worked out once, so the
    /// surfaces and the rain are always those of the storm that the tree was made for: it takes the square of the number
    /// of surfaces, and the loads of a tree are asked for again and again.
    pub(in crate::design) fn peak(&self, all: &[Contribution], rain: Option<&Rain>) -> Flow {
        let runoff = || rain.and_then(|rain| peak_flow(&self.parts(all), rain).ok()).map(|peak| peak.flow);
        *self.runoff.get_or_init(|| runoff().unwrap_or(Flow::ZERO)) + self.steady
    }
}

/// The tree with what reaches each of its parts.
#[derive(Clone, Debug)]
pub(in crate::design) struct Tree {
    /// What comes over the ground to each inlet, in the site's order: through its grate.
    pub(in crate::design) through_grate: Vec<Load>,
    /// What each drain carries at its lower end, in the site's order.
    pub(in crate::design) drains: Vec<Load>,
    /// What comes to the basin by whatever way.
    pub(in crate::design) basin: Load,
    /// The level at which the inlets of one low spot together take what comes, by inlet; of a lone inlet its own.
    pub(in crate::design) water_over: Vec<Option<Level>>,
    /// What runs to each low spot that no inlet stands in.
    pub(in crate::design) stranded: Vec<(usize, Load)>,
    /// The order of the drains from the lowest up: each after the one it leads to.
    pub(in crate::design) upwards: Vec<usize>,
}

/// A place that water comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Place {
    Basin,
    LowSpot(usize),
    Inlet(usize),
    Drain(usize),
}

struct Places<'s> {
    by_name: HashMap<&'s str, Place>,
}

impl<'s> Places<'s> {
    fn of(site: &'s Site) -> Self {
        let mut by_name = HashMap::new();
        // inlets go before low spots of the same name, as the reader looks them up
        for (index, spot) in site.low_spots.iter().enumerate() {
            by_name.insert(spot.name.as_str(), Place::LowSpot(index));
        }
        for (index, drain) in site.drains.iter().enumerate() {
            by_name.insert(drain.name.as_str(), Place::Drain(index));
        }
        for (index, inlet) in site.inlets.iter().enumerate() {
            by_name.insert(inlet.name.as_str(), Place::Inlet(index));
        }
        by_name.insert(BASIN, Place::Basin);
        Self { by_name }
    }
    fn find(&self, name: Option<&str>) -> Place {
        name.and_then(|name| self.by_name.get(name).copied()).unwrap_or(Place::Basin)
    }
}

impl Tree {
    /// Follows the water of a storm down the tree. `seeps` is the groundwater of each drain, `rest` what of it comes to
    /// the basin by no drain.
    pub(in crate::design) fn of(
        site: &Site,
        parts: &[Contribution],
        rain: Option<&Rain>,
        seeps: &[Flow],
        rest: Flow,
    ) -> Self {
        let places = Places::of(site);
        let none = || Load::none(site.catchments.len());
        let mut spots: Vec<Load> = site.low_spots.iter().map(|_| none()).collect();
        let mut through_grate: Vec<Load> = site.inlets.iter().map(|_| none()).collect();
        let mut in_boxes = through_grate.clone();
        let mut drains: Vec<Load> = site.drains.iter().map(|_| none()).collect();
        let mut basin = none();
        let one = |catchment: usize| {
            let mut load = none();
            if let Some(share) = load.shares.get_mut(catchment) {
                *share = 1.0;
            }
            load
        };
        let steady = |flow: Flow| Load { steady: flow, ..none() };
        let mut pour = |load: &Load, place: Place, grates: &mut [Load], drains: &mut [Load]| match place {
            Place::LowSpot(index) => add_to(&mut spots, index, load),
            Place::Inlet(index) => add_to(grates, index, load),
            Place::Drain(index) => add_to(drains, index, load),
            Place::Basin => basin.add(load, 1.0),
        };
        for (index, catchment) in site.catchments.iter().enumerate() {
            pour(&one(index), places.find(catchment.drains_to.as_deref()), &mut through_grate, &mut drains);
        }
        for inflow in &site.inflows {
            pour(&steady(inflow.flow), places.find(inflow.drains_to.as_deref()), &mut through_grate, &mut drains);
        }
        for (drain, seep) in drains.iter_mut().zip(seeps) {
            drain.steady += *seep;
        }
        basin.steady += rest;
        let (water_over, stranded) = share_low_spots(site, parts, rain, &spots, &mut through_grate, &mut basin);
        for (inside, over) in in_boxes.iter_mut().zip(&through_grate) {
            inside.add(over, 1.0);
        }
        let order = downwards(site, &places);
        let mut emptied: Vec<bool> = site.inlets.iter().map(|_| false).collect();
        for index in &order {
            let Some(drain) = site.drains.get(*index) else { continue };
            if let Place::Inlet(from) = places.find(drain.from.as_deref())
                && drain.from.is_some()
            {
                let ways = site.drains.iter().filter(|other| other.from == drain.from).count().max(1);
                if let (Some(inside), Some(carried)) = (in_boxes.get(from), drains.get_mut(*index)) {
                    carried.add(inside, 1.0 / ways as f64);
                }
                if let Some(empty) = emptied.get_mut(from) {
                    *empty = true;
                }
            }
            let Some(carried) = drains.get(*index).cloned() else { continue };
            match places.find(Some(&drain.to)) {
                Place::Inlet(to) => add_to(&mut in_boxes, to, &carried),
                Place::Drain(to) => add_to(&mut drains, to, &carried),
                Place::Basin | Place::LowSpot(_) => basin.add(&carried, 1.0),
            }
        }
        // a grate without a drain is the basin's own lid
        for (inside, empty) in in_boxes.iter().zip(&emptied) {
            if !empty {
                basin.add(inside, 1.0);
            }
        }
        let upwards = order.into_iter().rev().collect();
        Self { through_grate, drains, basin, water_over, stranded, upwards }
    }
}

fn add_to(loads: &mut [Load], index: usize, load: &Load) {
    if let Some(mine) = loads.get_mut(index) {
        mine.add(load, 1.0);
    }
}

/// The inlets that stand in one low spot, or one that stands alone.
fn together(site: &Site) -> Vec<Vec<usize>> {
    let mut groups: Vec<(Option<&str>, Vec<usize>)> = Vec::new();
    for (index, inlet) in site.inlets.iter().enumerate() {
        let spot = inlet.low_spot.as_deref();
        match groups.iter_mut().find(|(known, _)| spot.is_some() && *known == spot) {
            Some((_, members)) => members.push(index),
            None => groups.push((spot, vec![index])),
        }
    }
    groups.into_iter().map(|(_, members)| members).collect()
}

/// Shares what comes to a low spot among its inlets: they stand under one water level. Gives that level by inlet.
fn share_low_spots(
    site: &Site,
    parts: &[Contribution],
    rain: Option<&Rain>,
    spots: &[Load],
    through_grate: &mut [Load],
    basin: &mut Load,
) -> (Vec<Option<Level>>, Vec<(usize, Load)>) {
    let mut levels: Vec<Option<Level>> = site.inlets.iter().map(|_| None).collect();
    let mut taken: Vec<bool> = spots.iter().map(|_| false).collect();
    for members in together(site) {
        let inlets: Vec<&Inlet> = members.iter().filter_map(|index| site.inlets.get(*index)).collect();
        let mut all = Load::none(site.catchments.len());
        let spot = inlets.first().and_then(|inlet| inlet.low_spot.as_deref());
        if let Some(at) = site.low_spots.iter().position(|known| Some(known.name.as_str()) == spot)
            && let (Some(load), Some(taken)) = (spots.get(at), taken.get_mut(at))
        {
            all.add(load, 1.0);
            *taken = true;
        }
        for index in &members {
            if let Some(load) = through_grate.get(*index) {
                all.add(load, 1.0);
            }
        }
        let flow = all.peak(parts, rain);
        let grates: Option<Vec<(Level, Grate)>> =
            inlets.iter().map(|inlet| inlet.grate.map(|grate| (inlet.rim, grate))).collect();
        let level = grates.as_deref().and_then(|grates| common_level(grates, flow));
        let whole = grates.as_deref().zip(level).map_or(Flow::ZERO, |(grates, level)| common_flow(grates, level));
        let equal = 1.0 / inlets.len().max(1) as f64;
        for (at, index) in members.iter().enumerate() {
            let own = grates.as_deref().and_then(|grates| grates.get(at));
            let share = match (own, level) {
                (Some(own), Some(level)) if flow > Flow::ZERO && whole > Flow::ZERO => {
                    common_flow(&[*own], level) / whole
                }
                _ => equal,
            };
            if let Some(load) = through_grate.get_mut(*index) {
                *load = Load::none(site.catchments.len());
                load.add(&all, share);
            }
            if let Some(slot) = levels.get_mut(*index) {
                *slot = level;
            }
        }
    }
    // no inlet takes it: the pump is reckoned to have it all the same
    let mut stranded = Vec::new();
    for (index, (load, taken)) in spots.iter().zip(&taken).enumerate() {
        if !taken {
            basin.add(load, 1.0);
            stranded.push((index, load.clone()));
        }
    }
    (levels, stranded)
}

/// The drains in an order in which each comes after all that lead to it. The reader has refused circles.
fn downwards(site: &Site, places: &Places<'_>) -> Vec<usize> {
    let next: Vec<Vec<usize>> = site
        .drains
        .iter()
        .map(|drain| match places.find(Some(&drain.to)) {
            Place::Drain(to) => vec![to],
            Place::Inlet(to) => {
                let name = site.inlets.get(to).map(|inlet| inlet.name.as_str());
                site.drains
                    .iter()
                    .enumerate()
                    .filter(|(_, other)| other.from.as_deref() == name)
                    .map(|(index, _)| index)
                    .collect()
            }
            Place::Basin | Place::LowSpot(_) => Vec::new(),
        })
        .collect();
    let mut waiting: Vec<usize> = vec![0; next.len()];
    for to in next.iter().flatten() {
        if let Some(count) = waiting.get_mut(*to) {
            *count += 1;
        }
    }
    let mut ready: Vec<usize> =
        waiting.iter().enumerate().filter(|(_, count)| **count == 0).map(|(at, _)| at).collect();
    let mut order = Vec::with_capacity(next.len());
    while let Some(index) = ready.pop() {
        order.push(index);
        for to in next.get(index).into_iter().flatten() {
            if let Some(count) = waiting.get_mut(*to) {
                *count -= 1;
                if *count == 0 {
                    ready.push(*to);
                }
            }
        }
    }
    order
}
