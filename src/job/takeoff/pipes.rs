//! Pipe by whole sticks, couplings from their joints, fittings, cement.

use super::reckoning::{Reckoning, percent, whole, whole_up};
use super::{Basis, Cost, Count, Part};
use crate::catalog;
use crate::hydraulics::{FittingCount, Pipe};
use crate::quantity::{Length, UnitSystem};
use crate::site::{Good, Limit, Task};

/// Pipe of one kind and size in a part of the job.
struct Lot<'a> {
    pipe: &'a Pipe,
    /// What it is laid as, with its length.
    laid: Vec<(String, Length)>,
    /// Joints between sticks.
    joints: u32,
}

/// Pipe of one kind and size together.
fn lots<'a>(pieces: impl Iterator<Item = (&'a Pipe, String, Length, u32)>) -> Vec<Lot<'a>> {
    let mut lots: Vec<Lot<'a>> = Vec::new();
    for (pipe, name, length, joints) in pieces {
        match lots.iter_mut().find(|lot| alike(lot.pipe, pipe)) {
            Some(lot) => {
                lot.laid.push((name, length));
                lot.joints += joints;
            }
            None => lots.push(Lot { pipe, laid: vec![(name, length)], joints }),
        }
    }
    lots
}

/// Joints between the sticks of a length.
fn joints(length: Length, stick: Length) -> u32 {
    whole((whole_up(length / stick) - 1.0).max(0.0))
}

/// The sticks of the discharge line's pipe; polyethylene comes in coils, where nothing else was entered.
fn discharge_stick(r: &Reckoning<'_>, pipe: &Pipe) -> Limit<Length> {
    let stick = &r.site.takeoff.discharge_stick;
    if !catalog::is_polyethylene(pipe) || stick.source.starts_with("entered") {
        return stick.clone();
    }
    let coil = match r.site.units {
        UnitSystem::Us => Length::from_ft(100.0),
        UnitSystem::Metric => Length::from_m(50.0),
    };
    Limit { value: coil, source: "a coil; common practice, no source".to_owned() }
}

/// A kind of pipe in sticks: their length, whether they have bells, prices by the metre, the key of those.
struct Stock<'a> {
    part: Part,
    stick: Limit<Length>,
    prices: &'a [(String, f64)],
    key: &'static str,
}

fn sticks(r: &mut Reckoning<'_>, lot: &Lot<'_>, stock: &Stock<'_>) {
    let waste = &r.site.takeoff.pipe_waste;
    let laid: Length = lot.laid.iter().map(|(_, length)| *length).sum();
    let needed = laid * (1.0 + waste.value);
    let count = whole_up(needed / stock.stick.value);
    let bought = stock.stick.value * count;
    let pieces: Vec<String> = lot.laid.iter().map(|(name, length)| format!("{} {name}", r.show(*length))).collect();
    let sum = if pieces.len() > 1 { format!(" = {}", r.show(laid)) } else { String::new() };
    let over = if bought > Length::ZERO { 1.0 - laid / bought } else { 0.0 };
    let how = format!(
        "{}{sum}; with {} waste {}, in whole sticks {}, of which {} is cut away or left",
        pieces.join(" + "),
        percent(waste.value),
        r.show(needed),
        r.show(bought),
        percent(over)
    );
    let basis = Basis::entered().with("sticks of", &r.show(stock.stick.value), &stock.stick).with(
        "waste",
        &percent(waste.value),
        waste,
    );
    let per_m = stock.prices.iter().find(|(label, _)| same_size(lot.pipe, label)).map(|(_, price)| *price);
    let count = Count::pieces(count, format!("x {}", r.show(stock.stick.value)));
    let cost = match per_m {
        Some(per_m) => r.priced(per_m * stock.stick.value.m(), &count),
        None => Cost::Missing(format!("prices.{}.\"{}\"", stock.key, lot.pipe.size)),
    };
    let name = format!("{} {}", lot.pipe.size, lot.pipe.material);
    r.works(Task::LayPipe, laid.m());
    r.item(stock.part, name, count, how, basis, cost);
}

fn same_size(pipe: &Pipe, label: &str) -> bool {
    label == pipe.size || catalog::pipe(&pipe.material, label).is_ok_and(|entry| entry.pipe.size == pipe.size)
}

