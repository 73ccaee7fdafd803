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

#[cfg(target_os = "linux")]
#[test]
fn identity_an_interrupted_run_says_how_far_it_came_and_writes_nothing() {
    let folder = folder("interrupted");
    let path = folder.join("report.txt");
    // a signal that whoever runs the tests has had ignored would stay ignored
    let mut child = Command::new("env")
        .arg("--default-signal=INT")
        .arg(env!("CARGO_BIN_EXE_sumpwright"))
        .current_dir(env!("CARGO_MANIFEST_DIR"))
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

/// A record through the example yard with something in its file changed.
fn changed(name: &str, change: (&str, &str), text: &str, more: &[&str]) -> Output {
    let folder = folder(name);
    let site = fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/examples/cut-bank.toml")).unwrap();
    assert!(site.contains(change.0));
    let (yard, rain) = (folder.join("yard.toml"), folder.join("rain.csv"));
    fs::write(&yard, site.replace(change.0, change.1)).unwrap();
    fs::write(&rain, text).unwrap();
    let mut arguments = vec!["record", yard.to_str().unwrap(), rain.to_str().unwrap()];
    arguments.extend(more);
    run(&arguments)
}

/// On one line, since the page is wrapped.
fn flat(output: &Output) -> String {
    assert_eq!(output.status.code(), Some(0), "{}", err(output));
    out(output).split_whitespace().collect::<Vec<_>>().join(" ")
}

fn parsed(output: &Output) -> serde_json::Value {
    serde_json::from_str(&out(output)).unwrap()
}

/// Rows of a quarter of an hour, some of them with 0.40 in of rain.
fn quarters(rows: u32, wet: std::ops::Range<u32>) -> String {
    (1..=rows).fold("time,rain_in\n".to_owned(), |text, row| {
        let (day, minute) = (row / 96 + 1, row % 96 * 15);
        let rain = if wet.contains(&row) { "0.40" } else { "0.00" };
        format!("{text}2031-04-{day:02} {:02}:{:02},{rain}\n", minute / 60, minute % 60)
    })
}

#[test]
fn identity_water_at_a_protected_place_is_told() {
    let text = fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/examples/rain-2-months.csv")).unwrap();
    // the rim is at 96.00 ft, and the deepest water of the example 1 in over it, once; 0.5 in of it, twice
    for (level, events) in [("97.10", 0), ("96.08", 1), ("96.05", 2)] {
        let to = format!("level = \"{level} ft\"");
        let change = ("level = \"97.10 ft\"", to.as_str());
        let json = parsed(&changed("protected-json", change, &text, &["--format", "json"]));
        let place = &json["protected"][0];
        assert_eq!(place["name"], "crawl-space vent");
        assert_eq!(place["reached"], events > 0);
        assert_eq!(place["events"], events, "{place}");
        let said = flat(&changed("protected", change, &text, &[]));
        let at = format!("`crawl-space vent` at {level} ft");
        if events == 0 {
            assert!(said.contains(&format!("Water never reached {at}.")), "{said}");
            assert!(place["first"].is_null() && place["highest"].is_null());
            assert_eq!(place["under_water"]["value"], 0.0);
            continue;
        }
        let word = if events == 1 { "in 1 event, on 2031-05-03" } else { "in 2 events, first on 2031-05-03" };
        assert!(said.contains(&format!("Water reached {at} {word}")), "{said}");
        // the highest is the deepest over the rim of the only hollow
        let deepest = &json["deepest"];
        assert_eq!(place["highest_at"], deepest["at"]);
        let highest = place["highest"]["value"].as_f64().unwrap() - 96.0;
        assert!((highest * 12.0 - deepest["depth"]["value"].as_f64().unwrap()).abs() < 1e-6);
        assert!(place["first"].as_str() <= deepest["at"].as_str());
        assert!(place["under_water"]["value"].as_f64().unwrap() > 0.0);
    }
}

#[test]
fn identity_water_at_a_protected_place_is_told_beyond_the_end_of_a_month() {
    // April has thirty days: the water stands at the place when May begins, and is highest after that
    let rows: String = (0..40).fold("time,rain_in\n".to_owned(), |text, row| {
        let (day, minute) = if row < 20 { ("04-30", 19 * 60 + row * 15) } else { ("05-01", (row - 20) * 15) };
        let rain = if (15..21).contains(&row) {
            "0.60"
        } else if (21..23).contains(&row) {
            "0.70"
        } else {
            "0"
        };
        format!("{text}2031-{day} {:02}:{:02},{rain}\n", minute / 60, minute % 60)
    });
    let change = ("level = \"97.10 ft\"", "level = \"96.05 ft\"");
    let json = parsed(&changed("beyond", change, &rows, &["--format", "json"]));
    let (place, deepest) = (&json["protected"][0], &json["deepest"]);
    assert!(
        place["first"].as_str().unwrap() < "2031-05-01" && deepest["at"].as_str().unwrap() > "2031-05-01",
        "{place}"
    );
    assert_eq!((&place["events"], &place["highest_at"]), (&1.into(), &deepest["at"]));
}

#[test]
fn identity_missing_time_stands_in_the_first_sentence() {
    let whole = quarters(96 * 3 - 1, 100..104);
    assert!(!flat(&record("missing-none", &whole, &[])).contains("of them missing"));
    // three hours of rows are lost in one way or the other
    let lost = |to: &dyn Fn(&str, &str) -> String| -> String {
        whole
            .lines()
            .map(|line| match line.split_once(',') {
                Some((time, rain)) if time.starts_with("2031-04-03 1") && time < "2031-04-03 13" => to(time, rain),
                _ => format!("{line}\n"),
            })
            .collect()
    };
    let cut = flat(&record("missing-cut", &lost(&|_, _| String::new()), &[]));
    let unreadable = flat(&record("missing-unreadable", &lost(&|time, _| format!("{time},wet\n")), &[]));
    let empty = flat(&record("missing-empty", &lost(&|time, _| format!("{time},\n")), &[]));
    for said in [&cut, &unreadable, &empty] {
        assert!(
            said.contains("(2031-04-01 to 2031-04-03), 3 h of them missing and taken as dry, water never"),
            "{said}"
        );
    }
    assert!(cut.contains("missing time 3 h, taken as dry (gaps between rows)"), "{cut}");
    assert!(cut.contains("gaps 1 "), "{cut}");
    for said in [unreadable, empty] {
        assert!(said.contains("missing time 3 h, taken as dry (rows left out)"), "{said}");
        assert!(said.contains("left out 12 rows: rain"), "{said}");
    }
}

#[test]
fn identity_rows_too_long_for_bursts_carry_a_caution() {
    let days: String = (1..=28).fold("date,rain_in\n".to_owned(), |text, day| {
        format!("{text}2031-04-{day:02},{}\n", if day == 9 { "1.2" } else { "0" })
    });
    let said = flat(&record("daily", &days, &[]));
    assert!(said.contains("Caution: a row of this record covers 24 h"), "{said}");
    assert!(!flat(&example(&[])).contains("Caution"));
    assert_eq!(parsed(&record("daily-json", &days, &["--format", "json"]))["bursts_averaged_away"], true);
    assert_eq!(parsed(&example(&["--format", "json"]))["bursts_averaged_away"], false);
}

#[test]
fn identity_the_summary_does_not_depend_on_the_list_of_events() {
    let summary = |output: &Output| {
        out(output).split("\nThe largest").next().unwrap().split("\nBy year").next().unwrap().to_owned()
    };
    assert_eq!(summary(&example(&["--events", "0"])), summary(&example(&[])));
    let mut short = parsed(&example(&["--events", "0", "--format", "json"]));
    let mut long = parsed(&example(&["--format", "json"]));
    assert!(long["deepest"]["over"] == "corner");
    for json in [&mut short, &mut long] {
        json["largest_events"] = serde_json::Value::Null;
    }
    assert_eq!(short, long);
}

#[test]
fn identity_ones_and_short_times_are_said_as_people_say_them() {
    let said = flat(&record("short", &quarters(2, 1..2), &[]));
    assert!(said.contains("In 30 min (2031-04-01), water"), "{said}");
    assert!(said.contains("1 event in all"), "{said}");
    for wrong in ["1 events", "1 rows", "1 times", "2 times", "e-1"] {
        assert!(!said.replace("less than 1e-12", "").contains(wrong), "{wrong}: {said}");
    }
    let said = flat(&record("lost", &quarters(40, 3..9).replace("06:00,0.00", "06:00,lost"), &[]));
    assert!(said.contains("left out 1 row: rain unreadable (line 25)"), "{said}");
    assert!(said.contains("In 10 hours (2031-04-01), 15 min of them missing"), "{said}");
    // nothing steady comes to this yard, and rounding is no water
    assert!(!said.contains("steady inflow"), "{said}");
    let said = flat(&example(&[]));
    assert!(said.contains("it stood twice"), "{said}");
    assert!(said.contains("held less than at the start 10 gal"), "{said}");
    assert!(said.contains("The record begins with the basin just below its on level"), "{said}");
}

#[test]
fn identity_a_field_of_the_json_has_one_unit() {
    let months = parsed(&example(&["--format", "json", "--units", "metric"]));
    let short = quarters(40, 3..9).replace("06:00,0.00", "06:00,lost");
    let short = parsed(&record("units", &short, &["--format", "json", "--units", "metric"]));
    for json in [&months, &short] {
        for tally in [&json["whole"], &json["years"][0], &json["months"][0]] {
            assert_eq!((&tally["time"]["unit"], &tally["missing"]["unit"]), (&"h".into(), &"h".into()));
            for volume in ["runoff", "came", "pumped", "spilled"] {
                assert_eq!(tally[volume]["unit"], "m3");
            }
        }
        assert_eq!(json["longest_time_without_rain"]["lasts"]["unit"], "h");
        assert_eq!(
            (&json["record"]["missing"]["unit"], &json["record"]["usual_step"]["unit"]),
            (&"h".into(), &"h".into())
        );
        assert_eq!(json["largest_events"][0]["spilled"]["unit"], "m3");
    }
    assert_eq!(short["whole"]["missing"]["value"], 0.25);
}
