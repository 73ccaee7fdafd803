//! A JSON Schema of the site file, written from the declaration of its keys: editors complete and check by it.
//!
//! It says what can be said of one value by itself: which keys there are, what each holds, which words and numbers are
//! allowed. What depends on two values, or on the unit of a text, the reader alone can say. It never refuses what the
//! reader takes, but for blanks around a word of a list.

use super::gap::{GAP, may_be_a_remark};
use super::keys::{FITTING, Key, Kind, PRICE_LIST, ROD, Range, SITE};
use super::lists::MOST_FITTINGS;
use super::meant::own_unit;
use super::money::{LONGEST_LIST, MOST_MONEY};
use super::words::as_number;
use crate::quantity::{Dimension, accepted};
use serde_json::{Map, Value, json};
use toml::de::{DeTable, DeValue};

/// The draft of the schema language: the one that editors know best.
const DRAFT: &str = "http://json-schema.org/draft-07/schema#";
/// A digit, or a letter that stands for a fraction, and somewhere behind it what may be a unit.
const WITH_UNIT: &str = "[0-9½¼¾⅛⅜⅝⅞].*[^0-9\\s.,+-]";
/// Anything but blanks.
const NOT_BLANK: &str = "\\S";
/// The mark of a gap.
const MARK: &str = "^\\s*\\?\\s*$";
/// A number of percent.
const PERCENT: &str = "^\\s*[-+]?[0-9.]+([eE][-+]?[0-9]+)?\\s*%\\s*$";

/// The schema of a site file, as JSON text.
pub fn schema() -> String {
    whole("A site file of sumpwright: one yard, its basin, its pumps and their line.", SITE)
}

/// The schema of a price list, as JSON text.
pub fn price_list_schema() -> String {
    whole("A price list of sumpwright: prices and terms that serve many sites.", PRICE_LIST)
}

fn whole(title: &str, keys: &'static [Key]) -> String {
    let mut schema = json!({ "$schema": DRAFT, "title": title });
    add(&mut schema, table(keys));
    let mut text = format!("{schema:#}");
    text.push('\n');
    text
}

/// Puts the members of one object into another.
fn add(to: &mut Value, from: Value) {
    if let (Value::Object(to), Value::Object(from)) = (to, from) {
        to.extend(from);
    }
}

fn table(keys: &'static [Key]) -> Value {
    let properties: Map<String, Value> = keys.iter().map(|key| (key.name.to_owned(), of(key))).collect();
    let required: Vec<&str> = keys.iter().filter(|key| key.required).map(|key| key.name).collect();
    let mut table = json!({ "type": "object", "properties": properties, "additionalProperties": false });
    if !required.is_empty() {
        add(&mut table, json!({ "required": required }));
    }
    table
}

/// A key with all that is said of it.
fn of(key: &Key) -> Value {
    let mut schema = json!({ "description": described(key) });
    if let Some(example) = example(key) {
        add(&mut schema, json!({ "examples": [example] }));
    }
    add(&mut schema, if may_be_a_remark(key) { value(key) } else { or_gap(value(key)) });
    schema
}

/// The same, or the mark of what is still to be measured.
fn or_gap(mut schema: Value) -> Value {
    let Some(members) = schema.as_object_mut() else { return schema };
    if let Some(Value::Array(words)) = members.get_mut("enum") {
        words.push(Value::from(GAP));
        return schema;
    }
    match members.get("pattern").and_then(Value::as_str) {
        Some(WITH_UNIT) => members.insert("pattern".to_owned(), Value::from(format!("{WITH_UNIT}|{MARK}"))),
        // any text but a blank one, or any at all
        Some(NOT_BLANK) => None,
        None if members.get("type").and_then(Value::as_str) == Some("string") => None,
        _ => return json!({ "anyOf": [schema, { "type": "string", "pattern": MARK }] }),
    };
    schema
}

/// The meaning, the usual units, the range and what is taken without it, in sentences.
fn described(key: &Key) -> String {
    let mut words = vec![key.doc.to_owned()];
    if let Kind::Quantity(dimension) = key.kind {
        let units: Vec<&str> = accepted(dimension).iter().take(6).copied().collect();
        words.push(format!("Units: {}.", units.join(", ")));
    }
    words.extend(key.range.map(|range| format!("From {} to {}.", range.least, range.most)));
    words.extend(key.usual.map(|usual| format!("Usually {} to {}.", usual.least, usual.most)));
    if !key.default.is_empty() {
        words.push(format!("Without it: {}.", key.default));
    }
    if !key.used {
        words.push("Nothing is computed from it yet.".to_owned());
    }
    words.join(" ")
}

/// The example of a key as a value.
fn example(key: &Key) -> Option<Value> {
    let text = format!("example = {}", key.example);
    let (table, errors) = DeTable::parse_recoverable(&text);
    let value = table.get_ref().iter().next().map(|(_, value)| plain(value.get_ref()));
    value.filter(|_| errors.is_empty())
}

