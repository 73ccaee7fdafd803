//! How long the run may be, as the built program prints it: text, JSON, CSV, files, exit codes, what is refused.
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

const EXAMPLES: [&str; 6] =
    ["cut-bank", "long-run", "courtyard-metric", "wet-meadow", "heavy-clay", "bid-orchard-wall"];
const CURVE: &str = "0 gpm 31 ft, 20 gpm 27 ft, 40 gpm 20.5 ft";

fn run(arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sumpwright"));
    command.current_dir(env!("CARGO_MANIFEST_DIR")).env("NO_COLOR", "1").args(arguments).output().unwrap()
}

fn out(output: &Output) -> String {
    assert!(matches!(output.status.code(), Some(0 | 1)), "{}", err(output));
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn reach(name: &str, more: &[&str]) -> Output {
    let file = format!("examples/{name}.toml");
    let mut arguments = vec!["reach", file.as_str()];
    arguments.extend(more);
    run(&arguments)
}

/// From a handful of numbers.
fn quick(more: &[&str]) -> Output {
    let mut arguments = vec!["reach", "--lift", "12 ft", "--curve", CURVE];
    arguments.extend(more);
    run(&arguments)
}

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn regress_answers_as_printed() {
    let snapshots = [
        ("long-run", reach("long-run", &[])),
        ("cut-bank", reach("cut-bank", &[])),
        ("cut-bank-by-lift", reach("cut-bank", &["--by-lift", "--pump", "medium"])),
        ("courtyard-metric", reach("courtyard-metric", &[])),
        ("numbers", quick(&["--flow", "30 gpm", "--pipe", "2 in", "--run", "180 ft"])),
        ("numbers-all-sizes", quick(&["--flow", "30 gpm", "--fittings", "elbow 90 = 3", "--check-valve"])),
    ];
    for (name, output) in snapshots {
        insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
            insta::assert_snapshot!(format!("reach/{name}"), out(&output));
        });
    }
}

#[test]
fn identity_the_readme_tells_what_is_printed() {
    let readme = fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/README.md")).unwrap();
    let printed = out(&reach("long-run", &[]));
    assert!(readme.contains(&format!("```text\n{printed}```")), "{printed}");
    assert_eq!(reach("long-run", &[]).status.code(), Some(1));
    // the command beside it works as it stands
    let start = readme.find("sumpwright reach --lift").unwrap();
    let typed = readme[start..].split("```").next().unwrap().replace("\\\n", " ");
    let mut arguments = Vec::new();
    for (index, part) in typed.split('"').enumerate() {
        if index % 2 == 1 {
            arguments.push(part.to_owned());
        } else {
            arguments.extend(part.split_whitespace().map(str::to_owned));
        }
    }
    let arguments: Vec<&str> = arguments.iter().skip(1).map(String::as_str).collect();
    assert!(out(&run(&arguments)).contains("to spare"));
}

#[test]
fn regress_help() {
    insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!("help/help-reach", out(&run(&["reach", "--help"])));
    });
}

#[test]
fn identity_text_fits_eighty_columns_and_one_screen() {
    for name in EXAMPLES {
        for units in ["us", "metric"] {
            for more in [&[][..], &["--by-lift"], &["--flow", "25 gpm"], &["--for", "everything"], &["--for", "scour"]]
            {
                let text = out(&reach(name, &[&["--units", units], more].concat()));
                for line in text.lines() {
                    assert!(line.chars().count() <= 80, "{name} {units} {more:?}: {line}");
                }
                assert!(text.lines().count() <= 48, "{name} {units} {more:?}: {text}");
                for bad in ["NaN", "inf", "\u{2014}"] {
                    assert!(!text.contains(bad), "{text}");
                }
            }
        }
    }
}

#[test]
fn identity_exit_codes_tell_whether_the_run_is_within_reach() {
    let code = |output: Output| output.status.code();
    assert_eq!(code(reach("cut-bank", &[])), Some(0));
    assert_eq!(code(reach("long-run", &[])), Some(1));
    assert_eq!(code(reach("cut-bank", &["--pump", "small"])), Some(1));
    assert_eq!(code(quick(&["--flow", "30 gpm", "--pipe", "2 in", "--run", "180 ft"])), Some(0));
    assert_eq!(code(quick(&["--flow", "30 gpm", "--pipe", "1-1/4 in", "--run", "180 ft"])), Some(1));
    // without a size, whether any does; without a run, whether any run is within reach
    assert_eq!(code(quick(&["--flow", "30 gpm", "--run", "180 ft"])), Some(0));
    assert_eq!(code(quick(&["--flow", "30 gpm"])), Some(0));
    assert_eq!(code(quick(&["--flow", "70 gpm"])), Some(1));
    assert_eq!(run(&["reach", "examples/not-there.toml"]).status.code(), Some(3));
}

