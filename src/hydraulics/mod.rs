//! The pressure side: pipes, fittings, friction, the system curve, orifices, what runs back.

mod line;
mod pipe;

pub use line::{CheckValve, DischargeLine, FittingCount, Outlet, ProfilePoint, ReliefHole, Run};
pub use pipe::{Pipe, PipeUse};
