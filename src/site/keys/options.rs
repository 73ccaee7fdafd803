//! What may be chosen between, and what it costs.

use super::takeoff::money;
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
        "What a foot of the runs' pipe costs by size, with its fittings unless `fittings` has them.",
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
    Key::new(
        "fittings",
        Kind::MoneyBy("fitting"),
        "What a fitting of the discharge line or a coupling costs, by its name, or by size and name. Where this stands, `pipe_per_ft` is the pipe alone.",
        "{ \"elbow 90\" = 2.40, \"2 in coupling\" = 1.30 }",
    )
    .also_called(&["fitting"]),
    Key::new(
        "drain_pipe_per_ft",
        Kind::MoneyBy("pipe size"),
        "What a foot of solid drain pipe costs with its fittings, by size.",
        "{ \"4 in\" = 1.80 }",
    ),
    Key::new("drain_pipe_per_m", Kind::MoneyBy("pipe size"), "The same for a metre.", "{ \"110 mm\" = 6.50 }"),
    Key::new(
        "french_pipe_per_ft",
        Kind::MoneyBy("pipe size"),
        "What a foot of French-drain pipe costs with its fittings, by size.",
        "{ \"4 in\" = 0.95 }",
    ),
    Key::new("french_pipe_per_m", Kind::MoneyBy("pipe size"), "The same for a metre.", "{ \"110 mm\" = 3.40 }"),
    Key::new(
        "pumps",
        Kind::MoneyBy("pump"),
        "What a pump costs, by its name in the site file; goes before the pump's own `price`.",
        "{ \"medium\" = 289 }",
    ),
    money("rectangular_basin", "The basin with its lid, where it is rectangular.", "690"),
    money("check_valve", "A check valve.", "34"),
    money("alarm", "The alarm with its float.", "120"),
    money("battery", "The battery of `[backup]` with its inverter and charger.", "640"),
    money("vent", "An air valve or open vent on the discharge line.", "28"),
    money("spill_gap", "The piece at which the line spills when it is frozen.", "35"),
    money("outlet_piece", "What stands at the end of the line: grate, pop-up, box.", "38"),
    money("catch_basin", "A catch basin with its grate.", "65").also_called(&["inlet", "grate"]),
    money("cement_can", "A can of cement.", "9.50"),
    money("primer_can", "A can of primer.", "8.50"),
    money("stone_per_yd3", "A cubic yard of stone, brought to the yard.", "52"),
    money("stone_per_m3", "The same for a cubic metre.", "65"),
    money("fabric_per_ft2", "A square foot of filter fabric.", "0.22"),
    money("fabric_per_m2", "The same for a square metre.", "2.20"),
    money("concrete_per_yd3", "A cubic yard of concrete, or of the bags that make it.", "260"),
    money("concrete_per_m3", "The same for a cubic metre.", "320"),
    money("haul_per_yd3", "Taking a cubic yard of loose soil away, tipping it included.", "24"),
    money("haul_per_m3", "The same for a cubic metre.", "30"),
    money("sod_per_ft2", "A square foot of sod or seed.", "0.75"),
    money("sod_per_m2", "The same for a square metre.", "8"),
    money("paving_per_ft2", "Making a square foot of walk or drive good.", "14"),
    money("paving_per_m2", "The same for a square metre.", "150"),
    Key::new(
        "lump_sums",
        Kind::MoneyBy("name"),
        "Other costs of the job in one sum each, by a name of yours: a permit, an electrician, shoring.",
        "{ \"electrician\" = 780, \"permit\" = 120 }",
    )
    .also_called(&["lump_sum", "sums"]),
    Key::new("currency", Kind::Text, "The sign or letters of your money, as it is printed before amounts.", "\"$\"")
        .default("none is printed"),
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
