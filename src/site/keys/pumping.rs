//! Pumping, the discharge line, the pumps.

use super::{Key, Kind, length, level, quantity};
use crate::quantity::Dimension::{Duration, Head, Length, Power, Slope, Volume};
use crate::site::model::ENDS;

const DEPTH_OF_BASINS: &str = "no yard basin is deeper";

pub(super) const PUMPING: &[Key] = &[
    Key::new("use", Kind::Reference("pump"), "The pump that the design is made with.", "\"candidate A\"")
        .default("the best of those entered"),
    Key::new("count", Kind::Count, "How many are installed.", "1")
        .within("1", "2", "two pumps are reckoned with at the most")
        .default("1, or 2 where `lag` names another"),
    Key::new("lag", Kind::Reference("pump"), "The pump that starts second, where it is another kind.", "\"old pump\"")
        .default("a second one of the same kind, where `count` is 2")
        .also_called(&["second"]),
    Key::new("wear", Kind::Ratio, "The share of its head that a worn pump has lost.", "0.1")
        .within("0", "0.9", "beyond that it is broken")
        .default("0.1; common practice, no source"),
    length("lag_on", "Height above the floor at which the second pump starts.", "\"27 in\"")
        .within("0 in", "100 ft", DEPTH_OF_BASINS)
        .default("none: the second pump is a standby, and nothing counts on both"),
    length("lag_off", "Height above the floor at which the second pump stops.", "\"12 in\"")
        .within("0 in", "100 ft", DEPTH_OF_BASINS)
        .default("the off level"),
    Key::new("alternate", Kind::Flag, "Whether two pumps take turns, so that each starts half as often.", "true")
        .default("false"),
];

pub(super) const DISCHARGE: &[Key] = &[
    Key::new(
        "riser",
        Kind::Table(RISER),
        "The pipe from the pump up to where the runs begin.",
        "{ material = \"PVC schedule 40\", size = \"1-1/2 in\", length = \"3 ft\" }",
    )
    .required(),
    Key::new(
        "check_valve",
        Kind::TableOrNone(CHECK_VALVE),
        "The check valve in the riser; `false` for none.",
        "{ kind = \"swing\", above_floor = \"20 in\" }",
    )
    .default("none")
    .also_called(&["valve"]),
    Key::new(
        "relief_hole",
        Kind::TableOrNone(RELIEF_HOLE),
        "The hole between pump and check valve that lets air out; `false` for none.",
        "{ diameter = \"3/16 in\", above_floor = \"14 in\" }",
    )
    .default("none")
    .also_called(&["weep_hole", "vent_hole", "bleed_hole", "air_hole"]),
    Key::new(
        "drain_hole",
        Kind::TableOrNone(RELIEF_HOLE),
        "A hole above the check valve, inside the basin, through which the line drains back; `false` for none.",
        "{ diameter = \"1/4 in\", above_floor = \"30 in\" }",
    )
    .default("none"),
    Key::new("vent", Kind::Tables(VENT), "An air valve or an open vent on the line.", "[{ at = \"60 ft\" }]")
        .also_called(&["vents", "air_valve", "air_release"]),
    Key::new(
        "equivalent_lengths",
        Kind::Text,
        "A table of equivalent lengths to take for fittings in place of K, by name: `sumpwright tables equivalent-length-tables` lists them.",
        "\"screwed code\"",
    )
    .default("none: fittings by K"),
    Key::new(
        "frost",
        Kind::Table(FROST),
        "How the line is kept from freezing.",
        "{ plan = \"drains back\", depth = \"30 in\" }",
    ),
    Key::new("outlet", Kind::Table(OUTLET), "Where the water leaves.", "{ kind = \"grate\", level = \"100.4 ft\" }")
        .required()
        .also_called(&["outfall"]),
    Key::new(
        "profile",
        Kind::Tables(PROFILE),
        "Points along the runs, from the basin (`at = \"0 ft\"`) to the outlet.",
        "[{ at = \"0 ft\", invert = \"95.6 ft\", ground = \"96.3 ft\" }]",
    ),
    Key::new("run", Kind::Tables(RUN), "A length of one pipe, with its fittings, in order from the basin.", "")
        .required()
        .also_called(&["runs"]),
];

