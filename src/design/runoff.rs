//! How much water comes: each surface's coefficient and time, and the peak of each storm.

use super::way_in::GroundwaterResult;
use crate::catalog;
use crate::hydrology::{
    Contribution, PeakFlow, Rain, RainError, TimeOfConcentration, adjusted_coefficient, coefficient_from_infiltration,
    composite_coefficient, nested_storm, peak_flow, peak_flow_worked, rain_excess, runoff_depth,
    time_of_concentration_worked,
};
use crate::quantity::{Area, Duration, Flow, Intensity, Level, Measure, RainDepth, ReturnPeriod};
use crate::site::{Catchment, Limit, Site};
use crate::working::{Silent, Working};

/// One surface in one storm.
#[derive(Clone, Debug, PartialEq)]
pub struct CatchmentResult {
    /// Its name.
    pub name: String,
    /// Its area.
    pub area: Area,
    /// The coefficient used, with frequency factor and cap.
    pub coefficient: f64,
    /// The coefficient by table or as entered, before the frequency factor.
    pub tabled: f64,
    /// The coefficient by infiltration, an upper bound, where the soil is known and the surface soaks: of a burst in the
    /// middle of a day's rain.
    pub by_infiltration: Option<f64>,
    /// The infiltration rate behind it.
    pub infiltration: Option<Intensity>,
    /// The runoff by curve number of the longest rain up to a day, where a curve number is known.
    pub by_curve_number: Option<CurveNumberRunoff>,
    /// Whether the infiltration's was used.
    pub used_infiltration: bool,
    /// Time of concentration, with its parts.
    pub time: TimeOfConcentration,
    /// Whether the time was entered rather than computed.
    pub time_entered: bool,
    /// Rain intensity over that time.
    pub intensity: Intensity,
    /// Flow from this surface alone, at its own time.
    pub own_peak: Flow,
}

/// Runoff by curve number: of a day's rain, since a curve number has no clock.
#[derive(Clone, Debug, PartialEq)]
pub struct CurveNumberRunoff {
    /// The curve number and where it comes from.
    pub curve_number: Limit<f64>,
    /// How long the rain lasts.
    pub duration: Duration,
    /// The rain.
    pub rain: RainDepth,
    /// What runs off.
    pub runoff: RainDepth,
    /// What would run off the same rain by infiltration, the burst in its middle; none where the soil is not known.
    pub by_infiltration: Option<RainDepth>,
}

impl CurveNumberRunoff {
    /// The share of the rain that runs off.
    pub fn share(&self) -> f64 {
        if self.rain > RainDepth::ZERO { self.runoff / self.rain } else { 0.0 }
    }
}

/// One storm.
#[derive(Clone, Debug, PartialEq)]
pub struct StormResult {
    /// Its return period, where the rain has one.
    pub period: Option<ReturnPeriod>,
    /// The frequency factor used.
    pub frequency_factor: f64,
    /// Each surface.
    pub catchments: Vec<CatchmentResult>,
    /// The peak runoff of all of them.
    pub peak: PeakFlow,
    /// The peak runoff if every lawn on a known soil had its coefficient by infiltration: an upper bound. None where
    /// no soil is known, or all lawns have it already.
    pub peak_by_infiltration: Option<Flow>,
    /// Area-weighted coefficient, where there is a surface.
    pub composite: Option<f64>,
    /// Groundwater: what seeps in, and where that figure comes from.
    pub groundwater: GroundwaterResult,
    /// Steady inflow: groundwater and what else runs in.
    pub steady: Flow,
    /// Peak runoff and steady inflow together.
    pub peak_inflow: Flow,
}

const COEFFICIENT_SOURCE: &str = "factor on the coefficient capped at 1, Dhakal et al. 2013";

