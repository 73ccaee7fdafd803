//! Looking on while a storm is followed.

use super::runs::Switched;
use crate::quantity::{Duration, Volume};
use crate::routing::{Moments, Running, Stretch, Switch, Watch};

/// Equal cycles that were counted, not followed; times in seconds.
#[derive(Clone, Copy, Debug)]
pub(super) struct Jump {
    begin: f64,
    end: f64,
    each: f64,
}

impl Jump {
    fn new(cycles: f64, each_s: f64, until_s: f64) -> Self {
        Self { begin: until_s - cycles * each_s, end: until_s, each: each_s }
    }
    /// The moment of the last cycle followed that is like a moment of those counted.
    fn like(self, at_s: f64) -> Option<f64> {
        if at_s <= self.begin || at_s > self.end {
            return None;
        }
        let cycles = libm::ceil((at_s - self.begin) / self.each);
        Some(at_s - cycles * self.each)
    }
}

/// A volume of a store that is watched, with the times that it is exceeded.
#[derive(Clone, Debug)]
pub(super) struct Watched {
    pub(super) store: usize,
    pub(super) volume: Volume,
    /// From when until when, seconds; without an end where it still is.
    pub(super) spans: Vec<(f64, Option<f64>)>,
}

impl Watched {
    pub(super) fn new(store: usize, volume: Volume) -> Self {
        Self { store, volume, spans: Vec::new() }
    }
    fn above(&self) -> bool {
        self.spans.last().is_some_and(|(_, end)| end.is_none())
    }
    fn turn(&mut self, at_s: f64) {
        match self.spans.last_mut() {
            Some((_, end)) if end.is_none() => *end = Some(at_s),
            _ => self.spans.push((at_s, None)),
        }
    }
    fn look(&mut self, stretch: &Stretch<'_>) {
        // water that was added at once between two stretches
        if (stretch.volume_m3(self.store, stretch.from_s) > self.volume.m3()) != self.above() {
            self.turn(stretch.from_s);
        }
        let mut from_s = stretch.from_s;
        // up and down and up again is the most that a stretch can do
        for _ in 0..4 {
            let Some(at_s) = stretch.crosses_s(self.store, self.volume, !self.above(), from_s) else { break };
            self.turn(at_s);
            from_s = at_s;
        }
    }
}

/// What happens, and when.
#[derive(Clone, Debug, Default)]
pub(super) struct FirstLook {
    pub(super) watched: Vec<Watched>,
    pub(super) switches: Vec<Switched>,
    pub(super) jumps: Vec<Jump>,
}

impl Watch for FirstLook {
    fn stretch(&mut self, stretch: &Stretch<'_>) {
        for watched in &mut self.watched {
            watched.look(stretch);
        }
    }
    fn switched(&mut self, switch: Switch) {
        self.switches.push(Switched { at: Duration::from_s(switch.at_s), pump: switch.pump, on: switch.on });
    }
    fn repeated(&mut self, cycles: f64, each_s: f64, until_s: f64) {
        let jump = Jump::new(cycles, each_s, until_s);
        // the last cycle followed, over and over
        let slack_s = 1e-6 * each_s;
        let one: Vec<Switched> =
            self.switches.iter().filter(|switch| switch.at.s() > jump.begin - each_s + slack_s).copied().collect();
        let mut later_s = each_s;
        while jump.begin + later_s <= until_s + slack_s {
            let again = one.iter().map(|switch| Switched { at: switch.at + Duration::from_s(later_s), ..*switch });
            self.switches.extend(again);
            later_s += each_s;
        }
        self.jumps.push(jump);
    }
}

/// The highest and the lowest that stores held in equal pieces of time.
#[derive(Clone, Debug)]
pub(super) struct Extremes {
    pub(super) from_s: f64,
    pub(super) each_s: f64,
    pub(super) basin: usize,
    pub(super) hollow: Option<usize>,
    /// Of the basin the least and the most, of the hollow the most, m³.
    pub(super) columns: Vec<(f64, f64, f64)>,
    /// The same of each stretch, with its beginning.
    recent: Vec<(f64, (f64, f64, f64))>,
}

const NOTHING_YET: (f64, f64, f64) = (f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY);

