//! The yard in each storm, as wire types.

use super::Quantity;
use serde::Serialize;

/// What the yard looks like in each storm, or why that was not followed.
#[derive(Clone, Debug, Serialize)]
pub struct YardInStorms {
    /// Why not.
    pub not_followed: Option<String>,
    /// The storms.
    pub followed: Option<Followed>,
}

/// Every storm, and the design storm in full.
#[derive(Clone, Debug, Serialize)]
pub struct Followed {
    /// Each return period.
    pub storms: Vec<YardInStorm>,
    /// Which of them the design is made for, counted from 0.
    pub design: usize,
    /// The goal against it, where one is given.
    pub goal: Option<GoalOut>,
    /// The design storm without power.
    pub power_cut: PowerCutOut,
    /// The design storm with a second pump, or with one of two dead.
    pub other_pumps: Option<OtherPumpsOut>,
    /// The design storm if the soil takes less than is counted with, the deepest water first; another where water stands
    /// longer. Empty where nothing known of the soil says so.
    pub soil_takes_less: Vec<SoilTakesLessOut>,
    /// The design storm with the stone of the French drains full of water or silt, where water then stands deeper or
    /// longer.
    pub stone_full: Option<StormRun>,
    /// The surfaces that let water in, of which nothing is entered that could say how much the soil takes.
    pub soil_not_known: Vec<String>,
}

/// The design storm with less taken by the soil.
#[derive(Clone, Debug, Serialize)]
pub struct SoilTakesLessOut {
    /// The surfaces of which more runs off.
    pub surfaces: Vec<ShedsMoreOut>,
    /// The storm then.
    pub storm: StormRun,
    /// Whether the goal is then met; none where there is none.
    pub goal_met: Option<bool>,
}

/// A surface of which more runs off than is counted with.
#[derive(Clone, Debug, Serialize)]
pub struct ShedsMoreOut {
    /// Its name.
    pub name: String,
    /// What says so, as the site file's `coefficient_from` has it.
    pub by: &'static str,
    /// The share of all the storm's rain that then runs off.
    pub share: f64,
    /// The share that is counted with.
    pub share_counted: f64,
}

/// The storms of one return period.
#[derive(Clone, Debug, Serialize)]
pub struct YardInStorm {
    /// The return period.
    pub return_period: Option<Quantity>,
    /// The nested storm, which the verdict goes by.
    pub nested: StormRun,
    /// The steady rain with the deepest water.
    pub worst_steady_rain_for_depth: SteadyRain,
    /// The steady rain after which water stands longest.
    pub worst_steady_rain_for_time: SteadyRain,
    /// The 24-hour storm that the town asks for.
    pub asked_for: Option<StormRun>,
}

/// A steady rain and what it does.
#[derive(Clone, Debug, Serialize)]
pub struct SteadyRain {
    /// How long it lasts.
    pub duration: Quantity,
    /// The deepest water.
    pub depth: Option<Quantity>,
    /// How long water stands.
    pub stands: Option<Quantity>,
}

/// One storm through the yard. Times count from the start of the rain.
#[derive(Clone, Debug, Serialize)]
pub struct StormRun {
    /// How its rain lies in time.
    pub shape: &'static str,
    /// How long it rains.
    pub rain_lasts: Quantity,
    /// The rain.
    pub rain: Quantity,
    /// What runs off.
    pub runoff: Quantity,
    /// The peak of all that comes.
    pub peak_inflow: Quantity,
    /// All that came.
    pub came: Quantity,
    /// What the pumps took away for good.
    pub pumped: Quantity,
    /// That as a share of what came.
    pub pumped_share: f64,
    /// What ran over the edge of the yard.
    pub ran_over: Quantity,
    /// The deepest water over a rim.
    pub deepest: Quantity,
    /// The longest unbroken time that water stands deeper than a film.
    pub stands: Quantity,
    /// Whether it still stood at the end.
    pub still_stands: bool,
    /// Starts of the pumps.
    pub starts: u64,
    /// Run time of the pumps, added up.
    pub runs: Quantity,
    /// That of the second pump.
    pub second_pump_runs: Quantity,
    /// The highest water in the basin.
    pub highest_in_basin: Quantity,
    /// When the alarm sounded.
    pub alarm_after: Option<Quantity>,
    /// Each place where water stands.
    pub places: Vec<HollowOut>,
    /// Places that must stay dry.
    pub protected: Vec<ProtectedOut>,
    /// Where groundwater rises in the storm, and what it then brings.
    pub groundwater_risen: Option<RisenOut>,
    /// How long it was followed.
    pub followed: Quantity,
    /// What the sums leave over, as a share of what came.
    pub imbalance_share: f64,
}

