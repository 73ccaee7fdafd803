//! How long the margins of a yard take, and ten thousand yards drawn at random: `cargo bench --bench margins`.
//!
//! It prints the least of some rounds, and judges nothing.

#![allow(clippy::unwrap_used, reason = "a benchmark may fail by panicking")]

use std::hint::black_box;
use sumpwright::questions::margins::{Sample, margins};
use sumpwright::site::{NoFiles, read};

const ROUNDS: u32 = 10;
const EXAMPLES: [(&str, &str); 2] = [
    ("cut-bank", include_str!("../examples/cut-bank.toml")),
    ("heavy-clay", include_str!("../examples/heavy-clay.toml")),
];

#[expect(clippy::disallowed_methods, reason = "a benchmark reads the clock")]
fn main() {
    for (name, text) in EXAMPLES {
        let site = read(text, &NoFiles).site.unwrap();
        let time = |sample: Option<Sample>| {
            let start = std::time::Instant::now();
            black_box(margins(black_box(&site), sample).unwrap());
            start.elapsed().as_secs_f64()
        };
        let alone = (0..ROUNDS).map(|_| time(None)).fold(f64::INFINITY, f64::min);
        let with = time(Some(Sample { runs: 10_000, seed: 1 }));
        println!("{name}: margins {:.0} ms, with 10,000 yards at random {with:.2} s", alone * 1e3);
    }
}
