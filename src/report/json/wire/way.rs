//! The way in and off, the ground, flotation, as wire types.

use super::Quantity;
use serde::Serialize;

/// The way of the water to the basin at the peak of the design storm.
#[derive(Clone, Debug, Serialize)]
pub struct WayInOut {
    /// Area times runoff coefficient that reaches the basin.
    pub area_times_coefficient: Quantity,
    /// The grates.
    pub grates: Vec<GrateOut>,
    /// The gravity drains.
    pub drains: Vec<DrainOut>,
    /// The French drains among them.
    pub french_drains: Vec<FrenchOut>,
    /// What soaks away from each low spot that stands full.
    pub soaks_away: Vec<SoaksOut>,
}

/// A grate.
#[derive(Clone, Debug, Serialize)]
pub struct GrateOut {
    /// Its name.
    pub name: String,
    /// The low spot it stands in.
    pub low_spot: Option<String>,
    /// Its top.
    pub rim: Quantity,
    /// What comes to it over the ground.
    pub flow: Quantity,
    /// Its open area.
    pub open_area: Option<Quantity>,
    /// Its edge.
    pub perimeter: Option<Quantity>,
    /// The share of both that is blocked.
    pub clogged: Option<f64>,
    /// Water over it at that flow.
    pub depth: Option<Quantity>,
    /// How the water goes through it.
    pub regime: Option<&'static str>,
    /// What the goal allows.
    pub depth_allowed: Option<Quantity>,
    /// What it takes at that depth.
    pub takes: Option<Quantity>,
    /// A usual size that would do where it is too small.
    pub larger: Option<&'static str>,
    /// A usual size that would do where it is larger than it need be.
    pub smaller: Option<&'static str>,
    /// From its rim down to its outlet.
    pub to_outlet: Option<Quantity>,
    /// Below that, for silt.
    pub silt_trap: Quantity,
}

/// A gravity drain.
#[derive(Clone, Debug, Serialize)]
pub struct DrainOut {
    /// Its name.
    pub name: String,
    /// Where it leads.
    pub to: String,
    /// Whether it is a French drain.
    pub french: bool,
    /// Kind of pipe.
    pub material: Option<String>,
    /// Size of pipe.
    pub size: Option<String>,
    /// Length.
    pub length: Quantity,
    /// Slope.
    pub slope: Option<Quantity>,
    /// Invert of the upper end.
    pub up_invert: Option<Quantity>,
    /// Invert of the lower end.
    pub down_invert: Option<Quantity>,
    /// Ground over the upper end of the pipe.
    pub up_cover: Option<Quantity>,
    /// Ground over the lower end of the pipe.
    pub down_cover: Option<Quantity>,
    /// Area times runoff coefficient that drains to it.
    pub area_times_coefficient: Quantity,
    /// What reaches it at the peak.
    pub flow: Quantity,
    /// The steady part of it.
    pub steady: Quantity,
    /// What it carries just full.
    pub capacity: Option<Quantity>,
    /// Velocity just full.
    pub full_velocity: Option<Quantity>,
    /// Depth at the peak.
    pub depth: Option<Quantity>,
    /// Velocity at the peak.
    pub velocity: Option<Quantity>,
    /// The grade line at its lower end.
    pub grade_lower: Option<Quantity>,
    /// The grade line at its upper end.
    pub grade_upper: Option<Quantity>,
    /// The water in the box at its head.
    pub pool: Option<Quantity>,
    /// How much of it runs full.
    pub full_length: Option<Quantity>,
    /// The grate at its head.
    pub grate_above: Option<String>,
    /// The most that gets through before water stands at that grate.
    pub most: Option<Quantity>,
    /// How much of its length has water in it when the pump starts.
    pub standing_length: Option<Quantity>,
    /// How much water that is.
    pub standing_volume: Option<Quantity>,
    /// Whether it is too small.
    pub too_small: bool,
    /// The size that would do.
    pub next_size: Option<String>,
}

/// A French drain.
#[derive(Clone, Debug, Serialize)]
pub struct FrenchOut {
    /// Its name.
    pub name: String,
    /// `sod`, `stone`, or nothing where it is not known.
    pub cover: Option<&'static str>,
    /// What stone and pipe hold.
    pub holds: Option<Quantity>,
    /// What of it is free in a wet season.
    pub room: Option<Quantity>,
    /// Groundwater that the design counts.
    pub counted: Quantity,
    /// Groundwater by calculation.
    pub seep: Option<SeepOut>,
    /// What its pipe carries.
    pub carries: Option<Quantity>,
    /// What its holes let in.
    pub lets_in: Quantity,
    /// Surfaces whose runoff is led to it.
    pub runoff_from: Vec<String>,
}

/// A value with its range.
#[derive(Clone, Debug, Serialize)]
pub struct RangedOut {
    /// The one taken.
    pub taken: Quantity,
    /// Its likely least.
    pub low: Quantity,
    /// Its likely most.
    pub high: Quantity,
}

/// Groundwater into a French drain.
#[derive(Clone, Debug, Serialize)]
pub struct SeepOut {
    /// The flow.
    pub flow: RangedOut,
    /// How much of the drain lies in groundwater; all of it where none does.
    pub wet_length: Quantity,
    /// Water held in the drain.
    pub held: Quantity,
    /// Groundwater above it.
    pub head: Quantity,
    /// How far out the table is lowered. Its `low` belongs to the least flow and is the longest.
    pub reach: RangedOut,
    /// Depth to the tight layer.
    pub tight_layer_below: RangedOut,
    /// The depth that stands for it.
    pub equivalent_depth: Quantity,
    /// What the flow falls to with time without rain.
    pub falling: Vec<FallingOut>,
    /// How long until the table mid-way between two such drains, twice the reach apart, has fallen by half, where the
    /// reach was entered.
    pub half_down_after: Option<Quantity>,
    /// A distance from the drain.
    pub felt_at: Quantity,
    /// How far the table is lowered there after a day without rain.
    pub after_a_day: Quantity,
    /// The same after a week.
    pub after_a_week: Quantity,
}

