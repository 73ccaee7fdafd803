//! A design calculator for pumped yard drainage.
//!
//! The modules are a pipeline, in this order: [`quantity`], [`working`] and [`numeric`]; the physics in [`hydrology`], [`collection`],
//! [`hydraulics`], [`basin`], [`pump_selection`] and [`routing`]; the tables in [`catalog`]; the site file in [`site`]; the whole
//! job in [`design`]; what it takes to build it in [`job`]; what else is asked of it in [`questions`]; a new site file by question and answer in [`interview`]; [`report`] renders it and [`cli`] talks to the outside. Nothing imports what comes after it.
#![cfg_attr(feature = "whole", doc = "")]
#![cfg_attr(feature = "whole", doc = include_str!("../docs/library.md"))]
#![forbid(unsafe_code)]

pub mod basin;
pub mod catalog;
#[cfg(feature = "whole")]
pub mod cli;
pub mod collection;
#[cfg(feature = "whole")]
pub mod design;
pub mod hydraulics;
pub mod hydrology;
#[cfg(feature = "whole")]
pub mod interview;
#[cfg(feature = "whole")]
pub mod job;
pub mod numeric;
pub mod pump_selection;
pub mod quantity;
#[cfg(feature = "whole")]
pub mod questions;
#[cfg(feature = "whole")]
pub mod report;
pub mod routing;
#[cfg(feature = "whole")]
pub mod site;
pub mod working;
