//! Without a terminal.

use super::{err, folder, out, run};
use std::fmt::Write as _;
use std::fs;
use sumpwright::interview::EXAMPLES;

/// A paper sketch of an invented yard: all that has no usual answer.
const SKETCH: &[&str] = &[
    "low-level=8.4 in below",
    "spill-level=3 in below",
    "spill-building=no",
    "dry-level=0",
    "pond=4 in, 10 ft x 15 ft; 5.4 in, 420 ft2",
    "areas=480 ft2, roof, half of the roof; 20 ft x 30 ft, concrete; 350 ft2, lawn",
    "rain=5 min 0.50 in; 15 min 0.97 in; 60 min 1.75 in; 24 h 4.1 in",
    "soil=silt loam",
    "drain-length=10 ft",
    "basin-rim=3 in below",
    "outlet-level=2 ft 6 in above",
    "outlet-full=2 ft above",
    "run=85 ft",
    "curve=0 gpm 23 ft; 15 gpm 20 ft; 30 gpm 14.5 ft; 40 gpm 8.5 ft",
    "pump-outlet=1-1/2 in",
];

fn with_answers<'a>(answers: &[&'a str]) -> Vec<&'a str> {
    let mut arguments = vec!["new", "yard.toml"];
    for answer in answers {
        arguments.extend(["--answer", answer]);
    }
    arguments
}

#[test]
fn identity_a_sketch_by_flags_alone_is_sized_without_a_word() {
    let folder = folder("flags");
    let output = run(&folder, &with_answers(SKETCH));
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    assert_eq!(err(&output), "written: yard.toml\n");
    assert!(out(&output).is_empty());
    let checked = run(&folder, &["check", "yard.toml"]);
    assert_eq!(checked.status.code(), Some(0));
    assert!(out(&checked).starts_with("yard.toml: no mistakes found in the file.\n"), "{}", out(&checked));
    assert!(err(&checked).is_empty(), "{}", err(&checked));
    let sized = run(&folder, &["size", "yard.toml"]);
    // whether this yard holds is not for this test: it is sized, and nothing is said of the file
    assert!(matches!(sized.status.code(), Some(0 | 1)), "{}", err(&sized));
    assert!(err(&sized).is_empty(), "{}", err(&sized));
    assert!(out(&sized).contains("\nVerdict\n"));
    assert!(!folder.join("yard.toml.answers").exists());
    insta::assert_snapshot!("by_flags_alone", fs::read_to_string(folder.join("yard.toml")).unwrap());
}

#[test]
fn identity_a_metric_sketch_likewise() {
    let folder = folder("metric");
    let answers = [
        "units=metric",
        "zero=the kitchen step",
        "low-level=21 cm below",
        "spill-level=80 mm below",
        "spill-to=the cellar stair of the house behind",
        "spill-building=yes",
        "spill-opening=20 cm below",
        "dry-level=0",
        "pond=100 mm, 3 m x 5 m; 130 mm, 40 m2",
        "areas=45 m2, roof; 6 m x 9 m, walk; 32 m2, lawn",
        "rain=5 min 12 mm; 15 min 24 mm; 60 min 44 mm; 24 h 100 mm",
        "soil=loam",
        "drain-length=3 m",
        "basin-rim=8 cm below",
        "basin-weight=28 kg",
        "outlet-level=0.75 m above",
        "outlet-full=0.6 m above",
        "run=26 m",
        "curve=0 L/min 7 m; 60 L/min 6 m; 120 L/min 4.2 m; 160 L/min 2.5 m",
        "pump-outlet=unknown",
        "freezing=yes",
        "frost-depth=0.8 m",
        "hill=yes",
        "hill-level=1.4 m above",
        "hill-at=12 m",
        "way-in=both",
        "french-length=8 m",
        "groundwater=yes",
        "groundwater-level=0.8 m below",
    ];
    let output = run(&folder, &with_answers(&answers));
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    // nobody was asked, so that what is odd and what can hurt is said at the end
    insta::assert_snapshot!("metric_says", err(&output));
    let sized = run(&folder, &["size", "yard.toml"]);
    assert!(matches!(sized.status.code(), Some(0 | 1)), "{}", err(&sized));
    assert!(err(&sized).ends_with("yard.toml: 1 to be measured\n"), "{}", err(&sized));
    insta::assert_snapshot!("metric", fs::read_to_string(folder.join("yard.toml")).unwrap());
}

