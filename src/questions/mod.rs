//! What else is asked of a site beside its design: each question is worked out whole, and rendered elsewhere.

pub mod margins;
pub mod options;
pub mod reach;
pub mod record;
pub mod storm;
