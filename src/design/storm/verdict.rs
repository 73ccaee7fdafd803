//! Every storm of the site's rain through the yard, and what they come to.

use super::cycle_phase;
use super::goal::{self, GoalOutcome};
use super::incoming::Incoming;
use super::inflow::{Coming, Losses, coming, longest, shortest};
use super::network::Network;
use super::outcome::{StormOutcome, Yard};
use super::power_cut::{PowerCut, power_cut};
use super::pumps::pumps;
use super::soil::{self, SoilTakesLess};
use crate::design::bench::Bench;
use crate::design::line::LineAtRest;
use crate::design::pump::PumpResult;
use crate::design::runoff::StormResult;
use crate::design::side_by_side::side_by_side;
use crate::design::storage::all_bodies;
use crate::design::storm_words;
use crate::hydrology::{Rain, RainError, StormShape, durations_to_try};
use crate::quantity::{Amount, Duration, Flow, Length, Level, Power, ReturnPeriod, UnitSystem, Volume};
use crate::routing::{RoutingError, Station, Watch};
use crate::site::{Assumption, Drain, Site};
use std::borrow::Cow;
use std::collections::HashSet;
use thiserror::Error;

/// Why the storms were not followed.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum NotFollowed {
    /// No surface sheds rain.
    #[error("no rain on any surface was entered")]
    NoRain,
    /// One intensity says nothing of how long it rains.
    #[error("one intensity does not say how long it rains: enter depths for several durations")]
    OneIntensity,
    /// The pump has no flow to follow.
    #[error("the pump's flow is not known")]
    NoFlow,
    /// What runs back starts the pump again at once.
    #[error("what runs back starts the pump again, for ever")]
    RestartsItself,
    /// The rain is not known for a duration.
    #[error("{0}")]
    Rain(RainError),
    /// Nobody asked for it.
    #[error("only the peak was asked for")]
    NotAsked,
    /// The water could not be followed.
    #[error("{0}")]
    Routing(RoutingError),
}

impl From<RainError> for NotFollowed {
    fn from(error: RainError) -> Self {
        Self::Rain(error)
    }
}
impl From<RoutingError> for NotFollowed {
    fn from(error: RoutingError) -> Self {
        Self::Routing(error)
    }
}

/// The storms of one return period.
#[derive(Clone, Debug, PartialEq)]
pub struct PeriodOutcome {
    /// The return period.
    pub period: Option<ReturnPeriod>,
    /// The nested storm: what the verdict goes by.
    pub nested: StormOutcome,
    /// The steady rain with the deepest water: its duration and the depth.
    pub block_depth: (Duration, Length),
    /// The steady rain in which water stands longest.
    pub block_stands: StormOutcome,
    /// The 24-hour storm that the town asks for, where it asks for one.
    pub asked: Option<StormOutcome>,
}

impl PeriodOutcome {
    /// The storm in which water stands longest: the nested one, or the steady rain that is worse.
    pub fn longest(&self) -> &StormOutcome {
        let (nested, block) = (&self.nested, &self.block_stands);
        let longer = (block.still_stands(), block.stands()) > (nested.still_stands(), nested.stands());
        if longer { block } else { nested }
    }
}

/// With another number of pumps.
#[derive(Clone, Debug, PartialEq)]
pub struct OtherPumps {
    /// How many.
    pub count: u32,
    /// What they bring half-way between the floats.
    pub flow: Flow,
    /// What the design storm then does.
    pub outcome: StormOutcome,
}

/// A place that water reaches in a harder storm than the design's, the pump running.
#[derive(Clone, Debug, PartialEq)]
pub struct ReachedOtherwise {
    /// Its name.
    pub place: String,
    /// Its level.
    pub level: Level,
    /// In words, when: `in the 100 yr storm`.
    pub cases: String,
    /// The most that comes at once in any of these.
    pub peak_inflow: Flow,
    /// The hollow with the highest water then.
    pub hollow: Option<String>,
}

/// Water that stays so little below a place is near it: levels are read to half an inch at best, and the yard is no
/// drawing; common practice, no source.
const NEAR: Length = Length::from_inch(1.0);

