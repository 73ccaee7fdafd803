//! Water soaking into the ground: Green-Ampt, Horton, and the runoff coefficient that follows from either.

use crate::quantity::{Duration, Intensity, Length, RainDepth, Real};

/// Infiltration by Green and Ampt: a sharp wetting front drawn down by suction and gravity.
///
/// Values for soil textures: Rawls, Brakensiek and Miller (1983). Their conductivity is not the saturated one of a
/// soil survey (about half of it).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GreenAmpt {
    /// Hydraulic conductivity behind the front, zero or above.
    pub conductivity: Intensity,
    /// Suction at the front, zero or above.
    pub suction: Length,
    /// Room for water: (1 - initial effective saturation) times effective porosity, 0 to 1.
    pub moisture_deficit: f64,
}

impl GreenAmpt {
    /// Suction times moisture deficit.
    fn storage_suction(&self) -> RainDepth {
        RainDepth::from_m(self.suction.m() * self.moisture_deficit)
    }
    /// Whether its numbers describe a soil.
    pub(super) fn is_soil(&self) -> bool {
        let usable = |value: f64| value.is_finite() && value >= 0.0;
        usable(self.conductivity.ms()) && usable(self.storage_suction().m())
    }
    /// When water begins to stand under steady rain, and the depth soaked in by then: `Fp = K ψΔθ / (i - K)`,
    /// `tp = Fp / i`.
    ///
    /// None where the rain is no stronger than the conductivity, so that nothing ever stands (or a value is not a
    /// number). Source: Mein and Larson's form, in Chow, Maidment and Mays (1988) section 4.4.
    pub fn ponding(&self, intensity: Intensity) -> Option<(Duration, RainDepth)> {
        let (rate, slowest) = (intensity.ms(), self.conductivity.ms());
        if !(self.is_soil() && intensity.is_finite() && rate > slowest) {
            return None;
        }
        let depth = self.storage_suction() * (slowest / (rate - slowest));
        depth.is_finite().then(|| (depth / intensity, depth))
    }
    /// Depth soaked in after some time of steady rain.
    ///
    /// Not a number where an input is not, or a property of the soil is negative.
    pub fn cumulative(&self, intensity: Intensity, at: Duration) -> RainDepth {
        let rain = intensity.max(Intensity::ZERO) * at.max(Duration::ZERO);
        if intensity.ms().is_nan() || at.s().is_nan() || !self.is_soil() {
            return RainDepth::from_m(f64::NAN);
        }
        match self.ponding(intensity) {
            Some((ponding, soaked)) if at > ponding => self.flooded(soaked, at - ponding).min(rain),
            _ => rain,
        }
    }
    /// Depth soaked in at the end of some time under water, from the depth at its start.
    pub(super) fn flooded(&self, soaked: RainDepth, time: Duration) -> RainDepth {
        let suction = self.storage_suction();
        let gravity = self.conductivity * time;
        let (from, longer) = (soaked / suction, gravity / suction);
        // time counted from when a surface flooded from the start would have taken in as much
        let scaled = excess_over_log(from) + longer;
        // without suction, or with one lost beside the depth, only gravity draws
        if scaled.is_finite() { suction * front(scaled, from + longer / from * (1.0 + from)) } else { soaked + gravity }
    }
    /// The time that a flooded surface takes from one depth soaked in to another.
    pub(super) fn flooded_for(&self, from: RainDepth, to: RainDepth) -> Duration {
        let suction = self.storage_suction();
        let scaled = excess_over_log(to / suction) - excess_over_log(from / suction);
        (if scaled.is_finite() { suction * scaled } else { to - from }) / self.conductivity
    }
    /// Rate of infiltration at the end of a steady burst: the rain's own until water stands, then `K (1 + ψΔθ/F)`.
    ///
    /// Not a number where an input is not, or a property of the soil is negative.
    pub fn capacity(&self, intensity: Intensity, at: Duration) -> Intensity {
        if intensity.ms().is_nan() || at.s().is_nan() || !self.is_soil() {
            return Intensity::from_ms(f64::NAN);
        }
        match self.ponding(intensity) {
            Some((ponding, _)) if at > ponding => self.rate_at(self.cumulative(intensity, at)).min(intensity),
            _ => intensity.max(Intensity::ZERO),
        }
    }
    /// Depth soaked in under a surface flooded from the start: `F - ψΔθ ln(1 + F/ψΔθ) = K t`.
    pub fn cumulative_ponded(&self, at: Duration) -> RainDepth {
        let suction = self.storage_suction();
        let gravity = self.conductivity * at;
        if suction > RainDepth::ZERO {
            suction * front(gravity / suction, f64::INFINITY)
        } else {
            gravity.max(RainDepth::ZERO)
        }
    }
    /// Rate of infiltration under a flooded surface once a depth has soaked in: `K (1 + ψΔθ/F)`.
    pub fn rate_at(&self, soaked: RainDepth) -> Intensity {
        self.conductivity * (1.0 + self.storage_suction() / soaked)
    }
}

