//! The drain tree: where pipes begin and end, and what nothing leads to or from.

use crate::quantity::{Length, Level};
use crate::site::BASIN;
use crate::site::build::inverts;
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::echo;
use crate::site::tree::{Node, Place};
use crate::site::walk::Reader;

/// A pipe and the catch basin's outlet that it begins at are one hole: they differ by no more than this.
const SAME_HOLE: Length = Length::from_inch(1.0);

pub(in crate::site) fn drains(reader: &mut Reader<'_>, root: &Node) {
    for node in root.nodes("drain") {
        let (up, down) = inverts(root, node);
        let ends = (up.as_ref().map(|end| end.0), down.as_ref().map(|end| end.0));
        if let Some((up, place)) = up {
            upper_end(reader, root, node, up, place, ends.1);
        }
        if let Some((down, place)) = down {
            lower_end(reader, root, node, down, place);
        }
        under_ground(reader, node, ends);
        orphan(reader, root, node);
    }
    dead_ends(reader, root);
    dry_hollows(reader, root);
    past_the_grates(reader, root);
    basin_inlet(reader, root);
}

fn named<'n>(nodes: &'n [Node], name: Option<&str>) -> Option<&'n Node> {
    let name = name?;
    nodes.iter().find(|node| node.words("name") == Some(name))
}

fn shown(node: &Node) -> String {
    echo(node.words("name").unwrap_or("?"))
}

/// A pipe begins at the outlet of its catch basin, below the grate.
fn upper_end(reader: &mut Reader<'_>, root: &Node, node: &Node, up: Level, place: Place, down: Option<Level>) {
    let Some(inlet) = named(root.nodes("inlet"), node.words("from")) else { return };
    if inlet.at("outlet_invert").as_ref() == Some(&place) {
        // it is the inlet's outlet itself, which is held against the grate elsewhere
        return;
    }
    let rim = inlet.quantity::<Level>("rim");
    if let Some(rim) = rim.filter(|rim| up >= *rim) {
        let message = format!(
            "drain `{}` begins at {}, {} the grate of `{}` at {}",
            shown(node),
            reader.show(up),
            above(reader, up - rim),
            shown(inlet),
            reader.show(rim)
        );
        let problem = Problem::error(ProblemKind::LevelOrder, place, message)
            .label("at or above the grate")
            .also(inlet.at("rim"), "the grate")
            .help(
                "no water runs into a pipe that begins above its grate: a digit, a rod reading or a benchmark is wrong",
            );
        reader.say(problem);
        return;
    }
    // a pipe that runs uphill has been spoken of
    let uphill = down.is_some_and(|down| down > up);
    let Some(outlet) = inlet.quantity::<Level>("outlet_invert").filter(|_| !uphill) else { return };
    if (outlet - up).abs() > SAME_HOLE {
        let message = format!(
            "drain `{}` begins at {}, but the outlet of `{}` is entered {} {} it, at {}",
            shown(node),
            reader.show(up),
            shown(inlet),
            small(reader, (outlet - up).abs()),
            if outlet > up { "above" } else { "below" },
            reader.show(outlet)
        );
        let problem = Problem::warning(ProblemKind::LevelOrder, place, message)
            .label("the drain's upper end is taken")
            .also(inlet.at("outlet_invert"), "the outlet of the catch basin")
            .help("they are one hole: leave one of the two out, or put right what was mismeasured");
        reader.say(problem);
    }
}

fn small(reader: &Reader<'_>, length: Length) -> String {
    reader.short(length)
}

/// How far a level lies above another, in words.
fn above(reader: &Reader<'_>, by: Length) -> String {
    if by > Length::from_inch(0.05) { format!("{} above", small(reader, by)) } else { "level with".to_owned() }
}

/// A pipe lies under the ground that was entered over it.
fn under_ground(reader: &mut Reader<'_>, node: &Node, (up, down): (Option<Level>, Option<Level>)) {
    for (key, invert, end) in [("up_ground", up, "upper"), ("down_ground", down, "lower")] {
        let Some((ground, invert)) = node.quantity::<Level>(key).zip(invert) else { continue };
        if ground > invert {
            continue;
        }
        let message = format!(
            "the ground over the {end} end of drain `{}` is entered at {}, and its pipe at {}",
            shown(node),
            reader.show(ground),
            reader.show(invert)
        );
        let problem = Problem::error(ProblemKind::LevelOrder, node.place_of(key), message)
            .label("not above the pipe")
            .also(node.at(if end == "upper" { "up_invert" } else { "down_invert" }), "the pipe")
            .help("both are levels from one benchmark: a digit, a depth or a rod reading is entered as a level");
        reader.say(problem);
    }
}

