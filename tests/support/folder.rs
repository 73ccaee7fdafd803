//! Folders of site files.

use std::fs;
use std::path::{Path, PathBuf};
use sumpwright::site::Files;

/// A folder of files that a site file may name.
pub(crate) struct Folder(pub(crate) PathBuf);

impl Files for Folder {
    fn read(&self, path: &str) -> Result<String, String> {
        fs::read_to_string(self.0.join(path)).map_err(|_| "there is no such file".to_owned())
    }
}

/// The TOML files of a folder, in order.
pub(crate) fn toml_files(folder: &Path) -> Vec<PathBuf> {
    let mut files: Vec<PathBuf> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .collect();
    files.sort();
    files
}
