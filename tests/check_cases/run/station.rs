//! The line as a whole, the duty point, the basin and the pump's cycle.

use super::{Entry, amount};
use crate::given::{Given, number, quantity};
use sumpwright::basin::cycle::{
    Cycle, live_volume_for, live_volume_for_increment, run_time, shortest_cycle, worst_inflow,
};
use sumpwright::basin::{Plan, height_for_volume, stored_between};
use sumpwright::hydraulics::loss::pipe_volume;
use sumpwright::hydraulics::{
    DischargeLine, Division, FittingCount, FrictionMethod, Outlet, Pipe, PipeUse, ReliefHole, Run, SystemCurve, Water,
};
use sumpwright::pump_selection::{DutyPoint, Interpolation, PumpCurve, duty_point};
use sumpwright::quantity::{Duration, Flow, Head, Length, Level, Temperature, Volume};
use toml::Value;

pub(super) const TABLE: &[Entry] = &[
    ("system_head", |g| amount(system(g, FrictionMethod::HazenWilliams)?.at(g.get("flow")?, WATER).head)),
    ("system_head_darcy", |g| amount(system(g, FrictionMethod::DarcyWeisbach)?.at(g.get("flow")?, WATER).head)),
    ("series_head", |g| amount(series(g)?.at(g.get("flow")?, WATER).head)),
    ("duty_flow", |g| amount(duty(g)?.line_flow)),
    ("duty_leak", |g| amount(duty(g)?.leak)),
    ("duty_head", |g| amount(duty(g)?.head)),
    ("line_past_hole", |g| amount(divided(g)?.line)),
    ("hole_leak", |g| amount(divided(g)?.leak)),
    ("cycle_time", |g| match cycle(g)? {
        Cycle::Cycles { rest, run } => amount(rest + run),
        other => Err(format!("{other:?} has no cycle")),
    }),
    ("run_time", |g| amount(run_time(g.get::<Volume>("live")?, g.get("pump_flow")?, g.get("inflow")?))),
    ("starts_per_hour", |g| amount(cycle(g)?.starts_per_hour())),
    ("worst_inflow", |g| amount(worst(g)?)),
    ("shortest_cycle", |g| amount(shortest_cycle(g.get::<Volume>("live")?, g.get("drain_back")?, g.get("pump_flow")?))),
    ("worst_starts", |g| {
        let (live, drain_back, pump_flow) = (g.get("live")?, g.get("drain_back")?, g.get("pump_flow")?);
        amount(Cycle::at(live, drain_back, pump_flow, worst(g)?).starts_per_hour())
    }),
    ("live_volume_for", |g| amount(live_volume_for(g.get("cycle")?, g.get("drain_back")?, g.get("pump_flow")?))),
    ("live_volume_for_increment", |g| amount(live_volume_for_increment(g.get("cycle")?, g.get("increment")?))),
    ("basin_volume", |g| amount(basin_volume(g, "height")?)),
    ("basin_run_time", |g| {
        let alone = Cycle::at(basin_volume(g, "height")?, Volume::ZERO, g.get("pump_flow")?, Flow::ZERO);
        match alone {
            Cycle::Idle => amount(run_time(basin_volume(g, "height")?, g.get("pump_flow")?, Flow::ZERO)),
            other => Err(format!("{other:?} without inflow")),
        }
    }),
    ("basin_shortest_cycle", |g| amount(shortest_cycle(basin_volume(g, "height")?, Volume::ZERO, g.get("pump_flow")?))),
    ("basin_worst_starts", |g| {
        let (live, pump_flow) = (basin_volume(g, "height")?, g.get("pump_flow")?);
        amount(Cycle::at(live, Volume::ZERO, pump_flow, worst_inflow(live, Volume::ZERO, pump_flow)).starts_per_hour())
    }),
    ("rise_flow", |g| amount(basin_volume(g, "rise")? / g.get::<Duration>("time")?)),
    ("fill_time", |g| amount(basin_volume(g, "height")? / g.get::<Flow>("inflow")?)),
    ("rise_of_volume", |g| amount(rise(g, g.get("volume")?)?)),
    ("drain_back_rise", |g| amount(rise(g, pipe_volume(g.get("bore")?, g.get("length")?))?)),
];

/// The water in the basin stands at the datum, and so does its floor.
const WATER: Level = Level::ZERO;

/// A pipe of a bore and a Hazen-Williams C.
pub(super) fn one_pipe(bore: Length, c: f64) -> Pipe {
    Pipe {
        material: "one pipe".to_owned(),
        size: String::new(),
        outside_diameter: bore,
        bore,
        average_bore: None,
        rating: None,
        hazen_williams_c: c,
        roughness: Length::ZERO,
        manning_n: 0.01,
        made_for: PipeUse::Pressure,
        against_pressure: None,
        elastic_modulus: None,
    }
}

/// A line of one pipe: `static` lift, `bore`, `length`, `c`, fittings of `sum_k` beside the velocity head lost at the
/// end, and perhaps a `hole`.
fn line(g: &Given<'_>) -> Result<DischargeLine, String> {
    let roughness = g.maybe("roughness").map_or(Ok(Length::ZERO), quantity)?;
    let pipe = Pipe { roughness, ..one_pipe(g.get("bore")?, g.number("c")?) };
    let fittings = FittingCount::of_k("all", 1, g.number("sum_k")?, "");
    let outlet = Outlet {
        kind: "open end".to_owned(),
        level: WATER + Length::from(g.get::<Head>("static")?),
        ditch_full: None,
        k: 0.0,
        opening_head: None,
        returned_share: 0.0,
    };
    Ok(DischargeLine {
        riser: Run { pipe: pipe.clone(), length: Length::ZERO, fittings: Vec::new(), allowance: 0.0 },
        risers: 1,
        check_valve: None,
        drain_hole: None,
        vents: Vec::new(),
        relief_hole: relief_hole(g)?,
        runs: vec![Run { pipe, length: g.get("length")?, fittings: vec![fittings], allowance: 0.0 }],
        profile: Vec::new(),
        outlet,
    })
}

