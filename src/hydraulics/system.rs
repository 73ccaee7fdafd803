//! The system curve: the head that the line asks of the pump at each flow.

use super::friction::{
    FrictionMethod, HAZEN_WILLIAMS_EXPONENT, friction_factor, hazen_williams_resistance, pipe_velocity, reynolds_number,
};
use super::line::{DischargeLine, ReliefHole, Run};
use super::water::Water;
use crate::collection::orifice::orifice_flow;
use crate::quantity::factor::GRAVITY;
use crate::quantity::{Flow, Head, Length, Level, Velocity};

/// The line made ready for many solutions.
///
/// The head that the line asks for is the greatest, over all points of its profile, of the lift to the point plus
/// the losses up to it plus the velocity head there. An inner point's lift is to the top of the bore, since the pipe
/// must fill over it; no credit is given for a siphon beyond. The end's lift is to the
/// outlet, the full ditch or the top of the pipe's end, whichever is highest.
#[derive(Clone, Debug, PartialEq)]
pub struct SystemCurve {
    pub(super) method: FrictionMethod,
    /// Where the method asks for it.
    viscosity_m2s: f64,
    /// The riser below the relief hole, which carries the leak too.
    below_hole: Stretch,
    hole: Option<Hole>,
    /// The hole at the riser's end, above the valve, through which the line drains back.
    drain_hole: Option<Hole>,
    /// How many such holes stand under the pressure where the runs begin: that of the pump that runs, and those of idle
    /// risers.
    drain_holes: f64,
    /// The riser above the hole, then the runs.
    pub(super) stretches: Vec<Stretch>,
    /// Points of the profile in order; the last is the outlet.
    pub(super) points: Vec<Point>,
}

/// A stretch of one pipe in SI numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stretch {
    length_m: f64,
    /// With the equivalent length of fittings.
    friction_length_m: f64,
    bore_m: f64,
    relative_roughness: f64,
    resistance: f64,
    sum_k: f64,
    /// 1/(2 g A²): the velocity head of a flow of one.
    pub(super) velocity_head: f64,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Hole {
    size: ReliefHole,
    level_m: Option<f64>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Point {
    /// Which stretch it lies in, and how far along it (0 to 1).
    pub(super) stretch: usize,
    pub(super) part: f64,
    pub(super) level_m: f64,
    /// Loss at the point itself beyond the velocity head: the outlet's cover.
    pub(super) extra_k: f64,
    /// Head beyond lift and loss: to open a cover.
    pub(super) extra_head_m: f64,
    pub(super) station: Length,
}

/// What the line asks for at a flow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SystemPoint {
    /// The flow past the relief hole, out of the line.
    pub line_flow: Flow,
    /// The flow that leaks from the relief hole.
    pub leak: Flow,
    /// The flow that runs back through the drain hole above the valve.
    pub drained: Flow,
    /// The head that the pump must give.
    pub head: Head,
    /// The head at the relief hole, above the water in the basin.
    pub head_at_hole: Head,
    /// Which point of the profile asks for the most: an index into the points of [`SystemCurve::points`].
    pub governing: usize,
}

/// How a pump's flow divides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Division {
    /// Out of the line.
    pub line: Flow,
    /// Through the relief hole.
    pub leak: Flow,
    /// Through the drain hole above the valve.
    pub drained: Flow,
}

/// A point of the profile as the system curve sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SystemLevel {
    /// Distance along the runs.
    pub station: Length,
    /// The level to lift to.
    pub level: Level,
    /// Whether it is the end of the line.
    pub outlet: bool,
}

impl Stretch {
    fn of(run: &Run, length: Length, equivalent: Length, sum_k: f64) -> Self {
        let bore_m = run.pipe.bore.m();
        let area = run.pipe.area().m2();
        Self {
            length_m: length.m(),
            friction_length_m: (length + equivalent).m(),
            bore_m,
            relative_roughness: run.pipe.roughness / run.pipe.bore,
            resistance: hazen_williams_resistance(run.pipe.hazen_williams_c, run.pipe.bore),
            sum_k,
            velocity_head: 1.0 / (2.0 * GRAVITY * area * area),
        }
    }

