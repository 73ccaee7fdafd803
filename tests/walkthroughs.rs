//! The walkthroughs of docs/walkthroughs, and how to read the report, word for word: every file that a reader writes is written, every command line is
//! run, and what it prints is what the page shows.
//!
//! A block ```` ```toml NAME ```` is written to the file NAME. A block ```` ```diff NAME ```` changes it: lines with `-` make
//! way for those with `+`. In a block ```` ```console ```` a line with `$ ` is typed and the lines below it are printed; a
//! line `...` stands for lines left out. `SUMPWRIGHT_BLESS=1` writes anew what is printed: each piece between two `...` is
//! found by its first line and keeps its length.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use std::env;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

const LEFT_OUT: &str = "...";

struct Reader {
    folder: PathBuf,
    /// How the last command ended.
    code: i32,
}

impl Reader {
    fn types(&mut self, command: &str) -> Vec<String> {
        let program = Path::new(env!("CARGO_BIN_EXE_sumpwright")).parent().unwrap();
        let path = format!("{}:{}", program.display(), env::var("PATH").unwrap());
        let output = Command::new("sh")
            .arg("-c")
            .arg(format!("exec 2>&1; (exit {}); {command}", self.code))
            .current_dir(&self.folder)
            .env("PATH", path)
            .env("NO_COLOR", "1")
            .output()
            .unwrap();
        self.code = output.status.code().unwrap();
        String::from_utf8(output.stdout).unwrap().lines().map(str::to_owned).collect()
    }
}

/// Whether what is shown is what was printed, with pieces left out.
fn shown(shown: &[String], printed: &[String]) -> Result<(), String> {
    if !shown.iter().any(|line| line == LEFT_OUT) {
        return if shown == printed { Ok(()) } else { Err(format!("printed:\n{}", printed.join("\n"))) };
    }
    let mut from = 0;
    let mut anywhere = false;
    let pieces: Vec<&[String]> = shown.split(|line| line == LEFT_OUT).collect();
    for (number, piece) in pieces.iter().enumerate() {
        if !piece.is_empty() {
            let starts = |at: &usize| printed[*at..].starts_with(piece);
            let last = printed.len().saturating_sub(piece.len());
            let found = if anywhere { (from..=last).find(starts) } else { Some(from).filter(starts) };
            from = found.ok_or_else(|| format!("not printed:\n{}", piece.join("\n")))? + piece.len();
        }
        anywhere = true;
        if number + 1 == pieces.len() && !piece.is_empty() && from != printed.len() {
            return Err(format!("more is printed:\n{}", printed[from..].join("\n")));
        }
    }
    Ok(())
}

/// What is shown, made anew from what is printed.
fn anew(shown: &[String], printed: &[String]) -> Vec<String> {
    if !shown.iter().any(|line| line == LEFT_OUT) {
        return printed.to_vec();
    }
    let mut made = Vec::new();
    let mut from = 0;
    for (number, piece) in shown.split(|line| line == LEFT_OUT).enumerate() {
        if number > 0 {
            made.push(LEFT_OUT.to_owned());
        }
        let Some(first) = piece.first() else { continue };
        let at = printed[from..].iter().position(|line| line == first).map_or(from, |at| from + at);
        let until = (at + piece.len()).min(printed.len());
        made.extend_from_slice(&printed[at..until]);
        from = until;
    }
    made
}

