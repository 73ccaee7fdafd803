//! What the crew works by, and what was measured at the first start.

use super::{MOST_ENTRIES, too_many};
use crate::hydraulics::Surface;
use crate::quantity::Length;
use crate::site::keys::{self, Key};
use crate::site::problem::{Problem, ProblemKind};
use crate::site::tree::Node;
use crate::site::walk::Reader;
use crate::site::words::unknown_name;
use crate::site::{Crew, Limit, MeasuredStartUp, Setup};

/// What is laid under a basin where nothing was entered: common practice, no source.
const USUAL_BASIN_BEDDING: Length = Length::from_inch(6.0);

pub(super) fn setups(reader: &mut Reader<'_>, root: &Node) -> Vec<Setup> {
    let Some(levels) = root.node("levels") else { return Vec::new() };
    let count = levels.nodes("setups").len();
    if too_many(reader, levels.place_of("setups"), "setups of the instrument", count, MOST_ENTRIES) {
        return Vec::new();
    }
    let one = |node: &Node| {
        Some(Setup {
            name: node.text("name")?,
            benchmark: node.quantity("benchmark")?,
            rod_on_benchmark: node.quantity("rod_on_benchmark")?,
        })
    };
    levels.nodes("setups").iter().filter_map(one).collect()
}

/// The words of a key for what lies over or round something.
pub(super) fn surface(node: &Node, key: &str) -> Option<Surface> {
    match node.words(key)? {
        "lawn" => Some(Surface::Lawn),
        "walk" => Some(Surface::Walk),
        "drive" => Some(Surface::Drive),
        "bare" => Some(Surface::Bare),
        _ => None,
    }
}

/// What lies over or around a part: its own word, or the crew's for all.
pub(super) fn surface_of(root: &Node, node: &Node, key: &str) -> Option<Surface> {
    surface(node, key).or(root.node("crew").and_then(|crew| surface(crew, "surface")))
}

pub(super) fn crew(reader: &mut Reader<'_>, root: &Node, setups: &[Setup]) -> Crew {
    let keys = keys::at_path(["crew"]).and_then(Key::keys).unwrap_or(&[]);
    let none = Node::new("crew", keys, root.place.clone());
    let node = root.node("crew").unwrap_or(&none);
    let setup = node.text("setup");
    if let Some(name) = &setup
        && !setups.iter().any(|known| &known.name == name)
        && !reader.setups_broken
    {
        let known: Vec<&str> = setups.iter().map(|known| known.name.as_str()).collect();
        reader.say(unknown_name("setup of `[levels]`", name, node.place_of("setup"), &known));
    }
    Crew {
        surface: surface(node, "surface"),
        round_basin: root.node("basin").and_then(|basin| surface_of(root, basin, "around")),
        station_spacing: node.quantity("station_spacing"),
        bedding: node.quantity("bedding").unwrap_or(Length::ZERO),
        basin_bedding: match node.quantity("basin_bedding") {
            Some(value) => Limit { value, source: "entered in [crew]".to_owned() },
            None => Limit { value: USUAL_BASIN_BEDDING, source: "common practice, no source".to_owned() },
        },
        setup,
    }
}

/// What was measured at the first start, with the depth of the basin that the water fell in.
pub(super) fn start_up(reader: &mut Reader<'_>, measured: &Node, depth: Option<Length>) -> MeasuredStartUp {
    let Some(node) = measured.node("start_up") else { return MeasuredStartUp::default() };
    let pairs = [
        ("bucket", "bucket_fills_in", "bucket_fills_in = \"9 s\""),
        ("bucket_fills_in", "bucket", "bucket = \"5 gal\""),
        ("fell", "empties_in", "empties_in = \"62 s\""),
        ("inflow", "empties_in", "empties_in = \"62 s\""),
    ];
    for (has, lacks, example) in pairs {
        if node.has(has) && !node.has(lacks) {
            let message = format!("at the first start `{has}` was measured, but not `{lacks}`");
            let problem = Problem::error(ProblemKind::MissingKey, node.place_of(has), message)
                .label("by itself it tells nothing")
                .help(format!("add `{example}`"));
            reader.say(problem);
        }
    }
    for key in ["fell", "rises_after_stop"] {
        if let (Some(moved), Some(depth)) = (node.quantity::<Length>(key), depth)
            && moved > depth
        {
            let what = if key == "fell" { "fell" } else { "rose" };
            let message = format!(
                "at the first start the water {what} by {}, in a basin {} deep",
                reader.short(moved),
                reader.short(depth)
            );
            let problem = Problem::error(ProblemKind::Conflict, node.place_of(key), message)
                .label("more than the basin is deep")
                .help("feet or inches? a change of the level is meant, not a depth below the rim");
            reader.say(problem);
        }
    }
    MeasuredStartUp {
        empties_in: node.quantity("empties_in"),
        fell: node.quantity("fell"),
        inflow: node.quantity("inflow"),
        rises_after_stop: node.quantity("rises_after_stop"),
        bucket: node.quantity("bucket").zip(node.quantity("bucket_fills_in")),
    }
}
