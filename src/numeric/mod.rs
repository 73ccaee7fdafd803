//! Solvers that the physics shares.

mod lesser;
mod root;

pub(crate) use lesser::lesser;
pub use root::{Root, RootError, bracketed_root, root_between};
