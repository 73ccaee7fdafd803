//! A design calculator for pumped yard drainage.
#![forbid(unsafe_code)]

pub mod hydrology;
pub mod quantity;
pub mod working;
