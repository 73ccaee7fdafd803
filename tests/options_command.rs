//! The sets worth choosing between as the built program prints and saves them.
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

const EXAMPLES: [&str; 4] = ["cut-bank", "courtyard-metric", "wet-meadow", "long-run"];

fn command(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sumpwright"));
    command.current_dir(env!("CARGO_MANIFEST_DIR")).env("NO_COLOR", "1").args(arguments);
    command
}

fn run(arguments: &[&str]) -> Output {
    command(arguments).output().unwrap()
}

fn on_input(arguments: &[&str], text: &str) -> Output {
    let mut child =
        command(arguments).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    // what is refused at once is not read to its end
    let _ = child.stdin.take().unwrap().write_all(text.as_bytes());
    child.wait_with_output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

fn out(output: &Output) -> String {
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    text(&output.stdout)
}

fn example(name: &str) -> String {
    fs::read_to_string(format!("{}/examples/{name}.toml", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

/// The main example with some of its text changed.
fn changed(changes: &[(&str, &str)]) -> String {
    let mut site = example("cut-bank");
    for (from, to) in changes {
        assert!(site.contains(from), "{from}");
        site = site.replacen(from, to, 1);
    }
    site
}

/// An empty folder of this test run.
fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn snapshot(name: &str, text: &str) {
    insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!(format!("options/{name}"), text);
    });
}

#[test]
fn regress_text_json_and_csv_of_the_main_example() {
    let file = "examples/cut-bank.toml";
    snapshot("cut-bank", &out(&run(&["options", file])));
    snapshot("cut-bank-csv", &out(&run(&["options", file, "--format", "csv"])));
    // of the sets that hold the choices are enough to look at
    let mut json: serde_json::Value = serde_json::from_str(&out(&run(&["options", file, "--format", "json"]))).unwrap();
    assert_eq!(json["sets_that_hold"].as_array().unwrap().len() as u64, json["holding"].as_u64().unwrap());
    json["sets_that_hold"] = serde_json::Value::Null;
    snapshot("cut-bank-json", &serde_json::to_string_pretty(&json).unwrap());
}

#[test]
fn regress_where_none_holds() {
    let site = changed(&[("standing_water = \"3.5 in\"", "standing_water = \"0.1 in\"")]);
    let output = on_input(&["options", "-"], &site);
    assert_eq!(output.status.code(), Some(1));
    snapshot("none-holds", &text(&output.stdout));
    // and none is saved
    let file = folder("options-none").join("saved.toml");
    let output = on_input(&["options", "-", "--save", file.to_str().unwrap()], &site);
    assert_eq!(output.status.code(), Some(1));
    assert!(text(&output.stderr).contains("no set holds, so none was saved"));
    assert!(!file.exists());
}

/// The lines of `--format csv`: pump, runs, whether it holds, what stands against it.
fn csv_lines(site: &str) -> Vec<[String; 4]> {
    let csv = text(&on_input(&["options", "-", "--format", "csv"], site).stdout);
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let records: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    records.iter().map(|line| [&line[3], &line[4], &line[2], &line[17]].map(str::to_owned)).collect()
}

/// No set is proposed whose pipe is smaller than its pump's outlet, which codes forbid, unless the yard is drawn so.
#[test]
fn identity_a_pipe_smaller_than_the_outlet_is_thrown_out() {
    const NARROW: &str = "pipe-smaller-than-pump-outlet";
    let lines = csv_lines(&example("cut-bank"));
    let narrow = |line: &[String; 4]| line[0] == "strong" && line[1] == "1-1/2 in";
    assert!(lines.iter().any(narrow), "{lines:?}");
    for line in &lines {
        assert_eq!(line[3].contains(NARROW), narrow(line), "{line:?}");
        assert!(!(narrow(line) && line[2] == "yes"), "{line:?}");
    }
    let report = text(&on_input(&["options", "-"], &example("cut-bank")).stdout);
    assert!(report.contains(NARROW), "{report}");
    // drawn with a 2 in pipe on an outlet of 3 in: that is known, and cautioned in the report
    let medium = "passes = \"1/2 in\"\noutlet_size = \"1-1/2 in\"";
    let drawn_so = changed(&[(medium, "passes = \"1/2 in\"\noutlet_size = \"3 in\"")]);
    let lines = csv_lines(&drawn_so);
    assert!(lines.iter().all(|line| !line[3].contains(NARROW)), "{lines:?}");
    assert!(lines.iter().any(|line| line[0] == "medium" && line[1] == "2 in" && line[2] == "yes"), "{lines:?}");
}

/// What stands against every set alike is no matter of choosing among them.
#[test]
fn identity_what_no_choice_cures_is_said_first() {
    let as_it_is: serde_json::Value =
        serde_json::from_str(&text(&on_input(&["options", "-", "--format", "json"], &example("cut-bank")).stdout))
            .unwrap();
    assert_eq!(as_it_is["in_every_set"], serde_json::json!([]));
    let collar = "collar = { width = \"8 in\", thickness = \"12 in\" }";
    let floats = changed(&[(collar, "")]);
    assert!(csv_lines(&floats).iter().all(|line| line[3].contains("basin-floats")));
    let json: serde_json::Value =
        serde_json::from_str(&text(&on_input(&["options", "-", "--format", "json"], &floats).stdout)).unwrap();
    assert_eq!(json["in_every_set"], serde_json::json!(["basin-floats"]));
    let output = on_input(&["options", "-"], &floats);
    assert_eq!(output.status.code(), Some(1));
    let report = text(&output.stdout).split_whitespace().collect::<Vec<_>>().join(" ");
    // a collar holds the basin down and does nothing else
    let wanted = format!(
        "No set holds: every set fails by `basin-floats`: put that right first. But for that {} of them would hold.",
        as_it_is["holding"]
    );
    assert!(report.contains(&wanted), "{wanted}: {report}");
    // how the goal is missed is what the nearest set tells
    let missed = changed(&[("standing_water = \"3.5 in\"", "standing_water = \"0.1 in\"")]);
    let report = text(&on_input(&["options", "-"], &missed).stdout);
    assert!(report.contains("No set holds. Nearest comes") && !report.contains("every set fails"), "{report}");
}

#[test]
fn regress_help() {
    insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!("help/help-options", out(&run(&["options", "--help"])));
    });
}

