//! What the takeoff goes by: what things cost, how long the work takes, how it is dug.

use super::options::PRICES;
use super::{Key, Kind, length, quantity};
use crate::quantity::Dimension::{Duration, Number};

pub(super) const DOC: &str = "What `sumpwright takeoff` goes by beside prices: sticks and waste, how it is dug, how long the work takes, contingency, margin, tax. Hours are a worker's; work without its hours is listed, and not counted as none.";

/// Money beyond this is not meant.
const MOST: &str = "1000000";
const DEAR: &str = "nothing in a yard costs more";

/// An amount of money.
pub(super) const fn money(name: &'static str, doc: &'static str, example: &'static str) -> Key {
    Key::new(name, Kind::Money, doc, example).within("0", MOST, DEAR)
}

/// Hours for a unit of work.
const fn hours(name: &'static str, doc: &'static str, example: &'static str) -> Key {
    quantity(name, Duration, doc, example).within("0 s", "1000 h", "nobody takes so long")
}

/// How far something may be off, as a share.
const fn off(name: &'static str, doc: &'static str, example: &'static str) -> Key {
    Key::new(name, Kind::Spread(Number), doc, example).within("-0.9", "4", "nobody is so far off")
}

const STICK: &str = "pipe is sold in sticks and coils";

pub(super) const TAKEOFF: &[Key] = &[
    length("discharge_stick", "Length of a stick of discharge pipe, or of its coil.", "\"20 ft\"")
        .within("1 ft", "1000 ft", STICK)
        .default("20 ft, metric 6 m; common practice, no source")
        .also_called(&["stock_length", "stick"]),
    length("drain_stick", "Length of a stick of solid drain pipe.", "\"10 ft\"")
        .within("1 ft", "1000 ft", STICK)
        .default("10 ft, metric 5 m; common practice, no source"),
    length("french_stick", "Length of a stick or coil of French-drain pipe.", "\"100 ft\"")
        .within("1 ft", "1000 ft", STICK)
        .default("100 ft, metric 50 m, a coil; common practice, no source"),
    Key::new(
        "discharge_joints",
        Kind::Choice(&["couplings", "bells"]),
        "How sticks of discharge pipe are joined; a bell is made on the pipe and needs no coupling.",
        "\"bells\"",
    )
    .default("`couplings`, so that none is missing"),
    Key::new(
        "drain_joints",
        Kind::Choice(&["couplings", "bells"]),
        "How sticks of solid drain pipe are joined.",
        "\"couplings\"",
    )
    .default("`bells`; common practice, no source"),
    Key::new("pipe_waste", Kind::Ratio, "The share of pipe that is cut away.", "\"5 %\"")
        .within("0", "1", "a share")
        .default("5 %; common practice, no source")
        .also_called(&["waste"]),
    Key::new("stone_waste", Kind::Ratio, "The share of stone, fabric and concrete that is lost.", "\"10 %\"")
        .within("0", "1", "a share")
        .default("10 %; common practice, no source"),
    length("fabric_overlap", "How far filter fabric laps over itself along a trench.", "\"12 in\"")
        .within("0 in", "6 ft", "no lap is wider")
        .default("12 in; common practice, no source"),
    Key::new(
        "wrapped_pipe",
        Kind::Flag,
        "Whether French drains without a `trench` are of pipe wrapped at the works, laid without stone and fabric.",
        "true",
    )
    .default("false"),
    Key::new("joints_per_can", Kind::Number, "How many glued joints a can of cement makes, and one of primer.", "30")
        .within("1", "1000", "a can is soon empty")
        .default("30, of a pint and 2 in pipe; common practice, no source"),
    length("trench_width", "Width of the trench of a solid pipe.", "\"12 in\"")
        .within("2 in", "6 ft", "no trench in a yard is wider")
        .usually("4 in", "3 ft", "feet or inches?")
        .default("12 in; common practice, no source"),
    length("hole_room", "Room all round a basin and a catch basin in its hole.", "\"12 in\"")
        .within("0 in", "10 ft", "no hole is wider")
        .usually("2 in", "4 ft", "feet or inches?")
        .default("12 in; common practice, no source"),
    length("spoilt_beside", "How far the surface is spoilt on each side of a trench and round a hole.", "\"12 in\"")
        .within("0 in", "30 ft", "no yard is spoilt wider")
        .default("12 in; common practice, no source"),
    Key::new("bulking", Kind::Ratio, "By what share soil grows when it is dug.", "\"25 %\"")
        .within("0", "1", "no soil doubles")
        .usually("0.05", "0.6", "sand grows by a tenth, clay by a third")
        .default("25 %, ordinary soil; common practice, no source"),
    hours("set_up", "Hours to come, set up, lay out and clear up, of the whole job.", "\"4 h\""),
    hours("dig_per_yd3", "Hours to dig a cubic yard, as it lies in the ground.", "\"0.5 h\""),
    hours("dig_per_m3", "The same of a cubic metre.", "\"0.65 h\""),
    hours("backfill_per_yd3", "Hours to fill a cubic yard in again and tamp it.", "\"0.3 h\""),
    hours("backfill_per_m3", "The same of a cubic metre.", "\"0.4 h\""),
    hours("lay_per_ft", "Hours to lay and join a foot of pipe of any kind.", "\"2 min\""),
    hours("lay_per_m", "The same of a metre.", "\"7 min\""),
    hours("place_stone_per_yd3", "Hours to place a cubic yard of stone with its fabric.", "\"0.5 h\""),
    hours("place_stone_per_m3", "The same of a cubic metre.", "\"0.65 h\""),
    hours("set_basin", "Hours to set the basin.", "\"3 h\""),
    hours("pour_per_yd3", "Hours to mix and place a cubic yard of concrete.", "\"4 h\""),
    hours("pour_per_m3", "The same of a cubic metre.", "\"5 h\""),
    hours("set_pump", "Hours to set a pump with its riser, valve and floats.", "\"2 h\""),
    hours("set_catch_basin", "Hours to set a catch basin with its grate.", "\"1.5 h\""),
    hours("restore_per_ft2", "Hours to make a square foot of surface good.", "\"1 min\""),
    hours("restore_per_m2", "The same of a square metre.", "\"10 min\""),
    hours("start_up", "Hours for the first start and to show the owner.", "\"2 h\""),
    money("labour_per_hour", "What an hour of a worker costs you, all that is paid on wages in it.", "58")
        .also_called(&["labor_per_hour", "labour_rate", "labor_rate", "wage"]),
    money("machine_per_hour", "What an hour of the digging machine costs; for digging and filling in.", "45"),
    off("quantities_off_by", "How far all quantities may be off together, for the low and the high total.", "\"5 %\"")
        .default("5 % both ways; common practice, no source"),
    off("prices_off_by", "How far all prices may be off together.", "[\"-5 %\", \"15 %\"]")
        .default("`[\"-5 %\", \"15 %\"]`; common practice, no source"),
    off("hours_off_by", "How far all hours may be off together.", "[\"-15 %\", \"35 %\"]")
        .default("`[\"-15 %\", \"35 %\"]`; common practice, no source"),
    Key::new("contingency", Kind::Ratio, "For what nobody foresees, as a share of the cost.", "\"10 %\"")
        .within("0", "1", "a share")
        .default("none is in the total"),
    Key::new(
        "margin",
        Kind::Ratio,
        "Your margin as a share of the price before tax: 20 % of the price is 25 % on the cost.",
        "\"20 %\"",
    )
    .within("0", "0.9", "the price grows without end towards 1")
    .default("none is in the total")
    .also_called(&["profit"]),
    Key::new("tax", Kind::Ratio, "Sales tax.", "\"6 %\"")
        .within("0", "0.5", "no sales tax is higher")
        .default("none is in the total"),
    Key::new(
        "tax_on",
        Kind::Choice(&["price", "materials"]),
        "What it is reckoned on: the price to the customer, or what you buy. Your place's rules say which.",
        "\"materials\"",
    )
    .default("`price`"),
    money("round_to", "The total is rounded up to a whole number of these.", "50")
        .within("0.01", "10000", "a total is rounded to less")
        .default("1"),
];

/// Every key at the top of a price list.
pub const PRICE_LIST: &[Key] = &[
    Key::new("format", Kind::Count, "The version of the file format; 1 is the only one.", "1"),
    Key::new(
        "note",
        Kind::Text,
        "Anything worth keeping with the list; the program does not read it.",
        "\"spring list\"",
    ),
    Key::new("prices", Kind::Prices(PRICES), "As in the site file.", ""),
    Key::new("takeoff", Kind::Table(TAKEOFF), "As in the site file.", ""),
];
