//! Words beside their points, out of one another's way.

use super::canvas::{Anchor, Canvas, FAINT, INK, Pen, SMALL, text_width};

/// A rectangle of the page: left, top, right, bottom.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Box4(f64, f64, f64, f64);

impl Box4 {
    fn meets(self, other: Self) -> bool {
        self.0 < other.2 && other.0 < self.2 && self.1 < other.3 && other.1 < self.3
    }
    fn holds(self, (x, y): (f64, f64)) -> bool {
        self.0 <= x && x <= self.2 && self.1 <= y && y <= self.3
    }
}

/// Finds a place for words beside a point.
#[derive(Debug)]
pub(super) struct Placer {
    bounds: Box4,
    taken: Vec<Box4>,
    drawn: Vec<(f64, f64)>,
}

/// Distances from the point at which a place is looked for.
const DISTANCES: [f64; 7] = [8.0, 16.0, 28.0, 44.0, 62.0, 84.0, 110.0];
/// The line from a word to a point that it stands far from.
const LEADER: Pen = Pen::solid(0.7, FAINT);

impl Placer {
    pub(super) fn new(top_left: (f64, f64), bottom_right: (f64, f64)) -> Self {
        let bounds = Box4(top_left.0, top_left.1, bottom_right.0, bottom_right.1);
        Self { bounds, taken: Vec::new(), drawn: Vec::new() }
    }

    /// Keeps words off a curve, as well as may be.
    pub(super) fn keep_off(&mut self, curve: &[(f64, f64)]) {
        for pair in curve.windows(2) {
            let [from, to] = pair else { continue };
            let steps = (libm::hypot(to.0 - from.0, to.1 - from.1) / 4.0).clamp(1.0, 200.0);
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "from 1 to 200")]
            let steps = steps as u32;
            for step in 0..=steps {
                let share = f64::from(step) / f64::from(steps);
                self.drawn.push((from.0 + (to.0 - from.0) * share, from.1 + (to.1 - from.1) * share));
            }
        }
    }

    /// Words beside a point, where they are least in the way.
    pub(super) fn label(&mut self, canvas: &mut Canvas, point: (f64, f64), words: &str) {
        let width = text_width(words, SMALL);
        let mut best: Option<(f64, Box4, f64, f64)> = None;
        for distance in DISTANCES {
            // to the upper right first, where a rising line leaves room least often, then round
            for (right, down) in
                [(1.0, -0.6), (-1.0, -0.6), (1.0, 0.6), (-1.0, 0.6), (0.0, -1.0), (0.0, 1.0), (1.0, 0.0), (-1.0, 0.0)]
            {
                let left = point.0 + right * distance + (right - 1.0) / 2.0 * width;
                let middle = point.1 + down * distance;
                let place = Box4(left - 1.0, middle - SMALL * 0.6, left + width + 1.0, middle + SMALL * 0.6);
                let cost = self.cost(place) + distance * 0.05;
                if best.is_none_or(|(least, ..)| cost < least) {
                    best = Some((cost, place, distance, right));
                }
            }
        }
        let Some((_, place, distance, right)) = best else { return };
        self.taken.push(place);
        let middle = f64::midpoint(place.1, place.3);
        if distance > 10.0 {
            let near = point.0.clamp(place.0, place.2);
            let end = if right == 0.0 { place.1.max(point.1.min(place.3)) } else { middle };
            canvas.line(point, (near, end), LEADER);
        }
        // words take less room than is kept for them: they stand at the end that is nearer to the point
        let (x, anchor) = match right {
            right if right > 0.0 => (place.0 + 1.0, Anchor::Start),
            right if right < 0.0 => (place.2 - 1.0, Anchor::End),
            _ => (f64::midpoint(place.0, place.2), Anchor::Middle),
        };
        canvas.text((x, middle + SMALL * 0.35), words, SMALL, anchor, INK);
    }

    fn cost(&self, place: Box4) -> f64 {
        let bounds = self.bounds;
        let outside = (bounds.0 - place.0).max(0.0)
            + (place.2 - bounds.2).max(0.0)
            + (bounds.1 - place.1).max(0.0)
            + (place.3 - bounds.3).max(0.0);
        let met = self.taken.iter().filter(|taken| taken.meets(place)).count() as f64;
        let crossed = self.drawn.iter().filter(|point| place.holds(**point)).count() as f64;
        outside * 100.0 + met * 1000.0 + crossed * 3.0
    }
}

/// Heights for labels beside one another, each as near its own as may be and none closer than `apart`, between two ends.
/// In the order given, which is from the top down.
pub(super) fn spread(wanted: &[f64], apart: f64, (top, bottom): (f64, f64)) -> Vec<f64> {
    // labels that would touch make a group around the middle of what its members want
    let mut groups: Vec<(f64, usize)> = Vec::new();
    for want in wanted {
        groups.push((*want, 1));
        while let [.., (above, many), (below, few)] = *groups.as_slice() {
            let count = many + few;
            if below - above >= apart * count as f64 / 2.0 {
                break;
            }
            groups.truncate(groups.len() - 2);
            groups.push(((above * many as f64 + below * few as f64) / count as f64, count));
        }
    }
    let mut heights: Vec<f64> = Vec::with_capacity(wanted.len());
    for (centre, count) in groups {
        let half = apart * (count as f64 - 1.0) / 2.0;
        heights.extend((0..count).map(|member| centre - half + apart * member as f64));
    }
    let mut least = top;
    for height in &mut heights {
        *height = height.max(least);
        least = *height + apart;
    }
    let mut most = bottom;
    for height in heights.iter_mut().rev() {
        *height = height.min(most);
        most = *height - apart;
    }
    heights
}

#[cfg(test)]
mod tests {
    use super::spread;

    #[test]
    fn identity_labels_keep_apart_and_in_order() {
        let heights = spread(&[10.0, 11.0, 12.0, 80.0, 81.0, 200.0], 14.0, (0.0, 210.0));
        assert_eq!(heights.len(), 6);
        for pair in heights.windows(2) {
            assert!(pair[1] - pair[0] >= 14.0 - 1e-9, "{heights:?}");
        }
    }
}
