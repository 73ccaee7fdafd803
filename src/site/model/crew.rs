//! What the crew works by: the places that the instrument stood at, how far apart stations lie, what is laid under.

use super::Limit;
use crate::hydraulics::Surface;
use crate::quantity::{Duration, Flow, Length, Level, UnitSystem, Volume};

/// A place that the instrument stood at.
#[derive(Clone, Debug, PartialEq)]
pub struct Setup {
    /// Its name.
    pub name: String,
    /// The level of the benchmark.
    pub benchmark: Level,
    /// The rod reading on the benchmark.
    pub rod_on_benchmark: Length,
}

impl Setup {
    /// The level that the instrument looks along.
    pub fn plane(&self) -> Level {
        self.benchmark + self.rod_on_benchmark
    }
    /// The rod reading on something at a level: the deeper it lies, the larger.
    pub fn rod_on(&self, level: Level) -> Length {
        self.plane() - level
    }
}

/// How the crew's sheet is laid out.
#[derive(Clone, Debug, PartialEq)]
pub struct Crew {
    /// How far apart the stations of a trench lie, where that was entered.
    pub station_spacing: Option<Length>,
    /// What is laid under the pipes, where no French drain's own bottom was entered.
    pub bedding: Length,
    /// What is laid under the basin.
    pub basin_bedding: Limit<Length>,
    /// The setup that rod readings are given for; none for all of them.
    pub setup: Option<String>,
    /// What lies over trenches and around holes of which nothing else is said.
    pub surface: Option<Surface>,
    /// What lies around the basin.
    pub round_basin: Option<Surface>,
}

impl Crew {
    /// How far apart the stations of a trench lie: as entered, else 25 ft, or 5 m on a metric sheet; common practice, no
    /// source.
    pub fn spacing(&self, units: UnitSystem) -> Length {
        self.station_spacing.unwrap_or(match units {
            UnitSystem::Us => Length::from_ft(25.0),
            UnitSystem::Metric => Length::from_m(5.0),
        })
    }
}

/// What was measured at the start of the system that was built.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MeasuredStartUp {
    /// From the start of the pump to its stop.
    pub empties_in: Option<Duration>,
    /// How far the water fell meanwhile; from the on level to the off level where it was not measured.
    pub fell: Option<Length>,
    /// What ran in meanwhile.
    pub inflow: Option<Flow>,
    /// How far the water rose after the stop.
    pub rises_after_stop: Option<Length>,
    /// What was caught at the outlet, and in what time.
    pub bucket: Option<(Volume, Duration)>,
}
