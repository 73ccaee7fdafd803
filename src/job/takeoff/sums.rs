//! From costs to the price: contingency, margin, tax, a round total.

use super::pricing::{bounds, hundredths};
use super::reckoning::percent;
use super::{Bounds, Cost, Item, Sum, SumOf, Work};
use crate::site::{Site, TaxOn};

/// The lines of the sum, and what they add up to; nothing where nothing has a price.
pub(super) fn sums(site: &Site, items: &[Item], work: &[Work]) -> (Vec<Sum>, Option<Bounds>) {
    let terms = &site.takeoff;
    let mut sums: Vec<Sum> = Vec::new();
    let mut add = |of: SumOf, name: String, amount: Bounds| sums.push(Sum { of, name, amount: amount.map(hundredths) });
    let priced: Vec<Bounds> = items
        .iter()
        .filter_map(|item| match &item.cost {
            Cost::Priced { cost, .. } => Some(*cost),
            _ => None,
        })
        .collect();
    let materials = priced.iter().copied().fold(Bounds::ZERO, Bounds::plus);
    if !priced.is_empty() {
        add(SumOf::Cost, "materials and hauling".to_owned(), materials);
    }
    let hours = |by_machine: bool| {
        let counted = work.iter().filter(|work| !by_machine || work.task.by_machine());
        let mut hours = counted.filter_map(|work| work.hours).peekable();
        hours.peek().is_some().then(|| hours.fold(Bounds::ZERO, Bounds::plus))
    };
    if let Some((hours, rate)) = hours(false).zip(terms.labour_per_hour) {
        add(SumOf::Cost, "labour".to_owned(), hours.map(|hours| hours * rate));
    }
    if let Some((hours, rate)) = hours(true).zip(terms.machine_per_hour) {
        add(SumOf::Cost, "digging machine".to_owned(), hours.map(|hours| hours * rate));
    }
    for (name, amount) in &site.to_choose_from.prices.lump_sums {
        add(SumOf::Cost, name.clone(), bounds(terms, *amount, true));
    }
    let tax = terms.tax.filter(|tax| *tax > 0.0);
    if let Some(tax) = tax.filter(|_| terms.tax_on == TaxOn::Materials && !priced.is_empty()) {
        add(SumOf::Cost, format!("tax on materials and hauling, {}", percent(tax)), materials.map(|cost| cost * tax));
    }
    if sums.is_empty() {
        return (sums, None);
    }
    let so_far = |sums: &[Sum]| sums.iter().fold(Bounds::ZERO, |sum, line| sum.plus(line.amount)).map(hundredths);
    let mut next = |of: SumOf, name: String, change: &dyn Fn(f64) -> f64| {
        let amount = so_far(&sums).map(change).map(hundredths);
        sums.push(Sum { of, name, amount });
    };
    if let Some(share) = terms.contingency {
        next(SumOf::Contingency, format!("contingency, {} of the cost", percent(share)), &|cost| cost * share);
    }
    if let Some(share) = terms.margin {
        let name = format!("margin, {} of the price before tax", percent(share));
        next(SumOf::Margin, name, &|cost| cost * share / (1.0 - share));
    }
    if let Some(tax) = tax.filter(|_| terms.tax_on == TaxOn::Price) {
        next(SumOf::Tax, format!("tax, {}", percent(tax)), &|price| price * tax);
    }
    let step = terms.round_to.value;
    next(SumOf::Rounding, "rounding up".to_owned(), &|sum| (libm::ceil(sum / step - 1e-6) * step - sum).max(0.0));
    let total = so_far(&sums);
    (sums, Some(total))
}
