//! A paper as plain text of eighty columns.

use super::document::{Cell, Document, Part};
use crate::report::layout::{Page, WIDTH};

/// A place to write on.
const LINE: &str = "________";

/// A paper as plain text.
pub fn text(document: &Document) -> String {
    let mut page = Page::default();
    page.line(&document.title);
    page.line(&"=".repeat(document.title.chars().count().min(WIDTH)));
    if let Some(about) = &document.about {
        page.paragraph(about);
    }
    page.gap();
    page.paragraph(&document.lead);
    for part in &document.parts {
        show(&mut page, part);
    }
    page.finish()
}

fn show(page: &mut Page, part: &Part) {
    match part {
        Part::Heading(heading) => page.heading(heading),
        Part::Text(text) => page.paragraph(text),
        Part::Points(points) => hang_all(page, "- ", points),
        Part::Ticks(ticks) => hang_all(page, "[ ] ", ticks),
        Part::Steps(steps) => {
            for (number, step) in (1..).zip(steps) {
                page.hang(&format!("{number:>2}. "), &step.what);
                hang_all(page, "    ! ", &step.cautions);
            }
        }
        Part::Pairs(pairs) => {
            let said: Vec<(String, String)> = pairs.iter().map(|(name, value)| (name.clone(), cell(value))).collect();
            page.pairs(&said);
        }
        Part::Table(table) => {
            page.gap();
            if !table.caption.is_empty() {
                page.paragraph(&table.caption);
            }
            let aligns: Vec<_> = table.columns.iter().map(|(_, align)| *align).collect();
            let head = table.columns.iter().map(|(name, _)| name.clone()).collect();
            let rows = table.rows.iter().map(|row| row.iter().map(cell).collect());
            page.table(&aligns, std::iter::once(head).chain(rows).collect());
        }
        Part::Cautions(cautions) => {
            page.gap();
            hang_all(page, "! ", cautions);
        }
        Part::NewPage => page.gap(),
        // its figures stand in the tables beside it
        Part::Drawing(_) => {}
    }
}

fn hang_all(page: &mut Page, first: &str, texts: &[String]) {
    for text in texts {
        page.hang(first, text);
    }
}

fn cell(cell: &Cell) -> String {
    match cell {
        Cell::Said(text) => text.clone(),
        Cell::Blank(unit) if unit.is_empty() => LINE.to_owned(),
        Cell::Blank(unit) => format!("{LINE} {unit}"),
    }
}