/// `x - ln(1 + x)` without loss of figures near zero.
fn excess_over_log(x: f64) -> f64 {
    if x < 1e-3 {
        x * x * (1.0 / 2.0 - x * (1.0 / 3.0 - x * (1.0 / 4.0 - x * (1.0 / 5.0 - x / 6.0))))
    } else {
        x - libm::log1p(x)
    }
}

/// The `x` at which `x - ln(1 + x)` is `time`; nothing for a time of zero or less. It is known to be no more than `most`,
/// as of a tangent of that convex function.
fn front(time: f64, most: f64) -> f64 {
    if time.is_nan() || time == f64::INFINITY {
        return time;
    }
    if time <= 0.0 {
        return 0.0;
    }
    // x - ln(1 + x) >= x²/(2 + 2x), so this starts at or above the root, and Newton's steps on a convex function then
    // fall towards it without crossing
    let mut x = (time + time.sqrt() * (time + 2.0).sqrt()).min(most);
    for _ in 0..60 {
        let next = x - (excess_over_log(x) - time) / x * (1.0 + x);
        if !(next < x && next > 0.0) {
            break;
        }
        x = next;
    }
    x
}

/// Infiltration by Horton: a capacity that decays from an initial to an ultimate rate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Horton {
    /// Capacity of the dry ground.
    pub initial: Intensity,
    /// Capacity after long rain.
    pub ultimate: Intensity,
    /// Time in which the excess over the ultimate rate falls to 37 %: one over Horton's `k`.
    pub decay_time: Duration,
}