/// A flow some time after the rain.
#[derive(Clone, Debug, Serialize)]
pub struct FallingOut {
    /// The time.
    pub after: Quantity,
    /// The flow.
    pub flow: Quantity,
}

/// What soaks away from a low spot.
#[derive(Clone, Debug, Serialize)]
pub struct SoaksOut {
    /// The low spot.
    pub low_spot: String,
    /// The water surface.
    pub surface: Quantity,
    /// The flow.
    pub flow: Quantity,
}

/// Groundwater.
#[derive(Clone, Debug, Serialize)]
pub struct GroundwaterOut {
    /// Its seasonal high.
    pub seasonal_high: Option<Quantity>,
    /// Conductivity of the ground.
    pub conductivity: Option<RangedOut>,
    /// Where that comes from.
    pub conductivity_basis: Option<String>,
    /// The inflow by calculation.
    pub calculated: Option<RangedOut>,
    /// The inflow by measurement.
    pub measured: Option<Quantity>,
    /// The inflow counted.
    pub counted: Quantity,
    /// `entered`, `measured` or `calculated`.
    pub basis: &'static str,
    /// The pump for it alone: hours in a day.
    pub runs_a_day: Option<Quantity>,
    /// Starts in a day.
    pub starts_a_day: Option<f64>,
    /// Electricity in a day, kWh.
    pub kwh_a_day: Option<f64>,
}

/// Flotation of the empty basin.
#[derive(Clone, Debug, Serialize)]
pub struct FlotationOut {
    /// Whether enough was entered to judge it.
    pub judged: bool,
    /// Whether holes in its wall let the water in, so that it does not float.
    pub lets_water_in: bool,
    /// Water outside.
    pub water: Quantity,
    /// What lifts.
    pub uplift: Quantity,
    /// The basin in air.
    pub basin: Quantity,
    /// Concrete under water.
    pub collar: Quantity,
    /// Soil under water.
    pub soil: Quantity,
    /// What holds over what lifts; nothing where nothing lifts.
    pub safety: Option<f64>,
    /// The factor wanted.
    pub wanted: f64,
    /// Weight missing.
    pub missing: Quantity,
    /// Concrete missing.
    pub concrete: Option<Quantity>,
    /// The water level at which it just lifts.
    pub lifts_at: Option<Quantity>,
}

/// Beyond the outlet.
#[derive(Clone, Debug, Serialize)]
pub struct WayOffOut {
    /// The most pumped.
    pub flow: Quantity,
    /// Water over the outlet's grate.
    pub over_grate: Option<Quantity>,
    /// Depth in the swale.
    pub swale_depth: Option<Quantity>,
    /// Velocity in the swale.
    pub swale_velocity: Option<Quantity>,
    /// The velocity that the swale's cover bears, where one is published.
    pub permissible_velocity: Option<Quantity>,
    /// What of the swale stays free.
    pub freeboard: Option<Quantity>,
    /// The water at the outlet.
    pub water: Quantity,
    /// The highest ground on the way back.
    pub ground_between: Option<Quantity>,
    /// Whether the levels let it run back; nothing where that is not known.
    pub can_return: Option<bool>,
}

/// A way by gravity in place of the pump.
#[derive(Clone, Debug, Serialize)]
pub struct GravityWayOut {
    /// Where it begins.
    pub from: Quantity,
    /// How far it falls.
    pub fall: Quantity,
    /// How long it is.
    pub length: Quantity,
    /// Its slope.
    pub slope: Quantity,
    /// The size that would do.
    pub size: Option<String>,
    /// What that carries.
    pub capacity: Option<Quantity>,
    /// The deepest that it would lie.
    pub deepest: Option<Quantity>,
}

/// A measurement.
#[derive(Clone, Debug, Serialize)]
pub struct MeasuredOut {
    /// Its name.
    pub id: &'static str,
    /// What it is of.
    pub what: &'static str,
    /// As measured.
    pub measured: Quantity,
    /// As worked out.
    pub calculated: Option<Quantity>,
    /// The one over the other.
    pub ratio: Option<f64>,
}

/// Runoff by curve number.
#[derive(Clone, Debug, Serialize)]
pub struct CurveNumberOut {
    /// The curve number.
    pub curve_number: f64,
    /// Where it comes from.
    pub source: String,
    /// The rain.
    pub rain: Quantity,
    /// Its duration.
    pub duration: Quantity,
    /// What runs off.
    pub runoff: Quantity,
    /// What runs off by infiltration.
    pub runoff_by_infiltration: Option<Quantity>,
}

/// The way of the water from a grate down to the basin.
#[derive(Clone, Debug, Serialize)]
pub struct FromGrateOut {
    /// The grate.
    pub name: String,
    /// From its rim down to its outlet.
    pub to_outlet: Quantity,
    /// Depth of its silt trap below that.
    pub silt_trap: Quantity,
    /// How far the pipes fall from there.
    pub fall: Quantity,
    /// The level at which the water arrives.
    pub arrives: Quantity,
}
