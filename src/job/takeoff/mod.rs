//! What the job takes: quantities from the design, hours, what it costs, and what of it a customer is told.
//!
//! Nothing that could not be reckoned is counted as zero: it stands in [`Takeoff::not_measured`] or
//! [`Takeoff::missing`], and the total is then called that of what is measured and priced.

mod ground;
mod holes;
mod pipes;
mod pricing;
mod reckoning;
mod stations;
mod sums;
mod surface;
mod words;

use crate::design::Design;
use crate::site::{By, Site, Task};
use reckoning::Reckoning;

/// Low, likely and high of an amount.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Bounds {
    /// With all that may be off as low as it may be.
    pub low: f64,
    /// As reckoned.
    pub likely: f64,
    /// With all that may be off as high as it may be.
    pub high: f64,
}

impl Bounds {
    /// Nothing.
    pub const ZERO: Self = Self { low: 0.0, likely: 0.0, high: 0.0 };
    /// What a change does to each of them.
    #[must_use]
    pub fn map(self, change: impl Fn(f64) -> f64) -> Self {
        Self { low: change(self.low), likely: change(self.likely), high: change(self.high) }
    }
    /// Both together.
    #[must_use]
    pub fn plus(self, other: Self) -> Self {
        Self { low: self.low + other.low, likely: self.likely + other.likely, high: self.high + other.high }
    }
    /// What of them is over another.
    #[must_use]
    pub fn less(self, other: Self) -> Self {
        Self { low: self.low - other.low, likely: self.likely - other.likely, high: self.high - other.high }
    }
}

/// A part of the job.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// The pressure line.
    Discharge,
    /// Catch basins and solid gravity pipes.
    Drains,
    /// French drains.
    French,
    /// Basin, pumps and what belongs to them.
    Station,
    /// Digging, filling, hauling, the surface.
    Ground,
}

impl Part {
    /// All of them, in the order of the papers.
    pub const ALL: [Self; 5] = [Self::Station, Self::Discharge, Self::Drains, Self::French, Self::Ground];
    /// In a few words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Discharge => "discharge line",
            Self::Drains => "grates and gravity drains",
            Self::French => "French drains",
            Self::Station => "basin and pump",
            Self::Ground => "digging and surface",
        }
    }
}

/// How much of something, in the unit that it is bought or done by.
#[derive(Clone, Debug, PartialEq)]
pub struct Count {
    /// The number.
    pub value: f64,
    /// The unit; empty for pieces.
    pub unit: String,
    /// Whether it is a whole number of pieces.
    pub whole: bool,
}

/// What a quantity rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Basis {
    /// `entered` in the site file, or worked out by the `design`.
    pub from: &'static str,
    /// What was taken for it, with where that comes from.
    pub assumed: Vec<String>,
}

/// What comes of the price of an item.
#[derive(Clone, Debug, PartialEq)]
pub enum Cost {
    /// It has one.
    Priced {
        /// For a unit of its quantity.
        each: f64,
        /// For all of it, to the hundredth.
        cost: Bounds,
    },
    /// It is in something else, as the words say.
    Within(&'static str),
    /// It has none, under this key.
    Missing(String),
}

/// A thing to buy or to do, with how much of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// Where it belongs.
    pub part: Part,
    /// What it is.
    pub name: String,
    /// How much.
    pub count: Count,
    /// How that was reckoned.
    pub how: String,
    /// What that rests on.
    pub basis: Basis,
    /// What it costs.
    pub cost: Cost,
}

/// A piece of work.
#[derive(Clone, Debug, PartialEq)]
pub struct Work {
    /// Which.
    pub task: Task,
    /// How much of it.
    pub count: Count,
    /// Hours for a unit of that; none where no rate was entered.
    pub each: Option<f64>,
    /// The hours.
    pub hours: Option<Bounds>,
}

/// Something that the file does not let one reckon.
#[derive(Clone, Debug, PartialEq)]
pub struct NotMeasured {
    /// What.
    pub what: String,
    /// What is missing for it.
    pub why: String,
}

/// A price or rate that was not entered.
#[derive(Clone, Debug, PartialEq)]
pub struct Missing {
    /// Of what.
    pub what: String,
    /// Its key in the site file or price list.
    pub key: String,
}

/// What a line of the sum is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SumOf {
    /// A cost of the job.
    Cost,
    /// For what nobody foresees.
    Contingency,
    /// The contractor's.
    Margin,
    /// The sales tax on the price.
    Tax,
    /// Up to a round total.
    Rounding,
}

