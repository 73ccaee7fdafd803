//! Reading files.

use crate::site::{Files, LARGEST};
use std::fs::File;
use std::io::{self, Read as _};
use std::path::{Path, PathBuf};
use thiserror::Error;

/// Why a file could not be read.
#[derive(Debug, Error)]
pub(super) enum InputError {
    /// It could not be opened or read.
    #[error("`{name}` could not be read: {cause}")]
    Unreadable {
        /// The file.
        name: String,
        /// Why.
        cause: String,
    },
    /// It is a directory.
    #[error("`{name}` is a directory, not a site file")]
    Directory {
        /// The directory.
        name: String,
    },
    /// It is too large.
    #[error("`{name}` is larger than 256 kB: neither a site file nor a price list is")]
    TooLarge {
        /// The file.
        name: String,
    },
    /// It is not text.
    #[error("`{name}` is not text (at byte {at}): {kind}")]
    NotText {
        /// The file.
        name: String,
        /// Where the first wrong byte is.
        at: usize,
        /// What it looks like, and what to do.
        kind: &'static str,
    },
}

impl InputError {
    /// Whether the file itself could not be got at, rather than being the wrong kind of file.
    pub(super) fn is_access(&self) -> bool {
        matches!(self, Self::Unreadable { .. } | Self::Directory { .. })
    }
}

/// The name of an input as messages give it.
pub(super) fn shown(path: &Path) -> String {
    if path.as_os_str() == "-" { "standard input".to_owned() } else { path.display().to_string() }
}

/// The folder that a file is in.
pub(super) fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// The bytes of a file, or of standard input for `-`.
fn bytes(path: &Path) -> Result<Vec<u8>, InputError> {
    let name = shown(path);
    let unreadable = |error: io::Error| InputError::Unreadable { name: name.clone(), cause: plain(&error) };
    let mut bytes = Vec::new();
    let most = LARGEST as u64 + 1;
    let read = if path.as_os_str() == "-" {
        io::stdin().lock().take(most).read_to_end(&mut bytes)
    } else {
        let file = File::open(path).map_err(unreadable)?;
        if let Ok(data) = file.metadata() {
            if data.is_dir() {
                return Err(InputError::Directory { name });
            }
            // one byte more, to find the end without growing
            bytes.reserve(usize::try_from(data.len().min(most)).unwrap_or(0) + 1);
        }
        file.take(most).read_to_end(&mut bytes)
    };
    read.map_err(unreadable)?;
    if bytes.len() > LARGEST {
        return Err(InputError::TooLarge { name });
    }
    Ok(bytes)
}

/// The text of a file, or of standard input for `-`.
pub(super) fn text(path: &Path) -> Result<String, InputError> {
    String::from_utf8(bytes(path)?).map_err(|error| InputError::NotText {
        name: shown(path),
        at: error.utf8_error().valid_up_to(),
        kind: kind(error.as_bytes()),
    })
}

/// What bytes that are not UTF-8 look like.
fn kind(bytes: &[u8]) -> &'static str {
    match bytes {
        [0xff, 0xfe, ..] | [0xfe, 0xff, ..] => "it was saved as UTF-16; save it again and choose UTF-8",
        [0xff, 0xd8, ..] | [0x89, b'P', b'N', b'G', ..] | [b'G', b'I', b'F', ..] => {
            "it looks like a picture; a site file is plain text"
        }
        [b'P', b'K', ..] => "it looks like a word processor's file or an archive; save the text as plain text in UTF-8",
        [b'%', b'P', b'D', b'F', ..] => "it looks like a PDF; a site file is plain text",
        _ => "a site file is plain text; save it again and choose UTF-8",
    }
}

/// Why the system refused, in words that do not change from one system to the next.
pub(super) fn plain(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file".to_owned(),
        io::ErrorKind::PermissionDenied => "permission is denied".to_owned(),
        io::ErrorKind::IsADirectory => "it is a directory".to_owned(),
        _ => error.to_string(),
    }
}

/// Files that a site file names, found beside it.
#[derive(Debug)]
pub(super) struct Beside {
    folder: PathBuf,
}

impl Beside {
    pub(super) fn new(site_file: &Path) -> Self {
        Self { folder: site_file.parent().map_or_else(PathBuf::new, Path::to_path_buf) }
    }
    /// Where a file lies that the site file names.
    pub(super) fn path_of(&self, named: &str) -> PathBuf {
        self.folder.join(named)
    }
}

impl Files for Beside {
    fn read(&self, path: &str) -> Result<String, String> {
        // some systems would ask another machine for it
        if path.starts_with(['/', '\\']) && path.get(1..).is_some_and(|rest| rest.starts_with(['/', '\\'])) {
            return Err("it lies on another machine: copy it here".to_owned());
        }
        let found = self.path_of(path);
        // a pipe or a device may never come to an end, or wait for ever
        let data = std::fs::metadata(&found).map_err(|error| plain(&error))?;
        if data.is_dir() {
            return Err("it is a directory".to_owned());
        }
        if !data.is_file() {
            return Err("it is a pipe or a device, not a file".to_owned());
        }
        bytes(&found).map(|bytes| crate::hydrology::point_file_text(&bytes).into_owned()).map_err(|error| match error {
            InputError::Unreadable { cause, .. } => cause,
            InputError::TooLarge { .. } => "it is larger than 256 kB: no rain table is".to_owned(),
            other => other.to_string(),
        })
    }
}
