//! What the yard looks like in each storm, as text.

use super::cells;
use crate::design::{Design, HollowOutcome, PeriodOutcome, StormOutcome, StormsResult};
use crate::quantity::{Amount, Duration, Length, UnitSystem, Volume};
use crate::report::layout::{Align, Page};

/// The storms through the yard; nothing where they were not followed.
pub(super) fn yard(page: &mut Page, design: &Design, units: UnitSystem) {
    let Ok(storms) = &design.in_storms else { return };
    page.heading("The yard in each storm");
    page.paragraph(
        "The nested storm, which holds the depth of every duration of the rain table at once: of nested and steady rain the harder one.",
    );
    table(page, storms, units);
    page.paragraph(
        "Followed peak: the most that comes at once, the storm followed in time, steady water included. Deepest: over the lowest grate of the low spot, or its lowest point where that lies lower. Stands: longest unbroken time deeper than the film below. Pumped: share of all that comes. The storm begins with the basin just below its on level, no pump running, hollows full to their grates.",
    );
    soil(page, storms, design.film, units);
    page.paragraph(&format!("Shallower than {} is a film and does not count as standing.", small(design.film, units)));
    page.paragraph(
        "One steady rain of the duration that is the worst for each: the milder bound of the depth. Water may stand longer in it, where a grate needs more than a film over it to take what comes for hours; the goal's time is held against the longer of the two.",
    );
    blocks(page, storms, units);
    hollows(page, storms, units);
    asked(page, storms, units);
    more(page, storms, units);
}

fn small(length: Length, units: UnitSystem) -> String {
    Amount::small(length).show(units)
}

/// The storm's return period, in words.
pub(crate) fn period_name(period: &PeriodOutcome, units: UnitSystem) -> String {
    period.period.map_or_else(|| "the rain".to_owned(), |period| Amount::of(period).show(units))
}

/// How long water stands, or a dash.
pub(crate) fn stands(outcome: &StormOutcome, units: UnitSystem) -> String {
    let time = Amount::of(outcome.stands()).show(units);
    if outcome.still_stands() {
        format!("over {time}")
    } else if outcome.stands() > Duration::ZERO {
        time
    } else {
        "-".to_owned()
    }
}

fn table(page: &mut Page, storms: &StormsResult, units: UnitSystem) {
    let aligns =
        [Align::Right, Align::Right, Align::Right, Align::Right, Align::Right, Align::Right, Align::Right, Align::Left];
    let mut rows = vec![cells(&["storm", "followed peak", "pumped", "deepest", "stands", "starts", "runs", ""])];
    for (index, period) in storms.periods.iter().enumerate() {
        let nested = &period.nested;
        rows.push(vec![
            period_name(period, units),
            Amount::of(nested.peak_inflow).show(units),
            format!("{:.0} %", nested.pumped_share() * 100.0),
            small(nested.depth(), units),
            stands(nested, units),
            nested.starts.to_string(),
            Amount::of(nested.runs).show(units),
            (index == storms.design)
                .then(|| "the design".to_owned())
                .into_iter()
                .chain(reaches(nested))
                .collect::<Vec<_>>()
                .join("; "),
        ]);
    }
    page.table(&aligns, rows);
}

/// Which protected places water reaches.
pub(crate) fn reaches(outcome: &StormOutcome) -> Option<String> {
    let reached = outcome.protected.iter().filter(|(.., at)| at.is_some());
    let names: Vec<String> = reached.map(|(name, ..)| format!("`{name}`")).collect();
    (!names.is_empty()).then(|| format!("reaches {}", names.join(", ")))
}

/// The design storm if the soil takes less.
fn soil(page: &mut Page, storms: &StormsResult, film: Length, units: UnitSystem) {
    let period = storms.design().and_then(|design| design.period);
    let storm =
        period.map_or_else(|| "the storm".to_owned(), |period| format!("the {} storm", Amount::of(period).show(units)));
    for run in &storms.soil_takes_less {
        let outcome = &run.outcome;
        let stand = if outcome.depth() > film {
            format!("up to {} deep, for {}", small(outcome.depth(), units), stands(outcome, units))
        } else {
            "nowhere deeper than a film".to_owned()
        };
        let over = if outcome.spilled > Volume::from_litre(1.0) {
            format!("; {} run over the edge of the yard", Amount::of(outcome.spilled).show(units))
        } else {
            String::new()
        };
        page.paragraph(&format!(
            "If the soil takes less in {storm} ({}): {stand}{}; followed peak {}, {} starts, runs {}{over}.",
            run.surfaces_words(),
            reaches(outcome).map_or_else(String::new, |reaches| format!("; it {reaches}")),
            Amount::of(outcome.peak_inflow).show(units),
            outcome.starts,
            Amount::of(outcome.runs).show(units),
        ));
    }
    if let Some(words) = storms.soil_not_known_words() {
        page.paragraph(&format!(
            "{words} `texture` or `hydrologic_group` under [soil], from a soil map or by feel, would have that followed as well."
        ));
    }
}

