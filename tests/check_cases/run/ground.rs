//! Groundwater, French drains, flotation, what was measured in the ground.

use super::{Entry, amount, known};
use crate::given::{Given, quantity};
use sumpwright::basin::Plan;
use sumpwright::basin::flotation::{
    Collar, Flotation, FlotationResult, ring_volume, saturated_from_dry, submerged_weight, uplift, water_density,
    weight_in_air,
};
use sumpwright::collection::groundwater::{
    conductivity_from_drain, drainable_share_left, drawdown_left, dupuit_inflow, dupuit_inflow_with_recharge,
    equivalent_depth, hooghoudt_inflow, hooghoudt_spacing, hooghoudt_spacing_at_depth, influence_radius,
    mid_height_first_term, mid_height_left, reach_after, spacing_for_fall, time_to_mid_height,
};
use sumpwright::collection::measured::{
    inflow_from_pump_times, inflow_from_rise, inverse_auger_hole, pump_rate_from_pump_down, runoff_share,
};
use sumpwright::collection::trench::{LEAST_OPEN_AREA_PER_LENGTH, Trench, perforation_entry};
use sumpwright::quantity::{Area, Density, Flow, Length, Velocity, Volume, Weight};

pub(super) const TABLE: &[Entry] = &[
    ("dupuit_inflow", |g| {
        let (conductivity, far, near): (Velocity, _, _) = (g.get("conductivity")?, g.get("far")?, g.get("near")?);
        amount(dupuit_inflow(conductivity, far, near, g.get("reach")?, g.get("length")?))
    }),
    ("dupuit_inflow_with_recharge", |g| {
        let (conductivity, far, near): (Velocity, _, _) = (g.get("conductivity")?, g.get("far")?, g.get("near")?);
        let (reach, recharge) = (g.get("reach")?, g.get("recharge")?);
        amount(dupuit_inflow_with_recharge(conductivity, far, near, reach, recharge, g.get("length")?))
    }),
    ("inflow_within_influence", |g| {
        let (conductivity, far, near): (Velocity, Length, Length) =
            (g.get("conductivity")?, g.get("far")?, g.get("near")?);
        let reach = influence_radius(far - near, conductivity);
        amount(dupuit_inflow(conductivity, far, near, reach, g.get("length")?) * g.number("sides")?)
    }),
    ("influence_radius", |g| amount(influence_radius(g.get("drawdown")?, g.get("conductivity")?))),
    ("hooghoudt_inflow", |g| {
        let (conductivity, depth): (Velocity, _) = (g.get("conductivity")?, g.get("equivalent_depth")?);
        amount(hooghoudt_inflow(conductivity, depth, g.get("head")?, g.get("spacing")?, g.get("length")?))
    }),
    ("conductivity_from_drain", |g| {
        let (flow, depth): (Flow, _) = (g.get("flow")?, g.get("equivalent_depth")?);
        amount(conductivity_from_drain(flow, depth, g.get("head")?, g.get("spacing")?, g.get("length")?))
    }),
    ("hooghoudt_spacing_at_depth", |g| {
        let (above, below): (Velocity, _) = (g.get("above")?, g.get("below")?);
        amount(hooghoudt_spacing_at_depth(above, below, g.get("equivalent_depth")?, g.get("head")?, g.get("recharge")?))
    }),
    ("hooghoudt_spacing", |g| {
        let (above, below) = (g.get("above")?, g.get("below")?);
        let (radius, head, recharge) = (g.get("radius")?, g.get("head")?, g.get("recharge")?);
        known(hooghoudt_spacing(above, below, floor(g)?, radius, head, recharge))
    }),
    ("equivalent_depth", |g| amount(equivalent_depth(g.get("spacing")?, floor(g)?, g.get("radius")?))),
    ("reach_after", |g| {
        let (conductivity, depth, porosity) = aquifer(g)?;
        amount(reach_after(conductivity, depth, porosity, g.get("after")?))
    }),
    ("drawdown_left", |g| {
        let (conductivity, depth, porosity) = aquifer(g)?;
        amount(drawdown_left(g.get("distance")?, conductivity, depth, porosity, g.get("after")?))
    }),
    ("drainable_share_left", |g| amount(drainable_share_left(g.number("scaled_time")?))),
    ("mid_height_left", |g| amount(mid_height_left(g.number("scaled_time")?))),
    ("mid_height_first_term", |g| amount(mid_height_first_term(g.number("factor")?, g.number("scaled_time")?))),
    ("time_to_mid_height", |g| {
        let (conductivity, depth, porosity) = aquifer(g)?;
        known(time_to_mid_height(g.number("share")?, conductivity, depth, porosity, g.get("spacing")?))
    }),
    ("spacing_for_fall", |g| {
        let (conductivity, depth, from) = (g.get("conductivity")?, g.get("equivalent_depth")?, g.get("from")?);
        known(spacing_for_fall(conductivity, depth, g.number("porosity")?, from, g.get("to")?, g.get("within")?))
    }),
    ("trench_in_pipe", |g| amount(trench(g)?.in_pipe())),
    ("trench_in_stone", |g| amount(trench(g)?.in_stone())),
    ("trench_holds", |g| amount(trench(g)?.holds())),
    ("fill_time_with_trench", |g| {
        let basin = Plan::Round(g.get("diameter")?).area() * g.get::<Length>("height")?;
        amount((basin + trench(g)?.holds()) / g.get::<Flow>("inflow")?)
    }),
    ("trench_holds_per_depth", |g| amount(trench(g)?.holds_per_depth())),
    ("least_open_area", |g| amount(LEAST_OPEN_AREA_PER_LENGTH * g.get::<Length>("length")?)),
    ("perforation_entry", |g| {
        let open: Length = g.maybe("open_area_per_length").map_or(Ok(LEAST_OPEN_AREA_PER_LENGTH), quantity)?;
        amount(perforation_entry(open, g.get("length")?, g.get("head")?, g.number("open_share")?))
    }),
    ("inflow_from_rise", |g| amount(inflow_from_rise(pit(g)?, g.get("rise")?, g.get("over")?))),
    ("pump_rate_from_pump_down", |g| {
        amount(pump_rate_from_pump_down(pit(g)?, g.get("drop")?, g.get("over")?, g.get("inflow")?))
    }),
    ("inflow_from_pump_times", |g| amount(inflow_from_pump_times(g.get::<Volume>("between_floats")?, g.get("rest")?))),
    ("inverse_auger_hole", |g| {
        let (radius, start): (Length, Length) = (g.get("radius")?, g.get("start_depth")?);
        amount(inverse_auger_hole(radius, start, g.get("end_depth")?, g.get("over")?))
    }),
    ("runoff_share", |g| amount(runoff_share(g.get::<Volume>("puddle")?, g.get("rain")?, g.get("area")?))),
    ("uplift", |g| amount(uplift(g.get::<Length>("outside_diameter")?.circle(), g.get("water")?))),
    ("submerged_weight", |g| amount(submerged_weight(g.get::<Volume>("volume")?, g.get("density")?))),
    ("submerged_soil", |g| {
        let saturated = saturated_from_dry(g.get::<Density>("dry")?, g.number("grains")?);
        amount(Density::from_kgm3(saturated.kgm3() - water_density().kgm3()))
    }),
    ("buried_cylinder_weight", |g| {
        let (outside, inside): (Length, Length) = (g.get("outside_diameter")?, g.get("inside_diameter")?);
        let (height, base, top): (Length, Length, Length) = (g.get("height")?, g.get("base")?, g.get("top")?);
        let walls = ring_volume(inside, (outside - inside) / 2.0, height - base - top);
        let slabs = outside.circle() * (base + top) - g.get::<Length>("opening")?.circle() * top;
        amount(weight_in_air(walls + slabs, g.get("concrete")?) + g.get::<Weight>("cover")?)
    }),
    ("flotation_safety", |g| amount(flotation(g)?.0.safety)),
    ("flotation_soil", |g| amount(flotation(g)?.0.soil)),
    ("flotation_missing", |g| amount(flotation(g)?.0.missing)),
    ("flotation_concrete", |g| amount(flotation(g)?.0.concrete)),
    ("flotation_concrete_in_soil", |g| amount(flotation(g)?.0.concrete_in_soil)),
    ("flotation_lifts_at", |g| known(flotation(g)?.0.lifts_at)),
    ("flotation_ring", |g| {
        let (_, basin, wanted) = flotation(g)?;
        known(basin.collar_for(wanted, g.get("thickness")?))
    }),
];

