//! Gravity pipes: what each carries, how full it runs, how far water backs up in it.

use super::tree::Tree;
use crate::catalog::{self, PipeEntry};
use crate::collection::gravity_pipe::{
    BackedUp, GRAVITY_PIPE_SOURCE, GravityPipe, flow_area, friction_slope, full_flow, normal_depth,
};
use crate::hydraulics::Pipe;
use crate::hydrology::{Contribution, Rain};
use crate::quantity::{Area, Flow, Length, Level, Measure, Slope, Velocity, Volume};
use crate::site::{Drain, Site};
use crate::working::Working;

/// One drain in the design storm.
#[derive(Clone, Debug, PartialEq)]
pub struct DrainResult {
    /// Its name.
    pub name: String,
    /// Where it leads.
    pub to: String,
    /// Whether it is a French drain.
    pub french: bool,
    /// Kind and size of the pipe, where they were entered.
    pub pipe: Option<(String, String)>,
    /// Its length.
    pub length: Length,
    /// Its slope, where it is known.
    pub slope: Option<Slope>,
    /// Inverts of its ends.
    pub inverts: (Option<Level>, Option<Level>),
    /// Ground over the top of the pipe at its ends.
    pub covers: (Option<Length>, Option<Length>),
    /// Area times coefficient that drains to it.
    pub weighted_area: Area,
    /// What reaches it at the peak, steady water included.
    pub flow: Flow,
    /// The steady part of it.
    pub steady: Flow,
    /// What it carries just full by its own fall.
    pub capacity: Option<Flow>,
    /// Mean velocity when it runs just full.
    pub full_velocity: Option<Velocity>,
    /// Depth and velocity at the peak: uniform, or full where it carries more than it can by its own fall.
    pub runs: Option<(Length, Velocity)>,
    /// How the water stands in it at the peak, worked back from the basin's on level.
    pub backed: Option<BackedUp>,
    /// The grate at its head: name, level.
    pub grate_above: Option<(String, Level)>,
    /// The most that gets through it before water stands at that grate.
    pub most: Option<Flow>,
    /// Still water in it when the pump starts: how much of its length, and how much.
    pub standing_at_on: Option<(Length, Volume)>,
    /// Whether it is too small: water would stand at the grate above it, or it runs over-full where there is none.
    pub too_small: bool,
    /// The next size of its kind that would do.
    pub next_size: Option<&'static PipeEntry>,
    /// The least slope with which it would do where it is too small, its upper end staying where it is.
    pub least_slope: Option<Slope>,
    /// The highest on level with which it would do where it is too small and leads to the basin.
    pub on_at_most: Option<Level>,
    /// How many pipes like it in all would do where it is too small.
    pub pipes_like_it: Option<u32>,
    /// The least slope asked of its size, and where that is from.
    pub least_fall: (Slope, &'static str),
}

/// How far a drain is worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Depth {
    /// All of it.
    InFull,
    /// How it lies, and what reaches it: not how the water runs in it, nor whether it is too small.
    AsLaid,
}

/// Every drain.
pub(super) fn drains<W: Working>(
    site: &Site,
    tree: &Tree,
    (parts, rain): (&[Contribution], Option<&Rain>),
    (depth, w): (Depth, &mut W),
) -> Vec<DrainResult> {
    let waters = match depth {
        Depth::InFull => backed_up(site, tree, parts, rain),
        Depth::AsLaid => site.drains.iter().map(|_| None).collect(),
    };
    let pools = waters.into_iter().zip(reached(site, tree));
    if !site.drains.is_empty() {
        w.heading("Gravity drains");
    }
    (1..)
        .zip(site.drains.iter().zip(&tree.drains).zip(pools))
        .map(|(number, ((drain, load), backed))| {
            let flow = load.peak(parts, rain);
            let weighted_area = load.weighted_area(parts);
            one(site, drain, (flow, load.steady, weighted_area), backed, number, (depth, w))
        })
        .collect()
}

/// How the water stands in a drain at the peak.
#[derive(Clone, Copy)]
struct Water {
    backed: BackedUp,
    /// The water at its lower end that it is judged with: where what it leads to is too small, as if that were cured.
    judged_with: Level,
}

