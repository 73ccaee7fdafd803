//! The site as the design takes it: what was typed, checked, with what was left out looked up or chosen.

mod crew;
mod ground;
mod margins;
mod options;
mod takeoff;
mod town;
mod yard;

pub use crew::{Crew, MeasuredStartUp, Setup};
pub use ground::{Ballast, Ground, Groundwater, Measured, Puddle, PumpTimes, Rise, Soil, TestHole};
pub use margins::MarginRange;
pub use options::{Prices, ToChooseFrom};
pub use takeoff::{By, Good, TakeoffTerms, Task, TaxOn};
pub use town::{ENDS, LocalRules, OutletPlace};
pub use yard::{
    Catchment, CoefficientBasis, Drain, French, FrenchTrench, Inlet, LowSpot, RunoffFrom, SteadyInflow, Swale,
    TrenchCover, WayOff,
};

use crate::basin::Basin;
use crate::catalog::WireEntry;
use crate::hydraulics::DischargeLine;
use crate::hydrology::{Rain, SheetMethod};
use crate::pump_selection::Pump;
use crate::quantity::{Amount, Duration, Flow, Head, Length, Level, ReturnPeriod, Temperature, UnitSystem, Velocity};

/// What the basin is called by what drains to it.
pub const BASIN: &str = "basin";

/// A yard and its pumped drainage.
#[derive(Clone, Debug)]
pub struct Site {
    /// What the report is headed.
    pub title: String,
    /// The units the report prints in.
    pub units: UnitSystem,
    /// Whose work it is.
    pub describes: Describes,
    /// What the owner wants.
    pub goal: Goal,
    /// The rain.
    pub rain: SiteRain,
    /// The soil, where it is known.
    pub soil: Option<Soil>,
    /// Groundwater.
    pub groundwater: Groundwater,
    /// What the owner measured.
    pub measured: Measured,
    /// The surfaces that shed water to the basin; perhaps none.
    pub catchments: Vec<Catchment>,
    /// Steady inflows: a house pump, a spring.
    pub inflows: Vec<SteadyInflow>,
    /// Where water stands.
    pub low_spots: Vec<LowSpot>,
    /// Grates.
    pub inlets: Vec<Inlet>,
    /// Gravity pipes.
    pub drains: Vec<Drain>,
    /// The basin.
    pub basin: Basin,
    /// What holds it down when it is empty.
    pub ballast: Ballast,
    /// The water's temperature.
    pub water_temperature: Temperature,
    /// How pumps are used.
    pub pumping: Pumping,
    /// Pumps to judge; never empty.
    pub pumps: Vec<Pump>,
    /// From the pump to the outlet.
    pub discharge: DischargeLine,
    /// The way of the water beyond the outlet.
    pub way_off: WayOff,
    /// The table of equivalent lengths that fittings are taken from; none where they go by K.
    pub equivalent_lengths: Option<String>,
    /// Frost and the plan against it, where entered.
    pub frost: Option<Frost>,
    /// The wire to the pump.
    pub supply: Supply,
    /// What the table of other conditions takes.
    pub conditions: Conditions,
    /// How high the yard lies above the sea.
    pub above_sea: Length,
    /// What the design is held to.
    pub limits: Limits,
    /// A battery for when the power is cut.
    pub battery: Option<Battery>,
    /// The places that the instrument stood at.
    pub setups: Vec<Setup>,
    /// How the crew's sheet is laid out.
    pub crew: Crew,
    /// Places that must stay dry.
    pub protected: Vec<Protected>,
    /// What may be chosen between, and what it costs.
    pub to_choose_from: ToChooseFrom,
    /// The town's rules as the user entered them.
    pub local_rules: LocalRules,
    /// Where the outlet lies, and where its water ends.
    pub outlet_place: OutletPlace,
    /// What the takeoff goes by beside prices.
    pub takeoff: TakeoffTerms,
    /// How far what was entered may be off, where the file says so.
    pub margins: Vec<MarginRange>,
    /// What was chosen or looked up because the file leaves it out.
    pub assumptions: Vec<Assumption>,
    /// Keys that were read and checked but that nothing computes yet.
    pub not_used: Vec<ReadNotUsed>,
    /// What the reader warned of: the file can be used, but somebody should look.
    pub doubts: Vec<Doubt>,
}

