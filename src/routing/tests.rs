//! The router against examples that can be solved by hand, and what must hold of any system. Published ones are check
//! cases: `tests/cases/routing.toml`.

mod dense;
mod exact;
mod method;
mod path;
mod pumped;
mod rates;
mod rosenbrock;
mod storage;
mod ways;
