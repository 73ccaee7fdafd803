//! The margins for programs.

use super::Maker;
use super::wire::margins::{InputOut, MarginOut, MarginsOut, SamplingOut, StopCount};
use super::wire::{FORMAT, Quantity};
use crate::quantity::{Amount, Length, Slope, UnitSystem};
use crate::questions::margins::{Assumption, Counted, Margin, Margins, REPLICATES, Sampling};

/// The margins as text, two spaces of indent, a line break at its end.
pub fn margins_json(found: &Margins) -> String {
    // wire types hold nothing that JSON cannot
    let mut text = serde_json::to_string_pretty(&wire(found)).unwrap_or_default();
    text.push('\n');
    text
}

/// The margins.
fn wire(found: &Margins) -> MarginsOut {
    let to = Maker { units: found.units };
    MarginsOut {
        format: FORMAT,
        kind: "margins",
        program: env!("CARGO_PKG_NAME"),
        version: env!("CARGO_PKG_VERSION"),
        title: found.title.clone(),
        units: match found.units {
            UnitSystem::Us => "us",
            UnitSystem::Metric => "metric",
        },
        pump: found.pump.clone(),
        holds: found.holds,
        sentence: found.sentence(),
        remarks: found.remarks(),
        stops: found.stops.iter().map(|stop| to.finding(stop)).collect(),
        margins: found.margins.iter().map(|margin| to.margin(margin)).collect(),
        sampling: found.sampling.as_ref().map(|sampling| to.sampling(sampling)),
    }
}

impl Maker {
    pub(super) fn margin(&self, margin: &Margin) -> MarginOut {
        let turns = margin.stop.is_some();
        let value = || self.of(margin.reached.value);
        MarginOut {
            assumption: margin.assumption.id(),
            now: self.of(margin.now),
            turns_at: turns.then(value),
            not_within: (!turns).then(value),
            change: self.change(margin.assumption, margin.reached.change),
            slack: turns.then(|| self.of(Slope::from_ratio(margin.reached.slack))),
            slack_of: margin.assumption.slack_of(),
            stop: margin.stop.as_ref().map(|stop| self.finding(stop)),
        }
    }
    fn change(&self, assumption: Assumption, change: f64) -> Quantity {
        match assumption.counted() {
            Counted::Length => self.of(Amount::small(Length::from_m(change))),
            Counted::OfValue | Counted::OfHead => self.of(Slope::from_ratio(change)),
        }
    }
    fn sampling(&self, sampling: &Sampling) -> SamplingOut {
        SamplingOut {
            seed: sampling.seed,
            runs: sampling.runs,
            replicates: REPLICATES,
            holds: sampling.holds,
            not_worked_out: sampling.not_worked_out,
            share: self.of(Slope::from_ratio(sampling.share)),
            standard_error: self.of(Slope::from_ratio(sampling.standard_error)),
            stops: sampling.stops.iter().map(|(id, times)| StopCount { id, times: *times }).collect(),
            inputs: sampling
                .inputs
                .iter()
                .map(|input| InputOut {
                    assumption: input.assumption.id(),
                    low: self.change(input.assumption, input.spread.low),
                    high: self.change(input.assumption, input.spread.high),
                    distribution: "triangular",
                    source: input.spread.source,
                    worse_in: input.worse_in,
                })
                .collect(),
        }
    }
}
