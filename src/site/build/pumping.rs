//! How the pumps are used: which, how many, at which levels.

use crate::catalog::default_limits;
use crate::quantity::{Amount, Length};
use crate::site::Pumping;
use crate::site::problem::{Problem, ProblemKind};
use crate::site::tree::Node;
use crate::site::walk::Reader;
use crate::site::words::unknown_name;

pub(super) fn pumping(reader: &mut Reader<'_>, root: &Node, node: &Node) -> Option<Pumping> {
    let names: Vec<&str> = root.nodes("pump").iter().filter_map(|pump| pump.words("name")).collect();
    let mut known = true;
    for key in ["use", "lag"] {
        if let Some(name) = node.words(key)
            && !names.contains(&name)
            && !names.is_empty()
        {
            reader.say(unknown_name("pump", name, node.place_of(key), &names));
            known = false;
        }
    }
    let lag = node.text("lag");
    let entered = node.number("count");
    if lag.is_some() && entered == Some(1.0) {
        let problem = Problem::error(
            ProblemKind::Conflict,
            node.place_of("count"),
            "one pump is installed, but `lag` names a second".to_owned(),
        )
        .label("one pump")
        .also(node.at("lag"), "the second")
        .help("write `count = 2`, or leave `lag` out");
        reader.say(problem);
        known = false;
    }
    // a whole number, 1 or 2, by its declared range
    let count = if lag.is_some() || entered.is_some_and(|count| count > 1.0) { 2 } else { 1 };
    second_levels(reader, root, node, count);
    known.then(|| Pumping {
        chosen: node.text("use"),
        count,
        lag,
        lag_on: node.quantity("lag_on"),
        lag_off: node.quantity("lag_off"),
        alternate: node.flag("alternate").unwrap_or(false),
        wear: node.number("wear").unwrap_or_else(|| default_limits().wear.value),
    })
}

/// The levels of the second pump against those of the first.
fn second_levels(reader: &mut Reader<'_>, root: &Node, node: &Node, count: u32) {
    const ORDER: &str =
        "from the floor up: off, lag_off (may be the same), lag_on, alarm (may be the same), rim; and on below lag_on";
    if count < 2 {
        for key in ["lag_on", "lag_off"].into_iter().filter(|key| node.has(key)) {
            let problem = Problem::error(
                ProblemKind::Conflict,
                node.place_of(key),
                format!("`pumping.{key}` is a level for a second pump, but only one is installed"),
            )
            .label("for a second pump")
            .help("write `count = 2` in [pumping], or leave it out");
            reader.say(problem);
        }
        if node.flag("alternate") == Some(true) {
            let problem = Problem::error(
                ProblemKind::Conflict,
                node.place_of("alternate"),
                "one pump alone cannot take turns".to_owned(),
            )
            .label("takes two pumps")
            .help("write `count = 2` in [pumping], or leave it out");
            reader.say(problem);
        }
        return;
    }
    let Some(basin) = root.node("basin") else { return };
    let height = |name: &str| basin.quantity::<Length>(name);
    let depth =
        match (basin.quantity::<crate::quantity::Level>("rim"), basin.quantity::<crate::quantity::Level>("floor")) {
            (Some(rim), Some(floor)) => Some(rim - floor),
            _ => None,
        };
    let (lag_on, lag_off) = (node.quantity::<Length>("lag_on"), node.quantity::<Length>("lag_off"));
    // lower, its name, upper, its name, whether they may be one
    let pairs = [
        (height("on"), "basin.on", lag_on, "lag_on", false),
        (lag_on, "lag_on", height("alarm"), "basin.alarm", true),
        (lag_on, "lag_on", depth, "basin.rim", false),
        (lag_off, "lag_off", lag_on, "lag_on", false),
        (height("off"), "basin.off", lag_off, "lag_off", true),
    ];
    for (lower, lower_name, upper, upper_name, may_meet) in pairs {
        let (Some(low), Some(high)) = (lower, upper) else { continue };
        if low < high || may_meet && low <= high {
            continue;
        }
        let show = |length: Length| Amount::small(length).show(reader.units);
        let (word, seen_from_above) = if may_meet { ("above", "below") } else { ("not below", "not above") };
        let message =
            format!("`{lower_name}` at {} is {word} `{upper_name}` at {} above the floor", show(low), show(high));
        let own = if lower_name.starts_with("lag") { lower_name } else { upper_name };
        let other = if own == lower_name { upper_name } else { lower_name };
        let other_place = match other.strip_prefix("basin.") {
            Some(name) => basin.at(name),
            None => node.at(other),
        };
        let problem = Problem::error(ProblemKind::FloatOrder, node.place_of(own), message)
            .label(format!("{} `{other}`", if own == lower_name { word } else { seen_from_above }))
            .also(other_place, format!("`{other}`"))
            .help(ORDER);
        reader.say(problem);
    }
}