fn blocks(page: &mut Page, storms: &StormsResult, units: UnitSystem) {
    let aligns = [Align::Right, Align::Right, Align::Right, Align::Right, Align::Right];
    let mut rows = vec![cells(&["storm", "deepest", "in a rain of", "stands", "in a rain of"])];
    for period in &storms.periods {
        rows.push(vec![
            period_name(period, units),
            small(period.block_depth.1, units),
            Amount::of(period.block_depth.0).show(units),
            stands(&period.block_stands, units),
            Amount::of(period.block_stands.lasts).show(units),
        ]);
    }
    page.table(&aligns, rows);
}

/// Each hollow in the design storm, where there are several or something runs over.
fn hollows(page: &mut Page, storms: &StormsResult, units: UnitSystem) {
    let Some(design) = storms.design() else { return };
    let hollows = &design.nested.hollows;
    let over = |hollow: &HollowOutcome| hollow.spilled > Volume::from_litre(1.0);
    if hollows.len() < 2 && !hollows.iter().any(over) {
        return;
    }
    page.paragraph("Each place in the design storm:");
    let aligns = [Align::Left, Align::Right, Align::Right, Align::Right, Align::Right, Align::Left];
    let mut rows = vec![cells(&["place", "deepest", "holds then", "stands", "runs over", "to"])];
    for hollow in hollows {
        let time = Amount::of(hollow.stands).show(units);
        rows.push(vec![
            if hollow.assumed { format!("{}*", hollow.name) } else { hollow.name.clone() },
            small(hollow.deepest, units),
            Amount::of(hollow.volume).show(units),
            if hollow.still_stands { format!("over {time}") } else { time },
            if over(hollow) { Amount::of(hollow.spilled).show(units) } else { "-".to_owned() },
            hollow.spills_to.clone().filter(|_| over(hollow)).unwrap_or_default(),
        ]);
    }
    page.table(&aligns, rows);
    if hollows.iter().any(|hollow| hollow.assumed) {
        page.paragraph("* no low spot is entered for it: the ground is taken as a shallow dish.");
    }
}

/// The 24-hour storm that the town asks for.
fn asked(page: &mut Page, storms: &StormsResult, units: UnitSystem) {
    let outcomes: Vec<(&PeriodOutcome, &StormOutcome)> =
        storms.periods.iter().filter_map(|period| Some((period, period.asked.as_ref()?))).collect();
    let Some((_, first)) = outcomes.first() else { return };
    let all = |asked: fn(&StormOutcome, &StormOutcome) -> bool| {
        outcomes.iter().all(|(period, outcome)| asked(outcome, &period.nested))
    };
    let deeper: Vec<String> = outcomes
        .iter()
        .filter(|(period, outcome)| outcome.deeper_than(&period.nested))
        .map(|(period, _)| period_name(period, units))
        .collect();
    let against_nested = if !deeper.is_empty() {
        format!("; water stands deeper in it than in the nested storm ({})", deeper.join(", "))
    } else if all(|asked, nested| asked.peak_inflow < nested.peak_inflow) {
        "; its half hours flatten the burst that matters to a yard".to_owned()
    } else {
        String::new()
    };
    page.paragraph(&format!("The 24-hour storm of {} that the town asks for{against_nested}:", first.shape.name()));
    let aligns = [Align::Right, Align::Right, Align::Right, Align::Right];
    let mut rows = vec![cells(&["storm", "followed peak", "deepest", "stands"])];
    for (period, outcome) in outcomes {
        rows.push(vec![
            period_name(period, units),
            Amount::of(outcome.peak_inflow).show(units),
            small(outcome.depth(), units),
            stands(outcome, units),
        ]);
    }
    page.table(&aligns, rows);
}

