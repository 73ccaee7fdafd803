//! The discharge line: pipes from the catalog, fittings, valve, hole, profile, outlet.

use super::fittings::{check_valve, fittings, lengths_table};
use super::too_many;
use super::unknown_pipe::unknown_pipe;
use crate::catalog;
use crate::hydraulics::{DischargeLine, Outlet, Pipe, ProfilePoint, ReliefHole, Run, Vent};
use crate::quantity::{Amount, Length};
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::{echo, listed, nearest};
use crate::site::tree::Node;
use crate::site::walk::Reader;
use crate::site::words::quoted;

const SHARP_HOLE: f64 = 0.6;
/// The profile may differ from the runs by this share.
pub(in crate::site) const END_SLACK: f64 = 0.01;
/// A bore this close to the nominal size was most likely taken from it.
const NOMINAL: Length = Length::from_mm(0.05);

/// The line of so many pumps.
pub(super) fn discharge(reader: &mut Reader<'_>, node: &Node, pumps: u32) -> Option<DischargeLine> {
    let by_length = lengths_table(reader, node);
    let table = by_length.as_ref().ok().and_then(Option::as_deref);
    let riser = node.node("riser").and_then(|riser| run(reader, riser, table));
    risers(reader, node, pumps);
    let nodes = node.nodes("run");
    let too_long = too_many(reader, node.place_of("run"), "runs of the discharge line", nodes.len(), 100)
        | too_many(reader, node.place_of("profile"), "points of the profile", node.nodes("profile").len(), 1000)
        | too_many(reader, node.place_of("vent"), "vents", node.nodes("vent").len(), 100);
    if too_long {
        return None;
    }
    let runs: Vec<Option<Run>> = nodes.iter().map(|node| run(reader, node, table)).collect();
    let runs: Option<Vec<Run>> = runs.into_iter().collect();
    let check_valve = check_valve(reader, node, riser.as_ref(), table, pumps);
    let relief_hole = hole(reader, node, "relief_hole");
    let drain_hole = hole(reader, node, "drain_hole");
    let mut profile = profile(node);
    if let (Some(last), Some(runs)) = (profile.last_mut(), &runs) {
        // tape and pipe never measure quite alike: the profile ends where the runs do
        let total: Length = runs.iter().map(|run| run.length).sum();
        if (last.at - total).abs() <= total * END_SLACK {
            last.at = total;
        }
    }
    let vents = vents(reader, node, runs.as_deref());
    by_length.ok()?;
    let outlet = node.node("outlet").and_then(|outlet| self::outlet(reader, outlet));
    Some(DischargeLine {
        riser: riser?,
        risers: pumps,
        check_valve: check_valve?,
        relief_hole: relief_hole?,
        drain_hole: drain_hole?,
        vents,
        runs: runs.filter(|runs| !runs.is_empty())?,
        profile,
        outlet: outlet?,
    })
}

/// A run with its pipe; the riser is one too.
fn run(reader: &mut Reader<'_>, node: &Node, table: Option<&str>) -> Option<Run> {
    let pipe = pipe(reader, node);
    // Names of fittings are looked up even where the pipe is not known.
    let stand_in = catalog::pipe("PVC schedule 40", "2 in").ok().map(|entry| &entry.pipe);
    let fittings = pipe.as_ref().or(stand_in).and_then(|pipe| fittings(reader, node, pipe, table));
    let length = node.quantity("length")?;
    if node.has("fittings") && node.entry("fittings")?.value.is_none() {
        return None;
    }
    let allowance = node.number("fittings_allowance").unwrap_or(0.0);
    Some(Run { pipe: pipe?, length, fittings: fittings?, allowance })
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

/// One riser for each pump: two pumps on one riser push against each other's closed valve.
fn risers(reader: &mut Reader<'_>, node: &Node, pumps: u32) {
    let Some(riser) = node.node("riser") else { return };
    let Some(count) = riser.number("count") else { return };
    if count < f64::from(pumps) {
        reader.error(
            ProblemKind::Conflict,
            riser.place_of("count"),
            format!("{pumps} pumps have {count} riser between them"),
            "fewer risers than pumps",
            "each pump needs its own riser with its own check valve up to where the runs begin: leave `count` out",
        );
    } else if count > f64::from(pumps) {
        reader.error(
            ProblemKind::Conflict,
            riser.place_of("count"),
            format!("there are {count} risers for one pump"),
            "more risers than pumps",
            "write `count = 2` in [pumping] for two pumps, or leave it out here",
        );
    }
}

/// Some hole, none, or nothing where it is wrong.
#[allow(clippy::option_option)]
fn hole(reader: &mut Reader<'_>, node: &Node, name: &str) -> Option<Option<ReliefHole>> {
    let Some(hole) = node.node(name) else {
        return node.entry(name).is_none_or(|entry| entry.value.is_some()).then_some(None);
    };
    let diameter = hole.quantity("diameter")?;
    let discharge_coefficient = hole.number("discharge_coefficient").unwrap_or_else(|| {
        reader.assume(
            format!("coefficient of discharge of the {}", name.replace('_', " ")),
            Amount::of(SHARP_HOLE),
            "a sharp-edged round hole; common practice, up to 0.8 for a hole as deep as wide",
        );
        SHARP_HOLE
    });
    Some(Some(ReliefHole { diameter, above_floor: hole.quantity("above_floor"), discharge_coefficient }))
}

fn vents(reader: &mut Reader<'_>, node: &Node, runs: Option<&[Run]>) -> Vec<Vent> {
    let total: Option<Length> = runs.map(|runs| runs.iter().map(|run| run.length).sum());
    let mut vents = Vec::new();
    for vent in node.nodes("vent") {
        let Some(at) = vent.quantity::<Length>("at") else { continue };
        if let Some(total) = total.filter(|total| at > *total) {
            let message = format!(
                "a vent is entered at {}, beyond the end of the runs at {}",
                reader.show(at),
                reader.show(total)
            );
            reader.error(
                ProblemKind::ProfileMismatch,
                vent.place_of("at"),
                message,
                "beyond the end",
                "stations count along the runs from the basin",
            );
        }
        vents.push(Vent { at, open_top: vent.quantity("open_top") });
    }
    vents
}

fn profile(node: &Node) -> Vec<ProfilePoint> {
    let point = |node: &Node| {
        Some(ProfilePoint {
            at: node.quantity("at")?,
            invert: node.quantity("invert")?,
            ground: node.quantity("ground"),
            under: super::crew::surface(node, "under"),
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
