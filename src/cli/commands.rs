//! What each command does: reads, asks the library, renders.

use super::arguments::{CheckOptions, ReportFormat, SchemaOf, SchemaOptions, SizeOptions, TableFormat, TablesOptions};
use super::input::{self, Beside};
use super::{Ending, Said};
use crate::catalog;
use crate::design::{Design, DesignError, DrawnCurves, NotFollowed, design, design_worked, drawn_curves};
use crate::quantity::Duration;
use crate::questions::margins::{Margins, margins};
use crate::questions::storm::{Course, StormAsked, StormError, course};
use crate::report::explain::{self as explaining, Found};
use crate::report::layout::{clean, paragraph};
use crate::report::problems::{self, Look};
use crate::report::{html, json, tables as rendered, text, working};
use crate::site::{self, Problem, Site};
use crate::working::{Recorder, Step, Tape};
use std::path::Path;

/// What a newcomer reads first.
pub(super) fn welcome() -> String {
    "\
sumpwright sizes pumped yard drainage: will this pump, pipe and basin carry the
water away, why, and what to change if not.

Type this first:

  sumpwright new yard.toml

It asks about your yard in plain words and writes a site file; what you do not
know yet stays open. To see a report at once, from the folder that sumpwright
came in:

  sumpwright size examples/cut-bank.toml

  sumpwright check yard.toml     what is wrong with a site file
  sumpwright storm yard.toml     the course of one storm through the yard
  sumpwright reach yard.toml     is the run too long for the pump
  sumpwright options yard.toml   the cheapest set that holds
  sumpwright margins yard.toml   how wrong the estimate may be
  sumpwright takeoff yard.toml   quantities, hours, what it costs
  sumpwright explain WORD        what a word of the report means
  sumpwright tables              the built-in tables with their sources
  sumpwright help                all commands and options
"
    .to_owned()
}

/// A site file read, with what was said on the way; or why there is no site.
pub(super) fn read(path: &Path) -> Result<(Site, String), Said> {
    read_with_text(path).map(|(site, _, said)| (site, said))
}

/// The same, with the text of the file.
pub(super) fn read_with_text(path: &Path) -> Result<(Site, String, String), Said> {
    // the tables are read beside the file; where there is no thread for it, they are read when they are asked for
    let _ = std::thread::Builder::new().spawn(catalog::read_ahead);
    let text = input::text(path).map_err(|error| {
        let ending = if error.is_access() { Ending::BadFile } else { Ending::BadInput };
        Said::err(format!("error: {error}\n"), ending)
    })?;
    let reading = site::read(&text, &Beside::new(path));
    let said = render(&reading.problems, path, &text);
    match reading.site {
        Some(site) => Ok((site, text, said)),
        None => Err(Said::err(said, Ending::BadInput)),
    }
}

/// The problems as text; nothing where there are none.
pub(super) fn render(problems: &[Problem], path: &Path, text: &str) -> String {
    if problems.is_empty() {
        return String::new();
    }
    // colour is taken off again where it is not wanted
    problems::render(problems, &input::shown(path), text, Look { color: true, ..Look::default() })
}

pub(super) fn size(options: &SizeOptions) -> Said {
    if options.chart && options.format == ReportFormat::Json {
        let help = paragraph("help: leave it out, or write `--format text` with it; HTML has charts without asking");
        let error = "error: `--chart` says nothing with JSON, which holds no chart\n";
        return Said::err(format!("{error}{help}"), Ending::BadInput);
    }
    if let Err(refused) = options.delivery.check(&[&options.file]) {
        return refused;
    }
    let (mut site, said) = match read(&options.file) {
        Ok(read) => read,
        Err(said) => return said,
    };
    options.delivery.units_of(&mut site);
    let (mut design, steps) = match compute(&site, options.working) {
        Ok(computed) => computed,
        Err(error) => {
            return Said::err(format!("{said}error: {error}\n"), Ending::BadInput);
        }
    };
    let margins = options.margins.then(|| margins(&site, None).ok()).flatten();
    design.verdict.sentences.extend(margins.as_ref().map(super::margins::least));
    let out = match options.format {
        ReportFormat::Text => {
            let mut out = text::sizing_report(&design);
            if options.chart {
                let drawn = Drawn::of(&site, &design);
                out.push_str(&text::charts(&design, drawn.curves.as_ref(), drawn.course()));
            }
            if let Some(steps) = &steps {
                out.push_str(&working::working(steps, site.units));
            }
            out
        }
        ReportFormat::Html => report_html(&site, &design, margins.as_ref(), steps.as_deref()),
        ReportFormat::Json => json::json(&design, steps.as_deref()),
    };
    let ending = if design.holds() { Ending::Fine } else { Ending::Fails };
    options.delivery.deliver(out, said, ending)
}

/// The sizing report as text.
pub(super) fn report(site: &Site) -> Result<String, DesignError> {
    design(site).map(|design| text::sizing_report(&design))
}

/// The sizing report as HTML.
pub(super) fn report_html(site: &Site, design: &Design, margins: Option<&Margins>, steps: Option<&[Step]>) -> String {
    let drawn = Drawn::of(site, design);
    html::sizing_html(html::Sources {
        site,
        design,
        curves: drawn.curves.as_ref(),
        course: drawn.course(),
        margins,
        steps,
    })
}

