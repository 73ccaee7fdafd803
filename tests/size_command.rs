//! `size` as built: the forms of its report, its charts, its files, what is refused.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use std::fs;
use std::path::PathBuf;
use std::process::{Command, Output};

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_sumpwright"))
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .env("NO_COLOR", "1")
        .args(arguments)
        .output()
        .unwrap()
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// An empty folder of one test.
fn folder(name: &str) -> PathBuf {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&path);
    fs::create_dir_all(&path).unwrap();
    path
}

const EXAMPLE: &str = "examples/cut-bank.toml";

#[test]
fn identity_html_is_the_same_on_the_screen_and_in_a_file() {
    let path = folder("size-html").join("report.html");
    let file = path.to_str().unwrap();
    let shown = run(&["size", EXAMPLE, "--format", "html"]);
    assert_eq!(shown.status.code(), Some(0));
    assert!(out(&shown).starts_with("<!DOCTYPE html>") && out(&shown).ends_with("</html>"));
    let written = run(&["size", EXAMPLE, "--format", "html", "--output", file]);
    assert_eq!((written.status.code(), out(&written)), (Some(0), String::new()));
    assert!(err(&written).contains("written: "), "{}", err(&written));
    assert_eq!(fs::read_to_string(&path).unwrap(), out(&shown));
}

#[test]
fn identity_no_file_is_replaced_unasked() {
    let path = folder("size-force").join("report.txt");
    let file = path.to_str().unwrap();
    fs::write(&path, "mine").unwrap();
    let refused = run(&["size", EXAMPLE, "--output", file]);
    assert_eq!(refused.status.code(), Some(3));
    assert!(err(&refused).contains("is there already") && err(&refused).contains("--force"), "{}", err(&refused));
    assert_eq!(fs::read_to_string(&path).unwrap(), "mine");
    let forced = run(&["size", EXAMPLE, "--output", file, "--force"]);
    assert_eq!(forced.status.code(), Some(0), "{}", err(&forced));
    assert_eq!(fs::read_to_string(&path).unwrap(), out(&run(&["size", EXAMPLE])));
    assert_eq!(run(&["size", EXAMPLE, "--force"]).status.code(), Some(2));
}

#[test]
fn identity_what_does_not_hold_ends_with_one_in_every_form() {
    let path = folder("size-fails").join("report.html");
    let file = path.to_str().unwrap();
    for arguments in [
        vec!["size", "examples/long-run.toml", "--format", "html"],
        vec!["size", "examples/long-run.toml", "--chart"],
        vec!["size", "examples/long-run.toml", "--format", "html", "--output", file],
    ] {
        assert_eq!(run(&arguments).status.code(), Some(1), "{arguments:?}");
    }
    assert!(fs::read_to_string(&path).unwrap().contains("Does not hold"));
}

#[test]
fn identity_charts_follow_the_report_in_plain_characters() {
    let plain = out(&run(&["size", EXAMPLE]));
    let drawn = out(&run(&["size", EXAMPLE, "--chart"]));
    let charts = drawn.strip_prefix(&plain).expect("the charts stand below the report");
    assert!(charts.is_ascii());
    assert!(charts.lines().all(|line| line.len() <= 80));
    assert!(charts.contains("Pump against line") && charts.contains("The design storm"));
    // the duties that the report prints
    assert!(
        charts.contains("off level 49 gpm at 15.6 ft") && charts.contains("on level  51 gpm at 14.6 ft"),
        "{charts}"
    );
    let refused = run(&["size", EXAMPLE, "--chart", "--format", "json"]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(err(&refused).contains("--chart") && out(&refused).is_empty());
}

#[test]
fn identity_margins_and_working_come_when_asked_for() {
    let bare = out(&run(&["size", EXAMPLE, "--format", "html"]));
    assert!(!bare.contains("How wrong the estimate may be") && !bare.contains("id=\"working\""));
    let full = out(&run(&["size", EXAMPLE, "--format", "html", "--margins", "--working"]));
    assert!(full.contains("How wrong the estimate may be") && full.contains("Least slack: "));
    assert!(full.contains("id=\"working\"") && full.contains("Hazen-Williams"));
    assert!(full.len() < 300_000, "{}", full.len());
}

#[test]
fn identity_all_papers_come_with_the_report() {
    let path = folder("size-papers");
    let all = path.join("job");
    let written = run(&["papers", EXAMPLE, "--all", all.to_str().unwrap()]);
    assert_eq!(written.status.code(), Some(0), "{}", err(&written));
    let report = fs::read_to_string(all.join("report.html")).unwrap();
    assert_eq!(report, out(&run(&["size", EXAMPLE, "--format", "html"])));
}
