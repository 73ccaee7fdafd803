//! Drains that run in a circle, or begin where they cannot.

use crate::site::BASIN;
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::echo;
use crate::site::tree::{Node, Place};
use crate::site::walk::Reader;
use crate::site::words::quoted;
use std::collections::HashMap;

/// Where water goes from each inlet and drain, each way with its place in the file.
type Ways<'n> = HashMap<&'n str, Vec<(&'n str, Place)>>;

/// A circle: the names along it, the first of them again at its end, and the place of the way that closes it.
type Circle<'n> = (Vec<&'n str>, Place);

/// Says which drains lead back to where they come from.
pub(super) fn circles(reader: &mut Reader<'_>, root: &Node) {
    let drains = root.nodes("drain");
    let mut broken = false;
    let mut next = Ways::new();
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
    let starts: Vec<&str> = drains.iter().filter_map(|node| node.words("name")).collect();
    for (way, place) in in_circles(&starts, &next) {
        let circle: Vec<String> = way.iter().map(|name| format!("`{}`", echo(name))).collect();
        let message = format!("water would run in a circle: {}", circle.join(" to "));
        let problem = Problem::error(ProblemKind::DrainCycle, place, message)
            .label("closes the circle")
            .help("every drain must lead to the basin in the end");
        reader.say(problem);
    }
}

/// The circles of a net of ways, each found from the first start that leads into it.
///
/// Kahn's order, from the lower end: what leads nowhere else is taken away until nothing more can be; all that is left
/// leads into a circle.
fn in_circles<'n>(starts: &[&'n str], next: &Ways<'n>) -> Vec<Circle<'n>> {
    let mut back: HashMap<&str, Vec<&'n str>> = HashMap::new();
    for (from, ways) in next {
        for (to, _) in ways {
            back.entry(to).or_default().push(from);
        }
    }
    // how many ways of each lead on to what is left
    let mut left: HashMap<&str, usize> = next.iter().map(|(from, ways)| (*from, ways.len())).collect();
    let ends = back.keys().copied().filter(|name| !next.contains_key(name)).collect();
    take_away(ends, &back, &mut left);
    let mut circles = Vec::new();
    for start in starts {
        let leads_on = |name: &str| left.get(name).is_some_and(|count| *count > 0);
        if !leads_on(start) {
            continue;
        }
        let (mut way, mut seen) = (vec![*start], HashMap::from([(*start, 0)]));
        let mut here = *start;
        while let Some((to, place)) = next.get(here).and_then(|ways| ways.iter().find(|(to, _)| leads_on(to))) {
            if let Some(first) = seen.get(to) {
                let circle = way.iter().skip(*first).chain([to]).copied().collect();
                circles.push((circle, place.clone()));
                break;
            }
            seen.insert(to, way.len());
            way.push(to);
            here = to;
        }
        // one circle is said once; another beside it has places of its own
        for name in &way {
            left.insert(name, 0);
        }
        take_away(way, &back, &mut left);
    }
    circles
}

/// Takes names away, and all that leads to nothing else.
fn take_away<'n>(mut gone: Vec<&'n str>, back: &HashMap<&str, Vec<&'n str>>, left: &mut HashMap<&'n str, usize>) {
    while let Some(name) = gone.pop() {
        for before in back.get(name).into_iter().flatten() {
            if let Some(count) = left.get_mut(before).filter(|count| **count > 0) {
                *count -= 1;
                if *count == 0 {
                    gone.push(before);
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

#[cfg(test)]
mod tests {
    use super::*;

    /// The circles of ways from one name to another, each with its number as its place, begun at each name in turn.
    fn found<'n>(ways: &[(&'n str, &'n str)]) -> Vec<Circle<'n>> {
        let mut next = Ways::new();
        for (number, (from, to)) in ways.iter().enumerate() {
            next.entry(from).or_default().push((to, number..number));
        }
        let starts: Vec<&str> = ways.iter().map(|(from, _)| *from).collect();
        in_circles(&starts, &next)
    }

    #[test]
    fn identity_a_tree_has_no_circle() {
        assert_eq!(found(&[]), []);
        // two ways that part and meet again are none
        assert_eq!(found(&[("a", "b"), ("a", "c"), ("b", "d"), ("c", "d"), ("d", "basin")]), []);
    }

    #[test]
    fn identity_a_circle_is_found_from_a_drain_that_leads_into_it() {
        assert_eq!(found(&[("a", "a")]), [(vec!["a", "a"], 0..0)]);
        let ways = [("a", "basin"), ("a", "b"), ("b", "c"), ("c", "d"), ("d", "basin"), ("d", "b"), ("e", "c")];
        assert_eq!(found(&ways), [(vec!["b", "c", "d", "b"], 5..5)]);
        let two = [("a", "b"), ("b", "a"), ("c", "d"), ("d", "c"), ("d", "a")];
        assert_eq!(found(&two), [(vec!["a", "b", "a"], 1..1), (vec!["c", "d", "c"], 3..3)]);
    }

    #[test]
    fn identity_a_ring_of_any_length_is_a_circle() {
        for count in [2_usize, 999, 1000, 1001, 1100, 20_000] {
            let names: Vec<String> = (0..count).map(|number| format!("d{number}")).collect();
            let ring: Vec<(&str, &str)> =
                names.iter().zip(names.iter().cycle().skip(1)).map(|(from, to)| (from.as_str(), to.as_str())).collect();
            let circles = found(&ring);
            assert_eq!(circles.len(), 1);
            assert!(circles.iter().all(|(way, place)| way.len() == count + 1 && place.start == count - 1));
            let chain = ring.get(..count - 1).unwrap_or_default();
            assert_eq!(found(chain), []);
        }
    }
}
