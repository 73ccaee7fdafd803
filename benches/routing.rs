//! How long one storm through two yards takes: `cargo bench --bench routing`.
//!
//! The yards are those of `tests/crosscheck/routing.json` with ponding, drowned pipes and spills. It prints the least
//! of many rounds for each tolerance, with the worst miss of a level against scipy's reference, and judges nothing.
//! `tests/crosscheck/routing_bench.py` reads its lines.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    dead_code,
    reason = "a benchmark may fail by panicking, and does not need all of the cases"
)]

#[path = "../tests/crosscheck/routing_case.rs"]
mod routing_case;

use routing_case::{Case, cases};
use std::hint::black_box;
use sumpwright::quantity::Length;
use sumpwright::routing::{Follower, Router, System, Timeline, Unwatched};

const ROUNDS: u32 = 60;
const STORMS: u32 = 12;

fn main() {
    let cases = cases();
    for number in [4, 8] {
        let case = &cases[number - 1];
        let (system, timeline) = (case.system(), case.timeline());
        for tolerance_m in
            [3e-4, 2e-4, 1e-4, 6e-5, 3e-5, 2e-5, 1e-5, 6e-6, 3e-6, 2e-6, 1e-6, 6e-7, 3e-7, 2e-7, 1e-7, 1e-8, 1e-9]
        {
            let (steps, miss_m) = check(case, &system, &timeline, tolerance_m);
            let least_us =
                (0..ROUNDS).map(|_| round(case, &system, &timeline, tolerance_m)).fold(f64::INFINITY, f64::min);
            println!(
                "case {number} tolerance {tolerance_m:.0e} m: {least_us:.1} us per storm, {steps} steps, worst level {miss_m:.1e} m"
            );
        }
    }
}

fn follower<'s>(case: &Case, system: &'s System, timeline: &'s Timeline, tolerance_m: f64) -> Follower<'s> {
    let router = Router::new(system, &case.start(), &case.marks(), Length::from_m(tolerance_m)).unwrap();
    Follower::new(router, timeline)
}

/// Steps of a storm, and the worst miss of a level at the asked times, at the end and at the highest.
fn check(case: &Case, system: &System, timeline: &Timeline, tolerance_m: f64) -> (u64, f64) {
    let mut whole = follower(case, system, timeline, tolerance_m);
    whole.until(case.end_s, &mut Unwatched).unwrap();
    let mut follower = follower(case, system, timeline, tolerance_m);
    let mut worst_m = 0.0_f64;
    let times = case.samples.iter().chain([&case.end_s]);
    for (at_s, levels) in times.zip(case.results.samples.iter().chain([&case.results.end])) {
        follower.until(*at_s, &mut Unwatched).unwrap();
        for (store, level) in levels.iter().enumerate() {
            worst_m = worst_m.max((follower.router.level(store).m() - level).abs());
        }
    }
    for (store, highest) in case.results.highest.iter().enumerate() {
        worst_m = worst_m.max((whole.router.highest_level(store).0.m() - highest.level).abs());
    }
    (whole.router.steps(), worst_m)
}

/// Microseconds per storm.
#[expect(clippy::disallowed_methods, reason = "a benchmark reads the clock")]
fn round(case: &Case, system: &System, timeline: &Timeline, tolerance_m: f64) -> f64 {
    let start = std::time::Instant::now();
    for _ in 0..STORMS {
        let mut follower = follower(case, black_box(system), timeline, tolerance_m);
        follower.until(case.end_s, &mut Unwatched).unwrap();
        black_box(follower.router.highest_level(0));
    }
    start.elapsed().as_secs_f64() * 1e6 / f64::from(STORMS)
}