#[test]
fn identity_text_fits_eighty_columns_and_a_screen() {
    for name in EXAMPLES {
        for units in ["us", "metric"] {
            let file = format!("examples/{name}.toml");
            let text = text(&run(&["options", &file, "--units", units]).stdout);
            for line in text.lines() {
                assert!(line.chars().count() <= 80, "{name} {units}: {line}");
            }
            assert!(text.lines().count() <= 64, "{name}: {}", text.lines().count());
        }
    }
}

#[test]
fn identity_text_json_and_csv_say_the_same() {
    for name in EXAMPLES {
        let file = format!("examples/{name}.toml");
        let json: serde_json::Value =
            serde_json::from_slice(&run(&["options", &file, "--format", "json"]).stdout).unwrap();
        let csv = text(&run(&["options", &file, "--format", "csv"]).stdout);
        let mut reader = csv::Reader::from_reader(csv.as_bytes());
        let lines: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        let tried = json["tried"].as_u64().unwrap();
        assert!(lines.len() as u64 == tried || lines.len() as u64 == tried + 1, "{name}");
        let holding = lines.iter().filter(|line| &line[2] == "yes").count() as u64;
        let beside = u64::from(lines.len() as u64 > tried && &lines[lines.len() - 1][2] == "yes");
        assert_eq!(holding - beside, json["holding"].as_u64().unwrap(), "{name}");
        assert_eq!(lines.iter().filter(|line| &line[1] == "yes").count(), 1, "{name}: one is drawn");
        for choice in json["choices"].as_array().unwrap() {
            let number = choice["choice"].as_u64().unwrap().to_string();
            let line = lines.iter().find(|line| line[0] == number).unwrap();
            assert_eq!(&line[3], choice["pump"].as_str().unwrap());
            assert_eq!(&line[4], choice["runs"].as_str().unwrap());
            assert_eq!(&line[5], choice["basin"].as_str().unwrap());
            if let Some(cost) = choice["cost"].as_f64() {
                assert!((line[10].parse::<f64>().unwrap() - cost).abs() <= 0.005_001);
            }
        }
        let report = text(&run(&["options", &file]).stdout);
        assert!(report.contains(&format!("{tried} sets were tried")), "{name}: {report}");
    }
}

