//! What items cost, how long work takes, and what has no price or rate.

use super::reckoning::Reckoning;
use super::{Bounds, Cost, Count, Item, Missing, Work};
use crate::site::{By, TakeoffTerms, Task};

/// To the hundredth, so that what is printed adds up.
pub(super) fn hundredths(amount: f64) -> f64 {
    libm::round(amount * 100.0) / 100.0
}

/// A cost with how far quantity and price may be off; a sure quantity is not.
pub(super) fn bounds(terms: &TakeoffTerms, likely: f64, sure: bool) -> Bounds {
    let (less, more) = if sure { (0.0, 0.0) } else { terms.quantities_off.value };
    let (cheaper, dearer) = terms.prices_off.value;
    Bounds { low: likely * (1.0 + less) * (1.0 + cheaper), likely, high: likely * (1.0 + more) * (1.0 + dearer) }
        .map(hundredths)
}

/// All work with its hours, in the order in which it is done.
pub(super) fn work(reckoning: &Reckoning<'_>) -> Vec<Work> {
    let (site, terms) = (reckoning.site, &reckoning.site.takeoff);
    let amount = |task: Task| match task {
        // once a job
        Task::SetUp | Task::StartUp => Some(1.0),
        _ => reckoning.work.iter().find(|(known, _)| *known == task).map(|(_, amount)| *amount),
    };
    let one = |task: Task| {
        let si = amount(task).filter(|amount| *amount > 0.0)?;
        let count = Count::of(task.by(), si, site);
        let each = terms.hours_of(task).map(|per_si| per_si / task.by().unit(site.units).1);
        let hours = each.map(|each| {
            let likely = each * count.value;
            let (less, more) = if task.by() == By::Each { (0.0, 0.0) } else { terms.quantities_off.value };
            let (quicker, slower) = terms.hours_off.value;
            let bounds = Bounds {
                low: likely * (1.0 + less) * (1.0 + quicker),
                likely,
                high: likely * (1.0 + more) * (1.0 + slower),
            };
            bounds.map(hundredths)
        });
        Some(Work { task, count, each, hours })
    };
    Task::ALL.into_iter().filter_map(one).collect()
}

/// Items that have no price, each key once.
pub(super) fn without_price(items: &[Item]) -> Vec<Missing> {
    let mut missing: Vec<Missing> = Vec::new();
    for item in items {
        let Cost::Missing(key) = &item.cost else { continue };
        match missing.iter_mut().find(|known| known.key == *key) {
            Some(known) if known.what.split(", ").any(|what| what == item.name) => {}
            Some(known) => known.what = format!("{}, {}", known.what, item.name),
            None => missing.push(Missing { what: item.name.clone(), key: key.clone() }),
        }
    }
    missing
}

/// Work that has no hours, and hours that have no price.
pub(super) fn without_rate(reckoning: &Reckoning<'_>, work: &[Work]) -> Vec<Missing> {
    let units = reckoning.site.units;
    let mut missing: Vec<Missing> = work
        .iter()
        .filter(|work| work.hours.is_none())
        .map(|work| Missing {
            what: format!("hours to {}", told(work.task)),
            key: format!("takeoff.{}", work.task.key(units)),
        })
        .collect();
    if reckoning.site.takeoff.labour_per_hour.is_none() {
        missing.push(Missing {
            what: "what an hour of a worker costs".to_owned(),
            key: "takeoff.labour_per_hour".to_owned(),
        });
    }
    missing
}

fn told(task: Task) -> &'static str {
    match task {
        Task::StartUp => "start it and show the owner",
        other => other.words(),
    }
}
