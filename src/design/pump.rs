//! One pump judged on the site: its duty at each float level, its cycle, what it does when worn.

use super::bench::Bench;
use super::checks;
use super::conditions::{self, Condition, Known};
use super::finding::{Finding, Severity};
use super::gravity::{self, GravityOption};
use super::line::LineAtRest;
use super::losses::{Losses, losses};
use super::pair::{self, PairResult};
use super::power::{self, PowerResult};
use super::runoff::StormResult;
use super::storage::{CycleResult, cycle, surplus_lasts};
use super::storm::StormOutcome;
use super::surge::{self, Flows, SurgeResult};
use crate::hydraulics::friction::pipe_velocity;
use crate::hydraulics::{FrictionMethod, GradePoint, SlackPart, slack_parts};
use crate::pump_selection::{Duty, DutyPoint, Pump, duty_point};
use crate::quantity::{Amount, Duration, Flow, Head, Length, Level, Velocity, Volume};
use crate::site::Site;
use crate::working::{Silent, Working};

/// Which water level in the basin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WaterLevel {
    /// Where the pump stops: the greatest lift, the least flow.
    Off,
    /// Half-way.
    Mean,
    /// Where it starts: the least lift, the greatest flow.
    On,
}

impl WaterLevel {
    /// All three, from the lowest.
    pub const ALL: [Self; 3] = [Self::Off, Self::Mean, Self::On];
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Off => "off level",
            Self::Mean => "half-way",
            Self::On => "on level",
        }
    }
}

/// The duty at one water level.
#[derive(Clone, Debug, PartialEq)]
pub struct DutyAt {
    /// Which level.
    pub at: WaterLevel,
    /// The level.
    pub water_level: Level,
    /// Static head from there.
    pub static_head: Head,
    /// The duty by Hazen-Williams, the design method.
    pub duty: Duty,
    /// The duty by Darcy-Weisbach; none where only what stands against the pump was asked.
    pub darcy: Option<Duty>,
    /// Velocity in each run at the design method's duty.
    pub velocities: Vec<Velocity>,
}

/// Pump and line at one flow, water half-way between the floats.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvePoint {
    /// The flow out of the line.
    pub line_flow: Flow,
    /// The flow through the pump, the relief hole's leak added.
    pub pump_flow: Flow,
    /// What the line asks for.
    pub asked: Head,
    /// What the pump gives; nothing outside the points of its curve.
    pub given: Option<Head>,
}

/// The longest run with which the line still carries a flow at the off level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LongestRun {
    /// By the design method, with the pump as new.
    pub new: Length,
    /// By Darcy-Weisbach, where there is one.
    pub darcy: Option<Length>,
    /// With the pump worn, where there is one.
    pub worn: Option<Length>,
}

/// A run shorter than this is no answer: common practice, no source.
const SHORTEST_ANSWER: Length = Length::from_ft(5.0);

/// One pump judged.
#[derive(Clone, Debug, PartialEq)]
pub struct PumpResult {
    /// Its name.
    pub name: String,
    /// Its price.
    pub price: Option<f64>,
    /// The duty at each level, from the lowest.
    pub duties: Vec<DutyAt>,
    /// System curve and pump curve side by side, at the flows of the pump's points.
    pub curves: Vec<CurvePoint>,
    /// Where the head goes at the half-way duty.
    pub losses: Option<Losses>,
    /// The duty at the half-way level with a worn pump; none where only what stands against it was asked.
    pub worn: Option<Duty>,
    /// The same at the off level.
    pub worn_off: Option<Duty>,
    /// The share of head a worn pump has lost.
    pub wear: f64,
    /// What the line would carry without the relief hole, half-way.
    pub without_hole: Option<Flow>,
    /// The hole's leak if its coefficient were 0.8 (as deep as wide), half-way.
    pub greatest_leak: Option<Flow>,
    /// How it cycles; none when there is no duty to cycle with.
    pub cycle: Option<CycleResult>,
    /// How long the basin above the on level takes the surplus of the peak inflow with the pump running; none when
    /// there is no surplus.
    pub surplus_lasts: Option<Duration>,
    /// The longest run that still carries the flow asked for.
    pub longest_run: Option<LongestRun>,
    /// The pressure along the line at the on level, all pumps installed running.
    pub grade: Vec<GradePoint>,
    /// The parts beyond a high point that the flow does not fill.
    pub slack: Vec<SlackPart>,
    /// What pipe and valve see when the water stops.
    pub surge: Option<SurgeResult>,
    /// A break to gravity past the high point, where it would do.
    pub gravity: Option<GravityOption>,
    /// Power half-way.
    pub power: Option<PowerResult>,
    /// The duty under other conditions.
    pub conditions: Vec<Condition>,
    /// The second pump with it, where two are installed.
    pub pair: Option<PairResult>,
    /// The design storm with it, where that could be followed.
    pub in_storm: Option<StormOutcome>,
    /// What is to be said of it.
    pub findings: Vec<Finding>,
}

