//! The `margins` command: reads, asks how wrong the estimate may be, renders.

use super::arguments::CourseFormat;
use super::commands::read;
use super::delivery::Delivery;
use super::{Ending, Said};
use crate::design::{Filling, Phrase};
use crate::questions::margins::{FEWEST_RUNS, MOST_RUNS, Margins, REPLICATES, Sample, margins};
use crate::report::margins_table::margins_csv;
use crate::report::{json, text};
use clap::Args;
use std::path::PathBuf;

pub(super) const HELP: &str = "\
Examples:
  sumpwright margins examples/cut-bank.toml
  sumpwright margins examples/cut-bank.toml --no-sampling
  sumpwright margins examples/cut-bank.toml --runs 10000 --seed 7
  sumpwright margins examples/cut-bank.toml --format csv --output margins.csv

The ranges that are sampled stand in the site file under [margins], as rain = \"20 %\"; what is not there is taken, and
--format json lists it with its source.

Exit codes:
  0  the design holds as it is entered
  1  it does not
  2  the input or the command is wrong
  3  the site file could not be read, or the result not written";

#[derive(Debug, Args)]
pub(super) struct MarginsOptions {
    /// The site file, or - to read it from standard input
    pub(super) file: PathBuf,
    /// How many sites are drawn at random, a multiple of 10
    #[arg(long, value_name = "COUNT", default_value_t = 1000, value_parser = runs)]
    pub(super) runs: u32,
    /// Where the random numbers begin: the same seed draws the same sites on every machine
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    pub(super) seed: u64,
    /// Leave the sites drawn at random out
    #[arg(long, conflicts_with_all = ["runs", "seed"])]
    pub(super) no_sampling: bool,
    /// The form: text, JSON with every number and its unit, or the table as CSV
    #[arg(long, value_enum, default_value_t = CourseFormat::Text)]
    pub(super) format: CourseFormat,
    #[command(flatten)]
    pub(super) delivery: Delivery,
}

/// The least slack in a sentence, for `size`.
pub(super) fn least(found: &Margins) -> Phrase {
    Phrase::new("{}", vec![Filling::Text(found.least_words())])
}

/// A number of runs that parts into replicates.
fn runs(text: &str) -> Result<u32, String> {
    let count: u32 = text.trim().replace(',', "").parse().map_err(|_| "write a whole number, as 1000".to_owned())?;
    if !(FEWEST_RUNS..=MOST_RUNS).contains(&count) {
        return Err(format!("{FEWEST_RUNS} to {MOST_RUNS} are run"));
    }
    let parts = u32::try_from(REPLICATES).unwrap_or(1);
    if count.is_multiple_of(parts) {
        Ok(count)
    } else {
        Err(format!("a multiple of {parts}, as {}", count / parts * parts))
    }
}

pub(super) fn margins_command(options: &MarginsOptions) -> Said {
    if let Err(refused) = options.delivery.check(&[&options.file]) {
        return refused;
    }
    let (mut site, said) = match read(&options.file) {
        Ok(read) => read,
        Err(said) => return said,
    };
    options.delivery.units_of(&mut site);
    // a table alone shows nothing of the sample
    let sampled = !options.no_sampling && !matches!(options.format, CourseFormat::Csv);
    let sample = sampled.then_some(Sample { runs: options.runs, seed: options.seed });
    let found = match margins(&site, sample) {
        Ok(found) => found,
        Err(error) => return Said::err(format!("{said}error: {error}\n"), Ending::BadInput),
    };
    let out = match options.format {
        CourseFormat::Text => text::margins_report(&found),
        CourseFormat::Json => json::margins_json(&found),
        CourseFormat::Csv => margins_csv(&found),
    };
    let ending = if found.holds { Ending::Fine } else { Ending::Fails };
    options.delivery.deliver(out, said, ending)
}
