//! The sizing report for programs: own wire types, each number with its unit.
//!
//! The form is versioned by `format`. A field may be added without raising it; a field is never renamed, removed or
//! given another meaning without. Every quantity is an object `{ "value": …, "unit": "…" }` in the units that the
//! site file asks for; read the unit, not only the value.

use crate::basin::cycle::Cycle;
use crate::design::{Advice, CatchmentResult, Design, DutyAt, Finding, Losses, PumpResult, Standing, StormResult};
use crate::pump_selection::Duty;
use crate::quantity::{Amount, UnitSystem};
use crate::report::working::si_unit;
use crate::site::Assumption;
use crate::working::{Step, figures};
use serde::Serialize;

/// The version of the form.
pub const FORMAT: u32 = 1;

/// A number with its unit.
#[derive(Clone, Debug, Serialize)]
pub struct Quantity {
    /// The number.
    pub value: f64,
    /// Its unit; empty for a pure number.
    pub unit: &'static str,
}

/// The whole report.
#[derive(Clone, Debug, Serialize)]
pub struct Report {
    /// The version of this form.
    pub format: u32,
    /// The program that wrote it.
    pub program: &'static str,
    /// Its version.
    pub version: &'static str,
    /// The site's title.
    pub title: String,
    /// `us` or `metric`.
    pub units: &'static str,
    /// The verdict.
    pub verdict: Verdict,
    /// What the design says about itself, gravest first.
    pub findings: Vec<FindingOut>,
    /// The storm the design is made for.
    pub storm: Storm,
    /// All storms of the rain entered.
    pub storms: Vec<Storm>,
    /// The name of the pump used.
    pub pump_used: Option<String>,
    /// The candidates, best first.
    pub pumps: Vec<PumpOut>,
    /// The basin.
    pub basin: Basin,
    /// Check valve, relief hole, cautions, when to hire.
    pub advice: Vec<AdviceOut>,
    /// What was taken for want of an entry.
    pub assumptions: Vec<AssumptionOut>,
    /// Keys read but not used yet.
    pub not_used: Vec<NotUsed>,
    /// The working, where it was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub working: Option<Vec<StepOut>>,
}

/// The verdict.
#[derive(Clone, Debug, Serialize)]
pub struct Verdict {
    /// Whether nothing stands against the design.
    pub holds: bool,
    /// Whether the owner's goal was judged: `not judged` or `none given`.
    pub goal: &'static str,
    /// In sentences.
    pub sentences: Vec<String>,
}

/// A finding.
#[derive(Clone, Debug, Serialize)]
pub struct FindingOut {
    /// `stop`, `caution` or `note`.
    pub severity: &'static str,
    /// Its stable name.
    pub id: &'static str,
    /// What it is about, where that is one thing of several.
    pub about: Option<String>,
    /// The sentence.
    pub message: String,
    /// Its numbers, named.
    pub numbers: Vec<Named>,
    /// The limit it is held to.
    pub limit: Option<LimitOut>,
    /// What would cure it.
    pub cures: Vec<String>,
}

/// A number with a name.
#[derive(Clone, Debug, Serialize)]
pub struct Named {
    /// The name.
    pub name: &'static str,
    /// The number.
    #[serde(flatten)]
    pub quantity: Quantity,
}

/// A limit.
#[derive(Clone, Debug, Serialize)]
pub struct LimitOut {
    /// The limit.
    #[serde(flatten)]
    pub quantity: Quantity,
    /// Where it comes from.
    pub source: String,
}

/// A storm.
#[derive(Clone, Debug, Serialize)]
pub struct Storm {
    /// Its return period, where it has one.
    pub return_period: Option<Quantity>,
    /// Factor on table coefficients.
    pub frequency_factor: f64,
    /// Duration of the rain that brings the peak.
    pub duration: Quantity,
    /// Its intensity.
    pub intensity: Quantity,
    /// Peak runoff.
    pub peak_runoff: Quantity,
    /// Peak runoff with every lawn's coefficient by infiltration: an upper bound.
    pub peak_runoff_by_infiltration: Option<Quantity>,
    /// Steady inflow.
    pub steady_inflow: Quantity,
    /// Both together.
    pub peak_inflow: Quantity,
    /// Area-weighted coefficient.
    pub composite_coefficient: Option<f64>,
    /// Whether the quick surfaces alone make the peak.
    pub early_part_governs: bool,
    /// Each surface.
    pub catchments: Vec<CatchmentOut>,
}

