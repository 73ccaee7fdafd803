//! The help of every command: each of its examples is run as it stands.
#![cfg(unix)]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

const ROOT: &str = env!("CARGO_MANIFEST_DIR");

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_sumpwright")).args(arguments).env("NO_COLOR", "1").output().unwrap()
}

fn out(arguments: &[&str]) -> String {
    String::from_utf8(run(arguments).stdout).unwrap()
}

/// The commands that the help lists, with what it says of each.
fn commands() -> Vec<String> {
    let help = out(&["help"]);
    let list = help.split("Commands:\n").nth(1).unwrap().split("\n\n").next().unwrap();
    let names: Vec<String> = list
        .lines()
        .filter_map(|line| line.strip_prefix("  ").filter(|rest| !rest.starts_with(' ')))
        .filter_map(|line| line.split_whitespace().next().map(str::to_owned))
        .filter(|name| name != "help")
        .collect();
    assert!(names.len() >= 14, "{names:?}");
    names
}

/// The examples of a command's help, a line that goes on after a backslash as one.
fn examples(command: &str) -> Vec<String> {
    let help = out(&[command, "--help"]).replace("\\\n", " ");
    let begin = help.find("\nExample").unwrap_or_else(|| panic!("the help of {command} has no example"));
    help[begin..].lines().filter_map(|line| line.strip_prefix("  sumpwright ")).map(str::to_owned).collect()
}

/// A folder with what the examples name: the project's examples, a yard, prices, and nothing that they write.
fn folder(name: &str) -> PathBuf {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("help-{name}"));
    let _ = fs::remove_dir_all(&path);
    fs::create_dir_all(path.join("examples")).unwrap();
    for entry in fs::read_dir(Path::new(ROOT).join("examples")).unwrap() {
        let entry = entry.unwrap();
        fs::copy(entry.path(), path.join("examples").join(entry.file_name())).unwrap();
    }
    // where shells look, which the help of `completions` has one make
    for place in [".local/share/bash-completion/completions", ".zfunc", ".config/fish/completions"] {
        fs::create_dir_all(path.join(place)).unwrap();
    }
    fs::copy(path.join("examples/cut-bank.toml"), path.join("yard.toml")).unwrap();
    fs::write(path.join("prices.toml"), "[prices]\nalarm = 95\n").unwrap();
    path
}

#[test]
fn identity_every_example_of_every_help_works() {
    for command in commands() {
        let examples = examples(&command);
        assert!(!examples.is_empty(), "{command}");
        let folder = folder(&command);
        for example in examples {
            // tests/watch.rs watches, tests/new_command asks at a terminal
            if example.contains("--watch") || example == "new yard.toml" {
                continue;
            }
            if command == "new" {
                let _ = fs::remove_file(folder.join("yard.toml"));
            }
            // two different records go by one name; ten thousand samples take long without optimisation
            if example.contains("--rain precip") {
                fs::write(
                    folder.join("rain.csv"),
                    "time,precip,site\n2020-05-01 00:00,0.1,north\n2020-05-01 01:00,0.0,north\n",
                )
                .unwrap();
            } else {
                fs::copy(folder.join("examples/rain-2-months.csv"), folder.join("rain.csv")).unwrap();
            }
            let line = example.split(" | man").next().unwrap().replace("--runs 10000", "--runs 100");
            let output = Command::new("sh")
                .args(["-c", &format!("\"$SUMPWRIGHT\" {line}")])
                .env("SUMPWRIGHT", env!("CARGO_BIN_EXE_sumpwright"))
                .env("HOME", &folder)
                .env("NO_COLOR", "1")
                .current_dir(&folder)
                .output()
                .unwrap();
            let said = String::from_utf8_lossy(&output.stderr);
            assert!(matches!(output.status.code(), Some(0 | 1)), "sumpwright {line}\n{said}");
            assert!(!said.contains("error"), "sumpwright {line}\n{said}");
            assert!(
                !output.stdout.is_empty()
                    || folder.join("yard.toml").exists() && command == "new"
                    || line.contains("--output")
                    || line.contains("--all")
                    || line.contains("--save"),
                "{line}"
            );
            for option in ["--output", "--save", "--all"] {
                let Some(named) = line.split(&format!("{option} ")).nth(1) else { continue };
                let name = named.split_whitespace().next().unwrap().replace("~/", "");
                assert!(folder.join(&name).exists(), "sumpwright {line} did not write {name}");
            }
        }
    }
}
