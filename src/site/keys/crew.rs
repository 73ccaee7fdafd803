//! What the crew's sheet is laid out by, and what is measured at the first start.

use super::{Key, Kind, length, quantity};
use crate::quantity::Dimension::{Duration, Flow, Volume};

pub(super) const CREW: &[Key] = &[
    length("station_spacing", "How far apart the stations of a trench lie, between the points entered.", "\"10 ft\"")
        .within("1 ft", "1000 ft", "closer nobody checks, and farther apart is no trench of a yard")
        .usually("3 ft", "100 ft", "crews check every 5 to 50 ft: feet or inches?")
        .default("25 ft, or 5 m on a metric sheet; common practice, no source")
        .also_called(&["spacing", "stations"]),
    length("bedding", "Stone under solid pipes: the trench is dug that much deeper.", "\"3 in\"")
        .within("0 in", "3 ft", "more is no bedding")
        .usually("0 in", "12 in", "bedding is 2 to 6 in: feet or inches?")
        .default("none; a French drain by its own trench"),
    length("basin_bedding", "Stone under the basin: the hole is dug that much deeper.", "\"6 in\"")
        .within("0 in", "6 ft", "more is no bedding")
        .usually("0 in", "2 ft", "bedding is 4 to 12 in: feet or inches?")
        .default("6 in; common practice, no source"),
    Key::new(
        "setup",
        Kind::Reference("setup of `[levels]`"),
        "The setup that rod readings are given for.",
        "\"front\"",
    )
    .default("each of them"),
    Key::new(
        "surface",
        Kind::Choice(super::SURFACES),
        "What lies over trenches and around holes where nothing else is said: to make good, and for the cover.",
        "\"lawn\"",
    )
    .default("not known: the takeoff then leaves it open"),
];

pub(super) const START_UP: &[Key] = &[
    quantity(
        "empties_in",
        Duration,
        "How long the pump ran from its start at the on level to its stop, nothing else running in.",
        "\"62 s\"",
    )
    .within("1 s", "24 h", "nobody stands by longer"),
    length("fell", "How far the water fell in that time, by a tape.", "\"18 in\"")
        .within("0.5 in", "20 ft", "less is not measured, and no yard basin is deeper")
        .usually("1 in", "8 ft", "feet or inches?")
        .default("from the on level to the off level"),
    quantity("inflow", Flow, "What ran in meanwhile, by how fast the water rose with the pump off.", "\"1.5 gpm\"")
        .within("0 gpm", "2000 gpm", "more than a yard's basin can take")
        .default("nothing"),
    length("rises_after_stop", "How far the water rose after the pump stopped, read when the start-up sheet says: after a minute, or with a drain hole when the line has run back.", "\"1.5 in\"")
        .within("0 in", "20 ft", "no yard basin is deeper")
        .usually("0 in", "4 ft", "feet or inches?"),
    quantity("bucket", Volume, "What was caught at the outlet, the pump running.", "\"5 gal\"").within(
        "0.1 gal",
        "1000 gal",
        "nobody holds less or more under a pipe",
    ),
    quantity("bucket_fills_in", Duration, "In what time that was full.", "\"9 s\"").within(
        "0.5 s",
        "1 h",
        "less is not timed by hand, and nobody holds a bucket longer",
    ),
];
