//! In a terminal: what is typed goes through a pseudo-terminal, and what the program writes is shown as a screen would.

use super::{err, folder, out, run};
use rexpect::reader::Options;
use rexpect::session::{PtySession, spawn_with_options};
use std::fmt::Write as _;
use std::fs;
use std::path::PathBuf;
use std::process::Command;

/// A program with a keyboard and a roll of paper.
struct Typed {
    session: PtySession,
    roll: String,
}

/// What the line editor writes when it begins to wait: at the beginning of a line, the prompt with nothing behind it.
const PROMPT: &str = "\n\u{1b}[?2026h\r\u{1b}[K> \r\u{1b}[2C\u{1b}[?2026l";

impl Typed {
    fn start(folder: &PathBuf, arguments: &[&str]) -> Self {
        let mut command = Command::new(env!("CARGO_BIN_EXE_sumpwright"));
        command.args(arguments).current_dir(folder).env("NO_COLOR", "1").env("TERM", "xterm").env("COLUMNS", "80");
        let options = Options::new().timeout_ms(Some(60_000));
        Self { session: spawn_with_options(command, options).unwrap(), roll: String::new() }
    }
    /// Waits for the prompt.
    fn wait(&mut self) {
        let before = self.session.exp_string(PROMPT).unwrap();
        let _ = write!(self.roll, "{before}{PROMPT}");
    }
    /// Waits for the prompt and types a line.
    fn type_line(&mut self, line: &str) {
        self.wait();
        self.session.send_line(line).unwrap();
    }
    /// Waits for the end; the whole roll, and the exit code.
    fn end(mut self) -> (String, i32) {
        self.roll.push_str(&self.session.exp_eof().unwrap());
        let code = match self.session.process().wait().unwrap() {
            rexpect::process::WaitStatus::Exited(_, code) => code,
            other => panic!("{other:?}"),
        };
        (shown(&self.roll), code)
    }
}

/// What a terminal shows of what was written to it: lines only grow at their end here, but the line editor goes back to
/// the beginning of its line and writes it anew.
fn shown(written: &str) -> String {
    let mut lines = vec![Vec::<char>::new()];
    let mut column = 0_usize;
    let mut letters = written.chars().peekable();
    while let Some(letter) = letters.next() {
        let line = lines.last_mut().unwrap();
        match letter {
            '\n' => lines.push(Vec::new()),
            '\r' => column = 0,
            '\u{8}' => column = column.saturating_sub(1),
            '\u{7}' => {}
            '\u{1b}' => {
                assert_eq!(letters.next(), Some('['), "a sequence that is not known here");
                let mut digits = String::new();
                let end = loop {
                    match letters.next().unwrap() {
                        letter @ ('0'..='9' | ';' | '?') => digits.push(letter),
                        letter => break letter,
                    }
                };
                let count = digits.parse().unwrap_or(1);
                match end {
                    'K' | 'J' => line.truncate(column),
                    'C' => column += count,
                    'D' => column = column.saturating_sub(count),
                    // colours, and how keys are sent
                    'm' | 'h' | 'l' => {}
                    other => panic!("the sequence {digits}{other} is not known here"),
                }
            }
            letter => {
                while line.len() < column {
                    line.push(' ');
                }
                if column < line.len() {
                    line[column] = letter;
                } else {
                    line.push(letter);
                }
                column += 1;
            }
        }
        if letter == '\n' {
            column = 0;
        }
    }
    let lines = lines.into_iter().map(|line| line.into_iter().collect::<String>().trim_end().to_owned());
    lines.collect::<Vec<_>>().join("\n")
}

