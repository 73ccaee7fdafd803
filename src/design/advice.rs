//! What to do at check valve and relief hole here, the cautions, and when to stop and hire somebody.

use super::checks::finer;
use super::line::LineAtRest;
use super::phrase::{Phrase, percent, phrase};
use super::pump::{PumpResult, WaterLevel};
use crate::catalog;
use crate::hydraulics::ReliefHole;
use crate::hydraulics::friction::hazen_williams_loss;
use crate::quantity::{Amount, Length, Level, Volume};
use crate::site::Site;

/// What a piece of advice belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Topic {
    /// The check valve.
    CheckValve,
    /// The relief hole.
    ReliefHole,
    /// Safety.
    Caution,
    /// When to stop and hire somebody.
    Hire,
}

impl Topic {
    /// All of them in the order of the report.
    pub const ALL: [Self; 4] = [Self::CheckValve, Self::ReliefHole, Self::Caution, Self::Hire];
    /// Its heading.
    pub fn heading(self) -> &'static str {
        match self {
            Self::CheckValve => "Check valve",
            Self::ReliefHole => "Relief hole",
            Self::Caution => "Cautions",
            Self::Hire => "When to stop and hire somebody",
        }
    }
    /// Its name in data.
    pub fn name(self) -> &'static str {
        match self {
            Self::CheckValve => "check_valve",
            Self::ReliefHole => "relief_hole",
            Self::Caution => "caution",
            Self::Hire => "hire",
        }
    }
}

/// One piece of advice.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    /// What it belongs to.
    pub topic: Topic,
    /// The sentence.
    pub sentence: Phrase,
}

/// A trench or pit of this depth needs protection: OSHA 29 CFR 1926.652, from memory.
pub(crate) const PROTECTED_DEPTH: Length = Length::from_ft(5.0);
/// From this depth a ladder: OSHA 29 CFR 1926.651, from memory.
pub(crate) const LADDER_DEPTH: Length = Length::from_ft(4.0);

pub(super) fn advice(site: &Site, pump: Option<&PumpResult>, rest: &LineAtRest) -> Vec<Advice> {
    let mut all = Vec::new();
    let mut add = |topic, sentences: Vec<Phrase>| {
        all.extend(sentences.into_iter().map(|sentence| Advice { topic, sentence }));
    };
    add(Topic::CheckValve, check_valve(site, pump, rest));
    add(Topic::ReliefHole, relief_hole(site, pump));
    add(Topic::Caution, cautions(site));
    add(Topic::Hire, hire(site));
    all
}

