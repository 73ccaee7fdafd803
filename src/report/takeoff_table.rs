//! The takeoff as CSV: a row a line item, numbers bare.

use super::takeoff_cells::bare;
use crate::job::takeoff::{Bounds, Cost, Count, Takeoff};
use crate::report::layout::clean;

const HEADS: [&str; 12] =
    ["section", "part", "item", "quantity", "unit", "each", "low", "likely", "high", "in", "how", "rests on"];

/// A text that no spreadsheet takes for a formula, on one line.
pub(crate) fn harmless(text: &str) -> String {
    let starts = |text: &str| text.trim_start().starts_with(['=', '+', '-', '@']);
    // a tab or a line break before such a sign is skipped by some
    let risky = text.starts_with(['\t', '\r', '\n']) || starts(text) || starts(&clean(text));
    let text = clean(text);
    if risky { format!("'{text}") } else { text }
}

/// A number without zeros that say nothing.
fn number(value: f64) -> String {
    let text = format!("{value:.4}");
    let trimmed = text.trim_end_matches('0').trim_end_matches('.');
    if trimmed.is_empty() || trimmed == "-0" { "0".to_owned() } else { trimmed.to_owned() }
}

fn unit(count: &Count) -> String {
    if count.unit.is_empty() { "piece".to_owned() } else { count.unit.clone() }
}

/// A takeoff as CSV.
pub fn takeoff_csv(takeoff: &Takeoff) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let mut write = |texts: [&str; 3], numbers: [String; 6], rest: [&str; 3]| {
        let texts = texts.into_iter().map(harmless);
        // numbers are this program's own, but units may hold words
        let numbers = numbers.into_iter().map(|cell| harmless(&cell));
        let rest = rest.into_iter().map(harmless);
        // writing to memory cannot fail, and all rows have as many cells as there are heads
        let _ = writer.write_record(texts.chain(numbers).chain(rest).collect::<Vec<String>>());
    };
    let empty = || [const { String::new() }; 6];
    let bounds = |bounds: Bounds| [bare(bounds.low), bare(bounds.likely), bare(bounds.high)];
    let [a, b, c, d, e, f, g, h, i, j, k, l] = HEADS;
    write([a, b, c], [d, e, f, g, h, i].map(str::to_owned), [j, k, l]);
    for item in &takeoff.items {
        let mut cells = empty();
        let (each, [low, likely, high], counted) = match &item.cost {
            Cost::Priced { each, cost } => (number(*each), bounds(*cost), "money"),
            Cost::Within(words) => (String::new(), [const { String::new() }; 3], *words),
            Cost::Missing(_) => (String::new(), [const { String::new() }; 3], "no price"),
        };
        cells.clone_from(&[number(item.count.value), unit(&item.count), each, low, likely, high]);
        write(["item", item.part.words(), &item.name], cells, [counted, &item.how, &item.basis.words()]);
    }
    for work in &takeoff.work {
        let [low, likely, high] = work.hours.map_or_else(|| [const { String::new() }; 3], bounds);
        let each = work.each.map(number).unwrap_or_default();
        let cells = [number(work.count.value), unit(&work.count), each, low, likely, high];
        let counted = if work.hours.is_some() { "hours" } else { "no rate" };
        write(["work", "", work.task.words()], cells, [counted, "", ""]);
    }
    for sum in &takeoff.sums {
        let [low, likely, high] = bounds(sum.amount);
        let mut cells = empty();
        cells.clone_from(&[String::new(), String::new(), String::new(), low, likely, high]);
        write(["sum", "", &sum.name], cells, ["money", "", ""]);
    }
    if let Some(total) = takeoff.total {
        let [low, likely, high] = bounds(total);
        let name = if takeoff.complete() { "total" } else { "total of what is priced" };
        write(["total", "", name], [String::new(), String::new(), String::new(), low, likely, high], ["money", "", ""]);
    }
    for missing in &takeoff.missing {
        write(["missing", "", &missing.what], empty(), ["no price", &missing.key, ""]);
    }
    for not in &takeoff.not_measured {
        write(["not measured", "", &not.what], empty(), ["", &not.why, ""]);
    }
    writer.into_inner().map_or_else(|_| String::new(), |bytes| String::from_utf8_lossy(&bytes).into_owned())
}
