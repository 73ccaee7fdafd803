//! Rain, travel times, runoff, infiltration.

use super::{Entry, Outcome, amount, known};
use crate::given::{Given, number, quantity};
use std::path::Path;
use sumpwright::hydrology::{
    Contribution, DepthDuration, Excess, GreenAmpt, Horton, Loss, PointFile, Rain, RainBlock, Reach, SheetMethod,
    adjusted_coefficient, annual_maximum_period, coefficient_from_infiltration, composite_coefficient,
    composite_curve_number, connected_impervious_curve_number, faa, frequency_factor, initial_abstraction, kirpich,
    manning_velocity, nrcs_lag, nrcs_lag_time_of_concentration, partial_duration_period, peak_flow, point_file_text,
    potential_retention, rain_excess, read_point_file, runoff_depth, shallow_velocity, sheet_flow_kinematic,
    sheet_flow_limit, sheet_flow_nrcs, time_of_concentration, travel_time, unconnected_impervious_curve_number,
};
use sumpwright::quantity::{Area, Duration, Intensity, Length, RainDepth, ReturnPeriod, Slope, Velocity};
use toml::Value;

pub(super) const TABLE: &[Entry] = &[
    ("point_durations", |g| amount(point_file(g)?.columns.first().map_or(0, |column| column.1.points().len()) as f64)),
    ("point_periods", |g| amount(point_file(g)?.columns.len() as f64)),
    ("point_depth", |g| amount(point_rain(g)?.depth(g.get("duration")?).map_err(told)?)),
    ("point_intensity", |g| amount(point_rain(g)?.intensity(g.get("duration")?).map_err(told)?)),
    ("formula_intensity", |g| {
        let rain = Rain::formula(g.get("a")?, g.get("b")?, g.number("c")?).map_err(told)?;
        amount(rain.intensity(g.get("duration")?).map_err(told)?)
    }),
    ("partial_duration_period", |g| known(partial_duration_period(g.get("period")?))),
    ("annual_maximum_period", |g| known(annual_maximum_period(g.get("period")?))),
    ("shallow_velocity", |g| amount(shallow(g)?)),
    ("shallow_time", |g| amount(travel_time(g.get("length")?, shallow(g)?))),
    ("manning_velocity", |g| amount(manning(g)?)),
    ("channel_time", |g| amount(travel_time(g.get("length")?, manning(g)?))),
    ("travel_time", |g| amount(travel_time(g.get::<Length>("length")?, g.get::<Velocity>("velocity")?))),
    ("sheet_flow_kinematic", |g| {
        let (length, slope, intensity) = (g.get::<Length>("length")?, g.get("slope")?, g.get("intensity")?);
        amount(sheet_flow_kinematic(g.number("roughness")?, length, slope, intensity))
    }),
    ("sheet_flow_nrcs", |g| {
        let (length, slope, depth) = (g.get::<Length>("length")?, g.get("slope")?, g.get("two_year_24_hour")?);
        amount(sheet_flow_nrcs(g.number("roughness")?, length, slope, depth))
    }),
    ("sheet_flow_limit", |g| amount(sheet_flow_limit(g.number("roughness")?, g.get("slope")?))),
    ("path_time", path_time),
    ("nrcs_lag_time_of_concentration", |g| {
        known(nrcs_lag_time_of_concentration(g.get("length")?, g.number("curve_number")?, g.get("slope")?))
    }),
    ("nrcs_lag", |g| known(nrcs_lag(g.get("length")?, g.number("curve_number")?, g.get("slope")?))),
    ("kirpich", |g| amount(kirpich(g.get("length")?, g.get("slope")?))),
    ("faa", |g| amount(faa(g.number("coefficient")?, g.get("length")?, g.get("slope")?))),
    ("composite_coefficient", |g| known(composite_coefficient(&parts(g)?))),
    ("adjusted_coefficient", |g| {
        let factor = |row: &[Value]| match row {
            [period, factor] => Ok((quantity::<ReturnPeriod>(period)?, number(factor)?)),
            _ => Err("a row needs a return period and a factor".to_owned()),
        };
        let factors: Result<Vec<_>, String> = g.rows("factors")?.into_iter().map(factor).collect();
        amount(adjusted_coefficient(g.number("coefficient")?, frequency_factor(&factors?, g.get("period")?)))
    }),
    ("rational_peak", |g| {
        let part = contribution(g.number("coefficient")?, g.get("area")?, Duration::from_min(5.0));
        amount(peak_flow(&[part], &Rain::Constant(g.get("intensity")?)).map_err(told)?.flow)
    }),
    ("peak_of_parts", |g| {
        let time = g.get("time")?;
        let parts: Vec<_> =
            parts(g)?.into_iter().map(|(coefficient, area)| contribution(coefficient, area, time)).collect();
        amount(peak_flow(&parts, &Rain::Constant(g.get("intensity")?)).map_err(told)?.flow)
    }),
    ("potential_retention", |g| amount(potential_retention(g.number("curve_number")?))),
    ("initial_abstraction", |g| amount(initial_abstraction(potential_retention(g.number("curve_number")?)))),
    ("initial_abstraction_share", |g| {
        let rain: RainDepth = g.get("rain")?;
        amount(initial_abstraction(potential_retention(g.number("curve_number")?)) / rain)
    }),
    ("runoff_depth_of_parts", |g| {
        let (rain, parts): (RainDepth, _) = (g.get("rain")?, parts(g)?);
        let whole: Area = parts.iter().map(|part| part.1).sum();
        let runoff = |&(curve_number, area): &(f64, Area)| runoff_depth(rain, curve_number) * (area / whole);
        amount(parts.iter().map(runoff).sum::<RainDepth>())
    }),
    ("runoff_depth", |g| amount(runoff_depth(g.get::<RainDepth>("rain")?, g.number("curve_number")?))),
    ("composite_curve_number", |g| known(composite_curve_number(&parts(g)?))),
    ("connected_impervious", |g| amount(connected_impervious_curve_number(g.number("pervious")?, g.number("paved")?))),
    ("unconnected_impervious", |g| {
        let (pervious, paved) = (g.number("pervious")?, g.number("paved")?);
        amount(unconnected_impervious_curve_number(pervious, paved, g.number("unconnected")?))
    }),
    ("green_ampt_depth_flooded", |g| amount(green_ampt(g)?.cumulative_ponded(g.get("time")?))),
    ("green_ampt_depth", |g| amount(green_ampt(g)?.cumulative(g.get("intensity")?, g.get("time")?))),
    ("green_ampt_capacity", |g| amount(green_ampt(g)?.capacity(g.get("intensity")?, g.get("time")?))),
    ("green_ampt_rate", |g| amount(green_ampt(g)?.rate_at(g.get("soaked")?))),
    ("green_ampt_ponding_time", |g| known(green_ampt(g)?.ponding(g.get("intensity")?).map(|ponding| ponding.0))),
    ("green_ampt_ponding_depth", |g| known(green_ampt(g)?.ponding(g.get("intensity")?).map(|ponding| ponding.1))),
    ("storm_rain", |g| {
        let storm = storm(g)?;
        amount(storm.soaked + storm.held + storm.total())
    }),
    ("storm_excess", |g| {
        let (first, last) = (g.number("first_step")?, g.number("last_step")?);
        let steps = storm(g)?.blocks.into_iter().zip(1..);
        let inside = |&(_, step): &(RainDepth, i32)| (first..=last).contains(&f64::from(step));
        amount(steps.filter(inside).map(|(excess, _)| excess).sum::<RainDepth>())
    }),
    ("storm_excess_rate", |g| {
        let step = g.number("step")?;
        let mut steps = storm(g)?.blocks.into_iter().zip(rain_blocks(g)?).zip(1..);
        let found = steps.find(|(_, number)| (f64::from(*number) - step).abs() < 0.5);
        known::<Intensity>(found.map(|((excess, rain), _)| excess / rain.duration))
    }),
    ("storm_ponding_time", |g| known(storm(g)?.ponds_at)),
    ("horton_rate", |g| amount(horton(g)?.rate(g.get("time")?))),
    ("horton_depth_between", |g| {
        let ground = horton(g)?;
        amount(ground.cumulative_ponded(g.get("end")?) - ground.cumulative_ponded(g.get("start")?))
    }),
    ("horton_ponding_time", |g| known(horton(g)?.ponding(g.get("intensity")?).map(|ponding| ponding.0))),
    ("horton_ponding_depth", |g| known(horton(g)?.ponding(g.get("intensity")?).map(|ponding| ponding.1))),
    ("coefficient_from_infiltration", |g| {
        let (infiltration, storage): (Intensity, _) = (g.get("infiltration")?, g.get("storage")?);
        amount(coefficient_from_infiltration(infiltration, storage, g.get("duration")?, g.get("intensity")?))
    }),
];

