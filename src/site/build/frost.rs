//! Frost and the plan against it.

use crate::quantity::Length;
use crate::site::problem::{Problem, ProblemKind};
use crate::site::tree::Node;
use crate::site::walk::Reader;
use crate::site::{Frost, FrostPlan, Gap};

/// Some frost, none, or nothing where it is wrong.
#[allow(clippy::option_option)]
pub(super) fn frost(reader: &mut Reader<'_>, discharge: &Node) -> Option<Option<Frost>> {
    let Some(node) = discharge.node("frost") else {
        return discharge.entry("frost").is_none_or(|entry| entry.value.is_some()).then_some(None);
    };
    let plan = node.words("plan").and_then(|words| FrostPlan::ALL.into_iter().find(|plan| plan.words() == words));
    let gap = gap(reader, discharge, node, plan);
    let Some(depth) = node.quantity::<Length>("depth") else {
        if !node.has("depth") {
            let what = plan.map_or_else(|| "the frost".to_owned(), |plan| format!("the frost plan `{}`", plan.words()));
            reader.error(
                ProblemKind::MissingKey,
                node.place.clone(),
                format!("{what} names no depth"),
                "no `depth`",
                "add how deep the frost goes at this place, such as `depth = \"30 in\"`; the building office knows it",
            );
        }
        return None;
    };
    Some(Some(Frost { plan, depth, gap: gap? }))
}

#[allow(clippy::option_option)]
fn gap(reader: &mut Reader<'_>, discharge: &Node, frost: &Node, plan: Option<FrostPlan>) -> Option<Option<Gap>> {
    let Some(node) = frost.node("gap") else {
        return frost.entry("gap").is_none_or(|entry| entry.value.is_some()).then_some(None);
    };
    if let Some(other) = plan.filter(|plan| *plan != FrostPlan::SpillGap) {
        let problem = Problem::error(
            ProblemKind::Conflict,
            frost.place_of("gap"),
            format!("a gap is entered, but the frost plan is `{}`", other.words()),
        )
        .label("belongs to the plan `spill gap`")
        .also(frost.at("plan"), "the plan")
        .help("write `plan = \"spill gap\"`, or leave the gap out");
        reader.say(problem);
    }
    let gap = Gap { at: node.quantity("at")?, level: node.quantity("level")? };
    let lengths: Option<Vec<Length>> =
        discharge.nodes("run").iter().map(|run| run.quantity::<Length>("length")).collect();
    let total = lengths.filter(|lengths| !lengths.is_empty()).map(|lengths| lengths.into_iter().sum::<Length>());
    if let Some(total) = total.filter(|total| gap.at > *total) {
        let message = format!(
            "the gap is entered at {}, beyond the end of the runs at {}",
            reader.show(gap.at),
            reader.show(total)
        );
        reader.error(
            ProblemKind::ProfileMismatch,
            node.place_of("at"),
            message,
            "beyond the end",
            "stations count along the runs from the basin",
        );
    }
    Some(Some(gap))
}
