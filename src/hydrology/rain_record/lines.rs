//! Lines of a stream, counted, out of a buffer whose size does not depend on the stream.
//!
//! A line is a row: a stray quote mark must not swallow the rows after it, and each complaint needs its line number.

use super::error::RecordError;
use std::io::{ErrorKind, Read};

/// Bytes looked at before the first row is given out, and the longest line.
const HEAD: usize = 1 << 20;
/// Bytes read at once after that.
const CHUNK: usize = 1 << 16;

/// A line without its end.
#[derive(Clone, Copy, Debug)]
pub(super) struct Line<'a> {
    pub(super) text: &'a [u8],
    /// From 1.
    pub(super) number: u64,
    /// Whether it is the stream's last and had no end.
    pub(super) unended: bool,
}

pub(super) struct Lines<R> {
    reader: R,
    buffer: Vec<u8>,
    /// Where the unread bytes begin.
    start: usize,
    /// Where they end.
    end: usize,
    number: u64,
    consumed: u64,
    /// Old files end their lines with a carriage return alone.
    terminator: u8,
    failure: Option<std::io::Error>,
    at_end: bool,
    /// Whether the line given last had no end.
    unended: bool,
}

impl<R: Read> Lines<R> {
    /// Reads the head of the stream and nothing more.
    pub(super) fn new(reader: R) -> Result<Self, RecordError> {
        let mut lines = Self {
            reader,
            buffer: vec![0; HEAD],
            start: 0,
            end: 0,
            number: 0,
            consumed: 0,
            terminator: b'\n',
            failure: None,
            at_end: false,
            unended: false,
        };
        while lines.end < HEAD && !lines.at_end {
            lines.fill(HEAD);
        }
        if lines.end == 0
            && let Some(source) = lines.failure.take()
        {
            return Err(RecordError::Io { line: 1, source });
        }
        let mut terminator = b'\n';
        let head = lines.unread();
        if head.starts_with(&[0xff, 0xfe]) || head.starts_with(&[0xfe, 0xff]) || head.contains(&0) {
            let line = 1 + head.iter().take_while(|byte| **byte != 0).filter(|byte| **byte == b'\n').count();
            return Err(RecordError::NotText { line: line as u64 });
        }
        if head.contains(&b'\r') && !head.contains(&b'\n') {
            terminator = b'\r';
        }
        let marked = head.starts_with(b"\xef\xbb\xbf");
        lines.terminator = terminator;
        if marked {
            lines.start = 3;
            lines.consumed = 3;
        }
        Ok(lines)
    }

    /// Reads once, up to a number of bytes. A failure is kept for when the lines before it are used up.
    fn fill(&mut self, most: usize) {
        let room = self.buffer.get_mut(self.end..self.end.saturating_add(most).min(HEAD)).unwrap_or_default();
        match self.reader.read(room) {
            Ok(0) => self.at_end = true,
            Ok(count) => self.end = self.end.saturating_add(count).min(HEAD),
            Err(error) if error.kind() == ErrorKind::Interrupted => {}
            Err(error) => {
                self.failure = Some(error);
                self.at_end = true;
            }
        }
    }

    /// The bytes in the buffer that no line was given of.
    pub(super) fn unread(&self) -> &[u8] {
        self.buffer.get(self.start..self.end).unwrap_or_default()
    }

    /// Where the next line lies in the buffer, once it is known to be there.
    fn find(&mut self) -> Result<Option<(usize, usize)>, RecordError> {
        let mut looked = 0;
        loop {
            let unread = self.buffer.get(self.start + looked..self.end).unwrap_or_default();
            if let Some(length) = unread.iter().position(|byte| *byte == self.terminator) {
                let length = looked + length;
                let start = self.start;
                self.start += length + 1;
                self.consumed += length as u64 + 1;
                return Ok(Some((start, start + length)));
            }
            looked = self.end - self.start;
            if self.at_end {
                if let Some(source) = self.failure.take() {
                    return Err(RecordError::Io { line: self.number + 1, source });
                }
                let start = self.start;
                self.start = self.end;
                self.consumed += looked as u64;
                self.unended = looked > 0;
                return Ok((looked > 0).then_some((start, self.end)));
            }
            if looked == HEAD {
                return Err(RecordError::NotText { line: self.number + 1 });
            }
            if self.start > 0 {
                self.buffer.copy_within(self.start..self.end, 0);
                self.end = looked;
                self.start = 0;
            }
            self.fill(CHUNK);
        }
    }

    /// The next line without its end. Blank lines and lines that begin with `#` are counted and passed over.
    #[inline]
    pub(super) fn next_line(&mut self) -> Result<Option<Line<'_>>, RecordError> {
        let (start, end) = loop {
            let Some((start, end)) = self.find()? else { return Ok(None) };
            self.number += 1;
            let line = self.buffer.get(start..end).unwrap_or_default();
            if !passed_over(line) {
                break (start, end);
            }
        };
        let text = without_return(self.buffer.get(start..end).unwrap_or_default());
        Ok(Some(Line { text, number: self.number, unended: self.unended }))
    }

    /// The lines in the buffer that no line was given of, with their numbers, passed-over ones left out. A last one
    /// that goes on beyond the buffer is left out too.
    pub(super) fn ahead(&self) -> impl Iterator<Item = (u64, &[u8])> {
        let whole = self.at_end;
        let terminator = self.terminator;
        let unread = self.unread();
        let known = if whole { unread.len() } else { unread.iter().rposition(|byte| *byte == terminator).unwrap_or(0) };
        (self.number + 1..)
            .zip(unread.get(..known).unwrap_or_default().split(move |byte| *byte == terminator))
            .filter(|(_, line)| !passed_over(line))
            .map(|(number, line)| (number, without_return(line)))
    }

    /// Number of the line given last, from 1.
    pub(super) fn number(&self) -> u64 {
        self.number
    }
    /// Bytes of the lines given so far.
    pub(super) fn consumed(&self) -> u64 {
        self.consumed
    }
}

#[inline]
fn passed_over(line: &[u8]) -> bool {
    match line.first() {
        Some(b'0'..=b'9' | b'"') => false,
        Some(b'#') | None => true,
        Some(_) => line.trim_ascii_start().first().is_none_or(|first| *first == b'#'),
    }
}

#[inline]
fn without_return(line: &[u8]) -> &[u8] {
    line.strip_suffix(b"\r").unwrap_or(line)
}
