//! Following the storm, and putting together what was seen.

use super::chart::{COLUMNS, Chart, Pool, chart};
use super::events::{Event, Happens, Span, Spanned, events, spans};
use super::intervals::{LONGEST_ASKED, Looked, Times, times};
use super::runs::{Runs, Switched};
use super::watching::{Extremes, FirstLook, SecondLook, Watched};
use super::{PowerCase, ShapeAsked, StormAsked, StormError};
use crate::design::storm::{Coming, Network, Ready, Yard, against, coming, longest, shortest};
use crate::design::{Basis, NotFollowed, StormOutcome, StormResult, same_period};
use crate::hydrology::{Rain, RainBlock, RainError, StormShape, durations_to_try};
use crate::quantity::{Duration, Flow, Intensity, Length, Level, ReturnPeriod, UnitSystem, Volume};
use crate::routing::{Moments, Recording, RoutingError, Running, StageStorage, Watch};
use crate::site::{Assumption, Site};
use std::borrow::Cow;

/// One moment of a course.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// From the start of the rain.
    pub at: Duration,
    /// How hard it rains.
    pub rain: Intensity,
    /// What runs off all surfaces together.
    pub runoff: Flow,
    /// What comes into the basin: runoff, pipes, grates, groundwater, steady inflows; what goes back up a pipe less.
    pub into_basin: Flow,
    /// The water in the basin.
    pub level: Level,
    /// Which pumps run.
    pub running: [bool; 2],
    /// What they take out for good.
    pub pumped: Flow,
    /// The water over the rim of each hollow, in the order of the outcome.
    pub depths: Vec<Length>,
    /// The water over all rims.
    pub standing: Volume,
    /// How long each pump ran since the row before.
    pub ran: [Duration; 2],
    /// How often pumps started since the row before.
    pub starts: usize,
}

/// Levels of the basin that a reader wants beside the water's.
#[derive(Clone, Debug, PartialEq)]
pub struct BasinLevels {
    /// The floor.
    pub floor: Level,
    /// Where the first pump stops.
    pub off: Level,
    /// Where it starts.
    pub on: Level,
    /// Where the second starts, where there is one.
    pub second_on: Option<Level>,
    /// Where the alarm sounds, where there is one.
    pub alarm: Option<Level>,
    /// The rim.
    pub rim: Level,
}

/// Where the water went: `came = pumped + spilled + held + error`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Balance {
    /// All that came, steady water included.
    pub came: Volume,
    /// What the pumps took away for good.
    pub pumped: Volume,
    /// What ran over the edge of the yard.
    pub spilled: Volume,
    /// How much more basin, pipes and hollows hold than at the start; negative where it is less.
    pub held: Volume,
    /// What the sums leave over.
    pub error: Volume,
}

/// The course of a storm.
#[derive(Clone, Debug)]
pub struct Course {
    /// The site's title.
    pub title: String,
    /// The units it is printed in.
    pub units: UnitSystem,
    /// The return period, where the rain has one.
    pub period: Option<ReturnPeriod>,
    /// Whether the worst of all steady rains was looked for.
    pub worst_steady: bool,
    /// When there is power.
    pub power: PowerCase,
    /// The pump.
    pub pump: String,
    /// Whether a second one joins it.
    pub two_pumps: bool,
    /// The basin's levels.
    pub levels: BasinLevels,
    /// The storm in sum.
    pub outcome: StormOutcome,
    /// The peak of the runoff and when it is.
    pub peak_runoff: (Duration, Flow),
    /// Where the water went.
    pub balance: Balance,
    /// Water that is no deeper than this over a rim is a film and does not count as standing.
    pub film: Length,
    /// The deepest water that the owner allows, and whether this storm keeps to it.
    pub depth_goal: Option<(Length, bool)>,
    /// The longest that it may stand, and whether this storm keeps to it.
    pub clear_goal: Option<(Duration, bool)>,
    /// What happens, in order.
    pub events: Vec<Event>,
    /// When the pumps were switched.
    pub switches: Vec<Switched>,
    /// What lasted from when to when.
    pub spans: Vec<Span>,
    /// The interval of the rows.
    pub every: Duration,
    /// The intervals outside the window, while it rains and after the rain; none where all is shown alike.
    pub quiet: Option<(Duration, Duration)>,
    /// From when to when it is shown finely.
    pub window: (Duration, Duration),
    /// The rows.
    pub rows: Vec<Row>,
    /// What a chart is drawn from.
    pub chart: Chart,
    /// What was taken for want of an entry.
    pub assumptions: Vec<Assumption>,
}

