//! Reading the embedded tables.

use std::cell::Cell;
use std::sync::OnceLock;

/// The status of a row that was read in its publication, or in a reproduction of it.
pub const FOUND: &str = "found";
/// The status of a row that is recalled and checked by arithmetic at most.
pub const FROM_MEMORY: &str = "from memory";
/// The status of a row computed from others; its source says how.
pub const DERIVED: &str = "derived";
/// The status of a row that the trade goes by and no publication is known for.
pub const COMMON_PRACTICE: &str = "common practice";

/// A value of a table, with how far it is to be trusted and where it comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Row<T> {
    /// The value.
    pub value: T,
    /// [`FOUND`], [`FROM_MEMORY`], [`DERIVED`] or [`COMMON_PRACTICE`].
    pub status: &'static str,
    /// The publication, in words.
    pub source: &'static str,
}

/// A table as text: its headings and its rows of cells.
#[derive(Debug)]
pub(super) struct Sheet {
    pub(super) columns: Vec<&'static str>,
    pub(super) rows: Vec<Vec<&'static str>>,
}

impl Sheet {
    /// Splits comma-separated text. A cell may stand in double quotes; it may not contain one.
    pub(super) fn read(text: &'static str) -> Self {
        let mut rows = lines(text).map(|line| {
            let mut cells = Vec::new();
            split(line, &mut cells);
            cells
        });
        Self { columns: rows.next().unwrap_or_default(), rows: rows.collect() }
    }
}

fn lines(text: &'static str) -> impl Iterator<Item = &'static str> {
    text.lines().filter(|line| !line.trim().is_empty())
}

/// Puts the cells of a line in place of what `cells` held.
fn split(line: &'static str, cells: &mut Vec<&'static str>) {
    cells.clear();
    let mut rest = line;
    loop {
        let (cell, after) = match rest.strip_prefix('"').and_then(|quoted| quoted.split_once('"')) {
            Some((cell, after)) => (cell, after.strip_prefix(',')),
            // cells are short: to look at each byte is quicker than to search for a character
            None => match rest.bytes().position(|letter| letter == b',').and_then(|comma| rest.split_at_checked(comma))
            {
                Some((cell, after)) => (cell, after.strip_prefix(',')),
                None => (rest, None),
            },
        };
        cells.push(cell);
        match after {
            Some(after) => rest = after,
            None => return,
        }
    }
}

/// A cell holds something else than the number it should.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Malformed;

/// One row of a [`Sheet`].
pub(super) struct Record<'sheet> {
    columns: &'sheet [&'static str],
    cells: &'sheet [&'static str],
    /// The column after the one that was asked for last: who reads a row mostly reads on.
    next: Cell<usize>,
}

impl Record<'_> {
    /// The cell under a heading, perhaps empty; nothing where the row or the heading is missing.
    pub(super) fn cell(&self, heading: &str) -> Option<&'static str> {
        let next = self.next.get();
        let at = if self.columns.get(next) == Some(&heading) {
            next
        } else {
            self.columns.iter().position(|column| *column == heading)?
        };
        self.next.set(at + 1);
        self.cells.get(at).copied()
    }

    /// The cell under a heading, where it says something.
    pub(super) fn text(&self, heading: &str) -> Option<&'static str> {
        self.cell(heading).filter(|cell| !cell.is_empty())
    }

    /// The number under a heading.
    pub(super) fn number(&self, heading: &str) -> Option<f64> {
        self.text(heading)?.parse().ok().filter(|number: &f64| number.is_finite())
    }

    /// The number under a heading that may be left empty.
    pub(super) fn optional_number(&self, heading: &str) -> Result<Option<f64>, Malformed> {
        match self.cell(heading) {
            Some("") => Ok(None),
            _ => self.number(heading).map(Some).ok_or(Malformed),
        }
    }

    /// The status of the row.
    pub(super) fn status(&self) -> Option<&'static str> {
        self.text("status")
    }

    /// The source of the row, in words.
    pub(super) fn source(&self) -> Option<&'static str> {
        self.text("source").map(source)
    }

    /// A value with the row's status and source.
    pub(super) fn row<T>(&self, value: T) -> Option<Row<T>> {
        Some(Row { value, status: self.status()?, source: self.source()? })
    }
}

/// Reads every row of a table. A row that does not fit is left out, which the tests of each table rule out.
pub(super) fn load<T>(text: &'static str, entry: impl Fn(&Record<'_>) -> Option<T>) -> Vec<T> {
    load_of(text, "", entry)
}

/// Reads the rows of a table whose line begins so.
pub(super) fn load_of<T>(text: &'static str, begins: &str, entry: impl Fn(&Record<'_>) -> Option<T>) -> Vec<T> {
    let mut lines = lines(text);
    let (mut columns, mut cells) = (Vec::new(), Vec::new());
    split(lines.next().unwrap_or_default(), &mut columns);
    lines
        .filter(|line| line.starts_with(begins))
        .filter_map(|line| {
            split(line, &mut cells);
            entry(&Record { columns: &columns, cells: &cells, next: Cell::new(0) })
        })
        .collect()
}

/// The text of a source by its key; a text that is no key stands for itself.
pub(super) fn source(key: &'static str) -> &'static str {
    static SOURCES: OnceLock<Vec<(&'static str, &'static str)>> = OnceLock::new();
    SOURCES
        .get_or_init(|| {
            load(include_str!("data/sources.csv"), |record| Some((record.text("key")?, record.text("source")?)))
        })
        .iter()
        .find(|(known, _)| *known == key)
        .map_or(key, |(_, text)| text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_are_split_at_commas_outside_quotes() {
        for (line, wanted) in [
            ("a,\"b, c\",,d", &["a", "b, c", "", "d"][..]),
            ("a,", &["a", ""]),
            ("", &[""]),
            ("\"open,b", &["\"open", "b"]),
        ] {
            let mut cells = vec!["of the line before"];
            split(line, &mut cells);
            assert_eq!(cells, wanted);
        }
    }

    #[test]
    fn a_row_that_does_not_fit_is_left_out() {
        let numbers = load("n,status,source\n1,found,x\nmuch,found,x\n\n2", |record| {
            record.number("n").and_then(|n| record.row(n))
        });
        assert_eq!(numbers, [Row { value: 1.0, status: FOUND, source: "x" }]);
        assert!(load("", |record| record.number("n")).is_empty());
    }

    #[test]
    fn an_empty_number_is_not_a_wrong_one() {
        let read = load("n\n\"\"\nmuch\nNaN\n7", |record| Some(record.optional_number("n")));
        assert_eq!(read, [Ok(None), Err(Malformed), Err(Malformed), Ok(Some(7.0))]);
    }
}
