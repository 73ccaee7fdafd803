//! The wire types of a storm's course.

use super::yard::RisenOut;
use super::{AssumptionOut, Quantity};
use serde::Serialize;

/// The course of a storm.
#[derive(Clone, Debug, Serialize)]
pub struct CourseOut {
    /// The version of this form.
    pub format: u32,
    /// What it is: `course of a storm`.
    pub kind: &'static str,
    /// The program that wrote it.
    pub program: &'static str,
    /// Its version.
    pub version: &'static str,
    /// The site's title.
    pub title: String,
    /// `us` or `metric`.
    pub units: &'static str,
    /// The storm.
    pub storm: StormOut,
    /// When the pumps have power: `always`, `until a time`, `never`.
    pub power: &'static str,
    /// The time at which it goes.
    pub power_off_at: Option<Quantity>,
    /// The pump used.
    pub pump: String,
    /// Whether a second one joins it.
    pub two_pumps: bool,
    /// The basin's levels.
    pub levels: LevelsOut,
    /// What it comes to.
    pub outcome: OutcomeOut,
    /// Where the water went: `came = pumped + spilled + held + error`.
    pub balance: BalanceOut,
    /// What the owner asks for, and whether this storm keeps to it.
    pub goal: GoalOut,
    /// What happens, in order; times of everything are counted from the start of the rain.
    pub events: Vec<EventOut>,
    /// When the pumps were switched.
    pub switches: Vec<SwitchOut>,
    /// What lasted from when to when.
    pub spans: Vec<SpanOut>,
    /// The interval of the rows within the window.
    pub every: Quantity,
    /// The interval of a table outside it while it rains, where anything lies there; of `rows` too, unless an interval
    /// was asked for.
    pub quiet_every: Option<Quantity>,
    /// The same after the rain.
    pub after_every: Option<Quantity>,
    /// The beginning of the window.
    pub window_from: Quantity,
    /// Its end.
    pub window_until: Quantity,
    /// Moment by moment.
    pub rows: Vec<RowOut>,
    /// What was taken for want of an entry.
    pub assumptions: Vec<AssumptionOut>,
}

/// A storm in time.
#[derive(Clone, Debug, Serialize)]
pub struct StormOut {
    /// Its return period, where it has one.
    pub return_period: Option<Quantity>,
    /// `nested storm`, `steady rain`, or the name of a published one.
    pub shape: &'static str,
    /// Whether the worst of all steady rains was looked for.
    pub worst_of_steady: bool,
    /// How long it rains.
    pub lasts: Quantity,
    /// The rain.
    pub rain: Quantity,
    /// What runs off.
    pub runoff: Quantity,
    /// The peak of the runoff.
    pub peak_runoff: Quantity,
    /// When it is.
    pub peak_runoff_at: Quantity,
    /// The peak of all that comes, steady water included.
    pub peak_inflow: Quantity,
}

/// The basin's levels.
#[derive(Clone, Debug, Serialize)]
pub struct LevelsOut {
    /// The floor.
    pub floor: Quantity,
    /// Where the first pump stops.
    pub off: Quantity,
    /// Where it starts.
    pub on: Quantity,
    /// Where the second starts.
    pub second_on: Option<Quantity>,
    /// Where the alarm sounds.
    pub alarm: Option<Quantity>,
    /// The rim.
    pub rim: Quantity,
}

/// What a storm comes to.
#[derive(Clone, Debug, Serialize)]
pub struct OutcomeOut {
    /// The hollows.
    pub hollows: Vec<HollowOut>,
    /// The highest water in the basin.
    pub highest_in_basin: Quantity,
    /// How often a pump started.
    pub starts: u64,
    /// How long they ran, added up.
    pub runs: Quantity,
    /// How long the second of them did.
    pub second_runs: Quantity,
    /// When the alarm first sounded.
    pub alarm_at: Option<Quantity>,
    /// The places that must stay dry.
    pub protected: Vec<ProtectedOut>,
    /// Where groundwater rises in the storm, and what it then brings.
    pub groundwater_risen: Option<RisenOut>,
    /// How long the water was followed.
    pub followed: Quantity,
    /// Whether the yard was at rest by then.
    pub at_rest: bool,
}

