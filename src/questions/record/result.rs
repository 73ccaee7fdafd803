//! What a record did to the yard.

use super::events::RecordEvent;
use super::tally::RecordTally;
use crate::hydrology::{Moment, RecordNotes};
use crate::quantity::{Duration, Flow, Length, Level, UnitSystem, Volume};
use crate::site::Assumption;

/// A month of the record's own clock.
#[derive(Clone, Debug, PartialEq)]
pub struct MonthResult {
    /// The year.
    pub year: i64,
    /// The month, 1 to 12.
    pub month: i64,
    /// What it brought.
    pub tally: RecordTally,
}

/// A year of the record's own clock.
#[derive(Clone, Debug, PartialEq)]
pub struct YearResult {
    /// The year.
    pub year: i64,
    /// What it brought.
    pub tally: RecordTally,
}

/// How often the owner's goal was missed, by event.
#[derive(Clone, Debug, PartialEq)]
pub struct GoalMissed {
    /// The deepest water allowed.
    pub depth: Option<Length>,
    /// The longest that it may stand.
    pub clear: Option<Duration>,
    /// Events with deeper water.
    pub depth_missed: u64,
    /// Events in which it stood longer.
    pub clear_missed: u64,
    /// Events with either.
    pub missed: u64,
    /// The event with the deepest water, where that was too deep.
    pub deepest: Option<RecordEvent>,
    /// The event in which it stood longest, where that was too long.
    pub longest: Option<RecordEvent>,
}

/// Where the water came from and went.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WaterBalance {
    /// What ran off the surfaces by their losses.
    pub shed: Volume,
    /// What of it came in.
    pub runoff: Volume,
    /// What of it was on its way when the record ended.
    pub on_its_way: Volume,
    /// House pumps and other steady inflow.
    pub steady: Volume,
    /// Groundwater that follows the levels.
    pub seeped: Volume,
    /// What the pumps took away for good.
    pub pumped: Volume,
    /// What ran over the edge of the yard.
    pub spilled: Volume,
    /// What the yard holds more than at the start; below zero: less.
    pub held: Volume,
    /// What the sums of the routing leave over, as a share of all that came.
    pub left_over: f64,
    /// What the sums of the runoff leave over, as a share of it.
    pub runoff_left_over: f64,
    /// Rain followed less the record's own sum, as a share of it.
    pub rain_left_over: f64,
}

/// What was taken for the record, for want of anything better.
#[derive(Clone, Debug, PartialEq)]
pub struct Assumed {
    /// Surfaces by infiltration: more runs off than would.
    pub by_infiltration: bool,
    /// Surfaces by curve number.
    pub by_curve_number: bool,
    /// House pumps in pulses, taken at their mean flow, all together.
    pub pulses: Option<Flow>,
    /// Groundwater that follows the levels, at this level all the time.
    pub groundwater_at: Option<Level>,
    /// Groundwater that comes whatever the levels are.
    pub groundwater_steady: Option<Flow>,
    /// A rise of groundwater in a storm that was entered and is left out.
    pub rise_left_out: bool,
    /// The frequency factor that the coefficients have in them.
    pub frequency_factor: f64,
    /// What the yard was given for want of entries.
    pub yard: Vec<Assumption>,
}

/// The deepest water over a rim.
#[derive(Clone, Debug, PartialEq)]
pub struct Deepest {
    /// How deep.
    pub depth: Length,
    /// The hollow.
    pub over: String,
    /// When.
    pub at: Moment,
}

/// What water did at a place that must stay dry.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaceReached {
    /// The place.
    pub name: String,
    /// The level at which harm begins.
    pub level: Level,
    /// Events in which water stood there.
    pub events: u64,
    /// When water first reached it; none where it never did.
    pub first: Option<Moment>,
    /// The highest water at it, and when; none where it was never reached.
    pub highest: Option<(Level, Moment)>,
    /// How long it was under water.
    pub under: Duration,
}

/// What a record did to the yard.
#[derive(Clone, Debug, PartialEq)]
pub struct RecordResult {
    /// The site's title.
    pub title: String,
    /// The units of the report.
    pub units: UnitSystem,
    /// The pump.
    pub pump: String,
    /// How many pumps.
    pub pumps: u32,
    /// Where the record begins.
    pub from: Moment,
    /// Where it ends.
    pub until: Moment,
    /// The dry pause that parts two events.
    pub pause: Duration,
    /// Water shallower than this does not count as standing.
    pub film: Length,
    /// Everything.
    pub whole: RecordTally,
    /// Each year, in order.
    pub years: Vec<YearResult>,
    /// Each month, in order.
    pub months: Vec<MonthResult>,
    /// The deepest water of all; none where none stood over any rim.
    pub deepest: Option<Deepest>,
    /// Each place that must stay dry.
    pub protected: Vec<PlaceReached>,
    /// The longest time in which a surface's runoff gathers.
    pub gathers_in: Duration,
    /// Whether the rows cover so long that bursts of rain are averaged away.
    pub bursts_averaged: bool,
    /// The largest events, largest first.
    pub largest: Vec<RecordEvent>,
    /// How often the goal was missed.
    pub goal: GoalMissed,
    /// The longest that a pump ran without a stop, and when that began; none where none ran.
    pub longest_run: Option<(Duration, Moment)>,
    /// The longest time without rain, and when it began.
    pub longest_dry: (Duration, Moment),
    /// From the last rain to the end of the record; none where none fell.
    pub since_rain: Option<Duration>,
    /// When the last event began in which water stood.
    pub last_stood: Option<Moment>,
    /// The mean time between the beginnings of events in which water stood; none where there were fewer than two.
    pub between_stood: Option<Duration>,
    /// Where the water came from and went.
    pub balance: WaterBalance,
    /// What was taken for want of anything better.
    pub assumed: Assumed,
    /// What was made of the record.
    pub notes: RecordNotes,
}

impl RecordResult {
    /// The time that the record covers.
    pub fn covers(&self) -> Duration {
        self.until - self.from
    }
}
