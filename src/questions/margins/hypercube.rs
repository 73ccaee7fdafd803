//! Latin hypercube samples: of each input every one of as many strata of equal chance is hit exactly once.
//!
//! Source: `McKay`, Beckman and Conover, Technometrics 21, 1979 (from memory).

use rand_pcg::Pcg64;
use rand_pcg::rand_core::Rng;

/// The sequence that the generator's own demonstration uses.
const SEQUENCE: u128 = 54;

/// A stream of random numbers that is the same on every machine.
pub(super) struct Stream(Pcg64);

impl Stream {
    /// The stream of a seed.
    pub(super) fn new(seed: u64) -> Self {
        // two sequences of this generator that differ in their number alone are alike: only one is ever used
        Self(Pcg64::new(u128::from(seed), SEQUENCE))
    }
    /// A number from zero up to, but not, one.
    pub(super) fn share(&mut self) -> f64 {
        // the upper 53 bits, as many as the number holds
        (self.0.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
    }
    /// A whole number below another.
    fn below(&mut self, most: usize) -> usize {
        let wide = u128::from(self.0.next_u64()) * most as u128;
        #[expect(clippy::cast_possible_truncation, reason = "below `most`, which is a usize")]
        let index = (wide >> 64) as usize;
        index
    }
}

/// A Latin hypercube of so many points in so many dimensions, each coordinate from 0 up to 1.
pub(super) fn latin_hypercube(stream: &mut Stream, points: usize, dimensions: usize) -> Vec<Vec<f64>> {
    let mut rows = vec![Vec::with_capacity(dimensions); points];
    let mut strata: Vec<usize> = (0..points).collect();
    for _ in 0..dimensions {
        // Fisher and Yates
        for last in (1..points).rev() {
            let other = stream.below(last + 1);
            strata.swap(last, other);
        }
        for (row, stratum) in rows.iter_mut().zip(&strata) {
            row.push((*stratum as f64 + stream.share()) / points as f64);
        }
    }
    rows
}

/// The value below which a share of a triangular distribution lies. The peak is drawn into the range.
pub(super) fn triangular((low, peak, high): (f64, f64, f64), share: f64) -> f64 {
    let range = high - low;
    if range.is_nan() || range <= 0.0 {
        return low;
    }
    let peak = peak.clamp(low, high);
    let rising = (peak - low) / range;
    if share < rising {
        low + (share * range * (peak - low)).sqrt()
    } else {
        high - ((1.0 - share) * range * (high - peak)).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const REPLICATES: u32 = 40;

    /// Mean and standard error of an estimate by its replicates.
    fn estimate(points: usize, dimensions: usize, latin: bool, of: impl Fn(&[f64]) -> f64) -> (f64, f64) {
        let mut stream = Stream::new(7);
        let means: Vec<f64> = (0..REPLICATES)
            .map(|_| {
                let rows = if latin {
                    latin_hypercube(&mut stream, points, dimensions)
                } else {
                    (0..points).map(|_| (0..dimensions).map(|_| stream.share()).collect()).collect()
                };
                rows.iter().map(|row| of(row)).sum::<f64>() / points as f64
            })
            .collect();
        let count = f64::from(REPLICATES);
        let mean = means.iter().sum::<f64>() / count;
        let variance = means.iter().map(|value| (value - mean) * (value - mean)).sum::<f64>() / (count - 1.0);
        (mean, (variance / count).sqrt())
    }

    #[test]
    fn identity_each_stratum_is_hit_once() {
        for (seed, points) in [(1, 1), (2, 2), (3, 17), (4, 100)] {
            let rows = latin_hypercube(&mut Stream::new(seed), points, 5);
            for dimension in 0..5 {
                let mut hit: Vec<f64> = rows.iter().map(|row| (row[dimension] * points as f64).floor()).collect();
                hit.sort_by(f64::total_cmp);
                assert_eq!(hit, (0..points).map(|stratum| stratum as f64).collect::<Vec<f64>>());
            }
        }
    }

    #[test]
    fn published_known_probabilities_and_less_variance_of_a_sum_than_plain_sampling() {
        // P(x + y < 1) = 1/2; P(x² + y² < 1) = π/4
        for (of, wanted) in [
            ((|row| f64::from(row[0] + row[1] < 1.0)) as fn(&[f64]) -> f64, 0.5),
            (|row| f64::from(row[0] * row[0] + row[1] * row[1] < 1.0), std::f64::consts::FRAC_PI_4),
        ] {
            let (mean, error) = estimate(400, 2, true, of);
            assert!((mean - wanted).abs() <= 3.0 * error, "{mean} +- {error}, not {wanted}");
            let (_, plain) = estimate(400, 2, false, of);
            assert!(error < plain, "{error} {plain}");
        }
        // of an additive function the variance all but vanishes: McKay, Beckman and Conover 1979; Stein 1987 (from memory)
        let sum = |row: &[f64]| row.iter().sum::<f64>();
        let (mean, error) = estimate(100, 6, true, sum);
        let (_, plain) = estimate(100, 6, false, sum);
        assert!((mean - 3.0).abs() < 0.01);
        assert!(error * 20.0 < plain, "{error} {plain}");
    }

    #[test]
    fn identity_triangles_have_their_ends_their_middle_and_their_mean() {
        for (low, peak, high) in [(-0.2, 0.0, 0.2), (0.0, 0.0, 0.1), (-3.0, 1.0, 1.0), (0.1, 0.0, 0.4)] {
            let of = |share| triangular((low, peak, high), share);
            assert_relative_eq!(of(0.0), low, epsilon = 1e-12);
            assert_relative_eq!(of(1.0), high, epsilon = 1e-12);
            let count = 20_000;
            let mean =
                (0..count).map(|at| of((f64::from(at) + 0.5) / f64::from(count))).sum::<f64>() / f64::from(count);
            // a third of the sum of its corners
            assert_relative_eq!(mean, (low + f64::clamp(peak, low, high) + high) / 3.0, epsilon = 1e-4);
        }
        assert_relative_eq!(triangular((0.3, 0.0, 0.3), 0.7), 0.3);
    }

    #[test]
    fn published_the_generator_gives_the_numbers_of_its_reference() {
        // PCG XSL RR 128/64 of pcg-random.org: seed 42, stream 54 (its demonstration program, from memory)
        let mut stream = Stream::new(42);
        let first: Vec<u64> = (0..3).map(|_| stream.0.next_u64()).collect();
        assert_eq!(first, [0x86b1_da1d_7206_2b68, 0x1304_aa46_c985_3d39, 0xa367_0e9e_0dd5_0358]);
    }
}
