//! The estimate, for those inside: quantities, hours, prices, the sum, and how each was come by.

use super::Sources;
use super::document::{Cell, Document, Part, Table};
use crate::job::takeoff::{self, Bounds, Cost, Item, Takeoff};
use crate::report::layout::Align;
use crate::report::takeoff_cells::{bare, count, lacks, money};

pub(super) fn estimate(sources: Sources<'_>) -> Document {
    let takeoff = &sources.job.takeoff;
    let mut parts = Vec::new();
    if !takeoff.holds {
        parts.push(Part::Text("Something stands against the design: `sumpwright size` says what. What is taken off here is the design as drawn.".to_owned()));
    }
    sum(&mut parts, takeoff);
    if !takeoff.missing.is_empty() {
        parts.push(Part::Heading("Without a price or rate".to_owned()));
        parts.push(Part::Text("None of this is in the total. Enter 0 where something is in another price.".to_owned()));
        let point = |missing: &takeoff::Missing| format!("{}: `{}`", missing.what, missing.key);
        parts.push(Part::Points(takeoff.missing.iter().map(point).collect()));
    }
    if !takeoff.not_measured.is_empty() {
        parts.push(Part::Heading("Not measured".to_owned()));
        parts.push(Part::Text(
            "The file does not let these be reckoned; none of this is in the quantities, hours and total.".to_owned(),
        ));
        let point = |not: &takeoff::NotMeasured| format!("{}: {}", not.what, not.why);
        parts.push(Part::Points(takeoff.not_measured.iter().map(point).collect()));
    }
    parts.push(Part::Heading("Quantities and likely cost".to_owned()));
    for part in takeoff::Part::ALL {
        items(&mut parts, takeoff, part);
    }
    work(&mut parts, takeoff);
    parts.push(Part::Heading("In the price".to_owned()));
    parts.push(Part::Points(takeoff.included.clone()));
    parts.push(Part::Heading("Not in the price".to_owned()));
    parts.push(Part::Points(takeoff.excluded.clone()));
    parts.push(Part::NewPage);
    parts.push(Part::Heading("How each was reckoned".to_owned()));
    parts.push(Part::Points(takeoff.items.iter().map(reckoned).collect()));
    parts.push(Part::Heading("Low, likely and high".to_owned()));
    parts.push(Part::Points(takeoff.inside.clone()));
    parts.push(Part::Heading("Mind".to_owned()));
    parts.push(Part::Cautions(takeoff.cautions.clone()));
    Document { title: "Estimate".to_owned(), about: Some(sources.site.title.clone()), lead: lead(takeoff), parts }
}

/// The total in a sentence.
fn lead(takeoff: &Takeoff) -> String {
    let lacks = lacks(takeoff);
    let Some(total) = takeoff.total else {
        return format!("Nothing has a price yet: {lacks}. The quantities stand below. For inside use.");
    };
    let amount = format!(
        "{}, likely; {} with all low and {} with all high",
        money(takeoff, total.likely),
        money(takeoff, total.low),
        money(takeoff, total.high)
    );
    let hours = format!("{:.1} hours of work", takeoff.hours.likely);
    if takeoff.complete() {
        format!("The job comes to {amount}, with {hours}. For inside use.")
    } else {
        format!("What is priced comes to {amount}, with {hours}; that is not the whole job: {lacks}. For inside use.")
    }
}

fn table(caption: &str, columns: &[(&str, Align)], rows: Vec<Vec<String>>) -> Part {
    Part::Table(Table {
        caption: caption.to_owned(),
        columns: columns.iter().map(|(name, align)| ((*name).to_owned(), *align)).collect(),
        rows: rows.into_iter().map(|row| row.into_iter().map(Cell::said).collect()).collect(),
    })
}

fn three(amount: Bounds) -> [String; 3] {
    [bare(amount.low), bare(amount.likely), bare(amount.high)]
}

fn sum(parts: &mut Vec<Part>, takeoff: &Takeoff) {
    let Some(total) = takeoff.total else { return };
    parts.push(Part::Heading("The sum".to_owned()));
    let line = |name: &str, amount: Bounds| {
        let [low, likely, high] = three(amount);
        vec![name.to_owned(), low, likely, high]
    };
    let mut rows: Vec<Vec<String>> = takeoff.sums.iter().map(|sum| line(&sum.name, sum.amount)).collect();
    rows.push(line(if takeoff.complete() { "total" } else { "total of what is priced" }, total));
    let columns = [("", Align::Left), ("low", Align::Right), ("likely", Align::Right), ("high", Align::Right)];
    parts.push(table("From cost to price", &columns, rows));
}

fn items(parts: &mut Vec<Part>, takeoff: &Takeoff, part: takeoff::Part) {
    let row = |item: &Item| {
        let (each, cost) = match &item.cost {
            Cost::Priced { each, cost } => (bare(*each), bare(cost.likely)),
            Cost::Within(_) => ("-".to_owned(), "-".to_owned()),
            Cost::Missing(_) => ("no price".to_owned(), "no price".to_owned()),
        };
        vec![item.name.clone(), count(&item.count), each, cost]
    };
    let rows: Vec<Vec<String>> = takeoff.items.iter().filter(|item| item.part == part).map(row).collect();
    if rows.is_empty() {
        return;
    }
    let mut caption = part.words().to_owned();
    if let Some(first) = caption.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    let columns =
        [("item", Align::Left), ("quantity", Align::Right), ("each", Align::Right), ("likely cost", Align::Right)];
    parts.push(table(&caption, &columns, rows));
}

fn work(parts: &mut Vec<Part>, takeoff: &Takeoff) {
    parts.push(Part::Heading("Work".to_owned()));
    let rows = takeoff.work.iter().map(|work| {
        let each = work.each.map_or_else(|| "no rate".to_owned(), |each| format!("{each:.3}"));
        let [low, likely, high] = work.hours.map_or_else(|| ["no rate"; 3].map(str::to_owned), three);
        vec![work.task.words().to_owned(), count(&work.count), each, low, likely, high]
    });
    let [low, likely, high] = three(takeoff.hours);
    let together = vec!["together".to_owned(), String::new(), String::new(), low, likely, high];
    let columns = [
        ("work", Align::Left),
        ("quantity", Align::Right),
        ("hours each", Align::Right),
        ("low", Align::Right),
        ("likely", Align::Right),
        ("high", Align::Right),
    ];
    parts.push(table("In hours of a worker", &columns, rows.chain(std::iter::once(together)).collect()));
}

fn reckoned(item: &Item) -> String {
    let price = match &item.cost {
        Cost::Within(words) => format!(" Its cost: {words}."),
        _ => String::new(),
    };
    format!("{}: {}. Rests on: {}.{price}", item.name, item.how, item.basis.words())
}
