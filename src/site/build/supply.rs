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
    let wire = match node.words("wire") {
        None => None,
        Some(name) => match catalog::wire(name) {
            Some(entry) => Some(entry),
            None => {
                let known: Vec<&str> = catalog::wires().iter().map(|wire| wire.name).collect();
                let problem = Problem::error(
                    ProblemKind::UnknownChoice,
                    node.place_of("wire"),
                    format!("`{}` is not a size of wire in the tables", echo(name)),
                )
                .label("not known");
                reader.say(match nearest(name, known.iter().copied()) {
                    Some(near) => problem.help(format!("did you mean `{near}`?")).replacement(quoted(near)),
                    None => problem.help(format!("the sizes are {}", listed(known, "and"))),
                });
                return None;
            }
        },
    };
    Some(Supply { distance: node.quantity("distance"), wire, circuit_amps: node.number("circuit_amps") })
}
