//! What the basin makes of a pump: its cycle, how long the room lasts, what would be enough.

use super::bench::Bench;
use super::runoff::{StormResult, steady_up_to};
use crate::basin::cycle::{CYCLE_SOURCE, Cycle, live_volume_for, run_time, shortest_cycle, worst_inflow};
use crate::basin::{displaced_between, height_for_volume, stored_between, usual_pump_volume};
use crate::hydraulics::{DrainBack, drain_back};
use crate::pump_selection::{DutyPoint, Pump};
use crate::quantity::{Area, Duration, Flow, Length, Level, Measure, Volume};
use crate::site::{Inlet, Site};
use crate::working::Working;

/// How the pump cycles.
#[derive(Clone, Debug, PartialEq)]
pub struct CycleResult {
    /// The pump's own volume.
    pub pump_volume: Volume,
    /// Whether that was chosen for want of an entry.
    pub pump_volume_assumed: bool,
    /// Water between the floats.
    pub live: Volume,
    /// What the line holds and lets go.
    pub drain_back: DrainBack,
    /// What runs back at each stop as the line is built.
    pub runs_back: Volume,
    /// How far that lifts the water in the basin.
    pub rise: Length,
    /// How far the water in the line would lift it if no valve held it, or the valve stuck.
    pub rise_without_valve: Length,
    /// Whether that alone would start the pump again.
    pub restarts_without_valve: bool,
    /// Flow that leaves for good, at the half-way level.
    pub leaves: Flow,
    /// A run with no inflow.
    pub shortest_run: Duration,
    /// The inflow with the most starts; none when the pump restarts itself.
    pub worst_inflow: Option<Flow>,
    /// The cycle then.
    pub shortest_cycle: Option<Duration>,
    /// Starts in an hour then.
    pub worst_starts: f64,
    /// How many pumps share the starts by taking turns.
    pub turns: f64,
    /// The cycle at the storm's peak inflow.
    pub at_peak: Cycle,
    /// The steady inflow that reaches the on level.
    pub steady: Flow,
    /// The cycle at that inflow.
    pub at_steady: Cycle,
    /// The most starts allowed, and where that comes from.
    pub starts_limit: (f64, String),
    /// The shortest run allowed, and where that comes from.
    pub run_limit: (Duration, String),
    /// The live volume that would meet both limits, and how it can be had; none where the pump was looked at for a storm
    /// alone.
    pub enough: Option<(Volume, Enough)>,
    /// The same if a check valve were put in; none where there is one.
    pub with_valve: Option<(Volume, Enough)>,
}

impl CycleResult {
    /// Starts of each pump in an hour at the worst.
    pub fn worst_starts_each(&self) -> f64 {
        self.worst_starts / self.turns
    }
}

/// How a live volume can be had.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Enough {
    /// With the on float at this height.
    OnAt(Length),
    /// Not below the inlet and the alarm: with the on float as high as it may go, a plan area of so much.
    Wider {
        /// How high the on float may go.
        on: Length,
        /// The inside plan area that gives the volume then.
        plan: Area,
    },
}

