//! The same input gives the same bytes: twice, on one processor or several, in any folder, with whatever the surroundings
//! say of language, time and width that has nothing to do with a design.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

const HOME: &str = env!("CARGO_MANIFEST_DIR");
const PROGRAM: &str = env!("CARGO_BIN_EXE_sumpwright");

/// The site files of the examples, by their whole path.
fn examples() -> Vec<String> {
    let mut found: Vec<String> = fs::read_dir(Path::new(HOME).join("examples"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "toml"))
        .map(|path| path.to_str().unwrap().to_owned())
        .collect();
    found.sort();
    assert!(found.len() >= 8);
    found
}

/// Every command in every form for a site file; of those that work long, what they work on is kept small.
fn commands(site: &str) -> Vec<Vec<String>> {
    let rain = format!("{HOME}/examples/rain-2-months.csv");
    let mut all: Vec<Vec<String>> = Vec::new();
    let mut add = |words: &str| {
        all.push(words.split(' ').map(|word| word.replace("SITE", site).replace("RAIN", &rain)).collect());
    };
    for words in [
        "check SITE",
        "size SITE",
        "size SITE --chart --working",
        "size SITE --format json --working",
        "size SITE --format html --units metric",
        "storm SITE",
        "storm SITE --format json",
        "storm SITE --format csv --without-power",
        "reach SITE",
        "reach SITE --format json",
        "reach SITE --format csv",
        "margins SITE --no-sampling --format json",
        "takeoff SITE",
        "takeoff SITE --format csv",
        "takeoff SITE --proposal --format html",
        "record SITE RAIN --format json",
    ] {
        add(words);
    }
    // the other forms of what takes long are of the same work: one site will do
    if site.ends_with("cut-bank.toml") {
        for words in [
            "size SITE --format html --margins --working",
            "margins SITE --runs 100",
            "margins SITE --runs 100 --format json",
            "margins SITE --format csv",
            "record SITE RAIN",
            "record SITE RAIN --format csv",
        ] {
            add(words);
        }
    }
    for paper in ["visit", "crew", "start-up", "town", "owner", "electrical", "estimate", "proposal"] {
        add(&format!("papers SITE {paper}"));
        add(&format!("papers SITE {paper} --format html"));
    }
    all
}

/// All that a command says, and how it ended.
type Said = (Vec<u8>, Vec<u8>, Option<i32>);

/// Says it under some surroundings.
fn said(before: &[&str], folder: &Path, variables: &[(&str, &str)], arguments: &[String]) -> Said {
    let (first, rest) = before.split_first().map_or((PROGRAM, &[][..]), |(first, rest)| (*first, rest));
    let mut command = Command::new(first);
    command.args(rest);
    if !before.is_empty() {
        command.arg(PROGRAM);
    }
    let output = command.args(arguments).current_dir(folder).envs(variables.iter().copied()).output().unwrap();
    (output.stdout, output.stderr, output.status.code())
}

/// Fails with the first line that differs.
fn same(one: &Said, other: &Said, what: &str) {
    if one == other {
        return;
    }
    let text =
        |said: &Said| format!("{:?}\n{}{}", said.2, String::from_utf8_lossy(&said.1), String::from_utf8_lossy(&said.0));
    let (one, other) = (text(one), text(other));
    let line = one.lines().zip(other.lines()).find(|(one, other)| one != other);
    panic!("{what}: {line:?}");
}

/// Every command for some of the examples, as it is and under other surroundings.
fn elsewhere_the_same(sites: &[String], folder: &str) {
    let elsewhere = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(folder);
    fs::create_dir_all(&elsewhere).unwrap();
    // util-linux has it; a machine without goes without
    let pinned = Command::new("taskset").args(["-c", "0", "true"]).status().is_ok_and(|status| status.success());
    let before: &[&str] = if pinned { &["taskset", "-c", "0"] } else { &[] };
    let surroundings = [
        ("LC_ALL", "tr_TR.UTF-8"),
        ("LANG", "de_DE.UTF-8"),
        ("LC_NUMERIC", "de_DE.UTF-8"),
        ("TZ", "Asia/Kathmandu"),
        ("COLUMNS", "43"),
        ("NO_COLOR", "1"),
        ("TERM", "dumb"),
        ("RUST_BACKTRACE", "full"),
    ];
    for site in sites {
        let mut refused = 0;
        for arguments in commands(site) {
            let first = said(&[], Path::new(HOME), &[], &arguments);
            same(&first, &said(before, &elsewhere, &surroundings, &arguments), &arguments.join(" "));
            refused += usize::from(!matches!(first.2, Some(0 | 1)) || first.0.is_empty());
        }
        // without rain there are no storms to follow and no record to run; without a goal no run is too long
        let expected = match site.rsplit('/').next().unwrap() {
            "long-run.toml" => 4,
            "over-the-bank.toml" | "two-pumps.toml" => 3,
            _ => 0,
        };
        assert_eq!(refused, expected, "{site}");
    }
}

