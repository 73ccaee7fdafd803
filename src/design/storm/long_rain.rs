//! Long steady rains of the design storm's return period: whether water stands longer in one of them than the owner
//! allows, looked at from above before any of them is followed.

use super::goal;
use super::inflow::{Coming, Losses, coming, counted, longest, shortest, steady};
use super::network::Network;
use super::outcome::{StormOutcome, Yard};
use super::verdict::{Ready, keeps_up, set_up};
use crate::design::checks::storm::missed_in_long_rain;
use crate::design::finding::Finding;
use crate::design::line::LineAtRest;
use crate::design::pump::PumpResult;
use crate::design::runoff::StormResult;
use crate::hydrology::{Rain, RainBlock, StormShape, SurfaceLoss, durations_to_try};
use crate::quantity::{Area, Duration, Flow, Intensity, Length, Volume};
use crate::routing::{PathKind, Station, Unwatched};
use crate::site::Site;

/// A steady rain of the design's return period in which water stands longer than the owner allows, where it does not in
/// the nested storm; what is said of it.
pub(crate) fn longest_missed(
    site: &Site,
    pump: &PumpResult,
    storm: &StormResult,
    (nested, with): (&StormOutcome, Ready),
    rest: &LineAtRest,
) -> Option<Finding> {
    let (depth, clear) = goal::against(&site.goal, nested);
    if clear != Some(true) || depth == Some(false) {
        return None;
    }
    let (_, rain) = set_up(site, pump, rest).ok()?;
    let Ready { network, station } = with;
    let looking = Looking::new(site, storm, rain, (&network, station));
    let durations = looking.not_kept_from_above()?;
    if durations.len() > 1
        && nested.stands() * MUCH_HARDER < looking.allowed
        && looking.kept_in_a_harder(&durations) == Some(true)
    {
        return None;
    }
    looking.first_missed(&durations)
}

/// What is reckoned with beyond the least that is taken, where pipes hold it back.
const HELD_BACK: f64 = 2.0;
/// A rain harder than several at once is worth following where water stands in the nested storm for less than the time
/// allowed by this factor: it brings more than any of them.
const MUCH_HARDER: f64 = 3.0;
/// In a rain that is harder at all times water stands for longer, but for where the pump is in its cycle: this share of
/// the time allowed is not asked of it.
const CYCLE: f64 = 0.1;

/// The long rains of a site, ready to be looked at.
struct Looking<'a> {
    site: &'a Site,
    storm: &'a StormResult,
    rain: &'a Rain,
    network: &'a Network,
    yard: Yard<'a>,
    /// How long water may stand.
    allowed: Duration,
    /// What is taken at the least from water that stands.
    least: Option<Least>,
}