/// Pipes in a row, each a bore, a length, a friction factor and the K of its fittings; what they lose where the bore
/// changes is the library's own. Open at the end, no lift.
fn series(g: &Given<'_>) -> Result<SystemCurve, String> {
    let run = |row: &[Value]| match row {
        [bore, length, factor, k] => {
            let (bore, length): (Length, Length) = (quantity(bore)?, quantity(length)?);
            let k = number(factor)? * (length / bore) + number(k)?;
            let fittings = vec![FittingCount::of_k("friction and fittings", 1, k, "")];
            // without friction of its own
            Ok(Run { pipe: one_pipe(bore, 1e12), length, fittings, allowance: 0.0 })
        }
        _ => Err("a run needs a bore, a length, a friction factor and a K".to_owned()),
    };
    let runs = g.rows("runs")?.into_iter().map(run).collect::<Result<Vec<_>, String>>()?;
    let first = runs.first().ok_or("no run")?.pipe.clone();
    let outlet = Outlet {
        kind: "open end".to_owned(),
        level: WATER,
        ditch_full: None,
        k: 0.0,
        opening_head: None,
        returned_share: 0.0,
    };
    let line = DischargeLine {
        riser: Run { pipe: first, length: Length::ZERO, fittings: Vec::new(), allowance: 0.0 },
        risers: 1,
        check_valve: None,
        drain_hole: None,
        vents: Vec::new(),
        relief_hole: None,
        runs,
        profile: Vec::new(),
        outlet,
    };
    let water = Water::at(Temperature::from_fahrenheit(60.0));
    Ok(SystemCurve::new(&line, WATER, None, water, FrictionMethod::HazenWilliams))
}

fn relief_hole(g: &Given<'_>) -> Result<Option<ReliefHole>, String> {
    let Some(diameter) = g.maybe("hole") else { return Ok(None) };
    let above_floor = g.maybe("hole_above_pump").map(quantity).transpose()?;
    Ok(Some(ReliefHole { diameter: quantity(diameter)?, above_floor, discharge_coefficient: g.number("coefficient")? }))
}

pub(super) fn system(g: &Given<'_>, method: FrictionMethod) -> Result<SystemCurve, String> {
    let temperature = g.maybe("temperature").map_or(Ok(Temperature::from_fahrenheit(60.0)), quantity)?;
    Ok(SystemCurve::new(&line(g)?, WATER, None, Water::at(temperature), method))
}

/// A curve of entered points, or of points 2 gpm apart on `shut_off - droop q²` (droop in ft per gpm²).
pub(super) fn curve_of(g: &Given<'_>) -> Result<PumpCurve, String> {
    if g.maybe("shut_off").is_some() {
        let (shut_off, droop, greatest): (Head, f64, Flow) =
            (g.get("shut_off")?, g.number("droop")?, g.get("greatest")?);
        let points: Vec<(Flow, Head)> = (0..200)
            .map(|step| Flow::from_gpm(2.0 * f64::from(step)))
            .take_while(|flow| *flow <= greatest)
            .map(|flow| (flow, shut_off - Head::from_ft(droop * flow.gpm() * flow.gpm())))
            .collect();
        return PumpCurve::new(&points, Interpolation::Monotone).map_err(|error| error.to_string());
    }
    let point = |row: &[Value]| match row {
        [flow, head] => Ok((quantity(flow)?, quantity(head)?)),
        _ => Err("a point needs a flow and a head".to_owned()),
    };
    let points: Result<Vec<(Flow, Head)>, String> = g.rows("curve")?.into_iter().map(point).collect();
    let interpolation = if g.flag("straight")? { Interpolation::Straight } else { Interpolation::Monotone };
    PumpCurve::new(&points?, interpolation).map_err(|error| error.to_string())
}

fn duty(g: &Given<'_>) -> Result<DutyPoint, String> {
    let duty = duty_point(&curve_of(g)?, &system(g, FrictionMethod::HazenWilliams)?, WATER);
    duty.point().copied().ok_or_else(|| format!("{duty:?}"))
}

/// How a pump's flow divides at a hole level with the water.
fn divided(g: &Given<'_>) -> Result<Division, String> {
    Ok(system(g, FrictionMethod::HazenWilliams)?.divide(g.get("pump_flow")?, g.get("head")?, WATER))
}

fn cycle(g: &Given<'_>) -> Result<Cycle, String> {
    Ok(Cycle::at(g.get("live")?, g.get("drain_back")?, g.get("pump_flow")?, g.get("inflow")?))
}

fn worst(g: &Given<'_>) -> Result<Flow, String> {
    Ok(worst_inflow(g.get("live")?, g.get("drain_back")?, g.get("pump_flow")?))
}

fn basin_volume(g: &Given<'_>, height: &str) -> Result<Volume, String> {
    let plan = Plan::Round(g.get("diameter")?).area();
    Ok(stored_between(plan, Length::ZERO, g.get(height)?, Volume::ZERO))
}

fn rise(g: &Given<'_>, volume: Volume) -> Result<Length, String> {
    let plan = Plan::Round(g.get("diameter")?).area();
    Ok(height_for_volume(plan, Length::ZERO, volume, Volume::ZERO, Length::ZERO))
}
