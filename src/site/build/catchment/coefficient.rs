//! The share of the rain that runs off a catchment: by table, by the soil, by curve number.

use crate::catalog;
use crate::hydrology::Rain;
use crate::quantity::{Amount, RainDepth, Slope};
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::{echo, listed, nearest};
use crate::site::tree::Node;
use crate::site::walk::Reader;
use crate::site::{CoefficientBasis, Limit, RunoffFrom, SiteRain, Soil};

/// What the coefficient is taken from; nothing where what that needs is not there.
pub(super) fn runoff_from(
    reader: &mut Reader<'_>,
    node: &Node,
    name: &str,
    soil: Option<&Soil>,
    curve_number: Option<&Limit<f64>>,
    rain: Option<&SiteRain>,
) -> Option<RunoffFrom> {
    let words = node.words("coefficient_from");
    let from = RunoffFrom::ALL.into_iter().find(|from| words == Some(from.name())).unwrap_or(RunoffFrom::Table);
    match from {
        RunoffFrom::Table => Some(from),
        RunoffFrom::Infiltration => {
            // a texture that is not known has been told already
            let known = soil.is_some_and(|soil| soil.loss().is_some() || soil.texture.is_some());
            if !known {
                reader.error(
                    ProblemKind::MissingKey,
                    node.place_of("coefficient_from"),
                    format!(
                        "catchment `{name}` takes its coefficient from infiltration, but nothing says how much soaks in"
                    ),
                    "from which soil?",
                    "add `[soil]` with `texture = \"silty clay loam\"` or `infiltration = \"0.06 in/h\"`",
                );
            }
            known.then_some(from)
        }
        RunoffFrom::CurveNumber => {
            if let Some(number) = curve_number.filter(|_| !node.has("curve_number")) {
                reader.assume(format!("curve number of `{name}`"), Amount::of(number.value), number.source.clone());
            }
            let known = curve_number.is_some() || unknown_curve_number(reader, node, name, soil);
            let rains = rain_before(reader, node, name, rain);
            (known && rains).then_some(from)
        }
    }
}

/// Says what would give the curve number that is asked for. Never known.
fn unknown_curve_number(reader: &mut Reader<'_>, node: &Node, name: &str, soil: Option<&Soil>) -> bool {
    let said = node.has("curve_number")
        || reader.was_lost("catchment", "curve_number")
        || reader.was_lost("soil", "hydrologic_group")
        || node.has("surface") && node.words("surface").and_then(catalog::curve_number_entry).is_none();
    if said {
        return false;
    }
    let group = soil.and_then(|soil| soil.hydrologic_group);
    let help = match (node.has("surface"), group) {
        (true, _) => {
            "add `[soil]` with `hydrologic_group = \"C\"` or a `texture`, or give the catchment `curve_number = 74`"
        }
        (false, Some(_)) => "add `surface = \"lawn\"` to look it up, or `curve_number = 74`",
        (false, None) => {
            "add `curve_number = 74`, or `surface = \"lawn\"` and `[soil]` with `hydrologic_group = \"C\"` or a `texture`"
        }
    };
    reader.error(
        ProblemKind::MissingKey,
        node.place_of("coefficient_from"),
        format!("catchment `{name}` takes its coefficient from its curve number, but that is not known"),
        "which curve number?",
        help,
    );
    false
}

/// Whether the rain says what falls before the burst: without it a curve number lets a burst soak into dry ground.
fn rain_before(reader: &mut Reader<'_>, node: &Node, name: &str, rain: Option<&SiteRain>) -> bool {
    let constant = rain.is_some_and(|rain| rain.storms.iter().any(|(_, rain)| matches!(rain, Rain::Constant(_))));
    if constant {
        reader.error(
            ProblemKind::Conflict,
            node.place_of("coefficient_from"),
            format!("catchment `{name}` takes its coefficient from its curve number, but the rain is one intensity"),
            "nothing says how much falls before the burst",
            "enter the rain's depths up to 24 h in `[rain]`, or take the coefficient from the table",
        );
    }
    !constant
}

