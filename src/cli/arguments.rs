//! The command line.

use crate::quantity::{self, Duration, Intensity};
use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Design calculator for pumped yard drainage.
///
/// Reads a site file (TOML) that describes a yard, its basin, pump and discharge line, and says whether they carry
/// the water away, why, and what to change if not.
#[derive(Debug, Parser)]
#[command(name = "sumpwright", version, about, long_about, max_term_width = 100, after_help = EXIT_CODES)]
pub(super) struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub(super) command: Option<Command>,
}

const EXIT_CODES: &str = "\
Exit codes:
  0  pump, line and basin hold (whether the yard stays dry is not judged yet)
  1  they do not hold
  2  the input or the command is wrong
  3  the site file could not be read, or the report not written";

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Size the drainage of a site: the sizing report
    #[command(after_help = "Example:\n  sumpwright size examples/cut-bank.toml\n\n".to_owned() + EXIT_CODES)]
    Size(SizeOptions),
    /// Run a rain record of months to decades through a site
    #[command(after_help = RECORD_HELP)]
    Record(Box<RecordArguments>),
    /// Read a site file and report only what is wrong with it
    #[command(after_help = "Example:\n  sumpwright check yard.toml")]
    Check(CheckOptions),
    /// Print the built-in tables with their sources
    #[command(
        after_help = "Examples:\n  sumpwright tables\n  sumpwright tables pipes\n  sumpwright tables pipes --format csv"
    )]
    Tables(TablesOptions),
}

#[derive(Debug, Args)]
pub(super) struct SizeOptions {
    /// The site file, or - to read it from standard input
    pub(super) file: PathBuf,
    /// The form of the report
    #[arg(long, value_enum, default_value_t = ReportFormat::Text)]
    pub(super) format: ReportFormat,
    /// Show formula, numbers, result and source of every step
    #[arg(long)]
    pub(super) working: bool,
    /// Print in these units instead of those that the site file asks for
    #[arg(long, value_enum)]
    pub(super) units: Option<Units>,
}

const RECORD_HELP: &str = "\
The record is text with a row for each step: a column of time and one of rain, parted by commas, semicolons or tabs.
What the header and the first rows do not say is asked for.

Examples:
  sumpwright record examples/cut-bank.toml examples/rain-2-months.csv
  sumpwright record yard.toml rain.csv --rain precip --unit in --station site=north
  sumpwright record yard.toml rain.csv --format csv --output months.csv

Exit codes:
    0  the record was run to its end
    2  the input or the command is wrong
    3  a file could not be read or written, or would be overwritten
  130  interrupted: nothing was written";

#[derive(Debug, Args)]
pub(super) struct RecordArguments {
    /// The site file, or - to read it from standard input
    pub(super) file: PathBuf,
    /// The rain record (CSV), or - to read it from standard input
    pub(super) record: PathBuf,
    /// The column of time, by name or by number from 1; several are joined with +
    #[arg(long, value_name = "COLUMN")]
    pub(super) time: Option<String>,
    /// The column of rain, by name or by number from 1
    #[arg(long, value_name = "COLUMN")]
    pub(super) rain: Option<String>,
    /// What its numbers are
    #[arg(long, value_enum)]
    pub(super) kind: Option<Kind>,
    /// Their unit; of an intensity, per hour
    #[arg(long, value_enum)]
    pub(super) unit: Option<Unit>,
    /// The usual time between rows, as "5 min"
    #[arg(long, value_name = "TIME", value_parser = time)]
    pub(super) step: Option<Duration>,
    /// The longest time between rows that is no gap
    #[arg(long, value_name = "TIME", value_parser = time)]
    pub(super) longest_gap: Option<Duration>,
    /// Whether a row's time starts or ends the interval that its rain fell in
    #[arg(long, value_enum)]
    pub(super) stamp: Option<Stamp>,
    /// The order in dates like 6/3/2014
    #[arg(long, value_enum)]
    pub(super) dates: Option<Dates>,
    /// Only the rows with this value in this column; where they begin far down the file, give step and stamp too
    #[arg(long, value_name = "COLUMN=VALUE", value_parser = station)]
    pub(super) station: Option<(String, String)>,
    /// Rows are written only when it rains: time without rows is dry
    #[arg(long)]
    pub(super) wet_rows_only: bool,
    /// The highest rain that is believed, as "12 in/h"
    #[arg(long, value_name = "INTENSITY", value_parser = intensity)]
    pub(super) highest: Option<Intensity>,
    /// The shortest time without rain between two events
    #[arg(long, value_name = "TIME", default_value = "6 h", value_parser = time)]
    pub(super) gap: Duration,
    /// How many of the largest events to list
    #[arg(long, value_name = "COUNT", default_value_t = 10, value_parser = clap::value_parser!(u16).range(0..=1000))]
    pub(super) events: u16,
    /// The form of the report; csv has the months as rows
    #[arg(long, value_enum, default_value_t = RecordFormat::Text)]
    pub(super) format: RecordFormat,
    /// Print in these units instead of those that the site file asks for
    #[arg(long, value_enum)]
    pub(super) units: Option<Units>,
    /// Write the report into this file instead of to standard output
    #[arg(long, value_name = "FILE")]
    pub(super) output: Option<PathBuf>,
    /// Overwrite that file if it is there
    #[arg(long, requires = "output")]
    pub(super) force: bool,
}

fn time(text: &str) -> Result<Duration, String> {
    quantity::read(text).map_err(|error| error.to_string())
}

fn intensity(text: &str) -> Result<Intensity, String> {
    quantity::read(text).map_err(|error| error.to_string())
}

fn station(text: &str) -> Result<(String, String), String> {
    let (column, value) = text.split_once('=').ok_or("write a column and a value, as site=north")?;
    Ok((column.trim().to_owned(), value.trim().to_owned()))
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Kind {
    /// The depth of each row
    Depth,
    /// The mean intensity of each row
    Intensity,
    /// All that fell so far
    RunningTotal,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Unit {
    /// Inches
    In,
    /// Millimetres
    Mm,
    /// Hundredths of an inch
    #[value(name = "0.01in")]
    HundredthIn,
    /// Tenths of a millimetre
    #[value(name = "0.1mm")]
    TenthMm,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Stamp {
    /// The rain fell from the row's time to the next row's
    Starts,
    /// The rain fell from the time of the row before to the row's
    Ends,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Dates {
    /// 6/3 is the third of June
    MonthFirst,
    /// 6/3 is the sixth of March
    DayFirst,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum RecordFormat {
    /// For people
    Text,
    /// For programs
    Json,
    /// For spreadsheets
    Csv,
}

#[derive(Debug, Args)]
pub(super) struct CheckOptions {
    /// The site file, or - to read it from standard input
    pub(super) file: PathBuf,
}

#[derive(Debug, Args)]
pub(super) struct TablesOptions {
    /// Which table; without a name, their list
    pub(super) name: Option<String>,
    /// The form of the table
    #[arg(long, value_enum, default_value_t = TableFormat::Text)]
    pub(super) format: TableFormat,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum ReportFormat {
    /// For people
    Text,
    /// For programs
    Json,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum TableFormat {
    /// For people
    Text,
    /// For spreadsheets
    Csv,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Units {
    /// Feet, inches, gallons
    Us,
    /// Metres, millimetres, litres
    Metric,
}
