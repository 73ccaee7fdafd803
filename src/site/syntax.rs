//! From a text to TOML tables, with every line that TOML refuses reported once and, where it is clear what was
//! meant, put right, so that all else in the file is still read.

use super::brackets::closed;
use super::problem::{Problem, ProblemKind};
use super::repair::{code, header_name, repairs};
use super::tree::Place;
use toml::de::DeTable;

/// After so many problems of syntax the rest is not looked at.
pub(super) const MOST_PROBLEMS: usize = 40;
/// All readings of a text together are held to so many bytes …
const MOST_BYTES: usize = 8_000_000;
/// … where what TOML refuses costs as much as so many bytes more.
const BYTES_A_REFUSAL: usize = 64;

/// Something in a line that could not be read, so that it is not missed elsewhere.
#[derive(Clone, Debug)]
pub(super) struct Lost {
    /// The table it stood in, dotted; none where that is not known.
    path: Option<String>,
    /// The key; none where that is not known.
    key: Option<String>,
}

impl Lost {
    /// Whether a key that seems to be missing may be the one that was lost.
    pub(super) fn hides(&self, path: &str, key: &str) -> bool {
        let Some(lost) = &self.path else { return true };
        if path.is_empty() && self.key.as_deref() == Some(key) {
            return true;
        }
        let inside =
            path.is_empty() || lost.strip_prefix(path).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'));
        match &self.key {
            Some(name) if lost == path => name == key || name.starts_with(key),
            Some(_) => inside && lost.split('.').any(|part| part == key) || path.starts_with(lost.as_str()),
            None => inside || path.starts_with(lost.as_str()),
        }
    }
}

/// A text with its bad lines put right or taken out.
pub(super) struct Parsed {
    /// What is left to read.
    pub(super) text: String,
    /// What was wrong, with places in the text as it was given.
    pub(super) problems: Vec<Problem>,
    /// What could not be read.
    pub(super) lost: Vec<Lost>,
    pub(super) lines: Vec<Line>,
    /// Where each line begins in the text as mended.
    starts: Vec<usize>,
}

/// A line as it was given and as it is now.
pub(super) struct Line {
    pub(super) original: Place,
    pub(super) current: String,
    pub(super) changed: bool,
}

impl Parsed {
    /// Of a text in which nothing is to be mended.
    pub(super) fn clean() -> Self {
        Self { text: String::new(), problems: Vec::new(), lost: Vec::new(), lines: Vec::new(), starts: Vec::new() }
    }

    /// Whether nothing was wrong and nothing was mended.
    pub(super) fn is_clean(&self) -> bool {
        self.lines.is_empty()
    }

    /// Reads a text, putting right what can be.
    pub(super) fn of(text: &str) -> Self {
        let mut parsed = Self { text: text.to_owned(), ..Self::clean() };
        let mut read = 0;
        let mut last_lost: Option<usize> = None;
        loop {
            let (_, errors) = DeTable::parse_recoverable(&parsed.text);
            read += parsed.text.len() + BYTES_A_REFUSAL * errors.len();
            let first = errors
                .iter()
                .filter(|error| !about_twice(error.message()))
                .min_by_key(|error| error.span().map_or(0, |span| span.start));
            let Some(error) = first else {
                parsed.twice(&errors);
                break;
            };
            if parsed.lines.is_empty() {
                parsed.split();
            }
            let place = error.span().unwrap_or(0..0);
            if parsed.problems.len() >= MOST_PROBLEMS || read > MOST_BYTES {
                parsed.give_up(place.start);
                break;
            }
            let at = parsed.line_at(place.start);
            let about_lists = ["array", "inline", "comma"].iter().any(|word| error.message().contains(word));
            let mended = about_lists && parsed.close_near(at, &mut read)
                || parsed.mend(at, &mut read)
                || !about_lists && parsed.close_near(at, &mut read);
            if !mended {
                parsed.take_out(at, error.message(), &place, &mut last_lost);
            }
        }
        parsed
    }

