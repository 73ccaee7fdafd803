//! Solvers that the physics shares.

mod root;

pub use root::{Root, RootError, bracketed_root, root_between};