const MATERIAL: Key =
    Key::new("material", Kind::Text, "Kind of pipe.", "\"PVC schedule 40\"").also_called(&["kind", "pipe"]);
const SIZE: Key = Key::new("size", Kind::PipeSize, "Nominal size of the pipe: a label, not its bore.", "\"2 in\"")
    .also_called(&["diameter"]);
const C: Key = Key::new("c", Kind::Number, "Hazen-Williams coefficient, where the table's does not suit.", "140")
    .within("20", "160", "published values lie between 60 and 155")
    .default("by the kind of pipe");
const ROUGHNESS: Key =
    quantity("roughness", Length, "Roughness height, where the table's does not suit.", "\"0.0015 mm\"")
        .within("0 mm", "10 mm", "rougher than a corroded culvert")
        .default("by the kind of pipe");
const BORE: Key =
    quantity("inside_diameter", Length, "Inside diameter, where it differs from the standard's.", "\"2.067 in\"")
        .within("0.2 in", "24 in", "no pump line is smaller or larger")
        .default("from the pipe standard, by the least wall")
        .also_called(&["bore", "id"]);
const FITTINGS: Key = Key::new(
    "fittings",
    Kind::Fittings,
    "Fittings by name, and how many; `{ count = 2, k = 0.9 }` where K is known.",
    "{ \"elbow 90\" = 2, \"union\" = 1 }",
);

const ALLOWANCE: Key = Key::new(
    "fittings_allowance",
    Kind::Ratio,
    "An allowance for fittings that nobody counted: so much more length, as a share of it.",
    "0.25",
)
.within("0", "3", "more fittings than pipe")
.default("none");

const RISER: &[Key] = &[
    MATERIAL.required(),
    SIZE.required(),
    length("length", "Its length.", "\"3 ft\"").required().within("0.05 ft", "100 ft", DEPTH_OF_BASINS),
    Key::new("count", Kind::Count, "How many risers there are.", "2")
        .within("1", "2", "two pumps are reckoned with at the most")
        .default("one for each pump"),
    FITTINGS,
    ALLOWANCE,
    C,
    ROUGHNESS,
    BORE,
];

const RUN: &[Key] = &[
    MATERIAL.required(),
    SIZE.required(),
    length("length", "Its length.", "\"135 ft\"").required().within(
        "0.1 ft",
        "10000 ft",
        "longer than any yard's line",
    ),
    FITTINGS,
    ALLOWANCE,
    C,
    ROUGHNESS,
    BORE,
];

const CHECK_VALVE: &[Key] = &[
    Key::new("kind", Kind::Text, "Its kind.", "\"swing\"").default("swing"),
    Key::new("k", Kind::Number, "Its loss coefficient, fully open.", "2.0")
        .within("0", "100", "a valve that loses more is shut")
        .default("by its kind"),
    length("above_floor", "Its height above the basin's floor.", "\"20 in\"").within("0 in", "100 ft", DEPTH_OF_BASINS),
    Key::new("count", Kind::Count, "How many there are.", "2")
        .within("0", "4", "one for each pump is enough")
        .default("one for each pump"),
    quantity("closes_in", Duration, "The time in which it closes, where its maker says so.", "\"0.3 s\"")
        .within("0.01 s", "60 s", "slower than that it is a valve for a dam")
        .default("at once"),
];

const VENT: &[Key] = &[
    length("at", "Distance along the runs.", "\"60 ft\"").required().within(
        "0 ft",
        "10000 ft",
        "longer than any yard's line",
    ),
    level("open_top", "The top of an open vent pipe; left out for a valve that holds water.", "\"103.0 ft\""),
];

const RELIEF_HOLE: &[Key] = &[
    length("diameter", "Its diameter.", "\"3/16 in\"")
        .required()
        .within("0.01 in", "2 in", "larger is an outlet")
        .usually("1/16 in", "1/2 in", "relief holes are 1/8 to 1/4 in"),
    length("above_floor", "Its height above the basin's floor.", "\"14 in\"").within("0 in", "100 ft", DEPTH_OF_BASINS),
    Key::new("discharge_coefficient", Kind::Number, "Its coefficient of discharge.", "0.6")
        .within("0.3", "1", "published values lie between 0.59 and 0.98")
        .default("0.6, a sharp-edged hole"),
];

