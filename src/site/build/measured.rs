//! What the owner measured: water that rose or fell, a puddle.

use super::crew::start_up;
use crate::basin::Basin;
use crate::quantity::{Area, Length, Level};
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::{echo, listed};
use crate::site::tree::Node;
use crate::site::walk::Reader;
use crate::site::words::unknown_name;
use crate::site::{Measured, Puddle, PumpTimes, Rise, TestHole};

/// Water that fell by less did not fall: what a rule shows, common practice, no source.
const NO_FALL: Length = Length::from_inch(0.05);

/// The measurements, with the basin for a pit that has no size of its own.
pub(super) fn measured(reader: &mut Reader<'_>, root: &Node, basin: Option<&Basin>) -> Measured {
    let Some(node) = root.node("measured") else { return Measured::default() };
    Measured {
        rise: rise(reader, node, basin.map(|basin| basin.plan.area())),
        pump_times: pump_times(node),
        with_drain: node.flag("with_drain").unwrap_or(false),
        test_hole: test_hole(reader, node),
        puddle: puddle(reader, root, node),
        start_up: start_up(reader, node, basin.map(Basin::depth)),
    }
}

fn rise(reader: &mut Reader<'_>, node: &Node, basin: Option<Area>) -> Option<Rise> {
    let (rise, over) = (node.has("rise"), node.has("over"));
    if rise && !over {
        needs(reader, node, "rise", "a measured `rise` needs the time that it took", "over = \"90 s\"");
    }
    if over && !rise && !node.has("pump_flow") {
        needs(
            reader,
            node,
            "over",
            "a time is measured, but not how far the water rose in it",
            "rise = \"3 in\"`, or what the pump moves, `pump_flow = \"30 gpm\"",
        );
    }
    if !rise && !over {
        let lone = ["pump_flow", "pump_down", "pit_diameter"].into_iter().find(|key| node.has(key));
        match lone {
            Some(key @ "pit_diameter") => {
                let message = "a pit is entered, but not how fast water rose in it";
                needs(reader, node, key, message, "rise = \"3 in\"` and `over = \"90 s\"");
            }
            Some(key) => {
                let message = if node.has("pump_down") {
                    "the run of a pump is measured, but not how long it rested before the next"
                } else {
                    "the flow of a pump is known, but neither its runs nor its rests"
                };
                let both = if node.has("pump_flow") && node.has("pump_down") {
                    "over = \"90 s\""
                } else {
                    "rise = \"3 in\"` and `over = \"90 s\"`, or `over`, `pump_down` and `pump_flow = \"30 gpm\""
                };
                needs(reader, node, key, message, both);
            }
            None => {}
        }
    } else if node.has("pump_flow") && !rise && !node.has("pump_down") {
        let message = "the flow of a pump is known, but not how long it ran";
        needs(reader, node, "pump_flow", message, "pump_down = \"20 s\"");
    } else if node.has("pump_flow") && !over && !rise {
        needs(reader, node, "pump_flow", "a pump's runs tell nothing without its rests", "over = \"90 s\"");
    }
    let plan = node.quantity::<Length>("pit_diameter").map(Length::circle).or(basin)?;
    Some(Rise {
        plan,
        rise: node.quantity("rise")?,
        over: node.quantity("over")?,
        pump_down: node.quantity("pump_down"),
    })
}

fn pump_times(node: &Node) -> Option<PumpTimes> {
    Some(PumpTimes {
        flow: node.quantity("pump_flow")?,
        runs: node.quantity("pump_down")?,
        rests: node.quantity("over")?,
    })
}

fn needs(reader: &mut Reader<'_>, node: &Node, key: &str, message: &str, example: &str) {
    reader.error(
        ProblemKind::MissingKey,
        node.place_of(key),
        message.to_owned(),
        "by itself it tells nothing",
        &format!("add `{example}`"),
    );
}

fn test_hole(reader: &mut Reader<'_>, node: &Node) -> Option<TestHole> {
    let hole = node.node("test_hole")?;
    let (from, to) = (hole.quantity::<Length>("from")?, hole.quantity::<Length>("to")?);
    let small = |length| reader.short(length);
    if to > from {
        let message = format!(
            "the water in the test hole rose from {} to {} deep: water rises in a hole below the water table, and then says nothing of what soaks in",
            small(from),
            small(to)
        );
        let problem = Problem::error(ProblemKind::Conflict, hole.place_of("to"), message)
            .label("more than at first")
            .also(hole.at("from"), "at first")
            .help("depths of water are meant, from the hole's bottom up: of distances down from the ground, take each from the depth of the hole; water that rises belongs into `rise` and `over`");
        reader.say(problem);
        return None;
    }
    if from - to < NO_FALL {
        let message =
            format!("the water in the test hole stood at {}: nothing soaked in that could be measured", small(from));
        let problem = Problem::warning(ProblemKind::OddValue, hole.place_of("to"), message)
            .label("no fall")
            .also(hole.at("from"), "at first")
            .help("nothing is taken from it; wait until the water has fallen by an inch, or leave the test out");
        reader.say(problem);
        return None;
    }
    Some(TestHole { diameter: hole.quantity("diameter")?, from, to, over: hole.quantity("over")? })
}

fn puddle(reader: &mut Reader<'_>, root: &Node, node: &Node) -> Option<Puddle> {
    let puddle = node.node("puddle")?;
    let names: Vec<&str> = root.nodes("low_spot").iter().filter_map(|spot| spot.words("name")).collect();
    let low_spot = match (puddle.words("low_spot"), names.as_slice()) {
        (Some(name), names) if !names.contains(&name) => {
            reader.say(unknown_name("low spot", name, puddle.place_of("low_spot"), names));
            return None;
        }
        (Some(name), _) => Some(name.to_owned()),
        (None, [only]) => Some((*only).to_owned()),
        (None, []) => None,
        (None, names) => {
            let names = listed(names.iter().copied().take(20), "or");
            reader.error(
                ProblemKind::MissingKey,
                puddle.place.clone(),
                "the puddle does not say in which low spot it stood".to_owned(),
                "in which?",
                &format!("add `low_spot = …`: {names}"),
            );
            return None;
        }
    };
    deeper_than_known(reader, root, puddle, low_spot.as_deref());
    Some(Puddle {
        low_spot,
        area: puddle.quantity("area")?,
        depth: puddle.quantity("depth")?,
        rain: puddle.quantity("rain")?,
    })
}

/// Warns of a puddle deeper than the low spot's surface is known.
fn deeper_than_known(reader: &mut Reader<'_>, root: &Node, puddle: &Node, name: Option<&str>) {
    let spot = root.nodes("low_spot").iter().find(|spot| name.is_some() && spot.words("name") == name);
    let (Some(spot), Some(depth)) = (spot, puddle.quantity::<Length>("depth")) else { return };
    let Some(pairs) = spot.pairs("surface") else { return };
    let (Some((lowest, ..)), Some((highest, ..))) = (pairs.first(), pairs.last()) else { return };
    let known = Level::from_m(*highest) - Level::from_m(*lowest);
    if known <= Length::ZERO || depth <= known {
        return;
    }
    let small = |length| reader.short(length);
    let message = format!(
        "the puddle was {} deep, and the surface of low spot `{}` is known up to a depth of {}",
        small(depth),
        echo(name.unwrap_or("?")),
        small(known)
    );
    let problem = Problem::warning(ProblemKind::LevelOrder, puddle.place_of("depth"), message)
        .label("deeper than the surface goes")
        .also(spot.at("surface"), "the surface")
        .help("add a pair of level and area above the puddle; or is the depth in another unit?");
    reader.say(problem);
}
