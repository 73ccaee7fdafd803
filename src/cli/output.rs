//! Writing files: whole or not at all, and never over another one unasked.

use super::{Ending, Said};
use std::ffi::OsString;
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
    /// It could not be written.
    #[error("`{name}` could not be written: {cause}")]
    Unwritable {
        /// The file.
        name: String,
        /// Why.
        cause: String,
    },
}

/// Whether a file may be written there, before anything is worked out for it.
///
/// # Errors
/// It is a directory, or there is such a file already and `force` was not asked for.
pub(super) fn check(path: &Path, force: bool) -> Result<(), OutputError> {
    let name = path.display().to_string();
    if path.is_dir() {
        return Err(OutputError::Directory { name });
    }
    // a link that leads nowhere is there as well
    if !force && path.symlink_metadata().is_ok() {
        return Err(OutputError::Exists { name });
    }
    Ok(())
}

/// Writes a text to a file: into a new file beside it, which then takes its name, so that nobody ever sees half of it.
///
/// # Errors
/// There is such a file already and `force` was not asked for, or it could not be written; nothing is left behind then.
pub(super) fn write(path: &Path, text: &str, force: bool) -> Result<(), OutputError> {
    let name = path.display().to_string();
    check(path, force)?;
    let unwritable = |error: &io::Error| OutputError::Unwritable { name: name.clone(), cause: plain(error) };
    let (mut file, beside) = new_beside(path).map_err(|error| unwritable(&error))?;
    let placed = fill(&mut file, text).and_then(|()| place(&beside, path, force));
    placed.map_err(|error| {
        // what is left of it is of no use to anybody
        let _ = fs::remove_file(&beside);
        match error.kind() {
            io::ErrorKind::AlreadyExists => OutputError::Exists { name: name.clone() },
            _ => unwritable(&error),
        }
    })
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

/// Writes several files into a folder, which is made where it is not there; gives their names. None is written where one
/// of them may not be.
///
/// # Errors
/// One of them is there already and `force` was not asked for, or could not be written.
pub(super) fn write_all(folder: &Path, files: Vec<(String, String)>, force: bool) -> Result<Vec<String>, OutputError> {
    for (name, _) in &files {
        check(&folder.join(name), force)?;
    }
    fs::create_dir_all(folder)
        .map_err(|error| OutputError::Unwritable { name: folder.display().to_string(), cause: plain(&error) })?;
    files.into_iter().map(|(name, text)| write(&folder.join(&name), &text, force).map(|()| name)).collect()
}

fn fill(file: &mut File, text: &str) -> io::Result<()> {
    file.write_all(text.as_bytes())?;
    file.sync_all()
}

/// Gives the finished file its name.
fn place(beside: &Path, path: &Path, force: bool) -> io::Result<()> {
    if force {
        return fs::rename(beside, path);
    }
    // a second name cannot be given where somebody was quicker; some file systems know no second names
    match fs::hard_link(beside, path) {
        Ok(()) => fs::remove_file(beside),
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => Err(error),
        Err(_) => fs::rename(beside, path),
    }
}

/// Names tried for the new file.
const TRIES: u32 = 100;

/// A new file in the folder of another, of a name that nothing had.
fn new_beside(path: &Path) -> io::Result<(File, PathBuf)> {
    let own = path.file_name().ok_or(io::ErrorKind::InvalidInput)?;
    let mut taken = io::Error::from(io::ErrorKind::AlreadyExists);
    for number in 0..TRIES {
        let mut name = OsString::from(".");
        name.push(own);
        name.push(format!(".{}-{number}.new", std::process::id()));
        let beside = path.with_file_name(name);
        match OpenOptions::new().write(true).create_new(true).open(&beside) {
            Ok(file) => return Ok((file, beside)),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => taken = error,
            Err(error) => return Err(error),
        }
    }
    Err(taken)
}

/// Why the system refused, in words that do not change from one system to the next.
fn plain(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such folder".to_owned(),
        io::ErrorKind::PermissionDenied => "permission is denied".to_owned(),
        io::ErrorKind::NotADirectory => "a part of its path is no folder".to_owned(),
        io::ErrorKind::StorageFull => "there is no room left".to_owned(),
        io::ErrorKind::InvalidInput | io::ErrorKind::InvalidFilename => "this is no file name".to_owned(),
        _ => error.to_string(),
    }
}