/// A surface in a storm.
#[derive(Clone, Debug, Serialize)]
pub struct CatchmentOut {
    /// Its name.
    pub name: String,
    /// Its area.
    pub area: Quantity,
    /// The coefficient used.
    pub coefficient: f64,
    /// By table or as entered.
    pub coefficient_by_table: f64,
    /// By infiltration, an upper bound.
    pub coefficient_by_infiltration: Option<f64>,
    /// Whether the infiltration's is used.
    pub infiltration_used: bool,
    /// Time of concentration.
    pub time_of_concentration: Quantity,
    /// Intensity over that time.
    pub intensity: Quantity,
    /// Flow of this surface alone.
    pub own_peak: Quantity,
}

/// A pump judged.
#[derive(Clone, Debug, Serialize)]
pub struct PumpOut {
    /// Its name.
    pub name: String,
    /// Whether the design is made with it.
    pub used: bool,
    /// Whether nothing stands against it.
    pub holds: bool,
    /// Why it is used, or why not.
    pub reason: String,
    /// Its price, as entered.
    pub price: Option<f64>,
    /// The duty at off level, half-way, on level.
    pub duties: Vec<DutyOut>,
    /// Where the head goes half-way.
    pub losses: Option<LossesOut>,
    /// The share of head a worn pump has lost.
    pub wear: f64,
    /// The duty of the worn pump half-way.
    pub worn: MeetingOut,
    /// Flow half-way without the relief hole.
    pub without_relief_hole: Option<Quantity>,
    /// The greatest leak of the relief hole half-way.
    pub greatest_leak: Option<Quantity>,
    /// How it cycles.
    pub cycle: Option<CycleOut>,
    /// How long the basin takes the peak's surplus.
    pub surplus_lasts: Option<Quantity>,
    /// The longest run that carries the flow asked for.
    pub longest_run: Option<Quantity>,
    /// Names of what stands against it or is to be said of it.
    pub findings: Vec<&'static str>,
}

/// A duty at a level.
#[derive(Clone, Debug, Serialize)]
pub struct DutyOut {
    /// `off level`, `half-way`, `on level`.
    pub water_at: &'static str,
    /// The level.
    pub water_level: Quantity,
    /// Static head.
    pub static_head: Quantity,
    /// By Hazen-Williams.
    pub hazen_williams: MeetingOut,
    /// By Darcy-Weisbach.
    pub darcy_weisbach: MeetingOut,
    /// Velocity in each run by Hazen-Williams.
    pub velocities: Vec<Quantity>,
}

/// Where pump and line meet, or why not.
#[derive(Clone, Debug, Serialize)]
#[serde(tag = "state", rename_all = "snake_case")]
pub enum MeetingOut {
    /// They meet.
    Meets {
        /// Flow out of the line.
        flow: Quantity,
        /// Flow through the pump.
        pump_flow: Quantity,
        /// Leak of the relief hole.
        leak: Quantity,
        /// Head.
        head: Quantity,
        /// What the solution leaves over, metres.
        residual_m: f64,
    },
    /// The pump cannot lift the water.
    CannotLift {
        /// Head missing.
        short: Quantity,
    },
    /// The duty lies before the curve's first point.
    BeforeFirstPoint {
        /// The first point's flow.
        first: Quantity,
    },
    /// The duty lies beyond the curve's last point.
    BeyondLastPoint {
        /// The last point's flow.
        last: Quantity,
        /// The line carries at least this.
        at_least: Quantity,
    },
}