pub(super) fn told(error: impl std::fmt::Display) -> String {
    error.to_string()
}

fn point_file(g: &Given<'_>) -> Result<PointFile, String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data").join(g.text("file")?);
    let bytes = std::fs::read(&path).map_err(|error| format!("{}: {error}", path.display()))?;
    read_point_file(&point_file_text(&bytes)).map_err(told)
}

fn point_rain(g: &Given<'_>) -> Result<Rain, String> {
    let period: ReturnPeriod = g.get("period")?;
    let column: Option<DepthDuration> = point_file(g)?.column(period).cloned();
    column.map(Rain::Table).ok_or_else(|| format!("no column for {} years", period.years()))
}

fn shallow(g: &Given<'_>) -> Result<Velocity, String> {
    Ok(shallow_velocity(g.get::<Velocity>("coefficient")?, g.get("slope")?))
}

fn manning(g: &Given<'_>) -> Result<Velocity, String> {
    Ok(manning_velocity(g.number("roughness")?, g.get("hydraulic_radius")?, g.get("slope")?))
}

/// Pieces of a path: kind, length, slope, and what the kind needs.
fn path_time(g: &Given<'_>) -> Outcome {
    let reaches: Result<Vec<Reach>, String> = g.rows("path")?.into_iter().map(reach).collect();
    let method = match g.maybe("two_year_24_hour") {
        Some(depth) => SheetMethod::Nrcs { two_year_24_hour: quantity(depth)? },
        None => SheetMethod::Kinematic,
    };
    // no piece of these paths depends on the rain
    let rain = Rain::Constant(Intensity::from_inh(1.0));
    amount(time_of_concentration(&reaches?, method, &rain, Duration::ZERO).map_err(told)?.time)
}

