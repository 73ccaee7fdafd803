//! The pumps and their curves.

use super::{MOST_ENTRIES, too_many};
use crate::pump_selection::{CurveError, Interpolation, Pump, PumpCurve};
use crate::quantity::{Flow, Head};
use crate::site::lists::CURVE_ADVICE;
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::echo;
use crate::site::tree::{Node, Place};
use crate::site::walk::Reader;

pub(super) fn pumps(reader: &mut Reader<'_>, root: &Node) -> Option<Vec<Pump>> {
    if too_many(reader, root.place_of("pump"), "pumps", root.nodes("pump").len(), 100) {
        return None;
    }
    let pumps: Vec<Option<Pump>> = root.nodes("pump").iter().map(|node| pump(reader, node)).collect();
    let pumps: Option<Vec<Pump>> = pumps.into_iter().collect();
    pumps.filter(|pumps| !pumps.is_empty())
}

fn pump(reader: &mut Reader<'_>, node: &Node) -> Option<Pump> {
    let curve = curve(reader, node);
    Some(Pump {
        name: node.text("name")?,
        curve: curve?,
        starts_per_hour: node.number("starts_per_hour"),
        minimum_run: node.quantity("minimum_run"),
        lowest_level: node.quantity("lowest_level"),
        height: node.quantity("height"),
        displaced: node.quantity("displaces"),
        passes: node.quantity("passes"),
        outlet_size: node.text("outlet_size"),
        power: node.quantity("power"),
        volts: node.number("volts"),
        running_amps: node.number("running_amps"),
        starting_amps: node.number("starting_amps"),
        efficiency: node.number("efficiency"),
        motor_efficiency: node.number("motor_efficiency"),
        price: node.number("price"),
    })
}

fn curve(reader: &mut Reader<'_>, node: &Node) -> Option<PumpCurve> {
    let pairs = node.pairs("curve")?;
    if too_many(reader, node.place_of("curve"), "points of the curve", pairs.len(), MOST_ENTRIES) {
        return None;
    }
    let name = echo(node.words("name").unwrap_or("pump"));
    let interpolation =
        if node.words("interpolation") == Some("straight") { Interpolation::Straight } else { Interpolation::Monotone };
    let points: Vec<(Flow, Head)> =
        pairs.iter().map(|(flow, head, _)| (Flow::from_m3s(*flow), Head::from_m(*head))).collect();
    let error = match PumpCurve::new(&points, interpolation) {
        Ok(curve) => {
            if droops_too_far(&curve) {
                let (_, highest) = curve.highest();
                let first = curve.points().next().map_or(Head::ZERO, |(_, head)| head);
                let message = format!(
                    "the curve of pump `{name}` begins at {} and rises to {}",
                    reader.show(first),
                    reader.show(highest)
                );
                let problem = Problem::warning(ProblemKind::BadCurve, node.place_of("curve"), message)
                    .label("rises to more than twice its first head")
                    .help("a pump gives its most head, or nearly, where it pumps next to nothing: is one of the heads in another unit, feet for metres?");
                reader.say(problem);
            }
            return Some(curve);
        }
        Err(error) => error,
    };
    let turned = points.first().zip(points.last()).is_some_and(|(first, last)| first.0 > last.0);
    // The curve counts from the lowest flow.
    let place = |index: usize| -> Option<Place> {
        let index = if turned { pairs.len().checked_sub(index + 1)? } else { index };
        pairs.get(index).map(|pair| pair.2.clone())
    };
    let shown = |reader: &Reader<'_>, index: usize| {
        let index = if turned { pairs.len().saturating_sub(index + 1) } else { index };
        points
            .get(index)
            .map(|(flow, head)| format!("{} at {}", reader.show(*head), reader.show(*flow)))
            .unwrap_or_default()
    };
    let whole = node.place_of("curve");
    let bad = |place: Option<Place>, message: String| {
        Problem::error(ProblemKind::BadCurve, place.unwrap_or_else(|| whole.clone()), message)
    };
    let problem = match error {
        CurveError::TooFewPoints => {
            let what = if points.is_empty() { "no point" } else { "one point only" };
            bad(None, format!("the curve of pump `{name}` has {what}")).label(what).help(CURVE_ADVICE)
        }
        CurveError::NotANumber(index) => {
            bad(place(index), format!("a point of the curve of pump `{name}` is below zero")).label("below zero")
        }
        CurveError::SameFlow(index) => bad(
            place(index),
            format!("the curve of pump `{name}` does not go by increasing flow here: {}", shown(reader, index)),
        )
        .label("not more flow than the pair before")
        .also(index.checked_sub(1).and_then(place), "the pair before")
        .help("list the pairs by flow, each flow once"),
        CurveError::Rises(index) => {
            let all = index + 1 == points.len() && points.windows(2).all(rises);
            let help = if all {
                "a pump gives less head the more it pumps: are flows and heads of the pairs matched the wrong way round?"
            } else {
                "a pump gives less head the more it pumps, but for a droop next to no flow: read this pair again"
            };
            bad(
                place(index),
                format!(
                    "the head of pump `{name}` rises from {} to {}",
                    index.checked_sub(1).map(|before| shown(reader, before)).unwrap_or_default(),
                    shown(reader, index)
                ),
            )
            .label("more head than the pair before")
            .also(index.checked_sub(1).and_then(place), "the pair before")
            .help(help)
        }
    };
    reader.say(problem);
    None
}

/// Whether the head at the first point is less than half of the highest. Real curves droop next to shut-off by a tenth
/// or so (common practice, no source); feet taken for metres make a third of it.
fn droops_too_far(curve: &PumpCurve) -> bool {
    curve.points().next().is_some_and(|(_, first)| first * 2.0 < curve.highest().1)
}

fn rises(pair: &[(Flow, Head)]) -> bool {
    matches!(pair, [one, other] if (other.1 > one.1) == (other.0 > one.0))
}
