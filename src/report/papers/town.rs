//! What the town's rules say, and what to ask it.

use super::Sources;
use super::document::{Cell, Document, Part, Table};
use crate::design::{PumpResult, RuleOutcome, RuleResult};
use crate::quantity::{Amount, UnitSystem};
use crate::report::layout::Align;

pub(super) fn town(sources: Sources<'_>) -> Document {
    let Sources { site, design, .. } = sources;
    let rules = &design.local_rules;
    let mut parts = vec![
        Part::Pairs(vec![
            ("whom to ask".to_owned(), Cell::or_blank(site.local_rules.office.clone(), "")),
            ("rules read in".to_owned(), Cell::or_blank(site.local_rules.read_in.clone(), "")),
            ("asked on".to_owned(), Cell::blank("")),
            ("answered by".to_owned(), Cell::blank("")),
        ]),
        Part::Heading("What you entered".to_owned()),
        Part::Table(entered(rules, site.units)),
        Part::Heading("To ask".to_owned()),
    ];
    let mut asks: Vec<String> = rules
        .iter()
        .filter_map(|rule| match rule.outcome {
            RuleOutcome::Broken => Some(format!(
                "{}: it is not kept here. Is there an exception, and on what conditions, or another place for the outlet?",
                capital(rule.about)
            )),
            RuleOutcome::RuleNotSaid => Some(rule.ask.to_owned()),
            _ => None,
        })
        .collect();
    asks.extend(ALWAYS.iter().map(|ask| (*ask).to_owned()));
    parts.push(Part::Ticks(asks));
    let measures: Vec<String> = rules
        .iter()
        .filter(|rule| rule.outcome == RuleOutcome::SiteNotSaid)
        .map(|rule| format!("{}: the rule was entered, this site's own was not.", capital(rule.about)))
        .collect();
    if !measures.is_empty() {
        parts.push(Part::Heading("To measure or say".to_owned()));
        parts.push(Part::Ticks(measures));
    }
    parts.push(Part::Heading("What the town will want to know".to_owned()));
    parts.push(Part::Pairs(facts(sources)));
    parts.push(Part::Cautions(CAUTIONS.iter().map(|caution| (*caution).to_owned()).collect()));
    Document {
        title: "Questions to the town".to_owned(),
        about: Some(site.title.clone()),
        lead: format!(
            "{} No rule is built in, and nothing here is the law: the town and its code decide.",
            in_short(rules)
        ),
        parts,
    }
}

/// Asked of every job: common practice, no source.
const ALWAYS: &[&str] = &[
    "Whose are the swale, the ditch, the curb and the strip beside the street, and is there an easement on the way?",
    "May water be gathered and let out at one point where it used to spread, and who answers for what it does below?",
    "Does an owners' association have its own rules and its own form?",
    "Who must be called before digging, and how many days ahead (in the US: 811)?",
    "Who may do the wiring, and who looks at it before the trench is filled?",
];

const CAUTIONS: &[&str] = &[
    "Never into a sanitary sewer, a septic tank or its field.",
    "Not onto a neighbour's land, over a walk, or back to the house: water law differs from state to state, and the one who gathers water answers for it.",
    "In frost, water on a walk or a street is ice.",
];

fn in_short(rules: &[RuleResult]) -> String {
    let count = |outcome: RuleOutcome| rules.iter().filter(|rule| rule.outcome == outcome).count();
    let (broken, kept) = (count(RuleOutcome::Broken), count(RuleOutcome::Kept));
    let said = rules.len() - count(RuleOutcome::RuleNotSaid);
    match (said, broken) {
        (0, _) => {
            "Nothing of your town's rules is entered in the site file: all of it is still to be asked.".to_owned()
        }
        (_, 0) if kept == rules.len() => "All that you entered of your town's rules is kept here.".to_owned(),
        (_, 0) => {
            "Nothing that you entered of your town's rules is broken here; some of it is not known yet.".to_owned()
        }
        (_, 1) => "One of the rules that you entered is not kept here.".to_owned(),
        (_, more) => format!("{more} of the rules that you entered are not kept here."),
    }
}

fn entered(rules: &[RuleResult], units: UnitSystem) -> Table {
    let rows = rules.iter().map(|rule| {
        let says = rule.rule.as_ref().map(|says| match rule.id {
            "lot-line" | "house" | "walk" => format!("at least {}", says.say(units)),
            _ => says.say(units),
        });
        let here = rule.here.as_ref().map(|here| here.say(units));
        let words = matches!(rule.id, "permit" | "winter");
        vec![
            Cell::said(rule.about),
            Cell::or_blank(says, ""),
            if words { Cell::said("-") } else { Cell::or_blank(here, "") },
            Cell::said(match rule.outcome {
                RuleOutcome::Kept => "kept",
                RuleOutcome::Broken => "NOT KEPT",
                RuleOutcome::SiteNotSaid => "measure it here",
                RuleOutcome::RuleNotSaid => "ask",
                RuleOutcome::ToRead => "see to it",
            }),
        ]
    });
    Table {
        caption: "Rules beside this site".to_owned(),
        columns: ["about", "your town says", "here", "so"].map(|name| (name.to_owned(), Align::Left)).to_vec(),
        rows: rows.collect(),
    }
}

fn facts(sources: Sources<'_>) -> Vec<(String, Cell)> {
    let Sources { site, design, .. } = sources;
    let units = site.units;
    let line = &site.discharge;
    let mut facts = vec![(
        "the water".to_owned(),
        Cell::said("rain from the yard and its roofs, and groundwater; no waste water of any kind"),
    )];
    let flow = design.pump().and_then(PumpResult::most_pumped);
    facts.push((
        "how much at a time".to_owned(),
        Cell::or_blank(flow.map(|flow| format!("at most {}", Amount::of(flow).show(units))), ""),
    ));
    if let Some(period) = design.in_storms.as_ref().ok().and_then(|storms| storms.design()) {
        facts.push((
            format!("in the {} storm", crate::report::text::period_name(period, units)),
            Cell::said(format!(
                "{} starts, {} of running",
                period.nested.starts,
                Amount::of(period.nested.runs).show(units)
            )),
        ));
    }
    let length: crate::quantity::Length = line.runs.iter().map(|run| run.length).sum();
    let sizes: Vec<&str> = line.runs.iter().map(|run| run.pipe.size.as_str()).collect();
    facts.push((
        "through".to_owned(),
        Cell::said(format!("{} of {} pipe, under pressure", Amount::of(length).show(units), sizes.join(" and "))),
    ));
    facts.push((
        "comes out at".to_owned(),
        Cell::said(format!("{}, level {}", line.outlet.kind, Amount::of(line.outlet.level).show(units))),
    ));
    facts.push(("when the power is cut".to_owned(), Cell::said("nothing comes out")));
    facts
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