fn reach(row: &[Value]) -> Result<Reach, String> {
    let [kind, length, slope, rest @ ..] = row else { return Err("a piece needs kind, length and slope".to_owned()) };
    let (length, slope): (Length, Slope) = (quantity(length)?, quantity(slope)?);
    match (kind.as_str(), rest) {
        (Some("sheet"), [roughness]) => Ok(Reach::Sheet { length, slope, roughness: number(roughness)? }),
        (Some("shallow"), [coefficient]) => Ok(Reach::Shallow { length, slope, coefficient: quantity(coefficient)? }),
        (Some("channel"), [roughness, radius]) => {
            Ok(Reach::Channel { length, slope, roughness: number(roughness)?, hydraulic_radius: quantity(radius)? })
        }
        (Some("pipe"), [roughness, bore]) => {
            Ok(Reach::Pipe { length, slope, roughness: number(roughness)?, bore: quantity(bore)? })
        }
        _ => Err(format!("{kind:?} is not a piece of a path, or has not what it needs")),
    }
}

/// Number and area of each part.
fn parts(g: &Given<'_>) -> Result<Vec<(f64, Area)>, String> {
    let part = |row: &[Value]| match row {
        [value, area] => Ok((number(value)?, quantity(area)?)),
        _ => Err("a part needs a number and an area".to_owned()),
    };
    g.rows("parts")?.into_iter().map(part).collect()
}

fn contribution(coefficient: f64, area: Area, time: Duration) -> Contribution {
    Contribution { coefficient, area, time }
}

fn green_ampt(g: &Given<'_>) -> Result<GreenAmpt, String> {
    let moisture_deficit = g.number("deficit")?;
    Ok(GreenAmpt { conductivity: g.get("conductivity")?, suction: g.get("suction")?, moisture_deficit })
}

/// Steps of a storm: how long, and how strong.
pub(super) fn rain_blocks(g: &Given<'_>) -> Result<Vec<RainBlock>, String> {
    let block = |row: &[Value]| match row {
        [duration, intensity] => Ok(RainBlock { duration: quantity(duration)?, intensity: quantity(intensity)? }),
        _ => Err("a step needs a duration and an intensity".to_owned()),
    };
    g.rows("storm")?.into_iter().map(block).collect()
}

/// Where the rain of a storm goes, without hollows in the ground.
fn storm(g: &Given<'_>) -> Result<Excess, String> {
    let loss = if g.maybe("loss").is_some() { Loss::Constant(g.get("loss")?) } else { Loss::GreenAmpt(green_ampt(g)?) };
    Ok(rain_excess(&loss, RainDepth::ZERO, &rain_blocks(g)?))
}

fn horton(g: &Given<'_>) -> Result<Horton, String> {
    Ok(Horton { initial: g.get("initial")?, ultimate: g.get("ultimate")?, decay_time: g.get("decay_time")? })
}
