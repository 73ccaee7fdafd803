//! Units and products of quantities.

use super::{Entry, amount};
use sumpwright::hydraulics::friction::pipe_velocity;
use sumpwright::quantity::{
    Area, Duration, Flow, Intensity, Length, Power, Pressure, RainDepth, Slope, Velocity, Volume, Weight,
};

pub(super) const TABLE: &[Entry] = &[
    ("pressure_of_head", |g| amount(Pressure::of_head(g.get("head")?))),
    ("head_of_pressure", |g| amount(g.get::<Pressure>("pressure")?.head())),
    ("intensity_times_area", |g| amount(g.get::<Intensity>("intensity")? * g.get::<Area>("area")?)),
    ("intensity_times_duration", |g| amount(g.get::<Intensity>("intensity")? * g.get::<Duration>("duration")?)),
    ("depth_times_area", |g| amount(g.get::<Area>("area")? * Length::from(g.get::<RainDepth>("depth")?))),
    ("flow_velocity", |g| amount(pipe_velocity(g.get::<Flow>("flow")?, g.get::<Length>("bore")?))),
    ("velocity_times_bore", |g| amount(g.get::<Velocity>("velocity")? * g.get::<Length>("bore")?.circle())),
    ("fall", |g| amount(g.get::<Slope>("slope")? * g.get::<Length>("length")?)),
    ("read_flow", |g| amount(g.get::<Flow>("text")?)),
    ("read_pressure", |g| amount(g.get::<Pressure>("text")?)),
    ("read_power", |g| amount(g.get::<Power>("text")?)),
    ("read_volume", |g| amount(g.get::<Volume>("text")?)),
    ("read_area", |g| amount(g.get::<Area>("text")?)),
    ("read_weight", |g| amount(g.get::<Weight>("text")?)),
    ("read_slope", |g| amount(g.get::<Slope>("text")?)),
];
