//! The least change of one assumption at which a design no longer holds, or, where it does not hold, first would.
//!
//! It is looked for outward from the value now in a few growing steps, and between the last step that did not and the
//! first that did. Where the depth of water in the storm is what decides, it says how far the change still is off.

use super::change::Changer;
use crate::design::likely::Assumption;
use crate::design::{Brought, Finding, LongRain, Trial, trial_of};
use crate::site::Site;

/// The first step outward, as a share of the furthest change.
const FIRST_STEP: f64 = 1.0 / 9.0;
/// Each next step is so many times as far in search of what stops a design that holds: what does goes on doing so.
const NEXT_STEP: f64 = 3.0;
/// Likewise in search of what cures one that fails: a cure may end soon, where something else stops the design.
const NEXT_STEP_TO_A_CURE: f64 = 1.4;
/// Nearer than this share of the furthest change it is at once.
const AT_ONCE: f64 = 1e-4;
/// A change found holds at this share of it less and fails at this share of it more.
pub(super) const WITHIN: f64 = 0.01;
/// More trials than that are never needed to halve a step to less than that.
const MOST_TRIALS: u32 = 48;
/// So often the depth is asked where the change lies, before the step is simply halved.
const MOST_GUESSES: u32 = 5;

/// A change and what came of it.
#[derive(Clone, Debug)]
struct Tried {
    change: f64,
    /// Whether the verdict has turned.
    turned: bool,
    /// How much the goal is missed by, as a share; below zero where it is met.
    missed: Option<f64>,
}

/// Where the verdict turns.
#[derive(Clone, Debug)]
pub(super) enum Turns {
    /// At a change of this amount, and what stops the design beyond it (or up to it, where it fails now).
    At(f64, Finding),
    /// Not up to this amount.
    NotWithin(f64),
}

/// The search for one assumption.
pub(super) struct Search<'a> {
    pub(super) changer: &'a Changer<'a>,
    pub(super) base: &'a Trial,
    pub(super) assumption: Assumption,
    /// What rain and groundwater bring the site as it is.
    pub(super) brought: &'a Brought,
}