impl PumpResult {
    /// Whether nothing stands against it.
    pub fn holds(&self) -> bool {
        !self.findings.iter().any(|finding| finding.severity == Severity::Stop)
    }
    /// Water between the floats, of two pumps those of the second on top.
    pub fn between_floats(&self) -> Volume {
        let first = self.cycle.as_ref().map_or(Volume::ZERO, |cycle| cycle.live);
        first + self.pair.as_ref().map_or(Volume::ZERO, |pair| pair.live)
    }
    /// The duty at a level.
    pub fn duty(&self, at: WaterLevel) -> Option<&DutyAt> {
        self.duties.iter().find(|duty| duty.at == at)
    }
    /// The duty point at a level by the design method.
    pub fn point(&self, at: WaterLevel) -> Option<&DutyPoint> {
        self.duty(at).and_then(|duty| duty.duty.point())
    }
    /// What all pumps installed deliver half-way: together where that is known, else one alone.
    pub fn all_pumped(&self) -> Option<Flow> {
        let alone = self.point(WaterLevel::Mean).map(|point| point.line_flow);
        self.pair.as_ref().and_then(PairResult::half_way).or(alone)
    }
    /// The most that goes through the runs: all pumps at their highest level.
    pub fn most_pumped(&self) -> Option<Flow> {
        let alone = self.point(WaterLevel::On).map(|point| point.line_flow);
        self.pair.as_ref().and_then(PairResult::most).or(alone)
    }
    /// The most that goes through a riser: the stronger pump alone at its highest level.
    pub fn most_in_a_riser(&self) -> Option<Flow> {
        let first = self.point(WaterLevel::On).map(|point| point.line_flow)?;
        let alone = self.pair.as_ref().and_then(PairResult::most_alone);
        Some(alone.map_or(first, |alone| alone.max(first)))
    }
    /// Starts of each pump in an hour at the worst inflow: by its own cycle, or with the second where both stop together.
    pub fn worst_starts_each(&self) -> Option<f64> {
        let own = self.cycle.as_ref()?.worst_starts_each();
        let joint = self.pair.as_ref().filter(|pair| pair.both_stop && pair.lag_entered);
        Some(joint.and_then(|pair| pair.worst_starts).map_or(own, |joint| own.max(joint)))
    }
    /// How many cautions.
    pub fn cautions(&self) -> usize {
        self.findings.iter().filter(|finding| finding.severity == Severity::Caution).count()
    }
}

/// The greatest coefficient of a relief hole that is drilled as deep as it is wide: from memory.
const DEEP_HOLE_COEFFICIENT: f64 = 0.8;

/// Judges one pump.
pub(super) fn judge<W: Working>(
    site: &Site,
    pump: &Pump,
    storm: &StormResult,
    rest: &LineAtRest,
    w: &mut W,
) -> PumpResult {
    judged(site, pump, storm, rest, (Depth::InFull, w))
}

/// Judges one pump for what stands against it: no table of other conditions, no curve to draw, nothing that only those
/// caution against.
pub(super) fn judge_for_stops(site: &Site, pump: &Pump, storm: &StormResult, rest: &LineAtRest) -> PumpResult {
    judged(site, pump, storm, rest, (Depth::ForStops, &mut Silent))
}

/// Works out of one pump what a storm is followed with: its duties and its cycle. It is judged by the storm alone.
pub(super) fn for_storms(site: &Site, pump: &Pump, storm: &StormResult, rest: &LineAtRest) -> PumpResult {
    judged(site, pump, storm, rest, (Depth::ForStorms, &mut Silent))
}

/// How far one pump is worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Depth {
    /// As far as a storm needs it.
    ForStorms,
    /// As far as anything may stand against it.
    ForStops,
    InFull,
}

