//! The band about a figure: each thing that it rests on changed to both ends of its range, one at a time, and the changes
//! added as the root of the sum of their squares, upwards and downwards apart.

use super::run::{Pumped, Run, run};
use super::{Predicted, pumped, volume};
use crate::basin::height_for_volume;
use crate::design::bench::Bench;
use crate::design::likely::{Assumption, otherwise};
use crate::design::storage::all_bodies;
use crate::design::{InflowBasis, line};
use crate::hydraulics::{drain_back, stretch_volume};
use crate::numeric::bracketed_root;
use crate::pump_selection::Pump;
use crate::quantity::{Duration, Flow, Length, Measure, Volume};
use crate::site::Site;

/// A figure with its band. An end that is not known is none.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band<Q> {
    /// As designed.
    pub value: Q,
    /// The lower end.
    pub low: Option<Q>,
    /// The upper end.
    pub high: Option<Q>,
}

/// A part of a band: what is uncertain, by how much, and what that does.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// What is uncertain.
    pub what: &'static str,
    /// By how much, in words that need no units: `-13 % to 0 %`; a length, m.
    pub range: PartRange,
    /// Where the range comes from.
    pub source: &'static str,
    /// What the figure, an SI number, becomes at the lower and at the upper end of the range, less the figure; none
    /// where that is not known.
    pub changes: (Option<f64>, Option<f64>),
}

/// The range of a part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PartRange {
    /// Shares of the value.
    Share(f64, f64),
    /// Lengths.
    Length(Length, Length),
    /// Times.
    Time(Duration, Duration),
    /// What it is says it all.
    Said,
}

/// The head of a pump as it comes against its data sheet: ISO 9906 grade 3B allows 7 % of head, from memory.
pub(super) const PUMP_CURVE: f64 = 0.07;
const PUMP_CURVE_SOURCE: &str = "ISO 9906 grade 3B, from memory";
/// How exactly a start and a stop are timed by hand, 2 s: common practice, no source.
const BY_HAND: Duration = Duration::from_min(1.0 / 30.0);
/// How exactly a bucket is filled by hand, 1 s: common practice, no source.
const BUCKET_BY_HAND: Duration = Duration::from_min(1.0 / 60.0);
/// What a tape shows of moving water: common practice, no source.
const BY_TAPE: Length = Length::from_inch(0.25);
const PRACTICE: &str = "common practice, no source";

/// A pump that has lost more of its head is broken: common practice, no source.
const MOST_WORN: f64 = 0.6;

/// A site of which some things are uncertain.
pub(super) struct Uncertain<'a> {
    pub(super) site: &'a Site,
    pub(super) pump: &'a str,
    pub(super) ground: InflowBasis,
}

const LINE: [Assumption; 5] =
    [Assumption::PipeC, Assumption::Bore, Assumption::Fittings, Assumption::RunLength, Assumption::Lift];

