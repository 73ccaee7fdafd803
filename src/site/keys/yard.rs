//! Goal, levels, rain, catchments.

use super::{Key, Kind, length, quantity};
use crate::quantity::Dimension::{Area, Duration, Flow, Intensity, Length, RainDepth, ReturnPeriod, Slope};

pub(super) const GOAL: &[Key] = &[
    quantity("return_period", ReturnPeriod, "The storm to stand: one of the periods of the rain.", "\"10 yr\"")
        .within("0.1 yr", "1000 yr", "rain tables do not go further")
        .default("the only period entered"),
    length("standing_water", "The deepest water allowed over the low spot.", "\"2 in\"").within(
        "0 in",
        "20 ft",
        "deeper than that is a lake",
    ),
    quantity("clear_within", Duration, "The longest that water may stand.", "\"6 h\"")
        .within("1 min", "60 days", "no yard is drained so slowly or so fast")
        .usually("10 min", "7 days", "mosquitoes breed after about 2 days"),
    quantity(
        "flow",
        Flow,
        "A flow that the pump must deliver with the basin drawn down to its off level.",
        "\"30 gpm\"",
    )
    .within("0.1 gpm", "10000 gpm", "a pump in a yard moves gallons, not rivers"),
];

pub(super) const LEVELS: &[Key] = &[
    Key::new(
        "setups",
        Kind::Tables(SETUP),
        "The places that the instrument stood at.",
        "[{ name = \"front\", benchmark = \"100.00 ft\", rod_on_benchmark = \"4.20 ft\" }]",
    )
    .also_called(&["setup"]),
    quantity(
        "above_sea",
        crate::quantity::Dimension::Length,
        "How high the yard lies above the sea: less air presses there.",
        "\"5000 ft\"",
    )
    .within("-1500 ft", "20000 ft", "nobody lives higher")
    .default("sea level"),
];

const SETUP: &[Key] = &[
    Key::new("name", Kind::Name, "What rod readings call it.", "\"front\"").required(),
    quantity("benchmark", crate::quantity::Dimension::Level, "The level of the benchmark.", "\"100.00 ft\"")
        .required()
        .within(super::LOWEST, super::HIGHEST, "the surface of the earth lies within"),
    length("rod_on_benchmark", "The rod reading on the benchmark.", "\"4.20 ft\"").required().within(
        "-30 ft",
        "30 ft",
        "rods are not longer",
    ),
];

/// A rod reading in place of a level.
pub(in crate::site) const ROD: &[Key] = &[
    length("rod", "The rod reading; the level is benchmark + rod on benchmark − rod.", "\"6.31 ft\"")
        .required()
        .within("-30 ft", "30 ft", "rods are not longer"),
    Key::new("setup", Kind::Reference("setup of `[levels]`"), "The setup it was read from.", "\"back\"")
        .default("the only setup there is"),
];

pub(super) const RAIN: &[Key] = &[
    Key::new(
        "depth",
        Kind::RainTable,
        "Depth of rain for each return period and duration, from the weather service's table for the address: \
         `[rain.depth.\"10 yr\"]` with a line such as `\"5 min\" = \"0.55 in\"` for each duration.",
        "{ \"10 yr\" = { \"5 min\" = \"0.55 in\", \"60 min\" = \"1.87 in\" } }",
    )
    .also_called(&["depths", "table"]),
    quantity("intensity", Intensity, "One intensity for all durations, in place of a table.", "\"4.5 in/h\"")
        .within("0.001 in/h", "100 in/h", "no rain is heavier for minutes on end")
        .usually(
            "1 in/h",
            "20 in/h",
            "bursts of a few minutes bring 2 to 12 in/h; a day's rain is no intensity to design for",
        ),
    Key::new(
        "formula",
        Kind::Table(FORMULA),
        "a, b and c of i = a/(t + b)^c with t and b in minutes, in place of a table.",
        "{ a = \"49.7 in/h\", b = \"7.2 min\", c = 0.743 }",
    ),
    Key::new(
        "file",
        Kind::Text,
        "The weather service's point file (CSV), next to the site file, in place of a table.",
        "\"rain.csv\"",
    ),
    quantity("minimum_time", Duration, "The shortest time of concentration used.", "\"5 min\"")
        .within("0.5 min", "60 min", "shorter bursts are not in any table, longer ones miss the peak")
        .default("5 min, the shortest duration of most rain tables"),
    quantity(
        "two_year_24_hour",
        RainDepth,
        "Depth of the 2-year 24-hour rain; sheet flow is then computed by the NRCS form.",
        "\"2.9 in\"",
    )
    .within("0.1 in", "40 in", "no place on land has less or more"),
    Key::new(
        "frequency_factor",
        Kind::Number,
        "The factor on runoff coefficients for storms rarer than 10 years.",
        "1.1",
    )
    .within("1", "1.6", "published factors run from 1 to 1.25")
    .default("by the return period, from the table of frequency factors"),
    Key::new(
        "distribution",
        Kind::Choice(&["type I", "type IA", "type II", "type III"]),
        "The published 24-hour storm that the town asks to see. Its half hours flatten the burst that matters to a yard: \
         it stands beside the verdict and does not make it.",
        "\"type II\"",
    )
    .default("none is shown"),
    Key::new(
        "origin",
        Kind::Text,
        "Where the figures come from.",
        "\"weather service, point estimate, partial duration\"",
    )
    .also_called(&["source"]),
];