/// A place that no case of the design storm reaches, and one comes near to.
#[derive(Clone, Debug, PartialEq)]
pub struct ComesNear {
    /// Its name.
    pub place: String,
    /// Its level.
    pub level: Level,
    /// How far below it the water stays.
    pub short: Length,
    /// In words, when: `in the 10 yr storm without power`.
    pub case: String,
    /// The hollow with the highest water then.
    pub hollow: String,
    /// The most that comes at once then.
    pub peak_inflow: Flow,
    /// Whether the water stands over a notch whose width was not entered.
    pub notch_taken: bool,
}

/// Every storm, and the design storm in full.
#[derive(Clone, Debug, PartialEq)]
pub struct StormsResult {
    /// Each return period, in the site's order.
    pub periods: Vec<PeriodOutcome>,
    /// Which of them is the design's.
    pub design: usize,
    /// The goal against it.
    pub goal: Option<GoalOutcome>,
    /// The design storm without power.
    pub power_cut: PowerCut,
    /// The design storm with a second pump, or with one of two dead.
    pub other_pumps: Option<OtherPumps>,
    /// The design storm if the soil takes less than is counted with, the deepest water first; another where water stands
    /// longer. None where nothing known of the soil says so, or water stands neither deeper nor longer.
    pub soil_takes_less: Vec<SoilTakesLess>,
    /// The design storm with the stone of the French drains full of water or silt, where water then stands deeper or
    /// longer.
    pub stone_full: Option<StormOutcome>,
    /// The deepest that the design storm may make the water, wherever in its cycle the pump is when it comes; none where the
    /// goal is missed anyway or that cannot matter to it.
    pub deepest_in_cycle: Option<Length>,
    /// The surfaces that let water in, of which nothing is entered that could say how much the soil takes.
    pub soil_not_known: Vec<String>,
    /// What was taken for want of an entry.
    pub assumptions: Vec<Assumption>,
}

