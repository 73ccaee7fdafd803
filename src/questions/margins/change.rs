//! A site with one of its assumptions changed, and the value that the assumption then has.

use crate::basin::Plan;
use crate::collection::Grate;
use crate::collection::measured::{inflow_from_pump_times, inflow_from_rise};
use crate::design::InflowBasis;
use crate::design::likely::{Assumption, is_curve_number, is_table, otherwise};
use crate::hydraulics::Run;
use crate::hydrology::{Loss, Rain};
use crate::quantity::{Amount, Area, Duration, Flow, Intensity, Length, Level, Slope};
use crate::site::{Catchment, RunoffFrom, Site};

/// The furthest that anything is asked for.
const LEAST_LEFT: f64 = 0.05;
/// Three times as much: common practice, no source.
const THREE_TIMES: f64 = 2.0;
/// Five times as much: common practice, no source.
const FIVE_TIMES: f64 = 4.0;
/// No outlet of a yard is moved so far up or down: common practice, no source.
const FAR_UP: Length = Length::from_ft(30.0);
/// The duration whose depth is shown of a rain.
const AN_HOUR: Duration = Duration::from_h(1.0);
const A_DAY: Duration = Duration::from_h(24.0);

/// A site whose assumptions are changed.
#[derive(Clone, Debug)]
pub(super) struct Changer<'s> {
    pub(super) site: &'s Site,
    /// Where the groundwater that is counted comes from.
    pub(super) ground: InflowBasis,
}

