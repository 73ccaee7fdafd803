//! What the line's ups and downs do: where it is highest, where water stays, where air is caught, how deep it lies.

use super::drain_back::stretch_volume;
use super::line::{DischargeLine, ProfilePoint, Surface};
use super::pipe::Pipe;
use crate::quantity::{Head, Length, Level, Volume};

/// A stretch of the line in which water stays when nothing flows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pocket {
    /// Where it begins.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
    /// Where the pipe lies lowest in it.
    pub lowest_at: Length,
    /// The water in it; a pipe that is full in part counts as full.
    pub volume: Volume,
}

/// A place from which the line falls on both sides, or from the start on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Summit {
    /// Where.
    pub at: Length,
    /// Lowest inside point of the pipe there.
    pub invert: Level,
    /// Whether the line rises again after it, so that air stays caught in the fall between.
    pub rises_again: bool,
    /// Whether a vent stands there.
    pub vented: bool,
}

/// How deep the line lies at a station.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cover {
    /// Where.
    pub at: Length,
    /// Ground less the top of the pipe, less than nothing where the pipe stands out.
    pub cover: Length,
    /// What lies over it, where that was said of this station.
    pub under: Option<Surface>,
}

/// A vent stands at a summit when it is no farther off than this …
const VENT_NEAR: Length = Length::from_ft(3.0);
/// … or than this share of the line.
const VENT_NEAR_SHARE: f64 = 0.02;

/// A point of the way: its station and its level.
type Point = (Length, Level);

impl DischargeLine {
    /// The invert at a station, in straight lines between the points of the profile; none outside them.
    pub fn invert_at(&self, at: Length) -> Option<Level> {
        self.between(at, |point| Some(point.invert))
    }

    /// The ground over a station likewise; none where it was not entered on both sides.
    pub fn ground_at(&self, at: Length) -> Option<Level> {
        self.between(at, |point| point.ground)
    }

    fn between(&self, at: Length, level: impl Fn(&ProfilePoint) -> Option<Level>) -> Option<Level> {
        self.profile.windows(2).find_map(|pair| {
            let [near, far] = pair else { return None };
            let along = far.at - near.at;
            let (from, to) = (level(near)?, level(far)?);
            (near.at <= at && at <= far.at && along > Length::ZERO)
                .then(|| from + (to - from) * ((at - near.at) / along))
        })
    }

    /// The highest level that the water must pass beyond a station: the top of the bore at a later point, or the outlet.
    pub fn highest_beyond(&self, at: Length) -> Level {
        self.points_on_the_way()
            .iter()
            .filter(|point| point.at > at)
            .map(|point| point.invert + self.pipe_at(point.at).bore)
            .fold(self.outlet.working_level(), Level::max)
    }

    /// The pipe at a station of the runs; the first run's before the start, the last one's beyond the end.
    pub fn pipe_at(&self, at: Length) -> &Pipe {
        let mut end = Length::ZERO;
        for run in &self.runs {
            end += run.length;
            if at <= end {
                return &run.pipe;
            }
        }
        self.runs.last().map_or(&self.riser.pipe, |run| &run.pipe)
    }

    /// The inverts along the runs, and the level at which the water comes out where that is higher than the end. Empty
    /// without a profile.
    fn way(&self, outlet: Level) -> Vec<Point> {
        let mut points: Vec<Point> = self.profile.iter().map(|point| (point.at, point.invert)).collect();
        let end = self.end_point().map(|last| (last.at, last.invert));
        match end {
            Some((at, invert)) if outlet > invert => points.push((at, outlet)),
            None if !points.is_empty() => points.push((self.length(), outlet)),
            _ => {}
        }
        points
    }

