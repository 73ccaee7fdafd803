//! One store with its pumps, followed in time.

use super::hydrology::told;
use super::{Entry, amount, known};
use crate::given::{Given, quantity};
use sumpwright::basin::Plan;
use sumpwright::collection::trench::Trench;
use sumpwright::quantity::{Area, Duration, Flow, Length, Level, Volume};
use sumpwright::routing::{
    BROAD_CREST, Change, Floats, Follower, Forcing, Highest, Mark, Path, PathKind, Rating, Router, Seen, StageStorage,
    Station, Switch, System, Timeline, Totals, Watch,
};
use toml::Value;

pub(super) const TABLE: &[Entry] = &[
    ("stored_volume", |g| {
        let store = surface(g)?;
        let dead = g.maybe("dead_below").map(height).transpose()?.map_or(Volume::ZERO, |top| store.volume_at(top));
        amount(store.volume_at(level(g, "depth")?) - dead)
    }),
    ("depth_of_volume", |g| amount(surface(g)?.level_at(g.get("volume")?) - FLOOR)),
    ("trench_height_volume", |g| amount(trench(g)?.holds_per_depth() * g.get::<Length>("height")?)),
    ("pump_start", |g| known(followed(g)?.switched(g, true)?)),
    ("pump_stop", |g| known(followed(g)?.switched(g, false)?)),
    ("one_run", |g| {
        let followed = followed(g)?;
        known(followed.switched(g, false)?.zip(followed.switched(g, true)?).map(|(stop, start)| stop - start))
    }),
    ("pump_starts", |g| {
        let totals = followed(g)?.totals;
        amount(if is_lag(g)? { totals.lag_starts } else { totals.lead_starts } as f64)
    }),
    ("time_running", |g| {
        let totals = followed(g)?.totals;
        amount(Duration::from_s(if is_lag(g)? { totals.lag_s } else { totals.lead_s }))
    }),
    ("pumped_volume", |g| amount(Volume::from_m3(followed(g)?.totals.pumped_m3))),
    ("spilled_volume", |g| amount(Volume::from_m3(followed(g)?.totals.paths_m3.iter().sum()))),
    ("level_at_end", |g| amount(followed(g)?.level - from(g)?)),
    ("highest_level", |g| amount(followed(g)?.highest_level - from(g)?)),
    ("greatest_volume", |g| amount(Volume::from_m3(followed(g)?.highest.volume_m3))),
    ("greatest_volume_over", |g| {
        let followed = followed(g)?;
        amount(Volume::from_m3(followed.highest.volume_m3) - followed.store.volume_at(from(g)?))
    }),
    ("time_of_highest", |g| amount(Duration::from_s(followed(g)?.highest.at_s))),
    ("above_from", |g| known(followed(g)?.seen.first_s.map(Duration::from_s))),
    ("above_for", |g| {
        let followed = followed(g)?;
        amount(Duration::from_s(followed.seen.above_until(followed.end_s)))
    }),
    ("volume_unaccounted", |g| amount(Volume::from_m3(followed(g)?.imbalance_m3))),
    ("outflow_at_end", |g| {
        let followed = followed(g)?;
        amount(followed.lead.flow(followed.level))
    }),
    ("greatest_outflow", |g| {
        let followed = followed(g)?;
        amount(followed.lead.flow(followed.highest_level))
    }),
];

/// Heights are entered above the floor of the store.
const FLOOR: Level = Level::ZERO;
/// A level this close is exact to the digits of a case.
const TOLERANCE_M: f64 = 1e-8;
/// An outflow that bends from depth to depth is entered in so many pieces.
const PIECES: u32 = 2100;

fn height(value: &Value) -> Result<Level, String> {
    Ok(FLOOR + quantity::<Length>(value)?)
}

fn level(g: &Given<'_>, key: &str) -> Result<Level, String> {
    Ok(FLOOR + g.get::<Length>(key)?)
}

/// What a level is told above: the floor where nothing is said.
fn from(g: &Given<'_>) -> Result<Level, String> {
    g.maybe("over").map_or(Ok(FLOOR), height)
}

/// A table of a depth, over `zero`, and a water surface.
fn surface_rows(g: &Given<'_>, key: &str, zero: Level) -> Result<Vec<(Level, Area)>, String> {
    let point = |row: &[Value]| match row {
        [depth, area] => Ok((zero + quantity::<Length>(depth)?, quantity(area)?)),
        _ => Err(format!("{key}: a row needs a depth and a surface")),
    };
    g.rows(key)?.into_iter().map(point).collect()
}

fn surface(g: &Given<'_>) -> Result<StageStorage, String> {
    StageStorage::new(&surface_rows(g, "surface_at_depth", FLOOR)?, Area::from_m2(LEAST_M2)).map_err(told)
}

/// The least water surface: a film that no case notices.
const LEAST_M2: f64 = 1e-9;

