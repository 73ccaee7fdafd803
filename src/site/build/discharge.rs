//! The discharge line: pipes from the catalog, fittings, valve, hole, profile, outlet.

use super::too_many;
use crate::catalog::{self, PipeLookup};
use crate::hydraulics::{
    CheckValve, DischargeLine, FittingCount, Outlet, Pipe, ProfilePoint, ReliefHole, Run, Surface,
};
use crate::quantity::{Amount, Length};
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::{echo, listed, nearest};
use crate::site::tree::Node;
use crate::site::walk::Reader;
use crate::site::words::quoted;

const SHARP_HOLE: f64 = 0.6;
/// A bore this close to the nominal size was most likely taken from it.
const NOMINAL: Length = Length::from_mm(0.05);

pub(super) fn discharge(reader: &mut Reader<'_>, node: &Node) -> Option<DischargeLine> {
    let riser = node.node("riser").and_then(|riser| run(reader, riser));
    let nodes = node.nodes("run");
    let too_long = too_many(reader, node.place_of("run"), "runs of the discharge line", nodes.len(), 100)
        | too_many(reader, node.place_of("profile"), "points of the profile", node.nodes("profile").len(), 1000);
    if too_long {
        return None;
    }
    let runs: Vec<Option<Run>> = nodes.iter().map(|node| run(reader, node)).collect();
    let runs: Option<Vec<Run>> = runs.into_iter().collect();
    let check_valve = check_valve(reader, node, riser.as_ref());
    let relief_hole = relief_hole(reader, node);
    let profile = profile(node);
    let outlet = node.node("outlet").and_then(|outlet| self::outlet(reader, outlet));
    Some(DischargeLine {
        riser: riser?,
        check_valve: check_valve?,
        relief_hole: relief_hole?,
        drain_hole: None,
        vents: Vec::new(),
        runs: runs.filter(|runs| !runs.is_empty())?,
        profile,
        outlet: outlet?,
    })
}

/// A run with its pipe; the riser is one too.
fn run(reader: &mut Reader<'_>, node: &Node) -> Option<Run> {
    let pipe = pipe(reader, node);
    // Names of fittings are looked up even where the pipe is not known.
    let stand_in = catalog::pipe("PVC schedule 40", "2 in").ok().map(|entry| &entry.pipe);
    let fittings = pipe.as_ref().or(stand_in).and_then(|pipe| fittings(reader, node, pipe));
    let length = node.quantity("length")?;
    if node.has("fittings") && node.entry("fittings")?.value.is_none() {
        return None;
    }
    Some(Run { pipe: pipe?, length, fittings: fittings?, allowance: 0.0 })
}

fn pipe(reader: &mut Reader<'_>, node: &Node) -> Option<Pipe> {
    let (material, size) = (node.words("material")?, node.words("size")?);
    let entry = match catalog::pipe(material, size) {
        Ok(entry) => entry,
        Err(error) => {
            unknown_pipe(reader, node, material, size, &error);
            return None;
        }
    };
    let mut pipe = entry.pipe.clone();
    if let Some(bore) = node.quantity::<Length>("inside_diameter") {
        if bore >= pipe.outside_diameter {
            let message = format!(
                "an inside diameter of {} does not go into {} of {size}, whose outside is {}",
                Amount::bore(bore).show(reader.units),
                pipe.material,
                Amount::bore(pipe.outside_diameter).show(reader.units)
            );
            reader.error(
                ProblemKind::Conflict,
                node.place_of("inside_diameter"),
                message,
                "wider than the pipe's outside",
                "leave it out to take the standard's",
            );
            return None;
        }
        let nominal = catalog::nominal_as_length(size);
        if nominal.is_some_and(|nominal| (nominal - bore).abs() < NOMINAL) && (pipe.bore - bore).abs() > NOMINAL {
            let message = format!(
                "the nominal size {size} is entered as the inside diameter; {} of that size has {}",
                pipe.material,
                Amount::bore(pipe.bore).show(reader.units)
            );
            let problem = Problem::warning(ProblemKind::NominalBore, node.place_of("inside_diameter"), message)
                .label("the nominal size, not a bore")
                .help("leave `inside_diameter` out to take the standard's");
            reader.say(problem);
        }
        pipe.bore = bore;
        pipe.average_bore = None;
    }
    if let Some(c) = node.number("c") {
        pipe.hazen_williams_c = c;
    }
    if let Some(roughness) = node.quantity("roughness") {
        pipe.roughness = roughness;
    }
    Some(pipe)
}

fn unknown_pipe(reader: &mut Reader<'_>, node: &Node, material: &str, size: &str, error: &PipeLookup) {
    let problem = match error {
        PipeLookup::UnknownMaterial { nearest } => {
            let problem = Problem::error(
                ProblemKind::UnknownPipe,
                node.place_of("material"),
                format!("`{}` is not a kind of pipe in the tables", echo(material)),
            )
            .label("not known");
            match nearest {
                Some(name) => problem.help(format!("did you mean `{name}`?")).replacement(quoted(name)),
                None => problem.help(format!("the kinds are {}", listed(catalog::pipe_materials(), "and"))),
            }
        }
        PipeLookup::SizeNotMade { material, sizes } => Problem::error(
            ProblemKind::UnknownPipe,
            node.place_of("size"),
            format!("{material} is not made in {}, or not in the tables", echo(size)),
        )
        .label("no such size")
        .also(node.at("material"), "of this kind")
        .help(format!("its sizes are {}", listed(sizes.iter().copied(), "and"))),
    };
    reader.say(problem);
}

