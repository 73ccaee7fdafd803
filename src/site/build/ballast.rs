//! What holds the basin down: flange, collar, the weight of the soil.

use crate::basin::Basin;
use crate::basin::flotation::{Collar, ring_volume};
use crate::catalog;
use crate::quantity::factor::GRAVITY;
use crate::quantity::{Density, Level, Volume, Weight};
use crate::site::Ballast;
use crate::site::problem::{Problem, ProblemKind};
use crate::site::tree::Node;
use crate::site::walk::Reader;

/// The ballast of a basin. Nothing where what was entered contradicts itself.
pub(super) fn ballast(reader: &mut Reader<'_>, root: &Node, basin: Option<&Basin>) -> Option<Ballast> {
    let limits = catalog::default_limits();
    let node = root.node("basin")?;
    let soil = root.node("soil").and_then(|soil| soil.quantity::<Density>("saturated_density"));
    let concrete = limits.concrete.value;
    let collar = match node.node("collar") {
        Some(collar) => Some(self::collar(reader, collar, concrete, basin)?),
        None => None,
    };
    let water = node.quantity::<Level>("water_outside");
    if let (Some(water), Some(top)) = (water, node.quantity::<Level>("rim"))
        && water > top.max(node.quantity("ground").unwrap_or(top))
    {
        let problem = Problem::error(
            ProblemKind::LevelOrder,
            node.place_of("water_outside"),
            format!("water outside at {} would stand above the basin's rim", reader.show(water)),
        )
        .label("above the ground")
        .also(node.at("rim"), "the rim")
        .help("it is the level of the water in the ground: at most the ground beside the basin");
        reader.say(problem);
        return None;
    }
    Some(Ballast {
        flange: node.quantity("flange"),
        collar,
        water,
        soil_saturated: soil.unwrap_or(limits.saturated_soil.value),
        concrete,
        entered: ["weight", "outside_diameter", "wall", "flange", "collar"].iter().any(|key| node.has(key)),
    })
}

fn collar(reader: &mut Reader<'_>, node: &Node, concrete: Density, basin: Option<&Basin>) -> Option<Collar> {
    let ring = match (node.quantity("width"), node.quantity("thickness")) {
        (Some(width), Some(thickness)) => Some((width, thickness)),
        (None, None) => None,
        (width, _) => {
            let (has, lacks) = if width.is_some() { ("width", "thickness") } else { ("thickness", "width") };
            reader.error(
                ProblemKind::MissingKey,
                node.place_of(has),
                format!("the collar has a `{has}` but no `{lacks}`"),
                "one of two",
                &format!("add `{lacks} = \"6 in\"`, or give its `volume`"),
            );
            return None;
        }
    };
    let weight = node.quantity::<Weight>("weight");
    let volume = node
        .quantity::<Volume>("volume")
        .or_else(|| {
            ring.zip(basin).map(|((width, thickness), basin)| ring_volume(basin.outside_across(), width, thickness))
        })
        .or_else(|| weight.map(|weight| Volume::from_m3(weight.n() / GRAVITY / concrete.kgm3())));
    if volume.is_none() && ring.is_none() {
        reader.error(
            ProblemKind::MissingKey,
            node.place.clone(),
            "nothing says how large the collar is".to_owned(),
            "an empty collar",
            "add `volume = \"4 ft3\"`, or `width` and `thickness`",
        );
        return None;
    }
    Some(Collar { volume: volume.unwrap_or(Volume::ZERO), ring, density: concrete, weight_in_air: weight })
}
