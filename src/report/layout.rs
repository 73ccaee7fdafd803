//! Plain text in a narrow page: wrapped sentences and columns.

use std::borrow::Cow;

/// The width of the page.
pub(crate) const WIDTH: usize = 80;

/// How a column stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Align {
    /// To the left.
    Left,
    /// To the right.
    Right,
}

/// Breaks a text into lines of a width at its spaces; a longer word stands alone.
pub(crate) fn wrap(text: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    let mut used = 0;
    for word in text.split_whitespace() {
        let length = word.chars().count();
        if used > 0 && used + 1 + length > width {
            lines.push(std::mem::take(&mut line));
            used = 0;
        }
        if used > 0 {
            line.push(' ');
            used += 1;
        }
        line.push_str(word);
        used += length;
    }
    if used > 0 {
        lines.push(line);
    }
    lines
}

/// A text without line breaks and control characters.
pub(crate) fn clean(text: &str) -> String {
    text.chars().map(|letter| if letter.is_control() || invisible(letter) { ' ' } else { letter }).collect()
}

/// Characters that turn the direction of writing or take no room: they can hide what a line says.
pub(crate) fn invisible(letter: char) -> bool {
    matches!(letter, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}')
}

/// A text of one paragraph, wrapped to the page.
pub(crate) fn paragraph(text: &str) -> String {
    let mut wrapped = wrap(text, WIDTH).join("\n");
    wrapped.push('\n');
    wrapped
}

/// A cell in lines of a width; blanks at its ends stay.
fn wrap_cell(cell: &str, width: usize) -> Vec<Cow<'_, str>> {
    if cell.chars().count() <= width {
        vec![Cow::Borrowed(cell)]
    } else {
        wrap(cell, width).into_iter().map(Cow::Owned).collect()
    }
}

fn longest_word(cell: &str) -> usize {
    cell.split_whitespace().map(|word| word.chars().count()).max().unwrap_or(0)
}

/// How wide each column is, so that all of them fit on the page where that can be.
fn column_widths(aligns: &[Align], rows: &[Vec<String>]) -> Vec<usize> {
    let widest = |column: usize, rows: &[Vec<String>], measure: &dyn Fn(&str) -> usize| {
        rows.iter().filter_map(|row| row.get(column)).map(|cell| measure(cell)).max().unwrap_or(0)
    };
    let full = |cell: &str| cell.chars().count();
    let body = rows.get(1..).unwrap_or(&[]);
    let head = rows.get(..1).unwrap_or(&[]);
    let mut widths: Vec<usize> = (0..aligns.len()).map(|column| widest(column, rows, &full)).collect();
    let room = WIDTH.saturating_sub(2 * aligns.len());
    if widths.iter().sum::<usize>() <= room {
        return widths;
    }
    // first the headings break, the widest first
    let least_head: Vec<usize> =
        (0..aligns.len()).map(|column| widest(column, body, &full).max(widest(column, head, &longest_word))).collect();
    shrink(&mut widths, &least_head, room);
    // then the words in columns of words
    let least: Vec<usize> = aligns
        .iter()
        .enumerate()
        .map(|(column, align)| match align {
            Align::Left => widest(column, rows, &longest_word),
            Align::Right => least_head.get(column).copied().unwrap_or(0),
        })
        .collect();
    shrink(&mut widths, &least, room);
    widths
}

/// Takes from the widest columns, one by one, until all fit or none can give more.
fn shrink(widths: &mut [usize], least: &[usize], room: usize) {
    while widths.iter().sum::<usize>() > room {
        let widest =
            widths.iter_mut().zip(least).filter(|(width, least)| **width > **least).max_by_key(|(width, _)| **width);
        let Some((width, _)) = widest else { return };
        *width -= 1;
    }
}

/// A part of a page.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Block {
    /// A line as it is.
    Line(String),
    /// An empty line.
    Gap,
    /// A heading.
    Heading(String),
    /// A wrapped paragraph, with what its first line begins with.
    Hang(String, String),
    /// A table, its headings in the first row.
    Table(Vec<Align>, Vec<Vec<String>>),
    /// Names with their values.
    Pairs(Vec<(String, String)>),
}

/// A page under way: written once, shown as text or, by its blocks, as anything else.
#[derive(Debug, Default)]
pub(crate) struct Page {
    blocks: Vec<Block>,
}

impl Page {
    /// A line as it is, without spaces at its end; what a terminal would obey is blanked.
    pub(crate) fn line(&mut self, line: &str) {
        self.blocks.push(Block::Line(line.to_owned()));
    }
    /// An empty line.
    pub(crate) fn gap(&mut self) {
        self.blocks.push(Block::Gap);
    }
    /// A heading with a gap above it.
    pub(crate) fn heading(&mut self, text: &str) {
        self.blocks.push(Block::Heading(text.to_owned()));
    }
    /// A wrapped paragraph: the first line begins with `first`, the others are indented as far.
    pub(crate) fn hang(&mut self, first: &str, text: &str) {
        self.blocks.push(Block::Hang(first.to_owned(), text.to_owned()));
    }
    /// A wrapped paragraph.
    pub(crate) fn paragraph(&mut self, text: &str) {
        self.hang("", text);
    }
    /// Columns two spaces apart, a rule under the first row. Each is as wide as its widest cell, as long as all fit on
    /// the page; then the headings are broken, and after them the widest columns of words.
    pub(crate) fn table(&mut self, aligns: &[Align], rows: Vec<Vec<String>>) {
        self.blocks.push(Block::Table(aligns.to_vec(), rows));
    }
    /// A list of names with their values, the values under one another, long values wrapped.
    pub(crate) fn pairs(&mut self, pairs: &[(String, String)]) {
        self.blocks.push(Block::Pairs(pairs.to_vec()));
    }
    /// What it is made of.
    pub(crate) fn into_blocks(self) -> Vec<Block> {
        self.blocks
    }
    /// The finished text.
    pub(crate) fn finish(self) -> String {
        let mut written = Written { text: String::with_capacity(USUAL_PAGE) };
        for block in &self.blocks {
            written.block(block);
        }
        written.text
    }
}

