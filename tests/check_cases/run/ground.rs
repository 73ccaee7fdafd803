//! Groundwater, French drains, flotation, what was measured in the ground.

use super::Entry;

pub(super) const TABLE: &[Entry] = &[];