impl Horton {
    /// Capacity after some time of rain that always exceeds it: `fc + (f0 - fc) exp(-kt)`.
    pub fn rate(&self, at: Duration) -> Intensity {
        self.ultimate + (self.initial - self.ultimate) * libm::exp(-(at / self.decay_time))
    }
    /// Depth soaked in by then: `fc t + (f0 - fc)(1 - exp(-kt))/k`.
    pub fn cumulative_ponded(&self, at: Duration) -> RainDepth {
        let decayed = -libm::expm1(-(at / self.decay_time));
        self.ultimate * at + (self.initial - self.ultimate) * self.decay_time * decayed
    }
    /// When water begins to stand under steady rain and the depth soaked in by then, by comparing depths, not rates:
    /// while the rain is weaker than the capacity, the capacity decays more slowly than its clock says.
    ///
    /// None where nothing ever stands, or a value makes no sense.
    pub fn ponding(&self, intensity: Intensity) -> Option<(Duration, RainDepth)> {
        let (ponding, soaked, _) = self.compressed(intensity)?;
        Some((ponding, soaked))
    }
    /// Whether its numbers describe a soil.
    pub(super) fn is_soil(&self) -> bool {
        self.initial >= self.ultimate
            && self.ultimate >= Intensity::ZERO
            && self.decay_time > Duration::ZERO
            && self.initial.is_finite()
            && self.decay_time.is_finite()
    }
    /// Ponding time, depth, and the time on the curve's own clock.
    fn compressed(&self, intensity: Intensity) -> Option<(Duration, RainDepth, Duration)> {
        if !self.is_soil() || !intensity.is_finite() || intensity <= self.ultimate {
            return None;
        }
        if intensity >= self.initial {
            return Some((Duration::ZERO, RainDepth::ZERO, Duration::ZERO));
        }
        let clock = self.decay_time * libm::log((self.initial - self.ultimate) / (intensity - self.ultimate));
        let soaked = self.cumulative_ponded(clock);
        Some((soaked / intensity, soaked, clock))
    }
    /// The time on the curve's own clock at which a depth has soaked in.
    fn clock(&self, soaked: RainDepth) -> Duration {
        let decaying = (self.initial - self.ultimate) * self.decay_time;
        if soaked <= RainDepth::ZERO {
            return Duration::ZERO;
        }
        // the depth bends downwards with time, so Newton's steps from the left rise towards the root without crossing;
        // the initial rate kept for ever comes too early, and so does the straight line that the curve bends into
        let mut at = soaked / self.initial;
        if self.ultimate > Intensity::ZERO {
            at = at.max((soaked - decaying) / self.ultimate);
        }
        for _ in 0..100 {
            let next = at + (soaked - self.cumulative_ponded(at)) / self.rate(at);
            if !(next > at && next.is_finite()) {
                break;
            }
            at = next;
        }
        at
    }
    /// Depth soaked in at the end of some time under water, from the depth at its start.
    pub(super) fn flooded(&self, soaked: RainDepth, time: Duration) -> RainDepth {
        let decaying = self.rate(self.clock(soaked)) - self.ultimate;
        soaked + self.ultimate * time + decaying * self.decay_time * -libm::expm1(-(time / self.decay_time))
    }
    /// Capacity once a depth has soaked in.
    pub(super) fn rate_after(&self, soaked: RainDepth) -> Intensity {
        self.rate(self.clock(soaked))
    }
    /// The time that a flooded surface takes from one depth soaked in to another.
    pub(super) fn flooded_for(&self, from: RainDepth, to: RainDepth) -> Duration {
        self.clock(to) - self.clock(from)
    }
    /// Depth soaked in after some time of steady rain. Not a number where an input is not, or describes no soil.
    pub fn cumulative(&self, intensity: Intensity, at: Duration) -> RainDepth {
        if intensity.ms().is_nan() || at.s().is_nan() || !self.is_soil() {
            return RainDepth::from_m(f64::NAN);
        }
        match self.compressed(intensity) {
            Some((ponding, _, clock)) if at > ponding => self.cumulative_ponded(at - ponding + clock),
            _ => intensity.max(Intensity::ZERO) * at.max(Duration::ZERO),
        }
    }
    /// Rate of infiltration at the end of a steady burst: the rain's own until water stands, then the capacity.
    ///
    /// Not a number where an input is not, or describes no soil.
    pub fn capacity(&self, intensity: Intensity, at: Duration) -> Intensity {
        if intensity.ms().is_nan() || at.s().is_nan() || !self.is_soil() {
            return Intensity::from_ms(f64::NAN);
        }
        match self.compressed(intensity) {
            Some((ponding, _, clock)) if at > ponding => self.rate(at - ponding + clock),
            _ => intensity.max(Intensity::ZERO),
        }
    }
}

