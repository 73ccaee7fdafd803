//! Soil and groundwater.

use super::{Key, Kind, length, level, quantity};
use crate::quantity::Dimension::{Density, Duration, Flow, Intensity, Velocity};

const INFILTRATION_WHY: &str = "coarse gravel takes no more";
const USUAL_INFILTRATION: &str = "clay takes 0.01 to 0.1 in/h, loam 0.1 to 0.5, sand 1 to 10: is the unit right?";

pub(super) const SOIL: &[Key] = &[
    Key::new(
        "texture",
        Kind::Text,
        "Texture class; gives infiltration, and coefficients for lawns.",
        "\"silty clay loam\"",
    ),
    quantity(
        "infiltration",
        Intensity,
        "Steady infiltration: what rain soaks in through the surface, where it was measured. Not `conductivity`.",
        "\"0.06 in/h\"",
    )
    .within("0 in/h", "200 in/h", INFILTRATION_WHY)
    .usually("0 in/h", "20 in/h", USUAL_INFILTRATION),
    quantity(
        "conductivity",
        Velocity,
        "Saturated hydraulic conductivity of the ground below, for groundwater. Not `infiltration`.",
        "\"0.2 ft/day\"",
    )
    .within("0 ft/day", "10000 ft/day", "coarse gravel has no more")
    .usually("0.001 ft/day", "500 ft/day", CONDUCTIVITY_WHY)
    .default("by the texture")
    .also_called(CONDUCTIVITY_WORDS),
    Key::new(
        "hydrologic_group",
        Kind::Choice(&["A", "B", "C", "D"]),
        "Hydrologic soil group, for curve numbers.",
        "\"C\"",
    )
    .default("by the texture"),
    Key::new("initial_saturation", Kind::Ratio, "How full of water the soil's pores are when the storm begins.", "0.5")
        .within("0", "1", "a share")
        .default("0.5, a soil wet by earlier rain; common practice, no source"),
    Key::new(
        "green_ampt",
        Kind::Table(GREEN_AMPT),
        "Numbers of the Green-Ampt method, where the texture's do not suit.",
        "{ conductivity = \"0.04 in/h\", suction = \"10.7 in\", moisture_deficit = 0.2 }",
    )
    .default("by the texture"),
    Key::new(
        "horton",
        Kind::Table(HORTON),
        "Numbers of Horton's method; infiltration is then taken from it.",
        "{ initial = \"3 in/h\", ultimate = \"0.3 in/h\", decay_time = \"15 min\" }",
    )
    .default("none: Green and Ampt's method by the texture"),
    quantity("saturated_density", Density, "Weight of the soil full of water.", "\"120 lb/ft3\"")
        .within("60 lb/ft3", "170 lb/ft3", "soil full of water weighs 100 to 140")
        .usually("90 lb/ft3", "150 lb/ft3", "soil full of water weighs 100 to 140 lb/ft3; water alone weighs 62")
        .default("as `sumpwright tables limits` says"),
];

const GREEN_AMPT: &[Key] = &[
    quantity("conductivity", Intensity, "Conductivity behind the wetting front.", "\"0.04 in/h\"")
        .within("0 in/h", "200 in/h", INFILTRATION_WHY)
        .usually("0.001 in/h", "20 in/h", USUAL_INFILTRATION),
    length("suction", "Suction at the wetting front.", "\"10.7 in\"")
        .within("0 in", "6 ft", "published values lie between 2 and 13 in")
        .usually("1 in", "24 in", "published values lie between 2 and 13 in"),
    Key::new("moisture_deficit", Kind::Ratio, "Room for water in the soil when the storm begins.", "0.2").within(
        "0",
        "0.7",
        "no soil has more room",
    ),
];

const HORTON: &[Key] = &[
    quantity("initial", Intensity, "Infiltration into the dry ground.", "\"3 in/h\"")
        .required()
        .within("0 in/h", "200 in/h", INFILTRATION_WHY)
        .usually("0.01 in/h", "20 in/h", USUAL_INFILTRATION),
    quantity("ultimate", Intensity, "Infiltration after long rain.", "\"0.3 in/h\"")
        .required()
        .within("0 in/h", "200 in/h", INFILTRATION_WHY)
        .usually("0 in/h", "20 in/h", USUAL_INFILTRATION),
    quantity(
        "decay_time",
        Duration,
        "The time in which what is above the ultimate rate falls to 37 %: one over Horton's k.",
        "\"15 min\"",
    )
    .required()
    .within("0.1 min", "48 h", "published values lie between 5 minutes and a few hours")
    .usually("1 min", "12 h", "published values lie between 5 minutes and a few hours")
    .also_called(&["k", "decay", "decay_constant"]),
];

const CONDUCTIVITY_WHY: &str = "clay has 0.001 to 0.5 ft/day, sand 4 to 60: is the unit right? 1 in/h is 2 ft/day";
const CONDUCTIVITY_WORDS: &[&str] = &["permeability", "ksat", "k", "k_sat", "hydraulic_conductivity"];

pub(super) const GROUNDWATER: &[Key] = &[
    level("seasonal_high", "How high groundwater stands in a wet season: a level, not a depth.", "\"92.6 ft\"")
        .also_called(&["high_water", "level"]),
    level("storm_high", "How high it rises in a storm: a level, not a depth.", "\"93.4 ft\"")
        .default("it does not follow the storm")
        .also_called(&["rises_to"]),
    quantity("rises_over", Duration, "The time that it takes to rise there, from the start of the storm.", "\"12 h\"")
        .within("10 min", "30 day", "slower than any storm")
        .default("12 h"),
    quantity("inflow", Flow, "What groundwater adds, where it is known.", "\"2 gpm\"")
        .within("0 gpm", "2000 gpm", "more than a yard's basin can take")
        .usually("0 gpm", "200 gpm", "a yard's drain brings a few gallons a minute"),
    quantity("conductivity", Velocity, "Hydraulic conductivity of the ground.", "\"0.5 ft/day\"")
        .within("0 ft/day", "10000 ft/day", "coarse gravel has no more")
        .usually("0.001 ft/day", "500 ft/day", CONDUCTIVITY_WHY)
        .default("from a measured test hole, else from `[soil]`")
        .also_called(CONDUCTIVITY_WORDS),
    length("drawdown", "How far groundwater is to be lowered at the drain.", "\"18 in\"")
        .within("0 in", "20 ft", "lower than any yard drain")
        .usually("1 in", "8 ft", "a yard's drain lowers it by 1 to 4 ft: feet or inches?")
        .default("as far as the drain lies below it"),
    level("tight_layer", "The level of the layer that water does not pass: not a depth.", "\"88 ft\"")
        .default("not known: a range of depths is reckoned with"),
    length("reach", "How far from the drain it is lowered.", "\"40 ft\"")
        .within("1 ft", "5000 ft", "farther than a yard's drain reaches")
        .usually("5 ft", "500 ft", "drains reach 10 ft in clay to a few hundred in sand: feet or inches?")
        .default("by the ground, as a range"),
    Key::new("drainable_porosity", Kind::Ratio, "The share of the ground that gives up its water as it drains.", "0.1")
        .within("0.001", "0.5", "no ground gives up more")
        .usually("0.005", "0.35", "clay gives up 0.01 to 0.08, sand 0.15 to 0.26")
        .default("by the texture"),
];
