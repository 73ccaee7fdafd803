//! What a chart of the course is drawn from: equal pieces of time, each with what was highest in it.

use super::runs::Runs;
use super::watching::Extremes;
use crate::hydrology::RainBlock;
use crate::quantity::{Duration, Intensity, Length, Level, Volume};
use crate::routing::StageStorage;

/// Pieces of time that a chart is made of.
pub(super) const COLUMNS: u32 = 60;

/// One piece of time of a chart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Column {
    /// The hardest rain in it.
    pub rain: Intensity,
    /// The lowest water in the basin.
    pub lowest: Level,
    /// The highest.
    pub highest: Level,
    /// The share of it that each pump ran, from 0 to 1.
    pub ran: [f64; 2],
    /// The deepest water over the rim of the hollow with the deepest water in this storm.
    pub depth: Length,
}

/// A chart of the time that is shown finely.
#[derive(Clone, Debug, PartialEq)]
pub struct Chart {
    /// Its beginning, from the start of the rain.
    pub from: Duration,
    /// The length of one piece.
    pub each: Duration,
    /// The pieces.
    pub columns: Vec<Column>,
}

/// Where a hollow's water is read: its store and its rim.
pub(super) struct Pool<'a> {
    pub(super) store: &'a StageStorage,
    pub(super) rim: Level,
}

pub(super) fn chart(
    extremes: &Extremes,
    basin: &StageStorage,
    pool: Option<&Pool<'_>>,
    blocks: &[RainBlock],
    runs: &[Runs; 2],
) -> Chart {
    let (from, each) = (Duration::from_s(extremes.from_s), Duration::from_s(extremes.each_s));
    let mut columns: Vec<Column> = Vec::with_capacity(extremes.columns.len());
    for (index, (least, most, deepest)) in extremes.columns.iter().enumerate() {
        let begin = from + each * index as f64;
        let end = begin + each;
        let level = |held: f64| basin.level_at(Volume::from_m3(held));
        // a piece that no stretch touched is as the one before it
        let before = columns.last().copied();
        let (lowest, highest) = if most.is_finite() {
            (level(*least), level(*most))
        } else {
            before.map_or((basin.lowest(), basin.lowest()), |before| (before.highest, before.highest))
        };
        let depth = match pool {
            Some(pool) if deepest.is_finite() => pool.store.depth_over(Volume::from_m3(*deepest), pool.rim),
            _ => Length::ZERO,
        };
        let share = |runs: &Runs| runs.between(begin, end) / each;
        let [first, second] = runs;
        columns.push(Column {
            rain: hardest(blocks, begin, end),
            lowest,
            highest,
            ran: [share(first), share(second)],
            depth,
        });
    }
    Chart { from, each, columns }
}

/// The hardest rain between two times.
fn hardest(blocks: &[RainBlock], from: Duration, until: Duration) -> Intensity {
    let mut begin = Duration::ZERO;
    let mut hardest = Intensity::ZERO;
    for block in blocks {
        let end = begin + block.duration;
        if begin < until && end > from {
            hardest = hardest.max(block.intensity);
        }
        begin = end;
    }
    hardest
}
