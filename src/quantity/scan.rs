//! Cutting a text into numbers, each with the unit text after it.

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
    pub(super) at: Range<usize>,
}

/// More parts than any quantity has are not worth keeping apart.
const MOST_PARTS: usize = 4;
/// The longest piece of a text that a message repeats.
const LONGEST_ECHO: usize = 40;

/// Cuts a text. There is at least one part when it succeeds.
pub(super) fn scan(text: &str, asked: &Asked) -> Result<Scanned, ReadError> {
    let mut cursor = Cursor {
        letters: text.char_indices().map(|(at, letter)| (at, plain(letter))).collect(),
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
    Ok(Scanned { sign, parts, at })
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

const fn vulgar(letter: char) -> Option<f64> {
    Some(match letter {
        '½' => 0.5,
        '¼' => 0.25,
        '¾' => 0.75,
        '⅛' => 0.125,
        '⅜' => 0.375,
        '⅝' => 0.625,
        '⅞' => 0.875,
        _ => return None,
    })
}

struct Cursor {
    letters: Vec<(usize, char)>,
    next: usize,
    end: usize,
}

impl Cursor {
    fn letter(&self, index: usize) -> Option<char> {
        self.letters.get(index).map(|(_, letter)| *letter)
    }
    fn peek(&self, ahead: usize) -> Option<char> {
        self.letter(self.next + ahead)
    }
    fn digit(&self, index: usize) -> bool {
        self.letter(index).is_some_and(|letter| letter.is_ascii_digit())
    }
    fn byte(&self, index: usize) -> usize {
        self.letters.get(index).map_or(self.end, |(at, _)| *at)
    }
    fn bytes(&self, range: Range<usize>) -> Range<usize> {
        self.byte(range.start)..self.byte(range.end)
    }
    fn text(&self, range: Range<usize>) -> String {
        let letters: String = self.letters.get(range).unwrap_or_default().iter().map(|(_, letter)| letter).collect();
        echo(&letters)
    }
    fn skip_spaces(&mut self) {
        while self.peek(0) == Some(' ') {
            self.next += 1;
        }
    }
    fn skip_digits(&mut self) {
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
        let first: String = self
            .letters
            .get(words..)
            .unwrap_or_default()
            .iter()
            .map(|(_, letter)| letter)
            .take_while(|letter| **letter != ' ')
            .collect();
        if matches!(first.to_lowercase().as_str(), "inf" | "infinity" | "infinite" | "nan" | "∞" | "-inf" | "+inf") {
            let number = echo(&first);
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
        let before = self.text(start..self.next);
        ReadError::WordsBefore { before, rest: self.text(self.next..stop), at: self.bytes(start..self.next) }
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

    /// A number: `12`, `1,250.5`, `1e3`, `3/4`, `1-1/2`, `1 1/2`, `1½`.
    fn number(&mut self, asked: &Asked) -> Result<Number, ReadError> {
        let start = self.next;
        let value = match self.peek(0).and_then(vulgar) {
            Some(part) => {
                self.next += 1;
                part
            }
            None => self.digits_and_fraction(asked)?,
        };
        let at = self.bytes(start..self.next);
        let text = self.text(start..self.next);
        if !value.is_finite() {
            return Err(ReadError::NotFinite { number: text, example: asked.example, at });
        }
        // a dash and another number: a range, which no quantity is
        let mut ahead = self.next;
        while self.letter(ahead) == Some(' ') {
            ahead += 1;
        }
        if self.letter(ahead) == Some('-') {
            ahead += 1;
            while self.letter(ahead) == Some(' ') {
                ahead += 1;
            }
            if self.digit(ahead) || self.letter(ahead).and_then(vulgar).is_some() {
                while self.digit(ahead) {
                    ahead += 1;
                }
                return Err(ReadError::TwoNumbers {
                    text: self.text(start..ahead),
                    instead: None,
                    example: asked.example,
                    at: self.bytes(start..ahead),
                });
            }
        }
        Ok(Number { value, text, at })
    }

    fn digits_and_fraction(&mut self, asked: &Asked) -> Result<f64, ReadError> {
        let start = self.next;
        self.skip_digits();
        let whole_end = self.next;
        if self.peek(0) == Some('/') && self.digit(self.next + 1) && whole_end > start {
            return self.fraction(start, start);
        }
        let more = matches!(self.peek(0), Some('.'))
            || matches!(self.peek(0), Some(',')) && self.digit(self.next + 1)
            || matches!(self.peek(0), Some('e' | 'E'));
        if whole_end > start && !more {
            let whole = self.value(start..whole_end);
            if let Some(part) = self.mixed_fraction(start)? {
                return Ok(whole + part);
            }
            return Ok(whole);
        }
        self.decimal(start, asked)
    }

    fn value(&self, range: Range<usize>) -> f64 {
        let digits: String = self.letters.get(range).unwrap_or_default().iter().map(|(_, letter)| letter).collect();
        digits.parse().unwrap_or(f64::NAN)
    }

    /// The fraction of a mixed number, if one follows the whole number that starts at `start`.
    fn mixed_fraction(&mut self, start: usize) -> Result<Option<f64>, ReadError> {
        let mut ahead = self.next;
        if self.letter(ahead) == Some('-') {
            ahead += 1;
        } else {
            while self.letter(ahead) == Some(' ') {
                ahead += 1;
            }
        }
        if let Some(part) = self.letter(ahead).and_then(vulgar) {
            self.next = ahead + 1;
            return Ok(Some(part));
        }
        let mut slash = ahead;
        while self.digit(slash) {
            slash += 1;
        }
        if ahead == self.next || slash == ahead || self.letter(slash) != Some('/') || !self.digit(slash + 1) {
            return Ok(None);
        }
        self.next = slash;
        let part = self.fraction(start, ahead)?;
        if part < 1.0 {
            return Ok(Some(part));
        }
        Err(ReadError::MixedNumber { number: self.text(start..self.next), at: self.bytes(start..self.next) })
    }

    /// `over/under` with the cursor on the slash; `start` is where the whole number begins.
    fn fraction(&mut self, start: usize, over: usize) -> Result<f64, ReadError> {
        let slash = self.next;
        self.next += 1;
        self.skip_digits();
        let under = self.value(slash + 1..self.next);
        if under == 0.0 {
            return Err(ReadError::ZeroDenominator {
                number: self.text(start..self.next),
                at: self.bytes(start..self.next),
            });
        }
        Ok(self.value(over..slash) / under)
    }

    /// Digits with points, commas and an exponent.
    fn decimal(&mut self, start: usize, asked: &Asked) -> Result<f64, ReadError> {
        while self.digit(self.next)
            || self.peek(0) == Some('.')
            || self.peek(0) == Some(',') && self.digit(self.next + 1)
        {
            self.next += 1;
        }
        let mantissa: String =
            self.letters.get(start..self.next).unwrap_or_default().iter().map(|(_, letter)| letter).collect();
        if matches!(self.peek(0), Some('e' | 'E')) {
            let signed = usize::from(matches!(self.peek(1), Some('-' | '+')));
            if self.digit(self.next + 1 + signed) {
                self.next += 1 + signed;
                self.skip_digits();
            }
        }
        let at = self.bytes(start..self.next);
        let number = self.text(start..self.next);
        if self.peek(0).and_then(vulgar).is_some() {
            return Err(ReadError::BadNumber {
                number: self.text(start..self.next + 1),
                at: self.bytes(start..self.next + 1),
            });
        }
        let digits: String =
            self.letters.get(start..self.next).unwrap_or_default().iter().map(|(_, letter)| letter).collect();
        if mantissa.contains(',') && !grouped_in_threes(&mantissa) {
            let Some(instead) = without_comma(&mantissa) else { return Err(ReadError::BadNumber { number, at }) };
            let rest = self.text(self.next..self.letters.len());
            return Err(ReadError::Comma { number, instead: echo(&format!("{instead} {rest}")), at });
        }
        let value = digits
            .replace(',', "")
            .parse::<f64>()
            .map_err(|_| ReadError::BadNumber { number: number.clone(), at: at.clone() })?;
        if value.is_finite() { Ok(value) } else { Err(ReadError::NotFinite { number, example: asked.example, at }) }
    }
}

/// `1,250` or `1,250,000.5`: one to three digits, not starting with 0, then groups of exactly three.
fn grouped_in_threes(mantissa: &str) -> bool {
    let whole = mantissa.split_once('.').map_or(mantissa, |(whole, _)| whole);
    let mut groups = whole.split(',');
    let first = groups.next().unwrap_or_default();
    (1..=3).contains(&first.len())
        && !first.starts_with('0')
        && groups.all(|group| group.len() == 3)
        && !mantissa.split_once('.').is_some_and(|(_, decimals)| decimals.contains(','))
}

/// What was meant by `1,5` or `1.000,5`, where the comma is the decimal point.
fn without_comma(mantissa: &str) -> Option<String> {
    let (whole, decimals) = mantissa.split_once(',')?;
    let whole: String = whole.chars().filter(char::is_ascii_digit).collect();
    (!whole.is_empty() && !decimals.contains(['.', ','])).then(|| format!("{whole}.{decimals}"))
}
