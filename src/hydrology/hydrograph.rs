//! Runoff in time: what a surface sends through a storm.

use super::excess::RainBlock;
use super::rainfall::RainError;
use crate::quantity::{Area, Duration, Flow, Volume};

/// Points closer together than this, in seconds, are one.
const TOGETHER_S: f64 = 1e-9;
/// How far below the largest flow counts as rounding of it.
const AS_LARGE: f64 = 1.0 - 1e-12;

/// A flow in time that changes steadily from point to point, and is nothing before the first and after the last.
///
/// It has no jumps: the first and the last flow are nothing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Hydrograph {
    /// Seconds and m³/s, time rising.
    points: Vec<(f64, f64)>,
}

impl Hydrograph {
    /// Runoff of a surface: each block of excess rain reaches the outlet spread evenly over the time of concentration.
    ///
    /// `Q(t) = A (E(t) - E(t - tc)) / tc`, with `E` the depth of excess that has fallen by a time. Of one steady rain it
    /// is a triangle where the rain lasts as long as the time of concentration, and a trapezoid otherwise: longer rain
    /// reaches `i A`, shorter rain `i A D/tc`. The volume is that of the excess, exactly.
    ///
    /// Of a [`super::nested_storm`] with a coefficient the peak is `C i(tc) A`, the rational method's, where the time of
    /// concentration is one of the storm's durations. For any other it is lower: below the shortest duration the storm
    /// knows no harder rain than that of the shortest, between two durations less than 1 % is lost. It is never higher
    /// where the rain's added depth falls with duration, as that of any formula; a table whose depth stands still between
    /// two durations and then grows again may bring more beside the middle.
    ///
    /// # Errors
    ///
    /// [`RainError::BadDuration`] unless the time of concentration is above zero, [`RainError::BadRunoff`] where the
    /// area or the excess is negative or not a number.
    ///
    /// Source: the modified rational method; shapes in Dhakal et al. (2014), section 2 and figure 1.
    pub fn of_surface(excess: &[RainBlock], area: Area, time_of_concentration: Duration) -> Result<Self, RainError> {
        let tc_s = time_of_concentration.s();
        if !(tc_s.is_finite() && tc_s > 0.0) {
            return Err(RainError::BadDuration { duration: time_of_concentration });
        }
        let usable = |value: f64| value.is_finite() && value >= 0.0;
        let whole = excess.iter().all(|block| usable(block.duration.s()) && usable(block.intensity.ms()));
        let mass = mass_curve(excess);
        let total_m = mass.last().map_or(0.0, |last| last.1);
        if !(whole && usable(area.m2()) && usable(total_m * area.m2() / tc_s)) {
            return Err(RainError::BadRunoff);
        }
        if mass.len() < 2 {
            return Ok(Self::default());
        }
        let begins = mass.iter().map(|point| point.0);
        let times = in_order(begins.clone().chain(begins.map(|begin| begin + tc_s)).collect());
        let flow = |t_s: f64| area.m2() * (between(&mass, t_s) - between(&mass, t_s - tc_s)).max(0.0) / tc_s;
        let mut points: Vec<(f64, f64)> = times.into_iter().map(|t_s| (t_s, flow(t_s))).collect();
        // the excess at both ends cancels but for rounding
        if let Some(last) = points.last_mut() {
            last.1 = 0.0;
        }
        Ok(Self { points })
    }
    /// Several hydrographs at once, on one clock. Times that they share are one point.
    #[must_use]
    pub fn sum(parts: &[Self]) -> Self {
        let times = in_order(parts.iter().flat_map(|part| part.points.iter().map(|point| point.0)).collect());
        let at = |t_s: f64| parts.iter().map(|part| part.at_s(t_s)).sum();
        let mut points: Vec<(f64, f64)> = times.into_iter().map(|t_s| (t_s, at(t_s))).collect();
        // a point that another took in may leave a trace of flow
        if let Some(last) = points.last_mut() {
            last.1 = 0.0;
        }
        Self { points }
    }
    /// The flow at a time; not a number where the time is not.
    pub fn at(&self, time: Duration) -> Flow {
        Flow::from_m3s(if time.s().is_nan() { f64::NAN } else { self.at_s(time.s()) })
    }
    fn at_s(&self, t_s: f64) -> f64 {
        if self.points.last().is_none_or(|last| t_s >= last.0) { 0.0 } else { between(&self.points, t_s) }
    }
    /// Time and flow of each point, time rising.
    pub fn points(&self) -> impl Iterator<Item = (Duration, Flow)> {
        self.points.iter().map(|&(t_s, q_m3s)| (Duration::from_s(t_s), Flow::from_m3s(q_m3s)))
    }
    /// All the water.
    pub fn volume(&self) -> Volume {
        let piece = |pair: &[(f64, f64)]| match pair {
            [before, after] => (after.0 - before.0) * (before.1 + after.1) / 2.0,
            _ => 0.0,
        };
        Volume::from_m3(self.points.windows(2).map(piece).sum())
    }
    /// The largest flow and when it is first reached; nothing at the start where there is no flow.
    pub fn peak(&self) -> (Duration, Flow) {
        let largest = self.points.iter().map(|point| point.1).fold(0.0, f64::max);
        let first = self.points.iter().find(|point| largest > 0.0 && point.1 >= largest * AS_LARGE);
        (Duration::from_s(first.map_or(0.0, |point| point.0)), Flow::from_m3s(largest))
    }
    /// When the last water has come.
    pub fn last(&self) -> Duration {
        Duration::from_s(self.points.last().map_or(0.0, |point| point.0))
    }
    /// Where the flow begins to rise or fall at another rate: the time in seconds and by how much the slope changes, in
    /// m³/s², time rising. Starting from no flow, they are the whole hydrograph.
    pub fn slope_changes(&self) -> Vec<(f64, f64)> {
        let slope = |pair: &[(f64, f64)]| match pair {
            [before, after] => (after.1 - before.1) / (after.0 - before.0),
            _ => 0.0,
        };
        let after = self.points.windows(2).map(slope).chain(std::iter::once(0.0));
        let mut before = 0.0;
        let change = |(point, after): (&(f64, f64), f64)| {
            let change = after - before;
            before = after;
            (point.0, change)
        };
        self.points.iter().zip(after).map(change).filter(|change| change.1 != 0.0).collect()
    }
}

/// Time in seconds and metres of excess fallen by then, at the start and at the end of each block.
fn mass_curve(excess: &[RainBlock]) -> Vec<(f64, f64)> {
    let mut mass = vec![(0.0, 0.0)];
    let (mut t_s, mut fallen_m) = (0.0, 0.0);
    for block in excess.iter().filter(|block| block.duration > Duration::ZERO) {
        t_s += block.duration.s();
        fallen_m += block.depth().m();
        mass.push((t_s, fallen_m));
    }
    mass
}

/// Times in order, those that fall together once.
fn in_order(mut times_s: Vec<f64>) -> Vec<f64> {
    times_s.sort_by(f64::total_cmp);
    times_s.dedup_by(|after, before| *after - *before < TOGETHER_S);
    times_s
}

/// Straight between points of rising first coordinate; before the first nothing, after the last as there.
fn between(points: &[(f64, f64)], x: f64) -> f64 {
    let after = points.partition_point(|point| point.0 <= x);
    match (after.checked_sub(1).and_then(|before| points.get(before)), points.get(after)) {
        (Some(before), Some(after)) => before.1 + (after.1 - before.1) * ((x - before.0) / (after.0 - before.0)),
        (Some(last), None) => last.1,
        (None, _) => 0.0,
    }
}
