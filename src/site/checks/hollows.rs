//! Hollows and what is asked of them: an edge below where it leads, a goal that no grate can meet.

use crate::catalog;
use crate::quantity::{Length, Level};
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::echo;
use crate::site::tree::{Node, Place};
use crate::site::walk::Reader;

pub(in crate::site) fn hollows(reader: &mut Reader<'_>, root: &Node) {
    for spot in root.nodes("low_spot") {
        spills_uphill(reader, root, spot);
        grates_below_the_ground(reader, root, spot);
    }
    goal_below_the_film(reader, root);
    goal_above_the_edge(reader, root);
}

/// The grates that stand in a low spot, with their rims.
fn grates<'n>(root: &'n Node, spot: &'n Node) -> impl Iterator<Item = (&'n Node, Level)> {
    let stands = |inlet: &&Node| spot.has("name") && inlet.words("low_spot") == spot.words("name");
    root.nodes("inlet").iter().filter(stands).filter_map(|inlet| Some((inlet, inlet.quantity("rim")?)))
}

/// The lowest ground entered for a low spot, and where.
fn lowest_ground(spot: &Node) -> Option<(Level, Place)> {
    let points = spot.pairs("surface").unwrap_or_default().iter();
    let points = points.map(|(level_m, _, place)| (Level::from_m(*level_m), place.clone()));
    points.reduce(|best, next| if next.0 < best.0 { next } else { best })
}

/// A rim and the ground round it differ by no more than this: what a level on a tripod shows.
const SAME_LEVEL: Length = Length::from_inch(1.0);

/// The lowest ground of a hollow lies at its grate.
fn grates_below_the_ground(reader: &mut Reader<'_>, root: &Node, spot: &Node) {
    let Some((ground, place)) = lowest_ground(spot) else { return };
    for (inlet, rim) in grates(root, spot).filter(|(_, rim)| ground - *rim > SAME_LEVEL) {
        let message = format!(
            "the grate of `{}` at {} lies {} below the lowest ground entered for low spot `{}`, at {}",
            echo(inlet.words("name").unwrap_or("?")),
            reader.show(rim),
            reader.short(ground - rim),
            echo(spot.words("name").unwrap_or("?")),
            reader.show(ground)
        );
        let problem = Problem::warning(ProblemKind::LevelOrder, inlet.place_of("rim"), message)
            .label("below the ground round it")
            .also(Some(place.clone()), "the lowest ground")
            .help("begin `surface` at the grate, or measure both again; between the two levels the hollow is taken to be as narrow as the catch basin");
        reader.say(problem);
    }
}

/// Water that may stand deeper than its hollow holds runs over before: the goal then asks for nothing there.
fn goal_above_the_edge(reader: &mut Reader<'_>, root: &Node) {
    let Some((goal, most)) =
        root.node("goal").and_then(|goal| Some((goal, goal.quantity::<Length>("standing_water")?)))
    else {
        return;
    };
    let edges = root.nodes("low_spot").iter().filter_map(|spot| {
        let edge = spot.quantity::<Level>("spills_at")?;
        let rim = grates(root, spot).map(|(_, rim)| rim).reduce(Level::min);
        // depth counts from the lowest grate, or the lowest point where that lies lower
        let bottom = rim.into_iter().chain(lowest_ground(spot).map(|(ground, _)| ground)).reduce(Level::min)?;
        Some((spot, edge, edge - bottom))
    });
    let lowest = edges.reduce(|best, next| if next.2 < best.2 { next } else { best });
    let Some((spot, edge, deep)) = lowest.filter(|(_, _, deep)| most > *deep) else { return };
    let message = format!(
        "the goal allows {} of standing water, but low spot `{}` runs over when it is {} deep, at {}",
        reader.short(most),
        echo(spot.words("name").unwrap_or("?")),
        reader.short(deep),
        reader.show(edge)
    );
    let problem = Problem::warning(ProblemKind::OddValue, goal.place_of("standing_water"), message)
        .label("deeper than the hollow")
        .also(spot.at("spills_at"), "it runs over here")
        .help("where water must not run over that edge, ask for less than that depth; else see that both are right");
    reader.say(problem);
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