/// Where the head goes.
#[derive(Clone, Debug, Serialize)]
pub struct LossesOut {
    /// Lift.
    pub lift: Quantity,
    /// Station of the point that governs.
    pub governing_at: Quantity,
    /// Whether that is the outlet.
    pub governed_by_outlet: bool,
    /// The stretches.
    pub stretches: Vec<StretchOut>,
    /// Loss at the end.
    pub exit: Quantity,
    /// All together.
    pub total: Quantity,
}

/// A stretch of pipe.
#[derive(Clone, Debug, Serialize)]
pub struct StretchOut {
    /// Its name.
    pub name: String,
    /// The pipe.
    pub pipe: String,
    /// Bore.
    pub bore: Quantity,
    /// Length.
    pub length: Quantity,
    /// Flow.
    pub flow: Quantity,
    /// Velocity.
    pub velocity: Quantity,
    /// Friction loss.
    pub friction: Quantity,
    /// Sum of K.
    pub sum_k: f64,
    /// What the sum is made of.
    pub made_of: Vec<FittingOut>,
    /// Fitting loss.
    pub fittings: Quantity,
}

/// Fittings of one kind.
#[derive(Clone, Debug, Serialize)]
pub struct FittingOut {
    /// Their name.
    pub name: String,
    /// How many.
    pub count: u32,
    /// K of one.
    pub k: f64,
    /// Where K comes from.
    pub source: String,
}

/// A pump's cycle.
#[derive(Clone, Debug, Serialize)]
pub struct CycleOut {
    /// Water between the floats.
    pub live_volume: Quantity,
    /// What runs back at a stop.
    pub runs_back: Quantity,
    /// What runs back with the check valve.
    pub runs_back_with_valve: Quantity,
    /// What would run back without one.
    pub runs_back_without_valve: Quantity,
    /// Water in the line.
    pub line_volume: Quantity,
    /// Rise in the basin from what runs back.
    pub rise: Quantity,
    /// Flow that leaves for good.
    pub leaves: Quantity,
    /// A run with no inflow.
    pub shortest_run: Quantity,
    /// Inflow with the most starts.
    pub worst_inflow: Option<Quantity>,
    /// Shortest cycle.
    pub shortest_cycle: Option<Quantity>,
    /// Starts in an hour then; none when it restarts itself for ever.
    pub worst_starts_per_hour: Option<f64>,
    /// Starts allowed.
    pub starts_allowed: f64,
    /// Where that comes from.
    pub starts_allowed_source: String,
    /// At the peak inflow: `idle`, `continuous`, `restarts itself`, `cycles`.
    pub at_peak: &'static str,
    /// At the steady inflow.
    pub at_steady: &'static str,
    /// Live volume that would meet the limits.
    pub enough_live_volume: Quantity,
    /// The on height for it.
    pub enough_on: Quantity,
}

/// The basin.
#[derive(Clone, Debug, Serialize)]
pub struct Basin {
    /// Rim to floor.
    pub depth: Quantity,
    /// Rim to inlet.
    pub inlet_depth: Quantity,
    /// On to off.
    pub pump_down: Quantity,
    /// Off to floor.
    pub dead_water: Quantity,
    /// What is left over; negative when short.
    pub spare: Quantity,
    /// Room between on level and where water shows.
    pub room_above_on: Quantity,
    /// Room above the alarm.
    pub room_above_alarm: Option<Quantity>,
    /// How long the room lasts at the peak inflow with no pump.
    pub time_without_pump: Option<Quantity>,
    /// At the steady inflow.
    pub time_without_pump_steady: Option<Quantity>,
}

/// Advice.
#[derive(Clone, Debug, Serialize)]
pub struct AdviceOut {
    /// `check_valve`, `relief_hole`, `caution`, `hire`.
    pub topic: &'static str,
    /// The sentence.
    pub sentence: String,
}

/// An assumption.
#[derive(Clone, Debug, Serialize)]
pub struct AssumptionOut {
    /// What.
    pub what: String,
    /// The value taken.
    #[serde(flatten)]
    pub quantity: Quantity,
    /// Why, and from where.
    pub why: String,
}