/// Whose work a site file describes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Describes {
    /// A design of one's own.
    #[default]
    OwnDesign,
    /// Somebody else's bid.
    Bid,
    /// A system that is there.
    ExistingSystem,
}

/// A warning of the reader.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Doubt {
    /// The line it is about; none where it is about the file as a whole.
    pub line: Option<usize>,
    /// What is doubtful.
    pub message: String,
    /// What to do.
    pub help: Option<String>,
    /// Whether it is no doubt, but a gap that was left in the file on purpose.
    pub to_be_measured: bool,
}

/// What the owner wants.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Goal {
    /// The storm to stand.
    pub return_period: Option<ReturnPeriod>,
    /// The deepest water allowed over the low spot.
    pub standing_water: Option<Length>,
    /// The longest that water may stand.
    pub clear_within: Option<Duration>,
    /// A flow that the pump must deliver at its off level, where one is asked for.
    pub flow: Option<Flow>,
}

/// The rain of the site.
#[derive(Clone, Debug, PartialEq)]
pub struct SiteRain {
    /// Rain for each return period, by increasing period; empty when no rain was entered. `None` when the file names
    /// no period (an intensity or a formula on its own).
    pub storms: Vec<(Option<ReturnPeriod>, Rain)>,
    /// Which of `storms` the design is made for.
    pub design: usize,
    /// The shortest time of concentration used.
    pub minimum_time: Duration,
    /// How sheet flow is computed.
    pub sheet_method: SheetMethod,
    /// The factor on runoff coefficients for storms rarer than the tables are made for; 1 for none.
    pub frequency_factor: f64,
    /// The published 24-hour storm that is shown beside, by its name.
    pub distribution: Option<&'static str>,
    /// Where the rain figures come from, in a few words.
    pub origin: String,
}

/// How pumps are used.
#[derive(Clone, Debug, PartialEq)]
pub struct Pumping {
    /// The pump the design is made with; none to take the best of the candidates.
    pub chosen: Option<String>,
    /// How many are installed: 1 or 2.
    pub count: u32,
    /// The pump that starts second, where it is not of the first one's kind.
    pub lag: Option<String>,
    /// The height above the floor at which the second starts.
    pub lag_on: Option<Length>,
    /// The height above the floor at which the second stops.
    pub lag_off: Option<Length>,
    /// Whether two pumps take turns.
    pub alternate: bool,
    /// The share of head that a worn pump has lost.
    pub wear: f64,
}

/// How a line is kept from freezing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FrostPlan {
    /// After each stop the line runs back into the basin.
    DrainsBack,
    /// After each stop the line runs out at its end.
    DrainsOut,
    /// It lies below the frost all the way.
    BelowFrost,
    /// When it is frozen, the pump spills at a gap near the basin.
    SpillGap,
}

impl FrostPlan {
    /// All four.
    pub const ALL: [Self; 4] = [Self::DrainsBack, Self::DrainsOut, Self::BelowFrost, Self::SpillGap];
    /// As the site file writes it.
    pub fn words(self) -> &'static str {
        match self {
            Self::DrainsBack => "drains back",
            Self::DrainsOut => "drains out",
            Self::BelowFrost => "below frost",
            Self::SpillGap => "spill gap",
        }
    }
}

/// Where the pump spills when the line beyond is frozen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// Distance along the runs.
    pub at: Length,
    /// The level at which it spills.
    pub level: Level,
}