/// A hollow in a storm.
#[derive(Clone, Debug, Serialize)]
pub struct HollowOut {
    /// Its name, or the grate's that no low spot was entered for.
    pub name: String,
    /// Whether its surface was taken for want of an entry.
    pub assumed: bool,
    /// The rim that depth is counted from.
    pub rim: Quantity,
    /// The water that stays under its lowest grate.
    pub stays: Quantity,
    /// The deepest water over it.
    pub deepest: Quantity,
    /// When it stands so deep.
    pub deepest_at: Quantity,
    /// The water over the rim then.
    pub volume: Quantity,
    /// The longest unbroken time that it stands deeper than a film.
    pub stands: Quantity,
    /// When it first does.
    pub stands_from: Option<Quantity>,
    /// Whether it still does at the end.
    pub still_stands: bool,
    /// What ran over its edge.
    pub spilled: Quantity,
    /// Where to.
    pub spills_to: Option<String>,
    /// Whether the water stands higher than its surface was entered for.
    pub beyond_entries: bool,
}

/// A place that must stay dry.
#[derive(Clone, Debug, Serialize)]
pub struct ProtectedOut {
    /// Its name.
    pub name: String,
    /// The level at which harm begins.
    pub level: Quantity,
    /// When water reached it; none where it did not.
    pub reached_at: Option<Quantity>,
}

/// Where the water went.
#[derive(Clone, Debug, Serialize)]
pub struct BalanceOut {
    /// All that came.
    pub came: Quantity,
    /// What the pumps took away.
    pub pumped: Quantity,
    /// What ran over the edge.
    pub spilled: Quantity,
    /// How much more is held than at the start.
    pub held: Quantity,
    /// What the sums leave over.
    pub error: Quantity,
}

/// What the owner asks for.
#[derive(Clone, Debug, Serialize)]
pub struct GoalOut {
    /// The deepest water.
    pub standing_water: Option<KeptOut>,
    /// The longest that it stands.
    pub clear_within: Option<KeptOut>,
}

/// A limit and whether it is kept to.
#[derive(Clone, Debug, Serialize)]
pub struct KeptOut {
    /// The limit.
    pub limit: Quantity,
    /// Whether this storm keeps to it.
    pub kept: bool,
}

/// Something that happens.
#[derive(Clone, Debug, Serialize)]
pub struct EventOut {
    /// When.
    pub at: Quantity,
    /// What: `hardest rain`, `rain ends`, `peak runoff`, `power goes`, `pump starts`, `pump stops`, `pump cycles`,
    /// `begins`, `ends`, `deepest`, `at rest`, `not at rest`.
    pub what: &'static str,
    /// Which pump.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pump: Option<u8>,
    /// How many runs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub runs: Option<usize>,
    /// How long it ran.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ran: Option<Quantity>,
    /// When the last of several runs ends.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub until: Option<Quantity>,
    /// How much: rain, runoff, depth.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub amount: Option<Quantity>,
    /// What begins or ends: `water stands`, `runs over`, `alarm`, `reaches`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub of: Option<&'static str>,
    /// The hollow or the place.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
}

/// A pump that was switched.
#[derive(Clone, Debug, Serialize)]
pub struct SwitchOut {
    /// When.
    pub at: Quantity,
    /// Which pump: 1 or 2.
    pub pump: u8,
    /// Whether it started.
    pub on: bool,
}

/// Something that lasts.
#[derive(Clone, Debug, Serialize)]
pub struct SpanOut {
    /// `water stands`, `runs over`, `alarm`, `reaches`.
    pub what: &'static str,
    /// The hollow or the place.
    pub place: Option<String>,
    /// Since when.
    pub from: Quantity,
    /// Until when; none where it still lasts at the end.
    pub until: Option<Quantity>,
}

/// One moment.
#[derive(Clone, Debug, Serialize)]
pub struct RowOut {
    /// When.
    pub at: Quantity,
    /// How hard it rains.
    pub rain: Quantity,
    /// What runs off.
    pub runoff: Quantity,
    /// What comes into the basin.
    pub into_basin: Quantity,
    /// The water in the basin.
    pub level: Quantity,
    /// The pumps that run.
    pub pumps_running: Vec<u8>,
    /// What they take out.
    pub pumped: Quantity,
    /// The depth over the rim of each hollow, in the order of `outcome.hollows`.
    pub depths: Vec<Quantity>,
    /// The water over all rims.
    pub standing: Quantity,
    /// How long each pump ran since the row before.
    pub ran: Vec<Quantity>,
    /// How often pumps started since the row before.
    pub starts: usize,
}