/// A key read but not used.
#[derive(Clone, Debug, Serialize)]
pub struct NotUsed {
    /// The key.
    pub key: String,
    /// Its line.
    pub line: usize,
}

/// A step of the working, in SI.
#[derive(Clone, Debug, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum StepOut {
    /// A group begins.
    Heading {
        /// Its name.
        text: &'static str,
    },
    /// A result of a formula.
    Formula {
        /// Its name.
        symbol: String,
        /// What it is.
        meaning: &'static str,
        /// The formula with names.
        formula: String,
        /// The formula with numbers, SI.
        numbers: String,
        /// The result, SI.
        value: f64,
        /// Its unit.
        unit: &'static str,
        /// The source.
        source: &'static str,
    },
    /// A result of an iteration.
    Solved {
        /// Its name.
        symbol: String,
        /// What it is.
        meaning: &'static str,
        /// The result, SI.
        value: f64,
        /// Its unit.
        unit: &'static str,
        /// What is left over, as text.
        residual: String,
        /// The equation.
        source: &'static str,
    },
}

/// The report of a design, with its working where that was kept.
pub fn report(design: &Design, steps: Option<&[Step]>) -> Report {
    let to = Maker { units: design.units };
    Report {
        format: FORMAT,
        program: env!("CARGO_PKG_NAME"),
        version: env!("CARGO_PKG_VERSION"),
        title: design.title.clone(),
        units: match design.units {
            UnitSystem::Us => "us",
            UnitSystem::Metric => "metric",
        },
        verdict: Verdict {
            holds: design.verdict.holds,
            goal: if design.verdict.goal.is_some() { "not judged" } else { "none given" },
            sentences: design.verdict.sentences.iter().map(|sentence| sentence.say(design.units)).collect(),
        },
        findings: design.findings.iter().map(|finding| to.finding(finding)).collect(),
        storm: to.storm(&design.storm),
        storms: design.storms.iter().map(|storm| to.storm(storm)).collect(),
        pump_used: design.pump().map(|pump| pump.name.clone()),
        pumps: design.pumps.iter().zip(&design.standings).map(|(pump, standing)| to.pump(pump, standing)).collect(),
        basin: to.basin(design),
        advice: design.advice.iter().map(|advice| to.advice(advice)).collect(),
        assumptions: design.assumptions.iter().map(|assumption| to.assumption(assumption)).collect(),
        not_used: design.not_used.iter().map(|entry| NotUsed { key: entry.key.clone(), line: entry.line }).collect(),
        working: steps.map(|steps| steps.iter().map(step).collect()),
    }
}

/// The report as text, two spaces of indent, a line break at its end.
pub fn json(design: &Design, steps: Option<&[Step]>) -> String {
    // wire types hold nothing that JSON cannot: no map keys but text, no number but finite ones or none
    let mut text = serde_json::to_string_pretty(&report(design, steps)).unwrap_or_default();
    text.push('\n');
    text
}

struct Maker {
    units: UnitSystem,
}

impl Maker {
    fn of(&self, amount: impl Into<AmountOf>) -> Quantity {
        let (value, unit) = amount.into().0.parts(self.units);
        Quantity { value, unit }
    }

    fn finding(&self, finding: &Finding) -> FindingOut {
        FindingOut {
            severity: finding.severity.word(),
            id: finding.id,
            about: finding.about.clone(),
            message: finding.message.say(self.units),
            numbers: finding.numbers.iter().map(|(name, amount)| Named { name, quantity: self.of(*amount) }).collect(),
            limit: finding
                .limit
                .as_ref()
                .map(|(amount, source)| LimitOut { quantity: self.of(*amount), source: source.clone() }),
            cures: finding.cures.iter().map(|cure| cure.say(self.units)).collect(),
        }
    }

