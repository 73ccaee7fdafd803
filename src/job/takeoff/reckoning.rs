//! A takeoff under way.

use super::surface::Spoilt;
use super::{Basis, Cost, Count, Item, NotMeasured, Part};
use crate::design::Design;
use crate::quantity::{Amount, Length, Measure, Volume};
use crate::site::{By, Good, Limit, Site, Task};

/// What has been reckoned so far.
#[derive(Clone, Debug)]
pub(super) struct Reckoning<'a> {
    pub(super) site: &'a Site,
    pub(super) design: &'a Design,
    pub(super) items: Vec<Item>,
    pub(super) not_measured: Vec<NotMeasured>,
    /// How much of each piece of work there is, by SI units.
    pub(super) work: Vec<(Task, f64)>,
    /// Glued joints.
    pub(super) glued: u32,
    /// Dug, as it lies in the ground.
    pub(super) dug: Volume,
    /// Whether something that is dug could not be measured.
    pub(super) dug_unknown: bool,
    /// What of that pipe, stone, basin and concrete take the place of.
    pub(super) displaced: Volume,
    /// Surface to make good.
    pub(super) spoilt: Spoilt,
    /// The deepest hole or trench that is known.
    pub(super) deepest: Length,
}

impl<'a> Reckoning<'a> {
    pub(super) fn new(site: &'a Site, design: &'a Design) -> Self {
        Self {
            site,
            design,
            items: Vec::new(),
            not_measured: Vec::new(),
            work: Vec::new(),
            glued: 0,
            dug: Volume::ZERO,
            dug_unknown: false,
            displaced: Volume::ZERO,
            spoilt: Spoilt::NONE,
            deepest: Length::ZERO,
        }
    }

    /// A quantity as the papers print it.
    pub(super) fn show<Q: Measure<f64>>(&self, quantity: Q) -> String {
        Amount::of(quantity).show(self.site.units)
    }
    /// A small length likewise.
    pub(super) fn small(&self, length: Length) -> String {
        Amount::small(length).show(self.site.units)
    }
    /// A volume that is no water, in the unit that it is bought by.
    pub(super) fn solid(&self, volume: Volume) -> String {
        let count = Count::of(By::Volume, volume.m3(), self.site);
        format!("{:.2} {}", count.value, count.unit)
    }

    /// Keeps something that cannot be measured.
    pub(super) fn not_measured(&mut self, what: impl Into<String>, why: impl Into<String>) {
        self.not_measured.push(NotMeasured { what: what.into(), why: why.into() });
    }
    /// Keeps a trench or hole that cannot be measured.
    pub(super) fn not_dug(&mut self, what: impl Into<String>, why: impl Into<String>) {
        self.dug_unknown = true;
        self.not_measured(what, why);
    }
    /// Adds to a piece of work, in SI units.
    pub(super) fn works(&mut self, task: Task, amount: f64) {
        match self.work.iter_mut().find(|(known, _)| *known == task) {
            Some((_, so_far)) => *so_far += amount,
            None => self.work.push((task, amount)),
        }
    }
    /// Keeps an item.
    pub(super) fn item(
        &mut self,
        part: Part,
        name: impl Into<String>,
        count: Count,
        how: String,
        basis: Basis,
        cost: Cost,
    ) {
        self.items.push(Item { part, name: name.into(), count, how, basis, cost });
    }
    /// Keeps so much of something that has one price whatever its size, in SI units.
    pub(super) fn good(&mut self, part: Part, good: Good, name: impl Into<String>, si: f64, how: String, basis: Basis) {
        let count = Count::of(good.by(), si, self.site);
        let cost = self.price_of(good, &count);
        self.item(part, name, count, how, basis, cost);
    }
    fn price_of(&self, good: Good, count: &Count) -> Cost {
        let units = self.site.units;
        match self.site.to_choose_from.prices.of(good) {
            Some(per_si) => self.priced(per_si / good.by().unit(units).1, count),
            None => Cost::Missing(format!("prices.{}", good.key(units))),
        }
    }
    /// A cost by the price of a unit, low and high by how far quantities and prices may be off; pieces are sure.
    pub(super) fn priced(&self, each: f64, count: &Count) -> Cost {
        let sure = count.whole && count.unit.is_empty();
        Cost::Priced { each, cost: super::pricing::bounds(&self.site.takeoff, count.value * each, sure) }
    }
}

impl Basis {
    /// Entered in the site file.
    pub(super) fn entered() -> Self {
        Self { from: "entered", assumed: Vec::new() }
    }
    /// Worked out by the design.
    pub(super) fn design() -> Self {
        Self { from: "design", assumed: Vec::new() }
    }
    /// With a value that the takeoff goes by, in words; what was entered is no assumption.
    #[must_use]
    pub(super) fn with<T>(mut self, what: &str, shown: &str, limit: &Limit<T>) -> Self {
        if !limit.source.starts_with("entered") {
            self.assumed.push(format!("{what} {shown} ({})", limit.source));
        }
        self
    }
    /// With something taken, and where from.
    #[must_use]
    pub(super) fn taking(mut self, what: impl Into<String>) -> Self {
        self.assumed.push(what.into());
        self
    }
    /// In a line.
    pub fn words(&self) -> String {
        if self.assumed.is_empty() {
            self.from.to_owned()
        } else {
            format!("{}; assumed: {}", self.from, self.assumed.join(", "))
        }
    }
}

/// A share in words.
pub(super) fn percent(share: f64) -> String {
    let percent = share * 100.0;
    let whole = libm::round(percent);
    if (percent - whole).abs() < 0.05 { format!("{whole:.0} %") } else { format!("{percent:.1} %") }
}

/// Up to a whole number; what is over by a digit gained on the way does not count.
pub(super) fn whole_up(value: f64) -> f64 {
    libm::ceil(value - 1e-9).max(0.0)
}

/// A whole number that is small, as a count.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held between 0 and a million")]
pub(super) fn whole(value: f64) -> u32 {
    value.clamp(0.0, 1e6) as u32
}
