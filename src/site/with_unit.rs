//! Reading a text with its unit, and saying why it could not be read.

use super::gap::is_gap;
use super::keys::Key;
use super::meant;
use super::problem::{Problem, ProblemKind};
use super::suggest::{echo, listed};
use super::tree::Place;
use super::walk::{Reader, sort};
use super::words::{first_line, unit_of};
use crate::quantity::{Dimension, ReadError, UnitSystem, accepted, described, metric_twin, read_si};
use toml::Spanned;
use toml::de::DeValue;

impl Reader<'_> {
    /// A text with its unit.
    pub(super) fn quantity(
        &mut self,
        path: &str,
        key: &'static Key,
        dimension: Dimension,
        value: &Spanned<DeValue<'_>>,
    ) -> Option<f64> {
        let si = self.bare_quantity(path, key.example, dimension, value)?;
        self.in_range(path, key, dimension, si, value.span()).then_some(si)
    }

    /// A text with its unit, whatever its range.
    pub(super) fn bare_quantity(
        &mut self,
        path: &str,
        example: &str,
        dimension: Dimension,
        value: &Spanned<DeValue<'_>>,
    ) -> Option<f64> {
        let place = value.span();
        match value.get_ref() {
            // one of a list; a value by itself was told before
            gap if is_gap(gap) => {
                self.gap_in_list(path, place);
                None
            }
            DeValue::String(text) => match read_si(text, dimension) {
                Ok(si) => Some(si),
                Err(error) => {
                    let hint = meant::hint(path, example, dimension, text, &error);
                    self.misread_with(path, text, place, &error, hint);
                    None
                }
            },
            DeValue::Integer(_) | DeValue::Float(_) => {
                let number = self.written(&place);
                let unit = unit_of(example, dimension);
                let unit = if self.units == UnitSystem::Metric { metric_twin(unit) } else { unit };
                let others = listed(accepted(dimension).iter().copied().take(6), "or");
                let conductivity = meant::is_conductivity(path, dimension);
                let what = if conductivity { "a conductivity" } else { described(dimension) };
                let help = if conductivity {
                    meant::bare_conductivity(&echo(number))
                } else if dimension == Dimension::Slope && number.starts_with("0.0") {
                    meant::bare_ratio(&echo(number))
                } else {
                    format!("write `\"{} {unit}\"`, in quotes, with the unit that it is in: {others}", echo(number))
                };
                self.say(
                    Problem::error(ProblemKind::BareNumber, place, format!("`{path}` is {what} and needs its unit"))
                        .label("no unit")
                        .help(help),
                );
                None
            }
            other => {
                self.say(
                    Problem::error(
                        ProblemKind::WrongType,
                        first_line(self.text, place),
                        format!("`{path}` is {}, not {}", described(dimension), sort(other)),
                    )
                    .label(sort(other))
                    .help(format!("write it like `{example}`")),
                );
                None
            }
        }
    }

    /// Says why a text could not be read, at the part that is at fault.
    pub(super) fn misread(&mut self, path: &str, text: &str, place: Place, error: &ReadError) {
        self.misread_with(path, text, place, error, None);
    }

    /// The same with other advice.
    fn misread_with(&mut self, path: &str, text: &str, place: Place, error: &ReadError, hint: Option<String>) {
        let kind =
            if matches!(error, ReadError::NoUnit { .. }) { ProblemKind::BareNumber } else { ProblemKind::BadQuantity };
        let mut problem =
            Problem::error(kind, self.inside(text, &place, error.span()), format!("`{path}`: {error}")).label("here");
        if let Some(hint) = hint.or_else(|| error.hint_in(self.units)) {
            problem = problem.help(hint);
        }
        self.say(problem);
    }

    /// The place of a part of a text, where the text stands in the file as it is.
    fn inside(&self, text: &str, place: &Place, part: Option<Place>) -> Place {
        let inner = place.start + 1..place.end.saturating_sub(1);
        match part {
            Some(part) if self.written(&inner) == text && part.end <= text.len() && part.start < part.end => {
                inner.start + part.start..inner.start + part.end
            }
            _ => place.clone(),
        }
    }
}
