//! One surface in one storm: what share of the rain it sheds, by table, by its soil or by its curve number.

use super::CatchmentResult;
use crate::hydrology::{
    Loss, Rain, RainBlock, TimeOfConcentration, adjusted_coefficient, coefficient_from_curve_number_worked,
    coefficient_from_infiltration, nested_storm, rain_excess, runoff_depth,
};
use crate::quantity::{Duration, Intensity, Measure, RainDepth};
use crate::site::{Catchment, Limit, RunoffFrom, Site};
use crate::working::{Silent, Working};

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

const COEFFICIENT_SOURCE: &str = "factor on the coefficient capped at 1, Dhakal et al. 2013";

/// One surface in one storm: its coefficient and its own peak.
pub(super) fn surface<W: Working>(
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
        if catchment.runoff_from == RunoffFrom::Infiltration {
            infiltration_worked(w, number, rate, hollows, time.time, intensity)
        } else {
            infiltration_worked(&mut Silent, number, rate, hollows, time.time, intensity)
        }
    });
    let used = match catchment.runoff_from {
        RunoffFrom::Table => None,
        RunoffFrom::Infiltration => by_infiltration,
        RunoffFrom::CurveNumber => curve_number_worked(catchment, number, time.time, rain, w),
    };
    // infiltration and curve number already know the storm; only a table's coefficient is raised for a rare one
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
        runoff_from: if used.is_some() { catchment.runoff_from } else { RunoffFrom::Table },
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
    let loss = ground_loss(site, catchment)?;
    let hollows = catchment.depression_storage;
    let storm = around_burst(rain, time)?;
    let middle = storm.len() / 2;
    let before = rain_excess(&loss, hollows, storm.get(..middle)?);
    let through = rain_excess(&loss, hollows, storm.get(..=middle)?);
    Some((loss.rate_after(through.soaked), (hollows - before.held).max(RainDepth::ZERO)))
}

/// How the ground of a surface takes rain, where it does and the soil is known.
pub(super) fn ground_loss(site: &Site, catchment: &Catchment) -> Option<Loss> {
    site.soil.as_ref().filter(|_| catchment.pervious)?.loss()
}

/// A day's rain, or the longest that is known, nested around a burst: as many blocks before it as after it.
fn around_burst(rain: &Rain, time: Duration) -> Option<Vec<RainBlock>> {
    // one intensity says nothing of the rain before
    let longest = match rain {
        Rain::Constant(_) => time,
        Rain::Table(_) | Rain::Formula { .. } => rain.longest().map_or(A_DAY, |longest| longest.min(A_DAY)).max(time),
    };
    nested_storm(rain, time, longest).ok()
}

/// The share of the burst that runs off by curve number, the burst in the middle of a day's rain.
fn curve_number_worked<W: Working>(
    catchment: &Catchment,
    number: usize,
    time: Duration,
    rain: &Rain,
    w: &mut W,
) -> Option<f64> {
    let curve_number = catchment.curve_number.as_ref()?.value;
    let storm = around_burst(rain, time)?;
    let middle = storm.len() / 2;
    let before: RainDepth = storm.get(..middle)?.iter().map(RainBlock::depth).sum();
    let burst = storm.get(middle)?.depth();
    let share = coefficient_from_curve_number_worked(w, number, curve_number, before, burst);
    Some(share.plain())
}

/// The rain that a curve number is used for, or the longest that is known.
pub(in crate::design) const A_DAY: Duration = Duration::from_h(24.0);

/// Runoff by curve number of a day's rain, or of the longest rain that is known.
pub(super) fn by_curve_number(site: &Site, catchment: &Catchment, rain: &Rain) -> Option<CurveNumberRunoff> {
    let curve_number = catchment.curve_number.clone()?;
    let duration = rain.longest().map_or(A_DAY, |longest| longest.min(A_DAY));
    let depth = rain.depth(duration).ok()?;
    let loss = ground_loss(site, catchment);
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
