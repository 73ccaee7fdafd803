//! What the owner measured: water that rose or fell, a puddle.

use crate::quantity::{Area, Length};
use crate::site::problem::{Problem, ProblemKind};
use crate::site::tree::Node;
use crate::site::walk::Reader;
use crate::site::words::unknown_name;
use crate::site::{Measured, Puddle, PumpTimes, Rise, TestHole};

/// The measurements, with the plan of the basin for a pit that has no size of its own.
pub(super) fn measured(reader: &mut Reader<'_>, root: &Node, basin: Option<Area>) -> Measured {
    let Some(node) = root.node("measured") else { return Measured::default() };
    Measured {
        rise: rise(reader, node, basin),
        pump_times: pump_times(node),
        test_hole: test_hole(reader, node),
        puddle: puddle(reader, root, node),
    }
}

fn rise(reader: &mut Reader<'_>, node: &Node, basin: Option<Area>) -> Option<Rise> {
    let (rise, over) = (node.has("rise"), node.has("over"));
    if rise && !over {
        needs(reader, node, "rise", "a measured `rise` needs the time that it took", "over = \"90 s\"");
    }
    if over && !rise && !node.has("pump_flow") {
        needs(reader, node, "over", "a time is measured, but not how far the water rose in it", "rise = \"3 in\"");
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
    if to > from {
        let message = format!(
            "the water in the test hole rose from {} to {}: it lies below the water table and says nothing of what soaks in",
            reader.show(from),
            reader.show(to)
        );
        let problem = Problem::error(ProblemKind::Conflict, hole.place_of("to"), message)
            .label("more than at first")
            .also(hole.at("from"), "at first")
            .help("depths of water are meant, not distances down from the ground; water that rises belongs into `rise` and `over`");
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
        (None, _) => None,
    };
    Some(Puddle {
        low_spot,
        area: puddle.quantity("area")?,
        depth: puddle.quantity("depth")?,
        rain: puddle.quantity("rain")?,
    })
}
