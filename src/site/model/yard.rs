//! The yard: what sheds water, where it stands, and the grates and drains that lead it to the basin.

use super::Limit;
use crate::collection::{Channel, Grate, GravityPipe, Trench};
use crate::hydraulics::{Pipe, Surface};
use crate::hydrology::Reach;
use crate::quantity::{Area, Duration, Flow, Length, Level, RainDepth, Slope, Velocity};

/// How a runoff coefficient was come by.
#[derive(Clone, Debug, PartialEq)]
pub enum CoefficientBasis {
    /// Entered by the user.
    Entered,
    /// From a published table: its row in words, the range, the source.
    Table {
        /// The row.
        row: String,
        /// Lowest of the range.
        low: f64,
        /// Highest of the range.
        high: f64,
        /// The publication.
        source: String,
    },
}

/// What the share of a storm's rain that runs off a surface is taken from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RunoffFrom {
    /// The coefficient by table or as entered, with the frequency factor.
    Table,
    /// What the soil takes: an upper bound.
    Infiltration,
    /// The curve number.
    CurveNumber,
}

impl RunoffFrom {
    /// As the site file says it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Table => "table",
            Self::Infiltration => "infiltration",
            Self::CurveNumber => "curve number",
        }
    }
    /// All of them.
    pub(in crate::site) const ALL: [Self; 3] = [Self::Table, Self::Infiltration, Self::CurveNumber];
}

/// A surface that sheds water.
#[derive(Clone, Debug, PartialEq)]
pub struct Catchment {
    /// Its name.
    pub name: String,
    /// Its area, seen from above.
    pub area: Area,
    /// The surface in words, where given.
    pub surface: Option<String>,
    /// Whether rain soaks into it (lawn, bare ground).
    pub pervious: bool,
    /// Runoff coefficient for ordinary storms (2 to 10 years), before any frequency factor.
    pub coefficient: f64,
    /// Where it comes from.
    pub basis: CoefficientBasis,
    /// What the coefficient of a storm is taken from.
    pub runoff_from: RunoffFrom,
    /// Rain held in hollows before any runs off.
    pub depression_storage: RainDepth,
    /// Its curve number with where that comes from, where it is known.
    pub curve_number: Option<Limit<f64>>,
    /// Slope of the surface.
    pub slope: Option<Slope>,
    /// The way the water takes; empty when `time` is given or nothing is.
    pub path: Vec<Reach>,
    /// Time of concentration entered.
    pub time: Option<Duration>,
    /// The inlet, low spot or basin it drains to.
    pub drains_to: Option<String>,
}

/// A steady inflow.
#[derive(Clone, Debug, PartialEq)]
pub struct SteadyInflow {
    /// Its name.
    pub name: String,
    /// Its flow while it runs.
    pub flow: Flow,
    /// How long it runs and rests at a time, where it comes in pulses.
    pub pulses: Option<(Duration, Duration)>,
    /// Where it goes.
    pub drains_to: Option<String>,
}

/// A hollow where water stands.
#[derive(Clone, Debug, PartialEq)]
pub struct LowSpot {
    /// Its name.
    pub name: String,
    /// Level and water surface, rising.
    pub surface: Vec<(Level, Area)>,
    /// The level at which it runs over.
    pub spills_at: Option<Level>,
    /// How wide it runs over, where it was entered.
    pub spill_width: Option<Length>,
    /// Where the water then goes, where that was said.
    pub spills_to: Option<String>,
}

/// A catch basin with its grate.
#[derive(Clone, Debug, PartialEq)]
pub struct Inlet {
    /// Its name.
    pub name: String,
    /// The low spot it stands in.
    pub low_spot: Option<String>,
    /// Its top.
    pub rim: Level,
    /// Its grate, where its size was entered.
    pub grate: Option<Grate>,
    /// The inside plan of its box, where it was entered.
    pub plan: Option<Area>,
    /// Lowest point of its outlet pipe.
    pub outlet_invert: Option<Level>,
    /// Depth below the outlet pipe, for silt.
    pub silt_trap: Length,
    /// What lies around it, where that was said.
    pub around: Option<Surface>,
}

