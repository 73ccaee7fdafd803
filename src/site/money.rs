//! Reading money by name, and lists of values of one kind.

use super::keys::Key;
use super::problem::{Problem, ProblemKind};
use super::suggest::{echo, nearest};
use super::tree::{Node, Place, Value};
use super::walk::{Reader, joined, sort};
use super::words::{as_number, first_line};
use crate::catalog;
use crate::quantity::{Length, read, read_size};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// An amount of money beyond this is not meant.
pub(super) const MOST_MONEY: f64 = 1e6;
/// The longest name of something with a price.
const LONGEST_NAME: usize = 80;
/// A longer list is not meant.
pub(super) const LONGEST_LIST: usize = 100;
/// A name with its value.
type Entry<'v, 'i> = (&'v Spanned<toml::de::DeString<'i>>, &'v Spanned<DeValue<'i>>);

impl Reader<'_> {
    /// Prices: those declared, and amounts of money under any other name.
    pub(super) fn prices(
        &mut self,
        path: &str,
        keys: &'static [Key],
        key: &'static Key,
        value: &Spanned<DeValue<'_>>,
    ) -> Option<Value> {
        let DeValue::Table(table) = value.get_ref() else {
            self.wrong_type(path, key, value);
            return None;
        };
        let place = self.header(value.span());
        let mut node = Node::new(path, keys, place);
        for (name, price) in in_order(table) {
            let word = name.get_ref().as_ref();
            if let Some(declared) = keys.iter().find(|key| key.name == word) {
                self.entry(&mut node, declared, name.span(), price);
                continue;
            }
            let path = format!("{path}.\"{}\"", echo(word));
            // one letter off is a slip, not another price
            let called = keys.iter().find(|key| key.also_called.contains(&word)).map(|key| key.name);
            let near = nearest(word, keys.iter().map(|key| key.name)).filter(|near| alike(word, near));
            if let Some(near) = called.or(near) {
                self.say(
                    Problem::error(ProblemKind::UnknownKey, name.span(), format!("unknown key `{path}`"))
                        .label("unknown key")
                        .help(format!("did you mean `{near}`?"))
                        .replacement(near),
                );
                continue;
            }
            if self.amount_of_money(&path, price).is_some() {
                self.note_not_used(&path, &name.span());
            }
        }
        Some(Value::Table(node))
    }

    /// Money by a size.
    pub(super) fn money_by(
        &mut self,
        path: &str,
        key: &'static Key,
        size: &str,
        value: &Spanned<DeValue<'_>>,
    ) -> Option<Vec<(String, f64, Place)>> {
        let DeValue::Table(table) = value.get_ref() else {
            self.wrong_type(path, key, value);
            return None;
        };
        let mut found = Vec::new();
        for (name, price) in in_order(table) {
            let word = name.get_ref().as_ref();
            let inner = joined(path, &format!("\"{}\"", echo(word)));
            let read = match size {
                "pipe size" => read_size(word),
                "inside diameter" => read::<Length>(word).map(|_| word.to_owned()),
                _ => {
                    let word = self.name_of_a_price(&inner, size, word, name.span());
                    found.extend(
                        self.amount_of_money(&inner, price).zip(word).map(|(money, word)| (word, money, name.span())),
                    );
                    continue;
                }
            };
            match read {
                Ok(word) => found.extend(self.amount_of_money(&inner, price).map(|money| (word, money, name.span()))),
                Err(error) => self.misread(&inner, word, name.span(), &error),
            }
        }
        Some(found)
    }

    /// A name that something has its price under; of a fitting, one that is nearly another's is doubtful.
    fn name_of_a_price(&mut self, path: &str, of: &str, word: &str, place: Place) -> Option<String> {
        let word = word.trim();
        if word.is_empty() || word.chars().count() > LONGEST_NAME || word.chars().any(char::is_control) {
            let problem = Problem::error(ProblemKind::OutOfRange, place, format!("`{path}` is not a name"))
                .label("empty, too long, or with line breaks")
                .help(format!("a name has up to {LONGEST_NAME} letters on one line"));
            self.say(problem);
            return None;
        }
        let known = if of == "fitting" { catalog::fitting_names() } else { Vec::new() };
        let lower = word.to_lowercase();
        if !known.iter().any(|name| lower.ends_with(*name))
            && let Some(near) = nearest(word, known.iter().copied()).filter(|near| alike(word, near))
        {
            let problem = Problem::warning(
                ProblemKind::UnknownFitting,
                place,
                format!("the price of `{}` belongs to no fitting in the tables", echo(word)),
            )
            .label("not known")
            .help(format!("did you mean `{near}`? A fitting of your own keeps its name"));
            self.say(problem);
        }
        Some(word.to_owned())
    }

    /// A bare number of zero or more.
    fn amount_of_money(&mut self, path: &str, price: &Spanned<DeValue<'_>>) -> Option<f64> {
        let number = as_number(price.get_ref()).filter(|number| number.is_finite() && *number >= 0.0);
        if number.is_none() {
            self.say(
                Problem::error(
                    ProblemKind::WrongType,
                    first_line(self.text, price.span()),
                    format!("`{path}` is not an amount of money"),
                )
                .label(sort(price.get_ref()))
                .help("write a bare number of zero or more, without a currency sign: `14.50`"),
            );
        }
        number.filter(|number| {
            let meant = *number <= MOST_MONEY;
            if !meant {
                let problem = Problem::error(
                    ProblemKind::OutOfRange,
                    first_line(self.text, price.span()),
                    format!("`{path}` is more than {MOST_MONEY}: it cannot be meant"),
                )
                .label("too much")
                .help("nothing in a yard costs more: is a digit or the decimal point wrong?");
                self.say(problem);
            }
            meant
        })
    }

    /// A list of values of one kind.
    pub(super) fn several(
        &mut self,
        path: &str,
        key: &'static Key,
        of: &'static Key,
        value: &Spanned<DeValue<'_>>,
    ) -> Option<Vec<(Value, Place)>> {
        let DeValue::Array(items) = value.get_ref() else {
            let written = self.written(&value.span());
            let problem = Problem::error(
                ProblemKind::WrongType,
                first_line(self.text, value.span()),
                format!("`{path}` is a list, and this is {}", sort(value.get_ref())),
            )
            .label("not a list");
            self.say(match value.get_ref() {
                DeValue::String(_) => {
                    let list = format!("[{}]", echo(written));
                    problem.help(format!("write `{} = {list}`", key.name)).replacement(list)
                }
                _ => problem.help(format!("write it like `{} = {}`", key.name, key.example)),
            });
            return None;
        };
        if items.is_empty() || items.len() > LONGEST_LIST {
            let (what, help) = if items.is_empty() {
                ("an empty list".to_owned(), "leave the line out to have what is usual tried")
            } else {
                (format!("{} values", items.len()), "shorten the list: at most 100 are read")
            };
            self.say(
                Problem::error(
                    ProblemKind::OutOfRange,
                    first_line(self.text, value.span()),
                    format!("`{path}` has {what}"),
                )
                .label(what)
                .help(help),
            );
            return None;
        }
        let mut values = Vec::new();
        for item in items {
            if let Some(read) = self.value(path, of, item) {
                values.push((read, item.span()));
            }
        }
        (values.len() == items.len()).then_some(values)
    }
}

/// Whether two words differ in their case or by a letter alone.
fn alike(one: &str, other: &str) -> bool {
    one.eq_ignore_ascii_case(other) || strsim::damerau_levenshtein(&one.to_lowercase(), &other.to_lowercase()) <= 2
}

/// The entries of a table in the order of the text.
fn in_order<'v, 'i>(table: &'v DeTable<'i>) -> Vec<Entry<'v, 'i>> {
    let mut entries: Vec<Entry<'v, 'i>> = table.iter().collect();
    entries.sort_by_key(|(key, _)| key.span().start);
    entries
}
