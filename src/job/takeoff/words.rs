//! What a takeoff says beside its numbers: to those inside, and to the customer.

use super::reckoning::{Reckoning, percent};
use super::{Item, Part, Work};
use crate::design::{Design, PROTECTED_DEPTH, PeriodOutcome, RuleOutcome, StormOutcome, Topic};
use crate::quantity::{Amount, Area, Duration, Length, UnitSystem};
use crate::site::{Drain, Site, Task};

/// A change in words.
fn off((low, high): (f64, f64)) -> String {
    format!("{} less to {} more", percent(-low), percent(high))
}

/// How low and high come about, and what the shares rest on.
pub(super) fn inside(site: &Site) -> Vec<String> {
    let terms = &site.takeoff;
    let mut say = vec![format!(
        "Low and high take everything low or high at once: quantities {} ({}), prices {} ({}), hours {} ({}). Single pieces and lump sums are sure in their number.",
        off(terms.quantities_off.value),
        terms.quantities_off.source,
        off(terms.prices_off.value),
        terms.prices_off.source,
        off(terms.hours_off.value),
        terms.hours_off.source
    )];
    for (left_out, what) in [
        (terms.contingency.is_none(), "No contingency is entered: none is in the total."),
        (terms.margin.is_none(), "No margin is entered: the total is the bare cost."),
        (terms.tax.is_none(), "No tax is entered: none is in the total."),
        (terms.machine_per_hour.is_none(), "No machine is entered: digging and filling in cost a worker's hours only."),
    ] {
        if left_out {
            say.push(what.to_owned());
        }
    }
    say
}

/// Whether a lump sum's name says that it is about something.
fn lump(site: &Site, words: &[&str]) -> bool {
    let sums = &site.to_choose_from.prices.lump_sums;
    sums.iter().any(|(name, _)| words.iter().any(|word| name.to_lowercase().contains(word)))
}

/// What the price holds.
pub(super) fn included(r: &Reckoning<'_>, items: &[Item], work: &[Work]) -> Vec<String> {
    let site = r.site;
    let mut say = vec!["All pipe, fittings, basin, pump and other pieces named above.".to_owned()];
    let has = |task: Task| work.iter().any(|work| work.task == task);
    if has(Task::Dig) {
        say.push("Digging, laying, setting and filling in.".to_owned());
    }
    if items.iter().any(|item| item.name.starts_with("soil to take away")) {
        say.push("Taking the soil away that is left over.".to_owned());
    }
    let made_good = match (r.spoilt.lawn > Area::ZERO, r.spoilt.paved > Area::ZERO) {
        (true, true) => "Making lawn and paving good over trenches and holes.",
        (true, false) => "Making lawn good over trenches and holes; no paving is in the price.",
        (false, true) => "Making paving good over trenches and holes; no lawn is in the price.",
        (false, false) => "",
    };
    if !made_good.is_empty() {
        say.push(made_good.to_owned());
    }
    say.push("The first start, and showing you how it works.".to_owned());
    let sums: Vec<&str> = site.to_choose_from.prices.lump_sums.iter().map(|(name, _)| name.as_str()).collect();
    if !sums.is_empty() {
        say.push(format!("Also: {}.", sums.join(", ")));
    }
    say
}

/// What it does not hold.
pub(super) fn excluded(r: &Reckoning<'_>) -> Vec<String> {
    let site = r.site;
    let mut say = Vec::new();
    if !lump(site, &["electric"]) {
        say.push(
            "The electric supply: circuit, outlet and protection, by a licensed electrician under the local code."
                .to_owned(),
        );
    }
    if !lump(site, &["permit"]) {
        say.push("Permits, fees and inspections.".to_owned());
    }
    // tape and drawing never agree to the inch
    if r.deepest >= PROTECTED_DEPTH * 0.98 && !lump(site, &["shor", "slop", "trench box"]) {
        say.push(format!(
            "Shoring or sloped walls: digging goes {} deep, and from {} on a pit or trench needs them (OSHA 29 CFR 1926.652, from memory).",
            r.show(r.deepest),
            r.show(PROTECTED_DEPTH)
        ));
    }
    let underside = site.basin.underside();
    if site.groundwater.seasonal_high.is_some_and(|high| high > underside) && !lump(site, &["dewater", "groundwater"]) {
        say.push("Keeping groundwater out of the hole while it is dug.".to_owned());
    }
    if !r.spoilt.unknown.is_empty() {
        say.push(format!(
            "Making good what lies over {}: what that is was not written down when this was priced.",
            r.spoilt.unknown.join(", ")
        ));
    }
    say.push("Rock, roots, rubble, old works, and lines in the ground that the marks do not show.".to_owned());
    say.push("Plants, irrigation, fences and anything beside the strips named above.".to_owned());
    say.push("Whatever the town or the ground asks for that was not known when this was written.".to_owned());
    say
}