impl StormsResult {
    /// The design's return period.
    pub fn design(&self) -> Option<&PeriodOutcome> {
        self.periods.get(self.design)
    }
    /// What is said of surfaces whose soil is not known; nothing where there are none.
    pub fn soil_not_known_words(&self) -> Option<String> {
        let names: Vec<&str> = self.soil_not_known.iter().map(String::as_str).collect();
        (!names.is_empty()).then(|| {
            format!(
                "What comes if the soil of {} takes less than the runoff coefficient says cannot be told: nothing of the soil is entered.",
                soil::listed(&names)
            )
        })
    }
    /// The places that stay dry in the design storm with the pump running, and are reached with it running in a rarer
    /// storm or where the design storm comes otherwise.
    pub fn reached_otherwise(&self, units: UnitSystem) -> Vec<ReachedOtherwise> {
        let Some(design) = self.design() else { return Vec::new() };
        let reaches = |outcome: &StormOutcome, name: &str| {
            outcome.protected.iter().any(|(known, _, at)| known == name && at.is_some())
        };
        let dry = design.nested.protected.iter().filter(|(.., at)| at.is_none());
        dry.filter_map(|(place, level, _)| {
            let rarer = self.periods.iter().skip(self.design + 1).find(|period| reaches(&period.nested, place));
            let less = self.soil_takes_less.iter().find(|run| reaches(&run.outcome, place));
            let full = self.stone_full.as_ref().filter(|outcome| reaches(outcome, place));
            let asked = design.asked.as_ref().filter(|outcome| reaches(outcome, place));
            let name = |period: &PeriodOutcome| storm_words(period.period, units);
            let cases: Vec<String> = less
                .map(|_| format!("in {} if the soil takes less", name(design)))
                .into_iter()
                .chain(full.map(|_| format!("in {} if the stone of the French drain is full or silted", name(design))))
                .chain(asked.map(|asked| format!("in {} as the 24-hour storm of {}", name(design), asked.shape.name())))
                .chain(rarer.map(|period| format!("in {}", name(period))))
                .collect();
            let cases = match cases.split_last()? {
                (last, []) => last.clone(),
                (last, before) => format!("{} and {last}", before.join(", ")),
            };
            let outcomes = less.map(|run| &run.outcome).into_iter().chain(full).chain(asked);
            let hardest = outcomes
                .chain(rarer.map(|period| &period.nested))
                .reduce(|best, next| if next.peak_inflow > best.peak_inflow { next } else { best })?;
            let hollow = hardest.highest().map(|(hollow, _)| hollow.name.clone());
            Some(ReachedOtherwise {
                place: place.clone(),
                level: *level,
                cases,
                peak_inflow: hardest.peak_inflow,
                hollow,
            })
        })
        .collect()
    }
    /// Whether some storm told of reaches a place that must stay dry, the pump running or not.
    pub(in crate::design) fn reaches_anything(&self) -> bool {
        self.goes_in_words().is_some() || self.goes_in_otherwise_words().is_some()
    }
    /// The places that none of the design storm's cases reaches, and one comes near to: the case that comes nearest.
    pub fn comes_near(&self, site: &Site) -> Vec<ComesNear> {
        let Some(design) = self.design() else { return Vec::new() };
        let name = storm_words(design.period, site.units);
        let less = self.soil_takes_less.iter().map(|run| (format!("in {name} if the soil takes less"), &run.outcome));
        let full =
            self.stone_full.iter().map(|full| (format!("in {name} with the stone of the French drain full"), full));
        let asked = design
            .asked
            .iter()
            .map(|asked| (format!("in {name} as the 24-hour storm of {}", asked.shape.name()), asked));
        let dark = (format!("in {name} without power"), &self.power_cut.all_storm);
        let cases: Vec<(String, &StormOutcome)> = std::iter::once((format!("in {name}"), &design.nested))
            .chain(less)
            .chain(full)
            .chain(asked)
            .chain([dark])
            .collect();
        let reached = |place: &str| {
            cases.iter().any(|(_, outcome)| reached_in(outcome).any(|known| known == place))
                || reached_among(&self.power_cut.protected).any(|known| known == place)
        };
        let places = self.power_cut.protected.iter().filter(|(place, ..)| !reached(place));
        places
            .filter_map(|(place, level, _)| {
                let highest = cases.iter().filter_map(|(case, outcome)| {
                    let (hollow, water) = outcome.highest()?;
                    Some((case, hollow, water, outcome.peak_inflow))
                });
                let (case, hollow, water, peak_inflow) =
                    highest.reduce(|best, next| if next.2 > best.2 { next } else { best })?;
                let short = *level - water;
                // of a notch that was entered only the levels may be off
                let spot = site.low_spots.iter().find(|spot| spot.name == hollow.name);
                let notch_taken = spot.is_some_and(|spot| spot.spill_width.is_none() && Some(water) > spot.spills_at);
                (short >= Length::ZERO && short < NEAR).then(|| ComesNear {
                    place: place.clone(),
                    level: *level,
                    short,
                    case: case.clone(),
                    hollow: hollow.name.clone(),
                    peak_inflow,
                    notch_taken,
                })
            })
            .collect()
    }
    /// That water goes into the places that some storm told of reaches, the pump running or not, and how what is told
    /// beyond that is meant; nothing where none is reached.
    pub fn goes_in_words(&self) -> Option<String> {
        let with_power = self.periods.iter().flat_map(|period| [Some(&period.nested), period.asked.as_ref()]).flatten();
        let less = self.soil_takes_less.iter().map(|run| &run.outcome);
        goes_in(&self.names_where(&with_power.chain(less).flat_map(reached_in).chain(self.reached_without()).collect()))
    }
    /// The same of the design storm as it comes otherwise alone: without power, on a battery, with the stone full, with
    /// another number of pumps.
    pub fn goes_in_otherwise_words(&self) -> Option<String> {
        goes_in(&self.names_where(&self.reached_without().collect()))
    }
    fn reached_without(&self) -> impl Iterator<Item = &str> {
        let cut = &self.power_cut;
        let battery = cut.battery.as_ref().map(|battery| &battery.outcome);
        let other = self.other_pumps.as_ref().map(|other| &other.outcome);
        let outcomes = std::iter::once(&cut.all_storm).chain(battery).chain(&self.stone_full).chain(other);
        outcomes.flat_map(reached_in).chain(reached_among(&cut.protected))
    }
    /// Names of places, each once, in the site's order.
    fn names_where(&self, reached: &HashSet<&str>) -> Vec<&str> {
        let all = self.power_cut.protected.iter().map(|(name, ..)| name.as_str());
        all.filter(|name| reached.contains(name)).collect()
    }
    /// Which places water reaches with the pump running, in the design storm or otherwise: a sentence for each.
    pub fn reached_with_pump_words(&self, units: UnitSystem) -> Vec<String> {
        let name = self.design().map(|design| storm_words(design.period, units));
        let lit = self.design().into_iter().flat_map(|design| &design.nested.protected);
        let lit = lit.filter(|(.., at)| at.is_some()).zip(name.into_iter().cycle());
        let lit = lit.map(|((place, ..), name)| (place.clone(), format!("in {name}")));
        let otherwise = self.reached_otherwise(units).into_iter().map(|reached| (reached.place, reached.cases));
        let say = |(place, cases)| format!("Although the pump runs, water reaches `{place}` {cases}.");
        lit.chain(otherwise).map(say).collect()
    }
    /// The run that misses the goal if the soil takes less, where the goal is met with what is counted.
    pub fn missed_if_soil_takes_less(&self) -> Option<&SoilTakesLess> {
        self.goal.as_ref().filter(|goal| goal.met())?;
        self.soil_takes_less.iter().find(|run| run.goal_met == Some(false))
    }
}