/// A runoff coefficient from what soaks in: `1 - (f + Sd/t) / i`, kept within 0 and 1.
///
/// `infiltration` is the rate at the end of the burst, `depression_storage` the depth that the hollows hold, filled
/// once within the burst. **An upper bound**: the rate at the end is the lowest of the burst, so more soaked in before
/// it, and water that runs off one patch soaks into the next. Use it beside the coefficient of a published table.
///
/// Nothing where there is no rain or no time; not a number where an input is not.
pub fn coefficient_from_infiltration<N: Real>(
    infiltration: Intensity<N>,
    depression_storage: RainDepth<N>,
    duration: Duration<N>,
    intensity: Intensity<N>,
) -> N {
    let inputs = [infiltration.ms(), depression_storage.m(), duration.s(), intensity.ms()].map(Real::value);
    if inputs.iter().any(|input| input.is_nan()) {
        return N::from(f64::NAN);
    }
    if duration.s().value() <= 0.0 || intensity.ms().value() <= 0.0 {
        return N::from(0.0);
    }
    let kept = (infiltration + depression_storage / duration) / intensity;
    (N::from(1.0) - kept).greatest(N::from(0.0)).least(N::from(1.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn green_ampt(suction_mm: f64) -> GreenAmpt {
        let (conductivity, suction) = (Intensity::from_mmh(10.0), Length::from_mm(suction_mm));
        GreenAmpt { conductivity, suction, moisture_deficit: 0.3 }
    }

    #[test]
    fn a_small_excess_keeps_its_figures() {
        // x - ln(1 + x) worked out apart with forty digits
        for (x, excess) in [
            (1e-6, 4.999_996_666_669_166e-13),
            (1e-4, 4.999_666_691_664_667e-9),
            (9.9e-4, 4.897_268_069_589_613e-7),
            (0.5, 0.094_534_891_891_835_62),
            (20.0, 16.955_477_562_276_577),
        ] {
            assert_relative_eq!(excess_over_log(x), excess, epsilon = 0.0, max_relative = 2e-15);
            // and back
            assert_relative_eq!(front(excess, f64::INFINITY), x, epsilon = 0.0, max_relative = 1e-12);
            // also from where a tangent cuts the time, far off and near
            for from in [0.3 * x, 0.999 * x, x, 3.0 * x] {
                let most = from - (excess_over_log(from) - excess) / from * (1.0 + from);
                assert_relative_eq!(front(excess, most), x, epsilon = 0.0, max_relative = 1e-12);
            }
        }
        // from a thousandth up the logarithm's own twelve figures do
        assert_relative_eq!(excess_over_log(1.1e-3), 6.045_566_990_365_264e-7, epsilon = 0.0, max_relative = 1e-11);
        let front = |time| front(time, f64::INFINITY);
        assert_eq!((front(0.0), front(-1.0), front(f64::INFINITY)), (0.0, 0.0, f64::INFINITY));
        assert!(front(f64::NAN).is_nan());
    }

    #[test]
    fn the_time_under_water_by_hand() {
        let mm = RainDepth::from_mm;
        // Green and Ampt with ψΔθ of 30 mm and 10 mm/h, from 10 mm in to 40: 3 h x (4/3 - ln 7/3 - 1/3 + ln 4/3) = 1.321153 h
        let soil = green_ampt(100.0);
        assert_relative_eq!(soil.flooded_for(mm(10.0), mm(40.0)).h(), 1.321_152_637, max_relative = 1e-9);
        let back = soil.flooded(mm(10.0), Duration::from_h(1.321_152_637));
        assert_relative_eq!(back.mm(), 40.0, max_relative = 1e-9);
        // without suction 10 mm an hour
        let steady = green_ampt(0.0);
        assert_relative_eq!(steady.flooded_for(mm(2.0), mm(12.0)).h(), 1.0, max_relative = 1e-12);
        assert_relative_eq!(steady.flooded(mm(2.0), Duration::from_h(1.0)).mm(), 12.0, max_relative = 1e-12);
        assert_relative_eq!(steady.cumulative_ponded(Duration::from_h(3.0)).mm(), 30.0, max_relative = 1e-12);
        assert_eq!(steady.cumulative_ponded(Duration::from_h(-3.0)), RainDepth::ZERO);
        // Horton, 60 down to 10 mm/h with half an hour: 5 + 25 (1 - 1/e) mm in half an hour, 10 + 25 (1 - 1/e²) in an hour
        let soil = Horton {
            initial: Intensity::from_mmh(60.0),
            ultimate: Intensity::from_mmh(10.0),
            decay_time: Duration::from_h(0.5),
        };
        let (half, whole) = (mm(20.803_013_970_7), mm(31.616_617_919_1));
        assert_relative_eq!(soil.cumulative_ponded(Duration::from_h(0.5)).mm(), half.mm(), max_relative = 1e-10);
        assert_relative_eq!(soil.flooded_for(half, whole).h(), 0.5, max_relative = 1e-9);
        assert_relative_eq!(soil.flooded(half, Duration::from_h(0.5)).mm(), whole.mm(), max_relative = 1e-9);
        assert_relative_eq!(soil.rate_after(whole).mmh(), 10.0 + 50.0 * libm::exp(-2.0), max_relative = 1e-9);
    }
}
