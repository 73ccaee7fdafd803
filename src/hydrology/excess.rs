//! Infiltration through a storm of varying rain, and the rain that is left over.

use super::{GreenAmpt, Horton};
use crate::numeric::bracketed_root;
use crate::quantity::{Duration, Intensity, RainDepth};

/// How the ground takes rain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Loss {
    /// A rate that stays, zero or above: the φ index of a storm, or the final rate of a soil.
    Constant(Intensity),
    /// A wetting front drawn down by suction and gravity.
    GreenAmpt(GreenAmpt),
    /// A capacity that decays from an initial to an ultimate rate.
    Horton(Horton),
}

impl Loss {
    /// Rate of infiltration at the end of a steady burst: the rain's own until water stands, then the capacity.
    ///
    /// Not a number where an input is not, or the loss describes no ground. A negative intensity counts as none.
    pub fn capacity(&self, intensity: Intensity, at: Duration) -> Intensity {
        match self {
            Self::Constant(_) if !self.is_ground() || intensity.ms().is_nan() || at.s().is_nan() => {
                Intensity::from_ms(f64::NAN)
            }
            Self::Constant(rate) => intensity.max(Intensity::ZERO).min(*rate),
            Self::GreenAmpt(soil) => soil.capacity(intensity, at),
            Self::Horton(soil) => soil.capacity(intensity, at),
        }
    }
    /// Depth soaked in after some time of steady rain.
    ///
    /// Not a number where an input is not, or the loss describes no ground. A negative intensity or time counts as none.
    pub fn cumulative(&self, intensity: Intensity, at: Duration) -> RainDepth {
        match self {
            Self::Constant(_) => self.capacity(intensity, at) * at.max(Duration::ZERO),
            Self::GreenAmpt(soil) => soil.cumulative(intensity, at),
            Self::Horton(soil) => soil.cumulative(intensity, at),
        }
    }
    /// The rate at which a flooded surface takes water once a depth has soaked in: the constant rate, Green and Ampt's
    /// `K (1 + ψΔθ/F)`, Horton's capacity at the time when a surface flooded from the start would have taken in as much.
    ///
    /// Not a number where the loss describes no ground or the depth is not a number.
    pub fn rate_after(&self, soaked: RainDepth) -> Intensity {
        if !self.is_ground() || soaked.m().is_nan() {
            return Intensity::from_ms(f64::NAN);
        }
        match self {
            Self::Constant(rate) => *rate,
            Self::GreenAmpt(soil) => soil.rate_at(soaked.max(RainDepth::ZERO)),
            Self::Horton(soil) => soil.rate_after(soaked),
        }
    }
    /// The rate that standing water sinks at in the end, after long flooding: the constant rate, Green and Ampt's
    /// conductivity, Horton's ultimate rate.
    pub fn settled(&self) -> Intensity {
        match self {
            Self::Constant(rate) => *rate,
            Self::GreenAmpt(soil) => soil.conductivity,
            Self::Horton(soil) => soil.ultimate,
        }
    }
    /// What the method is called.
    pub fn name(&self) -> &'static str {
        match self {
            Self::Constant(_) => "steady infiltration",
            Self::GreenAmpt(_) => "Green-Ampt",
            Self::Horton(_) => "Horton",
        }
    }
    /// Whether its numbers describe ground.
    fn is_ground(&self) -> bool {
        match self {
            Self::Constant(rate) => is_amount(rate.ms()),
            Self::GreenAmpt(soil) => soil.is_soil(),
            Self::Horton(soil) => soil.is_soil(),
        }
    }
    /// The depth soaked in at which the capacity has fallen to the rain; none where it never falls below it.
    fn ponding_depth(&self, intensity: Intensity) -> Option<RainDepth> {
        match self {
            Self::Constant(rate) => (intensity > *rate).then_some(RainDepth::ZERO),
            Self::GreenAmpt(soil) => soil.ponding(intensity).map(|ponding| ponding.1),
            Self::Horton(soil) => soil.ponding(intensity).map(|ponding| ponding.1),
        }
    }
    /// Depth soaked in at the end of some time under water, from the depth at its start.
    fn flooded(&self, soaked: RainDepth, time: Duration) -> RainDepth {
        match self {
            Self::Constant(rate) => soaked + *rate * time,
            Self::GreenAmpt(soil) => soil.flooded(soaked, time),
            Self::Horton(soil) => soil.flooded(soaked, time),
        }
    }
    /// The time that a flooded surface takes from one depth soaked in to another.
    fn flooded_for(&self, from: RainDepth, to: RainDepth) -> Duration {
        match self {
            Self::Constant(rate) => (to - from) / *rate,
            Self::GreenAmpt(soil) => soil.flooded_for(from, to),
            Self::Horton(soil) => soil.flooded_for(from, to),
        }
    }
}

/// Whether a value is an ordinary number, zero or above.
fn is_amount(value: f64) -> bool {
    value.is_finite() && value >= 0.0
}

/// A stretch of steady rain, or of none.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RainBlock {
    /// How long it lasts, zero or above.
    pub duration: Duration,
    /// How strong it is, zero or above.
    pub intensity: Intensity,
}

impl RainBlock {
    /// The depth that falls in it.
    pub fn depth(&self) -> RainDepth {
        self.intensity * self.duration
    }
}