/// Pools from the basin up: the tailwater of a drain is the water at the head of the one it leads to.
fn backed_up(site: &Site, tree: &Tree, parts: &[Contribution], rain: Option<&Rain>) -> Vec<Option<Water>> {
    let mut found: Vec<Option<Water>> = site.drains.iter().map(|_| None).collect();
    let on = site.basin.level(site.basin.on);
    let flow_of = |name: &str| {
        site.drains
            .iter()
            .zip(&tree.drains)
            .find(|(other, _)| other.name == name)
            .map(|(_, load)| load.peak(parts, rain))
    };
    let runs_over = |other: &Drain| {
        let carries = other.as_pipe().and_then(|pipe| pipe.full_flow());
        carries.zip(flow_of(&other.name)).is_some_and(|(carries, flow)| flow > carries)
    };
    for index in &tree.upwards {
        let (Some(drain), Some(load)) = (site.drains.get(*index), tree.drains.get(*index)) else { continue };
        let Some(pipe) = drain.as_pipe() else { continue };
        // at an inlet the fullest of the pipes that leave it
        let below = site
            .drains
            .iter()
            .zip(&found)
            .filter(|(other, _)| other.name == drain.to || other.from.as_deref() == Some(drain.to.as_str()));
        // how water stands above a pipe of which too little is known is not known either
        if !drain.ends_at_basin() && below.clone().any(|(_, water)| water.is_none()) {
            continue;
        }
        let pools = below.filter_map(|(other, water)| {
            let pool = (*water)?.backed.pool;
            let rim = other.from.as_deref().and_then(|from| rim_of(site, from));
            Some(match rim {
                // what it does not bring leaves by its grate
                Some(rim) => (pool.min(rim), pool > rim),
                None if runs_over(other) => (pool.min(other.up_invert? + other.pipe.as_ref()?.bore), true),
                None => (pool, false),
            })
        });
        let fullest = pools.reduce(|one, next| (one.0.max(next.0), one.1 || next.1));
        let (tailwater, short_below) = if drain.ends_at_basin() { (on, false) } else { fullest.unwrap_or((on, false)) };
        let crown = pipe.down_invert + pipe.bore;
        let water = Water {
            backed: pipe.backed_up(load.peak(parts, rain), tailwater),
            judged_with: if short_below { tailwater.min(crown) } else { tailwater },
        };
        if let Some(slot) = found.get_mut(*index) {
            *slot = Some(water);
        }
    }
    found
}

fn rim_of(site: &Site, inlet: &str) -> Option<Level> {
    site.inlets.iter().find(|known| known.name == inlet).map(|known| known.rim)
}

/// Which drains still water stands in at the on level: those at the basin, and those above that it reaches through them.
fn reached(site: &Site, tree: &Tree) -> Vec<bool> {
    let on = site.basin.level(site.basin.on);
    let mut found: Vec<bool> = site.drains.iter().map(|_| false).collect();
    for index in &tree.upwards {
        let Some(drain) = site.drains.get(*index) else { continue };
        let through = |other: &Drain| other.name == drain.to || other.from.as_deref() == Some(drain.to.as_str());
        let reaches = drain.ends_at_basin()
            || site
                .drains
                .iter()
                .zip(&found)
                .any(|(other, is)| *is && through(other) && other.up_invert.is_some_and(|up| up < on));
        if let Some(slot) = found.get_mut(*index) {
            *slot = reaches;
        }
    }
    found
}

fn one<W: Working>(
    site: &Site,
    drain: &Drain,
    (flow, steady, weighted_area): (Flow, Flow, Area),
    (water, reached): (Option<Water>, bool),
    number: usize,
    (depth, w): (Depth, &mut W),
) -> DrainResult {
    let in_full = depth == Depth::InFull;
    let falls = drain.slope.filter(|slope| slope.ratio() > 0.0);
    let pipe = drain.pipe.as_ref();
    let capacity = pipe.zip(falls).map(|(pipe, slope)| {
        let n = w.given(("n", number), pipe.manning_n);
        let bore = w.given(("Dd", number), pipe.bore);
        let slope = w.given(("S", number), slope);
        let full = full_flow(n, bore, slope);
        w.step(("Qf", number), "flow of the drain just full", GRAVITY_PIPE_SOURCE, full).plain()
    });
    let runs = pipe.zip(falls).filter(|_| in_full).map(|(pipe, slope)| {
        normal_depth(pipe.manning_n, pipe.bore, slope, flow).map_or_else(
            || (pipe.bore, flow / pipe.area()),
            |depth| {
                let area = flow_area(pipe.bore, depth);
                let velocity = if area > Area::ZERO { flow / area } else { Velocity::ZERO };
                (depth, velocity)
            },
        )
    });
    let lies = drain.as_pipe();
    let grate = drain.from.as_ref().and_then(|from| site.inlets.iter().find(|inlet| &inlet.name == from));
    let tailwater = water.map(|water| water.judged_with);
    let most = lies.zip(grate).zip(tailwater).map(|((pipe, inlet), tailwater)| pipe.most_flow(inlet.rim, tailwater));
    let cover = |ground: Option<Level>, invert: Option<Level>| {
        let pipe = pipe?;
        Some(ground? - invert? - (pipe.bore + pipe.outside_diameter) / 2.0)
    };
    let rim = grate.map(|inlet| inlet.rim);
    // what is asked of another size: that no water stands at the grate above, or without one that it does not run over-full
    let does = |pipe: &Pipe, slope: Slope| match (rim, tailwater, lies) {
        (Some(rim), Some(tailwater), Some(lies)) => {
            GravityPipe { bore: pipe.bore, manning_n: pipe.manning_n, ..lies }.most_flow(rim, tailwater) >= flow
        }
        _ => full_flow(pipe.manning_n, pipe.bore, slope) >= flow,
    };
    let short = pipe.zip(falls).filter(|(pipe, slope)| in_full && flow > Flow::ZERO && !does(pipe, *slope));
    let cures = short.map(|(pipe, slope)| match (rim, tailwater, lies) {
        (Some(rim), Some(tailwater), Some(lies)) => under_a_grate(&lies, flow, rim, tailwater),
        _ => Cures {
            least_slope: Some(friction_slope(pipe.manning_n, pipe.bore, flow)),
            on_at_most: None,
            pipes_like_it: pipes_for(flow, full_flow(pipe.manning_n, pipe.bore, slope)),
        },
    });
    DrainResult {
        name: drain.name.clone(),
        to: drain.to.clone(),
        french: drain.french.is_some(),
        pipe: pipe.map(|pipe| (pipe.material.clone(), pipe.size.clone())),
        length: drain.length,
        slope: drain.slope,
        inverts: (drain.up_invert, drain.down_invert),
        covers: (cover(drain.up_ground, drain.up_invert), cover(drain.down_ground, drain.down_invert)),
        weighted_area,
        flow,
        steady,
        capacity,
        full_velocity: capacity.zip(pipe).map(|(capacity, pipe)| capacity / pipe.area()),
        runs: runs.filter(|_| flow > Flow::ZERO),
        backed: water.map(|water| water.backed),
        grate_above: grate.map(|inlet| (inlet.name.clone(), inlet.rim)),
        most,
        standing_at_on: lies.filter(|_| reached).map(|pipe| standing(&pipe, site)),
        too_small: short.is_some(),
        next_size: short.and_then(|(pipe, slope)| larger(pipe, |other| does(other, slope))),
        least_slope: cures.as_ref().and_then(|cures| cures.least_slope),
        on_at_most: cures.as_ref().and_then(|cures| cures.on_at_most).filter(|_| drain.ends_at_basin()),
        pipes_like_it: cures.and_then(|cures| cures.pipes_like_it),
        least_fall: least_fall(drain),
    }
}

