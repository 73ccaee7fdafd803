//! The course of a storm as the built program prints it: text, JSON, CSV, files, and what is refused.
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

const EXAMPLES: [&str; 6] = ["cut-bank", "courtyard-metric", "two-pumps", "over-the-bank", "wet-meadow", "heavy-clay"];

fn run(arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sumpwright"));
    command.current_dir(env!("CARGO_MANIFEST_DIR")).env("NO_COLOR", "1").args(arguments).output().unwrap()
}

fn out(output: &Output) -> String {
    assert_eq!(output.status.code(), Some(0), "{}", err(output));
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn storm(name: &str, more: &[&str]) -> Output {
    let file = format!("examples/{name}.toml");
    let mut arguments = vec!["storm", file.as_str()];
    arguments.extend(more);
    run(&arguments)
}

/// An empty folder of this test run.
fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

#[test]
fn regress_courses_of_two_examples() {
    for (name, more) in [("cut-bank", &[][..]), ("courtyard-metric", &["--power-off-at", "11 h 50 min"])] {
        insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
            insta::assert_snapshot!(format!("storm/{name}"), out(&storm(name, more)));
        });
    }
}

#[test]
fn regress_help() {
    insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!("help/help-storm", out(&run(&["storm", "--help"])));
    });
}

#[test]
fn identity_text_fits_eighty_columns() {
    for name in EXAMPLES {
        for units in ["us", "metric"] {
            for more in [
                &[][..],
                &["--without-power"],
                &["--shape", "worst-steady"],
                &["--every", "20 s", "--from", "11 h 50 min", "--until", "12 h 10 min"],
            ] {
                let text = out(&storm(name, &[&["--units", units], more].concat()));
                for line in text.lines() {
                    assert!(line.chars().count() <= 80, "{name} {units} {more:?}: {line}");
                }
            }
        }
    }
}

/// The cells of the table's rows.
fn table(text: &str) -> Vec<Vec<String>> {
    let course = text.split("\nCourse\n").nth(1).unwrap();
    let rows = course.lines().skip_while(|line| !line.starts_with("  -")).skip(1).take_while(|line| !line.is_empty());
    rows.map(|line| line.split("  ").map(str::trim).filter(|cell| !cell.is_empty()).map(str::to_owned).collect())
        .collect()
}

#[test]
fn identity_text_json_and_csv_say_the_same() {
    for name in ["cut-bank", "courtyard-metric", "over-the-bank"] {
        let rows = table(&out(&storm(name, &[])));
        let json: serde_json::Value = serde_json::from_str(&out(&storm(name, &["--format", "json"]))).unwrap();
        let list = json["rows"].as_array().unwrap();
        let csv = out(&storm(name, &["--format", "csv"]));
        let mut reader = csv::Reader::from_reader(csv.as_bytes());
        let heads: Vec<String> = reader.headers().unwrap().iter().map(str::to_owned).collect();
        let lines: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        assert_eq!(rows.len(), list.len());
        assert_eq!(lines.len(), list.len());
        let unit = |value: &serde_json::Value| value["unit"].as_str().unwrap().to_owned();
        assert_eq!(heads[1], format!("rain ({})", unit(&list[0]["rain"])));
        assert_eq!(heads[4], format!("level in basin ({})", unit(&list[0]["level"])));
        for ((row, line), entry) in rows.iter().zip(&lines).zip(list) {
            let value = |key: &str| entry[key]["value"].as_f64().unwrap();
            let cell = |text: &str| if text == "-" { 0.0 } else { text.parse::<f64>().unwrap() };
            for (in_text, in_csv, key, near) in
                [(1, 1, "rain", 0.051), (2, 2, "runoff", 0.051), (3, 3, "into_basin", 0.051), (4, 4, "level", 0.0051)]
            {
                assert!((cell(&row[in_text]) - value(key)).abs() <= near, "{name}: {row:?} {entry}");
                let long: f64 = line[in_csv].parse().unwrap();
                assert!((long - value(key)).abs() <= 1e-5, "{name}: {line:?} {entry}");
            }
            assert!((cell(&row[7]) - value("pumped")).abs() <= 0.051, "{name}: {row:?} {entry}");
            assert_eq!(row[5] == "-", entry["pumps_running"].as_array().unwrap().is_empty());
            assert_eq!(&line[5] == "1", row[5] == "1");
            let minutes: f64 = line[0].parse().unwrap();
            let (hours, rest) = row[0].split_once(" h ").unwrap();
            let clock = hours.parse::<f64>().unwrap() * 60.0 + rest.trim_end_matches(" min").parse::<f64>().unwrap();
            assert!((clock - minutes).abs() <= 0.501, "{row:?} {line:?}");
        }
    }
}

#[test]
fn identity_an_interval_asked_for_is_kept_all_through() {
    let csv = out(&storm("cut-bank", &["--every", "5 min", "--format", "csv"]));
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let times: Vec<f64> = reader.records().map(|line| line.unwrap()[0].parse().unwrap()).collect();
    let (_, regular) = times.split_last().unwrap();
    assert!(times.len() > 280);
    for (number, time) in (0_u32..).zip(regular) {
        assert!((time - 5.0 * f64::from(number)).abs() < 1e-6);
    }
    // the text leaves out the quiet hours
    assert!(table(&out(&storm("cut-bank", &["--every", "5 min"]))).len() < 60);
}