impl Search<'_> {
    fn site(&self) -> &Site {
        self.changer.site
    }
    /// The direction in which the verdict may turn.
    fn sign(&self) -> f64 {
        if self.base.holds() { self.assumption.worse() } else { -self.assumption.worse() }
    }
    fn trial(&self, amount: f64, how: LongRain) -> Option<Trial> {
        let changed = self.changer.changed(self.site(), self.assumption, amount * self.sign())?;
        if self.assumption.of_line() {
            return trial_of(&changed, self.brought, how).ok();
        }
        trial_of(&changed, &Brought::to(&changed).ok()?, how).ok()
    }
    fn tried(&self, amount: f64, how: LongRain) -> Option<(Tried, Option<Finding>)> {
        let trial = self.trial(amount, how)?;
        let turned = trial.holds() != self.base.holds();
        let missed = missed(self.site(), &trial);
        Some((Tried { change: amount, turned, missed }, trial.stops.into_iter().next()))
    }

    /// The least amount of change at which the verdict turns.
    pub(super) fn turns(&self) -> Turns {
        if !self.base.holds() {
            return self.turns_by(LongRain::LookedAt);
        }
        // the long rains are dear and seldom come first: they are asked once, where all else still holds
        let found = self.turns_by(LongRain::LeftOut);
        let last = match &found {
            Turns::At(at, _) => at * (1.0 - WITHIN),
            Turns::NotWithin(furthest) => *furthest,
        };
        if last <= 0.0 || self.trial(last, LongRain::LookedAt).is_none_or(|trial| trial.holds()) {
            return found;
        }
        self.turns_by(LongRain::LookedAt)
    }

    fn turns_by(&self, how: LongRain) -> Turns {
        let (worst, best) = self.changer.furthest(self.assumption);
        let furthest = if self.base.holds() { worst } else { best };
        if furthest <= 0.0 || !furthest.is_finite() {
            return Turns::NotWithin(0.0);
        }
        let mut low = Tried { change: 0.0, turned: false, missed: missed(self.site(), self.base) };
        let mut amount = furthest * FIRST_STEP;
        loop {
            // where nothing can be worked out any more, the range ends
            let Some((tried, stop)) = self.tried(amount, how) else { return Turns::NotWithin(low.change) };
            if tried.turned {
                return self.between(low, (tried, stop), furthest, how);
            }
            low = tried;
            if amount >= furthest {
                return Turns::NotWithin(furthest);
            }
            let step = if self.base.holds() { NEXT_STEP } else { NEXT_STEP_TO_A_CURE };
            amount = if amount * step < furthest * (1.0 - WITHIN) { amount * step } else { furthest };
        }
    }

    fn between(&self, mut low: Tried, mut high: (Tried, Option<Finding>), furthest: f64, how: LongRain) -> Turns {
        let first = self.base.stops.first();
        let mut guesses = 0;
        for _ in 0..MOST_TRIALS {
            let found = |amount: f64, stop: &Option<Finding>| {
                let stop = if self.base.holds() { stop.as_ref() } else { first };
                stop.map_or(Turns::NotWithin(amount), |stop| Turns::At(amount, stop.clone()))
            };
            let at = high.0.change / (1.0 + WITHIN);
            let below = at * (1.0 - WITHIN);
            if below <= low.change || at <= furthest * AT_ONCE {
                // the last step tried may lie a hair above: it must not have turned a little below either
                if (below - low.change).abs() <= f64::EPSILON * below || at <= furthest * AT_ONCE {
                    return found(at, &high.1);
                }
                match self.tried(below, how) {
                    Some((tried, stop)) if tried.turned => high = (tried, stop),
                    _ => return found(at, &high.1),
                }
                low = Tried { change: 0.0, turned: false, missed: missed(self.site(), self.base) };
                continue;
            }
            let guess = guess(&low, &high.0).filter(|_| guesses < MOST_GUESSES);
            let next = if let Some(guess) = guess {
                guesses += 1;
                // on the far side of the guess first, then on the near side
                let beyond = guess * (1.0 + WITHIN);
                if beyond < high.0.change * (1.0 - WITHIN / 2.0) { beyond } else { below.max(low.change) }
            } else if low.change > 0.0 {
                (low.change * high.0.change).sqrt()
            } else {
                high.0.change / 4.0
            };
            match self.tried(next, how) {
                Some((tried, stop)) if tried.turned => high = (tried, stop),
                Some((tried, _)) => low = tried,
                // what cannot be worked out is no value to stand on
                None => return found(at, &high.1),
            }
        }
        Turns::NotWithin(low.change)
    }
}

/// Where a straight line through two misses of the goal meets it.
fn guess(low: &Tried, high: &Tried) -> Option<f64> {
    let (near, far) = (low.missed?, high.missed?);
    if (near > 0.0) == (far > 0.0) || (far - near).abs() <= 0.0 {
        return None;
    }
    let at = low.change + (high.change - low.change) * (near / (near - far));
    (at > low.change && at < high.change).then_some(at)
}

/// By how much the goal is missed, as a share of it; below zero where it is met. None where something else stops the
/// design, or no goal can be held against the storm.
fn missed(site: &Site, trial: &Trial) -> Option<f64> {
    if trial.stops.iter().any(|stop| stop.id != "goal-missed") {
        return None;
    }
    let outcome = trial.in_storm.as_ref().ok()?;
    let goal = &site.goal;
    let depth = goal.standing_water.map(|most| outcome.depth() / most - 1.0);
    let stands = goal.clear_within.filter(|_| !outcome.still_stands()).map(|within| outcome.stands() / within - 1.0);
    let missed = match (depth, stands) {
        (Some(depth), Some(stands)) => depth.max(stands),
        (depth, stands) => depth.or(stands)?,
    };
    (missed.is_finite() && (missed > 0.0) != trial.holds()).then_some(missed)
}
