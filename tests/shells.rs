//! Completions and manual pages against the help of the built program.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use std::collections::BTreeSet;
use std::fs;
use std::path::PathBuf;
use std::process::{Command, Output};

const SHELLS: [&str; 5] = ["bash", "elvish", "fish", "powershell", "zsh"];

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_sumpwright")).args(arguments).env("NO_COLOR", "1").output().unwrap()
}

fn out(arguments: &[&str]) -> String {
    let output = run(arguments);
    assert!(output.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

fn folder(name: &str) -> PathBuf {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("shells-{name}"));
    let _ = fs::remove_dir_all(&path);
    fs::create_dir_all(&path).unwrap();
    path
}

/// The commands that the help lists.
fn commands() -> Vec<String> {
    let help = out(&["help"]);
    let list = help.split("Commands:\n").nth(1).unwrap().split("\n\n").next().unwrap().to_owned();
    let name = |line: &str| line.strip_prefix("  ").filter(|rest| !rest.starts_with(' ')).map(str::to_owned);
    let names: Vec<String> = list
        .lines()
        .filter_map(name)
        .filter_map(|line| line.split_whitespace().next().map(str::to_owned))
        .filter(|name| name != "help")
        .collect();
    assert!(names.len() >= 12, "{names:?}");
    names
}

/// The long options that a command's help lists: those at the beginning of a line.
fn options(command: &str) -> BTreeSet<String> {
    let help = out(&[command, "--help"]);
    let options: BTreeSet<String> = help
        .lines()
        .filter_map(|line| line.trim_start().strip_prefix("-h, ").or_else(|| line.strip_prefix("      ")))
        .filter_map(|line| line.strip_prefix("--"))
        .filter_map(|rest| rest.split(|letter: char| !letter.is_ascii_lowercase() && letter != '-').next())
        .map(str::to_owned)
        .collect();
    assert!(options.contains("help"), "{help}");
    options
}

#[test]
fn identity_every_command_and_option_is_completed() {
    let scripts: Vec<(&str, String)> = SHELLS.iter().map(|shell| (*shell, out(&["completions", shell]))).collect();
    for command in commands() {
        for (shell, script) in &scripts {
            assert!(script.contains(&command), "{shell}: {command}");
            for option in options(&command) {
                // fish writes the name behind -l
                let known = script.contains(&format!("--{option}")) || script.contains(&format!("-l {option}"));
                assert!(known, "{shell}: {command} --{option}");
            }
        }
    }
}

/// What bash offers behind a line.
fn offered(line: &[&str]) -> Vec<String> {
    let script = folder(&format!("bash-{}", line.concat())).join("sumpwright");
    fs::write(&script, out(&["completions", "bash"])).unwrap();
    let words = line.iter().map(|word| format!("'{word}'")).collect::<Vec<_>>().join(" ");
    let last = line.last().unwrap();
    let before = line[line.len() - 2];
    let ask = format!(
        "source '{}'; COMP_WORDS=({words}); COMP_CWORD={}; _sumpwright sumpwright '{last}' '{before}'; printf '%s\\n' \"${{COMPREPLY[@]}}\"",
        script.display(),
        line.len() - 1
    );
    let output = Command::new("bash").args(["--norc", "-c", &ask]).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap().lines().map(str::to_owned).collect()
}

#[test]
fn identity_bash_completes() {
    assert_eq!(offered(&["sumpwright", "si"]), ["size"]);
    assert_eq!(offered(&["sumpwright", "size", "--form"]), ["--format"]);
    assert_eq!(offered(&["sumpwright", "size", "--format", "ht"]), ["html"]);
    assert_eq!(offered(&["sumpwright", "completions", "zs"]), ["zsh"]);
}

#[test]
fn identity_every_command_and_option_has_its_place_in_the_manual() {
    let whole = out(&["manual"]);
    for command in commands() {
        assert!(whole.contains(&format!("sumpwright\\-{command}(1)")), "{command}");
        let page = out(&["manual", &command]);
        assert!(page.contains(&format!(".TH sumpwright-{command} 1")), "{page}");
        for option in options(&command) {
            let option = option.replace('-', "\\-");
            assert!(page.contains(&format!("\\-\\-{option}")), "{command}: {option}");
        }
    }
    assert!(!whole.contains("sumpwright\\-help(1)"), "a page that is not there");
}

#[test]
fn identity_the_manual_is_written_whole_and_never_over_another() {
    let folder = folder("manual");
    let at = folder.to_str().unwrap();
    assert!(run(&["manual", "--all", at]).status.success());
    let mut names: Vec<String> =
        fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    let mut wanted: Vec<String> = commands().iter().map(|command| format!("sumpwright-{command}.1")).collect();
    wanted.push("sumpwright.1".to_owned());
    wanted.sort();
    assert_eq!(names, wanted);
    assert_eq!(fs::read_to_string(folder.join("sumpwright-size.1")).unwrap(), out(&["manual", "size"]));
    assert_eq!(run(&["manual", "--all", at]).status.code(), Some(3));
    assert!(run(&["manual", "--all", at, "--force"]).status.success());
}

#[test]
fn what_is_not_there_is_said() {
    let page = run(&["manual", "sise"]);
    assert_eq!(page.status.code(), Some(2));
    assert!(String::from_utf8(page.stderr).unwrap().contains("there is no command `sise`"));
    assert_eq!(run(&["completions", "fsh"]).status.code(), Some(2));
}
