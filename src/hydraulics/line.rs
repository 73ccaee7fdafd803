//! The discharge line as it is built: riser, check valve, relief hole, runs, profile, outlet.

use super::pipe::{Pipe, PipeUse};
use crate::quantity::{Duration, Flow, Length, Level};

/// So many fittings of one kind.
#[derive(Clone, Debug, PartialEq)]
pub struct FittingCount {
    /// The name: `elbow 90`.
    pub name: String,
    /// How many.
    pub count: u32,
    /// The loss coefficient K of one of them, on the velocity head in the run's own bore; 0 where `equivalent` stands.
    pub k: f64,
    /// The length of the run's own pipe that loses as much as one of them; nothing where K is used.
    pub equivalent: Length,
    /// Where K or the equivalent length comes from.
    pub source: String,
    /// What it is made for.
    pub made_for: PipeUse,
}

impl CheckValve {
    /// It as one of the riser's fittings.
    pub fn as_fitting(&self) -> FittingCount {
        FittingCount {
            equivalent: self.equivalent,
            ..FittingCount::of_k(&format!("{} check valve", self.kind), 1, self.k, &self.source)
        }
    }
}

impl FittingCount {
    /// Fittings by their loss coefficient, made for pressure.
    pub fn of_k(name: &str, count: u32, k: f64, source: &str) -> Self {
        Self {
            name: name.to_owned(),
            count,
            k,
            equivalent: Length::ZERO,
            source: source.to_owned(),
            made_for: PipeUse::Pressure,
        }
    }
}

/// A length of one pipe with its fittings.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// The pipe.
    pub pipe: Pipe,
    /// Its length.
    pub length: Length,
    /// Its fittings. Their loss is taken as spread evenly over the length.
    pub fittings: Vec<FittingCount>,
    /// Allowance for fittings that nobody counted: so much more length, as a share of it.
    pub allowance: f64,
}

impl Run {
    /// The sum of the loss coefficients.
    pub fn sum_k(&self) -> f64 {
        self.fittings.iter().map(|fitting| fitting.k * f64::from(fitting.count)).sum()
    }
    /// The equivalent lengths of its fittings together, with the allowance.
    pub fn equivalent_length(&self) -> Length {
        let counted: Length = self.fittings.iter().map(|fitting| fitting.equivalent * f64::from(fitting.count)).sum();
        counted + self.length * self.allowance
    }
}

/// The check valve in the riser.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckValve {
    /// The kind: `swing`, `spring`.
    pub kind: String,
    /// Its loss coefficient, fully open, on the velocity head in the riser.
    pub k: f64,
    /// The length of the riser's pipe that loses as much; nothing where K is used.
    pub equivalent: Length,
    /// Where K or the equivalent length comes from.
    pub source: String,
    /// Its height above the basin's floor.
    pub above_floor: Option<Length>,
    /// How many there are; one for each pump unless the file says otherwise.
    pub count: u32,
    /// N in V = N √(1/ρ), m/s and kg/m³: the velocity that holds it open. Nothing where none is published.
    pub opening_constant: Option<f64>,
    /// The time in which it closes, where it was entered.
    pub closes_in: Option<Duration>,
}

/// The small hole between pump and check valve that lets trapped air out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReliefHole {
    /// Its diameter.
    pub diameter: Length,
    /// Its height above the basin's floor.
    pub above_floor: Option<Length>,
    /// Its coefficient of discharge.
    pub discharge_coefficient: f64,
}

impl ReliefHole {
    /// The diameter that the trade drills most: common practice, no source.
    pub const USUAL_DIAMETER: Length = Length::from_inch(0.1875);
}

/// A point of the discharge line's route.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ProfilePoint {
    /// Distance along the runs from the basin.
    pub at: Length,
    /// The lowest inside point of the pipe there.
    pub invert: Level,
    /// The ground above it.
    pub ground: Option<Level>,
    /// What lies over it, where that was said of this point.
    pub under: Option<Surface>,
}

/// What lies over a pipe or around a hole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Surface {
    /// Lawn.
    Lawn,
    /// A walk or patio.
    Walk,
    /// A drive: wheels.
    Drive,
    /// A bed or bare ground.
    Bare,
}

impl Surface {
    /// Whether it is paved.
    pub fn paved(self) -> bool {
        matches!(self, Self::Walk | Self::Drive)
    }
}

/// A place where air gets in and out of the line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vent {
    /// Where along the runs.
    pub at: Length,
    /// The top of an open vent pipe; none for a valve that lets air through and holds water.
    pub open_top: Option<Level>,
}

/// Where the water leaves.
#[derive(Clone, Debug, PartialEq)]
pub struct Outlet {
    /// The kind: `open end`, `grate`, `pop-up`, `bubbler box`, `curb`, `swale` …
    pub kind: String,
    /// The level at which the water comes out.
    pub level: Level,
    /// The level of the water outside when the ditch is full.
    pub ditch_full: Option<Level>,
    /// Loss coefficient of its grate or cover, on the velocity head in the last run, beyond the velocity head lost.
    pub k: f64,
    /// The head needed to open a cover, where one was entered.
    pub opening_head: Option<crate::quantity::Head>,
    /// The share of the pumped water that finds its way back to the low spot, 0 to 1.
    pub returned_share: f64,
}