#[test]
fn identity_every_command_says_the_same_again_elsewhere_and_on_one_processor() {
    let sites = examples();
    elsewhere_the_same(&sites[..sites.len() / 2], "determinism-first");
}

#[test]
fn identity_every_command_for_the_other_examples_too() {
    let sites = examples();
    elsewhere_the_same(&sites[sites.len() / 2..], "determinism-second");
}

#[test]
fn identity_the_choice_among_sets_is_the_same_again_elsewhere_and_on_one_processor() {
    let site = format!("{HOME}/examples/cut-bank.toml");
    for form in ["text", "json", "csv"] {
        let arguments: Vec<String> = ["options", &site, "--format", form].map(str::to_owned).to_vec();
        let first = said(&[], Path::new(HOME), &[], &arguments);
        assert!(first.0.len() > 500);
        let pinned = Command::new("taskset").args(["-c", "0", "true"]).status().is_ok_and(|status| status.success());
        let before: &[&str] = if pinned { &["taskset", "-c", "0"] } else { &[] };
        same(&first, &said(before, Path::new("/"), &[("COLUMNS", "43"), ("TZ", "Asia/Kathmandu")], &arguments), form);
    }
}

#[test]
fn identity_a_name_by_another_way_changes_only_the_name() {
    // by the folder's own name, from inside it, and through a pipe
    let (whole, short) = (format!("{HOME}/examples/cut-bank.toml"), "cut-bank.toml");
    for words in ["size", "storm", "reach", "takeoff", "margins --no-sampling"] {
        let with = |site: &str| -> Vec<String> { format!("{words} {site}").split(' ').map(str::to_owned).collect() };
        let first = said(&[], Path::new("/"), &[], &with(&whole));
        same(&first, &said(&[], &Path::new(HOME).join("examples"), &[], &with(short)), words);
        same(&first, &said(&[], Path::new(HOME), &[], &with("./tests/../examples//cut-bank.toml")), words);
    }
    let all = |site: &str, folder: &Path, into: &Path| {
        let _ = fs::remove_dir_all(into);
        let arguments = ["papers", site, "--all", into.to_str().unwrap()].map(str::to_owned);
        assert_eq!(said(&[], folder, &[("COLUMNS", "20")], &arguments).2, Some(0));
        let mut files: Vec<(String, Vec<u8>)> = fs::read_dir(into)
            .unwrap()
            .map(|entry| entry.unwrap())
            .map(|entry| (entry.file_name().into_string().unwrap(), fs::read(entry.path()).unwrap()))
            .collect();
        files.sort();
        files
    };
    let into = |name: &str| PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    let one = all(&whole, Path::new("/"), &into("determinism-one"));
    let two = all(short, &Path::new(HOME).join("examples"), &into("determinism-two"));
    assert!(one.len() >= 9);
    for ((name, one), (other, two)) in one.iter().zip(&two) {
        assert_eq!(name, other);
        assert!(one == two, "{name} differs");
    }
}

#[test]
fn identity_sets_saved_twice_are_one_file() {
    let site = format!("{HOME}/examples/cut-bank.toml");
    let saved = |name: &str| {
        let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
        let arguments = ["options", &site, "--save", path.to_str().unwrap(), "--force"].map(str::to_owned);
        assert_eq!(said(&[], Path::new("/"), &[], &arguments).2, Some(0));
        fs::read(&path).unwrap()
    };
    assert!(saved("determinism-a.toml") == saved("determinism-b.toml"));
}
