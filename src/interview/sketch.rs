//! The yard as far as it was answered.

use super::chapters::{FALL, Question, Takes, question, questions};
use super::reading::{self, Heights};
use crate::quantity::{Length, Level, read};
use std::collections::BTreeMap;

/// An answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answer {
    /// As it was typed; of a list a text for each line.
    Given(Vec<String>),
    /// What is usual.
    Usual,
    /// Still to be found out.
    Unknown,
}

/// The answers by the names of their questions.
pub(super) type Answers = BTreeMap<&'static str, Answer>;

/// The yard as far as it was answered, up to a question.
#[derive(Clone, Copy, Debug)]
pub struct Sketch<'a> {
    pub(super) answers: &'a Answers,
    /// Later questions do not count, answered or not: what they are about is not known yet.
    pub(super) up_to: Option<&'static str>,
}

impl Sketch<'_> {
    /// Whether the answer of a question counts.
    pub(super) fn counts(&self, name: &str) -> bool {
        let Some(last) = self.up_to else { return true };
        questions().map(|(_, question)| question.name).take_while(|other| *other != last).any(|other| other == name)
            || last == name
    }

    /// The answer to a question, what is usual among it, where it counts and is asked at all.
    pub(super) fn answer(&self, question: &Question) -> Option<Answer> {
        if !(question.asked)(self) {
            return None;
        }
        if !self.counts(question.name) {
            return None;
        }
        let given = self.answers.get(question.name).cloned();
        given.or_else(|| (question.usual)(self).is_some().then_some(Answer::Usual))
    }

    /// The answer as text, what is usual among it; none where it is not known.
    pub(super) fn text(&self, name: &str) -> Option<String> {
        let question = question(name)?;
        match self.answer(question)? {
            Answer::Given(lines) => lines.into_iter().next(),
            Answer::Usual => (question.usual)(self),
            Answer::Unknown => None,
        }
    }

    /// The lines of a list.
    pub(super) fn lines(&self, name: &str) -> Vec<String> {
        match question(name).and_then(|question| self.answer(question)) {
            Some(Answer::Given(lines)) => lines,
            _ => Vec::new(),
        }
    }

    /// Whether a question is answered by this word.
    pub(super) fn is(&self, name: &str, word: &str) -> bool {
        self.text(name).is_some_and(|text| text == word)
    }

    /// Whether the answer is what is usual, and nobody's own.
    pub(super) fn is_usual(&self, name: &str) -> bool {
        question(name).and_then(|question| self.answer(question)) == Some(Answer::Usual)
    }

    /// Whether the yard is entered in metric units.
    pub fn metric(&self) -> bool {
        self.is("units", "metric")
    }

    /// What heights count from.
    pub(super) fn zero(&self) -> String {
        self.text("zero").unwrap_or_else(|| "the door sill".to_owned())
    }

    /// How heights are read.
    pub(super) fn heights(&self) -> Heights {
        let heights = questions().filter(|(_, question)| matches!(question.takes, Takes::Level));
        let told = heights.filter(|(_, question)| self.counts(question.name)).filter_map(|(_, question)| {
            match self.answers.get(question.name)? {
                Answer::Given(lines) => reading::rod_at_zero(lines.first()?),
                Answer::Usual | Answer::Unknown => None,
            }
        });
        Heights { metric: self.metric(), rod_at_zero: told.last() }
    }

    /// A length that was answered.
    pub(super) fn length(&self, name: &str) -> Option<Length> {
        read(&self.text(name)?).ok()
    }

    /// A height that was answered.
    pub(super) fn level(&self, name: &str) -> Option<Level> {
        debug_assert!(question(name).is_some_and(|question| matches!(question.takes, Takes::Level)));
        reading::level(&self.text(name)?, self.heights(), &self.zero()).ok()
    }

    /// The level in the low place at which its water gets into the building that it runs to: high enough to run over the
    /// edge, and as high as the opening. Where the edge is not known, the opening alone says it if it lies above the lowest
    /// ground.
    pub(super) fn gets_in(&self) -> Option<Level> {
        let opening = self.level("spill-opening")?;
        match (self.level("spill-level"), self.level("low-level")) {
            (Some(edge), _) => Some(edge.max(opening)),
            (None, Some(lowest)) => Some(opening).filter(|opening| *opening > lowest),
            (None, None) => Some(opening),
        }
    }

    /// The lowest point inside the French drain's pipe where it comes in at the basin: as answered, or where that is as usual
    /// lower where else it would not fall from its far end.
    pub(super) fn french_invert(&self) -> Option<Level> {
        let end = self.level("french-end")?;
        let far = self.level("french-level").zip(self.length("french-length")).filter(|_| self.is_usual("french-end"));
        Some(far.map_or(end, |(far, length)| end.min(far - length * FALL)))
    }

    /// The lowest point inside the lowest pipe that comes in at the basin.
    pub(super) fn lowest_inlet(&self) -> Option<Level> {
        if self.is("way-in", "both") {
            return Some(self.french_invert()?.min(self.inlet_invert()?));
        }
        self.inlet_invert()
    }

    /// The lowest point inside the pipe that comes in at the basin: that from the grate, where there is one.
    pub(super) fn inlet_invert(&self) -> Option<Level> {
        if self.is("way-in", "french drain") {
            return self.level("french-end");
        }
        Some(self.drain_start()? - self.length("drain-fall")?)
    }

    /// The lowest point inside the pipe where it leaves the grate.
    pub(super) fn drain_start(&self) -> Option<Level> {
        Some(self.level("grate-level")? - self.length("drain-depth")?)
    }

    /// A level as the file writes it.
    pub(super) fn level_text(&self, level: Level) -> String {
        if self.metric() { format!("{:.3} m", level.m()) } else { format!("{:.2} ft", level.ft()) }
    }

    /// A short length, rounded up to half an inch or a centimetre.
    pub(super) fn short_up(&self, length: Length) -> String {
        self.short(length, libm::ceil)
    }

    /// A short length, rounded down to half an inch or a centimetre.
    pub(super) fn short_down(&self, length: Length) -> String {
        self.short(length, libm::floor)
    }

    fn short(&self, length: Length, round: fn(f64) -> f64) -> String {
        // what is whole stays so in spite of the last digit
        let whole = |parts: f64| {
            let near = libm::round(parts);
            if (parts - near).abs() < 1e-6 { near } else { round(parts) }
        };
        if self.metric() {
            format!("{} mm", whole(length.m() * 100.0) * 10.0)
        } else {
            format!("{} in", whole(length.inch() * 2.0) / 2.0)
        }
    }
}
