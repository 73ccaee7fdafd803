//! Axes of charts: round ticks that cover what they show, whatever that is.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a test fails by panicking")]

use proptest::prelude::*;
use sumpwright::report::svg::Axis;

/// The leading figures of a step: 1, 2 or 5.
fn leading(step: f64) -> f64 {
    let text = format!("{step:e}");
    text.split('e').next().unwrap().parse().unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 512, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn identity_ticks_are_round_and_cover_the_data(
        low in -1e4..1e4_f64, width in prop_oneof![Just(0.0), 1e-3..1.0_f64, 1.0..1e5_f64], most in 2_u32..12
    ) {
        let high = low + width;
        let axis = Axis::over(low, high, most);
        let ticks = axis.ticks();
        prop_assert!(ticks.len() >= 2 && ticks.len() <= most as usize + 2, "{axis:?} {ticks:?}");
        let slack = axis.step * 1e-6;
        prop_assert!(ticks[0] <= low + slack && ticks[ticks.len() - 1] >= high - slack, "{axis:?} of {low} to {high}");
        // no more than a step of room at each end; a range of nothing is a millionth of its place wide
        let least = if width == 0.0 { low.abs().max(1e6) * 1.1e-6 } else { low.abs().max(high.abs()) * 1.1e-6 };
        let last = ticks[ticks.len() - 1];
        prop_assert!(ticks[0] > low - axis.step - slack && last < high + axis.step + least + slack, "{axis:?} of {low} to {high}");
        let leading = leading(axis.step);
        prop_assert!([1.0, 2.0, 5.0, 10.0].iter().any(|round| (leading - round).abs() < 1e-6), "{axis:?}");
        let labels: Vec<String> = ticks.iter().map(|tick| axis.label(*tick)).collect();
        for (tick, label) in ticks.iter().zip(&labels) {
            prop_assert!((label.parse::<f64>().unwrap() - tick).abs() < axis.step * 1e-3, "{label} for {tick}");
        }
        prop_assert!(labels.windows(2).all(|pair| pair[0] != pair[1]), "{labels:?}");
    }

    #[test]
    fn identity_clocks_tick_within_their_ends(low in 0.0..5000.0_f64, width in 0.5..20_000.0_f64, most in 2_u32..9) {
        let axis = Axis::clock(low, low + width, most);
        for tick in axis.ticks() {
            prop_assert!(tick >= low - 1e-6 && tick <= low + width + 1e-6);
            prop_assert!((tick / axis.step - (tick / axis.step).round()).abs() < 1e-6);
        }
        prop_assert!(axis.ticks().len() <= most as usize + 1);
    }
}

#[test]
fn identity_what_is_no_number_makes_an_axis_all_the_same() {
    for (low, high) in
        [(f64::NAN, 1.0), (0.0, f64::INFINITY), (f64::NEG_INFINITY, f64::NAN), (0.0, 0.0), (-0.0, 0.0), (1e300, -1e300)]
    {
        let axis = Axis::over(low, high, 6);
        assert!(axis.low.is_finite() && axis.high > axis.low && axis.step > 0.0, "{axis:?}");
        assert!(axis.ticks().iter().all(|tick| !axis.label(*tick).starts_with("-0") || *tick < 0.0));
    }
}