/// A gravity pipe.
#[derive(Clone, Debug, PartialEq)]
pub struct Drain {
    /// Its name.
    pub name: String,
    /// The inlet or drain it begins at; none for a French drain.
    pub from: Option<String>,
    /// Where it ends: an inlet, a drain or the basin.
    pub to: String,
    /// Its length.
    pub length: Length,
    /// The pipe, where its size was entered.
    pub pipe: Option<Pipe>,
    /// Lowest point of its upper end.
    pub up_invert: Option<Level>,
    /// Lowest point of its lower end.
    pub down_invert: Option<Level>,
    /// Its fall, where it is known.
    pub slope: Option<Slope>,
    /// The ground over its upper end.
    pub up_ground: Option<Level>,
    /// The ground over its lower end.
    pub down_ground: Option<Level>,
    /// What makes it a French drain; none for a solid pipe.
    pub french: Option<French>,
    /// What lies over it, where that was said.
    pub under: Option<Surface>,
}

impl Drain {
    /// Whether it leads straight to the basin.
    pub fn ends_at_basin(&self) -> bool {
        self.to == super::BASIN
    }
    /// The invert half-way along; that of the end that is known where the other is not.
    pub fn middle_invert(&self) -> Option<Level> {
        match (self.up_invert, self.down_invert) {
            (Some(up), Some(down)) => Some(down + (up - down) / 2.0),
            (up, down) => up.or(down),
        }
    }
    /// The inverts at the middles of so many equal pieces, from the upper end; the one that is known where the other is
    /// not.
    pub fn inverts_along(&self, pieces: u32) -> Vec<Level> {
        let (Some(up), Some(down)) = (self.up_invert, self.down_invert) else {
            return self.middle_invert().map_or_else(Vec::new, |level| vec![level; pieces as usize]);
        };
        (0..pieces).map(|piece| up - (up - down) * ((f64::from(piece) + 0.5) / f64::from(pieces))).collect()
    }
    /// As a pipe that lies between two inverts, where size and inverts are known.
    pub fn as_pipe(&self) -> Option<GravityPipe> {
        let pipe = self.pipe.as_ref()?;
        Some(GravityPipe {
            length: self.length,
            bore: pipe.bore,
            manning_n: pipe.manning_n,
            up_invert: self.up_invert?,
            down_invert: self.down_invert?,
        })
    }
}

/// What lies over the stone of a French drain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TrenchCover {
    /// Soil and grass: groundwater gets in, runoff does not.
    Sod,
    /// Stone up to the surface: runoff gets in too.
    Stone,
}

/// The perforated pipe in its trench.
#[derive(Clone, Debug, PartialEq)]
pub struct French {
    /// The sides that groundwater comes from: 1 or 2.
    pub sides: u32,
    /// Whether filter fabric lines the trench, where that was said.
    pub fabric: Option<bool>,
    /// The trench, where it was entered.
    pub trench: Option<FrenchTrench>,
    /// Wetted edge that takes groundwater in, as entered.
    pub perimeter: Option<Length>,
}

/// The trench of a French drain.
#[derive(Clone, Debug, PartialEq)]
pub struct FrenchTrench {
    /// Its stone with the pipe in it, where the pipe and its levels are known.
    pub stone: Option<Trench>,
    /// Its width.
    pub width: Length,
    /// How far its bottom lies below the pipe.
    pub below_pipe: Length,
    /// The top of the stone, where it is known.
    pub top: Option<Level>,
    /// What lies over the stone.
    pub cover: TrenchCover,
}

/// The way of the water beyond the end of the discharge line.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WayOff {
    /// The grate that the water comes up through.
    pub grate: Option<Grate>,
    /// The swale that it runs away in.
    pub swale: Option<Swale>,
    /// The highest ground on the way back to the low spot, as entered.
    pub ground_between: Option<Level>,
}

/// A swale.
#[derive(Clone, Debug, PartialEq)]
pub struct Swale {
    /// Its bed and sides.
    pub channel: Channel,
    /// How deep it is.
    pub depth: Length,
    /// What grows in it.
    pub cover: String,
    /// Whether its soil washes out easily.
    pub easily_eroded: bool,
    /// The velocity that its cover bears, where one is published.
    pub permissible: Option<Limit<Velocity>>,
}