impl Course {
    /// The rows that a table shows: within the window all, outside it those of the coarser interval, with what ran and
    /// started since the row shown before.
    pub fn shown(&self) -> Vec<Row> {
        let mut shown: Vec<Row> = Vec::new();
        let (mut ran, mut starts) = ([Duration::ZERO; 2], 0);
        let last = self.rows.len().saturating_sub(1);
        for (index, row) in self.rows.iter().enumerate() {
            for (so_far, more) in ran.iter_mut().zip(row.ran) {
                *so_far += more;
            }
            starts += row.starts;
            if index == 0 || index == last || self.is_shown(row.at) {
                shown.push(Row { ran, starts, ..row.clone() });
                (ran, starts) = ([Duration::ZERO; 2], 0);
            }
        }
        shown
    }
    fn is_shown(&self, at: Duration) -> bool {
        let slack = self.every * 1e-6;
        let inside = at >= self.window.0 - slack && at <= self.window.1 + slack;
        let rained = self.outcome.lasts.max(self.window.1);
        inside
            || self.quiet.is_none_or(|(quiet, after)| {
                let step = if at <= rained + slack { quiet } else { after };
                (at - step * libm::round(at / step)).abs() <= slack
            })
    }
}

/// The course of one storm.
///
/// # Errors
/// The storm asked for is not to be had, or the site cannot be followed.
pub fn course(site: &Site, basis: &Basis, asked: &StormAsked) -> Result<Course, StormError> {
    check(asked)?;
    let (storm, rain) = find(site, basis, asked.period)?;
    let ready = basis.ready(site)?;
    let station = ready.station.clone();
    let two_pumps = station.lag.is_some();
    let second_on = station.lag.as_ref().map(|floats| floats.on);
    let yard = Yard::new(site, &ready.network, Some(station));
    // the storm that the pump was chosen by has been followed
    let seen = basis.seen().filter(|_| {
        asked.shape == ShapeAsked::Nested && asked.power == PowerCase::Always && storm.period == basis.design.period
    });
    let coming = match seen {
        Some((_, coming, _)) => Cow::Borrowed(coming),
        None => Cow::Owned(come(site, &ready, (storm, rain), &yard, asked)?),
    };
    // a cut that comes after the end changes nothing, and would only lengthen what is shown
    if let PowerCase::OffFrom(at) = asked.power
        && at > coming.lasts()
    {
        let followed = run(&yard, &coming, PowerCase::Always, &mut crate::routing::Unwatched)?.followed;
        if at > followed {
            return Err(StormError::PowerOffTooLate { at, followed });
        }
    }
    let (about, watched) = watched(site, &yard);
    let mut first = FirstLook { watched, ..FirstLook::default() };
    let (outcome, recording) = if let Some((outcome, _, recording)) = seen {
        (outcome.clone(), Cow::Borrowed(recording))
    } else {
        let mut recording = Recording::default();
        (run(&yard, &coming, asked.power, &mut recording)?, Cow::Owned(recording))
    };
    recording.again(&yard.system, &mut first);
    let spans = spans(&first.watched, &about);
    let standing = spans.iter().filter(|span| matches!(span.what, Spanned::Stands { .. }));
    let stands = standing
        .map(|span| (span.from, span.until.unwrap_or(outcome.followed)))
        .reduce(|one, other| (one.0.min(other.0), one.1.max(other.1)));
    let deepest_at = outcome.deepest().filter(|hollow| hollow.stands_from.is_some()).map(|hollow| hollow.deepest_at);
    let looked =
        Looked { runoff: &coming.runoff, lasts: coming.lasts(), stands, deepest_at, followed: outcome.followed };
    let Times { every, quiet, window, drawn, rows } = times(asked, &looked)?;
    let pool = deepest_pool(&yard, &outcome);
    let extremes = Extremes::new(
        drawn.0.s(),
        ((drawn.1 - drawn.0) / f64::from(COLUMNS)).s(),
        COLUMNS as usize,
        ready.network.basin,
        pool.as_ref().map(|(store, _)| *store),
    );
    let mut second = SecondLook::new(&rows, &first.jumps, extremes);
    recording.again(&yard.system, &mut second);
    let runs = [1, 2].map(|pump| Runs::of(pump, &first.switches, outcome.followed));
    let basin = yard.system.stores.get(ready.network.basin).ok_or(RoutingError::BadStore)?;
    let seen = Seen { yard: &yard, basin, coming: &coming, runs: &runs };
    let error = outcome.came * outcome.imbalance;
    // of no ways at all the sum is a negative zero
    let spilled = outcome.spilled + Volume::ZERO;
    let (depth_met, clear_met) = against(&site.goal, &outcome);
    Ok(Course {
        title: site.title.clone(),
        units: site.units,
        period: storm.period,
        worst_steady: asked.shape == ShapeAsked::WorstSteady,
        power: asked.power,
        pump: basis.pump.name.clone(),
        two_pumps,
        levels: BasinLevels {
            floor: site.basin.floor,
            off: site.basin.level(site.basin.off),
            on: site.basin.level(site.basin.on),
            second_on,
            alarm: site.basin.alarm.map(|alarm| site.basin.level(alarm)),
            rim: site.basin.rim,
        },
        peak_runoff: coming.runoff.peak(),
        balance: Balance {
            came: outcome.came,
            pumped: outcome.pumped,
            spilled,
            held: outcome.came - outcome.pumped - spilled - error,
            error,
        },
        film: site.limits.film.value,
        depth_goal: site.goal.standing_water.zip(depth_met),
        clear_goal: site.goal.clear_within.zip(clear_met),
        events: events(moments(&coming, &outcome, asked), &spans, &first.switches),
        every,
        quiet,
        window,
        rows: seen.rows(&rows, &second),
        chart: chart(&second.extremes, basin, pool.as_ref().map(|(_, pool)| pool), &coming.blocks, &runs),
        switches: first.switches,
        spans,
        assumptions: ready.network.assumptions.clone(),
        outcome,
    })
}

