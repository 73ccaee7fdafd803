//! A site with one of the things that it rests on otherwise than entered.

use super::{Assumption, is_curve_number, is_table};
use crate::basin::Plan;
use crate::design::changes::lengthen;
use crate::design::{FittingsStay, InflowBasis};
use crate::hydraulics::{FittingCount, Run};
use crate::hydrology::{DepthDuration, Rain};
use crate::quantity::Length;
use crate::site::Site;

/// A site with an assumption changed; none where that makes no site. `ground` says where the groundwater that is counted
/// comes from.
pub(crate) fn otherwise(mut site: Site, ground: InflowBasis, assumption: Assumption, change: f64) -> Option<Site> {
    let factor = 1.0 + change;
    match assumption {
        Assumption::Rain => {
            for (_, rain) in &mut site.rain.storms {
                *rain = more_rain(rain, factor)?;
            }
        }
        Assumption::CatchmentArea => {
            site.catchments.iter_mut().for_each(|surface| surface.area = surface.area * factor);
        }
        Assumption::RunoffCoefficient => {
            for surface in site.catchments.iter_mut().filter(|surface| is_table(surface)) {
                surface.coefficient = (surface.coefficient * factor).min(1.0);
            }
        }
        Assumption::CurveNumber => {
            for surface in site.catchments.iter_mut().filter(|surface| is_curve_number(surface)) {
                if let Some(known) = &mut surface.curve_number {
                    known.value = (known.value * factor).min(100.0);
                }
            }
        }
        Assumption::Infiltration => {
            let soil = site.soil.as_mut()?;
            soil.infiltration = soil.infiltration.map(|rate| rate * factor);
            if let Some(ground) = &mut soil.horton {
                (ground.initial, ground.ultimate) = (ground.initial * factor, ground.ultimate * factor);
            }
            if let Some(ground) = &mut soil.green_ampt {
                ground.conductivity = ground.conductivity * factor;
            }
        }
        Assumption::Inflow => site.inflows.iter_mut().for_each(|inflow| inflow.flow = inflow.flow * factor),
        Assumption::GroundwaterInflow => more_groundwater(&mut site, ground, factor),
        Assumption::GroundwaterLevel => {
            let up = Length::from_m(change);
            let ground = &mut site.groundwater;
            ground.seasonal_high = ground.seasonal_high.map(|high| high + up);
            ground.storm_high = ground.storm_high.map(|(high, over)| (high + up, over));
        }
        Assumption::GrateArea => {
            for grate in site.inlets.iter_mut().filter_map(|inlet| inlet.grate.as_mut()) {
                grate.clogged = (1.0 - (1.0 - grate.clogged) * factor).clamp(0.0, 1.0);
            }
        }
        Assumption::LowSpotArea => {
            let surfaces = site.low_spots.iter_mut().flat_map(|spot| &mut spot.surface);
            surfaces.for_each(|(_, area)| *area = *area * factor);
        }
        Assumption::PipeC => pipes(&mut site, |run| run.pipe.hazen_williams_c *= factor),
        Assumption::Bore => pipes(&mut site, |run| run.pipe.bore = run.pipe.bore * factor),
        Assumption::Fittings => {
            let more = |fitting: &mut FittingCount| {
                fitting.k *= factor;
                fitting.equivalent = fitting.equivalent * factor;
            };
            pipes(&mut site, |run| {
                run.fittings.iter_mut().for_each(more);
                run.allowance *= factor;
            });
            if let Some(valve) = &mut site.discharge.check_valve {
                valve.k *= factor;
                valve.equivalent = valve.equivalent * factor;
            }
            site.discharge.outlet.k *= factor;
        }
        Assumption::RunLength => {
            let length = site.discharge.length() * factor;
            lengthen(&mut site, length, FittingsStay::AsDrawn);
        }
        Assumption::Lift => tilt(&mut site, Length::from_m(change)),
        Assumption::PumpWear => {
            site.pumps.iter_mut().for_each(|pump| pump.curve = pump.curve.worn(change));
        }
        Assumption::FloatOn => {
            let up = site.basin.on * change;
            site.basin.on += up;
            site.basin.alarm = site.basin.alarm.map(|alarm| alarm + up);
            site.pumping.lag_on = site.pumping.lag_on.map(|lag_on| lag_on + up);
        }
        Assumption::FloatOff => site.basin.off = site.basin.off * factor,
        Assumption::BetweenFloats => {
            let up = (site.basin.on - site.basin.off) * change;
            site.basin.on += up;
            site.basin.alarm = site.basin.alarm.map(|alarm| alarm + up);
            site.pumping.lag_on = site.pumping.lag_on.map(|lag_on| lag_on + up);
        }
        Assumption::BasinWidth => {
            site.basin.plan = match site.basin.plan {
                Plan::Round(diameter) => Plan::Round(diameter * factor),
                Plan::Rectangular(length, width) => Plan::Rectangular(length * factor, width * factor),
            };
        }
    }
    Some(site)
}

fn more_groundwater(site: &mut Site, ground: InflowBasis, factor: f64) {
    match ground {
        InflowBasis::Entered => site.groundwater.inflow = site.groundwater.inflow.map(|flow| flow * factor),
        InflowBasis::Measured => {
            if let Some(rise) = &mut site.measured.rise {
                rise.over = rise.over / factor;
            } else if let Some(times) = &mut site.measured.pump_times {
                times.flow = times.flow * factor;
            }
        }
        InflowBasis::Calculated => {
            if let Some(ground) = &mut site.groundwater.ground {
                ground.conductivity = ground.conductivity * factor;
                ground.conductivity_low = ground.conductivity_low * factor;
                ground.conductivity_high = ground.conductivity_high * factor;
            }
        }
    }
}

/// Riser and runs.
fn pipes(site: &mut Site, mut change: impl FnMut(&mut Run)) {
    change(&mut site.discharge.riser);
    site.discharge.runs.iter_mut().for_each(change);
}

/// The outlet so much higher; the line and the ground over it rise with it in proportion to the distance from the basin,
/// so that the cover stays.
fn tilt(site: &mut Site, up: Length) {
    let all = site.discharge.length();
    let share = |at: Length| if all > Length::ZERO { (at / all).clamp(0.0, 1.0) } else { 1.0 };
    let line = &mut site.discharge;
    for point in &mut line.profile {
        let by = up * share(point.at);
        point.invert = point.invert + by;
        point.ground = point.ground.map(|ground| ground + by);
    }
    for vent in &mut line.vents {
        let by = up * share(vent.at);
        vent.open_top = vent.open_top.map(|top| top + by);
    }
    line.outlet.level = line.outlet.level + up;
    line.outlet.ditch_full = line.outlet.ditch_full.map(|full| full + up);
    if let Some(gap) = site.frost.as_mut().and_then(|frost| frost.gap.as_mut()) {
        gap.level = gap.level + up * share(gap.at);
    }
    site.way_off.ground_between = site.way_off.ground_between.map(|ground| ground + up);
}

fn more_rain(rain: &Rain, factor: f64) -> Option<Rain> {
    match rain {
        Rain::Table(table) => {
            let points = table.points().iter().map(|(duration, depth)| (*duration, *depth * factor)).collect();
            DepthDuration::new(points).ok().map(Rain::Table)
        }
        Rain::Formula { a, b, c } => Rain::formula(*a * factor, *b, *c).ok(),
        Rain::Constant(intensity) => Some(Rain::Constant(*intensity * factor)),
    }
}