const FROST: &[Key] = &[
    Key::new(
        "plan",
        Kind::Choice(&["drains back", "drains out", "below frost", "spill gap"]),
        "What keeps the line from freezing: it drains back into the basin, drains out at its end, lies below the frost, or the pump spills at a gap while it is frozen.",
        "\"drains back\"",
    )
    .default("none"),
    length("depth", "How deep the frost goes; must stand where a plan does.", "\"30 in\"").within(
        "0 in",
        "15 ft",
        "permafrost",
    ),
    Key::new(
        "gap",
        Kind::Table(GAP),
        "Where the pump spills when the line beyond is frozen: for the plan `spill gap`.",
        "{ at = \"4 ft\", level = \"97.2 ft\" }",
    ),
];

const GAP: &[Key] = &[
    length("at", "Distance along the runs.", "\"4 ft\"").required().within(
        "0 ft",
        "10000 ft",
        "longer than any yard's line",
    ),
    level("level", "The level at which it spills.", "\"97.2 ft\"").required(),
];

const OUTLET: &[Key] = &[
    Key::new("kind", Kind::Text, "Its kind.", "\"grate\"").default("open end"),
    level("level", "The level at which the water comes out.", "\"100.4 ft\"")
        .required()
        .also_called(&["invert", "elevation"]),
    level("ditch_full", "The level of the water outside when the ditch is full.", "\"100.1 ft\""),
    Key::new("k", Kind::Number, "Its loss coefficient, beyond the velocity head.", "0.5")
        .within("0", "100", "an outlet that loses more is shut")
        .default("by its kind"),
    quantity("opening_head", Head, "Head needed to open its cover.", "\"4 in\"").within(
        "0 in",
        "50 ft",
        "no cover is so heavy",
    ),
    Key::new("returns", Kind::Ratio, "The share of the pumped water that finds its way back.", "0")
        .within("0", "1", "a share")
        .default("0"),
    super::collection::GRATE.default("none"),
    super::collection::OPEN_AREA,
    super::collection::PERIMETER,
    super::collection::CLOGGED,
    level(
        "ground_between",
        "The highest ground on the way that water would take from the outlet back to the low spot: a level.",
        "\"101.2 ft\"",
    )
    .default("the highest ground of the profile"),
    Key::new(
        "swale",
        Kind::Table(SWALE),
        "The swale that the water runs away in.",
        "{ bottom_width = \"1 ft\", side_slope = 4, slope = \"2 %\", depth = \"8 in\", cover = \"mown grass\" }",
    ),
    Key::new("ends_in", Kind::Choice(ENDS), "Where the water ends, in the words of town rules.", "\"swale\"")
        .default("by its kind, where that says so"),
    length("to_lot_line", "Distance to the lot line.", "\"12 ft\""),
    length("to_house", "Distance to the nearest house.", "\"40 ft\""),
    length("to_walk", "Distance to the nearest walk.", "\"6 ft\""),
];

const SWALE: &[Key] = &[
    length("bottom_width", "Width of its bed.", "\"1 ft\"")
        .within("0 ft", "100 ft", "wider than any yard")
        .usually("0 ft", "10 ft", "swales are 0 to 4 ft wide at the bed: feet or inches?")
        .default("0: a V"),
    Key::new("side_slope", Kind::Number, "Horizontal for each unit of height, on each side.", "4")
        .required()
        .within("0", "100", "flatter is a lawn")
        .usually("1.5", "20", "3 to 6 can be mown; steeper than 1.5 slides in most soil"),
    quantity("slope", Slope, "Its fall.", "\"2 %\"")
        .required()
        .within("0.01 %", "100 %", "water needs a fall")
        .usually("0.2 %", "15 %", "swales fall 1 to 5 %"),
    length("depth", "How deep it is.", "\"8 in\"").required().within("0.5 in", "20 ft", "deeper is a canyon").usually(
        "2 in",
        "3 ft",
        "swales in a yard are 4 to 18 in deep: feet or inches?",
    ),
    Key::new("cover", Kind::Text, "What grows in it.", "\"standing grass\"").default("standing grass"),
    Key::new("roughness", Kind::Number, "Manning's n, where the table's does not suit.", "0.08")
        .within("0.01", "1", "published values lie within")
        .usually("0.018", "0.4", "grass has 0.03 to 0.2, bare earth 0.025")
        .default("by its cover"),
    Key::new("easily_eroded", Kind::Flag, "Whether its soil washes out easily.", "true").default("false"),
];

