//! The storm that takes the power with it: when water stands, how deep, where it goes, how long a battery lasts.

use super::inflow::Coming;
use super::outcome::{HollowOutcome, StormOutcome, Yard};
use crate::quantity::{Duration, Length, Level, Power, Volume};
use crate::routing::{Follower, RoutingError, Stretch, Switch, Unwatched, Watch};
use crate::site::BASIN;

/// The power cut in the middle of the storm.
#[derive(Clone, Debug, PartialEq)]
pub struct PowerCut {
    /// The moment that leaves the least time, from the start of the rain.
    pub cut_at: Duration,
    /// Whether water stands deeper than a film with power too: then no moment says anything of the power.
    pub stands_anyway: bool,
    /// How long until water stands then; none where it never does, or would anyway.
    pub stands_after: Option<Duration>,
    /// How long after a cut it reaches each protected place, the cut at the moment that is worst for it: name, level,
    /// time; none where it never does, or has with power before any cut.
    pub protected: Vec<(String, Level, Option<Duration>)>,
    /// The storm with no power from its start.
    pub all_storm: StormOutcome,
    /// What a battery does, where there is one.
    pub battery: Option<BatteryOutcome>,
}

/// The storm on a battery, the power gone from its start.
#[derive(Clone, Debug, PartialEq)]
pub struct BatteryOutcome {
    /// How long the pump could run without stopping.
    pub without_stopping: Duration,
    /// How long it runs in the storm if nothing stops it.
    pub needed: Duration,
    /// When the battery is flat, from the start of the rain; none where it lasts.
    pub flat_at: Option<Duration>,
    /// What the storm then does.
    pub outcome: StormOutcome,
}

/// Moments at which the power may go.
const MOMENTS: usize = 6;

/// When the first pump starts, and what all stores hold together on the way.
#[derive(Default)]
struct Seen {
    stores: usize,
    starts: Vec<f64>,
    held: Vec<(f64, f64)>,
}
impl Watch for Seen {
    fn stretch(&mut self, stretch: &Stretch<'_>) {
        for at_s in [stretch.from_s, stretch.until_s] {
            let held = (0..self.stores).map(|store| stretch.volume_m3(store, at_s)).sum();
            self.held.push((at_s, held));
        }
    }
    fn switched(&mut self, switch: Switch) {
        if switch.pump == 1 && switch.on {
            self.starts.push(switch.at_s);
        }
    }
}
impl Seen {
    fn of(yard: &Yard<'_>) -> Self {
        Self { stores: yard.system.stores.len(), ..Self::default() }
    }
    /// What the stores held at a time.
    fn held_at(&self, at_s: f64) -> Option<f64> {
        between(&self.held, at_s)
    }
}

/// The value at a place among pairs in order, straight between them; the nearest beyond their ends.
fn between(pairs: &[(f64, f64)], at: f64) -> Option<f64> {
    let next = pairs.partition_point(|(x, _)| *x <= at);
    match (next.checked_sub(1).and_then(|last| pairs.get(last)), pairs.get(next)) {
        (Some((x0, y0)), Some((x1, y1))) => Some(y0 + (y1 - y0) * (at - x0) / (x1 - x0)),
        (Some((_, y)), None) | (None, Some((_, y))) => Some(*y),
        (None, None) => None,
    }
}

