//! Limits, places to protect, water, and what later parts compute.

use super::{Key, Kind, length, level, quantity};
use crate::quantity::Dimension::{Area, Duration, Head, Length, Temperature, Velocity};
use crate::site::model::ENDS;

const BUILT_IN: &str = "the built-in limit";

pub(super) const LIMITS: &[Key] = &[
    quantity("least_velocity", Velocity, "Least velocity in the line, to carry grit.", "\"2 ft/s\"")
        .within("0 ft/s", "20 ft/s", "no line is run faster")
        .default(BUILT_IN),
    quantity("greatest_velocity", Velocity, "Greatest velocity in the line.", "\"8 ft/s\"")
        .within("0.1 ft/s", "100 ft/s", "no line is run faster")
        .default(BUILT_IN),
    quantity("least_run", Duration, "Shortest run of the pump with no inflow.", "\"30 s\"")
        .within("0 s", "1 h", "no pump asks for more")
        .default(BUILT_IN),
    Key::new(
        "most_starts_per_hour",
        Kind::Number,
        "Most starts in an hour, where the pump's own limit is not entered.",
        "15",
    )
    .within("0.1", "120", "motors stand 4 to 60")
    .default(BUILT_IN),
    Key::new("greatest_leak", Kind::Ratio, "Largest share of the duty flow that the relief hole may leak.", "0.05")
        .within("0", "1", "a share")
        .default(BUILT_IN),
    Key::new(
        "greatest_loss_share",
        Kind::Ratio,
        "Largest share of the head that friction and fittings may take.",
        "0.5",
    )
    .within("0", "1", "a share")
    .default(BUILT_IN),
    Key::new("shut_off_margin", Kind::Ratio, "By what share shut-off head must exceed the static head.", "0.1")
        .within("0", "5", "no pump is so far oversized")
        .default(BUILT_IN),
    length("least_cover", "Least cover over the line under lawn, where frost allows.", "\"6 in\"")
        .within("0 in", "10 ft", "deeper than any pressure line in a yard")
        .default(BUILT_IN),
    length("least_cover_walk", "Least cover under a walk.", "\"6 in\"")
        .within("0 in", "10 ft", "deeper than any pressure line in a yard")
        .default(BUILT_IN),
    length("least_cover_drive", "Least cover under a drive.", "\"18 in\"")
        .within("0 in", "10 ft", "deeper than any pressure line in a yard")
        .default(BUILT_IN),
    quantity("greatest_vacuum", Head, "Deepest vacuum that the line may stand under.", "\"15 ft\"")
        .within("0 ft", "34 ft", "no column hangs deeper")
        .default(BUILT_IN),
    Key::new("greatest_voltage_drop", Kind::Ratio, "Largest share of the voltage lost on the wire, running.", "0.05")
        .within("0", "1", "a share")
        .default(BUILT_IN),
    Key::new("greatest_starting_drop", Kind::Ratio, "The same at the start.", "0.15")
        .within("0", "1", "a share")
        .default(BUILT_IN),
    length("film", "Water shallower than this over the rim does not count as standing.", "\"1/2 in\"")
        .within("0 in", "6 in", "deeper is no film")
        .default(BUILT_IN),
    Key::new("flotation_safety", Kind::Number, "Least safety against flotation.", "1.2")
        .within("1", "5", "common factors are 1.1 to 1.5; below 1 the basin floats")
        .usually("1", "2", "common factors are 1.1 to 1.5")
        .default(BUILT_IN),
    quantity("least_drain_velocity", Velocity, "Least velocity in a gravity drain that runs full.", "\"2 ft/s\"")
        .within("0 ft/s", "20 ft/s", "no drain runs faster")
        .usually("0.5 ft/s", "6 ft/s", "drains are held to 2 to 3 ft/s")
        .default(BUILT_IN),
];

pub(super) const PROTECT: &[Key] = &[
    Key::new("name", Kind::Name, "What it is.", "\"crawl-space vent\"").required(),
    level("level", "The level at which harm begins.", "\"97.1 ft\"").required(),
];

pub(super) const WATER: &[Key] = &[quantity("temperature", Temperature, "The water's temperature.", "\"50 F\"")
    .within("32 F", "140 F", "ice, or water too hot for the pipe")
    .default("50 F, common practice for spring groundwater, no source")];

static END: Key = Key::new("allowed_outlets", Kind::Choice(ENDS), "An end.", "\"swale\"");

pub(super) const LOCAL_RULES: &[Key] = &[
    length("lot_line_distance", "Least distance from outlet to lot line.", "\"10 ft\""),
    length("house_distance", "Least distance from outlet to a house.", "\"10 ft\""),
    length("walk_distance", "Least distance from outlet to a walk.", "\"5 ft\""),
    Key::new(
        "allowed_outlets",
        Kind::Several(&END),
        "Where the town lets such water end; held against `ends_in` of the outlet.",
        "[\"swale\", \"curb\"]",
    ),
    Key::new("permit", Kind::Text, "What permit is needed.", "\"curb cut permit\""),
    Key::new(
        "winter",
        Kind::Text,
        "What the town says of letting water out in frost.",
        "\"none onto walks or streets\"",
    ),
    Key::new(
        "read_in",
        Kind::Text,
        "Where you read the rules, and when.",
        "\"town code, chapter on drains, this spring\"",
    ),
    Key::new("office", Kind::Text, "Whom to ask.", "\"public works counter\""),
];

