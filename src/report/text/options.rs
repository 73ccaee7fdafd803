//! The sets worth choosing between, as text.

use crate::quantity::{Amount, UnitSystem};
use crate::questions::options::{InEverySet, Options, Priced, Tried, across, as_printed, said, set_words};
use crate::report::layout::{Align, Page};
use crate::report::options_table::{money, percent};

/// So many of the reasons are listed.
const MOST_REASONS: usize = 8;

/// The answer: what to take, what else there is, and what stands against the rest.
pub fn options_report(options: &Options) -> String {
    let mut page = Page::default();
    page.paragraph(&options.title);
    page.line(&format!("options, sumpwright {}", env!("CARGO_PKG_VERSION")));
    page.gap();
    page.paragraph(&answer(options));
    page.gap();
    page.paragraph(&counts(options));
    table(&mut page, options);
    if !options.choices.is_empty() {
        page.gap();
        page.paragraph(
            "`--save FILE --choice NUMBER` writes one of them as a site file. Let `sumpwright size` judge that before anything is bought: what it cautions against is not weighed here.",
        );
    }
    reasons(&mut page, options);
    page.heading("How it is reckoned");
    for sentence in said(options) {
        page.hang("- ", &sentence);
    }
    page.finish()
}

/// What a person would say first.
fn answer(options: &Options) -> String {
    let units = options.units;
    let Some(best) = options.choices.first().and_then(|index| options.tried.get(*index)) else {
        return none_holds(options);
    };
    let money = options.costing.counts_money();
    let all_priced = ![&options.costing.pumps, &options.costing.pipes, &options.costing.basins]
        .iter()
        .any(|priced| matches!(priced, Priced::No(_)));
    let lead = match (money, all_priced) {
        (true, true) => "The cheapest set that holds",
        (true, false) => "The cheapest set that holds, and of these the smallest in what has no price",
        (false, _) => "The set that holds with most to spare",
    };
    let cost = price_words(best, options).map_or_else(String::new, |cost| format!("{cost}; "));
    let drawn = match options.tried.get(options.drawn) {
        Some(drawn) if !drawn.drawn || drawn.choice == Some(1) => "It is the set as drawn.".to_owned(),
        Some(drawn) => against_drawn(drawn, best, options),
        None => String::new(),
    };
    format!("{lead}: {}, {cost}{}. {drawn}", set_words(best, units), spare_words(best))
}

/// Materials and energy in words.
fn price_words(set: &Tried, options: &Options) -> Option<String> {
    let years = options.costing.years;
    let years = if years == 1 { "1 year".to_owned() } else { format!("{years} years") };
    match (set.materials, set.energy) {
        (Some(materials), Some(energy)) => Some(format!(
            "{} in materials that differ and {} for the energy of {years}",
            money(materials),
            money(energy)
        )),
        (Some(materials), None) => Some(format!("{} in materials that differ", money(materials))),
        (None, Some(energy)) => Some(format!("{} for the energy of {years}", money(energy))),
        (None, None) => None,
    }
}

fn spare_words(set: &Tried) -> String {
    match set.spare {
        Some(spare) => format!("{} of the {} to spare{}", percent(spare.percent()), spare.of.words(), peak_words(set)),
        None => "what it has to spare is not known".to_owned(),
    }
}

/// What is pumped of the peak.
fn peak_words(set: &Tried) -> String {
    set.pumped_share.map_or_else(String::new, |share| format!(" and {} of the peak pumped", whole_percent(share)))
}

fn whole_percent(share: f64) -> String {
    format!("{:.0} %", libm::floor(share * 100.0 + 1e-6))
}

fn against_drawn(drawn: &Tried, best: &Tried, options: &Options) -> String {
    let words = set_words(drawn, options.units);
    if !drawn.holds() {
        let first = drawn.cannot.clone().or_else(|| drawn.against().next().map(|(id, _)| id.to_owned()));
        return format!("The set as drawn, {words}, does not hold: {}.", first.unwrap_or_default());
    }
    let cost = drawn.cost().zip(best.cost()).map(|(drawn, best)| as_printed(drawn) - as_printed(best));
    let cost = match cost {
        Some(more) if more >= 0.005 => format!("costs {} more and ", money(more)),
        Some(less) if less <= -0.005 => format!("costs {} less and ", money(-less)),
        Some(_) => "costs as much and ".to_owned(),
        None if !drawn.listed => "is none of those asked for; it ".to_owned(),
        None => String::new(),
    };
    let has = if drawn.spare.is_some() { format!("has {}", spare_words(drawn)) } else { "holds too".to_owned() };
    format!("The set as drawn, {words}, {cost}{has}.")
}

