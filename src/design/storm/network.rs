//! The site as stores and ways that water is followed through.

use super::curves;
use super::places::{Place, Places};
use crate::catalog;
use crate::collection::Grate;
use crate::design::storage::basin_shows_first;
use crate::design::way_in::GroundwaterResult;
use crate::quantity::{Amount, Area, Flow, Length, Level, Volume};
use crate::routing::{
    BROAD_CREST, Floats, FullPipe, Path, PathKind, Rating, RoutingError, Seep, StageStorage, Station, System,
};
use crate::site::{Assumption, BASIN, Drain, Inlet, Site};

/// What a store is.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Role {
    /// A hollow that water stands in.
    Hollow(Hollow),
    /// A catch basin that pipes run into, or a joint of pipes.
    Box,
    /// The basin with the pumps; what stands round its lid, where water comes out there before it shows at any grate.
    Basin(Option<Hollow>),
}

/// A hollow that water stands in.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Hollow {
    /// Its name, or the grate's that no low spot was entered for; `basin` where it is the basin's own lid.
    pub(crate) name: String,
    /// Whether its surface was taken for want of an entry.
    pub(crate) assumed: bool,
    /// The level that depth is counted from: the lowest grate in it, or its lowest point where that lies lower.
    pub(crate) rim: Level,
    /// The level at which it runs over, where it does.
    pub(crate) spills_at: Option<Level>,
    /// Where it then runs, in words.
    pub(crate) spills_to: Option<String>,
    /// The highest level that its surface was entered for.
    pub(crate) known_to: Level,
}

/// The site as a system, with what its parts are.
#[derive(Clone, Debug)]
pub(crate) struct Network {
    /// Stores, ways, groundwater; pumps are put in later.
    pub(crate) system: System,
    /// What each store is.
    pub(crate) roles: Vec<Role>,
    /// The basin's index.
    pub(crate) basin: usize,
    /// Levels at the start of a storm.
    pub(crate) start: Vec<Level>,
    /// Groundwater that comes whatever the levels are: the store and the flow.
    pub(crate) steady: Vec<(usize, Flow)>,
    /// The ways by which hollows run over: the path and the hollow's store.
    pub(crate) spills: Vec<(usize, usize)>,
    /// The level of groundwater at the start, where it is known, and what it does in a storm.
    pub(crate) table: Option<Level>,
    /// What was taken for want of an entry.
    pub(crate) assumptions: Vec<Assumption>,
    /// Where runoff and inflows come in: of each catchment and of each inflow.
    pub(crate) catchment_stores: Vec<usize>,
    /// Likewise of each inflow.
    pub(crate) inflow_stores: Vec<usize>,
    /// What pipes and stone beside the basin hold up to each level.
    beside_basin: Vec<(Level, Volume)>,
}

impl Network {
    /// The same with pumps in the basin that take up so much of it to a height.
    ///
    /// # Errors
    /// Numbers that describe no store.
    pub(crate) fn with_bodies(&self, site: &Site, bodies: (Volume, Length)) -> Result<Self, RoutingError> {
        let mut with = self.clone();
        if let (Some(store), Some(Role::Basin(round_the_lid))) =
            (with.system.stores.get_mut(self.basin), self.roles.get(self.basin))
        {
            *store = basin_store(site, bodies, &self.beside_basin, round_the_lid.is_some())?;
        }
        Ok(with)
    }
    /// What seeps in while the basin stands at its on level and groundwater as at the start.
    pub(crate) fn seeping_at_start(&self) -> Flow {
        let Some(table) = self.table else { return Flow::ZERO };
        let one = |seep: &Seep| {
            let level = self.start.get(seep.store).map_or(seep.from, |start| start.max(seep.from));
            Flow::from_m3s(seep.per_metre * (table - level).max(Length::ZERO).m())
        };
        self.system.seeps.iter().map(one).sum()
    }
    /// The most that can seep in: with the water in each store where the groundwater comes in, or lower.
    pub(crate) fn most_seeping(&self, storm_high: Option<Level>) -> Flow {
        let Some(table) = self.table else { return Flow::ZERO };
        let table = storm_high.map_or(table, |high| high.max(table));
        let one = |seep: &Seep| Flow::from_m3s(seep.per_metre * (table - seep.from).max(Length::ZERO).m());
        self.system.seeps.iter().map(one).sum()
    }
    /// The hollows with their stores.
    pub(crate) fn hollows(&self) -> impl Iterator<Item = (usize, &Hollow)> {
        self.roles.iter().enumerate().filter_map(|(index, role)| match role {
            Role::Hollow(hollow) | Role::Basin(Some(hollow)) => Some((index, hollow)),
            Role::Box | Role::Basin(None) => None,
        })
    }
}

