//! Fittings and the check valve: by K, or by a table of equivalent lengths.

use super::{MOST_ENTRIES, too_many};
use crate::catalog;
use crate::hydraulics::{CheckValve, FittingCount, Pipe, PipeUse, Run};
use crate::quantity::{Amount, Length};
use crate::site::meant;
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::{echo, listed, nearest};
use crate::site::tree::{FittingEntry, Node, Place};
use crate::site::walk::Reader;
use crate::site::words::quoted;

/// A table of equivalent lengths is named that is none; it has been said.
pub(super) struct UnknownTable;

/// The table of equivalent lengths that the line takes; none where it goes by K.
pub(super) fn lengths_table(reader: &mut Reader<'_>, node: &Node) -> Result<Option<String>, UnknownTable> {
    let Some(name) = node.words("equivalent_lengths") else { return Ok(None) };
    let known = catalog::equivalent_length_tables();
    if known.contains(&name) {
        return Ok(Some(name.to_owned()));
    }
    let problem = Problem::error(
        ProblemKind::UnknownChoice,
        node.place_of("equivalent_lengths"),
        format!("`{}` is not a table of equivalent lengths", echo(name)),
    )
    .label("not known");
    reader.say(match nearest(name, known.iter().copied()) {
        Some(near) => problem.help(format!("did you mean `{near}`?")).replacement(quoted(near)),
        None => problem.help(format!("the tables are {}; leave it out to take K", listed(known, "and"))),
    });
    Err(UnknownTable)
}

pub(super) fn fittings(
    reader: &mut Reader<'_>,
    node: &Node,
    pipe: &Pipe,
    table: Option<&str>,
) -> Option<Vec<FittingCount>> {
    let mut fittings = Vec::new();
    let mut whole = true;
    let entries = node.fittings("fittings");
    if too_many(reader, node.place_of("fittings"), "kinds of fittings in one run", entries.len(), MOST_ENTRIES) {
        return None;
    }
    for entry in entries {
        let Some(fitting) = fitting(entry, pipe, table) else {
            whole = false;
            unknown_fitting(reader, entry.name.as_str(), entry.place.clone());
            continue;
        };
        if let (Some(known), Some(k)) = (catalog::fitting(&entry.name, pipe), entry.k) {
            odd_k(reader, entry, k, known.k);
        }
        fittings.push(fitting);
    }
    whole.then_some(fittings)
}

/// What was entered, or the table's length, or K.
fn fitting(entry: &FittingEntry, pipe: &Pipe, table: Option<&str>) -> Option<FittingCount> {
    let known = catalog::fitting(&entry.name, pipe);
    let made_for = known.as_ref().map_or(PipeUse::Pressure, |known| known.made_for);
    let of = |k: f64, equivalent: Length, source: String| FittingCount {
        name: entry.name.clone(),
        count: entry.count,
        k,
        equivalent,
        source,
        made_for,
    };
    if let Some(k) = entry.k {
        return Some(of(k, Length::ZERO, ENTERED.to_owned()));
    }
    if let Some(equivalent) = entry.equivalent {
        return Some(of(0.0, equivalent, ENTERED.to_owned()));
    }
    let by_length = table.and_then(|table| catalog::equivalent_length(table, &entry.name, pipe));
    match (by_length, known) {
        (Some(found), _) => Some(of(0.0, found.length, found.source)),
        (None, Some(known)) if table.is_some() => {
            Some(of(known.k, Length::ZERO, format!("not in the table named, so by K: {}", known.source)))
        }
        (None, Some(known)) => Some(of(known.k, Length::ZERO, known.source)),
        (None, None) => None,
    }
}

const ENTERED: &str = "entered";
/// K this many times the table's is most likely a length.
const FAR_ABOVE: f64 = 5.0;