pub(super) const MEASURED: &[Key] = &[
    length("rise", "How far the water rose in a pit or basin, no pump running. With `over` it gives the inflow.", "\"3 in\"")
        .within("0.05 in", "20 ft", "less is not measured, and no yard pit is deeper")
        .usually("0.25 in", "6 ft", "feet or inches?"),
    quantity("over", Duration, "In what time it rose; the rest between two runs of a pump that is there.", "\"90 s\"")
        .within("1 s", "30 days", "nobody waits longer"),
    length("pit_diameter", "Inside diameter of the pit.", "\"18 in\"")
        .within("2 in", "20 ft", "no yard pit is smaller or larger")
        .usually("6 in", "8 ft", "feet or inches?")
        .default("the basin of this file"),
    quantity(
        "pump_down",
        Duration,
        "How long the pump took to bring it down again by as much: the length of its run.",
        "\"20 s\"",
    )
    .within("1 s", "30 days", "nobody waits longer"),
    quantity(
        "pump_flow",
        crate::quantity::Dimension::Flow,
        "What that pump moves, where the size of the pit is not known: its runs and rests then tell the inflow.",
        "\"30 gpm\"",
    )
    .within("0.1 gpm", "2000 gpm", "more than a yard's basin can take"),
    Key::new(
        "with_drain",
        Kind::Flag,
        "Whether the French drains of this file were open into that pit, as dug. Without them a pit shows less than will come, and a calculation that says more goes before it.",
        "true",
    )
    .default("false"),
    Key::new(
        "test_hole",
        Kind::Table(TEST_HOLE),
        "A hole above the water table that was filled and left to fall.",
        "{ diameter = \"8 in\", from = \"16 in\", to = \"10 in\", over = \"45 min\" }",
    )
    .also_called(&["perc_test", "auger_hole"]),
    Key::new(
        "puddle",
        Kind::Table(PUDDLE),
        "A puddle that was seen, and the rain before it.",
        "{ low_spot = \"lawn\", area = \"400 ft2\", depth = \"3 in\", rain = \"0.8 in\" }",
    ),
    Key::new(
        "start_up",
        Kind::Table(super::crew::START_UP),
        "What the finished system did at its first start: what the start-up sheet asks for.",
        "{ empties_in = \"62 s\", rises_after_stop = \"1.5 in\", bucket = \"5 gal\", bucket_fills_in = \"9 s\" }",
    ),
];

const TEST_HOLE: &[Key] = &[
    length("diameter", "Diameter of the hole.", "\"8 in\"")
        .required()
        .within("1 in", "6 ft", "wider is a pit")
        .usually("2 in", "2 ft", "test holes are 4 to 12 in wide: feet or inches?"),
    length("from", "Depth of water in it at first, from its bottom up.", "\"16 in\"")
        .required()
        .within("0.5 in", "20 ft", "deeper is a well")
        .usually("2 in", "8 ft", "feet or inches?"),
    length("to", "Depth of water in it later, from its bottom up.", "\"10 in\"").required().within(
        "0 in",
        "20 ft",
        "deeper is a well",
    ),
    quantity("over", Duration, "The time between.", "\"45 min\"").required().within(
        "10 s",
        "30 days",
        "nobody waits longer",
    ),
];

const PUDDLE: &[Key] = &[
    Key::new("low_spot", Kind::Reference("low spot"), "The low spot it stood in.", "\"lawn\"")
        .default("the only one entered"),
    quantity("area", Area, "How much it covered.", "\"400 ft2\"").required().within(
        "0.1 ft2",
        "40 acre",
        "that is a lake",
    ),
    length("depth", "How deep it was at its deepest.", "\"3 in\"")
        .required()
        .within("0.1 in", "20 ft", "that is a lake")
        .usually("0.25 in", "3 ft", "feet or inches?"),
    quantity("rain", crate::quantity::Dimension::RainDepth, "The rain before it.", "\"0.8 in\"")
        .required()
        .within("0.01 in", "60 in", "no storm brings less or more")
        .usually("0.05 in", "12 in", "is it one storm?"),
];

pub(super) const BACKUP: &[Key] = &[
    Key::new("battery_volts", Kind::Number, "Voltage of the battery.", "12")
        .required()
        .within("1", "1000", "no battery has less or more")
        .also_called(&["volts", "voltage"]),
    Key::new("battery_amp_hours", Kind::Number, "Capacity of the battery.", "100")
        .required()
        .within("0.1", "10000", "no battery has less or more")
        .also_called(&["amp_hours", "capacity"]),
    Key::new("usable_share", Kind::Ratio, "The share of it that may be used.", "0.5")
        .within("0.05", "1", "a share")
        .default(BUILT_IN),
    Key::new("inverter_efficiency", Kind::Ratio, "Efficiency of the inverter.", "0.85")
        .within("0.1", "1", "a share")
        .default(BUILT_IN),
];

pub(super) const SUPPLY: &[Key] = &[
    length("distance", "One-way length of the wire.", "\"90 ft\"").within("0 ft", "10000 ft", "longer than any yard"),
    Key::new("wire", Kind::Text, "Size of its copper.", "\"12 AWG\""),
    Key::new("circuit_amps", Kind::Number, "Rating of the circuit.", "20").within("1", "400", "no house has more"),
];

pub(super) const CONDITIONS: &[Key] = &[
    quantity("cold_water", Temperature, "The coldest water that is pumped.", "\"35 F\"")
        .within("32 F", "140 F", "ice, or water too hot for the pipe")
        .default(BUILT_IN),
    Key::new("aged_friction", Kind::Ratio, "The share of its C that the pipe loses as it ages.", "0.13")
        .within("0", "0.6", "a pipe that has lost more is blocked")
        .default(BUILT_IN),
    quantity("aged_roughness", Length, "The roughness height of the aged pipe.", "\"0.05 mm\"")
        .within("0 mm", "10 mm", "rougher than a corroded culvert")
        .default(BUILT_IN),
];