/// The frost and what is planned against it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frost {
    /// The plan; none where only the depth was entered.
    pub plan: Option<FrostPlan>,
    /// How deep the frost goes.
    pub depth: Length,
    /// The gap of a spill gap.
    pub gap: Option<Gap>,
}

/// The wire to the pump.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Supply {
    /// One-way length.
    pub distance: Option<Length>,
    /// Its copper.
    pub wire: Option<&'static WireEntry>,
    /// Rating of the circuit, A.
    pub circuit_amps: Option<f64>,
}

/// What the table of other conditions takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Conditions {
    /// The coldest water.
    pub cold_water: Limit<Temperature>,
    /// The share of its C that the pipe loses.
    pub aged_friction: Limit<f64>,
    /// The roughness height of the aged pipe.
    pub aged_roughness: Limit<Length>,
}

/// A battery with its inverter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Battery {
    /// Its voltage.
    pub volts: f64,
    /// Its capacity.
    pub amp_hours: f64,
    /// The share of it that may be used.
    pub usable: f64,
    /// The efficiency of the inverter.
    pub inverter: f64,
}

impl Battery {
    /// What the pump gets out of it, J.
    pub fn energy_j(&self) -> f64 {
        self.volts * self.amp_hours * crate::quantity::factor::HOUR * self.usable * self.inverter
    }
}

/// A place that must stay dry.
#[derive(Clone, Debug, PartialEq)]
pub struct Protected {
    /// Its name.
    pub name: String,
    /// The level at which harm begins.
    pub level: Level,
}

/// A limit with where it comes from: the site file, or a named source.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit<Q> {
    /// The limit.
    pub value: Q,
    /// Its source in words: `entered in [limits]`, `common practice, no source`, a publication.
    pub source: String,
}

/// What the design is held to.
#[derive(Clone, Debug, PartialEq)]
pub struct Limits {
    /// Least velocity in the line, to carry grit.
    pub least_velocity: Limit<Velocity>,
    /// Greatest velocity in the line.
    pub greatest_velocity: Limit<Velocity>,
    /// Shortest run of the pump with no inflow.
    pub least_run: Limit<Duration>,
    /// Most starts in an hour where the pump's own limit is not entered.
    pub most_starts_per_hour: Limit<f64>,
    /// Largest share of the duty flow that the relief hole may leak.
    pub greatest_leak: Limit<f64>,
    /// Largest share of the head at duty that friction and fittings may take.
    pub greatest_loss_share: Limit<f64>,
    /// Shut-off head must exceed the static head by this share.
    pub shut_off_margin: Limit<f64>,
    /// Least cover over the line under lawn.
    pub least_cover: Limit<Length>,
    /// Least cover under a walk.
    pub least_cover_walk: Limit<Length>,
    /// Least cover under a drive.
    pub least_cover_drive: Limit<Length>,
    /// Deepest vacuum that the line may stand under.
    pub greatest_vacuum: Limit<Head>,
    /// Largest share of the voltage that may be lost on the wire, running.
    pub greatest_voltage_drop: Limit<f64>,
    /// The same at the start.
    pub greatest_starting_drop: Limit<f64>,
    /// Least safety against flotation.
    pub flotation_safety: Limit<f64>,
    /// Least velocity in a gravity drain that runs full.
    pub least_drain_velocity: Limit<Velocity>,
    /// Water shallower than this over a rim does not count as standing.
    pub film: Limit<Length>,
}

/// Something chosen or looked up because the file leaves it out.
#[derive(Clone, Debug, PartialEq)]
pub struct Assumption {
    /// What: "runoff coefficient of `lawn`".
    pub what: String,
    /// The value taken.
    pub value: Amount,
    /// Why that value, and from where.
    pub why: String,
}

/// A key that was read and checked but that nothing computes yet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadNotUsed {
    /// The key, dotted.
    pub key: String,
    /// Its line in the file.
    pub line: usize,
}
