//! The reference of the site file, written from the declaration of its keys.

use super::keys::{Key, Kind, SITE};
use super::range::fallback;
use super::walk::wanted;
use crate::quantity::accepted;
use std::fmt::Write as _;

/// The reference page of the site file, in Markdown: every key with its meaning, kind, range, default and example.
pub fn reference() -> String {
    let mut page = String::from(INTRODUCTION);
    let tops: Vec<&Key> = SITE.iter().filter(|key| key.keys().is_none()).collect();
    page.push_str("\n## Top of the file\n\n");
    rows(&mut page, tops.into_iter());
    for key in SITE {
        if let Some(keys) = key.keys() {
            table(&mut page, key.name, key, keys);
        }
    }
    page
}

const INTRODUCTION: &str = "# The site file

This page is written by the program from its declaration of the keys; a test keeps it fresh.

A site file is a text in TOML: one yard and one basin a file. Counts, ratios and money are bare numbers. Everything
with a unit is a text with its unit, in quotes: `length = \"150 ft\"`. A level may also be a rod reading:
`{ rod = \"6.31 ft\" }`, or `{ rod = \"6.31 ft\", setup = \"back\" }` with several setups in `[levels]`.

In the tables below *must* marks what cannot be left out, and *not used yet* what is read and checked but nothing
computes with.
";

fn table(page: &mut String, path: &str, key: &Key, keys: &'static [Key]) {
    let header = if matches!(key.kind, Kind::Tables(_)) { format!("[[{path}]]") } else { format!("[{path}]") };
    let must = if key.required { " *Must.*" } else { "" };
    // writing to a String cannot fail
    let _ = write!(page, "\n## `{header}`\n\n{}{must}", key.doc);
    if !key.example.is_empty() {
        let _ = write!(page, " Also on one line: `{} = {}`.", key.name, key.example);
    }
    page.push_str("\n\n");
    rows(page, keys.iter().filter(|key| key.keys().is_none()));
    for inner in keys {
        if let Some(keys) = inner.keys() {
            table(page, &format!("{path}.{}", inner.name), inner, keys);
        }
    }
}

fn rows<'k>(page: &mut String, keys: impl Iterator<Item = &'k Key>) {
    let keys: Vec<&Key> = keys.collect();
    if keys.is_empty() {
        return;
    }
    page.push_str("| key | meaning | kind | range | default | example |\n|---|---|---|---|---|---|\n");
    for key in keys {
        let mut doc = key.doc.to_owned();
        if key.required {
            doc.push_str(" *Must.*");
        }
        if !key.used {
            doc.push_str(" *Not used yet.*");
        }
        let _ = writeln!(
            page,
            "| `{}` | {} | {} | {} | {} | `{}` |",
            key.name,
            cell(&doc),
            cell(&kind(key)),
            range(key),
            cell(key.default),
            cell(key.example)
        );
    }
}

fn kind(key: &Key) -> String {
    match key.kind {
        Kind::Quantity(dimension) => {
            let units: Vec<&str> = accepted(dimension).iter().take(6).copied().collect();
            format!("{} ({})", wanted(key.kind), units.join(", "))
        }
        Kind::Reference(things) => format!("name of: {things}"),
        kind => wanted(kind),
    }
}

fn range(key: &Key) -> String {
    let fallen = match key.kind {
        Kind::Quantity(dimension) => Some(fallback(dimension)),
        _ => None,
    };
    let words = |range: super::keys::Range| format!("{} to {}", range.least, range.most);
    let wide = key.range.or(fallen).map(words).unwrap_or_default();
    match key.usual {
        Some(usual) => format!("{wide}; usually {}", words(usual)),
        None => wide,
    }
}

/// A cell of a table has no line of its own and no bars.
fn cell(text: &str) -> String {
    text.replace('|', "\\|").replace('\n', " ")
}
