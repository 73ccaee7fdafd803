//! Storms in time: shapes other than the nested one, the durations worth trying, and how blocks are cut finer.

use super::excess::RainBlock;
use super::rainfall::{Rain, RainError};
use crate::quantity::{Duration, RainDepth};

/// A duration to try is at the most about so many times the one before it.
const LADDER: f64 = 1.5;
/// The most steps of a ladder of durations.
const MOST_STEPS: f64 = 60.0;
/// How far the ends of a mass curve may be off 0 and 1.
const WHOLE: f64 = 1e-9;
/// The most pieces that one block is cut into.
const MOST_PIECES: f64 = 10_000.0;

/// The longest block where losses change with time.
const LONGEST_WITH_LOSSES: Duration = Duration::from_min(10.0);
/// No block brings more than one of so many parts of the storm's depth where losses change with time.
const PARTS_OF_DEPTH: f64 = 200.0;

/// How the rain of a storm lies in time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum StormShape {
    /// The rain of all durations around one middle: [`super::nested_storm`].
    Nested,
    /// One steady rain of a duration: [`block_storm`].
    Block(Duration),
    /// A published 24-hour distribution, by its name: [`distribution_storm`].
    Distribution(&'static str),
}

impl StormShape {
    /// What it is called.
    pub fn name(&self) -> &'static str {
        match self {
            Self::Nested => "nested storm",
            Self::Block(_) => "steady rain",
            Self::Distribution(name) => name,
        }
    }
}

/// A steady rain: the mean intensity of a duration for as long as that.
///
/// # Errors
///
/// The rain is not known for the duration, or the duration is not above zero.
pub fn block_storm(rain: &Rain, duration: Duration) -> Result<Vec<RainBlock>, RainError> {
    Ok(vec![RainBlock { duration, intensity: rain.depth(duration)? / duration }])
}

/// Durations of steady rain to try between two, shortest first, when it is not known which of them is the worst.
///
/// Of a table its own durations, and between each two neighbours others evenly spaced on a log axis, at least one and none
/// more than twice the one before; of a formula a ladder of steps of about one and a half; of a constant intensity the longest alone, since no shorter rain brings more at any
/// time. Both ends are among them, as far as the rain is known there. None where the ends are no durations, or lie the
/// wrong way round.
pub fn durations_to_try(rain: &Rain, shortest: Duration, longest: Duration) -> Vec<Duration> {
    let from = rain.shortest().map_or(shortest, |known| known.max(shortest));
    let to = rain.longest().map_or(longest, |known| known.min(longest));
    if !(from > Duration::ZERO && from <= to && (to / from).is_finite() && to.is_finite()) {
        return Vec::new();
    }
    match rain {
        Rain::Constant(_) => vec![to],
        Rain::Formula { .. } => {
            let steps = libm::ceil(libm::log(to / from) / libm::log(LADDER) - WHOLE).clamp(1.0, MOST_STEPS);
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 1 and sixty")]
            let rungs = 0..steps as u32;
            let mut durations: Vec<Duration> =
                rungs.map(|rung| from * libm::pow(to / from, f64::from(rung) / steps)).collect();
            durations.push(to);
            durations.dedup();
            durations
        }
        Rain::Table(table) => {
            let mut ends = vec![from];
            ends.extend(table.points().iter().map(|point| point.0).filter(|at| *at > from && *at < to));
            ends.push(to);
            ends.dedup();
            let mut durations = Vec::with_capacity(2 * ends.len());
            for pair in ends.windows(2) {
                let [before, after] = pair else { continue };
                durations.push(*before);
                // the worst may lie far from both ends of a wide gap, as between an hour and a day
                let ratio = *after / *before;
                let steps = libm::ceil(libm::log2(ratio) - WHOLE).clamp(2.0, MOST_STEPS);
                #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 2 and sixty")]
                let rungs = 1..steps as u32;
                durations.extend(rungs.map(|rung| *before * libm::pow(ratio, f64::from(rung) / steps)));
            }
            durations.push(to);
            durations
        }
    }
}

/// The mass curve of a storm: the share of its depth that has fallen by a time.
#[derive(Clone, Debug, PartialEq)]
pub struct Distribution {
    points: Vec<(Duration, f64)>,
}