fn check_valve(site: &Site, pump: Option<&PumpResult>, rest: &LineAtRest) -> Vec<Phrase> {
    let mut say = Vec::new();
    let line = &site.discharge;
    let cycle = pump.and_then(|pump| pump.cycle.as_ref());
    if let Some(valve) = &line.check_valve {
        let place = valve.above_floor.map_or_else(
            || {
                phrase!(
                    "A {} check valve goes in the {} riser, above the relief hole and below the first buried run.",
                    valve.kind.as_str(),
                    line.riser.pipe.size.as_str()
                )
            },
            |height| {
                phrase!(
                    "{} check valve goes in {} {} riser, {} above the floor ({} below the rim).",
                    if site.pumping.count > 1 { format!("A {}", valve.kind) } else { format!("The {}", valve.kind) },
                    if site.pumping.count > 1 { "each" } else { "the" },
                    line.riser.pipe.size.as_str(),
                    Amount::small(height),
                    Amount::small(site.basin.depth() - height)
                )
            },
        );
        say.push(place);
        say.push(phrase!("Its arrow points up, the way the water goes, away from the pump. Most swing flaps want to stand upright or level, never upside down."));
        say.push(phrase!("Keep it serviceable: a union or a clamped joint just above it and within reach, so that pump and valve lift out without a saw. Never glue it where nobody can reach."));
        if let Some(cycle) = cycle {
            let sticks = if cycle.restarts_without_valve {
                "alone starts the pump again, for ever"
            } else {
                "would not start the pump again by itself, but has to be pumped again each time"
            };
            say.push(if rest.held {
                phrase!(
                    "With it {} runs back at each stop, a rise of {} in the basin. Without it, or when its flap sticks, {} of the {} in the line would: a rise of {}, which {}.",
                    cycle.drain_back.with_valve,
                    Amount::small(cycle.rise),
                    cycle.drain_back.without_valve,
                    cycle.drain_back.line_volume,
                    Amount::small(cycle.rise_without_valve),
                    sticks
                )
            } else {
                phrase!(
                    "After each stop {} of the {} in the line run back through the drain hole above it: a rise of {} in the basin, which {}.",
                    cycle.drain_back.without_valve,
                    cycle.drain_back.line_volume,
                    Amount::small(cycle.rise),
                    sticks
                )
            });
        }
        if let Some(flow) = pump.and_then(|pump| pump.point(WaterLevel::Mean)) {
            let velocity = crate::hydraulics::friction::pipe_velocity(flow.line_flow, line.riser.pipe.bore);
            say.push(if valve.equivalent > Length::ZERO {
                let pipe = &line.riser.pipe;
                phrase!(
                    "It costs {} of head at {}, as much as {} of the riser's pipe ({}).",
                    hazen_williams_loss(valve.equivalent, flow.line_flow, pipe.hazen_williams_c, pipe.bore),
                    flow.line_flow,
                    valve.equivalent,
                    valve.source.as_str()
                )
            } else {
                phrase!(
                    "It costs {} of head at {} (K {}, {}).",
                    crate::hydraulics::loss::minor_loss(valve.k, velocity),
                    flow.line_flow,
                    valve.k,
                    valve.source.as_str()
                )
            });
        }
        say.extend(what_stays(site, pump, rest));
    } else {
        if let Some(cycle) = cycle {
            say.push(phrase!(
                "There is none. {} runs back at each stop, a rise of {} in the basin between floats {} apart.",
                cycle.drain_back.without_valve,
                Amount::small(cycle.rise),
                Amount::small(site.basin.on - site.basin.off)
            ));
        }
        say.push(phrase!("A valve would go in the riser within reach of the rim, arrow up, with a union above it and a relief hole below it."));
    }
    say
}

/// What the valve keeps in the line, and what that means in frost.
fn what_stays(site: &Site, pump: Option<&PumpResult>, rest: &LineAtRest) -> Vec<Phrase> {
    let stays = rest.volume_that_stays();
    if !rest.held {
        return drain_hole(site, pump, rest);
    }
    if stays <= Volume::ZERO {
        return vec![phrase!("Nothing stays in the line between runs: it runs out at its end.")];
    }
    let known = !rest.covers.is_empty() && rest.covers.iter().all(Option::is_some);
    let frost = match site.frost {
        Some(_) if !known && rest.freezes.is_empty() => phrase!(
            "With it {} stay in the line between runs; whether frost reaches them is not known without the ground all along.",
            stays
        ),
        Some(frost) if rest.freezes.is_empty() => {
            phrase!(
                "With it {} stay in the line between runs, below the frost of {}.",
                stays,
                Amount::small(frost.depth)
            )
        }
        Some(frost) if rest.volume_that_freezes() > stays * 0.99 => {
            phrase!(
                "With it {} stay in the line between runs; frost of {} reaches all of them.",
                stays,
                Amount::small(frost.depth)
            )
        }
        Some(frost) => phrase!(
            "With it {} stay in the line between runs; frost of {} reaches {} of them.",
            stays,
            Amount::small(frost.depth),
            rest.volume_that_freezes()
        ),
        None => phrase!(
            "With it {} stay in the line between runs: where frost reaches the line, it needs a way to drain or must lie below the frost.",
            stays
        ),
    };
    vec![frost]
}

