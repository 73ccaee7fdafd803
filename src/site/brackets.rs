//! Lists and tables in braces that are not closed, or lack a comma between two lines.

use super::repair::{code, header_name, starts_with_key};

/// A line with the brackets or the comma that it lacks.
pub(super) struct Closed {
    /// Which line.
    pub(super) line: usize,
    /// Where in it the missing signs go.
    pub(super) at: usize,
    /// The missing signs.
    pub(super) signs: String,
    /// Line and byte of the bracket that is not closed, if one is not.
    pub(super) opened: Option<(usize, usize)>,
}

/// What is missing in the statement that holds a line; nothing when its brackets are in order.
pub(super) fn closed(lines: &[&str], at: usize) -> Vec<Closed> {
    let begins = |line: &str| starts_with_key(line) || header_name(line).is_some();
    let Some(start) = (0..=at.min(lines.len().saturating_sub(1)))
        .rev()
        .find(|index| lines.get(*index).is_some_and(|line| starts_with_key(line)))
    else {
        return Vec::new();
    };
    let end = (start + 1..lines.len())
        .find(|index| lines.get(*index).is_some_and(|line| begins(line)))
        .unwrap_or(lines.len());
    let last = (start..end).rev().find(|index| lines.get(*index).is_some_and(|line| !code(line).trim().is_empty()));
    let Some(last) = last else { return Vec::new() };
    let mut missing = Vec::new();
    let mut open: Vec<(char, usize, usize)> = Vec::new();
    for index in start..=last {
        let Some(line) = lines.get(index).copied() else { break };
        let body = code(line);
        let mut in_line = 0_usize;
        for (byte, sign) in signs(body) {
            match sign {
                '[' | '{' => {
                    open.push((sign, index, byte));
                    in_line += 1;
                }
                _ if open.pop().is_some() => in_line = in_line.saturating_sub(1),
                _ => return Vec::new(),
            }
        }
        let trimmed = body.trim_end();
        let without_comma = trimmed.strip_suffix(',').map_or(trimmed, str::trim_end);
        let next = lines
            .get(index + 1..=last)
            .and_then(|rest| rest.iter().map(|line| line.trim_start()).find(|line| !line.is_empty()));
        let mut signs = String::new();
        let mut opened = None;
        // A table that begins on this line and another on the next: it was to end here.
        let goes_on = next.is_some_and(|next| next.starts_with(['{', ']']));
        while (index == last || goes_on && in_line > 0 && open.last().is_some_and(|(sign, ..)| *sign == '{'))
            && let Some((sign, line, byte)) = open.pop()
        {
            signs.push(if sign == '[' { ']' } else { '}' });
            opened = Some((line, byte));
            in_line = in_line.saturating_sub(1);
        }
        let has_comma = trimmed.len() > without_comma.len();
        let joins = trimmed.ends_with([']', '}', '"']) || !signs.is_empty();
        if !open.is_empty() && joins && !has_comma && next.is_some_and(|next| next.starts_with(['{', '[', '"'])) {
            signs.push(',');
        }
        if !signs.is_empty() {
            let at = if opened.is_some() && has_comma && index != last { without_comma.len() } else { trimmed.len() };
            missing.push(Closed { line: index, at, signs, opened });
        }
    }
    missing
}

/// The brackets of a line outside of quotes.
fn signs(body: &str) -> Vec<(usize, char)> {
    let mut found = Vec::new();
    let mut quote: Option<char> = None;
    let mut escaped = false;
    for (at, letter) in body.char_indices() {
        match quote {
            Some(_) if escaped => escaped = false,
            Some('"') if letter == '\\' => escaped = true,
            Some(open) if open == letter => quote = None,
            None if matches!(letter, '"' | '\'') => quote = Some(letter),
            None if matches!(letter, '[' | ']' | '{' | '}') => found.push((at, letter)),
            _ => {}
        }
    }
    found
}