/// What is built, part by part.
pub(super) fn scope(r: &Reckoning<'_>, items: &[Item]) -> Vec<(Part, Vec<String>)> {
    let site = r.site;
    let of = |part: Part| match part {
        Part::Station => station(r, items),
        Part::Discharge => discharge(r),
        Part::Drains => {
            let grates = site.inlets.iter().map(|inlet| format!("Catch basin with grate: `{}`.", inlet.name));
            grates
                .chain(site.drains.iter().filter(|drain| drain.french.is_none()).map(|drain| pipe(r, drain)))
                .collect()
        }
        Part::French => site.drains.iter().filter(|drain| drain.french.is_some()).map(|drain| pipe(r, drain)).collect(),
        Part::Ground => ground(r),
    };
    Part::ALL.into_iter().map(|part| (part, of(part))).filter(|(_, lines)| !lines.is_empty()).collect()
}

fn station(r: &Reckoning<'_>, items: &[Item]) -> Vec<String> {
    let named = |item: &&Item| item.part == Part::Station && !item.name.starts_with("stone");
    let line = |item: &Item| {
        let many = if item.count.whole && item.count.value > 1.0 {
            format!("{:.0} of: ", item.count.value)
        } else {
            String::new()
        };
        capital(&format!("{many}{}.", item.name))
    };
    let mut lines: Vec<String> = items.iter().filter(named).map(line).collect();
    lines.push(format!("The basin stands {} deep.", r.small(r.site.basin.depth())));
    lines
}

/// As a sentence begins.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn discharge(r: &Reckoning<'_>) -> Vec<String> {
    let line = &r.site.discharge;
    let mut lines: Vec<String> = line
        .runs
        .iter()
        .map(|run| format!("{} of {} {} pipe, buried.", r.show(run.length), run.pipe.size, run.pipe.material))
        .collect();
    lines.push(format!("It ends in: {}.", line.outlet.kind));
    lines
}

fn pipe(r: &Reckoning<'_>, drain: &Drain) -> String {
    let of =
        drain.pipe.as_ref().map_or_else(|| "pipe".to_owned(), |pipe| format!("{} {} pipe", pipe.size, pipe.material));
    let trench = drain
        .french
        .as_ref()
        .and_then(|french| french.trench.as_ref())
        .map_or_else(String::new, |trench| format!(", in a trench of stone {} wide", r.small(trench.width)));
    format!("`{}`: {} of {of} to `{}`{trench}.", drain.name, r.show(drain.length), drain.to)
}

fn ground(r: &Reckoning<'_>) -> Vec<String> {
    let mut lines = vec!["Trenches and holes dug, filled in and tamped.".to_owned()];
    if r.spoilt.lawn > Area::ZERO {
        lines.push(format!("About {} of lawn made good.", r.show(r.spoilt.lawn)));
    }
    if r.spoilt.paved > Area::ZERO {
        lines.push(format!("About {} of paving made good.", r.show(r.spoilt.paved)));
    }
    lines
}

fn small(length: Length, units: UnitSystem) -> String {
    Amount::small(length).show(units)
}

/// How deep and how long, in words.
fn stands(outcome: &StormOutcome, film: Length, units: UnitSystem) -> String {
    deep_and_long(outcome, outcome, film, units)
}

/// The same of a period: as deep as in the nested storm, as long as in the longer of nested storm and steady rain.
fn stands_in(period: &PeriodOutcome, film: Length, units: UnitSystem) -> String {
    deep_and_long(&period.nested, period.longest(), film, units)
}

fn deep_and_long(deep: &StormOutcome, long: &StormOutcome, film: Length, units: UnitSystem) -> String {
    if deep.depth() <= film {
        return "no water stands deeper than a film".to_owned();
    }
    let time = match (long.still_stands(), long.stands()) {
        (true, time) => format!(", and is not gone after {}", Amount::of(time).show(units)),
        (false, time) if time > Duration::ZERO => format!(", for up to {}", Amount::of(time).show(units)),
        _ => String::new(),
    };
    format!("water stands up to {} deep{time}", small(deep.depth(), units))
}

