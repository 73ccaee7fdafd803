//! The margins as CSV.

use crate::quantity::Amount;
use crate::questions::margins::{Counted, Margins};

/// The margins as CSV: one line an assumption, every number with its unit beside it.
pub fn margins_csv(found: &Margins) -> String {
    let heads =
        ["assumption", "now", "unit", "turns at", "unit", "change", "counted in", "slack (%)", "slack of", "stop"];
    let mut lines: Vec<Vec<String>> = vec![heads.map(str::to_owned).to_vec()];
    for margin in &found.margins {
        let parts = |amount: Amount| {
            let (value, unit) = amount.parts(found.units);
            (format!("{value:.6}"), unit.to_owned())
        };
        let (now, now_unit) = parts(margin.now);
        let (at, at_unit) = parts(margin.reached.value);
        let counted = match margin.assumption.counted() {
            Counted::OfValue => "share of the value now",
            Counted::Length => "m",
            Counted::OfHead => "share of the pump's head",
        };
        lines.push(vec![
            margin.assumption.id().to_owned(),
            now,
            now_unit,
            at,
            at_unit,
            format!("{:.6}", margin.reached.change),
            counted.to_owned(),
            format!("{:.3}", margin.reached.slack * 100.0),
            margin.assumption.slack_of().to_owned(),
            margin.stop.as_ref().map_or(if found.holds { "no failure" } else { "no cure" }, |stop| stop.id).to_owned(),
        ]);
    }
    let mut writer = csv::Writer::from_writer(Vec::new());
    for line in &lines {
        // writing to memory cannot fail, and all lines have as many cells as there are heads
        let _ = writer.write_record(line);
    }
    writer.into_inner().map_or_else(|_| String::new(), |bytes| String::from_utf8_lossy(&bytes).into_owned())
}
