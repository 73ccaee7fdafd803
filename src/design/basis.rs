//! What following one storm needs of a design, without the rest of it: the runoff of each storm and the pump used.

use super::bench::Bench;
use super::line::{self, LineAtRest};
use super::pump::{self, PumpResult};
use super::rank::{self, Standing};
use super::runoff::{self, StormResult};
use super::side_by_side::in_two_rounds;
use super::storm::{Coming, Incoming, NotFollowed, Ready, Run, StormOutcome, Until, ready};
use super::way_in::{self, GroundwaterResult};
use super::{Design, DesignError, storm_words};
use crate::hydrology::RainError;
use crate::pump_selection::Pump;
use crate::quantity::ReturnPeriod;
use crate::routing::{Recording, Unwatched, Watch};
use crate::site::Site;
use crate::working::{Silent, Working};
use std::borrow::Cow;

/// The runoff of each storm of a site and the pump that its design is made with.
#[derive(Clone, Debug)]
pub struct Basis {
    /// The storms of the site's rain that were asked for and can be worked out, in its order.
    pub storms: Vec<StormResult>,
    /// The storm the design is made for.
    pub design: StormResult,
    /// The pump that it is made with.
    pub pump: PumpResult,
    rest: LineAtRest,
    /// The design storm as it comes, and what became of it, where it had to be followed to choose the pump.
    run: Option<(Coming, Run<Recording>)>,
}

/// Works out the basis of a site: the same storms and the same pump as [`super::design`], in a part of its time.
///
/// # Errors
/// As [`super::design`].
pub fn basis(site: &Site) -> Result<Basis, DesignError> {
    basis_of(site, |_| true)
}

/// The same with the runoff of one return period alone beside that of the design; without one, of the design alone.
///
/// # Errors
/// As [`super::design`].
pub fn basis_for(site: &Site, period: Option<ReturnPeriod>) -> Result<Basis, DesignError> {
    basis_of(site, |known| period.is_some_and(|asked| same_period(known, asked)))
}

/// Return periods closer together than this share are one.
const SAME: f64 = 1e-6;

/// Whether a return period of the rain is the one asked for.
pub(crate) fn same_period(known: Option<ReturnPeriod>, asked: ReturnPeriod) -> bool {
    known.is_some_and(|known| (known.years() - asked.years()).abs() <= asked.years() * SAME)
}

fn basis_of(site: &Site, wanted: impl Fn(Option<ReturnPeriod>) -> bool) -> Result<Basis, DesignError> {
    let ground = way_in::groundwater(site, &mut Silent);
    let Storms { design, all, .. } = storms(site, &ground, wanted, &mut Silent)?;
    let rest = line::at_rest(site);
    let incoming = Incoming::of(Cow::Borrowed(&design));
    let (pump, run) =
        chosen(site, &incoming, &rest, (Until::Rest, pump::judge_for_stops)).ok_or(DesignError::NoPump)?;
    let run = run.and_then(|run| Some((incoming.into_coming()?, run)));
    Ok(Basis { storms: all, design, pump, rest, run })
}

/// The runoff of the storms of a site.
pub(super) struct Storms {
    /// That of the storm the design is made for.
    pub(super) design: StormResult,
    /// Of every storm that can be worked out, in the order of the rain.
    pub(super) all: Vec<StormResult>,
    /// The others, with why not.
    pub(super) left_out: Vec<(String, RainError)>,
}

/// The runoff of each storm that is wanted, and of the one that the design is made for, whose working is kept.
pub(super) fn storms<W: Working>(
    site: &Site,
    ground: &GroundwaterResult,
    wanted: impl Fn(Option<ReturnPeriod>) -> bool,
    w: &mut W,
) -> Result<Storms, DesignError> {
    let words = |index: usize| storm_words(site.rain.storms.get(index).and_then(|(period, _)| *period), site.units);
    let design = runoff::storm(site, site.rain.design, ground, w)
        .map_err(|source| DesignError::Rain { storm: words(site.rain.design), source })?;
    let (mut all, mut left_out) = (Vec::new(), Vec::new());
    for (index, (period, _)) in site.rain.storms.iter().enumerate() {
        if index == site.rain.design {
            all.push(design.clone());
            continue;
        }
        if !wanted(*period) {
            continue;
        }
        // what the design does not need must not stop it
        match runoff::storm(site, index, ground, &mut Silent) {
            Ok(other) => all.push(other),
            Err(source) => left_out.push((words(index), source)),
        }
    }
    Ok(Storms { design, all, left_out })
}

