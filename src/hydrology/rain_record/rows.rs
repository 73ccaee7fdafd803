//! The wanted cells of a line.

use super::cell::cell_at;
use super::columns::Columns;
use super::stamp::Layout;

/// Year, month, day, hour, minute, second.
const MOST_TIME_CELLS: usize = 6;

/// The cells wanted of a line. What the line does not reach is empty.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Row<'a> {
    time: [&'a [u8]; MOST_TIME_CELLS],
    time_cells: usize,
    pub(super) rain: &'a [u8],
    pub(super) station: &'a [u8],
    /// Whether the line reaches all of them.
    pub(super) whole: bool,
    /// Whether it goes on beyond the last column of the first line.
    pub(super) too_long: bool,
}

impl<'a> Row<'a> {
    #[inline]
    pub(super) fn time(&self) -> &[&'a [u8]] {
        self.time.get(..self.time_cells).unwrap_or_default()
    }
}

/// Picks the cells of the columns out of a line.
pub(super) struct Picker {
    delimiter: u8,
    time: Vec<usize>,
    rain: usize,
    station: Option<usize>,
    last: usize,
    /// Cells of the first line.
    width: usize,
    /// One column of time, rain, and no station.
    plain: Option<usize>,
}

impl Picker {
    pub(super) fn new(columns: &Columns, delimiter: u8) -> Self {
        let station = columns.station.as_ref().map(|(column, _)| *column);
        let wanted = columns.time.iter().copied().chain(station);
        let plain = match columns.time.as_slice() {
            [one] if columns.layout == Layout::Stamp && station.is_none() && *one != columns.rain => Some(*one),
            _ => None,
        };
        Self {
            delimiter,
            time: columns.time.iter().copied().take(MOST_TIME_CELLS).collect(),
            rain: columns.rain,
            station,
            last: wanted.fold(columns.rain, usize::max),
            width: columns.names.len(),
            plain,
        }
    }

    #[inline]
    pub(super) fn pick<'a>(&self, line: &'a [u8]) -> Row<'a> {
        let mut row = Row { time_cells: self.time.len(), ..Row::default() };
        let mut at = Some(0);
        let mut column = 0;
        while let Some((cell, next)) = at.and_then(|at| cell_at(line, at, self.delimiter)) {
            if let Some(time) = self.plain {
                if column == time {
                    row.time = [cell, b"", b"", b"", b"", b""];
                } else if column == self.rain {
                    row.rain = cell;
                }
            } else {
                self.put(&mut row, column, cell);
            }
            if column == self.last {
                row.whole = true;
                // a decimal comma would cut a figure in two
                row.too_long = next.is_some_and(|next| self.delimiter == b',' && self.is_too_long(line, next));
                break;
            }
            column += 1;
            at = next;
        }
        row
    }

    /// Whether a line has anything beyond the width of the first one, given where the cell behind the last wanted one
    /// begins.
    fn is_too_long(&self, line: &[u8], next: usize) -> bool {
        let mut at = Some(next);
        let mut column = self.last + 1;
        while let Some((cell, next)) = at.and_then(|at| cell_at(line, at, self.delimiter)) {
            if column >= self.width && !cell.is_empty() {
                return true;
            }
            column += 1;
            at = next;
        }
        false
    }

    fn put<'a>(&self, row: &mut Row<'a>, column: usize, cell: &'a [u8]) {
        for (slot, wanted) in row.time.iter_mut().zip(&self.time) {
            if *wanted == column {
                *slot = cell;
            }
        }
        if self.rain == column {
            row.rain = cell;
        }
        if self.station == Some(column) {
            row.station = cell;
        }
    }
}
