//! What happens inside a step: a cubic for each store, and where it crosses a level.
#![expect(clippy::indexing_slicing, reason = "indices come from a system that was checked, never from input")]

/// One quantity inside a step: a cubic in the share of the step.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Cubic {
    start: f64,
    end: f64,
    bend: f64,
    twist: f64,
    /// The least and the most that it can be between 0 and 1.
    between: (f64, f64),
}

/// What the stores hold inside a step: a cubic each, in the share of the step, 0 to 1.
#[derive(Clone, Debug, Default)]
pub(super) struct Dense {
    cubics: Vec<Cubic>,
}

impl Dense {
    pub(super) fn new(stores: usize) -> Self {
        Self { cubics: vec![Cubic::default(); stores] }
    }
    pub(super) fn cubics_mut(&mut self) -> &mut [Cubic] {
        &mut self.cubics
    }
    pub(super) fn cubics(&self) -> &[Cubic] {
        &self.cubics
    }
    pub(super) fn cubic(&self, store: usize) -> Cubic {
        self.cubics[store]
    }
    /// One store at a share of the step.
    pub(super) fn at(&self, store: usize, share: f64) -> f64 {
        self.cubics[store].at(share)
    }
    /// One store at the end of the step.
    #[cfg(test)]
    pub(super) fn end(&self, store: usize) -> f64 {
        self.cubics[store].end
    }
    /// Where a store turns from rising to falling in the first share of a step.
    pub(super) fn summit(&self, store: usize, share: f64) -> Option<f64> {
        let cubic = self.cubics[store];
        let top = |turn: f64| turn > 0.0 && turn < share && cubic.slope(turn - 1e-9) > cubic.slope(turn + 1e-9);
        if cubic.slope(0.0) <= 0.0 || cubic.slope(share) >= 0.0 {
            return None;
        }
        cubic.turns().into_iter().find(|turn| top(*turn))
    }
    /// The first share of a step, between two, at which a store is above a volume (`up`) or below it.
    #[inline]
    pub(super) fn crosses(&self, store: usize, volume: f64, up: bool, within: (f64, f64)) -> Option<f64> {
        let cubic = &self.cubics[store];
        let reaches = if up { cubic.between.1 > volume } else { cubic.between.0 < volume };
        if reaches { cubic.crosses(volume, up, within) } else { None }
    }
}

impl Cubic {
    /// The first share, between two, at which it is above a value (`up`) or below it.
    #[inline(never)]
    fn crosses(self, volume: f64, up: bool, (from, until): (f64, f64)) -> Option<f64> {
        let cubic = self;
        let sign = if up { 1.0 } else { -1.0 };
        let over = |share: f64| sign * (cubic.at(share) - volume);
        let with_slope = |share: f64| (over(share), sign * cubic.slope(share));
        if over(from) > 0.0 {
            return Some(from);
        }
        // it turns at most twice: its pieces are looked at one by one
        let turns = cubic.turns();
        let mut low = from;
        for high in [turns[0].min(until), turns[1].min(until), until] {
            if high <= low {
                continue;
            }
            let (at_low, at_high) = (over(low), over(high));
            if at_high > 0.0 {
                return Some(first_over((low, at_low), (high, at_high), &with_slope));
            }
            low = high;
        }
        None
    }
    /// From its ends and the two bends of the dense output: `y = start (1-s) + s (end + (1-s)(bend + s twist))`.
    pub(super) fn new(start: f64, end: f64, bend: f64, twist: f64) -> Self {
        // it lies within its four control points
        let rise = end - start;
        let (near, far) = (start + (rise + bend) / 3.0, end - (rise - bend - twist) / 3.0);
        let between = (start.min(end).min(near).min(far), start.max(end).max(near).max(far));
        Self { start, end, bend, twist, between }
    }
    /// From its start and the coefficients of its powers.
    pub(super) fn of_powers(start: f64, [first, second, third]: [f64; 3]) -> Self {
        Self::new(start, start + (first + second + third), -third - second, -third)
    }
    /// The coefficients of its powers.
    pub(super) fn powers(self) -> [f64; 3] {
        [self.end - self.start + self.bend, self.twist - self.bend, -self.twist]
    }
    /// A part of it, from a share on over a width, as a whole; its start is known.
    pub(super) fn part(self, start: f64, from: f64, width: f64) -> Self {
        let [first, second, third] = self.powers();
        let square = width * width;
        let slope = first + (2.0 * second + 3.0 * third * from) * from;
        Self::of_powers(start, [slope * width, (second + 3.0 * third * from) * square, third * square * width])
    }
    pub(super) fn at(self, share: f64) -> f64 {
        if share >= 1.0 {
            return self.end;
        }
        let left = 1.0 - share;
        self.start * left + share * (self.end + left * (self.bend + share * self.twist))
    }
    fn slope(self, share: f64) -> f64 {
        self.end - self.start + (1.0 - 2.0 * share) * self.bend + share * (2.0 - 3.0 * share) * self.twist
    }
    /// Where it turns inside the step, in order; 0 where it does not.
    fn turns(self) -> [f64; 2] {
        // its slope is c + b s + a s²
        let (a, b, c) = (-3.0 * self.twist, 2.0 * (self.twist - self.bend), self.end - self.start + self.bend);
        let discriminant = b * b - 4.0 * a * c;
        if discriminant <= 0.0 || (a == 0.0 && b == 0.0) {
            return [0.0, 0.0];
        }
        let half = -0.5 * (b + discriminant.sqrt().copysign(b));
        let inside = |share: f64| if share > 0.0 && share < 1.0 { share } else { 0.0 };
        let (one, other) = (inside(half / a), inside(c / half));
        [one.min(other), one.max(other)]
    }
}

