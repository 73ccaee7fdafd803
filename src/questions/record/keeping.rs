//! What each surface keeps back of rain that comes without end.

use crate::hydrology::{SurfaceLoss, runoff_depth};
use crate::quantity::{Duration, RainDepth};

/// Times are kept on a grid of so many parts of a second, so that sums and differences of them are exact through a
/// hundred years.
const PARTS: f64 = 1024.0;
/// After so long without rain a curve number starts again from nothing: common practice, no source. Longer than the
/// pause between two events, so that wet ground is not forgotten.
pub const CURVE_NUMBER_RESTS: Duration = Duration::from_h(24.0);
/// By curve number the share that runs off grows within steady rain: it is cut into pieces of this time …
const PIECE_S: f64 = 600.0;
/// … and of this depth, a 200th of a storm of 100 mm.
const PIECE_M: f64 = 0.0005;
/// No steady rain is cut finer.
const MOST_PIECES: f64 = 10_000.0;

/// A time on the grid, the nearest.
pub(super) fn on_grid(time_s: f64) -> f64 {
    libm::round(time_s * PARTS) / PARTS
}

/// How a surface keeps back rain, and what it holds now.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Keeping {
    /// This share runs off.
    Share(f64),
    /// By curve number on the rain since the last long pause: what fell, and when the last rain ended.
    CurveNumber { number: f64, fallen_m: f64, wet_until_s: f64 },
    /// What soaks in at a steady rate, after hollows that hold a depth and empty at the same rate.
    Ground { rate_ms: f64, room_m: f64, held_m: f64 },
}

impl Keeping {
    pub(super) fn new(loss: &SurfaceLoss) -> Self {
        match loss {
            SurfaceLoss::Coefficient(share) => Self::Share(*share),
            SurfaceLoss::CurveNumber(number) => {
                Self::CurveNumber { number: *number, fallen_m: 0.0, wet_until_s: f64::NEG_INFINITY }
            }
            SurfaceLoss::Infiltration { loss, depression_storage } => Self::Ground {
                rate_ms: loss.settled().ms().max(0.0),
                room_m: depression_storage.m().max(0.0),
                held_m: 0.0,
            },
        }
    }

