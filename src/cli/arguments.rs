//! The command line.

use crate::quantity::{Duration, Measure, ReturnPeriod, read};
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
    /// Size the drainage of a site: the sizing report
    #[command(after_help = "Example:\n  sumpwright size examples/cut-bank.toml\n\n".to_owned() + EXIT_CODES)]
    Size(SizeOptions),
    /// Read a site file and report only what is wrong with it
    #[command(after_help = "Example:\n  sumpwright check yard.toml")]
    Check(CheckOptions),
    /// Follow one storm through the yard: what stands where and when, what the pump does
    #[command(after_help = STORM_HELP)]
    Storm(StormOptions),
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

#[derive(Debug, Args)]
pub(super) struct StormOptions {
    /// The site file, or - to read it from standard input
    pub(super) file: PathBuf,
    /// The return period of the rain, one of those in the file; without it the design's: --period "2 yr"
    #[arg(long, value_name = "YEARS", value_parser = quantity::<ReturnPeriod>)]
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
    /// The chart in the text
    #[arg(long, value_enum, default_value_t = ChartParts::With)]
    pub(super) chart: ChartParts,
    /// Print in these units instead of those that the site file asks for
    #[arg(long, value_enum)]
    pub(super) units: Option<Units>,
    /// Write to this file instead of the screen
    #[arg(long, value_name = "FILE")]
    pub(super) output: Option<PathBuf>,
    /// Replace the file if it is there already
    #[arg(long, requires = "output")]
    pub(super) force: bool,
}

/// A quantity as people write it.
fn quantity<Q: Measure<f64>>(text: &str) -> Result<Q, String> {
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
