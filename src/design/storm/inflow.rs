//! What comes into each store in a storm: runoff of each surface in its own time, house pumps, groundwater.

use super::network::Network;
use crate::design::runoff::{CatchmentResult, StormResult, surface_loss};
use crate::hydrology::{
    Hydrograph, Rain, RainBlock, RainError, StormShape, SurfaceLoss, block_storm, distribution_storm, excess_blocks,
    nested_storm, split_for_losses,
};
use crate::quantity::{Duration, Flow, Intensity, Measure, RainDepth, Volume};
use crate::routing::{Change, Forcing, Timeline};
use crate::site::Site;

/// The longest rain that a storm is made of.
pub(crate) const A_DAY: Duration = Duration::from_h(24.0);
/// Pulses of an inflow are followed for so long.
const PULSES_FOR: Duration = Duration::from_day(3.0);
/// More pulses than that are taken as steady, at their mean.
const MOST_PULSES: f64 = 5000.0;

/// A storm as it comes.
#[derive(Clone, Debug)]
pub(crate) struct Coming {
    /// How its rain lies in time.
    pub(crate) shape: StormShape,
    /// The rain.
    pub(crate) blocks: Vec<RainBlock>,
    /// The runoff of all surfaces together.
    pub(crate) runoff: Hydrograph,
    /// What each store gets.
    pub(crate) timeline: Timeline,
}

impl Coming {
    /// How long it rains.
    pub(crate) fn lasts(&self) -> Duration {
        self.blocks.iter().map(|block| block.duration).sum()
    }
    /// The rain.
    pub(crate) fn depth(&self) -> RainDepth {
        self.blocks.iter().map(RainBlock::depth).sum()
    }
    /// What runs off.
    pub(crate) fn volume(&self) -> Volume {
        self.runoff.volume()
    }
}

/// The rain of a shape.
///
/// # Errors
/// The rain is not known for a duration that the shape needs.
pub(crate) fn rain_of(site: &Site, rain: &Rain, shape: StormShape) -> Result<Vec<RainBlock>, RainError> {
    match shape {
        StormShape::Nested => nested_storm(rain, shortest(site, rain), longest(rain)),
        StormShape::Block(duration) => block_storm(rain, duration),
        StormShape::Distribution(name) => match crate::catalog::storm_distribution(name) {
            Some(entry) => distribution_storm(rain.depth(entry.distribution.duration())?, &entry.distribution),
            None => Err(RainError::BadDuration { duration: Duration::ZERO }),
        },
    }
}

/// The shortest burst of a storm.
pub(crate) fn shortest(site: &Site, rain: &Rain) -> Duration {
    rain.shortest().unwrap_or(site.rain.minimum_time)
}

/// The longest rain that is known, up to a day.
pub(crate) fn longest(rain: &Rain) -> Duration {
    rain.longest().map_or(A_DAY, |longest| longest.min(A_DAY))
}

/// A storm as it comes to the stores of a network.
///
/// # Errors
/// As [`rain_of`].
pub(crate) fn coming(
    site: &Site,
    network: &Network,
    storm: &StormResult,
    rain: &Rain,
    shape: StormShape,
) -> Result<Coming, RainError> {
    let losses = Losses::new(site, network, rain, shape)?;
    losses.coming(site, storm, &counted(site, storm))
}

/// How each surface keeps back rain by what its coefficient comes from.
pub(crate) fn counted(site: &Site, storm: &StormResult) -> Vec<SurfaceLoss> {
    let one = |(index, result): (usize, &CatchmentResult)| {
        surface_loss(site, storm, index).unwrap_or(SurfaceLoss::Coefficient(result.coefficient))
    };
    storm.catchments.iter().enumerate().map(one).collect()
}

/// The rain of a storm, ready for any way to say how much of it the surfaces keep.
#[derive(Clone, Debug)]
pub(crate) struct Losses<'n> {
    network: &'n Network,
    shape: StormShape,
    blocks: Vec<RainBlock>,
    /// The same cut so finely that losses in time may be taken of it.
    finer: Vec<RainBlock>,
}

