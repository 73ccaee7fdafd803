//! What else is asked of a site beside its design: each question is worked out whole, and rendered elsewhere.

pub mod margins;
pub mod record;
pub mod storm;