/// The curve number entered, or the table's for the surface and the soil's hydrologic group.
pub(super) fn curve_number(node: &Node, soil: Option<&Soil>) -> Option<Limit<f64>> {
    if let Some(value) = node.number("curve_number") {
        return Some(Limit { value, source: "entered".to_owned() });
    }
    let group = soil.and_then(|soil| soil.hydrologic_group)?;
    let row = catalog::curve_number(node.words("surface")?, group)?;
    Some(Limit { value: row.value, source: format!("hydrologic group {group}: {}", row.source) })
}

pub(super) fn depression_storage(
    reader: &mut Reader<'_>,
    node: &Node,
    name: &str,
    pervious: bool,
    infiltrates: bool,
) -> RainDepth {
    if let Some(entered) = node.quantity("depression_storage") {
        return entered;
    }
    // It counts with infiltration only: used, or reported beside the table's coefficient.
    if !infiltrates {
        return RainDepth::ZERO;
    }
    let row = catalog::depression_storage(pervious);
    reader.assume(
        format!("depression storage of `{name}`"),
        Amount::of(row.value),
        format!("the low end of the usual range: {}", row.source),
    );
    row.value
}

/// The coefficient, where it comes from, and whether rain soaks in.
pub(super) fn coefficient(
    reader: &mut Reader<'_>,
    node: &Node,
    name: &str,
    soil: Option<&Soil>,
    slope: Option<Slope>,
) -> Option<(f64, CoefficientBasis, bool)> {
    let sandy = soil.and_then(|soil| soil.texture.as_deref()).and_then(catalog::soil).map(|entry| entry.sandy);
    let surface = node.words("surface");
    let row = surface.and_then(|surface| catalog::runoff_coefficient(surface, sandy, slope));
    if let Some(entered) = node.number("runoff_coefficient") {
        return Some((entered, CoefficientBasis::Entered, row.is_some_and(|row| row.pervious)));
    }
    if node.has("runoff_coefficient") || node.has("surface") && surface.is_none() {
        return None;
    }
    let Some(surface) = surface else {
        if !reader.was_lost("catchment", "surface") && !reader.was_lost("catchment", "runoff_coefficient") {
            let message = if node.has("curve_number")
                && node.words("coefficient_from") == Some(RunoffFrom::CurveNumber.name())
            {
                format!(
                    "catchment `{name}` has a curve number but no surface, whose coefficient the report sets beside it"
                )
            } else {
                format!("nothing says how much of the rain runs off catchment `{name}`")
            };
            reader.error(
                ProblemKind::MissingKey,
                node.place.clone(),
                message,
                "has neither `surface` nor `runoff_coefficient`",
                "add `surface = \"lawn\"` to look it up, or `runoff_coefficient = 0.22`",
            );
        }
        return None;
    };
    let Some(row) = row else {
        unknown_surface(reader, node, surface, &catalog::surfaces(), "or give `runoff_coefficient`");
        return None;
    };
    let assumed = row.assumed.map(|assumed| format!(" ({assumed} taken, not given)")).unwrap_or_default();
    reader.assume(
        format!("runoff coefficient of `{name}`"),
        Amount::of(row.mid),
        format!("mid of {:.2} to {:.2}, {}{assumed}: {}", row.low, row.high, row.row, row.source),
    );
    let basis = CoefficientBasis::Table {
        row: row.row.to_owned(),
        low: row.low,
        high: row.high,
        source: row.source.to_owned(),
    };
    Some((row.mid, basis, row.pervious))
}

pub(super) fn unknown_surface(reader: &mut Reader<'_>, node: &Node, surface: &str, known: &[&str], or: &str) {
    let mut problem = Problem::error(
        ProblemKind::UnknownSurface,
        node.place_of("surface"),
        format!("`{}` is not a surface in the tables", echo(surface)),
    )
    .label("not known");
    let alike = catalog::surfaces_alike(surface, known);
    if !alike.is_empty() {
        reader.say(
            problem
                .help(format!("the nearest are {}: write the one that yours is most like, {or}", listed(alike, "and"))),
        );
        return;
    }
    problem = match nearest(surface, known.iter().copied()) {
        Some(near) => problem.help(format!("did you mean `{near}`? ({or})")).replacement(format!("\"{near}\"")),
        None => problem.help(format!("the surfaces are {}; {or}", listed(known.iter().copied(), "and"))),
    };
    reader.say(problem);
}