/// What would do for a pipe that is too small.
struct Cures {
    least_slope: Option<Slope>,
    on_at_most: Option<Level>,
    pipes_like_it: Option<u32>,
}

/// How many pipes bring a flow of which one brings so much; none where that is not two to six.
fn pipes_for(flow: Flow, one: Flow) -> Option<u32> {
    (2..=6).find(|count| one * f64::from(*count) >= flow)
}

/// Halvings of a search between what does and what does not.
const HALVINGS: u32 = 50;
/// No drain is laid steeper to cure it: common practice, no source.
const STEEPEST: Slope = Slope::from_percent(20.0);

/// Between what does not and what does, where the latter does.
fn between(not_m: f64, does_m: f64, does: impl Fn(f64) -> bool) -> Option<f64> {
    if !does(does_m) {
        return None;
    }
    let (mut not_m, mut does_m) = (not_m, does_m);
    for _ in 0..HALVINGS {
        let middle_m = f64::midpoint(not_m, does_m);
        if does(middle_m) {
            does_m = middle_m;
        } else {
            not_m = middle_m;
        }
    }
    Some(does_m)
}

/// What keeps the water in the catch basin below its grate.
fn under_a_grate(pipe: &GravityPipe, flow: Flow, rim: Level, tailwater: Level) -> Cures {
    let sloping = |ratio: f64| {
        let down_invert = pipe.up_invert - Slope::from_ratio(ratio) * pipe.length;
        GravityPipe { down_invert, ..*pipe }.backed_up(flow, tailwater).pool <= rim
    };
    let with_on = |level_m: f64| pipe.backed_up(flow, Level::from_m(level_m)).pool <= rim;
    Cures {
        least_slope: between(pipe.slope().ratio(), STEEPEST.ratio(), sloping).map(Slope::from_ratio),
        on_at_most: between(tailwater.m(), pipe.down_invert.m(), with_on)
            .filter(|_| tailwater > pipe.down_invert)
            .map(Level::from_m),
        pipes_like_it: pipes_for(flow, pipe.most_flow(rim, tailwater)),
    }
}

fn standing(pipe: &GravityPipe, site: &Site) -> (Length, Volume) {
    pipe.standing(site.basin.level(site.basin.on))
}

/// The least fall asked of a drain.
pub(in crate::design) fn least_fall(drain: &Drain) -> (Slope, &'static str) {
    let row = match (&drain.french, &drain.pipe) {
        (Some(_), _) => catalog::least_french_fall(),
        (None, Some(pipe)) => catalog::least_fall(pipe.bore),
        (None, None) => catalog::least_fall(Length::from_inch(4.0)),
    };
    (row.value, row.source)
}

/// The smallest larger size of a kind that does; an entered roughness is kept.
pub(super) fn larger(pipe: &Pipe, does: impl Fn(&Pipe) -> bool) -> Option<&'static PipeEntry> {
    catalog::pipe_sizes(&pipe.material)
        .into_iter()
        .filter_map(|size| catalog::pipe(&pipe.material, size).ok())
        .filter(|entry| entry.pipe.bore > pipe.bore)
        .find(|entry| does(&Pipe { manning_n: pipe.manning_n, ..entry.pipe.clone() }))
}
