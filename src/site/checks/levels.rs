//! Levels against one another.

use super::profile::{ABOVE_OUTLET, profile};
use crate::quantity::{Length, Level};
use crate::site::build::levels_for_heights;
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::echo;
use crate::site::tree::Node;
use crate::site::walk::Reader;

pub(in crate::site) fn levels(reader: &mut Reader<'_>, root: &Node) {
    let low_outlet = outlet(reader, root);
    profile(reader, root, low_outlet);
    inlets(reader, root);
}

/// With the outlet below the level at which the pump stops, the line empties the basin by itself. Whether it is so.
fn outlet(reader: &mut Reader<'_>, root: &Node) -> bool {
    let (Some(basin), Some(outlet)) =
        (root.node("basin"), root.node("discharge").and_then(|discharge| discharge.node("outlet")))
    else {
        return false;
    };
    let (Some(floor), Some(off), Some(level)) =
        (basin.quantity::<Level>("floor"), basin.quantity::<Length>("off"), outlet.quantity::<Level>("level"))
    else {
        return false;
    };
    if !levels_for_heights(basin).is_empty() {
        // the floats are entered as levels, which is said of them
        return false;
    }
    let off = floor + off;
    let ditch = outlet.quantity::<Level>("ditch_full").map_or(level, |full| full.max(level));
    // over a hill a pump is needed all the same; whether the line then siphons is for the design to say
    let points = root.node("discharge").map_or(&[][..], |discharge| discharge.nodes("profile"));
    let inverts: Vec<Level> = points.iter().filter_map(|point| point.quantity::<Level>("invert")).collect();
    let over_a_hill = inverts.split_last().is_some_and(|(end, way)| {
        let above_rim = |invert: &Level| basin.quantity::<Level>("rim").is_some_and(|rim| *invert > rim);
        way.iter().any(above_rim) && *end - level <= ABOVE_OUTLET
    });
    if ditch < off && !over_a_hill {
        let message = format!(
            "the outlet at {} is {} below the level {} at which the pump stops",
            reader.show(level),
            reader.show(off - level),
            reader.show(off)
        );
        let problem = Problem::error(ProblemKind::OutletBelowOff, outlet.place_of("level"), message)
            .label("the water would run out by itself, or the line would siphon the basin empty")
            .also(basin.at("off"), "the pump stops here")
            .also(basin.at("floor"), "above this floor")
            .help("if the levels are right no pump is needed there, unless a hill lies between: then enter it in `profile`; if not, are both from one benchmark?");
        reader.say(problem);
        return true;
    }
    false
}

fn inlets(reader: &mut Reader<'_>, root: &Node) {
    let invert = root.node("basin").and_then(|basin| basin.quantity::<Level>("inlet_invert"));
    for inlet in root.nodes("inlet") {
        let Some(rim) = inlet.quantity::<Level>("rim") else { continue };
        let name = echo(inlet.words("name").unwrap_or("inlet"));
        if let Some(out) = inlet.quantity::<Level>("outlet_invert")
            && out >= rim
        {
            let problem = Problem::error(
                ProblemKind::LevelOrder,
                inlet.place_of("outlet_invert"),
                format!(
                    "the outlet of inlet `{name}` at {} is not below its rim at {}",
                    reader.show(out),
                    reader.show(rim)
                ),
            )
            .label("not below the rim")
            .also(inlet.at("rim"), "the rim");
            reader.say(problem);
        }
        if let (Some(invert), Some(basin)) = (invert, root.node("basin"))
            && rim < invert
        {
            let problem = Problem::error(
                ProblemKind::LevelOrder,
                inlet.place_of("rim"),
                format!(
                    "the rim of inlet `{name}` at {} is below the invert at {} where its water enters the basin",
                    reader.show(rim),
                    reader.show(invert)
                ),
            )
            .label("lower than the basin's inlet")
            .also(basin.at("inlet_invert"), "the basin's inlet")
            .help("water does not run up: is one of them a rod reading, or from another benchmark?");
            reader.say(problem);
        }
    }
}