#[test]
fn regress_from_the_first_question_to_the_report_with_wrong_answers_on_the_way() {
    let folder = folder("terminal");
    let mut typed = Typed::start(&folder, &["new", "yard.toml"]);
    for line in [
        "Court behind the bakehouse (invented)",
        "imperial", // a choice that is none
        "",         // us
        "the lowest step of the back door",
        "?",      // help
        "8.4",    // a bare number
        "8.4 in", // above or below?
        "8.4 in below",
        "4 in, 150", // the unit of an area is missing
        "4 in, 10 ft x 15 ft",
        "6 psi, 420 ft2",       // a pressure for a depth
        "3.6 in deep, 420 ft2", // lower, and larger: the surface shrinks with the depth
        "5.4 in, 420 ft2",
        "",
        "back", // to the standing water, and forth again
        "",
        "1 ft below", // spills below the lowest ground
        "3 in below",
        "cellar stair",
        "",           // whether that is a building is not answered by nothing
        "yes",        // it is
        "2 ft below", // its door sill, lower than the edge
        "",           // the lowest opening is not left to what is usual
        "0",          // as high as the step
        "scullery door",
        "480 ft2, rof, half of the roof",
        "480 ft2, roof, half of the roof",
        "20 ft x 30 ft concrete",
        "350 ft2, lawn, bed along the wall",
        "",
        "steap", // what?
        "",      // gentle
        "10",    // what?
        "yr",
        "5 min 0.50 in",
        "15 m 0.97 in", // metres
        "15 min 0.97 in",
        "60 min 1.75 in",
        "24 h 4.1 in",
        "",
        "", // 2 in
        "2 h",
        "unknown", // soil
        "no",
        "back sool", // what?
        "back soil", // by its name
        "",          // still open
        "",          // no, as before
        "",          // grate
        "",
        "",
        "",
        "10 ft",
        "",
        "4 inch",
        "10 in below", // the rim, below the lowest ground: taken, but
        "back",
        "3 in below",
        "30 in",
        "",
        "",
        "",
        "",
        "??",
        "toilet", // never
        "swail",
        "swale",
        "2 ft 6 in above",
        "unknown",
        "back",
        "2 ft above",
        "85 ft",
        "",
        "48",
        "1 1/2 in",
        "",
        "",
        "",
        "",
        "no",
        "from the garden centre",
        "0 gpm 23 ft",
        "15 gpm 25 ft", // the head rises
        "15 gpm 20 ft",
        "30 gpm 14.5 ft",
        "40 gpm 8.5 ft",
        "",
        "1-1/2 in",
        "back", // too late
        "yes",  // size it now
    ] {
        typed.type_line(line);
    }
    let (roll, code) = typed.end();
    insta::assert_snapshot!("first_question_to_report", roll);
    assert_eq!(code, 0);
    assert!(roll.contains("\nVerdict\n"));
    assert!(!folder.join("yard.toml.answers").exists());
    insta::assert_snapshot!("first_file", fs::read_to_string(folder.join("yard.toml")).unwrap());
    // one gap, listed
    let checked = run(&folder, &["check", "yard.toml"]);
    assert_eq!(checked.status.code(), Some(0), "{}", err(&checked));
    assert!(err(&checked).contains("`soil.texture`"), "{}", err(&checked));
    assert!(out(&checked).contains("1 to be measured"), "{}", out(&checked));
}

/// The keys of a terminal that break a program off, and the one that ends its input.
const CTRL_C: char = 'c';
const CTRL_D: char = 'd';

#[test]
fn identity_what_is_broken_off_is_gone_on_with() {
    for (name, key, expected) in [("ctrl-c", Some(CTRL_C), 130), ("ctrl-d", Some(CTRL_D), 0), ("quit", None, 0)] {
        let folder = folder(name);
        let mut typed = Typed::start(&folder, &["new", "yard.toml"]);
        for line in ["A court", "", "", "8.4 in below", "4 in, 150 ft2"] {
            typed.type_line(line);
        }
        typed.wait();
        match key {
            Some(key) => typed.session.send_control(key).unwrap(),
            None => typed.session.send_line("quit").map(|_| ()).unwrap(),
        }
        let (roll, code) = typed.end();
        assert_eq!(code, expected, "{name}: {roll}");
        assert!(roll.contains("Your answers are kept in yard.toml.answers"), "{name}: {roll}");
        assert!(!folder.join("yard.toml").exists());
        // gone on with, in the middle of the list
        let mut typed = Typed::start(&folder, &["new", "yard.toml"]);
        typed.type_line("perhaps");
        typed.type_line("yes");
        typed.wait();
        let roll = shown(&typed.roll);
        assert!(roll.contains("yard.toml.answers holds 5 answers from before"), "{name}: {roll}");
        assert!(
            roll.contains("How large is the standing water?") && roll.contains("| 4 in, 150 ft2"),
            "{name}: {roll}"
        );
        typed.session.send_line("quit").unwrap();
        assert_eq!(typed.end().1, 0);
        // or begun anew, the answers put aside
        let before = fs::read_to_string(folder.join("yard.toml.answers")).unwrap();
        let mut typed = Typed::start(&folder, &["new", "yard.toml"]);
        typed.type_line("no");
        typed.wait();
        assert!(shown(&typed.roll).contains("They are put aside in yard.toml.answers-before"));
        assert_eq!(fs::read_to_string(folder.join("yard.toml.answers-before")).unwrap(), before);
        assert!(shown(&typed.roll).contains("What do you call this yard?"));
        typed.session.send_line("quit").unwrap();
        let (roll, _) = typed.end();
        assert!(roll.contains("nothing was answered"), "{roll}");
    }
}