    /// What runs off a stretch of steady rain, or of none: from when on, and how strong, in order; the first from its
    /// start. All depths are exact.
    pub(super) fn shed(&mut self, (start_s, end_s): (f64, f64), rain_ms: f64, mut from: impl FnMut(f64, f64)) {
        let lasts_s = end_s - start_s;
        match self {
            Self::Share(share) => from(start_s, *share * rain_ms),
            Self::CurveNumber { number, fallen_m, wet_until_s } => {
                if rain_ms <= 0.0 {
                    return from(start_s, 0.0);
                }
                if start_s - *wet_until_s >= CURVE_NUMBER_RESTS.s() {
                    *fallen_m = 0.0;
                }
                *wet_until_s = end_s;
                let run_off = |fallen_m: f64| runoff_depth(RainDepth::from_m(fallen_m), *number).m();
                let pieces = (lasts_s / PIECE_S).max(rain_ms * lasts_s / PIECE_M).ceil().clamp(1.0, MOST_PIECES);
                let (mut begin_s, mut piece) = (start_s, 1.0);
                while piece <= pieces {
                    let until_s = if piece < pieces { on_grid(start_s + lasts_s * (piece / pieces)) } else { end_s };
                    piece += 1.0;
                    if until_s <= begin_s {
                        continue;
                    }
                    let before = *fallen_m;
                    *fallen_m += rain_ms * (until_s - begin_s);
                    from(begin_s, (run_off(*fallen_m) - run_off(before)) / (until_s - begin_s));
                    begin_s = until_s;
                }
            }
            Self::Ground { rate_ms, room_m, held_m } => {
                let more_ms = rain_ms - *rate_ms;
                if more_ms <= 0.0 {
                    *held_m = (*held_m + more_ms * lasts_s).max(0.0);
                    return from(start_s, 0.0);
                }
                let fills_s = ((*room_m - *held_m) / more_ms).max(0.0);
                let full_s = if fills_s < lasts_s { start_s + libm::ceil(fills_s * PARTS) / PARTS } else { end_s };
                *held_m += more_ms * lasts_s;
                if full_s > start_s {
                    from(start_s, 0.0);
                }
                if full_s < end_s {
                    from(full_s, (*held_m - *room_m) / (end_s - full_s));
                    *held_m = *room_m;
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hydrology::{Loss, RainBlock, excess_blocks, rain_excess};
    use crate::quantity::Intensity;
    use approx::assert_relative_eq;

    fn depth(keeping: &mut Keeping, span: (f64, f64), rain_ms: f64) -> f64 {
        let mut pieces = Vec::new();
        keeping.shed(span, rain_ms, |at_s, excess| pieces.push((at_s, excess)));
        assert_relative_eq!(pieces[0].0, span.0);
        let ends = pieces.iter().skip(1).map(|piece| piece.0).chain([span.1]);
        pieces.iter().zip(ends).map(|(piece, end_s)| piece.1 * (end_s - piece.0)).sum()
    }

    fn blocks() -> Vec<RainBlock> {
        [(30.0, 0.2), (45.0, 2.0), (600.0, 0.0), (7.5, 3.1), (90.0, 0.6), (20.0, 1.4)]
            .map(|(minutes, rain)| RainBlock {
                duration: Duration::from_min(minutes),
                intensity: Intensity::from_inh(rain),
            })
            .to_vec()
    }

    /// Of each block what runs off.
    fn followed(loss: &SurfaceLoss) -> Vec<f64> {
        let mut keeping = Keeping::new(loss);
        let mut now_s = 0.0;
        blocks()
            .iter()
            .map(|block| {
                let end_s = now_s + block.duration.s();
                let shed = depth(&mut keeping, (now_s, end_s), block.intensity.ms());
                now_s = end_s;
                shed
            })
            .collect()
    }

    #[test]
    fn identity_wet_ground_and_its_hollows_are_those_of_rain_excess() {
        let loss = Loss::Constant(Intensity::from_inh(0.3));
        let storage = RainDepth::from_inch(0.25);
        let excess = rain_excess(&loss, storage, &blocks());
        let followed = followed(&SurfaceLoss::Infiltration { loss, depression_storage: storage });
        for (mine, other) in followed.iter().zip(&excess.blocks) {
            assert_relative_eq!(*mine, other.m(), epsilon = 1e-12);
        }
        assert!(excess.total() > RainDepth::ZERO);
    }

    #[test]
    fn identity_a_curve_number_sheds_by_all_rain_since_the_pause() {
        let loss = SurfaceLoss::CurveNumber(80.0);
        let excess = excess_blocks(&loss, &blocks());
        for (mine, other) in followed(&loss).iter().zip(&excess) {
            assert_relative_eq!(*mine, other.depth().m(), epsilon = 1e-12);
        }
    }

    #[test]
    fn identity_a_curve_number_starts_again_after_a_long_pause() {
        let mut keeping = Keeping::new(&SurfaceLoss::CurveNumber(75.0));
        let rain_ms = Intensity::from_inh(1.0).ms();
        let first = depth(&mut keeping, (0.0, 7200.0), rain_ms);
        let rest = CURVE_NUMBER_RESTS.s();
        let soon = depth(&mut keeping, (7200.0 + rest - 1.0, 14400.0 + rest - 1.0), rain_ms);
        let later = depth(&mut keeping, (14400.0 + 2.0 * rest, 21600.0 + 2.0 * rest), rain_ms);
        assert!(soon > 1.5 * first);
        assert_relative_eq!(later, first, max_relative = 1e-9);
        // TR-55 eq. 2-3 on two inches: S = 3.333 in
        let retention = 1000.0 / 75.0 - 10.0;
        let by_hand = (2.0 - 0.2 * retention) * (2.0 - 0.2 * retention) / (2.0 + 0.8 * retention);
        assert_relative_eq!(RainDepth::from_m(first).inch(), by_hand, max_relative = 1e-9);
    }

    #[test]
    fn identity_rain_weaker_than_the_ground_takes_sheds_nothing() {
        let loss = Loss::Constant(Intensity::from_inh(0.5));
        let mut keeping =
            Keeping::new(&SurfaceLoss::Infiltration { loss, depression_storage: RainDepth::from_inch(0.0) });
        assert_relative_eq!(depth(&mut keeping, (0.0, 3600.0), Intensity::from_inh(0.5).ms()), 0.0);
        assert_relative_eq!(
            depth(&mut keeping, (3600.0, 7200.0), Intensity::from_inh(1.5).ms()),
            RainDepth::from_inch(1.0).m(),
            max_relative = 1e-12
        );
    }
}
