//! What the design storm brings a yard, whatever pump and discharge line take it away: reckoned once for all of them.

use super::inflow::{Coming, coming};
use super::network::{Network, network};
use super::verdict::{NotFollowed, followable};
use crate::design::runoff::StormResult;
use crate::hydrology::StormShape;
use crate::routing::RoutingError;
use crate::site::Site;
use std::borrow::Cow;
use std::sync::OnceLock;

/// The runoff of the design storm; the yard without its pumps and the nested storm as it comes to it, when they are
/// first asked for. It is that of one site, and of all that differ from it by no more than pump and discharge line.
#[derive(Clone, Debug)]
pub(crate) struct Incoming<'s> {
    storm: Cow<'s, StormResult>,
    network: OnceLock<Result<Network, RoutingError>>,
    coming: OnceLock<Result<Coming, NotFollowed>>,
}

impl<'s> Incoming<'s> {
    pub(crate) fn of(storm: Cow<'s, StormResult>) -> Self {
        Self { storm, network: OnceLock::new(), coming: OnceLock::new() }
    }
    /// The runoff.
    pub(crate) fn storm(&self) -> &StormResult {
        &self.storm
    }
    /// The yard with nothing in its basin.
    ///
    /// # Errors
    /// Numbers that describe no store or pipe.
    pub(crate) fn network(&self, site: &Site) -> Result<&Network, RoutingError> {
        self.network.get_or_init(|| network(site, &self.storm.groundwater)).as_ref().map_err(Clone::clone)
    }
    /// The same of a site that differs in its yard too, for the same groundwater.
    ///
    /// # Errors
    /// As above.
    pub(crate) fn bare_network(&self, other: &Site) -> Result<Network, RoutingError> {
        network(other, &self.storm.groundwater)
    }
    /// The nested storm.
    ///
    /// # Errors
    /// Why it cannot be followed.
    pub(crate) fn coming(&self, site: &Site) -> Result<&Coming, NotFollowed> {
        let reckon = || {
            let rain = followable(site, site.rain.storms.get(site.rain.design).map(|(_, rain)| rain))?;
            Ok(coming(site, self.network(site)?, &self.storm, rain, StormShape::Nested)?)
        };
        self.coming.get_or_init(reckon).as_ref().map_err(Clone::clone)
    }
    /// The nested storm, taken out where it was asked for.
    pub(crate) fn into_coming(self) -> Option<Coming> {
        self.coming.into_inner()?.ok()
    }
}