    fn storm(&self, storm: &StormResult) -> Storm {
        Storm {
            return_period: storm.period.map(|period| self.of(period)),
            frequency_factor: storm.frequency_factor,
            duration: self.of(storm.peak.duration),
            intensity: self.of(storm.peak.intensity),
            peak_runoff: self.of(storm.peak.flow),
            peak_runoff_by_infiltration: storm.peak_by_infiltration.map(|flow| self.of(flow)),
            steady_inflow: self.of(storm.steady),
            peak_inflow: self.of(storm.peak_inflow),
            composite_coefficient: storm.composite,
            early_part_governs: storm.peak.early_part_governs,
            catchments: storm.catchments.iter().map(|result| self.catchment(result)).collect(),
        }
    }

    fn catchment(&self, result: &CatchmentResult) -> CatchmentOut {
        CatchmentOut {
            name: result.name.clone(),
            area: self.of(result.area),
            coefficient: result.coefficient,
            coefficient_by_table: result.tabled,
            coefficient_by_infiltration: result.by_infiltration,
            infiltration_used: result.used_infiltration,
            time_of_concentration: self.of(result.time.time),
            intensity: self.of(result.intensity),
            own_peak: self.of(result.own_peak),
        }
    }

    fn pump(&self, pump: &PumpResult, standing: &Standing) -> PumpOut {
        PumpOut {
            name: pump.name.clone(),
            used: standing.used,
            holds: standing.holds,
            reason: standing.reason.say(self.units),
            price: pump.price,
            duties: pump.duties.iter().map(|duty| self.duty(duty)).collect(),
            losses: pump.losses.as_ref().map(|losses| self.losses(losses)),
            wear: pump.wear,
            worn: self.meeting(&pump.worn),
            without_relief_hole: pump.without_hole.map(|flow| self.of(flow)),
            greatest_leak: pump.greatest_leak.map(|flow| self.of(flow)),
            cycle: pump.cycle.as_ref().map(|cycle| self.cycle(cycle)),
            surplus_lasts: pump.surplus_lasts.map(|time| self.of(time)),
            longest_run: pump.longest_run.map(|length| self.of(length)),
            findings: pump.findings.iter().map(|finding| finding.id).collect(),
        }
    }

    fn duty(&self, duty: &DutyAt) -> DutyOut {
        DutyOut {
            water_at: duty.at.words(),
            water_level: self.of(duty.water_level),
            static_head: self.of(duty.static_head),
            hazen_williams: self.meeting(&duty.duty),
            darcy_weisbach: self.meeting(&duty.darcy),
            velocities: duty.velocities.iter().map(|velocity| self.of(*velocity)).collect(),
        }
    }

    fn meeting(&self, duty: &Duty) -> MeetingOut {
        match duty {
            Duty::Meets(point) => MeetingOut::Meets {
                flow: self.of(point.line_flow),
                pump_flow: self.of(point.pump_flow),
                leak: self.of(point.leak),
                head: self.of(point.head),
                residual_m: point.residual.m(),
            },
            Duty::CannotLift { short } => MeetingOut::CannotLift { short: self.of(*short) },
            Duty::BeforeFirstPoint { first } => MeetingOut::BeforeFirstPoint { first: self.of(*first) },
            Duty::BeyondLastPoint { last, at_least, .. } => {
                MeetingOut::BeyondLastPoint { last: self.of(*last), at_least: self.of(*at_least) }
            }
        }
    }

    fn losses(&self, losses: &Losses) -> LossesOut {
        LossesOut {
            lift: self.of(losses.lift),
            governing_at: self.of(losses.governing_at),
            governed_by_outlet: losses.governed_by_outlet,
            stretches: losses
                .stretches
                .iter()
                .map(|stretch| StretchOut {
                    name: stretch.name.clone(),
                    pipe: stretch.pipe.clone(),
                    bore: self.of(Amount::bore(stretch.bore)),
                    length: self.of(stretch.length),
                    flow: self.of(stretch.flow),
                    velocity: self.of(stretch.velocity),
                    friction: self.of(stretch.friction),
                    sum_k: stretch.sum_k,
                    made_of: stretch
                        .made_of
                        .iter()
                        .map(|fitting| FittingOut {
                            name: fitting.name.clone(),
                            count: fitting.count,
                            k: fitting.k,
                            source: fitting.source.clone(),
                        })
                        .collect(),
                    fittings: self.of(stretch.fittings),
                })
                .collect(),
            exit: self.of(losses.exit),
            total: self.of(losses.total),
        }
    }

