//! Soil, groundwater, inflows, low spots, inlets, drains, places to protect.

use crate::catalog;
use crate::hydrology::GreenAmpt;
use crate::quantity::{Amount, Area, Level};
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::{echo, listed, nearest};
use crate::site::tree::Node;
use crate::site::walk::Reader;
use crate::site::{Drain, Groundwater, Inlet, LowSpot, Protected, Soil, SteadyInflow};

/// How full a soil's pores are when the storm begins.
const SATURATION: f64 = 0.5;

pub(super) fn soil(reader: &mut Reader<'_>, root: &Node) -> Option<Soil> {
    let node = root.node("soil")?;
    let texture = node.text("texture");
    let saturation = node.number("initial_saturation").unwrap_or(SATURATION);
    let mut green_ampt = None;
    if let Some(name) = &texture {
        if let Some(entry) = catalog::soil(name) {
            green_ampt = Some(GreenAmpt {
                conductivity: entry.conductivity,
                suction: entry.suction,
                moisture_deficit: (1.0 - saturation) * entry.effective_porosity,
            });
            // a steady rate entered goes before what the texture says
            let used = !node.has("infiltration");
            if used && !node.has("initial_saturation") {
                reader.assume(
                    "initial saturation of the soil",
                    Amount::of(SATURATION),
                    "a soil wet by earlier rain; common practice, no source",
                );
            }
            let why = format!("{}, by its texture: {}", entry.texture, entry.source);
            if used {
                reader.assume("conductivity of the soil in infiltration", Amount::of(entry.conductivity), why);
            }
        } else {
            let known = catalog::textures();
            let mut problem = Problem::error(
                ProblemKind::UnknownSoil,
                node.place_of("texture"),
                format!("`{}` is not a texture class in the tables", echo(name)),
            )
            .label("not known");
            problem = match nearest(name, known.iter().copied()) {
                Some(near) => problem.help(format!("did you mean `{near}`?")).replacement(format!("\"{near}\"")),
                None => problem.help(format!("the classes are {}", listed(known, "and"))),
            };
            reader.say(problem);
        }
    }
    Some(Soil { texture, infiltration: node.quantity("infiltration"), green_ampt })
}

pub(super) fn groundwater(node: &Node) -> Groundwater {
    Groundwater { seasonal_high: node.quantity("seasonal_high"), inflow: node.quantity("inflow") }
}

pub(super) fn inflows(root: &Node) -> Vec<SteadyInflow> {
    let read = |node: &Node| {
        Some(SteadyInflow { name: node.text("name")?, flow: node.quantity("flow")?, drains_to: node.text("drains_to") })
    };
    root.nodes("inflow").iter().filter_map(read).collect()
}

pub(super) fn low_spots(reader: &mut Reader<'_>, root: &Node) -> Option<Vec<LowSpot>> {
    let mut spots = Vec::new();
    let mut whole = true;
    for node in root.nodes("low_spot") {
        match low_spot(reader, node) {
            Some(spot) => spots.push(spot),
            None => whole = false,
        }
    }
    whole.then_some(spots)
}

fn low_spot(reader: &mut Reader<'_>, node: &Node) -> Option<LowSpot> {
    let pairs = node.pairs("surface")?;
    let name = node.text("name")?;
    if pairs.len() < 2 {
        reader.error(
            ProblemKind::LevelOrder,
            node.place_of("surface"),
            format!("the surface of low spot `{name}` needs at least two pairs of level and area"),
            "too few",
            "write `[[\"96.0 ft\", \"0 ft2\"], [\"96.5 ft\", \"1300 ft2\"]]`",
        );
        return None;
    }
    for two in pairs.windows(2) {
        let [(low, small, _), (high, large, place)] = two else { continue };
        let what = if high <= low {
            "the levels do not rise"
        } else if large < small {
            "the water surface shrinks as the level rises"
        } else {
            continue;
        };
        reader.error(
            ProblemKind::LevelOrder,
            place.clone(),
            format!("in the surface of low spot `{name}` {what}"),
            "against the pair before",
            "list the pairs from the lowest level up; a higher level covers as much or more",
        );
        return None;
    }
    let surface: Vec<(Level, Area)> =
        pairs.iter().map(|(level, area, _)| (Level::from_m(*level), Area::from_m2(*area))).collect();
    let spills_at = node.quantity::<Level>("spills_at");
    let lowest = surface.first().map(|(level, _)| *level)?;
    if let Some(spills) = spills_at.filter(|spills| *spills <= lowest) {
        let message = format!(
            "low spot `{name}` spills at {}, which is not above its lowest point at {}",
            reader.show(spills),
            reader.show(lowest)
        );
        let problem = Problem::error(ProblemKind::LevelOrder, node.place_of("spills_at"), message)
            .label("spills before it fills")
            .also(node.at("surface"), "its surface");
        reader.say(problem);
        return None;
    }
    Some(LowSpot { name, surface, spills_at })
}

pub(super) fn inlets(root: &Node) -> Vec<Inlet> {
    let read = |node: &Node| {
        Some(Inlet {
            name: node.text("name")?,
            low_spot: node.text("low_spot"),
            rim: node.quantity("rim")?,
            outlet_invert: node.quantity("outlet_invert"),
        })
    };
    root.nodes("inlet").iter().filter_map(read).collect()
}

pub(super) fn drains(reader: &mut Reader<'_>, root: &Node) -> Vec<Drain> {
    let mut drains = Vec::new();
    for node in root.nodes("drain") {
        let french = node.words("kind") == Some("french");
        let up_invert = node.quantity::<Level>("up_invert");
        let down_invert = node.quantity::<Level>("down_invert");
        if let (Some(up), Some(down)) = (up_invert, down_invert)
            && down > up
        {
            let name = echo(node.words("name").unwrap_or("drain"));
            let problem = Problem::warning(
                ProblemKind::LevelOrder,
                node.place_of("down_invert"),
                format!("drain `{name}` runs uphill by {}", reader.show(down - up)),
            )
            .label(format!("higher than its upper end at {}", reader.show(up)))
            .also(node.at("up_invert"), "the upper end")
            .help("are the two inverts swapped, or was a rod reading entered as a level?");
            reader.say(problem);
        }
        let read = || {
            Some(Drain {
                name: node.text("name")?,
                from: node.text("from"),
                to: node.text("to")?,
                french,
                length: node.quantity("length")?,
                up_invert,
                down_invert,
            })
        };
        drains.extend(read());
    }
    drains
}

pub(super) fn protected(root: &Node) -> Vec<Protected> {
    let read = |node: &Node| Some(Protected { name: node.text("name")?, level: node.quantity("level")? });
    root.nodes("protect").iter().filter_map(read).collect()
}