/// A value of a TOML text as JSON has it.
fn plain(value: &DeValue<'_>) -> Value {
    match value {
        DeValue::String(text) => Value::from(text.as_ref()),
        DeValue::Boolean(flag) => Value::from(*flag),
        DeValue::Integer(integer) => {
            i64::from_str_radix(integer.as_str(), integer.radix()).map_or(Value::Null, Value::from)
        }
        DeValue::Float(_) => as_number(value).map_or(Value::Null, Value::from),
        DeValue::Datetime(date) => Value::from(date.to_string()),
        DeValue::Array(items) => items.iter().map(|item| plain(item.get_ref())).collect(),
        DeValue::Table(table) => Value::Object(
            table.iter().map(|(name, value)| (name.get_ref().to_string(), plain(value.get_ref()))).collect(),
        ),
    }
}

/// What a key may hold.
fn value(key: &Key) -> Value {
    match key.kind {
        Kind::Quantity(_) | Kind::PipeSize | Kind::Pair => with_unit(),
        Kind::Level => level(),
        Kind::Text if !key.required => json!({ "type": "string" }),
        Kind::Text | Kind::Name | Kind::Reference(_) => json!({ "type": "string", "pattern": NOT_BLANK }),
        Kind::Choice(words) => json!({ "type": "string", "enum": words }),
        Kind::Count => bounded("integer", key.range, Some(0)),
        Kind::Number | Kind::Money => {
            let number = bounded("number", key.range, None);
            match own_unit(key) {
                Some(units) => {
                    let pattern = format!("^\\s*[0-9]+(\\.[0-9]+)?\\s*({})\\s*$", units.join("|"));
                    json!({ "anyOf": [number, { "type": "string", "pattern": pattern }] })
                }
                None => number,
            }
        }
        Kind::Ratio => share(key.range),
        Kind::Flag => json!({ "type": "boolean" }),
        Kind::Texts => json!({ "type": "array", "items": { "type": "string" } }),
        Kind::Table(keys) => table(keys),
        Kind::TableOrNone(keys) => {
            json!({ "anyOf": [{ "const": false }, { "enum": ["none", "no"] }, table(keys)] })
        }
        Kind::Tables(keys) if key.required => json!({ "type": "array", "minItems": 1, "items": table(keys) }),
        Kind::Tables(keys) => json!({ "type": "array", "items": table(keys) }),
        Kind::Fittings => {
            let how_many = json!({ "type": "integer", "minimum": 0, "maximum": MOST_FITTINGS });
            json!({ "type": "object", "additionalProperties": { "anyOf": [how_many, table(FITTING)] } })
        }
        Kind::Prices(keys) => {
            let mut prices = table(keys);
            add(&mut prices, json!({ "additionalProperties": money() }));
            prices
        }
        Kind::MoneyBy(_) => json!({ "type": "object", "additionalProperties": money() }),
        Kind::Several(each) => {
            json!({ "type": "array", "minItems": 1, "maxItems": LONGEST_LIST, "items": value(each) })
        }
        Kind::RainTable => {
            let depths = json!({ "type": "object", "additionalProperties": or_gap(with_unit()) });
            json!({ "type": "object", "additionalProperties": depths })
        }
        Kind::Spread(dimension) => {
            let one = if dimension == Dimension::Number { share(key.range) } else { with_unit() };
            let two = pair(&one, &one);
            json!({ "anyOf": [one, two] })
        }
        Kind::Surface => json!({ "type": "array", "items": pair(&level(), &with_unit()) }),
        Kind::Curve => json!({ "type": "array", "items": pair(&with_unit(), &with_unit()) }),
    }
}

fn with_unit() -> Value {
    json!({ "type": "string", "pattern": WITH_UNIT })
}

fn level() -> Value {
    json!({ "anyOf": [with_unit(), table(ROD)] })
}

fn money() -> Value {
    json!({ "type": "number", "minimum": 0, "maximum": MOST_MONEY })
}

fn pair(first: &Value, second: &Value) -> Value {
    json!({ "type": "array", "items": [first, second], "additionalItems": false, "minItems": 2 })
}

/// A bare number or a text of percent.
fn share(range: Option<Range>) -> Value {
    json!({ "anyOf": [bounded("number", range, None), { "type": "string", "pattern": PERCENT }] })
}

/// A bare number within the range of its key.
fn bounded(sort: &str, range: Option<Range>, least: Option<i64>) -> Value {
    let mut number = json!({ "type": sort });
    // a whole number without a point where it is one
    let end = |text: &str| text.parse::<i64>().map(Value::from).or_else(|_| text.parse::<f64>().map(Value::from)).ok();
    if let Some(least) = range.and_then(|range| end(range.least)).or(least.map(Value::from)) {
        add(&mut number, json!({ "minimum": least }));
    }
    if let Some(most) = range.and_then(|range| end(range.most)) {
        add(&mut number, json!({ "maximum": most }));
    }
    number
}
