//! The ground: soil, groundwater, what was measured in it, what holds the basin down in it.

use super::crew::MeasuredStartUp;
use crate::basin::flotation::Collar;
use crate::hydrology::{GreenAmpt, Horton, Loss};
use crate::quantity::{Area, Density, Duration, Flow, Intensity, Length, Level, RainDepth, Velocity};

/// The soil.
#[derive(Clone, Debug, PartialEq)]
pub struct Soil {
    /// Texture class.
    pub texture: Option<String>,
    /// Steady infiltration entered.
    pub infiltration: Option<Intensity>,
    /// Infiltration parameters by texture or as entered.
    pub green_ampt: Option<GreenAmpt>,
    /// Infiltration parameters of Horton's method, where entered.
    pub horton: Option<Horton>,
    /// Hydrologic soil group, A to D.
    pub hydrologic_group: Option<char>,
}

impl Soil {
    /// How it takes rain: the steady rate entered, else Horton's numbers, else Green and Ampt's.
    pub fn loss(&self) -> Option<Loss> {
        self.infiltration.map(Loss::Constant).or(self.horton.map(Loss::Horton)).or(self.green_ampt.map(Loss::GreenAmpt))
    }
}

/// Groundwater.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Groundwater {
    /// How high it stands in a wet season.
    pub seasonal_high: Option<Level>,
    /// How high it rises in a storm, and in which time.
    pub storm_high: Option<(Level, Duration)>,
    /// What it adds, as a number entered.
    pub inflow: Option<Flow>,
    /// How far it is to be lowered at the drain.
    pub drawdown: Option<Length>,
    /// The level of the layer that water does not pass.
    pub tight_layer: Option<Level>,
    /// How far from the drain it is lowered.
    pub reach: Option<Length>,
    /// How the ground lets water through, where anything says so.
    pub ground: Option<Ground>,
    /// Whether the basin's own wall lets it in.
    pub basin_perforated: bool,
}

/// How the ground lets water through.
#[derive(Clone, Debug, PartialEq)]
pub struct Ground {
    /// Conductivity taken.
    pub conductivity: Velocity,
    /// Its likely least.
    pub conductivity_low: Velocity,
    /// Its likely most.
    pub conductivity_high: Velocity,
    /// The share of the ground that gives up its water, where it is known: taken, least and most.
    pub drainable: Option<(f64, f64, f64)>,
    /// Where the conductivity comes from, in a few words.
    pub basis: String,
    /// Whether it was entered in `[groundwater]`, which goes before all else.
    pub settled: bool,
}

/// What the owner measured.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Measured {
    /// Water that rose in a pit.
    pub rise: Option<Rise>,
    /// How long a pump of known flow ran and rested.
    pub pump_times: Option<PumpTimes>,
    /// Whether the French drains were open into the pit.
    pub with_drain: bool,
    /// Water that fell in a test hole.
    pub test_hole: Option<TestHole>,
    /// A puddle.
    pub puddle: Option<Puddle>,
    /// The start of the system that was built.
    pub start_up: MeasuredStartUp,
}

/// Water that rose in a pit while no pump ran.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rise {
    /// Inside area of the pit.
    pub plan: Area,
    /// How far it rose.
    pub rise: Length,
    /// In what time.
    pub over: Duration,
    /// How long the pump took to bring it down by as much.
    pub pump_down: Option<Duration>,
}

/// How long a pump of known flow ran and rested.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PumpTimes {
    /// What it pumps.
    pub flow: Flow,
    /// How long it runs.
    pub runs: Duration,
    /// How long it rests.
    pub rests: Duration,
}

/// A hole that was filled and left to fall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TestHole {
    /// Its diameter.
    pub diameter: Length,
    /// Depth of water at first.
    pub from: Length,
    /// Depth of water later.
    pub to: Length,
    /// The time between.
    pub over: Duration,
}

/// A puddle that was seen.
#[derive(Clone, Debug, PartialEq)]
pub struct Puddle {
    /// The low spot it stood in, where one is known.
    pub low_spot: Option<String>,
    /// How much it covered.
    pub area: Area,
    /// How deep it was.
    pub depth: Length,
    /// The rain before it.
    pub rain: RainDepth,
}

/// What holds the basin down when it is empty.
#[derive(Clone, Debug, PartialEq)]
pub struct Ballast {
    /// Diameter of a flange at the floor.
    pub flange: Option<Length>,
    /// A collar or slab of concrete.
    pub collar: Option<Collar>,
    /// How high water stands in the ground outside, where that was entered.
    pub water: Option<Level>,
    /// Weight of the soil full of water.
    pub soil_saturated: Density,
    /// Weight of concrete.
    pub concrete: Density,
    /// Whether anything about weight, outside or ballast was entered, so that flotation can be judged.
    pub entered: bool,
}
