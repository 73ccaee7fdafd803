//! Telling a file that is no site file at all, so that one plain sentence is said of it and not a hundred.

use super::LARGEST;
use super::problem::{Problem, ProblemKind};

const WANTED: &str = "a site file is a plain text in TOML, with tables such as `[basin]` and lines such as \
                      `rim = \"96.3 ft\"`; its first line is `format = 1`";

/// Lines looked at to tell a table of commas.
const LOOKED_AT: usize = 40;

/// The one problem of a text that is not a site file.
pub(super) fn foreign(text: &str) -> Option<Problem> {
    let say = |what: &str| Some(Problem::error(ProblemKind::NotASiteFile, None, what).help(WANTED));
    if text.len() > LARGEST {
        return say("the file is larger than 256 kB");
    }
    let body = text.trim_start_matches('\u{feff}').trim();
    if body.is_empty() {
        return say("the file is empty");
    }
    if looks_binary(body) {
        return say("this is not a text file");
    }
    if body.starts_with("{\\rtf") {
        return say("this is rich text (RTF), not plain text: save it as plain text");
    }
    if body.starts_with('{') || body.starts_with("[{") || body.starts_with("[\n  {") {
        return say("this looks like JSON, not a site file");
    }
    if body.starts_with('<') {
        return say("this looks like a web page or XML, not a site file");
    }
    let lines = || body.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with('#'));
    if lines().any(|line| line.contains('=') && !line.starts_with('=') || line.starts_with('[')) {
        return None;
    }
    // A file of comments alone lacks everything: the missing tables say so.
    lines().next()?;
    if lines().any(assigns_with_colon) {
        return None;
    }
    let with_commas = lines().take(LOOKED_AT).filter(|line| line.contains([',', ';', '\t'])).count();
    if with_commas * 2 > lines().take(LOOKED_AT).count() {
        return say("this looks like a table with commas (CSV), not a site file; a rain file is named by `rain.file`");
    }
    say("this is not a site file: no line has a key with a value")
}

/// `rim: "96.3 ft"`, a site file by someone used to another notation.
fn assigns_with_colon(line: &str) -> bool {
    line.split_once(':').is_some_and(|(key, value)| {
        let key = key.trim();
        let rest = value.trim_start();
        !key.is_empty()
            && key.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'_')
            && rest.starts_with(|letter: char| letter == '"' || letter.is_ascii_digit())
    })
}

fn looks_binary(text: &str) -> bool {
    let mut odd = 0_usize;
    let mut all = 0_usize;
    for letter in text.chars().take(4096) {
        all += 1;
        if letter == '\0' {
            return true;
        }
        if letter == '\u{fffd}' || letter.is_control() && !matches!(letter, '\t' | '\r' | '\n') {
            odd += 1;
        }
    }
    odd * 20 > all
}
