//! What comes of asking for the margins.

use super::sampling::Sampling;
use crate::design::likely::Assumption;
use crate::design::{Finding, NotFollowed};
use crate::quantity::{Amount, Duration, UnitSystem};

/// How wrong an estimate may be.
#[derive(Clone, Debug)]
pub struct Margins {
    /// The site's title.
    pub title: String,
    /// The units of the report.
    pub units: UnitSystem,
    /// The pump that the design is made with.
    pub pump: String,
    /// How many are installed.
    pub pumps: u32,
    /// Whether the design holds as it is entered.
    pub holds: bool,
    /// What stands against it.
    pub stops: Vec<Finding>,
    /// Whether the owner asks for anything: a depth, a time, a flow.
    pub goal_given: bool,
    /// The duration of the rain whose depth is shown.
    pub rain_duration: Option<Duration>,
    /// By how much the peak is greater if the soil takes less than is counted, where that is known and much.
    pub soil_may_take_less: Option<f64>,
    /// Whether it holds with the room in the stone of the French drains alone.
    pub hangs_on_stone: bool,
    /// Why its storm could not be followed, where it could not.
    pub not_followed: Option<NotFollowed>,
    /// Each assumption, that of the least slack first.
    pub margins: Vec<Margin>,
    /// What came of many sites at once otherwise, where it was asked for.
    pub sampling: Option<Sampling>,
}

/// One assumption.
#[derive(Clone, Debug)]
pub struct Margin {
    /// Which.
    pub assumption: Assumption,
    /// Its value now.
    pub now: Amount,
    /// Where the design first fails, or, where it fails as it is, first holds; the furthest asked where it does neither.
    pub reached: Reached,
    /// What stops it there; of a design that fails as it is, what stops it now. None where the verdict does not turn.
    pub stop: Option<Finding>,
}

/// A value of an assumption.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reached {
    /// How far it is from the value now, with its sign, as the assumption counts it.
    pub change: f64,
    /// The same as a share of what the assumption says.
    pub slack: f64,
    /// The value.
    pub value: Amount,
}

/// Bores are known to 2 %, by the walls that standards allow; twice that is narrower than any sold under the name.
const NARROWEST_BORE: f64 = 0.04;

impl Margins {
    /// The assumption with the least slack, of those that may be so wrong.
    pub fn least(&self) -> Option<&Margin> {
        self.turning().next()
    }
    /// Those that turn the verdict, the least slack first. No pipe is sold with a bore as much narrower as a design that
    /// holds may bear: it is told only where nothing else turns it.
    pub(super) fn turning(&self) -> impl Iterator<Item = &Margin> {
        let made = |margin: &&Margin| {
            self.holds && margin.assumption == Assumption::Bore && margin.reached.change.abs() > NARROWEST_BORE
        };
        let turning = || self.margins.iter().filter(|margin| margin.stop.is_some());
        let others = turning().any(|margin| !made(&margin));
        turning().filter(move |margin| !others || !made(margin))
    }
}