/// Feet of pipe typed where K belongs.
fn odd_k(reader: &mut Reader<'_>, entry: &FittingEntry, k: f64, usual: f64) {
    if k < 2.0 || k < usual * FAR_ABOVE {
        return;
    }
    let message = format!("`{}` has K {k}, and the table {usual:.2}", echo(&entry.name));
    let problem = Problem::warning(ProblemKind::OddValue, entry.place.clone(), message)
        .label("K many times the usual one")
        .help(format!(
            "if {k} is a length of pipe, write `{} = {{ count = {}, equivalent_length = \"{k} ft\" }}`",
            quoted(&echo(&entry.name)),
            entry.count
        ));
    reader.say(problem);
}

fn unknown_fitting(reader: &mut Reader<'_>, name: &str, place: Place) {
    let known = catalog::fitting_names();
    let problem =
        Problem::error(ProblemKind::UnknownFitting, place, format!("`{}` is not a fitting in the tables", echo(name)))
            .label("not known");
    if meant::is_check_valve(name) {
        reader.say(problem.help(
            "a check valve stands in [discharge] by itself: `check_valve = { kind = \"swing\" }`; take it out of the fittings",
        ));
        return;
    }
    let own = format!("or give its loss: `{} = {{ count = 1, k = 0.9 }}`", quoted(&echo(name)));
    reader.say(match meant::elbow(name).or_else(|| nearest(name, known.iter().copied())) {
        Some(near) => problem.help(format!("did you mean `{near}`? ({own})")).replacement(quoted(near)),
        None => problem.help(format!("the fittings are {}; {own}", listed(known, "and"))),
    });
}

/// Some valve, none, or nothing where it is wrong.
#[allow(clippy::option_option)]
pub(super) fn check_valve(
    reader: &mut Reader<'_>,
    node: &Node,
    riser: Option<&Run>,
    table: Option<&str>,
    pumps: u32,
) -> Option<Option<CheckValve>> {
    let Some(valve) = node.node("check_valve") else {
        return node.entry("check_valve").is_none_or(|entry| entry.value.is_some()).then_some(None);
    };
    let kind = valve.text("kind").unwrap_or_else(|| "swing".to_owned());
    let pipe = &riser?.pipe;
    let known = catalog::check_valve(&kind, pipe);
    let opening_constant = known.as_ref().and_then(|known| known.opening_constant);
    let by_length = table.and_then(|table| catalog::equivalent_length(table, &kind, pipe));
    let (k, equivalent, source) = match (valve.number("k"), by_length, known) {
        (Some(k), ..) => (k, Length::ZERO, ENTERED.to_owned()),
        (None, Some(found), _) => {
            reader.assume(
                format!("equivalent length of the {kind} check valve"),
                Amount::of(found.length),
                found.source.clone(),
            );
            (0.0, found.length, found.source)
        }
        (None, None, Some(known)) => {
            reader.assume(
                format!("loss coefficient of the {kind} check valve"),
                Amount::of(known.k),
                known.source.clone(),
            );
            (known.k, Length::ZERO, known.source)
        }
        (None, None, None) => {
            let kinds = catalog::check_valve_kinds();
            let problem = Problem::error(
                ProblemKind::UnknownFitting,
                valve.place_of("kind"),
                format!("`{}` is not a kind of check valve in the tables", echo(&kind)),
            )
            .label("not known");
            reader.say(match nearest(&kind, kinds.iter().copied()) {
                _ if meant::is_check_valve(&kind) => problem.help(format!(
                    "of which kind? {}; the usual one is `swing`, which is also taken when `kind` is left out",
                    listed(kinds.iter().copied(), "or")
                )),
                Some(near) => problem.help(format!("did you mean `{near}`?")).replacement(quoted(near)),
                None => problem.help(format!("the kinds are {}; or give `k`", listed(kinds, "and"))),
            });
            return None;
        }
    };
    // a whole number from 0 to 4 by its declared range
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let count = valve.number("count").map_or(pumps, |count| count as u32);
    // none at all is none
    Some((count > 0).then(|| CheckValve {
        kind,
        k,
        equivalent,
        source,
        above_floor: valve.quantity("above_floor"),
        count,
        opening_constant,
        closes_in: valve.quantity("closes_in"),
    }))
}