/// The discharge line: pipe, couplings, fittings.
pub(super) fn discharge(r: &mut Reckoning<'_>) {
    let site = r.site;
    let line = &site.discharge;
    let risers = Length::from_m(line.riser.length.m() * f64::from(line.risers));
    let several = line.runs.len() > 1;
    let runs = line.runs.iter().zip(1..).map(|(run, number)| {
        let name = if several { format!("run {number}") } else { "run".to_owned() };
        (&run.pipe, name, run.length, joints(run.length, discharge_stick(r, &run.pipe).value))
    });
    let riser_name = if line.risers > 1 { format!("{} risers", line.risers) } else { "riser".to_owned() };
    let lots: Vec<Lot<'_>> = lots(runs.chain(std::iter::once((&line.riser.pipe, riser_name, risers, 0))));
    let by_feet = site.units == UnitSystem::Us;
    for lot in &lots {
        let stock = Stock {
            part: Part::Discharge,
            stick: discharge_stick(r, lot.pipe),
            prices: &site.to_choose_from.prices.pipe_per_m,
            key: if by_feet { "pipe_per_ft" } else { "pipe_per_m" },
        };
        if lot.laid.iter().any(|(_, length)| *length > Length::ZERO) {
            sticks(r, lot, &stock);
        }
        couplings(r, lot, counted(r, lot.pipe, "coupling"));
    }
    let mut seen: Vec<(String, &Pipe)> = Vec::new();
    let all = std::iter::once(&line.riser).chain(&line.runs);
    for run in all {
        for fitting in &run.fittings {
            let name = canonical(&fitting.name, &run.pipe);
            // the loss at the mouth of the pipe is no piece, and couplings go by the joints
            if name.starts_with("entrance") || name == "coupling" {
                continue;
            }
            if !seen.iter().any(|(known, pipe)| *known == name && alike(pipe, &run.pipe)) {
                seen.push((name, &run.pipe));
            }
        }
    }
    for (name, pipe) in seen {
        let count = counted(r, pipe, &name);
        if count > 0 {
            r.glued += if glues(pipe) { count * sockets(&name) } else { 0 };
            fitting(r, pipe, &name, count, "counted in the site file".to_owned(), Basis::entered());
        }
    }
    reducers(r);
}

/// Fittings of a name on all that has a size of pipe.
fn counted(r: &Reckoning<'_>, pipe: &Pipe, name: &str) -> u32 {
    let line = &r.site.discharge;
    let of = |fittings: &[FittingCount]| -> u32 {
        fittings.iter().filter(|fitting| canonical(&fitting.name, pipe) == name).map(|fitting| fitting.count).sum()
    };
    let riser = if alike(&line.riser.pipe, pipe) { of(&line.riser.fittings) * line.risers } else { 0 };
    riser + line.runs.iter().filter(|run| alike(&run.pipe, pipe)).map(|run| of(&run.fittings)).sum::<u32>()
}

/// Whether two pipes are of one kind and size.
fn alike(one: &Pipe, other: &Pipe) -> bool {
    one.material == other.material && one.size == other.size
}

fn canonical(name: &str, pipe: &Pipe) -> String {
    catalog::fitting(name, pipe).map_or_else(|| name.trim().to_owned(), |entry| entry.name.to_owned())
}

fn couplings(r: &mut Reckoning<'_>, lot: &Lot<'_>, entered: u32) {
    let terms = &r.site.takeoff;
    let (bells, stick) = (&terms.discharge_bells, &discharge_stick(r, lot.pipe));
    let glued = glues(lot.pipe);
    let joints = if bells.value { 0 } else { lot.joints };
    let count = joints.max(entered);
    if bells.value && glued {
        r.glued += lot.joints;
    }
    if count == 0 {
        return;
    }
    r.glued += if glued { count * 2 } else { 0 };
    let how = if bells.value {
        format!("{entered} in the site file; the sticks have bells")
    } else {
        format!("{} joints between sticks, {entered} in the site file: the larger number", lot.joints)
    };
    let basis = Basis::entered().with("sticks of", &r.show(stick.value), stick).with(
        "joints",
        if bells.value { "with bells" } else { "with couplings" },
        bells,
    );
    fitting(r, lot.pipe, "coupling", count, how, basis);
}

fn fitting(r: &mut Reckoning<'_>, pipe: &Pipe, name: &str, count: u32, how: String, basis: Basis) {
    let prices = &r.site.to_choose_from.prices.fittings;
    let count = Count::pieces(f64::from(count), "");
    let named = |label: &str| canonical(label, pipe) == name || label.trim().eq_ignore_ascii_case(name);
    let sized = |label: &str| label.trim().strip_prefix(pipe.size.as_str()).is_some_and(&named);
    let price = prices.iter().find(|(label, _)| sized(label)).or_else(|| prices.iter().find(|(label, _)| named(label)));
    let cost = match price {
        Some((_, price)) => r.priced(*price, &count),
        None if prices.is_empty() => Cost::Within("in the price of the pipe"),
        None => Cost::Missing(format!("prices.fittings.\"{name}\"")),
    };
    r.item(Part::Discharge, format!("{} {name}", pipe.size), count, how, basis, cost);
}