    fn cycle(&self, cycle: &crate::design::CycleResult) -> CycleOut {
        CycleOut {
            live_volume: self.of(cycle.live),
            runs_back: self.of(cycle.runs_back),
            runs_back_with_valve: self.of(cycle.drain_back.with_valve),
            runs_back_without_valve: self.of(cycle.drain_back.without_valve),
            line_volume: self.of(cycle.drain_back.line_volume),
            rise: self.of(Amount::small(cycle.rise)),
            leaves: self.of(cycle.leaves),
            shortest_run: self.of(cycle.shortest_run),
            worst_inflow: cycle.worst_inflow.map(|flow| self.of(flow)),
            shortest_cycle: cycle.shortest_cycle.map(|time| self.of(time)),
            worst_starts_per_hour: cycle.worst_starts.is_finite().then_some(cycle.worst_starts),
            starts_allowed: cycle.starts_limit.0,
            starts_allowed_source: cycle.starts_limit.1.clone(),
            at_peak: state(&cycle.at_peak),
            at_steady: state(&cycle.at_steady),
            enough_live_volume: self.of(cycle.enough_live),
            enough_on: self.of(Amount::small(cycle.enough_on)),
        }
    }

    fn basin(&self, design: &Design) -> Basin {
        let budget = &design.depth_budget;
        Basin {
            depth: self.of(Amount::small(budget.depth)),
            inlet_depth: self.of(Amount::small(budget.inlet_depth)),
            pump_down: self.of(Amount::small(budget.pump_down)),
            dead_water: self.of(Amount::small(budget.dead_water)),
            spare: self.of(Amount::small(budget.spare)),
            room_above_on: self.of(design.room_above_on),
            room_above_alarm: design.room_above_alarm.map(|volume| self.of(volume)),
            time_without_pump: design.time_without_pump.map(|time| self.of(time)),
            time_without_pump_steady: design.time_without_pump_steady.map(|time| self.of(time)),
        }
    }

    fn advice(&self, advice: &Advice) -> AdviceOut {
        AdviceOut { topic: advice.topic.name(), sentence: advice.sentence.say(self.units) }
    }

    fn assumption(&self, assumption: &Assumption) -> AssumptionOut {
        AssumptionOut {
            what: assumption.what.clone(),
            quantity: self.of(assumption.value),
            why: assumption.why.clone(),
        }
    }
}

/// Any quantity, as an amount.
struct AmountOf(Amount);

impl From<Amount> for AmountOf {
    fn from(amount: Amount) -> Self {
        Self(amount)
    }
}

macro_rules! amount_of {
    ($($name:ident)*) => { $(
        impl From<crate::quantity::$name> for AmountOf {
            fn from(quantity: crate::quantity::$name) -> Self {
                Self(Amount::of(quantity))
            }
        }
    )* };
}
amount_of!(Area Duration Flow Head Intensity Length Level ReturnPeriod Velocity Volume);

fn state(cycle: &Cycle) -> &'static str {
    match cycle {
        Cycle::Idle => "idle",
        Cycle::Continuous => "continuous",
        Cycle::RestartsItself => "restarts itself",
        Cycle::Cycles { .. } => "cycles",
    }
}

fn step(step: &Step) -> StepOut {
    match step {
        Step::Heading(text) => StepOut::Heading { text },
        Step::Formula { symbol, meaning, formula, numbers, result, source, .. } => StepOut::Formula {
            symbol: symbol.clone(),
            meaning,
            formula: formula.clone(),
            numbers: numbers.clone(),
            value: result.si,
            unit: si_unit(result.dimension),
            source,
        },
        Step::Solved { symbol, meaning, result, residual, source, .. } => StepOut::Solved {
            symbol: symbol.clone(),
            meaning,
            value: result.si,
            unit: si_unit(result.dimension),
            residual: figures(residual.si),
            source,
        },
    }
}
