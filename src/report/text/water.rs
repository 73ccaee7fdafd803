//! The water that comes, as text.

use super::{cells, storm_name};
use crate::design::{CatchmentResult, CurveNumberRunoff, Design, StormResult};
use crate::quantity::{Amount, Area, UnitSystem};
use crate::report::layout::{Align, Page};
use crate::site::RunoffFrom;

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
    three_ways(page, storm, units);
    if storm.steady.m3s() > 0.0 {
        page.gap();
        page.paragraph(&format!(
            "Steady inflow, rain or not: {} (counted in the peak inflow){}.",
            Amount::of(storm.steady).show(units),
            risen(design, units)
        ));
    }
}

/// What groundwater brings when it has risen in the storm.
fn risen(design: &Design, units: UnitSystem) -> String {
    let storms = design.in_storms.as_ref().ok();
    let outcome = storms.and_then(|storms| storms.design()).map(|period| &period.nested);
    outcome.and_then(|outcome| outcome.groundwater_risen).map_or_else(String::new, |(level, flow)| {
        format!(
            "; groundwater that in the storm rises to {} then brings {}, which the storm followed in time counts",
            Amount::of(level).show(units),
            Amount::of(flow).show(units)
        )
    })
}

fn surfaces(page: &mut Page, storm: &StormResult, units: UnitSystem) {
    page.paragraph(&format!("Surfaces in the {}:", storm_name(storm, units)));
    let mut rows = vec![cells(&["surface", "area", "C", "time", "rain then", "alone"])];
    for result in &storm.catchments {
        rows.push(vec![
            result.name.clone(),
            Amount::of(result.area).show(units),
            format!("{:.2}{}", result.coefficient, mark(result.runoff_from)),
            Amount::of(result.time.time).show(units),
            Amount::of(result.intensity).show(units),
            Amount::of(result.own_peak).show(units),
        ]);
    }
    page.table(&[Align::Left, Align::Right, Align::Right, Align::Right, Align::Right, Align::Right], rows);
    if let Some(composite) = storm.composite
        && storm.catchments.len() > 1
    {
        let area = storm.catchments.iter().map(|result| result.area).sum::<Area>();
        page.paragraph(&format!("Together {}, composite C {composite:.2}.", Amount::of(area).show(units)));
    }
    let from = |from: RunoffFrom| storm.catchments.iter().any(|result| result.runoff_from == from);
    if from(RunoffFrom::Infiltration) {
        page.paragraph("* from the soil's infiltration at the height of a long rain: an upper bound");
    }
    if from(RunoffFrom::CurveNumber) {
        page.paragraph("** from the curve number: the share of the burst that runs off at the height of a long rain");
    }
}

/// The mark of a coefficient that is not the table's.
fn mark(from: RunoffFrom) -> &'static str {
    match from {
        RunoffFrom::Table => "",
        RunoffFrom::Infiltration => "*",
        RunoffFrom::CurveNumber => "**",
    }
}

/// Ways of reckoning runoff whose shares differ by more than this do not agree: common practice, no source.
const AGREE: f64 = 1.5;

/// What runs off by table, by infiltration and by curve number, where they do not agree.
fn three_ways(page: &mut Page, storm: &StormResult, units: UnitSystem) {
    let differ = |result: &CatchmentResult| {
        let ways = [
            Some(result.tabled),
            result.by_infiltration,
            result.by_curve_number.as_ref().map(CurveNumberRunoff::share),
        ];
        let (low, high) = ways
            .into_iter()
            .flatten()
            .fold((f64::INFINITY, 0.0_f64), |(low, high), share| (low.min(share), high.max(share)));
        high > low * AGREE && high > 0.05
    };
    let shown: Vec<&CatchmentResult> = storm
        .catchments
        .iter()
        .filter(|result| result.by_infiltration.is_some() || result.by_curve_number.is_some())
        .filter(|result| differ(result))
        .collect();
    if shown.is_empty() {
        return;
    }
    page.gap();
    page.paragraph("Share of the rain that runs off, by three ways that do not agree:");
    let mut rows =
        vec![cells(&["surface", "table", "infiltration, burst", "infiltration, long rain", "curve number, long rain"])];
    for result in &shown {
        let long = result.by_curve_number.as_ref();
        rows.push(vec![
            result.name.clone(),
            format!("{:.2}", result.tabled),
            result.by_infiltration.map_or_else(String::new, |share| format!("{share:.2}")),
            long.and_then(|long| Some(long.by_infiltration? / long.rain))
                .map_or_else(String::new, |share| format!("{share:.2}")),
            long.map_or_else(String::new, |long| format!("{:.2} (CN {:.0})", long.share(), long.curve_number.value)),
        ]);
    }
    page.table(&[Align::Left, Align::Right, Align::Right, Align::Right, Align::Right], rows);
    if let Some(long) = shown.iter().find_map(|result| result.by_curve_number.as_ref()) {
        page.paragraph(&format!(
            "The table's share and that of the burst are of the rain that makes the peak; by infiltration that is an upper bound, the burst in the middle of a long rain. The others are of all of {} in {}. A curve number knows no time: it says how much runs off, not how fast.",
            Amount::of(long.rain).show(units),
            Amount::of(long.duration).show(units)
        ));
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
        page.table(&[Align::Right, Align::Right, Align::Right, Align::Right, Align::Right, Align::Left], rows);
    }
}
