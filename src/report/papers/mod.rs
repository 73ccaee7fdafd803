//! The papers of a job: for the visit, the crew, the first start, the town, the electrician, the owner.

mod as_html;
mod as_text;
mod document;
mod town;

pub use as_html::html;
pub use as_text::text;
pub use document::Document;
pub(crate) use document::Drawing;

use crate::design::Design;
use crate::job::Job;
use crate::site::Site;

/// A paper of the job.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// What to ask the town, beside what its rules say.
    Town,
}

/// All papers, in the order in which a job needs them.
pub const PAPERS: &[Paper] = &[Paper::Town];

/// What papers are written from.
#[derive(Clone, Copy, Debug)]
pub struct Sources<'a> {
    /// What was entered.
    pub site: &'a Site,
    /// What follows from it.
    pub design: &'a Design,
    /// What the job needs.
    pub job: &'a Job,
}

impl Paper {
    /// Its name on the command line, and of its file.
    pub fn name(self) -> &'static str {
        match self {
            Self::Town => "town",
        }
    }
    /// What it is, in a line.
    pub fn about(self) -> &'static str {
        match self {
            Self::Town => "what your town's rules say of this site, and what to ask",
        }
    }
    /// The paper of a name.
    pub fn named(name: &str) -> Option<Self> {
        PAPERS.iter().copied().find(|paper| paper.name() == name)
    }
    /// The paper itself.
    pub fn document(self, sources: Sources<'_>) -> Document {
        match self {
            Self::Town => town::town(sources),
        }
    }
}