/// The least plan of a catch basin, where neither grate nor box was entered: a foot square, common practice, no source.
const USUAL_BOX: Area = Area::from_ft2(1.0);
/// A grate that lets in whatever comes, where none was entered: so wide that it never counts.
const WIDE_OPEN: Grate = Grate { perimeter: Length::from_ft(100.0), open_area: Area::from_ft2(300.0), clogged: 0.0 };
/// How deep a box lies below its grate where no pipe says so: common practice, no source.
const USUAL_BOX_DEPTH: Length = Length::from_ft(2.0);

/// The bare system of a site, nothing in its basin.
///
/// # Errors
/// Numbers that describe no store or pipe.
pub(crate) fn network(site: &Site, ground: &GroundwaterResult) -> Result<Network, RoutingError> {
    let mut making = Making { site, stores: Vec::new(), roles: Vec::new(), start: Vec::new(), assumptions: Vec::new() };
    let spots = making.low_spots()?;
    let lone = making.lone_inlets()?;
    let boxes = making.boxes()?;
    let joints = making.joints()?;
    let beside_basin = curves::beside_basin(site);
    let basin = making.basin(&beside_basin)?;
    let places = Places { site, spots, lone, boxes, joints, basin };
    let mut paths = Vec::new();
    let mut spills = Vec::new();
    for (index, inlet) in site.inlets.iter().enumerate() {
        paths.extend(ways_of_inlet(site, &places, index, inlet)?);
    }
    for (index, drain) in site.drains.iter().enumerate() {
        let head = places.head(index);
        if let (Some(from), Some(pipe)) = (head, full_pipe(drain)?) {
            paths.push(Path { from, to: Some(places.end(drain)), kind: PathKind::Pipe(pipe) });
        }
    }
    for (index, spot) in site.low_spots.iter().enumerate() {
        let (Some(level), Some(from)) = (spot.spills_at, places.spots.get(index).copied()) else { continue };
        let usual = &catalog::default_limits().spill_width;
        let width = spot.spill_width.unwrap_or_else(|| {
            making.assumptions.push(Assumption {
                what: format!("width of the notch that `{}` runs over", spot.name),
                value: Amount::of(usual.value),
                why: usual.source.to_owned(),
            });
            usual.value
        });
        let named = spot.spills_to.as_deref().map(|name| places.find(Some(name)));
        let to = match named {
            Some(Place::LowSpot(other)) => places.spots.get(other).copied(),
            Some(Place::Inlet(inlet)) => Some(places.pool(inlet)),
            _ => None,
        };
        spills.push((paths.len(), from));
        paths.push(Path {
            from,
            to: to.filter(|to| *to != from),
            kind: PathKind::Crest { level, width, coefficient: BROAD_CREST },
        });
    }
    let (seeps, steady) = groundwater(site, ground, &places);
    let catchment_stores =
        site.catchments.iter().map(|catchment| places.store(catchment.drains_to.as_deref())).collect();
    let inflow_stores = site.inflows.iter().map(|inflow| places.store(inflow.drains_to.as_deref())).collect();
    let Making { stores, roles, start, assumptions, .. } = making;
    let system = System { stores, paths, station: None, seeps };
    system.check()?;
    Ok(Network {
        system,
        roles,
        basin,
        start,
        steady,
        spills,
        table: site.groundwater.seasonal_high,
        assumptions,
        catchment_stores,
        inflow_stores,
        beside_basin,
    })
}