/// The hole above the valve through which the line runs empty.
fn drain_hole(site: &Site, pump: Option<&PumpResult>, rest: &LineAtRest) -> Vec<Phrase> {
    let Some(hole) = site.discharge.drain_hole else { return Vec::new() };
    let mut say = vec![match hole.above_floor {
        Some(height) => phrase!(
            "Drill the drain hole of {} {} above the floor, above the check valve and inside the basin, slanting down.",
            Amount::drill(hole.diameter),
            Amount::small(height)
        ),
        None => phrase!(
            "Drill the drain hole of {} above the check valve and inside the basin, slanting down.",
            Amount::drill(hole.diameter)
        ),
    }];
    if let Some(point) = pump.and_then(|pump| pump.point(WaterLevel::Mean)) {
        say.push(phrase!(
            "It runs back {} of the {} pumped ({}) as long as the pump runs: the price of an empty line.",
            point.drained,
            point.pump_flow,
            percent(point.drained / point.pump_flow)
        ));
    }
    if let Some(time) = rest.drain_time {
        say.push(phrase!(
            "It empties the line in about {} after a stop, if air gets in at the far end or at a vent. Clear it with a wire each year: where it is blocked, the line freezes.",
            time
        ));
    }
    say
}

fn relief_hole(site: &Site, pump: Option<&PumpResult>) -> Vec<Phrase> {
    let line = &site.discharge;
    let mut say = Vec::new();
    let Some(hole) = line.relief_hole else {
        if line.check_valve.is_some() {
            say.push(phrase!("There is none. Unless the pump's maker provides one, drill a hole of {} in the riser between pump and check valve, inside the basin, pointing down (common practice, no source).", Amount::drill(ReliefHole::USUAL_DIAMETER)));
        }
        return say;
    };
    let place =
        if line.check_valve.is_some() { "between pump and check valve, inside the basin" } else { "inside the basin" };
    say.push(match hole.above_floor {
        Some(height) => phrase!(
            "Drill a hole of {} in the riser {} above the floor, {}, slanting down so that the jet stays below the rim and off the floats.",
            Amount::drill(hole.diameter),
            Amount::small(height),
            place
        ),
        None => phrase!(
            "Drill a hole of {} in the riser, {}, slanting down so that the jet stays below the rim and off the floats.",
            Amount::drill(hole.diameter),
            place
        ),
    });
    if let Some((pump, point)) = pump.and_then(|pump| pump.point(WaterLevel::Mean).map(|point| (pump, point))) {
        let greatest = pump.greatest_leak.unwrap_or(point.leak);
        say.push(phrase!(
            "It leaks {} of the {} pumped ({}), up to {} if it is as deep as wide.",
            point.leak,
            point.pump_flow,
            percent(point.leak / point.pump_flow),
            greatest
        ));
        if let Some(without) = pump.without_hole {
            let (with, bare) = finer(point.line_flow, without, site.units);
            say.push(phrase!(
                "It costs {} of what reaches the outlet: {} with it, {} without. Air lock would cost all of it.",
                without - point.line_flow,
                with,
                bare
            ));
        }
    }
    say.push(phrase!("Clear it with a wire at each yearly visit: silt and rust slime (ochre) close it."));
    say
}

/// The deepest that anybody digs: under the basin's floor from the ground beside it, the trench of the line or of a
/// drain, a catch basin.
fn deepest_dig(site: &Site) -> Length {
    let beside = site.discharge.profile.first().and_then(|point| point.ground);
    let ground = site.basin.ground.or(beside).map_or(site.basin.rim, |ground| ground.max(site.basin.rim));
    let line = site.discharge.profile.iter().filter_map(|point| Some(point.ground? - point.invert));
    let drains = site.drains.iter().flat_map(|drain| {
        let below = drain
            .french
            .as_ref()
            .and_then(|french| french.trench.as_ref())
            .map_or(Length::ZERO, |trench| trench.below_pipe);
        let dig = |ground: Option<Level>, invert: Option<Level>| Some(ground? - invert? + below);
        [dig(drain.up_ground, drain.up_invert), dig(drain.down_ground, drain.down_invert)]
    });
    let boxes = site.inlets.iter().filter_map(|inlet| Some(inlet.rim - inlet.outlet_invert? + inlet.silt_trap));
    line.chain(drains.flatten())
        .chain(boxes)
        .fold(ground - site.basin.underside() + site.crew.basin_bedding.value, Length::max)
}

