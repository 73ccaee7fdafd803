//! Reading single values: levels, numbers, words.

use super::keys::{self, Key, Kind};
use super::meant;
use super::problem::{Problem, ProblemKind};
use super::suggest::{echo, listed, nearest};
use super::tree::{Place, Value};
use super::walk::{Reader, wanted};
use super::words::{as_number, first_line, unknown_name};
use crate::quantity::{Dimension, Length, read, read_pair, read_size};
use toml::Spanned;
use toml::de::{DeArray, DeValue};

/// The longest name.
const LONGEST_NAME: usize = 80;

impl Reader<'_> {
    pub(super) fn leaf(&mut self, path: &str, key: &'static Key, value: &Spanned<DeValue<'_>>) -> Option<Value> {
        match key.kind {
            Kind::Quantity(dimension) => self.quantity(path, key, dimension, value).map(Value::Si),
            Kind::Level => self.level(path, key, value).map(Value::Si),
            Kind::Count => self.count(path, key, value).map(Value::Number),
            Kind::Ratio => self.ratio(path, key, value).map(Value::Number),
            Kind::Number | Kind::Money => self.number(path, key, value).map(Value::Number),
            Kind::Flag => self.flag(path, key, value),
            Kind::Text => self.words(path, key, value).map(Value::Words),
            Kind::Name | Kind::Reference(_) => self.name(path, key, value).map(Value::Words),
            Kind::Choice(words) => self.choice(path, key, words, value).map(Value::Words),
            Kind::PipeSize => self.size(path, key, value).map(Value::Words),
            Kind::Pair => self.pair_of_lengths(path, key, value),
            Kind::Texts => self.texts(path, key, value),
            Kind::Fittings => self.fittings(path, key, value).map(Value::Fittings),
            Kind::Prices(keys) => self.prices(path, keys, key, value),
            Kind::MoneyBy(size) => self.money_by(path, key, size, value).map(Value::Money),
            Kind::Several(of) => self.several(path, key, of, value).map(Value::Several),
            Kind::RainTable => self.rain_table(path, key, value).map(Value::Rain),
            Kind::Spread(dimension) => self.spread(path, key, dimension, value),
            Kind::Surface => self.pairs(path, key, value, Self::level_and_area).map(Value::Pairs),
            Kind::Curve => self.pairs(path, key, value, Self::flow_and_head).map(Value::Pairs),
            Kind::Table(_) | Kind::TableOrNone(_) | Kind::Tables(_) => None,
        }
    }

    /// A level, or the level that a rod reading gives.
    pub(super) fn level(&mut self, path: &str, key: &'static Key, value: &Spanned<DeValue<'_>>) -> Option<f64> {
        let DeValue::Table(table) = value.get_ref() else {
            return self.quantity(path, key, Dimension::Level, value);
        };
        let place = value.span();
        let node = self.table(path, keys::ROD, table, place.clone());
        let rod = node.quantity::<crate::quantity::Length>("rod")?;
        if self.setups_broken {
            return None;
        }
        let setups = self.setups.clone();
        let setup = match (node.words("setup"), setups.as_slice()) {
            (_, []) => {
                self.say(
                    Problem::error(
                        ProblemKind::RodReading,
                        place,
                        format!("`{path}` is a rod reading, but there is no setup"),
                    )
                    .label("from which benchmark?")
                    .help(
                        "add `[levels]` with `setups = [{ name = \"front\", benchmark = \"100.00 ft\", \
                             rod_on_benchmark = \"4.20 ft\" }]`",
                    ),
                );
                return None;
            }
            (None, [only]) => Some(only),
            (None, several) if !node.has("setup") => {
                let names = listed(several.iter().map(|setup| setup.name.as_str()), "and");
                self.say(
                    Problem::error(
                        ProblemKind::RodReading,
                        place,
                        format!("`{path}` does not say from which setup it was read"),
                    )
                    .label("no setup")
                    .help(format!("add `setup = …`; the setups are {names}")),
                );
                return None;
            }
            (None, _) => return None,
            (Some(name), setups) => {
                let found = setups.iter().find(|setup| setup.name == name);
                if found.is_none() {
                    let names: Vec<&str> = setups.iter().map(|setup| setup.name.as_str()).collect();
                    let problem = unknown_name("setup", name, node.place_of("setup"), &names);
                    self.say(problem);
                }
                found
            }
        }?;
        let level = setup.plane_m - rod.m();
        self.in_range(path, key, Dimension::Level, level, place).then_some(level)
    }

    fn count(&mut self, path: &str, key: &'static Key, value: &Spanned<DeValue<'_>>) -> Option<f64> {
        let number = self.bare_number(path, key, value)?;
        if number < 0.0 || number.fract() != 0.0 || number > 1e9 {
            let shown = echo(self.written(&value.span()));
            self.say(
                Problem::error(
                    ProblemKind::OutOfRange,
                    value.span(),
                    format!("`{path}` is a whole number, not {shown}"),
                )
                .label("not a whole number")
                .help(format!("write it like `{} = {}`", key.name, key.example)),
            );
            return None;
        }
        self.number_in_range(path, key, number, value.span()).then_some(number)
    }

    pub(super) fn ratio(&mut self, path: &str, key: &'static Key, value: &Spanned<DeValue<'_>>) -> Option<f64> {
        if let DeValue::String(text) = value.get_ref()
            && let Some(number) = text.trim().strip_suffix('%')
            && let Ok(percent) = number.trim().parse::<f64>()
        {
            let share = percent / 100.0;
            return self.number_in_range(path, key, share, value.span()).then_some(share);
        }
        self.number(path, key, value)
    }

    fn number(&mut self, path: &str, key: &'static Key, value: &Spanned<DeValue<'_>>) -> Option<f64> {
        let number = self.bare_number(path, key, value)?;
        self.number_in_range(path, key, number, value.span()).then_some(number)
    }

    fn number_in_range(&mut self, path: &str, key: &'static Key, number: f64, place: Place) -> bool {
        if !number.is_finite() {
            let shown = echo(self.written(&place));
            self.say(
                Problem::error(
                    ProblemKind::OutOfRange,
                    place,
                    format!("`{path}` is {shown}, which is no number to reckon with"),
                )
                .label("not an ordinary number"),
            );
            return false;
        }
        self.in_range(path, key, Dimension::Number, number, place)
    }

    /// A number without a unit.
    pub(super) fn bare_number(&mut self, path: &str, key: &'static Key, value: &Spanned<DeValue<'_>>) -> Option<f64> {
        if let Some(number) = as_number(value.get_ref()) {
            return Some(number);
        }
        let place = value.span();
        if let DeValue::String(text) = value.get_ref() {
            if let Some(number) = meant::number_with_own_unit(key, text) {
                return Some(number);
            }
            let mut problem = Problem::error(
                ProblemKind::WrongType,
                place,
                match meant::own_unit(key).and_then(<[_]>::first) {
                    Some(unit) => format!(
                        "`{path}` is a number, bare or in quotes with its unit `{unit}`, not `\"{}\"`",
                        echo(text)
                    ),
                    None => {
                        format!("`{path}` is {} without unit and quotes, not `\"{}\"`", wanted(key.kind), echo(text))
                    }
                },
            )
            .label("a text");
            // `4:1` of a side slope, the horizontal first
            let number = text.trim().strip_suffix(":1").unwrap_or(text.trim());
            if let Some(amount) = meant::money(text).filter(|_| matches!(key.kind, Kind::Money)) {
                self.say(problem.help(format!("write `{amount}`")).replacement(amount));
                return None;
            }
            problem = if !number.is_empty() && number.bytes().all(|byte| byte.is_ascii_digit()) && number.len() < 9 {
                let number = number.trim_start_matches('0');
                let number = if number.is_empty() { "0" } else { number };
                problem.help(format!("write `{number}`")).replacement(number)
            } else {
                problem.help(format!("write it like `{} = {}`", key.name, key.example))
            };
            self.say(problem);
            return None;
        }
        self.wrong_type(path, key, value);
        None
    }

    fn flag(&mut self, path: &str, key: &'static Key, value: &Spanned<DeValue<'_>>) -> Option<Value> {
        if let DeValue::Boolean(flag) = value.get_ref() {
            return Some(Value::Flag(*flag));
        }
        if let DeValue::String(text) = value.get_ref()
            && let Some(word) = meant::flag(text)
        {
            let message = format!("`{path}` is `true` or `false` without quotes, not `\"{}\"`", echo(text));
            let problem = Problem::error(ProblemKind::WrongType, value.span(), message).label("a text");
            self.say(problem.help(format!("write `{word}`")).replacement(word));
            return None;
        }
        self.wrong_type(path, key, value);
        None
    }

    fn words(&mut self, path: &str, key: &'static Key, value: &Spanned<DeValue<'_>>) -> Option<String> {
        if let DeValue::String(text) = value.get_ref() {
            if key.required && text.trim().is_empty() {
                self.empty(path, value.span(), key.example);
                return None;
            }
            return Some(text.trim().to_owned());
        }
        self.wrong_type(path, key, value);
        None
    }

    fn empty(&mut self, path: &str, place: Place, example: &str) {
        self.say(
            Problem::error(ProblemKind::MissingKey, place, format!("`{path}` is empty"))
                .label("nothing in it")
                .help(format!("write it like `{example}`")),
        );
    }

    fn name(&mut self, path: &str, key: &'static Key, value: &Spanned<DeValue<'_>>) -> Option<String> {
        let name = self.words(path, key, value)?;
        if name.is_empty() {
            self.empty(path, value.span(), key.example);
            return None;
        }
        if name.chars().count() > LONGEST_NAME || name.chars().any(char::is_control) {
            self.say(
                Problem::error(
                    ProblemKind::OutOfRange,
                    first_line(self.text, value.span()),
                    format!("`{path}` is not a name"),
                )
                .label("too long, or with line breaks")
                .help(format!("a name has up to {LONGEST_NAME} letters on one line")),
            );
            return None;
        }
        Some(name)
    }

    fn choice(
        &mut self,
        path: &str,
        key: &'static Key,
        words: &'static [&'static str],
        value: &Spanned<DeValue<'_>>,
    ) -> Option<String> {
        let text = self.words(path, key, value)?;
        if words.contains(&text.as_str()) {
            return Some(text);
        }
        let choices = listed(words.iter().copied(), "or");
        let mut problem =
            Problem::error(ProblemKind::UnknownChoice, value.span(), format!("`{path}` cannot be `{}`", echo(&text)))
                .label(format!("not {choices}"));
        // one letter is near every other
        let near = || nearest(&text, words.iter().copied().filter(|word| word.len() > 1));
        problem = match meant::choice(key, &text, words).or_else(near) {
            Some(word) => problem.help(format!("did you mean `{word}`?")).replacement(format!("\"{word}\"")),
            None => problem.help(meant::choice_help(key, &text).unwrap_or_else(|| format!("write {choices}"))),
        };
        self.say(problem);
        None
    }

    fn size(&mut self, path: &str, key: &'static Key, value: &Spanned<DeValue<'_>>) -> Option<String> {
        let DeValue::String(text) = value.get_ref() else {
            // the same words as for a length without a unit
            self.bare_quantity(path, key.example, Dimension::Length, value);
            return None;
        };
        match read_size(text) {
            Ok(size) => Some(size),
            Err(error) => {
                self.misread(path, text, value.span(), &error);
                None
            }
        }
    }

    fn pair_of_lengths(&mut self, path: &str, key: &'static Key, value: &Spanned<DeValue<'_>>) -> Option<Value> {
        if let DeValue::String(text) = value.get_ref()
            && text.contains(['x', 'X', '×', '*'])
        {
            return match read_pair(text) {
                Ok((first, second)) => [first, second]
                    .iter()
                    .all(|side| self.in_range(path, key, Dimension::Length, side.m(), value.span()))
                    .then_some(Value::Sides(first.m(), Some(second.m()))),
                Err(error) => {
                    self.misread(path, text, value.span(), &error);
                    None
                }
            };
        }
        // a square or round one by its one size and its shape
        if let DeValue::String(text) = value.get_ref()
            && let Some((length, square)) = shaped(text)
            && let Ok(side) = read::<Length>(length)
        {
            let inside = self.in_range(path, key, Dimension::Length, side.m(), value.span());
            return inside.then(|| Value::Sides(side.m(), square.then(|| side.m())));
        }
        self.quantity(path, key, Dimension::Length, value).map(|side| Value::Sides(side, None))
    }

    fn texts(&mut self, path: &str, key: &'static Key, value: &Spanned<DeValue<'_>>) -> Option<Value> {
        let texts = |items: &DeArray<'_>| items.iter().all(|item| matches!(item.get_ref(), DeValue::String(_)));
        match value.get_ref() {
            DeValue::Array(items) if texts(items) => Some(Value::Checked),
            _ => {
                self.wrong_type(path, key, value);
                None
            }
        }
    }
}

/// A size with its shape: `12 in square`, `12 in round`. Whether it is square.
fn shaped(text: &str) -> Option<(&str, bool)> {
    let text = text.trim();
    let shape = |ends: &[&str]| ends.iter().find_map(|end| text.strip_suffix(end)).map(str::trim);
    let square = shape(&["square", "sq"]).map(|length| (length, true));
    square.or_else(|| shape(&["round", "diameter", "across", "dia"]).map(|length| (length, false)))
}
