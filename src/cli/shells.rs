//! Completions for shells and pages for `man`, made from the definitions of the commands.

use super::arguments::Arguments;
use super::delivery::Destination;
use super::{Ending, Said, output};
use crate::report::layout::paragraph;
use clap::{Args, Command, CommandFactory as _, ValueEnum};
use std::path::PathBuf;

pub(super) const COMPLETIONS_HELP: &str = "\
The shell then completes commands, options and their words at a press of the tab key.

Examples, each with where the shell looks for it:
  sumpwright completions bash --output ~/.local/share/bash-completion/completions/sumpwright
  sumpwright completions zsh --output ~/.zfunc/_sumpwright
  sumpwright completions fish --output ~/.config/fish/completions/sumpwright.fish
The folder must be there: `mkdir -p ~/.zfunc`, say. For zsh it has to be in `fpath` before `compinit`.
PowerShell: put the script into the profile.";

pub(super) const MANUAL_HELP: &str = "\
Examples:
  sumpwright manual | man -l -
  sumpwright manual size | man -l -
  sumpwright manual --all ~/.local/share/man/man1";

#[derive(Debug, Args)]
pub(super) struct CompletionsOptions {
    /// The shell
    #[arg(value_enum)]
    shell: Shell,
    #[command(flatten)]
    destination: Destination,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Shell {
    Bash,
    Elvish,
    Fish,
    /// Of Windows
    #[value(name = "powershell")]
    Windows,
    Zsh,
}

impl From<Shell> for clap_complete::Shell {
    fn from(shell: Shell) -> Self {
        match shell {
            Shell::Bash => Self::Bash,
            Shell::Elvish => Self::Elvish,
            Shell::Fish => Self::Fish,
            Shell::Windows => Self::PowerShell,
            Shell::Zsh => Self::Zsh,
        }
    }
}

#[derive(Debug, Args)]
pub(super) struct ManualOptions {
    /// The command whose page is printed; without one, the page of the whole
    command: Option<String>,
    /// Write all pages into this folder
    #[arg(long, value_name = "FOLDER", conflicts_with = "command")]
    all: Option<PathBuf>,
    /// Replace files that are there already
    #[arg(long, requires = "all")]
    force: bool,
}

/// The definitions with all that is added on running.
fn definitions() -> Command {
    let mut definitions = Arguments::command().disable_help_subcommand(true);
    definitions.build();
    definitions
}

pub(super) fn completions(options: &CompletionsOptions) -> Said {
    if let Err(refused) = options.destination.check(&[]) {
        return refused;
    }
    let mut script = Vec::new();
    let mut definitions = Arguments::command();
    let name = definitions.get_name().to_owned();
    clap_complete::generate(clap_complete::Shell::from(options.shell), &mut definitions, name, &mut script);
    options.destination.deliver(String::from_utf8_lossy(&script).into_owned(), String::new(), Ending::Fine)
}

pub(super) fn manual(options: &ManualOptions) -> Said {
    let definitions = definitions();
    let commands = || definitions.get_subcommands();
    if let Some(folder) = &options.all {
        let pages = std::iter::once(&definitions).chain(commands());
        let files = pages.map(|command| (format!("{}.1", page_name(command)), page(command))).collect();
        return match output::write_all(folder, files, options.force) {
            Ok(names) => Said::err(format!("written into {}: {}\n", folder.display(), names.join(", ")), Ending::Fine),
            Err(error) => Said::err(format!("error: {error}\n"), Ending::BadFile),
        };
    }
    let Some(name) = &options.command else { return Said::out(page(&definitions), Ending::Fine) };
    if let Some(command) = commands().find(|command| command.get_name() == name) {
        return Said::out(page(command), Ending::Fine);
    }
    let names: Vec<&str> = commands().map(Command::get_name).collect();
    let help = paragraph(&format!("help: the commands are {}", names.join(", ")));
    Said::err(format!("error: there is no command `{name}`\n{help}"), Ending::BadInput)
}

/// `sumpwright-size` for the command `size`.
fn page_name(command: &Command) -> String {
    command.get_display_name().unwrap_or(command.get_name()).to_owned()
}

/// A page as `man` reads it, without a date, so that it is the same each time.
fn page(command: &Command) -> String {
    let mut page = Vec::new();
    let manual = clap_mangen::Man::new(command.clone()).title(page_name(command)).manual("sumpwright").date("");
    // writing into memory cannot fail
    let _ = manual.render(&mut page);
    String::from_utf8_lossy(&page).into_owned()
}
