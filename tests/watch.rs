//! `size --watch` of the built program. The sites are invented examples.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use std::fs;
use std::io::{BufRead as _, BufReader, Read};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::thread;
use std::time::Duration;

/// Long beyond what a busy machine needs.
const PATIENCE: Duration = Duration::from_secs(60);
const TITLE: &str = "Lower lawn, house on the cut bank";

fn folder(name: &str) -> PathBuf {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("watch-{name}"));
    let _ = fs::remove_dir_all(&path);
    fs::create_dir_all(&path).unwrap();
    path
}

fn project(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

fn example() -> String {
    fs::read_to_string(project("examples/cut-bank.toml")).unwrap()
}

/// The program at its watch, ended with the test.
struct Watching {
    child: Child,
    out: Receiver<String>,
    err: Receiver<String>,
}

fn lines(stream: impl Read + Send + 'static) -> Receiver<String> {
    let (teller, told) = channel();
    thread::spawn(move || BufReader::new(stream).lines().map_while(Result::ok).all(|line| teller.send(line).is_ok()));
    told
}

impl Watching {
    fn new(folder: &Path, more: &[&str]) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_sumpwright"))
            .args(["size", "yard.toml", "--watch"])
            .args(more)
            .current_dir(folder)
            .env("NO_COLOR", "1")
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let (out, err) = (lines(child.stdout.take().unwrap()), lines(child.stderr.take().unwrap()));
        Self { child, out, err }
    }
    /// Waits for a line that has some words in it.
    fn wait(stream: &Receiver<String>, words: &str) {
        loop {
            let line = stream.recv_timeout(PATIENCE).unwrap_or_else(|_| panic!("no `{words}`"));
            if line.contains(words) {
                return;
            }
        }
    }
    fn out(&self, words: &str) {
        Self::wait(&self.out, words);
    }
    fn err(&self, words: &str) {
        Self::wait(&self.err, words);
    }
}

impl Drop for Watching {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[test]
fn identity_a_saved_file_is_sized_again() {
    let folder = folder("again");
    let yard = folder.join("yard.toml");
    fs::write(&yard, example()).unwrap();
    let watching = Watching::new(&folder, &[]);
    watching.out(TITLE);
    watching.err("watching yard.toml");
    // written in place
    fs::write(&yard, example().replace(TITLE, "Upper lawn")).unwrap();
    watching.out("==== yard.toml was saved ====");
    watching.out("Upper lawn");
    watching.err("watching yard.toml");
    // a slip on the way ends nothing
    fs::write(&yard, example().replace("\nrim = ", "\nrimm = ")).unwrap();
    watching.err("did you mean `rim`");
    watching.err("watching yard.toml");
    // by a new file that takes the name, as many editors do
    let new = folder.join("yard.toml~new");
    fs::write(&new, example().replace(TITLE, "Third lawn")).unwrap();
    fs::rename(&new, &yard).unwrap();
    watching.out("Third lawn");
}

#[test]
fn identity_the_report_is_replaced_and_other_files_are_let_be() {
    let folder = folder("output");
    let yard = folder.join("yard.toml");
    fs::write(&yard, example()).unwrap();
    let watching = Watching::new(&folder, &["--format", "html", "--output", "report.html"]);
    watching.err("written: report.html");
    watching.err("watching yard.toml");
    fs::write(folder.join("other.txt"), "nothing to do with it").unwrap();
    fs::write(&yard, example().replace(TITLE, "Upper lawn")).unwrap();
    watching.err("written: report.html");
    watching.err("watching yard.toml");
    assert!(fs::read_to_string(folder.join("report.html")).unwrap().contains("Upper lawn"));
    drop(watching);
    // a file that was there before is not written over
    let watching = Watching::new(&folder, &["--format", "html", "--output", "report.html"]);
    watching.err("--force");
}

/// The example with its rain from a file beside it.
fn with_table() -> String {
    let text = example();
    let (before, rain) = text.split_once("[rain]\n").unwrap();
    let after = rain.split("\n[").find(|part| !part.starts_with("rain.") && !part.starts_with("origin")).unwrap();
    let after = &rain[rain.find(after).unwrap() - 1..];
    format!("{before}[rain]\nfile = \"table.csv\"\n\n{after}")
}

#[test]
fn identity_a_named_file_is_watched_too() {
    let folder = folder("named");
    let table = fs::read_to_string(project("tests/data/atlas14-champaign-il.csv")).unwrap();
    fs::write(folder.join("table.csv"), &table).unwrap();
    fs::write(folder.join("yard.toml"), with_table()).unwrap();
    let watching = Watching::new(&folder, &[]);
    watching.out("Rain figures:");
    watching.err("watching yard.toml");
    fs::remove_file(folder.join("table.csv")).unwrap();
    watching.err("there is no such file");
    watching.err("watching yard.toml");
    fs::write(folder.join("table.csv"), &table).unwrap();
    watching.out("Rain figures:");
}

#[test]
fn what_cannot_be_watched_is_said() {
    let run = |file: &str| {
        let output = Command::new(env!("CARGO_BIN_EXE_sumpwright"))
            .args(["size", file, "--watch"])
            .stdin(Stdio::null())
            .env("NO_COLOR", "1")
            .output()
            .unwrap();
        (output.status.code(), String::from_utf8(output.stderr).unwrap())
    };
    let (code, said) = run("-");
    assert_eq!(code, Some(2));
    assert!(said.contains("standard input cannot be watched"), "{said}");
    let (code, said) = run("no-such-folder/yard.toml");
    assert_eq!(code, Some(3));
    assert!(said.contains("there is no such file"), "{said}");
}
