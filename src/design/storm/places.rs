//! Which store the water that is led to a name comes to.

use super::network::is_basin;
use crate::quantity::Level;
use crate::site::{Drain, Site};

/// A name of the site file that water is led to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Place {
    Basin,
    Inlet(usize),
    Drain(usize),
    LowSpot(usize),
}

/// The stores by what they belong to.
pub(super) struct Places<'s> {
    pub(super) site: &'s Site,
    /// Of each low spot.
    pub(super) spots: Vec<usize>,
    /// The dish of each grate that stands in none.
    pub(super) lone: Vec<Option<usize>>,
    /// The box of each grate that needs one.
    pub(super) boxes: Vec<Option<usize>>,
    /// The joint at the head of each drain that needs one.
    pub(super) joints: Vec<Option<usize>>,
    pub(super) basin: usize,
}

/// Longer chains of drains are circles, which the reader has refused.
const MOST_LINKS: usize = 1000;

impl Places<'_> {
    /// Inlets go before drains and low spots of the same name, as the reader looks them up.
    pub(super) fn find(&self, name: Option<&str>) -> Place {
        let Some(name) = name.filter(|name| !is_basin(name)) else { return Place::Basin };
        let at = |found: Option<usize>, place: fn(usize) -> Place| found.map(place);
        at(self.site.inlets.iter().position(|inlet| inlet.name == name), Place::Inlet)
            .or_else(|| at(self.site.drains.iter().position(|drain| drain.name == name), Place::Drain))
            .or_else(|| at(self.site.low_spots.iter().position(|spot| spot.name == name), Place::LowSpot))
            .unwrap_or(Place::Basin)
    }
    /// Where water over the ground to a name comes: the hollow, the store that a drain shares, or the basin.
    pub(super) fn store(&self, name: Option<&str>) -> usize {
        match self.find(name) {
            Place::Basin => self.basin,
            Place::Inlet(index) => self.pool(index),
            Place::LowSpot(index) => self.spots.get(index).copied().unwrap_or(self.basin),
            Place::Drain(index) => self.led_into(index),
        }
    }
    /// The hollow that a grate stands in.
    pub(super) fn pool(&self, inlet: usize) -> usize {
        let lone = self.lone.get(inlet).copied().flatten();
        let spot = || {
            let name = self.site.inlets.get(inlet)?.low_spot.as_deref()?;
            let index = self.site.low_spots.iter().position(|spot| spot.name == name)?;
            self.spots.get(index).copied()
        };
        lone.or_else(spot).unwrap_or(self.basin)
    }
    /// The joint at the head of a drain.
    pub(super) fn head(&self, drain: usize) -> Option<usize> {
        self.joints.get(drain).copied().flatten()
    }
    /// Where a drain ends.
    pub(super) fn end(&self, drain: &Drain) -> usize {
        let mut to = drain.to.as_str();
        for _ in 0..MOST_LINKS {
            match self.find(Some(to)) {
                Place::Basin => return self.basin,
                Place::LowSpot(index) => return self.spots.get(index).copied().unwrap_or(self.basin),
                // a grate without a drain is the basin's own lid
                Place::Inlet(index) => return self.boxes.get(index).copied().flatten().unwrap_or(self.basin),
                Place::Drain(index) => match (self.head(index), self.site.drains.get(index)) {
                    (Some(joint), _) => return joint,
                    (None, Some(next)) => to = next.to.as_str(),
                    (None, None) => return self.basin,
                },
            }
        }
        self.basin
    }
    /// Where water comes that is led into a drain: its joint, or, since a stone trench shares the water of what it
    /// leads to, the store there.
    fn led_into(&self, index: usize) -> usize {
        self.head(index).or_else(|| self.site.drains.get(index).map(|drain| self.end(drain))).unwrap_or(self.basin)
    }
    /// The lowest point of a grate's box.
    pub(super) fn floor_of(&self, inlet: usize) -> Level {
        self.site.inlets.get(inlet).map_or(Level::from_m(0.0), |inlet| {
            inlet.outlet_invert.unwrap_or(inlet.rim - crate::quantity::Length::from_ft(2.0))
        })
    }
}
