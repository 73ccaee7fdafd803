//! How much water comes: each surface's coefficient and time, and the peak of each storm.

mod surface;

use super::way_in::GroundwaterResult;
use crate::catalog;
use crate::hydrology::{
    Contribution, PeakFlow, Rain, RainError, SurfaceLoss, TimeOfConcentration, adjusted_coefficient,
    composite_coefficient, peak_flow, peak_flow_worked, time_of_concentration_worked,
};
use crate::quantity::{Area, Flow, Intensity, Level, Measure, ReturnPeriod};
use crate::site::{RunoffFrom, Site};
use crate::working::Working;
pub(super) use surface::A_DAY;
pub use surface::CurveNumberRunoff;
use surface::{by_curve_number, surface};

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
    /// What the coefficient used comes from.
    pub runoff_from: RunoffFrom,
    /// Time of concentration, with its parts.
    pub time: TimeOfConcentration,
    /// Whether the time was entered rather than computed.
    pub time_entered: bool,
    /// Rain intensity over that time.
    pub intensity: Intensity,
    /// Flow from this surface alone, at its own time.
    pub own_peak: Flow,
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
    if !catchments
        .iter()
        .any(|result| result.by_infiltration.is_some() && result.runoff_from != RunoffFrom::Infiltration)
    {
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

/// How a catchment, by its index in the site, keeps back the rain of a storm: the coefficient of that storm with its
/// frequency factor, its curve number, or what soaks in, whichever its coefficient comes from.
///
/// None where the storm has no such catchment.
pub fn surface_loss(site: &Site, storm: &StormResult, index: usize) -> Option<SurfaceLoss> {
    let result = storm.catchments.get(index)?;
    let by_time = match result.runoff_from {
        RunoffFrom::Table => None,
        by => surface_loss_by(site, storm, index, by),
    };
    Some(by_time.unwrap_or(SurfaceLoss::Coefficient(result.coefficient)))
}

/// How a catchment would keep back the rain of a storm if its coefficient came from something else.
///
/// None where the storm has no such catchment, or what is asked for is not known of it.
pub(super) fn surface_loss_by(site: &Site, storm: &StormResult, index: usize, by: RunoffFrom) -> Option<SurfaceLoss> {
    let catchment = site.catchments.get(index)?;
    match by {
        RunoffFrom::Table => {
            let tabled = storm.catchments.get(index)?.tabled;
            Some(SurfaceLoss::Coefficient(adjusted_coefficient(tabled, storm.frequency_factor)))
        }
        RunoffFrom::Infiltration => surface::ground_loss(site, catchment)
            .map(|loss| SurfaceLoss::Infiltration { loss, depression_storage: catchment.depression_storage }),
        RunoffFrom::CurveNumber => catchment.curve_number.as_ref().map(|known| SurfaceLoss::CurveNumber(known.value)),
    }
}