/// The stores as they are made.
struct Making<'s> {
    site: &'s Site,
    stores: Vec<StageStorage>,
    roles: Vec<Role>,
    start: Vec<Level>,
    assumptions: Vec<Assumption>,
}

impl Making<'_> {
    fn put(&mut self, store: StageStorage, role: Role, start: Level) -> usize {
        self.stores.push(store);
        self.roles.push(role);
        self.start.push(start);
        self.stores.len() - 1
    }
    fn low_spots(&mut self) -> Result<Vec<usize>, RoutingError> {
        let site = self.site;
        let mut found = Vec::new();
        for spot in &site.low_spots {
            let inlets: Vec<&Inlet> =
                site.inlets.iter().filter(|inlet| inlet.low_spot.as_deref() == Some(spot.name.as_str())).collect();
            let lowest = spot.surface.first().map_or(Level::from_m(0.0), |(level, _)| *level);
            let highest = spot.surface.last().map_or(lowest, |(level, _)| *level);
            let rim = inlets.iter().map(|inlet| inlet.rim).reduce(Level::min);
            let least =
                inlets.iter().map(|inlet| box_plan(inlet)).reduce(|one, other| one + other).unwrap_or(USUAL_BOX);
            let mut surface = spot.surface.clone();
            // a grate below the entered surface stands in a pit of its own width
            if let Some(rim) = rim.filter(|rim| *rim < lowest) {
                surface.insert(0, (rim, least));
            }
            let hollow = Hollow {
                name: spot.name.clone(),
                assumed: false,
                rim: rim.map_or(lowest, |rim| rim.min(lowest)),
                spills_at: spot.spills_at,
                spills_to: spot.spills_to.clone(),
                known_to: highest,
            };
            // below the grate it is full of what no grate takes
            let start = rim.unwrap_or(lowest);
            found.push(self.put(StageStorage::new(&surface, least)?, Role::Hollow(hollow), start));
        }
        Ok(found)
    }
    /// A dish round each grate that stands in no low spot.
    fn lone_inlets(&mut self) -> Result<Vec<Option<usize>>, RoutingError> {
        let site = self.site;
        let mut found = Vec::new();
        for inlet in &site.inlets {
            let spot = inlet.low_spot.as_ref();
            if spot.is_some_and(|spot| site.low_spots.iter().any(|known| &known.name == spot)) {
                found.push(None);
                continue;
            }
            let surface = curves::dish(inlet.rim, box_plan(inlet));
            let role = Role::Hollow(self.dish_of(&format!("round `{}`", inlet.name), &inlet.name, inlet.rim));
            found.push(Some(self.put(StageStorage::new(&surface, box_plan(inlet))?, role, inlet.rim)));
        }
        Ok(found)
    }
    fn dish_of(&mut self, what: &str, name: &str, rim: Level) -> Hollow {
        let slope = &catalog::default_limits().dish_slope;
        self.assumptions.push(Assumption {
            what: format!("rise of the ground {what}"),
            value: Amount::of(crate::quantity::Slope::from_ratio(slope.value)),
            why: format!("no low spot is entered for it; {}", slope.source),
        });
        Hollow {
            name: name.to_owned(),
            assumed: true,
            rim,
            spills_at: None,
            spills_to: None,
            known_to: rim + curves::DISH_DEPTH,
        }
    }
    /// A box for each grate that pipes run into, or that several leave.
    fn boxes(&mut self) -> Result<Vec<Option<usize>>, RoutingError> {
        let site = self.site;
        let mut found = Vec::new();
        for inlet in &site.inlets {
            let ways = leaving(site, &inlet.name);
            let joined = site.drains.iter().any(|drain| drain.to == inlet.name);
            if ways.is_empty() || (!joined && ways.len() < 2) {
                found.push(None);
                continue;
            }
            let lowest = ways.iter().filter_map(|(_, drain)| drain.up_invert).reduce(Level::min);
            let floor = lowest.or(inlet.outlet_invert).unwrap_or(inlet.rim - USUAL_BOX_DEPTH);
            let store = StageStorage::prism(floor.min(inlet.rim - Length::from_inch(1.0)), box_plan(inlet))?;
            let start = store.lowest();
            found.push(Some(self.put(store, Role::Box, start)));
        }
        Ok(found)
    }
    /// A joint for each solid drain that others run into: it holds what the drain below it holds, half full.
    fn joints(&mut self) -> Result<Vec<Option<usize>>, RoutingError> {
        let site = self.site;
        let mut found = Vec::new();
        for drain in &site.drains {
            let fed = site.drains.iter().any(|other| other.to == drain.name)
                || site.catchments.iter().any(|catchment| catchment.drains_to.as_deref() == Some(drain.name.as_str()))
                || site.inflows.iter().any(|inflow| inflow.drains_to.as_deref() == Some(drain.name.as_str()));
            let usable = drain.french.is_none() && fed && drain.from.is_none();
            let Some(pipe) = drain.as_pipe().filter(|_| usable) else {
                found.push(None);
                continue;
            };
            let store = StageStorage::prism(pipe.up_invert, (pipe.bore * pipe.length * 0.5).max(USUAL_BOX))?;
            let start = store.lowest();
            found.push(Some(self.put(store, Role::Box, start)));
        }
        Ok(found)
    }
    fn basin(&mut self, beside: &[(Level, Volume)]) -> Result<usize, RoutingError> {
        let site = self.site;
        // where no grate lets it out before, it comes up through the lid and stands round it
        let round_the_lid =
            basin_shows_first(site).then(|| self.dish_of("round the basin's lid", BASIN, site.basin.rim));
        let store = basin_store(site, (Volume::ZERO, Length::ZERO), beside, round_the_lid.is_some())?;
        Ok(self.put(store, Role::Basin(round_the_lid), site.basin.level(site.basin.on)))
    }
}

