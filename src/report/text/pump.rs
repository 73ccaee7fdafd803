//! The pump on the line, and the candidates, as text.

use super::{cells, flow_cell, flow_of, line};
use crate::design::{Design, Losses, PumpResult, StretchLoss, WaterLevel};
use crate::hydraulics::FittingCount;
use crate::quantity::{Amount, Length, UnitSystem};
use crate::report::layout::{Align, Page};

pub(super) fn line(page: &mut Page, design: &Design, units: UnitSystem) {
    let Some(pump) = design.pump() else { return };
    page.heading(&format!("Pump `{}` on the line", pump.name));
    duty_table(page, pump, units);
    page.gap();
    curve_table(page, pump, units);
    page.gap();
    page.paragraph(
        "Hazen-Williams is the design method; Darcy-Weisbach, with the water's temperature, stands beside it.",
    );
    if let Some(losses) = &pump.losses {
        page.gap();
        page.paragraph("Where the head goes, at the middle water level between the floats:");
        let mut rows = vec![cells(&["part", "length", "bore", "velocity", "friction", "K or length", "fittings"])];
        for stretch in &losses.stretches {
            rows.push(vec![
                stretch.name.clone(),
                length_words(stretch.length, units),
                Amount::bore(stretch.bore).show(units),
                Amount::of(stretch.velocity).show(units),
                Amount::of(stretch.friction).show(units),
                k_words(stretch, units),
                Amount::of(stretch.fittings).show(units),
            ]);
        }
        let right = Align::Right;
        page.table(&[Align::Left, right, right, right, right, right, right], rows);
        let sources = k_sources(losses, units);
        if !sources.is_empty() {
            page.gap();
            for (what, source) in sources {
                page.hang("  - ", &format!("{what}: {source}"));
            }
            page.gap();
        }
        let place = if losses.governed_by_outlet {
            "the outlet".to_owned()
        } else {
            format!("the high point at {}", Amount::of(losses.governing_at).show(units))
        };
        let opening = if losses.opening.m() > 0.0 {
            format!(" + {} to open the cover", Amount::of(losses.opening).show(units))
        } else {
            String::new()
        };
        page.paragraph(&format!(
            "Lift to {place} {} + the above + {} at the end{opening} = {}.",
            Amount::of(losses.lift).show(units),
            Amount::of(losses.exit).show(units),
            Amount::of(losses.total).show(units),
        ));
    }
    page.gap();
    line::conditions(page, pump, units);
    if let Some(longest) = pump.longest_run {
        page.paragraph(&format!(
            "The flow asked for is reached up to a run of {} (fittings and lift as drawn).",
            Amount::at_most(longest.new).show(units)
        ));
    }
    if let Some(surge) = &pump.surge {
        page.gap();
        line::surge(page, surge, pump.pair.as_ref().is_some_and(|pair| pair.lag_entered), units);
    }
    if let Some(power) = pump.power.as_ref().filter(|power| power.electrical.is_some() || power.drop.is_some()) {
        page.gap();
        line::power(page, power, pump.pair.is_some(), units);
    }
    if let Some(pair) = &pump.pair {
        line::pair(page, &pump.name, pair, units);
    }
}

/// What the line asks for and what the pump gives, side by side.
fn curve_table(page: &mut Page, pump: &PumpResult, units: UnitSystem) {
    page.paragraph(
        "System curve and pump curve, at the middle water level between the floats (they meet at the duty point):",
    );
    let mut rows = vec![cells(&["out of the line", "through the pump", "line asks for", "pump gives"])];
    for point in &pump.curves {
        rows.push(vec![
            Amount::of(point.line_flow).show(units),
            Amount::of(point.pump_flow).show(units),
            Amount::of(point.asked).show(units),
            point.given.map_or_else(|| "unknown".to_owned(), |head| Amount::of(head).show(units)),
        ]);
    }
    page.table(&[Align::Right; 4], rows);
}

/// Every fitting in the line with its K, those of one source together.
fn k_sources(losses: &Losses, units: UnitSystem) -> Vec<(String, String)> {
    let mut all: Vec<FittingCount> = Vec::new();
    for fitting in losses.stretches.iter().flat_map(|stretch| &stretch.made_of) {
        let same = |known: &&mut FittingCount| FittingCount { count: known.count, ..fitting.clone() } == **known;
        match all.iter_mut().find(same) {
            Some(known) => known.count += fitting.count,
            None => all.push(fitting.clone()),
        }
    }
    let mut sources: Vec<(String, String)> = Vec::new();
    for fitting in all {
        let each = if fitting.equivalent > Length::ZERO {
            Amount::of(fitting.equivalent).show(units)
        } else {
            format!("{:.2}", fitting.k)
        };
        let said = format!("{} x {} of {each}", fitting.count, fitting.name);
        match sources.iter_mut().find(|(_, source)| *source == fitting.source) {
            Some((words, _)) => *words = format!("{words}, {said}"),
            None => sources.push((said, fitting.source)),
        }
    }
    sources
}

