//! The owner's goal against the storm, and what would meet it.

use super::inflow::Coming;
use super::network::Network;
use super::outcome::{StormOutcome, Yard};
use crate::collection::Grate;
use crate::quantity::{Area, Duration, Flow, Length, Level, Volume};
use crate::routing::{PathKind, Rating, RoutingError, Station, System, Timeline, Unwatched};
use crate::site::{Goal, Site};

/// What would meet the goal, all else as it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cure {
    /// Pumps that bring so much, water half-way between the floats.
    PumpFlow(Flow),
    /// So much more room between the on level and the lowest rim: a wider basin, or a tank beside it.
    Storage(Volume),
}

/// The goal against the nested storm.
#[derive(Clone, Debug, PartialEq)]
pub struct GoalOutcome {
    /// The deepest water allowed, and whether it is kept to.
    pub depth: Option<(Length, bool)>,
    /// The longest that water may stand, and whether it is kept to.
    pub clear: Option<(Duration, bool)>,
    /// What would meet it, where it is missed.
    pub cures: Vec<Cure>,
    /// Whether no pump and no room would, because grates and pipes hold the water back.
    pub held_back: bool,
}

impl GoalOutcome {
    /// Whether all that was asked for is met.
    pub fn met(&self) -> bool {
        self.depth.is_none_or(|(_, met)| met) && self.clear.is_none_or(|(_, met)| met)
    }
}

/// Whether an outcome keeps to a goal: in depth, in time; none where nothing was asked for.
pub(crate) fn against(goal: &Goal, outcome: &StormOutcome) -> (Option<bool>, Option<bool>) {
    let depth = goal.standing_water.map(|most| outcome.depth() <= most * ROUNDING);
    let clear = goal.clear_within.map(|most| !outcome.still_stands() && outcome.stands() <= most);
    (depth, clear)
}

/// A depth that is over the limit by no more than unit conversions make of it is not over.
pub(crate) const ROUNDING: f64 = 1.0 + 1e-9;

/// Judges an outcome; none where the owner asks for nothing. Solves for what would do where it is missed.
pub(super) fn judge(
    site: &Site,
    network: &Network,
    station: &Station,
    (coming, outcome): (&Coming, &StormOutcome),
    longest: (&Coming, &StormOutcome),
) -> Option<GoalOutcome> {
    let goal = &site.goal;
    let (depth, mut clear) = against(goal, outcome);
    if depth.is_none() && clear.is_none() {
        return None;
    }
    // a long steady rain may keep a grate under water for longer than the storm with the hardest burst
    let nested_meets = depth != Some(false) && clear != Some(false);
    if against(goal, longest.1).1 == Some(false) {
        clear = Some(false);
    }
    let coming = if nested_meets { longest.0 } else { coming };
    let mut judged = GoalOutcome {
        depth: goal.standing_water.zip(depth),
        clear: goal.clear_within.zip(clear),
        cures: Vec::new(),
        held_back: false,
    };
    if judged.met() {
        return Some(judged);
    }
    let Some(warm) = Warm::before_the_burst(site, network, station, coming) else { return Some(judged) };
    let asking = Asking { site, network, station, coming, warm };
    judged.cures.extend(asking.pump_flow().map(Cure::PumpFlow));
    judged.cures.extend(asking.storage().map(Cure::Storage));
    judged.held_back = judged.cures.is_empty() && asking.wide_open();
    Some(judged)
}

/// A pump is asked for up to so many times the flow that there is.
const MOST_PUMP: f64 = 40.0;
/// Room is asked for up to so many times what the storm brings.
const MOST_ROOM: f64 = 1.5;
/// Halvings of a search.
const HALVINGS: u32 = 7;
/// What is asked for has this much to spare, so that the figure printed, rounded, still does.
const SPARE: f64 = 1.02;

/// Before the burst nothing is decided: what is tried begins so long before it.
const BEFORE_BURST: Duration = Duration::from_h(1.0);
/// The burst and what follows at once.
const AFTER_BURST: Duration = Duration::from_h(1.0);
/// How often it is looked whether water still stands.
const LOOK: Duration = Duration::from_min(10.0);

/// The yard shortly before the burst, so that the quiet hours before it are followed once and not for every trial.
struct Warm {
    timeline: Timeline,
    levels: Vec<Level>,
    /// When the burst is over, and when it is given up to wait for the water to go.
    over_s: f64,
    latest_s: f64,
}

impl Warm {
    fn before_the_burst(site: &Site, network: &Network, station: &Station, coming: &Coming) -> Option<Self> {
        let yard = Yard::new(site, network, Some(station.clone()));
        let (peak_at, _) = coming.runoff.peak();
        let from_s = (peak_at - BEFORE_BURST).max(Duration::ZERO).s();
        let mut follower = yard.start(coming).ok()?;
        follower.until(from_s, &mut Unwatched).ok()?;
        Some(Self {
            timeline: coming.timeline.after(from_s),
            levels: (0..network.system.stores.len()).map(|store| follower.router.level(store)).collect(),
            over_s: (peak_at + AFTER_BURST).s() - from_s,
            latest_s: Yard::latest_s(coming) - from_s,
        })
    }
}

struct Asking<'a> {
    site: &'a Site,
    network: &'a Network,
    station: &'a Station,
    coming: &'a Coming,
    warm: Warm,
}

