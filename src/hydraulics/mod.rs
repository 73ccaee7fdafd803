//! The pressure side: pipes, fittings, friction, the system curve, orifices, what runs back.

mod drain_back;
pub mod friction;
mod grade;
mod line;
pub mod loss;
mod pipe;
mod profile;
pub mod surge;
mod system;
mod water;

#[cfg(test)]
pub(crate) mod tests;

pub use drain_back::{DrainBack, drain_back, stretch_volume};
pub use friction::FrictionMethod;
pub use grade::{GradePoint, RestVacuum, SlackPart, slack_parts};
pub use line::{CheckValve, DischargeLine, FittingCount, Outlet, ProfilePoint, ReliefHole, Run, Surface, Vent};
pub use pipe::{Pipe, PipeUse};
pub use profile::{Cover, Pocket, Summit};
pub use system::{Division, SystemCurve, SystemLevel, SystemPoint, riser_below_hole};
pub use water::Water;
