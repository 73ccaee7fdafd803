//! The site file: text in, a typed and checked [`Site`] out, with every problem reported at its place.
//!
//! Reading goes in four steps; a [`Reading`] comes out. The text becomes TOML tables, with lines that TOML
//! refuses put right where it is clear what was meant; the tables become a tree of values by the declaration of
//! every [key](keys); the tree becomes the [`Site`], with what is left out looked up or chosen; and what is said in
//! one place is checked against what is said in another.

mod brackets;
mod build;
mod checks;
mod foreign;
mod gap;
pub mod keys;
mod leaf;
mod lists;
mod meant;
mod model;
mod money;
mod price_list;
mod problem;
mod range;
mod reference;
mod repair;
mod schema;
mod spread;
mod suggest;
mod syntax;
mod tree;
mod twice;
mod walk;
mod with_unit;
mod words;

pub(crate) use build::WATER_TEMPERATURE;
pub use gap::GAP;
pub use model::{
    Assumption, BASIN, Ballast, Battery, Catchment, CoefficientBasis, Conditions, Describes, Doubt, Drain, French,
    FrenchTrench, Frost, FrostPlan, Gap, Goal, Ground, Groundwater, Inlet, Limit, Limits, LowSpot, MarginRange,
    Measured, Protected, Puddle, PumpTimes, Pumping, ReadNotUsed, Rise, RunoffFrom, Site, SiteRain, Soil, SteadyInflow,
    Supply, Swale, TestHole, TrenchCover, WayOff,
};
pub use model::{
    By, Crew, ENDS, Good, LocalRules, MeasuredStartUp, OutletPlace, Prices, Setup, TakeoffTerms, Task, TaxOn,
    ToChooseFrom,
};
pub use price_list::{PriceList, price_list};
pub use problem::{Problem, ProblemKind, Severity};
pub use reference::{KeyEntry, key_entries, reference};
pub use schema::{price_list_schema, schema};
pub(crate) use suggest::nearest;

use syntax::Parsed;
use toml::de::DeTable;
use walk::Reader;

/// The largest site file, rain table or price list that is read, in bytes: they have a few kilobytes. Reading takes up
/// to a hundred times as much memory.
pub const LARGEST: usize = 256 * 1024;

/// Where files named in a site file come from.
pub trait Files {
    /// The text of a file, by its path relative to the site file.
    ///
    /// # Errors
    /// Why it cannot be read, in a few words.
    fn read(&self, path: &str) -> Result<String, String>;
}

/// No files at all.
#[derive(Clone, Copy, Debug, Default)]
pub struct NoFiles;

impl Files for NoFiles {
    fn read(&self, _path: &str) -> Result<String, String> {
        Err("no other file can be read here".to_owned())
    }
}

/// What came of reading a site file.
#[derive(Clone, Debug)]
pub struct Reading {
    /// The site; none when any error stands.
    pub site: Option<Site>,
    /// Every problem, in the order of the text; those that have no place come first.
    pub problems: Vec<Problem>,
}

/// Reads a site file.
///
/// Any text gives a reading. All problems are found in one run: after a line that TOML refuses, or a value that
/// cannot be read, all else is still read and checked.
pub fn read(text: &str, files: &dyn Files) -> Reading {
    if let Some(problem) = foreign::foreign(text) {
        return Reading { site: None, problems: vec![problem] };
    }
    let (table, errors) = DeTable::parse_recoverable(text);
    let parsed = if errors.is_empty() { Parsed::clean() } else { Parsed::of(text) };
    // Most texts need no mending and are read only once.
    let table = if parsed.is_clean() { table } else { DeTable::parse_recoverable(&parsed.text).0 };
    let mut reader = Reader::new(if parsed.is_clean() { text } else { &parsed.text }, &parsed.lost);
    let root = reader.site(table.get_ref());
    let site = build::site(&mut reader, &root, files);
    let mut problems = placed(text, &parsed, reader.problems);
    if root.words("describes") == Some("bid") {
        gap::ask_the_bidder(&mut problems);
    }
    let failed = problems.iter().any(Problem::is_error);
    let site = site.filter(|_| !failed).map(|site| Site { doubts: doubts(&problems, text), ..site });
    if site.is_none() && !failed {
        problems.push(Problem::error(
            ProblemKind::Internal,
            None,
            "the site could not be put together, and no problem was found: this is a fault of the program",
        ));
    }
    Reading { site, problems }
}

/// All problems, each at its place in the text as it was given, in the order of the text.
fn placed(text: &str, parsed: &Parsed, read: Vec<Problem>) -> Vec<Problem> {
    let mut problems = parsed.problems.clone();
    problems.extend(read.into_iter().map(|mut problem| {
        problem.span = problem.span.map(|place| parsed.original(place));
        for (place, _) in &mut problem.also {
            *place = parsed.original(place.clone());
        }
        problem
    }));
    for problem in &mut problems {
        problem.span = problem.span.take().map(|place| snapped(text, place));
        for (place, _) in &mut problem.also {
            *place = snapped(text, place.clone());
        }
    }
    problems.sort_by_key(|problem| problem.span.as_ref().map_or(0, |place| place.start + 1));
    problems
}

/// The warnings, as the report repeats them.
fn doubts(problems: &[Problem], text: &str) -> Vec<Doubt> {
    let line =
        |place: &std::ops::Range<usize>| 1 + text.bytes().take(place.start).filter(|byte| *byte == b'\n').count();
    problems
        .iter()
        .filter(|problem| !problem.is_error())
        .map(|problem| Doubt {
            line: problem.span.as_ref().map(line),
            message: problem.message.clone(),
            help: problem.help.clone(),
            to_be_measured: problem.kind == ProblemKind::ToBeMeasured,
        })
        .collect()
}

/// A place that lies in a text and does not cut its letters in two.
fn snapped(text: &str, place: std::ops::Range<usize>) -> std::ops::Range<usize> {
    let before = |at: usize| (0..=at.min(text.len())).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0);
    let start = before(place.start);
    let end = place.end.min(text.len());
    let end = (end..=text.len()).find(|at| text.is_char_boundary(*at)).unwrap_or(text.len());
    start..end.max(start)
}
