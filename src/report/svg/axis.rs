//! Axes with round ticks that cover what they show.

/// An axis: its ends and the distance of its ticks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axis {
    /// The lower end.
    pub low: f64,
    /// The upper end.
    pub high: f64,
    /// From tick to tick.
    pub step: f64,
}

/// Ends further from nothing than this are no lengths, flows or times of a yard.
const FARTHEST: f64 = 1e12;
/// A range narrower than this share of its ends is drawn as if it were so wide.
const NARROWEST: f64 = 1e-6;

impl Axis {
    /// The axis with at most so many steps whose ticks are one, two or five times a power of ten, and whose ends, which
    /// are ticks, hold both values. What is no number counts as nothing.
    pub fn over(one: f64, other: f64, most_steps: u32) -> Self {
        let (low, high) = ends(one, other);
        let most = f64::from(most_steps.max(2));
        let mut step = round_step((high - low) / most);
        loop {
            let axis = Self {
                low: libm::floor(low / step + SLACK) * step,
                high: libm::ceil(high / step - SLACK) * step,
                step,
            };
            if (axis.high - axis.low) / step <= most + 0.5 && axis.high > axis.low {
                return axis;
            }
            step = round_step(step * 1.01);
        }
    }

    /// The same for minutes of a clock: ticks are round on the clock, the ends are those given.
    pub fn clock(one: f64, other: f64, most_steps: u32) -> Self {
        let (low, high) = ends(one, other);
        let least = (high - low) / f64::from(most_steps.max(2));
        let step = CLOCK.iter().copied().find(|step| *step >= least).unwrap_or_else(|| {
            let days = libm::ceil(least / 1440.0);
            days * 1440.0
        });
        Self { low, high, step }
    }

    /// The ticks, each a multiple of the step.
    pub fn ticks(&self) -> Vec<f64> {
        let first = libm::ceil(self.low / self.step - SLACK);
        let count = libm::floor(self.high / self.step + SLACK) - first;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few ticks")]
        let count = count.clamp(0.0, 1000.0) as u32;
        // a sum with nothing takes the sign off a nothing
        (0..=count).map(|tick| (first + f64::from(tick)) * self.step + 0.0).collect()
    }

    /// A tick as it is written, with as many decimals as the step has.
    pub fn label(&self, tick: f64) -> String {
        let decimals = (0..=15).find(|places| {
            let scaled = self.step * libm::pow(10.0, f64::from(*places));
            (scaled - libm::round(scaled)).abs() < 1e-6 * scaled.abs()
        });
        let places = usize::try_from(decimals.unwrap_or(15)).unwrap_or(15);
        let text = format!("{tick:.places$}");
        // no minus before nothing
        if text.trim_start_matches('-').chars().all(|letter| matches!(letter, '0' | '.')) {
            text.trim_start_matches('-').to_owned()
        } else {
            text
        }
    }

    /// Where a value lies between the ends, from 0 to 1.
    pub fn share(&self, value: f64) -> f64 {
        (value - self.low) / (self.high - self.low)
    }
}

/// A tick that rounding put a hair aside still counts.
const SLACK: f64 = 1e-9;

/// Steps on a clock, minutes.
const CLOCK: [f64; 14] = [1.0, 2.0, 5.0, 10.0, 15.0, 20.0, 30.0, 60.0, 120.0, 180.0, 240.0, 360.0, 720.0, 1440.0];

fn ends(one: f64, other: f64) -> (f64, f64) {
    let sane = |value: f64| if value.is_finite() { value.clamp(-FARTHEST, FARTHEST) } else { 0.0 };
    let (one, other) = (sane(one), sane(other));
    let (low, high) = (one.min(other), one.max(other));
    let least = low.abs().max(high.abs()) * NARROWEST;
    match high - low {
        width if width <= 0.0 && high == 0.0 => (0.0, 1.0),
        width if width < least.max(1e-9) => (low, high + least.max(1e-9)),
        _ => (low, high),
    }
}

/// One, two or five times a power of ten, no less than a step.
fn round_step(least: f64) -> f64 {
    let power = libm::pow(10.0, libm::floor(libm::log10(least)));
    let found = [1.0, 2.0, 5.0, 10.0].into_iter().find(|times| times * power >= least * (1.0 - SLACK));
    found.unwrap_or(10.0) * power
}
