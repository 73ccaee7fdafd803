//! Groundwater: its level, and how the ground lets it through.

use crate::catalog::{self, GroundEntry};
use crate::collection::measured::{INVERSE_AUGER_HOLE_SOURCE, inverse_auger_hole};
use crate::quantity::{Amount, Duration, Level, Velocity};
use crate::site::problem::{Problem, ProblemKind};
use crate::site::tree::Node;
use crate::site::walk::Reader;
use crate::site::{Ground, Groundwater, Measured, Soil};

/// A conductivity that differs from its texture's by more than this is most likely in another unit: common practice, no
/// source.
const FAR_FROM_TEXTURE: f64 = 100.0;

pub(super) fn groundwater(
    reader: &mut Reader<'_>,
    node: &Node,
    root: &Node,
    soil: Option<&Soil>,
    measured: &Measured,
) -> Groundwater {
    Groundwater {
        seasonal_high: node.quantity("seasonal_high"),
        storm_high: storm_high(reader, node),
        inflow: node.quantity("inflow"),
        drawdown: node.quantity("drawdown"),
        tight_layer: node.quantity("tight_layer"),
        reach: node.quantity("reach"),
        ground: ground(reader, node, root, soil, measured),
        basin_perforated: root.node("basin").and_then(|basin| basin.flag("perforated")).unwrap_or(false),
    }
}

/// How high groundwater rises in a storm, and in which time.
fn storm_high(reader: &mut Reader<'_>, node: &Node) -> Option<(Level, Duration)> {
    let high = node.quantity::<Level>("storm_high")?;
    let wet = node.quantity::<Level>("seasonal_high");
    if wet.is_none_or(|wet| high < wet) {
        let message = match wet {
            Some(wet) => format!(
                "groundwater rises to {} in a storm, which is below the {} of a wet season",
                reader.show(high),
                reader.show(wet)
            ),
            None => "groundwater rises in a storm, but from which level is not said".to_owned(),
        };
        let problem = Problem::error(ProblemKind::LevelOrder, node.place_of("storm_high"), message)
            .label("rises from where?")
            .help("`seasonal_high` is where it stands before the storm, `storm_high` the level that it rises to");
        reader.say(problem);
        return None;
    }
    let rises_over = node.quantity("rises_over").unwrap_or_else(|| {
        let built_in = &catalog::default_limits().groundwater_rises_over;
        reader.assume("time in which groundwater rises", Amount::of(built_in.value), built_in.source);
        built_in.value
    });
    Some((high, rises_over))
}

/// Conductivity: entered, from a test hole, or by the texture; with the porosity that drains.
fn ground(
    reader: &mut Reader<'_>,
    node: &Node,
    root: &Node,
    soil: Option<&Soil>,
    measured: &Measured,
) -> Option<Ground> {
    let texture = soil.and_then(|soil| soil.texture.as_deref()).and_then(catalog::ground);
    let drainable = node.number("drainable_porosity").map(|share| (share, share, share)).or_else(|| {
        let (low, high) = (texture?.drainable_low, texture?.drainable_high);
        Some(((low * high).sqrt(), low, high))
    });
    let factor = catalog::default_limits().conductivity_factor.value;
    let of = |conductivity: Velocity, basis: String| Ground {
        conductivity,
        conductivity_low: conductivity / factor,
        conductivity_high: conductivity * factor,
        drainable,
        basis,
        settled: false,
    };
    let own = node.quantity::<Velocity>("conductivity").map(|conductivity| (node, conductivity, "[groundwater]"));
    let soil_node = root.node("soil");
    let of_soil = soil_node.and_then(|soil| Some((soil, soil.quantity::<Velocity>("conductivity")?, "[soil]")));
    for (node, conductivity, _) in own.iter().chain(&of_soil) {
        unlike_texture(reader, node, *conductivity, texture);
    }
    if let Some((_, conductivity, table)) = own {
        return Some(Ground { settled: true, ..of(conductivity, format!("entered in {table}")) });
    }
    if let Some(hole) = measured.test_hole {
        let found = inverse_auger_hole(hole.diameter / 2.0, hole.from, hole.to, hole.over);
        if found > Velocity::ZERO {
            return Some(of(found, format!("the test hole, {INVERSE_AUGER_HOLE_SOURCE}")));
        }
    }
    if let Some((_, conductivity, table)) = of_soil {
        return Some(of(conductivity, format!("entered in {table}")));
    }
    let entry = texture?;
    let (low, high) = (entry.conductivity_low, entry.conductivity_high);
    let middle = Velocity::from_ms((low.ms() * high.ms()).sqrt());
    // where no groundwater is known, nothing is worked out with it
    if node.has("seasonal_high") {
        reader.assume(
            "conductivity of the ground",
            Amount::seepage(middle),
            format!("{}, by its texture, the geometric mean of two averages: {}", entry.texture, entry.source),
        );
    }
    let source = format!("{}, by its texture", entry.texture);
    // the averages of a class do not bound what one yard has
    Some(Ground { conductivity_low: low / factor, conductivity_high: high * factor, ..of(middle, source) })
}

/// Warns of a conductivity that its texture cannot have.
fn unlike_texture(reader: &mut Reader<'_>, node: &Node, entered: Velocity, texture: Option<&GroundEntry>) {
    let Some(entry) = texture else { return };
    let (low, high) = (entry.conductivity_low / FAR_FROM_TEXTURE, entry.conductivity_high * FAR_FROM_TEXTURE);
    if (low..=high).contains(&entered) {
        return;
    }
    let place = node.place_of("conductivity");
    // one word about a conductivity that is odd by itself is enough
    if reader.problems.iter().any(|problem| problem.span.as_ref() == Some(&place)) {
        return;
    }
    let show = |conductivity| Amount::seepage(conductivity).show(reader.units);
    let message = format!(
        "a conductivity of {} is not that of {}, which has {} to {}",
        show(entered),
        entry.texture,
        show(entry.conductivity_low),
        show(entry.conductivity_high)
    );
    let problem = Problem::warning(ProblemKind::OddValue, place, message)
        .label("is the unit right?")
        .help("1 in/h is 2 ft/day, 1 cm/s is 2835 ft/day, 1 m/day is 3.3 ft/day, 1 um/s is 0.28 ft/day; infiltration, which is often less, is `soil.infiltration`");
    reader.say(problem);
}