#[test]
fn identity_a_program_that_is_killed_has_lost_nothing() {
    let folder = folder("killed");
    let mut typed = Typed::start(&folder, &["new", "yard.toml"]);
    for line in ["A court", "", "", "8.4 in below"] {
        typed.type_line(line);
    }
    typed.wait();
    typed.session.process_mut().kill(rexpect::process::Signal::SIGKILL).unwrap();
    let mut typed = Typed::start(&folder, &["new", "yard.toml"]);
    typed.type_line("");
    typed.wait();
    let roll = shown(&typed.roll);
    assert!(
        roll.contains("holds 4 answers from before") && roll.contains("How large is the standing water?"),
        "{roll}"
    );
    typed.session.send_line("quit").unwrap();
    typed.end();
}

#[test]
fn identity_a_foreign_file_of_that_name_is_left_alone() {
    let folder = folder("foreign");
    fs::write(folder.join("yard.toml.answers"), "my own notes\n").unwrap();
    let typed = Typed::start(&folder, &["new", "yard.toml"]);
    let (roll, code) = typed.end();
    assert_eq!(code, 3, "{roll}");
    assert!(roll.contains("holds no answers"), "{roll}");
    assert_eq!(fs::read_to_string(folder.join("yard.toml.answers")).unwrap(), "my own notes\n");
    // nor is it written over by answers that are put aside
    fs::remove_file(folder.join("yard.toml.answers")).unwrap();
    fs::write(folder.join("yard.toml.answers-before"), "my own notes\n").unwrap();
    let mut typed = Typed::start(&folder, &["new", "yard.toml"]);
    typed.type_line("A court");
    typed.wait();
    typed.session.send_line("quit").unwrap();
    typed.end();
    let mut typed = Typed::start(&folder, &["new", "yard.toml"]);
    typed.type_line("no");
    let (roll, code) = typed.end();
    assert_eq!(code, 3, "{roll}");
    assert_eq!(fs::read_to_string(folder.join("yard.toml.answers-before")).unwrap(), "my own notes\n");
}

#[test]
fn identity_the_tab_key_completes_a_choice() {
    let folder = folder("tab");
    let mut typed = Typed::start(&folder, &["new", "yard.toml"]);
    typed.type_line("A court");
    typed.wait();
    typed.session.send("met\t\r").unwrap();
    typed.session.flush().unwrap();
    typed.wait();
    typed.session.send_line("quit").unwrap();
    let (roll, _) = typed.end();
    assert!(roll.contains("> metric"), "{roll}");
    assert!(fs::read_to_string(folder.join("yard.toml.answers")).unwrap().contains("\"units\" = [\"metric\"]"));
}

#[test]
fn identity_answers_of_the_command_line_are_not_asked_for() {
    let folder = folder("some");
    let mut typed = Typed::start(&folder, &["new", "yard.toml", "--answer", "title=Court", "--answer", "units=us"]);
    typed.wait();
    let roll = shown(&typed.roll);
    assert!(roll.contains("What do you measure heights from?") && !roll.contains("What do you call"), "{roll}");
    typed.session.send_line("quit").unwrap();
    typed.end();
}