fn none_holds(options: &Options) -> String {
    let units = options.units;
    let Some(nearest) = options.nearest.and_then(|index| options.tried.get(index)) else {
        return "None of the sets can be built: their floats, sizes or levels contradict one another.".to_owned();
    };
    let stops: Vec<String> =
        nearest.against().take(3).map(|(id, message)| format!("{id}: {}", message.say(units))).collect();
    let more = nearest.against().count().saturating_sub(stops.len());
    let more = if more > 0 { format!("; and {more} more") } else { String::new() };
    let drawn = if nearest.drawn { "the set as drawn, " } else { "" };
    let first = options.in_every_set.as_ref().map_or_else(|| "No set holds.".to_owned(), in_every_set);
    format!("{first} Nearest comes {drawn}{}. Against it stands {}{more}.", set_words(nearest, units), stops.join("; "))
}

/// What no choice cures.
fn in_every_set(all: &InEverySet) -> String {
    let ids: Vec<String> = all.ids.iter().map(|id| format!("`{id}`")).collect();
    let but_for = match all.would_hold {
        0 => String::new(),
        1 => " But for that 1 of them would hold.".to_owned(),
        more => format!(" But for that {more} of them would hold."),
    };
    format!("No set holds: every set fails by {}: put that right first.{but_for}", ids.join(" and by "))
}

fn counts(options: &Options) -> String {
    let lists = &options.lists;
    let number =
        |count: usize, one: &str, many: &str| if count == 1 { format!("1 {one}") } else { format!("{count} {many}") };
    let product = [
        number(lists.pumps.len(), "pump", "pumps"),
        number(lists.pipes.len(), "pipe size", "pipe sizes"),
        number(lists.basins.len(), "basin", "basins"),
        number(lists.floats.len(), "float setting", "float settings"),
    ]
    .join(" x ");
    let tried = format!("{}: {product}.", number(options.asked, "set was tried", "sets were tried"));
    if options.holding == 0 {
        return tried;
    }
    let holding = number(options.holding, "holds", "hold");
    let worth = match options.choices.len() {
        1 => "one is worth taking: it is".to_owned(),
        more => format!("{more} are worth choosing between: no other is"),
    };
    let judged = judged_words(options);
    let rest = if options.choices.len() == 1 {
        format!("as good as any in {judged}.")
    } else {
        format!("as good or better in {judged}.")
    };
    format!("{tried} {holding}, and of these {worth} {rest}")
}

/// What sets are judged by.
fn judged_words(options: &Options) -> String {
    let costing = &options.costing;
    let mut parts = Vec::new();
    if costing.counts_money() {
        parts.push("cost");
    }
    let unpriced = [(&costing.pumps, "pump strength"), (&costing.pipes, "pipe size"), (&costing.basins, "basin size")];
    parts.extend(unpriced.into_iter().filter(|(priced, _)| matches!(priced, Priced::No(_))).map(|(_, words)| words));
    parts.push("what is to spare (where that is equal, the share of the peak)");
    match parts.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => parts.concat(),
    }
}