impl Asking<'_> {
    /// Whether the goal is met from shortly before the burst until its water is gone.
    fn likely(&self, system: System) -> bool {
        let yard = Yard::of(self.site, self.network, system);
        let run = || {
            let mut follower = yard.start_at(&self.warm.levels, &self.warm.timeline)?;
            let mut until_s = self.warm.over_s;
            follower.until(until_s, &mut Unwatched)?;
            while yard.stands_now(&follower.router) && until_s < self.warm.latest_s {
                until_s += LOOK.s().max(0.1 * until_s);
                follower.until(until_s, &mut Unwatched)?;
            }
            Ok::<StormOutcome, RoutingError>(yard.outcome(&follower, self.coming, true))
        };
        run().is_ok_and(|outcome| self.keeps(&outcome))
    }
    /// Whether it is met in all of the storm.
    fn meets(&self, system: System) -> bool {
        let yard = Yard::of(self.site, self.network, system);
        yard.follow_while_it_matters(self.coming, &mut Unwatched).is_ok_and(|outcome| self.keeps(&outcome))
    }
    fn keeps(&self, outcome: &StormOutcome) -> bool {
        let (depth, clear) = against(&self.site.goal, outcome);
        depth != Some(false) && clear != Some(false)
    }
    /// So many times the flow half-way between the floats, and no more when the water stands higher.
    fn with_pumps(&self, factor: f64) -> System {
        let half_way = self.half_way();
        let flat = |rating: &Rating| Rating::constant(rating.flow(half_way) * factor);
        let station = Station {
            first: flat(&self.station.first),
            second: flat(&self.station.second),
            both: flat(&self.station.both),
            ..self.station.clone()
        };
        System { station: Some(station), ..self.network.system.clone() }
    }
    fn half_way(&self) -> Level {
        self.site.basin.level((self.site.basin.off + self.site.basin.on) / 2.0)
    }
    /// The flow that would do.
    fn pump_flow(&self) -> Option<Flow> {
        let rating = if self.station.lag.is_some() { &self.station.both } else { &self.station.first };
        let now = rating.flow(self.half_way());
        if now <= Flow::ZERO {
            return None;
        }
        let factor = least(1.0, MOST_PUMP, |factor| self.likely(self.with_pumps(factor)))?;
        // floats may have it a little higher or lower: what is printed must do
        let spared = [SPARE, SPARE * SPARE, SPARE * SPARE * SPARE].map(|spare| factor * spare);
        spared.into_iter().find(|factor| self.meets(self.with_pumps(*factor))).map(|factor| now * factor)
    }
    /// Room beside the basin, from the on level to the lowest rim.
    fn with_room(&self, room: Volume) -> Option<System> {
        let (low, high) = (self.site.basin.level(self.site.basin.on), self.lowest_rim());
        let height = high - low;
        if height <= Length::from_inch(1.0) {
            return None;
        }
        let mut system = self.network.system.clone();
        system.station = Some(self.station.clone());
        let store = system.stores.get_mut(self.network.basin)?;
        *store = store.widened(low, high, room / height).ok()?;
        Some(system)
    }
    fn lowest_rim(&self) -> Level {
        let rims = self.network.hollows().map(|(_, hollow)| hollow.rim);
        rims.fold(self.site.basin.rim, Level::min)
    }
    fn storage(&self) -> Option<Volume> {
        let all = self.coming.volume();
        let likely = |share: f64| self.with_room(all * share).is_some_and(|system| self.likely(system));
        let does = |share: f64| self.with_room(all * share).is_some_and(|system| self.meets(system));
        let share = least(0.0, MOST_ROOM, likely)?;
        [SPARE, SPARE * SPARE]
            .map(|spare| share * spare)
            .into_iter()
            .find(|share| does(*share))
            .map(|share| all * share)
    }
    /// Whether it would do if grates and pipes let through whatever comes, with the strongest pump.
    fn wide_open(&self) -> bool {
        let mut system = self.with_pumps(MOST_PUMP);
        for path in &mut system.paths {
            match &mut path.kind {
                PathKind::Grate { grate, pipes, .. } => {
                    *grate = Grate {
                        perimeter: grate.perimeter.max(Length::from_ft(1.0)) * MOST_PUMP,
                        open_area: grate.open_area.max(Area::from_in2(40.0)) * MOST_PUMP,
                        clogged: 0.0,
                    };
                    for pipe in pipes {
                        *pipe = pipe.times(MOST_PUMP);
                    }
                }
                PathKind::Pipe(pipe) => *pipe = pipe.times(MOST_PUMP),
                PathKind::Crest { .. } => {}
            }
        }
        self.meets(system)
    }
}

/// The least value with which something does that does not with the lowest; none where it does not with the highest.
fn least(lowest: f64, highest: f64, does: impl Fn(f64) -> bool) -> Option<f64> {
    // by doubling first: what is asked for is mostly near
    let (mut not, mut high) = (lowest, (lowest * 1.25).max(highest / 256.0));
    while !does(high) {
        not = high;
        if high >= highest {
            return None;
        }
        high = (high * 2.0).min(highest);
    }
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(not, high);
        if does(middle) {
            high = middle;
        } else {
            not = middle;
        }
    }
    Some(high)
}
