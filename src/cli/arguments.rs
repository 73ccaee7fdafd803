//! The command line.

use super::delivery::{Delivery, Destination};
use crate::quantity::{self, Duration, Intensity, Measure, ReturnPeriod, UnitSystem, read};
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
  0  the design meets its goal, or none is given or judged and nothing stands against it
  1  it misses its goal, or a stop stands against it
  2  the input or the command is wrong
  3  the site file could not be read, or the report not written";

const STORM_HELP: &str = "\
Examples:
  sumpwright storm examples/cut-bank.toml
  sumpwright storm examples/cut-bank.toml --period \"25 yr\" --without-power
  sumpwright storm examples/cut-bank.toml --from \"11 h\" --until \"13 h\" --every \"1 min\"
  sumpwright storm examples/cut-bank.toml --shape steady --duration \"30 min\"
  sumpwright storm examples/cut-bank.toml --power-off-at \"11 h 50 min\" --chart only
  sumpwright storm examples/cut-bank.toml --format csv --output storm.csv

Exit codes:
  0  the course is shown (whether it is good enough, `size` says)
  2  the input or the command is wrong
  3  the site file could not be read, or the course not written";

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Write a new site file: asks in plain words for what it needs
    #[command(after_help = super::new::HELP)]
    New(super::new::NewOptions),
    /// Size the drainage of a site: the sizing report
    #[command(after_help = SIZE_HELP.to_owned() + EXIT_CODES)]
    Size(SizeOptions),
    /// How long a run each pump does its job through: is this run too long for that pump?
    #[command(after_help = super::reach::HELP)]
    Reach(Box<super::reach::ReachOptions>),
    /// Run a rain record of months to decades through a site
    #[command(after_help = RECORD_HELP)]
    Record(Box<RecordArguments>),
    /// Read a site file and report only what is wrong with it
    #[command(after_help = "Example:\n  sumpwright check yard.toml")]
    Check(CheckOptions),
    /// Follow one storm through the yard: what stands where and when, what the pump does
    #[command(after_help = STORM_HELP)]
    Storm(StormOptions),
    /// Try pumps, pipe sizes, basins and float levels with one another: the cheapest set that holds
    #[command(after_help = super::options::OPTIONS_HELP)]
    Options(super::options::OptionsArguments),
    /// Say how wrong the estimate may be: how far each assumption may be off before the design fails
    #[command(after_help = super::margins::HELP)]
    Margins(super::margins::MarginsOptions),
    /// Write the papers of the job: for the visit, the crew, the first start, the town, the owner
    #[command(after_help = super::papers::HELP)]
    Papers(super::papers::PapersOptions),
    /// Take the job off: quantities, hours, prices, the sum; and the customer's proposal
    #[command(after_help = super::takeoff::HELP)]
    Takeoff(super::takeoff::TakeoffOptions),
    /// Tell what a word of the report means, why it matters and what changes it
    #[command(after_help = EXPLAIN_HELP)]
    Explain(ExplainOptions),
    /// Print the built-in tables with their sources
    #[command(
        after_help = "Examples:\n  sumpwright tables\n  sumpwright tables pipes\n  sumpwright tables pipes --format csv"
    )]
    Tables(TablesOptions),
    /// Print the schema of the site file, by which editors complete and check it
    #[command(after_help = SCHEMA_HELP)]
    Schema(SchemaOptions),
    /// Print the script by which a shell completes commands and options
    #[command(after_help = super::shells::COMPLETIONS_HELP)]
    Completions(super::shells::CompletionsOptions),
    /// Print the pages for `man`
    #[command(after_help = super::shells::MANUAL_HELP)]
    Manual(super::shells::ManualOptions),
}

#[derive(Clone, Debug, Args)]
pub(super) struct SizeOptions {
    /// The site file, or - to read it from standard input
    pub(super) file: PathBuf,
    /// The form of the report
    #[arg(long, value_enum, default_value_t = ReportFormat::Text)]
    pub(super) format: ReportFormat,
    /// Show formula, numbers, result and source of every step
    #[arg(long)]
    pub(super) working: bool,
    /// Say with the verdict how much the closest assumption may be off; HTML draws them all, `margins` lists them
    #[arg(long)]
    pub(super) margins: bool,
    /// Draw pump against line and the design storm below the text; HTML has its charts without asking
    #[arg(long)]
    pub(super) chart: bool,
    /// Size it again each time the file is saved, until Ctrl-C
    #[arg(long)]
    pub(super) watch: bool,
    #[command(flatten)]
    pub(super) delivery: Delivery,
}

const SIZE_HELP: &str = "\
Examples:
  sumpwright size examples/cut-bank.toml
  sumpwright size examples/cut-bank.toml --chart
  sumpwright size examples/cut-bank.toml --format html --output report.html
  sumpwright size yard.toml --watch

