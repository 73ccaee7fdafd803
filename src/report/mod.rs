//! Results as people and programs read them. Computes nothing.

pub mod asking;
pub mod explain;
pub mod html;
pub mod json;
pub(crate) mod layout;
pub mod margins_table;
pub mod options_table;
pub mod papers;
pub mod problems;
pub mod reach_table;
pub mod record_table;
pub mod storm_table;
pub mod svg;
pub mod tables;
pub(crate) mod takeoff_cells;
pub mod takeoff_table;
pub mod text;
pub mod working;
