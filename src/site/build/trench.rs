//! The trench of a French drain.

use super::drains::Lies;
use crate::catalog;
use crate::collection::Trench;
use crate::hydraulics::Pipe;
use crate::quantity::{Amount, Length, Level, ReadError, read};
use crate::site::meant;
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::echo;
use crate::site::tree::Node;
use crate::site::walk::Reader;
use crate::site::words::quoted;
use crate::site::{French, FrenchTrench, TrenchCover};

/// The stone goes this far over the pipe where its top was not entered: common practice, no source.
const STONE_OVER_PIPE: Length = Length::from_inch(12.0);
/// With more soil than this over the stone no runoff gets in: common practice, no source.
const SOIL_OVER_STONE: Length = Length::from_inch(3.0);
/// A trench's bottom lies no deeper below its pipe: common practice, no source.
const DEEPEST_BED: Length = Length::from_ft(10.0);

pub(super) fn french(
    reader: &mut Reader<'_>,
    node: &Node,
    pipe: Option<&Pipe>,
    length: Option<Length>,
    lies: &Lies,
) -> French {
    let trench = node.node("trench").and_then(|trench| self::trench(reader, node, trench, pipe, length, lies));
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
    lies: &Lies,
) -> Option<FrenchTrench> {
    let width = node.quantity::<Length>("width")?;
    let below_pipe = match node.words("bottom") {
        Some(text) => bottom(reader, drain, node, text, lies.down_invert)?,
        None => Length::ZERO,
    };
    let stone_up = node.words("cover") == Some("stone");
    let ground = [lies.up_ground, drain.quantity::<Level>("down_ground")].into_iter().flatten().reduce(Level::min);
    // stone to the surface ends at the ground
    let top = node.quantity::<Level>("top").or(ground.filter(|_| stone_up));
    if let (Some(top), Some(ground), true) = (top, ground, stone_up)
        && ground - top > SOIL_OVER_STONE
    {
        let message = format!(
            "the cover is entered as stone, and the stone ends at {}, {} below the ground",
            reader.show(top),
            reader.short(ground - top)
        );
        let problem = Problem::warning(ProblemKind::Conflict, node.place_of("top"), message)
            .label("soil lies over it")
            .also(node.at("cover"), "stone up to the surface")
            .help("leave `top` out where the stone goes up to the ground, or write `cover = \"sod\"`");
        reader.say(problem);
    }
    let outside = pipe.map(|pipe| pipe.outside_diameter);
    // along a falling pipe the stone is as high as at its upper end
    let highest = lies.up_invert.or(lies.down_invert);
    if let (Some(top), Some(invert)) = (top, highest)
        && top < invert
    {
        let message = format!(
            "the stone ends at {}, which is {} below the pipe at {}",
            reader.show(top),
            reader.short(invert - top),
            reader.show(invert)
        );
        let problem = Problem::error(ProblemKind::LevelOrder, node.place_of("top"), message)
            .label("below the pipe")
            .also(drain.at("up_invert"), "the pipe's upper end")
            .help("`top` is the level of the top of the stone; a digit or a benchmark is wrong");
        reader.say(problem);
        return None;
    }
    over_ground(reader, drain, node, top, lies);
    if let Some(outside) = outside.filter(|outside| width <= *outside) {
        let small = |length| reader.short(length);
        let message = format!("the trench is {} wide, and the pipe in it is {} outside", small(width), small(outside));
        let problem = Problem::error(ProblemKind::Conflict, node.place_of("width"), message)
            .label("not wider than the pipe")
            .also(drain.at("size"), "the pipe")
            .help("stone lies on both sides of the pipe: a unit or a digit is wrong");
        reader.say(problem);
        return None;
    }
    let porosity = node.number("porosity").unwrap_or_else(|| {
        let usual = &catalog::default_limits().stone_porosity;
        reader.assume("room between the stones", Amount::of(usual.value), usual.source);
        usual.value
    });
    let middle = match (lies.up_invert, lies.down_invert) {
        (Some(up), Some(down)) => Some(down + (up - down) / 2.0),
        (up, down) => up.or(down),
    };
    let over_invert = if let (Some(top), Some(middle)) = (top, middle) {
        top - middle
    } else {
        reader.assume("stone over the pipe", Amount::small(STONE_OVER_PIPE), "common practice, no source");
        outside.unwrap_or(Length::ZERO) + STONE_OVER_PIPE
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
    let cover = if stone_up { TrenchCover::Stone } else { TrenchCover::Sod };
    Some(FrenchTrench { stone, width, below_pipe, top, cover })
}

/// Warns of stone that would stand above the ground.
fn over_ground(reader: &mut Reader<'_>, drain: &Node, node: &Node, top: Option<Level>, lies: &Lies) {
    let grounds = [lies.up_ground, drain.quantity::<Level>("down_ground")];
    let ground = grounds.into_iter().flatten().reduce(Level::max);
    let Some((top, ground)) = top.zip(ground).filter(|(top, ground)| top > ground) else { return };
    let message = format!(
        "the stone would end at {}, which is {} above the ground at {}",
        reader.show(top),
        reader.short(top - ground),
        reader.show(ground)
    );
    let problem = Problem::warning(ProblemKind::LevelOrder, node.place_of("top"), message)
        .label("above the ground")
        .also(drain.at("up_ground"), "the ground over its upper end")
        .also(drain.at("down_ground"), "the ground over its lower end")
        .help("`top` is the level of the top of the stone; a digit or a benchmark is wrong");
    reader.say(problem);
}

/// How far the bottom lies below the pipe: so much below it, or a level.
fn bottom(
    reader: &mut Reader<'_>,
    drain: &Node,
    node: &Node,
    text: &str,
    down_invert: Option<Level>,
) -> Option<Length> {
    const BELOW: [&str; 11] = [
        "below the pipe",
        "below pipe",
        "under the pipe",
        "under pipe",
        "beneath the pipe",
        "beneath pipe",
        "below it",
        "under it",
        "below",
        "under",
        "beneath",
    ];
    let words = text.trim();
    if let Some(length) = BELOW.iter().find_map(|end| words.strip_suffix(end)).map(str::trim) {
        return match read::<Length>(length) {
            Ok(length) => bed(reader, node, length),
            Err(error) => misread(reader, node, text, length, &error),
        };
    }
    let level = match read::<Level>(words) {
        Ok(level) => level,
        Err(error) => return misread(reader, node, text, words, &error),
    };
    if down_invert.is_none() && ["up_invert", "down_invert", "slope", "length"].iter().any(|key| lost(drain, key)) {
        // what it lies below could not be read, which has been said
        return None;
    }
    // what no level of this yard can be was meant as a depth
    let depth = read::<Length>(words.trim_start_matches('-')).ok().filter(|depth| *depth < DEEPEST_BED);
    let far = down_invert.is_none_or(|invert| (invert - level).abs() > DEEPEST_BED);
    if let Some(depth) = depth.filter(|_| far) {
        let place = node.place_of("bottom");
        let instead = quoted(&format!("{} below pipe", reader.short(depth)));
        let message = match down_invert {
            Some(invert) => format!(
                "the bottom of the trench is entered as the level {}, which is {} below its pipe at {}",
                reader.show(level),
                reader.short(invert - level),
                reader.show(invert)
            ),
            None => format!(
                "the bottom of the trench is entered as the level {}, and its pipe has none",
                reader.show(level)
            ),
        };
        let problem = Problem::error(ProblemKind::LevelOrder, place, message)
            .label("a depth, not a level")
            .help(format!("write {instead}"))
            .replacement(instead);
        reader.say(problem);
        return None;
    }
    let Some(invert) = down_invert else {
        reader.error(
            ProblemKind::MissingKey,
            node.place_of("bottom"),
            "the bottom of the trench is a level, but the drain has none".to_owned(),
            "against what?",
            "write `bottom = \"4 in below pipe\"`, or give the drain its `down_invert`",
        );
        return None;
    };
    bed(reader, node, invert - level)
}

/// Whether a key stands in the file and could not be read.
fn lost(node: &Node, key: &str) -> bool {
    node.entry(key).is_some_and(|entry| entry.value.is_none())
}

/// A depth of the bottom below the pipe, if it is one.
fn bed(reader: &mut Reader<'_>, node: &Node, depth: Length) -> Option<Length> {
    if depth >= Length::ZERO && depth < DEEPEST_BED {
        return Some(depth);
    }
    let where_to = if depth < Length::ZERO { "above" } else { "below" };
    let message = format!("the bottom of the trench would lie {} {where_to} its pipe", reader.short(depth.abs()));
    reader.error(
        ProblemKind::LevelOrder,
        node.place_of("bottom"),
        message,
        "not just below the pipe",
        "write `bottom = \"4 in below pipe\"`, or a level at or below the pipe's lower end",
    );
    None
}

/// Says why a bottom could not be read.
fn misread(reader: &mut Reader<'_>, node: &Node, text: &str, length: &str, error: &ReadError) -> Option<Length> {
    const FORMS: &str = "write so much below the pipe, such as \"4 in below pipe\", or a level, such as \"93.8 ft\"";
    let digits = meant::in_digits(length).filter(|digits| read::<Length>(digits).is_ok());
    // `4 in deep`: the longest start that is a length, among the first few words
    let starts_well = |length: &str| {
        let ends = length.match_indices(' ').map(|(at, _)| at).take(6).filter_map(|end| length.get(..end));
        ends.filter(|start| read::<Length>(start).is_ok()).fold(None, |_, longer| Some(longer.to_owned()))
    };
    let problem = Problem::error(
        ProblemKind::BadQuantity,
        node.place_of("bottom"),
        format!("the bottom of the trench is not understood: `{}`", echo(text)),
    );
    let meant = digits.or_else(|| starts_well(length)).and_then(|digits| read::<Length>(&digits).ok());
    reader.say(match meant {
        Some(length) => {
            let instead = quoted(&format!("{} below pipe", Amount::small(length).show(reader.units)));
            problem
                .label("how far below the pipe?")
                .help(format!("write {instead}, if that is meant; or a level, such as \"93.8 ft\""))
        }
        None if length.is_empty() => problem.label("how far?").help(FORMS),
        None => problem.label(error.to_string()).help(FORMS),
    });
    None
}
