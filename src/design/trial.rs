//! A site tried in its design storm alone: what stands against it, in a part of the time of a whole design.

use super::basis::JudgeOnly;
use super::finding::{Finding, Severity};
use super::line::{self, LineAtRest};
use super::pump::{PumpResult, for_storms, judge_for_stops};
use super::runoff::{self, StormResult};
use super::storm::{self, Incoming, NotFollowed, Ready, StormOutcome};
use super::way_in::{self, GroundwaterResult};
use super::way_off;
use super::{DesignError, basis, checks, flotation, gravity_way, groundwater_run, measured, second, storm_words};
use crate::routing::Unwatched;
use crate::site::Site;
use crate::working::Silent;
use std::borrow::Cow;

/// What came of trying a site.
#[derive(Clone, Debug)]
pub struct Trial {
    /// The pump that the design is made with.
    pub pump: PumpResult,
    /// The design storm.
    pub storm: StormResult,
    /// The design storm followed in time, as far as it can matter to how deep and how long water stands: its volumes and
    /// starts may be those up to there. Why not, where it could not be.
    pub in_storm: Result<StormOutcome, NotFollowed>,
    /// What stands against the site: the stops of [`super::design`], in its order.
    pub stops: Vec<Finding>,
}

impl Trial {
    /// Whether nothing stands against it.
    pub fn holds(&self) -> bool {
        self.stops.is_empty()
    }
    /// The first thing that stands against it.
    pub fn first_stop(&self) -> Option<&Finding> {
        self.stops.first()
    }
    /// Whether a finding of this name stands against it.
    pub fn stopped_by(&self, id: &str) -> bool {
        self.stops.iter().any(|stop| stop.id == id)
    }
}

/// What rain and groundwater bring a site: the same for all that differ by no more than pump and discharge line.
#[derive(Clone, Debug)]
pub(crate) struct Brought {
    ground: GroundwaterResult,
    incoming: Incoming<'static>,
}

impl Brought {
    /// What they bring.
    ///
    /// # Errors
    /// The rain does not reach a duration that is needed.
    pub(crate) fn to(site: &Site) -> Result<Self, DesignError> {
        let ground = way_in::groundwater(site, &mut Silent);
        let storm = runoff::storm(site, site.rain.design, &ground, &mut Silent).map_err(|source| {
            let period = site.rain.storms.get(site.rain.design).and_then(|(period, _)| *period);
            DesignError::Rain { storm: storm_words(period, site.units), source }
        })?;
        Ok(Self { ground, incoming: Incoming::of(Cow::Owned(storm)) })
    }
}

/// Tries a site: the stops that [`super::design`] finds, the other return periods, the power cut and the cures left out.
///
/// # Errors
/// As [`super::design`].
pub fn trial(site: &Site) -> Result<Trial, DesignError> {
    trial_of(site, &Brought::to(site)?, LongRain::LookedAt)
}

/// Tries a site for its goal alone: of the stops only those that its storm brings, in a part of the time again. Of the pump
/// no more is worked out than that takes.
///
/// # Errors
/// As [`super::design`].
pub fn trial_of_goal(site: &Site) -> Result<Trial, DesignError> {
    trial_of_goal_of(site, &Brought::to(site)?, LongRain::LookedAt)
}

/// Whether steady rains longer than the burst are followed where the nested storm keeps the goal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum LongRain {
    LookedAt,
    /// They take as long as all else: nothing more stands against a site without them, and what does stands in the same
    /// order.
    LeftOut,
}