const FORMULA: &[Key] = &[
    quantity("a", Intensity, "The intensity where t + b is one minute.", "\"49.7 in/h\"").required().within(
        "0.01 in/h",
        "100000 in/h",
        "far beyond any published formula",
    ),
    quantity("b", Duration, "Added to the duration.", "\"7.2 min\"").required().within(
        "0 min",
        "240 min",
        "far beyond any published formula",
    ),
    Key::new("c", Kind::Number, "The exponent.", "0.743").required().within(
        "0.01",
        "3",
        "published exponents lie between 0.4 and 1.2",
    ),
];

pub(super) const CATCHMENT: &[Key] = &[
    Key::new("name", Kind::Name, "What the report calls it.", "\"lawn\"").required(),
    quantity("area", Area, "Its area, seen from above.", "\"5200 ft2\"")
        .required()
        .within("1 ft2", "40 acre", "larger than any yard: is the unit right?")
        .usually("20 ft2", "5 acre", "a yard's surfaces are seldom larger: is the unit right?")
        .also_called(&["size"]),
    Key::new("surface", Kind::Text, "The surface; gives coefficient and roughness.", "\"lawn\"")
        .also_called(&["cover", "type"]),
    Key::new("runoff_coefficient", Kind::Ratio, "The share of a 2- to 10-year storm's rain that runs off.", "0.22")
        .within("0", "1", "a share")
        .default("mid-range of the table for its surface, soil and slope")
        .also_called(&["c", "coefficient", "runoff"]),
    Key::new(
        "coefficient_from",
        Kind::Choice(&["table", "infiltration", "curve number"]),
        "Whether the coefficient comes from the table, from the soil's infiltration (an upper bound) or from the curve \
         number, the burst in the middle of a day's rain.",
        "\"table\"",
    )
    .default("table"),
    quantity("depression_storage", RainDepth, "Rain held in hollows before any runs off.", "\"0.1 in\"")
        .within("0 in", "6 in", "more than any surface holds")
        .default("by the table, where infiltration counts"),
    Key::new("curve_number", Kind::Number, "Its curve number, to compare the runoff with or to take it from.", "74")
        .within("1", "100", "curve numbers go from 1 to 100")
        .usually("30", "100", "the tables give 30 to 98")
        .default("by the table for its surface and the soil's hydrologic group")
        .also_called(&["cn"]),
    quantity("slope", Slope, "Slope of the surface.", "\"3 %\"").within("0 %", "300 %", "steeper is a wall"),
    quantity(
        "time_of_concentration",
        Duration,
        "How long water takes from its far end, where it is known.",
        "\"8 min\"",
    )
    .within("0.1 min", "24 h", "a yard's water does not take longer")
    .default("from `flow_path`; without one, the shortest used")
    .also_called(&["tc", "time"]),
    Key::new(
        "flow_path",
        Kind::Tables(REACH),
        "The way of the water from the far end, a piece a line.",
        "[{ sheet = \"60 ft\", slope = \"2 %\", surface = \"dense grass\" }]",
    )
    .also_called(&["path"]),
    Key::new(
        "drains_to",
        Kind::Reference("inlet, low spot, drain, or `basin`"),
        "Where its water goes.",
        "\"lawn grate\"",
    )
    .default("basin"),
];

const REACH: &[Key] = &[
    length("sheet", "Length of thin sheet flow over the surface.", "\"60 ft\"")
        .within("0.1 ft", "1000 ft", "sheet flow gathers long before")
        .usually("0.1 ft", "150 ft", "sheet flow gathers within about 100 ft"),
    length("shallow", "Length of shallow concentrated flow.", "\"80 ft\"").within(
        "0.1 ft",
        "10000 ft",
        "longer than any yard",
    ),
    length("channel", "Length in a channel or swale.", "\"40 ft\"").within(
        "0.1 ft",
        "10000 ft",
        "longer than any yard",
    ),
    length("pipe", "Length in a gravity pipe.", "\"30 ft\"").within("0.1 ft", "10000 ft", "longer than any yard"),
    quantity("slope", Slope, "Its slope.", "\"2 %\"").required().within(
        "0.001 %",
        "300 %",
        "water needs a fall; steeper is a wall",
    ),
    Key::new("surface", Kind::Text, "The surface, for sheet and shallow flow.", "\"dense grass\""),
    Key::new("roughness", Kind::Number, "Manning's n, where it is known.", "0.03").within(
        "0.005",
        "1",
        "published values lie within",
    ),
    length("hydraulic_radius", "Area of flow over wetted perimeter, for a channel.", "\"3 in\"").within(
        "0.05 in",
        "10 ft",
        "larger is a river",
    ),
    Key::new("size", Kind::PipeSize, "Size of the pipe.", "\"4 in\""),
    quantity("bore", Length, "Inside diameter of the pipe.", "\"4.03 in\"").within(
        "0.25 in",
        "10 ft",
        "no drain pipe is smaller or larger",
    ),
];
