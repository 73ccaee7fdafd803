//! What is tried: pumps, pipe sizes, basins, float settings.

use super::edit::Change;
use super::error::OptionsError;
use crate::basin::Plan;
use crate::catalog;
use crate::hydraulics::Run;
use crate::pump_selection::Pump;
use crate::quantity::{Amount, Length, UnitSystem};
use crate::site::Site;

/// More sets than this are not tried.
pub const MOST_SETS: usize = 20_000;
/// Sizes of pipe and basin on each side of the drawn one, where no list and no price says which.
const NEIGHBOURS: usize = 2;
/// Float levels stay so far below the inlet, the alarm and whatever else must lie above: common practice, no source.
const CLEAR: Length = Length::from_inch(1.0);
/// Two lengths nearer than this are one.
const SAME: Length = Length::from_mm(0.1);

/// A pump to choose.
#[derive(Clone, Debug, PartialEq)]
pub struct PumpChoice {
    /// Its name.
    pub name: String,
    /// What all of its kind that are installed cost together.
    pub price: Option<f64>,
    /// The most that it gives to the water, W.
    pub strength_w: f64,
}

/// A size of the runs to choose.
#[derive(Clone, Debug, PartialEq)]
pub struct PipeChoice {
    /// Its label; several where the runs as drawn have several.
    pub size: String,
    /// Whether it is the drawn one.
    pub drawn: bool,
    /// What all runs of it cost.
    pub price: Option<f64>,
    /// The widest bore of the runs.
    pub bore: Length,
}

/// A basin to choose.
#[derive(Clone, Debug, PartialEq)]
pub struct BasinChoice {
    /// Its plan.
    pub plan: Plan,
    /// Whether it is the drawn one.
    pub drawn: bool,
    /// What it costs.
    pub price: Option<f64>,
}

/// Where the pump stops and starts, above the floor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Floats {
    /// Where it stops.
    pub off: Length,
    /// Where it starts.
    pub on: Length,
    /// Whether it is the drawn setting.
    pub drawn: bool,
}

/// All that is tried with one another, each in order of name or size; nothing twice.
#[derive(Clone, Debug, PartialEq)]
pub struct Lists {
    /// The pumps.
    pub pumps: Vec<PumpChoice>,
    /// The sizes of the runs.
    pub pipes: Vec<PipeChoice>,
    /// The basins.
    pub basins: Vec<BasinChoice>,
    /// The float settings.
    pub floats: Vec<Floats>,
}

impl Lists {
    /// How many sets they make.
    pub fn sets(&self) -> usize {
        [self.pipes.len(), self.basins.len(), self.floats.len()]
            .iter()
            .fold(self.pumps.len(), |sets, count| sets * count)
    }
}

/// The lists of a site.
///
/// # Errors
/// A size is entered that is not made, diameters for a basin that has none, or there would be too many sets.
pub(super) fn lists(site: &Site) -> Result<Lists, OptionsError> {
    let lists = Lists { pumps: pumps(site), pipes: pipes(site)?, basins: basins(site)?, floats: floats(site) };
    let (pumps, pipes) = (lists.pumps.len(), lists.pipes.len());
    let (basins, floats) = (lists.basins.len(), lists.floats.len());
    let sets = pumps.saturating_mul(pipes).saturating_mul(basins).saturating_mul(floats);
    if sets > MOST_SETS {
        return Err(OptionsError::TooMany { pumps, pipes, basins, floats });
    }
    Ok(lists)
}

/// The pumps entered; that which is installed as the second stays where it is.
fn pumps(site: &Site) -> Vec<PumpChoice> {
    let second = site.pumping.lag.as_deref();
    let entered = |pump: &&Pump| Some(pump.name.as_str()) != second;
    let alike = if second.is_some() { 1.0 } else { f64::from(site.pumping.count) };
    let mut pumps: Vec<PumpChoice> = site.pumps.iter().filter(entered).map(|pump| choice(pump, alike)).collect();
    if pumps.is_empty() {
        // the second is of the first one's kind after all
        pumps = site.pumps.iter().map(|pump| choice(pump, 1.0)).collect();
    }
    pumps.sort_by(|one, other| one.name.cmp(&other.name));
    pumps
}

fn choice(pump: &Pump, alike: f64) -> PumpChoice {
    let powers = pump.curve.points().map(|(flow, head)| head.m() * flow.m3s() * WEIGHT_NM3);
    PumpChoice {
        name: pump.name.clone(),
        price: pump.price.map(|price| price * alike),
        strength_w: powers.fold(0.0, f64::max),
    }
}

/// The weight of a cubic metre of water, N.
const WEIGHT_NM3: f64 = 1000.0 * crate::quantity::factor::GRAVITY;

/// The label of a size as the table has it, and its bore, where it is made of the run's material.
fn made(run: &Run, size: &str) -> Option<(&'static str, Length)> {
    catalog::pipe(&run.pipe.material, size).ok().map(|entry| (entry.pipe.size.as_str(), entry.pipe.bore))
}