fn reached_among(places: &[(String, Level, Option<Duration>)]) -> impl Iterator<Item = &str> {
    places.iter().filter(|(.., at)| at.is_some()).map(|(name, ..)| name.as_str())
}

/// The places that water reaches in a storm.
pub(crate) fn reached_in(outcome: &StormOutcome) -> impl Iterator<Item = &str> {
    reached_among(&outcome.protected)
}

/// Water goes into a place that it reaches, but no storm is followed into one: how what is told beyond that is meant.
/// Nothing where no place is reached.
pub(crate) fn goes_in(names: &[&str]) -> Option<String> {
    let shut = match names.len() {
        0 => return None,
        1 => "it were shut",
        _ => "they were shut",
    };
    Some(format!(
        "Where water reaches {}, it goes in from then on: depths, volumes and times told beyond that are reckoned as if {shut}.",
        soil::listed(names)
    ))
}

/// A site made ready for following water through it with one of its pumps.
#[derive(Clone, Debug)]
pub(crate) struct Ready {
    pub(crate) network: Network,
    pub(crate) station: Station,
}

/// Makes a site ready.
///
/// # Errors
/// There is nothing to follow, or no pump to follow it with.
pub(crate) fn ready(
    site: &Site,
    bench: &Bench<'_>,
    incoming: &Incoming<'_>,
    pump: &PumpResult,
) -> Result<Ready, NotFollowed> {
    let cycle = pump.cycle.as_ref().ok_or(NotFollowed::NoFlow)?;
    if cycle.runs_back >= cycle.live {
        return Err(NotFollowed::RestartsItself);
    }
    let network = incoming.network(site)?.with_bodies(site, all_bodies(bench))?;
    let pumps = pumps(bench)?;
    let station = pumps.station(site, network.basin, cycle.runs_back);
    Ok(Ready { network, station })
}

/// Makes a site ready with the pump that its design is made with.
///
/// # Errors
/// There is nothing to follow, or no pump to follow it with.
pub(crate) fn ready_for(site: &Site, design: &crate::design::Design) -> Result<Ready, NotFollowed> {
    let pump = design.pump().ok_or(NotFollowed::NoFlow)?;
    let entered = site.pumps.iter().find(|entered| entered.name == pump.name).ok_or(NotFollowed::NoFlow)?;
    ready(site, &Bench::new(site, entered, &design.rest), &Incoming::of(Cow::Borrowed(&design.storm)), pump)
}

