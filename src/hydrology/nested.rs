//! A storm made of a rain's own depths and durations, the hardest part in the middle.

use super::excess::RainBlock;
use super::rainfall::{Rain, RainError};
use crate::quantity::Duration;

/// A duration is at the most so many times the one before it.
const FARTHEST_APART: f64 = 1.5;
/// The most blocks on each side of the middle one.
const MOST_SIDE_BLOCKS: usize = 60;

/// A nested storm: the rain of the shortest duration in the middle, and what each longer duration brings beyond the one
/// before it laid half before and half after. Any stretch around the middle that is one of the durations brings just the
/// depth of that duration.
///
/// The durations are those of a table between the two that are given, with others between so that none is more than one
/// and a half times the one before; the depth of those follows from the rain as everywhere. Source: the alternating blocks of FHWA HDS-2, 2nd ed. (2002), section 6.3, laid evenly on both sides.
///
/// # Errors
///
/// The rain is not known for one of the durations, or the shortest is not above zero.
pub fn nested_storm(rain: &Rain, shortest: Duration, longest: Duration) -> Result<Vec<RainBlock>, RainError> {
    let mut wanted = Vec::new();
    if let Rain::Table(table) = rain {
        wanted.extend(table.points().iter().map(|point| point.0).filter(|at| *at > shortest && *at < longest));
    }
    if longest > shortest {
        wanted.push(longest);
    }
    let mut durations = vec![shortest];
    for next in wanted {
        // depth bends between durations that lie far apart
        while let Some(last) = durations.last().map(|last| *last * FARTHEST_APART).filter(|between| *between < next)
            && durations.len() < MOST_SIDE_BLOCKS
        {
            durations.push(last);
        }
        durations.push(next);
    }
    let mut blocks = vec![RainBlock { duration: shortest, intensity: rain.depth(shortest)? / shortest }];
    for pair in durations.windows(2) {
        let [before, after] = pair else { continue };
        let side = (*after - *before) / 2.0;
        let block = RainBlock { duration: side, intensity: (rain.depth(*after)? - rain.depth(*before)?) / 2.0 / side };
        blocks.insert(0, block);
        blocks.push(block);
    }
    Ok(blocks)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hydrology::DepthDuration;
    use crate::quantity::{Intensity, RainDepth};
    use approx::assert_relative_eq;

    fn table() -> Rain {
        let points = [(5.0, 0.55), (15.0, 1.04), (60.0, 1.87), (1440.0, 4.30)];
        let points = points.map(|(minutes, inch)| (Duration::from_min(minutes), RainDepth::from_inch(inch)));
        Rain::Table(DepthDuration::new(points.to_vec()).unwrap())
    }

    #[test]
    fn identity_every_duration_holds_its_own_depth() {
        let rain = table();
        let blocks = nested_storm(&rain, Duration::from_min(5.0), Duration::from_h(24.0)).unwrap();
        let middle = blocks.len() / 2;
        assert_eq!(blocks.len() % 2, 1);
        // 5 and 15 min with two between, 60 min with three, a day with seven
        for (side, minutes) in [(0, 5.0), (3, 15.0), (7, 60.0), (15, 1440.0)] {
            let inner = blocks.get(middle - side..=middle + side).unwrap();
            let depth: RainDepth = inner.iter().map(|block| block.intensity * block.duration).sum();
            let time: Duration = inner.iter().map(|block| block.duration).sum();
            assert_relative_eq!(time.minutes(), minutes, max_relative = 1e-12);
            let known = rain.depth(Duration::from_min(minutes)).unwrap();
            assert_relative_eq!(depth.inch(), known.inch(), max_relative = 1e-12);
        }
    }

    #[test]
    fn identity_one_intensity_stays_one_intensity() {
        let rain = Rain::Constant(Intensity::from_inh(2.0));
        let blocks = nested_storm(&rain, Duration::from_min(5.0), Duration::from_h(24.0)).unwrap();
        assert!(blocks.iter().all(|block| (block.intensity.inh() - 2.0).abs() < 1e-9));
        let time: Duration = blocks.iter().map(|block| block.duration).sum();
        assert_relative_eq!(time.h(), 24.0, max_relative = 1e-12);
        assert!(nested_storm(&table(), Duration::from_min(1.0), Duration::from_h(24.0)).is_err());
    }
}
