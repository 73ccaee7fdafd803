//! The `options` command: reads, has the sets tried, renders, and saves one of them.

use super::arguments::{CourseFormat, Units};
use super::commands::read_with_text;
use super::input::Beside;
use super::output;
use super::{Ending, Said};
use crate::quantity::UnitSystem;
use crate::questions::options::{Options, OptionsError, options as try_sets, saved};
use crate::report::layout::paragraph;
use crate::report::options_table::options_csv;
use crate::report::{json, text};
use clap::{ArgGroup, Args};
use std::path::PathBuf;

pub(super) const OPTIONS_HELP: &str = "\
Pumps are those of the file. Sizes of pipe, basins and float levels are those of [options] in it,
else those with a price in [prices], else the usual ones next to what is drawn. The cost is that of
the materials that differ and of the energy, at the prices in the file; without prices, less
strength, bore and width are held to be better.

Examples:
  sumpwright options examples/cut-bank.toml
  sumpwright options examples/cut-bank.toml --years 20
  sumpwright options examples/cut-bank.toml --save cheapest.toml
  sumpwright options examples/cut-bank.toml --save third.toml --choice 3
  sumpwright options examples/cut-bank.toml --format csv --output sets.csv

Exit codes:
  0  at least one set holds
  1  none does
  2  the input or the command is wrong
  3  a file could not be read or written";

#[derive(Debug, Args)]
#[command(group(ArgGroup::new("written").args(["output", "save"]).multiple(true)))]
pub(super) struct OptionsArguments {
    /// The site file, or - to read it from standard input
    file: PathBuf,
    /// The years whose energy is counted; 0 to leave it out
    #[arg(long, value_name = "YEARS", default_value_t = 10, value_parser = clap::value_parser!(u32).range(0..=100))]
    years: u32,
    /// Write a set into this file: the site file with its values, all else as it stands
    #[arg(long, value_name = "FILE")]
    save: Option<PathBuf>,
    /// Which of the sets worth choosing between is written, by its number
    #[arg(long, value_name = "NUMBER", default_value_t = 1, requires = "save", value_parser = number)]
    choice: usize,
    /// The form: text, JSON with every set that holds, or every set tried as CSV
    #[arg(long, value_enum, default_value_t = CourseFormat::Text)]
    format: CourseFormat,
    /// Print in these units instead of those that the site file asks for
    #[arg(long, value_enum)]
    units: Option<Units>,
    /// Write to this file instead of the screen
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Replace files that are there already
    #[arg(long, requires = "written")]
    force: bool,
}

fn number(text: &str) -> Result<usize, String> {
    match text.trim().parse::<usize>() {
        Ok(number) if number > 0 => Ok(number),
        _ => Err("a number from the column `choice`, as 1".to_owned()),
    }
}

pub(super) fn options(arguments: &OptionsArguments) -> Said {
    let wrong = |text: &str, ending| Said::err(format!("error: {text}\n"), ending);
    if arguments.save.as_ref().is_some_and(|path| path.as_os_str() == "-") {
        return wrong("`--save` takes the name of a file: the report goes to the screen", Ending::BadInput);
    }
    if let (Some(save), Some(output)) = (&arguments.save, &arguments.output)
        && output::same_file(save, output)
    {
        return wrong("`--save` and `--output` name the same file: give the report another", Ending::BadInput);
    }
    // before anything is worked out, not after
    let path = match output::asked(arguments.output.as_deref(), arguments.force, &[&arguments.file]) {
        Ok(path) => path,
        Err(refused) => return refused,
    };
    if let Some(Err(refused)) = arguments.save.as_ref().map(|path| output::check(path, arguments.force)) {
        return wrong(&refused.to_string(), Ending::BadFile);
    }
    let (_, text, said) = match read_with_text(&arguments.file) {
        Ok(read) => read,
        Err(said) => return said,
    };
    let files = Beside::new(&arguments.file);
    let units = arguments.units.map(UnitSystem::from);
    let found = match try_sets(&text, &files, units, arguments.years) {
        Ok(found) => found,
        Err(error) => return refused(&said, &error),
    };
    let mut err = said.clone();
    // the set before the report: what is asked for and cannot be had is said first
    if let Some(path) = &arguments.save {
        if found.choices.is_empty() {
            err.push_str("error: no set holds, so none was saved\n");
        } else {
            let written = match saved(&text, &files, &found, arguments.choice) {
                Ok(written) => written,
                Err(error) => return refused(&said, &error),
            };
            if let Err(error) = output::write(path, &written, arguments.force) {
                return Said::err(format!("{said}error: {error}\n"), Ending::BadFile);
            }
            err.push_str(&saved_words(&found, arguments));
            if crate::site::read(&written, &Beside::new(path)).site.is_none() {
                err.push_str("help: it names a file that is not beside it: copy that one there too\n");
            }
        }
    }
    let ending = if found.holding > 0 { Ending::Fine } else { Ending::Fails };
    let out = match arguments.format {
        CourseFormat::Text => text::options_report(&found),
        CourseFormat::Json => json::options_json(&found),
        CourseFormat::Csv => options_csv(&found),
    };
    output::deliver(out, err, path, arguments.force, ending)
}

fn saved_words(found: &Options, arguments: &OptionsArguments) -> String {
    let path = arguments.save.as_ref().map_or_else(String::new, |path| path.display().to_string());
    let set = arguments.choice.checked_sub(1).and_then(|index| found.choices.get(index));
    let set = set.and_then(|index| found.tried.get(*index));
    let words =
        set.map_or_else(String::new, |set| format!(": {}", crate::questions::options::set_words(set, found.units)));
    format!("written: {path}, choice {}{words}\n", arguments.choice)
}

/// Why there is no answer, and what to write.
fn refused(said: &str, error: &OptionsError) -> Said {
    let help = match error {
        OptionsError::NoGoal => Some(
            "write in [goal] how deep water may stand, `standing_water = \"3 in\"`, how long, `clear_within = \"6 h\"`, or what the pump has to bring, `flow = \"30 gpm\"`",
        ),
        OptionsError::SizeNotMade { .. } => Some("write in `options.pipes` sizes that are made, or leave it out"),
        OptionsError::Rectangular => Some("leave `options.basins` out: the basin is tried as drawn"),
        OptionsError::TooMany { .. } => Some("shorten the lists in [options], or take pumps out of the file"),
        OptionsError::NoSuchChoice { .. } => Some("run it without `--save` to see them, in the column `choice`"),
        OptionsError::NotRewritten(_) | OptionsError::NoSite | OptionsError::Design(_) => None,
    };
    let help = help.map_or_else(String::new, |help| paragraph(&format!("help: {help}")));
    Said::err(format!("{said}{}{help}", paragraph(&format!("error: {error}"))), Ending::BadInput)
}
