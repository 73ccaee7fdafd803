//! The way to the basin: grates, gravity pipes, French drains with their trench, groundwater that seeps in, the swale
//! below the outlet. Knows nothing of pumps.

pub mod channel;
mod grate;
pub mod gravity_pipe;
pub mod groundwater;
pub mod measured;
pub mod orifice;
pub mod trench;

pub use channel::Channel;
pub(crate) use grate::GrateKernel;
pub use grate::{GRATE_SOURCE, Grate, GrateRegime, common_flow, common_level, openings_flow, weir_flow};
pub use gravity_pipe::{BackedUp, GravityPipe};
pub use trench::Trench;