    /// The place in the text as it was given of a place in the text as it was mended.
    pub(super) fn original(&self, place: Place) -> Place {
        if self.lines.is_empty() {
            return place;
        }
        let start = self.original_at(place.start);
        start..self.original_at(place.end).max(start)
    }

    fn original_at(&self, at: usize) -> usize {
        let index = self.line_at(at);
        let Some(line) = self.lines.get(index) else { return at };
        let within = at.saturating_sub(self.start_of(index)).min(line.current.len());
        let length = line.original.end - line.original.start;
        if !line.changed {
            return line.original.start + within.min(length);
        }
        // Places after the change are counted from the end of the line.
        let back = length.saturating_sub(line.current.len() - within);
        line.original.start + if within <= back { within } else { back.max(within.min(length)) }
    }

    pub(super) fn split(&mut self) {
        let mut start = 0;
        for line in self.text.split_inclusive('\n') {
            let end = start + line.len();
            self.lines.push(Line { original: start..end, current: line.to_owned(), changed: false });
            start = end;
        }
        self.count();
    }

    pub(super) fn line_at(&self, at: usize) -> usize {
        self.starts.partition_point(|start| *start <= at).saturating_sub(1)
    }

    fn start_of(&self, index: usize) -> usize {
        self.starts.get(index).copied().unwrap_or(self.text.len())
    }

    pub(super) fn join(&mut self) {
        self.text = self.lines.iter().map(|line| line.current.as_str()).collect();
        self.count();
    }

    fn count(&mut self) {
        let mut start = 0;
        self.starts.clear();
        for line in &self.lines {
            self.starts.push(start);
            start += line.current.len();
        }
    }

    /// Tries what may have been meant by a line; keeps what TOML then accepts.
    fn mend(&mut self, at: usize, read: &mut usize) -> bool {
        let Some(line) = self.lines.get(at).filter(|line| !line.changed && line.current.len() < 2000) else {
            return false;
        };
        let (start, end) = (self.start_of(at), line.current.len());
        let (before, line, original) = (start, line.current.clone(), line.original.clone());
        for (slip, repaired) in repairs(&line) {
            let Some((head, tail)) = self.text.get(..before).zip(self.text.get(before + end..)) else { return false };
            let text = format!("{head}{repaired}{tail}");
            *read += text.len();
            if *read > MOST_BYTES {
                return false;
            }
            let (_, errors) = DeTable::parse_recoverable(&text);
            *read += BYTES_A_REFUSAL * errors.len();
            let good = errors
                .iter()
                .filter(|error| !about_twice(error.message()))
                .all(|error| error.span().is_some_and(|span| span.start >= before + repaired.len()));
            if !good {
                continue;
            }
            let (place, replacement) = difference(&line, &repaired);
            let place = original.start + place.start..original.start + place.end;
            let written = repaired.trim();
            self.problems.push(
                Problem::error(ProblemKind::Syntax, place, slip.message)
                    .label(slip.label)
                    .help(format!("write `{}`", echo_line(written)))
                    .replacement(replacement),
            );
            if let Some(line) = self.lines.get_mut(at) {
                line.current = repaired;
                line.changed = true;
            }
            self.text = text;
            self.count();
            return true;
        }
        false
    }

    /// Tries to close the brackets of the statement that a line belongs to, or of the one that ends before it.
    fn close_near(&mut self, at: usize, read: &mut usize) -> bool {
        self.close(at, read) || at > 0 && self.close(at - 1, read)
    }

