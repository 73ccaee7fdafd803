//! Names: none twice, none that nothing has, no drains in a circle.

use crate::site::BASIN;
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::echo;
use crate::site::tree::{Node, Place};
use crate::site::walk::Reader;
use crate::site::words::unknown_name;
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
    circles(reader, root);
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

/// Follows each drain downstream; one that comes back to where it was runs in a circle.
fn circles(reader: &mut Reader<'_>, root: &Node) {
    let drains = root.nodes("drain");
    // from an inlet or a drain to where its water goes
    let mut next: HashMap<&str, Vec<(&str, Place)>> = HashMap::new();
    for node in drains {
        let (Some(name), Some(to)) = (node.words("name"), node.words("to")) else { continue };
        next.entry(name).or_default().push((to, node.place_of("to")));
        // An inlet's water goes where the drain that begins there goes; a drain that continues another likewise.
        if let Some(from) = node.words("from")
            && from != to
        {
            next.entry(from).or_default().push((name, node.place_of("to")));
        } else if node.words("from").is_some() {
            next.entry(to).or_default().push((name, node.place_of("to")));
        }
    }
    let mut done: HashSet<&str> = HashSet::new();
    let mut starts: Vec<&str> = drains.iter().filter_map(|node| node.words("name")).collect();
    starts.dedup();
    for start in starts {
        if done.contains(start) {
            continue;
        }
        // depth first, with the way kept, so that a repeat on the way is a circle
        let mut way: Vec<&str> = vec![start];
        let mut open: Vec<usize> = vec![0];
        while let (Some(here), Some(at)) = (way.last().copied(), open.last_mut()) {
            let step = next.get(here).and_then(|steps| steps.get(*at)).cloned();
            *at += 1;
            match step {
                Some((to, _)) if done.contains(to) => {}
                Some((to, place)) if way.contains(&to) => {
                    let from = way.iter().position(|name| *name == to).unwrap_or(0);
                    let circle: Vec<String> =
                        way.iter().skip(from).chain([&to]).map(|name| format!("`{}`", echo(name))).collect();
                    let problem = Problem::error(
                        ProblemKind::DrainCycle,
                        place,
                        format!("water would run in a circle: {}", circle.join(" to ")),
                    )
                    .label("closes the circle")
                    .help("every drain must lead to the basin in the end");
                    reader.say(problem);
                    done.extend(way.iter().copied());
                    break;
                }
                // a way longer than this is no yard's, and would make the search slow
                Some((to, _)) if way.len() < 1000 => {
                    way.push(to);
                    open.push(0);
                }
                Some(_) => {}
                None => {
                    done.insert(here);
                    way.pop();
                    open.pop();
                }
            }
        }
    }
}