fn pipes(site: &Site) -> Result<Vec<PipeChoice>, OptionsError> {
    let runs = &site.discharge.runs;
    let Some(first) = runs.first() else { return Ok(Vec::new()) };
    let entered = &site.to_choose_from.pipes;
    for (run, size) in runs.iter().flat_map(|run| entered.iter().map(move |size| (run, size))) {
        if made(run, size).is_none() {
            return Err(OptionsError::SizeNotMade {
                material: run.pipe.material.clone(),
                size: size.clone(),
                sizes: catalog::pipe_sizes(&run.pipe.material).into_iter().map(str::to_owned).collect(),
            });
        }
    }
    let price_of = |size: &str| {
        let prices = &site.to_choose_from.prices.pipe_per_m;
        prices.iter().find(|(label, _)| made(first, label).is_some_and(|(known, _)| known == size)).map(|(_, per)| *per)
    };
    let alike = runs.iter().all(|run| run.pipe.size == first.pipe.size);
    let drawn = PipeChoice {
        size: {
            let mut sizes: Vec<&str> = Vec::new();
            for run in runs {
                if sizes.last() != Some(&run.pipe.size.as_str()) {
                    sizes.push(&run.pipe.size);
                }
            }
            sizes.join(" + ")
        },
        drawn: true,
        price: runs.iter().map(|run| price_of(&run.pipe.size).map(|per| per * run.length.m())).sum(),
        bore: runs.iter().map(|run| run.pipe.bore).fold(Length::ZERO, Length::max),
    };
    let all_made: Vec<&str> = catalog::pipe_sizes(&first.pipe.material)
        .into_iter()
        .filter(|size| runs.iter().all(|run| made(run, size).is_some()))
        .collect();
    let priced: Vec<&str> = all_made.iter().copied().filter(|size| price_of(size).is_some()).collect();
    let sizes: Vec<&str> = if !entered.is_empty() {
        entered.iter().filter_map(|size| made(first, size)).map(|(size, _)| size).collect()
    } else if priced.is_empty() {
        let at = all_made.iter().position(|size| *size == first.pipe.size).unwrap_or(0);
        near(&all_made, at)
    } else {
        priced
    };
    let listed = entered.is_empty() && sizes.iter().all(|size| price_of(size).is_none());
    let mut pipes: Vec<PipeChoice> = Vec::new();
    // without a list and without prices the drawn one is among them, as it is
    if listed {
        pipes.push(drawn.clone());
    }
    for size in sizes {
        if alike && size == first.pipe.size {
            pipes.push(drawn.clone());
            continue;
        }
        let length: Length = runs.iter().map(|run| run.length).sum();
        let bore = runs.iter().filter_map(|run| made(run, size)).map(|(_, bore)| bore).fold(Length::ZERO, Length::max);
        pipes.push(PipeChoice {
            size: size.to_owned(),
            drawn: false,
            price: price_of(size).map(|per| per * length.m()),
            bore,
        });
    }
    pipes.sort_by(|one, other| one.bore.m().total_cmp(&other.bore.m()).then(one.size.cmp(&other.size)));
    pipes.dedup_by(|one, other| one.size == other.size);
    Ok(pipes)
}

/// Those on both sides of one, and itself.
fn near<T: Copy>(all: &[T], at: usize) -> Vec<T> {
    all.iter().copied().skip(at.saturating_sub(NEIGHBOURS)).take(NEIGHBOURS + 1 + at.min(NEIGHBOURS)).collect()
}

fn basins(site: &Site) -> Result<Vec<BasinChoice>, OptionsError> {
    let entered = &site.to_choose_from.basins;
    let prices = &site.to_choose_from.prices.basin;
    let price_of = |across: Length| prices.iter().find(|(known, _)| same(*known, across)).map(|(_, price)| *price);
    let Plan::Round(drawn) = site.basin.plan else {
        if entered.is_empty() {
            return Ok(vec![BasinChoice { plan: site.basin.plan, drawn: true, price: None }]);
        }
        return Err(OptionsError::Rectangular);
    };
    let mut sizes: Vec<Length> = if !entered.is_empty() {
        entered.clone()
    } else if prices.is_empty() {
        let mut usual: Vec<Length> = catalog::basin_sizes().iter().map(|size| size.diameter).collect();
        usual.push(drawn);
        sorted(&mut usual);
        let at = usual.iter().position(|size| same(*size, drawn)).unwrap_or(0);
        near(&usual, at)
    } else {
        prices.iter().map(|(across, _)| *across).collect()
    };
    sorted(&mut sizes);
    Ok(sizes
        .into_iter()
        .map(|across| {
            let as_drawn = same(across, drawn);
            let across = if as_drawn { drawn } else { across };
            BasinChoice { plan: Plan::Round(across), drawn: as_drawn, price: price_of(across) }
        })
        .collect())
}

fn same(one: Length, other: Length) -> bool {
    (one - other).abs() < SAME
}

/// By size, nothing twice.
fn sorted(lengths: &mut Vec<Length>) {
    lengths.sort_by(|one, other| one.m().total_cmp(&other.m()));
    lengths.dedup_by(|one, other| same(*one, *other));
}