/// The power cut at the worst moment.
///
/// # Errors
/// The water could not be followed.
pub(super) fn power_cut(yard: &Yard<'_>, coming: &Coming, power: Option<Power>) -> Result<PowerCut, RoutingError> {
    let mut lit = Seen::of(yard);
    let with_power = yard.finish(yard.start(coming)?, coming, &mut lit)?;
    let places = yard.site.protected.len();
    let stands_anyway = with_power.stands() > Duration::ZERO;
    let mut dark = yard.start(coming)?;
    dark.router.power(false, &mut Unwatched);
    let mut unlit = Seen::of(yard);
    let all_storm = yard.finish(dark, coming, &mut unlit)?;
    // what the whole storm without power does not reach, no cut in the middle of it does
    let worth_trying = !stands_anyway && all_storm.stands() > Duration::ZERO
        || all_storm.protected.iter().zip(&with_power.protected).any(|(dark, lit)| dark.2.is_some() && lit.2.is_none());
    // what is looked for: that water stands, and each place
    let film = Some(None).filter(|_| !stands_anyway);
    let levels: Vec<Option<usize>> = film.into_iter().chain((0..places).map(Some)).collect();
    let worst = if worth_trying {
        let times = |level: &Option<usize>| match level {
            None => (all_storm.hollows.iter().filter_map(|hollow| hollow.stands_from).reduce(Duration::min), None),
            Some(place) => {
                let reached = |storm: &StormOutcome| storm.protected.get(*place).and_then(|reached| reached.2);
                (reached(&all_storm), reached(&with_power))
            }
        };
        let moments = moments(coming, (&lit, &unlit), levels.iter().map(times));
        worst_cuts(yard, coming, &moments, &levels)?
    } else {
        vec![None; levels.len()]
    };
    let of = |wanted: Option<usize>| {
        levels.iter().zip(&worst).find(|(level, _)| **level == wanted).and_then(|(_, worst)| *worst)
    };
    let stands = of(None);
    Ok(PowerCut {
        cut_at: Duration::from_s(stands.map_or(0.0, |(at_s, _)| at_s)),
        stands_anyway,
        stands_after: stands.map(|(_, after)| Duration::from_s(after)),
        protected: (0..)
            .zip(&yard.site.protected)
            .map(|(index, place)| {
                let after = of(Some(index)).map(|(_, after)| Duration::from_s(after));
                (place.name.clone(), place.level, after)
            })
            .collect(),
        all_storm,
        battery: battery(yard, coming, power, &with_power)?,
    })
}

/// A cut that was tried: when, the lit yard there, and of each level how long until water comes to it, if it does, and
/// whether it had before.
struct Cut<'y> {
    at_s: f64,
    lit: Follower<'y>,
    after: Vec<Option<f64>>,
    already: Vec<bool>,
}

impl<'y> Cut<'y> {
    fn tried(
        yard: &Yard<'_>,
        coming: &Coming,
        levels: &[Option<usize>],
        lit: Follower<'y>,
    ) -> Result<Self, RoutingError> {
        let come = |follower: &Follower<'_>, level: &Option<usize>| match level {
            None => yard.first_stood_s(&follower.router),
            Some(place) => yard.reached_s(&follower.router, *place),
        };
        let at_s = lit.router.now_s();
        let mut dark = lit.clone();
        dark.router.power(false, &mut Unwatched);
        let already: Vec<bool> = levels.iter().map(|level| come(&dark, level).is_some()).collect();
        dark.until(coming.timeline.last_ramp_s(), &mut Unwatched)?;
        let after = |(level, already): (&Option<usize>, &bool)| {
            if *already { None } else { come(&dark, level).map(|found| found - at_s) }
        };
        let after = levels.iter().zip(&already).map(after).collect();
        Ok(Self { at_s, lit, after, already })
    }
}

/// Of each level the cut that leaves the least time, and how much; none where no cut brings water to it.
fn worst_cuts(
    yard: &Yard<'_>,
    coming: &Coming,
    moments: &[f64],
    levels: &[Option<usize>],
) -> Result<Vec<Option<(f64, f64)>>, RoutingError> {
    let mut follower = yard.start(coming)?;
    let mut tried: Vec<Cut<'_>> = Vec::with_capacity(moments.len());
    for at_s in moments {
        follower.until(*at_s, &mut Unwatched)?;
        tried.push(Cut::tried(yard, coming, levels, follower.clone())?);
    }
    let mut worst = Vec::with_capacity(levels.len());
    for level in 0..levels.len() {
        let after = |cut: &Cut<'_>| Some((cut.at_s, cut.after.get(level).copied().flatten()?));
        let mut found: Vec<(f64, f64)> = tried.iter().filter_map(after).collect();
        // where only the peak brings water so high, the worst is the last cut after which the yard is full by then
        let last = tried.iter().rposition(|cut| after(cut).is_some());
        let next = last.and_then(|last| tried.get(last + 1)).filter(|next| next.already.get(level) == Some(&false));
        if let (Some(last), Some(next)) = (last.and_then(|last| tried.get(last)), next) {
            let (mut lit, mut until_s) = (last.lit.clone(), next.at_s);
            while until_s - lit.router.now_s() > STEP_S {
                let mut half_way = lit.clone();
                half_way.until(f64::midpoint(lit.router.now_s(), until_s), &mut Unwatched)?;
                let cut = Cut::tried(yard, coming, levels, half_way)?;
                match after(&cut) {
                    Some(reached) => {
                        found.push(reached);
                        lit = cut.lit;
                    }
                    None => until_s = cut.at_s,
                }
            }
        }
        worst.push(found.into_iter().reduce(|one, other| if other.1 < one.1 { other } else { one }));
    }
    Ok(worst)
}

