//! Inflows, low spots, places to protect.

use crate::quantity::{Area, Level};
use crate::site::problem::{Problem, ProblemKind};
use crate::site::tree::Node;
use crate::site::walk::Reader;
use crate::site::{LowSpot, Protected, SteadyInflow};

pub(super) fn inflows(root: &Node) -> Vec<SteadyInflow> {
    let read = |node: &Node| {
        Some(SteadyInflow { name: node.text("name")?, flow: node.quantity("flow")?, drains_to: node.text("drains_to") })
    };
    root.nodes("inflow").iter().filter_map(read).collect()
}

pub(super) fn low_spots(reader: &mut Reader<'_>, root: &Node) -> Option<Vec<LowSpot>> {
    let mut spots = Vec::new();
    let mut whole = true;
    for node in root.nodes("low_spot") {
        match low_spot(reader, node) {
            Some(spot) => spots.push(spot),
            None => whole = false,
        }
    }
    whole.then_some(spots)
}

fn low_spot(reader: &mut Reader<'_>, node: &Node) -> Option<LowSpot> {
    let pairs = node.pairs("surface")?;
    let name = node.text("name")?;
    if pairs.len() < 2 {
        reader.error(
            ProblemKind::LevelOrder,
            node.place_of("surface"),
            format!("the surface of low spot `{name}` needs at least two pairs of level and area"),
            "too few",
            "write `[[\"96.0 ft\", \"0 ft2\"], [\"96.5 ft\", \"1300 ft2\"]]`",
        );
        return None;
    }
    for two in pairs.windows(2) {
        let [(low, small, _), (high, large, place)] = two else { continue };
        let what = if high <= low {
            "the levels do not rise"
        } else if large < small {
            "the water surface shrinks as the level rises"
        } else {
            continue;
        };
        reader.error(
            ProblemKind::LevelOrder,
            place.clone(),
            format!("in the surface of low spot `{name}` {what}"),
            "against the pair before",
            "list the pairs from the lowest level up; a higher level covers as much or more",
        );
        return None;
    }
    let surface: Vec<(Level, Area)> =
        pairs.iter().map(|(level, area, _)| (Level::from_m(*level), Area::from_m2(*area))).collect();
    let spills_at = node.quantity::<Level>("spills_at");
    let lowest = surface.first().map(|(level, _)| *level)?;
    if let Some(spills) = spills_at.filter(|spills| *spills <= lowest) {
        let message = format!(
            "low spot `{name}` spills at {}, which is not above its lowest point at {}",
            reader.show(spills),
            reader.show(lowest)
        );
        let problem = Problem::error(ProblemKind::LevelOrder, node.place_of("spills_at"), message)
            .label("spills before it fills")
            .also(node.at("surface"), "its surface");
        reader.say(problem);
        return None;
    }
    Some(LowSpot { name, surface, spills_at })
}

pub(super) fn protected(root: &Node) -> Vec<Protected> {
    let read = |node: &Node| Some(Protected { name: node.text("name")?, level: node.quantity("level")? });
    root.nodes("protect").iter().filter_map(read).collect()
}
