//! The course of a storm for programs.

use super::Maker;
use super::wire::storm::{
    BalanceOut, CourseOut, EventOut, GoalOut, HollowOut, KeptOut, LevelsOut, OutcomeOut, ProtectedOut, RowOut, SpanOut,
    StormOut, SwitchOut,
};
use super::wire::{FORMAT, Quantity};
use crate::design::StormOutcome;
use crate::quantity::{Amount, UnitSystem};
use crate::questions::storm::{Course, Event, Happens, PowerCase, Row, Spanned};

/// The course of a storm as text, two spaces of indent, a line break at its end.
pub fn storm_json(course: &Course) -> String {
    // wire types hold nothing that JSON cannot
    let mut text = serde_json::to_string_pretty(&storm_course(course)).unwrap_or_default();
    text.push('\n');
    text
}

/// The course of a storm.
pub fn storm_course(course: &Course) -> CourseOut {
    let to = Maker { units: course.units };
    let outcome = &course.outcome;
    let (power, power_off_at) = match course.power {
        PowerCase::Always => ("always", None),
        PowerCase::OffFrom(at) => ("until a time", Some(to.of(at))),
        PowerCase::Never => ("never", None),
    };
    CourseOut {
        format: FORMAT,
        kind: "course of a storm",
        program: env!("CARGO_PKG_NAME"),
        version: env!("CARGO_PKG_VERSION"),
        title: course.title.clone(),
        units: match course.units {
            UnitSystem::Us => "us",
            UnitSystem::Metric => "metric",
        },
        storm: StormOut {
            return_period: course.period.map(|period| to.of(period)),
            shape: outcome.shape.name(),
            worst_of_steady: course.worst_steady,
            lasts: to.of(outcome.lasts),
            rain: to.of(outcome.rain),
            runoff: to.of(outcome.runoff),
            peak_runoff: to.of(course.peak_runoff.1),
            peak_runoff_at: to.of(course.peak_runoff.0),
            peak_inflow: to.of(outcome.peak_inflow),
        },
        power,
        power_off_at,
        pump: course.pump.clone(),
        two_pumps: course.two_pumps,
        levels: LevelsOut {
            floor: to.of(course.levels.floor),
            off: to.of(course.levels.off),
            on: to.of(course.levels.on),
            second_on: course.levels.second_on.map(|level| to.of(level)),
            alarm: course.levels.alarm.map(|level| to.of(level)),
            rim: to.of(course.levels.rim),
        },
        outcome: to.storm_outcome(outcome),
        balance: BalanceOut {
            came: to.of(course.balance.came),
            pumped: to.of(course.balance.pumped),
            spilled: to.of(course.balance.spilled),
            held: to.of(course.balance.held),
            error: to.of(course.balance.error),
        },
        goal: GoalOut {
            standing_water: course.depth_goal.map(|(limit, kept)| KeptOut { limit: to.of(Amount::small(limit)), kept }),
            clear_within: course.clear_goal.map(|(limit, kept)| KeptOut { limit: to.of(limit), kept }),
        },
        events: course.events.iter().map(|event| to.event(event)).collect(),
        switches: course
            .switches
            .iter()
            .map(|switch| SwitchOut { at: to.of(switch.at), pump: switch.pump, on: switch.on })
            .collect(),
        spans: course
            .spans
            .iter()
            .map(|span| SpanOut {
                what: spanned(&span.what).0,
                place: spanned(&span.what).1,
                from: to.of(span.from),
                until: span.until.map(|until| to.of(until)),
            })
            .collect(),
        every: to.of(course.every),
        quiet_every: course.quiet.map(|(quiet, _)| to.of(quiet)),
        after_every: course.quiet.map(|(_, after)| to.of(after)),
        window_from: to.of(course.window.0),
        window_until: to.of(course.window.1),
        rows: course.rows.iter().map(|row| to.row(row, course.two_pumps)).collect(),
        assumptions: course.assumptions.iter().map(|assumption| to.assumption(assumption)).collect(),
    }
}

/// What lasts, in a word, and where.
fn spanned(what: &Spanned) -> (&'static str, Option<String>) {
    match what {
        Spanned::Stands { hollow } => ("water stands", Some(hollow.clone())),
        Spanned::RunsOver { hollow, .. } => ("runs over", Some(hollow.clone())),
        Spanned::Alarm => ("alarm", None),
        Spanned::Reaches { place, .. } => ("reaches", Some(place.clone())),
    }
}

