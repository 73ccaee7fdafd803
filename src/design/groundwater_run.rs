//! What the pump does for groundwater alone, rain or not.

use super::pump::{PumpResult, WaterLevel};
use super::runoff::StormResult;
use crate::basin::cycle::Cycle;
use crate::quantity::{Duration, Flow};
use crate::site::Site;

/// The pump in a wet season without rain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroundwaterRun {
    /// What seeps in.
    pub flow: Flow,
    /// How long the pump runs in a day.
    pub runs_a_day: Duration,
    /// How often it starts in a day.
    pub starts_a_day: f64,
    /// The same at the likely most of what seeps in.
    pub runs_a_day_at_most: Duration,
    /// The electricity of a day, kWh, where the pump's power is known.
    pub kwh_a_day: Option<f64>,
}

/// A day.
const DAY: Duration = Duration::from_day(1.0);

/// None where nothing seeps up to the on level, or the pump has no duty.
pub(super) fn groundwater_run(site: &Site, pump: &PumpResult, storm: &StormResult) -> Option<GroundwaterRun> {
    let ground = &storm.groundwater;
    let on = site.basin.level(site.basin.on);
    let rises = ground.seasonal_high.is_none_or(|high| high > on);
    if ground.flow <= Flow::ZERO || !rises {
        return None;
    }
    let cycle = pump.cycle.as_ref()?;
    let share = |flow: Flow| (flow / cycle.leaves).min(1.0);
    let starts = match Cycle::at(cycle.live, cycle.runs_back, cycle.leaves, ground.flow) {
        cycles @ Cycle::Cycles { .. } => cycles.starts_per_hour() * 24.0,
        _ => 0.0,
    };
    let power = pump.power.as_ref().and_then(|power| power.electrical);
    pump.point(WaterLevel::Mean)?;
    Some(GroundwaterRun {
        flow: ground.flow,
        runs_a_day: DAY * share(ground.flow),
        starts_a_day: starts,
        runs_a_day_at_most: DAY * share(ground.high),
        kwh_a_day: power.map(|power| power.w() * 1e-3 * 24.0 * share(ground.flow)),
    })
}
