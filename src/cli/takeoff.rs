//! The `takeoff` command: quantities, hours and prices of the job, and the customer's page.

use super::commands::{read, render};
use super::delivery::Delivery;
use super::papers::no_price;
use super::{Ending, Said, input};
use crate::design::design;
use crate::job::job;
use crate::quantity::UnitSystem;
use crate::report::layout::paragraph;
use crate::report::papers::{self, Paper, Sources};
use crate::report::takeoff_table::takeoff_csv;
use crate::site::{self, Problem, Site};
use clap::{Args, ValueEnum};
use std::path::{Path, PathBuf};

pub(super) const HELP: &str = "\
Examples:
  sumpwright takeoff examples/cut-bank.toml
  sumpwright takeoff yard.toml --prices prices.toml
  sumpwright takeoff yard.toml --format csv --output takeoff.csv
  sumpwright takeoff yard.toml --proposal --format html --output proposal.html

Prices stand in the site file under [prices], rates, waste and shares under [takeoff]; a price list is a file with the same
two tables, and each of its tables goes in place of the site file's; a list without lump sums leaves those of the site file.
What has no price or rate, and what the file does not let one measure, is listed, and never counted as nothing.

Exit codes:
  0  the takeoff is shown (whether the design holds, `size` says)
  2  the input or the command is wrong
  3  a file could not be read or written, or would be overwritten";

#[derive(Debug, Args)]
pub(super) struct TakeoffOptions {
    /// The site file, or - to read it from standard input
    pub(super) file: PathBuf,
    /// Take prices and rates from this list (TOML with the tables prices and takeoff)
    #[arg(long, value_name = "FILE")]
    pub(super) prices: Option<PathBuf>,
    /// The customer's page, without any figure from inside
    #[arg(long)]
    pub(super) proposal: bool,
    /// The form
    #[arg(long, value_enum, default_value_t = TakeoffFormat::Text)]
    pub(super) format: TakeoffFormat,
    #[command(flatten)]
    pub(super) delivery: Delivery,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum TakeoffFormat {
    /// For the screen
    Text,
    /// For a spreadsheet, a row a line item
    Csv,
    /// To open in a browser and print
    Html,
}

pub(super) fn takeoff(options: &TakeoffOptions) -> Said {
    if options.proposal && options.format == TakeoffFormat::Csv {
        let help = paragraph(
            "help: a spreadsheet would show the figures that a proposal leaves out; write `--format text` or `--format html`, or leave `--proposal` out",
        );
        return Said::err(format!("error: a proposal is no spreadsheet\n{help}"), Ending::BadInput);
    }
    let read_here: Vec<&Path> = std::iter::once(&options.file).chain(&options.prices).map(PathBuf::as_path).collect();
    if let Err(refused) = options.delivery.check(&read_here) {
        return refused;
    }
    let (mut site, mut said) = match read(&options.file) {
        Ok(read) => read,
        Err(said) => return said,
    };
    // sticks and widths that nobody entered go by the file's own units
    let own = site.units;
    options.delivery.units_of(&mut site);
    if let Some(list) = &options.prices {
        match with_prices(&mut site, own, list) {
            Ok(more) => said.push_str(&more),
            Err(refused) => return Said { err: format!("{said}{}", refused.err), ..refused },
        }
    }
    let design = match design(&site) {
        Ok(design) => design,
        Err(error) => return Said::err(format!("{said}error: {error}\n"), Ending::BadInput),
    };
    let job = job(&site, &design);
    let sources = Sources { site: &site, design: &design, job: &job };
    let said = if options.proposal { said + &no_price(&job.takeoff) } else { said };
    let paper = if options.proposal { Paper::Proposal } else { Paper::Estimate };
    let out = match options.format {
        TakeoffFormat::Text => papers::text(&paper.document(sources)),
        TakeoffFormat::Html => papers::html(&paper.document(sources)),
        TakeoffFormat::Csv => takeoff_csv(&job.takeoff),
    };
    options.delivery.deliver(out, said, Ending::Fine)
}

/// The tables of a price list in place of the site's; what was said of the list on the way.
fn with_prices(site: &mut Site, units: UnitSystem, path: &Path) -> Result<String, Said> {
    let text = input::text(path).map_err(|error| {
        let ending = if error.is_access() { Ending::BadFile } else { Ending::BadInput };
        Said::err(format!("error: {error}\n"), ending)
    })?;
    let list = site::price_list(&text, units);
    let said = render(&list.problems, path, &text);
    if list.problems.iter().any(Problem::is_error) {
        return Err(Said::err(said, Ending::BadInput));
    }
    if list.prices.is_none() && list.takeoff.is_none() {
        let name = input::shown(path);
        let help =
            paragraph("help: a price list has a table `[prices]`, a table `[takeoff]`, or both, as a site file has");
        return Err(Said::err(format!("{said}error: `{name}` has no prices\n{help}"), Ending::BadInput));
    }
    if let Some(mut prices) = list.prices {
        // lump sums belong to the job, not to the list of a supplier
        if prices.lump_sums.is_empty() {
            prices.lump_sums = std::mem::take(&mut site.to_choose_from.prices.lump_sums);
        }
        site.to_choose_from.prices = prices;
    }
    if let Some(terms) = list.takeoff {
        site.takeoff = terms;
    }
    Ok(said)
}