#[test]
fn identity_text_json_and_csv_say_the_same() {
    for (name, more) in
        [("cut-bank", &[][..]), ("long-run", &[]), ("courtyard-metric", &[]), ("long-run", &["--by-lift"])]
    {
        let text = out(&reach(name, more));
        let json: serde_json::Value =
            serde_json::from_str(&out(&reach(name, &[more, &["--format", "json"]].concat()))).unwrap();
        let csv = out(&reach(name, &[more, &["--format", "csv"]].concat()));
        let mut reader = csv::Reader::from_reader(csv.as_bytes());
        let lines: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        let cases = json["cases"].as_array().unwrap();
        assert_eq!(cases.len(), lines.len());
        assert_eq!(json["kind"], "reach");
        for (case, line) in cases.iter().zip(&lines) {
            assert_eq!(case["pump"], line[0]);
            assert_eq!(case["size"], line[2]);
            if let Some(longest) = case["new"]["longest"]["value"].as_f64() {
                assert!((line[7].parse::<f64>().unwrap() - longest).abs() < 0.006);
                let unit = case["new"]["longest"]["unit"].as_str().unwrap();
                let printed = if unit == "ft" { format!("{longest:.0} ft") } else { format!("{longest:.1} m") };
                assert!(text.contains(&printed), "{printed} in {text}");
            } else {
                assert!(line[7].is_empty() && line[5] == *"never");
                assert!(case["new"]["why"].is_string());
            }
        }
        for sentence in json["sentences"].as_array().unwrap() {
            assert!(flat(&text).contains(sentence.as_str().unwrap()), "{sentence}");
        }
        let code = reach(name, more).status.code();
        assert_eq!(json["within_reach"].as_bool().unwrap(), code == Some(0));
    }
}

#[test]
fn identity_height_before_flow_and_a_name_in_other_letters_are_the_same() {
    let by = |curve: &str| {
        out(&run(&[
            "reach", "--lift", "12 ft", "--flow", "30 gpm", "--pipe", "2 in", "--run", "180 ft", "--curve", curve,
        ]))
    };
    assert_eq!(by("31 ft 0 gpm, 27 ft 20 gpm, 20.5 ft 40 gpm"), by(CURVE));
    let pump = |name: &str| reach("cut-bank", &["--pump", name]);
    assert_eq!(out(&pump("MEDIUM")), out(&pump("medium")));
    assert_eq!(pump("mediums").status.code(), Some(2));
}

/// Feet for metres at the first point, which make the curve begin below half of its head.
#[test]
fn identity_a_curve_in_two_units_is_not_taken() {
    let output = run(&[
        "reach",
        "--lift",
        "3.9 m",
        "--flow",
        "1.6 l/s",
        "--curve",
        "0 l/s 9.5 ft, 1 l/s 8.6 m, 2 l/s 6.9 m, 3 l/s 4.2 m",
    ]);
    assert_eq!(output.status.code(), Some(2));
    let said = flat(&err(&output));
    assert!(said.contains("begins at 9.5 ft and rises to 28.2 ft") && said.contains("feet for metres"), "{said}");
}

/// PE 100 of PN 10 is SDR 17: outside 50 mm, wall 3.0 mm (ISO 4427-2, from memory).
#[test]
fn identity_pipe_is_found_by_what_the_trade_prints_on_it() {
    let by = |material: &str| {
        run(&[
            "reach",
            "--lift",
            "3.9 m",
            "--flow",
            "1.6 l/s",
            "--pipe",
            "50 mm",
            "--run",
            "88 m",
            "--material",
            material,
            "--curve",
            "0 l/s 9.5 m, 1 l/s 8.6 m, 2 l/s 6.9 m, 3 l/s 4.2 m",
        ])
    };
    assert_eq!(out(&by("PE100 PN 10")), out(&by("PE100 SDR 17")));
    assert_eq!(out(&by("PE100 PN 16")), out(&by("PE100 SDR 11")));
    assert_ne!(out(&by("PE100 PN 10")), out(&by("PE100 PN 16")));
    // what is not made in that size says what is
    for material in ["PE", "xyzzy"] {
        let said = flat(&err(&by(material)));
        assert!(said.contains("the kinds made in 50 mm are") && said.contains("PE100 SDR 17"), "{material}: {said}");
    }
}

#[test]
fn identity_the_sentence_of_the_telephone() {
    let text = flat(&out(&reach("long-run", &[])));
    assert!(
        text.contains("Pump `already bought` holds to 120 ft of 1-1/2 in; the run is 260 ft; 140 ft short."),
        "{text}"
    );
    let text = flat(&out(&quick(&["--flow", "30 gpm", "--pipe", "2 in", "--run", "180 ft"])));
    assert!(text.contains("No riser, no relief hole"), "{text}");
    assert!(text.contains("Lift is counted from the water where the pump stops up to the outlet"), "{text}");
}