impl Uncertain<'_> {
    /// Works something out with the pump set up on a site.
    fn on<R>(&self, site: &Site, work: impl Fn(&Bench<'_>) -> R) -> Option<R> {
        let pump = site.pumps.iter().find(|pump| pump.name == self.pump)?;
        let rest = line::at_rest(site);
        Some(work(&Bench::new(site, pump, &rest)))
    }

    /// The parts that changes of the site make, of a figure that may not be known.
    fn parts(&self, of: &[Assumption], value: f64, work: &impl Fn(&Bench<'_>) -> Option<f64>) -> Vec<Part> {
        of.iter()
            .map(|assumption| {
                let spread = assumption.spread(self.site);
                let at = |change: f64| {
                    let site = otherwise(self.site.clone(), self.ground, *assumption, change)?;
                    Some(self.on(&site, work)?? - value)
                };
                Part {
                    what: assumption.words(),
                    range: match assumption {
                        Assumption::Lift => PartRange::Length(Length::from_m(spread.low), Length::from_m(spread.high)),
                        _ => PartRange::Share(spread.low, spread.high),
                    },
                    source: spread.source,
                    changes: (at(spread.low), at(spread.high)),
                }
            })
            .collect()
    }

    /// The part of the pump's own curve.
    fn pump_part(&self, value: f64, work: &impl Fn(&Bench<'_>) -> Option<f64>) -> Part {
        let at = |factor: f64| {
            let mut site = self.site.clone();
            for pump in &mut site.pumps {
                pump.curve = pump.curve.scaled(factor);
            }
            Some(self.on(&site, work)?? - value)
        };
        Part {
            what: "pump's head at a flow",
            range: PartRange::Share(-PUMP_CURVE, PUMP_CURVE),
            source: PUMP_CURVE_SOURCE,
            changes: (at(1.0 - PUMP_CURVE), at(1.0 + PUMP_CURVE)),
        }
    }

    /// A run over a fall down to the off level, with its band. Where the fall was measured the floats do not matter.
    pub(super) fn run(&self, fall: Length, measured: bool, inflow: Flow) -> Option<Predicted> {
        let whole = |bench: &Bench<'_>| if measured { fall } else { bench.site.basin.on - bench.site.basin.off };
        let time_on = |bench: &Bench<'_>| match run(bench, (bench.pump, bench.pump.height), whole(bench), inflow) {
            Run::Takes(time) => Some(time.s()),
            Run::AtMost(_) | Run::Never | Run::Unknown => None,
        };
        let time = self.on(self.site, time_on)??;
        let water = self.on(self.site, |bench| volume(bench, fall))?;
        let mut parts = self.parts(&LINE, time, &time_on);
        parts.push(self.pump_part(time, &time_on));
        parts.extend(self.parts(&[Assumption::BasinWidth], time, &time_on));
        if measured {
            let at = |change: Length| {
                let fall = fall + change;
                self.on(self.site, |bench| match run(bench, (bench.pump, bench.pump.height), fall, inflow) {
                    Run::Takes(time) => Some(time.s()),
                    _ => None,
                })?
                .map(|other| other - time)
            };
            parts.push(Part {
                what: "fall by the tape",
                range: PartRange::Length(-BY_TAPE, BY_TAPE),
                source: PRACTICE,
                changes: (at(-BY_TAPE), at(BY_TAPE)),
            });
        } else {
            parts.extend(self.parts(&[Assumption::FloatOn, Assumption::FloatOff], time, &time_on));
        }
        parts.extend(self.empty_line(time));
        parts.push(Part {
            what: "timing by hand",
            range: PartRange::Time(-BY_HAND, BY_HAND),
            source: PRACTICE,
            changes: (Some(-BY_HAND.s()), Some(BY_HAND.s())),
        });
        let time = banded(Duration::from_s(time), Duration::ZERO, &parts);
        Some(Predicted { fall, volume: water, time, parts })
    }

    /// The share of its head that the pump has lost if a run takes so long; none where no worn pump does.
    pub(super) fn worn(&self, fall: Length, inflow: Flow, took: Duration) -> Option<f64> {
        self.on(self.site, |bench| {
            let miss = |share: f64| {
                let worn = Pump { curve: bench.pump.curve.worn(share), ..bench.pump.clone() };
                match run(bench, (&worn, worn.height), fall, inflow) {
                    Run::Takes(time) | Run::AtMost(time) => (time - took).s(),
                    // it takes for ever
                    Run::Never | Run::Unknown => took.s(),
                }
            };
            bracketed_root(0.0, MOST_WORN, 1e-4, miss).ok().map(|root| root.x)
        })?
    }

    /// A line that runs empty after each stop fills against less than its full lift: at most so much is saved.
    fn empty_line(&self, time: f64) -> Option<Part> {
        let saved = self.on(self.site, |bench| {
            if bench.rest.held {
                return None;
            }
            let site = bench.site;
            let filled = stretch_volume(&site.discharge, Length::ZERO, site.discharge.highest_at());
            let Pumped::Flows(full) = pumped(bench, (site.basin.off + site.basin.on) / 2.0) else { return None };
            // with next to no line the pump moves no more than this, nor more than its last point
            let open = bench.flow_on(&bench.next_to_no_run(), site.basin.level(site.basin.on));
            let most = open.unwrap_or_else(|| bench.pump.curve.last_flow()).max(full);
            Some((filled / full - filled / most).s())
        })??;
        Some(Part {
            what: "line empty at the start",
            range: PartRange::Said,
            source: "at most: as if the pump filled it with no run to push through",
            changes: (Some(-saved.min(time)), Some(0.0)),
        })
    }

    /// The flow at the outlet, half-way between the floats.
    pub(super) fn flow(&self) -> Option<(Band<Flow>, Vec<Part>)> {
        let at = |bench: &Bench<'_>, height: Length| match pumped(bench, height) {
            Pumped::Flows(flow) => Some(flow.m3s()),
            _ => None,
        };
        let middle = |bench: &Bench<'_>| at(bench, (bench.site.basin.off + bench.site.basin.on) / 2.0);
        let flow = self.on(self.site, middle)??;
        let mut parts = self.parts(&LINE, flow, &middle);
        parts.push(self.pump_part(flow, &middle));
        let basin = &self.site.basin;
        let level = |height: Length| self.on(self.site, |bench| at(bench, height))?.map(|other| other - flow);
        parts.push(Part {
            what: "level in the basin meanwhile",
            range: PartRange::Said,
            source: "anywhere from the off level to the on level",
            changes: (level(basin.off), level(basin.on)),
        });
        Some((banded(Flow::from_m3s(flow), Flow::ZERO, &parts), parts))
    }

    /// How far the water rises after the stop.
    pub(super) fn rise(&self) -> Option<(Band<Length>, Vec<Part>)> {
        let rise_on = |bench: &Bench<'_>| {
            let (site, basin) = (bench.site, &bench.site.basin);
            let back = drain_back(&site.discharge, basin.floor, basin.level(basin.off));
            let runs_back = if bench.rest.held { back.with_valve } else { back.without_valve };
            let (bodies, tallest) = all_bodies(bench);
            Some(height_for_volume(basin.plan.area(), basin.off, runs_back, bodies, tallest).m())
        };
        let rise = self.on(self.site, rise_on)??;
        let changed = [Assumption::Bore, Assumption::RunLength, Assumption::FloatOff, Assumption::BasinWidth];
        let mut parts = self.parts(&changed, rise, &rise_on);
        parts.push(Part {
            what: "reading by the tape",
            range: PartRange::Length(-BY_TAPE, BY_TAPE),
            source: PRACTICE,
            changes: (Some(-BY_TAPE.m()), Some(BY_TAPE.m())),
        });
        Some((banded(Length::from_m(rise), Length::ZERO, &parts), parts))
    }
}