/// The basin as a store, so much of it taken up by what stands in it to a height.
fn basin_store(
    site: &Site,
    bodies: (Volume, Length),
    beside: &[(Level, Volume)],
    round_the_lid: bool,
) -> Result<StageStorage, RoutingError> {
    let plan = site.basin.plan.area();
    let mut surface = curves::basin(site, bodies, beside);
    if round_the_lid {
        surface = curves::under_dish(surface, site.basin.rim, plan);
    }
    StageStorage::new(&surface, plan * LEAST_SHARE)
}

/// A pump never takes up more than so much of the basin's plan.
const LEAST_SHARE: f64 = 0.1;

/// The inside plan of a catch basin: as entered, a square with the edge of its grate, or a foot square.
fn box_plan(inlet: &Inlet) -> Area {
    let by_grate = || {
        let side = inlet.grate?.perimeter / 4.0;
        Some(side * side)
    };
    inlet.plan.or_else(by_grate).filter(|plan| *plan > Area::from_in2(1.0)).unwrap_or(USUAL_BOX)
}

/// The drains that leave a grate's box.
fn leaving<'s>(site: &'s Site, inlet: &str) -> Vec<(usize, &'s Drain)> {
    site.drains.iter().enumerate().filter(|(_, drain)| drain.from.as_deref() == Some(inlet)).collect()
}

/// A drain as a pipe that runs full, where enough of it is known.
fn full_pipe(drain: &Drain) -> Result<Option<FullPipe>, RoutingError> {
    let Some(pipe) = drain.as_pipe().filter(|pipe| pipe.length > Length::ZERO) else { return Ok(None) };
    FullPipe::new(pipe.bore, pipe.length, pipe.manning_n, pipe.up_invert, pipe.down_invert).map(Some)
}

