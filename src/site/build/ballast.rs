//! What holds the basin down: flange, collar, the weight of the soil.

use crate::basin::flotation::{Collar, ring_volume};
use crate::basin::{Basin, USUAL_WALL};
use crate::catalog;
use crate::quantity::factor::GRAVITY;
use crate::quantity::{Amount, Density, Length, Level, UnitSystem, Volume, Weight};
use crate::site::Ballast;
use crate::site::problem::{Problem, ProblemKind};
use crate::site::tree::Node;
use crate::site::walk::Reader;

/// Lighter is no concrete, heavier neither: lightweight concrete has about 100 lb/ft3, that with steel in it 150; common
/// practice, no source.
const LIGHT_KGM3: f64 = 100.0 * LB_FT3;
const HEAVY_KGM3: f64 = 200.0 * LB_FT3;
/// A pound in a cubic foot, kg/m³.
const LB_FT3: f64 = 16.018_463;
/// Two volumes that differ by no more than this factor are one: common practice, no source.
const ALIKE: f64 = 1.25;

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
    if let Some(basin) = basin {
        flange(reader, node, basin);
    }
    let water = node.quantity::<Level>("water_outside");
    if let (Some(water), Some(top)) = (water, node.quantity::<Level>("rim"))
        && node.quantity::<Level>("floor").is_none_or(|floor| top > floor)
        && water > top.max(node.quantity("ground").unwrap_or(top))
    {
        let problem = Problem::error(
            ProblemKind::LevelOrder,
            node.place_of("water_outside"),
            format!(
                "water outside at {} would stand {} above the ground and the basin's rim",
                reader.show(water),
                reader.short(water - top.max(node.quantity("ground").unwrap_or(top)))
            ),
        )
        .label("above the ground")
        .also(node.at("ground"), "the ground")
        .also(node.at("rim"), "the rim")
        .help("it is the level of the water in the ground: at most the ground beside the basin");
        reader.say(problem);
        return None;
    }
    let entered = ["weight", "outside_diameter", "wall", "flange", "collar"].iter().any(|key| node.has(key));
    if entered && !node.flag("perforated").unwrap_or(false) {
        taken(reader, node, soil.is_none(), collar);
    }
    Some(Ballast {
        flange: node.quantity("flange"),
        collar,
        water,
        soil_saturated: soil.unwrap_or(limits.saturated_soil.value),
        concrete,
        entered,
    })
}

/// Says what is taken where lift and weight are judged and it was not entered.
fn taken(reader: &mut Reader<'_>, node: &Node, no_soil: bool, collar: Option<Collar>) {
    let limits = catalog::default_limits();
    if !node.has("outside_diameter") && !node.has("wall") {
        reader.assume("wall of the basin", Amount::small(USUAL_WALL), "common practice, no source");
    }
    if no_soil && (node.has("flange") || collar.is_some_and(|collar| collar.ring.is_some())) {
        let soil = &limits.saturated_soil;
        reader.assume("soil full of water over flange and collar", Amount::of(soil.value), soil.source);
    }
    if collar.is_some_and(|collar| collar.weight_in_air.is_none()) {
        reader.assume("concrete of the collar", Amount::of(limits.concrete.value), limits.concrete.source);
    }
}

fn collar(reader: &mut Reader<'_>, node: &Node, concrete: Density, basin: Option<&Basin>) -> Option<Collar> {
    let ring = match (node.quantity("width"), node.quantity("thickness")) {
        (Some(width), Some(thickness)) => Some((width, thickness)),
        (None, None) => None,
        // one that could not be read has been spoken of
        _ if node.has("width") && node.has("thickness") => None,
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
    let of_ring =
        ring.zip(basin).map(|((width, thickness), basin)| ring_volume(basin.outside_across(), width, thickness));
    unlike_ring(reader, node, of_ring);
    unlike_concrete(reader, node, of_ring);
    let volume = node
        .quantity::<Volume>("volume")
        .or(of_ring)
        .or_else(|| weight.map(|weight| Volume::from_m3(weight.n() / GRAVITY / concrete.kgm3())));
    let lost = ["volume", "weight", "width", "thickness"].iter().any(|key| node.has(key));
    if volume.is_none() && ring.is_none() && !lost {
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

/// A volume of concrete.
fn cubic(reader: &Reader<'_>, volume: Volume) -> String {
    match reader.units {
        UnitSystem::Us => format!("{:.1} ft3", volume.ft3()),
        UnitSystem::Metric => format!("{:.3} m3", volume.m3()),
    }
}

/// Warns of a volume that the ring entered beside it does not have.
fn unlike_ring(reader: &mut Reader<'_>, node: &Node, ring: Option<Volume>) {
    let Some((entered, ring)) = node.quantity::<Volume>("volume").zip(ring) else { return };
    if (ring / ALIKE..=ring * ALIKE).contains(&entered) {
        return;
    }
    let (entered, ring) = (cubic(reader, entered), cubic(reader, ring));
    let message =
        format!("the collar's volume is entered as {entered}, and a ring of its width and thickness has {ring}");
    let problem = Problem::warning(ProblemKind::Conflict, node.place_of("volume"), message)
        .label("this is taken")
        .also(node.at("width"), "the width")
        .also(node.at("thickness"), "the thickness")
        .help("leave `volume` out where the collar is a ring; a cubic yard is 27 ft3");
    reader.say(problem);
}

/// Warns of a collar that is lighter or heavier than any concrete of its size.
fn unlike_concrete(reader: &mut Reader<'_>, node: &Node, ring: Option<Volume>) {
    let volume = node.quantity::<Volume>("volume").or(ring).filter(|volume| *volume > Volume::ZERO);
    let Some((weight, volume)) = node.quantity::<Weight>("weight").zip(volume) else { return };
    let density = Density::from_kgm3(weight.n() / GRAVITY / volume.m3());
    if (LIGHT_KGM3..=HEAVY_KGM3).contains(&density.kgm3()) {
        return;
    }
    let message = format!(
        "a collar of {} that weighs {} has {}, and plain concrete about {}",
        cubic(reader, volume),
        reader.show(weight),
        reader.show(density),
        reader.show(catalog::default_limits().concrete.value)
    );
    let place = if node.has("volume") { node.at("volume") } else { node.at("width") };
    let problem = Problem::warning(ProblemKind::Conflict, node.place_of("weight"), message)
        .label(if density.kgm3() < LIGHT_KGM3 { "too light for its size" } else { "too heavy for its size" })
        .also(place, "its size")
        .help("leave `weight` out for plain concrete; a unit or a digit is wrong");
    reader.say(problem);
}

/// Warns of a flange that does not stand out beyond the wall.
fn flange(reader: &mut Reader<'_>, node: &Node, basin: &Basin) {
    let across = basin.outside_across();
    let Some(flange) = node.quantity::<Length>("flange").filter(|flange| *flange <= across) else { return };
    let small = |length| Amount::small(length).show(reader.units);
    let message =
        format!("the flange is {} across, and the basin {} outside: no soil lies on it", small(flange), small(across));
    let problem = Problem::warning(ProblemKind::Conflict, node.place_of("flange"), message)
        .label("holds nothing down")
        .also(node.at("outside_diameter").or(node.at("inside_diameter")), "the basin")
        .help(if flange < across / 2.0 {
            let (out, all) = (small(flange), small(across + flange * 2.0));
            format!("it is a diameter: of one that stands out {out} all round, write `flange = \"{all}\"`")
        } else {
            "it is the diameter of a plate wider than the basin: leave it out where there is none".to_owned()
        });
    reader.say(problem);
}
