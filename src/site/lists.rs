//! Reading values made of several: pairs, fittings, rain tables.

use super::gap::is_gap;
use super::keys::{Key, Kind};
use super::problem::{Problem, ProblemKind};
use super::suggest::echo;
use super::tree::{FittingEntry, PeriodEntry, Place};
use super::walk::{Reader, joined, sort};
use super::words::{as_number, first_line};
use crate::quantity::{Dimension, read_si};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// More fittings of one kind than this are not meant.
pub(super) const MOST_FITTINGS: f64 = 1000.0;

type ReadPair<'t> = fn(&mut Reader<'t>, &str, &Spanned<DeValue<'_>>, &Spanned<DeValue<'_>>) -> Option<(f64, f64)>;

impl<'t> Reader<'t> {
    /// A list of pairs; nothing when any of them could not be read.
    pub(super) fn pairs(
        &mut self,
        path: &str,
        key: &'static Key,
        value: &Spanned<DeValue<'_>>,
        read: ReadPair<'t>,
    ) -> Option<Vec<(f64, f64, Place)>> {
        let DeValue::Array(items) = value.get_ref() else {
            self.wrong_type(path, key, value);
            return None;
        };
        // One pair without the outer brackets is a list of two texts.
        if items.len() == 2 && items.iter().all(|item| matches!(item.get_ref(), DeValue::String(_))) {
            let written = self.written(&value.span());
            let problem = Problem::error(
                ProblemKind::WrongType,
                first_line(self.text, value.span()),
                format!("`{path}` is a list of pairs, and this is one pair"),
            )
            .label("one pair");
            self.say(if matches!(key.kind, Kind::Curve) {
                problem.help(format!("{CURVE_ADVICE}: `{} = {}`", key.name, key.example))
            } else {
                problem.help(format!("write `[{}, …]`", echo(written)))
            });
            return None;
        }
        let mut pairs = Vec::new();
        let mut whole = true;
        for item in items {
            let pair = match item.get_ref() {
                DeValue::Array(two) => match (two.iter().next(), two.get(1), two.len()) {
                    (Some(first), Some(second), 2) => Some((first, second)),
                    _ => None,
                },
                _ => None,
            };
            let Some((first, second)) = pair else {
                whole = false;
                self.say(
                    Problem::error(
                        ProblemKind::WrongType,
                        first_line(self.text, item.span()),
                        format!("each entry of `{path}` is a pair in brackets"),
                    )
                    .label("not a pair")
                    .help(format!("write it like `{} = {}`", key.name, key.example)),
                );
                continue;
            };
            match read(self, path, first, second) {
                Some((first, second)) => pairs.push((first, second, item.span())),
                None => whole = false,
            }
        }
        whole.then_some(pairs)
    }

    /// Level and area.
    pub(super) fn level_and_area(
        &mut self,
        path: &str,
        first: &Spanned<DeValue<'_>>,
        second: &Spanned<DeValue<'_>>,
    ) -> Option<(f64, f64)> {
        static LEVEL: Key = super::keys::LEVEL_OF_PAIR;
        static AREA: Key = super::keys::AREA_OF_PAIR;
        let level = self.level(path, &LEVEL, first);
        let area = self.quantity(path, &AREA, Dimension::Area, second);
        Some((level?, area?))
    }

