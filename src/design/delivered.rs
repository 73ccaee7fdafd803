//! What a pump brings out of the line at one water level, and nothing else of it: the question asked most often.

use super::bench::Bench;
use super::line;
use super::pump::WaterLevel;
use crate::hydraulics::FrictionMethod;
use crate::hydraulics::friction::pipe_velocity;
use crate::pump_selection::Duty;
use crate::quantity::{Flow, Head, Velocity};
use crate::site::Site;

/// What comes out of the line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Delivered {
    /// So much.
    Flow(Flow),
    /// At least so much: the pump runs past the last point entered of its curve.
    AtLeast(Flow),
    /// It is not known: the duty lies before the first point entered of its curve.
    NotKnown,
    /// Nothing: the line asks for so much more head than the pump ever gives.
    Nothing {
        /// The head missing; zero where all of the flow leaks back.
        short: Head,
    },
}

impl Delivered {
    /// The flow that is sure to come.
    pub fn at_least(self) -> Flow {
        match self {
            Self::Flow(flow) | Self::AtLeast(flow) => flow,
            Self::NotKnown | Self::Nothing { .. } => Flow::ZERO,
        }
    }
}

/// What one pump of a site does on its line.
#[derive(Clone, Debug, PartialEq)]
pub struct OnTheLine {
    /// Out of the line; with a second pump that joins the first, of both together.
    pub delivered: Delivered,
    /// The lift from the water to the highest point.
    pub lift: Head,
    /// The least velocity in riser and runs, with one pump.
    pub slowest: Velocity,
}

/// What a pump does on the line of its site with the water at a level, by Hazen-Williams; none where there is no such
/// pump.
pub fn on_the_line(site: &Site, pump: &str, at: WaterLevel) -> Option<OnTheLine> {
    let pump = site.pumps.iter().find(|known| known.name == pump)?;
    let rest = line::at_rest(site);
    let bench = Bench::new(site, pump, &rest);
    let level = site.basin.level(match at {
        WaterLevel::Off => site.basin.off,
        WaterLevel::Mean => (site.basin.off + site.basin.on) / 2.0,
        WaterLevel::On => site.basin.on,
    });
    let line = &site.discharge;
    let alone = match bench.duty_on(line, &pump.curve, level) {
        Duty::Meets(point) => Delivered::Flow(point.line_flow),
        Duty::BeyondLastPoint { at_least, .. } => Delivered::AtLeast(at_least),
        Duty::BeforeFirstPoint { .. } => Delivered::NotKnown,
        Duty::LeakTakesAll => Delivered::Nothing { short: Head::ZERO },
        Duty::CannotLift { short } => Delivered::Nothing { short },
    };
    let delivered = match alone {
        Delivered::Flow(flow) if bench.joins() => Delivered::Flow(bench.all_on(line, level).unwrap_or(flow)),
        _ => alone,
    };
    let velocities =
        std::iter::once(&line.riser).chain(&line.runs).map(|run| pipe_velocity(alone.at_least(), run.pipe.bore));
    Some(OnTheLine {
        delivered,
        lift: bench.system(line, FrictionMethod::HazenWilliams).static_head(level),
        slowest: velocities.reduce(|least, next| if next < least { next } else { least }).unwrap_or(Velocity::ZERO),
    })
}