/// A pipe ends inside what it leads to.
fn lower_end(reader: &mut Reader<'_>, root: &Node, node: &Node, down: Level, place: Place) {
    let to = node.words("to");
    if to == Some(BASIN) {
        let Some(basin) = root.node("basin") else { return };
        let (Some(floor), Some(rim)) = (basin.quantity::<Level>("floor"), basin.quantity::<Level>("rim")) else {
            return;
        };
        if rim > floor && (down >= rim || down < floor) {
            let where_to = if down >= rim {
                format!("{} the basin's rim", above(reader, down - rim))
            } else {
                format!("{} below the basin's floor", small(reader, floor - down))
            };
            let message = format!(
                "drain `{}` would arrive at {}, {where_to}: the basin goes from {} to {}",
                shown(node),
                reader.show(down),
                reader.show(floor),
                reader.show(rim)
            );
            let problem = Problem::error(ProblemKind::LevelOrder, place, message)
                .label("outside the basin")
                .also(basin.at("floor"), "the floor")
                .also(basin.at("rim"), "the rim")
                .help("a digit, a rod reading or a benchmark is wrong");
            reader.say(problem);
        }
        return;
    }
    if node.words("from") == to {
        // a circle, which is spoken of where circles are
        return;
    }
    if let Some(inlet) = named(root.nodes("inlet"), to) {
        into_inlet(reader, node, inlet, down, place);
    } else if let Some(other) = named(root.nodes("drain"), to)
        && let Some((end, at)) = inverts(root, other).1.filter(|(end, _)| down < *end)
    {
        let message = format!(
            "drain `{}` ends at {}, below the lower end of `{}` that it leads into, at {}",
            shown(node),
            reader.show(down),
            shown(other),
            reader.show(end)
        );
        let problem = Problem::error(ProblemKind::LevelOrder, place, message)
            .label("below the pipe that it joins")
            .also(at, "the lower end of that pipe")
            .help("water does not run up: a digit, a rod reading or a benchmark is wrong");
        reader.say(problem);
    }
}

fn into_inlet(reader: &mut Reader<'_>, node: &Node, inlet: &Node, down: Level, at: Place) {
    let (place, label, message, severe) = if let Some(rim) = inlet.quantity::<Level>("rim").filter(|rim| down >= *rim) {
        let message = format!(
            "drain `{}` would arrive at `{}` at {}, {} its grate at {}",
            shown(node),
            shown(inlet),
            reader.show(down),
            above(reader, down - rim),
            reader.show(rim)
        );
        (inlet.at("rim"), "the grate", message, true)
    } else if let Some(outlet) = inlet.quantity::<Level>("outlet_invert").filter(|outlet| down < *outlet) {
        let message = format!(
            "drain `{}` arrives at `{}` at {}, {} below its outlet at {}: water always stands in it",
            shown(node),
            shown(inlet),
            reader.show(down),
            small(reader, outlet - down),
            reader.show(outlet)
        );
        (inlet.at("outlet_invert"), "the outlet", message, false)
    } else {
        return;
    };
    let problem = if severe {
        Problem::error(ProblemKind::LevelOrder, at, message)
    } else {
        Problem::warning(ProblemKind::LevelOrder, at, message)
    };
    reader.say(
        problem
            .label(if severe { "above the grate" } else { "below the outlet" })
            .also(place, label)
            .help("a digit, a rod reading or a benchmark is wrong, or the pipe must lie otherwise"),
    );
}

/// A solid pipe that begins nowhere and that nothing leads to.
fn orphan(reader: &mut Reader<'_>, root: &Node, node: &Node) {
    let Some(name) = node.words("name") else { return };
    // a `kind` that could not be read may be that of a French drain
    if node.has("from") || node.has("kind") && node.words("kind") != Some("solid") {
        return;
    }
    let fed = root.nodes("drain").iter().any(|other| other.words("to") == Some(name))
        || ["catchment", "inflow"]
            .iter()
            .flat_map(|kind| root.nodes(kind))
            .any(|other| other.words("drains_to") == Some(name));
    if !fed {
        let problem = Problem::warning(
            ProblemKind::Orphan,
            node.place.clone(),
            format!("no water gets into the solid drain `{}`: it begins nowhere, and nothing leads to it", echo(name)),
        )
        .label("carries nothing")
        .help("add `from = …` with the inlet or drain that it begins at, or `drains_to` of what runs into it; a French drain needs `kind = \"french\"`");
        reader.say(problem);
    }
}

