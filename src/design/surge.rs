//! Surge: what pipe and valve stand when the water stops.

use super::bench::Bench;
use crate::catalog;
use crate::hydraulics::friction::pipe_velocity;
use crate::hydraulics::surge::{
    BULK_MODULUS, SURGE_SOURCE, critical_time, joukowsky, opening_velocity, run_on_time, surge_of_slow_stop, wave_speed,
};
use crate::hydraulics::{DischargeLine, FrictionMethod, Run};
use crate::quantity::{Duration, Flow, Head, Level, Measure, Pressure, Velocity};
use crate::site::Site;
use crate::working::{Silent, Working};

/// One pipe of the line when the water in it stops.
#[derive(Clone, Debug, PartialEq)]
pub struct SurgeIn {
    /// `riser`, `run 1` …
    pub name: String,
    /// The pipe: size and material.
    pub pipe: String,
    /// The velocity that is stopped: at the on level, all pumps running.
    pub velocity: Velocity,
    /// The speed of the wave; none where the pipe's modulus is not known.
    pub wave_speed: Option<Velocity>,
    /// The surge of an instant stop.
    pub instant: Option<Pressure>,
    /// The surge reckoned with: smaller where the valve is known to close slowly. A stop slower than the critical time
    /// makes less than the stiffest pipe would at once: it is the mean of all pipes, and spread over a longer time.
    pub surge: Option<Pressure>,
    /// Surge and the pump's highest pressure together; none where the surge is not known.
    pub most: Option<Pressure>,
    /// The pipe's rating at the water's temperature; none where it has none.
    pub rating: Option<Pressure>,
    /// Its rating as printed.
    pub rating_as_printed: Option<Pressure>,
}

/// The line when the water stops.
#[derive(Clone, Debug, PartialEq)]
pub struct SurgeResult {
    /// The pump's highest pressure.
    pub shut_off: Pressure,
    /// Riser and runs.
    pub pipes: Vec<SurgeIn>,
    /// The time in which the wave runs to the outlet and back: a stop within it counts as instant.
    pub critical: Option<Duration>,
    /// The time in which the valve closes, where it was entered.
    pub closes_in: Option<Duration>,
    /// Whether the valve closes only after the water has begun to run back: then nothing is taken off.
    pub closes_late: bool,
    /// How long the water runs on after the pump has stopped.
    pub runs_on: Option<Duration>,
    /// The velocity in the riser at the off level, one pump running.
    pub riser_velocity: Velocity,
    /// The velocity that holds the valve open, where it is published.
    pub opens_at: Option<Velocity>,
}

impl SurgeResult {
    /// The pipe nearest to its rating or beyond it.
    pub fn worst(&self) -> Option<&SurgeIn> {
        let share = |pipe: &SurgeIn| Some(pipe.most? / pipe.rating?);
        self.pipes
            .iter()
            .filter(|pipe| share(pipe).is_some())
            .reduce(|best, next| if share(next) > share(best) { next } else { best })
    }
}

/// What every pipe of another line sees at most and is rated for, where all hold it; none where one does not.
///
/// The line is judged as the site's own: at the same levels, with what the pumps then deliver. The pipe nearest to its
/// rating is the one returned.
pub(super) fn holds_in(bench: &Bench<'_>, line: DischargeLine) -> Option<(Pressure, Pressure)> {
    let site = Site { discharge: line, ..bench.site.clone() };
    let bench = Bench { site: &site, ..*bench };
    let line = &site.discharge;
    let (off, on) = (site.basin.level(site.basin.off), site.basin.level(site.basin.on));
    let highest = if bench.joins() { site.basin.level(site.pumping.lag_on.unwrap_or(site.basin.on)) } else { on };
    let first = bench.flow_on(line, on)?;
    let other = bench.second_alone(line, highest).unwrap_or(Flow::ZERO);
    let runs = bench.all_on(line, highest)?;
    let flows = Flows::at(&bench, highest, (bench.flow_on(line, off)?, first.max(other), runs));
    let surge = surge(&bench, &flows, &mut Silent);
    let rated = |pipe: &SurgeIn| match (pipe.most, pipe.rating) {
        (Some(most), Some(rating)) => most <= rating,
        _ => false,
    };
    let worst = surge.worst()?;
    surge.pipes.iter().all(rated).then(|| worst.most.zip(worst.rating))?
}

/// The flows at which the line is judged.
#[derive(Clone, Copy, Debug)]
pub(super) struct Flows {
    /// One pump at the off level.
    pub(super) least: Flow,
    /// One pump at the on level: through a riser.
    pub(super) riser: Flow,
    /// All pumps at their highest level: through the runs.
    pub(super) runs: Flow,
    /// The head lost on the way then.
    pub(super) loss: Head,
    /// The lift then.
    pub(super) lift: Head,
}

impl Flows {
    /// At a level of the water, with what is lost and lifted when the most goes through the runs of a line.
    pub(super) fn at(bench: &Bench<'_>, level: Level, (least, riser, runs): (Flow, Flow, Flow)) -> Self {
        let system = bench.system(&bench.site.discharge, FrictionMethod::HazenWilliams);
        let (asked, lift) = (system.junction_head(runs, level), system.static_head(level));
        Self { least, riser, runs, loss: (asked - lift).max(Head::ZERO), lift }
    }
}

