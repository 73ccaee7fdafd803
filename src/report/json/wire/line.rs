//! The line as it lies, surge, power, other conditions, two pumps.

use super::{MeetingOut, Quantity};
use serde::Serialize;

/// A point of the line.
#[derive(Clone, Debug, Serialize)]
pub struct StationOut {
    /// Distance along the runs.
    pub at: Quantity,
    /// Lowest inside point of the pipe.
    pub invert: Quantity,
    /// The ground above it.
    pub ground: Option<Quantity>,
    /// Ground less the top of the pipe.
    pub cover: Option<Quantity>,
    /// Head on the pipe, water at the on level, all pumps running.
    pub head: Option<Quantity>,
    /// What happens there.
    pub remarks: Vec<&'static str>,
}

/// A stretch in which water stays.
#[derive(Clone, Debug, Serialize)]
pub struct PocketOut {
    /// Where it begins.
    pub from: Quantity,
    /// Where it ends.
    pub to: Quantity,
    /// Where it is lowest.
    pub lowest_at: Quantity,
    /// The water in it.
    pub volume: Quantity,
}

/// A high point.
#[derive(Clone, Debug, Serialize)]
pub struct SummitOut {
    /// Where.
    pub at: Quantity,
    /// Lowest inside point of the pipe.
    pub invert: Quantity,
    /// Whether the line rises again beyond.
    pub rises_again: bool,
    /// Whether a vent stands there.
    pub vented: bool,
}

/// The line between two runs.
#[derive(Clone, Debug, Serialize)]
pub struct RestOut {
    /// Whether a check valve keeps the water in it.
    pub held: bool,
    /// Where water stays.
    pub stays: Vec<PocketOut>,
    /// The parts of it that frost reaches.
    pub freezes: Vec<PocketOut>,
    /// Its high points.
    pub summits: Vec<SummitOut>,
    /// How long it drains back through the drain hole.
    pub drain_time: Option<Quantity>,
    /// Lift from the off level.
    pub lift: Option<Quantity>,
    /// The same with air caught in every fall that no vent ends.
    pub air_locked_lift: Option<Quantity>,
}

/// The duty under other conditions.
#[derive(Clone, Debug, Serialize)]
pub struct ConditionOut {
    /// Its name.
    pub id: &'static str,
    /// What is otherwise, in words.
    pub what: String,
    /// At the off level.
    pub off_level: MeetingOut,
    /// Half-way.
    pub half_way: MeetingOut,
}

/// One pipe when the water in it stops.
#[derive(Clone, Debug, Serialize)]
pub struct SurgeInOut {
    /// `riser`, `run 1` …
    pub name: String,
    /// The pipe.
    pub pipe: String,
    /// The velocity stopped.
    pub velocity: Quantity,
    /// Speed of the wave; none where the pipe's modulus is not known.
    pub wave_speed: Option<Quantity>,
    /// Surge of an instant stop.
    pub instant: Option<Quantity>,
    /// Surge reckoned with.
    pub surge: Option<Quantity>,
    /// Surge and shut-off pressure together; none where the surge is not known.
    pub most: Option<Quantity>,
    /// Rating at the water's temperature.
    pub rating: Option<Quantity>,
}

/// The line when the water stops.
#[derive(Clone, Debug, Serialize)]
pub struct SurgeOut {
    /// The pump's highest pressure.
    pub shut_off: Quantity,
    /// Riser and runs.
    pub pipes: Vec<SurgeInOut>,
    /// Time of the wave to the end and back.
    pub critical_time: Option<Quantity>,
    /// Time in which the valve closes, where entered.
    pub closes_in: Option<Quantity>,
    /// Whether it closes only after the water has begun to run back.
    pub closes_late: bool,
    /// How long the water runs on.
    pub runs_on: Option<Quantity>,
    /// Velocity in the riser at the off level.
    pub riser_velocity: Quantity,
    /// Velocity that holds the check valve open.
    pub opens_at: Option<Quantity>,
}

