//! One pump judged on the site: its duty at each float level, its cycle, what it does when worn.

use super::bench::Bench;
use super::checks;
use super::finding::{Finding, Severity};
use super::losses::{Losses, losses};
use super::runoff::StormResult;
use crate::basin::cycle::{CYCLE_SOURCE, Cycle, live_volume_for, run_time, shortest_cycle, worst_inflow};
use crate::basin::{displaced_between, height_for_volume, stored_between, usual_pump_volume};
use crate::hydraulics::friction::pipe_velocity;
use crate::hydraulics::{DrainBack, FrictionMethod, drain_back};
use crate::pump_selection::{Duty, DutyPoint, Pump, duty_point};
use crate::quantity::{Amount, Area, Duration, Flow, Head, Length, Level, Measure, Velocity, Volume};
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
    /// The duty by Darcy-Weisbach.
    pub darcy: Duty,
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
    /// The cycle at the storm's peak inflow.
    pub at_peak: Cycle,
    /// The cycle at the steady inflow.
    pub at_steady: Cycle,
    /// The most starts allowed, and where that comes from.
    pub starts_limit: (f64, String),
    /// The shortest run allowed, and where that comes from.
    pub run_limit: (Duration, String),
    /// The live volume that would meet both limits.
    pub enough_live: Volume,
    /// The on height that would give it in this basin.
    pub enough_on: Length,
    /// The inside diameter that would give it with these floats (for a round basin; a square one's side otherwise).
    pub enough_diameter: Length,
}

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
    /// The duty at the half-way level with a worn pump.
    pub worn: Duty,
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
    pub longest_run: Option<Length>,
    /// What is to be said of it.
    pub findings: Vec<Finding>,
}

impl PumpResult {
    /// Whether nothing stands against it.
    pub fn holds(&self) -> bool {
        !self.findings.iter().any(|finding| finding.severity == Severity::Stop)
    }
    /// The duty at a level.
    pub fn duty(&self, at: WaterLevel) -> Option<&DutyAt> {
        self.duties.iter().find(|duty| duty.at == at)
    }
    /// The duty point at a level by the design method.
    pub fn point(&self, at: WaterLevel) -> Option<&DutyPoint> {
        self.duty(at).and_then(|duty| duty.duty.point())
    }
    /// How many cautions.
    pub fn cautions(&self) -> usize {
        self.findings.iter().filter(|finding| finding.severity == Severity::Caution).count()
    }
}

/// The greatest coefficient of a relief hole that is drilled as deep as it is wide.
const DEEP_HOLE_COEFFICIENT: f64 = 0.8;

/// Judges one pump.
pub(super) fn judge<W: Working>(site: &Site, pump: &Pump, storm: &StormResult, w: &mut W) -> PumpResult {
    let bench = Bench::new(site, pump);
    let duties: Vec<DutyAt> = WaterLevel::ALL.iter().map(|at| duty_at(&bench, *at)).collect();
    let half_way = duties.iter().find(|duty| duty.at == WaterLevel::Mean);
    let losses = half_way.and_then(|duty| explain(&bench, duty, w));
    let worn = half_way.map_or(Duty::CannotLift { short: Head::ZERO }, |duty| {
        bench.duty_on(&site.discharge, &pump.curve.worn(site.pumping.wear), duty.water_level)
    });
    let level = half_way.map_or(site.basin.level(site.basin.on), |duty| duty.water_level);
    let hole = site.discharge.relief_hole;
    let without_hole = hole.and_then(|_| bench.flow_on(&bench.without_hole(), level));
    let greatest_leak = hole.and_then(|hole| {
        let mut line = site.discharge.clone();
        line.relief_hole = Some(crate::hydraulics::ReliefHole {
            discharge_coefficient: hole.discharge_coefficient.max(DEEP_HOLE_COEFFICIENT),
            ..hole
        });
        bench.duty_on(&line, &pump.curve, level).point().map(|point| point.leak)
    });
    let cycle = half_way.and_then(|duty| duty.duty.point()).and_then(|point| cycle(&bench, point, storm, w));
    let surplus_lasts =
        half_way.and_then(|duty| duty.duty.point()).and_then(|point| surplus_lasts(site, point, storm, w));
    let off_level = site.basin.level(site.basin.off);
    let longest_run = site.goal.flow.and_then(|flow| bench.longest_run(flow, off_level));
    let mut result = PumpResult {
        name: pump.name.clone(),
        price: pump.price,
        duties,
        curves: curves(&bench, level),
        losses,
        worn,
        wear: site.pumping.wear,
        without_hole,
        greatest_leak,
        cycle,
        surplus_lasts,
        longest_run,
        findings: Vec::new(),
    };
    result.findings = checks::pump(&bench, &result, storm);
    result
}

/// System curve and pump curve at the flows of the pump's points.
fn curves(bench: &Bench<'_>, level: Level) -> Vec<CurvePoint> {
    let system = bench.system(&bench.site.discharge, FrictionMethod::HazenWilliams);
    let curve = &bench.pump.curve;
    curve
        .points()
        .map(|(line_flow, _)| {
            let asked = system.at(line_flow, level);
            let pump_flow = line_flow + asked.leak;
            CurvePoint { line_flow, pump_flow, asked: asked.head, given: curve.head(pump_flow) }
        })
        .collect()
}

