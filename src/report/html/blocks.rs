//! A page of the text report as HTML: the same words, table for table.

use crate::report::layout::{Align, Block, clean};
use maud::{Markup, html};

/// Words, with names that the text sets in backquotes set apart.
pub(crate) fn words(text: &str) -> Markup {
    // a percent sign stays with its number
    let text = clean(text).replace(" %", "\u{a0}%");
    let pieces: Vec<&str> = text.split('`').collect();
    // a backquote without its fellow is one that somebody wrote
    if pieces.len().is_multiple_of(2) {
        return html! { (text) };
    }
    html! {
        @for (index, piece) in pieces.iter().enumerate() {
            @if index % 2 == 1 { b.name { (piece) } } @else { (piece) }
        }
    }
}

/// A heading's name within the page.
pub(super) fn anchor(heading: &str) -> String {
    let mut name = String::new();
    for letter in heading.chars() {
        if letter.is_ascii_alphanumeric() {
            name.push(letter.to_ascii_lowercase());
        } else if !name.ends_with('-') {
            name.push('-');
        }
    }
    name.trim_matches('-').to_owned()
}

/// The headings of a page, in order.
pub(super) fn headings(blocks: &[Block]) -> Vec<&str> {
    blocks
        .iter()
        .filter_map(|block| if let Block::Heading(heading) = block { Some(heading.as_str()) } else { None })
        .collect()
}

/// The blocks of a page.
pub(super) fn blocks(blocks: &[Block]) -> Markup {
    let mut heading = "";
    let mut shown: Vec<Markup> = Vec::new();
    let mut rest = blocks;
    while let Some((block, after)) = rest.split_first() {
        rest = after;
        match block {
            Block::Gap => {}
            Block::Heading(text) => {
                heading = text;
                shown.push(html! { h2 id=(anchor(text)) { (words(text)) } });
            }
            Block::Line(text) => shown.push(html! { p.small { (words(text.trim())) } }),
            Block::Hang(first, text) if is_point(first) => {
                let many =
                    after.iter().take_while(|next| matches!(next, Block::Hang(first, _) if is_point(first))).count();
                let (more, behind) = after.split_at(many);
                let points = std::iter::once(text).chain(
                    more.iter().filter_map(|next| if let Block::Hang(_, text) = next { Some(text) } else { None }),
                );
                shown.push(html! { ul { @for point in points { li { (words(point)) } } } });
                rest = behind;
            }
            Block::Hang(first, text) => {
                // what ends in a colon names the table that follows
                let next = after.iter().find(|next| !matches!(next, Block::Gap));
                if let (Some(caption), Some(Block::Table(aligns, rows))) = (text.strip_suffix(':'), next) {
                    shown.push(table(caption, Some(caption), aligns, rows));
                    let behind = after.iter().position(|next| matches!(next, Block::Table(..))).map_or(0, |at| at + 1);
                    rest = after.get(behind..).unwrap_or(&[]);
                } else {
                    shown.push(html! { p { (words(first.trim_start())) (words(text)) } });
                }
            }
            Block::Table(aligns, rows) => shown.push(table(heading, None, aligns, rows)),
            Block::Pairs(pairs) => shown.push(self::pairs(pairs)),
        }
    }
    html! { @for one in shown { (one) } }
}

fn is_point(first: &str) -> bool {
    matches!(first.trim(), "-" | "!")
}

/// Names with their values.
pub(super) fn pairs(pairs: &[(String, String)]) -> Markup {
    html! { dl { @for (name, value) in pairs { div { dt { (words(name)) } dd { (words(value)) } } } } }
}

/// A table; the first row has its headings, the first column names the rows.
fn table(name: &str, caption: Option<&str>, aligns: &[Align], rows: &[Vec<String>]) -> Markup {
    let Some((head, body)) = rows.split_first() else { return html! {} };
    let side = |column: usize| match aligns.get(column) {
        Some(Align::Right) => Some("number"),
        _ => None,
    };
    let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
    let cell = |row: &'_ Vec<String>, column: usize| row.get(column).cloned().unwrap_or_default();
    html! {
        // a wide table scrolls in its own frame, which the keyboard can reach
        div.table tabindex="0" role="group" aria-label=(clean(&name.replace('`', ""))) {
            table {
                @if let Some(caption) = caption { caption { (words(caption)) } }
                thead { tr {
                    @for column in 0..columns {
                        @let text = cell(head, column);
                        @if text.is_empty() { td {} } @else { th scope="col" class=[side(column)] { (words(&text)) } }
                    }
                } }
                tbody {
                    @for row in body {
                        tr {
                            @for column in 0..columns {
                                @let text = cell(row, column);
                                @if column == 0 && !text.is_empty() { th scope="row" class=[side(column)] { (words(&text)) } }
                                @else { td class=[side(column)] { (words(&text)) } }
                            }
                        }
                    }
                }
            }
        }
    }
}
