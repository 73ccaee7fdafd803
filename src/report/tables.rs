//! The built-in tables as text and as CSV.

use super::layout::{Align, Page};
use crate::catalog::Table;

/// One table, with its sources spelled out below it.
pub fn table_text(table: &Table) -> String {
    let mut page = Page::default();
    page.paragraph(&format!("{}: {}", table.name, table.title));
    page.gap();
    // status and source would not fit beside the figures: they stand below, numbered
    let figures = table.columns.len().saturating_sub(2);
    let mut notes: Vec<String> = Vec::new();
    for columns in parts(figures) {
        let mut rows = vec![heading(&table.columns, &columns)];
        for row in &table.rows {
            let mut cells: Vec<String> =
                columns.iter().map(|column| row.get(*column).copied().unwrap_or_default().to_owned()).collect();
            cells.push(format!("[{}]", note_number(&mut notes, &note(table, row, figures))));
            rows.push(cells);
        }
        let aligns: Vec<Align> =
            columns.iter().map(|column| align(table, *column)).chain(std::iter::once(Align::Left)).collect();
        page.table(&aligns, rows);
        page.gap();
    }
    for (number, note) in notes.iter().enumerate() {
        page.hang(&format!("[{}] ", number + 1), note);
    }
    page.finish()
}

/// More columns than this do not go side by side on a page.
const MOST_COLUMNS: usize = 7;

/// The columns of a table, in parts that fit a page; each part begins with the first column.
fn parts(figures: usize) -> Vec<Vec<usize>> {
    if figures <= MOST_COLUMNS {
        return vec![(0..figures).collect()];
    }
    let half = figures.div_ceil(2);
    vec![(0..half).collect(), std::iter::once(0).chain(half..figures).collect()]
}

fn heading(names: &[&str], columns: &[usize]) -> Vec<String> {
    let name = |column: &usize| names.get(*column).copied().unwrap_or_default().to_owned();
    columns.iter().map(name).chain(["from".to_owned()]).collect()
}

/// Status and source of a row in words.
fn note(table: &Table, row: &[&str], figures: usize) -> String {
    let status = row.get(figures).copied().unwrap_or("");
    let key = row.get(figures + 1).copied().unwrap_or("");
    let source = table.sources.iter().find(|(known, _)| *known == key).map_or(key, |(_, text)| text);
    if status.is_empty() || source.starts_with(status) { source.to_owned() } else { format!("{status}: {source}") }
}

fn note_number(notes: &mut Vec<String>, note: &str) -> usize {
    if let Some(at) = notes.iter().position(|known| known == note) {
        return at + 1;
    }
    notes.push(note.to_owned());
    notes.len()
}

/// Figures stand to the right, words to the left.
fn align(table: &Table, column: usize) -> Align {
    let words = table
        .rows
        .iter()
        .filter_map(|row| row.get(column))
        .any(|cell| !cell.is_empty() && cell.parse::<f64>().is_err());
    if words || column + 2 >= table.columns.len() { Align::Left } else { Align::Right }
}

/// The names of all tables with what they hold.
pub fn table_list(tables: &[Table]) -> String {
    let mut page = Page::default();
    page.line("Built-in tables. `sumpwright tables NAME` prints one; `--format csv` prints it for a spreadsheet.");
    page.gap();
    let pairs: Vec<(String, String)> =
        tables.iter().map(|table| (table.name.to_owned(), table.title.to_owned())).collect();
    page.pairs(&pairs);
    page.finish()
}

/// One table as CSV, sources spelled out in its last column.
pub fn table_csv(table: &Table) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let last = table.columns.len().saturating_sub(1);
    // writing to memory cannot fail; a row of the wrong length would, and a test sees to it that there is none
    let _ = writer.write_record(&table.columns);
    for row in &table.rows {
        let cells = row.iter().enumerate().map(|(column, cell)| {
            let spelled = table.sources.iter().find(|(key, _)| column == last && key == cell);
            spelled.map_or(*cell, |(_, text)| *text)
        });
        let _ = writer.write_record(cells);
    }
    writer.into_inner().map_or_else(|_| String::new(), |bytes| String::from_utf8_lossy(&bytes).into_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::tables;
    use crate::report::layout::WIDTH;

    #[test]
    fn identity_every_table_fits_the_page() {
        for table in tables() {
            for line in table_text(&table).lines() {
                assert!(line.chars().count() <= WIDTH, "{}: {line}", table.name);
            }
        }
    }
}