/// A rain, if it can be followed.
pub(super) fn followable<'r>(site: &Site, rain: Option<&'r Rain>) -> Result<&'r Rain, NotFollowed> {
    if site.catchments.is_empty() {
        return Err(NotFollowed::NoRain);
    }
    match rain {
        None => Err(NotFollowed::NoRain),
        Some(Rain::Constant(_)) => Err(NotFollowed::OneIntensity),
        Some(rain @ (Rain::Table(_) | Rain::Formula { .. })) => Ok(rain),
    }
}

/// What the design storm was followed with, and who looked on.
#[derive(Clone, Debug)]
pub(crate) struct Run<W> {
    pub(crate) ready: Ready,
    pub(crate) watch: W,
}

/// How far a storm is followed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Until {
    /// To its end.
    Rest,
    /// As far as it can matter to how deep and how long water stands.
    ItMatters,
}

/// The design storm, nested, through a site with one of its pumps: for judging candidates.
///
/// # Errors
/// Why it could not be followed.
pub(crate) fn design_storm<W: Watch + Default>(
    site: &Site,
    pump: &PumpResult,
    incoming: &Incoming<'_>,
    rest: &LineAtRest,
    until: Until,
) -> Result<(StormOutcome, Run<W>), NotFollowed> {
    let (bench, _) = set_up(site, pump, rest)?;
    let ready = ready(site, &bench, incoming, pump)?;
    let coming = incoming.coming(site)?;
    let mut watch = W::default();
    let yard = Yard::new(site, &ready.network, Some(ready.station.clone()));
    let outcome = match until {
        Until::Rest => yard.finish(yard.start(coming)?, coming, &mut watch)?,
        Until::ItMatters => yard.follow_while_it_matters(coming, &mut watch)?,
    };
    Ok((outcome, Run { ready, watch }))
}

pub(super) fn set_up<'s>(
    site: &'s Site,
    pump: &PumpResult,
    rest: &'s LineAtRest,
) -> Result<(Bench<'s>, &'s Rain), NotFollowed> {
    let rain = followable(site, site.rain.storms.get(site.rain.design).map(|(_, rain)| rain))?;
    let entered = site.pumps.iter().find(|entered| entered.name == pump.name);
    entered.map(|entered| (Bench::new(site, entered, rest), rain)).ok_or(NotFollowed::NoFlow)
}

