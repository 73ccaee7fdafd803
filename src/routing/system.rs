//! What is routed: stores, the ways between them, the pumps, and the groundwater that seeps in.

use super::RoutingError;
use super::path::{Path, PathKind};
use super::rating::Rating;
use super::storage::StageStorage;
use crate::quantity::{Length, Level, Volume};

/// Heights at which a float starts and stops a pump.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Floats {
    /// It starts when the water rises to this level.
    pub on: Level,
    /// It stops when the water falls to this one.
    pub off: Level,
}

/// The pumps of a store.
#[derive(Clone, Debug, PartialEq)]
pub struct Station {
    /// The store they draw from, by index.
    pub store: usize,
    /// The floats of the first pump.
    pub lead: Floats,
    /// The floats of the second, where there is one.
    pub lag: Option<Floats>,
    /// What the first brings alone, what leaves for good.
    pub first: Rating,
    /// What the second brings alone.
    pub second: Rating,
    /// What both bring.
    pub both: Rating,
    /// What runs back into the store when the last pump stops.
    pub drain_back: Volume,
}

/// Groundwater that seeps into a store.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seep {
    /// The store, by index.
    pub store: usize,
    /// Flow per metre that the groundwater stands above the water in the store, m²/s.
    pub per_metre: f64,
    /// Where it comes in: lower water in the store draws no more.
    pub from: Level,
}

/// Stores, ways, pumps and groundwater.
///
/// Level pools, quasi-steady ways; no air, no surge; pumps start and stop at once.
#[derive(Clone, Debug, PartialEq)]
pub struct System {
    /// The stores.
    pub stores: Vec<StageStorage>,
    /// The ways.
    pub paths: Vec<Path>,
    /// The pumps; none where nothing is pumped.
    pub station: Option<Station>,
    /// Groundwater.
    pub seeps: Vec<Seep>,
}

impl System {
    /// Whether every index means something and every number is one.
    ///
    /// # Errors
    /// What does not.
    pub fn check(&self) -> Result<(), RoutingError> {
        let known = |store: usize| store < self.stores.len();
        for path in &self.paths {
            let good = match &path.kind {
                PathKind::Crest { level, width, coefficient } => {
                    level.is_finite() && width.is_finite() && coefficient.is_finite() && width.m() * coefficient >= 0.0
                }
                // the kernel takes a rim of no number for none
                PathKind::Grate { rim, grate, .. } => {
                    rim.is_finite() && grate.kernel().is_finite() && grate.flow(Length::from_m(1.0)).is_finite()
                }
                PathKind::Pipe(_) => true,
            };
            if !known(path.from) || path.to.is_some_and(|to| !known(to) || to == path.from) || !good {
                return Err(RoutingError::BadPath);
            }
        }
        if let Some(station) = &self.station {
            let floats = |floats: &Floats| floats.on.is_finite() && floats.off.is_finite() && floats.on > floats.off;
            let back = station.drain_back;
            let good = known(station.store)
                && floats(&station.lead)
                && station.lag.as_ref().is_none_or(floats)
                && back.is_finite()
                && back >= Volume::ZERO;
            if !good {
                return Err(RoutingError::BadStation);
            }
        }
        let good = |seep: &Seep| known(seep.store) && seep.per_metre.is_finite() && seep.per_metre >= 0.0;
        if !self.seeps.iter().all(|seep| good(seep) && seep.from.is_finite()) {
            return Err(RoutingError::BadPath);
        }
        Ok(())
    }
}