impl Maker {
    fn storm_outcome(&self, outcome: &StormOutcome) -> OutcomeOut {
        OutcomeOut {
            hollows: outcome
                .hollows
                .iter()
                .map(|hollow| HollowOut {
                    name: hollow.name.clone(),
                    assumed: hollow.assumed,
                    rim: self.of(hollow.rim),
                    stays: self.of(Amount::small(hollow.stays)),
                    deepest: self.of(Amount::small(hollow.deepest)),
                    deepest_at: self.of(hollow.deepest_at),
                    volume: self.of(hollow.volume),
                    stands: self.of(hollow.stands),
                    stands_from: hollow.stands_from.map(|at| self.of(at)),
                    still_stands: hollow.still_stands,
                    spilled: self.of(hollow.spilled),
                    spills_to: hollow.spills_to.clone(),
                    beyond_entries: hollow.beyond_entries,
                })
                .collect(),
            highest_in_basin: self.of(outcome.highest_in_basin),
            starts: outcome.starts,
            runs: self.of(outcome.runs),
            second_runs: self.of(outcome.second_runs),
            alarm_at: outcome.alarm_at.map(|at| self.of(at)),
            protected: outcome
                .protected
                .iter()
                .map(|(name, level, at)| ProtectedOut {
                    name: name.clone(),
                    level: self.of(*level),
                    reached_at: at.map(|at| self.of(at)),
                })
                .collect(),
            groundwater_risen: self.groundwater_risen(outcome),
            followed: self.of(outcome.followed),
            at_rest: outcome.at_rest,
        }
    }

    fn event(&self, event: &Event) -> EventOut {
        let mut out = EventOut {
            at: self.of(event.at),
            what: "",
            pump: None,
            runs: None,
            ran: None,
            until: None,
            amount: None,
            of: None,
            place: None,
        };
        match &event.what {
            Happens::HardestRain(rain) => (out.what, out.amount) = ("hardest rain", Some(self.of(*rain))),
            Happens::RainEnds => out.what = "rain ends",
            Happens::PeakRunoff(flow) => (out.what, out.amount) = ("peak runoff", Some(self.of(*flow))),
            Happens::PowerGoes => out.what = "power goes",
            Happens::PumpStarts(pump) => (out.what, out.pump) = ("pump starts", Some(*pump)),
            Happens::PumpStops(pump, ran) => {
                (out.what, out.pump, out.ran) = ("pump stops", Some(*pump), Some(self.of(*ran)));
            }
            Happens::PumpCycles { pump, runs, ran, until } => {
                (out.what, out.pump, out.runs) = ("pump cycles", Some(*pump), Some(*runs));
                (out.ran, out.until) = (Some(self.of(*ran)), Some(self.of(*until)));
            }
            Happens::Begins(what) => {
                let (of, place) = spanned(what);
                (out.what, out.of, out.place) = ("begins", Some(of), place);
            }
            Happens::Ends(what) => {
                let (of, place) = spanned(what);
                (out.what, out.of, out.place) = ("ends", Some(of), place);
            }
            Happens::Deepest(hollow, depth) => {
                (out.what, out.place) = ("deepest", Some(hollow.clone()));
                out.amount = Some(self.of(Amount::small(*depth)));
            }
            Happens::AtRest => out.what = "at rest",
            Happens::NotAtRest => out.what = "not at rest",
        }
        out
    }

    fn row(&self, row: &Row, two_pumps: bool) -> RowOut {
        let running = |(index, runs): (u8, &bool)| runs.then_some(index);
        let ran: Vec<Quantity> =
            row.ran.iter().take(if two_pumps { 2 } else { 1 }).map(|time| self.of(*time)).collect();
        RowOut {
            at: self.of(row.at),
            rain: self.of(row.rain),
            runoff: self.of(row.runoff),
            into_basin: self.of(row.into_basin),
            level: self.of(row.level),
            pumps_running: (1..).zip(&row.running).filter_map(running).collect(),
            pumped: self.of(row.pumped),
            depths: row.depths.iter().map(|depth| self.of(Amount::small(*depth))).collect(),
            standing: self.of(row.standing),
            ran,
            starts: row.starts,
        }
    }
}
