//! Which candidate serves best, and why the others were turned down.

use super::checks::storm::softens;
use super::finding::Severity;
use super::phrase::{Phrase, phrase};
use super::pump::PumpResult;
use crate::quantity::Flow;
use crate::site::Site;
use std::cmp::Ordering;

/// How a pump stands among the candidates.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// Whether the design is made with it.
    pub used: bool,
    /// Whether it holds.
    pub holds: bool,
    /// In words: why it is used, or why not.
    pub reason: Phrase,
}

/// Ranks the pumps: those that hold before those that do not, then the fewest stops, then those that are known to meet what
/// the owner asks for before those that are not, among the latter the larger share of the peak inflow that is pumped
/// (in steps of a twentieth), then the fewest cautions, then the lowest price where all prices are entered. The pump named in the file is used
/// whatever its rank.
///
/// A pump that misses the goal in the design storm has a stop for it. The share goes before the price only where the
/// storm was not followed or nobody said what is asked for: a cheaper pump that leaves more of the burst standing must
/// not win unseen.
///
/// Returns the pumps best first, how each stands, and which is used.
pub(super) fn rank(
    site: &Site,
    mut pumps: Vec<PumpResult>,
    peak_inflow: Flow,
) -> (Vec<PumpResult>, Vec<Standing>, usize) {
    let priced = pumps.iter().all(|pump| pump.price.is_some());
    pumps.sort_by(|a, b| Place::of(site, a, peak_inflow).before(&Place::of(site, b, peak_inflow), priced));
    let chosen =
        site.pumping.chosen.as_ref().and_then(|name| pumps.iter().position(|pump| &pump.name == name)).unwrap_or(0);
    let named = site.pumping.chosen.is_some();
    let standings = pumps
        .iter()
        .enumerate()
        .map(|(index, pump)| Standing {
            used: index == chosen,
            holds: pump.holds(),
            reason: reason(
                site,
                pump,
                (index == chosen, named, index != chosen && site.pumping.lag.as_ref() == Some(&pump.name)),
                pumps.get(chosen),
                peak_inflow,
            ),
        })
        .collect();
    (pumps, standings, chosen)
}

/// What a pump's place among the candidates goes by.
struct Place<'p> {
    stops: usize,
    meets: bool,
    share: f64,
    cautions: usize,
    price: f64,
    flow: Flow,
    name: &'p str,
}

impl<'p> Place<'p> {
    fn of(site: &Site, pump: &'p PumpResult, peak_inflow: Flow) -> Self {
        Self {
            stops: stops(pump),
            meets: meets(site, pump),
            share: share(pump, peak_inflow),
            cautions: pump.cautions(),
            price: pump.price.unwrap_or(0.0),
            flow: flow(pump),
            name: &pump.name,
        }
    }
    /// The best that it can come to be once a pump is followed through the design storm.
    fn at_best(site: &Site, pump: &'p PumpResult, peak_inflow: Flow) -> Self {
        let softened = |severity| {
            let mut findings = pump.findings.iter();
            usize::from(findings.any(|finding| softens(finding) && finding.severity == severity))
        };
        let known = Self::of(site, pump, peak_inflow);
        Self {
            stops: known.stops - softened(Severity::Stop),
            cautions: known.cautions - softened(Severity::Caution),
            meets: asked(site),
            ..known
        }
    }
    fn before(&self, other: &Self, priced: bool) -> Ordering {
        self.stops
            .cmp(&other.stops)
            .then(other.meets.cmp(&self.meets))
            // once both are known to do what the owner asks, more is no better
            .then(if self.meets && other.meets { Ordering::Equal } else { order(other.share, self.share) })
            .then(self.cautions.cmp(&other.cautions))
            .then(if priced { order(self.price, other.price) } else { Ordering::Equal })
            .then(order(other.flow.m3s(), self.flow.m3s()))
            .then_with(|| self.name.cmp(other.name))
    }
}

/// Judged pumps by the best that they can come to be once they are followed through the design storm: the first two, and
/// the others.
pub(super) fn likeliest(
    site: &Site,
    mut pumps: Vec<PumpResult>,
    peak_inflow: Flow,
) -> (Option<PumpResult>, Option<PumpResult>, Others) {
    let priced = pumps.iter().all(|pump| pump.price.is_some());
    pumps.sort_by(|one, other| {
        Place::at_best(site, one, peak_inflow).before(&Place::at_best(site, other, peak_inflow), priced)
    });
    let mut pumps = pumps.into_iter();
    let (one, other) = (pumps.next(), pumps.next());
    (one, other, Others { left: pumps.collect(), priced })
}

