//! What findings, terms and problems mean: the entries, how a word finds one, and how it is shown.

use super::layout::Page;
use crate::site::{KeyEntry, key_entries};
use serde::Deserialize;
use std::collections::BTreeMap;

/// What is told of a word.
#[derive(Clone, Debug, Default, Deserialize, PartialEq, Eq)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// What it means.
    pub says: String,
    /// Why it matters.
    pub matters: String,
    /// What changes it.
    pub changes: String,
    /// The formula, where a number is worked out or compared.
    #[serde(default)]
    pub formula: Option<String>,
    /// Where that comes from.
    #[serde(default)]
    pub source: Option<String>,
    /// Other words of this kind that help.
    #[serde(default)]
    pub see: Vec<String>,
    /// Other names that people have for it.
    #[serde(default)]
    pub also: Vec<String>,
}

/// What sort of word it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sort {
    /// A term of the trade or of the report.
    Term,
    /// A finding of the report, by its stable name.
    Finding,
    /// What is wrong with a site file, by its stable name.
    Problem,
}

impl Sort {
    fn words(self) -> &'static str {
        match self {
            Self::Term => "a term of the report",
            Self::Finding => "a finding of the report",
            Self::Problem => "a problem of a site file",
        }
    }
}

const FILES: [(Sort, &str); 9] = [
    (Sort::Term, include_str!("terms.toml")),
    (Sort::Finding, include_str!("pump_and_basin.toml")),
    (Sort::Finding, include_str!("running.toml")),
    (Sort::Finding, include_str!("line.toml")),
    (Sort::Finding, include_str!("storm_and_rain.toml")),
    (Sort::Finding, include_str!("way_in.toml")),
    (Sort::Finding, include_str!("way_off.toml")),
    (Sort::Finding, include_str!("measured.toml")),
    (Sort::Problem, include_str!("problems.toml")),
];

/// Every entry with its word and sort: terms first, each sort in the order of the alphabet.
pub fn entries() -> Vec<(String, Sort, Entry)> {
    let mut all: Vec<(String, Sort, Entry)> = Vec::new();
    for (sort, text) in FILES {
        // the texts are part of the program, and the tests read every one
        let file: BTreeMap<String, Entry> = toml::from_str(text).unwrap_or_default();
        all.extend(file.into_iter().map(|(word, entry)| (word, sort, entry)));
    }
    all.sort_by(|(one, one_sort, _), (other, other_sort, _)| (one_sort, one).cmp(&(other_sort, other)));
    all
}

/// What is found for a word.
#[derive(Clone, Debug, PartialEq)]
pub enum Found {
    /// Entries and keys of exactly this name.
    These(Vec<(String, Sort, Entry)>, Vec<KeyEntry>),
    /// None: words that may be meant.
    Perhaps(Vec<String>),
}

/// So many words are proposed.
const MOST_PROPOSED: usize = 6;
/// Letters in which a word that may be meant differs at most.
const FARTHEST: usize = 3;

/// Looks a word up: the name of a finding, a term under any of its names, a problem, a key of the site file.
pub fn look_up(word: &str) -> Found {
    let asked = plain(word);
    let all = entries();
    let names = |entry: &Entry, own: &str| {
        std::iter::once(plain(own)).chain(entry.also.iter().map(|name| plain(name))).collect::<Vec<_>>()
    };
    let is = |name: &str| name == asked || name == asked.trim_end_matches('s') || name.trim_end_matches('s') == asked;
    let keys = key_entries();
    let found: Vec<_> =
        all.iter().filter(|(own, _, entry)| names(entry, own).iter().any(|name| is(name))).cloned().collect();
    let of_file: Vec<KeyEntry> =
        keys.iter().filter(|key| plain(key.name) == asked || ends_with(&plain(&key.path), &asked)).cloned().collect();
    if !(found.is_empty() && of_file.is_empty()) {
        return Found::These(found, of_file);
    }
    let known: Vec<String> = all
        .iter()
        .flat_map(|(own, _, entry)| std::iter::once(own.clone()).chain(entry.also.iter().cloned()))
        .chain(keys.iter().map(|key| key.name.to_owned()))
        .collect();
    let mut near: Vec<(usize, String)> = Vec::new();
    for name in known {
        let simple = plain(&name);
        let distance = strsim::damerau_levenshtein(&simple, &asked);
        let allowed = (asked.chars().count() / 3).clamp(1, FARTHEST);
        let part = asked.chars().count() > 2 && simple.split('-').any(|part| asked.split('-').any(|word| word == part));
        if (distance <= allowed || part || simple.contains(&asked)) && !near.iter().any(|(_, known)| *known == name) {
            near.push((distance, name));
        }
    }
    near.sort();
    Found::Perhaps(near.into_iter().map(|(_, name)| name).take(MOST_PROPOSED).collect())
}

