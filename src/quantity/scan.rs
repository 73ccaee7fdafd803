//! Cutting a text into numbers, each with the unit text after it.

use super::number::vulgar;
use super::read_error::ReadError;
use super::units::Asked;
use std::ops::Range;

/// A number and where it stands.
#[derive(Clone, Debug)]
pub(super) struct Number {
    pub(super) value: f64,
    /// As written, in plain characters.
    pub(super) text: String,
    pub(super) at: Range<usize>,
}

/// A number with the text that follows it, up to the next number.
#[derive(Clone, Debug)]
pub(super) struct Part {
    pub(super) number: Number,
    pub(super) unit: String,
    pub(super) unit_at: Range<usize>,
}

/// A text as a sign and parts.
#[derive(Clone, Debug)]
pub(super) struct Scanned {
    pub(super) sign: f64,
    pub(super) parts: Vec<Part>,
    /// As written, in plain characters.
    pub(super) text: String,
    pub(super) at: Range<usize>,
}

/// More parts than any quantity has are not worth keeping apart.
const MOST_PARTS: usize = 4;
/// The longest piece of a text that a message repeats.
const LONGEST_ECHO: usize = 40;

/// Cuts a text. There is at least one part when it succeeds.
pub(super) fn scan(text: &str, asked: &Asked) -> Result<Scanned, ReadError> {
    let mut cursor = Cursor {
        letters: {
            let mut letters = Vec::with_capacity(text.len());
            letters.extend(text.char_indices().map(|(at, letter)| (at, plain(letter))));
            letters
        },
        next: 0,
        end: text.len(),
    };
    cursor.skip_spaces();
    let start = cursor.next;
    let stop = cursor.letters.iter().rposition(|(_, letter)| *letter != ' ').map_or(start, |last| last + 1);
    if start >= stop {
        return Err(ReadError::Empty { wanted: asked.described, example: asked.example, at: 0..text.len() });
    }
    let at = cursor.bytes(start..stop);
    cursor.letters.truncate(stop);
    cursor.end = at.end;

    let sign = match cursor.peek(0) {
        Some('-') => -1.0,
        _ => 1.0,
    };
    if matches!(cursor.peek(0), Some('-' | '+')) {
        cursor.next += 1;
        cursor.skip_spaces();
    }
    let words = cursor.next;
    while cursor.next < stop && !cursor.at_number() {
        cursor.next += 1;
    }
    if cursor.next > words {
        return Err(cursor.no_leading_number(words, start, asked));
    }
    let mut parts = Vec::new();
    while cursor.next < stop && parts.len() < MOST_PARTS {
        let number = cursor.number(asked)?;
        let from = cursor.next;
        while cursor.next < stop && !cursor.at_number() {
            cursor.next += 1;
        }
        let unit = cursor.trimmed_unit(from..cursor.next, cursor.next < stop);
        parts.push(Part { number, unit: cursor.text(unit.clone()), unit_at: cursor.bytes(unit) });
    }
    if parts.is_empty() {
        return Err(ReadError::NoNumber { text: cursor.text(start..stop), example: asked.example, at });
    }
    Ok(Scanned { sign, parts, text: cursor.text(start..stop), at })
}

/// A part of a text to repeat in a message: not too long, without control characters.
pub(super) fn echo(text: &str) -> String {
    let mut short: String =
        text.trim().chars().take(LONGEST_ECHO).map(|letter| if letter.is_control() { ' ' } else { letter }).collect();
    if text.trim().chars().count() > LONGEST_ECHO {
        short.push_str("...");
    }
    short
}

/// The plain form of the dashes, primes, quotes and spaces that people's keyboards and programs put in.
const fn plain(letter: char) -> char {
    match letter {
        '\u{2010}'..='\u{2014}' | '\u{2212}' => '-',
        '\u{2032}' | '\u{2018}' | '\u{2019}' | '\u{b4}' | '`' => '\'',
        '\u{2033}' | '\u{201c}' | '\u{201d}' => '"',
        '\u{2044}' | '\u{2215}' => '/',
        '\u{200b}' | '\u{feff}' => ' ',
        _ if letter.is_whitespace() => ' ',
        _ => letter,
    }
}

/// A place in a text.
pub(super) struct Cursor {
    letters: Vec<(usize, char)>,
    pub(super) next: usize,
    end: usize,
}

