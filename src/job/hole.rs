//! The hole that the basin stands in, and the heights to build to.

use crate::design::Design;
use crate::quantity::{Length, Level, Volume};
use crate::site::{Limit, Setup, Site};

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
    pub outside: (Length, Option<Length>),
    /// The basin's underside.
    pub underside: Level,
    /// The thickness of its floor.
    pub base: Length,
    /// Diameter of a flange at the floor.
    pub flange: Option<Length>,
    /// The concrete of a collar, and how far it stands out all round at the floor and how thick it is where it is a ring.
    pub collar: Option<(Volume, Option<(Length, Length)>)>,
    /// Heights to build to, from the top down.
    pub marks: Vec<Mark>,
    /// Rod readings on the bottom of the hole, one for each setup.
    pub rods: Vec<Length>,
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
        outside: match basin.outside_plan() {
            crate::basin::Plan::Round(diameter) => (diameter, None),
            crate::basin::Plan::Rectangular(length, width) => (length, Some(width)),
        },
        underside,
        base: basin.base,
        flange: site.ballast.flange,
        collar: site.ballast.collar.map(|collar| (collar.volume, collar.ring)),
        marks,
        rods: rods(bottom),
    }
}