    /// Where water stays when the pump rests and the ditch is empty, from the basin on. `held` when a valve keeps it
    /// from running back: then all stays up to the highest point. Otherwise, and beyond that point, only what lies below
    /// a lip on both sides.
    ///
    /// Without a profile the line is taken to rise all the way.
    pub fn standing_water(&self, held: bool) -> Vec<Pocket> {
        let way = self.way(self.outlet.level);
        if way.is_empty() {
            let whole = self.pocket(Length::ZERO, self.length(), Length::ZERO);
            return if held { vec![whole] } else { Vec::new() };
        }
        let mut pieces: Vec<(Length, Length, Point)> = Vec::new();
        let mut left = if held { Level::from_m(f64::INFINITY) } else { Level::from_m(f64::NEG_INFINITY) };
        let mut right = highest_from_each(&way).into_iter().skip(1);
        for pair in way.windows(2) {
            let ([near, far], Some(right)) = (pair, right.next()) else { continue };
            left = left.max(near.1);
            let Some((from, to)) = part_below(*near, *far, left.min(right), held) else { continue };
            let low = if near.1 < far.1 { *near } else { *far };
            match pieces.last_mut() {
                Some((_, end, lowest)) if (*end - from).abs() < TOUCHING => {
                    *end = to;
                    if low.1 < lowest.1 {
                        *lowest = low;
                    }
                }
                _ => pieces.push((from, to, low)),
            }
        }
        pieces.into_iter().map(|(from, to, low)| self.pocket(from, to, low.0)).collect()
    }

    fn pocket(&self, from: Length, to: Length, lowest_at: Length) -> Pocket {
        Pocket { from, to, lowest_at, volume: stretch_volume(self, from, to) }
    }

    /// A part of a pocket: its lowest place is where it comes nearest to the pocket's.
    fn part_of(&self, pocket: &Pocket, from: Length, to: Length) -> Pocket {
        self.pocket(from, to, pocket.lowest_at.max(from).min(to))
    }

    /// The parts of some pockets over which there is less cover than a depth: what frost of that depth reaches. Where
    /// no ground was entered nothing is known and nothing is returned.
    pub fn within_depth(&self, pockets: &[Pocket], depth: Length) -> Vec<Pocket> {
        let covers = self.covers();
        let mut parts: Vec<Pocket> = Vec::new();
        for pair in covers.windows(2) {
            let [Some(near), Some(far)] = pair else { continue };
            // cover counted as a level: what lies below the depth is the part with less
            let level = |cover: &Cover| (cover.at, Level::from_m(cover.cover.m()));
            let deep = Level::from_m(depth.m());
            let Some((from, to)) = part_below(level(near), level(far), deep, false) else { continue };
            for pocket in pockets {
                let (from, to) = (from.max(pocket.from), to.min(pocket.to));
                if to - from <= TOUCHING {
                    continue;
                }
                match parts.last_mut() {
                    Some(last) if (last.to - from).abs() < TOUCHING => {
                        *last = self.part_of(pocket, last.from, to);
                    }
                    _ => parts.push(self.part_of(pocket, from, to)),
                }
            }
        }
        parts
    }

    /// What lies over a station: what was said of the point of the profile that is nearest.
    pub fn under_at(&self, at: Length) -> Option<Surface> {
        let off = |point: &&ProfilePoint| (point.at - at).abs().m();
        self.profile.iter().min_by(|one, other| off(one).total_cmp(&off(other)))?.under
    }

    /// How much of the profile lies under what: each point stands for the way half-way to the next.
    pub fn lengths_under(&self) -> Vec<(Option<Surface>, Length)> {
        let mut lengths: Vec<(Option<Surface>, Length)> = Vec::new();
        for (from, to) in self.profile.iter().zip(self.profile.iter().skip(1)) {
            let half = (to.at - from.at) / 2.0;
            for point in [from, to] {
                match lengths.iter_mut().find(|(under, _)| *under == point.under) {
                    Some((_, sum)) => *sum += half,
                    None => lengths.push((point.under, half)),
                }
            }
        }
        lengths
    }

    /// The cover over each point of the profile; none where no ground was entered.
    pub fn covers(&self) -> Vec<Option<Cover>> {
        self.profile
            .iter()
            .map(|point| {
                let pipe = self.pipe_at(point.at);
                let top = point.invert + pipe.bore + pipe.wall();
                point.ground.map(|ground| Cover { at: point.at, cover: ground - top, under: point.under })
            })
            .collect()
    }