/// All storms of a site with the pump that the design is made with.
///
/// # Errors
/// Why they could not be followed.
pub(crate) fn storms(
    site: &Site,
    pump: &PumpResult,
    storms: &[StormResult],
    incoming: &Incoming<'_>,
    rest: &LineAtRest,
) -> Result<StormsResult, NotFollowed> {
    let (bench, rain) = set_up(site, pump, rest)?;
    let design = incoming.storm();
    let Ready { network, station } = ready(site, &bench, incoming, pump)?;
    let yard = Yard::new(site, &network, Some(station.clone()));
    let known: Vec<(&StormResult, &Rain)> = storms
        .iter()
        .filter_map(|storm| {
            let (_, rain) = site.rain.storms.iter().find(|(period, _)| *period == storm.period)?;
            Some((storm, rain))
        })
        .collect();
    let index = known.iter().position(|(storm, _)| storm.period == design.period).unwrap_or(0);
    let nested = incoming.coming(site)?;
    let mut assumptions = network.assumptions.clone();
    let power = pump.power.as_ref().and_then(|power| power.electrical).or_else(|| {
        let most = most_power(site, pump)?;
        if site.battery.is_some() {
            assumptions.push(Assumption {
                what: format!("power of `{}` on the battery", pump.name),
                value: Amount::of(most),
                why: "its volts times its running amps, the most that it can be; `power` of the pump would say more"
                    .to_owned(),
            });
        }
        Some(most)
    });
    // what takes long stands first
    let mut parts: Vec<Part<'_>> = known.iter().map(|(storm, rain)| Part::Period(storm, rain)).collect();
    parts.extend([Part::PowerCut, Part::SoilTakesLess, Part::OtherPumps]);
    let full = without_stone(site);
    parts.extend(full.as_ref().map(Part::StoneFull));
    let levels = pump.in_storm.as_ref().map_or_else(Vec::new, |nested| cycle_phase::levels(site, nested));
    parts.extend(levels.into_iter().map(Part::FromLevel));
    let found = side_by_side(&parts, |part| -> Result<Found, NotFollowed> {
        Ok(match part {
            Part::SoilTakesLess => {
                let losses = Losses::new(site, &network, rain, StormShape::Nested)?;
                Found::SoilTakesLess(soil::follow(&yard, soil::less(site, design, &losses)?)?)
            }
            Part::PowerCut => Found::PowerCut(power_cut(&yard, nested, power)?),
            Part::Period(storm, rain) => {
                let known = pump.in_storm.as_ref().filter(|_| storm.period == design.period);
                Found::Period(period(site, &network, &yard, (storm, rain), known)?)
            }
            Part::StoneFull(full) => {
                let bare = incoming.bare_network(full)?.with_bodies(full, all_bodies(&bench))?;
                Found::StoneFull(Yard::new(full, &bare, Some(station.clone())).follow(nested)?)
            }
            Part::FromLevel(level) => Found::FromLevel(cycle_phase::deepest_from(&yard, *level, nested)?),
            Part::OtherPumps => Found::OtherPumps(other_pumps(site, pump, rest, (&network, &station), nested)?),
        })
    });
    let (mut periods, mut cut, mut other, mut less) = (Vec::with_capacity(known.len()), None, None, Vec::new());
    let (mut full, mut from_levels) = (None, None);
    for part in found {
        match part? {
            Found::Period(period) => periods.push(period),
            Found::PowerCut(found) => cut = Some(found),
            Found::OtherPumps(found) => other = found,
            Found::SoilTakesLess(found) => less = found,
            Found::StoneFull(found) => full = Some(found),
            Found::FromLevel(deepest) => from_levels = Some(from_levels.map_or(deepest, |known| deepest.max(known))),
        }
    }
    let goal = periods
        .get(index)
        .map(|period: &PeriodOutcome| -> Result<Option<GoalOutcome>, NotFollowed> {
            let longest = coming(site, &network, design, rain, period.block_stands.shape)?;
            let judged = (nested, &period.nested);
            Ok(goal::judge(site, &network, &station, judged, (&longest, &period.block_stands)))
        })
        .transpose()?
        .flatten();
    Ok(StormsResult {
        power_cut: cut.ok_or(NotFollowed::NoRain)?,
        other_pumps: other,
        soil_takes_less: periods.get(index).map_or_else(Vec::new, |period| soil::told(less, &period.nested)),
        stone_full: full.filter(|full| {
            let design = periods.get(index).map(|period| &period.nested);
            design.is_some_and(|design| full.deeper_than(design) || full.stands() > design.stands() * LONGER)
        }),
        soil_not_known: soil::not_known(site, design),
        deepest_in_cycle: from_levels
            .zip(periods.get(index))
            .and_then(|(found, period): (Length, &PeriodOutcome)| cycle_phase::deepest(site, &period.nested, found)),
        periods,
        design: index,
        goal,
        assumptions,
    })
}

/// No less than the electrical power of a pump: volts times amps, whatever its power factor.
fn most_power(site: &Site, pump: &PumpResult) -> Option<Power> {
    let entered = site.pumps.iter().find(|entered| entered.name == pump.name)?;
    Some(Power::from_w(entered.volts? * entered.running_amps?))
}

/// What is followed beside each other.
enum Part<'a> {
    SoilTakesLess,
    PowerCut,
    Period(&'a StormResult, &'a Rain),
    OtherPumps,
    StoneFull(&'a Site),
    /// The design storm with the basin at another level at its start.
    FromLevel(Level),
}

/// What comes of it.
enum Found {
    SoilTakesLess(Vec<SoilTakesLess>),
    PowerCut(PowerCut),
    Period(PeriodOutcome),
    OtherPumps(Option<OtherPumps>),
    StoneFull(StormOutcome),
    /// How deep water stands at the most.
    FromLevel(Length),
}

/// Standing longer by less than this factor is no longer: common practice, no source.
const LONGER: f64 = 1.01;

