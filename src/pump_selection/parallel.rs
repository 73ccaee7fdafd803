//! Two or more pumps, each with its own riser and check valve, into one line.

use super::curve::PumpCurve;
use crate::hydraulics::SystemCurve;
use crate::numeric::{bracketed_root, root_between};
use crate::quantity::{Flow, Head, Level};

/// The flow to which a branch is found, as a duty point.
const FLOW_TOLERANCE_M3S: f64 = 6e-11;
/// How far the head where the risers meet may lie from where it is looked for first.
const NEAR_M: f64 = 0.01;
/// The head to which the junction is found.
const HEAD_TOLERANCE_M: f64 = 1e-9;

/// One pump of several that run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Branch {
    /// The flow through the pump.
    pub pump_flow: Flow,
    /// What it brings into the common line; nothing when the others hold its valve shut.
    pub line_flow: Flow,
    /// Through its relief hole.
    pub leak: Flow,
    /// Its head.
    pub head: Head,
}

/// What comes of several pumps that run at once.
#[derive(Clone, Debug, PartialEq)]
pub enum Together {
    /// They meet the line within the points of their curves.
    Meets {
        /// Out of the line.
        line_flow: Flow,
        /// The head where the risers meet, above the water.
        junction: Head,
        /// Each pump, in order.
        branches: Vec<Branch>,
        /// Head given less head asked for where the risers meet: what the solution leaves over.
        residual: Head,
        /// Evaluations spent on the junction.
        evaluations: u32,
    },
    /// Not even together do they lift the water.
    CannotLift,
    /// One of them runs past the last point of its curve, by its index: nothing is known there. The line then carries
    /// at least so much.
    BeyondLastPoint {
        /// Which pump.
        pump: usize,
        /// What the line carries at the least.
        at_least: Flow,
    },
    /// One of them, by its index, gives less flow than the first point of its curve, which is not at zero flow.
    BeforeFirstPoint {
        /// Which pump.
        pump: usize,
    },
}

impl Together {
    /// The flow out of the line, where it is known.
    pub fn line_flow(&self) -> Option<Flow> {
        match self {
            Self::Meets { line_flow, .. } => Some(*line_flow),
            _ => None,
        }
    }
    /// The head where the risers meet, above the water, where it is known.
    pub fn junction(&self) -> Option<Head> {
        match self {
            Self::Meets { junction, .. } => Some(*junction),
            _ => None,
        }
    }
}

/// What a branch does against a head where the risers meet.
#[derive(Clone, Copy, Debug)]
enum Against {
    Gives(Branch),
    /// The valve stays shut.
    Nothing(Branch),
    Beyond(Branch),
    Before(Branch),
}

impl Against {
    fn branch(self) -> Branch {
        match self {
            Self::Gives(branch) | Self::Nothing(branch) | Self::Beyond(branch) | Self::Before(branch) => branch,
        }
    }
}

/// A pump's curve, and the line as it sees it: its own riser, valve and holes, and the runs, which are the same for all.
pub type OnItsRiser<'a> = (&'a PumpCurve, &'a SystemCurve);

