//! Beyond the outlet: the water over its grate, in the swale, and whether it can come back.

use super::pump::PumpResult;
use crate::quantity::{Flow, Length, Level, Velocity};
use crate::site::Site;

/// The swale at the most that is pumped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SwaleResult {
    /// Depth of flow.
    pub depth: Length,
    /// Mean velocity.
    pub velocity: Velocity,
    /// What of the swale's depth is left; less than nothing where it runs over.
    pub freeboard: Length,
    /// What the swale carries just full.
    pub carries: Flow,
    /// The velocity that its cover bears, where one is published.
    pub permissible: Option<Velocity>,
}

/// The way of the water beyond the outlet.
#[derive(Clone, Debug, PartialEq)]
pub struct WayOffResult {
    /// The most that is pumped.
    pub flow: Flow,
    /// How deep water stands over the grate that it comes up through; none where no grate was entered or it lets
    /// nothing through.
    pub over_grate: Option<Length>,
    /// The swale, where one was entered.
    pub swale: Option<SwaleResult>,
    /// How high the water stands at the outlet: over its grate, in the swale or in the full ditch.
    pub water: Level,
    /// The highest ground on the way back to the low spot, and whether it was entered (otherwise the profile's).
    pub ground_between: Option<(Level, bool)>,
    /// The level that water would run back to: the lowest grate, or the basin's rim.
    pub lowest: Level,
}

impl WayOffResult {
    /// Whether nothing in the levels keeps the water from running back; none where no ground is known.
    pub fn can_return(&self) -> Option<bool> {
        let (ground, _) = self.ground_between?;
        Some(self.water > self.lowest && self.water >= ground)
    }
}

/// What happens beyond the outlet when the most is pumped. None where the pump has no duty.
pub(super) fn way_off(site: &Site, pump: &PumpResult) -> Option<WayOffResult> {
    let flow = pump.most_pumped()?;
    let outlet = &site.discharge.outlet;
    let over_grate = site.way_off.grate.and_then(|grate| grate.depth_for(flow));
    let swale = site.way_off.swale.as_ref().and_then(|swale| {
        let depth = swale.channel.normal_depth(flow)?;
        Some(SwaleResult {
            depth,
            velocity: swale.channel.velocity(flow)?,
            freeboard: swale.depth - depth,
            carries: swale.channel.flow(swale.depth),
            permissible: swale.permissible.as_ref().map(|limit| limit.value),
        })
    });
    let over = over_grate.unwrap_or(Length::ZERO).max(swale.map_or(Length::ZERO, |swale| swale.depth));
    let ground = |at: &crate::hydraulics::ProfilePoint| at.ground;
    let of_profile = site.discharge.profile.iter().filter_map(ground).reduce(Level::max);
    let known = site.discharge.profile.len() > 1 && site.discharge.profile.iter().all(|point| point.ground.is_some());
    Some(WayOffResult {
        flow,
        over_grate,
        swale,
        water: outlet.ditch_full.map_or(outlet.level + over, |full| full.max(outlet.level + over)),
        ground_between: site
            .way_off
            .ground_between
            .map(|ground| (ground, true))
            .or(of_profile.filter(|_| known).map(|ground| (ground, false))),
        lowest: super::storage::surfaces_at(site).0,
    })
}
