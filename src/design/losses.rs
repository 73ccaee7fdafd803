//! Where the head goes: the losses of a line at a flow, part by part, with their working.

use super::bench::Bench;
use super::phrase::percent;
use crate::hydraulics::friction::{
    DARCY_SOURCE, HAZEN_WILLIAMS_SOURCE, LAMINAR, TURBULENT, colebrook_residual, colebrook_with_steps, darcy_loss,
    hazen_williams_resistance, laminar_factor, pipe_velocity, resisted_loss, reynolds_number, transition_factor,
};
use crate::hydraulics::loss::minor_loss;
use crate::hydraulics::{CheckValve, DischargeLine, FittingCount, FrictionMethod, Run, Water, riser_below_hole};
use crate::pump_selection::DutyPoint;
use crate::quantity::{Amount, Flow, Head, Length, Level, Measure, Real as _, Velocity};
use crate::working::Working;

/// The losses of one stretch of pipe.
#[derive(Clone, Debug, PartialEq)]
pub struct StretchLoss {
    /// `riser`, `run 1` …
    pub name: String,
    /// The pipe: material and size.
    pub pipe: String,
    /// Its bore.
    pub bore: Length,
    /// Its length.
    pub length: Length,
    /// The flow in it.
    pub flow: Flow,
    /// The velocity in it.
    pub velocity: Velocity,
    /// Friction.
    pub friction: Head,
    /// Sum of the loss coefficients of fittings and valve.
    pub sum_k: f64,
    /// The equivalent lengths of fittings and valve, where they go by length.
    pub equivalent: Length,
    /// What the sum is made of: the fittings, the valve last.
    pub made_of: Vec<FittingCount>,
    /// Their loss.
    pub fittings: Head,
}

/// Where the head of a duty point goes.
#[derive(Clone, Debug, PartialEq)]
pub struct Losses {
    /// Lift from the water to the point that governs.
    pub lift: Head,
    /// The station of that point.
    pub governing_at: Length,
    /// Whether it is the outlet.
    pub governed_by_outlet: bool,
    /// Each stretch up to that point.
    pub stretches: Vec<StretchLoss>,
    /// Head needed to open a cover.
    pub opening: Head,
    /// Velocity head lost at the end (or needed at the governing point) with the outlet's own loss.
    pub exit: Head,
    /// All together.
    pub total: Head,
}

impl Losses {
    /// Friction of all stretches.
    pub fn friction(&self) -> Head {
        self.stretches.iter().map(|stretch| stretch.friction).sum()
    }
    /// Fittings, valve, and what is lost at the end.
    pub fn minor(&self) -> Head {
        self.stretches.iter().map(|stretch| stretch.fittings).sum::<Head>() + self.exit
    }
}

const SUM: &str = "sum of the parts";
const MINOR_SOURCE: &str = "sum of K times V^2/2g";
const VELOCITY_SOURCE: &str = "continuity";

/// A stretch to be reckoned: its run, which part of it lies before the governing point, what flows in it.
struct Part<'a> {
    name: String,
    run: &'a Run,
    length: Length,
    made_of: Vec<FittingCount>,
    /// The share of the fittings that lies before the governing point.
    k_share: f64,
    carries: Carries,
}

/// Which flow goes through a stretch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Carries {
    /// What leaves the line.
    Line,
    /// That and what runs back through the drain hole.
    Drained,
    /// The pump's whole flow.
    Leak,
}