#[test]
fn identity_a_site_file_with_the_same_numbers_says_the_same() {
    // a riser of nothing is not written into a file; with one of an inch the end moves by less than a foot
    let file = r#"
format = 1
[goal]
flow = "30 gpm"
[basin]
inside_diameter = "24 in"
rim = "4 ft"
floor = "-1 ft"
inlet_invert = "3 ft"
off = "12 in"
on = "30 in"
[discharge]
riser = { material = "PVC schedule 40", size = "2 in", length = "1 in" }
outlet = { kind = "open end", level = "12 ft" }
[[discharge.run]]
material = "PVC schedule 40"
size = "2 in"
length = "180 ft"
[[pump]]
name = "p"
curve = [["0 gpm", "31 ft"], ["20 gpm", "27 ft"], ["40 gpm", "20.5 ft"]]
"#;
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("reach-same");
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    let path = folder.join("yard.toml");
    fs::write(&path, file).unwrap();
    let longest = |output: &Output| -> f64 {
        let json: serde_json::Value = serde_json::from_str(&out(output)).unwrap();
        let cases = json["cases"].as_array().unwrap();
        let drawn = cases.iter().find(|case| case["pipe_as_drawn"] == true).unwrap();
        drawn["new"]["longest"]["value"].as_f64().unwrap()
    };
    let by_file = longest(&run(&["reach", path.to_str().unwrap(), "--format", "json"]));
    let by_numbers = longest(&quick(&["--flow", "30 gpm", "--pipe", "2 in", "--run", "180 ft", "--format", "json"]));
    assert!((by_file - by_numbers).abs() <= 1.0, "{by_file} {by_numbers}");
}

#[test]
fn identity_a_file_is_written_whole_and_never_over_another_unasked() {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("reach-output");
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    let path = folder.join("reach.csv");
    let file = path.to_str().unwrap();
    let output = reach("long-run", &["--format", "csv", "--output", file]);
    assert_eq!(output.status.code(), Some(1));
    assert!(output.stdout.is_empty() && err(&output).contains("written: "));
    assert_eq!(fs::read_to_string(&path).unwrap(), out(&reach("long-run", &["--format", "csv"])));
    assert_eq!(reach("long-run", &["--output", file]).status.code(), Some(3));
    assert_eq!(reach("long-run", &["--output", file, "--force"]).status.code(), Some(1));
    assert_eq!(fs::read_to_string(&path).unwrap(), out(&reach("long-run", &[])));
}

/// A goal that no pump keeps: that a trial run of a foot is too short for the height is not the reason.
#[test]
fn regress_the_trial_length_is_no_reason() {
    let example = fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/examples/cut-bank.toml")).unwrap();
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("reach-no-pump-keeps-it.toml");
    fs::write(&path, example.replace("standing_water = \"3.5 in\"", "standing_water = \"0.6 in\"")).unwrap();
    let said = flat(&out(&run(&["reach", path.to_str().unwrap(), "--for", "everything"])));
    assert!(said.contains("even with next to no run") && said.contains("0.6 in allowed"), "{said}");
    assert!(!said.contains("a length or a level is wrong"), "{said}");
}

