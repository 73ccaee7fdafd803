//! The `record` command of the built program. All records are invented.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use std::fmt::Write as _;
use std::fs;
use std::io::{Read as _, Write as _};
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

const EXAMPLE: [&str; 3] = ["record", "examples/cut-bank.toml", "examples/rain-2-months.csv"];

fn program() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sumpwright"));
    command.current_dir(env!("CARGO_MANIFEST_DIR")).env("NO_COLOR", "1");
    command
}

fn run(arguments: &[&str]) -> Output {
    program().args(arguments).output().unwrap()
}

fn example(more: &[&str]) -> Output {
    run(&EXAMPLE.iter().chain(more).copied().collect::<Vec<_>>())
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// An empty folder of this test run.
fn folder(name: &str) -> PathBuf {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("record-{name}"));
    let _ = fs::remove_dir_all(&path);
    fs::create_dir_all(&path).unwrap();
    path
}

/// A record through the example yard.
fn record(name: &str, text: &str, more: &[&str]) -> Output {
    let path = folder(name).join("rain.csv");
    fs::write(&path, text).unwrap();
    let mut arguments = vec!["record", "examples/cut-bank.toml", path.to_str().unwrap()];
    arguments.extend(more);
    run(&arguments)
}

#[test]
fn identity_the_examples_of_the_help_work() {
    let help = out(&run(&["record", "--help"]));
    let line = help.lines().find(|line| line.contains("examples/rain-2-months.csv")).unwrap();
    let arguments: Vec<&str> = line.split_whitespace().skip(1).collect();
    assert_eq!(arguments, EXAMPLE);
    let output = run(&arguments);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    assert!(err(&output).is_empty());
    let text = out(&output);
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    assert_eq!(text, out(&run(&arguments)));
    insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!("record/cut-bank-2-months", text);
    });
}

#[test]
fn identity_json_and_csv_say_the_same() {
    let json: serde_json::Value = serde_json::from_str(&out(&example(&["--format", "json"]))).unwrap();
    let table = out(&example(&["--format", "csv"]));
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let names = reader.headers().unwrap().clone();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let sum = |name: &str| -> f64 {
        let column = names.iter().position(|known| known == name).unwrap();
        rows.iter().map(|row| row[column].parse::<f64>().unwrap()).sum()
    };
    let whole = &json["whole"];
    assert_eq!(rows.len(), json["months"].as_array().unwrap().len());
    for (name, value, within) in [
        ("rain_in", whole["rain"]["value"].as_f64().unwrap(), 1e-4),
        ("pumped_gal", whole["pumped"]["value"].as_f64().unwrap(), 0.2),
        ("starts", whole["starts"].as_f64().unwrap(), 0.0),
        ("run_h", whole["run_hours"].as_f64().unwrap(), 2e-3),
        ("events", whole["events"].as_f64().unwrap(), 0.0),
    ] {
        assert!((sum(name) - value).abs() <= within, "{name}: {} {value}", sum(name));
    }
    // by hand: the sum of the example's second column
    let text = fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/examples/rain-2-months.csv")).unwrap();
    assert!(text.starts_with("# Invented"));
    let rain: f64 = text.lines().skip(2).map(|line| line.split_once(',').unwrap().1.parse::<f64>().unwrap()).sum();
    assert!((sum("rain_in") - rain).abs() < 1e-4);
    assert!((json["record"]["rain"]["value"].as_f64().unwrap() - rain).abs() < 1e-9);
    let metric = out(&example(&["--format", "csv", "--units", "metric"]));
    assert!(metric.lines().next().unwrap().contains("rain_mm"));
}

