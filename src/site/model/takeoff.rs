//! What the takeoff goes by: what things cost, how long the work takes, how it is dug.

use super::Limit;
use crate::quantity::factor::FOOT;
use crate::quantity::{Length, UnitSystem};

/// A yard, m.
const YARD: f64 = 3.0 * FOOT;

/// What something is bought or done by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// Pieces.
    Each,
    /// Length.
    Length,
    /// Area.
    Area,
    /// Volume.
    Volume,
}

impl By {
    /// The unit of a system that it is counted in, and how much of that unit an SI unit is.
    pub fn unit(self, units: UnitSystem) -> (&'static str, f64) {
        match (self, units) {
            (Self::Each, _) => ("", 1.0),
            (Self::Length, UnitSystem::Us) => ("ft", 1.0 / FOOT),
            (Self::Length, UnitSystem::Metric) => ("m", 1.0),
            (Self::Area, UnitSystem::Us) => ("ft2", 1.0 / (FOOT * FOOT)),
            (Self::Area, UnitSystem::Metric) => ("m2", 1.0),
            (Self::Volume, UnitSystem::Us) => ("yd3", 1.0 / (YARD * YARD * YARD)),
            (Self::Volume, UnitSystem::Metric) => ("m3", 1.0),
        }
    }
}

/// Something with one price whatever its size.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Good {
    /// A rectangular basin with its lid.
    RectangularBasin,
    /// A check valve.
    CheckValve,
    /// An alarm with its float.
    Alarm,
    /// A battery with its inverter.
    Battery,
    /// An air valve or open vent on the line.
    Vent,
    /// A spill gap.
    SpillGap,
    /// What stands at the end of the line.
    Outlet,
    /// A catch basin with its grate.
    Inlet,
    /// A can of cement.
    Cement,
    /// A can of primer.
    Primer,
    /// Stone.
    Stone,
    /// Filter fabric.
    Fabric,
    /// Concrete.
    Concrete,
    /// Taking soil away.
    Haul,
    /// Sod or seed.
    Sod,
    /// A walk or drive made good.
    Paving,
}

impl Good {
    /// All of them.
    pub const ALL: [Self; 16] = [
        Self::RectangularBasin,
        Self::CheckValve,
        Self::Alarm,
        Self::Battery,
        Self::Vent,
        Self::SpillGap,
        Self::Outlet,
        Self::Inlet,
        Self::Cement,
        Self::Primer,
        Self::Stone,
        Self::Fabric,
        Self::Concrete,
        Self::Haul,
        Self::Sod,
        Self::Paving,
    ];
    /// What it is bought by.
    pub fn by(self) -> By {
        match self {
            Self::Stone | Self::Concrete | Self::Haul => By::Volume,
            Self::Fabric | Self::Sod | Self::Paving => By::Area,
            _ => By::Each,
        }
    }
    /// The key of its price, by the units of a system.
    pub fn key(self, units: UnitSystem) -> &'static str {
        let us = units == UnitSystem::Us;
        match self {
            Self::RectangularBasin => "rectangular_basin",
            Self::CheckValve => "check_valve",
            Self::Alarm => "alarm",
            Self::Battery => "battery",
            Self::Vent => "vent",
            Self::SpillGap => "spill_gap",
            Self::Outlet => "outlet_piece",
            Self::Inlet => "catch_basin",
            Self::Cement => "cement_can",
            Self::Primer => "primer_can",
            Self::Stone if us => "stone_per_yd3",
            Self::Stone => "stone_per_m3",
            Self::Fabric if us => "fabric_per_ft2",
            Self::Fabric => "fabric_per_m2",
            Self::Concrete if us => "concrete_per_yd3",
            Self::Concrete => "concrete_per_m3",
            Self::Haul if us => "haul_per_yd3",
            Self::Haul => "haul_per_m3",
            Self::Sod if us => "sod_per_ft2",
            Self::Sod => "sod_per_m2",
            Self::Paving if us => "paving_per_ft2",
            Self::Paving => "paving_per_m2",
        }
    }
}

/// A piece of work with its rate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Task {
    /// Coming, setting up, laying out, clearing up.
    SetUp,
    /// Digging.
    Dig,
    /// Filling in again.
    Backfill,
    /// Laying pipe.
    LayPipe,
    /// Placing stone and fabric.
    PlaceStone,
    /// Setting the basin.
    SetBasin,
    /// Pouring concrete.
    Pour,
    /// Setting a pump with its riser, valve and floats.
    SetPump,
    /// Setting a catch basin.
    SetInlet,
    /// Making the surface good.
    Restore,
    /// The first start, with the owner.
    StartUp,
}

