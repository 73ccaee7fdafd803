//! Reading how far a value may be off: one change up and down, or a list of the lowest and the highest.

use super::keys::Key;
use super::problem::{Problem, ProblemKind};
use super::range::ends;
use super::suggest::echo;
use super::tree::Value;
use super::walk::Reader;
use crate::quantity::Dimension;
use toml::Spanned;
use toml::de::DeValue;

impl Reader<'_> {
    /// A change, or two.
    pub(super) fn spread(
        &mut self,
        path: &str,
        key: &'static Key,
        dimension: Dimension,
        value: &Spanned<DeValue<'_>>,
    ) -> Option<Value> {
        let DeValue::Array(items) = value.get_ref() else {
            if !matches!(value.get_ref(), DeValue::String(_) | DeValue::Integer(_) | DeValue::Float(_)) {
                self.wrong_type(path, key, value);
                return None;
            }
            let both = self.change(path, key, dimension, value)?;
            return self.both_ways(path, key, dimension, both, value);
        };
        let (Some(low), Some(high), 2) = (items.first(), items.get(1), items.len()) else {
            self.wrong_type(path, key, value);
            return None;
        };
        let low_at = self.change(path, key, dimension, low);
        let (low, high) = (low_at?, self.change(path, key, dimension, high)?);
        if low > high {
            let shown = echo(self.written(&value.span()));
            let problem =
                Problem::error(ProblemKind::Conflict, value.span(), format!("`{path}` is {shown}, from more to less"))
                    .label("the lower end comes first")
                    .help("a change below zero has a minus: `[\"-5 %\", \"15 %\"]`");
            self.say(problem);
            return None;
        }
        Some(Value::Spread(low, high))
    }

    fn change(
        &mut self,
        path: &str,
        key: &'static Key,
        dimension: Dimension,
        value: &Spanned<DeValue<'_>>,
    ) -> Option<f64> {
        match dimension {
            Dimension::Number => self.ratio(path, key, value),
            _ => self.quantity(path, key, dimension, value),
        }
    }

    /// One change alone goes down as far as up.
    fn both_ways(
        &mut self,
        path: &str,
        key: &'static Key,
        dimension: Dimension,
        change: f64,
        value: &Spanned<DeValue<'_>>,
    ) -> Option<Value> {
        let (least, _) = key.range.map_or((f64::NEG_INFINITY, 0.0), |range| ends(range, dimension));
        let shown = echo(self.written(&value.span()));
        let message = if change < 0.0 {
            format!("`{path}` is {shown}, which goes both ways and cannot be below zero")
        } else if -change < least {
            format!("`{path}` is {shown} up and down, and it cannot be meant so far down")
        } else {
            return Some(Value::Spread(-change, change));
        };
        let help = format!(
            "write the lowest and the highest change: `{} = [\"{}\", \"{}\"]`",
            key.name,
            low(dimension),
            high(dimension)
        );
        self.say(Problem::error(ProblemKind::OutOfRange, value.span(), message).label("both ways").help(help));
        None
    }
}

fn low(dimension: Dimension) -> &'static str {
    if dimension == Dimension::Number { "-5 %" } else { "-3 in" }
}

fn high(dimension: Dimension) -> &'static str {
    if dimension == Dimension::Number { "15 %" } else { "12 in" }
}
