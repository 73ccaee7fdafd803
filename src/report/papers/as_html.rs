//! A paper as one HTML file that needs nothing beside it.

use super::document::{Cell, Document, Part, Step, Table};
use crate::report::html::{figure, page, words};
use crate::report::layout::{Align, clean};
use maud::{Markup, html};

/// A paper as an HTML file.
pub fn html(document: &Document) -> String {
    let name = match &document.about {
        Some(about) => format!("{}: {about}", document.title),
        None => document.title.clone(),
    };
    let body = html! {
        header {
            @if let Some(about) = &document.about { p.about { (clean(about)) } }
            h1 { (words(&document.title)) }
            p.lead { (words(&document.lead)) }
        }
        @for part in &document.parts { (show(part)) }
    };
    page(&name, &body)
}

fn show(part: &Part) -> Markup {
    match part {
        Part::Heading(heading) => html! { h2 { (words(heading)) } },
        Part::Text(text) => html! { p { (words(text)) } },
        Part::Points(points) => html! { ul { @for point in points { li { (words(point)) } } } },
        Part::Ticks(ticks) => html! { ul.ticks { @for tick in ticks { li { (words(tick)) } } } },
        Part::Steps(steps) => html! { ol { @for step in steps { (step_item(step)) } } },
        Part::Pairs(pairs) => html! {
            dl { @for (name, value) in pairs { div { dt { (words(name)) } dd { (cell(value)) } } } }
        },
        Part::Table(table) => table_html(table),
        Part::Cautions(cautions) => html! {
            div.cautions role="note" { ul { @for caution in cautions { li { (words(caution)) } } } }
        },
        Part::Drawing(drawing) => figure(drawing),
        Part::NewPage => html! { div.new-page {} },
    }
}

fn step_item(step: &Step) -> Markup {
    html! {
        li {
            (words(&step.what))
            @if !step.cautions.is_empty() {
                ul.mind { @for caution in &step.cautions { li { (words(caution)) } } }
            }
        }
    }
}

fn table_html(table: &Table) -> Markup {
    let side = |align: &Align| match align {
        Align::Left => None,
        Align::Right => Some("number"),
    };
    html! {
        // a wide table scrolls in its own frame, which the keyboard can reach
        div.table tabindex="0" role="group" aria-label=(clean(&table.caption).replace('`', "")) {
            table {
                caption { (words(&table.caption)) }
                thead {
                    tr {
                        @for (name, align) in &table.columns {
                            // a column without a heading has an empty cell above it
                            @if name.is_empty() { td {} }
                            @else { th scope="col" class=[side(align)] { (words(name)) } }
                        }
                    }
                }
                tbody {
                    @for row in &table.rows {
                        tr {
                            @for (index, (value, (_, align))) in row.iter().zip(&table.columns).enumerate() {
                                @if index == 0 { th scope="row" class=[side(align)] { (cell(value)) } }
                                @else { td class=[side(align)] { (cell(value)) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn cell(cell: &Cell) -> Markup {
    match cell {
        Cell::Said(text) => html! { (words(text)) },
        Cell::Blank(unit) => html! { span.blank role="img" aria-label="to be written in" {} " " (words(unit)) },
    }
}
