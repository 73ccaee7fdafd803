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
    /// The least slope at which it carries the flow just full.
    pub least_slope: Option<Slope>,
    /// The least slope asked of its size, and where that is from.
    pub least_fall: (Slope, &'static str),
}

/// Every drain.
pub(super) fn drains<W: Working>(
    site: &Site,
    tree: &Tree,
    parts: &[Contribution],
    rain: Option<&Rain>,
    w: &mut W,
) -> Vec<DrainResult> {
    let pools = backed_up(site, tree, parts, rain);
    if !site.drains.is_empty() {
        w.heading("Gravity drains");
    }
    (1..)
        .zip(site.drains.iter().zip(&tree.drains).zip(pools))
        .map(|(number, ((drain, load), backed))| {
            let flow = load.peak(parts, rain);
            let weighted_area = load.weighted_area(parts);
            one(site, drain, (flow, load.steady, weighted_area), backed, number, w)
        })
        .collect()
}

/// Pools from the basin up: the tailwater of a drain is the water at the head of the one it leads to.
fn backed_up(site: &Site, tree: &Tree, parts: &[Contribution], rain: Option<&Rain>) -> Vec<Option<(BackedUp, Level)>> {
    let mut found: Vec<Option<(BackedUp, Level)>> = site.drains.iter().map(|_| None).collect();
    let on = site.basin.level(site.basin.on);
    for index in &tree.upwards {
        let (Some(drain), Some(load)) = (site.drains.get(*index), tree.drains.get(*index)) else { continue };
        let tailwater = if drain.ends_at_basin() {
            on
        } else {
            // at an inlet the fullest of the pipes that leave it
            let below = site
                .drains
                .iter()
                .zip(&found)
                .filter(|(other, _)| other.name == drain.to || other.from.as_deref() == Some(drain.to.as_str()));
            below.filter_map(|(_, backed)| backed.map(|(backed, _)| backed.pool)).reduce(Level::max).unwrap_or(on)
        };
        let Some(pipe) = drain.as_pipe() else { continue };
        let backed = pipe.backed_up(load.peak(parts, rain), tailwater);
        if let Some(slot) = found.get_mut(*index) {
            *slot = Some((backed, tailwater));
        }
    }
    found
}

fn one<W: Working>(
    site: &Site,
    drain: &Drain,
    (flow, steady, weighted_area): (Flow, Flow, Area),
    backed: Option<(BackedUp, Level)>,
    number: usize,
    w: &mut W,
) -> DrainResult {
    let falls = drain.slope.filter(|slope| slope.ratio() > 0.0);
    let pipe = drain.pipe.as_ref();
    let capacity = pipe.zip(falls).map(|(pipe, slope)| {
        let n = w.given(("n", number), pipe.manning_n);
        let bore = w.given(("Dd", number), pipe.bore);
        let slope = w.given(("S", number), slope);
        let full = full_flow(n, bore, slope);
        w.step(("Qf", number), "flow of the drain just full", GRAVITY_PIPE_SOURCE, full).plain()
    });
    let runs = pipe.zip(falls).map(|(pipe, slope)| {
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
    let tailwater = backed.map(|(_, tailwater)| tailwater);
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
    let short = pipe.zip(falls).filter(|(pipe, slope)| flow > Flow::ZERO && !does(pipe, *slope));
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
        backed: backed.map(|(backed, _)| backed),
        grate_above: grate.map(|inlet| (inlet.name.clone(), inlet.rim)),
        most,
        standing_at_on: lies.filter(|_| drain.ends_at_basin()).map(|pipe| standing(&pipe, site)),
        too_small: short.is_some(),
        next_size: short.and_then(|(pipe, slope)| larger(pipe, |other| does(other, slope))),
        least_slope: pipe
            .filter(|_| capacity.is_some_and(|capacity| flow > capacity))
            .map(|pipe| friction_slope(pipe.manning_n, pipe.bore, flow)),
        least_fall: least_fall(drain),
    }
}

fn standing(pipe: &GravityPipe, site: &Site) -> (Length, Volume) {
    pipe.standing(site.basin.level(site.basin.on))
}

/// The least fall asked of a drain.
fn least_fall(drain: &Drain) -> (Slope, &'static str) {
    let row = match (&drain.french, &drain.pipe) {
        (Some(_), _) => catalog::least_french_fall(),
        (None, Some(pipe)) => catalog::least_fall(pipe.bore),
        (None, None) => catalog::least_fall(Length::from_inch(4.0)),
    };
    (row.value, row.source)
}

/// The smallest larger size of a kind that does; an entered roughness is kept.
fn larger(pipe: &Pipe, does: impl Fn(&Pipe) -> bool) -> Option<&'static PipeEntry> {
    catalog::pipe_sizes(&pipe.material)
        .into_iter()
        .filter_map(|size| catalog::pipe(&pipe.material, size).ok())
        .filter(|entry| entry.pipe.bore > pipe.bore)
        .find(|entry| does(&Pipe { manning_n: pipe.manning_n, ..entry.pipe.clone() }))
}
