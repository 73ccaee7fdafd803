//! The basin, as text.

use super::cells;
use crate::basin::cycle::Cycle;
use crate::design::Design;
use crate::quantity::{Amount, Length, UnitSystem};
use crate::report::layout::{Align, Page};

pub(super) fn basin(page: &mut Page, design: &Design, units: UnitSystem) {
    page.heading("Basin");
    basin_levels(page, design, units);
    page.gap();
    let small = |length: Length| Amount::small(length).show(units);
    let budget = &design.depth_budget;
    let depth = match (budget.inlet_depth, budget.spare) {
        (Some(inlet), Some(spare)) => format!(
            "{} rim to inlet + {} pump-down + {} dead water, in {} of basin: {}",
            small(inlet),
            small(budget.pump_down),
            small(budget.dead_water),
            small(budget.depth),
            if spare < Length::ZERO {
                format!("{} short", small(-spare))
            } else {
                format!("{} to spare", small(spare))
            }
        ),
        _ => format!(
            "{} pump-down + {} dead water in {} of basin; no inlet entered, so its depth is not judged",
            small(budget.pump_down),
            small(budget.dead_water),
            small(budget.depth)
        ),
    };
    let mut pairs = vec![("depth".to_owned(), depth)];
    let mut add = |name: &str, value: String| pairs.push((name.to_owned(), value));
    if let Some(way) = &budget.from_grate {
        add(
            "from the grate down",
            format!(
                "`{}`: {} rim to its outlet{} + {} fall of the pipes: arrives at {}",
                way.name,
                small(way.to_outlet),
                if way.silt_trap > Length::ZERO {
                    format!(" ({} of silt trap below)", small(way.silt_trap))
                } else {
                    String::new()
                },
                small(way.fall),
                Amount::of(way.arrives).show(units)
            ),
        );
    }
    if let Some(cycle) = design.pump().and_then(|pump| pump.cycle.as_ref()) {
        add("pump-down volume", Amount::of(cycle.live).show(units));
        add(
            "drain-back at a stop",
            format!("{}, a rise of {}", Amount::of(cycle.runs_back).show(units), small(cycle.rise)),
        );
        add("one run, no water coming in", Amount::of(cycle.shortest_run).show(units));
        if let (Some(worst), Some(shortest)) = (cycle.worst_inflow, cycle.shortest_cycle) {
            add(
                "most starts",
                format!(
                    "{:.0} an hour{}, one in {}, with {} running in; allowed {:.0} ({})",
                    cycle.worst_starts,
                    if cycle.turns > 1.0 {
                        format!(" ({:.0} for each pump, which take turns)", cycle.worst_starts_each())
                    } else {
                        String::new()
                    },
                    Amount::of(shortest).show(units),
                    Amount::of(worst).show(units),
                    cycle.starts_limit.0,
                    cycle.starts_limit.1
                ),
            );
        }
        if design.storm.peak.flow.m3s() > 0.0 {
            add("at the rational peak", cycle_words(&cycle.at_peak, units));
        }
        if design.storm.steady.m3s() > 0.0 {
            add("between storms", cycle_words(&cycle.at_steady, units));
        }
        if let Some((live, _)) = cycle.enough {
            add("least that would do", format!("{} between the floats", Amount::of(live).show(units)));
        }
    }
    add("room above the on level", Amount::of(design.room_above_on).show(units));
    if let Some(room) = design.room_above_alarm {
        add("room above the alarm", Amount::of(room).show(units));
    }
    if let Some(time) = design.time_without_pump.filter(|_| design.storm.peak.flow.m3s() > 0.0) {
        add("no pump, rational peak", format!("water shows after {}", Amount::of(time).show(units)));
    }
    if let Some(time) = design.time_without_pump_steady {
        add("no pump, steady inflow", format!("water shows after {}", Amount::of(time).show(units)));
    }
    page.pairs(&pairs);
    page.gap();
    super::ground::flotation(page, &design.flotation, units);
}

/// The heights that the crew sets: above the floor, below the rim, and as levels.
fn basin_levels(page: &mut Page, design: &Design, units: UnitSystem) {
    let mut rows = vec![cells(&["", "above floor", "below rim", "level"])];
    for mark in &design.basin_marks {
        rows.push(vec![
            mark.name.to_owned(),
            Amount::small(mark.above_floor).show(units),
            if mark.below_rim < Length::ZERO {
                format!("{} above", Amount::small(-mark.below_rim).show(units))
            } else {
                Amount::small(mark.below_rim).show(units)
            },
            Amount::of(mark.level).show(units),
        ]);
    }
    page.table(&[Align::Left, Align::Right, Align::Right, Align::Right], rows);
    page.paragraph(&format!(
        "Each {} of depth holds {}.",
        Amount::small(design.unit_depth).show(units),
        Amount::of(design.volume_of_unit_depth).show(units)
    ));
}

fn cycle_words(cycle: &Cycle, units: UnitSystem) -> String {
    match cycle {
        Cycle::Idle => "the pump does not start".to_owned(),
        Cycle::Continuous => "the pump runs without stopping".to_owned(),
        Cycle::RestartsItself => "the pump restarts itself for ever".to_owned(),
        Cycle::Cycles { rest, run } => format!(
            "runs {}, rests {}: {:.1} starts an hour",
            Amount::of(*run).show(units),
            Amount::of(*rest).show(units),
            cycle.starts_per_hour()
        ),
    }
}