impl Changer<'_> {
    /// The value of an assumption in a site that was changed by so much; none where the site does not have it.
    pub(super) fn value(&self, site: &Site, assumption: Assumption, change: f64) -> Option<Amount> {
        match assumption {
            Assumption::Rain => rain_amount(site),
            Assumption::CatchmentArea => some_area(site.catchments.iter().map(|surface| surface.area)),
            Assumption::RunoffCoefficient => mean(
                site.catchments
                    .iter()
                    .filter(|surface| is_table(surface))
                    .map(|surface| (surface.area, surface.coefficient)),
            ),
            Assumption::CurveNumber => mean(
                site.catchments
                    .iter()
                    .filter(|surface| is_curve_number(surface))
                    .filter_map(|surface| Some((surface.area, surface.curve_number.as_ref()?.value))),
            ),
            Assumption::Infiltration => {
                let counts = site
                    .catchments
                    .iter()
                    .any(|surface| surface.pervious && surface.runoff_from == RunoffFrom::Infiltration);
                site.soil.as_ref().filter(|_| counts)?.loss().map(|loss| {
                    Amount::of(match loss {
                        Loss::Constant(rate) => rate,
                        Loss::GreenAmpt(ground) => ground.conductivity,
                        Loss::Horton(ground) => ground.ultimate,
                    })
                })
            }
            Assumption::Inflow => {
                let all: Flow = site.inflows.iter().map(|inflow| inflow.flow).sum();
                (all > Flow::ZERO).then(|| Amount::of(all))
            }
            Assumption::GroundwaterInflow => self.groundwater(site),
            Assumption::GroundwaterLevel => site.groundwater.seasonal_high.map(Amount::of),
            Assumption::GrateArea => {
                let grates = || site.inlets.iter().filter_map(|inlet| inlet.grate);
                let all: Area = grates().map(|grate| grate.open_area).sum();
                let free: Area = grates().map(|grate| grate.open_area * (1.0 - grate.clogged)).sum();
                (all > Area::ZERO).then(|| share(1.0 - free / all))
            }
            Assumption::LowSpotArea => {
                some_area(site.low_spots.iter().filter_map(|spot| spot.surface.last().map(|(_, area)| *area)))
            }
            Assumption::PipeC => {
                let least = runs(site).map(|run| run.pipe.hazen_williams_c).reduce(f64::min)?;
                Some(Amount::of(least))
            }
            Assumption::Bore => runs(site).map(|run| run.pipe.bore).reduce(Length::min).map(Amount::bore),
            Assumption::Fittings => Some(share(1.0 + change)),
            Assumption::RunLength => {
                let length = site.discharge.length();
                (length > Length::ZERO).then(|| Amount::of(length))
            }
            Assumption::Lift => Some(Amount::of(lift(site))),
            Assumption::PumpWear => Some(share(change)),
            Assumption::FloatOn => Some(Amount::small(site.basin.on)),
            Assumption::FloatOff => (site.basin.off > Length::ZERO).then(|| Amount::small(site.basin.off)),
            Assumption::BetweenFloats => Some(Amount::small(site.basin.on - site.basin.off)),
            Assumption::BasinWidth => Some(Amount::small(width(site))),
        }
    }

    fn groundwater(&self, site: &Site) -> Option<Amount> {
        let flow = match self.ground {
            InflowBasis::Entered => site.groundwater.inflow?,
            InflowBasis::Measured => match (site.measured.rise, site.measured.pump_times) {
                (Some(rise), _) => inflow_from_rise(rise.plan, rise.rise, rise.over),
                (None, Some(times)) => inflow_from_pump_times(times.flow * times.runs, times.runs + times.rests),
                (None, None) => return None,
            },
            InflowBasis::Calculated => {
                site.groundwater.seasonal_high?;
                let takes = site.groundwater.basin_perforated || site.drains.iter().any(|drain| drain.french.is_some());
                let ground = site.groundwater.ground.as_ref().filter(|_| takes)?;
                return Some(Amount::seepage(ground.conductivity));
            }
        };
        (flow > Flow::ZERO).then(|| Amount::of(flow))
    }

    /// How far an assumption is changed at most: to the worse, and to the better; both as amounts.
    pub(super) fn furthest(&self, assumption: Assumption) -> (f64, f64) {
        let site = self.site;
        let down = 1.0 - LEAST_LEFT;
        match assumption {
            Assumption::Rain | Assumption::CatchmentArea => (THREE_TIMES, down),
            // the better end empties them
            Assumption::Inflow => (THREE_TIMES, 1.0),
            Assumption::RunoffCoefficient => {
                let of = |surface: &Catchment| surface.coefficient;
                let least = site
                    .catchments
                    .iter()
                    .filter(|surface| is_table(surface))
                    .map(of)
                    .filter(|c| *c > 0.0)
                    .reduce(f64::min);
                (least.map_or(0.0, |least| (1.0 / least - 1.0).clamp(0.0, FIVE_TIMES)), down)
            }
            Assumption::CurveNumber => {
                let of = |surface: &Catchment| surface.curve_number.as_ref().map(|known| known.value);
                let least =
                    site.catchments.iter().filter(|surface| is_curve_number(surface)).filter_map(of).reduce(f64::min);
                (least.map_or(0.0, |least| (100.0 / least - 1.0).clamp(0.0, FIVE_TIMES)), 0.5)
            }
            Assumption::Infiltration | Assumption::LowSpotArea => (down, FIVE_TIMES),
            Assumption::GroundwaterInflow | Assumption::Fittings | Assumption::RunLength => (FIVE_TIMES, down),
            Assumption::GroundwaterLevel => (self.up_to_ground().m().max(0.0), Length::from_ft(10.0).m()),
            Assumption::GrateArea => {
                let clogged = |grate: Grate| 1.0 - grate.clogged;
                let least = site.inlets.iter().filter_map(|inlet| inlet.grate).map(clogged).reduce(f64::min);
                (down, least.map_or(0.0, |least| (1.0 / least.max(LEAST_LEFT) - 1.0).max(0.0)))
            }
            // a pipe that has lost more is blocked; none is smoother by more than that
            Assumption::PipeC => (0.6, 0.15),
            Assumption::Bore => (0.5, 1.0),
            Assumption::Lift => (FAR_UP.m(), (lift(site).m() * down).clamp(0.0, FAR_UP.m())),
            Assumption::PumpWear => (0.6, 0.0),
            Assumption::FloatOn => {
                let basin = &site.basin;
                let above = [Some(basin.on), basin.alarm, site.pumping.lag_on].into_iter().flatten();
                let top = above.fold(Length::ZERO, Length::max);
                let room = |room: Length| if basin.on > Length::ZERO { (room / basin.on).max(0.0) } else { 0.0 };
                (room(basin.depth() - top), room((basin.on - basin.off) * down))
            }
            Assumption::FloatOff => {
                let basin = &site.basin;
                let room = if basin.off > Length::ZERO { (basin.on - basin.off) / basin.off * down } else { 0.0 };
                (down, room.max(0.0))
            }
            Assumption::BetweenFloats => {
                let basin = &site.basin;
                let above = [Some(basin.on), basin.alarm, site.pumping.lag_on].into_iter().flatten();
                let (top, between) = (above.fold(Length::ZERO, Length::max), basin.on - basin.off);
                let room = if between > Length::ZERO { ((basin.depth() - top) / between).max(0.0) } else { 0.0 };
                (down, room)
            }
            Assumption::BasinWidth => (0.6, THREE_TIMES),
        }
    }

    /// What a change comes to as a slack: a share of what [`Assumption::slack_of`] says.
    pub(super) fn slack(&self, assumption: Assumption, change: f64) -> f64 {
        let of = match assumption {
            // none of them goes above its end, so that together they rise by less than was asked of each
            Assumption::RunoffCoefficient | Assumption::CurveNumber => {
                let value = |site: &Site| self.value(site, assumption, change).map(|value| value.si);
                let now = value(self.site);
                let then = self.changed(self.site, assumption, change).as_ref().and_then(value);
                return now.zip(then).map_or(change.abs(), |(now, then)| (then / now - 1.0).abs());
            }
            Assumption::GroundwaterLevel => self.up_to_ground(),
            Assumption::Lift => lift(self.site),
            _ => return change.abs(),
        };
        change.abs() / of.m().max(Length::from_ft(1.0).m())
    }

    /// From groundwater up to the lowest rim.
    fn up_to_ground(&self) -> Length {
        let site = self.site;
        let ground = site.inlets.iter().map(|inlet| inlet.rim).fold(site.basin.rim, Level::min);
        site.groundwater.seasonal_high.map_or(Length::ZERO, |high| ground - high)
    }

    /// The site with an assumption changed; none where that makes no site.
    pub(super) fn changed(&self, site: &Site, assumption: Assumption, change: f64) -> Option<Site> {
        self.change(site.clone(), assumption, change)
    }

    /// The same of a site that nobody needs as it was.
    pub(super) fn change(&self, site: Site, assumption: Assumption, change: f64) -> Option<Site> {
        otherwise(site, self.ground, assumption, change)
    }
}

