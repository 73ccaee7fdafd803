//! Answers as text, so that they outlive the program.

use super::chapters::{Takes, question, questions};
use super::sketch::Answer;
use super::writing::quoted;
use super::{Interview, VERSION};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use thiserror::Error;

/// The version of the text.
const FORMAT: u32 = 1;

/// Why a text holds no answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[error("it holds no answers to `sumpwright new`")]
pub struct NotKept;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Kept {
    answers_to_sumpwright_new: u32,
    #[serde(default)]
    next: Option<String>,
    #[serde(default)]
    given: BTreeMap<String, Vec<String>>,
    #[serde(default)]
    usual: Vec<String>,
    #[serde(default)]
    unknown: Vec<String>,
}

impl Interview {
    /// All answers and the question that is due, as text.
    pub fn kept(&self) -> String {
        let mut text = format!("# Kept by sumpwright {VERSION}; taken away when the site file is written.\n");
        let _ = writeln!(text, "answers_to_sumpwright_new = {FORMAT}");
        if let Some((_, question)) = self.due() {
            let _ = writeln!(text, "next = {}", quoted(question.name));
        }
        let named = |wanted: Answer| {
            let names = questions().map(|(_, question)| question.name);
            let names = names.filter(|name| self.answers.get(name) == Some(&wanted)).map(quoted);
            names.collect::<Vec<_>>().join(", ")
        };
        let _ = writeln!(text, "usual = [{}]", named(Answer::Usual));
        let _ = writeln!(text, "unknown = [{}]", named(Answer::Unknown));
        text.push_str("\n[given]\n");
        for (_, question) in questions() {
            if let Some(Answer::Given(lines)) = self.answers.get(question.name) {
                let lines: Vec<String> = lines.iter().map(|line| quoted(line)).collect();
                let _ = writeln!(text, "{} = [{}]", quoted(question.name), lines.join(", "));
            }
        }
        text
    }

    /// The interview that a text was kept of. An answer that is no longer taken, or to a question that is no longer asked,
    /// is left out.
    ///
    /// # Errors
    /// The text is none of this sort.
    pub fn resumed(text: &str) -> Result<Self, NotKept> {
        let kept: Kept = toml::from_str(text).map_err(|_| NotKept)?;
        if kept.answers_to_sumpwright_new != FORMAT {
            return Err(NotKept);
        }
        let mut interview = Self::new();
        for (_, question) in questions() {
            if let Some(lines) = kept.given.get(question.name) {
                interview.restore(question.name, lines);
            } else if kept.usual.iter().any(|name| name == question.name) {
                interview.answers.insert(question.name, Answer::Usual);
            } else if kept.unknown.iter().any(|name| name == question.name) && question.may_be_unknown {
                interview.answers.insert(question.name, Answer::Unknown);
            }
        }
        interview.due = match kept.next.as_deref().and_then(question) {
            Some(next) => Some(next.name),
            None if kept.next.is_some() => interview.due,
            None => None,
        };
        Ok(interview)
    }

    /// Puts lines back that were taken once.
    fn restore(&mut self, name: &'static str, lines: &[String]) {
        let Some(question) = question(name) else { return };
        let due = self.due;
        self.due = Some(name);
        for line in lines {
            self.say(line);
        }
        if !matches!(question.takes, Takes::Lines(_)) && lines.len() != 1 {
            self.answers.remove(name);
        }
        self.due = due;
        self.number = None;
    }

    /// How many questions have an answer.
    pub fn answered(&self) -> usize {
        self.answers.len()
    }
}