const PROFILE: &[Key] = &[
    length("at", "Distance along the runs.", "\"40 ft\"")
        .required()
        .within("-1 ft", "10000 ft", "longer than any yard's line")
        .also_called(&["station"]),
    level("invert", "Lowest inside point of the pipe.", "\"99.0 ft\"").required(),
    level("ground", "The ground above it.", "\"99.7 ft\""),
    super::UNDER.default("`[crew] surface`; for its cover lawn, where that is not entered either"),
];

pub(super) const PUMP: &[Key] = &[
    Key::new("name", Kind::Name, "What `pumping.use` and the report call it.", "\"candidate A\"").required(),
    Key::new(
        "curve",
        Kind::Curve,
        "Pairs of flow and head from the data sheet, in either order. Outside them nothing is known.",
        "[[\"0 gpm\", \"31 ft\"], [\"40 gpm\", \"20.5 ft\"]]",
    )
    .required(),
    Key::new(
        "interpolation",
        Kind::Choice(&["monotone", "straight"]),
        "How the curve runs between its points.",
        "\"monotone\"",
    )
    .default("monotone"),
    Key::new("starts_per_hour", Kind::Number, "The most starts in an hour that its maker allows.", "15").within(
        "0.1",
        "120",
        "motors stand 4 to 60",
    ),
    quantity("minimum_run", Duration, "The shortest run that its maker allows.", "\"1 min\"").within(
        "0 s",
        "1 h",
        "no pump asks for more",
    ),
    length("lowest_level", "The least depth of water that it needs, above the floor.", "\"5 in\"").within(
        "0 in",
        "20 ft",
        DEPTH_OF_BASINS,
    ),
    length("height", "Its height.", "\"14 in\"").within("1 in", "10 ft", "no yard pump is smaller or larger"),
    quantity("displaces", Volume, "The water that it takes the place of.", "\"0.8 gal\"").within(
        "0 gal",
        "100 gal",
        "no yard pump is larger",
    ),
    length("passes", "The largest solid that passes.", "\"1/2 in\"").within("0 in", "6 in", "no yard pump passes more"),
    Key::new("outlet_size", Kind::PipeSize, "The size of its outlet.", "\"1-1/2 in\""),
    quantity("power", Power, "Electrical power drawn.", "\"620 W\"")
        .within("1 W", "100 kW", "no yard pump is larger")
        .usually("50 W", "10 kW", "yard pumps draw 200 to 2500 W"),
    Key::new("volts", Kind::Number, "Rated voltage; `115` or `\"115 V\"`.", "115").within(
        "5",
        "1000",
        "no yard pump has less or more",
    ),
    Key::new("running_amps", Kind::Number, "Running current.", "6.4").within("0.01", "300", "no yard pump draws more"),
    Key::new("starting_amps", Kind::Number, "Current at the start.", "38")
        .within("0.01", "2000", "no yard pump draws more")
        .default("so many times the running current as `sumpwright tables limits` says"),
    Key::new("efficiency", Kind::Ratio, "Efficiency of pump and motor together, from wire to water.", "0.35")
        .within("0.01", "0.95", "no pump has more")
        .default("from `power`, where that is entered"),
    Key::new("motor_efficiency", Kind::Ratio, "Efficiency of the motor alone, for the power at the shaft.", "0.65")
        .within("0.05", "0.99", "no motor has more"),
    Key::new("price", Kind::Money, "Its price, in your money.", "289").within(
        "0",
        "1000000",
        "no yard pump costs more",
    ),
];
