//! Groundwater: what seeps into the French drains and through the basin's wall, as a range.

use crate::collection::gravity_pipe::full_flow;
use crate::collection::groundwater::{
    DUPUIT_SOURCE, drawdown_left, dupuit_inflow, equivalent_depth, hooghoudt_inflow, reach_after, time_to_mid_height,
    well_inflow,
};
use crate::collection::measured::{inflow_from_pump_times, inflow_from_rise};
use crate::quantity::{Duration, Flow, Length, Level, Measure, Velocity};
use crate::site::{Drain, Ground, Site};
use crate::working::Working;
use std::f64::consts::PI;

/// Depth from a drain down to the tight layer where it is not known: taken, least and most. Common practice, no source.
const TIGHT_LAYER_BELOW: (Length, Length, Length) = (Length::from_ft(3.0), Length::ZERO, Length::from_ft(10.0));
/// Time since the table rose that the reach is taken for, where the reach is not known: taken, longest (the least flow)
/// and shortest (the most). Common practice, no source.
const SINCE: (Duration, Duration, Duration) =
    (Duration::from_day(7.0), Duration::from_day(30.0), Duration::from_day(1.0));
/// Share of the ground that gives up its water where neither it nor a texture is known: taken, least and most. Common
/// practice, no source.
const DRAINABLE: (f64, f64, f64) = (0.1, 0.03, 0.25);
/// A reach no shorter than this, so that a flow out of tight ground stays finite: common practice, no source.
const LEAST_REACH: Length = Length::from_ft(3.0);

/// Where the flow taken comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum InflowBasis {
    /// Entered as a number.
    Entered,
    /// From a rise that was measured, or the times of a pump.
    Measured,
    /// Worked out from the ground.
    Calculated,
}

/// A flow with the range that it may lie in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ranged<Q> {
    /// The one taken.
    pub taken: Q,
    /// Its likely least.
    pub low: Q,
    /// Its likely most.
    pub high: Q,
}

/// What seeps into one French drain.
#[derive(Clone, Debug, PartialEq)]
pub struct Seep {
    /// How much of the drain lies in groundwater; all of it where none does.
    pub wet_length: Length,
    /// The water that the drain holds, on an average over that.
    pub held: Level,
    /// Groundwater above it.
    pub head: Length,
    /// From the water in the drain down to the tight layer.
    pub tight_layer_below: Ranged<Length>,
    /// The depth that stands for it where the flow gathers to a drain.
    pub equivalent_depth: Length,
    /// How far out the table is lowered: the shortest brings the most.
    pub reach: Ranged<Length>,
    /// The flow.
    pub flow: Ranged<Flow>,
    /// What it falls to with time once the rain is over, as the table is lowered further and further out.
    pub falling: [(Duration, Flow); 3],
    /// How long the table takes to fall to half at the reach that was entered, once the rain is over; none without one.
    pub half_down_after: Option<Duration>,
    /// How far the table is lowered at a distance from the drain after a day and after a week, once the rain is over.
    pub felt: Felt,
}

/// How far the table is lowered away from a drain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Felt {
    /// The distance.
    pub at: Length,
    /// Lowered by so much after a day.
    pub after_a_day: Length,
    /// Lowered by so much after a week.
    pub after_a_week: Length,
}

/// The distance from a drain at which its work is told, or half-way to the reach: common practice, no source.
const FELT_AT: Length = Length::from_ft(20.0);
/// The days for which the falling flow is told: common practice, no source.
const FALLING: [f64; 3] = [1.0, 7.0, 30.0];

/// Groundwater on the site.
#[derive(Clone, Debug, PartialEq)]
pub struct GroundwaterResult {
    /// How high it stands in a wet season.
    pub seasonal_high: Option<Level>,
    /// How the ground lets it through, where that is known.
    pub ground: Option<Ground>,
    /// What seeps into each drain, in the site's order; none for a solid pipe or where it is not known.
    pub seeps: Vec<Option<Seep>>,
    /// What comes through the basin's own wall, where it has holes.
    pub through_wall: Option<Ranged<Flow>>,
    /// Whether the pipes of all French drains lie above it, so that none comes that way.
    pub drains_lie_above: bool,
    /// All of it by calculation; none where level or ground is not known or no drain takes it.
    pub calculated: Option<Ranged<Flow>>,
    /// By what was measured.
    pub measured: Option<Flow>,
    /// The flow that the design counts.
    pub flow: Flow,
    /// Its likely most.
    pub high: Flow,
    /// Where it comes from.
    pub basis: InflowBasis,
}