    /// Tries to close the brackets of the statement that a line belongs to.
    fn close(&mut self, at: usize, read: &mut usize) -> bool {
        // No list of a site file is longer; what goes on longer was never closed.
        const AROUND: usize = 400;
        let from = at.saturating_sub(AROUND);
        let lines: Vec<&str> =
            self.lines.iter().skip(from).take(2 * AROUND).map(|line| line.current.as_str()).collect();
        let missing = closed(&lines, at - from);
        if missing.is_empty()
            || missing.iter().any(|missing| self.lines.get(from + missing.line).is_none_or(|line| line.changed))
        {
            return false;
        }
        let Some(last) = missing.last().map(|missing| from + missing.line) else { return false };
        let mut text = String::with_capacity(self.text.len() + 8);
        let mut good_until = 0;
        for (index, line) in self.lines.iter().enumerate() {
            // they stand in the order of their lines
            let signs = missing
                .binary_search_by_key(&index, |missing| from + missing.line)
                .ok()
                .and_then(|found| missing.get(found));
            match signs.and_then(|missing| line.current.split_at_checked(missing.at).map(|parts| (missing, parts))) {
                Some((missing, (before, after))) => {
                    text.push_str(before);
                    text.push_str(&missing.signs);
                    text.push_str(after);
                }
                None => text.push_str(&line.current),
            }
            if index == last {
                good_until = text.len();
            }
        }
        let (_, errors) = DeTable::parse_recoverable(&text);
        *read += text.len() + BYTES_A_REFUSAL * errors.len();
        let good = errors
            .iter()
            .filter(|error| !about_twice(error.message()))
            .all(|error| error.span().is_some_and(|span| span.start >= good_until));
        if !good || *read > MOST_BYTES {
            return false;
        }
        for missing in missing {
            let index = from + missing.line;
            let opened = missing
                .opened
                .and_then(|(line, byte)| self.lines.get(from + line).map(|line| line.original.start + byte))
                .map(|at| at..at + 1);
            let Some(line) = self.lines.get_mut(index) else { continue };
            let place = line.original.start + missing.at;
            let what = match missing.signs.as_str() {
                "," => "a comma is missing between two values".to_owned(),
                signs if signs.starts_with('}') => "a table in braces is not closed".to_owned(),
                _ => "a list is not closed".to_owned(),
            };
            self.problems.push(
                Problem::error(ProblemKind::Syntax, place..place, what)
                    .label(format!("`{}` is missing here", missing.signs))
                    .also(opened, "opened here")
                    .help(format!("add `{}`", missing.signs))
                    .replacement(missing.signs.clone()),
            );
            line.current.insert_str(missing.at, &missing.signs);
            line.changed = true;
        }
        self.join();
        true
    }

    /// Takes a line out that nothing could be made of.
    fn take_out(&mut self, at: usize, message: &str, place: &Place, last_lost: &mut Option<usize>) {
        let Some(line) = self.lines.get(at) else { return };
        let path = self.header_above(at);
        let is_header = line.current.trim_start().starts_with('[') && !code(&line.current).contains('=');
        let key = key_of(&line.current);
        let column = place.start.saturating_sub(self.start_of(at)).min(line.current.len());
        let length = line.original.end - line.original.start;
        let shown = if line.changed || column >= line.current.trim_end().len() {
            let body = line.current.trim_end().len().min(length);
            let indent = line.current.len() - line.current.trim_start().len();
            indent.min(body)..body
        } else {
            column..(column + (place.end - place.start).max(1)).min(length)
        };
        let shown = line.original.start + shown.start..line.original.start + shown.end;
        // What follows a lost line directly has most likely the same cause.
        if last_lost.is_none_or(|last| last + 1 != at && last != at) {
            let (what, help) = explained(message);
            let mut problem = Problem::error(ProblemKind::Syntax, shown, what).label("here");
            problem.help = help.map(str::to_owned);
            self.problems.push(problem);
        }
        self.lost.push(match key {
            _ if is_header => Lost { path: None, key: None },
            Some(key) => Lost { path: Some(path), key: Some(key) },
            None => Lost { path: Some(path), key: None },
        });
        let mut end = at + 1;
        if is_header {
            while self.lines.get(end).is_some_and(|line| !line.current.trim_start().starts_with('[')) {
                end += 1;
            }
        }
        *last_lost = Some(end - 1);
        for line in self.lines.iter_mut().take(end).skip(at) {
            let kept = if line.current.ends_with('\n') { "\n" } else { "" };
            kept.clone_into(&mut line.current);
            line.changed = true;
        }
        self.join();
    }

