//! How long a rain record of thirty years takes through a yard, beside what the `csv` crate alone takes to read it.
//!
//! `cargo bench --bench record` runs it, through `examples/cut-bank.toml` or the site files named after `--`. It prints
//! medians over several rounds and judges nothing. The record is made up, in a file of its own, the same each time.

#![allow(clippy::expect_used, clippy::indexing_slicing, reason = "a benchmark may fail by panicking")]
use std::fs::File;
use std::hint::black_box;
use std::io::{BufWriter, Write as _};
use std::path::{Path, PathBuf};
use sumpwright::design::design;
use sumpwright::hydrology::{Moment, RainRecord, RecordOptions};
use sumpwright::questions::record::{RecordResult, RecordSettings, run_record};
use sumpwright::site;

const YEARS: i64 = 30;
const STEP_S: i64 = 300;
const ROUNDS: usize = 5;

struct NoFiles;
impl site::Files for NoFiles {
    fn read(&self, _: &str) -> Result<String, String> {
        Err("no files beside it".to_owned())
    }
}

fn main() {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("bench-record.csv");
    write_record(&path);
    let mut yards: Vec<String> = std::env::args().skip(1).filter(|argument| !argument.starts_with('-')).collect();
    if yards.is_empty() {
        yards.push("examples/cut-bank.toml".to_owned());
    }
    for yard in &yards {
        let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(yard);
        let text = std::fs::read_to_string(file).expect("an example");
        let site = site::read(&text, &NoFiles).site.expect("a good site");
        let design = design(&site).expect("a design");
        let through = || {
            let file = File::open(&path).expect("the record");
            let record = RainRecord::new(file, &RecordOptions::default()).expect("a good record");
            run_record(&site, &design, record, &RecordSettings::default(), &mut |_| true).expect("a run")
        };
        let result = through();
        // turn by turn, so that whatever else the machine does strikes both alike
        let (mut bare, mut run) = (Vec::new(), Vec::new());
        for _ in 0..ROUNDS {
            bare.push(seconds(|| bare_cells(&path)));
            run.push(seconds(|| through().whole.pumped.m3()));
        }
        let least = |seconds: &[f64]| seconds.iter().copied().fold(f64::INFINITY, f64::min);
        let (least_bare, least_run) = (least(&bare), least(&run));
        let (bare, run) = (median(bare), median(run));
        println!("{yard}");
        println!("  csv crate alone, both columns parsed: {bare:.3} s (median of {ROUNDS} rounds)");
        println!("  the record through the yard:          {run:.3} s, {:.2} times that", run / bare);
        println!(
            "  the least of the rounds:              {least_bare:.3} s and {least_run:.3} s, {:.2} times",
            least_run / least_bare
        );
        tell(&result);
    }
    let _ = std::fs::remove_file(&path);
    match peak_memory() {
        Some(kib) => println!("the most memory in use at any time: {:.1} MB", kib as f64 / 1024.0),
        None => println!("the memory in use is not known on this system"),
    }
}

fn tell(result: &RecordResult) {
    let whole = &result.whole;
    println!(
        "  {} rows, {} wet; {} events, {} with standing water, {} starts; left over: water {:.1e}, runoff {:.1e}, rain {:.1e}",
        result.notes.rows,
        result.notes.wet_rows,
        whole.events,
        whole.events_stood,
        whole.starts,
        result.balance.left_over,
        result.balance.runoff_left_over,
        result.balance.rain_left_over
    );
}

/// About three rows in a hundred are wet, in bursts.
fn write_record(path: &Path) {
    let mut text = BufWriter::new(File::create(path).expect("a file"));
    writeln!(text, "time,rain_in").expect("room");
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
        writeln!(text, "{},0.{hundredths:02}", Moment::from_seconds(at)).expect("room");
        at += STEP_S;
    }
    text.flush().expect("room");
}

/// What any reader has to do: cut the rows into cells, read both.
fn bare_cells(path: &Path) -> f64 {
    let mut reader = csv::ReaderBuilder::new().from_reader(File::open(path).expect("the record"));
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
