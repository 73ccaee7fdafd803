//! Surge, valves held open, power, vacuum, several pumps.

use super::station::{curve_of, one_pipe};
use super::{Entry, amount, known};
use crate::given::{Given, quantity};
use sumpwright::hydraulics::friction::pipe_velocity;
use sumpwright::hydraulics::loss::velocity_head;
use sumpwright::hydraulics::surge::{
    critical_time, joukowsky, opening_velocity, run_on_time, surge_of_stop, wave_speed,
};
use sumpwright::hydraulics::{
    DischargeLine, FittingCount, FrictionMethod, Outlet, ProfilePoint, Run, SystemCurve, Water,
};
use sumpwright::pump_selection::power::{
    copper_resistance_ohm, energy_per_volume_jm3, power_in, voltage_drop, water_power,
};
use sumpwright::pump_selection::{OnItsRiser, PumpCurve, Together, together};
use sumpwright::quantity::{Density, Flow, Head, Length, Level, Power, Pressure, Temperature, Velocity};

pub(super) const TABLE: &[Entry] = &[
    ("sound_speed", |g| {
        // a pipe that does not give
        let rigid = Pressure::from_pa(f64::MAX);
        amount(wave_speed(g.get("bulk_modulus")?, g.get("density")?, rigid, Length::from_m(1.0), Length::from_m(1.0)))
    }),
    ("wave_speed", |g| amount(wave(g)?)),
    ("surge", |g| amount(joukowsky(g.get("density")?, wave(g)?, g.get::<Velocity>("change")?))),
    ("surge_of_wave", |g| amount(joukowsky(g.get("density")?, g.get("wave_speed")?, g.get::<Velocity>("change")?))),
    ("critical_time", |g| amount(critical_time(g.get("length")?, wave(g)?))),
    ("slow_surge", |g| {
        let wave = wave(g)?;
        let instant = joukowsky(g.get("density")?, wave, g.get::<Velocity>("change")?);
        amount(surge_of_stop(instant, critical_time(g.get("length")?, wave), g.get("stops_in")?))
    }),
    ("run_on_time", |g| {
        let (length, bore): (Length, Length) = (g.get("length")?, g.get("bore")?);
        let velocity = pipe_velocity(g.get("flow")?, bore);
        let loss = velocity_head(velocity) * (g.number("friction_factor")? * (length / bore));
        known(run_on_time(length, velocity, g.get("lift")?, loss))
    }),
    ("opening_velocity", |g| amount(opening_velocity(g.number("constant")?, g.get("density")?))),
    ("opening_velocity_at", |g| {
        amount(opening_velocity(g.number("constant")?, Water::at(g.get("temperature")?).density()))
    }),
    ("pipe_velocity", |g| amount(pipe_velocity(g.get("flow")?, g.get("bore")?))),
    ("water_power", |g| amount(water_power(g.get::<Density>("density")?, g.get("flow")?, g.get("head")?))),
    ("power_in", |g| amount(in_and_out(g)?)),
    ("yearly_cost", |g| {
        let kwh = in_and_out(g)?.kw() * g.number("hours")?;
        amount(kwh * g.number("price")?)
    }),
    ("energy_per_volume", |g| {
        amount(energy_per_volume_jm3(g.get::<Power>("power")?, g.get("flow")?) / 3.6e6 * g.number("gallons")? * GALLON)
    }),
    ("wire_resistance", |g| {
        amount(copper_resistance_ohm(g.get("length")?, g.get("area")?, g.get::<Temperature>("temperature")?))
    }),
    ("voltage_drop", |g| {
        let wire = copper_resistance_ohm(g.get("length")?, g.get("area")?, g.get::<Temperature>("temperature")?);
        amount(voltage_drop(g.number("current")?, wire))
    }),
    ("atmospheric_head", |g| amount(water(g)?.atmospheric_head(g.get("above_sea")?))),
    ("siphon_ceiling", |g| {
        let water = water(g)?;
        amount(water.atmospheric_head(g.get("above_sea")?) - water.vapour_head())
    }),
    ("vapour_head", |g| amount(water(g)?.vapour_head())),
    ("atmosphere", |g| {
        // in the pressure of the column itself, whatever it weighs
        let water = water(g)?;
        let head = water.atmospheric_head(g.get("above_sea")?);
        amount(Pressure::from_pa(head.m() * water.density().kgm3() * sumpwright::quantity::factor::GRAVITY))
    }),
    ("summit_pressure", |g| {
        let (line, flow) = over_a_summit(g)?;
        let points = line.grade_line(flow, Level::ZERO);
        let summit = points.first().ok_or("no summit")?;
        let absolute: Head = g.get::<Head>("atmosphere")? + summit.head_if_full();
        amount(Pressure::from_pa(absolute.m() * g.number("weight")?))
    }),
    ("loss_to_the_summit", |g| {
        let (line, flow) = over_a_summit(g)?;
        let points = line.grade_line(flow, Level::ZERO);
        let (summit, end) = (points.first().ok_or("no summit")?, points.last().ok_or("no end")?);
        // from the upper level to the end is the whole loss
        let beyond = Head::from(summit.if_full - end.if_full);
        amount(Head::from_m(-end.if_full.m()) - velocity_head_of(g, flow)? - beyond)
    }),
    ("several_flow", |g| amount(several(g)?.0)),
    ("several_head", |g| amount(several(g)?.1)),
];