/// Judges one pump without working.
pub(super) fn judge_silently(site: &Site, pump: &Pump, storm: &StormResult) -> PumpResult {
    judge(site, pump, storm, &mut Silent)
}

fn duty_at(bench: &Bench<'_>, at: WaterLevel) -> DutyAt {
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
    let darcy = duty_point(&bench.pump.curve, &bench.system(line, FrictionMethod::DarcyWeisbach), water_level);
    let velocities = duty.point().map_or_else(Vec::new, |point| {
        line.runs.iter().map(|run| pipe_velocity(point.line_flow, run.pipe.bore)).collect()
    });
    DutyAt { at, water_level, static_head: system.static_head(water_level), duty, darcy, velocities }
}

/// Where the head of the half-way duty goes, with its working by both methods.
fn explain<W: Working>(bench: &Bench<'_>, duty: &DutyAt, w: &mut W) -> Option<Losses> {
    let point = duty.duty.point()?;
    w.heading("Duty point half-way between the floats, Hazen-Williams (the design method)");
    let found = worked_losses(bench, duty, point, FrictionMethod::HazenWilliams, w);
    let flow = w.given("Qp", point.pump_flow);
    let _ = bench.pump.curve.head_worked(w, flow);
    if let Some(darcy) = duty.darcy.point() {
        w.heading("The same by Darcy-Weisbach");
        let _ = worked_losses(bench, duty, darcy, FrictionMethod::DarcyWeisbach, w);
        let flow = w.given("Qp", darcy.pump_flow);
        let _ = bench.pump.curve.head_worked(w, flow);
    }
    Some(found)
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
            crate::hydraulics::loss::orifice_flow(
                coefficient,
                diameter.circle(),
                crate::quantity::Head::from_m(at_hole.m() - above.m()),
            ),
        );
        w.step("Q", "flow out of the line", "what the pump moves less the leak", through_pump - leak);
    }
    losses(bench, point, duty.water_level, method, w)
}

/// How the pump cycles at the flow of a duty point.
fn cycle<W: Working>(bench: &Bench<'_>, point: &DutyPoint, storm: &StormResult, w: &mut W) -> Option<CycleResult> {
    let (site, pump) = (bench.site, bench.pump);
    let basin = &site.basin;
    let height = pump.height.unwrap_or(Length::ZERO);
    let pump_volume = pump.displaced.unwrap_or_else(|| usual_pump_volume(height));
    w.heading("Basin and pump cycle");
    let displaced = displaced_between(pump_volume, height, basin.off, basin.on);
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
    let runs_back = if site.discharge.check_valve.is_some() { back.with_valve } else { back.without_valve };
    let back_n = w.given("Vb", runs_back);
    let rise = height_for_volume(plan_area, basin.off, runs_back, pump_volume, height);
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
    let for_starts = if starts_limit.0 > 0.0 {
        live_volume_for(Duration::from_h(1.0 / starts_limit.0), runs_back, leaves)
    } else {
        Volume::ZERO
    };
    let enough_live = for_starts.max(leaves * run_limit.0);
    let enough_on = basin.off + height_for_volume(plan_area, basin.off, enough_live, pump_volume, height);
    Some(CycleResult {
        pump_volume,
        pump_volume_assumed: pump.displaced.is_none(),
        live,
        drain_back: back,
        runs_back,
        rise,
        leaves,
        shortest_run,
        worst_inflow: worst,
        shortest_cycle: cycle,
        worst_starts: cycle.map_or(f64::INFINITY, |cycle| Duration::from_h(1.0) / cycle),
        at_peak: Cycle::at(live, runs_back, leaves, storm.peak_inflow),
        at_steady: Cycle::at(live, runs_back, leaves, storm.steady),
        starts_limit,
        run_limit,
        enough_live,
        enough_on,
        enough_diameter: diameter_for(enough_live, displaced, basin.on - basin.off),
    })
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

/// The inside diameter in which a volume stands between two floats, the pump's body counted.
fn diameter_for(live: Volume, displaced: Volume, span: Length) -> Length {
    if span <= Length::ZERO {
        return Length::ZERO;
    }
    let area: Area = (live + displaced) / span;
    Length::from_m((area.m2() / std::f64::consts::FRAC_PI_4).sqrt())
}

/// The level at which water first shows above ground: the lowest grate, or the basin's rim.
pub fn surfaces_at(site: &Site) -> (Level, String) {
    site.inlets.iter().fold((site.basin.rim, "the basin's rim".to_owned()), |lowest, inlet| {
        if inlet.rim < lowest.0 { (inlet.rim, format!("the grate `{}`", inlet.name)) } else { lowest }
    })
}

/// The room in the basin between the on level and the level at which water shows.
pub fn room_above_on(site: &Site) -> Volume {
    let (level, _) = surfaces_at(site);
    site.basin.plan.area() * (level - site.basin.level(site.basin.on)).max(Length::ZERO)
}

fn surplus_lasts<W: Working>(site: &Site, point: &DutyPoint, storm: &StormResult, w: &mut W) -> Option<Duration> {
    let leaves = point.line_flow * (1.0 - site.discharge.outlet.returned_share);
    if storm.peak_inflow <= leaves {
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