/// What stops the design of a file.
fn stops(file: &str) -> Vec<String> {
    let output = run(&["size", file, "--format", "json"]);
    assert!(matches!(output.status.code(), Some(0 | 1)), "{}", text(&output.stderr));
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let findings = json["findings"].as_array().unwrap().iter();
    findings
        .filter(|finding| finding["severity"] == "stop")
        .map(|finding| finding["id"].as_str().unwrap().to_owned())
        .collect()
}

#[test]
fn identity_a_saved_set_holds_and_keeps_the_remarks() {
    let folder = folder("options-saved");
    let before = example("cut-bank");
    let json: serde_json::Value =
        serde_json::from_slice(&run(&["options", "examples/cut-bank.toml", "--format", "json"]).stdout).unwrap();
    for choice in json["choices"].as_array().unwrap() {
        let number = choice["choice"].as_u64().unwrap().to_string();
        let file = folder.join(format!("{number}.toml"));
        let file = file.to_str().unwrap();
        let output = run(&["options", "examples/cut-bank.toml", "--save", file, "--choice", &number]);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        assert!(text(&output.stderr).starts_with(&format!("written: {file}, choice {number}: `")));
        let check = run(&["check", file]);
        assert_eq!(check.status.code(), Some(0), "{}", text(&check.stderr));
        assert!(text(&check.stderr).is_empty(), "{}", text(&check.stderr));
        assert_eq!(stops(file), Vec::<String>::new());
        let after = fs::read_to_string(file).unwrap();
        let remarks = |text: &str| {
            text.lines().filter_map(|line| line.split_once('#')).map(|(_, words)| words.to_owned()).collect::<Vec<_>>()
        };
        assert_eq!(remarks(&before), remarks(&after));
        // every other line stands as it did
        let gone: Vec<&str> = before.lines().filter(|line| !after.lines().any(|other| other == *line)).collect();
        assert!(gone.len() <= 7, "{gone:?}");
        assert!(after.contains(&format!("use = \"{}\"", choice["pump"].as_str().unwrap())));
    }
}

#[test]
fn identity_files_are_not_written_over_unasked() {
    let folder = folder("options-files");
    let file = folder.join("saved.toml");
    let file = file.to_str().unwrap();
    let site = example("cut-bank");
    // from standard input too
    let first = on_input(&["options", "-", "--save", file], &site);
    assert_eq!(first.status.code(), Some(0), "{}", text(&first.stderr));
    let again = on_input(&["options", "-", "--save", file], &site);
    assert_eq!(again.status.code(), Some(3));
    assert!(text(&again.stderr).contains("is there already: write `--force`"));
    assert_eq!(on_input(&["options", "-", "--save", file, "--force"], &site).status.code(), Some(0));
    let report = folder.join("sets.csv");
    let written = run(&["options", "examples/cut-bank.toml", "--format", "csv", "--output", report.to_str().unwrap()]);
    assert_eq!(written.status.code(), Some(0));
    assert!(written.stdout.is_empty());
    assert_eq!(
        fs::read_to_string(&report).unwrap(),
        out(&run(&["options", "examples/cut-bank.toml", "--format", "csv"]))
    );
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 2, "nothing else is left behind");
    let missing = run(&["options", "no-such.toml"]);
    assert_eq!(missing.status.code(), Some(3));
}