/// A grate whose water no pipe takes away, where others have pipes.
fn dead_ends(reader: &mut Reader<'_>, root: &Node) {
    let drains = root.nodes("drain");
    if !drains.iter().any(|drain| drain.has("from")) {
        return;
    }
    // a `from` that is mistyped, or that another line contradicts, has been spoken of
    let begins = |drain: &Node| {
        let (from, name) = (drain.words("from"), drain.words("name"));
        let at_inlet = root.nodes("inlet").iter().any(|inlet| inlet.words("name") == from);
        let other = drains.iter().find(|other| other.words("name") == from && from != name);
        !drain.has("from")
            || at_inlet
            || other.is_some_and(|other| other.words("to") == name || drain.words("to") == from)
    };
    if !drains.iter().all(begins) {
        return;
    }
    for inlet in root.nodes("inlet") {
        let Some(name) = inlet.words("name") else { continue };
        if drains.iter().any(|drain| drain.words("from") == Some(name)) {
            continue;
        }
        let problem = Problem::warning(
            ProblemKind::Orphan,
            inlet.place.clone(),
            format!("no drain begins at inlet `{}`: its water is taken to fall straight into the basin", echo(name)),
        )
        .label("leads nowhere")
        .help(format!("add a [[drain]] with `from = \"{}\"`, unless the grate is the basin's own lid", echo(name)));
        reader.say(problem);
    }
}

/// A low spot that water runs to and that no grate stands in.
fn dry_hollows(reader: &mut Reader<'_>, root: &Node) {
    let spots = root.nodes("low_spot");
    let named = |inlet: &Node| {
        inlet.words("low_spot").is_some_and(|name| !spots.iter().any(|spot| spot.words("name") == Some(name)))
    };
    if root.nodes("inlet").iter().any(named) {
        // a name is mistyped, which is spoken of already
        return;
    }
    let dry = |name: &str| !root.nodes("inlet").iter().any(|inlet| inlet.words("low_spot") == Some(name));
    let nothing_arrives = nothing_arrives(root, dry);
    for spot in spots {
        let Some(name) = spot.words("name").filter(|name| dry(name)) else { continue };
        let message = format!("no inlet stands in low spot `{}`: nothing takes its water to the basin", echo(name));
        let problem = if nothing_arrives {
            let message = format!("{message}, and no other water comes to it");
            Problem::error(ProblemKind::Orphan, spot.place.clone(), message)
        } else {
            Problem::warning(ProblemKind::Orphan, spot.place.clone(), message)
        }
        .label("has no way out")
        .help(format!("add `low_spot = \"{}\"` to the [[inlet]] that stands in it", echo(name)));
        reader.say(problem);
    }
}

/// Whether all water of the file stays in low spots that no grate stands in and that run over to nowhere in it.
fn nothing_arrives(root: &Node, dry: impl Fn(&str) -> bool) -> bool {
    let mut sources = ["catchment", "inflow"].into_iter().flat_map(|kind| root.nodes(kind)).peekable();
    let stays = |to: Option<&str>| {
        let inlet = named(root.nodes("inlet"), to).or_else(|| named(root.nodes("drain"), to));
        let spot = named(root.nodes("low_spot"), to).filter(|_| inlet.is_none());
        spot.is_some_and(|spot| !spot.has("spills_to") && spot.words("name").is_some_and(&dry))
    };
    let ground = root.nodes("drain").iter().any(|drain| drain.has("kind") && drain.words("kind") != Some("solid"))
        || root.node("groundwater").is_some();
    sources.peek().is_some() && !ground && sources.all(|node| stays(node.words("drains_to")))
}