/// How the pump cycles at the flow of a duty point; where it is judged by that, with what would cure it.
pub(super) fn cycle<W: Working>(
    bench: &Bench<'_>,
    point: &DutyPoint,
    storm: &StormResult,
    (judged, w): (bool, &mut W),
) -> Option<CycleResult> {
    let (site, pump) = (bench.site, bench.pump);
    let basin = &site.basin;
    let pump_volume = body(pump).0;
    let (bodies, tallest) = all_bodies(bench);
    w.heading("Basin and pump cycle");
    let displaced = bodies_between(bench, basin.off, basin.on);
    let plan_area = basin.plan.area();
    let plan = plan_worked(basin.plan, w);
    let (off, on) = (w.given("off", basin.off), w.given("on", basin.on));
    let body = w.given("Vp", displaced);
    let live_n = w.step(
        "V",
        "water between the floats",
        "plan area times height, less the pump",
        stored_between(plan, off, on, body),
    );
    let live = live_n.plain();
    if live <= Volume::ZERO {
        return None;
    }
    let back = drain_back(&site.discharge, basin.floor, basin.level(basin.off));
    let runs_back = bench.runs_back(&site.discharge);
    let rise = height_for_volume(plan_area, basin.off, runs_back, bodies, tallest);
    let line_flow = w.given("Q", point.line_flow);
    let returned = w.given("ret", site.discharge.outlet.returned_share);
    let leaves_n =
        w.step("Ql", "flow that leaves for good", "what returns overland is taken off", line_flow * (-returned + 1.0));
    let leaves = leaves_n.plain();
    if leaves <= Flow::ZERO {
        return None;
    }
    let none = w.given("Q0", Flow::ZERO);
    let shortest_run = w.step("t0", "run with no inflow", CYCLE_SOURCE, run_time(live_n, leaves_n, none)).plain();
    let restarts = runs_back >= live;
    let drain_time = bench.rest.drain_time.filter(|_| !restarts);
    let in_time = back_in_time(runs_back, drain_time, live, leaves);
    let back_n = w.given("Vb", in_time);
    let (worst, cycle) = if restarts {
        (None, None)
    } else {
        let worst = w.step("Qw", "inflow with the most starts", CYCLE_SOURCE, worst_inflow(live_n, back_n, leaves_n));
        let cycle = w.step("T", "shortest cycle", CYCLE_SOURCE, shortest_cycle(live_n, back_n, leaves_n));
        w.step("n", "most starts in an hour", "3600 s over the cycle", per_hour(cycle));
        (Some(worst.plain()), Some(cycle.plain()))
    };
    let starts_limit = pump.starts_per_hour.map_or_else(
        || (site.limits.most_starts_per_hour.value, site.limits.most_starts_per_hour.source.clone()),
        |starts| (starts, format!("entered for `{}`", pump.name)),
    );
    let run_limit = pump.minimum_run.map_or_else(
        || (site.limits.least_run.value, site.limits.least_run.source.clone()),
        |run| (run, format!("entered for `{}`", pump.name)),
    );
    let steady = steady_up_to(site, storm.groundwater.flow, basin.level(basin.on));
    let turns = if site.pumping.alternate { f64::from(site.pumping.count) } else { 1.0 };
    let wanted = Wanted {
        runs_back,
        drain_time,
        starts: starts_limit.0 * turns,
        run: run_limit.0,
        returned: site.discharge.outlet.returned_share,
    };
    let with_valve = (judged && site.discharge.check_valve.is_none())
        .then(|| enough(bench, &Wanted { runs_back: Volume::ZERO, ..wanted }, leaves));
    Some(CycleResult {
        pump_volume,
        pump_volume_assumed: pump.displaced.is_none(),
        live,
        runs_back,
        rise,
        rise_without_valve: height_for_volume(plan_area, basin.off, back.without_valve, bodies, tallest),
        restarts_without_valve: back.without_valve >= live,
        drain_back: back,
        leaves,
        shortest_run,
        worst_inflow: worst,
        shortest_cycle: cycle,
        worst_starts: cycle.map_or(f64::INFINITY, |cycle| Duration::from_h(1.0) / cycle),
        turns,
        at_peak: cycle_at(live, (runs_back, drain_time), leaves, storm.peak_inflow),
        steady,
        at_steady: cycle_at(live, (runs_back, drain_time), leaves, steady),
        starts_limit,
        run_limit,
        enough: judged.then(|| enough(bench, &wanted, leaves)),
        with_valve,
    })
}

/// The water between the floats beside the pumps.
pub(super) fn live_volume(bench: &Bench<'_>) -> Volume {
    let basin = &bench.site.basin;
    stored_between(basin.plan.area(), basin.off, basin.on, bodies_between(bench, basin.off, basin.on))
}

/// What a pump takes the place of between two heights, and up to its height.
fn body(pump: &Pump) -> (Volume, Length) {
    let height = pump.height.unwrap_or(Length::ZERO);
    (pump.displaced.unwrap_or_else(|| usual_pump_volume(height)), height)
}

/// What all pumps installed take the place of between two heights above the floor.
pub(super) fn bodies_between(bench: &Bench<'_>, from: Length, to: Length) -> Volume {
    std::iter::once(bench.pump)
        .chain(bench.second)
        .map(|pump| {
            let (volume, height) = body(pump);
            displaced_between(volume, height, from, to)
        })
        .sum()
}

