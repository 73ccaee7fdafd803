//! Events: wet times with dry pauses between them, and the largest of them.

use super::result::GoalMissed;
use crate::design::storm::ROUNDING;
use crate::hydrology::Moment;
use crate::quantity::{Duration, Intensity, Length, RainDepth, Volume};
use crate::site::Goal;
use std::cmp::Ordering;

/// A wet time, from its first rain until a pause has passed after its last and no water stands any more, or until the
/// next event begins.
#[derive(Clone, Debug, PartialEq)]
pub struct RecordEvent {
    /// When it began to rain.
    pub start: Moment,
    /// From the first rain to the last.
    pub lasts: Duration,
    /// The rain.
    pub rain: RainDepth,
    /// The hardest rain of one span of the record.
    pub peak: Intensity,
    /// What ran off and came in.
    pub runoff: Volume,
    /// The deepest water over a rim.
    pub deepest: Length,
    /// The hollow where that was; none where no water stood over any rim.
    pub deepest_in: Option<String>,
    /// How long water stood deeper than a film, in the hollow where it stood longest.
    pub stood: Duration,
    /// The longest unbroken time of that, with what of it was before the event.
    pub stands: Duration,
    /// How often a pump started.
    pub starts: u64,
    /// What ran over the edge of the yard.
    pub spilled: Volume,
    /// Whether the record ends before the event is over.
    pub cut_off: bool,
}

impl RecordEvent {
    /// Larger first: by the deepest water, then by what ran off, then the earlier.
    fn order(&self, other: &Self) -> Ordering {
        let deeper = other.deepest.m().total_cmp(&self.deepest.m());
        let more = || other.runoff.m3().total_cmp(&self.runoff.m3());
        deeper.then_with(more).then_with(|| self.start.cmp(&other.start))
    }
}

/// What is kept of all events.
#[derive(Clone, Debug)]
pub(super) struct Events {
    most: usize,
    /// Largest first.
    pub(super) largest: Vec<RecordEvent>,
    pub(super) count: u64,
    pub(super) stood: u64,
    /// When the last one ended: its last rain.
    pub(super) last: Option<Moment>,
    /// When the first and the last one began in which water stood.
    pub(super) stood_first: Option<Moment>,
    pub(super) stood_last: Option<Moment>,
    pub(super) goal: GoalMissed,
}

impl Events {
    pub(super) fn new(most: usize, goal: &Goal) -> Self {
        Self {
            most,
            largest: Vec::new(),
            count: 0,
            stood: 0,
            last: None,
            stood_first: None,
            stood_last: None,
            goal: GoalMissed::new(goal),
        }
    }
    /// Takes an event that is over.
    pub(super) fn take(&mut self, event: RecordEvent, ended: Moment) {
        self.count += 1;
        self.last = Some(ended);
        if event.stood > Duration::ZERO {
            self.stood += 1;
            self.stood_first = self.stood_first.or(Some(event.start));
            self.stood_last = Some(event.start);
        }
        self.goal.take(&event);
        let at = self.largest.partition_point(|known| known.order(&event) == Ordering::Less);
        if at < self.most {
            self.largest.insert(at, event);
            self.largest.truncate(self.most);
        }
    }
}

impl GoalMissed {
    fn new(goal: &Goal) -> Self {
        Self {
            depth: goal.standing_water,
            clear: goal.clear_within,
            depth_missed: 0,
            clear_missed: 0,
            missed: 0,
            deepest: None,
            longest: None,
        }
    }
    fn take(&mut self, event: &RecordEvent) {
        let too_deep = self.depth.is_some_and(|most| event.deepest > most * ROUNDING);
        let too_long = self.clear.is_some_and(|most| event.stands > most * ROUNDING);
        self.depth_missed += u64::from(too_deep);
        self.clear_missed += u64::from(too_long);
        self.missed += u64::from(too_deep || too_long);
        if too_deep && self.deepest.as_ref().is_none_or(|known| event.deepest > known.deepest) {
            self.deepest = Some(event.clone());
        }
        if too_long && self.longest.as_ref().is_none_or(|known| event.stands > known.stands) {
            self.longest = Some(event.clone());
        }
    }
}
