//! Grates, gravity pipes, open channels.

use super::{Entry, amount, known};
use crate::given::Given;
use sumpwright::collection::gravity_pipe::{
    GREATEST_SHARE, GREATEST_SHARE_DEPTH, bore_for, critical_depth, flow_area, friction_slope, full_flow, normal_depth,
    part_full_flow,
};
use sumpwright::collection::{Channel, Grate, openings_flow, weir_flow};
use sumpwright::quantity::{Flow, Length, Slope};

pub(super) const TABLE: &[Entry] = &[
    ("grate_weir", |g| amount(weir_flow::<f64>(g.get("perimeter")?, g.get("depth")?))),
    ("grate_orifice", |g| amount(openings_flow::<f64>(g.get("open_area")?, g.get("depth")?))),
    ("grate_flow", |g| amount(grate(g)?.flow(g.get("depth")?))),
    ("grate_depth", |g| known(grate(g)?.depth_for(g.get("flow")?))),
    ("grate_meeting_depth", |g| known(grate(g)?.meeting_depth())),
    ("gravity_pipe_full_flow", |g| amount(full(g)?)),
    ("gravity_pipe_full_velocity", |g| {
        let bore: Length = g.get("bore")?;
        amount(full(g)? / bore.circle())
    }),
    ("gravity_pipe_greatest_flow", |g| amount(full(g)? * GREATEST_SHARE)),
    ("gravity_pipe_roughness", |g| {
        // the full flow goes down with n in proportion
        let smooth: Flow = full_flow(1.0, g.get("bore")?, g.get("slope")?);
        amount(smooth / g.get::<Flow>("flow")?)
    }),
    ("gravity_pipe_friction_slope", |g| {
        amount(friction_slope(g.number("roughness")?, g.get::<Length>("bore")?, g.get("flow")?))
    }),
    ("gravity_pipe_bore", |g| {
        // a pipe filled to that depth only must be larger by what it would carry full
        let flow: Flow = g.get("flow")?;
        let share = g.maybe("depth_over_bore").map_or(Ok(1.0), |_| share(g))?;
        amount(bore_for(g.number("roughness")?, g.get("slope")?, flow / share))
    }),
    ("gravity_pipe_flow", |g| {
        amount(part_full_flow(g.number("roughness")?, g.get("bore")?, g.get("slope")?, g.get("depth")?))
    }),
    ("gravity_pipe_normal_depth", |g| known(normal(g)?)),
    ("gravity_pipe_normal_velocity", |g| {
        let depth = normal(g)?.ok_or_else(|| "no uniform depth".to_owned())?;
        amount(g.get::<Flow>("flow")? / flow_area(g.get("bore")?, depth))
    }),
    ("gravity_pipe_critical_depth", |g| amount(critical_depth(g.get("bore")?, g.get("flow")?))),
    ("gravity_pipe_area", |g| amount(flow_area(g.get("bore")?, g.get("depth")?))),
    ("part_full_area_share", |g| amount(area_share(g)?)),
    ("part_full_flow_share", |g| amount(share(g)?)),
    ("part_full_velocity_share", |g| amount(share(g)? / area_share(g)?)),
    ("greatest_share", |_| amount(GREATEST_SHARE)),
    ("depth_of_greatest_share", |_| amount(GREATEST_SHARE_DEPTH)),
    ("depth_of_full_flow", |_| {
        known(normal_depth(0.01, ONE, Slope::from_ratio(0.01), unit_flow()).map(|depth| depth / ONE))
    }),
    ("channel_flow", |g| amount(channel(g)?.flow(g.get("depth")?))),
    ("channel_normal_depth", |g| known(channel(g)?.normal_depth(g.get("flow")?))),
    ("channel_velocity", |g| known(channel(g)?.velocity(g.get("flow")?))),
    ("channel_critical_depth", |g| known(section(g)?.critical_depth(g.get("flow")?))),
    ("channel_critical_flow", |g| amount(section(g)?.critical_flow(g.get("depth")?))),
    ("channel_specific_energy", |g| amount(section(g)?.specific_energy(g.get("flow")?, g.get("depth")?))),
];

/// A bore for ratios that do not depend on it.
const ONE: Length = Length::from_cm(100.0);

fn unit_flow() -> Flow {
    full_flow(0.01, ONE, Slope::from_ratio(0.01))
}

fn grate(g: &Given<'_>) -> Result<Grate, String> {
    Ok(Grate { perimeter: g.get("perimeter")?, open_area: g.get("open_area")?, clogged: g.number("clogged")? })
}

fn full(g: &Given<'_>) -> Result<Flow, String> {
    Ok(full_flow(g.number("roughness")?, g.get("bore")?, g.get("slope")?))
}

fn normal(g: &Given<'_>) -> Result<Option<Length>, String> {
    Ok(normal_depth(g.number("roughness")?, g.get("bore")?, g.get("slope")?, g.get("flow")?))
}

fn share(g: &Given<'_>) -> Result<f64, String> {
    let depth = ONE * g.number("depth_over_bore")?;
    Ok(part_full_flow(0.01, ONE, Slope::from_ratio(0.01), depth) / unit_flow())
}

fn area_share(g: &Given<'_>) -> Result<f64, String> {
    Ok(flow_area(ONE, ONE * g.number("depth_over_bore")?) / ONE.circle())
}

fn channel(g: &Given<'_>) -> Result<Channel, String> {
    Ok(Channel { manning_n: g.number("roughness")?, slope: g.get("slope")?, ..section(g)? })
}

/// A channel of which only the section matters.
fn section(g: &Given<'_>) -> Result<Channel, String> {
    let (bottom_width, side_slope) = (g.get("bottom_width")?, g.number("side_slope")?);
    Ok(Channel { bottom_width, side_slope, manning_n: f64::NAN, slope: Slope::from_ratio(f64::NAN) })
}
