//! The built program: arguments, exit codes, files, standard streams.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use std::fs;
use std::io::Write as _;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

fn program() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sumpwright"));
    command.current_dir(env!("CARGO_MANIFEST_DIR")).env("NO_COLOR", "1");
    command
}

fn run(arguments: &[&str]) -> Output {
    program().args(arguments).output().unwrap()
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// A file in a folder of this test run.
fn scratch(name: &str, bytes: &[u8]) -> PathBuf {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    fs::write(&path, bytes).unwrap();
    path
}

#[test]
fn identity_alone_it_says_what_to_type_first() {
    let output = run(&[]);
    assert_eq!(output.status.code(), Some(0));
    assert!(out(&output).contains("sumpwright size examples/cut-bank.toml"));
}

#[test]
fn regress_help() {
    for (name, arguments) in [
        ("help", vec!["--help"]),
        ("help-size", vec!["size", "--help"]),
        ("help-record", vec!["record", "--help"]),
        ("help-check", vec!["check", "--help"]),
        ("help-tables", vec!["tables", "--help"]),
    ] {
        let output = run(&arguments);
        assert_eq!(output.status.code(), Some(0));
        insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
            insta::assert_snapshot!(format!("help/{name}"), out(&output));
        });
    }
}

#[test]
fn identity_the_readme_commands_work() {
    let readme = fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/README.md")).unwrap();
    let example = readme.lines().find_map(|line| line.strip_prefix("cargo run --release -- ")).unwrap();
    let output = run(&example.split(' ').collect::<Vec<_>>());
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    assert!(out(&output).contains("\nVerdict\n"));
    assert!(err(&output).is_empty());
    assert!(readme.lines().any(|line| line == "cargo test --locked"));
}

#[test]
fn identity_exit_codes() {
    assert_eq!(run(&["size", "examples/cut-bank.toml"]).status.code(), Some(0));
    assert_eq!(run(&["size", "examples/long-run.toml"]).status.code(), Some(1));
    assert_eq!(run(&["check", "examples/long-run.toml"]).status.code(), Some(0));
    assert_eq!(run(&["size", "tests/bad/misspelt-key.toml"]).status.code(), Some(2));
    assert_eq!(run(&["check", "tests/bad/misspelt-key.toml"]).status.code(), Some(2));
    assert_eq!(run(&["size", "examples/not-there.toml"]).status.code(), Some(3));
    assert_eq!(run(&["size", "examples"]).status.code(), Some(3));
    assert_eq!(run(&["size"]).status.code(), Some(2));
    assert_eq!(run(&["sice", "examples/cut-bank.toml"]).status.code(), Some(2));
    assert_eq!(run(&["size", "examples/cut-bank.toml", "--format", "pdf"]).status.code(), Some(2));
}

#[test]
fn identity_every_bad_file_ends_with_code_two_and_no_report() {
    for entry in fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/bad")).unwrap() {
        let path = entry.unwrap().path();
        let output = run(&["size", path.to_str().unwrap()]);
        let code = output.status.code();
        let said = err(&output);
        assert!(!said.is_empty(), "{}: nothing said", path.display());
        if code == Some(2) {
            assert!(output.stdout.is_empty(), "{}: wrote a report", path.display());
        } else {
            // a warning or a gap only: the report stands
            assert!(matches!(code, Some(0 | 1)), "{}: {code:?}", path.display());
            let told = said.contains("warning") || said.contains("still to be measured");
            assert!(told, "{}: {said}", path.display());
        }
    }
}

