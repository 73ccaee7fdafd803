//! How long the question of reach takes: `cargo bench --bench reach`. It prints the least of some rounds and judges
//! nothing.
#![allow(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a benchmark reads the clock and may fail by panicking"
)]

use std::time::Instant;
use sumpwright::questions::reach::{JobAsked, ReachAsked, reach};
use sumpwright::site::{self, NoFiles};

const ROUNDS: usize = 20;

fn main() {
    let site = site::read(include_str!("../examples/cut-bank.toml"), &NoFiles).site.unwrap();
    for (name, asked) in [
        ("goal, three pumps in six sizes", ReachAsked::default()),
        ("goal, nine lifts", ReachAsked { by_lift: true, ..ReachAsked::default() }),
        ("scour", ReachAsked { job: Some(JobAsked::Scour), ..ReachAsked::default() }),
        ("everything", ReachAsked { job: Some(JobAsked::Everything), ..ReachAsked::default() }),
    ] {
        let round = || {
            let start = Instant::now();
            let found = reach(&site, &asked).unwrap();
            (start.elapsed().as_secs_f64() * 1e3, found.cases.len())
        };
        let (least_ms, cases) = (0..ROUNDS).map(|_| round()).reduce(|a, b| if b.0 < a.0 { b } else { a }).unwrap();
        println!("{name}: {least_ms:.1} ms, {cases} cases");
    }
}
