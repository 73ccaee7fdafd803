//! What a set has to spare.

use crate::design::{PairResult, Trial, WaterLevel};
use crate::quantity::Flow;
use crate::site::Site;

/// Of what most is used up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SpareOf {
    /// The depth of water allowed.
    Depth,
    /// The time that it may stand.
    Time,
    /// The flow asked for.
    Flow,
}

impl SpareOf {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Depth => "depth allowed",
            Self::Time => "time allowed",
            Self::Flow => "flow asked for",
        }
    }
}

/// What is left of that part of the goal of which most is used up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spare {
    /// The share left: of the depth or the time allowed, or of the flow delivered; below zero where it is overdrawn.
    pub share: f64,
    /// Of what.
    pub of: SpareOf,
}

impl Spare {
    /// The share left in whole percent, rounded down: what is compared and printed.
    pub fn percent(&self) -> i64 {
        percent(self.share)
    }
}

/// A share in whole percent, rounded down.
pub(super) fn percent(share: f64) -> i64 {
    // a share is of the order of one: nothing is lost
    #[allow(clippy::cast_possible_truncation)]
    let whole = libm::floor((share * 100.0 + 1e-6).clamp(-1e9, 1e9)) as i64;
    whole
}

/// What a set has to spare in the design storm; none where that cannot be told.
pub(super) fn spare(site: &Site, trial: &Trial) -> Option<Spare> {
    let storm = trial.in_storm.as_ref().ok();
    let left = |used: f64| if used.is_finite() { Some(1.0 - used) } else { None };
    let depth = site.goal.standing_water.zip(storm).and_then(|(most, storm)| {
        // where none is allowed, none is all that can be kept to
        if most.m() > 0.0 { left(storm.depth() / most) } else { Some(if storm.depth().m() > 0.0 { -1.0 } else { 0.0 }) }
    });
    let time = site
        .goal
        .clear_within
        .zip(storm)
        .and_then(|(most, storm)| if storm.still_stands() { Some(-1.0) } else { left(storm.stands() / most) });
    let flow = site.goal.flow.and_then(|asked| {
        let delivered = delivered(trial)?;
        if delivered > Flow::ZERO { left(asked / delivered) } else { Some(-1.0) }
    });
    let parts = [(SpareOf::Depth, depth), (SpareOf::Time, time), (SpareOf::Flow, flow)];
    parts
        .into_iter()
        .filter_map(|(of, share)| share.map(|share| Spare { share, of }))
        .reduce(|least, next| if next.share < least.share { next } else { least })
}

/// What leaves the line at the off level, where the second pump joins with both at its lowest.
fn delivered(trial: &Trial) -> Option<Flow> {
    let together = trial.pump.pair.as_ref().and_then(PairResult::least);
    together.or_else(|| trial.pump.point(WaterLevel::Off).map(|point| point.line_flow))
}

/// The share of the peak inflow that the pumps bring, water half-way between the floats: at most all of it.
pub(super) fn pumped_share(trial: &Trial) -> Option<f64> {
    let pumped = trial.pump.all_pumped()?;
    (trial.storm.peak_inflow > Flow::ZERO).then(|| (pumped / trial.storm.peak_inflow).min(1.0))
}
