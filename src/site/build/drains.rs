//! Gravity pipes and French drains: pipe, inverts, slope, ground, trench.

use super::unknown_pipe::unknown_pipe;
use crate::catalog;
use crate::collection::Trench;
use crate::hydraulics::Pipe;
use crate::quantity::{Amount, Length, Level, Slope, read};
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::echo;
use crate::site::tree::Node;
use crate::site::walk::Reader;
use crate::site::words::quoted;
use crate::site::{BASIN, Drain, French, FrenchTrench, TrenchCover};

/// The kind of pipe that a drain is taken for.
const SOLID: &str = "PVC SDR 35";
const METRIC: &str = "PVC-U sewer";
const PERFORATED: &str = "corrugated HDPE perforated";
/// The stone goes this far over the pipe where its top was not entered: common practice, no source.
const STONE_OVER_PIPE: Length = Length::from_inch(12.0);
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
    let french = is_french.then(|| french(reader, node, pipe.as_ref(), length, lies.down_invert));
    if !is_french && node.has("trench") {
        let problem = Problem::warning(
            ProblemKind::Conflict,
            node.place_of("trench"),
            format!("`{}` is a solid pipe; its trench is not reckoned with", echo(&shown)),
        )
        .label("of no use to a solid pipe")
        .help("write `kind = \"french\"` if its pipe has holes");
        reader.say(problem);
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
    })
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
struct Lies {
    up_invert: Option<Level>,
    down_invert: Option<Level>,
    slope: Option<Slope>,
    up_ground: Option<Level>,
    down_ground: Option<Level>,
}

