//! A set written into the site file.

use super::edit::Draft;
use super::error::OptionsError;
use super::lists::change;
use super::result::{Options, again};
use crate::site::Files;

/// The site file with the set of a number in it, from 1, all else as it stands.
///
/// The text is read and tried once more: what is saved has the same against it as what was tried.
///
/// # Errors
/// There is no such choice, or the file cannot be written anew.
pub fn saved(text: &str, files: &dyn Files, options: &Options, choice: usize) -> Result<String, OptionsError> {
    let choices = options.choices.len();
    let missing = OptionsError::NoSuchChoice { asked: choice, choices };
    let index = choice.checked_sub(1).and_then(|index| options.choices.get(index)).ok_or_else(|| missing.clone())?;
    let set = options.tried.get(*index).ok_or_else(|| missing.clone())?;
    with(text, files, options, set)
}

/// The site file with a set in it.
pub(super) fn with(
    text: &str,
    files: &dyn Files,
    options: &Options,
    set: &super::Tried,
) -> Result<String, OptionsError> {
    let site = crate::site::read(text, files).site.ok_or(OptionsError::NoSite)?;
    let [pump, pipe, basin, floats] = set.places;
    let lists = &options.lists;
    let parts =
        lists.pumps.get(pump).zip(lists.pipes.get(pipe)).zip(lists.basins.get(basin).zip(lists.floats.get(floats)));
    let Some(((pump, pipe), (basin, floats))) = parts else {
        return Err(OptionsError::NotRewritten("the set as drawn is the file itself".to_owned()));
    };
    let written = Draft::new(text)?.text(&site, &change(pump, pipe, basin, floats));
    let trial = again(&written, files, &site)?;
    let same = trial.stops.iter().map(|stop| stop.id).eq(set.stops.iter().map(|(id, _)| *id));
    if !same || trial.pump.name != set.pump {
        return Err(OptionsError::NotRewritten("read back, it is another set".to_owned()));
    }
    Ok(written)
}

impl Options {
    /// The site file with any of the sets tried in it.
    ///
    /// # Errors
    /// As [`saved`].
    pub fn text_of(&self, text: &str, files: &dyn Files, set: &super::Tried) -> Result<String, OptionsError> {
        with(text, files, self, set)
    }
}