impl GroundwaterResult {
    /// The groundwater that each drain brings: the calculated shares of what is counted, or by length.
    pub(in crate::design) fn by_drain(&self, site: &Site) -> (Vec<Flow>, Flow) {
        let own =
            |index: usize| self.seeps.get(index).and_then(Option::as_ref).map_or(Flow::ZERO, |seep| seep.flow.taken);
        let calculated: Flow = (0..site.drains.len()).map(own).sum();
        let wall = self.through_wall.map_or(Flow::ZERO, |flow| flow.taken);
        if calculated + wall > Flow::ZERO {
            let scale = self.flow / (calculated + wall);
            return ((0..site.drains.len()).map(|index| own(index) * scale).collect(), wall * scale);
        }
        let french: Length = site.drains.iter().filter(|drain| drain.french.is_some()).map(|drain| drain.length).sum();
        if french <= Length::ZERO {
            return (site.drains.iter().map(|_| Flow::ZERO).collect(), self.flow);
        }
        let share = |drain: &Drain| if drain.french.is_some() { drain.length / french } else { 0.0 };
        (site.drains.iter().map(|drain| self.flow * share(drain)).collect(), Flow::ZERO)
    }
}

/// Works groundwater out.
pub(in crate::design) fn groundwater<W: Working>(site: &Site, w: &mut W) -> GroundwaterResult {
    let known = &site.groundwater;
    let (mut seeps, mut through_wall) = (Vec::with_capacity(site.drains.len()), None);
    if let (Some(high), Some(ground)) = (known.seasonal_high, known.ground.as_ref()) {
        w.heading("Groundwater into the drains");
        for (number, drain) in (1..).zip(&site.drains) {
            seeps.push(seep(site, drain, high, ground, number, w));
        }
        through_wall = wall(site, high, ground);
    }
    seeps.resize(site.drains.len(), None);
    let brought = |(seep, drain): (&Option<Seep>, &Drain)| {
        let flow = seep.as_ref()?.flow;
        // more than its pipe carries stays in the ground
        let high = carries(drain).map_or(flow.high, |carries| flow.high.min(carries.max(flow.taken)));
        Some(Ranged { high, ..flow })
    };
    let flows: Vec<Ranged<Flow>> = seeps.iter().zip(&site.drains).filter_map(brought).chain(through_wall).collect();
    let calculated: Option<Ranged<Flow>> = (!flows.is_empty()).then(|| Ranged {
        taken: flows.iter().map(|flow| flow.taken).sum(),
        low: flows.iter().map(|flow| flow.low).sum(),
        high: flows.iter().map(|flow| flow.high).sum(),
    });
    let measured = measured(site);
    let (flow, high, basis) = match (known.inflow, measured, calculated) {
        (Some(entered), ..) => (entered, entered, InflowBasis::Entered),
        // a pit is small beside a drain: without the drain open into it, it shows less than will come
        (None, Some(measured), Some(calculated)) if !site.measured.with_drain && calculated.taken > measured => {
            (calculated.taken, calculated.high, InflowBasis::Calculated)
        }
        // one day is one day: the ground may bring more in a wetter week
        (None, Some(measured), calculated) => {
            let high = calculated.map_or(measured, |calculated| calculated.high.max(measured));
            (measured, high, InflowBasis::Measured)
        }
        (None, None, Some(calculated)) => (calculated.taken, calculated.high, InflowBasis::Calculated),
        (None, None, None) => (Flow::ZERO, Flow::ZERO, InflowBasis::Calculated),
    };
    GroundwaterResult {
        seasonal_high: known.seasonal_high,
        ground: known.ground.clone(),
        seeps,
        through_wall,
        drains_lie_above: known.seasonal_high.is_some_and(|high| lie_above(site, high)),
        calculated,
        measured,
        flow,
        high,
        basis,
    }
}

/// Whether the pipe of every French drain lies above a level, from end to end.
fn lie_above(site: &Site, level: Level) -> bool {
    let ends = |drain: &Drain| [drain.up_invert, drain.down_invert].into_iter().flatten().reduce(Level::min);
    let french = || site.drains.iter().filter(|drain| drain.french.is_some());
    french().count() > 0 && french().all(|drain| ends(drain).is_some_and(|lowest| lowest >= level))
}

/// The inflow that was measured.
fn measured(site: &Site) -> Option<Flow> {
    let rise = site.measured.rise.map(|rise| inflow_from_rise(rise.plan, rise.rise, rise.over));
    // what the pump moves in its run came in over the whole cycle
    rise.or_else(|| {
        let times = site.measured.pump_times?;
        Some(inflow_from_pump_times(times.flow * times.runs, times.runs + times.rests))
    })
}