fn judged<W: Working>(
    site: &Site,
    pump: &Pump,
    storm: &StormResult,
    rest: &LineAtRest,
    (depth, w): (Depth, &mut W),
) -> PumpResult {
    let bench = Bench::new(site, pump, rest);
    let (judged, in_full) = (depth >= Depth::ForStops, depth == Depth::InFull);
    let duties: Vec<DutyAt> = WaterLevel::ALL.iter().map(|at| duty_at(&bench, *at, in_full)).collect();
    let half_way = duties.iter().find(|duty| duty.at == WaterLevel::Mean);
    let losses = judged.then(|| explain(&bench, &duties, w)).flatten();
    let worn_curve = pump.curve.worn(site.pumping.wear);
    // a worn pump and the other method bring cautions, but no stop
    let worn = |height| in_full.then(|| bench.duty_on(&site.discharge, &worn_curve, site.basin.level(height)));
    let (worn_off, worn_half_way) = (worn(site.basin.off), worn((site.basin.off + site.basin.on) / 2.0));
    let level = half_way.map_or(site.basin.level(site.basin.on), |duty| duty.water_level);
    let hole = site.discharge.relief_hole.filter(|_| judged);
    let without_hole = hole.and_then(|_| bench.flow_on(&bench.without_hole(), level));
    let greatest_leak = hole.and_then(|hole| {
        let mut line = site.discharge.clone();
        line.relief_hole = Some(crate::hydraulics::ReliefHole {
            discharge_coefficient: hole.discharge_coefficient.max(DEEP_HOLE_COEFFICIENT),
            ..hole
        });
        bench.duty_on(&line, &pump.curve, level).point().map(|point| point.leak)
    });
    let cycle =
        half_way.and_then(|duty| duty.duty.point()).and_then(|point| cycle(&bench, point, storm, (judged, &mut *w)));
    let pair = pair::pair(&bench, w);
    let pumped = pair.as_ref().and_then(PairResult::half_way);
    let surplus_lasts = half_way
        .and_then(|duty| duty.duty.point())
        .and_then(|point| surplus_lasts(site, pumped.unwrap_or(point.line_flow), storm, w));
    let power =
        half_way.filter(|_| judged).and_then(|duty| duty.duty.point()).map(|point| power::power(&bench, point, w));
    let off_level = site.basin.level(site.basin.off);
    let longest = |curve, method| {
        site.goal
            .flow
            .filter(|_| judged)
            .and_then(|flow| bench.longest_run(flow, off_level, curve, method))
            .filter(|longest| *longest >= SHORTEST_ANSWER)
    };
    let longest_run = longest(&pump.curve, FrictionMethod::HazenWilliams).map(|new| LongestRun {
        new,
        darcy: longest(&pump.curve, FrictionMethod::DarcyWeisbach),
        worn: longest(&worn_curve, FrictionMethod::HazenWilliams),
    });
    let known = Known { duties: &duties, worn: worn_off.zip(worn_half_way) };
    let conditions = if in_full { conditions::conditions(&bench, &known) } else { Vec::new() };
    let curves = if in_full { curves(&bench, level) } else { Vec::new() };
    let mut result = PumpResult {
        name: pump.name.clone(),
        price: pump.price,
        duties,
        curves,
        losses,
        worn: worn_half_way,
        worn_off,
        wear: site.pumping.wear,
        without_hole,
        greatest_leak,
        cycle,
        surplus_lasts,
        longest_run,
        grade: Vec::new(),
        slack: Vec::new(),
        surge: None,
        gravity: None,
        power,
        conditions,
        pair,
        in_storm: None,
        findings: Vec::new(),
    };
    if judged {
        at_most_flow(&bench, &mut result, w);
        result.findings = checks::pump(&bench, &result, storm);
    }
    result
}

/// How high the water rises at a station of a grade line.
pub(super) fn grade_at(grade: &[GradePoint], at: Length) -> Option<Level> {
    grade.windows(2).find_map(|pair| {
        let [near, far] = pair else { return None };
        let along = far.station - near.station;
        (near.station <= at && at <= far.station && along > Length::ZERO)
            .then(|| near.grade + (far.grade - near.grade) * ((at - near.station) / along))
    })
}

/// What the line sees when the most goes through it.
fn at_most_flow<W: Working>(bench: &Bench<'_>, result: &mut PumpResult, w: &mut W) {
    let line = &bench.site.discharge;
    let (Some(least), Some(riser), Some(most)) =
        (result.point(WaterLevel::Off).map(|point| point.line_flow), result.most_in_a_riser(), result.most_pumped())
    else {
        return;
    };
    let level = result
        .pair
        .as_ref()
        .filter(|pair| pair.most().is_some())
        .map_or(bench.site.basin.level(bench.site.basin.on), |pair| bench.site.basin.level(pair.lag_on));
    let system = bench.system(line, FrictionMethod::HazenWilliams);
    result.grade = system.grade_line(most, level);
    result.slack = slack_parts(&result.grade);
    result.gravity = gravity::option(bench, most, level);
    result.surge = Some(surge::surge(bench, &Flows::at(bench, level, (least, riser, most)), w));
}

/// System curve and pump curve at the flows of the pump's points.
fn curves(bench: &Bench<'_>, level: Level) -> Vec<CurvePoint> {
    let system = bench.system(&bench.site.discharge, FrictionMethod::HazenWilliams);
    let curve = &bench.pump.curve;
    curve
        .points()
        .map(|(line_flow, _)| {
            let asked = system.at(line_flow, level);
            let pump_flow = line_flow + asked.leak + asked.drained;
            CurvePoint { line_flow, pump_flow, asked: asked.head, given: curve.head(pump_flow) }
        })
        .collect()
}