/// Whether the times asked for are times.
fn check(asked: &StormAsked) -> Result<(), StormError> {
    let steady = if let ShapeAsked::Steady(duration) = asked.shape { Some(duration) } else { None };
    let off = if let PowerCase::OffFrom(at) = asked.power { Some(at) } else { None };
    let all = [
        ("the duration of the rain", steady, false),
        ("the time from row to row", asked.every, false),
        ("the time at which the power goes", off, true),
        ("the first time to show", asked.from, true),
        ("the last time to show", asked.until, false),
    ];
    for (what, given, or_zero) in all {
        let Some(given) = given else { continue };
        let good = given.is_finite() && (given > Duration::ZERO || (or_zero && given >= Duration::ZERO));
        if !good {
            return Err(StormError::BadTime { what, given, or_zero });
        }
        if given > LONGEST_ASKED {
            return Err(StormError::TooLong { what, given });
        }
    }
    Ok(())
}

/// The storm of a return period, with its rain.
fn find<'a>(
    site: &'a Site,
    basis: &'a Basis,
    period: Option<ReturnPeriod>,
) -> Result<(&'a StormResult, &'a Rain), StormError> {
    if site.catchments.is_empty() || site.rain.storms.is_empty() {
        return Err(NotFollowed::NoRain.into());
    }
    let found = match period {
        None => site.rain.storms.get(site.rain.design),
        Some(asked) => site.rain.storms.iter().find(|(known, _)| same_period(*known, asked)),
    };
    let Some((known, rain)) = found else {
        let known = site.rain.storms.iter().filter_map(|(known, _)| *known).collect();
        return Err(match period {
            Some(asked) => StormError::NoSuchPeriod { asked, known },
            None => NotFollowed::NoRain.into(),
        });
    };
    Ok((basis.storm(*known).ok_or(StormError::LeftOut)?, rain))
}

