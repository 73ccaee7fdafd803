//! Low spots, inlets, drains, inflows, the basin.

use super::{Key, Kind, length, level, quantity};
use crate::quantity::Dimension::{Area, Flow, Slope, Weight};

pub(super) const LOW_SPOT: &[Key] = &[
    Key::new("name", Kind::Name, "What inlets call it.", "\"lawn\"").required(),
    Key::new(
        "surface",
        Kind::Surface,
        "Pairs of level and water surface, rising from the lowest point.",
        "[[\"96.0 ft\", \"0 ft2\"], [\"96.5 ft\", \"1300 ft2\"]]",
    )
    .required(),
    level("spills_at", "The level at which it runs over.", "\"96.6 ft\""),
    length("spill_width", "How wide it runs over.", "\"8 ft\"")
        .within("0.1 ft", "1000 ft", "wider than any yard")
        .default("a narrow notch of 4 ft"),
    Key::new(
        "spills_to",
        Kind::Text,
        "Where the water then goes: the name of another low spot, or anything else, from where it does not come back.",
        "\"street\"",
    )
    .default("away"),
];

pub(super) const INLET: &[Key] = &[
    Key::new("name", Kind::Name, "What catchments and drains call it.", "\"lawn grate\"").required(),
    Key::new("low_spot", Kind::Reference("low spot"), "The low spot it stands in.", "\"lawn\""),
    level("rim", "The top of its grate.", "\"96.0 ft\"").required().also_called(&["grate_elevation", "top"]),
    GRATE,
    OPEN_AREA,
    PERIMETER,
    CLOGGED,
    level("outlet_invert", "Lowest point of its outlet pipe.", "\"94.4 ft\"").default("the upper end of its drain"),
    length("silt_trap", "Depth below the outlet pipe, for silt.", "\"6 in\"")
        .within("0 in", "6 ft", "deeper is a basin")
        .usually("0 in", "2 ft", "silt traps are 4 to 12 in deep: feet or inches?")
        .default("none"),
    Key::new("box", Kind::Pair, "Inside size of the catch basin.", "\"12 in x 12 in\"")
        .within("2 in", "10 ft", "no box is smaller or larger")
        .default("a square with the edge of its grate"),
    super::AROUND,
];

pub(super) const GRATE: Key = Key::new(
    "grate",
    Kind::Pair,
    "Size of the grate: one length is a round one, two are a rectangular or square one.",
    "\"12 in x 12 in\"",
)
.within("1 in", "10 ft", "no grate is smaller or larger")
.usually("3 in", "4 ft", "yard grates are 4 to 24 in wide: feet or inches?");
pub(super) const OPEN_AREA: Key = quantity("open_area", Area, "Open area of the grate.", "\"62 in2\"")
    .within("0.5 in2", "40 ft2", "no grate has less or more")
    .usually("3 in2", "6 ft2", "a grate 12 in square leaves 50 to 70 in2 open")
    .default("a usual share of its face");
pub(super) const PERIMETER: Key =
    length("perimeter", "Length of edge that water runs over; a side against a wall does not count.", "\"48 in\"")
        .within("1 in", "40 ft", "no grate has less or more")
        .usually("6 in", "16 ft", "a grate 12 in square has 48 in of edge: feet or inches?")
        .default("all round");
pub(super) const CLOGGED: Key =
    Key::new("clogged", Kind::Ratio, "The share of the grate that leaves block.", "\"50 %\"")
        .within("0", "1", "a share")
        .usually("0", "0.9", "grates are judged half blocked; one that is blocked whole lets no water through")
        .default("as `sumpwright tables limits` says");

