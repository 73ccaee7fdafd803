//! Whether water reached a place that must stay dry.

use crate::quantity::Level;
use crate::routing::{Mark, Router};

/// What was seen of a protected place.
#[derive(Clone, Debug)]
pub(super) struct Reached {
    marks: Vec<usize>,
    /// How often water had risen above each mark when it was last looked at, and whether it stood there then.
    last: Vec<(u64, bool)>,
    pub(super) events: u64,
    /// The highest water, and when.
    pub(super) highest: Option<(Level, f64)>,
}

impl Reached {
    pub(super) fn new(marks: &[usize]) -> Self {
        Self { marks: marks.to_vec(), last: vec![(0, false); marks.len()], events: 0, highest: None }
    }
    /// Looks whether water stood at the place since the last look, before the router forgets its highest.
    pub(super) fn look(&mut self, router: &Router<'_>, marks: &[Mark]) -> bool {
        let mut reached = false;
        for (index, last) in self.marks.iter().zip(&mut self.last) {
            let seen = router.seen(*index);
            let now = (seen.times, seen.since_s.is_some());
            let stood = now.0 > last.0 || now.1 || last.1;
            *last = now;
            let Some(mark) = marks.get(*index).filter(|_| stood) else { continue };
            reached = true;
            let now = router.highest_level(mark.store);
            if self.highest.is_none_or(|known| now.0 > known.0) {
                self.highest = Some(now);
            }
        }
        reached
    }
    /// When water first reached it.
    pub(super) fn first_s(&self, router: &Router<'_>) -> Option<f64> {
        self.marks.iter().filter_map(|mark| router.seen(*mark).first_s).reduce(f64::min)
    }
    /// How long it was under water, where that was longest.
    pub(super) fn above_s(&self, router: &Router<'_>) -> f64 {
        self.marks.iter().map(|mark| router.seen(*mark).above_until(router.now_s())).fold(0.0, f64::max)
    }
}
