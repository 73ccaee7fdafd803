//! The hole that the basin stands in, and the heights to build to.

use crate::basin::Plan;
use crate::design::Design;
use crate::quantity::{Length, Level, Volume};
use crate::site::{Inlet, Limit, Setup, Site};

/// The hole that the basin stands in.
#[derive(Clone, Debug, PartialEq)]
pub struct Hole {
    /// The ground beside the basin.
    pub ground: Level,
    /// Whether that was entered; otherwise it is the basin's rim.
    pub ground_entered: bool,
    /// What is laid under the basin.
    pub bedding: Limit<Length>,
    /// The bottom of the hole.
    pub bottom: Level,
    /// From the ground to the bottom of the hole.
    pub depth: Length,
    /// The basin from outside: its diameter, or its two sides.
    pub outside: Plan,
    /// The basin's underside.
    pub underside: Level,
    /// The thickness of its floor.
    pub base: Length,
    /// Diameter of a flange at the floor.
    pub flange: Option<Length>,
    /// The collar to pour.
    pub collar: Option<PouredCollar>,
    /// The hole from above: its diameter, or its two sides.
    pub plan: Plan,
    /// The catch basins with what is known of their own holes.
    pub boxes: Vec<CatchBasin>,
    /// Heights to build to, from the top down.
    pub marks: Vec<Mark>,
    /// What is fixed in the basin at a height that nobody entered.
    pub open: Vec<&'static str>,
    /// Rod readings on the bottom of the hole, one for each setup.
    pub rods: Vec<Length>,
}

/// The concrete round the basin's floor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PouredCollar {
    /// Its volume.
    pub volume: Volume,
    /// How far it stands out all round at the floor, and how thick it is, where it is a ring.
    pub ring: Option<(Length, Length)>,
    /// Whether the empty basin needs more than the site file has.
    pub needed: bool,
}

/// The collar to pour: what the empty basin needs so as not to float, else the one of the site file.
pub(super) fn collar(site: &Site, design: &Design) -> Option<PouredCollar> {
    let flotation = &design.flotation;
    let wanted = flotation.ring.filter(|(_, _, volume)| flotation.judged && *volume > Volume::ZERO);
    let needed = wanted.map(|(width, thick, volume)| PouredCollar { volume, ring: Some((width, thick)), needed: true });
    let drawn = || site.ballast.collar.map(|collar| (collar.volume, collar.ring));
    needed.or_else(|| drawn().map(|(volume, ring)| PouredCollar { volume, ring, needed: false }))
}

/// A plan with so much room all round.
pub(super) fn widened(plan: Plan, room: Length) -> Plan {
    match plan {
        Plan::Round(across) => Plan::Round(across + room * 2.0),
        Plan::Rectangular(length, width) => Plan::Rectangular(length + room * 2.0, width + room * 2.0),
    }
}

/// Room all round the basin: to work in, and for its collar.
pub(super) fn room(site: &Site, design: &Design) -> Length {
    let collar = collar(site, design).and_then(|collar| collar.ring).map_or(Length::ZERO, |(width, _)| width);
    site.takeoff.hole_room.value.max(collar)
}

/// The hole of the basin from above.
pub(super) fn plan(site: &Site, design: &Design) -> Plan {
    widened(site.basin.outside_plan(), room(site, design))
}

/// A catch basin and its hole.
#[derive(Clone, Debug, PartialEq)]
pub struct CatchBasin {
    /// Its name.
    pub name: String,
    /// Its rim.
    pub rim: Level,
    /// The lowest point of the pipe that leaves it.
    pub outlet: Option<Level>,
    /// From the rim to the floor of its silt trap.
    pub depth: Option<Length>,
    /// Rod readings on its rim, one for each setup.
    pub rods: Vec<Length>,
}

/// The lowest point of the pipe that leaves a catch basin: as entered, or by its drain.
pub(super) fn box_outlet(site: &Site, inlet: &Inlet) -> Option<Level> {
    let begins = || site.drains.iter().find(|drain| drain.from.as_ref() == Some(&inlet.name));
    inlet.outlet_invert.or_else(|| begins()?.up_invert)
}

fn catch_basin(site: &Site, inlet: &Inlet, setups: &[Setup]) -> CatchBasin {
    let outlet = box_outlet(site, inlet);
    CatchBasin {
        name: inlet.name.clone(),
        rim: inlet.rim,
        outlet,
        depth: outlet.map(|outlet| (inlet.rim - outlet + inlet.silt_trap).max(Length::ZERO)),
        rods: setups.iter().map(|setup| setup.rod_on(inlet.rim)).collect(),
    }
}

/// A height in the basin.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// What it is.
    pub name: String,
    /// Above the floor.
    pub above_floor: Length,
    /// Below the rim; less than nothing where it lies above.
    pub below_rim: Length,
    /// The level.
    pub level: Level,
    /// Rod readings on it, one for each setup.
    pub rods: Vec<Length>,
}

/// What is fixed in the basin at a height that nobody entered. A check valve asks for a relief hole, entered or not.
fn open_heights(site: &Site) -> Vec<&'static str> {
    let line = &site.discharge;
    let valve = line.check_valve.as_ref();
    let relief = valve.is_some() || line.relief_hole.is_some();
    let heights = [
        ("check valve", valve.is_some(), valve.and_then(|valve| valve.above_floor)),
        ("relief hole", relief, line.relief_hole.and_then(|hole| hole.above_floor)),
        ("drain hole", line.drain_hole.is_some(), line.drain_hole.and_then(|hole| hole.above_floor)),
    ];
    heights.into_iter().filter(|(_, there, height)| *there && height.is_none()).map(|(name, ..)| name).collect()
}

pub(super) fn hole(site: &Site, design: &Design, setups: &[Setup]) -> Hole {
    let basin = &site.basin;
    let ground = basin.ground.unwrap_or(basin.rim);
    let underside = basin.underside();
    let bottom = underside - site.crew.basin_bedding.value;
    let rods = |level: Level| setups.iter().map(|setup| setup.rod_on(level)).collect();
    let mark = |name: String, level: Level| Mark {
        name,
        above_floor: level - basin.floor,
        below_rim: basin.rim - level,
        level,
        rods: rods(level),
    };
    let inlets = site.drains.iter().filter(|drain| drain.ends_at_basin());
    let mut marks: Vec<Mark> = design
        .basin_marks
        .iter()
        .map(|known| mark(known.name.to_owned(), known.level))
        .chain(inlets.filter_map(|drain| Some(mark(format!("invert of `{}`", drain.name), drain.down_invert?))))
        .collect();
    marks.sort_by(|one, other| other.above_floor.m().total_cmp(&one.above_floor.m()));
    Hole {
        ground,
        ground_entered: basin.ground.is_some(),
        bedding: site.crew.basin_bedding.clone(),
        bottom,
        depth: ground - bottom,
        outside: basin.outside_plan(),
        plan: plan(site, design),
        boxes: site.inlets.iter().map(|inlet| catch_basin(site, inlet, setups)).collect(),
        underside,
        base: basin.base,
        flange: site.ballast.flange,
        collar: collar(site, design),
        marks,
        open: open_heights(site),
        rods: rods(bottom),
    }
}
