//! Flotation, beyond the outlet, what was measured, as text.

use super::{cells, range};
use crate::design::{Design, FlotationOutcome};
use crate::quantity::{Amount, Length, UnitSystem, Weight};
use crate::report::layout::{Align, Page};

/// Whether the empty basin stays down.
pub(super) fn flotation(page: &mut Page, outcome: &FlotationOutcome, units: UnitSystem) {
    let result = &outcome.result;
    if result.uplift <= Weight::ZERO {
        page.paragraph("Flotation: no water stands in the ground above the basin's floor, by what was entered.");
        return;
    }
    if outcome.lets_water_in {
        page.paragraph(
            "Flotation: not judged. The basin's holes let the water in, so that it does not float as long as they are open.",
        );
        return;
    }
    let weight = |weight: Weight| Amount::of(weight).show(units);
    page.paragraph(&format!("The empty basin with water outside at {}:", Amount::of(outcome.water).show(units)));
    let mut pairs = vec![("lifts".to_owned(), weight(result.uplift))];
    if !outcome.judged {
        pairs.push(("holds".to_owned(), "not judged: neither weight, outside nor ballast is entered".to_owned()));
        page.pairs(&pairs);
        return;
    }
    let mut add = |name: &str, value: String| pairs.push((name.to_owned(), value));
    add(
        "holds",
        format!(
            "{} basin + {} concrete under water + {} soil over flange and collar",
            weight(result.basin),
            weight(result.collar),
            weight(result.soil)
        ),
    );
    add("safety", format!("{:.2}, wanted {:.2}; no friction on the wall is counted", result.safety, outcome.wanted));
    add(
        "begins to lift",
        outcome.lifts_at.map_or_else(
            || "never: not even with water up to the ground".to_owned(),
            |level| format!("when water outside stands at {}", Amount::of(level).show(units)),
        ),
    );
    page.pairs(&pairs);
}

/// Beyond the outlet.
pub(super) fn way_off(page: &mut Page, design: &Design, units: UnitSystem) {
    let Some(result) = &design.way_off else { return };
    if result.over_grate.is_none() && result.swale.is_none() && result.ground_between.is_none() {
        return;
    }
    page.heading("Beyond the outlet");
    let small = |length: Length| Amount::small(length).show(units);
    let mut pairs = vec![("the most pumped between the floats".to_owned(), Amount::of(result.flow).show(units))];
    let mut add = |name: &str, value: String| pairs.push((name.to_owned(), value));
    if let Some(depth) = result.over_grate {
        add("over the outlet's grate", small(depth));
    }
    if let Some(swale) = &result.swale {
        add(
            "in the swale",
            format!(
                "{} deep at {}{}; {}; full it carries {}",
                small(swale.depth),
                Amount::of(swale.velocity).show(units),
                swale.permissible.map_or_else(String::new, |bears| {
                    format!(", and its cover bears {}", Amount::of(bears).show(units))
                }),
                if swale.freeboard < Length::ZERO {
                    "it runs over".to_owned()
                } else {
                    format!("{} of it stay free", small(swale.freeboard))
                },
                Amount::of(swale.carries).show(units)
            ),
        );
    }
    if let Some((ground, entered)) = result.ground_between {
        add(
            "the way back",
            format!(
                "water at {} outside, {} at {}: {}",
                Amount::of(result.water).show(units),
                if entered { "the highest ground between" } else { "the highest ground along the line" },
                Amount::of(ground).show(units),
                if result.can_return() == Some(true) {
                    "it can run back to the low spot"
                } else {
                    "the levels keep it from running back over the ground"
                }
            ),
        );
    }
    page.pairs(&pairs);
}

/// What was measured beside what is worked out.
pub(super) fn measured(page: &mut Page, design: &Design, units: UnitSystem) {
    if design.measured.is_empty() {
        return;
    }
    page.heading("Measured and worked out");
    let mut rows = vec![cells(&["", "measured", "worked out", "ratio", "likely"])];
    for result in &design.measured {
        rows.push(vec![
            result.what.to_owned(),
            result.measured.show(units),
            result.calculated.map_or_else(|| "?".to_owned(), |amount| amount.show(units)),
            result.ratio.map_or_else(String::new, |ratio| format!("{ratio:.2}")),
            result.range.map_or_else(String::new, |(low, high)| range(&low.show(units), &high.show(units))),
        ]);
    }
    page.table(&[Align::Left, Align::Right, Align::Right, Align::Right, Align::Right], rows);
}