#[test]
fn identity_standard_input_is_read_as_the_file_is() {
    let text = fs::read(concat!(env!("CARGO_MANIFEST_DIR"), "/examples/rain-2-months.csv")).unwrap();
    let mut child = program()
        .args(["record", "examples/cut-bank.toml", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(&text).unwrap();
    assert_eq!(out(&child.wait_with_output().unwrap()), out(&example(&[])));
    let both = run(&["record", "-", "-"]);
    assert_eq!(both.status.code(), Some(2));
    assert!(err(&both).contains("cannot both come from standard input"));
}

#[test]
fn identity_what_is_wrong_with_a_record_is_said_with_its_line_and_the_option_that_helps() {
    let bad = [
        ("unit", "time,rain\n2031-04-01 00:05,0.1\n2031-04-01 00:10,0.2\n", "--unit in"),
        ("column", "when,much\n2031-04-01 00:05,0.1\n", "--time COLUMN"),
        ("empty", "", "the record is empty"),
        ("header", "time,rain_in\n", "has a header but no rows"),
        ("doubtful", "time,rain_in\n2031-04-01 00:05,0\n2031-04-01 00:10,0\n2031-04-01 00:15,90\n", "line 4"),
        ("refused", "time,rain_in\nyesterday,0.1\ntoday,0.2\ntomorrow,0.3\n", "line 2"),
        ("binary", "time,rain_in\n\0\0\0\n", "this is not text"),
    ];
    for (name, text, said) in bad {
        let output = record(name, text, &[]);
        assert_eq!(output.status.code(), Some(2), "{name}: {}", err(&output));
        assert!(output.stdout.is_empty(), "{name}");
        // the page is wrapped: words are looked for
        let flat = err(&output).split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.starts_with("error: ") && flat.contains(said), "{name}: {flat}");
    }
    let good = "time,rain\n2031-04-01 00:05,0\n2031-04-01 00:10,0.2\n2031-04-01 00:15,0\n2031-04-01 00:20,0\n";
    assert_eq!(record("given", good, &["--unit", "in"]).status.code(), Some(0));
    assert_eq!(record("no-station", good, &["--unit", "in", "--station", "north"]).status.code(), Some(2));
    assert_eq!(record("no-time", good, &["--unit", "in", "--step", "5 ft"]).status.code(), Some(2));
    let skipped = good.replace("2031-04-01 00:15,0", "2031-04-01 00:15,lost");
    let output = record("skipped", &skipped, &["--unit", "in"]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    assert!(out(&output).contains("rain unreadable (line 4)"), "{}", out(&output));
    for missing in ["examples/not-there.csv", "examples"] {
        assert_eq!(run(&["record", "examples/cut-bank.toml", missing]).status.code(), Some(3), "{missing}");
    }
}

#[test]
fn identity_a_file_is_written_whole_and_never_over_another() {
    let folder = folder("output");
    let path = folder.join("report.txt");
    let name = path.to_str().unwrap();
    let output = example(&["--output", name]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    assert!(output.stdout.is_empty());
    assert_eq!(fs::read_to_string(&path).unwrap(), out(&example(&[])));
    fs::write(&path, "mine").unwrap();
    let output = example(&["--output", name]);
    assert_eq!(output.status.code(), Some(3));
    assert!(err(&output).contains("--force"), "{}", err(&output));
    assert_eq!(fs::read_to_string(&path).unwrap(), "mine");
    assert_eq!(example(&["--output", name, "--force", "--format", "csv"]).status.code(), Some(0));
    assert!(fs::read_to_string(&path).unwrap().starts_with("year,month,"));
    assert_eq!(example(&["--output", folder.to_str().unwrap(), "--force"]).status.code(), Some(3));
    assert_eq!(example(&["--output", folder.join("none/report.txt").to_str().unwrap()]).status.code(), Some(3));
    // nothing else was left behind
    let left: Vec<_> = fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    assert_eq!(left, ["report.txt"]);
}

#[cfg(unix)]
#[test]
fn identity_an_interrupted_run_says_how_far_it_came_and_writes_nothing() {
    let folder = folder("interrupted");
    let path = folder.join("report.txt");
    let mut child = program()
        .args(["record", "examples/cut-bank.toml", "-", "--output", path.to_str().unwrap()])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut input = child.stdin.take().unwrap();
    // more than is read before the first rain is followed, and then no end
    let mut text = String::from("time,rain_in\n");
    for minute in (0..600_000_i64).step_by(10) {
        let (day, minute) = (minute / 1440, minute % 1440);
        let (month, day) = (day / 28 % 12 + 1, day % 28 + 1);
        let time = format!("2031-{month:02}-{day:02} {:02}:{:02}", minute / 60, minute % 60);
        let _ = writeln!(text, "{time},0.0{}", minute / 10 % 7);
        if month == 12 && day == 28 {
            break;
        }
    }
    input.write_all(text.as_bytes()).unwrap();
    input.flush().unwrap();
    std::thread::sleep(std::time::Duration::from_millis(1500));
    let killed = Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap();
    assert!(killed.success());
    let status = child.wait().unwrap();
    drop(input);
    let mut said = String::new();
    child.stderr.take().unwrap().read_to_string(&mut said).unwrap();
    let mut printed = String::new();
    child.stdout.take().unwrap().read_to_string(&mut printed).unwrap();
    assert_eq!(status.code(), Some(130), "{said}");
    assert!(said.contains("interrupted"), "{said}");
    assert!(said.contains("nothing was written"), "{said}");
    assert!(printed.is_empty());
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 0);
}