pub(super) fn surge<W: Working>(bench: &Bench<'_>, flows: &Flows, w: &mut W) -> SurgeResult {
    let line = &bench.site.discharge;
    let shut_off = Pressure::of_head(bench.highest_head());
    let closes_in = line.check_valve.as_ref().and_then(|valve| valve.closes_in);
    // what has to be stopped: the sum of length times velocity
    let momentum_m2s: f64 = line.riser.length.m() * pipe_velocity(flows.riser, line.riser.pipe.bore).ms()
        + line.runs.iter().map(|run| run.length.m() * pipe_velocity(flows.runs, run.pipe.bore).ms()).sum::<f64>();
    let whole = line.length() + line.riser.length;
    let runs_on = run_on_time(whole, Velocity::from_ms(momentum_m2s / whole.m().max(1e-9)), flows.lift, flows.loss);
    // later than that the water already runs back, and the valve slams on it
    let closes_late = closes_in.zip(runs_on).is_some_and(|(closes, runs_on)| closes > runs_on);
    let slows = closes_in.filter(|_| !closes_late);
    let stretches: Vec<(String, &Run, Flow)> = std::iter::once(("riser".to_owned(), &line.riser, flows.riser))
        .chain(line.runs.iter().enumerate().map(|(index, run)| {
            let name = if line.runs.len() == 1 { "run".to_owned() } else { format!("run {}", index + 1) };
            (name, run, flows.runs)
        }))
        .collect();
    let waves: Vec<Option<Velocity>> = stretches.iter().map(|(_, run, _)| wave_in(bench, run)).collect();
    // the wave runs through all of them and back
    let critical = stretches
        .iter()
        .zip(&waves)
        .map(|((_, run, _), wave)| wave.map(|wave| critical_time(run.length, wave)))
        .collect::<Option<Vec<Duration>>>()
        .map(|times| times.into_iter().sum::<Duration>());
    w.heading("Surge when the water stops, at the on level");
    let mut pipes = Vec::new();
    let slow = slows
        .zip(critical)
        .filter(|(closes_in, critical)| closes_in > critical)
        .map(|(closes_in, _)| Slow { momentum_m2s, closes_in });
    for (number, (name, run, flow)) in stretches.iter().enumerate() {
        pipes.push(in_pipe(bench, (name, run), *flow, shut_off, slow, number + 1, w));
    }
    SurgeResult {
        shut_off,
        pipes,
        critical,
        closes_in,
        closes_late,
        runs_on,
        riser_velocity: pipe_velocity(flows.least, line.riser.pipe.bore),
        opens_at: line
            .check_valve
            .as_ref()
            .and_then(|valve| valve.opening_constant)
            .map(|constant| opening_velocity(constant, bench.water.density())),
    }
}

/// The speed of a wave in a run; none where the pipe's modulus or its wall is not known.
pub(super) fn wave_in(bench: &Bench<'_>, run: &Run) -> Option<Velocity> {
    let modulus = run.pipe.elastic_modulus?;
    let wall = run.pipe.wall();
    (wall.m() > 0.0).then(|| wave_speed(BULK_MODULUS, bench.water.density(), modulus, run.pipe.bore, wall))
}

/// A stop slower than the critical time.
#[derive(Clone, Copy)]
struct Slow {
    momentum_m2s: f64,
    closes_in: Duration,
}

fn in_pipe<W: Working>(
    bench: &Bench<'_>,
    (name, run): (&str, &Run),
    flow: Flow,
    shut_off: Pressure,
    slow: Option<Slow>,
    number: usize,
    w: &mut W,
) -> SurgeIn {
    let pipe = &run.pipe;
    let velocity = pipe_velocity(flow, pipe.bore);
    let mut result = SurgeIn {
        name: name.to_owned(),
        pipe: format!("{} {}", pipe.size, pipe.material),
        velocity,
        wave_speed: wave_in(bench, run),
        instant: None,
        surge: None,
        most: None,
        rating: rating_kept(bench, run),
        rating_as_printed: pipe.rating,
    };
    let (Some(modulus), Some(_)) = (pipe.elastic_modulus, result.wave_speed) else { return result };
    let density = w.given("rho", bench.water.density());
    let bulk = w.given("K", BULK_MODULUS);
    let modulus = w.given(("E", number), modulus);
    let bore = w.given(("D", number), pipe.bore);
    let wall = w.given(("t", number), pipe.wall());
    let wave = w.step(("a", number), "speed of the wave", SURGE_SOURCE, wave_speed(bulk, density, modulus, bore, wall));
    let stopped = w.given(("V", number), velocity);
    let instant = w.step(("dp", number), "surge of an instant stop", SURGE_SOURCE, joukowsky(density, wave, stopped));
    let surge = match slow {
        Some(slow) => {
            let (momentum, closes_in) = (w.given("LV", slow.momentum_m2s), w.given("tv", slow.closes_in));
            w.step(
                ("ds", number),
                "surge of the slower stop",
                "Michaud 1878: 2 rho sum(L V) / t",
                surge_of_slow_stop(density, momentum, closes_in),
            )
        }
        None => instant,
    };
    let highest = w.given("p0", shut_off);
    let most = w.step(("pm", number), "surge and the pump's highest pressure", "sum", surge + highest);
    result.instant = Some(instant.plain());
    result.surge = Some(surge.plain());
    result.most = Some(most.plain());
    result
}

/// The rating that a pipe keeps at the water's temperature; none where it has none, or the tables do not say.
pub(super) fn rating_kept(bench: &Bench<'_>, run: &Run) -> Option<Pressure> {
    // as entered: the water's own properties are not known so far above 104 F, the rating is
    let share = catalog::rating_share(&run.pipe, bench.site.water_temperature)?;
    run.pipe.rating.map(|rating| rating * share)
}