fn runs(site: &Site) -> impl Iterator<Item = &Run> {
    site.discharge.runs.iter()
}

/// From the off level up to the outlet.
fn lift(site: &Site) -> Length {
    site.discharge.outlet.working_level() - site.basin.level(site.basin.off)
}

/// Inside, the shorter way.
fn width(site: &Site) -> Length {
    match site.basin.plan {
        Plan::Round(diameter) => diameter,
        Plan::Rectangular(length, width) => length.min(width),
    }
}

/// The rain of the design's return period: the depth of an hour, or of the longest time up to a day.
fn rain_amount(site: &Site) -> Option<Amount> {
    let (_, rain) = site.rain.storms.get(site.rain.design)?;
    if site.catchments.is_empty() {
        return None;
    }
    if let Rain::Constant(intensity) = rain {
        return (*intensity > Intensity::ZERO).then(|| Amount::of(*intensity));
    }
    rain.depth(shown_duration(rain)).ok().map(Amount::of)
}

/// The duration whose depth is shown.
fn shown_duration(rain: &Rain) -> Duration {
    if rain.check(AN_HOUR).is_ok() { AN_HOUR } else { rain.longest().map_or(A_DAY, |longest| longest.min(A_DAY)) }
}

/// The duration whose depth is shown of the design's rain; none for one intensity, or none at all.
pub(super) fn duration_shown(site: &Site) -> Option<Duration> {
    let (_, rain) = site.rain.storms.get(site.rain.design)?;
    (!matches!(rain, Rain::Constant(_))).then(|| shown_duration(rain))
}

fn some_area(areas: impl Iterator<Item = Area>) -> Option<Amount> {
    let all: Area = areas.sum();
    (all > Area::ZERO).then(|| Amount::of(all))
}

/// A mean by area.
fn mean(parts: impl Iterator<Item = (Area, f64)>) -> Option<Amount> {
    let (areas, sum) =
        parts.fold((Area::ZERO, 0.0), |(areas, sum), (area, value)| (areas + area, sum + area.m2() * value));
    (areas > Area::ZERO && sum > 0.0).then(|| Amount::of(sum / areas.m2()))
}

/// A share, printed in percent.
pub(super) fn share(ratio: f64) -> Amount {
    Amount::of(Slope::from_ratio(ratio))
}
