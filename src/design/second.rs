//! The second pump by itself.

use super::finding::{Finding, Severity};
use super::line::LineAtRest;
use super::phrase::{Phrase, phrase};
use super::pump::{PumpResult, judge_silently};
use super::runoff::StormResult;
use crate::quantity::Amount;
use crate::site::{Pumping, Site};

/// What stands against a second pump of another kind: where it also runs alone, in its turn or in the first one's stead,
/// it is judged as the first one; where it only joins, it needs its water at its own stop.
pub(super) fn alone(site: &Site, first: &PumpResult, storm: &StormResult, rest: &LineAtRest) -> Option<Finding> {
    let pair = first.pair.as_ref().filter(|pair| !pair.alike)?;
    let second = site.pumps.iter().find(|pump| pump.name == pair.second)?;
    if !site.pumping.alternate && pair.lag_entered {
        let needed = second.lowest_level.filter(|needed| pair.lag_off < *needed)?;
        return Some(
            Finding::stop(
                "second-off-level-too-low",
                phrase!(
                    "`{}` stops at {} above the floor but needs {} of water: it draws air and wears out",
                    second.name.as_str(),
                    Amount::small(pair.lag_off),
                    Amount::small(needed)
                ),
            )
            .about(&second.name)
            .cure(phrase!("`lag_off` at {} above the floor or higher", Amount::small_at_least(needed))),
        );
    }
    let pumping = Pumping { chosen: Some(second.name.clone()), lag: Some(first.name.clone()), ..site.pumping.clone() };
    let swapped = Site { pumping, ..site.clone() };
    let result = judge_silently(&swapped, second, storm, rest);
    let known = |message: &Phrase| first.findings.iter().any(|finding| finding.message == *message);
    let stop =
        result.findings.into_iter().find(|finding| finding.severity == Severity::Stop && !known(&finding.message))?;
    let when = if site.pumping.alternate { "in its turn" } else { "in the first one's stead" };
    let message = phrase!("`{}` also runs alone, {}: {}", second.name.as_str(), when, stop.message.say(site.units));
    Some(Finding { id: "second-pump-fails-alone", message, about: Some(second.name.clone()), ..stop })
}