fn cautions(site: &Site) -> Vec<Phrase> {
    let depth = deepest_dig(site);
    let mut say = vec![phrase!(
        "Call 811 (or your country's one-call service) before digging, wait for the marks, dig by hand beside them."
    )];
    // tape and drawing never agree to the inch
    if depth >= PROTECTED_DEPTH * 0.98 {
        say.push(phrase!(
            "Digging goes {} deep: a pit or trench of {} or more needs shoring or sloped walls, a ladder and a person outside (OSHA 29 CFR 1926.651 and .652, from memory). Wet sand runs long before that.",
            depth,
            PROTECTED_DEPTH
        ));
    } else if depth >= LADDER_DEPTH {
        say.push(phrase!(
            "Digging goes {} deep: a ladder from {}, spoil {} back, and nobody steps into a narrow wet pit (OSHA 29 CFR 1926.651, from memory).",
            depth,
            LADDER_DEPTH,
            Length::from_ft(2.0)
        ));
    } else {
        say.push(phrase!(
            "Pit walls fall in, in wet sand soonest: nobody kneels in a narrow pit, spoil lies {} back.",
            Length::from_ft(2.0)
        ));
    }
    say.push(phrase!("A pit takes the ground from under a footing beside it: keep it at least as far away as it goes deeper than the footing (common practice, no source), and ask an engineer before going nearer."));
    say.push(phrase!("While you dig, the open hole is covered or fenced whenever nobody works in it. Nobody climbs into the basin: it is narrow, wet, and may hold bad air."));
    say.push(phrase!("Electricity and water: circuit, ground-fault protection, cable depth and disconnect by a licensed electrician under the local code. Unplug the pump and every cord before reaching into water: a float can start the pump while a hand is in it."));
    say.push(phrase!("Cover the basin with a lid that bears what may stand on it, and fasten it: children and feet."));
    say.push(phrase!("Never into a sanitary sewer or septic tank. Ask the town, and the neighbour, where the water may go: distances to lot lines, permits, ice on walks. The local rule decides."));
    say.push(phrase!("A storm that needs the pump often takes the power with it: alarm, a way for water to run off by gravity, or a backup. An engine or generator runs outdoors only, away from doors and windows: its exhaust kills."));
    let banded = catalog::default_limits().band_coupling_head.value;
    if site.pumps.iter().any(|pump| pump.curve.highest().1 > banded) {
        let joints = if site.discharge.runs.iter().all(|run| catalog::is_polyethylene(&run.pipe)) {
            "join the buried line with fittings made for its pipe and pressure, not with glue, which does not hold on polyethylene"
        } else {
            "glue the pressure joints of the buried line"
        };
        say.push(phrase!(
            "The pump can make more than {}: rubber couplings with band clamps blow off; {}.",
            banded,
            joints
        ));
    }
    if site.pumping.count > 1 {
        say.push(phrase!("Two pumps: each on a circuit of its own, the alarm on a third, so that one tripped breaker does not take all of them. A licensed electrician."));
    }
    if site.groundwater.seasonal_high.is_some_and(|high| high > site.basin.floor) {
        say.push(phrase!("Groundwater stands above the basin's floor: keep the hole pumped, or the basin full of water, until collar and backfill hold it down."));
    }
    if site.drains.iter().any(|drain| drain.french.is_some()) || site.groundwater.basin_perforated {
        say.push(phrase!("Lowering groundwater beside footings on soft clay, peat or running sand can move them: ask an engineer (from memory). Draining near a wetland, and pumping muddy water, is regulated: ask the town."));
    }
    say
}

fn hire(site: &Site) -> Vec<Phrase> {
    let mut say = vec![
        phrase!("All wiring: a licensed electrician."),
        phrase!(
            "Water from a sewer, a septic field or a broken main; a basement or foundation that lets water in; soft clay, peat or running sand beside footings: an engineer before any digging."
        ),
    ];
    if deepest_dig(site) >= PROTECTED_DEPTH * 0.98 {
        say.push(phrase!(
            "A pit or trench {} deep: somebody with shoring or a trench box, and a person outside.",
            deepest_dig(site)
        ));
    }
    say.push(phrase!(
        "Levels you cannot measure to within {}: somebody with a laser. The levels decide whether this design works.",
        Amount::small(Length::from_inch(0.5))
    ));
    say
}