/// The storm asked for, as it comes.
fn come(
    site: &Site,
    ready: &Ready,
    (storm, rain): (&StormResult, &Rain),
    yard: &Yard<'_>,
    asked: &StormAsked,
) -> Result<Coming, StormError> {
    let constant = matches!(rain, Rain::Constant(_));
    let of = |shape| -> Result<Coming, RainError> { coming(site, &ready.network, storm, rain, shape) };
    match asked.shape {
        ShapeAsked::Nested | ShapeAsked::WorstSteady | ShapeAsked::Distribution(_) if constant => {
            Err(StormError::OneIntensity)
        }
        ShapeAsked::Nested => Ok(of(StormShape::Nested)?),
        ShapeAsked::Steady(duration) => Ok(of(StormShape::Block(duration))?),
        ShapeAsked::Distribution(name) => Ok(of(StormShape::Distribution(name))?),
        ShapeAsked::WorstSteady => {
            let mut worst: Option<(Length, Level, Coming)> = None;
            for duration in durations_to_try(rain, shortest(site, rain), longest(rain)) {
                let coming = of(StormShape::Block(duration))?;
                let outcome = run(yard, &coming, asked.power, &mut crate::routing::Unwatched)?;
                let (depth, level) = (outcome.depth(), outcome.highest_in_basin);
                if worst.as_ref().is_none_or(|(known, highest, _)| (depth, level) > (*known, *highest)) {
                    worst = Some((depth, level, coming));
                }
            }
            worst.map(|(_, _, coming)| coming).ok_or_else(|| NotFollowed::NoRain.into())
        }
    }
}

/// The storm from beginning to end.
fn run(
    yard: &Yard<'_>,
    coming: &Coming,
    power: PowerCase,
    watch: &mut impl Watch,
) -> Result<StormOutcome, RoutingError> {
    let mut follower = yard.start(coming)?;
    match power {
        PowerCase::Always => {}
        PowerCase::Never => follower.router.power(false, watch),
        PowerCase::OffFrom(at) => {
            follower.until(at.s(), watch)?;
            follower.router.power(false, watch);
        }
    }
    yard.finish(follower, coming, watch)
}

/// What is watched, and what it is about.
fn watched(site: &Site, yard: &Yard<'_>) -> (Vec<Spanned>, Vec<Watched>) {
    let network: &Network = yard.network;
    let (mut about, mut watched) = (Vec::new(), Vec::new());
    let mut watch = |what: Spanned, store: usize, level: Level| {
        let Some(curve) = yard.system.stores.get(store) else { return };
        about.push(what);
        watched.push(Watched::new(store, curve.volume_at(level)));
    };
    for (store, hollow) in network.hollows() {
        watch(Spanned::Stands { hollow: hollow.name.clone() }, store, hollow.rim + site.limits.film.value);
        if let Some(level) = hollow.spills_at {
            watch(Spanned::RunsOver { hollow: hollow.name.clone(), to: hollow.spills_to.clone() }, store, level);
        }
    }
    if let Some(alarm) = site.basin.alarm {
        watch(Spanned::Alarm, network.basin, site.basin.level(alarm));
    }
    for place in &site.protected {
        let reaches = |from: &str| Spanned::Reaches { place: place.name.clone(), from: from.to_owned() };
        for (store, hollow) in network.hollows() {
            watch(reaches(&hollow.name), store, place.level);
        }
    }
    (about, watched)
}

/// The hollow with the deepest water, where any stands.
fn deepest_pool<'y>(yard: &'y Yard<'_>, outcome: &StormOutcome) -> Option<(usize, Pool<'y>)> {
    let deepest = outcome.deepest().filter(|hollow| hollow.deepest > Length::ZERO)?;
    let place = outcome.hollows.iter().position(|hollow| hollow == deepest)?;
    let (store, hollow) = yard.network.hollows().nth(place)?;
    Some((store, Pool { store: yard.system.stores.get(store)?, rim: hollow.rim }))
}

