//! Round pipes that run by gravity: what they carry, how deep, and how far water backs up in them.
//!
//! Manning's formula with n constant over the depth, throughout. Part-full flow is not a single-valued function: it is
//! greatest at 0.938 of the bore, 7.6 % above full flow, and full flow is reached at 0.82 of the bore already. Wherever
//! two depths answer, the lower is meant.

mod backwater;
mod section;
#[cfg(test)]
mod tests;

pub use backwater::{BACKWATER_SOURCE, BackedUp};
pub use section::{
    GRAVITY_PIPE_SOURCE, GREATEST_SHARE, GREATEST_SHARE_DEPTH, bore_for, critical_depth, flow_area, friction_slope,
    full_flow, normal_depth, part_full_flow,
};

use crate::quantity::{Area, Flow, Length, Level, Slope, Volume};
use section::angle;

/// A pipe that lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GravityPipe {
    /// From end to end.
    pub length: Length,
    /// Inside diameter.
    pub bore: Length,
    /// Manning's n, 0.008 to 0.03.
    pub manning_n: f64,
    /// Lowest point of the bore at its upper end.
    pub up_invert: Level,
    /// Lowest point of the bore at its lower end.
    pub down_invert: Level,
}

impl GravityPipe {
    /// Its fall over its length; below zero where it rises.
    pub fn slope(&self) -> Slope {
        Slope::of(self.up_invert - self.down_invert, self.length)
    }
    /// What it carries just full by its own fall. None where it does not fall.
    pub fn full_flow(&self) -> Option<Flow> {
        let flow = full_flow(self.manning_n, self.bore, self.slope());
        (self.slope().ratio() > 0.0 && self.bore > Length::ZERO && flow.is_finite() && flow > Flow::ZERO)
            .then_some(flow)
    }
    /// The uniform depth of a flow by its own fall. None as [`normal_depth`].
    pub fn normal_depth(&self, flow: Flow) -> Option<Length> {
        normal_depth(self.manning_n, self.bore, self.slope(), flow)
    }
    /// Still water in it at a level: how much of its length has water in it, and how much water that is.
    ///
    /// Nothing where length or bore is not above zero, or an input is not a number. Source: geometry (the area of the
    /// circle's segment, integrated along the fall in closed form).
    pub fn standing(&self, level: Level) -> (Length, Volume) {
        let none = (Length::ZERO, Volume::ZERO);
        let (up, down) = (level - self.up_invert, level - self.down_invert);
        let usable = self.length > Length::ZERO && self.bore > Length::ZERO;
        if !usable || up.m().is_nan() || down.m().is_nan() {
            return none;
        }
        let (deep, shallow) = (up.max(down), up.min(down));
        if deep <= Length::ZERO {
            return none;
        }
        let wet = if shallow >= Length::ZERO { self.length } else { self.length * (deep / (deep - shallow)) };
        let full = self.bore.circle() * wet;
        let (deep_ratio, shallow_ratio) = (deep / self.bore, shallow.max(Length::ZERO) / self.bore);
        if shallow_ratio >= 1.0 {
            return (wet, full);
        }
        let difference = deep_ratio - shallow_ratio;
        let mean = if difference > NEARLY_LEVEL {
            let between = area_integral(deep_ratio) - area_integral(shallow_ratio);
            self.bore * self.bore * (between / difference)
        } else {
            // Gauss's two points
            let middle = (deep_ratio + shallow_ratio) * 0.5;
            let aside = difference * 0.5 / libm::sqrt(3.0);
            (flow_area(self.bore, self.bore * (middle - aside)) + flow_area(self.bore, self.bore * (middle + aside)))
                * 0.5
        };
        (wet, (mean.max(Area::ZERO) * wet).min(full))
    }
}

/// A fall over the bore below which the integral's difference would lose digits that a mean of two areas keeps.
const NEARLY_LEVEL: f64 = 1e-4;

/// The area over the square of the bore, integrated over the depth over the bore from the invert up.
fn area_integral(ratio: f64) -> f64 {
    // with φ half the angle and r = 1/2: r³ (sin φ - φ cos φ - sin³ φ/3); the whole circle above the crown
    let half = angle(ratio) / 2.0;
    let (sine, cosine) = (libm::sin(half), libm::cos(half));
    let within = (sine - half * cosine - sine * sine * sine / 3.0) / 8.0;
    within + (ratio - 1.0).max(0.0) * std::f64::consts::FRAC_PI_4
}
