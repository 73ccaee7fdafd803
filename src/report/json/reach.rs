//! How long the run may be, for programs.

use super::Maker;
use super::wire::FORMAT;
use super::wire::reach::{CaseOut, DeliveredOut, ExtentOut, ReachOut};
use crate::design::{Delivered, FittingsStay};
use crate::quantity::UnitSystem;
use crate::questions::reach::{Case, Extent, Job, Margin, Reach, TakenFrom, assumed_words, sentences};

/// How long the run may be, as text with two spaces of indent and a line break at its end.
pub fn reach_json(reach: &Reach) -> String {
    // wire types hold nothing that JSON cannot
    let mut text = serde_json::to_string_pretty(&reach_answer(reach)).unwrap_or_default();
    text.push('\n');
    text
}

/// How long the run may be.
pub fn reach_answer(reach: &Reach) -> ReachOut {
    let to = Maker { units: reach.units };
    ReachOut {
        format: FORMAT,
        kind: "reach",
        program: env!("CARGO_PKG_NAME"),
        version: env!("CARGO_PKG_VERSION"),
        title: reach.title.clone(),
        units: match reach.units {
            UnitSystem::Us => "us",
            UnitSystem::Metric => "metric",
        },
        job: reach.job.name(),
        flow_asked: match reach.job {
            Job::Flow(flow) => Some(to.of(flow)),
            Job::Goal | Job::Scour | Job::Everything => None,
        },
        job_from: match reach.taken_from {
            TakenFrom::Asked => "asked",
            TakenFrom::File => "goal of the file",
            TakenFrom::FlowOfFile => "flow of the file",
        },
        within_reach: reach.within(),
        sentences: sentences(reach),
        assumed: assumed_words(reach),
        run: reach.run.map(|run| to.of(run)),
        fittings: match reach.fittings {
            FittingsStay::AsDrawn => "as drawn",
            FittingsStay::WithTheRun => "with the run",
        },
        wear: reach.wear,
        pump: reach.pump.clone(),
        longest_tried: to.of(reach.tried),
        by_lift: reach.by_lift,
        cases: reach.cases.iter().map(|case| to.case(case)).collect(),
    }
}

impl Maker {
    fn case(&self, case: &Case) -> CaseOut {
        let (spare, short) = match case.margin {
            Some(Margin::Spare(length) | Margin::AtLeast(length)) => (Some(self.of(length)), None),
            Some(Margin::Short(length)) => (None, Some(self.of(length))),
            Some(Margin::Never | Margin::TooShort) | None => (None, None),
        };
        CaseOut {
            pump: case.pump.clone(),
            material: case.material.clone(),
            size: case.size.clone(),
            pipe_as_drawn: case.pipe_as_drawn,
            lift: self.of(case.lift),
            lift_as_drawn: case.lift_as_drawn,
            outlet_over_off_level: case.outlet.map(|outlet| self.of(outlet)),
            new: self.extent(&case.extent),
            worn: case.worn.as_ref().map(|worn| self.extent(worn)),
            flow_half_way: case.half_way.map(|flow| self.delivered(flow)),
            flow_at_off_level: case.off.map(|flow| self.delivered(flow)),
            ended_by: case.ended_by.as_ref().map(|why| why.say(self.units)),
            hangs_on_cycle_from: case.hangs_from.map(|from| self.of(from)),
            done_as_drawn: case.done_as_drawn,
            spare,
            short,
        }
    }

    fn extent(&self, extent: &Extent) -> ExtentOut {
        ExtentOut {
            done: match extent {
                Extent::Never { .. } => "never",
                Extent::UpTo { .. } => "up to a length",
                Extent::AnyLength { .. } => "any length tried",
            },
            longest: extent.longest().map(|length| self.of(length)),
            from: extent.from().map(|length| self.of(length)),
            why: match extent {
                Extent::Never { why } => Some(why.say(self.units)),
                Extent::UpTo { .. } | Extent::AnyLength { .. } => None,
            },
        }
    }

    fn delivered(&self, delivered: Delivered) -> DeliveredOut {
        DeliveredOut {
            known: match delivered {
                Delivered::Flow(_) => "so much",
                Delivered::AtLeast(_) => "at least",
                Delivered::NotKnown => "not known",
                Delivered::Nothing { .. } => "nothing",
            },
            flow: self.of(delivered.at_least()),
        }
    }
}
