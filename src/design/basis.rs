//! What following one storm needs of a design, without the rest of it: the runoff of each storm and the pump used.

use super::bench::Bench;
use super::line::{self, LineAtRest};
use super::pump::{self, PumpResult};
use super::rank;
use super::runoff::{self, StormResult};
use super::storm::{NotFollowed, Ready, ready};
use super::{DesignError, storm_words, way_in};
use crate::quantity::ReturnPeriod;
use crate::site::Site;
use crate::working::Silent;

/// The runoff of each storm of a site and the pump that its design is made with.
#[derive(Clone, Debug)]
pub struct Basis {
    /// Every storm of the site's rain that can be worked out, in its order.
    pub storms: Vec<StormResult>,
    /// The storm the design is made for.
    pub design: StormResult,
    /// The pump that it is made with.
    pub pump: PumpResult,
    rest: LineAtRest,
}

/// Works out the basis of a site: the same storms and the same pump as [`super::design`], in a part of its time.
///
/// # Errors
/// As [`super::design`].
pub fn basis(site: &Site) -> Result<Basis, DesignError> {
    let ground = way_in::groundwater(site, &mut Silent);
    let storm = |index: usize| runoff::storm(site, index, &ground, &mut Silent);
    let design = storm(site.rain.design).map_err(|source| DesignError::Rain {
        storm: storm_words(site.rain.storms.get(site.rain.design).and_then(|(period, _)| *period), site.units),
        source,
    })?;
    // what the design does not need must not stop it
    let storms = (0..site.rain.storms.len())
        .filter_map(|index| if index == site.rain.design { Some(design.clone()) } else { storm(index).ok() })
        .collect();
    let rest = line::at_rest(site);
    let pump = chosen(site, &design, &rest).ok_or(DesignError::NoPump)?;
    Ok(Basis { storms, design, pump, rest })
}

/// The pump named in the file, the only one, or the best of them.
pub(super) fn chosen(site: &Site, storm: &StormResult, rest: &LineAtRest) -> Option<PumpResult> {
    let named = site.pumping.chosen.as_ref().and_then(|name| site.pumps.iter().find(|pump| &pump.name == name));
    let only = match site.pumps.as_slice() {
        [only] => Some(only),
        _ => named,
    };
    if let Some(pump) = only {
        return Some(pump::judge_for_stops(site, pump, storm, rest));
    }
    let one = |pump: &_| super::in_storm(site, pump::judge_silently(site, pump, storm, rest), storm, rest);
    let judged = super::side_by_side::side_by_side(&site.pumps, one);
    let (mut pumps, _, chosen) = rank::rank(site, judged, storm.peak_inflow);
    (chosen < pumps.len()).then(|| pumps.swap_remove(chosen))
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
    pub(crate) fn ready(&self, site: &Site) -> Result<Ready, NotFollowed> {
        let entered = site.pumps.iter().find(|entered| entered.name == self.pump.name).ok_or(NotFollowed::NoFlow)?;
        ready(site, &Bench::new(site, entered, &self.rest), &self.design, &self.pump)
    }
}