/// What the fittings of a stretch come to: K, or the length of pipe that loses as much, or both.
fn k_words(stretch: &StretchLoss, units: UnitSystem) -> String {
    if stretch.equivalent <= Length::ZERO {
        return format!("{:.1}", stretch.sum_k);
    }
    let length = Amount::of(stretch.equivalent).show(units);
    if stretch.sum_k > 0.0 { format!("{:.1} + {length}", stretch.sum_k) } else { length }
}

/// A length, in small units where it is short.
fn length_words(length: Length, units: UnitSystem) -> String {
    if length < Length::from_m(1.0) { Amount::small(length).show(units) } else { Amount::of(length).show(units) }
}

fn duty_table(page: &mut Page, pump: &PumpResult, units: UnitSystem) {
    let mut rows = vec![cells(&["water at", "level", "lift", "head", "pumped", "Darcy", "leaks", "in the run"])];
    for duty in &pump.duties {
        let point = duty.duty.point();
        let dash = || "-".to_owned();
        rows.push(vec![
            duty.at.words().to_owned(),
            Amount::of(duty.water_level).show(units),
            Amount::of(duty.static_head).show(units),
            point.map_or_else(dash, |point| Amount::of(point.head).show(units)),
            flow_cell(&duty.duty, units),
            duty.darcy.as_ref().map_or_else(dash, |darcy| flow_cell(darcy, units)),
            point
                .map(|point| point.leak + point.drained)
                .filter(|leaks| leaks.m3s() > 0.0)
                .map_or_else(dash, |leaks| Amount::of(leaks).show(units)),
            duty.velocities
                .iter()
                .max_by(|a, b| a.ms().total_cmp(&b.ms()))
                .map_or_else(dash, |velocity| Amount::of(*velocity).show(units)),
        ]);
    }
    let right = Align::Right;
    page.table(&[Align::Left, right, right, right, right, right, right, right], rows);
}

pub(super) fn pumps(page: &mut Page, design: &Design, units: UnitSystem) {
    if design.pumps.len() < 2 {
        return;
    }
    page.heading("Candidates");
    page.paragraph(
        "Each by itself with line and basin: what stands against the yard whatever pump is used, such as grates, gravity pipes, frost or an empty basin that floats, is left out here. Those that hold first, then the fewest stops; where no goal is given or kept, who moves more of the peak; then the fewest cautions, then the price where all are entered:",
    );
    let priced = design.pumps.iter().any(|pump| pump.price.is_some());
    let mut head = cells(&["pump", "by itself", "half-way", "worn", "run", "starts/h", "cautions"]);
    if priced {
        head.push("price".to_owned());
    }
    let mut rows = vec![head];
    for (pump, standing) in design.pumps.iter().zip(&design.standings) {
        let duty = pump.duty(WaterLevel::Mean).map_or_else(|| "-".to_owned(), |duty| flow_of(&duty.duty, units));
        let mut row = vec![
            format!("{}{}", if standing.used { "> " } else { "  " }, pump.name),
            if standing.holds { "holds" } else { "fails" }.to_owned(),
            duty,
            pump.worn.as_ref().map_or_else(|| "-".to_owned(), |worn| flow_of(worn, units)),
            pump.cycle.as_ref().map_or_else(|| "-".to_owned(), |cycle| Amount::of(cycle.shortest_run).show(units)),
            pump.cycle.as_ref().map_or_else(
                || "-".to_owned(),
                |cycle| {
                    if cycle.worst_starts.is_finite() {
                        format!("{:.0}", pump.worst_starts_each().unwrap_or_else(|| cycle.worst_starts_each()))
                    } else {
                        "for ever".to_owned()
                    }
                },
            ),
            pump.cautions().to_string(),
        ];
        if priced {
            row.push(pump.price.map_or_else(|| "-".to_owned(), |price| format!("{price:.0}")));
        }
        rows.push(row);
    }
    let right = Align::Right;
    page.table(&[Align::Left, Align::Left, right, right, right, right, right, right], rows);
    page.gap();
    for (pump, standing) in design.pumps.iter().zip(&design.standings) {
        let word = if standing.used {
            "used"
        } else if design.pump().and_then(|used| used.pair.as_ref()).is_some_and(|pair| pair.second == pump.name) {
            "used too"
        } else if standing.holds {
            "not used"
        } else {
            "turned down"
        };
        page.hang(&format!("  `{}` {word}: ", pump.name), &standing.reason.say(units));
    }
}
