//! The first length at which something is no longer done, on a grid of whole steps.

/// From one length tried to the next, where nothing says where the end is.
const STRIDE: f64 = 1.4;
/// How near to where the end is expected it is looked for first.
const NEAR: f64 = 0.03;

/// The last whole step up to which something is done, from one at which it is on: outward in strides to the first at
/// which it is not, then by halves. None where it is done at `bound` too.
///
/// `does(step)` at the end found is true, and at the step after it false.
pub(super) fn last_done(start: u32, bound: u32, expected: Option<u32>, does: impl Fn(u32) -> bool) -> Option<u32> {
    let mut done = start;
    let mut not = None;
    while not.is_none() {
        if done >= bound {
            return None;
        }
        let next = next_try(done, expected).clamp(done + 1, bound);
        if does(next) { done = next } else { not = Some(next) }
    }
    let mut not = not?;
    while not - done > 1 {
        let middle = done + (not - done) / 2;
        if does(middle) { done = middle } else { not = middle }
    }
    Some(done)
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
                    let found = last_done(start, 1000, expected, |step| step <= end);
                    assert_eq!(found, Some(end), "{start} {expected:?}");
                }
            }
            assert_eq!(first_so(1000, |step| step >= end), Some(end));
        }
        assert_eq!(last_done(1, 1000, Some(40), |_| true), None);
        assert_eq!(last_done(1000, 1000, None, |_| true), None);
        assert_eq!(first_so(1000, |_| false), None);
    }

    #[test]
    fn identity_a_gap_that_a_stride_steps_on_ends_it() {
        // done to 100, not from there to 150, done again after
        let does = |step: u32| !(101..150).contains(&step);
        assert_eq!(last_done(90, 1000, None, does), Some(100));
    }
}