impl Cursor {
    pub(super) fn letter(&self, index: usize) -> Option<char> {
        self.letters.get(index).map(|(_, letter)| *letter)
    }
    pub(super) fn peek(&self, ahead: usize) -> Option<char> {
        self.letter(self.next + ahead)
    }
    pub(super) fn digit(&self, index: usize) -> bool {
        self.letter(index).is_some_and(|letter| letter.is_ascii_digit())
    }
    fn byte(&self, index: usize) -> usize {
        self.letters.get(index).map_or(self.end, |(at, _)| *at)
    }
    pub(super) fn bytes(&self, range: Range<usize>) -> Range<usize> {
        self.byte(range.start)..self.byte(range.end)
    }
    pub(super) fn letters(&self, range: Range<usize>) -> String {
        self.letters.get(range).unwrap_or_default().iter().map(|(_, letter)| letter).collect()
    }
    /// A piece of the text to repeat in a message, as [`echo`] makes it.
    pub(super) fn text(&self, range: Range<usize>) -> String {
        let piece = self.letters.get(range).unwrap_or_default();
        if piece.len() > LONGEST_ECHO || piece.iter().any(|(_, letter)| letter.is_control()) {
            return echo(&piece.iter().map(|(_, letter)| letter).collect::<String>());
        }
        // the only space that is left here is the plain one
        let mut text = String::with_capacity(piece.len());
        text.extend(piece.iter().map(|(_, letter)| letter).skip_while(|letter| **letter == ' '));
        text.truncate(text.trim_end_matches(' ').len());
        text
    }
    /// From here to the end.
    pub(super) fn rest(&self) -> Range<usize> {
        self.next..self.letters.len()
    }
    fn skip_spaces(&mut self) {
        while self.peek(0) == Some(' ') {
            self.next += 1;
        }
    }
    pub(super) fn skip_digits(&mut self) {
        while self.digit(self.next) {
            self.next += 1;
        }
    }

    /// Whether a number starts here. The `2` of `ft2` and of `H2O` starts none.
    fn at_number(&self) -> bool {
        let here = self.next;
        let Some(letter) = self.letter(here) else { return false };
        if vulgar(letter).is_some() {
            return true;
        }
        let before = here.checked_sub(1).and_then(|index| self.letter(index));
        let after_letter = before.is_some_and(|before| before.is_alphabetic() || before == '^');
        if letter == '.' {
            return self.digit(here + 1) && !after_letter;
        }
        if !letter.is_ascii_digit() {
            return false;
        }
        let after = self.letter(here + 1);
        let more = match after {
            Some('.' | '-') => self.digit(here + 2),
            Some(after) => after.is_alphanumeric(),
            None => false,
        };
        let exponent = after_letter && matches!(letter, '2' | '3') && !more;
        let water = letter == '2' && matches!(before, Some('h' | 'H')) && matches!(after, Some('o' | 'O'));
        !exponent && !water
    }

    fn no_leading_number(&self, words: usize, start: usize, asked: &Asked) -> ReadError {
        let stop = self.letters.len();
        let words_and_rest = self.letters(words..stop);
        let first = words_and_rest.split(' ').next().unwrap_or_default();
        if matches!(first.to_lowercase().as_str(), "inf" | "infinity" | "infinite" | "nan" | "∞" | "-inf" | "+inf") {
            let number = echo(first);
            return ReadError::NotFinite {
                number,
                example: asked.example,
                at: self.bytes(words..words + first.chars().count()),
            };
        }
        if self.next >= stop {
            return ReadError::NoNumber {
                text: self.text(start..stop),
                example: asked.example,
                at: self.bytes(start..stop),
            };
        }
        // `,5`, `--3`: not words
        if !(start..self.next).any(|index| self.letter(index).is_some_and(|letter| !"-+,. ".contains(letter))) {
            let mut end = self.next;
            while self.digit(end) {
                end += 1;
            }
            return ReadError::BadNumber { number: self.text(start..end), at: self.bytes(start..end) };
        }
        // the sign stays with its number: `about -3 ft`
        let number = if self.letter(self.next - 1) == Some('-') { self.next - 1 } else { self.next };
        let at = self.bytes(start..number);
        ReadError::WordsBefore { before: self.text(start..number), rest: self.text(number..stop), at }
    }

    /// What is left of the text between two numbers without the hyphens, commas and words that only join.
    fn trimmed_unit(&self, range: Range<usize>, more: bool) -> Range<usize> {
        let Range { mut start, mut end } = range;
        let hyphen = self.letter(start) == Some('-') && self.letter(start + 1).is_some_and(char::is_alphabetic);
        if hyphen {
            start += 1;
        }
        if more {
            // `12'-6"` and `12' - 6"`, but not `12' -6"`
            let dash = (start..end).rev().find(|index| self.letter(*index) != Some(' '));
            if let Some(dash) = dash.filter(|index| *index > start && self.letter(*index) == Some('-')) {
                let spaced_before = self.letter(dash - 1) == Some(' ');
                let spaced_after = dash + 1 < end;
                if spaced_after || !spaced_before {
                    end = dash;
                }
            }
        }
        let trim = |start: usize, mut end: usize| {
            while end > start && self.letter(end - 1) == Some(' ') {
                end -= 1;
            }
            end
        };
        while start < end && self.letter(start) == Some(' ') {
            start += 1;
        }
        end = trim(start, end);
        if more && end > start + 1 && self.letter(end - 1) == Some(',') {
            end = trim(start, end - 1);
        }
        start..end
    }
}
