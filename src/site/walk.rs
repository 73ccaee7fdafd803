//! From the tables of a TOML text to the tree that the declared keys allow, reporting all that does not fit.

use super::gap;
use super::keys::{self, Key, Kind};
use super::problem::{Problem, ProblemKind};
use super::suggest::{echo, listed, nearest};
use super::syntax::Lost;
use super::tree::{Entry, Node, Place, Value};
use super::{Assumption, ReadNotUsed};
use crate::quantity::{Dimension, UnitSystem};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// More problems than this are not kept.
const MOST_PROBLEMS: usize = 1000;

/// A place that the instrument stood at.
#[derive(Clone, Debug)]
pub(super) struct Setup {
    pub(super) name: String,
    /// Level of the instrument's plane, metres.
    pub(super) plane_m: f64,
}

/// Reads, and keeps what there is to say.
pub(super) struct Reader<'t> {
    /// The text that the places belong to.
    pub(super) text: &'t str,
    line_starts: Vec<usize>,
    pub(super) lost: &'t [Lost],
    pub(super) problems: Vec<Problem>,
    pub(super) assumptions: Vec<Assumption>,
    pub(super) not_used: Vec<ReadNotUsed>,
    pub(super) setups: Vec<Setup>,
    /// Whether a setup was entered that could not be read.
    pub(super) setups_broken: bool,
    /// The units that messages and the report use.
    pub(super) units: UnitSystem,
    /// Whether an error was said.
    failed: bool,
    /// Tables of which a part stands under a misspelt name: what they seem to lack may stand there.
    misspelt: Vec<String>,
    /// Ranges of the last values, with their ends.
    pub(super) ranges: Vec<(keys::Range, Dimension, (f64, f64))>,
}

impl<'t> Reader<'t> {
    pub(super) fn new(text: &'t str, lost: &'t [Lost]) -> Self {
        let line_starts = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        Self {
            text,
            line_starts,
            lost,
            problems: Vec::new(),
            assumptions: Vec::new(),
            not_used: Vec::new(),
            setups: Vec::new(),
            setups_broken: false,
            units: UnitSystem::Us,
            failed: false,
            misspelt: Vec::new(),
            ranges: Vec::new(),
        }
    }

    /// The number of a line, from 1.
    fn line(&self, at: usize) -> usize {
        self.line_starts.partition_point(|start| *start <= at)
    }

    /// Whether a key that seems to be missing may stand in a line that could not be read.
    pub(super) fn was_lost(&self, path: &str, key: &str) -> bool {
        let inside = |table: &String| {
            path.strip_prefix(table.as_str()).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
        };
        self.lost.iter().any(|lost| lost.hides(path, key)) || self.misspelt.iter().any(inside)
    }

    /// Keeps a key that was read and that nothing computes with.
    pub(super) fn note_not_used(&mut self, key: &str, place: &Place) {
        let line = self.line(place.start);
        self.not_used.push(ReadNotUsed { key: key.to_owned(), line });
    }

    /// Whether so many problems are kept that no more are, an error among them.
    fn full(&self) -> bool {
        self.problems.len() >= MOST_PROBLEMS && self.failed
    }

    /// Keeps a problem. Of a file with very many the rest is left out, as long as an error is among those kept.
    pub(super) fn say(&mut self, problem: Problem) {
        if self.full() || self.problems.len() >= MOST_PROBLEMS && !problem.is_error() {
            return;
        }
        self.failed |= problem.is_error();
        self.problems.push(problem);
    }