/// The water in the basin that groundwater comes in against: half-way between the floats, or the table itself where it
/// never starts the pump.
fn backed(site: &Site, high: Level) -> Level {
    if site.basin.level(site.basin.on) >= high {
        return high;
    }
    site.basin.level((site.basin.off + site.basin.on) / 2.0)
}

/// What a drain's pipe carries just full, where pipe and fall are known.
pub(super) fn carries(drain: &Drain) -> Option<Flow> {
    let (pipe, slope) = drain.pipe.as_ref().zip(drain.slope.filter(|slope| slope.ratio() > 0.0))?;
    Some(full_flow(pipe.manning_n, pipe.bore, slope))
}

/// A depth that may not be known.
fn tight_layer_below(site: &Site, held: Level) -> Ranged<Length> {
    let (taken, low, high) = match site.groundwater.tight_layer {
        Some(tight) => {
            let below = (held - tight).max(Length::ZERO);
            (below, below, below)
        }
        None => TIGHT_LAYER_BELOW,
    };
    Ranged { taken, low, high }
}

/// How far out the table is lowered: entered, or by the time since it rose. The longest reach goes with the least flow.
fn reach(site: &Site, ground: &Ground, saturated: Ranged<Length>) -> Ranged<Length> {
    if let Some(entered) = site.groundwater.reach {
        return Ranged { taken: entered, low: entered, high: entered };
    }
    let (taken, low, high) = ground.drainable.unwrap_or(DRAINABLE);
    let after = |conductivity: Velocity, depth: Length, drainable: f64, time: Duration| {
        reach_after(conductivity, depth, drainable, time).max(LEAST_REACH)
    };
    Ranged {
        taken: after(ground.conductivity, saturated.taken, taken, SINCE.0),
        // a long time and ground that gives up little
        low: after(ground.conductivity_low, saturated.low, low, SINCE.1),
        high: after(ground.conductivity_high, saturated.high, high, SINCE.2),
    }
}

/// What of a drain lies in groundwater, and the water that it holds there on an average; all of it where none does.
///
/// The drain falls evenly, and holds water level up to that in the basin.
fn wet_part(site: &Site, drain: &Drain, high: Level) -> Option<(Length, Level)> {
    let one = drain.up_invert.or(drain.down_invert)?;
    let (up, down) = (drain.up_invert.unwrap_or(one), drain.down_invert.unwrap_or(one));
    let (low, top) = (up.min(down), up.max(down));
    let backed = drain.ends_at_basin().then(|| backed(site, high));
    // water above a tight layer that the drain lies in runs down the trench's stone
    // and in a catch basin it stands up to the outlet
    let outlet = site.inlets.iter().find(|inlet| inlet.name == drain.to).and_then(|inlet| inlet.outlet_invert);
    let full = backed.into_iter().chain(outlet).chain(site.groundwater.tight_layer).fold(low, Level::max);
    let fall = top - low;
    // shares of the length, from the lower end
    let up_to = |level: Level| {
        if fall > Length::ZERO {
            ((level - low) / fall).clamp(0.0, 1.0)
        } else if level > low {
            1.0
        } else {
            0.0
        }
    };
    let flat = up_to(full);
    let wet = if full >= high { 0.0 } else { up_to(high) };
    let counted = if wet > 0.0 { wet } else { 1.0 };
    let sloping = (counted - flat).max(0.0);
    // the sloping part stands at its middle
    let mean = low + ((full - low) * (counted - sloping) + fall * (sloping * (flat + counted) / 2.0)) / counted;
    Some((drain.length * counted, mean))
}