use sumpwright::quantity::factor::GALLON;

fn wave(g: &Given<'_>) -> Result<Velocity, String> {
    let (bulk, modulus): (Pressure, Pressure) = (g.get("bulk_modulus")?, g.get("modulus")?);
    // the speed of sound that a handbook takes says which density goes with its bulk modulus
    let density = match g.maybe("sound_speed") {
        Some(sound) => {
            let sound: Velocity = quantity(sound)?;
            Density::from_kgm3(bulk.pa() / (sound.ms() * sound.ms()))
        }
        None => g.get("density")?,
    };
    Ok(wave_speed(bulk, density, modulus, g.get("bore")?, g.get("wall")?))
}

fn water(g: &Given<'_>) -> Result<Water, String> {
    Ok(Water::at(g.get("temperature")?))
}

/// What goes in at the end of a chain of efficiencies.
fn in_and_out(g: &Given<'_>) -> Result<Power, String> {
    let out = water_power(g.get::<Density>("density")?, g.get("flow")?, g.get("head")?);
    let mut power = power_in(out, g.number("efficiency")?);
    for name in ["motor_efficiency", "drive_efficiency"] {
        if let Some(value) = g.maybe(name) {
            power = power_in(power, crate::given::number(value)?);
        }
    }
    Ok(power)
}

/// A pipe from an upper level (the datum) over a summit to a lower level, its friction entered as K, no loss at the
/// end.
fn over_a_summit(g: &Given<'_>) -> Result<(SystemCurve, Flow), String> {
    let bore: Length = g.get("bore")?;
    let length: Length = g.get("length")?;
    let k = g.number("friction_factor")? * (length / bore);
    let summit: Level = g.get("summit")?;
    let pipe = one_pipe(bore, 1e12);
    let run = |length, fittings| Run { pipe: pipe.clone(), length, fittings, allowance: 0.0 };
    let line = DischargeLine {
        riser: run(Length::ZERO, Vec::new()),
        risers: 1,
        check_valve: None,
        relief_hole: None,
        drain_hole: None,
        runs: vec![run(length, vec![FittingCount::of_k("friction", 1, k, "")])],
        profile: vec![ProfilePoint { at: g.get("at")?, invert: summit - bore, ground: None, under: None }],
        vents: Vec::new(),
        outlet: Outlet {
            kind: "open end".to_owned(),
            level: g.get("lower")?,
            ditch_full: None,
            k: -1.0,
            opening_head: None,
            returned_share: 0.0,
        },
    };
    let water = Water::at(Temperature::from_fahrenheit(60.0));
    Ok((SystemCurve::new(&line, Level::ZERO, None, water, FrictionMethod::HazenWilliams), g.get("flow")?))
}

fn velocity_head_of(g: &Given<'_>, flow: Flow) -> Result<Head, String> {
    Ok(velocity_head(pipe_velocity(flow, g.get("bore")?)))
}

/// So many of one pump side by side: flow out of the line, and the head where they meet.
fn several(g: &Given<'_>) -> Result<(Flow, Head), String> {
    let curve: PumpCurve = curve_of(g)?;
    let system = super::station::system(g, FrictionMethod::HazenWilliams)?;
    let pumps: Vec<OnItsRiser<'_>> = std::iter::repeat_n((&curve, &system), whole(g.number("pumps")?)).collect();
    match together(&pumps, Level::ZERO, Level::ZERO) {
        Together::Meets { line_flow, junction, .. } => Ok((line_flow, junction)),
        other => Err(format!("{other:?}")),
    }
}

/// A small whole number.
fn whole(number: f64) -> usize {
    (1..10_u8).find(|whole| (f64::from(*whole) - number).abs() < 1e-9).map_or(0, usize::from)
}
