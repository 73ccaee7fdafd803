//! Which candidate serves best, and why the others were turned down.

use super::finding::Severity;
use super::phrase::{Phrase, phrase};
use super::pump::{PumpResult, WaterLevel};
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

/// Ranks the pumps: those that hold before those that do not, then the fewest cautions, then the lowest price where
/// all prices are entered, then the larger flow. The pump named in the file is used whatever its rank.
///
/// Returns the pumps best first, how each stands, and which is used.
pub(super) fn rank(site: &Site, mut pumps: Vec<PumpResult>) -> (Vec<PumpResult>, Vec<Standing>, usize) {
    let priced = pumps.iter().all(|pump| pump.price.is_some());
    pumps.sort_by(|a, b| {
        b.holds()
            .cmp(&a.holds())
            .then(stops(a).cmp(&stops(b)))
            .then(a.cautions().cmp(&b.cautions()))
            .then(if priced { order(a.price.unwrap_or(0.0), b.price.unwrap_or(0.0)) } else { Ordering::Equal })
            .then(order(flow(b).m3s(), flow(a).m3s()))
            .then(a.name.cmp(&b.name))
    });
    let chosen = site
        .pumping
        .chosen
        .as_ref()
        .and_then(|name| pumps.iter().position(|pump| &pump.name == name))
        .unwrap_or(0);
    let named = site.pumping.chosen.is_some();
    let standings = pumps
        .iter()
        .enumerate()
        .map(|(index, pump)| Standing {
            used: index == chosen,
            holds: pump.holds(),
            reason: reason(pump, index == chosen, named, pumps.get(chosen), priced),
        })
        .collect();
    (pumps, standings, chosen)
}

fn order(a: f64, b: f64) -> Ordering {
    a.total_cmp(&b)
}

fn stops(pump: &PumpResult) -> usize {
    pump.findings.iter().filter(|finding| finding.severity == Severity::Stop).count()
}

fn flow(pump: &PumpResult) -> Flow {
    pump.point(WaterLevel::Mean).map_or(Flow::ZERO, |point| point.line_flow)
}

fn reason(pump: &PumpResult, used: bool, named: bool, chosen: Option<&PumpResult>, priced: bool) -> Phrase {
    if let Some(stop) = pump.findings.iter().find(|finding| finding.severity == Severity::Stop) {
        return if used && named {
            phrase!("named in the file, though {}", stop.id)
        } else {
            stop.message.clone()
        };
    }
    if used {
        return if named { phrase!("named in the file") } else { phrase!("the best of the candidates") };
    }
    let Some(chosen) = chosen else { return phrase!("would also do") };
    if !chosen.holds() {
        return phrase!("would do, unlike the one named in the file");
    }
    let (mine, its) = (pump.cautions(), chosen.cautions());
    if mine > its {
        let extra = pump
            .findings
            .iter()
            .find(|finding| {
                finding.severity == Severity::Caution && !chosen.findings.iter().any(|other| other.id == finding.id)
            })
            .map_or("", |finding| finding.id);
        return phrase!("would do, with more cautions: {}", extra);
    }
    if mine == its
        && priced
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
