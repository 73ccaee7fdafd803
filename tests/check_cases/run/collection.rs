//! Grates, gravity pipes, open channels.

use super::Entry;

pub(super) const TABLE: &[Entry] = &[];