    /// Friction over its whole length, the flow's direction counted.
    fn friction_m(&self, q_m3s: f64, power: f64, method: FrictionMethod, viscosity_m2s: f64) -> f64 {
        match method {
            FrictionMethod::HazenWilliams => self.resistance * self.friction_length_m * power,
            FrictionMethod::DarcyWeisbach => {
                let velocity = pipe_velocity(Flow::from_m3s(q_m3s.abs()), Length::from_m(self.bore_m));
                if velocity == Velocity::ZERO {
                    return 0.0;
                }
                let reynolds = reynolds_number(
                    velocity,
                    Length::from_m(self.bore_m),
                    crate::quantity::Viscosity::from_m2s(viscosity_m2s),
                );
                let f = friction_factor(reynolds, self.relative_roughness);
                f * self.friction_length_m / self.bore_m * self.velocity_head * q_m3s * q_m3s.abs()
            }
        }
    }

    fn loss_m(&self, q_m3s: f64, power: f64, method: FrictionMethod, viscosity_m2s: f64) -> f64 {
        self.friction_m(q_m3s, power, method, viscosity_m2s) + self.sum_k * self.velocity_head * q_m3s * q_m3s.abs()
    }
}

/// A flow with its [`flow_power`], which costs more than all else of a loss: where nothing leaks, the same flow goes
/// through every part of the line.
#[derive(Clone, Copy)]
struct Raised {
    q_m3s: f64,
    power: f64,
}

impl Raised {
    fn of(q_m3s: f64, method: FrictionMethod) -> Self {
        Self { q_m3s, power: flow_power(q_m3s, method) }
    }
    /// The same of another flow, or of this one once more.
    #[allow(clippy::float_cmp, reason = "the very same number or another one")]
    fn or_of(self, q_m3s: f64, method: FrictionMethod) -> Self {
        if q_m3s == self.q_m3s { self } else { Self::of(q_m3s, method) }
    }
}

/// The flow to the power of Hazen-Williams, with its sign.
pub(super) fn flow_power(q_m3s: f64, method: FrictionMethod) -> f64 {
    match method {
        // in half the time of `pow`; the last digit but one may differ
        FrictionMethod::HazenWilliams => libm::exp(HAZEN_WILLIAMS_EXPONENT * libm::log(q_m3s.abs())).copysign(q_m3s),
        FrictionMethod::DarcyWeisbach => 0.0,
    }
}

/// The part of the riser that lies below the relief hole and so carries its leak too, for a pump whose outlet
/// stands at a height above the floor. None of it where a height is not known.
pub fn riser_below_hole(line: &DischargeLine, pump_outlet: Option<Length>) -> Length {
    match (line.relief_hole.and_then(|hole| hole.above_floor), pump_outlet) {
        (Some(hole), Some(outlet)) => (hole - outlet).max(Length::ZERO).min(line.riser.length),
        _ => Length::ZERO,
    }
}

impl SystemCurve {
    /// Makes a line ready. The basin's floor places the relief hole; the height of the pump's outlet above the floor
    /// tells which part of the riser carries the leak.
    pub fn new(
        line: &DischargeLine,
        floor: Level,
        pump_outlet: Option<Length>,
        water: Water,
        method: FrictionMethod,
    ) -> Self {
        let below = riser_below_hole(line, pump_outlet);
        let above = line.riser.length - below;
        let valve = line.check_valve.as_ref();
        let valve_k = valve.map_or(0.0, |valve| valve.k);
        let valve_length = valve.map_or(Length::ZERO, |valve| valve.equivalent);
        let riser_k = line.riser.sum_k() + valve_k + line.widening_after(None).map_or(0.0, |change| change.k);
        let mut stretches =
            vec![Stretch::of(&line.riser, above, line.riser.equivalent_length() + valve_length, riser_k)];
        stretches.extend(line.runs.iter().enumerate().map(|(index, run)| {
            Stretch::of(
                run,
                run.length,
                run.equivalent_length(),
                run.sum_k() + line.changes_at(index).map(|change| change.k).sum::<f64>(),
            )
        }));
        let placed = |size: ReliefHole| Hole { size, level_m: size.above_floor.map(|height| (floor + height).m()) };
        Self {
            method,
            viscosity_m2s: match method {
                FrictionMethod::HazenWilliams => 0.0,
                FrictionMethod::DarcyWeisbach => water.viscosity().m2s(),
            },
            below_hole: Stretch::of(&line.riser, below, Length::ZERO, 0.0),
            hole: line.relief_hole.map(placed),
            drain_hole: line.drain_hole.map(placed),
            drain_holes: f64::from(line.risers),
            points: profile_points(line, &stretches),
            stretches,
        }
    }