/// A line of the sum, to the hundredth.
#[derive(Clone, Debug, PartialEq)]
pub struct Sum {
    /// What sort it is.
    pub of: SumOf,
    /// In words.
    pub name: String,
    /// How much.
    pub amount: Bounds,
}

/// What the job takes and costs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Takeoff {
    /// What is bought and done, part by part.
    pub items: Vec<Item>,
    /// The work with its hours.
    pub work: Vec<Work>,
    /// The hours together, of the work whose rate was entered.
    pub hours: Bounds,
    /// What could not be measured.
    pub not_measured: Vec<NotMeasured>,
    /// What has no price or rate.
    pub missing: Vec<Missing>,
    /// Lines that add up to the total; empty where nothing has a price.
    pub sums: Vec<Sum>,
    /// Their sum.
    pub total: Option<Bounds>,
    /// How the money is called; empty where that was not said.
    pub currency: String,
    /// How low and high come about, and what is not in the total, for those inside.
    pub inside: Vec<String>,
    /// What the price holds, for the customer.
    pub included: Vec<String>,
    /// What it does not.
    pub excluded: Vec<String>,
    /// What is built, part by part, for the customer.
    pub scope: Vec<(Part, Vec<String>)>,
    /// What it does.
    pub does: Vec<String>,
    /// What it does not.
    pub does_not: Vec<String>,
    /// What somebody has to mind who digs or works on it.
    pub cautions: Vec<String>,
    /// Whether nothing stands against the design.
    pub holds: bool,
}

impl Takeoff {
    /// Whether everything is measured and priced.
    pub fn complete(&self) -> bool {
        self.total.is_some() && self.missing.is_empty() && self.not_measured.is_empty()
    }
    /// Why there is no price that a customer could be given; none where there is one.
    pub fn why_no_price(&self) -> Option<String> {
        if !self.holds {
            return Some("something stands against the design".to_owned());
        }
        if self.complete() {
            return None;
        }
        let not_measured = self.not_measured.iter().map(|not| format!("{} is not measured", not.what));
        let missing = self.missing.iter().map(|missing| format!("{} has no price (`{}`)", missing.what, missing.key));
        let all: Vec<String> = not_measured.chain(missing).collect();
        Some(match all.as_slice() {
            [] => "nothing has a price".to_owned(),
            [one] => one.clone(),
            [one, rest @ ..] => format!("{one}, and {} more", rest.len()),
        })
    }
}

/// Takes a design off.
pub fn takeoff(site: &Site, design: &Design) -> Takeoff {
    let mut reckoning = Reckoning::new(site, design);
    pipes::discharge(&mut reckoning);
    pipes::drains(&mut reckoning);
    pipes::cement(&mut reckoning);
    stations::station(&mut reckoning);
    ground::trenches(&mut reckoning);
    holes::holes(&mut reckoning);
    ground::soil(&mut reckoning);
    surface::surface(&mut reckoning);
    let mut items = reckoning.items.clone();
    items.sort_by_key(|item| Part::ALL.iter().position(|part| *part == item.part));
    let work = pricing::work(&reckoning);
    let mut missing = pricing::without_price(&items);
    missing.extend(pricing::without_rate(&reckoning, &work));
    let (sums, total) = sums::sums(site, &items, &work);
    let hours = work.iter().filter_map(|work| work.hours).fold(Bounds::ZERO, Bounds::plus);
    Takeoff {
        hours,
        sums,
        total,
        currency: site.to_choose_from.prices.currency.clone().unwrap_or_default(),
        inside: words::inside(site),
        included: words::included(&reckoning, &items, &work),
        excluded: words::excluded(&reckoning),
        scope: words::scope(&reckoning, &items),
        does: words::does(design, site.units),
        does_not: words::does_not(site, design),
        cautions: words::cautions(design, site.units),
        holds: design.holds(),
        items,
        work,
        not_measured: reckoning.not_measured,
        missing,
    }
}

impl Count {
    /// Whole pieces.
    pub(super) fn pieces(value: f64, unit: impl Into<String>) -> Self {
        Self { value, unit: unit.into(), whole: true }
    }
    /// So much of an SI amount in the units of a site.
    pub(super) fn of(by: By, si: f64, site: &Site) -> Self {
        let (unit, per_si) = by.unit(site.units);
        Self { value: si * per_si, unit: unit.to_owned(), whole: by == By::Each }
    }
}