    fn give_up(&mut self, at: usize) {
        let at = self.original_at(at);
        self.problems.push(
            Problem::error(ProblemKind::Syntax, at..at, "the rest of the file is not read: too much of it is not TOML")
                .label("from here on"),
        );
        self.lost.push(Lost { path: None, key: None });
        let line = self.line_at(at);
        for line in self.lines.iter_mut().skip(line) {
            line.current = String::new();
            line.changed = true;
        }
        self.join();
    }

    /// The dotted name of the table that a line stands in.
    fn header_above(&self, at: usize) -> String {
        self.lines.iter().take(at).rev().find_map(|line| header_name(&line.current)).unwrap_or_default()
    }
}

fn about_twice(message: &str) -> bool {
    message.starts_with("duplicate key") || message.starts_with("cannot extend")
}

/// The key that a line begins with.
pub(super) fn key_of(line: &str) -> Option<String> {
    let body = line.trim_start();
    let end = body.find(['=', ':', ' ', '\t']).unwrap_or(body.trim_end().len());
    let key = body.get(..end)?.trim().trim_matches(['"', '\'']);
    let good = !key.is_empty()
        && key.chars().all(|letter| letter.is_ascii_alphanumeric() || matches!(letter, '_' | '-' | '.'));
    good.then(|| key.to_owned())
}

/// The part of a line that differs in another, and what stands there instead.
fn difference(old: &str, new: &str) -> (Place, String) {
    let head: usize =
        old.chars().zip(new.chars()).take_while(|(one, other)| one == other).map(|(letter, _)| letter.len_utf8()).sum();
    let (old_rest, new_rest) = (old.get(head..).unwrap_or(""), new.get(head..).unwrap_or(""));
    let tail: usize = old_rest
        .chars()
        .rev()
        .zip(new_rest.chars().rev())
        .take_while(|(one, other)| one == other)
        .map(|(letter, _)| letter.len_utf8())
        .sum();
    (head..old.len() - tail, new_rest.get(..new_rest.len() - tail).unwrap_or("").to_owned())
}

fn echo_line(line: &str) -> String {
    let mut shown: String = line.chars().take(100).collect();
    if line.chars().nth(100).is_some() {
        shown.push('…');
    }
    shown
}

/// What TOML says, in plain words, with advice.
fn explained(message: &str) -> (String, Option<&'static str>) {
    let message = message.split(", expected").next().unwrap_or(message);
    let (what, help): (&str, Option<&'static str>) = match message {
        "missing value for key" | "key with no value" | "missing value" => (
            "there is no value after the key",
            Some("write `key = value`, with the value in quotes when it has a unit"),
        ),
        "string values must be quoted" => {
            ("a value that is not a bare number needs quotes", Some("write `\"150 ft\"`, with straight quotes"))
        }
        "unclosed array" => ("a list is not closed", Some("add the missing `]`")),
        "unclosed inline table" => ("a table in braces is not closed", Some("add the missing `}`")),
        "unclosed table" | "unclosed array table" => ("a header is not closed", Some("add the missing `]`")),
        "missing comma between array elements" | "missing comma between key-value pairs" => (
            "a comma is missing between two values",
            Some("put a comma between them; or is a bracket not closed above?"),
        ),
        "unexpected `=` in array" => {
            ("there is a key inside a list", Some("is the list above not closed? add the missing `]`"))
        }
        "extra comma in inline table" | "extra comma in array" => ("there is a comma too many", Some("take it out")),
        "extra `=`" => ("there is a `=` too many", Some("take it out")),
        "invalid key-value pair" | "unexpected content" | "unexpected key or value" => (
            "this line is not TOML",
            Some(
                "a line is a header such as `[basin]`, a key with its value such as `rim = \"96.3 ft\"`, or a comment after `#`",
            ),
        ),
        "cannot recurse further; max recursion depth met" => ("lists or tables are nested too deeply", None),
        other => return (format!("this line is not TOML: {other}"), None),
    };
    (what.to_owned(), help)
}