fn storm(period: &PeriodOutcome, units: UnitSystem) -> String {
    period
        .period
        .map_or_else(|| "the storm".to_owned(), |period| format!("the {} storm", Amount::of(period).show(units)))
}

/// What it does, from the design.
pub(super) fn does(design: &Design, units: UnitSystem) -> Vec<String> {
    let mut say: Vec<String> = Vec::new();
    if design.holds() {
        say.extend(design.verdict.sentences.first().map(|sentence| sentence.say(units)));
    }
    match &design.in_storms {
        Ok(storms) => {
            let until = storms.periods.iter().take(storms.design + 1);
            say.extend(
                until.map(|period| format!("In {} {}.", storm(period, units), stands_in(period, design.film, units))),
            );
        }
        Err(why) => say.push(format!("How deep water stands in a storm was not worked out: {why}.")),
    }
    say.extend(
        design.verdict.goal.as_ref().filter(|_| design.verdict.goal_met == Some(true)).map(|goal| goal.say(units)),
    );
    say
}

/// What it does not, from the design.
pub(super) fn does_not(site: &Site, design: &Design) -> Vec<String> {
    let units = site.units;
    let mut say: Vec<String> = Vec::new();
    say.extend(
        design.verdict.goal.as_ref().filter(|_| design.verdict.goal_met == Some(false)).map(|goal| goal.say(units)),
    );
    if let Ok(storms) = &design.in_storms {
        for period in storms.periods.iter().skip(storms.design + 1) {
            say.push(format!(
                "It is not made for {}; in it {}.",
                storm(period, units),
                stands_in(period, design.film, units)
            ));
        }
        if let Some(last) = storms.periods.last() {
            say.push(format!(
                "A rarer storm than {} was not looked at: water may stand deeper and longer.",
                storm(last, units)
            ));
        }
        say.extend(storms.reached_with_pump_words(units));
        for run in &storms.soil_takes_less {
            say.push(format!(
                "If the soil takes less rain than is counted with ({}), {} in {}.",
                run.surfaces_words(),
                stands(&run.outcome, design.film, units),
                storms.design().map_or_else(|| "the storm".to_owned(), |period| storm(period, units))
            ));
        }
        say.extend(storms.soil_not_known_words());
        let cut = &storms.power_cut;
        let dark = stands(&cut.all_storm, design.film, units);
        let reached: Vec<String> = cut
            .all_storm
            .protected
            .iter()
            .filter(|(.., at)| at.is_some())
            .map(|(name, ..)| format!("`{name}`"))
            .collect();
        let reached = if reached.is_empty() { String::new() } else { format!(", and reaches {}", reached.join(", ")) };
        say.push(format!("Without power it does not pump: if the power is off in that storm, {dark}{reached}."));
        say.extend(storms.goes_in_words());
        say.extend(cut.all_storm.spills().map(|hollow| {
            format!(
                "{} then run over the edge of the yard, to {}.",
                Amount::of(hollow.spilled).show(units),
                hollow.spills_to.as_deref().unwrap_or("where the ground leads it")
            )
        }));
        if let Some(battery) = &cut.battery {
            say.push(battery.flat_at.map_or_else(
                || "The battery lasts through that storm.".to_owned(),
                |flat| {
                    format!(
                        "On the battery it pumps until that is flat, {} after the rain begins; then {}.",
                        Amount::of(flat).show(units),
                        stands(&battery.outcome, design.film, units)
                    )
                },
            ));
        }
    } else {
        say.push("Without power it does not pump.".to_owned());
    }
    let broken = design.local_rules.iter().filter(|rule| rule.outcome == RuleOutcome::Broken);
    say.extend(broken.map(|rule| {
        format!(
            "It does not keep a rule of the town as it was entered ({}): to be settled with the town first.",
            rule.about
        )
    }));
    say.push("All this is reckoned from what was measured and entered, and from rain figures for many years: it is an estimate, and no promise of what a storm will do.".to_owned());
    say
}

/// The cautions of the design.
pub(super) fn cautions(design: &Design, units: UnitSystem) -> Vec<String> {
    let cautions = design.advice.iter().filter(|advice| advice.topic == Topic::Caution);
    cautions.map(|advice| advice.sentence.say(units)).collect()
}
