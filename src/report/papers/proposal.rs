//! The proposal, for the customer: what is built, what it does, the price, and no figure from inside.

use super::Sources;
use super::document::{Cell, Document, Part};
use crate::report::takeoff_cells::money;

pub(super) fn proposal(sources: Sources<'_>) -> Document {
    let takeoff = &sources.job.takeoff;
    let heading = |words: &str| Part::Heading(words.to_owned());
    let mut parts = Vec::new();
    if !takeoff.holds {
        parts.push(Part::Cautions(vec![
            "Not to be handed out: something stands against this design, and `sumpwright size` says what.".to_owned(),
        ]));
    }
    parts.push(heading("What will be built"));
    for (part, lines) in &takeoff.scope {
        let mut name = part.words().to_owned();
        if let Some(first) = name.get_mut(..1) {
            first.make_ascii_uppercase();
        }
        parts.push(Part::Text(format!("{name}:")));
        parts.push(Part::Points(lines.clone()));
    }
    parts.push(heading("What it does"));
    parts.push(Part::Points(takeoff.does.clone()));
    parts.push(heading("What it does not do"));
    parts.push(Part::Points(takeoff.does_not.clone()));
    parts.push(heading("In the price"));
    parts.push(Part::Points(takeoff.included.clone()));
    parts.push(heading("Not in the price"));
    parts.push(Part::Points(takeoff.excluded.clone()));
    parts.push(heading("Price"));
    // the price of a part of the job is no price of the job
    let price = takeoff.total.filter(|_| takeoff.why_no_price().is_none()).map(|total| money(takeoff, total.likely));
    if price.is_none() {
        parts.push(Part::Text("The price is still to be written in.".to_owned()));
    }
    parts.push(Part::Pairs(vec![
        ("Price of the work above".to_owned(), Cell::or_blank(price, takeoff.currency.clone())),
        ("Date of this proposal".to_owned(), Cell::blank("")),
        ("Open until".to_owned(), Cell::blank("")),
        ("Work may begin".to_owned(), Cell::blank("")),
        ("Paid when".to_owned(), Cell::blank("")),
    ]));
    parts.push(heading("Mind"));
    parts.push(Part::Cautions(takeoff.cautions.clone()));
    parts.push(heading("Signatures"));
    parts.push(Part::Pairs(
        ["For the contractor", "Name", "Date", "For the owner", "Name", "Date"]
            .map(|name| (name.to_owned(), Cell::blank("")))
            .to_vec(),
    ));
    Document {
        title: "Proposal".to_owned(),
        about: Some(sources.site.title.clone()),
        lead: "What we would build in your yard, what it does and does not do, and what it costs.".to_owned(),
        parts,
    }
}
