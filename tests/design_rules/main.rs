//! What the design says about itself: each rule fires where it should, and each solved cure cures when it is applied.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

mod drains;
mod flotation;
mod french;
mod frost;
mod given;
mod ground;
mod ground_range;
mod job;
mod lid;
mod line;
mod measured;
mod pair;
mod pressure;
mod runoff;
mod storm;
mod summits;
mod validity;
mod way_in;
mod way_in_loads;
mod way_off;
mod yard_said;
