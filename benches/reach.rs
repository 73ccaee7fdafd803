//! How long a trial takes.
#![allow(clippy::unwrap_used, reason = "a benchmark may fail by panicking")]
use std::time::Instant;
use sumpwright::design::{FittingsStay, trial, with_pump, with_run_length};
use sumpwright::quantity::Length;
use sumpwright::site::{self, NoFiles};
fn main() {
    let text = include_str!("../examples/cut-bank.toml");
    let site = site::read(text, &NoFiles).site.unwrap();
    let site = with_pump(&site, "medium").unwrap();
    for feet in [20.0, 135.0, 200.0, 250.0, 400.0, 800.0] {
        let start = Instant::now();
        let mut said = String::new();
        for _ in 0..20 {
            let tried = trial(&with_run_length(&site, Length::from_ft(feet), FittingsStay::AsDrawn)).unwrap();
            said = format!("{:?} {:?}", tried.first_stop().map(|stop| stop.id), tried.in_storm.map(|storm| storm.depth().inch()));
        }
        println!("{feet} ft: {} us {said}", start.elapsed().as_micros() / 20);
    }
}