    /// The points of the profile, the outlet last.
    pub fn points(&self) -> Vec<SystemLevel> {
        let last = self.points.len().saturating_sub(1);
        self.points
            .iter()
            .enumerate()
            .map(|(index, point)| SystemLevel {
                station: point.station,
                level: Level::from_m(point.level_m),
                outlet: index == last,
            })
            .collect()
    }

    /// The static head: the lift from a water level to the highest point that must be filled over.
    pub fn static_head(&self, water_level: Level) -> Head {
        let highest = self.points.iter().map(|point| point.level_m).fold(f64::MIN, f64::max);
        Head::from_m(highest - water_level.m())
    }

    /// What a stretch costs.
    pub(super) fn loss_of(&self, stretch: &Stretch, q_m3s: f64, power: f64) -> f64 {
        stretch.loss_m(q_m3s, power, self.method, self.viscosity_m2s)
    }

    /// What the riser above the hole, valve and fittings in it, costs.
    fn riser_m(&self, Raised { q_m3s, power }: Raised) -> f64 {
        self.stretches.first().map_or(0.0, |riser| self.loss_of(riser, q_m3s, power))
    }

    /// The greatest of the heads asked for by the points, counted from a water level, where the runs begin; and which
    /// point.
    pub(super) fn junction_m(&self, q_m3s: f64, water_level_m: f64) -> (f64, usize) {
        self.junction_of(Raised::of(q_m3s, self.method), water_level_m)
    }

    fn junction_of(&self, Raised { q_m3s, power }: Raised, water_level_m: f64) -> (f64, usize) {
        let square = q_m3s * q_m3s.abs();
        let mut points = self.points.iter().enumerate().peekable();
        let (mut best, mut governing) = (f64::MIN, 0);
        let mut before = 0.0;
        for (index, stretch) in self.stretches.iter().enumerate().skip(1) {
            let loss = self.loss_of(stretch, q_m3s, power);
            while let Some((at, point)) = points.next_if(|(_, point)| point.stretch == index) {
                let asked = point.level_m - water_level_m
                    + point.extra_head_m
                    + before
                    + loss * point.part
                    + (1.0 + point.extra_k) * stretch.velocity_head * square;
                if asked > best {
                    (best, governing) = (asked, at);
                }
            }
            before += loss;
        }
        (best, governing)
    }

    /// What the riser below the hole costs.
    fn below_hole_m(&self, pump_q_m3s: f64, known: Raised) -> f64 {
        if self.below_hole.length_m == 0.0 {
            return 0.0;
        }
        let Raised { q_m3s, power } = known.or_of(pump_q_m3s, self.method);
        self.loss_of(&self.below_hole, q_m3s, power)
    }

    /// What runs back through the drain holes of all risers under a head where the runs begin.
    pub fn drained(&self, junction: Head, water_level: Level) -> Flow {
        Flow::from_m3s(self.drained_m3s(junction.m(), water_level.m()))
    }

    /// What runs back through the drain holes of all risers.
    fn drained_m3s(&self, junction_m: f64, water_level_m: f64) -> f64 {
        self.drain_holes * leak_m3s(self.drain_hole, junction_m, water_level_m)
    }

    /// What the line asks for when a flow leaves it and the water in the basin stands at a level.
    pub fn at(&self, line_flow: Flow, water_level: Level) -> SystemPoint {
        let water = water_level.m();
        let line = Raised::of(line_flow.m3s(), self.method);
        let (junction, governing) = self.junction_of(line, water);
        let drained = self.drained_m3s(junction, water);
        let riser = line.or_of(line.q_m3s + drained, self.method);
        let head_at_hole = junction + self.riser_m(riser);
        let leak = leak_m3s(self.hole, head_at_hole, water);
        let below = self.below_hole_m(riser.q_m3s + leak, riser);
        SystemPoint {
            line_flow,
            leak: Flow::from_m3s(leak),
            drained: Flow::from_m3s(drained),
            head: Head::from_m(head_at_hole + below),
            head_at_hole: Head::from_m(head_at_hole),
            governing,
        }
    }

    /// The head asked for where the runs begin, above the water in the basin, when a flow leaves the line.
    pub fn junction_head(&self, line_flow: Flow, water_level: Level) -> Head {
        Head::from_m(self.junction_m(line_flow.m3s(), water_level.m()).0)
    }

