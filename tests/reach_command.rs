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
use sumpwright::quantity::{Amount, Length, UnitSystem};

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

/// The same at another lift.
fn quick_at(lift: &str, more: &[&str]) -> Output {
    let mut arguments = vec!["reach", "--lift", lift, "--curve", CURVE];
    arguments.extend(more);
    run(&arguments)
}

/// What is printed where the run as drawn is not within reach.
fn out_failing(output: &Output) -> String {
    assert_eq!(output.status.code(), Some(1), "{}", err(output));
    String::from_utf8(output.stdout.clone()).unwrap()
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
    assert!(text.contains("Lift is counted from the water at the off level, deep in the basin and not from the ground, to the highest point that the pipe must fill over: the outlet, or a hump on the way"), "{text}");
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

/// A pump past the end of its curve through next to no run is not what fails as drawn.
#[test]
fn regress_why_the_run_as_drawn_fails_is_told_too() {
    let example = fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/examples/cut-bank.toml")).unwrap();
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("reach-short-curve.toml");
    let short = example.replace("[\"60 gpm\", \"10 ft\"]]", "[\"54 gpm\", \"13.6 ft\"]]");
    assert_ne!(short, example);
    fs::write(&path, short.replace("standing_water = \"3.5 in\"", "standing_water = \"0.6 in\"")).unwrap();
    let said = flat(&out_failing(&run(&["reach", path.to_str().unwrap(), "--pump", "medium"])));
    assert!(said.contains("even with next to no run") && said.contains("past the last point"), "{said}");
    assert!(said.contains("As drawn, through 135 ft: "), "{said}");
    assert!(said.contains("at the off level, and the goal is missed; `sumpwright size` says by how much."), "{said}");
    // of a flow by how much it is too little: at 30 gpm the curve has some 24 ft, all of it lift here
    let high = quick_at("24 ft", &["--flow", "30 gpm", "--pipe", "2 in", "--run", "180 ft"]);
    let said = flat(&out_failing(&high));
    assert!(said.contains("does not do it") && said.contains("As drawn, through 180 ft: "), "{said}");
    assert!(said.contains("less than asked."), "{said}");
    // where it does, or only the run is too long, there is nothing to tell
    assert!(!flat(&out(&reach("cut-bank", &[]))).contains("As drawn, through"));
    assert!(!flat(&out(&reach("long-run", &[]))).contains("As drawn, through"));
}

/// The lift goes to the high point, whose height moves by less than the outlet's: the outlet's stands beside it.
#[test]
fn identity_lifts_to_a_high_point_have_the_outlet_beside_them() {
    let over = |format: &str| {
        out(&reach("over-the-bank", &["--by-lift", "--for", "flow", "--flow", "20 gpm", "--format", format]))
    };
    let json: serde_json::Value = serde_json::from_str(&over("json")).unwrap();
    let cases = json["cases"].as_array().unwrap();
    let csv = over("csv");
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let column = reader.headers().unwrap().iter().position(|head| head == "outlet over the off level (ft)").unwrap();
    let lines: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let text = over("text");
    let outlets: Vec<f64> = cases.iter().map(|case| case["outlet_over_off_level"]["value"].as_f64().unwrap()).collect();
    for ((outlet, line), case) in outlets.iter().zip(&lines).zip(cases) {
        assert!((line[column].parse::<f64>().unwrap() - outlet).abs() <= 0.001);
        let lift = case["lift"]["value"].as_f64().unwrap();
        let shown = |feet: f64| Amount::of(Length::from_ft(feet)).show(UnitSystem::Us);
        let row = format!("{} {} ", shown(lift), shown(*outlet));
        assert!(flat(&text).contains(&row), "{row}: {text}");
        // as drawn 71.00 ft less the off level, 65.20 ft and 9 in: 71.00 - 65.95 = 5.05 ft
        if case["lift_as_drawn"] == true {
            assert!((outlet - 5.05).abs() < 1e-6, "{outlet}");
        }
    }
    // it moves by even steps of 2 ft
    assert!(outlets.len() > 3 && outlets.windows(2).all(|two| (two[1] - two[0] - 2.0).abs() < 1e-6), "{outlets:?}");
    // where the lift goes to the outlet there is nothing to add
    let plain = out(&quick(&["--flow", "30 gpm", "--pipe", "2 in", "--run", "180 ft", "--by-lift"]));
    assert!(!plain.contains("outlet: its height"), "{plain}");
    assert!(text.contains("outlet: its height over the off level"), "{text}");
}

/// `PE 50` is what the trade says and paints on a coil.
#[test]
fn identity_a_kind_of_pipe_may_stand_before_its_size() {
    let by = |pipe: &str, more: &[&str]| {
        let mut arguments = vec!["reach", "--lift", "3.9 m", "--flow", "1.6 l/s", "--run", "88 m", "--pipe", pipe];
        arguments.extend(["--curve", "0 l/s 9.5 m, 1 l/s 8.6 m, 2 l/s 6.9 m, 3 l/s 4.2 m"]);
        arguments.extend(more);
        run(&arguments)
    };
    let apart = |size: &str, kind: &str| by(size, &["--material", kind]);
    for (together, size, kind) in [
        ("PE 50", "50 mm", "PE100 SDR 11"),
        ("PE 50 mm", "50 mm", "PE100 SDR 11"),
        ("HDPE 63", "63 mm", "PE100 SDR 11"),
        ("PE100 SDR 17 50", "50 mm", "PE100 SDR 17"),
        ("PVC 2 in", "2 in", "PVC schedule 40"),
        ("sch. 40 2", "2 in", "PVC schedule 40"),
        ("PE 1-1/2 in", "1-1/2 in", "polyethylene"),
    ] {
        let (one, other) = (by(together, &[]), apart(size, kind));
        assert!(matches!(one.status.code(), Some(0 | 1)), "{together}: {}", err(&one));
        assert_eq!(one.stdout, other.stdout, "{together}");
    }
    assert_eq!(by("PE 50", &["--material", "PE SDR 11"]).stdout, by("PE 50", &[]).stdout);
    // what cannot be told says in one message what to type, and that is taken
    for (pipe, more) in
        [("PVC-U 50", &[][..]), ("PE 51", &[]), ("xyzzy 50", &[]), ("PE 50", &["--material", "PVC-U PN 10"])]
    {
        let refused = by(pipe, more);
        let said = flat(&err(&refused));
        assert_eq!(refused.status.code(), Some(2), "{pipe}");
        assert!(said.contains("--pipe \"50 mm\" --material \"PE100 SDR 11\""), "{pipe}: {said}");
    }
    assert!(matches!(apart("50 mm", "PE100 SDR 11").status.code(), Some(0 | 1)));
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
