//! Plain text in a narrow page: wrapped sentences and columns.

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

/// A text of one paragraph, wrapped to the page.
pub(crate) fn paragraph(text: &str) -> String {
    let mut wrapped = wrap(text, WIDTH).join("\n");
    wrapped.push('\n');
    wrapped
}

/// A page under way.
#[derive(Debug, Default)]
pub(crate) struct Page {
    text: String,
}

impl Page {
    /// A line as it is, without spaces at its end.
    pub(crate) fn line(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }
    /// An empty line.
    pub(crate) fn gap(&mut self) {
        self.text.push('\n');
    }
    /// A heading with a gap above it.
    pub(crate) fn heading(&mut self, text: &str) {
        self.gap();
        self.line(text);
        self.line(&"-".repeat(text.chars().count()));
    }
    /// A wrapped paragraph: the first line begins with `first`, the others are indented as far.
    pub(crate) fn hang(&mut self, first: &str, text: &str) {
        let indent = first.chars().count();
        for (index, line) in wrap(text, WIDTH.saturating_sub(indent)).iter().enumerate() {
            if index == 0 {
                self.line(&format!("{first}{line}"));
            } else {
                self.line(&format!("{}{line}", " ".repeat(indent)));
            }
        }
    }
    /// A wrapped paragraph.
    pub(crate) fn paragraph(&mut self, text: &str) {
        self.hang("", text);
    }
    /// Columns, each as wide as its widest cell, two spaces apart, a rule under the first row.
    pub(crate) fn table(&mut self, aligns: &[Align], rows: &[Vec<String>]) {
        let widths: Vec<usize> = (0..aligns.len())
            .map(|column| {
                rows.iter().filter_map(|row| row.get(column)).map(|cell| cell.chars().count()).max().unwrap_or(0)
            })
            .collect();
        for (number, row) in rows.iter().enumerate() {
            let cells: Vec<String> = row
                .iter()
                .zip(aligns)
                .zip(&widths)
                .map(|((cell, align), width)| {
                    let room = " ".repeat(width.saturating_sub(cell.chars().count()));
                    match align {
                        Align::Left => format!("{cell}{room}"),
                        Align::Right => format!("{room}{cell}"),
                    }
                })
                .collect();
            self.line(&format!("  {}", cells.join("  ")));
            if number == 0 && rows.len() > 1 {
                let rules: Vec<String> = widths.iter().map(|width| "-".repeat(*width)).collect();
                self.line(&format!("  {}", rules.join("  ")));
            }
        }
    }
    /// A list of names with their values, the values under one another, long values wrapped.
    pub(crate) fn pairs(&mut self, pairs: &[(String, String)]) {
        let widest = pairs.iter().map(|(name, _)| name.chars().count()).max().unwrap_or(0).min(WIDTH / 2);
        for (name, value) in pairs {
            let room = " ".repeat(widest.saturating_sub(name.chars().count()));
            self.hang(&format!("  {name}{room}  "), value);
        }
    }
    /// The finished text.
    pub(crate) fn finish(self) -> String {
        self.text
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
    fn identity_columns_line_up() {
        let mut page = Page::default();
        page.table(
            &[Align::Left, Align::Right],
            &[vec!["a".into(), "flow".into()], vec!["long name".into(), "7".into()]],
        );
        assert_eq!(page.finish(), "  a          flow\n  ---------  ----\n  long name     7\n");
    }
}
