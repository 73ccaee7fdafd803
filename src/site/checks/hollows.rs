//! Hollows and what is asked of them: an edge below where it leads, a goal that no grate can meet.

use crate::catalog;
use crate::quantity::{Length, Level};
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::echo;
use crate::site::tree::Node;
use crate::site::walk::Reader;

pub(in crate::site) fn hollows(reader: &mut Reader<'_>, root: &Node) {
    for spot in root.nodes("low_spot") {
        spills_uphill(reader, root, spot);
    }
    goal_below_the_film(reader, root);
}

/// Water that runs over an edge runs down: the hollow it comes to begins to take it below that edge.
fn spills_uphill(reader: &mut Reader<'_>, root: &Node, spot: &Node) {
    let Some((edge, to)) = spot.quantity::<Level>("spills_at").zip(spot.words("spills_to")) else { return };
    let takes = |inlet: &&Node| inlet.words("name") == Some(to) || inlet.words("low_spot") == Some(to);
    let rims =
        root.nodes("inlet").iter().filter(takes).filter_map(|inlet| Some((inlet.quantity("rim")?, inlet.at("rim"))));
    let grounds = root.nodes("low_spot").iter().filter(|other| other.words("name") == Some(to)).flat_map(|other| {
        let points = other.pairs("surface").unwrap_or_default();
        points.iter().map(|(level_m, _, place)| (Level::from_m(*level_m), Some(place.clone())))
    });
    let lowest = rims.chain(grounds).reduce(|best: (Level, _), next| if next.0 < best.0 { next } else { best });
    let Some((bottom, place)) = lowest.filter(|(bottom, _)| *bottom >= edge) else { return };
    let message = format!(
        "low spot `{}` spills at {} to `{}`, whose lowest point lies at {}: water does not run up",
        echo(spot.words("name").unwrap_or("?")),
        reader.show(edge),
        echo(to),
        reader.show(bottom)
    );
    let problem = Problem::warning(ProblemKind::LevelOrder, spot.place_of("spills_at"), message)
        .label("not above where it leads")
        .also(place, "the lowest point there")
        .help("measure both again, or enter in `spills_to` where the water really goes");
    reader.say(problem);
}

/// A grate takes water only under some depth of it, and less than a film does not count as standing.
fn goal_below_the_film(reader: &mut Reader<'_>, root: &Node) {
    let Some((goal, most)) =
        root.node("goal").and_then(|goal| Some((goal, goal.quantity::<Length>("standing_water")?)))
    else {
        return;
    };
    let entered = root.node("limits").and_then(|limits| limits.quantity::<Length>("film"));
    let film = entered.unwrap_or(catalog::default_limits().film.value);
    if most >= film {
        return;
    }
    let message = format!(
        "the goal allows {} of standing water, less than the film of {} that does not count as standing",
        reader.short(most),
        reader.short(film)
    );
    let problem = Problem::warning(ProblemKind::OddValue, goal.place_of("standing_water"), message)
        .label("hardly to be met")
        .help("a grate takes water only once some stands over it: ask for the depth that the owner would mind");
    reader.say(problem);
}
