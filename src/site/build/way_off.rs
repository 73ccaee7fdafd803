//! The way of the water beyond the outlet: the grate it comes up through, the swale.

use super::inlets::grate;
use crate::catalog;
use crate::collection::Channel;
use crate::quantity::{Amount, Length};
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::{echo, listed, nearest};
use crate::site::tree::Node;
use crate::site::walk::Reader;
use crate::site::{Limit, Swale, WayOff};

/// What a swale is taken to be grown with.
const USUAL_COVER: &str = "standing grass";

pub(super) fn way_off(reader: &mut Reader<'_>, root: &Node) -> WayOff {
    let Some(outlet) = root.node("discharge").and_then(|discharge| discharge.node("outlet")) else {
        return WayOff::default();
    };
    WayOff {
        grate: grate(reader, outlet, "outlet"),
        swale: outlet.node("swale").and_then(|swale| self::swale(reader, swale)),
        ground_between: outlet.quantity("ground_between"),
    }
}

fn swale(reader: &mut Reader<'_>, node: &Node) -> Option<Swale> {
    let name = node.words("cover").unwrap_or(USUAL_COVER);
    let Some(cover) = catalog::swale_cover(name) else {
        let known = catalog::swale_covers();
        let problem = Problem::error(
            ProblemKind::UnknownSurface,
            node.place_of("cover"),
            format!("`{}` is not a cover of swales in the tables", echo(name)),
        )
        .label("not known");
        reader.say(match nearest(name, known.iter().copied()) {
            Some(near) => problem.help(format!("did you mean `{near}`?")).replacement(format!("\"{near}\"")),
            None => problem.help(format!("the covers are {}", listed(known, "and"))),
        });
        return None;
    };
    if node.number("side_slope").is_some_and(|side| side <= 0.0)
        && node.quantity::<Length>("bottom_width").is_none_or(|width| width <= Length::ZERO)
        && node.entry("bottom_width").is_none_or(|entry| entry.value.is_some())
    {
        let problem = Problem::error(
            ProblemKind::Conflict,
            node.place_of("side_slope"),
            "the swale has upright sides and no bed: nothing fits between them",
        )
        .label("upright")
        .also(node.at("bottom_width"), "no bed")
        .help("`side_slope` is the horizontal for each unit of height: write `side_slope = 4`");
        reader.say(problem);
        return None;
    }
    let slope = node.quantity("slope")?;
    let manning_n = node.number("roughness").unwrap_or_else(|| {
        reader.assume(
            "Manning's n of the swale",
            Amount::of(cover.manning_n),
            format!("{}: {}", cover.cover, cover.source),
        );
        cover.manning_n
    });
    let easily_eroded = node.flag("easily_eroded").unwrap_or(false);
    let permissible =
        cover.permissible_at(slope, easily_eroded).map(|value| Limit { value, source: cover.source.to_owned() });
    Some(Swale {
        channel: Channel {
            bottom_width: node.quantity("bottom_width").unwrap_or(Length::ZERO),
            side_slope: node.number("side_slope")?,
            manning_n,
            slope,
        },
        depth: node.quantity("depth")?,
        cover: cover.cover.to_owned(),
        easily_eroded,
        permissible,
    })
}