/// The ways out of a hollow through one of its grates, and on.
fn ways_of_inlet(site: &Site, places: &Places<'_>, index: usize, inlet: &Inlet) -> Result<Vec<Path>, RoutingError> {
    let from = places.pool(index);
    let grate = inlet.grate.unwrap_or(WIDE_OPEN);
    let way = |to: usize, pipes: Vec<FullPipe>| Path {
        from,
        to: Some(to),
        kind: PathKind::Grate { rim: inlet.rim, grate, pipes },
    };
    let ways = leaving(site, &inlet.name);
    let mut found = Vec::new();
    if let Some(inside) = places.boxes.get(index).copied().flatten() {
        found.push(way(inside, Vec::new()));
        for (_, drain) in ways {
            let to = places.end(drain);
            let kind = match full_pipe(drain)? {
                Some(pipe) => PathKind::Pipe(pipe),
                // of a pipe that is not known enough nothing is asked
                None => PathKind::Grate { rim: places.floor_of(index), grate: WIDE_OPEN, pipes: Vec::new() },
            };
            found.push(Path { from: inside, to: Some(to), kind });
        }
        return Ok(found);
    }
    match ways.as_slice() {
        // a grate without a drain is the basin's own lid
        [] => found.push(way(places.basin, Vec::new())),
        [(_, drain), ..] => found.push(way(places.end(drain), full_pipe(drain)?.into_iter().collect())),
    }
    Ok(found)
}

/// Groundwater: what follows the levels, and what comes whatever they are.
fn groundwater(site: &Site, ground: &GroundwaterResult, places: &Places<'_>) -> (Vec<Seep>, Vec<(usize, Flow)>) {
    let (by_drain, rest) = ground.by_drain(site);
    let off = site.basin.level(site.basin.off);
    let mut parts: Vec<(usize, Flow, Level)> = site
        .drains
        .iter()
        .enumerate()
        .zip(by_drain)
        .map(|((index, drain), flow)| {
            let held = ground.seeps.get(index).and_then(Option::as_ref).map(|seep| seep.held);
            let from = held.or(drain.middle_invert()).unwrap_or(off);
            (places.store(Some(&drain.name)), flow, from)
        })
        .collect();
    parts.push((places.basin, rest, off));
    let (mut seeps, mut steady) = (Vec::new(), Vec::new());
    for (store, flow, from) in parts.into_iter().filter(|(_, flow, _)| *flow > Flow::ZERO) {
        match site.groundwater.seasonal_high.map(|table| table - from).filter(|head| *head >= LEAST_HEAD) {
            Some(head) => seeps.push(Seep { store, per_metre: flow.m3s() / head.m(), from }),
            None => steady.push((store, flow)),
        }
    }
    (seeps, steady)
}

/// Groundwater that stands no higher than this above the drain is taken as coming whatever the levels are.
const LEAST_HEAD: Length = Length::from_inch(0.5);

/// The pumps on the site's basin.
#[derive(Clone, Debug)]
pub(crate) struct Pumps {
    /// What each combination leaves for good.
    pub(crate) first: Rating,
    pub(crate) second: Rating,
    pub(crate) both: Rating,
    /// Whether a second one joins.
    pub(crate) joins: bool,
}

impl Pumps {
    /// As a station of a site's network.
    pub(crate) fn station(&self, site: &Site, basin: usize, drain_back: Volume) -> Station {
        let level = |height: Length| site.basin.level(height);
        let lag = site
            .pumping
            .lag_on
            .filter(|_| self.joins)
            .map(|on| Floats { on: level(on), off: level(site.pumping.lag_off.unwrap_or(site.basin.off)) });
        Station {
            store: basin,
            lead: Floats { on: level(site.basin.on), off: level(site.basin.off) },
            lag,
            first: self.first.clone(),
            second: self.second.clone(),
            both: self.both.clone(),
            drain_back,
        }
    }
}

/// Whether a name is the basin's.
pub(super) fn is_basin(name: &str) -> bool {
    name == BASIN
}