/// A piece wherever the bore changes.
fn reducers(r: &mut Reckoning<'_>) {
    let line = &r.site.discharge;
    let ends = std::iter::once(None).chain((0..line.runs.len()).map(Some));
    let changes = ends
        .filter_map(|end| line.widening_after(end).or_else(|| line.narrowing_before(end.map_or(0, |run| run + 1))))
        .count();
    let changes = u32::try_from(changes).unwrap_or(u32::MAX);
    if changes > 0 {
        let pipe = &line.riser.pipe;
        r.glued += if glues(pipe) { changes * 2 } else { 0 };
        fitting(r, pipe, "reducer", changes, "one at each change of bore".to_owned(), Basis::design());
    }
}

/// Whether pipe is joined with cement: metric sewer pipe has rings in its bells. Common practice, no source.
fn glues(pipe: &Pipe) -> bool {
    pipe.material.contains("PVC") && pipe.material != "PVC-U sewer"
}

/// Glued joints of a fitting.
fn sockets(name: &str) -> u32 {
    if name.contains("tee") || name.contains("wye") { 3 } else { 2 }
}

/// Solid drains and French drains.
pub(super) fn drains(r: &mut Reckoning<'_>) {
    let site = r.site;
    let (terms, prices) = (&site.takeoff, &site.to_choose_from.prices);
    let by_feet = site.units == UnitSystem::Us;
    for drain in &site.drains {
        if drain.pipe.is_none() {
            r.not_measured(format!("pipe of `{}`", drain.name), "the drain's `size` is not entered");
            r.works(Task::LayPipe, drain.length.m());
        }
    }
    let of = |french: bool, stick: Length| {
        let known = site.drains.iter().filter(move |drain| drain.french.is_some() == french);
        lots(known.filter_map(move |drain| {
            let pipe = drain.pipe.as_ref()?;
            let wrapped = drain.french.as_ref().is_some_and(|french| french.trench.is_none() && terms.wrapped_pipe);
            let name = format!("`{}`{}", drain.name, if wrapped { " wrapped at the works" } else { "" });
            Some((pipe, name, drain.length, joints(drain.length, stick)))
        }))
    };
    let solid = Stock {
        part: Part::Drains,
        stick: terms.drain_stick.clone(),
        prices: &prices.drain_pipe_per_m,
        key: if by_feet { "drain_pipe_per_ft" } else { "drain_pipe_per_m" },
    };
    for lot in of(false, solid.stick.value) {
        sticks(r, &lot, &solid);
        let bells = &terms.drain_bells;
        if glues(lot.pipe) {
            r.glued += lot.joints * if bells.value { 1 } else { 2 };
        }
        if !bells.value {
            joined(r, &lot, &solid);
        }
    }
    let french = Stock {
        part: Part::French,
        stick: terms.french_stick.clone(),
        prices: &prices.french_pipe_per_m,
        key: if by_feet { "french_pipe_per_ft" } else { "french_pipe_per_m" },
    };
    for lot in of(true, french.stick.value) {
        sticks(r, &lot, &french);
        joined(r, &lot, &french);
    }
}

/// Couplings of a drain, which its pipe's price holds.
fn joined(r: &mut Reckoning<'_>, lot: &Lot<'_>, stock: &Stock<'_>) {
    if lot.joints == 0 {
        return;
    }
    let basis = Basis::entered().with("sticks of", &r.show(stock.stick.value), &stock.stick);
    let count = Count::pieces(f64::from(lot.joints), "");
    let name = format!("{} couplings", lot.pipe.size);
    let how = "joints between sticks of each drain".to_owned();
    r.item(stock.part, name, count, how, basis, Cost::Within("in the price of the pipe"));
}

/// Cement and primer for all glued joints.
pub(super) fn cement(r: &mut Reckoning<'_>) {
    let line = &r.site.discharge;
    if glues(&line.riser.pipe) {
        let valves = line.check_valve.as_ref().map_or(0, |valve| valve.count);
        // both sides of a valve, the pump's end of each riser
        r.glued += valves * 2 + line.risers;
    }
    if line.runs.last().is_some_and(|run| glues(&run.pipe)) {
        // what stands at the end of the line
        r.glued += 1;
    }
    if r.glued == 0 {
        return;
    }
    let can = &r.site.takeoff.joints_per_can;
    let cans = whole_up(f64::from(r.glued) / can.value);
    let how = format!("{} glued joints of PVC, {:.0} to a can, in whole cans", r.glued, can.value);
    let basis = Basis::entered().with("joints to a can:", &format!("{:.0}", can.value), can);
    r.good(Part::Discharge, Good::Cement, "cement, cans", cans, how.clone(), basis.clone());
    r.good(Part::Discharge, Good::Primer, "primer, cans", cans, how, basis);
}