impl Task {
    /// All of them, in the order of the work.
    pub const ALL: [Self; 11] = [
        Self::SetUp,
        Self::Dig,
        Self::LayPipe,
        Self::PlaceStone,
        Self::SetBasin,
        Self::Pour,
        Self::SetPump,
        Self::SetInlet,
        Self::Backfill,
        Self::Restore,
        Self::StartUp,
    ];
    /// What it is done by.
    pub fn by(self) -> By {
        match self {
            Self::Dig | Self::Backfill | Self::PlaceStone | Self::Pour => By::Volume,
            Self::LayPipe => By::Length,
            Self::Restore => By::Area,
            Self::SetUp | Self::SetBasin | Self::SetPump | Self::SetInlet | Self::StartUp => By::Each,
        }
    }
    /// The key of its time, by the units of a system.
    pub fn key(self, units: UnitSystem) -> &'static str {
        let us = units == UnitSystem::Us;
        match self {
            Self::SetUp => "set_up",
            Self::Dig if us => "dig_per_yd3",
            Self::Dig => "dig_per_m3",
            Self::Backfill if us => "backfill_per_yd3",
            Self::Backfill => "backfill_per_m3",
            Self::LayPipe if us => "lay_per_ft",
            Self::LayPipe => "lay_per_m",
            Self::PlaceStone if us => "place_stone_per_yd3",
            Self::PlaceStone => "place_stone_per_m3",
            Self::SetBasin => "set_basin",
            Self::Pour if us => "pour_per_yd3",
            Self::Pour => "pour_per_m3",
            Self::SetPump => "set_pump",
            Self::SetInlet => "set_catch_basin",
            Self::Restore if us => "restore_per_ft2",
            Self::Restore => "restore_per_m2",
            Self::StartUp => "start_up",
        }
    }
    /// What it is, in a few words.
    pub fn words(self) -> &'static str {
        match self {
            Self::SetUp => "set up, lay out, clear up",
            Self::Dig => "dig trenches and holes",
            Self::Backfill => "fill in and tamp",
            Self::LayPipe => "lay pipe",
            Self::PlaceStone => "place stone and fabric",
            Self::SetBasin => "set the basin",
            Self::Pour => "pour concrete",
            Self::SetPump => "set pump, riser, valve and floats",
            Self::SetInlet => "set catch basins",
            Self::Restore => "make the surface good",
            Self::StartUp => "first start, show the owner",
        }
    }
    /// Whether a machine may do it.
    pub fn by_machine(self) -> bool {
        matches!(self, Self::Dig | Self::Backfill)
    }
}

/// What a sales tax is reckoned on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum TaxOn {
    /// The price to the customer.
    #[default]
    Price,
    /// What is bought: it is a cost like any other.
    Materials,
}

/// What the takeoff goes by beside prices.
#[derive(Clone, Debug, PartialEq)]
pub struct TakeoffTerms {
    /// Length of a stick of discharge pipe.
    pub discharge_stick: Limit<Length>,
    /// Of solid drain pipe.
    pub drain_stick: Limit<Length>,
    /// Of French-drain pipe: a stick or a coil.
    pub french_stick: Limit<Length>,
    /// Whether sticks of discharge pipe end in a bell, and need no coupling.
    pub discharge_bells: Limit<bool>,
    /// The same of solid drain pipe.
    pub drain_bells: Limit<bool>,
    /// The share of pipe that is cut away.
    pub pipe_waste: Limit<f64>,
    /// The share of stone and concrete that is lost.
    pub stone_waste: Limit<f64>,
    /// How far fabric overlaps.
    pub fabric_overlap: Limit<Length>,
    /// Whether French drains without a trench of stone are of wrapped pipe.
    pub wrapped_pipe: bool,
    /// How many joints a can of cement makes.
    pub joints_per_can: Limit<f64>,
    /// Width of the trench of a solid pipe.
    pub trench_width: Limit<Length>,
    /// Room round basin and catch basins.
    pub hole_room: Limit<Length>,
    /// How far the surface is spoilt beside trench and hole.
    pub spoilt_beside: Limit<Length>,
    /// By what share soil grows when it is dug.
    pub bulking: Limit<f64>,
    /// Hours for a unit of work, by SI units; those entered.
    pub hours: Vec<(Task, f64)>,
    /// What an hour of work costs.
    pub labour_per_hour: Option<f64>,
    /// What an hour of a machine costs.
    pub machine_per_hour: Option<f64>,
    /// How far quantities may be off, as shares.
    pub quantities_off: Limit<(f64, f64)>,
    /// How far prices may be off.
    pub prices_off: Limit<(f64, f64)>,
    /// How far hours may be off.
    pub hours_off: Limit<(f64, f64)>,
    /// For what nobody foresees, as a share of the cost.
    pub contingency: Option<f64>,
    /// As a share of the price before tax.
    pub margin: Option<f64>,
    /// As a share.
    pub tax: Option<f64>,
    /// What that is reckoned on.
    pub tax_on: TaxOn,
    /// The total is rounded up to a whole number of these.
    pub round_to: Limit<f64>,
}

impl TakeoffTerms {
    /// The hours for an SI unit of some work, where they were entered.
    pub fn hours_of(&self, task: Task) -> Option<f64> {
        self.hours.iter().find(|(known, _)| *known == task).map(|(_, hours)| *hours)
    }
}