/// The losses at a duty point, part by part; their sum is the pump's head there.
pub(super) fn losses<W: Working>(
    bench: &Bench<'_>,
    duty: &DutyPoint,
    water_level: Level,
    method: FrictionMethod,
    w: &mut W,
) -> Losses {
    let (line, water) = (&bench.site.discharge, bench.water);
    let points = bench.system(line, method).points();
    let governing = points.get(duty.governing).copied();
    let (station, outlet, level) = governing
        .map_or((line.length(), true, line.outlet.working_level()), |point| (point.station, point.outlet, point.level));
    let flow = w.given("Q", duty.line_flow);
    let through_pump = w.given("Qp", duty.pump_flow);
    let high = w.given("zo", level);
    let low = w.given("zw", water_level);
    let lift =
        w.step("Hs", "static head: lift from the water to the point that governs", "levels", Head::from(high - low));
    let mut total = lift;
    let mut stretches = Vec::new();
    let mut last_velocity = None;
    for (number, part) in parts(line, station, bench.pump_outlet()).iter().enumerate() {
        let flow = match part.carries {
            Carries::Line => flow,
            Carries::Drained => {
                let drained = w.given("qd", duty.drained);
                flow + drained
            }
            Carries::Leak => through_pump,
        };
        let (result, loss, velocity) = stretch(w, number + 1, part, flow, water, method);
        total += loss;
        last_velocity = Some(velocity);
        stretches.push(result);
    }
    let exit_k = 1.0 + if outlet { line.outlet.k } else { 0.0 };
    let exit = match last_velocity {
        Some(velocity) => {
            let k = w.given("Ke", exit_k);
            w.step(
                "he",
                if outlet {
                    "velocity head lost at the end, and the outlet's own loss"
                } else {
                    "velocity head at the point"
                },
                MINOR_SOURCE,
                minor_loss(k, velocity),
            )
        }
        None => w.given("he", Head::ZERO),
    };
    total += exit;
    let opening = if outlet { line.outlet.opening_head.unwrap_or(Head::ZERO) } else { Head::ZERO };
    if opening > Head::ZERO {
        total += w.given("hc", opening);
    }
    let total = w.step("H", "head that the line asks for at this flow", SUM, total);
    Losses {
        lift: lift.plain(),
        governing_at: station,
        governed_by_outlet: outlet,
        stretches,
        opening,
        exit: exit.plain(),
        total: total.plain(),
    }
}

/// The stretches before a station: the riser (below and above the relief hole), then the runs.
fn parts(line: &DischargeLine, station: Length, pump_outlet: Option<Length>) -> Vec<Part<'_>> {
    let below = riser_below_hole(line, pump_outlet);
    let mut parts = Vec::new();
    if below > Length::ZERO {
        parts.push(Part {
            name: "riser to hole".to_owned(),
            run: &line.riser,
            length: below,
            made_of: Vec::new(),
            k_share: 1.0,
            carries: Carries::Leak,
        });
    }
    let valve = line.check_valve.as_ref().map(CheckValve::as_fitting);
    parts.push(Part {
        name: "riser".to_owned(),
        run: &line.riser,
        length: line.riser.length - below,
        made_of: line
            .riser
            .fittings
            .iter()
            .cloned()
            .chain(valve)
            .chain(line.widening_after(None))
            .chain(allowance(&line.riser))
            .collect(),
        k_share: 1.0,
        carries: if line.drain_hole.is_some() { Carries::Drained } else { Carries::Line },
    });
    let mut left = station;
    for (index, run) in line.runs.iter().enumerate() {
        // a point at the very start still stands in the first run
        if left <= Length::ZERO && index > 0 {
            break;
        }
        let length = run.length.min(left);
        let share = if run.length > Length::ZERO { length / run.length } else { 1.0 };
        parts.push(Part {
            name: if line.runs.len() == 1 { "run".to_owned() } else { format!("run {}", index + 1) },
            run,
            length,
            made_of: run.fittings.iter().cloned().chain(line.changes_at(index)).chain(allowance(run)).collect(),
            k_share: share,
            carries: Carries::Line,
        });
        left = left - run.length;
    }
    parts
}

/// The allowance for fittings that nobody counted, as one of them.
fn allowance(run: &Run) -> Option<FittingCount> {
    (run.allowance > 0.0).then(|| FittingCount {
        equivalent: run.length * run.allowance,
        ..FittingCount::of_k(
            "allowance for fittings",
            1,
            0.0,
            &format!("entered: {} of the length, as long as they are not counted", percent(run.allowance)),
        )
    })
}

