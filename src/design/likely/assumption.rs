//! What a design rests on: each thing that somebody measured, looked up or took, and the way in which it is worse.

use crate::catalog;
use crate::site::Site;

/// Something that a design rests on and that may be otherwise than entered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Assumption {
    /// The depth of rain, of all durations.
    Rain,
    /// The areas of all surfaces.
    CatchmentArea,
    /// The runoff coefficients of the surfaces that go by one.
    RunoffCoefficient,
    /// The curve numbers of the surfaces that go by one.
    CurveNumber,
    /// What the soil takes, where a surface goes by that.
    Infiltration,
    /// What else runs in.
    Inflow,
    /// How much groundwater comes.
    GroundwaterInflow,
    /// How high groundwater stands.
    GroundwaterLevel,
    /// What leaves leave open of the grates.
    GrateArea,
    /// The water surfaces of the low spots.
    LowSpotArea,
    /// The Hazen-Williams C of the discharge line.
    PipeC,
    /// Its inside diameters.
    Bore,
    /// The losses of its fittings, valve and outlet.
    Fittings,
    /// The length of its runs.
    RunLength,
    /// How high the outlet lies over the basin.
    Lift,
    /// The share of its head that the pump has lost.
    PumpWear,
    /// The height at which the pump starts, with what is set above it.
    FloatOn,
    /// The height at which it stops.
    FloatOff,
    /// The height between the two, the off level as it is.
    BetweenFloats,
    /// How wide the basin is.
    BasinWidth,
}

/// What a change of an assumption is counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Counted {
    /// As a share of the value entered.
    OfValue,
    /// As a length, m.
    Length,
    /// As a share of the pump's head.
    OfHead,
}

/// The change of an assumption that is taken as likely, with where that comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    /// The lower end of the change.
    pub low: f64,
    /// The upper end.
    pub high: f64,
    /// Where the range comes from.
    pub source: &'static str,
}

const PRACTICE: &str = "common practice, no source";
/// From memory: the bounds that the tables print of depths for 2 to 25 years lie mostly 15 to 30 % off.
const RAIN_BOUNDS: &str = "about the 90 % bounds that rain tables print, from memory";
/// From memory: published tables of friction take the thinnest wall that the standard allows.
const WALL: &str = "from the wall of an average pipe to the thinnest allowed, which tables take; from memory";