/// The pumps that are not likeliest to be first.
pub(super) struct Others {
    left: Vec<PumpResult>,
    priced: bool,
}

/// The pump that [`rank`] puts first once all are followed through the design storm, with what came of following it, from
/// those that were: of the others only those are followed too that could still be first.
pub(super) fn best<T>(
    site: &Site,
    mut followed: Vec<(PumpResult, T)>,
    others: Others,
    peak_inflow: Flow,
    follow: impl Fn(PumpResult) -> (PumpResult, T),
) -> Option<(PumpResult, T)> {
    let Others { left, priced } = others;
    let mut left = left.into_iter().peekable();
    loop {
        let places = followed.iter().map(|(pump, _)| Place::of(site, pump, peak_inflow));
        let (first, place) = places.enumerate().min_by(|(_, one), (_, other)| one.before(other, priced))?;
        match left.next_if(|next| Place::at_best(site, next, peak_inflow).before(&place, priced).is_lt()) {
            Some(next) => followed.push(follow(next)),
            None => return Some(followed.swap_remove(first)),
        }
    }
}

/// Whether the owner asks for something.
fn asked(site: &Site) -> bool {
    site.goal.standing_water.is_some() || site.goal.clear_within.is_some()
}

/// Whether a pump is known to meet what the owner asks for.
fn meets(site: &Site, pump: &PumpResult) -> bool {
    asked(site) && pump.in_storm.is_some() && !pump.findings.iter().any(|finding| finding.id == "goal-missed")
}

fn order(a: f64, b: f64) -> Ordering {
    a.total_cmp(&b)
}

fn stops(pump: &PumpResult) -> usize {
    pump.findings.iter().filter(|finding| finding.severity == Severity::Stop).count()
}

fn flow(pump: &PumpResult) -> Flow {
    pump.all_pumped().unwrap_or(Flow::ZERO)
}

/// The share of the peak inflow that a pump moves, at most all of it, in steps of a twentieth so that cautions and
/// price decide between pumps that differ by less.
fn share(pump: &PumpResult, peak_inflow: Flow) -> f64 {
    if peak_inflow <= Flow::ZERO { 1.0 } else { libm::round((flow(pump) / peak_inflow).min(1.0) * 20.0) / 20.0 }
}

fn reason(
    site: &Site,
    pump: &PumpResult,
    (used, named, installed_second): (bool, bool, bool),
    chosen: Option<&PumpResult>,
    peak_inflow: Flow,
) -> Phrase {
    if installed_second {
        return phrase!("installed as the second pump");
    }
    if let Some(stop) = pump.findings.iter().find(|finding| finding.severity == Severity::Stop) {
        return if used && named { phrase!("named in the file, though {}", stop.id) } else { stop.message.clone() };
    }
    if used {
        return if named { phrase!("named in the file") } else { phrase!("the best of the candidates") };
    }
    let Some(chosen) = chosen else { return phrase!("would also do") };
    if !chosen.holds() {
        return phrase!("would do, unlike the one named in the file");
    }
    if !(meets(site, pump) && meets(site, chosen)) && share(pump, peak_inflow) < share(chosen, peak_inflow) {
        return phrase!("would do, but moves less of the peak: {} against {}", flow(pump), flow(chosen));
    }
    let (mine, its) = (pump.cautions(), chosen.cautions());
    if mine > its {
        let extra: Vec<&str> = pump
            .findings
            .iter()
            .filter(|finding| finding.severity == Severity::Caution)
            .filter(|finding| {
                !chosen.findings.iter().any(|other| other.id == finding.id && other.severity == finding.severity)
            })
            .map(|finding| finding.id)
            .collect();
        return if extra.is_empty() {
            phrase!("would do, with more cautions")
        } else {
            phrase!("would do, with more cautions: {}", extra.join(", "))
        };
    }
    if mine == its
        && let (Some(price), Some(less)) = (pump.price, chosen.price)
        && price > less
    {
        return phrase!("would do, for {} more", money(price - less));
    }
    if mine < its { phrase!("would do, with fewer cautions") } else { phrase!("would do as well") }
}

fn money(amount: f64) -> String {
    if (amount - libm::round(amount)).abs() < 0.005 { format!("{amount:.0}") } else { format!("{amount:.2}") }
}
