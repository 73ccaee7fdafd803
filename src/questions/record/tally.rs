//! What is counted for a month, a year, the whole record.

use crate::quantity::{Duration, Length, RainDepth, Volume};

/// What a time of the record brought.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RecordTally {
    /// The time itself.
    pub time: Duration,
    /// Of that, time of which the record does not know the rain.
    pub missing: Duration,
    /// The rain.
    pub rain: RainDepth,
    /// What ran off and came in.
    pub runoff: Volume,
    /// All that came in, steady inflows and groundwater included.
    pub came: Volume,
    /// What the pumps took away for good.
    pub pumped: Volume,
    /// What ran over the edge of the yard.
    pub spilled: Volume,
    /// How often a pump started.
    pub starts: u64,
    /// How long pumps ran, added up.
    pub runs: Duration,
    /// Energy, J; none where the pump's power is not known.
    pub energy_j: Option<f64>,
    /// Events, by when they began.
    pub events: u64,
    /// Of these, events in which water stood.
    pub events_stood: u64,
    /// How long water stood deeper than a film, in the hollow where it stood longest.
    pub stood: Duration,
    /// The deepest water over a rim.
    pub deepest: Length,
}

/// Joules in a kilowatt-hour.
const KWH_J: f64 = 3.6e6;

impl RecordTally {
    /// Nothing yet.
    pub(super) fn none(energy_known: bool) -> Self {
        Self {
            time: Duration::ZERO,
            missing: Duration::ZERO,
            rain: RainDepth::ZERO,
            runoff: Volume::ZERO,
            came: Volume::ZERO,
            pumped: Volume::ZERO,
            spilled: Volume::ZERO,
            starts: 0,
            runs: Duration::ZERO,
            energy_j: energy_known.then_some(0.0),
            events: 0,
            events_stood: 0,
            stood: Duration::ZERO,
            deepest: Length::ZERO,
        }
    }
    /// Energy in kilowatt-hours.
    pub fn energy_kwh(&self) -> Option<f64> {
        self.energy_j.map(|energy| energy / KWH_J)
    }
    /// Adds another time.
    pub(super) fn add(&mut self, other: &Self) {
        self.time += other.time;
        self.missing += other.missing;
        self.rain += other.rain;
        self.runoff += other.runoff;
        self.came += other.came;
        self.pumped += other.pumped;
        self.spilled += other.spilled;
        self.starts += other.starts;
        self.runs += other.runs;
        self.energy_j = self.energy_j.zip(other.energy_j).map(|(one, other)| one + other);
        self.events += other.events;
        self.events_stood += other.events_stood;
        self.stood += other.stood;
        self.deepest = self.deepest.max(other.deepest);
    }
}
