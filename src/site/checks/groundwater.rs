//! Groundwater against the ground, the tight layer and the pump.

use crate::quantity::{Length, Level};
use crate::site::problem::{Problem, ProblemKind};
use crate::site::tree::Node;
use crate::site::walk::Reader;

pub(in crate::site) fn groundwater(reader: &mut Reader<'_>, root: &Node) {
    let Some(node) = root.node("groundwater") else { return };
    let Some(high) = node.quantity::<Level>("seasonal_high") else { return };
    above_ground(reader, root, node, high);
    outside_the_basin(reader, root, node, high);
    drawn_down(reader, node, high);
    if let Some(tight) = node.quantity::<Level>("tight_layer").filter(|tight| *tight >= high) {
        let message =
            format!("the tight layer at {} is not below groundwater at {}", reader.show(tight), reader.show(high));
        let problem = Problem::error(ProblemKind::LevelOrder, node.place_of("tight_layer"), message)
            .label("not below groundwater")
            .also(node.at("seasonal_high"), "groundwater")
            .help("groundwater stands on the tight layer; are they depths below the ground, which would have to be levels?");
        reader.say(problem);
    }
}

/// The water outside that flotation is judged with is not below what the ground has in a wet season.
fn outside_the_basin(reader: &mut Reader<'_>, root: &Node, node: &Node, high: Level) {
    let Some(basin) = root.node("basin") else { return };
    let Some(outside) = basin.quantity::<Level>("water_outside").filter(|outside| *outside < high) else { return };
    let message = format!(
        "water outside the basin is entered at {}, {} below groundwater in a wet season at {}",
        reader.show(outside),
        reader.short(high - outside),
        reader.show(high)
    );
    let problem = Problem::warning(ProblemKind::LevelOrder, basin.place_of("water_outside"), message)
        .label("below groundwater")
        .also(node.at("seasonal_high"), "groundwater")
        .help("an empty basin floats in the highest water: leave it out to judge flotation with the ground full, or raise it");
    reader.say(problem);
}

/// Groundwater cannot be lowered below the layer that it stands on.
fn drawn_down(reader: &mut Reader<'_>, node: &Node, high: Level) {
    let Some((drawdown, tight)) = node.quantity::<Length>("drawdown").zip(node.quantity::<Level>("tight_layer")) else {
        return;
    };
    if tight >= high || high - drawdown >= tight {
        return;
    }
    let message = format!(
        "groundwater at {} lowered by {} would stand below the tight layer at {}",
        reader.show(high),
        reader.short(drawdown),
        reader.show(tight)
    );
    let problem = Problem::warning(ProblemKind::LevelOrder, node.place_of("drawdown"), message)
        .label(format!("more than the {} of water over the tight layer", reader.short(high - tight)))
        .also(node.at("tight_layer"), "the tight layer")
        .help("a drain lowers the water to its own level at the most, and never below the layer that it stands on");
    reader.say(problem);
}

fn above_ground(reader: &mut Reader<'_>, root: &Node, node: &Node, high: Level) {
    // a rim below the floor is spoken of elsewhere
    let basin = root.node("basin").filter(|basin| {
        basin.quantity::<Level>("rim").zip(basin.quantity::<Level>("floor")).is_none_or(|(rim, floor)| rim > floor)
    });
    let beside = basin.and_then(|basin| Some((basin.quantity::<Level>("ground")?, basin.at("ground"), "the ground")));
    let beside = beside.or_else(|| {
        let basin = basin?;
        Some((basin.quantity::<Level>("rim")?, basin.at("rim"), "the basin's rim"))
    });
    if let Some((ground, place, what)) = beside.filter(|(ground, ..)| high > *ground) {
        let message = format!(
            "groundwater at {} would stand {} above {what} at {}",
            reader.show(high),
            reader.short(high - ground),
            reader.show(ground)
        );
        let problem = Problem::error(ProblemKind::LevelOrder, node.place_of("seasonal_high"), message)
            .label("above the ground: that is a pond")
            .also(place, what)
            .help("it is a level from the same benchmark, not a depth; a digit, a rod reading or a benchmark is wrong");
        reader.say(problem);
        return;
    }
    let lowest = root
        .nodes("inlet")
        .iter()
        .filter_map(|inlet| Some((inlet, inlet.quantity::<Level>("rim")?)))
        .reduce(|least, next| if next.1 < least.1 { next } else { least });
    if let Some((inlet, rim)) = lowest.filter(|(_, rim)| high > *rim) {
        let message = format!(
            "groundwater at {} would stand {} over the grate `{}` at {} in a wet season, rain or not",
            reader.show(high),
            reader.short(high - rim),
            crate::site::suggest::echo(inlet.words("name").unwrap_or("?")),
            reader.show(rim)
        );
        let problem = Problem::warning(ProblemKind::LevelOrder, node.place_of("seasonal_high"), message)
            .label("above the lowest grate")
            .also(inlet.at("rim"), "the grate")
            .help("is it a level from the same benchmark? If so, the low spot is a pond in a wet season, and the pump drains the ground");
        reader.say(problem);
    }
}