/// Where the rain of a storm goes: `rain = soaked + held + sum of blocks`.
#[derive(Clone, Debug, PartialEq)]
pub struct Excess {
    /// Rain of each block that neither soaks in nor stays in the hollows.
    pub blocks: Vec<RainDepth>,
    /// Soaked in by the end of the last block.
    pub soaked: RainDepth,
    /// Still in the hollows at the end of the last block.
    pub held: RainDepth,
    /// When water first stands, from the start of the first block; none where it never does.
    pub ponds_at: Option<Duration>,
}

impl Excess {
    /// The excess of all blocks.
    pub fn total(&self) -> RainDepth {
        self.blocks.iter().copied().sum()
    }
}

/// What is left of a storm of varying rain once the ground has taken its part and the hollows are full.
///
/// The capacity of the ground depends on the depth that has soaked in so far, whatever the rain that brought it there
/// (time compression), and is carried from block to block. Rain above the capacity first fills the hollows, up to
/// `depression_storage`; the rest is excess and leaves at once. Water in the hollows stands over the whole surface and
/// goes on soaking in at capacity when the rain slackens, also where no rain falls; its depth adds nothing to the
/// suction. When it begins to stand and when it is gone is found inside a block, without time steps.
///
/// Dry gaps give nothing back: moisture does not spread below the front, and neither Green and Ampt's suction nor
/// Horton's capacity recovers. For gaps of many hours the excess is therefore on the high side.
///
/// All depths are not a number where an input is not finite or is negative, or the loss describes no ground.
///
/// Source: Mein and Larson's form of Green and Ampt and the comparison of depths for varying rain, in Chow, Maidment
/// and Mays (1988) sections 4.4 and 5.4 (from memory).
pub fn rain_excess(loss: &Loss, depression_storage: RainDepth, blocks: &[RainBlock]) -> Excess {
    let rain: RainDepth = blocks.iter().map(RainBlock::depth).sum();
    let usable = |block: &RainBlock| is_amount(block.duration.s()) && is_amount(block.intensity.ms());
    if !(loss.is_ground() && is_amount(depression_storage.m()) && rain.is_finite() && blocks.iter().all(usable)) {
        let unknown = RainDepth::from_m(f64::NAN);
        return Excess { blocks: vec![unknown; blocks.len()], soaked: unknown, held: unknown, ponds_at: None };
    }
    let mut ground = Ground { loss, soaked: RainDepth::ZERO, held: RainDepth::ZERO };
    let (mut start, mut ponds_at) = (Duration::ZERO, None);
    let mut excess = Vec::with_capacity(blocks.len());
    for block in blocks {
        let (over, ponds) = ground.after(block, depression_storage);
        excess.push(over);
        ponds_at = ponds_at.or(ponds.map(|after| start + after));
        start += block.duration;
    }
    Excess { blocks: excess, soaked: ground.soaked, held: ground.held, ponds_at }
}

/// The state of the ground between blocks.
struct Ground<'a> {
    loss: &'a Loss,
    soaked: RainDepth,
    held: RainDepth,
}

impl Ground<'_> {
    /// Takes a block of rain; gives its excess, and when in it water stands that did not before.
    fn after(&mut self, block: &RainBlock, storage: RainDepth) -> (RainDepth, Option<Duration>) {
        let RainBlock { duration, intensity } = *block;
        let ponding_depth = self.loss.ponding_depth(intensity);
        let (mut left, mut ponds) = (duration, None);
        // the hollows run dry and fill anew at most once while the rain stays the same: three stretches
        for _ in 0..3 {
            if left <= Duration::ZERO {
                break;
            }
            let below = ponding_depth.is_none_or(|depth| self.soaked < depth);
            if below && self.held <= RainDepth::ZERO {
                // all of the rain soaks in, until the capacity has fallen to it
                match ponding_depth.map(|depth| (depth, (depth - self.soaked) / intensity)) {
                    Some((depth, time)) if time < left => {
                        self.soaked = depth;
                        left = left - time;
                        continue;
                    }
                    _ => self.soaked += intensity * left,
                }
                break;
            }
            if self.held <= RainDepth::ZERO {
                ponds = Some(duration - left);
            }
            if let Some(time) = self.runs_dry(intensity, left, ponding_depth) {
                self.soaked += self.held + intensity * time;
                self.held = RainDepth::ZERO;
                left = left - time;
                continue;
            }
            // what stands first falls and then rises, so what is above the brim at the end has run off by then
            let water = self.held + intensity * left;
            let sunk = (self.loss.flooded(self.soaked, left) - self.soaked).max(RainDepth::ZERO).min(water);
            self.soaked += sunk;
            self.held = (water - sunk).min(storage);
            return (water - sunk - self.held, ponds);
        }
        (RainDepth::ZERO, ponds)
    }
    /// When the water in the hollows is gone, if it is within some time of steady rain.
    fn runs_dry(&self, intensity: Intensity, within: Duration, ponding_depth: Option<RainDepth>) -> Option<Duration> {
        if self.held <= RainDepth::ZERO {
            return None;
        }
        // it falls for as long as the capacity is above the rain
        let turning = match ponding_depth {
            Some(depth) if depth <= self.soaked => return None,
            Some(depth) => self.loss.flooded_for(self.soaked, depth).min(within),
            None => within,
        };
        let standing = |t_s: f64| {
            let time = Duration::from_s(t_s);
            (self.held + intensity * time - (self.loss.flooded(self.soaked, time) - self.soaked)).m()
        };
        let root = bracketed_root(0.0, turning.s(), 0.0, standing).ok()?;
        Some(Duration::from_s(root.x))
    }
}