/// Power cut, battery, another number of pumps: the design storm.
fn more(page: &mut Page, storms: &StormsResult, units: UnitSystem) {
    page.paragraph("The design storm, if it comes otherwise:");
    page.pairs(&if_otherwise(storms, units));
}

/// The design storm with no power, with a battery, with another number of pumps: names with what happens.
pub(crate) fn if_otherwise(storms: &StormsResult, units: UnitSystem) -> Vec<(String, String)> {
    let cut = &storms.power_cut;
    let mut pairs = Vec::new();
    let mut add = |name: &str, value: String| pairs.push((name.to_owned(), value));
    let show = |time: Duration| Amount::of(time).show(units);
    add(
        "power cut",
        match cut.stands_after {
            Some(after) => format!(
                "at the worst moment, {} after the rain began: water stands after {}",
                show(cut.cut_at),
                show(after)
            ),
            None if cut.stands_anyway => {
                "water stands in this storm even with power; a cut makes it deeper, at the most as the next line says"
                    .to_owned()
            }
            None => "no water stands deeper than a film".to_owned(),
        },
    );
    add(
        "no power all storm",
        format!(
            "{}up to {} deep{}",
            cut.all_storm
                .hollows
                .iter()
                .filter_map(|hollow| hollow.stands_from)
                .reduce(Duration::min)
                .map_or_else(String::new, |from| format!("water stands {} after the rain began, ", show(from))),
            small(cut.all_storm.depth(), units),
            if cut.all_storm.still_stands() {
                "; it stays until the pump runs again".to_owned()
            } else {
                format!(", for {}", show(cut.all_storm.stands()))
            }
        ),
    );
    if let Some(lid) = cut.wells_out() {
        add(
            "it then comes out",
            format!(
                "of the basin's own lid, at {}, and stands up to {} deep round it",
                Amount::of(lid.rim).show(units),
                small(lid.deepest, units)
            ),
        );
    }
    add(
        "it then runs off",
        cut.leaves_by().map_or_else(
            || {
                if cut.edge_entered() {
                    "nowhere: it stays where it is".to_owned()
                } else {
                    "not known: no edge is entered (`spills_at`); reckoned as staying where it is".to_owned()
                }
            },
            |(name, to, volume)| {
                let to = to.map_or_else(String::new, |to| format!(" to {to}"));
                format!("over the edge of `{name}`{to}: {}", Amount::of(volume).show(units))
            },
        ),
    );
    for ((place, level, after), (_, _, dark)) in cut.protected.iter().zip(&cut.all_storm.protected) {
        let level = Amount::of(*level).show(units);
        add(
            &format!("`{place}`"),
            match (after, dark) {
                (Some(after), _) => format!("{level}: reached {} after a cut at the worst moment", show(*after)),
                (None, Some(dark)) => format!("{level}: reached {} after the rain began", show(*dark)),
                (None, None) => format!("{level}: not reached"),
            },
        );
    }
    // told beside the places; of those that only the pump running brings water to, elsewhere
    if let Some(words) = storms.goes_in_otherwise_words() {
        add("where it is reached", words);
    }
    if let Some(battery) = &cut.battery {
        add(
            "battery",
            match battery.flat_at {
                None => format!(
                    "lasts the storm: the pump runs {} of the {} that it could without stopping",
                    show(battery.needed),
                    show(battery.without_stopping)
                ),
                Some(flat) => format!(
                    "flat {} after the rain began, having run the pump for {}; then up to {} deep, for {}",
                    show(flat),
                    show(battery.without_stopping),
                    small(battery.outcome.depth(), units),
                    stands(&battery.outcome, units)
                ),
            },
        );
    }
    if let Some(full) = &storms.stone_full {
        add(
            "French drain's stone full",
            format!(
                "of water or silt: up to {} deep, for {}{}",
                small(full.depth(), units),
                stands(full, units),
                reaches(full).map_or_else(String::new, |reaches| format!("; {reaches}"))
            ),
        );
    }
    if let Some(other) = &storms.other_pumps {
        add(
            if other.count == 1 { "one of the pumps dead" } else { "with a second pump" },
            format!(
                "{} at the middle water level between the floats, up to {} deep, for {}",
                Amount::of(other.flow).show(units),
                small(other.outcome.depth(), units),
                stands(&other.outcome, units)
            ),
        );
    }
    pairs
}