/// Solves several pumps on one line, for a water level in the basin. Flows add where the runs begin; against a common
/// head there each pump gives what its own curve and riser let it.
///
/// The pumps start in order, at `start_level`. One whose head first rises with the flow is taken as shut where those
/// before it then hold its valve shut at no flow, or where the others push it back over its hump.
pub fn together(pumps: &[OnItsRiser<'_>], water_level: Level, start_level: Level) -> Together {
    together_near(pumps, (water_level, start_level), None)
}

/// The same in fewer evaluations where it is known about how high the head where the risers meet is, as from another water
/// level near by.
pub fn together_near(
    pumps: &[OnItsRiser<'_>],
    (water_level, start_level): (Level, Level),
    near: Option<Head>,
) -> Together {
    let mut shut_out = vec![false; pumps.len()];
    for (index, (curve, own)) in pumps.iter().enumerate().skip(1).filter(|(_, (curve, _))| curve.droops()) {
        let (Some(before), Some(known)) = (pumps.get(..index), shut_out.get(..index)) else { continue };
        // where it is not known what the others bring, the least that they do
        let least = match settle(before, known.to_vec(), start_level, None) {
            Together::Meets { line_flow, .. } => line_flow,
            Together::BeyondLastPoint { at_least, .. } => at_least,
            Together::CannotLift | Together::BeforeFirstPoint { .. } => Flow::ZERO,
        };
        if start_head(curve, own, start_level) <= own.junction_head(least, start_level)
            && let Some(shut_out) = shut_out.get_mut(index)
        {
            *shut_out = true;
        }
    }
    settle(pumps, shut_out, water_level, near)
}

/// The head that a pump gives where the risers meet before its valve opens: at what its relief hole alone lets through.
fn start_head(curve: &PumpCurve, system: &SystemCurve, water_level: Level) -> Head {
    let branch = |q: f64| {
        let flow = Flow::from_m3s(q);
        system.branch(flow, curve.head(flow).unwrap_or(Head::ZERO), water_level)
    };
    let into_line = |q: f64| branch(q).0.line.m3s();
    let first = curve.first_flow().m3s();
    let q = if into_line(first) < 0.0 {
        bracketed_root(first, curve.last_flow().m3s(), FLOW_TOLERANCE_M3S, into_line).map_or(first, |root| root.x)
    } else {
        first
    };
    branch(q).1
}

/// Solves with those that are known to be shut out, and those that turn out to be.
fn settle(pumps: &[OnItsRiser<'_>], mut pushed_back: Vec<bool>, water_level: Level, near: Option<Head>) -> Together {
    loop {
        let (solved, off_the_hump) = solve(pumps, &pushed_back, water_level, near);
        let newly = off_the_hump.and_then(|index| pushed_back.get_mut(index)).filter(|known| !**known);
        match newly {
            Some(known) => *known = true,
            None => return solved,
        }
    }
}

/// A solution that misses by more than this stands at a jump: some pump is pushed back over its hump there.
const JUMP_M: f64 = 1e-4;

/// One solution, and the pump that has to be taken as shut where there is none without.
fn solve(
    pumps: &[OnItsRiser<'_>],
    pushed_back: &[bool],
    water_level: Level,
    near: Option<Head>,
) -> (Together, Option<usize>) {
    let running = |index: usize| !pushed_back.get(index).copied().unwrap_or(false);
    let highest = pumps
        .iter()
        .enumerate()
        .filter(|(index, _)| running(*index))
        .map(|(_, (curve, _))| curve.highest().1)
        .fold(Head::ZERO, Head::max);
    let Some((_, system)) = pumps.first() else { return (Together::CannotLift, None) };
    let rest = system.junction_head(Flow::ZERO, water_level);
    if highest <= rest {
        return (Together::CannotLift, None);
    }
    // two alike do the same: it is worked out once
    let like = |index: usize| {
        pumps.iter().take(index).position(|earlier| Some(earlier) == pumps.get(index)).filter(|known| running(*known))
    };
    let like: Vec<Option<usize>> = (0..pumps.len()).map(|index| like(index).filter(|_| running(index))).collect();
    let all_against = |head: Head| -> Vec<Against> {
        let mut all: Vec<Against> = Vec::with_capacity(pumps.len());
        for ((index, (curve, own)), like) in pumps.iter().enumerate().zip(&like) {
            let known = like.and_then(|known| all.get(known)).copied();
            all.push(known.unwrap_or_else(|| {
                if running(index) {
                    return against(curve, own, water_level, head);
                }
                Against::Nothing(shut(branch(curve, own, water_level, curve.first_flow()), own, head, water_level))
            }));
        }
        all
    };
    let sum = |all: &[Against]| -> Flow { all.iter().map(|one| one.branch().line_flow).sum() };
    let miss = |head: f64| {
        let flow = sum(&all_against(Head::from_m(head)));
        system.junction_head(flow, water_level).m() - head
    };
    // what is asked for falls short more the higher it is, so that there is one crossing alone
    let about = near.map(Head::m).filter(|near| near - NEAR_M > rest.m() && near + NEAR_M < highest.m());
    let root = about
        .and_then(|near| bracketed_root(near - NEAR_M, near + NEAR_M, HEAD_TOLERANCE_M, miss).ok())
        .map_or_else(|| bracketed_root(rest.m(), highest.m(), HEAD_TOLERANCE_M, miss), Ok);
    let Ok(root) = root else {
        return (Together::CannotLift, None);
    };
    let junction = Head::from_m(root.x);
    let all = all_against(junction);
    if root.residual.abs() > JUMP_M {
        // at a jump: just above it some pump gives less than the first point of its curve, or is pushed over its hump
        let above = all_against(Head::from_m(root.x + JUMP_M));
        if let Some(pump) = above.iter().position(|one| matches!(one, Against::Before(_))) {
            return (Together::BeforeFirstPoint { pump }, None);
        }
        let lowest_hump = (0..pumps.len())
            .filter(|index| running(*index) && pumps.get(*index).is_some_and(|(curve, _)| curve.droops()))
            .min_by(|a, b| hump_m(pumps, *a).total_cmp(&hump_m(pumps, *b)));
        if lowest_hump.is_some() {
            return (Together::CannotLift, lowest_hump);
        }
    }
    let line_flow = sum(&all);
    if let Some(pump) = all.iter().position(|one| matches!(one, Against::Before(_))) {
        return (Together::BeforeFirstPoint { pump }, None);
    }
    if line_flow <= Flow::ZERO {
        return (Together::CannotLift, None);
    }
    if let Some(pump) = all.iter().position(|one| matches!(one, Against::Beyond(_))) {
        return (Together::BeyondLastPoint { pump, at_least: line_flow }, None);
    }
    let branches = all.into_iter().map(Against::branch).collect();
    let residual = Head::from_m(root.residual);
    (Together::Meets { line_flow, junction, branches, residual, evaluations: root.evaluations }, None)
}

fn hump_m(pumps: &[OnItsRiser<'_>], index: usize) -> f64 {
    pumps.get(index).map_or(f64::INFINITY, |(curve, _)| curve.highest().1.m())
}

/// What one pump gives against a head where the risers meet: of several crossings the one of the largest flow.
fn against(curve: &PumpCurve, system: &SystemCurve, water_level: Level, junction: Head) -> Against {
    let surplus = |q: f64| {
        let flow = Flow::from_m3s(q);
        curve.head(flow).map_or(f64::NAN, |head| (system.branch(flow, head, water_level).1 - junction).m())
    };
    let branch = |pump_flow: Flow| branch(curve, system, water_level, pump_flow);
    let last = curve.last_flow();
    let at_last = surplus(last.m3s());
    if at_last > 0.0 {
        return Against::Beyond(branch(last));
    }
    let mut right = (last.m3s(), at_last);
    for (left, _) in curve.points().rev().skip(1) {
        let here = surplus(left.m3s());
        if here > 0.0 {
            let flow = root_between((left.m3s(), here), right, FLOW_TOLERANCE_M3S, surplus)
                .map_or(left, |root| Flow::from_m3s(root.x));
            let found = branch(flow);
            return if found.line_flow > Flow::ZERO {
                Against::Gives(found)
            } else {
                Against::Nothing(shut(found, system, junction, water_level))
            };
        }
        right = (left.m3s(), here);
    }
    let first = branch(curve.first_flow());
    if curve.first_flow() > Flow::ZERO {
        return Against::Before(Branch { line_flow: Flow::ZERO, ..first });
    }
    Against::Nothing(shut(first, system, junction, water_level))
}

/// A pump at a flow through it.
fn branch(curve: &PumpCurve, system: &SystemCurve, water_level: Level, pump_flow: Flow) -> Branch {
    let head = curve.head(pump_flow).unwrap_or(Head::ZERO);
    let (division, _) = system.branch(pump_flow, head, water_level);
    Branch { pump_flow, line_flow: division.line.max(Flow::ZERO), leak: division.leak, head }
}

/// A pump that brings nothing into the line; what runs back through the drain hole over its valve is taken from it.
fn shut(branch: Branch, system: &SystemCurve, junction: Head, water_level: Level) -> Branch {
    Branch { line_flow: -system.drained(junction, water_level), ..branch }
}
