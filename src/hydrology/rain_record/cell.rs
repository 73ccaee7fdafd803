//! Cells of a line, and the rain in one.

/// The cell that begins at `at`, without quotes and spaces around it, and where the next one begins.
#[inline]
pub(super) fn cell_at(line: &[u8], at: usize, delimiter: u8) -> Option<(&[u8], Option<usize>)> {
    let rest = line.get(at..)?;
    if rest.trim_ascii_start().first() == Some(&b'"') {
        return Some(quoted_cell(rest, at, delimiter));
    }
    match rest.iter().position(|byte| *byte == delimiter) {
        Some(length) => Some((rest.get(..length)?.trim_ascii(), Some(at + length + 1))),
        None => Some((rest.trim_ascii(), None)),
    }
}

/// A quote without its second one reaches to the end of the line and no further.
fn quoted_cell(rest: &[u8], at: usize, delimiter: u8) -> (&[u8], Option<usize>) {
    let open = rest.iter().position(|byte| *byte == b'"').map_or(0, |quote| quote + 1);
    let inside = rest.get(open..).unwrap_or_default();
    let close = inside.iter().position(|byte| *byte == b'"').unwrap_or(inside.len());
    let behind = inside.get(close..).unwrap_or_default();
    let next = behind.iter().position(|byte| *byte == delimiter).map(|skip| at + open + close + skip + 1);
    (inside.get(..close).unwrap_or_default().trim_ascii(), next)
}

/// All cells of a line.
pub(super) fn cells(line: &[u8], delimiter: u8) -> Vec<&[u8]> {
    let mut found = Vec::new();
    let mut at = Some(0);
    while let Some((cell, next)) = at.and_then(|at| cell_at(line, at, delimiter)) {
        found.push(cell);
        at = next;
    }
    found
}

/// A cell as it may be shown in a message.
pub(super) fn shown(cell: &[u8]) -> String {
    let text = String::from_utf8_lossy(cell);
    let mut short: String =
        text.chars().map(|letter| if letter.is_control() { ' ' } else { letter }).take(60).collect();
    if text.chars().nth(60).is_some() {
        short.push('…');
    }
    short
}

/// What a cell says of rain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum RainCell {
    Number(f64),
    /// Some rain, too little to measure.
    Trace,
    Missing,
    Unreadable,
}

/// Figures at and below this stand for a missing value in every usage known: −99, −999, −9999 (common practice, no
/// source). No gauge loses that much.
const STANDS_FOR_MISSING: f64 = -99.0;

/// Reads cells of rain. The first figure with a decimal sign settles which sign it is.
#[derive(Clone, Copy, Debug)]
pub(super) struct RainReader {
    comma_allowed: bool,
    sign: Option<u8>,
}

impl RainReader {
    pub(super) fn new(delimiter: u8) -> Self {
        Self { comma_allowed: delimiter != b',', sign: None }
    }

    #[inline]
    pub(super) fn read(&mut self, cell: &[u8]) -> RainCell {
        match cell {
            b"0" | b"0.0" | b"0.00" | b"0.000" => RainCell::Number(0.0),
            _ => self.read_other(cell),
        }
    }

    fn read_other(&mut self, cell: &[u8]) -> RainCell {
        if cell.is_empty() {
            return RainCell::Missing;
        }
        match self.number(cell) {
            Some(number) if number <= STANDS_FOR_MISSING => return RainCell::Missing,
            Some(number) => return RainCell::Number(number),
            None => {}
        }
        let word = |names: &[&str]| names.iter().any(|name| cell.eq_ignore_ascii_case(name.as_bytes()));
        if word(&["T", "trace"]) {
            RainCell::Trace
        } else if word(&["M", "NA", "N/A", "NaN", "null", "none", "missing", "-", "--", "---"]) {
            RainCell::Missing
        } else {
            RainCell::Unreadable
        }
    }

    /// A finite number.
    fn number(&mut self, cell: &[u8]) -> Option<f64> {
        let mut copy = [0_u8; 40];
        let copy = copy.get_mut(..cell.len())?;
        copy.copy_from_slice(cell);
        for byte in &mut *copy {
            match byte {
                b'.' | b',' => {
                    let sign = *byte;
                    if (sign == b',' && !self.comma_allowed) || self.sign.is_some_and(|known| known != sign) {
                        return None;
                    }
                    *byte = b'.';
                }
                b'0'..=b'9' | b'-' | b'+' | b'e' | b'E' => {}
                _ => return None,
            }
        }
        let number: f64 = std::str::from_utf8(copy).ok()?.parse().ok()?;
        if !number.is_finite() {
            return None;
        }
        if let Some(sign) = cell.iter().find(|byte| matches!(byte, b'.' | b',')) {
            self.sign = Some(*sign);
        }
        Some(number)
    }
}
