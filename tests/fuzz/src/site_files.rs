//! A site file, and behind a line of its own the text of every file that it names.

use sumpwright::site::Files;

/// What stands between the two.
pub const BETWEEN: &str = "\n#### rain file\n";

/// One text, under whatever path.
pub struct OneFile<'t>(Option<&'t str>);

impl Files for OneFile<'_> {
    fn read(&self, _path: &str) -> Result<String, String> {
        self.0.map(str::to_owned).ok_or_else(|| "there is no such file".to_owned())
    }
}

/// The site file of an input, and what it may read.
pub fn parts(input: &str) -> (&str, OneFile<'_>) {
    match input.split_once(BETWEEN) {
        Some((site, file)) => (site, OneFile(Some(file))),
        None => (input, OneFile(None)),
    }
}
