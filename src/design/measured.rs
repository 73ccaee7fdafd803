//! What the owner measured, beside what is worked out.

use super::pump::{PumpResult, WaterLevel};
use super::runoff::StormResult;
use super::way_in::{GroundwaterResult, InflowBasis};
use crate::catalog;
use crate::collection::measured::{inverse_auger_hole, pump_rate_from_pump_down, runoff_share};
use crate::quantity::{Amount, Area, Flow, Length, Level, Measure, Volume};
use crate::site::{LowSpot, Puddle, Site};

/// One measurement.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredResult {
    /// What it is of.
    pub what: &'static str,
    /// A stable name.
    pub id: &'static str,
    /// By measurement.
    pub measured: Amount,
    /// By calculation, where there is one.
    pub calculated: Option<Amount>,
    /// Measured over calculated, where both are above nothing.
    pub ratio: Option<f64>,
    /// The range that the calculation allows itself, where it has one.
    pub range: Option<(Amount, Amount)>,
    /// Whether a number was entered that goes before both.
    pub settled: bool,
    /// Whether the design goes by it.
    pub counted: bool,
    /// The level and water surface that a puddle gives its low spot.
    pub surface: Option<(Level, Area)>,
    /// The surface that is missing of those that shed water to a puddle, of the kind of those entered.
    pub missing_area: Option<Area>,
}

impl MeasuredResult {
    pub(super) fn of<Q: Measure<f64>>(
        id: &'static str,
        what: &'static str,
        measured: Q,
        calculated: Option<Q>,
    ) -> Self {
        let positive = calculated.filter(|calculated| calculated.si() > 0.0 && measured.si() > 0.0);
        Self {
            what,
            id,
            measured: Amount::of(measured),
            calculated: calculated.map(Amount::of),
            ratio: positive.map(|calculated| measured.si() / calculated.si()),
            range: None,
            settled: false,
            counted: true,
            surface: None,
            missing_area: None,
        }
    }
    /// Whether it lies outside the range, or by itself more than so many times off.
    pub fn disagrees(&self, times: f64) -> bool {
        if self.settled {
            return false;
        }
        match self.range {
            Some((low, high)) => self.measured.si < low.si || self.measured.si > high.si,
            None => self.ratio.is_some_and(|ratio| ratio > times || ratio < 1.0 / times),
        }
    }
}

pub(super) fn measured(
    site: &Site,
    ground: &GroundwaterResult,
    storm: &StormResult,
    pump: Option<&PumpResult>,
) -> Vec<MeasuredResult> {
    let mut found = Vec::new();
    if let Some(inflow) = ground.measured {
        let calculated = ground.calculated.map(|flow| flow.taken);
        let mut result = MeasuredResult::of("inflow", "groundwater that runs in", inflow, calculated);
        // where levels keep it out, the calculation says nothing of the ground
        let says = ground.calculated.filter(|flow| flow.high > Flow::ZERO);
        result.range = says.map(|flow| (Amount::of(flow.low), Amount::of(flow.high)));
        result.counted = ground.basis == InflowBasis::Measured;
        found.push(result);
        if let Some((rise, pump_down)) = site.measured.rise.and_then(|rise| Some((rise, rise.pump_down?))) {
            let rate = pump_rate_from_pump_down(rise.plan, rise.rise, pump_down, inflow);
            let duty = pump.and_then(|pump| pump.point(WaterLevel::Mean)).map(|point| point.line_flow);
            found.push(MeasuredResult::of("pump_rate", "what the pump moves", rate, duty));
        }
    }
    if let Some(hole) = site.measured.test_hole {
        let conductivity = inverse_auger_hole(hole.diameter / 2.0, hole.from, hole.to, hole.over);
        let texture = site.soil.as_ref().and_then(|soil| soil.texture.as_deref()).and_then(catalog::ground);
        let factor = catalog::default_limits().conductivity_factor.value;
        let mut result =
            MeasuredResult::of("conductivity", "conductivity of the ground by the test hole", conductivity, None);
        result.measured = Amount::seepage(conductivity);
        // the ground is then neither the hole's nor the texture's
        result.settled = site.groundwater.ground.as_ref().is_some_and(|ground| ground.settled);
        if let Some(entry) = texture {
            let (low, high) = (entry.conductivity_low / factor, entry.conductivity_high * factor);
            let middle = crate::quantity::Velocity::from_ms((low.ms() * high.ms()).sqrt());
            result.calculated = Some(Amount::seepage(middle));
            result.ratio = (conductivity.ms() > 0.0).then(|| conductivity / middle);
            result.range = Some((Amount::seepage(low), Amount::seepage(high)));
        }
        found.push(result);
    }
    if let Some(puddle) = &site.measured.puddle {
        found.extend(puddle_against(site, puddle, storm));
    }
    found
}

