//! Drains that run in a circle, or begin where they cannot.

use crate::site::BASIN;
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::echo;
use crate::site::tree::{Node, Place};
use crate::site::walk::Reader;
use crate::site::words::quoted;
use std::collections::{HashMap, HashSet};

/// Follows each drain downstream; one that comes back to where it was runs in a circle.
pub(super) fn circles(reader: &mut Reader<'_>, root: &Node) {
    let drains = root.nodes("drain");
    let mut broken = false;
    // from an inlet or a drain to where its water goes
    let mut next: HashMap<&str, Vec<(&str, Place)>> = HashMap::new();
    for node in drains {
        let (Some(name), Some(to)) = (node.words("name"), node.words("to")) else { continue };
        if from_itself(reader, node) || from_another(reader, drains, node) {
            broken = true;
            continue;
        }
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
    if broken {
        // a drain that begins where it cannot leads nowhere yet
        return;
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

/// A drain that begins at its own name.
fn from_itself(reader: &mut Reader<'_>, node: &Node) -> bool {
    let Some(name) = node.words("name").filter(|name| node.words("from") == Some(*name)) else { return false };
    if node.words("to") == Some(name) {
        return false;
    }
    let message = format!("drain `{}` begins at itself", echo(name));
    let problem = Problem::error(ProblemKind::DrainCycle, node.place_of("from"), message)
        .label("its own name")
        .help("write the name of the inlet or drain that it begins at, or leave `from` out for a French drain");
    reader.say(problem);
    true
}

/// A drain that begins at another whose water goes elsewhere: two lines of the file say different things.
fn from_another(reader: &mut Reader<'_>, drains: &[Node], node: &Node) -> bool {
    let (Some(name), Some(from)) = (node.words("name"), node.words("from")) else { return false };
    if from == name || node.words("to") == Some(from) {
        return false;
    }
    let Some(other) = drains.iter().find(|other| other.words("name") == Some(from)) else { return false };
    let Some(to) = other.words("to").filter(|to| *to != name) else { return false };
    let goes = if to == BASIN { "the basin".to_owned() } else { format!("`{}`", echo(to)) };
    let (name, from) = (echo(name), echo(from));
    let message = format!("drain `{name}` begins at `{from}`, but `{from}` leads to {goes}");
    let problem = Problem::error(ProblemKind::Conflict, node.place_of("from"), message)
        .label(format!("`{from}` does not come here"))
        .also(other.at("to"), format!("`{from}` leads to {goes}"))
        .help(format!("write `to = {}` in `{from}`, or let `{name}` begin elsewhere", quoted(&name)));
    reader.say(problem);
    true
}
