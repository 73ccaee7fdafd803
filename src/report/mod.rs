//! Rendering: results in, text out. Computes nothing.

pub mod problems;