/// How often it is looked whether the dark yard is at rest.
const DARK_LOOK_S: f64 = 600.0;

/// When the power may go: just before the pump starts, when the basin is fullest, round the peak of the storm, at its
/// beginning, and where by what comes and what is held the least time is left to each level, given by when the dark yard
/// comes to it and when the lit one does.
fn moments(
    coming: &Coming,
    (lit, unlit): (&Seen, &Seen),
    levels: impl Iterator<Item = (Option<Duration>, Option<Duration>)>,
) -> Vec<f64> {
    let (peak_at, _) = coming.runoff.peak();
    let peak_s = peak_at.s();
    let mut starts = lit.starts.clone();
    starts.sort_by(|one, other| (one - peak_s).abs().total_cmp(&(other - peak_s).abs()));
    starts.truncate(MOMENTS);
    let burst_s = coming.blocks.iter().map(|block| block.duration.s()).fold(f64::INFINITY, f64::min).min(peak_s);
    starts.extend([
        0.0,
        (peak_s - 2.0 * burst_s).max(0.0),
        (peak_s - burst_s).max(0.0),
        (peak_s - 0.5 * burst_s).max(0.0),
    ]);
    let last_s = coming.timeline.last_ramp_s();
    for (dark, reached) in levels {
        let Some(holds) = dark.and_then(|dark| unlit.held_at(dark.s())) else { continue };
        let until_s = reached.map_or(last_s, Duration::s).min(last_s);
        let shortest = shortest_by_volume(coming, lit, holds, until_s);
        for (rank, at_s) in shortest.into_iter().enumerate() {
            // where the way in holds some of it back, the worst moment lies somewhat beside
            let beside: &[f64] = if rank == 0 { &BESIDE_S } else { &[0.0] };
            starts.extend(beside.iter().map(|by_s| (at_s + by_s).clamp(0.0, until_s)));
        }
    }
    starts.sort_by(f64::total_cmp);
    starts.dedup();
    starts
}

/// A moment is looked for in steps of so much.
const STEP_S: f64 = 30.0;
/// Two moments nearer to each other count as one.
const APART_S: f64 = 1200.0;
/// So many moments are followed for a level.
const BEST: usize = 3;
/// How far beside the best it is tried too.
const BESIDE_S: [f64; 7] = [-480.0, -180.0, -60.0, 0.0, 60.0, 180.0, 480.0];

/// The moments of a cut after which what comes fills all stores up to what they hold at a level in the least time: the
/// best, and the best of others well apart from it.
fn shortest_by_volume(coming: &Coming, lit: &Seen, holds: f64, until_s: f64) -> Vec<f64> {
    let last_s = coming.timeline.last_ramp_s();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a time of some days over half a minute"
    )]
    let steps = (last_s / STEP_S).min(20_000.0) as u32;
    let mut times: Vec<f64> =
        (0..=steps).map(|step| f64::from(step) * STEP_S).chain(lit.starts.iter().copied()).collect();
    times.push(last_s);
    times.retain(|at_s| *at_s <= last_s);
    times.sort_by(f64::total_cmp);
    let brought = coming.timeline.brought_m3(&times);
    // what has come by the time that the level is reached
    let come: Vec<(f64, f64)> = brought.iter().copied().zip(times.iter().copied()).collect();
    let mut found: Vec<(f64, f64)> = times
        .iter()
        .zip(&brought)
        .take_while(|(at_s, _)| **at_s <= until_s)
        .filter_map(|(at_s, brought)| {
            let wanted = brought + holds - lit.held_at(*at_s)?;
            let reached_s = if come.last()?.0 < wanted { None } else { between(&come, wanted) };
            Some((reached_s? - at_s, *at_s))
        })
        .collect();
    found.sort_by(|one, other| one.0.total_cmp(&other.0));
    let mut best: Vec<f64> = Vec::new();
    for (_, at_s) in found {
        if best.len() == BEST {
            break;
        }
        if best.iter().all(|known| (known - at_s).abs() >= APART_S) {
            best.push(at_s);
        }
    }
    best
}

