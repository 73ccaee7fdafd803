//! The router against examples that can be solved by hand, published ones, and what must hold of any system.

mod exact;
mod method;
mod published;
