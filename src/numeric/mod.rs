//! Solvers that the physics shares.

mod inverse_root;
mod root;

pub(crate) use inverse_root::inverse_twelfth_root;
pub use root::{Root, RootError, bracketed_root, root_between};
