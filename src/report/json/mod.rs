//! The sizing report for programs: own wire types, each number with its unit.
//!
//! The form is versioned by `format`. A field may be added without raising it; a field is never renamed, removed or
//! given another meaning without. Every quantity is an object `{ "value": …, "unit": "…" }` in the units that the
//! site file asks for; read the unit, not only the value.

mod line;
mod margins;
mod options;
mod reach;
mod record;
mod storm;
mod way;
pub mod wire;
mod yard;

pub use margins::margins_json;
pub use options::{options_answer, options_json};
pub use reach::{reach_answer, reach_json};
pub use record::record_json;
pub use storm::{storm_course, storm_json};

use crate::basin::cycle::Cycle;
use crate::design::{
    Advice, CatchmentResult, Design, DutyAt, Enough, Filling, Finding, Losses, PumpResult, RuleResult, Standing,
    StormResult,
};
use crate::pump_selection::Duty;
use crate::quantity::{Amount, UnitSystem};
use crate::report::working::si_unit;
use crate::site::Assumption;
use crate::working::{Step, figures};
use wire::{
    AdviceOut, AssumptionOut, Basin, CatchmentOut, CurveOut, CycleOut, DutyOut, EnoughOut, FORMAT, FindingOut,
    FittingOut, LimitOut, LongestRunOut, LossesOut, MarkOut, MeetingOut, Named, NotUsed, PumpOut, Quantity,
    QuestionOut, Report, RuleOut, SaidOut, StepOut, Storm, StretchOut, Verdict,
};

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
            goal: match design.verdict.goal_met {
                Some(true) => "met",
                Some(false) => "missed",
                None if design.goal_given => "not judged",
                None => "none given",
            },
            sentences: design.verdict.sentences.iter().map(|sentence| sentence.say(design.units)).collect(),
        },
        findings: design.findings.iter().map(|finding| to.finding(finding)).collect(),
        storm: to.storm(&design.storm),
        rain_origin: design.rain_origin.clone(),
        storms: design.storms.iter().map(|storm| to.storm(storm)).collect(),
        in_storms: to.in_storms(design),
        way_in: to.way_in(&design.way_in),
        groundwater: to.groundwater(design),
        gravity_way: design.gravity_way.as_ref().map(|way| to.gravity_way(way)),
        measured: design.measured.iter().map(|result| to.measured(result)).collect(),
        pump_used: design.pump().map(|pump| pump.name.clone()),
        pumps: design.pumps.iter().zip(&design.standings).map(|(pump, standing)| to.pump(pump, standing)).collect(),
        stations: design.stations.iter().map(|station| to.station(station)).collect(),
        line_at_rest: to.rest(&design.rest),
        way_off: design.way_off.as_ref().map(|result| to.way_off(result)),
        basin: to.basin(design),
        flotation: to.flotation(&design.flotation),
        advice: design.advice.iter().map(|advice| to.advice(advice)).collect(),
        to_ask: design
            .to_ask
            .iter()
            .map(|question| QuestionOut { about: question.about, ask: question.ask, why: question.why })
            .collect(),
        local_rules: design.local_rules.iter().map(|rule| to.rule(rule)).collect(),
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
    fn rule(&self, rule: &RuleResult) -> RuleOut {
        let said = |said: &Filling| match said {
            Filling::Amount(amount) => SaidOut::Quantity(self.of(*amount)),
            Filling::Text(words) => SaidOut::Words(words.clone()),
        };
        RuleOut {
            id: rule.id,
            about: rule.about,
            rule: rule.rule.as_ref().map(said),
            here: rule.here.as_ref().map(said),
            outcome: rule.outcome.name(),
            ask: rule.ask,
        }
    }
    fn of(&self, amount: impl Into<AmountOf>) -> Quantity {
        let (value, unit) = amount.into().0.parts(self.units);
        Quantity::new(value, unit)
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
        let rains = storm.peak.flow.m3s() > 0.0;
        Storm {
            return_period: storm.period.map(|period| self.of(period)),
            frequency_factor: storm.frequency_factor,
            duration: rains.then(|| self.of(storm.peak.duration)),
            intensity: rains.then(|| self.of(storm.peak.intensity)),
            peak_runoff: rains.then(|| self.of(storm.peak.flow)),
            peak_runoff_by_infiltration: storm.peak_by_infiltration.map(|flow| self.of(flow)),
            steady_inflow: self.of(storm.steady),
            peak_inflow: rains.then(|| self.of(storm.peak_inflow)),
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
            coefficient_from: result.runoff_from.name(),
            time_of_concentration: self.of(result.time.time),
            intensity: self.of(result.intensity),
            own_peak: self.of(result.own_peak),
            by_curve_number: result.by_curve_number.as_ref().map(|runoff| self.curve_number(runoff)),
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
            curves: pump
                .curves
                .iter()
                .map(|point| CurveOut {
                    flow: self.of(point.line_flow),
                    pump_flow: self.of(point.pump_flow),
                    asked: self.of(point.asked),
                    given: point.given.map(|head| self.of(head)),
                })
                .collect(),
            losses: pump.losses.as_ref().map(|losses| self.losses(losses)),
            wear: pump.wear,
            worn: pump.worn.as_ref().map(|duty| self.meeting(duty)),
            worn_at_off_level: pump.worn_off.as_ref().map(|duty| self.meeting(duty)),
            without_relief_hole: pump.without_hole.map(|flow| self.of(flow)),
            greatest_leak: pump.greatest_leak.map(|flow| self.of(flow)),
            cycle: pump.cycle.as_ref().map(|cycle| self.cycle(cycle)),
            surplus_lasts: pump.surplus_lasts.map(|time| self.of(time)),
            longest_run: pump.longest_run.map(|longest| LongestRunOut {
                new: self.of(longest.new),
                darcy: longest.darcy.map(|length| self.of(length)),
                worn: longest.worn.map(|length| self.of(length)),
            }),
            conditions: pump.conditions.iter().map(|condition| self.condition(condition)).collect(),
            surge: pump.surge.as_ref().map(|surge| self.surge(surge)),
            slack: pump.slack.iter().map(|slack| self.slack(slack)).collect(),
            gravity_option: pump.gravity.as_ref().map(|option| self.gravity(option)),
            power: pump.power.as_ref().map(|power| self.power(power)),
            pair: pump.pair.as_ref().map(|pair| self.pair(pair)),
            findings: pump.findings.iter().map(|finding| finding.id).collect(),
        }
    }

    fn duty(&self, duty: &DutyAt) -> DutyOut {
        DutyOut {
            water_at: duty.at.words(),
            water_level: self.of(duty.water_level),
            static_head: self.of(duty.static_head),
            hazen_williams: self.meeting(&duty.duty),
            darcy_weisbach: duty.darcy.as_ref().map(|duty| self.meeting(duty)),
            velocities: duty.velocities.iter().map(|velocity| self.of(*velocity)).collect(),
        }
    }

    fn meeting(&self, duty: &Duty) -> MeetingOut {
        match duty {
            Duty::Meets(point) => MeetingOut::Meets {
                flow: self.of(point.line_flow),
                pump_flow: self.of(point.pump_flow),
                leak: self.of(point.leak),
                drained: self.of(point.drained),
                head: self.of(point.head),
                residual_m: point.residual.m(),
            },
            Duty::CannotLift { short } => MeetingOut::CannotLift { short: self.of(*short) },
            Duty::LeakTakesAll => MeetingOut::LeakTakesAll,
            Duty::BeforeFirstPoint { first } => MeetingOut::BeforeFirstPoint { first: self.of(*first) },
            Duty::BeyondLastPoint { last, at_least, surplus } => MeetingOut::BeyondLastPoint {
                last: self.of(*last),
                at_least: self.of(*at_least),
                surplus: self.of(*surplus),
            },
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
                    equivalent_length: self.of(stretch.equivalent),
                    made_of: stretch
                        .made_of
                        .iter()
                        .map(|fitting| FittingOut {
                            name: fitting.name.clone(),
                            count: fitting.count,
                            k: fitting.k,
                            equivalent_length: (fitting.equivalent > crate::quantity::Length::ZERO)
                                .then(|| self.of(fitting.equivalent)),
                            source: fitting.source.clone(),
                        })
                        .collect(),
                    fittings: self.of(stretch.fittings),
                })
                .collect(),
            opening: self.of(losses.opening),
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
            rise_without_valve: self.of(Amount::small(cycle.rise_without_valve)),
            restarts_without_valve: cycle.restarts_without_valve,
            leaves: self.of(cycle.leaves),
            shortest_run: self.of(cycle.shortest_run),
            worst_inflow: cycle.worst_inflow.map(|flow| self.of(flow)),
            shortest_cycle: cycle.shortest_cycle.map(|time| self.of(time)),
            worst_starts_per_hour: cycle.worst_starts.is_finite().then_some(cycle.worst_starts),
            worst_starts_per_hour_each: cycle.worst_starts.is_finite().then(|| cycle.worst_starts_each()),
            starts_allowed: cycle.starts_limit.0,
            starts_allowed_source: cycle.starts_limit.1.clone(),
            at_peak: state(&cycle.at_peak),
            at_steady: state(&cycle.at_steady),
            enough_live_volume: cycle.enough.map(|(live, _)| self.of(live)),
            enough: cycle.enough.map(|(_, how)| match how {
                Enough::OnAt(on) => EnoughOut::OnAt { on: self.of(Amount::small(on)) },
                Enough::Wider { on, plan } => {
                    EnoughOut::Wider { on: self.of(Amount::small(on)), plan_area: self.of(plan) }
                }
            }),
        }
    }

    fn basin(&self, design: &Design) -> Basin {
        let budget = &design.depth_budget;
        Basin {
            depth: self.of(Amount::small(budget.depth)),
            inlet_depth: budget.inlet_depth.map(|depth| self.of(Amount::small(depth))),
            pump_down: self.of(Amount::small(budget.pump_down)),
            dead_water: self.of(Amount::small(budget.dead_water)),
            spare: budget.spare.map(|spare| self.of(Amount::small(spare))),
            from_grate: budget.from_grate.as_ref().map(|way| self.way_down(way)),
            marks: design
                .basin_marks
                .iter()
                .map(|mark| MarkOut {
                    name: mark.name,
                    above_floor: self.of(Amount::small(mark.above_floor)),
                    below_rim: self.of(Amount::small(mark.below_rim)),
                    level: self.of(mark.level),
                })
                .collect(),
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
amount_of!(Area Duration Flow Head Intensity Length Level Pressure RainDepth ReturnPeriod Slope Velocity Volume Weight);

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
        Step::Solved { symbol, meaning, result, residual, iterations, source } => StepOut::Solved {
            iterations: *iterations,
            symbol: symbol.clone(),
            meaning,
            value: result.si,
            unit: si_unit(result.dimension),
            residual: figures(residual.si),
            source,
        },
    }
}
