//! Friction, water, fittings, orifices, water held in the line.

use super::{Entry, amount, known};
use crate::given::Given;
use sumpwright::collection::orifice::orifice_flow;
use sumpwright::hydraulics::Water;
use sumpwright::hydraulics::friction::{
    churchill, colebrook, darcy_bore, darcy_flow, darcy_loss, friction_factor, hazen_williams_bore,
    hazen_williams_loss, pipe_velocity, reynolds_number, swamee_jain,
};
use sumpwright::hydraulics::loss::{
    emptying_time, equivalent_length, fully_rough_friction_factor, k_of_flow_coefficient, k_of_metric_flow_coefficient,
    minor_loss, orifice_area, pipe_volume, sudden_enlargement_loss,
};
use sumpwright::quantity::{Flow, Head, Length, Pressure, Velocity, Viscosity};

pub(super) const TABLE: &[Entry] = &[
    ("hazen_williams_loss", |g| amount(hazen_williams(g, g.get("bore")?, g.number("c")?)?)),
    ("hazen_williams_ratio", |g| {
        let bore = g.get("bore")?;
        amount(hazen_williams(g, bore, g.number("c")?)? / hazen_williams(g, bore, g.number("base")?)?)
    }),
    ("hazen_williams_bore_ratio", |g| {
        let c = g.number("c")?;
        amount(hazen_williams(g, g.get("bore")?, c)? / hazen_williams(g, g.get("base")?, c)?)
    }),
    ("hazen_williams_bore", |g| {
        amount(hazen_williams_bore(g.get("head")?, g.get("length")?, g.get("flow")?, g.number("c")?))
    }),
    ("reynolds_number", |g| {
        let bore: Length = g.get("bore")?;
        amount(reynolds_number(pipe_velocity(g.get("flow")?, bore), bore, g.get("viscosity")?))
    }),
    ("colebrook", |g| amount(colebrook(g.number("reynolds")?, g.number("relative_roughness")?))),
    ("swamee_jain", |g| amount(swamee_jain(g.number("reynolds")?, g.number("relative_roughness")?))),
    ("churchill", |g| amount(churchill(g.number("reynolds")?, g.number("relative_roughness")?))),
    ("darcy_loss", |g| amount(darcy(g, g.get("viscosity")?)?)),
    ("darcy_loss_at", |g| amount(darcy(g, water(g)?.viscosity())?)),
    ("darcy_loss_of_factor", |g| {
        let (length, bore): (Length, Length) = (g.get("length")?, g.get("bore")?);
        amount(darcy_loss(g.number("friction_factor")?, length, bore, pipe_velocity(g.get("flow")?, bore)))
    }),
    ("darcy_and_fittings", |g| {
        let velocity = pipe_velocity(g.get("flow")?, g.get::<Length>("bore")?);
        amount(darcy(g, g.get("viscosity")?)? + minor_loss(g.number("sum_k")?, velocity))
    }),
    ("darcy_over_hazen_williams", |g| {
        let hazen_williams = hazen_williams(g, g.get("bore")?, g.number("c")?)?;
        amount(darcy(g, water(g)?.viscosity())? / hazen_williams)
    }),
    ("darcy_flow", |g| {
        let (head, length, bore, roughness) = (g.get("head")?, g.get("length")?, g.get("bore")?, g.get("roughness")?);
        known(darcy_flow(head, length, bore, roughness, g.number("sum_k")?, g.get("viscosity")?))
    }),
    ("darcy_bore", |g| {
        let (head, length, flow) = (g.get("head")?, g.get("length")?, g.get("flow")?);
        known(darcy_bore(head, length, flow, g.get("roughness")?, g.get("viscosity")?))
    }),
    ("water_density", |g| amount(water(g)?.density())),
    ("water_viscosity", |g| amount(water(g)?.viscosity())),
    ("water_dynamic_viscosity", |g| amount(water(g)?.viscosity().m2s() * water(g)?.density().kgm3())),
    ("sudden_enlargement", |g| amount(sudden_enlargement_loss(g.get::<Velocity>("before")?, g.get("after")?))),
    ("sudden_enlargement_of_bores", |g| {
        let flow: Flow = g.get("flow")?;
        amount(sudden_enlargement_loss(pipe_velocity(flow, g.get("before")?), pipe_velocity(flow, g.get("after")?)))
    }),
    ("minor_loss", |g| amount(minor_loss(g.number("k")?, g.get("velocity")?))),
    ("minor_loss_pressure", |g| amount(Pressure::of_head(minor_loss(g.number("k")?, g.get("velocity")?)))),
    ("fully_rough_friction_factor", |g| amount(fully_rough_friction_factor(g.get::<Length>("bore")?))),
    ("equivalent_length", |g| amount(equivalent_length(g.number("k")?, g.get("bore")?, g.number("friction_factor")?))),
    ("k_of_flow_coefficient", |g| amount(k_of_flow_coefficient(g.number("cv")?, g.get("bore")?))),
    ("k_of_metric_flow_coefficient", |g| amount(k_of_metric_flow_coefficient(g.number("kv")?, g.get("bore")?))),
    ("orifice_flow", |g| {
        amount(orifice_flow(g.number("coefficient")?, g.get::<Length>("diameter")?.circle(), g.get("head")?))
    }),
    ("orifice_area", |g| amount(orifice_area(g.number("coefficient")?, g.get("flow")?, g.get("head")?))),
    ("emptying_time", |g| {
        let (plan, hole) = (g.get::<Length>("diameter")?.circle(), g.get::<Length>("hole")?.circle());
        amount(emptying_time(plan, g.get("depth")?, g.number("coefficient")?, hole))
    }),
    ("pipe_volume", |g| amount(pipe_volume(g.get::<Length>("bore")?, g.get("length")?))),
];

fn hazen_williams(g: &Given<'_>, bore: Length, c: f64) -> Result<Head, String> {
    Ok(hazen_williams_loss(g.get("length")?, g.get("flow")?, c, bore))
}

fn darcy(g: &Given<'_>, viscosity: Viscosity) -> Result<Head, String> {
    let (bore, roughness): (Length, Length) = (g.get("bore")?, g.get("roughness")?);
    let velocity = pipe_velocity(g.get("flow")?, bore);
    let factor = friction_factor(reynolds_number(velocity, bore, viscosity), roughness / bore);
    Ok(darcy_loss(factor, g.get("length")?, bore, velocity))
}

fn water(g: &Given<'_>) -> Result<Water, String> {
    Ok(Water::at(g.get("temperature")?))
}