/// The storm of one index into the site's rain, with its working.
///
/// # Errors
/// The rain table does not reach a duration that is needed.
pub(super) fn storm<W: Working>(
    site: &Site,
    index: usize,
    ground: &GroundwaterResult,
    w: &mut W,
) -> Result<StormResult, RainError> {
    let steady = steady_inflow(site, ground.flow, w);
    let Some((period, rain)) = site.rain.storms.get(index) else {
        return Ok(without_rain(ground, steady.plain()));
    };
    let frequency_factor = frequency_factor(site, *period);
    w.heading("Runoff");
    let mut catchments = Vec::with_capacity(site.catchments.len());
    for (number, catchment) in site.catchments.iter().enumerate() {
        let (time, _) = match catchment.time {
            Some(entered) => {
                let time = TimeOfConcentration::entered(entered, site.rain.minimum_time);
                let named = w.given(("tc", number + 1), time.time);
                (time, named)
            }
            None => time_of_concentration_worked(
                w,
                number + 1,
                &catchment.path,
                site.rain.sheet_method,
                rain,
                site.rain.minimum_time,
            )?,
        };
        let intensity = rain.intensity(time.time)?;
        let mut result = surface(site, catchment, number + 1, time, (rain, intensity), frequency_factor, w);
        result.by_curve_number = by_curve_number(site, catchment, rain);
        catchments.push(result);
    }
    let parts: Vec<Contribution> = catchments
        .iter()
        .map(|result| Contribution { coefficient: result.coefficient, area: result.area, time: result.time.time })
        .collect();
    let (peak, flow) = peak_flow_worked(w, &parts, rain)?;
    let total = w.step("Qin", "peak inflow: runoff and steady inflow", "sum", flow + steady);
    let areas: Vec<(f64, Area)> = parts.iter().map(|part| (part.coefficient, part.area)).collect();
    let peak_by_infiltration = peak_by_infiltration(&catchments, rain)?;
    Ok(StormResult {
        period: *period,
        frequency_factor,
        peak_by_infiltration,
        catchments,
        composite: composite_coefficient(&areas),
        peak,
        groundwater: ground.clone(),
        steady: steady.plain(),
        peak_inflow: total.plain(),
    })
}

fn without_rain(ground: &GroundwaterResult, steady: Flow) -> StormResult {
    StormResult {
        period: None,
        frequency_factor: 1.0,
        catchments: Vec::new(),
        peak_by_infiltration: None,
        peak: PeakFlow::none(),
        composite: None,
        groundwater: ground.clone(),
        steady,
        peak_inflow: steady,
    }
}

fn peak_by_infiltration(catchments: &[CatchmentResult], rain: &Rain) -> Result<Option<Flow>, RainError> {
    if !catchments.iter().any(|result| result.by_infiltration.is_some() && !result.used_infiltration) {
        return Ok(None);
    }
    let parts: Vec<Contribution> = catchments
        .iter()
        .map(|result| Contribution {
            coefficient: result.by_infiltration.unwrap_or(result.coefficient),
            area: result.area,
            time: result.time.time,
        })
        .collect();
    peak_flow(&parts, rain).map(|peak| Some(peak.flow))
}

/// The factor for a return period: entered for the design storm's, or the table's.
fn frequency_factor(site: &Site, period: Option<ReturnPeriod>) -> f64 {
    let designed = site.rain.storms.get(site.rain.design).and_then(|(period, _)| *period);
    match period {
        Some(period) if Some(period) != designed => {
            crate::hydrology::frequency_factor(catalog::frequency_factors(), period)
        }
        _ => site.rain.frequency_factor,
    }
}

fn steady_inflow<W: Working>(site: &Site, groundwater: Flow, w: &mut W) -> Flow<W::N> {
    w.heading("Steady inflow");
    let mut sum = w.given("Qgw", groundwater);
    for (number, inflow) in site.inflows.iter().enumerate() {
        sum += w.given(("Qi", number + 1), inflow.flow);
    }
    w.step("Qs", "steady inflow: groundwater and what else runs in", "sum of what was entered", sum)
}

/// The steady inflow that lifts the water in the basin up to a level: groundwater that stands lower in the ground does
/// not.
pub(super) fn steady_up_to(site: &Site, groundwater: Flow, level: Level) -> Flow {
    let reaches = site.groundwater.seasonal_high.is_none_or(|high| high > level);
    let seeping = if reaches { groundwater } else { Flow::ZERO };
    site.inflows.iter().map(|inflow| inflow.flow).fold(seeping, |sum, flow| sum + flow)
}