impl Distribution {
    /// A mass curve from its points in order of time.
    ///
    /// # Errors
    ///
    /// [`RainError::BadDistribution`] unless time rises from 0, and the share never falls from 0 up to 1.
    pub fn new(points: Vec<(Duration, f64)>) -> Result<Self, RainError> {
        let rises = points.windows(2).all(|pair| match pair {
            [before, after] => after.0 > before.0 && after.1 >= before.1,
            _ => false,
        });
        let whole = match (points.first(), points.last()) {
            (Some(first), Some(last)) => {
                first.0 == Duration::ZERO && first.1.abs() <= WHOLE && (last.1 - 1.0).abs() <= WHOLE
            }
            _ => false,
        };
        let finite = points.iter().all(|point| point.0.is_finite() && point.1.is_finite());
        if rises && whole && finite && points.len() > 1 { Ok(Self { points }) } else { Err(RainError::BadDistribution) }
    }
    /// Time and the share of the depth that has fallen by then, from 0 to 1.
    pub fn points(&self) -> &[(Duration, f64)] {
        &self.points
    }
    /// How long the storm lasts.
    pub fn duration(&self) -> Duration {
        self.points.last().map_or(Duration::ZERO, |point| point.0)
    }
    /// The share that has fallen by a time, straight between the points; not a number where the time is not.
    pub fn share(&self, at: Duration) -> f64 {
        if at.s().is_nan() {
            return f64::NAN;
        }
        let after = self.points.partition_point(|point| point.0 <= at);
        match (after.checked_sub(1).and_then(|before| self.points.get(before)), self.points.get(after)) {
            (Some(before), Some(after)) => before.1 + (after.1 - before.1) * ((at - before.0) / (after.0 - before.0)),
            (Some(last), None) => last.1,
            (None, _) => 0.0,
        }
    }
}

/// A storm of a depth that falls by a published distribution: steady rain between the points of its mass curve.
///
/// The half-hour steps of the published 24-hour tables flatten the burst that matters to a small yard: of type II the
/// hardest half hour brings 0.76 of the day's depth per hour, while the burst within it is nearly twice as strong. To be
/// used only where a town asks for it, and beside [`super::nested_storm`], which is made of the rain at the place.
///
/// # Errors
///
/// [`RainError::NotPositive`] where the depth is not a number above zero.
pub fn distribution_storm(depth: RainDepth, distribution: &Distribution) -> Result<Vec<RainBlock>, RainError> {
    if !(depth.is_finite() && depth > RainDepth::ZERO) {
        return Err(RainError::NotPositive { duration: distribution.duration() });
    }
    let block = |pair: &[(Duration, f64)]| match pair {
        [before, after] => {
            let duration = after.0 - before.0;
            Some(RainBlock { duration, intensity: depth * (after.1 - before.1) / duration })
        }
        _ => None,
    };
    Ok(distribution.points.windows(2).filter_map(block).collect())
}

/// The same rain in blocks that are no longer than `longest`: a longer one is cut into equal pieces.
///
/// All blocks stay whole where `longest` is not above zero.
pub fn split_blocks(blocks: &[RainBlock], longest: Duration) -> Vec<RainBlock> {
    split(blocks, |block| block.duration / longest)
}

/// The same rain in blocks short enough for losses that change with time: none longer than 10 min, and none with more
/// than one part in 200 of the storm's depth.
///
/// What runs off a block of steady rain begins part-way through it and rises in it, while [`super::excess_blocks`]
/// spreads it evenly over the block. A limit of time alone does not do: where most of the rain soaks in, a burst of
/// 10 min left whole loses a fifth of a peak that gathers in 5 min. With this limit peaks of nested storms and of steady
/// rains stay within 0.05 % of those of pieces of two seconds, for times of concentration from 5 min to 1 h.
pub fn split_for_losses(blocks: &[RainBlock]) -> Vec<RainBlock> {
    let fallen: RainDepth = blocks.iter().map(RainBlock::depth).sum();
    split(blocks, |block| (block.duration / LONGEST_WITH_LOSSES).max(block.depth() / fallen * PARTS_OF_DEPTH))
}

/// Each block in as many equal pieces as are enough.
fn split(blocks: &[RainBlock], pieces: impl Fn(&RainBlock) -> f64) -> Vec<RainBlock> {
    let mut split = Vec::with_capacity(blocks.len());
    for block in blocks {
        // a hair more than a whole number is rounding
        let pieces = libm::ceil(pieces(block) - WHOLE);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 1 and ten thousand")]
        let pieces = if pieces > 1.0 { pieces.min(MOST_PIECES) as u32 } else { 1 };
        let piece = RainBlock { duration: block.duration / f64::from(pieces), intensity: block.intensity };
        split.extend((0..pieces).map(|_| piece));
    }
    split
}