impl Assumption {
    /// All of them.
    pub const ALL: [Self; 20] = [
        Self::Rain,
        Self::CatchmentArea,
        Self::RunoffCoefficient,
        Self::CurveNumber,
        Self::Infiltration,
        Self::Inflow,
        Self::GroundwaterInflow,
        Self::GroundwaterLevel,
        Self::GrateArea,
        Self::LowSpotArea,
        Self::PipeC,
        Self::Bore,
        Self::Fittings,
        Self::RunLength,
        Self::Lift,
        Self::PumpWear,
        Self::FloatOn,
        Self::FloatOff,
        Self::BetweenFloats,
        Self::BasinWidth,
    ];
    /// Whether it changes no more than pump and discharge line: what rain and groundwater bring is then as it was.
    pub(crate) fn of_line(self) -> bool {
        use Assumption::{Bore, Fittings, Lift, PipeC, PumpWear, RunLength};
        matches!(self, PipeC | Bore | Fittings | RunLength | Lift | PumpWear)
    }
    /// Its name in data, and its key under `[margins]` in the site file.
    pub fn id(self) -> &'static str {
        match self {
            Self::Rain => "rain",
            Self::CatchmentArea => "catchment_area",
            Self::RunoffCoefficient => "runoff_coefficient",
            Self::CurveNumber => "curve_number",
            Self::Infiltration => "infiltration",
            Self::Inflow => "inflow",
            Self::GroundwaterInflow => "groundwater_inflow",
            Self::GroundwaterLevel => "groundwater_level",
            Self::GrateArea => "grate_area",
            Self::LowSpotArea => "low_spot_area",
            Self::PipeC => "pipe_c",
            Self::Bore => "bore",
            Self::Fittings => "fittings",
            Self::RunLength => "run_length",
            Self::Lift => "lift",
            Self::PumpWear => "pump_wear",
            Self::FloatOn => "float_on",
            Self::FloatOff => "float_off",
            Self::BetweenFloats => "between_floats",
            Self::BasinWidth => "basin_width",
        }
    }
    /// What it is, in a few words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Rain => "rain",
            Self::CatchmentArea => "catchment area",
            Self::RunoffCoefficient => "runoff coefficient",
            Self::CurveNumber => "curve number",
            Self::Infiltration => "infiltration",
            Self::Inflow => "other inflow",
            Self::GroundwaterInflow => "groundwater inflow",
            Self::GroundwaterLevel => "groundwater level",
            Self::GrateArea => "grate, clogged",
            Self::LowSpotArea => "low spot's area",
            Self::PipeC => "pipe's C",
            Self::Bore => "pipe's bore",
            Self::Fittings => "losses in fittings",
            Self::RunLength => "length of run",
            Self::Lift => "lift",
            Self::PumpWear => "head the pump lost",
            Self::FloatOn => "on float",
            Self::FloatOff => "off float",
            Self::BetweenFloats => "between the floats",
            Self::BasinWidth => "basin's width",
        }
    }
    /// What a change of it is counted in.
    pub fn counted(self) -> Counted {
        match self {
            Self::GroundwaterLevel | Self::Lift => Counted::Length,
            Self::PumpWear => Counted::OfHead,
            _ => Counted::OfValue,
        }
    }
    /// What its slack is a share of.
    pub fn slack_of(self) -> &'static str {
        match self {
            Self::GrateArea => "of the openings now free",
            Self::GroundwaterLevel => "of the way up to the ground",
            Self::PumpWear => "of the pump's head",
            _ => "of the value now",
        }
    }
    /// 1 where more of it is worse, -1 where less of it is.
    pub fn worse(self) -> f64 {
        match self {
            Self::Infiltration
            | Self::GrateArea
            | Self::LowSpotArea
            | Self::PipeC
            | Self::Bore
            | Self::FloatOff
            | Self::BetweenFloats
            | Self::BasinWidth => -1.0,
            _ => 1.0,
        }
    }
    /// The range that is sampled: as entered under `[margins]`, or one that is taken.
    pub fn spread(self, site: &Site) -> Spread {
        let entered = site.margins.iter().find(|entered| entered.key == self.id());
        if let Some(entered) = entered {
            return Spread { low: entered.low, high: entered.high, source: "entered in [margins]" };
        }
        let limits = catalog::default_limits();
        let (low, high, source) = match self {
            Self::Rain => (-0.2, 0.2, RAIN_BOUNDS),
            Self::CatchmentArea | Self::LowSpotArea => (-0.1, 0.1, PRACTICE),
            Self::RunoffCoefficient | Self::Inflow => (-0.2, 0.2, PRACTICE),
            Self::CurveNumber | Self::BetweenFloats => (-0.05, 0.05, PRACTICE),
            Self::Infiltration | Self::GroundwaterInflow => (-0.5, 0.5, PRACTICE),
            Self::GroundwaterLevel => (-0.3048, 0.3048, PRACTICE),
            Self::GrateArea => (-0.5, 0.25, PRACTICE),
            Self::PipeC => (-site.conditions.aged_friction.value, 0.0, "from aged, as [conditions] has it, to new"),
            Self::Bore => (-0.02, 0.0, WALL),
            Self::Fittings => (-0.2, 0.5, PRACTICE),
            Self::RunLength => (-0.02, 0.1, PRACTICE),
            Self::Lift => (-0.1524, 0.1524, PRACTICE),
            Self::PumpWear => {
                let source = if (site.pumping.wear - limits.wear.value).abs() > 0.0 {
                    "up to the wear entered in [pumping]"
                } else {
                    PRACTICE
                };
                (0.0, site.pumping.wear, source)
            }
            Self::FloatOn | Self::FloatOff => (-0.08, 0.08, PRACTICE),
            Self::BasinWidth => (-0.01, 0.01, PRACTICE),
        };
        Spread { low, high, source }
    }
}
