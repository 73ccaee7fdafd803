//! The wire to the pump.

use crate::catalog;
use crate::site::Supply;
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::{echo, listed, nearest};
use crate::site::tree::Node;
use crate::site::walk::Reader;
use crate::site::words::quoted;

pub(super) fn supply(reader: &mut Reader<'_>, root: &Node) -> Option<Supply> {
    let Some(node) = root.node("supply") else { return Some(Supply::default()) };
    let mut wire = None;
    if let Some(name) = node.words("wire") {
        wire = catalog::wire(name);
        if wire.is_none() {
            unknown(reader, node, name);
            return None;
        }
    }
    Some(Supply { distance: node.quantity("distance"), wire, circuit_amps: node.number("circuit_amps") })
}

fn unknown(reader: &mut Reader<'_>, node: &Node, name: &str) {
    let known: Vec<&str> = catalog::wires().iter().map(|wire| wire.name).collect();
    let problem = Problem::error(
        ProblemKind::UnknownChoice,
        node.place_of("wire"),
        format!("`{}` is not a size of wire in the tables", echo(name)),
    )
    .label("not known");
    // a bare number could be either family, `12-2` is a cable: gauge is the likelier
    let number: String = name.trim().chars().take_while(char::is_ascii_digit).collect();
    let gauge = catalog::wire(&format!("{number} AWG")).map(|wire| wire.name);
    reader.say(match gauge.or_else(|| nearest(name, known.iter().copied())) {
        Some(near) => problem.help(format!("did you mean `{near}`?")).replacement(quoted(near)),
        None => problem.help(format!("the sizes are {}", listed(known, "and"))),
    });
}
