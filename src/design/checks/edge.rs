//! The edge over which water runs off by itself before it gets into a place that must stay dry.

use crate::catalog;
use crate::design::phrase::{Phrase, phrase};
use crate::quantity::{Amount, Flow, Length, Level};
use crate::routing::crest_depth;
use crate::site::{LowSpot, Site};

/// A flow that comes at once, and what is said of where it comes from.
#[derive(Clone, Debug)]
pub(in crate::design) struct Peak {
    /// The flow.
    pub(in crate::design) flow: Flow,
    /// `the peak of the 10 yr storm`.
    pub(in crate::design) what: String,
}

/// The low spot with the name, else the one that runs over highest.
fn spot<'s>(site: &'s Site, name: Option<&str>) -> Option<&'s LowSpot> {
    let higher = |best: &'s LowSpot, next: &'s LowSpot| if next.spills_at > best.spills_at { next } else { best };
    let named = site.low_spots.iter().find(|spot| Some(spot.name.as_str()) == name);
    named.or_else(|| site.low_spots.iter().reduce(higher))
}

/// A way off by gravity that keeps water out of a place: its edge lies lower by what stands over it while the peak runs
/// over with no pump at all.
pub(super) fn that_keeps_dry(site: &Site, hollow: Option<&str>, place: Level, peak: &Peak) -> Phrase {
    let spot = spot(site, hollow);
    let usual = catalog::default_limits().spill_width.value;
    let entered = spot.and_then(|spot| spot.spill_width);
    let width = entered.unwrap_or(usual);
    let over = crest_depth(peak.flow, width);
    let edge = place - over;
    let too_high = spot.and_then(|spot| Some((spot, spot.spills_at?))).filter(|(_, at)| *at > edge && *at < place);
    let too_high = too_high.map_or_else(String::new, |(spot, at)| {
        format!("; the edge of `{}` at {} lies too high", spot.name, Amount::of(at).show(site.units))
    });
    let in_the_ground = spot.and_then(|spot| spot.surface.first()).is_some_and(|(lowest, _)| *lowest >= edge);
    phrase!(
        "a way for the water to run off by gravity, where it harms nothing, over an edge at {} or lower: {}, {}, stands {} deep over a notch of {}{}{}{}",
        Amount::level_at_most(edge),
        peak.what.as_str(),
        peak.flow,
        Amount::small(over.max(Length::ZERO)),
        width,
        if entered.is_some() { "" } else { ", taken" },
        too_high,
        if in_the_ground { "; that is no higher than the lowest ground, so that it takes a wider notch" } else { "" }
    )
}
