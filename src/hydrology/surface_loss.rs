//! What runs off a surface through a storm, by any of the ways to say how much it keeps.

use super::curve_number::runoff_depth;
use super::excess::{Loss, RainBlock, rain_excess};
use crate::quantity::{Duration, Intensity, RainDepth};

/// How a surface keeps back rain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SurfaceLoss {
    /// The same share of all rain runs off, 0 to 1.
    Coefficient(f64),
    /// By the curve number, above 0 and up to 100, on the rain that has fallen so far.
    CurveNumber(f64),
    /// By what soaks in, after the hollows are full.
    Infiltration {
        /// How the ground takes rain.
        loss: Loss,
        /// The depth that its hollows hold.
        depression_storage: RainDepth,
    },
}

/// What runs off each block of a storm, as blocks of the same durations: the mean excess in each.
///
/// By a coefficient `C i`. By a curve number the difference of [`runoff_depth`] of all the rain so far, since a curve
/// number has no clock of its own. By infiltration what [`rain_excess`] leaves. Except for a coefficient the excess of a
/// block is not steady within it: cut the
/// storm by [`super::split_for_losses`] first.
///
/// The intensities are not a number where the loss describes no surface, or rain is negative or not finite.
///
/// Source: TR-55 (1986) eq. 2-3 on cumulative rain as in NEH 630 chapter 10 (2004), Example 10-6; for infiltration see
/// [`rain_excess`].
pub fn excess_blocks(loss: &SurfaceLoss, blocks: &[RainBlock]) -> Vec<RainBlock> {
    let is_amount = |value: f64| value.is_finite() && value >= 0.0;
    let unknown = Intensity::from_ms(f64::NAN);
    let is_rain = blocks.iter().all(|block| is_amount(block.duration.s()) && is_amount(block.intensity.ms()));
    let depths: Vec<RainDepth> = match loss {
        _ if !is_rain => vec![RainDepth::from_m(f64::NAN); blocks.len()],
        SurfaceLoss::Coefficient(coefficient) if (0.0..=1.0).contains(coefficient) => {
            return with_intensity(blocks, |block| block.intensity * *coefficient);
        }
        SurfaceLoss::Coefficient(_) => return with_intensity(blocks, |_| unknown),
        SurfaceLoss::CurveNumber(curve_number) => {
            let (mut fallen, mut run_off) = (RainDepth::ZERO, runoff_depth(RainDepth::ZERO, *curve_number));
            let mut increment = |block: &RainBlock| {
                fallen += block.depth();
                let before = run_off;
                run_off = runoff_depth(fallen, *curve_number);
                run_off - before
            };
            blocks.iter().map(&mut increment).collect()
        }
        SurfaceLoss::Infiltration { loss, depression_storage } => rain_excess(loss, *depression_storage, blocks).blocks,
    };
    let mut depths = depths.into_iter();
    with_intensity(blocks, |block| match depths.next() {
        // a block of no length brings nothing
        Some(depth) if block.duration > Duration::ZERO || depth.m().is_nan() => depth / block.duration,
        _ => Intensity::ZERO,
    })
}

fn with_intensity(blocks: &[RainBlock], mut intensity: impl FnMut(&RainBlock) -> Intensity) -> Vec<RainBlock> {
    blocks.iter().map(|block| RainBlock { duration: block.duration, intensity: intensity(block) }).collect()
}