/// Judges one pump without working.
pub(super) fn judge_silently(site: &Site, pump: &Pump, storm: &StormResult, rest: &LineAtRest) -> PumpResult {
    judge(site, pump, storm, rest, &mut Silent)
}

fn duty_at(bench: &Bench<'_>, at: WaterLevel, in_full: bool) -> DutyAt {
    let basin = &bench.site.basin;
    let height = match at {
        WaterLevel::Off => basin.off,
        WaterLevel::Mean => (basin.off + basin.on) / 2.0,
        WaterLevel::On => basin.on,
    };
    let water_level = basin.level(height);
    let line = &bench.site.discharge;
    let system = bench.system(line, FrictionMethod::HazenWilliams);
    let duty = duty_point(&bench.pump.curve, &system, water_level);
    let darcy =
        in_full.then(|| duty_point(&bench.pump.curve, &bench.system(line, FrictionMethod::DarcyWeisbach), water_level));
    let velocities = duty.point().map_or_else(Vec::new, |point| {
        line.runs.iter().map(|run| pipe_velocity(point.line_flow, run.pipe.bore)).collect()
    });
    DutyAt { at, water_level, static_head: system.static_head(water_level), duty, darcy, velocities }
}

/// Where the head of the half-way duty goes, with its working by both methods; and the working at the floats.
fn explain<W: Working>(bench: &Bench<'_>, duties: &[DutyAt], w: &mut W) -> Option<Losses> {
    let mut found = None;
    for duty in duties {
        // of the others only the working is kept
        let wanted = W::KEEPS || duty.at == WaterLevel::Mean;
        if let Some(point) = duty.duty.point().filter(|_| wanted) {
            w.heading(match duty.at {
                WaterLevel::Off => "Duty point at the off level, Hazen-Williams (the design method)",
                WaterLevel::Mean => "Duty point half-way between the floats, Hazen-Williams (the design method)",
                WaterLevel::On => "Duty point at the on level, Hazen-Williams (the design method)",
            });
            let losses = worked_losses(bench, duty, point, FrictionMethod::HazenWilliams, w);
            if duty.at == WaterLevel::Mean {
                found = Some(losses);
            }
        }
    }
    let half_way = duties.iter().find(|duty| duty.at == WaterLevel::Mean)?;
    if let Some(darcy) = half_way.darcy.as_ref().and_then(Duty::point).filter(|_| W::KEEPS) {
        w.heading("Duty point half-way by Darcy-Weisbach");
        let _ = worked_losses(bench, half_way, darcy, FrictionMethod::DarcyWeisbach, w);
    }
    found
}

const DUTY_SOURCE: &str = "pump flow at which the pump's head is the head that the line asks for";

fn worked_losses<W: Working>(
    bench: &Bench<'_>,
    duty: &DutyAt,
    point: &DutyPoint,
    method: FrictionMethod,
    w: &mut W,
) -> Losses {
    let line = &bench.site.discharge;
    let through_pump = w.solved(
        "Qp",
        "flow through the pump",
        DUTY_SOURCE,
        point.pump_flow,
        Amount::of(point.residual),
        point.evaluations,
    );
    if let Some(hole) = line.relief_hole {
        let asked = bench.system(line, method).at(point.line_flow, duty.water_level);
        let at_hole = w.given("Hh", asked.head_at_hole);
        let above = hole
            .above_floor
            .map_or(Length::ZERO, |height| (bench.site.basin.level(height) - duty.water_level).max(Length::ZERO));
        let above = w.given("zh", above);
        let diameter = w.given("dh", hole.diameter);
        let coefficient = w.given("Cd", hole.discharge_coefficient);
        let leak = w.step(
            "q",
            "leak of the relief hole",
            "orifice, Cd A (2 g h)^0.5 (Cd 0.6: septic-dosing hole tables of Nevada and New Jersey)",
            crate::collection::orifice::orifice_flow(
                coefficient,
                diameter.circle(),
                crate::quantity::Head::from_m(at_hole.m() - above.m()),
            ),
        );
        if line.drain_hole.is_some() {
            let drained = w.given("qd", point.drained);
            w.step("Q", "flow out of the line", "what the pump moves less the leaks", through_pump - leak - drained);
        } else {
            w.step("Q", "flow out of the line", "what the pump moves less the leak", through_pump - leak);
        }
    }
    let losses = losses(bench, point, duty.water_level, method, w);
    let flow = w.given("Qp", point.pump_flow);
    let _ = bench.pump.curve.head_worked(w, flow);
    losses
}
