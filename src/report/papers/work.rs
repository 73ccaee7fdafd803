//! The order of the work, each step with the cautions that belong to it.

use super::Sources;
use super::document::{Part, Step};
use super::tape::tape;
use crate::job::{Lies, Stations};
use crate::quantity::{Amount, Length, UnitSystem};
use crate::site::Site;

/// What everybody reads before anything else.
pub(super) fn first_of_all(stations: &Stations, units: UnitSystem) -> Vec<String> {
    vec![
        "Call 811 (or your country's one-call service) before digging and wait for the marks. It does not mark what is private: wire to a shed, gas to a grill, sprinkler lines."
            .to_owned(),
        depth(stations, units),
        "Open holes are covered or fenced whenever nobody works in them. Nobody enters an unshored trench or the basin. Local codes and licensed practice go before this sheet."
            .to_owned(),
    ]
}

/// What the depth asks for: OSHA 29 CFR 1926.651 and .652, from memory.
fn depth(stations: &Stations, units: UnitSystem) -> String {
    let deepest = tape(stations.deepest, units);
    let show = |length: Length| Amount::of(length).show(units);
    let rule = format!(
        "From {} on, and in loose or wet ground sooner, a trench or hole is sloped, shored or boxed before anybody is in it; from {} on a ladder stands within {} of everybody in it; spoil lies {} back (OSHA 29 CFR 1926.651 and .652, from memory)",
        show(stations.protected_from),
        show(stations.ladder_from),
        show(Length::from_ft(25.0)),
        show(Length::from_ft(2.0))
    );
    if stations.protected {
        format!("The deepest digging here that is known goes {deepest}: it needs protection. {rule}.")
    } else if stations.ladder {
        format!(
            "The deepest digging here that is known goes {deepest}: it needs a ladder, and protection where the ground does not stand. {rule}."
        )
    } else {
        format!(
            "The deepest digging here that is known goes {deepest}. {rule}. Shallower walls fall in too, in wet sand soonest."
        )
    }
}

/// Setting what hangs in the basin: what is there, and whether its heights are known.
fn setting(site: &Site, stations: &Stations) -> String {
    let line = &site.discharge;
    let valve = line.check_valve.is_some();
    let parts = [
        ("pump", true),
        ("riser", true),
        ("relief hole", valve || line.relief_hole.is_some()),
        ("drain hole", line.drain_hole.is_some()),
        ("check valve (arrow up)", valve),
    ];
    let there: Vec<&str> = parts.into_iter().filter(|(_, there)| *there).map(|(name, _)| name).collect();
    let heights = match stations.hole.open.as_slice() {
        [] => "at the heights above".to_owned(),
        open => format!(
            "at the heights above; {} where it was decided, not before ({})",
            open.join(" and "),
            if open.len() == 1 { "its height is not entered" } else { "their heights are not entered" }
        ),
    };
    format!("Set {} and union {heights}; tie the floats.", there.join(", "))
}

fn step(what: &str, cautions: &[&str]) -> Step {
    Step { what: what.to_owned(), cautions: cautions.iter().map(|caution| (*caution).to_owned()).collect() }
}

/// The steps.
pub(super) fn order(sources: Sources<'_>) -> Vec<Part> {
    let (site, stations) = (sources.site, &sources.job.stations);
    let units = site.units;
    let mut steps = vec![
        step(
            "Mark out basin, trenches and outlet; agree with the owner where soil and turf go.",
            &[
                "Call before you dig and wait for the marks; dig by hand within two feet (60 cm) of them, or as the marks' rule says.",
                "The outlet: not onto a neighbour, a walk or a road where water freezes, a septic field or a sanitary sewer. The town's rule decides.",
            ],
        ),
        step(
            "Set up the instrument, read the rod on the benchmark, and read the ground at the stations that have a blank.",
            &["If a ground is more than an inch (25 mm) from this sheet, stop and work the sheet out again."],
        ),
    ];
    let mut dig = step(
        "Dig the hole of the basin to its rod reading; keep the bottom flat and undisturbed.",
        &[
            "Nobody in the hole while a machine digs; spoil, pipe and machines stay back from the edge.",
            "A footing beside the hole: stay at least as far away as the hole goes deeper than it, or ask an engineer first.",
            "Water in the hole: pump it from beside, with the pump on a circuit with ground-fault protection and its cord out of the water; pump muddy water onto grass, not into a storm drain.",
        ],
    );
    if stations.ladder {
        dig.cautions.insert(0, depth(stations, units));
    }
    steps.push(dig);
    let collar = stations.hole.collar.is_some();
    steps.push(step(
        if collar {
            "Lay the bedding, set the basin plumb and to level, pour its collar, let it set, and fill the basin with water before groundwater comes up."
        } else {
            "Lay the bedding, set the basin plumb and to level, and fill it with water before groundwater comes up."
        },
        &[
            "An empty basin floats: water in it, ballast and backfill are in place before the hole is left, and before groundwater rises.",
            "Lift with two people or a machine; nobody under the load.",
        ],
    ));
    if stations.trenches.iter().any(|trench| trench.lies != Lies::Discharge) {
        steps.push(step(
            "Dig and lay the gravity drains from the basin up, each length to its rod reading; bed the pipe evenly, bells dug out by hand.",
            &[
                "Check the fall of every length before it is covered: a sag holds water and silt for good.",
                "Cut pipe with eyes covered; plastic chips.",
            ],
        ));
    }
    steps.push(step(
        "Dig and lay the discharge line from the basin to the outlet, each joint as the pipe's maker says (PVC: prime, glue, a quarter turn, hold); sleeves under walks and drives.",
        &[
            "Fumes of primer and cement gather in holes: glue above ground where you can, never with your head in the hole, no flame near.",
            "A trench across a walk or drive is covered or fenced at night.",
        ],
    ));
    steps.push(step(
        &setting(site, stations),
        &[
            "Everything unplugged and locked off. Nobody enters the basin: set the pump by its rope from above, never by its cord.",
            "Reach in only with pump and every cord unplugged: a float can start it.",
        ],
    ));
    steps.push(step(
        "Wiring: circuit, ground-fault protection, disconnect, cable depth and alarm.",
        &[
            "By a licensed electrician under the local code; see the electrical page.",
            "Wet trench and electricity: no cord, tool or light in the trench without ground-fault protection.",
        ],
    ));
    steps.push(step(
        "Run the tests of the start-up sheet with every joint still open to sight; mend what leaks.",
        &["Hands and hair away from the relief hole's jet and the floats; whoever is at the plug sees whoever is at the basin."],
    ));
    steps.push(step(
        "Backfill in layers of six inches (15 cm), no stones against pipe or basin, the basin full of water until its ballast is covered; then the lid, bolted.",
        &[
            "Ballast and backfill stand before groundwater rises; pump the basin down only after that.",
            "The lid bears what may stand on it and cannot be lifted by a child.",
        ],
    ));
    steps.push(step(
        "Take the last levels as laid, write them beside this sheet's, and leave the sheet with the owner.",
        &[],
    ));
    vec![Part::Heading("Order of the work".to_owned()), Part::Steps(steps)]
}
