//! How long 2,000 sets of the main example take: `cargo bench --bench options`. It prints, and judges nothing.

#![allow(clippy::unwrap_used, reason = "a benchmark may fail by panicking")]

use std::time::Instant;
use sumpwright::questions::options::options;
use sumpwright::site::NoFiles;

/// Three pumps in so many sets.
const LISTS: &str = "
[options]
pipes = [\"1-1/4 in\", \"1-1/2 in\", \"2 in\", \"2-1/2 in\", \"3 in\"]
basins = [\"18 in\", \"24 in\", \"30 in\", \"36 in\", \"42 in\", \"48 in\"]
off = [\"7 in\", \"8 in\", \"9 in\", \"10 in\"]
on = [\"18 in\", \"20 in\", \"22 in\", \"24 in\", \"26 in\", \"28 in\"]
";
const ROUNDS: u32 = 3;

#[expect(clippy::disallowed_methods, reason = "a benchmark reads the clock")]
fn main() {
    let text = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/examples/cut-bank.toml")).unwrap();
    let text = format!("{text}{LISTS}");
    let mut least_s = f64::INFINITY;
    let mut found = None;
    for _ in 0..ROUNDS {
        let begin = Instant::now();
        found = Some(options(&text, &NoFiles, None, 10).unwrap());
        least_s = least_s.min(begin.elapsed().as_secs_f64());
    }
    let found = found.unwrap();
    println!(
        "{} sets, {} hold, {} worth choosing between: {least_s:.2} s, {:.2} ms a set",
        found.asked,
        found.holding,
        found.choices.len(),
        least_s * 1e3 / found.asked as f64
    );
}
