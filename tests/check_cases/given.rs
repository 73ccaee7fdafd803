//! The inputs of a check, read with the project's own reader.

use std::cell::RefCell;
use std::collections::BTreeSet;
use sumpwright::quantity::{Measure, read};
use toml::{Table, Value};

/// Inputs of a check over those of its case.
pub(crate) struct Given<'a> {
    own: &'a Table,
    common: &'a Table,
    read: RefCell<BTreeSet<String>>,
}

impl<'a> Given<'a> {
    pub(crate) fn new(own: &'a Table, common: &'a Table) -> Self {
        Self { own, common, read: RefCell::new(BTreeSet::new()) }
    }
    /// The keys that were asked for and are there.
    pub(crate) fn keys_read(self) -> BTreeSet<String> {
        self.read.into_inner()
    }
    /// A value that may be left out.
    pub(crate) fn maybe(&self, key: &str) -> Option<&'a Value> {
        let value = self.own.get(key).or_else(|| self.common.get(key));
        if value.is_some() {
            self.read.borrow_mut().insert(key.to_owned());
        }
        value
    }
    fn value(&self, key: &str) -> Result<&'a Value, String> {
        self.maybe(key).ok_or_else(|| format!("the input `{key}` is missing"))
    }
    /// A quantity.
    pub(crate) fn get<Q: Measure<f64>>(&self, key: &str) -> Result<Q, String> {
        quantity(self.value(key)?).map_err(|error| format!("{key}: {error}"))
    }
    /// A plain number.
    pub(crate) fn number(&self, key: &str) -> Result<f64, String> {
        number(self.value(key)?).map_err(|error| format!("{key}: {error}"))
    }
    /// A text.
    pub(crate) fn text(&self, key: &str) -> Result<&'a str, String> {
        self.value(key)?.as_str().ok_or_else(|| format!("{key} is not a text"))
    }
    /// A yes or no, no when left out.
    pub(crate) fn flag(&self, key: &str) -> Result<bool, String> {
        self.maybe(key)
            .map_or(Ok(false), |value| value.as_bool().ok_or_else(|| format!("{key} is neither true nor false")))
    }
    /// A list of lists.
    pub(crate) fn rows(&self, key: &str) -> Result<Vec<&'a [Value]>, String> {
        let rows = self.value(key)?.as_array().ok_or_else(|| format!("{key} is not a list"))?;
        rows.iter()
            .map(|row| row.as_array().map(Vec::as_slice).ok_or_else(|| format!("{key} is not a list of lists")))
            .collect()
    }
}

/// A quantity from its text.
pub(crate) fn quantity<Q: Measure<f64>>(value: &Value) -> Result<Q, String> {
    let text = value.as_str().ok_or("a text with a unit is needed")?;
    read::<Q>(text).map_err(|error| error.to_string())
}

/// A number, whole or not.
pub(crate) fn number(value: &Value) -> Result<f64, String> {
    value
        .as_float()
        .or_else(|| value.as_integer().map(|whole| whole as f64))
        .ok_or_else(|| "a number is needed".to_owned())
}