/// What charts are drawn from beside the design.
struct Drawn {
    curves: Option<DrawnCurves>,
    course: Result<Course, String>,
}

impl Drawn {
    fn of(site: &Site, design: &Design) -> Self {
        // closely enough for the peak of what comes in to be seen
        let closely = StormAsked { every_drawn: Some(Duration::from_s(20.0)), ..StormAsked::default() };
        let course = design.basis().ok_or_else(|| DesignError::NoPump.to_string()).and_then(|basis| {
            course(site, &basis, &closely).map_err(|error| match &error {
                StormError::NotFollowed(NotFollowed::NoRain) => {
                    format!("{error}: enter a [rain] table and at least one [[catchment]]")
                }
                StormError::OneIntensity | StormError::LeftOut => {
                    format!("{error}: enter depths for several durations in [rain]")
                }
                _ => error.to_string(),
            })
        });
        Self { curves: drawn_curves(site, design), course }
    }
    fn course(&self) -> Result<&Course, &str> {
        self.course.as_ref().map_err(String::as_str)
    }
}

fn compute(site: &Site, worked: bool) -> Result<(Design, Option<Vec<Step>>), DesignError> {
    if !worked {
        return Ok((design(site)?, None));
    }
    let tape = Tape::default();
    let mut recorder = Recorder::new(&tape);
    let design = design_worked(site, &mut recorder)?;
    Ok((design, Some(recorder.into_steps())))
}

pub(super) fn check(options: &CheckOptions) -> Said {
    let (site, said) = match read(&options.file) {
        Ok(read) => read,
        Err(said) => return said,
    };
    // what only the design can see: rain that does not reach a duration
    if let Err(error) = design(&site) {
        return Said::err(format!("{said}error: {error}\n"), Ending::BadInput);
    }
    let name = input::shown(&options.file);
    let gaps = site.doubts.iter().filter(|doubt| doubt.to_be_measured).count();
    let found = match (site.doubts.len() - gaps, gaps) {
        (0, 0) => "no mistakes found in the file".to_owned(),
        (0, gaps) => format!("no mistakes found in the file, and {gaps} to be measured"),
        (1, 0) => "no errors, and 1 warning to look at".to_owned(),
        (more, 0) => format!("no errors, and {more} warnings to look at"),
        (warnings, gaps) => {
            let s = if warnings == 1 { "" } else { "s" };
            format!("no errors, {warnings} warning{s} to look at, and {gaps} to be measured")
        }
    };
    let mut out = format!("{name}: {found}.\nWhether the design holds: sumpwright size {name}\n");
    if !site.not_used.is_empty() {
        let keys: Vec<String> =
            site.not_used.iter().map(|entry| format!("{} (line {})", entry.key, entry.line)).collect();
        out.push_str(&paragraph(&format!(
            "Read and checked, but nothing is computed from it yet: {}.",
            keys.join(", ")
        )));
    }
    Said { out, err: said, ending: Ending::Fine }
}

pub(super) fn schema(options: &SchemaOptions) -> Said {
    if let Err(refused) = options.destination.check(&[]) {
        return refused;
    }
    let out = match options.of {
        SchemaOf::SiteFile => site::schema(),
        SchemaOf::PriceList => site::price_list_schema(),
    };
    options.destination.deliver(out, String::new(), Ending::Fine)
}

pub(super) fn explain(words: &[String]) -> Said {
    let word = words.join(" ");
    if word.trim().is_empty() {
        return Said::out(explaining::list(), Ending::Fine);
    }
    match explaining::look_up(&word) {
        Found::These(entries, keys) => Said::out(explaining::page(&entries, &keys), Ending::Fine),
        Found::Perhaps(words) => {
            let near = match words.as_slice() {
                [] => String::new(),
                [one] => format!("did you mean `{one}`? "),
                words => format!("perhaps one of these: {}; ", words.join(", ")),
            };
            let help = format!("help: {near}`sumpwright explain` lists all words");
            let asked = clean(&word);
            Said::err(format!("error: there is nothing told of `{asked}`\n{}", paragraph(&help)), Ending::BadInput)
        }
    }
}

pub(super) fn tables(options: &TablesOptions) -> Said {
    let tables = crate::catalog::tables();
    let Some(name) = &options.name else {
        return Said::out(rendered::table_list(&tables), Ending::Fine);
    };
    let Some(table) = tables.iter().find(|table| table.name.eq_ignore_ascii_case(name)) else {
        let names: Vec<&str> = tables.iter().map(|table| table.name).collect();
        let near = names
            .iter()
            .filter(|known| known.starts_with(name.as_str()) || strsim::damerau_levenshtein(known, name) <= 3)
            .min_by_key(|known| strsim::damerau_levenshtein(known, name))
            .map_or_else(String::new, |near| format!("did you mean `{near}`? "));
        return Said::err(
            format!(
                "error: there is no table `{name}`\n{}",
                paragraph(&format!("help: {near}the tables are {}", names.join(", ")))
            ),
            Ending::BadInput,
        );
    };
    Said::out(
        match options.format {
            TableFormat::Text => rendered::table_text(table),
            TableFormat::Csv => rendered::table_csv(table),
        },
        Ending::Fine,
    )
}