    /// The text at a place.
    pub(super) fn written(&self, place: &Range<usize>) -> &'t str {
        self.text.get(place.clone()).unwrap_or("")
    }

    /// Reads the whole file.
    pub(super) fn site(&mut self, table: &DeTable<'_>) -> Node {
        // advice on all that follows is in the units of the file
        let units = table.iter().find(|(key, _)| key.get_ref() == "units").map(|(_, value)| value.get_ref());
        if matches!(units, Some(DeValue::String(text)) if text == "metric") {
            self.units = UnitSystem::Metric;
        }
        // Levels may be written as rod readings, so the instrument's setups come first.
        let levels = table.iter().find(|(key, _)| key.get_ref() == "levels");
        if let Some((_, value)) = levels {
            let before = self.problems.len();
            if let Some(key) = keys::SITE.iter().find(|key| key.name == "levels") {
                let read = self.value("levels", key, value);
                if let Some(Value::Table(node)) = read {
                    self.keep_setups(&node);
                }
            }
            self.setups_broken = self.problems.len() > before;
            // read once more below, with everything else
            self.problems.truncate(before);
            self.not_used.clear();
        }
        self.table("", keys::SITE, table, 0..0)
    }

    fn keep_setups(&mut self, levels: &Node) {
        for setup in levels.nodes("setups") {
            let benchmark = setup.quantity::<crate::quantity::Level>("benchmark");
            let rod = setup.quantity::<crate::quantity::Length>("rod_on_benchmark");
            if let (Some(name), Some(benchmark), Some(rod)) = (setup.text("name"), benchmark, rod) {
                self.setups.push(Setup { name, plane_m: benchmark.m() + rod.m() });
            }
        }
    }

    /// Reads a table by its declared keys.
    pub(super) fn table(&mut self, path: &str, keys: &'static [Key], table: &DeTable<'_>, place: Place) -> Node {
        let mut node = Node::new(path, keys, place);
        let mut pairs: Vec<(&Spanned<_>, &Spanned<DeValue<'_>>)> = table.iter().collect();
        pairs.sort_by_key(|(key, _)| key.span().start);
        let mut unknown = Vec::new();
        for (name, value) in &pairs {
            self.note_misspelt(path, keys, table, (name.get_ref().as_ref(), value));
        }
        for (name, value) in pairs {
            match keys.iter().find(|key| key.name == name.get_ref().as_ref()) {
                Some(key) => self.entry(&mut node, key, name.span(), value),
                None => unknown.push((name, value)),
            }
        }
        for (name, value) in unknown {
            self.unknown(&mut node, keys, name.get_ref(), name.span(), value);
        }
        self.missing(&node, keys);
        node
    }

    /// Keeps a table that stands in the file under its name and, in part, under a name that is near it.
    fn note_misspelt(
        &mut self,
        path: &str,
        keys: &'static [Key],
        table: &DeTable<'_>,
        (name, value): (&str, &Spanned<DeValue<'_>>),
    ) {
        let is_table = matches!(value.get_ref(), DeValue::Table(_) | DeValue::Array(_));
        if !is_table || keys.iter().any(|key| key.name == name) {
            return;
        }
        let tables = keys.iter().filter(|key| key.keys().is_some());
        if let Some(meant) = nearest(name, tables.map(|key| key.name))
            && table.iter().any(|(known, _)| known.get_ref() == meant)
        {
            self.misspelt.push(joined(path, meant));
        }
    }

    pub(super) fn entry(&mut self, node: &mut Node, key: &'static Key, key_place: Place, value: &Spanned<DeValue<'_>>) {
        let path = joined(&node.path, key.name);
        if gap::is_gap(value.get_ref()) && !gap::may_be_a_remark(key) {
            // without it the table says nothing, and is none: that nothing else is missing in it
            if self.gap(&path, key, value.span()) || key.required {
                node.entries.push(Entry { key, place: value.span(), value: None });
            }
            return;
        }
        let read = self.value(&path, key, value);
        if !key.used {
            self.note_not_used(&path, &key_place);
        }
        node.entries.push(Entry { key, place: value.span(), value: read });
    }

    fn unknown(
        &mut self,
        node: &mut Node,
        keys: &'static [Key],
        name: &str,
        place: Place,
        value: &Spanned<DeValue<'_>>,
    ) {
        if self.full() {
            return;
        }
        let dotted = joined(&node.path, &echo(name));
        let problem = Problem::error(ProblemKind::UnknownKey, place.clone(), format!("unknown key `{dotted}`"))
            .label("unknown key");
        // a letter or two are near too many
        let like =
            |word: &str| if word.len() < 3 { word.eq_ignore_ascii_case(name) } else { nearest(name, [word]).is_some() };
        let called = |key: &&Key| key.also_called.iter().any(|word| like(word));
        let meant = nearest(name, keys.iter().map(|key| key.name))
            .and_then(|word| keys.iter().find(|key| key.name == word))
            .or_else(|| keys.iter().find(called));
        if let Some(key) = meant {
            let problem = problem.help(format!("did you mean `{}`?", key.name));
            if node.has(key.name) {
                self.say(problem);
                if key.keys().is_some() {
                    // what stands in it is read as if it stood there, so that all that is wrong is said at once
                    let path = joined(&node.path, key.name);
                    self.value(&path, key, value);
                }
                return;
            }
            // A header with dots is one place for several keys; only a key by itself is replaced.
            self.say(problem.replacement(key.name));
            let before = self.problems.len();
            self.entry(node, key, place, value);
            if key.keys().is_none() {
                // The guess may be wrong: what it says of the value is not worth saying.
                self.problems.truncate(before);
            }
            return;
        }
        let homes = keys::tables_with(name);
        let help = if !homes.is_empty() {
            let homes: Vec<String> = homes.into_iter().map(|home| format!("[{home}]")).collect();
            format!("`{}` is a key of {}", echo(name), listed(homes.iter().map(String::as_str), "and"))
        } else if node.path.is_empty() {
            format!("the tables of a site file are {}", listed(keys.iter().map(|key| key.name), "and"))
        } else {
            format!("the keys of `{}` are {}", node.path, listed(keys.iter().map(|key| key.name), "and"))
        };
        self.say(problem.help(help));
    }

    fn missing(&mut self, node: &Node, keys: &'static [Key]) {
        for key in keys.iter().filter(|key| key.required && !node.has(key.name)) {
            if self.was_lost(&node.path, key.name) {
                continue;
            }
            let (what, help) = match (key.kind, node.path.is_empty()) {
                (Kind::Table(_), true) => (format!("table `[{}]`", key.name), format!("add a table `[{}]`", key.name)),
                (Kind::Tables(_), _) => {
                    let path = joined(&node.path, key.name);
                    (format!("table `[[{path}]]`"), format!("add a table `[[{path}]]` for each"))
                }
                _ => (
                    format!("key `{}`", joined(&node.path, key.name)),
                    format!("add a line such as `{} = {}`, with your own figure", key.name, key.example),
                ),
            };
            let doc = key.doc;
            let place = (!node.path.is_empty() || node.place.end > 0).then(|| node.place.clone());
            let mut problem = Problem::error(ProblemKind::MissingKey, place, format!("the {what} is missing"))
                .label(format!("has no `{}`", key.name))
                .help(format!("{help}: {}", lower_first(doc)));
            if problem.span.is_none() {
                problem.label.clear();
            }
            self.say(problem);
        }
    }

    /// Reads a value of the kind that its key declares.
    pub(super) fn value(&mut self, path: &str, key: &'static Key, value: &Spanned<DeValue<'_>>) -> Option<Value> {
        match key.kind {
            Kind::Table(keys) => self.one_table(path, keys, value).map(Value::Table),
            Kind::TableOrNone(keys) => match value.get_ref() {
                DeValue::Boolean(false) => Some(Value::Checked),
                DeValue::String(text) if matches!(text.trim(), "none" | "no") => Some(Value::Checked),
                DeValue::Table(_) | DeValue::Array(_) => self.one_table(path, keys, value).map(Value::Table),
                DeValue::Boolean(true) => {
                    self.say(
                        Problem::error(
                            ProblemKind::WrongType,
                            value.span(),
                            format!("`{path}` says that there is one, but not which"),
                        )
                        .label("which?")
                        .help(format!("write it like `{} = {}`, or `false` for none", key.name, key.example)),
                    );
                    None
                }
                _ => {
                    self.wrong_type(path, key, value);
                    None
                }
            },
            Kind::Tables(keys) => self.some_tables(path, keys, key, value),
            _ => self.leaf(path, key, value),
        }
    }

    fn one_table(&mut self, path: &str, keys: &'static [Key], value: &Spanned<DeValue<'_>>) -> Option<Node> {
        match value.get_ref() {
            DeValue::Table(table) => Some(self.table(path, keys, table, self.header(value.span()))),
            DeValue::Array(items) => {
                let Some(first) = items.iter().next() else {
                    self.say(
                        Problem::error(
                            ProblemKind::WrongType,
                            value.span(),
                            format!("`{path}` is a single table, not a list"),
                        )
                        .label("an empty list")
                        .help("leave the line out where there is none"),
                    );
                    return None;
                };
                let place = self.header(first.span());
                let header = self.written(&place).starts_with("[[");
                let again = items.get(1).map(|item| self.header(item.span()));
                let mut problem = Problem::error(
                    ProblemKind::WrongType,
                    place.clone(),
                    if header {
                        format!("there is one `[{path}]` only, so it has single brackets")
                    } else {
                        format!("`{path}` is a single table, not a list")
                    },
                )
                .label("a list");
                problem = match again {
                    Some(again) => problem.also(again, "a second one").help("keep one of them"),
                    None if header => problem.help(format!("write `[{path}]`")).replacement(format!("[{path}]")),
                    None => problem.help(format!("write `{path} = {{ … }}` without the outer brackets")),
                };
                self.say(problem);
                match first.get_ref() {
                    DeValue::Table(table) => Some(self.table(path, keys, table, place)),
                    _ => None,
                }
            }
            _ => {
                self.say(
                    Problem::error(
                        ProblemKind::WrongType,
                        value.span(),
                        format!("`{path}` is a table, not a single value"),
                    )
                    .label("not a table")
                    .help(match value.get_ref() {
                        DeValue::Boolean(false) => "leave the line out where there is none".to_owned(),
                        _ => format!("its keys are {}", listed(keys.iter().map(|key| key.name), "and")),
                    }),
                );
                None
            }
        }
    }

    fn some_tables(
        &mut self,
        path: &str,
        keys: &'static [Key],
        key: &'static Key,
        value: &Spanned<DeValue<'_>>,
    ) -> Option<Value> {
        match value.get_ref() {
            DeValue::Array(items) => {
                let mut nodes = Vec::new();
                let mut whole = true;
                for item in items {
                    if let DeValue::Table(table) = item.get_ref() {
                        let place = self.header(item.span());
                        nodes.push(self.table(path, keys, table, place));
                    } else {
                        whole = false;
                        self.say(
                            Problem::error(
                                ProblemKind::WrongType,
                                item.span(),
                                format!("each entry of `{path}` is a table in braces"),
                            )
                            .label(format!("{}, not a table", sort(item.get_ref())))
                            .help(format!("write `{{ {} = …, … }}`", keys.first().map_or("name", |key| key.name))),
                        );
                    }
                }
                if nodes.is_empty() && whole && key.required {
                    self.say(
                        Problem::error(ProblemKind::MissingKey, value.span(), format!("`{path}` is empty"))
                            .label("an empty list")
                            .help(format!("add at least one: {}", lower_first(key.doc))),
                    );
                    return None;
                }
                (whole || !nodes.is_empty()).then_some(Value::Tables(nodes))
            }
            DeValue::Table(table) => {
                let place = self.header(value.span());
                let written = self.written(&place);
                let problem = Problem::error(
                    ProblemKind::WrongType,
                    place.clone(),
                    format!("there can be several `{path}`, so each is one of a list"),
                )
                .label("a single table");
                let problem = if written.starts_with('{') {
                    let list = format!("[{written}]");
                    if written.len() < 200 {
                        problem.help(format!("write `{list}`")).replacement(list)
                    } else {
                        problem
                    }
                } else if written.starts_with('[') {
                    problem.help(format!("write `[[{path}]]`")).replacement(format!("[[{path}]]"))
                } else {
                    problem.help(format!("put `[[{path}]]` above its keys"))
                };
                self.say(problem);
                Some(Value::Tables(vec![self.table(path, keys, table, place)]))
            }
            _ => {
                self.wrong_type(path, key, value);
                None
            }
        }
    }

    /// The header of a table, or the whole of it where it is written in braces on one line.
    pub(super) fn header(&self, place: Place) -> Place {
        let end = self.written(&place).find('\n').map_or(place.end, |at| place.start + at);
        place.start..end
    }

    pub(super) fn wrong_type(&mut self, path: &str, key: &'static Key, value: &Spanned<DeValue<'_>>) {
        let place = self.header(value.span());
        let example =
            if key.example.is_empty() { format!("[[{path}]]") } else { format!("{} = {}", key.name, key.example) };
        self.say(
            Problem::error(
                ProblemKind::WrongType,
                place,
                format!("`{path}` wants {}, not {}", wanted(key.kind), sort(value.get_ref())),
            )
            .label(sort(value.get_ref()))
            .help(format!("write it like `{example}`")),
        );
    }
}

/// A dotted path.
pub(super) fn joined(path: &str, name: &str) -> String {
    if path.is_empty() { name.to_owned() } else { [path, ".", name].concat() }
}

pub(super) fn lower_first(text: &str) -> String {
    let mut letters = text.trim_end_matches('.').chars();
    letters.next().map_or_else(String::new, |first| format!("{}{}", first.to_lowercase(), letters.as_str()))
}

/// What kind of value TOML sees.
pub(super) fn sort(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) | DeValue::Float(_) => "a bare number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// What a kind of key wants, in words.
pub(super) fn wanted(kind: Kind) -> String {
    match kind {
        Kind::Quantity(dimension) => crate::quantity::described(dimension).to_owned(),
        Kind::Level => "a level".to_owned(),
        Kind::Text => "a text in quotes".to_owned(),
        Kind::Name | Kind::Reference(_) => "a name in quotes".to_owned(),
        Kind::Choice(words) => format!("one of {}", listed(words.iter().copied(), "and")),
        Kind::Count => "a whole number".to_owned(),
        Kind::Ratio => "a share such as 0.25".to_owned(),
        Kind::Number => "a number".to_owned(),
        Kind::Money => "an amount of money, as a bare number".to_owned(),
        Kind::Flag => "`true` or `false`".to_owned(),
        Kind::PipeSize => "a pipe size in quotes".to_owned(),
        Kind::Pair => "two lengths".to_owned(),
        Kind::Texts => "a list of texts".to_owned(),
        Kind::Table(_) => "a table".to_owned(),
        Kind::TableOrNone(_) => "a table, or `false` for none".to_owned(),
        Kind::Tables(_) => "a list of tables".to_owned(),
        Kind::Fittings => "fittings with their numbers".to_owned(),
        Kind::Prices(_) => "prices by name".to_owned(),
        Kind::MoneyBy(size) => format!("amounts of money by {size}"),
        Kind::Several(of) => format!("a list, each {}", wanted(of.kind)),
        Kind::RainTable => "depths of rain by return period and duration".to_owned(),
        Kind::Spread(Dimension::Length) => {
            "a length up and down, or a list of the lowest and highest change".to_owned()
        }
        Kind::Spread(_) => "a share up and down, or a list of the lowest and highest change".to_owned(),
        Kind::Surface => "pairs of level and area".to_owned(),
        Kind::Curve => "pairs of flow and head".to_owned(),
    }
}
