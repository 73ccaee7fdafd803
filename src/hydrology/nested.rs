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
    fn a_nested_storm_by_hand() {
        let minutes = Duration::from_min;
        let points = [(10.0, 1.0), (15.0, 1.2), (30.0, 1.2)];
        let points = points.map(|(at, inch)| (minutes(at), RainDepth::from_inch(inch)));
        let rain = Rain::Table(DepthDuration::new(points.to_vec()).unwrap());
        let storm = |shortest: f64, longest: f64| -> Vec<(f64, f64)> {
            let blocks = nested_storm(&rain, minutes(shortest), minutes(longest)).unwrap();
            blocks.iter().map(|block| (block.duration.minutes(), block.intensity.inh())).collect()
        };
        let near = |found: Vec<(f64, f64)>, wanted: &[(f64, f64)]| {
            assert_eq!(found.len(), wanted.len(), "{found:?}");
            for (found, wanted) in found.iter().zip(wanted) {
                assert_relative_eq!(found.0, wanted.0, max_relative = 1e-12);
                assert_relative_eq!(found.1, wanted.1, max_relative = 1e-9, epsilon = 1e-12);
            }
        };
        // an inch in 10 min is 6 in/h; the 0.2 in that 15 min bring beyond it fall half before and half after, in 2.5 min each:
        // 0.1 in x 60/2.5 = 2.4 in/h. One and a half times is not too far apart
        near(storm(10.0, 15.0), &[(2.5, 2.4), (10.0, 6.0), (2.5, 2.4)]);
        // from 15 to 30 min nothing falls, by way of 22.5 min
        near(
            storm(10.0, 30.0),
            &[(3.75, 0.0), (3.75, 0.0), (2.5, 2.4), (10.0, 6.0), (2.5, 2.4), (3.75, 0.0), (3.75, 0.0)],
        );
        // a longest that is no longer leaves the middle alone
        near(storm(10.0, 10.0), &[(10.0, 6.0)]);
        near(storm(15.0, 10.0), &[(15.0, 4.8)]);
        // between 10 and 12.5 min lies none of the table: 1.2^(ln 1.25/ln 1.5) = 1.105545 in by then
        let half_in = (1.105_545_406 - 1.0) / 2.0;
        let side = (1.25, half_in * 60.0 / 1.25);
        let found = storm(10.0, 12.5);
        assert_eq!(found.len(), 3);
        assert_relative_eq!(found[0].0, side.0, max_relative = 1e-12);
        assert_relative_eq!(found[0].1, side.1, max_relative = 1e-7);
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