/// Grates that nothing drains to, and surfaces whose water goes past all grates since nothing says where it goes.
fn past_the_grates(reader: &mut Reader<'_>, root: &Node) {
    let inlets = root.nodes("inlet");
    let sources = || ["catchment", "inflow"].into_iter().flat_map(|kind| root.nodes(kind));
    if inlets.is_empty() || sources().next().is_none() {
        return;
    }
    let named_by = |node: &Node, key: &str, name: &str| node.words(key) == Some(name);
    let led_to = |name: &str| {
        sources().any(|node| named_by(node, "drains_to", name))
            || root.nodes("drain").iter().any(|node| named_by(node, "to", name))
            || root.nodes("low_spot").iter().any(|node| named_by(node, "spills_to", name))
    };
    // grates of one low spot stand in the same water
    let fed = |inlet: &Node| {
        let spot = inlet.words("low_spot");
        let beside = inlets.iter().filter(|other| spot.is_some() && other.words("low_spot") == spot);
        std::iter::once(inlet).chain(beside).filter_map(|node| node.words("name")).chain(spot).any(led_to)
    };
    let idle: Vec<&Node> = inlets.iter().filter(|inlet| inlet.has("name") && !fed(inlet)).collect();
    let without: Vec<&Node> = root.nodes("catchment").iter().filter(|node| !node.has("drains_to")).collect();
    if let [first, rest @ ..] = without.as_slice() {
        let names = quoted_names(&without);
        let (has, its) = if rest.is_empty() { ("has", "its") } else { ("have", "their") };
        let message = format!(
            "{names} {has} no `drains_to`: {its} water is taken to fall straight into the basin, past every grate"
        );
        let mut problem =
            Problem::warning(ProblemKind::Orphan, first.place.clone(), message).label("reaches no grate").help(
                "add `drains_to` with the inlet or low spot that the water runs to; where it does go straight to the basin, say so: `drains_to = \"basin\"`",
            );
        for inlet in idle {
            problem = problem.also(inlet.at("name"), "nothing drains to this inlet");
        }
        reader.say(problem);
        return;
    }
    // a name that nothing has is spoken of elsewhere: it may be that of an inlet
    let known = |name: &str| {
        name == BASIN || ["inlet", "low_spot", "drain"].iter().any(|kind| named(root.nodes(kind), Some(name)).is_some())
    };
    let led = || {
        let drains = root.nodes("drain").iter().filter_map(|node| node.words("to"));
        sources().filter_map(|node| node.words("drains_to")).chain(drains)
    };
    // the same goes for a low spot that no inlet stands in
    let dry = |name: &str| {
        named(root.nodes("low_spot"), Some(name)).is_some()
            && named(inlets, Some(name)).is_none()
            && !inlets.iter().any(|inlet| inlet.words("low_spot") == Some(name))
    };
    if !led().all(known) || led().any(dry) {
        return;
    }
    for inlet in idle {
        let name = shown(inlet);
        let problem = Problem::warning(
            ProblemKind::Orphan,
            inlet.place.clone(),
            format!("nothing drains to inlet `{name}`: no surface, no inflow and no drain leads to it"),
        )
        .label("takes no water")
        .help(format!("add `drains_to = \"{name}\"` to the [[catchment]] whose water runs to it"));
        reader.say(problem);
    }
}

/// Names as a list: `a`, `b` and `c`.
fn quoted_names(nodes: &[&Node]) -> String {
    let names: Vec<String> = nodes.iter().map(|node| format!("`{}`", shown(node))).collect();
    match names.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => names.concat(),
    }
}

/// The basin's inlet and the end of a drain that leads to it are one hole.
fn basin_inlet(reader: &mut Reader<'_>, root: &Node) {
    let Some((basin, invert)) =
        root.node("basin").and_then(|basin| Some((basin, basin.quantity::<Level>("inlet_invert")?)))
    else {
        return;
    };
    let (floor, rim) = (basin.quantity::<Level>("floor"), basin.quantity::<Level>("rim"));
    let outside = |level: Level| floor.is_some_and(|floor| level < floor) || rim.is_some_and(|rim| level >= rim);
    let here = |end: Level| (end - invert).abs() <= SAME_HOLE;
    // one that ends here and leads elsewhere by a slip has been spoken of
    let ended = || root.nodes("drain").iter().any(|node| inverts(root, node).1.is_some_and(|(end, _)| here(end)));
    if outside(invert) || ended() {
        return;
    }
    let ends = root.nodes("drain").iter().filter(|node| node.words("to") == Some(BASIN));
    let mut found = Vec::new();
    for node in ends {
        let (up, down) = inverts(root, node);
        let Some((end, place)) = down else { continue };
        if outside(end) || up.is_some_and(|(up, _)| up < end) {
            // a pipe that ends outside the basin or runs uphill has been spoken of
            return;
        }
        found.push((node, end, place));
    }
    let ends = found.into_iter();
    let nearest = ends.reduce(|best, next| if (next.1 - invert).abs() < (best.1 - invert).abs() { next } else { best });
    let Some((drain, end, place)) = nearest else { return };
    let message = format!(
        "the basin's inlet is entered at {}, but no drain ends there: the nearest, `{}`, ends {} {} it, at {}",
        reader.show(invert),
        shown(drain),
        small(reader, (end - invert).abs()),
        if end > invert { "above" } else { "below" },
        reader.show(end)
    );
    let problem = Problem::warning(ProblemKind::LevelOrder, basin.place_of("inlet_invert"), message)
        .label("no drain ends here")
        .also(Some(place), "the end of the drain")
        .help("they are one hole: leave `inlet_invert` out, or put right what was mismeasured");
    reader.say(problem);
}