/// The depth of the tight layer, infinite where none is given.
fn floor(g: &Given<'_>) -> Result<Length, String> {
    g.maybe("depth_to_floor").map_or(Ok(Length::from_m(f64::INFINITY)), quantity)
}

fn aquifer(g: &Given<'_>) -> Result<(Velocity, Length, f64), String> {
    Ok((g.get("conductivity")?, g.get("saturated_depth")?, g.number("porosity")?))
}

fn pit(g: &Given<'_>) -> Result<Area, String> {
    Ok(g.get::<Length>("diameter")?.circle())
}

fn trench(g: &Given<'_>) -> Result<Trench, String> {
    Ok(Trench {
        length: g.get("length")?,
        width: g.get("width")?,
        stone_depth: g.get("stone_depth")?,
        porosity: g.number("porosity")?,
        pipe_bore: g.get("pipe_bore")?,
        pipe_outside: g.get("pipe_outside")?,
    })
}

/// A basin in water up to the ground. Its outside area may be given by itself.
fn flotation(g: &Given<'_>) -> Result<(FlotationResult, Flotation, f64), String> {
    let outside: Area = match g.maybe("outside") {
        Some(area) => quantity(area)?,
        None => g.get::<Length>("outside_diameter")?.circle(),
    };
    let depth: Length = g.get("depth")?;
    let concrete: Density = g.get("concrete")?;
    let collar = |volume| Collar { volume, ring: None, density: concrete, weight_in_air: None };
    let basin = Flotation {
        outside,
        outside_diameter: outside.diameter(),
        depth,
        water: depth,
        basin_weight: g.get("basin_weight")?,
        flange: g.maybe("flange").map(quantity).transpose()?,
        collar: g.maybe("collar").map(quantity).transpose()?.map(collar),
        soil_saturated: g.get("soil")?,
        concrete,
    };
    let wanted = g.number("wanted")?;
    Ok((basin.judge(wanted), basin, wanted))
}
