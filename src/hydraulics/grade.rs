//! The hydraulic grade line: the pressure along the line, and the part of it that the flow does not fill.

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

/// The part of a line beyond its high point that the flow does not fill: it runs part full where air gets in, and
/// under vacuum where none does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlackPart {
    /// Where it begins: the point that governs.
    pub from: Length,
    /// Where the pipe is full again, or ends.
    pub to: Length,
    /// The deepest vacuum while the pump runs, if no air gets in.
    pub vacuum: Head,
    /// Where it is.
    pub deepest_at: Length,
    /// The vacuum at the top when the water has come to rest and still hangs on the outlet, which takes an outlet under
    /// water.
    pub vacuum_at_rest: Head,
}

/// The part of a grade line that the flow does not fill, if there is one.
pub fn slack_part(grade: &[GradePoint]) -> Option<SlackPart> {
    let first = grade.iter().position(|point| point.beyond)?.checked_sub(1)?;
    let (top, end) = (grade.get(first)?, grade.last()?);
    let deepest = grade
        .iter()
        .skip(first)
        .reduce(|best, next| if next.head_if_full() < best.head_if_full() { next } else { best })?;
    if deepest.head_if_full() >= Head::ZERO {
        return None;
    }
    let full_again = grade.windows(2).skip(first).find_map(|pair| {
        let [near, far] = pair else { return None };
        let (before, after) = (near.head_if_full().m(), far.head_if_full().m());
        (before < 0.0 && after >= 0.0)
            .then(|| near.station + (far.station - near.station) * (before / (before - after)))
    });
    Some(SlackPart {
        from: top.station,
        to: full_again.unwrap_or(end.station),
        vacuum: -deepest.head_if_full(),
        deepest_at: deepest.station,
        vacuum_at_rest: Head::from((top.crown - end.crown).max(Length::ZERO)),
    })
}

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
        let mut grade = Vec::with_capacity(self.points.len());
        for (index, point) in self.points.iter().enumerate() {
            let Some(stretch) = self.stretches.get(point.stretch) else { continue };
            while index_before < point.stretch {
                before += if index_before == 0 { 0.0 } else { losses.get(index_before).copied().unwrap_or(0.0) };
                index_before += 1;
            }
            let up_to = before + losses.get(point.stretch).copied().unwrap_or(0.0) * point.part;
            let beyond = index > governing;
            let velocity_head = stretch.velocity_head * square;
            let if_full = end + total - up_to - velocity_head;
            let level =
                if beyond { if_full.max(point.level_m) } else { water_level.m() + junction - up_to - velocity_head };
            grade.push(GradePoint {
                station: point.station,
                crown: Level::from_m(point.level_m),
                grade: Level::from_m(level),
                if_full: Level::from_m(if_full),
                beyond,
            });
        }
        grade
    }
}