fn both(one: (f64, f64, f64), other: (f64, f64, f64)) -> (f64, f64, f64) {
    (one.0.min(other.0), one.1.max(other.1), one.2.max(other.2))
}

impl Extremes {
    pub(super) fn new(from_s: f64, each_s: f64, count: usize, basin: usize, hollow: Option<usize>) -> Self {
        Self { from_s, each_s, basin, hollow, columns: vec![NOTHING_YET; count], recent: Vec::new() }
    }
    /// The columns that a piece of time touches, each with its own part of it.
    fn touched(&mut self, from_s: f64, until_s: f64) -> impl Iterator<Item = (f64, f64, &mut (f64, f64, f64))> {
        let (first_s, each_s) = (self.from_s, self.each_s);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a saturating cast is what is wanted"
        )]
        let place = |at_s: f64| ((at_s - first_s) / each_s).max(0.0) as usize;
        let (first, last) = (place(from_s).saturating_sub(1), place(until_s).saturating_add(1));
        let beyond = until_s < first_s;
        let near = self.columns.iter_mut().enumerate().skip(first).take(if beyond { 0 } else { last - first + 1 });
        near.filter_map(move |(index, column)| {
            let begin_s = first_s + index as f64 * each_s;
            let (part_s, end_s) = (from_s.max(begin_s), until_s.min(begin_s + each_s));
            (end_s >= part_s).then_some((part_s, end_s, column))
        })
    }
    fn look(&mut self, stretch: &Stretch<'_>) {
        let (basin, hollow) = (self.basin, self.hollow);
        let at = |time_s: f64| {
            let held = stretch.volume_m3(basin, time_s);
            (held, held, hollow.map_or(0.0, |hollow| stretch.volume_m3(hollow, time_s)))
        };
        self.recent.push((stretch.from_s, both(at(stretch.from_s), at(stretch.until_s))));
        for (from_s, until_s, column) in self.touched(stretch.from_s, stretch.until_s) {
            *column = both(*column, both(at(from_s), at(until_s)));
        }
    }
    fn repeated(&mut self, jump: Jump) {
        let begin_s = jump.begin - jump.each * (1.0 + 1e-6);
        let cycle = self
            .recent
            .iter()
            .rev()
            .take_while(|(from_s, _)| *from_s >= begin_s)
            .fold(NOTHING_YET, |so_far, (_, held)| both(so_far, *held));
        for (_, _, column) in self.touched(jump.begin, jump.end) {
            *column = both(*column, cycle);
        }
    }
}

/// What stands and flows at chosen moments.
#[derive(Debug)]
pub(super) struct SecondLook {
    /// Each moment that is to be looked at, in order, with the place of what is seen.
    wanted: Vec<(f64, usize)>,
    next: usize,
    pub(super) seen: Vec<Option<(Moments, Running)>>,
    pub(super) extremes: Extremes,
}

/// Moments closer together than this are one.
const SAME_S: f64 = 1e-6;

impl SecondLook {
    pub(super) fn new(times: &[Duration], jumps: &[Jump], extremes: Extremes) -> Self {
        let like = |at_s: f64| jumps.iter().find_map(|jump| jump.like(at_s)).unwrap_or(at_s);
        let mut wanted: Vec<(f64, usize)> = times.iter().enumerate().map(|(index, at)| (like(at.s()), index)).collect();
        wanted.sort_by(|one, other| one.0.total_cmp(&other.0));
        Self { wanted, next: 0, seen: vec![None; times.len()], extremes }
    }
}

impl Watch for SecondLook {
    fn stretch(&mut self, stretch: &Stretch<'_>) {
        while let Some((at_s, place)) = self.wanted.get(self.next).filter(|(at_s, _)| *at_s <= stretch.until_s + SAME_S)
        {
            if let Some(slot) = self.seen.get_mut(*place) {
                *slot = Some((stretch.at(*at_s), stretch.running));
            }
            self.next += 1;
        }
        self.extremes.look(stretch);
    }
    fn repeated(&mut self, cycles: f64, each_s: f64, until_s: f64) {
        self.extremes.repeated(Jump::new(cycles, each_s, until_s));
    }
}