/// A trial of a site whose rain and groundwater are known.
///
/// # Errors
/// There is no pump.
pub(crate) fn trial_of(site: &Site, brought: &Brought, long_rain: LongRain) -> Result<Trial, DesignError> {
    let Followed { rest, pump, in_storm, missed, .. } = followed(site, brought, long_rain, judge_for_stops)?;
    let (ground, storm) = (&brought.ground, brought.incoming.storm());
    let way_in = way_in::for_stops(site, storm);
    let flotation = flotation::flotation(site, &mut Silent);
    let gravity_way = gravity_way::gravity_way(site, storm.peak_inflow);
    let found = checks::Found { way_in: &way_in, flotation: &flotation, gravity_way: gravity_way.as_ref() };
    let mut findings = checks::site(site, storm, &rest, &found);
    let way_off = way_off::way_off(site, &pump);
    let groundwater_run = groundwater_run::groundwater_run(site, &pump, storm);
    let measured = measured::measured(site, ground, storm, Some(&pump));
    let beyond =
        checks::Beyond { way_off: way_off.as_ref(), groundwater_run: groundwater_run.as_ref(), measured: &measured };
    findings.extend(checks::chosen(site, &pump, storm, &beyond));
    findings.extend(pump.findings.iter().cloned());
    findings.extend(missed);
    findings.extend(second::alone(site, &pump, storm, &rest));
    findings.retain(|finding| finding.severity == Severity::Stop);
    Ok(Trial { pump, storm: storm.clone(), in_storm, stops: findings })
}

/// A trial for the goal alone of a site whose rain and groundwater are known.
///
/// # Errors
/// There is no pump.
pub(crate) fn trial_of_goal_of(site: &Site, brought: &Brought, long_rain: LongRain) -> Result<Trial, DesignError> {
    let Followed { pump, in_storm, missed, .. } = followed(site, brought, long_rain, for_storms)?;
    let of_storm = pump.findings.iter().filter(|finding| checks::storm::STOPS.contains(&finding.id)).cloned();
    let stops = of_storm.chain(missed).collect();
    Ok(Trial { pump, storm: brought.incoming.storm().clone(), in_storm, stops })
}

/// Whether a site keeps its goal in the nested storm wherever in its cycle the pump is when the burst comes; none where it
/// does not keep it, or that is not known.
pub(crate) fn kept_anywhere(site: &Site, brought: &Brought) -> Option<bool> {
    let Followed { pump, in_storm, ready, .. } = followed(site, brought, LongRain::LeftOut, for_storms).ok()?;
    let kept = !pump.findings.iter().any(|finding| checks::storm::STOPS.contains(&finding.id));
    let (nested, ready, coming) = (in_storm.ok().filter(|_| kept)?, ready?, brought.incoming.coming(site).ok()?);
    storm::kept_anywhere(site, ready, coming, &nested).ok()
}

/// The pump used, and the design storm followed with it.
struct Followed {
    rest: LineAtRest,
    pump: PumpResult,
    in_storm: Result<StormOutcome, NotFollowed>,
    /// A steady rain that misses the goal where the design storm keeps it.
    missed: Option<Finding>,
    /// What it was followed with, where that was not needed for the long rains.
    ready: Option<Ready>,
}

fn followed(
    site: &Site,
    brought: &Brought,
    long_rain: LongRain,
    judge_only: JudgeOnly,
) -> Result<Followed, DesignError> {
    let incoming = &brought.incoming;
    let rest = line::at_rest(site);
    let (mut pump, run) = basis::chosen::<Unwatched>(site, incoming, &rest, (storm::Until::ItMatters, judge_only))
        .ok_or(DesignError::NoPump)?;
    let run = match run {
        Some(run) => Ok(run),
        None => super::follow(site, &mut pump, incoming, &rest, storm::Until::ItMatters),
    };
    let (in_storm, missed, ready) = match (run, pump.in_storm.clone()) {
        (Ok(run), Some(nested)) => match long_rain {
            LongRain::LookedAt => {
                let missed = storm::longest_missed(site, &pump, incoming.storm(), (&nested, run.ready), &rest);
                (Ok(nested), missed, None)
            }
            LongRain::LeftOut => (Ok(nested), None, Some(run.ready)),
        },
        (run, _) => (Err(run.err().unwrap_or(NotFollowed::NoFlow)), None, None),
    };
    Ok(Followed { rest, pump, in_storm, missed, ready })
}
