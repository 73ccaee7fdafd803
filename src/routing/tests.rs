//! The router against examples that can be solved by hand, and what must hold of any system. Published ones are check
//! cases: `tests/cases/routing.toml`.

mod exact;
mod method;
