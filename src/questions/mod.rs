//! Questions put to a yard once it is designed: what would years of measured rain have done to it?
//!
//! Takes a site and its design; renders nothing.

pub mod record;
