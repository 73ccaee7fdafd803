//! Gravity pipes and French drains: pipe, inverts, slope, ground, trench.

use super::crew::surface_of;
use super::trench::french;
use super::unknown_pipe::unknown_pipe;
use crate::catalog;
use crate::hydraulics::Pipe;
use crate::quantity::{Amount, Length, Level, Slope};
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::{echo, listed};
use crate::site::tree::{Node, Place};
use crate::site::walk::Reader;
use crate::site::{BASIN, Drain};

/// The kind of pipe that a drain is taken for.
const SOLID: &str = "PVC SDR 35";
const METRIC: &str = "PVC-U sewer";
const PERFORATED: &str = "corrugated HDPE perforated";
/// Inverts and slope agree within this: common practice, no source.
const SLOPE_SLACK: Length = Length::from_inch(0.5);

pub(super) fn drains(reader: &mut Reader<'_>, root: &Node) -> Vec<Drain> {
    root.nodes("drain").iter().filter_map(|node| drain(reader, root, node)).collect()
}

fn drain(reader: &mut Reader<'_>, root: &Node, node: &Node) -> Option<Drain> {
    let name = node.text("name");
    let shown = name.clone().unwrap_or_else(|| "drain".to_owned());
    let is_french = node.words("kind") == Some("french");
    let pipe = pipe(reader, node, &shown, is_french);
    let length = node.quantity::<Length>("length");
    let lies = lies(reader, root, node, &shown, length);
    let french = is_french.then(|| french(reader, node, pipe.as_ref(), length, &lies));
    if !is_french && (!node.has("kind") || node.words("kind").is_some()) {
        no_use(reader, node, &shown);
    }
    Some(Drain {
        name: name?,
        from: node.text("from"),
        to: node.text("to")?,
        length: length?,
        pipe,
        up_invert: lies.up_invert,
        down_invert: lies.down_invert,
        slope: lies.slope,
        up_ground: lies.up_ground,
        down_ground: lies.down_ground,
        french,
        under: surface_of(root, node, "under"),
    })
}

/// What only a French drain has.
fn no_use(reader: &mut Reader<'_>, node: &Node, name: &str) {
    let keys = ["trench", "sides", "perimeter", "fabric"];
    if let Some(first) = keys.into_iter().find(|key| node.has(key)) {
        let has: Vec<&str> = keys.into_iter().filter(|key| node.has(key)).collect();
        let are = if has.len() == 1 { "is" } else { "are" };
        let problem = Problem::warning(
            ProblemKind::Conflict,
            node.place_of(first),
            format!("`{}` is a solid pipe; its {} {are} not reckoned with", echo(name), listed(has, "and")),
        )
        .label("of no use to a solid pipe")
        .help("write `kind = \"french\"` if its pipe has holes and lies in stone");
        reader.say(problem);
    }
    if node.words("material").is_some_and(|material| material.to_lowercase().contains("perforated")) {
        let message = format!("`{}` is entered as a solid pipe, but its material has holes", echo(name));
        let problem = Problem::warning(ProblemKind::Conflict, node.place_of("material"), message)
            .label("solid, or with holes?")
            .help("write `kind = \"french\"` and its `trench` if it takes groundwater in; else name the solid pipe");
        reader.say(problem);
    }
}

/// The pipe, where its size was entered.
fn pipe(reader: &mut Reader<'_>, node: &Node, name: &str, french: bool) -> Option<Pipe> {
    let size = node.words("size");
    let material = node.words("material").unwrap_or_else(|| match size {
        _ if french => PERFORATED,
        Some(size) if size.ends_with("mm") => METRIC,
        _ => SOLID,
    });
    let looked_up = catalog::pipe(material, size.unwrap_or("4 in"));
    // a material is looked up even where no size stands beside it
    let entry = match (looked_up, size) {
        (Ok(entry), Some(_)) => entry,
        (Err(error), Some(size)) => {
            unknown_pipe(reader, node, material, size, &error);
            return None;
        }
        (Err(error @ catalog::PipeLookup::UnknownMaterial { .. }), None) => {
            unknown_pipe(reader, node, material, "", &error);
            return None;
        }
        (_, None) => return None,
    };
    if !node.has("material") {
        let why = "its usual kind; common practice, no source";
        reader.assume(format!("kind of pipe of `{name}`: {}", entry.pipe.material), Amount::bore(entry.pipe.bore), why);
    }
    let mut pipe = entry.pipe.clone();
    if let Some(roughness) = node.number("roughness") {
        pipe.manning_n = roughness;
    }
    Some(pipe)
}

/// How a drain lies.
pub(super) struct Lies {
    pub(super) up_invert: Option<Level>,
    pub(super) down_invert: Option<Level>,
    slope: Option<Slope>,
    pub(super) up_ground: Option<Level>,
    down_ground: Option<Level>,
}

/// An end of a drain, and what in the file says where it lies.
pub(in crate::site) type End = Option<(Level, Place)>;

