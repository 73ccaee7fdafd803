//! The lesser of two, without a corner.

/// Two values are rounded off where they differ by no more than this share of their sum: where the greater is less than
/// half as much again as the lesser.
const NEAR: f64 = 0.2;

/// The lesser of two values that are not negative, rounded off where they are near, and how it follows each of them.
///
/// With s their sum and u their difference over 0.2 s it is s/2 (1 - 0.2 (5 + 15 u² - 5 u⁴ + u⁶)/16) for u from -1 to
/// 1: 6.25 % below both where they are equal, smooth to the third derivative where the rounding ends, and never above
/// either. Beyond it is the lesser itself.
#[expect(clippy::inline_always, reason = "so that what is not asked for is not worked out: measured")]
#[inline(always)]
pub(crate) fn lesser(one: f64, other: f64) -> (f64, f64, f64) {
    let (sum, apart) = (one + other, one - other);
    let near = NEAR * sum;
    if apart >= near {
        return (other, 0.0, 1.0);
    }
    if apart <= -near {
        return (one, 1.0, 0.0);
    }
    let u = apart / near;
    let square = u * u;
    let round = (5.0 + square * (15.0 - square * (5.0 - square))) * (1.0 / 16.0);
    let turn = u * (15.0 - square * (10.0 - 3.0 * square)) * (1.0 / 8.0);
    let both = 1.0 - NEAR * round;
    (0.5 * sum * both, 0.5 * (both - turn * (1.0 - NEAR * u)), 0.5 * (both + turn * (1.0 + NEAR * u)))
}

#[cfg(test)]
mod tests {
    use super::lesser;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    #[test]
    fn identity_beyond_half_as_much_again_it_is_the_lesser() {
        assert_eq!(lesser(2.0, 3.0), (2.0, 1.0, 0.0));
        assert_eq!(lesser(3.0, 2.0), (2.0, 0.0, 1.0));
        assert_relative_eq!(lesser(0.0, 0.0).0, 0.0);
        assert_relative_eq!(lesser(7.0, f64::INFINITY).0, 7.0);
        assert!(lesser(2.0, 2.9).0 < 2.0 && lesser(2.9, 2.0).0 < 2.0);
        assert!(lesser(f64::NAN, 1.0).0.is_nan());
        // 1 - 0.2 × 5/16
        assert_relative_eq!(lesser(4.0, 4.0).0, 4.0 * 0.9375, max_relative = 1e-15);
        assert_eq!((lesser(4.0, 4.0).1, lesser(4.0, 4.0).2), (0.46875, 0.46875));
        // 11 and 9: u = 1/2, 1 - 0.2 (5 + 15/4 - 5/16 + 1/64)/16
        assert_relative_eq!(lesser(11.0, 9.0).0, 10.0 * (1.0 - 0.2 * 8.453_125 / 16.0), max_relative = 1e-15);
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn identity_it_is_smooth_never_above_either_and_grows_with_both(one in 0.5..2.0_f64, other in 0.5..2.0_f64) {
            let (value, by_one, by_other) = lesser(one, other);
            prop_assert!(value <= one.min(other) && value >= one.min(other) * 0.9374);
            prop_assert!(by_one >= -1e-15 && by_other >= -1e-15);
            let step = 1e-6;
            let slope = |up: (f64, f64), down: (f64, f64)| (lesser(up.0, up.1).0 - lesser(down.0, down.1).0) / (2.0 * step);
            approx::assert_abs_diff_eq!(by_one, slope((one + step, other), (one - step, other)), epsilon = 1e-8);
            approx::assert_abs_diff_eq!(by_other, slope((one, other + step), (one, other - step)), epsilon = 1e-8);
        }
    }
}
