//! What may be chosen between, and what it costs.

use super::{Key, Kind, length, quantity};
use crate::quantity::Dimension::RainDepth;

const FLOATS: &str = "no yard basin is deeper";

static PIPE: Key = Key::new("pipes", Kind::PipeSize, "A size.", "\"2 in\"");
static ACROSS: Key =
    length("basins", "An inside diameter.", "\"24 in\"").within("2 in", "20 ft", "no yard basin is smaller or larger");
static FLOAT: Key = length("floats", "A height above the floor.", "\"8 in\"").within("0 in", "100 ft", FLOATS);

pub(super) const OPTIONS: &[Key] = &[
    Key::new(
        "pipes",
        Kind::Several(&PIPE),
        "Sizes of the discharge runs that `sumpwright options` tries.",
        "[\"1-1/2 in\", \"2 in\"]",
    )
    .default("those with a price, else the sizes of the runs' pipe next to the drawn one")
    .also_called(&["pipe", "sizes"]),
    Key::new(
        "basins",
        Kind::Several(&ACROSS),
        "Inside diameters of a round basin that it tries.",
        "[\"24 in\", \"30 in\"]",
    )
    .default("those with a price, else the usual ones next to the drawn one")
    .also_called(&["basin", "diameters"]),
    Key::new(
        "off",
        Kind::Several(&FLOAT),
        "Heights above the floor at which the pump stops; each is tried with each of `on`.",
        "[\"6 in\", \"8 in\"]",
    )
    .default("the drawn one, and one as low as the pumps let it"),
    Key::new("on", Kind::Several(&FLOAT), "Heights above the floor at which it starts.", "[\"20 in\", \"26 in\"]")
        .default("the drawn one, and others between the off level and the inlet"),
];

pub(super) const PRICES: &[Key] = &[
    Key::new(
        "pipe_per_ft",
        Kind::MoneyBy("pipe size"),
        "What a foot of the runs' pipe costs with its fittings, by size.",
        "{ \"1-1/2 in\" = 1.90, \"2 in\" = 2.60 }",
    )
    .also_called(&["pipe"]),
    Key::new(
        "pipe_per_m",
        Kind::MoneyBy("pipe size"),
        "The same for a metre.",
        "{ \"50 mm\" = 6.20, \"63 mm\" = 8.50 }",
    ),
    Key::new(
        "basin",
        Kind::MoneyBy("inside diameter"),
        "What a basin with its lid costs, by inside diameter.",
        "{ \"24 in\" = 310, \"30 in\" = 420 }",
    )
    .also_called(&["basins"]),
    Key::new("energy_per_kWh", Kind::Money, "What a kilowatt-hour costs.", "0.18").within(
        "0",
        "1000000",
        "no current costs more",
    ),
    quantity("rain_per_year", RainDepth, "The rain of a year, for the energy of the years.", "\"40 in\"")
        .within("0.1 in", "600 in", "the wettest place on earth has less")
        .default("none: the rain's share of the energy is left out"),
    Key::new(
        "wet_months",
        Kind::Number,
        "The months of a year in which groundwater seeps in as reckoned, for the energy of the years.",
        "5",
    )
    .within("0", "12", "a year has twelve")
    .default("12, which is on the high side"),
];
