//! Charts as SVG that need nothing beside them: black on white with one accent, told apart by dashes and markers, so that
//! a print without colour reads as well. A chart scales what it is given to the page and computes nothing else.

mod axis;
mod basin_section;
mod canvas;
mod frame;
mod labels;
mod line_profile;
mod margin_bars;
mod pump_curves;
mod storm_course;

pub use axis::Axis;

pub(crate) use basin_section::basin_section;
pub(crate) use line_profile::line_profile;
pub(crate) use margin_bars::margin_bars;
pub(crate) use pump_curves::pump_curves;
pub(crate) use storm_course::storm_course;

use crate::quantity::{Amount, UnitSystem};

/// Width of every chart; a screen of a telephone shows it at about three quarters of that.
const WIDTH: f64 = 420.0;

/// The unit of an axis: the one that the greatest value on it is printed in.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Unit {
    per_si: f64,
    name: &'static str,
}

impl Unit {
    fn of(greatest: Amount, system: UnitSystem) -> Self {
        // nothing at all is in the unit of a little
        let si = if greatest.si.is_finite() && greatest.si != 0.0 { greatest.si } else { 1.0 };
        let (value, name) = Amount { si, ..greatest }.parts(system);
        let per_si = value / si;
        Self { per_si: if per_si.is_finite() { per_si } else { 1.0 }, name }
    }
    fn value(self, si: f64) -> f64 {
        si * self.per_si
    }
}

/// Names one after the other, the last behind a word: `a, b and c`.
fn listed(words: &[String]) -> String {
    match words.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
        None => String::new(),
    }
}
