//! The water that comes, as text.

use super::{cells, storm_name};
use crate::design::{Design, StormResult};
use crate::quantity::{Amount, Area, UnitSystem};
use crate::report::layout::{Align, Page};

pub(super) fn water(page: &mut Page, design: &Design, units: UnitSystem) {
    let storm = &design.storm;
    if storm.peak_inflow.m3s() <= 0.0 {
        return;
    }
    page.heading("Water that comes");
    if !storm.catchments.is_empty() {
        surfaces(page, storm, units);
        page.gap();
    }
    storms(page, design, units);
    page.paragraph(&format!("Rain figures: {}.", design.rain_origin));
    page.paragraph("Whether grates, gravity pipes and French drains bring all of it to the basin is not computed.");
    if storm.steady.m3s() > 0.0 {
        page.gap();
        page.paragraph(&format!(
            "Steady inflow, rain or not: {} (counted in the peak inflow).",
            Amount::of(storm.steady).show(units)
        ));
    }
}

fn surfaces(page: &mut Page, storm: &StormResult, units: UnitSystem) {
    page.paragraph(&format!("Surfaces in the {}:", storm_name(storm, units)));
    let mut rows = vec![cells(&["surface", "area", "C", "time", "rain then", "alone"])];
    for result in &storm.catchments {
        rows.push(vec![
            result.name.clone(),
            Amount::of(result.area).show(units),
            format!("{:.2}{}", result.coefficient, if result.used_infiltration { "*" } else { "" }),
            Amount::of(result.time.time).show(units),
            Amount::of(result.intensity).show(units),
            Amount::of(result.own_peak).show(units),
        ]);
    }
    page.table(&[Align::Left, Align::Right, Align::Right, Align::Right, Align::Right, Align::Right], &rows);
    if let Some(composite) = storm.composite
        && storm.catchments.len() > 1
    {
        let area = storm.catchments.iter().map(|result| result.area).sum::<Area>();
        page.paragraph(&format!("Together {}, composite C {composite:.2}.", Amount::of(area).show(units)));
    }
    if storm.catchments.iter().any(|result| result.used_infiltration) {
        page.paragraph("* from the soil's infiltration: an upper bound");
    }
}

fn storms(page: &mut Page, design: &Design, units: UnitSystem) {
    let mut rows = vec![cells(&["storm", "rain of", "intensity", "runoff", "peak inflow", ""])];
    for storm in &design.storms {
        if storm.peak.flow.m3s() <= 0.0 {
            continue;
        }
        let designed = storm.period == design.storm.period;
        rows.push(vec![
            storm.period.map_or_else(|| "as entered".to_owned(), |period| Amount::of(period).show(units)),
            Amount::of(storm.peak.duration).show(units),
            Amount::of(storm.peak.intensity).show(units),
            Amount::of(storm.peak.flow).show(units),
            Amount::of(storm.peak_inflow).show(units),
            if designed { "the design".to_owned() } else { String::new() },
        ]);
    }
    if rows.len() > 1 {
        page.paragraph(match units {
            UnitSystem::Us => "Peaks by the rational method (exact factor: 1.00833 where US handbooks print 1):",
            UnitSystem::Metric => "Peaks by the rational method:",
        });
        page.table(&[Align::Right, Align::Right, Align::Right, Align::Right, Align::Right, Align::Left], &rows);
    }
}