pub(super) const DRAIN: &[Key] = &[
    Key::new("name", Kind::Name, "What the report calls it.", "\"lawn line\"").required(),
    Key::new("from", Kind::Reference("inlet or drain"), "Where it begins; a French drain has none.", "\"lawn grate\""),
    Key::new("to", Kind::Reference("inlet, drain, or `basin`"), "Where it ends.", "\"basin\"")
        .required()
        .also_called(&["drains_to"]),
    Key::new(
        "kind",
        Kind::Choice(&["solid", "french"]),
        "Solid pipe, or perforated pipe in a trench of stone.",
        "\"solid\"",
    )
    .default("solid"),
    Key::new("material", Kind::Text, "Kind of pipe.", "\"PVC SDR 35\"")
        .default("PVC SDR 35 where it is solid, corrugated HDPE perforated in a French drain; PVC-U sewer where the size is metric"),
    Key::new("size", Kind::PipeSize, "Nominal size of the pipe; without it the pipe is not judged.", "\"4 in\"")
        .also_called(&["diameter"]),
    length("length", "Length.", "\"48 ft\"").required().within("0.1 ft", "5000 ft", "longer than any yard"),
    level("up_invert", "Lowest point of its upper end.", "\"94.4 ft\"")
        .default("the outlet of the inlet it begins at, or by `slope`"),
    level("down_invert", "Lowest point of its lower end.", "\"93.9 ft\"").default("by `slope`"),
    level("up_ground", "The ground over its upper end.", "\"96.0 ft\"").default("the rim of the inlet it begins at"),
    level("down_ground", "The ground over its lower end.", "\"96.3 ft\"")
        .default("the ground at the basin, or the rim of the inlet it ends at"),
    Key::new("roughness", Kind::Number, "Manning's n, where the table's does not suit.", "0.011")
        .within("0.005", "0.1", "published values lie within")
        .default("by the kind of pipe"),
    quantity("slope", Slope, "Its fall, where one of the inverts is not known.", "\"1 %\"").within(
        "0 %",
        "100 %",
        "steeper is a downspout",
    )
    .usually("0.2 %", "25 %", "drains lie at 0.5 to 5 %; 1/8 in per ft is 1 %"),
    Key::new("sides", Kind::Count, "The sides of a French drain that groundwater comes from.", "2")
        .within("1", "2", "a trench has two")
        .default("2"),
    length("perimeter", "Wetted edge of the trench that takes groundwater in.", "\"40 in\"")
        .within("2 in", "60 ft", "no trench has less or more")
        .usually("6 in", "12 ft", "a trench a foot wide has 30 to 50 in: feet or inches?")
        .default("the trench's width and twice the stone below the top of the pipe"),
    Key::new("fabric", Kind::Flag, "Whether filter fabric lines the trench.", "true"),
    Key::new(
        "trench",
        Kind::Table(TRENCH),
        "The trench of a French drain.",
        "{ width = \"12 in\", bottom = \"4 in below pipe\", top = \"95.6 ft\", porosity = 0.40, cover = \"sod\" }",
    ),
    super::UNDER.default("`[crew] surface`"),
];

const TRENCH: &[Key] = &[
    length("width", "Width of the trench.", "\"12 in\"")
        .required()
        .within("1 in", "20 ft", "no drain trench is narrower or wider")
        .usually("4 in", "4 ft", "drain trenches are 8 to 24 in wide: feet or inches?"),
    Key::new("bottom", Kind::Text, "Its bottom: a level, or so much below the pipe.", "\"4 in below pipe\"")
        .default("the bottom of the pipe"),
    level("top", "Top of the stone: a level, not a depth.", "\"95.6 ft\"").default("a foot above the top of the pipe"),
    Key::new("porosity", Kind::Ratio, "The share of the stone that is room for water.", "0.40")
        .within("0.05", "0.7", "stone has 0.3 to 0.45")
        .usually("0.2", "0.55", "stone has 0.3 to 0.45")
        .default("as `sumpwright tables limits` says"),
    Key::new(
        "cover",
        Kind::Choice(&["sod", "stone"]),
        "What lies over the stone: `sod` for grass or soil, `stone` where the stone comes up to the surface.",
        "\"sod\"",
    )
    .default("sod"),
];

pub(super) const INFLOW: &[Key] = &[
    Key::new("name", Kind::Name, "What the report calls it.", "\"house pump\"").required(),
    quantity("flow", Flow, "Its flow while it runs.", "\"12 gpm\"")
        .required()
        .within("0 gpm", "2000 gpm", "more than a yard's basin can take")
        .usually("0 gpm", "200 gpm", "house pumps bring 10 to 60 gpm"),
    quantity(
        "runs",
        crate::quantity::Dimension::Duration,
        "How long it runs at a time, where it comes in pulses.",
        "\"30 s\"",
    )
    .within("1 s", "24 h", "longer than that it is steady")
    .usually("5 s", "1 h", "house pumps run for seconds to minutes")
    .default("it never stops"),
    quantity("rests", crate::quantity::Dimension::Duration, "How long it rests between two runs.", "\"6 min\"")
        .within("1 s", "30 day", "a longer rest is none of this storm's")
        .default("it never stops"),
    Key::new("drains_to", Kind::Reference("inlet, low spot, drain, or `basin`"), "Where it goes.", "\"basin\"")
        .default("basin"),
];

const SIZE_WHY: &str = "no yard basin is smaller or larger";