/// All pumps installed as one body: what they take the place of, and the height of the tallest.
pub(super) fn all_bodies(bench: &Bench<'_>) -> (Volume, Length) {
    let bodies = std::iter::once(bench.pump).chain(bench.second).map(body);
    bodies.fold((Volume::ZERO, Length::ZERO), |all, one| (all.0 + one.0, all.1.max(one.1)))
}

fn plan_worked<W: Working>(plan: crate::basin::Plan, w: &mut W) -> Area<W::N> {
    match plan {
        crate::basin::Plan::Round(diameter) => {
            let diameter = w.given("Db", diameter);
            w.step("Ab", "plan area of the basin", "circle", diameter.circle())
        }
        crate::basin::Plan::Rectangular(length, width) => {
            let (length, width) = (w.given("Lb", length), w.given("Wb", width));
            w.step("Ab", "plan area of the basin", "rectangle", length * width)
        }
    }
}

fn per_hour<N: crate::quantity::Real>(cycle: Duration<N>) -> N {
    N::from(crate::quantity::factor::HOUR) / cycle.s()
}

/// The room that an alarm wants above the on level: common practice, no source.
const BELOW_ALARM: Length = Length::from_inch(2.0);

/// How high the on float may go: not above the lowest pipe that comes in, and a little below the alarm, or the place
/// where water first shows. Where there is no alarm yet, room for one is left below the pipe.
pub(super) fn highest_on(site: &Site) -> Length {
    let basin = &site.basin;
    let (shows, _) = surfaces_at(site);
    let alarm = basin.alarm.map_or(shows - basin.floor, |alarm| alarm.min(shows - basin.floor)) - BELOW_ALARM;
    let for_alarm = if basin.alarm.is_some() { Length::ZERO } else { BELOW_ALARM };
    lowest_inlet(site).map_or(alarm, |(level, _)| alarm.min(level - basin.floor - for_alarm))
}

/// What a live volume has to meet.
#[derive(Clone, Copy)]
struct Wanted {
    runs_back: Volume,
    drain_time: Option<Duration>,
    starts: f64,
    run: Duration,
    returned: f64,
}

impl Wanted {
    /// The live volume that meets it all when a flow leaves for good.
    fn live(&self, leaves: Flow) -> Volume {
        let mut for_starts = Volume::ZERO;
        if self.starts > 0.0 {
            // the longer the rest, the more comes back in it
            for _ in 0..ROUNDS {
                let back = back_in_time(self.runs_back, self.drain_time, for_starts, leaves);
                for_starts = live_volume_for(Duration::from_h(1.0 / self.starts), back, leaves);
            }
        }
        // what runs back must not take more than half of it
        for_starts.max(leaves * self.run).max(self.runs_back * 2.0)
    }
}

/// What of the drain-back comes back within the rest of the cycle with the most starts, 2 V / Q: all of it where nothing
/// slows it; through a small hole, in a share x of the time that it takes, no more than 2 x of it.
fn back_in_time(runs_back: Volume, drain_time: Option<Duration>, live: Volume, leaves: Flow) -> Volume {
    match drain_time {
        Some(_) if leaves > Flow::ZERO => back_in_rest(runs_back, drain_time, live * 2.0 / leaves),
        _ => runs_back,
    }
}

/// The same within a rest of a length.
fn back_in_rest(runs_back: Volume, drain_time: Option<Duration>, rest: Duration) -> Volume {
    match drain_time {
        Some(time) if time > Duration::ZERO => runs_back * (2.0 * (rest / time)).min(1.0),
        _ => runs_back,
    }
}

/// The cycle at an inflow, with what runs back in its own rest.
fn cycle_at(live: Volume, (runs_back, drain_time): (Volume, Option<Duration>), leaves: Flow, inflow: Flow) -> Cycle {
    let back = if inflow > Flow::ZERO { back_in_rest(runs_back, drain_time, live / inflow) } else { runs_back };
    Cycle::at(live, back, leaves, inflow)
}

/// A volume is asked for with this much to spare, so that the figure printed, rounded, still does.
const SPARE: f64 = 1.01;
/// A higher on float raises the flow a little, and that the volume: so many rounds settle it.
const ROUNDS: u32 = 12;
/// It is settled where a round moves it by no more than this.
const SETTLED: Length = Length::from_mm(1e-4);