/// How the only pump of a site is worked out: there is none to rank it with.
pub(super) type JudgeOnly = fn(&Site, &Pump, &StormResult, &LineAtRest) -> PumpResult;

/// The pump named in the file, the only one, or the best of them; with the design storm, where that had to be followed
/// to tell.
pub(super) fn chosen<W: Watch + Default + Send>(
    site: &Site,
    incoming: &Incoming<'_>,
    rest: &LineAtRest,
    (until, judge_only): (Until, JudgeOnly),
) -> Option<(PumpResult, Option<Run<W>>)> {
    let storm = incoming.storm();
    let named = site.pumping.chosen.as_ref().and_then(|name| site.pumps.iter().find(|pump| &pump.name == name));
    let only = match site.pumps.as_slice() {
        [only] => Some(only),
        _ => named,
    };
    if let Some(pump) = only {
        return Some((judge_only(site, pump, storm, rest), None));
    }
    // why it could not be followed is said of the pump that is used
    let follow = |mut pump: PumpResult| {
        let run = super::follow(site, &mut pump, incoming, rest, until).ok();
        (pump, run)
    };
    // what comes is reckoned beside the pumps, as whichever is followed needs it
    let work: Vec<Work<'_>> = site.pumps.iter().map(Work::Judge).chain([Work::Incoming]).collect();
    let judge = |work: &Work<'_>| match work {
        Work::Judge(pump) => Some(pump::judge_silently(site, pump, storm, rest)),
        Work::Incoming => {
            let _ = incoming.coming(site);
            None
        }
    };
    let likeliest = |judged: Vec<Option<PumpResult>>| {
        rank::likeliest(site, judged.into_iter().flatten().collect(), storm.peak_inflow)
    };
    // beside each other two take no longer than one
    let (followed, others) = in_two_rounds(&work, judge, likeliest, follow);
    rank::best(site, followed, others, storm.peak_inflow, follow)
}

/// What is done beside each other before a storm is followed.
enum Work<'s> {
    Judge(&'s Pump),
    Incoming,
}

/// All pumps judged, best first, how each stands, and which of them is used.
pub(super) fn ranked(
    site: &Site,
    incoming: &Incoming<'_>,
    rest: &LineAtRest,
    follow: bool,
) -> (Vec<PumpResult>, Vec<Standing>, usize) {
    let storm = incoming.storm();
    let judged = super::side_by_side::side_by_side(&site.pumps, |pump| {
        let mut judged = pump::judge_silently(site, pump, storm, rest);
        if follow {
            let _ = super::follow::<Unwatched>(site, &mut judged, incoming, rest, Until::Rest);
        }
        judged
    });
    rank::rank(site, judged, storm.peak_inflow)
}

impl Design {
    /// What following one storm needs of it.
    pub fn basis(&self) -> Option<Basis> {
        Some(Basis {
            storms: self.storms.clone(),
            design: self.storm.clone(),
            pump: self.pump()?.clone(),
            rest: self.rest.clone(),
            run: None,
        })
    }
}

impl Basis {
    /// The storm of a return period.
    pub fn storm(&self, period: Option<ReturnPeriod>) -> Option<&StormResult> {
        self.storms.iter().find(|storm| storm.period == period)
    }
    /// The site made ready for following water through it.
    ///
    /// # Errors
    /// There is nothing to follow, or no pump to follow it with.
    pub(crate) fn ready(&self, site: &Site) -> Result<Cow<'_, Ready>, NotFollowed> {
        if let Some((_, run)) = &self.run {
            return Ok(Cow::Borrowed(&run.ready));
        }
        let entered = site.pumps.iter().find(|entered| entered.name == self.pump.name).ok_or(NotFollowed::NoFlow)?;
        let incoming = Incoming::of(Cow::Borrowed(&self.design));
        ready(site, &Bench::new(site, entered, &self.rest), &incoming, &self.pump).map(Cow::Owned)
    }
    /// What was seen of the design storm, where it was followed.
    pub(crate) fn seen(&self) -> Option<(&StormOutcome, &Coming, &Recording)> {
        let (coming, run) = self.run.as_ref()?;
        Some((self.pump.in_storm.as_ref()?, coming, &run.watch))
    }
}
