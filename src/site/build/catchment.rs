//! Catchments: area, runoff coefficient, the way of the water.

use super::too_many;
use crate::catalog;
use crate::hydrology::Reach;
use crate::quantity::{Amount, Area, Duration, Length, RainDepth, Slope};
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::{echo, listed, nearest};
use crate::site::tree::Node;
use crate::site::walk::Reader;
use crate::site::{Catchment, CoefficientBasis, Limit, Soil};

/// The kind of pipe that a gravity pipe on a flow path is taken for.
const DRAIN_PIPE: &str = "PVC SDR 35";
/// All surfaces of one yard together above this are odd.
const MOST_AREA: Area = Area::from_acre(20.0);

pub(super) fn catchments(
    reader: &mut Reader<'_>,
    root: &Node,
    soil: Option<&Soil>,
    minimum_time: Option<Duration>,
) -> Option<Vec<Catchment>> {
    let mut catchments = Vec::new();
    let mut whole = true;
    if too_many(reader, root.place_of("catchment"), "catchments", root.nodes("catchment").len(), 1000) {
        return None;
    }
    for node in root.nodes("catchment") {
        match catchment(reader, node, soil, minimum_time) {
            Some(catchment) => catchments.push(catchment),
            None => whole = false,
        }
    }
    let area: Area = catchments.iter().map(|catchment| catchment.area).sum();
    if area > MOST_AREA
        && let Some(node) = root.nodes("catchment").first()
    {
        let message = format!("the catchments together are {}: is that one yard?", reader.show(area));
        let problem = Problem::warning(ProblemKind::OddValue, node.place.clone(), message)
            .label("and the others")
            .help("an acre is 43560 ft2; were square feet meant?");
        reader.say(problem);
    }
    whole.then_some(catchments)
}

fn catchment(
    reader: &mut Reader<'_>,
    node: &Node,
    soil: Option<&Soil>,
    minimum_time: Option<Duration>,
) -> Option<Catchment> {
    let name = node.text("name");
    let shown = name.clone().unwrap_or_else(|| "catchment".to_owned());
    let surface = node.text("surface");
    let slope = node.quantity::<Slope>("slope");
    let use_infiltration = node.words("coefficient_from") == Some("infiltration");
    let coefficient = coefficient(reader, node, &shown, soil, slope);
    if use_infiltration && soil.and_then(Soil::loss).is_none() {
        let broken = soil.is_some_and(|soil| soil.texture.is_some());
        if !broken {
            reader.error(
                ProblemKind::MissingKey,
                node.place_of("coefficient_from"),
                format!(
                    "catchment `{shown}` takes its coefficient from infiltration, but nothing says how much soaks in"
                ),
                "from which soil?",
                "add `[soil]` with `texture = \"silty clay loam\"` or `infiltration = \"0.06 in/h\"`",
            );
            return None;
        }
    }
    let (path, time) = way(reader, node, &shown, minimum_time)?;
    let (coefficient, basis, pervious) = coefficient?;
    let infiltrates = use_infiltration || (pervious && soil.is_some());
    let depression_storage = depression_storage(reader, node, &shown, pervious, infiltrates);
    Some(Catchment {
        name: name?,
        area: node.quantity("area")?,
        surface,
        pervious: pervious || use_infiltration,
        coefficient,
        basis,
        use_infiltration,
        depression_storage,
        curve_number: curve_number(node, soil),
        slope,
        path,
        time,
        drains_to: node.text("drains_to"),
    })
}

/// The curve number entered, or the table's for the surface and the soil's hydrologic group.
fn curve_number(node: &Node, soil: Option<&Soil>) -> Option<Limit<f64>> {
    if let Some(value) = node.number("curve_number") {
        return Some(Limit { value, source: "entered".to_owned() });
    }
    let group = soil.and_then(|soil| soil.hydrologic_group)?;
    let row = catalog::curve_number(node.words("surface")?, group)?;
    Some(Limit { value: row.value, source: format!("hydrologic group {group}: {}", row.source) })
}