#[derive(Clone, Copy)]
struct RunTime {
    /// All in seconds.
    allowed: f64,
    ran: f64,
    on_since: Option<f64>,
    flat_at: Option<f64>,
}
impl Watch for RunTime {
    fn switched(&mut self, switch: Switch) {
        if switch.pump != 1 || self.flat_at.is_some() {
            return;
        }
        if switch.on {
            self.on_since = Some(switch.at_s);
        } else if let Some(since_s) = self.on_since.take() {
            self.add(since_s, switch.at_s);
        }
    }
}
impl RunTime {
    fn add(&mut self, since_s: f64, until_s: f64) {
        if self.ran + (until_s - since_s) >= self.allowed {
            self.flat_at = self.flat_at.or(Some(since_s + (self.allowed - self.ran)));
        }
        self.ran += until_s - since_s;
    }
}

/// So long before the battery is flat it is looked how much is left of it.
const SHORTLY_S: f64 = 5.0;

fn battery(
    yard: &Yard<'_>,
    coming: &Coming,
    power: Option<Power>,
    with_power: &StormOutcome,
) -> Result<Option<BatteryOutcome>, RoutingError> {
    let (Some(battery), Some(power)) = (yard.site.battery, power.filter(|power| power.w() > 0.0)) else {
        return Ok(None);
    };
    let allowed_s = battery.energy_j() / power.w();
    // a second pump is none of the battery's
    let mut alone = yard.clone();
    if let Some(station) = &mut alone.system.station {
        station.lag = None;
    }
    let mut run = RunTime { allowed: allowed_s, ran: 0.0, on_since: None, flat_at: None };
    let whole = if alone.system == yard.system { None } else { Some(alone.follow(coming)?) };
    let mut follower = alone.start(coming)?;
    follower.until_rest(Yard::latest_s(coming), DARK_LOOK_S, &mut run)?;
    if let Some(since_s) = run.on_since {
        run.add(since_s, follower.router.now_s());
    }
    let needed = whole.as_ref().unwrap_or(with_power).runs;
    let outcome = match run.flat_at {
        None => whole.unwrap_or_else(|| with_power.clone()),
        Some(flat_s) => {
            let mut follower = alone.start(coming)?;
            // shortly before, and then for what is left: two runs tell the same moment only to the error of their steps
            follower.until((flat_s - SHORTLY_S).max(0.0), &mut Unwatched)?;
            let left_s = allowed_s - follower.router.totals().lead_s;
            let runs_on = follower.router.running().lead && left_s > 0.0;
            follower.until(if runs_on { follower.router.now_s() + left_s } else { flat_s }, &mut Unwatched)?;
            follower.router.power(false, &mut Unwatched);
            alone.finish(follower, coming, &mut Unwatched)?
        }
    };
    Ok(Some(BatteryOutcome {
        without_stopping: Duration::from_s(allowed_s),
        needed,
        flat_at: run.flat_at.map(Duration::from_s),
        outcome,
    }))
}

impl PowerCut {
    /// What runs over the edge of the yard with no power, and from where: hollow, where to, how much.
    pub fn leaves_by(&self) -> Option<(&str, Option<&str>, Volume)> {
        let hollow = self.all_storm.hollows.iter().find(|hollow| hollow.spilled > Volume::ZERO)?;
        Some((&hollow.name, hollow.spills_to.as_deref(), hollow.spilled))
    }
    /// The basin's own lid, where water wells out of it with no power.
    pub fn wells_out(&self) -> Option<&HollowOutcome> {
        self.all_storm.hollows.iter().find(|hollow| hollow.name == BASIN && hollow.deepest > Length::ZERO)
    }
    /// Whether an edge was entered over which water could run off.
    pub fn edge_entered(&self) -> bool {
        self.all_storm.hollows.iter().any(|hollow| hollow.spills_at.is_some())
    }
}