    /// Flow and head, whichever stands first.
    pub(super) fn flow_and_head(
        &mut self,
        path: &str,
        first: &Spanned<DeValue<'_>>,
        second: &Spanned<DeValue<'_>>,
    ) -> Option<(f64, f64)> {
        static FLOW: Key = super::keys::FLOW_OF_PAIR;
        static HEAD: Key = super::keys::HEAD_OF_PAIR;
        let is = |value: &Spanned<DeValue<'_>>, dimension| match value.get_ref() {
            DeValue::String(text) => read_si(text, dimension).is_ok(),
            _ => false,
        };
        let [first_flow, second_flow] = [first, second].map(|value| is(value, Dimension::Flow));
        let [first_head, second_head] = [first, second].map(|value| is(value, Dimension::Head));
        if first_flow && second_flow || first_head && second_head {
            let what = if first_flow { "two flows" } else { "two heads" };
            self.say(
                Problem::error(
                    ProblemKind::BadCurve,
                    first.span().start..second.span().end,
                    format!("`{path}` has {what} in one pair"),
                )
                .label(what)
                .help(format!("{CURVE_ADVICE}: `[\"20 gpm\", \"27 ft\"]`")),
            );
            return None;
        }
        let turned = first_head || second_flow;
        let (flow, head) = if turned { (second, first) } else { (first, second) };
        let flow = self.quantity(path, &FLOW, Dimension::Flow, flow);
        let head = self.quantity(path, &HEAD, Dimension::Head, head);
        Some((flow?, head?))
    }

    pub(super) fn fittings(
        &mut self,
        path: &str,
        key: &'static Key,
        value: &Spanned<DeValue<'_>>,
    ) -> Option<Vec<FittingEntry>> {
        let DeValue::Table(table) = value.get_ref() else {
            self.wrong_type(path, key, value);
            return None;
        };
        let mut fittings = Vec::new();
        for (name, how) in sorted(table) {
            let path = joined(path, &echo(name.get_ref()));
            let (count, k, equivalent) = match how.get_ref() {
                DeValue::Table(inner) => {
                    let node = self.table(&path, super::keys::FITTING, inner, how.span());
                    let unread = |name: &str, read: bool| node.has(name) && !read;
                    let (k, equivalent) = (node.number("k"), node.quantity("equivalent_length"));
                    if !node.has("count")
                        || unread("k", k.is_some())
                        || unread("equivalent_length", equivalent.is_some())
                    {
                        continue;
                    }
                    if k.is_some() && equivalent.is_some() {
                        self.say(
                            Problem::error(
                                ProblemKind::Conflict,
                                node.place_of("equivalent_length"),
                                format!("`{path}` has both `k` and `equivalent_length`"),
                            )
                            .label("one of the two is enough")
                            .also(node.at("k"), "the other")
                            .help("they are two ways to say the same loss: keep one"),
                        );
                        continue;
                    }
                    (node.number("count"), k, equivalent)
                }
                other => (as_number(other).filter(|_| !matches!(other, DeValue::Float(_))), None, None),
            };
            match count {
                Some(count) if (0.0..=MOST_FITTINGS).contains(&count) && count.fract() == 0.0 => {
                    // between 0 and MOST_FITTINGS and whole, so nothing is lost
                    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
                    let count = count as u32;
                    fittings.push(FittingEntry {
                        name: name.get_ref().to_string(),
                        count,
                        k,
                        equivalent,
                        place: name.span(),
                    });
                }
                _ if matches!(how.get_ref(), DeValue::Table(_)) => {}
                _ => self.say(
                    Problem::error(
                        ProblemKind::WrongType,
                        first_line(self.text, how.span()),
                        format!("`{path}` is how many there are, a whole number"),
                    )
                    .label(sort(how.get_ref()))
                    .help("write `\"elbow 90\" = 2`, or `\"elbow 90\" = { count = 2, k = 0.9 }`"),
                ),
            }
        }
        Some(fittings)
    }

    pub(super) fn rain_table(
        &mut self,
        path: &str,
        key: &'static Key,
        value: &Spanned<DeValue<'_>>,
    ) -> Option<Vec<PeriodEntry>> {
        static DEPTH: Key = super::keys::RAIN_DEPTH;
        let DeValue::Table(table) = value.get_ref() else {
            self.wrong_type(path, key, value);
            return None;
        };
        let mut periods = Vec::new();
        for (period, depths) in sorted(table) {
            let name = period.get_ref().as_ref();
            let place = self.key_place(period.span());
            let DeValue::Table(depths) = depths.get_ref() else {
                self.say(
                    Problem::error(
                        ProblemKind::BadRain,
                        place,
                        format!("`{}.{}` is not a table for a return period", path, echo(name)),
                    )
                    .label("a return period, and then durations")
                    .help("write `[rain.depth.\"10 yr\"]` above the lines such as `\"5 min\" = \"0.55 in\"`"),
                );
                continue;
            };
            if self.split_period(name, &place, depths) {
                continue;
            }
            let Some(years) = self.named_quantity(path, name, Dimension::ReturnPeriod, &place) else { continue };
            let here = joined(path, &format!("\"{}\"", echo(name)));
            let mut entry = PeriodEntry { years, place, depths: Vec::new(), whole: true };
            for (duration, depth) in sorted(depths) {
                let name = duration.get_ref().as_ref();
                let place = self.key_place(duration.span());
                let seconds = self.named_quantity(&here, name, Dimension::Duration, &place);
                let path = format!("{here}.\"{}\"", echo(name));
                if is_gap(depth.get_ref()) {
                    self.depth_gap(&path, depth.span());
                    continue;
                }
                let metres = self.quantity(&path, &DEPTH, Dimension::RainDepth, depth);
                match (seconds, metres) {
                    (Some(seconds), Some(metres)) => {
                        entry.depths.push((seconds, metres, place.start..depth.span().end));
                    }
                    _ => entry.whole = false,
                }
            }
            periods.push(entry);
        }
        Some(periods)
    }

    /// `[rain.depth.2.5yr]` is, to TOML, a table `5yr` in a table `2`.
    fn split_period(&mut self, name: &str, place: &Place, inner: &DeTable<'_>) -> bool {
        let [(rest, DeValue::Table(_))] =
            inner.iter().map(|(key, value)| (key, value.get_ref())).collect::<Vec<_>>()[..]
        else {
            return false;
        };
        let meant = format!("{name}.{}", rest.get_ref());
        let meant = match read_si(&meant, Dimension::ReturnPeriod) {
            Ok(_) => meant,
            Err(_) => return false,
        };
        let both = place.start..rest.span().end;
        self.say(
            Problem::error(ProblemKind::BadRain, both, format!("TOML splits `{meant}` at its point"))
                .label("a point outside quotes")
                .help(format!("write `[rain.depth.\"{meant}\"]`"))
                .replacement(format!("\"{meant}\"")),
        );
        true
    }

    /// A key that is itself a quantity: `"10 yr"`, `"5 min"`.
    fn named_quantity(&mut self, path: &str, name: &str, dimension: Dimension, place: &Place) -> Option<f64> {
        static PERIOD: Key = super::keys::RAIN_PERIOD;
        static DURATION: Key = super::keys::RAIN_DURATION;
        match read_si(name, dimension) {
            Ok(si) => {
                let key = if dimension == Dimension::Duration { &DURATION } else { &PERIOD };
                self.in_range(path, key, dimension, si, place.clone()).then_some(si)
            }
            Err(error) => {
                self.misread(path, name, place.clone(), &error);
                None
            }
        }
    }

    /// The place of a key with its quotes.
    fn key_place(&self, place: Place) -> Place {
        place.start..place.end.min(self.text.len())
    }
}

/// What to enter of a pump curve.
pub(super) const CURVE_ADVICE: &str = "enter at least two pairs of flow and the head at that flow, read off the \
                                       pump's curve; a flow alone, or one \"at 0 ft\", says nothing of what the pump \
                                       gives when it lifts";

/// The entries of a table in the order of the text.
fn sorted<'v, 'i>(table: &'v DeTable<'i>) -> Vec<(&'v Spanned<toml::de::DeString<'i>>, &'v Spanned<DeValue<'i>>)> {
    let mut entries: Vec<_> = table.iter().collect();
    entries.sort_by_key(|(key, _)| key.span().start);
    entries
}