fn depression_storage(
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
fn coefficient(
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
            reader.error(
                ProblemKind::MissingKey,
                node.place.clone(),
                format!("nothing says how much of the rain runs off catchment `{name}`"),
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

fn unknown_surface(reader: &mut Reader<'_>, node: &Node, surface: &str, known: &[&str], or: &str) {
    let mut problem = Problem::error(
        ProblemKind::UnknownSurface,
        node.place_of("surface"),
        format!("`{}` is not a surface in the tables", echo(surface)),
    )
    .label("not known");
    problem = match nearest(surface, known.iter().copied()) {
        Some(near) => problem.help(format!("did you mean `{near}`? ({or})")).replacement(format!("\"{near}\"")),
        None => problem.help(format!("the surfaces are {}; {or}", listed(known.iter().copied(), "and"))),
    };
    reader.say(problem);
}

/// The flow path and the time entered; nothing where either is wrong.
fn way(
    reader: &mut Reader<'_>,
    node: &Node,
    name: &str,
    minimum_time: Option<Duration>,
) -> Option<(Vec<Reach>, Option<Duration>)> {
    let time = node.quantity::<Duration>("time_of_concentration");
    let pieces = node.nodes("flow_path");
    let mut path = Vec::new();
    let mut whole = !(node.has("time_of_concentration") && time.is_none());
    for piece in pieces {
        match reach(reader, piece) {
            Some(reach) => path.push(reach),
            None => whole = false,
        }
    }
    if !whole || node.has("flow_path") && node.entry("flow_path")?.value.is_none() {
        return None;
    }
    if time.is_some() && !path.is_empty() {
        let problem = Problem::warning(
            ProblemKind::Conflict,
            node.place_of("time_of_concentration"),
            format!("catchment `{name}` has a time of concentration and a flow path; the time is taken"),
        )
        .label("this is taken")
        .also(node.at("flow_path"), "this is not");
        reader.say(problem);
        return Some((Vec::new(), time));
    }
    if time.is_none() && path.is_empty() {
        let time = minimum_time?;
        reader.assume(
            format!("time of concentration of `{name}`"),
            Amount::of(time),
            "neither `time_of_concentration` nor `flow_path` is given: the shortest used",
        );
        return Some((path, Some(time)));
    }
    Some((path, time))
}

fn reach(reader: &mut Reader<'_>, node: &Node) -> Option<Reach> {
    const SORTS: [&str; 4] = ["sheet", "shallow", "channel", "pipe"];
    let given: Vec<&str> = SORTS.into_iter().filter(|sort| node.has(sort)).collect();
    let sort = match given.as_slice() {
        [one] => *one,
        several => {
            let (what, label) = match several {
                [] => ("says not whether it is `sheet`, `shallow`, `channel` or `pipe`", "which sort?"),
                _ => ("is of several sorts at once", "more than one sort"),
            };
            reader.error(
                ProblemKind::Conflict,
                node.place.clone(),
                format!("a piece of the flow path {what}"),
                label,
                "write one piece such as `{ sheet = \"60 ft\", slope = \"2 %\", surface = \"dense grass\" }`",
            );
            return None;
        }
    };
    let length = node.quantity::<Length>(sort)?;
    let slope = node.quantity::<Slope>("slope")?;
    let surface = node.words("surface");
    match sort {
        "sheet" => {
            let roughness = match (node.number("roughness"), surface) {
                (Some(entered), _) => entered,
                (None, Some(surface)) => {
                    let Some(row) = catalog::sheet_roughness(surface) else {
                        unknown_surface(reader, node, surface, &catalog::sheet_surfaces(), "or give `roughness`");
                        return None;
                    };
                    row.value
                }
                (None, None) => return needs(reader, node, sort, "surface", "surface = \"dense grass\""),
            };
            Some(Reach::Sheet { length, slope, roughness })
        }
        "shallow" => {
            let Some(surface) = surface else {
                return needs(reader, node, sort, "surface", "surface = \"unpaved\"");
            };
            let Some(row) = catalog::shallow_coefficient(surface) else {
                unknown_surface(reader, node, surface, &catalog::shallow_surfaces(), "as the nearest of them");
                return None;
            };
            Some(Reach::Shallow { length, slope, coefficient: row.value })
        }
        "channel" => {
            let Some(roughness) = node.number("roughness") else {
                return needs(reader, node, sort, "roughness", "roughness = 0.03");
            };
            let Some(hydraulic_radius) = node.quantity("hydraulic_radius") else {
                return needs(reader, node, sort, "hydraulic_radius", "hydraulic_radius = \"3 in\"");
            };
            Some(Reach::Channel { length, slope, roughness, hydraulic_radius })
        }
        _ => pipe_reach(reader, node, length, slope),
    }
}

fn pipe_reach(reader: &mut Reader<'_>, node: &Node, length: Length, slope: Slope) -> Option<Reach> {
    let size = node.words("size");
    let known = size.and_then(|size| catalog::pipe(DRAIN_PIPE, size).ok());
    let bore = node
        .quantity::<Length>("bore")
        .or_else(|| known.map(|entry| entry.pipe.bore))
        .or_else(|| size.and_then(catalog::nominal_as_length));
    let Some(bore) = bore else {
        return needs(reader, node, "pipe", "size", "size = \"4 in\"");
    };
    let roughness = if let Some(entered) = node.number("roughness") {
        entered
    } else {
        let entry = known.or_else(|| catalog::pipe(DRAIN_PIPE, "4 in").ok())?;
        reader.assume(
            "Manning's n of a pipe on a flow path",
            Amount::of(entry.pipe.manning_n),
            format!("taken for {DRAIN_PIPE}: {}", entry.manning_source),
        );
        entry.pipe.manning_n
    };
    Some(Reach::Pipe { length, slope, roughness, bore })
}

fn needs<T>(reader: &mut Reader<'_>, node: &Node, sort: &str, key: &str, example: &str) -> Option<T> {
    if !node.has(key) {
        reader.error(
            ProblemKind::MissingKey,
            node.place.clone(),
            format!("a piece of `{sort}` flow needs `{key}`"),
            &format!("has no `{key}`"),
            &format!("add `{example}`"),
        );
    }
    None
}
