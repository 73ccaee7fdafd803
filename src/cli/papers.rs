//! The `papers` command: the papers of a job, one on the screen or all in a folder.

use super::arguments::Units;
use super::commands::{read, report_html};
use super::delivery::with_units;
use super::output;
use super::{Ending, Said};
use crate::design::design;
use crate::job::job;
use crate::job::takeoff::Takeoff;
use crate::quantity::UnitSystem;
use crate::report::layout::paragraph;
use crate::report::papers::{self, Document, PAPERS, Paper, Sources};
use clap::{Args, ValueEnum};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

pub(super) const HELP: &str = "\
Examples:
  sumpwright papers
  sumpwright papers --blank --format html --output visit.html
  sumpwright papers examples/cut-bank.toml town
  sumpwright papers examples/cut-bank.toml town --format html --output town.html
  sumpwright papers examples/cut-bank.toml --all job-papers

Exit codes:
  0  the papers are written (whether the design holds, `size` says)
  2  the input or the command is wrong
  3  a file could not be read or written, or would be overwritten";

#[derive(Debug, Args)]
pub(super) struct PapersOptions {
    /// The site file, or - to read it from standard input; without it, the list of papers
    pub(super) file: Option<PathBuf>,
    /// Which paper; without a name, their list
    pub(super) paper: Option<String>,
    /// Write all papers and the sizing report into this folder, which is made if it is not there
    #[arg(long, value_name = "FOLDER", conflicts_with_all = ["paper", "output", "format"])]
    pub(super) all: Option<PathBuf>,
    /// The site-visit sheet as an empty form, without a site file
    #[arg(long, conflicts_with_all = ["file", "all"])]
    pub(super) blank: bool,
    /// The form of the paper
    #[arg(long, value_enum, default_value_t = PaperFormat::Text)]
    pub(super) format: PaperFormat,
    /// Print in these units instead of those that the site file asks for
    #[arg(long, value_enum)]
    pub(super) units: Option<Units>,
    /// Write to this file instead of the screen
    #[arg(long, value_name = "FILE")]
    pub(super) output: Option<PathBuf>,
    /// Replace files that are there already
    #[arg(long)]
    pub(super) force: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum PaperFormat {
    /// For the screen
    Text,
    /// To open in a browser and print
    Html,
}

pub(super) fn papers(options: &PapersOptions) -> Said {
    let (file, asked) = in_order(options);
    let read_here: Vec<&Path> = file.iter().map(PathBuf::as_path).collect();
    let path = match output::asked(options.output.as_deref(), options.force, &read_here) {
        Ok(path) => path,
        Err(refused) => return refused,
    };
    if options.blank {
        let units = options.units.map_or(UnitSystem::Us, UnitSystem::from);
        let out = rendered(&papers::blank_visit(units), options.format);
        return output::deliver(out, String::new(), path, options.force, Ending::Fine);
    }
    let Some(file) = &file else { return Said::out(list(), Ending::Fine) };
    let paper = match asked.as_deref().map(|name| Paper::named(name).ok_or(name)).transpose() {
        Ok(paper) => paper,
        Err(name) => {
            let known: Vec<&str> = PAPERS.iter().map(|paper| paper.name()).collect();
            let help = paragraph(&format!("help: the papers are {}", known.join(", ")));
            return Said::err(format!("error: there is no paper `{name}`\n{help}"), Ending::BadInput);
        }
    };
    if let (None, Some(name)) = (paper, paper_without_file(file)) {
        let help = format!("help: write `sumpwright papers yard.toml {}`, with your own site file", name.name());
        return Said::err(
            format!("error: `{}` is a paper, and no site file is named\n{help}\n", file.display()),
            Ending::BadInput,
        );
    }
    let (mut site, said) = match read(file) {
        Ok(read) => read,
        Err(said) => return said,
    };
    with_units(&mut site, options.units);
    let design = match design(&site) {
        Ok(design) => design,
        Err(error) => return Said::err(format!("{said}error: {error}\n"), Ending::BadInput),
    };
    let job = job(&site, &design);
    let sources = Sources { site: &site, design: &design, job: &job };
    if let Some(folder) = &options.all {
        let report = ("report.html".to_owned(), report_html(&site, &design, None, None));
        let papers =
            PAPERS.iter().map(|paper| (format!("{}.html", paper.name()), papers::html(&paper.document(sources))));
        let files = std::iter::once(report).chain(papers);
        return match output::write_all(folder, files.collect(), options.force) {
            Ok(names) => {
                Said::err(format!("{said}written into {}: {}\n", folder.display(), names.join(", ")), Ending::Fine)
            }
            Err(error) => Said::err(format!("{said}error: {error}\n"), Ending::BadFile),
        };
    }
    let Some(paper) = paper else { return Said { out: list(), err: said, ending: Ending::Fine } };
    let said = if paper == Paper::Proposal { said + &no_price(&job.takeoff) } else { said };
    let document = paper.document(sources);
    output::deliver(rendered(&document, options.format), said, path, options.force, Ending::Fine)
}

/// Why a proposal has no price, for who prints it; nothing where it has one.
pub(super) fn no_price(takeoff: &Takeoff) -> String {
    takeoff.why_no_price().map_or_else(String::new, |why| {
        paragraph(&format!("note: the proposal has no price: {why}. `sumpwright takeoff` shows what is missing"))
    })
}

/// The site file and the paper asked for: in either order, as long as the first is no file that is there.
fn in_order(options: &PapersOptions) -> (Option<PathBuf>, Option<String>) {
    let (file, paper) = (options.file.clone(), options.paper.clone());
    if let (Some(first), Some(second)) = (&file, &paper)
        && let Some(name) = paper_without_file(first)
        && Paper::named(second).is_none()
    {
        return (Some(PathBuf::from(second)), Some(name.name().to_owned()));
    }
    (file, paper)
}

/// The paper that is named where a file is wanted; none where there is such a file.
fn paper_without_file(file: &Path) -> Option<Paper> {
    let name = file.to_str().and_then(Paper::named)?;
    (!file.exists()).then_some(name)
}

fn rendered(document: &Document, format: PaperFormat) -> String {
    match format {
        PaperFormat::Text => papers::text(document),
        PaperFormat::Html => papers::html(document),
    }
}

/// The papers there are.
fn list() -> String {
    let widest = PAPERS.iter().map(|paper| paper.name().len()).max().unwrap_or(0);
    let mut out = "The papers of a job:\n\n".to_owned();
    for paper in PAPERS {
        let _ = writeln!(out, "  {:widest$}  {}", paper.name(), paper.about());
    }
    out.push_str("\nOne of them:     sumpwright papers yard.toml town\nAll in a folder: sumpwright papers yard.toml --all job-papers\n");
    out
}
