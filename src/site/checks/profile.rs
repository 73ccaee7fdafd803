//! The profile of the discharge line against its runs, the ground and the outlet.

use crate::quantity::{Length, Level};
use crate::site::build::END_SLACK;
use crate::site::problem::{Problem, ProblemKind};
use crate::site::tree::Node;
use crate::site::walk::Reader;

/// The first point may be this far from 0.
const AT_BASIN: Length = Length::from_ft(0.05);
/// The last invert may be this far above the outlet.
pub(super) const ABOVE_OUTLET: Length = Length::from_ft(2.0);

/// The outlet may stand this far above the last invert: a box in which the water comes up.
const BELOW_OUTLET: Length = Length::from_ft(4.0);

/// Checks the profile. Its end is not compared with an outlet that is known to be too low.
pub(super) fn profile(reader: &mut Reader<'_>, root: &Node, low_outlet: bool) {
    let Some(discharge) = root.node("discharge") else { return };
    let points = discharge.nodes("profile");
    let (Some(first), Some(last)) = (points.first(), points.last()) else { return };
    let at = |node: &Node| node.quantity::<Length>("at");
    if let Some(start) = at(first)
        && start.abs() > AT_BASIN
    {
        reader.error(
            ProblemKind::ProfileMismatch,
            first.place_of("at"),
            format!("the profile begins at {}, not at 0 ft", reader.show(start)),
            "not at the basin",
            "the first point is where the runs begin: `at = \"0 ft\"`",
        );
        return;
    }
    for pair in points.windows(2) {
        let [before, point] = pair else { continue };
        if let (Some(near), Some(far)) = (at(before), at(point))
            && far <= near
        {
            let problem = Problem::error(
                ProblemKind::ProfileMismatch,
                point.place_of("at"),
                format!("the profile goes back from {} to {}", reader.show(near), reader.show(far)),
            )
            .label("not farther than the point before")
            .also(before.at("at"), "the point before")
            .help("list the points from the basin to the outlet; a piece that stands upright counts with its length, so that its ends have two stations");
            reader.say(problem);
            return;
        }
    }
    jumps(reader, points);
    openings(reader, discharge, points);
    length(reader, discharge, last);
    if !low_outlet {
        end(reader, discharge, last);
    }
}

/// A pipe cannot climb more than it is long: between two points the levels must not differ by more than the stations.
fn jumps(reader: &mut Reader<'_>, points: &[Node]) {
    for pair in points.windows(2) {
        let [before, point] = pair else { continue };
        let (Some(near), Some(far)) = (before.quantity::<Length>("at"), point.quantity::<Length>("at")) else {
            continue;
        };
        let (Some(from), Some(to)) = (before.quantity::<Level>("invert"), point.quantity::<Level>("invert")) else {
            continue;
        };
        let (along, up) = (far - near, (to - from).abs());
        if up > along * (1.0 + END_SLACK) {
            let message = format!(
                "the profile jumps: between {} and {} the pipe changes its level by {} within {} of pipe",
                reader.show(near),
                reader.show(far),
                reader.show(up),
                reader.show(along)
            );
            let problem = Problem::error(ProblemKind::ProfileMismatch, point.place_of("invert"), message)
                .label("more than the pipe between is long")
                .also(before.at("invert"), "the point before")
                .help("a digit, a rod reading or a benchmark is wrong; stations count along the pipe, not on the map");
            reader.say(problem);
        }
    }
}

/// A vent or a gap opens above the pipe that it stands on.
fn openings(reader: &mut Reader<'_>, discharge: &Node, points: &[Node]) {
    let vents = discharge.nodes("vent").iter().map(|vent| (vent, "open_top", "vent"));
    let gap = discharge.node("frost").and_then(|frost| frost.node("gap")).map(|gap| (gap, "level", "gap"));
    for (node, key, what) in vents.chain(gap) {
        let (Some(at), Some(top)) = (node.quantity::<Length>("at"), node.quantity::<Level>(key)) else { continue };
        let Some(invert) = invert_at(points, at).filter(|invert| top < *invert) else { continue };
        let message = format!(
            "the {what} at {} opens at {}, below the pipe itself at {}",
            reader.show(at),
            reader.show(top),
            reader.show(invert)
        );
        let problem = Problem::error(ProblemKind::LevelOrder, node.place_of(key), message)
            .label("below the pipe")
            .help("a digit is wrong, or it is a rod reading (write `{ rod = \"6.31 ft\" }`)");
        reader.say(problem);
    }
}

/// The invert between the points of the profile.
fn invert_at(points: &[Node], at: Length) -> Option<Level> {
    points.windows(2).find_map(|pair| {
        let [near, far] = pair else { return None };
        let (from, to) = (near.quantity::<Length>("at")?, far.quantity::<Length>("at")?);
        let (low, high) = (near.quantity::<Level>("invert")?, far.quantity::<Level>("invert")?);
        (from <= at && at <= to && to > from).then(|| low + (high - low) * ((at - from) / (to - from)))
    })
}

fn length(reader: &mut Reader<'_>, discharge: &Node, last: &Node) {
    let runs = discharge.nodes("run");
    let lengths: Option<Vec<Length>> = runs.iter().map(|run| run.quantity::<Length>("length")).collect();
    let (Some(lengths), Some(end)) = (lengths, last.quantity::<Length>("at")) else { return };
    let total: Length = lengths.into_iter().sum();
    if runs.is_empty() || (end - total).abs() <= total * END_SLACK {
        return;
    }
    let which = if runs.len() == 1 { "the run is" } else { "the runs together are" };
    let mut problem = Problem::error(
        ProblemKind::ProfileMismatch,
        last.place_of("at"),
        format!("the profile ends at {}, but {which} {}", reader.show(end), reader.show(total)),
    )
    .label("the end of the profile")
    .help("the profile goes along the runs from the basin to the outlet, without the riser; make both one length");
    for run in runs.iter().take(8) {
        problem = problem.also(run.at("length"), "a run's length");
    }
    reader.say(problem);
}

fn end(reader: &mut Reader<'_>, discharge: &Node, last: &Node) {
    let outlet = discharge.node("outlet");
    let (Some(outlet), Some(invert)) = (outlet, last.quantity::<Level>("invert")) else { return };
    let Some(level) = outlet.quantity::<Level>("level") else { return };
    if invert - level > ABOVE_OUTLET {
        let message = format!(
            "the line ends with its invert at {}, {} above the outlet at {}",
            reader.show(invert),
            reader.show(invert - level),
            reader.show(level)
        );
        let problem = Problem::warning(ProblemKind::LevelOrder, last.place_of("invert"), message)
            .label("far above the outlet")
            .also(outlet.at("level"), "the outlet")
            .help("the last point of the profile is at the outlet");
        reader.say(problem);
    }
    if level - invert > BELOW_OUTLET {
        let message = format!(
            "the line ends with its invert at {}, {} below the outlet at {}",
            reader.show(invert),
            reader.show(level - invert),
            reader.show(level)
        );
        let problem = Problem::warning(ProblemKind::LevelOrder, last.place_of("invert"), message)
            .label("far below the outlet")
            .also(outlet.at("level"), "the outlet")
            .help(
                "the last point of the profile is at the outlet: is the profile listed from the outlet to the basin?",
            );
        reader.say(problem);
    }
}
