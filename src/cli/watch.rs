//! Sizing a site again each time its file is saved.

use super::arguments::SizeOptions;
use super::commands::size;
use super::input::{self, Beside};
use super::{Ending, Said, print, show};
use crate::report::layout::paragraph;
use crate::site::{self, Files};
use notify::{Event, RecursiveMode, Watcher as _};
use std::cell::RefCell;
use std::ffi::OsStr;
use std::io::IsTerminal as _;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::Duration;

/// A file counts as saved once nothing was heard of it for so long: editors write in several steps.
const QUIET: Duration = Duration::from_millis(15);
/// Wipes a terminal and goes to its top.
const WIPE: &str = "\x1b[2J\x1b[3J\x1b[H";

/// Sizes, waits for a change and sizes again, until the program is broken off.
pub(super) fn watch(options: &SizeOptions) -> Said {
    if options.file.as_os_str() == "-" {
        let help = paragraph("help: name the site file, or leave `--watch` out");
        return Said::err(format!("error: standard input cannot be watched\n{help}"), Ending::BadInput);
    }
    if input::text(&options.file).is_err_and(|error| error.is_access()) {
        return size(options);
    }
    let (teller, told) = channel();
    let mut watcher = match notify::recommended_watcher(teller) {
        Ok(watcher) => watcher,
        Err(error) => return not_watched(&error),
    };
    let mut options = options.clone();
    let mut watched = Vec::new();
    loop {
        for folder in Texts::of(&options.file).0.iter().map(|file| input::folder_of(file).to_path_buf()) {
            if !watched.contains(&folder) {
                if let Err(error) = watcher.watch(&folder, RecursiveMode::NonRecursive) {
                    return not_watched(&error);
                }
                watched.push(folder);
            }
        }
        // read once they are watched, so that no change falls between
        let (files, texts) = Texts::of(&options.file);
        let said = size(&options);
        // whoever was reading has had enough
        if show(&said).is_err() {
            return Said::out(String::new(), Ending::Fine);
        }
        let waiting = format!("watching {}; Ctrl-C ends it\n", input::shown(&options.file));
        let _ = show(&Said::err(waiting, Ending::Fine));
        // what was written stands there now, and is this program's own
        options.delivery.again();
        loop {
            if !changed(&told, &files) {
                return Said::out(String::new(), Ending::Fine);
            }
            // saved as it was is no change
            if Texts::of(&options.file).1 != texts {
                break;
            }
        }
        let between = if std::io::stdout().is_terminal() {
            WIPE.to_owned()
        } else {
            format!("\n==== {} was saved ====\n\n", input::shown(&options.file))
        };
        let _ = print(&between);
    }
}

fn not_watched(error: &notify::Error) -> Said {
    let help = paragraph("help: leave `--watch` out, and run the command again after each change");
    Said::err(format!("error: changes of files cannot be heard here: {error}\n{help}"), Ending::BadFile)
}

/// Waits for a change of one of the files and the quiet after it. False where there is nothing to wait for any more.
fn changed(told: &Receiver<notify::Result<Event>>, files: &[PathBuf]) -> bool {
    let names: Vec<&OsStr> = files.iter().filter_map(|file| file.file_name()).collect();
    // a watch that stumbled may have missed a change
    let concerns = |event: &notify::Result<Event>| {
        event.as_ref().map_or(true, |event| {
            event.need_rescan()
                || !event.kind.is_access()
                    && event.paths.iter().filter_map(|path| path.file_name()).any(|name| names.contains(&name))
        })
    };
    loop {
        match told.recv() {
            Ok(event) if concerns(&event) => break,
            Ok(_) => {}
            Err(_) => return false,
        }
    }
    loop {
        match told.recv_timeout(QUIET) {
            Ok(_) => {}
            Err(RecvTimeoutError::Timeout) => return true,
            Err(RecvTimeoutError::Disconnected) => return false,
        }
    }
}

/// The texts of a site file and of those that it names.
#[derive(Debug, Default, PartialEq)]
struct Texts(Vec<Option<String>>);

impl Texts {
    /// The files and what stands in them.
    fn of(file: &Path) -> (Vec<PathBuf>, Self) {
        let text = input::text(file).ok();
        let named = Named { beside: Beside::new(file), found: RefCell::default() };
        if let Some(text) = &text {
            site::read(text, &named);
        }
        let (mut files, mut texts) = (vec![file.to_path_buf()], vec![text]);
        for (path, text) in named.found.into_inner() {
            files.push(path);
            texts.push(text);
        }
        (files, Self(texts))
    }
}

/// Keeps what a site file names.
struct Named {
    beside: Beside,
    found: RefCell<Vec<(PathBuf, Option<String>)>>,
}

impl Files for Named {
    fn read(&self, path: &str) -> Result<String, String> {
        let read = self.beside.read(path);
        self.found.borrow_mut().push((self.beside.path_of(path), read.as_ref().ok().cloned()));
        read
    }
}
