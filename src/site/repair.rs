//! Lines that TOML refuses and what was meant: each slip that people make, recognized and put right.
//!
//! A repair is a guess. Whoever uses one reads the repaired text again and keeps it only if the line is then right.

use super::keys;
use super::words::unit_of;
use crate::quantity::Dimension;

/// A slip: what to say, and how to put the line right.
pub(super) struct Slip {
    /// What is wrong, in a sentence.
    pub(super) message: &'static str,
    /// A few words at the place.
    pub(super) label: &'static str,
    repair: fn(&str) -> Option<String>,
}

/// The slips, in the order in which they are tried.
pub(super) const SLIPS: &[Slip] = &[
    Slip { message: "curly quotes are not quotes to TOML", label: "curly quotes", repair: straight_quotes },
    Slip {
        message: "the inch mark ends the text in quotes too early",
        label: "an inch mark inside quotes",
        repair: feet_and_inches,
    },
    Slip { message: "a table begins with its name in brackets", label: "a table", repair: bracket_header },
    Slip { message: "this header is not closed", label: "a bracket is missing", repair: close_header },
    Slip {
        message: "a name with a space or a point in it needs quotes in a header",
        label: "without quotes",
        repair: quote_header,
    },
    Slip { message: "a key is followed by `=`, not by `:`", label: "`:` in place of `=`", repair: colon },
    Slip { message: "between a key and its value stands `=`", label: "`=` is missing", repair: equals },
    Slip { message: "a key with a space in it needs quotes", label: "without quotes", repair: quote_key },
    Slip { message: "true and false are written in small letters", label: "write `true` or `false`", repair: flag },
    Slip {
        message: "a number takes a decimal point, not a comma, and stands in quotes with the unit that it is in",
        label: "a decimal comma",
        repair: decimal_comma,
    },
    Slip { message: "a value that is not a bare number needs quotes", label: "without quotes", repair: quote_values },
    Slip { message: "a comma is missing between two values", label: "no comma", repair: commas },
    Slip { message: "the quotes are not closed", label: "a quote is missing", repair: close_quote },
];

/// Every repaired form of a line worth trying, with the slip that it puts right: each repair alone, then more and
/// more of them together.
pub(super) fn repairs(line: &str) -> Vec<(&'static Slip, String)> {
    let mut found: Vec<(&'static Slip, String)> =
        SLIPS.iter().filter_map(|slip| Some((slip, (slip.repair)(line)?))).collect();
    let mut together = line.to_owned();
    let mut first: Option<&'static Slip> = None;
    for slip in SLIPS {
        if let Some(better) = (slip.repair)(&together) {
            together = better;
            let first = *first.get_or_insert(slip);
            found.push((first, together.clone()));
        }
    }
    found.retain(|(_, repaired)| repaired != line);
    found
}

fn straight_quotes(line: &str) -> Option<String> {
    const DOUBLE: [char; 5] = ['“', '”', '„', '‟', '″'];
    const SINGLE: [char; 3] = ['‘', '’', '‚'];
    if !line.contains(DOUBLE) && !line.contains(SINGLE) {
        return None;
    }
    Some(
        line.chars()
            .map(|letter| match letter {
                _ if DOUBLE.contains(&letter) => '"',
                _ if SINGLE.contains(&letter) => '\'',
                other => other,
            })
            .collect(),
    )
}

/// `"12'-6""` to `"12 ft 6 in"`, `"24""` to `"24 in"`.
fn feet_and_inches(line: &str) -> Option<String> {
    let at = line.match_indices('"').map(|(at, _)| at).find_map(|at| {
        let inner = line.get(at + 1..)?;
        let inches = inner.find('"')?;
        let value = inner.get(..inches)?;
        inner.get(inches + 1..)?.starts_with('"').then_some(())?;
        Some((at, inches, lengths(value)?))
    })?;
    let (start, inches, meant) = at;
    let before = line.get(..start)?;
    let after = line.get(start + inches + 3..)?;
    Some(format!("{before}\"{meant}\"{after}"))
}

/// What `12'-6` or `24` before an inch mark means.
fn lengths(value: &str) -> Option<String> {
    let number = |text: &str| {
        let text = text.trim();
        let good = text.bytes().all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b'/' | b'-' | b' '));
        (good && text.bytes().any(|byte| byte.is_ascii_digit())).then(|| text.to_owned())
    };
    match value.split_once('\'') {
        Some((feet, inches)) => {
            let inches = inches.trim().trim_start_matches('-');
            Some(format!("{} ft {} in", number(feet)?, number(inches)?))
        }
        None => Some(format!("{} in", number(value)?)),
    }
}