fn stretch<W: Working>(
    w: &mut W,
    number: usize,
    part: &Part<'_>,
    flow: Flow<W::N>,
    water: Water,
    method: FrictionMethod,
) -> (StretchLoss, Head<W::N>, Velocity<W::N>) {
    let pipe = &part.run.pipe;
    let bore = w.given(("D", number), pipe.bore);
    let length = w.given(("L", number), part.length);
    let velocity = w.step(("V", number), "velocity", VELOCITY_SOURCE, pipe_velocity(flow, bore));
    let law = match method {
        FrictionMethod::HazenWilliams => {
            let c = w.given(("C", number), pipe.hazen_williams_c);
            Law::HazenWilliams(w.step(
                ("r", number),
                "resistance of a metre of pipe",
                HAZEN_WILLIAMS_SOURCE,
                hazen_williams_resistance(c, bore),
            ))
        }
        FrictionMethod::DarcyWeisbach => {
            let nu = w.given("nu", water.viscosity());
            let reynolds = w.step(("Re", number), "Reynolds number", "definition", reynolds_number(velocity, bore, nu));
            let rough = pipe.roughness / pipe.bore;
            Law::Darcy(factor_worked(w, number, reynolds, rough))
        }
    };
    let over = |length| match law {
        Law::HazenWilliams(resistance) => resisted_loss(resistance, length, flow),
        Law::Darcy(factor) => darcy_loss(factor, length, bore, velocity),
    };
    let source = match method {
        FrictionMethod::HazenWilliams => HAZEN_WILLIAMS_SOURCE,
        FrictionMethod::DarcyWeisbach => DARCY_SOURCE,
    };
    let friction = w.step(("hf", number), "friction loss", source, over(length));
    let k = sum_of_k(w, number, part);
    let by_k = w.step(("hm", number), "fittings and valve by K", MINOR_SOURCE, minor_loss(k, velocity));
    let equivalent: Length =
        part.made_of.iter().map(|fitting| fitting.equivalent * f64::from(fitting.count)).sum::<Length>() * part.k_share;
    let minor = if equivalent > Length::ZERO {
        let more = w.given(("Le", number), equivalent);
        let by_length = w.step(("hl", number), "fittings and valve by equivalent length", source, over(more));
        by_k + by_length
    } else {
        by_k
    };
    let result = StretchLoss {
        name: part.name.clone(),
        pipe: format!("{} {}", pipe.size, pipe.material),
        bore: pipe.bore,
        length: part.length,
        flow: flow.plain(),
        velocity: velocity.plain(),
        friction: friction.plain(),
        sum_k: k.value(),
        equivalent,
        made_of: part.made_of.clone(),
        fittings: minor.plain(),
    };
    (result, friction + minor, velocity)
}

/// The law of friction in a stretch, with its resistance or its factor.
#[derive(Clone, Copy)]
enum Law<N> {
    HazenWilliams(N),
    Darcy(N),
}

/// Darcy's friction factor with its working: by formula where there is one, solved where there is none.
fn factor_worked<W: Working>(w: &mut W, number: usize, reynolds: W::N, rough: f64) -> W::N {
    let solve = |w: &mut W, symbol: &'static str, meaning, re: f64| {
        let (f, steps) = colebrook_with_steps(re, rough);
        let miss = Amount::of(colebrook_residual(f, re, rough));
        w.solved((symbol, number), meaning, DARCY_SOURCE, f, miss, steps)
    };
    let re = reynolds.value();
    if re <= LAMINAR {
        w.step(("f", number), "friction factor, laminar flow", DARCY_SOURCE, laminar_factor(reynolds))
    } else if re < TURBULENT {
        let turbulent = solve(w, "ft", "friction factor at Re 4000", TURBULENT);
        w.step(
            ("f", number),
            "friction factor between laminar and turbulent",
            DARCY_SOURCE,
            transition_factor(reynolds, turbulent),
        )
    } else {
        solve(w, "f", "friction factor", re)
    }
}

/// The sum of the loss coefficients before the governing point.
fn sum_of_k<W: Working>(w: &mut W, number: usize, part: &Part<'_>) -> W::N {
    let mut sum: Option<W::N> = None;
    for (index, fitting) in part.made_of.iter().enumerate() {
        let count = w.given(("N", index + 1), f64::from(fitting.count));
        let k = w.given(("k", index + 1), fitting.k);
        let both = count * k;
        sum = Some(sum.map_or(both, |sum| sum + both));
    }
    let Some(sum) = sum else { return w.given(("K", number), 0.0) };
    let sum = if part.k_share < 1.0 { sum * w.given("part", part.k_share) } else { sum };
    w.step(("K", number), "loss coefficients of fittings and valve", "each K as listed in the report", sum)
}
