//! The basin and its floats.

use crate::basin::{Basin, Plan, USUAL_WALL};
use crate::quantity::{Amount, Length, Level};
use crate::site::problem::{Problem, ProblemKind};
use crate::site::tree::Node;
use crate::site::walk::Reader;

/// Narrower than this is odd.
const NARROW: Length = Length::from_inch(6.0);
/// Deeper than this is odd.
const DEEP: Length = Length::from_ft(20.0);

pub(super) fn basin(reader: &mut Reader<'_>, node: &Node) -> Option<Basin> {
    let plan = plan(reader, node);
    floats(reader, node);
    heights(reader, node);
    let plan = plan?;
    let narrowest = match plan {
        Plan::Round(diameter) => diameter,
        Plan::Rectangular(length, width) => length.min(width),
    };
    if narrowest < NARROW {
        let message = format!("the basin is {} across", Amount::small(narrowest).show(reader.units));
        let problem = Problem::warning(ProblemKind::OddValue, node.place_of("inside_diameter"), message)
            .label("narrower than 6 in")
            .help("no pump with its float fits; are the unit and the digit right?");
        reader.say(problem);
    }
    let wall = wall(reader, node, plan)?;
    Some(Basin {
        plan,
        wall,
        base: node.quantity("base").unwrap_or(wall),
        rim: node.quantity("rim")?,
        floor: node.quantity("floor")?,
        ground: node.quantity("ground"),
        inlet_invert: node.quantity("inlet_invert"),
        off: node.quantity("off")?,
        on: node.quantity("on")?,
        alarm: node.quantity("alarm"),
        weight: node.quantity("weight"),
    })
}

/// The thickness of the wall: entered, or by the outside diameter.
fn wall(reader: &mut Reader<'_>, node: &Node, plan: Plan) -> Option<Length> {
    let outside = node.quantity::<Length>("outside_diameter");
    let entered = node.quantity::<Length>("wall");
    let inside = match plan {
        Plan::Round(diameter) => diameter,
        Plan::Rectangular(..) => {
            if outside.is_some() {
                reader.error(
                    ProblemKind::Conflict,
                    node.place_of("outside_diameter"),
                    "the basin is rectangular inside and round outside".to_owned(),
                    "of a round basin",
                    "give the thickness of its `wall` instead",
                );
                return None;
            }
            return Some(entered.unwrap_or(USUAL_WALL));
        }
    };
    let Some(outside) = outside else { return Some(entered.unwrap_or(USUAL_WALL)) };
    let by_outside = (outside - inside) / 2.0;
    if outside < inside {
        let problem = Problem::error(
            ProblemKind::Conflict,
            node.place_of("outside_diameter"),
            format!(
                "the basin is {} outside and {} inside",
                Amount::small(outside).show(reader.units),
                Amount::small(inside).show(reader.units)
            ),
        )
        .label("smaller than inside")
        .also(node.at("inside_diameter"), "inside")
        .help("are the two swapped, or a digit wrong? Leave `outside_diameter` out where it is not known");
        reader.say(problem);
        return None;
    }
    if let Some(entered) = entered.filter(|entered| (*entered - by_outside).abs() > Length::from_inch(0.25)) {
        let small = |length| Amount::small(length).show(reader.units);
        let problem = Problem::error(
            ProblemKind::Conflict,
            node.place_of("wall"),
            format!(
                "a wall of {} does not go with {} inside and {} outside",
                small(entered),
                small(inside),
                small(outside)
            ),
        )
        .label("against the diameters")
        .also(node.at("outside_diameter"), "outside")
        .also(node.at("inside_diameter"), "inside")
        .help("leave one of them out");
        reader.say(problem);
        return None;
    }
    Some(by_outside)
}

fn plan(reader: &mut Reader<'_>, node: &Node) -> Option<Plan> {
    let [round, long, wide] = ["inside_diameter", "inside_length", "inside_width"].map(|name| node.has(name));
    if round && (long || wide) {
        let other = if long { "inside_length" } else { "inside_width" };
        let problem = Problem::error(
            ProblemKind::Conflict,
            node.place_of(other),
            format!("the basin is round by `inside_diameter` and rectangular by `{other}`"),
        )
        .label("rectangular")
        .also(node.at("inside_diameter"), "round")
        .help("keep `inside_diameter`, or `inside_length` and `inside_width`");
        reader.say(problem);
        return None;
    }
    if round {
        return node.quantity("inside_diameter").map(Plan::Round);
    }
    if long && wide {
        return Some(Plan::Rectangular(node.quantity("inside_length")?, node.quantity("inside_width")?));
    }
    if ["inside_diameter", "inside_length", "inside_width"].iter().any(|key| reader.was_lost("basin", key)) {
        return None;
    }
    let (message, add) = match (long, wide) {
        (true, false) => ("the basin has `inside_length` but no `inside_width`", "add `inside_width = \"24 in\"`"),
        (false, true) => ("the basin has `inside_width` but no `inside_length`", "add `inside_length = \"36 in\"`"),
        _ => (
            "nothing says how wide the basin is",
            "add `inside_diameter = \"24 in\"`, or `inside_length` and `inside_width`",
        ),
    };
    reader.error(ProblemKind::MissingKey, node.place.clone(), message.to_owned(), "its inside size is missing", add);
    None
}