/// Where something that only grows, and is not over nothing at the low end but is at the high one, comes to be: the first
/// share found to be over, no more than the last digits beyond the crossing. Told are its value and its slope.
fn first_over(low: (f64, f64), high: (f64, f64), over: &impl Fn(f64) -> (f64, f64)) -> f64 {
    let ((mut low, at_low), (mut high, at_high)) = (low, high);
    let close = 2.0 * f64::EPSILON * high;
    // Newton's method from the chord, with a bisection where it leaves what is known or is slow
    let mut share = low - at_low * (high - low) / (at_high - at_low);
    let mut stride = high - low;
    while high - low > 2.0 * close {
        if share <= low || share >= high {
            share = low + 0.5 * (high - low);
        }
        let (at, slope) = over(share);
        if at > 0.0 {
            high = share;
        } else {
            low = share;
        }
        let newton = at / slope;
        if newton.abs() <= close {
            if at > 0.0 {
                return high;
            }
            break;
        }
        let near = share - newton;
        let fast = near > low && near < high && newton.abs() <= 0.5 * stride;
        let next = if fast { near } else { low + 0.5 * (high - low) };
        stride = (next - share).abs();
        share = next;
    }
    // the crossing is as near as digits tell: the first that is over
    let mut further = close;
    while low + further < high {
        if over(low + further).0 > 0.0 {
            return low + further;
        }
        further *= 2.0;
    }
    high
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;
    use proptest::prelude::*;

    /// 1 + 2.25 s - 6 s² + 4 s³ grows by 12 (s - 1/4) (s - 3/4).
    #[test]
    fn identity_slopes_by_hand() {
        let wave = Cubic::of_powers(1.0, [2.25, -6.0, 4.0]);
        for (share, slope) in [(0.0, 2.25), (0.25, 0.0), (0.5, -0.75), (0.75, 0.0), (1.0, 2.25)] {
            assert_abs_diff_eq!(wave.slope(share), slope, epsilon = 1e-12);
        }
    }

    /// The crossing of a line, of parabolas and of a cubic, to the last digits. How many looks is what it
    /// takes today: more would be a slower search, fewer a less exact one.
    #[test]
    fn identity_a_search_ends_just_beyond_the_crossing_and_soon() {
        type Law = (fn(f64) -> (f64, f64), f64, u32);
        let laws: [Law; 6] = [
            (|share| (3.0 * share - 1.0, 3.0), 1.0 / 3.0, 2),
            (|share| (share * share - 0.5, 2.0 * share), f64::sqrt(0.5), 6),
            (|share| (share * share * share - 1e-3, 3.0 * share * share), 0.1, 10),
            (|share| (share * share - 1e-10, 2.0 * share), 1e-5, 22),
            (|share| (0.5 - (1.0 - share) * (1.0 - share), 2.0 * (1.0 - share)), 1.0 - f64::sqrt(0.5), 6),
            // so flat that only halving gets there
            (|share| if share > 0.3 { (1.0, 0.0) } else { (-1e-9, 0.0) }, 0.3, 52),
        ];
        for (law, exact, takes) in laws {
            let looks = std::cell::Cell::new(0_u32);
            let over = |share: f64| {
                looks.set(looks.get() + 1);
                law(share)
            };
            let found = first_over((0.0, law(0.0).0), (1.0, law(1.0).0), &over);
            assert_abs_diff_eq!(found, exact, epsilon = 1e-15);
            assert!(law(found).0 >= 0.0);
            assert_eq!(looks.get(), takes, "{exact}");
        }
        // so near the crossing already that a chord leads nowhere
        let over = |share: f64| (2.0 * (share - 0.5) - 1e-18, 2.0);
        assert_abs_diff_eq!(first_over((0.5, over(0.5).0), (1.0, over(1.0).0), &over), 0.5, epsilon = 1e-15);
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, cases: 500, ..ProptestConfig::default() })]

        #[test]
        fn identity_crossings_and_summits_are_those_of_a_fine_walk(start in -1.0..1.0_f64, end in -1.0..1.0_f64, bend in -3.0..3.0_f64, twist in -3.0..3.0_f64, volume in -1.5..1.5_f64, up: bool) {
            let dense = Dense { cubics: vec![Cubic::new(start, end, bend, twist)] };
            let cubic = dense.cubics[0];
            let over = |share: f64| if up { cubic.at(share) - volume } else { volume - cubic.at(share) };
            let walk = (0..=20_000_u32).map(|step| f64::from(step) / 20_000.0).find(|share| over(*share) > 0.0);
            match (walk, dense.crosses(0, volume, up, (0.0, 1.0))) {
                (Some(walked), Some(found)) => prop_assert!(found <= walked && walked - found <= 1.001 / 20_000.0, "{walked} {found}"),
                // a touch between two steps of the walk
                (None, Some(found)) => prop_assert!(over(found).abs() < 1e-6),
                (None, None) => {}
                (Some(walked), None) => prop_assert!(false, "missed {walked}"),
            }
            for step in 0..=100_u32 {
                let at = cubic.at(f64::from(step) / 100.0);
                prop_assert!(at >= cubic.between.0 - 1e-12 && at <= cubic.between.1 + 1e-12);
            }
            if let Some(top) = dense.summit(0, 1.0) {
                assert_abs_diff_eq!(cubic.slope(top), 0.0, epsilon = 1e-9);
                prop_assert!(cubic.at(top) >= cubic.at(top - 1e-4) && cubic.at(top) >= cubic.at(top + 1e-4));
            }
        }
    }
}
