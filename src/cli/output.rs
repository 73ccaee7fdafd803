//! Writing files: whole or not at all, and never over another one unasked.

use super::input::folder_of;
use super::interrupt;
use super::{Ending, Said};
use std::fs::{self, File, OpenOptions};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use thiserror::Error;

/// Why a file was not written.
#[derive(Debug, Error)]
pub(super) enum OutputError {
    /// It is there already.
    #[error("`{name}` is there already: write `--force` to replace it, or give another name")]
    Exists {
        /// The file.
        name: String,
    },
    /// It is a directory.
    #[error("`{name}` is a directory: give the name of a file in it")]
    Directory {
        /// The directory.
        name: String,
    },
    /// It is what is read.
    #[error("`{name}` is what is read here: give what is written another name")]
    Read {
        /// The file.
        name: String,
    },
    /// It is a link to nothing.
    #[error("`{name}` is a link that leads nowhere: give the name of a file")]
    LeadsNowhere {
        /// The link.
        name: String,
    },
    /// It is there, and is nothing that a text can be put into.
    #[error("`{name}` is no file that a text is written into: give another name")]
    NoFile {
        /// What it is called.
        name: String,
    },
    /// It could not be written.
    #[error("`{name}` could not be written: {cause}")]
    Unwritable {
        /// The file.
        name: String,
        /// Why.
        cause: String,
    },
}

/// What a name stands for.
enum Place {
    /// A file, there already or not, by its own name where a link leads to it.
    File(PathBuf),
    /// A pipe or a device such as a terminal: nothing in it could be lost, and it is not replaced.
    Stream,
}

/// The file that a report is to go to, none where it is the screen; refused before anything is worked out for it.
///
/// # Errors
/// What is said, and how the command ends: it may not be written, or is one of the files `read`.
pub(super) fn asked<'a>(path: Option<&'a Path>, force: bool, read: &[&Path]) -> Result<Option<&'a Path>, Said> {
    let Some(path) = path.filter(|path| path.as_os_str() != "-") else { return Ok(None) };
    let same = read.iter().any(|read| same_file(path, read));
    let refused = if same { Err(OutputError::Read { name: shown(path) }) } else { check(path, force) };
    match refused {
        Ok(()) => Ok(Some(path)),
        Err(refused) => Err(Said::err(format!("error: {refused}\n"), Ending::BadFile)),
    }
}

/// Whether a file may be written there, before anything is worked out for it.
///
/// # Errors
/// It is a directory, or there is such a file already and `force` was not asked for, or it could not be made.
pub(super) fn check(path: &Path, force: bool) -> Result<(), OutputError> {
    place(path, force).map(|_| ())
}

/// Whether two names are those of one file, there already or not.
pub(super) fn same_file(one: &Path, other: &Path) -> bool {
    // standard input has no name
    one.as_os_str() != "-" && other.as_os_str() != "-" && (one == other || whole(one) == whole(other))
}

/// A name from the root on, links followed; as it stands where that cannot be found out.
fn whole(path: &Path) -> PathBuf {
    let by_folder = || {
        let (folder, name) = (folder_of(path), path.file_name()?);
        Some(fs::canonicalize(folder).ok()?.join(name))
    };
    fs::canonicalize(path).ok().or_else(by_folder).unwrap_or_else(|| path.to_path_buf())
}

fn shown(path: &Path) -> String {
    path.display().to_string()
}

fn place(path: &Path, force: bool) -> Result<Place, OutputError> {
    let name = shown(path);
    // `yard/` and `yard/.` name a folder, whether it is there or not
    let ends_as_folder = name.ends_with(std::path::is_separator)
        || name.strip_suffix('.').is_some_and(|front| front.ends_with(std::path::is_separator));
    if ends_as_folder || path.file_name().is_none() || path.is_dir() {
        return Err(OutputError::Directory { name });
    }
    let unwritable = |error: &io::Error| OutputError::Unwritable { name: name.clone(), cause: plain(error) };
    match fs::metadata(path) {
        Ok(data) if is_stream(&data) => Ok(Place::Stream),
        Ok(data) if !data.is_file() => Err(OutputError::NoFile { name }),
        Ok(_) if !force => Err(OutputError::Exists { name }),
        // the file is replaced, not the link to it
        Ok(_) => fs::canonicalize(path).map(Place::File).map_err(|error| unwritable(&error)),
        Err(_) if path.symlink_metadata().is_ok() => Err(OutputError::LeadsNowhere { name }),
        Err(error) if error.kind() != io::ErrorKind::NotFound => Err(unwritable(&error)),
        Err(error) if !folder_of(path).is_dir() => Err(unwritable(&error)),
        Err(_) => Ok(Place::File(path.to_path_buf())),
    }
}

#[cfg(unix)]
fn is_stream(data: &fs::Metadata) -> bool {
    use std::os::unix::fs::FileTypeExt as _;
    data.file_type().is_char_device() || data.file_type().is_fifo()
}

#[cfg(not(unix))]
fn is_stream(_: &fs::Metadata) -> bool {
    false
}

/// Writes a text to a file: into a new file beside it, which then takes its name, so that nobody ever sees half of it.
///
/// # Errors
/// There is such a file already and `force` was not asked for, or it could not be written; nothing is left behind then.
pub(super) fn write(path: &Path, text: &str, force: bool) -> Result<(), OutputError> {
    write_together(&[(path.to_path_buf(), text.to_owned())], force)
}