#[test]
fn identity_what_is_wrong_is_said_with_what_to_write() {
    let file = |more: &[&str]| reach("long-run", more);
    for (output, wanted) in [
        (run(&["reach"]), "give a site file: `sumpwright reach yard.toml`; or a handful of numbers"),
        (run(&["reach", "--flow", "30 gpm"]), "these are still needed: --lift \"12 ft\", --curve"),
        (run(&["reach", "--lift", "12 ft", "--curve", CURVE]), "this is still needed: --flow \"30 gpm\""),
        (run(&["reach", "--lift", "12", "--flow", "30 gpm"]), "has no unit"),
        (run(&["reach", "--lift", "0 ft", "--flow", "30 gpm", "--curve", CURVE]), "is no lift for a pump"),
        (quick(&["--flow", "30 gpm", "--run", "0 ft"]), "is no run that a yard has"),
        (run(&["reach", "--lift", "9 ft", "--flow", "30 gpm", "--curve", "0 gpm 31"]), "is no point of a pump curve"),
        (run(&["reach", "--lift", "9 ft", "--flow", "30 gpm", "--curve", "0 gpm 31 ft"]), "point"),
        (quick(&["--flow", "30 gpm", "--fittings", "elbow 9 = 2"]), "did you mean `elbow 90`"),
        (quick(&["--flow", "30 gpm", "--fittings", "elbow"]), "does not say how many"),
        (quick(&["--flow", "30 gpm", "--pipe", "2.2 in"]), "is not made in 2.2 in"),
        (quick(&["--flow", "30 gpm", "--material", "copper tube"]), "copper tube"),
        (quick(&["--for", "goal"]), "needs a site file"),
        (quick(&["--flow", "30 gpm", "--by-lift"]), "for which pipe?"),
        (quick(&["--flow", "30 gpm", "--pump", "x"]), "there is none"),
        (quick(&["--flow", "0 gpm"]), "must be more than zero"),
        (file(&["--run", "100 ft", "--pipe", "2 in"]), "`--run` and `--pipe` say nothing beside a site file"),
        (file(&["--lift", "9 ft"]), "`--lift` says nothing beside a site file"),
        (file(&["--for", "goal"]), "no goal for standing water"),
        (file(&["--for", "scour", "--flow", "9 gpm"]), "`--flow` says nothing with `--for scour`"),
        (file(&["--pump", "other"]), "there is no pump `other`; the pumps are already bought"),
        (reach("two-pumps", &[]), "--for flow --flow"),
        (file(&["--force"]), "--output"),
    ] {
        let said = err(&output);
        assert_eq!(output.status.code(), Some(2), "{wanted}: {said}");
        assert!(output.stdout.is_empty());
        assert!(flat(&said).contains(wanted), "{wanted}: {said}");
    }
}

#[test]
fn identity_a_bid_is_asked_about_and_a_design_of_ones_own_is_not() {
    let text = out(&run(&["size", "examples/bid-orchard-wall.toml"]));
    assert!(text.contains("\nTo ask\n------\n"), "{text}");
    let asked = flat(&text);
    for wanted in ["May the water be let out there", "union above the pump", "holds the empty basin down", "811"] {
        assert!(asked.contains(wanted), "{wanted}: {text}");
    }
    // the file says so
    for answered in ["Is there a check valve", "for which storm was it sized", "How deep may water still stand"] {
        assert!(!asked.contains(answered), "{answered}: {text}");
    }
    let json: serde_json::Value =
        serde_json::from_str(&out(&run(&["size", "examples/bid-orchard-wall.toml", "--format", "json"]))).unwrap();
    let questions = json["to_ask"].as_array().unwrap();
    for question in questions {
        assert!(question["ask"].as_str().unwrap().ends_with('?'));
        assert!(question["why"].as_str().unwrap().ends_with('.'));
        assert!(asked.contains(question["ask"].as_str().unwrap()));
    }
    assert!(questions.len() > 10);
    assert!(!out(&run(&["size", "examples/cut-bank.toml"])).contains("\nTo ask\n"));
    // what the file answers is asked no more, and of a system that is there other things
    let bid = fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/examples/bid-orchard-wall.toml")).unwrap();
    let there = bid
        .replace("describes = \"bid\"", "describes = \"existing system\"")
        .replace("on = \"28 in\"", "on = \"28 in\"\nalarm = \"30 in\"");
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("reach-bid");
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    let path = folder.join("yard.toml");
    fs::write(&path, there).unwrap();
    let asked = flat(&out(&run(&["size", path.to_str().unwrap()])));
    assert!(asked.contains("How old is the pump") && !asked.contains("Is there an alarm") && !asked.contains("811 in"));
}

#[test]
fn identity_a_handful_of_numbers_is_answered_in_its_own_units_and_words() {
    let curve = "0 L/s 9 m, 1 L/s 8 m, 2 L/s 6 m, 3 L/s 2 m";
    let metric = run(&["reach", "--lift", "3 m", "--flow", "1.5 L/s", "--curve", curve, "--run", "60 m"]);
    let said = out(&metric);
    assert!(said.contains("The job: 1.5 L/s") && said.contains("the run is 60.0 m"), "{said}");
    let us = ["reach", "--lift", "12 ft", "--flow", "30 gpm", "--curve", "0 gpm 31 ft, 20 gpm 27 ft, 40 gpm 20.5 ft"];
    let said = out(&run(&us));
    assert!(said.contains("The job: 30 gpm"), "{said}");
    // a mistake is named once, by the option that it stands in
    let refused = run(&[&us[..], &["--pipe", "2"]].concat());
    assert_eq!(refused.status.code(), Some(2));
    let said = err(&refused);
    assert!(said.matches("`2` has no unit").count() == 1 && !said.contains("discharge."), "{said}");
    let refused = run(&["reach", "--lift", "-3 ft", "--flow", "30 gpm", "--curve", us[6]]);
    let said = err(&refused);
    assert!(refused.status.code() == Some(2) && said.contains("a lift of -3 ft is no lift"), "{said}");
}
