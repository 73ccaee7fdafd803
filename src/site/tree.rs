//! A site file as it was read: every value of the kind its key declares, with its place.

use super::keys::{Key, Kind};
use crate::quantity::{Length, Measure};
use std::ops::Range;

/// A place in the text, in bytes.
pub(super) type Place = Range<usize>;

/// A value.
#[derive(Clone, Debug)]
pub(super) enum Value {
    /// A quantity or level, in SI.
    Si(f64),
    /// A number, count, ratio or amount of money.
    Number(f64),
    /// Words: a text, a name, a choice, the label of a size.
    Words(String),
    /// Yes or no.
    Flag(bool),
    /// One length or two, m.
    Sides(f64, Option<f64>),
    /// From one change to another: shares, or m.
    Spread(f64, f64),
    /// Checked and not used: several texts; `false` where a table might stand.
    Checked,
    /// A table.
    Table(Node),
    /// Tables.
    Tables(Vec<Node>),
    /// Fittings.
    Fittings(Vec<FittingEntry>),
    /// Rain by return period.
    Rain(Vec<PeriodEntry>),
    /// Money by name, with the places of the names.
    Money(Vec<(String, f64, Place)>),
    /// Values of one kind, with their places.
    Several(Vec<(Value, Place)>),
    /// Pairs of SI numbers.
    Pairs(Vec<(f64, f64, Place)>),
}

/// So many fittings.
#[derive(Clone, Debug)]
pub(super) struct FittingEntry {
    pub(super) name: String,
    pub(super) count: u32,
    pub(super) k: Option<f64>,
    pub(super) equivalent: Option<Length>,
    pub(super) place: Place,
}

/// The rain of one return period.
#[derive(Clone, Debug)]
pub(super) struct PeriodEntry {
    pub(super) years: f64,
    pub(super) place: Place,
    /// Seconds, metres, and where the pair stands; whether some other pair could not be read.
    pub(super) depths: Vec<(f64, f64, Place)>,
    pub(super) whole: bool,
}

/// A key with its value; no value where it could not be read (and that has been said).
#[derive(Clone, Debug)]
pub(super) struct Entry {
    pub(super) key: &'static Key,
    pub(super) place: Place,
    pub(super) value: Option<Value>,
}

/// A table.
#[derive(Clone, Debug)]
pub(super) struct Node {
    /// Dotted, without the numbers of lists.
    pub(super) path: String,
    keys: &'static [Key],
    pub(super) place: Place,
    pub(super) entries: Vec<Entry>,
}

impl Node {
    pub(super) fn new(path: &str, keys: &'static [Key], place: Place) -> Self {
        Self { path: path.to_owned(), keys, place, entries: Vec::new() }
    }
    /// The entry of a key, whether its value could be read or not.
    pub(super) fn entry(&self, name: &str) -> Option<&Entry> {
        debug_assert!(self.keys.iter().any(|key| key.name == name), "`{}` declares no `{name}`", self.path);
        self.entries.iter().find(|entry| entry.key.name == name)
    }
    /// Whether the key stands in the file.
    pub(super) fn has(&self, name: &str) -> bool {
        self.entry(name).is_some()
    }
    fn value(&self, name: &str) -> Option<&Value> {
        self.entry(name)?.value.as_ref()
    }
    /// Where the value stands, or the table when the key does not.
    pub(super) fn place_of(&self, name: &str) -> Place {
        self.entry(name).map_or_else(|| self.place.clone(), |entry| entry.place.clone())
    }
    /// Where the value stands, if it does.
    pub(super) fn at(&self, name: &str) -> Option<Place> {
        self.entry(name).map(|entry| entry.place.clone())
    }
    /// A quantity.
    pub(super) fn quantity<Q: Measure<f64>>(&self, name: &str) -> Option<Q> {
        debug_assert!(
            self.keys.iter().any(|key| key.name == name
                && match key.kind {
                    Kind::Quantity(dimension) => dimension == Q::DIMENSION,
                    Kind::Level => Q::DIMENSION == crate::quantity::Dimension::Level,
                    _ => false,
                }),
            "`{}.{name}` is not declared as {:?}",
            self.path,
            Q::DIMENSION
        );
        match self.value(name)? {
            Value::Si(si) => Some(Q::from_si(*si)),
            _ => None,
        }
    }
    /// A number, count, ratio or amount of money.
    pub(super) fn number(&self, name: &str) -> Option<f64> {
        match self.value(name)? {
            Value::Number(number) => Some(*number),
            _ => None,
        }
    }
    /// Words.
    pub(super) fn words(&self, name: &str) -> Option<&str> {
        match self.value(name)? {
            Value::Words(words) => Some(words),
            _ => None,
        }
    }
    /// Words, owned.
    pub(super) fn text(&self, name: &str) -> Option<String> {
        self.words(name).map(str::to_owned)
    }
    /// Yes or no.
    pub(super) fn flag(&self, name: &str) -> Option<bool> {
        match self.value(name)? {
            Value::Flag(flag) => Some(*flag),
            _ => None,
        }
    }
    /// A table.
    pub(super) fn node(&self, name: &str) -> Option<&Node> {
        match self.value(name)? {
            Value::Table(node) => Some(node),
            _ => None,
        }
    }
    /// Tables; none when the key does not stand in the file.
    pub(super) fn nodes(&self, name: &str) -> &[Node] {
        match self.value(name) {
            Some(Value::Tables(nodes)) => nodes,
            _ => &[],
        }
    }
    /// One length, or two.
    pub(super) fn sides(&self, name: &str) -> Option<(Length, Option<Length>)> {
        match self.value(name)? {
            Value::Sides(first, second) => Some((Length::from_m(*first), second.map(Length::from_m))),
            _ => None,
        }
    }
    /// From one change to another.
    pub(super) fn spread(&self, name: &str) -> Option<(f64, f64)> {
        match self.value(name)? {
            Value::Spread(low, high) => Some((*low, *high)),
            _ => None,
        }
    }
    /// Fittings.
    pub(super) fn fittings(&self, name: &str) -> &[FittingEntry] {
        match self.value(name) {
            Some(Value::Fittings(fittings)) => fittings,
            _ => &[],
        }
    }
    /// Rain by return period.
    pub(super) fn periods(&self, name: &str) -> &[PeriodEntry] {
        match self.value(name) {
            Some(Value::Rain(periods)) => periods,
            _ => &[],
        }
    }
    /// Money by name.
    pub(super) fn money(&self, name: &str) -> &[(String, f64, Place)] {
        match self.value(name) {
            Some(Value::Money(money)) => money,
            _ => &[],
        }
    }
    /// A list of values of one kind.
    pub(super) fn several(&self, name: &str) -> &[(Value, Place)] {
        match self.value(name) {
            Some(Value::Several(values)) => values,
            _ => &[],
        }
    }
    /// Pairs.
    pub(super) fn pairs(&self, name: &str) -> Option<&[(f64, f64, Place)]> {
        match self.value(name)? {
            Value::Pairs(pairs) => Some(pairs),
            _ => None,
        }
    }
}