/// A place where water stands.
#[derive(Clone, Debug, Serialize)]
pub struct HollowOut {
    /// Its name.
    pub name: String,
    /// Whether its surface was taken for want of an entry.
    pub surface_assumed: bool,
    /// The rim that depth counts from.
    pub rim: Quantity,
    /// The water that stays under its lowest grate.
    pub stays: Quantity,
    /// The deepest water over it.
    pub deepest: Quantity,
    /// When that is.
    pub deepest_after: Quantity,
    /// The water over the rim then.
    pub volume: Quantity,
    /// The longest unbroken time deeper than a film.
    pub stands: Quantity,
    /// When it first stands.
    pub stands_from: Option<Quantity>,
    /// Whether it still stood at the end.
    pub still_stands: bool,
    /// What ran over its edge.
    pub runs_over: Quantity,
    /// Where to.
    pub runs_to: Option<String>,
}

/// A place that must stay dry.
#[derive(Clone, Debug, Serialize)]
pub struct ProtectedOut {
    /// Its name.
    pub name: String,
    /// Its level.
    pub level: Quantity,
    /// When water reached it; none where it never did.
    pub reached_after: Option<Quantity>,
}

/// The goal against the design storm.
#[derive(Clone, Debug, Serialize)]
pub struct GoalOut {
    /// Whether all of it is met.
    pub met: bool,
    /// The deepest water allowed.
    pub standing_water: Option<Quantity>,
    /// Whether that is kept to.
    pub standing_water_met: Option<bool>,
    /// The longest that water may stand.
    pub clear_within: Option<Quantity>,
    /// Whether that is kept to.
    pub clear_within_met: Option<bool>,
    /// The flow, water half-way between the floats, that would meet it.
    pub pump_flow_that_would: Option<Quantity>,
    /// More room between the on level and the lowest rim that would.
    pub room_that_would: Option<Quantity>,
    /// Whether neither would, because grates and pipes hold the water back.
    pub held_back_by_grates_and_pipes: bool,
}

/// The design storm without power.
#[derive(Clone, Debug, Serialize)]
pub struct PowerCutOut {
    /// The moment that leaves the least time.
    pub worst_moment: Quantity,
    /// Whether water stands in this storm with power too.
    pub stands_with_power_too: bool,
    /// How long until water stands after the cut at the worst moment, where it would not stand with power.
    pub stands_after: Option<Quantity>,
    /// Places that must stay dry; times from the cut that is the worst for each.
    pub protected: Vec<ProtectedOut>,
    /// The storm with no power from its start.
    pub all_storm: StormRun,
    /// On a battery.
    pub battery: Option<BatteryOut>,
}

/// The storm on a battery.
#[derive(Clone, Debug, Serialize)]
pub struct BatteryOut {
    /// How long the pump could run without stopping.
    pub runs_without_stopping: Quantity,
    /// How long the storm asks it to run.
    pub run_time_needed: Quantity,
    /// When it is flat; none where it lasts.
    pub flat_after: Option<Quantity>,
    /// The storm with it.
    pub storm: StormRun,
}

/// The design storm with another number of pumps.
#[derive(Clone, Debug, Serialize)]
pub struct OtherPumpsOut {
    /// How many.
    pub count: u32,
    /// What they bring half-way between the floats.
    pub flow: Quantity,
    /// The storm with them.
    pub storm: StormRun,
}

/// Groundwater that rises in a storm.
#[derive(Clone, Debug, Serialize)]
pub struct RisenOut {
    /// The level that it rises to.
    pub level: Quantity,
    /// What it then brings into drains and basin, with the water in them as at the start.
    pub flow: Quantity,
}
