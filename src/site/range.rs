//! Whether a value lies in the range that its key declares.

use super::keys::{self, Key, Kind, Range};
use super::problem::{Problem, ProblemKind};
use super::suggest::echo;
use super::tree::Place;
use super::walk::Reader;
use crate::quantity::{Dimension, read_si};

impl Reader<'_> {
    /// Whether a value lies in the range of its key, saying so if not.
    pub(super) fn in_range(
        &mut self,
        path: &str,
        key: &'static Key,
        dimension: Dimension,
        si: f64,
        place: Place,
    ) -> bool {
        let range = key.range.unwrap_or_else(|| fallback(dimension));
        let (least, most) = self.ends(range, dimension);
        if !(least <= si && si <= most) {
            let shown = echo(self.written(&place));
            let (than, limit) = if si > most { ("more than", range.most) } else { ("less than", range.least) };
            // 50 for a share is 50 %
            let percent = matches!(key.kind, Kind::Ratio | Kind::Spread(Dimension::Number))
                && (2.0..=100.0).contains(&si)
                && !shown.contains('%');
            let help = if percent && si / 100.0 <= most {
                format!("write `{}`, or `\"{si} %\"`", libm::round(si * 1e6) / 1e8)
            } else {
                format!("{} to {} is read ({})", range.least, range.most, range.why)
            };
            self.say(
                Problem::error(
                    ProblemKind::OutOfRange,
                    place,
                    format!("`{path}` is {shown}, which is {than} {limit}: it cannot be meant"),
                )
                .label(format!("{than} {limit}"))
                .help(help),
            );
            return false;
        }
        if let Some(usual) = key.usual {
            let (least, most) = self.ends(usual, dimension);
            if !(least <= si && si <= most) {
                let shown = echo(self.written(&place));
                let (than, limit) = if si > most { ("more than", usual.most) } else { ("less than", usual.least) };
                self.say(
                    Problem::warning(
                        ProblemKind::OddValue,
                        place,
                        format!("`{path}` is {shown}, which is {than} the usual {limit}"),
                    )
                    .label("is this meant?")
                    .help(usual.why),
                );
            }
        }
        true
    }
}

/// So many ranges are kept: of a list the same few are asked for again and again.
const KEPT: usize = 6;

impl Reader<'_> {
    /// The ends of a range, read anew where it was not among the last.
    fn ends(&mut self, range: Range, dimension: Dimension) -> (f64, f64) {
        // one declaration is one place: another of the same words only costs the reading
        let same = |known: &Range| std::ptr::eq(known.least, range.least) && std::ptr::eq(known.most, range.most);
        let known = self.ranges.iter().find(|(known, of, _)| *of == dimension && same(known));
        if let Some((_, _, ends)) = known {
            return *ends;
        }
        let found = ends(range, dimension);
        if self.ranges.len() == KEPT {
            self.ranges.remove(0);
        }
        self.ranges.push((range, dimension, found));
        found
    }
}

/// The ends of a range.
pub(super) fn ends(range: Range, dimension: Dimension) -> (f64, f64) {
    (end(range.least, dimension), end(range.most, dimension))
}

fn end(text: &str, dimension: Dimension) -> f64 {
    if dimension == Dimension::Number {
        return text.parse().unwrap_or(f64::NAN);
    }
    read_si(text, dimension).unwrap_or(f64::NAN)
}

/// Ends for keys that declare none: what no yard exceeds.
pub(super) fn fallback(dimension: Dimension) -> Range {
    let why = "beyond anything in a yard";
    let (least, most) = match dimension {
        Dimension::Number => ("-1e12", "1e12"),
        Dimension::Length => ("0 ft", "10000 ft"),
        Dimension::Level => (keys::LOWEST, keys::HIGHEST),
        Dimension::Area => ("0 ft2", "1000 acre"),
        Dimension::Volume => ("0 gal", "1000000 gal"),
        Dimension::Flow => ("0 gpm", "100000 gpm"),
        Dimension::Velocity => ("0 ft/s", "200 ft/s"),
        Dimension::Intensity => ("0 in/h", "1000 in/h"),
        Dimension::RainDepth => ("0 in", "200 in"),
        Dimension::Head => ("0 ft", "2000 ft"),
        Dimension::Pressure => ("0 psi", "1000 psi"),
        Dimension::Duration => ("0 s", "1000 days"),
        Dimension::ReturnPeriod => ("0.1 yr", "1000 yr"),
        Dimension::Temperature => ("-40 F", "212 F"),
        Dimension::Slope => ("0 %", "300 %"),
        Dimension::Weight => ("0 lb", "1000000 lb"),
        Dimension::Power => ("0 W", "1000 kW"),
        Dimension::Density => ("0 kg/m3", "20000 kg/m3"),
        Dimension::Viscosity => ("0 m2/s", "1 m2/s"),
    };
    Range { least, most, why }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::site::keys::SITE;
    use toml::de::DeTable;

    fn each(keys: &'static [Key], check: &mut impl FnMut(&'static [Key], &'static Key)) {
        for key in keys {
            check(keys, key);
            if let Some(inner) = key.keys() {
                each(inner, check);
            }
        }
    }

    #[test]
    fn every_declared_range_can_be_read_and_holds_something() {
        each(SITE, &mut |_, key| {
            let dimension = match key.kind {
                Kind::Quantity(dimension) | Kind::Spread(dimension) => dimension,
                Kind::Level => Dimension::Level,
                Kind::Pair => Dimension::Length,
                _ => Dimension::Number,
            };
            for range in [Some(fallback(dimension)), key.range, key.usual].into_iter().flatten() {
                let (least, most) = ends(range, dimension);
                assert!(least < most, "`{}`: {} to {}", key.name, range.least, range.most);
            }
        });
    }

    #[test]
    fn every_example_is_read_without_a_word() {
        each(SITE, &mut |keys, key| {
            if key.example.is_empty() {
                assert!(key.keys().is_some(), "`{}` has no example", key.name);
                return;
            }
            let text = format!("{} = {}\n", key.name, key.example);
            let (table, errors) = DeTable::parse_recoverable(&text);
            assert!(errors.is_empty(), "{text}: {errors:?}");
            let mut reader = Reader::new(&text, &[]);
            reader.setups.push(crate::site::walk::Setup { name: "back".to_owned(), plane_m: 30.0 });
            reader.table("", keys, table.get_ref(), 0..0);
            // other keys of the table are missing, of course
            reader.problems.retain(|problem| problem.kind != ProblemKind::MissingKey);
            assert_eq!(reader.problems, [], "{text}");
        });
    }

    #[test]
    fn no_key_is_declared_twice_in_a_table() {
        each(SITE, &mut |keys, key| {
            assert_eq!(keys.iter().filter(|other| other.name == key.name).count(), 1, "`{}`", key.name);
            assert!(
                key.doc.ends_with('.') || key.doc.ends_with("duration."),
                "`{}` has no line that says what it is",
                key.name
            );
        });
    }
}
