//! Arguments, files, the terminal, exit codes: everything that touches the outside.

mod arguments;
mod commands;
mod delivery;
mod input;
mod interrupt;
mod margins;
mod new;
mod options;
mod output;
mod papers;
mod progress;
mod reach;
mod record;
mod shells;
mod storm;
mod takeoff;
mod watch;

use arguments::{Arguments, Command};
use clap::Parser as _;
use std::ffi::OsString;
use std::io::{self, Write as _};
use std::process::ExitCode;

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Ending {
    /// The design holds, or there was nothing to judge.
    Fine,
    /// The design does not hold.
    Fails,
    /// The input or the command is wrong.
    BadInput,
    /// A file could not be read or written.
    BadFile,
    /// It was broken off, by a key or otherwise: what shells have for an interrupt, 128 and the signal's number.
    Interrupted,
}

impl From<Ending> for ExitCode {
    fn from(ending: Ending) -> Self {
        Self::from(match ending {
            Ending::Fine => 0,
            Ending::Fails => 1,
            Ending::BadInput => 2,
            Ending::BadFile => 3,
            Ending::Interrupted => 130,
        })
    }
}

/// What a command has to say: to standard output, to standard error, and how it ended.
#[derive(Clone, Debug)]
struct Said {
    out: String,
    err: String,
    ending: Ending,
}

impl Said {
    fn out(out: String, ending: Ending) -> Self {
        Self { out, err: String::new(), ending }
    }
    fn err(err: String, ending: Ending) -> Self {
        Self { out: String::new(), err, ending }
    }
}

/// Runs the program.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let given: Vec<OsString> = arguments.into_iter().collect();
    let arguments = match Arguments::try_parse_from(&given) {
        Ok(arguments) => arguments,
        Err(error) => {
            // help and version come here too, with code 0
            let printed = error.print();
            if let Some(file) =
                given.get(1).map(|first| first.to_string_lossy()).filter(|first| first.ends_with(".toml"))
            {
                let _ = writeln!(anstream::stderr(), "\nto size a site: sumpwright size {file}");
            }
            return if error.use_stderr() { Ending::BadInput.into() } else { ended(printed, Ending::Fine) };
        }
    };
    let said = match arguments.command {
        None => Said::out(commands::welcome(), Ending::Fine),
        Some(Command::Size(options)) if options.watch => watch::watch(&options),
        Some(Command::Size(options)) => commands::size(&options),
        Some(Command::Storm(options)) => storm::storm(&options),
        Some(Command::Options(options)) => options::options(&options),
        Some(Command::Reach(options)) => reach::reach(&options),
        Some(Command::Margins(options)) => margins::margins_command(&options),
        Some(Command::Record(options)) => record::record(&options),
        Some(Command::Papers(options)) => papers::papers(&options),
        Some(Command::Takeoff(options)) => takeoff::takeoff(&options),
        Some(Command::New(options)) => new::new(&options),
        Some(Command::Check(options)) => commands::check(&options),
        Some(Command::Explain(options)) => commands::explain(&options.words),
        Some(Command::Tables(options)) => commands::tables(&options),
        Some(Command::Schema(options)) => commands::schema(&options),
        Some(Command::Completions(options)) => shells::completions(&options),
        Some(Command::Manual(options)) => shells::manual(&options),
    };
    let ending = said.ending;
    ended(show(&said), ending)
}

/// Prints what a command has to say.
fn show(said: &Said) -> io::Result<()> {
    let _ = anstream::stderr().write_all(said.err.as_bytes());
    print(&said.out)
}

/// How it ended, after what it had to say was printed or was not.
fn ended(printed: io::Result<()>, ending: Ending) -> ExitCode {
    match printed {
        // whoever was reading has had enough
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            let _ = writeln!(anstream::stderr(), "error: the report could not be written: {}", output::plain(&error));
            Ending::BadFile.into()
        }
        _ => ending.into(),
    }
}

fn print(text: &str) -> io::Result<()> {
    let mut out = io::stdout().lock();
    out.write_all(text.as_bytes())?;
    out.flush()
}