/// The upper and the lower invert: entered, by the catch basin that the drain begins at, by its slope.
pub(in crate::site) fn inverts(root: &Node, node: &Node) -> (End, End) {
    let entered = |key: &str| Some((node.quantity::<Level>(key)?, node.place_of(key)));
    let (mut up, mut down) = (entered("up_invert"), entered("down_invert"));
    if !node.has("up_invert") {
        let begins = node.words("from");
        let inlet = root.nodes("inlet").iter().find(|inlet| begins.is_some() && inlet.words("name") == begins);
        up = inlet.and_then(|inlet| Some((inlet.quantity("outlet_invert")?, inlet.place_of("outlet_invert"))));
    }
    if let (Some(slope), Some(length)) = (node.quantity::<Slope>("slope"), node.quantity::<Length>("length")) {
        let place = node.place_of("slope");
        match (&up, &down) {
            (Some((up, _)), None) if !node.has("down_invert") => down = Some((*up - slope * length, place)),
            (None, Some((down, _))) if !node.has("up_invert") => up = Some((*down + slope * length, place)),
            _ => {}
        }
    }
    (up, down)
}

/// Inverts by what was entered, by the catch basin it begins at, by its slope.
fn lies(reader: &mut Reader<'_>, root: &Node, node: &Node, name: &str, length: Option<Length>) -> Lies {
    let inlet = |key: &str| {
        let wanted = node.words(key)?;
        root.nodes("inlet").iter().find(|inlet| inlet.words("name") == Some(wanted))
    };
    let (begins, ends) = (inlet("from"), inlet("to"));
    let (up, down) = inverts(root, node);
    let (up_invert, down_invert) = (up.as_ref().map(|end| end.0), down.as_ref().map(|end| end.0));
    let entered = node.quantity::<Slope>("slope");
    if let (Some((up, place)), Some((down, _)), Some(length)) = (up, down, length) {
        let contradicted =
            entered.is_some_and(|slope| contradicts(reader, node, name, (up, &place, down), slope, length));
        if !contradicted {
            falls(reader, node, name, (up, place, down), length);
        }
    }
    if let (Some(_), None, None) = (entered, up_invert, down_invert)
        && ["up_invert", "down_invert"].iter().all(|key| !node.has(key))
    {
        let message = format!("`{}` has a slope, but neither of its ends has a level", echo(name));
        let problem = Problem::warning(ProblemKind::MissingKey, node.place_of("slope"), message)
            .label("from which level?")
            .help("add `up_invert` or `down_invert`, or `outlet_invert` to the inlet that it begins at");
        reader.say(problem);
    }
    let at_basin = node.words("to") == Some(BASIN);
    let basin = root.node("basin").filter(|_| at_basin);
    let basin_ground = basin.and_then(|basin| basin.quantity("ground").or_else(|| basin.quantity("rim")));
    let rim = |inlet: Option<&Node>| inlet.and_then(|inlet| inlet.quantity::<Level>("rim"));
    let slope = match (up_invert, down_invert, length) {
        (Some(up), Some(down), Some(length)) => Some(Slope::of(up - down, length)),
        _ => entered,
    };
    Lies {
        up_invert,
        down_invert,
        slope,
        up_ground: node.quantity("up_ground").or_else(|| rim(begins)),
        down_ground: node.quantity("down_ground").or_else(|| basin_ground.or_else(|| rim(ends))),
    }
}

/// Whether slope and inverts do not go together, saying so.
fn contradicts(
    reader: &mut Reader<'_>,
    node: &Node,
    name: &str,
    (up, place, down): (Level, &Place, Level),
    slope: Slope,
    length: Length,
) -> bool {
    let fall = up - down;
    if (fall - slope * length).abs() <= SLOPE_SLACK {
        return false;
    }
    let message = format!(
        "`{}` {} {} over {}, which is {}, but its slope is entered as {}",
        echo(name),
        if fall < Length::ZERO { "rises" } else { "falls" },
        reader.short(fall.abs()),
        reader.show(length),
        reader.show(Slope::of(fall, length)),
        reader.show(slope)
    );
    let problem = Problem::error(ProblemKind::Conflict, node.place_of("slope"), message)
        .label("against the inverts")
        .also(place.clone(), "the upper end")
        .also(node.at("down_invert"), "the lower end")
        .also(node.at("length"), "the length")
        .help("leave `slope` out where both inverts are known, or put right what was mismeasured");
    reader.say(problem);
    true
}

/// A pipe that runs uphill, or falls more than it is long.
fn falls(reader: &mut Reader<'_>, node: &Node, name: &str, (up, place, down): (Level, Place, Level), length: Length) {
    let small = |length| reader.short(length);
    if down > up {
        let problem = Problem::warning(
            ProblemKind::LevelOrder,
            node.place_of("down_invert"),
            format!("drain `{}` runs uphill by {}", echo(name), small(down - up)),
        )
        .label(format!("higher than its upper end at {}", reader.show(up)))
        .also(place, "the upper end")
        .help("are the two inverts swapped, or was a rod reading entered as a level?");
        reader.say(problem);
    } else if up - down > length {
        let message = format!("drain `{}` falls {} within {} of pipe", echo(name), small(up - down), small(length));
        let problem = Problem::error(ProblemKind::LevelOrder, node.place_of("length"), message)
            .label("shorter than its fall")
            .also(place, "the upper end")
            .also(node.at("down_invert"), "the lower end")
            .help("a digit, a rod reading or a benchmark is wrong");
        reader.say(problem);
    }
}