/// The part beyond a high point that the flow does not fill.
#[derive(Clone, Debug, Serialize)]
pub struct SlackOut {
    /// Where it begins.
    pub from: Quantity,
    /// Where it ends.
    pub to: Quantity,
    /// Deepest vacuum running, if no air gets in.
    pub vacuum: Quantity,
    /// Where.
    pub deepest_at: Quantity,
}

/// A break to gravity past the high point.
#[derive(Clone, Debug, Serialize)]
pub struct GravityOut {
    /// Where the pumped line would end.
    pub from: Quantity,
    /// From there to the outlet.
    pub length: Quantity,
    /// Fall.
    pub fall: Quantity,
    /// The same as a slope.
    pub slope: Quantity,
    /// The pipe.
    pub pipe: String,
    /// What it carries full.
    pub capacity: Quantity,
    /// What all pumps deliver now.
    pub now: Quantity,
    /// What they would deliver then.
    pub then: Quantity,
}

/// Power half-way.
#[derive(Clone, Debug, Serialize)]
pub struct PowerOut {
    /// Into the water.
    pub water: Quantity,
    /// Through the wire.
    pub electrical: Option<Quantity>,
    /// Whether that was entered.
    pub entered: bool,
    /// At the shaft.
    pub shaft: Option<Quantity>,
    /// Water power over electrical power.
    pub wire_to_water: Option<f64>,
    /// Energy for each cubic metre that leaves the line, kWh.
    pub energy_kwh_per_m3: Option<f64>,
    /// The voltage lost on the wire.
    pub voltage_drop: Option<DropOut>,
}

/// The voltage lost on the wire.
#[derive(Clone, Debug, Serialize)]
pub struct DropOut {
    /// The pump that it is worst for.
    pub pump: String,
    /// The wire.
    pub wire: &'static str,
    /// Volts lost running.
    pub running_v: f64,
    /// As a share.
    pub running_share: f64,
    /// Volts lost at the start.
    pub starting_v: f64,
    /// As a share.
    pub starting_share: f64,
    /// Current at the start, A.
    pub starting_a: f64,
    /// Whether that was reckoned from the running current.
    pub starting_assumed: bool,
    /// A wire that keeps to both limits, where this one does not.
    pub enough: Option<&'static str>,
}

/// Two pumps.
#[derive(Clone, Debug, Serialize)]
pub struct PairOut {
    /// The second pump.
    pub second: String,
    /// Whether both are of one kind.
    pub alike: bool,
    /// Both at the second's stop, half-way, and at its start.
    pub levels: Vec<TogetherOut>,
    /// Height above the floor at which the second starts.
    pub second_on: Quantity,
    /// Whether that was entered.
    pub second_on_entered: bool,
    /// Height at which it stops.
    pub second_off: Quantity,
    /// Water between its floats.
    pub live_volume: Quantity,
    /// What it adds half-way.
    pub adds: Option<Quantity>,
    /// Whether it stops where the first does, so that each starts once in every cycle.
    pub both_stop_together: bool,
    /// Its starts in an hour at the worst; of each, where both stop together.
    pub worst_starts_per_hour: Option<f64>,
    /// The most allowed.
    pub starts_allowed: f64,
    /// Height at which it would start seldom enough.
    pub enough_second_on: Option<Quantity>,
}

/// Both pumps at one level.
#[derive(Clone, Debug, Serialize)]
pub struct TogetherOut {
    /// Which level.
    pub water_at: &'static str,
    /// The level.
    pub water_level: Quantity,
    /// The first alone.
    pub first_alone: Option<Quantity>,
    /// The second alone.
    pub second_alone: Option<Quantity>,
    /// `meets`, `cannot_lift`, `beyond_last_point`, `before_first_point`.
    pub state: &'static str,
    /// Both, out of the line.
    pub together: Option<Quantity>,
    /// What each brings into the line.
    pub each: Vec<Quantity>,
    /// Head where the risers meet.
    pub junction: Option<Quantity>,
}