/// Off below on below alarm below the rim.
fn floats(reader: &mut Reader<'_>, node: &Node) {
    const ORDER: &str = "heights above the floor go off < on < alarm < rim";
    let height = |name: &str| node.quantity::<Length>(name);
    let show = |reader: &Reader<'_>, length: Length| Amount::small(length).show(reader.units);
    let (off, on, alarm) = (height("off"), height("on"), height("alarm"));
    if floats_as_levels(reader, node) {
        return;
    }
    if let Some(off) = off.filter(|off| *off < Length::ZERO) {
        let message = format!("the pump would stop at {}, below the basin's floor", show(reader, off));
        reader.error(
            ProblemKind::FloatOrder,
            node.place_of("off"),
            message,
            "below the floor",
            "floats are given as heights above the floor",
        );
        return;
    }
    let pairs = [("off", off, "on", on), ("on", on, "alarm", alarm)];
    for (lower_name, lower, upper_name, upper) in pairs {
        if let (Some(lower), Some(upper)) = (lower, upper)
            && lower >= upper
        {
            let message = format!(
                "the `{lower_name}` height {} is not below the `{upper_name}` height {}",
                show(reader, lower),
                show(reader, upper)
            );
            let problem = Problem::error(ProblemKind::FloatOrder, node.place_of(lower_name), message)
                .label(format!("not below `{upper_name}`"))
                .also(node.at(upper_name), format!("`{upper_name}`"))
                .help(ORDER);
            reader.say(problem);
            return;
        }
    }
    let (Some(rim), Some(floor)) = (node.quantity::<Level>("rim"), node.quantity::<Level>("floor")) else { return };
    let depth = rim - floor;
    if depth <= Length::ZERO {
        return;
    }
    let too_high = [("on", on), ("alarm", alarm), ("off", off)]
        .into_iter()
        .find_map(|(name, height)| height.filter(|height| *height >= depth).map(|height| (name, height)));
    if let Some((name, height)) = too_high {
        let message = format!(
            "the `{name}` height {} is not below the rim, which is {} above the floor",
            show(reader, height),
            show(reader, depth)
        );
        let problem = Problem::error(ProblemKind::FloatOrder, node.place_of(name), message)
            .label("at or above the rim")
            .also(node.at("rim"), "the rim")
            .also(node.at("floor"), "the floor")
            .help(ORDER);
        reader.say(problem);
    }
}

/// Floats that lie higher than the basin is deep, but between its floor and its rim if they are read as levels.
fn floats_as_levels(reader: &mut Reader<'_>, node: &Node) -> bool {
    let mut found = false;
    for (name, height) in levels_for_heights(node) {
        let Some(floor) = node.quantity::<Level>("floor") else { continue };
        let up = Amount::small(Level::from_m(height.m()) - floor).show(reader.units);
        let level = reader.show(Level::from_m(height.m()));
        let problem = Problem::error(
            ProblemKind::FloatOrder,
            node.place_of(name),
            format!("`{name}` is {level}, which looks like a level: floats count from the basin's floor up"),
        )
        .label("a level, not a height above the floor")
        .also(node.at("floor"), "the floor")
        .help(format!("if the float hangs at the level {level}, write `\"{up}\"`, its height above the floor"))
        .replacement(format!("\"{up}\""));
        reader.say(problem);
        found = true;
    }
    found
}

/// The floats that are entered as levels.
pub(in crate::site) fn levels_for_heights(node: &Node) -> Vec<(&'static str, Length)> {
    let (Some(rim), Some(floor)) = (node.quantity::<Level>("rim"), node.quantity::<Level>("floor")) else {
        return Vec::new();
    };
    let depth = rim - floor;
    let inside = |height: Length| {
        let level = Level::from_m(height.m());
        depth > Length::ZERO && height >= depth && level > floor && level <= rim
    };
    let heights = ["off", "on", "alarm"].into_iter().filter_map(|name| Some((name, node.quantity::<Length>(name)?)));
    heights.filter(|(_, height)| inside(*height)).collect()
}

fn heights(reader: &mut Reader<'_>, node: &Node) {
    let (Some(rim), Some(floor)) = (node.quantity::<Level>("rim"), node.quantity::<Level>("floor")) else { return };
    if rim <= floor {
        let message =
            format!("the basin's rim at {} is not above its floor at {}", reader.show(rim), reader.show(floor));
        let problem = Problem::error(ProblemKind::LevelOrder, node.place_of("rim"), message)
            .label("not above the floor")
            .also(node.at("floor"), "the floor")
            .help("are the two swapped, or are rod readings (which grow downward) entered as levels?");
        reader.say(problem);
        return;
    }
    if rim - floor > DEEP {
        let message = format!("the basin is {} deep", reader.show(rim - floor));
        let problem = Problem::warning(ProblemKind::OddValue, node.place_of("floor"), message)
            .label("deeper than 20 ft")
            .also(node.at("rim"), "the rim")
            .help("are both levels from one benchmark?");
        reader.say(problem);
    }
    if let Some(invert) = node.quantity::<Level>("inlet_invert")
        && (invert < floor || invert >= rim)
    {
        let (invert, floor, rim) = (reader.show(invert), reader.show(floor), reader.show(rim));
        let problem = Problem::error(
            ProblemKind::LevelOrder,
            node.place_of("inlet_invert"),
            format!("the inlet's invert at {invert} is outside the basin, which goes from {floor} to {rim}"),
        )
        .label("outside the basin")
        .also(node.at("floor"), "the floor")
        .also(node.at("rim"), "the rim");
        reader.say(problem);
    }
}