/// What happens beside pumps and marks.
fn moments(coming: &Coming, outcome: &StormOutcome, asked: &StormAsked) -> Vec<Event> {
    let event = |at: Duration, what: Happens| Event { at, what };
    let mut found = vec![event(coming.lasts(), Happens::RainEnds)];
    let hardest = coming.blocks.iter().map(|block| block.intensity).fold(Intensity::ZERO, Intensity::max);
    let mut begin = Duration::ZERO;
    for RainBlock { duration, intensity } in &coming.blocks {
        if *intensity >= hardest {
            found.push(event(begin, Happens::HardestRain(hardest)));
            break;
        }
        begin += *duration;
    }
    let (peak_at, peak) = coming.runoff.peak();
    if peak > Flow::ZERO {
        found.push(event(peak_at, Happens::PeakRunoff(peak)));
    }
    for hollow in outcome.hollows.iter().filter(|hollow| hollow.stands_from.is_some()) {
        found.push(event(hollow.deepest_at, Happens::Deepest(hollow.name.clone(), hollow.deepest)));
    }
    match asked.power {
        PowerCase::Always => {}
        PowerCase::OffFrom(at) => found.push(event(at, Happens::PowerGoes)),
        PowerCase::Never => found.push(event(Duration::ZERO, Happens::PowerGoes)),
    }
    found.push(event(outcome.followed, if outcome.at_rest { Happens::AtRest } else { Happens::NotAtRest }));
    found
}

/// What was seen, to be made rows of.
struct Seen<'a> {
    yard: &'a Yard<'a>,
    basin: &'a StageStorage,
    coming: &'a Coming,
    runs: &'a [Runs; 2],
}

impl Seen<'_> {
    fn rows(&self, times: &[Duration], look: &SecondLook) -> Vec<Row> {
        let mut before = Duration::ZERO;
        let mut rows = Vec::with_capacity(times.len());
        for (at, seen) in times.iter().zip(&look.seen) {
            let Some((moments, running)) = seen else { continue };
            rows.push(self.row((before, *at), moments, *running));
            before = *at;
        }
        rows
    }
    fn row(&self, (before, at): (Duration, Duration), moments: &Moments, running: Running) -> Row {
        let [first, second] = self.runs;
        let pools: Vec<(Length, Volume)> = self
            .yard
            .network
            .hollows()
            .map(|(store, hollow)| {
                let held = Volume::from_m3(moments.volumes_m3.get(store).copied().unwrap_or(0.0));
                self.yard.system.stores.get(store).map_or((Length::ZERO, Volume::ZERO), |curve| {
                    (curve.depth_over(held, hollow.rim), (held - curve.volume_at(hollow.rim)).max(Volume::ZERO))
                })
            })
            .collect();
        let basin = self.yard.network.basin;
        let held = Volume::from_m3(moments.volumes_m3.get(basin).copied().unwrap_or(0.0));
        Row {
            at,
            rain: rain_at(&self.coming.blocks, at),
            runoff: self.coming.runoff.at(at),
            into_basin: self.basin_inflow(moments),
            level: self.basin.level_at(held),
            running: [running.lead, running.lag],
            pumped: Flow::from_m3s(moments.pumped_m3s),
            depths: pools.iter().map(|(depth, _)| *depth).collect(),
            standing: pools.iter().map(|(_, volume)| *volume).sum(),
            ran: [first.between(before, at), second.between(before, at)],
            starts: first.starts_between(before, at) + second.starts_between(before, at),
        }
    }
    fn basin_inflow(&self, moments: &Moments) -> Flow {
        let (system, basin) = (&self.yard.system, self.yard.network.basin);
        let outside = moments.inflow_m3s.get(basin).copied().unwrap_or(0.0);
        let paths = system.paths.iter().zip(&moments.paths_m3s).map(|(path, flow)| {
            let arrives = if path.to == Some(basin) { *flow } else { 0.0 };
            arrives - if path.from == basin { *flow } else { 0.0 }
        });
        let seeps = system.seeps.iter().zip(&moments.seeps_m3s).filter(|(seep, _)| seep.store == basin);
        Flow::from_m3s(outside + paths.sum::<f64>() + seeps.map(|(_, flow)| *flow).sum::<f64>())
    }
}

/// How hard it rains at a moment: at the border of two blocks as in the later one.
fn rain_at(blocks: &[RainBlock], at: Duration) -> Intensity {
    let mut end = Duration::ZERO;
    for block in blocks {
        end += block.duration;
        // a hair before the border is rounding
        if at < end * (1.0 - 1e-12) {
            return block.intensity;
        }
    }
    Intensity::ZERO
}