fn seep<W: Working>(
    site: &Site,
    drain: &Drain,
    high: Level,
    ground: &Ground,
    number: usize,
    w: &mut W,
) -> Option<Seep> {
    let french = drain.french.as_ref()?;
    let (wet_length, held) = wet_part(site, drain, high)?;
    let head = (high - held).max(Length::ZERO);
    let below = tight_layer_below(site, held);
    let saturated =
        Ranged { taken: below.taken + head / 2.0, low: below.low + head / 2.0, high: below.high + head / 2.0 };
    let reach = reach(site, ground, saturated);
    let radius = wetted_edge(drain) / PI;
    let depth = |below: Length, reach: Length| equivalent_depth(reach * 2.0, below, radius);
    let taken_depth = depth(below.taken, reach.taken);
    let sides = f64::from(french.sides);
    let one_side = |conductivity: Velocity, depth: Length, reach: Length| {
        dupuit_inflow(conductivity, depth + head, depth, reach, wet_length) * sides
    };
    let flow = if head > Length::ZERO {
        let conductivity = w.given(("K", number), ground.conductivity);
        let near = w.given(("h0", number), taken_depth);
        let head_n = w.given(("s", number), head);
        let reach_n = w.given(("R", number), reach.taken);
        let length = w.given(("L", number), wet_length);
        let sides_n = w.given(("ns", number), sides);
        let far = w.step(("h1", number), "table above the tight layer at the reach", "sum", near + head_n);
        let one = dupuit_inflow(conductivity, far, near, reach_n, length);
        let taken = w.step(("Qg", number), "groundwater into the drain", DUPUIT_SOURCE, one * sides_n).plain();
        let low = one_side(ground.conductivity_low, depth(below.low, reach.low), reach.low);
        // fed by rain on the strip, as much again comes
        let fed = hooghoudt_inflow(
            ground.conductivity_high,
            depth(below.high, reach.high),
            head,
            reach.high * 2.0,
            wet_length,
        ) * (sides / 2.0);
        Ranged { taken, low: low.min(taken), high: fed.max(taken) }
    } else {
        Ranged { taken: Flow::ZERO, low: Flow::ZERO, high: Flow::ZERO }
    };
    let drainable = ground.drainable.unwrap_or(DRAINABLE).0;
    let half_down_after = (head > Length::ZERO && site.groundwater.reach.is_some())
        .then(|| time_to_mid_height(0.5, ground.conductivity, saturated.taken, drainable, reach.taken * 2.0))
        .flatten();
    let falling = FALLING.map(|days| {
        let time = Duration::from_day(days);
        let out = reach_after(ground.conductivity, saturated.taken, drainable, time).max(LEAST_REACH);
        let out = site.groundwater.reach.map_or(out, |entered| out.min(entered));
        (time, one_side(ground.conductivity, depth(below.taken, out), out))
    });
    let at = site.groundwater.reach.map_or(FELT_AT, |reach| FELT_AT.min(reach / 2.0));
    let after = |days: f64| {
        let time = Duration::from_day(days);
        head * drawdown_left(at, ground.conductivity, saturated.taken, drainable, time)
    };
    let felt = Felt { at, after_a_day: after(1.0), after_a_week: after(7.0) };
    Some(Seep {
        wet_length,
        held,
        head,
        tight_layer_below: below,
        equivalent_depth: taken_depth,
        reach,
        flow,
        falling,
        half_down_after,
        felt,
    })
}

/// The edge of trench or pipe that groundwater comes in over.
fn wetted_edge(drain: &Drain) -> Length {
    let french = drain.french.as_ref();
    let outside = drain.pipe.as_ref().map_or(USUAL_OUTSIDE, |pipe| pipe.outside_diameter);
    french.and_then(|french| french.perimeter).unwrap_or_else(|| {
        french
            .and_then(|french| french.trench.as_ref())
            .map_or(outside * PI, |trench| trench.width + (trench.below_pipe + outside) * 2.0)
    })
}

/// Outside of a 4 in perforated pipe, where the pipe was not entered: common practice, no source.
const USUAL_OUTSIDE: Length = Length::from_inch(4.6);

/// What comes through the basin's own wall.
fn wall(site: &Site, high: Level, ground: &Ground) -> Option<Ranged<Flow>> {
    if !site.groundwater.basin_perforated {
        return None;
    }
    // above a tight layer that the basin passes through, water comes only out of the ground over that layer
    let tight = site.groundwater.tight_layer;
    let held = tight.map_or(backed(site, high), |tight| backed(site, high).max(tight));
    let head = (high - held).max(Length::ZERO);
    let bottom = tight.map_or(site.basin.floor, |tight| site.basin.floor.max(tight));
    let below = tight_layer_below(site, bottom);
    let wet = held - bottom;
    let saturated = Ranged { taken: below.taken + wet, low: below.low + wet, high: below.high + wet };
    let mean = Ranged {
        taken: saturated.taken + head / 2.0,
        low: saturated.low + head / 2.0,
        high: saturated.high + head / 2.0,
    };
    let reach = reach(site, ground, mean);
    let radius = site.basin.outside_across() / 2.0;
    let flow = |conductivity: Velocity, near: Length, reach: Length| {
        // the reach is counted from the wall, the formula's from the middle
        well_inflow(conductivity, near + head, near, radius + reach, radius).unwrap_or(Flow::ZERO)
    };
    let taken = flow(ground.conductivity, saturated.taken, reach.taken);
    Some(Ranged {
        taken,
        low: flow(ground.conductivity_low, saturated.low, reach.low).min(taken),
        high: flow(ground.conductivity_high, saturated.high, reach.high).max(taken),
    })
}