impl<'a> Looking<'a> {
    fn new(site: &'a Site, storm: &'a StormResult, rain: &'a Rain, (network, station): (&'a Network, Station)) -> Self {
        let least = least_taken(site, network, &station);
        let allowed = site.goal.clear_within.unwrap_or(Duration::ZERO);
        Self { site, storm, rain, network, yard: Yard::new(site, network, Some(station)), allowed, least }
    }
    /// The durations of which it cannot be told without working the runoff out that all water is gone in time; none where
    /// the rain is not known.
    fn not_kept_from_above(&self) -> Option<Vec<Duration>> {
        let (sheds, catchments) = (sheds_at_most(self.site, self.storm), &self.storm.catchments);
        let slowest = catchments.iter().map(|result| result.time.time).fold(Duration::ZERO, Duration::max);
        let mut durations = Vec::new();
        for duration in durations_to_try(self.rain, shortest(self.site, self.rain), longest(self.rain)) {
            let most = Volume::from_m3(sheds.m2() * self.rain.depth(duration).ok()?.m());
            let kept = |least: &Least| {
                most / duration <= least.of_a_film || duration + slowest + least.takes_for(most) <= self.allowed
            };
            if !self.least.as_ref().is_some_and(kept) {
                durations.push(duration);
            }
        }
        Some(durations)
    }
    /// Whether the water of one rain that is at no time weaker than any of several steady ones, on ground that takes
    /// nothing, is gone in time: then that of each of them is.
    fn kept_in_a_harder(&self, durations: &[Duration]) -> Option<bool> {
        let intensity = |duration: &Duration| Some(self.rain.depth(*duration).ok()? / *duration);
        let intensities = durations.iter().map(intensity).collect::<Option<Vec<Intensity>>>()?;
        let starts = std::iter::once(Duration::ZERO).chain(durations.iter().copied());
        let blocks = starts
            .zip(durations)
            .enumerate()
            .map(|(index, (start, end))| {
                let later = intensities.iter().skip(index).copied();
                RainBlock { duration: *end - start, intensity: later.fold(Intensity::ZERO, Intensity::max) }
            })
            .collect();
        let losses = counted(self.site, self.storm);
        let losses: Vec<SurfaceLoss> =
            losses.iter().map(|loss| SurfaceLoss::Coefficient(share_at_most(loss))).collect();
        let rain = Losses::of(self.network, StormShape::Block(*durations.last()?), blocks);
        let coming = rain.coming(self.site, self.storm, &losses).ok()?;
        let outcome = self.yard.follow_while_it_matters(&coming, &mut Unwatched).ok()?;
        Some(!outcome.still_stands() && outcome.stands() <= self.allowed * (1.0 - CYCLE))
    }
    /// The first of some durations whose rain misses the goal; what is said of it.
    fn first_missed(&self, durations: &[Duration]) -> Option<Finding> {
        for duration in durations {
            let shape = StormShape::Block(*duration);
            let coming = coming(self.site, self.network, self.storm, self.rain, shape).ok()?;
            // nothing stands, or it is gone in time: no need to follow it
            let kept =
                |least: &Least| coming.runoff.peak().1 <= least.of_a_film || gone_by(&coming, least) <= self.allowed;
            if self.least.as_ref().is_some_and(kept) {
                continue;
            }
            let outcome = self.yard.follow_while_it_matters(&coming, &mut Unwatched).ok()?;
            if let Some(missed) = missed_in_long_rain(self.site, &outcome) {
                return Some(missed);
            }
            if keeps_up(self.site, &outcome) {
                break;
            }
        }
        None
    }
}

/// What is taken at the least from water that stands.
#[derive(Clone, Debug)]
struct Least {
    /// From what stands deeper than a film.
    of_a_film: Flow,
    /// From what stands deeper than so much: the flow, and the water of all hollows between a film and that depth.
    deeper: Vec<(Flow, Volume)>,
}

impl Least {
    /// How long at the most it takes until a volume is gone: down to one of the depths by what is taken above it, from there
    /// by what is taken of a film.
    fn takes_for(&self, volume: Volume) -> Duration {
        let by = |(flow, below): &(Flow, Volume)| volume / *flow + below.min(volume) / self.of_a_film;
        let alone = volume / self.of_a_film;
        self.deeper.iter().map(by).fold(alone, Duration::min) * HELD_BACK
    }
}

/// The depths, beside a film, from which on it is looked how much is taken at the least.
const DEPTHS: [Length; 3] = [Length::from_inch(1.0), Length::from_inch(2.0), Length::from_inch(4.0)];

/// By the first pump at its off level, beside what comes without rain, or by the weakest grate under so much water. None
/// where it is nothing, or no grate takes what stands.
fn least_taken(site: &Site, network: &Network, station: &Station) -> Option<Least> {
    let film = site.limits.film.value;
    let steady = steady(site, network).0.inflow.iter().map(|(flow, _)| Flow::from_m3s(*flow)).sum::<Flow>();
    let seeps = network.most_seeping(site.groundwater.storm_high.map(|(high, _)| high));
    let pumped = station.first.flow(station.lead.off) - steady - seeps;
    let (mut of_a_film, mut deeper) = (pumped, DEPTHS.map(|depth| (depth, pumped, Volume::ZERO)));
    // what stands round the basin's lid goes back into it: no grate takes it
    for (store, hollow) in network.hollows().filter(|(store, _)| *store != network.basin) {
        let mut grates = network.system.paths.iter().filter(|path| path.from == store).filter_map(|path| {
            let PathKind::Grate { grate, rim, .. } = &path.kind else { return None };
            Some((grate, *rim))
        });
        let (grate, rim) = grates.next()?;
        of_a_film = of_a_film.min(grate.flow(film));
        let held = network.system.stores.get(store)?;
        let within = |depth| held.volume_at(hollow.rim + depth) - held.volume_at(hollow.rim + film);
        for (depth, flow, below) in &mut deeper {
            *flow = flow.min(grate.flow((hollow.rim + *depth - rim).max(Length::ZERO)));
            *below += within(*depth).max(Volume::ZERO);
        }
    }
    let deeper = deeper.into_iter().filter(|(_, flow, _)| *flow > Flow::ZERO).map(|(_, flow, below)| (flow, below));
    (of_a_film > Flow::ZERO).then(|| Least { of_a_film, deeper: deeper.collect() })
}

