//! What a set costs: the materials that differ, and the energy of some years.

use super::lists::Lists;
use crate::design::{StormResult, Trial};
use crate::quantity::{Flow, Length, Volume};
use crate::site::Site;

/// A year and a month of it, s.
const YEAR_S: f64 = 365.25 * crate::quantity::factor::DAY;
const MONTHS: f64 = 12.0;
const JOULES_IN_KWH: f64 = 3.6e6;

/// Whether a part of the set is in the cost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Priced {
    /// It is.
    Yes,
    /// There is one of it only: it makes no difference.
    AllAlike,
    /// Not all have a price, these not; less of it is held to be better instead.
    No(Vec<String>),
}

/// Whether energy is in the cost.
#[derive(Clone, Debug, PartialEq)]
pub enum Energy {
    /// It is, for so much water a year.
    Counted {
        /// Groundwater and steady inflow.
        steady: Volume,
        /// Rain that runs off, by the coefficients of the design storm; none where the rain of a year is not entered.
        rain: Option<Volume>,
        /// The months in which groundwater seeps in.
        wet_months: f64,
        /// Whether they were entered.
        months_entered: bool,
    },
    /// It is not, for want of this.
    LeftOut(&'static str),
}

/// How the cost is reckoned.
#[derive(Clone, Debug, PartialEq)]
pub struct Costing {
    /// The pumps.
    pub pumps: Priced,
    /// The runs.
    pub pipes: Priced,
    /// The basins.
    pub basins: Priced,
    /// The energy.
    pub energy: Energy,
    /// The years of it.
    pub years: u32,
}

impl Costing {
    /// How the sets of some lists are costed.
    pub(super) fn new(site: &Site, storm: &StormResult, lists: &Lists, years: u32) -> Self {
        let units = site.units;
        let pumps: Vec<_> = lists.pumps.iter().map(|pump| (pump.name.clone(), pump.price)).collect();
        let pipes: Vec<_> = lists.pipes.iter().map(|pipe| (pipe.size.clone(), pipe.price)).collect();
        let basins: Vec<_> =
            lists.basins.iter().map(|basin| (super::words::across(basin.plan, units), basin.price)).collect();
        Self {
            pumps: priced(pumps),
            pipes: priced(pipes),
            basins: priced(basins),
            energy: energy(site, storm, lists, years),
            years,
        }
    }

    /// Whether anything costs money here.
    pub fn counts_money(&self) -> bool {
        self.counts_materials() || self.counts_energy()
    }
    /// Whether materials are in the cost.
    pub fn counts_materials(&self) -> bool {
        [&self.pumps, &self.pipes, &self.basins].contains(&&Priced::Yes)
    }
    /// Whether energy is in the cost.
    pub fn counts_energy(&self) -> bool {
        matches!(self.energy, Energy::Counted { .. })
    }

    /// The materials that differ.
    pub(super) fn materials(&self, prices: [Option<f64>; 3]) -> Option<f64> {
        let counted = [&self.pumps, &self.pipes, &self.basins];
        let mut sum = None;
        for (priced, price) in counted.into_iter().zip(prices) {
            if *priced == Priced::Yes {
                sum = Some(sum.unwrap_or(0.0) + price?);
            }
        }
        sum
    }

    /// The energy of the years.
    pub(super) fn energy(&self, site: &Site, trial: &Trial) -> Option<f64> {
        let Energy::Counted { rain, wet_months, .. } = &self.energy else { return None };
        let price = site.to_choose_from.prices.energy_per_kwh?;
        let each = trial.pump.power.as_ref()?.energy_jm3?;
        let water = steady(site, &trial.storm, *wet_months) + rain.unwrap_or(Volume::ZERO);
        Some(water.m3() * each / JOULES_IN_KWH * price * f64::from(self.years))
    }
}

fn priced(all: Vec<(String, Option<f64>)>) -> Priced {
    if all.len() < 2 {
        return Priced::AllAlike;
    }
    let without: Vec<String> = all.into_iter().filter(|(_, price)| price.is_none()).map(|(name, _)| name).collect();
    if without.is_empty() { Priced::Yes } else { Priced::No(without) }
}

fn energy(site: &Site, storm: &StormResult, lists: &Lists, years: u32) -> Energy {
    let prices = &site.to_choose_from.prices;
    if years == 0 {
        return Energy::LeftOut("no years of it are asked for");
    }
    if prices.energy_per_kwh.is_none() {
        return Energy::LeftOut("`prices.energy_per_kWh` is not entered");
    }
    let tried = |name: &str| lists.pumps.iter().any(|pump| pump.name == name);
    if site.pumps.iter().any(|pump| tried(&pump.name) && pump.power.is_none() && pump.efficiency.is_none()) {
        return Energy::LeftOut("not every pump has its `power`");
    }
    let wet_months = prices.wet_months.unwrap_or(MONTHS);
    let steady = steady(site, storm, wet_months);
    let rain = prices.rain_per_year.map(|depth| {
        let sheds = storm.catchments.iter().map(|surface| surface.area * surface.tabled);
        sheds.map(|area| area * Length::from(depth)).fold(Volume::ZERO, |sum, volume| sum + volume)
    });
    if steady + rain.unwrap_or(Volume::ZERO) <= Volume::ZERO {
        return Energy::LeftOut("nothing says how much water comes in a year: `prices.rain_per_year` would");
    }
    Energy::Counted { steady, rain, wet_months, months_entered: prices.wet_months.is_some() }
}

/// What seeps and runs in by itself in a year: groundwater where it rises to the on level.
fn steady(site: &Site, storm: &StormResult, wet_months: f64) -> Volume {
    let ground = &storm.groundwater;
    let on = site.basin.level(site.basin.on);
    let seeping = if ground.seasonal_high.is_none_or(|high| high > on) { ground.flow } else { Flow::ZERO };
    let mean = |inflow: &crate::site::SteadyInflow| match inflow.pulses {
        Some((runs, rests)) => inflow.flow * (runs / (runs + rests)),
        None => inflow.flow,
    };
    let inflows: f64 = site.inflows.iter().map(|inflow| mean(inflow).m3s()).sum();
    Volume::from_m3((seeping.m3s() * wet_months / MONTHS + inflows) * YEAR_S)
}
