//! The duty under other conditions than those designed for, one by one and all at once.

use super::bench::Bench;
use super::phrase::{percent, phrase};
use super::pump::{DutyAt, WaterLevel};
use crate::hydraulics::{DischargeLine, FrictionMethod, SystemCurve, Water};
use crate::pump_selection::{Duty, duty_point};
use crate::quantity::Level;
use crate::site::Site;

/// One row: what is otherwise, and what then comes of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Condition {
    /// Its name in data.
    pub id: &'static str,
    /// What is otherwise, in words.
    pub what: super::Phrase,
    /// At the off level.
    pub off: Duty,
    /// Half-way.
    pub half_way: Duty,
}

/// The duties that the design has solved for already: off level and half-way.
pub(super) struct Known<'a> {
    /// As designed, by both methods.
    pub(super) duties: &'a [DutyAt],
    /// With the pump worn, at the off level and half-way.
    pub(super) worn: Option<(Duty, Duty)>,
}

/// Every condition, the design's own first, all of the bad ones together last. One pump runs.
pub(super) fn conditions(bench: &Bench<'_>, known: &Known<'_>) -> Vec<Condition> {
    let (site, conditions) = (bench.site, &bench.site.conditions);
    let line = &site.discharge;
    let (off, half_way) = (site.basin.level(site.basin.off), site.basin.level((site.basin.off + site.basin.on) / 2.0));
    let worn_curve = bench.pump.curve.worn(site.pumping.wear);
    let cold = Water::at(conditions.cold_water.value);
    let aged = aged(site);
    let system = |line: &DischargeLine, water: Water, method| {
        SystemCurve::new(line, site.basin.floor, bench.pump_outlet(), water, method)
    };
    let (by_hw, by_darcy) = (FrictionMethod::HazenWilliams, FrictionMethod::DarcyWeisbach);
    let new = &bench.pump.curve;
    let row = |id, what, curve, system: &SystemCurve| Condition {
        id,
        what,
        off: duty_point(curve, system, off),
        half_way: duty_point(curve, system, half_way),
    };
    let at = |level: WaterLevel| known.duties.iter().find(|duty| duty.at == level);
    let mut rows = Vec::new();
    if let (Some(off), Some(half_way)) = (at(WaterLevel::Off), at(WaterLevel::Mean)) {
        let (id, what) = ("as_designed", phrase!("as designed"));
        rows.push(Condition { id, what, off: off.duty, half_way: half_way.duty });
        let (id, what) = ("by_darcy", phrase!("as designed, by Darcy-Weisbach"));
        rows.extend(off.darcy.zip(half_way.darcy).map(|(off, half_way)| Condition { id, what, off, half_way }));
    }
    rows.push(row(
        "cold_water",
        phrase!("water at {}, by Darcy-Weisbach", conditions.cold_water.value),
        new,
        &system(line, cold, by_darcy),
    ));
    let (id, what) = ("worn_pump", phrase!("pump worn, {} of its head gone", percent(site.pumping.wear)));
    rows.extend(known.worn.map(|(off, half_way)| Condition { id, what, off, half_way }));
    rows.push(row(
        "aged_pipe",
        phrase!("pipe aged, {} of its C gone", percent(conditions.aged_friction.value)),
        new,
        &system(&aged, bench.water, by_hw),
    ));
    // by both methods, and the lesser of the two
    let hw = row("all_at_once", phrase!("all three at once"), &worn_curve, &system(&aged, bench.water, by_hw));
    let darcy = row("all_at_once", phrase!("all three at once"), &worn_curve, &system(&aged, cold, by_darcy));
    rows.push(Condition { off: lesser(hw.off, darcy.off), half_way: lesser(hw.half_way, darcy.half_way), ..hw });
    if let Some(other) = other_outlet(line) {
        // the design already counts the full ditch
        rows.push(row(
            "ditch_empty",
            phrase!("as designed, but the ditch empty"),
            new,
            &system(&other, bench.water, by_hw),
        ));
    }
    rows
}

/// The line with its pipes aged.
fn aged(site: &Site) -> DischargeLine {
    let conditions = &site.conditions;
    let mut line = site.discharge.clone();
    for run in std::iter::once(&mut line.riser).chain(&mut line.runs) {
        run.pipe.hazen_williams_c *= 1.0 - conditions.aged_friction.value;
        run.pipe.roughness = run.pipe.roughness.max(conditions.aged_roughness.value);
    }
    line
}

/// The line with the ditch empty, where a full one counts.
fn other_outlet(line: &DischargeLine) -> Option<DischargeLine> {
    let free: Level = line.outlet.level;
    (line.outlet.working_level() > free).then(|| {
        let mut line = line.clone();
        line.outlet.ditch_full = None;
        line
    })
}

/// The duty with less flow; one without a duty point before one with.
fn lesser(one: Duty, other: Duty) -> Duty {
    match (one.point(), other.point()) {
        (Some(a), Some(b)) => {
            if b.line_flow < a.line_flow {
                other
            } else {
                one
            }
        }
        // beyond the curve means more flow than known
        (Some(_), None) => {
            if matches!(other, Duty::BeyondLastPoint { .. }) {
                one
            } else {
                other
            }
        }
        (None, Some(_)) => {
            if matches!(one, Duty::BeyondLastPoint { .. }) {
                other
            } else {
                one
            }
        }
        (None, None) => {
            if matches!(one, Duty::BeyondLastPoint { .. }) {
                other
            } else {
                one
            }
        }
    }
}