/// A figure with the band of its parts, its lower end not below a least.
fn banded<Q: Measure<f64>>(value: Q, least: Q, parts: &[Part]) -> Band<Q> {
    let (mut down, mut up) = (Some(0.0), Some(0.0));
    for part in parts {
        // what an end that is not known would do is not known either way: it is the worse one that counts
        let (low, high) = match part.changes {
            (Some(one), Some(other)) => (Some(one.min(other).min(0.0)), Some(one.max(other).max(0.0))),
            (Some(known), None) | (None, Some(known)) if known < 0.0 => (Some(known), None),
            (Some(known), None) | (None, Some(known)) => (None, Some(known)),
            (None, None) => (None, None),
        };
        down = down.zip(low).map(|(sum, low)| sum + low * low);
        up = up.zip(high).map(|(sum, high)| sum + high * high);
    }
    Band {
        value,
        low: down.map(|squares: f64| Q::from_si((value.si() - squares.sqrt()).max(least.si()))),
        high: up.map(|squares: f64| Q::from_si(value.si() + squares.sqrt())),
    }
}

impl<Q: Measure<f64> + PartialOrd> Band<Q> {
    /// Where a measurement lies: below, within, above.
    pub fn place(&self, measured: Q) -> std::cmp::Ordering {
        use std::cmp::Ordering;
        if self.low.is_some_and(|low| measured < low) {
            Ordering::Less
        } else if self.high.is_some_and(|high| measured > high) {
            Ordering::Greater
        } else {
            Ordering::Equal
        }
    }
}

impl Band<Flow> {
    /// How long a flow takes to fill a volume, filled by hand. None where the flow's lower end is none.
    pub fn fills(&self, volume: Volume) -> Band<Duration> {
        let time = |flow: Flow| volume / flow;
        let value = time(self.value);
        let together =
            |off: Duration| Duration::from_s((off.s() * off.s() + BUCKET_BY_HAND.s() * BUCKET_BY_HAND.s()).sqrt());
        let quick = self.high.map(|flow| value - together(value - time(flow)));
        let slow = self.low.filter(|flow| *flow > Flow::ZERO).map(|flow| value + together(time(flow) - value));
        Band { value, low: quick.map(|quick| quick.max(Duration::ZERO)), high: slow }
    }
}