/// Inverts by what was entered, by the catch basin it begins at, by its slope.
fn lies(reader: &mut Reader<'_>, root: &Node, node: &Node, name: &str, length: Option<Length>) -> Lies {
    let inlet = |key: &str| {
        let wanted = node.words(key)?;
        root.nodes("inlet").iter().find(|inlet| inlet.words("name") == Some(wanted))
    };
    let (begins, ends) = (inlet("from"), inlet("to"));
    let mut up_invert = node.quantity::<Level>("up_invert");
    let mut down_invert = node.quantity::<Level>("down_invert");
    let entered = node.quantity::<Slope>("slope");
    if up_invert.is_none() && !node.has("up_invert") {
        up_invert = begins.and_then(|inlet| inlet.quantity("outlet_invert"));
    }
    if let (Some(slope), Some(length)) = (entered, length) {
        match (up_invert, down_invert) {
            (Some(up), Some(down)) => contradicts(reader, node, name, (up, down), slope, length),
            (Some(up), None) => down_invert = Some(up - slope * length),
            (None, Some(down)) => up_invert = Some(down + slope * length),
            (None, None) => {}
        }
    }
    if let (Some(up), Some(down), Some(length)) = (up_invert, down_invert, length) {
        falls(reader, node, name, (up, down), length);
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

/// Slope and inverts that do not go together.
fn contradicts(
    reader: &mut Reader<'_>,
    node: &Node,
    name: &str,
    (up, down): (Level, Level),
    slope: Slope,
    length: Length,
) {
    let fall = up - down;
    if (fall - slope * length).abs() <= SLOPE_SLACK {
        return;
    }
    let message = format!(
        "`{}` falls {} over {}, which is {}, but its slope is entered as {}",
        echo(name),
        Amount::small(fall).show(reader.units),
        reader.show(length),
        reader.show(Slope::of(fall, length)),
        reader.show(slope)
    );
    let problem = Problem::error(ProblemKind::Conflict, node.place_of("slope"), message)
        .label("against the inverts")
        .also(node.at("up_invert"), "the upper end")
        .also(node.at("down_invert"), "the lower end")
        .also(node.at("length"), "the length")
        .help("leave `slope` out where both inverts are known, or put right what was mismeasured");
    reader.say(problem);
}

/// A pipe that runs uphill, or falls more than it is long.
fn falls(reader: &mut Reader<'_>, node: &Node, name: &str, (up, down): (Level, Level), length: Length) {
    if down > up {
        let problem = Problem::warning(
            ProblemKind::LevelOrder,
            node.place_of("down_invert"),
            format!("drain `{}` runs uphill by {}", echo(name), reader.show(down - up)),
        )
        .label(format!("higher than its upper end at {}", reader.show(up)))
        .also(node.at("up_invert"), "the upper end")
        .help("are the two inverts swapped, or was a rod reading entered as a level?");
        reader.say(problem);
    } else if up - down > length {
        let message =
            format!("drain `{}` falls {} within {} of pipe", echo(name), reader.show(up - down), reader.show(length));
        let problem = Problem::error(ProblemKind::LevelOrder, node.place_of("length"), message)
            .label("shorter than its fall")
            .also(node.at("up_invert"), "the upper end")
            .also(node.at("down_invert"), "the lower end")
            .help("a digit, a rod reading or a benchmark is wrong");
        reader.say(problem);
    }
}

fn french(
    reader: &mut Reader<'_>,
    node: &Node,
    pipe: Option<&Pipe>,
    length: Option<Length>,
    down_invert: Option<Level>,
) -> French {
    let trench = node.node("trench").and_then(|trench| self::trench(reader, node, trench, pipe, length, down_invert));
    French {
        sides: if node.number("sides").is_some_and(|sides| sides < 2.0) { 1 } else { 2 },
        fabric: node.flag("fabric"),
        trench,
        perimeter: node.quantity("perimeter"),
    }
}

fn trench(
    reader: &mut Reader<'_>,
    drain: &Node,
    node: &Node,
    pipe: Option<&Pipe>,
    length: Option<Length>,
    down_invert: Option<Level>,
) -> Option<FrenchTrench> {
    let width = node.quantity::<Length>("width")?;
    let below_pipe = match node.words("bottom") {
        Some(text) => bottom(reader, node, text, down_invert)?,
        None => Length::ZERO,
    };
    let top = node.quantity::<Level>("top");
    let outside = pipe.map(|pipe| pipe.outside_diameter);
    // along a falling pipe the stone is as high as at its upper end
    let highest = drain.quantity::<Level>("up_invert").or(down_invert);
    if let (Some(top), Some(invert)) = (top, highest)
        && top < invert
    {
        let message = format!("the stone ends at {}, below the pipe at {}", reader.show(top), reader.show(invert));
        let problem = Problem::error(ProblemKind::LevelOrder, node.place_of("top"), message)
            .label("below the pipe")
            .also(drain.at("up_invert"), "the pipe's upper end")
            .help("`top` is the level of the top of the stone; a digit or a benchmark is wrong");
        reader.say(problem);
        return None;
    }
    let porosity = node.number("porosity").unwrap_or_else(|| {
        let usual = &catalog::default_limits().stone_porosity;
        reader.assume("room between the stones", Amount::of(usual.value), usual.source);
        usual.value
    });
    let middle = match (drain.quantity::<Level>("up_invert"), down_invert) {
        (Some(up), Some(down)) => Some(down + (up - down) / 2.0),
        (up, down) => up.or(down),
    };
    let over_invert = match (top, middle) {
        (Some(top), Some(middle)) => top - middle,
        _ => outside.unwrap_or(Length::ZERO) + STONE_OVER_PIPE,
    };
    let stone = match (pipe, length) {
        (Some(pipe), Some(length)) => Some(Trench {
            length,
            width,
            stone_depth: over_invert + below_pipe,
            porosity,
            pipe_bore: pipe.bore,
            pipe_outside: pipe.outside_diameter,
        }),
        _ => None,
    };
    let cover = if node.words("cover") == Some("stone") { TrenchCover::Stone } else { TrenchCover::Sod };
    Some(FrenchTrench { stone, width, below_pipe, top, cover })
}

/// How far the bottom lies below the pipe: so much below it, or a level.
fn bottom(reader: &mut Reader<'_>, node: &Node, text: &str, down_invert: Option<Level>) -> Option<Length> {
    let words = text.trim();
    let below = ["below the pipe", "below pipe", "under the pipe", "under pipe", "below"]
        .iter()
        .find_map(|end| words.strip_suffix(end))
        .map(str::trim);
    let (found, why) = match (below, down_invert) {
        (Some(length), _) => (read::<Length>(length), "a length and the words `below pipe`"),
        (None, Some(invert)) => {
            let level = read::<Level>(words);
            (level.map(|level| invert - level), "a level")
        }
        (None, None) => {
            reader.error(
                ProblemKind::MissingKey,
                node.place_of("bottom"),
                "the bottom of the trench is a level, but the drain has none".to_owned(),
                "against what?",
                "write `bottom = \"4 in below pipe\"`, or give the drain its `down_invert`",
            );
            return None;
        }
    };
    match found {
        Ok(length) if length >= Length::ZERO && length < Length::from_ft(10.0) => Some(length),
        Ok(length) => {
            let message = format!(
                "the bottom of the trench would lie {} below its pipe",
                Amount::small(length).show(reader.units)
            );
            reader.error(
                ProblemKind::LevelOrder,
                node.place_of("bottom"),
                message,
                "not just below the pipe",
                "write `bottom = \"4 in below pipe\"`, or a level at or below the pipe's lower end",
            );
            None
        }
        Err(_) => {
            let problem = Problem::error(
                ProblemKind::BadQuantity,
                node.place_of("bottom"),
                format!("`{}` is not {why}", echo(text)),
            )
            .label("not understood")
            .help(format!("write {}, or a level such as {}", quoted("4 in below pipe"), quoted("93.8 ft")));
            reader.say(problem);
            None
        }
    }
}