/// Puts a cell into a line, two spaces after the one before it.
fn put_cell(line: &mut String, text: &str, align: Align, width: usize) {
    let room = std::iter::repeat_n(' ', width.saturating_sub(text.chars().count()));
    line.push_str("  ");
    match align {
        Align::Left => {
            line.push_str(text);
            line.extend(room);
        }
        Align::Right => {
            line.extend(room);
            line.push_str(text);
        }
    }
}

/// Room for a usual page.
const USUAL_PAGE: usize = 16 * 1024;

/// The text of a page.
struct Written {
    text: String,
}

impl Written {
    fn block(&mut self, block: &Block) {
        match block {
            Block::Line(line) => self.line(line),
            Block::Gap => self.text.push('\n'),
            Block::Heading(text) => {
                self.text.push('\n');
                self.line(text);
                self.line(&"-".repeat(text.chars().count()));
            }
            Block::Hang(first, text) => self.hang(first, text),
            Block::Table(aligns, rows) => self.table(aligns, rows),
            Block::Pairs(pairs) => self.pairs(pairs),
        }
    }
    fn line(&mut self, line: &str) {
        // most lines need no cleaning
        if line.bytes().all(|byte| matches!(byte, b' '..=b'~')) {
            self.text.push_str(line.trim_end_matches(' '));
        } else {
            self.text.push_str(clean(line).trim_end());
        }
        self.text.push('\n');
    }
    fn hang(&mut self, first: &str, text: &str) {
        let indent = first.chars().count();
        let mut begin = Cow::Borrowed(first);
        for line in wrap(text, WIDTH.saturating_sub(indent)) {
            self.line(&format!("{begin}{line}"));
            begin = Cow::Owned(" ".repeat(indent));
        }
    }
    fn table(&mut self, aligns: &[Align], rows: &[Vec<String>]) {
        let widths = column_widths(aligns, rows);
        let mut written = String::with_capacity(WIDTH);
        for (number, row) in rows.iter().enumerate() {
            let fits = row.iter().zip(&widths).all(|(cell, width)| cell.chars().count() <= *width);
            if fits {
                for ((cell, align), width) in row.iter().zip(aligns).zip(&widths) {
                    put_cell(&mut written, cell, *align, *width);
                }
                self.line(&written);
                written.clear();
            } else {
                let broken: Vec<Vec<Cow<'_, str>>> =
                    row.iter().zip(&widths).map(|(cell, width)| wrap_cell(cell, *width)).collect();
                let height = broken.iter().map(Vec::len).max().unwrap_or(0);
                for line in 0..height {
                    for ((lines, align), width) in broken.iter().zip(aligns).zip(&widths) {
                        // a heading stands on the rule, a cell hangs from its first line
                        let above = if number == 0 { height - lines.len() } else { 0 };
                        let text = line.checked_sub(above).and_then(|at| lines.get(at)).map_or("", Cow::as_ref);
                        put_cell(&mut written, text, *align, *width);
                    }
                    self.line(&written);
                    written.clear();
                }
            }
            if number == 0 && rows.len() > 1 {
                let rules: Vec<String> = widths.iter().map(|width| "-".repeat(*width)).collect();
                self.line(&format!("  {}", rules.join("  ")));
            }
        }
    }
    fn pairs(&mut self, pairs: &[(String, String)]) {
        let widest = pairs.iter().map(|(name, _)| name.chars().count()).max().unwrap_or(0).min(WIDTH / 2);
        for (name, value) in pairs {
            let room = " ".repeat(widest.saturating_sub(name.chars().count()));
            self.hang(&format!("  {name}{room}  "), value);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_wrapping_keeps_every_word_and_the_width() {
        let text = "water stands over the grate for a while and then it is gone, supercalifragilistic or not";
        for width in [1, 7, 20, 80] {
            let lines = wrap(text, width);
            assert_eq!(lines.join(" "), text);
            assert!(lines.iter().all(|line| line.chars().count() <= width || !line.contains(' ')));
        }
    }

    #[test]
    fn identity_wide_tables_are_broken_to_fit() {
        let words = "a long remark of many words that would not fit beside the figures on a narrow page at all";
        let mut page = Page::default();
        page.table(
            &[Align::Left, Align::Right, Align::Left],
            vec![
                vec!["name".into(), "outside diameter (in)".into(), "remark".into()],
                vec!["two words".into(), "2.375".into(), words.into()],
            ],
        );
        let text = page.finish();
        assert!(text.lines().all(|line| line.chars().count() <= WIDTH), "{text}");
        let flat: Vec<&str> = text.split_whitespace().collect();
        for word in words.split(' ') {
            assert!(flat.contains(&word), "{word}");
        }
    }

    #[test]
    fn identity_columns_line_up() {
        let mut page = Page::default();
        page.table(
            &[Align::Left, Align::Right],
            vec![vec!["a".into(), "flow".into()], vec!["long name".into(), "7".into()]],
        );
        assert_eq!(page.finish(), "  a          flow\n  ---------  ----\n  long name     7\n");
    }
}