#[test]
fn identity_what_is_not_known_stands_as_a_gap_that_check_lists() {
    let folder = folder("gaps");
    let mut answers = SKETCH.to_vec();
    answers.extend(["run=unknown", "soil=?", "curve=don't know"]);
    let output = run(&folder, &with_answers(&answers));
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let text = fs::read_to_string(folder.join("yard.toml")).unwrap();
    for line in ["length = \"?\"", "texture = \"?\"", "curve = \"?\""] {
        assert!(text.contains(line), "{line}: {text}");
    }
    let checked = run(&folder, &["check", "yard.toml"]);
    assert_eq!(checked.status.code(), Some(2));
    insta::assert_snapshot!("gaps", err(&checked));
    // with the figures put in, nothing is left
    let whole = text
        .replace("length = \"?\"", "length = \"85 ft\"")
        .replace("texture = \"?\"", "texture = \"loam\"")
        .replace("curve = \"?\"", "curve = [[\"0 gpm\", \"23 ft\"], [\"40 gpm\", \"8.5 ft\"]]");
    fs::write(folder.join("yard.toml"), whole).unwrap();
    let checked = run(&folder, &["check", "yard.toml"]);
    assert!(out(&checked).starts_with("yard.toml: no mistakes found"), "{}", err(&checked));
}

#[test]
fn identity_without_any_answer_all_is_usual_or_a_gap() {
    let folder = folder("nothing");
    let output = run(&folder, &["new", "yard.toml", "--no-questions"]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let checked = run(&folder, &["check", "yard.toml"]);
    // gaps and nothing else
    assert!(!err(&checked).contains("error["), "{}", err(&checked));
    assert!(err(&checked).contains("still to be measured:"));
    assert!(err(&checked).lines().last().unwrap().ends_with("before it can be sized"), "{}", err(&checked));
}

#[test]
fn identity_each_example_is_begun_with_and_is_clean() {
    let folder = folder("examples");
    let mut shipped: Vec<String> = fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/examples"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .filter_map(|name| name.strip_suffix(".toml").map(str::to_owned))
        .collect();
    shipped.sort();
    let mut offered: Vec<String> = EXAMPLES.iter().map(|example| example.name.to_owned()).collect();
    offered.sort();
    assert_eq!(offered, shipped);
    for name in offered {
        let file = format!("{name}.toml");
        let output = run(&folder, &["new", &file, "--from", &name]);
        assert_eq!(output.status.code(), Some(0), "{}", err(&output));
        let text = fs::read_to_string(folder.join(&file)).unwrap();
        assert!(text.starts_with(&format!("# Begun by `sumpwright new --from {name}`")));
        let original = format!("{}/examples/{file}", env!("CARGO_MANIFEST_DIR"));
        assert!(text.ends_with(&fs::read_to_string(&original).unwrap()));
        // nothing more is said of it than of the example itself
        let (checked, of_example) = (run(&folder, &["check", &file]), run(&folder, &["check", &original]));
        assert_eq!(checked.status.code(), Some(0), "{}", err(&checked));
        assert_eq!(err(&checked).is_empty(), err(&of_example).is_empty(), "{name}");
    }
}

#[test]
fn regress_what_is_refused() {
    let folder = folder("refused");
    fs::write(folder.join("there.toml"), "mine").unwrap();
    let cases: [&[&str]; 10] = [
        &["new", "yard.toml", "--answer", "hill-level=4 ft above"],
        &["new", "yard.toml"],
        &["new", "there.toml", "--no-questions"],
        &["new", "yard.toml", "--from", "cutbank"],
        &["new", "yard.toml", "--from", "zzz"],
        &["new", "yard.toml", "--answer", "rum=85 ft"],
        &[
            "new",
            "yard.toml",
            "--answer",
            "run=85",
            "--answer",
            "pipe-size=48 ft",
            "--answer",
            "outlet=swail",
            "--answer",
            "low-level=1 ft below",
            "--answer",
            "spill-level=2 ft below",
            "--answer",
            "curve=0 gpm 20 ft; 10 gpm 25 ft",
            "--answer",
            "rain=15 min 1 in; 60 min 2 in",
            "--answer",
            "areas=500 ft2, rooof",
            "--answer",
            "return-period=unknown",
        ],
        &["new", "yard.toml", "--answer", "outlet=sanitary sewer"],
        &["new", "nowhere/yard.toml", "--no-questions"],
        &["new", "yard.toml", "--answer", "run"],
    ];
    let mut said = String::new();
    for arguments in cases {
        let output = run(&folder, arguments);
        assert!(out(&output).is_empty());
        let code = output.status.code().unwrap();
        writeln!(said, "$ {}\n{}({code})\n", arguments.join(" "), err(&output)).unwrap();
    }
    insta::assert_snapshot!("refused", said);
    assert!(!folder.join("yard.toml").exists());
    assert_eq!(fs::read_to_string(folder.join("there.toml")).unwrap(), "mine");
    let forced = run(&folder, &["new", "there.toml", "--no-questions", "--force"]);
    assert_eq!(forced.status.code(), Some(0));
    assert!(fs::read_to_string(folder.join("there.toml")).unwrap().contains("format = 1"));
}

#[test]
fn regress_the_list_of_questions() {
    let output = run(&folder("list"), &["new", "--questions"]);
    assert_eq!(output.status.code(), Some(0));
    assert!(out(&output).lines().all(|line| line.chars().count() <= 80));
    insta::assert_snapshot!("questions", out(&output));
}