/// Stone alone, without a pipe.
fn trench(g: &Given<'_>) -> Result<Trench, String> {
    Ok(Trench {
        length: g.get("trench_length")?,
        width: g.get("trench_width")?,
        stone_depth: g.get("stone_depth")?,
        porosity: g.number("porosity")?,
        pipe_bore: Length::ZERO,
        pipe_outside: Length::ZERO,
    })
}

/// A depth, what is stored up to it and what runs out at it.
type StoredRow = (Length, Volume, Flow);

fn stored_rows(g: &Given<'_>) -> Result<Option<Vec<StoredRow>>, String> {
    let key = "storage_and_outflow_at_depth";
    if g.maybe(key).is_none() {
        return Ok(None);
    }
    let point = |row: &[Value]| match row {
        [depth, stored, out] => Ok((quantity(depth)?, quantity(stored)?, quantity(out)?)),
        _ => Err(format!("{key}: a row needs a depth, a volume and a flow")),
    };
    g.rows(key)?.into_iter().map(point).collect::<Result<_, String>>().map(Some)
}

/// A round basin, with a low spot over its rim, a trench beside it or neither; or a table of volumes.
fn store(g: &Given<'_>, stored: Option<&[StoredRow]>) -> Result<StageStorage, String> {
    if let Some(rows) = stored {
        // a volume straight from depth to depth is one area between the two
        let steps = rows.iter().zip(rows.iter().skip(1)).flat_map(|(low, high)| {
            let area = (high.1 - low.1) / (high.0 - low.0);
            [(FLOOR + low.0, area), (FLOOR + high.0, area)]
        });
        return StageStorage::new(&steps.collect::<Vec<_>>(), Area::from_m2(LEAST_M2)).map_err(told);
    }
    let plan = Plan::Round(g.get("diameter")?).area();
    if g.maybe("low_spot_over_rim").is_some() {
        let rim = level(g, "rim")?;
        let mut rows = vec![(FLOOR, plan), (rim, plan)];
        rows.extend(surface_rows(g, "low_spot_over_rim", rim)?);
        return StageStorage::new(&rows, Area::from_m2(LEAST_M2)).map_err(told);
    }
    let alone = StageStorage::prism(FLOOR, plan).map_err(told)?;
    if g.maybe("trench_bottom").is_none() {
        return Ok(alone);
    }
    let (trench, bottom) = (trench(g)?, level(g, "trench_bottom")?);
    alone.widened(bottom, bottom + trench.stone_depth, trench.holds_per_depth()).map_err(told)
}

/// What the first pump brings: one flow, one that runs straight between its floats, or an outflow by depth; nothing
/// where there is no pump.
fn lead_rating(g: &Given<'_>, stored: Option<&[StoredRow]>) -> Result<Option<Rating>, String> {
    if let Some(rows) = stored {
        let deepest = rows.last().map_or(Length::ZERO, |row| row.0);
        let at = |depth: Length| {
            let pair = rows.iter().zip(rows.iter().skip(1)).find(|(_, high)| depth <= high.0);
            pair.map_or_else(
                || rows.last().map_or(Flow::ZERO, |row| row.2),
                |(low, high)| low.2 + (high.2 - low.2) * ((depth - low.0) / (high.0 - low.0)),
            )
        };
        let flows: Vec<Flow> = (0..=PIECES).map(|piece| at(deepest * (f64::from(piece) / f64::from(PIECES)))).collect();
        return Rating::new(FLOOR, FLOOR + deepest, &flows).map(Some).map_err(told);
    }
    if g.maybe("pump_flow_at_on").is_some() {
        let flows = [g.get("pump_flow_at_off")?, g.get("pump_flow_at_on")?];
        return Rating::new(level(g, "off")?, level(g, "on")?, &flows).map(Some).map_err(told);
    }
    g.maybe("pump_flow").map(|flow| quantity(flow).map(Rating::constant)).transpose()
}

fn station(g: &Given<'_>, stored: Option<&[StoredRow]>) -> Result<Option<Station>, String> {
    let Some(lead) = lead_rating(g, stored)? else { return Ok(None) };
    let floats = |on: &str, off: &str| Ok::<_, String>(Floats { on: level(g, on)?, off: level(g, off)? });
    let (lag, both) = match g.maybe("flow_of_both") {
        Some(flow) => (Some(floats("lag_on", "lag_off")?), Rating::constant(quantity(flow)?)),
        None => (None, lead.clone()),
    };
    // an outlet always runs
    let always = Floats { on: FLOOR + Length::from_m(TOLERANCE_M), off: FLOOR - Length::from_m(1.0) };
    Ok(Some(Station {
        store: 0,
        lead: if stored.is_some() { always } else { floats("on", "off")? },
        lag,
        second: lead.clone(),
        first: lead,
        both,
        drain_back: g.maybe("drain_back").map_or(Ok(Volume::ZERO), quantity)?,
    }))
}