/// The live volume that is enough, and how it can be had.
fn enough(bench: &Bench<'_>, wanted: &Wanted, leaves: Flow) -> (Volume, Enough) {
    let (site, basin) = (bench.site, &bench.site.basin);
    let (bodies, tallest) = all_bodies(bench);
    let leaves_with = |on: Length| {
        let half_way = basin.level((basin.off + on) / 2.0);
        bench.flow_on(&site.discharge, half_way).map_or(leaves, |flow| flow * (1.0 - wanted.returned))
    };
    let (mut live, mut on) = (Volume::ZERO, basin.on);
    for _ in 0..ROUNDS {
        live = wanted.live(leaves_with(on)) * SPARE;
        let before = on;
        on = basin.off + height_for_volume(basin.plan.area(), basin.off, live, bodies, tallest);
        if (on - before).abs() <= SETTLED {
            break;
        }
    }
    // a setting that is in place is not asked for its margin below the alarm
    let highest = highest_on(site).max(basin.on);
    if on <= highest {
        return (live, Enough::OnAt(on));
    }
    let live = wanted.live(leaves_with(highest)) * SPARE;
    let span = (highest - basin.off).max(Length::from_inch(1.0));
    let displaced = bodies_between(bench, basin.off, highest);
    (live, Enough::Wider { on: highest, plan: (live + displaced) / span })
}

/// The lowest pipe that comes into the basin, and its name.
pub(super) fn lowest_inlet(site: &Site) -> Option<(Level, Option<&str>)> {
    let drains = site
        .drains
        .iter()
        .filter(|drain| drain.to == "basin")
        .filter_map(|drain| Some((drain.down_invert?, Some(drain.name.as_str()))));
    site.basin
        .inlet_invert
        .map(|level| (level, None))
        .into_iter()
        .chain(drains)
        .reduce(|best, next| if next.0 < best.0 { next } else { best })
}

/// The level at which water first shows above ground: the lowest grate, or the basin's rim.
pub fn surfaces_at(site: &Site) -> (Level, String) {
    site.inlets.iter().fold((site.basin.rim, "the basin's rim".to_owned()), |lowest, inlet| {
        if inlet.rim < lowest.0 { (inlet.rim, format!("the grate `{}`", inlet.name)) } else { lowest }
    })
}

/// Whether water comes out of the basin's lid before it stands at any grate: no grate is entered, or each lies above the
/// basin's rim, or the lowest point of the low spot that it stands in does.
pub(super) fn basin_shows_first(site: &Site) -> bool {
    site.inlets.iter().all(|inlet| stands_from(site, inlet) > site.basin.rim)
}

/// The level from which water stands at a grate: its rim, or the lowest ground of its low spot where that lies higher.
pub(super) fn stands_from(site: &Site, inlet: &Inlet) -> Level {
    let spot = site.low_spots.iter().find(|spot| Some(&spot.name) == inlet.low_spot.as_ref());
    spot.and_then(|spot| spot.surface.first()).map_or(inlet.rim, |(lowest, _)| lowest.max(inlet.rim))
}

/// The room in the basin between the on level and the level at which water shows.
pub fn room_above_on(site: &Site) -> Volume {
    let (level, _) = surfaces_at(site);
    site.basin.plan.area() * (level - site.basin.level(site.basin.on)).max(Length::ZERO)
}

pub(super) fn surplus_lasts<W: Working>(site: &Site, pumped: Flow, storm: &StormResult, w: &mut W) -> Option<Duration> {
    let leaves = site.discharge.outlet.leaves(pumped);
    // without a storm there is no peak that passes
    if storm.peak_inflow <= leaves || storm.peak.flow <= Flow::ZERO {
        return None;
    }
    w.heading("How long the basin holds out");
    let (level, _) = surfaces_at(site);
    let plan = w.given("Ab", site.basin.plan.area());
    let room = w.given("zr", (level - site.basin.level(site.basin.on)).max(Length::ZERO));
    let room = w.step("Vr", "room above the on level", "plan area times height", plan * room);
    let inflow = w.given("Qin", storm.peak_inflow);
    let out = w.given("Ql", leaves);
    w.step("tn", "until the room is full with no pump", "room over peak inflow", room / inflow);
    Some(
        w.step("ts", "until the room is full with the pump running", "room over surplus", room / (inflow - out))
            .plain(),
    )
}
