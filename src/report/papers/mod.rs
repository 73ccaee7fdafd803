//! The papers of a job: for the visit, the crew, the first start, the town, the electrician, the owner.

mod as_html;
mod as_text;
mod bands;
mod crew;
mod document;
mod electrical;
mod estimate;
mod hole;
mod owner;
mod proposal;
mod start_up;
mod tape;
mod town;
mod visit;
mod work;

pub use as_html::html;
pub use as_text::text;
pub use document::Document;
pub(crate) use document::Drawing;

use crate::design::{Design, Severity};
use crate::job::Job;
use crate::quantity::UnitSystem;
use crate::site::Site;

/// A paper of the job.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// What to measure and ask on the first visit.
    Visit,
    /// What the crew digs and lays to.
    Crew,
    /// What the first start must show.
    StartUp,
    /// What an electrician is told and asked.
    Electrical,
    /// Quantities, hours, prices, for those inside.
    Estimate,
    /// Scope and price, for the customer.
    Proposal,
    /// What to ask the town, beside what its rules say.
    Town,
    /// What the owner has to know and to do.
    Owner,
}

/// All papers, in the order in which a job needs them.
pub const PAPERS: &[Paper] = &[
    Paper::Visit,
    Paper::Town,
    Paper::Estimate,
    Paper::Electrical,
    Paper::Proposal,
    Paper::Crew,
    Paper::StartUp,
    Paper::Owner,
];

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
            Self::Visit => "visit",
            Self::Crew => "crew",
            Self::StartUp => "start-up",
            Self::Electrical => "electrical",
            Self::Estimate => "estimate",
            Self::Proposal => "proposal",
            Self::Town => "town",
            Self::Owner => "owner",
        }
    }
    /// What it is, in a line.
    pub fn about(self) -> &'static str {
        match self {
            Self::Visit => "what to measure and ask on the first visit; `--blank` for an empty form",
            Self::Owner => "what lies in the yard, how to try it, what to clean and when, what the alarm means",
            Self::Crew => "depths, covers and rod readings by stations, the basin's hole, the order of the work",
            Self::StartUp => "what the first start must show, with its band, and what to write down",
            Self::Electrical => "distance, currents and what each wire loses, and what to ask an electrician",
            Self::Estimate => "quantities, hours, prices and the sum, for inside use",
            Self::Proposal => "scope and price, for the customer",
            Self::Town => "what your town's rules say of this site, and what to ask",
        }
    }
    /// The paper of a name.
    pub fn named(name: &str) -> Option<Self> {
        PAPERS.iter().copied().find(|paper| paper.name().eq_ignore_ascii_case(name.trim()))
    }
    /// The paper itself.
    pub fn document(self, sources: Sources<'_>) -> Document {
        match self {
            Self::Visit => visit::visit(Some(sources.site), sources.site.units),
            Self::Crew => crew::crew(sources),
            Self::StartUp => start_up::start_up(sources),
            Self::Electrical => electrical::electrical(sources),
            Self::Estimate => estimate::estimate(sources),
            Self::Proposal => proposal::proposal(sources),
            Self::Town => town::town(sources),
            Self::Owner => owner::owner(sources),
        }
    }
}

/// The site-visit sheet with nothing filled in.
pub fn blank_visit(units: UnitSystem) -> Document {
    visit::visit(None, units)
}

/// Said first on a paper that somebody builds or sells by, where something stands against the design.
fn stopped(design: &Design) -> Option<document::Part> {
    let stops = design.findings.iter().filter(|finding| finding.severity == Severity::Stop);
    let said: Vec<String> = stops.map(|stop| stop.message.say(design.units)).collect();
    (!said.is_empty()).then(|| {
        document::Part::Cautions(vec![format!(
            "Not to be built from: something stands against this design: {}. `sumpwright size` says what cures it.",
            said.iter().map(|one| one.trim_end_matches('.')).collect::<Vec<_>>().join("; ")
        )])
    })
}