/// The parts of a header line: brackets, name, what follows.
fn header(line: &str) -> Option<(&str, &str)> {
    let body = line.trim_start();
    let open = if body.starts_with("[[") { "[[" } else { body.strip_prefix('[').map(|_| "[")? };
    let inside = body.get(open.len()..)?;
    let end = inside.find([']', '#', '\r', '\n']).unwrap_or(inside.len());
    let name = inside.get(..end)?.trim();
    // a line of a list of lists is no header
    (!name.is_empty() && !name.contains([',', '{', '=']) && !name.starts_with('"')).then_some((open, name))
}

/// `basin:` or `basin =` alone on a line.
fn bracket_header(line: &str) -> Option<String> {
    let body = code(line).trim();
    let name = body.trim_end_matches([':', '=']).trim();
    let key = keys::SITE.iter().find(|key| key.name == name)?;
    key.keys()?;
    let list = matches!(key.kind, keys::Kind::Tables(_));
    Some(if list { format!("[[{name}]]{}", ending(line)) } else { format!("[{name}]{}", ending(line)) })
}

/// Puts a comma between brackets, or between texts in a list, that follow one another.
fn commas(line: &str) -> Option<String> {
    let mut written = String::with_capacity(line.len() + 4);
    let mut depth = 0_usize;
    // the sign that a value ended with, and how much was written then
    let mut ended: Option<usize> = None;
    let mut rest = line;
    while let Some(letter) = rest.chars().next() {
        if letter == '#' {
            break;
        }
        let starts = matches!(letter, '[' | '{' | '"') && depth > 0;
        if starts && let Some(at) = ended {
            written.insert(at, ',');
        }
        match letter {
            '"' | '\'' => {
                let end = quoted_end(rest, letter);
                written.push_str(rest.get(..end)?);
                rest = rest.get(end..)?;
                ended = Some(written.len());
                continue;
            }
            '[' | '{' => {
                depth += 1;
                ended = None;
            }
            ']' | '}' => {
                depth = depth.saturating_sub(1);
                ended = Some(written.len() + 1);
            }
            _ if letter.is_whitespace() => {}
            _ => ended = None,
        }
        written.push(letter);
        rest = rest.get(letter.len_utf8()..)?;
    }
    written.push_str(rest);
    Some(written)
}

fn close_header(line: &str) -> Option<String> {
    let (open, name) = header(line)?;
    if line.contains(']') && line.matches(']').count() == open.len() {
        return None;
    }
    let close = if open == "[[" { "]]" } else { "]" };
    Some(format!("{open}{name}{close}{}", ending(line)))
}

fn quote_header(line: &str) -> Option<String> {
    let (open, name) = header(line)?;
    let close = if open == "[[" { "]]" } else { "]" };
    let after = line.split_once(close).map_or("", |(_, after)| after);
    let quoted = if let Some(period) = name.strip_prefix("rain.depth.").filter(|period| !period.contains('"')) {
        format!("rain.depth.\"{}\"", period.trim())
    } else {
        let parts: Vec<String> = name
            .split('.')
            .map(str::trim)
            .map(|part| if part.contains(' ') && !part.contains('"') { format!("\"{part}\"") } else { part.to_owned() })
            .collect();
        parts.join(".")
    };
    Some(format!("{open}{quoted}{close}{}", if after.is_empty() { ending(line) } else { after }))
}