fn fittings(reader: &mut Reader<'_>, node: &Node, pipe: &Pipe) -> Option<Vec<FittingCount>> {
    let mut fittings = Vec::new();
    let mut whole = true;
    for entry in node.fittings("fittings") {
        let known = catalog::fitting(&entry.name, pipe);
        let (k, source) = match (entry.k, known) {
            (Some(k), _) => (k, "entered".to_owned()),
            (None, Some(known)) => (known.k, known.source),
            (None, None) => {
                whole = false;
                unknown_fitting(reader, entry.name.as_str(), entry.place.clone());
                continue;
            }
        };
        fittings.push(FittingCount::of_k(&entry.name, entry.count, k, &source));
    }
    whole.then_some(fittings)
}

fn unknown_fitting(reader: &mut Reader<'_>, name: &str, place: crate::site::tree::Place) {
    let known = catalog::fitting_names();
    let problem =
        Problem::error(ProblemKind::UnknownFitting, place, format!("`{}` is not a fitting in the tables", echo(name)))
            .label("not known");
    let own = format!("or give its loss: `{} = {{ count = 1, k = 0.9 }}`", quoted(&echo(name)));
    reader.say(match nearest(name, known.iter().copied()) {
        Some(near) => problem.help(format!("did you mean `{near}`? ({own})")).replacement(quoted(near)),
        None => problem.help(format!("the fittings are {}; {own}", listed(known, "and"))),
    });
}

/// Some valve, none, or nothing where it is wrong.
#[allow(clippy::option_option)]
fn check_valve(reader: &mut Reader<'_>, node: &Node, riser: Option<&Run>) -> Option<Option<CheckValve>> {
    let Some(valve) = node.node("check_valve") else {
        return node.entry("check_valve").is_none_or(|entry| entry.value.is_some()).then_some(None);
    };
    let kind = valve.text("kind").unwrap_or_else(|| "swing".to_owned());
    let known = catalog::check_valve(&kind, &riser?.pipe);
    let (k, source) = match (valve.number("k"), known) {
        (Some(k), _) => (k, "entered".to_owned()),
        (None, Some(known)) => {
            reader.assume(
                format!("loss coefficient of the {kind} check valve"),
                Amount::of(known.k),
                known.source.clone(),
            );
            (known.k, known.source)
        }
        (None, None) => {
            let kinds = catalog::check_valve_kinds();
            let problem = Problem::error(
                ProblemKind::UnknownFitting,
                valve.place_of("kind"),
                format!("`{}` is not a kind of check valve in the tables", echo(&kind)),
            )
            .label("not known");
            reader.say(match nearest(&kind, kinds.iter().copied()) {
                Some(near) => problem.help(format!("did you mean `{near}`?")).replacement(quoted(near)),
                None => problem.help(format!("the kinds are {}; or give `k`", listed(kinds, "and"))),
            });
            return None;
        }
    };
    Some(Some(CheckValve {
        kind,
        k,
        source,
        above_floor: valve.quantity("above_floor"),
        count: 1,
        opening_constant: None,
        closes_in: None,
    }))
}

#[allow(clippy::option_option)]
fn relief_hole(reader: &mut Reader<'_>, node: &Node) -> Option<Option<ReliefHole>> {
    let Some(hole) = node.node("relief_hole") else {
        return node.entry("relief_hole").is_none_or(|entry| entry.value.is_some()).then_some(None);
    };
    let diameter = hole.quantity("diameter")?;
    let discharge_coefficient = hole.number("discharge_coefficient").unwrap_or_else(|| {
        reader.assume(
            "coefficient of discharge of the relief hole",
            Amount::of(SHARP_HOLE),
            "a sharp-edged round hole; common practice, up to 0.8 for a hole as deep as wide",
        );
        SHARP_HOLE
    });
    Some(Some(ReliefHole { diameter, above_floor: hole.quantity("above_floor"), discharge_coefficient }))
}

fn profile(node: &Node) -> Vec<ProfilePoint> {
    let point = |node: &Node| {
        Some(ProfilePoint {
            at: node.quantity("at")?,
            invert: node.quantity("invert")?,
            ground: node.quantity("ground"),
            under: Surface::Lawn,
        })
    };
    node.nodes("profile").iter().filter_map(point).collect()
}

fn outlet(reader: &mut Reader<'_>, node: &Node) -> Option<Outlet> {
    let kind = node.text("kind").unwrap_or_else(|| "open end".to_owned());
    let known = catalog::outlet(&kind);
    let k = match (node.number("k"), known) {
        (Some(k), _) => k,
        (None, Some(known)) => {
            reader.assume(
                format!("loss coefficient of the outlet ({})", known.kind),
                Amount::of(known.k),
                known.source,
            );
            known.k
        }
        (None, None) => {
            let kinds = catalog::outlet_kinds();
            let problem = Problem::error(
                ProblemKind::UnknownFitting,
                node.place_of("kind"),
                format!("`{}` is not a kind of outlet in the tables", echo(&kind)),
            )
            .label("not known");
            reader.say(match nearest(&kind, kinds.iter().copied()) {
                Some(near) => problem.help(format!("did you mean `{near}`?")).replacement(quoted(near)),
                None => problem.help(format!("the kinds are {}; or give `k`", listed(kinds, "and"))),
            });
            return None;
        }
    };
    Some(Outlet {
        kind,
        level: node.quantity("level")?,
        ditch_full: node.quantity("ditch_full"),
        k,
        opening_head: node.quantity("opening_head"),
        returned_share: node.number("returns").unwrap_or(0.0),
    })
}
