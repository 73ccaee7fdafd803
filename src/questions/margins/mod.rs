//! How wrong an estimate may be: how far each thing that a design rests on may be otherwise before the design fails, and
//! in how many of many sites, otherwise in all of them at once, it holds.
//!
//! The design is that of the pump which is used as things are entered: another value does not change the pump.

mod change;
mod hypercube;
mod result;
mod sampling;
mod search;
mod words;

#[cfg(test)]
mod tests;

pub use crate::design::likely::{Assumption, Counted, Spread};
pub use result::{Margin, Margins, Reached};
pub use sampling::{FEWEST_RUNS, Input, MOST_RUNS, REPLICATES, Sampling};

use crate::design::side_by_side::side_by_side;
use crate::design::{Brought, DesignError, LongRain, Trial, trial_of, trial_of_goal_of, with_pump, without_stone};
use crate::site::Site;
use change::Changer;
use search::{Search, Turns};

/// What is asked beside the margins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sample {
    /// How many runs, in [`REPLICATES`] parts.
    pub runs: u32,
    /// The seed of the random numbers.
    pub seed: u64,
}

/// The margins of a site, and a sample of sites like it where one is asked for.
///
/// # Errors
/// As [`crate::design::design`].
pub fn margins(site: &Site, sample: Option<Sample>) -> Result<Margins, DesignError> {
    let (mut site, entered, brought) = pinned(site)?;
    // only the goal's return period is judged: the others need not be changed and copied with all else
    site.rain.storms = site.rain.storms.get(site.rain.design).cloned().into_iter().collect();
    site.rain.design = 0;
    let changer = Changer { site: &site, ground: entered.storm.groundwater.basis };
    let known: Vec<Assumption> =
        Assumption::ALL.into_iter().filter(|known| changer.value(&site, *known, 0.0).is_some()).collect();
    let found = side_by_side(&known, |assumption| {
        Search { changer: &changer, base: &entered, assumption: *assumption, brought: &brought }.turns()
    });
    let holds = entered.holds();
    let mut margins: Vec<Margin> = known
        .iter()
        .zip(found)
        .filter_map(|(assumption, turns)| {
            let sign = if holds { assumption.worse() } else { -assumption.worse() };
            let (change, stop) = match turns {
                Turns::At(amount, stop) => (amount * sign, Some(stop)),
                Turns::NotWithin(amount) => (amount * sign, None),
            };
            let changed = changer.changed(&site, *assumption, change)?;
            let reached = Reached {
                change,
                slack: changer.slack(*assumption, change),
                value: changer.value(&changed, *assumption, change)?,
            };
            Some(Margin { assumption: *assumption, now: changer.value(&site, *assumption, 0.0)?, reached, stop })
        })
        // what may not be changed at all tells nothing
        .filter(|margin| margin.stop.is_some() || margin.reached.change.abs() > 0.0)
        .collect();
    margins.sort_by(|one, other| {
        // alike to a hundredth of a percent they stay in their own order, whatever the last digits say
        let order = |margin: &Margin| (margin.stop.is_none(), libm::round(margin.reached.slack * 1e4));
        let (one, other) = (order(one), order(other));
        one.0.cmp(&other.0).then(one.1.total_cmp(&other.1))
    });
    let sampling = sample.map(|asked| {
        sampling::sample(&changer, &known, (usize::try_from(asked.runs).unwrap_or(usize::MAX), asked.seed))
    });
    let fails_without_stone = || {
        let full = without_stone(&site)?;
        Some(!trial_of(&full, &Brought::to(&full).ok()?, LongRain::LeftOut).ok()?.holds())
    };
    Ok(Margins {
        title: site.title.clone(),
        units: site.units,
        pump: entered.pump.name.clone(),
        pumps: site.pumping.count,
        holds,
        goal_given: site.goal.standing_water.is_some() || site.goal.clear_within.is_some() || site.goal.flow.is_some(),
        rain_duration: change::duration_shown(&site),
        hangs_on_stone: holds && fails_without_stone() == Some(true),
        soil_may_take_less: entered
            .storm
            .peak_by_infiltration
            .map(|peak| peak / entered.storm.peak.flow)
            .filter(|more| *more > 1.2 && more.is_finite()),
        not_followed: entered.in_storm.as_ref().err().cloned(),
        stops: entered.stops,
        margins,
        sampling,
    })
}

/// The site with the pump that its design is made with and no other, tried; what rain and groundwater bring it.
fn pinned(site: &Site) -> Result<(Site, Trial, Brought), DesignError> {
    let brought = Brought::to(site)?;
    let pinned = if site.pumps.len() == 1 {
        site.clone()
    } else {
        // it hangs on the nested storm alone
        let tried = trial_of_goal_of(site, &brought, LongRain::LeftOut)?;
        with_pump(site, &tried.pump.name).ok_or(DesignError::NoPump)?
    };
    let entered = trial_of(&pinned, &brought, LongRain::LookedAt)?;
    Ok((pinned, entered, brought))
}

/// A site with an assumption changed as the margins change it: by so much, a share of its value, m, or a share of the
/// pump's head, as [`Assumption::counted`] says. None where the site does not have it, or the change makes no site.
pub fn changed(site: &Site, assumption: Assumption, change: f64) -> Option<Site> {
    let (site, entered, _) = pinned(site).ok()?;
    let changer = Changer { site: &site, ground: entered.storm.groundwater.basis };
    changer.value(&site, assumption, 0.0)?;
    changer.changed(&site, assumption, change)
}
