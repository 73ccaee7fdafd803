//! A design calculator for pumped yard drainage.
#![forbid(unsafe_code)]

pub mod basin;
pub mod catalog;
pub mod hydraulics;
pub mod hydrology;
pub mod numeric;
pub mod pump_selection;
pub mod quantity;
pub mod report;
pub mod site;
pub mod working;
