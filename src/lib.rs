//! A design calculator for pumped yard drainage.
#![forbid(unsafe_code)]

pub mod basin;
pub mod catalog;
pub mod hydraulics;
pub mod numeric;
pub mod pump_selection;
pub mod quantity;
pub mod working;
