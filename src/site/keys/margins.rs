//! How far what was entered may be off.

use super::{Key, Kind};
use crate::quantity::Dimension::{Length, Number};

pub(super) const DOC: &str = "How far what was entered may be off: the ranges that `margins` draws from. Each is a change from the value entered; one alone goes both ways, a list goes from the lowest to the highest: `[\"-5 %\", \"15 %\"]`.";

const TAKEN: &str = "`margins` prints it";

/// A change as a share of the value.
const fn share(name: &'static str, doc: &'static str, example: &'static str) -> Key {
    Key::new(name, Kind::Spread(Number), doc, example).within("-0.95", "4", "nobody is so far off").default(TAKEN)
}

/// A change as a length.
const fn length(name: &'static str, doc: &'static str, example: &'static str) -> Key {
    Key::new(name, Kind::Spread(Length), doc, example).within("-30 ft", "30 ft", "nobody is so far off").default(TAKEN)
}

pub(super) const MARGINS: &[Key] = &[
    share("rain", "The rain, all durations alike.", "\"20 %\"").also_called(&["rain_depth"]),
    share("catchment_area", "The areas of all surfaces.", "\"10 %\""),
    share("runoff_coefficient", "The runoff coefficients that are used; none goes above 1.", "\"20 %\""),
    share("curve_number", "The curve numbers that are used; none goes above 100.", "\"5 %\""),
    share("infiltration", "What the soil takes, where a coefficient comes from that.", "\"50 %\""),
    share("inflow", "The flows of all `[[inflow]]`.", "\"20 %\""),
    share("groundwater_inflow", "The groundwater that comes in.", "\"50 %\""),
    length("groundwater_level", "How high groundwater stands.", "\"12 in\""),
    share("grate_area", "What the leaves leave open of the grates.", "[\"-50 %\", \"25 %\"]").also_called(&[
        "clogged",
        "clogging",
        "grate_clogging",
    ]),
    share("low_spot_area", "The water surfaces of the low spots.", "\"10 %\""),
    share("pipe_c", "The Hazen-Williams C of the discharge line.", "[\"-13 %\", \"0 %\"]")
        .also_called(&["roughness", "pipe_roughness"]),
    share("bore", "The inside diameters of the discharge line.", "[\"-2 %\", \"0 %\"]"),
    share("fittings", "The losses of fittings, valve and outlet.", "[\"-20 %\", \"50 %\"]"),
    share("run_length", "The length of the discharge line.", "[\"-2 %\", \"10 %\"]").also_called(&["length"]),
    length("lift", "How high the outlet lies over the basin.", "\"6 in\"").also_called(&["outlet_level"]),
    Key::new("pump_wear", Kind::Spread(Number), "The share of its head that the pump has lost.", "[\"0 %\", \"15 %\"]")
        .within("-0.6", "0.6", "a pump that has lost more is broken")
        .default(TAKEN)
        .also_called(&["wear"]),
    share("float_on", "The height of the on level, with the second pump's and the alarm above it.", "\"8 %\""),
    share("float_off", "The height of the off level.", "\"8 %\""),
    share("between_floats", "The height between the off and the on level.", "\"5 %\""),
    share("basin_width", "The inside width of the basin.", "\"1 %\"").also_called(&["basin_diameter"]),
];
