//! What a paper is made of: written once, shown as plain text and as HTML.

use crate::report::layout::Align;

/// A paper: a page or a few, that somebody prints or opens.
#[derive(Clone, Debug, PartialEq)]
pub struct Document {
    /// What kind of paper it is, as "Crew sheet".
    pub(crate) title: String,
    /// Whose yard it is about; nothing on a blank form.
    pub(crate) about: Option<String>,
    /// Said under the title, first of all.
    pub(crate) lead: String,
    /// The rest in its order.
    pub(crate) parts: Vec<Part>,
}

/// A part of a paper.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Part {
    /// A heading.
    Heading(String),
    /// A paragraph.
    Text(String),
    /// Points without an order.
    Points(Vec<String>),
    /// Steps in their order, each with the cautions that belong to it.
    Steps(Vec<Step>),
    /// Things to tick off.
    Ticks(Vec<String>),
    /// Names with their values; nothing is a line to write on.
    Pairs(Vec<(String, Cell)>),
    /// A table.
    Table(Table),
    /// Cautions, set apart.
    Cautions(Vec<String>),
    /// A drawing; plain text leaves it out.
    Drawing(Drawing),
    /// What follows begins a new page in print.
    NewPage,
}

/// A step of the work.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Step {
    /// What to do.
    pub(crate) what: String,
    /// What to mind.
    pub(crate) cautions: Vec<String>,
}

/// What stands in a place of a table or beside a name.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Cell {
    /// A value.
    Said(String),
    /// A place to write on, with the unit that belongs there, which may be empty.
    Blank(String),
}

impl Cell {
    /// A value.
    pub(crate) fn said(text: impl Into<String>) -> Self {
        Self::Said(text.into())
    }
    /// A place to write on.
    pub(crate) fn blank(unit: impl Into<String>) -> Self {
        Self::Blank(unit.into())
    }
    /// A value, or a place to write it where it is not known.
    pub(crate) fn or_blank(value: Option<String>, unit: impl Into<String>) -> Self {
        value.map_or_else(|| Self::blank(unit), Self::Said)
    }
}

/// A table with a heading for each column.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Table {
    /// What it shows, in a few words.
    pub(crate) caption: String,
    /// The columns: heading and how they stand.
    pub(crate) columns: Vec<(String, Align)>,
    /// The rows, as many cells as columns; the first cell names the row.
    pub(crate) rows: Vec<Vec<Cell>>,
}

/// A drawing.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Drawing {
    /// The SVG element, made by this program alone.
    pub(crate) svg: String,
    /// What it shows.
    pub(crate) caption: String,
    /// What somebody who cannot see it is told.
    pub(crate) in_words: String,
}
