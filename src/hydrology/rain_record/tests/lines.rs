//! Lines of a stream: numbers, ends, and bytes that come however they like.

use crate::hydrology::rain_record::RecordError;
use crate::hydrology::rain_record::lines::Lines;
use std::cell::Cell;
use std::io::Read;

const MEBIBYTE: usize = 1 << 20;

/// Each line with its number, whether it had no end, and the bytes up to its end.
fn all(text: &[u8]) -> Vec<(String, u64, bool, u64)> {
    let mut lines = Lines::new(text).unwrap();
    let ahead: Vec<(u64, String)> =
        lines.ahead().map(|(number, line)| (number, String::from_utf8_lossy(line).into_owned())).collect();
    let mut found = Vec::new();
    while let Some(line) = lines.next_line().unwrap() {
        let (line, number, unended) = (String::from_utf8_lossy(line.text).into_owned(), line.number, line.unended);
        assert_eq!(lines.number(), number);
        found.push((line, number, unended, lines.consumed()));
    }
    // once at the end, always at the end
    assert!(lines.next_line().unwrap().is_none());
    assert_eq!(lines.consumed(), text.len() as u64);
    // what is looked at beforehand is what is read
    let read: Vec<(u64, String)> = found.iter().map(|(line, number, ..)| (*number, line.clone())).collect();
    assert_eq!(ahead, read);
    found
}

#[test]
fn identity_lines_are_counted_with_those_passed_over() {
    let line = |text: &str, number, unended, consumed| (text.to_owned(), number, unended, consumed);
    for (text, want) in [
        ("a\nb\n", vec![line("a", 1, false, 2), line("b", 2, false, 4)]),
        ("a\nb", vec![line("a", 1, false, 2), line("b", 2, true, 3)]),
        ("a\r\nb\r\n", vec![line("a", 1, false, 3), line("b", 2, false, 6)]),
        // a carriage return alone ends a line where there is no other end
        ("a\rb\r", vec![line("a", 1, false, 2), line("b", 2, false, 4)]),
        ("a\rb\nc\n", vec![line("a\rb", 1, false, 4), line("c", 2, false, 6)]),
        // a mark of UTF-8 is no part of the first line
        ("\u{feff}a\nb\n", vec![line("a", 1, false, 5), line("b", 2, false, 7)]),
        (
            "# x\n\na\n  # y\n \t\n\"b\"\n7\n",
            vec![line("a", 3, false, 7), line("\"b\"", 6, false, 20), line("7", 7, false, 22)],
        ),
        (" a\n", vec![line(" a", 1, false, 3)]),
        ("\n\n", vec![]),
        ("# a", vec![]),
        ("", vec![]),
    ] {
        assert_eq!(all(text.as_bytes()), want, "{text:?}");
    }
}

#[test]
fn identity_what_is_no_text_is_told_with_its_line() {
    for (bytes, want) in
        [(b"\xff\xfet\0".as_slice(), 1), (b"\xfe\xff\0t", 1), (b"a\nb\0\n", 2), (b"\0\n\n", 1), (b"a\n\n\n\0", 4)]
    {
        let Err(RecordError::NotText { line }) = Lines::new(bytes) else { panic!("{bytes:?}") };
        assert_eq!(line, want, "{bytes:?}");
    }
    assert!(Lines::new(b"\xff a".as_slice()).is_ok());
}

/// Gives its bytes by a few at a time, is interrupted now and then, counts, and fails at the end if told to.
struct Drip<'a> {
    bytes: &'a [u8],
    most: usize,
    given: &'a Cell<usize>,
    fails: bool,
    calls: usize,
}

impl Read for Drip<'_> {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        self.calls += 1;
        if self.calls % 5 == 2 {
            return Err(std::io::ErrorKind::Interrupted.into());
        }
        if self.bytes.is_empty() && self.fails {
            return Err(std::io::Error::other("the disk is gone"));
        }
        let most = buffer.len().min(self.most);
        let count = self.bytes.read(&mut buffer[..most])?;
        self.given.set(self.given.get() + count);
        Ok(count)
    }
}

#[test]
fn identity_a_long_stream_is_read_in_pieces() {
    // 2.5 mebibytes of lines of unlike lengths
    let mut text = String::new();
    let mut count = 0_u64;
    while text.len() < 5 * MEBIBYTE / 2 {
        count += 1;
        text += &format!("{count},{}\n", "x".repeat(count as usize % 997));
    }
    for most in [usize::MAX, 50_021] {
        let given = Cell::new(0);
        let drip = Drip { bytes: text.as_bytes(), most, given: &given, fails: false, calls: 0 };
        let mut lines = Lines::new(drip).unwrap();
        // a mebibyte first and no more; a line that goes on beyond is not looked at
        assert_eq!(given.get(), MEBIBYTE);
        assert_eq!(lines.unread().len(), MEBIBYTE);
        let whole = text[..MEBIBYTE].matches('\n').count();
        assert_eq!(lines.ahead().count(), whole);
        assert_eq!(lines.ahead().last().unwrap().1, text.lines().nth(whole - 1).unwrap().as_bytes());
        let mut want = text.lines();
        let mut most_held = 0;
        while let Some(line) = lines.next_line().unwrap() {
            assert_eq!(line.text, want.next().unwrap().as_bytes());
            assert!(!line.unended);
            let consumed = lines.consumed() as usize;
            most_held = most_held.max(given.get() - consumed);
            // then by 64 kibibytes at most: no more is held than that and a line
            assert!(consumed < MEBIBYTE || given.get() - consumed <= (1 << 16) + 2_000, "{consumed}");
        }
        assert_eq!(want.next(), None);
        assert_eq!((lines.number(), lines.consumed()), (count, text.len() as u64));
        assert!(most_held > 1 << 15);
    }
}

#[test]
fn identity_a_failure_is_told_after_the_lines_before_it() {
    for (text, lines_before, at) in [("a\nb\nc", 2, 3), ("a\n", 1, 2), ("a", 0, 1)] {
        let given = Cell::new(0);
        let drip = Drip { bytes: text.as_bytes(), most: 3, given: &given, fails: true, calls: 0 };
        let mut lines = Lines::new(drip).unwrap();
        for _ in 0..lines_before {
            assert!(lines.next_line().unwrap().is_some(), "{text}");
        }
        let Err(RecordError::Io { line, source }) = lines.next_line() else { panic!("{text}") };
        assert_eq!((line, source.to_string()), (at, "the disk is gone".to_owned()), "{text}");
    }
    let given = Cell::new(0);
    let drip = Drip { bytes: b"", most: 3, given: &given, fails: true, calls: 0 };
    let Err(RecordError::Io { line: 1, .. }) = Lines::new(drip) else { panic!("a stream that fails at once") };
}

#[test]
fn identity_a_line_longer_than_a_mebibyte_is_no_text() {
    let of = |length: usize| {
        let text = format!("a\n{}\nb\n", "x".repeat(length));
        let mut lines = Lines::new(text.as_bytes()).unwrap();
        lines.next_line().unwrap().unwrap();
        match lines.next_line() {
            Ok(line) => line.map(|line| line.text.len()).ok_or(0),
            Err(RecordError::NotText { line }) => Err(line),
            Err(other) => panic!("{other}"),
        }
    };
    assert_eq!(of(MEBIBYTE - 1), Ok(MEBIBYTE - 1));
    assert_eq!(of(MEBIBYTE), Err(2));
}
