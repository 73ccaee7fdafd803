//! The margins as the built program prints them: text, JSON, CSV, files, and what is refused.
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
    let mut command = Command::new(env!("CARGO_BIN_EXE_sumpwright"));
    command.current_dir(env!("CARGO_MANIFEST_DIR")).env("NO_COLOR", "1").args(arguments).output().unwrap()
}

fn margins(name: &str, more: &[&str]) -> Output {
    let file = format!("examples/{name}.toml");
    run(&[&["margins", file.as_str()], more].concat())
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// An empty folder of this test run.
fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

#[test]
fn regress_margins_of_two_examples() {
    for (name, more, code) in [("cut-bank", &["--runs", "200"][..], 0), ("long-run", &["--no-sampling"], 1)] {
        let output = margins(name, more);
        assert_eq!(output.status.code(), Some(code), "{}", err(&output));
        insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
            insta::assert_snapshot!(format!("margins/{name}"), out(&output));
        });
    }
}

#[test]
fn regress_help() {
    insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!("help/help-margins", out(&run(&["margins", "--help"])));
    });
}

#[test]
fn identity_text_json_and_csv_say_the_same() {
    for name in ["cut-bank", "courtyard-metric", "long-run"] {
        let text = out(&margins(name, &["--no-sampling"]));
        let json: serde_json::Value =
            serde_json::from_str(&out(&margins(name, &["--no-sampling", "--format", "json"]))).unwrap();
        assert_eq!(json["kind"], "margins");
        assert!(json["sampling"].is_null());
        assert!(flat(&text).contains(json["sentence"].as_str().unwrap()), "{text}");
        let csv = out(&margins(name, &["--format", "csv"]));
        let mut reader = csv::Reader::from_reader(csv.as_bytes());
        let lines: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        let list = json["margins"].as_array().unwrap();
        assert_eq!(lines.len(), list.len());
        for (line, entry) in lines.iter().zip(list) {
            assert_eq!(&line[0], entry["assumption"].as_str().unwrap());
            assert!((line[1].parse::<f64>().unwrap() - entry["now"]["value"].as_f64().unwrap()).abs() < 1e-5);
            assert_eq!(&line[2], entry["now"]["unit"].as_str().unwrap());
            let at = if entry["stop"].is_null() { &entry["not_within"] } else { &entry["turns_at"] };
            assert!((line[3].parse::<f64>().unwrap() - at["value"].as_f64().unwrap()).abs() < 1e-5);
            let none = if json["holds"] == true { "no failure" } else { "no cure" };
            let stop = entry["stop"]["id"].as_str().unwrap_or(none);
            assert_eq!(&line[9], stop);
        }
    }
}

#[test]
fn identity_ranges_of_the_file_are_those_that_are_drawn() {
    let folder = folder("margins-ranges");
    let example = fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/examples/heavy-clay.toml")).unwrap();
    let path = folder.join("yard.toml");
    fs::write(
        &path,
        format!("{example}\n[margins]\nrain = \"30 %\"\npump_wear = [\"5 %\", 0.15]\nlift = [\"-3 in\", \"12 in\"]\n"),
    )
    .unwrap();
    let output = run(&["margins", path.to_str().unwrap(), "--runs", "100", "--format", "json"]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let json: serde_json::Value = serde_json::from_str(&out(&output)).unwrap();
    let inputs = json["sampling"]["inputs"].as_array().unwrap();
    for (name, low, high) in [("rain", -30.0, 30.0), ("pump_wear", 5.0, 15.0), ("lift", -3.0, 12.0)] {
        let input = inputs.iter().find(|input| input["assumption"] == name).unwrap();
        assert!((input["low"]["value"].as_f64().unwrap() - low).abs() < 1e-9, "{input}");
        assert!((input["high"]["value"].as_f64().unwrap() - high).abs() < 1e-9, "{input}");
        assert_eq!(input["source"], "entered in [margins]");
    }
    for (entry, wanted) in [
        ("rain = \"-20 %\"", "both ways"),
        ("rain = [\"20 %\", \"-20 %\"]", "the lower end comes first"),
        ("rain = [\"20 %\"]", "margins.rain"),
        ("rain = \"150 %\"", "so far down"),
        ("lift = \"20 %\"", "margins.lift"),
        ("lift = 6", "needs its unit"),
        ("rain = true", "margins.rain"),
        ("wear = \"10 %\"", "pump_wear"),
        ("clogged = \"20 %\"", "grate_area"),
    ] {
        fs::write(&path, format!("{example}\n[margins]\n{entry}\n")).unwrap();
        let output = run(&["margins", path.to_str().unwrap()]);
        assert_eq!(output.status.code(), Some(2), "{entry}: {}", err(&output));
        assert!(flat(&err(&output)).contains(wanted), "{entry}: {}", err(&output));
    }
}

#[test]
fn identity_what_is_wrong_is_said_and_files_are_not_overwritten() {
    for (more, wanted) in [
        (&["--runs", "1005"][..], "a multiple of 10"),
        (&["--runs", "10"], "100 to 100000"),
        (&["--runs", "many"], "a whole number"),
        (&["--no-sampling", "--seed", "3"], "cannot be used with"),
        (&["--force"], "--output"),
    ] {
        let output = margins("cut-bank", more);
        assert_eq!(output.status.code(), Some(2), "{more:?}");
        assert!(flat(&err(&output)).contains(wanted), "{more:?}: {}", err(&output));
    }
    assert_eq!(margins("not-there", &[]).status.code(), Some(3));
    let folder = folder("margins-output");
    let path = folder.join("margins.csv");
    let file = path.to_str().unwrap();
    let output = margins("cut-bank", &["--format", "csv", "--output", file]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    assert_eq!(fs::read_to_string(&path).unwrap(), out(&margins("cut-bank", &["--format", "csv"])));
    assert_eq!(margins("cut-bank", &["--output", file]).status.code(), Some(3));
    assert_eq!(margins("cut-bank", &["--no-sampling", "--output", file, "--force"]).status.code(), Some(0));
}

#[test]
fn identity_size_tells_the_least_slack_where_it_is_asked() {
    let with = out(&run(&["size", "examples/cut-bank.toml", "--margins"]));
    let json: serde_json::Value =
        serde_json::from_str(&out(&run(&["size", "examples/cut-bank.toml", "--margins", "--format", "json"]))).unwrap();
    let sentence = json["verdict"]["sentences"].as_array().unwrap().last().unwrap().as_str().unwrap().to_owned();
    assert!(sentence.starts_with("Least slack: "), "{sentence}");
    assert!(flat(&with).contains(&sentence), "{with}");
    assert!(!out(&run(&["size", "examples/cut-bank.toml"])).contains("Least slack"));
}