/// The puddle against the low spot's curve and the runoff.
fn puddle_against(site: &Site, puddle: &Puddle, storm: &StormResult) -> Vec<MeasuredResult> {
    let spot = puddle.low_spot.as_ref().and_then(|name| site.low_spots.iter().find(|spot| &spot.name == name));
    let mut found = Vec::new();
    let by_curve = spot.map(|spot| surface_at(spot, puddle.depth));
    let mut by_area = MeasuredResult::of("puddle_area", "the puddle's area at its depth", puddle.area, by_curve);
    by_area.surface =
        spot.and_then(|spot| spot.surface.first()).map(|(lowest, _)| (*lowest + puddle.depth, puddle.area));
    found.push(by_area);
    // the area of a puddle grows with its depth, so it holds half of area times depth
    let volume: Volume = spot.map_or(puddle.area * puddle.depth / 2.0, |spot| {
        let curve = volume_at(spot, puddle.depth);
        let area = surface_at(spot, puddle.depth);
        if area > Area::ZERO { curve * (puddle.area / area) } else { puddle.area * puddle.depth / 2.0 }
    });
    let area: Area = site.catchments.iter().map(|catchment| catchment.area).sum();
    if area > Area::ZERO {
        let share = runoff_share(volume, puddle.rain, area);
        let mut result =
            MeasuredResult::of("runoff_share", "share of the rain seen in the puddle", share, storm.composite);
        // what soaked away or was pumped was not seen
        result.range = storm.composite.map(|composite| (Amount::of(0.0), Amount::of(composite)));
        let missing = |composite: f64| area * (share / composite - 1.0);
        result.missing_area = storm.composite.filter(|composite| *composite > 0.0 && share > *composite).map(missing);
        found.push(result);
    }
    found
}

/// The water surface of a low spot at a depth above its lowest point; beyond its curve that of the highest entry.
pub(super) fn surface_at(spot: &LowSpot, depth: Length) -> Area {
    let Some((lowest, first)) = spot.surface.first() else { return Area::ZERO };
    let level = *lowest + depth.max(Length::ZERO);
    let within = spot.surface.windows(2).find_map(|pair| {
        let [(low, small), (high, large)] = pair else { return None };
        (*low <= level && level <= *high).then(|| *small + (*large - *small) * ((level - *low) / (*high - *low)))
    });
    within.unwrap_or_else(|| spot.surface.last().map_or(*first, |(_, area)| *area))
}

/// What a low spot holds up to a depth, its area straight between the entries.
fn volume_at(spot: &LowSpot, depth: Length) -> Volume {
    let Some((lowest, _)) = spot.surface.first() else { return Volume::ZERO };
    let top = *lowest + depth;
    let mut volume = Volume::ZERO;
    for pair in spot.surface.windows(2) {
        let [(low, small), (high, _)] = pair else { continue };
        let end = if top < *high { top } else { *high };
        if end > *low {
            volume += (*small + surface_at(spot, end - *lowest)) * (end - *low) / 2.0;
        }
    }
    if let Some((highest, area)) = spot.surface.last()
        && top > *highest
    {
        volume += *area * (top - *highest);
    }
    volume
}