/// Shows a text, or writes it to the file that was asked for.
pub(super) fn deliver(out: String, said: String, path: Option<&Path>, force: bool, ending: Ending) -> Said {
    match path.filter(|path| path.as_os_str() != "-") {
        None => Said { out, err: said, ending },
        Some(path) => match write(path, &out, force) {
            Ok(()) => Said::err(format!("{said}written: {}\n", path.display()), ending),
            Err(error) => Said::err(format!("{said}error: {error}\n"), Ending::BadFile),
        },
    }
}

/// Writes several files into a folder, which is made where it is not there; gives their names. Either all are written, or
/// none gets its name.
///
/// # Errors
/// One of them is there already and `force` was not asked for, or could not be written.
pub(super) fn write_all(folder: &Path, files: Vec<(String, String)>, force: bool) -> Result<Vec<String>, OutputError> {
    let made = !folder.exists();
    fs::create_dir_all(folder)
        .map_err(|error| OutputError::Unwritable { name: shown(folder), cause: plain(&error) })?;
    let names = files.iter().map(|(name, _)| name.clone()).collect();
    let files: Vec<_> = files.into_iter().map(|(name, text)| (folder.join(name), text)).collect();
    let written = write_together(&files, force);
    if written.is_err() && made {
        // one that is not empty stays
        let _ = fs::remove_dir(folder);
    }
    written.map(|()| names)
}

/// A file that is finished but for its name.
struct NewFile<'a> {
    /// As it was asked for.
    path: &'a Path,
    target: PathBuf,
    beside: PathBuf,
}

/// Writes files that belong together: all are finished under other names before the first gets its own.
fn write_together(files: &[(PathBuf, String)], force: bool) -> Result<(), OutputError> {
    let places = files.iter().map(|(path, _)| place(path, force)).collect::<Result<Vec<_>, _>>()?;
    interrupt::listen();
    let mut finished: Vec<NewFile<'_>> = Vec::new();
    let mut failed = None;
    for ((path, text), place) in files.iter().zip(places) {
        let done = match place {
            Place::Stream => into_stream(path, text),
            Place::File(target) => {
                new_file(&target, text).map(|beside| finished.push(NewFile { path, target, beside }))
            }
        };
        if let Err(error) = done {
            failed = Some((path.as_path(), error));
            break;
        }
    }
    // not broken off in between
    let mut unfinished = interrupt::unfinished();
    if failed.is_none() {
        failed = finished.iter().find_map(|file| named(file, force).err().map(|error| (file.path, error)));
    }
    for file in &finished {
        // that name is needed no more, or what is left is of no use to anybody
        let _ = fs::remove_file(&file.beside);
        unfinished.retain(|known| *known != file.beside);
    }
    match failed {
        None => Ok(()),
        Some((path, error)) if error.kind() == io::ErrorKind::AlreadyExists => {
            Err(OutputError::Exists { name: shown(path) })
        }
        Some((path, error)) => Err(OutputError::Unwritable { name: shown(path), cause: plain(&error) }),
    }
}

/// Gives the finished file its name.
fn named(file: &NewFile<'_>, force: bool) -> io::Result<()> {
    if force {
        return fs::rename(&file.beside, &file.target);
    }
    // a second name cannot be given where somebody was quicker; some file systems know no second names
    match fs::hard_link(&file.beside, &file.target) {
        Err(error) if error.kind() != io::ErrorKind::AlreadyExists => fs::rename(&file.beside, &file.target),
        linked => linked,
    }
}

fn into_stream(path: &Path, text: &str) -> io::Result<()> {
    match OpenOptions::new().write(true).open(path)?.write_all(text.as_bytes()) {
        // whoever was reading has had enough
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        written => written,
    }
}

/// A finished file beside another, of a name that nothing had.
fn new_file(target: &Path, text: &str) -> io::Result<PathBuf> {
    let (mut file, beside) = new_beside(target)?;
    let mut filled = || {
        // what nobody else may read stays so
        if let Ok(data) = fs::metadata(target) {
            file.set_permissions(data.permissions())?;
        }
        file.write_all(text.as_bytes())?;
        file.sync_all()
    };
    filled().inspect_err(|_| {
        let mut unfinished = interrupt::unfinished();
        let _ = fs::remove_file(&beside);
        unfinished.retain(|known| *known != beside);
    })?;
    Ok(beside)
}

/// Names tried for the new file.
const TRIES: u32 = 100;

fn new_beside(target: &Path) -> io::Result<(File, PathBuf)> {
    // broken off before it is known or after, never in between
    let mut unfinished = interrupt::unfinished();
    let mut taken = io::Error::from(io::ErrorKind::AlreadyExists);
    for number in 0..TRIES {
        // not longer for a long name
        let beside = target.with_file_name(format!(".sumpwright-{}-{number}.new", std::process::id()));
        match OpenOptions::new().write(true).create_new(true).open(&beside) {
            Ok(file) => {
                unfinished.push(beside.clone());
                return Ok((file, beside));
            }
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => taken = error,
            Err(error) => return Err(error),
        }
    }
    Err(taken)
}

/// Why the system refused, in words that do not change from one system to the next.
pub(super) fn plain(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such folder".to_owned(),
        io::ErrorKind::PermissionDenied => "permission is denied".to_owned(),
        io::ErrorKind::AlreadyExists => "there is a file of that name".to_owned(),
        io::ErrorKind::NotADirectory => "a part of its path is no folder".to_owned(),
        io::ErrorKind::StorageFull => "there is no room left".to_owned(),
        io::ErrorKind::QuotaExceeded => "no more room is allowed".to_owned(),
        io::ErrorKind::FileTooLarge => "no file may be so large here".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem => "nothing can be written there".to_owned(),
        io::ErrorKind::InvalidFilename => "the name is too long, or no file name".to_owned(),
        io::ErrorKind::InvalidInput => "this is no file name".to_owned(),
        _ => error.to_string(),
    }
}