/// An edge over which the water leaves for good.
fn edge(g: &Given<'_>) -> Result<Vec<Path>, String> {
    let Some(edge) = g.maybe("edge") else { return Ok(Vec::new()) };
    let kind = PathKind::Crest { level: height(edge)?, width: g.get("edge_width")?, coefficient: BROAD_CREST };
    Ok(vec![Path { from: 0, to: None, kind }])
}

/// One steady inflow, or one straight from time to time that ends as it began.
fn timeline(g: &Given<'_>) -> Result<Timeline, String> {
    let steady = |flow: Flow| Forcing { inflow: vec![(flow.m3s(), 0.0)], table: Vec::new() };
    if g.maybe("inflow_in_time").is_none() {
        return Ok(Timeline::new(steady(g.get("inflow")?), Vec::new()));
    }
    let point = |row: &[Value]| match row {
        [time, flow] => Ok((quantity(time)?, quantity(flow)?)),
        _ => Err("a row needs a time and a flow".to_owned()),
    };
    let points: Vec<(Duration, Flow)> = g.rows("inflow_in_time")?.into_iter().map(point).collect::<Result<_, _>>()?;
    let (Some(first), Some(last)) = (points.first(), points.last()) else { return Err("no inflow".to_owned()) };
    if first.0 != Duration::ZERO || first.1 != last.1 {
        return Err("the inflow begins at no time and ends as it began".to_owned());
    }
    let mut changes = Vec::new();
    let mut slope = 0.0;
    for (begin, end) in points.iter().zip(points.iter().skip(1)) {
        let next = (end.1 - begin.1).m3s() / (end.0 - begin.0).s();
        changes.push((begin.0.s(), Change::Ramp { store: 0, by: next - slope }));
        slope = next;
    }
    changes.push((last.0.s(), Change::Ramp { store: 0, by: -slope }));
    Ok(Timeline::new(steady(first.1), changes))
}

#[derive(Default)]
struct Switches(Vec<Switch>);
impl Watch for Switches {
    fn switched(&mut self, switch: Switch) {
        self.0.push(switch);
    }
}

/// What came of following a store.
struct Followed {
    store: StageStorage,
    lead: Rating,
    level: Level,
    highest: Highest,
    highest_level: Level,
    totals: Totals,
    seen: Seen,
    imbalance_m3: f64,
    end_s: f64,
    switches: Vec<Switch>,
}

impl Followed {
    /// When a pump started or stopped for the time of a number, the first where none is said.
    fn switched(&self, g: &Given<'_>, on: bool) -> Result<Option<Duration>, String> {
        let pump = if is_lag(g)? { 2 } else { 1 };
        let number = g.maybe("number").map_or(Ok(1.0), |_| g.number("number"))?;
        let of = self.switches.iter().filter(|switch| switch.pump == pump && switch.on == on);
        let numbered = of.zip(1_u32..).find(|(_, count)| f64::from(*count) >= number);
        Ok(numbered.map(|(switch, _)| Duration::from_s(switch.at_s)))
    }
}

/// Whether the second pump is asked for.
fn is_lag(g: &Given<'_>) -> Result<bool, String> {
    match g.maybe("pump").map_or(Ok("lead"), |_| g.text("pump"))? {
        "lead" => Ok(false),
        "lag" => Ok(true),
        other => Err(format!("there is no pump {other}")),
    }
}

fn followed(g: &Given<'_>) -> Result<Followed, String> {
    let stored = stored_rows(g)?;
    let store = store(g, stored.as_deref())?;
    let station = station(g, stored.as_deref())?;
    let lead = station.as_ref().map_or_else(|| Rating::constant(Flow::ZERO), |station| station.first.clone());
    let system = System { stores: vec![store.clone()], paths: edge(g)?, station, seeps: Vec::new() };
    let begin = if stored.is_some() { FLOOR + Length::from_m(2.0 * TOLERANCE_M) } else { level(g, "start")? };
    let watched = Mark { store: 0, level: g.maybe("watched").map_or(Ok(FLOOR), height)? };
    let timeline = timeline(g)?;
    let router = Router::new(&system, &[begin], &[watched], Length::from_m(TOLERANCE_M)).map_err(told)?;
    let mut follower = Follower::new(router, &timeline);
    let mut switches = Switches::default();
    follower.until(g.get::<Duration>("until")?.s(), &mut switches).map_err(told)?;
    let router = follower.router;
    Ok(Followed {
        level: router.level(0),
        highest: router.highest(0),
        highest_level: router.highest_level(0).0,
        totals: router.totals().clone(),
        seen: router.seen(0),
        imbalance_m3: router.imbalance_m3(),
        end_s: router.now_s(),
        switches: switches.0,
        store,
        lead,
    })
}