impl Outlet {
    /// What of a pumped flow leaves for good: what finds its way back is taken off.
    pub fn leaves(&self, flow: Flow) -> Flow {
        flow * (1.0 - self.returned_share)
    }
    /// The level the pump works against: the higher of the outlet and the full ditch.
    pub fn working_level(&self) -> Level {
        self.ditch_full.map_or(self.level, |full| full.max(self.level))
    }
}

/// The whole line, from the pump's outlet to where the water leaves.
#[derive(Clone, Debug, PartialEq)]
pub struct DischargeLine {
    /// The pipe from the pump up to where the runs begin.
    pub riser: Run,
    /// How many risers there are, one for each pump, each with a valve and holes of its own.
    pub risers: u32,
    /// The check valve, if there is one.
    pub check_valve: Option<CheckValve>,
    /// The relief hole, if there is one.
    pub relief_hole: Option<ReliefHole>,
    /// A hole above the check valve, inside the basin, through which the line drains back; if there is one.
    pub drain_hole: Option<ReliefHole>,
    /// The runs in order; never empty.
    pub runs: Vec<Run>,
    /// Points of the route in order, the first at the basin, the last at the outlet. Empty when not entered.
    pub profile: Vec<ProfilePoint>,
    /// Air valves and open vents, in no order.
    pub vents: Vec<Vent>,
    /// Where the water leaves.
    pub outlet: Outlet,
}

/// The share of the line's length by which the profile's last station may miss it.
const END_SLACK: f64 = 0.01;

/// A change of bore in words.
fn changed(what: &str, from: &Run, to: &Run) -> String {
    let (a, b) = (&from.pipe, &to.pipe);
    if a.size == b.size {
        format!("{what} from {} to {}", a.material, b.material)
    } else {
        format!("{what} from {} to {}", a.size, b.size)
    }
}

/// Bores that differ by less than this share are one.
const SAME_BORE: f64 = 0.01;

impl DischargeLine {
    /// The bores before and after the end of a stretch, as A1/A2; after the riser for `None`, after a run for its
    /// index. Nothing where the bore goes on, or nothing follows.
    fn change_after(&self, stretch: Option<usize>) -> Option<(f64, &Run, &Run)> {
        let here = stretch.map_or(Some(&self.riser), |index| self.runs.get(index))?;
        let next = self.runs.get(stretch.map_or(0, |index| index + 1))?;
        let areas = here.pipe.area() / next.pipe.area();
        ((areas - 1.0).abs() >= 2.0 * SAME_BORE).then_some((areas, here, next))
    }
    /// What a widening at the end of a stretch costs, on the velocity head in it: (1 - A1/A2)² (Borda and Carnot).
    pub fn widening_after(&self, stretch: Option<usize>) -> Option<FittingCount> {
        let (areas, here, next) = self.change_after(stretch).filter(|(areas, ..)| *areas < 1.0)?;
        let name = changed("widening", here, next);
        Some(FittingCount::of_k(&name, 1, (1.0 - areas) * (1.0 - areas), "Borda and Carnot, (1 - A1/A2)^2"))
    }
    /// What a narrowing at the beginning of a run costs, on the velocity head in that run: 0.5 (1 - A2/A1), the
    /// textbook value of a sharp edge, from memory.
    pub fn narrowing_before(&self, run: usize) -> Option<FittingCount> {
        let (areas, here, next) = self.change_after(run.checked_sub(1)).filter(|(areas, ..)| *areas > 1.0)?;
        let name = changed("narrowing", here, next);
        Some(FittingCount::of_k(&name, 1, 0.5 * (1.0 - 1.0 / areas), "sharp edge, 0.5 (1 - A2/A1), from memory"))
    }
    /// What the changes of bore at both ends of a run cost.
    pub fn changes_at(&self, run: usize) -> impl Iterator<Item = FittingCount> {
        self.narrowing_before(run).into_iter().chain(self.widening_after(Some(run)))
    }
    /// The length of the runs together, without the riser.
    pub fn length(&self) -> Length {
        self.runs.iter().map(|run| run.length).sum()
    }
    /// The profile's last point, where it is the end of the line: within a hundredth of its length, since tape and
    /// pipe never measure quite alike.
    pub fn end_point(&self) -> Option<&ProfilePoint> {
        self.profile.last().filter(|last| last.at >= self.length() * (1.0 - END_SLACK))
    }
    /// The profile's points on the way, without its end.
    pub fn points_on_the_way(&self) -> &[ProfilePoint] {
        match self.profile.split_last() {
            Some((_, before)) if self.end_point().is_some() => before,
            _ => &self.profile,
        }
    }
}
