//! The grammar of numbers: decimals, thousands, fractions, mixed numbers.

use super::read_error::ReadError;
use super::scan::{Cursor, Number, echo};
use super::units::Asked;
use std::ops::Range;

/// The value of a fraction that is one character.
pub(super) const fn vulgar(letter: char) -> Option<f64> {
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

impl Cursor {
    /// A number: `12`, `1,250.5`, `1e3`, `3/4`, `1-1/2`, `1 1/2`, `1½`.
    pub(super) fn number(&mut self, asked: &Asked) -> Result<Number, ReadError> {
        let start = self.next;
        let value = match self.peek(0).and_then(vulgar) {
            Some(part) => {
                self.next += 1;
                part
            }
            None => self.digits_and_fraction()?,
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

    fn digits_and_fraction(&mut self) -> Result<f64, ReadError> {
        let start = self.next;
        self.skip_digits();
        let whole_end = self.next;
        // a number begins with a digit or a point
        if self.peek(0) == Some('/') && self.digit(self.next + 1) {
            return self.fraction(start, start);
        }
        if !matches!(self.peek(0), Some('.' | ',' | 'e' | 'E')) {
            let whole = self.value(start..whole_end);
            if let Some(part) = self.mixed_fraction(start)? {
                return Ok(whole + part);
            }
            return Ok(whole);
        }
        self.decimal(start)
    }

    fn value(&self, range: Range<usize>) -> f64 {
        let digits = self.letters(range);
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
    fn decimal(&mut self, start: usize) -> Result<f64, ReadError> {
        while self.digit(self.next)
            || self.peek(0) == Some('.')
            || self.peek(0) == Some(',') && self.digit(self.next + 1)
        {
            self.next += 1;
        }
        let mantissa = self.letters(start..self.next);
        if matches!(self.peek(0), Some('e' | 'E')) {
            let signed = usize::from(matches!(self.peek(1), Some('-' | '+')));
            if self.digit(self.next + 1 + signed) {
                self.next += 1 + signed;
                self.skip_digits();
            }
        }
        let at = self.bytes(start..self.next);
        if self.peek(0).and_then(vulgar).is_some() {
            return Err(ReadError::BadNumber {
                number: self.text(start..self.next + 1),
                at: self.bytes(start..self.next + 1),
            });
        }
        let number = || self.text(start..self.next);
        if mantissa.contains(',') && !grouped_in_threes(&mantissa) {
            let Some(instead) = without_comma(&mantissa) else {
                return Err(ReadError::BadNumber { number: number(), at });
            };
            let rest = self.text(self.rest());
            return Err(ReadError::Comma { number: number(), instead: echo(&format!("{instead} {rest}")), at });
        }
        let mut digits = self.letters(start..self.next);
        digits.retain(|letter| letter != ',');
        digits.parse().map_err(|_| ReadError::BadNumber { number: number(), at })
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
