//! A designed yard made ready for a record.

use super::result::Assumed;
use super::runoff::Runoff;
use crate::design::storm::{LEAST_DEPTH, Network};
use crate::design::{Design, NotFollowed};
use crate::quantity::{Duration, Flow, Length, Power};
use crate::routing::{Forcing, Mark, Router, System};
use crate::site::{RunoffFrom, Site};

/// A yard made ready for a record.
#[derive(Clone, Debug)]
pub(super) struct RecordYard<'s> {
    pub(super) site: &'s Site,
    pub(super) design: &'s Design,
    pub(super) network: &'s Network,
    pub(super) system: &'s System,
    pub(super) runoff: Runoff,
    /// What comes without rain.
    pub(super) base: Forcing,
    /// Each hollow's, in order, then those of the protected places.
    pub(super) marks: Vec<Mark>,
    /// How many hollows.
    pub(super) hollows: usize,
    /// The marks of each protected place.
    pub(super) protected: Vec<Vec<usize>>,
    /// The longest time of concentration.
    pub(super) gathers_in: Duration,
    pub(super) power: Option<Power>,
    pub(super) assumed: Assumed,
}

impl<'s> RecordYard<'s> {
    pub(super) fn new(
        site: &'s Site,
        design: &'s Design,
        network: &'s Network,
        system: &'s System,
    ) -> Result<Self, NotFollowed> {
        let runoff = Runoff::new(site, design, network)?;
        let mut base = Forcing::none(system);
        let mut add = |store: usize, flow: Flow| {
            if let Some(inflow) = base.inflow.get_mut(store) {
                inflow.0 += flow.m3s();
            }
        };
        for (store, flow) in &network.steady {
            add(*store, *flow);
        }
        let mut pulses = None;
        for (inflow, store) in site.inflows.iter().zip(&network.inflow_stores) {
            let mean = inflow.pulses.map(|(runs, rests)| inflow.flow * (runs / (runs + rests)));
            if let Some(mean) = mean {
                pulses = Some(pulses.unwrap_or(Flow::ZERO) + mean);
            }
            add(*store, mean.unwrap_or(inflow.flow));
        }
        if let Some(table) = network.table {
            for value in &mut base.table {
                *value = (table.m(), 0.0);
            }
        }
        let film = site.limits.film.value;
        let mut marks: Vec<Mark> =
            network.hollows().map(|(store, hollow)| Mark { store, level: hollow.rim + film }).collect();
        let hollows = marks.len();
        // the same as in a storm
        let watched: Vec<usize> = network.hollows().map(|(store, _)| store).collect();
        let mut protected = Vec::new();
        for place in &site.protected {
            let first = marks.len();
            marks.extend(watched.iter().map(|store| Mark { store: *store, level: place.level }));
            protected.push((first..marks.len()).collect());
        }
        let times = design.storm.catchments.iter().map(|result| result.time.time);
        let gathers_in = times.fold(Duration::ZERO, Duration::max);
        let by = |from: RunoffFrom| design.storm.catchments.iter().any(|result| result.runoff_from == from);
        let steady: Flow = network.steady.iter().map(|(_, flow)| *flow).sum();
        let assumed = Assumed {
            by_infiltration: by(RunoffFrom::Infiltration),
            by_curve_number: by(RunoffFrom::CurveNumber),
            pulses,
            groundwater_at: network.table.filter(|_| !system.seeps.is_empty()),
            groundwater_steady: (steady > Flow::ZERO).then_some(steady),
            rise_left_out: site.groundwater.storm_high.is_some(),
            frequency_factor: design.storm.frequency_factor,
            yard: network.assumptions.clone(),
        };
        let power = design.pump().and_then(|pump| pump.power.as_ref()).and_then(|power| power.electrical);
        Ok(Self { site, design, network, system, runoff, base, marks, hollows, protected, gathers_in, power, assumed })
    }
    /// The deepest water over a rim since it was last forgotten: how deep, in which hollow and when.
    pub(super) fn deepest(&self, router: &Router<'_>) -> (Length, Option<(&str, f64)>) {
        let depths = self.network.hollows().map(|(store, hollow)| {
            let (level, at_s) = router.highest_level(store);
            ((level - hollow.rim).max(Length::ZERO), (hollow.name.as_str(), at_s))
        });
        let deepest = depths.reduce(|best, next| if next.0 > best.0 { next } else { best });
        match deepest {
            Some((depth, place)) if depth >= LEAST_DEPTH => (depth, Some(place)),
            _ => (Length::ZERO, None),
        }
    }
}