fn floats(site: &Site) -> Vec<Floats> {
    let (off, on) = (site.basin.off, site.basin.on);
    let entered = &site.to_choose_from;
    let mut pairs: Vec<(Length, Length)> = if entered.off.is_empty() && entered.on.is_empty() {
        usual_floats(site)
    } else {
        let or_drawn = |list: &[Length], drawn: Length| if list.is_empty() { vec![drawn] } else { list.to_vec() };
        let (offs, ons) = (or_drawn(&entered.off, off), or_drawn(&entered.on, on));
        offs.iter().flat_map(|off| ons.iter().map(move |on| (*off, *on))).collect()
    };
    pairs.sort_by(|one, other| one.0.m().total_cmp(&other.0.m()).then(one.1.m().total_cmp(&other.1.m())));
    pairs.dedup_by(|one, other| same(one.0, other.0) && same(one.1, other.1));
    pairs
        .into_iter()
        .map(|pair| {
            let drawn = same(pair.0, off) && same(pair.1, on);
            let (off, on) = if drawn { (off, on) } else { pair };
            Floats { off, on, drawn }
        })
        .collect()
}

/// The drawn setting; one with as much between the floats as pumps, inlet and alarm let there be; one with half as much
/// as drawn.
fn usual_floats(site: &Site) -> Vec<(Length, Length)> {
    let (off, on) = (site.basin.off, site.basin.on);
    let whole = |length: Length, up: bool| {
        let step = if site.units == UnitSystem::Us { Length::from_inch(1.0) } else { Length::from_m(0.01) };
        let steps = length / step;
        step * if up { libm::ceil(steps - 1e-6) } else { libm::floor(steps + 1e-6) }
    };
    let inlet = site.basin.inlet_invert.map(|invert| invert - site.basin.floor);
    let above = [inlet, site.basin.alarm, site.pumping.lag_on].into_iter().flatten();
    // the lowest pipe that runs in, and the check valve, which should hang above the water
    let pipes = site.drains.iter().filter(|drain| drain.ends_at_basin()).filter_map(|drain| drain.down_invert);
    let valve = site.discharge.check_valve.as_ref().and_then(|valve| valve.above_floor);
    let above = above.chain(pipes.map(|invert| invert - site.basin.floor)).chain(valve);
    let top = whole(above.fold(site.basin.depth(), Length::min) - CLEAR, false);
    let lowest = site.pumps.iter().filter_map(|pump| pump.lowest_level).fold(Length::ZERO, Length::max);
    let mut pairs = vec![(off, on)];
    // a pump whose least water nobody entered stays as high as drawn
    let known = site.pumps.iter().all(|pump| pump.lowest_level.is_some());
    let low = if known { whole(lowest, true) } else { off };
    let second_off = site.pumping.lag_off.unwrap_or(low).max(Length::ZERO);
    pairs.push((low.min(second_off), top.max(on)));
    pairs.push((off, whole((off + on) / 2.0, false)));
    pairs.retain(|(off, on)| on > off);
    pairs
}

/// A price of the file that belongs to nothing that is tried.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnusedPrice {
    /// The size as it stands in the file, or the basin's width as the report prints it.
    pub size: String,
    /// Whether it is of pipe; of a basin if not.
    pub of_pipe: bool,
}

/// The prices of pipe and basins that none of the lists takes.
pub(super) fn unused_prices(site: &Site, lists: &Lists, units: UnitSystem) -> Vec<UnusedPrice> {
    let runs = &site.discharge.runs;
    let tried = |label: &str| {
        let size = runs.first().and_then(|run| made(run, label)).map(|(size, _)| size);
        // of the runs as drawn each has its own
        let drawn = || runs.iter().any(|run| made(run, label).is_some_and(|(size, _)| size == run.pipe.size));
        size.is_some_and(|size| lists.pipes.iter().any(|pipe| pipe.size == size)) || drawn()
    };
    let prices = &site.to_choose_from.prices;
    let pipes = prices.pipe_per_m.iter().filter(|(label, _)| !tried(label));
    let pipes = pipes.map(|(label, _)| UnusedPrice { size: label.clone(), of_pipe: true });
    let wide = |across: Length| {
        lists.basins.iter().any(|basin| matches!(basin.plan, Plan::Round(known) if same(known, across)))
    };
    let basins = prices.basin.iter().filter(|(across, _)| !wide(*across));
    let basins = basins.map(|(across, _)| UnusedPrice { size: Amount::small(*across).show(units), of_pipe: false });
    pipes.chain(basins).collect()
}

/// How a set differs from the file.
pub(super) fn change(pump: &PumpChoice, pipe: &PipeChoice, basin: &BasinChoice, floats: &Floats) -> Change {
    Change {
        pump: Some(pump.name.clone()),
        pipe: (!pipe.drawn).then(|| pipe.size.clone()),
        basin: match basin.plan {
            Plan::Round(across) if !basin.drawn => Some(across),
            _ => None,
        },
        floats: (!floats.drawn).then_some((floats.off, floats.on)),
    }
}
