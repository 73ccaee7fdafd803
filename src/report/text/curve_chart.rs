//! Pump against line in plain characters.

use super::{flow_of, line};
use crate::design::{Design, DrawnCurves, WaterLevel};
use crate::quantity::{Amount, Flow, Head};
use crate::report::layout::Page;
use crate::report::svg::Axis;

/// Columns of the plot, beside room for the labels.
const COLUMNS: usize = 66;
const LINES: usize = 19;
const LABEL: usize = 9;
/// So many marks from point to point of a curve, so that no column is left out.
const FINE: u32 = 4;

/// The chart with its heading.
pub(in crate::report) fn curve_chart(page: &mut Page, design: &Design, curves: &DrawnCurves) {
    let Some(pump) = design.pump() else { return };
    let units = design.units;
    page.heading("Pump against line");
    page.paragraph(&format!(
        "* pump `{}`, its leaks taken off; o what the line asks for with the water at the off level, + at the on level; X where they meet.",
        pump.name
    ));
    for level in [WaterLevel::Off, WaterLevel::On] {
        let Some(duty) = pump.duty(level) else { continue };
        let head =
            duty.duty.point().map_or_else(String::new, |point| format!(" at {}", Amount::of(point.head).show(units)));
        page.line(&format!("  {:<10}{}{head}", level.words(), flow_of(&duty.duty, units)));
    }
    if let Some(both) = pump.pair.as_ref().and_then(|pair| line::both_words(pair, units)) {
        page.line(&format!("  {:<10}{both}", "both"));
    }
    page.gap();
    let greatest = Amount::of(curves.at_off.last().map_or(Flow::ZERO, |(flow, _)| *flow));
    let highest = Amount::of(curves.pump.iter().map(|(_, head)| *head).fold(Head::ZERO, Head::max));
    let ((flow, flow_unit), (head, head_unit)) = (greatest.parts(units), highest.parts(units));
    let lowest = curves.at_on.iter().map(|(_, head)| *head).fold(Head::ZERO, Head::min);
    let (per_flow, per_head) = (ratio(flow, greatest.si), ratio(head, highest.si));
    let across = Axis::over(0.0, flow, 6);
    let up = Axis::over(lowest.m() * per_head, head, 6);
    let mut plot = vec![vec![' '; COLUMNS + 1]; LINES + 1];
    let mut put = |flow: f64, head: f64, mark: char| {
        if let Some(place) = cell(across.share(flow), COLUMNS)
            .zip(cell(1.0 - up.share(head), LINES))
            .and_then(|(column, line)| plot.get_mut(line).and_then(|line| line.get_mut(column)))
        {
            *place = mark;
        }
    };
    for (curve, mark) in [(&curves.at_off, 'o'), (&curves.at_on, '+'), (&curves.pump, '*')] {
        for pair in curve.windows(2) {
            let [from, to] = pair else { continue };
            for step in 0..=FINE {
                let share = f64::from(step) / f64::from(FINE);
                let (flow, head) = (from.0 + (to.0 - from.0) * share, from.1 + (to.1 - from.1) * share);
                put(flow.m3s() * per_flow, head.m() * per_head, mark);
            }
        }
    }
    for level in [WaterLevel::Off, WaterLevel::On] {
        if let Some(point) = pump.point(level) {
            put(point.line_flow.m3s() * per_flow, point.head.m() * per_head, 'X');
        }
    }
    page.line(&format!("{:>LABEL$}", format!("head, {head_unit}")));
    let ticks: Vec<(usize, String)> =
        up.ticks().iter().filter_map(|tick| Some((cell(1.0 - up.share(*tick), LINES)?, up.label(*tick)))).collect();
    for (index, line) in plot.iter().enumerate() {
        let label = ticks.iter().find(|(line, _)| *line == index).map_or("", |(_, label)| label.as_str());
        let edge = if label.is_empty() { '|' } else { '+' };
        page.line(&format!("{label:>LABEL$} {edge}{}", line.iter().collect::<String>()));
    }
    let places: Vec<(usize, String)> = across
        .ticks()
        .iter()
        .filter_map(|tick| Some((cell(across.share(*tick), COLUMNS)?, across.label(*tick))))
        .collect();
    let rule: String =
        (0..=COLUMNS).map(|column| if places.iter().any(|(place, _)| *place == column) { '+' } else { '-' }).collect();
    page.line(&format!("{}  {rule}", " ".repeat(LABEL)));
    let mut labels = String::new();
    for (place, label) in places {
        let begin = place.saturating_sub(label.len() / 2);
        labels.push_str(&" ".repeat(begin.saturating_sub(labels.chars().count())));
        labels.push_str(&label);
    }
    page.line(&format!("{}  {labels}", " ".repeat(LABEL)));
    page.line(&format!("{}  flow out of the line, {flow_unit}", " ".repeat(LABEL)));
}

fn ratio(value: f64, si: f64) -> f64 {
    let ratio = value / si;
    if ratio.is_finite() { ratio } else { 1.0 }
}

/// The place of a share among so many steps; none outside.
fn cell(share: f64, steps: usize) -> Option<usize> {
    let place = libm::round(share * steps as f64);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held between nothing and the steps")]
    (0.0..=steps as f64).contains(&place).then_some(place as usize)
}