fn colon(line: &str) -> Option<String> {
    let (key, value) = line.split_once(':')?;
    let name = key.trim().trim_matches('"');
    let plain = !name.is_empty() && !name.contains(['=', '"', '[', '{', '#']);
    plain.then(|| format!("{} ={}{value}", key.trim_end(), if value.starts_with(' ') { "" } else { " " }))
}

fn equals(line: &str) -> Option<String> {
    let body = line.trim_start();
    if body.starts_with(['[', '#', '{']) || code(line).contains('=') {
        return None;
    }
    let indent = line.get(..line.len() - body.len())?;
    let end = if let Some(rest) = body.strip_prefix('"') {
        rest.find('"').map(|at| at + 2)?
    } else {
        body.find(|letter: char| !(letter.is_ascii_alphanumeric() || matches!(letter, '_' | '-' | '.')))?
    };
    let (key, value) = (body.get(..end)?, body.get(end..)?.trim_start_matches([' ', '\t']));
    (!key.is_empty() && !value.trim().is_empty()).then(|| format!("{indent}{key} = {value}"))
}

fn quote_key(line: &str) -> Option<String> {
    let (key, value) = line.split_once('=')?;
    let name = key.trim();
    let plain = !name.is_empty() && !name.contains(['"', '\'', '[', '{', '#', ',']);
    if !plain || !name.contains([' ', '/']) {
        return None;
    }
    let indent = key.get(..key.len() - key.trim_start().len())?;
    // `inside diameter` is the key `inside_diameter`, `5 min` is one in quotes
    let joined = name.replace(' ', "_");
    let known = !keys::tables_with(&joined).is_empty();
    Some(if known { format!("{indent}{joined} ={value}") } else { format!("{indent}\"{name}\" ={value}") })
}

fn flag(line: &str) -> Option<String> {
    let (key, value) = line.split_once('=')?;
    let bare = code(value).trim();
    let meant = match bare.to_ascii_lowercase().as_str() {
        "yes" | "true" => "true",
        "no" | "false" | "none" => "false",
        _ => return None,
    };
    Some(format!("{key}= {meant}{}", ending(line)))
}

/// `rim = 48,20` to `rim = "48.20 ft"`: with the unit of the key's example, without one where the key takes a bare number.
/// Three digits behind the comma may be a thousand.
fn decimal_comma(line: &str) -> Option<String> {
    let (key, value) = line.split_once('=')?;
    let bare = code(value).trim();
    let (whole, part) = bare.trim_matches('"').split_once(',')?;
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    if !digits(whole.strip_prefix('-').unwrap_or(whole)) || !digits(part) || part.len() == 3 {
        return None;
    }
    let name = key.trim();
    let home = keys::tables_with(name).into_iter().next()?;
    let known = keys::at_path(home.split('.').chain([name]))?;
    let comment = value.find('#').map_or("", |at| value.get(at..).unwrap_or("")).trim_end();
    let gap = if comment.is_empty() { "" } else { " " };
    let number = format!("{whole}.{part}");
    let written = match known.kind {
        keys::Kind::Quantity(dimension) => format!("\"{number} {}\"", unit_of(known.example, dimension)),
        keys::Kind::Level => format!("\"{number} {}\"", unit_of(known.example, Dimension::Level)),
        keys::Kind::Number | keys::Kind::Ratio | keys::Kind::Money => number,
        _ => return None,
    };
    Some(format!("{key}= {written}{gap}{comment}{}", ending(line)))
}

