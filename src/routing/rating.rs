//! What pumps bring out of a store at each level.

use super::RoutingError;
use crate::quantity::{Flow, Level};

/// Flow against level: a cubic piece by piece through evenly spaced levels, that never overshoots its points.
///
/// Slopes by the weighted harmonic mean of Fritsch and Butland (1984), here of even spacing; one-sided at the ends.
/// Outside its levels the flow stays as it is at the nearest.
#[derive(Clone, Debug, PartialEq)]
pub struct Rating {
    lowest_m: f64,
    /// Steps in a metre.
    per_m: f64,
    /// Flow and its change over one step.
    points: Vec<(f64, f64)>,
    /// Between two points: the flow at the lower one and the coefficients of the powers of the share above it.
    pieces: Vec<[f64; 4]>,
}

impl Rating {
    /// A pump that brings the same at every level.
    pub fn constant(flow: Flow) -> Self {
        Self { lowest_m: 0.0, per_m: 1.0, points: vec![(flow.m3s(), 0.0)], pieces: Vec::new() }
    }
    /// Flows at evenly spaced levels from the lowest to the highest.
    ///
    /// # Errors
    /// No flows, or one that is negative or not a number; levels that do not rise.
    pub fn new(lowest: Level, highest: Level, flows: &[Flow]) -> Result<Self, RoutingError> {
        let good = |flow: &Flow| flow.is_finite() && *flow >= Flow::ZERO;
        let pieces = flows.len().saturating_sub(1);
        if flows.is_empty() || !flows.iter().all(good) || (pieces > 0 && highest <= lowest) {
            return Err(RoutingError::BadRating);
        }
        let values: Vec<f64> = flows.iter().map(|flow| flow.m3s()).collect();
        let rises: Vec<f64> =
            values.windows(2).map(|pair| pair.iter().rev().copied().reduce(|a, b| a - b).unwrap_or(0.0)).collect();
        let slope = |index: usize| {
            let before = index.checked_sub(1).and_then(|index| rises.get(index)).copied();
            match (before, rises.get(index).copied()) {
                (Some(before), Some(after)) if before * after > 0.0 => 2.0 * before * after / (before + after),
                (Some(_), Some(_)) | (None, None) => 0.0,
                (Some(one), None) | (None, Some(one)) => one,
            }
        };
        let points: Vec<(f64, f64)> = values.iter().enumerate().map(|(index, value)| (*value, slope(index))).collect();
        let per_m = if pieces > 0 { pieces as f64 / (highest - lowest).m() } else { 1.0 };
        Ok(Self { lowest_m: lowest.m(), per_m, pieces: between(&points), points })
    }
    /// The same pump with all flows times a factor.
    #[must_use]
    pub fn times(&self, factor: f64) -> Self {
        let points: Vec<(f64, f64)> = self.points.iter().map(|(q, slope)| (q * factor, slope * factor)).collect();
        Self { pieces: between(&points), points, ..*self }
    }
    /// The flow at a level.
    pub fn flow(&self, level: Level) -> Flow {
        Flow::from_m3s(self.at(level.m()).0)
    }
    /// Flow and its slope per metre.
    pub(super) fn at(&self, level_m: f64) -> (f64, f64) {
        let steps = (level_m - self.lowest_m) * self.per_m;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a saturating cast is what is wanted"
        )]
        let index = steps as u32;
        match self.pieces.get(index as usize) {
            Some([y0, c1, c2, c3]) if steps > 0.0 => {
                let s = steps - f64::from(index);
                (y0 + s * (c1 + s * (c2 + s * c3)), (c1 + s * (2.0 * c2 + s * 3.0 * c3)) * self.per_m)
            }
            _ => {
                let end = if steps <= 0.0 { self.points.first() } else { self.points.last() };
                (end.map_or(0.0, |end| end.0), 0.0)
            }
        }
    }
}

/// The cubics between points that are each a flow and its change over one step.
fn between(points: &[(f64, f64)]) -> Vec<[f64; 4]> {
    let cubic = |((y0, d0), (y1, d1)): (&(f64, f64), &(f64, f64))| {
        let rise = y1 - y0;
        [*y0, *d0, 3.0 * rise - 2.0 * d0 - d1, d0 + d1 - 2.0 * rise]
    };
    points.iter().zip(points.iter().skip(1)).map(cubic).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn identity_two_points_are_a_straight_line_and_nothing_is_known_beyond() {
        let rating =
            Rating::new(Level::from_m(1.0), Level::from_m(2.0), &[Flow::from_gpm(38.0), Flow::from_gpm(42.0)]).unwrap();
        assert_relative_eq!(rating.flow(Level::from_m(1.25)).gpm(), 39.0, max_relative = 1e-12);
        assert_relative_eq!(rating.flow(Level::from_m(0.0)).gpm(), 38.0, max_relative = 1e-12);
        assert_relative_eq!(rating.flow(Level::from_m(9.0)).gpm(), 42.0, max_relative = 1e-12);
        assert_relative_eq!(rating.times(2.0).flow(Level::from_m(1.5)).gpm(), 80.0, max_relative = 1e-12);
        assert!(Rating::new(Level::from_m(2.0), Level::from_m(2.0), &[Flow::ZERO, Flow::ZERO]).is_err());
    }

    #[test]
    fn identity_the_curve_goes_through_its_points_and_never_beyond_them() {
        let flows = [0.0, 10.0, 10.0, 30.0, 31.0].map(Flow::from_gpm);
        let rating = Rating::new(Level::from_m(0.0), Level::from_m(4.0), &flows).unwrap();
        for step in 0..=400_u32 {
            let level = Level::from_m(f64::from(step) / 100.0);
            let piece = (step / 100).min(3) as usize;
            let (low, high) = (flows[piece], flows[piece + 1]);
            let flow = rating.flow(level);
            assert!(flow >= low * (1.0 - 1e-12) && flow <= high * (1.0 + 1e-12), "{flow:?} at {level:?}");
            if step % 100 == 0 {
                assert_relative_eq!(flow.gpm(), flows[step as usize / 100].gpm(), max_relative = 1e-12);
            }
        }
    }
}