";

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
    #[command(flatten)]
    pub(super) delivery: Delivery,
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
pub(super) struct StormOptions {
    /// The site file, or - to read it from standard input
    pub(super) file: PathBuf,
    /// The return period of the rain, one of those in the file; without it the design's: --period "2 yr" or --period 2
    #[arg(long, value_name = "PERIOD", value_parser = period)]
    pub(super) period: Option<ReturnPeriod>,
    /// How the rain lies in time: nested (the rain of every duration around one middle), steady (with --duration),
    /// worst-steady (the steady rain with the deepest water), or a published 24-hour storm: type-I, type-IA, type-II,
    /// type-III, type-II-with-its-burst
    #[arg(long, value_name = "SHAPE")]
    pub(super) shape: Option<String>,
    /// How long a steady rain lasts: --duration "30 min"
    #[arg(long, value_name = "TIME", value_parser = quantity::<Duration>)]
    pub(super) duration: Option<Duration>,
    /// The time from row to row: --every "1 min"; without it fine around the burst and coarse elsewhere
    #[arg(long, value_name = "TIME", value_parser = quantity::<Duration>)]
    pub(super) every: Option<Duration>,
    /// Show the storm from this time on, counted from the start of the rain: --from "11 h"
    #[arg(long, value_name = "TIME", value_parser = quantity::<Duration>)]
    pub(super) from: Option<Duration>,
    /// Show it up to this time: --until "13 h"
    #[arg(long, value_name = "TIME", value_parser = quantity::<Duration>)]
    pub(super) until: Option<Duration>,
    /// No pump has power
    #[arg(long)]
    pub(super) without_power: bool,
    /// The power goes at this time from the start of the rain and stays away: --power-off-at "11 h"
    #[arg(long, value_name = "TIME", value_parser = quantity::<Duration>, conflicts_with = "without_power")]
    pub(super) power_off_at: Option<Duration>,
    /// The form: text with table and chart, JSON with every number and its unit, or the table as CSV
    #[arg(long, value_enum, default_value_t = CourseFormat::Text)]
    pub(super) format: CourseFormat,
    /// The chart in the text, which has one below the table unless told otherwise; not for JSON and CSV
    #[arg(long, value_enum)]
    pub(super) chart: Option<ChartParts>,
    #[command(flatten)]
    pub(super) delivery: Delivery,
}

/// A return period: a bare number is one of years, for there are no others.
fn period(text: &str) -> Result<ReturnPeriod, String> {
    let text = text.trim();
    if text.parse::<f64>().is_ok() { quantity(&format!("{text} yr")) } else { quantity(text) }
}

/// A quantity as people write it.
pub(super) fn quantity<Q: Measure<f64>>(text: &str) -> Result<Q, String> {
    read::<Q>(text).map_err(|error| {
        let hint = error.hint().map_or_else(String::new, |hint| format!("\nhelp: {hint}"));
        format!("{error}{hint}")
    })
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum CourseFormat {
    /// For people
    Text,
    /// For programs
    Json,
    /// For spreadsheets: the table alone
    Csv,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum ChartParts {
    /// Below the table
    With,
    /// No chart
    None,
    /// The chart alone, with what happens in short
    Only,
}

#[derive(Debug, Args)]
pub(super) struct CheckOptions {
    /// The site file, or - to read it from standard input
    pub(super) file: PathBuf,
}

#[derive(Debug, Args)]
pub(super) struct ExplainOptions {
    /// A term, the name of a finding or of a problem, or a key of the site file; without one, all of them
    pub(super) words: Vec<String>,
}

const EXPLAIN_HELP: &str = "\
Examples:
  sumpwright explain velocity-below-scour
  sumpwright explain duty point
  sumpwright explain clear_within
  sumpwright explain

Exit codes:
  0  it is explained
  2  there is nothing of that name; what may be meant is said";

#[derive(Debug, Args)]
pub(super) struct SchemaOptions {
    /// Which file it is the schema of
    #[arg(long, value_enum, default_value_t = SchemaOf::SiteFile)]
    pub(super) of: SchemaOf,
    #[command(flatten)]
    pub(super) destination: Destination,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum SchemaOf {
    /// The site file
    SiteFile,
    /// A price list, as `takeoff --prices` reads it
    PriceList,
}

const SCHEMA_HELP: &str = "\
An editor that knows JSON Schema shows the keys, their meaning and units while you write, and marks what does not fit.
What depends on two values together `sumpwright check` alone can say.

Examples:
  sumpwright schema --output site-file.schema.json
  sumpwright schema --of price-list";

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
    /// To open in a browser and print: one file with charts, which needs nothing beside it
    Html,
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

impl From<Units> for UnitSystem {
    fn from(units: Units) -> Self {
        match units {
            Units::Us => Self::Us,
            Units::Metric => Self::Metric,
        }
    }
}
