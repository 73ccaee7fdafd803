//! The first start of what was built: how long it takes from the on level to the off level, how far the water rises
//! after the stop, what comes out, each with the band that the uncertainty of what was entered gives; and what was
//! measured against that.

mod band;
mod compare;
mod run;

pub use band::{Band, Part, PartRange};
pub use compare::{Compared, Found};
pub(super) use compare::{findings, not_compared, results, uncompared};

use super::bench::Bench;
use super::line::LineAtRest;
use super::pump::PumpResult;
use super::runoff::StormResult;
use super::storage::bodies_between;
use crate::basin::stored_between;
use crate::quantity::{Duration, Flow, Length, Volume};
use crate::site::Site;
use run::{Pumped, Run, run};

/// What the first start shows if all is as designed.
#[derive(Clone, Debug, PartialEq)]
pub struct StartUp {
    /// The pump.
    pub pump: String,
    /// From the on level to the off level with nothing running in.
    pub run: Predicted,
    /// The flow at the outlet, water between the floats.
    pub flow: Band<Flow>,
    /// What the flow's band is made of.
    pub flow_parts: Vec<Part>,
    /// How far the water rises after the stop.
    pub rise: Band<Length>,
    /// What that band is made of.
    pub rise_parts: Vec<Part>,
    /// After this time the level is read again: a minute, or as long as the line takes to run back through a drain hole.
    pub rise_read_after: Duration,
    /// How far it would rise with no valve, or a valve that sticks; none where no valve holds the water.
    pub rise_without_valve: Option<Length>,
    /// What the relief hole leaks half-way between the floats, where there is one.
    pub leak: Option<Flow>,
    /// The second pump alone over the same fall, where there is one: its name, and the time where it is known.
    pub second: Option<(String, Option<Duration>)>,
    /// The steady water that reaches the basin in a wet season, and the same run with it; no time where the pump does
    /// not get the water down.
    pub steady: Option<(Flow, Option<Duration>)>,
    /// Water that is not counted as it stands above pipes that come in below the on level: their names.
    pub also_fills: Vec<String>,
    /// What was measured beside it.
    pub compared: Vec<Compared>,
}

/// A run with its band.
#[derive(Clone, Debug, PartialEq)]
pub struct Predicted {
    /// How far the water falls.
    pub fall: Length,
    /// The water between.
    pub volume: Volume,
    /// How long it takes.
    pub time: Band<Duration>,
    /// What the band is made of.
    pub parts: Vec<Part>,
}

impl Predicted {
    /// What the run takes out of the basin on the whole: volume over time.
    pub fn mean_flow(&self) -> Flow {
        self.volume / self.time.value
    }
}

/// After this time the level is read again.
const MINUTE: Duration = Duration::from_min(1.0);
/// So much longer than the line is reckoned to run back it is waited, for a hole that is a little smaller than its drill:
/// common practice, no source.
const WAITED: f64 = 1.25;

/// When the level is read again where the line runs back in a time: whole minutes, or fives of them.
fn read_after(drain_time: Duration) -> Duration {
    let minutes = (drain_time * WAITED).minutes();
    let step = if minutes > 10.0 { 5.0 } else { 1.0 };
    Duration::from_min((libm::ceil(minutes / step) * step).max(1.0))
}

/// What the first start will show. None where the duty does not lie within the points of the pump's curve all the way
/// down, or there is none.
pub(super) fn start_up(site: &Site, pump: &PumpResult, storm: &StormResult, rest: &LineAtRest) -> Option<StartUp> {
    let entered = site.pumps.iter().find(|known| known.name == pump.name)?;
    let cycle = pump.cycle.as_ref()?;
    let bench = Bench::new(site, entered, rest);
    let uncertain = band::Uncertain { site, pump: &pump.name, ground: storm.groundwater.basis };
    let whole = site.basin.on - site.basin.off;
    let predicted = uncertain.run(whole, false, Flow::ZERO)?;
    let (flow, flow_parts) = uncertain.flow()?;
    let (rise, rise_parts) = uncertain.rise()?;
    let second = bench.second.map(|second| {
        let time = match run(&bench, (second, second.height), whole, Flow::ZERO) {
            Run::Takes(time) => Some(time),
            _ => None,
        };
        (second.name.clone(), time)
    });
    let steady = (cycle.steady > Flow::ZERO).then(|| {
        let time = match run(&bench, (entered, entered.height), whole, cycle.steady) {
            Run::Takes(time) => Some(time),
            _ => None,
        };
        (cycle.steady, time)
    });
    let on = site.basin.level(site.basin.on);
    let mut start_up = StartUp {
        pump: pump.name.clone(),
        run: predicted,
        flow,
        flow_parts,
        rise,
        rise_parts,
        rise_read_after: rest.drain_time.map_or(MINUTE, read_after),
        rise_without_valve: rest.held.then_some(cycle.rise_without_valve),
        leak: pump.point(super::WaterLevel::Mean).map(|point| point.leak).filter(|leak| *leak > Flow::ZERO),
        second,
        steady,
        also_fills: site
            .drains
            .iter()
            .filter(|drain| drain.ends_at_basin() && drain.down_invert.is_some_and(|invert| invert < on))
            .map(|drain| drain.name.clone())
            .collect(),
        compared: Vec::new(),
    };
    start_up.compared = compare::compared(&start_up, &uncertain, &site.measured.start_up);
    Some(start_up)
}

/// The water beside the pumps over a fall down to the off level.
fn volume(bench: &Bench<'_>, fall: Length) -> Volume {
    let basin = &bench.site.basin;
    let from = basin.off + fall;
    stored_between(basin.plan.area(), basin.off, from, bodies_between(bench, basin.off, from))
}

/// What is pumped at a height of the water.
fn pumped(bench: &Bench<'_>, height: Length) -> Pumped {
    run::pumped(bench, (bench.pump, bench.pump.height), height)
}
