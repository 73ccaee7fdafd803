//! What is said in one place of the file against what is said in another.

mod circles;
mod drains;
mod groundwater;
mod hollows;
mod levels;
mod names;
mod odd_levels;
mod profile;

pub(super) use drains::drains;
pub(super) use groundwater::groundwater;
pub(super) use hollows::hollows;
pub(super) use levels::levels;
pub(super) use names::names;
pub(super) use odd_levels::{odd_levels, once_a_place};
