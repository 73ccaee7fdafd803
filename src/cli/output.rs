//! Writing a report into a file: whole or not at all.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use thiserror::Error;

/// Why a report was not written.
#[derive(Debug, Error)]
pub(super) enum OutputError {
    /// The file is there.
    #[error("`{name}` is there already; --force overwrites it")]
    Exists {
        /// The file.
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

/// Whether a report may be written there.
pub(super) fn check(path: &Path, force: bool) -> Result<(), OutputError> {
    if !force && fs::symlink_metadata(path).is_ok() {
        return Err(OutputError::Exists { name: path.display().to_string() });
    }
    Ok(())
}

/// Writes a file by way of another one beside it, so that it is never half there. Overwrites only by force.
pub(super) fn write(path: &Path, text: &str, force: bool) -> Result<(), OutputError> {
    check(path, force)?;
    let unwritable = |error: io::Error| OutputError::Unwritable {
        name: path.display().to_string(),
        cause: match error.kind() {
            io::ErrorKind::NotFound => "there is no such folder".to_owned(),
            io::ErrorKind::PermissionDenied => "permission is denied".to_owned(),
            io::ErrorKind::IsADirectory => "it is a directory".to_owned(),
            _ => error.to_string(),
        },
    };
    if path.is_dir() {
        return Err(unwritable(io::ErrorKind::IsADirectory.into()));
    }
    let (beside, mut file) = beside(path).map_err(unwritable)?;
    let written = file.write_all(text.as_bytes()).and_then(|()| file.sync_all());
    drop(file);
    let placed = written.and_then(|()| {
        if force {
            fs::rename(&beside, path)
        } else {
            // a link is refused where a file has come to be in the meantime; not every file system has links
            match fs::hard_link(&beside, path) {
                Err(error) if error.kind() != io::ErrorKind::AlreadyExists => fs::rename(&beside, path),
                linked => linked.map(|()| {
                    let _ = fs::remove_file(&beside);
                }),
            }
        }
    });
    placed.map_err(|error| {
        let _ = fs::remove_file(&beside);
        if error.kind() == io::ErrorKind::AlreadyExists {
            OutputError::Exists { name: path.display().to_string() }
        } else {
            unwritable(error)
        }
    })
}

/// A new file in the same folder.
fn beside(path: &Path) -> io::Result<(PathBuf, File)> {
    let name = path.file_name().ok_or(io::ErrorKind::IsADirectory)?;
    let mut number = 0_u32;
    loop {
        let mut hidden = std::ffi::OsString::from(".");
        hidden.push(name);
        hidden.push(format!(".{}-{number}.part", std::process::id()));
        let beside = path.with_file_name(hidden);
        match OpenOptions::new().write(true).create_new(true).open(&beside) {
            Ok(file) => return Ok((beside, file)),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists && number < 100 => number += 1,
            Err(error) => return Err(error),
        }
    }
}
