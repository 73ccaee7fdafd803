//! The command line.

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

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Size the drainage of a site: the sizing report
    #[command(after_help = "Example:\n  sumpwright size examples/cut-bank.toml\n\n".to_owned() + EXIT_CODES)]
    Size(SizeOptions),
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
