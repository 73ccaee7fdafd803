//! The hydraulic grade line: the pressure along the line, and the part of it that the flow does not fill.

use super::line::DischargeLine;
use super::system::{SystemCurve, flow_power};
use crate::quantity::{Flow, Head, Length, Level};

/// The pressure in the line at a point of its profile.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GradePoint {
    /// Distance along the runs.
    pub station: Length,
    /// The top of the bore; at the end the level that the water comes out at.
    pub crown: Level,
    /// How high the water would stand in a pipe put upright on the line there (the hydraulic grade line), with air let
    /// in beyond the point that governs.
    pub grade: Level,
    /// The same by what the points beyond this one ask for alone: below the crown where the pipe runs part full here.
    pub backed_up: Level,
    /// The same if the rest of the line ran full down to its end: below the crown where that takes a vacuum.
    pub if_full: Level,
    /// Whether it lies beyond the point that governs.
    pub beyond: bool,
}

impl GradePoint {
    /// The head on the top of the pipe.
    pub fn head(&self) -> Head {
        Head::from(self.grade - self.crown)
    }
    /// The head on the top of the pipe if the rest ran full; less than nothing under vacuum.
    pub fn head_if_full(&self) -> Head {
        Head::from(self.if_full - self.crown)
    }
}

/// A part of a line beyond a high point that the flow does not fill: it runs part full where air gets in, and under
/// vacuum where none does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlackPart {
    /// Where it begins: a high point.
    pub from: Length,
    /// Where the pipe is full again, or ends.
    pub to: Length,
    /// The deepest vacuum while the pump runs, if no air gets in and all the rest runs full.
    pub vacuum: Head,
    /// Where it is.
    pub deepest_at: Length,
}

/// The vacuum at a point when the water comes to rest and for a while still hangs on what lies beyond.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RestVacuum {
    /// The point.
    pub at: Length,
    /// Where the column that pulls at it ends: the first vent that bears on it, or the outlet.
    pub to: Length,
    /// How deep it is.
    pub vacuum: Head,
}

impl DischargeLine {
    /// The vacuum at rest of each point on the way to which no vent lets air: its crown above the highest of the vented
    /// crowns beyond it and the end, with the ditch empty. Air from a vent before it reaches it where the line does not
    /// rise between.
    pub fn vacuum_at_rest(&self) -> Vec<RestVacuum> {
        let crown = |at: Length, invert: Level| invert + self.pipe_at(at).bore;
        let end = self.end_point().map(|end| crown(end.at, end.invert));
        let end = (self.length(), end.map_or(self.outlet.level, |end| end.max(self.outlet.level)));
        let way = self.points_on_the_way();
        let mut aired = false;
        let mut before: Option<Level> = None;
        let mut pulls = Vec::new();
        for (index, point) in way.iter().enumerate() {
            aired = self.vented_at(point.at) || (aired && before.is_some_and(|before| point.invert <= before));
            before = Some(point.invert);
            if aired {
                continue;
            }
            let vents = way.iter().skip(index + 1).filter(|beyond| self.vented_at(beyond.at));
            let (to, level) = vents
                .map(|beyond| (beyond.at, crown(beyond.at, beyond.invert)))
                .fold(end, |highest, next| if next.1 > highest.1 { next } else { highest });
            let vacuum = Head::from(crown(point.at, point.invert) - level);
            if vacuum > Head::ZERO {
                pulls.push(RestVacuum { at: point.at, to, vacuum });
            }
        }
        pulls
    }
}

/// The parts of a grade line that the flow does not fill, in order from the basin.
pub fn slack_parts(grade: &[GradePoint]) -> Vec<SlackPart> {
    let Some(first) = grade.iter().position(|point| point.beyond).and_then(|index| index.checked_sub(1)) else {
        return Vec::new();
    };
    let slack = |point: &GradePoint| (point.backed_up - point.crown).m();
    let mut parts: Vec<SlackPart> = Vec::new();
    let mut open = false;
    for (index, pair) in grade.windows(2).enumerate().skip(first) {
        let [near, far] = pair else { continue };
        let last = index + 2 == grade.len();
        let (before, after) = (slack(near), if last { 0.0 } else { slack(far) });
        if !open && before < -SLACK_M {
            parts.push(SlackPart { from: near.station, to: far.station, vacuum: Head::ZERO, deepest_at: near.station });
            open = true;
        }
        let Some(part) = parts.last_mut().filter(|_| open) else { continue };
        if -near.head_if_full() > part.vacuum {
            (part.vacuum, part.deepest_at) = (-near.head_if_full(), near.station);
        }
        part.to = far.station;
        if !last && after >= -SLACK_M {
            part.to = near.station + (far.station - near.station) * (before / (before - after)).clamp(0.0, 1.0);
            open = false;
        }
        if last {
            // the end itself is full or free
            let back = slack(far);
            if back >= 0.0 && before < 0.0 {
                part.to = near.station + (far.station - near.station) * (before / (before - back)).clamp(0.0, 1.0);
            }
        }
    }
    parts
}