/// Follows a page; gives it as it should be, and what is not so.
fn follow(page: &str, name: &str) -> (String, Vec<String>) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("walkthrough-{name}"));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    let mut reader = Reader { folder, code: 0 };
    let mut made: Vec<String> = Vec::new();
    let mut wrong = Vec::new();
    let lines: Vec<&str> = page.lines().collect();
    let mut at = 0;
    while at < lines.len() {
        let line = lines[at];
        made.push(line.to_owned());
        at += 1;
        let Some(opened) = line.strip_prefix("```") else { continue };
        let end = at + lines[at..].iter().position(|line| *line == "```").expect("a block that ends");
        let block = &lines[at..end];
        match opened.split_once(' ') {
            Some(("toml", file)) => {
                fs::write(reader.folder.join(file), block.join("\n") + "\n").unwrap();
                made.extend(block.iter().map(|line| (*line).to_owned()));
            }
            Some(("diff", file)) => {
                let side = |sign: char| -> String {
                    block.iter().filter_map(|line| line.strip_prefix(sign)).flat_map(|line| [line, "\n"]).collect()
                };
                let path = reader.folder.join(file);
                let text = fs::read_to_string(&path).unwrap();
                assert_eq!(text.matches(&side('-')).count(), 1, "{name}: {}", side('-'));
                fs::write(&path, text.replacen(&side('-'), &side('+'), 1)).unwrap();
                made.extend(block.iter().map(|line| (*line).to_owned()));
            }
            None if opened == "console" => {
                let mut inside = 0;
                while inside < block.len() {
                    let mut command = block[inside].strip_prefix("$ ").expect("a command first").to_owned();
                    made.push(block[inside].to_owned());
                    inside += 1;
                    while let Some(start) = command.strip_suffix('\\') {
                        command = format!("{start}{}", block[inside].trim_start());
                        made.push(block[inside].to_owned());
                        inside += 1;
                    }
                    let until = block[inside..].iter().position(|line| line.starts_with("$ "));
                    let until = until.map_or(block.len(), |until| inside + until);
                    let expected: Vec<String> = block[inside..until].iter().map(|line| (*line).to_owned()).collect();
                    inside = until;
                    if command.contains("examples/") {
                        let link = reader.folder.join("examples");
                        if !link.exists() {
                            std::os::unix::fs::symlink(root.join("examples"), link).unwrap();
                        }
                    }
                    let printed = reader.types(&command);
                    if let Err(why) = shown(&expected, &printed) {
                        wrong.push(format!("{name}: $ {command}\n{why}"));
                    }
                    made.extend(anew(&expected, &printed));
                }
            }
            other => assert!(other.is_none(), "{name}: a block of no known kind: {opened}"),
        }
        if opened != "console" && !opened.contains(' ') {
            made.extend(block.iter().map(|line| (*line).to_owned()));
        }
        made.push("```".to_owned());
        at = end + 1;
    }
    (made.join("\n") + "\n", wrong)
}

fn walk(name: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs").join(format!("{name}.md"));
    let name = path.file_stem().unwrap().to_str().unwrap();
    let page = fs::read_to_string(&path).unwrap();
    assert!(page.matches("\n$ sumpwright ").count() >= 4, "{name} runs too little");
    let (made, wrong) = follow(&page, name);
    if env::var_os("SUMPWRIGHT_BLESS").is_some() {
        fs::write(&path, made).unwrap();
    } else {
        assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
        assert_eq!(made, page);
    }
}

#[test]
fn identity_the_homeowners_weekend() {
    walk("walkthroughs/homeowners-weekend");
}

#[test]
fn identity_the_contractors_kitchen_table() {
    walk("walkthroughs/contractors-kitchen-table");
}

#[test]
fn identity_the_estimators_phone_call() {
    walk("walkthroughs/estimators-phone-call");
}

#[test]
fn identity_how_to_read_the_report() {
    walk("reading-the-report");
}

#[test]
fn identity_the_harness_sees_what_differs() {
    let lines = |text: &str| -> Vec<String> { text.lines().map(str::to_owned).collect() };
    let printed = lines("one\ntwo\nthree\nfour");
    for good in ["one\ntwo\nthree\nfour", "one\n...", "...\nthree\nfour", "one\n...\nthree\n...", "...\ntwo\n...\nfour"]
    {
        assert_eq!(shown(&lines(good), &printed), Ok(()), "{good}");
        assert_eq!(anew(&lines(good), &printed), lines(good));
    }
    for bad in ["one", "two\n...", "one\n...\nthree", "...\nfour\n...\none", "one\n...\nfive\n...", ""] {
        assert!(shown(&lines(bad), &printed).is_err(), "{bad}");
    }
    // a figure that changed is written anew
    assert_eq!(anew(&lines("one\n2\n...\nfour"), &printed), lines("one\ntwo\n...\nfour"));
}