#[test]
fn identity_what_cannot_be_read_is_said_plainly() {
    let said = err(&run(&["size", "examples/not-there.toml"]));
    assert!(said.contains("there is no such file"), "{said}");
    let wide = scratch("utf16.toml", b"\xff\xfet\0i\0t\0l\0e\0");
    assert!(err(&run(&["size", wide.to_str().unwrap()])).contains("saved as UTF-16"));
    let said = err(&run(&["examples/cut-bank.toml"]));
    assert!(said.contains("to size a site: sumpwright size examples/cut-bank.toml"), "{said}");
    let said = err(&run(&["size", "examples"]));
    assert!(said.contains("is a directory"), "{said}");
    let latin = scratch("latin.toml", b"title = \"H\xf6he\"\n");
    let output = run(&["size", latin.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("is not text (at byte 10)"), "{}", err(&output));
}

#[test]
fn identity_fifty_megabytes_are_refused_at_once() {
    let mut text = String::from("format = 1\n");
    while text.len() < 50 * 1024 * 1024 {
        text.push_str("# a remark that goes on and on, line after line after line after line\n");
    }
    let path = scratch("large.toml", text.as_bytes());
    let output = run(&["size", path.to_str().unwrap()]);
    fs::remove_file(&path).unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("larger than 256 kB"), "{}", err(&output));
    assert!(output.stdout.is_empty());
}

#[test]
fn identity_standard_input_is_read_for_a_dash() {
    let mut child = program().args(["size", "-"]).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
    let text = fs::read(concat!(env!("CARGO_MANIFEST_DIR"), "/examples/cut-bank.toml")).unwrap();
    child.stdin.take().unwrap().write_all(&text).unwrap();
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(out(&output), out(&run(&["size", "examples/cut-bank.toml"])));
}

#[test]
fn identity_a_reader_who_has_had_enough_is_no_error() {
    let mut child = program()
        .args(["size", "examples/cut-bank.toml", "--working"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    assert!(output.stderr.is_empty());
}

#[test]
fn identity_the_report_is_the_same_every_time() {
    for form in ["text", "json"] {
        let arguments = ["size", "examples/cut-bank.toml", "--working", "--format", form];
        assert_eq!(out(&run(&arguments)), out(&run(&arguments)));
    }
}

#[test]
fn identity_a_rain_file_is_found_beside_the_site_file() {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("beside");
    fs::create_dir_all(&folder).unwrap();
    let atlas = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/atlas14-champaign-il.csv");
    fs::copy(atlas, folder.join("rain.csv")).unwrap();
    let example = fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/examples/cut-bank.toml")).unwrap();
    let start = example.find("[rain]").unwrap();
    let end = example.find("[soil]").unwrap();
    let site = format!("{}[rain]\nfile = \"rain.csv\"\n\n{}", &example[..start], &example[end..])
        .replace("standing_water = \"3.5 in\"", "standing_water = \"12 in\"");
    fs::write(folder.join("yard.toml"), site).unwrap();
    let output = run(&["size", folder.join("yard.toml").to_str().unwrap(), "--format", "json"]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let report: serde_json::Value = serde_json::from_str(&out(&output)).unwrap();
    assert_eq!(report["storms"].as_array().unwrap().len(), 10);
    // 10-year, 5-minute depth of the file: 0.647 in, so 7.764 in/h
    let roof = &report["storm"]["catchments"][0];
    approx::assert_relative_eq!(roof["intensity"]["value"].as_f64().unwrap(), 7.764, max_relative = 1e-9);
}

#[test]
fn identity_tables_come_as_text_and_csv() {
    let list = out(&run(&["tables"]));
    for name in ["pipes", "fittings", "limits"] {
        assert!(list.contains(name), "{list}");
    }
    for line in list.lines().filter_map(|line| line.strip_prefix("  ")) {
        let Some(name) = line.split("  ").next().filter(|name| !name.is_empty() && !name.starts_with(' ')) else {
            continue;
        };
        let text = run(&["tables", name]);
        assert_eq!(text.status.code(), Some(0), "{name}: {}", err(&text));
        let csv = run(&["tables", name, "--format", "csv"]);
        let mut reader = csv::Reader::from_reader(csv.stdout.as_slice());
        assert!(reader.records().map(Result::unwrap).count() > 0, "{name}");
    }
    let output = run(&["tables", "pipe"]);
    assert!(err(&output).contains("did you mean `pipes`?"), "{}", err(&output));
    let output = run(&["tables", "pumps"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("there is no table `pumps`"));
}