#[test]
fn regress_a_saved_set_whose_rain_stands_in_another_file() {
    let folder = folder("options-rain-file");
    let main = example("cut-bank");
    let (head, rest) = main.split_once("[rain.depth.\"2 yr\"]").unwrap();
    let (_, tail) = rest.split_once("# The soil decides").unwrap();
    let site = format!("{head}file = \"rain.csv\"\n\n# The soil decides{tail}");
    let rain = "Point precipitation frequency estimates (inches)\nData type: Precipitation depth\n\nPRECIPITATION FREQUENCY ESTIMATES (invented)\nby duration for ARI (years):, 2,10,25\n5-min:,0.40,0.55,0.63\n10-min:,0.62,0.85,0.97\n15-min:,0.76,1.04,1.20\n30-min:,1.02,1.43,1.67\n60-min:,1.30,1.87,2.22\n24-hr:,2.90,4.30,5.15\n";
    fs::write(folder.join("yard.toml"), site).unwrap();
    fs::write(folder.join("rain.csv"), rain).unwrap();
    let yard = folder.join("yard.toml");
    let there = folder.join("there");
    fs::create_dir(&there).unwrap();
    for (place, said) in [(folder.join("saved.toml"), false), (there.join("saved.toml"), true)] {
        let output = run(&["options", yard.to_str().unwrap(), "--save", place.to_str().unwrap()]);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        assert_eq!(text(&output.stderr).contains("copy that one there too"), said, "{}", text(&output.stderr));
    }
}

#[test]
fn regress_what_is_refused() {
    let main = example("cut-bank");
    let with = |table: &str| format!("{main}\n{table}\n");
    let cases: [(&str, String, &[&str]); 14] = [
        ("no goal", changed(&[("standing_water = \"3.5 in\"\nclear_within = \"6 h\"\n", "")]), &[]),
        ("size not made", with("[options]\npipes = [\"1-3/4 in\"]"), &[]),
        ("one size", with("[options]\npipes = \"2 in\""), &[]),
        ("bare number", with("[options]\nbasins = [24, 30]"), &[]),
        ("empty list", with("[options]\non = []"), &[]),
        ("unknown key", with("[options]\npipe = [\"2 in\"]"), &[]),
        ("energy misspelt", main.replacen("energy_per_kWh", "energy_per_kwh", 1), &[]),
        ("price with a sign", main.replacen("\"24 in\" = 310", "\"24 in\" = \"310 each\"", 1), &[]),
        ("price of no size", main.replacen("\"24 in\" = 310", "\"wide\" = 310", 1), &[]),
        ("foot and metre", main.replacen("[prices]", "[prices]\npipe_per_m = { \"2 in\" = 9 }", 1), &[]),
        (
            "rectangular",
            changed(&[
                (
                    "inside_diameter = \"30 in\"\noutside_diameter = \"31.5 in\"\n",
                    "inside_length = \"30 in\"\ninside_width = \"24 in\"\n",
                ),
                ("[prices]", "[options]\nbasins = [\"24 in\"]\n\n[prices]"),
            ]),
            &[],
        ),
        ("too many", with(&format!("[options]\noff = [{}]\non = [{}]", inches(1, 30), inches(14, 40))), &[]),
        ("no such choice", main.clone(), &["--save", "/not-written.toml", "--choice", "99"]),
        ("both one file", main.clone(), &["--save", "a.toml", "--output", "a.toml"]),
    ];
    let mut all = String::new();
    for (name, site, more) in cases {
        let output = on_input(&[&["options", "-"], more].concat(), &site);
        assert_eq!(output.status.code(), Some(2), "{name}: {}", text(&output.stderr));
        assert!(output.stdout.is_empty(), "{name}");
        all.extend(["== ", name, "\n", &text(&output.stderr), "\n"]);
    }
    for more in [&["--choice", "2"][..], &["--choice", "0", "--save", "x"], &["--years", "1000"], &["--force"]] {
        let output = on_input(&[&["options", "-"], more].concat(), &main);
        assert_eq!(output.status.code(), Some(2), "{more:?}");
    }
    snapshot("refused", &all);
}

/// A list of inches.
fn inches(from: u32, count: u32) -> String {
    (from..from + count).map(|inch| format!("\"{inch}.5 in\"")).collect::<Vec<_>>().join(", ")
}