#[test]
fn identity_json_carries_a_unit_with_every_value() {
    fn walk(value: &serde_json::Value, path: &str) {
        if let serde_json::Value::Object(map) = value {
            if map.contains_key("value") {
                assert!(map["value"].is_number() && map["unit"].is_string(), "{path}");
            }
            for (key, inner) in map {
                walk(inner, &format!("{path}.{key}"));
            }
        } else if let serde_json::Value::Array(list) = value {
            for inner in list {
                walk(inner, path);
            }
        }
    }
    for name in EXAMPLES {
        let json: serde_json::Value = serde_json::from_str(&out(&storm(name, &["--format", "json"]))).unwrap();
        assert_eq!(json["format"], 1);
        assert_eq!(json["kind"], "course of a storm");
        walk(&json, name);
    }
}

#[test]
fn identity_a_file_is_written_whole_and_never_over_another_unasked() {
    let folder = folder("storm-output");
    let path = folder.join("storm.csv");
    let file = path.to_str().unwrap();
    let output = storm("over-the-bank", &["--format", "csv", "--output", file]);
    assert!(out(&output).is_empty());
    assert!(err(&output).contains("written: "));
    let printed = out(&storm("over-the-bank", &["--format", "csv"]));
    assert_eq!(fs::read_to_string(&path).unwrap(), printed);
    let again = storm("over-the-bank", &["--output", file]);
    assert_eq!(again.status.code(), Some(3));
    assert!(err(&again).contains("is there already"), "{}", err(&again));
    assert_eq!(fs::read_to_string(&path).unwrap(), printed);
    let text = out(&storm("over-the-bank", &[]));
    assert_eq!(storm("over-the-bank", &["--output", file, "--force"]).status.code(), Some(0));
    assert_eq!(fs::read_to_string(&path).unwrap(), text);
    // nothing is left beside it
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 1);
    let nowhere = folder.join("nowhere").join("storm.csv");
    let output = storm("over-the-bank", &["--output", nowhere.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(3));
    assert!(err(&output).contains("there is no such folder"), "{}", err(&output));
    let output = storm("over-the-bank", &["--output", folder.to_str().unwrap(), "--force"]);
    assert_eq!(output.status.code(), Some(3));
    assert!(err(&output).contains("is a directory"), "{}", err(&output));
}

#[test]
fn identity_a_bare_period_is_in_years() {
    let with_unit = out(&storm("cut-bank", &["--period", "10 yr"]));
    assert!(with_unit.contains("10 yr"));
    assert_eq!(with_unit, out(&storm("cut-bank", &["--period", "10"])));
}

#[test]
fn identity_what_is_wrong_is_said_with_what_to_write() {
    for (more, wanted) in [
        (&["--period", "7 yr"][..], "it has 2 yr, 10 yr, 25 yr"),
        (&["--period", "7"], "it has 2 yr, 10 yr, 25 yr"),
        (&["--period", "ten"], "yr"),
        (&["--shape", "steady"], "--duration \"30 min\""),
        (&["--shape", "stedy"], "the shapes are nested, steady, worst-steady, type-I"),
        (&["--shape", "nested", "--duration", "1 h"], "says nothing"),
        (&["--duration", "3 min"], "its table runs from 5 min to 24 h"),
        (&["--duration", "0 min"], "must be more than zero"),
        (&["--duration", "two hours"], "--duration"),
        (&["--every", "0 s"], "must be more than zero"),
        (&["--every", "1 s"], "--every \"5 s\""),
        (&["--from", "13 h", "--until", "12 h"], "--from \"11 h\" --until \"13 h\""),
        (&["--from", "90 h"], "nothing lies between"),
        (&["--power-off-at", "90 days"], "nothing is followed beyond"),
        (&["--power-off-at", "30 h"], "the yard is at rest after 24.17 h"),
        (&["--format", "csv", "--chart", "only"], "`--chart` says nothing with"),
        (&["--without-power", "--power-off-at", "1 h"], "cannot be used with"),
        (&["--force"], "--output"),
    ] {
        let output = storm("cut-bank", more);
        let said = err(&output);
        assert_eq!(output.status.code(), Some(2), "{more:?}: {said}");
        assert!(output.stdout.is_empty());
        let flat = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(wanted), "{more:?}: {said}");
    }
    let output = storm("long-run", &[]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("no rain on any surface"), "{}", err(&output));
    assert_eq!(run(&["storm", "examples/not-there.toml"]).status.code(), Some(3));
}

#[test]
fn identity_one_intensity_can_be_followed_where_it_is_said_how_long_it_rains() {
    let folder = folder("storm-intensity");
    let example = fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/examples/cut-bank.toml")).unwrap();
    let (start, end) = (example.find("[rain]").unwrap(), example.find("[soil]").unwrap());
    let site = format!("{}[rain]\nintensity = \"2 in/h\"\n\n{}", &example[..start], &example[end..]);
    let path = folder.join("yard.toml");
    fs::write(&path, site.replace("return_period = \"10 yr\"\n", "")).unwrap();
    let path = path.to_str().unwrap();
    let output = run(&["storm", path]);
    assert_eq!(output.status.code(), Some(2), "{}", err(&output));
    assert!(err(&output).contains("--shape steady"), "{}", err(&output));
    let text = out(&run(&["storm", path, "--shape", "steady", "--duration", "30 min"]));
    assert!(text.contains("1.00 in of rain in 30 min"), "{text}");
}
