//! How long a rain record of thirty years takes: as spans, and as bare cells of the `csv` crate.
//!
//! `cargo bench --bench rain_record` runs it. It prints medians over several rounds and judges nothing. The record is
//! made up, in memory, the same each time.

#![allow(clippy::expect_used, clippy::indexing_slicing, reason = "a benchmark may fail by panicking")]
use std::hint::black_box;
use std::io::Write as _;
use sumpwright::hydrology::{Moment, RainRecord, RecordOptions, Span};

const YEARS: i64 = 30;
const STEP_S: i64 = 300;
const ROUNDS: usize = 7;

fn main() {
    let record = record();
    let held_before = peak_memory();
    as_spans(&record);
    let held = peak_memory().zip(held_before).map(|(after, before)| after - before);
    // turn by turn, so that whatever else the machine does strikes both alike
    let (mut bare, mut spans) = (Vec::new(), Vec::new());
    for _ in 0..ROUNDS {
        bare.push(seconds(|| bare_cells(&record)));
        spans.push(seconds(|| as_spans(&record)));
    }
    let (bare, spans) = (median(bare), median(spans));
    println!("cells alone: {bare:.3} s (median of {ROUNDS} rounds)");
    println!("spans: {spans:.3} s, {:.2} times that", spans / bare);
    let mut reader = RainRecord::new(record.as_slice(), &RecordOptions::default()).expect("a good record");
    let count = std::iter::from_fn(|| reader.next_span().expect("a good record")).count();
    let notes = reader.notes();
    println!(
        "{} rows in {:.1} MB, {} of them wet, {:.0} in of rain, {count} spans",
        notes.rows,
        record.len() as f64 / 1e6,
        notes.wet_rows,
        notes.total_depth.inch()
    );
    match held {
        Some(kib) => println!("the first reading raised the peak of the memory in use by {kib} KiB"),
        None => println!("the memory in use is not known on this system"),
    }
}

/// About three rows in a hundred are wet, in bursts.
fn record() -> Vec<u8> {
    let mut text = b"time,rain_in\n".to_vec();
    text.reserve(80_000_000);
    let mut state: u64 = 1;
    let mut draw = |below: u64| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) % below
    };
    let start = Moment::from_civil(1990, 1, 1, 0, 5, 0).expect("a date").seconds();
    let end = Moment::from_civil(1990 + YEARS, 1, 1, 0, 0, 0).expect("a date").seconds();
    let mut wet_left = 0;
    let mut at = start;
    while at <= end {
        if wet_left == 0 && draw(1_000) == 0 {
            wet_left = 1 + draw(60);
        }
        let hundredths = if wet_left > 0 { 1 + draw(6) } else { 0 };
        wet_left = wet_left.saturating_sub(1);
        writeln!(text, "{},0.{hundredths:02}", Moment::from_seconds(at)).expect("memory takes it");
        at += STEP_S;
    }
    text
}

/// What any reader has to do: cut the rows into cells, read both.
fn bare_cells(record: &[u8]) -> f64 {
    let mut reader = csv::ReaderBuilder::new().from_reader(record);
    let mut row = csv::ByteRecord::new();
    let (mut sum, mut last) = (0.0, 0);
    while reader.read_byte_record(&mut row).expect("a good record") {
        last = simple_seconds(&row[0]).expect("a good time");
        sum += std::str::from_utf8(&row[1]).expect("text").parse::<f64>().expect("a number");
    }
    black_box(last);
    sum
}

/// `2014-06-03 14:05` and nothing else.
fn simple_seconds(cell: &[u8]) -> Option<i64> {
    let number = |from: usize, to: usize| {
        cell.get(from..to)?
            .iter()
            .try_fold(0, |value, byte| byte.is_ascii_digit().then(|| value * 10 + i64::from(byte - b'0')))
    };
    let moment = Moment::from_civil(number(0, 4)?, number(5, 7)?, number(8, 10)?, number(11, 13)?, number(14, 16)?, 0)?;
    Some(moment.seconds())
}

fn as_spans(record: &[u8]) -> f64 {
    let mut reader = RainRecord::new(record, &RecordOptions::default()).expect("a good record");
    let mut sum = 0.0;
    while let Some(span) = reader.next_span().expect("a good record") {
        sum += Span::depth(black_box(&span)).inch();
    }
    sum
}

#[expect(clippy::disallowed_methods, reason = "a benchmark reads the clock")]
fn seconds(work: impl FnOnce() -> f64) -> f64 {
    let start = std::time::Instant::now();
    black_box(work());
    start.elapsed().as_secs_f64()
}

fn median(mut seconds: Vec<f64>) -> f64 {
    seconds.sort_by(f64::total_cmp);
    seconds[seconds.len() / 2]
}

/// The most memory that this process ever held, where the system tells.
fn peak_memory() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.split_whitespace().next()?.parse().ok()
}