/// Less than this is the arithmetic.
const SLACK_M: f64 = 1e-6;

impl SystemCurve {
    /// The pressure along the line at a flow.
    pub fn grade_line(&self, line_flow: Flow, water_level: Level) -> Vec<GradePoint> {
        let q = line_flow.m3s();
        let (power, square) = (flow_power(q, self.method), q * q.abs());
        let (junction, governing) = self.junction_m(q, water_level.m());
        let (mut before, mut index_before) = (0.0, 0);
        let losses: Vec<f64> = self.stretches.iter().map(|stretch| self.loss_of(stretch, q, power)).collect();
        let total: f64 = losses.iter().skip(1).sum();
        let end = self.points.last().zip(self.stretches.last()).map_or(0.0, |(point, stretch)| {
            point.level_m + point.extra_head_m + (1.0 + point.extra_k) * stretch.velocity_head * square
        });
        let mut points = Vec::with_capacity(self.points.len());
        for (index, point) in self.points.iter().enumerate() {
            let Some(stretch) = self.stretches.get(point.stretch) else { continue };
            while index_before < point.stretch {
                before += if index_before == 0 { 0.0 } else { losses.get(index_before).copied().unwrap_or(0.0) };
                index_before += 1;
            }
            let up_to = before + losses.get(point.stretch).copied().unwrap_or(0.0) * point.part;
            let velocity_head = stretch.velocity_head * square;
            let asked = point.level_m + point.extra_head_m + (1.0 + point.extra_k) * velocity_head;
            points.push((index, point, up_to, velocity_head, asked));
        }
        // from the outlet back: what the points beyond ask for
        let mut beyond_m = f64::NEG_INFINITY;
        let mut grade = Vec::with_capacity(points.len());
        for (index, point, up_to, velocity_head, asked) in points.into_iter().rev() {
            let beyond = index > governing;
            let if_full = end + total - up_to - velocity_head;
            let last = grade.is_empty();
            let backed_up = if last { asked - velocity_head } else { beyond_m - up_to - velocity_head };
            beyond_m = beyond_m.max(asked + up_to);
            let level =
                if beyond { backed_up.max(point.level_m) } else { water_level.m() + junction - up_to - velocity_head };
            grade.push(GradePoint {
                station: point.station,
                crown: Level::from_m(point.level_m),
                grade: Level::from_m(level),
                backed_up: Level::from_m(backed_up),
                if_full: Level::from_m(if_full),
                beyond,
            });
        }
        grade.reverse();
        grade
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hydraulics::friction::{hazen_williams_loss, pipe_velocity};
    use crate::hydraulics::loss::{minor_loss, velocity_head};
    use crate::hydraulics::{
        DischargeLine, FittingCount, FrictionMethod, Outlet, Pipe, PipeUse, ProfilePoint, Run, Water,
    };
    use crate::quantity::Temperature;
    use approx::assert_relative_eq;

    fn run(bore: f64, length: f64, k: f64) -> Run {
        let bore = Length::from_inch(bore);
        let pipe = Pipe {
            material: "invented".to_owned(),
            size: format!("{} in", bore.inch()),
            outside_diameter: bore,
            bore,
            average_bore: None,
            rating: None,
            hazen_williams_c: 140.0,
            roughness: Length::ZERO,
            manning_n: 0.01,
            made_for: PipeUse::Pressure,
            against_pressure: None,
            elastic_modulus: None,
        };
        let fittings = vec![FittingCount::of_k("any", 1, k, "invented")];
        Run { pipe, length: Length::from_ft(length), fittings, allowance: 0.0 }
    }

    /// Two runs of 2 in and 1.5 in, a point in each and one at the change, an outlet with a cover.
    fn line(middle: f64) -> DischargeLine {
        let point = |at: f64, invert: f64| ProfilePoint {
            at: Length::from_ft(at),
            invert: Level::from_ft(invert),
            ground: None,
            under: None,
        };
        DischargeLine {
            riser: run(2.0, 3.0, 1.0),
            risers: 1,
            check_valve: None,
            relief_hole: None,
            drain_hole: None,
            runs: vec![run(2.0, 80.0, 1.5), run(1.5, 60.0, 2.5)],
            profile: vec![point(0.0, 2.0), point(40.0, middle), point(110.0, 6.0), point(140.0, 8.0)],
            vents: Vec::new(),
            outlet: Outlet {
                kind: "any".to_owned(),
                level: Level::from_ft(9.0),
                ditch_full: None,
                k: 0.7,
                opening_head: Some(Head::from_ft(0.4)),
                returned_share: 0.0,
            },
        }
    }

    /// What is lost from the start of the runs to a station, by the formulas one by one.
    fn lost(line: &DischargeLine, flow: Flow, station: f64) -> f64 {
        let mut left = station;
        let mut sum = 0.0;
        for (index, run) in line.runs.iter().enumerate() {
            let part = (left / run.length.ft()).clamp(0.0, 1.0);
            let velocity = pipe_velocity(flow, run.pipe.bore);
            let changes: f64 = line.changes_at(index).map(|change| change.k).sum();
            sum += part
                * (hazen_williams_loss(run.length, flow, run.pipe.hazen_williams_c, run.pipe.bore).ft()
                    + minor_loss(run.sum_k() + changes, velocity).ft());
            left -= run.length.ft();
        }
        sum
    }

    fn grade(line: &DischargeLine, flow: Flow) -> Vec<GradePoint> {
        let water = Water::at(Temperature::from_fahrenheit(60.0));
        SystemCurve::new(line, Level::ZERO, None, water, FrictionMethod::HazenWilliams).grade_line(flow, Level::ZERO)
    }

    #[test]
    fn identity_the_grade_line_falls_by_what_is_lost() {
        let flow = Flow::from_gpm(30.0);
        let line = line(4.0);
        let head = |bore: f64| velocity_head(pipe_velocity(flow, Length::from_inch(bore))).ft();
        // at the end: the outlet, the cover, its loss and the velocity head
        let end = 9.0 + 0.4 + (1.0 + 0.7) * head(1.5);
        let whole = lost(&line, flow, 140.0);
        for (point, (station, bore)) in
            grade(&line, flow).iter().zip([(0.0, 2.0), (40.0, 2.0), (110.0, 1.5), (140.0, 1.5)])
        {
            let level = end + whole - lost(&line, flow, station) - head(bore);
            // nothing governs but the outlet: from both sides the same
            assert_relative_eq!(point.if_full.ft(), level, max_relative = 1e-9);
            assert_relative_eq!(point.grade.ft(), level, max_relative = 1e-9);
            assert!(!point.beyond);
            assert_relative_eq!(point.station.ft(), station, epsilon = 1e-9);
        }
        assert!(slack_parts(&grade(&line, flow)).is_empty());
    }

    #[test]
    fn identity_beyond_a_summit_the_pipe_is_not_filled() {
        let flow = Flow::from_gpm(20.0);
        let line = line(25.0);
        let points = grade(&line, flow);
        // the summit stands just under the grade line; what follows runs part full, down to where the outlet backs it up
        assert_relative_eq!(points[1].head().ft(), 0.0, epsilon = 1e-9);
        assert_relative_eq!(points[1].crown.ft(), 25.0 + 2.0 / 12.0, epsilon = 1e-9);
        // before it the line is lost on the way up
        let before = points[1].grade.ft() + lost(&line, flow, 40.0);
        assert_relative_eq!(points[0].grade.ft(), before, max_relative = 1e-9);
        assert_eq!(points.iter().map(|point| point.beyond).collect::<Vec<_>>(), [false, false, true, true]);
        let parts = slack_parts(&points);
        assert_eq!(parts.len(), 1);
        let slack = parts[0];
        assert_relative_eq!(slack.from.ft(), 40.0);
        let (summit, low) = (points[1].head_if_full().ft(), points[2].head_if_full().ft());
        assert!(summit < 0.0 && low > 0.0);
        // straight between the two
        assert_relative_eq!(slack.to.ft(), 40.0 + 70.0 * summit / (summit - low), max_relative = 1e-9);
        assert_relative_eq!(slack.vacuum.ft(), -summit, max_relative = 1e-9);
        assert_relative_eq!(slack.deepest_at.ft(), 40.0);
        // at rest it hangs on the outlet
        // at rest it hangs on the outlet, at 9 ft
        let pulls = line.vacuum_at_rest();
        assert_eq!(pulls.len(), 1);
        assert_relative_eq!(pulls[0].vacuum.ft(), 25.0 + 2.0 / 12.0 - 9.0, max_relative = 1e-9);
        let with = |at: f64| {
            let vent = crate::hydraulics::Vent { at: Length::from_ft(at), open_top: None };
            DischargeLine { vents: vec![vent], ..line.clone() }.vacuum_at_rest()
        };
        assert!(with(40.0).is_empty());
        // the point at 110 ft lies lower than the outlet
        assert_relative_eq!(with(110.0)[0].vacuum.ft(), 25.0 + 2.0 / 12.0 - 9.0, max_relative = 1e-9);
    }
}