fn table(page: &mut Page, options: &Options) {
    let rows: Vec<&Tried> = options.shown.iter().filter_map(|index| options.tried.get(*index)).collect();
    let drawn = options.tried.get(options.drawn).filter(|drawn| rows.iter().all(|row| !row.drawn) && drawn.drawn);
    let nearest = options.nearest.and_then(|index| options.tried.get(index)).filter(|nearest| !nearest.drawn);
    page.heading(if rows.is_empty() { "As drawn, and what comes nearest" } else { "Worth choosing between" });
    let shows = |part: &dyn Fn(&Tried) -> bool| rows.iter().copied().chain(drawn).chain(nearest).any(part);
    let (materials, energy) = (options.costing.counts_materials(), options.costing.counts_energy());
    let storm = match rows.as_slice() {
        [] => shows(&|set| set.depth.is_some()).then_some(OfStorm::Deepest),
        // where all have as much to spare, the share of the peak is what tells them apart
        [first, rest @ ..] => shows(&|set| set.depth.is_some()).then(|| {
            let alike = rest.iter().all(|set| spare_percent(set) == spare_percent(first));
            let apart = rest.iter().any(|set| share_percent(set) != share_percent(first));
            if alike && apart { OfStorm::ShareOfPeak } else { OfStorm::Deepest }
        }),
    };
    let mut heads: Vec<&str> = vec!["choice", "pump", "runs", "basin", "off", "on"];
    // a left one may be broken where the page is too narrow
    let mut aligns = vec![Align::Left, Align::Left, Align::Left, Align::Left, Align::Right, Align::Right];
    let mut number = |head| {
        heads.push(head);
        aligns.push(Align::Right);
    };
    // both together where there are both: there is no room for each
    let cost = match (materials, energy) {
        (true, true) => Some("cost"),
        (true, false) => Some("materials"),
        (false, true) => Some("energy"),
        (false, false) => None,
    };
    if let Some(cost) = cost {
        number(cost);
    }
    number("to spare");
    match storm {
        Some(OfStorm::Deepest) => number("deepest"),
        Some(OfStorm::ShareOfPeak) => number("of peak"),
        None => {}
    }
    number("starts");
    let mut lines = vec![heads.iter().map(|head| (*head).to_owned()).collect::<Vec<String>>()];
    for set in rows.iter().copied().chain(drawn).chain(nearest) {
        lines.push(line(set, options, (cost.is_some(), storm)));
    }
    page.table(&aligns, lines);
    if options.shown.len() < options.choices.len() {
        page.paragraph(&format!(
            "{} of {} are shown; `--format csv` has them all.",
            options.shown.len(),
            options.choices.len()
        ));
    }
}

/// What of the storm stands in the table.
#[derive(Clone, Copy)]
enum OfStorm {
    Deepest,
    ShareOfPeak,
}

fn spare_percent(set: &Tried) -> Option<i64> {
    set.spare.map(|spare| spare.percent())
}

/// The share of the peak that is pumped, in whole percent.
fn share_percent(set: &Tried) -> Option<String> {
    set.pumped_share.map(whole_percent)
}

fn line(set: &Tried, options: &Options, (cost, storm): (bool, Option<OfStorm>)) -> Vec<String> {
    let units: UnitSystem = options.units;
    let or_none = |value: Option<String>| value.unwrap_or_else(|| "-".to_owned());
    let mut name = set.choice.map_or_else(String::new, |choice| choice.to_string());
    for (word, is_so) in [("drawn", set.drawn), ("fails", !set.holds())] {
        if is_so {
            let gap = if name.is_empty() { "" } else { " " };
            name = format!("{name}{gap}{word}");
        }
    }
    let mut line = vec![
        name,
        set.pump.clone(),
        set.pipe.clone(),
        across(set.basin, units),
        Amount::small(set.off).show(units),
        Amount::small(set.on).show(units),
    ];
    if cost {
        line.push(or_none(set.cost().map(money)));
    }
    line.push(or_none(spare_percent(set).map(|spare| if spare < 0 { "none".to_owned() } else { percent(spare) })));
    match storm {
        Some(OfStorm::Deepest) => line.push(or_none(set.depth.map(|depth| Amount::small(depth).show(units)))),
        Some(OfStorm::ShareOfPeak) => line.push(or_none(share_percent(set))),
        None => {}
    }
    line.push(or_none(set.starts_per_hour.map(|starts| format!("{starts:.0}"))));
    line
}

fn reasons(page: &mut Page, options: &Options) {
    if options.reasons.is_empty() {
        return;
    }
    page.heading("What stands against the others");
    let mut rows = vec![vec!["sets".to_owned(), "stop".to_owned(), "as, of one of them".to_owned()]];
    for reason in options.reasons.iter().take(MOST_REASONS) {
        rows.push(vec![reason.sets.to_string(), reason.id.to_owned(), shortened(&reason.example)]);
    }
    page.table(&[Align::Right, Align::Left, Align::Left], rows);
    page.paragraph("A set may stand in more than one line.");
    let more = options.reasons.len().saturating_sub(MOST_REASONS);
    if more > 0 {
        page.paragraph(&format!("{more} more; `--format json` lists them all."));
    }
}

/// The beginning of a long sentence.
fn shortened(text: &str) -> String {
    const LETTERS: usize = 88;
    if text.chars().count() <= LETTERS {
        return text.to_owned();
    }
    let beginning: String = text.chars().take(LETTERS).collect();
    let whole = beginning.rsplit_once(' ').map_or(beginning.as_str(), |(words, _)| words);
    format!("{} …", whole.trim_end_matches([',', ':', ';']))
}