/// Puts every value that is neither quoted nor a number in quotes.
fn quote_values(line: &str) -> Option<String> {
    if header_name(line).is_some_and(|name| !name.contains(' ')) {
        return None;
    }
    let mut written = String::with_capacity(line.len() + 8);
    let mut brackets: Vec<char> = Vec::new();
    // A line without a key stands in a list that began above.
    let mut wants_value = !starts_with_key(line);
    let mut rest = line;
    while let Some(letter) = rest.chars().next() {
        match letter {
            '"' | '\'' => {
                let end = quoted_end(rest, letter);
                written.push_str(rest.get(..end)?);
                rest = rest.get(end..)?;
                wants_value = false;
                continue;
            }
            '#' => break,
            '[' | '{' => {
                brackets.push(letter);
                wants_value = letter == '[';
            }
            ']' | '}' => {
                brackets.pop();
                wants_value = false;
            }
            '=' => wants_value = true,
            ',' => wants_value = brackets.last() != Some(&'{'),
            _ if letter.is_whitespace() => {}
            _ if wants_value => {
                let ends: &[char] = if brackets.is_empty() && starts_with_key(line) {
                    &['#', '\r', '\n']
                } else {
                    &[',', ']', '}', '#', '\r', '\n']
                };
                let end = rest.find(ends).unwrap_or(rest.len());
                let value = rest.get(..end)?;
                let bare = value.trim_end();
                if is_scalar(bare) {
                    written.push_str(value);
                } else {
                    written.push('"');
                    written.push_str(&spelled(bare));
                    written.push('"');
                    written.push_str(value.get(bare.len()..)?);
                }
                rest = rest.get(end..)?;
                wants_value = false;
                continue;
            }
            _ => {}
        }
        written.push(letter);
        rest = rest.get(letter.len_utf8()..)?;
    }
    written.push_str(rest);
    Some(written)
}

fn close_quote(line: &str) -> Option<String> {
    let body = line.trim_end();
    let odd = body.matches('"').count() % 2 == 1;
    odd.then(|| {
        let tail: String = body.chars().rev().take_while(|letter| matches!(letter, ']' | '}' | ',')).collect();
        let tail: String = tail.chars().rev().collect();
        let text = body.strip_suffix(tail.as_str()).unwrap_or(body);
        format!("{text}\"{tail}{}", ending(line))
    })
}

/// Marks of feet and inches in words, so that they can stand in quotes.
fn spelled(bare: &str) -> String {
    if bare.contains('"')
        && let Some(meant) = lengths(bare.trim_end_matches('"'))
    {
        return meant;
    }
    bare.replace('\\', "\\\\").replace('"', "\\\"")
}

/// Whether TOML takes it without quotes.
fn is_scalar(bare: &str) -> bool {
    matches!(bare, "true" | "false") || bare.replace('_', "").parse::<f64>().is_ok()
}

pub(super) fn starts_with_key(line: &str) -> bool {
    let body = line.trim_start();
    let end = body.find(['=', '[', '{', ',', '#']).unwrap_or(body.len());
    body.get(end..).is_some_and(|rest| rest.starts_with('=')) && end > 0
}

/// Where a quoted text that begins a piece of a line ends.
fn quoted_end(rest: &str, quote: char) -> usize {
    let mut escaped = false;
    for (at, letter) in rest.char_indices().skip(1) {
        if escaped {
            escaped = false;
        } else if letter == '\\' && quote == '"' {
            escaped = true;
        } else if letter == quote {
            return at + 1;
        }
    }
    rest.len()
}

/// A line without its comment and what stands in quotes.
pub(super) fn code(line: &str) -> &str {
    let mut at = 0;
    while let Some(letter) = line.get(at..).and_then(|rest| rest.chars().next()) {
        match letter {
            '#' => break,
            '"' | '\'' => at += line.get(at..).map_or(1, |rest| quoted_end(rest, letter)),
            _ => at += letter.len_utf8(),
        }
    }
    line.get(..at).unwrap_or(line)
}

/// The end of a line: a comment, the line break.
fn ending(line: &str) -> &str {
    let body = line.trim_end_matches(['\r', '\n']);
    line.get(body.len()..).unwrap_or("")
}

/// The name in a header line, dotted, without quotes' sake.
pub(super) fn header_name(line: &str) -> Option<String> {
    let body = code(line).trim();
    let inside = body
        .strip_prefix("[[")
        .and_then(|rest| rest.strip_suffix("]]"))
        .or_else(|| body.strip_prefix('[').and_then(|rest| rest.strip_suffix(']')))?;
    let inside = inside.trim();
    let good = !inside.is_empty() && !inside.contains(['[', ']', ',', '{', '=']) && !inside.starts_with('"');
    good.then(|| inside.to_owned())
}
