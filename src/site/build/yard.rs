//! Inflows, low spots, places to protect.

use super::{MOST_ENTRIES, too_many};
use crate::catalog;
use crate::quantity::{Amount, Area, Level};
use crate::site::problem::{Problem, ProblemKind};
use crate::site::tree::Node;
use crate::site::walk::Reader;
use crate::site::{Battery, LowSpot, Protected, SteadyInflow};

pub(super) fn inflows(reader: &mut Reader<'_>, root: &Node) -> Vec<SteadyInflow> {
    for node in root.nodes("inflow") {
        let [runs, rests] = ["runs", "rests"].map(|key| node.has(key));
        if runs != rests {
            let (has, lacks) = if runs { ("runs", "rests") } else { ("rests", "runs") };
            let message =
                format!("the inflow `{}` has `{has}` but no `{lacks}`", node.text("name").unwrap_or_default());
            let problem = Problem::error(ProblemKind::MissingKey, node.place_of(has), message)
                .label("pulses need both")
                .help(format!("add `{lacks}`, or leave out `{has}` where it never stops"));
            reader.say(problem);
        }
    }
    let read = |node: &Node| {
        Some(SteadyInflow {
            name: node.text("name")?,
            flow: node.quantity("flow")?,
            pulses: node.quantity("runs").zip(node.quantity("rests")),
            drains_to: node.text("drains_to"),
        })
    };
    root.nodes("inflow").iter().filter_map(read).collect()
}

/// The battery, with what was chosen of it.
pub(super) fn battery(reader: &mut Reader<'_>, root: &Node) -> Option<Battery> {
    let node = root.node("backup")?;
    let limits = catalog::default_limits();
    let mut share = |key: &str, what: &str, built_in: &catalog::Row<f64>| {
        node.number(key).unwrap_or_else(|| {
            reader.assume(what, Amount::of(built_in.value), built_in.source);
            built_in.value
        })
    };
    let usable = share("usable_share", "share of the battery that may be used", &limits.battery_share);
    let inverter = share("inverter_efficiency", "efficiency of the inverter", &limits.inverter_efficiency);
    Some(Battery {
        volts: node.number("battery_volts")?,
        amp_hours: node.number("battery_amp_hours")?,
        usable,
        inverter,
    })
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
    if too_many(reader, node.place_of("surface"), "pairs of level and area", pairs.len(), MOST_ENTRIES) {
        return None;
    }
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
    let spills_to = node.text("spills_to");
    if spills_to.as_deref() == Some(name.as_str()) {
        let message = format!("low spot `{name}` spills into itself");
        let problem = Problem::error(ProblemKind::Conflict, node.place_of("spills_to"), message)
            .label("itself")
            .help("name another low spot, or a place that the water does not come back from, as \"street\"");
        reader.say(problem);
        return None;
    }
    Some(LowSpot { name, surface, spills_at, spill_width: node.quantity("spill_width"), spills_to })
}

pub(super) fn protected(root: &Node) -> Vec<Protected> {
    let read = |node: &Node| Some(Protected { name: node.text("name")?, level: node.quantity("level")? });
    root.nodes("protect").iter().filter_map(read).collect()
}
