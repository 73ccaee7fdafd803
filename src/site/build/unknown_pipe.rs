//! What to say of a pipe that the tables have not.

use crate::catalog::{self, PipeLookup};
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::{echo, listed};
use crate::site::tree::Node;
use crate::site::walk::Reader;
use crate::site::words::quoted;

/// Says of a pipe that the tables have not what they have.
pub(super) fn unknown_pipe(reader: &mut Reader<'_>, node: &Node, material: &str, size: &str, error: &PipeLookup) {
    let problem = match error {
        PipeLookup::UnknownMaterial { nearest } => {
            let problem = Problem::error(
                ProblemKind::UnknownPipe,
                node.place_of("material"),
                format!("`{}` is not a kind of pipe in the tables", echo(material)),
            )
            .label("not known");
            match nearest {
                Some(name) => problem.help(format!("did you mean `{name}`?")).replacement(quoted(name)),
                None => problem.help(match catalog::materials_made_in(size).as_slice() {
                    [] => format!("the kinds are {}", listed(catalog::pipe_materials(), "and")),
                    made => format!("the kinds made in {} are {}", echo(size), listed(made.iter().copied(), "and")),
                }),
            }
        }
        PipeLookup::SizeNotMade { material, sizes } => Problem::error(
            ProblemKind::UnknownPipe,
            node.place_of("size"),
            format!("{material} is not made in {}, or not in the tables", echo(size)),
        )
        .label("no such size")
        .also(node.at("material"), "of this kind")
        .help({
            let sizes = format!("its sizes are {}", listed(sizes.iter().copied(), "and"));
            match catalog::materials_made_in(size).as_slice() {
                [] => sizes,
                made => {
                    format!("{sizes}; the kinds made in {} are {}", echo(size), listed(made.iter().copied(), "and"))
                }
            }
        }),
    };
    reader.say(problem);
}