    /// How a pump's flow at a head divides, and the head left where the runs begin.
    ///
    /// Written in the pump's flow, everything is explicit: the head left at a hole gives its leak, the rest goes on.
    pub fn branch(&self, pump_flow: Flow, pump_head: Head, water_level: Level) -> (Division, Head) {
        let (division, junction, _) = self.branch_raised(pump_flow, pump_head, water_level);
        (division, junction)
    }

    /// The same, with the flow through the riser raised.
    fn branch_raised(&self, pump_flow: Flow, pump_head: Head, water_level: Level) -> (Division, Head, Raised) {
        let water = water_level.m();
        let pump = Raised::of(pump_flow.m3s(), self.method);
        let at_hole = pump_head.m() - self.below_hole_m(pump.q_m3s, pump);
        let leak = leak_m3s(self.hole, at_hole, water);
        let riser = pump.or_of(pump.q_m3s - leak, self.method);
        let junction = at_hole - self.riser_m(riser);
        let drained = self.drained_m3s(junction, water);
        let division = Division {
            line: Flow::from_m3s(riser.q_m3s - drained),
            leak: Flow::from_m3s(leak),
            drained: Flow::from_m3s(drained),
        };
        (division, Head::from_m(junction), riser)
    }

    /// By how much a pump's head at a flow exceeds what the line then asks for, metres.
    ///
    /// It falls as the flow rises wherever the pump's head does.
    pub fn surplus_m(&self, pump_flow: Flow, pump_head: Head, water_level: Level) -> f64 {
        let (division, junction, riser) = self.branch_raised(pump_flow, pump_head, water_level);
        let line = riser.or_of(division.line.m3s(), self.method);
        junction.m() - self.junction_of(line, water_level.m()).0
    }

    /// How a pump's flow at a head divides: out of the line, and through the holes.
    pub fn divide(&self, pump_flow: Flow, pump_head: Head, water_level: Level) -> Division {
        self.branch(pump_flow, pump_head, water_level).0
    }
}

/// What leaks from a hole under a head above the water.
fn leak_m3s(hole: Option<Hole>, head_m: f64, water_level_m: f64) -> f64 {
    let Some(hole) = hole else { return 0.0 };
    let above_water = hole.level_m.map_or(0.0, |level| (level - water_level_m).max(0.0));
    orifice_flow(hole.size.discharge_coefficient, hole.size.diameter.circle(), Head::from_m(head_m - above_water)).m3s()
}

/// The points that ask for head: those of the profile to the top of the bore, and the outlet.
fn profile_points(line: &DischargeLine, stretches: &[Stretch]) -> Vec<Point> {
    let mut points = Vec::with_capacity(line.profile.len() + 1);
    let total = line.length();
    for entered in line.points_on_the_way() {
        let (stretch, part) = locate(entered.at, stretches);
        let bore_m = stretches.get(stretch).map_or(0.0, |stretch| stretch.bore_m);
        points.push(Point {
            stretch,
            part,
            level_m: entered.invert.m() + bore_m,
            extra_k: 0.0,
            extra_head_m: 0.0,
            station: entered.at,
        });
    }
    let end_bore = stretches.last().map_or(0.0, |stretch| stretch.bore_m);
    let pipe_end = line.end_point().map(|last| last.invert.m() + end_bore);
    let outlet = line.outlet.working_level().m();
    points.push(Point {
        stretch: stretches.len().saturating_sub(1),
        part: 1.0,
        level_m: pipe_end.map_or(outlet, |end| end.max(outlet)),
        extra_k: line.outlet.k,
        extra_head_m: line.outlet.opening_head.map_or(0.0, Head::m),
        station: total,
    });
    points
}

/// In which stretch a station lies, and how far along it. The first stretch is the riser, which is not stationed.
fn locate(at: Length, stretches: &[Stretch]) -> (usize, f64) {
    let mut left = at.m();
    for (index, stretch) in stretches.iter().enumerate().skip(1) {
        if left <= stretch.length_m {
            let part = if stretch.length_m > 0.0 { (left / stretch.length_m).max(0.0) } else { 1.0 };
            return (index, part);
        }
        left -= stretch.length_m;
    }
    (stretches.len().saturating_sub(1), 1.0)
}
