//! Basin, pumps and what belongs to them.

use super::reckoning::Reckoning;
use super::{Basis, Cost, Count, Part};
use crate::basin::Plan;
use crate::quantity::{Amount, Length};
use crate::site::{Good, Task};

/// Basins are bought by the inch: of this size and no other.
const SAME: Length = Length::from_mm(1.0);

/// Basin, pumps, valve, holes, alarm, catch basins, what stands on the line.
pub(super) fn station(r: &mut Reckoning<'_>) {
    basin(r);
    pumps(r);
    let (site, line) = (r.site, &r.site.discharge);
    let entered = || "in the site file".to_owned();
    if let Some(valve) = line.check_valve.as_ref().filter(|valve| valve.count > 0) {
        let name = format!("{} {} check valve", line.riser.pipe.size, valve.kind);
        r.good(Part::Station, Good::CheckValve, name, f64::from(valve.count), entered(), Basis::entered());
    }
    let holes = [("relief hole", line.relief_hole), ("drain hole", line.drain_hole)];
    for (name, hole) in holes.into_iter().filter_map(|(name, hole)| Some((name, hole?))) {
        let name = format!("{name}, {}", Amount::drill(hole.diameter).show(site.units));
        let count = Count::pieces(f64::from(line.risers), "");
        let cost = Cost::Within("drilled as the pump is set");
        r.item(Part::Station, name, count, "one in each riser".to_owned(), Basis::entered(), cost);
    }
    if site.basin.alarm.is_some() {
        r.good(Part::Station, Good::Alarm, "alarm with its float", 1.0, entered(), Basis::entered());
    }
    if site.battery.is_some() {
        r.good(Part::Station, Good::Battery, "battery with inverter", 1.0, entered(), Basis::entered());
    }
    if !line.vents.is_empty() {
        let count = line.vents.len() as f64;
        r.good(Part::Discharge, Good::Vent, "vent on the line", count, entered(), Basis::entered());
    }
    if site.frost.is_some_and(|frost| frost.gap.is_some()) {
        r.good(Part::Discharge, Good::SpillGap, "spill gap", 1.0, entered(), Basis::entered());
    }
    if line.outlet.kind != "open end" {
        let name = format!("outlet: {}", line.outlet.kind);
        r.good(Part::Discharge, Good::Outlet, name, 1.0, entered(), Basis::entered());
    }
    if !site.inlets.is_empty() {
        let names: Vec<String> = site.inlets.iter().map(|inlet| format!("`{}`", inlet.name)).collect();
        let count = site.inlets.len() as f64;
        r.good(Part::Drains, Good::Inlet, "catch basin with grate", count, names.join(", "), Basis::entered());
        r.works(Task::SetInlet, count);
    }
}

fn basin(r: &mut Reckoning<'_>) {
    let basin = &r.site.basin;
    let how = format!("{} deep, floor to rim", r.small(basin.depth()));
    r.works(Task::SetBasin, 1.0);
    match basin.plan {
        Plan::Round(across) => {
            let prices = &r.site.to_choose_from.prices.basin;
            let price = prices.iter().find(|(known, _)| (*known - across).abs() < SAME).map(|(_, price)| *price);
            let (count, size) = (Count::pieces(1.0, ""), r.small(across));
            let cost = match price {
                Some(price) => r.priced(price, &count),
                None => Cost::Missing(format!("prices.basin.\"{size}\"")),
            };
            r.item(Part::Station, format!("basin with lid, {size} inside"), count, how, Basis::entered(), cost);
        }
        Plan::Rectangular(length, width) => {
            let name = format!("basin with lid, {} x {} inside", r.small(length), r.small(width));
            r.good(Part::Station, Good::RectangularBasin, name, 1.0, how, Basis::entered());
        }
    }
}

fn pumps(r: &mut Reckoning<'_>) {
    let site = r.site;
    let Some(chosen) = r.design.pump().map(|pump| pump.name.clone()) else { return };
    let lag = site.pumping.lag.clone().filter(|lag| *lag != chosen && site.pumping.count > 1);
    let (first, second) = match lag {
        Some(lag) => (site.pumping.count - 1, Some((lag, 1))),
        None => (site.pumping.count, None),
    };
    let entered = site.pumping.chosen.is_some() || site.pumps.len() == 1;
    for (name, number) in std::iter::once((chosen, first)).chain(second) {
        let own = site.pumps.iter().find(|pump| pump.name == name).and_then(|pump| pump.price);
        let listed = site.to_choose_from.prices.pumps.iter().find(|(known, _)| *known == name).map(|(_, price)| *price);
        let count = Count::pieces(f64::from(number), "");
        let cost = match listed.or(own) {
            Some(price) => r.priced(price, &count),
            None => Cost::Missing(format!("prices.pumps.\"{name}\"")),
        };
        let (how, basis) = if entered {
            ("the pump of the site file".to_owned(), Basis::entered())
        } else {
            ("the candidate that the design takes".to_owned(), Basis::design())
        };
        r.works(Task::SetPump, f64::from(number));
        r.item(Part::Station, format!("pump `{name}`"), count, how, basis, cost);
    }
}