/// The site with no room in the stone of its French drains; none where none is known to have any.
pub(crate) fn without_stone(site: &Site) -> Option<Site> {
    let has_room = |drain: &Drain| {
        let trench = drain.french.as_ref().and_then(|french| french.trench.as_ref());
        trench.is_some_and(|trench| trench.stone.is_some())
    };
    site.drains.iter().any(has_room).then(|| {
        let mut full = site.clone();
        for trench in full.drains.iter_mut().filter_map(|drain| drain.french.as_mut()?.trench.as_mut()) {
            trench.stone = None;
        }
        full
    })
}

fn period(
    site: &Site,
    network: &Network,
    yard: &Yard<'_>,
    (storm, rain): (&StormResult, &Rain),
    known: Option<&StormOutcome>,
) -> Result<PeriodOutcome, NotFollowed> {
    let run =
        |shape| -> Result<StormOutcome, NotFollowed> { Ok(yard.follow(&coming(site, network, storm, rain, shape)?)?) };
    let nested = known.map_or_else(|| run(StormShape::Nested), |known| Ok(known.clone()))?;
    let mut block_depth = (Duration::ZERO, Length::ZERO);
    let mut block_stands: Option<StormOutcome> = None;
    for duration in durations_to_try(rain, shortest(site, rain), longest(rain)) {
        let outcome = run(StormShape::Block(duration))?;
        if outcome.depth() > block_depth.1 || block_depth.0 <= Duration::ZERO {
            block_depth = (duration, outcome.depth());
        }
        let last = keeps_up(site, &outcome);
        if block_stands.as_ref().is_none_or(|known| outcome.stands() > known.stands()) {
            block_stands = Some(outcome);
        }
        if last {
            break;
        }
    }
    let block_stands = block_stands.unwrap_or_else(|| nested.clone());
    let asked = site.rain.distribution.map(|name| run(StormShape::Distribution(name))).transpose()?;
    Ok(PeriodOutcome { period: storm.period, nested, block_depth, block_stands, asked })
}

/// Whether the pump keeps up and nothing stands: a longer and weaker rain then makes nothing stand either.
pub(super) fn keeps_up(site: &Site, outcome: &StormOutcome) -> bool {
    outcome.depth() < site.limits.film.value && outcome.starts > 1
}

/// Above the first pump's start, where nobody said when a second one joins: common practice, no source.
const SECOND_JOINS_ABOVE: Length = Length::from_inch(3.0);

/// The design storm with a second pump like the first where there is one, with the first alone where there are two.
fn other_pumps(
    site: &Site,
    pump: &PumpResult,
    rest: &LineAtRest,
    (network, station): (&Network, &Station),
    nested: &Coming,
) -> Result<Option<OtherPumps>, NotFollowed> {
    let half_way = site.basin.level((site.basin.off + site.basin.on) / 2.0);
    if station.lag.is_some() {
        let station = Station { lag: None, ..station.clone() };
        let flow = station.first.flow(half_way);
        let outcome = Yard::new(site, network, Some(station)).follow(nested)?;
        return Ok(Some(OtherPumps { count: 1, flow, outcome }));
    }
    let on = site.basin.on + SECOND_JOINS_ABOVE;
    if site.pumping.count > 1 || site.basin.level(on) >= site.basin.rim {
        return Ok(None);
    }
    let mut with = site.clone();
    with.pumping.count = 2;
    with.pumping.lag = None;
    with.pumping.lag_on = Some(on);
    with.pumping.lag_off = None;
    // each has a riser of its own
    with.discharge.risers = 2;
    let Some(entered) = with.pumps.iter().find(|entered| entered.name == pump.name) else { return Ok(None) };
    let bench = Bench::new(&with, entered, rest);
    let back = pump.cycle.as_ref().map_or(Volume::ZERO, |cycle| cycle.runs_back);
    let second = pumps(&bench)?.station(&with, network.basin, back);
    let flow = second.both.flow(half_way);
    let outcome = Yard::new(&with, network, Some(second)).follow(nested)?;
    Ok(Some(OtherPumps { count: 2, flow, outcome }))
}
