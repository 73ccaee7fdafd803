//! Rain records as people have them, all invented: what is read, what is left out and where, what stops the reading.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::float_cmp,
    clippy::format_push_string,
    reason = "a test fails by panicking"
)]

mod names;
mod stamps;
