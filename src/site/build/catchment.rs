//! Catchments: area, runoff coefficient, the way of the water.

mod coefficient;

use super::{MOST_ENTRIES, too_many};
use crate::catalog;
use crate::hydrology::Reach;
use crate::quantity::{Amount, Area, Duration, Length, Slope};
use crate::site::problem::{Problem, ProblemKind};
use crate::site::tree::Node;
use crate::site::walk::Reader;
use crate::site::{Catchment, RunoffFrom, SiteRain, Soil};
use coefficient::{coefficient, curve_number, depression_storage, runoff_from, unknown_surface};

/// The kind of pipe that a gravity pipe on a flow path is taken for.
const DRAIN_PIPE: &str = "PVC SDR 35";
/// All surfaces of one yard together above this are odd.
const MOST_AREA: Area = Area::from_acre(20.0);

pub(super) fn catchments(
    reader: &mut Reader<'_>,
    root: &Node,
    soil: Option<&Soil>,
    rain: Option<&SiteRain>,
) -> Option<Vec<Catchment>> {
    let mut catchments = Vec::new();
    let mut whole = true;
    if too_many(reader, root.place_of("catchment"), "catchments", root.nodes("catchment").len(), MOST_ENTRIES) {
        return None;
    }
    for node in root.nodes("catchment") {
        match catchment(reader, node, soil, rain) {
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

fn catchment(reader: &mut Reader<'_>, node: &Node, soil: Option<&Soil>, rain: Option<&SiteRain>) -> Option<Catchment> {
    let name = node.text("name");
    let shown = name.clone().unwrap_or_else(|| "catchment".to_owned());
    let surface = node.text("surface");
    let slope = node.quantity::<Slope>("slope");
    let coefficient = coefficient(reader, node, &shown, soil, slope);
    let curve_number = curve_number(node, soil);
    let runoff_from = runoff_from(reader, node, &shown, soil, curve_number.as_ref(), rain)?;
    let use_infiltration = runoff_from == RunoffFrom::Infiltration;
    let (path, time) = way(reader, node, &shown, rain.map(|rain| rain.minimum_time))?;
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
        runoff_from,
        depression_storage,
        curve_number,
        slope,
        path,
        time,
        drains_to: node.text("drains_to"),
    })
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
    if too_many(reader, node.place_of("flow_path"), "pieces of the flow path", pieces.len(), MOST_ENTRIES) {
        return None;
    }
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
