//! What the design says about itself.

use super::phrase::Phrase;
use crate::quantity::Amount;

/// How much a finding weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The design cannot stand.
    Stop,
    /// It can stand with a reason.
    Caution,
    /// Worth knowing.
    Note,
}

impl Severity {
    /// The word printed.
    pub fn word(self) -> &'static str {
        match self {
            Self::Stop => "stop",
            Self::Caution => "caution",
            Self::Note => "note",
        }
    }
}

/// Something the design says about itself.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Its stable name.
    pub id: &'static str,
    /// How much it weighs.
    pub severity: Severity,
    /// What it is about: a pump, a run, a catchment.
    pub about: Option<String>,
    /// The sentence.
    pub message: Phrase,
    /// The numbers in it, named.
    pub numbers: Vec<(&'static str, Amount)>,
    /// The limit it is held to and where that comes from.
    pub limit: Option<(Amount, String)>,
    /// What would cure it, with how much.
    pub cures: Vec<Phrase>,
}

impl Finding {
    /// A finding with its sentence.
    pub fn new(severity: Severity, id: &'static str, message: Phrase) -> Self {
        Self { id, severity, about: None, message, numbers: Vec::new(), limit: None, cures: Vec::new() }
    }
    /// A `stop`.
    pub fn stop(id: &'static str, message: Phrase) -> Self {
        Self::new(Severity::Stop, id, message)
    }
    /// A `caution`.
    pub fn caution(id: &'static str, message: Phrase) -> Self {
        Self::new(Severity::Caution, id, message)
    }
    /// A `note`.
    pub fn note(id: &'static str, message: Phrase) -> Self {
        Self::new(Severity::Note, id, message)
    }
    /// Names what it is about.
    #[must_use]
    pub fn about(mut self, what: &str) -> Self {
        self.about = Some(what.to_owned());
        self
    }
    /// Adds a number.
    #[must_use]
    pub fn number(mut self, name: &'static str, amount: Amount) -> Self {
        self.numbers.push((name, amount));
        self
    }
    /// Names the limit.
    #[must_use]
    pub fn limit(mut self, amount: Amount, source: &str) -> Self {
        self.limit = Some((amount, source.to_owned()));
        self
    }
    /// Adds a cure.
    #[must_use]
    pub fn cure(mut self, cure: Phrase) -> Self {
        self.cures.push(cure);
        self
    }
    /// Adds cures.
    #[must_use]
    pub fn cures(mut self, cures: Vec<Phrase>) -> Self {
        self.cures.extend(cures);
        self
    }
    /// Adds a cure where there is one.
    #[must_use]
    pub fn cure_if(mut self, cure: Option<Phrase>) -> Self {
        self.cures.extend(cure);
        self
    }
}
