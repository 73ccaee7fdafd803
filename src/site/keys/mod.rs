//! The declaration of every key of a site file: the one place that says what exists, of what kind, in what range,
//! and what it means. The reader, the suggestions and the reference page are all driven by it.

mod collection;
mod crew;
mod found_out;
mod ground;
mod margins;
mod options;
mod other;
mod pumping;
mod takeoff;
mod yard;

pub use found_out::how;
pub(in crate::site) use found_out::stood_on;
pub use takeoff::PRICE_LIST;

use crate::quantity::Dimension;

/// What a key holds.
#[derive(Clone, Copy, Debug)]
pub enum Kind {
    /// A text with its unit.
    Quantity(Dimension),
    /// A level, or a rod reading to compute it from.
    Level,
    /// A few words.
    Text,
    /// The name that other keys call this thing by.
    Name,
    /// The name of another thing in the file; the words say which things.
    Reference(&'static str),
    /// One of some words.
    Choice(&'static [&'static str]),
    /// A whole number.
    Count,
    /// A share: 0.25 or `"25 %"`.
    Ratio,
    /// A pure number.
    Number,
    /// An amount of money.
    Money,
    /// `true` or `false`.
    Flag,
    /// The label of a pipe size: `"1-1/2 in"`.
    PipeSize,
    /// A length, or two: `"12 in x 12 in"`.
    Pair,
    /// A list of names.
    Texts,
    /// A table.
    Table(&'static [Key]),
    /// A table, or `false` for none.
    TableOrNone(&'static [Key]),
    /// Several tables: `[[pump]]`.
    Tables(&'static [Key]),
    /// Fittings by name: how many, or `{ count, k }`.
    Fittings,
    /// Money by name, some of the names declared.
    Prices(&'static [Key]),
    /// Money by a size, which the words name.
    MoneyBy(&'static str),
    /// A list of values of one kind.
    Several(&'static Key),
    /// Depth of rain by return period and duration.
    RainTable,
    /// A change and its opposite, or from one change to another: shares, or lengths.
    Spread(Dimension),
    /// Pairs of level and area.
    Surface,
    /// Pairs of flow and head.
    Curve,
}

/// The values that make sense, as the file would write them.
#[derive(Clone, Copy, Debug)]
pub struct Range {
    /// The least.
    pub least: &'static str,
    /// The most.
    pub most: &'static str,
    /// Why.
    pub why: &'static str,
}

/// A key.
#[derive(Clone, Copy, Debug)]
pub struct Key {
    /// As it is written.
    pub name: &'static str,
    /// What it holds.
    pub kind: Kind,
    /// Whether it cannot be left out.
    pub required: bool,
    /// Values outside are refused.
    pub range: Option<Range>,
    /// Values outside are odd.
    pub usual: Option<Range>,
    /// What is taken when it is left out, in words.
    pub default: &'static str,
    /// What it means.
    pub doc: &'static str,
    /// An example of its value, as the file writes it.
    pub example: &'static str,
    /// Whether anything computes with it yet.
    pub used: bool,
    /// Other words that people use for it.
    pub also_called: &'static [&'static str],
}

impl Key {
    const fn new(name: &'static str, kind: Kind, doc: &'static str, example: &'static str) -> Self {
        Self {
            name,
            kind,
            required: false,
            range: None,
            usual: None,
            default: "",
            doc,
            example,
            used: true,
            also_called: &[],
        }
    }
    const fn required(mut self) -> Self {
        self.required = true;
        self
    }
    const fn unused(mut self) -> Self {
        self.used = false;
        self
    }
    const fn default(mut self, words: &'static str) -> Self {
        self.default = words;
        self
    }
    const fn within(mut self, least: &'static str, most: &'static str, why: &'static str) -> Self {
        self.range = Some(Range { least, most, why });
        self
    }
    const fn usually(mut self, least: &'static str, most: &'static str, why: &'static str) -> Self {
        self.usual = Some(Range { least, most, why });
        self
    }
    const fn also_called(mut self, words: &'static [&'static str]) -> Self {
        self.also_called = words;
        self
    }
    /// The keys of the table it holds, if it holds one.
    pub fn keys(&self) -> Option<&'static [Key]> {
        match self.kind {
            Kind::Table(keys) | Kind::TableOrNone(keys) | Kind::Tables(keys) | Kind::Prices(keys) => Some(keys),
            _ => None,
        }
    }
}

const fn quantity(name: &'static str, dimension: Dimension, doc: &'static str, example: &'static str) -> Key {
    Key::new(name, Kind::Quantity(dimension), doc, example)
}

const fn length(name: &'static str, doc: &'static str, example: &'static str) -> Key {
    quantity(name, Dimension::Length, doc, example)
}

const fn level(name: &'static str, doc: &'static str, example: &'static str) -> Key {
    Key::new(name, Kind::Level, doc, example).within(LOWEST, HIGHEST, "the surface of the earth lies within")
}

/// A level in a pair of level and area.
pub(super) const LEVEL_OF_PAIR: Key = level("surface", "A level.", "\"96.0 ft\"");
/// An area in a pair of level and area.
pub(super) const AREA_OF_PAIR: Key =
    quantity("surface", Dimension::Area, "An area.", "\"420 ft2\"").within("0 ft2", "40 acre", "larger than any yard");
/// A flow in a pair of flow and head.
pub(super) const FLOW_OF_PAIR: Key = quantity("curve", Dimension::Flow, "A flow.", "\"20 gpm\"").within(
    "0 gpm",
    "5000 gpm",
    "no yard pump gives more: is the unit right, gph or gpm?",
);
/// A head in a pair of flow and head.
pub(super) const HEAD_OF_PAIR: Key = quantity("curve", Dimension::Head, "A head.", "\"27 ft\"").within(
    "0 ft",
    "500 ft",
    "no yard pump lifts higher: is the unit right, psi or ft?",
);
/// A depth in a rain table.
pub(super) const RAIN_DEPTH: Key = quantity("depth", Dimension::RainDepth, "A depth of rain.", "\"0.55 in\"").within(
    "0.001 in",
    "150 in",
    "no rain table has less or more",
);
/// A return period in a rain table.
pub(super) const RAIN_PERIOD: Key = quantity("depth", Dimension::ReturnPeriod, "A return period.", "\"10 yr\"").within(
    "0.1 yr",
    "1000 yr",
    "rain tables do not go further",
);
/// A duration in a rain table.
pub(super) const RAIN_DURATION: Key = quantity("depth", Dimension::Duration, "A duration.", "\"5 min\"").within(
    "1 min",
    "60 days",
    "rain tables do not go further",
);
/// Some fittings with their loss coefficient.
pub(super) const FITTING: &[Key] = &[
    Key::new("count", Kind::Count, "How many.", "2").required().within("0", "1000", "no line has more"),
    Key::new("k", Kind::Number, "Loss coefficient of one.", "0.9").within(
        "0",
        "1000",
        "a fitting that loses more is shut",
    ),
    length("equivalent_length", "The length of the same pipe that loses as much as one.", "\"4 ft\"").within(
        "0 ft",
        "1000 ft",
        "a fitting that loses more is shut",
    ),
];
pub(in crate::site) use yard::ROD;

/// The lowest level accepted.
pub(super) const LOWEST: &str = "-1500 ft";
/// The highest level accepted.
pub(super) const HIGHEST: &str = "30000 ft";

/// Every key at the top of a site file.
pub const SITE: &[Key] = &[
    Key::new("format", Kind::Count, "The version of the file format; 1 is the only one.", "1").required(),
    Key::new("title", Kind::Text, "What the report is headed.", "\"Lower lawn\"").default("`Yard drainage`"),
    Key::new("units", Kind::Choice(&["us", "metric"]), "The units that the report prints in.", "\"us\"").default("us"),
    Key::new(
        "note",
        Kind::Text,
        "Anything worth keeping with the file; the program does not read it.",
        "\"shot on a dry day\"",
    ),
    Key::new(
        "describes",
        Kind::Choice(&["own design", "bid", "existing system"]),
        "Whose work the file describes. Of a bid and of a system that is there, the report lists what to ask about them.",
        "\"bid\"",
    )
    .default("`own design`"),
    Key::new("goal", Kind::Table(yard::GOAL), "What the owner wants.", ""),
    Key::new(
        "levels",
        Kind::Table(yard::LEVELS),
        "Instrument setups, so that a level can be written as a rod reading.",
        "",
    ),
    Key::new(
        "rain",
        Kind::Table(yard::RAIN),
        "The rain. Needed unless all water comes from `[[inflow]]` or `groundwater.inflow`.",
        "",
    )
    .also_called(&["rainfall", "storm"]),
    Key::new("soil", Kind::Table(ground::SOIL), "The soil.", ""),
    Key::new("groundwater", Kind::Table(ground::GROUNDWATER), "Groundwater.", "").also_called(&["water_table"]),
    Key::new("catchment", Kind::Tables(yard::CATCHMENT), "A surface that sheds water to the basin.", "")
        .also_called(&["area", "surface", "roof", "lawn"]),
    Key::new("low_spot", Kind::Tables(collection::LOW_SPOT), "A hollow where water stands.", "")
        .also_called(&["pond", "ponding"]),
    Key::new("inlet", Kind::Tables(collection::INLET), "A grate with its catch basin.", "").also_called(&[
        "grate",
        "catch_basin",
        "area_drain",
        "yard_drain",
    ]),
    Key::new("drain", Kind::Tables(collection::DRAIN), "A gravity pipe or a French drain.", "").also_called(&[
        "french_drain",
        "pipe",
        "drain_line",
    ]),
    Key::new("inflow", Kind::Tables(collection::INFLOW), "A steady inflow: a house pump, a spring.", "")
        .also_called(&["spring"]),
    Key::new("basin", Kind::Table(collection::BASIN), "The hole that the pump stands in, with its floats.", "")
        .required()
        .also_called(&["sump", "pit", "crock", "vault"]),
    Key::new("pumping", Kind::Table(pumping::PUMPING), "How the pumps are used.", ""),
    Key::new("discharge", Kind::Table(pumping::DISCHARGE), "The line from the pump to the outlet.", "")
        .required()
        .also_called(&["discharge_line", "force_main", "pressure_line"]),
    Key::new("pump", Kind::Tables(pumping::PUMP), "A pump to judge; several are ranked.", "")
        .required()
        .also_called(&["pumps"]),
    Key::new(
        "limits",
        Kind::Table(other::LIMITS),
        "What the design is held to, where the built-in limits do not suit.",
        "",
    ),
    Key::new("margins", Kind::Table(margins::MARGINS), margins::DOC, ""),
    Key::new("crew", Kind::Table(crew::CREW), "How it is built: what the crew's sheet and the takeoff go by.", ""),
    Key::new("protect", Kind::Tables(other::PROTECT), "A place that must stay dry.", "").also_called(&["protected"]),
    Key::new("water", Kind::Table(other::WATER), "The water.", ""),
    Key::new("local_rules", Kind::Table(other::LOCAL_RULES), "What the town allows. No rule is built in.", "")
        .also_called(&["rules", "town"]),
    Key::new("conditions", Kind::Table(other::CONDITIONS), "What the table of other conditions takes.", ""),
    Key::new("options", Kind::Table(options::OPTIONS), "What `sumpwright options` chooses between.", "")
        .also_called(&["choices", "alternatives"]),
    Key::new(
        "prices",
        Kind::Prices(options::PRICES),
        "Your prices, in your money, for `sumpwright options` and `sumpwright takeoff`; `takeoff --prices FILE` takes them from a list of its own. A price of 0 is one; what has none is listed, and not counted as nothing. Prices under other names are kept, and nothing is computed from them yet.",
        "{ energy_per_kWh = 0.18, basin = { \"24 in\" = 310, \"30 in\" = 420 } }",
    )
    .also_called(&["rates", "costs"]),
    Key::new("takeoff", Kind::Table(takeoff::TAKEOFF), takeoff::DOC, "").also_called(&["estimate"]),
    Key::new("measured", Kind::Table(other::MEASURED), "A measured inflow of groundwater.", ""),
    Key::new("backup", Kind::Table(other::BACKUP), "A battery for when the power is cut.", "")
        .also_called(&["battery"]),
    Key::new("supply", Kind::Table(other::SUPPLY), "The electric supply.", "").also_called(&["electrical", "power"]),
];

/// What lies over a pipe or around a hole.
const SURFACES: &[&str] = &["lawn", "walk", "drive", "bare"];
const UNDER: Key =
    Key::new("under", Kind::Choice(SURFACES), "What lies over it: `walk` is any paving without wheels.", "\"drive\"");
const AROUND: Key = Key::new("around", Kind::Choice(SURFACES), "What lies around it, to make good.", "\"lawn\"")
    .default("`[crew] surface`");

/// The dotted paths of all tables that have a key of this name.
pub fn tables_with(name: &str) -> Vec<String> {
    fn search(path: &str, keys: &'static [Key], name: &str, found: &mut Vec<String>) {
        for key in keys {
            if key.name == name && !path.is_empty() {
                found.push(path.to_owned());
            }
            if let Some(inner) = key.keys() {
                let path = if path.is_empty() { key.name.to_owned() } else { format!("{path}.{}", key.name) };
                search(&path, inner, name, found);
            }
        }
    }
    let mut found = Vec::new();
    search("", SITE, name, &mut found);
    found
}

/// The key at a dotted path, as in `discharge.run`.
pub fn at_path<'p>(path: impl IntoIterator<Item = &'p str>) -> Option<&'static Key> {
    let mut keys = SITE;
    let mut found = None;
    for name in path {
        let key = keys.iter().find(|key| key.name == name)?;
        keys = key.keys().unwrap_or(&[]);
        found = Some(key);
    }
    found
}
