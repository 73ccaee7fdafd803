//! Where a result goes and in which units: the same for every command that gives one.

use super::arguments::Units;
use super::{Ending, Said, output};
use crate::site::Site;
use clap::Args;
use std::path::{Path, PathBuf};

#[derive(Clone, Debug, Args)]
pub(super) struct Delivery {
    /// Print in these units instead of those that the site file asks for
    #[arg(long, value_enum)]
    pub(super) units: Option<Units>,
    #[command(flatten)]
    destination: Destination,
}

#[derive(Clone, Debug, Args)]
pub(super) struct Destination {
    /// Write to this file instead of the screen
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Replace the file if it is there already
    #[arg(long, requires = "output")]
    force: bool,
}

impl Destination {
    /// Whether the result will have somewhere to go: asked before the work, not after.
    ///
    /// # Errors
    /// It may not be written there, or is one of the files `read`.
    pub(super) fn check(&self, read: &[&Path]) -> Result<(), Said> {
        output::asked(self.output.as_deref(), self.force, read).map(|_| ())
    }

    /// Shows the result, or writes it to its file.
    pub(super) fn deliver(&self, out: String, said: String, ending: Ending) -> Said {
        output::deliver(out, said, self.output.as_deref(), self.force, ending)
    }
}

impl Delivery {
    /// As [`Destination::check`].
    ///
    /// # Errors
    /// As there.
    pub(super) fn check(&self, read: &[&Path]) -> Result<(), Said> {
        self.destination.check(read)
    }

    /// Puts the site into the units that were asked for, if any.
    pub(super) fn units_of(&self, site: &mut Site) {
        with_units(site, self.units);
    }

    /// From now on the file may be replaced: what stands in it was written by this run.
    pub(super) fn again(&mut self) {
        self.destination.force = true;
    }

    /// As [`Destination::deliver`].
    pub(super) fn deliver(&self, out: String, said: String, ending: Ending) -> Said {
        self.destination.deliver(out, said, ending)
    }
}

/// The site in the units asked for on the command line, if any.
pub(super) fn with_units(site: &mut Site, units: Option<Units>) {
    if let Some(units) = units {
        site.units = units.into();
    }
}