fn surface<W: Working>(
    site: &Site,
    catchment: &Catchment,
    number: usize,
    time: TimeOfConcentration,
    (rain, intensity): (&Rain, Intensity),
    factor: f64,
    w: &mut W,
) -> CatchmentResult {
    let infiltration = soaks(site, catchment, time.time, rain);
    let by_infiltration = infiltration.map(|(rate, hollows)| {
        if catchment.use_infiltration {
            infiltration_worked(w, number, rate, hollows, time.time, intensity)
        } else {
            infiltration_worked(&mut Silent, number, rate, hollows, time.time, intensity)
        }
    });
    let used = by_infiltration.filter(|_| catchment.use_infiltration);
    // infiltration already knows the storm; only a table's coefficient is raised for a rare one
    let coefficient = used.unwrap_or_else(|| {
        if factor > 1.0 {
            let tabled = w.given(("Ct", number), catchment.coefficient);
            let cf = w.given("Cf", factor);
            let raised = w.step(
                ("C", number),
                "runoff coefficient for this return period",
                COEFFICIENT_SOURCE,
                (tabled * cf).least_of_one(),
            );
            raised.plain()
        } else {
            adjusted_coefficient(catchment.coefficient, factor)
        }
    });
    let own_peak = intensity * catchment.area * coefficient;
    CatchmentResult {
        name: catchment.name.clone(),
        area: catchment.area,
        coefficient,
        tabled: catchment.coefficient,
        by_infiltration,
        infiltration: infiltration.map(|(rate, _)| rate),
        by_curve_number: None,
        used_infiltration: used.is_some(),
        time_entered: catchment.time.is_some(),
        time,
        intensity,
        own_peak,
    }
}

/// The cap of a coefficient at 1, over any number.
trait CapAtOne: crate::quantity::Real {
    fn least_of_one(self) -> Self {
        self.least(Self::from(1.0))
    }
}
impl<N: crate::quantity::Real> CapAtOne for N {}

fn infiltration_worked<W: Working>(
    w: &mut W,
    number: usize,
    rate: Intensity,
    hollows: RainDepth,
    time: Duration,
    intensity: Intensity,
) -> f64 {
    let rate = w.given(("f", number), rate);
    let hollows = w.given(("Sd", number), hollows);
    let time = w.given(("tc", number), time);
    let intensity = w.given(("it", number), intensity);
    w.step(
        ("C", number),
        "runoff coefficient by infiltration, an upper bound",
        "1 - (f + Sd/t)/i, f the infiltration rate at the end of the burst, Sd the room left in the hollows, the burst in the middle of a nested day's rain",
        coefficient_from_infiltration(rate, hollows, time, intensity),
    )
    .plain()
}

/// What the ground takes at the end of a burst, and the room left in the hollows at its start: the burst stands in the
/// middle of a day's rain, nested, so that earlier rain has wet the ground.
fn soaks(site: &Site, catchment: &Catchment, time: Duration, rain: &Rain) -> Option<(Intensity, RainDepth)> {
    let loss = site.soil.as_ref().filter(|_| catchment.pervious)?.loss()?;
    let hollows = catchment.depression_storage;
    // one intensity says nothing of the rain before
    let longest = match rain {
        Rain::Constant(_) => time,
        Rain::Table(_) | Rain::Formula { .. } => rain.longest().map_or(A_DAY, |longest| longest.min(A_DAY)).max(time),
    };
    let storm = nested_storm(rain, time, longest).ok()?;
    let middle = storm.len() / 2;
    let before = rain_excess(&loss, hollows, storm.get(..middle)?);
    let through = rain_excess(&loss, hollows, storm.get(..=middle)?);
    Some((loss.rate_after(through.soaked), (hollows - before.held).max(RainDepth::ZERO)))
}

/// The longest rain that a curve number is used for.
const A_DAY: Duration = Duration::from_h(24.0);

/// Runoff by curve number of a day's rain, or of the longest rain that is known.
fn by_curve_number(site: &Site, catchment: &Catchment, rain: &Rain) -> Option<CurveNumberRunoff> {
    let curve_number = catchment.curve_number.clone()?;
    let duration = rain.longest().map_or(A_DAY, |longest| longest.min(A_DAY));
    let depth = rain.depth(duration).ok()?;
    let loss = site.soil.as_ref().filter(|_| catchment.pervious).and_then(crate::site::Soil::loss);
    let storm = nested_storm(rain, rain.shortest().unwrap_or(site.rain.minimum_time).min(duration), duration);
    let by_infiltration =
        loss.zip(storm.ok()).map(|(loss, storm)| rain_excess(&loss, catchment.depression_storage, &storm).total());
    Some(CurveNumberRunoff {
        runoff: runoff_depth(depth, curve_number.value),
        curve_number,
        duration,
        rain: depth,
        by_infiltration,
    })
}