    /// The points from which the line falls, by more than its bore, from the basin on.
    pub fn summits(&self) -> Vec<Summit> {
        let turns = self.turns();
        turns
            .iter()
            .enumerate()
            .filter(|(index, turn)| turn.1 && index + 1 < turns.len())
            .map(|(index, turn)| Summit {
                at: turn.0.0,
                invert: turn.0.1,
                rises_again: index + 2 < turns.len(),
                vented: self.vented_at(turn.0.0),
            })
            .collect()
    }

    /// Whether a vent stands at a station.
    pub fn vented_at(&self, at: Length) -> bool {
        let near = VENT_NEAR.max(self.length() * VENT_NEAR_SHARE);
        self.vents.iter().any(|vent| (vent.at - at).abs() <= near)
    }

    /// The low and high points by turns, each with whether it is a high one; wiggles within the bore are left out,
    /// since air gets past them. The end stands at its working level.
    fn turns(&self) -> Vec<(Point, bool)> {
        let way = self.way(self.outlet.working_level());
        turning_points(&way, |at| self.pipe_at(at).bore)
    }

    /// The lift when every fall that no vent ends is full of air and every rise full of water: the sum of the rises.
    /// The worst that caught air can ask of the pump at no flow. `None` without a profile.
    pub fn air_locked_lift(&self, water_level: Level) -> Option<Head> {
        let turns = self.turns();
        let (first, _) = *turns.first()?;
        let mut lift = first.1 + self.pipe_at(first.0).bore - water_level;
        let mut most = lift;
        for pair in turns.windows(2) {
            let [(near, _), (far, _)] = pair else { continue };
            let change = far.1 - near.1;
            if change > Length::ZERO || self.vented_at(near.0) {
                lift += change;
            }
            most = most.max(lift);
        }
        Some(Head::from(most))
    }
}

/// Two stations closer than this are one.
const TOUCHING: Length = Length::from_mm(1.0);

/// For each point the highest level from it to the end.
fn highest_from_each(way: &[Point]) -> Vec<Level> {
    let mut highest: Vec<Level> = Vec::with_capacity(way.len());
    let mut most = Level::from_m(f64::NEG_INFINITY);
    for point in way.iter().rev() {
        most = most.max(point.1);
        highest.push(most);
    }
    highest.reverse();
    highest
}

/// The part of a straight stretch that lies below a level, or at it where that counts.
fn part_below(near: Point, far: Point, level: Level, at_it: bool) -> Option<(Length, Length)> {
    let (length, rise) = (far.0 - near.0, far.1 - near.1);
    let crossing = || near.0 + length * ((level - near.1) / rise);
    let below = |at: Level| at < level || at_it && at <= level;
    match (below(near.1), below(far.1)) {
        (true, true) => Some((near.0, far.0)),
        (true, false) => Some((near.0, crossing())),
        (false, true) => Some((crossing(), far.0)),
        (false, false) => None,
    }
    .filter(|(from, to)| to > from)
}

/// High and low points by turns, leaving out turns smaller than a least one.
fn turning_points(way: &[Point], least: impl Fn(Length) -> Length) -> Vec<(Point, bool)> {
    let Some(start) = way.first() else { return Vec::new() };
    let mut turns = Vec::new();
    // rising: 1, falling: -1, not known yet: 0
    let mut going = 0;
    let (mut high, mut low) = (*start, *start);
    for point in way {
        if point.1 > high.1 {
            high = *point;
        }
        if point.1 < low.1 {
            low = *point;
        }
        let enough = least(point.0);
        if going >= 0 && high.1 - point.1 > enough {
            turns.push((high, true));
            going = -1;
            low = *point;
        } else if going <= 0 && point.1 - low.1 > enough {
            turns.push((low, false));
            going = 1;
            high = *point;
        }
    }
    match going {
        1 => turns.push((high, true)),
        -1 => turns.push((low, false)),
        _ => {
            turns.push((low, false));
            if high.0 > low.0 {
                turns.push((high, true));
            }
        }
    }
    turns
}

#[cfg(test)]
mod tests;
