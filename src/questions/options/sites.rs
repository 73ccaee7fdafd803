//! The sites of all sets, from as few readings of the edited file as will do.
//!
//! Pump, runs and basin are read from different parts of the file and none looks at another, so that a set's site is
//! put together of what was read of each; a test reads every set's own text beside it.

use super::edit::{Change, Draft};
use super::error::OptionsError;
use super::lists::{Lists, change};
use crate::hydraulics::Run;
use crate::site::{self, Files, Site};

/// One set, by its places in the lists: pump, pipe, basin, floats.
pub(super) type Places = [usize; 4];

/// What sites are put together of.
#[derive(Debug)]
pub(super) struct Sites<'l> {
    lists: &'l Lists,
    /// The runs in each size.
    runs: Vec<Result<Vec<Run>, String>>,
    /// The site with each basin and each float setting, those of one basin together.
    dug: Vec<Result<Site, String>>,
}

impl<'l> Sites<'l> {
    /// Reads what is needed.
    pub(super) fn new(text: &str, files: &dyn Files, drawn: &Site, lists: &'l Lists) -> Result<Self, OptionsError> {
        let draft = Draft::new(text)?;
        let read = |change: &Change| read(&draft.text(drawn, change), files, drawn);
        let pump = lists.pumps.first();
        let with = |pipe: Option<usize>, basin: Option<usize>, floats: Option<usize>| {
            let all = pump
                .zip(lists.pipes.get(pipe.unwrap_or(0)))
                .zip(lists.basins.get(basin.unwrap_or(0)))
                .zip(lists.floats.get(floats.unwrap_or(0)));
            let whole =
                all.map(|(((pump, pipe), basin), floats)| change(pump, pipe, basin, floats)).unwrap_or_default();
            Change {
                pump: None,
                pipe: whole.pipe.filter(|_| pipe.is_some()),
                basin: whole.basin.filter(|_| basin.is_some()),
                floats: whole.floats.filter(|_| floats.is_some()),
            }
        };
        let pipes = 0..lists.pipes.len();
        let basins = 0..lists.basins.len();
        Ok(Self {
            lists,
            runs: pipes.map(|pipe| read(&with(Some(pipe), None, None)).map(|site| site.discharge.runs)).collect(),
            dug: basins
                .flat_map(|basin| (0..lists.floats.len()).map(move |floats| (basin, floats)))
                .map(|(basin, floats)| read(&with(None, Some(basin), Some(floats))))
                .collect(),
        })
    }

    /// The places of all sets, in the order of the lists.
    pub(super) fn all(&self) -> Vec<Places> {
        let lists = self.lists;
        let mut all = Vec::with_capacity(lists.sets());
        for pump in 0..lists.pumps.len() {
            for pipe in 0..lists.pipes.len() {
                for basin in 0..lists.basins.len() {
                    all.extend((0..lists.floats.len()).map(|floats| [pump, pipe, basin, floats]));
                }
            }
        }
        all
    }

    /// The site of a set.
    ///
    /// # Errors
    /// Why it cannot be so, as `check` would say.
    pub(super) fn site(&self, [pump, pipe, basin, floats]: Places) -> Result<Site, String> {
        let missing = || Err(String::new());
        let Some(dug) = self.dug.get(basin * self.lists.floats.len() + floats) else { return missing() };
        let (Some(runs), Some(pump)) = (self.runs.get(pipe), self.lists.pumps.get(pump)) else { return missing() };
        let mut site = dug.clone()?;
        site.discharge.runs.clone_from(runs.as_ref().map_err(Clone::clone)?);
        site.pumping.chosen = Some(pump.name.clone());
        Ok(site)
    }
}

/// Reads a text that was edited; the first thing that is wrong with it, where something is.
pub(super) fn read(text: &str, files: &dyn Files, drawn: &Site) -> Result<Site, String> {
    let reading = site::read(text, files);
    match reading.site {
        // the units of the report are no part of the set
        Some(site) => Ok(Site { units: drawn.units, ..site }),
        None => Err(reading
            .problems
            .into_iter()
            .find(site::Problem::is_error)
            .map_or_else(String::new, |problem| problem.message)),
    }
}
