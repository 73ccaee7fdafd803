//! What the bands of the start-up sheet are made of.

use super::document::{Cell, Part, Table};
use super::tape::tape;
use crate::design::{Part as BandPart, PartRange, StartUp};
use crate::quantity::{Amount, Flow, Length, UnitSystem};
use crate::report::layout::Align;

/// What the bands are made of.
pub(super) fn made_of(expected: &StartUp, units: UnitSystem) -> Vec<Part> {
    let seconds = |change: f64| format!("{change:+.1} s");
    let flow = |change: f64| {
        let (value, unit) = Amount::of(Flow::from_m3s(change)).parts(units);
        format!("{value:+.2} {unit}")
    };
    let rise = |change: f64| signed(Length::from_m(change), units);
    vec![
        Part::Heading("What the bands are made of".to_owned()),
        Part::Text(
            "Each thing is changed alone to the ends of its range; the changes are added as the root of the sum of their squares, longer and shorter apart. Ranges are those of `[margins]`, as `sumpwright margins` takes them, and can be entered there. A worn pump is not in the band: that is what the tests are to show."
                .to_owned(),
        ),
        Part::Table(table("The run:", &expected.run.parts, units, &seconds)),
        Part::Table(table("The flow at the outlet:", &expected.flow_parts, units, &flow)),
        Part::Table(table("The rise after the stop:", &expected.rise_parts, units, &rise)),
    ]
}

fn table(caption: &str, parts: &[BandPart], units: UnitSystem, say: &dyn Fn(f64) -> String) -> Table {
    let end = |change: Option<f64>| Cell::said(change.map_or_else(|| "not known".to_owned(), say));
    let rows = parts
        .iter()
        .map(|part| {
            let range = match part.range {
                PartRange::Share(low, high) => format!("{} to {}", percent(low), percent(high)),
                PartRange::Length(low, high) => format!("{} to {}", signed(low, units), signed(high, units)),
                PartRange::Time(low, high) => format!("{:+.0} s to {:+.0} s", low.s(), high.s()),
                PartRange::Said => String::new(),
            };
            vec![
                Cell::said(part.what),
                Cell::said(range),
                end(part.changes.0),
                end(part.changes.1),
                Cell::said(part.source),
            ]
        })
        .collect();
    Table {
        caption: caption.to_owned(),
        columns: vec![
            ("what".to_owned(), Align::Left),
            ("range".to_owned(), Align::Left),
            ("lower end".to_owned(), Align::Right),
            ("upper end".to_owned(), Align::Right),
            ("from".to_owned(), Align::Left),
        ],
        rows,
    }
}

/// A length with its sign.
fn signed(length: Length, units: UnitSystem) -> String {
    let said = tape(length, units);
    if length > Length::ZERO && said != tape(Length::ZERO, units) { format!("+{said}") } else { said }
}

fn percent(share: f64) -> String {
    let percent = share * 100.0;
    if percent == 0.0 { "0 %".to_owned() } else { format!("{percent:+.0} %") }
}
