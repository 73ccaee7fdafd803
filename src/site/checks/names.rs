//! Names: none twice, none that nothing has.

use super::circles::circles;
use crate::site::BASIN;
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::echo;
use crate::site::tree::{Node, Place};
use crate::site::walk::Reader;
use crate::site::words::{quoted, unknown_name};
use std::collections::{HashMap, HashSet};

pub(in crate::site) fn names(reader: &mut Reader<'_>, root: &Node) {
    for kind in ["catchment", "low_spot", "inlet", "drain", "inflow", "pump", "protect"] {
        once(reader, root.nodes(kind), &kind.replace('_', " "));
    }
    if let Some(levels) = root.node("levels") {
        once(reader, levels.nodes("setups"), "setup");
    }
    let of = |kind: &str| -> Vec<&str> { root.nodes(kind).iter().filter_map(|node| node.words("name")).collect() };
    let (inlets, low_spots, drains) = (of("inlet"), of("low_spot"), of("drain"));
    let places: Vec<&str> = inlets.iter().chain(&low_spots).chain(&drains).copied().chain([BASIN]).collect();
    let ends: Vec<&str> = inlets.iter().chain(&drains).copied().chain([BASIN]).collect();
    let starts: Vec<&str> = inlets.iter().chain(&drains).copied().collect();
    let set = |names: &[&'_ str]| -> HashSet<String> { names.iter().map(|name| (*name).to_owned()).collect() };
    let mut ask = |node: &Node, key: &str, thing: &str, known: &[&str], set: &HashSet<String>| {
        if let Some(name) = node.words(key)
            && !set.contains(name)
        {
            reader.say(unknown_name(thing, name, node.place_of(key), known));
        }
    };
    let known = set(&places);
    for kind in ["catchment", "inflow"] {
        for node in root.nodes(kind) {
            ask(node, "drains_to", "inlet, low spot or drain", &places, &known);
        }
    }
    let known = set(&low_spots);
    for node in root.nodes("inlet") {
        ask(node, "low_spot", "low spot", &low_spots, &known);
    }
    let (known_starts, known_ends) = (set(&starts), set(&ends));
    for node in root.nodes("drain") {
        ask(node, "from", "inlet or drain", &starts, &known_starts);
        ask(node, "to", "inlet or drain", &ends, &known_ends);
    }
    if !one_name_for_two(reader, root) {
        circles(reader, root);
    }
}

/// Says which names stand twice.
fn once(reader: &mut Reader<'_>, nodes: &[Node], kind: &str) {
    let mut seen: HashMap<&str, Place> = HashMap::new();
    for node in nodes {
        let Some(name) = node.words("name") else { continue };
        let place = node.place_of("name");
        if let Some(first) = seen.get(name) {
            let problem = Problem::error(
                ProblemKind::DuplicateName,
                place,
                format!("two of kind {kind} are called `{}`", echo(name)),
            )
            .label("the second")
            .also(first.clone(), "the first")
            .help("give each a name of its own");
            reader.say(problem);
        } else {
            seen.insert(name, place);
        }
    }
}

/// Says which names mean two places that water can go to; drains could not be followed through them.
fn one_name_for_two(reader: &mut Reader<'_>, root: &Node) -> bool {
    let before = reader.problems.len();
    for drain in root.nodes("drain") {
        let Some(name) = drain.words("name") else { continue };
        for (other, kind, article) in [("inlet", "inlet", "an"), ("low_spot", "low spot", "a")] {
            let Some(first) = root.nodes(other).iter().find(|node| node.words("name") == Some(name)) else { continue };
            let message = format!("{article} {kind} and a drain are both called `{}`", echo(name));
            let problem = Problem::error(ProblemKind::DuplicateName, drain.place_of("name"), message)
                .label("the drain")
                .also(first.at("name"), format!("the {kind}"))
                .help("give each a name of its own, so that `from`, `to` and `drains_to` say which is meant");
            reader.say(problem);
        }
    }
    for inlet in root.nodes("inlet") {
        // an inlet may be called as the low spot that it stands in: water for either comes to both
        let Some(name) = inlet.words("name").filter(|name| inlet.words("low_spot") != Some(*name)) else { continue };
        let Some(spot) = root.nodes("low_spot").iter().find(|spot| spot.words("name") == Some(name)) else { continue };
        let name = echo(name);
        let message = format!("an inlet and a low spot that it does not stand in are both called `{name}`");
        let problem = Problem::error(ProblemKind::DuplicateName, inlet.place_of("name"), message)
            .label("the inlet")
            .also(spot.at("name"), "the low spot")
            .help(format!(
                "write `low_spot = {}` in the inlet if it stands there; if not, name one of them anew",
                quoted(&name)
            ));
        reader.say(problem);
    }
    for node in ["inlet", "low_spot", "drain"].into_iter().flat_map(|kind| root.nodes(kind)) {
        if node.words("name") == Some(BASIN) {
            let problem = Problem::error(
                ProblemKind::DuplicateName,
                node.place_of("name"),
                "`basin` is the name of the basin itself",
            )
            .label("not free")
            .help("give it another name");
            reader.say(problem);
        }
    }
    reader.problems.len() > before
}
