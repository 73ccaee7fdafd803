//! The first length at which something is no longer done, on a grid of whole steps.

/// From one length tried to the next, where nothing says where the end is.
const STRIDE: f64 = 1.4;
/// How near to where the end is expected it is looked for first.
const NEAR: f64 = 0.03;

/// What came of a step.
#[derive(Clone, Copy, Debug)]
pub(super) struct Judged {
    /// Whether it is done there.
    pub(super) done: bool,
    /// By how much, where that can be told: above zero where it is done, falling from step to step.
    pub(super) spare: Option<f64>,
}

/// The last whole step up to which something is done, from one at which it is on: outward in strides to the first at
/// which it is not, then in between where a straight line through what there is to spare meets nothing, or by halves. None
/// where it is done at `bound` too.
///
/// `does(step)` at the end found is done, and at the step after it not.
pub(super) fn last_done(start: u32, bound: u32, expected: Option<u32>, does: impl Fn(u32) -> Judged) -> Option<u32> {
    let (mut done, mut spare) = (start, None);
    let mut not = None;
    while not.is_none() {
        if done >= bound {
            return None;
        }
        let next = next_try(done, expected).clamp(done + 1, bound);
        let judged = does(next);
        if judged.done { (done, spare) = (next, judged.spare) } else { not = Some((next, judged.spare)) }
    }
    let (mut not, mut short) = not?;
    // a line that leaves more than half is followed by a half
    let mut by_line = true;
    while not - done > 1 {
        let before = not - done;
        let guess = spare.zip(short).filter(|_| by_line).and_then(|(spare, short)| between(done, not, spare, short));
        let middle = guess.unwrap_or(done + before / 2).clamp(done + 1, not - 1);
        let judged = does(middle);
        if judged.done {
            (done, spare) = (middle, judged.spare);
        } else {
            (not, short) = (middle, judged.spare);
        }
        by_line = (not - done) * 2 <= before;
    }
    Some(done)
}

/// The last step before a straight line through two values meets nothing.
fn between(done: u32, not: u32, spare: f64, short: f64) -> Option<u32> {
    let share = spare / (spare - short);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share of a small number of steps")]
    let steps = libm::floor(share * f64::from(not - done)) as u32;
    (spare > 0.0 && short <= 0.0 && share.is_finite()).then(|| done + steps)
}

/// The next step tried: a little before the end expected, a little beyond it, then strides.
fn next_try(done: u32, expected: Option<u32>) -> u32 {
    let near = expected.map(|end| {
        let slack = scaled(end, NEAR).max(2);
        [end.saturating_sub(slack), end.saturating_add(slack)]
    });
    near.into_iter().flatten().find(|step| *step > done).unwrap_or_else(|| scaled(done, STRIDE))
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "both are small and positive")]
fn scaled(step: u32, factor: f64) -> u32 {
    libm::ceil(f64::from(step) * factor) as u32
}

/// The first whole step at which something that goes on for ever once it is so is so; none where it is not at `bound`.
pub(super) fn first_so(bound: u32, is_so: impl Fn(u32) -> bool) -> Option<u32> {
    if is_so(1) {
        return Some(1);
    }
    if !is_so(bound) {
        return None;
    }
    let (mut not, mut so) = (1, bound);
    while so - not > 1 {
        let middle = not + (so - not) / 2;
        if is_so(middle) { so = middle } else { not = middle }
    }
    Some(so)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_the_end_is_done_and_the_next_step_is_not() {
        for end in [1_u32, 2, 3, 17, 99, 262, 999] {
            for start in [1, 2, end / 2, end] {
                let start = start.clamp(1, end);
                for expected in [None, Some(1), Some(end), Some(end + 3), Some(end * 2), Some(end.saturating_sub(5))] {
                    // what is to spare in a straight line, in a bent one, with wrong signs, and not known
                    let ways: [fn(f64) -> Option<f64>; 4] =
                        [|left| Some(left + 0.5), |left| Some((left + 0.5) * left.abs()), |left| Some(-left), |_| None];
                    for spare in ways {
                        let does =
                            |step: u32| Judged { done: step <= end, spare: spare(f64::from(end) - f64::from(step)) };
                        let found = last_done(start, 1000, expected, does);
                        assert_eq!(found, Some(end), "{start} {expected:?}");
                    }
                }
            }
            assert_eq!(first_so(1000, |step| step >= end), Some(end));
        }
        let always = |_| Judged { done: true, spare: None };
        assert_eq!(last_done(1, 1000, Some(40), always), None);
        assert_eq!(last_done(1000, 1000, None, always), None);
        assert_eq!(first_so(1000, |_| false), None);
    }

    #[test]
    fn identity_a_line_finds_the_end_in_fewer_steps() {
        let count = |straight: bool| {
            let tried = std::cell::Cell::new(0);
            let does = |step: u32| {
                tried.set(tried.get() + 1);
                let left = 700.3 - f64::from(step);
                Judged { done: left >= 0.0, spare: straight.then_some(left) }
            };
            assert_eq!(last_done(1, 100_000, None, does), Some(700));
            tried.get()
        };
        assert!(count(true) + 4 <= count(false), "{} {}", count(true), count(false));
    }

    #[test]
    fn identity_a_gap_that_a_stride_steps_on_ends_it() {
        // done to 100, not from there to 150, done again after
        let does = |step: u32| Judged { done: !(101..150).contains(&step), spare: None };
        assert_eq!(last_done(90, 1000, None, does), Some(100));
    }
}