/// The share of its rain that a surface sheds at the most.
fn share_at_most(loss: &SurfaceLoss) -> f64 {
    match loss {
        SurfaceLoss::Coefficient(coefficient) => *coefficient,
        SurfaceLoss::CurveNumber(_) | SurfaceLoss::Infiltration { .. } => 1.0,
    }
}

/// The surface that would shed no less if it shed all its rain.
fn sheds_at_most(site: &Site, storm: &StormResult) -> Area {
    let losses = counted(site, storm);
    losses.iter().zip(&storm.catchments).map(|(loss, surface)| surface.area * share_at_most(loss)).sum()
}

/// When the water of a storm is gone at the latest, if no more than a flow is taken of it once the runoff is over.
fn gone_by(coming: &Coming, least: &Least) -> Duration {
    Duration::from_s(coming.timeline.last_ramp_s()) + least.takes_for(coming.volume())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::bench::Bench;
    use crate::design::likely::{Assumption, otherwise};
    use crate::design::storm::{Incoming, ready};
    use crate::design::trial;
    use crate::site::{NoFiles, read};
    use proptest::prelude::*;
    use std::borrow::Cow;

    const EXAMPLES: [&str; 4] = [
        include_str!("../../../examples/cut-bank.toml"),
        include_str!("../../../examples/heavy-clay.toml"),
        include_str!("../../../examples/two-pumps.toml"),
        include_str!("../../../examples/wet-meadow.toml"),
    ];

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, cases: 60, ..ProptestConfig::default() })]

        #[test]
        fn identity_what_is_told_from_above_is_found_by_following_each_rain(
            which in 0..EXAMPLES.len(),
            more_rain in -0.6..1.5_f64,
            wear in 0.0..0.4_f64,
            float in 0.0..0.3_f64,
            clogged in -0.9..0.3_f64,
            hours in 0.3..16.0_f64,
        ) {
            let mut site = read(EXAMPLES[which], &NoFiles).site.unwrap();
            let ground = trial(&site).unwrap().storm.groundwater.basis;
            for (assumption, change) in [
                (Assumption::Rain, more_rain),
                (Assumption::PumpWear, wear),
                (Assumption::BetweenFloats, -float),
                (Assumption::GrateArea, clogged),
            ] {
                site = otherwise(site.clone(), ground, assumption, change).unwrap_or(site);
            }
            site.goal.clear_within = Some(Duration::from_h(hours));
            let tried = trial(&site).unwrap();
            let rest = crate::design::line::at_rest(&site);
            let entered = site.pumps.iter().find(|pump| pump.name == tried.pump.name).unwrap();
            let incoming = Incoming::of(Cow::Borrowed(&tried.storm));
            let Ok(Ready { network, station }) =
                ready(&site, &Bench::new(&site, entered, &rest), &incoming, &tried.pump)
            else {
                return Ok(());
            };
            let (_, rain) = &site.rain.storms[site.rain.design];
            let looking = Looking::new(&site, &tried.storm, rain, (&network, station));
            let durations = looking.not_kept_from_above().unwrap();
            let harder = looking.kept_in_a_harder(&durations);
            for duration in durations_to_try(rain, shortest(&site, rain), longest(rain)) {
                let shape = StormShape::Block(duration);
                let coming = coming(&site, &network, &tried.storm, rain, shape).unwrap();
                let outcome = looking.yard.follow_while_it_matters(&coming, &mut Unwatched).unwrap();
                if harder == Some(true) || !durations.contains(&duration) {
                    prop_assert!(missed_in_long_rain(&site, &outcome).is_none(), "{duration:?} {}", outcome.stands().h());
                }
                if looking.least.as_ref().is_some_and(|least| coming.runoff.peak().1 <= least.of_a_film) {
                    prop_assert!(outcome.stands() <= looking.allowed);
                }
                if looking.least.as_ref().is_some_and(|least| gone_by(&coming, least) <= looking.allowed) {
                    prop_assert!(missed_in_long_rain(&site, &outcome).is_none(), "{duration:?} {}", outcome.stands().h());
                }
            }
        }
    }
}