/// Whether a path is this or ends with it from a separator on, as `basin.collar.width` with `collar.width`.
fn ends_with(path: &str, asked: &str) -> bool {
    let before = path.strip_suffix(asked);
    before.is_some_and(|before| before.is_empty() || (asked.contains('-') && before.ends_with('-')))
}

/// Lower case, with one kind of separator, without the brackets of a table.
fn plain(word: &str) -> String {
    let letters = word.trim().chars().filter(|letter| !matches!(letter, '[' | ']' | '`' | ':' | '"'));
    let simple: String = letters
        .map(|letter| if matches!(letter, '_' | ' ' | '.') { '-' } else { letter.to_ascii_lowercase() })
        .collect();
    simple.trim_matches('-').to_owned()
}

/// The page about what was found.
pub fn page(found: &[(String, Sort, Entry)], keys: &[KeyEntry]) -> String {
    let mut page = Page::default();
    for (word, sort, entry) in found {
        page.heading(&word.replace('-', if *sort == Sort::Term { " " } else { "-" }));
        page.paragraph(&format!("({})", sort.words()));
        page.gap();
        let mut rows = vec![
            ("what it means".to_owned(), entry.says.clone()),
            ("why it matters".to_owned(), entry.matters.clone()),
            ("what changes it".to_owned(), entry.changes.clone()),
        ];
        rows.extend(entry.formula.iter().map(|formula| ("formula".to_owned(), formula.clone())));
        rows.extend(entry.source.iter().map(|source| ("source".to_owned(), source.clone())));
        if !entry.also.is_empty() {
            rows.push(("also called".to_owned(), entry.also.join(", ")));
        }
        if !entry.see.is_empty() {
            rows.push(("see also".to_owned(), entry.see.join(", ")));
        }
        page.pairs(&rows);
    }
    for key in keys {
        page.heading(&key.path);
        page.paragraph("(a key of the site file)");
        page.gap();
        let mut rows = vec![("what it means".to_owned(), key.doc.to_owned()), ("kind".to_owned(), key.kind.clone())];
        let optional = [
            ("range", key.range.as_str()),
            ("left out", key.default),
            ("how to find out", key.how.unwrap_or_default()),
            ("example", key.example.as_str()),
        ];
        rows.extend(
            optional
                .into_iter()
                .filter(|(_, text)| !text.is_empty())
                .map(|(name, text)| (name.to_owned(), text.to_owned())),
        );
        page.pairs(&rows);
    }
    // the first heading needs no gap above it
    page.finish().trim_start_matches('\n').to_owned()
}

/// All words that there is something to tell of.
pub fn list() -> String {
    let mut page = Page::default();
    page.paragraph(
        "sumpwright explain WORD tells what a word of the report means, why it matters and what changes it: a term, \
         the name of a finding, the name of a problem in a site file, or a key of the site file.",
    );
    let all = entries();
    for (sort, heading) in
        [(Sort::Term, "Terms"), (Sort::Finding, "Findings of the report"), (Sort::Problem, "Problems of a site file")]
    {
        page.heading(heading);
        let words: Vec<&str> = all.iter().filter(|(_, of, _)| *of == sort).map(|(word, ..)| word.as_str()).collect();
        let rows: Vec<Vec<String>> = words
            .chunks(2)
            .map(|pair| (0..2).map(|at| pair.get(at).copied().unwrap_or("").to_owned()).collect())
            .collect();
        columns(&mut page, &rows);
    }
    page.gap();
    page.paragraph("Keys of the site file are listed in docs/site-file.md.");
    page.finish()
}

/// Two columns without a heading.
fn columns(page: &mut Page, rows: &[Vec<String>]) {
    let widest = rows.iter().filter_map(|row| row.first()).map(|word| word.chars().count()).max().unwrap_or(0);
    for row in rows {
        let [one, other] = row.as_slice() else { continue };
        page.line(&format!("  {one}{}  {other}", " ".repeat(widest.saturating_sub(one.chars().count()))));
    }
}

#[cfg(test)]
mod tests;
