//! Catch basins with their grates, and the grate of the outlet.

use super::crew::surface_of;
use crate::catalog;
use crate::collection::Grate;
use crate::quantity::{Amount, Area, Length};
use crate::site::Inlet;
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::{echo, listed};
use crate::site::tree::Node;
use crate::site::walk::Reader;

/// A frame has so much more edge than its grate: common practice, no source.
const FRAME: f64 = 1.15;

pub(super) fn inlets(reader: &mut Reader<'_>, root: &Node) -> Vec<Inlet> {
    let mut inlets = Vec::new();
    for node in root.nodes("inlet") {
        let name = node.text("name");
        let grate = grate(reader, node, name.as_deref().unwrap_or("inlet"));
        let read = || {
            Some(Inlet {
                name: name?,
                low_spot: node.text("low_spot"),
                rim: node.quantity("rim")?,
                grate,
                plan: node.sides("box").map(|sides| match sides {
                    (diameter, None) => diameter.circle(),
                    (length, Some(width)) => length * width,
                }),
                outlet_invert: node.quantity("outlet_invert"),
                silt_trap: node.quantity("silt_trap").unwrap_or(Length::ZERO),
                around: surface_of(root, node, "around"),
            })
        };
        inlets.extend(read());
    }
    inlets
}

/// A grate, where enough of it is known.
pub(super) fn grate(reader: &mut Reader<'_>, node: &Node, name: &str) -> Option<Grate> {
    let sides = node.sides("grate");
    let face = sides.map(|sides| match sides {
        (diameter, None) => diameter.circle(),
        (length, Some(width)) => length * width,
    });
    let round = sides.map(|sides| match sides {
        (diameter, None) => diameter * std::f64::consts::PI,
        (length, Some(width)) => (length + width) * 2.0,
    });
    let entered = node.quantity::<Area>("open_area");
    if let (Some(open), Some(face)) = (entered, face)
        && open >= face
    {
        let message = format!(
            "the open area of `{name}` is {}, as much as its face of {} or more",
            reader.show(open),
            reader.show(face)
        );
        let problem = Problem::error(ProblemKind::Conflict, node.place_of("open_area"), message)
            .label("not less than the face")
            .also(node.at("grate"), "the face")
            .help("the open area is what the bars leave: 35 to 50 % of the face of most grates");
        reader.say(problem);
        return None;
    }
    let share = catalog::usual_open_share();
    let own_edge = node.quantity::<Length>("perimeter");
    edge(reader, node, name, own_edge.zip(round));
    if !node.has("grate") && (entered.is_none() || own_edge.is_none()) {
        not_judged(reader, node, name);
    }
    let open_area = entered.or(face.map(|face| face * share.value))?;
    let perimeter = own_edge.or(round)?;
    if entered.is_none() {
        reader.assume(format!("open area of the grate `{name}`"), Amount::opening(open_area), share.source);
    }
    let clogged = node.number("clogged").unwrap_or_else(|| {
        let usual = &catalog::default_limits().grate_clogging;
        reader.assume(format!("share of the grate `{name}` that is blocked"), Amount::of(usual.value), usual.source);
        usual.value
    });
    Some(Grate { perimeter, open_area, clogged })
}

/// Warns of more edge than the grate has all round.
fn edge(reader: &mut Reader<'_>, node: &Node, name: &str, edges: Option<(Length, Length)>) {
    let Some((entered, round)) = edges.filter(|(entered, round)| *entered > *round * FRAME) else { return };
    let small = |length| reader.short(length);
    let message = format!(
        "the edge of the grate `{}` is entered as {}, and all round it is {}",
        echo(name),
        small(entered),
        small(round)
    );
    let problem = Problem::warning(ProblemKind::Conflict, node.place_of("perimeter"), message)
        .label("more than all round")
        .also(node.at("grate"), "the grate")
        .help("leave it out, unless a side stands against a wall and does not count; feet or inches?");
    reader.say(problem);
}

/// Warns of what is entered of a grate that is not enough to judge it.
fn not_judged(reader: &mut Reader<'_>, node: &Node, name: &str) {
    let keys = ["open_area", "perimeter", "clogged"];
    if keys.into_iter().any(|key| node.entry(key).is_some_and(|entry| entry.value.is_none())) {
        return;
    }
    let Some(first) = keys.into_iter().find(|key| node.has(key)) else { return };
    let has = listed(keys.into_iter().filter(|key| node.has(key)), "and");
    let message = format!("the grate `{}` has {has} but no size: it is not judged", echo(name));
    let problem = Problem::warning(ProblemKind::MissingKey, node.place_of(first), message)
        .label("how large is the grate?")
        .help("add `grate = \"12 in x 12 in\"`, or `grate = \"12 in\"` for a round one; or both `open_area` and `perimeter`");
    reader.say(problem);
}