impl<'n> Losses<'n> {
    /// The rain of a shape.
    ///
    /// # Errors
    /// As [`rain_of`].
    pub(crate) fn new(site: &Site, network: &'n Network, rain: &Rain, shape: StormShape) -> Result<Self, RainError> {
        Ok(Self::of(network, shape, rain_of(site, rain, shape)?))
    }
    /// A rain that is no storm of the site's own, under the name of a shape.
    pub(crate) fn of(network: &'n Network, shape: StormShape, blocks: Vec<RainBlock>) -> Self {
        let finer = split_for_losses(&blocks);
        Self { network, shape, blocks, finer }
    }
    /// The rain.
    pub(crate) fn depth(&self) -> RainDepth {
        self.blocks.iter().map(RainBlock::depth).sum()
    }
    /// What runs off one surface.
    ///
    /// # Errors
    /// A loss that describes no surface.
    pub(crate) fn runoff(&self, surface: &CatchmentResult, loss: &SurfaceLoss) -> Result<Hydrograph, RainError> {
        let excess = match loss {
            SurfaceLoss::Coefficient(_) => excess_blocks(loss, &self.blocks),
            SurfaceLoss::CurveNumber(_) | SurfaceLoss::Infiltration { .. } => alike(&excess_blocks(loss, &self.finer)),
        };
        Hydrograph::of_surface(&excess, surface.area, surface.time.time)
    }
    /// The storm as it comes, each surface with a loss.
    ///
    /// # Errors
    /// A loss that describes no surface.
    pub(crate) fn coming(&self, site: &Site, storm: &StormResult, losses: &[SurfaceLoss]) -> Result<Coming, RainError> {
        let network = self.network;
        let surfaces = storm.catchments.iter().zip(losses);
        let hydrographs =
            surfaces.map(|(result, loss)| self.runoff(result, loss)).collect::<Result<Vec<Hydrograph>, RainError>>()?;
        let mut changes = Vec::new();
        let stores = network.system.stores.len();
        for store in 0..stores {
            let here: Vec<Hydrograph> = hydrographs
                .iter()
                .zip(&network.catchment_stores)
                .filter(|(_, to)| **to == store)
                .map(|(hydrograph, _)| hydrograph.clone())
                .collect();
            if !here.is_empty() {
                let ramps = Hydrograph::sum(&here).slope_changes();
                changes.extend(ramps.into_iter().map(|(at_s, by)| (at_s, Change::Ramp { store, by })));
            }
        }
        let (start, other) = steady(site, network);
        changes.extend(other);
        Ok(Coming {
            shape: self.shape,
            blocks: self.blocks.clone(),
            runoff: Hydrograph::sum(&hydrographs),
            timeline: Timeline::new(start, changes),
        })
    }
}

/// Neighbouring blocks that differ by less than this share of the strongest are one.
const ALIKE: f64 = 0.01;

/// The same runoff in fewer blocks: neighbours that hardly differ are laid together, no water lost.
fn alike(blocks: &[RainBlock]) -> Vec<RainBlock> {
    let strongest = blocks.iter().map(|block| block.intensity).fold(Intensity::ZERO, Intensity::max);
    let mut merged: Vec<(RainBlock, Intensity, Intensity)> = Vec::new();
    for block in blocks.iter().filter(|block| block.duration > Duration::ZERO) {
        if let Some((last, least, most)) = merged.last_mut() {
            let (low, high) = (least.min(block.intensity), most.max(block.intensity));
            if high - low <= strongest * ALIKE {
                let duration = last.duration + block.duration;
                *last = RainBlock { duration, intensity: (last.depth() + block.depth()) / duration };
                (*least, *most) = (low, high);
                continue;
            }
        }
        merged.push((*block, block.intensity, block.intensity));
    }
    merged.into_iter().map(|(block, ..)| block).collect()
}

/// What comes without rain: house pumps and groundwater, with what changes of it.
pub(crate) fn steady(site: &Site, network: &Network) -> (Forcing, Vec<(f64, Change)>) {
    let mut forcing = Forcing::none(&network.system);
    let mut changes = Vec::new();
    let mut add = |store: usize, flow: Flow| {
        if let Some(inflow) = forcing.inflow.get_mut(store) {
            inflow.0 += flow.m3s();
        }
    };
    for (store, flow) in &network.steady {
        add(*store, *flow);
    }
    for (inflow, store) in site.inflows.iter().zip(&network.inflow_stores) {
        match inflow.pulses {
            Some((runs, rests)) if (PULSES_FOR / (runs + rests)) <= MOST_PULSES => {
                add(*store, inflow.flow);
                let (mut at, by) = (Duration::ZERO, inflow.flow.m3s());
                while at < PULSES_FOR {
                    changes.push(((at + runs).s(), Change::Step { store: *store, by: -by }));
                    at += runs + rests;
                    changes.push((at.s(), Change::Step { store: *store, by }));
                }
            }
            Some((runs, rests)) => add(*store, inflow.flow * (runs / (runs + rests))),
            None => add(*store, inflow.flow),
        }
    }
    if let Some(table) = network.table {
        for (seep, value) in forcing.table.iter_mut().enumerate() {
            *value = (table.m(), 0.0);
            if let Some((high, over)) = site.groundwater.storm_high.filter(|(_, over)| *over > Duration::ZERO) {
                let by = (high - table).si() / over.s();
                changes.push((0.0, Change::Rise { seep, by }));
                changes.push((over.s(), Change::Rise { seep, by: -by }));
            }
        }
    }
    (forcing, changes)
}