pub(super) const BASIN: &[Key] = &[
    length("inside_diameter", "Inside diameter of a round basin.", "\"24 in\"")
        .within("2 in", "20 ft", SIZE_WHY)
        .also_called(&["diameter"]),
    length("inside_length", "Inside length of a rectangular basin.", "\"36 in\"")
        .within("2 in", "30 ft", SIZE_WHY)
        .also_called(&["length"]),
    length("inside_width", "Inside width of a rectangular basin.", "\"24 in\"")
        .within("2 in", "30 ft", SIZE_WHY)
        .also_called(&["width"]),
    length("outside_diameter", "Outside diameter, for flotation.", "\"25 in\"")
        .within("2 in", "22 ft", SIZE_WHY)
        .default("by `wall`"),
    length("wall", "Thickness of its wall, for flotation.", "\"4 in\"")
        .within("0.05 in", "3 ft", "no basin has a thinner or thicker wall")
        .usually("0.1 in", "12 in", "plastic is a quarter to half an inch thick, concrete 3 to 8 in: feet or inches?")
        .default("by `outside_diameter`, else half an inch"),
    length("base", "Thickness of its floor, for flotation.", "\"4 in\"")
        .within("0 in", "4 ft", "no basin has a thicker floor")
        .usually("0 in", "18 in", "plastic is a quarter to half an inch thick, concrete 4 to 8 in: feet or inches?")
        .default("as its wall"),
    level("rim", "Its top edge.", "\"96.3 ft\"").required().also_called(&["top"]),
    level("floor", "Its floor inside.", "\"91.3 ft\"").required().also_called(&["bottom"]),
    level("ground", "The ground beside it.", "\"96.2 ft\"").default("its rim"),
    quantity("weight", Weight, "Weight of basin and lid, empty.", "\"60 lb\"").within(
        "0 lb",
        "50000 lb",
        "heavier than any precast basin",
    ),
    length("flange", "Diameter of a flange or base plate at the floor that soil lies on.", "\"30 in\"")
        .within("2 in", "30 ft", SIZE_WHY)
        .default("none"),
    level(
        "water_outside",
        "How high water stands in the ground outside when the basin is empty: a level, not a depth.",
        "\"95.0 ft\"",
    )
    .default("the ground beside it"),
    Key::new("perforated", Kind::Flag, "Whether groundwater comes in through holes in its wall or floor.", "false")
        .default("false"),
    level("inlet_invert", "Lowest invert of the pipes that come in.", "\"93.9 ft\""),
    length("off", "Height above the floor at which the pump stops.", "\"8 in\"")
        .required()
        .within("-100 ft", "100 ft", "floats count from the basin's floor, and no yard basin is deeper")
        .also_called(&["pump_off", "cut_out"]),
    length("on", "Height above the floor at which the pump starts.", "\"24 in\"")
        .required()
        .within("-100 ft", "100 ft", "floats count from the basin's floor, and no yard basin is deeper")
        .also_called(&["pump_on", "cut_in"]),
    length("alarm", "Height above the floor at which the alarm sounds.", "\"29 in\"").within(
        "-100 ft",
        "100 ft",
        "floats count from the basin's floor, and no yard basin is deeper",
    ),
    super::AROUND,
    Key::new("collar", Kind::Table(COLLAR), "A collar or slab that holds it down.", "{ volume = \"4 ft3\" }"),
    Key::new("cover", Kind::Text, "Its lid.", "\"bolted, childproof\"").unused().also_called(&["lid"]),
    Key::new("material", Kind::Text, "What it is made of.", "\"polyethylene\"").unused(),
];

const COLLAR: &[Key] = &[
    quantity("volume", crate::quantity::Dimension::Volume, "Volume of concrete.", "\"4 ft3\"")
        .within("0.05 ft3", "1000 ft3", "no yard basin has a smaller or larger collar")
        .usually("0.3 ft3", "80 ft3", "collars are 2 to 40 ft3; a cubic yard is 27: is the unit right?")
        .default("by `width` and `thickness`"),
    quantity("weight", Weight, "Its weight in air.", "\"580 lb\"")
        .within("5 lb", "150000 lb", "no yard basin has a lighter or heavier collar")
        .usually("30 lb", "12000 lb", "a cubic foot of concrete weighs about 145 lb")
        .default("that of plain concrete"),
    length("width", "How far it stands out all round at the floor; soil lies on it.", "\"6 in\"")
        .within("0.5 in", "10 ft", "narrower or wider than any yard basin wants")
        .usually("2 in", "3 ft", "collars stand out 4 to 18 in: feet or inches?"),
    length("thickness", "How thick it is.", "\"6 in\"")
        .within("0.5 in", "10 ft", "thinner or thicker than any yard basin wants")
        .usually("2 in", "4 ft", "collars are 6 to 24 in thick: feet or inches?"),
];
